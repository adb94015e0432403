"""Spring rate from scale readings at ruler steps; tyre rate from hub heights under added weight."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.units import force_of_grams
from noseload.solvers.statistics.least_squares import fit_linear, fit_nonlinear

from .common_errors import KNOWN_MASS, SCALE_GAIN, gain, in_proportion
from .measurement import (
    Estimate,
    Kind,
    Measurement,
    Trace,
    axle_keys,
    effect_is_real,
    estimate_of_fit,
    estimate_of_inverse,
    line_value,
    outlier_warnings,
)

if TYPE_CHECKING:
    from noseload.solvers.statistics.least_squares import Fit


EXPONENT, EXPONENT_ERROR = 1.25, 0.5
"""Force of a tyre over its depth to this power, and how well that is known: between the straight law (1) and a Hertz contact (1.5)."""

AXLE = Column(
    "axle", "which axle it belongs to", "word", choices=("rear", "front", "both"), default="both", required=False
)
REPEAT = Column("repeat", "number of the repeat, 1, 2, ...", low=0, required=False, default=1.0)

SPRING_LAYOUT = Layout(
    title="Spring: scale readings at ruler steps",
    settings=(
        AXLE,
        Column(
            "number_of_shocks",
            "shocks on the axle that carry such a spring",
            low=1,
            high=8,
            default=2.0,
            required=False,
        ),
        SCALE_GAIN,
    ),
    columns=(
        Column("compression_mm", "how far the spring is pressed together, from any zero", low=0),
        Column("scale_g", "reading of the scale under it", low=0),
        Column(
            "direction",
            "while pressing together or letting go",
            "word",
            choices=("loading", "unloading"),
            default="loading",
            required=False,
        ),
        REPEAT,
    ),
    identity=("compression_mm", "direction", "repeat"),
    least_rows=4,
)

TYRE_LAYOUT = Layout(
    title="Tyre: hub height under added weight",
    settings=(
        AXLE,
        Column("standing_load_g", "what the axle weighs without added weight", low=0, above=True),
        Column("hub_height_error_mm", "standard error of a height", low=0, above=True, default=0.2, required=False),
        Column(
            "loaded_tyres",
            "tyres that share the added weight: 2 on the vehicle, 1 for a single tyre",
            low=1,
            high=2,
            default=2.0,
            required=False,
        ),
        SCALE_GAIN,
    ),
    columns=(
        Column("added_g", "weight put above the axle", low=0),
        Column("hub_height_mm", "height of the wheel centre above the floor", low=0, above=True),
        REPEAT,
    ),
    identity=("added_g", "repeat"),
    least_rows=4,
)


def fit_spring(readings: Readings) -> Measurement:
    """Straight line of force over compression, the two directions apart by twice the friction."""
    fit, design, names = _spring_line(readings)
    if fit.value("rate") <= 0.0:
        raise readings.fault(
            "column scale_g falls as compression_mm grows; compression is counted from the free length, growing as the "
            "spring gets shorter"
        )
    estimates = _spring_estimates(readings, fit)
    settings = readings.settings
    return Measurement(
        "spring",
        SPRING_LAYOUT.title,
        readings.file,
        tuple(estimates),
        {key: line_value(estimates[0]) for key in axle_keys(settings["axle"], "shock.spring_rate_n_per_mm")},
        (_spring_trace(readings, fit),),
        (
            "along the shock's own axis; leaning shocks are dealt with by their end points in the file",
            f"sum of {settings['number_of_shocks']:g} shocks, as the vehicle file counts them",
        ),
        tuple(_spring_warnings(readings, fit, design, names, estimates)),
        SPRING.recipe,
    )


def _force(readings: Readings) -> np.ndarray:
    return force_of_grams(readings["scale_g"])


def _spring_line(readings: Readings) -> tuple[Fit, np.ndarray, list[str]]:
    """Fit of the line, its design and the names of its numbers; with friction where both directions were read."""
    x = readings["compression_mm"]
    _need_steps(readings, x, "compression_mm")
    side = np.where(readings["direction"] == "loading", 1.0, -1.0)
    both = bool(np.any(side > 0) and np.any(side < 0))
    design = np.stack([np.ones_like(x), x] + ([side] if both else []), axis=-1)
    names = ["force_at_zero", "rate"] + (["friction"] if both else [])
    return fit_linear(design, _force(readings), names), design, names


def _spring_estimates(readings: Readings, fit: Fit) -> list[Estimate]:
    """Rate of the axle's springs, of one, first touch, and friction where both directions were read."""
    number, share = readings.settings["number_of_shocks"], gain(readings.settings)
    single = in_proportion(estimate_of_fit(fit, "rate", "single_spring_rate_n_per_mm", "rate of one spring"), share)
    together = f"rate of the axle's {number:g} springs together"
    rate = in_proportion(
        estimate_of_fit(fit, "rate", "spring_rate_n_per_mm", together, number, origin="calculated"), share
    )
    start = Estimate(
        "compression_at_first_touch_mm",
        "compression at which the force would begin",
        -fit.value("force_at_zero") / fit.value("rate"),
        origin="calculated",
    )
    if "friction" not in fit.names:
        return [rate, single, start]
    gap = estimate_of_fit(fit, "friction", "dry_friction_n", "half the gap between loading and unloading")
    return [rate, single, start, in_proportion(gap, share)]


def _spring_warnings(
    readings: Readings, fit: Fit, design: np.ndarray, names: list[str], estimates: list[Estimate]
) -> list[str]:
    warnings = outlier_warnings(fit, readings, readings.rows)
    warnings += _curvature_warning(
        design,
        _force(readings),
        names,
        readings["compression_mm"],
        "the rate changes along the travel (a progressive spring, or coils touching): the file's single rate holds near "
        "the middle of these readings only; measure around ride height",
    )
    if "friction" in names and effect_is_real(fit, "friction"):
        warnings.append(
            f"dry friction of {estimates[-1]} in one shock: outside the linear law (the file has none); the rate itself is "
            "not touched by it, but the standing height will depend on how the vehicle was set down"
        )
    return warnings


def _spring_trace(readings: Readings, fit: Fit) -> Trace:
    x = readings["compression_mm"]
    curve = np.linspace(np.min(x), np.max(x), 50)
    return Trace(
        "Spring",
        "compression, mm",
        "force, N",
        x,
        _force(readings),
        fit.fitted,
        fit.errors,
        readings.rows,
        curve,
        fit.value("force_at_zero") + fit.value("rate") * curve,
        tuple(readings["direction"]) if "friction" in fit.names else (),
    )


def fit_tyre(readings: Readings) -> Measurement:
    """Straight line of hub height over added weight."""
    added = force_of_grams(readings["added_g"])
    height = readings["hub_height_mm"]
    _need_steps(readings, readings["added_g"], "added_g")
    names = ["height", "compliance"]
    design = np.stack([np.ones_like(added), -added], axis=-1)
    fit = fit_linear(design, height, names)
    if fit.value("compliance") <= 0.0:
        raise readings.fault("column hub_height_mm does not fall as added_g grows; check the two columns for a mix-up")
    sharing = 2.0 / readings.settings["loaded_tyres"]
    axle = readings.settings["axle"]
    inverse = estimate_of_inverse(
        fit, "compliance", "vertical_stiffness_n_per_mm", "rate of the axle's two tyres together", sharing
    )
    rate = in_proportion(inverse, gain(readings.settings))
    standing = force_of_grams(readings.settings["standing_load_g"])
    free = _free_radius(added + standing, height, readings.settings["hub_height_error_mm"])
    estimates = (
        rate,
        estimate_of_fit(fit, "height", "loaded_radius_mm", "hub height as it stands"),
        estimate_of_fit(
            free, "height", "radius_mm", "free radius, the curve continued to no load", origin="calculated"
        ),
    )
    warnings = outlier_warnings(fit, readings, readings.rows)
    warnings += _curvature_warning(
        design,
        height,
        names,
        added,
        "the tyre stiffens (or softens) under load: the single rate is a mean over these weights, and the "
        "free radius, "
        "continued beyond them, is doubtful; put less weight on",
    )
    curve = np.linspace(0.0, np.max(added), 50)
    trace = Trace(
        "Tyre",
        "added weight, N",
        "hub height, mm",
        added,
        height,
        fit.fitted,
        fit.errors,
        readings.rows,
        curve,
        fit.value("height") - fit.value("compliance") * curve,
    )
    keys = (
        ("tyre.vertical_stiffness_n_per_mm",) if axle == "both" else axle_keys(axle, "tyre.vertical_stiffness_n_per_mm")
    )
    return Measurement(
        "tyre",
        TYRE_LAYOUT.title,
        readings.file,
        estimates,
        {key: line_value(rate) for key in keys},
        (trace,),
        (
            "the file takes either loaded_radius_mm or radius_mm, never both: put the value beside the one it has",
            "measured standing still; a rolling tyre of the same make is usually somewhat softer",
        ),
        tuple(warnings),
        TYRE.recipe,
    )


def _free_radius(load: np.ndarray, height: np.ndarray, reading_error: float) -> Fit:
    """Hub height without load: F ~ depth^n, n 1 to 1.5 and not well told by few loads, so that it joins the error.

    A straight line would continue a progressive tyre's heights too high, and be sure of it.
    """
    first = np.polyfit(load, height, 1)
    sink = max(-first[0] * load.max(), reading_error)
    size = load / load.max()

    def predict(p: np.ndarray) -> np.ndarray:
        return np.append(p[0] - p[1] * size ** (1.0 / p[2]), p[2])

    return fit_nonlinear(
        predict,
        np.append(height, EXPONENT),
        [first[1], sink, EXPONENT],
        ["height", "sink", "exponent"],
        scales=[1.0, sink, 0.2],
        errors=np.append(np.full(len(height), reading_error), EXPONENT_ERROR),
        bounds=([0.0, 0.0, 0.7], [np.inf, np.inf, 2.5]),
    )


def _need_steps(readings: Readings, values: np.ndarray, name: str) -> None:
    distinct = len(np.unique(values))
    if distinct < 3:
        raise readings.fault(
            f"column {name} has {distinct} different values; a line with a check on its straightness needs at least 3"
        )


def _curvature_warning(
    design: np.ndarray, observed: np.ndarray, names: list[str], x: np.ndarray, sentence: str
) -> list[str]:
    if len(observed) < design.shape[1] + 2 or len(np.unique(x)) < 4:
        return []
    middle = 0.5 * (np.min(x) + np.max(x))
    bent = fit_linear(np.column_stack([design, (x - middle) ** 2]), observed, [*names, "curvature"])
    return [sentence] if effect_is_real(bent, "curvature") else []


SPRING = Kind(
    what="spring",
    title=SPRING_LAYOUT.title,
    recipe=(
        "Take one spring off its shock, or the whole shock with its oil drained or given time to creep.",
        "Stand it upright on a kitchen scale, a rod or screw clamp above it; lay a ruler beside it.",
        "Press to at least 4 ruler steps over the travel it has in use; at each, set the ruler first, then "
        "read the scale.",
        "Go on and come back (column direction); the gap between the two is friction.",
        "Write compression_mm and scale_g, and how many such shocks the axle has.",
        KNOWN_MASS,
    ),
    cautions=(
        "A compressed spring flies: press in line, hold it in a guide, wear eye protection.",
        "Keep fingers out of the coils and off the clamp.",
    ),
    layouts=(SPRING_LAYOUT,),
    fit=fit_spring,
    demo=("spring-rear.csv", "spring-front.csv"),
)

TYRE = Kind(
    what="tyre",
    title=TYRE_LAYOUT.title,
    recipe=(
        "Stand the vehicle on a hard level table, both tyres of the axle on one line, wheels straight.",
        "Measure the height of the wheel centre above the table, the mean of left and right.",
        "Put weights above the axle (bags of sugar, filled bottles) in at least 4 steps up to about twice "
        "the static load;"
        " rock the vehicle, wait, measure the height again.",
        "Take some steps while unloading too: number repeats in the column repeat.",
        "Write added_g and hub_height_mm, and the axle's own scale reading as standing_load_g.",
        KNOWN_MASS,
    ),
    cautions=("Secure the weights so that they cannot slide off onto feet or fingers.",),
    layouts=(TYRE_LAYOUT,),
    fit=fit_tyre,
    demo=("tyre.csv",),
)
