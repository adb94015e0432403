"""The reader of readings: what it understands, and every fault with its row and column."""

import numpy as np
import pytest

from noseload.csv_input import Column, Layout, ReadingsFileError, parse_readings, read_readings
from noseload.studies.measuring.springs import SPRING_LAYOUT

LAYOUT = Layout(
    title="test",
    settings=(
        Column("load_g", "weight on it", low=0, above=True),
        Column("axle", "which axle", "word", choices=("rear", "front"), default="rear", required=False),
    ),
    columns=(
        Column("lift_mm", "height of the blocks", low=0, high=300),
        Column("rear_g", "scale under the rear", low=0),
        Column("direction", "up or down", "word", choices=("up", "down", ""), default="", required=False),
        Column("repeat", "number of the repeat", default=1.0, required=False),
    ),
    identity=("lift_mm", "direction", "repeat"),
    least_rows=2,
)

GOOD = "# load_g = 1200\nlift_mm, rear_g, direction\n10, 700, up\n20, 720, down\n"


def test_reads_csv():
    readings = parse_readings(GOOD, LAYOUT)
    assert readings.settings == {"load_g": 1200.0, "axle": "rear"}
    assert readings["lift_mm"].tolist() == [10.0, 20.0]
    assert readings["direction"].tolist() == ["up", "down"]
    assert readings["repeat"].tolist() == [1.0, 1.0]
    assert readings.rows.tolist() == [3, 4]


@pytest.mark.parametrize(
    "text",
    [
        GOOD.replace(", ", ";"),
        GOOD.replace(", ", "\t"),
        "\ufeff" + GOOD.replace("\n", "\r\n"),
        '# load_g = 1200,,\n"lift_mm","rear_g","direction"\n10,700,up\n,,\n20,720,down\n',
        '"# load_g = 1200",,\n# axle = rear\nlift_mm;rear_g;direction\n10,0;700;up\n20,0;720;down',
    ],
)
def test_reads_what_spreadsheets_write(text):
    """Semicolons, tabs, byte order mark, quotes, padding, decimal commas."""
    text = text.removeprefix("\ufeff")
    assert parse_readings(text, LAYOUT)["lift_mm"].tolist() == [10.0, 20.0]


def test_reads_toml_and_files(tmp_path):
    document = "load_g = 1200\n[[reading]]\nlift_mm = 10\nrear_g = 700\n[[reading]]\nlift_mm = 20\nrear_g = 720.5\n"
    path = tmp_path / "readings.toml"
    path.write_text(document)
    readings = read_readings(path, LAYOUT)
    assert readings["rear_g"].tolist() == [700.0, 720.5] and readings.row_word == "reading"
    path = tmp_path / "bom.csv"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    assert len(read_readings(path, LAYOUT)) == 2


def test_optional_cells_are_nan():
    layout = Layout("t", (Column("a_mm", "a"), Column("b_mm", "b", required=False)), least_rows=1)
    readings = parse_readings("a_mm,b_mm\n1,\n2,3\n", layout)
    assert np.isnan(readings["b_mm"][0]) and readings["b_mm"][1] == 3.0


FAULTS = {
    "wrong unit": (GOOD.replace("lift_mm", "lift_cm"), r"row 2: column lift_cm is in cm; it is needed in mm"),
    "no unit": (GOOD.replace("rear_g", "rear"), r"column rear is without a unit; it is needed in g"),
    "setting unit": (GOOD.replace("load_g", "load_kg"), r"row 1: setting load_kg is in kg; it is needed in g"),
    "missing column": ("# load_g = 1200\nlift_mm\n10\n20\n", r"row 2: column rear_g is missing: scale under the rear"),
    "missing setting": (GOOD.split("\n", 1)[1], r"setting load_g is missing"),
    "misspelt "
    "column": (GOOD.replace("direction", "directon"), r"column directon is not known here; did you mean direction"),
    "misspelt setting": ("# lode_g = 3\n" + GOOD, r"row 1: setting lode_g is not known here; did you mean load_g"),
    "strange column": (GOOD.replace("direction", "zzzz"), r"column zzzz is not known here; known are lift_mm"),
    "twice a setting": ("# load_g = 3\n" + GOOD, r"row 2: setting load_g is given twice \(first in row 1\)"),
    "twice a column": (GOOD.replace("direction", "rear_g"), r"row 2: column rear_g appears twice"),
    "nameless column": (GOOD.replace("rear_g, ", "rear_g, , "), r"column 3 has no name"),
    "word for number": (GOOD.replace("700", "seven"), r"row 3, column rear_g: 'seven' is not a number; expected scale"),
    "unit in cell": (GOOD.replace("700", "700 g"), r"row 3, column rear_g: '700 g' is not a number; write the number "
                                                   r"alone"),
    "not finite": (GOOD.replace("700", "nan"), r"row 3, column rear_g: 'nan' is not a finite number"),
    "too low": (GOOD.replace("700", "-7"), r"row 3, column rear_g: -7 g must be at least 0"),
    "too high": (GOOD.replace("10,", "1000,"), r"row 3, column lift_mm: 1000 mm must be at most 300"),
    "not above": (GOOD.replace("1200", "0"), r"row 1, setting load_g: 0 g must be above 0; weight on it"),
    "empty": (GOOD.replace("700", ""), r"row 3, column rear_g: empty; scale under the rear"),
    "wrong word": (GOOD.replace("up", "upp"), r"row 3, column direction: 'upp' is none of up, down, ; did you mean up"),
    "number for "
    "word": ("load_g = 1\naxle = 3\n[[reading]]\nlift_mm = 1\nrear_g = 2\n", r"setting axle: 3 is not a word"),
    "too many "
    "cells": (GOOD.replace("700", "70,0"), r"row 3: 4 cells under 3 column names; write decimals with a point"),
    "duplicate": (GOOD + "10, 700, "
                         "up\n", r"row 5 is a duplicate of row 3; delete one, or number them in the column repeat"),
    "contradiction": (GOOD + "10, 705, "
                             "up\n", r"row 5 contradicts row 3: the same lift_mm, direction but another rear_g"),
    "too few": (GOOD.replace("20, 720, down\n", ""), r"too few readings: 1; this measurement needs at least 2 rows"),
    "nothing": ("# only a remark\n", r"no header line and no readings"),
    "bad toml": ("load_g = = 3\n", r"not TOML"),
    "no tables": ("load_g = 3\nreading = 3\n", r"\[\[reading\]\] tables"),
    "no readings": ("load_g = 3\n", r"no readings; add one \[\[reading\]\]"),
    "toml setting missing": ("[[reading]]\nlift_mm = 1\nrear_g = 2\n", r"add 'load_g = \.\.\.' on top"),
    "boolean": ("load_g = true\n[[reading]]\nlift_mm = 1\nrear_g = 2\n", r"setting load_g: 'True' is not a number"),
}  # fmt: skip
TOML = {"bad toml", "no tables", "no readings", "toml setting missing", "number for word", "boolean"}


@pytest.mark.parametrize("name", FAULTS)
def test_faults_are_named(name):
    text, message = FAULTS[name]
    with pytest.raises(ReadingsFileError, match=message):
        parse_readings(text, LAYOUT, toml=name in TOML)


def test_all_faults_at_once():
    text = "# load_g = x\nlift_mm, rear_g, direction\n10, seven, up\n2000, 720, sideways\n"
    with pytest.raises(ReadingsFileError) as caught:
        parse_readings(text, LAYOUT, file="my.csv")
    assert str(caught.value).startswith("my.csv: 4 faults in this file of readings:")
    assert len(caught.value.faults) == 4


def test_files_that_cannot_be_read(tmp_path):
    with pytest.raises(ReadingsFileError, match="there is no such file"):
        read_readings(tmp_path / "none.csv", LAYOUT)
    (tmp_path / "latin.csv").write_bytes(b"# caf\xe9\nlift_mm\n")
    with pytest.raises(ReadingsFileError, match="byte 5 is not UTF-8"):
        read_readings(tmp_path / "latin.csv", LAYOUT)
    with pytest.raises(ReadingsFileError, match="cannot be read"):
        read_readings(tmp_path, LAYOUT)


def test_damaged_files_never_give_a_traceback():
    """200 seeded mutations of a spring file: readings or a named error, nothing else."""
    import simulated_readings

    rng = np.random.default_rng(77)
    text = simulated_readings.spring(rng)
    refused = 0
    for _ in range(200):
        damaged = list(text)
        for _ in range(rng.integers(1, 6)):
            place = rng.integers(len(damaged))
            damaged[place] = rng.choice(list('x,;#"=\n -.9é\t')) if rng.random() < 0.7 else ""
        try:
            parse_readings("".join(damaged), SPRING_LAYOUT)
        except ReadingsFileError as error:
            refused += 1
            assert error.faults
    assert 60 < refused < 200
