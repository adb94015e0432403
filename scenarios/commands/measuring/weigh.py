"""`noseload weigh`: the centre of gravity from a scale, an angle gauge and a board."""

from __future__ import annotations

from shlex import quote
from typing import TYPE_CHECKING

from noseload.commands.common import add_output, check_output, print_json
from noseload.commands.paths import reads
from noseload.documents import write_csv

from .blank import add_blank, write_blank
from .output import add_into, bounding_vehicle, demo_readings, recipe_text, residual_rows, result_text, write_lines

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.weighing.weigh import Weighing


SUMMARY = """Centre of gravity with errors from axle readings, level and with an axle lifted, or the tip test.

CAUTION: a vehicle on a steep board falls backwards: slack catch line, soft mat, nobody below it;
clamp the board, battery fixed, motor disconnected while hands are near the wheels."""
EXAMPLE = "noseload weigh weighing.csv --into my-crawler.toml --plot weighing.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    parser.add_argument(
        "readings", nargs="?", type=reads(), metavar="READINGS", help="CSV or TOML of readings (default: an example)"
    )
    parser.add_argument(
        "--vehicle",
        type=reads("--vehicle"),
        metavar="VEHICLE.toml",
        help="solves a height found by tipping back through the squat to the standing height",
    )
    parser.add_argument("--setup", metavar="NAME", help="setup of that vehicle in which it was tipped")
    parser.add_argument(
        "--height-from",
        choices=("auto", "lift", "tip"),
        default="auto",
        help="readings the height is taken from (auto: lifted ones where there are any)",
    )
    parser.add_argument("--recipe", action="store_true", help="how to weigh, and what the file holds")
    add_blank(parser)
    add_into(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    if options.recipe:
        from types import SimpleNamespace

        from noseload.studies.weighing.layout import CAUTIONS, RECIPE, WEIGH_LAYOUT

        print(
            recipe_text(
                SimpleNamespace(title=WEIGH_LAYOUT.title, recipe=RECIPE, cautions=CAUTIONS, layouts=(WEIGH_LAYOUT,))
            )
        )
        return 0
    if options.blank:
        from noseload.studies.weighing.layout import WEIGH_LAYOUT

        print(write_blank(options.blank, (WEIGH_LAYOUT,)))
        options.next_step = f"fill it in, then: noseload weigh {quote(options.blank)}"
        return 0
    from noseload.studies.weighing.weigh import weigh

    vehicle = _vehicle(options)
    result = weigh(options.readings or demo_readings("weighing.csv"), vehicle=vehicle, height_from=options.height_from)
    if options.csv:
        write_csv(options.csv, residual_rows(result))
    if options.plot:
        _draw(options.plot, result)
    if options.into:
        write_lines(options.into, result.lines, drop=("body.mass_g", "body.centre_of_gravity_mm"))
    if options.json:
        print_json("weigh", result.to_dict(), options, [] if vehicle is None else [vehicle])
    else:
        print(result_text(result, f"{result.file}: weighing", lines=result.lines, into=options.into))
    return 0


def _vehicle(options: Namespace) -> Vehicle | None:
    if options.vehicle is None:
        if options.setup is not None:
            from noseload.model.errors import ModelError

            raise ModelError("--setup names a setup of --vehicle; give that too")
        return _sprung_vehicle(options.into)
    from noseload.model.file.reader import load_vehicle

    return load_vehicle(options.vehicle, setup=options.setup)


def _sprung_vehicle(path: str | None) -> Vehicle | None:
    """The file written into serves for the squat correction, if it already is a vehicle with springs."""
    vehicle = bounding_vehicle(None, path)
    return None if vehicle is None or vehicle.level == "A" else vehicle


def _draw(path: str, result: Weighing) -> None:
    from noseload.model.errors import ModelError

    if not result.traces:
        raise ModelError(f"--plot {path}: nothing was lifted or tipped, so there is no fit to draw; leave --plot out")
    from noseload.pictures.measuring.readings import draw_measurement
    from noseload.pictures.style import save_figure

    save_figure(draw_measurement(result), path)
