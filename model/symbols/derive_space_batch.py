"""Kernels of many vehicles moving in space: rates with the stiff terms at the start of a step, bare rates within it.

The slips of the two wheels of an axle are taken together: slopes add up to a symmetric 2 x 2 matrix ``B B^T`` (along and
across) on the mean of their rows, weighted by load. A two-stage method of the Rosenbrock-W kind keeps its order with any
such stand-in. Rows are scaled by B, so that the stiff part is ``-pulls^T rows`` but for the motor's, whose slope is told.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import sympy as sp

from .assembly import parameter, positive_part, tanh, tanh_slope
from .codegen import Kernel
from .derive_space_motion import (
    CARRIED,
    MOTOR,
    MOVING_NUMBERS,
    PARTS,
    SWITCHED,
    JoinedChassis,
    axle_arguments,
    behind,
    of_two,
)
from .space_assembly import AXLE, SIDES, symbols
from .space_elimination import COLUMNS, ROWS, EliminatedAxle, LoneBody
from .space_mechanism import ZERO
from .space_moving import AXLE_SPEEDS

if TYPE_CHECKING:
    from sympy import Expr


STIFF = 2
"""Stiff rows of an axle."""
_SMALL = sp.Float(1e-12)
ROW_PARTS = ("x", "y", "turn_x", "turn_y", "turn_z", "spin")
SLIP_ROWS = tuple(f"slip_{k}_{part}" for k in range(STIFF) for part in ROW_PARTS)
SLIP_FREE = tuple(f"slip_free_{k}_{i}" for k in range(STIFF) for i in range(ROWS))
PUSHED = tuple(f"slip_pushed_{k}_{j}" for k in range(STIFF) for j in range(COLUMNS))
SOURCES = 2 * STIFF + 1
"""Stiff rows of both axles and the motor."""


def _slip_rows(axle: EliminatedAxle) -> list[list[Expr]]:
    """Scaled stiff rows of an axle, (x, y, turning 3, spin) each."""
    moving, tape = axle.moving, axle.tape
    total = tape.assign(sp.Add(*(moving.seen[f"{side}_load"] for side in SIDES)) + _SMALL)
    weights = [tape.assign(moving.seen[f"{side}_load"] / total) for side in SIDES]
    along, across = [ZERO] * 6, [ZERO] * 6
    entries = [ZERO] * 3
    for weight, slip in zip(weights, moving.slips, strict=True):
        (steep, over), ((p, q), first, second) = slip.slopes, slip.in_wheel
        along = [a + weight * b for a, b in zip(along, first, strict=True)]
        across = [a + weight * b for a, b in zip(across, second, strict=True)]
        bend = steep - over
        added = (over + bend * p * p, bend * p * q, over + bend * q * q)
        entries = [a + b for a, b in zip(entries, added, strict=True)]
    xx, xy, yy = (tape.assign(entry) for entry in entries)
    one = tape.assign(sp.sqrt(positive_part(xx) + _SMALL))
    two = tape.assign(xy / one)
    three = tape.assign(sp.sqrt(positive_part(yy - two * two)))
    along, across = ([tape.assign(part) for part in row] for row in (along, across))
    return [
        [tape.assign(one * a + two * b) for a, b in zip(along, across, strict=True)],
        [tape.assign(three * b) for b in across],
    ]


def _force_of(row: list[Expr]) -> list[Expr]:
    x, y, *rest = row
    return [x, y, ZERO, *rest]


def _first_axle() -> list[Kernel]:
    axle = EliminatedAxle()
    moving, tape, seen = axle.moving, axle.tape, axle.moving.seen
    free, pushed, force = axle.accelerated()
    rows = _slip_rows(axle)
    frees, pushes, turned = [], [], []
    axes = [axis for _, (_, axis) in moving.axle.body.moves[3:]]
    for row in rows:
        gaps = [-gap for gap in axle.mobile_dot(_force_of(row))]
        own, push = axle.reached(gaps)
        frees += own
        pushes += [tape.assign(part) for part in push]
        by_angles = [axle.vectors.dot(tuple(row[2:5]), axis) for axis in axes]
        turned += [*row[:2], *by_angles, row[5]]
    lean = {"joined": axle.joined, "pushed": pushed, "carried": [*axle.row_parts(), *free, *force]}
    outputs = lean | {
        "loads": [seen[f"{side}_load"] for side in SIDES],
        "switched": [tape.assign(seen[f"{side}_{name}"]) for name in SWITCHED for side in SIDES],
        "slip_pushed": pushes,
        "slips": [*(part for row in rows for part in row), *frees],
        "slip_turns": turned,
    }
    text = (
        "S (28), p (7), CARRIED; loads (2), switch values (8); pushes of the stiff rows (2 x 7), SLIP_ROWS, SLIP_FREE; those "
        "rows on the rates of x, y, heading, roll, pitch and on the spin (2 x 6)."
    )
    return [
        Kernel.of("axle_first", text, axle_arguments(), outputs, tape),
        Kernel.of("axle_second", "S (28), p (7), CARRIED.", axle_arguments(), lean, tape),
    ]


def _first_chassis() -> Kernel:
    """Chassis and motor under the forces of the moment, and under each stiff row's."""
    whole, slips = JoinedChassis(), of_two(PUSHED)
    chassis, tape = whole.body, whole.tape
    speed, throttle, brake_torque = symbols(MOTOR)
    stall, idle = parameter("stall_torque"), parameter("no_load_speed")
    turned = speed / parameter("brake_speed")
    torque = tape.assign(stall * (throttle - speed / idle) - brake_torque * tanh(turned))
    slope = tape.assign(stall / idle + brake_torque / parameter("brake_speed") * tanh_slope(turned))
    found = whole.accelerations(torque)
    outputs = [*found, *chassis.angle_rates(found[3:6]), slope]
    for end in slips:
        for k in range(STIFF):
            moved = whole.moved_by(end[k * COLUMNS : (k + 1) * COLUMNS])
            outputs += [*moved, *chassis.angles(moved[3:6])]
    moved = whole.moved_by([ZERO] * 6 + [sp.Integer(1)])
    outputs += [*moved, *chassis.angles(moved[3:6])]
    text = (
        "Accelerations of PARTS (7) and angles (3), motor slope; then PARTS and angles under each stiff row (5 x 10)."
    )
    return Kernel("chassis_first", text, whole.arguments(("slips", slips)), tuple(outputs), tape)


def _first_follows() -> Kernel:
    """An axle behind its chassis, under the forces of the moment and under each stiff row's."""
    axle = LoneBody("axle", AXLE, AXLE_SPEEDS, "zxy")
    tape, held = axle.tape, dict(zip(CARRIED, symbols(CARRIED), strict=True))
    parts = [symbols(f"source_{s}_{name}" for name in PARTS) for s in range(SOURCES + 1)]
    slips = dict(zip(SLIP_ROWS, symbols(SLIP_ROWS), strict=True))
    frees = dict(zip(SLIP_FREE, symbols(SLIP_FREE), strict=True))
    free, force = [held[f"free_{i}"] for i in range(ROWS)], [held[f"force_{k}"] for k in range(7)]
    moved, _ = behind(axle, held, parts[0], free, force)
    outputs = [*moved[:3], *axle.angle_rates(moved[3:6]), moved[6]]
    rows = [[slips[f"slip_{k}_{part}"] for part in ROW_PARTS] for k in range(STIFF)]
    crossed = []
    for s in range(SOURCES):
        # Its own two rows come first, then the other axle's and the motor.
        own = s < STIFF
        start = [frees[f"slip_free_{s}_{i}"] for i in range(ROWS)] if own else [ZERO] * ROWS
        moved, _ = behind(axle, held, parts[1 + s], start, _force_of(rows[s]) if own else [ZERO] * 7)
        outputs += [*moved[:3], *axle.angles(moved[3:6]), moved[6]]
        flat = (moved[0], moved[1], *moved[3:7])
        crossed += [tape.assign(sp.Add(*(a * b for a, b in zip(row, flat, strict=True)))) for row in rows]
    arguments = (
        ("accelerations", [symbol for part in parts for symbol in part]),
        ("carried", symbols(CARRIED)),
        ("slips", symbols((*SLIP_ROWS, *SLIP_FREE))),
        ("axle_state", axle.place),
        ("axle_speeds", axle.rates),
        ("numbers", symbols(MOVING_NUMBERS)),
    )
    text = (
        "Accelerations of coordinates (6) and spin; the same under each source (5 x 7); own rows times those (5 x 2)."
    )
    return Kernel("axle_first_follows", text, arguments, (*outputs, *crossed), tape)


def derive_space_batch() -> list[Kernel]:
    """Kernels of a batch, array only."""
    return [*_first_axle(), _first_chassis(), _first_follows()]
