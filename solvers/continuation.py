"""Follow a curve of equilibria by pseudo-arclength, past folds, and find places on it.

H. B. Keller, 'Numerical solution of bifurcation and nonlinear eigenvalue problems', in *Applications
of Bifurcation Theory*, Academic Press 1977; E. L. Allgower, K. Georg, *Numerical Continuation
Methods*, Springer 1990.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import cos, hypot, sqrt
from typing import Any

import numpy as np

from .curve_points import LOOSE, TIGHT, CurvePoint, corrected, factored, joined, orientation_of, start_curve
from .curve_steps import KINK_STEP, LARGEST_TURN, KinkSteps
from .errors import SolverError, Status
from .landing import Kinks, Landings, NoKinks, place_on
from .newton import Equilibrium, Solution
from .newton import solve as newton_solve
from .roots import bracketed_root

STRAY = 10.0
"""Steps beyond which a corrected point is no neighbour: where the curve turns back at a kink, the corrector may find a far stretch of it."""
TURN_STEP = 1e-4
"""Step past a kink at which the curve turns back: far against the smallest step, near against the curve's own bends."""
LONGEST_TANGENT = 3.0
"""Chords that a tangent may be followed to start the search of a place on a segment."""
ONE_PLACE = 1e-5
"""Scaled arclength within which two points of a curve are one place."""
PLACE = 1e-13
"""Scaled arclength within which a place on a curve is found: rounding."""
LANDED = 1e-12
"""Value at a point, over that at its neighbour, below which the point is the place that is looked for: rounding."""
LEAST_LOOP = 4
"""Points that a curve has before it is asked whether it has come round to its start."""
FIRST_STEP, LARGEST_STEP, SMALLEST_STEP = 0.2, 0.6, 1e-7
"""Arclength in scaled space with which a trace begins, that it goes at once, and below which it ends."""


@dataclass(frozen=True, eq=False)
class Curve:
    """A traced curve.

    Attributes
    ----------
    points : tuple of CurvePoint
    status : Status
        CONVERGED where `stop` ended the trace, else why it could not go on.
    message : str
    nfev : int
    """

    equilibrium: Equilibrium
    points: tuple
    status: Status
    message: str
    nfev: int

    def folds(self) -> list:
        """Segments (k, k + 1) between whose ends the parameter turns back."""
        return self._folds

    @cached_property
    def _folds(self) -> list:
        turns = [p.tangent[-1] for p in self.points]
        return [k for k in range(len(turns) - 1) if turns[k] * turns[k + 1] < 0.0]

    @cached_property
    def first_branch(self) -> "Curve":
        """The curve up to its first fold, which is then its last point; the curve itself where it has none."""
        if not self._folds:
            return self
        k = self._folds[0]
        if self.points[k].arclength == self.points[k + 1].arclength:
            return replace(self, points=self.points[: k + 1])
        turn = self.find(lambda p: p.tangent[-1], first=k, last=k + 1)
        return replace(self, points=(*self.points[: k + 1], turn))

    def point_between(self, k: int, fraction: float, near: Any = None, tolerance: float = TIGHT) -> Any:
        """Corrected point on segment k at a fraction of its arclength, or None; `near` is a known one close by."""
        a, b = self.points[k], self.points[k + 1]
        length = fraction * (b.arclength - a.arclength)
        guess = None
        if near is not None:
            ahead = (a.arclength + length - near.arclength) * near.tangent * joined(self.equilibrium.scales, 1.0)
            guess = joined(near.state, near.parameter) + ahead
        for start, patient in self._starts(a, b, fraction, guess):
            point = corrected(self.equilibrium, a, length, hint=b, guess=start, tolerance=tolerance, patient=patient)[0]
            if point is not None:
                return point
        return None

    def _starts(self, a: CurvePoint, b: CurvePoint, fraction: float, guess: Any) -> Iterator[Any]:
        """Guesses of a point of a segment: nearby, on the chord, and on the tangents of both ends.

        Where the segment has a kink, the chord lies off the curve, on the wrong side of what makes the kink.
        """
        scales = joined(self.equilibrium.scales, 1.0)
        low, high = (joined(end.state, end.parameter) / scales for end in (a, b))
        chord = high - low
        square = float(chord @ chord)
        if guess is not None:
            yield guess, False
        yield None, False
        for start, tangent, share in ((high, b.tangent, fraction - 1.0), (low, a.tangent, fraction)):
            along = float(chord @ tangent)
            if square and abs(share) * square <= LONGEST_TANGENT * abs(along) * square**0.5:
                yield (start + share * square / along * tangent) * scales, False
        yield None, True

    def point_at(self, parameter: float, k: int) -> Any:
        """First point of segment k at a parameter between those of its ends; None where there is none."""
        a, b = self.points[k], self.points[k + 1]
        solution = _near_cubic(self, k, parameter) if a.orientation == b.orientation else None
        if solution is None or not a.arclength < b.arclength:
            return self.find(lambda p: p.parameter - parameter, first=k, last=k + 1)
        scales = joined(self.equilibrium.scales, 1.0)
        start = joined(a.state, a.parameter)
        chord, way = ((joined(x.state, x.parameter) - start) / scales for x in (b, solution))
        _, scaled, tangent = factored(self.equilibrium, solution.state, parameter, chord)
        arclength = a.arclength + float(way @ chord / (chord @ chord)) * (b.arclength - a.arclength)
        return CurvePoint(solution.state, parameter, tangent, arclength, orientation_of(scaled))

    def find(
        self,
        measure: Callable[..., Any],
        first: int = 0,
        last: int | None = None,
        *,
        kink: tuple[Kinks, int] | None = None,
    ) -> Any:
        """First place where `measure(point)` changes sign.

        Parameters
        ----------
        measure : callable
            Function of a CurvePoint, float.
        first, last : int
            Segments to look at.
        kink : (Kinks, int), optional
            One that the measure changes its sign at: its place is solved for at once.

        Returns
        -------
        CurvePoint or None
            None where it never changes sign.
        """
        last = len(self.points) - 1 if last is None else last
        high = measure(self.points[first])
        for k in range(first, last):
            low, high = high, measure(self.points[k + 1])
            # A place that was landed on is a point of the curve already.
            if abs(low) <= LANDED * abs(high):
                return self.points[k]
            if abs(high) <= LANDED * abs(low):
                return self.points[k + 1]
            if low * high <= 0.0:
                if self.points[k].arclength == self.points[k + 1].arclength:
                    return self.points[k]
                landed = None if kink is None else self._landed(k, *kink, low / (low - high))
                return landed or self._find_in(k, measure, low, high)
        return None

    def _landed(self, k: int, kinks: Kinks, kink: int, share: float) -> "CurvePoint | None":
        """The place of a kink on a segment, from a share of its chord; None where it is not found on this stretch of the curve."""
        a, b = self.points[k], self.points[k + 1]
        start, scales = joined(a.state, a.parameter), joined(self.equilibrium.scales, 1.0)
        chord = joined(b.state, b.parameter) - start
        place, _ = place_on(kinks, kink, self.equilibrium, start + share * chord)
        if place is None:
            return None
        along = chord / scales
        fraction = float((place - start) / scales @ along / (along @ along))
        point = corrected(self.equilibrium, a, fraction * (b.arclength - a.arclength), hint=b, guess=place)[0]
        return point if point is not None and 0.0 <= fraction <= 1.0 and point.sense == a.sense else None

    def _find_in(self, k: int, measure: Callable[..., Any], low: float, high: float) -> Any:
        near = None

        seen = {0.0: (low, self.points[k]), 1.0: (high, self.points[k + 1])}

        def value(fraction: float) -> Any:
            nonlocal near
            point = self.point_between(k, fraction, near)
            if point is None:
                return float("nan")
            near = point
            seen[fraction] = measure(point), point
            return seen[fraction][0]

        try:
            # Where the measure jumps, at a kink, every halving costs a corrected point: none below rounding.
            length = min(self.points[k + 1].arclength - self.points[k].arclength, 1.0)
            root = bracketed_root(value, 0.0, 1.0, low, high, tolerance=PLACE / length)
            return self._tight(k, root, seen)
        except SolverError as error:
            closest = self._closest(k, seen)
            if closest is not None:
                return closest
            first, second = (self.points[j].parameter for j in (k, k + 1))
            raise SolverError(
                error.status,
                f"between the parameters {first:.6g} and {second:.6g} the curve was found but a place "
                f"on it was not: {error}",
            ) from None

    def _closest(self, k: int, seen: dict) -> Any:
        """Of known points that have the change of sign between them, the first one, if they are as good as one; else None.

        A measure may jump at a kink, and beside a kink no corrector tells its two sides.
        """
        places = sorted(seen)
        pairs = [(a, b) for a, b in pairwise(places) if seen[a][0] * seen[b][0] <= 0.0]
        first, second = pairs[0]
        length = self.points[k + 1].arclength - self.points[k].arclength
        return self._tight(k, first, seen) if (second - first) * length <= ONE_PLACE else None

    def _tight(self, k: int, fraction: float, seen: dict) -> Any:
        """A known point of a segment; its ends, which only showed the way, are corrected where that can be done."""
        point = seen[fraction][1]
        if fraction not in (0.0, 1.0):
            return point
        found = self.point_between(k, fraction, point)
        if found is None and fraction == 0.0 and k > 0:
            found = self.point_between(k - 1, 1.0, point)
        return found or point


def _ahead(equilibrium: Equilibrium, points: list, step: float) -> np.ndarray:
    """A step from the last point along its tangent and the bend of the segment before it: where the corrector starts."""
    point = points[-1]
    way = step * point.tangent
    if len(points) > 1 and points[-2].arclength < point.arclength:
        bend = (point.tangent - points[-2].tangent) / (point.arclength - points[-2].arclength)
        if step * sqrt(bend @ bend) < LARGEST_TURN:
            way = way + 0.5 * step**2 * bend
    return joined(point.state, point.parameter) + way * joined(equilibrium.scales, 1.0)


def _distance(equilibrium: Equilibrium, first: CurvePoint, second: CurvePoint) -> float:
    """Chord between two points in scaled space."""
    away = (second.state - first.state) / equilibrium.scales
    return hypot(sqrt(away @ away), second.parameter - first.parameter)


def _turned(equilibrium: Equilibrium, point: CurvePoint, step: float) -> "CurvePoint | None":
    """Point of the curve past a kink at which it turns back, or None.

    At a kink the Jacobian changes by a column times the kink's normal, so the determinant with that normal below is the
    same on both sides, and with the tangent below, which leaves the one side and enters the other, its sign is.
    """
    n = len(point.state)
    ahead = joined(point.state, point.parameter) + step * point.tangent * joined(equilibrium.scales, 1.0)
    _, scaled, tangent = factored(equilibrium, ahead[:n], float(ahead[n]), point.tangent)
    if not np.isfinite(tangent).all():
        return None
    if orientation_of(scaled) * tangent[-1] * point.sense < 0.0:
        tangent = -tangent
    if tangent @ point.tangent > cos(LARGEST_TURN):
        return None
    origin = replace(point, tangent=tangent)
    candidate = corrected(equilibrium, origin, step, tolerance=LOOSE, patient=True)[0]
    return candidate if candidate is not None and candidate.sense == point.sense else None


def _passes(equilibrium: Equilibrium, before: CurvePoint, after: CurvePoint, start: CurvePoint) -> bool:
    """Whether the curve comes through its own start between two points, going the same way."""
    low, high = sorted((before.parameter, after.parameter))
    if not low <= start.parameter <= high or after.tangent @ start.tangent <= 0.0:
        return False
    scales = joined(equilibrium.scales, 1.0)
    away = (joined(start.state, start.parameter) - joined(before.state, before.parameter)) / scales
    ahead = float(away @ before.tangent)
    if not 0.0 <= ahead <= 2.0 * (after.arclength - before.arclength):
        return False
    there = corrected(equilibrium, before, ahead)[0]
    return there is not None and float(np.abs((there.state - start.state) / equilibrium.scales).max()) <= ONE_PLACE


class Tracing:
    """A curve through a solution that is followed as far as it is asked for, and on from there.

    Parameters
    ----------
    equilibrium : Equilibrium
    solution : Solution
        Converged start.
    direction : float
        +1 toward larger, -1 toward smaller parameters at first.
    kinks : Kinks, optional
        Kinks of its laws whose places can be solved for: each is two points at one place of the curve, as it is met and as it
        is left.
    max_points : int
    """

    def __init__(
        self,
        equilibrium: Equilibrium,
        solution: Solution,
        direction: float,
        *,
        kinks: Kinks | None = None,
        max_points: int = 400,
    ) -> None:
        self._equilibrium, self._points = equilibrium, [start_curve(equilibrium, solution, direction)]
        self._nfev = 1
        self._landings = Landings(NoKinks() if kinks is None else kinks, equilibrium, solution.state)
        self._way = self._followed(max_points)
        self._end = next(self._way)

    def until(self, stop: Callable[..., Any]) -> "Curve":
        """The curve to where `stop(point)` is true, from its last point so far on, or to where it cannot be followed further."""
        while self._end is None and not stop(self._points[-1]):
            self._end = next(self._way)
        status, message = self._end or (Status.CONVERGED, Status.CONVERGED.value)
        return Curve(self._equilibrium, tuple(self._points), status, message, self._nfev + self._landings.nfev)

    def _followed(self, max_points: int) -> Iterator[tuple[Status, str] | None]:
        """Yields None before each attempt to go on from the last point, and why there is none at the end."""
        equilibrium, points, landings = self._equilibrium, self._points, self._landings
        step, objection, kink = FIRST_STEP, None, KinkSteps()
        while len(points) < max_points:
            yield None
            point = points[-1]
            guess = _ahead(equilibrium, points, step)
            pair = landings.passed(point, guess[:-1], float(guess[-1]), step)
            if pair is not None:
                points += pair
                continue
            candidate, cost = corrected(equilibrium, point, step, guess=guess, tolerance=LOOSE)
            self._nfev += cost
            if candidate is not None:
                objection = equilibrium.accept(candidate.state, candidate.parameter)
                turn = float(candidate.tangent @ point.tangent)
                follows = candidate.sense == point.sense and _distance(equilibrium, point, candidate) <= STRAY * step
                if objection is None and landings.passes(candidate.state) and step >= KINK_STEP:
                    pair = landings.passed(point, candidate.state, candidate.parameter, step)
                    if pair is not None:
                        points += pair
                    else:
                        step = kink.halved(step, point)
                    continue
                if objection is None and follows and (turn > cos(LARGEST_TURN) or step < KINK_STEP):
                    points.append(candidate)
                    landings.settle(candidate)
                    if len(points) > LEAST_LOOP and _passes(equilibrium, point, candidate, points[0]):
                        yield Status.CLOSED, Status.CLOSED.value
                        return
                    step = min(LARGEST_STEP, kink.next_step(step, turn, candidate))
                    continue
                kept = objection is None and follows
                step = kink.step_to(equilibrium, point, candidate, step) if kept else 0.5 * step
            else:
                step = kink.halved(step, point)
            if step < SMALLEST_STEP:
                candidate = _turned(equilibrium, point, TURN_STEP) if objection is None else None
                if candidate is not None and equilibrium.accept(candidate.state, candidate.parameter) is None:
                    points.append(candidate)
                    landings.settle(candidate)
                    step = TURN_STEP
                    continue
                why = f"the curve could not be followed past parameter {point.parameter:.6g}: {Status.STEP_TOO_SMALL.value}"
                yield (Status.STEP_TOO_SMALL, why) if objection is None else (Status.REJECTED, objection)
                return
        yield Status.OUT_OF_ITERATIONS, f"{max_points} points did not reach the end of the curve"


def trace(
    equilibrium: Equilibrium,
    solution: Solution,
    direction: float,
    stop: Callable[..., Any],
    *,
    kinks: Kinks | None = None,
    max_points: int = 400,
) -> "Curve":
    """Trace the curve through a solution until `stop(point)` is true, at the last of its points; parameters as of `Tracing`."""
    return Tracing(equilibrium, solution, direction, kinks=kinks, max_points=max_points).until(stop)


def solve_on(curve: Curve, parameter: float) -> Solution | None:
    """Solve at a parameter value, on the first segment of a curve that spans it.

    Returns
    -------
    Solution or None
        None where no segment spans the parameter.
    """
    points = curve.points
    for k in range(len(points) - 1):
        a, b = points[k], points[k + 1]
        if min(a.parameter, b.parameter) <= parameter <= max(a.parameter, b.parameter):
            return _solve_between(curve, k, parameter)
    return None


def _solve_between(curve: Curve, k: int, parameter: float) -> Solution:
    """Newton from the cubic; near a fold, from the place on the curve itself."""
    solution = _near_cubic(curve, k, parameter)
    if solution is not None:
        return solution
    # No solution, or that of the branch beyond the fold.
    point = curve.find(lambda p: p.parameter - parameter, first=k, last=k + 1)
    return newton_solve(curve.equilibrium, point.state, parameter)


def _near_cubic(curve: Curve, k: int, parameter: float) -> Solution | None:
    """Newton from the cubic through the ends of a segment and their tangents; None where that finds nothing on its branch."""
    equilibrium, a, b = curve.equilibrium, curve.points[k], curve.points[k + 1]
    span = b.parameter - a.parameter
    slope_a = _slope(equilibrium, a, span)
    slope_b = _slope(equilibrium, b, span)
    f = (parameter - a.parameter) / span if span else 0.0
    g = 1.0 - f
    start = a.state * g * g * (1 + 2 * f) + b.state * f * f * (1 + 2 * g) + g * f * (g * slope_a - f * slope_b)
    solution = newton_solve(equilibrium, start, parameter)
    found = solution.success and orientation_of(_scaled(equilibrium, solution)) == a.orientation
    return solution if found else None


def _scaled(equilibrium: Equilibrium, solution: Solution) -> Any:
    return solution.jacobian * joined(equilibrium.scales, 1.0) / equilibrium.residual_scales[:, None]


def _slope(equilibrium: Equilibrium, point: CurvePoint, span: Any) -> np.ndarray:
    along = point.tangent[-1]
    return point.tangent[:-1] * equilibrium.scales / along * span if abs(along) >= 1e-3 else np.zeros_like(point.state)
