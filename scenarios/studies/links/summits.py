"""The most and the least that any linkage gives: climbs from many random linkages side by side, and from around the highest tops again."""

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
    """

    point: np.ndarray
    values: tuple[float, ...]


@dataclass(frozen=True)
class Summits:
    """The tops of the most and of the least.

    Attributes
    ----------
    most, least : Summit
    evaluations, refused : int
        Linkages solved, and those drawn that cannot be built or do not climb there.
    """

    most: Summit
    least: Summit
    evaluations: int
    refused: int


def most_and_least(
    linkages: Linkages,
    start: np.ndarray,
    reach: float,
    *,
    seed: int,
    confirm: Callable[[np.ndarray], bool],
    progress: Callable[[float], Any] | None = None,
) -> Summits:
    """Linkages with the largest and with the smallest front load, climbed for side by side: a batch of both costs little more.

    Parameters
    ----------
    linkages : Linkages
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
    searches = [
        Search(linkages, sign, start, float(reach), np.random.default_rng(seed), confirm) for sign in (1.0, -1.0)
    ]
    solved = climb(searches, [search.drawn() for search in searches], STARTS)
    going = searches
    for k in range(MOST_KICKS):
        if progress is not None:
            progress(1.0 - 0.5 ** (k + 1))
        before = [search.best[0] for search in going]
        solved += climb(going, [search.kicked() for search in going], KICKED)
        going = [search for search, value in zip(going, before, strict=True) if search.best[0] - value >= SAME_N]
        if not going:
            break
    if progress is not None:
        progress(1.0)
    most, least = (search.summit() for search in searches)
    return Summits(most, least, solved, sum(search.refused for search in searches))


class Search:
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
        self.refused = 0

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

    def summit(self) -> Summit:
        """The highest end, and the loads of all."""
        return Summit(
            self.best[1], tuple(self.sign * value for value in sorted((v for v, _ in self.ends), reverse=True))
        )

    def starts(self, points: np.ndarray, count: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """So many of the best of some linkages, far enough from each other: points, heights and states of creep."""
        loads, states = self.linkages.crawls(points)
        good = np.flatnonzero(np.isfinite(loads))
        self.refused += loads.size - good.size
        good = good[np.argsort(-self.sign * loads[good])]
        good = good[apart(points[:, good], count, APART_MM)]
        if not good.size and not self.ends:
            raise SolverError(Status.REJECTED, f"none of {loads.size} linkages tried is allowed; widen the limits")
        return points[:, good], self.sign * loads[good], states[:, good]


def climb(searches: list[Search], points: list[np.ndarray], count: int) -> int:
    """Climb on from so many of the best of each search's linkages; returns how many linkages were solved."""
    starts = [search.starts(own, count) for search, own in zip(searches, points, strict=True)]
    sizes = [heights.size for _, heights, _ in starts]
    solved = sum(own.shape[1] for own in points)
    if not sum(sizes):
        return solved
    first = searches[0]
    joined, heights, states = (np.concatenate(parts, axis=-1) for parts in zip(*starts, strict=True))
    found = polish(
        ShockPieces(first.linkages),
        joined,
        heights,
        states,
        first.low[:, 0],
        first.high[:, 0],
        radius=RADIUS_MM,
        smallest=SMALLEST_MM,
        gain=GAIN_N,
        signs=np.repeat([search.sign for search in searches], sizes),
        same=0.5 * SAME_N,
        known=np.repeat([search.best[0] if search.ends else -np.inf for search in searches], sizes),
        confirm=first.confirm,
    )
    for search in searches:
        own = found.signs == search.sign
        search.ends += zip(found.values[own].tolist(), found.points.T[own], strict=True)
    return solved + found.evaluations
