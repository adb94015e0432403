"""`noseload modes`: small free motions about standing and about a steady crawl."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_chosen, print_json
from noseload.documents import NO_SOLUTION, table
from noseload.studies.climb.modes import creep_modes, standing_modes
from noseload.studies.verdict.first import modes_sentence

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
            "states": [f.to_dict() for f in found],
            "status": "start_not_held" if missing else "ok",
        }
        print_json("modes", body | ({"message": missing} if missing else {}), options, [vehicle])
    else:
        print("\n\n".join([*(_text(vehicle, f) for f in found), *([missing] if missing else [])]))
    return NO_SOLUTION if missing else 0


def _text(vehicle: Vehicle, modes: Modes) -> str:
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
            )
        )
    lines = [
        heading(vehicle, where),
        modes_sentence(modes),
        "",
        table(("motion", "frequency", "damping ratio", "rate 1/s"), rows),
    ]
    if not modes.stable:
        lines.append("a motion with a positive rate grows by itself")
    return "\n".join(lines)
