"""Assumed values that move an answer are told, and those that do not are not."""

from pathlib import Path

import pytest

from noseload.__main__ import main
from noseload.model.file.reader import load_vehicle
from noseload.studies.climb.creep import creep
from noseload.studies.errors.assumed import assumed_that_matter

CHECK = Path(__file__).parents[1] / "data" / "check.toml"
TEXT = CHECK.read_text().replace("vertical_stiffness_n_per_mm = 3.6\n", "")


def front_load(vehicles):
    return (creep(vehicles[0], grade_deg=40.0).front_load_n,)


def test_tyre_stiffness_is_told_with_its_effect():
    vehicle = load_vehicle("soft.toml", text=TEXT)
    (effect,) = assumed_that_matter([vehicle], front_load, 0.1)
    assert effect.key == "tyre.vertical_stiffness_n_per_mm"
    ends = [
        load_vehicle("x.toml", text=CHECK.read_text().replace("mm = 3.6", f"mm = {value}"))
        for value in (effect.low, effect.high)
    ]
    here = front_load([vehicle])[0]
    assert effect.moves_by == pytest.approx(max(abs(front_load([v])[0] - here) for v in ends), rel=1e-9)
    assert assumed_that_matter([vehicle], front_load, 1e3) == ()


def test_what_a_climb_does_not_use_is_not_asked():
    assert assumed_that_matter([load_vehicle(CHECK)], front_load, 1e-12) == ()


@pytest.mark.parametrize("arguments", [("creep", "--grade", "40"), ("sweep", "--step", "10")])
def test_commands_tell(capsys, tmp_path, arguments):
    path = tmp_path / "soft.toml"
    path.write_text(TEXT)
    assert main([arguments[0], str(path), *arguments[1:]]) == 0
    out = capsys.readouterr().out
    assert "assumed values that move this answer" in out and "tyre.vertical_stiffness_n_per_mm" in out
