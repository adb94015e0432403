"""Vehicles in space against closed forms: a table on four springs, side tip, roll stiffness, the reaction of a shaft.

The demo vehicle is made stiffer and stiffer in its pose; what is left of its give falls as 1 / stiffness, so two
stiffnesses extrapolate to the rigid limit.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.model.parameters import rigid_centre_of_gravity
from noseload.model.space.equilibrium import SpaceEquilibrium
from noseload.model.space.parameters import SIDES
from noseload.solvers.newton import solve
from noseload.studies.space.climb import stand_in_space

ROUNDING = 1e-9
"""Scaled residual that rounding leaves of springs of 1e9 N/m."""


@cache
def standing(shafts):
    return stand_in_space(demo_vehicle(), shafts=shafts)


def stiffened(springs, tyres, *, shafts=False, driven=None, upright=False):
    """The demo vehicle with stiffer springs and tyres in the same pose, and its state there.

    `upright` stands the shocks straight above their axle ends, lays three links lengthwise and one across: then an axle
    rolls about a lengthwise axis, and on two springs of rate k, 2 b apart, has the roll stiffness 2 k b^2.
    """
    there, state = standing(shafts).equilibrium, standing(shafts).solution.state
    axles = []
    for k, axle in enumerate(there.numbers.axles):
        seen, axle = there.seen(state, k), dict(axle)
        push, load = seen["left_shock_push"], seen["left_load"]
        if upright:
            height = seen["left_shock_length"]
            axle["shock_chassis_x"] = state[3 + 6 * k] + axle["shock_axle_x"]
            axle["shock_chassis_y"] = axle["shock_axle_y"]
            axle["shock_chassis_z"] = state[5 + 6 * k] + axle["shock_axle_z"] + height - state[0]
            axle |= level_rods(state[3 + 6 * k : 6 + 6 * k] - (0.0, 0.0, state[0]), (1.0, -1.0)[k])
        axle["spring_rate"] *= springs
        axle["free_length"] = seen["left_shock_length"] + push / axle["spring_rate"]
        axle["tyre_stiffness"] *= tyres
        axle["tyre_radius"] = seen["left_radius"] + load / axle["tyre_stiffness"]
        axles.append(axle)
    numbers = replace(there.numbers, axles=tuple(axles), driven=driven or there.numbers.driven)
    found = SpaceEquilibrium(numbers).use_branch_of(state)
    found.use_branch_of(state)
    return found, solve(found, state, 0.0, tolerance=ROUNDING).raise_for_status().state


def level_rods(axle, inward):
    """Two lengthwise rods below the axle, one above it, one across through it; `axle` is its place in the chassis."""
    ends = [(0.0, 0.06, -0.01), (0.0, -0.06, -0.01), (0.0, 0.0, 0.03), (0.0, -0.05, 0.0)]
    shifts = [(0.1 * inward, 0.0, 0.0)] * 3 + [(0.0, 0.1, 0.0)]
    found = {}
    for i, (end, shift) in enumerate(zip(ends, shifts, strict=True)):
        for axis, a, b, c in zip("xyz", end, shift, axle, strict=True):
            found[f"rod_{i + 1}_axle_{axis}"], found[f"rod_{i + 1}_chassis_{axis}"] = a, a + b + c
        found[f"rod_{i + 1}_length"] = 0.1
    return found


def loads(there, state):
    return np.array([there.seen(state, k)[f"{side}_load"] for k in range(2) for side in SIDES])


def extrapolated(measure, stiffness):
    """Rigid limit of a measure whose error falls as 1 / stiffness."""
    return 2.0 * measure(2.0 * stiffness) - measure(stiffness)


def test_a_block_under_a_table_on_four_springs():
    """Four equal springs k under the corners of a rigid table: a block h under one moves only the warp (1, -1, -1, 1) / 2,
    so the loads change by k h / 4 (derived)."""
    height = 1e-5

    def change(stiffness):
        there, state = stiffened(400.0 * stiffness**2, stiffness)
        rate = there.numbers.axles[0]["tyre_stiffness"]
        raised = there.with_(blocks=(0.0, 0.0, height, 0.0))
        moved = solve(raised, state, 0.0, tolerance=ROUNDING).raise_for_status().state
        return (loads(raised, moved) - loads(there, state)) / (rate * height)

    assert extrapolated(change, 50.0) == pytest.approx(0.25 * np.array([-1, 1, 1, -1]), abs=1e-3)


def test_a_rigid_vehicle_across_the_slope():
    """Load of a side N = W (cos S / 2 -+ h sin S / t): it vanishes at the side tip tan S = t / 2h (Gillespie, Fundamentals
    of Vehicle Dynamics, SAE 1992, chapter 9, rigid rollover threshold t / 2h; from memory)."""
    car, slope = demo_vehicle(), np.radians(30.0)
    height, track = rigid_centre_of_gravity(car)[1], car.front.track_width

    def side(stiffness):
        there, state = stiffened(stiffness, stiffness)
        across = there.with_(heading=np.radians(90.0))
        for grade in np.radians([5, 10, 15, 20, 25, 30]):
            state = solve(across, state, grade).raise_for_status().state
        rear_left, rear_right, front_left, front_right = loads(across, state)
        return np.array([rear_left + front_left, rear_right + front_right]) / across.weight

    flat, lever = 0.5 * np.cos(slope), height * np.sin(slope) / track
    found = extrapolated(side, 1e3)
    assert found == pytest.approx([flat + lever, flat - lever], rel=1e-4)


def roll_stiffness(axle):
    """Of an axle on two springs and two tyres in series, and of the springs over that of the tyres: 2 k b^2 each, b half
    their distance (any handbook; derived)."""
    springs = 2.0 * axle["spring_rate"] * axle["shock_axle_y"] ** 2
    tyres = 2.0 * axle["tyre_stiffness"] * axle["half_track"] ** 2
    return 1.0 / (1.0 / springs + 1.0 / tyres), springs / tyres


def test_the_shaft_of_a_driven_axle_loads_one_wheel():
    """Load of a wheel moved on a solid driven axle by its shaft: torque x share of the roll stiffness of the OTHER axle over
    (ratio x track) (Gillespie, Fundamentals of Vehicle Dynamics, SAE 1992, chapter 2, traction-limited acceleration: lateral
    load transfer of a solid axle; from memory), there with rigid tyres: on tyres that give, divided by one plus roll stiffness
    of the driven axle's springs over that of its tyres (derived). The other axle takes the opposite of it."""
    slope = 1e-4

    def moved(stiffness):
        there, state = stiffened(stiffness, stiffness, shafts=True, driven=(1.0, 0.0), upright=True)
        state = solve(there, state, slope).raise_for_status().state
        rear_left, rear_right, front_left, front_right = loads(there, state)
        axles = there.numbers.axles
        torque = there.seen(state, 0)["wheel_torque"]
        (driven, give), (other, _) = (roll_stiffness(axle) for axle in axles)
        shaft = torque * axles[0]["shaft_share"] / (2.0 * axles[0]["half_track"])
        expected = shaft * other / (driven + other) / (1.0 + give)
        return np.array([0.5 * (rear_right - rear_left), 0.5 * (front_left - front_right)]) / expected

    assert extrapolated(moved, 300.0) == pytest.approx([1.0, 1.0], rel=2e-4)


def test_lateral_load_transfer_splits_by_roll_stiffness():
    """Lateral load transfer of an axle (Milliken and Milliken, Race Car Vehicle Dynamics, SAE 1995, chapter 18: steady-state
    pair analysis; Gillespie, Fundamentals of Vehicle Dynamics, SAE 1992, chapter 6: roll moment distribution; both from
    memory): per unit of lateral acceleration over g, and over the track, the sprung weight times its height above the roll
    axis times the axle's share of the roll stiffness, and what each axle takes at its roll centre, its own weight included.

    A slope to the side is a lateral acceleration of sin S. The link across passes through the axle's centre, which is then
    the roll centre. The formula has rigid tyres: what they give is extrapolated away.
    """
    slope = 1e-4

    def transfer(stiffness):
        there, state = stiffened(300.0, 300.0 * stiffness, upright=True)
        level = loads(there, state)
        across = there.with_(heading=np.radians(90.0))
        moved = loads(across, solve(across, state, slope, tolerance=ROUNDING).raise_for_status().state) - level
        return 0.5 * (moved[[0, 2]] - moved[[1, 3]]) / (slope * there.weight)

    there, state = stiffened(300.0, 300.0 * 1e3, upright=True)
    body, *unsprung = np.array(there.numbers.masses) / sum(there.numbers.masses)
    (rear_x, rear_z), (front_x, front_z) = (state[[3 + 6 * k, 5 + 6 * k]] for k in range(2))
    share = -rear_x / (front_x - rear_x)
    carried = body * np.array([1.0 - share, share]) + unsprung
    above = state[0] - (rear_z + share * (front_z - rear_z))
    rates = np.array([2.0 * axle["spring_rate"] * axle["shock_axle_y"] ** 2 for axle in there.numbers.axles])
    tracks = np.array([2.0 * axle["half_track"] for axle in there.numbers.axles])
    expected = (body * above * rates / rates.sum() + carried * (rear_z, front_z)) / tracks
    assert abs(np.subtract(*(rates / rates.sum()))) > 0.05
    assert extrapolated(transfer, 500.0) == pytest.approx(expected, rel=2e-4)
