"""Damping from a weight falling on a shock without its spring, or from a released bounce."""

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.measuring.motion import (
    bounce_peaks,
    damping_ratio,
    falling_weight_time,
    logarithmic_decrement,
    wheel_damping_from_bounce,
    wheel_rate_from_bounce,
)
from noseload.model.units import GRAM, MILLIMETRE, NEWTON_PER_MILLIMETRE, STANDARD_GRAVITY
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.least_squares import Fit, fit_linear, fit_nonlinear, t_chance
from noseload.solvers.statistics.propagation import propagate

from .common_errors import KNOWN_MASS, SCALE_GAIN, gain, in_proportion
from .measurement import (
    DOUBT_LEVEL,
    Estimate,
    Kind,
    Measurement,
    Trace,
    axle_keys,
    effect_is_real,
    estimate_of,
    estimate_of_fit,
    line_value,
    outlier_warnings,
)
from .springs import AXLE, REPEAT

FALL_LAYOUT = Layout(
    title="Damping: a weight falls on a shock without its spring",
    settings=(
        AXLE,
        Column("number_of_shocks", "shocks on the axle", low=1, high=8, default=2.0, required=False),
        SCALE_GAIN,
    ),
    columns=(
        Column("direction", "shock pushed together or pulled out", "word", choices=("compression", "extension")),
        Column("weight_g", "everything that moves: weight, holder and moving half of the shock", low=0, above=True),
        Column("distance_mm", "travel from release to the mark", low=0, above=True),
        Column("time_s", "time from release to the mark", low=0, above=True),
        REPEAT,
    ),
    identity=("direction", "weight_g", "distance_mm", "repeat"),
    least_rows=4,
)

BOUNCE_LAYOUT = Layout(
    title="Damping: peaks of a released bounce",
    settings=(
        AXLE,
        Column("sprung_mass_g", "sprung part of the axle's load: axle reading less axle assembly", low=0, above=True),
        Column("sprung_mass_error_g", "its standard error", low=0, default=10.0, required=False),
        SCALE_GAIN,
        Column("motion_ratio", "shock travel per wheel travel", low=0.05, high=2.0),
        Column("motion_ratio_error", "its standard error", low=0, default=0.02, required=False),
        Column(
            "dynamic_index",
            "k^2 / (a b): pitch inertia over sprung mass times its distances to both axles; 1 where the ends swing apart",
            low=0,
            above=True,
            required=False,
        ),
    ),
    columns=(
        Column("half_swing", "0 for the release, then 1, 2, 3, ... for each turning point", low=0),
        Column("time_s", "time of the turning point, from any zero", low=0),
        Column("peak_mm", "distance from the rest height at the turning point, without sign", low=0, above=True),
        REPEAT,
    ),
    identity=("half_swing", "repeat"),
    least_rows=4,
)


def fit_damping(readings: Readings) -> Measurement:
    """Falling weights or a bounce, whichever the file holds."""
    return fit_fall(readings) if readings.title == FALL_LAYOUT.title else fit_bounce(readings)


def fit_fall(readings: Readings) -> Measurement:
    """Times of fall, each direction with a viscous and a dry part; the file takes the viscous mean."""
    found = {side: _fit_direction(readings, side) for side in ("compression", "extension")}
    fits = {side: fit for side, fit in found.items() if fit is not None}
    warnings, traces, estimates = [], [], []
    # A scale that reads too much makes weights, damping and friction too large alike: the times then stay as they are.
    share = gain(readings.settings)
    for side, fit in fits.items():
        here = readings["direction"] == side
        warnings += outlier_warnings(fit, readings, readings.rows[here])
        damping = estimate_of_fit(fit, "damping", f"{side}_damping_n_s_per_m", f"one shock, {side}")
        rubbing = estimate_of_fit(fit, "friction", f"{side}_dry_friction_n", f"dry friction in {side}")
        friction = in_proportion(rubbing, share)
        estimates += [in_proportion(damping, share), friction]
        if effect_is_real(fit, "friction") and friction.value > 0.0:
            warnings.append(
                f"dry friction of {friction} in {side}: outside the linear law, which keeps only the "
                "viscous part; small "
                "motions will die sooner than calculated"
            )
        traces.append(_fall_trace(readings, fit, side))
    number = readings.settings["number_of_shocks"]
    values = [fit.value("damping") for fit in fits.values()]
    blocks = [(fit.standard_error("damping") ** 2, fit.degrees_of_freedom) for fit in fits.values()]
    mean = propagate(lambda c: number * np.mean(c), values, blocks)
    both = f"axle's {number:g} shocks together, mean of both directions"
    total = in_proportion(estimate_of(mean, "damping_n_s_per_m", both), share)
    if len(fits) == 1:
        warnings.append(f"only {next(iter(fits))} was measured: a one-way valve would go unseen; turn the shock over")
    else:
        warnings += _one_way_warning(fits, number)
    return Measurement(
        "damping",
        FALL_LAYOUT.title,
        readings.file,
        (total, *estimates),
        {key: line_value(total) for key in axle_keys(readings.settings["axle"], "shock.damping_n_s_per_m")},
        tuple(traces),
        (
            "the law is force = friction + damping x speed, run-in of the falling weight included",
            "oil thins when warm: measure at the temperature of use",
        ),
        tuple(warnings),
        DAMPING.recipe,
    )


def _fit_direction(readings: Readings, side: str) -> Fit | None:
    here = readings["direction"] == side
    if not np.any(here):
        return None
    mass = readings["weight_g"][here] * GRAM
    distance = readings["distance_mm"][here] * MILLIMETRE
    time = readings["time_s"][here]
    if np.sum(here) < 3 or len(np.unique(mass)) < 2:
        raise readings.fault(
            f"direction {side}: {np.sum(here)} rows with {len(np.unique(mass))} different weight_g; at "
            "least 3 rows and 2 "
            "weights are needed to tell damping from dry friction"
        )
    if np.any(0.5 * STANDARD_GRAVITY * time**2 < distance):
        worst = readings.rows[here][np.argmin(0.5 * STANDARD_GRAVITY * time**2 - distance)]
        raise readings.fault(
            f"{readings.row_word} {worst}, column time_s: shorter than a free fall over distance_mm; check the units"
        )
    start = float(np.median(mass * STANDARD_GRAVITY * time / distance))
    # the lightest weight falls at all, so friction stays below its weight
    ceiling = np.min(mass) * STANDARD_GRAVITY
    return fit_nonlinear(
        lambda p: falling_weight_time(distance, mass, p[0], p[1]) if p[0] > 0.0 else np.full_like(time, np.nan),
        time,
        [start * 0.8, 0.05 * ceiling],
        ["damping", "friction"],
        scales=[start, ceiling],
    )


def _fall_trace(readings: Readings, fit: Fit, side: str) -> Trace:
    here = readings["direction"] == side
    return Trace(
        f"Damping, {side}",
        "fitted time, s",
        "measured time, s",
        fit.fitted,
        readings["time_s"][here],
        fit.fitted,
        fit.errors,
        readings.rows[here],
        np.array([0.0, np.max(fit.fitted)]),
        np.array([0.0, np.max(fit.fitted)]),
    )


def _one_way_warning(fits: dict[str, Fit], number: float) -> list[str]:
    push, pull = fits["compression"], fits["extension"]
    gap = pull.value("damping") - push.value("damping")
    error = float(np.hypot(pull.standard_error("damping"), push.standard_error("damping")))
    freedom = min(push.degrees_of_freedom, pull.degrees_of_freedom)
    if error == 0.0 or t_chance(gap / error, freedom) >= DOUBT_LEVEL:
        return []
    ratio = pull.value("damping") / push.value("damping")
    return [
        f"extension damps {ratio:.2f} times as much as compression: a one-way valve, outside the linear "
        "law; the mean is "
        f"written; try a punch with {number * push.value('damping'):.3g} and "
        f"{number * pull.value('damping'):.3g} N s/m too"
    ]


def fit_bounce(readings: Readings) -> Measurement:
    """Logarithmic decrement of the peaks and period of the turning points."""
    count, size = readings["half_swing"], readings["peak_mm"]
    if len(np.unique(count)) < 3:
        raise readings.fault("column half_swing has fewer than 3 different turning points; film a larger release")
    order = np.argsort(count)
    guess = np.exp(np.polyfit(count, np.log(size), 1))
    if guess[0] >= 1.0:
        raise readings.fault(
            "column peak_mm does not fall from one half_swing to the next; check the order of the rows"
        )
    peaks = fit_nonlinear(
        lambda p: bounce_peaks(count, p[0], p[1]),
        size,
        [guess[1], guess[0]],
        ["first", "ratio"],
        scales=[guess[1], 1.0],
        derivatives=lambda p: np.stack([p[1] ** count, p[0] * count * p[1] ** np.maximum(count - 1, 0)], axis=-1),
    )
    beat = fit_linear(*_beat_design(readings), errors=None)
    half = beat.value("half_period")
    if half <= 0.0:
        raise readings.fault("column time_s does not grow with half_swing; check the order of the rows")
    settings = readings.settings
    values = [peaks.value("ratio"), half, settings["sprung_mass_g"] * GRAM, settings["motion_ratio"]]
    blocks = [
        (peaks.standard_error("ratio") ** 2, peaks.degrees_of_freedom),
        (beat.standard_error("half_period") ** 2, beat.degrees_of_freedom),
        (np.hypot(settings["sprung_mass_error_g"] * GRAM, gain(settings) * values[2]) ** 2, np.inf),
        (settings["motion_ratio_error"] ** 2, np.inf),
    ]
    shock = propagate(lambda p: wheel_damping_from_bounce(p[2], _decrement(p), 2 * p[1]) / p[3] ** 2, values, blocks)
    zeta = propagate(lambda p: damping_ratio(_decrement(p)), values, blocks)
    rate = propagate(lambda p: wheel_rate_from_bounce(p[2], _decrement(p), 2 * p[1]), values, blocks)
    total = estimate_of(shock, "damping_n_s_per_m", "axle's shocks together, along the shocks")
    apart = _ends_swing_apart(settings["dynamic_index"])
    warnings = outlier_warnings(peaks, readings, readings.rows) + _bounce_friction(count, size, peaks)
    if not apart:
        warnings.insert(0, NOT_ONE_MASS)
    curve = np.linspace(0.0, np.max(count), 80)
    trace = Trace(
        "Bounce",
        "half swing",
        "peak, mm",
        count[order],
        size[order],
        peaks.fitted[order],
        peaks.errors[order],
        readings.rows[order],
        curve,
        bounce_peaks(curve, peaks.value("first"), peaks.value("ratio")),
    )
    estimates = (
        total,
        estimate_of(zeta, "damping_ratio", "damping ratio of this bounce"),
        estimate_of(
            rate, "ride_rate_n_per_mm", "rate at the wheel, spring and tyre in series", 1 / NEWTON_PER_MILLIMETRE
        ),
        Estimate("damped_period_s", "period of the bounce", 2 * half, 2 * beat.standard_error("half_period")),
    )
    return Measurement(
        "damping",
        BOUNCE_LAYOUT.title,
        readings.file,
        estimates,
        {key: line_value(total) for key in axle_keys(settings["axle"], "shock.damping_n_s_per_m")} if apart else {},
        (trace,),
        (
            "one mass on one spring is assumed: push straight down above the axle, the other end at rest",
            "the tyres spring too and the shocks rub: neither is in this law; the falling weight knows neither",
        ),
        tuple(warnings),
        DAMPING.recipe,
    )


NOT_ONE_MASS = (
    "what swings above one axle is the sprung part of its load only where the vehicle's dynamic index k^2 / (a b) is 1; where "
    "it is 0.35, as weight between the axles makes it, this reads 20 to 70 % high: no line for the file, use the falling "
    "weight (or state dynamic_index if it is near 1)"
)
APART = 0.1
"""How far from 1 the dynamic index may be: the damping then errs by about as much, in part."""


def _ends_swing_apart(index: float | None) -> bool:
    """Whether each end swings as a mass of its own (dynamic index 1: J. Reimpell, H. Stoll, *The Automotive Chassis*, memory)."""
    return index is not None and abs(index - 1.0) <= APART


def _decrement(values: np.ndarray) -> float:
    return logarithmic_decrement(values[0])


def _beat_design(readings: Readings) -> tuple[np.ndarray, np.ndarray, list[str]]:
    """Turning points of each repeat lie on one line in time with a common half period."""
    count, time, repeat = readings["half_swing"], readings["time_s"], readings["repeat"]
    runs = np.unique(repeat)
    columns = [count] + [(repeat == run).astype(float) for run in runs]
    return np.stack(columns, axis=-1), time, ["half_period"] + [f"start_{run:g}" for run in runs]


def _bounce_friction(count: np.ndarray, size: np.ndarray, plain: Fit) -> list[str]:
    """Dry friction takes a constant bite off each half swing: A_k+1 = q A_k - bite, by the geometric sum."""
    if len(np.unique(count)) < 4:
        return [
            "fewer than four turning points: dry friction, which makes this read too high, cannot be told from damping"
        ]
    first, ratio = plain.values

    def peaks(p: np.ndarray) -> np.ndarray:
        left = 1.0 - p[1]
        bites = count if abs(left) < 1e-9 else (1.0 - p[1] ** count) / left
        return p[0] * p[1] ** count - p[2] * bites

    try:
        bent = fit_nonlinear(
            peaks, size, [first, ratio, 0.0], ["first", "ratio", "bite"], scales=[first, 0.1, 0.1 * first]
        )
    except SolverError:
        return []
    if not (effect_is_real(bent, "bite") and bent.value("bite") > 0.0):
        return []
    return [
        "the peaks fall by a constant amount rather than a constant share: dry friction, outside the linear law; "
        "the damping printed is too large, use the falling weight"
    ]


DAMPING = Kind(
    what="damping",
    title="Damping of the shocks",
    recipe=(
        "Falling weight (better): take the spring off; clamp the shock upright, oil bled, at room temperature.",
        "Hang or stand at least 3 different weights on the free end; release from rest, film at 120 "
        "frames/s or more beside a"
        " ruler, and take the time from release to a mark well before the end of the travel.",
        "Turn the shock over (or hang the weight) for the other direction: columns direction, weight_g, "
        "distance_mm, time_s.",
        KNOWN_MASS,
        "Or a bounce, where each end swings apart (dynamic_index near 1): push the body straight down above one axle, release, "
        "film; columns half_swing, time_s, peak_mm.",
    ),
    cautions=(
        "Let the weight fall into a soft tray; keep fingers out from under it.",
        "Clamp the shock body, not its thread; oil on the floor is slippery.",
    ),
    layouts=(FALL_LAYOUT, BOUNCE_LAYOUT),
    fit=fit_damping,
    demo=("damping-rear.csv", "damping-bounce.csv"),
)
