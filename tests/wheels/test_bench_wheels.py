"""`noseload bench --wheels`: four scales, the first wheel, the snap, and what bad input gets."""

import json

import pytest

from noseload import bench_wheels
from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.studies.space.bench import BenchWheels, bench_sentence
from random_vehicles import with_held_coils
from reference_vehicle import REFERENCE, reference_vehicle

FIRST_N_MM, LAST_N_MM = 2139.0, 4363.0
"""Of the demo, by an independent program, as printed there: front right wheel, then the front left one; its coils pull."""


@pytest.fixture(scope="module")
def found():
    return bench_wheels(with_held_coils(reference_vehicle()), step_n_mm=400.0)


def test_lifts_of_the_demo(found):
    assert found.first_wheel == "front_right"
    assert found.first_wheel_torque_n_mm == pytest.approx(FIRST_N_MM, abs=0.5)
    assert found.axle_free_torque_n_mm == pytest.approx(LAST_N_MM, abs=0.5)


def test_the_snap_is_at_the_first_lift_and_leans_further(found):
    """The curve of poses turns back where the wheel lifts: a kink that is a fold."""
    (snap,) = found.snaps
    assert snap["torque_n_mm"] == found.snap_torque_n_mm == pytest.approx(found.first_wheel_torque_n_mm, abs=1e-6)
    assert snap["chassis_roll_after_deg"] < snap["chassis_roll_before_deg"] - 2.0
    assert "at 2139 N mm it snaps from 28.4 deg to the left to 31.5 deg to the left" in bench_sentence(found)


def test_coils_that_go_loose_move_the_lifts_by_less_than_a_newton_millimetre(found):
    """Its own coils sit on their seats: one goes loose on the way and the end drops onto its stop, a second snap, far smaller."""
    own = bench_wheels(reference_vehicle(), step_n_mm=4000.0)
    assert own.first_wheel_torque_n_mm == pytest.approx(found.first_wheel_torque_n_mm, abs=1.0)
    assert own.axle_free_torque_n_mm == pytest.approx(found.axle_free_torque_n_mm, abs=1.0)
    first, loose = own.snaps
    assert first["torque_n_mm"] == pytest.approx(own.first_wheel_torque_n_mm, abs=1e-6)
    assert abs(loose["chassis_roll_after_deg"] - loose["chassis_roll_before_deg"]) < 0.01


def test_rows_carry_the_weight_and_say_when_a_wheel_is_up(found):
    weight = reference_vehicle().mass * 9.80665
    torques = [row["torque_n_mm"] for row in found.rows]
    assert torques == sorted(torques) and torques[:3] == [0.0, 400.0, 800.0]
    assert torques[-1] == pytest.approx(found.axle_free_torque_n_mm, rel=1e-5)
    for row in found.rows:
        assert sum(row[key] for key in row if key.endswith("load_n")) == pytest.approx(weight, rel=1e-9)
        up = row["torque_n_mm"] > found.first_wheel_torque_n_mm
        assert (row["front_right_load_n"] == 0.0) == up and row["status"] == ("after_snap" if up else "ok")
    assert found.rows[-1]["front_left_load_n"] < 1e-3 * weight


def test_without_shafts_both_wheels_are_free_at_once():
    found = bench_wheels(reference_vehicle(), shafts=False, step_n_mm=2000.0)
    assert bench_sentence(found).startswith("Both front wheels leave their scales at 462")
    assert max(abs(row["chassis_roll_deg"]) for row in found.rows) < 1e-8


def test_the_document_adds_the_first_wheel(capsys):
    assert main(["bench", str(REFERENCE), "--wheels", "--setups", "base,raised_rear_upper_mount", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["first_wheel"] == "front_right"
    assert document["first_wheel_torque_n_mm"] == pytest.approx(FIRST_N_MM, abs=1.0)
    assert document["axle_free_torque_n_mm"] == pytest.approx(LAST_N_MM, abs=1.0)
    assert [each["setup"] for each in document["wheels"]] == ["base", "raised_rear_upper_mount"]
    assert "torque_at_lift_n_mm" in document["setups"][0]


def test_bad_input(capsys, tmp_path):
    with pytest.raises(ModelError, match="needs a step above 0 N mm"):
        bench_wheels(reference_vehicle(), step_n_mm=0.0)
    with pytest.raises(ModelError, match="rows is too long; use a step of 9 N mm or more"):
        bench_wheels(reference_vehicle(), step_n_mm=0.01)
    assert main(["bench", "--wheels", "--front", "geared"]) == 2
    assert "leave --front geared out" in capsys.readouterr().err
    failed = BenchWheels("base", None, None, None, (), 1.0, (), "no_solution", "it could not be followed")
    assert bench_sentence(failed) == "base: it could not be followed." and "none found" in repr(failed)
