"""The held-wheel bench: torque at lift, balances, hand free bodies, front wheels geared in, readings, failures."""

from dataclasses import replace
from itertools import pairwise
from math import hypot
from pathlib import Path

import numpy as np
import pytest

from bench_maker import LEVEL_A, reference_bench
from linkage_k1 import WHEELBASE as K1_WHEELBASE
from linkage_k1 import k1, k1_vehicle
from noseload import bench, compare_bench
from noseload.model.crawl.free_body import Force, axle_alone, shock_push, unbalance, whole_vehicle
from noseload.model.crawl.held_wheels import HeldWheels
from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.errors import ModelError
from noseload.model.file.reader import change_vehicle, load_vehicle
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.errors import SolverError, Status
from noseload.studies.bench.bench import with_gears_open
from noseload.studies.bench.path import HeldWheelPath, bench_path
from noseload.studies.climb.split import PLAUSIBLE_PERCENT, with_overdrive
from noseload.studies.climb.standing import coordinates_of, stand
from noseload.studies.levers.survey import draw_vehicles, one_of
from random_vehicles import FEW, random_vehicle, with_held_coils
from reference_vehicle import reference_vehicle

BALANCE = 1e-9
"""Relative to the weight, times the wheelbase for moments: Newton stops at 1e-11 of these."""
SLOPE = 1e-6
"""Scaled Jacobian against central differences, whose own error is about 1e-9 here."""
DATA = Path(__file__).parents[1] / "data"
SETUPS = (None, *reference_vehicle().setups)


def vehicles():
    """Check vehicles and every setup of the demo vehicle."""
    yield from (load_vehicle(str(DATA / f"{name}.toml")) for name in ("check", "check-raised"))
    yield from (reference_vehicle(setup=name) for name in SETUPS)


def place_of_weight(row, vehicle, values):
    """b and L typed again from the bodies' places (level, rear contact below the wheel centre), m."""
    x = (0.0, row.state[2], row.state[5])
    masses = (vehicle.body.mass, vehicle.rear.mass, vehicle.front.mass)
    centres = [
        row.state[k]
        + values.axle(end).wheel_centre_x * np.cos(row.state[k + 2])
        + values.axle(end).wheel_centre_z * np.sin(row.state[k + 2])
        for end, k in (("rear", 2), ("front", 5))
    ]
    return sum(m * v for m, v in zip(masses, x, strict=True)) / sum(masses) - centres[0], centres[1] - centres[0]


@pytest.mark.parametrize("front", ["free", "geared"])
def test_torque_at_lift_is_weight_times_distance(front):
    """T = W b in the actual pose, both fronts, all setups: moments of the whole vehicle about the rear contact."""
    for vehicle in vehicles():
        result = bench(vehicle, front=front)
        weight = vehicle.mass * STANDARD_GRAVITY
        distance, wheelbase = place_of_weight(result.lift, vehicle, result.path.standing.values)
        assert 1e-3 * result.lift.torque_n_mm == pytest.approx(weight * distance, abs=BALANCE * weight * wheelbase)
        assert result.lift.front_load_n == pytest.approx(0.0, abs=BALANCE * weight)
        assert result.weight_times_distance_n_mm == pytest.approx(result.lift.torque_n_mm, rel=BALANCE)


@pytest.mark.parametrize(("front", "play_mm"), [("free", 0.0), ("geared", 0.0), ("geared", 3.0)])
def test_sums_and_budget_of_every_row(front, play_mm):
    """Loads add up to W; N_f L = W b - T + X (z_f - z_r); the named parts are the front load."""
    for vehicle in vehicles():
        result = bench(vehicle, front=front, play_mm=play_mm)
        weight, path = vehicle.mass * STANDARD_GRAVITY, result.path
        for row in result.rows:
            distance, wheelbase = place_of_weight(row, vehicle, path.standing.values)
            rear, ahead = path.bench.centre_heights(row.state)
            assert row.front_load_n + row.rear_load_n == pytest.approx(weight, abs=BALANCE * weight)
            moment = weight * distance - 1e-3 * row.torque_n_mm + row.front_traction_n * (ahead - rear)
            assert row.front_load_n * wheelbase == pytest.approx(moment, abs=BALANCE * weight * wheelbase)
            assert sum(row.budget.values()) == pytest.approx(row.front_load_n, abs=BALANCE * weight)


@pytest.mark.parametrize("front", ["free", "geared"])
def test_free_bodies_balance_and_nothing_pulls_the_vehicle(front):
    """Every force of the drawn free bodies, whole vehicle and rear axle, with the clamp's couple (Newton)."""
    for setup in SETUPS:
        result = reference_bench(setup, front)
        values = result.path.standing.values
        weight = result.path.standing.weight
        for row in result.rows:
            coordinates, pull = coordinates_of(row.state), row.front_traction_n
            couple = 1e-3 * row.clamp_couple_n_mm
            whole = whole_vehicle(values, coordinates, 0.0, (row.rear_load_n, row.front_load_n), (-pull, pull))
            along, up, moment = unbalance(whole)
            assert (along, up, moment + couple) == pytest.approx((0, 0, 0), abs=BALANCE * weight)
            tensions = {link: getattr(row, f"rear_{link}_n") for link in ("lower_link", "upper_link")}
            rear = axle_alone(values, coordinates, "rear", 0.0, row.rear_load_n, -pull, tensions)
            along, up, moment = unbalance(rear)
            assert (along, up, moment + couple) == pytest.approx((0, 0, 0), abs=BALANCE * weight)
            if front == "free":
                assert pull == 0.0 and couple == pytest.approx(-1e-3 * row.torque_n_mm, abs=1e-12)


def test_links_of_the_rear_by_hand():
    """The housing turns against the wheels: the upper link is pulled, the lower pushed. Both by Varignon: the
    moments about the point where the other link meets the shock's line leave one unknown."""
    result = reference_bench()
    first = result.rows[0]
    for row in result.rows[2:]:
        assert row.rear_upper_link_n > max(0.0, first.rear_upper_link_n)
        assert row.rear_lower_link_n < min(0.0, first.rear_lower_link_n)
    row, values = result.rows[5], result.path.standing.values
    coordinates = coordinates_of(row.state)
    rear = axle_alone(values, coordinates, "rear", 0.0, row.rear_load_n, 0.0, {"lower_link": 1.0, "upper_link": 1.0})
    by_name = {force.name: force for force in rear}
    for link, other in (("upper_link", "lower_link"), ("lower_link", "upper_link")):
        a, b = by_name[other], by_name["shock"]
        # The crossing of two lines through a and b along their vectors.
        matrix = np.array([[a.vector[0], -b.vector[0]], [a.vector[1], -b.vector[1]]])
        share = np.linalg.solve(matrix, np.subtract(b.point, a.point))[0]
        about = (a.point[0] + share * a.vector[0], a.point[1] + share * a.vector[1])
        rest = unbalance([by_name["load"], by_name["weight"]], about)[2] - 1e-3 * row.torque_n_mm
        arm = unbalance([by_name[link]], about)[2]
        assert getattr(row, f"rear_{link}_n") == pytest.approx(-rest / arm, rel=1e-9)


def test_spring_loads_of_a_stiff_vehicle_per_torque():
    """Held wheels, solid axle, K1, per N m: rear tyre +3.125, front spring -3.125, rear spring -0.949074 N (derived by
    hand; 9 x 9 statics). The vehicle's own answer tends to it as 1 / stiffness."""
    torque, found = 0.5, []
    for stiffness in (1e5, 1e6, 1e7):
        path = HeldWheelPath(k1_vehicle(stiffness))
        springs = []
        for row in (path.row(0.0), path.row(1e3 * torque)):
            lengths = path.bench.outputs(np.append(row.state, [0.0] * (14 - len(row.state))), 0.0)[0][4:]
            springs.append(
                [
                    row.rear_load_n,
                    *(
                        shock_push(path.standing.values, end, length)
                        for end, length in zip(("front", "rear"), lengths[::-1], strict=True)
                    ),
                ]
            )
        found.append(np.subtract(springs[1], springs[0]) / torque)
    expected = (1 / K1_WHEELBASE, -1 / K1_WHEELBASE, 1 / K1_WHEELBASE - k1().inverse_arm)
    soft, mid, stiff = found
    assert expected[2] == pytest.approx(-0.949074, abs=1e-6)
    assert stiff + (stiff - mid) / 9 == pytest.approx(expected, abs=2e-5)
    assert abs(soft - expected).max() > 9 * abs(mid - expected).max() > 81 * 0.9 * abs(stiff - expected).max()


@pytest.mark.parametrize("law", ["free", "stuck", "sliding"])
def test_slopes_against_differences(law):
    standing = stand(reference_vehicle())
    equilibrium = HeldWheels(standing.equilibrium, standing.state, law=law)
    scales = np.append(equilibrium.scales, 1.0)
    place = np.append(standing.state, [2.0, 0.2])
    place += 0.05 * scales * np.random.default_rng(3).normal(size=15)
    exact = equilibrium.evaluate(place[:14], place[14])[1]
    for k in range(15):
        step = np.zeros(15)
        step[k] = 1e-6 * scales[k]
        ahead, behind = (equilibrium.evaluate(p[:14], p[14])[0] for p in (place + step, place - step))
        error = (ahead - behind) / 2e-6 - exact[:, k] * scales[k]
        assert abs(error / equilibrium.residual_scales).max() < SLOPE, k


def test_bench_leaves_the_standing_vehicle_alone():
    path = HeldWheelPath(reference_vehicle())
    assert path.lift is not None and path.standing.values.held_couple == 0.0
    residual = path.standing.equilibrium.evaluate(path.standing.state, 0.0)[0]
    assert abs(residual / path.standing.equilibrium.residual_scales).max() < 1e-10


def test_geared_front_holds_then_slides_and_lifts_at_the_same_torque():
    """Stuck treads do not move, sliding ones pull at their grip; play lies between stuck and free."""
    free, stuck, play = reference_bench(), reference_bench(None, "geared"), reference_bench(None, "geared", 3.0)
    grip = reference_vehicle().front.tyre.grip_coefficient
    words = [row.front_wheels for row in stuck.rows]
    assert words == sorted(words, key=["stuck", "sliding"].index) and set(words) == {"stuck", "sliding"}
    for row in stuck.rows:
        if row.front_wheels == "stuck":
            assert row.front_slide_mm == pytest.approx(0.0, abs=1e-9)
            assert abs(row.front_traction_n) <= grip * row.front_load_n + 1e-9
        else:
            assert row.front_traction_n == pytest.approx(grip * row.front_load_n, abs=1e-9)
    slides = [row.front_slide_mm for row in stuck.rows if row.front_wheels == "sliding"]
    assert slides == sorted(slides)
    assert [row.front_wheels for row in play.rows][:2] == ["free", "free"]
    for row in play.rows:
        if row.front_wheels == "stuck":
            assert row.front_slide_mm == pytest.approx(3.0, abs=1e-9)
    pulls = [[row.front_traction_n for row in r.rows[1:-1]] for r in (free, play, stuck)]
    assert all(a <= b + 1e-9 <= c + 2e-9 for a, b, c in zip(*pulls, strict=True))
    for other in (stuck, play):
        assert other.lift.torque_n_mm == pytest.approx(free.lift.torque_n_mm, rel=BALANCE)
        assert other.lift.state == pytest.approx(free.lift.state, abs=1e-7)


def test_overdriven_front_enters_by_its_ratio():
    """N_f L = W b - T + X (ratio z_f - z_r), T = T_r + ratio T_f (moments and gears)."""
    vehicle = reference_vehicle()
    vehicle = replace(vehicle, drive=replace(vehicle.drive, front_overdrive=1.06))
    result = bench(vehicle, front="geared")
    row, weight = result.rows[4], vehicle.mass * STANDARD_GRAVITY
    assert row.front_traction_n > 1.0
    rear, ahead = result.path.bench.centre_heights(row.state)
    distance, wheelbase = place_of_weight(row, vehicle, result.path.standing.values)
    moment = weight * distance - 1e-3 * row.torque_n_mm + row.front_traction_n * (1.06 * ahead - rear)
    assert row.front_load_n * wheelbase == pytest.approx(moment, abs=BALANCE * weight)
    assert sum(row.budget.values()) == pytest.approx(row.front_load_n, abs=BALANCE * weight)
    assert result.lift.torque_n_mm == pytest.approx(reference_bench().lift.torque_n_mm, rel=BALANCE)


def test_loads_span_plausible_gears_and_the_torque_at_lift_does_not():
    """Rows against benches of files with those gears; a measured or a free chi changes nothing, for no wheel rolls."""
    vehicle = reference_vehicle()
    told = with_gears_open(bench(vehicle, front="geared", play_mm=1.0), vehicle, play_mm=1.0)
    ratios = (1.0, *(1.0 + 0.01 * percent for percent in PLAUSIBLE_PERCENT))
    others = [bench(change_vehicle(vehicle, {"drive.front_overdrive": r}), front="geared", play_mm=1.0) for r in ratios]
    for k, ends in enumerate(told.over_gears.front_load_n):
        loads = [other.rows[k].front_load_n for other in others]
        assert ends == pytest.approx((min(loads), max(loads)), abs=1e-9)
    errors = [other.scale_error_n_mm for other in others]
    assert told.over_gears.scale_error_n_mm == pytest.approx((min(errors), max(errors)), abs=1e-6)
    lifts = [other.lift.torque_n_mm for other in others]
    assert lifts == pytest.approx([lifts[0]] * 3, rel=BALANCE)
    low, high = told.over_gears.front_load_n[5]
    assert 0.3 < high - low < 0.6 and told.row_documents()[5]["front_load_range_n"] == [low, high]
    rolling = change_vehicle(vehicle, {"tyre.rolling_radius_share": 0.0})
    assert bench(rolling, front="geared", play_mm=1.0).rows[5].front_load_n == pytest.approx(told.rows[5].front_load_n)
    with pytest.MonkeyPatch.context() as patch:

        def breaks_off(*_, **__):
            raise SolverError(Status.DIVERGED, "invented")

        patch.setattr("noseload.studies.bench.bench.bench_path", breaks_off)
        assert with_gears_open(told, vehicle, play_mm=1.0) is told
    free = bench(vehicle)
    assert with_gears_open(free, vehicle) is free and free.row_documents()[1]["front_load_range_n"] is None


def test_set_ups_change_the_torque_little_and_the_attitude_much():
    """The pose need not go one way; torque differences are W times those of b."""
    result = compare_bench([reference_vehicle(setup=name) for name in SETUPS])
    for difference, member in zip(result.differences, result.members[1:], strict=True):
        moved = member.weight_times_distance_n_mm - result.members[0].weight_times_distance_n_mm
        assert difference.torque_at_lift_n_mm == pytest.approx(moved, abs=1e-6)
        assert abs(difference.torque_at_lift_n_mm) < 0.02 * result.members[0].lift.torque_n_mm
        assert abs(difference.rise_at_lift_deg) > 2.0
        assert "Calculated for this vehicle as measured, level floor, rear wheels held" in difference.verdict
    # With coils that pull; loose ones let the tail snap onto its stop there.
    path = bench_path(with_held_coils(reference_vehicle(setup="raised_rear_upper_mount")), front="free")
    (turn,) = path.turns
    name, torque, value = turn
    around = [path.row(torque + step).nose_up_pitch_deg for step in (-50.0, 0.0, 50.0)]
    assert name == "nose_up_pitch_deg" and value == pytest.approx(around[1], abs=1e-6)
    assert around[1] > max(around[0], around[2])


def test_torque_off_the_front_scale():
    """(level - now) x wheelbase: off by what b and the wheelbase change; at lift it reads W b0 of the standing vehicle."""
    result = reference_bench()
    level, last = result.rows[0], result.lift
    for row in result.rows:
        assert row.torque_from_scale_n_mm == pytest.approx(
            (level.front_load_n - row.front_load_n) * level.wheelbase_mm, abs=1e-7
        )
    standing = result.path.standing
    assert last.torque_from_scale_n_mm == pytest.approx(1e3 * standing.weight * standing.reference[0], rel=1e-9)
    assert 0.0 < result.scale_error_n_mm < 0.03 * last.torque_n_mm


def test_motor_reaches_it_or_not():
    assert reference_bench().reached and reference_bench().throttle_at_lift == pytest.approx(4620.7 / 7400, abs=1e-3)
    weak = bench(change_vehicle(reference_vehicle(), {"drive.stall_torque_n_mm": 3000.0}))
    assert weak.reached is False and weak.throttle_at_lift > 1.5


def test_rigid_vehicle():
    """Level A: T = W b, front load straight in the torque, the scale tells the torque exactly (Newton)."""
    vehicle = load_vehicle("a.toml", text=LEVEL_A)
    result = bench(vehicle)
    assert result.lift.torque_n_mm == pytest.approx(1.4 * STANDARD_GRAVITY * 320, rel=1e-9)
    assert result.scale_error_n_mm == pytest.approx(0.0, abs=1e-9)
    assert result.rows[2].front_load_n == pytest.approx(1.4 * STANDARD_GRAVITY - 1000 / 320, rel=1e-9)
    assert result.lift.rear_upper_link_n is None and "rigid" in result.rows[0].message
    assert result.path.row(1e5).status == "beyond_lift"


def check_random(count):
    solved = 0
    for seed in range(count):
        vehicle = random_vehicle(seed)
        vehicle = replace(vehicle, drive=replace(vehicle.drive, driven_axles="both"))
        for front in ("free", "geared"):
            try:
                result = bench(vehicle, front=front, step_n_mm=1000.0)
            except (SolverError, ModelError):
                continue
            if result.lift is None:
                assert result.message and result.status == "no_solution"
                continue
            solved += 1
            weight = vehicle.mass * STANDARD_GRAVITY
            values = result.path.standing.values
            distance, _, wheelbase = centre_of_gravity(values, coordinates_of(result.lift.state))
            assert 1e-3 * result.lift.torque_n_mm == pytest.approx(
                weight * distance, abs=BALANCE * weight * wheelbase
            ), (seed, front)
            for row in result.rows:
                if row.front_load_n is not None:
                    assert row.front_load_n + row.rear_load_n == pytest.approx(weight, abs=BALANCE * weight), (
                        seed,
                        front,
                    )
                    assert sum(row.budget.values()) == pytest.approx(row.front_load_n, abs=BALANCE * weight), (
                        seed,
                        front,
                    )
    return solved / (2 * count)


def test_random_vehicles():
    assert check_random(8) >= 0.85


@pytest.mark.slow
def test_many_random_vehicles():
    assert check_random(3 * FEW) >= 0.9


def test_wrong_benches_name_the_remedy():
    vehicle = reference_vehicle()
    with pytest.raises(ModelError, match="held rear wheels feel no torque"):
        bench(load_vehicle(str(DATA / "check.toml"), drive="front"))
    with pytest.raises(ModelError, match="needs both axles driven"):
        bench(load_vehicle(str(DATA / "check.toml"), drive="rear"), front="geared")
    with pytest.raises(ModelError, match="one of free, geared"):
        bench(vehicle, front="rollers")
    with pytest.raises(ModelError, match="play counts where"):
        bench(vehicle, play_mm=2.0)
    with pytest.raises(ModelError, match="a way of 0 mm or more"):
        bench(vehicle, front="geared", play_mm=-1.0)
    with pytest.raises(ModelError, match="step above 0"):
        bench(vehicle, step_n_mm=0.0)
    with pytest.raises(ModelError, match="rows are too many"):
        bench(vehicle, step_n_mm=0.01)
    with pytest.raises(KeyError, match="Bench has no 'load'; nearest: front_load_n, rear_load_n"):
        reference_bench()["load"]
    late = reference_bench().path.row(9000.0)
    assert (late.status, late.front_load_n) == ("beyond_lift", None) and "front is free" in late.message


def test_forces_are_drawn_for_the_case_asked():
    """The named clamp force is there geared in, and absent where nothing pulls."""
    for front, expected in (("free", 0.0), ("geared", 10.0)):
        row = reference_bench(None, front).rows[4]
        force = Force("clamp_traction", (0.0, 0.0), (-row.front_traction_n, 0.0))
        assert hypot(*force.vector) >= expected and (front == "geared") == (hypot(*force.vector) > 0)


def test_an_event_that_is_not_found_is_told_by_name():
    """A survey's vehicle whose front wheels stick just where a shock has a kink: the search for the next slip ended the bench with an error."""
    car = one_of(draw_vehicles(33, 0), 74)
    found = bench(car, front="geared")
    assert found.lift is None and found.status == "no_solution"
    assert "the front wheels begin to slip, and where was not found" in found.message
    assert found.rows[-1].status == "ok" and len(found.rows) > 2
    loads = [row.front_load_n for row in found.rows]
    assert all(a > b > 0.0 for a, b in pairwise(loads))
    difference = compare_bench([reference_vehicle(), car], front="geared").differences[0]
    assert difference.verdict.startswith("No torque at lift for")
    # The last row is at a torque like others then, and not where other laws lift.
    low, high = with_gears_open(found, car).over_gears.front_load_n[-1]
    others = [bench_path(with_overdrive(car, 1.0 + 0.01 * p), front="geared") for p in PLAUSIBLE_PERCENT]
    rows = [path.row(found.rows[-1].torque_n_mm) for path in others]
    known = [loads[-1], *(row.front_load_n for row in rows if row.status == "ok")]
    assert {row.status for row in rows} <= {"ok", "no_solution", "beyond_lift"} and len(known) > 1
    assert [low, high] == pytest.approx([min(known), max(known)], abs=BALANCE)
