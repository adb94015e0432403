"""The command about the limits of a punch: interrupted work is kept, the picture shows every stretch."""

import json
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from types import SimpleNamespace

import pytest

from noseload.__main__ import main
from noseload.commands.assumed_lines import assumed_lines, assumed_motor_lines
from noseload.commands.punch import limits as command
from noseload.demo import DEMO
from noseload.model.file.reader import load_vehicle
from noseload.model.file.template import vehicle_template
from noseload.pictures.punch.limits import draw_limits
from noseload.studies.punch import rounds
from noseload.studies.punch.largest_throttle import LargestThrottle, largest_throttle
from noseload.studies.punch.limits import OutcomeChange, PunchLimits, punch_limits

CHECK = str(Path(__file__).parents[1] / "data" / "check.toml")


@pytest.mark.slow
@pytest.mark.parametrize("call", [1, 2])
def test_interrupted_work_is_kept_and_marked(call, tmp_path, monkeypatch, capsys):
    """From 50 deg on every punch flips: the first batch is the whole scan, the second belongs to the throttles alone.

    The scan is the vehicle's own and one under each of three laws of division.
    """
    calls = []
    many = rounds.punch_many

    def interrupted(vehicles, **options):
        calls.append(sum(options["outcome"]))
        if len(calls) > call - 1:
            raise KeyboardInterrupt
        return many(vehicles, **options)

    monkeypatch.setattr(rounds, "punch_many", interrupted)
    monkeypatch.chdir(tmp_path)
    assert main(["limits", "--from", "50", "--csv", "rows.csv"]) == 130
    document = json.loads((tmp_path / "rows.csv.partial").read_text())
    (member,) = document["members"]
    assert document["status"] == "partial"
    assert member["status"] == ("partial" if call == 1 else "ok")
    assert len(member["rows"]) == (calls[0] // 4 if call == 2 else 0)
    assert capsys.readouterr().out == "" and not (tmp_path / "rows.csv").exists()


@pytest.mark.slow
def test_picture_has_a_strip_for_each_set_up_and_its_throttles():
    change = OutcomeChange(20.0, 0.05, "stays_loaded", "lifts_and_returns")
    limits = [
        PunchLimits(name, 1.0, 0.05, 60.0, (-45.0, 60.0), ("stays_loaded", "lifts_and_returns"), (change,))
        for name in ("base", "raised")
    ]
    throttles = [LargestThrottle(name, (40.0, 50.0), (0.6, None), (0.2, None)) for name in ("base", "raised")]
    *strips, curves = draw_limits(limits, throttles).axes
    assert [len(strip.patches) for strip in strips] == [2, 2]
    assert "stays loaded\n-45.0 to 20.0 deg" in {text.get_text() for text in strips[0].texts}
    assert len([line for line in curves.lines if len(line.get_xdata()) == 2 and line.get_marker() == "o"]) == 2


@pytest.mark.slow
def test_workers_give_the_same_limits():
    """Two processes: every number the same, for a punch does not depend on what runs beside it."""
    vehicles, most_options = [load_vehicle(CHECK)], {"grades_deg": [20.0], "refined": 0.2, "duration_s": 0.2}
    scan = {"from_deg": 55.0, "step_deg": 2.0, "refined_deg": 2.0}
    with ProcessPoolExecutor(2) as executor:
        shared = punch_limits(vehicles, executor=executor, **scan)
        most = largest_throttle(vehicles, executor=executor, **most_options)
    assert shared == punch_limits(vehicles, **scan)
    assert most == largest_throttle(vehicles, **most_options)
    assert 0.0 < most[0].throttles[0] < 1.0


def test_command_hands_its_workers_on(capsys, monkeypatch):
    """The studies are not run: they get an executor where more than one process is asked for."""
    given = []
    monkeypatch.setattr(command, "run_rounds", lambda *_, executor, **__: given.append(executor))
    monkeypatch.setattr(command, "_finish", lambda *_: 0)
    assert main(["limits", CHECK, "--workers", "2", "--json"]) == 0
    assert main(["limits", CHECK, "--json"]) == 0
    capsys.readouterr()
    assert [hasattr(executor, "submit") for executor in given] == [True, False]
    assert main(["limits", CHECK, "--workers", "0"]) == 2
    assert (
        "argument --workers: 0 is outside what a number of processes can be: from 1 to 256" in capsys.readouterr().err
    )


def test_limits_of_an_assumed_motor_say_so():
    """A file of links alone (level B) punches with a motor that nobody measured; the demo's is in its file."""
    vehicle = load_vehicle("b.toml", text=vehicle_template("B"))
    assert "Motor and damping are assumed, not measured" in assumed_motor_lines(vehicle)[0]
    assert assumed_motor_lines(load_vehicle(DEMO)) == []


def test_assumed_values_below_what_can_be_measured_are_counted_only():
    effects = [
        SimpleNamespace(key=key, value=1.0, low=0.5, high=2.0, unit="N", moves_by=by)
        for key, by in (("a", 104.0), ("b", 1.7), ("c", 0.4), ("d", None))
    ]
    lines = assumed_lines(effects, "times what can be measured", least=1.0)
    assert lines[2:] == [
        "  a 1 (0.5 .. 2 N): by up to 104 times what can be measured",
        "  b 1 (0.5 .. 2 N): by up to 1.7 times what can be measured",
        "  d 1 (0.5 .. 2 N): an end of the range has no answer",
        "  and 1 more, each by less than can be measured",
    ]
