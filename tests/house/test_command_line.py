"""The command line as a user meets it: exit codes, documents, messages, files complete or not at all."""

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest

from noseload.__main__ import COMMANDS, main
from noseload.documents import csv_text, finite_option, grade, json_text, load, table
from noseload.output import write_whole

CHECK = str(Path(__file__).parents[1] / "data" / "check.toml")
SETUPS = """
[setups.raised]
"rear.upper_link.axle_end_mm" = [6, 100]
"rear.upper_link.chassis_end_mm" = [100, 76]
"""
CREEP_KEYS = {
    "setup",
    "grade_deg",
    "rear_load_n",
    "front_load_n",
    "rear_traction_n",
    "front_traction_n",
    "nose_up_pitch_deg",
    "rear_lower_link_n",
    "rear_upper_link_n",
    "front_lower_link_n",
    "front_upper_link_n",
    "rear_shock_travel_mm",
    "front_shock_travel_mm",
    "grip_needed",
    "wheel_torque_n_mm",
    "budget",
    "status",
}
LIMIT_KEYS = {
    "tip_over_grade_deg",
    "grip_grade_deg",
    "torque_grade_deg",
    "hold_grade_deg",
    "fold_grade_deg",
    "folds",
    "steepest_equilibrium_deg",
    "tip_over_downhill_grade_deg",
    "fold_downhill_grade_deg",
    "first",
}
HELP_LINES = 40
"""One screen."""


@pytest.fixture
def two_setups(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(Path(CHECK).read_text() + SETUPS)
    return str(path)


def run(capsys, *arguments):
    code = main([str(a) for a in arguments])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def strict(text):
    def refuse(word):
        raise ValueError(f"{word} is not strict JSON")

    return json.loads(text, parse_constant=refuse)


def test_creep_document_keeps_the_agreed_keys(capsys):
    code, out, err = run(capsys, "creep", CHECK, "--grade", 35, "--json")
    body = strict(out)
    assert (code, err) == (0, "")
    assert set(body) >= CREEP_KEYS | {"schema", "command", "made_by"}
    assert (body["schema"], body["command"], body["status"]) == (1, "creep", "ok")
    assert body["traction_model"] == "zero_speed_limit"
    assert len(body["made_by"]["vehicles"][0]["sha256"]) == 64
    assert sum(body["budget"].values()) == pytest.approx(body["front_load_n"], abs=1e-8)


def test_creep_past_tip_over_prints_nulls_and_exits_3(capsys):
    code, out, _ = run(capsys, "creep", CHECK, "--grade", 80, "--json")
    body = strict(out)
    assert (code, body["status"], body["front_load_n"]) == (3, "beyond_tip_over", None)
    assert set(body["budget"].values()) == {None}


def test_sweep_document_and_csv(capsys, tmp_path):
    code, out, _ = run(capsys, "sweep", CHECK, "--step", 10, "--json", "--csv", tmp_path / "rows.csv")
    body = strict(out)
    assert code == 0
    assert set(body["limits"]) == LIMIT_KEYS
    assert [row["grade_deg"] for row in body["rows"][:3]] == [0.0, 10.0, 20.0]
    with open(tmp_path / "rows.csv", newline="") as file:
        rows = list(csv.DictReader(file))
    assert float(rows[1]["budget_grade_n"]) == body["rows"][1]["budget"]["grade_n"]
    assert len(rows) == len(body["rows"])


def test_sweep_beyond_tip_over_keeps_marked_rows(capsys):
    code, out, _ = run(capsys, "sweep", CHECK, "--from", 50, "--to", 70, "--step", 10, "--json")
    rows = strict(out)["rows"]
    assert code == 0
    assert [row["status"] for row in rows] == ["ok", "beyond_tip_over", "beyond_tip_over"]
    assert rows[2]["front_load_n"] is None


def test_drive_overrides_the_file(capsys):
    _, out, _ = run(capsys, "creep", CHECK, "--grade", 20, "--drive", "rear", "--json")
    assert strict(out)["front_traction_n"] == 0.0


@pytest.mark.slow
def test_compare_document_text_and_pictures(capsys, two_setups, tmp_path):
    code, out, _ = run(capsys, "compare", two_setups, "--json")
    body = strict(out)
    assert code == 0
    assert [s["setup"] for s in body["setups"]] == ["base", "raised"]
    difference = body["differences"][0]
    assert difference["tip_over_grade_deg"] == pytest.approx(-0.84, abs=0.05)
    assert sum(difference["budget"].values()) == pytest.approx(difference["front_load_n"], abs=1e-9)
    code, out, _ = run(capsys, "compare", two_setups, "--grade", 50, "--all", "--pictures", tmp_path / "pictures")
    assert code == 0
    assert "Calculated for this vehicle as measured, plane slope, steady crawl at 50 deg: raised changes" in out
    assert "earlier" in out and "Compared with the default thresholds: measurable beyond 10 g and 0.6 deg" in out
    for name in ("front-load.png", "poses.png", "differences.png"):
        assert (tmp_path / "pictures" / name).read_bytes().startswith(b"\x89PNG")


def test_compare_never_uses_forbidden_words(capsys, two_setups):
    _, out, _ = run(capsys, "compare", two_setups)
    for word in ("proves", "debunks", "wins", "no difference", "safe", "works on rock"):
        assert word not in out.lower()


def test_compare_needs_two(capsys):
    code, out, err = run(capsys, "compare", CHECK)
    assert (code, out) == (2, "")
    assert "[setups.NAME]" in err


def test_compare_files_against_the_first(capsys):
    raised = str(Path(CHECK).with_name("check-raised.toml"))
    code, out, _ = run(capsys, "compare", CHECK, raised, "--json")
    body = strict(out)
    assert code == 0
    assert [s["setup"] for s in body["setups"]] == ["check", "check-raised"]
    # The independent results' tip-over grades: 56.780441 less 57.651166 deg.
    assert body["differences"][0]["tip_over_grade_deg"] == pytest.approx(56.78044101 - 57.65116553, abs=2e-5)


def test_describe_text_document_and_portrait(capsys, tmp_path):
    code, out, _ = run(capsys, "describe", CHECK, "--plot", tmp_path / "portrait.svg")
    assert code == 0
    assert "check these before you trust the results" in out and "assumed (the file does not say)" in out
    assert (tmp_path / "portrait.svg").read_text().lstrip().startswith("<?xml")
    _, out, _ = run(capsys, "describe", CHECK, "--json")
    body = strict(out)
    assert body["assumed"][0]["key"] == "drive.drag_brake_torque_n_mm"
    assert body["modes"]["stable"] is True


@pytest.mark.slow
@pytest.mark.parametrize("suffix, start", [("png", b"\x89PNG"), ("svg", b"<?xml"), ("pdf", b"%PDF")])
def test_plots_by_suffix(capsys, tmp_path, suffix, start):
    path = tmp_path / f"creep.{suffix}"
    code, _, _ = run(capsys, "creep", CHECK, "--grade", 30, "--plot", path)
    assert code == 0 and path.read_bytes().startswith(start)
    run(capsys, "sweep", CHECK, "--step", 10, "--plot", path)
    assert path.read_bytes().startswith(start)


@pytest.mark.slow
def test_pictures_are_the_same_twice(capsys, tmp_path):
    for name in ("a.svg", "b.svg"):
        run(capsys, "sweep", CHECK, "--step", 10, "--plot", tmp_path / name)
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_bad_input_exits_2_with_empty_standard_output(capsys, tmp_path):
    cases = [
        (("creep", CHECK), "--grade"),
        (("creep", CHECK, "--grade", "steep"), "'steep' is not a number"),
        (("creep", CHECK, "--grade", "95"), "from -89 to 89"),
        (("creep", tmp_path / "missing.toml", "--grade", "30"), "missing.toml"),
        (("creep", CHECK, "--grade", "30", "--setup", "raisd"), "raisd"),
        (("creep", CHECK, "--grade", "30", "--plot", "x.bmp"), ".png, .svg or .pdf"),
        (("creep", CHECK, "--grade", "30", "--csv", tmp_path / "no" / "x.csv"), "x.csv"),
        (("crep", CHECK), "Did you mean 'creep'?"),
        (("sweep", CHECK, "--from", "30", "--to", "10"), "runs backwards"),
    ]
    for arguments, expected in cases:
        code, out, err = run(capsys, *arguments)
        assert (code, out) == (2, ""), arguments
        assert expected in err and "Traceback" not in err, (arguments, err)


def test_without_arguments_the_commands_are_listed(capsys):
    code, out, _ = run(capsys)
    assert code == 2
    code, out, _ = run(capsys, "--help")
    assert code == 0
    assert all(f"  {name} " in out for name in COMMANDS)
    code, out, _ = run(capsys, "--version")
    assert (code, out.split()[0]) == (0, "noseload")


@pytest.mark.parametrize("name", COMMANDS)
def test_help_fits_one_screen_with_an_example(capsys, name):
    code, out, _ = run(capsys, name, "--help")
    assert code == 0
    assert out.count("\n") <= HELP_LINES
    assert f"example: noseload {name}" in out


def test_ctrl_c_is_130(capsys, monkeypatch):
    def interrupted(_):
        raise KeyboardInterrupt

    monkeypatch.setattr("noseload.commands.climb.creep.load_chosen", interrupted)
    code, _, err = run(capsys, "creep", CHECK, "--grade", 30)
    assert code == 130 and "interrupted" in err


def test_both_doors_are_the_same_program():
    done = subprocess.run(
        [sys.executable, "-m", "noseload", "creep", CHECK, "--grade", "35"],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    assert "644 g (6.31 N)" in done.stdout.split("front axle load  ")[1].splitlines()[0]


def test_short_commands_import_neither_sympy_nor_scipy_nor_matplotlib():
    program = (
        "import sys; from noseload.__main__ import main; "
        f"main(['creep', {CHECK!r}, '--grade', '35', '--json']); "
        "heavy = {'sympy', 'scipy', 'matplotlib'} & set(sys.modules); "
        "sys.stderr.write('imports:' + ','.join(sorted(heavy)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2]
    )
    assert done.stderr == "imports:"


@pytest.mark.parametrize("command", ["sweep", "compare", "describe"])
def test_ordinary_commands_do_not_import_sympy(command, two_setups):
    program = (
        "import sys; from noseload.__main__ import main; "
        f"main([{command!r}, {two_setups!r}]); "
        "sys.stderr.write(str('sympy' in sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2]
    )
    assert done.stderr == "False"


@pytest.mark.parametrize("command", ["creep --grade 35", "sweep", "compare --setups base,raised_rear_upper_mount"])
def test_a_crawl_does_not_load_the_kernels_of_motion(command):
    """A list of assumed values once brought the batch of punches into every start of `creep`; intervals need the batch of creeps."""
    unwanted = "array_motion" if command.startswith("compare") else "array"
    program = (
        "import sys; from noseload.__main__ import main; "
        f"main({command.split()!r}); "
        f"sys.stderr.write(','.join(sorted(m for m in sys.modules if 'punch' in m or m.startswith('noseload.model.generated.{unwanted}'))))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2]
    )
    assert done.stderr == ""


def test_files_appear_whole_or_not_at_all(tmp_path):
    target = tmp_path / "kept.txt"
    write_whole(target, "old")
    with pytest.raises(TypeError):
        write_whole(target, None)
    assert target.read_text() == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["kept.txt"]


def test_documents_in_small():
    assert strict(json_text({"x": float("nan"), "y": [1.0, float("inf")]})) == {"x": None, "y": [1.0, None]}
    assert csv_text([{"a": 1.5, "budget": {"grade_n": None}}]) == "a,budget_grade_n\n1.5,\n"
    assert load(9.80665) == "1000 g (9.81 N)" and load(None) == "-"
    assert grade(45.0) == "45.00 deg (100 %)" and grade(None) == "-"
    assert table(("a", "b"), [("x", "10"), ("long", "2")]).splitlines()[2] == "x     10"
    with pytest.raises(Exception, match="of 0 or more"):
        finite_option("a step", 0.0)("-1")
