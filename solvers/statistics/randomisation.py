"""Exact randomisation tests over a given set of orders, with intervals by inverting the test."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

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


@dataclass(frozen=True)
class Scores:
    """Scores of the readings of one trial (or several) under every order; the first is the order used.

    Each array has shape (1 + s,). With r the treatment column of an order after the nuisance columns:
    `readings` is r.y, `treatment` is r.g for the column g of the order used, `squares` is r.r.
    """

    readings: np.ndarray
    treatment: np.ndarray
    squares: np.ndarray
    used: int
    """Installations used."""


def residuals(orders: np.ndarray, blocks: np.ndarray, used: np.ndarray, *, fits_drift: bool) -> np.ndarray:
    """Treatment columns less their block means (and a straight drift).

    Parameters
    ----------
    orders : ndarray of 0 and 1, shape (s, n)
    blocks : ndarray of int, shape (n,)
        Block of each installation.
    used : ndarray of bool, shape (n,)
        Installations used.
    fits_drift : bool
        Remove a straight drift too.

    Returns
    -------
    ndarray, shape (s, n)
        Zero where not used; a zero row where nothing of the treatment is left.
    """
    basis = _nuisance_basis(tuple(blocks.tolist()), tuple(used.tolist()), fits_drift)
    treatment = np.where(used, orders, 0).astype(float)
    left = treatment - (treatment @ basis) @ basis.T
    gone = np.einsum("ij,ij->i", left, left) < 1e-12
    left[gone] = 0.0
    return left


@lru_cache(maxsize=1024)
def _nuisance_basis(blocks: tuple[int, ...], used: tuple[bool, ...], fits_drift: bool) -> np.ndarray:
    """Orthonormal columns of block means (and a drift), shape (n, columns); kept, because many trials have the same blocks."""
    places, present = np.array(blocks), np.array(used)
    columns = [(places == block) & present for block in np.unique(places[present])]
    nuisance = np.array(columns, dtype=float).T.reshape(places.size, len(columns))
    if fits_drift:
        nuisance = np.column_stack([nuisance, np.where(present, np.arange(places.size), 0.0)])
    basis, scale = np.linalg.qr(nuisance)
    return basis[:, np.abs(np.diag(scale)) > 1e-9]


def whole_blocks(blocks: np.ndarray, present: np.ndarray, *, fits_drift: bool) -> np.ndarray:
    """Installations that can be used when a missing one takes its block with it.

    Where a drift is fitted the set has one block only, and just the missing installation is left out.
    """
    if fits_drift:
        return present.copy()
    spoilt = np.unique(blocks[~present])
    return present & ~np.isin(blocks, spoilt)


def find_scores(
    readings: np.ndarray,
    order: np.ndarray,
    orders: np.ndarray,
    *,
    blocks: np.ndarray | None = None,
    fits_drift: bool = False,
) -> Scores:
    """Scores of one trial; parameters and errors as in `randomisation_test`."""
    readings, order, orders = np.asarray(readings, float), np.asarray(order), np.asarray(orders)
    blocks = np.zeros(readings.size, int) if blocks is None else np.asarray(blocks)
    if orders.ndim != 2 or orders.shape[1] != readings.size or order.size != readings.size:
        raise ValueError(f"{readings.size} readings need orders of as many places, not shape {orders.shape}")
    if not (orders == order).all(axis=1).any():
        raise ValueError("the order used is not in the set of orders that could have been drawn")
    used = whole_blocks(blocks, np.isfinite(readings), fits_drift=fits_drift)
    left = residuals(np.vstack([order[None, :], orders]), blocks, used, fits_drift=fits_drift)
    squares = np.einsum("ij,ij->i", left, left)
    return Scores(left @ np.where(used, readings, 0.0), left @ left[0], squares, int(used.sum()))


def combine_scores(
    trials: Sequence[Scores], rng: np.random.Generator, *, largest: int = 1_000_000, sampled: int = 19_999
) -> Scores:
    """Scores of several trials taken together: every order of the one with every order of the others.

    Parameters
    ----------
    trials : sequence of Scores
    rng : numpy.random.Generator
        Used where there are more than `largest` combinations; then `sampled` of them are drawn, and the one
        used is added, so that the test stays exact.
    """
    count = int(np.prod([float(t.squares.size - 1) for t in trials]))
    if count <= largest:
        grids = np.meshgrid(*(np.arange(1, t.squares.size) for t in trials), indexing="ij")
        rows = [np.concatenate([[0], grid.ravel()]) for grid in grids]
    else:
        rows = [np.concatenate([[0, 0], rng.integers(1, t.squares.size, sampled)]) for t in trials]
    parts = list(zip(trials, rows, strict=True))
    return Scores(
        np.sum([t.readings[r] for t, r in parts], axis=0),
        np.sum([t.treatment[r] for t, r in parts], axis=0),
        np.sum([t.squares[r] for t, r in parts], axis=0),
        sum(t.used for t in trials),
    )


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
    The statistic is the least-squares score of the treatment with unit weights u_j (Frisch-Waugh-Lovell).
    With g the treatment column of the order used, order j counts against the difference d when
    ``|u_j.y - d u_j.g| >= |u.y - d u.g|``. As ``|u_j.g| <= u.g`` by Cauchy-Schwarz, each order counts on
    one interval of d around the estimate, and its ends give the confidence limits with no search.

    References
    ----------
    Fisher, The Design of Experiments, 1935, section 21 (the test); Lehmann and Romano, Testing Statistical
    Hypotheses, chapter 15 (intervals by inversion); both from memory.
    """
    return judge_scores(find_scores(readings, order, orders, blocks=blocks, fits_drift=fits_drift), alpha=alpha)


def judge_scores(scores: Scores, *, alpha: float = 0.05) -> RandomisationResult:
    """Test and interval from scores; see `randomisation_test`."""
    orders = scores.squares.size - 1
    if scores.squares[0] == 0.0:
        everything = (-math.inf, math.inf)
        return RandomisationResult(
            "nothing_left", math.nan, everything, everything, 1.0, 1.0, 1.0, 1.0, orders, scores.used, alpha
        )
    length = np.sqrt(np.where(scores.squares > 0.0, scores.squares, 1.0))
    a, b = scores.readings / length, scores.treatment / length
    a_used, a, b_used, b = a[0], a[1:], b[0], b[1:]
    tie = TIE * max(float(np.abs(a).max()), abs(float(a_used)))
    bounds = interval_bounds(a[None, :], b[None, :], np.array([a_used]), np.array([b_used]), alpha)
    return RandomisationResult(
        status="done",
        difference=float(a_used / b_used),
        interval=(float(bounds.lower[0]), float(bounds.upper[0])),
        one_sided=(float(bounds.one_sided_lower[0]), float(bounds.one_sided_upper[0])),
        p_two_sided=float((np.abs(a) >= abs(a_used) - tie).mean()),
        p_greater=float((a >= a_used - tie).mean()),
        p_less=float((a <= a_used + tie).mean()),
        smallest_p=float((np.abs(b) >= b_used * (1.0 - 1e-9)).mean()),
        orders=orders,
        used=scores.used,
        alpha=alpha,
    )


@dataclass(frozen=True)
class Bounds:
    """Limits of a batch of trials, each an array of shape (k,)."""

    lower: np.ndarray
    upper: np.ndarray
    one_sided_lower: np.ndarray
    one_sided_upper: np.ndarray


def interval_bounds(a: np.ndarray, b: np.ndarray, a_used: np.ndarray, b_used: np.ndarray, alpha: float) -> Bounds:
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


def batch_limits(
    readings: np.ndarray,
    used: np.ndarray,
    orders: np.ndarray,
    *,
    blocks: np.ndarray,
    fits_drift: bool = False,
    alpha: float = 0.05,
    adds_used: bool = False,
) -> Bounds:
    """Limits of many complete trials at once, for power by simulation.

    Parameters
    ----------
    readings : ndarray, shape (k, n)
    used : ndarray of 0 and 1, shape (k, n)
        Order used in each trial.
    orders : ndarray of 0 and 1, shape (s, n)
        Orders to test against; a sample of the set serves.
    blocks, fits_drift, alpha
        As in `randomisation_test`.
    adds_used : bool
        `orders` is a sample: count the order used beside it.

    Returns
    -------
    Bounds
        Limits of the difference in each trial: no difference is refused where they leave zero outside.
    """
    everywhere = np.ones(blocks.size, bool)
    own = _unit(residuals(used, blocks, everywhere, fits_drift=fits_drift))
    others = _unit(residuals(orders, blocks, everywhere, fits_drift=fits_drift))
    a, b = readings @ others.T, used @ others.T
    a_used, b_used = np.einsum("ij,ij->i", own, readings), np.einsum("ij,ij->i", own, used)
    if adds_used:
        a, b = np.column_stack([a, a_used]), np.column_stack([b, b_used])
    return interval_bounds(a, b, a_used, b_used, alpha)


def _unit(rows: np.ndarray) -> np.ndarray:
    length = np.sqrt(np.einsum("ij,ij->i", rows, rows))
    return rows / np.where(length > 0.0, length, 1.0)[:, None]
