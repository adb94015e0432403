"""Adaptive integration of a motion: error control, corners, located switches, constraints kept.

Steps are those of `noseload.solvers.motion.exponential` (order 4, stiff part of low rank); after each, or every fourth where
they drift little, the state is moved back onto its constraints. A step that passes a switch is redone to end on it, so that no step straddles a kink.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.solvers.errors import Status

from .events import SwitchBook
from .exponential import ORDER, StiffModes, attempt_step, estimate_error
from .protocol import Motion
from .trajectory import Effort, Event, Trajectory, hermite

_SAFETY = 0.9
_LARGEST_GROWTH = 2.5
_PROPORTIONAL, _INTEGRAL = 0.7 / ORDER, 0.3 / ORDER
_SMALLEST_ERROR = 1e-4
_LARGEST_CUT = 0.2
_NOISE, _QUIET, _BLOWN_UP, _SAME_STEP = 1e-6, 1e-2, 10.0, 1.01
"""An error far below what is allowed that grows so many times over steps of one length is rounding, blown up by steps beyond
what is stable: until the next corner or event they stay at half of that, or at a quarter of the longest."""
_SAME_TIME = 1e-12
_MODES_LAST, _ALIKE = 2, 0.03
"""Steps that share the modes of the stiff part where its slopes had changed by less than this share of the largest: the
method takes any linear part, but where the throttle opens torques would err five times as much."""
_MOVED = 1e-3
"""Modes that a jump of an input moves less than this share of the most are not waited for."""
_PROJECT_EVERY, _LITTLE_DRIFT = 4, 0.01
"""Steps to a correction onto the constraints where the last found drift was little, a share of what a start may have."""


@dataclass(frozen=True)
class TransientOptions:
    """How accurately to integrate.

    Parameters
    ----------
    tolerance : float
        Error allowed per step, in the scales of the motion.
    first_step, largest_step, smallest_step : float
        s; the first step is also that after every corner.
    most_steps : int
    start_drift : tuple of float
        Largest drift in position and speed of a start that is taken as consistent.
    silent_move : float
        Steps end on a kink that nobody hears of too, where its switch moves by more within one; in its unit.
    """

    tolerance: float = 1e-5
    first_step: float = 1e-3
    largest_step: float = 0.02
    smallest_step: float = 1e-10
    most_steps: int = 200_000
    start_drift: tuple = (1e-6, 1e-4)
    silent_move: float = 0.0


def integrate(
    motion: Motion,
    start: np.ndarray,
    start_time: float,
    end_time: float,
    *,
    options: TransientOptions = TransientOptions(),
) -> Trajectory:
    """Integrate a motion.

    Parameters
    ----------
    motion : Motion
    start : ndarray, shape (size,)
        Consistent with the constraints.
    start_time, end_time : float
    options : TransientOptions

    Returns
    -------
    Trajectory
        Finished, ended by a terminal event, or failed with a status: look at `status`.
    """
    return _Run(motion, options).go(np.array(start, dtype=float), float(start_time), float(end_time))


def _alike(slopes: list[float], before: list[float], kinds: tuple[tuple[int, ...], ...]) -> bool:
    """Whether the stiff part has hardly changed since the step before, told by slopes of a kind that compare."""
    if len(slopes) != len(before):
        return False
    for kind in kinds:
        places = [k for k in kind if k < len(slopes)]
        largest = max((slopes[k] for k in places), default=0.0)
        if any(abs(slopes[k] - before[k]) > _ALIKE * largest for k in places):
            return False
    return True


class _Failure(Exception):
    """Ends a run with a status; never leaves this module."""

    def __init__(self, status: Status, detail: Any) -> None:
        self.status, self.detail = status, detail
        super().__init__(detail)


class _Run:
    """One integration in progress."""

    def __init__(self, motion: Motion, options: TransientOptions) -> None:
        self.motion, self.options = motion, options
        self.forms = motion.error_forms / (options.tolerance * motion.error_count**0.5)
        self.forms_and_watched = np.vstack([self.forms, motion.watched])
        self.times: list[float] = []
        self.states: list[np.ndarray] = []
        self.left: list[np.ndarray] = []
        self.right: list[np.ndarray] = []
        self.events: list[Event] = []
        self.nfev = self.rejected = 0
        self.error_sum, self.modes_age, self.modes_last = 0.0, 0, 1
        self.slopes: list[float] = []
        self.position_drift = self.speed_drift = 0.0
        self.uncorrected, self.drifts_little = 0, False
        self.ended_by = None
        self.last_error = 1.0
        self.raw_error, self.last_step, self.stable_step = 1.0, 0.0, options.largest_step
        self.step = options.first_step
        # A mode that outlasts the longest step is no stiffer than what is integrated as it is.
        self.slow = 1.0 / options.largest_step

    def go(self, state: np.ndarray, time: float, end: float) -> Trajectory:
        """Run to the end and pack up."""
        self.times.append(time)
        self.states.append(state)
        status, message = Status.CONVERGED, "finished"
        try:
            corners = [c for c in self.motion.corners() if time < c < end] + [end]
            self.motion.enter(time, corners[0])
            self._check_start(time, state)
            for corner in corners:
                if self.ended_by is None:
                    self._piece(corner)
        except _Failure as failure:
            status = failure.status
            message = f"Integration stopped at {self.times[-1]:.6g} s: {status.value}. {failure.detail}"
        size = self.motion.size
        return Trajectory(
            status,
            message,
            np.array(self.times),
            np.array(self.states),
            np.array(self.left).reshape(-1, size),
            np.array(self.right).reshape(-1, size),
            tuple(self.events),
            self.ended_by,
            Effort(self.nfev, 0, len(self.times) - 1, self.rejected),
            self.position_drift,
            self.speed_drift,
            self.motion.coordinate_count,
            self.error_sum,
        )

    def _check_start(self, time: float, state: np.ndarray) -> None:
        if state.shape != (self.motion.size,):
            raise _Failure(
                Status.WRONG_SIZE,
                f"The start has {state.size} numbers; this motion has {self.motion.size} in its state.",
            )
        if not np.isfinite(state).all():
            worst = self.motion.state_names[int(np.argmin(np.isfinite(state)))]
            raise _Failure(Status.NOT_FINITE, f"'{worst}' is not a finite number at the start.")
        moved, *drift = self.motion.project(time, state)
        for found, allowed, what in zip(drift, self.options.start_drift, ("position", "speed"), strict=True):
            if not found <= allowed:
                raise _Failure(
                    Status.INCONSISTENT_START,
                    f"The constraints are violated by {found:.3g} in {what}; {allowed:.3g} is allowed.",
                )
        self.states[-1] = moved
        rates = self._rates_at(time, moved)[0]
        self.book = SwitchBook(self.motion, time, moved, rates, silent_move=self.options.silent_move)
        ended = self.book.ended_at_start()
        if ended is not None:
            raise _Failure(Status.ENDED_AT_START, f"End condition: '{ended}'.")

    def _rates_at(self, time: float, state: np.ndarray, kept: StiffModes | None = None) -> tuple:
        """Rates and stiff modes; `kept` stands in for modes of that state."""
        self.nfev += 1
        try:
            if kept is not None:
                rates, modes = self.motion.rates(time, state), kept
            else:
                rates, slopes, rows, pulls = self.motion.stiff_rates(time, state)
        except ArithmeticError:
            rates = np.array([np.nan])
        if not np.isfinite(rates).all():
            raise _Failure(Status.NOT_FINITE, "The rates of the motion are not finite numbers there.")
        if kept is None:
            modes, self.modes_age = StiffModes.of(slopes, rows, pulls, self.slow), 0
            told = slopes.tolist()
            self.modes_last = _MODES_LAST if _alike(told, self.slopes, self.motion.telling_slopes) else 1
            self.slopes = told
        return rates, modes

    def _piece(self, corner: float) -> None:
        """Integrate from the last node to a corner, where the step size starts anew."""
        time, state = self.times[-1], self.states[-1]
        self.motion.enter(time, corner)
        rates, modes = self._rates_at(time, state)
        self.step = min(self.step, self.options.first_step)
        # What the last piece erred (rounding alone, in a steady crawl) says nothing of this one.
        self.last_error = 1.0
        self.stable_step = self.options.largest_step
        if self.right and modes.decay:
            jump = rates - self.right[-1]
            if np.linalg.norm(self.forms @ jump) > 1.0:
                # An input jumped: the modes that it moves now relax, and nodes must resolve that.
                moved = np.abs(modes.right.dot(jump))
                fastest = max(x for x, share in zip(modes.decay, moved, strict=True) if share >= _MOVED * moved.max())
                self.step = min(self.step, max(1.0 / (fastest + 1.0 / self.step), self.options.smallest_step))
        while time < corner and self.ended_by is None:
            time, state, rates, modes = self._advance(time, state, rates, modes, corner)

    def _advance(self, time: float, state: np.ndarray, rates: np.ndarray, modes: StiffModes, corner: float) -> tuple:
        """One accepted step, ended early on the first switch that it would pass."""
        step, goal = self._fitted(time, corner)
        first_try = True
        while True:
            if len(self.times) > self.options.most_steps:
                raise _Failure(Status.OUT_OF_STEPS, f"{self.options.most_steps} steps were taken.")
            tried = self._attempt(time, state, step, rates, modes)
            error = tried[0]
            if error <= 1.0:
                break
            self.rejected += 1
            first_try = False
            factor = _SAFETY * error ** (-1.0 / ORDER) if error < np.inf else 0.0
            step, goal = step * max(_LARGEST_CUT, factor), None
            if step < self.options.smallest_step:
                self._give_up(error, step)
        _, new, new_rates, new_modes, drift, watched = tried
        if _NOISE < error < _QUIET and error > _BLOWN_UP * self.raw_error and step <= _SAME_STEP * self.last_step:
            self.stable_step = max(0.5 * step, 0.25 * self.options.largest_step)
        self.raw_error, self.last_step = error, step
        # PI control: G. Soederlind, ACM Trans. Math. Softw. 29 (2003) 1.
        error = max(error, _SMALLEST_ERROR)
        growth = _SAFETY * error**-_PROPORTIONAL * self.last_error**_INTEGRAL
        proposal = step * min(_LARGEST_GROWTH if first_try else 1.0, growth)
        if goal is not None:
            # A short last piece before a corner says nothing against the step that was wanted.
            proposal = max(proposal, self.step)
        self.last_error = error
        self.modes_age += 1
        count = self.motion.coordinate_count
        passed = self.book.first_passed(
            time,
            step,
            new,
            lambda share: hermite(share, step, state, new, rates, new_rates, count),
            lambda: 0.5 * (state + new) + (0.125 * step) * (rates - new_rates),
        )
        if passed is not None and passed.share * step > self.options.smallest_step:
            # Redone, so that the step ends on the switch with full accuracy.
            step = passed.share * step if passed.share < 1.0 else step
            if passed.share < 1.0:
                goal = None
                tried = self._attempt(time, state, step, rates, modes, fresh=True)
                error, new, new_rates, new_modes, drift, watched = tried
                if not error < np.inf:
                    self._give_up(error, step)
        elif passed is not None:
            self._note(passed, time, state)
            if self.ended_by is not None:
                return time, state, rates, modes
            passed = None
        self._accept(time + step if goal is None else goal, new, rates, new_rates, drift)
        self.error_sum += watched
        self.step = min(proposal, self.stable_step)
        if passed is not None:
            if self._note(passed, self.times[-1], new):
                # Forces bend here: short steps keep the values between the nodes as good as those on them.
                self.step = min(self.step, self.options.first_step)
                self.stable_step = self.options.largest_step
        return self.times[-1], new, new_rates, new_modes

    def _fitted(self, time: float, corner: float) -> tuple:
        """Step that does not leave a sliver before the corner; the corner itself where it is reached."""
        if self.step < self.options.smallest_step:
            raise _Failure(Status.STEP_TOO_SMALL, f"The next step would have to be as short as {self.step:.3g} s.")
        left = corner - time
        if self.step >= left * (1.0 - _SAME_TIME):
            return left, corner
        return (0.5 * left if 2.0 * self.step > left else self.step), None

    def _attempt(
        self, time: float, state: np.ndarray, step: float, rates: np.ndarray, modes: StiffModes, *, fresh: bool = False
    ) -> tuple:
        """(scaled error, new state, rates, modes, drift, watched error); infinite where something is not finite."""
        self.nfev += 3
        try:
            attempt = attempt_step(self.motion, time, state, step, rates, modes)
            drift: list[float] = []
            if self.drifts_little and self.uncorrected < _PROJECT_EVERY - 1 and not fresh:
                new = attempt.state
            else:
                new, *drift = self.motion.project(time + step, attempt.state)
            kept = None if fresh or self.modes_age >= self.modes_last else modes
            new_rates, new_modes = self._rates_at(time + step, new, kept)
        except (ArithmeticError, _Failure):
            return np.inf, None, None, None, None, 0.0
        error = estimate_error(attempt, new, new_rates, step, modes)
        told, count = self.forms_and_watched.dot(error), len(self.forms)
        scaled = told[:count]
        size = float(scaled.dot(scaled)) ** 0.5
        size = max(size, self.motion.stride(time, state, new) ** ORDER)
        if not size < np.inf:
            return np.inf, None, None, None, None, 0.0
        return size, new, new_rates, new_modes, drift, max(map(abs, told[count:].tolist()), default=0.0)

    def _give_up(self, error: Any, step: float) -> None:
        if error < np.inf:
            raise _Failure(
                Status.STEP_TOO_SMALL, f"A step of {step:.3g} s still errs {error:.3g} times what is allowed."
            )
        raise _Failure(Status.NOT_FINITE, f"Even a step of {step:.3g} s leads where the rates are not finite.")

    def _accept(self, time: float, state: np.ndarray, left: Any, right: Any, drift: Sequence[float]) -> None:
        self.times.append(time)
        self.states.append(state)
        self.left.append(left)
        self.right.append(right)
        self.uncorrected += 1
        if drift:
            self.position_drift = max(self.position_drift, drift[0])
            self.speed_drift = max(self.speed_drift, drift[1])
            self.uncorrected = 0
            self.drifts_little = all(
                found <= _LITTLE_DRIFT * allowed for found, allowed in zip(drift, self.options.start_drift, strict=True)
            )

    def _note(self, passed: Any, time: float, state: np.ndarray) -> bool:
        """Note what passed; whether any of it is reported."""
        names = [name for name in self.book.take(passed) if name is not None]
        self.events += [Event(time, name, state) for name in names]
        self.ended_by = self.book.ended(passed)
        return bool(names)
