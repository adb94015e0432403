"""Height of the centre of gravity from the tip test, and back through the squat to the standing height."""

from dataclasses import dataclass

import numpy as np

from model.measuring import tip_height
from model.units import DEGREE, MILLIMETRE
from scenarios.csv_input import Readings
from scenarios.studies.measurement import Estimate, Trace, estimate_of
from solvers.least_squares import Fit, fit_linear
from solvers.propagation import Propagated, propagate


@dataclass(frozen=True)
class Tipped:
    """The tip test: height in the tipped pose, mean grade, which end was uphill."""

    estimate: Estimate
    result: Propagated
    grade: float
    grade_error: float
    front_up: bool
    trace: Trace
    ends_disagree: float


def fit_tips(readings: Readings, fit: Fit, tips: np.ndarray) -> Tipped:
    """Height of the tipped pose; with both ends tested the front-up test counts and the other is compared."""
    by_end = {}
    for name in ("tip_front_up", "tip_rear_up"):
        places = np.flatnonzero(readings["kind"] == name)
        if len(places):
            by_end[name] = _tip_height(readings, fit, places, front_up=name == "tip_front_up")
    main = by_end.get("tip_front_up") or by_end["tip_rear_up"]
    apart = 0.0
    if len(by_end) == 2:
        first, second = by_end.values()
        apart = (first[0].value - second[0].value) / np.hypot(first[0].standard_error, second[0].standard_error)
    result, mean, grade_error, places, front_up = main
    grades = readings["angle_deg"][places]
    count = np.arange(1.0, len(places) + 1)
    trace = Trace(
        "Tip test, front uphill" if front_up else "Tip test, rear uphill",
        "repeat",
        "board angle, deg",
        count,
        grades,
        np.full(len(places), mean),
        np.full(len(places), _tip_scatter(readings, grades)),
        readings.rows[places],
        count[[0, -1]],
        np.full(2, mean),
    )
    estimate = estimate_of(
        result, "tipped_height_mm", "height of the centre of gravity in the tipped pose", 1 / MILLIMETRE
    )
    return Tipped(estimate, result, mean * DEGREE, grade_error * DEGREE, front_up, trace, float(apart))


def _tip_scatter(readings, grades):
    return float(np.std(grades, ddof=1)) if len(grades) > 2 else readings.settings["tip_error_deg"]


def _tip_height(readings, fit, places, front_up):
    grades = readings["angle_deg"][places]
    if len(grades) > 2:
        mean_fit = fit_linear(np.ones((len(grades), 1)), grades, ["grade"])
        mean, error, freedom = (
            mean_fit.value("grade"),
            mean_fit.standard_error("grade"),
            mean_fit.degrees_of_freedom,
        )
    else:
        mean, error, freedom = (
            float(np.mean(grades)),
            readings.settings["tip_error_deg"] / np.sqrt(len(grades)),
            np.inf,
        )
    place = [fit.index("position"), fit.index("wheelbase")]

    def height(p):
        return tip_height(p[0] * DEGREE, p[1] if front_up else p[2] - p[1])

    result = propagate(
        height,
        [mean, fit.value("position"), fit.value("wheelbase")],
        [(error**2, freedom), (fit.covariance[np.ix_(place, place)], fit.interval_freedom)],
    )
    return result, mean, error, places, front_up


def standing_height_estimate(tipped: Tipped, vehicle):
    """Standing height from the tipped one; with a vehicle by the squat correction."""
    plain = tipped.result
    if vehicle is None:
        return _height_estimate(plain.value, plain, "height of the tipped pose, squat left in"), "not corrected"
    from scenarios.studies.tip_correction import standing_height

    grade = tipped.grade if tipped.front_up else -tipped.grade
    value = standing_height(vehicle, grade)
    return _height_estimate(value, plain, "solved back from the tip test through the squat"), "corrected"


def _height_estimate(value: float, plain: Propagated, meaning: str) -> Estimate:
    """The error is that of the tipped height: squat changes slowly with the angle."""
    shift = value - plain.value
    return Estimate(
        "centre_of_gravity_height_mm",
        meaning,
        value / MILLIMETRE,
        plain.standard_error / MILLIMETRE,
        (plain.low + shift) / MILLIMETRE,
        (plain.high + shift) / MILLIMETRE,
        "calculated",
    )
