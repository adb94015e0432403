"""weigh, measure, sheet and readings from the command line: output, files complete or not at all, exit codes."""

import json
import tomllib
from pathlib import Path

import pytest

from noseload.__main__ import main
from noseload.commands.measuring.output import demo_readings, lines_text, write_lines
from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.model.file.keys import KEYS
from noseload.model.file.reader import load_vehicle
from noseload.pictures.measuring.sheet import draw_sheet_page, save_sheet
from noseload.studies.measuring.measurements import WHAT
from noseload.studies.measuring.sheet import sheet_pages

EITHER_OR = {"body.mass_g", "body.centre_of_gravity_mm"} | {key for key in KEYS if key.endswith("radius_mm")}
"""Keys that have an alternative on the sheet: [weighed] for [body], loaded for free radius, both axles for each."""


def run(capsys, *arguments):
    code = main([str(argument) for argument in arguments])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


@pytest.mark.parametrize(
    "arguments", [("weigh",), *(("measure", what) for what in WHAT), ("readings",), ("readings", "--log")]
)
def test_json_is_one_strict_document(capsys, arguments):
    def refuse(word):
        raise AssertionError(word)

    code, out, err = run(capsys, *arguments, "--json")
    document = json.loads(out, parse_constant=refuse)
    assert code == 0 and not err
    assert document["schema"] == 1 and document["command"] == arguments[0] and document["status"]
    assert document["made_by"]["program"] == "noseload"


@pytest.mark.parametrize(
    "arguments", [("weigh",), *(("measure", what) for what in WHAT), ("readings", "--fit", "cg_height")]
)
def test_text_holds_estimates_and_lines(capsys, arguments):
    code, out, _ = run(capsys, *arguments)
    assert code == 0
    assert "+-" in out and "±" not in out and "lines for the vehicle file:" in out


@pytest.mark.parametrize("arguments", [("weigh", "--recipe"), *(("measure", what, "--recipe") for what in WHAT)])
def test_recipes_carry_cautions(capsys, arguments):
    code, out, _ = run(capsys, *arguments)
    assert code == 0 and "CAUTION" in out and "column" in out and "1. " in out


@pytest.mark.parametrize("name", ["weigh", "measure", "sheet", "readings"])
def test_help_fits_one_screen_and_carries_an_example(capsys, name):
    code, out, _ = run(capsys, name, "--help")
    assert code == 0 and f"example: noseload {name}" in out
    assert len(out.splitlines()) <= 40


@pytest.mark.parametrize(
    ("arguments", "suffix"),
    [
        (("weigh",), ".png"),
        (("measure", "damping"), ".svg"),
        pytest.param(("measure", "motor"), ".pdf", marks=pytest.mark.slow),
        (("readings",), ".svg"),
        (("readings", "--log"), ".png"),
    ],
)
@pytest.mark.usefixtures("drawn_letters")
def test_pictures_and_rows(capsys, tmp_path, arguments, suffix):
    picture, rows = tmp_path / f"p{suffix}", tmp_path / "rows.csv"
    code, _, _ = run(capsys, *arguments, "--plot", picture, "--csv", rows)
    assert code == 0 and picture.stat().st_size > 5000
    assert len(rows.read_text().splitlines()) > 5
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([picture.name, "rows.csv"])


@pytest.mark.slow
def test_into_keeps_comments(capsys, tmp_path):
    """Lines go into the file with its comments and layout; the weighed table takes the place of the body's mass."""
    path = tmp_path / "mine.toml"
    path.write_bytes(Path(DEMO).read_bytes())
    assert run(capsys, "measure", "damping", "--into", path)[0] == 0
    assert run(capsys, "weigh", "--into", path)[0] == 0
    text = path.read_text()
    assert text.startswith("# The demo vehicle of noseload")
    document = tomllib.loads(text)
    assert document["rear"]["shock"]["damping_n_s_per_m"] == pytest.approx(11, abs=4)
    assert document["weighed"]["front_g"] == pytest.approx(1513.5, abs=3) and "mass_g" not in document["body"]
    assert load_vehicle(path).mass == pytest.approx(2.750, abs=0.01)
    code, out, _ = run(capsys, "readings", demo_readings("board.csv"), path, "--fit", "cg_height", "--into", path)
    assert code == 0 and "written into" in out
    assert tomllib.loads(path.read_text())["weighed"]["centre_of_gravity_height_mm"] == pytest.approx(73.6, abs=2)


@pytest.mark.slow
def test_tipped_height_into_a_sprung_file_is_solved_back(capsys, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_bytes(Path(DEMO).read_bytes())
    code, out, _ = run(capsys, "weigh", demo_readings("weighing-by-tipping.csv"), "--into", path)
    assert code == 0 and "solved back from the tip test" in out and "may not be used to confirm" in out
    assert tomllib.loads(path.read_text())["weighed"]["centre_of_gravity_height_mm"] == pytest.approx(73.6, abs=3)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("weigh", "none.csv"), "there is no such file"),
        (("measure", "spring", "none.csv"), "there is no such file"),
        (("measure", "rotor", "--plot", "x.png"), "has no fit to draw"),
        (("weigh", "level.csv", "--plot", "x.png"), "nothing was lifted or tipped"),
        (("weigh", "--setup", "base"), "--setup names a setup of --vehicle"),
        (("weigh", "--plot", "x.bmp"), "must end in .png, .svg or .pdf"),
        (("readings", "--fit", "cg_hight"), "did you mean cg_height"),
        (("readings", "--into", "x.toml"), "name the quantities with --fit"),
        (("readings", "--log", "--fit", "cg_height"), "a time log is compared, not fitted"),
        (("sheet", "--output", "x.docx"), "is written as .pdf or .svg"),
    ],
)
def test_bad_input_writes_nothing(capsys, tmp_path, monkeypatch, arguments, message):
    """Exit 2, a message, empty standard output, and no file left behind."""
    monkeypatch.chdir(tmp_path)
    Path("level.csv").write_text(
        "# wheelbase_mm = 318\n# rear_radius_mm = 58\n# front_radius_mm = 58\nkind, front_g, rear_g\nlevel, 1500, "
        "1200\n"
    )
    code, out, err = run(capsys, *arguments)
    assert code == 2 and not out and message in err and "Traceback" not in err
    assert [path.name for path in tmp_path.iterdir()] == ["level.csv"]


def test_into_a_setup_is_refused(capsys):
    code, _, err = run(
        capsys,
        "readings",
        demo_readings("board.csv"),
        DEMO,
        "--setup",
        "raised_and_reset",
        "--fit",
        "cg_height",
        "--into",
        "x",
    )
    assert code == 2 and "fit without --setup" in err


def test_undetermined_is_exit_3(capsys, tmp_path):
    path = tmp_path / "level.csv"
    path.write_text("kind, grade_deg, scale_g, repeat\nfront_load, 0, 1512, 1\nfront_load, 0, 1513, 2\n")
    code, out, err = run(capsys, "readings", path, "--fit", "cg_height")
    assert code == 3 and not out and "cg_height" in err


def test_into_never_leaves_half_a_file(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_bytes(Path(DEMO).read_bytes())
    with pytest.raises(ModelError, match="was left as it is; with these lines it would not be valid"):
        write_lines(path, {"wheelbase_mm": -3.0})
    assert path.read_bytes() == Path(DEMO).read_bytes()
    (tmp_path / "bad.toml").write_text("= 3")
    with pytest.raises(ModelError, match="not a TOML file"):
        write_lines(tmp_path / "bad.toml", {"wheelbase_mm": 300.0})
    (tmp_path / "latin.toml").write_bytes(b"# caf\xe9\n")
    with pytest.raises(ModelError, match="not UTF-8 text"):
        write_lines(tmp_path / "latin.toml", {"wheelbase_mm": 300.0})


def test_lines_text():
    lines = {"wheelbase_mm": 318.0, "weighed.rear_g": 1236.4, "body.centre_of_gravity_mm": [178.0, 84.2]}
    assert tomllib.loads(lines_text(lines)) == {
        "wheelbase_mm": 318,
        "weighed": {"rear_g": 1236.4},
        "body": {"centre_of_gravity_mm": [178, 84.2]},
    }


@pytest.mark.parametrize("level", ["A", "B", "C"])
def test_sheet_has_a_box_for_every_number_of_its_level(level):
    boxes = {box.key for page in sheet_pages(level) for _, group in page.boxes for box in group}
    wanted = {key for key, entry in KEYS.items() if entry.level and entry.level <= level} - EITHER_OR
    assert wanted <= boxes
    assert boxes >= {"scale_gain_error_percent", "pull_gain_error_percent", "gauge_zero_error_deg"}, (
        "what every fit takes once"
    )
    assert all(page.cautions for page in sheet_pages(level))


@pytest.mark.slow
@pytest.mark.parametrize("level", ["C"])
def test_nothing_leaves_the_page(level):
    """Words and lines stay inside the margins of the A4 page."""
    pages = sheet_pages(level)
    for number, page in enumerate(pages, start=1):
        figure = draw_sheet_page(page, number, len(pages))
        renderer = figure.canvas.get_renderer()
        for text in figure.axes[0].texts:
            box = text.get_window_extent(renderer)
            assert box.x0 > 0.03 * figure.bbox.width and box.x1 < 0.97 * figure.bbox.width, text.get_text()
            assert box.y0 > 0.015 * figure.bbox.height and box.y1 < 0.99 * figure.bbox.height, text.get_text()


@pytest.mark.slow
@pytest.mark.usefixtures("drawn_letters")
def test_sheet_files(capsys, tmp_path):
    assert run(capsys, "sheet", "--output", tmp_path / "s.pdf")[0] == 0
    first = (tmp_path / "s.pdf").read_bytes()
    assert first.startswith(b"%PDF")
    save_sheet(sheet_pages("B"), tmp_path / "s.pdf")
    assert (tmp_path / "s.pdf").read_bytes() == first
    code, out, _ = run(
        capsys, "sheet", "--level", "B", "--output", tmp_path / "s.svg", "--pictures", tmp_path / "drawn"
    )
    assert code == 0 and "s-5.svg" in out
    drawn = {path.name for path in (tmp_path / "drawn").iterdir()}
    assert drawn == {"side.png", "lift.png", "links.png", "spring.png"} and all(name in out for name in drawn)
    assert (tmp_path / "s-1.svg").read_text().count("wheelbase") >= 1
    with pytest.raises(ModelError, match=r"\.pdf or \.svg"):
        save_sheet(sheet_pages("A"), tmp_path / "s.png")
