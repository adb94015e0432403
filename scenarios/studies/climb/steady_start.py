"""Where a punch starts: steady motion at the creep speed, or standing on the drag brake."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import atanh, degrees, radians, tanh
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import DRIVE
from noseload.model.crawl.geometry import wheel_heights
from noseload.model.crawl.rolling import lever_of, wheel_moment
from noseload.model.crawl.steady import SteadyMotion, drive_demand
from noseload.model.motion.mobility import add_inertia
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import AXLE_ROWS, SPEED_ROWS
from noseload.model.motion.vehicle_motion import ENDS, VehicleMotion
from noseload.model.parameters import BRAKE_SPEED
from noseload.solvers.newton import solve

from .creep import Climb
from .standing import Standing
from .steady_path import follow_steady

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


STRIDE = radians(12.0)
"""Grade step in which creep is followed from level to the grade of the start."""
FULL_THROTTLE = 1.0
_BRAKE_ITERATIONS = 60


@dataclass(frozen=True)
class SteadyStart:
    """A steady motion with the throttle that holds it, or why there is none.

    Attributes
    ----------
    status : str
        'ok' or 'start_not_held'.
    message : str
        What was missing.
    state : ndarray, shape (28,), or None
        State of `noseload.model.motion.vehicle_motion`; every acceleration is zero under `throttle` and `brake_torque`.
    throttle : float or None
        Throttle that holds it; above 1 where the motor is too weak.
    brake_torque : float
        Drag brake at the wheels, N m.
    grip_needed : float or None
        Traction per load of the driven axles.
    values : VehicleNumbers
        Parameters of the moving vehicle, `noseload.model.motion.mobility.motion_parameters`.
    residual : float
        Largest acceleration left, m/s2 or rad/s2.
    """

    status: str
    message: str
    grade: float
    state: Any
    throttle: Any
    brake_torque: float
    grip_needed: float | None
    values: Any = field(repr=False)
    residual: float = 0.0

    @property
    def success(self) -> bool:
        """True where the start can be held."""
        return self.status == "ok"


def creep_state(standing: Standing, grade: float) -> np.ndarray | None:
    """Unknowns of creep (13) at a grade (rad), followed from level; None where there is no such climb."""
    state = standing.level.state
    for step in np.linspace(0.0, grade, max(2, 1 + int(np.ceil(abs(grade) / STRIDE))))[1:]:
        solution = solve(standing.equilibrium, state, float(step))
        if not solution.success:
            return _followed_to(standing, grade)
        state = solution.state
    return state


def _followed_to(standing: Standing, grade: float) -> np.ndarray | None:
    """The same by the whole path of creep, around folds; axles as if they turned alike."""
    vehicle = standing.vehicle
    axles: dict[str, Any] = {
        end: replace(axle, tyre=replace(axle.tyre, slip_stiffness=None, slip_stiffness_exponent=1.0))
        for end, axle in (("rear", vehicle.rear), ("front", vehicle.front))
    }
    even = replace(vehicle, drive=replace(vehicle.drive, front_overdrive=1.0), **axles)
    return Climb(even).row(degrees(grade)).state


def steady_start(
    standing: Standing, *, grade: float, creep_speed: float, grip_factor: float = 1.0, start: str = "creep"
) -> SteadyStart:
    """Solve the steady motion a punch starts from.

    Parameters
    ----------
    standing : Standing
    grade : float
        rad.
    creep_speed : float
        m/s; not used on the brake.
    grip_factor : float
    start : str
        'creep', or 'brake': wheels on the drag brake, throttle 0.

    Returns
    -------
    SteadyStart
    """
    values = add_inertia(standing.equilibrium.values, standing.vehicle)
    crawl = creep_state(standing, grade)
    if crawl is None or min(standing.equilibrium.outputs(crawl, grade)[0][:2]) <= 0.0:
        return SteadyStart(
            "start_not_held",
            f"at {degrees(grade):.2f} deg the vehicle tips over before it can start",
            grade,
            None,
            None,
            0.0,
            None,
            values,
        )
    if start == "brake":
        return _on_the_brake(standing, values, crawl, grade, grip_factor)
    motion = SteadyMotion(standing.equilibrium, travel_speed=creep_speed, grip_factor=grip_factor)
    guess, share = motion.guess(crawl, grade)
    needed = _grip_needed(standing, crawl, grade)
    if abs(share) >= 1.0:
        return _no_grip(
            grade, share, needed, values, throttle=_throttle_without_slip(values, crawl, creep_speed, motion)
        )
    solution = solve(motion, guess, grade)
    if not solution.success:
        solution = follow_steady(motion, lambda at: creep_state(standing, at), grade) or solution
    if not solution.success:
        return SteadyStart(
            "start_not_held",
            f"no steady motion was found at {degrees(grade):.2f} deg: {solution.message}",
            grade,
            None,
            None,
            0.0,
            needed,
            values,
        )
    state = motion.motion_state(solution.state)
    demand = drive_demand(values, state, *_contact(standing, values, state, grade, grip_factor))
    if abs(demand.throttle) > FULL_THROTTLE:
        return SteadyStart(
            "start_not_held",
            f"holding {degrees(grade):.2f} deg takes throttle {demand.throttle:.3f}, more than the motor has",
            grade,
            None,
            demand.throttle,
            0.0,
            needed,
            values,
        )
    return _finished(standing, values, state, grade, demand.throttle, 0.0, grip_factor, needed)


def _finished(
    standing: Standing,
    values: VehicleNumbers,
    state: np.ndarray,
    grade: float,
    throttle: float,
    brake: float,
    grip_factor: float,
    needed: float | None,
) -> SteadyStart:
    motion = VehicleMotion(
        values,
        standing.weight,
        standing.vehicle.wheelbase,
        grade,
        throttle=Program.constant(throttle),
        grip_factor=Program.constant(grip_factor),
        brake_torque=Program.constant(brake),
    )
    residual = float(np.abs(motion.rates(0.0, state)[SPEED_ROWS]).max())
    return SteadyStart("ok", "", grade, state, throttle, brake, needed, values, residual)


def _grip_needed(standing: Standing, crawl: np.ndarray, grade: float) -> float | None:
    outputs, _ = standing.equilibrium.outputs(crawl, grade)
    held = sum(standing.values.axle(end).driven * outputs[k] for k, end in enumerate(ENDS))
    return float(abs(crawl[DRIVE]) / held) if held > 0.0 else None


def _no_grip(grade: float, share: float, needed: float | None, values: VehicleNumbers, throttle: float) -> SteadyStart:
    return SteadyStart(
        "start_not_held",
        f"holding {degrees(grade):.2f} deg takes {abs(share):.3f} times the grip of the driven axles "
        f"(grip {needed:.3f} needed)",
        grade,
        None,
        throttle,
        0.0,
        needed,
        values,
    )


def _throttle_without_slip(values: VehicleNumbers, crawl: np.ndarray, speed: float, motion: SteadyMotion) -> float:
    """Throttle that the grade alone would take, wheels rolling: said where there is not enough grip."""
    state = motion.motion_state(np.append(crawl[:DRIVE], speed / 0.05))
    k = 1 if values.front_alone else 0
    height, loads = wheel_heights(values, state[AXLE_ROWS])[k], motion.creep.outputs(crawl, 0.0)[0]
    axle = values.axle(ENDS[k])
    torque = wheel_moment(axle, loads[k], crawl[DRIVE], height)
    return float(torque / values.stall_torque + speed / lever_of(axle, loads[k], height) / values.no_load_speed)


def _contact(
    standing: Standing, values: VehicleNumbers, state: np.ndarray, grade: float, grip_factor: float
) -> tuple[np.ndarray, np.ndarray]:
    """Tractions (N) and couples of the loads (N m) of both axles."""
    motion = VehicleMotion(values, standing.weight, standing.vehicle.wheelbase, grade, throttle=Program.constant(0.0))
    seen = motion.observe(state[:, None], np.array([[0.0], [grip_factor], [0.0]]))
    return seen["traction"][:, 0], seen["contact_couple"][:, 0]


def _on_the_brake(
    standing: Standing, values: VehicleNumbers, crawl: np.ndarray, grade: float, grip_factor: float
) -> SteadyStart:
    """Wheels held by brake and shorted motor turn a hair, and the tyres creep: both are solved for."""
    brake = values.moving.drag_brake
    needed = _grip_needed(standing, crawl, grade)
    spin, guess = 0.0, None
    for _ in range(_BRAKE_ITERATIONS):
        motion = SteadyMotion(standing.equilibrium, spin_speed=spin, grip_factor=grip_factor, free_travel=True)
        if guess is None:
            guess, share = motion.guess(crawl, grade)
            if abs(share) >= 1.0:
                return _no_grip(grade, share, needed, values, throttle=0.0)
        solution = solve(motion, guess, grade)
        if not solution.success:
            return SteadyStart(
                "start_not_held",
                f"no standstill was found at {degrees(grade):.2f} deg: {solution.message}",
                grade,
                None,
                0.0,
                brake,
                needed,
                values,
            )
        guess = solution.state
        state = motion.motion_state(guess)
        torque = drive_demand(values, state, *_contact(standing, values, state, grade, grip_factor)).torque
        if abs(torque) >= brake:
            return SteadyStart(
                "start_not_held",
                f"standing at {degrees(grade):.2f} deg takes {1e3 * abs(torque):.0f} N mm at the "
                f"wheels, the drag brake has {1e3 * brake:.0f} N mm",
                grade,
                None,
                0.0,
                brake,
                needed,
                values,
            )
        last, spin = spin, held_spin(values.stall_torque, values.no_load_speed, torque, brake)
        if abs(spin - last) < 1e-15:
            break
    return _finished(standing, values, state, grade, 0.0, brake, grip_factor, needed)


def held_spin(stall_torque: float, no_load_speed: float, torque: float, brake: float) -> float:
    """Spin at which brake and shorted motor together give -torque (Newton; rad/s)."""
    spin = -BRAKE_SPEED * atanh(torque / brake)
    for _ in range(50):
        saturation = tanh(spin / BRAKE_SPEED)
        excess = torque + stall_torque * spin / no_load_speed + brake * saturation
        slope = stall_torque / no_load_speed + brake / BRAKE_SPEED * (1.0 - saturation**2)
        spin -= excess / slope
        if abs(excess) < 1e-15 * brake:
            break
    return spin
