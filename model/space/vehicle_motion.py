"""The vehicle moving in space on a slope: rates, stiff slip terms, switches, energies.

State y (47): coordinates (18), their rates (18), absolute spins of the rear and the front wheels and the motor's speed
at the wheels (3), running integrals of power (8), J. The object satisfies the `Motion` protocol of the transient
solvers by its shape, as the side view's `noseload.model.motion.vehicle_motion` does.
"""

from math import cos, inf, radians, sin

import numpy as np

from noseload.model.generated.scalar_space_motion import axle_follows, axle_moves, axle_switches, chassis_moves
from noseload.model.generated.space_motion_order import AXLE_PLACE, CARRIED, CHASSIS_PLACE
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import ENERGIES, MOVING
from noseload.model.motion.vehicle_motion import (
    ENERGY_FLOOR,
    FLIP_PITCH,
    SINK_SCALE,
    TOUCH_DEPTH,
    TURN_SCALE,
    brake_stride,
    contact_switch,
    shock_switches,
)
from noseload.model.parameters import ENDS

from .constraints import Constraints
from .jacobian import motion_slopes
from .motion_energy import CARRIED_FROM, observe_motion, observe_wheels, stored_energy
from .motion_parameters import MotionNumbers
from .parameters import SIDES, WHEELS

COORDINATES = (*CHASSIS_PLACE, *(f"{end}_{name.removeprefix('axle_')}" for end in ENDS for name in AXLE_PLACE))
SPEEDS = (*(f"{name}_rate" for name in COORDINATES), "rear_spin", "front_spin", "motor_speed")
COORDINATE_ROWS, SPEED_ROWS, ENERGY_ROWS = slice(0, 18), slice(18, 39), slice(39, 39 + len(ENERGIES))
SIZE = 39 + len(ENERGIES)
MOTOR = 38
HEADING, PITCH, ROLL = 3, 4, 5
"""Places of the chassis' angles in the state."""
ROLLED_OVER = radians(90.0)
"""Roll of the chassis relative to the slope at which the vehicle has rolled over, rad."""
ROLL_SCALE = 3.0
"""Scale of an axle's roll rate in its swing on the tyres by the weight."""
AXLE_ON_ITS_SIDE = radians(85.0)
"""Roll of an axle at which its wheels lie nearly flat: rolled over as well."""

_CONTACTS = tuple((f"{wheel}_touchdown", f"{wheel}_lift_off") for wheel in WHEELS)
_STOPS = tuple(
    (f"{wheel}_{stop}_stop_reached", f"{wheel}_{stop}_stop_left") for stop in ("droop", "bump") for wheel in WHEELS
)
_COILS = tuple((f"{wheel}_coil_loose", f"{wheel}_coil_taut") for wheel in WHEELS)
_OVERS = (("flips_back", None), ("flips_forward", None), ("rolls_over", None))
_KINKS = ((None, None),) * 8
_JOINED, _PUSHED, _LOST, _KEPT = (
    slice(0, 28),
    slice(28, 35),
    slice(35, CARRIED_FROM),
    slice(CARRIED_FROM, CARRIED_FROM + len(CARRIED)),
)
_LOADS = slice(_KEPT.stop, _KEPT.stop + 2)
_LOCATED = slice(_LOADS.stop, _LOADS.stop + 12)
_SLOPES = slice(_LOCATED.stop, _LOCATED.stop + 4)
_SLIPS = slice(_SLOPES.stop, _SLOPES.stop + 24)
_TURNS = slice(_SLIPS.stop, _SLIPS.stop + 15)


class SpaceMotion:
    """One vehicle moving on one slope under given inputs.

    Parameters
    ----------
    numbers : MotionNumbers
        With solved free lengths.
    grade, heading : float
        rad; the frame's x axis is turned left of the line of steepest ascent by `heading`.
    throttle, grip_factor, brake_torque : Program
        Throttle -1..1, factor on every grip coefficient, drag brake at the wheels (N m).
    blocks : tuple of float
        Height of what each wheel stands on, m.
    """

    size = SIZE
    coordinate_count = 18
    state_names = (*COORDINATES, *SPEEDS, *(f"{name}_energy" for name in ENERGIES))
    error_count = MOVING
    """Of motion in the side view: left and right alike, the punch in space takes the same steps."""
    telling_slopes: tuple[tuple[int, ...], ...] = ((0, 2, 4, 6), (8,))
    """Of each wheel the slope along its slip, then the drag brake."""
    switch_names = _CONTACTS + _STOPS + _OVERS + _KINKS + _COILS
    """(name where it rises through zero, name where it falls); None is not reported."""
    terminal = (False,) * 12 + (True,) * 3 + (False,) * 12
    contacts: tuple[str, ...] = WHEELS
    """What touches the ground: the first switches."""
    quiet_rows = (PITCH, ROLL)
    """Rows of the state that stand still in a settled motion."""

    def __init__(
        self,
        numbers: MotionNumbers,
        grade: float,
        *,
        heading: float = 0.0,
        throttle: Program,
        grip_factor: Program | None = None,
        brake_torque: Program | None = None,
        blocks: tuple = (0.0,) * 4,
    ) -> None:
        self.numbers, self.grade, self.heading = numbers, float(grade), float(heading)
        self.weight, self.wheelbase = numbers.weight, numbers.wheelbase
        self.blocks = tuple(float(block) for block in blocks)
        self.gravity = gravity_of(numbers.chassis["gravity"], self.grade, self.heading)
        self.throttle = throttle
        self.grip_factor = grip_factor if grip_factor is not None else Program.constant(1.0, "grip program")
        self.brake_torque = brake_torque if brake_torque is not None else Program.constant(0.0, "brake program")
        self.scales = state_scales(numbers)
        self.error_forms = error_forms(self.scales)
        self.watched = load_errors(numbers)
        self.constraints = Constraints(numbers)
        self._axles, self._chassis = numbers.ordered_axles(), numbers.ordered_chassis()
        self._tyres = tuple(float(axle["tyre_stiffness"]) for axle in numbers.axles)
        self._stops = tuple(
            (float(axle["stop_stiffness"]), float(axle["stop_damping"])) for axle in numbers.axles for _ in SIDES
        )
        self._located: tuple = (None, (), ())
        self.enter(0.0, inf)

    # inputs ------------------------------------------------------------------------------

    def corners(self) -> tuple:
        """Times at which an input has a corner or a jump, s, in order."""
        programs = (self.throttle, self.grip_factor, self.brake_torque)
        return tuple(sorted({t for program in programs for t in program.corners()}))

    def enter(self, start: float, end: float) -> None:
        """Take the inputs from the piece between two neighbouring corners, so that jumps are one-sided."""
        end = min(end, start + 1e6)
        self._start = float(start)
        self._pieces = tuple(
            float(x)
            for program in (self.throttle, self.grip_factor, self.brake_torque)
            for x in program.piece(start, end)
        )

    def controls(self, time: float) -> tuple[float, float, float]:
        """Throttle, grip factor and brake torque (N m) within the entered piece."""
        u, du, m, dm, b, db = self._pieces
        past = float(time) - self._start
        return u + du * past, m + dm * past, b + db * past

    # what solvers call -------------------------------------------------------------------

    def _solved(self, time: float, y: list[float]) -> tuple[tuple[float, ...], ...]:
        """Outputs of both axles, of the chassis, and what follows, for a state as a list."""
        throttle, grip, brake = self.controls(time)
        chassis, speeds, gravity = y[0:6], y[18:24], self.gravity
        try:
            rear = axle_moves(
                chassis, speeds, y[6:12], y[24:30], (y[36], grip), self.blocks[:2], gravity, self._axles[0]
            )
            front = axle_moves(
                chassis, speeds, y[12:18], y[30:36], (y[37], grip), self.blocks[2:], gravity, self._axles[1]
            )
            moved = chassis_moves(
                chassis,
                speeds,
                (y[38], throttle, brake),
                gravity,
                rear[_JOINED],
                rear[_PUSHED],
                front[_JOINED],
                front[_PUSHED],
                self._chassis,
            )
            parts = moved[:7]
            behind = axle_follows(parts, rear[_KEPT], y[6:12], y[24:30], self._axles[0])
            ahead = axle_follows(parts, front[_KEPT], y[12:18], y[30:36], self._axles[1])
        except ValueError as trouble:
            raise FloatingPointError(f"the state is not finite: {trouble}") from None
        return rear, front, moved, behind, ahead

    def rates(self, time: float, state: np.ndarray) -> np.ndarray:
        """Time derivative of the state, shape (47,)."""
        y = state.tolist()
        solved = self._solved(time, y)
        self._located = state, solved[0][_LOCATED], solved[1][_LOCATED]
        return np.array(_rates(y, *solved))

    def stiff_rates(self, time: float, state: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Rates, then slopes, rows and pulls of slips (8) and drag brake: ``J ~ -pulls^T slopes rows``."""
        y = state.tolist()
        solved = self._solved(time, y)
        rear, front, moved, *_ = solved
        self._located = state, rear[_LOCATED], front[_LOCATED]
        slopes = [*rear[_SLOPES], *front[_SLOPES]]
        braked = moved[12] != 0.0
        if braked:
            slopes.append(moved[12])
        kept = (*rear[_KEPT], *rear[_TURNS], *front[_KEPT], *front[_TURNS])
        rows, pulls = self.constraints.stiff_terms(y, kept, (*rear[_SLIPS], *front[_SLIPS]), braked)
        return np.array(_rates(y, *solved)), np.array(slopes), rows, pulls

    def stride(self, time: float, state: np.ndarray, new: np.ndarray) -> float:
        """As `brake_stride` of the motor's speed."""
        return 0.0 if self.controls(time)[2] == 0.0 else brake_stride(float(state[38]), float(new[38]))

    def jacobian(self, time: float, state: np.ndarray) -> np.ndarray:
        """Exact Jacobian of the rates, shape (47, 47); rows of the running integrals are left at zero."""
        y = state.tolist()
        rear, front, moved, behind, ahead = self._solved(time, y)
        accelerations = (*moved[:3], *moved[7:10], *behind[:6], *ahead[:6], behind[6], ahead[6], moved[6])
        _, grip, brake = self.controls(time)
        parts = motion_slopes(
            self.numbers,
            y,
            accelerations,
            (behind[7:12], ahead[7:12]),
            self.constraints.matrix((*rear[_KEPT], *rear[_TURNS], *front[_KEPT], *front[_TURNS])),
            grip,
            brake,
            self.blocks,
            self.gravity,
        )
        whole = np.zeros((SIZE, SIZE))
        whole[np.arange(18), np.arange(18, 36)] = 1.0
        whole[SPEED_ROWS, : ENERGY_ROWS.start] = parts
        return whole

    def project(self, time: float, state: np.ndarray) -> tuple[np.ndarray, float, float]:
        """One correction onto the constraints; the drift found before it, m and m/s."""
        return self.constraints.project(state)

    def switches(self, time: float, state: np.ndarray) -> tuple[float, ...]:
        """Contact (4), stops (8), flips and roll (3), silent kinks (8) and loose coils (4) as a tuple of signed numbers."""
        y = state.tolist()
        place, rear, front = self._located
        if place is not state:
            # Most states asked for are nodes, whose rates were found just before.
            rear, front = self._kinks(y)
        contact = [
            contact_switch(out[side], out[2 + side], self._tyres[k])
            for k, out in enumerate((rear, front))
            for side in (0, 1)
        ]
        kinks = [out[side] - TOUCH_DEPTH for out in (rear, front) for side in (0, 1)]
        pitch, roll = -y[PITCH], abs(y[ROLL])
        over = max(roll - ROLLED_OVER, abs(y[10]) - AXLE_ON_ITS_SIDE, abs(y[16]) - AXLE_ON_ITS_SIDE)
        droops, bumps, rates = (rear[i : i + 2] + front[i : i + 2] for i in (4, 6, 10))
        stops = shock_switches(droops, bumps, rates, self._stops)
        return (
            *contact,
            *stops[:8],
            pitch - FLIP_PITCH,
            -pitch - FLIP_PITCH,
            over,
            *kinks,
            *stops[8:],
            *rear[8:10],
            *front[8:10],
        )

    def _kinks(self, y: list[float]) -> list[tuple[float, ...]]:
        """What kinks are located by, of rear and front."""
        try:
            return [
                axle_switches(
                    y[0:6],
                    y[18:24],
                    y[6 + 6 * k : 12 + 6 * k],
                    y[24 + 6 * k : 30 + 6 * k],
                    (y[36 + k], 1.0),
                    self.blocks[2 * k : 2 * k + 2],
                    self.gravity,
                    self._axles[k],
                )
                for k in (0, 1)
            ]
        except ValueError as trouble:
            raise FloatingPointError(f"the state is not finite: {trouble}") from None

    # reports -----------------------------------------------------------------------------

    def stands(self, switches: tuple[float, ...]) -> bool:
        """Whether each axle and each side has a wheel that carries load."""
        rear_left, rear_right, front_left, front_right = (value > 0.0 for value in switches[:4])
        return (
            (rear_left or rear_right)
            and (front_left or front_right)
            and (rear_left or front_left)
            and (rear_right or front_right)
        )

    @property
    def slip_speed(self) -> float:
        """The larger slip speed of the tyres, m/s."""
        return max(axle["slip_speed"] for axle in self.numbers.axles)

    def observe(self, states: np.ndarray, controls: np.ndarray) -> dict[str, np.ndarray]:
        """Accelerations, tensions, torques and what the wheels and shocks show, over many states.

        Parameters
        ----------
        states : ndarray, shape (47, n)
        controls : ndarray, shape (3, n)
            Throttle, grip factor, brake torque.

        Returns
        -------
        dict of str to ndarray
            See `noseload.model.space.motion_energy.observe_motion`.
        """
        return observe_motion(self.numbers, self.gravity, self.blocks, states, controls)

    def observe_wheels(self, states: np.ndarray, controls: np.ndarray) -> dict[str, np.ndarray]:
        """What of `observe` needs no accelerations: loads, depths, slips, shocks; a fifth of its cost."""
        return observe_wheels(self.numbers, self.gravity, self.blocks, states, controls)

    def energy_residual(self, states: np.ndarray, seen: dict[str, np.ndarray]) -> tuple[np.ndarray, float]:
        """Motor work less change of stored energy and losses, J, and the scale it is judged by, J.

        Returns
        -------
        residual : ndarray, shape (n,)
        scale : float
            As in the side view.
        """
        stored = stored_energy(self.numbers, self.gravity, states, seen)
        change = stored - stored[0]
        integrals = states[ENERGY_ROWS] - states[ENERGY_ROWS, :1]
        lost = integrals[1:-1].sum(axis=0)
        scale = integrals[-1, -1] + lost[-1] + np.abs(change).max()
        return integrals[0] - change - lost, max(scale, ENERGY_FLOOR * self.weight * self.wheelbase)


def gravity_of(strength: float, grade: float, heading: float) -> tuple[float, float, float]:
    """Gravity in the frame, m/s2, as plain floats."""
    s, c = sin(grade), cos(grade)
    return (-strength * s * cos(heading), strength * s * sin(heading), -strength * c)


def _rates(
    y: list[float],
    rear: tuple[float, ...],
    front: tuple[float, ...],
    moved: tuple[float, ...],
    behind: tuple[float, ...],
    ahead: tuple[float, ...],
) -> tuple[float, ...]:
    lost = [a + b for a, b in zip(rear[_LOST], front[_LOST], strict=True)]
    return (
        *y[18:36],
        *moved[:3],
        *moved[7:10],
        *behind[:6],
        *ahead[:6],
        behind[6],
        ahead[6],
        moved[6],
        moved[10],
        moved[11],
        *lost,
        abs(moved[10]),
    )


def state_scales(numbers: MotionNumbers) -> np.ndarray:
    """Sizes by which errors of the state are judged, as in the side view."""
    length = numbers.wheelbase
    speed = (numbers.chassis["gravity"] * length) ** 0.5
    place, fast = ([length] * 3 + [1.0] * 3) * 3, ([speed] * 3 + [speed / length] * 3) * 3
    for k, axle in enumerate(numbers.axles):
        stiffness, height, roll = 2.0 * axle["tyre_stiffness"], 8 + 6 * k, 10 + 6 * k
        half = axle["half_track"]
        place[height] = min(length, SINK_SCALE * numbers.weight / stiffness)
        place[roll] = min(1.0, SINK_SCALE * numbers.weight / (stiffness * half))
        fast[height] = min(speed, numbers.weight / (stiffness * axle["mass"]) ** 0.5)
        fast[roll] = ROLL_SCALE * numbers.weight / (stiffness * axle["roll_inertia"]) ** 0.5
        fast[9 + 6 * k] *= TURN_SCALE
    return np.array(place + fast + [speed / length * TURN_SCALE] * 3 + [numbers.weight * length] * len(ENERGIES))


def error_forms(scales: np.ndarray) -> np.ndarray:
    """Errors of places, rates and of the spins relative to their housings in their scales, (38, 47).

    The motor's speed follows from a spin and from how fast axle and chassis roll.
    """
    forms = np.eye(MOTOR, SIZE)
    forms[36, 29] = forms[37, 35] = -1.0
    return forms / scales[:MOTOR, None]


def load_errors(numbers: MotionNumbers) -> np.ndarray:
    """What an error of an axle's height and roll, and of their rates, does to loads, as in the side view, (12, 47).

    Loads of the four wheels, then of the two axles.
    """
    forms = np.zeros((12, SIZE))
    for wheel in range(4):
        axle, height, roll = numbers.axles[wheel // 2], 8 + 6 * (wheel // 2), 10 + 6 * (wheel // 2)
        stiffness, side = axle["tyre_stiffness"] / numbers.weight, 1.0 - 2.0 * (wheel % 2)
        forms[wheel, height], forms[wheel, roll] = stiffness, side * stiffness * axle["half_track"]
        swing = (0.5 * stiffness / numbers.weight) ** 0.5
        forms[4 + wheel, 18 + height] = swing * axle["mass"] ** 0.5
        forms[4 + wheel, 18 + roll] = side * swing * axle["roll_inertia"] ** 0.5
    forms[8:] = forms[0:8:2] + forms[1:8:2]
    return forms
