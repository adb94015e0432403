"""The README's promises: its snippet runs, its commands are those that CI runs."""

import re
from pathlib import Path

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
