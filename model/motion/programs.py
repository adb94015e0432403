"""Inputs over time: piecewise linear, with jumps where two points share a time."""

from __future__ import annotations

from dataclasses import dataclass
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
