"""What options take and how their faults are answered; what stands above and below the output of every command."""

import json
from importlib import import_module
from math import atan, degrees
from pathlib import Path

import pytest

from noseload.__main__ import COMMANDS, main
from noseload.commands.doubts import shortened
from noseload.commands.next_steps import NEXT, next_line
from noseload.commands.parser import Parser
from noseload.demo import DEMO
from noseload.documents import grade_option
from noseload.model.file.template import vehicle_template


def run(capsys, *arguments):
    code = main([str(argument) for argument in arguments])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def odd_file(tmp_path, name="odd.toml"):
    """The demo with a spring read in g/mm and four more odd numbers."""
    text = Path(DEMO).read_text(encoding="utf-8").partition("[setups.")[0]
    text = text.replace("spring_rate_n_per_mm = 0.40", "spring_rate_n_per_mm = 40")
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_grades_in_percent(capsys):
    """45 % is atan(0.45) = 24.23 deg."""
    assert grade_option(-89, 89)("45%") == pytest.approx(degrees(atan(0.45)), abs=1e-12)
    assert grade_option(-89, 89)("-100 %") == pytest.approx(-45.0)
    code, out, _ = run(capsys, "creep", "--grade", "45%", "--json")
    assert code == 0 and json.loads(out)["grade_deg"] == pytest.approx(24.2277, abs=1e-4)
    code, _, err = run(capsys, "creep", "--grade", "steep%")
    assert code == 2 and "'steep' is not a number for a grade in percent" in err
    code, _, err = run(capsys, "creep", "--grade", "9000%")
    assert code == 2 and "from -89 to 89" in err


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (("creep", "--grade", 30, "--setpu", "x"), "did you mean --setup?"),
        (("creep", "--grad", 30), "are required: --grade; did you mean --grade?"),
        (("compare", "--repeatabilty", 3, 3), "did you mean --repeatability?"),
        (("rank", "--by", "frontload"), "did you mean front-load?"),
        (("trial", "plan", "--minuts", 30), "did you mean --minutes?"),
    ],
)
def test_misspelt_options_are_answered(capsys, arguments, hint):
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "") and hint in err


def test_doubts_stand_above_every_command(capsys, tmp_path):
    """One line each, first of all; not in documents, and nothing where the input is bad."""
    path = odd_file(tmp_path)
    for command in (("creep", path, "--grade", 20), ("links", path), ("sweep", path, "--step", 20)):
        code, out, _ = run(capsys, *command)
        first = out.splitlines()[0]
        assert code == 0 and first.startswith("doubt: rear.shock.spring_rate_n_per_mm = 40 N/mm is unusual"), command
        assert "g/mm off a kitchen scale? 40 g/mm are 0.3923 N/mm" in first
    _, out, _ = run(capsys, "creep", path, "--grade", 20, "--json")
    assert json.loads(out)["grade_deg"] == 20.0
    code, out, _ = run(capsys, "creep", path, "--grade", 20, "--setup", "none")
    assert (code, out) == (2, "")
    _, out, _ = run(capsys, "creep", "--grade", 20)
    assert "doubt" not in out


def test_a_vehicle_that_does_not_stand_is_told_its_doubts_first(capsys, tmp_path):
    """Centimetres in one link end: what `describe` doubts is the cause, so it stands above the failure."""
    path = tmp_path / "cm.toml"
    text = vehicle_template("B")
    assert "chassis_end_mm = [116, 36, 59]" in text
    path.write_text(text.replace("chassis_end_mm = [116, 36, 59]", "chassis_end_mm = [11.6, 3.6, 5.9]"))
    for more in ((), ("--json",)):
        code, _, err = run(capsys, "creep", path, "--grade", 30, *more)
        first, *others = err.splitlines()
        assert code == 3 and first.startswith("doubt: rear.lower_link.chassis_end_mm = [11.6, 5.9] mm")
        assert "centimetres?" in first and "does not stand" in others[-1]


def test_describe_has_doubts_at_its_top(capsys, tmp_path):
    _, out, _ = run(capsys, "describe", odd_file(tmp_path))
    assert out.splitlines()[1].startswith("doubt: rear.shock.spring_rate_n_per_mm")


def test_long_doubts_are_cut_at_a_word():
    assert shortened("a b; " + "c" * 200) == "a b"
    cut = shortened("word " * 60)
    assert len(cut) <= 150 and cut.endswith("word ...")


@pytest.mark.parametrize("command", NEXT)
def test_next_steps_are_commands_that_there_are(command, tmp_path, capsys):
    """`doubts` once sent to `sheet my.toml`, which takes no file: every step is read by the parser of its command."""
    step = next_line(command, [str(DEMO)]).split("    ")[0].rpartition("noseload ")[2].split()
    if step[-1] == "--help" or step[0] == str(DEMO):
        return
    module = import_module(f"noseload.commands.{COMMANDS[step[0]][0]}.{step[0]}")
    parser = Parser(prog=step[0])
    module.add_arguments(parser)
    parser.parse_args(step[1:])


def test_next_steps_can_be_pasted(capsys, tmp_path):
    """A file name with a blank is quoted, and a new file is named."""
    assert (
        next_line("creep", ["my file.toml"])
        == "next: noseload sweep 'my file.toml'    (over all grades, with the limits)"
    )
    path = tmp_path / "mine.toml"
    _, out, _ = run(capsys, "new", "--level", "A", path)
    assert f"next: noseload describe {path}" in out
