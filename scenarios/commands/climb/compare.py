"""`noseload compare`: setups, or vehicles, side by side."""

from __future__ import annotations

import os
from collections.abc import Sequence
from math import isnan
from typing import TYPE_CHECKING, Any

from noseload.commands.answers import answer_lines
from noseload.commands.assumed_lines import assumed_lines
from noseload.commands.climb.split_lines import difference_document, difference_lines
from noseload.commands.common import add_vehicle, load_setups, print_json
from noseload.commands.how_sure import add_uncertainty, interval_text
from noseload.commands.paths import add_overwrite, writes, writes_into
from noseload.demo import DEMO
from noseload.documents import NO_SOLUTION, finite_option, grade, grade_option, grams, number, table, write_csv
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.studies.climb.creep import creep
from noseload.studies.climb.results import LIMIT_WORDS
from noseload.studies.climb.split import limit_ranges
from noseload.studies.compare.compare import cause_words, compare
from noseload.studies.errors.assumed import assumed_that_matter
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.intervals import from_to
from noseload.studies.wheels.remark import remark_on
from noseload.studies.wheels.words import range_words, wheel_words

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.compare.compare import Comparison


SUMMARY = "Every setup and change of a file against the file as written, or several files against the first."
EXAMPLE = "noseload compare my-crawler.toml --grade 50 --pictures my-pictures"
CHANGED_WORDS = (
    ("rear_ride_height_mm", "rear ride height", "mm"),
    ("front_ride_height_mm", "front ride height", "mm"),
    ("nose_up_pitch_deg", "chassis nose up", "deg"),
    ("wheelbase_mm", "wheelbase", "mm"),
    ("rear_housing_nose_up_deg", "rear housing nose up", "deg"),
    ("front_housing_nose_up_deg", "front housing nose up", "deg"),
    ("centre_of_gravity_mm", "centre of gravity from the rear axle", "mm"),
    ("centre_of_gravity_height_mm", "height of the centre of gravity", "mm"),
    ("rear_droop_left_mm", "rear droop left", "mm"),
    ("rear_bump_left_mm", "rear bump left", "mm"),
    ("front_droop_left_mm", "front droop left", "mm"),
    ("front_bump_left_mm", "front bump left", "mm"),
)


SIGN_DEG = 0.05
"""A change of the first lift to both sides by more than this has no robust sign."""
AT_A_GRADE_OF_ITS_OWN = float("nan")
QUICK_DRAWS = 400
"""Draws of the intervals in the verdicts; `--uncertainty` takes more and prints them all."""


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser, several=True, setup=False)
    parser.add_argument(
        "--setups", metavar="A,B", help="only these setups and changes, ready-made ones too, the first as reference"
    )
    parser.add_argument(
        "--grade",
        type=grade_option(-80.0, 89.0),
        metavar="DEG",
        help="grade of the verdict (default: a few degrees below where the first climb ends)",
    )
    parser.add_argument(
        "--step",
        type=finite_option("a step", 0.1, 30.0),
        default=5.0,
        metavar="DEG",
        help="step of the printed table, deg (5)",
    )
    lines = Thresholds()
    parser.add_argument(
        "--repeatability",
        nargs=2,
        type=finite_option("a repeatability", 0.0),
        metavar=("G", "DEG"),
        default=(lines.repeatability_g, lines.repeatability_deg),
        help="how far a repeated reading comes back: grams and degrees (5 0.3)",
    )
    parser.add_argument(
        "--noticed",
        nargs=2,
        type=finite_option("a threshold", 0.0),
        metavar=("PERCENT", "DEG"),
        default=(100 * lines.noticed_share, lines.noticed_deg),
        help="what would be noticed: percent of the static front axle load, degrees (2 1)",
    )
    parser.add_argument(
        "--punch",
        nargs="?",
        type=grade_option(-80.0, 89.0),
        const=AT_A_GRADE_OF_ITS_OWN,
        metavar="DEG",
        help="also a full-throttle punch at this grade (bare: the steepest that all hold)",
    )
    parser.add_argument(
        "--film",
        nargs=2,
        type=finite_option("a number", 1e-3),
        metavar=("FRAMES_S", "S"),
        default=(lines.film_frames_per_s, lines.noticed_airborne_s),
        help="time in the air: frames a second of the film, seconds noticed (240 0.1)",
    )
    parser.add_argument("--wheels", action="store_true", help="with --punch: the punch in space, wheel by wheel")
    add_uncertainty(parser)
    parser.add_argument("--all", action="store_true", help="also the long table: front axle load over grade")
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")
    parser.add_argument("--csv", type=writes("--csv"), metavar="FILE", help="also write all rows as CSV")
    parser.add_argument(
        "--pictures", type=writes_into("--pictures"), metavar="FOLDER", help="also draw the pictures into this folder"
    )
    add_overwrite(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    if options.wheels and options.punch is None:
        raise ModelError("--wheels compares punches: give --punch [DEG] too")
    vehicles = _vehicles(options)
    thresholds = Thresholds(
        options.repeatability[0], options.repeatability[1], options.noticed[0] / 100, options.noticed[1], *options.film
    )
    result = compare(
        vehicles,
        grade_deg=options.grade,
        thresholds=thresholds,
        draws=int(options.draws) if options.uncertainty else QUICK_DRAWS,
        seed=options.seed,
        apart=options.uncertainty or options.json,
    )
    assumed = assumed_that_matter(
        vehicles, lambda v: _load_differences(v, result.grade_deg), thresholds.measurable_load_n
    )
    punched, ranges = None, []
    if options.punch is not None:
        from noseload.studies.compare.punch import compare_punch

        punched = compare_punch(result, grade_deg=None if isnan(options.punch) else options.punch)
        ranges = _punch_ranges(vehicles, punched)
    lifted = _wheels(vehicles, options, punched, [member.name for member in result.members])
    remarks = [remark_on(vehicle) for vehicle in vehicles]
    if options.csv:
        write_csv(options.csv, [{**row.to_dict(), "setup": m.name} for m in result.members for row in m.sweep.rows])
        if punched is not None:
            write_csv(_punch_name(options.csv), punched.rows())
    if options.json:
        extra: dict[str, Any] = {"assumed_that_matter": [e.to_dict("n") for e in assumed]}
        extra["single_wheels"] = [
            {"setup": v.setup, **remark.to_dict(), "change_deg": list(remark.change_from(remarks[0]))}
            for v, remark in zip(vehicles, remarks, strict=True)
        ]
        extra["difference_ranges_n"] = difference_document(result.members, result.grade_deg)
        extra["limit_ranges"] = [{"setup": m.name} | limit_ranges(m.climb) for m in result.members]
        if punched is not None:
            names = [member.name for member in result.members[1:]]
            spans = [{"setup": name, **ends} for name, ends in zip(names, ranges, strict=True)]
            extra["punch"] = punched.to_dict() | {"difference_ranges_over_splits": spans}
        if lifted is not None:
            extra["punch_wheels"] = lifted.to_dict()
        print_json("compare", result.to_dict() | extra, options, vehicles, seed=options.seed)
    else:
        lines = [
            _text(result, punched, options.step, options.all),
            *(() if options.all else difference_lines(result.members, result.grade_deg)),
            *_wheel_lines(result, remarks),
            *assumed_lines(assumed, "g of a difference", grams_of_force(1.0)),
        ]
        print("\n".join(lines) + (interval_text(result.uncertainty) if options.uncertainty else ""))
        if punched is not None:
            from .compare_punch_text import punch_range_lines, punch_text

            print("\n" + "\n".join([punch_text(punched, options.all), *punch_range_lines(punched, ranges)]))
        if lifted is not None:
            from .compare_wheels_text import wheels_punch_text

            print(f"\n{wheels_punch_text(lifted)}")
    if options.pictures:
        from noseload.pictures.climb.comparison import save_comparison

        names = save_comparison(result, options.pictures, punched)
        if punched is not None:
            from noseload.pictures.punch.comparison import draw_punch_comparison
            from noseload.pictures.style import save_figure

            save_figure(draw_punch_comparison(punched), os.path.join(options.pictures, "creep-and-punch.png"))
            names.append("creep-and-punch.png")
        if lifted is not None:
            from noseload.pictures.punch.wheels import draw_compared

            save_figure(draw_compared(lifted), os.path.join(options.pictures, "wheels-punch.png"))
            names.append("wheels-punch.png")
        if not options.json:
            print(f"\npictures in {options.pictures}{os.sep}: {', '.join(names)}")
    return 0 if result.to_dict()["status"] == "ok" else NO_SOLUTION


def _punch_ranges(vehicles: list[Vehicle], punched: Any) -> list[dict[str, tuple[float, float]]]:
    """Ends of what each setup changes in the punch over plausible divisions of the pull."""
    from noseload.studies.punch.splits_range import difference_ranges

    asked = {"grade_deg": punched.grade_deg, "throttle": punched.throttle, "rise_s": punched.rise_s}
    return difference_ranges(vehicles, asked, [member.punch.summary for member in punched.members])


def _wheels(vehicles: list[Vehicle], options: Namespace, punched: Any, names: list[str]) -> Any:
    """The punches in space that were asked for, at the grade of those in the side view."""
    if not options.wheels:
        return None
    from noseload.studies.compare.wheels_punch import compare_wheels_punch

    thresholds = punched.comparison.thresholds
    return compare_wheels_punch(vehicles, grade_deg=punched.grade_deg, names=names, thresholds=thresholds)


def _punch_name(path: str) -> str:
    """Where the rows of the punches go: 'rows.csv' -> 'rows-punch.csv'."""
    stem, suffix = os.path.splitext(path)
    return f"{stem}-punch{suffix}"


def _load_differences(vehicles: Sequence[Vehicle], grade_deg: float) -> Any:
    loads = [creep(v, grade_deg=grade_deg).front_load_n for v in vehicles]
    first = loads[0]
    return tuple(None if load is None or first is None else load - first for load in loads[1:])


def _vehicles(options: Namespace) -> list[Vehicle]:
    files = options.vehicles or [DEMO]
    if len(files) > 1:
        return [load_vehicle(file, drive=options.drive) for file in files]
    return load_setups(files[0], options.setups, drive=options.drive, changes=True, compared=True)


def _text(result: Any, punched: Any, step: float, everything: bool) -> str:
    first = result.members[0]
    vehicle = first.climb.vehicle
    answers = answer_lines(result)
    if punched is not None:
        from .compare_punch_text import punch_answer_lines

        answers += punch_answer_lines(punched)
    lines = [
        f"{shown_name(vehicle.name)}: {len(result.members)} setups, steady crawl, {vehicle.drive.driven_axles} driven",
        *answers,
        "",
        _threshold_line(result),
        "",
        "where a steady crawl ends, deg",
        _limit_table(result),
        "",
    ]
    if everything:
        lines += [
            "front axle load over grade, grams as a scale reads (difference to the first)",
            "",
            _load_table(result, step),
            "",
        ]
    for difference in result.differences:
        lines.append(f"{row_name(difference.setup)} against {row_name(first.name)}")
        if everything or not difference.budget:
            lines += [f"  {difference.load_verdict}", f"  {difference.tip_over_verdict}"]
        elif cause := cause_words(difference.budget, difference.moved).removeprefix("; "):
            lines.append(f"  {cause[0].upper()}{cause[1:]}.")
        changed = [
            f"{words} {difference.changed[key]:+z.1f} {unit}"
            for key, words, unit in CHANGED_WORDS
            if key in difference.changed and abs(difference.changed[key]) >= 0.05
        ]
        lines += [
            f"  Standing, it also changes: {', '.join(changed)}."
            if changed
            else "  Standing, it changes nothing by 0.05 mm or deg."
        ]
        if changed and vehicle.level != "A":
            lines.append("  That moves the static load and the rigid vehicle on the grade, beside attitude.")
        lines.append("")
    if vehicle.level != "A":
        lines.append(
            "Links act on a steady crawl through attitude alone, once the standing pose is taken as given; a throttle punch "
            "is another question."
        )
    if not everything:
        lines.append("--all adds the front axle load over grade, and the verdicts in full.")
    return "\n".join(lines)


def _wheel_lines(result: Comparison, remarks: list) -> list[str]:
    """Where the first wheel lifts in space, setup by setup, or what the file lacks for that."""
    first = remarks[0]
    if first.left_out:
        return ["", first.sentence(None)]
    rows = []
    for member, remark in zip(result.members, remarks, strict=True):
        lift, (change, least, most) = remark.first_wheel_lift_grade_deg, remark.change_from(first)
        low, high = remark.range_deg
        name = wheel_words(remark.first_wheel).removeprefix("the ")
        moved = "-" if change is None else f"{change:+z.1f}"
        span = range_words(least, most, "", "+z.1f").strip() or "-"
        unsure = " no robust sign" if least is not None and least < -SIGN_DEG and most > SIGN_DEG else ""
        between = range_words(low, high, "").strip() or "-"
        rows.append((row_name(member.name), number(lift, ".1f"), between, moved, span + unsure, name))
    names = ("", "lifts", "from to", "change", "from to", "which")
    where = "where the first wheel lifts in space, deg, and what plausible mismatches make of it (`noseload wheels`)"
    return ["", where, table(names, rows)]


def _threshold_line(result: Comparison) -> str:
    t = result.thresholds
    standing = result.members[0].sweep.rows[0].front_load_n or 0.0
    return (
        f"Compared with {_thresholds_called(t)}: measurable beyond {grams_of_force(t.measurable_load_n):.0f} g and "
        f"{t.measurable_deg:.1f} deg (twice the repeatability), noticed beyond "
        f"{grams_of_force(t.noticed_load_n(standing)):.0f} g ({100 * t.noticed_share:g} % of the static front axle load) "
        f"and {t.noticed_deg:g} deg."
    )


def _thresholds_called(thresholds: Thresholds) -> str:
    """'the default thresholds', and which of them the user set."""
    names = {
        "repeatability_g": "the measurable load",
        "repeatability_deg": "the measurable grade",
        "noticed_share": "the noticed load",
        "noticed_deg": "the noticed grade",
    }
    given = [words for name, words in names.items() if thresholds.given(name)]
    if len(given) == len(names):
        return "what you set"
    return "the default thresholds" + (f", and what you set for {' and '.join(given)}" if given else "")


def _load_table(result: Any, step: float) -> Any:
    climbs = [m.climb for m in result.members]
    top = max(m.sweep.limits.steepest_equilibrium_deg for m in result.members)
    grades = [k * step for k in range(int(top / step) + 1)]
    rows = []
    for angle in grades:
        loads = [climb.row(angle).front_load_n for climb in climbs]
        cells = [grade(angle).replace(".00 deg", " deg"), grams(loads[0])]
        for load in loads[1:]:
            known = None not in (load, loads[0])
            cells += [grams(load), f"({grams_of_force(load - loads[0]):+z.1f})" if known else ""]
        rows.append(cells)
    header = ["grade", row_name(result.members[0].name)]
    for member in result.members[1:]:
        header += [row_name(member.name), ""]
    return table(header, rows)


def _limit_span(ends: tuple[float, float | None] | None) -> str:
    if ends is None:
        return "-"
    low, high = ends
    return f"{low:.1f} or not reached" if high is None else from_to(low, high, 1)


def _limit_table(result: Comparison) -> str:
    rows, ranges = [], [limit_ranges(m.climb) for m in result.members]
    for key, words in LIMIT_WORDS:
        angles = [getattr(m.sweep.limits, key) for m in result.members]
        if any(a is not None for a in angles):
            rows.append([words, *(number(a) if a is not None else "not reached" for a in angles)])
        if any(key in each for each in ranges):
            rows.append(["  over divisions of the pull", *(_limit_span(each.get(key)) for each in ranges)])
    rows.append(["first", *((m.sweep.limits.first or "none").replace("_", "-") for m in result.members)])
    return table(["", *(row_name(m.name) for m in result.members)], rows)
