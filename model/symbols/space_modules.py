"""Generated modules of the vehicle moving in space."""

from .assembly import ENDS, POWERS
from .derive_space_batch import SLIP_FREE, SLIP_ROWS, derive_space_batch
from .derive_space_motion import (
    CARRIED,
    CHASSIS_NUMBERS,
    MOVING_NUMBERS,
    PROJECTED,
    SEEN_IN_MOTION,
    STIFF_KERNEL,
    SWITCHED,
    derive_space_motion,
)
from .derive_space_slopes import STEADY_NUMBERS, derive_space_steady, derive_space_tangent
from .modules import array_module, order_module, scalar_module
from .space_assembly import AXLE
from .space_moving import CHASSIS_PLACE, LOSSES

STATE_PARTS = (
    {"chassis": len(CHASSIS_PLACE)}
    | {end: len(AXLE) for end in ENDS}
    | {"chassis_rates": len(CHASSIS_PLACE)}
    | {f"{end}_rates": len(AXLE) for end in ENDS}
    | {f"{end}_spin": 1 for end in ENDS}
    | {"motor_speed": 1, "energies": len(POWERS) + 1}
)
"""State of a whole vehicle in motion: parts and their sizes. The last of the running integrals is that of the motor's |power|."""


def _orders(entries: list[tuple[int, int]]) -> dict[str, tuple]:
    return {
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


def space_motion_modules() -> dict[str, str]:
    """Text of every generated module of the vehicle moving in space by file name."""
    kernels = derive_space_motion()
    steady, entries = derive_space_steady()
    batch = derive_space_batch()
    return {
        "space_motion_order.py": order_module(
            "the numbers of motion in space",
            _orders(entries),
            [steady, *kernels, *batch],
            vectors={"STATE_ROWS": STATE_PARTS},
        ),
        "scalar_space_steady.py": scalar_module("space_steady", [steady]),
        "array_space_steady.py": array_module("space_steady", [steady]),
        "scalar_space_motion.py": scalar_module("space_motion", kernels),
        "scalar_space_tangent.py": scalar_module("space_tangent", derive_space_tangent()),
        "array_space_batch.py": array_module("space_batch", batch),
        # The batch has stiff rows of its own.
        "array_space_motion.py": array_module("space_motion", [k for k in kernels if k.name != STIFF_KERNEL]),
    }
