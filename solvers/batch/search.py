"""Largest value of a function of a few bounded numbers, many points at once: differential evolution.

R. Storn and K. Price, 'Differential evolution', *Journal of Global Optimization* 11 (1997) 341; the step toward one of
the best points is that of J. Zhang and A. C. Sanderson, 'JADE', *IEEE Trans. Evolutionary Computation* 13 (2009) 945.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from noseload.solvers.errors import SolverError, Status

WEIGHTS = (0.45, 0.9)
"""Range of the step's length; it is drawn anew for each point."""
CROSSOVER = 0.85
ELITE = 0.12
"""Share of the points that count as the best ones."""


@dataclass(frozen=True)
class SearchResult:
    """Outcome of a search.

    Attributes
    ----------
    points : ndarray, shape (n, kept)
        Best points found, best first.
    values : ndarray, shape (kept,)
    history : tuple of float
        Best value after each generation.
    evaluations : int
    refused : int
        Points for which the function had no value.
    """

    points: np.ndarray
    values: np.ndarray
    history: tuple
    evaluations: int
    refused: int


def search(
    objective: Callable[..., Any],
    low: ArrayLike,
    high: ArrayLike,
    *,
    seed: int,
    population: int = 96,
    generations: int = 60,
    start: np.ndarray | None = None,
    confirm: Callable[..., Any] | None = None,
    progress: Callable[..., Any] | None = None,
) -> "SearchResult":
    """Search for the largest value.

    Parameters
    ----------
    objective : callable
        Points (n, cases) to values (cases,); NaN where a point is not allowed.
    low, high : array_like, shape (n,)
    seed : int
    population, generations : int
    start : ndarray, shape (n,), optional
        A point known to be allowed; the first points are spread around it and over the box.
    confirm : callable, optional
        Point (n,) to bool: a slower, surer judgement that every best point must pass.
    progress : callable, optional
        Called with the number of the generation.

    Returns
    -------
    SearchResult

    Raises
    ------
    SolverError
        No point at all is allowed.
    """
    random = np.random.default_rng(seed)
    low, high = np.asarray(low, dtype=float)[:, None], np.asarray(high, dtype=float)[:, None]
    points = low + (high - low) * random.random((low.size, population))
    if start is not None:
        # A box of many dimensions is mostly forbidden ground: spread the points from the start outward.
        start = np.asarray(start, dtype=float)[:, None]
        points = start + random.random(population) * (points - start)
        points[:, :1] = start
    values = _confirmed(_allowed(objective(points)), points, -np.inf, confirm)
    refused = int(np.isneginf(values).sum())
    history = [float(values.max())]
    for generation in range(generations):
        trials = _trials(random, points, values, low, high)
        found = _confirmed(_allowed(objective(trials)), trials, values.max(), confirm)
        refused += int(np.isneginf(found).sum())
        better = found >= values
        points, values = np.where(better, trials, points), np.where(better, found, values)
        history.append(float(values.max()))
        if progress is not None:
            progress(generation + 1)
    if np.isneginf(values).all():
        raise SolverError(
            Status.REJECTED, f"none of {population * (generations + 1)} points tried is allowed; widen the limits"
        )
    order = np.argsort(-values)
    order = order[np.isfinite(values[order])]
    return SearchResult(points[:, order], values[order], tuple(history), population * len(history), refused)


def _allowed(values: np.ndarray) -> np.ndarray:
    return np.where(np.isfinite(values), values, -np.inf)


def _confirmed(values: np.ndarray, points: np.ndarray, best: float, confirm: Callable[..., Any] | None) -> Any:
    """Values in which the largest, if above `best`, has been confirmed; refused ones are gone."""
    if confirm is None:
        return values
    for k in np.argsort(-values):
        if not values[k] > best or confirm(points[:, k]):
            break
        values[k] = -np.inf
    return values


def _trials(
    random: np.random.Generator, points: np.ndarray, values: np.ndarray, low: np.ndarray, high: np.ndarray
) -> np.ndarray:
    n, population = points.shape
    order = np.argsort(-values)
    elite = points[:, order[random.integers(0, max(2, int(ELITE * population)), population)]]
    first, second = (points[:, random.integers(0, population, population)] for _ in range(2))
    weight = WEIGHTS[0] + (WEIGHTS[1] - WEIGHTS[0]) * random.random(population)
    moved = points + weight * (elite - points) + weight * (first - second)
    # Beyond a bound a step ends half-way to it, so that points gather at the bounds without leaving.
    moved = np.where(moved < low, 0.5 * (points + low), np.where(moved > high, 0.5 * (points + high), moved))
    crossed = random.random((n, population)) < CROSSOVER
    crossed[random.integers(0, n, population), np.arange(population)] = True
    return np.where(crossed, moved, points)


__all__ = ["SearchResult", "search"]
