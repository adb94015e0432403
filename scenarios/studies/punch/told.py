"""What a punch tells alike in the side view and in space: start, samples, events, effort and energy book."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from noseload.model.motion.rows import ENERGIES
from noseload.studies.result import Result

from .options import Braked, PunchOptions, expected_load_error

if TYPE_CHECKING:
    from noseload.solvers.motion.trajectory import Effort, Trajectory


class Begun(Protocol):
    """A steady motion that a punch starts from."""

    @property
    def throttle(self) -> float | None:
        """Throttle that holds it."""

    @property
    def grip_needed(self) -> float | None:
        """Traction per load."""

    @property
    def brake_torque(self) -> float:
        """Drag brake at the wheels, N m."""


@dataclass(frozen=True)
class PunchEvent:
    """Something that happened, with the state of the motion and the load of the front tyres there."""

    time_s: float
    name: str
    state: np.ndarray = field(repr=False)
    front_load_n: float

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {"time_s": self.time_s, "name": self.name}


class PunchTold(Result):
    """A punch with `status`, `message`, `time_s` and `traces`."""

    status: str
    message: str
    time_s: np.ndarray
    traces: dict

    @property
    def success(self) -> bool:
        """True where the start could be held and the run was integrated."""
        return self.status == "ok"

    @property
    def front_load_n(self) -> np.ndarray:
        """Load of the front axle over time, N."""
        return self.traces["front_load_n"]

    def nothing_to_draw(self) -> str:
        """Why there is no picture, '' where there is one."""
        return "" if self.time_s.size else self.message or self.status


def start_document(begin: Begun) -> dict[str, Any]:
    """What holds the start."""
    return {
        "throttle_needed": begin.throttle,
        "grip_needed": begin.grip_needed,
        "drag_brake_torque_n_mm": 1e3 * begin.brake_torque,
    }


def first_values(
    traces: dict[str, np.ndarray], seen: dict[str, np.ndarray], keys: Sequence[str], shocks: Sequence[str]
) -> dict[str, Any]:
    """Traces at the start by their keys, and the stops that are engaged there; `shocks` names the shocks in order."""
    first: dict[str, Any] = {key: float(traces[key][0]) for key in keys}
    first["stops_engaged"] = [
        f"{shock}_{stop}_stop"
        for k, shock in enumerate(shocks)
        for stop in ("droop", "bump")
        if seen[f"{stop}_depth"][k, 0] > 0.0
    ]
    return first


def sample_times(options: PunchOptions, run: Trajectory) -> np.ndarray:
    """Multiples of the sample time, s, as far as the run went."""
    count = int(np.floor(min(options.duration_s, run.times[-1]) / options.sample_s * (1.0 + 1e-12) + 1e-9)) + 1
    return options.sample_s * np.arange(count)


def run_stats(
    motion: Braked, run: Trajectory, later: Effort, tolerance: float, drifts: tuple[float, float], book: tuple
) -> dict[str, Any]:
    """Effort, drift, energy book and expected error of a run.

    Parameters
    ----------
    later : Effort
        Of the run followed until it was decided.
    tolerance : float
    drifts : (float, float)
        Left at the samples, m and m/s.
    book : (ndarray, float, ndarray)
        Residual over the nodes and its scale, J, and the running integrals at the nodes, (energies, n), J.
    """
    (position, speed), (residual, scale, integrals) = drifts, book
    done = integrals[:, -1] - integrals[:, 0]
    return {
        **later.__dict__,
        "position_drift_m": max(float(position), run.position_drift),
        "speed_drift_m_per_s": max(float(speed), run.speed_drift),
        "energy_residual": float(np.abs(residual).max() / scale),
        "energy_scale_j": float(scale),
        "energy_j": {name: float(value) for name, value in zip(ENERGIES, done, strict=True)},
        "tolerance": tolerance,
        "load_error": expected_load_error(motion, run),
    }


def events_of(run: Trajectory, front_loads: np.ndarray) -> tuple[PunchEvent, ...]:
    """Events of a run with the load of the front axle at each, N."""
    return tuple(
        PunchEvent(float(event.time), event.name, event.state, float(load))
        for event, load in zip(run.events, front_loads, strict=True)
    )
