"""What mattered in a punch in space: which wheel was up how long, how far it rolled, where it went."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.parameters import ENDS
from noseload.model.space.parameters import WHEELS
from noseload.model.space.rows import HEADING, PITCH, ROLL

from .outcome import airborne_spells, controls_over_time

if TYPE_CHECKING:
    from noseload.model.space.vehicle_motion import SpaceMotion
    from noseload.solvers.motion.trajectory import Trajectory


_FINE_S = 0.001


def both(first: list, second: list) -> list:
    """Spells in which two things happen at once, from their own (start, end), s."""
    found = [(max(a, c), min(b, d)) for a, b in first for c, d in second]
    return sorted((start, end) for start, end in found if end > start)


@dataclass(frozen=True)
class Look:
    """What wheels carry at every millisecond of a run and on its nodes.

    Attributes
    ----------
    times : ndarray, shape (n,)
        s.
    states : ndarray, shape (47, n)
    seen : dict of str to ndarray
        As `SpaceMotion.observe_wheels` tells.
    nodes : ndarray of int
        Columns of the run's nodes.
    """

    times: np.ndarray
    states: np.ndarray
    seen: dict[str, np.ndarray]
    nodes: np.ndarray

    @classmethod
    def at(cls, motion: SpaceMotion, run: Trajectory) -> Look:
        """Of a run."""
        times = np.unique(np.append(np.arange(run.times[0], float(run.times[-1]), _FINE_S), run.times))
        states = run.at(times)
        seen = motion.observe_wheels(states, controls_over_time(motion, times))
        return cls(times, states, seen, np.searchsorted(times, run.times))


def summarise_wheels(motion: SpaceMotion, run: Trajectory, look: Look, decided: dict[str, Any]) -> dict[str, Any]:
    """Summary of a punch in space over its traces, with the outcome.

    Returns
    -------
    dict
        Airborne times (and whether the traces end in the air) and least loads by wheel and by axle, the first wheel to lift (None where none does) and for how
        long, `decisive_time_s` (when it lifts; else when a wheel's load is least), largest angles, heading and drift.
    """
    end, times, states, load = float(run.times[-1]), look.times, look.states, look.seen["load"]
    spells = {wheel: airborne_spells(run, motion, wheel, end) for wheel in WHEELS}
    summary: dict[str, Any] = {}
    for k, wheel in enumerate(WHEELS):
        summary |= _least(wheel, load[k], spells[wheel], times)
        summary[f"{wheel}_airborne_s"] = _total(spells[wheel])
        summary[f"{wheel}_ends_airborne"] = _still(spells[wheel], end)
    for k, axle in reversed(list(enumerate(ENDS))):
        whole = load[2 * k] + load[2 * k + 1]
        up = both(*(spells[wheel] for wheel in WHEELS[2 * k : 2 * k + 2]))
        summary |= _least(f"{axle}_axle", whole, up, times)
        summary[f"{axle}_axle_airborne_s"] = _total(up)
        summary[f"{axle}_axle_ends_airborne"] = _still(up, end)
    lifted = {wheel: since[0][0] for wheel, since in spells.items() if since}
    first = min(lifted, key=lambda wheel: lifted[wheel]) if lifted else None
    summary["first_wheel"] = first
    summary["first_wheel_lift_s"] = None if first is None else lifted[first]
    summary["first_wheel_airborne_s"] = 0.0 if first is None else summary[f"{first}_airborne_s"]
    least = float(times[int(load.min(axis=0).argmin())])
    summary["decisive_time_s"] = least if first is None else lifted[first]
    roll = np.degrees(states[ROLL])
    summary |= {
        "peak_chassis_roll_deg": float(roll[int(np.abs(roll).argmax())]),
        "peak_nose_up_pitch_deg": degrees(float((-states[PITCH]).max())),
        "peak_nose_down_pitch_deg": degrees(float(states[PITCH].max())),
        "heading_change_deg": degrees(float(states[HEADING, -1] - states[HEADING, 0])),
        "off_line_mm": 1e3 * float(states[1, -1] - states[1, 0]),
    }
    return summary | decided


def _least(
    name: str, load: np.ndarray, spells: list[tuple[float, float]], times: np.ndarray
) -> dict[str, float | None]:
    """Least load of a wheel or an axle and when it is reached, and when it first lifts (None where it never does)."""
    return {
        f"{name}_load_min_n": 0.0 if spells else float(load.min()),
        f"{name}_load_min_time_s": spells[0][0] if spells else float(times[int(load.argmin())]),
        f"{name}_lift_s": spells[0][0] if spells else None,
    }


def _total(spells: list[tuple[float, float]]) -> float:
    return float(sum(end - start for start, end in spells))


def _still(spells: list[tuple[float, float]], end: float) -> bool:
    """Whether the traces end in the last spell: its length is then their end's, not its own."""
    return bool(spells) and spells[-1][1] >= end


def wheel_told(summary: dict[str, Any]) -> str:
    """The first wheel to lift, by a summary; where none does, the one with the least load."""
    return summary["first_wheel"] or min(WHEELS, key=lambda wheel: summary[f"{wheel}_load_min_n"])
