"""Least squares over scale readings: weight, position and height of the centre of gravity."""

from dataclasses import dataclass

import numpy as np

from model.measuring import front_share_lifted, lift_angle
from model.units import DEGREE, GRAM, MILLIMETRE, NEWTON_PER_MILLIMETRE, STANDARD_GRAVITY
from scenarios.csv_input import Readings
from solvers.least_squares import Fit, fit_nonlinear

QUANTITIES = ("weight", "position", "height", "wheelbase", "rear_radius", "front_radius")


@dataclass(frozen=True)
class LiftFit:
    """The weighing fit with the angle of each lifted row, rad, nose up positive (0 where not lifted)."""

    fit: Fit
    angles: np.ndarray
    row_of: np.ndarray
    """Place in the file of each fitted scale reading."""
    at_front: np.ndarray
    """Whether that reading is of the front scale."""


def fit_weighing(readings: Readings) -> LiftFit:
    """Weighted least squares over all scale readings, with wheelbase and radii as measured quantities.

    Notes
    -----
    Unknowns: weight, position b, height h (if anything was lifted), wheelbase, radii. The measured wheelbase and
    radii enter as observations with their errors; the error of each lift angle is carried to the scale
    (dN/dbeta), so that a steep lift is not taken for more exact than it is.
    """
    kind, settings = readings["kind"], readings.settings
    lifted = (kind == "front_lifted") | (kind == "rear_lifted")
    angles = _angles(readings)
    row_of, at_front, loads = [], [], []
    for name, front in (("front_g", True), ("rear_g", False)):
        given = np.flatnonzero(np.isfinite(readings[name]) & ((kind == "level") | lifted))
        row_of.append(given)
        at_front.append(np.full(len(given), front))
        loads.append(readings[name][given] * GRAM * STANDARD_GRAVITY)
    row_of, at_front, loads = (np.concatenate(part) for part in (row_of, at_front, loads))
    tall = bool(np.any(lifted))
    start = _start(readings, angles, tall)
    names = [name for name in QUANTITIES if tall or name in ("weight", "position", "wheelbase")]
    measured = {
        "wheelbase": "wheelbase_error_mm",
        "rear_radius": "radius_error_mm",
        "front_radius": "radius_error_mm",
    }
    priors = [name for name in names if name in measured]
    prior_errors = [max(settings[measured[name]] * MILLIMETRE, 1e-7) for name in priors]
    values = [start[name] for name in names]

    def predict(p):
        known = {**start, **dict(zip(names, p, strict=True))}
        share = front_share(known, angles[row_of])
        load = known["weight"] * np.where(at_front, share, 1.0 - share)
        return np.concatenate([load, [known[name] for name in priors]])

    scale_error = settings["scale_error_g"] * GRAM * STANDARD_GRAVITY
    observed = np.concatenate([loads, [start[name] for name in priors]])
    scales = [start["weight"]] + [0.1] * (len(names) - 1)
    errors = np.concatenate([np.full(len(loads), scale_error), prior_errors])
    # the height is needed to carry angle errors to the scale: fit, weigh anew, fit again
    for _ in range(2 if tall else 1):
        fit = fit_nonlinear(predict, observed, values, names, scales=scales, errors=errors)
        known = {**start, **dict(zip(names, fit.values, strict=True))}
        errors = np.concatenate(
            [
                np.hypot(
                    scale_error, _load_slope(known, angles, row_of) * _angle_errors(readings, angles)[row_of]
                ),
                prior_errors,
            ]
        )
        values = fit.values
    if tall:
        fit = fit_nonlinear(predict, observed, values, names, scales=scales, errors=errors)
    return LiftFit(fit, angles, row_of, at_front)


def front_share(known, angle):
    return front_share_lifted(
        angle,
        known["position"],
        known["height"],
        known["wheelbase"],
        known["rear_radius"],
        known["front_radius"],
    )


def _load_slope(known, angles, row_of):
    step = 1e-5
    here = angles[row_of]
    slope = (front_share(known, here + step) - front_share(known, here - step)) / (2 * step)
    return known["weight"] * np.abs(slope)


def _angles(readings: Readings) -> np.ndarray:
    """Nose-up turn of each row, from its angle or from the height of the blocks; 0 where not lifted."""
    kind, settings = readings["kind"], readings.settings
    side = np.where(kind == "front_lifted", 1.0, np.where(kind == "rear_lifted", -1.0, 0.0))
    rear, front = settings["rear_radius_mm"] * MILLIMETRE, settings["front_radius_mm"] * MILLIMETRE
    rear_sag, front_sag = _sags(readings)
    from_height = lift_angle(
        side * readings["lift_mm"] * MILLIMETRE,
        settings["wheelbase_mm"] * MILLIMETRE,
        rear,
        front,
        rear_sag,
        front_sag,
    )
    angles = np.where(np.isfinite(readings["angle_deg"]), side * readings["angle_deg"] * DEGREE, from_height)
    angles = np.where(side == 0.0, 0.0, angles)
    if not np.all(np.isfinite(angles)):
        row = readings.rows[np.argmax(~np.isfinite(angles))]
        raise readings.fault(
            f"{readings.row_word} {row}, column lift_mm: blocks higher than the wheelbase cannot be; check "
            "the number"
        )
    return angles


def _sags(readings: Readings):
    """How much more each axle's tyres are pressed in than when level, m; 0 without their stiffness."""
    stiffness = readings.settings["tyre_stiffness_n_per_mm"]
    if stiffness is None:
        return 0.0, 0.0
    front, rear = _level_means(readings)
    to_sag = GRAM * STANDARD_GRAVITY / (stiffness * NEWTON_PER_MILLIMETRE)
    whole = front + rear
    front_now = np.where(np.isfinite(readings["front_g"]), readings["front_g"], whole - readings["rear_g"])
    return (whole - front_now - rear) * to_sag, (front_now - front) * to_sag


def _angle_errors(readings: Readings, angles: np.ndarray) -> np.ndarray:
    settings = readings.settings
    by_height = settings["lift_error_mm"] / settings["wheelbase_mm"] / np.maximum(np.cos(angles), 0.05)
    by_angle = settings["angle_error_deg"] * DEGREE
    errors = np.where(np.isfinite(readings["angle_deg"]), by_angle, by_height)
    return np.where(angles == 0.0, 0.0, errors)


def _level_means(readings: Readings):
    level = readings["kind"] == "level"
    return tuple(float(np.nanmean(readings[name][level])) for name in ("front_g", "rear_g"))


def _start(readings: Readings, angles: np.ndarray, tall: bool) -> dict[str, float]:
    settings = readings.settings
    front, rear = _level_means(readings)
    start = {
        "weight": (front + rear) * GRAM * STANDARD_GRAVITY,
        "position": settings["wheelbase_mm"] * MILLIMETRE * front / (front + rear),
        "wheelbase": settings["wheelbase_mm"] * MILLIMETRE,
        "rear_radius": settings["rear_radius_mm"] * MILLIMETRE,
        "front_radius": settings["front_radius_mm"] * MILLIMETRE,
    }
    return {**start, "height": 0.3 * start["wheelbase"] if tall else 0.0}
