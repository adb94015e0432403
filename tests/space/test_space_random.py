"""Random vehicles in space: the symmetric case is the side view, and climbs at any heading reach their first lift."""

from dataclasses import replace
from math import degrees, radians

import numpy as np
import pytest

from noseload.model.errors import ModelError
from noseload.model.space.parameters import WHEELS
from noseload.solvers.errors import SolverError, Status
from noseload.studies.climb.creep import Climb
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.rows import row_of
from random_vehicles import random_vehicle_in_space

SAME = 1e-9
"""N and deg: both solved to 1e-11 of the weight."""
FEW, MANY = 15, 500
SOLVED_SHARE = 0.98
FAR_DEG = 85.0


def headings(seed):
    """A heading for each vehicle, deg, seeded."""
    return float(np.random.default_rng(7_000 + seed).uniform(-180.0, 180.0))


def outcome(seed):
    """Why the climb of a random vehicle did not reach its first lift, or None."""
    try:
        climb = SpaceClimb(random_vehicle_in_space(seed), heading_deg=headings(seed))
        first, curve = climb.first_lift, climb.uphill
    except (ModelError, SolverError) as error:
        return str(error)
    turns = np.array([a.tangent @ b.tangent for a, b in zip(curve.points, curve.points[1:], strict=False)])
    assert (turns > 0.0).all() or curve.folds() or climb.lifts_on(curve), "a jump of pose without a fold or a lift"
    if first is not None:
        grade, wheel = first
        assert wheel in WHEELS or wheel.endswith("_both")
        assert 0.0 < degrees(grade) < 90.0
        return None
    slid = climb.grip_use(curve.points[-1].state) > 1.0
    if curve.status is Status.CONVERGED and (slid or degrees(curve.points[-1].parameter) > FAR_DEG):
        return None
    return curve.message


def check_climbs(count):
    failed = {seed: why for seed in range(count) if (why := outcome(seed)) is not None}
    assert len(failed) <= (1.0 - SOLVED_SHARE) * count, failed


def test_climbs_reach_their_first_lift():
    check_climbs(FEW)


@pytest.mark.slow
def test_many_climbs_reach_their_first_lift():
    check_climbs(MANY)


@pytest.mark.parametrize("seed", [k for k in range(12) if k % 5])
def test_without_shafts_and_offsets_it_is_the_side_view(seed):
    car = random_vehicle_in_space(seed)
    car = replace(car, body=replace(car.body, side_offset=0.0))
    flat, climb = Climb(car), SpaceClimb(car, shafts=False)
    tip = flat.tip_over()
    end = degrees(tip) if tip is not None and flat.fold is None else 20.0
    for share in (0.0, 0.5, 0.9):
        grade = share * end
        side, found = flat.row(grade), row_of(climb, grade)
        assert sum(found.loads_n[2:]) == pytest.approx(side.front_load_n, abs=SAME)
        assert found.nose_up_pitch_deg == pytest.approx(side.nose_up_pitch_deg, abs=SAME)
        assert found.twist_n == pytest.approx(0.0, abs=SAME)
    assert climb.standing.solution.parameter == radians(0.0)
