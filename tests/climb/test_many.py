"""Many vehicles in one batch: the same answers as an independent program and as one by one."""

import json
from pathlib import Path

import numpy as np
import pytest

from noseload.model import load_vehicle
from noseload.model.batch.equilibrium import BatchCreep, BatchGradeOf, BatchStanding
from noseload.model.batch.steady import BatchSteady
from noseload.model.crawl.equilibrium import CreepEquilibrium
from noseload.solvers.errors import Status
from noseload.solvers.newton import solve
from noseload.studies.climb.many import creep_many, stand_many, tip_over_many
from noseload.studies.climb.standing import stand

DATA = Path(__file__).parents[1] / "data"
AGREEMENT_N = 1e-6
AGREEMENT_DEG = 1e-6
AGREEMENT_TIP_DEG = 1e-5
"""The independent program states these accuracies."""
ONE_BY_ONE = 1e-9
"""Newton's tolerance 1e-11 of the weight, times the condition of the equations (about 240)."""
MOST_ALONE, LAST_DIGITS = 12, 1e-13
"""Cases up to which a kernel may be evaluated one by one, and the rounding between that and an array kernel, of the largest number."""
DERIVATIVE = 1e-6
"""Central difference with a step of 1e-6."""


@pytest.mark.parametrize("name", ["check", "check-raised"])
def test_independent_results(name):
    """`data/check*.json`: an independent minimal-coordinate program with closed-form linkage."""
    for part in json.loads((DATA / f"{name}.json").read_text())["creep"]:
        rows = part["downhill_rows"] + part["rows"]
        batch = stand_many([load_vehicle(DATA / f"{name}.toml", drive=part["drive"])])
        result = creep_many(batch.take(np.zeros(len(rows), dtype=int)), np.radians([r["grade_deg"] for r in rows]))
        expected = {key: np.array([row[key] for row in rows]) for key in rows[0]}
        assert all(status is Status.CONVERGED for status in result.statuses)
        for key in ("front_load", "rear_load", "front_traction", "rear_traction"):
            assert getattr(result, key) == pytest.approx(expected[f"{key}_n"], abs=AGREEMENT_N)
        for k, key in enumerate(("rear_lower_link", "rear_upper_link", "front_lower_link", "front_upper_link")):
            assert result.tensions[k] == pytest.approx(expected[f"{key}_n"], abs=AGREEMENT_N)
        assert np.degrees(result.nose_up_pitch) == pytest.approx(expected["nose_up_pitch_deg"], abs=AGREEMENT_DEG)
        if part["tip_over_grade_deg"] is not None:
            tip = np.degrees(tip_over_many(batch).grades)
            assert tip == pytest.approx(part["tip_over_grade_deg"], abs=AGREEMENT_TIP_DEG)
        downhill = tip_over_many(batch, downhill=True)
        end = creep_many(batch, downhill.grades)
        assert downhill.grades[0] < 0.0 and end.rear_load[0] == pytest.approx(0.0, abs=AGREEMENT_N)


def varied(count, seed=2, spread=0.08):
    """Vehicles about the check vehicle, standing."""
    batch = stand_many([load_vehicle(DATA / "check.toml")]).take(np.zeros(count, dtype=int))
    random = np.random.default_rng(seed)
    names = ("chassis_mass", "rear_spring_rate", "front_spring_rate", "rear_upper_link_axle_z", "front_tyre_stiffness")
    return batch.with_values({name: batch[name] * (1.0 + spread * random.standard_normal(count)) for name in names})


@pytest.mark.parametrize("count", [4, 16], ids=["one by one", "side by side"])
def test_residuals_alone_are_those_with_slopes(count):
    """To the last digit where both are array kernels; a few cases may be evaluated by a scalar one."""
    batch, random = varied(count), np.random.default_rng(5)
    creep, level = BatchCreep(batch), np.full(count, 0.2)
    states = batch.starts + 1e-3 * random.standard_normal((13, count))
    lengths, pose = np.array([[0.1] * count, [0.1, np.nan] * (count // 2)]), np.full((2, count), 0.1)
    given = np.array([[np.nan] * count, [np.nan, np.nan, 0.1, np.nan] * (count // 4)])
    equations = (
        (creep, states),
        (BatchStanding(creep, shock_lengths=lengths, chassis_pose=pose, free_lengths=given), np.vstack([states, pose])),
        (BatchGradeOf(creep, [1, 0, 4, 5] * (count // 4)), np.vstack([states, np.full((1, count), 0.3)])),
        (BatchSteady(creep, travel_speed=0.1), np.vstack([states[:-1], np.full((1, count), 2.0)])),
    )
    allowed = 0.0 if count > MOST_ALONE else LAST_DIGITS
    for equilibrium, at in equations:
        residual, jacobian = equilibrium.evaluate(at, level)
        residual, before = residual.copy(), jacobian.copy()
        alone = equilibrium.residual(at, level)
        assert (np.abs(alone - residual) <= allowed * np.abs(residual).max(axis=1, keepdims=True)).all()
        equilibrium.residual(at + 1e-3, level)
        assert (jacobian == before).all()


def test_same_as_one_by_one():
    batch = varied(40)
    grades = np.radians(np.linspace(-35.0, 50.0, 40))
    result = creep_many(batch, grades)
    for k in range(0, 40, 3):
        one = CreepEquilibrium(batch.numbers_of(k), float(batch.weights[k]), float(batch.wheelbases[k]))
        state = batch.starts[:, k]
        one.use_branch_of(state)
        for share in np.linspace(0.0, 1.0, 8):
            state = solve(one, state, grades[k] * share).raise_for_status().state
        assert result.front_load[k] == pytest.approx(one.outputs(state, grades[k])[0][1], abs=ONE_BY_ONE * 26.0)
    assert result.solution.nfev.max() <= 25
    assert np.abs(result.front_load + result.rear_load - batch.weights * np.cos(grades)).max() < ONE_BY_ONE


def test_tip_over_is_where_the_front_load_is_zero():
    batch = varied(60)
    tips = tip_over_many(batch)
    assert all(status is Status.CONVERGED for status in tips.statuses)
    assert creep_many(batch, tips.grades).front_load == pytest.approx(np.zeros(60), abs=ONE_BY_ONE * 26.0)


@pytest.mark.parametrize("family", ["creep", "standing", "tip_over"])
def test_jacobians_against_differences(family):
    batch = varied(4)
    creep = BatchCreep(batch)
    states, parameters = batch.starts.copy(), np.full(4, 0.3)
    if family == "creep":
        equilibrium = creep
    elif family == "standing":
        lengths = np.array([[0.09, 0.09, np.nan, np.nan]] * 2)
        given = np.array([[np.nan, 0.11, np.nan, np.nan]] * 2)
        equilibrium = BatchStanding(creep, shock_lengths=lengths, chassis_pose=np.full((2, 4), 0.1), free_lengths=given)
        states = np.concatenate([states, np.full((2, 4), 0.12)])
    else:
        equilibrium = BatchGradeOf(creep, [1, 0, 1, 0])
        states = np.concatenate([states, np.full((1, 4), 0.3)])
    jacobian = equilibrium.evaluate(states, parameters)[1].copy()
    assert not (jacobian[:, :-1] != 0.0)[~equilibrium.pattern].any()
    step = 1e-6
    for k in range(len(states)):
        shift = np.zeros_like(states)
        shift[k] = step
        forward = equilibrium.evaluate(states + shift, parameters)[0].copy()
        backward = equilibrium.evaluate(states - shift, parameters)[0].copy()
        scale = np.abs(jacobian[:, k]).max() + 1.0
        assert jacobian[:, k] == pytest.approx((forward - backward) / (2 * step), abs=DERIVATIVE * scale)


def test_standing_as_one_by_one_for_set_ups(tmp_path):
    text = (
        (DATA / "check.toml").read_text()
        + """
[setups.raised]
"rear.upper_link.axle_end_mm" = [6, 92]
[setups.heavy]
"body.mass_g" = 1750
ride_height = "reset"
[setups.collar]
"front.shock.free_length_mm" = 125
"""
    )
    file = tmp_path / "vehicle.toml"
    file.write_text(text)
    vehicles = [load_vehicle(file, setup=name) for name in (None, "raised", "heavy", "collar")]
    batch = stand_many(vehicles)
    for k, vehicle in enumerate(vehicles):
        one = stand(vehicle)
        assert batch.starts[:8, k] == pytest.approx(one.state[:8], abs=1e-10)
        assert batch["front_free_length"][k] == pytest.approx(one.free_lengths[1], abs=1e-10)


@pytest.mark.slow
def test_failed_cases_are_marked_and_the_others_solved():
    batch = varied(5)
    batch = batch.with_values(
        {"rear_upper_link_length": np.where(np.arange(5) == 3, 0.5, batch["rear_upper_link_length"])}
    )
    result = creep_many(batch, 0.5)
    assert list(result.solution.success) == [True, True, True, False, True]
    assert np.isnan(result.front_load[3]) and "Largest residual in equation 'rear" in result.solution.message(3)
