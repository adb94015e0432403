"""The punch in space as a study and a command: what it says of each wheel, budgets, starts, ends."""

import json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.model.motion.programs import Program
from noseload.model.space.motion_budget import MOTION_TWIST_KEYS, Moments, motion_twist_budget
from noseload.model.space.parameters import WHEELS
from noseload.model.space.places import pose_in_motion
from noseload.model.space.rows import ROLL
from noseload.studies.punch.programs import slip_and_catch
from noseload.studies.punch.punch import punch
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.punch.wheels_summary import both
from noseload.studies.punch.wheels_words import wheels_sentence
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.start import space_start
from random_vehicles import random_vehicle_in_space
from reference_vehicle import REFERENCE, reference_vehicle

EXACT = 1e-9
"""Of the weight: budgets are balances of moments."""
LIKE_THE_STUDY_S = 0.01
"""An independent study of the demo vehicle on 35 deg: the right front wheel up for 520 ms, the left one never."""
STILL_MM_S = 1e-4
"""A start in space leaves the bend of its path out: speeds drift by a millionth of what a punch makes."""


@cache
def demo_punch(grade=35.0, **options):
    return punch_wheels(reference_vehicle(), grade_deg=grade, **options)


def test_the_demo_lifts_its_right_front_wheel_for_520_ms():
    """The side view has the front axle in the air for 110 ms instead."""
    result = demo_punch()
    summary = result.summary
    assert summary["first_wheel"] == "front_right"
    assert summary["front_right_airborne_s"] == pytest.approx(0.520, abs=LIKE_THE_STUDY_S)
    assert summary["front_left_airborne_s"] == 0.0 and summary["front_axle_airborne_s"] == 0.0
    assert summary["outcome"] == "lifts_and_returns"
    ms = f"{1e3 * summary['front_right_airborne_s']:.0f} ms"
    assert wheels_sentence(result) == f"The front right wheel is in the air for {ms}, the front left one never."
    flat = punch(reference_vehicle(), grade_deg=35.0, outcome=False)
    assert flat.summary["front_airborne_s"] == pytest.approx(0.110, abs=LIKE_THE_STUDY_S)


def test_budgets_add_up_at_every_instant_airborne_included():
    result = demo_punch()
    weight = reference_vehicle().mass * 9.80665
    loads = [result.traces[f"{wheel}_load_n"] for wheel in WHEELS]
    assert (loads[3] == 0.0).sum() > 400
    assert np.abs(sum(result.budget.values()) - loads[2] - loads[3]).max() < EXACT * weight
    assert tuple(result.twist_budget) == MOTION_TWIST_KEYS
    assert np.abs(sum(result.twist_budget.values()) - 0.5 * (loads[2] - loads[3])).max() < EXACT * weight
    assert np.abs(result.twist_budget["axle_rotation_n"]).max() > 1.0
    low = result.lowest
    assert sum(low["twist_budget"].values()) == pytest.approx(low["twist_n"], abs=EXACT * weight)
    assert low["time_s"] == result.summary["first_wheel_lift_s"]


def test_shafts_that_turn_the_other_way_mirror_everything():
    car = reference_vehicle()
    turned = replace(
        car,
        rear=replace(car.rear, shaft_direction=-car.rear.shaft_direction),
        front=replace(car.front, shaft_direction=-car.front.shaft_direction),
    )
    mirror = punch_wheels(turned, grade_deg=35.0, duration_s=0.4, outcome=False)
    plain = punch_wheels(car, grade_deg=35.0, duration_s=0.4, outcome=False)
    for wheel, other in (("front_left", "front_right"), ("rear_right", "rear_left")):
        # Rounding grows a little at events; nothing else tells the two apart.
        assert mirror.traces[f"{wheel}_load_n"] == pytest.approx(plain.traces[f"{other}_load_n"], abs=1e-6)
    assert mirror.traces["chassis_roll_deg"] == pytest.approx(-plain.traces["chassis_roll_deg"], abs=1e-6)
    assert mirror.summary["first_wheel"] == "front_left"


def test_a_settled_punch_is_its_own_steady_state():
    """A blip, long over: the loads are those of the start again."""
    result = demo_punch(20.0, program="blip", throttle=0.5, duration_s=2.5, sample_s=0.01, outcome=False)
    for wheel in WHEELS:
        trace = result.traces[f"{wheel}_load_n"]
        # What has turned since changes the slope that the vehicle feels: a degree of heading is 1e-3 of a load.
        assert trace[-1] == pytest.approx(trace[0], rel=0.01)
    held = demo_punch(20.0, program="hold", duration_s=0.5, sample_s=0.01)
    assert held.summary["outcome"] == "stays_loaded"
    for wheel in WHEELS:
        assert np.ptp(held.traces[f"{wheel}_load_n"]) < 2e-3


@pytest.mark.parametrize(
    ("heading", "words"),
    [(0.0, "tips over before it can start; its crawl goes up to"), (80.0, "rolls over sideways before it can start")],
)
def test_why_there_is_no_crawl_to_start_from(heading, words):
    """A vehicle across the slope was once told to tip over."""
    result = punch_wheels(reference_vehicle(), grade_deg=62.0, heading_deg=heading)
    assert result.status == "start_not_held" and words in result.message


def test_spells_of_two_wheels_overlap():
    assert both([(0.1, 0.3), (0.5, 0.9)], [(0.2, 0.6)]) == [(0.2, 0.3), (0.5, 0.6)]
    assert both([(0.1, 0.2)], [(0.3, 0.4)]) == []


@pytest.mark.parametrize(
    ("options", "outcome"),
    [
        ({"grade_deg": 50.0, "heading_deg": 60.0}, {"rolls_over"}),
        ({"grade_deg": 48.0, "throttle": 1.0, "rise_s": 0.0}, {"flips_back", "rolls_over"}),
        ({"grade_deg": 30.0, "throttle": -1.0}, {"slides_back"}),
        ({"grade_deg": 80.0}, {"start_not_held"}),
    ],
)
def test_how_punches_end(options, outcome):
    result = punch_wheels(reference_vehicle(), **options)
    assert (result.summary.get("outcome") or result.status) in outcome
    if "rolls_over" in outcome and result.success:
        assert abs(result.traces["chassis_roll_deg"][-1]) > 80.0 or result.summary["outcome"] == "flips_back"


@pytest.mark.parametrize(("start", "heading"), [("creep", 15.0), ("brake", 25.0)])
def test_a_start_beside_a_coil_that_comes_loose_is_followed(start, heading):
    """Newton from the crawl once went to and fro over that kink, and the punch at 38 deg was told as not held."""
    climb = SpaceClimb(reference_vehicle(), heading_deg=heading)
    begin = space_start(climb, grade=np.radians(38.0), creep_speed=0.1, start=start)
    assert begin.success and begin.residual < 0.05
    near = space_start(climb, grade=np.radians(37.5), creep_speed=0.1, start=start)
    assert np.abs(begin.state[:18] - near.state[:18]).max() < 0.02


def test_a_start_past_a_snap_is_the_pose_that_it_snaps_into():
    """Another random vehicle of such a fold: at 100 mm/s steady motion turns back before the crawl does."""
    climb = SpaceClimb(random_vehicle_in_space(15), heading_deg=-40.0)
    begin = space_start(climb, grade=np.radians(32.0), creep_speed=0.1)
    assert begin.success and begin.residual < 0.05
    assert np.degrees(begin.snap) == pytest.approx(29.96, abs=0.01)
    flatter = space_start(climb, grade=np.radians(29.9), creep_speed=0.1)
    assert flatter.snap is None and begin.state[ROLL] > 1.5 * flatter.state[ROLL]


def test_where_a_crawl_stands_but_no_steady_motion_the_snap_is_told():
    climb = SpaceClimb(random_vehicle_in_space(64), heading_deg=40.0)
    begin = space_start(climb, grade=np.radians(46.5), creep_speed=0.1)
    assert begin.status == "start_not_held" and np.degrees(begin.snap) == pytest.approx(45.89, abs=0.01)
    assert "no steady motion: on the way up it snaps over at 45.89 deg" in begin.message
    assert begin.message.endswith("a slower crawl snaps later")
    assert space_start(climb, grade=np.radians(46.5), creep_speed=0.05).success


def test_grip_programs_and_the_brake_start():
    slipping = demo_punch(25.0, grip_program=slip_and_catch(start_s=0.1, lost_s=0.1, fraction=0.2), duration_s=0.5)
    assert slipping.success and slipping.traces["rear_left_slip_mm_per_s"].max() > 200.0
    standing = demo_punch(25.0, start="brake", throttle=0.0, duration_s=0.3)
    assert standing.success and standing.summary["outcome"] == "stays_loaded"
    assert abs(standing.traces["travel_mm"][-1]) < 2.0
    late = Program((0.15, 0.2), (0.0, 1.0))
    go = punch_wheels(reference_vehicle(), grade_deg=25.0, start="brake", program=late, duration_s=0.5, outcome=False)
    assert go.success and go.traces["speed_mm_per_s"][140] == pytest.approx(
        go.traces["speed_mm_per_s"][0], abs=STILL_MM_S
    )
    assert go.traces["speed_mm_per_s"][-1] > 500.0


@pytest.mark.parametrize("run", [punch, punch_wheels])
def test_the_brake_lets_go_at_a_stated_time(run):
    """At 0.2 s whatever the throttle does: without throttle the vehicle rolls back from then on."""
    asked = {"grade_deg": 25.0, "start": "brake", "throttle": 0.0, "duration_s": 0.4, "outcome": False}
    result = run(reference_vehicle(), **asked, release_s=0.2)
    speed = result.traces["speed_mm_per_s"]
    assert abs(speed[199] - speed[0]) < STILL_MM_S and speed[-1] < -50.0
    with pytest.raises(ModelError, match=r"release_s = 0\.2 s: only a start on the drag brake"):
        run(reference_vehicle(), grade_deg=25.0, release_s=0.2)
    with pytest.raises(ModelError, match=r"release_s = -0\.2 s: must not be negative"):
        run(reference_vehicle(), **asked, release_s=-0.2)


def test_options_that_make_no_sense():
    with pytest.raises(ModelError, match=r"heading_deg = 200.*; mismatch = 80 %"):
        punch_wheels(reference_vehicle(), grade_deg=10.0, heading_deg=200.0, mismatch=80.0)


@pytest.mark.slow
def test_the_command(capsys, tmp_path):
    file = str(REFERENCE)
    assert main(["punch", file, "--grade", "35", "--wheels", "--csv", str(tmp_path / "a.csv")]) == 0
    out = capsys.readouterr().out
    assert out.startswith(wheels_sentence(demo_punch()) + "\n")
    assert "what rolls the axle faster or slower" in out and "to the right off the line after 1 s" in out
    head = (tmp_path / "a.csv").read_text().splitlines()[0].split(",")
    assert {"front_right_load_n", "chassis_roll_deg", "twist_budget_shocks_n", "budget_grade_n"} <= set(head)
    assert main(["punch", file, "--grade", "35", "--wheels", "--json", "--duration", "0.2", "--shafts", "off"]) == 0
    document = json.loads(capsys.readouterr().out)
    for key in ("front_left_load_n", "chassis_roll_deg", "rear_right_shock_travel_mm", "rear_lower_link_left_n"):
        assert len(document[key]) == 201
    assert {"front_left_airborne_s", "front_right_airborne_s", "front_axle_airborne_s", "front_axle_load_min_n"} <= set(
        document["summary"]
    )
    assert document["front_left_load_n"] == pytest.approx(document["front_right_load_n"], abs=1e-6)
    assert main(["punch", "--grade", "35", "--heading", "20"]) == 2
    assert "--heading only means something with --wheels" in capsys.readouterr().err


@pytest.mark.slow
def test_pictures(tmp_path):
    from noseload.pictures.punch.wheels import draw_wheels_punch, wheel_spells
    from noseload.pictures.punch.wheels_film import save_wheels_punch, wheels_frames

    result = demo_punch()
    assert wheel_spells(result, "front_right") == [
        (pytest.approx(result.summary["first_wheel_lift_s"]), pytest.approx(0.685, abs=0.005))
    ]
    assert wheel_spells(result, "front_left") == []
    figure = draw_wheels_punch(result)
    assert wheels_sentence(result) in figure.axes[0].get_title(loc="left")
    assert len(figure.axes[0].get_lines()) == 4
    assert [frame.words for frame in wheels_frames(result)][:2] == ["start", "front right lifts"]
    assert set(save_wheels_punch(result, tmp_path)) == {path.name for path in tmp_path.iterdir()}


def test_a_pose_in_motion_is_told_along_its_own_heading():
    """Turned and moved as a whole, the vehicle looks the same."""
    result = demo_punch()
    numbers, state = result.standing.equilibrium.numbers, result.states[:, 200].copy()
    here = pose_in_motion(numbers, state)
    turn = 0.7
    cosine, sine = np.cos(turn), np.sin(turn)
    for k in range(3):
        x, y = state[6 * k : 6 * k + 2]
        state[6 * k : 6 * k + 2] = cosine * x - sine * y + 3.0, sine * x + cosine * y - 1.0
        state[6 * k + 3] += turn
    there = pose_in_motion(numbers, state)
    assert there.wheels == pytest.approx(here.wheels, abs=1e-12)
    assert there.wheels[:, 2] == pytest.approx(here.contacts[:, 2] + here.radii, abs=0.03)


def test_the_rear_twist_adds_up_too():
    from noseload.studies.punch.outcome import controls_over_time
    from noseload.studies.punch.wheels import motion_of

    result = demo_punch()
    climb = SpaceClimb(reference_vehicle())
    begin = space_start(climb, grade=np.radians(35.0), creep_speed=0.1)
    motion = motion_of(climb, begin, result.options, None, Program.constant(1.0))
    seen = motion.observe(result.states, controls_over_time(motion, result.time_s))
    twist = 0.5 * (seen["load"][0] - seen["load"][1])
    parts = motion_twist_budget(Moments(motion, result.states, seen), 0)
    assert np.abs(sum(parts.values()) - twist).max() < EXACT * motion.weight


@pytest.mark.slow
def test_a_film_of_single_wheels(tmp_path, capsys):
    out = tmp_path / "wheels.gif"
    asked = ["animate", "--wheels", "--duration", "0.2", "--frames-per-second", "5", "--slow", "4", "--out", str(out)]
    assert main(asked) == 0
    assert out.stat().st_size > 10_000
    assert "5 frames" in capsys.readouterr().out
    assert main([*asked[:-1], str(tmp_path / "b.gif"), "--creep"]) == 2
    assert "--wheels shows one setup's punch" in capsys.readouterr().err
