"""What a punch is asked for, in the side view and in space: options, their faults, inputs over time, tolerances."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isfinite
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.motion.programs import Program
from noseload.solvers.motion.protocol import Motion
from noseload.solvers.motion.trajectory import Trajectory
from noseload.solvers.motion.transient import TransientOptions, integrate

from .programs import THROTTLE_PROGRAMS, after_hold, drag_brake, named_throttle

if TYPE_CHECKING:
    from os import PathLike


MOST_STEPS = 20_000
"""Steps after which a punch stops; one of the demo vehicle takes 180 in a second, and 800 where it is tight."""
SILENT_MOVE = 3.5e-4
"""m: steps are redone to end on kinks without a name where they go over them by more, as in a landing; to end on all of them took
a third of what was redone, and no load was better for it."""
TOLERANCES = {
    "default": TransientOptions(tolerance=1.5e-5, most_steps=MOST_STEPS, silent_move=SILENT_MOVE),
    "tight": TransientOptions(tolerance=1e-8, most_steps=MOST_STEPS),
}
"""Traces within `PROMISED` of the largest load; see the guide for what was measured."""
PROMISED = {"default": 1e-3, "tight": 1e-5}
KEPT_OF_SUM = 0.2
"""Largest error of a load over the sum of what the steps erred, where that sum is large: measured over 300 random and
extreme vehicles by `tests/punch_accuracy.py`; a swing that is hardly damped reaches it, most stay below a tenth."""
TUMBLING = 3.0
"""How much more the loads of a run err that ends upside down: in a fall small differences grow."""
BRAKED = 4.0
"""How much more they err where the run starts on the drag brake: when it gets away is told by speeds near zero (measured: up
to 3.3 on grades of 10 to 35 deg)."""
WHEELS, MANY_LANDINGS = 4, 10
"""Landings of single wheels from which errors grow with the square of their number: each lets small differences of time grow (measured: a
vehicle on tyres of 20 N/mm that hops on all four errs 20 times its steps' sum)."""
FINER, FINEST = 0.1, 0.02
"""Share of the promise that a second run aims at, and the least share of the tolerance that it takes."""
PROJECTIONS = 2
"""Corrections that put interpolated samples onto the constraints, to rounding."""
LITTLE_DRIFT = 1e-8, 1e-6
"""m and m/s: one correction of so little, whose square is left, does as well."""


class Braked(Motion, Protocol):
    """A motion with a drag brake, N m over time, and what touches the ground: axles, or wheels."""

    brake_torque: Program
    contacts: tuple[str, ...]


@dataclass(frozen=True)
class PunchOptions:
    """What was asked for; angles in degrees, the rest as named. `release_s`: when a drag brake that holds the start lets go."""

    grade_deg: float
    throttle: float = 1.0
    rise_s: float = 0.05
    start_s: float = 0.1
    duration_s: float = 1.0
    creep_speed_mm_per_s: float = 100.0
    sample_s: float = 0.001
    program: str = "ramp"
    hold_s: float = 0.1
    start: str = "creep"
    tolerance: str = "default"
    release_s: float | None = None

    def __post_init__(self) -> None:
        for name, value in self.__dict__.items():
            if value is not None and not isinstance(value, str):
                object.__setattr__(self, name, float(value))


def name_of(program: Program | str | PathLike | None) -> str:
    """Name of a throttle program as options have it."""
    return program.name if isinstance(program, Program) else str(program or "ramp")


def expected_load_error(motion: Braked, run: Trajectory) -> float:
    """Largest error of a load that the steps of a run let expect, as a share of the weight."""
    braked = BRAKED if motion.brake_torque.values[0] > 0.0 else 1.0
    landings = WHEELS / len(motion.contacts) * sum(event.name.endswith("touchdown") for event in run.events)
    hopping = max(1.0, (landings / MANY_LANDINGS) ** 2)
    return KEPT_OF_SUM * run.error_sum * braked * hopping * (1.0 if run.ended_by is None else TUMBLING)


def integrate_as_promised(
    motion: Braked, start: np.ndarray, duration: float, tolerance: str
) -> tuple[Trajectory, TransientOptions]:
    """Integrate a punch; once more with a smaller tolerance where its steps let expect more error than is promised.

    Returns
    -------
    run : Trajectory
    settings : TransientOptions
        That it was run with.
    """
    settings, promised = TOLERANCES[tolerance], PROMISED[tolerance]
    run = integrate(motion, start, 0.0, duration, options=settings)
    if not run.success or expected_load_error(motion, run) <= promised:
        return run, settings
    share = max(FINEST, FINER * promised / expected_load_error(motion, run))
    finer = replace(settings, tolerance=share * settings.tolerance)
    again = integrate(motion, start, 0.0, duration, options=finer)
    return (again, finer) if again.success else (run, settings)


def kept_or_not(stats: dict, tolerance: str) -> list[str]:
    """Lines that say that a punch may be further off than is promised; none where it keeps that."""
    error, promised = stats["load_error"], PROMISED[tolerance]
    if error <= promised:
        return []
    return [
        f"accuracy not kept: loads may be off by {100.0 * error:.2g} % of the weight, where {100.0 * promised:g} % is "
        "promised" + ("" if tolerance == "tight" else "; ask for --tight")
    ]


def too_stiff(run: Any, options: Any, settings: Any) -> str:
    """Why a run of so many steps was stopped."""
    return (
        f"stopped at {run.times[-1]:.4f} s of {options.duration_s:g} s after {settings.most_steps} steps of "
        f"{1e6 * run.times[-1] / settings.most_steps:.3g} microseconds: parts this light on springs, tyres or stops this stiff "
        "swing too fast to follow; check inertias, stiffnesses and damping"
    )


def check_options(options: PunchOptions, program: Program | str | PathLike | None) -> None:
    """Raise `ModelError` for options that make no sense, every fault at once."""
    faults = []
    for name, value in options.__dict__.items():
        if isinstance(value, float) and not isfinite(value):
            faults.append(f"{name} = {value}: must be a finite number")
    if abs(options.grade_deg) >= 90.0:
        faults.append(f"grade_deg = {options.grade_deg:g}: must lie between -90 and 90 deg")
    if abs(options.throttle) > 1.0:
        faults.append(f"throttle = {options.throttle:g}: must lie between -1 and 1")
    faults += [
        f"{name} = {getattr(options, name):g} s: must not be negative"
        for name in ("rise_s", "start_s", "hold_s")
        if getattr(options, name) < 0.0
    ]
    faults += [
        f"{name} = {getattr(options, name):g} s: must be above 0"
        for name in ("duration_s", "sample_s")
        if not getattr(options, name) > 0.0
    ]
    if 0.0 < options.sample_s and options.duration_s > 1e6 * options.sample_s:
        faults.append(f"sample_s = {options.sample_s:g} s: more than a million samples; sample less often")
    if not isinstance(program, Program) and options.program not in THROTTLE_PROGRAMS:
        faults.append(f"program = {options.program!r}: must be one of {', '.join(THROTTLE_PROGRAMS)}, or a Program")
    if options.release_s is not None and options.start != "brake":
        faults.append(f"release_s = {options.release_s:g} s: only a start on the drag brake has a brake to let go")
    elif options.release_s is not None and not 0.0 <= options.release_s:
        faults.append(f"release_s = {options.release_s:g} s: must not be negative")
    if options.start not in ("creep", "brake"):
        faults.append(f"start = {options.start!r}: must be 'creep' or 'brake'")
    if options.tolerance not in TOLERANCES:
        faults.append(f"tolerance = {options.tolerance!r}: must be one of {', '.join(TOLERANCES)}")
    if faults:
        raise ModelError("punch: " + "; ".join(faults))


def throttle_over_time(options: PunchOptions, program: Program | str | PathLike | None, holding: Any) -> Program:
    """Throttle over time, from the throttle that holds the start."""
    if isinstance(program, Program):
        return after_hold(program, holding)
    return named_throttle(
        options.program,
        holding,
        options.throttle,
        start_s=options.start_s,
        rise_s=options.rise_s,
        hold_s=options.hold_s,
    )


def brake_over_time(options: PunchOptions, throttle: Program, held: float, full: float) -> Program:
    """Drag brake over time, N m; `held` is what holds the start, `full` all it has."""
    return drag_brake(
        options.program,
        throttle,
        held,
        full,
        start_s=options.start_s,
        rise_s=options.rise_s,
        release_s=options.release_s,
    )
