"""What the tyres do at the ground: rolling resistance, lengthwise give, rolling radius, slip stiffness; and their grip.

Grip comes from a level pull with all wheels locked, or from the angle at which a locked vehicle slides. For the rest, four files, told apart by their columns. Pulls are read in grams of a luggage scale.

- Rolled free, pulled both ways over a level floor: ``f = pull / load``; the mean of both ways takes the floor's slope out.
- Wheels tied, body pulled back by a string at height z: both axles' tyres give alike, by u at the hubs, so that
  ``P = (kx_rear + kx_front) u`` and, moments about the rear contact, ``drop L - P z = a u W`` (+ what the tipping of the body on
  its tyres takes: ``W h drop (1/k + 1/k) / L``, the suspension blocked).
- One axle rolled ten turns under loads N: ``way / (2 pi turns) = r - chi N / k``, k the tyres' vertical rate.
- Ten turns of crawl against a pull P: ``way = way_0 (1 - mu / c artanh(P / (mu W)))``, c the slip stiffness, mu the grip: the
  vehicle's own law of slip, ``P / (c W)`` where it begins.
"""

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.file.defaults import GRIP as GRIP_ASSUMED
from noseload.model.units import DEGREE, STANDARD_GRAVITY
from noseload.solvers.statistics.least_squares import Fit, fit_linear
from noseload.solvers.statistics.propagation import propagate

from .common_errors import END_FOR_END, GAUGE_ZERO, KNOWN_MASS, PULL_GAIN, SCALE_GAIN, gain, in_proportion, with_common
from .measurement import (
    Estimate,
    Kind,
    Measurement,
    Trace,
    effect_is_real,
    estimate_of,
    estimate_of_fit,
    estimate_of_inverse,
    line_value,
    outlier_warnings,
)

NEWTONS_PER_GRAM = 1e-3 * STANDARD_GRAVITY
_LOAD = (
    Column("load_g", "what presses on the wheels: the whole vehicle", low=0, above=True),
    Column("load_error_g", "its standard error", low=0, default=2.0, required=False),
    SCALE_GAIN,
    PULL_GAIN,
)

ROLLING_LAYOUT = Layout(
    title="Contact: rolled free",
    settings=_LOAD,
    columns=(
        Column("repeat", "number of the pull", low=0),
        Column("pull_there_g", "steady pull at a walking pace, one way", low=0, above=True),
        Column("pull_back_g", "the same over the same floor the other way", low=0, above=True),
    ),
    identity=("repeat",),
    least_rows=3,
)
GIVE_LAYOUT = Layout(
    title="Contact: wheels tied, pulled back",
    settings=(
        *_LOAD,
        Column("wheelbase_mm", "between the wheel centres", low=0, above=True),
        Column("string_height_mm", "height of the string above the floor", low=0, default=10.0, required=False),
        Column("tyre_stiffness_n_per_mm", "vertical rate of an axle's two tyres", low=0, above=True),
        Column("centre_of_gravity_height_mm", "of the whole vehicle", low=0, above=True),
    ),
    columns=(
        Column("pull_g", "pull of the string, backward", low=0),
        Column("front_scale_g", "scale under the front wheels", low=0),
        Column("hub_shift_mm", "how far a hub has moved back, ruler on the floor"),
        Column("repeat", "number of the repeat", low=0, default=1.0, required=False),
    ),
    identity=("pull_g", "repeat"),
    least_rows=4,
)
RADIUS_LAYOUT = Layout(
    title="Contact: one axle rolled under loads",
    settings=(
        Column("axle", "which axle", "word", choices=("rear", "front", "both"), default="both", required=False),
        Column("turns", "turns of the wheels", low=0, above=True, default=10.0, required=False),
        Column("tyre_stiffness_n_per_mm", "vertical rate of the axle's two tyres", low=0, above=True),
        Column("tyre_stiffness_error_n_per_mm", "its standard error", low=0, default=0.1, required=False),
        SCALE_GAIN,
    ),
    columns=(
        Column("axle_load_g", "load on the axle", low=0, above=True),
        Column("way_mm", "way of those turns", low=0, above=True),
        Column("repeat", "number of the repeat", low=0, default=1.0, required=False),
    ),
    identity=("axle_load_g", "repeat"),
    least_rows=3,
)
SLIP_LAYOUT = Layout(
    title="Contact: crawling against a pull",
    settings=(
        *_LOAD,
        Column("turns", "turns of the wheels", low=0, above=True, default=10.0, required=False),
        Column(
            "grip_coefficient",
            "grip on that surface, which bends the law of slip",
            low=0,
            above=True,
            default=GRIP_ASSUMED.value,
            required=False,
        ),
    ),
    columns=(
        Column("pull_g", "pull of the string, backward", low=0),
        Column("way_mm", "way of those turns", low=0, above=True),
        Column("repeat", "number of the repeat", low=0, default=1.0, required=False),
    ),
    identity=("pull_g", "repeat"),
    least_rows=4,
)


def fit_contact(readings: Readings) -> Measurement:
    """One of the four, by the columns of the file."""
    return {
        ROLLING_LAYOUT.title: _fit_rolling,
        GIVE_LAYOUT.title: _fit_give,
        RADIUS_LAYOUT.title: _fit_radius,
        SLIP_LAYOUT.title: _fit_slip,
    }[readings.title](readings)


def _load(readings: Readings) -> tuple[float, tuple[float, float]]:
    """Load, g, and its variance with infinite freedom."""
    return readings.settings["load_g"], (readings.settings["load_error_g"] ** 2, np.inf)


def _gains(readings: Readings) -> tuple[float, float]:
    """Of the scale that weighed and of the scale that was pulled: a pull over a load feels both."""
    return gain(readings.settings), gain(readings.settings, PULL_GAIN)


def _known(fit: Fit, name: str) -> tuple[float, float]:
    return fit.standard_error(name) ** 2, fit.degrees_of_freedom


def _finished(
    readings: Readings,
    estimates: tuple[Estimate, ...],
    lines: dict[str, float],
    traces: tuple[Trace, ...],
    notes: tuple[str, ...],
    warnings: list,
) -> Measurement:
    return Measurement(
        "contact", readings.title, readings.file, estimates, lines, traces, notes, tuple(warnings), CONTACT.recipe
    )


def _fit_rolling(readings: Readings) -> Measurement:
    there, back = readings["pull_there_g"], readings["pull_back_g"]
    both = 0.5 * (there + back)
    fit = fit_linear(np.ones((len(both), 1)), both, ["mean"])
    load, known = _load(readings)
    result = propagate(lambda p: p[0] / p[1], [fit.value("mean"), load], [_known(fit, "mean"), known])
    rolling = in_proportion(
        estimate_of(result, "rolling_resistance", "pull over load, mean of both ways"), *_gains(readings)
    )
    slope = Estimate("floor_slope_percent", "what the two ways differ by", 50.0 * float(np.mean(there - back)) / load)
    trace = _trace(readings, "Rolled free", "repeat", "pull, mean of both ways, g", readings["repeat"], both, fit)
    warnings = outlier_warnings(fit, readings, readings.rows)
    if abs(slope.value) > 100.0 * rolling.value:
        warnings.append("the floor's slope is more than the resistance: a leveller floor gives a surer number")
    notes = (
        "with the pinion out: what gears and motor add is not in it; wheels that roll free, brakes off",
        "on the floor it was pulled over; on grip tape a tyre may take more",
    )
    lines = {"tyre.rolling_resistance": line_value(rolling)}
    return _finished(readings, (rolling, slope), lines, (trace,), notes, warnings)


def _fit_give(readings: Readings) -> Measurement:
    pull, shift = readings["pull_g"] * NEWTONS_PER_GRAM, readings["hub_shift_mm"]
    settings = readings.settings
    _need_different(readings, "pull_g")
    design = np.stack([np.ones_like(pull), pull], axis=-1)
    give = fit_linear(design, shift, ["zero", "give"])
    if give.value("give") <= 0.0:
        raise readings.fault(
            "column hub_shift_mm does not grow with pull_g; count hub_shift_mm backward from the first reading"
        )
    scale = readings["front_scale_g"] * NEWTONS_PER_GRAM
    load = settings["load_g"] * NEWTONS_PER_GRAM
    tipping = (
        2.0
        * load
        * settings["centre_of_gravity_height_mm"]
        / (settings["tyre_stiffness_n_per_mm"] * settings["wheelbase_mm"])
    )
    # N_f (L - W h 2 / (k L)) = constant - P z - a W u: front load as a line in the pull, its other part known.
    moment = scale * (settings["wheelbase_mm"] - tipping) + pull * settings["string_height_mm"]
    shifted = fit_linear(design, moment, ["zero", "moment"])
    meaning = "rate of an axle's two tyres along the floor"
    pair = estimate_of_inverse(give, "give", "lengthwise_stiffness_n_per_mm", meaning, 0.5)
    pair = in_proportion(pair, gain(settings, PULL_GAIN))
    result = propagate(
        lambda p: -p[0] / (p[1] * p[2]),
        [shifted.value("moment"), give.value("give"), load],
        [_known(shifted, "moment"), _known(give, "give"), ((settings["load_error_g"] * NEWTONS_PER_GRAM) ** 2, np.inf)],
    )
    share = estimate_of(result, "contact_offset_share", "share of the give by which the load moves forward")
    # The scale's load and its share of the moment go together; the pull is left in the moment of the string alone.
    string = settings["string_height_mm"] / (give.value("give") * load)
    share = with_common(share, gain(settings) * string, gain(settings, PULL_GAIN) * string)
    traces = (
        _trace(readings, "Lengthwise give", "pull, N", "hub shift, mm", pull, shift, give),
        _trace(readings, "Load moved forward", "pull, N", "moment about the rear contact, N mm", pull, moment, shifted),
    )
    warnings = outlier_warnings(give, readings, readings.rows) + outlier_warnings(shifted, readings, readings.rows)
    if not 0.0 <= share.value <= 1.5:
        warnings.append(
            "a share outside 0 to 1.5: zero the scale with its tray on, keep the string level, block the suspension"
        )
    notes = (
        "with the suspension blocked and all four wheels tied: both axles then give alike, whatever they carry",
        "the tipping of the body on its tyres is taken off with the rate and the height given",
    )
    lines = {"tyre.lengthwise_stiffness_n_per_mm": line_value(pair), "tyre.contact_offset_share": line_value(share)}
    return _finished(readings, (pair, share), lines, traces, notes, warnings)


def _fit_radius(readings: Readings) -> Measurement:
    settings = readings.settings
    _need_different(readings, "axle_load_g")
    load = readings["axle_load_g"] * NEWTONS_PER_GRAM
    radius = readings["way_mm"] / (2.0 * np.pi * settings["turns"])
    fit = fit_linear(np.stack([np.ones_like(load), -load], axis=-1), radius, ["radius", "loss"])
    stiffness = settings["tyre_stiffness_n_per_mm"]
    known = (settings["tyre_stiffness_error_n_per_mm"] ** 2, np.inf)
    result = propagate(lambda p: p[0] * p[1], [fit.value("loss"), stiffness], [_known(fit, "loss"), known])
    lacks = "share of what the load presses in that the rolling radius lacks"
    chi = in_proportion(estimate_of(result, "rolling_radius_share", lacks), gain(settings))
    free = estimate_of_fit(fit, "radius", "rolling_radius_mm", "rolling radius without load")
    trace = _trace(readings, "Rolling radius", "axle load, N", "way over turns, mm", load, radius, fit)
    warnings = outlier_warnings(fit, readings, readings.rows)
    written = min(max(chi.value, 0.0), 1.0)
    if written != chi.value:
        warnings.append(f"a share of {chi.value:.2f} is written as {written:g}: it lies between 0 and 1 for any tyre")
    if not effect_is_real(fit, "loss"):
        warnings.append(
            "the way does not change with the load beyond its scatter: more turns, more repeats, loads further apart"
        )
    key = "tyre.rolling_radius_share" if settings["axle"] == "both" else f"{settings['axle']}.tyre.rolling_radius_share"
    notes = (
        "rolled by hand, nothing driving or braking: a driven wheel slips as well",
        "an elastic tyre that loses nothing has 1 - share = contact_offset_share x vertical / lengthwise rate",
    )
    line = float(f"{written:.3g}")
    return _finished(readings, (chi, free), {key: line}, (trace,), notes, warnings)


def _fit_slip(readings: Readings) -> Measurement:
    _need_different(readings, "pull_g")
    load, known = _load(readings)
    way, grip = readings["way_mm"], readings.settings["grip_coefficient"]
    share = readings["pull_g"] / load
    if np.max(share) >= 0.9 * grip:
        raise readings.fault(
            f"column pull_g: up to {np.max(share):.2f} of the load, near the grip of {grip:g}: the wheels spin there"
        )
    pull = grip * np.arctanh(share / grip)
    fit = fit_linear(np.stack([np.ones_like(pull), -pull], axis=-1), way, ["way", "loss"])
    if fit.value("loss") <= 0.0:
        raise readings.fault("column way_mm does not fall as pull_g grows; check the two columns for a mix-up")
    result = propagate(
        lambda p: p[0] / p[1] * p[2] / load,
        [fit.value("way"), fit.value("loss"), load],
        [_known(fit, "way"), _known(fit, "loss"), known],
    )
    begins = "traction per load per slip, where slip begins"
    stiffness = in_proportion(estimate_of(result, "slip_stiffness", begins), *_gains(readings))
    trace = _trace(readings, "Slip", "pull over load, straightened", "way, mm", pull, way, fit)
    warnings = outlier_warnings(fit, readings, readings.rows)
    if np.max(share) > 0.5:
        warnings.append("pulls above half of the load bend the law of slip: smaller pulls tell where slip begins")
    notes = ("as slow as it crawls evenly, on the surface you drive on; counted turns of the wheels, not of the motor",)
    return _finished(readings, (stiffness,), {"tyre.slip_stiffness": line_value(stiffness)}, (trace,), notes, warnings)


def _trace(readings: Readings, title: str, x_label: str, y_label: str, x: np.ndarray, y: np.ndarray, fit: Fit) -> Trace:
    order = np.argsort(x)[[0, -1]]
    return Trace(title, x_label, y_label, x, y, fit.fitted, fit.errors, readings.rows, x[order], fit.fitted[order])


def _need_different(readings: Readings, name: str) -> None:
    distinct = len(np.unique(readings[name]))
    if distinct < 3:
        raise readings.fault(
            f"column {name} has {distinct} different values; a line with a check on its straightness needs at least 3"
        )


CONTACT = Kind(
    what="contact",
    title="What the tyres do at the ground",
    recipe=(
        "Rolling resistance: pinion out, pull the vehicle over a level floor by a thread at hub height, at a walking pace; read "
        "the steady pull, there and back (pull_there_g, pull_back_g), at least 3 times.",
        "Lengthwise give: block the suspension, tie all wheels, front wheels on a scale; pull the body back by a string 10 mm "
        "above the floor with 0, 500, 1000 and 1500 g; read the scale and, by a ruler on the floor, how far a hub moves back.",
        "Rolling radius: one axle alone, rolled ten turns by hand under half, all and twice of its standing load; measure the way.",
        "Slip stiffness: crawl ten turns on the level, then against pulls of 500 and 1000 g from behind; measure the way each time.",
        KNOWN_MASS + " The scale that is pulled has an error of its own: pull_gain_error_percent.",
    ),
    cautions=(
        "A string under tension whips when it lets go: keep your face out of line with it, eye protection on.",
        "Weights on a rolled axle must not fall on feet or fingers.",
    ),
    layouts=(ROLLING_LAYOUT, GIVE_LAYOUT, RADIUS_LAYOUT, SLIP_LAYOUT),
    fit=fit_contact,
    demo=("contact-rolling.csv", "contact-give.csv", "contact-radius.csv", "contact-slip.csv"),
)


# grip --------------------------------------------------------------------------------------

PULL_LAYOUT = Layout(
    title="Grip: level pull test",
    settings=(Column("load_g", "what presses on the locked wheels: the whole vehicle", low=0, above=True), *_LOAD[1:]),
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
        estimates.append(in_proportion(estimate_of(result, key, f"{word} pull over load"), *_gains(readings)))
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
