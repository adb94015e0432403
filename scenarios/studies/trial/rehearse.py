"""Rehearse a trial: the whole of it simulated many times, judged by the very functions that will judge it."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.solvers.statistics.distributions import wilson
from noseload.studies.result import Result

from .analysis import References, analyse
from .document import TrialPlan, plan_document
from .errors import TrialPlanError
from .schedule import TrialKey, draw_key
from .words import prediction_words, verdict_kind


@dataclass(frozen=True)
class RehearsalOptions:
    """What may happen on the day.

    Attributes
    ----------
    trials : int
        Simulated trials of each true difference.
    drift : float or None
        Straight drift from one installation to the next, unit of the outcome; None: the plan's.
    bend : float
        Further drift, growing with the square of the run: its size at the last installation.
    leak : float
        Share of installations in which whoever drives knows what is fitted.
    bias : float
        Shift of the reading, in favour of the change, where they know.
    missing : float
        Chance that an installation goes missing.
    scatter_factor : float
        Scatter in place of the plan's, as a factor.
    seed : int
    """

    trials: int = 400
    drift: float | None = None
    bend: float = 0.0
    leak: float = 0.0
    bias: float = 0.0
    missing: float = 0.0
    scatter_factor: float = 1.0
    seed: int = 1


@dataclass(frozen=True)
class RehearsedTruth:
    """What would be concluded if the true difference were this.

    Shares are of all simulated trials; `right_difference` and `wrong_difference` are differences reported as
    measured with the sign of the truth and against it (any, if the truth is none).
    """

    name: str
    true: float
    trials: int
    right_difference: int
    wrong_difference: int
    called_smaller: int
    undecided: int
    wrong: int
    """Trials with anything wrong in the verdict: a false difference, ``smaller`` although the truth would be
    noticed, or the prediction refused although the truth lies within it."""
    covered: int
    """Trials whose interval holds the true difference."""
    guesses_alarm: int
    prediction_refused: int
    control_seen: int | None
    typical_interval: tuple[float, float]
    """Medians of the two limits; infinite where most trials have none."""

    def share(self, name: str) -> tuple[float, float, float]:
        """Share of trials by field name, with its 95 % score interval."""
        count = int(getattr(self, name))
        return (count / self.trials, *wilson(count, self.trials))


@dataclass(frozen=True)
class Rehearsal(Result):
    """Rehearsed trials of one plan."""

    picture = "trial.results.plot_rehearsal"
    plan: TrialPlan
    options: RehearsalOptions
    truths: tuple[RehearsedTruth, ...]

    def to_dict(self) -> dict[str, Any]:
        """The JSON document."""
        unit = self.plan.kind.unit
        fields = (
            "right_difference",
            "wrong_difference",
            "called_smaller",
            "undecided",
            "wrong",
            "covered",
            "guesses_alarm",
            "prediction_refused",
        )
        truths = []
        for truth in self.truths:
            row: dict[str, object] = {"name": truth.name, f"true_{unit}": truth.true, "trials": truth.trials}
            row.update({f"share_{name}": truth.share(name)[0] for name in fields})
            row["share_control_seen"] = None if truth.control_seen is None else truth.share("control_seen")[0]
            limits = [v if math.isfinite(v) else None for v in truth.typical_interval]
            row[f"typical_interval_{unit}"] = limits
            truths.append(row)
        options = {name: getattr(self.options, name) for name in RehearsalOptions.__dataclass_fields__}
        body = {"status": "done", "installations": self.plan.installations, "truths": truths}
        return plan_document(self.plan, "trial rehearse", body, seed=self.options.seed, options=options)


def rehearse_trial(
    plan: TrialPlan, options: RehearsalOptions | None = None, *, progress: Callable[[int, int], None] | None = None
) -> Rehearsal:
    """Simulate the trial for no difference, for the difference worth finding and for the predicted one.

    Parameters
    ----------
    plan : TrialPlan
        Sealed or not; its own order is not used.
    options : RehearsalOptions, optional
    progress : callable, optional
        Called with (simulated trials done, trials).

    Raises
    ------
    TrialPlanError
        Options that are not possible.
    """
    options = options or RehearsalOptions()
    faults = _faults(options)
    if faults:
        raise TrialPlanError("the rehearsal", faults)
    truths = [("none", 0.0), ("worth finding", plan.difference)]
    if plan.prediction is not None and abs(plan.prediction.difference - plan.difference) > 1e-9:
        truths.append(("predicted", plan.prediction.difference))
    references, done = References(), []
    for i, (name, true) in enumerate(truths):

        def report(trials: int, i: int = i) -> None:
            if progress is not None:
                progress(i * options.trials + trials, len(truths) * options.trials)

        done.append(_rehearse_one(plan, options, name, true, references, report))
    return Rehearsal(plan, options, tuple(done))


def _faults(options: RehearsalOptions) -> list[str]:
    faults = []
    if not 20 <= options.trials <= 100_000:
        faults.append(f"{options.trials} trials: take 20 to 100000")
    for name, value in (("leak", options.leak), ("missing", options.missing)):
        if not 0.0 <= value <= 1.0:
            faults.append(f"{name} is {value:g}: it is a share from 0 to 1")
    if not 0.0 < options.scatter_factor <= 100.0:
        faults.append(f"the scatter factor is {options.scatter_factor:g}: it must lie between 0 and 100")
    return faults


def _rehearse_one(
    plan: TrialPlan,
    options: RehearsalOptions,
    name: str,
    true: float,
    references: References,
    report: Callable[[int], None],
) -> RehearsedTruth:
    # The same seed for every truth: they differ by the truth alone.
    rng, source = np.random.default_rng(options.seed), random.Random(options.seed)
    counts = dict.fromkeys(
        ("right", "false", "smaller", "wrong", "undecided", "covered", "alarm", "refused", "control"), 0
    )
    limits = []
    noticed = abs(true) >= plan.noticeable
    within = plan.prediction is not None and abs(true - plan.prediction.difference) <= plan.prediction.margin
    for trial in range(options.trials):
        key = draw_key(plan.composition, source=source)
        means, guesses = simulate_trial(plan, key, true, options, rng)
        analysis = analyse(plan, key, means, guess_before=guesses, references=references)
        seen = analysis.control_seen(plan.control_effect)
        kind = verdict_kind(plan, analysis.main, control_seen=seen)
        found, small = kind in ("difference", "both"), kind in ("smaller", "both")
        right = analysis.main.difference * true > 0.0
        refused = prediction_words(plan, analysis.main, control_seen=seen)[0] is False
        counts["right"] += found and right
        counts["false"] += found and not right
        counts["smaller"] += small
        counts["wrong"] += (found and not right) or (small and noticed) or (refused and within)
        counts["undecided"] += kind == "undecided"
        low, high = analysis.main.interval
        limits.append((low, high))
        counts["covered"] += low <= true <= high
        counts["alarm"] += analysis.guess_before is not None and analysis.guess_before.p_greater <= plan.alpha
        counts["refused"] += refused
        counts["control"] += bool(seen)
        report(trial + 1)
    middle = [float(np.quantile([pair[k] for pair in limits], 0.5, method="nearest")) for k in (0, 1)]
    return RehearsedTruth(
        name,
        true,
        options.trials,
        counts["right"],
        counts["false"],
        counts["smaller"],
        counts["undecided"],
        counts["wrong"],
        counts["covered"],
        counts["alarm"],
        counts["refused"],
        counts["control"] if plan.control_pairs else None,
        (middle[0], middle[1]),
    )


def simulate_trial(
    plan: TrialPlan, key: TrialKey, true: float, options: RehearsalOptions, rng: np.random.Generator
) -> tuple[np.ndarray, np.ndarray]:
    """Means of the installations and guesses of one simulated trial, shapes (n,) and (n,).

    Readings in steps are rounded down to the step, shares are drawn as passes and fails.
    """
    count, repeats, kind = plan.installations, plan.repeats, plan.kind
    parts, arms = np.array(key.parts), np.array(key.arms)
    change = (parts == "main") & (arms == 1)
    effect = np.where(change, true, 0.0)
    effect += np.where((parts == "control") & (arms == 1), plan.control_effect or 0.0, 0.0)
    knows = rng.random(count) < options.leak
    guesses = np.where(knows, change, rng.integers(0, 2, count)).astype(int)
    effect += np.where(knows & change, options.bias, 0.0)
    place = np.arange(count)
    drift = (plan.drift if options.drift is None else options.drift) * place
    drift = drift + options.bend * (place / max(1, count - 1)) ** 2
    factor = options.scatter_factor
    level = effect + drift + rng.normal(0.0, plan.scatter.installation_sd * factor, count)
    if plan.outcome == "pass_fail":
        means = rng.binomial(repeats, np.clip(plan.pass_share + level, 0.0, 1.0)) / repeats
    else:
        readings = level[:, None] + rng.normal(0.0, plan.scatter.reading_sd * factor, (count, repeats))
        if kind.step:
            start = rng.uniform(0.0, kind.step)  # where the truth lies between two steps is anyone's guess
            readings = np.floor((readings + start) / kind.step) * kind.step
        means = readings.mean(axis=1)
    means[rng.random(count) < options.missing] = np.nan
    return means, guesses
