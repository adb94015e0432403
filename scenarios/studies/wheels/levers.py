"""What each number of a file and each setup does to the first lift of a wheel, in practical units."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees, radians
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import changes_of
from noseload.model.file.reader import parse_vehicle
from noseload.model.space.equilibrium import N
from noseload.model.space.events import WheelLift
from noseload.model.space.parameters import WHEELS
from noseload.model.variation import quantities_of, shift_file
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.solvers.newton import solve
from noseload.studies.result import Result

from .climbs import wheel_climb
from .nearby import BELOW_DEG
from .plausible import ALIKE, Law, plausible_laws

EVEN_GEARS = "drive.front_overdrive"
"""Gears that turn the axles unlike are another law of traction, no small change: `--mismatch` answers for them."""
MOVES_DEG = 0.005
"""Numbers whose practical unit moves the first lift by less are left out of the ranking."""


@dataclass(frozen=True)
class WheelLevers(Result):
    """First lift of a vehicle, and what one practical unit more of each number makes of it.

    Attributes
    ----------
    rows : tuple of dict
        `name`, `step`, `assumed`, `change_deg` (first lift, one unit more), largest first; `step` is
        'setup' or 'change' for whole ones of the file. `change_range_deg`: its ends over plausible divisions of the pull
        between geared axles, each taken for both vehicles; None where nothing is open.
    idle, unsolved : tuple of str
        Numbers that hardly move it, and those whose vehicle was not solved.
    """

    picture = "wheels.levers.plot_levers"
    setup: str
    first_wheel: str
    first_wheel_lift_grade_deg: float
    rows: tuple
    idle: tuple
    unsolved: tuple

    def to_dict(self) -> dict[str, Any]:
        """The document."""
        return {
            "setup": self.setup,
            "first_wheel": self.first_wheel,
            "first_wheel_lift_grade_deg": self.first_wheel_lift_grade_deg,
            "rows": [dict(row) for row in self.rows],
            "idle": list(self.idle),
            "unsolved": list(self.unsolved),
            "status": "ok",
        }

    def __repr__(self) -> str:
        return f"WheelLevers({self.setup}: {self.first_wheel} at {self.first_wheel_lift_grade_deg:.2f} deg, {len(self.rows)} levers)"


def rank_wheels(vehicle: Vehicle) -> WheelLevers:
    """Rank the numbers of a file by what they do to the first lift, straight up, all wheels slipping alike.

    Each number is changed by one practical unit as if measured so: links made to fit, springs set to the measured stand.

    Raises
    ------
    MissingDataError, ModelError
        The file does not answer about single wheels, or no single wheel lifts first.
    """
    if vehicle.level == "A":
        raise ModelError(
            f"{vehicle.name}: a rigid vehicle (level A) has no springs and shafts to rank; add links and shocks"
        )
    climb = wheel_climb(vehicle)
    own = _Known.of(climb, ALIKE)
    if own is None:
        raise ModelError(f"{vehicle.name}: no single wheel lifts before its axle does; rank by tip-over")
    others = [_Known.of(climb.under(law), law) for law in plausible_laws(vehicle)]
    known = [own, *(other for other in others if other is not None)]
    rows, idle, unsolved = [], [], []
    for quantity in quantities_of(vehicle, space=True):
        if quantity.step <= 0.0 or quantity.key == EVEN_GEARS:
            continue
        try:
            base = wheel_climb(shift_file(vehicle, {quantity.id: quantity.step * quantity.factor}))
        except (SolverError, ModelError):
            unsolved.append(quantity.name)
            continue
        changes = [each.change_of(base) for each in known]
        if changes[0] is None:
            unsolved.append(quantity.name)
        elif all(change is None or abs(change) < MOVES_DEG for change in changes):
            idle.append(quantity.name)
        else:
            rows.append(_row(quantity.name, quantity.step_words, quantity.assumed is not None, changes))
    for name, kind, changed in _whole_changes(vehicle):
        changes = [each.whole_change_of(changed) for each in known]
        if changes[0] is None:
            unsolved.append(name)
        else:
            rows.append(_row(name, kind, False, changes))
    rows.sort(key=lambda row: -abs(row["change_deg"]))
    return WheelLevers(vehicle.setup, WHEELS[own.wheel], own.lift_deg, tuple(rows), tuple(idle), tuple(unsolved))


@dataclass(frozen=True, eq=False)
class _Known:
    """The first lift of the vehicle as it is under one law of division, and the pose from which others are looked for."""

    law: Law
    lift_deg: float
    wheel: int
    start: np.ndarray

    @classmethod
    def of(cls, climb: Any, law: Law) -> "_Known | None":
        """None where no single wheel lifts first."""
        lift, wheel = climb.limits.first_wheel_lift_grade_deg, climb.limits.first_wheel
        if lift is None or wheel not in WHEELS:
            return None
        below = climb.row(lift - BELOW_DEG)
        return cls(law, lift, WHEELS.index(wheel), np.append(below.state, radians(below.grade_deg)))

    def change_of(self, base: Any) -> float | None:
        """What another vehicle, nearly alike, makes of the lift, deg; None where it was not found."""
        try:
            found = _lift(base if self.law is ALIKE else base.under(self.law), self.start, self.wheel)
        except (SolverError, ModelError):
            return None
        return None if found is None else found - self.lift_deg

    def whole_change_of(self, vehicle: Vehicle) -> float | None:
        """What another vehicle makes of the lift along a path of its own, deg; None where it was not found."""
        try:
            climb = wheel_climb(vehicle, **self.law.options)
            found = climb.limits.first_wheel_lift_grade_deg
        except (SolverError, ModelError):
            return None
        return None if found is None else found - self.lift_deg


def _whole_changes(vehicle: Vehicle) -> Iterator:
    """Setups and `[changes.NAME]` of the file, as vehicles."""
    if vehicle.base is None:
        for name in vehicle.setups:
            yield name, "setup", parse_vehicle(vehicle.document, file=vehicle.file, setup=name)
    for change in changes_of(vehicle):
        yield change.name, "change", apply_change(vehicle, change)


def _row(name: str, step: str, assumed: bool, changes: list[float | None]) -> dict:
    """One row: the change under the vehicle's own law comes first."""
    found = [change for change in changes if change is not None]
    ends = [min(found), max(found)] if len(found) > 1 else None
    return {"name": name, "step": step, "assumed": assumed, "change_deg": changes[0], "change_range_deg": ends}


def _lift(climb: Any, start: np.ndarray, wheel: int) -> float | None:
    """First lift of that wheel, deg: by steps from the known one; None where another wheel is off there."""
    equilibrium = climb.climb.equilibrium
    solution = solve(WheelLift(equilibrium, wheel), start, 0.0)
    if not solution.success:
        return None
    depths = equilibrium.depths(solution.state[:N])
    if min(depth for k, depth in enumerate(depths) if k != wheel) <= 0.0:
        return None
    return degrees(float(solution.state[N]))
