"""The part of `noseload punch` that runs in space."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

from noseload.commands.common import print_json
from noseload.documents import NO_SOLUTION, write_csv
from noseload.model.errors import ModelError
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.punch.wheels_range import wheels_range

from .wheels_text import wheels_text

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.model.vehicle import Vehicle


def run_wheels(vehicle: Vehicle, options: Namespace, asked: dict[str, Any]) -> int:
    """Run `punch --wheels`; returns the exit code."""
    if options.uncertainty:
        raise ModelError("--uncertainty is not carried by --wheels yet; leave one of them out")
    place = {"heading_deg": options.heading, "shafts": options.shafts == "on"}
    result = punch_wheels(vehicle, mismatch=options.mismatch, **place, **asked)
    spread = wheels_range(vehicle, place | asked) if options.mismatch is None and result.success else None
    if options.csv and result.time_s.size:
        write_csv(options.csv, result.rows())
    if options.plot and result.time_s.size:
        from noseload.pictures.punch.wheels import draw_wheels_punch
        from noseload.pictures.style import save_figure

        save_figure(draw_wheels_punch(result), options.plot)
    if options.json:
        more = {} if spread is None else {"mismatch_range": spread.to_dict()}
        print_json("punch", result.to_dict() | more, options, [vehicle])
    else:
        print(wheels_text(vehicle, result, spread))
    if options.pictures and result.success:
        from noseload.pictures.punch.wheels_film import save_wheels_punch

        names = save_wheels_punch(result, options.pictures)
        if not options.json:
            print(f"\npictures in {options.pictures}{os.sep}: {', '.join(names)}")
    return 0 if result.success else NO_SOLUTION
