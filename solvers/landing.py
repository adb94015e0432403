"""Where a curve meets a kink of its laws: the place itself is solved for, and the curve goes on from there on the far side.

Halving steps towards a kink at which a curve turns back by more than a right angle takes dozens of corrected points: no
hyperplane ahead meets the curve there. The place with the kink's own measure as one more equation is an ordinary one.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import cos, isfinite, sqrt
from typing import Any, Protocol

import numpy as np

from .curve_points import joined
from .curve_steps import LARGEST_TURN
from .newton import Equilibrium

BESIDE = 1e-7
"""Scaled arclength beside a kink at which the laws of either side are asked: far against rounding, near against a bend."""
CORRECTIONS, TRIES = 8, 4
"""Newton steps onto one kink, and kinks that are tried as the first on the way."""
TIGHT = 1e-11
"""Scaled residual of such a place."""
NEAREST = 1e-9
"""Scaled arclength below which the way to a kink has no direction."""
FARTHEST = 1.5
"""Way to a kink over the step that was to pass it, at most."""


class Kinks(Protocol):
    """What a trace is told of the kinks of its laws: a measure for each, which is 0 on it."""

    def values(self, state: np.ndarray) -> Sequence[float]:
        """All measures at a state (n,)."""

    def measure(self, state: np.ndarray, kink: int) -> tuple[float, np.ndarray]:
        """One measure and its slope by the unknowns (n,)."""


class NoKinks:
    """Of laws that are smooth, or whose kinks a trace is not told of."""

    def values(self, state: np.ndarray) -> Sequence[float]:
        """None."""
        return ()

    def measure(self, state: np.ndarray, kink: int) -> tuple[float, np.ndarray]:
        """Never asked for."""
        raise IndexError(kink)


class Landings:
    """The sides of all kinks on which a trace is, and its steps onto and over them.

    Parameters
    ----------
    kinks : Kinks
    equilibrium : Equilibrium
    state : ndarray, shape (n,)
        Where the trace starts.
    """

    def __init__(self, kinks: Kinks, equilibrium: Equilibrium, state: np.ndarray) -> None:
        self.kinks, self.equilibrium = kinks, equilibrium
        self._scales = joined(equilibrium.scales, 1.0)
        self._rows = 1.0 / equilibrium.residual_scales
        self._state, self._values = state, kinks.values(state)
        self._sides = [value > 0.0 for value in self._values]
        self.nfev = 0

    def values(self, state: np.ndarray) -> Sequence[float]:
        """All measures at a state; those of the last one asked for are kept."""
        if state is not self._state:
            self._state, self._values = state, self.kinks.values(state)
        return self._values

    def settle(self, candidate: Any) -> None:
        """Go on from a point, on whatever side of the kinks it is."""
        self._sides = [value > 0.0 for value in self.values(candidate.state)]

    def passes(self, state: np.ndarray) -> bool:
        """Whether a state lies beyond a kink."""
        return bool(self._crossed(state))

    def passed(self, point: Any, state: np.ndarray, parameter: float, step: float) -> tuple[Any, Any] | None:
        """The first kink between a point and a place about a step ahead, as a pair of points there: as it is met and as it is left.

        None where there is none or its place was not found, or the curve bends too far on the way there.
        """
        return self._onto(point, state, parameter, step) if self.passes(state) else None

    def _crossed(self, state: np.ndarray) -> list[int]:
        return [k for k, (v, side) in enumerate(zip(self.values(state), self._sides, strict=True)) if (v > 0.0) != side]

    def _onto(self, point: Any, beyond: np.ndarray, parameter: float, step: float) -> tuple[Any, Any] | None:
        start = joined(point.state, point.parameter)
        chord = joined(beyond, parameter) - start
        here, there = self.kinks.values(point.state), self.values(beyond)
        shares = {k: abs(here[k]) / (abs(here[k]) + abs(there[k]) or 1.0) for k in self._crossed(beyond)}
        kink = min(shares, key=lambda k: shares[k])
        tried: set[int] = set()
        while len(tried) < TRIES:
            tried.add(kink)
            place, nfev = place_on(self.kinks, kink, self.equilibrium, start + shares[kink] * chord)
            self.nfev += nfev
            if place is None:
                return None
            way = (place - start) / self._scales
            reach = sqrt(way @ way)
            if not NEAREST < reach <= FARTHEST * step or not way @ point.tangent > cos(LARGEST_TURN) * reach:
                return None
            ahead = place + BESIDE / reach * way * self._scales
            crossed, values = self._crossed(beside := ahead[:-1]), self.values(beside)
            earlier = [k for k in crossed if k not in tried and abs(values[k]) > abs(values[kink])]
            if not earlier:
                return self._pair(point, place, kink, way / reach, reach, crossed) if kink in crossed else None
            shares |= {k: abs(here[k]) / (abs(here[k]) + abs(values[k])) * shares[kink] for k in earlier}
            kink = min(earlier, key=lambda k: shares[k])
        return None

    def _evaluate(self, place: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        self.nfev += 1
        return self.equilibrium.evaluate(place[:-1], float(place[-1]))

    def _pair(
        self, point: Any, place: np.ndarray, kink: int, way: np.ndarray, reach: float, crossed: list[int]
    ) -> tuple[Any, Any] | None:
        """The place as the curve meets it and as it leaves it: tangents and determinants of either side.

        The two Jacobians differ by a column times the kink's slope, so with that slope below them their determinants agree.
        """
        slopes, found = [self._slope(place[:-1], k) for k in crossed], []
        for offset in (-min(BESIDE, 0.5 * reach), BESIDE):
            beside = place + offset * way * self._scales
            scaled = self._evaluate(beside)[1] * self._scales * self._rows[:, None]
            bordered = np.vstack([scaled, slopes[crossed.index(kink)]])
            right = np.zeros(len(bordered))
            right[-1] = -1.0 if self._sides[kink] else 1.0
            try:
                tangent = np.linalg.solve(bordered, right)
            except np.linalg.LinAlgError:
                return None
            tangent /= sqrt(tangent @ tangent)
            onward = all((slope @ tangent > 0.0) != self._sides[k] for k, slope in zip(crossed, slopes, strict=True))
            orientation = float(np.linalg.slogdet(scaled[:, :-1])[0])
            arclength = point.arclength + reach
            met = replace(
                point,
                state=place[:-1],
                parameter=float(place[-1]),
                tangent=tangent,
                arclength=arclength,
                orientation=orientation,
            )
            if not onward or not np.isfinite(tangent).all() or met.sense != point.sense:
                return None
            found.append(met)
        if found[0].tangent @ point.tangent <= cos(LARGEST_TURN):
            return None
        if self.equilibrium.accept(place[:-1], float(place[-1])) is not None:
            return None
        for k in crossed:
            self._sides[k] = not self._sides[k]
        return found[0], found[1]

    def _slope(self, state: np.ndarray, kink: int) -> np.ndarray:
        return joined(self.kinks.measure(state, kink)[1] * self._scales[:-1], 0.0)


def place_on(kinks: Kinks, kink: int, equilibrium: Equilibrium, place: np.ndarray) -> tuple[np.ndarray | None, int]:
    """Newton's iteration onto a kink from a place near it (n + 1: unknowns and parameter).

    Returns
    -------
    place : ndarray, shape (n + 1,), or None
    nfev : int
    """
    n = len(place) - 1
    scales, rows = joined(equilibrium.scales, 1.0), 1.0 / equilibrium.residual_scales
    weights = rows[:, None] * scales
    bordered, right, previous = np.zeros((n + 1, n + 1)), np.zeros(n + 1), np.inf
    for nfev in range(1, CORRECTIONS + 1):
        residual, jacobian = equilibrium.evaluate(place[:n], float(place[n]))
        value, slope = kinks.measure(place[:n], kink)
        slope = slope * scales[:n]
        size = sqrt(slope @ slope)
        if not size > 0.0:
            return None, nfev
        right[:n], right[n] = residual * rows, value / size
        norm = float(abs(right).max())
        if norm <= TIGHT:
            return place, nfev
        if not isfinite(norm) or norm > 4.0 * previous:
            return None, nfev
        np.multiply(jacobian, weights, out=bordered[:n])
        bordered[n, :n] = slope / size
        try:
            place = place - np.linalg.solve(bordered, right) * scales
        except np.linalg.LinAlgError:
            return None, nfev
        previous = norm
    return None, CORRECTIONS
