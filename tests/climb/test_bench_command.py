"""`noseload bench` as a user meets it: text, documents, pictures, readings and their faults."""

import json
from pathlib import Path

import pytest

from bench_maker import LEVEL_A, reference_bench
from noseload import bench, demo_vehicle
from noseload.__main__ import main
from noseload.csv_input import ReadingsFileError
from noseload.solvers.errors import SolverError, Status
from noseload.studies.bench.path import HeldWheelPath
from noseload.studies.bench.readings import compare_bench_readings

EXAMPLE = Path(__file__).parents[2] / "scenarios" / "demo" / "readings" / "bench.csv"
HEAD = "# level_front_g = 1514\n"


def run(capsys, *arguments):
    code = main(["bench", *map(str, arguments)])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_front_wheels_are_asked_for(capsys):
    code, out, err = run(capsys)
    assert (code, out) == (2, "") and "--front free" in err and "--front geared" in err
    code, out, _ = run(capsys, "--drive", "rear")
    assert code == 0 and "front wheels free" in out


def test_text_says_what_matters(capsys):
    code, out, _ = run(capsys, "--front", "free", "--setups", "all")
    assert code == 0
    for words in (
        "base                           4621.6           4621.6",
        "enough: the front is free at 62 %",
        "raised_rear_upper_mount changes the torque at lift by -47 N mm",
        "the torque, -T/L",
        "second at most",
    ):
        assert words in out
    _, out, _ = run(capsys, "--front", "geared")
    assert "not settled by statics" in out and "sliding" in out
    assert "over -3 to +10 % it carries 713 to 754 g at 2500 N mm" in out
    for word in ("proves", "debunks", "wins", "no difference", "safe", "works on rock"):
        assert word not in out.lower()


@pytest.mark.slow
def test_document_csv_and_pictures(capsys, tmp_path):
    code, out, _ = run(
        capsys, "--front", "geared", "--play", 1, "--json", "--csv", tmp_path / "b.csv", "--plot", tmp_path / "b.svg"
    )
    body = json.loads(out)
    assert code == 0 and (body["command"], body["front"], body["play_mm"], body["status"]) == (
        "bench",
        "geared",
        1.0,
        "ok",
    )
    (setup,) = body["setups"]
    assert setup["torque_at_lift_n_mm"] == pytest.approx(setup["weight_times_distance_n_mm"], rel=1e-9)
    assert setup["motor_reaches_lift"] is True
    lines = (tmp_path / "b.csv").read_text().splitlines()
    assert len(lines) == len(setup["rows"]) + 1 and "budget_motor_torque_n" in lines[0]
    text = (tmp_path / "b.svg").read_text()
    assert "clamp" in text and "geared in" in text and "rear upper" in text
    code, _, err = run(capsys, "--front", "free", "--torque", 6000, "--plot", tmp_path / "c.svg")
    assert code == 2 and "nothing to draw" in err and not (tmp_path / "c.svg").exists()


def test_level_a_file(capsys, tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(LEVEL_A)
    code, out, _ = run(capsys, path, "--plot", tmp_path / "a.png")
    assert code == 0 and "rigid" in out and "exact for a rigid vehicle" in out
    assert (tmp_path / "a.png").read_bytes().startswith(b"\x89PNG")


def test_example_readings_are_explained(capsys):
    code, out, _ = run(capsys, "--front", "free", "--readings", EXAMPLE)
    assert code == 0 and "explains the readings of the bench" in out
    code, out, _ = run(
        capsys, "--front", "free", "--setups", "raised_rear_upper_mount", "--readings", EXAMPLE, "--json"
    )
    assert json.loads(out)["readings"]["status"] == "not_explained"


def test_readings_made_from_the_model_have_no_misfit(tmp_path):
    """Exact rows by each of the three kinds of torque come back with zero misfit."""
    result, gram = reference_bench(), 9.80665e-3
    rows = [result.path.row(torque) for torque in (0.0, 1000.0, 2500.0, 4000.0)]
    level = f"# level_front_g = {rows[0].front_load_n / gram!r}\n"
    files = {
        "torque": level
        + "torque_n_mm, front_g, nose_up_pitch_deg\n"
        + "".join(f"{r.torque_n_mm!r}, {r.front_load_n / gram!r}, {r.nose_up_pitch_deg!r}\n" for r in rows),
        "lever": level
        + "# lever_arm_mm = 150\nlever_g, front_g\n"
        + "".join(f"{r.torque_n_mm / 150 / gram!r}, {r.front_load_n / gram!r}\n" for r in rows),
        "scale": level
        + "front_g, nose_up_pitch_deg\n"
        + "".join(f"{r.front_load_n / gram!r}, {r.nose_up_pitch_deg!r}\n" for r in rows),
    }
    for name, text in files.items():
        path = tmp_path / f"{name}.csv"
        path.write_text(text)
        found = compare_bench_readings(path, result)
        assert found.chi_square == pytest.approx(0.0, abs=1e-9), name
        assert len(found.kinds) == {"torque": 9, "lever": 5, "scale": 5}[name]
    assert "the check lies in the level reading and the pitch" in found.verdict[-1]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (HEAD + "torque_n_m, front_g\n1, 1200\n2, 900\n", "needed in n mm"),
        (HEAD + "front_g\n1200\n900\n", "column nose_up_pitch_deg is missing"),
        (HEAD + "torque_n_mm, front_g\n1000, 1200\n2000, many\n", "row 4, column front_g: 'many' is not a number"),
        (HEAD + "torque_n_mm, front_g\n1000, 1200\n1000, 1200\n", "row 4 is a duplicate of row 3"),
        (HEAD + "torque_n_mm, front_g\n1000, 1200\n1000, 1300\n", "row 4 contradicts row 3"),
        (HEAD + "torque_n_mm, front_g\n1000, 1200\n", "too few readings"),
        ("torque_n_mm, front_g\n1000, 1200\n2000, 900\n", "setting level_front_g is missing"),
        (HEAD + "lever_g, front_g\n100, 1200\n200, 900\n", "setting lever_arm_mm is missing"),
        (HEAD + "torque_n_mm, front_g\n-5, 1200\n2000, 900\n", "row 3, column torque_n_mm: -5 n mm must be at least 0"),
    ],
)
def test_faulty_readings_are_named_and_nothing_is_written(text, fault, capsys, tmp_path):
    path = tmp_path / "bad.csv"
    path.write_text(text)
    with pytest.raises(ReadingsFileError) as caught:
        compare_bench_readings(path, reference_bench())
    assert fault in str(caught.value)
    code, out, err = run(
        capsys, "--front", "free", "--readings", path, "--csv", tmp_path / "x.csv", "--plot", tmp_path / "x.png"
    )
    assert (code, out) == (2, "") and "Traceback" not in err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bad.csv"]


def test_pitch_alone_needs_links(tmp_path):
    from noseload.model.errors import ModelError
    from noseload.model.file.reader import load_vehicle

    path = tmp_path / "scale.csv"
    path.write_text(HEAD + "front_g, nose_up_pitch_deg\n1200, 1\n900, 2\n")
    with pytest.raises(ModelError, match="no links"):
        compare_bench_readings(path, bench(load_vehicle("a.toml", text=LEVEL_A)))
    assert bench(demo_vehicle()).lift is not None


def test_which_way_the_front_drags_is_read_off_the_numbers(capsys, tmp_path):
    """Geared front tyres roll on the floor as the housings turn: forward with some vehicles, back with others."""
    from dataclasses import replace

    from noseload.commands.climb.bench import _pull_words
    from noseload.studies.bench.bench import bench
    from random_vehicles import random_vehicle

    said = set()
    for seed in range(6):
        vehicle = random_vehicle(seed)
        drive = replace(vehicle.drive, driven_axles="both", front_overdrive=1.0)
        rows = bench(replace(vehicle, drive=drive), front="geared", step_n_mm=1500.0).rows
        most = max((row for row in rows if row.front_traction_n is not None), key=lambda row: abs(row.front_traction_n))
        words, pull = _pull_words(most), most.front_traction_n
        assert ("tyres forward" in words and "holds the vehicle back" in words) == (pull >= 0.05)
        assert ("tyres back" in words and "holds the vehicle forward" in words) == (pull <= -0.05)
        assert f"{abs(pull):.1f} N" in words
        said.add(pull > 0.0)
    assert said == {True, False}
    assert main(["bench", "--front", "geared"]) == 0
    assert "The floor dr" in capsys.readouterr().out


def test_setups_are_called_as_people_read_them(capsys):
    """In the table of torques too."""
    code, out, _ = run(capsys, "--front", "free", "--setups", "base,5_mm_lower")
    assert code == 0 and "\nride height 5 mm lower  " in out and "5_mm_lower" not in out


def test_a_turn_that_is_not_found_is_told_and_costs_nothing_else(capsys, monkeypatch):
    """The search is made to fail; rows and lift are those of the same bench, and the remark has no numbers."""
    whole = bench(demo_vehicle())
    slope = HeldWheelPath._slope

    def breaks_off(self, law, point, name):
        if name == "rear_shock_travel_mm":
            raise SolverError(Status.DIVERGED, "invented")
        return slope(self, law, point, name)

    monkeypatch.setattr(HeldWheelPath, "_slope", breaks_off)
    found = bench(demo_vehicle())
    assert found.status == "ok" and found.rows == whole.rows and found.lift == whole.lift
    assert ("rear_shock_travel_mm", None, None) in found.turns
    assert [turn for turn in found.turns if turn[1]] == [t for t in whole.turns if t[0] != "rear_shock_travel_mm"]
    assert {"key": "rear_shock_travel_mm", "torque_n_mm": None, "value": None} in found.to_dict()["turns"]
    code, out, _ = run(capsys, "--front", "free")
    assert code == 0 and "the rear shock turns back, and where was not found." in out
