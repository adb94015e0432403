"""What must hold of any vehicle, over 200 (in the fast suite 50) seeded random plausible ones."""

from math import cos, degrees, radians, sin

import numpy as np
import pytest

from noseload.model.errors import ModelError
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.continuation import trace
from noseload.solvers.errors import SolverError, Status
from noseload.solvers.newton import solve
from noseload.studies.climb.creep import Climb
from random_vehicles import COUNT, FEW, heavier, larger, mirrored, random_grade_deg, random_vehicle

CONVERGED_SHARE = 0.98
BALANCE = 1e-9
"""Relative to the weight (times the wheelbase): Newton stops at 1e-11 of these."""
SAME = 1e-7
"""Relative: two solves of one problem in other numbers; about 1e-11 times the condition of soft attitudes."""
NAMED = {"ok", "beyond_grip", "beyond_torque", "beyond_tip_over", "beyond_fold", "no_solution"}


@pytest.fixture(scope="module", params=[FEW, pytest.param(COUNT, marks=pytest.mark.slow)])
def climbed(request):
    """Vehicle, its climb, and creep at a random grade; None where it does not stand."""
    results = []
    for seed in range(request.param):
        vehicle = random_vehicle(seed)
        try:
            climb = Climb(vehicle)
            results.append((vehicle, climb, climb.row(random_grade_deg(seed))))
        except (SolverError, ModelError) as error:
            results.append((vehicle, None, error))
    return results


def filled(climbed):
    """Those with numbers."""
    return [
        (vehicle, climb, row) for vehicle, climb, row in climbed if climb is not None and row.front_load_n is not None
    ]


def test_nearly_all_are_solved_and_the_others_say_why(climbed):
    """At least 98 %; every failure is a named status, found again when the curve is followed in small steps."""
    failures = [(v, climb, row) for v, climb, row in climbed if climb is None or row.status == "no_solution"]
    assert len(failures) <= (1 - CONVERGED_SHARE) * len(climbed)
    for _, climb, row in failures:
        if climb is None:
            assert isinstance(row, SolverError) and isinstance(row.status, Status)
            continue
        again = trace(
            climb.equilibrium,
            climb.standing.solution,
            np.sign(row.grade_deg),
            lambda point, row=row: abs(point.parameter) >= radians(abs(row.grade_deg)),
            largest_step=0.02,
            max_points=4000,
        )
        assert not again.status.success, row.message
        assert row.message
    assert {row.status for _, climb, row in climbed if climb is not None} <= NAMED
    assert len(filled(climbed)) > 0.8 * len(climbed), "most grades lie before a limit"


def test_pose_lies_on_the_branch_of_the_measured_one(climbed):
    for vehicle, climb, row in filled(climbed):
        assert climb.equilibrium.accept(row.state, radians(row.grade_deg)) is None, vehicle.name


def test_sums_of_forces(climbed):
    """Normal loads add up to W cos, tractions to W sin (Newton)."""
    for vehicle, _, row in filled(climbed):
        weight, grade = vehicle.mass * STANDARD_GRAVITY, radians(row.grade_deg)
        assert row.front_load_n + row.rear_load_n == pytest.approx(weight * cos(grade), abs=BALANCE * weight), (
            vehicle.name
        )
        pull = row.front_traction_n + row.rear_traction_n
        assert pull == pytest.approx(weight * sin(grade), abs=BALANCE * weight), vehicle.name


def test_moment_balance_about_the_rear_contact(climbed):
    """N_f L = sum of m (x cos - z sin) G, with places from the solved pose; the budget says the same (Newton)."""
    for vehicle, _, row in filled(climbed):
        grade, state = radians(row.grade_deg), row.state
        masses = (vehicle.body.mass, vehicle.rear.mass, vehicle.front.mass)
        places = ((0.0, state[0]), (state[2], state[3]), (state[5], state[6]))
        moment = sum(
            m * STANDARD_GRAVITY * ((x - state[2]) * cos(grade) - z * sin(grade))
            for m, (x, z) in zip(masses, places, strict=True)
        )
        weight, reach = vehicle.mass * STANDARD_GRAVITY, state[5] - state[2]
        assert row.front_load_n * reach == pytest.approx(moment, abs=BALANCE * weight * reach), vehicle.name
        assert sum(row.budget.values()) == pytest.approx(row.front_load_n, abs=BALANCE * weight), vehicle.name


def test_rods_keep_their_lengths_and_shocks_their_stops(climbed):
    """Distances in the solved pose against those of the file; a stop gives way by its share of the weight at most."""
    for vehicle, climb, row in filled(climbed):
        residual, _ = climb.equilibrium.evaluate(row.state, radians(row.grade_deg))
        assert np.max(np.abs(residual[9:])) < 1e-10 * vehicle.wheelbase
        for end in ("rear", "front"):
            shock, travel = getattr(vehicle, end).shock, 1e-3 * getattr(row, f"{end}_shock_travel_mm")
            give = 5.0 * vehicle.mass * STANDARD_GRAVITY / shock.stop_stiffness
            assert -shock.bump_travel - give < travel < shock.droop_travel + give, vehicle.name


def test_plain_newton_in_small_steps_finds_the_same(climbed):
    """Another way to the same pose: from level in steps of 2 deg, no arclength."""
    for vehicle, climb, row in filled(climbed)[::5]:
        state, first = climb.standing.state, 0.0
        for snap in climb.followed("rear" if row.grade_deg < 0.0 else "front").snaps:
            # A coil that goes loose lets the vehicle jump; from where it lands it goes on in small steps.
            if abs(snap.after.parameter) < radians(abs(row.grade_deg)):
                state, first = snap.after.state, snap.after.parameter
        for grade in np.linspace(first, radians(row.grade_deg), 2 + int(abs(row.grade_deg) / 2)):
            state = solve(climb.equilibrium, state, float(grade)).raise_for_status().state
        np.testing.assert_allclose(
            state / climb.equilibrium.scales, row.state / climb.equilibrium.scales, atol=SAME, err_msg=vehicle.name
        )


def same_loads(row, other, factor=1.0, *, swapped=False):
    """Loads, tractions, pitch of two rows, the second possibly of the mirrored vehicle."""
    assert other.status == row.status
    ends = ("front", "rear") if swapped else ("rear", "front")
    sign = -1.0 if swapped else 1.0
    size = SAME * 30.0
    for end, twin in zip(("rear", "front"), ends, strict=True):
        assert getattr(other, f"{twin}_load_n") == pytest.approx(
            factor * getattr(row, f"{end}_load_n"), abs=size * factor
        )
        assert getattr(other, f"{twin}_traction_n") == pytest.approx(
            sign * factor * getattr(row, f"{end}_traction_n"), abs=size * factor
        )
    assert other.nose_up_pitch_deg == pytest.approx(sign * row.nose_up_pitch_deg, abs=degrees(SAME) * 10)


def test_front_and_rear_mirror(climbed):
    """Turned round on the slope it is the same vehicle: front and rear swapped, grade negated."""
    for vehicle, _, row in filled(climbed)[::4]:
        same_loads(row, Climb(mirrored(vehicle)).row(-row.grade_deg), swapped=True)


def test_mass_scales_the_loads(climbed):
    """All masses and rates 2.5 times: loads 2.5 times, the same attitude (similarity)."""
    for vehicle, _, row in filled(climbed)[1::4]:
        same_loads(row, Climb(heavier(vehicle, 2.5)).row(row.grade_deg), 2.5)


def test_length_leaves_loads_and_angles(climbed):
    """All lengths 1.7 times, rates divided by it: the same loads and angles, the same tip-over (similarity)."""
    for k, (vehicle, climb, row) in enumerate(filled(climbed)[2::4]):
        grown = Climb(larger(vehicle, 1.7))
        same_loads(row, grown.row(row.grade_deg))
        if k % 5:
            continue
        tip, other = climb.limits.tip_over_grade_deg, grown.limits.tip_over_grade_deg
        assert (tip is None) == (other is None)
        assert tip is None or other == pytest.approx(tip, abs=1e-5)


KINKS = (176, 188, 548, 592)
"""Vehicles that reach a stop between two points of the traced curve."""


@pytest.mark.parametrize("seed", [*KINKS, *range(0, COUNT, 16)])
def test_limits_are_found_and_are_where_they_say(seed):
    """A bug's story: where a stop engaged within a segment, full Newton steps went to and fro across the kink.

    The search for tip-over then died with 'not finite'. Here each limit is solved again by plain Newton.
    """
    vehicle = random_vehicle(seed)
    climb = Climb(vehicle)
    limits, weight = climb.limits, vehicle.mass * STANDARD_GRAVITY
    for grade_deg, end in ((limits.tip_over_grade_deg, 0), (limits.tip_over_downhill_grade_deg, 1)):
        curve = climb.uphill if end == 0 else climb.downhill
        if grade_deg is None or curve.folds():
            continue
        state = climb.standing.state
        for grade in np.linspace(0.0, radians(grade_deg), 60):
            state = solve(climb.equilibrium, state, float(grade)).raise_for_status().state
        loads = climb.equilibrium.outputs(state, radians(grade_deg))[0][:2]
        assert loads[1 - end] == pytest.approx(0.0, abs=SAME * weight)
    if limits.grip_grade_deg is not None:
        row = climb.row(limits.grip_grade_deg)
        held = sum(
            getattr(row, f"{end}_load_n") * getattr(vehicle, end).tyre.grip_coefficient
            for end in ("rear", "front")
            if vehicle.drive.driven_axles in ("both", end)
        )
        assert held == pytest.approx(weight * sin(radians(limits.grip_grade_deg)), rel=1e-8)
