"""Creep over a range of grades, with the grades at which the climb ends."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.studies.result import Result, draw

from .any_climb import climb_of as climb_of
from .results import Limits

if TYPE_CHECKING:
    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.followed import Kink
    from noseload.studies.climb.rigid import RigidClimb


@dataclass(frozen=True)
class Sweep(Result):
    """Creep over grade.

    Attributes
    ----------
    setup : str
    rows : tuple of Creep
    limits : Limits
    status : str
        'ok', or 'no_solution' where the equations could not be solved before the first limit.
    message : str
    """

    picture = "climb.loads.plot_front_load"
    setup: str
    rows: tuple
    limits: Limits
    status: str = "ok"
    message: str = ""
    ends: tuple = ()
    """Where and why the path ends without a limit, uphill and nose down: a sentence each."""
    kinks: tuple = ()
    """Where a coil goes loose or a stop is reached among the rows: `noseload.studies.climb.followed.Kink`, by grade."""

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers under the keys of the JSON document."""
        values = {
            "setup": self.setup,
            "rows": [row.to_dict() for row in self.rows],
            "limits": self.limits.to_dict(),
            "ends": list(self.ends),
            "kinks": [kink.to_dict() for kink in self.kinks],
            "status": self.status,
        }
        if self.message:
            values["message"] = self.message
        return values

    def plot_budget(self, ax: Any = None) -> Any:
        """Draw what the front load is made of, over grade; returns the axes."""
        return draw("climb.loads.plot_budget", self, ax)

    def __repr__(self) -> str:
        limits = self.limits
        tip = "none" if limits.tip_over_grade_deg is None else f"{limits.tip_over_grade_deg:.2f} deg"
        level = next((row.front_load_n for row in self.rows if row.grade_deg == 0.0), None)
        start = "" if level is None else f"front {grams_of_force(level):.0f} g on the level, "
        return f"Sweep({self.setup}: {len(self.rows)} grades, {start}tip-over {tip}, first limit {limits.first})"


GRADE_STEP_DEG = 5.0
BELOW_END_DEG = 3.0
"""A grade that is chosen for a vehicle lies at least this far below where its climb ends."""


def grade_below(end_deg: float) -> float:
    """Steepest multiple of 5 deg that lies 3 deg or more below the end of a climb; the level where there is none."""
    return max(0.0, GRADE_STEP_DEG * floor((end_deg - BELOW_END_DEG) / GRADE_STEP_DEG))


def sweep(
    vehicle: Vehicle, *, from_deg: float = 0.0, to_deg: float | None = None, step_deg: float = 1.0, climb: Any = None
) -> Sweep:
    """Creep over grades, up to the first limit by default.

    Parameters
    ----------
    vehicle : Vehicle
    from_deg, to_deg, step_deg : float
        Grades of the rows; without `to_deg` the rows end at the first limit, which is the last row.
    climb : Climb, optional
        A path already followed for this vehicle.

    Returns
    -------
    Sweep

    Raises
    ------
    ModelError
        The step is not positive or more than 10,000 rows would result.
    SolverError
        The vehicle has no standing pose.
    """
    climb = climb or climb_of(vehicle)
    limits = climb.limits
    grades = _grades(from_deg, to_deg, step_deg, limits)
    rows = [climb.row(grade) for grade in grades]
    failed = next((row for row in rows if row.status == "no_solution"), None)
    kinks = _kinks(climb, grades)
    ends = tuple(end for end in (climb.end_message("front"), climb.end_message("rear")) if end)
    if failed is not None:
        message = f"stopped at {failed.grade_deg:g} deg: {failed.message}"
        return Sweep(vehicle.setup, tuple(rows), limits, "no_solution", message, ends, kinks)
    if limits.first is None:
        past = climb.row(min(limits.steepest_equilibrium_deg + step_deg, 89.0))
        if past.status == "no_solution":
            message = f"no limit was reached: {past.message}"
            return Sweep(vehicle.setup, tuple(rows), limits, "no_solution", message, ends, kinks)
    return Sweep(vehicle.setup, tuple(rows), limits, ends=ends, kinks=kinks)


def _kinks(climb: Climb | RigidClimb, grades: list[float]) -> tuple[Kink, ...]:
    """Kinks between the first and the last grade, deg, in their order."""
    low, high = min(grades), max(grades)
    both = [*(climb.kinks("rear")[::-1] if low < 0.0 else ()), *(climb.kinks("front") if high > 0.0 else ())]
    return tuple(kink for kink in both if low <= kink.grade_deg <= high)


def _grades(from_deg: float, to_deg: float | None, step_deg: float, limits: Limits) -> list[float]:
    if not step_deg > 0.0:
        raise ModelError(f"step {step_deg:g} deg: a sweep needs a step above 0 deg, such as 1")
    end: Any = to_deg
    if end is None:
        met: Any = getattr(limits, f"{limits.first}_grade_deg") if limits.first else limits.steepest_equilibrium_deg
        end = max(met, from_deg)
    count = floor((end - from_deg) / step_deg * (1 + 1e-12) + 1e-9)
    if count < 0:
        raise ModelError(f"a sweep from {from_deg:g} to {end:g} deg runs backwards; swap --from and --to")
    if count > 10_000:
        raise ModelError(
            f"a sweep of {count} rows is too long; use a step of {abs(end - from_deg) / 1000:g} deg or more"
        )
    grades = [from_deg + k * step_deg for k in range(count + 1)]
    if to_deg is None and end - grades[-1] > 1e-9:
        grades.append(end)
    return grades
