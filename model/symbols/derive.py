"""Derive the vehicle's equations and write the modules in `model/generated`.

Run ``python -m noseload.model.symbols.derive`` after any change to the assembly, the builder or the printer.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import sympy as sp

from .assembly import (
    ENDS,
    LOSSES,
    POWERS,
    assemble,
    parameter,
    quasi_static_traction,
    slipping_traction,
    steady_traction,
)
from .codegen import Kernel, Tape
from .derive_space import space_modules
from .modules import array_module, order_module, paired_module, scalar_module
from .motion_tape import SPINS, MotionTape
from .records import records_module
from .script import script_module
from .space_modules import space_motion_modules

if TYPE_CHECKING:
    from sympy import Expr, Symbol

    from noseload.model.symbols.mechanism import Equations


TARGET = Path(__file__).parents[1] / "generated"

CREEP_POSE = ("chassis_z", "chassis_theta", "rear_x", "rear_z", "rear_theta", "front_x", "front_z", "front_theta")
"""Coordinates that creep solves for; the vehicle's place along the slope is free."""
CREEP_OUTPUTS = (
    "rear_load",
    "front_load",
    "rear_traction",
    "front_traction",
    "rear_shock_length",
    "front_shock_length",
)
SWITCHED = ("tyre_depth", "raw_load", "droop_depth", "bump_depth", "coil_gap")
"""What tells contact, stops and loose coils apart, each rear and front."""
LOCATED = (*SWITCHED, "shock_rate")
"""What single runs locate kinks by: with its rate, a stop's force is known before it is clipped."""
CONTROLS = ("throttle", "grip_factor", "brake_torque", "grade")


def _tensions(equations: Equations) -> list[Symbol]:
    return [parameter(f"tension_{name}") for name in equations.constraint_names]


def _statics(traction: Callable) -> tuple[list[Expr], dict[str, Expr], list[Symbol]]:
    """Force balance and closure of the quasi-static vehicle, at rest along the slope."""
    assembly = assemble(traction=traction, moving=False)
    equations = assembly.mechanism.equations()
    at_rest = {parameter("chassis_x"): sp.S.Zero}
    at_rest.update({speed: sp.S.Zero for speed in equations.speeds})
    balance = equations.forces + equations.constraint_jacobian.T * sp.Matrix(_tensions(equations))
    # Speeds come body by body, then the spins, whose balance is the drive torque.
    rows = list(balance[: len(equations.coordinates), 0]) + list(equations.residuals)
    clean = [row.xreplace(at_rest) for row in rows]
    outputs = {name: expression.xreplace(at_rest) for name, expression in equations.outputs.items()}
    return clean, outputs, _tensions(equations)


def _creep_kernels(parameters: list[Symbol]) -> list[Kernel]:
    rows, outputs, tensions = _statics(quasi_static_traction)
    unknowns = [parameter(name) for name in CREEP_POSE] + tensions + [parameter("traction")]
    wanted = [outputs[name] for name in CREEP_OUTPUTS]
    arguments = (("unknowns", unknowns), ("grade", None), ("parameters", parameters))
    columns = unknowns + [parameter("grade")]

    tape = Tape()
    residual = tape.assign_all(rows)
    jacobian = tape.derivatives(residual, columns)
    creep = Kernel.of(
        "creep",
        "Creep residual (13) and its Jacobian (13 x 14, last column the grade).",
        arguments,
        {"residual": residual, "jacobian": sum(jacobian, [])},
        tape,
    )
    alone = Kernel.of("creep_residual", "Creep residual (13).", arguments, {"residual": residual}, tape)
    tape = Tape()
    values = tape.assign_all(wanted)
    derivatives = tape.derivatives(values, columns)
    observed = Kernel.of(
        "creep_outputs",
        "Creep outputs (6) and their Jacobian (6 x 14).",
        arguments,
        {"outputs": values, "jacobian": sum(derivatives, [])},
        tape,
    )
    seen = Kernel.of("creep_values", "Creep outputs (6).", arguments, {"outputs": values}, tape)
    tape = Tape()
    both = tape.assign_all(rows + wanted)
    by_parameter = tape.derivatives(both, parameters)
    sensitivity = Kernel(
        "creep_sensitivity",
        "Derivatives of residual (13) and outputs (6) by every parameter.",
        arguments,
        tuple(sum(by_parameter, [])),
        tape,
    )
    return [creep, observed, alone, seen, sensitivity]


def _steady_kernels(parameters: list[Symbol]) -> list[Kernel]:
    rows, _, tensions = _statics(steady_traction)
    unknowns = [parameter(name) for name in CREEP_POSE] + tensions
    drives = [parameter("spin_speed"), parameter("travel_speed")]
    tape = Tape()
    residual = tape.assign_all(rows)
    jacobian = tape.derivatives(residual, unknowns + drives)
    arguments = (("unknowns", unknowns + drives), ("grip_factor", None), ("grade", None), ("parameters", parameters))
    steady = Kernel.of(
        "steady",
        "Steady motion: residual (13), Jacobian (13 x 14: pose, tensions, spin speed, travel speed).",
        arguments,
        {"residual": residual, "jacobian": sum(jacobian, [])},
        tape,
    )
    alone = Kernel.of("steady_residual", "Residual of steady motion (13).", arguments, {"residual": residual}, tape)
    tape = Tape()
    by_parameter = tape.derivatives(tape.assign_all(rows), parameters)
    return [
        steady,
        alone,
        Kernel(
            "steady_sensitivity",
            "Derivatives of the steady residual (13) by every parameter.",
            arguments,
            tuple(sum(by_parameter, [])),
            tape,
        ),
    ]


def _motion_arguments(motion: MotionTape, parameters: list[Symbol]) -> tuple[tuple, tuple]:
    eq = motion.equations
    state = (("coordinates", list(eq.coordinates)), ("speeds", list(eq.speeds)))
    return state, state + tuple((name, None) for name in CONTROLS) + (("parameters", parameters),)


def _energy_rates(outputs: dict[str, Expr]) -> list[Expr]:
    lost = {kind: sum(outputs[f"{end}_{kind}_loss"] for end in ENDS) for kind in LOSSES}
    return [outputs["motor_power"], outputs["brake_loss"], *lost.values()]


def _motion_kernels(parameters: list[Symbol]) -> list[Kernel]:
    motion = MotionTape()
    outputs, tape = motion.outputs, motion.tape
    state, arguments = _motion_arguments(motion, parameters)
    rates, tensions = motion.constrained(motion.forces, motion.gamma)
    energy = [tape.assign(value) for value in _energy_rates(outputs)]
    slopes = [outputs[f"{end}_slip_slope"] for end in ENDS]
    kernels = [
        Kernel.of(
            "rates",
            "Speed rates (11) and energy rates, those of POWERS (7).",
            arguments,
            {"speed_rates": rates, "powers": energy},
            tape,
        )
    ]
    zero = [sp.Integer(0)] * len(motion.gamma)
    rows = motion.slip_rows()
    pulls = [motion.constrained(row, zero)[0] for row in rows]
    motor_row = [
        parameter(f"{n.removesuffix('_spin')}_motor") if n.endswith("_spin") else sp.Integer(0) for n in motion.speeds
    ]
    pulls.append(motion.constrained(motor_row, zero)[0])
    stiff: dict = {"slopes": (*slopes, outputs["brake_slope"]), "slip_rows": sum(rows, []), "pulls": sum(pulls, [])}
    kernels.append(
        Kernel.of(
            "stiff_rates",
            "As `rates`; then slip slopes (2), brake slope, slip rows (2 x 11), mobilities of slips and brake (3 x 11).",
            arguments,
            {"speed_rates": rates, "powers": energy, **stiff},
            tape,
        )
    )
    seen = [outputs[f"{end}_{name}"] for name in OBSERVED for end in ENDS]
    kernels.append(
        Kernel.of(
            "observe",
            "Speed rates (11), tensions (4), then the names in OBSERVED, rear and front.",
            arguments,
            {"accelerations": rates, "tensions": tensions}
            | {name: seen[2 * k : 2 * k + 2] for k, name in enumerate(OBSERVED)},
            tape,
        )
    )
    kernels.append(
        Kernel.of(
            "switches",
            "Tyre depth, raw load, droop and bump depth, gap of a loose coil, rate of the shock, each rear and front.",
            (*state, ("parameters", parameters)),
            {name: [outputs[f"{end}_{name}"] for end in ENDS] for name in LOCATED},
            tape,
        )
    )
    kernels += _batch_kernels(motion, arguments, rates, slopes, rows, pulls)
    return kernels + [_projection(parameters), _closure(parameters), _tangent(parameters)]


def _batch_kernels(
    motion: MotionTape,
    arguments: tuple,
    rates: list[Expr],
    slopes: list[Expr],
    rows: list[list[Expr]],
    pulls: list[list[Expr]],
) -> list[Kernel]:
    """What a fixed-step batch needs: rates with the stiff terms at the start of a step, bare rates within it."""
    outputs, tape, speeds = motion.outputs, motion.tape, motion.speeds
    seen = {name: [outputs[f"{end}_{name}"] for end in ENDS] for name in ("load", *SWITCHED)}
    # A slip row has three entries: -1 at the wheel centre's x, an arm at housing and spin each.
    arms = [rows[k][speeds.index(f"{end}_{part}")] for part in ("theta", "spin") for k, end in enumerate(ENDS)]
    motor = [
        tape.assign(
            sum(
                parameter(f"{n.removesuffix('_spin')}_motor") * pull[k]
                for k, n in enumerate(speeds)
                if n.endswith("_spin")
            )
        )
        for pull in pulls
    ]
    falling = tape.assign(outputs["brake_slope"] + parameter("stall_torque") / parameter("no_load_speed"))
    cross = [motion.dot(rows[i], pulls[j]) for i, j in ((0, 0), (0, 1), (1, 1))]
    text = (
        "Speed rates (11), loads (2), switch values (10); slopes of slips and motor (3), slip arms of housings and "
        "spins (4), mobility (rr, rf, ff, rm, fm, mm), pulls (3 x 11)."
    )
    return [
        Kernel.of(
            "first_rates",
            text,
            arguments,
            {"speed_rates": rates}
            | seen
            | {"slopes": (*slopes, falling), "slip_arms": arms, "mutual": (*cross, *motor), "pulls": sum(pulls, [])},
            tape,
        ),
        Kernel.of("second_rates", "Speed rates (11).", arguments, {"speed_rates": rates}, tape),
    ]


def _projection(parameters: list[Symbol]) -> Kernel:
    motion = MotionTape()
    state, _ = _motion_arguments(motion, parameters)
    eq, tape = motion.equations, motion.tape
    zero = [sp.Integer(0)] * len(motion.speeds)
    shift, _ = motion.constrained(zero, [-r for r in motion.residuals])
    drift = [motion.dot(list(motion.jacobian[i, :]), eq.speeds) for i in range(len(motion.gamma))]
    kick, _ = motion.constrained(zero, [-d for d in drift])
    moved = [tape.assign(q + s) for q, s in zip(eq.coordinates, shift[: len(eq.coordinates)], strict=True)]
    sped = [tape.assign(u + k) for u, k in zip(eq.speeds, kick, strict=True)]
    return Kernel.of(
        "project",
        "One correction onto the constraints: coordinates (9), speeds (11), drifts (4 and 4).",
        (*state, ("parameters", parameters)),
        {"coordinates": moved, "speeds": sped, "position_drift": motion.residuals, "speed_drift": drift},
        tape,
    )


def _closure(parameters: list[Symbol]) -> Kernel:
    motion = MotionTape()
    state, _ = _motion_arguments(motion, parameters)
    return Kernel.of(
        "closure",
        "Constraint residuals (4), Jacobian (4 x 11) and gamma (4).",
        (*state, ("parameters", parameters)),
        {"residual": motion.residuals, "jacobian": list(motion.jacobian), "gamma": motion.gamma},
        motion.tape,
    )


def _tangent(parameters: list[Symbol]) -> Kernel:
    motion = MotionTape()
    eq, tape = motion.equations, motion.tape
    _, arguments = _motion_arguments(motion, parameters)
    tensions = _tensions(eq)
    balance = [
        tape.assign(f + sum(t * motion.jacobian[i, k] for i, t in enumerate(tensions)))
        for k, f in enumerate(motion.forces)
    ]
    by_state = tape.derivatives(balance + list(motion.gamma), [*eq.coordinates, *eq.speeds])
    head, tail = arguments[:2], arguments[2:]
    return Kernel(
        "tangent",
        "Derivatives of f + G^T lambda (11) and gamma (4) by coordinates (9) and speeds (11).",
        (*head, ("tensions", tensions), *tail),
        tuple(sum(by_state, [])),
        tape,
    )


MOBILITY_NAMES = tuple(f"mobility_{a}_{b}" for i, a in enumerate(SPINS) for b in SPINS[i:])
OBSERVED = (
    "load",
    "traction",
    "slip",
    "shock_length",
    "shock_rate",
    "shock_force",
    "tyre_depth",
    "raw_load",
    "droop_depth",
    "bump_depth",
    "coil_gap",
    "contact_couple",
)


def parameter_symbols() -> list[Symbol]:
    """Every symbol that is a property of the vehicle and its drive, sorted by name."""
    symbols, drop = (
        set(),
        {"grade", "throttle", "grip_factor", "brake_torque", "traction", "spin_speed", "travel_speed"},
    )
    for traction, moving in ((quasi_static_traction, False), (steady_traction, False), (slipping_traction, True)):
        equations = assemble(traction=traction, moving=moving).mechanism.equations()
        used = equations.forces.free_symbols | equations.residuals.free_symbols
        symbols |= {s for s in used if s not in equations.coordinates + equations.speeds and s.name not in drop}
    symbols |= {parameter("chassis_inertia"), parameter("held_couple")} - {parameter(name) for name in MOBILITY_NAMES}
    # Those of the whole vehicle, of the rear axle, of the front axle, each by name: as the records of `_records_module`.
    statics = sorted((s for s in symbols if s.name not in MOBILITY_NAMES), key=lambda s: (_place_of(s.name), s.name))
    return [*statics, *(parameter(name) for name in MOBILITY_NAMES)]


def _place_of(name: str) -> int:
    """0 for the whole vehicle, 1 and 2 for what the rear and the front axle have alike."""
    end, _, rest = name.partition("_")
    return ENDS.index(end) + 1 if end in ENDS and rest != "alone" else 0


def statics_of(parameters: list[Symbol]) -> list[Symbol]:
    """The parameters that a vehicle at rest has: all but the mobility block."""
    return [s for s in parameters if s.name not in MOBILITY_NAMES]


def derive_kernels() -> tuple[list[Kernel], list[Symbol]]:
    """Derive everything from bodies and rods.

    Returns
    -------
    kernels : list of Kernel
    parameters : list of Symbol
        In the order of the kernels' last argument.
    """
    parameters = parameter_symbols()
    statics = statics_of(parameters)
    return [*_creep_kernels(statics), *_steady_kernels(statics), *_motion_kernels(parameters)], parameters


FAMILIES = {
    "creep": ("creep", "creep_outputs"),
    "sensitivity": ("creep_sensitivity", "steady_sensitivity"),
    "steady": ("steady",),
    "residual": ("creep_residual", "creep_values", "steady_residual"),
    "motion": ("rates", "stiff_rates", "observe", "switches", "project", "closure"),
    "tangent": ("tangent",),
    "batch": ("first_rates", "second_rates"),
}
"""Kernels by module: a command loads only what it needs."""
ARRAY_ONLY = ("batch", "residual")
PAIRED = ("batch",)
"""Families that take both axles side by side."""


def _names() -> dict[str, tuple[str, ...]]:
    """Lists of names that code beside the kernels reads their numbers by."""
    equations = assemble(traction=slipping_traction, moving=True).mechanism.equations()
    coordinates, speeds = (
        tuple(symbol.name for symbol in group) for group in (equations.coordinates, equations.speeds)
    )
    return {
        "MOBILITY": MOBILITY_NAMES,
        "CREEP_OUTPUTS": CREEP_OUTPUTS,
        "OBSERVED": OBSERVED,
        "POWERS": POWERS,
        "COORDINATES": coordinates,
        "SPEEDS": speeds,
    }


def _at_the_other_axle(name: str) -> str:
    """What a number is called at the other axle."""
    rear, front = ENDS
    words = [{rear: front, front: rear}.get(word, word) for word in name.split("_")]
    if name in MOBILITY_NAMES:
        # The two spins stand in their own order.
        words[1:] = sum(sorted((words[1:3], words[3:]), key=lambda spin: SPINS.index("_".join(spin))), [])
    return "_".join(words)


def generated_modules() -> dict[str, str]:
    """Text of every generated module by file name."""
    kernels, parameters = derive_kernels()
    by_name = {kernel.name: kernel for kernel in kernels}
    texts = {
        "parameter_order.py": order_module(
            "the kernels' numbers",
            {"STATIC_PARAMETERS": tuple(s.name for s in statics_of(parameters))} | _names(),
            kernels,
            joined={"PARAMETERS": ("STATIC_PARAMETERS", "MOBILITY")},
        ),
        "vehicle_numbers.py": records_module([s.name for s in statics_of(parameters)], ENDS, _place_of),
    }
    texts["kernels.js"] = script_module(by_name, parameters, POWERS)
    for family, names in FAMILIES.items():
        chosen = [by_name[name] for name in names]
        if family not in ARRAY_ONLY:
            texts[f"scalar_{family}.py"] = scalar_module(family, chosen)
        paired = family in PAIRED
        texts[f"array_{family}.py"] = (
            paired_module(family, chosen, _at_the_other_axle) if paired else array_module(family, chosen)
        )
    return texts | space_modules() | space_motion_modules()


def main() -> None:
    """Write the generated modules."""
    for name, text in generated_modules().items():
        (TARGET / name).write_text(text, encoding="utf-8")
        print(f"wrote {name}")


if __name__ == "__main__":
    main()
