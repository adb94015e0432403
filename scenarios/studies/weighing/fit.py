"""Least squares over scale readings: weight, position and height of the centre of gravity."""

from dataclasses import dataclass

import numpy as np

from noseload.csv_input import Readings
from noseload.model.measuring.weighing import front_share_lifted, lift_angle
from noseload.model.units import DEGREE, MILLIMETRE, NEWTON_PER_MILLIMETRE, force_of_grams
from noseload.solvers.statistics.least_squares import Fit, fit_nonlinear
from noseload.studies.measuring.common_errors import GAUGE_ZERO

from .corners import axle_readings, readings_in_one

QUANTITIES = ("weight", "position", "height", "wheelbase", "rear_radius", "front_radius")

ZERO = "gauge_zero"
"""What the angle gauge reads too much, nose up, in every row; rad."""
_PRIOR_ERRORS = {
    "wheelbase": "wheelbase_error_mm",
    "rear_radius": "radius_error_mm",
    "front_radius": "radius_error_mm",
    ZERO: GAUGE_ZERO.name,
}


@dataclass(frozen=True)
class LiftFit:
    """The weighing fit, and its scale readings one by one; arrays of shape (n,) over scale readings.

    `angles`, over the rows of the file, are the measured lifts less the gauge's zero (rad, nose up positive, 0 where not
    lifted). `residuals` and `errors` (N) refer to them: the error of the angle is part of `errors`.
    """

    fit: Fit
    angles: np.ndarray
    row_of: np.ndarray
    """Place in the file of each scale reading."""
    at_front: np.ndarray
    """Whether it is of the front scale."""
    residuals: np.ndarray
    errors: np.ndarray
    loads: np.ndarray


def fit_weighing(readings: Readings) -> LiftFit:
    """Least squares over all scale readings; whatever else was measured enters as an observation too.

    Notes
    -----
    Unknowns: weight, position b, height h (if anything was lifted), wheelbase, radii, and the true angle of each
    lift. Wheelbase, radii and angles are observed with their stated errors, so that one angle's error
    is shared by both scales of its row and the height carries every error there is. The zero of the angle gauge is one
    more unknown, known to be 0 within its error: with both ends lifted it shows. The scale's gain moves no centre.
    """
    angles = _angles(readings)
    raised = np.flatnonzero(angles != 0.0)
    row_of, at_front, loads, summed = _scale_readings(readings)
    start = _start(readings)
    names = [name for name in QUANTITIES if len(raised) or name in ("weight", "position", "wheelbase")]
    by_gauge = np.isfinite(readings["angle_deg"][raised]).astype(float)
    if np.any(by_gauge) and readings.settings[GAUGE_ZERO.name] > 0.0:
        names.append(ZERO)
    priors = [name for name in names if name in _PRIOR_ERRORS]
    known_count = len(names)

    def predict(p: np.ndarray) -> np.ndarray:
        known = {**start, **dict(zip(names, p[:known_count], strict=True))}
        turned = angles.copy()
        turned[raised] = p[known_count:]
        read = p[known_count:] + known[ZERO] * by_gauge
        return np.concatenate([_load(known, turned[row_of], at_front), [known[name] for name in priors], read])

    def derivatives(p: np.ndarray) -> np.ndarray:
        """Central differences; a scale reading depends on the angle of its own row alone, so one step serves all."""
        jacobian = np.zeros((len(observed), len(p)))
        for place, scale in enumerate(scales[:known_count]):
            step = np.zeros(len(p))
            step[place] = 1e-5 * scale
            jacobian[:, place] = (predict(p + step) - predict(p - step)) / (2e-5 * scale)
        turn = np.zeros(len(p))
        turn[known_count:] = 1e-5
        slope = (predict(p + turn) - predict(p - turn))[: len(loads)] / 2e-5
        columns = known_count + np.searchsorted(raised, row_of)
        lifted = angles[row_of] != 0.0
        jacobian[np.flatnonzero(lifted), columns[lifted]] = slope[lifted]
        jacobian[len(loads) + len(priors) :, known_count:] = np.eye(len(raised))
        return jacobian

    # The sum of two wheels errs by the root of two of one reading.
    scale_error = force_of_grams(readings.settings["scale_error_g"]) * np.sqrt(summed)
    angle_errors = _angle_errors(readings, angles)
    prior_errors = [
        readings.settings[_PRIOR_ERRORS[name]] * (DEGREE if name == ZERO else MILLIMETRE) for name in priors
    ]
    observed = np.concatenate([loads, [start[name] for name in priors], angles[raised]])
    errors = np.concatenate([scale_error, prior_errors, angle_errors[raised]])
    scales = [start["weight"]] + [1.0 if name == ZERO else 0.1 for name in names[1:]] + [1.0] * len(raised)
    fit = fit_nonlinear(
        predict, observed, [*(start[name] for name in names), *angles[raised]],
        [*names, *(f"angle_of_{readings.row_word}_{readings.rows[place]}" for place in raised)],
        scales=scales, errors=np.maximum(errors, 1e-7),
        derivatives=derivatives,
    )  # fmt: skip
    known = {**start, **dict(zip(names, fit.values[:known_count], strict=True))}
    angles = angles.copy()
    angles[raised] -= known[ZERO] * by_gauge
    fitted = _load(known, angles[row_of], at_front)
    step = 1e-5
    slope = (_load(known, angles[row_of] + step, at_front) - fitted) / step
    return LiftFit(
        fit, angles, row_of, at_front, loads - fitted, np.hypot(scale_error, slope * angle_errors[row_of]), loads
    )


def front_share(known: dict[str, float], angle: np.ndarray) -> np.ndarray:
    """Front share of the weight for a dict of the quantities of a weighing."""
    return front_share_lifted(
        angle, known["position"], known["height"], known["wheelbase"], known["rear_radius"], known["front_radius"]
    )


def _load(known: dict[str, float], angle: np.ndarray, at_front: np.ndarray) -> np.ndarray:
    share = front_share(known, angle)
    return known["weight"] * np.where(at_front, share, 1.0 - share)


def _scale_readings(readings: Readings) -> tuple:
    weighed = np.isin(readings["kind"].astype(str), ("level", "front_lifted", "rear_lifted"))
    row_of, at_front, loads, summed = [], [], [], []
    for axle, front in (("front", True), ("rear", False)):
        read = axle_readings(readings, axle)
        given = np.flatnonzero(np.isfinite(read) & weighed)
        row_of.append(given)
        at_front.append(np.full(len(given), front))
        loads.append(force_of_grams(read[given]))
        summed.append(readings_in_one(readings, axle)[given])
    return tuple(np.concatenate(part) for part in (row_of, at_front, loads, summed))


def _angles(readings: Readings) -> np.ndarray:
    """Nose-up turn of each row, from its angle or from the height of the blocks; 0 where not lifted."""
    kind, settings = readings["kind"], readings.settings
    side = np.where(kind == "front_lifted", 1.0, np.where(kind == "rear_lifted", -1.0, 0.0))
    rear, front = settings["rear_radius_mm"] * MILLIMETRE, settings["front_radius_mm"] * MILLIMETRE
    rear_sag, front_sag = _sags(readings)
    from_height = lift_angle(
        side * readings["lift_mm"] * MILLIMETRE, settings["wheelbase_mm"] * MILLIMETRE, rear, front, rear_sag, front_sag
    )
    angles = np.where(np.isfinite(readings["angle_deg"]), side * readings["angle_deg"] * DEGREE, from_height)
    angles = np.where(side == 0.0, 0.0, angles)
    if not np.all(np.isfinite(angles)):
        row = readings.rows[np.argmax(~np.isfinite(angles))]
        raise readings.fault(
            f"{readings.row_word} {row}, column lift_mm: blocks higher than the wheelbase cannot be; check the number"
        )
    return angles


def _sags(readings: Readings) -> tuple:
    """How much more each axle's tyres are pressed in than when level, m; 0 without their stiffness."""
    stiffness = readings.settings["tyre_stiffness_n_per_mm"]
    if stiffness is None:
        return 0.0, 0.0
    front, rear = _level_means(readings)
    to_sag = force_of_grams(1.0) / (stiffness * NEWTON_PER_MILLIMETRE)
    whole = front + rear
    front_now = np.where(np.isfinite(readings["front_g"]), readings["front_g"], whole - readings["rear_g"])
    return (front - front_now) * to_sag, (front_now - front) * to_sag


def _angle_errors(readings: Readings, angles: np.ndarray) -> np.ndarray:
    settings = readings.settings
    by_height = settings["lift_error_mm"] / settings["wheelbase_mm"] / np.maximum(np.cos(angles), 0.05)
    by_angle = settings["angle_error_deg"] * DEGREE
    errors = np.where(np.isfinite(readings["angle_deg"]), by_angle, by_height)
    return np.where(angles == 0.0, 0.0, errors)


def _level_means(readings: Readings) -> tuple:
    level = readings["kind"] == "level"
    return tuple(float(np.nanmean(axle_readings(readings, axle)[level])) for axle in ("front", "rear"))


def _start(readings: Readings) -> dict[str, float]:
    settings = readings.settings
    front, rear = _level_means(readings)
    wheelbase = settings["wheelbase_mm"] * MILLIMETRE
    return {
        "weight": force_of_grams(front + rear),
        "position": wheelbase * front / (front + rear),
        "wheelbase": wheelbase,
        "rear_radius": settings["rear_radius_mm"] * MILLIMETRE,
        "front_radius": settings["front_radius_mm"] * MILLIMETRE,
        "height": 0.3 * wheelbase,
        ZERO: 0.0,
    }
