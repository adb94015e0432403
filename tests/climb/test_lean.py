"""The rigid vehicle off the straight line and on a step, against statics and published formulas."""

from dataclasses import replace
from math import atan, cos, degrees, radians, sin, sqrt, tan
from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.errors import MissingDataError, ModelError
from noseload.model.file.reader import load_vehicle, parse_vehicle
from noseload.model.units import STANDARD_GRAVITY
from noseload.studies.climb.lean import front_step, lean

ANGLE_DEG = 1e-6
"""As the source's number is given."""
RELATIVE = 1e-9
"""Closed forms against a linear solve."""
CHECK = Path(__file__).parents[1] / "data" / "check.toml"


def c1(track_mm=200.0, driven="both", front_grip=2.0):
    """3.000 kg, wheelbase 320, centre of gravity 170 ahead of the rear axle and 90 high, wheel radius 60 mm."""
    document = {
        "wheelbase_mm": 320,
        "track_width_mm": track_mm,
        "weighed": {"rear_g": 3000 * 150 / 320, "front_g": 3000 * 170 / 320, "centre_of_gravity_height_mm": 90},
        "tyre": {"loaded_radius_mm": 60, "grip_coefficient": 2.0},
        "front": {"tyre": {"grip_coefficient": front_grip}},
        "drive": {"driven_axles": driven},
    }
    return parse_vehicle(document, file="c1.toml")


def test_straight_up_it_tips_over_the_rear_axle():
    """R. N. Jazar, Vehicle Dynamics 2008, example 46: tan = c / h, 62.102729 deg."""
    row = lean(c1()).rows[0]
    assert row.tips_over == "rear_axle" and row.downhill_side_angle_deg is None
    assert row.tip_angle_deg == pytest.approx(62.102729, abs=ANGLE_DEG)


def test_across_the_slope_it_tips_by_the_static_stability_factor():
    """49 CFR Part 575: static stability factor t / (2 h), the tangent of the tilt angle of a rigid vehicle."""
    row = lean(c1()).rows[-1]
    assert row.tips_over == "downhill_side" and row.rear_axle_angle_deg is None
    assert tan(radians(row.tip_angle_deg)) == pytest.approx(200 / (2 * 90), rel=RELATIVE)


@pytest.mark.parametrize("heading_deg", [5.0, 25.0, 31.0, 60.0, 85.0])
def test_on_a_crooked_line_the_weight_leaves_the_contact_rectangle(heading_deg):
    """Statics in space: just below the tip angle the weight's line meets the plane inside the rectangle, just above outside."""
    result = lean(c1(), step_deg=0.5)
    row = next(r for r in result.rows if r.heading_deg == heading_deg)
    for factor, inside in ((0.999, True), (1.001, False)):
        slope, heading = radians(row.tip_angle_deg * factor), radians(heading_deg)
        # Weight in vehicle axes (x forward, y left, z up): downhill part back and to one side.
        weight = np.array([-sin(slope) * cos(heading), -sin(slope) * sin(heading), -cos(slope)])
        foot = np.array([0.170, 0.0, 0.090]) + weight * 0.090 / cos(slope)
        assert (0.0 < foot[0] < 0.320 and abs(foot[1]) < 0.100) == inside


def test_the_heading_where_sideways_comes_first():
    """Both edges at once: tan(heading) = (t / 2) / b; there the tip angle is largest."""
    result = lean(c1(), step_deg=1.0)
    assert result.change_over_deg == pytest.approx(degrees(atan(100 / 170)), abs=ANGLE_DEG)
    angles = [row.tip_angle_deg for row in result.rows]
    assert abs(result.rows[int(np.argmax(angles))].heading_deg - result.change_over_deg) < 1.0
    assert angles[0] < max(angles) > angles[-1]


def test_no_step_is_the_plane_slope():
    """Jazar 2008, eq. 2.44-2.45: 9.398232 and 16.080192 N on 30 deg."""
    result = front_step(c1(), step_mm=0.0, grade_deg=30.0)
    assert (result.front_load_n, result.rear_load_n) == pytest.approx((9.398232, 16.080192), rel=1e-6)
    assert result.front_load_n == pytest.approx(result.front_load_without_step_n, rel=RELATIVE)
    assert result.tip_over_grade_deg == pytest.approx(62.102729, abs=ANGLE_DEG)
    assert result.grip_needed == pytest.approx(tan(radians(30.0)), rel=RELATIVE)


@pytest.mark.parametrize("driven", ["both", "rear", "front"])
@pytest.mark.parametrize("front_grip", [2.0, 1.4])
@pytest.mark.parametrize(("step_mm", "grade_deg"), [(40.0, 35.0), (-30.0, 20.0), (60.0, -25.0), (25.0, 0.0)])
def test_step_loads_balance_forces_and_moments(driven, front_grip, step_mm, grade_deg):
    """Newton and Euler for a rigid body on two contacts: three sums are zero, tractions shared by grip times load."""
    result = front_step(c1(driven=driven, front_grip=front_grip), step_mm=step_mm, grade_deg=grade_deg)
    rise, turn = 1e-3 * step_mm, radians(result.nose_up_pitch_deg)
    assert sin(turn) == pytest.approx(rise / 0.320, rel=RELATIVE, abs=1e-15)
    x = 0.170 * cos(turn) - 0.030 * sin(turn)
    z = 0.060 + 0.170 * sin(turn) + 0.030 * cos(turn)
    span = sqrt(0.320**2 - rise**2)
    weight, grade = 3.0 * STANDARD_GRAVITY, radians(grade_deg)
    front, rear = result.front_load_n, result.rear_load_n
    pull = weight * sin(grade)
    share = {"both": front_grip * front / (front_grip * front + 2.0 * rear), "rear": 0.0, "front": 1.0}[driven]
    assert front + rear == pytest.approx(weight * cos(grade), rel=RELATIVE)
    moment = front * span - share * pull * rise - weight * cos(grade) * x + weight * sin(grade) * z
    assert moment == pytest.approx(0.0, abs=RELATIVE * weight)


def test_past_tip_over_loads_are_none():
    """The step lowers the tip-over grade; past it there are no loads, and the command says so with exit 3."""
    result = front_step(c1(), step_mm=50.0, grade_deg=60.0)
    assert result.status == "beyond_tip_over" and result.front_load_n is None and result.grip_needed is None
    assert result.tip_over_grade_deg < result.tip_over_without_step_deg
    assert main(["lean", "--front-step", "50", "--grade", "80"]) == 3


def test_impossible_questions_are_refused_in_words(capsys):
    """A vertical face and torque twist lie outside the planar model; so does a step as long as the vehicle."""
    for option, words in (("--vertical-face", "outside the planar model"), ("--torque-twist", "one side to the other")):
        assert main(["lean", option]) == 2
        captured = capsys.readouterr()
        assert words in captured.err and captured.out == ""
    with pytest.raises(ModelError, match="more than 60 deg"):
        front_step(c1(), step_mm=300.0)
    with pytest.raises(ModelError, match=r"0\.1 to 90 deg"):
        lean(c1(), step_deg=0.0)
    with pytest.raises(MissingDataError, match="track_width_mm"):
        lean(load_vehicle(CHECK))
    assert main(["lean", "--front-step", "10", "--plot", "x.png"]) == 2


def test_command_outputs(capsys, tmp_path):
    """Text, JSON, CSV and picture of the demo vehicle."""
    assert (
        main(["lean", "--step", "30", "--csv", str(tmp_path / "lean.csv"), "--plot", str(tmp_path / "lean.svg")]) == 0
    )
    assert "downhill wheels" in capsys.readouterr().out
    assert (tmp_path / "lean.csv").read_text().startswith("heading_deg,tip_angle_deg,tips_over")
    assert (tmp_path / "lean.svg").read_text().startswith("<?xml")
    assert main(["lean", "--front-step", "20", "--json", "--csv", str(tmp_path / "step.csv")]) == 0
    assert '"front_load_without_step_n"' in capsys.readouterr().out


def test_set_ups_and_other_datums_keep_the_measured_block():
    """Different wheel heights front and rear: a step that levels the wheel centres' line turns nothing else."""
    vehicle = c1()
    lower = replace(vehicle, front=replace(vehicle.front, tyre=replace(vehicle.front.tyre, loaded_radius=0.050)))
    flat = front_step(lower, step_mm=0.0)
    assert flat.nose_up_pitch_deg == pytest.approx(0.0, abs=1e-12)
    assert front_step(lower, step_mm=10.0).nose_up_pitch_deg == pytest.approx(degrees(atan(10 / 320)), rel=RELATIVE)
