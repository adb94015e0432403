"""HTML of the live part: one sentence, one control, one number a section; without scripts its words still stand."""

from __future__ import annotations

import re
from math import isfinite
from typing import TYPE_CHECKING, Any

from noseload.model.crawl import budget_parts
from noseload.model.names import shown_name
from noseload.model.parameters import ENDS, LINKS
from noseload.model.units import grams_of_force
from noseload.pages.html import Markup, element, embedded_json, join, of_class, paragraph
from noseload.pages.words import signed
from noseload.studies.verdict.judgement import Judgement, Threshold

from .numbers import live_scripts, space_numbers_of, vehicle_numbers
from .words import ENGLISH

if TYPE_CHECKING:
    from noseload.studies.levers.results import WholeChange
    from noseload.studies.show.report import Report, ReportMember

SIDES = ("chassis", "axle")
REACH_MM = 25.0
"""How far a reader may move a link end, mm each way, where no search says how far it may."""
SAVED_GRADES_DEG = (0.0, 15.0, 30.0, 45.0, 55.0)
LEVERS = (
    ("front_wheels_100_g",),
    ("5_mm_lower",),
    ("front_springs_softer", "front_springs_stiffer", "rear_springs_softer", "rear_springs_stiffer"),
)
"""Ready-made changes shown beside what links do: lead, height and the best of the springs."""


def link_ends(words: dict[str, str] = ENGLISH) -> dict[str, str]:
    """Every link end: its name in the script, and for people."""
    return {
        f"{end}_{link}_{side}": _filled(words, "ends", end=words[end], link=words[link], side=words[side])
        for end in ENDS
        for link in LINKS
        for side in SIDES
    }


def _alive(report: Report) -> list[ReportMember]:
    return [] if report.members[0].rigid else [member for member in report.members if not member.rigid]


def _reach(report: Report) -> float:
    """How far a link end may be moved, mm: as far as the search went, where there was one."""
    return REACH_MM if report.most is None else report.most.limits.reach


def _against(base: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """Numbers of a setup with only those values that are not the base's: the script puts them together again."""
    changed = {name: value for name, value in own["values"].items() if base["values"].get(name) != value}
    return own | {"values": changed}


def live_data(report: Report, words: dict[str, str]) -> dict[str, Any]:
    """Everything the script needs, and nothing that it can work out itself."""
    members = _alive(report)
    standing_load = members[0].sweep.rows[0].budget["standing_n"]
    thresholds = report.options.thresholds
    saved = [
        [k, row.grade_deg, round(row.front_load_n, 9)]
        for k, member in enumerate(members)
        for row in (member.climb.row(grade) for grade in SAVED_GRADES_DEG)
        if row.front_load_n is not None
    ]
    most = report.most
    numbers = [vehicle_numbers(member.climb.standing) for member in members]
    budgets = [row.budget for member in members for row in member.sweep.rows]
    return {
        "words": _script_words(words | size_words(thresholds.load(0.0, standing_load).threshold, words)),
        "setups": [
            {
                "label": shown_name(member.name),
                "numbers": _against(numbers[0], numbers[k]) if k else numbers[0],
                "wheels": None if k > 1 or member.on_wheels is None else space_numbers_of(member.on_wheels),
            }
            for k, member in enumerate(members)
        ],
        "grade_deg": report.grade_deg,
        "punch_grade_deg": report.punch_grade_deg if report.punch_grade_deg is not None else report.grade_deg,
        "throttle": report.options.throttle,
        "rise_s": report.options.rise_s,
        "measurable_g": grams_of_force(thresholds.measurable_load_n),
        "noticed_g": grams_of_force(thresholds.noticed_load_n(standing_load)),
        "link_ends": list(link_ends()),
        "reach_mm": _reach(report),
        "most": None
        if most is None
        else {
            "grade_deg": most.grade_deg,
            "low_g": grams_of_force(most.least.front_load_n),
            "high_g": grams_of_force(most.most.front_load_n),
        },
        "parts": {part.key: part.words for part in budget_parts.told(*budgets, steady=True)},
        "saved": saved,
        "measured": _measured_points(report),
        "measured_curve": _measured_curve(report),
    }


def size_words(sizes: Threshold, words: dict[str, str]) -> dict[str, str]:
    """What a difference is called by its size: the words of every verdict, unless a table of words has its own."""
    at = {"unseen": 0.0, "measurable": 0.5 * (sizes.measurable + sizes.noticed), "noticeable": 2.0 * sizes.noticed}
    return {key: words.get(key) or Judgement(value, sizes).size_words() for key, value in at.items()}


def _script_words(words: dict[str, str]) -> dict[str, str]:
    """Those texts that the script speaks; the others are on the page already."""
    spoken = set(re.findall(r"\w+", live_scripts()))
    return {key: text for key, text in words.items() if key in spoken}


def _measured_points(report: Report) -> list[list[float]]:
    """Front axle loads read on the board: grade (deg), reading, its standard error and what was predicted (g)."""
    found = report.measured
    if found is None:
        return []
    columns = zip(found.kinds, found.grade_deg, found.observed, found.errors, found.predicted, strict=True)
    return [
        [float(grade), *(round(float(grams_of_force(force)), 3) for force in forces)]
        for kind, grade, *forces in columns
        if kind == "front_load" and all(isfinite(force) for force in forces)
    ]


def _measured_curve(report: Report) -> list[list[float]]:
    """What the front scale should read over grade (deg, g), with the wheels held as in the readings."""
    curves = {} if report.measured is None else report.measured.curves
    grades, loads, _ = curves.get("front_load", ((), (), ()))
    return [
        [round(float(g), 2), round(float(grams_of_force(load)), 1)]
        for g, load in zip(grades, loads, strict=True)
        if isfinite(load)
    ]


def _filled(words: dict[str, str], key: str, **given: str) -> str:
    text = words[key]
    for name, value in given.items():
        text = text.replace(f"{{{name}}}", value)
    return text


def _part(name: str, title: str, *parts: Markup | str | None) -> Markup:
    heading = element("h2", title, attributes={"id": f"live-{name}-title"})
    return element(
        "section", heading, *parts, attributes={"id": f"live-section-{name}", "aria-labelledby": f"live-{name}-title"}
    )


def _slider(name: str, label: str, low: float, high: float, step: float, value: float, unit: str = "") -> Markup:
    told = element("output", f"{value:g}{unit}", attributes={"id": f"live-{name}-told", "for": f"live-{name}"})
    control = element(
        "input",
        attributes={
            "type": "range",
            "id": f"live-{name}",
            "min": f"{low:g}",
            "max": f"{high:g}",
            "step": f"{step:g}",
            "value": f"{value:g}",
            "data-unit": unit,
        },
    )
    # An output within the label would take the label for its own: the slider would have no name.
    named = element("label", label, attributes={"for": f"live-{name}"})
    return of_class("div", "slider", named, " ", told, control)


def _number(
    name: str, label: str, value: float, step: float = 0.5, form_name: str = "", reach: float | None = None
) -> Markup:
    control = element(
        "input",
        attributes={
            "type": "number",
            "id": f"live-{name}",
            "name": form_name or name,
            "value": f"{value:g}",
            "step": f"{step:g}",
            "inputmode": "decimal",
            "min": None if reach is None else f"{-reach:g}",
            "max": None if reach is None else f"{reach:g}",
        },
    )
    return element("label", f"{label} ", control)


def _box(name: str, label: str) -> Markup:
    control = element("input", attributes={"type": "checkbox", "id": f"live-{name}"})
    return element("label", control, f" {label}")


def _button(name: str, words: str, disabled: bool = False) -> Markup:
    return element("button", words, attributes={"type": "button", "id": f"live-{name}", "disabled": disabled})


def _empty(tag: str, name: str, kind: str = "") -> Markup:
    return element(tag, attributes={"id": f"live-{name}", "class": kind or None})


def _stage(words: dict[str, str]) -> Markup:
    numbers = element(
        "p",
        _empty("span", "load"),
        f" {words['front_load']} ",
        _empty("span", "grade"),
        " ",
        _empty("span", "difference"),
        attributes={"id": "live-numbers"},
    )
    spoken = element("p", attributes={"id": "live-spoken", "class": "unseen", "aria-live": "polite"})
    return element("div", _empty("div", "stage-drawing"), numbers, spoken, attributes={"id": "stage"})


def _guess(report: Report, words: dict[str, str], base: str, other: str | None) -> Markup | None:
    if other is None:
        return None
    grade = f"{report.grade_deg:g}"
    return _part(
        "guess",
        words["guess_title"],
        paragraph(_filled(words, "guess_text", setup=other, base=base, grade=grade)),
        _slider("guess", words["guess_label"], -150, 150, 1, 0, " g"),
        _button("guess-button", words["guess_button"]),
        element(
            "p",
            f"{words['guess_veil']} ",
            _button("guess-skip", words["guess_skip"]),
            attributes={"id": "live-guess-veil", "class": "answer"},
        ),
        element("p", attributes={"id": "live-guess-answer", "class": "answer", "aria-live": "polite"}),
        _empty("div", "guess-scale"),
    )


def _tilt(report: Report, words: dict[str, str]) -> Markup:
    steepest = report.members[0].sweep.limits.steepest_equilibrium_deg or 60.0
    return _part(
        "tilt",
        words["tilt_title"],
        paragraph(words["tilt_text"]),
        _slider("tilt", words["tilt_label"], 0, min(89.0, 5.0 * (steepest // 5.0) + 10.0), 0.5, report.grade_deg),
        _empty("div", "bars", "bars"),
        element("p", attributes={"id": "live-tip", "class": "answer"}),
    )


def _chooser(words: dict[str, str], name: str, key: str, choices: dict[str, str]) -> Markup:
    options = [element("option", label, attributes={"value": value}) for value, label in choices.items()]
    return element("label", f"{words[key]} ", element("select", *options, attributes={"id": f"live-{name}"}))


def _move(words: dict[str, str], labels: list[str], reach: float) -> Markup:
    setups = {str(k): label for k, label in enumerate(labels)}
    return _part(
        "move",
        words["move_title"],
        paragraph(words["move_text"]),
        _chooser(words, "setup", "move_setup", setups) if len(labels) > 1 else None,
        _chooser(words, "move-end", "move_end", link_ends(words)),
        _number("move-along", words["move_along"], 0.0, reach=reach),
        _number("move-up", words["move_up"], 0.0, reach=reach),
        _box("move-fitted", words["move_fitted"]),
        _box("move-reset", words["move_reset"]),
        _button("move-back", words["move_back"]),
        element("p", attributes={"id": "live-move-worth", "class": "answer"}),
        _empty("div", "move-loads"),
        of_class("p", "soft", _filled(words, "move_loads", base=labels[0])),
        _empty("div", "move-chart"),
        of_class("p", "soft", words["move_chart"]),
    )


def _levers(report: Report) -> list[WholeChange]:
    """What lead, height and springs do to the front axle load: of each kind the change that gives most."""
    ranked = [] if report.rank is None else report.rank.ready_made
    known = {change.name: change for change in ranked if change.effects.get("front_load_n") is not None}
    kinds = [[known[name] for name in names if name in known] for names in LEVERS]
    return [max(kind, key=lambda change: change.effects["front_load_n"]) for kind in kinds if kind]


def _push(report: Report, words: dict[str, str]) -> Markup | None:
    most = report.most
    if most is None or most.load_range_n is None:
        return None
    text = _filled(
        words,
        "push_text",
        reach=f"{most.limits.reach:g}",
        low=f"{grams_of_force(most.least.front_load_n):.0f}",
        high=f"{grams_of_force(most.most.front_load_n):.0f}",
        grade=f"{most.grade_deg:g}",
    )
    items = [
        element("li", f"{change.label}: {signed(grams_of_force(change.effects['front_load_n']))} g")
        for change in _levers(report)
    ]
    return _part(
        "push",
        words["push_title"],
        paragraph(text),
        element("p", attributes={"id": "live-push-score", "class": "answer"}),
        join((paragraph(words["push_else"]), element("ul", *items))) if items else None,
    )


def _punch(report: Report, words: dict[str, str]) -> Markup | None:
    if report.punch_grade_deg is None:
        return None
    options = report.options
    return _part(
        "punch",
        words["punch_title"],
        paragraph(words["punch_text"]),
        _slider("punch-throttle", words["punch_throttle"], 0, 1, 0.05, options.throttle),
        _slider("punch-rise", words["punch_rise"], 0.01, 1, 0.01, options.rise_s, " s"),
        _slider("punch-grade", words["punch_grade"], 0, 70, 1, report.punch_grade_deg, "\N{DEGREE SIGN}"),
        _button("punch-button", words["punch_button"]),
        element("p", attributes={"id": "live-punch-answer", "class": "answer", "aria-live": "polite"}),
        _empty("div", "punch-films", "films"),
        _empty("span", "punch"),
    )


def _wheels(report: Report, words: dict[str, str]) -> Markup | None:
    member = report.members[0]
    if member.on_wheels is None:
        return None
    axle = next((a for a in (member.vehicle.front, member.vehicle.rear) if a.axle_ratio is not None), None)
    spread = None
    if report.lift_range_deg is not None:
        low, high = report.lift_range_deg
        spread = paragraph(
            _filled(words, "wheels_range", base=shown_name(member.name), low=f"{low:.1f}", high=f"{high:.1f}")
        )
    return _part(
        "wheels",
        words["wheels_title"],
        paragraph(words["wheels_text"]),
        element("p", attributes={"id": "live-wheels-answer", "class": "answer", "aria-live": "polite"}),
        _empty("div", "wheels-drawing"),
        _slider("wheels-grade", words["tilt_label"], 0, 75, 0.5, min(40.0, report.grade_deg), "\N{DEGREE SIGN}"),
        _box("wheels-off", words["wheels_off"]) if axle is not None else None,
        None if axle is None else _slider("wheels-ratio", words["wheels_ratio"], 1.5, 6, 0.1, axle.axle_ratio),
        _slider("wheels-rear", words["wheels_rear"], 0.5, 3, 0.05, 1, " x"),
        _slider("wheels-front", words["wheels_front"], 0.5, 3, 0.05, 1, " x"),
        spread,
    )


def _blind(report: Report, words: dict[str, str], base: str, other: str | None) -> Markup | None:
    if other is None or report.punch_grade_deg is None:
        return None
    grade = f"{report.punch_grade_deg:g}"
    return _part(
        "blind",
        words["blind_title"],
        paragraph(_filled(words, "blind_text", setup=other, base=base, grade=grade)),
        _button("blind-start", words["blind_start"]),
        _button("blind-first", words["blind_first"], disabled=True),
        _button("blind-second", words["blind_second"], disabled=True),
        element("p", attributes={"id": "live-blind-answer", "class": "answer", "aria-live": "polite"}),
        _empty("div", "blind-films", "films"),
    )


def _own(report: Report, words: dict[str, str]) -> Markup:
    level = report.members[0].climb.row(0.0)
    _, height = report.description.to_dict()["centre_of_gravity_mm"]
    fields = (
        ("wheelbase", 1e3 * report.vehicle.wheelbase),
        ("rear", grams_of_force(level.rear_load_n)),
        ("front", grams_of_force(level.front_load_n)),
        ("height", height),
    )
    return _part(
        "own",
        words["own_title"],
        paragraph(words["own_text"]),
        *(_number(f"own-{name}", words[f"own_{name}"], round(value), 1, name) for name, value in fields),
        element("p", attributes={"id": "live-own-answer", "class": "answer", "aria-live": "polite"}),
        element("p", attributes={"id": "live-own-check"}),
        _box("own-linked", words["own_linked"]),
        element("p", attributes={"id": "live-own-links", "class": "answer", "aria-live": "polite"}),
        element(
            "a", words["own_save"], attributes={"id": "live-own-save", "download": "my-crawler.toml", "href": "#live"}
        ),
    )


def _why(report: Report, words: dict[str, str]) -> Markup:
    table = element("table", element("tbody", attributes={"id": "live-why-moments"}))
    return _part(
        "why",
        words["why_title"],
        paragraph(words["why_text"]),
        _empty("div", "why-sketch"),
        table,
        element("p", attributes={"id": "live-why-measured", "class": "answer"}),
        _empty("div", "why-chart"),
        element("p", attributes={"id": "live-why-saved", "class": "answer"}),
        paragraph(_filled(words, "why_file", sha=report.vehicle.sha256 or "-")),
        paragraph(words["why_left"]),
    )


def live_part(report: Report, still: Markup, answers: Markup | None, words: dict[str, str] = ENGLISH) -> Markup | None:
    """The live part of the page with its data and scripts, or None for a vehicle without links.

    Parameters
    ----------
    report : Report
    still : Markup
        The picture in place of the drawing that moves, where scripts are off.
    answers : Markup or None
        What stands below the drawing before anything is asked.
    words : dict of str to str, optional
        Texts of another language under the keys of `ENGLISH`.
    """
    members = _alive(report)
    if not members:
        return None
    base = shown_name(members[0].name)
    other = shown_name(members[1].name) if len(members) > 1 else None
    parts = [
        _stage(words),
        answers,
        _guess(report, words, base, other),
        _tilt(report, words),
        _move(words, [shown_name(member.name) for member in members], _reach(report)),
        _push(report, words),
        _punch(report, words),
        _wheels(report, words),
        _blind(report, words, base, other),
        _own(report, words),
        _why(report, words),
    ]
    off = element("noscript", of_class("div", "still", still), paragraph(words["scripts_off"]))
    script = Markup(f"<script>\n{live_scripts()}\n</script>")
    return join(
        (
            element("div", *parts[:1], off, *parts[1:], attributes={"id": "live"}),
            embedded_json(live_data(report, words), "live-data"),
            script,
        )
    )
