"""What the moving vehicle in space shows over many states, and the energy it holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.batch.kernels import evaluated_once
from noseload.model.generated import array_space_motion
from noseload.model.generated.space_motion_order import ROWS, SEEN_IN_MOTION

from .frames import axle_axes, chassis_axes, chassis_rotation
from .rows import (
    AXLE_RATES,
    AXLE_ROWS,
    BODY_ANGLE_RATES,
    BODY_ANGLES,
    BODY_PLACES,
    BODY_VELOCITIES,
    CHASSIS_RATES,
    CHASSIS_ROWS,
    MOTOR,
    SPINS,
)

if TYPE_CHECKING:
    from noseload.model.space.motion_parameters import MotionNumbers


_JOINED, _PUSHED, _KEPT = (ROWS["axle_moves"][part] for part in ("joined", "pushed", "carried"))
_PARTS, _ANGLES = (ROWS["chassis_moves"][part] for part in ("accelerations", "angles"))
_FOLLOWED, _SPIN, _TENSIONS, _TORQUE = ROWS["axle_follows"].values()


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
        place, speed = states[AXLE_ROWS[k]], states[AXLE_RATES[k]]
        axles.append((evaluated_once(array_space_motion, "axle_moves", count, *arguments), place, speed))
    joined = [part for out, _, _ in axles for part in (out[_JOINED], out[_PUSHED])]
    motor = (states[MOTOR], throttle, brake)
    chassis = evaluated_once(
        array_space_motion,
        "chassis_moves",
        count,
        states[CHASSIS_ROWS],
        states[CHASSIS_RATES],
        motor,
        gravity,
        *joined,
        numbers.ordered_chassis(),
    )
    behind = [
        evaluated_once(array_space_motion, "axle_follows", count, chassis[_PARTS], out[_KEPT], place, speed, ordered[k])
        for k, (out, place, speed) in enumerate(axles)
    ]
    return {
        "accelerations": np.vstack(
            [
                chassis[BODY_PLACES[0]],
                chassis[_ANGLES],
                *(out[_FOLLOWED] for out in behind),
                *(out[_SPIN] for out in behind),
                chassis[_PARTS][-1:],
            ]
        ),
        "tensions": np.vstack([out[_TENSIONS] for out in behind]),
        "wheel_torque": np.vstack([out[_TORQUE] for out in behind]),
    } | observe_wheels(numbers, gravity, blocks, states, controls)


def observe_wheels(
    numbers: MotionNumbers, gravity: tuple, blocks: tuple, states: np.ndarray, controls: np.ndarray
) -> dict[str, np.ndarray]:
    """What of `observe_motion` needs no accelerations, at a fifth of its cost: (4, n) for every name of SEEN_IN_MOTION."""
    states = np.ascontiguousarray(states)
    rear, front = (
        evaluated_once(array_space_motion, "axle_moving_seen", states.shape[1], *arguments)
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
            states[CHASSIS_ROWS],
            states[CHASSIS_RATES],
            states[AXLE_ROWS[k]],
            states[AXLE_RATES[k]],
            (states[SPINS[k]], controls[1]),
            blocks[2 * k : 2 * k + 2],
            gravity,
            axle,
        )
        for k, axle in enumerate(numbers.ordered_axles())
    ]


def kinetic_energy(numbers: MotionNumbers, states: np.ndarray) -> np.ndarray:
    """Kinetic energy with wheels and rotor, J, shape (n,)."""
    columns, total = states.T, 0.0
    for mass, velocity in zip(numbers.masses, BODY_VELOCITIES, strict=True):
        total = total + 0.5 * mass * (states[velocity] ** 2).sum(axis=0)
    (angles, *axle_angles), (rates, *axle_rates) = (
        [columns[:, rows] for rows in bodies] for bodies in (BODY_ANGLES, BODY_ANGLE_RATES)
    )
    turn = chassis_rotation(angles)
    turning = np.einsum("nij,nj->ni", chassis_axes(angles), rates)
    own = np.einsum("nij,ni->nj", turn, turning)
    inertias = np.array([numbers.chassis[f"{name}_inertia"] for name in ("roll", "pitch", "yaw")])
    total = total + 0.5 * (own**2 @ inertias)
    for k, axle in enumerate(numbers.axles):
        axes = axle_axes(axle_angles[k])
        turning = np.einsum("nij,nj->ni", axes, axle_rates[k])
        about = (turning * axes[:, :, 2]).sum(axis=1)
        across = (turning**2).sum(axis=1) - about**2
        total = total + 0.5 * (axle["roll_inertia"] * across + axle["pitch_inertia"] * about**2)
        total = total + 0.5 * axle["wheels_inertia"] * states[SPINS[k]] ** 2
    return total + 0.5 * numbers.chassis["rotor_inertia"] * states[MOTOR] ** 2


def stored_energy(
    numbers: MotionNumbers, gravity: tuple[float, float, float], states: np.ndarray, seen: dict[str, np.ndarray]
) -> np.ndarray:
    """Kinetic and potential energy with springs, stops and tyres, J, shape (n,)."""
    total = kinetic_energy(numbers, states)
    for mass, place in zip(numbers.masses, BODY_PLACES, strict=True):
        total = total - mass * (np.array(gravity) @ states[place])
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
