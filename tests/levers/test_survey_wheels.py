"""The survey on four wheels: steps from a known lift against whole paths, words, failures, and one seed whatever the pieces."""

import json
from functools import cache

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.studies.levers import survey_wheels as room
from noseload.studies.levers.survey import draw_vehicles, one_of, raise_mount, survey_chunk
from noseload.studies.levers.survey_wheels import OUTCOMES, WheelSurvey, survey_wheels, wheel_survey_sentence
from noseload.studies.wheels.climbs import wheel_climb
from noseload.studies.wheels.plausible import law_at

NEARBY_DEG = 1e-6
"""Steps from a known lift end where the vehicle's own path lifts."""


@pytest.fixture(scope="module")
def found():
    return survey_wheels(vehicles=12, seed=3)


@pytest.mark.slow
def test_lifts_are_those_of_whole_paths(found):
    for case in (0, 5, 9):
        for place, raised in enumerate((False, True)):
            for law, mismatch in ((0, None), (2, 3.5)):
                vehicle = found.vehicle(case, raised=raised)
                own = wheel_climb(vehicle, **law_at(vehicle, mismatch).options).first_lift_deg
                assert found.lift_deg[law, place, case] == pytest.approx(own, abs=NEARBY_DEG)


@pytest.mark.slow
def test_pieces_and_the_plane_survey_draw_the_same_vehicles(found, monkeypatch):
    monkeypatch.setattr(room, "PIECE", 5)
    again = survey_wheels(vehicles=12, seed=3)
    assert np.array_equal(again.lift_deg, found.lift_deg, equal_nan=True)
    drawn, flat = found.vehicle(7), one_of(draw_vehicles(3, 0), 7)
    assert drawn.body == flat.body and drawn.rear.shock.spring_rate == flat.rear.shock.spring_rate
    assert drawn.rear.upper_link.axle_end[::2] == flat.rear.upper_link.axle_end[::2]


def test_outcomes_need_one_sign_at_every_mismatch():
    lifts = np.array([[[50.0] * 5, [51.0, 49.0, 51.0, np.nan, 50.0]], [[50.0] * 5, [50.5, 49.5, 49.0, 51.0, 50.5]]])
    made = WheelSurvey(5, 1, 10.0, "both", (None, 5.0), lifts)
    assert made.outcomes == ("helps", "hurts", "depends_on_mismatch", "unsolved", "depends_on_mismatch")
    assert "later for 25 % of the vehicles and earlier for 25 %" in wheel_survey_sentence(made)
    assert "for 50 % the sign depends on that" in wheel_survey_sentence(made)
    one = WheelSurvey(5, 1, 10.0, "rear", (None,), lifts[:1])
    assert "with one driven axle" in wheel_survey_sentence(one) and "sign" not in wheel_survey_sentence(one)
    none = WheelSurvey(1, 1, 10.0, "both", (None,), np.full((1, 2, 1), np.nan))
    assert none.to_dict()["status"] == "no_solution" and wheel_survey_sentence(none).startswith("No vehicle")


def test_a_vehicle_that_does_not_stand_is_a_row_not_an_end(found):
    from dataclasses import replace

    drawn = found.vehicle(0)
    heavy = replace(drawn, body=replace(drawn.body, centre_of_gravity=(0.6, 0.1)))
    assert np.isnan(room.lifts_of_both(heavy, raise_mount(heavy, 10.0))).all()


def test_bad_numbers():
    with pytest.raises(ModelError, match="a survey of single wheels takes 1 to 100,000"):
        survey_wheels(vehicles=0)
    with pytest.raises(ModelError, match="a mount goes up or down by up to 25 mm"):
        survey_wheels(vehicles=5, raise_mm=0.0)


@pytest.mark.slow
def test_command(capsys, tmp_path, monkeypatch):
    """Both ways of telling read one study and one survey of the side view, which are run once."""
    study = []

    def run_once(**options):
        study.append(study[0] if study else survey_wheels(**options))
        return study[-1]

    monkeypatch.setattr(room, "survey_wheels", run_once)
    monkeypatch.setattr("noseload.studies.levers.survey.survey_chunk", cache(survey_chunk))
    files = tmp_path / "a.csv", tmp_path / "a.png"
    arguments = ["survey", "--vehicles", "20", "--wheels", "--csv", str(files[0]), "--plot", str(files[1])]
    assert main([*arguments, "--ranges"]) == 0
    out = capsys.readouterr().out
    assert "A raised mount lets the first wheel lift later for" in out and "track_width_mm" in out
    head = files[0].read_text().splitlines()[0]
    assert head.endswith(
        "raised_mount,first_wheel_lift_grade_deg,first_lift_change_deg,least_change_deg,largest_change_deg"
    )
    assert files[1].stat().st_size > 1000
    assert main(["survey", "--vehicles", "20", "--wheels", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)["wheels"]
    assert len(study) == 2 and sum(document["outcomes"].values()) == 20 and set(document["outcomes"]) == set(OUTCOMES)
