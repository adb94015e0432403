"""How well hidden was the order? Exact test and interval for guesses of it.

Guesses within a block are not independent (who senses a change knows the partner's setting too), so the
count of right guesses is judged against the orders that could have been drawn, not against coin tosses.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.optimize import brentq

LARGEST_LOG_ODDS = 40.0


@dataclass(frozen=True)
class GuessResult:
    """Right guesses, their chance and the share of right guesses that they support."""

    right: int
    guesses: int
    p_greater: float
    """Chance of at least so many right guesses from one who sees nothing, whatever the pattern of guesses."""
    p_less: float
    interval: tuple[float, float]
    """Interval of the chance that a guess is right; (0, 1) where the guesses cannot tell."""
    confidence: float


def guess_test(guesses: np.ndarray, order: np.ndarray, orders: np.ndarray, *, alpha: float = 0.05) -> GuessResult:
    """Exact conditional test of guesses against the set of orders.

    Parameters
    ----------
    guesses : ndarray, shape (n,)
        0 or 1 per installation, -1 where no guess was made.
    order : ndarray of 0 and 1, shape (n,)
        The order used.
    orders : ndarray of 0 and 1, shape (s, n)
        The orders that could have been drawn, equally likely.
    alpha : float
        Error rate of the interval.

    Returns
    -------
    GuessResult

    Raises
    ------
    ValueError
        Shapes that do not fit.

    Notes
    -----
    If each guess is right with chance q whatever the order, the order given the guesses has a chance
    proportional to ``(q / (1 - q))**m`` with m its number of right guesses; q = 1/2 gives all orders the
    same. The interval inverts the two tails of that law. For a free order and as many guesses of each kind
    it is Fisher's exact test of a two-by-two table.

    References
    ----------
    Fisher, The Design of Experiments, 1935, chapter II; Cornfield, Proc. 3rd Berkeley Symposium, 1956, for
    the conditional interval (both from memory).
    """
    guesses, order, orders = np.asarray(guesses), np.asarray(order), np.asarray(orders)
    if guesses.shape != order.shape or orders.ndim != 2 or orders.shape[1] != order.size:
        raise ValueError(f"{guesses.size} guesses do not fit orders of shape {orders.shape}")
    made = guesses >= 0
    matches = (orders[:, made] == guesses[made]).sum(axis=1)
    right = int((order[made] == guesses[made]).sum())
    values, counts = np.unique(matches, return_counts=True)
    interval, greater, less = _found(tuple(values.tolist()), tuple(counts.tolist()), right, alpha)
    return GuessResult(right, int(made.sum()), greater, less, interval, 1.0 - alpha)


@lru_cache(maxsize=1024)
def _found(
    matches: tuple[int, ...], orders: tuple[int, ...], right: int, alpha: float
) -> tuple[tuple[float, float], float, float]:
    """Interval of the chance that a guess is right, and both tails at one half; kept, because a rehearsal asks for few thousands of times.

    `matches` are the numbers of right guesses that so many `orders` would give.
    """
    values, counts = np.array(matches), np.array(orders)
    log_counts = np.log(counts / counts.sum())

    def upper_tail(log_odds: float) -> float:
        return _share(values >= right, values, log_counts, log_odds)

    def lower_tail(log_odds: float) -> float:
        return _share(values <= right, values, log_counts, log_odds)

    low, high = 0.0, 1.0
    if right > values[0]:
        low = _logistic(brentq(lambda t: upper_tail(t) - alpha / 2, -LARGEST_LOG_ODDS, LARGEST_LOG_ODDS))
    if right < values[-1]:
        high = _logistic(brentq(lambda t: lower_tail(t) - alpha / 2, -LARGEST_LOG_ODDS, LARGEST_LOG_ODDS))
    return (low, high), upper_tail(0.0), lower_tail(0.0)


def _share(chosen: np.ndarray, values: np.ndarray, log_counts: np.ndarray, log_odds: float) -> float:
    weights = log_counts + log_odds * values
    weights = np.exp(weights - weights.max())
    return float(weights[chosen].sum() / weights.sum())


def _logistic(log_odds: float) -> float:
    return float(1.0 / (1.0 + np.exp(-log_odds)))
