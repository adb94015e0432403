"""Interval of a share, power and sample sizes of pairs, parts of a variance: what trials are planned with.

Everything takes plain numbers and returns frozen results; formulas are named with their source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

LARGEST_SAMPLE = 1_000_000


def wilson(successes: int, trials: int, *, confidence: float = 0.95) -> tuple[float, float]:
    """Score interval of a share, for shares of many simulated trials.

    Raises
    ------
    ValueError
        Counts that are not possible.

    References
    ----------
    Wilson, J. Am. Stat. Assoc. 22 (1927) 209.
    """
    if trials < 1 or not 0 <= successes <= trials:
        raise ValueError(f"{successes} of {trials} is not a possible count")
    interval = stats.binomtest(successes, trials).proportion_ci(confidence, method="wilson")
    return float(interval.low), float(interval.high)


def power_t(effect: float, degrees_of_freedom: float, *, alpha: float = 0.05, two_sided: bool = True) -> float:
    """Power of a t test by the noncentral t distribution.

    Parameters
    ----------
    effect : float
        Noncentrality: true difference over the standard error of its estimate.
    degrees_of_freedom : float
    alpha : float
    two_sided : bool

    References
    ----------
    Cohen, Statistical Power Analysis, 1988, chapter 2 (method).
    """
    critical = stats.t.ppf(1.0 - (alpha / 2.0 if two_sided else alpha), degrees_of_freedom)
    power = stats.nct.sf(critical, degrees_of_freedom, effect)
    if two_sided:
        power += stats.nct.cdf(-critical, degrees_of_freedom, effect)
    return float(power)


def power_pairs(difference: float, n: int, *, alpha: float = 0.05, two_sided: bool = True) -> float:
    """Power with n pairs; `difference` in standard deviations of the difference within a pair."""
    return power_t(difference * math.sqrt(n), n - 1.0, alpha=alpha, two_sided=two_sided)


def smallest_sample(power: Callable[[int], float], wanted: float, *, start: int = 2) -> int:
    """Smallest n with ``power(n) >= wanted`` for a power that grows with n.

    Raises
    ------
    ValueError
        Not reached with a million.
    """
    high = start
    while power(high) < wanted:
        high *= 2
        if high > LARGEST_SAMPLE:
            raise ValueError(f"a power of {wanted:g} is not reached with {LARGEST_SAMPLE} readings")
    low = max(start, high // 2)
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if power(middle) >= wanted else (middle + 1, high)
    return high


@dataclass(frozen=True)
class VarianceParts:
    """Scatter between and within groups of repeated readings; nan where it cannot be told."""

    between_sd: float
    within_sd: float
    mean_sd: float
    """Standard deviation of the group means."""
    groups: int
    readings: int


def variance_parts(groups: Sequence[Sequence[float]]) -> VarianceParts:
    """One-way random-effects analysis of variance by the method of moments.

    Parameters
    ----------
    groups : sequence of sequences of float
        Readings of each group.

    Raises
    ------
    ValueError
        Fewer than two groups, or an empty one.

    References
    ----------
    Box, Hunter and Hunter, Statistics for Experimenters, nested designs (from memory).
    """
    sizes = np.array([len(group) for group in groups])
    if sizes.size < 2 or (sizes == 0).any():
        raise ValueError("scatter between groups needs at least 2 groups with readings")
    means = np.array([float(np.mean(group)) for group in groups])
    total = int(sizes.sum())
    pairs = zip(groups, means, strict=True)
    within_squares = float(sum(((np.asarray(group, float) - mean) ** 2).sum() for group, mean in pairs))
    within = within_squares / (total - sizes.size) if total > sizes.size else math.nan
    grand = float((sizes * means).sum() / total)
    between_mean_square = float((sizes * (means - grand) ** 2).sum()) / (sizes.size - 1)
    typical = (total - (sizes**2).sum() / total) / (sizes.size - 1)
    between = (between_mean_square - within) / typical if total > sizes.size else math.nan
    root = [math.sqrt(max(0.0, v)) if math.isfinite(v) else math.nan for v in (between, within)]
    return VarianceParts(root[0], root[1], float(means.std(ddof=1)), int(sizes.size), total)


def sd_upper_limit(sd: float, degrees_of_freedom: float, *, confidence: float = 0.8) -> float:
    """One-sided upper limit of a standard deviation from its chi-square law."""
    return float(sd * math.sqrt(degrees_of_freedom / stats.chi2.ppf(1.0 - confidence, degrees_of_freedom)))
