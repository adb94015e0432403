"""Creep, bench and events in space against an independent program (its own formulation, held against a physics engine)."""

from dataclasses import replace
from functools import cache
from math import degrees, radians

import numpy as np
import pytest

from noseload.model.parameters import ENDS
from noseload.model.space.equilibrium import SpaceEquilibrium
from noseload.model.space.parameters import SIDES, WHEELS, space_numbers
from noseload.solvers.newton import solve
from noseload.studies.climb.standing import stand
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.rows import link_forces, pose_angles
from space_samples import NAMES, rows_of, state_of, vehicle

FORCE, ANGLE = 1e-6, 1e-6
"""N and deg: what both programs are asked to agree to (they solve to 1e-11 of the weight)."""
EVENT = 1e-5
"""deg: places on a curve where a load vanishes."""
LENGTH = 1e-9
"""m: shock travel, from angles known to 1e-6 deg and levers of 0.1 m."""


@cache
def equilibrium(name, couples, *, on_bench=False):
    car = vehicle(name)
    numbers = space_numbers(car, stand(car).free_lengths, shafts=couples)
    # On the bench the front wheels run free: what traction there is, the clamped rear wheels take.
    return SpaceEquilibrium(replace(numbers, driven=(1.0, 0.0)) if on_bench else numbers)


def solved(name, row):
    """The pose of a row, solved from near it."""
    on_bench = row["kind"].startswith("bench")
    there = equilibrium(name, row["couples"], on_bench=on_bench).with_(
        heading=radians(row["heading_deg"]), held=(row["torque_n_m"], 0.0)
    )
    start = state_of(row)
    there.use_branch_of(start)
    start[:15] += 1e-6 * there.scales[:15]
    return there, solve(there, start, radians(row["slope_deg"])).raise_for_status().state


def compare(there, state, row, force=FORCE, angle=ANGLE):
    seen = [there.seen(state, k) for k in range(2)]
    loads = [seen[k][f"{side}_load"] for k in range(2) for side in SIDES]
    assert loads == pytest.approx(row["load_n"], abs=force)
    assert list(link_forces(there.numbers, state).values()) == pytest.approx(row["tension_n"], abs=force)
    assert [seen[k][f"{side}_shock_push"] for k in range(2) for side in SIDES] == pytest.approx(
        row["shock_push_n"], abs=force
    )
    assert [seen[k]["wheel_torque"] for k in range(2)] == pytest.approx(row["wheel_torque_n_m"], abs=force)
    angles = pose_angles(state)
    assert angles["chassis_roll_deg"] == pytest.approx(row["roll_deg"], abs=angle)
    assert angles["nose_up_pitch_deg"] == pytest.approx(row["nose_up_pitch_deg"], abs=angle)
    for k, end in enumerate(ENDS):
        roll, _, heading = row["axle_roll_pitch_yaw_rel_deg"][k]
        assert angles[f"{end}_axle_roll_deg"] == pytest.approx(roll, abs=angle)
        assert angles[f"{end}_steer_deg"] == pytest.approx(heading, abs=angle)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("couples", [True, False])
@pytest.mark.parametrize("kind", ["creep", "bench", "on three wheels"])
def test_rows_agree(name, couples, kind):
    found = [row for row in rows_of(name, kind) if row["couples"] == couples and "event" not in row["kind"]]
    assert found or (kind == "on three wheels" and not couples)
    for row in found:
        there, state = solved(name, row)
        compare(there, state, row)


@pytest.mark.parametrize("name", NAMES)
def test_the_equations_hold_at_every_row_and_event(name):
    """Their poses put into these equations leave no residual, the singular last lifts included."""
    for row in rows_of(name, ""):
        if row["kind"] == "bench event: lift FL (last)":
            # There a side force of 2e-4 N stands at a load of zero, which side force over load cannot say.
            continue
        on_bench = row["kind"].startswith("bench")
        there = equilibrium(name, row["couples"], on_bench=on_bench).with_(
            heading=radians(row["heading_deg"]), held=(row["torque_n_m"], 0.0)
        )
        residual, _ = there.evaluate(state_of(row), radians(row["slope_deg"]))
        assert np.abs(residual / there.residual_scales).max() < 1e-9, (row["kind"], row["slope_deg"])


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("couples", [True, False])
@pytest.mark.parametrize("heading", [0.0, 15.0, -30.0, 90.0])
def test_lifts_agree(name, couples, heading):
    """Every lift along the curve, past folds; the last wheel of an axle by extrapolation to a load of zero."""
    events = [
        row
        for row in rows_of(name, "event on")
        if row["couples"] == couples and abs(row["heading_deg"] - heading) < 1e-9
    ]
    if not events:
        assert not couples and heading in (-30.0, 90.0)
        return
    climb = SpaceClimb(vehicle(name), heading_deg=heading, shafts=couples)
    lifts, last = climb.lift_events
    found = [(degrees(grade), WHEELS[wheel]) for _, grade, wheel in lifts]
    if last is not None:
        grade, k, wheel, before = last
        if wheel is not None:
            found.append((degrees(before), WHEELS[wheel]))
        found.append((degrees(grade), ENDS[k]))
    assert len(found) == len(events)
    for (grade, wheel), row in zip(found, events, strict=True):
        assert grade == pytest.approx(row["slope_deg"], abs=EVENT)
        lifted = row["kind"].partition("lift ")[2]
        letters = {"rear": "R", "front": "F", "left": "L", "right": "R"}
        assert lifted.startswith("".join(letters[part] for part in wheel.split("_")))
