"""Springs that only sit on their seats do not pull: loose coils in a crawl, a punch, a batch and in space."""

from dataclasses import replace
from functools import cache
from math import radians

import numpy as np
import pytest

from noseload.model.crawl.free_body import axle_alone, shock_push, unbalance, whole_vehicle
from noseload.model.units import grams_of_force
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb, creep
from noseload.studies.climb.describe import describe
from noseload.studies.climb.many import creep_many, stand_many
from noseload.studies.climb.standing import coordinates_of, stand
from noseload.studies.climb.sweep import sweep
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.punch import punch
from noseload.studies.space.wheels import wheels
from random_vehicles import with_held_coils
from reference_vehicle import reference_vehicle
from vehicle_text import LEVEL_A, changed, faults_of, read

BALANCE = 1e-9
"""N and N m: sums of forces of some 20 N in double precision."""


@cache
def drooping(held=False):
    """The demo vehicle with 35 mm of front droop: its front coil goes loose far before the stop."""
    demo = reference_vehicle()
    front = replace(demo.front, shock=replace(demo.front.shock, droop_travel=0.035))
    return with_held_coils(replace(demo, front=front), held)


def flat(vehicle):
    """Without the shocks' lean across the vehicle, as a side view alone would have it."""
    axles = {}
    for end in ("rear", "front"):
        axle = getattr(vehicle, end)
        ends = {name: (x, None, z) for name in ("chassis_end", "axle_end") for x, _, z in [getattr(axle.shock, name)]}
        axles[end] = replace(axle, shock=replace(axle.shock, **ends))
    return replace(vehicle, **axles)


@pytest.mark.parametrize(("held", "grams", "nose_up"), [(True, 204, 4.77), (False, 171, 6.04)])
def test_a_coil_that_pulls_holds_the_nose_down(held, grams, nose_up):
    """55 deg, found before with another program for shocks without lean across; to its printed digits."""
    row = creep(flat(drooping(held)), grade_deg=55.0)
    assert row.status == "ok" and row.stable
    assert (round(grams_of_force(row.front_load_n)), round(row.nose_up_pitch_deg, 2)) == (grams, nose_up)


def test_axle_and_vehicle_are_in_balance_with_a_loose_coil():
    climb = Climb(drooping())
    row, standing = climb.row(55.0), climb.standing
    values, places = standing.values, coordinates_of(row.state)
    length = 1e-3 * row.front_shock_travel_mm + standing.measured_lengths[1]
    assert length > values.front.free_length and length > values.front.longest
    assert shock_push(values, "front", length) == -values.front.stop_stiffness * (length - values.front.longest)
    tensions = {link: getattr(row, f"front_{link}_n") for link in ("lower_link", "upper_link")}
    parts = axle_alone(values, places, "front", radians(55.0), row.front_load_n, row.front_traction_n, tensions)
    loads, tractions = (row.rear_load_n, row.front_load_n), (row.rear_traction_n, row.front_traction_n)
    whole = whole_vehicle(values, places, radians(55.0), loads, tractions)
    assert np.abs([*unbalance(parts)[:2], *unbalance(whole)]).max() < BALANCE


def test_a_sweep_names_where_the_coil_goes_loose_and_climbs_on():
    """Past its free length the front coil holds nothing, so the nose snaps up to the droop stop; that is no end of the climb."""
    found = sweep(drooping(), step_deg=5.0)
    names = [kink.name for kink in found.kinks]
    assert names == ["front coil loose", "front droop stop"] and found.limits.first == "tip_over"
    snap = found.kinks[0]
    assert snap.grade_deg == pytest.approx(51.79, abs=0.01) and snap.size_deg == pytest.approx(2.24, abs=0.01)
    assert "front end snaps onto its droop stop, nose up 4.48 to 6.72 deg, front 327 to 278 g" in snap.sentence()
    assert [row.status for row in found.rows] == ["ok"] * len(found.rows) and len(found.rows) == 13
    behind = [row.message for row in found.rows if row.grade_deg > snap.grade_deg]
    assert all(message.startswith("front coil loose at 51.79 deg") for message in behind)
    assert not any(row.message for row in found.rows if row.grade_deg < snap.grade_deg)
    held = sweep(drooping(True), step_deg=5.0)
    assert [kink.name for kink in held.kinks] == ["front droop stop"] and held.kinks[0].size_deg == 0.0


def test_the_row_at_a_snap_is_the_pose_before_it():
    climb = Climb(drooping())
    snap = climb.followed().snaps[0]
    before, after = (
        climb.row(np.degrees(snap.before.parameter) - 1e-4),
        climb.row(np.degrees(snap.before.parameter) + 1e-4),
    )
    assert before.nose_up_pitch_deg == pytest.approx(climb.kinks()[0].nose_up_deg[0], abs=1e-3)
    assert after.nose_up_pitch_deg == pytest.approx(climb.kinks()[0].nose_up_deg[1], abs=1e-3)


def test_many_at_once_are_single_ones():
    vehicles, grades = [drooping(), drooping(True), reference_vehicle()], [40.0, 55.0, 58.0]
    batch = stand_many([vehicle for vehicle in vehicles for _ in grades])
    found = creep_many(batch, np.radians(grades * len(vehicles)))
    single = [creep(vehicle, grade_deg=grade).front_load_n for vehicle in vehicles for grade in grades]
    assert found.front_load == pytest.approx(single, abs=1e-7)


def test_a_punch_locates_the_loose_coil_and_keeps_the_energy_book():
    kicked = punch(drooping(), grade_deg=35.0)
    names = [event.name for event in kicked.events]
    assert "front_coil_loose" in names and "front_coil_taut" in names
    loose = kicked.events[names.index("front_coil_loose")]
    seen = kicked.standing.values.front.free_length
    at = np.interp(loose.time_s, kicked.time_s, 1e-3 * np.array(kicked.traces["front_shock_travel_mm"]))
    # A trace sampled every millisecond, at up to 0.5 m/s, bends by some micrometres between samples.
    assert at + kicked.standing.measured_lengths[1] == pytest.approx(seen, abs=2e-5)
    assert kicked.stats["energy_residual"] < 1e-5
    assert not any("coil" in event.name for event in punch(drooping(True), grade_deg=35.0).events)


@pytest.mark.slow
def test_many_punches_at_once_are_single_ones():
    vehicles = [drooping(), drooping(True)]
    found = punch_many(vehicles, grade_deg=[35.0, 35.0])
    for k, vehicle in enumerate(vehicles):
        alone = punch(vehicle, grade_deg=35.0)
        assert found.front_airborne_s[k] == pytest.approx(alone.summary["front_airborne_s"], abs=2e-3)
        assert found.peak_nose_up_pitch_deg[k] == pytest.approx(alone.summary["peak_nose_up_pitch_deg"], abs=0.05)
    assert abs(np.diff(found.peak_nose_up_pitch_deg)[0]) > 0.1


def test_in_space_without_shafts_it_is_the_side_view():
    for held in (True, False):
        row, four = creep(drooping(held), grade_deg=45.0), wheels(drooping(held), grade_deg=45.0, shafts=False)
        assert sum(four.loads_n[2:]) == pytest.approx(row.front_load_n, abs=1e-7)
    one, other = (wheels(drooping(held), grade_deg=45.0) for held in (True, False))
    assert np.abs(np.subtract(one.loads_n, other.loads_n)).max() > 1e-3, "one of two coils is loose by the twist"


def test_an_axle_heavier_than_what_it_carries_would_pull():
    demo = reference_vehicle()
    tail_heavy = replace(demo, body=replace(demo.body, centre_of_gravity=(-0.02, 0.084)))
    with pytest.raises(SolverError, match=r"the front coils would have to pull: .*front\.shock\.spring_held = true"):
        stand(tail_heavy)
    assert stand(with_held_coils(tail_heavy)).free_lengths[1] < stand(demo).measured_lengths[1]


def test_the_key_is_a_switch_that_files_may_leave_out():
    text = "spring_held = true\n"
    assert read(changed(text, "")).rear.shock.spring_held is False and read(changed(text, text)).rear.shock.spring_held
    assert "rear.shock.spring_held" in "\n".join(faults_of(changed(text, "spring_held = 1\n")))
    assert read(LEVEL_A).level == "A"


def test_describe_says_where_coils_go_loose(capsys):
    from noseload.commands.climb.describe import _text

    found = describe(drooping())
    assert found.loose_mm["front"] == pytest.approx(23.85, abs=0.01)
    assert "front coil goes loose after 23.9 mm, before the droop stop" in " ".join(_text(found).split())
    assert describe(drooping(True)).loose_mm == {}


@pytest.mark.parametrize("setup", [None, "raised_rear_upper_mount", "raised_and_reset"])
def test_the_weight_is_laid_on_the_springs_that_the_setup_stands_on(setup):
    """The pose with the weight, solved on the numbers of the standing pose itself: its collars, whatever set them."""
    from noseload.model.crawl.equilibrium import CreepEquilibrium
    from noseload.solvers.newton import solve

    vehicle = reference_vehicle(setup=setup)
    found, standing = describe(vehicle), stand(vehicle)
    mass, body, values = found.test_weight, vehicle.body, standing.values
    for end, x in (("rear", 0.0), ("front", vehicle.wheelbase)):
        shift = mass * (x - body.centre_of_gravity[0]) / (body.mass + mass)
        numbers = values.by_name()
        moved = {name: numbers[name] - shift for name in numbers if name.endswith("_chassis_x")}
        loaded = CreepEquilibrium(
            values.with_values(moved | {"chassis_mass": body.mass + mass}), standing.weight, vehicle.wheelbase
        )
        state = standing.state.copy()
        state[[2, 5]] -= shift
        state = solve(loaded.use_branch_of(state), state, 0.0).raise_for_status().state
        for over, place in (("rear", 0.0), ("front", vehicle.wheelbase)):
            before, after = place - body.centre_of_gravity[0], place - body.centre_of_gravity[0] - shift
            sunk = standing.state[0] - before * np.sin(standing.state[1]) - state[0] + after * np.sin(state[1])
            assert found.sinks_mm[end][over] == pytest.approx(1e3 * sunk, abs=1e-6)
