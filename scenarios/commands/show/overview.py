"""`noseload my-crawler.toml`: the whole vehicle in fifteen lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.commands.common import add_vehicle, load_setups, print_json
from noseload.commands.doubts import doubt_lines
from noseload.documents import NO_SOLUTION
from noseload.model.names import shown_name
from noseload.studies.show.overview import overview

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.show.overview import Overview


SUMMARY = "Your vehicle in fifteen lines: doubts, where its climb ends, setups, what would help, what to measure next."
EXAMPLE = "noseload overview my-crawler.toml, or just: noseload my-crawler.toml"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser, setup=False)
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    vehicles = load_setups(options.vehicle, None, drive=options.drive)
    result = overview(vehicles[0], tuple(vehicles[1:]))
    if options.json:
        print_json("overview", result.to_dict(), options, vehicles)
    else:
        print("\n".join(_lines(result)))
        if result.failed:
            options.next_step = "noseload describe {file}    (what does not fit)"
        elif result.helps:
            options.next_step = (
                f"noseload compare {{file}} --setups base,{result.helps[0][0]}    (the best one, in full)"
            )
        else:
            options.next_step = "noseload describe {file}    (everything the file says)"
    return NO_SOLUTION if result.failed else 0


def _lines(result: Overview) -> list[str]:
    vehicle = result.vehicle
    driven = {"both": "both axles driven", "rear": "rear axle driven", "front": "front axle driven"}
    lines = [
        f"{shown_name(vehicle.name)}: level {vehicle.level} file, {1e3 * vehicle.mass:.0f} g, {driven[vehicle.drive.driven_axles]}",
        f"  doubts: {'; '.join(doubt_lines(vehicle, 1)) or 'none'}; {_assumed(vehicle)}",
    ]
    if result.failed:
        return [*lines, f"  no answer: {result.failed}"]
    lines += [f"  climb: {result.limit}", f"  wheels: {result.wheel}"]
    lines += [f"  {name}: {sentence}" if name else f"  {sentence}" for name, sentence in result.setups]
    if not result.setups:
        lines.append("  setups: none in the file; the names below go wherever a setup's goes")
    lines += [f"  would help: {label} ({name}): {gain}" for name, label, gain in result.helps]
    if not result.helps:
        lines.append("  would help: no ready-made change; see `noseload rank`")
    return [*lines, f"  measure next: {result.measure}"]


def _assumed(vehicle: Vehicle) -> str:
    count = len(vehicle.assumed)
    return "nothing assumed" if not count else f"{count} value{'s' if count > 1 else ''} assumed (noseload describe)"
