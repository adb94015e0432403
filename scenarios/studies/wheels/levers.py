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
        'setup' or 'change' for whole ones of the file.
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
    lift, wheel = climb.limits.first_wheel_lift_grade_deg, climb.limits.first_wheel
    if lift is None or wheel not in WHEELS:
        raise ModelError(f"{vehicle.name}: no single wheel lifts before its axle does; rank by tip-over")
    below = climb.row(lift - BELOW_DEG)
    start = np.append(below.state, radians(below.grade_deg))
    rows, idle, unsolved = [], [], []
    for quantity in quantities_of(vehicle, space=True):
        if quantity.step <= 0.0 or quantity.key == EVEN_GEARS:
            continue
        try:
            changed = shift_file(vehicle, {quantity.id: quantity.step * quantity.factor})
            found = _lift(changed, start, WHEELS.index(wheel))
        except (SolverError, ModelError):
            found = None
        if found is None:
            unsolved.append(quantity.name)
        elif abs(found - lift) < MOVES_DEG:
            idle.append(quantity.name)
        else:
            rows.append(_row(quantity.name, quantity.step_words, quantity.assumed is not None, found - lift))
    for name, kind, changed in _whole_changes(vehicle):
        found = _whole_lift(changed)
        if found is None:
            unsolved.append(name)
        else:
            rows.append(_row(name, kind, False, found - lift))
    rows.sort(key=lambda row: -abs(row["change_deg"]))
    return WheelLevers(vehicle.setup, wheel, lift, tuple(rows), tuple(idle), tuple(unsolved))


def _whole_changes(vehicle: Vehicle) -> Iterator:
    """Setups and `[changes.NAME]` of the file, as vehicles."""
    if vehicle.base is None:
        for name in vehicle.setups:
            yield name, "setup", parse_vehicle(vehicle.document, file=vehicle.file, setup=name)
    for change in changes_of(vehicle):
        yield change.name, "change", apply_change(vehicle, change)


def _whole_lift(vehicle: Vehicle) -> float | np.ndarray | None:
    """First lift along the path of its own, deg, or None."""
    try:
        return wheel_climb(vehicle).limits.first_wheel_lift_grade_deg
    except (SolverError, ModelError):
        return None


def _row(name: str, step: str, assumed: bool, change: float) -> dict:
    return {"name": name, "step": step, "assumed": assumed, "change_deg": change}


def _lift(vehicle: Vehicle, start: np.ndarray, wheel: int) -> float | np.ndarray | None:
    """First lift of that wheel, deg: by steps from the known one; None where another wheel is off there."""
    equilibrium = wheel_climb(vehicle).climb.equilibrium
    solution = solve(WheelLift(equilibrium, wheel), start, 0.0)
    if not solution.success:
        return None
    depths = equilibrium.depths(solution.state[:N])
    if min(depth for k, depth in enumerate(depths) if k != wheel) <= 0.0:
        return None
    return degrees(float(solution.state[N]))
