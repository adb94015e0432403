"""What README and guide promise: snippets run, commands are those that CI runs, output and pictures are as shown."""

import re
from pathlib import Path

import guide
import numpy as np
import pytest
from PIL import Image

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PICTURE_SIZE = 0.02
"""A border cut close to the words moves with their width."""
PICTURE_LEVELS = 1.0
"""Mean difference of grey, of 255; half a degree of grade changes the picture of the punch by 3.9."""


def blocks(language, text=README):
    return re.findall(rf"```{language}\n(.*?)```", text, flags=re.S)


def test_snippets_run(capsys, monkeypatch):
    """Those about readings find the example files in their folder."""
    monkeypatch.chdir(ROOT / "scenarios" / "demo" / "readings")
    first, *others = [block for page in guide.PAGES for block in blocks("python", page.read_text(encoding="utf-8"))]
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


def check_shown(run, folder):
    """It prints what the page shows, and draws the pictures that the page shows."""
    code, out, errors = guide.run_shown(run, folder)
    assert code == 0, errors
    position = 0
    for piece in re.split(r"^\.\.\.\n", run.output, flags=re.M):
        found = out.find(piece, position)
        assert found >= 0, f"`noseload {run.command}` no longer prints\n{piece}\nbut\n{out}"
        position = found + len(piece)
    for made, kept in guide.pictures_made(folder):
        check_picture(made, kept)


def check_picture(made, kept):
    """Same size, and the same picture but for how letters are set by another version of the drawing library."""
    new, old = (np.asarray(Image.open(path).convert("L"), dtype=float) for path in (made, kept))
    assert np.allclose(new.shape, old.shape, rtol=PICTURE_SIZE), f"{kept.name}: remake it by `python tests/guide.py`"
    height, width = (min(a, b) for a, b in zip(new.shape, old.shape, strict=True))
    difference = np.abs(new[:height, :width] - old[:height, :width]).mean()
    assert difference < PICTURE_LEVELS, f"{kept.name} has changed by {difference:.1f}: `python tests/guide.py` remakes it"


@pytest.mark.parametrize("run", [run for run in guide.shown_runs() if not run.slow], ids=str)
def test_shown_output_is_what_the_command_prints(run, tmp_path):
    check_shown(run, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("run", [run for run in guide.shown_runs() if run.slow], ids=str)
def test_shown_output_of_long_work(run, tmp_path):
    check_shown(run, tmp_path)


def test_every_picture_shown_is_made_by_a_command_shown():
    commands = [run.command for run in guide.shown_runs()]
    for name in guide.pictures_of_pages():
        assert (guide.PICTURES / name).is_file(), name
        folder, _, file = name.removeprefix("figures/").rpartition("/")
        wanted = f"--pictures {folder}" if folder else rf"--(plot|out) {re.escape(file)}"
        assert any(re.search(rf"{wanted}( |$)", command) for command in commands), f"no shown command makes {name}"
    kept = {path.relative_to(guide.PICTURES).as_posix() for path in guide.PICTURES.rglob("*.png")}
    assert kept == set(guide.pictures_of_pages()), "pictures that no page shows"


def test_every_command_shows_its_output():
    from scenarios.__main__ import COMMANDS

    shown = {run.command.split()[0] for run in guide.shown_runs() if run.page == "README.md"}
    assert set(COMMANDS) - shown == {"explore"}, "a window: it prints nothing"


@pytest.mark.parametrize("page", guide.PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page):
    for link in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
        assert (page.parent / link).exists(), link
