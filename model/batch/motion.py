"""Many moving vehicles side by side, for the batch integrator; the last axis is the case.

State (20): coordinates (9) and speeds (11) in the order of `noseload.model.motion.vehicle_motion`. Running integrals of energy are left
to single runs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.generated.parameter_order import COORDINATES, MOBILITY, ROWS, SPEEDS
from noseload.model.motion.rows import COORDINATE_ROWS, MOVING, SPEED_ROWS
from noseload.model.motion.vehicle_motion import FLIP_PITCH
from noseload.model.parameters import BRAKE_SPEED, ENDS

from .kernels import BatchKernel, PairedKernel, PairedRows, paired_numbers, paired_rooms

if TYPE_CHECKING:
    from noseload.model.batch.equilibrium import VehicleBatch
    from noseload.model.motion.programs import Program


TOUCH_DEPTH = 1e-3
SWITCHES = tuple(
    f"{end}_{name}"
    for name in ("contact", "tyre_onset", "droop", "droop_onset", "bump", "bump_onset", "coil_loose")
    for end in ENDS
)
"""Where the force laws have kinks, rear and front in turn; contact and stops are positive when engaged."""
_FIRST, _PROJECT = ROWS["first_rates"], ROWS["project"]
_TOUCH = slice(_FIRST["tyre_depth"].start, _FIRST["coil_gap"].stop)
_SPINS, _SPIN_SPEEDS = ([SPEEDS.index(f"{end}_spin_rate") + k for end in ENDS] for k in (SPEED_ROWS.start, 0))
"""Rows of the spins' speeds in a state, and among the speeds."""


def _of_both(name: str) -> slice:
    """Rows among the speeds of what the axles have both, rear and front."""
    rear, front = (SPEEDS.index(f"{end}_{name}_rate") for end in ENDS)
    return slice(rear, front + 1, front - rear)


_ALONG_RATES, _TURN_RATES, _SPIN_RATES = (_of_both(name) for name in ("x", "theta", "spin"))


_PLACE_WEIGHTS = np.array([0.0, 1.0, 0.0] * 3 + [0.0] * 2)
_TURN_WEIGHTS = np.array([0.0, 0.0, 0.3] + [0.0, 0.0, 0.1] * 2 + [0.08] * 2)
"""What steers the step: heave of the bodies, and pitch and spins with levers as shares of the wheelbase.

Without the spins, long flights near tip-over land late: their turn rate comes from the wheels.
"""


class BatchProgram:
    """An input over time for every case, linear between its points and constant outside them.

    Parameters
    ----------
    times, values : array_like, shape (points, cases) or (points,)
        s, not falling along the first axis; two points at one time are a jump.
    """

    def __init__(self, times: np.ndarray | list[float], values: np.ndarray | list[float]) -> None:
        times, values = np.broadcast_arrays(np.asarray(times, dtype=float), np.asarray(values, dtype=float))
        if times.ndim == 1:
            times, values = times[:, None], values[:, None]
        self.times, self.values = times, values
        width = np.diff(times, axis=0)
        rise = np.divide(np.diff(values, axis=0), width, out=np.zeros(width.shape), where=width > 0.0)
        flat = np.zeros((1, times.shape[1]))
        self._slopes = np.concatenate([flat, rise, flat])
        self._starts = np.concatenate([times[:1], times])
        self._levels = np.concatenate([values[:1], values])
        self._ends = np.concatenate([times, np.full((1, times.shape[1]), np.inf)])

    @classmethod
    def of(cls, programs: list[Program]) -> BatchProgram:
        """From one `noseload.model.motion.programs.Program` a case."""
        points = max(len(p.times) for p in programs)
        rows = [[list(axis) + [axis[-1]] * (points - len(axis)) for axis in (p.times, p.values)] for p in programs]
        times, values = np.array(rows).transpose(1, 2, 0)
        return cls(times, values)

    @property
    def is_constant(self) -> bool:
        """True where no case ever changes."""
        return bool((self.values == self.values[:1]).all())

    def pieces(self, times: np.ndarray, cases: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Start (s), value, slope and end (s) of the pieces that begin at or hold the given times of some cases."""
        width = self.times.shape[1]
        column = cases if width > 1 else np.zeros_like(cases)
        row = (self.times[:, column] <= times + 1e-9).sum(axis=0)
        return tuple(table[row, column] for table in (self._starts, self._levels, self._slopes, self._ends))

    def take(self, cases: np.ndarray) -> BatchProgram:
        """The programs of some of the cases."""
        return self if self.times.shape[1] == 1 else BatchProgram(self.times[:, cases], self.values[:, cases])


@dataclass(frozen=True)
class Controls:
    """Programs of throttle (no unit), grip factor and drag brake (N m)."""

    throttle: BatchProgram
    grip_factor: BatchProgram
    brake_torque: BatchProgram

    @classmethod
    def of(
        cls, throttle: BatchProgram, grip_factor: BatchProgram | None = None, brake_torque: BatchProgram | None = None
    ) -> Controls:
        """With full grip and no brake unless given."""
        return cls(throttle, grip_factor or BatchProgram([0.0], [1.0]), brake_torque or BatchProgram([0.0], [0.0]))

    def all(self) -> tuple[BatchProgram, BatchProgram, BatchProgram]:
        """The three programs in the kernels' order."""
        return self.throttle, self.grip_factor, self.brake_torque

    def take(self, cases: np.ndarray) -> Controls:
        """Those of some of the cases."""
        return Controls(*(program.take(cases) for program in self.all()))


class ManyUnderInputs:
    """Vehicles under inputs over time, as a batch integrator takes them: each case from one corner to its next.

    Parameters
    ----------
    controls : Controls
    cases : int
    """

    def __init__(self, controls: Controls, cases: int) -> None:
        self.controls, self.cases = controls, cases
        self.has_brake = bool(controls.brake_torque.values.any())
        self._pieces = np.zeros((3, 4, cases))
        self._pieces[:, 3] = -np.inf
        self._changing = [not program.is_constant for program in controls.all()]
        # Where all inputs are in their pieces: from the latest start to the first end.
        self._from, self._to = np.zeros(cases), np.full(cases, -np.inf)

    def enter(self, times: np.ndarray) -> np.ndarray:
        """Find the straight pieces of the inputs that hold these times; returns when the next corner comes, s."""
        late = times + 1e-9
        if np.count_nonzero((late >= self._to) | (late < self._from)):
            for piece, program in zip(self._pieces, self.controls.all(), strict=True):
                moved = np.flatnonzero((late >= piece[3]) | (late < piece[0]))
                if moved.size:
                    piece[:, moved] = program.pieces(times[moved], moved)
            self._from, self._to = self._pieces[:, 0].max(axis=0), self._pieces[:, 3].min(axis=0)
        return self._to

    def inputs(self, times: np.ndarray) -> list[np.ndarray]:
        """Throttle, grip factor and brake torque (N m) of each case within its entered piece."""
        return [
            piece[1] + piece[2] * (times - piece[0]) if changing else piece[1]
            for piece, changing in zip(self._pieces, self._changing, strict=True)
        ]


class BatchMotion(ManyUnderInputs):
    """Vehicles moving on slopes under programs, as a batch integrator sees them.

    Parameters
    ----------
    vehicles : VehicleBatch
        With free lengths and mobility.
    grades : ndarray, shape (cases,)
        rad.
    controls : Controls
    """

    size, coordinates, switch_names = MOVING, len(COORDINATES), SWITCHES
    contacts = watched = ENDS
    """What touches the ground: the first switches; and what a recorder follows."""
    droops = slice(4, 6)
    """Rows of the droop stops among the switches."""
    quiet_rows = (2,)
    """Rows of the state that stand still in a settled motion."""
    stopping = slice(1, 2)
    """Of what is watched, whose lift ends a run that waits for one."""
    hopping = 1
    """Of what is watched, the front axle, whose hops are counted."""

    def __init__(self, vehicles: VehicleBatch, grades: np.ndarray, controls: Controls) -> None:
        self.vehicles, self.grades = vehicles, np.asarray(grades, dtype=float)
        super().__init__(controls, vehicles.cases)
        rooms = paired_rooms(("first_rates", "second_rates"), self.cases)
        # Two sets of outputs: a step that is taken back needs the rates at its start again.
        self._first = [PairedKernel("first_rates", self.cases, rooms=rooms) for _ in range(2)]
        self._second = PairedKernel("second_rates", self.cases, rooms=rooms)
        self._project = BatchKernel("project", self.cases)
        self._places, self._speeds = (PairedRows("batch", name, self.cases) for name in ("coordinates", "speeds"))
        # Named where it is missing: the kernels take rows by place.
        vehicles.row_of(MOBILITY[0])
        self._numbers = paired_numbers("batch", vehicles.parameters)
        self._stiffness = np.stack([vehicles[f"{end}_tyre_stiffness"] for end in ENDS])
        self._motors = np.stack([vehicles["rear_motor"], vehicles["front_motor"]])
        self._stages = [Stage(kernel.out, self) for kernel in self._first]
        speed = np.sqrt(vehicles["gravity"] * vehicles.wheelbases)
        lever = vehicles.wheelbases
        self.speed_weights = np.multiply.outer(_PLACE_WEIGHTS, 1.0 / speed) + np.multiply.outer(
            _TURN_WEIGHTS, lever / speed
        )

    def first(self, times: np.ndarray, state: np.ndarray) -> Stage:
        """Everything at the start of a step, as a `Stage`; the one before it stays valid."""
        self._first.reverse()
        self._stages.reverse()
        inputs = self.inputs(times)
        out = self._first[0](self._both(state), [*inputs, self.grades], self._numbers)
        if self.has_brake:
            self._soften(out[_FIRST["slopes"]][2], state, out, inputs[2])
        return self._stages[0]

    def _soften(self, slope: np.ndarray, state: np.ndarray, rates: np.ndarray, brake: np.ndarray) -> None:
        """Take the brake's slope from its torque to zero, where wheels are brought to a stand, in place.

        Away from standstill the law is flat, and a step that knows nothing of its steep middle jumps to and fro over
        it. Where wheels leave standstill the slope of the law itself is the better one. The method keeps its order
        with either.
        """
        place, rate = (
            self._motors[0] * rows[rear] + self._motors[1] * rows[front]
            for rows, (rear, front) in ((state, _SPINS), (rates, _SPIN_SPEEDS))
        )
        place = place / BRAKE_SPEED
        tangent = np.tanh(place)
        chord = np.divide(tangent, place, out=np.ones(place.shape), where=np.abs(place) > 1e-6)
        slope += np.where(place * rate < 0.0, brake / BRAKE_SPEED * (chord - (1.0 - tangent**2)), 0.0)

    def second(self, times: np.ndarray, state: np.ndarray) -> np.ndarray:
        """Speed rates (11, cases) within a step."""
        return self._second(self._both(state), [*self.inputs(times), self.grades], self._numbers)

    def _both(self, state: np.ndarray) -> tuple[PairedRows, PairedRows]:
        """Coordinates and speeds, alone and beside those of the other axle."""
        return self._places.fill(state[COORDINATE_ROWS]), self._speeds.fill(state[SPEED_ROWS])

    def longest_step(self, stage: Any) -> None:
        """No limit: the stiff terms have all that is stiff."""

    def project(self, state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Move states onto the constraints in place; largest drift in position (m) and speed (m/s) of each case."""
        rows = list(state)
        out = self._project(rows[COORDINATE_ROWS], rows[SPEED_ROWS], self._numbers[0])
        state[:] = out[:MOVING]
        position, speed = (np.abs(out[_PROJECT[kind]]).max(axis=0) for kind in ("position_drift", "speed_drift"))
        return position, speed

    # what is watched of a run ------------------------------------------------------------

    def watch(self, loads: np.ndarray, switches: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Loads and contact switches of what is watched, (2, cases) each."""
        return loads, switches[:2]

    def over(self, state: np.ndarray) -> tuple[np.ndarray | None, np.ndarray]:
        """How cases have gone over: 0 not, 1 backward, 2 forward, or None where none has; and their nose-up pitch, rad."""
        pitch = -state[2]
        flipped = np.abs(pitch) >= FLIP_PITCH
        return np.where(flipped, np.where(pitch > 0.0, 1, 2), 0) if np.count_nonzero(flipped) else None, pitch

    def stand(self, down: np.ndarray) -> np.ndarray:
        """Which cases stand, from what of the watched is down, (2, cases)."""
        return np.asarray(down.all(axis=0))

    @property
    def slip_speeds(self) -> np.ndarray:
        """The larger slip speed of the tyres, m/s, (cases,)."""
        return np.maximum(self.vehicles["rear_slip_speed"], self.vehicles["front_slip_speed"])

    def take(self, cases: np.ndarray) -> BatchMotion:
        """The motion of some of the cases."""
        return BatchMotion(self.vehicles.take(cases), self.grades[cases], self.controls.take(cases))


class Stage:
    """Rates and stiff terms at the start of a step; rows of `out` by name.

    The stiff part of the rates' Jacobian is ``-pulls^T diag(slopes) rows`` on the speeds: two slips and the motor,
    whose torque falls with its speed (and with the drag brake's).
    """

    def __init__(self, out: np.ndarray, motion: BatchMotion) -> None:
        self.out, self._motion = out, motion
        self.rates, self.loads, self.touch = out[_FIRST["speed_rates"]], out[_FIRST["load"]], out[_TOUCH]
        self.slopes, self.pulls = out[_FIRST["slopes"]], out[_FIRST["pulls"]].reshape(3, len(SPEEDS), -1)
        self._mutual, arms = out[_FIRST["mutual"]], out[_FIRST["slip_arms"]]
        self._turn_arms, self._spin_arms, self._motors = arms[:2], arms[2:], motion._motors

    def cross(self) -> np.ndarray:
        """``rows pulls^T``, symmetric: its entries 00, 01, 11, 02, 12, 22."""
        return self._mutual

    def along(self, speeds: np.ndarray) -> np.ndarray:
        """``rows`` times a vector of speeds (11, cases), shape (3, cases)."""
        found = np.empty((3, speeds.shape[1]))
        slips, spins = found[:2], speeds[_SPIN_RATES]
        np.multiply(self._turn_arms, speeds[_TURN_RATES], out=slips)
        slips += self._spin_arms * spins
        slips -= speeds[_ALONG_RATES]
        turned = self._motors * spins
        np.add(turned[0], turned[1], out=found[2])
        return found

    def switches(self, out: np.ndarray) -> np.ndarray:
        """Write the switch functions (14, cases) into `out`: metres, positive when engaged."""
        depth, raw, stops, out[12:] = self.touch[:2], self.touch[2:4], self.touch[4:8], self.touch[8:]
        carried = raw / self._motion._stiffness
        carried -= depth
        carried *= np.minimum(1.0, depth / TOUCH_DEPTH)
        carried += depth
        np.minimum(depth, carried, out=out[:2])
        np.subtract(depth, TOUCH_DEPTH, out=out[2:4])
        # Of both stops of both axles where they touch, and where they bear whole.
        touched = out[4:12].reshape(2, 2, 2, -1)
        touched[:, 0] = stops.reshape(2, 2, -1)
        np.subtract(touched[:, 0], TOUCH_DEPTH, out=touched[:, 1])
        return out
