"""A throttle punch as an outcome, scatters in the wrong unit, and what the outcomes that were not chosen would find."""

import pytest

from noseload import load_vehicle, punch
from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model.errors import MissingDataError
from noseload.solvers.statistics.orders import Design
from noseload.studies.punch.splits_range import difference_ranges
from noseload.studies.trial.errors import TrialPlanError
from noseload.studies.trial.others import other_chances
from noseload.studies.trial.outcomes import OUTCOMES
from noseload.studies.trial.plan import PlanOptions, check_options, plan_trial
from noseload.studies.trial.power import Scatter, find_reach
from noseload.studies.trial.prediction import predict_difference

RAISED = "raised_rear_upper_mount"


def options(**changes):
    values = {"change": RAISED, "vehicle_file": DEMO, "outcome": "airborne", "grade_deg": 35.0, "difference": -60.0}
    return PlanOptions(**values | {"scatter": Scatter(20.0, 10.0), "pairs": 6} | changes)


def test_time_in_the_air_is_predicted_by_the_punch():
    """In milliseconds, change less reference; a punch that flips is no outcome and is refused."""
    found = predict_difference(DEMO, reference="base", change=RAISED, outcome="airborne", grade_deg=35.0)
    cars = [load_vehicle(DEMO, setup=name) for name in ("base", RAISED)]
    own = [punch(car, grade_deg=35.0).summary for car in cars]
    base, raised = (summary["front_airborne_s"] for summary in own)
    assert found.difference == pytest.approx(1e3 * (raised - base), abs=1e-9) and found.words.startswith("punch of")
    (ends,) = difference_ranges(cars, {"grade_deg": 35.0}, own)
    # The margin reaches both ends over divisions of the pull, and those of random vehicles.
    assert found.margin >= max(abs(1e3 * end - found.difference) for end in ends["front_airborne_s"])
    assert 5.0 < found.margin < 60.0 and "95 % of random vehicles" in found.words
    with pytest.raises(MissingDataError, match="flips over in a full-throttle punch at 60 deg"):
        predict_difference(DEMO, reference="base", change=RAISED, outcome="airborne", grade_deg=60.0)


def test_a_trial_of_punches_is_sealed_in_milliseconds():
    """Two frames of 240 a second can be measured, a tenth of a second is noticed."""
    plan = plan_trial(options()).plan
    assert plan.kind.unit == "ms" and plan.measurable == pytest.approx(2e3 / 240.0) and plan.noticeable == 100.0
    assert plan.kind.show(-60.0, sign=True) == "-60 ms"
    with pytest.raises(TrialPlanError, match=r"needs the grade of the board in degrees"):
        plan_trial(options(grade_deg=None))


@pytest.mark.parametrize(
    ("outcome", "scatter", "unit"), [("airborne", 0.02, "ms"), ("tip_angle", 12.0, "deg"), ("front_scale", 0.008, "g")]
)
def test_a_scatter_in_another_unit_is_refused(outcome, scatter, unit):
    """Seconds for milliseconds, per cent for degrees, kilograms for grams."""
    (fault,) = check_options(options(outcome=outcome, scatter=Scatter(scatter), noticeable=30.0))
    assert f"a scatter of {scatter:g} {unit} is not that of {OUTCOMES[outcome].words}" in fault
    assert not check_options(
        options(outcome=outcome, scatter=Scatter(OUTCOMES[outcome].typical_scatter), noticeable=30.0)
    )


def test_chances_of_the_other_outcomes_are_those_of_their_own_trials():
    design = Design("free", 6)
    found = {
        other.outcome.key: other
        for other in other_chances(
            DEMO,
            reference="base",
            change=RAISED,
            chosen="tip_angle",
            grade_deg=35.0,
            design=design,
            repeats=3,
            alpha=0.05,
        )
    }
    assert set(found) == set(OUTCOMES) - {"tip_angle"} and found["pass_fail"].power is None
    scale = found["front_scale"]
    there = predict_difference(DEMO, reference="base", change=RAISED, outcome="front_scale", grade_deg=35.0).difference
    # Chances need no margin, and the difference is the same with one.
    assert scale.difference == there
    assert scale.power == find_reach(design, Scatter(8.0).of_mean(3), alpha=0.05).power(there)
    without = other_chances(
        DEMO, reference="base", change=RAISED, chosen="tip_angle", grade_deg=None, design=design, repeats=3, alpha=0.05
    )
    assert {o.outcome.key: o.why for o in without}["airborne"] == "needs the grade of the board (--grade)"


def test_the_plan_says_what_was_not_chosen_and_what_is_left_out(capsys):
    arguments = f"trial plan {DEMO} --change {RAISED} --grade 25 --installation-sd 0.3 --pairs 5 --size-only"
    assert main(arguments.split()) == 0
    out = capsys.readouterr().out
    assert out.splitlines()[2].startswith("In 120 minutes it finds a true -0.64 deg with a chance of ")
    assert "each takes 4 installations more (12 readings, some 48 minutes)" in out
    assert all(f"\n{key} " in out for key in ("front_scale", "staircase", "airborne", "pass_fail"))
