"""`noseload map`: two setups compared with each other over grade and suddenness of the throttle."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.commands.assumed_lines import assumed_motor_lines
from noseload.commands.common import (
    add_output,
    add_workers,
    check_output,
    counter,
    load_setups,
    print_json,
    save_partial,
    workers,
)
from noseload.commands.paths import reads
from noseload.demo import DEMO
from noseload.documents import NO_SOLUTION, finite_option, grade_option, number, table, whole_option, write_csv
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.studies.climb.split import PLAUSIBLE_PERCENT
from noseload.studies.punch.map import DEFAULT_GRADES, DEFAULT_RISES, FASTEST_S, SLOWEST_S, punch_map
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.intervals import from_to

from .wheels_grid import run_wheels_map

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.punch.map import PunchMap


SUMMARY = "From which suddenness of throttle, and on which grade, a setup starts to matter: a map of two setups."
EXAMPLE = "noseload map my-crawler.toml --setups base,raised --rises 0.02 1 --plot map.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    seconds = finite_option("a time in seconds", 0.0)
    add = parser.add_argument
    add(
        "vehicles",
        nargs="*",
        type=reads(),
        metavar="VEHICLE.toml",
        help="one file with setups, or two files (default: a demo vehicle)",
    )
    add("--setups", metavar="A,B", help="the two setups of the file (default: base and the first setup)")
    add("--drive", choices=("both", "rear", "front"), help="driven axles, in place of the file's")
    add(
        "--grades",
        nargs=2,
        type=grade_option(-80.0, 89.0),
        metavar=("FROM", "TO"),
        help="grades in degrees (default: level to 2 deg below the first tip-over)",
    )
    add(
        "--grade-count",
        type=whole_option("a number of rows", 1, 200),
        default=DEFAULT_GRADES,
        metavar="N",
        help=f"rows of the map ({DEFAULT_GRADES})",
    )
    add(
        "--rises",
        nargs=2,
        type=finite_option("a rise time in seconds", 0.001),
        default=(FASTEST_S, SLOWEST_S),
        metavar=("FROM", "TO"),
        help=f"rise times of the throttle, s ({FASTEST_S:g} {SLOWEST_S:g})",
    )
    add(
        "--rise-count",
        type=whole_option("a number of columns", 1, 200),
        default=DEFAULT_RISES,
        metavar="N",
        help=f"columns of the map ({DEFAULT_RISES})",
    )
    add(
        "--throttle", type=finite_option("a throttle", -1.0, 1.0), default=1.0, metavar="U", help="throttle reached (1)"
    )
    add("--start", type=seconds, default=0.1, metavar="S", help="when the throttle starts to rise (0.1)")
    add("--duration", type=seconds, default=1.0, metavar="S", help="length of a run, at least start + rise + 0.5 s (1)")
    add(
        "--noticed",
        type=finite_option("a share in percent", 0.0),
        default=100.0 * Thresholds().noticed_share,
        metavar="PERCENT",
        help="load difference that would be noticed, percent of the static front axle load (2)",
    )
    add("--slow-edge", action="store_true", help="also check that slow punches join the steady crawls")
    add("--wheels", action="store_true", help="in space: time in the air of the first wheel")
    add_workers(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicles = _vehicles(options)
    if options.wheels:
        return run_wheels_map(options, vehicles)
    result = _study(vehicles, options)
    if not result.complete:
        return save_partial("map", result.to_dict(), options, vehicles, name=options.csv or options.plot or "map")
    if options.csv:
        write_csv(options.csv, result.rows())
    if options.plot:
        from noseload.pictures.punch.map import draw_punch_map
        from noseload.pictures.style import save_figure

        save_figure(draw_punch_map(result), options.plot)
    if options.json:
        print_json("map", result.to_dict(), options, vehicles)
    else:
        print(_text(vehicles[0], result))
    return 0 if (result.status == "ok").any() else NO_SOLUTION


def _vehicles(options: Namespace) -> list[Vehicle]:
    files = options.vehicles or [DEMO]
    if len(files) > 2:
        raise ModelError(f"map: {len(files)} files given; give one file with setups, or two files")
    if len(files) == 2:
        return [load_vehicle(file, drive=options.drive) for file in files]
    vehicles = load_setups(files[0], options.setups, drive=options.drive, most=2, compared=True)
    if len(vehicles) != 2:
        raise ModelError(
            f"map: {files[0]} gives {len(vehicles)} of the two setups; add a [setups.NAME] table, or name two "
            "with --setups A,B"
        )
    return vehicles


def _study(vehicles: list[Vehicle], options: Namespace) -> PunchMap:
    grades = None
    if options.grades:
        low, high = options.grades
        grades = np.linspace(low, high, options.grade_count)
    elif options.grade_count != DEFAULT_GRADES:
        raise ModelError("--grade-count needs --grades FROM TO")
    quickest, slowest = options.rises
    settings = {
        "grades_deg": grades,
        "rises_s": np.geomspace(quickest, slowest, options.rise_count),
        "throttle": options.throttle,
        "start_s": options.start,
        "duration_s": options.duration,
        "slow_edge": options.slow_edge,
        "over_splits": True,
        "thresholds": Thresholds(noticed_share=options.noticed / 100.0),
        "progress": counter(sys.stderr, "punches"),
    }
    with workers(options.workers) as executor:
        return punch_map(vehicles, executor=executor, **settings)


def _text(vehicle: Vehicle, result: PunchMap) -> str:
    counts = {name: int((result.status == name).sum()) for name in ("ok", "start_not_held", "failed")}
    lines = [
        f"{shown_name(vehicle.name)}: {row_name(result.setups[1])} against {row_name(result.setups[0])}, throttle to {result.throttle:g}, "
        f"{vehicle.drive.driven_axles} driven",
        f"  {_sentence(result)}",
        *(
            f"  {sentence}"
            for sentence in (*_flip_sentence(result), *_over_splits(result), *assumed_motor_lines(vehicle))
        ),
        "",
        f"change of the minimum front axle load, g, over grade (deg) and rise time (ms); - where a punch cannot start; A = {row_name(result.setups[0])}, B = {row_name(result.setups[1])}",
        "",
    ]
    columns = np.unique(np.linspace(0, result.rise_s.size - 1, min(8, result.rise_s.size)).astype(int))
    noticed, open_sign = result.noticed_from(), result.sign_open
    rows = []
    for i, grade in enumerate(result.grade_deg):
        cells = [_cell(result, i, j) + "?" * bool(open_sign[i, j]) for j in columns]
        slowest = None if not np.isfinite(noticed[i]) else 1e3 * noticed[i]
        rows.append([f"{grade:.1f}", *cells, number(slowest, ".0f")])
    lines.append(table(["grade", *(f"{1e3 * result.rise_s[j]:.0f} ms" for j in columns), "noticed up to"], rows))
    lines.append("")
    if counts["start_not_held"] or counts["failed"]:
        lines.append(
            f"{counts['start_not_held']} of {result.status.size} cells have no steady start, {counts['failed']} failed."
        )
    if result.slow_edge is not None:
        share = result.slow_edge.largest_share
        words = (
            "no punch could start"
            if share is None
            else (
                f"{100 * share:.3f} % of the static front axle load at most, {'as it must' if result.slow_edge.joins else 'TOO MUCH'}"
            )
        )
        lines.append(f"Slow edge: slow punches differ from the steady crawls by {words}.")
    return "\n".join(lines)


FLIP_CELLS = {"first": "A flips", "second": "B flips", "both": "both flip"}


def _cell(result: PunchMap, i: int, j: int) -> str:
    """The change of the smallest front load in grams, or who flips."""
    who = str(result.flip_words[i, j])
    if who in FLIP_CELLS:
        return FLIP_CELLS[who]
    change = grams_of_force(result.load_difference_n[i, j])
    return "-" if not np.isfinite(change) else f"{change:+z.0f}"


def _flip_sentence(result: PunchMap) -> list[str]:
    """How often one flips and the other does not; nothing where none flips."""
    first, second = result.setups
    counts = {name: int((result.flip_words == name).sum()) for name in FLIP_CELLS}
    if not any(counts.values()):
        return []
    return [
        f"Flips: in {counts['first']} of {result.status.size} cells only {first} flips over (in favour of {second}), in "
        f"{counts['second']} only {second}, in {counts['both']} both; times in the air are not compared there."
    ]


def _largest(result: PunchMap) -> tuple[Any, ...]:
    """The cell of the largest change."""
    difference = np.abs(result.load_difference_n)
    return np.unravel_index(np.argmax(np.where(np.isfinite(difference), difference, -1.0)), difference.shape)


def _over_splits(result: PunchMap) -> list[str]:
    """What the open division of the pull makes of the map, in one sentence; none where nothing is open."""
    if not result.by_law or not np.isfinite(result.load_difference_n).any():
        return []
    i, j = _largest(result)
    low, high = (grams_of_force(end) for end in result.ends("load_difference_n")[:, i, j])
    least, most = 100.0 * result.ends("noticed_share")
    cells = int(result.sign_open.sum())
    signs = f"; in {cells} of {result.status.size} cells even the sign of the change is open (?)" if cells else ""
    others = sum((each.flip_words != result.flip_words for each in result.by_law), np.zeros(result.status.shape, bool))
    flips = f"; who flips is open in {int(others.sum())} cells" if others.any() else ""
    return [
        f"How geared axles divide the pull is open; over {PLAUSIBLE_PERCENT[0]:+g} to {PLAUSIBLE_PERCENT[1]:+g} % faster front wheels the change is "
        f"noticed in {from_to(least, most, 0)} % of the map, the largest is {from_to(low, high, 0, sign=True)} g{signs}{flips}."
    ]


def _sentence(result: PunchMap) -> str:
    """The map in one sentence."""
    line = f"{grams_of_force(result.noticed_load_n):.0f} g ({100 * result.thresholds.noticed_share:g} % of the static front axle load)"
    difference = np.abs(result.load_difference_n)
    good = np.isfinite(difference)
    if not good.any():
        return "Calculated: no punch of this map can start."
    words = result.thresholds.load(0.0, 1.0).threshold.words
    i, j = _largest(result)
    return (
        f"Calculated: in {100 * result.noticed_share:.0f} % of this map the change is above {words}, {line}; largest "
        f"{grams_of_force(result.load_difference_n[i, j]):+.0f} g at {result.grade_deg[i]:.1f} deg with a rise of "
        f"{1e3 * result.rise_s[j]:.0f} ms. Where both setups lift the front axle, the change is 0: look at the time in the "
        "air."
    )
