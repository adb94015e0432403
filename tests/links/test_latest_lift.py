"""The latest first lift: no step that makes it earlier, everything inside its limits, whole paths, and the best of a grid."""

import json

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.studies.links import latest_lift as room
from noseload.studies.links.building_limits import LinkRoom
from noseload.studies.links.candidates import POINTS, as_built
from noseload.studies.links.extremes import BuildingLimits
from noseload.studies.links.latest_lift import GROUPS, ONTO_STOPS, latest_wheel_lift, levers_of
from noseload.studies.wheels.climbs import wheel_climb
from result_makers import made

SAME_DEG = 1e-6


@pytest.mark.slow
def test_each_lift_is_that_of_the_vehicle_found_along_its_own_path():
    result = made("latest_lift")
    assert [each.group for each in result.found] == list(GROUPS)
    gains = {each.group: each.lift_deg - result.lift_deg for each in result.found}
    assert min(gains.values()) >= 0.0
    assert gains["all"] > max(gain for group, gain in gains.items() if group not in ("all", ONTO_STOPS))
    for each in result.found[1:4]:
        ends = wheel_climb(each.vehicle).ends
        assert ends.first_wheel_lift_grade_deg == pytest.approx(each.lift_deg, abs=SAME_DEG)
        assert each.range_deg[0] <= each.lift_deg <= each.range_deg[1]


@pytest.mark.slow
def test_everything_stays_within_its_limits():
    result, present = made("latest_lift"), as_built(demo_vehicle())
    limits = BuildingLimits().filled(present)
    levers = {lever.name: lever for lever in levers_of(present, limits)}
    assert len(levers) == 16 + 4 + 2 + 2
    for each in result.found:
        for change in each.changes:
            lever = levers[change["name"]]
            assert lever.group == each.group.partition("_")[0] or each.group == "all"
            assert lever.low - 1e-9 <= change["to"] <= lever.high + 1e-9
        points = np.array([[v] for key in POINTS for v in room.point_mm(each.vehicle, key)[::2]])
        assert LinkRoom(present, limits).allowed(points)[0]
        assert each.group == ONTO_STOPS or not any("bump" in stop for stop in each.stops)


@pytest.mark.slow
def test_links_alone_gain_most_by_taking_it_onto_its_bump_stops():
    """A vehicle that cannot roll passes on no torque of its shafts: it lifts where one without shafts does, and later."""
    result = made("latest_lift")
    found = {each.group: each for each in result.found}
    assert found[ONTO_STOPS].stops[:2] == ("rear left bump", "rear right bump")
    assert found[ONTO_STOPS].lift_deg > found["links"].lift_deg + 1.0
    plain = wheel_climb(found[ONTO_STOPS].vehicle, shafts=False).ends
    assert plain.first_wheel_lift_grade_deg == pytest.approx(found[ONTO_STOPS].lift_deg, abs=2.5)
    assert "bump stops (both rear bump)" in result.sentence()


@pytest.mark.slow
def test_springs_end_at_the_best_of_a_grid(monkeypatch):
    """The lift over both spring rates has a ridge, a kink where a stop engages: no grid point lies above what was found."""
    monkeypatch.setattr(room, "GROUPS", ("springs",))
    present = as_built(demo_vehicle())
    (springs,) = latest_wheel_lift(demo_vehicle()).found
    assert {change["name"] for change in springs.changes} <= {
        f"{end}.shock.spring_rate_n_per_mm" for end in ("rear", "front")
    }
    for rear in (0.44, 0.49, 0.52):
        for front in (0.322, 0.36, 0.46):
            keys = {"rear.shock.spring_rate_n_per_mm": rear, "front.shock.spring_rate_n_per_mm": front}
            assert wheel_climb(as_built(present, keys)).first_lift_deg < springs.lift_deg + 0.05


@pytest.mark.slow
def test_link_ends_alone():
    """Measured here: link ends within 20 mm delay the first lift of the demo by more than its springs and ratios together."""
    gains = {each.group: each.lift_deg for each in made("latest_lift").found}
    assert gains["links"] > gains["springs"] and gains["links"] > gains["ratios"]


def test_bad_input(capsys):
    with pytest.raises(ModelError, match="building limits: reach 0 mm must be above 0"):
        latest_wheel_lift(demo_vehicle(), limits=BuildingLimits(reach=0.0))
    assert main(["aim", "--latest-wheel-lift", "--tip-over", "60"]) == 2
    capsys.readouterr()


@pytest.mark.slow
def test_command(capsys, tmp_path, monkeypatch):
    monkeypatch.setattr(room, "ITERATIONS", 1)
    picture, sheet = tmp_path / "a.png", tmp_path / "a.csv"
    arguments = ["aim", "--latest-wheel-lift", "--limits", "reach=4", "--plot", str(picture), "--csv", str(sheet)]
    assert main(arguments) == 0
    out = capsys.readouterr().out
    assert (
        "The front right wheel lifts at 51.2 deg" in out and "each link end within 4 mm" in out and "at a limit" in out
    )
    assert picture.stat().st_size > 1000 and sheet.read_text().startswith("group,name,from,to")
    document = made("latest_lift").to_dict()
    assert [each["group"] for each in document["groups"]] == list(GROUPS) and json.dumps(document)
