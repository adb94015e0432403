"""Generated modules of the vehicle moving in space."""

from .derive_space_batch import SLIP_FREE, SLIP_ROWS, derive_space_batch
from .derive_space_motion import (
    CARRIED,
    CHASSIS_NUMBERS,
    MOVING_NUMBERS,
    PROJECTED,
    SEEN_IN_MOTION,
    SWITCHED,
    derive_space_motion,
)
from .derive_space_slopes import STEADY_NUMBERS, derive_space_steady, derive_space_tangent
from .modules import array_module, fill, scalar_module
from .space_assembly import AXLE
from .space_moving import CHASSIS_PLACE, LOSSES


def _order_module(entries: list[tuple[int, int]]) -> str:
    groups = {
        "STEADY_NUMBERS": STEADY_NUMBERS,
        "STEADY_ROWS": tuple(i for i, _ in entries),
        "STEADY_ENTRY_COLUMNS": tuple(j for _, j in entries),
        "CHASSIS_PLACE": CHASSIS_PLACE,
        "AXLE_PLACE": AXLE,
        "MOVING_NUMBERS": MOVING_NUMBERS,
        "CHASSIS_NUMBERS": CHASSIS_NUMBERS,
        "SEEN_IN_MOTION": SEEN_IN_MOTION,
        "SWITCHED": SWITCHED,
        "LOSSES": LOSSES,
        "CARRIED": CARRIED,
        "PROJECTED": PROJECTED,
        "SLIP_ROWS": SLIP_ROWS,
        "SLIP_FREE": SLIP_FREE,
    }
    lines = [
        '"""Order of the numbers of motion in space. Written by `python -m noseload.model.symbols.derive`; do not edit."""',
        "",
    ]
    for name, group in groups.items():
        lines += [f"{name} = (", *fill(repr(group)[1:-1] + ",", indent="    "), ")"]
    return "\n".join(lines) + "\n"


def space_motion_modules() -> dict[str, str]:
    """Text of every generated module of the vehicle moving in space by file name."""
    kernels = derive_space_motion()
    steady, entries = derive_space_steady()
    return {
        "space_motion_order.py": _order_module(entries),
        "scalar_space_steady.py": scalar_module("space_steady", [steady]),
        "array_space_steady.py": array_module("space_steady", [steady]),
        "scalar_space_motion.py": scalar_module("space_motion", kernels),
        "scalar_space_tangent.py": scalar_module("space_tangent", derive_space_tangent()),
        "array_space_batch.py": array_module("space_batch", derive_space_batch()),
        "array_space_motion.py": array_module("space_motion", kernels),
    }
