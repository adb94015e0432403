"""What must hold of any vehicle, over 200 (in the fast suite 50) seeded random plausible ones."""

from dataclasses import replace
from math import cos, degrees, radians, sin

import numpy as np
import pytest

from model.errors import ModelError
from model.units import STANDARD_GRAVITY
from model.vehicle import Axle, Body, Drive, Rod, Shock, Tyre, Vehicle
from scenarios.studies.creep import Climb
from solvers.continuation import trace
from solvers.errors import SolverError, Status
from solvers.newton import solve

COUNT = 200
FEW = 50
"""The first of them, in the fast suite."""
CONVERGED_SHARE = 0.98
BALANCE = 1e-9
"""Relative to the weight (times the wheelbase): Newton stops at 1e-11 of these."""
SAME = 1e-7
"""Relative: two solves of one problem in other numbers; about 1e-11 times the condition of soft attitudes."""
NAMED = {"ok", "beyond_grip", "beyond_torque", "beyond_tip_over", "beyond_fold", "no_solution"}
DRIVES = ("both", "rear", "front")


def random_axle(random, centre, inward, radius, load_mass):
    """An axle at `centre` whose links and shock point inward (+1: toward larger x)."""
    length = random.uniform(0.09, 0.15)
    low, high = radius + random.uniform(-0.02, 0.0), radius + random.uniform(0.025, 0.045)
    lift = random.uniform(-0.01, 0.04)
    lower = Rod((centre + inward * length, None, low + lift),
                (centre + inward * random.uniform(-0.005, 0.01), None, low))
    upper = Rod((centre + inward * length * random.uniform(0.6, 1.0), None, high + lift * random.uniform(0.0, 1.2)),
                (centre + inward * random.uniform(-0.01, 0.01), None, high))
    sink = random.uniform(0.012, 0.03)
    shock = Shock(
        (centre + inward * random.uniform(0.02, 0.05), None, radius + random.uniform(0.09, 0.12)),
        (centre + inward * random.uniform(0.0, 0.015), None, radius + random.uniform(0.0, 0.015)),
        load_mass * STANDARD_GRAVITY / sink, 10.0, random.uniform(0.01, 0.03), random.uniform(0.01, 0.03),
        random.uniform(1e4, 4e4), 20.0, None)
    tyre = Tyre(None, radius, random.uniform(1500, 6000), 6.0, random.uniform(1.2, 2.5), 0.02, 0.1)
    return Axle(random.uniform(0.3, 0.6), 3e-4, 8e-4, tyre, lower, upper, shock)


def random_vehicle(seed):
    """A plausible 1:10 crawler (ranges: common practice, no source)."""
    random = np.random.default_rng(40_000 + seed)
    wheelbase, radius = random.uniform(0.29, 0.34), random.uniform(0.05, 0.065)
    mass = random.uniform(1.2, 2.2)
    share = random.uniform(0.4, 0.6)
    rear = random_axle(random, 0.0, 1.0, radius, mass * (1 - share))
    front = random_axle(random, wheelbase, -1.0, radius, mass * share)
    body = Body(mass, (wheelbase * share, random.uniform(0.09, 0.15)), 0.012)
    drive = Drive(DRIVES[seed % 3], random.uniform(1.5, 3.5), 28.0, 2.4e-4, 1.0, 0.0)
    return Vehicle(f"random {seed}", "C", wheelbase, body, rear, front, drive)


def random_grade_deg(seed):
    return float(np.random.default_rng(50_000 + seed).uniform(-40.0, 58.0))


def move(vehicle, change):
    """The vehicle with `change(x, z)` done to every point; rods and shocks keep their ends in order."""
    def moved(part):
        return replace(part, **{end: (*change(getattr(part, end)[0], getattr(part, end)[-1]),)
                                for end in ("chassis_end", "axle_end")})

    def three(part):
        part = moved(part)
        return replace(part, **{end: (getattr(part, end)[0], None, getattr(part, end)[1])
                                for end in ("chassis_end", "axle_end")})

    axles = {end: replace(getattr(vehicle, end), **{name: three(getattr(getattr(vehicle, end), name))
                                                   for name in ("lower_link", "upper_link", "shock")})
             for end in ("rear", "front")}
    body = replace(vehicle.body, centre_of_gravity=change(*vehicle.body.centre_of_gravity))
    return replace(vehicle, body=body, **axles)


def mirrored(vehicle):
    """Front and rear swapped: what was the nose is the tail."""
    turned = move(vehicle, lambda x, z: (vehicle.wheelbase - x, z))
    drive = replace(vehicle.drive, driven_axles={"both": "both", "rear": "front", "front": "rear"}[vehicle.drive.driven_axles])
    return replace(turned, rear=turned.front, front=turned.rear, drive=drive)


def heavier(vehicle, factor):
    """All masses and all rates times a factor."""
    def axle(part):
        shock = replace(part.shock, spring_rate=factor * part.shock.spring_rate, stop_stiffness=factor * part.shock.stop_stiffness)
        tyre = replace(part.tyre, vertical_stiffness=factor * part.tyre.vertical_stiffness)
        return replace(part, mass=factor * part.mass, shock=shock, tyre=tyre)

    return replace(vehicle, body=replace(vehicle.body, mass=factor * vehicle.body.mass), rear=axle(vehicle.rear),
                   front=axle(vehicle.front), drive=replace(vehicle.drive, stall_torque=factor * vehicle.drive.stall_torque))


def larger(vehicle, factor):
    """All lengths times a factor, all rates divided by it: the same angles under the same weight."""
    def axle(part):
        shock = replace(part.shock, **{name: getattr(part.shock, name) * scale for name, scale in (
            ("spring_rate", 1 / factor), ("stop_stiffness", 1 / factor), ("droop_travel", factor), ("bump_travel", factor))})
        tyre = replace(part.tyre, loaded_radius=factor * part.tyre.loaded_radius,
                       vertical_stiffness=part.tyre.vertical_stiffness / factor)
        return replace(part, shock=shock, tyre=tyre)

    grown = move(vehicle, lambda x, z: (factor * x, factor * z))
    return replace(grown, wheelbase=factor * vehicle.wheelbase, rear=axle(grown.rear), front=axle(grown.front),
                   drive=replace(vehicle.drive, stall_torque=factor * vehicle.drive.stall_torque))


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
    return [(vehicle, climb, row) for vehicle, climb, row in climbed if climb is not None and row.front_load_n is not None]


def test_nearly_all_are_solved_and_the_others_say_why(climbed):
    """At least 98 %; every failure is a named status, found again when the curve is followed in small steps."""
    failures = [(v, climb, row) for v, climb, row in climbed if climb is None or row.status == "no_solution"]
    assert len(failures) <= (1 - CONVERGED_SHARE) * len(climbed)
    for _, climb, row in failures:
        if climb is None:
            assert isinstance(row, SolverError) and isinstance(row.status, Status)
            continue
        again = trace(climb.equilibrium, climb.standing.solution, np.sign(row.grade_deg),
                      lambda point, row=row: abs(point.parameter) >= radians(abs(row.grade_deg)), largest_step=0.02,
                      max_points=4000)
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
        assert row.front_load_n + row.rear_load_n == pytest.approx(weight * cos(grade), abs=BALANCE * weight), vehicle.name
        pull = row.front_traction_n + row.rear_traction_n
        assert pull == pytest.approx(weight * sin(grade), abs=BALANCE * weight), vehicle.name


def test_moment_balance_about_the_rear_contact(climbed):
    """N_f L = sum of m (x cos - z sin) G, with places from the solved pose; the budget says the same (Newton)."""
    for vehicle, _, row in filled(climbed):
        grade, state = radians(row.grade_deg), row.state
        masses = (vehicle.body.mass, vehicle.rear.mass, vehicle.front.mass)
        places = ((0.0, state[0]), (state[2], state[3]), (state[5], state[6]))
        moment = sum(m * STANDARD_GRAVITY * ((x - state[2]) * cos(grade) - z * sin(grade))
                     for m, (x, z) in zip(masses, places, strict=True))
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
        state = climb.standing.state
        for grade in np.linspace(0.0, radians(row.grade_deg), 2 + int(abs(row.grade_deg) / 2)):
            state = solve(climb.equilibrium, state, float(grade)).raise_for_status().state
        np.testing.assert_allclose(state / climb.equilibrium.scales, row.state / climb.equilibrium.scales, atol=SAME,
                                   err_msg=vehicle.name)


def same_loads(row, other, factor=1.0, *, swapped=False):
    """Loads, tractions, pitch of two rows, the second possibly of the mirrored vehicle."""
    assert other.status == row.status
    ends = ("front", "rear") if swapped else ("rear", "front")
    sign = -1.0 if swapped else 1.0
    size = SAME * 30.0
    for end, twin in zip(("rear", "front"), ends, strict=True):
        assert getattr(other, f"{twin}_load_n") == pytest.approx(factor * getattr(row, f"{end}_load_n"), abs=size * factor)
        assert getattr(other, f"{twin}_traction_n") == pytest.approx(
            sign * factor * getattr(row, f"{end}_traction_n"), abs=size * factor)
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
        held = sum(getattr(row, f"{end}_load_n") * getattr(vehicle, end).tyre.grip_coefficient
                   for end in ("rear", "front") if vehicle.drive.driven_axles in ("both", end))
        assert held == pytest.approx(weight * sin(radians(limits.grip_grade_deg)), rel=1e-8)
