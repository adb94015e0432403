"""`noseload survey`: what a raised mount changes in many random vehicles."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from noseload.commands.common import (
    add_output,
    add_workers,
    check_output,
    counter,
    load_chosen,
    print_json,
    save_partial,
    workers,
)
from noseload.commands.paths import reads
from noseload.documents import NO_SOLUTION, finite_option, grade_option, number, seed_option, whole_option, write_csv
from noseload.model.units import grams_of_force
from noseload.studies.levers.place import place_among
from noseload.studies.levers.survey import GRADE_DEG, RAISE_MM, RANGES, SEED, VEHICLES, survey
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.first import survey_sentence
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.punch_limits import OPEN

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser


SUMMARY = "Raise the rear upper mount of a thousand random vehicles: what it changes, how often, at worst."
EXAMPLE = "noseload survey --vehicles 2000 --raise 12 --seed 3 --plot survey.png"
STATUS_WORDS = {
    "ok": "solved",
    "does_not_stand": "find no standing pose",
    "snaps_over": "fold on the way up (would snap to another attitude), no tip-over found beyond; left out",
    "snaps_before_grade": "fold before the grade of the front axle load; left out of the front axle load",
    "tips_before_grade": "tip before the grade of the front axle load; left out of it",
    "unsolved": "could not be solved; left out",
}


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    parser.add_argument(
        "vehicle", nargs="?", type=reads(), metavar="VEHICLE.toml", help="your own, to be placed among them"
    )
    parser.add_argument("--setup", metavar="NAME", help="a setup of the file (default: the file as written)")
    parser.add_argument(
        "--vehicles",
        type=whole_option("a number of vehicles", 1, 1_000_000),
        default=VEHICLES,
        metavar="N",
        help=f"vehicles to draw ({VEHICLES})",
    )
    parser.add_argument(
        "--raise",
        dest="raise_mm",
        type=finite_option("a raise", -25.0, 25.0),
        default=RAISE_MM,
        metavar="MM",
        help=f"how far the axle end of the rear upper link goes up ({RAISE_MM:g})",
    )
    parser.add_argument(
        "--grade",
        type=grade_option(0.0, 80.0),
        default=GRADE_DEG,
        metavar="DEG",
        help=f"grade of the front axle load ({GRADE_DEG:g})",
    )
    parser.add_argument(
        "--punch",
        type=grade_option(-30.0, 60.0),
        metavar="DEG",
        help="also a full-throttle punch at this grade (a minute or two for 1,000 vehicles)",
    )
    parser.add_argument(
        "--wheels",
        action="store_true",
        help="also whether the mount helps the wheel that lifts first (a minute or two for 1,000 vehicles)",
    )
    parser.add_argument("--drive", choices=("both", "rear", "front"), help="driven axles (the file's, or both)")
    parser.add_argument("--seed", type=seed_option, default=SEED, help=f"seed of the draw ({SEED})")
    parser.add_argument("--ranges", action="store_true", help="also print the ranges that are drawn from")
    add_workers(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    own = None if options.vehicle is None else load_chosen(options)
    drive = options.drive or ("both" if own is None else own.drive.driven_axles)
    with workers(options.workers) as executor:
        result = survey(
            vehicles=options.vehicles,
            seed=options.seed,
            grade_deg=options.grade,
            raise_mm=options.raise_mm,
            drive=drive,
            thresholds=Thresholds(),
            punch_grade_deg=options.punch,
            executor=executor,
            progress=counter(sys.stderr, "vehicles"),
        )
        single = _single_wheels(options, drive, executor) if options.wheels and result.complete else None
    document = result.to_dict() | ({} if single is None else {"wheels": single.to_dict()})
    if not result.complete or (single is not None and not single.complete):
        return save_partial("survey", document, options, [], name=options.csv or options.plot or "survey")
    if options.csv:
        rows = list(result.rows())
        write_csv(options.csv, rows if single is None else [a | b for a, b in zip(rows, single.rows(), strict=True)])
    place = None if own is None else place_among(result, own)
    if options.plot:
        from noseload.pictures.style import save_figure

        save_figure(_figure(result, single, place), options.plot)
    if options.json:
        if place is not None:
            document["own"] = place.to_dict()
        print_json("survey", document, options, [] if own is None else [own], seed=options.seed)
    else:
        if place is not None:
            print("\n".join(place.sentences(result.grade_deg, result.raise_mm)) + "\n")
        print(_text(result, document, options.ranges) + _single_text(single, options.ranges))
        if own is None:
            options.next_step = "noseload new --level A my-crawler.toml    (a file of your own: 15 minutes)"
    return 0 if document["status"] == "ok" else NO_SOLUTION


def _division_lines(ends: dict | None) -> list[str]:
    """What the open division of the pull makes of the change of the front load; none where one axle is driven."""
    if ends is None:
        return []
    low, high = (grams_of_force(end) for end in ends["median"])
    shares = {key: [100.0 * end for end in ends[key]] for key in ("share_lower", "share_noticed")}
    lower, noticed = (from_to(least, most, 0) for least, most in shares.values())
    median = from_to(low, high, 1, sign=True)
    return [
        f"  {OPEN} half of them lie beyond {median} g, {lower} % are lower, {noticed} % would be noticed; the sign depends "
        f"on it for {100 * (ends['share_of_open_sign'] or 0.0):.0f} %"
    ]


def _single_wheels(options: Namespace, drive: str, executor: Any) -> Any:
    from noseload.studies.levers.survey_wheels import survey_wheels

    return survey_wheels(
        vehicles=options.vehicles,
        seed=options.seed,
        raise_mm=options.raise_mm,
        drive=drive,
        executor=executor,
        progress=counter(sys.stderr, "vehicles on four wheels"),
    )


def _figure(result: Any, single: Any, place: Any) -> Any:
    if single is None:
        from noseload.pictures.levers.survey import draw_survey

        return draw_survey(result, place)
    from noseload.pictures.levers.survey_wheels import plot_wheel_changes

    return plot_wheel_changes(single).figure


def _single_text(single: Any, ranges: Any) -> str:
    if single is None:
        return ""
    from noseload.studies.levers.survey_wheels import SIDE_RANGES, wheel_survey_sentence

    lines = ["", "", wheel_survey_sentence(single)]
    left_out = single.outcomes.count("unsolved")
    if left_out:
        lines.append(f"  {left_out} left out: no single wheel lifts first there, or it was not solved")
    if ranges:
        lines += [f"  {name:<36} {low:g} to {high:g}" for name, (low, high) in SIDE_RANGES.items()]
    return "\n".join(lines)


def _text(result: Any, document: dict, ranges: Any) -> str:
    lines = [
        f"{result.count} random vehicles, seed {result.seed}, {result.drive} driven: the axle end of the rear upper link "
        f"{result.raise_mm:+g} mm, links and springs kept",
        f"  {survey_sentence(document)}",
    ]
    lines += [f"  {count} {STATUS_WORDS[name]}" for name, count in document["statuses"].items()]
    parts = (
        ("tip-over grade", "tip_over_change_deg", "deg", float),
        (f"front axle load at {result.grade_deg:g} deg", "front_load_change_n", "g", grams_of_force),
    )
    for title, key, unit, convert in parts:
        found = document[key]
        if not found["vehicles"]:
            lines.append(f"{title}: none solved")
            continue
        at = {
            name: f"{convert(found[name]):+.2f}"
            for name in ("percentile_5", "median", "percentile_95", "least", "most")
        }
        lines += [
            "",
            f"change of the {title}, {found['vehicles']} vehicles",
            f"  half of them beyond {at['median']} {unit}; nine in ten from {at['percentile_5']} to {at['percentile_95']} {unit}",
            f"  minimum and maximum {at['least']} and {at['most']} {unit}; lower for {100 * found['share_lower']:.0f} %",
            f"  could be measured: {100 * found['share_measurable']:.0f} %; would be noticed: "
            f"{100 * found['share_noticed']:.1f} % ({100 * found['share_noticed_lower']:.1f} % lower, "
            f"{100 * found['share_noticed_higher']:.1f} % higher)",
        ]
    lines += _division_lines(document["front_load_change_over_splits_n"])
    lines += _punch_lines(document.get("punch"))
    worst = document["worst"]
    if worst is not None:
        load = worst["front_load_change_n"]
        lines += [
            "",
            f"largest change of tip-over: vehicle {worst['vehicle']}, {worst['tip_over_change_deg']:+.2f} deg, front axle load "
            f"{number(None if load != load else grams_of_force(load), '+.1f')} g",
        ]
        if result.snapping:
            lines.append(f"  ({result.snapping} more change more, but would snap to another attitude before they tip)")
    lines_set = result.thresholds
    lines.append(
        f"measured from {lines_set.measurable_deg:g} deg and {grams_of_force(lines_set.measurable_load_n):.0f} g, noticed from "
        f"{lines_set.noticed_deg:g} deg and {100 * lines_set.noticed_share:g} % of the static front axle load"
    )
    if ranges:
        lines += ["", "drawn from, all places alike:"]
        lines += [f"  {name:<36} {low:g} to {high:g}" for name, (low, high) in RANGES.items()]
    return "\n".join(lines)


def _punch_lines(found: Any) -> list[str]:
    if found is None:
        return []
    load, lifted = found["front_load_min_change_n"], found["front_airborne_change_s"]
    if not load["vehicles"]:
        return ["", f"full-throttle punch at {found['grade_deg']:g} deg: no start could be held"]
    at = {name: f"{grams_of_force(load[name]):+.1f}" for name in ("percentile_5", "median", "percentile_95")}
    return [
        "",
        f"full-throttle punch at {found['grade_deg']:g} deg, {found['vehicles_held']} vehicles held (one motor for all)",
        f"  minimum front axle load: half beyond {at['median']} g; nine in ten from {at['percentile_5']} to {at['percentile_95']} g",
        f"  airborne: half beyond {lifted['median']:+.3f} s; nine in ten from {lifted['percentile_5']:+.3f} to "
        f"{lifted['percentile_95']:+.3f} s",
        f"  the front lifts for {100 * found['share_lifting_as_drawn']:.0f} % as generated and "
        f"{100 * found['share_lifting_raised']:.0f} % raised",
        *_punch_division_lines(found["over_splits"]),
    ]


def _punch_division_lines(ends: dict | None) -> list[str]:
    """What the open division of the pull makes of the changes in a punch; none where one axle is driven."""
    if ends is None:
        return []
    least = [grams_of_force(end) for end in ends["front_load_min_change_n"]["median"]]
    air = ends["front_airborne_change_s"]["median"]
    drawn, raised = ([100.0 * end for end in ends[f"share_lifting_{name}"]] for name in ("as_drawn", "raised"))
    return [
        f"  {OPEN} half of the minimum loads change beyond {from_to(least[0], least[1], 1, sign=True)} g and half of the times in the air beyond "
        f"{from_to(air[0], air[1], 3, sign=True)} s; the front lifts for {from_to(drawn[0], drawn[1], 0)} % and "
        f"{from_to(raised[0], raised[1], 0)} %"
    ]
