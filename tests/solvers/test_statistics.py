"""Intervals, t tests, equivalence and sample sizes against printed tables and published examples."""

import math

import numpy as np
import pytest
from scipy import stats

from noseload.solvers.statistics import distributions as st
from published_samples import DARWIN

EXACT = 1e-9  # sums of a few binomial terms in double precision
PRINTED_4 = 1e-4  # half a unit of four printed decimals, both ends rounded
PRINTED_5 = 1e-5  # five printed decimals of a t statistic
POWER = 1e-6  # noncentral t against values recomputed with another program
QUADRATURE = 1e-5  # power of two one-sided tests by quadrature


@pytest.mark.parametrize(
    ("successes", "trials", "exact", "score"),
    [
        (81, 263, (0.2527, 0.3676), (0.2553, 0.3662)),
        (15, 148, (0.0578, 0.1617), (0.0624, 0.1605)),
        (0, 20, (0.0, 0.1684), (0.0, 0.1611)),
        (1, 29, (0.0009, 0.1776), (0.0061, 0.1718)),
    ],
)
def test_interval_of_a_share_in_the_table(successes, trials, exact, score):
    """Newcombe, Statistics in Medicine 17 (1998) 857, table I (read in secondary test code)."""
    assert st.clopper_pearson(successes, trials) == pytest.approx(exact, abs=PRINTED_4)
    assert st.wilson(successes, trials) == pytest.approx(score, abs=PRINTED_4)


def test_interval_of_a_share_in_the_handbook():
    """NIST/SEMATECH e-Handbook section 7.2.4.1-2: exact 90 % interval of 4 in 20 (its page also rounds the
    upper limit to 0.400; 0.401 is right)."""
    assert st.clopper_pearson(4, 20, confidence=0.9) == pytest.approx((0.071354, 0.401029), abs=2e-6)


def test_one_sided_limit_of_none_in_twenty():
    """Closed form 1 - 0.05**(1/20); derived."""
    assert st.clopper_pearson(0, 20, confidence=0.9)[1] == pytest.approx(1 - 0.05 ** (1 / 20), abs=EXACT)


def test_clopper_pearson_covers_every_share():
    """Coverage by enumeration is never below what is claimed (the meaning of an exact interval; derived)."""
    trials = 16
    limits = [st.clopper_pearson(k, trials) for k in range(trials + 1)]
    for share in np.linspace(0.01, 0.99, 99):
        weights = stats.binom.pmf(np.arange(trials + 1), trials, share)
        covered = sum(w for w, (low, high) in zip(weights, limits, strict=True) if low <= share <= high)
        assert covered >= 0.95


@pytest.mark.parametrize(("right", "guesses", "p"), [(12, 16, 0.0384064), (11, 16, 0.1050568), (9, 10, 0.0107422)])
def test_binomial_chance_of_guesses(right, guesses, p):
    """Binomial sums (derived): sum of C(n, k) over k >= right, over 2**n."""
    closed = sum(math.comb(guesses, k) for k in range(right, guesses + 1)) / 2**guesses
    assert st.binomial_p(right, guesses) == pytest.approx(closed, abs=EXACT)
    assert closed == pytest.approx(p, abs=5e-8)
    assert st.binomial_p(12, 16, two_sided=True) == pytest.approx(0.0768127, abs=5e-8)


def test_two_sample_t_of_the_car_data():
    """NIST/SEMATECH e-Handbook section 1.3.5.3 (AUTO83B); Welch's form derived from the same moments."""
    moments = (20.14458, 6.41470, 249, 30.48101, 6.10771, 79)
    pooled = st.t_test_from_moments(*moments)
    assert pooled.t == pytest.approx(-12.62059, abs=PRINTED_5)
    assert pooled.degrees_of_freedom == 326
    assert pooled.p_two_sided == pytest.approx(5.273e-30, rel=1e-3)
    assert pooled.standard_error / math.sqrt(1 / 249 + 1 / 79) == pytest.approx(6.34260, abs=PRINTED_5)
    assert st.t_test_from_moments(*moments, equal_variances=False).t == pytest.approx(-12.94627, abs=PRINTED_5)


def test_paired_t_of_the_maize():
    """Fisher, The Design of Experiments, 1935, chapter III: t = 2.148 with 14 degrees of freedom."""
    result = st.one_sample_t(DARWIN)
    assert result.t == pytest.approx(2.147987, abs=POWER)
    assert result.p_two_sided == pytest.approx(0.0497029, abs=5e-8)
    low, high = result.interval(1 - result.p_two_sided)
    assert low == pytest.approx(0.0, abs=1e-9) and high > 0  # the interval that just touches zero


def test_sign_test_of_the_maize():
    """13 of 15 positive, exact two-sided p .0073853 (derived)."""
    assert st.binomial_p(13, 15, two_sided=True) == pytest.approx(0.0073853, abs=5e-8)


def test_equivalence_of_the_published_example():
    """Lakens, Soc. Psychol. Pers. Sci. 8 (2017) 355: bounds of d = 0.43; Welch t(182) = -2.69, p = .004."""
    bound = 0.43 * math.sqrt((0.95**2 + 0.83**2) / 2)
    moments = (5.25, 0.95, 95, 5.22, 0.83, 89)
    welch = st.equivalence_from_moments(*moments, low=-bound, high=bound, equal_variances=False)
    assert welch.below_high.t == pytest.approx(-2.692771, abs=POWER)
    assert welch.above_low.t == pytest.approx(3.149730, abs=POWER)
    assert welch.below_high.degrees_of_freedom == pytest.approx(181.134, abs=1e-3)
    assert welch.p == pytest.approx(0.003876, abs=POWER)
    assert welch.interval == pytest.approx((-0.187084, 0.247084), abs=POWER)
    pooled_sd = math.sqrt((94 * 0.95**2 + 88 * 0.83**2) / 182)
    pooled = st.equivalence_from_moments(*moments, low=-0.43 * pooled_sd, high=0.43 * pooled_sd)
    assert pooled.p == pytest.approx(0.0039, abs=5e-5)
    assert pooled.below_high.t == pytest.approx(-2.687, abs=5e-4)


@pytest.mark.parametrize(
    ("difference", "n", "power", "short"),
    [(0.5, 64, 0.8014596, 0.7951683), (0.8, 26, 0.8074866, 0.7914513), (0.2, 394, None, 0.7995943)],
)
def test_power_of_two_groups(difference, n, power, short):
    """Cohen, Statistical Power Analysis, 1988, tables 2.3-2.4 (64, 26; he prints 393 for d = 0.2, which
    the noncentral t misses by a hair)."""
    assert st.smallest_sample(lambda k: st.power_two_groups(difference, k), 0.8) == n
    assert st.power_two_groups(difference, n - 1) == pytest.approx(short, abs=POWER)
    if power is not None:
        assert st.power_two_groups(difference, n) == pytest.approx(power, abs=POWER)


@pytest.mark.parametrize(
    ("difference", "n", "power"), [(0.2, 199, 0.801691), (0.5, 34, 0.807778), (0.8, 15, 0.821311), (1.0, 10, 0.803097)]
)
def test_power_of_pairs(difference, n, power):
    """Noncentral t, values recomputed apart (derived)."""
    assert st.smallest_sample(lambda k: st.power_pairs(difference, k), 0.8) == n
    assert st.power_pairs(difference, n) == pytest.approx(power, abs=POWER)


def test_sample_size_by_the_normal_approximation():
    """NIST/SEMATECH e-Handbook section 7.2.2.2: (1.645 + 1.282)**2 = 8.567, with t 11 (digits from memory);
    two groups d = 0.5: 62.791, one short of 64 (textbook, from memory)."""
    assert st.sample_by_normal(1.0, alpha=0.05, power=0.9) == pytest.approx(8.5638, abs=5e-5)
    both = st.sample_by_normal(0.5, alpha=0.05, power=0.8, two_sided=True, groups=2)
    assert both == pytest.approx(62.791, abs=1e-3)
    t_sizes = [
        (stats.t.ppf(0.95, n) + stats.t.ppf(0.9, n)) ** 2 for n in (8, 10)
    ]  # the handbook iterates these degrees of freedom
    assert t_sizes == pytest.approx([10.60, 10.14], abs=0.01)
    exact = st.smallest_sample(lambda n: st.power_pairs(1.0, n, two_sided=False), 0.9)
    assert exact == 11


@pytest.mark.slow
@pytest.mark.parametrize(
    ("bound", "n", "power", "normal"),
    [(0.5, 70, 0.805931, 68.51), (0.8, 28, 0.810019, 26.76), (1.0, 18, 0.804545, 17.13)],
)
def test_sample_size_of_equivalence(bound, n, power, normal):
    """Schuirmann 1987; Chow, Shao and Wang (method); integral over the sample standard deviation, recomputed
    apart (derived)."""
    found = st.smallest_sample(lambda k: st.power_equivalence_two_groups(bound, k), 0.8)
    assert found == n
    assert st.power_equivalence_two_groups(bound, n) == pytest.approx(power, abs=QUADRATURE)
    z = stats.norm.ppf(0.95) + stats.norm.ppf(0.9)
    assert 2 * (z / bound) ** 2 == pytest.approx(normal, abs=5e-3)


def test_power_of_equivalence_away_from_zero_is_the_simulated_one():
    """Seeded simulation of the same two tests, true difference 0.2 (reference: the definition of power)."""
    rng, n, trials = np.random.default_rng(11), 28, 20_000
    a, b = rng.normal(0.2, 1, (trials, n)), rng.normal(0, 1, (trials, n))
    difference = a.mean(1) - b.mean(1)
    error = np.sqrt((a.var(1, ddof=1) + b.var(1, ddof=1)) / n)
    reach = stats.t.ppf(0.95, 2 * n - 2) * error
    share = float(((difference - reach > -0.8) & (difference + reach < 0.8)).mean())
    assert st.power_equivalence_two_groups(0.8, n, true=0.2) == pytest.approx(share, abs=4 * 0.5 / trials**0.5)


def test_parts_of_variance():
    """Balanced one-way layout by hand: groups (1, 3), (5, 7), (3, 5): within 2, between (8 - 2) / 2 = 3."""
    parts = st.variance_parts([[1, 3], [5, 7], [3, 5]])
    assert parts.within_sd == pytest.approx(math.sqrt(2)) and parts.between_sd == pytest.approx(math.sqrt(3))
    assert parts.mean_sd == pytest.approx(2.0) and (parts.groups, parts.readings) == (3, 6)
    alone = st.variance_parts([[1.0], [3.0]])
    assert math.isnan(alone.within_sd) and alone.mean_sd == pytest.approx(math.sqrt(2))


def test_upper_limit_of_a_standard_deviation():
    """Printed tables, e.g. NIST e-Handbook 1.3.6.7.4: chi-square of 10 degrees exceeds 3.940 with 95 %."""
    assert st.sd_upper_limit(1.0, 10, confidence=0.95) == pytest.approx(math.sqrt(10 / 3.940), abs=1e-3)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: st.clopper_pearson(5, 4), "5 of 4 is not a possible count"),
        (lambda: st.wilson(-1, 4), "-1 of 4"),
        (lambda: st.t_test_from_moments(1, 1, 1, 1, 1, 5), "needs 2 readings in each group"),
        (lambda: st.t_test_from_moments(1, 0, 3, 1, 0, 5), "needs scatter: all readings"),
        (lambda: st.one_sample_t([1.0]), "at least 2 values"),
        (lambda: st.one_sample_t([1.0, 1.0]), "needs scatter: all values"),
        (lambda: st.smallest_sample(lambda n: 0.0, 0.8), "is not reached"),
        (lambda: st.variance_parts([[1.0]]), "at least 2 groups"),
    ],
)
def test_impossible_input(call, message):
    with pytest.raises(ValueError, match=message):
        call()
