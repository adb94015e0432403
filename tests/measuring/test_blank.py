"""Empty files of readings: what they ask for, and that they are read once they are filled in."""

from pathlib import Path

import pytest

from noseload.__main__ import main
from noseload.commands.measuring.blank import blank_text
from noseload.commands.measuring.output import demo_readings
from noseload.demo import DEMO
from noseload.studies.measuring.measurements import WHAT, measurement_kind
from noseload.studies.measuring.readings import READINGS_LAYOUT
from noseload.studies.weighing.layout import WEIGH_LAYOUT


def run(capsys, *arguments):
    code = main([str(argument) for argument in arguments])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def rows_of(name):
    """Settings and rows of an example file: (name -> text, lines below its header with the header first)."""
    lines = Path(demo_readings(name)).read_text(encoding="utf-8").splitlines()
    settings = dict(line[1:].strip().split(" = ", 1) for line in lines if line.startswith("#") and " = " in line)
    return settings, [line for line in lines if not line.startswith("#")]


def test_a_filled_blank_weighs_like_the_example(capsys, tmp_path):
    """Needed settings and rows of the example written into the blank: the same numbers come out."""
    blank, example = tmp_path / "blank.csv", demo_readings("weighing.csv")
    code, out, _ = run(capsys, "weigh", "--blank", blank)
    assert code == 0 and f"next: fill it in, then: noseload weigh {blank}" in out
    code, out, err = run(capsys, "weigh", blank)
    assert (code, out) == (2, "") and "wheelbase_mm is missing" in err and "too few readings" in err
    settings, (header, *rows) = rows_of("weighing.csv")
    text = blank.read_text()
    for name in ("wheelbase_mm", "rear_radius_mm", "front_radius_mm"):
        text = text.replace(f"# {name} =\n", f"# {name} = {settings[name]}\n")
    columns = [name.strip() for name in header.split(",")]
    for row in rows:
        cells = dict(zip(columns, (cell.strip() for cell in row.split(",")), strict=True))
        text += ",".join(cells.get(column.name, "") for column in WEIGH_LAYOUT.columns) + "\n"
    blank.write_text(text)
    filled, known = (run(capsys, "weigh", file)[1].splitlines()[2:8] for file in (blank, example))
    assert filled == known


@pytest.mark.parametrize("what", WHAT)
def test_every_measurement_has_blanks(capsys, tmp_path, what):
    """One for each way of taking it, each with all columns, and read as empty without a traceback."""
    layouts = measurement_kind(what).layouts
    code, _, _ = run(capsys, "measure", what, "--blank", tmp_path / "x.csv")
    made = sorted(tmp_path.iterdir())
    assert code == 0 and len(made) == len(layouts)
    assert made[-1 if len(made) == 1 else 0].read_text() in {blank_text(layout) for layout in layouts}
    code, out, err = run(capsys, "measure", what, made[0])
    assert (code, out) == (2, "") and "fault" in err


def test_blanks_take_no_file_away(capsys, tmp_path):
    path = tmp_path / "there.csv"
    path.write_text("mine")
    for command in (("weigh",), ("readings",), ("readings", "--log"), ("measure", "damping")):
        code, _, err = run(capsys, *command, "--blank", path)
        assert code == 2 and "is there already and stays as it is" in err
    assert path.read_text() == "mine" and len(list(tmp_path.iterdir())) == 1


def test_blank_of_the_board(capsys, tmp_path):
    path = tmp_path / "board.csv"
    assert run(capsys, "readings", "--blank", path)[0] == 0
    assert path.read_text().splitlines()[-1] == ", ".join(column.name for column in READINGS_LAYOUT.columns)


def test_readings_take_the_vehicle_first(capsys):
    """As all other commands do; a CSV file is never taken for the vehicle."""
    board = demo_readings("board.csv")
    there, back = (run(capsys, "readings", *files, "--json") for files in ((DEMO, board), (board, DEMO)))
    assert there[0] == 0 and there[1] == back[1]
    code, _, err = run(capsys, "readings", board, board)
    assert code == 2 and "VEHICLE.toml READINGS" in err


def test_a_slip_of_units_shows_in_the_result(capsys, tmp_path):
    """A whole weighing in kilograms gives 1.5 g in front: the warning names the right reading."""
    settings, (header, *rows) = rows_of("weighing.csv")
    columns = [name.strip() for name in header.split(",")]
    lines = [f"# {name} = {value}" for name, value in settings.items() if name != "scale_error_g"]
    lines += ["# scale_error_g = 0.001", header]
    for row in rows:
        cells = [cell.strip() for cell in row.split(",")]
        lines.append(
            ",".join(
                f"{float(c) / 1e3:g}" if n.endswith("_g") and c else c for n, c in zip(columns, cells, strict=True)
            )
        )
    path = tmp_path / "kilograms.csv"
    path.write_text("\n".join(lines))
    code, out, _ = run(capsys, "weigh", path)
    assert code == 0 and "was it read in kilograms?" in out
