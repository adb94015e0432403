"""How geared axles divide the traction: the law of slip, its limits, its range, and what the file may say of it."""

import json
from dataclasses import replace
from math import atanh, radians, sin, tanh
from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.demo import DEMO, demo_vehicle
from noseload.model.crawl.geometry import wheel_heights
from noseload.model.file.reader import load_vehicle
from noseload.model.parameters import CREEP_SPEED, free_radius, kernel_parameters, slip_law
from noseload.model.units import grams_of_force
from noseload.studies.climb import steady_start as starts
from noseload.studies.climb.creep import Climb, creep
from noseload.studies.climb.split import (
    Split,
    difference_range,
    hidden_overdrive,
    own_split,
    plausible_splits,
    rolling_shares,
    split_loads,
    split_range,
)
from noseload.studies.climb.standing import stand
from noseload.studies.climb.steady_start import steady_start
from noseload.studies.links.aim import aim_along
from noseload.studies.links.aim_targets import Target
from noseload.studies.links.candidates import with_lines
from noseload.studies.links.links import figures_over_splits, links
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import mismatches_in_motion, punch_range
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle
from vehicle_text import changed, read

CHECK = Path(__file__).parents[1] / "data" / "check.toml"
GRADE = 40.0
PUNCH = {"grade_deg": 30.0, "duration_s": 0.3}


@pytest.fixture(scope="module")
def plain():
    return Climb(reference_vehicle())


def with_tyres(vehicle, **tyre):
    axles = {
        end: replace(getattr(vehicle, end), tyre=replace(getattr(vehicle, end).tyre, **tyre))
        for end in ("rear", "front")
    }
    return replace(vehicle, **axles)


@pytest.mark.parametrize("split", [Split(0.05, (0.0, 0.0)), Split(-0.03, (0.4, 0.4)), Split(0.1, (1.0, 0.7))])
def test_the_law_holds_as_it_is_written(plain, split):
    """Fx_i = mu N_i tanh((s + d_i) / w): both axles have one s, d_front is the ratio of rolling speeds less 1."""
    climb = Climb(reference_vehicle(), split=split)
    row = climb.row(GRADE)
    loads, pulls = (row.rear_load_n, row.front_load_n), (row.rear_traction_n, row.front_traction_n)
    assert sum(pulls) == pytest.approx(climb.standing.weight * sin(radians(GRADE)), rel=1e-10)
    values, slips, radii = climb.standing.values, [], []
    for k, end in enumerate(("rear", "front")):
        tyre, height = values.axle(end), wheel_heights(values, row.state[2:8])[k]
        width = tyre.slip_speed / CREEP_SPEED + tyre.slip_ratio_scale
        slips.append(width * atanh(pulls[k] / (tyre.grip * loads[k])))
        radii.append(tyre.tyre_radius - split.rolling_shares[k] * (tyre.tyre_radius - height))
    # s counts from the rear's rolling speed: (1 + s_f) / (1 + s_r) is the ratio of the speeds at the ground.
    assert (1.0 + slips[1]) / (1.0 + slips[0]) == pytest.approx((1.0 + split.mismatch) * radii[1] / radii[0], rel=1e-9)


def test_no_mismatch_is_the_zero_speed_law(plain):
    """d = 0 at any stiffness; here on free radii made alike, so that nothing hides a mismatch."""
    car = with_tyres(reference_vehicle(), loaded_radius=None, radius=0.062)
    even = Climb(car, split=Split(0.0, (0.0, 0.0))).row(GRADE)
    limit = Climb(car).row(GRADE)
    assert even.front_load_n == pytest.approx(limit.front_load_n, abs=1e-9)
    assert even.front_traction_n == pytest.approx(limit.front_traction_n, abs=1e-9)
    assert hidden_overdrive(car) == 0.0


def test_the_stiffer_the_slip_the_more_a_mismatch_tells():
    """The faster front pulls more the stiffer the slip; where slip costs nothing it takes its whole grip."""
    car, shares = reference_vehicle(), [creep(reference_vehicle(), grade_deg=GRADE).grip_needed / 2.4]
    for scale in (0.6, 0.2, 0.05, 3e-3):
        there = Climb(with_tyres(car, slip_speed=1e-5, slip_ratio_scale=scale), split=Split(0.04, (0.0, 0.0))).row(
            GRADE
        )
        shares.append(there.front_traction_n / (2.4 * there.front_load_n))
    assert shares == sorted(shares) and shares[-1] > 0.999


def test_one_driven_axle_has_nothing_to_divide():
    for drive in ("rear", "front"):
        car = load_vehicle(CHECK, drive=drive)
        assert plausible_splits(car) == () and own_split(car) is None and split_range(Climb(car), 20.0) is None


def test_equal_loaded_radii_hide_an_overdrive(plain):
    """Its front tyres carry more standing and stand as high: unpressed they are 1.3 % larger (58 mm + N / k each)."""
    car = reference_vehicle()
    rear, front = (0.058 + load / 3400.0 for load in (2.750 * 9.80665 - 14.8432, 14.8432))
    assert hidden_overdrive(car) == pytest.approx(front / rear - 1.0, abs=1e-5)
    assert hidden_overdrive(car) == pytest.approx(0.013, abs=5e-4)
    assert free_radius(car, "front") > free_radius(car, "rear")
    # The demo's own radii, read to a tenth, hide nothing.
    assert abs(hidden_overdrive(demo_vehicle())) < 1e-3


def test_the_range_spans_its_corners_and_a_difference_keeps_one_law(plain):
    loads = split_loads(plain, 45.0)
    assert len(loads) == 5 and loads[0] == plain.row(45.0).front_load_n
    for split, load in zip(plausible_splits(plain.vehicle), loads[1:], strict=True):
        assert load == pytest.approx(Climb(plain.vehicle, split=split).row(45.0).front_load_n, abs=1e-9)
    low, high = split_range(plain, 45.0)
    assert (low, high) == (min(loads), max(loads)) and low < loads[0] < high
    raised = Climb(reference_vehicle(setup="raised_rear_upper_mount"))
    change = raised.row(45.0).front_load_n - loads[0]
    small, large = difference_range(plain, raised, 45.0)
    # Far narrower than the ranges of the loads themselves: the law is the same for both.
    assert small <= change <= large and large - small < 0.5 * (high - low)


def test_figures_of_links_carry_the_range_too(plain, capsys):
    """As driven they go with the rear's share of the pull, here read off each law's own row; on the level nothing is divided."""
    car = plain.vehicle
    found = figures_over_splits(car, links(car, grade_deg=40.0, travel_rows=0, climb=plain))
    rows = [plain.row(40.0), *(Climb(car, split=split).row(40.0) for split in plausible_splits(car))]
    shares = [row.rear_traction_n / (row.rear_traction_n + row.front_traction_n) for row in rows]
    assert found["rear_share_of_traction"] == pytest.approx((min(shares), max(shares)), abs=1e-9)
    # Of the axle that pulls more the figure as driven is larger: least and largest share have the ends.
    climbs = [plain, *(Climb(car, split=split) for split in plausible_splits(car))]
    ends = [climbs[shares.index(pick(shares))] for pick in (min, max)]
    squat, lift = (
        [links(car, grade_deg=40.0, travel_rows=0, climb=climb).axles[end].as_driven for climb in ends]
        for end in ("rear", "front")
    )
    assert found["anti_squat_as_driven"] == pytest.approx(squat, abs=1e-9) and squat[1] > 1.5 * squat[0]
    assert found["anti_lift_as_driven"] == pytest.approx(lift[::-1], abs=1e-9) and lift[0] > 1.5 * lift[1]
    assert figures_over_splits(car, links(car, travel_rows=0)) == {}
    alone = load_vehicle(CHECK, drive="rear")
    assert figures_over_splits(alone, links(alone, grade_deg=20.0, travel_rows=0)) == {}
    assert main(["links", "--grade", "40"]) == 0
    assert "of the pull the rear axle has 4" in capsys.readouterr().out
    assert main(["links", "--grade", "40", "--json"]) == 0
    assert set(json.loads(capsys.readouterr().out)["ranges_over_splits"]) == set(found)


def test_a_place_aimed_at_carries_both_ends_of_what_it_changes(plain):
    """Each law taken for both, by the range of two climbs; on the level and with one driven axle there is none."""
    result = aim_along(plain.vehicle, Target("front_load", 560.0), positions=5)
    key = "rear.upper_link.chassis_end_mm"
    moved = with_lines(plain.vehicle, {key: list(result.nearest.points_mm[key])})
    assert result.front_load_change_range_n == pytest.approx(difference_range(plain, Climb(moved), 45.0), abs=1e-9)
    low, high = (grams_of_force(change) for change in result.front_load_change_range_n)
    (said,) = [sentence for sentence in result.sentences if "that position changes" in sentence]
    assert f"({low:+.0f} to {high:+.0f} g over plausible divisions" in said and low < high
    assert aim_along(plain.vehicle, Target("anti_squat", 60.0), positions=3).front_load_change_range_n is None


def test_a_punch_carries_the_range_too(capsys):
    """The same punches run one by one with gears that start as each law divides the crawl; one driven axle has no range."""
    car = reference_vehicle()
    own = punch(car, grade_deg=35.0, outcome=False).summary
    found = punch_range(car, {"grade_deg": 35.0}, own)
    numbers = [own["front_airborne_s"]]
    for percent in mismatches_in_motion(car, plausible_laws(car), 35.0):
        geared = replace(car, drive=replace(car.drive, front_overdrive=1.0 + percent / 100.0))
        run = punch(geared, grade_deg=35.0, outcome=False)
        numbers.append(run.summary["front_airborne_s"])
    assert found.front_airborne_s == pytest.approx((min(numbers), max(numbers)), abs=1e-9) and found.not_held == 0
    assert found.front_airborne_s[0] < own["front_airborne_s"] - 5e-3 < found.front_airborne_s[1] - 1e-2
    alone = replace(car, drive=replace(car.drive, driven_axles="rear"))
    assert punch_range(alone, {"grade_deg": 20.0}, own) is None
    assert main(["punch", str(REFERENCE), "--grade", "35"]) == 0
    low, high = (1e3 * end for end in found.front_airborne_s)
    assert f"front axle in the air for {low:.0f} to {high:.0f} ms, minimum load 0 g" in capsys.readouterr().out
    assert main(["punch", str(REFERENCE), "--grade", "35", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["range_over_splits"] == json.loads(json.dumps(found.to_dict()))


def test_a_measured_share_leaves_the_mismatch_alone():
    car = with_tyres(reference_vehicle(), rolling_radius_share=0.6)
    assert rolling_shares(car) == (0.6, 0.6)
    assert {split.rolling_shares for split in plausible_splits(car)} == {(0.6, 0.6)} and len(plausible_splits(car)) == 2


def test_the_law_of_motion_rolls_where_its_own_couple_costs_nothing():
    """Without give on the loaded radius; with give on R + give N, which is r0 - (1 - give k) (r0 - R)."""
    car = with_tyres(reference_vehicle(), contact_offset_share=0.7, lengthwise_stiffness=5000.0)
    assert rolling_shares(car) == pytest.approx((1.0 - 0.7 * 3.4 / 5.0,) * 2)
    assert kernel_parameters(car, (0.1, 0.1)).rear.rolling_share == pytest.approx(1.0 - 0.7 * 3.4 / 5.0)


def test_a_measured_stiffness_is_used_by_the_crawl_and_by_a_punch_s_start():
    """F = c N s for small slip at the creep speed; the start of a punch then divides as the crawl does."""
    car = with_tyres(reference_vehicle(), slip_stiffness=20.0)
    speed, ratio = slip_law(car.rear.tyre)
    assert speed + ratio * CREEP_SPEED == pytest.approx(2.4 / 20.0 * CREEP_SPEED)
    slip = 1e-5
    assert 2.4 * tanh(slip / (speed / CREEP_SPEED + ratio)) == pytest.approx(20.0 * slip, rel=1e-6)
    row, begin = creep(car, grade_deg=30.0), steady_start(stand(car), grade=radians(30.0), creep_speed=CREEP_SPEED)
    assert row.status == "ok"
    places = [0, 1, 3, 4, 6, 7]
    assert begin.state[1:9][places] == pytest.approx(row.state[:8][places], abs=1e-12)
    # Three times stiffer than the slip law at that speed: the front, which stands on the larger radius, pulls more.
    assert row.front_traction_n > creep(reference_vehicle(), grade_deg=30.0).front_traction_n + 0.3


def test_keys_of_the_file():
    text = changed("grip_coefficient = 2\n", "grip_coefficient = 2\nslip_stiffness = 15\nrolling_radius_share = 0.5\n")
    car = read(text)
    assert (car.rear.tyre.slip_stiffness, car.front.tyre.rolling_radius_share) == (15.0, 0.5)
    assert own_split(car) == Split(0.0, (0.5, 0.5)) and np.isfinite(creep(car, grade_deg=20.0).front_load_n)


@pytest.mark.slow
def test_commands_tell_the_range_and_the_hidden_overdrive(capsys):
    file = str(REFERENCE)
    assert main(["creep", file, "--grade", "45"]) == 0
    assert "front axle load from 552 to 575 g over front wheels -3 to +10 % faster" in capsys.readouterr().out
    assert main(["creep", file, "--grade", "45", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert (
        document["front_load_range_n"] == pytest.approx([5.4119, 5.6410], abs=1e-3)
        and len(document["drive_splits"]) == 4
    )
    assert main(["compare", file, "--setups", "base,raised_rear_upper_mount", "--grade", "45"]) == 0
    assert "raised_rear_upper_mount from -9.4 to -4.2 g" in capsys.readouterr().out
    for unequal, told in ((file, True), (DEMO, False)):
        assert main(["describe", unequal]) == 0
        assert ("front tyres, unpressed" in capsys.readouterr().out) == told
    assert main(["creep", file, "--drive", "rear", "--grade", "20", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["front_load_range_n"] is None


def test_a_start_beyond_a_fold_is_looked_for_with_axles_that_slip_alike():
    """The path around folds has the traction as its unknown: overdrive and measured slip are left out of it."""
    car = with_tyres(reference_vehicle(), slip_stiffness=20.0)
    assert starts._followed_to(stand(car), radians(30.0)) == pytest.approx(
        creep(reference_vehicle(), grade_deg=30.0).state, abs=1e-9
    )


@pytest.mark.parametrize(("grade", "moved_g"), [(20.0, (0.0, 0.3)), (45.0, (3.0, 8.0)), (55.0, (2.0, 7.0))])
def test_a_slip_stiffness_that_grows_less_than_the_load(grade, moved_g):
    """C_i = C0 (N_i/N0)^0.7, N0 half the weight, typed here; free radii alike, so that nothing else divides the traction.

    The front pulls more: as much more load as an independent program found for the demo, 0, 6 and 5 g.
    """
    keys = {"rolling_radius_share": 0.0, "loaded_radius": None, "radius": 0.062}
    car = with_tyres(reference_vehicle(), **keys)
    soft = Climb(with_tyres(car, slip_stiffness_exponent=0.7))
    row, values = soft.row(grade), soft.standing.values
    loads = np.array([row.rear_load_n, row.front_load_n])
    width = values.rear.slip_speed / CREEP_SPEED + values.rear.slip_ratio_scale
    stiffness = 2.4 / width * 0.5 * soft.standing.weight * (loads / (0.5 * soft.standing.weight)) ** 0.7
    low, high, total = 0.0, 2.0, soft.standing.weight * sin(radians(grade))
    for _ in range(60):
        slip = 0.5 * (low + high)
        pulls = 2.4 * loads * np.tanh(stiffness * slip / (2.4 * loads))
        low, high = (slip, high) if pulls.sum() < total else (low, slip)
    # The law stops following the load at a thousandth of N0: a millionth here.
    assert (row.rear_traction_n, row.front_traction_n) == pytest.approx(pulls, rel=2e-6)
    moved = grams_of_force(row.front_load_n - Climb(car).row(grade).front_load_n)
    assert moved_g[0] <= moved <= moved_g[1]


def test_the_exponent_is_in_the_start_of_a_punch_and_in_the_batch():
    """Steady motion at the creep speed has the crawl's loads; many at once start where one does."""
    car = with_tyres(reference_vehicle(), slip_stiffness=14.0, slip_stiffness_exponent=0.7)
    begin = steady_start(stand(car), grade=radians(30.0), creep_speed=CREEP_SPEED)
    row = creep(car, grade_deg=30.0)
    places = [0, 1, 3, 4, 6, 7]
    assert begin.state[1:9][places] == pytest.approx(row.state[:8][places], abs=1e-12)
    assert begin.residual < 1e-8
    one, many = (f(car) for f in (lambda v: punch(v, **PUNCH), lambda v: punch_many([v], **PUNCH)))
    assert many.front_load_min_n[0] == pytest.approx(one.summary["front_load_min_n"], abs=2e-2)
    assert one.stats["energy_residual"] < 1e-5
