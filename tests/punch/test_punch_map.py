"""The map of two setups: cells as single punches, executors, interruption, slow edge, command, picture."""

import json
from concurrent.futures import Future, ThreadPoolExecutor

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.demo import demo_vehicle
from noseload.documents import json_text
from noseload.model.errors import ModelError
from noseload.studies.punch import map as study
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.map import SLOW_EDGE_SHARE, SLOW_RISE_S, SLOW_STEP_S, punch_map, run_piece

GRADES, RISES = (10.0, 35.0, 80.0), (0.02, 0.1)
SHORT = {"duration_s": 0.25, "start_s": 0.02}
"""Enough for the smallest load; `SETTLE_S` is shortened with it."""


@pytest.fixture(scope="module")
def pair():
    return demo_vehicle(), demo_vehicle(setup="raised_rear_upper_mount")


@pytest.fixture(scope="module")
def small(pair):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(study, "SETTLE_S", 0.1)
        return punch_map(pair, grades_deg=GRADES, rises_s=RISES, **SHORT)


@pytest.mark.slow
def test_cells_are_punches(pair, small):
    assert small.status[2].tolist() == ["start_not_held"] * 2 and (small.status[:2] == "ok").all()
    assert np.isnan(small.load_difference_n[2]).all() and np.isfinite(small.load_difference_n[:2]).all()
    one = punch_many(list(pair), grade_deg=10.0, rise_s=0.1, tolerance=study.TOLERANCE, **SHORT)
    assert small.front_load_min_n[:, 0, 1] == pytest.approx(one.front_load_min_n, abs=1e-9)
    assert small.steady_load_n[:, 0] == pytest.approx(one.front_load_start_n, abs=1e-9)
    assert "4 of 6 cells" in repr(small)


def test_document_is_strict_json(small):
    body = json.loads(json_text(small.to_dict()))
    assert body["status"] == "ok" and body["cell_status"][2] == ["start_not_held"] * 2
    assert body["front_load_min_difference_n"][2] == [None, None]
    assert len(small.rows()) == 6 and small.rows()[1]["rise_s"] == 0.1
    noticed = small.noticed_from()
    for k, row in enumerate(np.abs(small.load_difference_n)):
        expected = [r for r, d in zip(RISES, row, strict=True) if d >= small.noticed_load_n]
        assert noticed[k] == max(expected) if expected else np.isnan(noticed[k])


@pytest.mark.slow
def test_executor_gives_the_same_map(pair, small, monkeypatch):
    monkeypatch.setattr(study, "SETTLE_S", 0.1)
    monkeypatch.setattr(study, "shares", lambda punches: 2)
    seen = []
    with ThreadPoolExecutor(2) as executor:
        again = punch_map(
            pair,
            grades_deg=GRADES,
            rises_s=RISES,
            executor=executor,
            progress=lambda done, total: seen.append((done, total)),
            **SHORT,
        )
    assert again.load_difference_n == pytest.approx(small.load_difference_n, abs=1e-9, nan_ok=True)
    assert seen == [(6, 12), (12, 12)]


class Interrupting:
    """An executor whose second piece of work meets a Ctrl-C."""

    def __init__(self):
        self.futures = []

    def submit(self, function, *arguments):
        future = Future()
        if not self.futures:
            future.set_result(function(*arguments))
        elif len(self.futures) == 1:
            future.set_exception(KeyboardInterrupt())
        self.futures.append(future)
        return future


def invented_piece(vehicles, grades, rises, shared):
    """Stands in for a batch of punches."""
    shape = (len(vehicles), len(grades), len(rises))
    loads = np.broadcast_to(np.resize([2.0, 1.5], len(vehicles))[:, None, None], shape)
    return np.full(shape, "ok", dtype=object), np.full(shape, "stays_loaded", dtype=object), loads, 0.0 * loads, loads


def test_interrupted_work_keeps_what_is_done(pair, monkeypatch):
    monkeypatch.setattr(study, "run_piece", invented_piece)
    monkeypatch.setattr(study, "shares", lambda punches: 3)
    executor = Interrupting()
    result = punch_map(pair, grades_deg=[10.0], rises_s=[0.02, 0.1, 0.2], executor=executor)
    assert not result.complete and result.to_dict()["status"] == "partial"
    assert result.status.tolist() == [["ok", "not_run", "not_run"]]
    assert executor.futures[2].cancelled()


def test_command_saves_what_was_done_on_an_interruption(tmp_path, monkeypatch, capsys):
    calls = []

    def piece(*arguments):
        calls.append(arguments)
        if len(calls) == 2:
            raise KeyboardInterrupt
        return invented_piece(*arguments)

    monkeypatch.setattr(study, "run_piece", piece)
    monkeypatch.setattr(study, "CHUNK", 2)
    target = tmp_path / "cells.csv"
    assert main(["map", "--grades", "10", "20", "--grade-count", "2", "--rise-count", "3", "--csv", str(target)]) == 130
    kept = json.loads((tmp_path / "cells.csv.partial").read_text())
    assert kept["status"] == "partial" and kept["cell_status"][0] == ["ok", "not_run", "not_run"]
    assert not target.exists()
    captured = capsys.readouterr()
    assert captured.out == "" and "cells.csv.partial" in captured.err


@pytest.mark.slow
def test_command_prints_writes_and_draws(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(study, "run_piece", invented_piece)
    table, picture = tmp_path / "cells.csv", tmp_path / "map.png"
    arguments = [
        "map",
        "--grades",
        "10",
        "20",
        "--grade-count",
        "3",
        "--rise-count",
        "4",
        "--csv",
        str(table),
        "--plot",
        str(picture),
        "--slow-edge",
    ]
    assert main(arguments) == 0
    text = capsys.readouterr().out
    assert "raised_rear_upper_mount against base" in text and "-51" in text and "as it must" in text
    assert len(table.read_text().splitlines()) == 13 and picture.read_bytes().startswith(b"\x89PNG")
    assert main([*arguments, "--json"]) == 0
    body = json.loads(capsys.readouterr().out)
    assert body["command"] == "map" and body["slow_edge"]["joins_steady_states"] is True


def test_failed_cells_stay_marked(monkeypatch, capsys):
    """One setup fails in one cell, the other has no start in another: both keep their status and have no number."""

    def piece(*arguments):
        status, *numbers = invented_piece(*arguments)
        status[1, 0, 1], status[0, 1, 2] = "failed", "start_not_held"
        return status, *numbers

    monkeypatch.setattr(study, "run_piece", piece)
    arguments = ["map", "--grades", "10", "20", "--grade-count", "2", "--rise-count", "3"]
    assert main([*arguments, "--json"]) == 0
    body = json.loads(capsys.readouterr().out)
    assert body["cell_status"] == [["ok", "failed", "ok"], ["ok", "ok", "start_not_held"]]
    for key in ("front_load_min_difference_n", "front_airborne_difference_s"):
        assert [[cell is None for cell in row] for row in body[key]] == [[False, True, False], [False, False, True]]
    assert main(arguments) == 0
    assert "1 of 6 cells have no steady start, 1 failed." in capsys.readouterr().out


@pytest.mark.slow
def test_workers_give_the_same_map(capsys, monkeypatch):
    """Two processes, one piece each, rise times dealt out in turn."""
    monkeypatch.setattr(study, "SETTLE_S", 0.1)
    arguments = [
        "map",
        "--grades",
        "10",
        "40",
        "--grade-count",
        "1",
        "--rises",
        "0.02",
        "0.1",
        "--rise-count",
        "2",
        "--start",
        "0.02",
        "--duration",
        "0.2",
        "--json",
    ]
    documents = []
    for workers in ("1", "2"):
        assert main([*arguments, "--workers", workers]) == 0
        documents.append(json.loads(capsys.readouterr().out))
    one, two = (document["front_load_min_n"]["second"] for document in documents)
    assert documents[1]["cell_status"] == [["ok"] * 2]
    for row, again in zip(one, two, strict=True):
        # A piece moves its cases back onto the links when it is packed together, which its neighbours decide.
        assert again == pytest.approx(row, abs=1e-6)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--grade-count", "3"], "--grade-count needs --grades"),
        (["--setups", "base"], "gives 1 of the two setups"),
        (["--rise-count", "0"], "argument --rise-count: 0 is outside what a number of columns can be: from 1 to 200"),
        (["a.toml", "b.toml", "c.toml"], "3 files given"),
    ],
)
def test_command_faults(arguments, message, capsys):
    assert main(["map", *arguments]) == 2
    captured = capsys.readouterr()
    assert captured.out == "" and message in captured.err and "Traceback" not in captured.err


def test_study_faults(pair):
    with pytest.raises(ModelError, match="3 setups given"):
        punch_map([*pair, pair[0]])
    with pytest.raises(ModelError, match="rise times must be numbers of 0 s or more"):
        punch_map(pair, rises_s=[-1.0])
    with pytest.raises(ModelError, match="grades must be numbers between"):
        punch_map(pair, grades_deg=[95.0])


SLOW_GRADES, SLOW_RISES = (0.0, 30.0, 50.0, 55.0, 58.0), (6.0, 12.0, 24.0, SLOW_RISE_S)
SLOW = {"throttle": 1.0, "start_s": 0.1, "duration_s": 1.0, "tolerance": study.TOLERANCE, "creep_speed_mm_per_s": 100.0}
SLOW |= {"largest_step_s": SLOW_STEP_S, "outcome": False}


@pytest.fixture(scope="module")
def slow(pair):
    """Slow punches in one batch, whose step costs the same for eight as for forty: run as a map asks for those of its edge."""
    status, _, load, _, steady = run_piece(pair, SLOW_GRADES, np.array(SLOW_RISES), SLOW)
    assert (status == "ok").all()
    return load, steady


@pytest.mark.slow
def test_slow_edge_joins_the_steady_states(pair, slow, monkeypatch):
    grades = [0.0, 30.0, 50.0, 58.0]

    def run_known(vehicles, some, rises, shared):
        if rises[0] != SLOW_RISE_S:
            return run_piece(vehicles, some, rises, shared)
        assert (list(vehicles), list(some), list(rises), shared) == (list(pair), grades, [SLOW_RISE_S], SLOW)
        load, steady = (part[:, [SLOW_GRADES.index(grade) for grade in grades], -1:] for part in slow)
        return np.full(load.shape, "ok", dtype=object), None, load, None, steady

    monkeypatch.setattr(study, "run_piece", run_known)
    result = punch_map(pair, grades_deg=grades, rises_s=[0.05], slow_edge=True)
    assert SLOW_EDGE_SHARE == 0.001, "of the static front axle load"
    assert result.slow_edge.joins and result.slow_edge.largest_share < SLOW_EDGE_SHARE
    assert result.slow_edge.steady_difference_n == pytest.approx(result.steady_load_n[1] - result.steady_load_n[0])


@pytest.mark.slow
def test_what_is_left_at_the_slow_edge_halves_as_the_rise_doubles(slow):
    """So the gap at any finite rise is the rise's, not a difference of principle; 55 deg: no stop is met between the rises."""
    load, steady = (part[:, [SLOW_GRADES.index(grade) for grade in (0.0, 30.0, 55.0)], :3] for part in slow)
    gap = (load[1] - load[0]) - (steady[1] - steady[0])
    assert np.all(np.abs(gap[:, 2]) > 1e-3), "there is a gap to halve, N"
    ratio = gap[:, :-1] / gap[:, 1:]
    assert ratio[:, 1] == pytest.approx(2.0, abs=0.2)
    assert np.all(np.abs(ratio[:, 1] - 2.0) < np.abs(ratio[:, 0] - 2.0) + 0.02), "nearer to 2 the slower"


@pytest.mark.slow
def test_distributed_executor(pair, small, monkeypatch):
    """Optional extra: the executor of an existing distributed engine serves as it is."""
    distributed = pytest.importorskip("distributed", reason="distributed is an optional extra and is not installed")
    with distributed.LocalCluster(n_workers=1, processes=False, dashboard_address=None) as cluster:
        with distributed.Client(cluster) as client:
            again = punch_map(pair, grades_deg=GRADES, rises_s=RISES, executor=client.get_executor(), **SHORT)
    assert again.status.tolist() == small.status.tolist()
    assert np.isfinite(again.load_difference_n[:2]).all()
