"""Steady motion under the traction law: where a punch starts from, with the throttle that holds it.

Unlike creep this is no limit: at the travel speed every acceleration is zero under the very equations
of motion. On the drag brake the wheels stand (nearly) still and the vehicle creeps down by slip.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import atanh, cos, isfinite, sin, tanh
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.generated.scalar_steady import steady
from noseload.model.motion.rows import ALONG, ALONG_SPEEDS, AXLE_ROWS, SIZE, SPIN_ROWS
from noseload.model.packed import packed
from noseload.model.parameters import ENDS

from .equilibrium import AXLE_POSES, DRIVE, POSE_SIZE, CreepEquilibrium, N
from .geometry import wheel_centre, wheel_heights
from .rolling import free_drag, free_spin, rolling_radius, slip_scale

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


LARGEST_SATURATION = 0.999999
"""Share of the grip that a starting guess may use."""


class SteadyMotion:
    """Equations of steady motion of one vehicle, as an equilibrium for a Newton solver.

    The unknowns are those of creep with the spin of the driven wheels (rad/s) in place of the total
    traction; with `free_travel` instead the travel speed (m/s), at a given spin. The parameter is the grade.

    Parameters
    ----------
    creep : CreepEquilibrium
        Of the same vehicle, its branch set; free shock lengths solved.
    travel_speed, spin_speed : float
        m/s and rad/s; the one that is unknown is not used.
    grip_factor : float
    free_travel : bool
    """

    equation_names = CreepEquilibrium.equation_names

    def __init__(
        self,
        creep: CreepEquilibrium,
        *,
        travel_speed: float = 0.0,
        spin_speed: float = 0.0,
        grip_factor: float = 1.0,
        free_travel: bool = False,
    ) -> None:
        self.creep = creep
        self.parameters = tuple(map(float, creep.values.in_order()))
        self.travel_speed, self.spin_speed = float(travel_speed), float(spin_speed)
        self.grip_factor, self.free_travel = float(grip_factor), free_travel
        self.names = (*creep.names[:DRIVE], "travel speed" if free_travel else "spin speed")
        self.residual_scales = creep.residual_scales
        self.scales = np.append(creep.scales[:DRIVE], 0.1 if free_travel else 1.0)
        self.step_limits = np.append(creep.step_limits[:DRIVE], 0.1 if free_travel else 1.0)

    def with_overdrive(self, spin_ratio: float) -> SteadyMotion:
        """The same equations at another overdrive, for a continuation in it."""
        creep = CreepEquilibrium(
            self.creep.values.with_values({"spin_ratio": spin_ratio}), self.creep.weight, self.creep.wheelbase
        )
        return SteadyMotion(
            creep.take_branch_of(self.creep),
            travel_speed=self.travel_speed,
            spin_speed=self.spin_speed,
            grip_factor=self.grip_factor,
            free_travel=self.free_travel,
        )

    def _unknowns(self, state: np.ndarray) -> tuple:
        y = state.tolist()
        return (*y[:DRIVE], self.spin_speed, y[DRIVE]) if self.free_travel else (*y, self.travel_speed)

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (13) and Jacobian (13, 14); the last column by the grade."""
        try:
            flat = packed(steady(self._unknowns(state), self.grip_factor, parameter, self.parameters))
        except (ZeroDivisionError, OverflowError):
            flat = np.full(N * (N + 2), np.nan)
        jacobian = flat[N:].reshape(N, N + 1)
        if self.free_travel:
            jacobian[:, DRIVE] = jacobian[:, N]
        # Only the weights turn with the grade, and they act at the body origins.
        jacobian[:, N] = cos(parameter) * self._weights[0] + sin(parameter) * self._weights[1]
        return flat[:N], jacobian

    @cached_property
    def _weights(self) -> np.ndarray:
        """Slopes of the residual by the grade, those that go with its cosine and those that go with its sine, shape (2, 13)."""
        v, found = self.creep.values, np.zeros((2, N))
        for row, body in ((0, "chassis"), (3, "rear"), (6, "front")):
            weight = v.mass_of(body) * v.gravity
            found[0, row], found[1, row + 1] = -weight, weight
        return found

    def outputs(self, state: np.ndarray, grade: float) -> tuple[np.ndarray, None]:
        """Loads, tractions (N) and shock lengths (m) in the order of creep's outputs, shape (6,); and None."""
        values = self.creep.outputs(np.append(state[:DRIVE], 0.0), grade)[0].copy()
        v = self.creep.values
        *_, spin, travel = self._unknowns(state)
        for k, (end, ratio) in enumerate(zip(ENDS, (1.0, v.spin_ratio), strict=True)):
            axle, height = v.axle(end), wheel_heights(v, state[AXLE_POSES])[k]
            if not axle.driven:
                sense = free_spin(axle, values[k], height, travel, self.grip_factor)[1]
                values[2 + k] = free_drag(axle, values[k], height, sense)
                continue
            slip = ratio * spin * rolling_radius(axle, height) - travel
            scale = slip_scale(axle, values[k], travel)
            values[2 + k] = axle.grip * self.grip_factor * values[k] * tanh(slip / scale)
        return values, None

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """As creep: pose within bounds and on its branch."""
        return self.creep.accept(state, parameter)

    def guess(self, creep_state: np.ndarray, grade: float) -> tuple[np.ndarray, float]:
        """Start from a creep state (13): the slip that gives creep's traction at its loads.

        Returns
        -------
        state : ndarray, shape (13,)
        grip_needed : float
            Share of all grip that creep uses there, sign of the traction kept.
        """
        outputs, _ = self.creep.outputs(creep_state, grade)
        v = self.creep.values
        available = sum(
            v.axle(end).driven * v.axle(end).grip * self.grip_factor * outputs[k] for k, end in enumerate(ENDS)
        )
        share = float(creep_state[DRIVE] / available) if available > 0.0 else float("inf")
        bounded = min(max(share, -LARGEST_SATURATION), LARGEST_SATURATION) if isfinite(share) else LARGEST_SATURATION
        end = "rear" if v.rear.driven else "front"
        k = ENDS.index(end)
        scale = slip_scale(v.axle(end), outputs[k], 0.0 if self.free_travel else self.travel_speed)
        arm = float(rolling_radius(v.axle(end), wheel_heights(v, creep_state[AXLE_POSES])[k]))
        if self.free_travel:
            last = self.spin_speed * arm - atanh(bounded) * scale
        else:
            last = (self.travel_speed + atanh(bounded) * scale) / arm
        return np.append(creep_state[:DRIVE], last), share

    def motion_state(self, state: np.ndarray) -> np.ndarray:
        """State of `noseload.model.motion.vehicle_motion` (28) in this steady motion; the rear wheel centre starts at x = 0."""
        v = self.creep.values
        travel = float(state[DRIVE]) if self.free_travel else self.travel_speed
        spin = self.spin_speed if self.free_travel else float(state[DRIVE])
        loads = self.creep.outputs(np.append(state[:DRIVE], 0.0), 0.0)[0][:2]
        whole = np.zeros(SIZE)
        whole[1 : 1 + POSE_SIZE] = state[:POSE_SIZE]
        whole[ALONG] -= wheel_centre(v.rear, *state[AXLE_POSES][:3])[0]
        whole[ALONG_SPEEDS] = travel
        for k, (end, ratio) in enumerate((("rear", 1.0), ("front", v.spin_ratio))):
            rolling = free_spin(
                v.axle(end), loads[k], wheel_heights(v, state[AXLE_POSES])[k], travel, self.grip_factor
            )[0]
            whole[SPIN_ROWS.start + k] = ratio * spin if v.axle(end).driven else rolling
        return whole


@dataclass(frozen=True)
class DriveDemand:
    """What holding a steady motion takes: torque at the motor's spin (N m) and the throttle giving it."""

    torque: float
    throttle: float


def drive_demand(
    values: VehicleNumbers, state: np.ndarray, tractions: np.ndarray, couples: np.ndarray, brake: float = 0.0
) -> DriveDemand:
    """Motor torque and throttle that keep a state of `noseload.model.motion.vehicle_motion` steady.

    Parameters
    ----------
    tractions : pair of float
        N.
    couples : pair of float
        Moment of each axle's load about the point below its wheel centre, N m.
    """
    moments = [
        traction * height + couple
        for traction, height, couple in zip(tractions, wheel_heights(values, state[AXLE_ROWS]), couples, strict=True)
    ]
    if values.geared:
        torque = moments[0] + values.spin_ratio * moments[1]
    else:
        torque = moments[0] * values.rear.motor + moments[1] * values.front.motor
    spin = values.rear.motor * state[18] + values.front.motor * state[19]
    torque = float(torque + brake)
    return DriveDemand(torque, float(torque / values.stall_torque + spin / values.no_load_speed))
