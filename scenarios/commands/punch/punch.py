"""`noseload punch`: a throttle step from a steady crawl, over time."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from noseload.commands.assumed_lines import assumed_lines
from noseload.commands.climb.split_lines import over_words
from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_chosen, print_json
from noseload.commands.how_sure import add_uncertainty, punch_interval_text
from noseload.commands.paths import reads, writes_into
from noseload.documents import (
    NO_SOLUTION,
    finite_option,
    grade,
    grade_option,
    grams,
    load,
    number,
    outcome_words,
    table,
    write_csv,
)
from noseload.model.crawl import budget_parts
from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force
from noseload.studies.climb.creep import creep
from noseload.studies.errors.assumed_punch import LINE_WORDS, assumed_in_punch
from noseload.studies.punch.options import TOLERANCES, kept_or_not
from noseload.studies.punch.programs import THROTTLE_PROGRAMS, read_program, slip_and_catch
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import punch_range
from noseload.studies.space.wheels import LARGEST_MISMATCH
from noseload.studies.verdict.first import punch_sentence

from .wheels_run import run_wheels

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.errors.uncertainty_punch import PunchUncertainty
    from noseload.studies.punch.punch import PunchResult
    from noseload.studies.punch.splits_range import PunchRange


SUMMARY = "What a sudden throttle does to the front axle: loads, pitch and link forces over time from a crawl."
EXAMPLE = "noseload punch my-crawler.toml --grade 35 --throttle 0.8 --rise 0.05 --plot punch.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    seconds, above = finite_option("a time in seconds", 0.0), finite_option("a time in seconds", 1e-6)
    add_vehicle(parser)
    add = parser.add_argument
    parser.usage = "noseload punch [VEHICLE.toml] --grade DEG [options]"
    add(
        "--grade",
        type=grade_option(-89.0, 89.0),
        required=True,
        metavar="DEG",
        help="grade in degrees; positive: nose up the slope",
    )
    add(
        "--throttle",
        type=finite_option("a throttle", -1.0, 1.0),
        default=1.0,
        metavar="U",
        help="throttle of the punch, 0 to 1; negative brakes (default 1)",
    )
    add("--rise", type=seconds, default=0.05, metavar="S", help="time in which the throttle rises (default 0.05)")
    add("--start", type=seconds, default=0.1, metavar="S", help="when it starts to rise (default 0.1)")
    add("--duration", type=above, default=1.0, metavar="S", help="length of the traces (default 1)")
    add(
        "--creep-speed",
        type=finite_option("a speed in mm/s", -2000.0, 2000.0),
        default=100.0,
        metavar="MM_S",
        help="speed of the crawl before the punch (default 100)",
    )
    add("--sample", type=above, default=0.001, metavar="S", help="time between samples (default 0.001)")
    add(
        "--program",
        type=reads("--program"),
        default="ramp",
        metavar="NAME|FILE",
        help=f"{', '.join(THROTTLE_PROGRAMS)}, or a CSV file with time_s,throttle",
    )
    add("--hold", type=seconds, default=0.1, metavar="S", help="how long a blip stays up (default 0.1)")
    add(
        "--grip-program",
        type=reads("--grip-program"),
        metavar="FILE",
        help="CSV file with time_s,grip_factor: a factor on all grip over time",
    )
    add(
        "--slip-and-catch",
        type=finite_option("a share of the grip", 0.0, 1.0),
        metavar="SHARE",
        help="grip drops to this share as the punch starts, back after --lost",
    )
    add("--lost", type=above, default=0.15, metavar="S", help="how long the grip is lost (default 0.15)")
    add("--from-brake", action="store_true", help="start standing on the drag brake instead of crawling")
    add("--release", type=seconds, metavar="S", help="when that brake lets go (default: as the throttle first rises)")
    add("--wheels", action="store_true", help="in space: every wheel's load, roll and heading")
    add(
        "--heading",
        type=finite_option("a heading", -180.0, 180.0),
        default=0.0,
        metavar="DEG",
        help="with --wheels: nose turned left of the line of steepest ascent",
    )
    add(
        "--mismatch",
        type=finite_option("a mismatch in percent", -LARGEST_MISMATCH, LARGEST_MISMATCH),
        metavar="PERCENT",
        help="with --wheels: how much faster the front wheels turn",
    )
    add("--shafts", choices=("on", "off"), default="on", help="with --wheels: off leaves the shafts' couples out")
    add("--tight", action="store_true", help="a hundred times more accurate, several times slower")
    add_uncertainty(parser, draws=200)
    add_output(parser)
    add(
        "--pictures",
        type=writes_into("--pictures"),
        metavar="FOLDER",
        help="also draw loads, forces and a filmstrip into this folder",
    )


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    many = {
        "grade_deg": options.grade,
        "throttle": options.throttle,
        "rise_s": options.rise,
        "start_s": options.start,
        "duration_s": options.duration,
        "creep_speed_mm_per_s": options.creep_speed,
        "hold_s": options.hold,
        "start": "brake" if options.from_brake else "creep",
        "release_s": options.release,
        **_programs(options),
    }
    single = {"sample_s": options.sample, "tolerance": "tight" if options.tight else next(iter(TOLERANCES))}
    vehicle = load_chosen(options)
    if options.wheels:
        return run_wheels(vehicle, options, many, single)
    _check_flat(options)
    result = punch(vehicle, **many, **single)
    sure = _uncertainty(vehicle, options, many) if options.uncertainty and result.success else None
    spread = punch_range(vehicle, many, result.summary) if result.success else None
    if options.csv and result.time_s.size:
        write_csv(options.csv, result.rows())
    if options.plot and result.time_s.size:
        from noseload.pictures.punch.punch import draw_punch
        from noseload.pictures.style import save_figure

        save_figure(draw_punch(result, sure), options.plot)
    assumed = assumed_in_punch([vehicle], many) if result.success else ()
    if options.json:
        extra: dict[str, Any] = {"assumed_that_matter": [e.to_dict("lines") for e in assumed]}
        extra["range_over_splits"] = None if spread is None else spread.to_dict()
        extra |= {} if sure is None else {"uncertainty": sure.to_dict()}
        print_json("punch", result.to_dict() | extra, options, [vehicle], seed=None if sure is None else sure.seed)
    else:
        lines = [_text(vehicle, result, spread), *assumed_lines(assumed, LINE_WORDS, least=1.0)]
        print("\n".join(lines) + punch_interval_text(sure))
    if options.pictures and result.success:
        from noseload.pictures.punch.punch_film import save_punch

        names = save_punch(result, options.pictures)
        if not options.json:
            print(f"\npictures in {options.pictures}{os.sep}: {', '.join(names)}")
    return 0 if result.success else NO_SOLUTION


def _check_flat(options: Namespace) -> None:
    """Options that mean nothing in the side view."""
    given = [
        name
        for name, changed in (
            ("--heading", options.heading != 0.0),
            ("--mismatch", options.mismatch is not None),
            ("--shafts", options.shafts != "on"),
        )
        if changed
    ]
    if given:
        raise ModelError(f"{' and '.join(given)} only {'mean' if len(given) > 1 else 'means'} something with --wheels")


def _uncertainty(vehicle: Vehicle, options: Namespace, many: dict[str, Any]) -> PunchUncertainty:
    """Intervals of the punch; a setup is also held against the vehicle it changes, with the same draws."""
    from noseload.studies.errors.uncertainty_punch import punch_uncertainty

    vehicles = [vehicle] if vehicle.base is None else [vehicle.base, vehicle]
    return punch_uncertainty(vehicles, many, draws=int(options.draws), seed=options.seed)


def _programs(options: Namespace) -> dict[str, Any]:
    throttle = options.program
    if throttle not in THROTTLE_PROGRAMS and (Path(throttle).suffix or Path(throttle).exists()):
        throttle = read_program(throttle, quantity="throttle")
    grip = None
    if options.grip_program:
        grip = read_program(options.grip_program, quantity="grip_factor")
    elif options.slip_and_catch is not None:
        grip = slip_and_catch(start_s=options.start, lost_s=options.lost, fraction=options.slip_and_catch)
    return {"program": throttle, "grip_program": grip}


def _start_note(vehicle: Vehicle, result: PunchResult) -> list[str]:
    """Why a punch starts at another front load than `noseload creep` prints; nothing where they agree to half a gram."""
    crawl, start = creep(vehicle, grade_deg=result.options.grade_deg).front_load_n, result.start["front_load_n"]
    if result.options.start != "creep" or crawl is None or abs(grams_of_force(start - crawl)) < 0.5:
        return []
    return [
        f"It starts from a steady crawl at {result.options.creep_speed_mm_per_s:g} mm/s, in which the tyres slip as their loads "
        f"let them; `noseload creep` gives the limit of no speed, {grams_of_force(crawl):.0f} g."
    ]


def _range_note(vehicle: Vehicle, spread: PunchRange | None) -> list[str]:
    """What the division of the pull makes of the punch, in one line; none where nothing is open."""
    if spread is None:
        return []
    (least, most), (short, long), (low, high) = (
        [grams_of_force(end) for end in spread.front_load_min_n],
        [1e3 * end for end in spread.front_airborne_s],
        spread.peak_nose_up_pitch_deg,
    )
    span = f"{least:.0f} g" if f"{least:.0f}" == f"{most:.0f}" else f"{least:.0f} to {most:.0f} g"
    air = "never in the air" if long == 0.0 else f"in the air for {short:.0f} to {long:.0f} ms"
    held = f"; {spread.not_held} of these laws hold no start" if spread.not_held else ""
    return [
        f"How geared axles divide the pull is open: front axle {air}, minimum load {span}, nose up {low:.1f} to {high:.1f} deg "
        f"over {over_words(vehicle)}{held}."
    ]


def _text(vehicle: Vehicle, result: PunchResult, spread: PunchRange | None = None) -> str:
    asked = result.options
    lines = [
        heading(
            vehicle,
            f"punch at {grade(asked.grade_deg)}, {result.drive} driven, throttle "
            f"{number(result.throttle_start, '.3f')} to {asked.throttle:g} ({asked.program})",
        )
    ]
    lines += [punch_sentence(result), ""]
    if not result.success:
        lines.append(f"status: {result.status} - {result.message}")
    if not result.time_s.size:
        return "\n".join(lines)
    summary, start = result.summary, result.start
    airborne = summary["front_airborne_s"]
    rows = [
        ("front axle load at the start", load(start["front_load_n"])),
        ("minimum front axle load", f"{load(summary['front_load_min_n'])} at {summary['front_load_min_time_s']:.3f} s"),
        ("front axle in the air", f"{1e3 * airborne:.0f} ms" if airborne else "never"),
        (
            "largest nose-up pitch",
            f"{summary['peak_nose_up_pitch_deg']:.2f} deg on the slope "
            f"({start['nose_up_pitch_deg']:.2f} deg at the start)",
        ),
        ("how it ends", f"{outcome_words(summary['outcome'], summary)} ({summary['outcome']})"),
    ]
    if summary["rear_airborne_s"]:
        rows.insert(3, ("rear axle in the air", f"{1e3 * summary['rear_airborne_s']:.0f} ms"))
    width = max(len(name) for name, _ in rows)
    lines += [f"  {name:<{width}}  {value}" for name, value in rows]
    lines += [*_start_note(vehicle, result), *_range_note(vehicle, spread)]
    lines += ["", _budget_text(result)]
    if result.events:
        lines += ["", "events:"] + [f"  {e.time_s:7.4f} s  {e.name.replace('_', ' ')}" for e in result.events]
    stats = result.stats
    lines += [
        "",
        f"energy balance closed to {stats['energy_residual']:.1e}, links held to "
        f"{1e3 * stats['position_drift_m']:.1e} mm; {stats['steps']} steps",
    ]
    lines += kept_or_not(stats, result.options.tolerance)
    return "\n".join(lines)


def _budget_text(result: PunchResult) -> str:
    """Parts at the start and when the front load is smallest; parts peak at different moments."""
    low, rows = result.lowest, []
    for part in budget_parts.told(result.budget):
        first, least = result.budget[part.key][0], low["budget"][part.key]
        rows.append((part.words, grams(first), grams(least), f"{least - first:+z.3f} N"))
    first, least = result.front_load_n[0], low["front_load_n"]
    rows.append(("front axle load", grams(first), grams(least), f"{least - first:+z.3f} N"))
    return table(("where the front axle load comes from", "at the start", f"at {low['time_s']:.3f} s", "change"), rows)
