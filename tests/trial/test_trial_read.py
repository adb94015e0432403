"""Reading a trial: the sheet checked cell by cell, numbers held against enumeration."""

import csv
import itertools
import json
from pathlib import Path

import numpy as np
import pytest

from noseload import read_trial, write_trial
from noseload.demo import DEMO_TRIAL
from noseload.studies.trial.errors import ReadingsError
from noseload.studies.trial.readings import UNBLINDED
from trial_maker import NOISE, effects_of, make_trial, rows_of, run_trial, save_rows

EXACT = 1e-12  # counts over counts


@pytest.fixture(scope="module")
def trial():
    return make_trial(seed=4, reference_holes="row 2", change_holes="row 4")


@pytest.fixture
def means(trial):
    return 58.0 + NOISE + effects_of(trial, 0.8)


# --- the sheet of readings


def swap_rows(rows):
    rows[2], rows[3] = rows[3], rows[2]


def swap_codes(rows):
    rows[2][1], rows[3][1] = rows[3][1], rows[2][1]


def put(line, column, cell):
    def edit(rows):
        rows[line - 1][rows[0].index(column)] = cell

    return edit


def add_column(name, cell=""):
    def edit(rows):
        rows[0].append(name)
        for row in rows[1:]:
            row.append(cell)

    return edit


def rename(old, new):
    return lambda rows: rows[0].__setitem__(rows[0].index(old), new)


def several(*edits):
    return lambda rows: [edit(rows) for edit in edits]


def another_trial(rows):
    for row in rows[1:]:
        row[1] = "ZZ"


FAULTY = {
    "rows swapped": (swap_rows, "line 4: run 2 comes after run 3: rows swapped"),
    "codes swapped": (
        swap_codes,
        r"line 3, column code: '..' does not belong to run 2 \(..\); it is the code of run 3: rows swapped",
    ),
    "run twice": (lambda rows: rows.append(list(rows[4])), r"line 10: run 4 is there twice \(first on line 5\)"),
    "run of no trial": (put(3, "run", "9"), r"'9' is not a run of this trial \(1 to 8\)"),
    "run no number": (put(3, "run", "two"), "'two' is not a run of this trial"),
    "another trial": (another_trial, "(?s)8 faults.*'ZZ' does not belong to run 1 .*no code of this trial"),
    "word for a number": (
        put(3, "reading_2", "58,2"),
        "line 3, column reading_2: '58,2' is not a number; decimals take a point",
    ),
    "no finite number": (put(3, "reading_2", "inf"), "line 3, column reading_2: 'inf' is not a number"),
    "unit in the cell": (put(3, "reading_1", "58.2 deg"), "'58.2 deg' is not a number"),
    "guess": (put(4, "guess_before", "maybe"), "line 4, column guess_before: 'maybe' is not a guess: yes or no"),
    "guess as a setup": (put(4, "guess_after", "raised"), "'raised' is not a guess"),
    "tape": (put(4, "tape_brushed", "a bit"), "'a bit' must be yes, no, empty"),
    "voltage": (put(4, "pack_voltage_v", "full"), "column pack_voltage_v: 'full' is not a number"),
    "reason tells": (
        put(4, "struck_out", "Raised mount came loose"),
        "is unblinded: it names 'raised'; say what was seen",
    ),
    "reason tells holes": (put(4, "struck_out", "not ROW 4"), "is unblinded: it names 'row 4'"),
    "struck out for no reason": (
        put(4, "struck_out", "no"),
        "'no' is no reason: leave the cell empty, or say what was seen",
    ),
    "struck out by a mark": (put(4, "struck_out", "-"), "'-' is no reason"),
    "unknown column": (add_column("weather"), "column 'weather' is unknown; the columns are run, code, reading_1"),
    "column twice": (add_column("code"), "column 'code' is there twice"),
    "column missing": (rename("reading_3", "reading_4"), "(?s)'reading_4' is unknown.*'reading_3' is missing"),
    "cells too many": (lambda rows: rows[3].append("x"), "line 4: 12 cells, where the header has 11"),
    "nothing in it": (
        lambda rows: [row.__setitem__(slice(2, None), [""] * 9) for row in rows[1:]],
        "there is no reading in this file",
    ),
    "many at once": (several(put(3, "reading_1", "x"), put(4, "guess_after", "x"), put(5, "run", "x")), "3 faults"),
}
COLUMNS = ("pack_voltage_v", "board_angle_deg", "tape_brushed", "guess_before", "guess_after", "struck_out")


@pytest.mark.parametrize("name", FAULTY)
def test_faulty_sheets_are_named_and_nothing_is_judged(trial, means, tmp_path, name):
    edit, message = FAULTY[name]
    folder = write_trial(tmp_path / "t", trial)
    rows = rows_of(trial, means, **{column: [""] * 8 for column in COLUMNS})
    save_rows(folder / "readings.csv", rows)
    read_trial(folder)
    edit(rows)
    save_rows(folder / "readings.csv", rows)
    with pytest.raises(ReadingsError, match=message):
        read_trial(folder)


@pytest.mark.parametrize("name", [*UNBLINDED, "raised", "Base"])
def test_unblinded_columns_are_refused(trial, means, tmp_path, name):
    folder = run_trial(tmp_path / "t", trial, means, **{name: [""] * 8})
    with pytest.raises(
        ReadingsError, match=f"column '{name.lower()}' is unblinded: nobody who reads or types may know"
    ):
        read_trial(folder)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "is empty"),
        (b"run,code\n\xff\xfe", "not UTF-8"),
        (b'run,code\n"1,AB\n', "this is not CSV"),
        (None, "cannot be read"),
    ],
)
def test_files_that_are_no_sheet(trial, tmp_path, data, message):
    folder = write_trial(tmp_path / "t", trial)
    (folder / "readings.csv").unlink() if data is None else (folder / "readings.csv").write_bytes(data)
    with pytest.raises(ReadingsError, match=message):
        read_trial(folder)


def test_what_a_spreadsheet_does_to_a_sheet_is_no_fault(trial, means, tmp_path):
    """Byte order mark, Windows line ends, spaces, capitals, empty last lines and columns in another order."""
    folder = write_trial(tmp_path / "t", trial)
    plain = read_trial(run_trial(tmp_path / "u", trial, means, guess_before=["yes", "no"] * 4)).to_dict()
    rows = rows_of(trial, means, guess_before=["YES ", " No"] * 4)
    rows = [[row[-1], *row[:-1]] for row in rows] + [[""] * 6]
    rows[1:] = [[cell.lower() for cell in row] for row in rows[1:]]
    text = "\ufeff# typed on Sunday\r\n" + "\r\n".join(",".join(row) for row in rows) + "\r\n"
    (folder / "readings.csv").write_text(text, encoding="utf-8", newline="")
    assert read_trial(folder).to_dict() == plain


@pytest.mark.parametrize("separator", [";", "\t"])
def test_semicolons_and_tabs_with_a_decimal_comma_are_read_as_everywhere(trial, means, tmp_path, separator):
    plain = read_trial(run_trial(tmp_path / "u", trial, means)).to_dict()
    folder = write_trial(tmp_path / "t", trial)
    rows = [separator.join(cell.replace(".", ",") for cell in row) for row in rows_of(trial, means)]
    (folder / "readings.csv").write_text("\n".join(rows))
    assert read_trial(folder).to_dict() == plain


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("5.82", r"run 3, reading_2: 5.82 deg is 52.* deg off the middle of all readings, 58.* deg; was 58.2 meant\?"),
        ("582", r"582 deg cannot be: locked-wheel tip angle lies between 0 and 90 deg; was 58.2 meant\?"),
        ("-58.2", r"-58.2 deg cannot be: .*; was 58.2 meant\?"),
        ("1e300", "1e[+]300 deg cannot be"),
        ("28.5", "28.5 deg is 29.* deg off the middle of all readings"),
    ],
)
def test_a_slip_of_the_pen_is_told_before_the_key_is_opened(trial, means, tmp_path, cell, message):
    """5.39 for 53.9 was headlined as a difference of -4.19 deg that was measured."""
    folder = run_trial(tmp_path / "t", trial, means)
    rows = rows_of(trial, means)
    rows[3][3] = cell
    save_rows(folder / "readings.csv", rows)
    (folder / "sealed" / "key.json").unlink()
    with pytest.raises(ReadingsError, match=message):
        read_trial(folder)


def test_a_run_struck_out_with_its_reason_may_read_anything(trial, means, tmp_path):
    folder = write_trial(tmp_path / "t", trial)
    rows = rows_of(trial, means, struck_out=["", "", "board slipped", *[""] * 5])
    rows[3][2:5] = ["5.8"] * 3
    save_rows(folder / "readings.csv", rows)
    assert read_trial(folder).analysis.missing == (3,)


def test_no_difference_is_measured_where_the_control_was_not_seen(tmp_path):
    """A control that did not move, a change that did: the words of a find stood above 'NOT seen'."""
    trial = make_trial(seed=4, control_pairs=4, control_effect=1.0)
    means = 58.0 + 0.1 * np.resize(NOISE, trial.plan.installations) + effects_of(trial, 0.8, 0.0)
    result = read_trial(run_trial(tmp_path / "t", trial, means))
    assert result.analysis.main.p_two_sided <= trial.plan.alpha
    assert result.control_seen is False and result.kind == "undecided"
    assert "was measured" not in result.headline
    assert "undecided, for the positive control was not seen: the readings allow" in result.headline
    assert result.prediction_words == "The prediction was not tested: the positive control was not seen."


def test_the_seal_says_what_it_was_compared_with(trial, means, tmp_path):
    from noseload.commands.trial.text import read_text

    folder = run_trial(tmp_path / "t", trial, means)
    by_file = read_text(read_trial(folder))
    assert "the files agree with commitment.txt in this folder; only what was posted elsewhere" in " ".join(
        by_file.split()
    )
    by_post = read_text(read_trial(folder, posted=trial.plan.commitment))
    assert "the files agree with the commitment that was posted" in by_post
    (folder / "commitment.txt").unlink()
    alone = read_trial(folder)
    assert alone.compared_with is None and "commitment.txt is gone" in read_text(alone)


def test_steps_and_shares_are_checked(tmp_path):
    stairs = make_trial(outcome="staircase")
    folder = run_trial(tmp_path / "s", stairs, np.full(8, 40.3))
    with pytest.raises(ReadingsError, match=r"'40\.300' is not a step of the staircase \(0\.5\)"):
        read_trial(folder)


@pytest.mark.slow
def test_shares_are_passes_and_fails(tmp_path):
    shares = make_trial(
        outcome="pass_fail", grade_deg=40.0, difference=0.3, scatter=None, prediction=None, pairs=4, repeats=1
    )
    folder = run_trial(tmp_path / "p", shares, np.full(8, 0.5))
    with pytest.raises(ReadingsError, match=r"'0\.500' must be 1 \(pass\) or 0 \(fail\)"):
        read_trial(folder)


def test_installers_sheet_is_checked_too(trial, means, tmp_path):
    folder = run_trial(tmp_path / "t", trial, means)
    header = ["run", "code", "ride_height_mm", "pinion_angle_deg", "swap_minutes"]
    rows = [header, *[[str(i + 1), code, "78.5", "9", "6"] for i, code in enumerate(trial.plan.codes)]]
    save_rows(folder / "sealed/fittings.csv", rows)
    assert read_trial(folder).fitted_means["raised"] == {
        "ride_height_mm": 78.5,
        "pinion_angle_deg": 9.0,
        "swap_minutes": 6.0,
    }
    rows[2][2] = "high"
    save_rows(folder / "sealed/fittings.csv", rows)
    with pytest.raises(ReadingsError, match=r"fittings\.csv: 1 fault:\n  line 3, column ride_height_mm: 'high' is not"):
        read_trial(folder)
    rows[0][4] = "weather"
    save_rows(folder / "sealed/fittings.csv", rows)
    with pytest.raises(ReadingsError, match="'weather' is unknown"):
        read_trial(folder)


# --- the numbers


def brute(means, order, delta):
    """Two-sided p of a difference over all orders with as many of each, straight drift fitted by `lstsq`."""
    shifted, count = means - delta * order, means.size
    nuisance = np.column_stack([np.ones(count), np.arange(count)])

    def strength(row):
        rest = row - nuisance @ np.linalg.lstsq(nuisance, row, rcond=None)[0]
        return abs(rest @ shifted) / np.linalg.norm(rest)

    used = strength(order)
    ones = itertools.combinations(range(count), int(order.sum()))
    rows = [np.isin(np.arange(count), chosen).astype(float) for chosen in ones]
    return np.mean([strength(row) >= used - 1e-9 for row in rows])


def test_example_trial_against_enumeration():
    """The files read again with csv and json alone, and all 924 orders tried by least squares."""
    folder = Path(DEMO_TRIAL)
    key = json.loads((folder / "sealed/key.json").read_text())["runs"]
    with open(folder / "readings.csv", newline="") as file:
        rows = list(csv.DictReader(file))
    means = np.array([np.mean([float(row[f"reading_{k}"]) for k in (1, 2, 3) if row[f"reading_{k}"]]) for row in rows])
    main = np.array([run["part"] == "main" for run in key])
    order = np.array([float(run["arm"]) for run in key])[main]
    result = read_trial(DEMO_TRIAL)
    found = result.analysis.main
    assert found.p_two_sided == pytest.approx(brute(means[main], order, 0.0), abs=EXACT)
    columns = np.column_stack([order, np.ones(12), np.arange(12)])
    assert found.difference == pytest.approx(np.linalg.lstsq(columns, means[main], rcond=None)[0][0], abs=1e-9)
    for limit, inward in zip(found.interval, (1e-6, -1e-6), strict=True):
        assert brute(means[main], order, limit + inward) > 0.05 >= brute(means[main], order, limit - inward)
    guesses = [(row["guess_before"], run["arm"]) for row, run in zip(rows, key, strict=True) if run["part"] == "main"]
    right = sum((guess == "yes") == bool(arm) for guess, arm in guesses if guess)
    assert (result.analysis.guess_before.right, result.analysis.guess_before.guesses) == (right, 6)
    control = [mean for mean, run in zip(means, key, strict=True) if run["part"] == "control"]
    assert result.analysis.control.difference == pytest.approx((control[0] + control[3] - control[1] - control[2]) / 2)


def test_missing_runs_follow_the_rule_stated_before(tmp_path):
    """In pairs a missing run takes its neighbour: what the other one reads then changes nothing. One reading of
    three is too few, two count by their mean."""
    trial = make_trial(seed=6, order_kind="pairs", pairs=7)
    means = 58.0 + effects_of(trial, 0.8) + 0.05 * np.arange(14) % 0.3
    rows = rows_of(trial, means)
    rows[3][3] = ""
    rows[5][2:4] = ["", ""]
    results = []
    for name, partner in (("a", rows[6][2]), ("b", "64")):
        rows[6][2:5] = [partner] * 3
        folder = write_trial(tmp_path / name, trial)
        save_rows(folder / "readings.csv", rows)
        results.append(read_trial(folder))
    first, second = results
    assert first.analysis.missing == (5,) and first.analysis.main.used == 12
    assert first.analysis.main == second.analysis.main
    assert first.rows[4].mean is None and first.rows[2].mean == pytest.approx(means[2], abs=1e-3)
    assert first.analysis.main.smallest_p == 2 / 2**6
    struck = write_trial(tmp_path / "c", trial)
    save_rows(
        struck / "readings.csv",
        [[*rows[0], "struck_out"], *[[*row, "board moved" if i == 8 else ""] for i, row in enumerate(rows[1:])]],
    )
    third = read_trial(struck)
    assert third.analysis.missing == (5, 9) and third.analysis.main.used == 10
    assert "run 9: board moved" in " ".join(third.notes)
    assert "smallest p-value possible is 0.0625: a difference could not be found" in " ".join(third.notes)
