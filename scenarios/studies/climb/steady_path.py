"""Steady motion followed over the grade: where a solve from the crawl's pose fails, at coils that go loose and at stops."""

from __future__ import annotations

from collections.abc import Callable
from math import copysign, radians
from typing import TYPE_CHECKING

from noseload.model.crawl.equilibrium import SHOCKS
from noseload.model.crawl.kinks import ShockKinks
from noseload.model.crawl.steady import SteadyMotion
from noseload.solvers.continuation import solve_on, trace
from noseload.solvers.newton import Solution, solve

from .followed import followed_path, loose_coils

if TYPE_CHECKING:
    import numpy as np

    from noseload.solvers.continuation import CurvePoint


FIRST_STEP = radians(2.0)


def follow_steady(motion: SteadyMotion, crawl_at: Callable, grade: float) -> Solution | None:
    """The steady motion at a grade, followed from a flatter one; the crawl snaps elsewhere than the motion does.

    Parameters
    ----------
    motion : SteadyMotion
    crawl_at : callable
        `crawl_at(grade)`: unknowns of creep at a grade (rad), or None.
    grade : float
        rad.

    Returns
    -------
    Solution or None
        None where no flatter grade has a motion either, or where its path ends before.
    """
    here = _flatter(motion, crawl_at, grade)
    if here is None:
        return None
    values = motion.creep.values

    def lengths(point: CurvePoint) -> np.ndarray:
        return motion.outputs(point.state, point.parameter)[0][SHOCKS:]

    sense = copysign(1.0, grade)
    beyond = abs(grade) + 0.1 * FIRST_STEP
    curve = trace(motion, here, sense, lambda p: abs(p.parameter) > beyond, kinks=ShockKinks(motion.creep))
    path = followed_path(curve, lambda point: loose_coils(values, lengths(point)))
    found = solve_on(path.piece_at(grade), grade)
    return found if found is not None and found.success else None


def _flatter(motion: SteadyMotion, crawl_at: Callable, grade: float) -> Solution | None:
    """The motion at a flatter grade; steps back grow, down to level."""
    step = FIRST_STEP
    while step < 2.0 * abs(grade):
        flatter = copysign(max(abs(grade) - step, 0.0), grade)
        crawl = crawl_at(flatter)
        if crawl is not None:
            guess, share = motion.guess(crawl, flatter)
            here = solve(motion, guess, flatter) if abs(share) < 1.0 else None
            if here is not None and here.success:
                return here
        step *= 2.0
    return None
