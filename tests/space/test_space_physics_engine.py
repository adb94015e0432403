"""Punches in space against the same vehicle built in a general-purpose physics engine (MuJoCo), a test extra.

Accelerations and tensions: put into the engine with our state, its own inertias, arms and gyroscopic terms leave nothing
over. Traces: the engine's own error is known from its step. `tests/benchmarks/benchmark_space_engine.py` runs more.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

pytest.importorskip("mujoco", reason="the physics engine is not installed; `pip install .[engine]` adds it")

from mujoco_space_motion import ENDS
from noseload import demo_vehicle, punch_wheels
from noseload.model.space.vehicle_motion import SPEED_ROWS
from noseload.studies.punch.outcome import controls_over_time
from space_engine_cases import CASES, NO_ROTOR, accelerations_of, engine_of, put, start_of
from space_samples import vehicle

STATES, DURATION_S, SAMPLE_S = 30, 0.12, 1.6e-3
BALANCE = 1e-9
"""Of the weight, and of weight times wheelbase: rounding; the engine's arms come from other formulas."""
HOLDS = 1e-4
"""m/s2 and rad/s2 that rods and gears may let go: central differences over 10 microseconds."""
ENGINE = 2e-4
"""Of the largest wheel load: what the engine's own step convergence supports at 0.4 ms (measured: 1e-5 and 6e-5)."""


@cache
def punched(name):
    if name == "single_upper":
        return punch_wheels(vehicle(name), grade_deg=30.0, duration_s=0.4, outcome=False, sample_s=0.002)
    return punch_wheels(demo_vehicle(), grade_deg=35.0, heading_deg=10.0, duration_s=0.4, outcome=False, sample_s=0.002)


@pytest.mark.parametrize("name", ["demo", "single_upper"])
def test_nothing_is_left_over_in_the_engine(name):
    """Forces and moments on all bodies, wheels and rotor, rods' and gears' accelerations, at 30 states of a punch."""
    result = punched(name)
    motion, engine = start_of(result), engine_of(result)
    seen = motion.observe(result.states, controls_over_time(motion, result.time_s))
    names = [name for rods in motion.numbers.space.rods for name in rods]
    weight, chassis = motion.weight, motion.numbers.chassis
    scales = np.array([weight] * 3 + [weight * motion.wheelbase] * 3)
    picked = np.linspace(0, result.time_s.size - 1, STATES).astype(int)
    assert (seen["load"][:, picked] == 0.0).any()
    for place in picked:
        state, own = result.states[:, place], seen["accelerations"][:, place]
        torques = seen["wheel_torque"][:, place]
        put(engine, state)
        assert engine.loads() == pytest.approx(seen["load"][:, place], abs=BALANCE * weight)
        tensions = {
            rod: seen["tensions"][names.index(rod.replace("lateral_link", "lateral")), place] for rod in engine.rods
        }
        left = engine.residual(accelerations_of(engine, state, own), tensions, torques)
        for body in engine.speeds.values():
            assert np.abs(left[body : body + 6] / scales).max() < BALANCE
        assert np.abs(left[engine.spins]).max() < BALANCE * weight * motion.wheelbase
        throttle = float(motion.throttle.at(result.time_s[place]))
        motor = chassis["stall_torque"] * (throttle - state[38] / chassis["no_load_speed"])
        ratios = [axle["motor_ratio"] for axle in motion.numbers.axles]
        assert chassis["rotor_inertia"] * own[20] == pytest.approx(
            motor - ratios @ torques, abs=BALANCE * weight * motion.wheelbase
        )
        # Rods and gears hold their rates: the engine's own, a little before and after.
        rates = []
        for step in (-1e-5, 1e-5):
            moved = state.copy()
            moved[:18] += step * state[18:36] + 0.5 * step**2 * own[:18]
            moved[SPEED_ROWS] += step * own
            put(engine, moved)
            gears = [engine.motor_speed(k) / ratios[k] - moved[38] for k in range(len(ENDS)) if ratios[k]]
            rates.append([*(float(engine.data.tendon(rod).velocity[0]) for rod in engine.rods), *gears])
        assert np.abs(np.subtract(*rates)).max() / 2e-5 < HOLDS


@pytest.mark.slow
@pytest.mark.parametrize("name", CASES)
def test_traces_are_the_engines(name):
    """Until a wheel is in the air: half the step brings the engine nearer, to what its step supports."""
    car, options = CASES[name]
    result = punch_wheels(car, duration_s=DURATION_S, sample_s=SAMPLE_S, tolerance="tight", outcome=False, **options)
    largest, gaps = max(result.traces[f"{end}_load_n"].max() for end in ENDS), []
    loads = np.array([result.traces[f"{end}_{side}_load_n"] for end in ENDS for side in ("left", "right")])
    assert (loads == 0.0).any() and np.abs(loads[0] - loads[1]).max() > 0.1 * largest
    for step in (8e-4, 4e-4):
        engine = engine_of(result, step=step)
        put(engine, result.states[:, 0])
        gaps.append(np.abs(engine.run(DURATION_S, SAMPLE_S) - loads).max() / largest)
    assert gaps[1] < ENGINE and gaps[1] < 0.7 * gaps[0]


def test_a_rotor_without_inertia_still_runs():
    """The case that the engine can run with shafts."""
    car, options = CASES["shafts"]
    assert car.drive.rotor_inertia == NO_ROTOR and car.drive.driven_axles == "rear"
    full = replace(car, drive=replace(car.drive, rotor_inertia=demo_vehicle().drive.rotor_inertia))
    runs = [punch_wheels(one, duration_s=0.15, outcome=False, **options) for one in (car, full)]
    assert all(run.success for run in runs)
