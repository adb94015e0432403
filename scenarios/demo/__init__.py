"""Demo vehicles of our own, invented."""

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle

DEMO = os.path.join(os.path.dirname(os.path.abspath(__file__)), "demo.toml")
"""The demo vehicle's file."""


DEMO_TRIAL = os.path.join(os.path.dirname(DEMO), "trial")
"""Folder of an invented blinded trial of a setup of the demo vehicle."""


def demo_vehicle(*, setup: str | None = None) -> "Vehicle":
    """The demo vehicle, or one of its setups.

    Returns
    -------
    Vehicle
    """
    from noseload.model.file.reader import load_vehicle

    return load_vehicle(DEMO, setup=setup)
