"""Kernels of slopes in space: steady motion with its Jacobian, and the tangent of the moving vehicle."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import sympy as sp

from .assembly import parameter
from .codegen import Kernel
from .derive_space import AXLE_NUMBERS
from .derive_space_motion import BLOCKS, CHASSIS_INERTIAS, CHASSIS_NUMBERS, MOVING_NUMBERS, axle_arguments
from .space_assembly import AXLE, CHASSIS, SIDES, TENSIONS, assemble_axle, symbols
from .space_elimination import LoneBody
from .space_mechanism import ZERO
from .space_moving import AXLE_SPEEDS, CHASSIS_PLACE, CHASSIS_SPEEDS, WHEELS, MovingAxle
from .space_steady import STEADY_UNKNOWNS, add_steady_wheels

if TYPE_CHECKING:
    from sympy import Expr, Symbol

    from noseload.model.symbols.vectors import Vectors


MULTIPLIERS = (*TENSIONS, "wheel_torque")


def _turned(
    vectors: Vectors, axes: list, rates: Sequence[Expr], accelerations: Sequence[Expr]
) -> tuple[Expr, Expr, Expr]:
    """Angular acceleration in the frame from the second derivatives of three angles."""
    first, second, third = axes
    both = vectors.mix(rates[:2], (first, second))
    swings = (vectors.cross(vectors.times(rates[0], first), second), vectors.cross(both, third))
    return vectors.add(vectors.mix(accelerations, axes), vectors.mix(rates[1:], swings))


def _accelerations(names: Sequence[str]) -> list[Symbol]:
    return symbols(f"{name}_acceleration" for name in names)


def derive_space_tangent() -> list[Kernel]:
    """Slopes of what balances at given accelerations and multipliers; kernels (for one state)."""
    moving = MovingAxle()
    tape, vectors = moving.tape, moving.vectors
    multipliers = symbols(MULTIPLIERS)
    speed_up = _accelerations((*AXLE, "spin"))
    chassis_up = _accelerations((*CHASSIS_PLACE, "motor"))
    axle_axes, chassis_axes = ([axis for _, (_, axis) in body.body.moves[3:]] for body in (moving.axle, moving.chassis))
    turned = _turned(vectors, axle_axes, symbols(AXLE_SPEEDS)[3:], speed_up[3:6])
    chassis_turned = _turned(vectors, chassis_axes, symbols(CHASSIS_SPEEDS)[3:], chassis_up[3:6])
    roll, pitch = parameter("roll_inertia"), parameter("pitch_inertia")
    own = tape.assign((pitch - roll) * vectors.dot(turned, moving.wheel_axis))
    pulls = [vectors.times(m, row.along) for m, row in zip(multipliers, moving.rows, strict=True)]
    moments = [vectors.times(m, row.axle_turn) for m, row in zip(multipliers, moving.rows, strict=True)]
    reactions = [vectors.times(m, row.chassis_turn) for m, row in zip(multipliers, moving.rows, strict=True)]
    along = vectors.less(
        vectors.add(*moving.axle.forces, *pulls), vectors.times(parameter("mass"), tuple(speed_up[:3]))
    )
    turn = vectors.less(
        vectors.add(*moving.axle.moments, *moments), vectors.mix((roll, own), (turned, moving.wheel_axis))
    )
    spin = sp.Add(*moving.spin_forces, *(m * row.spin for m, row in zip(multipliers, moving.rows, strict=True)))
    gaps = []
    for row in moving.rows:
        apart = vectors.less(tuple(speed_up[:3]), tuple(chassis_up[:3]))
        terms = [vectors.dot(row.along, apart), vectors.dot(row.axle_turn, turned)]
        terms += [vectors.dot(row.chassis_turn, chassis_turned)]
        gaps.append(tape.assign(row.gamma - sp.Add(*terms) - row.spin * speed_up[6] - row.motor * chassis_up[6]))
    chassis = (
        *vectors.add(*moving.chassis.forces, *(vectors.times(-sp.Integer(1), pull) for pull in pulls)),
        *vectors.add(*moving.chassis.moments, *reactions),
    )
    outputs = [*chassis, *along, *turn, tape.assign(spin), *gaps]
    wheels = symbols(WHEELS)
    variables = [*symbols(CHASSIS_PLACE), *symbols(AXLE), *symbols(CHASSIS_SPEEDS), *symbols(AXLE_SPEEDS), wheels[0]]
    slopes = tape.derivatives(outputs, variables)
    arguments = (
        *axle_arguments()[:-1],
        ("chassis_accelerations", chassis_up),
        ("axle_accelerations", speed_up),
        ("multipliers", multipliers),
        ("numbers", symbols(MOVING_NUMBERS)),
    )
    text = (
        "Slopes of forces and moments on chassis and axle (12), on the spin, and of what the rows lack (5) by coordinates "
        "of chassis and axle, their rates and the spin (25)."
    )
    return [Kernel("axle_tangent", text, arguments, tuple(sum(slopes, [])), tape), _chassis_tangent()]


def _chassis_tangent() -> Kernel:
    """Slopes of what the chassis' own inertia takes at given accelerations."""
    chassis = LoneBody("chassis", CHASSIS_PLACE, CHASSIS_SPEEDS, "zyx")
    tape, vectors, inertia = chassis.tape, chassis.vectors, chassis.inertia(CHASSIS_INERTIAS)
    accelerations = _accelerations(CHASSIS_PLACE)

    def times_inertia(vector: tuple) -> tuple[Expr, ...]:
        return tuple(vectors.dot([inertia[max(i, j)][min(i, j)] for j in range(3)], vector) for i in range(3))

    turned = _turned(vectors, chassis.axes, chassis.rates[3:], accelerations[3:])
    gyration = vectors.cross(chassis.turning, times_inertia(chassis.turning))
    outputs = [tape.assign(-a - b) for a, b in zip(times_inertia(turned), gyration, strict=True)]
    slopes = tape.derivatives(outputs, [*chassis.place[3:], *chassis.rates[3:]])
    arguments = (
        ("chassis", chassis.place),
        ("chassis_speeds", chassis.rates),
        ("accelerations", accelerations),
        ("numbers", symbols(CHASSIS_NUMBERS)),
    )
    text = "Slopes of the moment that its inertia leaves (3) by the chassis' angles and their rates (6)."
    return Kernel("chassis_tangent", text, arguments, tuple(sum(slopes, [])), tape)


STEADY_COLUMNS = (*CHASSIS, *AXLE, *TENSIONS, *STEADY_UNKNOWNS)
"""Columns of the steady axle kernel's Jacobian."""
STEADY_NUMBERS = (*AXLE_NUMBERS, "slip_speed", "slip_ratio_scale", "slip_load", "slip_softness")


def derive_space_steady() -> tuple[Kernel, list[tuple[int, int]]]:
    """The steady axle; (kernel, entries) with entries the (row, column) of the Jacobian that can be other than zero."""
    mechanism, balance, seen = assemble_axle(add_steady_wheels, STEADY_UNKNOWNS)
    place = {column: k for k, column in enumerate(balance.columns)}
    wanted = [place[symbol] for symbol in symbols(STEADY_COLUMNS)]
    variables = {symbol: k for k, symbol in enumerate(mechanism.variables())}
    # The tensions are no part of the torque.
    by_torque = [
        seen["torque_slopes"][variables[symbol]] if variables[symbol] < len(seen["torque_slopes"]) else ZERO
        for symbol in symbols(STEADY_COLUMNS)
    ]
    table = [[row[k] for k in wanted] for row in balance.slopes] + [by_torque]
    entries = [(i, j) for i, row in enumerate(table) for j, slope in enumerate(row) if slope != 0]
    arguments = (
        ("chassis", symbols(CHASSIS)),
        ("axle_state", symbols(AXLE)),
        ("tensions", symbols(TENSIONS)),
        ("speeds", symbols(STEADY_UNKNOWNS)),
        ("grip_factor", None),
        ("blocks", symbols(BLOCKS)),
        ("numbers", symbols(STEADY_NUMBERS)),
    )
    outputs = {
        "balances": balance.rows,
        "wheel_torque": [seen["wheel_torque"]],
        "jacobian": [table[i][j] for i, j in entries],
        "loads": [seen[f"{side}_load"] for side in SIDES],
    }
    text = (
        "Forces and moments on chassis and axle (12), rod residuals (4), wheel torque; Jacobian at STEADY_ROWS and "
        "STEADY_ENTRY_COLUMNS; loads, left and right."
    )
    return Kernel.of("axle_steady", text, arguments, outputs, mechanism.tape), entries
