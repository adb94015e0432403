"""Where full throttle is needed to keep crawling: the steady motion at the creep speed with geared axles.

In the limit of no speed both axles slip alike. At a speed they cannot: one spin turns wheels of different loaded radii, so the
axles share the pull otherwise, and the throttle that holds them is that of the steady motion itself.
"""

from __future__ import annotations

from math import degrees, inf, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import DRIVE
from noseload.model.crawl.steady import SteadyMotion
from noseload.solvers.continuation import solve_on
from noseload.solvers.errors import SolverError, Status
from noseload.solvers.newton import solve
from noseload.solvers.roots import bracketed_root

if TYPE_CHECKING:
    from noseload.studies.climb.creep import Climb


FIRST_STEP = radians(0.2)
MOST_STEPS = 12
"""Doublings of the first step before a bracket is given up: it then spans more than all grades."""
CLOSE = 1e-7
"""Width of the last bracket relative to the first: some 1e-8 deg."""
LARGEST = 1e6
"""What an infinite excess is cut to: sliding tyres need any throttle."""


class _Holding:
    """Throttle above full that the steady motion at a grade needs; each solved from the one before."""

    def __init__(self, climb: Climb, creep_speed: float) -> None:
        self.climb = climb
        self.motion = SteadyMotion(climb.standing.equilibrium, travel_speed=creep_speed)

    def excess(self, grade: float) -> float:
        """Throttle less one at a grade, rad; `LARGEST` where the tyres slide.

        Raises
        ------
        SolverError
            The motion there was not found.
        """
        creep = solve_on(self.climb.followed().piece_at(grade), grade)
        if creep is None or not creep.success:
            raise _lost(grade, "no crawl" if creep is None else creep.message)
        guess, share = self.motion.guess(creep.state, grade)
        if abs(share) >= 1.0:
            return LARGEST
        solution = solve(self.motion, guess, grade)
        if not solution.success:
            raise _lost(grade, solution.message)
        values = self.climb.standing.values
        outputs = self.motion.outputs(solution.state, grade)[0]
        torque = self.climb.wheel_torque(solution, outputs)
        throttle = torque / values.stall_torque + solution.state[DRIVE] / values.no_load_speed
        return min(throttle, LARGEST) - 1.0 if np.isfinite(throttle) else LARGEST


def _lost(grade: float, why: str) -> Any:
    return SolverError(Status.REJECTED, f"no steady motion at {degrees(grade):.3f} deg: {why}")


def steady_hold(climb: Climb, estimate: float | None, end: float | None, creep_speed: float) -> float | None:
    """Grade (rad) at which the steady motion at the creep speed needs full throttle; None where it does not below `end`.

    Where a steady motion on the way is not found the estimate stands.

    Parameters
    ----------
    climb : Climb
        With geared axles.
    estimate : float or None
        That grade in the limit of no speed, rad.
    end : float or None
        Where the climb ends, rad.
    creep_speed : float
        m/s.
    """
    try:
        return _hold(climb, estimate, end, creep_speed)
    except SolverError:
        return estimate


def _hold(climb: Climb, estimate: float | None, end: float | None, creep_speed: float) -> float | None:
    end = climb.uphill.points[-1].parameter if end is None else end
    start = min(end if estimate is None else estimate, end)
    holding = _Holding(climb, creep_speed)
    here = holding.excess(start)
    sign, step, there = (-1.0 if here > 0.0 else 1.0), FIRST_STEP, -inf if here > 0.0 else inf
    first, grade = start, start
    for _ in range(MOST_STEPS):
        grade = min(max(start + sign * step, 0.0), end)
        if grade == first:
            # At its end, or on the level, it still is on the same side.
            return None if sign > 0.0 else 0.0
        there = holding.excess(grade)
        if (there > 0.0) != (here > 0.0):
            break
        first, here, step = grade, there, 2.0 * step
    else:
        return None
    return bracketed_root(holding.excess, first, grade, here, there, tolerance=CLOSE)
