"""`noseload readings`: the model held against what was read on the board."""

from __future__ import annotations

from shlex import quote
from types import SimpleNamespace
from typing import TYPE_CHECKING

from noseload.commands.common import add_output, check_output, print_json
from noseload.commands.paths import reads
from noseload.documents import table, write_csv
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force

from .blank import add_blank, write_blank
from .output import add_into, demo_readings, estimates_table, lines_text, recipe_text, write_lines

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.measuring.readings import ReadingsResult


SUMMARY = """Readings on the board (scale under an axle, tip-over grades) or a time log of a punch against
the prediction: does the model explain them within their error, and what would make it?

TRAPS: zero the scale again at each angle (a tray weighs less along its axis on a slope); plate on
dowels, so that the rear wheels hold (held_wheels = rear); alternate board up and down; wheels locked by the
motor or tied to their axles, nothing tied or chocked to the board. CAUTION: slack catch line, nobody below the board."""
EXAMPLE = "noseload readings my-crawler.toml board.csv --fit cg_height,cg_fore_aft --plot board.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    parser.add_argument(
        "files",
        nargs="*",
        type=reads(),
        metavar="[VEHICLE.toml] READINGS",
        help="vehicle file (default: a demo vehicle), then CSV or TOML of readings (default: an example)",
    )
    parser.add_argument("--setup", metavar="NAME", help="a setup of the file (default: the file as written)")
    parser.add_argument("--drive", choices=("both", "rear", "front"), help="driven axles, in place of the file's")
    parser.add_argument(
        "--fit",
        metavar="A,B",
        default="",
        help="fit these: cg_height, cg_fore_aft, spring_rate, tyre_rate (default: none)",
    )
    parser.add_argument("--log", action="store_true", help="the file is a time log over a punch")
    parser.add_argument("--recipe", action="store_true", help="how the board is read, and what the file holds")
    add_blank(parser)
    add_into(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    from noseload.demo import DEMO
    from noseload.model.file.reader import load_vehicle

    check_output(options)
    if options.recipe:
        from noseload.studies.measuring.readings_layout import CAUTIONS, READINGS_LAYOUT, TRAPS
        from noseload.studies.measuring.readings_log import LOG_LAYOUT

        layouts = (LOG_LAYOUT if options.log else READINGS_LAYOUT,)
        print(recipe_text(SimpleNamespace(title=layouts[0].title, recipe=TRAPS, cautions=CAUTIONS, layouts=layouts)))
        return 0
    if options.blank:
        from noseload.studies.measuring.readings import READINGS_LAYOUT
        from noseload.studies.measuring.readings_log import LOG_LAYOUT

        print(write_blank(options.blank, (LOG_LAYOUT if options.log else READINGS_LAYOUT,)))
        log = " --log" if options.log else ""
        options.next_step = f"fill it in, then: noseload readings my-crawler.toml {quote(options.blank)}{log}"
        return 0
    options.vehicle, options.readings = _sorted_out(options.files)
    vehicle = load_vehicle(options.vehicle or DEMO, setup=options.setup, drive=options.drive)
    if options.log:
        return _run_log(options, vehicle)
    from noseload.studies.measuring.readings import compare_readings

    names = [name.strip() for name in options.fit.split(",") if name.strip()]
    _check_into(options, vehicle, names)
    result = compare_readings(options.readings or demo_readings("board.csv"), vehicle, fit=names)
    if options.csv:
        write_csv(options.csv, result.to_dict()["rows"])
    if options.plot:
        from noseload.pictures.measuring.readings import draw_readings
        from noseload.pictures.style import save_figure

        save_figure(draw_readings(result), options.plot)
    if options.into:
        write_lines(options.into, result.lines)
    if options.json:
        print_json("readings", result.to_dict(), options, [vehicle])
    else:
        print(_text(vehicle, result, options.into))
    return 0


def _sorted_out(files: list[str]) -> tuple[str | None, str | None]:
    """Vehicle file and readings: in that order, as every command takes its vehicle first; CSV is never a vehicle.

    Raises
    ------
    ModelError
        More than one of each.
    """
    from noseload.model.errors import ModelError

    tables = [file for file in files if not file.lower().endswith(".toml")]
    others = [file for file in files if file.lower().endswith(".toml")]
    if len(files) > 2 or len(tables) > 1:
        raise ModelError("readings takes one vehicle file and one file of readings: VEHICLE.toml READINGS")
    if tables:
        return (others[0] if others else None), tables[0]
    return (others[0] if others else None), (others[1] if len(others) > 1 else None)


def _check_into(options: Namespace, vehicle: Vehicle, names: list[str]) -> None:
    from noseload.model.errors import ModelError

    if not options.into:
        return
    if not names:
        raise ModelError("--into writes what --fit found; name the quantities with --fit")
    if vehicle.setup != "base":
        raise ModelError("--into writes into the file as written; fit without --setup, or copy the lines by hand")


def _run_log(options: Namespace, vehicle: Vehicle) -> int:
    from noseload.model.errors import ModelError
    from noseload.studies.measuring.readings_log import compare_log

    if options.fit or options.into:
        raise ModelError("a time log is compared, not fitted: leave --fit and --into out")
    result = compare_log(options.readings or demo_readings("punch-log.csv"), vehicle)
    if options.csv:
        write_csv(options.csv, result.rows())
    if options.plot:
        from noseload.pictures.measuring.readings import draw_log
        from noseload.pictures.style import save_figure

        save_figure(draw_log(result), options.plot)
    if options.json:
        print_json("readings", result.to_dict(), options, [vehicle])
    else:
        parts = [
            f"{result.file} against {shown_name(vehicle.name)}: time log of a punch",
            *(f"  {sentence}" for sentence in result.verdict),
            "",
            estimates_table(result.estimates),
            "",
        ]
        parts += [f"warning: {warning}" for warning in result.warnings]
        print("\n".join(parts))
    return 0


def _text(vehicle: Vehicle, result: ReadingsResult, into: str | None) -> str:
    parts = [
        f"{result.file} against {shown_name(vehicle.name)}"
        + ("" if vehicle.setup == "base" else f", setup {row_name(vehicle.setup)}"),
        *(f"  {sentence}" for sentence in result.verdict),
        "",
    ]
    rows = []
    document = result.to_dict()["rows"]
    for place, row in enumerate(document):
        load = row["unit"] == "n"
        size = grams_of_force(1.0) if load else 1.0
        form = ".0f" if load else ".2f"
        unit = " g" if load else " deg"
        off = (row["observed"] - row["fitted"]) / row["standard_error"]
        rows.append(
            (
                row["kind"].replace("_", " "),
                str(row["row"]),
                f"{row['grade_deg']:g} deg",
                f"{row['observed'] * size:{form}}{unit}",
                f"{row['fitted'] * size:{form}}{unit}",
                f"{row['standard_error'] * size:{form if not load else '.1f'}}{unit}",
                f"{off:+.1f}",
                result.directions[place],
            )
        )
    header = ("reading", "row", "grade", "read", "fitted" if result.estimates else "calculated", "error", "off by", "")
    parts.append(table(header, rows))
    if result.estimates:
        parts += ["", estimates_table(result.estimates)]
        parts += [f"correlation of {a} and {b}: {c:+.2f}" for a, b, c in result.correlations]
    parts += [f"warning: {warning}" for warning in result.warnings]
    if result.lines:
        head = f"written into {into}:" if into else "lines for the vehicle file:"
        parts += ["", head, *(f"  {line}" for line in lines_text(result.lines).splitlines())]
    return "\n".join(parts)
