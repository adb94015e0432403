"""The classic traps of weighing, each looked for in the readings and answered with a remedy."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.csv_input import Readings
from noseload.model.measuring.weighing import free_suspension_height_error, height_error_from_scale
from noseload.model.units import (
    DEGREE,
    MILLIMETRE,
    NEWTON_PER_MILLIMETRE,
    STANDARD_GRAVITY,
    force_of_grams,
    grams_of_force,
)
from noseload.solvers.statistics.least_squares import t_chance
from noseload.studies.measuring.common_errors import GAUGE_ZERO
from noseload.studies.measuring.measurement import DOUBT_LEVEL, off_the_others

from .corners import axle_readings
from .fit import QUANTITIES, front_share
from .tip import gauge_zero

if TYPE_CHECKING:
    from noseload.studies.weighing.fit import LiftFit
    from noseload.studies.weighing.tip import Tipped


SMALL_LIFT_DEG = 15.0
"""Below this the scale's error weighs heavily (common practice; ISO 10392 asks for large lifts)."""

AXLE_MASS_SHARE = 0.2
"""Typical share of each axle assembly in the whole, for sizing the error of a free suspension only."""


def weighing_warnings(readings: Readings, lift: LiftFit, tipped: Tipped | None, source: str) -> list[str]:
    """All warnings of a weighing.

    Parameters
    ----------
    readings : Readings
    lift : LiftFit
    tipped : Tipped or None
    source : str
        Where the height comes from: 'lift', 'tip' or 'none'.
    """
    kind = readings["kind"]
    lifted = (kind == "front_lifted") | (kind == "rear_lifted")
    found = _sums(readings)
    if np.any(lifted):
        found += _small_lift(readings, lift)
        found += _free_suspension(readings, lift)
        found += _wheels_not_free(readings, lift)
        found += _ends_differ(readings, lift)
        if len(np.unique(np.round(lift.angles[lifted] / DEGREE, 1))) < 3:
            found.append("fewer than three lift angles: nothing shows whether the readings lie on one curve; add some")
    found += _outliers(readings, lift)
    if lift.fit.errors_from == "stated, widened":
        found.append(
            f"the readings scatter more than their stated errors (chi-square {lift.fit.chi_square:.0f} for "
            f"{lift.fit.degrees_of_freedom} degrees of freedom): the errors printed were widened; look for "
            "a trap above"
        )
    if tipped is not None:
        found += _tip_traps(readings, tipped, source)
    return found


def _sums(readings: Readings) -> list[str]:
    """Front and rear of one row must add up to the whole: on the level and lifted alike."""
    front, rear = (axle_readings(readings, axle) for axle in ("front", "rear"))
    both = np.flatnonzero(np.isfinite(front) & np.isfinite(rear))
    if not len(both):
        return []
    sums = front[both] + rear[both]
    middle = float(np.median(sums))
    allowed = 4.0 * np.sqrt(2.0) * readings.settings["scale_error_g"]
    return [
        f"{readings.row_word} {readings.rows[place]}: front and rear add up to {total:.0f} g, the other "
        f"rows to {middle:.0f} g; "
        "something touched the vehicle, or a scale was not zeroed"
        for place, total in zip(both, sums, strict=True)
        if abs(total - middle) > allowed
    ]


def _small_lift(readings: Readings, lift: LiftFit) -> list[str]:
    steepest = float(np.max(np.abs(lift.angles)))
    if steepest >= SMALL_LIFT_DEG * DEGREE:
        return []
    weight = lift.fit.value("weight")
    scale = force_of_grams(readings.settings["scale_error_g"])
    now, better = (
        height_error_from_scale(angle, lift.fit.value("wheelbase"), weight, scale) / MILLIMETRE
        for angle in (steepest, 30.0 * DEGREE)
    )
    return [
        f"the largest lift is {steepest / DEGREE:.1f} deg: one pair of readings gives the height to "
        f"{now:.1f} mm there, to "
        f"{better:.1f} mm at 30 deg; lift higher"
    ]


def _free_suspension(readings: Readings, lift: LiftFit) -> list[str]:
    settings = readings.settings
    if settings["suspension"] == "blocked":
        return []
    sentence = "the suspension was left free: springs move the body while it is lifted and the height reads high"
    if settings["wheel_rate_n_per_mm"] is None:
        return [sentence + " by millimetres; block it, or give wheel_rate_n_per_mm to see by how much"]
    fit = lift.fit
    rate = settings["wheel_rate_n_per_mm"] * NEWTON_PER_MILLIMETRE
    centre = 0.5 * (fit.value("rear_radius") + fit.value("front_radius"))
    part = 1.0 - 2.0 * AXLE_MASS_SHARE
    mass = fit.value("weight") / STANDARD_GRAVITY
    error = free_suspension_height_error(
        float(np.max(np.abs(lift.angles))),
        sprung_mass=part * mass,
        total_mass=mass,
        sprung_position=fit.value("position"),
        sprung_height=centre + (fit.value("height") - centre) / part,
        wheelbase=fit.value("wheelbase"),
        wheel_centre_height=centre,
        rear_wheel_rate=rate,
        front_wheel_rate=rate,
    )
    return [sentence + f", here by about {error / MILLIMETRE:.1f} mm at the largest lift; block it and weigh again"]


def _wheels_not_free(readings: Readings, lift: LiftFit) -> list[str]:
    """Readings going up and coming down must agree; stiction of the lifted wheels splits them."""
    direction = readings["direction"][lift.row_of]
    raised = lift.angles[lift.row_of] != 0.0
    shares = np.where(lift.at_front, 1.0, -1.0) * lift.residuals
    up, down = shares[raised & (direction == "up")], shares[raised & (direction == "down")]
    if len(up) < 2 or len(down) < 2:
        return []
    gap = float(np.mean(up) - np.mean(down))
    error = _pooled_error(up, down)
    if error == 0.0 or t_chance(gap / error, len(up) + len(down) - 2) >= DOUBT_LEVEL:
        return []
    grams = grams_of_force(abs(gap))
    return [
        f"readings going up and coming down differ by {grams:.1f} g: the lifted wheels did not roll freely "
        "(a push along the "
        "floor spoils the height); free the transmission, put the lifted tyres on rollers, tap the board"
    ]


def _ends_differ(readings: Readings, lift: LiftFit) -> list[str]:
    """Both ends lifted must give one height: opposite trends of the residuals say that they do not."""
    angle = lift.angles[lift.row_of]
    front, rear = angle > 0.0, angle < 0.0
    if np.sum(front) < 2 or np.sum(rear) < 2:
        return []
    weight = lift.fit.value("weight")
    known = {name: lift.fit.value(name) for name in QUANTITIES}
    zero, stated = gauge_zero(readings, lift.fit)[0], readings.settings[GAUGE_ZERO.name] * DEGREE
    here = front_share(known, angle)
    # As the gauge was read: the fit has put part of a difference into its zero.
    shares = np.where(lift.at_front, 1.0, -1.0) * lift.residuals - weight * (front_share(known, angle + zero) - here)
    turned = -weight * (front_share(known, angle + stated) - here)
    # a height wrong by dh shifts the front share by -dh tan(angle) / L
    per_height = -np.tan(angle) * weight / lift.fit.value("wheelbase")
    errors = lift.errors
    heights, weights, by_zero = [], [], []
    for end in (front, rear):
        weights.append(np.sum((per_height[end] / errors[end]) ** 2))
        heights.append(np.sum(shares[end] * per_height[end] / errors[end] ** 2) / weights[-1])
        by_zero.append(np.sum(turned[end] * per_height[end] / errors[end] ** 2) / weights[-1])
    gap = heights[0] - heights[1]
    error = np.sqrt(1 / weights[0] + 1 / weights[1] + (by_zero[0] - by_zero[1]) ** 2)
    if abs(gap) < 3.3 * error:
        return []
    return [
        f"front lifted and rear lifted give heights {abs(gap) / MILLIMETRE:.1f} mm apart, more than their "
        "errors: check the "
        "radii, that the angle gauge reads 0 on the level vehicle, and that lifted wheels roll freely"
    ]


def _outliers(readings: Readings, lift: LiftFit) -> list[str]:
    """The worst scale reading against all others; an angle that is off shows in the reading of its row."""
    count = len(lift.row_of)
    sizes = lift.fit.deleted_residuals()[:count]
    return off_the_others(sizes, lift.fit.deleted_freedom, readings, readings.rows[lift.row_of])


def _tip_traps(readings: Readings, tipped: Tipped, source: str) -> list[str]:
    found = []
    tests = np.sum((readings["kind"] == "tip_front_up") | (readings["kind"] == "tip_rear_up"))
    if tests < 3:
        found.append("fewer than three tip readings: their error is the stated tip_error_deg, not seen in the readings")
    if abs(tipped.ends_disagree) > 3.3 and source == "tip":
        found.append(
            "front up and rear up give different heights: squat differs between them, or wheels turned; the "
            "front-up test counts"
        )
    return found


def _pooled_error(first: np.ndarray, second: np.ndarray) -> float:
    freedom = len(first) + len(second) - 2
    squares = np.sum((first - np.mean(first)) ** 2) + np.sum((second - np.mean(second)) ** 2)
    return float(np.sqrt(squares / freedom * (1 / len(first) + 1 / len(second))))
