"""Four wheels of the rigid vehicle against statics and published formulas."""

from math import atan, cos, degrees, radians, sin, tan

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.errors import MissingDataError
from noseload.model.file.reader import parse_vehicle
from noseload.model.units import STANDARD_GRAVITY
from noseload.studies.wheels.answer import all_headings, wheels_answer
from noseload.studies.wheels.rigid import RigidClimb4, rigid_wheels
from noseload.studies.wheels.sentences import sentence

ANGLE_DEG = 1e-6
"""As the source's number is given."""
RELATIVE = 1e-9
"""Closed forms against sums of forces and moments."""


def c1(track_mm=200.0, driven="both", **weighed):
    """3.000 kg, wheelbase 320, centre of gravity 170 ahead of the rear axle and 90 high, wheel radius 60 mm."""
    document = {
        "wheelbase_mm": 320,
        "track_width_mm": track_mm,
        "weighed": {"rear_g": 3000 * 150 / 320, "front_g": 3000 * 170 / 320, "centre_of_gravity_height_mm": 90}
        | weighed,
        "tyre": {"loaded_radius_mm": 60, "grip_coefficient": 2.0},
        "drive": {"driven_axles": driven},
    }
    if track_mm is None:
        del document["track_width_mm"]
    return parse_vehicle(document, file="c1.toml")


def test_straight_up_it_tips_over_the_rear_axle():
    """R. N. Jazar, Vehicle Dynamics 2008, example 46: tan = c / h, 62.102729 deg; both front wheels lift at once."""
    limits = RigidClimb4(c1()).limits
    assert limits.tip_over_grade_deg == pytest.approx(62.102729, abs=ANGLE_DEG)
    assert limits.first_wheel_lift_grade_deg == pytest.approx(62.102729, abs=ANGLE_DEG)
    assert limits.first_wheel == "front_both" and limits.over_sideways_grade_deg is None


@pytest.mark.parametrize(("heading_deg", "wheels"), [(90.0, "right"), (-90.0, "left"), (270.0, "left")])
def test_across_the_slope_it_tips_by_the_static_stability_factor(heading_deg, wheels):
    """49 CFR Part 575: static stability factor t / (2 h), the tangent of the tilt angle of a rigid vehicle.

    With the nose turned left of straight up the right side is uphill: its wheels lift.
    """
    limits = RigidClimb4(c1(), heading_deg=heading_deg).limits
    assert tan(radians(limits.over_sideways_grade_deg)) == pytest.approx(200 / (2 * 90), rel=RELATIVE)
    assert limits.first_wheel.endswith(wheels)


@pytest.mark.parametrize("heading_deg", [5.0, 25.0, 31.0, 60.0, 85.0, 130.0, 180.0, 200.0, 340.0])
def test_on_a_crooked_line_the_weight_leaves_the_contact_rectangle(heading_deg):
    """Statics in space: just below the angle it goes over the weight's line meets the plane inside, just above outside."""
    limits = RigidClimb4(c1(), heading_deg=heading_deg).limits
    over = [g for g in (limits.tip_over_grade_deg, limits.over_sideways_grade_deg) if g is not None]
    for factor, inside in ((0.999, True), (1.001, False)):
        slope, heading = radians(min(over) * factor), radians(heading_deg)
        weight = np.array([-sin(slope) * cos(heading), sin(slope) * sin(heading), -cos(slope)])
        foot = np.array([0.170, 0.0, 0.090]) + weight * 0.090 / cos(slope)
        assert (0.0 < foot[0] < 0.320 and abs(foot[1]) < 0.100) == inside


def test_the_heading_where_sideways_comes_first():
    """Both edges at once: tan(heading) = (t / 2) / b."""
    change = degrees(atan(100 / 170))
    below, above = (RigidClimb4(c1(), heading_deg=change + d).limits for d in (-0.1, 0.1))
    assert below.over_sideways_grade_deg is None and above.tip_over_grade_deg is None


@pytest.mark.parametrize("heading_deg", [0.0, 20.0, 90.0, 155.0, 250.0])
@pytest.mark.parametrize("grade_deg", [5.0, 25.0, 38.0])
def test_loads_balance_forces_and_both_moments(heading_deg, grade_deg):
    """Newton and Euler for a rigid body with its weight 4 mm left of the middle: three sums are zero."""
    corners = {"rear_left_g": 750, "rear_right_g": 650, "front_left_g": 810, "front_right_g": 790}
    vehicle = c1(**corners)
    rigid = rigid_wheels(vehicle)
    assert rigid.left == pytest.approx(0.1 * 120 / 3000, rel=RELATIVE)
    row = RigidClimb4(vehicle, heading_deg=heading_deg).row(grade_deg)
    loads = np.array(row.loads_n)
    slope, heading = radians(grade_deg), radians(heading_deg)
    weight = (
        vehicle.mass * STANDARD_GRAVITY * np.array([-sin(slope) * cos(heading), sin(slope) * sin(heading), -cos(slope)])
    )
    x, y = np.array([0.0, 0.0, 0.32, 0.32]), np.array([0.1, -0.1, 0.1, -0.1])
    size = vehicle.mass * STANDARD_GRAVITY
    assert loads.min() >= 0.0
    assert loads.sum() + weight[2] == pytest.approx(0.0, abs=RELATIVE * size)
    assert loads @ y + rigid.left * weight[2] - 0.09 * weight[1] == pytest.approx(0.0, abs=RELATIVE * size)
    assert -loads @ x - rigid.distance * weight[2] + 0.09 * weight[0] == pytest.approx(0.0, abs=RELATIVE * size)


def test_level_loads_are_those_of_the_scale():
    """Left less right is shared by both axles alike where their tracks are: a stiff frame on alike tyres."""
    row = RigidClimb4(c1()).row(0.0)
    assert row.loads_n == pytest.approx([f * 3.0 * STANDARD_GRAVITY / 320 for f in (75, 75, 85, 85)], rel=RELATIVE)
    assert row.twist_n == 0.0


def test_the_loads_of_the_first_lift_are_zero_there():
    for heading_deg in (15.0, 50.0, 100.0, 210.0):
        climb = RigidClimb4(c1(), heading_deg=heading_deg)
        lift = climb.limits.first_wheel_lift_grade_deg
        before, after = climb.row(lift - 1e-6), climb.row(lift + 1e-3)
        name = f"{climb.limits.first_wheel}_load_n"
        assert 0.0 < getattr(before, name) < 1e-5
        assert getattr(after, name) == 0.0 and after.status == "wheel_up"


def test_past_going_over_loads_are_none_and_the_command_says_so(tmp_path, capsys):
    assert RigidClimb4(c1()).row(63.0).status == "beyond_tip_over"
    file = tmp_path / "c1.toml"
    text = "wheelbase_mm = 320\ntrack_width_mm = 200\n[weighed]\nrear_g = 1406\nfront_g = 1594\n"
    file.write_text(text + "centre_of_gravity_height_mm = 90\n[tyre]\nloaded_radius_mm = 60\n")
    assert main(["wheels", str(file), "--grade", "80"]) == 3
    assert "beyond_tip_over" in capsys.readouterr().out
    assert main(["wheels", str(file), "--heading", "60"]) == 0
    out = capsys.readouterr().out
    assert "Rigid vehicle (no links and springs in this file)" in out and "lifts first, at" in out
    assert main(["wheels", str(file), "--block", "front_left=20"]) == 2
    assert "rocks on a block under one wheel" in capsys.readouterr().err


def test_a_file_without_track_width_names_it():
    with pytest.raises(MissingDataError, match="track_width_mm"):
        wheels_answer(c1(track_mm=None), grade_deg=20.0)


def test_headings_all_round_mirror():
    """A symmetric vehicle lifts the other side's wheel on the mirrored heading, at the same grade."""
    result = all_headings(c1(), step_deg=30.0)
    by = dict(zip(result.headings_deg, result.first_lift_grade_deg, strict=True))
    names = dict(zip(result.headings_deg, result.first_wheel, strict=True))
    for heading in (30.0, 60.0, 90.0, 120.0, 150.0):
        assert by[heading] == pytest.approx(by[360.0 - heading], rel=RELATIVE)
        assert {names[heading].split("_")[-1], names[360.0 - heading].split("_")[-1]} == {"left", "right"}


def test_the_sentence_of_a_rigid_vehicle_names_no_shafts():
    answer = wheels_answer(c1(), grade_deg=20.0, heading_deg=40.0)
    assert sentence(answer).startswith("The front right wheel lifts first, at ") and "shaft" not in sentence(answer)
    assert answer.ranges == {} and answer.first_lift_range_deg == (None, None)
