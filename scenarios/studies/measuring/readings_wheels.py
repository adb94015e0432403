"""Readings of single wheels on the board: four scales, or the grade at which the first wheel lifts.

What keeps the wheels from turning matters: tied to their own axle they need no torque from the shafts, so no shaft twists the
chassis; held by the motor they do. Tied to the board they are not weighed at all: ties and chocks carry load past the tyres. How geared axles share the pull is then not settled by statics, and what plausible
mismatches make of a reading counts as an error of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.wheels.climbs import wheel_climb
from noseload.studies.wheels.plausible import plausible_laws

if TYPE_CHECKING:
    from noseload.studies.wheels.climbs import SpringClimb


WHEEL_LOADS = ("rear_left_load", "rear_right_load", "front_left_load", "front_right_load")
FIRST_LIFT = "first_wheel_lift"
SINGLE_KINDS = (*WHEEL_LOADS, FIRST_LIFT)
HELD_BY = ("axle", "motor")
TIED_SENTENCE = (
    "The wheels are tied to their axles, so no torque goes through the shafts and nothing twists the chassis: these readings say "
    "nothing of shafts and axle ratios. Hold them by the motor for that."
)
SHARED_SENTENCE = (
    "The wheels are held by the motor; how geared axles share the pull is not settled by statics, and what plausible mismatches "
    "make of a reading is in its error."
)


def has_single(kinds: Any) -> bool:
    """Whether rows of these kinds are about single wheels."""
    return bool(np.isin(np.asarray(kinds).astype(str), SINGLE_KINDS).any())


def single_faults(readings: Any) -> list[str]:
    """What a file of single-wheel readings lacks, in words."""
    if has_single(readings["kind"]) and readings.settings["wheels_held_by"] not in HELD_BY:
        return [
            "single wheels are read and `# wheels_held_by = ` is missing: write axle (a spoke tied to its own axle: the shafts carry nothing) "
            "or motor (the motor holds them: the shafts twist the chassis)"
        ]
    return []


OPEN_SENTENCE = (
    "All wheels are locked, each to its own axle: statics leaves open how the axles share the pull. Calculated is an equal slip of all; "
    "the range from the rear wheels alone to the front wheels alone is in each row's error. Tie the rear wheels alone (held_wheels = rear) to read sharper."
)


def sentence_of(readings: Any) -> list[str]:
    """What the readings cannot say, or with what error."""
    if not has_single(readings["kind"]):
        return []
    if readings.settings["wheels_held_by"] != "axle":
        return [SHARED_SENTENCE]
    return [TIED_SENTENCE, *([OPEN_SENTENCE] if readings.settings["held_wheels"] in (None, "", "both") else [])]


class ClimbOnWheels:
    """A climb of the side view with the same vehicle on four wheels beside it.

    Parameters
    ----------
    flat : object
        With `row(grade_deg)`, `limits` and `spread(grade_deg)`.
    vehicle : Vehicle
        As the wheels that hold it drive it.
    held_by : str
        Of `HELD_BY`.
    by_one_axle : sequence of Vehicle
        Where all wheels are locked, each to its own axle, nothing says how the axles share the pull: the same vehicle as the
        wheels of one axle alone hold it.
    """

    def __init__(self, flat: Any, vehicle: Vehicle, held_by: str, by_one_axle: Sequence[Vehicle] = ()) -> None:
        self.flat, self.vehicle, self.held_by, self.by_one_axle = flat, vehicle, held_by, by_one_axle

    def row(self, grade_deg: float) -> Any:
        """Of the side view."""
        return self.flat.row(grade_deg)

    def kinks(self, low_deg: float, high_deg: float) -> list[Any]:
        """Of the side view."""
        return self.flat.kinks(low_deg, high_deg)

    @property
    def limits(self) -> Any:
        """Of the side view."""
        return self.flat.limits

    @cached_property
    def paths(self) -> list[Any]:
        """The path of its wheels, and those at plausible mismatches or with one axle alone holding it."""
        shafts = self.held_by == "motor"
        first = wheel_climb(self.vehicle, shafts=shafts)
        if not shafts:
            return [first, *(wheel_climb(one, shafts=False) for one in self.by_one_axle)]
        return [first, *(first.under(law) for law in plausible_laws(self.vehicle))]

    def reading(self, kind: str, grade_deg: float) -> float:
        """Load of a wheel at a grade, N, or the grade of the first lift, deg.

        Raises
        ------
        ModelError
            There is no such pose, or no wheel lifts.
        """
        return self._read(self.paths[0], kind, grade_deg)

    def spread(self, kind: str, grade_deg: float) -> float:
        """Standard error that the sharing of the pull gives a reading: of a range, all places alike."""
        values = [self._read(path, kind, grade_deg) for path in self.paths]
        return (max(values) - min(values)) / sqrt(12.0)

    def _read(self, path: SpringClimb, kind: str, grade_deg: float) -> float:
        if kind == FIRST_LIFT:
            lift = path.first_lift_deg
            if lift is None:
                raise ModelError(f"{self.vehicle.name}: no wheel lifts before the climb ends; leave out {FIRST_LIFT}")
            return float(lift)
        row = path.row(float(grade_deg))
        load = getattr(row, f"{kind}_n")
        if load is None:
            raise ModelError(f"{kind} at {grade_deg:g} deg cannot be calculated: {row.message or row.status}")
        return float(load)
