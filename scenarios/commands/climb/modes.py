"""`noseload modes`: small free motions about standing and about a steady crawl."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_chosen, print_json
from noseload.documents import NO_SOLUTION, table
from noseload.studies.climb.modes import creep_modes, mode_ranges, standing_modes
from noseload.studies.punch.splits_range import Moving
from noseload.studies.verdict.first import modes_sentence
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.modes import Modes


SUMMARY = "Free motions about standing and about a steady crawl: frequency, damping, shape; stable or not."
EXAMPLE = "noseload modes my-crawler.toml --grade 40 --plot modes.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    from noseload.documents import finite_option, grade_option

    add_vehicle(parser)
    parser.add_argument(
        "--grade", type=grade_option(-89.0, 89.0), metavar="DEG", help="also about a steady crawl at this grade, deg"
    )
    parser.add_argument(
        "--creep-speed",
        type=finite_option("a speed", 1.0, 2000.0),
        default=100.0,
        metavar="MM_S",
        help="speed of that crawl, mm/s (100)",
    )
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicle = load_chosen(options)
    found = [standing_modes(vehicle)]
    missing = ""
    if options.grade is not None:
        crawl, missing = creep_modes(vehicle, grade_deg=options.grade, creep_speed_mm_per_s=options.creep_speed)
        if crawl is not None:
            found.append(crawl)
    ranges = _ranges(vehicle, found, options.creep_speed)
    if options.csv:
        from noseload.documents import write_csv

        write_csv(
            options.csv, [{"state": f.state, "grade_deg": f.grade_deg, **m.to_dict()} for f in found for m in f.modes]
        )
    if options.plot:
        from noseload.pictures.climb.modes import draw_modes
        from noseload.pictures.style import save_figure

        save_figure(draw_modes(found), options.plot)
    if options.json:
        body = {
            "setup": vehicle.setup,
            "states": [f.to_dict() | {"ranges_over_splits": r} for f, r in zip(found, ranges, strict=True)],
            "status": "start_not_held" if missing else "ok",
        }
        print_json("modes", body | ({"message": missing} if missing else {}), options, [vehicle])
    else:
        texts = [_text(vehicle, f, r) for f, r in zip(found, ranges, strict=True)]
        print("\n\n".join([*texts, *([missing] if missing else [])]))
    return NO_SOLUTION if missing else 0


def _ranges(vehicle: Vehicle, found: list[Modes], creep_speed: float) -> list[dict[str, dict[str, list[float]]]]:
    """Ends of bounce and pitch about each state over plausible divisions of the pull; empty where one axle alone is driven."""
    moving, ranges = Moving(vehicle), []
    for state in found:
        cars = moving.at(state.grade_deg)
        if state.state == "standing":
            others = [standing_modes(car) for car in cars]
        else:
            crawls = [creep_modes(car, grade_deg=state.grade_deg, creep_speed_mm_per_s=creep_speed)[0] for car in cars]
            others = [crawl for crawl in crawls if crawl is not None]
        ranges.append(mode_ranges(state, others))
    return ranges


def _span_words(ends: dict[str, list[float]] | None) -> str:
    """'7.83 to 8.17 Hz, damping 0.29 to 0.52'."""
    if ends is None:
        return ""
    (low, high), (least, most) = ends["frequency_hz"], ends["damping_ratio"]
    return f"{from_to(low, high, 2)} Hz, damping {from_to(least, most, 2)}"


def _text(vehicle: Vehicle, modes: Modes, ranges: dict[str, dict[str, list[float]]]) -> str:
    where = (
        "standing on the level, throttle closed"
        if modes.state == "standing"
        else f"steady crawl at {modes.grade_deg:g} deg, throttle held"
    )
    rows = []
    for mode in modes.modes:
        swings = mode.frequency_hz > 0.0
        rows.append(
            (
                mode.name,
                f"{mode.frequency_hz:.2f} Hz" if swings else "no swing",
                f"{mode.damping_ratio:.2f}" if swings else "-",
                f"{mode.rate_per_s:+.1f}",
                _span_words(ranges.get(mode.name)),
            )
        )
    header = ("motion", "frequency", "damping ratio", "rate 1/s", "over divisions of the pull")
    count = len(header) if ranges else len(header) - 1
    lines = [heading(vehicle, where), modes_sentence(modes), "", table(header[:count], [row[:count] for row in rows])]
    if not modes.stable:
        lines.append("a motion with a positive rate grows by itself")
    return "\n".join(lines)
