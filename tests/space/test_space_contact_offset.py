"""Rolling resistance and the contact that traction moves forward, in space: budgets, balances, the side view."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from noseload import creep, demo_vehicle
from noseload.model.parameters import ENDS
from noseload.model.space.budget import axle_frame
from noseload.model.space.rows import SIDE
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.rows import row_of
from rolling_vehicles import with_contact
from space_samples import vehicle

EXACT = 1e-9
"""Of the weight: identities of solved poses (residuals are 1e-11 of it)."""


@cache
def climb(name, drive="both", heading=0.0, shafts=True):
    car = demo_vehicle() if name == "demo" else vehicle(name)
    car = with_contact(replace(car, drive=replace(car.drive, driven_axles=drive)))
    return SpaceClimb(car, heading_deg=heading, shafts=shafts)


CASES = [("demo", "both", 0.0), ("demo", "rear", 0.0), ("leaning", "both", 15.0), ("single_upper", "front", -20.0)]


@pytest.mark.parametrize("case", CASES)
def test_budgets_and_balances_are_exact(case):
    there = climb(*case)
    found, weight = row_of(there, 25.0), there.equilibrium.weight
    assert sum(found.twist_budget.values()) == pytest.approx(found.twist_n, abs=EXACT * weight)
    assert sum(found.budget.values()) == pytest.approx(sum(found.loads_n[2:]), abs=EXACT * weight)
    state, ahead, forward = found.state, 0.0, 0.0
    for k, end in enumerate(ENDS):
        seen, tyre = there.equilibrium.seen(state, k), getattr(there.vehicle, end).tyre
        turn = axle_frame(state, k)[1]
        for side in ("left", "right"):
            load, pull, radius = (seen[f"{side}_{name}"] for name in ("load", "traction", "radius"))
            # One wheel has half of the pair's stiffness along the ground.
            offset = tyre.rolling_resistance * radius + tyre.contact_offset_share * pull / (
                0.5 * tyre.lengthwise_stiffness
            )
            ahead += offset * load * turn[1, 1]
            forward += pull * np.cos(state[3 + 6 * k + 3]) - state[SIDE[k]] * load * np.sin(state[3 + 6 * k + 3])
        if not there.equilibrium.numbers.driven[k]:
            assert seen["wheel_torque"] == pytest.approx(0.0, abs=1e-12) and seen["left_traction"] < 0.0
    middles = [state[3 + 6 * k] + np.dot(*_contacts(there, state, k)) for k in (0, 1)]
    assert found.budget["contact_offset_n"] == pytest.approx(-ahead / (middles[1] - middles[0]), abs=EXACT * weight)
    pulled = weight * np.sin(np.radians(25.0)) * np.cos(np.radians(case[2]))
    assert forward == pytest.approx(pulled, abs=EXACT * weight)


def _contacts(there, state, k):
    """Places of an axle's contacts ahead of its centre, and the shares of its load."""
    seen = there.equilibrium.seen(state, k)
    loads = np.array([seen["left_load"], seen["right_load"]])
    return np.array([seen["left_contact_x"], seen["right_contact_x"]]), loads / loads.sum()


@pytest.mark.parametrize("drive", ("both", "rear"))
def test_without_shafts_it_is_the_side_view(drive):
    there = climb("demo", drive, shafts=False)
    flat, found = creep(there.vehicle, grade_deg=30.0), row_of(there, 30.0)
    assert sum(found.loads_n[2:]) == pytest.approx(flat.front_load_n, abs=1e-9)
    assert found.nose_up_pitch_deg == pytest.approx(flat.nose_up_pitch_deg, abs=1e-9)
    torques = found.rear_wheel_torque_n_mm + found.front_wheel_torque_n_mm
    assert torques == pytest.approx(flat.wheel_torque_n_mm, abs=1e-6)
    for key, value in found.budget.items():
        assert value == pytest.approx(flat.budget[key], abs=1e-9), key


def test_it_stands_as_without():
    plain = SpaceClimb(demo_vehicle())
    assert climb("demo").standing.solution.state == pytest.approx(plain.standing.solution.state, abs=1e-11)
    # On the level the crawl already leans on its shafts: rolling resistance takes torque.
    assert abs(row_of(climb("demo"), 0.0).chassis_roll_deg) > 10.0 * abs(row_of(plain, 0.0).chassis_roll_deg)


@pytest.mark.parametrize("drive", ("both", "rear"))
def test_a_punch_in_space_keeps_its_budgets_and_its_energy_book(drive):
    car = with_contact(demo_vehicle())
    car = replace(car, drive=replace(car.drive, driven_axles=drive))
    found = punch_wheels(car, grade_deg=15.0, duration_s=0.25, outcome=False)
    weight = found.standing.equilibrium.weight
    left, right = (found.traces[f"front_{side}_load_n"] for side in ("left", "right"))
    assert np.abs(sum(found.budget.values()) - left - right).max() < EXACT * weight
    assert np.abs(sum(found.twist_budget.values()) - 0.5 * (left - right)).max() < EXACT * weight
    assert found.budget["contact_offset_n"][0] < -0.05
    assert found.stats["energy_residual"] < 1e-4 and found.stats["energy_j"]["rolling"] > 0.0
