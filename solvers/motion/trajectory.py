"""What a transient solver hands back: nodes, events, status, and values between the nodes."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from noseload.solvers.errors import SolverError, Status


@dataclass(frozen=True)
class Event:
    """A switch passed zero: its name, the time and the state there."""

    time: float
    name: str
    state: np.ndarray


@dataclass(frozen=True)
class Effort:
    """What a run cost: evaluations of the rates and of Jacobians, steps taken, steps thrown away."""

    nfev: int = 0
    njev: int = 0
    steps: int = 0
    rejected: int = 0

    def __add__(self, other: "Effort") -> "Effort":
        return Effort(*(a + b for a, b in zip(self.__dict__.values(), other.__dict__.values(), strict=True)))


@dataclass(frozen=True)
class Trajectory:
    """One integrated motion, finished or failed.

    Attributes
    ----------
    status : Status
        CONVERGED also where a terminal event ended the motion early: see `ended_by`.
    message : str
    times : ndarray, shape (n + 1,)
    states : ndarray, shape (n + 1, size)
        At the ends of the steps, on the constraints but for the drift.
    left_rates, right_rates : ndarray, shape (n, size)
        Rates at the start and at the end of every step, taken from inside it.
    events : tuple of Event
    ended_by : str or None
        Name of the terminal event.
    effort : Effort
    position_drift, speed_drift : float
        Largest drift off the constraints found before a correction.
    coordinate_count : int
    error_sum : float
        What the steps erred of the watched quantities of the motion, summed: each step's largest estimate.
    """

    status: Status
    message: str
    times: np.ndarray
    states: np.ndarray
    left_rates: np.ndarray
    right_rates: np.ndarray
    events: tuple
    ended_by: str | None
    effort: Effort
    position_drift: float
    speed_drift: float
    coordinate_count: int
    error_sum: float = 0.0
    interpolants: tuple = ()
    """Per step, where the method brings its own: callables of time; else Hermite polynomials are used."""

    @property
    def success(self) -> bool:
        """True for a run that reached its end or a terminal event."""
        return self.status is Status.CONVERGED

    def raise_for_status(self) -> "Trajectory":
        """Return self, or raise `SolverError` with this failed run."""
        if not self.success:
            raise SolverError(self.status, self.message, self)
        return self

    def at(self, times: np.ndarray) -> np.ndarray:
        """States between the nodes, shape (size, n).

        Coordinates by quintic Hermite interpolation (value, speed and acceleration at both ends), the rest
        by cubic. A time on a node where an input jumps gives the one state there is.
        """
        times = np.asarray(times, dtype=float)
        if len(self.times) < 2:
            return np.repeat(self.states[:1].T, times.size, axis=1)
        k = np.clip(np.searchsorted(self.times, times, side="right") - 1, 0, len(self.times) - 2)
        if self.interpolants:
            found = np.empty((self.states.shape[1], times.size))
            for step in np.unique(k):
                found[:, k == step] = self.interpolants[step](times[k == step])
            return found
        width = self.times[k + 1] - self.times[k]
        share = (times - self.times[k]) / width
        states = hermite(
            share[:, None],
            width[:, None],
            self.states[k],
            self.states[k + 1],
            self.left_rates[k],
            self.right_rates[k],
            self.coordinate_count,
        )
        return states.T

    def join(self, later: "Trajectory") -> "Trajectory":
        """This run followed by one that starts where it ended."""
        return replace(
            later,
            times=np.append(self.times, later.times[1:]),
            states=np.vstack([self.states, later.states[1:]]),
            left_rates=np.vstack([self.left_rates, later.left_rates]),
            right_rates=np.vstack([self.right_rates, later.right_rates]),
            events=self.events + later.events,
            effort=self.effort + later.effort,
            position_drift=max(self.position_drift, later.position_drift),
            speed_drift=max(self.speed_drift, later.speed_drift),
            error_sum=self.error_sum + later.error_sum,
            interpolants=self.interpolants + later.interpolants,
        )


def hermite(
    share: float,
    width: Any,
    first: np.ndarray,
    last: np.ndarray,
    first_rates: np.ndarray,
    last_rates: np.ndarray,
    count: int,
) -> np.ndarray:
    """State at a share (0..1) of a step; arguments broadcast, states along the last axis."""
    s, r = share, 1.0 - share
    change = last - first
    cubic = first + s * s * (3.0 - 2.0 * s) * change + width * s * r * (r * first_rates - s * last_rates)
    if count == 0:
        return cubic
    q, u = slice(0, count), slice(count, 2 * count)
    # The fifth-order part: what the cubic's curvature misses of the accelerations at both ends.
    square = width * width
    start_bend = 6.0 * change[..., q] - width * (4.0 * first_rates[..., q] + 2.0 * last_rates[..., q])
    end_bend = -6.0 * change[..., q] + width * (2.0 * first_rates[..., q] + 4.0 * last_rates[..., q])
    missing_start = square * first_rates[..., u] - start_bend
    missing_end = square * last_rates[..., u] - end_bend
    cubic[..., q] += 0.5 * s * s * r * r * (r * missing_start + s * missing_end)
    return cubic
