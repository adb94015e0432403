"""What README and guide promise: snippets run, commands are those that CI runs, output and pictures are as shown."""

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import guide
from noseload.demo import DEMO
from noseload.model.file.reader import load_vehicle
from noseload.studies.levers import rank as study

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
LONGEST_README = 150
"""Lines: one sitting."""
PICTURE_SIZE = 0.02
"""A border cut close to the words moves with their width."""
PICTURE_LEVELS = 1.0
"""Mean difference of grey, of 255; half a degree of grade changes the picture of the punch by 3.9."""


def run_snippet(snippet, folder, monkeypatch, capsys):
    """It runs beside the demo vehicle and its readings, and prints; returns what."""
    guide.fill(folder)
    monkeypatch.chdir(folder)
    exec(compile(snippet, "guide", "exec"), {"__name__": "guide"})
    out = capsys.readouterr().out
    assert out
    return out


def snippets():
    """Snippets of all pages; those that run a map are slow."""
    return [
        pytest.param(snippet, marks=[pytest.mark.slow] * ("punch_map(" in snippet))
        for snippet in guide.blocks("python")
    ]


@pytest.mark.parametrize("snippet", snippets())
def test_snippets_run(snippet, tmp_path, monkeypatch, capsys):
    out = run_snippet(snippet, tmp_path, monkeypatch, capsys)
    if "Creep(" in out:
        assert out.startswith("Creep(base, 45 deg: front ")
        assert "tip-over" in out
        assert len(snippet.strip().splitlines()) <= 7


@pytest.mark.slow
def test_snippet_for_a_distributed_engine(tmp_path, monkeypatch, capsys):
    pytest.importorskip("distributed", reason="distributed is an optional extra and is not installed")
    (snippet,) = guide.blocks("python distributed")
    assert "PunchMap" in run_snippet(snippet, tmp_path, monkeypatch, capsys)


def toml_lines(table):
    """The block of lines to add to a file that begins with a table of that kind."""
    (lines,) = [block for block in guide.blocks("toml") if block.startswith(f"[{table}.")]
    return lines


def test_setup_lines_are_a_valid_setup():
    text = (Path(__file__).parents[1] / "data" / "check.toml").read_text() + "\n" + toml_lines("setups")
    assert load_vehicle("readme.toml", text=text, setup="raised").setup == "raised"


@pytest.mark.slow
def test_change_lines_are_valid_changes(monkeypatch):
    """Each is taken in and solved: none is without a place in the ranked list."""
    monkeypatch.setattr(study, "ready_vehicles", lambda vehicle: ())
    lines = toml_lines("changes")
    ranked = study.rank(
        load_vehicle("readme.toml", text=Path(DEMO).read_text(encoding="utf-8") + "\n" + lines), grade_deg=45
    )
    names = re.findall(r"^\[changes\.(\w+)\]", lines, flags=re.M)
    found = {change.name: change for change in ranked.changes if change.name in names}
    assert len(names) >= 6 and set(found) == set(names)
    assert all(change.status == "ok" and change.effects["tip_over_grade_deg"] for change in found.values())


def test_options_named_exist():
    """Every `--option` in the text is one of some command."""
    sources = [path.read_text(encoding="utf-8") for path in (ROOT / "scenarios" / "commands").rglob("*.py")]
    accepted = set(re.findall(r'"(--[a-z][a-z-]+)"', "\n".join(sources))) | {"--help"}
    for page in guide.PAGES:
        text = re.sub(r"```(?:sh|bat)\n.*?```", "", page.read_text(encoding="utf-8"), flags=re.S)
        named = set(re.findall(r"(?<![-\w])--[a-z][a-z-]+", text))
        assert named <= accepted, named - accepted


def test_ci_runs_the_readme_test_command():
    (command,) = [block.strip() for block in guide.blocks("sh") if "pytest" in block]
    assert "\n" not in command
    assert "README.md" in (ROOT / ".ci" / "run").read_text()


def test_every_command_named_exists():
    from noseload.__main__ import COMMANDS

    for page in guide.PAGES:
        named = set(re.findall(r"`noseload ([a-z]+)", page.read_text(encoding="utf-8")))
        assert named <= set(COMMANDS), (page.name, named - set(COMMANDS))


def check_shown(shown, folder):
    """It prints what each page shows, refused commands their message, and draws the pictures that pages show."""
    first = shown.places[0]
    code, out, errors = guide.run_shown(first, folder)
    assert code == (2 if first.fails else 0), errors
    for place in shown.places:
        said, position = words_of(errors if place.fails else out), 0
        for piece in re.split(r"^\.\.\.\n", place.output, flags=re.M):
            piece = words_of(piece)
            found = said.find(piece, position)
            assert found >= 0, f"{place} no longer prints\n{piece}\nbut\n{said}"
            position = found + len(piece)
    for made, kept in guide.pictures_made(folder):
        check_picture(made, kept)


def words_of(text):
    """Words and numbers of a text, line by line: columns may be padded otherwise, rules drawn longer."""
    return re.sub(r"-{3,}", "---", re.sub(r"[ \t]+", " ", re.sub(r"^[ \t]+|[ \t]+$", "", text, flags=re.M)))


def check_picture(made, kept):
    """Same size, and the same picture but for how letters are set by another version of the drawing library."""
    if made.read_bytes() == kept.read_bytes():
        return
    new, old = (np.asarray(Image.open(path).convert("L"), dtype=float) for path in (made, kept))
    assert np.allclose(new.shape, old.shape, rtol=PICTURE_SIZE), f"{kept.name}: remake it by `python tests/guide.py`"
    height, width = (min(a, b) for a, b in zip(new.shape, old.shape, strict=True))
    difference = np.abs(new[:height, :width] - old[:height, :width]).mean()
    assert difference < PICTURE_LEVELS, (
        f"{kept.name} has changed by {difference:.1f}: `python tests/guide.py` remakes it"
    )


@pytest.mark.usefixtures("drawn_letters")
@pytest.mark.parametrize("shown", [shown for shown in guide.shown_commands() if not shown.slow], ids=str)
def test_shown_output_is_what_the_command_prints(shown, tmp_path):
    check_shown(shown, tmp_path)


@pytest.mark.slow
@pytest.mark.usefixtures("drawn_letters")
@pytest.mark.parametrize("shown", [shown for shown in guide.shown_commands() if shown.slow], ids=str)
def test_shown_output_of_long_work(shown, tmp_path):
    check_shown(shown, tmp_path)


def test_front_page_is_short_and_ends_in_the_guide():
    """One page to read; every page of the guide is reached from it."""
    assert len(README.splitlines()) <= LONGEST_README
    linked = set(re.findall(r"\]\((notebooks/[^)#]+\.(?:md|ipynb))", README))
    assert linked == {
        f"notebooks/{path.name}" for path in (ROOT / "notebooks").iterdir() if path.suffix in {".md", ".ipynb"}
    }


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
    from noseload.__main__ import COMMANDS

    firsts = {run.command.split()[0] for run in guide.shown_runs()}
    # A vehicle file in place of a command is its overview.
    shown = {"overview" if word.endswith(".toml") else word for word in firsts}
    assert set(COMMANDS) - shown == {"explore"}, "a window: it prints nothing"


@pytest.mark.parametrize("page", guide.PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page):
    for link in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
        assert (page.parent / link).exists(), link


def test_the_front_page_and_the_contributors_page_stay_short():
    """A front page is read, a manual is looked up."""
    assert len((ROOT / "README.md").read_text(encoding="utf-8").splitlines()) <= 150
    assert len((ROOT / "DEVELOPERS.md").read_bytes()) <= 9_000
