"""Many vehicles moving in space side by side, for the batch integrator; the last axis is the case.

State (39): coordinates (18) and speeds (21) in the order of `noseload.model.space.vehicle_motion`. Running integrals of
energy are left to single runs.
"""

from __future__ import annotations

import numpy as np

from noseload.model.batch.kernels import kernel_rows
from noseload.model.batch.motion import TOUCH_DEPTH, Controls, ManyUnderInputs
from noseload.model.generated import array_space_batch, array_space_motion
from noseload.model.generated.space_motion_order import MOVING_NUMBERS, ROWS, SWITCHED
from noseload.model.parameters import BRAKE_SPEED
from noseload.model.units import STANDARD_GRAVITY

from .constraints import project_rows
from .motion_parameters import MotionNumbers
from .parameters import WHEELS
from .rows import (
    AXLE_RATES,
    AXLE_ROLLS,
    AXLE_ROWS,
    BODY_ANGLES,
    BODY_PLACES,
    CHASSIS_RATES,
    CHASSIS_ROWS,
    COORDINATE_COUNT,
    MOTOR,
    MOVING,
    PITCH,
    ROLL,
    SPEED_COUNT,
    SPEED_MOTOR,
    SPEED_SPINS,
    SPINS,
    one_after_another,
)
from .vehicle_motion import AXLE_ON_ITS_SIDE, FLIP_PITCH, ROLLED_OVER

KINDS = ("contact", "tyre_onset", "droop", "droop_onset", "bump", "bump_onset", "coil_loose")
SWITCHES = tuple(f"{wheel}_{kind}" for kind in KINDS for wheel in WHEELS)
"""Where the force laws have kinks, wheel by wheel; contact and stops are positive when engaged."""
YAW_ROOM = 1.5
"""Largest step times the rate at which the wheels of axles, slipping unlike, brake the vehicle's turning: no stiff row has
that, and the explicit method is stable up to 2."""
SOURCES = 5
"""Stiff rows: two of each axle, and the motor."""
_JOINED, _PUSHED, _KEPT, _CARRIES, _SWITCHED, _PUSHES, _SLIPS, _TURNED = ROWS["axle_first"].values()
_PARTS, _ANGLES = (ROWS["chassis_moves"][part] for part in ("accelerations", "angles"))
_FOLLOWED, _SPIN = ROWS["axle_follows"]["coordinates"], ROWS["axle_follows"]["spin"].start
_RATES, _SLOPES, _LOADS, _SWITCH, _ROWS, _CROSS, _PULLS = one_after_another(
    SPEED_COUNT,
    SOURCES,
    len(WHEELS),
    len(WHEELS) * len(SWITCHED),
    24,
    SOURCES * (SOURCES + 1) // 2,
    SOURCES * SPEED_COUNT,
)
_OUT = _PULLS.stop
_LEVEL = (np.array(0.0),) * 2
"""Blocks under the wheels of an axle: none."""
_PAIR = one_after_another(6, 6, 6, 6, 2)
"""What an axle's kernel takes of a state: chassis and axle with their rates, spin and grip."""
_PAIRS = {(i, j): k for k, (i, j) in enumerate((i, j) for i in range(SOURCES) for j in range(i, SOURCES))}
_FRONT_FIRST = [2, 3, 0, 1, 4]
"""Sources in the order in which the front axle takes them: its own first."""


def _crossed(k: int) -> tuple[list[int], list[int]]:
    """Where products of an axle's two stiff rows with the pulls of all sources stand in a stage, and in what it tells."""
    order = _FRONT_FIRST if k else range(SOURCES)
    told = [(own, s, 2 * place + own - 2 * k) for place, s in enumerate(order) for own in (2 * k, 2 * k + 1)]
    known = [(_CROSS.start + _PAIRS[own, s], source) for own, s, source in told if own <= s]
    return [place for place, _ in known], [source for _, source in known]


_CROSSED = (_crossed(0), _crossed(1))
_AXLE = 2
"""Place of the axle's state among the arguments of its kernel; its rates come next."""
_PLACE_WEIGHTS = np.array([0.0, 0.0, 1.0, 0.0, 0.0, 0.0] * 3 + [0.0] * 3)
_TURN_WEIGHTS = np.array([0.0, 0.0, 0.0, 0.0, 0.3, 0.3] + [0.0, 0.0, 0.0, 0.0, 0.1, 0.1] * 2 + [0.08, 0.08, 0.0])
"""What steers the step: heave, roll and pitch of the bodies, and the spins, with levers as shares of the wheelbase."""


class SpaceFleet:
    """Numbers of many vehicles moving in space.

    Parameters
    ----------
    vehicles : sequence of MotionNumbers
        One a case.
    """

    def __init__(self, vehicles: list[MotionNumbers]) -> None:
        self.vehicles = list(vehicles)
        # Starts on one climb share their numbers.
        different = {id(each): each for each in vehicles}
        place = {key: k for k, key in enumerate(different)}
        which = [place[id(each)] for each in vehicles]
        ordered = [each.ordered_axles() for each in different.values()]
        self.axles = [np.array([axles[k] for axles in ordered])[which].T.copy() for k in (0, 1)]
        self.chassis = np.array([each.ordered_chassis() for each in different.values()])[which].T.copy()
        self.weights = np.array([each.weight for each in vehicles])
        self.wheelbases = np.array([each.wheelbase for each in vehicles])

    @property
    def cases(self) -> int:
        """How many."""
        return self.weights.size

    def of_axle(self, k: int, name: str) -> np.ndarray:
        """A number of the rear (0) or the front axles (1), (cases,)."""
        return self.axles[k][MOVING_NUMBERS.index(name)]

    @property
    def slip_speeds(self) -> np.ndarray:
        """The larger slip speed of the tyres, m/s, (cases,)."""
        return np.maximum(self.of_axle(0, "slip_speed"), self.of_axle(1, "slip_speed"))

    def take(self, cases: np.ndarray) -> SpaceFleet:
        """Some of the cases."""
        other = object.__new__(SpaceFleet)
        other.vehicles = [self.vehicles[k] for k in cases]
        other.axles, other.chassis = [axle[:, cases] for axle in self.axles], self.chassis[:, cases]
        other.weights, other.wheelbases = self.weights[cases], self.wheelbases[cases]
        return other


class BatchSpaceMotion(ManyUnderInputs):
    """Vehicles moving in space on slopes under programs, as a batch integrator sees them.

    Parameters
    ----------
    vehicles : SpaceFleet
    grades, headings : ndarray, shape (cases,)
        rad.
    controls : Controls
    """

    size, coordinates, switch_names = MOVING, COORDINATE_COUNT, SWITCHES
    contacts = WHEELS
    """What touches the ground: the first switches."""
    watched = (*WHEELS, "rear_axle", "front_axle")
    """What a recorder follows; an axle is down where one of its wheels is."""
    quiet_rows = (PITCH, ROLL)
    """Rows of the state that stand still in a settled motion."""
    stopping = slice(0, 4)
    """Of what is watched, whose lift ends a run that waits for one."""
    hopping = 5
    """Of what is watched, the front axle, whose hops are counted."""
    droops = slice(8, 12)
    """Rows of the droop stops among the switches."""

    def __init__(
        self,
        vehicles: SpaceFleet,
        grades: np.ndarray | list[float],
        headings: np.ndarray | list[float],
        controls: Controls,
    ) -> None:
        super().__init__(controls, vehicles.cases)
        self.vehicles = vehicles
        self.grades, self.headings = np.asarray(grades, dtype=float), np.asarray(headings, dtype=float)
        cases = self.cases
        s, c = np.sin(self.grades), np.cos(self.grades)
        gravity = (-s * np.cos(self.headings), s * np.sin(self.headings), -c)
        self._gravity = [STANDARD_GRAVITY * row for row in gravity]
        # Rear axles and front axles side by side: one call of an axle's kernel for both, at half the calls' own cost.
        self._both = kernel_rows(np.hstack(vehicles.axles))
        self._both_gravity = [np.tile(row, 2) for row in self._gravity]
        self._pair = np.empty((_PAIR[-1].stop, 2 * cases))
        self._chassis = kernel_rows(vehicles.chassis)
        batch, single = array_space_batch, array_space_motion
        names = ("axle_first", "axle_second", "chassis_first", "axle_first_follows")
        most = max(*(batch.SCRATCH_ROWS[name] for name in names), *single.SCRATCH_ROWS.values())
        scratch = np.empty((most, 2 * cases))
        self._wide_scratch, self._scratch = list(scratch), list(scratch[:, :cases])
        axles = np.zeros((batch.OUTPUT_ROWS["axle_first"], 2 * cases))
        self._both_axles = list(axles)
        self._halves = (slice(0, cases), slice(cases, 2 * cases))
        self._first_axles = [list(axles[:, half]) for half in self._halves]
        self._outs = [_Out(cases) for _ in range(2)]
        self._first_chassis = np.zeros((batch.OUTPUT_ROWS["chassis_first"], cases))
        self._second_chassis = np.zeros((single.OUTPUT_ROWS["chassis_moves"], cases))
        self._first_follows = np.zeros((batch.OUTPUT_ROWS["axle_first_follows"], 2 * cases))
        self._second_follows = np.zeros((single.OUTPUT_ROWS["axle_follows"], 2 * cases))
        self._told = np.empty((SOURCES + 1, _PARTS.stop, 2 * cases))
        self._second = np.zeros((SPEED_COUNT, cases))
        self._stiffness = np.repeat([vehicles.of_axle(k, "tyre_stiffness") for k in (0, 1)], 2, axis=0)
        speed, lever = np.sqrt(STANDARD_GRAVITY * vehicles.wheelbases), vehicles.wheelbases
        self.speed_weights = np.multiply.outer(_PLACE_WEIGHTS, 1.0 / speed)
        self.speed_weights += np.multiply.outer(_TURN_WEIGHTS, lever / speed)
        masses = [vehicles.of_axle(k, "mass") for k in (0, 1)]
        turned = np.asarray([each.chassis["yaw_inertia"] for each in vehicles.vehicles])
        for k, mass in enumerate(masses):
            turned = turned + vehicles.of_axle(k, "roll_inertia") + mass * (0.5 * vehicles.wheelbases) ** 2
        self._yaw_rooms = [YAW_ROOM * turned / vehicles.of_axle(k, "half_track") ** 2 for k in (0, 1)]

    def _both_arguments(self, state: np.ndarray, grip: np.ndarray) -> tuple:
        """Arguments of an axle's kernel, the rear axles of all cases and then their front axles."""
        pair, cases = self._pair, self.cases
        for k, half in enumerate((pair[:, :cases], pair[:, cases:])):
            for part, rows in zip(_PAIR, (CHASSIS_ROWS, CHASSIS_RATES, AXLE_ROWS[k], AXLE_RATES[k]), strict=False):
                half[part] = state[rows]
            half[-2], half[-1] = state[SPINS[k]], grip
        told = list(pair)
        return (
            *(told[part] for part in _PAIR),
            _LEVEL,
            self._both_gravity,
            self._both,
            self._both_axles,
            self._wide_scratch,
        )

    def first(self, times: np.ndarray, state: np.ndarray) -> SpaceStage:
        """Everything at the start of a step, as a `SpaceStage`; the one before it stays valid."""
        self._outs.reverse()
        out, rows = self._outs[0], list(state)
        throttle, grip, brake = self.inputs(times)
        kernels, axles, chassis = array_space_batch, self._first_axles, self._first_chassis
        both = self._both_arguments(state, grip)
        kernels.axle_first_batch(*both)
        groups = [part for axle in axles for part in (axle[_JOINED], axle[_PUSHED], axle[_PUSHES])]
        motor = (rows[MOTOR], throttle, brake)
        kernels.chassis_first_batch(
            rows[CHASSIS_ROWS],
            rows[CHASSIS_RATES],
            motor,
            self._gravity,
            *groups,
            self._chassis,
            list(chassis),
            self._scratch,
        )
        out.keep_chassis(chassis, self._told)
        kernels.axle_first_follows_batch(
            list(self._told.reshape(-1, 2 * self.cases)),
            self._both_axles[_KEPT],
            self._both_axles[_SLIPS],
            both[_AXLE],
            both[_AXLE + 1],
            self._both,
            list(self._first_follows),
            self._wide_scratch,
        )
        for k, half in enumerate(self._halves):
            out.keep_axle(k, axles[k], self._first_follows[:, half])
        out.finish()
        if self.has_brake:
            self._soften(out.whole, state, brake)
        return SpaceStage(out.whole, self)

    def _soften(self, out: np.ndarray, state: np.ndarray, brake: float | np.ndarray) -> None:
        """As in the side view: the brake's slope from its torque to zero, where wheels are brought to a stand."""
        place = state[MOTOR] / BRAKE_SPEED
        tangent = np.tanh(place)
        chord = np.divide(tangent, place, out=np.ones(place.shape), where=np.abs(place) > 1e-6)
        more = brake / BRAKE_SPEED * (chord - (1.0 - tangent**2))
        out[_SLOPES.stop - 1] += np.where(place * out[SPEED_MOTOR] < 0.0, more, 0.0)

    def second(self, times: np.ndarray, state: np.ndarray) -> np.ndarray:
        """Speed rates (21, cases) within a step, overwritten by the next call."""
        rows, (throttle, grip, brake) = list(state), self.inputs(times)
        axles, both = self._first_axles, self._both_arguments(state, grip)
        array_space_batch.axle_second_batch(*both)
        groups = [part for axle in axles for part in (axle[_JOINED], axle[_PUSHED])]
        chassis, motor = self._second_chassis, (rows[MOTOR], throttle, brake)
        array_space_motion.chassis_moves_batch(
            rows[CHASSIS_ROWS],
            rows[CHASSIS_RATES],
            motor,
            self._gravity,
            *groups,
            self._chassis,
            list(chassis),
            self._scratch,
        )
        found, told, follows = self._second, self._told[0], self._second_follows
        found[BODY_PLACES[0]], found[BODY_ANGLES[0]] = chassis[BODY_PLACES[0]], chassis[_ANGLES]
        found[SPEED_MOTOR] = chassis[_PARTS.stop - 1]
        for half in self._halves:
            told[:, half] = chassis[_PARTS]
        array_space_motion.axle_follows_batch(
            list(told),
            self._both_axles[_KEPT],
            both[_AXLE],
            both[_AXLE + 1],
            self._both,
            list(follows),
            self._wide_scratch,
        )
        for k, half in enumerate(self._halves):
            found[AXLE_ROWS[k]], found[SPEED_SPINS[k]] = follows[_FOLLOWED, half], follows[_SPIN, half]
        return found

    def longest_step(self, stage: SpaceStage) -> np.ndarray:
        """Steps in which the vehicle's turning, which the wheels of an axle brake by slipping unlike, stays stable, s."""
        rows = stage.out[_ROWS]
        rear, front = (rows[place] ** 2 + rows[place + 1] ** 2 for place in (0, 12))
        return 1.0 / np.maximum(rear / self._yaw_rooms[0] + front / self._yaw_rooms[1], 1e-9)

    def project(self, state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Move states onto the constraints in place; largest drift in position (m) and speed (m/s) of each case."""
        moved, drifts = project_rows(self._both, self._chassis, state)
        state[:] = moved
        return np.abs(drifts[:8]).max(axis=0), np.abs(drifts[8:]).max(axis=0)

    def take(self, cases: np.ndarray) -> BatchSpaceMotion:
        """The motion of some of the cases."""
        return BatchSpaceMotion(
            self.vehicles.take(cases), self.grades[cases], self.headings[cases], self.controls.take(cases)
        )

    # what is watched of a run ------------------------------------------------------------

    def watch(self, loads: np.ndarray, switches: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Loads and contact switches of what is watched, (6, cases) each."""
        both = [loads[0] + loads[1], loads[2] + loads[3]]
        down = [np.maximum(switches[0], switches[1]), np.maximum(switches[2], switches[3])]
        return np.vstack([loads, *both]), np.vstack([switches[:4], *down])

    def stand(self, down: np.ndarray) -> np.ndarray:
        """Which cases stand, from what of the watched is down, (6, cases): on each axle and on each side."""
        return down[4] & down[5] & (down[0] | down[2]) & (down[1] | down[3])

    @property
    def slip_speeds(self) -> np.ndarray:
        """The larger slip speed of the tyres, m/s, (cases,)."""
        return self.vehicles.slip_speeds

    def over(self, state: np.ndarray) -> tuple[np.ndarray | None, np.ndarray]:
        """How cases have gone over: 0 not, 1 backward, 2 forward, 3 rolled, or None; and their nose-up pitch, rad."""
        pitch = -state[PITCH]
        lean = np.maximum(*(np.abs(state[row]) for row in AXLE_ROLLS)) >= AXLE_ON_ITS_SIDE
        rolled = (np.abs(state[ROLL]) >= ROLLED_OVER) | lean
        pitched = np.abs(pitch) >= FLIP_PITCH
        if not (rolled | pitched).any():
            return None, pitch
        return np.where(pitched, np.where(pitch > 0.0, 1, 2), np.where(rolled, 3, 0)), pitch


class _Out:
    """Rows of a stage in one array."""

    def __init__(self, cases: int) -> None:
        self.whole = np.zeros((_OUT, cases))
        self.whole[_SLOPES] = 1.0
        self.pulls = self.whole[_PULLS].reshape(SOURCES, SPEED_COUNT, cases)

    def keep_chassis(self, chassis: np.ndarray, told: np.ndarray) -> None:
        """Rates and pulls of chassis and motor; what both axles are `told` of each source, their own sources first."""
        whole, cases = self.whole, self.whole.shape[1]
        parts, slope = _ANGLES.stop, _ANGLES.stop
        rates, pulls = chassis[:parts], chassis[slope + 1 :].reshape(SOURCES, parts, cases)
        own = whole[_RATES]
        own[BODY_PLACES[0]], own[BODY_ANGLES[0]] = rates[BODY_PLACES[0]], rates[_ANGLES]
        own[SPEED_MOTOR], whole[_SLOPES.stop - 1] = rates[_PARTS.stop - 1], chassis[slope]
        self.pulls[:, BODY_PLACES[0]], self.pulls[:, BODY_ANGLES[0]] = pulls[:, BODY_PLACES[0]], pulls[:, _ANGLES]
        self.pulls[:, SPEED_MOTOR] = pulls[:, _PARTS.stop - 1]
        told[0, :, :cases] = told[0, :, cases:] = rates[_PARTS]
        told[1:, :, :cases], told[1:, :, cases:] = pulls[:, _PARTS], pulls[_FRONT_FIRST, _PARTS]

    def keep_axle(self, k: int, axle: list, follows: np.ndarray) -> None:
        """Loads, switch values and stiff rows of an axle, its rates and pulls, and its rows times those."""
        whole, parts = self.whole, _SPIN + 1
        whole[_LOADS.start + 2 * k : _LOADS.start + 2 * k + 2] = axle[_CARRIES]
        switched = axle[_SWITCHED]
        for kind in range(len(SWITCHED)):
            place = _SWITCH.start + 4 * kind + 2 * k
            whole[place : place + 2] = switched[2 * kind : 2 * kind + 2]
        whole[_ROWS.start + 12 * k : _ROWS.start + 12 * k + 12] = axle[_TURNED]
        rates, pulls = whole[_RATES], follows[parts : parts * (SOURCES + 1)].reshape(SOURCES, parts, -1)
        rates[AXLE_ROWS[k]], rates[SPEED_SPINS[k]] = follows[_FOLLOWED], follows[_SPIN]
        order = _FRONT_FIRST if k else slice(None)
        self.pulls[order, AXLE_ROWS[k]], self.pulls[order, SPEED_SPINS[k]] = pulls[:, _FOLLOWED], pulls[:, _SPIN]
        places, sources = _CROSSED[k]
        whole[places] = follows[parts * (SOURCES + 1) :][sources]

    def finish(self) -> None:
        """The motor's own entry among the products of rows and pulls."""
        self.whole[_CROSS.stop - 1] = self.whole[_PULLS.start + (SOURCES - 1) * SPEED_COUNT + SPEED_MOTOR]


class SpaceStage:
    """Rates and stiff terms at the start of a step; the stiff part is ``-pulls^T diag(slopes) rows`` on the speeds."""

    def __init__(self, out: np.ndarray, motion: BatchSpaceMotion) -> None:
        self.out, self._motion = out, motion
        self.rates, self.loads, self.slopes = out[_RATES], out[_LOADS], out[_SLOPES]
        self.pulls = out[_PULLS].reshape(SOURCES, SPEED_COUNT, -1)

    def cross(self) -> np.ndarray:
        """``rows pulls^T``, symmetric: the upper triangle row by row."""
        return self.out[_CROSS]

    def along(self, speeds: np.ndarray) -> list[np.ndarray]:
        """``rows`` times a vector of speeds (21, cases): five arrays."""
        rows, found = self.out[_ROWS], []
        for k in (0, 1):
            axle = speeds[AXLE_ROWS[k]]
            for s in (0, 1):
                row = rows[12 * k + 6 * s : 12 * k + 6 * s + 6]
                total = row[0] * axle[0]
                total += row[1] * axle[1]
                total += row[2] * axle[3]
                total += row[3] * axle[4]
                total += row[4] * axle[5]
                total += row[5] * speeds[SPEED_SPINS[k]]
                found.append(total)
        return [*found, speeds[SPEED_MOTOR]]

    def switches(self, out: np.ndarray) -> np.ndarray:
        """Write the switch functions (28, cases) into `out`: metres, positive when engaged."""
        depth, raw, droop, bump, coil = self.out[_SWITCH].reshape(len(SWITCHED), 4, -1)
        carried = depth + (raw / self._motion._stiffness - depth) * np.minimum(1.0, depth / TOUCH_DEPTH)
        np.minimum(depth, carried, out=out[0:4])
        np.subtract(depth, TOUCH_DEPTH, out=out[4:8])
        out[8:12], out[16:20] = droop, bump
        np.subtract(droop, TOUCH_DEPTH, out=out[12:16])
        np.subtract(bump, TOUCH_DEPTH, out=out[20:24])
        out[24:28] = coil
        return out
