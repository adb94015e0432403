"""Weighted least squares, linear and nonlinear, with honest errors.

A fit says how it knows its errors: from errors stated beforehand (normal intervals), from the
scatter of the residuals (t intervals), or from stated errors that the residuals contradict (widened).

References
----------
.. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 4.4 (least squares, covariance, intervals).
.. [2] R. T. Birge, Phys. Rev. 40 (1932) 207: stated errors widened by the root of chi-square per degree of
   freedom (source named from memory).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from noseload.solvers.errors import SolverError, Status

CONFIDENCE = 0.95
"""Probability content of every stated interval."""

CONTRADICTION_LEVEL = 0.01
"""Stated errors are widened when so large a chi-square would come by chance less often than this."""

DETERMINACY_LIMIT = 1e-7
"""Smallest ratio of singular values (columns scaled to unit length) still taken for full rank."""


class UndeterminedError(SolverError):
    """The data cannot determine every fitted quantity; `names` are those that remain open."""

    def __init__(self, names: Sequence[str], message: str):
        self.names = tuple(names)
        super().__init__(Status.SINGULAR, message)


class FitError(SolverError):
    """The fit did not reach a minimum."""


@dataclass(frozen=True)
class Fit:
    """A finished fit of n observations with p parameters.

    Attributes
    ----------
    names : tuple of str, length p
    values, standard_errors, low, high : ndarray, shape (p,)
        `low` and `high` bound the 95 % intervals.
    covariance : ndarray, shape (p, p)
    fitted, residuals, errors : ndarray, shape (n,)
        Fitted observations, observed minus fitted, and the standard error taken for each observation.
    degrees_of_freedom : int
        n - p.
    chi_square, p_value : float
        Sum of squared residuals over *stated* errors and its chance; nan without stated errors.
    errors_from : str
        'stated', 'scatter' or 'stated, widened'.
    scatter : float
        Root of the (weighted) residual sum of squares per degree of freedom.
    gradient : float
        Largest cosine between the residual and a column of the Jacobian (0 at a minimum).
    evaluations : int
        Calls of the fitted function.
    """

    names: tuple[str, ...]
    values: np.ndarray
    standard_errors: np.ndarray
    low: np.ndarray
    high: np.ndarray
    covariance: np.ndarray = field(repr=False)
    fitted: np.ndarray = field(repr=False)
    residuals: np.ndarray = field(repr=False)
    errors: np.ndarray = field(repr=False)
    degrees_of_freedom: int
    chi_square: float
    p_value: float
    errors_from: str
    scatter: float
    gradient: float = 0.0
    evaluations: int = 0
    status: Status = Status.CONVERGED

    def index(self, name: str) -> int:
        """Position of the parameter called `name`."""
        return self.names.index(name)

    def value(self, name: str) -> float:
        """Fitted value of `name`."""
        return float(self.values[self.index(name)])

    def standard_error(self, name: str) -> float:
        """Standard error of `name`."""
        return float(self.standard_errors[self.index(name)])

    def interval(self, name: str) -> tuple[float, float]:
        """95 % interval of `name`."""
        place = self.index(name)
        return float(self.low[place]), float(self.high[place])

    @property
    def interval_freedom(self) -> float:
        """Degrees of freedom of the t intervals; infinite for stated errors."""
        return np.inf if self.errors_from == "stated" else float(self.degrees_of_freedom)

    @property
    def standardized(self) -> np.ndarray:
        """Residuals over their standard errors, shape (n,)."""
        return self.residuals / self.errors


def coverage_factor(degrees_of_freedom: float, confidence: float = CONFIDENCE) -> float:
    """Half-width of a two-sided interval in standard errors: t, or normal for infinite freedom."""
    from scipy.special import ndtri, stdtrit

    tail = 0.5 * (1.0 + confidence)
    if np.isinf(degrees_of_freedom):
        return float(ndtri(tail))
    return float(stdtrit(degrees_of_freedom, tail))


def t_chance(statistic: float, degrees_of_freedom: float) -> float:
    """Two-sided chance of a t statistic at least as large as `statistic` in size."""
    from scipy.special import stdtr

    return float(2.0 * stdtr(degrees_of_freedom, -abs(statistic)))


def chi_square_chance(chi_square: float, degrees_of_freedom: int) -> float:
    """Chance of a chi-square at least this large; 1 with no freedom left."""
    from scipy.special import chdtrc

    return float(chdtrc(degrees_of_freedom, chi_square)) if degrees_of_freedom > 0 else 1.0


def fit_linear(
    design: np.ndarray, observed: np.ndarray, names: Sequence[str], *, errors: np.ndarray | float | None = None
) -> Fit:
    """Fit ``observed = design @ parameters``.

    Parameters
    ----------
    design : ndarray, shape (n, p)
    observed : ndarray, shape (n,)
    names : sequence of str, length p
    errors : ndarray (n,) or float, optional
        Standard errors known beforehand. Without them they are taken from the scatter (n > p needed).

    Returns
    -------
    Fit

    Raises
    ------
    UndeterminedError
        If columns of `design` cannot be told apart, or too few observations are left for the scatter.
    """
    design = np.asarray(design, dtype=float)
    observed = np.asarray(observed, dtype=float)
    weights = np.ones(len(observed)) if errors is None else 1.0 / np.broadcast_to(errors, observed.shape)
    check_determinacy(design * weights[:, None], names, stated=errors is not None)
    scales = np.linalg.norm(design * weights[:, None], axis=0)
    solution, *_ = np.linalg.lstsq(design * weights[:, None] / scales, observed * weights, rcond=None)
    values = solution / scales
    return _finish(names, values, design, observed, design @ values, errors, evaluations=1)


def fit_nonlinear(
    predict: Callable[[np.ndarray], np.ndarray],
    observed: np.ndarray,
    start: Sequence[float],
    names: Sequence[str],
    *,
    scales: Sequence[float],
    errors: np.ndarray | float | None = None,
    derivatives: Callable[[np.ndarray], np.ndarray] | None = None,
    iterations: int = 60,
    difference: float = 1e-5,
    settled: float = 1e-3,
) -> Fit:
    """Fit ``observed = predict(parameters)`` by the Levenberg-Marquardt method.

    Parameters
    ----------
    predict : callable
        Takes parameters, shape (p,), returns predictions, shape (n,).
    observed : ndarray, shape (n,)
    start, scales : sequences of float, length p
        First guess, and the size of a change that matters in each parameter (positive).
    errors : ndarray (n,) or float, optional
        Standard errors known beforehand; without them they come from the scatter.
    derivatives : callable, optional
        Jacobian of `predict`, shape (n, p); central differences otherwise.
    iterations : int
        Most steps tried.
    difference : float
        Step of the central differences, in scales; wider where predictions are solved to a tolerance.
    settled : float
        Largest cosine between residual and Jacobian taken for a minimum; wider where predictions have kinks.

    Returns
    -------
    Fit

    Raises
    ------
    FitError
        If a prediction is not finite, or no minimum is reached: Status tells which.
    UndeterminedError
        As in `fit_linear`, at the minimum.

    Notes
    -----
    The minimum is rechecked: the residual must be perpendicular to the Jacobian (cosine below `settled`
    where the residual is not already negligible).
    """
    observed = np.asarray(observed, dtype=float)
    steps = np.asarray(scales, dtype=float)
    weights = np.ones(len(observed)) if errors is None else 1.0 / np.broadcast_to(errors, observed.shape)
    search = _Search(predict, derivatives, observed, weights, steps, difference)
    values, jacobian, residual = search.run(np.asarray(start, dtype=float), iterations)
    check_determinacy(jacobian * weights[:, None] * steps, names, stated=errors is not None)
    weighted = jacobian * weights[:, None]
    gradient = _largest_cosine(weighted, residual)
    negligible = np.linalg.norm(residual) <= 1e-9 * (1.0 + np.linalg.norm(observed * weights))
    if gradient > settled and not negligible:
        raise FitError(
            Status.OUT_OF_ITERATIONS,
            f"the fit of {', '.join(names)} did not settle (residual still inclined to the model by a "
            "cosine of "
            f"{gradient:.2g}); check the readings for outliers or start from better guesses",
            values,
        )
    fitted = observed - residual / weights
    return _finish(names, values, jacobian, observed, fitted, errors, gradient=gradient, evaluations=search.evaluations)


class _Search:
    """Levenberg-Marquardt in scaled parameters; counts evaluations."""

    def __init__(self, predict, derivatives, observed, weights, scales, difference):
        self._predict, self._derivatives = predict, derivatives
        self._observed, self._weights, self._scales = observed, weights, scales
        self._difference = difference
        self.evaluations = 0

    def residual(self, values):
        self.evaluations += 1
        # trial steps may leave the domain: such predictions are refused as not finite
        with np.errstate(all="ignore"):
            return (self._observed - np.asarray(self._predict(values), dtype=float)) * self._weights

    def jacobian(self, values):
        if self._derivatives is not None:
            return np.asarray(self._derivatives(values), dtype=float)
        columns = []
        for place, scale in enumerate(self._scales):
            step = np.zeros_like(values)
            step[place] = self._difference * scale
            columns.append(
                (self.residual(values - step) - self.residual(values + step)) / (2.0 * self._difference * scale)
            )
        return np.stack(columns, axis=-1) / self._weights[:, None]

    def run(self, values, iterations):
        residual = self.residual(values)
        self._check_finite(residual, values)
        damping = 1e-3
        jacobian = self.jacobian(values)
        for _ in range(iterations):
            scaled = jacobian * self._weights[:, None] * self._scales
            self._check_finite(scaled, values)
            normal, slope = scaled.T @ scaled, scaled.T @ residual
            step, damping, trial = self._descend(values, residual, normal, slope, damping)
            if step is None:
                break
            gained = residual @ residual - trial @ trial
            values, residual = values + step * self._scales, trial
            jacobian = self.jacobian(values)
            # a minimum: nothing left to gain beside the noise, or a step that changes nothing
            if gained < 1e-10 * (trial @ trial) or np.max(np.abs(step)) < 1e-9:
                break
        self._check_finite(jacobian, values)
        return values, jacobian, residual

    def _descend(self, values, residual, normal, slope, damping):
        """One accepted step, or None where none lowers the sum of squares."""
        diagonal = np.diag(normal) + 1e-300
        for _ in range(25):
            step = np.linalg.lstsq(normal + damping * np.diag(diagonal), slope, rcond=None)[0]
            trial = self.residual(values + step * self._scales)
            if np.all(np.isfinite(trial)) and trial @ trial <= residual @ residual:
                return step, max(damping * 0.1, 1e-15), trial
            damping = max(damping * 10.0, 1e-6)
        return None, damping, residual

    @staticmethod
    def _check_finite(array, values):
        if not np.all(np.isfinite(array)):
            raise FitError(
                Status.NOT_FINITE,
                "the fitted function gives numbers that are not finite at the first guess or the minimum; "
                "check the readings for zeros and wrong units",
                values,
            )


def check_determinacy(jacobian: np.ndarray, names: Sequence[str], *, stated: bool) -> None:
    """Raise unless the weighted Jacobian, shape (n, p), determines all p named quantities.

    Raises
    ------
    UndeterminedError
        Naming the quantities that the data leave open, alone or in combination.
    """
    readings, unknowns = jacobian.shape
    norms = np.linalg.norm(jacobian, axis=0)
    largest = float(np.max(norms, initial=0.0))
    silent = [name for name, norm in zip(names, norms, strict=True) if norm <= DETERMINACY_LIMIT * largest]
    if silent:
        raise UndeterminedError(
            silent, f"the readings do not depend on {_listed(silent)}; leave it out of the fit or add readings that do"
        )
    _, singular, directions = np.linalg.svd(jacobian / norms, full_matrices=True)
    singular = np.concatenate([singular, np.zeros(max(0, unknowns - len(singular)))])
    open_rows = directions[singular <= DETERMINACY_LIMIT * max(singular[0], 1e-300)]
    if len(open_rows):
        mixed = [name for name, part in zip(names, np.abs(open_rows).max(axis=0), strict=True) if part > 0.1]
        raise UndeterminedError(
            mixed,
            f"{readings} readings cannot tell {_listed(mixed)} apart: changes in them cancel in every "
            "reading; "
            "fit fewer quantities or add readings of another kind",
        )
    if not stated and readings <= unknowns:
        raise UndeterminedError(
            names,
            f"{readings} readings leave nothing over to judge the error of {unknowns} fitted quantities "
            f"({_listed(list(names))}); take at least {unknowns + 1}, better {unknowns + 3}",
        )


def _finish(names, values, jacobian, observed, fitted, errors, *, gradient=0.0, evaluations=1):
    residuals = observed - fitted
    stated = errors is not None
    taken = np.broadcast_to(np.asarray(errors if stated else 1.0, dtype=float), observed.shape)
    weighted = jacobian / taken[:, None]
    scales = np.linalg.norm(weighted, axis=0)
    inverse = np.linalg.inv((weighted / scales).T @ (weighted / scales)) / np.outer(scales, scales)
    freedom = len(observed) - len(values)
    squares = float(np.sum((residuals / taken) ** 2))
    scatter = np.sqrt(squares / freedom) if freedom > 0 else 0.0
    chance = chi_square_chance(squares, freedom) if stated else np.nan
    widened = stated and chance < CONTRADICTION_LEVEL
    kind = "stated, widened" if widened else "stated" if stated else "scatter"
    widening = 1.0 if kind == "stated" else scatter
    standard = np.sqrt(np.diag(inverse)) * widening
    half = coverage_factor(np.inf if kind == "stated" else freedom) * standard
    return Fit(
        names=tuple(names), values=values, standard_errors=standard, low=values - half, high=values + half,
        covariance=inverse * widening**2, fitted=fitted, residuals=residuals,
        errors=np.array(taken * (1.0 if stated else max(scatter, 1e-300))), degrees_of_freedom=freedom,
        chi_square=squares if stated else np.nan, p_value=chance, errors_from=kind, scatter=float(scatter),
        gradient=gradient, evaluations=evaluations,
    )  # fmt: skip


def _largest_cosine(weighted, residual):
    size = np.linalg.norm(residual)
    if size == 0.0:
        return 0.0
    return float(np.max(np.abs(weighted.T @ residual) / (np.linalg.norm(weighted, axis=0) * size)))


def _listed(names: Sequence[str]) -> str:
    names = list(names)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
