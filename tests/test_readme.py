"""The README's promises: its snippet runs, its commands are those that CI runs."""

import re
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", README, flags=re.S)


def test_snippets_run(capsys, monkeypatch):
    """Those about readings find the example files in their folder."""
    monkeypatch.chdir(ROOT / "scenarios" / "demo" / "readings")
    first, *others = blocks("python")
    exec(compile(first, "README.md", "exec"), {})
    out = capsys.readouterr().out
    assert out.startswith("Creep(base, 45 deg: front ")
    assert "tip-over" in out
    assert len(first.strip().splitlines()) <= 7
    for snippet in others:
        exec(compile(snippet, "README.md", "exec"), {})
        assert capsys.readouterr().out


def test_setup_lines_are_a_valid_setup():
    from model.vehicle_file import load_vehicle

    (lines,) = blocks("toml")
    text = (Path(__file__).parent / "data" / "check.toml").read_text() + "\n" + lines
    assert load_vehicle("readme.toml", text=text, setup="raised").setup == "raised"


def test_ci_runs_the_readme_test_command():
    (command,) = [block.strip() for block in blocks("sh") if "pytest" in block]
    assert "\n" not in command
    assert "README.md" in (ROOT / ".ci" / "run").read_text()


def test_every_command_named_exists():
    from scenarios.__main__ import COMMANDS

    named = set(re.findall(r"`noseload ([a-z]+)", README))
    assert named <= set(COMMANDS), named - set(COMMANDS)


def test_quoted_verdict_is_what_the_demo_says():
    from scenarios import compare, demo_vehicle

    result = compare([demo_vehicle(), demo_vehicle(setup="raised_rear_upper_mount")])
    (quoted,) = blocks("text")
    assert " ".join(quoted.split()) in result.differences[0].load_verdict


def shown_runs(fence):
    """Every `$ noseload ...` of the README's fences of that name, with the output shown below it."""
    runs = []
    for block in re.findall(rf"```{fence}\n(.*?)```", README, flags=re.S):
        for part in re.split(r"^\$ noseload ", block, flags=re.M)[1:]:
            command, _, shown = part.partition("\n")
            runs.append((command.split("  #")[0].strip(), shown))
    return runs


def check_shown(command, shown, folder, monkeypatch, capsys):
    """Run it on the demo vehicle as `my-crawler.toml`; `...` alone in a line stands for any lines."""
    from scenarios.__main__ import main
    from scenarios.demo import DEMO

    shutil.copy(DEMO, folder / "my-crawler.toml")
    for file in (ROOT / "scenarios" / "demo" / "readings").iterdir():
        shutil.copy(file, folder)
    monkeypatch.chdir(folder)
    assert main(command.split()) == 0, capsys.readouterr().err
    out = capsys.readouterr().out
    position = 0
    for piece in re.split(r"^\.\.\.\n", shown, flags=re.M):
        found = out.find(piece, position)
        assert found >= 0, f"`noseload {command}` no longer prints\n{piece}\nbut\n{out}"
        position = found + len(piece)


@pytest.mark.parametrize("command, shown", shown_runs("console"))
def test_shown_output_is_what_the_command_prints(command, shown, tmp_path, monkeypatch, capsys):
    check_shown(command, shown, tmp_path, monkeypatch, capsys)


@pytest.mark.slow
@pytest.mark.parametrize("command, shown", shown_runs("console slow"))
def test_shown_output_of_long_work(command, shown, tmp_path, monkeypatch, capsys):
    check_shown(command, shown, tmp_path, monkeypatch, capsys)
