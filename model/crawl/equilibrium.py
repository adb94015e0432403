"""The quasi-static vehicle as equations to be solved: creep on a grade, and the standing pose.

Unknowns of creep, in order: chassis z and theta, axle x, z, theta (rear, front), four link
tensions, total traction. The chassis centre of gravity has x = 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import cos, sin
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.generated.scalar_creep import creep, creep_outputs
from noseload.model.packed import packed
from noseload.model.parameters import AT_REST, ENDS, LINKS, POSITION, axle_of, rigid_centre_of_gravity, wheel_height
from noseload.model.units import STANDARD_GRAVITY

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.model.vehicle import Vehicle


POSE = ("chassis_z", "chassis_theta", "rear_x", "rear_z", "rear_theta", "front_x", "front_z", "front_theta")
TENSIONS = tuple(f"{end}_{link}" for end in ENDS for link in LINKS)
UNKNOWNS = (*POSE, *TENSIONS, "traction")
EQUATIONS = (
    *(
        f"{body} {balance}"
        for body in ("chassis", "rear axle", "front axle")
        for balance in ("force balance along the slope", "force balance across the slope", "moment balance")
    ),
    *(f"{name.replace('_', ' ')} length" for name in TENSIONS),
)
OUTPUTS = ("rear_load", "front_load", "rear_traction", "front_traction", "rear_shock_length", "front_shock_length")
N = len(UNKNOWNS)
POSE_SIZE = len(POSE)
DRIVE = UNKNOWNS.index("traction")
"""Place of the last unknown: the traction, or what stands for it where wheels slip."""
AXLE_POSES = slice(POSE.index("rear_x"), POSE_SIZE)
SHOCKS = OUTPUTS.index("rear_shock_length")
"""Place of the first shock length among the outputs."""
POSE_ROWS = slice(1, 1 + POSE_SIZE)
"""Balances along the coordinates of the pose: the first equation is along the slope, where the vehicle is free."""
FREE_LENGTHS = tuple(POSITION[f"{end}_free_length"] for end in ENDS)
"""Places of the free shock lengths in kernel order, rear and front."""
HELD = tuple(POSITION[f"{end}_spring_held"] for end in ENDS)
"""Places of the switches that let a coil pull, rear and front."""
ANGLE_STEP = 0.15
LENGTH_STEP = 0.015
LARGEST_PITCH = 1.2
"""Chassis pitch relative to the slope beyond which a pose is not taken for a climb, rad."""
LARGEST_AXLE_TURN = 1.5
"""Pitch of an axle's housing beyond which it has turned over, rad."""
LARGEST_GRADE = 1.56


class CreepEquilibrium:
    """Creep of one vehicle over grade (the parameter, rad).

    Parameters
    ----------
    values : VehicleNumbers
        `noseload.model.parameters.kernel_parameters`.
    weight, wheelbase : float
        N and m; they scale equations and unknowns.
    """

    names = UNKNOWNS
    equation_names = EQUATIONS

    def __init__(self, values: VehicleNumbers, weight: float, wheelbase: float) -> None:
        self.values = values
        self.parameters = values.in_order()
        self.weight, self.wheelbase = weight, wheelbase
        length, angle = 0.1 * wheelbase, 0.3
        self.scales = np.array([length, angle] + [length, length, angle] * 2 + [weight] * 5)
        moment = weight * wheelbase
        self.residual_scales = np.array([weight, weight, moment] * 3 + [wheelbase] * 4)
        reach = LENGTH_STEP * wheelbase / 0.3
        limits = [reach, ANGLE_STEP] + [reach, reach, ANGLE_STEP] * 2
        self.step_limits = np.array(limits + [np.inf] * 5)

    def evaluate(
        self, state: np.ndarray, parameter: float, numbers: Sequence[float] | None = None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Residual (13) and Jacobian (13, 14), the last column by the grade; `numbers` in place of the vehicle's own."""
        try:
            flat = packed(creep(state.tolist(), parameter, numbers or self.parameters))
        except (ZeroDivisionError, OverflowError):
            flat = np.full(N * (N + 2), np.nan)
        return flat[:N], flat[N:].reshape(N, N + 1)

    def outputs(
        self, state: np.ndarray, parameter: float, numbers: Sequence[float] | None = None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Loads, tractions (N) and shock lengths (m) as in OUTPUTS (6), and their Jacobian (6, 14); `numbers` as there."""
        try:
            flat = packed(creep_outputs(state.tolist(), parameter, numbers or self.parameters))
        except (ZeroDivisionError, OverflowError):
            flat = np.full(6 * (N + 2), np.nan)
        return flat[:6], flat[6:].reshape(6, N + 1)

    def reduced_stiffness(self, jacobian: np.ndarray) -> np.ndarray:
        """Stiffness of the four motions that the links leave free, shape (4, 4).

        Parameters
        ----------
        jacobian : ndarray, shape (13, 14)
            At an equilibrium on the level, where the vehicle is conservative.
        """
        links = jacobian[N - len(TENSIONS) :, :POSE_SIZE]
        free = np.linalg.svd(links)[2][len(links) :]
        return -free @ jacobian[POSE_ROWS, :POSE_SIZE] @ free.T

    @cached_property
    def _couplers(self) -> tuple:
        """Of each end: where its axle's pose begins, chassis end and axle end of the lower link, axle end of the upper one."""
        axles = [(k, self.values.axle(end)) for end, k in zip(ENDS, (2, 5), strict=True)]
        parts = ("lower_link_chassis", "lower_link_axle", "upper_link_axle")
        return tuple((k, *(axle.point(part) for part in parts)) for k, axle in axles)

    def coupler_signs(self, state: np.ndarray) -> list:
        """Sign of lower link x axle coupler at each end: it tells the assembly branch."""
        height, pitch, *_ = pose = state.tolist()
        signs = []
        for k, chassis, lower, upper in self._couplers:
            x, z = _rotated(pitch, *chassis)
            ends = (_rotated(pose[k + 2], *end) for end in (lower, upper))
            signs.append(_cross((x, z + height), *((ahead + pose[k], up + pose[k + 1]) for ahead, up in ends)))
        return signs

    def use_branch_of(self, state: np.ndarray) -> CreepEquilibrium:
        """Remember the assembly branch of a known good pose."""
        self._branch = self.coupler_signs(state)
        return self

    def take_branch_of(self, other: CreepEquilibrium) -> CreepEquilibrium:
        """Take over the branch another equilibrium of the same vehicle remembers."""
        self._branch = other._branch
        return self

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """None, or why this pose is not the vehicle's."""
        if abs(state[1]) > LARGEST_PITCH:
            return (
                f"chassis pitch {np.degrees(-state[1]):.1f} deg relative to the slope is outside "
                f"+-{np.degrees(LARGEST_PITCH):.0f} deg"
            )
        if abs(parameter) > LARGEST_GRADE:
            return f"grade {np.degrees(parameter):.1f} deg is outside +-{np.degrees(LARGEST_GRADE):.0f} deg"
        for end, angle in zip(ENDS, (state[4], state[7]), strict=True):
            if abs(angle) > LARGEST_AXLE_TURN:
                return f"the {end} axle has turned over, by {abs(np.degrees(angle)):.0f} deg"
        for end, now, was in zip(ENDS, self.coupler_signs(state), self._branch, strict=True):
            if now * was <= 0.0:
                return f"the {end} links and axle are assembled on the other branch (the axle has turned over)"
        return None


def _cross(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    """Twice the signed area of the triangle a, b, c."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _rotated(theta: float, x: float, z: float) -> tuple[float, float]:
    s, c = sin(theta), cos(theta)
    return x * c + z * s, z * c - x * s


def resting_pose(vehicle: Vehicle, values: VehicleNumbers) -> np.ndarray:
    """Start for the standing solve: the measured pose sunk rigidly into the tyres, shape (13, ...)."""
    x, z = vehicle.body.centre_of_gravity
    weight, wheelbase = vehicle_scales(vehicle)
    front_share = rigid_centre_of_gravity(vehicle)[0] / wheelbase
    heights = [
        values.axle(end).tyre_radius - share * weight / values.axle(end).tyre_stiffness
        for end, share in zip(ENDS, (1.0 - front_share, front_share), strict=True)
    ]
    rear_sink, front_sink = (wheel_height(axle_of(vehicle, end)) - h for end, h in zip(ENDS, heights, strict=True))
    theta = (front_sink - rear_sink) / wheelbase
    pose = [z - rear_sink - theta * x, theta]
    for end, place, height in zip(ENDS, (0.0, wheelbase), heights, strict=True):
        dx, dz = axle_of(vehicle, end).centre_of_gravity_offset
        pose += [place - x + dx, height + dz, theta]
    return np.array(np.broadcast_arrays(*pose, *[0.0] * 5))


class StandingEquilibrium:
    """Level standing with unknown free shock lengths: creep at grade 0 plus two conditions.

    Each end holds its shock at the measured length, or has its free length given; or both conditions
    hold the chassis where it stood before (ride height reset). The parameter is not used.

    Parameters
    ----------
    creep : CreepEquilibrium
    shock_lengths : pair of float
        Measured lengths, m; rear, front.
    free_lengths : pair of float or None
        Given free lengths, m; None where the measured length decides.
    chassis_pose : pair of float, or None
        z (m) of the chassis centre of gravity and theta (rad), in place of the conditions above.
    """

    names = (*UNKNOWNS, "rear_free_length", "front_free_length")
    equation_names = (*EQUATIONS, "rear standing condition", "front standing condition")

    def __init__(
        self,
        creep: CreepEquilibrium,
        *,
        shock_lengths: tuple[float, float],
        free_lengths: tuple[float | None, float | None] = (None, None),
        chassis_pose: np.ndarray | None = None,
    ) -> None:
        self.creep, self.chassis_pose = creep, chassis_pose
        self.shock_lengths, self.free_lengths = shock_lengths, free_lengths
        self._numbers = creep.values.with_values(AT_REST).in_order()
        # A loose coil would have no slope by its free length: what it carries is found first, judged in `accept`.
        self._sought = tuple(chassis_pose is not None or free is None for free in free_lengths)
        length = 0.1 * creep.wheelbase
        self.scales = np.append(creep.scales, [length, length])
        self.residual_scales = np.append(creep.residual_scales, [creep.wheelbase] * 2)
        self.step_limits = np.append(creep.step_limits, [np.inf] * 2)

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (15) and Jacobian (15, 16)."""
        creep = self.creep
        numbers = list(self._numbers)
        for place, free_length in zip(FREE_LENGTHS, state[N:].tolist(), strict=True):
            numbers[place] = free_length
        for place, sought in zip(HELD, self._sought, strict=True):
            if sought:
                numbers[place] = 1.0
        residual, jacobian = creep.evaluate(state[:N], 0.0, numbers)
        outputs, slopes = creep.outputs(state[:N], 0.0, numbers)
        whole = np.zeros((N + 2, N + 3))
        whole[:N, :N] = jacobian[:, :N]
        conditions = np.empty(2)
        for k, end in enumerate(ENDS):
            # The shock's push is k (l_free - l), along the gradient of its length.
            rate = creep.values.axle(end).spring_rate
            slope = slopes[SHOCKS + k]
            whole[POSE_ROWS, N + k] = rate * slope[:POSE_SIZE]
            whole[0, N + k] = -rate * sum(slope[POSE.index(f"{axle}_x")] for axle in ENDS)
            if self.chassis_pose is not None:
                conditions[k] = state[k] - self.chassis_pose[k]
                whole[N + k, k] = 1.0
            elif self.free_lengths[k] is not None:
                conditions[k] = state[N + k] - self.free_lengths[k]
                whole[N + k, N + k] = 1.0
            else:
                conditions[k] = outputs[4 + k] - self.shock_lengths[k]
                whole[N + k, :N] = slopes[4 + k, :N]
        return np.append(residual, conditions), whole

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """As creep, and the free lengths must be lengths of coils that push."""
        lengths = self.creep.outputs(state[:N], 0.0)[0][4:]
        for k, (end, free_length) in enumerate(zip(ENDS, state[N:], strict=True)):
            if self._sought[k] and free_length < lengths[k] and not self.creep.values.axle(end).spring_held:
                return (
                    f"the {end} coils would have to pull, by {1e3 * (lengths[k] - free_length):.1f} mm, to hold this "
                    f"ride height; write {end}.shock.spring_held = true where both ends of them are fixed"
                )
            if free_length <= 0.0:
                return (
                    f"the {end} spring would need a free length of {1e3 * free_length:.1f} mm to hold this ride height"
                )
        return self.creep.accept(state[:N], 0.0)


def vehicle_scales(vehicle: Vehicle) -> tuple:
    """Weight (N) and wheelbase (m), which make equations comparable."""
    return vehicle.mass * STANDARD_GRAVITY, vehicle.wheelbase
