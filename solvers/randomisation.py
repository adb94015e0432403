"""Exact randomisation tests over a given set of orders, with intervals by inverting the test.

The statistic is the least-squares effect of the treatment beside block means (and a straight drift where
asked), scaled so that every hypothetical difference is accepted on one interval; see `randomisation_test`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

TIE = 1e-9
"""Statistics closer than this share of the largest are equal: sums of decimal readings are not exact."""


@dataclass(frozen=True)
class RandomisationResult:
    """What a randomisation test found; all differences in the unit of the readings."""

    status: str
    """``done`` or ``nothing_left`` (no block holds both treatments)."""
    difference: float
    """Treatment 1 less treatment 0; nan unless done."""
    interval: tuple[float, float]
    """Two-sided interval of confidence 1 - alpha; infinite where the set of orders is too small."""
    one_sided: tuple[float, float]
    """Lower and upper limit, each of confidence 1 - alpha."""
    p_two_sided: float
    p_greater: float
    p_less: float
    smallest_p: float
    """Smallest two-sided p-value that this set of orders could give with these blocks left."""
    orders: int
    used: int
    """Installations used."""
    alpha: float


def directions(orders: np.ndarray, blocks: np.ndarray, used: np.ndarray, *, fits_drift: bool) -> np.ndarray:
    """Unit weights of the readings for every order.

    Parameters
    ----------
    orders : ndarray of 0 and 1, shape (s, n)
    blocks : ndarray of int, shape (n,)
        Block of each installation; block means are removed.
    used : ndarray of bool, shape (n,)
        Installations used.
    fits_drift : bool
        Remove a straight drift too.

    Returns
    -------
    ndarray, shape (s, n)
        Zero rows where nothing of the treatment is left after removal.

    Notes
    -----
    The residual of the treatment after the nuisance columns (Frisch-Waugh-Lovell), scaled to length 1.
    """
    columns = [(blocks == block) & used for block in np.unique(blocks[used])]
    nuisance = np.array(columns, dtype=float).T.reshape(blocks.size, len(columns))
    if fits_drift:
        nuisance = np.column_stack([nuisance, np.where(used, np.arange(blocks.size), 0.0)])
    basis, scale = np.linalg.qr(nuisance)
    basis = basis[:, np.abs(np.diag(scale)) > 1e-9]
    treatment = np.where(used, orders, 0).astype(float)
    residual = treatment - (treatment @ basis) @ basis.T
    length = np.sqrt(np.einsum("ij,ij->i", residual, residual))
    kept = length > 1e-6
    return residual * np.where(kept, 1.0 / np.where(kept, length, 1.0), 0.0)[:, None]


def whole_blocks(blocks: np.ndarray, present: np.ndarray, *, fits_drift: bool) -> np.ndarray:
    """Installations that can be used when a missing one takes its block with it.

    Where a drift is fitted the set has one block only, and just the missing installation is left out.
    """
    if fits_drift:
        return present.copy()
    spoilt = np.unique(blocks[~present])
    return present & ~np.isin(blocks, spoilt)


def randomisation_test(
    readings: np.ndarray,
    order: np.ndarray,
    orders: np.ndarray,
    *,
    blocks: np.ndarray | None = None,
    fits_drift: bool = False,
    alpha: float = 0.05,
) -> RandomisationResult:
    """Exact test of no difference, and the differences that the same test would accept.

    Parameters
    ----------
    readings : ndarray, shape (n,)
        One number per installation in time, nan where missing.
    order : ndarray of 0 and 1, shape (n,)
        The order used.
    orders : ndarray of 0 and 1, shape (s, n)
        The orders that could have been drawn, equally likely, `order` among them.
    blocks : ndarray of int, shape (n,), optional
        Block of each installation (one block by default). A block with a missing reading is left out.
    fits_drift : bool
        Fit a straight drift; then only the missing installation is left out.
    alpha : float
        Error rate of the two-sided interval, and of each one-sided limit.

    Returns
    -------
    RandomisationResult

    Raises
    ------
    ValueError
        Shapes that do not fit, or an order that is not in the set.

    Notes
    -----
    With unit weights u_j of order j and the treatment column g of the order used, order j counts against
    the difference d when ``|u_j.y - d u_j.g| >= |u.y - d u.g|``. As ``|u_j.g| <= u.g`` by Cauchy-Schwarz,
    each order counts on one interval of d around the estimate, and its ends give the confidence limits
    with no search.

    References
    ----------
    Fisher, The Design of Experiments, 1935, section 21 (the test); Lehmann and Romano, Testing Statistical
    Hypotheses, chapter 15 (intervals by inversion); both from memory.
    """
    readings, order, orders = np.asarray(readings, float), np.asarray(order), np.asarray(orders)
    blocks = np.zeros(readings.size, int) if blocks is None else np.asarray(blocks)
    if orders.ndim != 2 or orders.shape[1] != readings.size or order.size != readings.size:
        raise ValueError(f"{readings.size} readings need orders of as many places, not shape {orders.shape}")
    if not (orders == order).all(axis=1).any():
        raise ValueError("the order used is not in the set of orders that could have been drawn")
    used = whole_blocks(blocks, np.isfinite(readings), fits_drift=fits_drift)
    weights = directions(np.vstack([order[None, :], orders]), blocks, used, fits_drift=fits_drift)
    values = np.where(used, readings, 0.0)
    a, b = weights @ values, weights @ np.where(used, order, 0.0)
    a_used, a, b_used, b = a[0], a[1:], b[0], b[1:]
    if b_used < 1e-6:
        return _nothing_left(len(orders), int(used.sum()), alpha)
    tie = TIE * max(float(np.abs(a).max()), abs(float(a_used)))
    mirrors = np.abs(np.abs(weights[1:] @ weights[0]) - 1.0) < 1e-9
    bounds = interval_bounds(a[None, :], b[None, :], np.array([a_used]), np.array([b_used]), alpha)
    return RandomisationResult(
        status="done",
        difference=float(a_used / b_used),
        interval=(float(bounds.lower[0]), float(bounds.upper[0])),
        one_sided=(float(bounds.one_sided_lower[0]), float(bounds.one_sided_upper[0])),
        p_two_sided=float((np.abs(a) >= abs(a_used) - tie).mean()),
        p_greater=float((a >= a_used - tie).mean()),
        p_less=float((a <= a_used + tie).mean()),
        smallest_p=float(mirrors.mean()),
        orders=len(orders),
        used=int(used.sum()),
        alpha=alpha,
    )


def _nothing_left(orders: int, used: int, alpha: float) -> RandomisationResult:
    everything = (-math.inf, math.inf)
    return RandomisationResult(
        "nothing_left", math.nan, everything, everything, 1.0, 1.0, 1.0, 1.0, orders, used, alpha
    )


@dataclass(frozen=True)
class Bounds:
    """Limits of a batch of trials, each an array of shape (k,)."""

    lower: np.ndarray
    upper: np.ndarray
    one_sided_lower: np.ndarray
    one_sided_upper: np.ndarray


def interval_bounds(
    a: np.ndarray, b: np.ndarray, a_used: np.ndarray, b_used: np.ndarray, alpha: float
) -> Bounds:
    """Limits by inversion for a batch of k trials against s orders.

    Parameters
    ----------
    a, b : ndarray, shape (k, s)
        Weights of every order times the readings and times the treatment column used.
    a_used, b_used : ndarray, shape (k,)
        The same for the order used.
    alpha : float
        Error rate.

    Returns
    -------
    Bounds
    """
    allowed = math.floor(alpha * a.shape[1] + 1e-9)
    a_used, b_used = a_used[:, None], b_used[:, None]
    same, mirror = b_used - b < 1e-9, b_used + b < 1e-9
    straight = (a_used - a) / np.where(same, 1.0, b_used - b)
    crossed = (a_used + a) / np.where(mirror, 1.0, b_used + b)
    lower = np.where(same | mirror, -np.inf, np.minimum(straight, crossed))
    upper = np.where(same | mirror, np.inf, np.maximum(straight, crossed))
    return Bounds(
        lower=_kth_smallest(lower, allowed),
        upper=-_kth_smallest(-upper, allowed),
        one_sided_lower=_kth_smallest(np.where(same, -np.inf, straight), allowed),
        one_sided_upper=-_kth_smallest(np.where(same, -np.inf, -straight), allowed),
    )


def _kth_smallest(values: np.ndarray, k: int) -> np.ndarray:
    if k >= values.shape[1]:
        return np.full(values.shape[0], np.inf)
    return np.partition(values, k, axis=1)[:, k]
