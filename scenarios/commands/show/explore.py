"""`noseload explore`: a window with sliders; what they give is saved as a setup."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.commands.common import add_vehicle, load_chosen
from noseload.commands.paths import changes
from noseload.documents import grade_option
from noseload.model.errors import ModelError
from noseload.studies.links.candidates import POINTS

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser


SUMMARY = """A window with sliders for the grade, link ends, centre of gravity and throttle: the vehicle to scale, loads,
limits and link figures of the steady crawl move along; a punch is run in full when a slider is let go.
`save` writes what is shown as a setup into the vehicle file, whose comments and layout stay."""
EXAMPLE = "noseload explore my-crawler.toml --grade 45 --move front.upper_link.chassis_end"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser)
    add = parser.add_argument
    add("--grade", type=grade_option(-45.0, 80.0), default=30.0, metavar="DEG", help="grade to begin with (30)")
    add(
        "--move",
        default="rear.upper_link.axle_end",
        metavar="END",
        help="link end to begin with (rear.upper_link.axle_end); the window lists all eight",
    )
    add(
        "--links", dest="link_lengths", choices=("kept", "fitted"), help="moved ends: links kept, or made to fit (kept)"
    )
    add("--ride-height", choices=("springs_decide", "reset"), help="springs decide the stand, or collars reset it")
    add(
        "--into",
        type=changes("--into"),
        metavar="FILE",
        help="save into this file (default: the vehicle file; a new one becomes a copy)",
    )


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    try:
        from noseload.pictures.show.explore import open_window
    except (ImportError, ValueError) as error:
        why = str(error).split(";")[0]
        raise ModelError(f"explore cannot open a window: {why}; unset MPLBACKEND, or install what it names") from None
    from noseload.studies.show.explore import Explorer

    end = options.move.removesuffix("_mm") + "_mm"
    if end not in POINTS:
        ends = ", ".join(key.removesuffix("_mm") for key in POINTS)
        raise ModelError(f"--move {options.move}: no such link end; the ends are {ends}")
    vehicle = load_chosen(options)
    file = options.into or options.vehicle
    explorer = Explorer(vehicle, link_lengths=options.link_lengths, ride_height=options.ride_height)
    open_window(explorer, file=file, grade_deg=options.grade, end=end)
    return 0
