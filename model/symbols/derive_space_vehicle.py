"""Kernel of one axle within a whole vehicle at rest: for many vehicles at once.

In place of what the axle does to the chassis stands what ground and weight do to the vehicle by this axle, as a force and
a moment about the chassis' centre of gravity: rods, shocks and shaft are inner forces and drop out, so these six rows
follow wheels alone: 2,005 operations an axle where there were 2,228, 319 entries of the Jacobian where there were 388, and
about 1,150 pairs of operations to eliminate them where there were 1,550.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import sympy as sp

from .codegen import Kernel
from .space_assembly import AXLE, CHASSIS, add_wheels, assemble_axle, symbols
from .space_mechanism import ONE, ZERO

if TYPE_CHECKING:
    from sympy import Expr

    from .space_mechanism import Body, SpaceMechanism

WEIGHT = ("axle_weight_x", "axle_weight_y", "axle_weight_z")
"""Weight of the axle as a force, N."""
_LEVER = {"axle_x": (ONE, ZERO, ZERO), "axle_y": (ZERO, ONE, ZERO), "axle_z": (ZERO, ZERO, ONE)}
_LEVER["chassis_z"] = (ZERO, ZERO, -ONE)
"""How the lever from the chassis' centre of gravity to the axle's follows the coordinates."""


def derive_axle_in_vehicle(arguments: tuple, columns: tuple[str, ...]) -> tuple[list[Kernel], list[tuple[int, int]]]:
    """Derive the axle within the vehicle.

    Parameters
    ----------
    arguments : tuple of (name, symbols)
        Those of the axle kernel; the axle's weight is appended.
    columns : tuple of str
        Columns of its Jacobian.

    Returns
    -------
    kernels : list of Kernel
        With slopes and without.
    entries : list of (int, int)
        Row and column of what can be other than zero in the Jacobian.
    """
    ground: list[tuple] = []

    def wheels(
        mechanism: SpaceMechanism, axle: Body, height: Expr, heading: Expr, lean: Expr, seen: dict[str, Expr]
    ) -> Expr:
        torque = add_wheels(mechanism, axle, height, heading, lean, seen)
        ground.append(mechanism.applied(axle))
        return torque

    mechanism, balance, _ = assemble_axle(wheels)
    tape, weight, variables = mechanism.tape, symbols(WEIGHT), symbols(columns)
    (wrench, by_variable) = ground[0]
    (height,), (x, y, z) = symbols(CHASSIS[:1]), symbols(AXLE[:3])
    lever = (x, y, tape.assign(z - height))
    pressed = [tape.assign(force + own) for force, own in zip(wrench[:3], weight, strict=True)]
    turned = mechanism.cross(lever, pressed)
    whole = [*wrench[:3], *(tape.assign(a + b) for a, b in zip(wrench[3:], turned, strict=True))]
    slopes: list[list[Expr]] = [[] for _ in whole]
    for name, variable in zip(columns, variables, strict=True):
        own = [by_variable.get((row, variable), ZERO) for row in range(6)]
        parts = [mechanism.cross(lever, own[:3])]
        if name in _LEVER:
            parts.append(mechanism.cross(_LEVER[name], pressed))
        for row in range(3):
            slopes[row].append(own[row])
            slopes[3 + row].append(tape.assign(sp.Add(own[3 + row], *(part[row] for part in parts))))
    place = {column: k for k, column in enumerate(balance.columns)}
    slopes += [[row[place[variable]] for variable in variables] for row in balance.slopes[6:]]
    entries = [(i, j) for i, row in enumerate(slopes) for j, slope in enumerate(row) if slope != 0]
    text = "What ground and weight do to the vehicle by the axle (6), forces and moments on the axle (6), rod residuals (4)"
    outputs = {"balances": (*whole, *balance.rows[6:])}
    given = (*arguments, ("weight", weight))
    return [
        Kernel.of(
            "axle_in_vehicle",
            f"{text}; Jacobian at VEHICLE_ENTRY_ROWS and VEHICLE_ENTRY_COLUMNS ({len(entries)}).",
            given,
            outputs | {"jacobian": [slopes[i][j] for i, j in entries]},
            tape,
        ),
        Kernel.of("axle_in_vehicle_residual", f"{text}.", given, outputs, tape),
    ], entries
