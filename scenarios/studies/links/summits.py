"""The most that any linkage gives: climbs from many random linkages side by side, and from around the highest top again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.model.units import GRAM, STANDARD_GRAVITY
from noseload.solvers.batch.polish import apart, polish
from noseload.solvers.errors import SolverError, Status

from .linkages import Linkages
from .shock_pieces import ShockPieces

DRAWN, STARTS, KICKED = 160, 24, 8
"""Linkages drawn, how many of them are climbed from, side by side, and how many around the top found. A quarter of the starts comes
to the best top of the demo: that all of 24 miss it happens once in a thousand seeds."""
APART_MM = 8.0
"""How far apart those are in some coordinate."""
SAME_N = 0.05 * GRAM * STANDARD_GRAVITY
"""Tops that differ by less are the same."""
KICK_MM, MOST_KICKS = 12.0, 2
"""The top found is left by that much in half of its coordinates and climbed for again, until that finds nothing higher."""
RADIUS_MM, SMALLEST_MM, GAIN_N = 8.0, 3e-3, 0.01 * GRAM * STANDARD_GRAVITY
"""Of one climb: first region, the one at which it rests, and what eight rounds must gain."""


@dataclass(frozen=True)
class Summit:
    """The highest top found, and where every start came to rest.

    Attributes
    ----------
    point : ndarray, shape (16,)
        mm, order of POINTS.
    values : tuple of float
        Of every start, best first; N.
    evaluations, refused : int
        Linkages solved, and those drawn that cannot be built or do not climb there.
    """

    point: np.ndarray
    values: tuple[float, ...]
    evaluations: int
    refused: int


def highest(
    linkages: Linkages,
    sign: float,
    start: np.ndarray,
    reach: float,
    *,
    seed: int,
    confirm: Callable[[np.ndarray], bool],
    progress: Callable[[float], Any] | None = None,
) -> Summit:
    """Linkage with the largest front load (sign 1) or the smallest (sign -1).

    Parameters
    ----------
    linkages : Linkages
    sign : float
    start : ndarray, shape (16,)
        The linkage there is, mm.
    reach : float
        How far each coordinate may go from it, mm.
    seed : int
    confirm : callable
        Point (16,) to bool: whether its own climb from level gets there.
    progress : callable, optional
        Called with the share done, 0..1.

    Raises
    ------
    SolverError
        No linkage drawn is allowed.
    """
    search = _Search(linkages, sign, start, float(reach), np.random.default_rng(seed), confirm)
    search.climb(search.drawn(), STARTS)
    for k in range(MOST_KICKS):
        if progress is not None:
            progress(1.0 - 0.5 ** (k + 1))
        before = search.best[0]
        search.climb(search.kicked(), KICKED)
        if search.best[0] - before < SAME_N:
            break
    if progress is not None:
        progress(1.0)
    ends = sorted((value for value, _ in search.ends), reverse=True)
    return Summit(search.best[1], tuple(sign * value for value in ends), search.evaluations, search.refused)


class _Search:
    """Ends of all climbs so far, and where the next ones start."""

    def __init__(
        self,
        linkages: Linkages,
        sign: float,
        start: np.ndarray,
        reach: float,
        random: np.random.Generator,
        confirm: Callable[[np.ndarray], bool],
    ) -> None:
        self.linkages, self.sign, self.random, self.confirm = linkages, sign, random, confirm
        self.start, self.low, self.high = start[:, None], start[:, None] - reach, start[:, None] + reach
        self.ends: list[tuple[float, np.ndarray]] = []
        self.evaluations = self.refused = 0

    @property
    def best(self) -> tuple[float, np.ndarray]:
        """Value (sign times N) and place of the highest end."""
        return max(self.ends, key=lambda end: end[0])

    def drawn(self) -> np.ndarray:
        """Linkages spread from the present one outward: a box of many dimensions is mostly forbidden ground."""
        anywhere = self.low + (self.high - self.low) * self.random.random((self.start.size, DRAWN))
        points = self.start + self.random.random(DRAWN) * (anywhere - self.start)
        points[:, :1] = self.start
        return points

    def kicked(self) -> np.ndarray:
        """Linkages around the highest end."""
        shape = (self.start.size, DRAWN)
        kicks = self.random.uniform(-KICK_MM, KICK_MM, shape) * (self.random.random(shape) < 0.5)
        return np.clip(self.best[1][:, None] + kicks, self.low, self.high)

    def climb(self, points: np.ndarray, count: int) -> None:
        """Climb on from so many of the best of some linkages, far enough from each other."""
        loads, states = self.linkages.crawls(points)
        good = np.flatnonzero(np.isfinite(loads))
        self.evaluations, self.refused = self.evaluations + loads.size, self.refused + loads.size - good.size
        good = good[np.argsort(-self.sign * loads[good])]
        good = good[apart(points[:, good], count, APART_MM)]
        if not good.size:
            if not self.ends:
                raise SolverError(Status.REJECTED, f"none of {loads.size} linkages tried is allowed; widen the limits")
            return
        found = polish(
            ShockPieces(self.linkages, self.sign),
            points[:, good],
            self.sign * loads[good],
            states[:, good],
            self.low[:, 0],
            self.high[:, 0],
            radius=RADIUS_MM,
            smallest=SMALLEST_MM,
            gain=GAIN_N,
            same=0.5 * SAME_N,
            known=self.best[0] if self.ends else -np.inf,
            confirm=self.confirm,
        )
        self.evaluations += found.evaluations
        self.ends += zip(found.values.tolist(), found.points.T, strict=True)
