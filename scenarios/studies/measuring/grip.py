"""Grip of the tyres: a level pull with all wheels locked, or the angle at which a locked vehicle slides.

Pulls are read in grams of a luggage scale.
"""

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.units import DEGREE
from noseload.solvers.statistics.least_squares import Fit, fit_linear
from noseload.solvers.statistics.propagation import propagate

from .common_errors import (
    END_FOR_END,
    GAUGE_ZERO,
    KNOWN_MASS,
    LOAD_ERROR,
    PULL_GAIN,
    SCALE_GAIN,
    gains,
    in_proportion,
    with_common,
)
from .measurement import Kind, Measurement, Trace, effect_is_real, estimate_of, estimate_of_fit, line_value

PULL_LAYOUT = Layout(
    title="Grip: level pull test",
    settings=(
        Column("load_g", "what presses on the locked wheels: the whole vehicle", low=0, above=True),
        LOAD_ERROR,
        SCALE_GAIN,
        PULL_GAIN,
    ),
    columns=(
        Column("repeat", "number of the pull", low=0),
        Column("peak_pull_g", "largest pull before it slides", low=0, above=True),
        Column("sliding_pull_g", "pull while it slides slowly and evenly", low=0, above=True, required=False),
    ),
    identity=("repeat",),
    least_rows=3,
)

SLIDE_LAYOUT = Layout(
    title="Grip: angle at which the locked vehicle slides",
    settings=(GAUGE_ZERO,),
    columns=(
        Column("repeat", "number of the trial", low=0),
        Column("slide_grade_deg", "board angle at which it begins to slide", low=0, high=89, above=True),
    ),
    identity=("repeat",),
    least_rows=3,
)


def fit_grip(readings: Readings) -> Measurement:
    """Means over repeats, with t intervals, and a check for drift."""
    if readings.title == SLIDE_LAYOUT.title:
        return _fit_slide(readings)
    load, load_error = readings.settings["load_g"], readings.settings["load_error_g"]
    estimates, traces, warnings = [], [], []
    for key, column, word in (
        ("grip_coefficient", "peak_pull_g", "peak"),
        ("sliding_grip_coefficient", "sliding_pull_g", "sliding"),
    ):
        given = np.isfinite(readings[column])
        if np.sum(given) < 3:
            if word == "sliding":
                warnings.append("fewer than 3 sliding pulls: what is left when the wheels spin is not known")
                continue
            raise readings.fault(f"column {column}: {np.sum(given)} readings; at least 3 are needed")
        fit = _mean(readings[column][given])
        result = propagate(
            lambda p: p[0] / p[1],
            [fit.value("mean"), load],
            [(fit.standard_error("mean") ** 2, fit.degrees_of_freedom), (load_error**2, np.inf)],
        )
        estimates.append(in_proportion(estimate_of(result, key, f"{word} pull over load"), *gains(readings.settings)))
        traces.append(_repeat_trace(readings, column, given, fit, f"Grip, {word}", "pull, g"))
        warnings += _drift(readings[column][given], readings["repeat"][given], word)
    if len(estimates) == 2 and estimates[1].value > estimates[0].value:
        warnings.append(
            "the sliding pull exceeds the peak: read the peak from a film of the scale, or pull more slowly"
        )
    notes = (
        "written is the peak, which limits a steady crawl; for a punch that spins the wheels try the sliding value",
        "rubber grips less the harder it is pressed: test at the vehicle's own weight, on the surface you drive on",
    )
    return Measurement(
        "grip",
        PULL_LAYOUT.title,
        readings.file,
        tuple(estimates),
        {"tyre.grip_coefficient": line_value(estimates[0])},
        tuple(traces),
        notes,
        tuple(warnings),
        GRIP.recipe,
    )


def _fit_slide(readings: Readings) -> Measurement:
    angle = readings["slide_grade_deg"]
    fit = _mean(angle)
    result = propagate(
        lambda p: np.tan(p[0] * DEGREE),
        [fit.value("mean")],
        [(fit.standard_error("mean") ** 2, fit.degrees_of_freedom)],
    )
    zero = readings.settings["gauge_zero_error_deg"]
    steepness = DEGREE / np.cos(fit.value("mean") * DEGREE) ** 2
    grip = with_common(estimate_of(result, "grip_coefficient", "tangent of the sliding angle"), zero * steepness)
    mean = with_common(estimate_of_fit(fit, "mean", "slide_grade_deg", "mean sliding angle"), zero)
    trace = _repeat_trace(readings, "slide_grade_deg", np.ones(len(angle), bool), fit, "Sliding angle", "angle, deg")
    return Measurement(
        "grip",
        SLIDE_LAYOUT.title,
        readings.file,
        (grip, mean),
        {"tyre.grip_coefficient": line_value(grip)},
        (trace,),
        (
            "all wheels locked, so that grip = tan(angle) whatever the axle loads",
            "if a front wheel came free first, it tipped: that angle says nothing about grip",
        ),
        tuple(_drift(angle, readings["repeat"], "sliding")),
        GRIP.recipe,
    )


def _mean(values: np.ndarray) -> Fit:
    return fit_linear(np.ones((len(values), 1)), values, ["mean"])


def _drift(values: np.ndarray, repeat: np.ndarray, word: str) -> list[str]:
    if len(values) < 4 or np.ptp(repeat) == 0.0:
        return []
    fit = fit_linear(np.stack([np.ones_like(repeat), repeat - np.mean(repeat)], axis=-1), values, ["mean", "slope"])
    if not effect_is_real(fit, "slope"):
        return []
    trend = 100.0 * fit.value("slope") * np.ptp(repeat) / fit.value("mean")
    return [
        f"the {word} readings drift by {trend:+.0f} % from the first repeat to the last: clean tyres and "
        "surface, "
        "or run them in, and repeat"
    ]


def _repeat_trace(readings: Readings, column: str, given: np.ndarray, fit: Fit, title: str, label: str) -> Trace:
    repeat = readings["repeat"][given]
    ends = np.array([np.min(repeat), np.max(repeat)])
    return Trace(
        title,
        "repeat",
        label,
        repeat,
        readings[column][given],
        fit.fitted,
        fit.errors,
        readings.rows[given],
        ends,
        np.full(2, fit.value("mean")),
    )


GRIP = Kind(
    what="grip",
    title="Grip of the tyres on the surface",
    recipe=(
        "Lay the surface level. Tie all wheels so that they cannot turn.",
        "Hook a luggage or spring scale in at the height of the wheel centres and pull level, slowly; film the scale.",
        "Write the largest reading before it slides (peak_pull_g) and the steady one while it slides "
        "(sliding_pull_g); at"
        " least 5 pulls, turned round after each.",
        "Or raise a board until the vehicle with all wheels tied slides: column slide_grade_deg.",
        KNOWN_MASS + " The scale that is pulled has an error of its own: pull_gain_error_percent.",
        END_FOR_END,
    ),
    cautions=("The scale jumps free when the tyres let go: keep your face out of line with it.",),
    layouts=(PULL_LAYOUT, SLIDE_LAYOUT),
    fit=fit_grip,
    demo=("grip.csv",),
)
