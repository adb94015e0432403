"""Throttle and grip programs, outcomes, documents and faults of the punch."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.motion.programs import Program
from noseload.studies.punch.programs import ProgramFileError, blip, read_program, slip_and_catch, step
from noseload.studies.punch.punch import punch

DATA = Path(__file__).parents[1] / "data"
ENERGY = 1e-4
"""Of the energy scale: what default tolerances promise."""
SUM_TOLERANCE = 1e-9
"""Of the weight: the budget is an identity."""


def vehicle(**drive):
    base = load_vehicle(DATA / "check.toml")
    return replace(base, drive=replace(base.drive, **drive))


def test_step_blip_hold_and_brake_programs():
    quiet = punch(vehicle(), grade_deg=10.0, program="hold", duration_s=0.3)
    assert np.ptp(quiet.front_load_n) < 1e-9 and quiet.summary["outcome"] == "stays_loaded" and quiet.events == ()
    sudden = punch(vehicle(), grade_deg=10.0, program="step", duration_s=0.3, outcome=False)
    assert sudden.traces["throttle"][99] == sudden.throttle_start and sudden.traces["throttle"][100] == 1.0
    short = punch(vehicle(), grade_deg=10.0, program="blip", hold_s=0.02, rise_s=0.02, duration_s=0.5)
    assert short.traces["throttle"][[110, 140, 200]] == pytest.approx(
        [(1 + short.throttle_start) / 2, 1.0 - 0.0 * short.throttle_start, short.throttle_start], abs=1e-9
    )
    grabbed = punch(vehicle(drag_brake_torque=2.0), grade_deg=-30.0, program="grab_brake", duration_s=0.6)
    assert abs(grabbed.traces["speed_mm_per_s"][-1]) < 30.0 and grabbed.stats["energy_residual"] < ENERGY
    assert grabbed.stats["energy_j"]["brake"] > 0.0
    released = punch(vehicle(drag_brake_torque=2.0), grade_deg=20.0, start="brake", duration_s=0.5)
    assert released.throttle_start == 0.0 and released.traces["speed_mm_per_s"][-1] > 100.0


def test_grip_that_slips_and_catches():
    lost = punch(
        vehicle(),
        grade_deg=25.0,
        program="hold",
        duration_s=1.0,
        grip_program=slip_and_catch(start_s=0.1, lost_s=0.15, fraction=0.05),
    )
    slip = lost.traces["rear_slip_mm_per_s"]
    assert slip[240] > 5.0 * slip[50], "wheels spin while the grip is gone"
    assert np.ptp(lost.front_load_n[250:]) > 0.05 * lost.front_load_n[0], "and the catch shakes the front"
    assert lost.stats["energy_residual"] < ENERGY
    with pytest.raises(ModelError, match="fraction 2 must lie between 0 and 1"):
        slip_and_catch(start_s=0.1, lost_s=0.1, fraction=2.0)
    with pytest.raises(ModelError, match="give a time above 0"):
        slip_and_catch(start_s=0.1, lost_s=0.0, fraction=0.5)


def test_too_steep_a_punch_flips():
    result = punch(vehicle(stall_torque=8.0), grade_deg=50.0, rise_s=0.02)
    assert result.summary["outcome"] == "flips_back"
    assert result.time_s[-1] < 1.0 and result.events[-1].name == "flips_back"
    assert -np.degrees(result.events[-1].state[2]) == pytest.approx(80.0, abs=1e-4)
    total = sum(result.budget.values())
    assert np.abs(total - result.front_load_n).max() < SUM_TOLERANCE * result.standing.weight


def test_sliding_back_is_decided():
    weak = vehicle()
    tyre = replace(weak.rear.tyre, grip_coefficient=1.0)
    slippery = replace(weak, rear=replace(weak.rear, tyre=tyre), front=replace(weak.front, tyre=tyre), document={})
    gone = Program((0.1, 0.1), (1.0, 0.4), "grip program")
    assert punch(slippery, grade_deg=35.0, program="hold", grip_program=gone).summary["outcome"] == "slides_back"


def test_document_has_the_agreed_keys():
    result = punch(vehicle(), grade_deg=20.0, duration_s=0.2, sample_s=0.01)
    document = json.loads(json.dumps(result.to_dict(), allow_nan=False))
    assert len(document["time_s"]) == 21 and document["time_s"][-1] == pytest.approx(0.2)
    agreed = {
        "setup",
        "grade_deg",
        "throttle_start",
        "time_s",
        "front_load_n",
        "rear_load_n",
        "nose_up_pitch_deg",
        "rear_lower_link_n",
        "rear_upper_link_n",
        "front_lower_link_n",
        "front_upper_link_n",
        "rear_shock_travel_mm",
        "front_shock_travel_mm",
        "budget",
        "events",
        "summary",
        "stats",
        "start",
        "status",
    }
    assert agreed <= set(document)
    assert {
        "front_load_min_n",
        "front_load_min_time_s",
        "front_airborne_s",
        "peak_nose_up_pitch_deg",
        "outcome",
    } <= set(document["summary"])
    assert all({"time_s", "name"} == set(event) for event in document["events"])
    assert len(result.rows()) == 21 and result.rows()[0]["budget"]["standing_n"] == document["budget"]["standing_n"][0]
    assert "lifts_and_returns" in repr(result) or "stays_loaded" in repr(result)


def test_bad_options_are_named_all_at_once():
    with pytest.raises(
        ModelError,
        match=r"grade_deg = 95.*throttle = 2.*rise_s = -1.*duration_s = 0.*program = 'zoom'.*start = "
        r"'run'.*tolerance = 'wild'",
    ):
        punch(
            vehicle(),
            grade_deg=95.0,
            throttle=2.0,
            rise_s=-1.0,
            duration_s=0.0,
            program="zoom",
            start="run",
            tolerance="wild",
        )
    with pytest.raises(ModelError, match="must be a finite number"):
        punch(vehicle(), grade_deg=float("nan"))
    with pytest.raises(ModelError, match="more than a million samples"):
        punch(vehicle(), grade_deg=0.0, sample_s=1e-7)
    flat = replace(vehicle(), rear=replace(vehicle().rear, lower_link=None))
    with pytest.raises(MissingDataError, match="no links"):
        punch(flat, grade_deg=10.0)


@pytest.mark.parametrize(
    ("times", "values", "message"),
    [
        ((), (), "0 times but 0 values"),
        ((0.0, 1.0), (1.0,), "2 times but 1 values"),
        ((0.0, float("nan")), (1.0, 1.0), "finite number"),
        ((1.0, 0.5), (0.0, 0.0), "sort the points"),
        ((0.0, 0.0, 0.0), (0.0, 1.0, 2.0), "a jump takes two"),
    ],
)
def test_bad_programs(times, values, message):
    with pytest.raises(ModelError, match=message):
        Program(times, values)


def test_program_values_and_pieces():
    program = blip(0.2, 1.0, start_s=1.0, rise_s=0.5, hold_s=1.0)
    assert program.at([0.0, 1.25, 2.0, 2.75, 9.0]) == pytest.approx([0.2, 0.6, 1.0, 0.6, 0.2])
    jump = step(0.2, 1.0, start_s=1.0)
    assert jump.at([0.999999, 1.0]) == pytest.approx([0.2, 1.0])
    assert jump.piece(0.0, 1.0) == (0.2, 0.0) and jump.piece(1.0, 2.0) == (1.0, 0.0)
    assert program.piece(1.1, 1.5) == pytest.approx((0.36, 1.6)) and program.corners() == (1.0, 1.5, 2.5, 3.0)


def test_programs_from_files(tmp_path):
    good = tmp_path / "good.csv"
    good.write_text("# by hand\ntime_s,throttle\n0.2,0.3\n0.4,0.9\n0.4,0\n")
    program = read_program(good, quantity="throttle")
    assert program.times == (0.2, 0.4, 0.4) and program.values == (0.3, 0.9, 0.0)
    result = punch(vehicle(), grade_deg=10.0, program=program, duration_s=0.5, outcome=False)
    assert result.traces["throttle"][[0, 199]] == pytest.approx(result.throttle_start)
    bad = tmp_path / "bad.csv"
    bad.write_text("time_s,throttle\n0.2,x\n0.1\n0.4,1.5\n0.3,0.5\n0.3,0\n0.3,0\n")
    with pytest.raises(
        ProgramFileError,
        match=r"(?s)row 2, throttle: 'x'.*row 3: 1 columns.*row 4, throttle: 1.5 must lie.*"
        r"row 5, time_s: 0.3 s comes after.*row 7.*a jump takes two",
    ):
        read_program(bad, quantity="throttle")
    bad.write_text("time,throttle\n")
    with pytest.raises(ProgramFileError, match="first row must be 'time_s,throttle'"):
        read_program(bad, quantity="throttle")
    bad.write_text("time_s,grip_factor\n")
    with pytest.raises(ProgramFileError, match="no rows below its header"):
        read_program(bad, quantity="grip_factor")
    bad.write_bytes(b"\xff\xfe\x00t")
    with pytest.raises(ProgramFileError, match="not a text file"):
        read_program(bad, quantity="throttle")
    with pytest.raises(ProgramFileError, match="cannot be read"):
        read_program(tmp_path / "none.csv", quantity="throttle")
