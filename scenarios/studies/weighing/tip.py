"""Height of the centre of gravity from the tip test, and back through the squat to the standing height."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees
from typing import TYPE_CHECKING

import numpy as np

from noseload.csv_input import Readings
from noseload.model.errors import ModelError
from noseload.model.measuring.weighing import tip_height
from noseload.model.units import DEGREE, MILLIMETRE
from noseload.solvers.statistics.least_squares import Fit, fit_linear
from noseload.solvers.statistics.propagation import Propagated, propagate
from noseload.studies.measuring.common_errors import GAUGE_ZERO
from noseload.studies.measuring.fitted_quantities import centre_of_gravity, changed
from noseload.studies.measuring.measurement import Estimate, Trace, estimate_of

from .fit import ZERO

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


TOLERANCE = 1e-9
"""Agreement of calculated and measured tip angle, rad: far below any reading."""

STEPS = 30


@dataclass(frozen=True)
class Tipped:
    """The tip test: level distance over tan(angle), mean grade, which end was uphill."""

    estimate: Estimate
    result: Propagated
    grade: float
    grade_error: float
    grade_freedom: float
    zero_error: float
    """Of the gauge that both read the grades and, where axles were lifted, the lifts; rad."""
    front_up: bool
    trace: Trace
    ends_disagree: float


def fit_tips(readings: Readings, fit: Fit) -> Tipped:
    """Level distance over tan(tip angle), the rigid rule; with both ends tested the front-up test counts and the other is compared."""
    by_end = {}
    for name in ("tip_front_up", "tip_rear_up"):
        places = np.flatnonzero(readings["kind"] == name)
        if len(places):
            by_end[name] = _tip_height(readings, fit, places, front_up=name == "tip_front_up")
    main = by_end.get("tip_front_up") or by_end["tip_rear_up"]
    apart = 0.0
    if len(by_end) == 2:
        first, second = by_end.values()
        # One gauge moves the two heights against each other: their errors add up.
        apart = (first[0].value - second[0].value) / (first[0].standard_error + second[0].standard_error)
    result, mean, grade_error, freedom, places, front_up = main
    zero, zero_error = gauge_zero(readings, fit)
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
        result,
        "level_distance_over_tan_mm",
        "level distance over tan(tip angle): the height only of a vehicle whose suspension was blocked",
        1 / MILLIMETRE,
    )
    grade = mean * DEGREE - (zero if front_up else -zero)
    return Tipped(estimate, result, grade, grade_error * DEGREE, freedom, zero_error, front_up, trace, float(apart))


def gauge_zero(readings: Readings, fit: Fit) -> tuple[float, float]:
    """What the gauge reads too much, nose up, and its error, rad: as lifts of both ends show it, else as stated."""
    if ZERO in fit.names:
        return fit.value(ZERO), fit.standard_error(ZERO)
    return 0.0, readings.settings[GAUGE_ZERO.name] * DEGREE


def _tip_scatter(readings: Readings, grades: np.ndarray) -> float:
    return float(np.std(grades, ddof=1)) if len(grades) > 2 else readings.settings["tip_error_deg"]


def _tip_height(
    readings: Readings, fit: Fit, places: np.ndarray, front_up: bool
) -> tuple[Propagated, float, float, float, np.ndarray, bool]:
    grades = readings["angle_deg"][places]
    if len(grades) > 2:
        mean_fit = fit_linear(np.ones((len(grades), 1)), grades, ["grade"])
        mean, error = mean_fit.value("grade"), mean_fit.standard_error("grade")
        freedom = float(mean_fit.degrees_of_freedom)
    else:
        mean, error, freedom = (
            float(np.mean(grades)),
            readings.settings["tip_error_deg"] / np.sqrt(len(grades)),
            np.inf,
        )
    place = [fit.index("position"), fit.index("wheelbase")]
    zero, zero_error = gauge_zero(readings, fit)
    side = 1.0 if front_up else -1.0

    def height(p: np.ndarray) -> float:
        return tip_height(p[0] * DEGREE - side * p[3], p[1] if front_up else p[2] - p[1])

    result = propagate(
        height,
        [mean, fit.value("position"), fit.value("wheelbase"), zero],
        [(error**2, freedom), (fit.covariance[np.ix_(place, place)], fit.interval_freedom), (zero_error**2, np.inf)],
    )
    return result, mean, error, freedom, places, front_up


def standing_height_estimate(tipped: Tipped, vehicle: Vehicle | None, fit: Fit) -> tuple[Estimate, str]:
    """Standing height from the rigid rule; with a vehicle by the squat correction.

    Returns
    -------
    Estimate, str
        And 'corrected' or 'not corrected'.
    """
    plain = tipped.result
    if vehicle is None:
        return _height_estimate(plain, "level distance over tan(tip angle), squat left in"), "not corrected"
    # the axle readings of this very weighing place the centre of gravity lengthwise
    position, wheelbase = fit.value("position"), fit.value("wheelbase")
    share = position / wheelbase
    weighed = changed(vehicle, {"cg_fore_aft": share * vehicle.wheelbase / MILLIMETRE})
    sign = 1.0 if tipped.front_up else -1.0
    value = standing_height(weighed, sign * tipped.grade)
    slope = 0.0
    spread = float(np.hypot(tipped.grade_error, tipped.zero_error))
    if spread > 0.0:
        ends = [standing_height(weighed, sign * (tipped.grade + side * spread)) for side in (-1.0, 1.0)]
        slope = (ends[1] - ends[0]) / (2.0 * spread)
    place = [fit.index("position"), fit.index("wheelbase")]
    arm = share if tipped.front_up else 1.0 - share

    def height(p: np.ndarray) -> float:
        now = p[1] / p[2] if tipped.front_up else 1.0 - p[1] / p[2]
        # to first order the height moves with the arm as in the rigid rule
        return value + slope * (p[0] - tipped.grade + p[3]) + value * (now / arm - 1.0)

    result = propagate(
        height,
        [tipped.grade, position, wheelbase, 0.0],
        [
            (tipped.grade_error**2, tipped.grade_freedom),
            (fit.covariance[np.ix_(place, place)], fit.interval_freedom),
            (tipped.zero_error**2, np.inf),
        ],
    )
    return _height_estimate(result, "solved back from the tip test through the squat"), "corrected"


def tipped_pose_note(vehicle: Vehicle, tipped: Tipped, fit: Fit, height: Estimate) -> str:
    """How high the centre of gravity stands at the angle of tipping itself, squatted, as a sentence."""
    from noseload.model.crawl.equilibrium import POSE_SIZE
    from noseload.model.crawl.load_budget import centre_of_gravity as in_the_pose
    from noseload.studies.climb.rigid import RigidClimb
    from noseload.studies.climb.sweep import climb_of

    share = fit.value("position") / fit.value("wheelbase")
    along = share * vehicle.wheelbase / MILLIMETRE
    climb = climb_of(changed(vehicle, {"cg_fore_aft": along, "cg_height": height.value}))
    if isinstance(climb, RigidClimb):
        return "a level A file has no springs: the height is the same in every pose"
    point = climb.tip_point("front" if tipped.front_up else "rear")
    there = in_the_pose(climb.standing.values, [0.0, *point.state[:POSE_SIZE]])[1]
    return f"tipped, squatted and all, it stands {there / MILLIMETRE:.1f} mm above the board; level, {height.value:.1f} mm above the floor"


def _height_estimate(result: Propagated, meaning: str) -> Estimate:
    return estimate_of(result, "centre_of_gravity_height_mm", meaning, 1 / MILLIMETRE)


def standing_height(vehicle: Vehicle, tip_angle: float) -> float:
    """Height of the whole vehicle's centre of gravity, standing level, for which it tips at `tip_angle`.

    Parameters
    ----------
    vehicle : noseload.model.vehicle.Vehicle
        Everything but that height is taken from it.
    tip_angle : float
        Measured grade at tip-over, rad; negative with the rear uphill.

    Returns
    -------
    float
        m above the floor.

    Raises
    ------
    ModelError
        If no plausible height lets this vehicle tip there.

    Notes
    -----
    Secant steps on the height; the start is the rigid height b / tan(angle).
    """
    from noseload.studies.climb.sweep import climb_of

    name = "tip_over_grade_deg" if tip_angle > 0.0 else "tip_over_downhill_grade_deg"

    def excess(height: float) -> float:
        grade = getattr(climb_of(changed(vehicle, {"cg_height": height / MILLIMETRE})).limits, name)
        if grade is None:
            raise ModelError(
                f"with its centre of gravity {height / MILLIMETRE:.1f} mm high this vehicle reaches no tip-over; check "
                "springs, stops and the measured tip angle"
            )
        return grade * DEGREE - tip_angle

    lower = centre_of_gravity(vehicle)[1]
    low_excess = excess(lower)
    height = lower * 1.02
    for _ in range(STEPS):
        high_excess = excess(height)
        if abs(high_excess) < TOLERANCE:
            return height
        if high_excess == low_excess:
            break
        step = -high_excess * (height - lower) / (high_excess - low_excess)
        step = min(max(step, -0.3 * height), 0.3 * height)
        lower, low_excess, height = height, high_excess, height + step
    raise ModelError(
        f"no height of the centre of gravity lets this vehicle tip at {degrees(tip_angle):.2f} deg; check the tip "
        "angle, "
        "the axle readings and the springs in the vehicle file"
    )
