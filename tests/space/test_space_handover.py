"""Where a path hands over to the lift of an axle's last wheel does not matter, nor in which unknowns it is followed."""

from math import degrees

import pytest

from noseload.studies.space import lifts
from noseload.studies.space.bench import bench_wheels
from noseload.studies.space.climb import SpaceClimb
from random_vehicles import random_vehicle_in_space
from space_samples import NAMES, vehicle

TORQUE_N_MM, EVENT_DEG = 1e-3, 1e-5
"""What events are asked to agree to with the independent program; here with themselves."""
HANDOVERS = (1e-2, 1e-4)


def climb_events(car, **options):
    climb = SpaceClimb(car, **options)
    singles, last = climb.lift_events
    found = [(degrees(grade), wheel) for _, grade, wheel in singles]
    if last is not None and last[2] is not None:
        found.append((degrees(last[3]), last[2]))
    return [*found, None if last is None else (degrees(last[0]), last[1])]


def same(found, expected):
    assert [each[1] for each in found] == [each[1] for each in expected]
    assert [each[0] for each in found] == pytest.approx([each[0] for each in expected], abs=EVENT_DEG)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("share", HANDOVERS)
def test_events_do_not_feel_the_handover(name, share, monkeypatch):
    bench, climb = bench_wheels(vehicle(name)), climb_events(vehicle(name))
    monkeypatch.setattr(lifts, "LAST_LOAD", share)
    again = bench_wheels(vehicle(name))
    assert again.first_wheel == bench.first_wheel
    assert again.first_wheel_torque_n_mm == pytest.approx(bench.first_wheel_torque_n_mm, abs=TORQUE_N_MM)
    assert again.axle_free_torque_n_mm == pytest.approx(bench.axle_free_torque_n_mm, abs=TORQUE_N_MM)
    same(climb_events(vehicle(name)), climb)


@pytest.mark.parametrize("seed", [2, 58, 64])
def test_a_single_driven_axle_that_unloads_is_followed_to_its_end(seed, monkeypatch):
    """All the pull is on the axle that unloads: grip ends the climb long before, but the lift has a grade of its own."""
    heading = {2: 7.0, 58: 168.0, 64: 170.0}[seed]
    found = climb_events(random_vehicle_in_space(seed), heading_deg=heading)
    assert found[-1] is not None
    for share in HANDOVERS:
        monkeypatch.setattr(lifts, "LAST_LOAD", share)
        same(climb_events(random_vehicle_in_space(seed), heading_deg=heading), found)
