"""One moving axle eliminated: what it hands on to chassis and motor."""

from __future__ import annotations

from typing import TYPE_CHECKING

import sympy as sp

from .assembly import parameter
from .space_assembly import symbols
from .space_mechanism import ZERO, SpaceMechanism
from .space_moving import MovingAxle
from .vectors import Vectors, cholesky, forward

if TYPE_CHECKING:
    from sympy import Expr


ROWS, COLUMNS = 5, 7
"""Constraints of an axle, and speeds of chassis and motor."""
PAIRS = tuple((i, j) for i in range(COLUMNS) for j in range(i + 1))
"""Lower triangle of a matrix over chassis and motor."""


def inverse_turn(
    vectors: Vectors, moment: tuple[Expr, Expr, Expr], wheel_axis: tuple[Expr, Expr, Expr]
) -> tuple[Expr, Expr, Expr]:
    """Turning acceleration of an axle assembly from a moment: its inertia is alike about all axes across the wheels'."""
    roll, pitch = 1 / parameter("roll_inertia"), 1 / parameter("pitch_inertia")
    flat = vectors.tape.assign(roll)
    own = vectors.tape.assign(vectors.tape.assign(pitch - roll) * vectors.dot(moment, wheel_axis))
    return vectors.mix((flat, own), (moment, wheel_axis))


class EliminatedAxle:
    """One axle eliminated."""

    def __init__(self) -> None:
        self.moving = moving = MovingAxle()
        self.tape, self.vectors = moving.tape, moving.vectors
        tape, vectors, rows = self.tape, self.vectors, moving.rows
        light = tape.assign(1 / parameter("mass"))
        quick = tape.assign(1 / parameter("wheels_inertia"))
        self.mobile = [
            (
                vectors.times(light, row.along),
                inverse_turn(vectors, row.axle_turn, moving.wheel_axis),
                tape.assign(quick * row.spin),
            )
            for row in rows
        ]

        def entry(i: int, j: int) -> Expr:
            along, turn, spin = self.mobile[j]
            terms = [vectors.dot(rows[i].along, along), vectors.dot(rows[i].axle_turn, turn), rows[i].spin * spin]
            # An axle without gear has no row there: its multiplier is held at zero.
            return sp.Add(*terms) + (1 - parameter("driven") if i == j == ROWS - 1 else 0)

        self.factor = cholesky(tape, entry, ROWS)
        led = [forward(tape, self.factor, self._column(j)) for j in range(COLUMNS)]
        self.led = [[led[j][i] for j in range(COLUMNS)] for i in range(ROWS)]
        self.joined = [tape.assign(sp.Add(*(self.led[k][i] * self.led[k][j] for k in range(ROWS)))) for i, j in PAIRS]

    def _column(self, j: int) -> list[Expr]:
        """How the rows follow one of the chassis' speeds or the motor's."""
        rows = self.moving.rows
        if j < 3:
            return [self.tape.assign(-row.along[j]) for row in rows]
        if j < 6:
            return [row.chassis_turn[j - 3] for row in rows]
        return [row.motor for row in rows]

    def reached(self, right: list[Expr]) -> tuple[list[Expr], list[Expr]]:
        """``y`` of ``L y = right``, and the push ``Y^T y`` on chassis and motor."""
        free = forward(self.tape, self.factor, right)
        pushed = [sp.Add(*(self.led[k][j] * free[k] for k in range(ROWS))) for j in range(COLUMNS)]
        return free, pushed

    def mobile_dot(self, force: list[Expr]) -> list[Expr]:
        """How fast each row is left by a force on axle (6) and spin alone."""
        return [
            sp.Add(*(a * b for a, b in zip((*along, *turn, spin), force, strict=True)))
            for along, turn, spin in self.mobile
        ]

    def accelerated(self) -> tuple:
        """Right sides of the moving axle: ``y``, push on chassis and motor, forces on axle and spin."""
        moving, tape = self.moving, self.tape
        force = [*moving.wrench(moving.axle), tape.assign(sp.Add(*moving.spin_forces))]
        pulled = self.mobile_dot(force)
        gaps = [tape.assign(row.gamma - pull) for row, pull in zip(moving.rows, pulled, strict=True)]
        free, pushed = self.reached(gaps)
        wrench = [*moving.wrench(moving.chassis), ZERO]
        return free, [tape.assign(a + b) for a, b in zip(wrench, pushed, strict=True)], force

    def drifts(self) -> list[Expr]:
        """How fast each row's residual grows, m/s; the gear's is rad/s."""
        moving, vectors = self.moving, self.vectors
        axle, chassis = moving.axle, moving.chassis
        gap = vectors.less(axle.velocity, chassis.velocity)
        found = []
        for row in moving.rows:
            turned = vectors.dot(row.axle_turn, axle.turning) + vectors.dot(row.chassis_turn, chassis.turning)
            spun = row.spin * parameter("spin") + row.motor * parameter("motor_speed")
            found.append(self.tape.assign(vectors.dot(row.along, gap) + turned + spun))
        return found

    def row_parts(self) -> list:
        """Factor, ``Y`` and the rows' parts on the axle, as CARRIED and PROJECTED begin."""
        rows = self.moving.rows
        return [
            *(entry for row in self.factor for entry in row),
            *(self.led[i][j] for i in range(ROWS) for j in range(COLUMNS - (i < ROWS - 1))),
            *(part for row in rows[:-1] for part in row.along),
            *(part for row in rows for part in row.axle_turn),
            *self.moving.wheel_axis,
        ]

    def stiff(self) -> dict[str, list[Expr]]:
        """Slopes (4) and rows (4 x 6, without the part across the plane, which is zero) of the wheels' slips."""
        slips = self.moving.slips
        return {
            "slip_slopes": [slope for slip in slips for slope in slip.slopes],
            "slip_rows": [part for slip in slips for row in slip.rows for part in row],
        }


class LoneBody:
    """A body alone, for what is found of its angles."""

    def __init__(self, name: str, place: tuple[str, ...], rates: tuple[str, ...], letters: str) -> None:
        self.mechanism = SpaceMechanism()
        self.tape = self.mechanism.tape
        self.vectors = Vectors(self.tape)
        self.place, self.rates = symbols(place), symbols(rates)
        turns = tuple(zip(letters, self.place[3:], strict=True))
        self.body = self.mechanism.body(name, self.place[:3], turns)
        self.axes = [axis for _, (_, axis) in self.body.moves[3:]]
        self.turning = self.vectors.mix(self.rates[3:], self.axes)

    def inertia(self, names: tuple[str, str, str]) -> list[list[Expr]]:
        """Lower triangle of a diagonal inertia in the frame."""
        own, turn = symbols(names), self.body.rotation
        return [
            [self.tape.assign(sp.Add(*(turn[i][k] * own[k] * turn[j][k] for k in range(3)))) for j in range(i + 1)]
            for i in range(3)
        ]

    def angles(self, turn: list[Expr] | tuple[Expr, Expr, Expr]) -> tuple[Expr, Expr, Expr]:
        """Changes of the three angles that make a turn; the second axis is square to the others."""
        up, second, third = (ZERO, ZERO, sp.Integer(1)), *self.axes[1:]
        level = self.vectors.cross(up, second)
        last = self.tape.assign(self.vectors.dot(turn, level) / self.vectors.dot(third, level))
        return self.tape.assign(turn[2] - third[2] * last), self.vectors.dot(turn, second), last

    def angle_rates(self, turning_rate: list[Expr] | tuple[Expr, Expr, Expr]) -> tuple[Expr, Expr, Expr]:
        """Second derivatives of the three angles from an angular acceleration."""
        vectors, rates, (_, second, third) = self.vectors, self.rates, self.axes
        up = (ZERO, ZERO, sp.Integer(1))
        both = vectors.mix((rates[3], rates[4]), (up, second))
        swings = (vectors.cross(up, second), vectors.cross(both, third))
        swung = vectors.mix((rates[3] * rates[4], rates[5]), swings)
        return self.angles(vectors.less(turning_rate, swung))
