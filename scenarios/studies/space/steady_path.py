"""Steady motion in space followed over the grade: where a solve from the crawl's pose fails, past loose coils and snaps."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import copysign, degrees, radians
from typing import TYPE_CHECKING

from noseload.model.crawl.kinks import HELD
from noseload.model.space.kinks import SpaceKinks
from noseload.model.space.parameters import WHEELS
from noseload.solvers.continuation import solve_on, trace
from noseload.solvers.newton import Solution, solve
from noseload.studies.climb.followed import AT_STOP, followed_path

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy as np

    from noseload.model.space.steady import SpaceSteady
    from noseload.solvers.continuation import Curve, CurvePoint


FIRST_STEP = radians(2.0)
BEYOND = radians(0.2)
"""How far past the grade that is asked for a path is followed."""


@dataclass(frozen=True)
class FollowedSteady:
    """What following a steady motion up to a grade came to.

    Attributes
    ----------
    solution : Solution or None
        At that grade.
    snap : float or None
        Grade, rad, at which it snaps into another pose, the path having turned back there; a `solution` is then what it
        snaps into.
    end : float or None
        Steepest grade of the path, rad; None where no flatter grade has a steady motion either.
    """

    solution: Solution | None
    snap: float | None = None
    end: float | None = None

    def why_not(self, grade: float) -> str:
        """In words why there is no solution at a grade (rad)."""
        there = f"at {degrees(grade):.2f} deg there is no steady motion"
        if self.end is None:
            return f"{there} to be found, nor one at a flatter grade"
        if self.snap is not None:
            return (
                f"{there}: on the way up it snaps over at {degrees(self.snap):.2f} deg and comes to no pose that holds here; "
                "a slower crawl snaps later"
            )
        return f"{there}: it could be followed up to {degrees(self.end):.2f} deg"


def follow_steady(steady: SpaceSteady, crawl_at: Callable[[float], np.ndarray | None], grade: float) -> FollowedSteady:
    """The steady motion at a grade, followed from a flatter one: it snaps elsewhere than the crawl does.

    Parameters
    ----------
    steady : SpaceSteady
    crawl_at : callable
        `crawl_at(grade)`: unknowns of a crawl at a grade (rad), or None.
    grade : float
        rad.
    """
    here = _flatter(steady, crawl_at, grade)
    if here is None:
        return FollowedSteady(None)
    kinks, sense = SpaceKinks(steady), copysign(1.0, grade)

    def ends(point: CurvePoint) -> bool:
        rear_left, rear_right, front_left, front_right = (depth > 0.0 for depth in steady.depths(point.state))
        axle_up = not ((rear_left or rear_right) and (front_left or front_right))
        side_up = not ((rear_left or front_left) and (rear_right or front_right))
        along = sense * point.parameter
        return axle_up or side_up or along > abs(grade) + BEYOND or along < 0.0

    def loose(point: CurvePoint) -> list[float]:
        if min(steady.depths(point.state)) <= AT_STOP:
            return [HELD] * len(WHEELS)
        return [coil for coil, *_ in kinks.gaps(point.state)]

    curve = trace(steady, here, sense, ends, kinks=kinks)
    path = followed_path(curve, loose, WHEELS)
    found = solve_on(path.piece_at(grade), grade)
    if found is not None and found.success:
        return FollowedSteady(found, None, grade)
    steepest = max((point.parameter for point in curve.points), key=abs)
    return FollowedSteady(_beyond(curve, grade), path.fold, steepest)


def _beyond(curve: Curve, grade: float) -> Solution | None:
    """The first solution at a grade past the folds of a curve, where its poses are as stable as at its start."""
    first = curve.points[0].orientation
    for a, b in pairwise(curve.points):
        spans = min(a.parameter, b.parameter) <= grade <= max(a.parameter, b.parameter)
        if spans and a.orientation == b.orientation == first:
            found = solve_on(replace(curve, points=(a, b)), grade)
            if found is not None and found.success:
                return found
    return None


def _flatter(steady: SpaceSteady, crawl_at: Callable[[float], np.ndarray | None], grade: float) -> Solution | None:
    """The motion at a flatter grade; steps back grow, down to level."""
    step = FIRST_STEP
    while step < 2.0 * abs(grade):
        flatter = copysign(max(abs(grade) - step, 0.0), grade)
        crawl = crawl_at(flatter)
        if crawl is not None:
            guess, share = steady.guess(crawl)
            here = solve(steady, guess, flatter) if share < 1.0 else None
            if here is not None and here.success:
                return here
        step *= 2.0
    return None
