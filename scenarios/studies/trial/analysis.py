"""The numbers of a trial: main difference, control, A against A, guesses and drift, from readings by run."""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from noseload.solvers.statistics.guessing import GuessResult, guess_test
from noseload.solvers.statistics.orders import Design
from noseload.solvers.statistics.randomisation import (
    RandomisationResult,
    Scores,
    find_scores,
    judge_scores,
    residuals,
    whole_blocks,
)

from .document import TrialPlan
from .schedule import TrialKey


@dataclass(frozen=True)
class SideFinding:
    """Positive control or A against A: difference with a t interval on the scatter of the whole trial."""

    difference: float
    interval: tuple[float, float]
    pairs: int
    p_exact: float
    smallest_p: float


@dataclass(frozen=True)
class DriftFinding:
    """Straight drift from one installation to the next, with a t interval."""

    slope: float
    interval: tuple[float, float]


@dataclass(frozen=True)
class Analysis:
    """Everything that the readings say, before it is put into words."""

    main: RandomisationResult
    scores: Scores
    control: SideFinding | None
    same: SideFinding | None
    guess_before: GuessResult | None
    guess_after: GuessResult | None
    drift: DriftFinding | None
    scatter_sd: float
    """Standard deviation of an installation's mean around its setup, unit of the outcome."""
    missing: tuple[int, ...]
    """Runs without a usable mean, from 1."""

    def control_seen(self, effect: float | None) -> bool | None:
        """True where the control's interval leaves zero on the predicted side; None without a control."""
        if self.control is None or effect is None:
            return None
        low, high = self.control.interval
        return low > 0.0 if effect > 0.0 else high < 0.0


@dataclass
class References:
    """Orders to test against, listed once for many trials of one plan."""

    lists: dict[Design, np.ndarray] = field(default_factory=dict)

    def of(self, design: Design, order: np.ndarray, seed: int) -> np.ndarray:
        """The whole set, or a sample of it that holds `order`."""
        whole = design.reference_is_whole()
        if design not in self.lists and whole:
            self.lists[design] = design.orders()
        if whole:
            return self.lists[design]
        return design.reference(tuple(order.tolist()), np.random.default_rng(seed))


def analyse(
    plan: TrialPlan,
    key: TrialKey,
    means: np.ndarray,
    *,
    guess_before: np.ndarray | None = None,
    guess_after: np.ndarray | None = None,
    references: References | None = None,
) -> Analysis:
    """Analyse the means of the installations.

    Parameters
    ----------
    plan, key
        Checked against their seal.
    means : ndarray, shape (n,)
        Mean of each run in time, unit of the outcome, nan where missing.
    guess_before, guess_after : ndarray of int, shape (n,), optional
        1: the change is fitted, 0: it is not, -1: no guess.
    references : References, optional
        Shared between many analyses of one plan.
    """
    references = references or References()
    seed = int.from_bytes(hashlib.sha256(plan.commitment.encode()).digest()[:8], "big")
    design = plan.composition.main
    places, order = key.places("main"), key.order("main")
    orders = references.of(design, order, seed)
    scores = find_scores(means[places], order, orders, blocks=design.blocks, fits_drift=design.fits_drift)
    squares, degrees = 0.0, 0
    for part in ("main", "control", "same"):
        part_squares, part_degrees = _residual_squares(plan, key, part, means)
        squares, degrees = squares + part_squares, degrees + part_degrees
    scatter = math.sqrt(squares / degrees) if degrees else math.nan
    sides = {part: _side(plan, key, part, means, scatter, degrees, references) for part in ("control", "same")}
    guesses = [
        None
        if guess is None or not (guess[places] >= 0).any()
        else guess_test(guess[places], order, orders, alpha=plan.alpha)
        for guess in (guess_before, guess_after)
    ]
    return Analysis(
        main=judge_scores(scores, alpha=plan.alpha),
        scores=scores,
        control=sides["control"],
        same=sides["same"],
        guess_before=guesses[0],
        guess_after=guesses[1],
        drift=_drift(key, means, plan.alpha),
        scatter_sd=scatter,
        missing=tuple(int(i) + 1 for i in np.flatnonzero(~np.isfinite(means))),
    )


@lru_cache(maxsize=256)
def _student(alpha: float, degrees: int) -> float:
    """Two-sided quantile of Student's t; kept, because a rehearsal asks for few of them thousands of times."""
    from scipy import stats

    return float(stats.t.ppf(1.0 - alpha / 2.0, degrees))


def _residual_squares(plan: TrialPlan, key: TrialKey, part: str, means: np.ndarray) -> tuple[float, int]:
    """Sum of squares around block means and the treatment (and drift where fitted), with its degrees of freedom."""
    design = plan.composition.design(part)
    if design is None:
        return 0.0, 0
    values, order = means[key.places(part)], key.order(part)
    used = whole_blocks(design.blocks, np.isfinite(values), fits_drift=design.fits_drift)
    if not used.any():
        return 0.0, 0
    rows = np.vstack([order.astype(float), np.where(used, values, 0.0)])
    left = residuals(rows, design.blocks, used, fits_drift=design.fits_drift)
    square = float(left[0] @ left[0])
    rest = left[1] - (left[0] * (left[0] @ left[1]) / square if square else 0.0)
    blocks = np.unique(design.blocks[used]).size
    degrees = int(used.sum()) - blocks - int(design.fits_drift) - (1 if square else 0)
    return (float(rest @ rest), degrees) if degrees > 0 else (0.0, 0)


def _side(
    plan: TrialPlan, key: TrialKey, part: str, means: np.ndarray, scatter: float, degrees: int, references: References
) -> SideFinding | None:
    design = plan.composition.design(part)
    if design is None:
        return None
    order = key.order(part)
    orders = references.of(design, order, 0)
    result = judge_scores(find_scores(means[key.places(part)], order, orders, blocks=design.blocks), alpha=plan.alpha)
    pairs = result.used // 2
    reach = math.inf
    if pairs and degrees:
        reach = scatter * math.sqrt(2.0 / pairs) * _student(plan.alpha, degrees)
    interval = (result.difference - reach, result.difference + reach) if pairs else (-math.inf, math.inf)
    return SideFinding(result.difference, interval, pairs, result.p_two_sided, result.smallest_p)


def _drift(key: TrialKey, means: np.ndarray, alpha: float) -> DriftFinding | None:
    """Least squares of the means on the run number beside what was fitted."""
    fitted = np.array(
        [
            0 if part == "same" or arm == 0 else 1 if part == "main" else 2
            for part, arm in zip(key.parts, key.arms, strict=True)
        ]
    )
    present = np.isfinite(means)
    levels = np.unique(fitted[present])
    columns = [np.arange(means.size, dtype=float), *[(fitted == level).astype(float) for level in levels]]
    design = np.column_stack(columns)[present]
    degrees = int(present.sum()) - design.shape[1]
    if degrees < 1 or np.linalg.matrix_rank(design) < design.shape[1]:
        return None
    coefficients, *_ = np.linalg.lstsq(design, means[present], rcond=None)
    rest = means[present] - design @ coefficients
    variance = float(rest @ rest) / degrees * float(np.linalg.inv(design.T @ design)[0, 0])
    reach = math.sqrt(variance) * _student(alpha, degrees)
    slope = float(coefficients[0])
    return DriftFinding(slope, (slope - reach, slope + reach))
