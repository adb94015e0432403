"""Rods and gears of the moving vehicle: states put back onto them, and what the slips push past them.

Speeds in the frame (21): velocity and angular velocity of chassis, rear and front; spins of rear and front wheels; motor.
Rows (10): four rods and the gear, rear then front.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, sin
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.batch.kernels import evaluated_once
from noseload.model.generated import array_space_motion
from noseload.model.generated.scalar_space_motion import axle_drifts, axle_returns, chassis_returns
from noseload.model.generated.space_motion_order import CARRIED, MOVING_NUMBERS
from noseload.model.generated.space_motion_order import ROWS as KERNEL_ROWS

from .rows import (
    AXLE_RATES,
    AXLE_ROWS,
    BODY_ANGLES,
    BODY_PLACES,
    CHASSIS_RATES,
    CHASSIS_ROWS,
    HEADING,
    MOTOR,
    MOVING,
    PITCH,
    ROLL,
    SIZE,
    SPEED_COUNT,
    SPEED_MOTOR,
    SPEED_ROWS,
    SPEED_SPINS,
    SPINS,
)

if TYPE_CHECKING:
    from noseload.model.space.motion_parameters import MotionNumbers


ROWS = 10
_JOINED, _HELD, _RESIDUALS, _DRIFTS = (
    KERNEL_ROWS["axle_drifts"][part] for part in ("joined", "projected", "residuals", "drifts")
)
_SHOVED = slice(KERNEL_ROWS["axle_drifts"]["shoved"].start, KERNEL_ROWS["axle_drifts"]["kicked"].stop)
_MOVES, _PLACED, _PACED, _PACED_MOTOR = KERNEL_ROWS["chassis_returns"].values()
_FOLLOWED, _FOLLOWED_RATES, _SPIN = KERNEL_ROWS["axle_returns"].values()
_LEAST_ROTOR = 1e-3
"""Rotor inertia as a share of the wheels' that the stiff part takes at least: any linear part will do there."""


def _matrix_places() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where the numbers of CARRIED, then of the chassis' turning (5 x 3), stand in G (10 x 21): places, sources, signs."""
    kept = {name: k for k, name in enumerate(CARRIED)}
    found = []
    for k in (0, 1):
        for row in range(1, 6):
            for axis, letter in enumerate("xyz"):
                first = (5 * k + row - 1) * SPEED_COUNT
                if row < 5:
                    along = kept[f"along_{row}_{letter}"]
                    found += [(first + BODY_PLACES[1 + k].start + axis, along, 1.0), (first + axis, along, -1.0)]
                found.append((first + BODY_ANGLES[1 + k].start + axis, kept[f"turn_{row}_{letter}"], 1.0))
                found.append((first + BODY_ANGLES[0].start + axis, len(CARRIED) + 3 * (row - 1) + axis, 1.0))
    half = len(found) // 2
    places, sources, signs = (np.array(column) for column in zip(*found, strict=True))
    sources = sources.astype(int)
    sources[half:] += len(CARRIED) + 15
    return places.astype(int), sources, signs


def _slip_places() -> np.ndarray:
    """Where the rows of the slips (4 x 6 an axle) stand in a matrix of speeds (8 x 21)."""
    return np.array(
        [
            (4 * k + row) * SPEED_COUNT + column
            for k in (0, 1)
            for row in range(4)
            for column in (*np.r_[BODY_PLACES[1 + k]][:2], *np.r_[BODY_ANGLES[1 + k]], SPEED_SPINS[k])
        ]
    )


_PLACES, _SOURCES, _SIGNS = _matrix_places()
_SLIP_PLACES = _slip_places()
_STIFF_PLACES = np.concatenate([_PLACES, _SLIP_PLACES + ROWS * SPEED_COUNT])
_STIFF_SOURCES = np.concatenate([_SOURCES, np.arange(_SLIP_PLACES.size) + 2 * (len(CARRIED) + 15)])
_STIFF_SIGNS = np.concatenate([_SIGNS, np.ones(_SLIP_PLACES.size)])
_TURN_PLACES = np.array(
    [
        SPEED_COUNT * i + j
        for turn in BODY_ANGLES
        for i in range(turn.start, turn.stop)
        for j in range(turn.start, turn.stop)
    ]
)
"""Where three blocks of 3 x 3 for the turning of chassis, rear and front stand in a matrix over the speeds."""
_BOTH_TURN_PLACES = np.concatenate([_TURN_PLACES, _TURN_PLACES + SPEED_COUNT * SPEED_COUNT])
_RADIUS = MOVING_NUMBERS.index("tyre_radius")


class Constraints:
    """Of one vehicle.

    Parameters
    ----------
    numbers : MotionNumbers
    """

    def __init__(self, numbers: MotionNumbers) -> None:
        self._axles, self._chassis = numbers.ordered_axles(), numbers.ordered_chassis()
        self._fixed = np.zeros((ROWS, SPEED_COUNT))
        self._idle = np.zeros((ROWS, ROWS))
        chassis, light = numbers.chassis, np.zeros(SPEED_COUNT)
        light[BODY_PLACES[0]] = 1.0 / chassis["mass"]
        for k, axle in enumerate(numbers.axles):
            self._fixed[5 * k + 4, SPEED_SPINS[k]] = axle["driven"]
            self._fixed[5 * k + 4, SPEED_MOTOR] = -axle["motor_ratio"]
            self._idle[5 * k + 4, 5 * k + 4] = 1.0 - axle["driven"]
            light[BODY_PLACES[1 + k]] = 1.0 / axle["mass"]
            light[BODY_ANGLES[1 + k]] = 1.0 / axle["roll_inertia"]
            light[SPEED_SPINS[k]] = 1.0 / axle["wheels_inertia"]
        least = _LEAST_ROTOR * min(axle["wheels_inertia"] for axle in numbers.axles)
        light[SPEED_MOTOR] = 1.0 / max(chassis["rotor_inertia"], least)
        self._light = np.diag(light)
        self._chassis_light = [1.0 / float(chassis[f"{name}_inertia"]) for name in ("roll", "pitch", "yaw")]
        self._axle_light = [
            (1.0 / float(axle["roll_inertia"]), 1.0 / float(axle["pitch_inertia"]) - 1.0 / float(axle["roll_inertia"]))
            for axle in numbers.axles
        ]
        self._stiff = np.zeros((ROWS + 9, SPEED_COUNT))
        self._stiff[:ROWS], self._stiff[-1, SPEED_MOTOR] = self._fixed, 1.0
        self._unturned = np.stack([np.eye(SPEED_COUNT)] * 2)
        # A gear's drift is told as speed at the tread.
        self._radii = tuple(float(axle["tyre_radius"]) for axle in numbers.axles)

    def project(self, state: np.ndarray) -> tuple[np.ndarray, float, float]:
        """One correction of a state (47) onto the constraints; the drift found before it, m and m/s."""
        y = state.tolist()
        chassis, rates, motor = y[CHASSIS_ROWS], y[CHASSIS_RATES], y[MOTOR]
        groups = [(y[AXLE_ROWS[k]], y[AXLE_RATES[k]]) for k in (0, 1)]
        try:
            found = [axle_drifts(chassis, rates, *groups[k], (y[SPINS[k]], motor), self._axles[k]) for k in (0, 1)]
        except ValueError as trouble:
            raise FloatingPointError(f"the state is not finite: {trouble}") from None
        joined = [part for out in found for part in (out[_JOINED], out[_SHOVED])]
        out = chassis_returns(chassis, rates, motor, *joined, self._chassis)
        moves = out[_MOVES]
        axles = [axle_returns(moves, found[k][_HELD], *groups[k], y[SPINS[k]], self._axles[k]) for k in (0, 1)]
        (rear, front), moved = axles, state.copy()
        moved[:MOVING] = (
            *out[_PLACED],
            *rear[_FOLLOWED],
            *front[_FOLLOWED],
            *out[_PACED],
            *rear[_FOLLOWED_RATES],
            *front[_FOLLOWED_RATES],
            *rear[_SPIN],
            *front[_SPIN],
            *out[_PACED_MOTOR],
        )
        position = max(max(map(abs, part[_RESIDUALS])) for part in found)
        speed = 0.0
        for part, radius in zip(found, self._radii, strict=True):
            *rods, gear = map(abs, part[_DRIFTS])
            speed = max(speed, *rods, gear * radius)
        return moved, position, speed

    @property
    def idle(self) -> np.ndarray:
        """1 on the diagonal where an axle has no gear, (10, 10)."""
        return self._idle

    def matrix(self, kept: tuple[float, ...]) -> np.ndarray:
        """Rows G (10, 21) on the speeds in the frame from what `axle_moves` keeps; see `stiff_terms`."""
        whole = self._fixed.copy()
        whole.reshape(-1)[_PLACES] = np.array(kept)[_SOURCES] * _SIGNS
        return whole

    def stiff_terms(
        self, y: list[float], kept: tuple[float, ...], slips: tuple[float, ...], braked: bool
    ) -> tuple[np.ndarray, np.ndarray]:
        """Rows and pulls (r, 47) of the slips (8) and of the drag brake where it holds.

        Parameters
        ----------
        y : list of float
            State.
        kept : sequence of float
            Of rear, then of front: CARRIED, and the rows on the chassis' turning.
        slips : sequence of float
            Rows of the slips, rear then front (2 x 4 x 6).
        """
        whole = self._stiff[: ROWS + (9 if braked else 8)].copy()
        whole.reshape(-1)[_STIFF_PLACES] = np.array((*kept, *slips))[_STIFF_SOURCES] * _STIFF_SIGNS
        axes, inverse_axes, turn = _axes(y)
        inverse, turned = self._light.copy(), self._unturned.copy()
        inverse.reshape(-1)[_TURN_PLACES] = self._turning_light(axes, turn)
        forth = [part for body in axes for row in body for part in row]
        back = [row[i] for body in inverse_axes for i in range(3) for row in body]
        turned.reshape(-1)[_BOTH_TURN_PLACES] = forth + back
        light = whole.dot(inverse)
        crossed = light.dot(whole[:ROWS].T)
        crossed[:ROWS] += self._idle
        pulls = light[ROWS:] - np.linalg.solve(crossed[:ROWS], crossed[ROWS:].T).T.dot(light[:ROWS])
        wide = np.zeros((2, len(pulls), SIZE))
        wide[0, :, SPEED_ROWS], wide[1, :, SPEED_ROWS] = whole[ROWS:].dot(turned[0]), pulls.dot(turned[1])
        return wide[0], wide[1]

    def _turning_light(self, axes: Sequence, turn: Sequence) -> list[float]:
        """Inverses of the inertias of chassis, rear and front in the frame, row by row (27)."""
        roll, pitch, yaw = self._chassis_light
        found = [roll * a[0] * b[0] + pitch * a[1] * b[1] + yaw * a[2] * b[2] for a in turn for b in turn]
        for (flat, bend), axle in zip(self._axle_light, axes[1:], strict=True):
            across = [row[2] for row in axle]
            found += [
                bend * a * b + (flat if i == j else 0.0) for i, a in enumerate(across) for j, b in enumerate(across)
            ]
        return found


def axes_of(y: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """Axes of the angles of chassis, rear and front as columns (3, 3, 3), and the rotation of the chassis."""
    axes, _, turn = _axes(y)
    return np.array(axes), np.array(turn)


def _axes(y: list[float]) -> tuple[list, list, list]:
    """What `axes_of` tells, the inverses of the axes between, as plain numbers."""
    ch, sh, cp, sp, cr, sr = (f(y[k]) for k in (HEADING, PITCH, ROLL) for f in (cos, sin))
    axes = [((0.0, -sh, ch * cp), (0.0, ch, sh * cp), (1.0, 0.0, -sp))]
    # Heading is about the upright: the other two axes' level parts are solved for first.
    slope = sp / cp
    inverses = [((ch * slope, sh * slope, 1.0), (-sh, ch, 0.0), (ch / cp, sh / cp, 0.0))]
    for angles in BODY_ANGLES[1:]:
        heading, roll, _ = y[angles]
        c, s, lean, rise = cos(heading), sin(heading), cos(roll), sin(roll)
        axes.append(((0.0, c, -s * lean), (0.0, s, c * lean), (1.0, 0.0, rise)))
        slope = rise / lean
        inverses.append(((s * slope, -c * slope, 1.0), (c, s, 0.0), (-s / lean, c / lean, 0.0)))
    up = (ch * sp, sh * sp, cp)
    level = (-sh, ch, 0.0)
    forward = (ch * cp, sh * cp, -sp)
    turn = [(forward[i], level[i] * cr + up[i] * sr, up[i] * cr - level[i] * sr) for i in range(3)]
    return axes, inverses, turn


def project_rows(axles: Sequence, chassis: Sequence, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """One correction of many states (39 or more rows, cases) onto the constraints.

    Parameters
    ----------
    axles : sequence
        Numbers of the rear axles of all cases and then of the front axles in kernel order, each a number or (2 cases,).
    chassis : sequence
        Numbers of the chassis.

    Returns
    -------
    moved : ndarray, shape (39, cases)
    drifts : ndarray, shape (18, cases)
        Residuals of the rods (8), m; how fast they grow and those of the gears at the treads (10), m/s.
    """
    count, kernels = y.shape[1], array_space_motion
    places = y[CHASSIS_ROWS], y[CHASSIS_RATES]
    # Both axles side by side: one call of an axle's kernel for both, at half the calls' own cost.
    both = [np.hstack([y[rows] for rows in pair]) for pair in (AXLE_ROWS, AXLE_RATES)]
    spins, halves = y[[*SPINS]].reshape(-1), (slice(0, count), slice(count, 2 * count))
    twice = [np.tile(rows, 2) for rows in places]
    found = evaluated_once(kernels, "axle_drifts", 2 * count, *twice, *both, (spins, np.tile(y[MOTOR], 2)), axles)
    joined = [found[part, half] for half in halves for part in (_JOINED, _SHOVED)]
    out = evaluated_once(kernels, "chassis_returns", count, *places, y[MOTOR], *joined, chassis)
    returned = evaluated_once(
        kernels, "axle_returns", 2 * count, np.tile(out[_MOVES], 2), found[_HELD], *both, spins, axles
    )
    moved = np.vstack(
        [
            out[_PLACED],
            *(returned[_FOLLOWED, half] for half in halves),
            out[_PACED],
            *(returned[_FOLLOWED_RATES, half] for half in halves),
            *(returned[_SPIN, half] for half in halves),
            out[_PACED_MOTOR],
        ]
    )
    drifts, gears = found[_DRIFTS], found[_DRIFTS][-1] * axles[_RADIUS]
    residuals = [found[_RESIDUALS, half] for half in halves]
    return moved, np.vstack([*residuals, *(drifts[:-1, half] for half in halves), *(gears[half] for half in halves)])


def project_states(numbers: MotionNumbers, states: np.ndarray) -> tuple[np.ndarray, float, float]:
    """One correction of many states (47, n) onto the constraints; the largest drift before it, m and m/s."""
    y = np.ascontiguousarray(states)
    axles = np.repeat(np.transpose(numbers.ordered_axles()), y.shape[1], axis=1)
    moved, drifts = project_rows(list(axles), numbers.ordered_chassis(), y)
    drifts = np.abs(drifts)
    return np.vstack([moved, y[MOVING:]]), float(drifts[:8].max()), float(drifts[8:].max())
