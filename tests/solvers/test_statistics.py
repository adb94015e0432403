"""Intervals, power and parts of a variance against printed tables and published examples."""

import math

import pytest

from noseload.solvers.statistics import distributions as st

EXACT = 1e-9  # sums of a few binomial terms in double precision
PRINTED_4 = 1e-4  # half a unit of four printed decimals, both ends rounded
POWER = 1e-6  # noncentral t against values recomputed with another program


@pytest.mark.parametrize(
    ("successes", "trials", "score"),
    [(81, 263, (0.2553, 0.3662)), (15, 148, (0.0624, 0.1605)), (0, 20, (0.0, 0.1611)), (1, 29, (0.0061, 0.1718))],
)
def test_interval_of_a_share_in_the_table(successes, trials, score):
    """Newcombe, Statistics in Medicine 17 (1998) 857, table I (read in secondary test code)."""
    assert st.wilson(successes, trials) == pytest.approx(score, abs=PRINTED_4)


@pytest.mark.parametrize(
    ("difference", "n", "power"), [(0.2, 199, 0.801691), (0.5, 34, 0.807778), (0.8, 15, 0.821311), (1.0, 10, 0.803097)]
)
def test_power_of_pairs(difference, n, power):
    """Noncentral t, values recomputed apart (derived)."""
    assert st.smallest_sample(lambda k: st.power_pairs(difference, k), 0.8) == n
    assert st.power_pairs(difference, n) == pytest.approx(power, abs=POWER)


def test_sample_size_of_one_sided_pairs():
    """NIST/SEMATECH e-Handbook section 7.2.2.2: alpha 0.05, power 0.9, one standard deviation: 11 (digits from memory)."""
    assert st.smallest_sample(lambda n: st.power_pairs(1.0, n, two_sided=False), 0.9) == 11


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
        (lambda: st.wilson(5, 4), "5 of 4 is not a possible count"),
        (lambda: st.smallest_sample(lambda n: 0.0, 0.8), "is not reached"),
        (lambda: st.variance_parts([[1.0]]), "at least 2 groups"),
    ],
)
def test_impossible_input(call, message):
    with pytest.raises(ValueError, match=message):
        call()
