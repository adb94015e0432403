"""Readings on the board against the prediction: do they agree, and what would make them agree?"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.csv_input import Readings, read_readings
from noseload.model.measuring.weighing import tray_correction
from noseload.model.parameters import ENDS
from noseload.model.units import DEGREE, force_of_grams, grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.solvers.statistics.correlated import chi_square_of, covariance_of, deleted_misfits
from noseload.solvers.statistics.least_squares import (
    CONTRADICTION_LEVEL,
    Fit,
    FitError,
    UndeterminedError,
    chi_square_chance,
    fit_nonlinear,
)
from noseload.studies.bench.board import BoardClimb, held_vehicle
from noseload.studies.result import Result

from .fitted_quantities import changed, lines_for, quantity
from .measurement import FILE_GETS, Estimate, answer_without, both_values, estimate_of_fit, finite, off_the_others
from .plausible import implausible, off_predicted, rows_off_predicted, told_with_slips
from .readings_layout import ANGLES, READINGS_LAYOUT, check_rows
from .readings_wheels import SINGLE_KINDS, ClimbOnWheels, has_single, sentence_of
from .vehicle_bounds import vehicle_bounds

if TYPE_CHECKING:
    from noseload.studies.climb.creep import Climb


@dataclass(frozen=True)
class ReadingsResult(Result):
    """Readings beside the prediction; arrays of shape (n,) over the rows of the file.

    `observed`, `predicted`, `fitted` and `errors` are newtons for loads and degrees for tip-overs; `fitted`
    equals `predicted` where nothing was fitted.
    """

    picture = "measuring.readings.plot_board"
    file: str
    setup: str
    kinds: tuple[str, ...]
    rows: np.ndarray
    grade_deg: np.ndarray
    directions: tuple[str, ...]
    observed: np.ndarray
    predicted: np.ndarray
    fitted: np.ndarray
    errors: np.ndarray
    chi_square: float
    chance: float
    fitted_chi_square: float | None
    fitted_chance: float | None
    degrees_of_freedom: int
    estimates: tuple[Estimate, ...]
    correlations: tuple[tuple[str, str, float], ...]
    lines: dict
    verdict: tuple[str, ...]
    warnings: tuple[str, ...]
    curves: dict = field(repr=False)
    """Predicted loads over grade for the picture: {'front_load': (grade_deg, before_n, after_n)}."""
    status: str = "explained"
    kinks: tuple[tuple[float, str], ...] = ()
    """Where the drawn prediction bends, deg, and what happens there."""

    def to_dict(self) -> dict:
        """Strict JSON document."""
        names = ("kind", "row", "grade_deg", "observed", "predicted", "fitted", "standard_error", "unit")
        columns = (self.kinds, self.rows, self.grade_deg, self.observed, self.predicted, self.fitted, self.errors)
        units = ["deg" if kind in ANGLES else "n" for kind in self.kinds]
        rows = [
            dict(zip(names, (kind, int(row), *(finite(v) for v in rest), unit), strict=True))
            for kind, row, *rest, unit in zip(*columns, units, strict=True)
        ]
        return {
            "setup": self.setup, "file": self.file, "status": self.status, "rows": rows,
            "chi_square": finite(self.chi_square), "chance": finite(self.chance),
            "fitted_chi_square": finite(self.fitted_chi_square), "fitted_chance": finite(self.fitted_chance),
            "degrees_of_freedom": self.degrees_of_freedom,
            "estimates": [estimate.to_dict() for estimate in self.estimates],
            "correlations": [{"first": a, "second": b, "correlation": finite(c)} for a, b, c in self.correlations],
            "kinks": [{"grade_deg": grade, "name": name} for grade, name in self.kinks],
            "lines": dict(self.lines), "verdict": list(self.verdict), "warnings": list(self.warnings),
        }  # fmt: skip


def compare_readings(
    path: str | os.PathLike, vehicle: Vehicle, *, fit: Sequence[str] = (), climb: Callable | None = None
) -> ReadingsResult:
    """Hold readings against the prediction for `vehicle`.

    Parameters
    ----------
    path : str or Path
    vehicle : noseload.model.vehicle.Vehicle
    fit : sequence of str
        Names of `fitted_quantities.QUANTITIES` to fit.
    climb : callable, optional
        Vehicle -> object with `row(grade_deg)`, `kinks(end)` and `limits`, `studies.sweep.climb_of` by default.

    Raises
    ------
    ReadingsFileError, ModelError
        For bad files or names.
    UndeterminedError
        If the readings cannot determine what is to be fitted.
    """
    return compare_with(read_readings(path, READINGS_LAYOUT), vehicle, fit=fit, climb=climb)


def compare_with(
    readings: Readings, vehicle: Vehicle, *, fit: Sequence[str] = (), climb: Callable | type | None = None
) -> ReadingsResult:
    """Like `compare_readings`, from readings already read."""
    check_rows(readings)
    bounds = vehicle_bounds(vehicle)
    try:
        found = _compare(readings, vehicle, tuple(fit), climb)
    except (UndeterminedError, FitError) as refused:
        raise told_with_slips(readings, refused, bounds) from refused

    def again(rest: Readings) -> tuple[str, tuple[str, ...]]:
        other = _compare(rest, vehicle, tuple(fit), climb)
        if fit:
            return both_values(other.estimates, found.estimates) + FILE_GETS, other.warnings
        chances = (_chance_text(each.chance) for each in (other, found))
        return "the chance of such a misfit is {}, with it {}".format(*chances), other.warnings

    loads = ~_is_tip(readings)
    read, calculated = (grams_of_force(1.0) * values[loads] for values in (found.observed, found.predicted))
    slips = [*implausible(readings, found.lines, bounds), *off_predicted("scale_g", "g", read, calculated)]
    if not slips:
        rows = [row for row, load in zip(found.rows, loads, strict=True) if load]
        slips = rows_off_predicted(readings.row_word, rows, "g", read, calculated)
    return replace(found, warnings=(*slips, *found.warnings, *answer_without(found.warnings, readings, again)))


def _compare(readings: Readings, vehicle: Vehicle, fit: tuple[str, ...], climb: Callable | None) -> ReadingsResult:
    for name in fit:
        quantity(name)
    if climb is None:
        from noseload.studies.climb.sweep import climb_of

        climb = climb_of
    climb = _on_the_board(readings, climb)
    before = climb(vehicle)
    observed = _observed(readings)
    predicted = _predict(readings, before)
    slopes = _slopes(readings, before, predicted)
    errors, common = _errors(readings, before, slopes), _common(readings, predicted, slopes)
    covariance = covariance_of(errors, common)
    chi_square = chi_square_of(observed - predicted, covariance)
    chance = chi_square_chance(chi_square, len(observed))
    scaled = chance < CONTRADICTION_LEVEL
    sizes = deleted_misfits(observed - predicted, covariance, scaled=scaled)
    freedom = len(observed) - 1.0 if scaled else np.inf
    result, after, values = None, before, {}
    estimates: tuple[Estimate, ...] = ()
    if fit:
        result = _fit(readings, vehicle, tuple(fit), climb, observed, errors, common)
        sizes, freedom = result.deleted_residuals()[: len(observed)], result.deleted_freedom
        values = dict(zip(fit, result.values[: len(fit)], strict=True))
        after = climb(changed(vehicle, values))
        estimates = tuple(
            estimate_of_fit(result, name, quantity(name).key, quantity(name).meaning, origin="measured") for name in fit
        )
    fitted = predicted if result is None else result.fitted[: len(observed)]
    verdict = _verdict(readings, observed, predicted, errors, chance, chi_square, result, fit)
    if vehicle.level != "A":
        verdict += _held_sentence(readings, before)
    final = chance if result is None else result.p_value
    warnings = [
        *_warnings(readings, observed, fitted, errors),
        *off_the_others(sizes, freedom, readings, readings.rows),
    ]
    return ReadingsResult(
        readings.file, vehicle.setup, tuple(readings["kind"]), readings.rows, readings["grade_deg"],
        tuple(readings["direction"]), observed, predicted, fitted, errors, chi_square, chance,
        None if result is None else result.chi_square, None if result is None else result.p_value,
        len(observed) - len(fit), estimates, _correlations(result, len(fit)), lines_for(vehicle, values) if values else {},
        tuple(verdict), tuple(warnings), _curves(readings, before, after),
        "explained" if final >= CONTRADICTION_LEVEL else "not_explained", _kink_names(readings, after),
    )  # fmt: skip


def _held(readings: Readings) -> str:
    """The wheels that hold the vehicle: as the file says, else the rear ones where axles are read."""
    default = "both" if has_single(readings["kind"]) else "rear"
    return readings.settings["held_wheels"] or default


def _on_the_board(readings: Readings, climb: Callable) -> Callable:
    """Vehicle -> its climb with the wheels held as the readings say."""
    held, held_by = _held(readings), readings.settings["wheels_held_by"]
    if not has_single(readings["kind"]):
        return lambda one: BoardClimb(climb, one, held)

    open_share = held == "both" and held_by == "axle"

    def on_wheels(one: Vehicle) -> ClimbOnWheels:
        alone = [held_vehicle(one, end) for end in ENDS] if open_share else []
        return ClimbOnWheels(BoardClimb(climb, one, held), held_vehicle(one, held), held_by, alone)

    return on_wheels


def _fit(
    readings: Readings,
    vehicle: Vehicle,
    names: tuple[str, ...],
    climb: Callable | type,
    observed: np.ndarray,
    errors: np.ndarray,
    common: np.ndarray,
) -> Fit:
    """Fit the quantities, and with them what is alike in every row: known to be 0 within its own error."""
    quantities, count = [quantity(name) for name in names], len(names)
    known: dict[tuple, np.ndarray] = {}
    spread = np.sqrt(np.sum(common**2, axis=0))
    common = common[:, spread > 0.0]
    shared = common.shape[1]

    def predict(values: np.ndarray) -> np.ndarray:
        own = tuple(values[:count])
        if own not in known:
            known[own] = _predict(readings, climb(changed(vehicle, dict(zip(names, own, strict=True)))))
        return np.concatenate([known[own] + common @ values[count:], values[count:]])

    low, high = zip(*(entry.bounds for entry in quantities), strict=True)
    far = [np.inf] * shared
    fit = fit_nonlinear(
        predict,
        np.append(observed, np.zeros(shared)),
        [*(entry.read(vehicle) for entry in quantities), *([0.0] * shared)],
        [*names, *(f"common_error_{k + 1}" for k in range(shared))],
        scales=[*(entry.scale for entry in quantities), *([1.0] * shared)],
        errors=np.append(errors, np.ones(shared)),
        difference=0.02,
        bounds=([*low, *(-f for f in far)], [*high, *far]),
    )
    open_names = [e.name for e in quantities if fit.standard_error(e.name) > e.largest_error]
    if open_names:
        sizes = ", ".join(
            f"{name} only to +- {fit.standard_error(name):.2g} (limit {quantity(name).largest_error:g})"
            for name in open_names
        )
        raise UndeterminedError(
            open_names,
            f"these readings do not determine what is to be fitted: {sizes}; fit fewer quantities, or add readings at "
            "other grades and tip-over grades",
        )
    return fit


def _observed(readings: Readings) -> np.ndarray:
    grade = readings["grade_deg"]
    zeroed = readings.settings["zeroed_at_each_grade"] == "yes"
    scale = tray_correction(readings["scale_g"], readings.settings["tray_g"], grade * DEGREE, zeroed)
    tips = _is_tip(readings)
    return np.where(tips, grade, force_of_grams(scale))


def _is_tip(readings: Readings) -> np.ndarray:
    return np.isin(readings["kind"].astype(str), ANGLES)


def _predict(readings: Readings, climb: Any) -> np.ndarray:
    """Prediction for each row; an axle past tip-over carries nothing."""
    loads: dict[float, tuple[float | None, float | None]] = {}
    values = []
    for kind, grade in zip(readings["kind"], readings["grade_deg"], strict=True):
        if kind == "tip_over":
            values.append(climb.limits.tip_over_grade_deg)
        elif kind == "tip_over_downhill":
            values.append(climb.limits.tip_over_downhill_grade_deg)
        elif kind in SINGLE_KINDS:
            values.append(climb.reading(kind, grade))
        else:
            if grade not in loads:
                loads[grade] = _loads(climb, grade)
            values.append(loads[grade][0 if kind == "rear_load" else 1])
    return np.array([np.nan if value is None else value for value in values])


def _loads(climb: Any, grade: float) -> tuple[float | None, float | None]:
    row = climb.row(float(grade))
    if row.status == "beyond_tip_over":
        weight = sum(load for load in _loads(climb, 0.0) if load is not None)
        down = weight * np.cos(grade * DEGREE)
        return (down, 0.0) if grade > 0.0 else (0.0, down)
    return row.rear_load_n, row.front_load_n


def _slopes(readings: Readings, climb: Climb | ClimbOnWheels, predicted: np.ndarray) -> np.ndarray:
    """Change of each prediction by the board's angle, per deg; 0 where it is not known."""
    step = 0.5
    shifted = Readings(
        readings.file, readings.title, readings.settings,
        {**readings.columns, "grade_deg": readings["grade_deg"] - np.sign(readings["grade_deg"] + 1e-9) * step},
        readings.rows,
    )  # fmt: skip
    turned = np.sign(readings["grade_deg"] + 1e-9) * step
    slope = (predicted - _predict(shifted, climb)) / turned
    return np.where(np.isfinite(slope), slope, 0.0)


def _errors(readings: Readings, climb: Climb | ClimbOnWheels, slopes: np.ndarray) -> np.ndarray:
    """Scale error and board-angle error of each row together, in the row's unit."""
    settings = readings.settings
    by_scale = force_of_grams(settings["scale_error_g"])
    by_grade = np.abs(slopes) * settings["grade_error_deg"]
    errors = np.where(_is_tip(readings), settings["tip_error_deg"], np.hypot(by_scale, by_grade))
    pairs = zip(readings["kind"], readings["grade_deg"], strict=True)
    shared = [_spread(climb, kind, grade) for kind, grade in pairs]
    return np.hypot(errors, shared)


def _spread(climb: Any, kind: str, grade: float) -> float:
    """Standard error of a row whose prediction statics leaves open."""
    if kind in SINGLE_KINDS:
        return climb.spread(kind, grade)
    if kind in ANGLES:
        return 0.0
    return (climb.flat if isinstance(climb, ClimbOnWheels) else climb).spread(grade)


def _common(readings: Readings, predicted: np.ndarray, slopes: np.ndarray) -> np.ndarray:
    """What one standard error of the gauge's zero and of the scale's gain does to every row, shape (n, 2)."""
    settings, tips = readings.settings, _is_tip(readings)
    zero = np.where(tips, 1.0, -slopes) * settings["gauge_zero_error_deg"]
    gain = np.where(tips, 0.0, np.nan_to_num(predicted)) * 0.01 * settings["scale_gain_error_percent"]
    return np.stack([zero, gain], axis=-1)


def _verdict(
    readings: Readings,
    observed: np.ndarray,
    predicted: np.ndarray,
    errors: np.ndarray,
    chance: float,
    chi_square: float,
    fit: Fit | None,
    names: list | tuple,
) -> list[str]:
    count = len(observed)
    sentences = [_explained("As measured, the model", chance, chi_square, count)]
    if chance < CONTRADICTION_LEVEL:
        worst = int(np.argmax(np.abs((observed - predicted) / errors)))
        sentences.append(
            f"The largest misfit is {readings.row_word} {readings.rows[worst]}: read "
            f"{_amount(readings, worst, observed)}, calculated {_amount(readings, worst, predicted)}."
        )
    if fit is not None:
        words = " and ".join(names)
        sentences.append(_explained(f"With {words} fitted, it", fit.p_value, fit.chi_square, fit.degrees_of_freedom))
    sentences += sentence_of(readings)
    if np.any(np.isin(readings["kind"].astype(str), ANGLES[:2])):
        sentences.append("Tip-over readings confirm nothing if the height in the file was itself found by tipping.")
    return sentences


def _held_sentence(readings: Readings, climb: BoardClimb) -> list[str]:
    """Which wheels held the vehicle, and between what a load lies where statics leaves that open."""
    loads = np.isin(readings["kind"].astype(str), ("front_load", "rear_load"))
    if not loads.any():
        return []
    held = _held(readings)
    if held != "both":
        other = "front" if held == "rear" else "rear"
        return [
            f"Calculated with the {held} wheels holding the vehicle and the {other} axle, on its plate on dowels, pulling nothing "
            f"(held_wheels = {held})."
        ]
    steepest = float(max(readings["grade_deg"][loads], key=abs))
    bounds = (climb.flat if isinstance(climb, ClimbOnWheels) else climb).row(steepest).bounds_n
    if bounds is None:
        return []
    low, high = (grams_of_force(bound) for bound in bounds)
    return [
        "With all wheels locked (held_wheels = both) statics leaves open how they share the pull until the front is free: at "
        f"{steepest:g} deg the front carries anything from {low:.0f} to {high:.0f} g. Calculated is half-way; the range is in each row's error."
    ]


def _explained(subject: str, chance: float, chi_square: float, freedom: int) -> str:
    numbers = f"chi-square {chi_square:.1f} for {freedom}, a chance of {_chance_text(chance)}"
    if freedom <= 0:
        return f"{subject} has as many fitted quantities as readings: agreement says nothing."
    if chance >= CONTRADICTION_LEVEL:
        return f"{subject} explains the readings within their error ({numbers})."
    return f"{subject} does not explain the readings within their error ({numbers})."


def _chance_text(chance: float) -> str:
    return f"{chance:.2f}" if chance >= 0.01 else f"{chance:.1g}"


def _amount(readings: Readings, place: int, values: np.ndarray) -> str:
    if _is_tip(readings)[place]:
        return f"{values[place]:.2f} deg"
    return f"{grams_of_force(values[place]):.0f} g"


def _correlations(fit: Fit | None, count: int) -> tuple:
    if fit is None:
        return ()
    spread = np.sqrt(np.diag(fit.covariance))
    matrix = fit.covariance / np.outer(spread, spread)
    return tuple((fit.names[i], fit.names[j], float(matrix[i, j])) for i in range(count) for j in range(i + 1, count))


def _warnings(readings: Readings, observed: np.ndarray, fitted: np.ndarray, errors: np.ndarray) -> list[str]:
    found = []
    settings = readings.settings
    if settings["zeroed_at_each_grade"] == "no" and settings["tray_g"] == 0.0:
        found.append(
            "not zeroed at each grade and no tray_g: the tray's lighter weight on the slope is left in the readings"
        )
    off = (observed - fitted) / errors
    direction = readings["direction"].astype(str)
    loads = ~_is_tip(readings)
    up, down = off[loads & (direction == "up")], off[loads & (direction == "down")]
    if len(up) >= 3 and len(down) >= 3:
        gap = float(np.mean(up) - np.mean(down))
        if abs(gap) > 3.0 * np.sqrt(1 / len(up) + 1 / len(down)):
            found.append(
                "readings going up and coming down differ by more than their errors: stiction in shocks, tyres or "
                "under the "
                "plate; tap the board before each reading, plate on dowels"
            )
    elif len(up) + len(down) == 0 and np.sum(loads) >= 3:
        found.append("no direction given: alternate board up and down so that stiction shows")
    return found


BESIDE_KINK_DEG = 1e-6
"""To take the load before a kink and after it: a bend or a jump of the curve stays sharp."""


def _span(readings: Readings) -> tuple[float, float]:
    """Grades over which the curves are drawn, deg."""
    grades = readings["grade_deg"]
    return min(0.0, float(np.min(grades))), float(np.max(grades))


def _curves(readings: Readings, before: BoardClimb | ClimbOnWheels, after: BoardClimb | ClimbOnWheels) -> dict:
    curves, (low, high) = {}, _span(readings)
    bends = [kink.grade_deg for climb in (before, after) for kink in climb.kinks(low, high)]
    beside = np.array(bends)[:, None] + np.array([-BESIDE_KINK_DEG, BESIDE_KINK_DEG]) if bends else np.zeros(0)
    grid = np.unique(np.clip(np.concatenate([np.linspace(low, high, 40), beside.ravel()]), low, high))
    for kind, place in (("rear_load", 0), ("front_load", 1)):
        if not np.any(readings["kind"] == kind):
            continue
        loads = [[_loads(climb, grade)[place] for grade in grid] for climb in (before, after)]
        curves[kind] = (grid, *(np.array([np.nan if v is None else v for v in row]) for row in loads))
    return curves


def _kink_names(readings: Readings, climb: BoardClimb | ClimbOnWheels) -> tuple[tuple[float, str], ...]:
    """Kinks by grade, those at one grade together: (deg, 'front coil loose, front droop stop')."""
    found: dict[float, list[str]] = {}
    for kink in climb.kinks(*_span(readings)):
        found.setdefault(round(kink.grade_deg, 3), []).append(kink.name)
    return tuple((grade, ", ".join(names)) for grade, names in found.items())
