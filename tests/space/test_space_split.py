"""The law by which geared axles divide the traction, in space: slopes, the side view, and what mismatch does to lifts."""

from functools import cache

import numpy as np
import pytest

from noseload.model.file.reader import change_vehicle
from noseload.model.space.equilibrium import Mismatch, N
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import Split
from noseload.studies.space.climb import SpaceClimb, stand_in_space
from noseload.studies.space.rows import row_of
from reference_vehicle import reference_vehicle

DIFFERENCE = 1e-6
"""Of the largest slope in a column: central differences."""


@cache
def standing(shafts=True):
    return stand_in_space(reference_vehicle(), shafts=shafts)


def test_slopes_know_that_rolling_radii_follow_the_pose():
    there = standing().equilibrium.with_(
        law=Mismatch((0.3, 0.25), 0.04, (0.0616, 0.0624), (0.6, 0.9), (300.0, 280.0), (0.3, 0.4))
    )
    state = row_of(SpaceClimb(reference_vehicle(), standing=standing()), 35.0).state.copy()
    state[23] = 0.4
    _, jacobian = there.evaluate(state, 0.6)
    for k in range(N):
        step = np.zeros(N)
        step[k] = 1e-7
        difference = (there.evaluate(state + step, 0.6)[0] - there.evaluate(state - step, 0.6)[0]) / 2e-7
        assert np.abs(difference - jacobian[:, k]).max() <= DIFFERENCE * max(1.0, np.abs(jacobian[:, k]).max()), k


@pytest.mark.parametrize(("percent", "chi", "exponent"), [(5.0, 0.0, 1.0), (-3.0, 0.5, 0.6), (10.0, 1.0, 1.0)])
def test_without_shafts_it_is_the_side_view(percent, chi, exponent):
    keys = {f"{end}.tyre.slip_stiffness_exponent": exponent for end in ("rear", "front")}
    vehicle = change_vehicle(reference_vehicle(), keys)
    space = SpaceClimb(vehicle, mismatch=percent, rolling_shares=(chi, chi), shafts=False)
    flat = Climb(vehicle, split=Split(percent / 100.0, (chi, chi)))
    here, there = row_of(space, 30.0), flat.row(30.0)
    assert sum(here.loads_n[2:]) == pytest.approx(there.front_load_n, abs=1e-8)
    assert here.front_share == pytest.approx(
        there.front_traction_n / (there.front_traction_n + there.rear_traction_n), abs=1e-9
    )


def test_a_larger_loaded_radius_lets_the_front_pull_and_its_wheel_stay():
    """An independent study has 54.1 to 54.8 deg for a front 5 to 10 % faster at kappa alone; slip speed softens it."""
    lifts = {}
    for percent, chi in ((0.0, 0.0), (10.0, 0.0), (10.0, 1.0)):
        climb = SpaceClimb(reference_vehicle(), mismatch=percent, rolling_shares=(chi, chi), standing=standing())
        lifts[percent, chi] = np.degrees(climb.first_lift[0])
    assert lifts[0.0, 0.0] < lifts[10.0, 0.0] < lifts[10.0, 1.0]
    assert lifts[10.0, 1.0] == pytest.approx(54.2, abs=0.1)


def test_an_axle_that_has_spent_its_grip_does_not_end_the_climb():
    """A front 8 % faster on tyres that take all their grip from 4 % of slip: the rear still holds, and a wheel lifts, later than
    where both slip alike (it once was said that no wheel lifts)."""
    stiff = change_vehicle(reference_vehicle(), {"drive.front_overdrive": 1.08, "tyre.slip_stiffness": 60.0})
    (lift, wheel), (plain, _) = (
        climb.first_lift for climb in (SpaceClimb(stiff), SpaceClimb(reference_vehicle(), standing=standing()))
    )
    assert wheel.startswith("front") and 1.0 < np.degrees(lift - plain) < 4.0
