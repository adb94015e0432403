"""Slopes of the accelerations of the moving vehicle in space, exact: linearised balances and constraints, solved.

At given accelerations a and multipliers the balances ``f + G^T lambda - M a = 0`` and ``gamma - G a = 0`` are
differentiated by the state; the accelerations of the coordinates and the multipliers follow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.generated.scalar_space_tangent import axle_tangent, chassis_tangent

from .constraints import ROWS, axes_of
from .rows import (
    AXLE_RATES,
    AXLE_ROWS,
    BODY_ANGLE_RATES,
    BODY_ANGLES,
    BODY_PLACES,
    CHASSIS_RATES,
    CHASSIS_ROWS,
    MOTOR,
    MOVING,
    SPEED_COUNT,
    SPEED_MOTOR,
    SPEED_SPINS,
    SPINS,
)

if TYPE_CHECKING:
    from noseload.model.space.motion_parameters import MotionNumbers


def motion_slopes(
    numbers: MotionNumbers,
    y: list[float],
    accelerations: tuple[float, ...],
    multipliers: tuple[tuple[float, ...], tuple[float, ...]],
    matrix: np.ndarray,
    grip: float,
    brake: float,
    blocks: tuple,
    gravity: tuple[float, float, float],
) -> np.ndarray:
    """Derivatives (21, 39) of accelerations of coordinates, spins and motor by coordinates and speeds.

    Parameters
    ----------
    numbers : MotionNumbers
    y : list of float
        State.
    accelerations : sequence of float
        Of coordinates (18), spins and motor (3).
    multipliers : pair of sequence of float
        Tensions and wheel torque, rear and front.
    matrix : ndarray, shape (10, 21)
        Rows of the constraints on the speeds in the frame.
    grip, brake : float
        Factor on the grip, and drag brake, N m.
    blocks, gravity : tuple of float
    """
    chassis, up = numbers.ordered_chassis(), [float(value) for value in accelerations]
    axes, turn = axes_of(y)
    right = np.zeros((SPEED_COUNT + ROWS, MOVING))
    balance = np.zeros((SPEED_COUNT + ROWS, SPEED_COUNT + ROWS))
    own = np.array(chassis_tangent(y[CHASSIS_ROWS], y[CHASSIS_RATES], up[CHASSIS_ROWS], chassis)).reshape(3, 6)
    place, turned = BODY_PLACES[0], BODY_ANGLES[0]
    right[turned, turned], right[turned, BODY_ANGLE_RATES[0]] = own[:, :3], own[:, 3:]
    inertias = np.array([numbers.chassis[f"{name}_inertia"] for name in ("roll", "pitch", "yaw")])
    balance[place, place] = numbers.chassis["mass"] * np.eye(3)
    balance[turned, turned] = (turn * inertias) @ turn.T @ axes[0]
    for k, axle in enumerate(numbers.axles):
        own_rows, fast = AXLE_ROWS[k], AXLE_RATES[k]
        flat = axle_tangent(
            y[CHASSIS_ROWS],
            y[CHASSIS_RATES],
            y[own_rows],
            y[fast],
            (y[SPINS[k]], grip),
            blocks[2 * k : 2 * k + 2],
            gravity,
            (*up[CHASSIS_ROWS], up[SPEED_MOTOR]),
            (*up[own_rows], up[SPEED_SPINS[k]]),
            multipliers[k],
            numbers.ordered_axles()[k],
        )
        slopes = np.array(flat).reshape(18, 25)
        rows = np.r_[CHASSIS_ROWS, own_rows, SPEED_SPINS[k], SPEED_COUNT + 5 * k : SPEED_COUNT + 5 * k + 5]
        columns = np.r_[CHASSIS_ROWS, own_rows, CHASSIS_RATES, fast, SPINS[k]]
        right[np.ix_(rows, columns)] += slopes
        place, turned = BODY_PLACES[1 + k], BODY_ANGLES[1 + k]
        balance[place, place] = axle["mass"] * np.eye(3)
        axis = axes[1 + k][:, 2]
        inertia = axle["roll_inertia"] * np.eye(3) + (axle["pitch_inertia"] - axle["roll_inertia"]) * np.outer(
            axis, axis
        )
        balance[turned, turned] = inertia @ axes[1 + k]
        balance[SPEED_SPINS[k], SPEED_SPINS[k]] = axle["wheels_inertia"]
    balance[SPEED_MOTOR, SPEED_MOTOR] = numbers.chassis["rotor_inertia"]
    falls = numbers.chassis["brake_speed"]
    steep = 1.0 - np.tanh(y[MOTOR] / falls) ** 2
    right[SPEED_MOTOR, MOTOR] = (
        -numbers.chassis["stall_torque"] / numbers.chassis["no_load_speed"] - brake / falls * steep
    )
    whole = np.eye(SPEED_COUNT)
    for turned, block in zip(BODY_ANGLES, axes, strict=True):
        whole[turned, turned] = block
    balance[:SPEED_COUNT, SPEED_COUNT:] = -matrix.T
    balance[SPEED_COUNT:, :SPEED_COUNT] = matrix @ whole
    for k, axle in enumerate(numbers.axles):
        last = SPEED_COUNT + 5 * k + 4
        balance[last, last] = 1.0 - axle["driven"]
    return np.linalg.solve(balance, right)[:SPEED_COUNT]
