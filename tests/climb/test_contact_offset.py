"""Rolling resistance and the contact that traction moves forward, in a steady crawl.

The couple of a load that acts a distance e ahead of its wheel: M = e N, with e = f R of rolling resistance (the coefficient
of ISO 28580, a share of the load) and e = a Fx / kx of the tyre's give. Closed forms: derived, from moments alone.
"""

from dataclasses import replace
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest

from noseload.demo import demo_vehicle
from noseload.model.crawl.equilibrium import CreepEquilibrium
from noseload.model.crawl.free_body import axle_alone, unbalance, whole_vehicle
from noseload.model.file.reader import load_vehicle
from noseload.model.parameters import LINKS, POSITION, kernel_parameters, rigid_centre_of_gravity
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.newton import solve
from noseload.studies.bench.path import HeldWheelPath
from noseload.studies.climb.creep import Climb, creep
from noseload.studies.climb.many import creep_many, tip_over_many
from noseload.studies.climb.rigid import RigidClimb
from noseload.studies.climb.slopes import CreepSlopes
from noseload.studies.climb.standing import coordinates_of, stand
from rolling_vehicles import with_contact
from vehicle_text import LEVEL_A, read

CHECK = Path(__file__).parents[1] / "data" / "check.toml"
DRIVES = ("both", "rear", "front")
EXACT = 1e-9
"""Of the weight (times wheelbase): identities, solved to 1e-11 of it."""
SLOPE = 1e-6
"""Relative: central differences of solved poses."""


@pytest.fixture(scope="module")
def climbs():
    return {drive: Climb(with_contact(load_vehicle(CHECK, drive=drive))) for drive in DRIVES}


def offsets(climb, row):
    """e of both axles from their definition, m."""
    heights = [row.state[k + 1] - np.sin(row.state[k + 2]) * 0.0 for k in (2, 5)]
    tyres = [climb.vehicle.rear.tyre, climb.vehicle.front.tyre]
    pulls = (row.rear_traction_n, row.front_traction_n)
    return [
        t.rolling_resistance * z + t.contact_offset_share * f / t.lengthwise_stiffness
        for t, z, f in zip(tyres, heights, pulls, strict=True)
    ]


@pytest.mark.parametrize("drive", DRIVES)
def test_everything_is_in_balance_and_the_part_is_what_its_definition_says(climbs, drive):
    climb = climbs[drive]
    weight, wheelbase = climb.standing.weight, climb.vehicle.wheelbase
    for grade in (-30.0, 0.0, 45.0):
        row = climb.row(grade)
        coordinates, loads = coordinates_of(row.state), (row.rear_load_n, row.front_load_n)
        tractions = (row.rear_traction_n, row.front_traction_n)
        tensions = {link: getattr(row, f"rear_{link}_n") for link in LINKS}
        values, angle = climb.standing.values, radians(grade)
        for forces in (
            whole_vehicle(values, coordinates, angle, loads, tractions),
            axle_alone(values, coordinates, "rear", angle, loads[0], tractions[0], tensions),
        ):
            fx, fz, moment = unbalance(forces)
            assert max(abs(fx), abs(fz), abs(moment) / wheelbase) < EXACT * weight
        assert sum(row.budget.values()) == pytest.approx(row.front_load_n, abs=EXACT * weight)
        solved_wheelbase = row.state[5] - row.state[2]
        expected = -sum(e * n for e, n in zip(offsets(climb, row), loads, strict=True)) / solved_wheelbase
        assert row.budget["contact_offset_n"] == pytest.approx(expected, abs=EXACT * weight)
        assert expected < -0.05


def test_a_free_wheel_holds_back_by_its_rolling_resistance_alone():
    """Pulled freely, a wheel needs f N: the definition of the coefficient. Its housing then feels no moment."""
    climb = Climb(with_contact(load_vehicle(CHECK, drive="rear"), share=0.0))
    row = climb.row(30.0)
    assert row.front_traction_n == pytest.approx(-0.045 * row.front_load_n, rel=1e-12)
    assert row.rear_traction_n + row.front_traction_n == pytest.approx(
        climb.standing.weight * sin(radians(30)), rel=1e-9
    )
    assert row.grip_needed == pytest.approx(row.rear_traction_n / row.rear_load_n, rel=1e-12)
    # The motor turns the rear pair alone: pull and rolling resistance times height.
    assert row.wheel_torque_n_mm == pytest.approx(
        1e3 * row.state[3] * (row.rear_traction_n + 0.03 * row.rear_load_n), rel=1e-9
    )


def test_wheels_that_stand_do_not_feel_it(climbs):
    plain = stand(load_vehicle(CHECK))
    assert climbs["both"].standing.state == pytest.approx(plain.state, abs=1e-12)
    assert climbs["both"].standing.free_lengths == pytest.approx(plain.free_lengths, abs=1e-12)
    # On the bench the rear wheels are clamped and free front wheels carry no traction.
    paths = [HeldWheelPath(v) for v in (load_vehicle(CHECK), with_contact(load_vehicle(CHECK)))]
    assert paths[0].lift.torque_n_mm == pytest.approx(paths[1].lift.torque_n_mm, abs=1e-9)


def test_the_demo_loses_eleven_grams_to_three_per_cent():
    """-f R W cos g / L for equal radii: 0.03 x 0.058 m x 2.76 kg x cos 45 / 0.3 m, 11 g."""
    car = with_contact(demo_vehicle(), resistance=(0.03, 0.03), share=0.0)
    row = creep(car, grade_deg=45.0)
    lost = 1e3 * row.budget["contact_offset_n"] / STANDARD_GRAVITY
    radius = car.rear.tyre.wheel_centre_height
    assert lost == pytest.approx(-1e3 * 0.03 * radius * car.mass * cos(radians(45)) / car.wheelbase, rel=0.02)
    assert lost == pytest.approx(-11.0, abs=0.6)


# the rigid vehicle ----------------------------------------------------------------------------------


def level_a(**contact):
    return with_contact(read(LEVEL_A), **contact)


def test_rigid_closed_form_of_rolling_resistance():
    """N_f L = W (b cos g - h sin g) - f R W cos g where both tyres are alike; it tips at tan g = (b - f R) / h."""
    car = level_a(resistance=(0.04, 0.04), share=0.0)
    climb, (b, h), weight = RigidClimb(car), rigid_centre_of_gravity(car), car.mass * STANDARD_GRAVITY
    for grade in (-20.0, 0.0, 40.0):
        g, row = radians(grade), climb.row(grade)
        expected = weight * (b * cos(g) - h * sin(g) - 0.04 * 0.055 * cos(g)) / car.wheelbase
        assert row.front_load_n == pytest.approx(expected, rel=1e-12)
        assert sum(row.budget.values()) == pytest.approx(row.front_load_n, rel=1e-12)
    assert climb.limits.tip_over_grade_deg == pytest.approx(np.degrees(np.arctan2(b - 0.04 * 0.055, h)), abs=1e-9)
    down = -np.degrees(np.arctan2(car.wheelbase - b + 0.04 * 0.055, h))
    assert climb.limits.tip_over_downhill_grade_deg == pytest.approx(down, abs=1e-9)


def test_rigid_tip_over_on_tyres_that_give():
    """With all of W on the rear axle: b cos g - h sin g = f R cos g + give W sin g cos g."""
    car = level_a(resistance=(0.02, 0.05), share=0.8, stiffness=(4000.0, 4000.0))
    (b, h), weight = rigid_centre_of_gravity(car), car.mass * STANDARD_GRAVITY
    tip = radians(RigidClimb(car).limits.tip_over_grade_deg)
    ahead = 0.02 * 0.055 + 0.8 / 4000.0 * weight * sin(tip)
    assert b * cos(tip) - h * sin(tip) == pytest.approx(ahead * cos(tip), abs=1e-12)


@pytest.mark.parametrize("drive", DRIVES)
def test_the_rigid_vehicle_is_the_limit_of_a_stiff_one(drive):
    """Attitude goes as 1 / stiffness: two stiff vehicles, carried on to none."""
    car, rows = with_contact(load_vehicle(CHECK, drive=drive)), []
    for stiffness in (1e6, 2e6):
        axles = {
            end: replace(
                axle,
                shock=replace(axle.shock, spring_rate=stiffness),
                tyre=replace(axle.tyre, vertical_stiffness=stiffness),
            )
            for end, axle in (("rear", car.rear), ("front", car.front))
        }
        rows.append(creep(replace(car, **axles), grade_deg=35.0))
    rigid = RigidClimb(car).row(35.0)
    for key in ("front_load_n", "front_traction_n", "rear_traction_n", "wheel_torque_n_mm", "grip_needed"):
        soft, hard = (getattr(row, key) for row in rows)
        assert 2.0 * hard - soft == pytest.approx(getattr(rigid, key), rel=1e-5), key
    soft, hard = (row.budget["contact_offset_n"] for row in rows)
    assert 2.0 * hard - soft == pytest.approx(rigid.budget["contact_offset_n"], rel=1e-5)


# many at once, slopes -------------------------------------------------------------------------------


def test_many_at_once_are_each_by_itself(climbs):
    cars = [climb.vehicle for climb in climbs.values()]
    many = creep_many(cars, np.radians(40.0))
    tips = np.degrees(tip_over_many(cars).grades)
    for k, climb in enumerate(climbs.values()):
        assert many.front_load[k] == pytest.approx(climb.row(40.0).front_load_n, abs=1e-9)
        assert tips[k] == pytest.approx(climb.limits.tip_over_grade_deg, abs=1e-8)


@pytest.mark.parametrize("drive", ("both", "rear"))
def test_slopes_are_exact(climbs, drive):
    """By rolling resistance and give of either axle, against central differences of solved crawls."""
    climb = climbs[drive]
    slopes = CreepSlopes(climb, 40.0).by_parameter()
    start = climb.row(40.0).state
    for name in ("rear_rolling_resistance", "front_rolling_resistance", "rear_contact_give", "front_contact_give"):
        step, found = (1e-4 if "rolling" in name else 1e-6), []
        for sign in (1.0, -1.0):
            values = climb.standing.values
            moved = values.with_values(
                {name: getattr(values.axle(name.split("_")[0]), name.split("_", 1)[1]) + sign * step}
            )
            there = CreepEquilibrium(moved, climb.standing.weight, climb.vehicle.wheelbase)
            there.take_branch_of(climb.standing.equilibrium)
            solved = solve(there, start, radians(40.0)).raise_for_status()
            found.append(there.outputs(solved.state, radians(40.0))[0][1])
        assert slopes.front_load_n[POSITION[name]] == pytest.approx((found[0] - found[1]) / (2 * step), rel=1e-5), name


def test_numbers_of_the_file_reach_the_kernels():
    car = load_vehicle(
        CHECK,
        text=CHECK.read_text() + "\n[rear.tyre]\nradius_mm = 55\nrolling_resistance = 0.02\n"
        "lengthwise_stiffness_n_per_mm = 4\n",
    )
    values = kernel_parameters(car, (0.1, 0.1))
    assert values.rear.rolling_resistance == 0.02 and values.front.rolling_resistance == 0.0
    # The give is counted once it was measured: 0.7 (0.4 to 1) of it unless the file says how much.
    assert values.rear.contact_give == pytest.approx(0.7 / 4000.0) and values.front.contact_give == 0.0
    assumed = car.assumption("rear.tyre.contact_offset_share")
    assert (assumed.value, assumed.low, assumed.high) == (0.7, 0.4, 1.0)
    # What is left out is no assumed value: its range belongs to the model, not to this file.
    assert not any(item.key.endswith("rolling_resistance") for item in car.assumed)
