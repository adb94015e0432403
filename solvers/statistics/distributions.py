"""Binomial intervals, t tests, equivalence, power and sample sizes of plain two-treatment experiments.

Everything takes plain numbers and returns frozen results; formulas are named with their source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import integrate, stats

LARGEST_SAMPLE = 1_000_000


@dataclass(frozen=True)
class TTest:
    """A t statistic, its degrees of freedom and its p-values."""

    t: float
    degrees_of_freedom: float
    difference: float
    standard_error: float

    @property
    def p_two_sided(self) -> float:
        """Chance of a t as far from zero if there were no difference."""
        return float(2.0 * stats.t.sf(abs(self.t), self.degrees_of_freedom))

    @property
    def p_greater(self) -> float:
        """Chance of a t as large."""
        return float(stats.t.sf(self.t, self.degrees_of_freedom))

    def interval(self, confidence: float = 0.95) -> tuple[float, float]:
        """Two-sided interval of the difference."""
        reach = self.standard_error * stats.t.ppf(0.5 + confidence / 2.0, self.degrees_of_freedom)
        return (float(self.difference - reach), float(self.difference + reach))


@dataclass(frozen=True)
class Equivalence:
    """Two one-sided tests that a difference lies within two bounds."""

    above_low: TTest
    """Test that the difference is above the low bound."""
    below_high: TTest
    """Test that the difference is below the high bound."""
    interval: tuple[float, float]
    """Interval of confidence 1 - 2 alpha: equivalence is shown where it lies within the bounds."""

    @property
    def p(self) -> float:
        """The larger of the two one-sided p-values."""
        below = self.below_high
        return max(self.above_low.p_greater, float(stats.t.cdf(below.t, below.degrees_of_freedom)))


def clopper_pearson(successes: int, trials: int, *, confidence: float = 0.95) -> tuple[float, float]:
    """Exact two-sided interval of a share.

    Parameters
    ----------
    successes, trials : int
        0 <= successes <= trials, trials >= 1.
    confidence : float
        Between 0 and 1; a one-sided limit of confidence c is an end of the interval of confidence 2 c - 1.

    Returns
    -------
    tuple of float

    Raises
    ------
    ValueError
        Counts that are not possible.

    References
    ----------
    Clopper and Pearson, Biometrika 26 (1934) 404, as quantiles of the beta distribution.
    """
    _check_counts(successes, trials)
    tail = (1.0 - confidence) / 2.0
    low = stats.beta.ppf(tail, successes, trials - successes + 1) if successes else 0.0
    high = stats.beta.ppf(1.0 - tail, successes + 1, trials - successes) if successes < trials else 1.0
    return (float(low), float(high))


def wilson(successes: int, trials: int, *, confidence: float = 0.95) -> tuple[float, float]:
    """Score interval of a share, for shares of many simulated trials.

    References
    ----------
    Wilson, J. Am. Stat. Assoc. 22 (1927) 209.
    """
    _check_counts(successes, trials)
    z = float(stats.norm.ppf(0.5 + confidence / 2.0))
    share, weight = successes / trials, 1.0 + z * z / trials
    centre = (share + z * z / (2 * trials)) / weight
    reach = z / weight * math.sqrt(share * (1 - share) / trials + z * z / (4 * trials * trials))
    return (max(0.0, centre - reach), min(1.0, centre + reach))


def _check_counts(successes: int, trials: int) -> None:
    if trials < 1 or not 0 <= successes <= trials:
        raise ValueError(f"{successes} of {trials} is not a possible count")


def binomial_p(successes: int, trials: int, *, chance: float = 0.5, two_sided: bool = False) -> float:
    """Chance of at least so many successes (two-sided: of a count at most as likely)."""
    _check_counts(successes, trials)
    alternative = "two-sided" if two_sided else "greater"
    return float(stats.binomtest(successes, trials, chance, alternative=alternative).pvalue)


def t_test_from_moments(
    mean_1: float,
    sd_1: float,
    n_1: int,
    mean_2: float,
    sd_2: float,
    n_2: int,
    *,
    equal_variances: bool = True,
    offset: float = 0.0,
) -> TTest:
    """Two-sample t test of ``mean_1 - mean_2 - offset`` from means and standard deviations.

    Parameters
    ----------
    mean_1, sd_1, mean_2, sd_2 : float
        Unit of the readings.
    n_1, n_2 : int
        At least 2 each.
    equal_variances : bool
        False: Welch's form.
    offset : float
        Difference under test.

    Raises
    ------
    ValueError
        Fewer than two readings in a group, or no scatter at all.
    """
    if min(n_1, n_2) < 2:
        raise ValueError(f"a two-sample t test needs 2 readings in each group, not {n_1} and {n_2}")
    part_1, part_2 = sd_1**2 / n_1, sd_2**2 / n_2
    if equal_variances:
        degrees = float(n_1 + n_2 - 2)
        pooled = ((n_1 - 1) * sd_1**2 + (n_2 - 1) * sd_2**2) / degrees
        error = math.sqrt(pooled * (1 / n_1 + 1 / n_2))
    else:
        error = math.sqrt(part_1 + part_2)
        bottom = part_1**2 / (n_1 - 1) + part_2**2 / (n_2 - 1)
        degrees = (part_1 + part_2) ** 2 / bottom if bottom else math.nan
    if error == 0.0:
        raise ValueError("a t test needs scatter: all readings of each group are the same")
    difference = mean_1 - mean_2
    return TTest((difference - offset) / error, degrees, difference, error)


def one_sample_t(values: Sequence[float], *, offset: float = 0.0) -> TTest:
    """t test of the mean of `values` (differences within pairs: the paired t test)."""
    data = np.asarray(values, float)
    if data.size < 2:
        raise ValueError(f"a t test needs at least 2 values, not {data.size}")
    error = float(data.std(ddof=1)) / math.sqrt(data.size)
    if error == 0.0:
        raise ValueError("a t test needs scatter: all values are the same")
    mean = float(data.mean())
    return TTest((mean - offset) / error, data.size - 1.0, mean, error)


def equivalence_from_moments(
    mean_1: float,
    sd_1: float,
    n_1: int,
    mean_2: float,
    sd_2: float,
    n_2: int,
    *,
    low: float,
    high: float,
    equal_variances: bool = True,
    alpha: float = 0.05,
) -> Equivalence:
    """Two one-sided t tests that ``low < mean_1 - mean_2 < high``.

    References
    ----------
    Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987) 657.
    """
    args = (mean_1, sd_1, n_1, mean_2, sd_2, n_2)
    above = t_test_from_moments(*args, equal_variances=equal_variances, offset=low)
    below = t_test_from_moments(*args, equal_variances=equal_variances, offset=high)
    return Equivalence(above, below, above.interval(1.0 - 2.0 * alpha))


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


def power_two_groups(difference: float, n: int, *, alpha: float = 0.05) -> float:
    """Two-sided power with n in each of two groups; `difference` in standard deviations."""
    return power_t(difference * math.sqrt(n / 2.0), 2.0 * n - 2.0, alpha=alpha)


def power_pairs(difference: float, n: int, *, alpha: float = 0.05, two_sided: bool = True) -> float:
    """Power with n pairs; `difference` in standard deviations of the difference within a pair."""
    return power_t(difference * math.sqrt(n), n - 1.0, alpha=alpha, two_sided=two_sided)


def power_equivalence_two_groups(bound: float, n: int, *, alpha: float = 0.05, true: float = 0.0) -> float:
    """Power of two one-sided t tests within -bound..bound, n in each group; unit: standard deviation.

    Notes
    -----
    Given the sample standard deviation s, both tests reject where the sample difference lies within
    bound - t s sqrt(2/n) of zero; the normal chance of that is averaged over the law of s.

    References
    ----------
    Schuirmann 1987; Chow, Shao and Wang, Sample Size Calculations in Clinical Research (method).
    """
    degrees = 2 * n - 2
    spread, critical = math.sqrt(2.0 / n), float(stats.t.ppf(1.0 - alpha, degrees))
    largest = degrees * (bound / (critical * spread)) ** 2

    def chance(chi_square: float) -> float:
        room = bound - critical * spread * math.sqrt(chi_square / degrees)
        inside = stats.norm.cdf((room - true) / spread) - stats.norm.cdf((-room - true) / spread)
        return float(inside * stats.chi2.pdf(chi_square, degrees))

    middle = min(largest, float(degrees))
    parts = [integrate.quad(chance, *ends, epsabs=1e-10)[0] for ends in ((0.0, middle), (middle, largest))]
    return float(sum(parts))


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


def sample_by_normal(
    difference: float, *, alpha: float, power: float, two_sided: bool = False, groups: int = 1
) -> float:
    """Sample size by the normal approximation (a little too small); `difference` in standard deviations.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.2.2.
    """
    z = stats.norm.ppf(1.0 - (alpha / 2.0 if two_sided else alpha)) + stats.norm.ppf(power)
    return float(groups * (z / difference) ** 2)


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
