"""Creep of a vehicle whose springs and tyres get stiffer and stiffer: it must become the textbook block.

Every number is calculated at a stiffness k, 10 k and 100 k. What is left of the suspension falls as
1/k, so the order is asserted and the value extrapolated to k without bound is compared.
"""

from dataclasses import replace
from functools import cache
from math import atan, degrees, tan

import numpy as np
import pytest

from noseload.studies.climb.creep import Climb
from rigid_block import HEIGHT, REAR_DISTANCE, WHEELBASE, block

STIFFNESS = 1e5
"""N/m, springs and tyres; the vehicle sinks 0.1 mm on each."""
STEPS = (1.0, 10.0, 100.0)
RELATIVE = 1e-6
ANGLE_DEG = 1e-6
"""As the sources' numbers are given."""
ORDER = 0.1
"""The order found from k to 10 k to 100 k may differ from 1 by the next term of the expansion."""


@cache
def climbs(driven_axles="both", grip=2.2, stall_torque=100.0):
    """The paths of creep at the three stiffnesses."""
    return tuple(
        Climb(block(factor * STIFFNESS, driven_axles=driven_axles, grip=grip, stall_torque=stall_torque))
        for factor in STEPS
    )


def rigid_limit(values):
    """Value extrapolated to infinite stiffness, once the order has been found to be 1."""
    first, second, third = values
    order = np.log10((first - second) / (second - third))
    assert order == pytest.approx(1.0, abs=ORDER)
    return third + (third - second) / 9.0


@pytest.mark.parametrize("factor", STEPS)
def test_level_loads(factor):
    """N_f = W c/L, N_r = W b/L (Jazar, Vehicle Dynamics, 2008, eq. 2.1-2.2): 15.629348 and 13.790602 N at any stiffness."""
    row = Climb(block(factor * STIFFNESS)).row(0.0)
    assert row.front_load_n == pytest.approx(15.629348, rel=RELATIVE)
    assert row.rear_load_n == pytest.approx(13.790602, rel=RELATIVE)
    assert row.nose_up_pitch_deg == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("driven_axles", ["both", "rear", "front"])
@pytest.mark.parametrize(("grade_deg", "front", "rear"), [(30.0, 9.398232, 16.080192), (45.0, 5.200762, 15.602284)])
def test_loads_on_a_grade(driven_axles, grade_deg, front, rear):
    """N_f = W (c cos - h sin)/L (Jazar 2008 eq. 2.44-2.45), whichever axle drives."""
    rows = [climb.row(grade_deg) for climb in climbs(driven_axles)]
    assert rigid_limit([row.front_load_n for row in rows]) == pytest.approx(front, rel=RELATIVE)
    assert rigid_limit([row.rear_load_n for row in rows]) == pytest.approx(rear, rel=RELATIVE)
    assert rigid_limit([row.nose_up_pitch_deg for row in rows]) == pytest.approx(0.0, abs=1e-5)


@pytest.mark.parametrize("driven_axles", ["both", "rear", "front"])
def test_tip_over(driven_axles):
    """tan = c/h (Jazar 2008, example 46: weight through the rear contact): 62.102729 deg uphill; b/h downhill."""
    limits = [climb.limits for climb in climbs(driven_axles)]
    assert rigid_limit([x.tip_over_grade_deg for x in limits]) == pytest.approx(62.102729, abs=ANGLE_DEG)
    downhill = -degrees(atan((WHEELBASE - REAR_DISTANCE) / HEIGHT))
    assert rigid_limit([x.tip_over_downhill_grade_deg for x in limits]) == pytest.approx(downhill, abs=ANGLE_DEG)
    assert all(x.folds == 0 for x in limits)


@pytest.mark.parametrize(("grip", "grade_deg"), [(0.8, 38.659808), (1.0, 45.0), (1.2, 50.194429)])
def test_grip_with_both_axles_driven(grip, grade_deg):
    """tan = mu (Jazar 2008, example 49; Wong, Theory of Ground Vehicles, ch. 3, memory), at any stiffness."""
    for climb in climbs("both", grip):
        assert climb.limits.grip_grade_deg == pytest.approx(grade_deg, abs=ANGLE_DEG)
        assert climb.limits.first == "grip"


@pytest.mark.parametrize(("grip", "grade_deg"), [(0.8, 25.820992), (1.0, 33.111342), (1.2, 40.333142)])
def test_grip_with_the_rear_axle_driven(grip, grade_deg):
    """tan = mu b/(L - mu h) (level form: Mannering and Washburn eq. 2.15; Wong ch. 3, memory)."""
    found = rigid_limit([climb.limits.grip_grade_deg for climb in climbs("rear", grip)])
    assert found == pytest.approx(grade_deg, abs=ANGLE_DEG)
    assert tan(np.radians(found)) == pytest.approx(grip * 0.150 / (WHEELBASE - grip * HEIGHT), rel=RELATIVE)


@pytest.mark.parametrize(("grip", "grade_deg"), [(0.8, 19.133643), (1.0, 22.520566), (1.2, 25.484126)])
def test_grip_with_the_front_axle_driven(grip, grade_deg):
    """tan = mu c/(L + mu h) (as for the rear axle, memory)."""
    found = rigid_limit([climb.limits.grip_grade_deg for climb in climbs("front", grip)])
    assert found == pytest.approx(grade_deg, abs=ANGLE_DEG)


@pytest.mark.parametrize("driven_axles", ["both", "rear"])
def test_torque_limit(driven_axles):
    """T/r = W sin (Gillespie, Fundamentals of Vehicle Dynamics, ch. 2, memory): 1.5 N m -> 58.185957 deg."""
    limits = [climb.limits for climb in climbs(driven_axles, 9.0, 1.5)]
    assert all(x.first == "torque" for x in limits)
    assert rigid_limit([x.torque_grade_deg for x in limits]) == pytest.approx(58.185957, abs=ANGLE_DEG)


def test_soft_springs_are_no_rigid_block():
    """The extrapolation is needed: at crawler rates the same vehicle tips more than half a degree elsewhere."""
    vehicle = block(STIFFNESS)
    soft = replace(
        vehicle,
        **{
            end: replace(getattr(vehicle, end), shock=replace(getattr(vehicle, end).shock, spring_rate=300.0))
            for end in ("rear", "front")
        },
    )
    assert abs(Climb(soft).limits.tip_over_grade_deg - 62.102729) > 0.5
