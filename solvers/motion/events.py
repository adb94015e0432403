"""Which side of zero every switch is on, and where within a step the first of them passes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import nan
from typing import Any

from .protocol import Motion

_ITERATIONS, _QUICK = 60, 8
_SHARE_TOLERANCE = 1e-9
_NEARLY, _HAIR = 1e-6, 4e-10
_TOGETHER = 1e-7


@dataclass(frozen=True)
class Passed:
    """The first zero within a step, as a share of it, and the switches that pass there."""

    share: float
    switches: tuple


def _may_dip(before: Any, now: Any, last: Any) -> bool:
    """Whether a switch of one sign at both ends may have passed zero and returned.

    A parabola through three nodes at even distances dips by at most an eighth of its larger change below them; a quarter
    is taken, and the steps' own unevenness lies in that.
    """
    for a, b, c in zip(before, now, last, strict=True):
        change, earlier = c - b, b - a
        room = 4.0 * (b if b < c else c) if b > 0.0 else -4.0 * (c if b < c else b)
        if room < change or room < -change or room < earlier or room < -earlier:
            return True
    return False


def _inverse_quadratic(one: tuple, two: tuple, three: tuple) -> float:
    """Where the parabola of x over y through three points (x, y) is at y = 0; not a number where two y are alike."""
    (a, p), (b, q), (c, r) = one, two, three
    if p == q or q == r or r == p:
        return nan
    return a * q * r / ((p - q) * (p - r)) + b * p * r / ((q - p) * (q - r)) + c * p * q / ((r - p) * (r - q))


class SwitchBook:
    """Sides of all switches during a run.

    A switch counts as passed when it is found on the other side than the book says, so that landing a
    rounding error short of zero is not reported twice.

    Parameters
    ----------
    motion : Motion
    time, state, rates
        Start of the run. A switch that is exactly zero there takes the side it is about to move to.
    silent_move : float
        One without a name counts where it moves by more within a step, in its own unit.
    """

    def __init__(self, motion: Motion, time: float, state: Any, rates: Any, *, silent_move: float = 0.0) -> None:
        self.motion = motion
        self._silent = [not any(names) for names in motion.switch_names]
        self._silent_move = silent_move
        now = motion.switches(time, state)
        ahead = motion.switches(time, state + 1e-7 * rates) if 0.0 in now else now
        self.positive = [(a if n == 0.0 else n) > 0.0 for n, a in zip(now, ahead, strict=True)]
        self._nodes: tuple = (None, now)
        """Values at the last node but one and at the last; None where a step since then ended elsewhere."""

    def ended_at_start(self) -> str | None:
        """Name of a terminal switch that is already positive, or None."""
        return next(
            (
                names[0]
                for names, ends, positive in zip(
                    self.motion.switch_names, self.motion.terminal, self.positive, strict=True
                )
                if ends and positive
            ),
            None,
        )

    def first_passed(
        self, time: float, step: float, new: Any, between: Callable[..., Any], middle: Callable[[], Any] | None = None
    ) -> "Passed | None":
        """The first switch passed within a step, or None.

        Parameters
        ----------
        time, step : float
        new : ndarray, shape (size,)
            State at the end of the step.
        between : callable
            State at a share (0..1) of the step.
        middle : callable, optional
            State halfway, good enough to see whether a switch passed and returned.
        """

        def at(share: float) -> Any:
            return self.motion.switches(time + share * step, new if share == 1.0 else between(share))

        last = at(1.0)
        before, now = self._nodes
        self._nodes = (now, last)
        passed = self._changed(last)
        if not (passed or before is None or now is None or _may_dip(before, now, last)):
            return None
        start = at(0.0) if now is None else now
        values = at(0.5) if middle is None else self.motion.switches(time + 0.5 * step, middle())
        early, changed = self._counting(self._changed(values), start, values), self._counting(passed, start, last)
        if not early and not changed:
            for k in passed:
                self.positive[k] = not self.positive[k]
            return None
        self._nodes = (None, None)
        if early:
            return self._earliest(at, early, start, 0.5, at(0.5))
        return self._earliest(at, changed, start, 1.0, last)

    def _changed(self, values: Any) -> list:
        return [k for k, value in enumerate(values) if (value > 0.0) != self.positive[k]]

    def _counting(self, changed: list, start: Sequence[float], values: Any) -> list:
        """Without those that nobody hears of and that hardly move."""
        return [k for k in changed if not self._silent[k] or abs(values[k] - start[k]) > self._silent_move]

    def _earliest(
        self, at: Callable[[float], Any], changed: list, start: Sequence[float], share: float, values: Any
    ) -> "Passed | None":
        roots = {k: self._root(at, k, start[k], share, values[k]) for k in changed}
        first = min(roots.values())
        return Passed(first, tuple(k for k in changed if roots[k] <= first + _TOGETHER))

    @staticmethod
    def _root(at: Callable[[float], Any], k: int, low_value: float, high: float, value: float) -> float:
        """Share at which switch k leaves its side.

        Inverse quadratic interpolation through the last three points while it stays in the bracket, else the secant
        of the bracket; every second time its middle where that takes long (R. P. Brent, *Algorithms for Minimization
        without Derivatives*, 1973, ch. 4).
        """
        low = 0.0
        if (low_value > 0.0) == (value > 0.0):
            return 0.0
        last, far = high, None
        for tries in range(_ITERATIONS):
            if high - low < _SHARE_TOLERANCE:
                break
            share = high - value * (high - low) / (value - low_value)
            if far is not None:
                bent = _inverse_quadratic((low, low_value), (high, value), far)
                share = bent if low < bent < high else share
                if abs(share - last) < _NEARLY:
                    # A hair beyond the root, so that its other side is bounded too.
                    share += _HAIR if last == low else -_HAIR
            if not low < share < high or (tries > _QUICK and tries % 2):
                share = 0.5 * (low + high)
            now = at(share)[k]
            if now == 0.0:
                return share
            if (now > 0.0) == (value > 0.0):
                far, high, value = (high, value), share, now
            else:
                far, low, low_value = (low, low_value), share, now
            last = share
        return high

    def take(self, passed: Passed) -> Any:
        """Turn the sides over; the names to be reported."""
        names = []
        for k in passed.switches:
            self.positive[k] = not self.positive[k]
            names.append(self.motion.switch_names[k][0 if self.positive[k] else 1])
        return names

    def ended(self, passed: Passed) -> Any:
        """Name of the terminal switch among those that passed, or None."""
        return next(
            (self.motion.switch_names[k][0] for k in passed.switches if self.motion.terminal[k] and self.positive[k]),
            None,
        )
