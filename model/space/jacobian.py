"""Slopes of the accelerations of the moving vehicle in space, exact: linearised balances and constraints, solved.

At given accelerations a and multipliers the balances ``f + G^T lambda - M a = 0`` and ``gamma - G a = 0`` are
differentiated by the state; the accelerations of the coordinates and the multipliers follow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.generated.scalar_space_tangent import axle_tangent, chassis_tangent

from .constraints import ROWS, SPEEDS, axes_of

if TYPE_CHECKING:
    from noseload.model.space.motion_parameters import MotionNumbers


STATES = 18 + SPEEDS
"""Coordinates, their rates, spins and motor speed."""


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
    right = np.zeros((SPEEDS + ROWS, STATES))
    balance = np.zeros((SPEEDS + ROWS, SPEEDS + ROWS))
    own = np.array(chassis_tangent(y[0:6], y[18:24], up[:6], chassis)).reshape(3, 6)
    right[3:6, 3:6], right[3:6, 21:24] = own[:, :3], own[:, 3:]
    inertias = np.array([numbers.chassis[f"{name}_inertia"] for name in ("roll", "pitch", "yaw")])
    balance[0:3, 0:3] = numbers.chassis["mass"] * np.eye(3)
    balance[3:6, 3:6] = (turn * inertias) @ turn.T @ axes[0]
    for k, axle in enumerate(numbers.axles):
        place, fast = 6 + 6 * k, 24 + 6 * k
        flat = axle_tangent(
            y[0:6],
            y[18:24],
            y[place : place + 6],
            y[fast : fast + 6],
            (y[36 + k], grip),
            blocks[2 * k : 2 * k + 2],
            gravity,
            (*up[:6], up[20]),
            (*up[place : place + 6], up[18 + k]),
            multipliers[k],
            numbers.ordered_axles()[k],
        )
        slopes = np.array(flat).reshape(18, 25)
        rows = np.r_[0:6, place : place + 6, 18 + k, SPEEDS + 5 * k : SPEEDS + 5 * k + 5]
        columns = np.r_[0:6, place : place + 6, 18:24, fast : fast + 6, 36 + k]
        right[np.ix_(rows, columns)] += slopes
        balance[place : place + 3, place : place + 3] = axle["mass"] * np.eye(3)
        axis = axes[1 + k][:, 2]
        inertia = axle["roll_inertia"] * np.eye(3) + (axle["pitch_inertia"] - axle["roll_inertia"]) * np.outer(
            axis, axis
        )
        balance[place + 3 : place + 6, place + 3 : place + 6] = inertia @ axes[1 + k]
        balance[18 + k, 18 + k] = axle["wheels_inertia"]
    balance[20, 20] = numbers.chassis["rotor_inertia"]
    falls = numbers.chassis["brake_speed"]
    steep = 1.0 - np.tanh(y[38] / falls) ** 2
    right[20, 38] = -numbers.chassis["stall_torque"] / numbers.chassis["no_load_speed"] - brake / falls * steep
    turned = np.eye(SPEEDS)
    for place, block in zip((3, 9, 15), axes, strict=True):
        turned[place : place + 3, place : place + 3] = block
    balance[:SPEEDS, SPEEDS:] = -matrix.T
    balance[SPEEDS:, :SPEEDS] = matrix @ turned
    for k, axle in enumerate(numbers.axles):
        last = SPEEDS + 5 * k + 4
        balance[last, last] = 1.0 - axle["driven"]
    return np.linalg.solve(balance, right)[:SPEEDS]
