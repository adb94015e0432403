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
from typing import Any

import numpy as np

from noseload.solvers.errors import SolverError, Status

CONFIDENCE = 0.95
"""Probability content of every stated interval."""

CONTRADICTION_LEVEL = 0.01
"""Stated errors are widened when so large a chi-square would come by chance less often than this."""

SETTLED = 1e-10
"""Share of chi-square that the last step of a search changed at most."""

DETERMINACY_LIMIT = 1e-7
"""Smallest ratio of singular values (columns scaled to unit length) still taken for full rank."""


class UndeterminedError(SolverError):
    """The data cannot determine every fitted quantity; `names` are those that remain open."""

    def __init__(self, names: Sequence[str], message: str) -> None:
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
    leverages : ndarray, shape (n,)
        Share that each observation has in its own fitted value.
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
    leverages: np.ndarray = field(repr=False, default_factory=lambda: np.zeros(0))
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

    def deleted_residuals(self) -> np.ndarray:
        """Each observation off the fit of all others, over its error there, shape (n,): nan where nothing is left over.

        Externally studentised residuals: t with one degree of freedom less than the fit's. With stated errors that the
        others do not contradict they are normal. Without leaving it out, no residual can exceed the root of n - p.

        References
        ----------
        R. D. Cook, S. Weisberg, *Residuals and Influence in Regression*, Chapman and Hall 1982, 2.2.
        """
        left = np.clip(1.0 - self.leverages, 1e-12, None)
        weighted = self.standardized
        if self.errors_from == "stated":
            return weighted / np.sqrt(left)
        freedom = self.degrees_of_freedom - 1
        if freedom < 1:
            return np.full(len(weighted), np.nan)
        rest = (weighted @ weighted - weighted**2 / left) / freedom
        return weighted / np.sqrt(np.clip(rest, 1e-300, None) * left)

    @property
    def deleted_freedom(self) -> float:
        """Degrees of freedom of the deleted residuals; infinite for stated errors."""
        return np.inf if self.errors_from == "stated" else float(self.degrees_of_freedom - 1)

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
    iterations: int = 100,
    difference: float = 1e-5,
    bounds: tuple[Sequence[float], Sequence[float]] | None = None,
) -> Fit:
    """Fit ``observed = predict(parameters)`` by a bounded trust-region search.

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
    bounds : (low, high), optional
        Sequences of length p that the parameters stay within.

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
    The search ends where a step no longer changes chi-square: predictions may have kinks (an axle that meets its stop),
    where the residual need not be perpendicular to the Jacobian. How far it is stands in `Fit.gradient`. Method: M. A.
    Branch, T. F. Coleman, Y. Li, SIAM J. Sci. Comput. 21 (1999) 1, as in scipy.optimize.least_squares.
    """
    observed = np.asarray(observed, dtype=float)
    steps = np.asarray(scales, dtype=float)
    weights = np.ones(len(observed)) if errors is None else 1.0 / np.broadcast_to(errors, observed.shape)
    search = _Search(predict, derivatives, observed, weights, steps, difference)
    limits = (np.full(len(steps), -np.inf), np.full(len(steps), np.inf)) if bounds is None else bounds
    values, jacobian, residual, reached = search.run(np.asarray(start, dtype=float), iterations, limits)
    check_determinacy(jacobian * weights[:, None] * steps, names, stated=errors is not None)
    weighted = jacobian * weights[:, None]
    gradient = _largest_cosine(weighted, residual)
    if not reached:
        raise FitError(
            Status.OUT_OF_ITERATIONS,
            f"the fit of {', '.join(names)} did not settle: chi-square was still falling after {iterations} steps; check "
            "the readings for outliers or start from better guesses",
            values,
        )
    fitted = observed - residual / weights
    return _finish(names, values, jacobian, observed, fitted, errors, gradient=gradient, evaluations=search.evaluations)


class _Search:
    """Bounded trust-region search in scaled parameters; counts evaluations."""

    def __init__(
        self,
        predict: Callable,
        derivatives: Callable | None,
        observed: np.ndarray,
        weights: np.ndarray,
        scales: np.ndarray,
        difference: float,
    ) -> None:
        self._predict, self._derivatives = predict, derivatives
        self._observed, self._weights, self._scales = observed, weights, scales
        self._difference = difference
        self.evaluations = 0

    def residual(self, values: np.ndarray) -> np.ndarray:
        """Observed less predicted over their errors, shape (n,)."""
        self.evaluations += 1
        # trial steps may leave the domain: such predictions are refused as not finite
        with np.errstate(all="ignore"):
            return (self._observed - np.asarray(self._predict(values), dtype=float)) * self._weights

    def jacobian(self, values: np.ndarray) -> np.ndarray:
        """Slopes of the predictions, shape (n, p): as given, else by differences; one-sided at the edge of the domain."""
        if self._derivatives is not None:
            return np.asarray(self._derivatives(values), dtype=float)
        columns = []
        for place, scale in enumerate(self._scales):
            step = np.zeros_like(values)
            step[place] = self._difference * scale
            behind, ahead = self.residual(values - step), self.residual(values + step)
            span = 2.0 * self._difference * scale
            if not np.all(np.isfinite(behind)):
                behind, span = self.residual(values), 0.5 * span
            elif not np.all(np.isfinite(ahead)):
                ahead, span = self.residual(values), 0.5 * span
            columns.append((behind - ahead) / span)
        return np.stack(columns, axis=-1) / self._weights[:, None]

    def run(self, values: np.ndarray, iterations: int, bounds: Any) -> tuple[np.ndarray, np.ndarray, np.ndarray, bool]:
        """(values, Jacobian, residual) at the minimum, and whether it was reached."""
        # Loaded here: only measurements fit curves.
        from scipy.optimize import least_squares

        self._check_finite(self.residual(values), values)

        def slopes(where: np.ndarray) -> np.ndarray:
            weighted = self.jacobian(where) * self._weights[:, None]
            self._check_finite(weighted, where)
            return weighted

        low, high = bounds
        found = least_squares(
            lambda where: -self.residual(where),
            np.clip(values, low, high),
            jac=slopes,
            bounds=bounds,
            x_scale=self._scales,
            ftol=SETTLED,
            xtol=1e-10,
            gtol=1e-12,
            max_nfev=iterations,
        )
        jacobian = self.jacobian(found.x)
        self._check_finite(jacobian, found.x)
        return found.x, jacobian, -found.fun, found.status > 0

    @staticmethod
    def _check_finite(array: np.ndarray, values: np.ndarray) -> None:
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
    # With readings enough the thin form has all directions, without a square as large as the readings are many.
    _, singular, directions = np.linalg.svd(jacobian / norms, full_matrices=readings < unknowns)
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


def _finish(
    names: Sequence[str],
    values: np.ndarray,
    jacobian: np.ndarray,
    observed: np.ndarray,
    fitted: np.ndarray,
    errors: np.ndarray | float | None,
    *,
    gradient: float = 0.0,
    evaluations: int = 1,
) -> Fit:
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
        leverages=np.einsum("ij,jk,ik->i", weighted, inverse, weighted),
    )  # fmt: skip


def _largest_cosine(weighted: np.ndarray, residual: np.ndarray) -> float:
    size = np.linalg.norm(residual)
    if size == 0.0:
        return 0.0
    return float(np.max(np.abs(weighted.T @ residual) / (np.linalg.norm(weighted, axis=0) * size)))


def _listed(names: Sequence[str]) -> str:
    names = list(names)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
