"""The part of `noseload punch` that runs in space."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

from noseload.commands.assumed_lines import assumed_lines
from noseload.commands.common import print_json
from noseload.commands.how_sure import wheels_interval_text
from noseload.documents import NO_SOLUTION, write_csv
from noseload.studies.errors.assumed_punch import LINE_WORDS, assumed_in_wheels_punch
from noseload.studies.punch.splits_range import wheels_range
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.punch.wheels_summary import wheel_told

from .wheels_text import wheels_text

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.model.vehicle import Vehicle
    from noseload.studies.errors.uncertainty_wheels import WheelsUncertainty


def run_wheels(vehicle: Vehicle, options: Namespace, many: dict[str, Any], single: dict[str, Any]) -> int:
    """Run `punch --wheels`, with options that many punches share and those of an accurate one; returns the exit code."""
    place = {"heading_deg": options.heading, "shafts": options.shafts == "on"}
    asked = place | many | single
    result = punch_wheels(vehicle, mismatch=options.mismatch, **asked)
    many = place | {"mismatch": options.mismatch} | many
    spread = wheels_range(vehicle, asked) if options.mismatch is None and result.success else None
    sure = _uncertainty(vehicle, options, many) if options.uncertainty and result.success else None
    assumed = assumed_in_wheels_punch([vehicle], wheel_told(result.summary), many) if result.success else ()
    if options.csv and result.time_s.size:
        write_csv(options.csv, result.rows())
    if options.plot and result.time_s.size:
        from noseload.pictures.punch.wheels import draw_wheels_punch
        from noseload.pictures.style import save_figure

        save_figure(draw_wheels_punch(result, sure), options.plot)
    if options.json:
        more: dict[str, Any] = {"assumed_that_matter": [effect.to_dict("lines") for effect in assumed]}
        more |= {} if spread is None else {"mismatch_range": spread.to_dict()}
        more |= {} if sure is None else {"uncertainty": sure.to_dict()}
        print_json("punch", result.to_dict() | more, options, [vehicle], seed=None if sure is None else sure.seed)
    else:
        lines = [wheels_text(vehicle, result, spread), *assumed_lines(assumed, LINE_WORDS, least=1.0)]
        print("\n".join(lines) + wheels_interval_text(sure))
    if options.pictures and result.success:
        from noseload.pictures.punch.wheels_film import save_wheels_punch

        names = save_wheels_punch(result, options.pictures)
        if not options.json:
            print(f"\npictures in {options.pictures}{os.sep}: {', '.join(names)}")
    return 0 if result.success else NO_SOLUTION


def _uncertainty(vehicle: Vehicle, options: Namespace, many: dict[str, Any]) -> WheelsUncertainty:
    """Intervals of the punch; a setup is also held against the vehicle it changes, with the same draws."""
    from noseload.studies.errors.uncertainty_wheels import wheels_uncertainty

    vehicles = [vehicle] if vehicle.base is None else [vehicle.base, vehicle]
    return wheels_uncertainty(vehicles, many, draws=int(options.draws), seed=options.seed)
