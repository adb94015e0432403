"""Rank: what numbers and changes buy, in words and grams, for the demo vehicle and for drawn ones."""

import json
from dataclasses import replace
from itertools import islice

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.commands.levers import rank as command
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.errors import MissingDataError, ModelError
from noseload.model.file.changes import ready_made_changes
from noseload.model.file.reader import change_vehicle, parse_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.levers import rank as study
from noseload.studies.levers.answer import best_changes, gain_words, judged_gain, rank_sentence, stopped_sentence
from noseload.studies.levers.rank import rank
from noseload.studies.levers.rigid import usual_grade
from noseload.studies.levers.survey import draw_vehicles, one_of
from noseload.studies.levers.words import advice_for

CHANGES = {
    "lead": {"add_g": 60, "at": "front_wheels"},
    "longer": {"wheelbase_by_mm": 10},
    "lower": {"ride_height_by_mm": -6},
    "strap": {"front_strap_mm": 2},
    "turned": {"move_ends_by_mm": {"rear.upper_link.axle_end": [0, 300]}},
}
PUNCH_N = 0.01
"""Two batched runs, each within 1e-3 of the largest front load of 15 N at worst, usually far less."""
CHORD = 0.02
"""A practical unit is small: what it buys agrees with its slope to 2 %."""


@pytest.fixture(scope="module")
def demo():
    return load_vehicle(DEMO)


@pytest.fixture(scope="module")
def ranked():
    return rank(parse_vehicle(load_vehicle(DEMO).document | {"changes": CHANGES}))


@pytest.fixture
def few_ready_made(monkeypatch):
    """Three of the ready-made changes, where it does not matter which there are."""
    all_of_them = study.ready_vehicles
    monkeypatch.setattr(study, "ready_vehicles", lambda vehicle: islice(all_of_them(vehicle), 3))


def test_levers_do_what_they_promise(demo, ranked):
    """1 mm, 10 g and 5 % really made, both ways: the tip-over moves by the listed amount."""
    for name, key, values in (
        ("rear.upper_link.axle_end_mm[z]", "rear.upper_link.axle_end_mm", ([8, 19, 88], [8, 19, 86])),
        ("front.axle_mass_g", "front.axle_mass_g", (600, 580)),
        ("rear.shock.spring_rate_n_per_mm", "rear.shock.spring_rate_n_per_mm", (0.42, 0.38)),
    ):
        lever = next(item for item in ranked.levers if item.name == name)
        high, low = (np.degrees(Climb(change_vehicle(demo, {key: value})).tip_over()) for value in values)
        assert lever.effects["tip_over_grade_deg"] == pytest.approx(0.5 * (high - low), rel=CHORD), name


def test_words_say_which_way(ranked):
    advice = {item.name: item.advice["front_load_n"] for item in ranked.levers}
    assert advice["body.centre_of_gravity_mm[z]"] == "lower"
    assert advice["body.centre_of_gravity_mm[x]"] == "move forward"
    assert advice["mass at the front wheels"] == "add"
    assert advice["mass at the rear wheels"] == "take off"
    assert advice["ride height, both ends"] == "lower"
    assert advice_for("rear.shock.spring_rate_n_per_mm", -1.0) == "softer"
    assert advice_for("drive.rotor_inertia_kg_mm2", 1.0) == "more"


def test_front_grams_are_their_own_measure(ranked):
    """10 g at the front wheels equal 10 g; every other lever equals its effect over that of a gram."""
    gram = next(item for item in ranked.levers if item.name == "mass at the front wheels")
    assert gram.equal_front_axle_g["tip_over_grade_deg"] == pytest.approx(10.0)
    lead = next(item for item in ranked.changes if item.name == "lead")
    assert lead.equal_front_axle_g["front_load_n"] == pytest.approx(60.0, rel=CHORD)


def test_changes_and_setups_stand_in_one_list(ranked):
    names = [item.name for item in ranked.changes]
    assert {"raised_rear_upper_mount", "lead", "strap"} <= set(names)
    sizes = [abs(item.effects["tip_over_grade_deg"] or 0.0) for item in ranked.changes]
    assert sizes == sorted(sizes, reverse=True)
    levers = [abs(item.effects["tip_over_grade_deg"] or 0.0) for item in ranked.levers]
    assert levers == sorted(levers, reverse=True)


def test_impossible_change_is_said_not_hidden(ranked):
    """An upper mount 300 mm higher cannot be assembled with its link: the row says so and has no numbers."""
    row = next(item for item in ranked.changes if item.name == "turned")
    assert row.status == "no_solution" and row.message
    assert set(row.effects.values()) == {None}


def test_what_creep_does_not_feel(ranked):
    """Grip is not among it: where one axle rolls faster it divides the traction (`test_rank_splits`)."""
    assert {"drive.stall_torque_n_mm", "body.pitch_inertia_kg_mm2"} <= set(ranked.without_effect)


def test_mirror(ranked):
    """Downhill is uphill of the vehicle turned round: the rear's wheel gram helps there as the front's does here."""
    effects = {item.name: item.effects for item in ranked.levers}
    assert effects["mass at the rear wheels"]["tip_over_downhill_grade_deg"] < 0.0
    assert effects["mass at the front wheels"]["tip_over_grade_deg"] > 0.0


@pytest.mark.usefixtures("few_ready_made")
def test_kept_parts_turn_the_housing(demo):
    """With kept links a mount 1 mm higher is the setup with that line."""
    kept = rank(demo, parts="kept")
    lever = next(item for item in kept.levers if item.name == "rear.upper_link.axle_end_mm[z]")
    document = demo.document | {"setups": {"up": {"rear.upper_link.axle_end_mm": [8, 19, 88]}}}
    made = np.degrees(Climb(parse_vehicle(document, setup="up")).tip_over()) - kept.outcomes["tip_over_grade_deg"]
    assert lever.effects["tip_over_grade_deg"] == pytest.approx(made, rel=0.05)


@pytest.mark.usefixtures("few_ready_made")
def test_rank_of_a_setup(demo):
    result = rank(load_vehicle(DEMO, setup="raised_and_reset"), parts="kept")
    assert "base" in [item.name for item in result.changes] and result.levers


def test_the_path_nose_down_is_followed_where_it_is_asked_for(demo, monkeypatch):
    """Without it everything else is the same, and there is no number rather than a wrong one."""
    monkeypatch.setattr("noseload.studies.levers.rank.ready_vehicles", lambda _: iter(()))
    whole, less = rank(demo), rank(demo, nose_down=False)
    name = "tip_over_downhill_grade_deg"
    for one, other in zip(whole.changes, less.changes, strict=True):
        assert one.outcomes[name] is not None and other.outcomes[name] is None
        assert one.outcomes | {name: None} == other.outcomes and one.effects | {name: None} == other.effects
    assert whole.outcomes == less.outcomes
    nose_down = rank(demo, nose_down=False, by=name)
    assert all(item.outcomes[name] is not None for item in nose_down.changes)


def test_usual_grade():
    assert [usual_grade(tip) for tip in (None, 70.0, 46.0, 33.0, 2.0)] == [45.0, 45.0, 40.0, 30.0, 0.0]


def test_refusals(demo):
    with pytest.raises(ModelError, match="parts = 'some' is none of"):
        rank(demo, parts="some")
    with pytest.raises(ModelError, match="by = 'luck' is none of"):
        rank(demo, by="luck")


@pytest.mark.slow
def test_ready_made_changes_lead(demo, monkeypatch):
    """Best first by what they gain, by name and in words; the verdict is that of the interval, and grip comes before it."""
    result = rank(demo, intervals=2)
    gains = [item.effects["tip_over_grade_deg"] for item in result.ready_made]
    assert len(gains) == 37 and gains == sorted(gains, reverse=True)
    first, second = best_changes(result, 2)
    assert first.intervals["tip_over_grade_deg"][0] < gains[0] < first.intervals["tip_over_grade_deg"][1]
    assert not result.ready_made[2].intervals
    judged = judged_gain(result, first)
    assert rank_sentence(result).lower().startswith(judged.answer) and first.label in rank_sentence(result)
    assert gain_words(result, second).endswith(judged_gain(result, second).short_words())
    made = np.degrees(Climb(load_vehicle(DEMO, setup=first.name)).tip_over())
    assert made - result.outcomes["tip_over_grade_deg"] == pytest.approx(gains[0], abs=1e-9)
    monkeypatch.setattr(study, "ready_vehicles", lambda vehicle: ())
    grippy = rank(change_vehicle(demo, {"tyre.grip_coefficient": 0.8}))
    assert stopped_sentence(result) == "" and stopped_sentence(grippy).startswith("It slides at 38.7 deg")


@pytest.mark.usefixtures("few_ready_made")
def test_less_is_a_gain_where_less_is_better(demo):
    """By pitch the first change is the one after which the nose rises least."""
    result = rank(demo, by="nose_up_pitch_deg")
    assert result.ready_made[0].effects["nose_up_pitch_deg"] < 0.0 < judged_gain(result, result.ready_made[0]).value
    assert "its nose rises" in rank_sentence(result)


def test_grip_needed_has_no_noise(ranked):
    """All wheels driven alike need tan(grade) exactly: no number moves it, and none is worth 1,263 g at the wheels."""
    assert {item.effects["grip_needed"] for item in ranked.levers} == {0.0}
    assert {item.advice["grip_needed"] for item in ranked.levers} == {""}
    found = (*ranked.levers, *ranked.changes, *ranked.ready_made)
    assert {item.equal_front_axle_g["grip_needed"] for item in found} == {None}


@pytest.mark.usefixtures("few_ready_made")
def test_scale_readings_are_no_levers():
    lines = {"rear_g": 1300, "front_g": 1450, "centre_of_gravity_height_mm": 80}
    document = {key: value for key, value in load_vehicle(DEMO).document.items() if key not in ("body", "setups")}
    result = rank(parse_vehicle(document | {"weighed": lines}))
    labels = {item.label for item in result.levers}
    assert "centre of gravity height" in labels and not any("weighed" in label for label in labels)
    assert not any(item.name.startswith("weighed.") and item.name.endswith("_g") for item in result.levers)


def test_a_rigid_vehicle_is_ranked_by_its_closed_form():
    """Tip-over of a level A vehicle is atan(b / h): lower, heavier in front and longer it tips later; a punch is refused."""
    flat = parse_vehicle(
        {
            "wheelbase_mm": 300,
            "tyre": {"loaded_radius_mm": 55},
            "weighed": {"rear_g": 1300, "front_g": 1500, "centre_of_gravity_height_mm": 80},
        }
    )
    result = rank(flat, intervals=3)
    height = next(item for item in result.levers if item.label == "centre of gravity height")
    b = 300 * 1500 / 2800
    slope = np.degrees(np.arctan(b / 80.5) - np.arctan(b / 79.5))
    assert height.effects["tip_over_grade_deg"] == pytest.approx(slope, rel=1e-4)
    assert [item.name for item in best_changes(result, 2)] == ["front_wheels_100_g", "5_mm_lower"]
    low, high = result.ready_made[0].intervals["tip_over_grade_deg"]
    assert low < result.ready_made[0].effects["tip_over_grade_deg"] < high
    json.dumps(result.to_dict(), allow_nan=False)
    with pytest.raises(MissingDataError, match="a punch needs links and springs"):
        rank(flat, punch=True)
    with pytest.raises(ModelError, match="by = 'luck' is none of"):
        rank(flat, by="luck")


def test_numbers_one_by_one_stand_behind_all(capsys, monkeypatch, ranked):
    monkeypatch.setattr(command, "rank", lambda vehicle, **options: ranked)
    assert main(["rank", "--top", "2"]) == 0
    out = capsys.readouterr().out
    assert "ready-made changes, the best first" in out and "numbers per practical unit" not in out
    assert main(["rank", "--top", "2", "--all"]) == 0
    assert "numbers per practical unit" in capsys.readouterr().out


@pytest.mark.usefixtures("few_ready_made")
def test_command(capsys):
    assert main(["rank", "--json", "--grade", "50"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["grade_deg"] == 50.0 and document["levers"][0]["equal_front_axle_g"]


@pytest.mark.usefixtures("few_ready_made")
@pytest.mark.slow
def test_command_draws(capsys, tmp_path):
    picture = tmp_path / "rank.svg"
    assert (
        main(["rank", "--by", "front-load", "--top", "4", "--plot", str(picture), "--csv", str(tmp_path / "r.csv")])
        == 0
    )
    assert "and" in capsys.readouterr().out and picture.stat().st_size > 10_000
    assert (tmp_path / "r.csv").read_text().startswith("name,kind,label")
    assert main(["rank", "--grade", "89"]) == 0
    assert "beyond_tip_over" not in capsys.readouterr().out


@pytest.mark.usefixtures("few_ready_made")
@pytest.mark.slow
def test_punch_levers_and_changes(demo):
    """Levers of a punch against single punches one unit more and less; the limit of a change by its own search."""
    from noseload.studies.punch.punch import punch

    result = rank(
        parse_vehicle(demo.document | {"changes": {"lead": CHANGES["lead"]}, "setups": {}}),
        punch=True,
        punch_grade_deg=18.0,
        by="punch_limit_grade_deg",
    )
    assert result.outcomes["punch_front_airborne_s"] == 0.0
    for key, step in (
        ("body.mass_g", 10.0),
        ("drive.stall_torque_n_mm", 370.0),
        ("front.shock.damping_n_s_per_m", 0.6),
    ):
        lever = next(item for item in result.levers if item.name == key)
        own = demo.document
        for part in key.split("."):
            own = own[part]
        ends = [
            punch(change_vehicle(demo, {key: own + sign * step}), grade_deg=18.0).summary["front_load_min_n"]
            for sign in (1, -1)
        ]
        assert lever.effects["punch_front_load_min_n"] == pytest.approx(0.5 * (ends[0] - ends[1]), abs=PUNCH_N), key
    (lead,) = result.changes
    assert lead.outcomes["punch_limit_grade_deg"] > result.outcomes["punch_limit_grade_deg"]
    assert lead.equal_front_axle_g["punch_front_load_min_n"] == pytest.approx(60.0, rel=0.2)


@pytest.mark.usefixtures("few_ready_made")
@pytest.mark.slow
def test_a_punch_held_nowhere():
    """With a motor too weak to hold any start the punch has no numbers, and the rank of creep stays."""
    weak = change_vehicle(load_vehicle(DEMO), {"drive.stall_torque_n_mm": 5.0})
    result = rank(parse_vehicle(weak.document | {"setups": {}}), punch=True)
    assert result.outcomes["punch_limit_grade_deg"] is None and result.levers


def drawn_document(vehicle):
    """Vehicle file of a drawn vehicle."""

    def point(p):
        return [1e3 * p[0], 1e3 * p[-1]]

    document = {
        "wheelbase_mm": 1e3 * vehicle.wheelbase,
        "body": {"mass_g": 1e3 * vehicle.body.mass, "centre_of_gravity_mm": point(vehicle.body.centre_of_gravity)},
        "tyre": {
            "loaded_radius_mm": 1e3 * vehicle.rear.tyre.loaded_radius,
            "vertical_stiffness_n_per_mm": 1e-3 * vehicle.rear.tyre.vertical_stiffness,
        },
    }
    for end in ("rear", "front"):
        axle = getattr(vehicle, end)
        document[end] = {"axle_mass_g": 1e3 * axle.mass}
        for part in ("lower_link", "upper_link", "shock"):
            rod = getattr(axle, part)
            document[end][part] = {"chassis_end_mm": point(rod.chassis_end), "axle_end_mm": point(rod.axle_end)}
        document[end]["shock"] |= {
            "spring_rate_n_per_mm": 1e-3 * axle.shock.spring_rate,
            "droop_travel_mm": 1e3 * axle.shock.droop_travel,
            "bump_travel_mm": 1e3 * axle.shock.bump_travel,
        }
    return document


def rank_drawn(cases, monkeypatch):
    """Rank random vehicles with changes; each gives a document or a named refusal, never a traceback.

    Of the file's changes and of the ready-made ones every vehicle gets two, in turn: all of them, many times each, among many
    vehicles.
    """
    drawn = draw_vehicles(7, 0)
    solved = 0
    for case in cases:

        def two(vehicle, case=case):
            ready = tuple(ready_made_changes(vehicle))
            return [ready[(2 * case + k) % len(ready)] for k in range(2)]

        monkeypatch.setattr("noseload.studies.levers.whole.ready_made_changes", two)
        changes = {name: CHANGES[name] for k in range(2) for name in [list(CHANGES)[(2 * case + k) % len(CHANGES)]]}
        vehicle = parse_vehicle(drawn_document(one_of(drawn, case)) | {"changes": changes})
        result = rank(vehicle, parts=("fitted", "kept")[case % 2])
        json.dumps(result.to_dict(), allow_nan=False)
        solved += result.outcomes["tip_over_grade_deg"] is not None
    return solved


def test_some_drawn_vehicles(monkeypatch):
    assert rank_drawn(range(3), monkeypatch) == 3


@pytest.mark.slow
@pytest.mark.parametrize("first", [0, 100])
def test_two_hundred_drawn_vehicles(first, monkeypatch):
    """At least nine in ten tip; the others fold first and say so."""
    assert rank_drawn(range(first, first + 100), monkeypatch) >= 90


@pytest.mark.usefixtures("few_ready_made")
@pytest.mark.slow
def test_interrupted_punches_leave_the_crawl(tmp_path, monkeypatch, capsys):
    """Ctrl-C while punches run: what the crawl gave is kept and marked, and ranks by tip-over."""

    def interrupted(vehicles, **options):
        raise KeyboardInterrupt

    monkeypatch.setattr(study, "punch_many", interrupted)
    monkeypatch.chdir(tmp_path)
    assert main(["rank", "--by", "punch-limit", "--csv", "rows.csv"]) == 130
    document = json.loads((tmp_path / "rows.csv.partial").read_text())
    assert document["status"] == "partial" and document["by"] == "tip_over_grade_deg"
    assert (
        document["levers"][0]["effects"]["tip_over_grade_deg"] and "punch_limit_grade_deg" not in document["outcomes"]
    )
    assert capsys.readouterr().out == "" and not (tmp_path / "rows.csv").exists()


def test_picture_leads_with_ready_made_changes_and_both_sizes(ranked):
    """Ten bars, the best on top; both sizes are lines, and no axis is narrower than what would be noticed."""
    from matplotlib import pyplot

    from noseload.pictures.levers.rank import plot_ready_made

    ax = plot_ready_made(ranked)
    labels = [label.get_text().replace("\n", " ") for label in ax.get_yticklabels()]
    assert labels[::-1] == [item.label for item in ranked.ready_made[:10]]
    lines = {line.get_linestyle(): line.get_xdata()[0] for line in ax.lines if line.get_linestyle() in (":", "--")}
    assert lines == {":": 0.6, "--": 1.0} and ax.get_xlim()[1] >= 1.0
    pyplot.close(ax.figure)


@pytest.mark.usefixtures("few_ready_made")
@pytest.mark.slow
def test_a_vehicle_that_slides_first_is_not_told_to_tip_later(demo):
    """Slick tyres slide at 40 deg: what would help there is load in front below that grade; a later tip-over cannot be reached."""
    tyres = [replace(axle.tyre, grip_coefficient=0.85) for axle in (demo.rear, demo.front)]
    slick = replace(demo, rear=replace(demo.rear, tyre=tyres[0]), front=replace(demo.front, tyre=tyres[1]))
    result = rank(slick)
    assert result.by == "front_load_n" and result.grade_deg < result.limits.first_grade_deg < 41.0
    said = f"{rank_sentence(result)} {stopped_sentence(result)}"
    assert "g more on the front axle at 35 deg" in said and "later" not in said
    assert said.endswith("deg, before it tips: only more grip lets it climb steeper.")
    assert rank(demo).by == "tip_over_grade_deg" and rank(slick, by="tip_over_grade_deg").by == "tip_over_grade_deg"
