"""How a punch ends: run on until it is decided, and sum up what mattered."""

from __future__ import annotations

from math import degrees, radians
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.parameters import ENDS
from noseload.solvers.errors import Status
from noseload.solvers.motion.transient import integrate

if TYPE_CHECKING:
    from noseload.model.motion.vehicle_motion import VehicleMotion
    from noseload.model.space.vehicle_motion import SpaceMotion
    from noseload.solvers.motion.trajectory import Effort, Trajectory
    from noseload.solvers.motion.transient import TransientOptions


OUTCOMES = (
    "stays_loaded",
    "lifts_and_returns",
    "wheel_up_at_end",
    "airborne_at_end",
    "flips_back",
    "flips_forward",
    "rolls_over",
    "slides_back",
    "start_not_held",
)
"""`wheel_up_at_end` (settled with a wheel in the air) and `rolls_over` only in space."""
FLIPS = ("flips_back", "flips_forward", "rolls_over")
SETTLED_S = 0.3
"""The motion counts as settled when it has been quiet for so long."""
LONGEST_S = 5.0
QUIET_LOAD = 0.03
"""Largest change of the front load of a settled motion, as a share of the weight."""
QUIET_PITCH = radians(1.0)
QUIET_ACCELERATION = 1.0
"""Largest deceleration along the slope that cannot yet turn a climb round unnoticed, m/s2."""
CYCLES = 3
CYCLE_LOAD, CYCLE_PITCH = 0.003, radians(0.1)
"""A motion that swings for ever is decided too once so many windows of `SETTLED_S` have the same extremes: how much those of
the loads (share of the weight) and of the pitch may differ."""
SLIDING = 3.0
"""Backward speed beyond which the vehicle slides, in slip speeds: tyres that hold creep by about one."""
LEAST_HOP_S = 1.0 / 240.0
"""Shorter spells in the air are no hops of their own, s: one frame of a phone's film."""
_LOOK_S = 0.005
_FINE_S = 0.001


def controls_over_time(motion: VehicleMotion | SpaceMotion, times: np.ndarray) -> np.ndarray:
    """Throttle, grip factor and drag brake (N m) at times, (3, n)."""
    return np.array([motion.throttle.at(times), motion.grip_factor.at(times), motion.brake_torque.at(times)])


def airborne_spells(
    run: Trajectory, motion: VehicleMotion | SpaceMotion, end: str, until: float
) -> list[tuple[float, float]]:
    """(start, end) of every spell in which a contact (an axle, in space a wheel) carries nothing, s, up to a time."""
    spells, since = [], None
    if motion.switches(run.times[0], run.states[0])[motion.contacts.index(end)] <= 0.0:
        since = float(run.times[0])
    for event in run.events:
        if event.name == f"{end}_lift_off" and event.time <= until:
            since = float(event.time)
        elif event.name == f"{end}_touchdown" and since is not None:
            spells.append((since, min(float(event.time), until)))
            since = None
    return spells if since is None or since > until else [*spells, (since, until)]


def decide(
    motion: VehicleMotion | SpaceMotion, run: Trajectory, settings: TransientOptions, *, wanted: bool
) -> tuple[dict[str, float | str], Effort]:
    """Outcome of a run, integrated further until the motion has settled or repeats itself.

    Returns
    -------
    decided : dict
        `outcome`, `outcome_time_s`, and airborne times over all that was integrated.
    effort : Effort
    """
    whole = run
    while wanted and whole.ended_by is None and whole.times[-1] < LONGEST_S and not _settled(motion, whole):
        further = min(LONGEST_S, whole.times[-1] + SETTLED_S)
        later = integrate(motion, whole.states[-1], whole.times[-1], further, options=settings)
        if later.status is Status.OUT_OF_STEPS or whole.effort.steps > settings.most_steps:
            return {"outcome": "undecided", "outcome_time_s": float(whole.times[-1])}, whole.effort
        whole = whole.join(later.raise_for_status())
    if run.status is Status.OUT_OF_STEPS:
        return {"outcome": "undecided", "outcome_time_s": float(whole.times[-1])}, whole.effort
    return {"outcome": _outcome(motion, whole), "outcome_time_s": float(whole.times[-1])}, whole.effort


def _settled(motion: VehicleMotion | SpaceMotion, run: Trajectory) -> bool:
    """Both axles down, and either quiet or swinging for ever alike, so that nothing is to come."""
    end = run.times[-1]
    corners = motion.corners()
    if end < SETTLED_S or (corners and end - max(corners) < SETTLED_S):
        return False
    if _switched(run, end - SETTLED_S) or not motion.stands(motion.switches(end, run.states[-1])):
        return False
    states, seen = _looked_at(motion, run, np.arange(max(run.times[0], end - SETTLED_S), end, _LOOK_S))
    quiet = is_quiet(
        np.ptp(seen["load"], axis=1).max() / motion.weight,
        np.ptp(states[list(motion.quiet_rows)], axis=1).max(),
        states[motion.coordinate_count, -1],
        seen["accelerations"][0, -1],
    )
    return bool(quiet) or _cycles(motion, run)


def _cycles(motion: VehicleMotion | SpaceMotion, run: Trajectory) -> bool:
    """Whether a motion whose contacts stay down repeats itself, at a speed that will not turn round."""
    end, since = run.times[-1], run.times[-1] - CYCLES * SETTLED_S
    if since < max([run.times[0], *motion.corners()]) or _switched(run, since):
        return False
    count = round(SETTLED_S / _FINE_S)
    states, seen = _looked_at(motion, run, end - _FINE_S * np.arange(CYCLES * count, 0, -1))

    def change(rows: np.ndarray) -> float:
        windows = rows.reshape(len(rows), CYCLES, count)
        return max(np.ptp(extreme, axis=1).max() for extreme in (windows.min(axis=2), windows.max(axis=2)))

    speeds = states[motion.coordinate_count].reshape(CYCLES, count).mean(axis=1)
    turns = states[list(motion.quiet_rows)]
    return bool(is_cycle(change(seen["load"] / motion.weight), change(turns), speeds[0], speeds[-1]))


def _switched(run: Trajectory, since: float) -> bool:
    """Whether a contact left the ground or touched it after a time, s."""
    return any(event.time > since and event.name.endswith(("lift_off", "touchdown")) for event in run.events)


def _looked_at(
    motion: VehicleMotion | SpaceMotion, run: Trajectory, times: np.ndarray
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """States at times under the inputs of the end, and what is seen of them."""
    states = run.at(times)
    controls = np.array([np.full(times.size, x) for x in motion.controls(run.times[-1])[:3]])
    return states, motion.observe(states, controls)


def is_cycle(
    load_change: float | np.ndarray,
    pitch_change: float | np.ndarray,
    first_speed: float | np.ndarray,
    last_speed: float | np.ndarray,
) -> bool | np.ndarray:
    """Whether `CYCLES` windows of motion whose contacts stay down count as a swing for ever; numbers or arrays.

    Parameters
    ----------
    load_change : float or ndarray
        Largest difference between windows of a load's extremes, as a share of the weight.
    pitch_change : float or ndarray
        Of the pitch's, in space of those of pitch or roll, rad.
    first_speed, last_speed : float or ndarray
        Along the slope in the first and the last of the windows, m/s: it must keep its sense.
    """
    ahead = last_speed + (last_speed - first_speed) * LONGEST_S / ((CYCLES - 1) * SETTLED_S)
    return (load_change <= CYCLE_LOAD) & (pitch_change <= CYCLE_PITCH) & (last_speed * ahead > 0.0)


def is_quiet(
    load_swing: float | np.ndarray,
    pitch_swing: float | np.ndarray,
    speed: float | np.ndarray,
    acceleration: float | np.ndarray,
) -> bool | np.ndarray:
    """Whether a window of motion with both axles down counts as settled; numbers or arrays.

    Parameters
    ----------
    load_swing : float or ndarray
        Largest less smallest load of either axle, as a share of the weight.
    pitch_swing : float or ndarray
        Of the pitch, in space of pitch or roll, rad.
    speed, acceleration : float or ndarray
        Along the slope at the end of the window, m/s and m/s2.
    """
    turning = (speed > 0.0) & (acceleration <= -QUIET_ACCELERATION) & (speed + acceleration * LONGEST_S <= 0.0)
    return (load_swing <= QUIET_LOAD) & (pitch_swing <= QUIET_PITCH) & ~np.asarray(turning)


def name_outcome(
    *, ended_by: str | None, down: bool, speed: float, slip_speed: float, lifted: bool, up: bool = False
) -> str:
    """Outcome of a motion that settled, ended or ran out of time.

    Parameters
    ----------
    ended_by : str or None
        One of FLIPS.
    down : bool
        Both axles carry load at the end.
    speed, slip_speed : float
        Speed along the slope at the end, and the larger slip speed of the tyres, m/s.
    lifted : bool
        Whether an axle (in space a wheel) was ever airborne.
    up : bool
        Whether a wheel still is.
    """
    if ended_by is not None:
        return ended_by
    if not down:
        return "airborne_at_end"
    if speed < -SLIDING * slip_speed:
        return "slides_back"
    if up:
        return "wheel_up_at_end"
    return "lifts_and_returns" if lifted else "stays_loaded"


def _outcome(motion: VehicleMotion | SpaceMotion, run: Trajectory) -> str:
    end = float(run.times[-1])
    switches = motion.switches(end, run.states[-1])
    return name_outcome(
        ended_by=run.ended_by,
        down=motion.stands(switches),
        speed=run.states[-1][motion.coordinate_count],
        slip_speed=motion.slip_speed,
        lifted=any(airborne_spells(run, motion, name, end) for name in motion.contacts),
        up=min(switches[: len(motion.contacts)]) <= 0.0,
    )


def summarise(motion: VehicleMotion, run: Trajectory, decided: dict[str, float | str]) -> dict:
    """Summary of a punch over its traces, with the outcome."""
    end = float(run.times[-1])
    times = np.unique(np.append(np.arange(run.times[0], end, _FINE_S), run.times))
    states = run.at(times)
    load = motion.observe(states, controls_over_time(motion, times))["load"]
    summary: dict = {}
    for name in ("front", "rear"):
        trace = load[ENDS.index(name)]
        spells = airborne_spells(run, motion, name, end)
        lowest = 0.0 if spells else float(trace.min())
        when = spells[0][0] if spells else float(times[int(trace.argmin())])
        summary |= {
            f"{name}_load_min_n": lowest,
            f"{name}_load_min_time_s": when,
            f"{name}_airborne_s": float(sum(b - a for a, b in spells)),
        }
        if name == "front":
            hops = [b - a for a, b in spells if b - a >= LEAST_HOP_S]
            summary |= {"front_hops": len(hops), "front_first_hop_s": float(hops[0]) if hops else 0.0}
    summary["peak_nose_up_pitch_deg"] = degrees(float((-states[2]).max()))
    summary["peak_nose_down_pitch_deg"] = degrees(float(states[2].max()))
    return summary | decided
