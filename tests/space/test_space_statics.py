"""Creep, bench and events in space against an independent program (its own formulation, held against a physics engine)."""

from dataclasses import replace
from functools import cache
from math import degrees, radians

import numpy as np
import pytest

from noseload.model.parameters import ENDS
from noseload.model.space.equilibrium import SpaceEquilibrium
from noseload.model.space.held_wheels import HeldWheelsInSpace
from noseload.model.space.parameters import SIDES, WHEELS, space_numbers
from noseload.model.space.rows import SIDE
from noseload.solvers.continuation import solve_on, trace
from noseload.solvers.newton import solve
from noseload.studies.climb.standing import stand
from noseload.studies.space.climb import SpaceClimb, stand_in_space
from noseload.studies.space.lifts import WheelLifts
from noseload.studies.space.rows import beyond_handover, link_forces, pose_angles
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


@cache
def climb(name, couples, heading):
    return SpaceClimb(vehicle(name), heading_deg=heading, shafts=couples)


@cache
def climb_pieces(name, couples, heading):
    return tuple(pieces(climb(name, couples, heading).uphill))


@cache
def bench(name, couples):
    """The bench and its curve from no torque to where no front wheel is on its scale."""
    held = HeldWheelsInSpace(stand_in_space(vehicle(name), shafts=couples).equilibrium)
    lifts = WheelLifts(held)
    start = solve(held, held.own(stand_in_space(vehicle(name), shafts=couples).solution.state), 0.0)
    curve = trace(held, start.raise_for_status(), 1.0, lambda point: lifts.is_last(lifts.depths(point)))
    return held, curve, tuple(pieces(curve))


def from_level(name, row):
    """(equilibrium, plain state) of every pose of the row's slope or torque on the curve that starts standing level."""
    if row["kind"].startswith("bench"):
        held, curve, parts = bench(name, row["couples"])
        parameter, plain, there = row["torque_n_m"] / held.torque_unit, held.plain, lambda p: held.at(p).with_()
    else:
        climbed = climb(name, row["couples"], row["heading_deg"])
        parameter = radians(row["slope_deg"])
        curve, parts = climbed.uphill, climb_pieces(name, row["couples"], row["heading_deg"])
        plain, there = climbed.plain, lambda _: climbed.equilibrium
    for first, last in parts:
        found = solve_on(replace(curve, points=(first, last)), parameter)
        if found is not None and found.success:
            yield there(parameter), plain(found.state)
    if not row["kind"].startswith("bench"):
        # Between the handover and the last lift.
        found = beyond_handover(climbed, curve, parameter)
        if found is not None:
            yield climbed.equilibrium, climbed.plain(found.state)


def pieces(curve):
    """Pairs of points between which the parameter runs one way: folds are points too."""
    folds = set(curve.folds())
    for k, (first, last) in enumerate(zip(curve.points, curve.points[1:], strict=False)):
        turn = curve.find(lambda p: p.tangent[-1], first=k, last=k + 1) if k in folds else None
        yield from [(first, last)] if turn is None else [(first, turn), (turn, last)]


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
def test_rows_are_met_on_the_way_from_level(name, couples, kind):
    """Nothing of the rows is used to find them: the path starts standing level and passes lifts and folds."""
    found = [row for row in rows_of(name, kind) if row["couples"] == couples and "event" not in row["kind"]]
    assert found or (kind == "on three wheels" and not couples)
    for row in found:
        roll = radians(row["roll_deg"])
        there, state = min(from_level(name, row), key=lambda pose: abs(pose[1][2] - roll))
        compare(there, state, row)


@pytest.mark.parametrize("name", NAMES)
def test_the_equations_hold_at_every_row_and_event(name):
    """Their poses put into these equations leave no residual, the singular last lifts included."""
    for row in rows_of(name, ""):
        on_bench = row["kind"].startswith("bench")
        there = equilibrium(name, row["couples"], on_bench=on_bench).with_(
            heading=radians(row["heading_deg"]), held=(row["torque_n_m"], 0.0)
        )
        state = state_of(row)
        more = 0.0
        if row["kind"] == "bench event: lift FL (last)":
            # A side force without a load, which side force over load cannot say: put in by hand at the contact.
            more, state[SIDE[1]] = side_force_without_load(there, state, row), 0.0
        residual = there.evaluate(state, radians(row["slope_deg"]))[0] + more
        assert np.abs(residual / there.residual_scales).max() < 1e-9, (row["kind"], row["slope_deg"])


def side_force_without_load(there, state, row):
    """Residual of the front side force of a row at the one contact that just touches: a force and its moment."""
    force, seen = row["side_n"][1], there.seen(state, 1)
    side = int(np.argmax(row["raw_load_n"][2:]))
    contact = np.array([seen[f"{SIDES[side]}_contact_{axis}"] for axis in "xyz"])
    heading = state[12]
    along = np.array([-np.sin(heading), np.cos(heading), 0.0]) * force
    more = np.zeros_like(there.residual_scales)
    more[12:15], more[15:18] = along, np.cross(contact, along)
    return more


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
    lifts, last = climb(name, couples, heading).lift_events
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
