"""Climb on from several good points until nothing nearby is better, all of them in one batch.

Steps along every coordinate both ways, then along all that gained together (the pattern move of R. Hooke and T. A. Jeeves,
'Direct search', *Journal of the ACM* 8 (1961) 212); a round without a gain halves the step.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

PATTERN = (0.5, 1.0, 2.0)
"""Lengths of the pattern move in steps."""
MOST_CONFIRMED = 4
"""Points of a round that are judged by the slower judgement, best first."""


@dataclass(frozen=True)
class Polished:
    """Where the points came to rest.

    Attributes
    ----------
    points : ndarray, shape (n, starts)
        Best first.
    values : ndarray, shape (starts,)
    evaluations : int
    settled : bool
        Every point was left because no step of the smallest size gained; False where the rounds ran out.
    """

    points: np.ndarray
    values: np.ndarray
    evaluations: int
    settled: bool


def polish(
    objective: Callable[[np.ndarray], np.ndarray],
    points: np.ndarray,
    values: np.ndarray,
    low: np.ndarray,
    high: np.ndarray,
    *,
    step: float,
    smallest: float,
    gain: float,
    most_rounds: int = 40,
    confirm: Callable[[np.ndarray], bool] | None = None,
) -> Polished:
    """Climb from every point to a place that no small step betters.

    Parameters
    ----------
    objective : callable
        Points (n, cases) to values (cases,); NaN where a point is not allowed.
    points : ndarray, shape (n, starts)
    values : ndarray, shape (starts,)
        Of the points.
    low, high : array_like, shape (n,)
    step, smallest : float
        First step and the one below which a point is at rest.
    gain : float
        A round that gains less halves the step.
    most_rounds : int
    confirm : callable, optional
        Point (n,) to bool: a slower, surer judgement that every step must pass.

    Returns
    -------
    Polished
    """
    points, values = np.array(points, dtype=float), np.array(values, dtype=float)
    n, starts = points.shape
    low, high = (np.asarray(bound, dtype=float)[:, None] for bound in (low, high))
    steps, evaluations = np.full(starts, float(step)), 0
    axes = np.concatenate([np.eye(n), -np.eye(n)], axis=1)
    for _ in range(most_rounds):
        active = np.flatnonzero(steps >= smallest)
        if not active.size:
            break
        trials = points[:, active, None] + steps[active, None] * axes[:, None, :]
        found = _values(objective, np.clip(trials, low[:, :, None], high[:, :, None]))
        gains = found - values[active, None]
        # Every coordinate goes the better of its two ways, as far as that gained against the best.
        both = gains.reshape(active.size, 2, n)
        way = np.where(both[:, 0] >= both[:, 1], 1.0, -1.0) * np.maximum(both.max(axis=1), 0.0)
        scale = np.maximum(np.abs(way).max(axis=1), 1e-300)
        direction = (way / scale[:, None]).T
        moves = points[:, active, None] + (steps[active] * direction)[:, :, None] * np.array(PATTERN)
        moves = np.clip(moves, low[:, :, None], high[:, :, None])
        pattern = _values(objective, moves)
        evaluations += found.size + pattern.size
        for k, start in enumerate(active):
            tried = np.concatenate([np.clip(trials[:, k], low, high), moves[:, k]], axis=1)
            all_values = np.concatenate([found[k], pattern[k]])
            best = _best_confirmed(tried, all_values, values[start], confirm)
            better = 0.0 if best is None else all_values[best] - values[start]
            if best is not None:
                points[:, start], values[start] = tried[:, best], all_values[best]
            if better < gain:
                steps[start] *= 0.5
    order = np.argsort(-values)
    return Polished(points[:, order], values[order], evaluations, bool((steps < smallest).all()))


def _best_confirmed(
    points: np.ndarray, values: np.ndarray, own: float, confirm: Callable[[np.ndarray], bool] | None
) -> int | None:
    """Place of the best point that betters its own value and stands the surer judgement; None without one."""
    for k in np.argsort(-values)[:MOST_CONFIRMED]:
        if not values[k] > own:
            return None
        if confirm is None or confirm(points[:, k]):
            return int(k)
    return None


def _values(objective: Callable[[np.ndarray], np.ndarray], points: np.ndarray) -> np.ndarray:
    """Values of points (n, starts, trials), shape (starts, trials); minus infinity where there is none."""
    values = objective(points.reshape(points.shape[0], -1))
    return np.where(np.isfinite(values), values, -np.inf).reshape(points.shape[1:])


def apart(points: np.ndarray, count: int, distance: np.ndarray | float) -> list[int]:
    """Places of so many points, best first, of which no two are nearer than `distance` in every coordinate.

    Parameters
    ----------
    points : ndarray, shape (n, cases)
        Best first.
    count : int
    distance : float
    """
    kept: list[int] = []
    for k in range(points.shape[1]):
        if all(np.abs(points[:, k] - points[:, other]).max() >= distance for other in kept):
            kept.append(k)
        if len(kept) == count:
            break
    return kept
