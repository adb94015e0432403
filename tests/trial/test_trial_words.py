"""What a read trial may say: the four verdicts, their order, control and guesses, several looks, the document."""

import itertools
import json
import re
from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest

from noseload import Scatter, read_trial
from noseload.demo import DEMO_TRIAL
from noseload.studies.trial.errors import TrialPlanError
from noseload.studies.trial.prediction import Prediction
from noseload.studies.trial.words import FORBIDDEN, holds_forbidden
from trial_maker import NOISE, effects_of, make_trial, run_trial

EXACT = 1e-12  # counts over counts


def result_for(tmp_path, trial, means, **columns):
    return read_trial(run_trial(tmp_path / "t", trial, means, **columns))


@pytest.mark.parametrize(
    ("change", "noise", "kind", "words"),
    [
        (3.0, 1.0, "difference", r"a difference of \+\d\.\d\d deg \(.*, 95 %\) was measured here\.$"),
        (0.0, 1.0, "smaller", r"any difference here is smaller than 1\.00 deg \(95 %\)\.$"),
        (0.6, 1.0, "both", r"was measured here; any difference here is smaller than 1\.00 deg \(95 %\)\.$"),
        (0.0, 20.0, "undecided", r"undecided: the readings allow .* to .* \(95 %\)\.$"),
    ],
)
def test_words_of_the_verdict(tmp_path, change, noise, kind, words):
    """The only four that may be said, each with vehicle, surface and grade."""
    trial = make_trial(seed=4, prediction=None)
    result = result_for(tmp_path, trial, 58.0 + noise * NOISE + effects_of(trial, change))
    assert result.kind == kind and re.search(words, result.verdict), result.verdict
    assert result.verdict.startswith("bench vehicle, board with grip tape, board tilted to the end, raised less base: ")
    assert result.headline == result.verdict


def test_no_verdict_says_what_must_never_be_said(tmp_path):
    """Every text and document of all kinds of result, and the command's texts."""
    from noseload.commands.trial.text import plan_text, read_text, rehearsal_text
    from noseload.studies.trial.rehearse import RehearsalOptions, rehearse_trial

    assert holds_forbidden("No difference was seen; it works on rock") == ["no difference", "works on rock"]
    trial = make_trial(seed=4, control_pairs=2, control_effect=1.0)
    texts = [plan_text(trial, "f", []), rehearsal_text(rehearse_trial(trial.plan, RehearsalOptions(trials=20)), [])]
    for k, (change, noise) in enumerate(((3.0, 1.0), (0.0, 1.0), (0.0, 30.0))):
        means = 58.0 + noise * np.resize(NOISE, 12) + effects_of(trial, change, 1.0)
        result = read_trial(run_trial(tmp_path / str(k), trial, means))
        texts += [read_text(result), json.dumps(result.to_dict())]
    assert len(FORBIDDEN) == 6
    assert [holds_forbidden(text) for text in texts] == [[]] * len(texts)


def test_disagreement_with_the_prediction_comes_first(tmp_path):
    trial = make_trial(seed=4, prediction=Prediction(-0.65, margin=0.1, origin="calculated"))
    result = result_for(tmp_path, trial, 58.0 + NOISE + effects_of(trial, 0.6))
    assert result.agrees is False
    assert result.headline.startswith(
        "Prediction and trial disagree: predicted -0.65 deg +- 0.10 deg, the readings allow +"
    )
    assert result.headline.endswith(result.verdict)
    near = make_trial(seed=4, prediction=Prediction(0.6))
    agreed = read_trial(run_trial(tmp_path / "near", near, 58.0 + NOISE + effects_of(near, 0.6)))
    assert agreed.agrees is True and "lies within what was measured" in agreed.prediction_words


def test_a_control_that_was_not_seen_forbids_small(tmp_path):
    """A trial blind to a known change cannot say that a difference is small."""
    trial = make_trial(seed=4, control_pairs=2, control_effect=1.0, prediction=None)
    noise = np.resize(NOISE, 12)
    seen = read_trial(run_trial(tmp_path / "a", trial, 58.0 + noise + effects_of(trial, 0.0, 1.0)))
    unseen = read_trial(run_trial(tmp_path / "b", trial, 58.0 + noise + effects_of(trial, 0.0, 0.0)))
    wrong_way = read_trial(run_trial(tmp_path / "c", trial, 58.0 + noise + effects_of(trial, 0.0, -1.0)))
    assert (seen.kind, unseen.kind, wrong_way.kind) == ("smaller", "undecided", "undecided")
    assert (seen.control_seen, unseen.control_seen, wrong_way.control_seen) == (True, False, False)
    assert "The positive control was not seen" in " ".join(unseen.notes)


def test_control_comes_before_the_difference(tmp_path):
    from noseload.commands.trial.text import read_text

    trial = make_trial(seed=4, control_pairs=2, control_effect=1.0, same_pairs=2)
    means = 58.0 + np.resize(NOISE, 16) + effects_of(trial, 0.6, 1.0)
    text = read_text(read_trial(run_trial(tmp_path / "t", trial, means)))
    lines = [
        "Positive control",
        "A against A",
        "Difference, raised less base",
        "Two one-sided tests",
        "Drift",
        "Missing runs",
    ]
    assert sorted(lines, key=text.index) == lines


def test_same_against_same_that_differs_is_a_warning(tmp_path):
    trial = make_trial(seed=4, same_pairs=2, prediction=None)
    means = 58.0 + np.resize(NOISE, 12)
    places = trial.key.places("same")
    calm = read_trial(run_trial(tmp_path / "a", trial, means))
    assert not [note for note in calm.notes if note.startswith("A against A differs")]
    means[places] += 3.0 * trial.key.order("same")
    result = read_trial(run_trial(tmp_path / "b", trial, means))
    assert [note for note in result.notes if note.startswith("A against A differs")]
    assert result.analysis.same.difference - calm.analysis.same.difference == pytest.approx(3.0, abs=2e-3)


def test_leaking_guesses_before_moving_are_named(tmp_path):
    trial = make_trial(seed=4, outcome="staircase")
    told = ["yes" if change else "no" for change in effects_of(trial, 1.0)]
    means = np.round(2 * (40.0 + effects_of(trial, 1.0))) / 2 + np.array([0, 0.5, 0, 0, 0.5, 0, 0, 0.5])
    result = result_for(tmp_path, trial, means, guess_before=told, guess_after=["no"] * 8)
    assert result.analysis.guess_before.p_greater == pytest.approx(1 / 70)
    assert result.analysis.guess_after.p_greater == 1.0
    assert "The blinding leaked" in " ".join(result.notes) and "can be the driver's" in " ".join(result.notes)


def test_looks_are_reported_apart_and_together(tmp_path):
    """Together: every order of the one with every order of the other, by brute force on 70 x 70."""
    first = make_trial(seed=4, prediction=None)
    second = make_trial(seed=8, prediction=None, look=2, earlier_commitment=first.plan.commitment)
    means = [58.0 + NOISE + effects_of(first, 0.15), 58.5 + NOISE[::-1] + effects_of(second, 0.15)]
    folders = [run_trial(tmp_path / name, t, m) for name, t, m in zip("ab", (first, second), means, strict=True)]
    alone = read_trial(folders[0])
    result = read_trial(folders[1], earlier=[folders[0]])
    looks = result.looks
    assert looks.number == 2 and looks.chance_of_false_find == pytest.approx(0.15)
    assert looks.earlier[0] == (first.plan.commitment, alone.analysis.main)
    assert result.analysis.main == read_trial(folders[1]).analysis.main

    nuisance = np.column_stack([np.ones(8), np.arange(8)])
    rows = np.array([np.isin(np.arange(8), c).astype(float) for c in itertools.combinations(range(8), 4)])
    left = rows - rows @ nuisance @ np.linalg.pinv(nuisance)
    rounded = [np.round(m, 3) for m in means]
    tops, squares = [left @ m for m in rounded], (left**2).sum(1)
    strengths = abs(tops[0][:, None] + tops[1][None, :]) / np.sqrt(squares[:, None] + squares[None, :])
    used = [int(np.flatnonzero((rows == t.key.order("main")).all(1))[0]) for t in (first, second)]
    assert looks.together.p_two_sided == pytest.approx(
        (strengths >= strengths[used[0], used[1]] - 1e-9).mean(), abs=EXACT
    )
    assert looks.together.orders == 4900


def test_only_the_same_question_can_be_taken_together(tmp_path):
    first = make_trial(seed=4)
    folder = run_trial(tmp_path / "a", first, 58.0 + NOISE)
    for name, other, message in (
        ("b", make_trial(seed=8), r"was not sealed as the next look after that trial \(plan it with --after\)"),
        (
            "c",
            make_trial(seed=8, surface="steel", look=2, earlier_commitment=first.plan.commitment),
            "surface is 'steel' here and 'board with grip tape' in the earlier",
        ),
    ):
        with pytest.raises(TrialPlanError, match=message):
            read_trial(run_trial(tmp_path / name, other, 58.0 + NOISE), earlier=[folder])


def test_document_is_strict_json_even_with_no_limit(tmp_path):
    """Two runs missing of eight in pairs leave no limits: null, never Infinity."""
    trial = make_trial(seed=6, order_kind="pairs", pairs=6, prediction=None)
    means = 58.0 + np.resize(NOISE, 12)
    means[[0, 5]] = np.nan
    result = read_trial(run_trial(tmp_path / "t", trial, means))
    document = json.loads(json.dumps(result.to_dict(), allow_nan=False))
    assert document["main"]["interval_deg"] == [None, None] and document["status"] == "undecided"
    assert "no limit" in result.verdict


def test_result_is_frozen(tmp_path):
    result = read_trial(DEMO_TRIAL)
    with pytest.raises(FrozenInstanceError):
        result.kind = "difference"
    assert replace(result, kind="undecided").kind == "undecided"
    assert Scatter(0.1).reading_sd == 0.0
