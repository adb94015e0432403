"""Climb on from several good points until nothing nearby is better, all of them side by side.

The function is smooth in pieces that meet along kinks. In every piece that a point lies in or touches, a linear program
within a trust region gives a step (sequential linear programming, R. Fletcher and E. Sainz de la Maza, *Mathematical
Programming* 43 (1989) 235), bent back onto curved boundaries by one more (the second-order correction of R. Fletcher).
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from scipy.optimize import linprog

SLOPE_STEP = 1e-3
"""Step of the forward differences, in units of the coordinates."""
MARGIN, KEPT = 2e-3, 0.3
"""Room that a step leaves to every boundary, and the share of it that a taken step must have: on the boundary itself rounding
decides the piece."""
SHORTER = (0.5, 0.1)
"""Parts of a step that are tried with it."""
PATIENCE = 8
"""Rounds in which a start must gain something."""
GROWN, AGREED, REFUSED = 2.0, 0.5, 0.25
"""The region grows where a step gains that share of what was promised, and shrinks so where none gains."""


@dataclass(frozen=True)
class Evaluated:
    """Points evaluated in given pieces.

    Attributes
    ----------
    values : ndarray, shape (cases,)
        Not a number where there is none.
    rooms : ndarray, shape (m, cases)
        At least zero where the point is allowed and lies in its piece.
    states : ndarray, shape (k, cases)
        From which the next evaluation nearby starts.
    """

    values: np.ndarray
    rooms: np.ndarray
    states: np.ndarray


class Pieces(Protocol):
    """A function that is smooth in pieces; a piece is any value that can be compared."""

    def near(self, points: np.ndarray, states: np.ndarray) -> list[list]:
        """For every point (n, cases) the pieces that it lies in or touches."""

    def evaluate(self, points: np.ndarray, states: np.ndarray, pieces: list) -> Evaluated:
        """Each point in its piece, the law of that piece carried on beyond it."""

    def allowed(self, points: np.ndarray) -> np.ndarray:
        """True (cases,) where what the rooms do not tell allows a point."""


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
        Every point was left because no step gained; False where the rounds ran out.
    """

    points: np.ndarray
    values: np.ndarray
    evaluations: int
    settled: bool


@dataclass
class _Start:
    """One point on its way, with all places it has been at."""

    point: np.ndarray
    value: float
    state: np.ndarray
    radius: float
    way: list[tuple[float, np.ndarray]]
    done: bool = False


@dataclass(frozen=True)
class _Linear:
    """A start in one of its pieces: slopes of value and rooms, the rooms there, the step found."""

    start: _Start
    piece: object
    slope: np.ndarray
    room_slopes: np.ndarray
    step: np.ndarray


def polish(
    pieces: Pieces,
    points: np.ndarray,
    values: np.ndarray,
    states: np.ndarray,
    low: np.ndarray,
    high: np.ndarray,
    *,
    radius: float,
    smallest: float,
    gain: float,
    most_rounds: int = 60,
    confirm: Callable[[np.ndarray], bool] | None = None,
) -> Polished:
    """Climb from every point to a place that no small step betters.

    Parameters
    ----------
    pieces : Pieces
    points : ndarray, shape (n, starts)
    values : ndarray, shape (starts,)
        Of the points.
    states : ndarray, shape (k, starts)
        Of the points.
    low, high : array_like, shape (n,)
    radius, smallest : float
        First half-width of the trust region and the one below which a point is at rest.
    gain : float
        A start that gains less in `PATIENCE` rounds is at rest.
    most_rounds : int
    confirm : callable, optional
        Point (n,) to bool: a slower, surer judgement of where a start came to rest; one that is refused goes back on its way.

    Returns
    -------
    Polished
    """
    low, high = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    starts = [
        _Start(point.copy(), float(value), state.copy(), radius, [(float(value), point.copy())])
        for point, value, state in zip(points.T, values, states.T, strict=True)
    ]
    evaluations = 0
    for _ in range(most_rounds):
        active = [start for start in starts if not start.done]
        if not active:
            break
        models, tried = _models(pieces, active, low, high)
        evaluations += tried + _step(pieces, active, models, low, high)
        for start in active:
            stuck = len(start.way) > PATIENCE and start.value - start.way[-1 - PATIENCE][0] < gain
            start.done = start.radius < smallest or stuck
    settled = all(start.done for start in starts)
    ends = [_confirmed(start, confirm) for start in starts]
    order = sorted(range(len(ends)), key=lambda k: -ends[k][0])
    return Polished(
        np.array([ends[k][1] for k in order]).T, np.array([ends[k][0] for k in order]), evaluations, settled
    )


def _models(pieces: Pieces, active: list[_Start], low: np.ndarray, high: np.ndarray) -> tuple[list[_Linear], int]:
    """Linear models and steps of the starts in every piece they touch, and how many points were evaluated."""
    near = pieces.near(*_columns(active))
    jobs = [(start, piece) for start, touched in zip(active, near, strict=True) for piece in touched]
    n = low.size
    around = np.concatenate([np.zeros((n, 1)), SLOPE_STEP * np.eye(n)], axis=1)
    found = pieces.evaluate(
        np.concatenate([start.point[:, None] + around for start, _ in jobs], axis=1),
        np.concatenate([np.repeat(start.state[:, None], n + 1, axis=1) for start, _ in jobs], axis=1),
        [piece for _, piece in jobs for _ in range(n + 1)],
    )
    models = []
    for k, (start, piece) in enumerate(jobs):
        here = slice(k * (n + 1), (k + 1) * (n + 1))
        values, rooms = found.values[here], found.rooms[:, here]
        if not (np.isfinite(values).all() and np.isfinite(rooms).all()):
            continue
        slope, room_slopes = (values[1:] - values[0]) / SLOPE_STEP, (rooms[:, 1:] - rooms[:, :1]) / SLOPE_STEP
        room = rooms[:, 0] - MARGIN
        # Rooms that are short already are made good where that can be done in the region, else not made worse.
        step = _program(start, slope, room_slopes, room, low, high)
        if step is None:
            step = _program(start, slope, room_slopes, np.maximum(room, 0.0), low, high)
        if step is not None:
            models.append(_Linear(start, piece, slope, room_slopes, step))
    return models, found.values.size


def _program(
    start: _Start, slope: np.ndarray, room_slopes: np.ndarray, room: np.ndarray, low: np.ndarray, high: np.ndarray
) -> np.ndarray | None:
    """Step that gains most while `room + room_slopes @ step` stays at least zero, or None."""
    least = np.minimum(np.maximum(low - start.point, -start.radius), 0.0)
    most = np.maximum(np.minimum(high - start.point, start.radius), 0.0)
    found = linprog(-slope, A_ub=-room_slopes, b_ub=room, bounds=np.stack([least, most], axis=1), method="highs")
    return found.x if found.status == 0 else None


def _step(pieces: Pieces, active: list[_Start], models: list[_Linear], low: np.ndarray, high: np.ndarray) -> int:
    """Take the best trial of every start, widen or narrow its region; returns how many points were evaluated."""
    trials = [(model, part * model.step, part) for model in models for part in (1.0, *SHORTER)]
    evaluations = 0
    if models:
        ahead = _evaluate(pieces, [(model, model.step, 1.0) for model in models], low, high)[0]
        evaluations += len(models)
        for k, model in enumerate(models):
            room = ahead.rooms[:, k] - MARGIN - model.room_slopes @ model.step
            if np.isfinite(room).all():
                bent = _program(model.start, model.slope, model.room_slopes, room, low, high)
                trials += [] if bent is None else [(model, bent, 1.0)]
        found, moved = _evaluate(pieces, trials, low, high)
        evaluations += len(trials)
        good = pieces.allowed(moved) & (found.rooms >= KEPT * MARGIN).all(axis=0)
        values = np.where(good & np.isfinite(found.values), found.values, -np.inf)
    for start in active:
        own = [k for k, (model, _, _) in enumerate(trials) if model.start is start]
        best = max(own, key=lambda k: values[k], default=None)
        if best is None or not values[best] > start.value:
            start.radius *= REFUSED
            start.way.append(start.way[-1])
            continue
        model, step, part = trials[best]
        as_promised = values[best] - start.value > AGREED * float(model.slope @ step)
        start.radius *= part if part < 1.0 else GROWN if as_promised else 1.0 / GROWN**0.5
        start.point, start.value, start.state = moved[:, best].copy(), float(values[best]), found.states[:, best].copy()
        start.way.append((start.value, start.point))
    return evaluations


def _evaluate(
    pieces: Pieces, trials: list[tuple[_Linear, np.ndarray, float]], low: np.ndarray, high: np.ndarray
) -> tuple[Evaluated, np.ndarray]:
    """Trials in the pieces of their models, and the points (n, trials)."""
    moved = np.clip(np.array([model.start.point + step for model, step, _ in trials]).T, low[:, None], high[:, None])
    states = np.array([model.start.state for model, _, _ in trials]).T
    return pieces.evaluate(moved, states, [model.piece for model, _, _ in trials]), moved


def _columns(starts: list[_Start]) -> tuple[np.ndarray, np.ndarray]:
    return np.array([start.point for start in starts]).T, np.array([start.state for start in starts]).T


def _confirmed(start: _Start, confirm: Callable[[np.ndarray], bool] | None) -> tuple[float, np.ndarray]:
    """The last place of a start that stands the surer judgement, going back by ever longer strides; the first one is taken as it is."""
    back, last = 1, start.way[-1][0]
    while confirm is not None and back < len(start.way):
        value, point = start.way[-back]
        if (back == 1 or value < last) and confirm(point):
            return value, point
        last, back = value, 2 * back
    return start.way[-1 if confirm is None else 0]


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
