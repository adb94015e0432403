"""Integration of many motions at once, with low-rank stiff terms; the last axis is the case.

Each case has its own time and step, steered by how far its speeds bend within a step. A two-stage Rosenbrock-W step
takes only the stiff terms implicitly (J. G. Verwer et al., *SIAM J. Sci. Comput.* 20, 1999: ROS2, second order for any
approximate Jacobian). A step over a kink of the force laws is taken back and ends at the kink instead; the other cases
go on meanwhile.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import isfinite
from typing import Any, Protocol

import numpy as np
from numpy.typing import ArrayLike

from noseload.solvers.errors import Status

GAMMA = 1.0 - 0.5**0.5
"""Coefficient of the L-stable two-stage method with the smaller error."""
SAFETY, SHRINK, GROW = 0.95, 0.4, 1.3
"""The next step is at least SHRINK and at most GROW times the last."""
TOLERANCE = 3e-5
"""Largest bend of a step, as a share of the speed scales."""
TOO_FAR = 4.0
"""A step that bends so many times the tolerance is taken back and made shorter."""
LARGEST_STEP = 4e-3
"""s."""
SMALLEST_SHARE = 0.05
"""Smallest steered step as a share of the largest, or of `LARGEST_STEP` where that is shorter."""
NEAR = 3e-5
"""A kink so near to an end of a step, s, is left alone."""
PROJECT_EVERY = 8
"""Steps between two projections onto the constraints; the drift in between stays far below what is reported."""
COMPACT_SHARE = 0.12
"""Share of the cases that may have ended before the others are packed together: at 0.3 punches in space take a tenth longer."""

_NONE = np.empty(0, dtype=int)


class BatchMotion(Protocol):
    """What the integrator sees: coordinates q (first rows) and speeds u with ``q' = u``, and the speeds' rates.

    `speed_weights` (speeds, 1 or cases) makes speeds comparable: weight times speed is 1 for a large one, and is zero
    for speeds that do not steer the step.
    """

    size: int
    coordinates: int
    cases: int
    switch_names: tuple
    speed_weights: np.ndarray

    def enter(self, times: np.ndarray) -> np.ndarray:
        """Take the inputs from the pieces that hold these times; returns the times of the next corners."""

    def first(self, times: np.ndarray, state: np.ndarray) -> Any:
        """Rates and stiff terms at the start of a step."""

    def second(self, times: np.ndarray, state: np.ndarray) -> np.ndarray:
        """Speed rates within a step."""

    def longest_step(self, stage: Any) -> np.ndarray | None:
        """Steps, s, beyond which what the stiff terms leave out is not stable: (cases,), or None."""

    def project(self, state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Move states onto the constraints in place; returns the drifts found."""

    def take(self, cases: np.ndarray) -> "BatchMotion":
        """The motion of some of the cases."""


class Recorder(Protocol):
    """What is shown every step; keeps what its owner wants to know."""

    def record(
        self,
        active: np.ndarray,
        times: np.ndarray,
        steps: np.ndarray,
        stage: Any,
        switches: np.ndarray,
        state: np.ndarray,
        accepted: np.ndarray,
    ) -> None:
        """Numbers of the active cases, their times, last steps, rates and switch values; True where the state is final."""

    def stopped(self) -> np.ndarray | None:
        """Which of the active cases end at the step just recorded, or None."""


@dataclass(frozen=True)
class BatchRun:
    """Outcome of an integration.

    Attributes
    ----------
    statuses : ndarray of Status, shape (cases,)
        CONVERGED: reached its end; NOT_FINITE otherwise.
    times : ndarray, shape (cases,)
        Where each case ended, s.
    states : ndarray, shape (size, cases)
    steps, taken_back : ndarray of int, shape (cases,)
    drift : tuple of float
        Largest constraint drift met in position and speed.
    """

    statuses: np.ndarray
    times: np.ndarray
    states: np.ndarray
    steps: np.ndarray
    taken_back: np.ndarray
    drift: tuple


def integrate_batch(
    motion: BatchMotion,
    start: np.ndarray,
    end: ArrayLike,
    recorder: Recorder,
    *,
    step: ArrayLike = LARGEST_STEP,
    tolerance: ArrayLike = TOLERANCE,
    sample: float | None = None,
    sample_to: float = np.inf,
    times: ArrayLike | None = None,
    renew: Callable[[np.ndarray, np.ndarray, np.ndarray, np.ndarray], np.ndarray] | None = None,
) -> BatchRun:
    """Integrate every case from its start to its end.

    Parameters
    ----------
    motion : BatchMotion
    start : ndarray, shape (size, cases)
    end : array_like, shape (cases,) or scalar
        s.
    recorder : Recorder
        Is shown every step.
    step : array_like, shape (cases,) or scalar
        Largest step, s.
    tolerance : array_like, shape (cases,) or scalar
        Largest bend of a step: the change of speed that its second stage makes, as a share of the speed scales.
    sample : float, optional
        s; steps end at its multiples up to `sample_to` (s).
    times : array_like, optional
        Start times, s.
    renew : callable, optional
        Called with (cases, times, states, steps) of the cases that reached their ends; returns their next ends, s. A case whose
        end does not move is over. Cases go on each by itself: none waits for another's end.

    Returns
    -------
    BatchRun
    """
    cases = start.shape[1]
    end = np.broadcast_to(np.asarray(end, dtype=float), (cases,)).copy()
    times = np.zeros(cases) if times is None else np.array(times, dtype=float)
    step, tolerance = (np.broadcast_to(np.asarray(x, dtype=float), (cases,)) for x in (step, tolerance))
    run = _Run(motion, np.array(start, dtype=float), times, end, step, tolerance, sample, sample_to)
    run.renew = renew
    with np.errstate(all="ignore"):
        while run.active.size:
            run.advance(recorder)
    return BatchRun(run.statuses, run.end_times, run.end_states, run.steps, run.taken_back, tuple(run.drift))


class _Run:
    """Arrays of the active cases, and what is known of those that ended."""

    def __init__(
        self,
        motion: BatchMotion,
        state: np.ndarray,
        times: np.ndarray,
        end: np.ndarray,
        step: np.ndarray,
        tolerance: np.ndarray,
        sample: float | None,
        sample_to: float,
    ) -> None:
        cases = state.shape[1]
        self.sample_to = sample_to
        self.renew: Callable[[np.ndarray, np.ndarray, np.ndarray, np.ndarray], np.ndarray] | None = None
        self.motion, self.state, self.times, self.end = motion, state, times, end
        self.step, self.sample, self.tolerance = step, sample, tolerance
        self.smallest = SMALLEST_SHARE * np.minimum(step, LARGEST_STEP)
        self.shortenable = 1.01 * self.smallest
        self.size = np.full(cases, 0.25 * step)
        self.active = np.arange(cases)
        self.statuses = np.full(cases, Status.CONVERGED, dtype=object)
        self.end_times, self.end_states = times.copy(), state.copy()
        self.steps, self.taken_back = np.zeros(cases, dtype=int), np.zeros(cases, dtype=int)
        self.drift, self.rounds = [0.0, 0.0], 0
        count = len(motion.switch_names)
        self.switch, self.switch_before = np.zeros((2, count, cases))
        self.engaged, self.engaged_before = np.zeros((2, count, cases), dtype=bool)
        self.state_before = np.empty_like(self.state)
        self.first, self.work = np.empty((2, motion.size - motion.coordinates, cases))
        self.times_before, self.last = self.times.copy(), np.zeros(cases)
        self.open, self.bent = np.ones(cases, dtype=bool), np.zeros(cases)
        self.all_open, self.whole = True, np.ones(cases)
        # A fresh start has no step behind it to take back.
        self.settled, self.any_settled = np.ones(cases, dtype=bool), True
        self.stage: Any = None

    def advance(self, recorder: Recorder) -> None:
        """One step of every active case."""
        self.rounds += 1
        if self.rounds % PROJECT_EVERY == 0:
            for k, drift in enumerate(self.motion.project(self.state)):
                self.drift[k] = max(self.drift[k], float(np.max(drift, where=self.open, initial=0.0)))
        corner = self.motion.enter(self.times)
        before, self.stage = self.stage, self.motion.first(self.times, self.state)
        self.stage.switches(self.switch)
        kink, short = self._crossing(), self._overshoot()
        # Of most rounds all is kept, and nothing more is to be asked.
        kept = kink is self.whole and short is self.whole
        share = self.whole if kept else np.minimum(kink, short)
        accepted = share >= 1.0
        back = _NONE if kept else np.flatnonzero(~accepted)
        recorder.record(self.active, self.times, self.last, self.stage, self.switch, self.state, accepted)
        ended = self._ended(recorder, accepted)
        if self.any_settled:
            self.settled[:] = self.any_settled = False
        if back.size:
            self._take_back(back, before)
            # A step that ends at a kink is not judged by that kink again.
            self.settled[back] = kink[back] <= short[back]
            self.any_settled = True
            np.copyto(self.size, share * self.last, where=short < kink)
            corner = self.motion.enter(self.times)
        if ended is not None and (going := self._retire(ended)) is not None:
            if not going.size:
                return
            # What the others do must not depend on those that ended: nothing but the arrays changes.
            corner, share, back = self.motion.enter(self.times), share[going], np.flatnonzero(np.isin(going, back))
            self.stage = self.motion.first(self.times, self.state)
        size = self._sizes(corner)
        if back.size:
            size[back] = share[back] * self.last[back]
        self._step(size if self.all_open else np.where(self.open, size, 0.0))

    def _crossing(self) -> np.ndarray:
        """Share of the last step at which the first kink was crossed; `whole` where none was or it does not matter."""
        np.greater(self.switch, 0.0, out=self.engaged)
        crossed = self.engaged != self.engaged_before
        if self.any_settled:
            crossed &= ~self.settled
        # Counting takes a third of the time of `any`.
        if not np.count_nonzero(crossed):
            return self.whole
        share = np.ones(self.settled.size)
        some = np.flatnonzero(crossed.any(axis=0))
        then, now = self.switch_before[:, some], self.switch[:, some]
        where = np.where(crossed[:, some], then / (then - now), 1.0)
        size = self.last[some]
        where[(where * size < NEAR) | ((1.0 - where) * size < NEAR)] = 1.0
        share[some] = where.min(axis=0)
        return share

    def _overshoot(self) -> np.ndarray:
        """Share of the last step that would have kept within the tolerance; `whole` where it was not much too long."""
        far = self.bent > TOO_FAR
        if not np.count_nonzero(far):
            return self.whole
        far &= self.last > self.shortenable
        if not far.any():
            return self.whole
        return np.where(far, np.maximum(SAFETY / np.sqrt(np.where(far, self.bent, 1.0)), SHRINK**2), 1.0)

    def _take_back(self, back: np.ndarray, before: Any) -> None:
        """Return some cases to the start of their last step."""
        self.state[:, back] = self.state_before[:, back]
        self.times[back] = self.times_before[back]
        self.switch[:, back] = self.switch_before[:, back]
        self.engaged[:, back] = self.engaged_before[:, back]
        self.stage.out[:, back] = before.out[:, back]
        self.taken_back[self.active[back]] += 1

    def _sizes(self, corner: np.ndarray) -> np.ndarray:
        """Steps that divide the way to the next corner, sample or end evenly."""
        goal = np.minimum(corner, self.end)
        if self.sample is not None:
            following = self.sample * (np.floor(self.times / self.sample + 1e-6) + 1.0)
            goal = np.where(self.times < self.sample_to - 1e-9, np.minimum(goal, following), goal)
        way = np.maximum(goal - self.times, 0.0)
        longest = self.motion.longest_step(self.stage)
        parts = way / (self.size if longest is None else np.minimum(self.size, longest))
        parts -= 1e-6
        np.ceil(parts, out=parts)
        return way / np.maximum(parts, 1.0, out=parts)

    def _step(self, size: np.ndarray) -> None:
        """Two-stage Rosenbrock-W step; positions come from a third-order rule that costs no further rates."""
        stage, n = self.stage, self.motion.coordinates
        self.state_before, self.state = self.state, self.state_before
        self.switch_before, self.switch = self.switch, self.switch_before
        self.engaged_before, self.engaged = self.engaged, self.engaged_before
        self.times_before = self.times
        old, new, first, work = self.state_before, self.state, self.first, self.work
        relax = _relaxation(stage, GAMMA * size)
        half, sixth = 0.5 * size, size * size / 6.0
        # k1 = W^-1 f; the stage is u + h k1 and q + h u + h^2/2 k1.
        np.copyto(first, stage.rates)
        relax(first)
        np.multiply(first, size, out=work)
        np.add(old[n:], work, out=new[n:])
        work[:n] *= 0.5
        work[:n] += old[n : n + n]
        work[:n] *= size
        np.add(old[:n], work[:n], out=new[:n])
        second = self.motion.second(self.times + size, new)
        # k2 = W^-1 (f - 2 k1), u + 3/2 h k1 + 1/2 h k2: here 1/2 (k1 + k2) is added to the stage.
        np.multiply(first, 2.0, out=work)
        second -= work
        relax(second)
        second += first
        np.multiply(second, half, out=work)
        new[n:] += work
        self._steer(size, work)
        # q + h u + h^2 (k1/3 + (k2 + 2 k1)/6), which is h^2/6 (k1 + k2) more than the stage.
        np.multiply(second[:n], sixth, out=work[:n])
        new[:n] += work[:n]
        self.times = self.times + size
        self.last = size
        if self.all_open and self.active.size == self.steps.size:
            self.steps += 1
        else:
            self.steps[self.active] += self.open

    def _steer(self, size: np.ndarray, bend: np.ndarray) -> None:
        """Next step of each case from the speeds that this one's second stage added, which grow as its square."""
        np.abs(bend, out=bend)
        bend *= self.motion.speed_weights
        self.bent = bend.max(axis=0)
        self.bent /= self.tolerance
        factor = np.maximum(self.bent, 1e-3)
        np.divide(SAFETY, np.sqrt(factor, out=factor), out=factor)
        np.minimum(np.maximum(factor, SHRINK, out=factor), GROW, out=factor)
        # A step cut short by a corner or a kink says little about the one after it.
        grown = np.where(size < 0.5 * self.size, self.size, size * factor)
        self.size = np.minimum(np.maximum(grown, self.smallest, out=grown), self.step, out=grown)

    def _ended(self, recorder: Recorder, accepted: np.ndarray) -> np.ndarray | None:
        """Cases that end here, or None."""
        ended = self.times >= self.end - 1e-12
        if np.count_nonzero(ended):
            ended &= self.open & accepted
            if self.renew is not None and ended.any():
                there = np.flatnonzero(ended)
                cases = self.active[there]
                self.end[there] = self.renew(cases, self.times[there], self.state[:, there], self.steps[cases])
                ended[there] = self.times[there] >= self.end[there] - 1e-12
        stopped = recorder.stopped()
        if stopped is not None:
            ended |= self.open & accepted & stopped
        # A sum with a number that is not finite is none either.
        if not isfinite(self.state.sum()):
            broken = self.open & ~np.isfinite(self.state.sum(axis=0))
            self.statuses[self.active[broken]] = Status.NOT_FINITE
            ended |= broken
        return ended if np.count_nonzero(ended) else None

    def _retire(self, ended: np.ndarray) -> np.ndarray | None:
        """Keep what the ended cases reached; places of the rest if they were packed together, None if not."""
        where = self.active[ended]
        self.end_times[where], self.end_states[:, where] = self.times[ended], self.state[:, ended]
        self.open &= ~ended
        self.all_open = False
        going = np.flatnonzero(self.open)
        if going.size > (1.0 - COMPACT_SHARE) * self.active.size:
            return None
        kept = ("active", "end", "times", "times_before", "last", "size", "open", "bent", "settled")
        for name in (*kept, "tolerance", "step", "smallest", "shortenable", "whole"):
            setattr(self, name, getattr(self, name)[going])
        self.all_open = True
        for name in ("state", "state_before", "switch", "switch_before", "engaged", "engaged_before"):
            setattr(self, name, getattr(self, name)[:, going].copy())
        self.first, self.work = self.first[:, going].copy(), self.work[:, going].copy()
        if going.size:
            self.motion = self.motion.take(going)
        return going


def _relaxation(stage: Any, implicit: np.ndarray) -> Callable[[np.ndarray], None]:
    """Function applying ``(1 + implicit * pulls^T diag(slopes) rows)^-1`` in place to speeds (n, cases).

    By the Woodbury identity, with the inverse of a matrix of as many rows as there are stiff terms.
    """
    falls = np.multiply(implicit, stage.slopes)
    inner, pulls = (_by_cofactors if len(falls) == 3 else _by_sweeps)(falls, np.asarray(stage.cross())), stage.pulls

    def relax(speeds: np.ndarray) -> None:
        weights = np.multiply(inner, stage.along(speeds)).sum(axis=1)
        speeds -= np.multiply(pulls, weights[:, None]).sum(axis=0)

    return relax


_OFF, _MAIN, _AFTER, _LATER = (np.array(rows) for rows in ((4, 3, 1), (0, 2, 5), (1, 2, 0), (2, 0, 1)))


def _by_cofactors(falls: np.ndarray, cross: np.ndarray) -> np.ndarray:
    """``(diag(falls)^-1 + cross)^-1`` of three terms, (3, 3, cases); their crosses 00, 01, 11, 02, 12, 22."""
    # Each entry off the diagonal stands by the term that it is without: 12, 02, 01; `after` and `later` are the next two.
    off = cross.take(_OFF, 0)
    one = falls * cross.take(_MAIN, 0)
    one += 1.0
    pairs = falls.take(_AFTER, 0) * falls.take(_LATER, 0)
    single = pairs * off
    twice = single * off
    minors = one.take(_AFTER, 0) * one.take(_LATER, 0)
    minors -= twice
    triple = falls[0] * pairs[0]
    scale = one[0] * minors[0] - one[1] * twice[1] - one[2] * twice[2] + 2.0 * triple * off[0] * off[1] * off[2]
    found = np.empty((3, *falls.shape))
    flat = found.reshape(9, -1)
    np.divide(falls * minors, scale, out=flat[::4])
    beside = triple * off.take(_AFTER, 0) * off.take(_LATER, 0)
    beside -= single * one
    beside /= scale
    # Entries 12, 20, 01 and their mirror images.
    flat[5], flat[6], flat[1] = beside
    flat[7], flat[2], flat[3] = beside
    return found


@cache
def _entries(count: int) -> np.ndarray:
    """Where each entry of a symmetric matrix stands in its upper triangle, row by row."""
    order = np.zeros((count, count), dtype=int)
    upper = np.triu_indices(count)
    order[upper] = order[upper[::-1]] = np.arange(upper[0].size)
    return order


def _by_sweeps(falls: np.ndarray, cross: np.ndarray) -> np.ndarray:
    """The same of any number of terms, (terms, terms, cases), their crosses the upper triangle row by row.

    ``1 + D^(1/2) cross D^(1/2)`` is positive definite, so that it is inverted in place without a choice of pivots.
    """
    count = len(falls)
    root = np.sqrt(falls)
    scale = root[:, None] * root
    found = cross[_entries(count)]
    found *= scale
    found.reshape(count * count, -1)[:: count + 1] += 1.0
    for k in range(count):
        pivot = 1.0 / found[k, k]
        column = found[:, k].copy()
        row = column * pivot
        found -= column[:, None] * row
        found[k] = row
        found[:, k] = row
        found[k, k] = -pivot
    found *= scale
    return np.negative(found, out=found)
