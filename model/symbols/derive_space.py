"""Kernels of the vehicle in space: one axle at rest, called for the rear and for the front."""

from .assembly import ENDS
from .codegen import Kernel
from .modules import array_module, scalar_module
from .orders import order_module
from .script import space_script
from .space_assembly import AXLE, CHASSIS, RODS, SIDES, TENSIONS, USES, assemble_axle, symbols

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
ARRAY_ONLY = ("axle_residual",)
"""Kernels that many vehicles at once alone have use for."""


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
    residual = Kernel.of(
        "axle_residual",
        "Forces and moments on chassis and axle (12), rod residuals (4).",
        arguments,
        {"balances": balance.rows},
        tape,
    )
    observed = Kernel(
        "axle_seen",
        "What AXLE_SEEN names: loads, depths, radii, contacts, shocks, wheel torque.",
        arguments,
        tuple(seen[name] for name in SEEN),
        tape,
    )
    return [axle, residual, observed], entries


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
    kernels, entries = derive_space_kernels()
    single = [kernel for kernel in kernels if kernel.name not in ARRAY_ONLY]
    vectors = {"UNKNOWN_ROWS": UNKNOWN_PARTS, "EQUATION_ROWS": EQUATION_PARTS}
    return {
        "space_order.py": order_module("the numbers in space", _orders(entries), kernels, vectors=vectors),
        "scalar_space.py": scalar_module("space", single),
        "array_space.py": array_module("space", kernels),
        "kernels_space.js": space_script(single, _orders(entries), vectors),
    }
