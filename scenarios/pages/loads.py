"""Middle of the page: creep beside punch with the budget, the links, and what would help."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.documents import grade, load, number, outcome_words
from noseload.model.crawl import budget_parts
from noseload.model.crawl.budget_parts import grouped
from noseload.model.names import shown_name
from noseload.model.units import grams_of_force
from noseload.studies.levers.answer import judged_gain, rank_sentence, stopped_sentence
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.punch_limits import OPEN

from .html import Markup, bullets, element, figure, folded, join, of_class, paragraph, section, table, text
from .words import badge, cap, division_caption, grams, named, spread, spread_g, told_once

if TYPE_CHECKING:
    from noseload.studies.show.report import Report


FEW_LEVERS, SHOWN_LEVERS = 15, 8
"""Levers on the page, and those of them shown without opening the list."""


CHANGED = (
    ("front_load_min_n", "the minimum load by", grams_of_force(1.0), " g"),
    ("front_first_hop_s", "the first hop by", 1e3, " ms"),
    ("front_hops", "the number of hops by", 1.0, ""),
)
"""Numbers of a punch whose changes are told: key, words, what makes its unit people's, that unit."""


def creep_and_punch(report: Report, drawings: Any) -> Markup:
    """The main question: what a crawl does to the front load, and what a punch adds."""
    words = [
        "A steady crawl has only static load, grade and attitude in its front-load budget. A throttle punch adds acceleration and rotation. "
        "The parts peak at different moments: never add their peaks."
    ]
    parts = [
        paragraph(*words),
        of_class("div", "pair", *drawings),
        _setups_table(report),
        folded("The budget in numbers", _budget_table(report)),
    ]
    parts += _differences(report)
    return section("loads", "Steady crawl beside throttle punch", *parts)


def _budget_table(report: Report) -> Any:
    """Budget of the first setup: crawl at both grades, punch at its least load."""
    first = report.members[0]
    row = first.at_grade
    if row.front_load_n is None:
        return paragraph(f"No steady crawl at {report.grade_deg:g} deg: {row.message}.")
    columns = [(f"crawl at {report.grade_deg:g} deg", row.budget, row.front_load_n)]
    done = first.punch
    if done is not None and done.success:
        low = done.least_sample
        columns.append(
            (
                f"crawl at {done.options.grade_deg:g} deg, punch begins",
                {k: p[0] for k, p in done.budget.items()},
                done.front_load_n[0],
            )
        )
        columns.append(
            (
                f"punch, at {done.time_s[low]:.3f} s (minimum front axle load)",
                {k: p[low] for k, p in done.budget.items()},
                done.front_load_n[low],
            )
        )
    rows = [
        (part.words, *(_part(budget[part.key]) for _, budget, _ in columns))
        for part in budget_parts.told(*(budget for _, budget, _ in columns))
    ]
    rows.append((element("b", "front axle load"), *(element("b", grams(total, ".1f")) for _, _, total in columns)))
    return table(
        ("part, g", *(name for name, _, _ in columns)),
        rows,
        caption=f"Where the front axle load of {shown_name(first.name)} comes from, grams as a scale reads; each column adds up{_one_law(report)}.",
    )


def _one_law(report: Report) -> str:
    """Of numbers that stand for one division of the pull, where others are plausible."""
    return "; the pull divided as the file says" if _is_open(report) else ""


def _is_open(report: Report) -> bool:
    """Whether crawl or punch of some setup has ends over plausible divisions of the pull."""
    return any(member.ranges.crawl or member.ranges.punch for member in report.members)


def _part(force_n: float) -> str:
    words = grams(force_n, "+.1f")
    return "0" if words in ("+0.0", "-0.0") else words


def _setups_table(report: Report) -> Any:
    header = (
        "setup",
        f"crawl at {report.grade_deg:g} deg",
        "nose up",
        "punch: minimum front axle load",
        "front in the air",
        "nose up at most",
        "outcome",
    )
    rows = []
    for k, member in enumerate(report.members):
        row, done = member.at_grade, member.punch
        crawl, punched = member.ranges.crawl, member.ranges.punch
        pitch = "-" if row.nose_up_pitch_deg is None else f"{row.nose_up_pitch_deg:.2f} deg"
        pitch += spread(crawl.get("nose_up_pitch_deg"), 1)
        cells = ["-", "-", "-", "-" if done is None else outcome_words("start_not_held")]
        if done is not None and done.success:
            s = done.summary
            cells = [
                f"{load(s['front_load_min_n'])}{spread_g(punched and punched.front_load_min_n)} at {s['front_load_min_time_s']:.3f} s",
                f"{1e3 * s['front_airborne_s']:.0f} ms{spread(punched and punched.front_airborne_s, 0, 1e3)}",
                f"{s['peak_nose_up_pitch_deg']:.2f} deg{spread(punched and punched.peak_nose_up_pitch_deg, 1)}",
                outcome_words(s["outcome"], s),
            ]
        rows.append(
            (named(k, member.name), load(row.front_load_n) + spread_g(crawl.get("front_load_n")), pitch, *cells)
        )
    caption = f"Every setup: the same crawl, the same punch.{division_caption(_is_open(report))}"
    return table(header, rows, caption=caption)


def _differences(report: Report) -> Any:
    """What each setup changes in crawl and punch at the punch's grade: verdicts, and where the difference comes from."""
    if report.punched is None:
        return []
    chosen = f" ({report.punch_grade_words})" if report.punch_grade_words else ""
    found = [element("h3", f"What each setup changes at {report.punch_grade_deg:g} deg{chosen}")]
    said = set()
    told: list[Markup] = []
    for k, d in enumerate(report.punched.differences, start=1):
        items = []
        for what, verdict in (("Crawl", d.creep_verdict), ("Punch", d.punch_verdict)):
            scope, rest = told_once(verdict, d.setup)
            # The same conditions for every setup are said once, by the first.
            head = f"{scope}. " if scope and scope not in said else ""
            said.add(scope)
            ends = _change_words(report.members[k].ranges.punch_changes) if what == "Punch" else ""
            items.append(join((element("b", f"{what}. "), text(head + rest + ends))))
        told += [element("h4", named(k, d.setup), f" against {shown_name(report.members[0].name)}"), bullets(items)]
    found.append(folded("Crawl and punch of each setup in words", *told))
    solved = [(k, d) for k, d in enumerate(report.punched.differences, start=1) if d.budget and d.creep_budget]
    if solved:
        header = (
            "part of the difference, g",
            *(join((badge(k), f" {what}")) for k, _ in solved for what in ("crawl", "punch")),
        )
        rows = [
            (part.words, *(_part(budget[part.key]) for _, d in solved for budget in (d.creep_budget, d.budget)))
            for part in budget_parts.told(*(budget for _, d in solved for budget in (d.creep_budget, d.budget)))
        ]
        sums = [grouped(budget) for _, d in solved for budget in (d.creep_budget, d.budget)]
        rows += [
            (element("b", words), *(element("b", _part(pair[place])) for pair in sums))
            for place, words in enumerate(("= as in a steady crawl", "= acceleration and rotation"))
        ]
        found.append(
            folded(
                "The differences in numbers",
                table(
                    header,
                    rows,
                    caption=f"Setup less {shown_name(report.members[0].name)}, each punch read at its own minimum front axle load. In a crawl all of a "
                    f"difference is static load, grade and attitude; a punch adds the rest{_one_law(report)}.",
                ),
            )
        )
    return found


def _change_words(ends: dict[str, tuple[float, float]]) -> str:
    """What plausible divisions of the pull make of a setup's change in the punch; '' where nothing is open."""
    parts = [
        f"{words} {from_to(factor * ends[key][0], factor * ends[key][1], 0, sign=True)}{unit}"
        for key, words, factor, unit in CHANGED
        if any(ends.get(key, ()))
    ]
    return f" {OPEN} it changes {', '.join(parts)}." if parts else ""


def links(report: Report, drawings: Any) -> Markup:
    """Instant centres and both figures of every setup."""
    have = [(k, m) for k, m in enumerate(report.members) if m.links is not None]
    if not have:
        return section("links", "The links", paragraph("This file has no link figures: " + _why(report, "links")))
    rows = []
    for k, member in have:
        seen = member.links.to_dict()
        for end, name in (("rear", "anti_squat"), ("front", "anti_lift")):
            item = seen[end]
            rows.append(
                (
                    named(k, member.name),
                    f"{end}: {name.replace('_', '-')}",
                    number(item[f"{name}_textbook_percent"], ".0f"),
                    number(item[f"{name}_as_driven_percent"], ".0f")
                    + spread(member.ranges.figures.get(f"{name}_as_driven"), 0, 100.0),
                    number(item["swing_arm_length_mm"], ".0f"),
                    number(item["swing_arm_angle_deg"], ".1f"),
                    number(item["housing_nose_up_deg"], ".2f"),
                )
            )
    words = (
        "Textbook: as if one axle alone drove and axles weighed nothing. As driven: with the tractions it has here and the axles' own masses; this is what "
        "the springs feel. In a steady crawl the links act on the front axle load through attitude alone."
    )
    return section(
        "links",
        "The links",
        of_class("div", "pair", *drawings),
        paragraph(words),
        folded(
            "The figures of every setup",
            table(
                (
                    "setup",
                    "axle and figure",
                    "textbook, %",
                    "as driven, %",
                    "swing arm, mm",
                    "its angle, deg",
                    "housing nose up, deg",
                ),
                rows,
                caption=f"Side-view geometry in the steady crawl at {report.grade_deg:g} deg, calculated. Swing arm + toward the other axle; - where there is no finite one."
                + division_caption(any(member.ranges.figures for _, member in have)),
            ),
        ),
    )


def _why(report: Report, part: str) -> Any:
    return next((item.why for item in report.missing if item.part.startswith(part)), "they could not be solved.")


def helps(report: Report) -> Markup:
    """Ready-made changes with their intervals first; setups and changes of the file; numbers one by one folded away."""
    ranked = report.rank
    if ranked is None:
        return section("help", "What would help", paragraph(cap(_why(report, "what would help"))))
    parts = [paragraph(rank_sentence(ranked))]
    if stopped_sentence(ranked):
        parts.append(paragraph(stopped_sentence(ranked)))
    parts.append(_ready_table(ranked))
    if ranked.changes:
        parts.append(
            table(
                ("setup or change", "tip-over, deg", "front axle load, g", ""),
                [
                    (
                        of_class("span", "name", shown_name(item.label)),
                        number(item.effects["tip_over_grade_deg"], "+.2f"),
                        grams(item.effects["front_load_n"], "+.1f") + _over_laws(item, 1),
                        of_class("span", "why", item.message) if item.status != "ok" else "",
                    )
                    for item in ranked.changes
                ],
                caption=f"Whole changes, solved in full, against the file as written (tip-over {grade(ranked.outcomes['tip_over_grade_deg'])})."
                + division_caption(_known(ranked.changes)),
            )
        )
    if ranked.levers:
        shown = ranked.levers[:FEW_LEVERS]
        parts.append(
            folded(f"{len(shown)} numbers one by one, in steps of 1 mm, 10 g or 5 %", _lever_table(ranked, shown))
        )
    if ranked.message:
        parts.append(bullets([ranked.message]))
    return section("help", "What would help", *parts)


def _ready_table(ranked: Any) -> Any:
    """The best ready-made changes: gains, intervals, verdict."""
    rows = [
        (
            item.label,
            number(item.effects["tip_over_grade_deg"], "+.2f"),
            _between(item, "tip_over_grade_deg", 1.0, 1),
            grams(item.effects["front_load_n"], "+.0f") + _over_laws(item),
            _between(item, "front_load_n", grams_of_force(1.0), 0),
            judged.short_words() if (judged := judged_gain(ranked, item)) is not None else item.message,
        )
        for item in ranked.ready_made[:SHOWN_LEVERS]
    ]
    return table(
        ("ready-made change", "tips later, deg", "from to", "front axle load, g", "from to", ""),
        rows,
        caption=f"Changes of the trade made to this vehicle, the best first, of {len(ranked.ready_made)} that it allows (95 % intervals; "
        f"front axle load at {ranked.grade_deg:g} deg). In a throttle punch the order may be another."
        + division_caption(_known(ranked.ready_made)),
    )


def _over_laws(item: Any, decimals: int = 0, sense: float = 1.0) -> str:
    """Ends of the effect on the front load over plausible divisions of the pull; '' where nothing moves."""
    ends = item.ranges_over_splits.get("front_load_n", [0.0])
    if not any(ends):
        return ""
    low, high = sorted(sense * end for end in ends)
    return spread_g((low, high), decimals, sign=True)


def _known(items: Any) -> bool:
    return any(_over_laws(item) for item in items)


def _between(item: Any, name: str, factor: float, decimals: int) -> str:
    low, high = item.intervals.get(name, (None, None))
    return "-" if low is None or high is None else from_to(factor * low, factor * high, decimals, sign=True)


def _lever_table(ranked: Any, shown: Any) -> Any:
    largest = max((abs(lever.effects["tip_over_grade_deg"] or 0.0) for lever in ranked.levers), default=0.0) or 1.0
    rows = []
    for lever in shown:
        tip, load = lever.effects["tip_over_grade_deg"], lever.effects["front_load_n"]
        bar = element("span", attributes={"class": "bar", "style": f"width:{100 * abs(tip or 0.0) / largest:.0f}%"})
        equal = lever.equal_front_axle_g["tip_over_grade_deg"]
        rows.append(
            (
                lever.label + (" *" if lever.assumed else ""),
                lever.step,
                lever.advice["tip_over_grade_deg"] or "-",
                join((number(None if tip is None else abs(tip), ".3f"), bar)),
                lever.advice["front_load_n"] or "-",
                "-"
                if load is None
                else f"{abs(grams_of_force(load)):.2f}{_over_laws(lever, 2, -1.0 if load < 0.0 else 1.0)}",
                number(None if equal is None else abs(equal), ".1f"),
            )
        )
    head = (
        "number",
        "step",
        "which way",
        "tips later by, deg",
        "for front axle load",
        "front axle load up by, g",
        "= g at the front wheels",
    )
    caption = (
        f"What one practical step buys, largest first (front axle load at {ranked.grade_deg:g} deg; * assumed, not measured; links made to fit, "
        f"springs set to the measured stand; exact slopes: a large change may buy more or less).{division_caption(_known(shown))}"
    )
    return table(head, rows, caption=caption)


def pictures(pairs: Any, key: Markup | str = "") -> list:
    """Figures with captions from (drawing, caption) pairs; `key` names the lines of the first."""
    return [
        figure(drawing, join((text(caption), *([" ", key] if k == 0 and key else []))))
        for k, (drawing, caption) in enumerate(pairs)
    ]


def line_key(members: Any, looks: Any) -> Markup:
    """Letter, line and name of every setup."""
    items = []
    for k, (member, (colour, dash)) in enumerate(zip(members, looks, strict=True)):
        line = element(
            "svg",
            element(
                "path", attributes={"d": "M0 5H40", "stroke": colour, "stroke-width": 2.5, "stroke-dasharray": dash}
            ),
            attributes={"viewBox": "0 0 40 10", "width": 40, "height": 10, "aria-hidden": "true"},
        )
        items.append(of_class("span", "line", line, " ", named(k, member.name)))
    return join(items, " ")
