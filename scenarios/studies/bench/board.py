"""A vehicle that stands on a tilted board with its wheels locked: which of them hold it decides what the front carries.

An axle on a plate on dowels or rollers pulls nothing, so that the other holds the whole vehicle: the same statics as a crawl
driven there alone, without rolling. With all wheels locked on the board statics leaves the division open until the front is free.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import radians, sqrt
from typing import TYPE_CHECKING, Any

from noseload.model.crawl.equilibrium import CreepEquilibrium, N
from noseload.model.parameters import AT_REST
from noseload.model.vehicle import Vehicle
from noseload.solvers.newton import solve

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.generated.vehicle_numbers import VehicleNumbers


HELD_WHEELS = ("rear", "front", "both")
_ROUNDS = 60


def held_vehicle(vehicle: Vehicle, held: str) -> Vehicle:
    """The vehicle whose wheels of one axle ('rear', 'front') hold it on a board, as one that is driven there alone.

    'both' is the vehicle itself. A wheel that stands still has no rolling resistance.
    """
    if held == "both":
        return vehicle
    base = None if vehicle.base is None else held_vehicle(vehicle.base, held)
    rear, front = (
        replace(axle, tyre=replace(axle.tyre, rolling_resistance=0.0)) for axle in (vehicle.rear, vehicle.front)
    )
    drive = replace(vehicle.drive, driven_axles=held, front_overdrive=1.0)
    return replace(vehicle, rear=rear, front=front, drive=drive, base=base)


@dataclass(frozen=True)
class BoardRow:
    """Axle loads (N) at a grade, and between what the front one may lie where statics leaves it open."""

    grade_deg: float
    rear_load_n: float | None
    front_load_n: float | None
    status: str = "ok"
    bounds_n: tuple[float, float] | None = None


class BoardClimb:
    """Loads and tip-over grades on a board, wheels locked.

    Parameters
    ----------
    climb_of : callable
        Vehicle -> object with `row(grade_deg)`, `kinks(end)` and `limits`.
    vehicle : Vehicle
    held : str
        Of `HELD_WHEELS`: the wheels that hold it; 'both': all are locked.
    """

    def __init__(self, climb_of: Callable[[Vehicle], Any], vehicle: Vehicle, held: str) -> None:
        self._climb_of, self.vehicle, self.held = climb_of, vehicle, held
        self._climbs: dict[str, Any] = {}
        self._rows: dict[float, BoardRow] = {}

    def _climb(self, held: str) -> Any:
        if held not in self._climbs:
            self._climbs[held] = self._climb_of(held_vehicle(self.vehicle, held))
        return self._climbs[held]

    def row(self, grade_deg: float) -> BoardRow:
        """Loads at a grade; with all wheels locked those half-way between the bounds."""
        grade = float(grade_deg)
        if grade not in self._rows:
            self._rows[grade] = self._row(grade)
        return self._rows[grade]

    def _row(self, grade_deg: float) -> BoardRow:
        climb = self._climb(self.held)
        row = climb.row(grade_deg)
        found = BoardRow(grade_deg, row.rear_load_n, row.front_load_n, row.status)
        if self.held != "both" or row.front_load_n is None or getattr(climb, "standing", None) is None:
            return found
        bounds = locked_range(climb, grade_deg)
        if bounds is None:
            return found
        middle = 0.5 * (bounds[0] + bounds[1])
        rear = row.rear_load_n + row.front_load_n - middle
        return replace(found, rear_load_n=rear, front_load_n=middle, bounds_n=bounds)

    def spread(self, grade_deg: float) -> float:
        """Standard error of the loads that the open division gives, N: of a range, all places alike."""
        bounds = self.row(grade_deg).bounds_n
        return 0.0 if bounds is None else (bounds[1] - bounds[0]) / sqrt(12.0)

    def kinks(self, low_deg: float, high_deg: float) -> list[Any]:
        """Where a coil goes loose or a stop is met between two grades, in their order: list of `followed.Kink`."""
        climb = self._climb(self.held)
        kinks = [*climb.kinks("rear")[::-1], *climb.kinks("front")]
        return [kink for kink in kinks if low_deg <= kink.grade_deg <= high_deg]

    @property
    def limits(self) -> BoardLimits:
        """Tip-over both ways: an axle that carries nothing holds nothing, so that the other holds the vehicle."""
        return BoardLimits(
            self._climb("rear").limits.tip_over_grade_deg, self._climb("front").limits.tip_over_downhill_grade_deg
        )


@dataclass(frozen=True)
class BoardLimits:
    """Grades (deg) at which an axle leaves the board, nose up and nose down."""

    tip_over_grade_deg: float | None
    tip_over_downhill_grade_deg: float | None


def board_front_load(vehicle: Vehicle, grade_deg: float, held: str = "rear") -> float | None:
    """What a scale under the front wheels should read on a board, N; None where there is no such pose."""
    from noseload.studies.climb.sweep import climb_of

    return BoardClimb(climb_of, vehicle, held).row(grade_deg).front_load_n


def locked_range(climb: Any, grade_deg: float) -> tuple[float, float] | None:
    """Least and largest front load with all wheels locked on a tilted board, N; None where there is no attitude.

    Statics leaves it open whatever is driven. The front pulls from nothing to all of it, no axle beyond its grip.
    """
    standing, grade, row = climb.standing, radians(grade_deg), climb.row(float(grade_deg))
    if row.state is None:
        return None
    values = standing.values.with_values(AT_REST | {"rear_driven": 1.0, "front_driven": 1.0, "front_alone": 0.0})
    loads = [_locked_load(standing, values, row.state[:N], grade, in_front) for in_front in (False, True)]
    return None if None in loads else (min(loads), max(loads))


def _locked_load(standing: Any, values: VehicleNumbers, state: np.ndarray, grade: float, in_front: Any) -> Any:
    """Front load with as little or as much traction in front as grip allows, N; from a pose at that grade."""
    pull, weights = 0.0, {"geared": 1.0, "rear_grip": 1.0, "front_grip": 0.0}
    for _ in range(_ROUNDS):
        there = CreepEquilibrium(values.with_values(weights), standing.weight, standing.vehicle.wheelbase)
        there.take_branch_of(standing.equilibrium)
        solved = solve(there, state, grade)
        if not solved.success:
            return None
        state = solved.state
        outputs = there.outputs(state, grade)[0]
        rear, front = float(outputs[0]), float(outputs[1])
        total = float(outputs[2] + outputs[3])
        size, grips = abs(total), (values.rear.grip * max(rear, 0.0), values.front.grip * max(front, 0.0))
        wanted = min(size, grips[1]) if in_front else max(0.0, size - grips[0])
        if front <= 0.0 or abs(wanted - pull) <= 1e-10 * standing.weight:
            return front
        # Weights of the zero-speed law that give the front just this traction.
        pull = wanted
        weights = {"geared": 1.0, "rear_grip": (size - pull) / rear, "front_grip": pull / front}
    return None
