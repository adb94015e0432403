"""Misfits whose errors are partly alike in every row: chi-square, and each row against what all others say."""

import numpy as np


def covariance_of(errors: np.ndarray, common: np.ndarray) -> np.ndarray:
    """Covariance of n readings: their own errors (n,) and effects alike in all rows, columns of one standard error (n, m).

    References
    ----------
    JCGM 100:2008 (Guide to the expression of uncertainty in measurement), F.1.2.
    """
    return np.diag(np.asarray(errors) ** 2) + common @ common.T


def chi_square_of(misfits: np.ndarray, covariance: np.ndarray) -> float:
    """Misfits (n,) over their covariance (n, n)."""
    return float(misfits @ np.linalg.solve(covariance, misfits))


def deleted_misfits(misfits: np.ndarray, covariance: np.ndarray, *, scaled: bool = False) -> np.ndarray:
    """Each misfit less what all others make of it, over its error then, shape (n,).

    Normal where the covariance holds; with `scaled` only its shape is trusted, its size comes from the other rows: t
    with n - 1 degrees of freedom, nan where no other row is there.

    References
    ----------
    With P the inverse of the covariance the regression on all others leaves (P r)_i / P_ii with variance 1 / P_ii:
    N. Cressie, *Statistics for Spatial Data*, Wiley 1993, 3.2 (memory); scaled as in R. D. Cook, S. Weisberg, *Residuals and
    Influence in Regression*, Chapman and Hall 1982, 2.2.
    """
    inverse = np.linalg.inv(covariance)
    sizes = inverse @ misfits / np.sqrt(np.diag(inverse))
    if not scaled:
        return sizes
    others = len(misfits) - 1
    if others < 1:
        return np.full(len(misfits), np.nan)
    rest = (misfits @ inverse @ misfits - sizes**2) / others
    return sizes / np.sqrt(np.clip(rest, 1e-300, None))
