"""What the tyres' slip does to a film of a run-up on the ground, taken off its time constant."""

from typing import Any

import numpy as np

from noseload.csv_input import Column
from noseload.model.file.defaults import GRIP, SLIP_RATIO_SCALE, SLIP_SPEED
from noseload.model.measuring.motion import (
    drive_from_run_up,
    ramped_run_up_slopes,
    ramped_run_up_travel,
    slipping_run_up,
)
from noseload.model.units import MILLIMETRE, STANDARD_GRAVITY
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.least_squares import fit_nonlinear

SLIP_SETTINGS = (
    Column("slip_speed_mm_per_s", "as in the vehicle file; 0 with slip_ratio_scale = 0 for tyres that do not slip", low=0,
           default=SLIP_SPEED.value, required=False),
    Column("slip_ratio_scale", "as in the vehicle file: slip over which grip builds up (grip over slip stiffness)", low=0,
           default=SLIP_RATIO_SCALE.value, required=False),
)  # fmt: skip
KNOWN_TO = 0.5
"""Standard error of the correction as a share of it: the slip over which grip builds up is known to a factor of two."""
ROUNDS, SETTLED = 4, 0.05
"""Rounds at most, and change of the correction, as a share of it, at which they end."""
SPINNING = 0.95
"""Share of the grip above which the wheels spin rather than slip: nothing is corrected then."""


def slip_delay(
    settings: Any, group: Any, *, air: Any, full: float, mass: float, radius: float, free: float, resistance: float
) -> float:
    """By how much the film's time constant on the ground is longer than without slip, s; 0 where nothing is to be corrected.

    Films of the same frames are calculated with slip and fitted with the law without it; the difference is what the fit
    makes of slip.

    Parameters
    ----------
    settings : mapping
        Of the readings.
    group : RunUp
        Films on the ground at the largest throttle.
    air : Fit
        Of those in the air.
    full : float
        That throttle.
    mass, radius, free : float
        Vehicle, kg; rolling radius, m; inertia of wheels that turn on the ground only, kg m2.
    resistance : float
        Constant torque at the wheels, N m.
    """
    speed, ratio = settings["slip_speed_mm_per_s"] * MILLIMETRE, settings["slip_ratio_scale"]
    if speed <= 0.0 and ratio <= 0.0:
        return 0.0
    grip = settings["grip_coefficient"] or GRIP.value
    seen, rise = group.fit.value("constant"), group.rise
    after = np.sort(group.after)
    delay = 0.0
    for _ in range(ROUNDS):
        constant = seen - delay
        if constant <= 1.02 * air.value("constant"):
            return 0.0
        # Plain numbers: a step of the run-up costs less than half of what it would with NumPy's.
        stall, turning = map(
            float, drive_from_run_up(air.value("speed") / full, air.value("constant"), constant, mass, radius, free)
        )
        pull = stall * full / radius * (mass * radius**2) / (turning + free + mass * radius**2)
        if pull > SPINNING * grip * mass * STANDARD_GRAVITY:
            return 0.0
        time, travel = slipping_run_up(
            float(after[-1]) + 0.01, stall_torque=stall * full, no_load_speed=air.value("speed"),
            turning_inertia=turning + free, mass=mass, rolling_radius=radius, resistance=float(resistance), grip=grip,
            slip_speed=max(speed, 1e-3), slip_ratio=ratio, rise=rise,
        )  # fmt: skip
        fitted = _constant_of(after, np.interp(after, time, travel, left=0.0), air.value("speed"), constant, rise)
        if fitted is None:
            return 0.0
        before, delay = delay, fitted - constant
        if abs(delay - before) < SETTLED * abs(delay):
            break
    return delay


def _constant_of(time: float | np.ndarray, travel: Any, speed: Any, constant: Any, rise: float) -> Any:
    """Time constant that the law without slip finds in a travel; None where it finds none."""

    def predict(p: np.ndarray) -> np.ndarray:
        if p[0] <= 0.0 or p[1] <= 0.0:
            return np.full_like(time, np.nan)
        return ramped_run_up_travel(time - p[2], p[0], p[1], p[3] if rise > 0.0 else 0.0)

    def derivatives(p: np.ndarray) -> np.ndarray:
        late, *others = ramped_run_up_slopes(time - p[2], p[0], p[1], p[3] if rise > 0.0 else 0.0)
        return np.column_stack([*others[:2], -late, *others[2 : len(p) - 1]])

    start = [speed, constant, 0.0, *([rise] if rise > 0.0 else [])]
    names = ["speed", "constant", "start", *(["rise"] if rise > 0.0 else [])]
    low = [-np.inf] * 3 + [0.0] * (rise > 0.0)
    try:
        fit = fit_nonlinear(
            predict, travel, start, names, scales=[speed, constant, constant, constant][: len(start)],
            bounds=(low, [np.inf] * len(start)), derivatives=derivatives,
        )  # fmt: skip
    except SolverError:
        return None
    return fit.value("constant")
