"""How sure: errors against the rules of measurement, Monte Carlo against linear propagation, shared errors."""

import json
from math import degrees, sqrt

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.commands.how_sure import punch_interval_text
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.errors import MissingDataError, ModelError, VehicleFileError
from noseload.model.file.reader import change_vehicle, parse_vehicle
from noseload.model.file.template import vehicle_template
from noseload.model.uncertainty import DEFAULTS, limits_of, source_of
from noseload.model.variation import quantities_of, shift_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.rigid import RigidClimb
from noseload.studies.errors.error_group import OUTCOMES, ErrorGroup
from noseload.studies.errors.friction import shock_friction
from noseload.studies.errors.uncertainty import NORMAL_95, front_load_bands, uncertainty
from noseload.studies.errors.uncertainty_punch import punch_uncertainty
from noseload.studies.punch.punch import punch

SAMPLING = 0.06
"""Half-width of a 95 % interval from 2000 draws: two percentiles, each about 3 % of a deviation; two times that."""
GRADE = 35.0
"""Shallow enough that no stop of the demo vehicle engages: creep is nearly linear there."""

BATCH_SHARE = 0.01
"""Share of the variance: the batch's steps are a thousandth off in load, about 1 % of what one error does."""
LEVEL_A = {
    "wheelbase_mm": 300,
    "tyre": {"loaded_radius_mm": 55},
    "weighed": {"rear_g": 1300, "front_g": 1500, "centre_of_gravity_height_mm": 80},
}


SETTLED = 1e-3
"""N and deg: draws are solved to 1e-3 N."""


def measured_linearly(vehicle, grade_deg):
    """Half-width of the measured part by linear propagation, by outcome, and what has a share in that of the tip-over."""
    group = ErrorGroup([vehicle])
    member = group.members[0]
    if member.rigid:
        slopes = group.rigid(member, grade_deg, np.zeros((len(group.sources), 1)))[1]
    else:
        slopes = group.slopes(member, grade_deg)[1]
    deviations = np.array([source.deviation for source in group.sources])
    parts = {name: getattr(slopes, name) * deviations for name in OUTCOMES}
    names = [s.name for s, p in zip(group.sources, parts["tip_over_grade_deg"], strict=True) if p != 0.0]
    return {name: NORMAL_95 * float(np.sqrt((part**2).sum())) for name, part in parts.items()}, names


@pytest.fixture(scope="module")
def demo():
    return load_vehicle(DEMO)


def with_table(table, **more):
    return parse_vehicle(load_vehicle(DEMO).document | {"uncertainty": table} | more)


def quantity(vehicle, name):
    return next(q for q in quantities_of(vehicle) if q.name == name)


def test_limits_are_two_deviations(demo):
    """A limit of 1 mm is read as 95 %: a standard deviation of 0.5 mm (JCGM 100:2008, 6.2, coverage factor 2)."""
    source = source_of(quantity(demo, "rear.upper_link.axle_end_mm[z]"), limits_of(demo), demo)
    assert (source.deviation, source.normal) == (pytest.approx(0.5e-3), True)
    spring = source_of(quantity(demo, "rear.shock.spring_rate_n_per_mm"), limits_of(demo), demo)
    assert spring.deviation == pytest.approx(0.05 * demo.rear.shock.spring_rate)
    assert source_of(quantity(demo, "drive.front_overdrive"), limits_of(demo), demo) is None


def test_assumed_values_fill_their_range():
    """A range is a rectangle: standard deviation width / sqrt(12) (JCGM 100:2008, 4.3.7)."""
    document = load_vehicle(DEMO).document
    tyre = {k: v for k, v in document["tyre"].items() if k != "vertical_stiffness_n_per_mm"}
    vehicle = parse_vehicle({k: v for k, v in document.items() if k != "setups"} | {"tyre": tyre})
    assumed = quantity(vehicle, "tyre.vertical_stiffness_n_per_mm")
    source = source_of(assumed, limits_of(vehicle), vehicle)
    item = vehicle.assumption("tyre.vertical_stiffness_n_per_mm")
    assert source.deviation == pytest.approx(1e3 * (item.high - item.low) / sqrt(12.0))
    assert source.limit_words.startswith("assumed, ") and "e+" not in source.limit_words


def test_height_found_by_tipping():
    """h = b / tan(a): 0.5 deg at b = 165 mm, h = 78 mm is (b2 + h2) / b x 0.00873 = 1.76 mm, by hand."""
    document = {k: v for k, v in load_vehicle(DEMO).document.items() if k not in ("body", "setups")}
    vehicle = parse_vehicle(
        document | {"weighed": {"rear_g": 1323, "front_g": 1427, "centre_of_gravity_height_mm": 78}}
    )
    source = source_of(quantity(vehicle, "weighed.centre_of_gravity_height_mm"), limits_of(vehicle), vehicle)
    assert 1e3 * source.high == pytest.approx(1.762, abs=0.001)


def test_given_limits_replace_the_defaults():
    vehicle = with_table(
        {"length_mm": 0.3, "rear": {"shock": {"spring_rate_n_per_mm": 0.01}}, "rear_ride_height_gap_mm": 0}
    )
    limits = limits_of(vehicle)
    assert source_of(quantity(vehicle, "wheelbase_mm"), limits, vehicle).high == pytest.approx(0.3e-3)
    assert source_of(quantity(vehicle, "rear.shock.spring_rate_n_per_mm"), limits, vehicle).high == pytest.approx(10.0)
    assert shock_friction(vehicle, "rear") == 0.0
    assert shock_friction(vehicle, "front") == pytest.approx(shock_friction(load_vehicle(DEMO), "front"))


@pytest.mark.parametrize(
    ("table", "match"),
    [
        (3, "uncertainty must be a table"),
        ({"lenght_mm": 1}, "the nearest known is length_mm"),
        ({"mass_g": -1}, "mass_g must be a number, 0 or more"),
        ({"mass_g": True}, "mass_g must be a number"),
        ({"drive": {"driven_axles": 1}}, "unknown key"),
    ],
)
def test_faults_of_the_table(table, match):
    with pytest.raises(VehicleFileError, match=match):
        with_table(table)


def test_monte_carlo_agrees_with_linear_propagation(demo):
    """With errors a fifth of the usual creep is linear: both ways must give one width and one centre."""
    small = {key: limit / 5.0 for key, (limit, _) in DEFAULTS.items()}
    vehicle = with_table(small)
    (result,), (linear, _) = uncertainty([vehicle], grade_deg=GRADE).setups, measured_linearly(vehicle, GRADE)
    for name in ("front_load_n", "nose_up_pitch_deg"):
        item = getattr(result, name)
        half = 0.5 * (item.measured.high - item.measured.low)
        assert half == pytest.approx(linear[name], rel=SAMPLING)
        assert 0.5 * (item.measured.low + item.measured.high) == pytest.approx(item.value, abs=SAMPLING * half)
        assert item.failed_draws == 0


def test_one_error_alone_by_hand(demo):
    """Only the mass of the body is unsure: the tip-over moves as the file says it does."""
    nothing = dict.fromkeys(DEFAULTS, 0.0) | {"body": {"mass_g": 20.0}}
    linear, names = measured_linearly(with_table(nothing), GRADE)
    ends = [degrees(Climb(change_vehicle(demo, {"body.mass_g": 1650 + by})).tip_over()) for by in (-10, 10)]
    assert linear["tip_over_grade_deg"] == pytest.approx(1.96 * 0.5 * abs(ends[1] - ends[0]), rel=1e-4)
    assert names == ["body.mass_g"]


def test_setups_share_the_errors_of_what_they_share(demo):
    """The same setup twice under another name differs by the state of friction alone; in one state by nothing."""
    copy = {"setups": {"same": {"rear.upper_link.axle_end_mm": [8, 19, 87]}}}
    vehicle = with_table({}, **copy)
    pair = [vehicle, parse_vehicle(vehicle.document, setup="same")]
    other = uncertainty(pair, grade_deg=GRADE, draws=100).setups[1]
    assert other.difference["front_load_n"].half_width > 0.05
    assert other.difference["front_load_n"].measured.high == pytest.approx(0.0, abs=1e-9)
    for name in ("front_load_n", "tip_over_grade_deg"):
        alike = other.alike[name]
        assert (alike.half_width, alike.left_out.low) == (
            pytest.approx(0.0, abs=SETTLED),
            pytest.approx(0.0, abs=SETTLED),
        )


@pytest.mark.slow
def test_difference_is_surer_than_the_sum(demo):
    """Shared errors cancel: the interval of a difference is narrower than independent ones would give."""
    raised = load_vehicle(DEMO, setup="raised_rear_upper_mount")
    result = uncertainty([demo, raised], grade_deg=GRADE, draws=400)
    difference = result.setups[1].difference["front_load_n"]
    alone = [s.front_load_n.half_width for s in result.setups]
    assert difference.half_width < 0.8 * sqrt(alone[0] ** 2 + alone[1] ** 2)
    names = [name for name, _ in result.sources]
    assert "rear.upper_link.axle_end_mm[z] of raised_rear_upper_mount" in names
    assert "rear.upper_link.axle_end_mm[x] of raised_rear_upper_mount" not in names


@pytest.mark.slow
def test_seed_decides(demo):
    first, again, other = (
        uncertainty([demo], grade_deg=GRADE, draws=50, seed=seed).setups[0].front_load_n for seed in (3, 3, 4)
    )
    assert first == again and first.low != other.low


@pytest.mark.slow
def test_overdriven_axles_keep_their_own_number(demo):
    vehicle = change_vehicle(demo, {"drive.front_overdrive": 1.05})
    result = uncertainty([vehicle], grade_deg=GRADE, draws=100)
    item = result.setups[0].front_load_n
    assert item.low < Climb(vehicle).row(GRADE).front_load_n < item.high
    assert not result.note


def test_band_ends_at_nothing(demo):
    bands = front_load_bands(demo, [0.0, 40.0, 85.0], draws=60)
    assert (bands[0, :2] < bands[1, :2]).all()
    assert np.isnan(bands[:, 2]).all() or (bands[0, 2] == 0.0)


def test_refusals(demo):
    with pytest.raises(ModelError, match="9 draws give no interval"):
        uncertainty([demo], grade_deg=GRADE, draws=9)


def test_rigid_vehicles_have_intervals_too():
    """A height from a tip angle known to 0.5 deg gives that angle back to 0.5 deg (95 % limit), whatever else is read.

    tan(tip) = b / h and dh = (b2 + h2) / b x 0.5 deg: the tip-over grade is wrong by as much. Scale and ruler add little.
    """
    base = parse_vehicle(LEVEL_A)
    heavier = parse_vehicle(LEVEL_A | {"setups": {"nose": {"weighed.front_g": 1600}}}, setup="nose")
    found = uncertainty([base, heavier], grade_deg=GRADE, draws=2000)
    tip = found.setups[0].tip_over_grade_deg
    linear = measured_linearly(base, GRADE)[0]["tip_over_grade_deg"]
    assert linear == pytest.approx(NORMAL_95 / 2.0 * 0.5, rel=0.02)
    assert 0.5 * (tip.measured.high - tip.measured.low) == pytest.approx(linear, rel=SAMPLING)
    assert tip.value == pytest.approx(RigidClimb(base).limits.tip_over_grade_deg, abs=1e-12)
    assert found.setups[0].front_load_n.value == pytest.approx(RigidClimb(base).row(GRADE).front_load_n, abs=1e-12)
    difference = found.setups[1].difference["tip_over_grade_deg"]
    assert 0.0 < difference.low < difference.value < difference.high and difference.half_width < 0.2 * linear
    assert "squat and pitch, which the file cannot give, are not in them" in found.note


def test_creep_carries_it(capsys):
    assert main(["creep", "--grade", "35", "--uncertainty", "--draws", "50", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["uncertainty"]["draws"] == 50 and document["made_by"]["seed"] == 1


@pytest.mark.slow
def test_sweep_and_compare_carry_it(capsys, tmp_path):
    assert (
        main(
            ["sweep", "--to", "20", "--step", "10", "--uncertainty", "--draws", "50", "--plot", str(tmp_path / "s.png")]
        )
        == 0
    )
    assert "measure again first" in capsys.readouterr().out
    assert (tmp_path / "s.png").stat().st_size > 10_000
    assert main(["compare", "--uncertainty", "--draws", "50", "--setups", "base,raised_and_reset"]) == 0
    assert "raised_and_reset less base" in capsys.readouterr().out


@pytest.mark.slow
def test_punch_intervals_share_errors(demo):
    """The same setup under another name punches alike in every draw; the interval holds the vehicle's own number."""
    copy = {"setups": {"same": {"rear.upper_link.axle_end_mm": [8, 19, 87]}}}
    vehicle = parse_vehicle(demo.document | copy)
    result = punch_uncertainty([vehicle, parse_vehicle(vehicle.document, setup="same")], {"grade_deg": -10.0}, draws=30)
    base, same = result.setups
    item = base.front_load_min_n
    assert item.measured.low < item.value < item.measured.high and item.failed_draws == 0 and base.share_lifting == 0.0
    assert base.lifting_airborne_s is None
    assert same.difference["front_load_min_n"].half_width == pytest.approx(0.0, abs=1e-6)
    low, high = base.front_load_band_n
    assert (low <= high).all() and low.min() <= item.value <= high.max()
    # The vehicle with one error put in by hand, run accurately, moves as the batch says.
    first = next(found for found in item.improve if not found.limit.startswith("left out"))
    source = next(s for s in ErrorGroup([vehicle]).sources if s.name == first.source)
    ends = [
        punch(
            shift_vehicle(vehicle, {source.quantity.id: sign * source.deviation}),
            grade_deg=-10.0,
            outcome=False,
            tolerance="tight",
        ).summary["front_load_min_n"]
        for sign in (1.0, -1.0)
    ]
    alone = NORMAL_95 * 0.5 * abs(ends[0] - ends[1])
    share = (1.0 - (first.half_width_if_halved / item.half_width) ** 2) / 0.75
    assert share == pytest.approx((alone / item.linear_half_width) ** 2, abs=BATCH_SHARE)


def test_punch_intervals_refuse_in_words(demo):
    with pytest.raises(ModelError, match="3 draws give no interval"):
        punch_uncertainty([demo], {"grade_deg": 10.0}, draws=3)
    with pytest.raises(ModelError, match="program"):
        punch_uncertainty([demo], {"grade_deg": 10.0, "program": "no such program"})
    with pytest.raises(MissingDataError, match="needs links and springs"):
        punch_uncertainty([parse_vehicle(LEVEL_A)], {"grade_deg": 10.0})


@pytest.mark.slow
def test_punch_intervals_from_the_brake(demo):
    """The middle run of a start on the drag brake is the accurate one's."""
    item = punch_uncertainty([demo], {"grade_deg": 10.0, "start": "brake"}, draws=30).setups[0].front_load_min_n
    single = punch(demo, grade_deg=10.0, start="brake", outcome=False).summary["front_load_min_n"]
    assert item.value == pytest.approx(single, abs=2e-3 * 15.0) and item.measured.low < item.value < item.measured.high


@pytest.mark.slow
def test_punch_command_carries_it(capsys, tmp_path, monkeypatch):
    """A setup is held against the vehicle it changes; a blip is a program of every draw's own holding throttle.

    Both ways of telling read one study, which is run once.
    """
    study = []

    def run_once(*arguments, **options):
        study.append(study[0] if study else punch_uncertainty(*arguments, **options))
        return study[-1]

    monkeypatch.setattr("noseload.studies.errors.uncertainty_punch.punch_uncertainty", run_once)
    picture = tmp_path / "p.png"
    arguments = [
        "punch",
        "--grade",
        "12",
        "--duration",
        "0.4",
        "--uncertainty",
        "--draws",
        "12",
        "--program",
        "blip",
        "--setup",
        "raised_rear_upper_mount",
    ]
    assert main([*arguments, "--plot", str(picture)]) == 0
    out = capsys.readouterr().out
    for words in (
        "raised_rear_upper_mount less base",
        "measure again first for the minimum front axle load",
        "% of the draws",
    ):
        assert words in out
    assert picture.stat().st_size > 20_000
    assert main([*arguments, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    sure = document["uncertainty"]
    own = document["summary"]["front_load_min_n"]
    assert sure["setups"][1]["front_load_min_n"]["value"] == pytest.approx(
        own, abs=1e-3 * max(document["front_load_n"])
    )
    assert (
        len(study) == 2
        and document["made_by"]["seed"] == 1
        and len(sure["band_time_s"]) == len(sure["setups"][0]["front_load_band_n"]["low"])
    )


@pytest.mark.slow
def test_time_in_the_air_is_told_apart_from_how_often(demo):
    """Where few draws lift the front, limits over all draws reach down to nothing; among those that lift they do not."""
    result = punch_uncertainty([demo], {"grade_deg": 22.0}, draws=40)
    found = result.setups[0]
    assert 0.0 < found.share_lifting < 1.0 and found.front_airborne_s.low == 0.0
    low, high = found.lifting_airborne_s
    assert 0.0 < low < high
    assert found.to_dict()["lifting_airborne_s"] == {"low": low, "high": high}
    assert f"there for {1e3 * low:.0f} to {1e3 * high:.0f} ms (95 % of these)" in punch_interval_text(result)


def test_limits_of_large_assumed_values_are_written_whole():
    """2,000 to 10,000 N mm, not 1e+04."""
    vehicle = load_vehicle("b.toml", text=vehicle_template("B"))
    source = source_of(quantity(vehicle, "drive.stall_torque_n_mm"), limits_of(vehicle), vehicle)
    assert source.limit_words == "assumed, 2000 to 10000 N mm"
