"""Why a doubt leaves a number without an answer: which pose is lost in its range, and at what grade."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees, radians
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.names import row_name
from noseload.model.units import grams_of_force
from noseload.studies.climb.neglected import creep_near
from noseload.studies.climb.spread import stand_spread

from .left_out_numbers import Doubted, DoubtedCases

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.results import Creep


AT_ONCE, LOOKS = 13, 2
"""Grades that are looked at side by side, and how often between the last pose and the first without: 0.3 deg at 45 deg."""


def no_crawl(vehicle: Vehicle, row: Creep) -> str:
    """Why a setup has no front axle load at the grade asked for, as a sentence; '' where it has one."""
    if row.front_load_n is not None:
        return ""
    return f"{row_name(vehicle.setup)} has no steady crawl at {row.grade_deg:g} deg: {row.message or row.status}"


def lost_pose(vehicle: Vehicle, climb: Climb, sizes: Mapping[str, float], grade_deg: float) -> str:
    """Which pose is lost on the way up to a grade with something left out put in, and where.

    Parameters
    ----------
    vehicle : Vehicle
        With links.
    climb : Climb
    sizes : mapping of str to float
        What is put in, by the names of the table's parts.
    grade_deg : float
        At which it has no pose.
    """
    low, high, load = 0.0, radians(grade_deg), None
    for _ in range(LOOKS):
        grades = np.linspace(low, high, AT_ONCE)
        loads = _loads(vehicle, climb, sizes, grades)
        good = int(np.argmin(np.isfinite(loads))) if np.isnan(loads).any() else AT_ONCE
        if good == 0:
            break
        low, load = float(grades[good - 1]), float(loads[good - 1])
        high = float(grades[min(good, AT_ONCE - 1)])
    if load is None:
        return f"{row_name(vehicle.setup)} has no pose on the level"
    carries = f"{grams_of_force(load):.0f} g"
    return f"{row_name(vehicle.setup)} loses its pose at {degrees(low):.1f} deg, where its front axle still carries {carries}"


def _loads(vehicle: Vehicle, climb: Climb, sizes: Mapping[str, float], grades: np.ndarray) -> np.ndarray:
    """Front loads at grades, N; the climb's own poses to start from."""
    found = np.full(grades.size, np.nan)
    states = [creep_near(climb, climb.row(degrees(grade))) for grade in grades]
    some = [k for k, state in enumerate(states) if state is not None]
    if some:
        batch = stand_spread(vehicle, len(some), near=climb.standing).batch
        doubted = Doubted({name: np.full(len(some), size) for name, size in sizes.items()})
        near = np.array([states[k] for k in some]).T
        cases = DoubtedCases.of(vehicle, batch, doubted, near=near, divided=climb.overdriven)
        found[some] = cases.loads(grades[some], {})[0]
    return found
