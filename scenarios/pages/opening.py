"""First part of the page: the verdict in plain words, the vehicle, and every limit."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from noseload.documents import grade, load, number, outcome_words
from noseload.model.names import shown_name
from noseload.model.units import grams_of_force
from noseload.studies.levers.answer import best_changes, rank_sentence
from noseload.studies.verdict.punch_limits import OPEN

from .answer import bars
from .html import Markup, bullets, element, figure, folded, join, of_class, paragraph, section, table, text
from .words import FIRST_WORDS, LIMITS, cap, division_caption, grams, in_code, named, spread, spread_g, told_once

if TYPE_CHECKING:
    from noseload.studies.punch.splits_range import PunchRange
    from noseload.studies.show.report import Report


PORTRAIT = "The vehicle as the file says it stands on level ground, to scale."
MATTERING = 5
"""Assumed values shown without opening the list."""


def verdict(report: Report) -> Markup:
    """The answers first, in plain words, each calculated."""
    points = [_climb(report), _punch(report), _help(report)]
    cards = element(
        "ul",
        *(element("li", element("strong", head), body) for head, body in filter(None, points)),
        attributes={"class": "answers"},
    )
    parts = [bars(report), element("p", _lead(report), attributes={"class": "lead"})]
    if report.comparison is not None:
        parts.append(folded("What each setup changes, in full", *_changes(report)))
    parts.append(folded("Climb, punch and what would help", cards))
    if report.missing:
        parts += [
            element("h3", "Missing here"),
            bullets(join((element("b", cap(item.part)), ": ", item.why)) for item in report.missing),
        ]
    if report.description.vehicle.warnings:
        parts += [element("h3", "Warnings about the file"), bullets(report.description.vehicle.warnings)]
    return section("verdict", "The answer", *parts)


def _lead(report: Report) -> str:
    """Two or three sentences that hold the whole answer."""
    first, others = report.members[0], report.members[1:]
    tips = [m.sweep.limits.tip_over_grade_deg for m in report.members]
    ends = first.sweep.limits.first
    if ends in (None, "tip_over"):
        words = [
            f"In a steady crawl {shown_name(first.name)} tips over at {tips[0]:.1f} deg."
            if tips[0] is not None
            else f"In a steady crawl no tip-over of {shown_name(first.name)} was found."
        ]
    else:
        words = [
            f"The steady crawl of {shown_name(first.name)} ends at {getattr(first.sweep.limits, ends + '_grade_deg'):.1f} deg, by {FIRST_WORDS[ends]}"
            + (f"; it would tip over at {tips[0]:.1f} deg." if tips[0] is not None else ".")
        ]
    moved = [tip - tips[0] for tip in tips[1:] if None not in (tip, tips[0])]
    if moved:
        span = (
            f"{min(moved):+.2f}"
            if f"{min(moved):.2f}" == f"{max(moved):.2f}"
            else f"{min(moved):+.2f} to {max(moved):+.2f}"
        )
        words.append(
            f"The {'other setup changes' if len(others) == 1 else f'{len(others)} other setups change'} that by {span} deg; "
            f"{report.options.thresholds.noticed_deg:g} deg is {report.options.thresholds.angle(0.0).threshold.words}."
        )
    done = [m.punch for m in report.members if m.punch is not None and m.punch.success]
    if done:
        lifted = sum(1 for result in done if result.summary["front_airborne_s"])
        how = (
            "with none of the setups"
            if not lifted
            else "with every setup"
            if lifted == len(done)
            else f"with {lifted} of {len(done)} setups"
        )
        if len(done) == 1:
            how = "" if lifted else "not"
        words.append(
            f"In a throttle punch at {done[0].options.grade_deg:g} deg the front axle "
            + (f"leaves the ground {how}".strip() if how != "not" else "does not leave the ground")
            + "."
        )
        words += _over_laws(report)
        over = sum(1 for result in done if result.summary["outcome"].startswith("flips"))
        if over:
            words.append("It flips over." if len(done) == 1 else f"{over} of {len(done)} flip over.")
    return " ".join(words)


def _over_laws(report: Report) -> list[str]:
    """Whether the front leaves the ground in a punch under other plausible divisions of the pull too; [] where that is not open."""
    ends = [m.ranges.punch.front_airborne_s for m in report.members if m.ranges.punch is not None]
    if not any((low > 0.0) != (high > 0.0) for low, high in ends):
        return []
    return [f"{OPEN} it is in the air for 0 to {1e3 * max(high for _, high in ends):.0f} ms."]


def _climb(report: Report) -> Any:
    first = report.members[0]
    limits, row = first.sweep.limits, first.at_grade
    tip = limits.tip_over_grade_deg
    head = (
        f"Tips over at {grade(tip)}"
        if tip is not None
        else f"No tip-over found up to {grade(limits.steepest_equilibrium_deg)}"
    )
    words = f"Calculated, steady crawl on a plane slope, {first.vehicle.drive.driven_axles} driven. What ends the climb first: {FIRST_WORDS[limits.first]}"
    if limits.first not in (None, "tip_over"):
        words += f", at {grade(getattr(limits, limits.first + '_grade_deg'))}"
    words += "."
    if report.single_wheels:
        words += f" {report.single_wheels}"
    if row.front_load_n is not None:
        words += f" At {report.grade_deg:g} deg the front axle keeps {load(row.front_load_n)}{spread_g(first.ranges.crawl.get('front_load_n'))} of {load(row.budget['standing_n'])} standing"
        words += (
            "."
            if first.rigid
            else f"; attitude (squat and pitch: links act here and nowhere else in a steady crawl; springs and tyres are in it too) is {grams(row.budget['attitude_n'], '+.0f')} g of the change."
        )
        if row.status != "ok" and row.message and not first.rigid:
            words += f" There it {row.message}."
    elif row.message:
        words += f" At {report.grade_deg:g} deg: {row.message}."
    return head, words


def _changes(report: Report) -> Any:
    if report.comparison is None:
        return []
    cards = []
    for k, d in enumerate(report.comparison.differences, start=1):
        scope, rest = told_once(d.load_verdict, d.setup)
        # What holds for every card is said by the first.
        words = [f"{scope}."] if scope and k == 1 else []
        cards.append(element("h3", named(k, d.setup), f" against {shown_name(report.members[0].name)}"))
        cards.append(paragraph(d.answer.sentence))
        cards += [paragraph(part) for part in (*words, rest, told_once(d.tip_over_verdict, d.setup)[1])]
    return cards


def _punch(report: Report) -> Any:
    done = [(k, m) for k, m in enumerate(report.members) if m.punch is not None]
    if not done:
        return None
    options = done[0][1].punch.options
    lines = []
    for k, member in done:
        result = member.punch
        if not result.success:
            lines.append(join((named(k, member.name), f": the crawl cannot be held there; {result.message}")))
            continue
        summary = result.summary
        words = outcome_words(summary["outcome"], summary)
        ends = member.ranges.punch
        air = (
            f"front axle {1e3 * summary['front_airborne_s']:.0f} ms{spread(ends and ends.front_airborne_s, 0, 1e3)} in the air"
            if summary["front_airborne_s"]
            else (f"the front keeps at least {load(summary['front_load_min_n'])}{_kept(ends)}")
        )
        lines.append(
            join(
                (
                    named(k, member.name),
                    f": {words}; {air}, nose up {summary['peak_nose_up_pitch_deg']:.1f} deg{spread(ends and ends.peak_nose_up_pitch_deg, 1)} at most",
                )
            )
        )
    known = division_caption(any(member.ranges.punch for _, member in done))
    assumed = " Motor and damping are assumed, not measured." if report.vehicle.level == "B" else ""
    return (
        f"Throttle punch at {options.grade_deg:g} deg",
        join(
            (
                f"From a crawl to throttle {options.throttle:g} within {options.rise_s:g} s.{assumed}{known}",
                bullets(lines),
            )
        ),
    )


def _kept(ends: PunchRange | None) -> str:
    """Of a punch that lifts nothing under the file's own division of the pull: least loads, or times in the air, under others."""
    if ends is None:
        return ""
    lifts = f" (in the air for up to {1e3 * ends.front_airborne_s[1]:.0f} ms)" if ends.front_airborne_s[1] else ""
    return f"{spread_g(ends.front_load_min_n)}{lifts}"


def _help(report: Report) -> Any:
    if report.rank is None or not best_changes(report.rank, 1):
        return None
    return "What would help most", f"{rank_sentence(report.rank)} The whole list stands below."


def vehicle(report: Report, portrait: Any) -> Markup:
    """What was measured and what was assumed, with its error."""
    seen = report.description.to_dict()
    car = report.vehicle
    x, z = seen["centre_of_gravity_mm"]
    rows = [
        ("mass", f"{seen['mass_g']:.0f} g"),
        ("wheelbase", f"{1e3 * car.wheelbase:.1f} mm"),
        ("centre of gravity, forward of the rear axle", f"{x:.1f} mm"),
        ("centre of gravity, height", f"{z:.1f} mm"),
        ("rear axle load, level", load(seen["rear_load_n"])),
        ("front axle load, level", load(seen["front_load_n"])),
        ("driven axles", car.drive.driven_axles),
    ]
    words = {
        "A": "ruler and scale: rigid loads and tip-over",
        "B": "links and springs too: attitude and setups",
        "C": "motor and damping too: the punch",
    }[car.level]
    sinks = [
        (
            f"{seen['test_weight_g']:.0f} g above the {end} axle: body sinks there by",
            f"{seen['sinks_mm'][end][end]:.1f} mm",
        )
        for end in seen["sinks_mm"]
    ]
    parts = [
        paragraph(
            f"{shown_name(car.name)}, file of level {car.level} ({words})." + (f" {car.notes}" if car.notes else "")
        ),
        of_class(
            "div",
            "pair",
            None if portrait is None else figure(portrait, PORTRAIT),
            table(
                ("measured or following from it", "value"),
                [*rows, *sinks],
                caption="The vehicle. Check the sinking with a ruler before you trust the results."
                if sinks
                else "The vehicle.",
            ),
        ),
    ]
    return section(
        "vehicle", "The vehicle: measured, assumed, and its error", *parts, _assumed(report), _errors(report)
    )


def _assumed(report: Report) -> Any:
    if not report.vehicle.assumed:
        return paragraph("Nothing is assumed: the file gives every number.")
    moves = {item.key: item.moves_by for item in report.assumed}
    rows = []
    for item in report.vehicle.assumed:
        words = (
            "no answer in part of its range"
            if item.key in moves and moves[item.key] is None
            else (f"{grams(moves[item.key], '.1f')} g" if item.key in moves else "little or nothing")
        )
        rows.append(
            (
                in_code(item.key),
                f"{item.value:.4g} {item.unit}",
                f"{item.low:.4g} to {item.high:.4g}",
                words,
                of_class("span", "why", item.reason),
            )
        )
    listed = table(
        ("key", "value", "range", "moves the crawl by", of_class("span", "why", "reason")),
        rows,
        caption=f"Assumed values; how far the range of each moves the front axle load of the steady crawl at {report.grade_deg:g} deg.",
    )
    if report.members[0].rigid:
        head = (
            "Loads and tip-over of a rigid vehicle need only what was measured; none of the assumed values enters them."
        )
        return join(
            (element("h3", "Assumed, not measured"), paragraph(head), folded(f"All {len(rows)} assumed values", listed))
        )
    known = [(row, moves.get(item.key)) for row, item in zip(rows, report.vehicle.assumed, strict=True)]
    matter = sorted((pair for pair in known if pair[1]), key=lambda pair: -abs(pair[1] or 0.0))[:MATTERING]
    columns = ("key", "value", "range", "moves the crawl by")
    return join(
        (
            element("h3", f"Assumed, not measured: {len(rows)} values"),
            table(
                columns,
                [row[:4] for row, _ in matter],
                caption=f"Those that move the front axle load at {report.grade_deg:g} deg most.",
            )
            if matter
            else paragraph(f"None of them moves the front axle load at {report.grade_deg:g} deg."),
            folded(f"All {len(rows)} assumed values", listed),
        )
    )


def _left_out(report: Report) -> Any:
    """What the model leaves out, by what each alone may do, with what settles it."""
    if not report.doubts:
        return None

    def span(worth: Any, form: str, convert: Any) -> Any:
        ends = (None, None) if worth is None or worth.low is None else (convert(worth.low), convert(worth.high))
        return "no answer" if ends[0] is None else f"{ends[0]:+z{form}} to {ends[1]:+z{form}}"

    two = any(row.difference for row in report.doubts)
    rows = []
    for row in report.doubts:
        cells = [row.words, span(row.front_load_n, ".0f", grams_of_force), span(row.tip_over_grade_deg, ".2f", float)]
        if two:
            cells.append(span(row.difference.get("front_load_n"), ".1f", grams_of_force))
        rows.append((*cells, f"{row.range_words}. {row.recipe[:1].upper()}{row.recipe[1:].rstrip('.')}."))
    header = ["left out", "front axle load, g", "tip-over, deg"]
    header += [f"{shown_name(report.members[1].name)} less {shown_name(report.members[0].name)}, g"] if two else []
    caption = (
        f"By how much each alone may move the numbers at {report.grade_deg:g} deg, largest first, and what settles it."
    )
    return folded("What the model leaves out", table((*header, "how far, and what settles it"), rows, caption=caption))


PARTS = ("measured", "left out", "together")


def _breakable(key: str) -> Markup:
    """A key of the file that a narrow column may break where its words end."""
    return Markup(re.sub(r"([._])", r"\1<wbr>", text(key)))


def _errors(report: Report) -> Any:
    sure = report.uncertainty
    if sure is None:
        return None
    rows, advice = [], []
    kinds = (
        ("tip_over_grade_deg", "tip-over", ".2f", float),
        ("front_load_n", "front axle load", ".0f", grams_of_force),
    )
    for k, item in enumerate(sure.setups):
        cells = []
        for name, words, form, convert in kinds:
            found = getattr(item, name)
            cells.append(number(found.value if found.value is None else convert(found.value), form))
            for low, high in (
                (found.measured.low, found.measured.high),
                (found.left_out.low, found.left_out.high),
                (found.low, found.high),
            ):
                ends = [None if end is None else convert(end) for end in (low, high)]
                cells.append("{} to {}".format(*(number(end, form) for end in ends)))
            if k == 0 and found.improve:
                first = found.improve[0]
                advice.append(
                    f"For the {words} measure again first: {first.source} ({first.limit}, {100 * first.share:.0f} % of the doubt). {first.recipe}"
                )
        rows.append((named(k, item.setup), *cells))
    # Both axles and all setups may have one of the same name and size: it is told once.
    drawn = [(_breakable(name), limit) for name, limit in dict.fromkeys(map(tuple, sure.sources))]
    sources = table(("error of", "95 % limit"), drawn, caption="Every error that was drawn.")
    return join(
        (
            element("h3", "How sure"),
            table(
                ("setup", "tip-over, deg", *PARTS, f"front axle load at {sure.setups[0].grade_deg:g} deg, g", *PARTS),
                rows,
                caption=f"Value and 95 % intervals: of what was measured ({sure.draws} draws), of what the model leaves out "
                f"({sure.left_out_draws} draws; `noseload doubts` lists it), and of both together, seed {sure.seed}.",
            ),
            bullets([*advice, *([sure.note] if sure.note else [])]),
            _left_out(report),
            folded(f"All {len(drawn)} errors", sources),
        )
    )


def _limit_ends(ends: tuple[float, float | None] | None) -> str:
    """Ends of a grade over divisions of the pull, some of which may not meet the limit."""
    if ends is None:
        return ""
    low, high = ends
    return f" (from {low:.1f}, or not reached)" if high is None else spread((low, high), 1)


def limits(report: Report, drawings: Any) -> Markup:
    """Every limit of every setup, with the crawl over grade."""
    reached = [
        (key, words) for key, words in LIMITS if any(getattr(m.sweep.limits, key) is not None for m in report.members)
    ]
    rows = [
        (
            named(k, m.name),
            *(
                (grade(getattr(m.sweep.limits, key)) if getattr(m.sweep.limits, key) is not None else "not reached")
                + _limit_ends(m.ranges.limits.get(key))
                for key, _ in reached
            ),
            FIRST_WORDS[m.sweep.limits.first],
        )
        for k, m in enumerate(report.members)
    ]
    header = ("setup", *(words for _, words in reached), "ends the climb first")
    known = any(m.ranges.limits.get(key) for m in report.members for key, _ in reached)
    notes = [f"{shown_name(m.name)}: {m.sweep.message}" for m in report.members if m.sweep.message]
    return section(
        "limits",
        "Where a steady crawl ends",
        table(header, rows, caption=f"Grades at which a steady crawl ends, calculated.{division_caption(known)}"),
        bullets(notes),
        of_class("div", "pair", *drawings),
    )
