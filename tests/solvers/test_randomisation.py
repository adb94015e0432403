"""Orders, randomisation tests and guesses of the order, against printed counts and brute enumeration."""

import itertools
import math
import random

import numpy as np
import pytest
from scipy import stats

from noseload.solvers.statistics.guessing import guess_test
from noseload.solvers.statistics.orders import KINDS, Design
from noseload.solvers.statistics.randomisation import randomisation_test
from published_samples import DARWIN

EXACT = 1e-12  # counts over counts
FIVE_SIGMA = 5.0  # seeded, so a failure is a fault and not bad luck


def pairs_of(differences):
    """Readings of pairs in which the second holds the treatment."""
    return np.column_stack([np.zeros(len(differences)), differences]).ravel(), np.tile([0, 1], len(differences))


def sign_change(differences):
    readings, order = pairs_of(differences)
    design = Design("pairs", len(differences))
    return randomisation_test(readings, order, design.orders(), blocks=design.blocks)


def brute_p(readings, order, orders, delta, fits_drift, blocks):
    """Two-sided p of the difference `delta` by least squares on each order, written apart."""
    shifted = readings - delta * order
    columns = [(blocks == b).astype(float) for b in np.unique(blocks)]
    if fits_drift:
        columns.append(np.arange(readings.size, dtype=float))
    statistics = []
    for row in [order, *orders]:
        full = np.column_stack([row.astype(float), *columns])
        coefficient = np.linalg.lstsq(full, shifted, rcond=None)[0][0]
        rest = row - np.column_stack(columns) @ np.linalg.lstsq(np.column_stack(columns), row, rcond=None)[0]
        statistics.append(abs(coefficient) * np.linalg.norm(rest))
    return float(np.mean(np.array(statistics[1:]) >= statistics[0] - 1e-9))


def test_sign_changes_of_the_maize():
    """Fisher, The Design of Experiments, 1935, section 21: 863 of 32768 at least 314, 5.267 % two sided and
    2.634 % one sided (in secondary text); scipy.stats.permutation_test agrees exactly."""
    result = sign_change(DARWIN)
    assert result.p_two_sided == pytest.approx(1726 / 32768, abs=EXACT)
    assert result.p_greater == pytest.approx(863 / 32768, abs=EXACT)
    data = (np.array(DARWIN, float),)
    reference = stats.permutation_test(data, np.sum, permutation_type="samples", n_resamples=np.inf)
    assert result.p_two_sided == pytest.approx(reference.pvalue, abs=EXACT)


def test_signed_ranks_of_the_maize():
    """Wilcoxon exact, W = 24, p .0412598, as scipy.stats.wilcoxon gives: the same test on signed ranks."""
    ranks = stats.rankdata(np.abs(DARWIN)) * np.sign(DARWIN)
    reference = stats.wilcoxon(DARWIN, method="exact")
    assert reference.statistic == 24
    assert sign_change(ranks).p_two_sided == pytest.approx(0.0412598, abs=5e-8)
    assert reference.pvalue == pytest.approx(0.0412598, abs=5e-8)


def test_free_orders_agree_with_the_reference_program():
    """scipy.stats.permutation_test on two independent groups, all 70 orders (no drift fitted)."""
    rng = np.random.default_rng(3)
    readings, order = rng.normal(size=8), np.array([0, 1, 1, 0, 1, 0, 0, 1])
    result = randomisation_test(readings, order, Design("free", 4).orders())
    reference = stats.permutation_test(
        (readings[order == 1], readings[order == 0]),
        lambda a, b, axis: a.mean(axis) - b.mean(axis),
        vectorized=True,
        n_resamples=np.inf,
    )
    assert result.p_two_sided == pytest.approx(reference.pvalue, abs=EXACT)


def test_tea_tasting():
    """Fisher, The Design of Experiments, 1935, chapter II: 1/70 and 17/70 one sided; fisher_exact."""
    truth, orders = np.array([1, 1, 1, 1, 0, 0, 0, 0]), Design("free", 4).orders()
    assert guess_test(truth, truth, orders).p_greater == pytest.approx(1 / 70, abs=EXACT)
    one_swap = np.array([1, 1, 1, 0, 1, 0, 0, 0])
    result = guess_test(one_swap, truth, orders)
    assert result.p_greater == pytest.approx(17 / 70, abs=EXACT)
    reference = stats.fisher_exact([[3, 1], [1, 3]], alternative="greater")
    assert result.p_greater == pytest.approx(reference.pvalue, abs=EXACT)
    assert stats.fisher_exact([[3, 1], [1, 3]]).pvalue == pytest.approx(34 / 70, abs=EXACT)


def test_guess_interval_is_the_exact_conditional_odds_ratio():
    """scipy.stats.contingency.odds_ratio (conditional, exact): one guess of each kind right multiplies the
    odds by q / (1 - q) twice, so its odds ratio is that ratio squared."""
    truth, guess = np.array([1] * 6 + [0] * 6), np.array([1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 1, 0])
    result = guess_test(guess, truth, Design("free", 6).orders())
    reference = stats.contingency.odds_ratio([[5, 1], [1, 5]], kind="conditional").confidence_interval(0.95)
    for share, ratio in zip(result.interval, (reference.low, reference.high), strict=True):
        assert (share / (1 - share)) ** 2 == pytest.approx(ratio, rel=1e-6)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("pairs", [2, 3, 4, 6])
def test_number_of_orders(kind, pairs):
    """Counting: 4+4 gives 70, 6+6 gives 924, pairs 2**n; every order listed once and drawn alike."""
    if kind == "mirrored" and pairs % 2:
        with pytest.raises(ValueError, match="is not even"):
            Design(kind, pairs)
        return
    design = Design(kind, pairs)
    rows = [tuple(row) for row in design.orders()]
    assert len(set(rows)) == len(rows) == design.count()
    assert all(sum(row) == pairs for row in rows)
    expected = {"free": {4: 70, 6: 924}, "pairs": {6: 64}, "balanced_pairs": {4: 6, 6: 20}, "mirrored": {4: 4}}
    assert design.count() == expected[kind].get(pairs, design.count())


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("pairs", [2, 4, 5])
def test_orders_by_their_definition(kind, pairs):
    """All rows of 0 and 1, kept where the words of the definition hold (enumeration, derived)."""
    if kind == "mirrored" and pairs % 2:
        return
    rules = {
        "free": lambda row: True,
        "pairs": lambda row: all(a != b for a, b in zip(row[::2], row[1::2], strict=True)),
        "balanced_pairs": lambda row: rules["pairs"](row) and sum(row[::2]) in (pairs // 2, pairs - pairs // 2),
        "mirrored": lambda row: all(row[i : i + 4] in ((0, 1, 1, 0), (1, 0, 0, 1)) for i in range(0, 2 * pairs, 4)),
    }
    rows = {row for row in itertools.product((0, 1), repeat=2 * pairs) if sum(row) == pairs and rules[kind](row)}
    design = Design(kind, pairs)
    assert {tuple(row) for row in design.orders().tolist()} == rows and design.count() == len(rows)
    assert all(design.holds(row) == (row in rows) for row in itertools.product((0, 1), repeat=2 * pairs))


@pytest.mark.parametrize(
    ("design", "p"),
    [
        (Design("pairs", 5), 0.0625),
        (Design("pairs", 6), 0.03125),
        (Design("free", 3), 0.1),
        (Design("free", 4), 2 / 70),
        (Design("free", 5), 2 / 252),
        (Design("balanced_pairs", 8), 2 / 70),
    ],
)
def test_smallest_p(design, p):
    """Counting: an order and its mirror image; reached by readings that could not be farther apart."""
    assert design.smallest_p() == pytest.approx(p, abs=EXACT)
    order = design.orders()[1]
    result = randomisation_test(100.0 * order, order, design.orders(), blocks=design.blocks)
    assert result.p_two_sided == pytest.approx(p, abs=EXACT) == result.smallest_p


def drift_contrast(order: tuple[int, ...], exponent: int) -> float:
    """Mean of treatment 1 less mean of treatment 0 when the reading is nothing but drift t**exponent.

    Parameters
    ----------
    order : tuple of int
        Order of 0 and 1; t = 1, 2, ... in its places.
    exponent : int
        1 for a straight drift.
    """
    row = np.asarray(order)
    drift = np.arange(1.0, row.size + 1.0) ** exponent
    return float(drift[row == 1].mean() - drift[row == 0].mean())


@pytest.mark.parametrize(
    ("letters", "contrasts"),
    [("ABAB", (1, 5, 22)), ("AABB", (2, 10, 41)), ("ABBA", (0, -2, -15)), ("ABBABAAB", (0, 0, 12))],
)
def test_order_against_drift(letters, contrasts):
    """Counterbalanced orders: Box, Hunter and Hunter (memory); NIST e-Handbook 5.3.3.2; numbers derived."""
    order = tuple("AB".index(letter) for letter in letters)
    assert [drift_contrast(order, k) for k in (1, 2, 3)] == pytest.approx(contrasts, abs=EXACT)


@pytest.mark.parametrize("pairs", [4, 6, 8])
def test_balanced_pairs_cancel_a_straight_drift(pairs):
    """Any order of the set, estimate and p alike (derived: as many pairs start with the one as the other)."""
    design, rng = Design("balanced_pairs", pairs), np.random.default_rng(5)
    noise, orders = rng.normal(size=2 * pairs), design.orders()
    for order in orders[:: max(1, len(orders) // 10)]:
        assert drift_contrast(tuple(order), 1) == pytest.approx(0, abs=EXACT)
        still = randomisation_test(noise, order, orders, blocks=design.blocks)
        drifting = randomisation_test(noise + 7.0 * np.arange(2 * pairs), order, orders, blocks=design.blocks)
        assert drifting.difference == pytest.approx(still.difference, abs=1e-9)
        assert drifting.p_two_sided == still.p_two_sided
        assert drifting.interval == pytest.approx(still.interval, abs=1e-9)


@pytest.mark.parametrize(
    "design", [Design("balanced_pairs", 5), Design("pairs", 6), Design("free", 4), Design("mirrored", 12)]
)
def test_draws_are_fair(design):
    """Chi-square over the whole set, for the draw that counts and for the sample of simulations."""
    rows = [tuple(row) for row in design.orders()]
    source, number = random.Random(8), 20 * len(rows)
    for drawn in (
        [design.draw(source) for _ in range(number)],
        [tuple(row) for row in design.sample(number, np.random.default_rng(8))],
    ):
        counts = {row: 0 for row in rows}
        for row in drawn:
            counts[row] += 1
        assert stats.chisquare(list(counts.values())).pvalue > 1e-4


@pytest.mark.parametrize(
    "design",
    [
        Design("balanced_pairs", 6),
        Design("balanced_pairs", 7),
        Design("pairs", 6),
        Design("free", 4),
        Design("mirrored", 12),
    ],
)
def test_interval_inverts_the_test(design):
    """Every difference inside is accepted, every one outside refused, by least squares on each order."""
    rng = np.random.default_rng(17)
    orders = design.orders()
    order = orders[int(rng.integers(len(orders)))]
    readings = np.round(rng.normal(10, 1, order.size) + 2.0 * order, 1)
    result = randomisation_test(readings, order, orders, blocks=design.blocks, fits_drift=design.fits_drift, alpha=0.1)
    step = 0.02

    def p(delta):
        return brute_p(readings, order, orders, delta, design.fits_drift, design.blocks)

    assert result.p_two_sided == pytest.approx(p(0.0), abs=EXACT)
    for limit, inward in zip(result.interval, (1, -1), strict=True):
        assert p(limit + inward * step) > 0.1
        assert p(limit - inward * step) <= 0.1


@pytest.mark.parametrize("design", [Design("balanced_pairs", 7), Design("pairs", 6), Design("free", 4)])
@pytest.mark.parametrize("missing", [(), (3,), (0, 4)])
def test_error_rate_by_enumeration(design, missing):
    """With fixed readings, a fierce drift and holes, the share of orders with p <= alpha is at most alpha:
    exactness by enumerating every order that could have been drawn."""
    rng = np.random.default_rng(23)
    readings = np.round(np.linspace(0, 3, design.installations) ** 2 + rng.standard_t(2, design.installations), 1)
    readings[list(missing)] = np.nan
    orders = design.orders()
    results = [
        randomisation_test(readings, o, orders, blocks=design.blocks, fits_drift=design.fits_drift) for o in orders
    ]
    for alpha in (0.05, 0.1, 0.2, 0.5):
        for name in ("p_two_sided", "p_greater", "p_less"):
            assert np.mean([getattr(r, name) <= alpha + 1e-12 for r in results]) <= alpha + 1e-12
    assert np.mean([not r.interval[0] <= 0 <= r.interval[1] for r in results]) <= 0.05


@pytest.mark.slow
def test_sampled_reference_stays_exact():
    """A sample that holds the order used gives p <= alpha with chance at most alpha (seeded)."""
    design, rng, trials = Design("balanced_pairs", 8), np.random.default_rng(29), 2000
    small = 0
    for _ in range(trials):
        order = tuple(design.sample(1, rng)[0])
        reference = design.reference(order, rng, largest=1, sampled=39)
        result = randomisation_test(rng.normal(size=16), np.array(order), reference, blocks=design.blocks)
        small += result.p_two_sided <= 0.1
    assert small / trials <= 0.1 + FIVE_SIGMA * math.sqrt(0.09 / trials)


@pytest.mark.parametrize("design", [Design("balanced_pairs", 8), Design("balanced_pairs", 7), Design("free", 5)])
@pytest.mark.parametrize("pattern", ["same", "alternating", "random", "blocks"])
def test_guess_test_keeps_its_error_rate(design, pattern):
    """Who sees nothing is called seeing with chance <= alpha, whatever the pattern: by enumeration."""
    n = design.installations
    guesses = {
        "same": np.ones(n),
        "alternating": np.arange(n) % 2,
        "blocks": np.arange(n) // 4 % 2,
        "random": np.random.default_rng(2).integers(-1, 2, n),
    }[pattern].astype(int)
    orders = design.orders()
    results = [guess_test(guesses, order, orders) for order in orders]
    assert np.mean([r.p_greater <= 0.05 for r in results]) <= 0.05
    assert np.mean([not r.interval[0] <= 0.5 <= r.interval[1] for r in results]) <= 0.05


@pytest.mark.slow
@pytest.mark.parametrize("share", [0.5, 0.75, 0.9])
def test_guess_interval_covers_a_leak(share):
    """Interval of the chance of a right guess over seeded trials with that chance."""
    design, rng, trials = Design("balanced_pairs", 8), np.random.default_rng(31), 600
    orders, covered = design.orders(), 0
    for _ in range(trials):
        order = orders[int(rng.integers(len(orders)))]
        guesses = np.where(rng.random(order.size) < share, order, 1 - order)
        low, high = guess_test(guesses, order, orders).interval
        covered += low <= share <= high
    assert covered / trials >= 0.95 - 3 * math.sqrt(0.0475 / trials)


def test_guess_chance_by_enumeration():
    """p of guesses in pairs, counted by hand over all 2**4 orders."""
    design = Design("pairs", 4)
    truth, guess = np.array([0, 1, 1, 0, 0, 1, 1, 0]), np.array([0, 1, 1, 1, 0, 1, -1, 0])
    hits = [
        sum(g == v for g, v in zip(guess, row, strict=True) if g >= 0)
        for row in ([v for f in first for v in (f, 1 - f)] for first in itertools.product((0, 1), repeat=4))
    ]
    right = int(((guess == truth) & (guess >= 0)).sum())
    result = guess_test(guess, truth, design.orders())
    assert (result.right, result.guesses) == (right, 7)
    assert result.p_greater == pytest.approx(np.mean(np.array(hits) >= right), abs=EXACT)


def test_missing_installation_takes_its_pair():
    design = Design("pairs", 6)
    order = design.orders()[21]
    readings = 1.0 * order + np.repeat([0.0, 5, -3, 2, 8, 1], 2)
    readings[4] = np.nan
    result = randomisation_test(readings, order, design.orders(), blocks=design.blocks)
    assert (result.used, result.difference) == (10, pytest.approx(1.0))
    assert result.smallest_p == pytest.approx(2 / 32) == result.p_two_sided
    assert result.interval == (-math.inf, math.inf)  # five pairs cannot reach 5 %


def test_nothing_left():
    design = Design("pairs", 2)
    result = randomisation_test(
        np.array([1, np.nan, np.nan, 2]), design.orders()[0], design.orders(), blocks=design.blocks
    )
    assert (result.status, result.p_two_sided) == ("nothing_left", 1.0) and math.isnan(result.difference)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: Design("zigzag", 4), "'zigzag' is unknown; choose one of balanced_pairs"),
        (lambda: Design("pairs", 0), "at least 1 pair"),
        (lambda: Design("free", 20).orders(), "too many to list"),
        (lambda: randomisation_test(np.zeros(3), np.zeros(3), np.zeros((2, 4))), "need orders of as many places"),
        (lambda: randomisation_test(np.zeros(2), np.array([1, 1]), np.array([[0, 1]])), "is not in the set"),
        (lambda: guess_test(np.zeros(3), np.zeros(4), np.zeros((2, 4))), "do not fit orders"),
    ],
)
def test_impossible_input(call, message):
    with pytest.raises(ValueError, match=message):
        call()
