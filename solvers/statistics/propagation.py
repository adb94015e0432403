"""Errors carried through a formula of several estimates."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from .least_squares import coverage_factor


@dataclass(frozen=True)
class Propagated:
    """A derived number with its standard error, 95 % interval and effective degrees of freedom."""

    value: float
    standard_error: float
    low: float
    high: float
    degrees_of_freedom: float


def propagate(
    function: Callable[[np.ndarray], float],
    values: Sequence[float] | np.ndarray,
    blocks: Sequence[tuple[np.ndarray | float, float]],
) -> Propagated:
    """Value and error of a formula of several estimates.

    Parameters
    ----------
    function : callable
        Takes all inputs, shape (n,), returns a number.
    values : sequence of float, length n
    blocks : sequence of (covariance, degrees_of_freedom)
        Covariances of consecutive, mutually independent groups of inputs; together n rows.

    Returns
    -------
    Propagated

    References
    ----------
    JCGM 100:2008 (Guide to the expression of uncertainty in measurement), 5.1.2, 5.2.2 and, for the
    effective degrees of freedom (Welch-Satterthwaite), G.4.1.
    """
    point = np.asarray(values, dtype=float)
    covariances = [np.atleast_2d(np.asarray(block, dtype=float)) for block, _ in blocks]
    spread = np.concatenate([np.sqrt(np.diag(block)) for block in covariances])
    slopes = np.zeros_like(point)
    for place, error in enumerate(spread):
        if error > 0.0:
            step = np.zeros_like(point)
            step[place] = 0.01 * error
            slopes[place] = (function(point + step) - function(point - step)) / (0.02 * error)
    parts, freedoms, first = [], [], 0
    for block, (_, freedom) in zip(covariances, blocks, strict=True):
        slope = slopes[first : first + len(block)]
        parts.append(float(slope @ block @ slope))
        freedoms.append(freedom)
        first += len(block)
    variance = sum(parts)
    finite = sum(part**2 / freedom for part, freedom in zip(parts, freedoms, strict=True) if np.isfinite(freedom))
    freedom = variance**2 / finite if finite > 0.0 else np.inf
    value, error = float(function(point)), float(np.sqrt(variance))
    half = coverage_factor(freedom) * error
    return Propagated(value, error, value - half, value + half, freedom)
