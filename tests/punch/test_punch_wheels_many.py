"""Many punches in space at once against accurate single ones, and what one bad case does to the others."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import cache
from math import radians

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.model.batch.motion import BatchProgram, Controls
from noseload.model.motion.programs import Program
from noseload.model.parameters import ENDS
from noseload.model.space.batch_motion import BatchSpaceMotion, SpaceFleet
from noseload.model.space.parameters import WHEELS
from noseload.model.space.vehicle_motion import SPEED_ROWS, SpaceMotion
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.punch.wheels_many import punch_wheels_many
from space_punch_samples import motion_of, punch_of, state_of_punch

WITHIN = 5e-3
"""Of the largest wheel load: the batch's fixed method at a touchdown, which comes a fraction of a ms early or late."""
AIR_S = 0.002
KERNELS = 1e-9


@cache
def grid():
    asked = {"sample_s": 0.01, "outcome": True, "duration_s": 0.8, "singly_below": 0}
    return punch_wheels_many(demo_vehicle(), grade_deg=[10.0, 35.0, 80.0], **asked)


@pytest.mark.slow
def test_a_batch_is_single_punches():
    result = grid()
    assert list(result.status) == ["ok", "ok", "start_not_held"]
    for k, grade in enumerate((10.0, 35.0)):
        one = punch_wheels(demo_vehicle(), grade_deg=grade, sample_s=0.01, duration_s=0.8)
        most = max(one.traces[f"{wheel}_load_n"].max() for wheel in WHEELS)
        for wheel in WHEELS:
            assert np.abs(result.traces[f"{wheel}_load_n"][:, k] - one.traces[f"{wheel}_load_n"]).max() < WITHIN * most
            found = result.numbers[f"{wheel}_airborne_s"][k]
            assert found == pytest.approx(one.summary[f"{wheel}_airborne_s"], abs=AIR_S)
        assert result.first_wheel[k] == one.summary["first_wheel"]
        assert result.first_wheel_airborne_s[k] == pytest.approx(one.summary["first_wheel_airborne_s"], abs=AIR_S)
        assert result.outcome[k] == one.summary["outcome"]
        assert result.numbers["throttle_start"][k] == pytest.approx(one.throttle_start, abs=1e-12)
        roll = result.numbers["peak_chassis_roll_deg"][k]
        assert roll == pytest.approx(one.summary["peak_chassis_roll_deg"], abs=0.1)
    assert np.isnan(result.first_wheel_airborne_s[2]) and result.outcome[2] == "start_not_held"
    rows = result.to_dict()["rows"]
    assert rows[1]["first_wheel"] == "front_right" and rows[2]["front_left_load_min_n"] is None


def test_rates_and_stiff_terms_are_those_of_single_motions():
    names = ("leaning", "single_upper")
    states, motions = [], []
    rng = np.random.default_rng(4)
    for name in names:
        motion = motion_of(name)
        moving = SpaceMotion(motion.numbers, motion.grade, throttle=Program.constant(0.3))
        state = state_of_punch(punch_of(name)["start_state"])
        state[:18] += 1e-3 * rng.standard_normal(18)
        state[SPEED_ROWS] += 0.2 * rng.standard_normal(21)
        for _ in range(5):
            state, *_ = moving.project(0.0, state)
        states.append(state)
        motions.append(moving)
    fleet = SpaceFleet([motion.numbers for motion in motions])
    controls = Controls.of(BatchProgram([0.0], [0.3]))
    batch = BatchSpaceMotion(fleet, [motion.grade for motion in motions], [0.0, 0.0], controls)
    wide = np.stack([state[:39] for state in states], axis=1)
    batch.enter(np.zeros(2))
    stage = batch.first(np.zeros(2), wide)
    second = batch.second(np.zeros(2), wide)
    for k, (motion, state) in enumerate(zip(motions, states, strict=True)):
        rates = motion.rates(0.0, state)[SPEED_ROWS]
        size = np.abs(rates).max()
        assert stage.rates[:, k] == pytest.approx(rates, abs=KERNELS * size)
        assert second[:, k] == pytest.approx(rates, abs=KERNELS * size)
        rows = np.array([stage.along(np.eye(21)[:, j : j + 1].repeat(2, axis=1)) for j in range(21)])[:, :, k].T
        pulls = stage.pulls[:, :, k]
        cross = (rows @ pulls.T)[np.triu_indices(5)]
        assert stage.cross()[:, k] == pytest.approx(cross, abs=KERNELS * np.abs(cross).max())
        exact = motion.jacobian(0.0, state)[SPEED_ROWS, SPEED_ROWS]
        left = exact + (pulls.T * stage.slopes[:, k]) @ rows
        # What is left to the explicit part must be slow enough for steps of 4 ms.
        assert np.abs(np.linalg.eigvals(left)).max() < 500.0 < np.abs(np.linalg.eigvals(exact)).max()


def test_one_failed_case_never_loses_a_batch(monkeypatch):
    """A vehicle whose springs cannot carry it, a grade without a start, and a start with a number that is not finite."""
    from noseload.studies.punch import wheels_many as module

    car = demo_vehicle()
    weak = replace(car.rear.shock, free_length=0.01, spring_rate=100.0, stop_stiffness=1e-3)
    soft = replace(car, rear=replace(car.rear, shock=weak))
    real = module.space_start

    def broken(climb, *, grade, **options):
        begin = real(climb, grade=grade, **options)
        if abs(grade - radians(12.0)) < 1e-12:
            begin.state[20] = np.nan
        return begin

    monkeypatch.setattr(module, "space_start", broken)
    cars = [car, soft, car, car, car]
    asked = {"duration_s": 0.12, "singly_below": 0}
    result = punch_wheels_many(cars, grade_deg=[10.0, 10.0, 12.0, 14.0, 80.0], **asked)
    assert result.status[0] == result.status[3] == "ok"
    assert result.status[1] == "does_not_stand" and result.status[2] == "failed"
    assert result.status[4] == "start_not_held"
    alone = punch_wheels_many(car, grade_deg=[10.0], **asked)
    assert result.numbers["front_right_load_min_n"][0] == pytest.approx(alone.numbers["front_right_load_min_n"][0])
    assert np.isfinite(result.wheel_load_min_n[[0, 3]]).all()


@pytest.mark.slow
def test_the_brake_without_throttle_stands_and_takes_nobody_along():
    """`punch --grade 25 --from-brake --throttle 0` once was a square root of a hair below zero."""
    result = punch_wheels_many(
        demo_vehicle(),
        grade_deg=[25.0, 25.0],
        throttle=[0.0, 0.6],
        start="brake",
        duration_s=0.4,
        outcome=True,
        singly_below=0,
    )
    assert list(result.status) == ["ok", "ok"] and result.outcome[0] == "stays_loaded"
    assert result.numbers["peak_chassis_roll_deg"][1] < -3.0


def test_sharp_tyres_at_rest_do_not_shake_the_batch():
    """No stiff row has how wheels that slip unlike brake turning: steps of 4 ms once shook such a vehicle off its wheels."""
    car = demo_vehicle()
    axles = {end: replace(getattr(car, end), tyre=replace(getattr(car, end).tyre, slip_speed=0.005)) for end in ENDS}
    asked = {"grade_deg": 25.0, "start": "brake", "throttle": 0.0, "duration_s": 0.06}
    many = punch_wheels_many(replace(car, **axles), **asked, singly_below=0)
    for wheel in WHEELS:
        started, least = (float(many.array(f"{wheel}_load_{what}")[0]) for what in ("start_n", "min_n"))
        assert least == pytest.approx(started, abs=1e-3)


def test_an_executor_gives_the_same_and_lifts_end_runs():
    asked = {"grade_deg": [20.0, 40.0], "duration_s": 0.25}
    here = punch_wheels_many(demo_vehicle(), **asked)
    with ThreadPoolExecutor(1) as pool:
        there = punch_wheels_many(demo_vehicle(), executor=pool, **asked)
    for name, numbers in here.numbers.items():
        assert there.numbers[name] == pytest.approx(numbers, nan_ok=True, rel=1e-6, abs=1e-9), name
    assert list(there.first_wheel) == list(here.first_wheel)
    assert list(here.first_wheel) == ["front_right"] * 2 and (here.steps > 50).all()


@pytest.mark.slow
def test_a_lift_ends_a_run_that_waits_for_it():
    asked = {"grade_deg": [20.0, 40.0], "duration_s": 0.3, "singly_below": 0}
    stopped = punch_wheels_many(demo_vehicle(), stop_at_lift=True, **asked)
    assert (stopped.numbers["outcome_time_s"] < 0.25).all()
    assert (stopped.wheel_load_min_n == 0.0).all()
