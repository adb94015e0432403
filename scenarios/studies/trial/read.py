"""Read a trial honestly: seal first, then control, difference, equivalence, guesses, drift and the verdict."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from noseload.solvers.statistics.guessing import GuessResult
from noseload.solvers.statistics.randomisation import RandomisationResult, combine_scores, judge_scores
from noseload.studies.result import Result

from .analysis import Analysis, SideFinding, analyse
from .document import TrialPlan, plan_document
from .errors import ReadingsError
from .files import kept_commitment, read_plan, read_sealed
from .names import COMMITMENT_FILE, FITTINGS_FILE, READINGS_FILE
from .plausible import check_plausible
from .readings import Readings, check_repeats, read_fittings, read_readings
from .schedule import TrialKey
from .words import prediction_words, verdict_kind, verdict_words


@dataclass(frozen=True)
class RunRow:
    """One run with what was fitted, key opened."""

    run: int
    code: str
    part: str
    fitted: str
    mean: float | None


@dataclass(frozen=True)
class Looks:
    """Earlier trials of the same question, apart and together."""

    number: int
    earlier: tuple[tuple[str, RandomisationResult], ...]
    """Commitment and result of each, first look first."""
    together: RandomisationResult
    chance_of_false_find: float
    """Chance that at least one of so many looks finds a difference if there is none, at most."""


@dataclass(frozen=True)
class TrialResult(Result):
    """A trial read against its seal.

    Attributes
    ----------
    plan : TrialPlan
    analysis : Analysis
    rows : tuple of RunRow
    kind : str
        ``difference``, ``smaller``, ``both`` or ``undecided``.
    verdict : str
        The verdict in words, with vehicle, surface and grade.
    agrees : bool or None
        Whether prediction and trial agree; None without a prediction.
    prediction_words : str
    control_seen : bool or None
    looks : Looks or None
    fitted_means : dict
        What else the change moved: ride height and pinion angle by what was fitted, where they were read.
    notes : tuple of str
        What a reader must know beside the verdict.
    """

    picture = "trial.results.plot_trial"
    plan: TrialPlan
    analysis: Analysis
    rows: tuple[RunRow, ...]
    kind: str
    verdict: str
    agrees: bool | None
    prediction_words: str
    control_seen: bool | None
    looks: Looks | None
    fitted_means: dict[str, dict[str, float]]
    notes: tuple[str, ...]
    compared_with: str | None
    """What the sealed commitment was compared with: ``posted``, ``commitment.txt``, or nothing."""

    @property
    def headline(self) -> str:
        """The verdict, after the disagreement with the prediction if there is one."""
        return f"{self.prediction_words} {self.verdict}" if self.agrees is False else self.verdict

    def to_dict(self) -> dict[str, Any]:
        """The JSON document."""
        plan, analysis, unit = self.plan, self.analysis, self.plan.kind.unit
        body = {
            "status": self.kind,
            "commitment": plan.commitment,
            "compared_with": self.compared_with,
            "headline": self.headline,
            "verdict": self.verdict,
            "prediction_agrees": self.agrees,
            "prediction_words": self.prediction_words,
            "control_seen": self.control_seen,
            "control": _side_dict(analysis.control, unit),
            "main": _result_dict(analysis.main, unit),
            f"noticeable_{unit}": plan.noticeable,
            f"measurable_{unit}": plan.measurable,
            f"prediction_{unit}": None if plan.prediction is None else plan.prediction.difference,
            "same_against_same": _side_dict(analysis.same, unit),
            "guess_before": _guess_dict(analysis.guess_before),
            "guess_after": _guess_dict(analysis.guess_after),
            "drift": None
            if analysis.drift is None
            else {
                f"slope_{unit}_per_installation": _number(analysis.drift.slope),
                f"interval_{unit}_per_installation": [_number(v) for v in analysis.drift.interval],
            },
            f"scatter_sd_{unit}": _number(analysis.scatter_sd),
            "missing_runs": list(analysis.missing),
            "exclusion_rule": plan.exclusion_rule,
            "looks": _looks_dict(self.looks, unit),
            "fitted_means": self.fitted_means,
            "notes": list(self.notes),
            "runs": [
                {"run": r.run, "code": r.code, "part": r.part, "fitted": r.fitted, f"mean_{unit}": r.mean}
                for r in self.rows
            ],
        }
        return plan_document(plan, "trial read", body, seed=plan.seed)


def read_trial(
    folder: str | os.PathLike,
    *,
    readings: str | os.PathLike | None = None,
    key_file: str | os.PathLike | None = None,
    posted: str | None = None,
    earlier: Sequence[str | os.PathLike] = (),
) -> TrialResult:
    """Open the key of a trial and read its result.

    Parameters
    ----------
    folder : path
        Folder that `write_trial` wrote.
    readings : path, optional
        CSV of readings; ``readings.csv`` in the folder by default.
    key_file : path, optional
        Key file, where it was kept elsewhere.
    posted : str, optional
        The commitment as it was posted.
    earlier : sequence of path
        Folders of earlier looks at the same question, first look first.

    Returns
    -------
    TrialResult

    Raises
    ------
    TrialFileError, SealError, ReadingsError, TrialPlanError
        Each with every fault found; nothing is judged before everything fits.
    """
    _check_blind(folder, readings)
    plan, key = read_sealed(folder, key_file=key_file, posted=posted)
    compared = "posted" if posted is not None else None if kept_commitment(folder) is None else COMMITMENT_FILE
    table = _readings_of(folder, plan, key, readings)
    analysis = analyse(plan, key, table.means(), guess_before=table.guess_before, guess_after=table.guess_after)
    before = []
    for path in earlier:
        other_plan, other_key = read_sealed(path)
        other = _readings_of(path, other_plan, other_key, None)
        before.append((other_plan, analyse(other_plan, other_key, other.means())))
    for older, newer in pairwise([*(other_plan for other_plan, _ in before), plan]):
        check_repeats(newer, older)
    found = _judge(plan, key, table, analysis, _looks(plan, analysis, before), _fitted_means(folder, plan, key))
    return replace(found, compared_with=compared)


def _check_blind(folder: str | os.PathLike, file: str | os.PathLike | None) -> None:
    """Plausibility of the readings, judged before the key is opened; other faults wait until the seal is checked."""
    plan = read_plan(folder)
    path = Path(folder) / READINGS_FILE if file is None else file
    try:
        table = read_readings(path, plan)
    except ReadingsError:
        return
    check_plausible(table, plan, str(path))


def _readings_of(folder: str | os.PathLike, plan: TrialPlan, key: TrialKey, file: str | os.PathLike | None) -> Readings:
    path = Path(folder) / READINGS_FILE if file is None else file
    secret = [plan.change, *([] if plan.reference == "base" else [plan.reference]), *key.holes]
    return read_readings(path, plan, secret_words=secret)


def _fitted_name(plan: TrialPlan, part: str, arm: int) -> str:
    if arm == 0 or part == "same":
        return plan.reference
    return plan.change if part == "main" else f"{plan.reference} with control"


def _judge(
    plan: TrialPlan,
    key: TrialKey,
    table: Readings,
    analysis: Analysis,
    looks: Looks | None,
    fitted_means: dict[str, dict[str, float]],
) -> TrialResult:
    seen = analysis.control_seen(plan.control_effect)
    kind = verdict_kind(plan, analysis.main, control_seen=seen)
    agrees, words = prediction_words(plan, analysis.main, control_seen=seen)
    rows = tuple(
        RunRow(i + 1, code, part, _fitted_name(plan, part, arm), _number(mean))
        for i, (code, part, arm, mean) in enumerate(zip(plan.codes, key.parts, key.arms, table.means(), strict=True))
    )
    return TrialResult(
        plan=plan,
        analysis=analysis,
        rows=rows,
        kind=kind,
        verdict=verdict_words(plan, analysis.main, kind, control_seen=seen),
        agrees=agrees,
        prediction_words=words,
        control_seen=seen,
        looks=looks,
        fitted_means=fitted_means,
        notes=_notes(plan, table, analysis, seen),
        compared_with=None,
    )


def _notes(plan: TrialPlan, table: Readings, analysis: Analysis, seen: bool | None) -> tuple[str, ...]:
    notes, show = [], plan.kind.show
    if seen is None:
        notes.append("There was no positive control: whether this trial could see a change at all is not known.")
    elif not seen:
        notes.append("The positive control was not seen: this trial says nothing about the change.")
    if analysis.same is not None and not analysis.same.interval[0] <= 0.0 <= analysis.same.interval[1]:
        notes.append("A against A differs: something other than the setup changed from fitting to fitting.")
    before = analysis.guess_before
    if before is not None and before.p_greater <= plan.alpha:
        whose = " The result can be the driver's." if plan.kind.needs_driver else ""
        notes.append(
            f"The blinding leaked: guesses before moving were right too often (p = {before.p_greater:.3f}).{whose}"
        )
    elif before is None:
        notes.append("Nobody wrote a guess before moving: the blinding was not tested.")
    if analysis.main.smallest_p > plan.alpha:
        notes.append(
            f"With what is left, the smallest p-value possible is {analysis.main.smallest_p:.3g}: "
            f"a difference could not be found."
        )
    struck = [f"run {i + 1}: {reason}" for i, reason in enumerate(table.struck_out) if reason]
    if struck:
        notes.append("Struck out by the scorer, key closed: " + "; ".join(struck) + ".")
    drift = analysis.drift
    if drift is not None and not drift.interval[0] <= 0.0 <= drift.interval[1]:
        notes.append(
            f"Readings drifted by {show(drift.slope, sign=True)} per installation; the schedule allows for it."
        )
    if plan.outcome == "pass_fail":
        notes.append("Pass or fail tells little: its interval assumes one shift for all runs and is approximate.")
    return tuple(notes)


def _looks(plan: TrialPlan, analysis: Analysis, before: list[tuple[TrialPlan, Analysis]]) -> Looks | None:
    if not before:
        return None
    scores = [other.scores for _, other in before] + [analysis.scores]
    together = judge_scores(combine_scores(scores, np.random.default_rng(plan.seed)), alpha=plan.alpha)
    number = max(plan.look, len(scores))
    # Each look apart, and once more all together: by the sum of the chances, which needs no independence.
    chance = min(1.0, sum([p.alpha for p, _ in before]) + 2.0 * plan.alpha)
    return Looks(number, tuple((p.commitment, a.main) for p, a in before), together, chance)


def _fitted_means(folder: str | os.PathLike, plan: TrialPlan, key: TrialKey) -> dict[str, dict[str, float]]:
    path = Path(folder) / FITTINGS_FILE
    if not path.exists():
        return {}
    sheet = read_fittings(path, plan)
    fitted = np.array([_fitted_name(plan, part, arm) for part, arm in zip(key.parts, key.arms, strict=True)])
    means: dict[str, dict[str, float]] = {}
    for name in ("ride_height_mm", "pinion_angle_deg", "swap_minutes"):
        values = getattr(sheet, name)
        for what in (plan.reference, plan.change):
            chosen = values[(fitted == what) & np.isfinite(values)]
            if chosen.size:
                means.setdefault(what, {})[name] = float(chosen.mean())
    return means


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _result_dict(result: RandomisationResult, unit: str) -> dict[str, object]:
    return {
        "status": result.status,
        f"difference_{unit}": _number(result.difference),
        f"interval_{unit}": [_number(v) for v in result.interval],
        f"one_sided_limits_{unit}": [_number(v) for v in result.one_sided],
        "p": result.p_two_sided,
        "smallest_p": result.smallest_p,
        "orders": result.orders,
        "installations_used": result.used,
        "confidence": 1.0 - result.alpha,
    }


def _side_dict(side: SideFinding | None, unit: str) -> dict[str, object] | None:
    if side is None:
        return None
    return {
        f"difference_{unit}": _number(side.difference),
        f"interval_{unit}": [_number(v) for v in side.interval],
        "pairs": side.pairs,
        "p": side.p_exact,
        "smallest_p": side.smallest_p,
    }


def _guess_dict(guess: GuessResult | None) -> dict[str, object] | None:
    if guess is None:
        return None
    return {
        "right": guess.right,
        "guesses": guess.guesses,
        "p": guess.p_greater,
        "interval": list(guess.interval),
        "confidence": guess.confidence,
    }


def _looks_dict(looks: Looks | None, unit: str) -> dict[str, object] | None:
    if looks is None:
        return None
    return {
        "number": looks.number,
        "chance_of_false_find": looks.chance_of_false_find,
        "together": _result_dict(looks.together, unit),
        "earlier": [{"commitment": c, **_result_dict(r, unit)} for c, r in looks.earlier],
    }
