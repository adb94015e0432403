"""Readings of a trial: a CSV as typed from the sheets, checked row by row against the plan."""

from __future__ import annotations

import csv
import io
import math
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from noseload.csv_cells import point_decimals, separator_of

from .document import TrialPlan
from .errors import ReadingsError, TrialPlanError
from .files import FITTING_COLUMNS, reading_columns
from .plan import least_readings

GUESSES = {"yes": 1, "no": 0, "": -1}
"""The guess: is the change on trial fitted? Empty: no guess."""
NO_REASON = ("no", "none", "n", "yes", "y", "x", "ok", "n/a", "false", "true")
"""Words that strike nothing out and say nothing: refused, since either meaning could be meant."""
UNBLINDED = (
    "setup",
    "setup",
    "set_up",
    "order",
    "arm",
    "part",
    "hole",
    "holes",
    "treatment",
    "key",
    "change",
    "reference",
)
"""Columns that would tell the scorer what is fitted."""


@dataclass(frozen=True)
class Readings:
    """Readings of all runs in time; arrays of shape (n,) except `values` (n, repeats); nan or -1 where empty."""

    values: np.ndarray
    struck_out: tuple[str, ...]
    guess_before: np.ndarray
    guess_after: np.ndarray
    pack_voltage_v: np.ndarray
    board_angle_deg: np.ndarray
    tape_brushed: tuple[str, ...]

    def means(self) -> np.ndarray:
        """Mean of each installation, nan where it is missing by the rule stated before the trial."""
        present = np.isfinite(self.values)
        enough = present.sum(axis=1) >= least_readings(self.values.shape[1])
        enough &= np.array([not reason for reason in self.struck_out])
        total = np.where(present, self.values, 0.0).sum(axis=1)
        return np.where(enough, total / np.maximum(1, present.sum(axis=1)), np.nan)


@dataclass(frozen=True)
class Fittings:
    """What the installer read of each run, arrays of shape (n,), nan where empty."""

    ride_height_mm: np.ndarray
    pinion_angle_deg: np.ndarray
    swap_minutes: np.ndarray


def read_readings(file: str | os.PathLike, plan: TrialPlan, *, secret_words: Sequence[str] = ()) -> Readings:
    """Read the sheet of readings.

    Parameters
    ----------
    file : path
        CSV with the columns of the sheet; lines starting with # are left out.
    plan : TrialPlan
    secret_words : sequence of str
        Names that no cell may hold (setups and holes).

    Raises
    ------
    ReadingsError
        With every fault of the file: unblinded or unknown columns, rows swapped, doubled or of another trial,
        cells that are no numbers, guesses other than yes, no or empty.
    """
    where = str(file)
    header, rows = _read_rows(file)
    columns = reading_columns(plan.repeats)
    faults = _column_faults(header, columns, plan)
    if faults:
        raise ReadingsError(where, faults)
    sheet = _Sheet(plan, header, faults)
    count, kind = plan.installations, plan.kind
    values = np.full((count, plan.repeats), np.nan)
    numbers = {name: np.full(count, np.nan) for name in ("pack_voltage_v", "board_angle_deg")}
    guesses = {name: np.full(count, -1) for name in ("guess_before", "guess_after")}
    words = {name: [""] * count for name in ("tape_brushed", "struck_out")}
    for line, row in rows:
        run = sheet.find_run(line, row)
        if run is None:
            continue
        for k in range(plan.repeats):
            values[run, k] = sheet.reading(line, row, f"reading_{k + 1}", kind.key, kind.step)
        for name, array in numbers.items():
            array[run] = sheet.number(line, row, name)
        for name, array in guesses.items():
            array[run] = sheet.guess(line, row, name)
        words["tape_brushed"][run] = sheet.choice(line, row, "tape_brushed", ("yes", "no", ""))
        words["struck_out"][run] = sheet.reason(line, row, "struck_out", secret_words)
    if not np.isfinite(values).any() and not faults:
        faults.append("there is no reading in this file; enter the readings of the scorer's sheet")
    if faults:
        raise ReadingsError(where, faults)
    return Readings(
        values,
        tuple(words["struck_out"]),
        guesses["guess_before"],
        guesses["guess_after"],
        numbers["pack_voltage_v"],
        numbers["board_angle_deg"],
        tuple(words["tape_brushed"]),
    )


def read_fittings(file: str | os.PathLike, plan: TrialPlan) -> Fittings:
    """Read the installer's own sheet; errors as in `read_readings`."""
    header, rows = _read_rows(file)
    faults = _column_faults(header, FITTING_COLUMNS, plan)
    if faults:
        raise ReadingsError(str(file), faults)
    sheet = _Sheet(plan, header, faults)
    arrays = {name: np.full(plan.installations, np.nan) for name in FITTING_COLUMNS[2:]}
    for line, row in rows:
        run = sheet.find_run(line, row)
        if run is None:
            continue
        for name, array in arrays.items():
            array[run] = sheet.number(line, row, name)
    if faults:
        raise ReadingsError(str(file), faults)
    return Fittings(**arrays)


def read_baseline(file: str | os.PathLike) -> list[list[float]]:
    """Baseline runs of one setup, grouped by installation.

    Parameters
    ----------
    file : path
        CSV with the columns ``installation`` and ``reading``, one row a reading.

    Raises
    ------
    ReadingsError
        With every row that cannot be used.
    """
    header, rows = _read_rows(file)
    if header != ["installation", "reading"]:
        fault = f"the columns are {', '.join(header)}; they must be installation, reading"
        raise ReadingsError(str(file), [fault])
    groups: dict[str, list[float]] = {}
    faults: list[str] = []
    for line, row in rows:
        if len(row) != 2:
            faults.append(f"line {line}: {len(row)} cells, where the header has 2")
            continue
        value = _number(row[1])
        if value is None or math.isnan(value):
            faults.append(f"line {line}, column reading: '{row[1]}' is not a number")
            continue
        groups.setdefault(row[0], []).append(value)
    if faults:
        raise ReadingsError(str(file), faults)
    return list(groups.values())


def _read_rows(file: str | os.PathLike) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Header in lower case and the rows with their line numbers."""
    try:
        text = Path(file).read_text(encoding="utf-8-sig")
    except OSError as error:
        raise ReadingsError(str(file), [f"cannot be read: {error.strerror or error}"]) from None
    except UnicodeDecodeError:
        raise ReadingsError(str(file), ["is not UTF-8 text; save it as CSV in UTF-8"]) from None
    first = next((line for line in text.splitlines() if line.strip() and not line.startswith("#")), "")
    separator = separator_of(first)
    try:
        reader = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
        rows = [(reader.line_num, [cell.strip() for cell in row]) for row in reader]
    except csv.Error as error:
        raise ReadingsError(str(file), [f"this is not CSV ({error})"]) from None
    rows = [(n, row) for n, row in rows if any(row) and not row[0].startswith("#")]
    if not rows:
        raise ReadingsError(str(file), ["is empty"])
    faults: list[str] = []
    point_decimals(rows[1:], separator, faults)
    if faults:
        raise ReadingsError(str(file), faults)
    return [cell.lower() for cell in rows[0][1]], rows[1:]


def _column_faults(header: list[str], columns: list[str], plan: TrialPlan) -> list[str]:
    faults = []
    revealing = {*UNBLINDED, plan.reference.lower(), plan.change.lower()}
    for name in header:
        if name in columns:
            continue
        if name in revealing:
            faults.append(f"column '{name}' is unblinded: nobody who reads or types may know what is fitted; remove it")
        else:
            faults.append(f"column '{name}' is unknown; the columns are {', '.join(columns)}")
    faults += [f"column '{name}' is there twice" for name in sorted({n for n in header if header.count(n) > 1})]
    needed = [name for name in columns if name in ("run", "code") or name.startswith("reading_")]
    faults += [f"column '{name}' is missing" for name in needed if name not in header]
    return faults


def _number(cell: str) -> float | None:
    """A number, nan for an empty cell, None for anything else."""
    if cell == "":
        return math.nan
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


class _Sheet:
    """Cells of a CSV by column name; collects the faults."""

    def __init__(self, plan: TrialPlan, header: list[str], faults: list[str]) -> None:
        self.plan, self.header, self.faults = plan, header, faults
        self.seen: dict[int, int] = {}
        self.last = 0

    def cell(self, row: list[str], name: str) -> str:
        return row[self.header.index(name)] if name in self.header else ""

    def _fault(self, line: int, name: str, cell: str, wanted: str) -> None:
        self.faults.append(f"line {line}, column {name}: '{cell}' {wanted}")

    def find_run(self, line: int, row: list[str]) -> int | None:
        """Place of the row's run (from 0), None where the row cannot be used."""
        if len(row) != len(self.header):
            self.faults.append(f"line {line}: {len(row)} cells, where the header has {len(self.header)}")
            return None
        cell, code = self.cell(row, "run"), self.cell(row, "code").upper()
        run = int(cell) if cell.isascii() and cell.isdigit() else 0
        if not 1 <= run <= self.plan.installations:
            self._fault(line, "run", cell, f"is not a run of this trial (1 to {self.plan.installations})")
            return None
        if run in self.seen:
            self.faults.append(f"line {line}: run {run} is there twice (first on line {self.seen[run]})")
            return None
        self.seen[run] = line
        if code != self.plan.codes[run - 1]:
            owner = self.plan.codes.index(code) + 1 if code in self.plan.codes else None
            whose = f"the code of run {owner}: rows swapped?" if owner else "no code of this trial"
            self._fault(line, "code", code, f"does not belong to run {run} ({self.plan.codes[run - 1]}); it is {whose}")
            return None
        if run < self.last:
            self.faults.append(
                f"line {line}: run {run} comes after run {self.last}: rows swapped? Keep the sheet's order"
            )
            return None
        self.last = run
        return run - 1

    def number(self, line: int, row: list[str], name: str) -> float:
        cell = self.cell(row, name)
        value = _number(cell)
        if value is None:
            hint = "; decimals take a point" if "," in cell else ""
            self._fault(line, name, cell, f"is not a number{hint}")
            return math.nan
        return value

    def reading(self, line: int, row: list[str], name: str, outcome: str, step: float) -> float:
        value = self.number(line, row, name)
        if outcome == "pass_fail" and value not in (0.0, 1.0) and not math.isnan(value):
            self._fault(line, name, self.cell(row, name), "must be 1 (pass) or 0 (fail)")
        elif step and not math.isnan(value) and abs(value / step - round(value / step)) > 1e-6:
            self._fault(line, name, self.cell(row, name), f"is not a step of the staircase ({step:g})")
        return value

    def choice(self, line: int, row: list[str], name: str, allowed: Sequence[str]) -> str:
        cell = self.cell(row, name).lower()
        if cell not in allowed:
            self._fault(line, name, cell, f"must be {', '.join(a or 'empty' for a in allowed)}")
            return ""
        return cell

    def guess(self, line: int, row: list[str], name: str) -> int:
        cell = self.cell(row, name).lower()
        if cell not in GUESSES:
            self._fault(line, name, cell, "is not a guess: yes or no (is the change on trial fitted?), or empty")
            return -1
        return GUESSES[cell]

    def reason(self, line: int, row: list[str], name: str, secret_words: Sequence[str]) -> str:
        cell = self.cell(row, name)
        if cell and (cell.lower() in NO_REASON or not any(letter.isalpha() for letter in cell)):
            # Whoever types `no` into every row means to keep them all; read as a reason it would strike them all.
            self._fault(line, name, cell, "is no reason: leave the cell empty, or say what was seen")
        told = [word for word in secret_words if word and word.lower() in cell.lower()]
        if told:
            self._fault(line, name, cell, f"is unblinded: it names '{told[0]}'; say what was seen, not what was fitted")
        return cell


def check_repeats(plan: TrialPlan, other: TrialPlan) -> None:
    """Refuse to take two trials together that did not ask the same question.

    Raises
    ------
    TrialPlanError
    """
    same = ("outcome", "surface", "grade_deg", "reference", "change", "vehicle_name")
    faults = [
        f"{name} is {getattr(plan, name)!r} here and {getattr(other, name)!r} in the earlier trial"
        for name in same
        if getattr(plan, name) != getattr(other, name)
    ]
    if plan.earlier_commitment != other.commitment:
        faults.append("this plan was not sealed as the next look after that trial (plan it with --after)")
    if faults:
        raise TrialPlanError("the earlier trial", faults)
