"""Which wheels hold the vehicle on the board decides what its front carries."""

from dataclasses import replace

import numpy as np
import pytest

from noseload import creep
from noseload.csv_input import parse_readings
from noseload.model.parameters import rigid_centre_of_gravity
from noseload.model.units import STANDARD_GRAVITY, grams_of_force
from noseload.studies.bench.board import BoardClimb, board_front_load, held_vehicle, locked_range
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import Split
from noseload.studies.climb.sweep import climb_of
from noseload.studies.measuring.readings import READINGS_LAYOUT, compare_with
from noseload.studies.trial.prediction import predict_difference
from reference_vehicle import REFERENCE, reference_vehicle

GRADE, ROUNDING = 45.0, 1e-8


@pytest.fixture(scope="module")
def demo():
    return reference_vehicle()


@pytest.fixture(scope="module")
def crawl(demo):
    return climb_of(demo)


def reading(demo, setting, value):
    head = f"# held_wheels = {setting}\n" if setting else ""
    return compare_with(
        parse_readings(f"{head}kind, grade_deg, scale_g\nfront_load, 45, {value}\ntip_over, 61.4,\n", READINGS_LAYOUT),
        demo,
    )


@pytest.mark.parametrize(
    ("setting", "held", "expected"), [("", "rear", 517), ("rear", "rear", 517), ("front", "front", 605)]
)
def test_a_reading_is_held_against_the_wheels_that_hold(demo, setting, held, expected):
    """517 and 605 g: the same statics as a crawl driven behind or in front alone; the crawl on all four carries 555."""
    result = reading(demo, setting, expected)
    assert result.status == "explained" and grams_of_force(result.predicted[0]) == pytest.approx(expected, abs=0.5)
    drive = replace(demo.drive, driven_axles=held)
    assert result.predicted[0] == pytest.approx(
        creep(replace(demo, drive=drive), grade_deg=GRADE).front_load_n, abs=ROUNDING
    )
    assert f"held_wheels = {held}" in result.verdict[-1]
    assert reading(demo, setting, 555).status == "not_explained"


def test_all_locked_leaves_it_open_between_bounds_until_the_front_is_free(demo, crawl):
    result = reading(demo, "both", 555)
    assert result.status == "explained" and "anything from 517 to 591 g" in result.verdict[-1]
    low, high = locked_range(crawl, GRADE)
    assert result.errors[0] > (high - low) / np.sqrt(12.0)
    # A front that carries nothing pulls nothing: the same tip-over whatever holds.
    for held in ("rear", "front", "both"):
        limits = BoardClimb(climb_of, demo, held).limits
        assert limits.tip_over_grade_deg == pytest.approx(crawl.limits.tip_over_grade_deg, abs=1e-6)
        assert limits.tip_over_downhill_grade_deg == pytest.approx(crawl.limits.tip_over_downhill_grade_deg, abs=1e-6)


def test_bounds_are_no_pull_in_front_and_all_that_its_grip_or_the_slope_gives(demo, crawl):
    """At the lower end as rear drive without rolling; the ends bracket equal slip; where grip is plenty the upper is front drive."""
    low, high = locked_range(crawl, GRADE)
    assert low == pytest.approx(board_front_load(demo, GRADE), abs=ROUNDING)
    assert low < crawl.row(GRADE).front_load_n < high < board_front_load(demo, GRADE, "front")
    assert locked_range(crawl, 10.0)[1] == pytest.approx(board_front_load(demo, 10.0, "front"), abs=ROUNDING)
    # The other end: the front pulls mu N_f, as the faster front of geared axles does where slip costs nothing.
    slick = {"slip_speed": 1e-5, "slip_ratio_scale": 2e-3}
    rear, front = (replace(axle, tyre=replace(axle.tyre, **slick)) for axle in (demo.rear, demo.front))
    stiff = Climb(replace(demo, rear=rear, front=front), split=Split(0.05, (0.0, 0.0)))
    assert high == pytest.approx(stiff.row(GRADE).front_load_n, abs=1e-3)


def test_a_setup_holds_as_its_base_does(demo):
    raised = reference_vehicle(setup="raised_rear_upper_mount")
    held = held_vehicle(raised, "rear")
    assert held.drive.driven_axles == held.base.drive.driven_axles == "rear" and held_vehicle(raised, "both") is raised


def test_a_trial_by_the_front_scale_predicts_what_that_scale_reads(monkeypatch):
    """Its sheet puts the front plate on dowels, so that the rear wheels hold; the crawl's difference is another one."""
    from noseload.studies.trial import prediction

    monkeypatch.setattr(prediction, "MARGIN_DRAWS", 10)

    found = predict_difference(
        REFERENCE, reference="base", change="raised_rear_upper_mount", outcome="front_scale", grade_deg=GRADE
    )
    loads = [
        grams_of_force(board_front_load(reference_vehicle(setup=name), GRADE))
        for name in (None, "raised_rear_upper_mount")
    ]
    assert found.difference == pytest.approx(loads[1] - loads[0], abs=1e-6)


def test_a_tie_or_chock_on_the_board_carries_load_past_the_tyres(demo):
    """Derived: the pull W sin g then acts at the height r of the axle, which adds W r sin g / L in front: 355 g at 45 deg."""
    weight = demo.mass * STANDARD_GRAVITY
    extra = weight * demo.rear.tyre.wheel_centre_height * np.sin(np.radians(GRADE)) / demo.wheelbase
    assert grams_of_force(extra) == pytest.approx(355.0, abs=1.0)
    along, up = rigid_centre_of_gravity(demo)
    assert np.degrees(np.arctan2(along, up)) == pytest.approx(67.1, abs=0.2)
    assert np.degrees(np.arctan2(along, up - demo.rear.tyre.wheel_centre_height)) == pytest.approx(84.9, abs=0.3)
