"""`noseload measure WHAT`: springs, tyres, contact, damping, motor, rotor, grip, inertia from bench readings."""

from __future__ import annotations

from shlex import quote
from typing import TYPE_CHECKING

from noseload.commands.common import add_output, check_output, print_json
from noseload.commands.paths import reads
from noseload.documents import write_csv
from noseload.studies.measuring.measurements import WHAT, measure, measurement_kind

from .blank import add_blank, write_blank
from .output import add_into, bounding_vehicle, demo_readings, recipe_text, residual_rows, result_text, write_lines

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.studies.measuring.measurement import Measurement


SUMMARY = """One bench measurement: fit, standard errors, residual picture, lines for the vehicle file.
`noseload measure WHAT --recipe` tells how it is taken and what its file holds.

CAUTION: springs fly, motors and batteries get hot, wheels in the air throw what touches them;
read the cautions of each recipe first."""
EXAMPLE = "noseload measure spring spring-rear.csv --plot spring.png --into my-crawler.toml"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    parser.add_argument("what", choices=WHAT, help="what was measured")
    parser.add_argument(
        "readings", nargs="?", type=reads(), metavar="FILE", help="CSV or TOML of readings (default: an example)"
    )
    parser.add_argument("--recipe", action="store_true", help="how to measure it, and what the file holds")
    parser.add_argument(
        "--vehicle",
        type=reads("--vehicle"),
        metavar="VEHICLE.toml",
        help="bounds of what the readings can be, from this vehicle file (default: that of --into)",
    )
    add_blank(parser)
    add_into(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    kind = measurement_kind(options.what)
    if options.recipe:
        print(recipe_text(kind))
        return 0
    if options.blank:
        print(write_blank(options.blank, kind.layouts))
        options.next_step = f"fill it in, then: noseload measure {options.what} {quote(options.blank)}"
        return 0
    vehicle = bounding_vehicle(options.vehicle, options.into)
    result = measure(options.what, options.readings or demo_readings(kind.demo[0]), vehicle=vehicle)
    if options.csv:
        write_csv(options.csv, residual_rows(result))
    if options.plot:
        _draw(options.plot, result)
    if options.into:
        write_lines(options.into, result.lines)
    if options.json:
        print_json("measure", result.to_dict(), options, [])
    else:
        print(result_text(result, f"{result.file}: {result.title}", lines=result.lines, into=options.into))
    return 0


def _draw(path: str, result: Measurement) -> None:
    from noseload.model.errors import ModelError

    if not result.traces:
        raise ModelError(f"--plot {path}: {result.what} has no fit to draw; leave --plot out")
    from noseload.pictures.measuring.readings import draw_measurement
    from noseload.pictures.style import save_figure

    save_figure(draw_measurement(result), path)
