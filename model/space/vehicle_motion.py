"""The vehicle moving in space on a slope: rates, stiff slip terms, switches, energies.

State y (47): coordinates (18), their rates (18), absolute spins of the rear and the front wheels and the motor's speed
at the wheels (3), running integrals of power (8), J. The object satisfies the `Motion` protocol of the transient
solvers by its shape, as the side view's `noseload.model.motion.vehicle_motion` does.
"""

from collections.abc import Callable
from math import cos, radians, sin

import numpy as np

from noseload.model.generated.scalar_space_motion import (
    axle_follows,
    axle_moves,
    axle_moves_stiffly,
    axle_switches,
    chassis_moves,
)
from noseload.model.generated.space_motion_order import AXLE_PLACE, CHASSIS_PLACE, ROWS
from noseload.model.motion.programs import Program, UnderInputs
from noseload.model.motion.rows import ENERGIES
from noseload.model.motion.rows import MOVING as MOVING_IN_PLANE
from noseload.model.motion.vehicle_motion import (
    FLIP_PITCH,
    SINK_SCALE,
    TOUCH_DEPTH,
    TURN_SCALE,
    book_residual,
    brake_stride,
    contact_switch,
    shock_switches,
)
from noseload.model.parameters import ENDS

from .constraints import Constraints
from .jacobian import motion_slopes
from .motion_energy import observe_motion, observe_wheels, stored_energy
from .motion_parameters import MotionNumbers
from .parameters import SIDES, WHEELS
from .rows import (
    AXLE_HEIGHTS,
    AXLE_RATES,
    AXLE_ROLLS,
    AXLE_ROWS,
    BODY_PLACES,
    CHASSIS_RATES,
    CHASSIS_ROWS,
    COORDINATE_COUNT,
    COORDINATE_ROWS,
    ENERGY_ROWS,
    MOTOR,
    MOVING,
    PITCH,
    RATE_ROWS,
    ROLL,
    SIZE,
    SPEED_ROWS,
    SPINS,
)

COORDINATES = (*CHASSIS_PLACE, *(f"{end}_{name.removeprefix('axle_')}" for end in ENDS for name in AXLE_PLACE))
SPEEDS = (*(f"{name}_rate" for name in COORDINATES), "rear_spin", "front_spin", "motor_speed")
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
_JOINED, _PUSHED, _LOST, _KEPT, _LOCATED, _SLOPES, _SLIPS, _TURNS = ROWS["axle_moves_stiffly"].values()
_PARTS, _ANGLES = (ROWS["chassis_moves"][part] for part in ("accelerations", "angles"))
_POWERS, _BRAKE_SLOPE = ROWS["chassis_moves"]["powers"], ROWS["chassis_moves"]["brake_slope"].start
_FOLLOWED, _SPIN = ROWS["axle_follows"]["coordinates"], ROWS["axle_follows"]["spin"].start
_MULTIPLIERS = slice(ROWS["axle_follows"]["tensions"].start, ROWS["axle_follows"]["wheel_torque"].stop)
_DEPTHS, _RAW, _DROOPS, _BUMPS, _COIL_GAPS, _SHOCK_RATES = ROWS["axle_switches"].values()
(_REAR, _FRONT), (_REAR_RATES, _FRONT_RATES), (_REAR_SPIN, _FRONT_SPIN) = AXLE_ROWS, AXLE_RATES, SPINS
_ALONG, _MOTOR = BODY_PLACES[0], _PARTS.stop - 1
"""Of the chassis' and the motor's accelerations."""


class SpaceMotion(UnderInputs):
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
    coordinate_count = COORDINATE_COUNT
    state_names = (*COORDINATES, *SPEEDS, *(f"{name}_energy" for name in ENERGIES))
    error_count = MOVING_IN_PLANE
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
        super().__init__(throttle, grip_factor, brake_torque)

    controls = UnderInputs.inputs

    # what solvers call -------------------------------------------------------------------

    def _solved(
        self, time: float, y: list[float], axle_kernel: Callable = axle_moves_stiffly
    ) -> tuple[tuple[float, ...], ...]:
        """Outputs of both axles, of the chassis, and what follows, for a state as a list; `axle_moves` leaves stiff rows out."""
        throttle, grip, brake = self.controls(time)
        chassis, speeds, gravity = y[CHASSIS_ROWS], y[CHASSIS_RATES], self.gravity
        try:
            rear = axle_kernel(
                chassis,
                speeds,
                y[_REAR],
                y[_REAR_RATES],
                (y[_REAR_SPIN], grip),
                self.blocks[:2],
                gravity,
                self._axles[0],
            )
            front = axle_kernel(
                chassis,
                speeds,
                y[_FRONT],
                y[_FRONT_RATES],
                (y[_FRONT_SPIN], grip),
                self.blocks[2:],
                gravity,
                self._axles[1],
            )
            moved = chassis_moves(
                chassis,
                speeds,
                (y[MOTOR], throttle, brake),
                gravity,
                rear[_JOINED],
                rear[_PUSHED],
                front[_JOINED],
                front[_PUSHED],
                self._chassis,
            )
            parts = moved[_PARTS]
            behind = axle_follows(parts, rear[_KEPT], y[_REAR], y[_REAR_RATES], self._axles[0])
            ahead = axle_follows(parts, front[_KEPT], y[_FRONT], y[_FRONT_RATES], self._axles[1])
        except ValueError as trouble:
            raise FloatingPointError(f"the state is not finite: {trouble}") from None
        return rear, front, moved, behind, ahead

    def rates(self, time: float, state: np.ndarray) -> np.ndarray:
        """Time derivative of the state, shape (47,)."""
        y = state.tolist()
        solved = self._solved(time, y, axle_moves)
        self._located = state, solved[0][_LOCATED], solved[1][_LOCATED]
        return np.array(_rates(y, *solved))

    def stiff_rates(self, time: float, state: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Rates, then slopes, rows and pulls of slips (8) and drag brake: ``J ~ -pulls^T slopes rows``."""
        y = state.tolist()
        solved = self._solved(time, y)
        rear, front, moved, *_ = solved
        self._located = state, rear[_LOCATED], front[_LOCATED]
        slopes = [*rear[_SLOPES], *front[_SLOPES]]
        braked = moved[_BRAKE_SLOPE] != 0.0
        if braked:
            slopes.append(moved[_BRAKE_SLOPE])
        kept = (*rear[_KEPT], *rear[_TURNS], *front[_KEPT], *front[_TURNS])
        rows, pulls = self.constraints.stiff_terms(y, kept, (*rear[_SLIPS], *front[_SLIPS]), braked)
        return np.array(_rates(y, *solved)), np.array(slopes), rows, pulls

    def stride(self, time: float, state: np.ndarray, new: np.ndarray) -> float:
        """As `brake_stride` of the motor's speed."""
        return 0.0 if self.controls(time)[2] == 0.0 else brake_stride(float(state[MOTOR]), float(new[MOTOR]))

    def jacobian(self, time: float, state: np.ndarray) -> np.ndarray:
        """Exact Jacobian of the rates, shape (47, 47); rows of the running integrals are left at zero."""
        y = state.tolist()
        rear, front, moved, behind, ahead = self._solved(time, y)
        accelerations = _accelerations(moved, behind, ahead)
        _, grip, brake = self.controls(time)
        parts = motion_slopes(
            self.numbers,
            y,
            accelerations,
            (behind[_MULTIPLIERS], ahead[_MULTIPLIERS]),
            self.constraints.matrix((*rear[_KEPT], *rear[_TURNS], *front[_KEPT], *front[_TURNS])),
            grip,
            brake,
            self.blocks,
            self.gravity,
        )
        whole = np.zeros((SIZE, SIZE))
        whole[COORDINATE_ROWS, RATE_ROWS] = np.eye(COORDINATE_COUNT)
        whole[SPEED_ROWS, :MOVING] = parts
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
            contact_switch(depth, raw, self._tyres[k])
            for k, out in enumerate((rear, front))
            for depth, raw in zip(out[_DEPTHS], out[_RAW], strict=True)
        ]
        kinks = [depth - TOUCH_DEPTH for out in (rear, front) for depth in out[_DEPTHS]]
        pitch, roll = -y[PITCH], abs(y[ROLL])
        over = max(roll - ROLLED_OVER, *(abs(y[row]) - AXLE_ON_ITS_SIDE for row in AXLE_ROLLS))
        droops, bumps, rates = (rear[rows] + front[rows] for rows in (_DROOPS, _BUMPS, _SHOCK_RATES))
        stops = shock_switches(droops, bumps, rates, self._stops)
        return (
            *contact,
            *stops[:8],
            pitch - FLIP_PITCH,
            -pitch - FLIP_PITCH,
            over,
            *kinks,
            *stops[8:],
            *rear[_COIL_GAPS],
            *front[_COIL_GAPS],
        )

    def _kinks(self, y: list[float]) -> list[tuple[float, ...]]:
        """What kinks are located by, of rear and front."""
        try:
            return [
                axle_switches(
                    y[CHASSIS_ROWS],
                    y[CHASSIS_RATES],
                    y[AXLE_ROWS[k]],
                    y[AXLE_RATES[k]],
                    (y[SPINS[k]], 1.0),
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
        return book_residual(states[ENERGY_ROWS], stored, self.weight * self.wheelbase)


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
    powers = moved[_POWERS]
    return (*y[RATE_ROWS], *_accelerations(moved, behind, ahead), *powers, *lost, abs(powers[0]))


def _accelerations(moved: tuple[float, ...], behind: tuple[float, ...], ahead: tuple[float, ...]) -> tuple[float, ...]:
    """Of coordinates, spins and motor (21)."""
    return (
        *moved[_ALONG],
        *moved[_ANGLES],
        *behind[_FOLLOWED],
        *ahead[_FOLLOWED],
        behind[_SPIN],
        ahead[_SPIN],
        moved[_MOTOR],
    )


def state_scales(numbers: MotionNumbers) -> np.ndarray:
    """Sizes by which errors of the state are judged, as in the side view."""
    length = numbers.wheelbase
    speed = (numbers.chassis["gravity"] * length) ** 0.5
    place, fast = ([length] * 3 + [1.0] * 3) * 3, ([speed] * 3 + [speed / length] * 3) * 3
    for k, axle in enumerate(numbers.axles):
        stiffness, height, roll = 2.0 * axle["tyre_stiffness"], AXLE_HEIGHTS[k], AXLE_ROLLS[k]
        half = axle["half_track"]
        place[height] = min(length, SINK_SCALE * numbers.weight / stiffness)
        place[roll] = min(1.0, SINK_SCALE * numbers.weight / (stiffness * half))
        fast[height] = min(speed, numbers.weight / (stiffness * axle["mass"]) ** 0.5)
        fast[roll] = ROLL_SCALE * numbers.weight / (stiffness * axle["roll_inertia"]) ** 0.5
        fast[roll - 1] *= TURN_SCALE
    return np.array(place + fast + [speed / length * TURN_SCALE] * 3 + [numbers.weight * length] * (SIZE - MOVING))


def error_forms(scales: np.ndarray) -> np.ndarray:
    """Errors of places, rates and of the spins relative to their housings in their scales, (38, 47).

    The motor's speed follows from a spin and from how fast axle and chassis roll.
    """
    forms = np.eye(MOTOR, SIZE)
    for spin, rates in zip(SPINS, AXLE_RATES, strict=True):
        forms[spin, rates.start + AXLE_PLACE.index("axle_pitch")] = -1.0
    return forms / scales[:MOTOR, None]


def load_errors(numbers: MotionNumbers) -> np.ndarray:
    """What an error of an axle's height and roll, and of their rates, does to loads, as in the side view, (12, 47).

    Loads of the four wheels, then of the two axles.
    """
    forms = np.zeros((12, SIZE))
    for wheel in range(4):
        axle, height, roll = numbers.axles[wheel // 2], AXLE_HEIGHTS[wheel // 2], AXLE_ROLLS[wheel // 2]
        stiffness, side = axle["tyre_stiffness"] / numbers.weight, 1.0 - 2.0 * (wheel % 2)
        forms[wheel, height], forms[wheel, roll] = stiffness, side * stiffness * axle["half_track"]
        swing = (0.5 * stiffness / numbers.weight) ** 0.5
        forms[4 + wheel, COORDINATE_COUNT + height] = swing * axle["mass"] ** 0.5
        forms[4 + wheel, COORDINATE_COUNT + roll] = side * swing * axle["roll_inertia"] ** 0.5
    forms[8:] = forms[0:8:2] + forms[1:8:2]
    return forms
