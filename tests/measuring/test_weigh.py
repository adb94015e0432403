"""Weighing: exact readings give exact answers, traps are named, tipped heights are solved back."""

import numpy as np
import pytest

import simulated_readings as simulated
from noseload.csv_input import ReadingsFileError, parse_readings
from noseload.demo import DEMO
from noseload.model.crawl.load_budget import centre_of_gravity as in_the_pose
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle, parse_vehicle
from noseload.model.file.setups import apply_lines
from noseload.model.measuring.weighing import front_share_lifted, lift_angle
from noseload.studies.climb.sweep import climb_of
from noseload.studies.measuring.fitted_quantities import centre_of_gravity, changed
from noseload.studies.weighing.layout import WEIGH_LAYOUT
from noseload.studies.weighing.tip import standing_height
from noseload.studies.weighing.weigh import weigh_readings

SETTINGS = "# wheelbase_mm = 320\n# rear_radius_mm = {rear}\n# front_radius_mm = {front}\n{more}"
HEADER = "kind, angle_deg, lift_mm, front_g, rear_g, direction, repeat\n"
EXACT_MM = 1e-6
"""Exact readings are printed to 1e-9 of their size."""


def file_of(rows, *, rear=60.0, front=60.0, more=""):
    lines = [", ".join(str(cell) for cell in row) for row in rows]
    return SETTINGS.format(rear=rear, front=front, more=more) + HEADER + "\n".join(lines) + "\n"


def exact_rows(*, rear=0.060, front=0.060, angles=(20, 30, 40), lift_stiffness=None):
    """Level row and lifted rows of vehicle C1 (3 kg, L 320, b 170 from the rear, h 90 mm), without noise."""
    rows = [["level", "", "", 1593.75, 1406.25, "", 1]]
    for kind, side in (("front_lifted", 1), ("rear_lifted", -1)):
        for degrees in angles:
            beta = side * np.radians(degrees)
            share = front_share_lifted(beta, 0.170, 0.090, 0.320, rear, front)
            loads = [3000 * share, 3000 * (1 - share)]
            where = [degrees, ""]
            if lift_stiffness:
                sag = (loads[0] - 1593.75) * 9.80665e-3 / lift_stiffness
                rise = 320 * np.sin(beta) + 1e3 * (front - rear) * (np.cos(beta) - 1) + 2 * sag
                where = ["", side * rise]
            rows.append([kind, *where, "" if side > 0 else loads[0], loads[1] if side > 0 else "", "up", 1])
    return rows


def weigh_text(text, **options):
    return weigh_readings(parse_readings(text, WEIGH_LAYOUT), **options)


@pytest.mark.parametrize(("rear", "front"), [(60.0, 60.0), (65.0, 55.0)])
def test_exact_by_angle(rear, front):
    """ISO 10392:2011 and the moment balance: equal and unequal radii give 170 and 90 mm back, the free radii among the errors."""
    result = weigh_text(file_of(exact_rows(rear=rear / 1e3, front=front / 1e3), rear=rear, front=front))
    assert result["centre_of_gravity_from_rear_mm"].value == pytest.approx(170.0, abs=EXACT_MM)
    assert result["centre_of_gravity_height_mm"].value == pytest.approx(90.0, abs=EXACT_MM)
    assert result["total_mass_g"].value == pytest.approx(3000.0, abs=EXACT_MM)
    assert result.height_from == "lift" and not result.warnings
    assert set(result.lines) == {
        "wheelbase_mm",
        "weighed.rear_g",
        "weighed.front_g",
        "weighed.centre_of_gravity_height_mm",
    }


def test_exact_by_height_with_deflecting_tyres():
    """Lifts given as heights, tyres that give way under the shifted load."""
    rows = exact_rows(lift_stiffness=3.6)
    more = "# tyre_stiffness_n_per_mm = 3.6\n"
    exact = weigh_text(file_of(rows, more=more))
    assert exact["centre_of_gravity_height_mm"].value == pytest.approx(90.0, abs=EXACT_MM)
    rigid = weigh_text(file_of(rows))
    assert abs(rigid["centre_of_gravity_height_mm"].value - 90.0) > 0.05
    angle = lift_angle(0.1, 0.32, 0.06, 0.06)
    assert angle == pytest.approx(np.arcsin(0.1 / 0.32))


def test_error_of_one_lift():
    """One lift at 30 deg, 2 g scale, 0.5 deg gauge: 0.523 and 0.605 mm, level readings and lengths exact."""
    rows = [["level", "", "", 1593.75, 1406.25, "", k] for k in range(1, 401)]
    share = front_share_lifted(np.radians(30), 0.170, 0.090, 0.320, 0.060, 0.060)
    rows.append(["front_lifted", 30, "", "", 3000 * (1 - share), "", 1])
    more = "# gauge_zero_error_deg = 0\n# scale_error_g = 2\n# angle_error_deg = 0.5\n# wheelbase_error_mm = 0.0001\n# radius_error_mm = 0.0001\n"
    result = weigh_text(file_of(rows, more=more))
    expected = np.hypot(0.523 / np.sqrt(2), 0.605)
    assert result["centre_of_gravity_height_mm"].standard_error == pytest.approx(expected, abs=3e-3)


def test_level_only_says_what_is_missing():
    result = weigh_text(file_of([["level", "", "", 1593.75, 1406.25, "", 1]]))
    assert result.height_from == "none"
    assert any("not determined" in note for note in result.notes)
    assert "weighed.centre_of_gravity_height_mm" not in result.lines


FOUR = "kind, rear_left_g, rear_right_g, front_left_g, front_right_g, repeat\n"


def four_wheels(rows, more="# track_width_mm = 200\n# scale_gain_error_percent = 0\n"):
    text = SETTINGS.format(rear=60.0, front=60.0, more=more) + FOUR
    return weigh_text(text + "".join(", ".join(map(str, row)) + "\n" for row in rows))


def test_four_wheels_give_the_side_offset_with_its_error():
    """y = 100 (1530 - 1470) / 3000 = 2 mm; each of four readings moves it by 100 / 3000 mm a gram: 0.0667 mm for 1 g."""
    result = four_wheels([["level", 715, 691.25, 815, 778.75, 1]])
    offset = result["centre_of_gravity_left_mm"]
    assert offset.value == pytest.approx(2.0, abs=EXACT_MM)
    of_scale = np.sqrt(2 * 98**2 + 2 * 102**2) / 3000
    assert offset.standard_error == pytest.approx(np.hypot(of_scale, 2.0 * 1.0 / 200), rel=1e-9)
    assert result["centre_of_gravity_from_rear_mm"].value == pytest.approx(320 * 1593.75 / 3000, abs=EXACT_MM)
    assert result["rear_g"].standard_error == pytest.approx(np.sqrt(2.0), rel=1e-6)
    assert result.lines["weighed.rear_left_g"] == 715 and result.lines["track_width_mm"] == 200
    assert sum(result.lines[f"weighed.front_{side}_g"] for side in ("left", "right")) == pytest.approx(1593.75, abs=0.1)


def test_a_twisted_frame_does_not_move_the_side_offset():
    """40 g more on one diagonal: both sides weigh what they did."""
    plain = four_wheels([["level", 715, 691.25, 815, 778.75, 1]])
    twisted = four_wheels([["level", 725, 681.25, 805, 788.75, 1]])
    assert twisted["centre_of_gravity_left_mm"].value == pytest.approx(plain["centre_of_gravity_left_mm"].value)
    assert twisted["diagonal_difference_g"].value - plain["diagonal_difference_g"].value == pytest.approx(40.0)
    assert any("one diagonal carries" in note for note in twisted.notes)


def test_four_wheels_make_a_vehicle_file_that_says_the_same():
    result = four_wheels([["level", 715, 691.25, 815, 778.75, k] for k in (1, 2)])
    vehicle = parse_vehicle(
        apply_lines({"tyre": {"loaded_radius_mm": 60}, "weighed": {"centre_of_gravity_height_mm": 90}}, result.lines)
    )
    assert vehicle.body.side_offset * vehicle.body.mass / vehicle.mass == pytest.approx(2e-3, rel=1e-3)
    assert not vehicle.warnings


def test_some_of_four_wheels_and_no_track_are_named_together():
    with pytest.raises(ReadingsFileError) as caught:
        four_wheels([["level", 715, "", 815, 778.75, 1]], more="")
    said = " | ".join(caught.value.faults)
    assert "rear_right_g empty; give all four wheels or none" in said
    assert "setting track_width_mm: missing" in said


def trap(rows=None, more="", **options):
    return " | ".join(weigh_text(file_of(rows or exact_rows(), more=more), **options).warnings)


def test_traps():
    """Each classic trap is named, with its size where that can be known."""
    assert "the largest lift is 8.0 deg" in trap(exact_rows(angles=(4, 6, 8)))
    assert "suspension was left free" in trap(more="# suspension = free\n")
    # Suspension left free at 40 deg with K 300 N/m and the assumed axle share: a few millimetres
    assert "here by about" in trap(more="# suspension = free\n# wheel_rate_n_per_mm = 0.3\n")
    rows = exact_rows()
    rows[1][3] = 3000 - rows[1][4] + 40
    assert "row 6: front and rear add up to 3040 g" in trap(rows)
    assert "fewer than three lift angles" in trap(exact_rows(angles=(30,)))
    rows = exact_rows()
    rows[2][4] += 30
    assert "row 7 lies" in trap(rows)
    assert "scatter more than their stated errors" in trap(rows)


def test_trap_wheels_not_free():
    """Stiction: readings going up and coming down apart by 8 g."""
    rows = exact_rows()
    down = [[*row[:5], "down", 1] for row in rows[1:]]
    for row in down:
        place = 3 if row[4] == "" else 4
        row[place] += 8 if place == 4 else -8
    assert "lifted wheels did not roll freely" in trap(rows + down)


def test_trap_ends_differ():
    """A gauge that reads 2 deg too much on both ends shifts front and rear lifts apart in level reference."""
    rows = exact_rows()
    for row in rows[1:]:
        if row[0] == "rear_lifted":
            row[3] += 15
    assert "front lifted and rear lifted give heights" in trap(rows)


def test_tip_test_level_a():
    """Jazar 2008, example 46: C1 tips at 62.102729 deg; one angle gives 90 mm, the height may not confirm the prediction."""
    rows = [["level", "", "", 1593.75, 1406.25, "", 1], ["tip_front_up", 62.102729, "", "", "", "", 1]]
    result = weigh_text(file_of(rows))
    assert result["centre_of_gravity_height_mm"].value == pytest.approx(90.0, abs=1e-5)
    assert result.tip_used and result.squat == "not corrected"
    assert any("may not be used to confirm" in note for note in result.notes)
    assert any("fewer than three tip readings" in warning for warning in result.warnings)
    rear = weigh_text(file_of([rows[0], ["tip_rear_up", 59.036243, "", "", "", "", 1]]))
    assert rear["centre_of_gravity_height_mm"].value == pytest.approx(90.0, abs=1e-5)


def test_tip_ends_disagree():
    rows = [["level", "", "", 1593.75, 1406.25, "", 1]]
    rows += [["tip_front_up", 62.1 + d, "", "", "", "", k] for k, d in enumerate((-0.1, 0, 0.1))]
    rows += [["tip_rear_up", 50.0 + d, "", "", "", "", k] for k, d in enumerate((-0.1, 0, 0.1))]
    assert "front up and rear up give different heights" in trap(rows)


def test_lifted_readings_leave_the_tip_free():
    """With both, the tip angles stay free to check the prediction; asking for the tip turns that round."""
    text = simulated.weighing(np.random.default_rng(4))
    lift = weigh_text(text)
    assert lift.height_from == "lift" and any("remain free" in note for note in lift.notes)
    tip = weigh_text(text, height_from="tip")
    assert tip.tip_used and tip["lifted_height_mm"].value == lift["centre_of_gravity_height_mm"].value
    assert tip.to_dict()["tip_used"] is True


@pytest.fixture(scope="module")
def demo():
    return load_vehicle(DEMO)


def test_squat_correction(demo):
    """The demo vehicle's own tip-over grades, up and down, give its own standing height back."""
    limits = climb_of(demo).limits
    true = centre_of_gravity(demo)[1]
    for grade in (limits.tip_over_grade_deg, limits.tip_over_downhill_grade_deg):
        start = changed(demo, {"cg_height": 1e3 * true + 9.0})
        assert standing_height(start, np.radians(grade)) == pytest.approx(true, abs=1e-8)


def test_weigh_solves_squat_back(demo):
    """A tipped height is centimetres off for a sprung vehicle; with the vehicle the standing height comes out."""
    limits = climb_of(demo).limits
    grade = limits.tip_over_grade_deg
    share = centre_of_gravity(demo)[0] / demo.wheelbase
    front, rear = 1e3 * demo.mass * share, 1e3 * demo.mass * (1 - share)
    rows = [["level", "", "", front, rear, "", 1]]
    rows += [["tip_front_up", grade + d, "", "", "", "", k] for k, d in enumerate((-0.3, -0.1, 0.1, 0.3))]
    text = file_of(rows).replace("wheelbase_mm = 320", "wheelbase_mm = 318")
    plain, solved = weigh_text(text), weigh_text(text, vehicle=demo)
    assert plain["centre_of_gravity_height_mm"].value > 90.0 and "no height of any pose" in plain.notes[-1]
    # In the pose itself the front carries nothing: height = distance / tan(grade), both of the pose; the level distance gives 95.
    climb = climb_of(demo)
    along, up, _ = in_the_pose(climb.standing.values, [0.0, *climb.tip_point().state[:8]])
    assert up == pytest.approx(along / np.tan(np.radians(grade)), rel=1e-6) and 91e-3 < up < 93e-3
    assert f"it stands {1e3 * up:.1f} mm above the board" in " ".join(solved.notes)
    assert solved.squat == "corrected"
    assert solved["centre_of_gravity_height_mm"].value == pytest.approx(1e3 * centre_of_gravity(demo)[1], abs=1e-3)
    assert solved["centre_of_gravity_height_mm"].standard_error > 0.1


def test_impossible_tip_angle(demo):
    with pytest.raises(ModelError, match=r"no height of the centre of gravity|reaches no tip-over"):
        standing_height(demo, np.radians(3.0))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda rows: rows[0].__setitem__(1, 3), "row 5, column angle_deg or lift_mm: a level row has no lift"),
        (lambda rows: rows[1].__setitem__(1, ""), "row 6, column angle_deg: empty; give the angle or lift_mm"),
        (lambda rows: rows[1].__setitem__(2, 90), "row 6: angle_deg and lift_mm are both given"),
        (lambda rows: rows[1].__setitem__(4, ""), "row 6, columns front_g and rear_g: both empty"),
        (lambda rows: rows[0].__setitem__(3, ""), "column front_g: no level reading"),
        (lambda rows: rows[0].__setitem__(3, 0), "column front_g: the level reading is 0"),
        (lambda rows: rows.append(["tip_front_up", "", 90, "", "", "", 1]), "tip test needs the board's angle"),
        (
            lambda rows: (rows[1].__setitem__(1, ""), rows[1].__setitem__(2, 500)),
            "row 6, column lift_mm: blocks higher",
        ),
    ],
)
def test_row_faults(change, message):
    rows = exact_rows()
    change(rows)
    with pytest.raises(ReadingsFileError, match=message):
        weigh_text(file_of(rows))


def test_asked_height_must_be_there():
    level = [["level", "", "", 1593.75, 1406.25, "", 1]]
    with pytest.raises(ReadingsFileError, match="asked from lifted readings"):
        weigh_text(file_of(level), height_from="lift")
    with pytest.raises(ReadingsFileError, match="asked from the tip test"):
        weigh_text(file_of(level), height_from="tip")
