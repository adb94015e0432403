"""Plans: size, power, the afternoon, the prediction taken from the simulation, control, A against A, further looks."""

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from noseload import Scatter, compare, creep, demo_vehicle, predict_difference, scatter_from_baseline
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.errors import MissingDataError, ModelError
from noseload.solvers.statistics.distributions import power_pairs
from noseload.solvers.statistics.orders import Design
from noseload.studies.climb.sweep import climb_of
from noseload.studies.errors.uncertainty import uncertainty
from noseload.studies.trial.document import TrialPlan
from noseload.studies.trial.errors import ReadingsError, TrialPlanError
from noseload.studies.trial.outcomes import OUTCOMES
from noseload.studies.trial.plan import check_options
from noseload.studies.trial.power import find_reach
from noseload.studies.trial.prediction import Prediction, read_prediction
from noseload.studies.trial.readings import read_baseline
from noseload.studies.trial.sizing import Afternoon, Question, find_size, suitable_design
from trial_maker import BASIC, make_trial

CHANGE = "raised_rear_upper_mount"
GRAMS_PER_NEWTON = 1000 / 9.80665  # 3rd CGPM, 1901
SIX_DIGITS = 1e-6  # the same solver asked twice, to its own convergence


def question(**changes):
    basic = Question(OUTCOMES["tip_angle"], 0.8, 1.0, Scatter(0.4, 0.0))
    return replace(basic, **changes)


# --- the prediction


@pytest.mark.slow
def test_predicted_tip_angle_is_the_difference_of_the_tip_over_grades(monkeypatch):
    found = predict_difference(DEMO, reference="base", change=CHANGE, outcome="tip_angle")
    base, raised = demo_vehicle(), demo_vehicle(setup=CHANGE)
    tips = [climb_of(v).limits.tip_over_grade_deg for v in (base, raised)]
    assert found.difference == pytest.approx(tips[1] - tips[0], abs=SIX_DIGITS)
    compared = compare([base, raised]).differences[0]
    assert found.difference == pytest.approx(compared.tip_over_grade_deg, abs=SIX_DIGITS)
    assert found.origin == "calculated"
    alike = uncertainty([base, raised], grade_deg=0.0, draws=300).setups[1].alike["tip_over_grade_deg"]
    assert found.margin == pytest.approx(max(abs(end - found.difference) for end in (alike.low, alike.high)))
    assert "driven up alike" in found.words
    monkeypatch.setattr("noseload.studies.trial.prediction.MARGIN_DRAWS", 20)
    backwards = predict_difference(DEMO, reference=CHANGE, change="base", outcome="tip_angle")
    assert backwards.difference == pytest.approx(-found.difference, abs=SIX_DIGITS)


@pytest.mark.parametrize("grade_deg", [30.0, 55.0])
def test_predicted_scale_reading_is_the_difference_of_the_front_loads(grade_deg):
    """The front plate lies on dowels, so that the rear wheels hold: -29 g at 55 deg, where a crawl on all four loses 21."""
    found = predict_difference(DEMO, reference="base", change=CHANGE, outcome="front_scale", grade_deg=grade_deg)
    loads = [creep(load_vehicle(DEMO, setup=s, drive="rear"), grade_deg=grade_deg).front_load_n for s in (None, CHANGE)]
    assert found.difference == pytest.approx((loads[1] - loads[0]) * GRAMS_PER_NEWTON, abs=1e-3)
    standing = creep(demo_vehicle(), grade_deg=0.0).front_load_n
    assert found.standing_front_load_n == pytest.approx(standing, abs=1e-6)
    assert 1.0 < found.margin < 30.0


@pytest.mark.slow
def test_predicted_staircase_is_the_first_limit_on_the_way_up(tmp_path):
    """With little grip the staircase ends at the grip limit of both, not where they would tip over."""
    found = predict_difference(DEMO, reference="base", change=CHANGE, outcome="staircase")
    limits = [climb_of(demo_vehicle(setup=s)).limits for s in (None, CHANGE)]
    assert {limit.first for limit in limits} <= {"tip_over", "grip", "hold"}
    firsts = [getattr(limit, f"{limit.first}_grade_deg") for limit in limits]
    assert found.difference == pytest.approx(firsts[1] - firsts[0], abs=SIX_DIGITS)
    file = tmp_path / "slippery.toml"
    file.write_text(Path(DEMO).read_text().replace("grip_coefficient = 2.4", "grip_coefficient = 0.8"))
    slippery = predict_difference(str(file), reference="base", change=CHANGE, outcome="staircase")
    # tan(grade) = grip for both while all wheels are driven and load follows traction: no difference.
    assert slippery.difference == pytest.approx(0.0, abs=1e-4)
    # Where it slides first, the interval of the tip-over says nothing.
    assert slippery.margin == 0.0


def test_unpredictable_outcomes_say_so():
    with pytest.raises(MissingDataError, match="a share of passes is not calculated"):
        predict_difference(DEMO, reference="base", change=CHANGE, outcome="pass_fail")
    with pytest.raises(MissingDataError, match="has no front axle load at 80 deg"):
        predict_difference(DEMO, reference="base", change=CHANGE, outcome="front_scale", grade_deg=80.0)
    with pytest.raises(ModelError, match="nonsense"):
        predict_difference(DEMO, reference="base", change="nonsense", outcome="tip_angle")


def test_prediction_from_a_number_or_a_file(tmp_path):
    assert read_prediction("-0.4", "tip_angle") == Prediction(-0.4, words="given")
    file = tmp_path / "p.json"
    file.write_text(json.dumps({"difference_deg": -0.4, "margin_deg": -0.2, "words": "by hand"}))
    assert read_prediction(str(file), "tip_angle") == Prediction(-0.4, margin=0.2, words="by hand")
    for key, value in (("standing_front_load_n", 14.7), ("standing_front_load_g", 14.7 * GRAMS_PER_NEWTON)):
        file.write_text(json.dumps({"difference_deg": -0.4, key: value}))
        assert read_prediction(str(file), "tip_angle").standing_front_load_n == pytest.approx(14.7)
    for text, message in (
        ("inf", "not a finite number of deg"),
        (str(tmp_path / "none"), "neither a number of deg nor a file"),
    ):
        with pytest.raises(TrialPlanError, match=message):
            read_prediction(text, "tip_angle")
    for body, message in (
        ("{", "this is not JSON"),
        ("[]", "'difference_g' is missing"),
        ('{"difference_g": "x", "margin_g": true}', r"(?s)2 faults.*'difference_g' is 'x'.*'margin_g' is True"),
    ):
        file.write_text(body)
        with pytest.raises(TrialPlanError, match=message):
            read_prediction(str(file), "front_scale")


def test_difference_and_threshold_default_to_the_simulation():
    """The difference worth finding is the predicted one; what would be noticed on a scale is 2 % of the front load."""
    found = predict_difference(DEMO, reference="base", change=CHANGE, outcome="front_scale", grade_deg=55.0)
    plan = make_trial(
        vehicle_file=DEMO,
        change=CHANGE,
        outcome="front_scale",
        grade_deg=55.0,
        difference=None,
        prediction=found,
        scatter=Scatter(8.0, 5.0),
    ).plan
    assert plan.difference == found.difference
    assert plan.noticeable == pytest.approx(0.02 * found.standing_front_load_n * GRAMS_PER_NEWTON)
    assert plan.context == "demo, board with grip tape, grade 55 deg"


def test_standing_load_is_written_in_newtons_and_read_in_grams_too():
    """Plans that were sealed with a scale reading in their prediction are read as they were meant."""
    given = Prediction(-30.0, words="by hand", standing_front_load_n=14.7)
    plan = make_trial(
        outcome="front_scale", grade_deg=55.0, difference=30.0, prediction=given, scatter=Scatter(8.0, 5.0)
    ).plan
    document = plan.to_dict()
    assert document["prediction"].pop("standing_front_load_n") == 14.7
    assert not [key for key in document["prediction"] if key.endswith("load_g")]
    document["prediction"]["standing_front_load_g"] = 14.7 * GRAMS_PER_NEWTON
    read = TrialPlan.from_dict(document)
    assert read.prediction.standing_front_load_n == pytest.approx(14.7, rel=1e-12)
    assert read.noticeable == plan.noticeable == pytest.approx(0.02 * 14.7 * GRAMS_PER_NEWTON)


# --- the size


@pytest.mark.parametrize("design", [Design("balanced_pairs", 10), Design("balanced_pairs", 16)])
def test_power_is_near_the_paired_t_test(design):
    """With ten pairs and more the exact test finds about what a paired t test finds (Lehmann and Romano, chapter
    15: the two agree for normal readings; memory). Within 3 % and three standard errors of 2000 trials."""
    for size in (0.8, 1.2):
        t_power = power_pairs(size / math.sqrt(2.0), design.pairs)
        assert find_reach(design, 1.0).power(size) == pytest.approx(t_power, abs=0.03 + 3 * 0.5 / math.sqrt(2000))


def test_straight_drift_costs_no_power():
    """Both kinds that are chosen by size up to six and from nine pairs on: fitted, or cancelled."""
    for pairs in (5, 10):
        design = suitable_design(pairs)
        still, drifting = (find_reach(design, 1.0, drift=drift).power(1.5) for drift in (0.0, 0.5))
        assert drifting == pytest.approx(still, abs=1e-9)


def test_size_has_the_wanted_power_and_one_pair_less_has_not():
    sizing = find_size(question(difference=0.7), Afternoon())
    assert sizing.power >= 0.8 and sizing.wanted_pairs == sizing.design.pairs and sizing.lost == ()
    less = find_size(question(difference=0.7), Afternoon(), pairs=sizing.design.pairs - 1)
    assert less.power < 0.8
    assert sizing.smallest_difference <= 0.7 < less.smallest_difference
    counts = [point.installations for point in sizing.curve]
    assert counts == sorted(set(counts)) and 2 * sizing.design.pairs in counts


def test_repeats_are_averaged_and_never_counted():
    """Scatter from fitting to fitting stays whatever the repeats: sqrt(s_i^2 + s_r^2 / k), by hand."""
    scatter = Scatter(0.3, 0.4)
    assert scatter.of_mean(4) == pytest.approx(math.sqrt(0.09 + 0.04))
    assert scatter.of_mean(10_000) == pytest.approx(0.3, abs=1e-4)
    assert Scatter(0.0, 0.0).of_mean(1, step=0.5) == pytest.approx(0.5 / math.sqrt(12))
    few, many = (find_size(question(scatter=scatter, repeats=k), Afternoon(), pairs=6).power for k in (1, 20))
    alone = find_size(question(scatter=Scatter(0.3, 0.0)), Afternoon(), pairs=6).power
    assert few < many <= alone + 1e-12
    plan = make_trial(repeats=20).plan
    assert plan.installations == 8


def test_afternoon_shrinks_the_trial_and_says_what_is_lost():
    """120 minutes at 6 + 3 x 2 hold ten installations; four of them go to the control."""
    free = find_size(question(difference=0.6), Afternoon(minutes=120.0))
    assert free.design.pairs == 5 and free.minutes == 120.0
    assert free.wanted_pairs > 5 and "takes" in free.lost[0] and "undecided" in free.lost[1]
    assert f"{2 * free.wanted_pairs} installations" in free.lost[0]
    with_control = find_size(question(difference=0.6), Afternoon(minutes=145.0, other_installations=4))
    assert with_control.design.pairs == 4 and with_control.minutes == 144.0
    with pytest.raises(TrialPlanError, match=r"90 minutes hold 6 .* has 8 and takes 96 minutes: give more --minutes"):
        find_size(question(), Afternoon(minutes=90.0))
    with pytest.raises(TrialPlanError, match=r"8 installations can reach p = 0\.125 at best"):
        find_size(question(order_kind="pairs"), Afternoon(), pairs=4)
    with pytest.raises(TrialPlanError, match="no design of up to 80 installations can reach"):
        find_size(question(alpha=1e-24), Afternoon())


def test_hopeless_difference_is_named():
    sizing = find_size(question(difference=0.05), Afternoon(minutes=240.0))
    assert sizing.wanted_pairs is None and "takes more than 80 installations" in sizing.lost[0]


def test_few_baseline_runs_widen_the_scatter(tmp_path):
    """Upper 80 % limit of a deviation known from four fittings: chi-square of 3 degrees at 20 % is 1.005
    (printed tables), so 1.728 times."""
    file = tmp_path / "baseline.csv"
    file.write_text(
        "# base\ninstallation,reading\n"
        + "".join(
            f"{i},{v}\n"
            for i, v in ((1, 58.0), (1, 58.2), (2, 58.5), (2, 58.7), (3, 57.9), (3, 58.1), (4, 58.4), (4, 58.6))
        )
    )
    scatter = scatter_from_baseline(read_baseline(file), words="baseline.csv")
    assert scatter.reading_sd == pytest.approx(math.sqrt(0.02)) and scatter.installations == 4
    means = np.array([58.1, 58.6, 58.0, 58.5])
    assert scatter.installation_sd == pytest.approx(math.sqrt(means.var(ddof=1) - 0.01))
    sizing = find_size(question(scatter=scatter), Afternoon(), pairs=6)
    assert sizing.scatter_sd_high == pytest.approx(1.728 * sizing.scatter_sd, rel=1e-3)
    assert sizing.wanted_pairs_high > sizing.wanted_pairs
    assert scatter_from_baseline([[1.0], [2.0], [4.0]]).installation_sd == pytest.approx(np.std([1, 2, 4], ddof=1))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("installation,reading\n1,58\n1,58,2\n2,x\n3,\n", r"(?s)3 faults.*line 3: 3 cells.*line 4.*'x' is not.*line 5"),
        ("fitting,angle\n1,58\n", "the columns are fitting, angle; they must be installation, reading"),
        ("", "is empty"),
        (
            "installation;reading\n1;58,2\n1;58.1\n",
            "58.1 has a point where other numbers of this file have a decimal comma",
        ),
    ],
)
def test_bad_baselines(tmp_path, text, message):
    file = tmp_path / "baseline.csv"
    file.write_text(text)
    with pytest.raises(ReadingsError, match=message):
        read_baseline(file)


def test_two_fittings_are_too_few():
    with pytest.raises(TrialPlanError, match="2 installations say too little"):
        scatter_from_baseline([[1.0, 2.0], [3.0]])


@pytest.mark.slow
def test_pass_or_fail_tells_little():
    """A change from half to 80 % of passes: the plan must cost more installations than a reading in degrees with
    the same effect in units of its scatter would, and says so in print."""
    from noseload.commands.trial.text import plan_text

    trial = make_trial(outcome="pass_fail", grade_deg=50.0, difference=0.3, scatter=None, prediction=None, pairs=8)
    assert trial.sizing.power < 0.75 and trial.sizing.smallest_difference is None
    assert "WARNING: pass or fail tells very little" in plan_text(trial, None, [])
    assert list(OUTCOMES) == ["tip_angle", "front_scale", "staircase", "airborne", "pass_fail"]
    assert [kind.needs_driver for kind in OUTCOMES.values()] == [False, False, True, True, True]


# --- control, A against A, further looks


def test_control_and_same_are_sealed_with_the_plan():
    trial = make_trial(control_pairs=2, control_effect=1.4, control_words="60 g at the front axle", same_pairs=4)
    document = trial.plan.to_dict()
    assert document["control"] == {"words": "60 g at the front axle", "effect_deg": 1.4}
    assert (document["design"]["control_pairs"], document["design"]["same_pairs"]) == (2, 4)
    assert trial.plan.installations == 8 + 4 + 8 == len(document["runs"])
    assert trial.plan.to_dict() == type(trial.plan).from_dict(document).to_dict()


def test_further_runs_are_a_new_sealed_plan():
    first = make_trial()
    second = make_trial(seed=2, look=2, earlier_commitment=first.plan.commitment)
    assert second.plan.commitment != first.plan.commitment
    assert (second.plan.to_dict()["look"], second.plan.earlier_commitment) == (2, first.plan.commitment)
    assert "new sealed plan" in first.plan.stop_rule and "number of looks" in first.plan.stop_rule


@pytest.mark.parametrize(("kind", "pairs"), [("free", 4), ("pairs", 6), ("balanced_pairs", 8), ("mirrored", 12)])
def test_rules_stated_before_name_the_missing(kind, pairs):
    plan = make_trial(order_kind=kind, pairs=pairs, repeats=4).plan
    words = {"free": "is left out", "mirrored": "takes its block of four", "pairs": "the other one of its pair"}
    assert words.get(kind, words["pairs"]) in plan.exclusion_rule
    assert "fewer than 2 of its 4 readings" in plan.exclusion_rule


# --- options that cannot be used


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"outcome": "speed"}, "outcome 'speed' is unknown; choose one of tip_angle"),
        ({"change": "base"}, "must differ from the reference 'base'"),
        ({"vehicle_name": ""}, "name the vehicle"),
        ({"surface": " "}, "name the surface"),
        ({"reference_holes": "row 2"}, "holes of both setups, or of neither"),
        ({"reference_holes": "row 2", "change_holes": "row 2"}, "cannot use the same holes"),
        ({"reference_holes": "row 2", "change_holes": "the RAISED row"}, "the installer would know what it is"),
        ({"outcome": "front_scale", "noticeable": 10.0}, "needs the grade of the board"),
        ({"order_kind": "zigzag"}, "order kind 'zigzag' is unknown"),
        ({"repeats": 0}, "0 repeats: take 1 to 20"),
        ({"pairs": 1}, "1 pairs: take 2 to 40"),
        ({"order_kind": "mirrored", "pairs": 5}, "5 pairs is odd"),
        ({"control_pairs": 3, "control_effect": 1.0}, "3 pairs of control"),
        ({"same_pairs": 12}, "12 pairs of A against A"),
        ({"look": 0}, "the first plan is look 1"),
        ({"difference": None, "prediction": None}, "give the difference worth finding in deg"),
        ({"difference": 0.0}, "a difference of 0 deg cannot be sized"),
        ({"outcome": "front_scale", "grade_deg": 30.0, "noticeable": None}, "would be noticed, in g"),
        ({"scatter": None}, "give the scatter: baseline runs"),
        ({"scatter": Scatter(0.0, 0.0)}, "a scatter of 0 deg is not believable"),
        ({"control_pairs": 2}, "needs its predicted effect in deg"),
        ({"outcome": "pass_fail", "grade_deg": 40.0, "pass_share": 1.0}, "must lie between 0 and 1"),
        ({"outcome": "pass_fail", "grade_deg": 40.0, "pass_share": 0.9}, "leave the range 0 to 1"),
        ({"alpha": 0.6}, "--alpha is 0.6: it must lie between 0 and 0.5"),
        ({"power": 1.0}, "--power is 1"),
        ({"minutes": 0.0}, "--minutes is 0"),
        ({"difference": math.inf}, "--difference is inf"),
    ],
)
def test_unusable_options_are_named(changes, message):
    with pytest.raises(TrialPlanError, match=message):
        make_trial(**changes)


def test_all_unusable_options_at_once():
    faults = check_options(replace(BASIC, change="base", repeats=0, alpha=0.7, scatter=None))
    assert len(faults) == 4
