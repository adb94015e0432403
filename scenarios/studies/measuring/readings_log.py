"""A time log over a punch, from a phone, a logging scale or film frames, against the calculated punch."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.csv_input import Column, Layout, Readings, read_readings
from noseload.model.units import DEGREE, force_of_grams, grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.least_squares import chi_square_chance, coverage_factor, fit_nonlinear
from noseload.studies.result import Result

from .common_errors import GAUGE_ZERO, SCALE_GAIN, gain
from .measurement import Estimate, answer_without, both_values, finite, off_the_others
from .plausible import implausible
from .vehicle_bounds import vehicle_bounds

if TYPE_CHECKING:
    from noseload.solvers.statistics.least_squares import Fit
    from noseload.studies.punch.punch import PunchResult


PIXELS = tuple(
    f"{point}_{axis}_px"
    for point in ("rear_mark", "front_mark", "rear_hub", "front_hub", "plumb_top", "plumb_bottom")
    for axis in ("x", "y")
)

LOG_LAYOUT = Layout(
    title="Time log over a punch",
    settings=(
        Column("grade_deg", "board angle", low=-85, high=85),
        Column("throttle", "throttle of the punch", low=-1, high=1, default=1.0, required=False),
        Column("rise_s", "time in which the throttle rises", low=0, default=0.05, required=False),
        Column("creep_speed_mm_per_s", "speed before the punch", low=0, above=True, default=100.0, required=False),
        Column("pitch_error_deg", "standard error of one pitch", low=0, above=True, default=0.5, required=False),
        Column("scale_error_g", "standard error of one scale reading", low=0, above=True, default=30.0, required=False),
        GAUGE_ZERO,
        SCALE_GAIN,
    ),
    columns=(
        Column("time_s", "time, from any zero"),
        Column("nose_up_pitch_deg", "pitch, nose up positive, from any zero", required=False),
        Column("front_g", "scale under the front axle", low=0, required=False),
        *(Column(name, "pixel of that point, x to the right and y down", required=False) for name in PIXELS),
    ),
    identity=("time_s",),
    least_rows=8,
)

OFFSET_STEPS, ROWS_AT_ONCE = 240, 2000
"""Time offsets tried before refining; rows of a log at which they are tried all at once, fewer at a time for longer ones."""


@dataclass(frozen=True)
class Channel:
    """One logged channel beside the model, both on the model's clock; arrays of shape (n,) and (m,)."""

    title: str
    unit: str
    time_s: np.ndarray
    observed: np.ndarray
    fitted: np.ndarray
    error: float
    rows: np.ndarray
    model_time_s: np.ndarray
    model: np.ndarray


@dataclass(frozen=True)
class LogResult(Result):
    """A log against a punch: time offset, offset of the pitch's zero, misfit of each channel, verdict."""

    picture = "measuring.readings.plot_first_channel"
    file: str
    setup: str
    estimates: tuple[Estimate, ...]
    channels: tuple[Channel, ...] = field(repr=False)
    chi_square: float = 0.0
    chance: float = 1.0
    degrees_of_freedom: int = 0
    verdict: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    status: str = "explained"

    def rows(self) -> list[dict]:
        """One dict per logged number."""
        return [
            {
                "channel": c.title,
                "row": int(row),
                "time_s": float(t),
                "observed": float(o),
                "fitted": float(f),
                "unit": c.unit,
            }
            for c in self.channels
            for row, t, o, f in zip(c.rows, c.time_s, c.observed, c.fitted, strict=True)
        ]

    def to_dict(self) -> dict:
        """Strict JSON document."""
        return {
            "setup": self.setup,
            "file": self.file,
            "status": self.status,
            "estimates": [estimate.to_dict() for estimate in self.estimates],
            "chi_square": finite(self.chi_square),
            "chance": finite(self.chance),
            "degrees_of_freedom": self.degrees_of_freedom,
            "verdict": list(self.verdict),
            "warnings": list(self.warnings),
            "rows": self.rows(),
        }


def compare_log(path: str | os.PathLike, vehicle: Vehicle, *, punch: Callable | None = None) -> LogResult:
    """Lay a time log over the calculated punch.

    Parameters
    ----------
    path : str or Path
    vehicle : noseload.model.vehicle.Vehicle
    punch : callable, optional
        As `noseload.punch`, its default.

    Raises
    ------
    ReadingsFileError
        For a file that cannot be used, or a log that nowhere overlaps the punch.
    SolverError
        If the punch cannot start.
    """
    return compare_log_with(read_readings(path, LOG_LAYOUT), vehicle, punch=punch)


def compare_log_with(readings: Readings, vehicle: Vehicle, *, punch: Callable | None = None) -> LogResult:
    """Like `compare_log`, from readings already read."""
    slips = implausible(readings, {}, vehicle_bounds(vehicle))
    runs = _runs(readings, vehicle, punch)
    found = _compare(readings, vehicle, runs)

    def again(rest: Readings) -> tuple[str, tuple[str, ...]]:
        other = _compare(rest, vehicle, runs)
        return both_values(other.estimates[:1], found.estimates[:1]), other.warnings

    return replace(found, warnings=(*slips, *found.warnings, *answer_without(found.warnings, readings, again)))


def _compare(readings: Readings, vehicle: Vehicle, runs: tuple) -> LogResult:
    pitch = _pitch(readings)
    load = force_of_grams(readings["front_g"])
    given = {"pitch": np.isfinite(pitch), "load": np.isfinite(load)}
    if not any(np.sum(part) >= 8 for part in given.values()):
        raise readings.fault(
            "no channel with 8 readings; give nose_up_pitch_deg, front_g, or the pixels of rear_mark and front_mark"
        )
    run, steeper = runs
    series = _series(readings, pitch, load, given, run)
    tilted = series if steeper is None else _series(readings, pitch, load, given, steeper)
    start = _coarse_offset(readings, series, run)
    observed = np.concatenate([part.observed for part in series])
    errors = np.concatenate([np.full(len(part.observed), part.error) for part in series])
    zero = any(part.unit == "deg" for part in series)

    names = ["time_offset_s", *(["pitch_zero_deg"] if zero else [])]
    first = [start] + ([_zero_at(series, start)] if zero else [])
    scales = [0.02] + ([0.5] if zero else [])
    own, count = len(names), len(observed)
    effects = _common_effects(readings, series, tilted, start)

    def predict(p: np.ndarray) -> np.ndarray:
        """The log with what is alike in all of it: known to be 0 within its own error."""
        parts = [part.predict(p[0], p[1] if part.unit == "deg" else 0.0) for part in series]
        return np.concatenate([np.concatenate(parts) + effects @ p[own:], p[own:]])

    shared = effects.shape[1]
    # a load has kinks where a tyre leaves the ground: the minimum may lie on one
    fit = fit_nonlinear(
        predict,
        np.append(observed, np.zeros(shared)),
        [*first, *([0.0] * shared)],
        [*names, *(f"common_error_{k + 1}" for k in range(shared))],
        scales=[*scales, *([1.0] * shared)],
        errors=np.append(errors, np.ones(shared)),
        difference=0.02,
    )
    estimates = tuple(
        Estimate(name, meaning, fit.value(name), fit.standard_error(name), *fit.interval(name), origin="measured")
        for name, meaning in (
            ("time_offset_s", "log time at the start of the calculated punch"),
            ("pitch_zero_deg", "zero of the logged pitch"),
        )
        if name in names
    )
    chance = chi_square_chance(fit.chi_square, fit.degrees_of_freedom)
    channels = tuple(part.channel(fit.values, run) for part in series)
    rows = np.concatenate([part.rows for part in series])
    warnings = _warnings(channels) + off_the_others(
        fit.deleted_residuals()[:count], fit.deleted_freedom, readings, rows
    )
    return LogResult(
        readings.file,
        vehicle.setup,
        estimates,
        channels,
        fit.chi_square,
        chance,
        fit.degrees_of_freedom,
        tuple(_verdict(channels, chance, fit)),
        tuple(warnings),
        "explained" if chance >= 0.01 else "not_explained",
    )


@dataclass(frozen=True)
class _Series:
    title: str
    unit: str
    time: np.ndarray
    observed: np.ndarray
    error: float
    rows: np.ndarray
    model_time: np.ndarray
    model: np.ndarray

    @cached_property
    def curve(self) -> Any:
        """The trace as a smooth curve, so that the offset's derivative is smooth too."""
        from scipy.interpolate import CubicSpline

        return CubicSpline(self.model_time, self.model)

    def predict(self, offset: float | np.ndarray, zero: float) -> np.ndarray:
        inside = np.clip(self.time - offset, self.model_time[0], self.model_time[-1])
        return self.curve(inside) + zero

    def channel(self, values: np.ndarray, run: PunchResult) -> Channel:
        zero = values[1] if self.unit == "deg" else 0.0
        inside = (self.time - values[0] >= self.model_time[0]) & (self.time - values[0] <= self.model_time[-1])
        fitted = self.predict(values[0], zero)
        return Channel(
            self.title,
            self.unit,
            (self.time - values[0])[inside],
            self.observed[inside],
            fitted[inside],
            self.error,
            self.rows[inside],
            self.model_time,
            self.model + zero,
        )


def _runs(readings: Readings, vehicle: Vehicle, punch: Callable | None) -> tuple:
    """The calculated punch, and the same on a board steeper by one standard error of the gauge's zero (None: by nothing)."""
    run, zero = _run(readings, vehicle, punch, 0.0), readings.settings[GAUGE_ZERO.name]
    return run, _run(readings, vehicle, punch, zero) if zero > 0.0 else None


def _common_effects(readings: Readings, series: list[_Series], tilted: list[_Series], offset: float) -> np.ndarray:
    """What one standard error of the gauge's zero and of the scale's gain does to every number logged, shape (n, m)."""
    steeper = [then.predict(offset, 0.0) - part.predict(offset, 0.0) for part, then in zip(series, tilted, strict=True)]
    heavier = [gain(readings.settings) * part.predict(offset, 0.0) * (part.unit == "n") for part in series]
    effects = np.stack([np.concatenate(steeper), np.concatenate(heavier)], axis=-1)
    return effects[:, np.any(np.abs(effects) > 1e-9, axis=0)]


def _run(readings: Readings, vehicle: Vehicle, punch: Callable | None, steeper: float) -> Any:
    if punch is None:
        from noseload.studies.punch.punch import punch as calculated

        punch = calculated
    settings = readings.settings
    span = float(np.ptp(readings["time_s"]))
    result = punch(
        vehicle,
        grade_deg=settings["grade_deg"] + steeper,
        throttle=settings["throttle"],
        rise_s=settings["rise_s"],
        creep_speed_mm_per_s=settings["creep_speed_mm_per_s"],
        duration_s=float(np.clip(span, 0.5, 5.0)),
    )
    if not result.success:
        raise SolverError(None, f"the calculated punch cannot start: {result.message}", result)
    return result


def _pitch(readings: Readings) -> np.ndarray:
    """Logged pitch, or that of the line from rear to front mark against the plumb line; deg, nose up."""
    if np.any(np.isfinite(readings["nose_up_pitch_deg"])):
        return readings["nose_up_pitch_deg"]
    marks = _direction(readings, "rear_mark", "front_mark")
    if np.all(np.isnan(marks)):
        return marks
    faces_left = np.nanmedian(np.abs(marks)) > 90.0
    nose_up = np.where(faces_left, 180.0 - marks % 360.0, marks)
    plumb = _direction(readings, "plumb_bottom", "plumb_top")
    # a plumb line that leans to the left in the picture means a camera turned clockwise
    roll = np.where(np.isfinite(plumb), plumb - 90.0, 0.0)
    return nose_up - np.where(faces_left, -roll, roll)


def _direction(readings: Readings, first: str, last: str) -> np.ndarray:
    """Angle of a line in the picture, deg, counter-clockwise from the right."""
    across = readings[f"{last}_x_px"] - readings[f"{first}_x_px"]
    up = readings[f"{first}_y_px"] - readings[f"{last}_y_px"]
    return np.arctan2(up, across) / DEGREE


def _series(
    readings: Readings, pitch: np.ndarray, load: np.ndarray, given: dict[str, np.ndarray], run: PunchResult
) -> list[_Series]:
    settings, time = readings.settings, readings["time_s"]
    model_time = np.asarray(run.time_s)
    parts = []
    for key, title, unit, values, error, trace in (
        ("pitch", "Nose-up pitch on the slope", "deg", pitch, settings["pitch_error_deg"], "nose_up_pitch_deg"),
        ("load", "Front axle load", "n", load, force_of_grams(settings["scale_error_g"]), "front_load_n"),
    ):
        here = given[key]
        if np.sum(here) >= 8:
            model = np.asarray(run.traces[trace])
            parts.append(_Series(title, unit, time[here], values[here], error, readings.rows[here], model_time, model))
    return parts


def _coarse_offset(readings: Readings, series: list[_Series], run: PunchResult) -> float:
    """Best of many offsets; at least half of the log must lie inside the punch."""
    first, last = float(np.min(readings["time_s"])), float(np.max(readings["time_s"]))
    end = float(run.time_s[-1])
    offsets = np.linspace(first - 0.5 * end, last - 0.25 * end, OFFSET_STEPS)
    best, chosen = np.inf, None
    for some in np.array_split(offsets, min(OFFSET_STEPS, 1 + readings["time_s"].size // ROWS_AT_ONCE)):
        squares = np.zeros(some.size)
        for part in series:
            left = part.observed - part.predict(some[:, None], 0.0)
            if part.unit == "deg":
                left -= np.mean(left, axis=1, keepdims=True)
            squares += np.sum((left / part.error) ** 2, axis=1)
        if (least := np.fmin.reduce(squares)) < best:
            best, chosen = least, some[squares == least][0]
    if chosen is None:
        raise readings.fault("column time_s nowhere overlaps the calculated punch; check that it is in seconds")
    return float(chosen)


def _zero_at(series: list[_Series], offset: float) -> float:
    part = next(part for part in series if part.unit == "deg")
    return float(np.mean(part.observed - part.predict(offset, 0.0)))


def _verdict(channels: tuple[Channel, ...], chance: float, fit: Fit) -> list[str]:
    numbers = f"chi-square {fit.chi_square:.0f} for {fit.degrees_of_freedom}, a chance of {chance:.2f}"
    word = "explains" if chance >= 0.01 else "does not explain"
    sentences = [f"With its time offset fitted, the model {word} the log within its error ({numbers})."]
    for channel in channels:
        left = channel.observed - channel.fitted
        size = float(np.sqrt(np.mean(left**2)))
        text = f"{size:.2f} deg" if channel.unit == "deg" else f"{grams_of_force(size):.0f} g"
        sentences.append(f"{channel.title}: root mean square misfit {text}.")
    return sentences


def _warnings(channels: tuple[Channel, ...]) -> list[str]:
    found = []
    for channel in channels:
        left = channel.observed - channel.fitted
        if len(left) < 10 or np.all(left == 0.0):
            continue
        follow = float(np.sum(left[1:] * left[:-1]) / np.sum(left**2))
        if follow > coverage_factor(np.inf) / np.sqrt(len(left)) + 0.2:
            found.append(
                f"{channel.title}: neighbouring misfits are alike (correlation {follow:.2f}): a difference of shape, "
                "not "
                "of noise; the stated errors of the offsets are then too small"
            )
        if channel.unit == "n":
            found.append(
                "kitchen scales follow slowly (about half a second): a front axle load logged by one is smoothed; trust "
                "the pitch"
            )
    return found
