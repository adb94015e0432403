"""Setups compared at a creep and at a punch: budgets, verdicts, command and picture."""

import csv
import json
from dataclasses import replace
from functools import partial
from math import degrees

import pytest

from noseload import compare, compare_punch, punch, punch_many
from noseload.__main__ import main
from noseload.commands.climb.compare_punch_text import punch_answer_lines, punch_text
from noseload.model.crawl import budget_parts
from noseload.model.crawl.budget_parts import grouped
from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force
from noseload.studies.errors.assumed_punch import assumed_in_punch
from noseload.studies.errors.error_group import ErrorGroup
from noseload.studies.errors.friction import shock_friction, spline_levers
from noseload.studies.errors.punch_draws import run_drawn
from noseload.studies.levers.survey import one_of
from noseload.studies.thresholds import Thresholds
from reference_vehicle import REFERENCE, reference_vehicle

WEIGHT_N = 27.0
READING_N = 1e-6
"""Smallest loads are read again from a state moved onto the constraints: 1e-7 N off the recorder's."""
LEVEL_B_LACKS = (
    "stall_torque_n_mm",
    "no_load_speed_rad_per_s",
    "rotor_inertia_kg_mm2",
    "damping_n_s_per_m",
    "pitch_inertia_kg_mm2",
)


@pytest.fixture(scope="module")
def pair():
    return compare([reference_vehicle(), reference_vehicle(setup="raised_rear_upper_mount")])


@pytest.fixture(scope="module")
def loaded(pair):
    """A grade at which neither setup lifts its front axle."""
    return compare_punch(pair, grade_deg=15.0, draws=20)


@pytest.mark.slow
def test_numbers_are_those_of_the_punches(loaded):
    first, other = (punch(m.climb.vehicle, grade_deg=15.0) for m in loaded.comparison.members)
    (difference,) = loaded.differences
    assert difference.front_load_min_n == pytest.approx(
        other.summary["front_load_min_n"] - first.summary["front_load_min_n"], abs=READING_N
    )
    assert difference.front_airborne_s == 0.0
    assert difference.creep_load_n == pytest.approx(
        loaded.members[1].creep.front_load_n - loaded.members[0].creep.front_load_n, abs=1e-12
    )


def test_budgets_add_up_and_creep_has_no_moving_parts(loaded):
    (difference,) = loaded.differences
    assert sum(difference.budget[key] for key in budget_parts.keys()) == pytest.approx(
        difference.front_load_min_n, abs=1e-6 * WEIGHT_N
    )
    assert sum(difference.creep_budget.values()) == pytest.approx(difference.creep_load_n, abs=1e-9 * WEIGHT_N)
    assert all(difference.creep_budget[key] == 0.0 for key in budget_parts.motion_keys())
    assert grouped(difference.creep_budget)[1] == 0.0
    assert abs(grouped(difference.budget)[1]) > 0.0
    for member in loaded.members:
        low = member.punch.lowest
        assert sum(low["budget"].values()) == pytest.approx(low["front_load_n"], abs=1e-6 * WEIGHT_N)
        assert low["front_load_n"] == pytest.approx(member.punch.summary["front_load_min_n"], abs=1e-4 * WEIGHT_N)


def test_verdicts_name_both_lines(loaded):
    (difference,) = loaded.differences
    assert (
        "steady crawl at 15 deg" in difference.creep_verdict
        and "(thresholds at 10 and 30 g)" in difference.creep_verdict
    )
    assert "changes the minimum front axle load by" in difference.punch_verdict
    assert "(thresholds at 10 and 30 g)" in difference.punch_verdict


@pytest.mark.slow
def test_no_verdict_where_hops_differ_in_number(pair):
    """At 45 deg one front hops once, the other twice: +55 ms in sum was called measurable, while random vehicles give either
    sign; told is what differs, and the first hop with its interval and the chance of its sign."""
    (difference,) = compare_punch(pair, grade_deg=45.0, draws=40).differences
    assert difference.hops == (1, 2) and difference.front_airborne_s > difference.first_hop_s > 0.0
    words = difference.punch_verdict
    assert "from 1 to 2" in words and "allows no verdict" in words and "measurable" not in words
    low, high = difference.odds.first_hop_s
    assert low < 0.0 < high and f"(95 % {1e3 * low:+.0f} to {1e3 * high:+.0f} ms)" in words
    assert 0.2 < difference.odds.longer_first_hop < 0.8 and "of 40 draws" in words
    assert difference.to_dict()["odds"]["draws"] == 40


@pytest.mark.slow
def test_first_hops_are_judged_by_their_interval(pair):
    """At 35 deg both hop once: a word only where the whole interval of the first hop agrees with it."""
    (difference,) = compare_punch(pair, grade_deg=35.0, draws=40).differences
    assert difference.hops == (1, 1) and difference.first_hop_s == pytest.approx(difference.front_airborne_s)
    low, high = difference.odds.first_hop_s
    words = difference.punch_verdict
    assert "leaves the number of hops at 1" in words and "(thresholds at 8.3 and 100 ms)" in words
    # The vehicle's own number counts too, where what the model leaves out moves the draws past it.
    low, high = min(low, difference.first_hop_s), max(high, difference.first_hop_s)
    assert ("no verdict: its sign is open" in words) == (low < 0.0 < high)


@pytest.mark.slow
def test_drawn_punches_are_those_of_the_vehicles_drawn(pair):
    """A drawn case, taken out and run by itself with its own contact, springs, friction, damping and grade, punches the same."""
    group = ErrorGroup([m.climb.vehicle for m in pair.members], punch=True)
    errors, sizes = group.draw(12, 3), group.draw_left_out(12, 3)
    member = group.members[1]
    options = {"grade_deg": 30.0, "duration_s": 0.5}
    _, found = run_drawn(group.members, errors, sizes, options)
    row = {source.part.name: k for k, source in enumerate(group.left_out)}
    vehicle = one_of(member.shifted(errors), 4)
    tyre = {
        "rolling_resistance": sizes[row["rolling_resistance"], 4],
        "lengthwise_stiffness": sizes[row["lengthwise_stiffness"], 4],
        "contact_offset_share": sizes[row["contact_share"], 4],
        "slip_stiffness_exponent": 1.0 - sizes[row["slip_softness"], 4],
        # At 100 mm/s grip builds up over the share drawn; a tenth of it stays where the vehicle stands.
        "slip_speed": 0.1 * 0.1 * sizes[row["slip_scale"], 4],
        "slip_ratio_scale": 0.9 * sizes[row["slip_scale"], 4],
    }
    # The splines of the demo's shafts hold so much at the torque of this climb: mu_s / r_s times these, N m.
    splines = dict(zip(("rear", "front"), spline_levers(member.climb, 30.0), strict=True))

    def carried(one):
        axles = {}
        for end in ("rear", "front"):
            axle = getattr(one, end)
            friction = sizes[row["shock_share"], 4] * shock_friction(vehicle, end)
            friction += sizes[row["shaft_share"], 4] * sizes[row["shaft_friction"], 4] * abs(splines[end])
            damping = axle.shock.damping * sizes[row["damping_factor"], 4]
            spring = axle.shock.spring_rate * sizes[row["spring_factor"], 4]
            shock = replace(axle.shock, damping=damping, friction=friction, spring_rate=spring)
            stiffness = axle.tyre.vertical_stiffness * sizes[row["tyre_factor"], 4]
            axles[end] = replace(axle, tyre=replace(axle.tyre, vertical_stiffness=stiffness, **tyre), shock=shock)
        base = None if one.base is None else carried(one.base)
        return replace(one, base=base, **axles)

    grade = 30.0 + degrees(sizes[row["grade_shift"], 4] + sizes[row["ledge"], 4] / vehicle.wheelbase)
    drive = replace(vehicle.drive, front_overdrive=1.0 + sizes[row["speed_mismatch"], 4])
    vehicle = replace(carried(vehicle), drive=drive)
    alone = punch(vehicle, grade_deg=grade, duration_s=0.5, outcome=False).summary
    assert found.numbers["front_load_min_n"][4] == pytest.approx(alone["front_load_min_n"], abs=1e-3 * WEIGHT_N)
    assert found.numbers["front_first_hop_s"][4] == pytest.approx(alone["front_first_hop_s"], abs=1e-3)
    assert found.numbers["front_hops"][4] == alone["front_hops"]


@pytest.mark.slow
def test_grade_of_its_own_holds_every_set_up(pair):
    result = compare_punch(pair, draws=10)
    assert result.status == "ok" and result.grade_words.startswith("the steepest in steps of 5 deg")
    assert not any(m.punch.summary["outcome"].startswith("flips") for m in result.members)
    steeper = compare_punch(pair, grade_deg=result.grade_deg + 5.0, draws=0)
    assert any(not m.punch.success or m.punch.summary["outcome"].startswith("flips") for m in steeper.members)


def test_a_start_that_cannot_be_held_is_said(pair):
    result = compare_punch(pair, grade_deg=70.0)
    assert result.status == "start_not_held"
    (difference,) = result.differences
    assert difference.front_load_min_n is None and difference.punch_verdict.startswith("No punch at 70 deg for base")


def test_vehicles_without_links_are_refused(tmp_path):
    from noseload.model.file.reader import load_vehicle
    from noseload.model.file.template import vehicle_template

    vehicle = load_vehicle("a.toml", text=vehicle_template("A"))
    with pytest.raises(ModelError, match="base has no links"):
        compare_punch(compare([vehicle, vehicle]))


@pytest.fixture(scope="module")
def level_b():
    from noseload.model.file.reader import load_vehicle

    with open(REFERENCE, encoding="utf-8") as file:
        lines = [line for line in file if not line.startswith(LEVEL_B_LACKS)]
    return load_vehicle("level-b.toml", text="".join(lines))


@pytest.mark.slow
def test_assumed_values_that_move_a_punch(level_b):
    """Each effect is the larger change at the ends of its range, in lines of measurement."""
    from noseload.model.file.reader import change_vehicle

    effects = assumed_in_punch([level_b], {"grade_deg": 15.0})
    assert {"drive.stall_torque_n_mm", "drive.rotor_inertia_kg_mm2"} <= {e.key for e in effects}
    effect, lines = next(e for e in effects if e.key == "drive.rotor_inertia_kg_mm2"), Thresholds()
    here, *ends = (
        punch_many([v], grade_deg=15.0)
        for v in (level_b, *(change_vehicle(level_b, {effect.key: value}) for value in (effect.low, effect.high)))
    )
    moved = [
        max(
            abs(end.front_load_min_n[0] - here.front_load_min_n[0]) / lines.measurable_load_n,
            abs(end.front_airborne_s[0] - here.front_airborne_s[0]) / lines.measurable_airborne_s,
        )
        for end in ends
    ]
    assert effect.moves_by == pytest.approx(max(moved), rel=1e-6)
    assert assumed_in_punch([reference_vehicle()], {"grade_deg": 15.0}) == ()


@pytest.mark.slow
def test_command_writes_everything(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("noseload.studies.compare.punch.compare_punch", partial(compare_punch, draws=20))
    rows = tmp_path / "rows.csv"
    code = main(
        [
            "compare",
            "--setups",
            "base,raised_and_reset",
            "--punch",
            "15",
            "--json",
            "--csv",
            str(rows),
            "--pictures",
            str(tmp_path / "pictures"),
        ]
    )
    document = json.loads(capsys.readouterr().out)
    assert code == 0 and document["punch"]["grade_deg"] == 15.0
    assert document["thresholds"]["measurable_airborne_s"] == pytest.approx(2.0 / 240.0)
    assert (tmp_path / "pictures" / "creep-and-punch.png").stat().st_size > 20_000
    with open(tmp_path / "rows-punch.csv", encoding="utf-8") as file:
        setups = {row["setup"] for row in csv.DictReader(file)}
    assert setups == {"base", "raised_and_reset"}


def test_picture_shows_every_run(loaded):
    from noseload.pictures.punch.comparison import draw_punch_comparison

    left, right = draw_punch_comparison(loaded).axes[:2]
    curves = [line for line in right.lines if len(line.get_xdata()) == loaded.members[0].punch.time_s.size]
    assert (
        len(curves) == 2
        and left.get_title(loc="left").startswith("steady crawl")
        and right.get_title(loc="left").startswith("punch at 15 deg")
    )


def test_text_says_why_a_punch_starts_elsewhere_and_keeps_long_verdicts_back(loaded):
    """The crawl beside it is the limit at zero speed; a punch starts at the creep speed, where tyres slip as they must."""
    result = loaded
    start, crawl = (
        grams_of_force(force)
        for force in (result.members[0].punch.start["front_load_n"], result.members[0].creep.front_load_n)
    )
    short, whole = punch_text(result, False), punch_text(result, True)
    scope = "Calculated for this vehicle as measured"
    assert f"starts at {start:.0f} g in front, not {crawl:.0f} g: at 100 mm/s" in short and abs(start - crawl) >= 0.5
    assert scope not in short and scope in whole and len(short) < len(whole)
    told = result.differences[0].punch_verdict.partition(": ")[2][len(result.differences[0].setup) + 1 :]
    asked, answer = punch_answer_lines(result)
    assert asked == "And in a throttle punch at 15 deg?" and answer.endswith(f": it {told}"), (
        "beside the answers of the crawl"
    )
    assert told not in short and told in whole
    assumed = [
        replace(d, punch_verdict=d.punch_verdict.replace("as measured", "with assumed motor or damping"))
        for d in result.differences
    ]
    assert punch_text(replace(result, differences=tuple(assumed)), False) == short, "whatever the scope says"
