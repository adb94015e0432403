"""Steady motion in space under the traction law: where a punch starts from.

Unknowns (28): the pose and tensions of `noseload.model.space.equilibrium` (23), the motor's speed at the wheels (on the
drag brake the travel speed instead), sideways speed and yaw rate of the chassis' centre of gravity, and the absolute
spins of rear and front wheels. Equations: the balances and rods there (26), and for each axle its gear, or where it is
not driven no torque. Yaw rate times speed, which bends the path, is left out of the balances.
"""

from math import atanh, cos, sin
from typing import Any

import numpy as np

from noseload.model.crawl.rolling import load_factor
from noseload.model.generated.scalar_space_steady import axle_steady
from noseload.model.generated.space_motion_order import ROWS, STEADY_ENTRY_COLUMNS, STEADY_NUMBERS, STEADY_ROWS
from noseload.model.packed import packed
from noseload.model.parameters import ENDS

from .equilibrium import EQUATIONS, UNKNOWNS, SpaceEquilibrium
from .motion_parameters import MotionNumbers
from .rows import (
    AXLE_BALANCES,
    AXLE_POSES,
    AXLE_ROWS,
    AXLE_TENSIONS,
    BODY_ANGLE_RATES,
    BODY_PLACES,
    BODY_VELOCITIES,
    CHASSIS_BALANCES,
    CHASSIS_POSE,
    CHASSIS_ROWS,
    FORCE_BALANCES,
    MOTOR,
    POSE_ROLLS,
    ROD_LENGTHS,
    SIDE,
    SIZE,
    TENSION_ROWS,
)
from .rows import SPINS as STATE_SPINS

SPEED = TENSION_ROWS.stop
SIDE_SPEED, YAW_RATE, SPINS = SPEED + 1, SPEED + 2, (SPEED + 3, SPEED + 4)
N = SPINS[-1] + 1
_BALANCES, _JACOBIAN, _LOADS = (ROWS["axle_steady"][part] for part in ("balances", "jacobian", "loads"))
_TORQUE = ROWS["axle_steady"]["wheel_torque"].start
LARGEST_SATURATION = 0.999999
"""Share of the grip that a starting guess may use."""
SPEED_STEP, YAW_STEP, SPIN_STEP = 0.1, 0.5, 2.0
"""Largest changes of one Newton step: m/s and rad/s."""


def _places() -> tuple:
    """Rows of an axle kernel, and for each Jacobian entry its flat place (or the torque's column)."""
    rows_of, columns_of, found = np.array(STEADY_ROWS), np.array(STEADY_ENTRY_COLUMNS), []
    for k in range(len(ENDS)):
        rows = np.r_[CHASSIS_BALANCES, AXLE_BALANCES[k], ROD_LENGTHS[k]]
        # Column N of the wide matrix is the travel speed.
        columns = np.r_[CHASSIS_POSE, AXLE_POSES[k], AXLE_TENSIONS[k], SPINS[k], SIDE_SPEED, YAW_RATE, N]
        balance = np.flatnonzero(rows_of < _TORQUE)
        torque = np.flatnonzero(rows_of == _TORQUE)
        flat = rows[rows_of[balance]] * (N + 1) + columns[columns_of[balance]]
        found.append((rows, balance, flat, torque, columns[columns_of[torque]]))
    return tuple(found)


_PLACES = _places()


class SpaceSteady:
    """Equations of steady motion of one vehicle in space; the parameter is the grade, rad.

    Parameters
    ----------
    numbers : MotionNumbers
    crawl : SpaceEquilibrium
        Of the same vehicle: heading, blocks and assembly branch are its own.
    travel : float
        Speed along the chassis' x axis, m/s; not used with `motor_speed`.
    motor_speed : float, optional
        At the wheels, rad/s: then the travel speed is unknown.
    grip_factor : float
    """

    equation_names = (*EQUATIONS, "rear spin", "front spin")

    def __init__(
        self,
        numbers: MotionNumbers,
        crawl: SpaceEquilibrium,
        *,
        travel: float = 0.0,
        motor_speed: float | None = None,
        grip_factor: float = 1.0,
    ) -> None:
        self.numbers, self.crawl, self.grip_factor = numbers, crawl, float(grip_factor)
        self.travel, self.motor_speed = float(travel), None if motor_speed is None else float(motor_speed)
        self.names = (
            *UNKNOWNS[:SPEED],
            "motor speed" if motor_speed is None else "travel speed",
            "sideways speed",
            "yaw rate",
            "rear spin",
            "front spin",
        )
        unit, step = (1.0, SPIN_STEP) if motor_speed is None else (0.1, SPEED_STEP)
        self.scales = np.append(crawl.scales[:SPEED], [unit, 0.1, 0.3, 1.0, 1.0])
        self.step_limits = np.append(crawl.step_limits[:SPEED], [step, SPEED_STEP, YAW_STEP, SPIN_STEP, SPIN_STEP])
        moment = crawl.weight * crawl.wheelbase
        self.residual_scales = np.append(
            crawl.residual_scales, [1.0 if axle["driven"] else moment for axle in numbers.axles]
        )
        self._ordered = tuple(tuple(float(axle[name]) for name in STEADY_NUMBERS) for axle in numbers.axles)
        self._last: tuple[list[float], list[tuple[float, ...]]] = ([], [])

    def _speeds(self, state: np.ndarray | list[float]) -> tuple[float, float]:
        """Motor speed and travel speed."""
        return (
            (float(state[SPEED]), self.travel) if self.motor_speed is None else (self.motor_speed, float(state[SPEED]))
        )

    def outputs(self, state: np.ndarray) -> list[tuple[float, ...]]:
        """Outputs of the axle kernel, rear and front."""
        y = [float(value) for value in state]
        # Torques and loads are asked for where the last residual was taken.
        if y == self._last[0]:
            return self._last[1]
        _, travel = self._speeds(y)
        found = [
            axle_steady(
                y[CHASSIS_POSE],
                y[AXLE_POSES[k]],
                y[AXLE_TENSIONS[k]],
                (y[SPINS[k]], y[SIDE_SPEED], y[YAW_RATE], travel),
                self.grip_factor,
                self.crawl.blocks[2 * k : 2 * k + 2],
                self._ordered[k],
            )
            for k in range(len(ENDS))
        ]
        self._last = y, found
        return found

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (28) and Jacobian (28, 29), the last column by the grade."""
        residual, wide = np.zeros(N), np.zeros((N, N + 1))
        try:
            outputs = self.outputs(state)
        except (ZeroDivisionError, OverflowError, ValueError):
            return np.full(N, np.nan), np.full((N, N + 1), np.nan)
        flat, speed = wide.reshape(-1), self._speeds(state)[0]
        for k, (rows, balance, places, torque, columns) in enumerate(_PLACES):
            out, axle, row = packed(outputs[k]), self.numbers.axles[k], len(EQUATIONS) + k
            entries, roll = out[_JACOBIAN], POSE_ROLLS[1 + k]
            residual[rows] += out[_BALANCES]
            np.add.at(flat, places, entries[balance])
            if axle["driven"]:
                rise, lean = sin(state[roll]), cos(state[roll])
                residual[row] = state[SPINS[k]] - state[YAW_RATE] * rise - axle["motor_ratio"] * speed
                wide[row, SPINS[k]], wide[row, YAW_RATE] = 1.0, -rise
                wide[row, roll] = -state[YAW_RATE] * lean
                if self.motor_speed is None:
                    wide[row, SPEED] = -axle["motor_ratio"]
            else:
                residual[row] = out[_TORQUE]
                wide[row, columns] = entries[torque]
        if self.motor_speed is not None:
            wide[:, SPEED] = wide[:, N]
        pull, slope = self.crawl.gravity(parameter)
        wide[:, N] = 0.0
        for rows, mass in zip(FORCE_BALANCES, self.numbers.masses, strict=True):
            weight = mass * self.numbers.chassis["gravity"]
            residual[rows] += weight * np.array(pull)
            wide[rows, N] = weight * np.array(slope)
        return residual, wide

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """As creep: pose within bounds and on its branch."""
        return self.crawl.accept(state, parameter)

    # what kinks of a pose are measured by ------------------------------------------------

    def whole(self, state: np.ndarray) -> np.ndarray:
        """The pose, where unknowns of a crawl have it."""
        return state

    slopes = whole

    def depths(self, state: np.ndarray) -> list[float]:
        """Depth of the four tyres, m; negative is clearance."""
        return self.crawl.depths(state)

    def wheel_depth(self, state: np.ndarray, wheel: int) -> tuple[float, np.ndarray]:
        """Depth of one tyre (0 to 3), m, and its slope by the unknowns (28)."""
        depth, slope = self.crawl.wheel_depth(state, wheel)
        return depth, np.append(slope, np.zeros(N - len(slope)))

    def guess(self, crawl_state: np.ndarray) -> tuple[np.ndarray, float]:
        """Start from a crawl (26): slips that give its traction and side forces at its loads.

        Returns
        -------
        state : ndarray, shape (28,)
        share : float
            Largest share of its grip that a wheel uses, the factor on the grip included.
        """
        uses = self.crawl.uses(crawl_state)[0]
        state, share, spins = np.zeros(N), 0.0, []
        state[:SPEED] = crawl_state[:SPEED]
        motor_speed, travel = self.motor_speed, self.travel
        for k, axle in enumerate(self.numbers.axles):
            used = axle["driven"] * uses[k] / self.grip_factor if self.grip_factor > 0.0 else np.inf
            beside = float(crawl_state[SIDE[k]]) / max(axle["grip"] * self.grip_factor, 1e-12)
            share = max(share, (used**2 + beside**2) ** 0.5)
            bounded = min(max(used, -LARGEST_SATURATION), LARGEST_SATURATION)
            pressed = 0.5 * self._depth(crawl_state, k)
            scale = axle["slip_speed"] + axle["slip_ratio_scale"] * abs(travel)
            scale *= load_factor(axle["tyre_stiffness"] * pressed, axle["slip_load"], axle["slip_softness"])
            radius = axle["tyre_radius"] - pressed
            slip = scale * atanh(bounded)
            if motor_speed is not None and axle["driven"]:
                spins.append((axle["motor_ratio"] * motor_speed, axle["motor_ratio"] * motor_speed * radius - slip))
            else:
                spins.append(((travel + slip) / radius, travel))
        driven = [k for k, axle in enumerate(self.numbers.axles) if axle["driven"]]
        first = driven[0]
        state[SPEED] = (
            spins[first][0] / self.numbers.axles[first]["motor_ratio"] if motor_speed is None else spins[first][1]
        )
        for k, axle in enumerate(self.numbers.axles):
            free = spins[k][0] if motor_speed is None else state[SPEED] / axle["tyre_radius"]
            turned = state[SPEED] if motor_speed is None else motor_speed
            state[SPINS[k]] = axle["motor_ratio"] * turned if axle["driven"] else free
        return state, share

    def _depth(self, crawl_state: np.ndarray, k: int) -> float:
        return sum(max(depth, 0.0) for depth in self.crawl.depths(crawl_state)[2 * k : 2 * k + 2])

    def torques(self, state: np.ndarray) -> list[float]:
        """Torque at the rear and the front wheels, N m."""
        return [float(out[_TORQUE]) for out in self.outputs(state)]

    def motor_torque(self, state: np.ndarray) -> float:
        """Torque at the motor's speed that keeps this motion, N m."""
        return sum(
            axle["motor_ratio"] * torque for axle, torque in zip(self.numbers.axles, self.torques(state), strict=True)
        )

    def loads(self, state: np.ndarray) -> list[float]:
        """Loads of the four wheels, N."""
        return [float(load) for out in self.outputs(state) for load in out[_LOADS]]

    def motion_state(self, state: Any) -> np.ndarray:
        """State of `noseload.model.space.vehicle_motion` (47) in this steady motion; the chassis starts at x = y = 0."""
        speed, travel = self._speeds(state)
        whole = np.zeros(SIZE)
        z, pitch, roll = state[CHASSIS_POSE]
        whole[CHASSIS_ROWS] = 0.0, 0.0, z, 0.0, pitch, roll
        turn = float(state[YAW_RATE])
        for k, (rows, pose) in enumerate(zip(AXLE_ROWS, AXLE_POSES, strict=True)):
            whole[rows], whole[STATE_SPINS[k]] = state[pose], state[SPINS[k]]
        whole[MOTOR] = speed
        for place, velocity, turning in zip(BODY_PLACES, BODY_VELOCITIES, BODY_ANGLE_RATES, strict=True):
            x, y, _ = whole[place]
            whole[velocity] = travel - turn * y, float(state[SIDE_SPEED]) + turn * x, 0.0
            # A turn about the upright changes the heading alone.
            whole[turning] = turn, 0.0, 0.0
        return whole
