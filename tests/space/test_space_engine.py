"""Poses in space against the same vehicle built in a general-purpose physics engine (MuJoCo), a test extra."""

from functools import cache

import numpy as np
import pytest

pytest.importorskip("mujoco", reason="the physics engine is not installed; `pip install .[engine]` adds it")

from mujoco_space import SpaceEngine
from noseload import demo_vehicle
from noseload.model.space.budget import axle_frame, chassis_frame
from noseload.model.space.rows import SIDE, SLIP
from noseload.studies.links.candidates import as_built
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.rows import row_of
from random_vehicles import with_held_coils
from space_samples import vehicle

BALANCE = 1e-9
"""Of the weight, and of weight times wheelbase: poses are solved to 1e-11, the engine's arms come from other formulas."""
SETTLED, SETTLED_DEG = 1e-4, 1e-3
"""Of the weight, and deg: what is left of the way there after 1.5 s (measured 3e-6 and 3e-5; it halves every 0.1 s)."""
DURATION_S, STEP_S = 1.5, 1e-3
DRAG = (20.0, 0.3)
"""N s/m and N m s: a body comes to rest in a few tenths of a second."""
CASES = [
    ("demo", 45.0, 0.0, {}, True),
    ("demo", 30.0, 40.0, {"front_left": 0.015}, True),
    ("leaning", 40.0, 15.0, {}, True),
    ("leaning", 35.0, -30.0, {}, False),
    ("single_upper", 45.0, 0.0, {}, True),
    ("single_upper", 20.0, 90.0, {"rear_right": 0.01}, True),
    ("on_stops", 62.0, 0.0, {}, True),
]
LET_DOWN = {
    "rear.lower_link.chassis_end_mm": [121.4, 38.0, 47.4],
    "rear.lower_link.axle_end_mm": [14.3, 60.0, 58.0],
    "rear.upper_link.chassis_end_mm": [105.1, 47.0, 93.1],
    "rear.upper_link.axle_end_mm": [10.5, 19.0, 82.2],
}
"""Rear links that let the demo down onto its rear bump stops as it climbs: the latest first lift of `noseload aim`."""


@cache
def solved(name, grade, heading, blocks, shafts):
    if name in ("demo", "on_stops"):
        car = with_held_coils(as_built(demo_vehicle(), LET_DOWN if name == "on_stops" else {}))
    else:
        car = vehicle(name)
    climb = SpaceClimb(car, heading_deg=heading, shafts=shafts, blocks=dict(blocks))
    return climb, row_of(climb, grade)


def engine_of(climb, grade, **options):
    axles = climb.equilibrium.numbers.axles
    return SpaceEngine(
        climb.vehicle,
        [axle["tyre_radius"] for axle in axles],
        [axle["free_length"] for axle in axles],
        np.radians(grade),
        np.radians(climb.heading_deg),
        shafts=climb.shafts,
        blocks=climb.equilibrium.blocks,
        **options,
    )


def put(engine, state):
    frames = [chassis_frame(state), axle_frame(state, 0), axle_frame(state, 1)]
    engine.place([place for place, _ in frames], [turn for _, turn in frames])
    engine.use = (float(state[SLIP]), 0.0, tuple(float(state[place]) for place in SIDE))


@pytest.mark.parametrize("case", CASES)
def test_nothing_is_left_over_in_the_engine(case):
    """Our pose, put there: weight, springs, tyres, shafts and our link forces along the engine's own rods balance."""
    name, grade, heading, blocks, shafts = case
    climb, row = solved(name, grade, heading, tuple(blocks.items()), shafts)
    engine = engine_of(climb, grade)
    put(engine, row.state)
    weight = climb.equilibrium.weight
    assert engine.loads() == pytest.approx(row.loads_n, abs=BALANCE * weight)
    tensions = {}
    for rod in engine.rods:
        end, part = rod.split("_", 1)
        tensions[rod] = row.link_force_n[f"{end}_{part.replace('_link', '')}"]
    scales = weight * np.tile([1.0] * 3 + [climb.vehicle.wheelbase] * 3, 3)
    assert np.abs(engine.residual(tensions) / scales).max() < BALANCE


@pytest.mark.parametrize("case", [CASES[2], pytest.param(CASES[1], marks=pytest.mark.slow), CASES[5]])
def test_it_settles_where_we_say(case):
    """Dropped level, it comes to rest on our loads and angles; what holds its place on the plane holds nothing then."""
    name, grade, heading, blocks, shafts = case
    climb, row = solved(name, grade, heading, tuple(blocks.items()), shafts)
    engine = engine_of(climb, grade, step=STEP_S)
    put(engine, climb.level.state)
    state = row.state
    engine.settle(float(state[SLIP]), tuple(float(state[place]) for place in SIDE), DURATION_S, DRAG)
    assert engine.loads() == pytest.approx(row.loads_n, abs=SETTLED * climb.equilibrium.weight)
    turn = engine.data.body("chassis").xmat.reshape(3, 3)
    assert np.degrees(np.arctan2(turn[2, 1], turn[2, 2])) == pytest.approx(row.chassis_roll_deg, abs=SETTLED_DEG)
    assert np.degrees(np.arcsin(turn[2, 0])) == pytest.approx(row.nose_up_pitch_deg, abs=SETTLED_DEG)
    assert np.abs(engine.data.qvel).max() < 1e-3
