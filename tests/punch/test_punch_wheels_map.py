"""Grids of punches in space and the throttle that keeps four wheels down."""

import json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.__main__ import main
from noseload.commands.punch import wheels_grid as grid
from noseload.commands.punch.wheels_grid import map_sentence
from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.model.file.reader import change_vehicle, load_vehicle
from noseload.studies.punch.splits_range import divided, mismatches_in_motion
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.punch.wheels_map import largest_wheel_throttle, wheels_map
from noseload.studies.wheels.plausible import plausible_laws


@cache
def small_map():
    return wheels_map([demo_vehicle()], grades_deg=[20.0, 80.0], rises_s=[0.05, 0.4])


def test_a_cell_is_a_punch():
    result = small_map()
    one = punch_wheels(demo_vehicle(), grade_deg=20.0, outcome=False)
    assert result.first_wheel[0, 0, 0] == one.summary["first_wheel"] == "front_right"
    assert result.first_wheel_airborne_s[0, 0, 0] == pytest.approx(one.summary["first_wheel_airborne_s"], abs=1e-9)
    assert result.first_wheel[0, 0, 1] == "" and result.first_wheel_airborne_s[0, 0, 1] == 0.0
    assert (result.status[0, 1] == "start_not_held").all() and np.isnan(result.wheel_load_min_n[0, 1]).all()
    assert result.to_dict()["rows"][0]["first_wheel"] == "front_right"
    assert map_sentence(result) == "A wheel lifts in 50 % of this map (base)."
    with pytest.raises(ModelError, match="at least one grade"):
        wheels_map([demo_vehicle()], grades_deg=[], rises_s=[0.1])


@pytest.mark.slow
def test_the_largest_throttle_keeps_all_wheels_down_and_a_little_more_does_not():
    found = largest_wheel_throttle(demo_vehicle(), grades_deg=[25.0, 80.0])
    most = float(found.throttles[0])
    assert found.holding[0] < most < 1.0 and found.first_wheel[0] == "front_right" and found.within < 0.002
    assert np.isnan(found.throttles[1])
    asked = {"grade_deg": 25.0, "outcome": False}
    below = punch_wheels(demo_vehicle(), throttle=most, **asked)
    above = punch_wheels(demo_vehicle(), throttle=most + found.within, **asked)
    assert below.summary["first_wheel"] is None and above.summary["first_wheel"] == "front_right"


@pytest.mark.slow
def test_the_commands(capsys, tmp_path):
    asked = ["map", "--wheels", "--grades", "20", "20", "--grade-count", "1", "--rises", "0.05", "0.05"]
    plot = str(tmp_path / "map.png")
    assert main([*asked, "--rise-count", "1", "--json", "--plot", plot, "--csv", str(tmp_path / "map.csv")]) == 0
    rows = json.loads(capsys.readouterr().out)["rows"]
    assert len(rows) == 2 and rows[0]["setup"] == "base"
    assert (tmp_path / "map.png").stat().st_size > 5000
    assert (tmp_path / "map.csv").read_text().startswith("setup,grade_deg,rise_s,first_wheel,")
    assert main([*asked, "--slow-edge"]) == 2
    assert "--slow-edge checks the side view" in capsys.readouterr().err


@pytest.mark.slow
def test_the_command_of_limits(capsys, tmp_path):
    assert main(["limits", "--wheels", "--grades", "25", "--plot", str(tmp_path / "limits.png")]) == 0
    out = capsys.readouterr().out
    assert "largest throttle that keeps all four wheels down" in out and "front right" in out


@pytest.mark.slow
def test_cells_and_throttles_of_every_law_are_those_of_files_that_hold_it():
    """Each start divides as the law does its crawl on that grade; the map itself is the same with and without laws."""
    car = demo_vehicle()
    told = wheels_map([car], grades_deg=[20.0, 80.0], rises_s=[0.05, 0.4], over_splits=True)
    assert told.first_wheel_airborne_s == pytest.approx(small_map().first_wheel_airborne_s, abs=5e-4, nan_ok=True)
    percents = mismatches_in_motion(car, plausible_laws(car), 20.0)
    files = [change_vehicle(car, {"drive.front_overdrive": 1.0 + 0.01 * percent}) for percent in percents]
    most = largest_wheel_throttle(car, grades_deg=[20.0], over_splits=True)
    times = [told.first_wheel_airborne_s[0, 0, 0]]
    for file, each, throttle in zip(files, told.by_law, most.by_law, strict=True):
        one = punch_wheels(file, grade_deg=20.0, outcome=False).summary
        assert each.first_wheel[0, 0, 0] == one["first_wheel"]
        assert each.first_wheel_airborne_s[0, 0, 0] == pytest.approx(one["first_wheel_airborne_s"], abs=2e-3)
        times.append(each.first_wheel_airborne_s[0, 0, 0])
        asked, limit = {"grade_deg": 20.0, "outcome": False}, float(throttle.throttles[0])
        assert punch_wheels(file, throttle=limit - 2e-3, **asked).summary["first_wheel"] is None
        assert punch_wheels(file, throttle=limit + throttle.within + 2e-3, **asked).summary["first_wheel"] is not None
    assert told.ends("first_wheel_airborne_s")[:, 0, 0, 0].tolist() == [min(times), max(times)]
    row = told.rows()[0]
    assert (row["first_wheel_airborne_low_s"], row["first_wheel_airborne_high_s"]) == (min(times), max(times))
    assert row["first_wheels_over_splits"] == "front_right"
    (ends,) = most.ends()
    throttles = [float(each.throttles[0]) for each in (most, *most.by_law)]
    assert ends == [min(throttles), max(throttles)] and max(throttles) - min(throttles) > 0.05
    assert most.to_dict()["rows"][0]["largest_throttle_range"] == ends


def test_what_laws_are_told_of_a_grid(capsys, monkeypatch):
    """Invented cells: ends in brackets where they differ, shares and medians over the laws; none with one driven axle."""
    plain = small_map()
    two = replace(
        plain,
        setups=("base", "raised"),
        **{
            name: np.concatenate([getattr(plain, name)] * 2)
            for name in ("first_wheel_airborne_s", "front_axle_airborne_s", "wheel_load_min_n", "first_wheel", "status")
        },
    )
    law = replace(two, first_wheel_airborne_s=two.first_wheel_airborne_s * np.array([1.0, 1.5])[:, None, None])
    monkeypatch.setattr(grid, "wheels_map", lambda *_, **options: replace(two, by_law=(law,) * options["over_splits"]))
    assert main(["map", "--wheels"]) == 0
    out, own = capsys.readouterr().out, 1e3 * float(plain.first_wheel_airborne_s[0, 0, 0])
    assert "a wheel lifts in 50 % of it" in out and f"{own:.0f} ({own:.0f}-{1.5 * own:.0f})" in out
    monkeypatch.setattr(grid, "wheels_map", lambda *_, **options: two)
    assert main(["map", "--wheels"]) == 0
    out = capsys.readouterr().out
    assert "divide" not in out and f"({own:.0f}-" not in out
    assert two.rows()[0]["first_wheels_over_splits"] is None
    alone = load_vehicle(DEMO, drive="rear")
    assert divided([alone, alone], np.array([20.0])) == []
