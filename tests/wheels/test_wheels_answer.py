"""`noseload wheels`: the sentence, the ranges, what bad input gets, and what other commands say of single wheels."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from noseload import all_headings, sweep_wheels, wheels_answer
from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import with_overdrive
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.rows import row_of
from noseload.studies.space.wheels import wheels
from noseload.studies.wheels.answer import over_grade
from noseload.studies.wheels.climbs import RANGED, first_lifts
from noseload.studies.wheels.plausible import PLAUSIBLE, percents_of, plausible_laws
from noseload.studies.wheels.remark import Remark, remark_on, what_is_left_out
from noseload.studies.wheels.stance import BLOCK_MM, WHEELS, four_wheels
from reference_vehicle import REFERENCE, reference_vehicle

FIRST_LIFT_DEG, LAST_LIFT_DEG = 51.3, 56.7
"""Of the demo, by an independent program: front right wheel, whole front axle."""
TWIST_G = {20.0: 14.0, 40.0: 74.0, 45.0: 112.0}
ROLL_DEG = {20.0: -4.7, 40.0: -12.6, 45.0: -13.2}
"""Left-right difference of the front wheels by shaft torque, per wheel, and chassis roll: the same program."""
AS_PRINTED_DEG, AS_PRINTED_G = 0.05, 0.6
REST_N = 1e-6
"""Of Newton at 1e-11 of the weight, from two starts, N and deg."""
NEARBY_DEG = 1e-6
"""A first lift by steps from a known one is the one that its own path has."""


@pytest.fixture(scope="module")
def answer():
    return wheels_answer(reference_vehicle(), grade_deg=45.0)


@pytest.mark.parametrize("grade_deg", list(TWIST_G))
def test_twist_and_roll_of_the_demo(grade_deg):
    row = wheels(reference_vehicle(), grade_deg=grade_deg)
    assert row.twist_n / 9.80665e-3 == pytest.approx(TWIST_G[grade_deg], abs=AS_PRINTED_G)
    assert row.chassis_roll_deg == pytest.approx(ROLL_DEG[grade_deg], abs=AS_PRINTED_DEG)


def test_first_and_last_lift_of_the_demo(answer):
    assert answer.limits.first_wheel == "front_right"
    assert answer.limits.first_wheel_lift_grade_deg == pytest.approx(FIRST_LIFT_DEG, abs=AS_PRINTED_DEG)
    assert answer.limits.tip_over_grade_deg == pytest.approx(LAST_LIFT_DEG, abs=AS_PRINTED_DEG)
    assert answer.without_shafts.first_wheel == "front_both"
    tip = Climb(reference_vehicle()).limits.tip_over_grade_deg
    assert answer.without_shafts.first_wheel_lift_grade_deg == pytest.approx(tip, abs=1e-6)


def test_the_sentence_says_wheel_place_range_and_the_shafts_part(answer):
    said = answer["says"]
    assert said.startswith("The front right wheel lifts first, at 51.3 deg (50.6 to ")
    assert "front wheels -3 to +10 % faster, on free or loaded radii" in said
    assert said.endswith(
        "without the torque of the shafts both front wheels lift at 61.4 deg, so that torque takes 10.2 deg."
    )


def test_ranges_are_those_of_whole_paths(answer):
    """Loads and first lifts at a mismatch come from a few Newton steps; a path of its own says the same."""
    vehicle = reference_vehicle()
    assert answer.mismatches_percent == percents_of(plausible_laws(vehicle)) == tuple(p for p, _ in PLAUSIBLE)
    laws = [(None, None), *((p, (chi, chi)) for p, chi in PLAUSIBLE)]
    climbs = [SpaceClimb(vehicle, mismatch=p, rolling_shares=pair) for p, pair in laws]
    lifts = [np.degrees(climb.first_lift[0]) for climb in climbs]
    assert answer.first_lift_range_deg == pytest.approx((min(lifts), max(lifts)), abs=NEARBY_DEG)
    for key in RANGED:
        values = [getattr(row_of(climb, 45.0), key) for climb in climbs]
        assert answer.ranges[key] == pytest.approx((min(values), max(values)), abs=1e-6), key
    assert first_lifts(vehicle)[1] == pytest.approx(lifts, abs=NEARBY_DEG)


def test_one_driven_axle_has_no_range():

    answer = wheels_answer(reference_vehicle(drive="rear"), grade_deg=30.0)
    assert answer.ranges == {} and answer.mismatches_percent == ()
    # Independent program: rear drive lifts its first wheel at 40.3 deg.
    assert answer.limits.first_wheel_lift_grade_deg == pytest.approx(40.3, abs=AS_PRINTED_DEG)


@pytest.mark.parametrize(("changes", "lift_deg"), [({"front.axle_ratio": 5, "rear.axle_ratio": 5}, 54.4)])
def test_what_changes_the_first_lift(changes, lift_deg):
    """Independent program: shafts of 5 turns lift the first wheel at 54.4 deg."""
    from noseload.model.file.reader import change_vehicle

    (lift, _), _ = first_lifts(change_vehicle(reference_vehicle(), changes))
    assert lift == pytest.approx(lift_deg, abs=AS_PRINTED_DEG)


def test_counterclockwise_shafts_are_the_mirror_image():
    from noseload.model.file.reader import change_vehicle

    mirrored = change_vehicle(reference_vehicle(), {"drive.shaft_turns": "counterclockwise"})
    (lift, wheel), _ = first_lifts(mirrored)
    assert wheel == "front_left" and lift > 0.0
    plain, other = wheels(reference_vehicle(), grade_deg=40.0), wheels(mirrored, grade_deg=40.0)
    assert other.loads_n == pytest.approx([plain.loads_n[k] for k in (1, 0, 3, 2)], abs=1e-8)


def test_sweep_ends_where_it_goes_over_and_marks_its_lift():
    result = sweep_wheels(reference_vehicle(), step_deg=10.0, lifts=True)
    lift = result.limits.first_wheel_lift_grade_deg
    assert [row.grade_deg for row in result.rows][:6] == [0.0, 10.0, 20.0, 30.0, 40.0, 50.0]
    beside = [row for row in result.rows if abs(row.grade_deg - lift) < 0.01]
    assert [row.front_right_load_n > 0.0 for row in beside] == [True, False]
    assert (
        set(result.band) == {percent for percent, _ in PLAUSIBLE}
        and over_grade(result.limits) == result.limits.tip_over_grade_deg
    )


@pytest.mark.slow
def test_headings_of_a_vehicle_without_shafts_mirror():
    """Left and right alike: the other heading lifts the other side's wheel, at the same grade."""
    result = all_headings(reference_vehicle(), step_deg=60.0, shafts=False)
    by = dict(zip(result.headings_deg, result.first_lift_grade_deg, strict=True))
    for heading in (60.0, 120.0):
        assert by[heading] == pytest.approx(by[360.0 - heading], abs=1e-5)


def test_headings_have_the_range_of_their_first_lifts():
    """Straight up it is that of the answer at one grade; a mismatch that is given has none."""
    vehicle = reference_vehicle()
    result = all_headings(vehicle, step_deg=90.0)
    assert result.first_lift_range_deg[0] == pytest.approx(
        wheels_answer(vehicle, grade_deg=30.0).first_lift_range_deg, abs=NEARBY_DEG
    )
    for lift, (low, high) in zip(result.first_lift_grade_deg, result.first_lift_range_deg, strict=True):
        assert low <= lift <= high
    assert all_headings(vehicle, step_deg=90.0, mismatch=3.0).first_lift_range_deg == ((None, None),) * 4


# --- bad input


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--mismatch", "51"], "mismatch of 51 % is outside +-50 %"),
        (["--block", "front_left=80"], "a block of 80 mm under the front left wheel is outside 0 to 62 mm"),
        (["--block", "front=20"], "there is no wheel 'front' to put a block under"),
        (["--block", "front_left"], "--block front_left: write WHEEL=MM, such as front_left=20"),
        (["--sweep", "--headings", "30"], "give one of them"),
        (["--setups", "nothing"], 'there is no setup "nothing"'),
    ],
)
def test_bad_options_are_answered_with_a_remedy(arguments, said, capsys):
    assert main(["wheels", *arguments]) == 2
    captured = capsys.readouterr()
    assert said in captured.err and captured.out == ""


def test_a_file_without_y_is_told_all_at_once(tmp_path, capsys):
    text = Path(REFERENCE).read_text(encoding="utf-8")
    file = tmp_path / "flat.toml"
    for three in ("[122, 38, 61]", "[8, 19, 87]"):
        numbers = three.strip("[]").split(", ")
        text = text.replace(three, f"[{numbers[0]}, {numbers[2]}]")
    file.write_text(text)
    assert main(["wheels", str(file)]) == 2
    said = capsys.readouterr().err
    assert "rear.lower_link.chassis_end_mm" in said and "rear.upper_link.axle_end_mm" in said
    assert main(["sweep", str(file), "--step", "30"]) == 0
    assert (
        "Single wheels are left out: this file lacks rear.lower_link.chassis_end_mm and rear.upper_link.axle_end_mm"
        in capsys.readouterr().out
    )


@pytest.mark.slow
def test_outputs(tmp_path, capsys):
    names = [tmp_path / name for name in ("a.csv", "a.png", "b.png", "c.svg")]
    assert (
        main(["wheels", "--setups", "base,raised_and_reset", "--json", "--csv", str(names[0]), "--plot", str(names[1])])
        == 0
    )
    document = json.loads(capsys.readouterr().out)
    assert [row["setup"] for row in document["together"]] == ["base", "raised_and_reset"]
    assert names[0].read_text().startswith("setup,grade_deg,heading_deg")
    assert main(["wheels", "--sweep", "--step", "20", "--plot", str(names[2])]) == 0
    assert main(["wheels", "--headings", "90", "--plot", str(names[3])]) == 0
    assert all(name.stat().st_size > 1000 for name in names)


# --- what other commands say


def test_remarks_name_the_earlier_lift_or_what_is_missing():
    remark = remark_on(reference_vehicle())
    said = remark.sentence(61.448)
    assert said.startswith("In space the front right wheel lifts at 51.3 deg (50.6 to ") and "10.2 deg before" in said
    assert remark.sentence(51.3) == "" and Remark(left_out="it lacks y").sentence(60.0).startswith(
        "Single wheels are left out"
    )
    assert what_is_left_out(reference_vehicle()) == ""


@pytest.mark.slow
def test_a_raised_mount_has_no_robust_sign(capsys):
    """Independent program: its effect on the first wheel runs from -0.7 to +0.8 deg with the mismatch."""
    base, raised = remark_on(reference_vehicle()), remark_on(reference_vehicle(setup="raised_rear_upper_mount"))
    change, least, most = raised.change_from(base)
    assert least < 0.0 < most and least <= change <= most
    assert main(["compare", str(REFERENCE), "--setups", "base,raised_rear_upper_mount", "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)["single_wheels"]
    assert printed[1]["change_deg"] == pytest.approx([change, least, most])


def test_stance_on_four_wheels_and_its_checks():
    """A block lifts one corner: that wheel and the one across carry more or less alike; loads keep their sums."""
    seen, why = four_wheels(reference_vehicle())
    assert why == ""
    weight = reference_vehicle().mass * 9.80665
    for loads in (seen.loads_n, seen.block_loads_n):
        assert sum(loads.values()) == pytest.approx(weight, rel=1e-9)
    assert seen.loads_n["front_left"] == pytest.approx(seen.loads_n["front_right"], abs=1e-9)
    assert seen.block_roll_deg > 0.0 > seen.side_load_roll_deg
    half = 0.098
    moment = sum(n * (half if "left" in w else -half) for w, n in seen.loads_n.items())
    assert moment == pytest.approx(0.0, abs=1e-9)


def test_scales_under_a_standing_vehicle_feel_no_gears_and_no_rolling():
    """Of an overdriven file `describe` told the level crawl: 603 and 632 g behind with a block in front, against 588 and 652 at rest."""
    car = reference_vehicle()
    plain = four_wheels(car)[0]
    crawl = wheels(car, grade_deg=0.0, blocks={"front_left": BLOCK_MM})
    assert plain.block_loads_n == pytest.approx(dict(zip(WHEELS, crawl.loads_n, strict=True)), abs=REST_N)
    assert plain.block_roll_deg == pytest.approx(crawl.chassis_roll_deg, abs=REST_N)
    rolling = replace(car, **{end: replace(getattr(car, end), tyre=replace(getattr(car, end).tyre, rolling_resistance=0.05)) for end in ("rear", "front")})  # fmt: skip
    for other in (with_overdrive(car, 1.05), rolling):
        seen = four_wheels(other)[0]
        assert seen.loads_n == pytest.approx(plain.loads_n, abs=REST_N)
        assert seen.block_loads_n == pytest.approx(plain.block_loads_n, abs=REST_N)
        assert seen.side_load_roll_deg == pytest.approx(plain.side_load_roll_deg, abs=REST_N)


def test_a_twist_of_four_scales_is_told(tmp_path, capsys):
    """40 g moved from one diagonal to the other, 10 g a wheel, leave the centre of gravity: springs alike give none of it."""
    file = tmp_path / "own.toml"
    assert main(["new", "--level", "B", str(file)]) == 0
    level, lines = four_wheels(load_vehicle(file))[0].loads_n, file.read_text(encoding="utf-8").splitlines()
    for wheel, newtons in level.items():
        more = 10.0 if wheel in ("front_left", "rear_right") else -10.0
        place = next(k for k, line in enumerate(lines) if line.startswith(f"# {wheel}_g = "))
        lines[place] = f"{wheel}_g = {newtons / 9.80665e-3 + more:.4f}"
    lines = [line for line in lines if not line.startswith(("rear_g = ", "front_g = "))]
    file.write_text("\n".join(lines), encoding="utf-8")
    seen = four_wheels(load_vehicle(file))[0]
    assert seen.diagonal_n == pytest.approx(0.04 * 9.80665, abs=1e-4)
    assert main(["describe", str(file)]) == 0
    assert "front left and rear right carry 40 g more" in capsys.readouterr().out


def test_describe_tells_the_two_checks(capsys):
    assert main(["describe"]) == 0
    out = capsys.readouterr().out
    assert "20 mm block under the front left wheel: the scales read rear left" in out
    assert "100 g on the body 49 mm left of the middle" in out


def test_a_mismatch_beyond_bounds_is_a_model_error():
    with pytest.raises(ModelError, match="outside"):
        wheels_answer(reference_vehicle(), grade_deg=10.0, mismatch=float(np.nextafter(50.0, 51.0)))
