"""The punch against the same vehicle built in a general-purpose physics engine (MuJoCo), a test extra.

The engine's own error is known from its step: halving 0.1 ms changes the front load by less than 2e-5
of its largest value (measured: 1e-6 to 1e-5, the larger where the front axle lifts and lands).
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("mujoco", reason="the physics engine is not installed; `pip install .[engine]` adds it")

from mujoco_vehicle import ENDS, EngineVehicle
from noseload.model.file.reader import load_vehicle
from noseload.studies.punch.punch import punch

CHECK = Path(__file__).parents[1] / "data" / "check.toml"
ENGINE = 2e-5
"""Of the largest front load: what the engine's own step convergence supports at 0.1 ms."""
STEP_S = 1e-4
START_RATE = 0.6
"""Largest acceleration at a steady start, rad/s2: the engine's joints give way by 1e-4 of their force."""


def ramp_from(throttle):
    """The default ramp: from the holding throttle to full in 50 ms, starting at 0.1 s."""
    return lambda time: throttle + (1.0 - throttle) * min(1.0, max(0.0, (time - 0.1) / 0.05))


@cache
def our_run(drive, grade_deg, duration_s):
    return punch(
        load_vehicle(CHECK, drive=drive), grade_deg=grade_deg, duration_s=duration_s, tolerance="tight", outcome=False
    )


def both_ways(drive, grade_deg, duration_s, step_s):
    """Our tight run and the engine's loads (rear, front) on the same samples."""
    vehicle, ours = load_vehicle(CHECK, drive=drive), our_run(drive, grade_deg, duration_s)
    free = dict(zip(ENDS, ours.standing.free_lengths, strict=True))
    engine = EngineVehicle(vehicle, free, np.radians(grade_deg), ramp_from(ours.throttle_start), step_s)
    start = ours.states[:9, 0], ours.states[9:20, 0]
    assert np.max(np.abs(engine.accelerations(*start))) < START_RATE
    return ours, engine.run(*start, duration_s, 1e-3)[:, : len(ours.time_s)]


def check_loads(ours, engine):
    largest = float(np.max(ours.front_load_n))
    np.testing.assert_allclose(engine[1], ours.front_load_n, rtol=0, atol=ENGINE * largest)
    np.testing.assert_allclose(engine[0], ours.traces["rear_load_n"], rtol=0, atol=ENGINE * largest)


@pytest.mark.slow
def test_lifting_front_axle():
    """Rear drive on 35 deg, until the front is in the air."""
    ours, engine = both_ways("rear", 35.0, 0.3, STEP_S)
    assert {event.name for event in ours.events} >= {"front_lift_off"}
    check_loads(ours, engine)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("drive", "grade_deg"),
    [("both", 0.0), ("both", 20.0), ("both", 35.0), ("rear", 0.0), ("rear", 20.0), ("front", 0.0), ("front", 20.0)],
)
def test_whole_punch(drive, grade_deg):
    """A second of every drive that holds its start."""
    check_loads(*both_ways(drive, grade_deg, 1.0, STEP_S))


@pytest.mark.slow
def test_engine_converges_to_our_run():
    """Halving the engine's step brings it nearer: what is left is the engine's error, not ours."""
    gaps = []
    for step_s in (2e-4, 1e-4, 5e-5):
        ours, engine = both_ways("rear", 20.0, 0.6, step_s)
        gaps.append(float(np.max(np.abs(engine[1] - ours.front_load_n)) / np.max(ours.front_load_n)))
    assert gaps[1] < ENGINE
    assert gaps[2] < 0.6 * gaps[1] < 0.36 * gaps[0]
