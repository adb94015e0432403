"""The survey: seeded, independent of the executor, the same as vehicles taken one by one."""

import json
import os
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.errors import ModelError
from noseload.model.file.template import vehicle_template
from noseload.studies.climb.creep import Climb
from noseload.studies.levers import survey as module
from noseload.studies.levers.place import place_among
from noseload.studies.levers.survey import (
    RANGES,
    _status,
    draw_vehicles,
    follow,
    one_of,
    raise_mount,
    survey,
    survey_chunk,
)

ONE_BY_ONE = 1e-8
"""Newton's tolerance 1e-11 of the weight, times the condition of the equations, in deg and N."""


@pytest.fixture(scope="module")
def small():
    """60 vehicles in chunks of 30."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "CHUNK", 30)
        patch.setattr(module, "MOST_CHECKED", 3)
        yield survey(vehicles=60, seed=5)


@pytest.mark.slow
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


@pytest.mark.slow
def test_what_the_batch_leaves_is_followed_and_named():
    """Vehicles 42 and 46 of seed 1, unsolved by quick steps: one has a tip-over, the other folds for good."""
    with pytest.MonkeyPatch.context() as patch:
        # The draw of a chunk belongs to its size: the full one is drawn, a part of it solved.
        patch.setattr(module, "CHUNK", 1000)
        drawn = _cases(draw_vehicles(1, 0), np.arange(40, 50))
        patch.setattr(module, "draw_vehicles", lambda *_: drawn)
        patch.setattr(module, "CHUNK", 10)
        with pytest.MonkeyPatch.context() as quick:
            quick.setattr(module, "follow", lambda *_: (np.nan, np.nan, np.nan, False))
            left = survey_chunk(1, 0, 45.0, 10.0, "both", 10)
        found = survey_chunk(1, 0, 45.0, 10.0, "both", 10)
        assert np.isnan(left[1, 0, [2, 6]]).all()
    raised = raise_mount(one_of(drawn, 2), 10.0)
    assert found[1, 0, 2] == pytest.approx(np.degrees(Climb(raised).tip_over()), abs=ONE_BY_ONE)
    assert [_status(found[:, :, k], 45.0) for k in (0, 2, 6)] == ["ok", "ok", "snaps_over"]
    assert [_status(left[:, :, k], 45.0) for k in (0, 2, 6)] == ["ok", "unsolved", "unsolved"]


def _cases(value, some):
    """A vehicle of arrays with some of its cases."""
    from dataclasses import replace

    if isinstance(value, np.ndarray):
        return value[some]
    if isinstance(value, tuple):
        return tuple(_cases(item, some) for item in value)
    if hasattr(value, "__dataclass_fields__"):
        return replace(value, **{name: _cases(getattr(value, name), some) for name in value.__dataclass_fields__})
    return value


@pytest.mark.parametrize(
    ("tip", "load", "level", "fold", "status"),
    [
        (60.0, 2.0, 10.0, 0.0, "ok"),
        (np.nan, np.nan, np.nan, 0.0, "does_not_stand"),
        (np.nan, 2.0, 10.0, 1.0, "snaps_over"),
        (np.nan, 2.0, 10.0, 0.0, "unsolved"),
        (40.0, np.nan, 10.0, 0.0, "tips_before_grade"),
        (60.0, np.nan, 10.0, 1.0, "snaps_before_grade"),
        (60.0, np.nan, 10.0, 0.0, "unsolved"),
    ],
)
def test_status_names_what_hides_a_number(tip, load, level, fold, status):
    assert _status(np.array([[60.0, 2.0, 10.0, 0.0], [tip, load, level, fold]]), 45.0) == status


def test_a_vehicle_that_does_not_stand(small):
    from dataclasses import replace

    vehicle = small.vehicle(0)
    rod = vehicle.rear.upper_link
    apart = replace(rod, axle_end=(rod.axle_end[0], None, rod.axle_end[2] + 0.3))
    setup = replace(vehicle, base=vehicle, rear=replace(vehicle.rear, upper_link=apart))
    assert np.isnan(follow(setup, 45.0)[:3]).all()


@pytest.mark.parametrize(
    ("options", "match"),
    [
        ({"vehicles": 5}, "5 vehicles: a survey takes 20 to 100,000"),
        ({"raise_mm": 0.0}, "up or down by up to 25 mm"),
        ({"raise_mm": 40.0}, "raise 40 mm"),
    ],
)
def test_refusals(options, match):
    with pytest.raises(ModelError, match=match):
        survey(**options)


@pytest.mark.slow
def test_command(capsys, tmp_path, monkeypatch):
    """Both ways of telling read one survey of the crawl, which is run once."""
    monkeypatch.setattr(module, "CHUNK", 40)
    monkeypatch.setattr(module, "survey_chunk", cache(survey_chunk))
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


@pytest.mark.parametrize("left", ["drawing", "punching"])
def test_interrupted_survey_keeps_what_is_done(left, tmp_path, monkeypatch, capsys):
    """The second draw, or the punches, meet a Ctrl-C: what was done is in the partial file, and marked."""
    calls = []

    def chunk(seed, number, grade_deg, raise_mm, drive, count=None):
        calls.append(number)
        if left == "drawing" and number == 1:
            raise KeyboardInterrupt
        return np.broadcast_to(
            np.array([[60.0, 5.0, 14.0, 0.0], [59.5, 4.9, 14.0, 0.0]])[:, :, None], (2, 4, module.CHUNK)
        )

    def piece(*arguments):
        raise KeyboardInterrupt

    monkeypatch.setattr(module, "CHUNK", 1000)
    monkeypatch.setattr(module, "survey_chunk", chunk)
    monkeypatch.setattr(module, "punch_piece", piece)
    monkeypatch.setattr(module, "_with_checked_worst", lambda result: result)
    monkeypatch.chdir(tmp_path)
    assert main(["survey", "--vehicles", "1500", "--punch", "20", "--csv", "rows.csv"]) == 130
    document = json.loads((tmp_path / "rows.csv.partial").read_text())
    assert document["status"] == "partial" and "punch" not in document
    assert document["vehicles"] == (1000 if left == "drawing" else 1500)
    assert document["tip_over_change_deg"]["median"] == pytest.approx(-0.5)
    assert capsys.readouterr().out == "" and not (tmp_path / "rows.csv").exists()


@pytest.mark.slow
def test_progress_counts_vehicles(monkeypatch):
    monkeypatch.setattr(module, "CHUNK", 12)
    monkeypatch.setattr(module, "MOST_CHECKED", 1)
    seen = []
    survey(vehicles=20, seed=5, progress=lambda done, total: seen.append((done, total)))
    assert seen == [(12, 20), (20, 20)]


@pytest.mark.slow
def test_a_vehicle_that_does_not_stand_is_left_out_of_the_punches(small, monkeypatch):
    """And the others keep their places."""
    monkeypatch.setattr(module, "CHUNK", 30)
    monkeypatch.setattr(module, "PUNCHED", 20)
    asked = []

    def piece(seed, chunk, cases, raise_mm, drive, grade_deg):
        asked.append((chunk, cases.tolist()))
        numbers = 30 * chunk + cases
        return np.broadcast_to(numbers.astype(float), (2, 2, cases.size))

    monkeypatch.setattr(module, "punch_piece", piece)
    fallen = module.replace(small, statuses=("ok",) * 31 + ("does_not_stand",) + ("ok",) * 28)
    punched = module._with_punches(fallen, 20.0, None, None)
    assert [(chunk, len(cases)) for chunk, cases in asked] == [(0, 20), (0, 10), (1, 20), (1, 9)]
    least = punched.punch_front_load_min_n[0]
    assert np.isnan(least[31]) and np.array_equal(np.delete(least, 31), np.delete(np.arange(60.0), 31))


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "killpg"), reason="process groups are of POSIX systems")
def test_an_interruption_at_the_terminal_reaches_workers_too(tmp_path):
    """Ctrl-C goes to the whole group of processes, one that still begins too; none complains or is waited for, what is done is kept."""
    command = [sys.executable, "-c", WORKERS_THAT_SLEEP, str(Path(__file__).parents[2])]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True, cwd=tmp_path
    ) as process:
        assert process.stdout is not None and process.stdout.readline() == "first piece\n"
        os.killpg(process.pid, signal.SIGINT)
        out, errors = process.communicate(timeout=30)
    assert process.returncode == 0 and out == "kept 1\n" and errors == ""


WORKERS_THAT_SLEEP = """
import os, signal, sys, time
signal.signal(signal.SIGINT, signal.default_int_handler)
begun = []
os.register_at_fork(before=lambda: begun.append(None), after_in_child=lambda: time.sleep(len(begun) - 1))
sys.path.insert(0, sys.argv[1])
from noseload.commands.common import workers
from noseload.studies.pieces import finished
kept = []
try:
    with workers(2) as pool:
        for piece in finished(time.sleep, [(0.0,), (600.0,), (600.0,), (600.0,)], pool):
            kept.append(piece)
            print("first piece", flush=True)
except KeyboardInterrupt:
    print("kept", len(kept))
"""


@pytest.mark.slow
def test_ones_own_vehicle_is_placed(capsys):
    """A vehicle of the survey itself: its shares are its ranks, and a level A file is placed without a mount."""
    result = survey(vehicles=60, seed=5)
    own = result.vehicle(7)
    place = place_among(result, own)
    tips = result.tip_over_grade_deg[0]
    good = tips[np.isfinite(tips)]
    assert place.tip_over_grade_deg == pytest.approx(tips[7], abs=1e-6)
    assert place.shares["tip_over_grade_deg"] == pytest.approx(np.mean(good < tips[7]), abs=1 / 59)
    assert place.tip_over_change_deg == pytest.approx(result.tip_over_change_deg[7], abs=1e-6)
    rigid = place_among(result, load_vehicle("a.toml", text=vehicle_template("A")))
    assert rigid.tip_over_change_deg is None and "no mount to raise" in rigid.sentences(45.0, 10.0)[-1]
    assert "does not squat, which the random ones do" in rigid.sentences(45.0, 10.0)[-1]
    assert "a higher number than that of" in place.sentences(45.0, 10.0)[2]
    assert main(["survey", DEMO, "--vehicles", "20"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("demo tips over at 61.5 deg, later than ") and "of 100 of them" in out.splitlines()[1]
