"""Least squares and error propagation against certified reference data and closed forms."""

import numpy as np
import pytest
from scipy import stats

from noseload.solvers.statistics.least_squares import (
    FitError,
    UndeterminedError,
    chi_square_chance,
    coverage_factor,
    fit_linear,
    fit_nonlinear,
    t_chance,
)
from noseload.solvers.statistics.propagation import propagate

# Norris: NIST StRD linear regression, y then x; certified values below (data and values from memory: they
# reproduce each other to all digits, which chance would not)
NORRIS = np.array("""
0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6 778.9 777.0
559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6 557.7 556.0 228.3 228.1
998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1 888.0 887.2 998.5 999.0 778.9 779.0
10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5
""".split(), dtype=float).reshape(-1, 2)  # fmt: skip

# Misra1a: NIST StRD nonlinear regression, y = b1 (1 - exp(-b2 x)); from memory as above
MISRA_X = np.array([77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0])
MISRA_Y = np.array([10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78])


def test_linear_certified():
    """Norris, NIST StRD: coefficients, standard errors and residual standard deviation."""
    y, x = NORRIS.T
    fit = fit_linear(np.stack([np.ones_like(x), x], axis=-1), y, ["b0", "b1"])
    assert fit.value("b0") == pytest.approx(-0.262323073774029, rel=1e-10)
    assert fit.value("b1") == pytest.approx(1.00211681802045, rel=1e-12)
    assert fit.standard_error("b0") == pytest.approx(0.232818234301152, rel=1e-10)
    assert fit.standard_error("b1") == pytest.approx(0.429796848199937e-03, rel=1e-10)
    assert fit.scatter == pytest.approx(0.884796396144373, rel=1e-10)
    assert fit.errors_from == "scatter" and fit.degrees_of_freedom == 34


@pytest.mark.parametrize("start", [(500.0, 1e-4), (250.0, 5e-4)])
def test_nonlinear_certified(start):
    """Misra1a, NIST StRD, from both published starts; bounded effort."""
    fit = fit_nonlinear(
        lambda b: b[0] * (1 - np.exp(-b[1] * MISRA_X)), MISRA_Y, start, ["b1", "b2"], scales=[100.0, 1e-4]
    )
    assert fit.values == pytest.approx([2.3894212918e02, 5.5015643181e-04], rel=1e-7)
    assert fit.standard_errors == pytest.approx([2.7070075241, 7.2668688436e-06], rel=1e-5)
    assert fit.gradient < 1e-4
    assert fit.evaluations < 300


def test_stated_errors_and_widening():
    """Weighted mean: variance 1 / sum of weights; contradicted errors are widened by the Birge ratio."""
    errors = np.array([1.0, 2.0, 2.0])
    fit = fit_linear(np.ones((3, 1)), np.array([10.0, 11.0, 9.0]), ["mean"], errors=errors)
    assert fit.errors_from == "stated"
    assert fit.standard_error("mean") == pytest.approx((1 + 0.25 + 0.25) ** -0.5, rel=1e-12)
    assert fit.interval("mean")[1] - fit.value("mean") == pytest.approx(1.959964 * fit.standard_error("mean"), rel=1e-6)
    wide = fit_linear(np.ones((3, 1)), np.array([10.0, 20.0, 0.0]), ["mean"], errors=errors)
    assert wide.errors_from == "stated, widened"
    assert wide.standard_error("mean") / fit.standard_error("mean") == pytest.approx(np.sqrt(wide.chi_square / 2))


def test_quantiles_against_reference_library():
    """t, normal and chi-square against scipy.stats."""
    assert coverage_factor(5) == pytest.approx(stats.t.ppf(0.975, 5), rel=1e-12)
    assert coverage_factor(np.inf) == pytest.approx(stats.norm.ppf(0.975), rel=1e-12)
    assert t_chance(2.3, 7) == pytest.approx(2 * stats.t.sf(2.3, 7), rel=1e-10)
    assert chi_square_chance(12.0, 5) == pytest.approx(stats.chi2.sf(12.0, 5), rel=1e-10)
    assert chi_square_chance(0.0, 0) == 1.0


def test_undetermined_names_the_quantity():
    x = np.arange(6.0)
    with pytest.raises(UndeterminedError, match="slope and twice apart") as caught:
        fit_linear(np.stack([np.ones(6), x, 2 * x], axis=-1), x, ["offset", "slope", "twice"])
    assert caught.value.names == ("slope", "twice")
    with pytest.raises(UndeterminedError, match="do not depend on idle"):
        fit_linear(np.stack([np.ones(6), np.zeros(6)], axis=-1), x, ["offset", "idle"])
    with pytest.raises(UndeterminedError, match="take at least 3"):
        fit_linear(np.stack([np.ones(2), x[:2]], axis=-1), x[:2], ["offset", "slope"])
    with pytest.raises(UndeterminedError, match="cannot tell a and b apart"):
        fit_linear(np.array([[1.0, 1.0]]), np.array([2.0]), ["a", "b"], errors=1.0)


def test_fit_failures_are_named():
    with pytest.raises(FitError, match="not finite"):
        fit_nonlinear(lambda p: np.full(4, np.nan), np.ones(4), [1.0], ["a"], scales=[1.0])
    x = np.linspace(0, 1, 8)
    with pytest.raises(FitError, match="did not settle"):
        fit_nonlinear(
            lambda b: b[0] * np.exp(b[1] * x), np.exp(9 * x), [1.0, -9.0], ["a", "b"], scales=[1.0, 1.0], iterations=1
        )


def test_propagation_against_guide():
    """JCGM 100:2008: products add relative variances; Welch-Satterthwaite G.4.1, worked by hand.

    u1 = 1 with 4, u2 = 2 with 9 degrees of freedom: (1 + 4)^2 / (1 / 4 + 16 / 9) = 12.328767.
    """
    result = propagate(lambda p: p[0] + p[1], [3.0, 4.0], [(1.0, 4), (4.0, 9)])
    assert result.standard_error == pytest.approx(np.sqrt(5.0), rel=1e-8)
    assert result.degrees_of_freedom == pytest.approx(12.328767, rel=1e-6)
    product = propagate(lambda p: p[0] * p[1], [3.0, 4.0], [(np.array([[0.01, 0.005], [0.005, 0.04]]), np.inf)])
    assert product.standard_error**2 == pytest.approx(16 * 0.01 + 9 * 0.04 + 2 * 12 * 0.005, rel=1e-8)
