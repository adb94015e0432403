"""What the tyres do at the ground: rolling resistance, lengthwise give, rolling radius, slip stiffness.

Four files, told apart by their columns. Pulls are read in grams of a luggage scale.

- Rolled free, pulled both ways over a level floor: ``f = pull / load``; the mean of both ways takes the floor's slope out.
- Wheels tied, body pulled back by a string at height z: both axles' tyres give alike, by u at the hubs, so that
  ``P = (kx_rear + kx_front) u`` and, moments about the rear contact, ``drop L - P z = a u W`` (+ what the tipping of the body on
  its tyres takes: ``W h drop (1/k + 1/k) / L``, the suspension blocked).
- One axle rolled ten turns under loads N: ``way / (2 pi turns) = r - chi N / k``, k the tyres' vertical rate.
- Ten turns of crawl against a pull P: ``way = way_0 (1 - mu / c artanh(P / (mu W)))``, c the slip stiffness, mu the grip: the
  vehicle's own law of slip, ``P / (c W)`` where it begins. Again with mass on top: ``c = c_0 (W / W_0)^(n - 1)``, W_0 the
  vehicle's own weight; what both scales read wrong is alike in every c and leaves n alone.
"""

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.file.defaults import GRIP as GRIP_ASSUMED
from noseload.model.file.defaults import SLIP_STIFFNESS_EXPONENT
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.statistics.least_squares import Fit, fit_linear
from noseload.solvers.statistics.propagation import propagate

from .common_errors import KNOWN_MASS, LOAD_ERROR, PULL_GAIN, SCALE_GAIN, gain, gains, in_proportion, with_common
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
    LOAD_ERROR,
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
        Column(
            "added_g",
            "mass laid on the vehicle, above the middle between its wheels",
            low=0,
            default=0.0,
            required=False,
        ),
        Column("pull_g", "pull of the string, backward", low=0),
        Column("way_mm", "way of those turns", low=0, above=True),
        Column("repeat", "number of the repeat", low=0, default=1.0, required=False),
    ),
    identity=("added_g", "pull_g", "repeat"),
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
        estimate_of(result, "rolling_resistance", "pull over load, mean of both ways"), *gains(readings.settings)
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
    way, grip, added = readings["way_mm"], readings.settings["grip_coefficient"], readings["added_g"]
    share = readings["pull_g"] / (load + added)
    if np.max(share) >= 0.9 * grip:
        raise readings.fault(
            f"column pull_g: up to {np.max(share):.2f} of the load, near the grip of {grip:g}: the wheels spin there"
        )
    masses = _loads_that_tell(readings)
    pull = grip * np.arctanh(share / grip)
    # Each load rolls on a radius of its own: a way and a loss for each.
    design = np.concatenate([[added == mass, -pull * (added == mass)] for mass in masses]).T
    names = [f"{name} {k}" for k in range(len(masses)) for name in ("way", "loss")]
    fit = fit_linear(design, way, names)
    for k, mass in enumerate(masses):
        if fit.value(f"loss {k}") <= 0.0:
            with_it = f" with {mass:g} g on top" if mass else ""
            raise readings.fault(
                f"column way_mm does not fall as pull_g grows{with_it}; check the two columns for a mix-up"
            )
    blocks: list[tuple[np.ndarray | float, float]] = [(fit.covariance, fit.degrees_of_freedom), known]
    law = _SlipOverLoad(masses, load, np.array([fit.standard_error(f"loss {k}") for k in range(len(masses))]))
    values = [*(fit.value(name) for name in names), load]
    begins = "traction per load per slip, where slip begins"
    stiffness = estimate_of(propagate(law.stiffness, values, blocks), "slip_stiffness", begins)
    estimates = [in_proportion(stiffness, *gains(readings.settings))]
    lines = {"tyre.slip_stiffness": line_value(estimates[0])}
    warnings = outlier_warnings(fit, readings, readings.rows)
    if np.max(share) > 0.5:
        warnings.append("pulls above half of the load bend the law of slip: smaller pulls tell where slip begins")
    notes = ["as slow as it crawls evenly, on the surface you drive on; counted turns of the wheels, not of the motor"]
    if len(masses) == 1:
        notes.append(
            "one load alone does not tell how the stiffness grows with it: the same again with mass on top does"
        )
    else:
        power = "slip stiffness of an axle goes as its load to this power"
        exponent = estimate_of(propagate(law.exponent, values, blocks), "slip_stiffness_exponent", power)
        estimates.append(exponent)
        said = _exponent_fault(exponent)
        if said:
            warnings.append(said)
        else:
            lines["tyre.slip_stiffness_exponent"] = line_value(exponent)
    traces = tuple(
        _trace(readings, title, "pull over load, straightened", "way, mm", pull, way, fit, added == mass)
        for mass, title in zip(masses, _titles(masses), strict=True)
    )
    return _finished(readings, tuple(estimates), lines, traces, tuple(notes), warnings)


class _SlipOverLoad:
    """Slip stiffness at the vehicle's own weight and its power of the load, from a way and a loss for each load.

    ``ln c_k = ln c_0 + (n - 1) ln(W_k / W_0)``, a straight line weighted by how well each c is known.
    """

    def __init__(self, masses: np.ndarray, load: float, loss_errors: np.ndarray) -> None:
        self.masses, self.load, self.loss_errors = masses, load, loss_errors

    def _line(self, values: np.ndarray) -> tuple[float, float]:
        ways, losses, load = values[:-1:2], values[1:-1:2], values[-1]
        # Pulls were taken as shares of the load as weighed: of another load they are other shares.
        stiffness = ways / losses * (self.load + self.masses) / (load + self.masses)
        if len(self.masses) == 1:
            return float(stiffness[0]), 1.0
        weights = (losses / self.loss_errors) ** 2 if np.all(self.loss_errors > 0.0) else np.ones_like(losses)
        place = np.log((load + self.masses) / load)
        slope, start = np.polyfit(place, np.log(stiffness), 1, w=np.sqrt(weights))
        return float(np.exp(start)), float(1.0 + slope)

    def stiffness(self, values: np.ndarray) -> float:
        """At the vehicle's own weight; `values` are way and loss of each load, and the vehicle's load."""
        return self._line(values)[0]

    def exponent(self, values: np.ndarray) -> float:
        """Power of the load."""
        return self._line(values)[1]


def _loads_that_tell(readings: Readings) -> np.ndarray:
    """Masses laid on top, each with pulls enough for a line of its own."""
    masses = np.unique(readings["added_g"])
    for mass in masses:
        pulls = np.unique(readings["pull_g"][readings["added_g"] == mass])
        if len(pulls) < 2:
            raise readings.fault(
                f"column pull_g has one value with added_g = {mass:g}; the lost way there needs a crawl without a pull as well"
            )
    return masses


def _exponent_fault(exponent: Estimate) -> str:
    """Why an exponent is no line for the file, '' where it is."""
    least, most = SLIP_STIFFNESS_EXPONENT.low, SLIP_STIFFNESS_EXPONENT.high
    # Known between two ends and no better, a number has the standard deviation of that range, its width over the root of 12.
    error = np.inf if exponent.standard_error is None else exponent.standard_error
    if not error < (most - least) / np.sqrt(12.0):
        return (
            f"an exponent of {exponent} is known no better than that of any tyre ({least:g} to {most:g}) and is not written: more "
            "mass on top, pulls up to half of the load, more repeats"
        )
    if (exponent.low or 0.0) > most or (exponent.high or np.inf) < least:
        return (
            f"an exponent of {exponent} is outside what tyres have ({least:g} to {most:g}) and is not written: was the mass above "
            "the middle, the surface the same?"
        )
    return ""


def _titles(masses: np.ndarray) -> list[str]:
    return ["Slip" if mass == 0.0 else f"Slip, {mass:g} g on top" for mass in masses]


def _trace(
    readings: Readings,
    title: str,
    x_label: str,
    y_label: str,
    x: np.ndarray,
    y: np.ndarray,
    fit: Fit,
    these: np.ndarray | None = None,
) -> Trace:
    """Readings and their line, or `these` of them, shape (n,)."""
    kept = np.full(len(x), True) if these is None else these
    x, y, fitted, errors, rows = (values[kept] for values in (x, y, fit.fitted, fit.errors, readings.rows))
    order = np.argsort(x)[[0, -1]]
    return Trace(title, x_label, y_label, x, y, fitted, errors, rows, x[order], fitted[order])


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
        "Slip stiffness: crawl ten turns on the level, then against pulls of 500 and 1000 g from behind; measure the way each time. "
        "The same again with 1 to 2 kg on top (added_g) tells how it grows with the load.",
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
