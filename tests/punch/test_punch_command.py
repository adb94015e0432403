"""`noseload punch` as a user runs it: documents, files, pictures, exit codes."""

import csv
import json
from pathlib import Path

import pytest

from noseload.__main__ import main
from noseload.pictures.punch.punch import plot_loads
from noseload.studies.punch.punch import punch

CHECK = str(Path(__file__).parents[1] / "data" / "check.toml")


def run(capsys, *arguments):
    code = main(["punch", CHECK, *arguments])
    return code, *capsys.readouterr()


@pytest.mark.slow
def test_json_document_and_files(capsys, tmp_path):
    table, picture = tmp_path / "punch.csv", tmp_path / "punch.png"
    code, out, err = run(
        capsys, "--grade", "20", "--duration", "0.3", "--json", "--csv", str(table), "--plot", str(picture)
    )
    document = json.loads(out)
    assert code == 0 and err == "" and document["command"] == "punch" and document["schema"] == 1
    assert len(document["time_s"]) == 301 and document["made_by"]["options"]["throttle"] == 1.0
    rows = list(csv.DictReader(table.read_text().splitlines()))
    assert len(rows) == 301 and float(rows[0]["budget_standing_n"]) == pytest.approx(
        document["budget"]["standing_n"][0]
    )
    assert picture.stat().st_size > 10_000


@pytest.mark.slow
def test_text_says_what_happens(capsys):
    code, out, _ = run(capsys, "--grade", "35", "--duration", "0.5", "--slip-and-catch", "0.5")
    assert code == 0
    for words in (
        "front axle load at the start",
        "wheel angular acceleration",
        "how it ends",
        "energy balance closed",
        " g (",
        "N)",
    ):
        assert words in out


def test_start_that_cannot_be_held_exits_3(capsys, tmp_path):
    table = tmp_path / "none.csv"
    code, out, _ = run(capsys, "--grade", "50", "--drive", "front", "--json", "--csv", str(table))
    document = json.loads(out)
    assert code == 3 and document["status"] == "start_not_held" and document["start"]["grip_needed"] > 2.0
    assert not table.exists()
    code, out, _ = run(capsys, "--grade", "50", "--drive", "front")
    assert code == 3 and "start_not_held" in out and "times the grip" in out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--grade", "95"), "outside what a grade can be"),
        (("--grade", "10", "--program", "zoom"), "must be one of ramp"),
        (("--grade", "10", "--program", "none.csv"), "cannot be read"),
        (("--grade", "10", "--plot", "x.gif"), "must end in"),
        (("--grade", "10", "--duration", "0"), "outside what"),
    ],
)
def test_bad_usage_exits_2(capsys, arguments, message):
    code, out, err = run(capsys, *arguments)
    assert code == 2 and out == "" and message in err


@pytest.mark.slow
def test_programs_from_files(capsys, tmp_path):
    throttle, grip = tmp_path / "throttle.csv", tmp_path / "grip.csv"
    throttle.write_text("time_s,throttle\n0.1,0.3\n0.2,0.9\n")
    grip.write_text("time_s,grip_factor\n0.0,1\n0.2,1\n0.2,0.5\n")
    code, out, _ = run(
        capsys,
        "--grade",
        "10",
        "--duration",
        "0.3",
        "--program",
        str(throttle),
        "--grip-program",
        str(grip),
        "--json",
        "--tight",
    )
    document = json.loads(out)
    assert code == 0 and document["throttle"][200] == pytest.approx(0.9)


def test_several_punches_in_one_picture():
    from noseload.model.file.reader import load_vehicle

    results = [
        punch(load_vehicle(CHECK, drive=drive), grade_deg=10.0, duration_s=0.3, outcome=False)
        for drive in ("both", "rear")
    ]
    assert len(plot_loads(results).lines) >= 2
