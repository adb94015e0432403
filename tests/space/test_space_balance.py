"""What must hold of any vehicle in space: balances, mirrors, scales, the symmetric case, both budgets."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from noseload import creep, demo_vehicle
from noseload.model.space.equilibrium import SpaceEquilibrium
from noseload.model.space.parameters import WHEELS, space_numbers
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.newton import solve
from noseload.studies.climb.creep import Climb
from noseload.studies.space.climb import SpaceClimb, stand_in_space
from noseload.studies.space.rows import row_of
from noseload.studies.space.wheels import wheels
from space_samples import NAMES, vehicle

EXACT = 1e-9
"""Of the weight: identities of solved poses (residuals are 1e-11 of it)."""
SAME = 1e-9
"""N and deg: the side view's own solution, both solved to 1e-11 of the weight."""
PAIR = ("rear_lower", "rear_upper", "front_lower", "front_upper")


@cache
def demo():
    return demo_vehicle()


@cache
def row(name, grade, heading=0.0):
    car = demo() if name == "demo" else vehicle(name)
    return wheels(car, grade_deg=grade, heading_deg=heading)


CASES = [("demo", 40.0, 0.0), ("leaning", 35.0, 15.0), ("single_upper", 30.0, -30.0), ("single_upper", 53.0, 0.0)]


@pytest.mark.parametrize("case", CASES)
def test_forces_of_the_ground_carry_the_weight(case):
    """Over the whole vehicle only gravity and the ground are left: three forces, in the frame of the plane."""
    found, car = row(*case), demo() if case[0] == "demo" else vehicle(case[0])
    weight, (grade, heading) = car.mass * STANDARD_GRAVITY, np.radians(case[1:])
    climb = SpaceClimb(car, heading_deg=case[2])
    state = climb.equilibrium.evaluate(found.state, grade)[0]
    assert np.abs(state / climb.equilibrium.residual_scales).max() < EXACT
    assert sum(found.loads_n) == pytest.approx(weight * np.cos(grade), abs=EXACT * weight)
    forward = sideways = 0.0
    for k, end in enumerate(("rear", "front")):
        turn = found.state[3 + 6 * k + 3]
        load = sum(found.loads_n[2 * k : 2 * k + 2])
        along = climb.equilibrium.numbers.axles[k]["grip"] * found.state[23] * load
        aside = getattr(found, f"{end}_side_force_n")
        forward += along * np.cos(turn) - aside * np.sin(turn)
        sideways += along * np.sin(turn) + aside * np.cos(turn)
    assert forward == pytest.approx(weight * np.sin(grade) * np.cos(heading), abs=EXACT * weight)
    assert sideways == pytest.approx(-weight * np.sin(grade) * np.sin(heading), abs=EXACT * weight)


@pytest.mark.parametrize("case", CASES)
def test_both_budgets_are_exact(case):
    found = row(*case)
    assert sum(found.twist_budget.values()) == pytest.approx(found.twist_n, abs=EXACT)
    assert sum(found.budget.values()) == pytest.approx(sum(found.loads_n[2:]), abs=EXACT * 30)


def test_budgets_are_exact_on_blocks():
    found = wheels(demo(), grade_deg=30.0, blocks={"front_left": 15.0, "rear_right": 4.0})
    assert sum(found.twist_budget.values()) == pytest.approx(found.twist_n, abs=EXACT)
    assert sum(found.budget.values()) == pytest.approx(sum(found.loads_n[2:]), abs=EXACT * 30)
    assert abs(found.twist_n - wheels(demo(), grade_deg=30.0).twist_n) > 0.02


@pytest.mark.parametrize("grade", [0.0, 20.0, 45.0, 58.0, 61.0, -20.0])
def test_without_shafts_the_demo_is_its_side_view(grade):
    flat, found = creep(demo(), grade_deg=grade), wheels(demo(), grade_deg=grade, shafts=False)
    assert sum(found.loads_n[:2]) == pytest.approx(flat.rear_load_n, abs=SAME)
    assert sum(found.loads_n[2:]) == pytest.approx(flat.front_load_n, abs=SAME)
    assert found.nose_up_pitch_deg == pytest.approx(flat.nose_up_pitch_deg, abs=SAME)
    assert found.twist_n == pytest.approx(0.0, abs=SAME)
    climb = SpaceClimb(demo(), shafts=False)
    for name in PAIR:
        end, part = name.split("_")
        values, numbers = climb.standing.side_view.values, climb.standing.equilibrium.numbers
        axle = numbers.axles[("rear", "front").index(end)]
        ratio = values.axle(end).link_length(f"{part}_link") / axle[f"rod_{1 if part == 'lower' else 3}_length"]
        both = found.link_force_n[f"{name}_left"] + found.link_force_n[f"{name}_right"]
        assert both * ratio == pytest.approx(getattr(flat, f"{name}_link_n"), abs=SAME)


def test_without_shafts_it_tips_where_the_side_view_does():
    climb = SpaceClimb(demo(), shafts=False)
    grade, wheel = climb.first_lift
    assert wheel == "front_both"
    assert grade == pytest.approx(Climb(demo()).tip_over(), abs=1e-9)


def mirrored(car):
    """The same vehicle with left and right exchanged: shafts, side offsets and single links."""

    def flip(point):
        return (point[0], -point[1], point[2])

    def rod(part):
        if part is None or not part.single:
            return part
        return replace(part, chassis_end=flip(part.chassis_end), axle_end=flip(part.axle_end))

    axles = {
        end: replace(
            axle,
            side_offset=-axle.side_offset,
            lower_link=rod(axle.lower_link),
            upper_link=rod(axle.upper_link),
            lateral_link=rod(axle.lateral_link),
            shaft_direction=-axle.shaft_direction,
        )
        for end, axle in (("rear", car.rear), ("front", car.front))
    }
    return replace(car, body=replace(car.body, side_offset=-car.body.side_offset), **axles)


@pytest.mark.parametrize("name", NAMES)
def test_a_mirrored_vehicle_mirrors(name):
    car = replace(vehicle(name), body=replace(vehicle(name).body, side_offset=0.004))
    blocks = {"front_left": 6.0}
    left = wheels(car, grade_deg=35.0, heading_deg=20.0, blocks=blocks)
    right = wheels(mirrored(car), grade_deg=35.0, heading_deg=-20.0, blocks={"front_right": 6.0})
    swapped = [right.loads_n[k] for k in (1, 0, 3, 2)]
    assert left.loads_n == pytest.approx(swapped, abs=SAME)
    for key in ("chassis_roll_deg", "front_axle_roll_deg", "rear_steer_deg", "front_side_force_n", "twist_n"):
        assert getattr(left, key) == pytest.approx(-getattr(right, key), abs=1e-8)
    assert left.nose_up_pitch_deg == pytest.approx(right.nose_up_pitch_deg, abs=1e-8)


def test_counterclockwise_shafts_lift_the_left_wheel():
    """Common practice, no source: shafts that turn clockwise seen from behind unload the front right wheel."""
    assert SpaceClimb(demo()).first_lift[1] == "front_right"
    assert SpaceClimb(mirrored(demo())).first_lift[1] == "front_left"


def test_loads_scale_with_mass_and_poses_with_length():
    """Twice the length and eight times the mass and forces: angles stay, rates go as force over length."""
    car = demo()
    state = SpaceClimb(car)
    numbers = state.standing.equilibrium.numbers
    length, force = 2.0, 8.0
    rates = {"spring_rate", "stop_stiffness", "tyre_stiffness"}
    angles = {"grip", "shaft_share", "rolling_resistance", "free_rolling"}
    axles = tuple(
        {
            n: v
            * (
                length / force
                if n == "contact_give"
                else force / length
                if n in rates
                else 1.0
                if n in angles
                else length
            )
            for n, v in axle.items()
        }
        for axle in numbers.axles
    )
    bigger = replace(
        numbers, axles=axles, masses=tuple(force * m for m in numbers.masses), wheelbase=length * numbers.wheelbase
    )
    small = row("demo", 40.0).state
    start = small.copy()
    places = [0, 3, 4, 5, 9, 10, 11]
    start[places] *= length
    start[15:23] *= force
    there = SpaceEquilibrium(bigger).use_branch_of(start)
    residual, _ = there.evaluate(start, np.radians(40.0))
    assert np.abs(residual / there.residual_scales).max() < EXACT
    assert solve(there, start, np.radians(40.0)).success


def test_work_of_tyres_shocks_and_weight_is_their_energy():
    """Virtual work at a crooked pose: with no traction the forces are the slopes of one energy, so the reduced stiffness
    of a standing pose is symmetric."""
    for name in (*NAMES, "demo"):
        standing = stand_in_space(demo() if name == "demo" else vehicle(name))
        stiffness = standing.equilibrium.reduced_stiffness(standing.solution.state, standing.solution.jacobian)
        assert stiffness == pytest.approx(stiffness.T, abs=1e-9 * np.abs(stiffness).max())
        assert standing.stiffnesses.min() > 0.0


def test_wheels_are_named_as_the_numbers_are():
    numbers = space_numbers(demo(), (0.1, 0.1))
    assert WHEELS == ("rear_left", "rear_right", "front_left", "front_right")
    assert numbers.rods[0][0] == "rear_lower_link_left" and numbers.driven == (1.0, 1.0)
    assert row_of(SpaceClimb(demo()), 40.0).loads_n == row("demo", 40.0).loads_n
