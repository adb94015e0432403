"""Inputs over time: piecewise linear, with jumps where two points share a time."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

from noseload.model.errors import ModelError


@dataclass(frozen=True)
class Program:
    """An input over time, linear between its points and constant outside them.

    Parameters
    ----------
    times : tuple of float
        s, not falling; two points at one time are a jump.
    values : tuple of float
        No unit (throttle, grip factor) or N m (drag brake).
    name : str
        For messages.

    Raises
    ------
    ModelError
        No points, unequal lengths, a number that is not finite, falling times, or more than two points
        at one time.
    """

    times: tuple
    values: tuple
    name: str = "program"

    def __post_init__(self) -> None:
        times, values = (tuple(float(x) for x in axis) for axis in (self.times, self.values))
        if not times or len(times) != len(values):
            raise ModelError(f"{self.name}: {len(times)} times but {len(values)} values; give one value per time")
        if not np.isfinite(times + values).all():
            raise ModelError(f"{self.name}: every time and value must be a finite number")
        for k in range(1, len(times)):
            if times[k] < times[k - 1]:
                raise ModelError(f"{self.name}: time {times[k]:g} s after {times[k - 1]:g} s; sort the points by time")
            if k > 1 and times[k] == times[k - 2]:
                raise ModelError(f"{self.name}: three points at {times[k]:g} s; a jump takes two")
        object.__setattr__(self, "times", times)
        object.__setattr__(self, "values", values)

    @classmethod
    def constant(cls, value: float, name: str = "program") -> Program:
        """The same value at all times."""
        return cls((0.0,), (value,), name)

    @property
    def is_constant(self) -> bool:
        """True where nothing ever changes."""
        return len(set(self.values)) == 1

    def corners(self) -> tuple[float, ...]:
        """Times at which the slope or the value changes, s, in order, once each."""
        return () if self.is_constant else tuple(sorted(set(self.times)))

    def at(self, time: float | np.ndarray) -> Any:
        """Value(s) at time(s), s; at a jump the value after it."""
        time = np.asarray(time, dtype=float)
        k = np.searchsorted(self.times, time, side="right")
        t = np.array((self.times[0], *self.times, self.times[-1]))
        v = np.array((self.values[0], *self.values, self.values[-1]))
        left, width = t[k], t[k + 1] - t[k]
        share = np.divide(time - left, width, out=np.zeros(time.shape), where=width > 0.0)
        return v[k] + share * (v[k + 1] - v[k])

    def piece(self, start: float, end: float) -> tuple[float, float]:
        """Value at `start` and slope of the straight piece from `start` to the end of it.

        `start` and `end` lie in one piece; at jumps the values inside the piece are meant.
        """
        if len(self.times) == 1:
            return self.values[0], 0.0
        middle = 0.5 * (start + end)
        k = int(np.searchsorted(self.times, middle, side="right"))
        if k == 0:
            return self.values[0], 0.0
        if k == len(self.times):
            return self.values[-1], 0.0
        slope = (self.values[k] - self.values[k - 1]) / (self.times[k] - self.times[k - 1])
        return self.values[k - 1] + slope * (start - self.times[k - 1]), slope


class UnderInputs:
    """A motion under inputs over time, as solvers take them: piece by piece from one corner to the next.

    Parameters
    ----------
    throttle, grip_factor, brake_torque : Program
        Throttle -1..1, factor on every grip coefficient (full grip by default), drag brake at the wheels (N m, none by
        default).
    """

    def __init__(
        self, throttle: Program, grip_factor: Program | None = None, brake_torque: Program | None = None
    ) -> None:
        self.throttle = throttle
        self.grip_factor = grip_factor if grip_factor is not None else Program.constant(1.0, "grip program")
        self.brake_torque = brake_torque if brake_torque is not None else Program.constant(0.0, "brake program")
        self._programs = (self.throttle, self.grip_factor, self.brake_torque)
        self.enter(0.0, inf)

    def corners(self) -> tuple[float, ...]:
        """Times at which an input has a corner or a jump, s, in order."""
        return tuple(sorted({t for program in self._programs for t in program.corners()}))

    def enter(self, start: float, end: float) -> None:
        """Take the inputs from the piece between two neighbouring corners, so that jumps are one-sided."""
        end = min(end, start + 1e6)
        # Plain floats: one NumPy number in a scalar kernel would slow every operation after it.
        self._start = float(start)
        self._pieces = tuple(float(x) for program in self._programs for x in program.piece(start, end))

    def inputs(self, time: float) -> tuple[float, float, float]:
        """Throttle, grip factor and brake torque (N m) within the entered piece."""
        u, du, m, dm, b, db = self._pieces
        past = float(time) - self._start
        return u + du * past, m + dm * past, b + db * past
