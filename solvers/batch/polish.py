"""Climb on from several good points until nothing nearby is better, all of them side by side.

The function is smooth in pieces that meet along kinks. In every piece that a point lies in or touches, a linear program
within a trust region gives a step (sequential linear programming, R. Fletcher and E. Sainz de la Maza, *Mathematical
Programming* 43 (1989) 235), bent back onto curved boundaries by one more (the second-order correction of R. Fletcher).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csc_array

SLOPE_STEP = 1e-3
"""Step of the forward differences, in units of the coordinates."""
MARGIN, KEPT = 2e-3, 0.3
"""Room that a step leaves to every boundary, and the share of it that a taken step must have: on the boundary itself rounding
decides the piece."""
SHORTER = (0.5, 0.1)
"""Parts of a step that are tried with it."""
PATIENCE = 8
"""Rounds in which a start must gain something."""
SETTLING, HURRY = 2, 2.0
"""Rounds without a gain after which the best has settled; what its pace may become of a start that is to catch up still."""
GROWN, AGREED, REFUSED = 2.0, 0.5, 0.25
"""The region grows where a step gains that share of what was promised, and shrinks so where none gains."""
DEAR, UNPAID = 1e3, 1e-7
"""Price of room that is left short, in the steepest slopes; what counts as none left short: the tolerance of the linear programs."""


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

    def evaluate(self, points: np.ndarray, states: np.ndarray, pieces: list, *, around: int = 1) -> Evaluated:
        """Each point in its piece, the law of that piece carried on beyond it.

        Every `around` points lie around the first of them: rooms that are far from used up there may be its own.
        """

    def allowed(self, points: np.ndarray) -> np.ndarray:
        """True (cases,) where what the rooms do not tell allows a point."""


@dataclass(frozen=True)
class Polished:
    """Where the points came to rest.

    Attributes
    ----------
    points : ndarray, shape (n, starts)
        Best first.
    values, signs : ndarray, shape (starts,)
        Heights, `sign` times the function, and what was climbed for.
    evaluations : int
    settled : bool
        Every point was left because no step gained, it had come to the best top, or it had fallen behind; False where the rounds ran out.
    """

    points: np.ndarray
    values: np.ndarray
    signs: np.ndarray
    evaluations: int
    settled: bool


@dataclass
class _Start:
    """One point on its way, with all places it has been at; its value is its sign times the function."""

    point: np.ndarray
    value: float
    state: np.ndarray
    sign: float
    known: float
    radius: float
    way: list[tuple[float, np.ndarray]]
    done: bool = False

    def gained(self, rounds: int) -> float:
        """In so many rounds; without end where it has not gone so many yet."""
        return self.value - self.way[-1 - rounds][0] if len(self.way) > rounds else np.inf


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
    signs: np.ndarray | float = 1.0,
    most_rounds: int = 60,
    same: float = 0.0,
    known: np.ndarray | float = -np.inf,
    confirm: Callable[[np.ndarray], bool] | None = None,
) -> Polished:
    """Climb from every point to a place that no small step betters.

    Parameters
    ----------
    pieces : Pieces
    points : ndarray, shape (n, starts)
    values : ndarray, shape (starts,)
        Heights of the points, `signs` times the function.
    states : ndarray, shape (k, starts)
        Of the points.
    low, high : array_like, shape (n,)
    radius, smallest : float
        First half-width of the trust region and the one below which a point is at rest.
    gain : float
        A start that gains less in `PATIENCE` rounds is at rest.
    signs : ndarray, shape (starts,)
        1 where the function is climbed for its most, -1 for its least; starts of one sign know of each other.
    most_rounds : int
    same : float
        A start that is within this of the best, once that gains no more, has come to the same top.
    known : ndarray, shape (starts,)
        A height reached before: a start that falls behind it, or behind the best, for good is left where it is.
    confirm : callable, optional
        Point (n,) to bool: a slower, surer judgement of where a start came to rest; one that is refused goes back on its way.

    Returns
    -------
    Polished
    """
    low, high = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    of_starts = (np.broadcast_to(np.asarray(given, dtype=float), values.shape).tolist() for given in (signs, known))
    starts = [
        _Start(point.copy(), float(value), state.copy(), sign, before, radius, [(float(value), point.copy())])
        for point, value, state, sign, before in zip(points.T, values, states.T, *of_starts, strict=True)
    ]
    evaluations = 0
    for turn in range(most_rounds):
        active = [start for start in starts if not start.done]
        if not active:
            break
        models, tried = _models(pieces, active, low, high)
        evaluations += tried + _step(pieces, active, models, low, high)
        leaders = {start.sign: start for start in sorted(starts, key=lambda start: start.value)}
        arrived = {sign: leader.gained(SETTLING) < gain for sign, leader in leaders.items()}
        for start in active:
            leader, pace = leaders[start.sign], start.gained(PATIENCE) / PATIENCE
            behind = max(leader.value, start.known) - start.value
            come = arrived[start.sign] and start is not leader and leader.value - start.value < same
            start.done = (
                start.radius < smallest
                or start.gained(PATIENCE) < gain
                or come
                or HURRY * pace * (most_rounds - turn) < behind
            )
    settled = all(start.done for start in starts)
    ends = [_confirmed(start, confirm) for start in starts]
    order = sorted(range(len(ends)), key=lambda k: -ends[k][0])
    return Polished(
        np.array([ends[k][1] for k in order]).T,
        np.array([ends[k][0] for k in order]),
        np.array([starts[k].sign for k in order]),
        evaluations,
        settled,
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
        around=n + 1,
    )
    sides: list[tuple[_Start, object]] = []
    programs: list[_Program] = []
    for k, (start, piece) in enumerate(jobs):
        here = slice(k * (n + 1), (k + 1) * (n + 1))
        values, rooms = start.sign * found.values[here], found.rooms[:, here]
        if not (np.isfinite(values).all() and np.isfinite(rooms).all()):
            continue
        slope, room_slopes = (values[1:] - values[0]) / SLOPE_STEP, (rooms[:, 1:] - rooms[:, :1]) / SLOPE_STEP
        sides.append((start, piece))
        programs.append(_Program.around(start, slope, room_slopes, rooms[:, 0] - MARGIN, low, high))
    models = []
    for (start, piece), program, step in zip(sides, programs, _solved(programs), strict=True):
        # Rooms that are short already are made good where that can be done in the region, else not made worse.
        if step is None:
            step = replace(program, room=np.maximum(program.room, 0.0)).step()
        if step is not None:
            models.append(_Linear(start, piece, program.slope, program.room_slopes, step))
    return models, found.values.size


@dataclass(frozen=True)
class _Program:
    """What the step gains most that lies between `least` and `most` and leaves `room + room_slopes @ step` at least zero?"""

    slope: np.ndarray
    room_slopes: np.ndarray
    room: np.ndarray
    least: np.ndarray
    most: np.ndarray

    @classmethod
    def around(
        cls,
        start: _Start,
        slope: np.ndarray,
        room_slopes: np.ndarray,
        room: np.ndarray,
        low: np.ndarray,
        high: np.ndarray,
    ) -> _Program:
        """Within the region of a start and the bounds of its coordinates."""
        least = np.minimum(np.maximum(low - start.point, -start.radius), 0.0)
        most = np.maximum(np.minimum(high - start.point, start.radius), 0.0)
        return cls(slope, room_slopes, room, least, most)

    def step(self) -> np.ndarray | None:
        """Solved alone; None where no step keeps the room."""
        bounds = np.stack([self.least, self.most], axis=1)
        found = linprog(-self.slope, A_ub=-self.room_slopes, b_ub=self.room, bounds=bounds, method="highs")
        return found.x if found.status == 0 else None


def _solved(programs: list[_Program]) -> list[np.ndarray | None]:
    """Step of each program, or None: side by side in one, which takes a fifth of the time of one after the other.

    Rooms that are short may be left so at a price; a program that pays it, or cannot do otherwise, is solved alone.
    """
    if not programs:
        return []
    (rooms, n), count = programs[0].room_slopes.shape, len(programs)
    blocks = np.array([np.column_stack([-p.room_slopes, -(p.room < 0.0).astype(float)]) for p in programs])
    price = DEAR * (1.0 + max(np.abs(program.slope).max() for program in programs))
    found = linprog(
        np.concatenate([np.append(-program.slope, price) for program in programs]),
        A_ub=csc_array(
            (
                blocks.transpose(0, 2, 1).ravel(),
                (rooms * np.arange(count)[:, None, None] + np.arange(rooms) + np.zeros((n + 1, 1), int)).ravel(),
                rooms * np.arange(count * (n + 1) + 1),
            )
        ),
        b_ub=np.concatenate([program.room for program in programs]),
        bounds=np.concatenate(
            [np.column_stack([np.append(program.least, 0.0), np.append(program.most, np.inf)]) for program in programs]
        ),
        method="highs",
    )
    if found.status != 0:
        return [program.step() for program in programs]
    steps = found.x.reshape(count, n + 1)
    return [step[:n] if step[n] <= UNPAID else program.step() for program, step in zip(programs, steps, strict=True)]


def _step(pieces: Pieces, active: list[_Start], models: list[_Linear], low: np.ndarray, high: np.ndarray) -> int:
    """Take the best trial of every start, widen or narrow its region; returns how many points were evaluated."""
    tried = _Tried.of(pieces, [(model, model.step, 1.0) for model in models], low, high)
    served = {
        id(model.start) for k, (model, step, _) in enumerate(tried.trials) if tried.gain(k) > _promise(model, step)
    }
    left = [k for k, model in enumerate(models) if id(model.start) not in served]
    shorter = [(models[k], part * models[k].step, part) for k in left for part in SHORTER]
    rooms = {k: tried.rooms[:, k] - MARGIN - models[k].room_slopes @ models[k].step for k in left}
    curved = [k for k in left if np.isfinite(rooms[k]).all()]
    bent = _solved(
        [_Program.around(m.start, m.slope, m.room_slopes, rooms[k], low, high) for k in curved for m in [models[k]]]
    )
    shorter += [(models[k], step, 1.0) for k, step in zip(curved, bent, strict=True) if step is not None]
    tried = tried.joined(_Tried.of(pieces, shorter, low, high)) if shorter else tried
    for start in active:
        own = [k for k, (model, _, _) in enumerate(tried.trials) if model.start is start]
        best = max(own, key=lambda k: tried.values[k], default=None)
        if best is None or not tried.values[best] > start.value:
            start.radius *= REFUSED
            start.way.append(start.way[-1])
            continue
        model, step, part = tried.trials[best]
        as_promised = tried.gain(best) > _promise(model, step)
        start.radius *= part if part < 1.0 else GROWN if as_promised else 1.0 / GROWN**0.5
        start.point, start.value = tried.points[:, best].copy(), float(tried.values[best])
        start.state = tried.states[:, best].copy()
        start.way.append((start.value, start.point))
    return len(tried.trials)


def _promise(model: _Linear, step: np.ndarray) -> float:
    """What a step must gain to count as promised."""
    return AGREED * float(model.slope @ step)


@dataclass(frozen=True)
class _Tried:
    """Trials (model, step, part of its whole step) and what came of them; a value of minus infinity is of no use."""

    trials: list[tuple[_Linear, np.ndarray, float]]
    points: np.ndarray
    values: np.ndarray
    rooms: np.ndarray
    states: np.ndarray

    @classmethod
    def of(
        cls, pieces: Pieces, trials: list[tuple[_Linear, np.ndarray, float]], low: np.ndarray, high: np.ndarray
    ) -> _Tried:
        """Evaluated in the pieces of their models."""
        if not trials:
            return cls([], np.zeros((low.size, 0)), np.zeros(0), np.zeros((0, 0)), np.zeros((0, 0)))
        moved = np.clip(
            np.array([model.start.point + step for model, step, _ in trials]).T, low[:, None], high[:, None]
        )
        states = np.array([model.start.state for model, _, _ in trials]).T
        found = pieces.evaluate(moved, states, [model.piece for model, _, _ in trials])
        good = pieces.allowed(moved) & (found.rooms >= KEPT * MARGIN).all(axis=0) & np.isfinite(found.values)
        heights = np.array([model.start.sign for model, _, _ in trials]) * found.values
        return cls(trials, moved, np.where(good, heights, -np.inf), found.rooms, found.states)

    def gain(self, k: int) -> float:
        """Of a trial against where its start is."""
        return float(self.values[k]) - self.trials[k][0].start.value

    def joined(self, other: _Tried) -> _Tried:
        """Both side by side."""
        return _Tried(
            self.trials + other.trials,
            np.hstack([self.points, other.points]),
            np.concatenate([self.values, other.values]),
            np.hstack([self.rooms, other.rooms]),
            np.hstack([self.states, other.states]),
        )


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
