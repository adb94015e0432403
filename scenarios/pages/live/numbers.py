"""A vehicle as numbers for the page's script: kernel parameters by name, and where it starts from."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Any

from noseload.model.crawl.equilibrium import resting_pose
from noseload.model.motion.mobility import add_inertia
from noseload.model.parameters import ENDS, axle_centre
from noseload.model.vehicle import Vehicle

if TYPE_CHECKING:
    from noseload.studies.climb.standing import Standing
    from noseload.studies.space.climb import SpaceStanding

SCRIPTS = ("solving.js", "crawl.js", "motion.js", "figures.js", "space.js")
"""Solvers in the order in which they build on each other; the kernels come before them."""
PAGE_SCRIPTS = ("view.js", "own.js", "app.js")
"""What only a page needs, after the solvers."""


def vehicle_numbers(standing: Standing) -> dict[str, Any]:
    """What the script needs of one vehicle, SI.

    Parameters
    ----------
    standing : Standing
        Its solved standing pose.

    Returns
    -------
    dict
        `values` by kernel name, `weight` (N), `wheelbase` (m), `start` (a pose, 13), `free` and `measured` shock lengths
        (rear, front; m), `pose` (null: the springs decide), `places` of the bodies' origins in the measured pose (m).
    """
    vehicle = standing.vehicle
    values = add_inertia(standing.values, vehicle)
    numbers = values.by_name() | {
        f"{end}_{part}_inertia": getattr(values.moving.axle(end), part)
        for end in ENDS
        for part in ("housing", "wheels", "rotor")
    }
    numbers["brake_torque"] = values.moving.drag_brake
    return {
        "values": {name: float(value) for name, value in numbers.items()},
        "weight": float(standing.weight),
        "wheelbase": float(vehicle.wheelbase),
        "start": [float(x) for x in resting_pose(vehicle, values)],
        "free": [float(x) for x in standing.free_lengths],
        "measured": [float(x) for x in standing.measured_lengths],
        "pose": None,
        "places": _places(vehicle),
    }


def _places(vehicle: Vehicle) -> dict[str, list[float]]:
    places = {"chassis": [float(x) for x in vehicle.body.centre_of_gravity]}
    return places | {end: [float(x) for x in axle_centre(vehicle, end)] for end in ENDS}


def space_numbers_of(standing: SpaceStanding) -> dict[str, Any]:
    """What the script needs of one vehicle on four wheels, SI.

    Parameters
    ----------
    standing : SpaceStanding

    Returns
    -------
    dict
        `axles` (numbers of the axle kernel, rear and front), `masses` (kg), `driven`, `weight` (N), `wheelbase` (m),
        `state` (standing pose, 26) and `measured` shock lengths (m).
    """
    numbers = standing.equilibrium.numbers
    return {
        "axles": [[float(value) for value in values] for values in numbers.ordered()],
        "masses": [float(mass) for mass in numbers.masses],
        "driven": list(numbers.driven),
        "weight": float(numbers.weight),
        "wheelbase": float(numbers.wheelbase),
        "state": [float(value) for value in standing.solution.state],
        "measured": [float(length) for length in standing.side_view.measured_lengths],
    }


def live_scripts() -> str:
    """Solvers, drawings and sections as one text for the page, in a scope of their own."""
    own = [files("noseload.pages.live").joinpath(name).read_text(encoding="utf-8") for name in PAGE_SCRIPTS]
    return _short("\n".join(("(function () {", '"use strict";', solver_script(), *own, "})();")))


def _short(script: str) -> str:
    """The same script without its comments and indents: whole lines only, so that nothing inside a line can change."""
    lines = (line.strip() for line in script.splitlines())
    return "\n".join(line for line in lines if line and not line.startswith(("//", "/**")))


def live_style() -> str:
    """Style rules of the live part."""
    return files("noseload.pages.live").joinpath("live.css").read_text(encoding="utf-8")


def solver_script() -> str:
    """Kernels and solvers as one text, for a page or another engine."""
    own = [files("noseload.pages.live").joinpath(name).read_text(encoding="utf-8") for name in SCRIPTS]
    kernels = [
        files("noseload.model.generated").joinpath(name).read_text(encoding="utf-8")
        for name in ("kernels.js", "kernels_space.js")
    ]
    return "\n".join([*kernels, *own])
