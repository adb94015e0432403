"""The whole chain, plan to verdict, over seeded simulated trials: error rates, coverage, power, with drift and holes.

Reference everywhere: the meaning of the number. Shares lie within `SIGMAS` standard errors of what is claimed.
"""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from noseload import RehearsalOptions, Scatter, read_trial, rehearse_trial
from noseload.commands.trial.text import rehearsal_text
from noseload.solvers.statistics.randomisation import combine_scores, judge_scores
from noseload.studies.trial.analysis import References, analyse
from noseload.studies.trial.errors import TrialPlanError
from noseload.studies.trial.power import SIMULATED_TRIALS
from noseload.studies.trial.read import _judge
from noseload.studies.trial.readings import Readings
from noseload.studies.trial.rehearse import simulate_trial
from noseload.studies.trial.schedule import draw_key
from noseload.studies.trial.words import verdict_kind
from trial_maker import make_trial, run_trial

SIGMAS = 3.5
"""Some 60 shares are checked, seeded: by chance alone one in 2000 would lie beyond."""
TRIALS = 300
ROUGH = RehearsalOptions(drift=0.15, bend=0.6, missing=0.06)
STILL = RehearsalOptions()
DESIGNS = {
    "free": dict(order_kind="free", pairs=5),
    "pairs": dict(order_kind="pairs", pairs=7),
    "balanced_pairs": dict(order_kind="balanced_pairs", pairs=9),
    "mirrored": dict(order_kind="mirrored", pairs=12),
}


def close(share, wanted, number, *, other=math.inf):
    """True within SIGMAS standard errors of `number` trials (and of `other` ones behind `wanted`)."""
    return abs(share - wanted) <= SIGMAS * math.sqrt(
        max(wanted * (1 - wanted), 0.25 / number) * (1 / number + 1 / other)
    )


def at_most(share, bound, number):
    return share <= bound + SIGMAS * math.sqrt(bound * (1 - bound) / number)


@cache
def planned(**changes):
    basic = dict(
        control_pairs=2, control_effect=1.0, same_pairs=2, difference=0.5, scatter=Scatter(0.3, 0.2), noticeable=0.7
    )
    return make_trial(**{**basic, **changes})


def simulate(plan, true, options, *, number=TRIALS, seed=1):
    """Analyses and verdicts of many trials, each with an order of its own."""
    import random

    rng, source, references = np.random.default_rng(seed), random.Random(seed), References()
    for _ in range(number):
        key = draw_key(plan.composition, source=source)
        means, guesses = simulate_trial(plan, key, true, options, rng)
        analysis = analyse(plan, key, means, guess_before=guesses, references=references)
        yield analysis, verdict_kind(plan, analysis.main, control_seen=analysis.control_seen(plan.control_effect))


def holds(interval, value):
    return interval[0] <= value <= interval[1]


@pytest.mark.slow
@pytest.mark.parametrize("name", DESIGNS)
def test_still_day(name):
    """No drift, nothing missing: every chance is what is claimed, on both sides."""
    plan = planned(**DESIGNS[name]).plan
    design = plan.composition.main
    done = [a for a, _ in simulate(plan, 0.0, STILL)]
    # Each order and its mirror image are as far from zero: the level is that of whole pairs of orders.
    level = 2 * math.floor(0.05 * design.count() / 2 + 1e-9) / design.count()
    assert close(np.mean([a.main.p_two_sided <= 0.05 for a in done]), level, TRIALS)
    assert close(np.mean([holds(a.main.interval, 0.0) for a in done]), 1 - level, TRIALS)
    one_sided = math.floor(0.05 * design.count() + 1e-9) / design.count()
    for wrong in ([a.main.one_sided[0] > 0 for a in done], [a.main.one_sided[1] < 0 for a in done]):
        assert close(np.mean(wrong), one_sided, TRIALS)
    # Student's intervals with normal scatter: exact.
    assert close(np.mean([holds(a.same.interval, 0.0) for a in done]), 0.95, TRIALS)
    assert close(np.mean([holds(a.control.interval, 1.0) for a in done]), 0.95, TRIALS)
    assert close(np.mean([holds(a.drift.interval, 0.0) for a in done]), 0.95, TRIALS)
    assert at_most(np.mean([a.guess_before.p_greater <= 0.05 for a in done]), 0.05, TRIALS)
    assert at_most(np.mean([not holds(a.guess_before.interval, 0.5) for a in done]), 0.05, TRIALS)
    assert np.sqrt(np.mean([a.scatter_sd**2 for a in done])) == pytest.approx(plan.scatter.of_mean(3), rel=0.03)


@pytest.mark.slow
@pytest.mark.parametrize("name", DESIGNS)
def test_rough_day(name):
    """Straight and bent drift, and one run in 17 missing: the exact test keeps its word at any drift, because it
    asks only which orders could have been drawn. Coverage is asked at a true difference."""
    plan = planned(**DESIGNS[name]).plan
    nothing = [a for a, _ in simulate(plan, 0.0, ROUGH, seed=2)]
    assert 0.5 < np.mean([len(a.missing) > 0 for a in nothing]) < 1.0
    assert at_most(np.mean([a.main.p_two_sided <= 0.05 for a in nothing]), 0.05, TRIALS)
    real = [a for a, _ in simulate(plan, 0.5, ROUGH, seed=3)]
    assert at_most(np.mean([not holds(a.main.interval, 0.5) for a in real]), 0.05, TRIALS)
    for side, wrong in enumerate((lambda low: low > 0.5, lambda high: high < 0.5)):
        assert at_most(np.mean([wrong(a.main.one_sided[side]) for a in real]), 0.05, TRIALS)


@pytest.mark.slow
@pytest.mark.parametrize("name", DESIGNS)
def test_planned_power_is_the_power_of_the_chain(name):
    """Chance to find the difference, and to call it small if there is none, as the plan said beforehand."""
    trial = planned(**DESIGNS[name], control_pairs=0, same_pairs=0)
    found = [kind for _, kind in simulate(trial.plan, 0.5, STILL, seed=4)]
    power = np.mean([kind in ("difference", "both") for kind in found])
    assert close(power, trial.sizing.power, TRIALS, other=SIMULATED_TRIALS)
    small = [kind for _, kind in simulate(trial.plan, 0.0, STILL, seed=5)]
    share = np.mean([kind in ("smaller", "both") for kind in small])
    assert close(share, trial.sizing.power_smaller, TRIALS, other=SIMULATED_TRIALS)
    point = next(p for p in trial.sizing.curve if p.installations == 2 * trial.sizing.design.pairs)
    assert point.power == trial.sizing.power


@pytest.mark.slow
@pytest.mark.parametrize("options", [STILL, ROUGH])
def test_equivalence_is_wrong_no_oftener_than_stated(options):
    """The true difference is exactly what would be noticed: called smaller in at most 5 %."""
    plan = planned(**DESIGNS["balanced_pairs"]).plan
    kinds = [kind for _, kind in simulate(plan, plan.noticeable, options, seed=6)]
    assert at_most(np.mean([kind in ("smaller", "both") for kind in kinds]), 0.05, TRIALS)


@pytest.mark.slow
def test_shares_and_steps_keep_the_error_rate():
    """Passes and fails, and half-degree steps, are full of ties; the exact test counts them against itself."""
    shares = planned(
        outcome="pass_fail",
        grade_deg=40.0,
        difference=0.3,
        scatter=None,
        pairs=4,
        repeats=2,
        noticeable=0.5,
        control_effect=0.4,
    ).plan
    stairs = planned(outcome="staircase", pairs=5).plan
    for plan in (shares, stairs):
        found = [a.main.p_two_sided <= 0.05 for a, _ in simulate(plan, 0.0, STILL, seed=7)]
        assert at_most(np.mean(found), 0.05, TRIALS)


@pytest.mark.slow
def test_guess_interval_covers_a_leak_through_the_chain():
    """Who knows in 60 % and tosses a coin otherwise is right with a chance of 80 %."""
    plan = planned(**DESIGNS["balanced_pairs"]).plan
    done = [a.guess_before for a, _ in simulate(plan, 0.0, replace(STILL, leak=0.6), seed=8)]
    assert at_most(np.mean([not holds(g.interval, 0.8) for g in done]), 0.05, TRIALS)
    assert np.mean([g.right / g.guesses for g in done]) == pytest.approx(0.8, abs=SIGMAS * 0.4 / math.sqrt(18 * TRIALS))


@pytest.mark.slow
def test_looks_together_keep_the_error_rate():
    plan = planned(pairs=4, control_pairs=0, same_pairs=0).plan
    pairs = zip(
        simulate(plan, 0.0, ROUGH, number=200, seed=9), simulate(plan, 0.0, ROUGH, number=200, seed=10), strict=True
    )
    rng = np.random.default_rng(11)
    together = [judge_scores(combine_scores([a.scores, b.scores], rng)) for (a, _), (b, _) in pairs]
    assert at_most(np.mean([r.p_two_sided <= 0.05 for r in together]), 0.05, 200)
    assert at_most(np.mean([not holds(r.interval, 0.0) for r in together]), 0.05, 200)


@pytest.mark.slow
def test_chain_through_the_files(tmp_path):
    """Planned, sealed, written, filled in, read: with the order of each trial drawn anew and readings as typed."""
    number, covered, found = 120, 0, 0
    rng = np.random.default_rng(12)
    for k in range(number):
        trial = planned(seed=k, pairs=5, repeats=1, scatter=Scatter(0.3, 0.0))
        means, _ = simulate_trial(trial.plan, trial.key, 0.5, replace(STILL, drift=0.1), rng)
        result = read_trial(run_trial(tmp_path / str(k), trial, 58.0 + means), posted=trial.plan.commitment)
        low, high = result.analysis.main.interval
        covered += low <= 0.5 <= high
        found += result.kind in ("difference", "both")
    assert close(covered / number, 1 - 12 / 252, number)
    assert close(found / number, trial.sizing.power, number, other=SIMULATED_TRIALS)


# --- the rehearsal


@pytest.fixture(scope="module")
def short():
    return make_trial(pairs=4, scatter=Scatter(0.3, 0.1)).plan


@pytest.mark.slow
def test_rehearsal_is_repeatable_and_its_shares_add_up(short):
    one, two = (rehearse_trial(short, RehearsalOptions(trials=60)) for _ in range(2))
    assert one == two
    for truth in one.truths:
        decided = truth.right_difference + truth.wrong_difference + truth.called_smaller + truth.undecided
        assert truth.trials <= decided <= 2 * truth.trials
    assert [truth.true for truth in one.truths] == [0.0, 0.8]
    assert rehearse_trial(short, RehearsalOptions(trials=60, seed=2)) != one


@pytest.mark.slow
def test_a_leaky_blind_is_what_it_costs(short):
    """Whoever always knows and shifts readings by 1 deg makes a true difference of none look like one of 1 deg:
    as often as a true 1 deg is found with a tight blind (the same draws, to the trial)."""
    leaky = rehearse_trial(short, RehearsalOptions(trials=60, leak=1.0, bias=1.0))
    none = leaky.truths[0]
    tight = rehearse_trial(replace(short, difference=1.0), RehearsalOptions(trials=60))
    assert none.wrong_difference == tight.truths[1].right_difference > 30
    assert none.guesses_alarm == 60
    assert none.wrong >= none.wrong_difference
    text = rehearsal_text(leaky, [])
    assert "concluded wrongly" in text and "the seal cannot help" in text


def test_wrong_conclusions_are_counted(short):
    """False differences; a difference as large as what is noticed called smaller; a right prediction refused."""
    plan = replace(short, difference=1.0, prediction=replace(short.prediction, difference=1.0, margin=0.0))
    none, real = rehearse_trial(plan, RehearsalOptions(trials=60)).truths
    assert none.wrong == none.wrong_difference and none.prediction_refused > 30
    parts = (real.wrong_difference, real.called_smaller, real.prediction_refused)
    assert max(parts) <= real.wrong <= sum(parts)
    assert "wrong" in str(rehearse_trial(plan, RehearsalOptions(trials=20)).to_dict()["truths"][0])


def test_rehearsal_options_are_checked(short):
    with pytest.raises(
        TrialPlanError, match=r"(?s)4 faults.*3 trials: take 20.*leak is 2.*missing is -1.*scatter factor is 0"
    ):
        rehearse_trial(short, RehearsalOptions(trials=3, leak=2.0, missing=-1.0, scatter_factor=0.0))


def test_rehearsal_reports_its_progress(short):
    seen = []
    rehearsed = rehearse_trial(
        short, RehearsalOptions(trials=20), progress=lambda done, total: seen.append((done, total))
    )
    assert seen == sorted(seen) and seen[-1][0] == seen[-1][1] == 20 * len(rehearsed.truths)


def test_rehearsal_judges_with_the_functions_of_the_reading():
    """One simulated trial, judged by the reader from a table: the same kind of verdict."""
    trial = make_trial(seed=5)
    means, guesses = simulate_trial(trial.plan, trial.key, 0.8, STILL, np.random.default_rng(1))
    count = trial.plan.installations
    none, words = np.full(count, np.nan), ("",) * count
    table = Readings(np.tile(means[:, None], 3), words, guesses, guesses, none, none, words)
    analysis = analyse(trial.plan, trial.key, table.means(), guess_before=guesses, guess_after=guesses)
    result = _judge(trial.plan, trial.key, table, analysis, None, {})
    assert result.kind == verdict_kind(trial.plan, analysis.main, control_seen=None)
