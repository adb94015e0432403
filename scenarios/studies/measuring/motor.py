"""Motor and gears at the wheels from films of the run-up."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.measuring.motion import (
    drive_from_run_up,
    grip_needed_at_start,
    ramped_run_up_slopes,
    ramped_run_up_travel,
    rolling_resistance_torque,
    run_up_travel,
)
from noseload.model.units import DEGREE, GRAM, KILOGRAM_SQUARE_MILLIMETRE, MILLIMETRE, NEWTON_MILLIMETRE
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.least_squares import Fit, chi_square_chance, fit_nonlinear
from noseload.solvers.statistics.propagation import propagate

from .common_errors import KNOWN_MASS, SCALE_GAIN, gain
from .measurement import (
    DOUBT_LEVEL,
    Estimate,
    Kind,
    Measurement,
    Trace,
    estimate_of,
    line_value,
    outlier_warnings,
    rounded,
)
from .motor_slip import KNOWN_TO, SLIP_SETTINGS, slip_delay

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from noseload.solvers.statistics.propagation import Propagated


RISE = "rise"
RISE_STARTS = (0.5, 1.5, 3.0)
"""First guesses of the rise time, in time constants of the fit without it."""
FEWEST_RUNS = -3.0
"""Standard errors of the number of runs below which residuals are no noise."""

MOTOR_LAYOUT = Layout(
    title="Motor: films of wheels in the air and on level grip tape",
    settings=(
        Column("mass_g", "the whole vehicle", low=0, above=True),
        Column("mass_error_g", "its standard error", low=0, default=2.0, required=False),
        SCALE_GAIN,
        Column("rolling_radius_mm", "loaded radius of the tyres", low=0, above=True),
        Column("rolling_radius_error_mm", "its standard error", low=0, default=0.3, required=False),
        Column("driven_wheels_inertia_kg_mm2", "all wheels that turn in the air, together", low=0),
        Column("driven_wheels_inertia_error_kg_mm2", "its standard error", low=0, default=0.0, required=False),
        Column("free_wheels_inertia_kg_mm2", "wheels that turn on the ground only", low=0, default=0.0, required=False),
        Column(
            "grip_coefficient",
            "grip on that surface, to judge whether the start slipped",
            low=0,
            above=True,
            required=False,
        ),
        *SLIP_SETTINGS,
    ),
    columns=(
        Column("run", "number of the film", low=0),
        Column("surface", "wheels in the air or on the ground", "word", choices=("air", "ground")),
        Column("throttle", "share of full throttle, 0 to 1", low=0, high=1, above=True),
        Column("time_s", "time in that film, from any zero"),
        Column("wheel_angle_deg", "how far a wheel has turned since rest"),
    ),
    identity=("run", "time_s"),
    least_rows=10,
)


@dataclass(frozen=True)
class RunUp:
    """Films of one surface and throttle, fitted together: one speed and time constant, a start for each film."""

    surface: str
    throttle: float
    fit: Fit
    places: np.ndarray
    """Which readings belong to it."""
    after: np.ndarray
    """Time of each of them after the start of its film, s."""
    ramped: Fit | None = None
    """The same films with a rise time of the throttle."""

    @property
    def rise(self) -> float:
        """Rise time of the throttle, s; 0 where the films show none."""
        return self.fit.value(RISE) if RISE in self.fit.names else 0.0


def fit_motor(readings: Readings) -> Measurement:
    """Final speeds and time constants of the full-throttle films, then torque, speed and inertia."""
    groups, full = _run_ups(readings), max(readings["throttle"])
    air, ground = (_one(readings, groups, surface, full) for surface in ("air", "ground"))
    if ground.fit.value("constant") <= air.fit.value("constant"):
        raise readings.fault(
            f"the time constant on the ground ({ground.fit.value('constant') * 1e3:.0f} ms) is not longer than in the air "
            f"({air.fit.value('constant') * 1e3:.0f} ms): the wheels slipped, or the columns surface are mixed up"
        )
    values, blocks, delay = _known(readings, air, ground, full)
    estimates, needed, rotor = _motor_estimates(readings, air, ground, full, values, blocks)
    warnings = _motor_warnings(readings, groups, needed, rotor, full)
    keys = ("stall_torque_n_mm", "no_load_speed_rad_per_s", "rotor_inertia_kg_mm2")
    lines = {f"drive.{key}": line_value(next(e for e in estimates if e.key == key)) for key in keys}
    misfit, notes = _throttle_misfit(groups, air, ground, full)
    notes += _slip_note(readings.settings, delay, values)
    return Measurement(
        "motor",
        MOTOR_LAYOUT.title,
        readings.file,
        (*estimates, *misfit),
        lines,
        tuple(_run_trace(readings, group) for group in groups),
        tuple(notes),
        tuple(warnings),
        MOTOR.recipe,
    )


def _known(readings: Readings, air: RunUp, ground: RunUp, full: float) -> tuple[list[float], list[tuple], float]:
    """Numbers that the drive is found from, SI, their covariance blocks, and the delay by slip (s), the last of them.

    Final speed and time constant in the air and on the ground, mass, rolling radius, inertia of the driven wheels, delay.
    """
    settings = readings.settings
    values = [run.fit.value(name) for run in (air, ground) for name in ("speed", "constant")]
    values += [
        settings["mass_g"] * GRAM,
        settings["rolling_radius_mm"] * MILLIMETRE,
        settings["driven_wheels_inertia_kg_mm2"] * KILOGRAM_SQUARE_MILLIMETRE,
    ]
    blocks: list[tuple] = [(run.fit.covariance[:2, :2], run.fit.degrees_of_freedom) for run in (air, ground)]
    errors = (
        np.hypot(settings["mass_error_g"] * GRAM, gain(settings) * values[4]),
        settings["rolling_radius_error_mm"] * MILLIMETRE,
        settings["driven_wheels_inertia_error_kg_mm2"] * KILOGRAM_SQUARE_MILLIMETRE,
    )
    delay = _slip_delay(settings, air, ground, full, values, _free_inertia(settings))
    blocks += [(error**2, np.inf) for error in (*errors, KNOWN_TO * delay)]
    return [*values, delay], blocks, delay


def _free_inertia(settings: Mapping[str, Any]) -> float:
    return settings["free_wheels_inertia_kg_mm2"] * KILOGRAM_SQUARE_MILLIMETRE


def _motor_estimates(
    readings: Readings, air: RunUp, ground: RunUp, full: float, values: list[float], blocks: list[tuple]
) -> tuple[list[Estimate], float, Propagated]:
    """What the films tell of the drive, the grip that the start on the ground needed, and the rotor's inertia as propagated."""
    free = _free_inertia(readings.settings)

    def drive(p: np.ndarray | list[float]) -> tuple[float, float]:
        return drive_from_run_up(p[0] / full, p[1], p[3] - p[7], p[4], p[5], free)

    stall = propagate(lambda p: drive(p)[0], values, blocks)
    rotor = propagate(lambda p: drive(p)[1] - p[6], values, blocks)
    no_load = propagate(lambda p: p[0] / full, values, blocks)
    drag = propagate(lambda p: rolling_resistance_torque(drive(p)[0] * full, p[0], p[2]), values, blocks)
    needed = grip_needed_at_start(stall.value * full, drag.value, drive(values)[1], values[4], values[5], free)
    constants = [
        Estimate(
            f"{key}_time_constant_s",
            f"time constant {words}",
            run.fit.value("constant"),
            run.fit.standard_error("constant"),
            *run.fit.interval("constant"),
        )
        for run, key, words in ((air, "air", "in the air"), (ground, "ground", "on the ground"))
    ]
    to_torque, inertia = 1 / NEWTON_MILLIMETRE, 1 / KILOGRAM_SQUARE_MILLIMETRE
    resistance = "constant rolling resistance (the model has none)"
    estimates = [
        estimate_of(stall, "stall_torque_n_mm", "stall torque, all driven wheels together", to_torque),
        estimate_of(no_load, "no_load_speed_rad_per_s", "wheel speed without load"),
        estimate_of(rotor, "rotor_inertia_kg_mm2", "rotor and gears, referred to the wheels", inertia),
        *constants,
        estimate_of(drag, "rolling_resistance_torque_n_mm", resistance, to_torque),
        Estimate("grip_needed_at_start", "grip the start on the ground needed", needed, origin="calculated"),
    ]
    return estimates, needed, rotor


def _slip_delay(
    settings: Mapping[str, Any], air: RunUp, ground: RunUp, full: float, values: Sequence[float], free: float
) -> float:
    """What slip adds to the time constant on the ground, with the drag that the final speeds tell."""
    first = drive_from_run_up(values[0] / full, values[1], values[3], values[4], values[5], free)[0]
    drag = max(rolling_resistance_torque(first * full, values[0], values[2]), 0.0)
    return slip_delay(
        settings, ground, air=air.fit, full=full, mass=values[4], radius=values[5], free=free, resistance=drag
    )


def _slip_note(settings: Mapping[str, Any], delay: float, values: Sequence[float]) -> list[str]:
    if delay == 0.0:
        return []
    low = 100.0 * delay / (values[3] - values[1])
    source = "" if settings["grip_coefficient"] else " (grip_coefficient is not given: the usual one was taken)"
    return [
        f"the tyres slip as they pull: that makes the time constant on the ground {1e3 * delay:.1f} ms longer and is taken off "
        f"it; left in, stall torque and inertia would read {low:.1f} % low; half of it is in their error{source}"
    ]


def _run_ups(readings: Readings) -> list[RunUp]:
    runs = readings["run"]
    for run in np.unique(runs):
        here = runs == run
        for name in ("surface", "throttle"):
            if len(set(readings[name][here])) > 1:
                row = readings.rows[here][np.argmax(readings[name][here] != readings[name][here][0])]
                raise readings.fault(
                    f"{readings.row_word} {row}, column {name}: run {run:g} has another {name} here than in "
                    "its first row; "
                    "give each film its own number"
                )
    kinds = sorted({(s, u) for s, u in zip(readings["surface"], readings["throttle"], strict=True)})
    groups = [_fit_run_up(readings, surface, throttle) for surface, throttle in kinds]
    # One controller made all films: what they say of a rise time counts together.
    gains = [_gain(group.fit, group.ramped) for group in groups]
    if None in gains or chi_square_chance(sum(gains), len(gains)) >= DOUBT_LEVEL:
        return groups
    return [_ramped(readings, group) for group in groups]


def _ramped(readings: Readings, group: RunUp) -> RunUp:
    fit = group.ramped or group.fit
    run = readings["run"][group.places]
    starts = fit.values[2:][np.searchsorted(np.unique(run), run)]
    return replace(group, fit=fit, after=readings["time_s"][group.places] - starts)


def _gain(step: Any, ramped: Any) -> Any:
    """What a rise time takes off the squares of the residuals, over what is left a degree of freedom; None unknown."""
    if ramped is None or ramped.degrees_of_freedom < 1:
        return None
    before, after = (float(f.residuals @ f.residuals) for f in (step, ramped))
    return max(before - after, 0.0) / max(after, 1e-300) * ramped.degrees_of_freedom


def _fit_run_up(readings: Readings, surface: str, throttle: float) -> RunUp:
    places = np.flatnonzero((readings["surface"] == surface) & (readings["throttle"] == throttle))
    time, angle, run = (
        readings["time_s"][places],
        readings["wheel_angle_deg"][places] * DEGREE,
        readings["run"][places],
    )
    films = np.unique(run)
    film_of = np.searchsorted(films, run)
    speed, constant, starts = _first_guess(readings, time, angle, film_of, len(films))

    def predict(p: np.ndarray) -> np.ndarray:
        if p[0] <= 0.0 or p[1] <= 0.0:
            return np.full_like(time, np.nan)
        return run_up_travel(time - p[2:][film_of], p[0], p[1])

    of_film = film_of[:, None] == np.arange(len(films))

    def derivatives(p: np.ndarray) -> np.ndarray:
        late, by_speed, by_constant, _ = ramped_run_up_slopes(time - p[2:][film_of], p[0], p[1], 0.0)
        return np.column_stack([by_speed, by_constant, -late[:, None] * of_film])

    names = ["speed", "constant"] + [f"start_{film:g}" for film in films]
    scales = [speed, constant] + [constant] * len(films)
    fit = fit_nonlinear(predict, angle, [speed, constant, *starts], names, scales=scales, derivatives=derivatives)
    if np.max(time - fit.values[2:][film_of]) < 2.0 * fit.value("constant"):
        raise readings.fault(
            f"the films of {surface} at throttle {throttle:g} end before the speed has settled; film at "
            "least three time "
            f"constants (about {3 * fit.value('constant'):.2g} s) after the start"
        )
    after = time - fit.values[2:][film_of]
    return RunUp(surface, throttle, fit, places, after, _with_ramp(fit, time, angle, film_of))


def _with_ramp(step: Fit, time: np.ndarray, angle: np.ndarray, film_of: np.ndarray) -> Fit | None:
    """The fit with a rise time of the throttle, or None where it finds no minimum."""

    def predict(p: np.ndarray) -> np.ndarray:
        if p[0] <= 0.0 or p[1] <= 0.0:
            return np.full_like(time, np.nan)
        return ramped_run_up_travel(time - p[2:-1][film_of], p[0], p[1], p[-1])

    of_film = film_of[:, None] == np.arange(len(step.values) - 2)

    def derivatives(p: np.ndarray) -> np.ndarray:
        late, speed, constant, rise = ramped_run_up_slopes(time - p[2:-1][film_of], p[0], p[1], p[-1])
        return np.column_stack([speed, constant, -late[:, None] * of_film, rise])

    constant, count = step.value("constant"), len(step.values)
    found: list[Fit] = []
    for share in RISE_STARTS:
        # A long rise makes the time constant of a step: what is left of it then is short.
        rise, rest = share * constant, constant / (1.0 + share)
        try:
            found.append(
                fit_nonlinear(
                    predict,
                    angle,
                    [step.value("speed"), rest, *(step.values[2:] - 0.3 * rise), rise],
                    [*step.names, RISE],
                    scales=[step.value("speed")] + [constant] * count,
                    derivatives=derivatives,
                    bounds=([-np.inf] * count + [0.0], [np.inf] * (count + 1)),
                )
            )
        except SolverError:
            continue
    if not found:
        return None
    return min(found, key=lambda one: float(one.residuals @ one.residuals))


def _runs_warning(group: RunUp) -> list:
    """Residuals of one sign in long runs: what is filmed is not this law (A. Wald, J. Wolfowitz, 1940, runs test)."""
    signs = np.sign(group.fit.residuals)
    above, below = int(np.sum(signs > 0)), int(np.sum(signs < 0))
    whole = above + below
    if min(above, below) < 5:
        return []
    runs = 1 + int(np.sum(signs[1:] != signs[:-1]))
    expected = 1.0 + 2.0 * above * below / whole
    spread = np.sqrt((expected - 1.0) * (expected - 2.0) / (whole - 1.0))
    if (runs - expected) / spread > FEWEST_RUNS:
        return []
    return [
        f"films of {group.surface} at throttle {group.throttle:g}: the frames lie in long runs before and behind the fit, so "
        "this law is not what was filmed (soft start of the speed controller, a bent film clock): switch soft start off"
    ]


def _first_guess(
    readings: Readings, time: np.ndarray, angle: np.ndarray, film_of: np.ndarray, films: int
) -> tuple[float, float, list[float]]:
    speeds, constants, starts = [], [], []
    for film in range(films):
        t, a = time[film_of == film], angle[film_of == film]
        order = np.argsort(t)
        t, a = t[order], a[order]
        late = t >= t[-1] - 0.35 * (t[-1] - t[0])
        if np.sum(late) < 3 or np.ptp(t) == 0.0:
            raise readings.fault(f"run {readings['run'][0] + film:g}: too few frames; give at least 8 after the start")
        slope, offset = np.polyfit(t[late], a[late], 1)
        if slope <= 0.0:
            raise readings.fault(
                "column wheel_angle_deg does not grow with time_s; count the angle on, past each full turn"
            )
        moving = t[a > 0.05 * a[-1]]
        # the late line meets zero one time constant after the start
        crossing = -offset / slope
        start = t[0] if moving[0] == t[0] else max(t[t < moving[0]][-1], t[0])
        speeds.append(slope)
        starts.append(start)
        constants.append(max(crossing - start, 0.02 * np.ptp(t)))
    return float(np.mean(speeds)), float(np.mean(constants)), starts


def _one(readings: Readings, groups: list[RunUp], surface: str, throttle: float) -> RunUp:
    for group in groups:
        if group.surface == surface and group.throttle == throttle:
            return group
    raise readings.fault(
        f"no film with surface {surface} at throttle {throttle:g}, the largest in the file; both surfaces "
        "are needed at it"
    )


def _throttle_misfit(groups: list[RunUp], air: RunUp, ground: RunUp, full: float) -> tuple[list[Estimate], list[str]]:
    estimates, notes = [], ["torque, speed and inertia come from the films at the largest throttle alone"]
    if full < 1.0:
        notes.append(f"largest throttle is {full:g}: torque and speed are scaled up to 1 in proportion")
    for group in groups:
        if group.throttle == full:
            continue
        reference = (air if group.surface == "air" else ground).fit
        ratio = propagate(
            lambda p: full * p[0] / p[1],
            [group.fit.value("speed"), reference.value("speed")],
            [(f.standard_error("speed") ** 2, f.degrees_of_freedom) for f in (group.fit, reference)],
        )
        percent = round(100 * group.throttle)
        estimates.append(
            estimate_of(
                ratio,
                f"{group.surface}_throttle_{percent}_percent_acts_as",
                f"throttle of {group.throttle:g} "
                f"{'in the ' if group.surface == 'air' else 'on the '}"
                f"{group.surface} gives the final speed of",
            )
        )
        constant, error = rounded(group.fit.value("constant"), group.fit.standard_error("constant"))
        notes.append(
            f"throttle {group.throttle:g}, {group.surface}: time constant {constant} +- {error} s beside "
            f"{reference.value('constant'):.3f} s at {full:g}; a linear motor would have the same"
        )
    return estimates, notes


def _motor_warnings(
    readings: Readings, groups: list[RunUp], needed: float, rotor: Propagated, full: float
) -> list[str]:
    warnings = []
    for group in groups:
        warnings += outlier_warnings(group.fit, readings, readings.rows[group.places]) + _runs_warning(group)
        if RISE in group.fit.names:
            warnings.append(
                f"films of {group.surface} at throttle {group.throttle:g}: the throttle rose over "
                f"{group.fit.value(RISE):.3f} +- {group.fit.standard_error(RISE):.3f} s (soft start of the speed controller): "
                "allowed for; without it the stall torque would come out too high and the rotor far too heavy"
            )
    grip = readings.settings["grip_coefficient"]
    if grip is not None and needed > grip:
        warnings.append(
            f"the start on the ground needed a grip of {needed:.2f} but the surface has {grip:.2f}: the "
            "wheels spun, and the "
            "torque is wrong; film a smaller throttle on both surfaces, or add weight and its mass"
        )
    elif grip is None:
        warnings.append(
            f"the start on the ground needed a grip of {needed:.2f}: look at the film for spinning wheels, "
            "or give "
            "grip_coefficient"
        )
    if rotor.value < 2.0 * rotor.standard_error:
        warnings.append(
            "the rotor's inertia is not told from zero: the wheels' own inertia is most of it, or it is too large"
        )
    for group in groups:
        if group.throttle == full:
            continue
        reference = next(g for g in groups if g.surface == group.surface and g.throttle == full).fit
        ratio = full * group.fit.value("speed") / reference.value("speed")
        if abs(ratio - group.throttle) > 0.05:
            warnings.append(
                f"throttle {group.throttle:g} acts as {ratio:.2f} ({group.surface}): the speed controller "
                "is not linear; use the "
                "share found here when you describe a punch at that stick position"
            )
    return warnings


def _run_trace(readings: Readings, group: RunUp) -> Trace:
    after = group.after
    curve = np.linspace(min(0.0, np.min(after)), np.max(after), 120)
    turns = 1.0 / (2.0 * np.pi)
    return Trace(
        f"Wheels {'in the air' if group.surface == 'air' else 'on the ground'}, throttle {group.throttle:g}",
        "time after the start, s",
        "turns of the wheel",
        after,
        readings["wheel_angle_deg"][group.places] / 360.0,
        group.fit.fitted * turns,
        group.fit.errors * turns,
        readings.rows[group.places],
        curve,
        ramped_run_up_travel(curve, group.fit.value("speed"), group.fit.value("constant"), group.rise) * turns,
    )


MOTOR = Kind(
    what="motor",
    title=MOTOR_LAYOUT.title,
    recipe=(
        "Mark a spoke of one wheel with tape. Battery full; let the motor cool between films.",
        "Wheels in the air: hold the vehicle by its chassis in a stand, give full throttle at once, film at "
        "240 frames/s.",
        "On level grip tape: full throttle from rest, film from the side, the camera following or far away.",
        "From each film read time_s and wheel_angle_deg every few frames, counting on past each turn, until "
        "the speed is"
        " steady. Give each film a number (run).",
        "Repeat both at half throttle: the misfit shows whether the speed controller is linear.",
        KNOWN_MASS,
    ),
    cautions=(
        "Wheels in the air run at full speed: nothing loose near them, hands and hair away, eye protection.",
        "Motor, battery and speed controller get hot: touch only after a pause; stop at any smell.",
        "On the ground leave a clear lane with a soft stop at its end.",
    ),
    layouts=(MOTOR_LAYOUT,),
    fit=fit_motor,
    demo=("motor.csv",),
)
