"""What `noseload rank` prints: the answer, ready-made changes with intervals, setups, and with --all every number."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from noseload.commands.climb.split_lines import over_words
from noseload.commands.common import heading
from noseload.documents import grade, number, table
from noseload.model.units import grams_of_force
from noseload.studies.levers.answer import QUESTION, judged_gain, rank_sentence, stopped_sentence
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.levers.results import Lever, Rank, WholeChange


SHOWN = 10
"""Changes that are printed unless another number is asked for."""
VERDICT_BY = {"tip_over_grade_deg": "verdict by tip-over", "front_load_n": "verdict by load"}
"""What the last column judges."""
BY_DIVISION = "by division g"
"""Column of what the open division of the pull between geared axles makes of a change of the front load."""
OTHER_COLUMNS = (
    "(minimum load and airborne: the pull divided as the file says; their ends over divisions are in --json)"
)
LIMIT_BY_DIVISION = "by division deg"
STAND_WORDS = {
    "fitted": "links made to fit, springs set to the measured stand",
    "kept": "links and springs kept: the vehicle finds its own stand",
}


def rank_text(vehicle: Vehicle, result: Rank, top: int, *, everything: bool) -> str:
    """The whole text.

    Parameters
    ----------
    vehicle : Vehicle
    result : Rank
    top : int
        Rows of each table.
    everything : bool
        Also every number by itself, and all ready-made changes.
    """
    own = result.outcomes
    lines = [
        heading(vehicle, f"what would help, {vehicle.drive.driven_axles} driven"),
        QUESTION,
        f"  {rank_sentence(result)}",
        *[f"  {sentence}" for sentence in [stopped_sentence(result)] if sentence],
        "",
        f"now: tips at {grade(own['tip_over_grade_deg'])}, front axle load at {result.grade_deg:g} deg "
        f"{_load(own['front_load_n'])}",
    ]
    if result.message:
        lines.append(result.message)
    if result.punch_grade_deg is None and vehicle.level != "A":
        lines.append("All this is for a steady crawl; what helps there can harm in a throttle punch: --punch tells.")
    lines += ["", *_ready_lines(result, None if everything else top)]
    if result.changes:
        lines += ["", *_change_lines(result)]
    if everything:
        lines += ["", *_lever_lines(result, top)]
    lines += _division_lines(vehicle, result)
    if result.punch_grade_deg is not None:
        lines += ["", *_punch_lines(result, top, everything=everything)]
    if not everything:
        lines += [
            "",
            f"--all adds the other ready-made changes and {len(result.levers)} numbers one by one (1 mm, 10 g, 5 %).",
        ]
    elif result.without_effect:
        where = "on a steady crawl" if result.punch_grade_deg is None else "on a crawl and a punch"
        shown = ", ".join(result.without_effect[:3])
        lines += ["", f"without effect {where}: {len(result.without_effect)} numbers ({shown}, ...)"]
    return "\n".join(lines)


def _ready_lines(result: Rank, count: Any) -> list[str]:
    """Ready-made changes by what they gain; each by the name that --setup and --setups take."""
    rows = [
        (
            item.name,
            item.label,
            number(item.effects["tip_over_grade_deg"], "+.2f"),
            _between(item, "tip_over_grade_deg", 2),
            _signed_grams(item.effects["front_load_n"]),
            _between(item, "front_load_n", 0, grams_of_force(1.0)),
            _by_division(item, 1),
            _verdict(result, item),
        )
        for item in result.ready_made[:count]
    ]
    judged = VERDICT_BY.get(result.by, "verdict")
    header = (
        "name for --setups",
        "ready-made change",
        "tips later deg",
        "from to",
        "front load g",
        "from to",
        BY_DIVISION,
        judged,
    )
    return [
        f"ready-made changes, the best first (95 % intervals of the first; front axle load at {result.grade_deg:g} deg)",
        _divided_table(header, rows, "<<>>>>><"),
    ]


def _divided_table(header: tuple, rows: list[tuple], align: str, column: str = BY_DIVISION) -> str:
    """A table, without the column of the division where nothing is open in any row."""
    place = header.index(column)
    if any(row[place] for row in rows):
        return table(header, rows, align=align)
    kept = [k for k in range(len(header)) if k != place]
    return table(
        [header[k] for k in kept], [[row[k] for k in kept] for row in rows], align="".join(align[k] for k in kept)
    )


def _by_division(item: Lever | WholeChange, decimals: int, sense: float = 1.0) -> str:
    """Range of the effect on the front load over plausible laws, g; '' where there is none or nothing moves."""
    ends = item.ranges_over_splits.get("front_load_n", [0.0])
    if not any(ends):
        return ""
    low, high = sorted(sense * grams_of_force(end) for end in ends)
    return from_to(low, high, decimals, sign=True)


def _division_lines(vehicle: Vehicle, result: Rank) -> list[str]:
    """What the column of the division is, and which change ranks first under it; none where nothing is open."""
    if not any(item.ranges_over_splits for item in (*result.ready_made, *result.changes, *result.levers)):
        return []
    lines = [
        "",
        f"{BY_DIVISION}: how geared axles divide the pull is open; what becomes of the front axle load over {over_words(vehicle)}.",
    ]
    first = result.first_over_splits
    more = f" That decides which change ranks first: {' or '.join(first)}." if len(first) > 1 else ""
    return [*lines[:1], f"{lines[1]}{more or ' Tip-overs do not feel it.'}"]


def _between(item: WholeChange, name: str, decimals: int, factor: float = 1.0) -> str:
    low, high = item.intervals.get(name, (None, None))
    return "" if low is None or high is None else from_to(factor * low, factor * high, decimals, sign=True)


def _verdict(result: Rank, item: WholeChange) -> str:
    judged = judged_gain(result, item)
    if judged is None:
        return item.message
    return judged.short_words() if judged.direction != -1 else f"{judged.short_words()}, the wrong way"


def _change_lines(result: Rank) -> list[str]:
    rows = [
        (
            item.label,
            number(item.effects["tip_over_grade_deg"], "+.2f"),
            _signed_grams(item.effects["front_load_n"]),
            _by_division(item, 1),
            _grams(item, result.by),
            item.message if item.status != "ok" or item.effects["front_load_n"] is None else "",
        )
        for item in result.changes
    ]
    return [
        "setups and whole changes of the file (links and springs kept unless the change says otherwise)",
        _divided_table(
            ("change", "tip-over deg", "front axle load g", BY_DIVISION, "= g at the front wheels", ""), rows, "<>>>><"
        ),
    ]


def _lever_lines(result: Rank, top: Any) -> list[str]:
    rows = [
        (
            item.label + ("*" if item.assumed else ""),
            item.step,
            *_pair(item, "tip_over_grade_deg", "{:.3f}"),
            *_pair(item, "front_load_n", "{:.2f}", grams_of_force),
            _by_division(item, 2, -1.0 if (item.effects["front_load_n"] or 0.0) < 0.0 else 1.0),
            _grams(item, result.by, advised=True),
        )
        for item in result.levers[:top]
    ]
    header = (
        "number",
        "unit",
        "tips later",
        "by deg",
        "front axle load up",
        "by g",
        BY_DIVISION,
        "= g at the front wheels",
    )
    lines = [
        f"numbers per practical unit ({STAND_WORDS[result.parts]}); * = assumed, not measured",
        _divided_table(header, rows, "<<<><>>>"),
    ]
    if len(result.levers) > top:
        lines.append(f"... and {len(result.levers) - top} more with less effect (--top)")
    return lines


def _punch_lines(result: Any, top: Any, *, everything: bool) -> list[str]:
    """The punch: where it ends, and what levers and changes do to it."""
    own, limit = result.outcomes, "punch_limit_grade_deg"
    up = own["punch_front_airborne_s"]
    ends = (result.punch_ranges or {}).get(limit)
    span = "" if ends is None else f" ({from_to(ends[0], ends[1], 1)} over divisions of the pull)"
    lines = [
        f"full-throttle punch: the front stays down up to {grade(own[limit])}{span}; at {result.punch_grade_deg:.2f} deg minimum front axle "
        f"load {_load(own['punch_front_load_min_n'])}, airborne {number(up, '.3f')} s"
    ]
    levers = sorted(
        result.levers, key=lambda item: -abs(item.effects[limit] or item.effects["punch_front_load_min_n"] or 0.0)
    )
    rows = [
        (
            item.label + ("*" if item.assumed else ""),
            item.step,
            *_pair(item, limit, "{:.3f}"),
            _limit_span(item.ranges_over_splits.get(limit), 3, -1.0 if (item.effects[limit] or 0.0) < 0.0 else 1.0),
            _signed_grams(item.effects["punch_front_load_min_n"]),
            number(item.effects["punch_front_airborne_s"], "+.4f"),
            _grams(item, limit, advised=True),
        )
        for item in (levers[:top] if everything else ())
    ]
    rows += [
        (
            item.label,
            "",
            "",
            number(item.effects[limit], "+.2f"),
            _limit_span(item.ranges_over_splits.get(limit)),
            _signed_grams(item.effects["punch_front_load_min_n"]),
            number(item.effects["punch_front_airborne_s"], "+.4f"),
            _grams(item, limit),
        )
        for item in (*result.ready_made[:top], *result.changes)
    ]
    header = ("lever or change", "unit", "limit later", "by deg", LIMIT_BY_DIVISION, "minimum load g", "airborne s")
    told = _divided_table((*header, "= g at the front wheels"), rows, "<<<>>>>>", LIMIT_BY_DIVISION)
    return [*lines, told, *([] if ends is None else [OTHER_COLUMNS])]


def _limit_span(ends: list[float] | None, decimals: int = 1, sense: float = 1.0) -> str:
    if ends is None:
        return ""
    low, high = sorted(sense * end for end in ends)
    return from_to(low, high, decimals, sign=True)


def _pair(item: Lever, name: str, form: str, convert: Callable | type = float) -> tuple[str, str]:
    effect = item.effects[name]
    if not effect:
        return ("-", "-")
    return item.advice[name], form.format(abs(convert(effect)))


def _load(force_n: float) -> str:
    return "-" if force_n is None else f"{grams_of_force(force_n):.0f} g ({force_n:.2f} N)"


def _signed_grams(force_n: float) -> str:
    return "-" if force_n is None else f"{grams_of_force(force_n):+.1f}"


def _grams(item: Lever | WholeChange, by: str, *, advised: bool = False) -> str:
    mass = item.equal_front_axle_g[by]
    return "-" if mass is None else f"{abs(mass) if advised else mass:{'.1f' if advised else '+.1f'}}"
