"""What the moving vehicle in space shows over many states, and the energy it holds."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.generated.array_space_motion import (
    OUTPUT_ROWS,
    SCRATCH_ROWS,
    axle_follows_batch,
    axle_moves_batch,
    axle_moving_seen_batch,
    chassis_moves_batch,
)
from noseload.model.generated.space_motion_order import CARRIED, LOSSES, SEEN_IN_MOTION

from .frames import axle_axes, chassis_axes, chassis_rotation

if TYPE_CHECKING:
    from noseload.model.space.motion_parameters import MotionNumbers


CARRIED_FROM = 35 + len(LOSSES)
"""Row of `axle_moves` from which on it has what CARRIED names."""
_KEPT = slice(CARRIED_FROM, CARRIED_FROM + len(CARRIED))


def _call(
    kernel: Callable, name: str, count: int, *arguments: np.ndarray | tuple[float | np.ndarray, ...]
) -> np.ndarray:
    out = np.zeros((OUTPUT_ROWS[name], count))
    kernel(*arguments, out, np.empty((SCRATCH_ROWS[name], count)))
    return out


def observe_motion(
    numbers: MotionNumbers, gravity: tuple, blocks: tuple, states: np.ndarray, controls: np.ndarray
) -> dict[str, np.ndarray]:
    """Everything to be reported of many states.

    Parameters
    ----------
    numbers : MotionNumbers
    gravity : triple of float
        In the frame, m/s2.
    blocks : tuple of float
        m.
    states : ndarray, shape (47, n)
    controls : ndarray, shape (3, n)
        Throttle, grip factor, brake torque.

    Returns
    -------
    dict of str to ndarray
        `accelerations` (21, n) of coordinates, spins and motor; `tensions` (8, n); `wheel_torque` (2, n); and (4, n)
        for every name of SEEN_IN_MOTION: rear left, rear right, front left, front right.
    """
    states = np.ascontiguousarray(states)
    count = states.shape[1]
    throttle, _, brake = controls
    ordered, axles = numbers.ordered_axles(), []
    for k, arguments in enumerate(_axle_arguments(numbers, gravity, blocks, states, controls)):
        place, speed = states[6 + 6 * k : 12 + 6 * k], states[24 + 6 * k : 30 + 6 * k]
        axles.append((_call(axle_moves_batch, "axle_moves", count, *arguments), place, speed))
    joined = [part for out, _, _ in axles for part in (out[:28], out[28:35])]
    motor = (states[38], throttle, brake)
    chassis = _call(
        chassis_moves_batch,
        "chassis_moves",
        count,
        states[0:6],
        states[18:24],
        motor,
        gravity,
        *joined,
        numbers.ordered_chassis(),
    )
    behind = [
        _call(axle_follows_batch, "axle_follows", count, chassis[:7], out[_KEPT], place, speed, ordered[k])
        for k, (out, place, speed) in enumerate(axles)
    ]
    return {
        "accelerations": np.vstack(
            [chassis[:3], chassis[7:10], behind[0][:6], behind[1][:6], behind[0][6:7], behind[1][6:7], chassis[6:7]]
        ),
        "tensions": np.vstack([behind[0][7:11], behind[1][7:11]]),
        "wheel_torque": np.vstack([behind[0][11:12], behind[1][11:12]]),
    } | observe_wheels(numbers, gravity, blocks, states, controls)


def observe_wheels(
    numbers: MotionNumbers, gravity: tuple, blocks: tuple, states: np.ndarray, controls: np.ndarray
) -> dict[str, np.ndarray]:
    """What of `observe_motion` needs no accelerations, at a fifth of its cost: (4, n) for every name of SEEN_IN_MOTION."""
    states = np.ascontiguousarray(states)
    rear, front = (
        _call(axle_moving_seen_batch, "axle_moving_seen", states.shape[1], *arguments)
        for arguments in _axle_arguments(numbers, gravity, blocks, states, controls)
    )
    return {
        SEEN_IN_MOTION[place].removeprefix("left_"): np.vstack([rear[place : place + 2], front[place : place + 2]])
        for place in range(0, len(SEEN_IN_MOTION), 2)
    }


def _axle_arguments(
    numbers: MotionNumbers, gravity: tuple, blocks: tuple, states: np.ndarray, controls: np.ndarray
) -> list[tuple]:
    """Of the kernels of rear and front axle."""
    return [
        (
            states[0:6],
            states[18:24],
            states[6 + 6 * k : 12 + 6 * k],
            states[24 + 6 * k : 30 + 6 * k],
            (states[36 + k], controls[1]),
            blocks[2 * k : 2 * k + 2],
            gravity,
            axle,
        )
        for k, axle in enumerate(numbers.ordered_axles())
    ]


def kinetic_energy(numbers: MotionNumbers, states: np.ndarray) -> np.ndarray:
    """Kinetic energy with wheels and rotor, J, shape (n,)."""
    masses, total = numbers.masses, 0.0
    columns = states.T
    for k in range(3):
        total = total + 0.5 * masses[k] * (states[18 + 6 * k : 21 + 6 * k] ** 2).sum(axis=0)
    turn = chassis_rotation(columns[:, 3:6])
    turning = np.einsum("nij,nj->ni", chassis_axes(columns[:, 3:6]), columns[:, 21:24])
    own = np.einsum("nij,ni->nj", turn, turning)
    inertias = np.array([numbers.chassis[f"{name}_inertia"] for name in ("roll", "pitch", "yaw")])
    total = total + 0.5 * (own**2 @ inertias)
    for k, axle in enumerate(numbers.axles):
        axes = axle_axes(columns[:, 9 + 6 * k : 12 + 6 * k])
        turning = np.einsum("nij,nj->ni", axes, columns[:, 27 + 6 * k : 30 + 6 * k])
        about = (turning * axes[:, :, 2]).sum(axis=1)
        across = (turning**2).sum(axis=1) - about**2
        total = total + 0.5 * (axle["roll_inertia"] * across + axle["pitch_inertia"] * about**2)
        total = total + 0.5 * axle["wheels_inertia"] * states[36 + k] ** 2
    return total + 0.5 * numbers.chassis["rotor_inertia"] * states[38] ** 2


def stored_energy(
    numbers: MotionNumbers, gravity: tuple[float, float, float], states: np.ndarray, seen: dict[str, np.ndarray]
) -> np.ndarray:
    """Kinetic and potential energy with springs, stops and tyres, J, shape (n,)."""
    total = kinetic_energy(numbers, states)
    for k, mass in enumerate(numbers.masses):
        total = total - mass * (np.array(gravity) @ states[6 * k : 6 * k + 3])
    for wheel in range(4):
        values = numbers.axles[wheel // 2]
        length = seen["shock_length"][wheel]
        short = values["free_length"] - length
        short = short + (1.0 - values["spring_held"]) * np.maximum(-short, 0.0)
        over = np.maximum(length - values["longest"], 0.0)
        under = np.maximum(values["shortest"] - length, 0.0)
        depth = np.maximum(seen["depth"][wheel], 0.0)
        total = total + 0.5 * (
            values["spring_rate"] * short**2
            + values["stop_stiffness"] * (over**2 + under**2)
            + values["tyre_stiffness"] * depth**2
        )
    return total
