"""Kernels of the moving vehicle in space: one axle, called for the rear and for the front, and the chassis.

Accelerations in three calls, with nothing factorised but what is small. `axle_moves` eliminates an axle: with its
constraint rows ``G_a a_a + G_c a_c = gamma`` and ``L L^T = G_a M_a^-1 G_a^T`` (5 x 5) it hands on ``S = Y^T Y``,
``p = f_c + Y^T y`` of ``L Y = G_c``, ``L y = gamma - G_a M_a^-1 f_a``. `chassis_moves` solves ``(M_c + S_r + S_f) a_c =
f_c + p_r + p_f`` for chassis and motor (7 x 7). `axle_follows` finds multipliers ``L^T lambda = y - Y a_c`` and the
axle's own accelerations. R. Featherstone, *Rigid Body Dynamics Algorithms*, Springer 2008, ch. 7 and 8 (articulated
bodies, constraints); here written anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING

import sympy as sp

from .assembly import ENDS, parameter, tanh, tanh_slope
from .codegen import Kernel
from .space_assembly import AXLE, RODS, SIDES, symbols
from .space_elimination import COLUMNS, PAIRS, ROWS, EliminatedAxle, LoneBody, inverse_turn
from .space_mechanism import ZERO
from .space_moving import AXLE_SPEEDS, CHASSIS_PLACE, CHASSIS_SPEEDS, GRAVITY, WHEELS
from .vectors import backward, cholesky, forward

if TYPE_CHECKING:
    from sympy import Expr


_AXES = ("x", "y", "z")
BLOCKS = tuple(f"{side}_block" for side in SIDES)
MOVING_NUMBERS = (
    *(f"{rod}_{end}_{axis}" for rod in RODS for end in ("chassis", "axle") for axis in _AXES),
    *(f"{rod}_length" for rod in RODS),
    *(f"shock_{end}_{axis}" for end in ("chassis", "axle") for axis in _AXES),
    *("shock_chassis_shift", "shock_axle_shift"),
    *("spring_rate", "damping", "shock_friction", "free_length", "spring_held", "longest", "shortest"),
    *("stop_stiffness", "stop_damping"),
    *("wheel_x", "wheel_y", "wheel_z", "half_track", "tyre_radius", "tyre_stiffness", "tyre_damping"),
    *(
        "grip",
        "slip_speed",
        "slip_ratio_scale",
        "slip_load",
        "slip_softness",
        "rolling_resistance",
        "contact_give",
        "driven",
        "driven_shaft",
        "motor_ratio",
    ),
    *("mass", "roll_inertia", "pitch_inertia", "wheels_inertia"),
)
"""Numbers of one moving axle in kernel order."""
CHASSIS_NUMBERS = (
    *("mass", "roll_inertia", "pitch_inertia", "yaw_inertia", "rotor_inertia"),
    *("stall_torque", "no_load_speed", "brake_speed"),
)
"""Numbers of the chassis and its motor in kernel order."""
MOTOR = ("motor_speed", "throttle", "brake_torque")
PARTS = ("chassis_x", "chassis_y", "chassis_z", "chassis_turn_x", "chassis_turn_y", "chassis_turn_z", "motor")
"""Accelerations that an axle is told: chassis in the frame, and the motor."""
S_NAMES = tuple(f"joined_{i}_{j}" for i, j in PAIRS)
P_NAMES = tuple(f"pushed_{i}" for i in range(COLUMNS))
SEEN_IN_MOTION = tuple(
    f"{side}_{name}"
    for name in (
        *("load", "depth", "raw_load", "radius", "traction", "side_force", "slip", "drift", "forward"),
        "contact_couple",
        *("contact_x", "contact_y", "contact_z", "shock_length", "shock_rate", "shock_push"),
        *("droop_depth", "bump_depth", "coil_gap"),
    )
    for side in SIDES
)
"""What `axle_moving_seen` reports, left and right."""
SWITCHED = ("depth", "raw_load", "droop_depth", "bump_depth", "coil_gap")
STIFF_KERNEL = "axle_moves_stiffly"
"""Name of the kernel that tells the stiff part too; of seven evaluations one needs it."""
LOCATED = (*SWITCHED, "shock_rate")
"""What single runs locate kinks by, as in the side view."""
_L = tuple(f"factor_{i}_{j}" for i in range(ROWS) for j in range(i + 1))
_Y = tuple(f"led_{i}_{j}" for i in range(ROWS) for j in range(COLUMNS - (i < ROWS - 1)))
_ROW_PARTS = (
    *(f"along_{i}_{axis}" for i in range(1, ROWS) for axis in _AXES),
    *(f"turn_{i}_{axis}" for i in range(1, ROWS + 1) for axis in _AXES),
    *(f"wheel_axis_{axis}" for axis in _AXES),
)
CARRIED = (*_L, *_Y, *_ROW_PARTS, *(f"free_{i}" for i in range(ROWS)), *(f"force_{k}" for k in range(7)))
"""What `axle_moves` leaves for `axle_follows`."""
PROJECTED = (*_L, *_Y, *_ROW_PARTS, *(f"{kind}_{i}" for kind in ("shift", "kick") for i in range(ROWS)))
"""What `axle_drifts` leaves for `axle_returns`."""


def axle_arguments() -> tuple:
    """Arguments of a kernel of one moving axle."""
    return (
        ("chassis", symbols(CHASSIS_PLACE)),
        ("chassis_speeds", symbols(CHASSIS_SPEEDS)),
        ("axle_state", symbols(AXLE)),
        ("axle_speeds", symbols(AXLE_SPEEDS)),
        ("wheels", symbols(WHEELS)),
        ("blocks", symbols(BLOCKS)),
        ("gravity", symbols(GRAVITY)),
        ("numbers", symbols(MOVING_NUMBERS)),
    )


def _axle_kernels() -> list[Kernel]:
    axle = EliminatedAxle()
    moving, tape, seen = axle.moving, axle.tape, axle.moving.seen
    arguments = axle_arguments()
    free, pushed, force = axle.accelerated()
    switches = {name: [tape.assign(seen[f"{side}_{name}"]) for side in SIDES] for name in LOCATED}
    located = [value for pair in switches.values() for value in pair]
    carried = [*axle.row_parts(), *free, *force]
    moves = {"joined": axle.joined, "pushed": pushed, "lost": moving.lost(), "carried": carried, "located": located}
    stiff = moves | axle.stiff() | {"chassis_turns": [part for row in moving.rows for part in row.chassis_turn]}
    text = "S (28), p (7), losses (5, those of LOSSES), CARRIED; what kinks are located by (12)."
    more = "As `axle_moves`, then slopes (4) and rows (4 x 6) of the slips; rows on the chassis' turning (5 x 3)."
    looks = "Depth, raw load, droop and bump depth, gap of a loose coil, rate of the shock, left and right each."
    shown = tuple(tape.assign(seen[name]) for name in SEEN_IN_MOTION)
    return [
        Kernel.of("axle_moves", text, arguments, moves, tape),
        Kernel.of(STIFF_KERNEL, more, arguments, stiff, tape),
        Kernel.of("axle_switches", looks, arguments, switches, tape),
        Kernel("axle_moving_seen", "What SEEN_IN_MOTION names.", arguments, shown, tape),
    ]


def _projection_kernels() -> list[Kernel]:
    """One correction onto the constraints: axles, chassis, and what follows of the axles."""
    axle = EliminatedAxle()
    moving, tape = axle.moving, axle.tape
    drifts, residuals = axle.drifts(), [row.residual for row in moving.rows[:-1]]
    shift, shoved = axle.reached([*(-residual for residual in residuals if residual is not None), ZERO])
    kick, kicked = axle.reached([-drift for drift in drifts])
    arguments = (
        ("chassis", symbols(CHASSIS_PLACE)),
        ("chassis_speeds", symbols(CHASSIS_SPEEDS)),
        ("axle_state", symbols(AXLE)),
        ("axle_speeds", symbols(AXLE_SPEEDS)),
        ("spins", symbols(("spin", "motor_speed"))),
        ("numbers", symbols(MOVING_NUMBERS)),
    )
    outputs = {
        "joined": axle.joined,
        "shoved": [tape.assign(part) for part in shoved],
        "kicked": [tape.assign(part) for part in kicked],
        "projected": [*axle.row_parts(), *shift, *kick],
        "residuals": residuals,
        "drifts": drifts,
    }
    text = "S (28), p of places and of speeds (7 each), PROJECTED; residuals (4) and drifts (5)."
    return [Kernel.of("axle_drifts", text, arguments, outputs, tape), _chassis_returns(), _axle_returns()]


def joined_entry(inertia: list[list[Expr]], joined: list[list[Expr]]) -> Callable:
    """Entries of the joined matrix of chassis and motor, 7 x 7."""

    def entry(i: int, j: int) -> Expr:
        own = ZERO
        if i < 3 and i == j:
            own = parameter("mass")
        elif 3 <= j <= i < 6:
            own = inertia[i - 3][j - 3]
        elif i == j == 6:
            own = parameter("rotor_inertia")
        k = PAIRS.index((i, j))
        return own + joined[0][k] + joined[1][k]

    return entry


def of_two(names: Iterator | list[str] | tuple[str, ...]) -> list[list[Expr]]:
    """Symbols of the same names for the rear and the front axle."""
    names = tuple(names)
    return [symbols(f"{end}_{name}" for name in names) for end in ENDS]


CHASSIS_INERTIAS = ("roll_inertia", "pitch_inertia", "yaw_inertia")


def _chassis_returns() -> Kernel:
    """Chassis and motor put back onto the constraints."""
    chassis = LoneBody("chassis", CHASSIS_PLACE, CHASSIS_SPEEDS, "zyx")
    tape, joined = chassis.tape, of_two(S_NAMES)
    factor = cholesky(tape, joined_entry(chassis.inertia(CHASSIS_INERTIAS), joined), COLUMNS)
    found = []
    for kind in ("shoved", "kicked"):
        pushes = of_two(f"{kind}_{i}" for i in range(COLUMNS))
        right = [tape.assign(a + b) for a, b in zip(*pushes, strict=True)]
        found.append(backward(tape, factor, forward(tape, factor, right)))
    moves, kicks = found
    places = [*moves[:3], *chassis.angles(moves[3:6])]
    speeds = [*kicks[:3], *chassis.angles(kicks[3:6])]
    changed = [tape.assign(a + b) for a, b in zip((*chassis.place, *chassis.rates), (*places, *speeds), strict=True)]
    motor = tape.assign(parameter("motor_speed") + kicks[6])
    names = [f"{kind}_{i}" for kind in ("shoved", "kicked") for i in range(COLUMNS)]
    rear, front = of_two(names)
    arguments = (
        ("chassis", chassis.place),
        ("chassis_speeds", chassis.rates),
        ("motor_speed", None),
        ("rear_joined", joined[0]),
        ("rear_pushed", rear),
        ("front_joined", joined[1]),
        ("front_pushed", front),
        ("numbers", symbols(CHASSIS_NUMBERS)),
    )
    text = "Moves and kicks of PARTS (7 each); chassis put back: coordinates (6), their rates (6), motor speed."
    outputs = {"moves": [*moves, *kicks], "coordinates": changed[:6], "rates": changed[6:], "motor_speed": [motor]}
    return Kernel.of("chassis_returns", text, arguments, outputs, tape)


def _axle_returns() -> Kernel:
    """An axle put back onto the constraints behind its chassis."""
    axle = LoneBody("axle", AXLE, AXLE_SPEEDS, "zxy")
    tape, held = axle.tape, dict(zip(PROJECTED, symbols(PROJECTED), strict=True))
    moves, kicks = symbols(f"move_{k}" for k in range(COLUMNS)), symbols(f"kick_part_{k}" for k in range(COLUMNS))
    zero = [ZERO] * 7
    place, speed = (
        behind(axle, held, parts, [held[f"{kind}_{i}"] for i in range(ROWS)], zero)[0]
        for parts, kind in ((moves, "shift"), (kicks, "kick"))
    )
    places = [*place[:3], *axle.angles(place[3:6])]
    speeds = [*speed[:3], *axle.angles(speed[3:6])]
    changed = [tape.assign(a + b) for a, b in zip((*axle.place, *axle.rates), (*places, *speeds), strict=True)]
    spin = tape.assign(parameter("spin") + speed[6])
    arguments = (
        ("moved", [*moves, *kicks]),
        ("carried", symbols(PROJECTED)),
        ("axle_state", axle.place),
        ("axle_speeds", axle.rates),
        ("spin", None),
        ("numbers", symbols(MOVING_NUMBERS)),
    )
    text = "Axle put back: coordinates (6), their rates (6), spin."
    outputs = {"coordinates": changed[:6], "rates": changed[6:], "spin": [spin]}
    return Kernel.of("axle_returns", text, arguments, outputs, tape)


def behind(
    axle: LoneBody, held: dict[str, Expr], parts: list[Expr], free: list[Expr], force: list[Expr]
) -> tuple[tuple[Expr, ...], list[Expr]]:
    """What an axle does behind its chassis: (along 3, turning 3, spin), and its multipliers."""
    tape, vectors = axle.tape, axle.vectors
    factor = [[held[f"factor_{i}_{j}"] for j in range(i + 1)] for i in range(ROWS)]
    right = []
    for i in range(ROWS):
        pulled = (held[f"led_{i}_{j}"] * parts[j] for j in range(COLUMNS - (i < ROWS - 1)))
        right.append(tape.assign(free[i] - sp.Add(*pulled)))
    multipliers = backward(tape, factor, right)

    def three(name: str) -> tuple[Expr, Expr, Expr]:
        return tuple(held[f"{name}_{letter}"] for letter in _AXES)

    pull = vectors.mix(multipliers[:-1], [three(f"along_{i}") for i in range(1, ROWS)])
    moment = vectors.mix(multipliers, [three(f"turn_{i}") for i in range(1, ROWS + 1)])
    along = vectors.times(tape.assign(1 / parameter("mass")), vectors.add(tuple(force[:3]), pull))
    turned = inverse_turn(vectors, vectors.add(tuple(force[3:6]), moment), three("wheel_axis"))
    spin = tape.assign((force[6] + parameter("driven") * multipliers[-1]) / parameter("wheels_inertia"))
    return (*along, *turned, spin), multipliers


class JoinedChassis:
    """Chassis and motor with the axles joined to them: 7 x 7, factorised."""

    def __init__(self) -> None:
        self.body = chassis = LoneBody("chassis", CHASSIS_PLACE, CHASSIS_SPEEDS, "zyx")
        self.tape, self.joined, self.pushed = chassis.tape, of_two(S_NAMES), of_two(P_NAMES)
        vectors, self.inertia = chassis.vectors, chassis.inertia(CHASSIS_INERTIAS)
        rows = ([self.inertia[max(i, j)][min(i, j)] for j in range(3)] for i in range(3))
        self.gyration = vectors.cross(chassis.turning, tuple(vectors.dot(row, chassis.turning) for row in rows))

    @cached_property
    def factor(self) -> list[list[Expr]]:
        """Of the joined matrix."""
        return cholesky(self.tape, joined_entry(self.inertia, self.joined), COLUMNS)

    def moved_by(self, right: list[Expr]) -> list[Expr]:
        """Accelerations of PARTS (7) under forces and moments on the chassis and a torque on the motor."""
        return backward(self.tape, self.factor, forward(self.tape, self.factor, right))

    def accelerations(self, torque: Expr) -> list[Expr]:
        """Of PARTS under weight, gyration, pushes of the axles and a torque on the motor."""
        own = [*(parameter("mass") * g for g in symbols(GRAVITY)), *(-part for part in self.gyration), torque]
        factor, (rear, front) = self.factor, self.pushed
        right = [self.tape.assign(own[k] + rear[k] + front[k]) for k in range(COLUMNS)]
        return backward(self.tape, factor, forward(self.tape, factor, right))

    def arguments(self, *of_axles: tuple[str, list[list[Expr]]]) -> tuple:
        """Of a kernel: place and speeds, motor, gravity, what each axle hands on, numbers."""
        named = [("joined", self.joined), ("pushed", self.pushed), *of_axles]
        handed = ((f"{end}_{name}", of_both[k]) for k, end in enumerate(ENDS) for name, of_both in named)
        return (
            ("chassis", self.body.place),
            ("chassis_speeds", self.body.rates),
            ("motor", symbols(MOTOR)),
            ("gravity", symbols(GRAVITY)),
            *handed,
            ("numbers", symbols(CHASSIS_NUMBERS)),
        )


def _chassis_kernel() -> Kernel:
    """Chassis and motor, the axles joined to them."""
    whole = JoinedChassis()
    chassis, tape = whole.body, whole.tape
    speed, throttle, brake_torque = symbols(MOTOR)
    motor = tape.assign(parameter("stall_torque") * (throttle - speed / parameter("no_load_speed")))
    brake = tape.assign(brake_torque * tanh(speed / parameter("brake_speed")))
    slope = tape.assign(brake_torque / parameter("brake_speed") * tanh_slope(speed / parameter("brake_speed")))
    found = whole.accelerations(motor - brake)
    outputs = {
        "accelerations": found,
        "angles": chassis.angle_rates(found[3:6]),
        "powers": [tape.assign(power * speed) for power in (motor, brake)],
        "brake_slope": [slope],
    }
    text = "Accelerations of PARTS (7), of heading, pitch and roll (3); motor power, brake loss, brake slope."
    return Kernel.of("chassis_moves", text, whole.arguments(), outputs, tape)


def _follows_kernel() -> Kernel:
    """An axle behind its chassis."""
    axle = LoneBody("axle", AXLE, AXLE_SPEEDS, "zxy")
    held, parts = dict(zip(CARRIED, symbols(CARRIED), strict=True)), symbols(PARTS)
    free, force = [held[f"free_{i}"] for i in range(ROWS)], [held[f"force_{k}"] for k in range(7)]
    moved, multipliers = behind(axle, held, parts, free, force)
    outputs = {
        "coordinates": [*moved[:3], *axle.angle_rates(moved[3:6])],
        "spin": [moved[6]],
        "tensions": multipliers[:-1],
        "wheel_torque": multipliers[-1:],
    }
    arguments = (
        ("accelerations", parts),
        ("carried", symbols(CARRIED)),
        ("axle_state", axle.place),
        ("axle_speeds", axle.rates),
        ("numbers", symbols(MOVING_NUMBERS)),
    )
    text = "Accelerations of the axle's coordinates (6) and spin, tensions (4), wheel torque."
    return Kernel.of("axle_follows", text, arguments, outputs, axle.tape)


def derive_space_motion() -> list[Kernel]:
    """Kernels of the moving vehicle in space."""
    return [*_axle_kernels(), _chassis_kernel(), _follows_kernel(), *_projection_kernels()]
