"""How much a trial of a given size can find: power by simulating the very test that will be used."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from noseload.solvers.statistics.distributions import power_pairs, smallest_sample
from noseload.solvers.statistics.orders import Design
from noseload.solvers.statistics.randomisation import Bounds, batch_limits

SIMULATED_TRIALS = 2000
"""Standard error of a power of 80 %: 0.9 %."""
REFERENCE_ORDERS = 1000
"""Orders a simulated trial is tested against; more change the power by less than its standard error."""


@dataclass(frozen=True)
class Scatter:
    """Standard deviations of a reading, unit of the outcome.

    Attributes
    ----------
    installation_sd : float
        From one fitting of the part to the next.
    reading_sd : float
        Between repeats without a new fitting.
    installations : int or None
        Number of fittings it was found from; None where it was given.
    words : str
        Where it comes from.
    """

    installation_sd: float
    reading_sd: float = 0.0
    installations: int | None = None
    words: str = "given"

    def of_mean(self, repeats: int, *, step: float = 0.0) -> float:
        """Standard deviation of the mean of `repeats` readings of one installation.

        A reading in steps adds the variance of a uniform law, step**2 / 12, to each reading.
        """
        reading = self.reading_sd**2 + (step**2 / 12.0)
        return math.sqrt(self.installation_sd**2 + reading / repeats)


@dataclass(frozen=True)
class Reach:
    """What a design can find, from the limits of many simulated trials with no difference."""

    bounds: Bounds

    def power(self, difference: float) -> float:
        """Chance that a true `difference` is found, with its sign."""
        if difference < 0.0:
            return float(np.mean(self.bounds.upper + difference < 0.0))
        return float(np.mean(self.bounds.lower + difference > 0.0))

    def power_smaller(self, bound: float, difference: float = 0.0) -> float:
        """Chance that a true `difference` is shown to lie within -bound..bound."""
        low, high = self.bounds.one_sided_lower + difference, self.bounds.one_sided_upper + difference
        return float(np.mean((low > -bound) & (high < bound)))

    def smallest_difference(self, power: float) -> float:
        """Smallest difference found with at least this power; inf where none is."""
        return float(np.quantile(-self.bounds.lower, power, method="higher"))


def find_reach(
    design: Design,
    scatter_sd: float,
    *,
    alpha: float = 0.05,
    drift: float = 0.0,
    trials: int = SIMULATED_TRIALS,
    seed: int = 1,
) -> Reach:
    """Simulate trials with no difference and keep their limits.

    A true difference only shifts the limits, so one simulation serves every difference.

    Parameters
    ----------
    design : Design
    scatter_sd : float
        Standard deviation of an installation's mean.
    alpha : float
        Error rate of the trial.
    drift : float
        Straight drift from one installation to the next.
    trials, seed : int
        Number of simulated trials and their seed.
    """
    unit = _unit_reach(design, alpha, drift / scatter_sd, trials, seed).bounds
    limits = (unit.lower, unit.upper, unit.one_sided_lower, unit.one_sided_upper)
    return Reach(Bounds(*(scatter_sd * limit for limit in limits)))


@lru_cache(maxsize=128)
def _unit_reach(design: Design, alpha: float, drift: float, trials: int, seed: int) -> Reach:
    """Limits in units of the scatter: they scale with it, so sizes of one plan share them."""
    rng = np.random.default_rng(seed)
    used, orders = _orders(design, trials, rng)
    noise = rng.normal(0.0, 1.0, used.shape) + drift * np.arange(design.installations)
    return Reach(_limits(design, noise, used, orders, alpha))


@lru_cache(maxsize=128)
def power_of_shares(
    design: Design,
    shares: tuple[float, float],
    repeats: int,
    *,
    alpha: float = 0.05,
    bound: float | None = None,
    trials: int = 2000,
    seed: int = 1,
) -> tuple[float, float]:
    """Power of a pass-or-fail trial: to find the difference, and to show that it is within `bound`.

    Parameters
    ----------
    shares : tuple of float
        Chance to pass with the reference and with the change.
    repeats : int
        Runs of one installation.
    """
    rng = np.random.default_rng(seed)
    used, orders = _orders(design, trials, rng)
    readings = rng.binomial(repeats, np.asarray(shares)[used]) / repeats
    limits = _limits(design, readings, used, orders, alpha)
    found = limits.lower > 0.0 if shares[1] >= shares[0] else limits.upper < 0.0
    inside = (limits.one_sided_lower > -(bound or 0.0)) & (limits.one_sided_upper < (bound or 0.0))
    return float(found.mean()), float(inside.mean())


def _orders(design: Design, trials: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    used = design.sample(trials, rng)
    few = design.count() <= REFERENCE_ORDERS
    return used, design.orders() if few else design.sample(REFERENCE_ORDERS, rng)


def _limits(design: Design, readings: np.ndarray, used: np.ndarray, orders: np.ndarray, alpha: float) -> Bounds:
    # In a whole set the order used is there already; batch_limits adds it, which a sample needs.
    whole = orders.shape[0] == design.count()
    return batch_limits(
        readings, used, orders, blocks=design.blocks, fits_drift=design.fits_drift, alpha=alpha, adds_used=not whole
    )


def textbook_pairs(difference: float, scatter_sd: float, *, alpha: float, power: float) -> int | None:
    """Pairs by the noncentral t of a paired t test: what a handbook would say (None beyond a million)."""
    effect = abs(difference) / (scatter_sd * math.sqrt(2.0))
    try:
        return smallest_sample(lambda n: power_pairs(effect, n, alpha=alpha), power)
    except ValueError:
        return None
