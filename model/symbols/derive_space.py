"""Kernels of the vehicle in space: one axle at rest, called for the rear and for the front.

Alone: what it does to the chassis. Within a whole vehicle, for many vehicles at once: in place of that stands what ground
and weight do to the vehicle by this axle, as a force and a moment about the chassis' centre of gravity. Rods, shocks and
shaft are inner forces and drop out, so these six rows follow wheels alone: 2,005 operations an axle where there were 2,228,
319 entries of the Jacobian where there were 388, and about 1,150 pairs of operations to eliminate them where there were 1,550.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import sympy as sp

from .assembly import ENDS
from .codegen import Kernel
from .modules import array_module, order_module, scalar_module
from .script import space_script
from .space_assembly import AXLE, CHASSIS, RODS, SIDES, TENSIONS, USES, add_wheels, assemble_axle, symbols
from .space_mechanism import ONE, ZERO

if TYPE_CHECKING:
    from sympy import Expr

    from .space_mechanism import Body, SpaceMechanism

BLOCKS = tuple(f"{side}_block" for side in SIDES)
COLUMNS = (*CHASSIS, *AXLE, *TENSIONS, *USES)
"""Columns of the axle kernel's Jacobian."""
SEEN = tuple(
    f"{side}_{name}"
    for name in (
        "load",
        "depth",
        "radius",
        "contact_x",
        "contact_y",
        "contact_z",
        "shock_length",
        "shock_push",
        "traction",
    )
    for side in SIDES
) + ("wheel_torque", "contact_couple")
"""What `axle_seen` reports, left and right."""
_AXES = ("x", "y", "z")
AXLE_NUMBERS = (
    *(f"{rod}_{end}_{axis}" for rod in RODS for end in ("chassis", "axle") for axis in _AXES),
    *(f"{rod}_length" for rod in RODS),
    *(f"shock_{end}_{axis}" for end in ("chassis", "axle") for axis in _AXES),
    *("shock_chassis_shift", "shock_axle_shift"),
    *("spring_rate", "free_length", "spring_held", "longest", "shortest", "stop_stiffness"),
    *("wheel_x", "wheel_y", "wheel_z", "half_track", "tyre_radius", "tyre_stiffness", "grip", "shaft_share"),
    *("rolling_resistance", "free_rolling", "contact_give"),
)
"""Numbers of one axle in kernel order."""


WEIGHT = ("axle_weight_x", "axle_weight_y", "axle_weight_z")
"""Weight of the axle as a force, N."""
_LEVER = {"axle_x": (ONE, ZERO, ZERO), "axle_y": (ZERO, ONE, ZERO), "axle_z": (ZERO, ZERO, ONE)}
_LEVER["chassis_z"] = (ZERO, ZERO, -ONE)
"""How the lever from the chassis' centre of gravity to the axle's follows the coordinates."""


def derive_space_kernels() -> tuple[list[Kernel], list[tuple[int, int]]]:
    """Derive the axle; (kernels, entries) with entries the (row, column) of the Jacobian that can be other than zero."""
    mechanism, balance, seen = assemble_axle()
    tape = mechanism.tape
    place = {column: k for k, column in enumerate(balance.columns)}
    wanted = [place[symbol] for symbol in symbols(COLUMNS)]
    entries = [(i, j) for i, row in enumerate(balance.slopes) for j, k in enumerate(wanted) if row[k] != 0]
    arguments = (
        ("chassis", symbols(CHASSIS)),
        ("axle_state", symbols(AXLE)),
        ("tensions", symbols(TENSIONS)),
        ("uses", symbols(USES)),
        ("blocks", symbols(BLOCKS)),
        ("numbers", symbols(AXLE_NUMBERS)),
    )
    slopes = [balance.slopes[i][wanted[j]] for i, j in entries]
    axle = Kernel.of(
        "axle",
        f"Forces and moments on chassis and axle (12), rod residuals (4); Jacobian at ENTRY_ROWS and ENTRY_COLUMNS ({len(slopes)}).",
        arguments,
        {"balances": balance.rows, "jacobian": slopes},
        tape,
    )
    observed = Kernel(
        "axle_seen",
        "What AXLE_SEEN names: loads, depths, radii, contacts, shocks, wheel torque.",
        arguments,
        tuple(seen[name] for name in SEEN),
        tape,
    )
    return [axle, observed], entries


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


UNKNOWN_PARTS = (
    {"chassis": len(CHASSIS)}
    | {end: len(AXLE) for end in ENDS}
    | {f"{end}_tensions": len(TENSIONS) for end in ENDS}
    | {"slip": 1}
    | {f"{end}_side": 1 for end in ENDS}
)
"""Unknowns of a whole vehicle at rest: parts and their sizes."""
EQUATION_PARTS = {body: 6 for body in ("chassis", *ENDS)} | {f"{end}_rods": len(RODS) for end in ENDS}
"""Its equations: forces (3) and moments (3) on each body, lengths of the rods."""


def _orders(entries: list[tuple[int, int]]) -> dict[str, tuple]:
    """Names and places of the kernels' numbers, by the name of their order."""
    return {
        "CHASSIS": CHASSIS,
        "AXLE": AXLE,
        "TENSIONS": TENSIONS,
        "USES": USES,
        "AXLE_NUMBERS": AXLE_NUMBERS,
        "AXLE_SEEN": SEEN,
        "ENTRY_ROWS": tuple(i for i, _ in entries),
        "ENTRY_COLUMNS": tuple(j for _, j in entries),
    }


def space_modules() -> dict[str, str]:
    """Text of every generated module of the vehicle in space by file name."""
    single, entries = derive_space_kernels()
    many, others = derive_axle_in_vehicle(single[0].arguments, COLUMNS)
    orders = _orders(entries)
    both = orders | {
        "VEHICLE_ENTRY_ROWS": tuple(i for i, _ in others),
        "VEHICLE_ENTRY_COLUMNS": tuple(j for _, j in others),
    }
    vectors = {"UNKNOWN_ROWS": UNKNOWN_PARTS, "EQUATION_ROWS": EQUATION_PARTS}
    return {
        "space_order.py": order_module("the numbers in space", both, [*single, *many], vectors=vectors),
        "scalar_space.py": scalar_module("space", single),
        "array_space.py": array_module("space", [*many, *single[1:]]),
        "kernels_space.js": space_script(single, orders, vectors),
    }
