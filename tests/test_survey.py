"""The survey: seeded, independent of the executor, the same as vehicles taken one by one."""

import json
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from model.errors import ModelError
from scenarios.__main__ import main
from scenarios.studies import survey as module
from scenarios.studies.creep import Climb
from scenarios.studies.survey import RANGES, draw_vehicles, follow, survey

ONE_BY_ONE = 1e-8
"""Newton's tolerance 1e-11 of the weight, times the condition of the equations, in deg and N."""


@pytest.fixture(scope="module")
def small():
    """60 vehicles in chunks of 30."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "CHUNK", 30)
        patch.setattr(module, "MOST_CHECKED", 3)
        yield survey(vehicles=60, seed=5)


def test_same_as_one_by_one(small):
    checked = [k for k, status in enumerate(small.statuses) if status == "ok"][:6]
    for k in checked:
        for raised in (0, 1):
            climb = Climb(small.vehicle(k, raised=bool(raised)))
            if climb.fold is not None:
                continue
            assert np.degrees(climb.tip_over()) == pytest.approx(small.tip_over_grade_deg[raised, k], abs=ONE_BY_ONE)
            assert climb.row(45.0).front_load_n == pytest.approx(small.front_load_n[raised, k], abs=ONE_BY_ONE)


@pytest.mark.slow
def test_executor_and_seed(small):
    with ThreadPoolExecutor(2) as executor:
        again = survey(vehicles=60, seed=5, executor=executor)
    assert np.array_equal(again.tip_over_grade_deg, small.tip_over_grade_deg, equal_nan=True)
    assert again.statuses == small.statuses
    other = survey(vehicles=30, seed=6)
    assert not np.array_equal(other.tip_over_grade_deg, small.tip_over_grade_deg[:, :30], equal_nan=True)


@pytest.mark.slow
def test_raised_down_again_is_the_opposite(small):
    """Lowering by 10 mm changes the tip-over the other way for most vehicles that raising lowers."""
    down = survey(vehicles=60, seed=5, raise_mm=-10.0)
    both = np.isfinite(down.tip_over_change_deg) & np.isfinite(small.tip_over_change_deg)
    opposite = np.sign(down.tip_over_change_deg[both]) == -np.sign(small.tip_over_change_deg[both])
    assert opposite.mean() > 0.8


def test_drawn_from_the_stated_ranges(small):
    drawn = draw_vehicles(5, 0)
    low, high = RANGES["wheelbase_mm"]
    assert (drawn.wheelbase >= 1e-3 * low).all() and (drawn.wheelbase <= 1e-3 * high).all()
    assert (drawn.front.lower_link.axle_end[0] < drawn.wheelbase).all()


def test_document_counts_everyone(small):
    document = small.to_dict()
    assert sum(document["statuses"].values()) == 60
    shares = document["tip_over_change_deg"]
    assert shares["share_noticed"] == pytest.approx(shares["share_noticed_lower"] + shares["share_noticed_higher"])
    assert shares["least"] <= shares["percentile_5"] <= shares["median"] <= shares["most"]
    larger = np.abs(small.tip_over_change_deg) > abs(document["worst"]["tip_over_change_deg"])
    assert larger.sum() == small.snapping


def test_a_vehicle_that_does_not_stand(small):
    from dataclasses import replace

    vehicle = small.vehicle(0)
    rod = vehicle.rear.upper_link
    apart = replace(rod, axle_end=(rod.axle_end[0], None, rod.axle_end[2] + 0.3))
    setup = replace(vehicle, base=vehicle, rear=replace(vehicle.rear, upper_link=apart))
    assert np.isnan(follow(setup, 45.0)[:3]).all()


@pytest.mark.parametrize(("options", "match"), [
    ({"vehicles": 5}, "5 vehicles: a survey takes 20 to 100,000"), ({"raise_mm": 0.0}, "up or down by up to 25 mm"),
    ({"raise_mm": 40.0}, "raise 40 mm")])
def test_refusals(options, match):
    with pytest.raises(ModelError, match=match):
        survey(**options)


@pytest.mark.slow
def test_command(capsys, tmp_path, monkeypatch):
    monkeypatch.setattr(module, "CHUNK", 40)
    arguments = ["survey", "--vehicles", "40", "--seed", "2"]
    picture = tmp_path / "survey.png"
    assert main([*arguments, "--json", "--plot", str(picture), "--csv", str(tmp_path / "s.csv")]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["made_by"]["seed"] == 2 and document["vehicles"] == 40
    assert len((tmp_path / "s.csv").read_text().splitlines()) == 41
    assert picture.stat().st_size > 10_000
    assert main([*arguments, "--ranges", "--punch", "10"]) == 0
    out = capsys.readouterr().out
    assert "drawn from" in out and "the front lifts for" in out
