"""Rotations and speeds of bodies in space between angles and the frame, for one state or many.

Chassis: turns Rz(heading) Ry(pitch) Rx(roll); axles: Rz(heading) Rx(roll) Ry(pitch). Angular velocity in the frame is
``E rates``, with the axes of the turns as columns of E. Arrays have the body's three numbers last and cases before.
"""

import numpy as np


def chassis_axes(angles: np.ndarray) -> np.ndarray:
    """Axes of heading, pitch and roll of the chassis as columns, shape (..., 3, 3)."""
    heading, pitch = angles[..., 0], angles[..., 1]
    ch, sh, cp, sp = np.cos(heading), np.sin(heading), np.cos(pitch), np.sin(pitch)
    zero, one = np.zeros_like(ch), np.ones_like(ch)
    return _columns((zero, zero, one), (-sh, ch, zero), (ch * cp, sh * cp, -sp))


def axle_axes(angles: np.ndarray) -> np.ndarray:
    """Axes of heading, roll and pitch of an axle as columns, shape (..., 3, 3); the last is the wheels' axis."""
    heading, roll = angles[..., 0], angles[..., 1]
    ch, sh, cr, sr = np.cos(heading), np.sin(heading), np.cos(roll), np.sin(roll)
    zero, one = np.zeros_like(ch), np.ones_like(ch)
    return _columns((zero, zero, one), (ch, sh, zero), (-sh * cr, ch * cr, sr))


def chassis_rotation(angles: np.ndarray) -> np.ndarray:
    """Rotation of the chassis, shape (..., 3, 3): body axes in the frame as columns."""
    forward = chassis_axes(angles)[..., 2]
    heading, roll = angles[..., 0], angles[..., 2]
    level = np.stack([-np.sin(heading), np.cos(heading), np.zeros_like(heading)], axis=-1)
    up = np.cross(forward, level)
    cosine, sine = np.cos(roll)[..., None], np.sin(roll)[..., None]
    return np.stack([forward, level * cosine + up * sine, up * cosine - level * sine], axis=-1)


def axle_rotation(angles: np.ndarray) -> np.ndarray:
    """Rotation of an axle, shape (..., 3, 3)."""
    axes = axle_axes(angles)
    level, left = axes[..., 1], axes[..., 2]
    up = np.cross(level, left)
    cosine, sine = np.cos(angles[..., 2])[..., None], np.sin(angles[..., 2])[..., None]
    return np.stack([level * cosine - up * sine, left, up * cosine + level * sine], axis=-1)


def cross(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Vector products along the last axis; shapes broadcast. A third of the time of the library's own."""
    (a, b, c), (x, y, z) = ((vectors[..., 0], vectors[..., 1], vectors[..., 2]) for vectors in (first, second))
    return np.stack([b * z - c * y, c * x - a * z, a * y - b * x], axis=-1)


def turning_rate(axes: np.ndarray, rates: np.ndarray, accelerations: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Angular velocity and acceleration in the frame, shape (n, 3), from the axes of three angles and their rates."""
    first, second, third = (axes[..., k] for k in range(3))
    one, two, three = (rates[..., k, None] for k in range(3))
    turning = one * first + two * second + three * third
    own = np.einsum("...ij,...j->...i", axes, accelerations)
    swings = two * cross(one * first, second) + three * cross(one * first + two * second, third)
    return turning, own + swings


def _columns(*vectors: tuple[np.ndarray, np.ndarray, np.ndarray]) -> np.ndarray:
    return np.stack([np.stack(vector, axis=-1) for vector in vectors], axis=-1)
