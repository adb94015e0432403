"""Pitch inertia from swings on two threads, about one pivot, or about two pivots."""

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.measuring.inertia import (
    bifilar_inertia,
    bifilar_period_factor,
    compound_pivot_inertia,
    double_suspension,
    pendulum_period_factor,
    sprung_pitch_inertia,
    without_fixture,
)
from noseload.model.units import DEGREE, GRAM, KILOGRAM_SQUARE_MILLIMETRE, MILLIMETRE, STANDARD_GRAVITY
from noseload.solvers.statistics.least_squares import Fit, fit_linear
from noseload.solvers.statistics.propagation import Propagated, propagate

from .common_errors import KNOWN_MASS, SCALE_GAIN, gain, in_proportion
from .measurement import Estimate, Kind, Measurement, Trace, axle_keys, estimate_of, line_value, outlier_warnings

PART = Column(
    "part",
    "what hangs",
    "word",
    choices=("chassis", "vehicle", "rear_wheel_pair", "front_wheel_pair"),
    default="chassis",
    required=False,
)


def _number(
    name: str, meaning: str, default: float | None = None, required: bool = False, above: bool = False, low: float = 0.0
) -> Column:
    return Column(name, meaning, low=low, above=above, default=default, required=required)


_FIXTURE = (
    _number("fixture_mass_g", "tray or clamp that swings along", 0.0),
    _number("fixture_inertia_kg_mm2", "its inertia about its own centre of gravity", 0.0),
)

_AXLES = (
    _number("centre_x_mm", "centre of gravity of the whole vehicle, from the rear wheel centre"),
    _number("centre_height_mm", "its height above the floor"),
    _number("wheelbase_mm", "wheelbase"),
    _number("wheel_centre_height_mm", "height of the wheel centres"),
    _number("rear_axle_mass_g", "rear axle assembly"),
    _number("front_axle_mass_g", "front axle assembly"),
    _number("rear_axle_inertia_kg_mm2", "rear axle assembly, housing and wheels"),
    _number("front_axle_inertia_kg_mm2", "front axle assembly, housing and wheels"),
)

_SWINGS = (
    _number("swings", "full swings counted", required=True, above=True),
    _number("time_s", "time for them", required=True, above=True),
    Column("amplitude_deg", "mean amplitude, from the middle to one side", low=0, high=60, default=0.0, required=False),
    Column("repeat", "number of the repeat", low=0),
)

BIFILAR_LAYOUT = Layout(
    title="Inertia: turning on two threads (bifilar pendulum)",
    settings=(
        PART,
        _number("mass_g", "the part alone", required=True, above=True),
        _number("mass_error_g", "its standard error", 1.0),
        SCALE_GAIN,
        _number("thread_spacing_mm", "between the threads, equal above and below", required=True, above=True),
        _number("thread_spacing_error_mm", "its standard error", 0.3),
        _number("thread_length_mm", "length of the threads", required=True, above=True),
        _number("thread_length_error_mm", "its standard error", 1.0),
        _number("part_offset_mm", "centre of gravity of the part from the middle between the threads", 0.0),
        _number("part_offset_error_mm", "its standard error", 1.0),
        *_FIXTURE,
        *_AXLES,
    ),
    columns=_SWINGS,
    identity=("repeat",),
)

COMPOUND_LAYOUT = Layout(
    title="Inertia: swinging about a pivot (compound pendulum)",
    settings=(
        PART,
        _number("mass_g", "the part alone", required=True, above=True),
        _number("mass_error_g", "its standard error", 1.0),
        SCALE_GAIN,
        _number("pivot_distance_mm", "from the pivot to the centre of gravity of the part", required=True, above=True),
        _number("pivot_distance_error_mm", "its standard error", 0.5),
        *_FIXTURE,
        Column(
            "fixture_distance_mm", "from the pivot down to the fixture's centre of gravity", default=0.0, required=False
        ),
        *_AXLES,
    ),
    columns=_SWINGS,
    identity=("repeat",),
)

DOUBLE_LAYOUT = Layout(
    title="Inertia: swinging about two pivots (double suspension)",
    settings=(
        PART,
        _number("mass_g", "the part alone", required=True, above=True),
        _number("mass_error_g", "its standard error", 1.0),
        SCALE_GAIN,
        _number(
            "pivot_separation_mm",
            "between the two pivots, in line with the centre of gravity",
            required=True,
            above=True,
        ),
        _number("pivot_separation_error_mm", "its standard error", 0.3),
        Column(
            "pivots",
            "where the pivots lie",
            "word",
            choices=("same_side", "opposite_sides"),
            default="same_side",
            required=False,
        ),
        *_AXLES,
    ),
    columns=(Column("pivot", "near or far", "word", choices=("near", "far")), *_SWINGS),
    identity=("pivot", "repeat"),
    least_rows=4,
)

TOLD_APART, LEAST_APART = 5.0, 0.03
"""Standard errors, and share of the pins' distance, by which opposite pins must differ from conjugate ones."""
ALIKE_PERIODS = 0.05
"""Two pivots whose periods differ by less are warned of: coverage of the interval fell to 92 % at 2 %."""


def fit_inertia(readings: Readings) -> Measurement:
    """Periods reduced to small swings, averaged, put through the pendulum's law."""
    period = readings["time_s"] / readings["swings"]
    amplitude = readings["amplitude_deg"] * DEGREE
    steps = {BIFILAR_LAYOUT.title: _bifilar, COMPOUND_LAYOUT.title: _compound, DOUBLE_LAYOUT.title: _double}
    inertia, fits, extra, alike = steps[readings.title](readings, period, amplitude)
    result, whole, keys = _of_the_part(readings, inertia)
    if result.value <= 0.0:
        raise readings.fault(
            f"the inertia comes out as {result.value:.0f} kg mm2: what is subtracted (fixture, axles, mass "
            "x distance squared) exceeds what swings; check lengths and masses"
        )
    warnings = _doubts(readings, result, amplitude, alike)
    for _, fit, _, rows in fits:
        warnings += outlier_warnings(fit, readings, rows)
    return Measurement(
        "inertia",
        readings.title,
        readings.file,
        (result, whole, *extra),
        {key: line_value(result) for key in keys},
        tuple(_trace(*fit) for fit in fits),
        (
            "hang the part so that its pitch axis is the axis it swings about (on its side for two threads)",
            *_notes(readings),
        ),
        tuple(warnings),
        INERTIA.recipe,
    )


def _of_the_part(readings: Readings, inertia: Propagated) -> tuple[Estimate, Estimate, tuple[str, ...]]:
    """Inertia that the file asks for, what swung about its centre of gravity, and the file's keys."""
    # Every inertia of an evening goes in proportion with what the scale says of the masses.
    share, unit = gain(readings.settings), 1 / KILOGRAM_SQUARE_MILLIMETRE
    about_centre = "the part about its centre of gravity"
    whole = in_proportion(estimate_of(inertia, "hung_inertia_kg_mm2", about_centre, unit), share)
    part = readings.settings["part"]
    if part == "vehicle":
        sprung, meaning = _sprung(readings, inertia), "sprung part, axles subtracted"
        result = in_proportion(estimate_of(sprung, "pitch_inertia_kg_mm2", meaning, unit), share)
        return result, whole, ("body.pitch_inertia_kg_mm2",)
    ends = whole.value, whole.standard_error, whole.low, whole.high, "calculated"
    if part == "chassis":
        return Estimate("pitch_inertia_kg_mm2", "sprung part", *ends), whole, ("body.pitch_inertia_kg_mm2",)
    keys = axle_keys(part.split("_")[0], "wheel_pair_inertia_kg_mm2")
    return Estimate("wheel_pair_inertia_kg_mm2", "wheel pair", *ends), whole, keys


def _notes(readings: Readings) -> list[str]:
    notes = []
    if readings.settings["part"] == "vehicle":
        notes.append("the vehicle was hung whole, wheels locked: axles were subtracted by Steiner's rule")
    if np.all(readings["amplitude_deg"] == 0.0):
        notes.append("no amplitude given: swings were taken as small (10 deg would add 0.2 %)")
    return notes


def _doubts(readings: Readings, result: Estimate, amplitude: np.ndarray, alike: bool) -> list[str]:
    """What to doubt about the swings; `alike`: two pivots gave nearly the same period."""
    warnings = []
    if alike:
        warnings.append(
            "the two periods are nearly alike: pivots placed so tell little and the interval is too narrow; move one "
            "pin so that the near pivot is close to the centre of gravity and the far one is not"
        )
    error = result.standard_error
    if error is not None and error > 0.1 * result.value:
        pivot = "most comes from the pivot's distance; use two threads, or two pivots"
        threads = "count more swings, use longer threads closer together"
        warnings.append(
            f"the error is {100 * error / result.value:.0f} %: {pivot if 'pivot' in readings.title else threads}"
        )
    if np.max(amplitude) > 20 * DEGREE:
        warnings.append("amplitudes above 20 deg: corrected for, but swings that fade count for less; start smaller")
    if np.min(readings["swings"]) < 10:
        warnings.append("fewer than 10 swings counted: reaction time alone gives about 1 % of inertia per swing")
    return warnings


def _trace(title: str, fit: Fit, small: np.ndarray, rows: np.ndarray) -> Trace:
    count = np.arange(1.0, len(small) + 1)
    mean = np.full(2, fit.value("period"))
    words = "period of small swings, s"
    return Trace(title, "repeat", words, count, small, fit.fitted, fit.errors, rows, count[[0, -1]], mean)


def _mean_period(
    readings: Readings, period: np.ndarray, factor: np.ndarray, places: np.ndarray, title: str
) -> tuple[Fit, tuple[str, Fit, np.ndarray, np.ndarray]]:
    small = period[places] / factor
    if len(small) < 2:
        raise readings.fault(f"{title}: one reading; at least 2 repeats are needed to know the error of the period")
    fit = fit_linear(np.ones((len(small), 1)), small, ["period"])
    return fit, (title, fit, small, readings.rows[places])


def _of_period(fit: Fit) -> tuple[float, int]:
    return fit.standard_error("period") ** 2, fit.degrees_of_freedom


def _stated(readings: Readings, name: str, unit: float) -> float:
    return readings.settings[name] * unit


def _bifilar(
    readings: Readings, period: np.ndarray, amplitude: np.ndarray
) -> tuple[Propagated, list[tuple[str, Fit, np.ndarray, np.ndarray]], list[Estimate], bool]:
    mass, fixture = _stated(readings, "mass_g", GRAM), _stated(readings, "fixture_mass_g", GRAM)
    spacing, length = (
        _stated(readings, "thread_spacing_mm", MILLIMETRE),
        _stated(readings, "thread_length_mm", MILLIMETRE),
    )
    if np.any(spacing * np.sin(0.5 * amplitude) >= length):
        raise readings.fault(
            "thread_length_mm is too short for thread_spacing_mm and amplitude_deg; use longer threads"
        )
    offset = _stated(readings, "part_offset_mm", MILLIMETRE)
    # A tray hangs with its centre in the middle; part and tray turn about their common centre of gravity.
    shared = mass * offset / (mass + fixture)
    if abs(shared) >= 0.5 * spacing:
        raise readings.fault(
            f"part_offset_mm = {readings.settings['part_offset_mm']:g} puts the centre of gravity outside the threads, "
            f"{readings.settings['thread_spacing_mm']:g} mm apart: a thread would hang loose; hang it between them"
        )
    rough = bifilar_inertia(mass + fixture, spacing, length, float(np.mean(period)), shared)
    lever = 2.0 * np.sqrt(0.25 * spacing**2 - shared**2)
    factor = bifilar_period_factor(amplitude, mass + fixture, lever, length, rough)
    everything = np.ones(len(readings), dtype=bool)
    fit, trace = _mean_period(readings, period, factor, everything, "Period on two threads")
    own = _stated(readings, "fixture_inertia_kg_mm2", KILOGRAM_SQUARE_MILLIMETRE)

    def inertia(p: np.ndarray) -> float:
        centre = p[1] * p[4] / (p[1] + fixture)
        hung = bifilar_inertia(p[1] + fixture, p[2], p[3], p[0], centre)
        return without_fixture(hung, p[1], p[4] - centre, fixture, own, centre)

    blocks = [
        _of_period(fit),
        (_stated(readings, "mass_error_g", GRAM) ** 2, np.inf),
        (_stated(readings, "thread_spacing_error_mm", MILLIMETRE) ** 2, np.inf),
        (_stated(readings, "thread_length_error_mm", MILLIMETRE) ** 2, np.inf),
        (_stated(readings, "part_offset_error_mm", MILLIMETRE) ** 2, np.inf),
    ]
    return (
        propagate(inertia, [fit.value("period"), mass, spacing, length, offset], blocks),
        [trace],
        [_period_estimate(fit)],
        False,
    )


def _compound(
    readings: Readings, period: np.ndarray, amplitude: np.ndarray
) -> tuple[Propagated, list[tuple[str, Fit, np.ndarray, np.ndarray]], list[Estimate], bool]:
    mass, fixture = _stated(readings, "mass_g", GRAM), _stated(readings, "fixture_mass_g", GRAM)
    distance = _stated(readings, "pivot_distance_mm", MILLIMETRE)
    below = _stated(readings, "fixture_distance_mm", MILLIMETRE)
    own = _stated(readings, "fixture_inertia_kg_mm2", KILOGRAM_SQUARE_MILLIMETRE)
    factor = pendulum_period_factor(amplitude)
    fit, trace = _mean_period(readings, period, factor, np.ones(len(readings), dtype=bool), "Period about the pivot")

    def inertia(p: np.ndarray) -> float:
        about_pivot = compound_pivot_inertia(p[1] * p[2] + fixture * below, p[0])
        return without_fixture(about_pivot, p[1], p[2], fixture, own, below)

    blocks = [
        _of_period(fit),
        (_stated(readings, "mass_error_g", GRAM) ** 2, np.inf),
        (_stated(readings, "pivot_distance_error_mm", MILLIMETRE) ** 2, np.inf),
    ]
    return propagate(inertia, [fit.value("period"), mass, distance], blocks), [trace], [_period_estimate(fit)], False


def _double(
    readings: Readings, period: np.ndarray, amplitude: np.ndarray
) -> tuple[Propagated, list[tuple[str, Fit, np.ndarray, np.ndarray]], list[Estimate], bool]:
    factor = pendulum_period_factor(amplitude)
    near, far = readings["pivot"] == "near", readings["pivot"] == "far"
    near_fit, near_trace = _mean_period(readings, period, factor[near], near, "Period about the near pivot")
    far_fit, far_trace = _mean_period(readings, period, factor[far], far, "Period about the far pivot")
    same_side = readings.settings["pivots"] == "same_side"
    values = [
        near_fit.value("period"),
        far_fit.value("period"),
        _stated(readings, "mass_g", GRAM),
        _stated(readings, "pivot_separation_mm", MILLIMETRE),
    ]
    blocks = [
        _of_period(near_fit),
        _of_period(far_fit),
        (_stated(readings, "mass_error_g", GRAM) ** 2, np.inf),
        (_stated(readings, "pivot_separation_error_mm", MILLIMETRE) ** 2, np.inf),
    ]
    _check_pins(readings, near_fit, far_fit, values[3], blocks[3][0] ** 0.5, same_side)
    result = propagate(lambda p: double_suspension(p[2], p[3], p[0], p[1], same_side)[1], values, blocks)
    distance = propagate(lambda p: double_suspension(p[2], p[3], p[0], p[1], same_side)[0], values, blocks)
    # alike periods: a small difference of large numbers, beyond what a straight-line error estimate can tell
    alike = abs(values[0] / values[1] - 1.0) < ALIKE_PERIODS
    extra = estimate_of(distance, "near_pivot_distance_mm", "near pivot to the centre of gravity", 1 / MILLIMETRE)
    return result, [near_trace, far_trace], [extra], alike


def _check_pins(
    readings: Readings, near_fit: Fit, far_fit: Fit, separation: float, separation_error: float, same_side: bool
) -> None:
    """Raise where two opposite pins lie so that each is the other's centre of oscillation: their periods tell g alone."""
    if same_side:
        return
    lengths, errors = [], []
    for fit in (near_fit, far_fit):
        period = fit.value("period")
        lengths.append(STANDARD_GRAVITY * period**2 / (4.0 * np.pi**2))
        errors.append(2.0 * lengths[-1] * fit.standard_error("period") / period)
    left = lengths[0] + lengths[1] - 2.0 * separation
    error = float(np.hypot(np.hypot(errors[0], errors[1]), 2.0 * separation_error))
    if abs(left) < max(TOLD_APART * error, LEAST_APART * separation):
        raise readings.fault(
            f"both pins swing like threads of {1e3 * lengths[0]:.1f} and {1e3 * lengths[1]:.1f} mm and stand "
            f"{1e3 * separation:.1f} mm apart: each is the other's centre of oscillation (Kater's pendulum), so their "
            "periods tell gravity and nothing of the inertia; move one pin by a fifth of that distance, or put both on one "
            "side"
        )


def _period_estimate(fit: Fit) -> Estimate:
    return Estimate(
        "period_s", "period of small swings", fit.value("period"), fit.standard_error("period"), *fit.interval("period")
    )


def _sprung(readings: Readings, whole: Propagated) -> Propagated:
    needed = [column.name for column in _AXLES if readings.settings[column.name] is None]
    if needed:
        raise readings.fault(
            f"part = vehicle needs the settings {', '.join(needed)} to subtract the axles; or hang the chassis alone"
        )
    s = readings.settings
    height = s["wheel_centre_height_mm"] * MILLIMETRE

    def inertia(p: np.ndarray) -> float:
        return sprung_pitch_inertia(
            p[0],
            s["mass_g"] * GRAM,
            (s["centre_x_mm"] * MILLIMETRE, s["centre_height_mm"] * MILLIMETRE),
            (s["rear_axle_mass_g"] * GRAM, s["front_axle_mass_g"] * GRAM),
            ((0.0, height), (s["wheelbase_mm"] * MILLIMETRE, height)),
            (
                s["rear_axle_inertia_kg_mm2"] * KILOGRAM_SQUARE_MILLIMETRE,
                s["front_axle_inertia_kg_mm2"] * KILOGRAM_SQUARE_MILLIMETRE,
            ),
        )[0]

    return propagate(inertia, [whole.value], [(whole.standard_error**2, whole.degrees_of_freedom)])


INERTIA = Kind(
    what="inertia",
    title="Pitch inertia by swings",
    recipe=(
        "Two threads (best): hang the chassis on its side on two equal parallel threads, its centre of "
        "gravity midway between"
        " them. Threads 1 m or longer, spacing about 100-300 mm.",
        "Twist it by about 10 deg and let it turn to and fro; time 20 full swings; 5 repeats (swings, "
        "time_s, amplitude_deg).",
        "A tray under it is fine: weigh it, time it alone the same way, and give fixture_mass_g and "
        "fixture_inertia_kg_mm2.",
        "Or let it swing about a pin through its side plates (pivot_distance_mm), or about two pins in line "
        "with the centre of"
        " gravity (columns pivot, pivot_separation_mm), one close to it, which needs no centre of gravity.",
        KNOWN_MASS,
        "The whole vehicle may hang instead (part = vehicle, wheels taped): the axles are subtracted. Wheel "
        "pairs: axis upright.",
    ),
    cautions=("Take the battery out or fix it well; use a knot that cannot slip, a soft mat below, feet away.",),
    layouts=(BIFILAR_LAYOUT, COMPOUND_LAYOUT, DOUBLE_LAYOUT),
    fit=fit_inertia,
    demo=("inertia-bifilar.csv", "inertia-pivot.csv"),
)
