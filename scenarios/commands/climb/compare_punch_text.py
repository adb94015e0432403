"""Text of a comparison at a creep and at a punch."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.commands.assumed_lines import assumed_lines
from noseload.documents import grade, grams, number, outcome_words, table
from noseload.model.crawl import budget_parts
from noseload.model.crawl.budget_parts import grouped
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.studies.errors.assumed_punch import LINE_WORDS
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.punch_limits import OPEN

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from noseload.studies.compare.punch import PunchComparison, PunchDifference

LEAST_START_G = 0.5
"""A start that differs less from the crawl needs no word."""


def punch_text(result: PunchComparison, everything: bool = True) -> str:
    """Creep beside punch for every setup and what each changes; with everything, the verdicts in full too."""
    chosen = f" ({result.grade_words})" if result.grade_words else ""
    lines = [
        f"steady crawl beside punch at {grade(result.grade_deg)}{chosen}, throttle to {result.throttle:g} within "
        f"{1e3 * result.rise_s:.0f} ms",
        "",
        _member_table(result),
        *_start_lines(result),
        "",
    ]
    for difference in result.differences if everything else ():
        lines.append(f"{row_name(difference.setup)} against {row_name(result.members[0].name)}")
        lines += [f"  creep: {difference.creep_verdict}", f"  punch: {difference.punch_verdict}", ""]
    solved = [d for d in result.differences if d.budget]
    if solved:
        lines += [
            _budget_table(solved),
            "",
            "Each punch is read at its own moment of minimum front axle load; the parts peak at other moments, so",
            "their peaks are never added. In a steady crawl all of a difference is static, grade and attitude; a punch adds",
            "acceleration and rotation.",
        ]
    return "\n".join([*lines, *assumed_lines(result.assumed, LINE_WORDS, least=1.0)]).rstrip()


def punch_answer_lines(result: PunchComparison) -> list[str]:
    """What each setup changes in the punch, to stand beside the answers of the steady crawl."""
    lines = [f"And in a throttle punch at {result.grade_deg:g} deg?"]
    for difference in result.differences:
        name = row_name(difference.setup)
        said = difference.punch_verdict.partition(f": {name} ")[2]
        lines.append(f"  {shown_name(difference.setup)}: {f'it {said}' if said else difference.punch_verdict}")
    return lines


def punch_range_lines(result: PunchComparison, ranges: Sequence[Mapping[str, tuple[float, float]]]) -> list[str]:
    """Both ends of what each setup changes in the punch over plausible divisions of the pull; none where nothing is open."""
    told = []
    for difference, ends in zip(result.differences, ranges, strict=True):
        if not ends:
            continue
        hops = f" (hops {_span(ends['front_hops'], 1.0)})" if any(ends["front_hops"]) else ""
        told.append(
            f"{row_name(difference.setup)} changes the first hop by {_span(ends['front_first_hop_s'], 1e3)} ms and the minimum load by "
            f"{_span(ends['front_load_min_n'], grams_of_force(1.0))} g{hops}"
        )
    return [f"{OPEN} {'; '.join(told)}."] if told else []


def _span(ends: tuple[float, float], factor: float) -> str:
    return from_to(factor * ends[0], factor * ends[1], 0, sign=True)


def _start_lines(result: Any) -> list[str]:
    """Why a punch starts at another front load than the crawl beside it has."""
    for member in result.members:
        if not member.punch.success or member.creep.front_load_n is None:
            continue
        start = member.punch.start["front_load_n"]
        if abs(grams_of_force(start - member.creep.front_load_n)) >= LEAST_START_G:
            speed = member.punch.options.creep_speed_mm_per_s
            return [
                f"The punch of {row_name(member.name)} starts at {grams(start)} in front, not {grams(member.creep.front_load_n)}: at {speed:g} mm/s the tyres "
                "slip as their loads and rolling radii make them; the crawl is its limit at zero speed, all driven axles slipping alike."
            ]
    return []


def _member_table(result: PunchComparison) -> str:
    rows = []
    for member in result.members:
        creep = grams(member.creep.front_load_n)
        if not member.punch.success:
            rows.append(
                (
                    row_name(member.name),
                    creep,
                    "-",
                    "-",
                    "-",
                    f"{outcome_words(member.punch.status)} ({member.punch.status})",
                )
            )
            continue
        summary = member.punch.summary
        flown = (
            f"{1e3 * member.airborne_s:.0f} ms{' and on' if member.ends_airborne else ''}"
            if member.airborne_s
            else "never"
        )
        rows.append(
            (
                row_name(member.name),
                creep,
                grams(summary["front_load_min_n"]),
                flown,
                f"{number(summary['peak_nose_up_pitch_deg'], '.1f')} deg",
                outcome_words(summary["outcome"], summary),
            )
        )
    return table(
        ("front axle", "creep", "punch, minimum", "in the air", "largest nose up", "how it ends"), rows, align="<>>>><"
    )


def _budget_table(differences: list[PunchDifference]) -> str:
    """Differences in grams: creep and punch of every setup."""
    rows = []
    budgets = [budget for d in differences for budget in (d.creep_budget, d.budget)]
    for part in budget_parts.told(*budgets):
        key, cells = part.key, [part.words]
        for difference in differences:
            creep = difference.creep_budget.get(key)
            cells += [
                "-" if creep is None else f"{grams_of_force(creep):+z.1f}",
                f"{grams_of_force(difference.budget[key]):+z.1f}",
            ]
        rows.append(cells)
    for k, words in enumerate(("as in a steady crawl", "acceleration and rotation")):
        cells = [f"= {words}"]
        for difference in differences:
            creep = grouped(difference.creep_budget)[k] if difference.creep_budget else None
            cells += [
                "-" if creep is None else f"{grams_of_force(creep):+z.1f}",
                f"{grams_of_force(grouped(difference.budget)[k]):+z.1f}",
            ]
        rows.append(cells)
    header = ["what the difference is made of, g"]
    for difference in differences:
        header += ["creep", f"punch, {row_name(difference.setup)}"]
    return table(header, rows)
