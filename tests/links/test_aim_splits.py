"""What aiming at a target gives under every plausible division of the pull, against files that hold the law."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from noseload.studies.climb.split import PLAUSIBLE_PERCENT, row_ranges, split_loads
from noseload.studies.links.aim import aim_along, aim_holes
from noseload.studies.links.aim_targets import Target
from noseload.studies.links.candidates import with_lines
from noseload.studies.links.links import links
from noseload.studies.links.most_load import most_front_load
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import mismatches_in_motion
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import reference_vehicle


def test_what_a_place_gives_of_the_target_spans_files_that_hold_the_law():
    """Figures as driven go with the share of the pull; a tip-over does not feel it, and on the level nothing is divided."""
    car = reference_vehicle()
    found = aim_along(car, Target("anti_squat", 70.0), positions=5, grade_deg=40.0)
    key = "rear.upper_link.chassis_end_mm"
    moved = with_lines(car, {key: list(found.nearest.points_mm[key])})
    figures = [100.0 * links(moved, grade_deg=40.0, travel_rows=0).axles["rear"].as_driven]
    for percent, chi in product(PLAUSIBLE_PERCENT, (0.0, 1.0)):
        lines = {key: list(found.nearest.points_mm[key]), "drive.front_overdrive": 1.0 + 0.01 * percent}
        under = with_lines(car, lines | {"tyre.rolling_radius_share": chi})
        figures.append(100.0 * links(under, grade_deg=40.0, travel_rows=0).axles["rear"].as_driven)
    assert found.target_range == pytest.approx((min(figures), max(figures)), abs=1e-7)
    low, high = found.target_range
    said = f"Over plausible divisions of the pull between the axles that position has anti-squat as driven {low:.1f} to {high:.1f} %."
    assert high - low > 20.0 and said in found.sentences and found.to_dict()["target_range"] == [low, high]
    for target, more in ((Target("tip_over", 62.0), {}), (Target("anti_squat", 60.0), {"grade_deg": 0.0})):
        assert aim_along(car, target, positions=3, **more).target_range is None


@pytest.mark.slow
def test_the_least_squat_spans_punches_of_every_law():
    car, key = reference_vehicle(), "rear.upper_link.chassis_end_mm"
    found = aim_holes(car, Target("least_squat"), {key: [(108.0, 80.0), (108.0, 86.0)]})
    moved, squats = with_lines(car, {key: list(found.nearest.points_mm[key])}), []
    percents = mismatches_in_motion(moved, plausible_laws(moved), found.grade_deg)
    for ratio in (1.0, *(1.0 + 0.01 * percent for percent in percents)):
        geared = replace(moved, drive=replace(moved.drive, front_overdrive=ratio))
        travel = punch(geared, grade_deg=found.grade_deg, outcome=False).traces["rear_shock_travel_mm"]
        squats.append(float(travel[0] - travel.min()))
    assert found.target_range == pytest.approx((min(squats), max(squats)), abs=1e-9)


@pytest.mark.slow
def test_ends_of_what_linkages_give_over_divisions():
    """Of the linkages found, each law for both; with one driven axle there is no range."""
    result = most_front_load(reference_vehicle(), seed=5, population=8, generations=2)
    for extreme in (result.present, result.least, result.most):
        assert extreme.front_load_range_n == row_ranges(extreme.climb, 45.0)["front_load_n"]
        assert (
            extreme.punch_range.front_airborne_s[0]
            <= extreme.punch["front_airborne_s"]
            <= extreme.punch_range.front_airborne_s[1]
        )
    loads = [split_loads(extreme.climb, 45.0) for extreme in (result.least, result.most)]
    ranges = [most - least for least, most in zip(*loads, strict=True)]
    assert result.load_range_ends_n == pytest.approx((np.nanmin(ranges), np.nanmax(ranges)), abs=1e-9)
    assert result.to_dict()["most"]["front_load_range_n"] == result.most.front_load_range_n
    car = reference_vehicle()
    alone = most_front_load(
        replace(car, drive=replace(car.drive, driven_axles="rear")), grade_deg=20.0, population=8, generations=1
    )
    assert alone.load_range_ends_n is None and alone.most.front_load_range_n is None and alone.most.punch_range is None
