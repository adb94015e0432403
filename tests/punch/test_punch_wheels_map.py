"""Grids of punches in space and the throttle that keeps four wheels down."""

import json
from functools import cache

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.__main__ import main
from noseload.commands.punch.wheels_grid import map_sentence
from noseload.model.errors import ModelError
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.punch.wheels_map import largest_wheel_throttle, wheels_map


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
