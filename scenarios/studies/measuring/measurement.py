"""What every bench measurement hands back: estimates with errors, residuals, warnings, lines for the file."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import floor, isfinite, log10
from typing import Any

import numpy as np

from noseload.csv_input import Layout, Readings, unit_of
from noseload.model.errors import ModelError
from noseload.model.vehicle import ENDS
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.least_squares import Fit, t_chance
from noseload.solvers.statistics.propagation import Propagated
from noseload.studies.result import Result

DOUBT_LEVEL = 0.01
"""An effect outside the assumed law is named when chance would show it less often than this."""


@dataclass(frozen=True)
class Estimate:
    """One number found: value, standard error and 95 % interval, in the unit its key ends with."""

    key: str
    meaning: str
    value: float
    standard_error: float | None = None
    low: float | None = None
    high: float | None = None
    origin: str = "measured"

    @property
    def unit(self) -> str:
        """Unit as people write it."""
        return readable_unit(unit_of(self.key))

    def __str__(self) -> str:
        number, error = rounded(self.value, self.standard_error)
        text = f"{number} +- {error}" if error else number
        return f"{text} {self.unit}".rstrip()

    def to_dict(self) -> dict:
        """Strict JSON: null where a number is not known."""
        return {
            "key": self.key,
            "meaning": self.meaning,
            "value": finite(self.value),
            "standard_error": finite(self.standard_error),
            "low": finite(self.low),
            "high": finite(self.high),
            "origin": self.origin,
        }


@dataclass(frozen=True)
class Trace:
    """Readings beside their fit, for tables and residual pictures; arrays of shape (n,)."""

    title: str
    x_label: str
    y_label: str
    x: np.ndarray
    observed: np.ndarray
    fitted: np.ndarray
    errors: np.ndarray
    rows: np.ndarray
    curve_x: np.ndarray | None = None
    curve_y: np.ndarray | None = None
    groups: tuple[str, ...] = ()

    @property
    def residuals(self) -> np.ndarray:
        """Observed minus fitted."""
        return self.observed - self.fitted

    def to_dict(self) -> dict:
        """Columns as lists."""
        return {
            "title": self.title,
            "x": self.x_label,
            "y": self.y_label,
            "row": [int(row) for row in self.rows],
            "x_value": _list(self.x),
            "observed": _list(self.observed),
            "fitted": _list(self.fitted),
            "standard_error": _list(self.errors),
        }


class FittedReadings:
    """What results of fitted readings have alike: numbers by the keys of the estimates, a picture of the readings beside the fit."""

    picture = "measuring.readings.plot_first_trace"
    estimates: tuple[Estimate, ...]
    traces: tuple[Trace, ...]

    def nothing_to_draw(self) -> str:
        """Why there is no picture, '' where there is one."""
        return "" if self.traces else "there are no readings beside a fit"

    def _values(self) -> dict[str, Any]:
        return {estimate.key: estimate for estimate in self.estimates}


@dataclass(frozen=True)
class Measurement(FittedReadings, Result):
    """A finished measurement.

    `lines` maps dotted keys of the vehicle file to the rounded value to write there; `notes` say what the
    numbers assume, `warnings` what speaks against them.
    """

    what: str
    title: str
    file: str
    estimates: tuple[Estimate, ...]
    lines: Mapping[str, float]
    traces: tuple[Trace, ...] = field(default=(), repr=False)
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    recipe: tuple[str, ...] = field(default=(), repr=False)
    status: str = "measured"

    def to_dict(self) -> dict:
        """Strict JSON document."""
        return {
            "what": self.what,
            "file": self.file,
            "status": self.status,
            "recipe": list(self.recipe),
            "estimates": [estimate.to_dict() for estimate in self.estimates],
            "lines": dict(self.lines),
            "notes": list(self.notes),
            "warnings": list(self.warnings),
            "residuals": [trace.to_dict() for trace in self.traces],
        }


@dataclass(frozen=True)
class Kind:
    """A kind of measurement: how it is taken, what its file holds, how it is fitted."""

    what: str
    title: str
    recipe: tuple[str, ...]
    cautions: tuple[str, ...]
    layouts: tuple[Layout, ...]
    fit: Callable[[Readings], Measurement]
    demo: tuple[str, ...]


def estimate_of_fit(
    fit: Fit, name: str, key: str, meaning: str, factor: float = 1.0, origin: str = "measured"
) -> Estimate:
    """Estimate from a fitted parameter times a positive `factor`."""
    low, high = fit.interval(name)
    return Estimate(
        key, meaning, factor * fit.value(name), factor * fit.standard_error(name), factor * low, factor * high, origin
    )


def estimate_of_inverse(fit: Fit, name: str, key: str, meaning: str, factor: float) -> Estimate:
    """Estimate of factor / parameter; its interval is the parameter's turned over (infinite across 0)."""
    value, error = fit.value(name), fit.standard_error(name)
    low, high = fit.interval(name)
    least, most = (-np.inf, np.inf) if low <= 0.0 <= high else sorted((factor / low, factor / high))
    return Estimate(key, meaning, factor / value, abs(factor) * error / value**2, least, most, origin="calculated")


def estimate_of(result: Propagated, key: str, meaning: str, factor: float = 1.0) -> Estimate:
    """Estimate from a propagated number times a positive `factor`."""
    return Estimate(
        key,
        meaning,
        factor * result.value,
        factor * result.standard_error,
        factor * result.low,
        factor * result.high,
        "calculated",
    )


def effect_is_real(fit: Fit, name: str, level: float = DOUBT_LEVEL) -> bool:
    """Whether `name` differs from 0 by more than chance would do at `level`."""
    error = fit.standard_error(name)
    return error > 0.0 and t_chance(fit.value(name) / error, fit.interval_freedom) < level


def outlier_warnings(fit: Fit, readings: Readings, rows: np.ndarray) -> list[str]:
    """A sentence for a reading so far off the fit of all others as chance puts the worst of them once in a hundred.

    The others are the judge: within its own fit no reading can lie further off than the root of what is left over.
    """
    return off_the_others(fit.deleted_residuals(), fit.deleted_freedom, readings, rows)


def off_the_others(
    sizes: np.ndarray, freedom: float, readings: Readings, rows: np.ndarray, level: float = DOUBT_LEVEL
) -> list[str]:
    """A sentence for the worst of n readings, as `outlier_warnings`.

    Parameters
    ----------
    sizes : ndarray, shape (n,)
        Each reading against all others, in standard errors: t with `freedom` degrees; nan where nothing is left over.
    rows : ndarray, shape (n,)
        The row of each.
    """
    sizes = np.abs(sizes)
    if not np.isfinite(sizes).any():
        return []
    worst = int(np.nanargmax(sizes))
    if len(sizes) * t_chance(float(sizes[worst]), freedom) >= level:
        return []
    return [
        f"{readings.row_word} {rows[worst]} lies {sizes[worst]:.1f} standard errors off what all other readings say: read "
        "it again or say why"
    ]


def doubted_rows(warnings: Sequence[str], readings: Readings) -> list:
    """Rows that `off_the_others` named."""
    return [row for row in readings.rows if any(w.startswith(f"{readings.row_word} {row} lies ") for w in warnings)]


def answer_without(
    warnings: Sequence[str], readings: Readings, answer: Callable[[Readings], tuple[str, Sequence[str]]]
) -> list[str]:
    """What comes out without the rows that `off_the_others` named, and what only then shows: friction, curvature.

    Parameters
    ----------
    warnings : sequence of str
        Of all readings.
    answer : callable
        Readings -> what they give in words, and their warnings.
    """
    rows = doubted_rows(warnings, readings)
    if not rows:
        return []
    keep = ~np.isin(readings.rows, rows)
    columns = {name: values[keep] for name, values in readings.columns.items()}
    named = f"without {readings.row_word} {', '.join(str(row) for row in rows)}"
    try:
        said, then = answer(replace(readings, columns=columns, rows=readings.rows[keep]))
    except (ModelError, SolverError) as trouble:
        return [f"{named} nothing can be fitted: {str(trouble).splitlines()[-1].strip()}"]
    return [f"{named}: {said}", *(f"{named}: {warning}" for warning in then if warning not in warnings)]


def both_values(without: Sequence[Estimate], whole: Sequence[Estimate]) -> str:
    """The first numbers of a fit without the doubted readings beside those with them."""
    pairs = zip(without, whole, strict=False)
    return ", ".join(f"{first.key} is {first}, with it {second}" for first, second in pairs)


FILE_GETS = "; the file gets the value with it"
"""Behind `both_values` where the numbers are written into the vehicle file."""


def axle_keys(axle: str | None, tail: str) -> tuple[str, ...]:
    """Dotted keys for one axle, or for both (None: only where the file's key is common)."""
    names = ENDS if axle in (None, "both") else (axle,)
    return tuple(f"{name}.{tail}" for name in names)


def rounded(value: float, error: float | None, digits: int = 2) -> tuple[str, str]:
    """Value and error as text, both to the error's second digit; four digits without an error."""
    if value is None or not isfinite(value):
        return "unknown", ""
    if not error or not isfinite(error):
        return f"{value:.4g}", ""
    places = digits - 1 - floor(log10(error))
    if places <= 0:
        step = 10.0**-places
        return f"{round(value / step) * step:.0f}", f"{round(error / step) * step:.0f}"
    return f"{value:.{places}f}", f"{error:.{places}f}"


def line_value(estimate: Estimate) -> float:
    """Number to write into a vehicle file: one digit finer than its error."""
    return float(rounded(estimate.value, estimate.standard_error, digits=2)[0])


def readable_unit(suffix: str) -> str:
    """'n_s_per_m' -> 'N s/m'."""
    names = {"n": "N", "mm2": "mm²", "m2": "m²", "percent": "%"}
    above, _, below = suffix.partition("_per_")
    words = " ".join(names.get(word, word) for word in above.split("_"))
    return f"{words}/{below}" if below else words


def finite(value: float | None) -> float | None:
    """The number, or None where it is missing or not finite."""
    return None if value is None or not isfinite(value) else float(value)


def _list(values: np.ndarray) -> list:
    return [finite(value) for value in values]
