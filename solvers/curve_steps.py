"""How long the steps along a curve of equilibria are where its laws have kinks: onto one and over it."""

from math import acos
from typing import Any

import numpy as np

from .curve_points import joined
from .newton import Equilibrium

LARGEST_TURN = 0.35
"""Angle between successive tangents above which a step is halved, rad."""
KINK_STEP = 5e-3
"""Step below which a sharp turn is taken for a kink of the curve itself (a stop engaging)."""
CROSSING_STEP = 0.9 * KINK_STEP
"""Step that crosses a kink, from half of it before."""
STRAIGHT = 0.25
"""Share of a sharp turn that a curve makes on the way to a kink at most: more is a bend, which short steps follow."""
SHORT_OF_WALL = 0.75
"""Share of the way to a place where a corrector failed that the next step goes."""


class KinkSteps:
    """Steps of a trace: onto a kink that two tangents point at, across it, and long again behind it.

    Halving alone takes a dozen corrected points to come as near; every point is accepted on the same terms.
    """

    def __init__(self) -> None:
        self._turn = 0.0
        self._wall: float | None = None
        self._tried = self._crossing = False

    def halved(self, step: float, point: Any) -> float:
        """After a corrector that failed: short of that place steps do not grow."""
        self._crossing, self._wall = False, point.arclength + step
        return 0.5 * step

    def step_to(self, equilibrium: Equilibrium, point: Any, candidate: Any, step: float) -> float:
        """After a corrected point whose tangent has turned too far: up to where both tangents meet, once; else half."""
        if self._tried or step < KINK_STEP:
            return self.halved(step, point)
        self._tried = True
        scales = joined(equilibrium.scales, 1.0)
        chord = (joined(candidate.state, candidate.parameter) - joined(point.state, point.parameter)) / scales
        pair = np.stack([point.tangent, candidate.tangent], axis=1)
        (before, after), *_ = np.linalg.lstsq(pair, chord, rcond=None)
        if not (0.0 < before < step and after > 0.0):
            return self.halved(step, point)
        self._crossing, self._turn = True, _angle(float(candidate.tangent @ point.tangent))
        return max(before - 0.5 * CROSSING_STEP, CROSSING_STEP)

    def next_step(self, step: float, turn: float, point: Any) -> float:
        """After a point that was accepted at a turn (its cosine)."""
        longer = self._longer(step, turn)
        if self._wall is None or point.arclength >= self._wall:
            self._wall = None
            return longer
        return min(longer, max(SHORT_OF_WALL * (self._wall - point.arclength), min(step, CROSSING_STEP)))

    def _longer(self, step: float, turn: float) -> float:
        angle = _angle(turn)
        crossing = self._crossing and angle < STRAIGHT * self._turn
        self._tried = self._crossing = False
        if crossing:
            self._tried = True
            return CROSSING_STEP
        if angle < 0.1 * LARGEST_TURN:
            return 4.0 * step
        return 2.0 * step if angle < 0.4 * LARGEST_TURN else step


def _angle(cosine: float) -> float:
    return acos(max(-1.0, min(1.0, cosine)))
