"""One reader for all small files of readings: CSV with `# key = value` settings on top, or TOML.

It reports every fault at once, with row and column, and returns nothing unless the file is sound.

    # axle = "rear"                 settings: TOML values behind a '#', before the header line
    # number_of_shocks = 2          other lines that begin with '#' are remarks
    compression_mm, scale_g         header: names with units
    0,   112
    5,   301

Comma, semicolon or tab separate; with semicolon or tab a decimal comma is understood. A row is the line of
the file, as a spreadsheet counts. As TOML, settings are top-level keys and each row is a `[[reading]]` table.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import numpy as np

from noseload.csv_cells import is_physical, point_decimals, separator_of
from noseload.model.errors import ModelError
from noseload.model.file.limits import DEEPEST, NESTED, depth_of, size_fault

UNITS = (
    "deg_per_s",
    "rad_per_s",
    "rev_per_s",
    "n_per_mm",
    "n_s_per_m",
    "kg_mm2",
    "g_mm2",
    "kg_m2",
    "n_mm",
    "n_m",
    "mm",
    "cm",
    "m",
    "in",
    "g",
    "kg",
    "oz",
    "lb",
    "n",
    "s",
    "ms",
    "min",
    "deg",
    "rad",
    "percent",
    "px",
    "frames",
    "rev",
    "rpm",
)
"""Unit suffixes recognised in names, to tell a wrong unit from a wrong name."""

MOST_LINES = 100_000
"""Of a file of readings; a log of a thousand readings a second fills them in two minutes."""
MOST_TOLD = 100
"""Faults told of one file."""

_SETTING = re.compile(r"^\s*([A-Za-z][A-Za-z0-9_]*)\s*=\s*(\S.*)$")


class ReadingsFileError(ModelError):
    """A file of readings cannot be used; carries every fault found in it.

    Parameters
    ----------
    file : str
        Name as the user gave it.
    faults : sequence of str
        One complete sentence per fault: row, column, what is wrong, remedy.
    """

    def __init__(self, file: Path | str, faults: Sequence[str]) -> None:
        self.file = str(file)
        self.faults = tuple(faults)
        shown = [fault[:500] for fault in faults[:MOST_TOLD]]
        shown += [f"and {len(faults) - MOST_TOLD} more like these"] * (len(faults) > MOST_TOLD)
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        super().__init__(f"{file}: {count} in this file of readings:" + "".join(f"\n  {fault}" for fault in shown))


@dataclass(frozen=True)
class Column:
    """A column, or a setting, of a file of readings.

    `kind` is 'number' or 'word'; `low` and `high` are the bounds a number may take (`above` excludes
    `low` itself); `choices` the words allowed; `default` fills empty cells where not required.
    """

    name: str
    meaning: str
    kind: str = "number"
    required: bool = True
    low: float = -np.inf
    high: float = np.inf
    above: bool = False
    choices: tuple[str, ...] = ()
    default: float | str | None = None

    @property
    def unit(self) -> str:
        """Unit suffix of the name, '' where it has none."""
        return unit_of(self.name)


@dataclass(frozen=True)
class Layout:
    """What a kind of file of readings must hold.

    `identity` names the columns that make a row one reading: two rows alike in all of them are a
    duplicate or a contradiction (a `repeat` column among them lets readings be repeated).
    """

    title: str
    columns: tuple[Column, ...]
    settings: tuple[Column, ...] = ()
    identity: tuple[str, ...] = ()
    least_rows: int = 3

    @property
    def names(self) -> set[str]:
        """All column and setting names."""
        return {entry.name for entry in self.columns + self.settings}


@dataclass(frozen=True)
class Readings:
    """A sound file of readings.

    `columns` holds one array per column of the layout, shape (n,): floats (nan where an optional cell is
    empty) or words ('' where empty). `rows` are line numbers (CSV) or counts (TOML), shape (n,).
    """

    file: str
    title: str
    settings: Mapping[str, Any]
    columns: Mapping[str, np.ndarray]
    rows: np.ndarray = field(repr=False)
    row_word: str = "row"

    def __len__(self) -> int:
        return len(self.rows)

    def __getitem__(self, name: str) -> np.ndarray:
        return self.columns[name]

    def fault(self, message: str) -> ReadingsFileError:
        """An error about this file as a whole."""
        return ReadingsFileError(self.file, [message])


def unit_of(name: str) -> str:
    """Unit suffix of a name such as `lift_mm`; '' where there is none."""
    for unit in UNITS:
        if name.endswith("_" + unit):
            return unit
    return ""


def read_readings(path: Any, layouts: Layout | Sequence[Layout]) -> Readings:
    """Read a file of readings.

    Parameters
    ----------
    path : str or Path
        `.toml`, or anything else read as CSV.
    layouts : Layout or sequence of Layout
        With several, the one that shares most names with the file is taken.

    Raises
    ------
    ReadingsFileError
        With every fault found.
    """
    layouts = (layouts,) if isinstance(layouts, Layout) else tuple(layouts)
    try:
        text = Path(path).read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise ReadingsFileError(path, ["there is no such file; check the name and folder"]) from None
    except UnicodeDecodeError as error:
        raise ReadingsFileError(path, [f"byte {error.start} is not UTF-8 text; save it as 'CSV UTF-8'"]) from None
    except OSError as error:
        raise ReadingsFileError(path, [f"cannot be read ({error.strerror}); give a text file"]) from None
    return parse_readings(text, layouts, file=str(path), toml=str(path).lower().endswith(".toml"))


def parse_readings(
    text: str, layouts: Sequence[Layout] | Layout, *, file: str = "readings", toml: bool = False
) -> Readings:
    """Like `read_readings`, from text."""
    layouts = (layouts,) if isinstance(layouts, Layout) else tuple(layouts)
    too_large = size_fault(text, MOST_LINES)
    if too_large is not None:
        raise ReadingsFileError(file, [too_large])
    faults: list[str] = []
    source = _split_toml(text, faults) if toml else _split_csv(text, faults)
    if source is None or (faults and not source.rows):
        raise ReadingsFileError(file, faults)
    layout = max(layouts, key=lambda candidate: len(candidate.names & (set(source.header) | set(source.settings))))
    settings = _check_settings(source, layout, faults)
    _check_header(source, layout, faults)
    columns = {column.name: _convert_column(source, column, faults) for column in layout.columns}
    if not faults:
        _check_identity(source, layout, columns, faults)
    if len(source.rows) < layout.least_rows:
        faults.append(
            f"too few readings: {len(source.rows)}; this measurement needs at least {layout.least_rows} "
            f"row{'s' if layout.least_rows > 1 else ''} below the header"
        )
    if faults:
        raise ReadingsFileError(file, faults)
    arrays = {
        name: np.array(cells, dtype=float if is_number else object) for name, (cells, is_number) in columns.items()
    }
    return Readings(file, layout.title, settings, arrays, np.array([row for row, _ in source.rows]), source.row_word)


@dataclass
class _Source:
    settings: dict
    setting_rows: dict
    header: list[str]
    header_row: int
    rows: list[tuple[int, dict]]
    row_word: str = "row"


def _split_csv(text: str, faults: list[str]) -> _Source | None:
    settings: dict = {}
    setting_rows: dict = {}
    lines: list = []
    for number, line in enumerate(text.splitlines(), start=1):
        stripped = line.strip()
        # spreadsheets pad remark lines with empty cells
        if stripped.lstrip('"').startswith("#"):
            if not lines:
                remark = _unpad_remark(stripped)
                _read_setting(remark, number, settings, setting_rows, faults)
        elif stripped.strip(",;\t"):
            lines.append((number, line))
    if not lines:
        faults.append("no header line and no readings; begin with a line of column names such as 'angle_deg, rear_g'")
        return None
    header_row, header_line = lines[0]
    separator = separator_of(header_line)
    header = [name.strip().strip('"').strip() for name in header_line.split(separator)]
    while header and not header[-1]:
        header.pop()
    rows = []
    cut = [(number, [cell.strip().strip('"').strip() for cell in line.split(separator)]) for number, line in lines[1:]]
    point_decimals(cut, separator, faults)
    for number, cells in cut:
        if len(cells) > len(header) and any(cells[len(header) :]):
            hint = "; write decimals with a point" if separator == "," else ""
            faults.append(f"row {number}: {len(cells)} cells under {len(header)} column names{hint}")
        rows.append((number, dict(zip(header, cells, strict=False))))
    return _Source(settings, setting_rows, header, header_row, rows)


def _unpad_remark(line: str) -> str:
    """A remark line as written, without a spreadsheet's empty cells and quotes around the cell."""
    line = line.rstrip(",;\t ")
    if line.startswith('"'):
        line = line.strip('"').replace('""', '"')
        line += '"' if line.count('"') % 2 else ""
    return line.lstrip("#")


def _read_setting(remark: str, number: int, settings: dict, setting_rows: dict, faults: list[str]) -> None:
    match = _SETTING.match(remark)
    if match is None:
        return
    name, value = match.groups()
    if name in settings:
        faults.append(f"row {number}: setting {name} is given twice (first in row {setting_rows[name]}); keep one")
        return
    try:
        settings[name] = tomllib.loads(f"value = {value}")["value"]
    except (ValueError, RecursionError):
        # a bare word is plain enough: axle = rear
        settings[name] = value.split("#")[0].strip()
    setting_rows[name] = number


def _split_toml(text: str, faults: list[str]) -> _Source | None:
    try:
        document = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        faults.append(f"not TOML: {NESTED if isinstance(error, RecursionError) else error}")
        return None
    if depth_of(document) > DEEPEST:
        faults.append(NESTED)
        return None
    tables = document.pop("reading", [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        faults.append("'reading' must be written as [[reading]] tables, one for each reading")
        return None
    if not tables:
        faults.append("no readings; add one [[reading]] table for each reading")
        return None
    header = list(dict.fromkeys(name for table in tables for name in table))
    rows = [(number, table) for number, table in enumerate(tables, start=1)]
    return _Source(document, {}, header, 0, rows, row_word="reading")


def _check_settings(source: _Source, layout: Layout, faults: list[str]) -> dict:
    known = {setting.name: setting for setting in layout.settings}
    for name in source.settings:
        if name not in known:
            where = f"row {source.setting_rows[name]}: " if name in source.setting_rows else ""
            faults.append(where + _unknown("setting", name, known))
    values: dict[str, Any] = {}
    for setting in layout.settings:
        if setting.name in source.settings:
            row = source.setting_rows.get(setting.name)
            place = f"row {row}, setting {setting.name}" if row else f"setting {setting.name}"
            values[setting.name] = _convert(source.settings[setting.name], setting, place, faults)
        else:
            values[setting.name] = setting.default
            if setting.required:
                sample = f'"{setting.choices[0]}"' if setting.choices else "..."
                faults.append(
                    f"setting {setting.name} is missing ({setting.meaning}); add the line '# {setting.name} "
                    f"= {sample}' "
                    "above the header"
                    if source.row_word == "row"
                    else f"setting {setting.name} is missing ({setting.meaning}); add '{setting.name} = "
                    f"{sample}' on top"
                )
    return values


def _check_header(source: _Source, layout: Layout, faults: list[str]) -> None:
    known = {column.name: column for column in layout.columns}
    where = f"row {source.header_row}: " if source.header_row else ""
    for place, name in enumerate(source.header, start=1):
        if not name:
            faults.append(f"{where}column {place} has no name; write its name and unit")
        elif name not in known:
            faults.append(where + _unknown("column", name, known))
        elif source.header.index(name) + 1 != place:
            faults.append(f"{where}column {name} appears twice; keep one")
    for column in layout.columns:
        if column.required and column.name not in source.header:
            faults.append(f"{where}column {column.name} is missing: {column.meaning}")


def _unknown(what: str, name: str, known: Mapping[str, Column]) -> str:
    unit = unit_of(name)
    stem = name[: -len(unit) - 1] if unit else name
    for other in known:
        other_stem = other[: -len(unit_of(other)) - 1] if unit_of(other) else other
        if stem == other_stem:
            given = f"in {unit.replace('_', ' ')}" if unit else "without a unit"
            wanted = f"in {unit_of(other).replace('_', ' ')}" if unit_of(other) else "as a plain number"
            return f"{what} {name} is {given}; it is needed {wanted}: convert the numbers and call it {other}"
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else "known are " + ", ".join(known)
    return f"{what} {name} is not known here; {hint}"


def _convert_column(source: _Source, column: Column, faults: list[str]) -> tuple[list[float | str], bool]:
    is_number = column.kind == "number"
    empty = column.default if column.default is not None else (np.nan if is_number else "")
    if column.name not in source.header:
        return [empty] * len(source.rows), is_number
    cells = []
    for row, cell_by_name in source.rows:
        cell = cell_by_name.get(column.name, "")
        place = f"{source.row_word} {row}, column {column.name}"
        if cell == "":
            if column.required:
                faults.append(f"{place}: empty; {column.meaning}")
            cells.append(empty)
        else:
            cells.append(_convert(cell, column, place, faults))
    return cells, is_number


def _convert(cell: float | str, column: Column, place: str, faults: list[str]) -> float | str:
    if column.kind == "word":
        if not isinstance(cell, str):
            faults.append(f"{place}: {cell!r} is not a word; {column.meaning}")
            return ""
        word = cell.strip().lower() if column.choices else cell.strip()
        if column.choices and word not in column.choices:
            near = get_close_matches(word, column.choices, n=1, cutoff=0.6)
            hint = f"; did you mean {near[0]}?" if near else ""
            faults.append(f"{place}: '{cell}' is none of {', '.join(column.choices)}{hint}")
        return word
    try:
        if isinstance(cell, bool):
            raise ValueError
        number = float(cell)
    except (TypeError, ValueError):
        faults.append(f"{place}: '{str(cell)[:60]}' is not a number; {_number_hint(str(cell)[:60], column)}")
        return np.nan
    if not np.isfinite(number):
        faults.append(f"{place}: '{str(cell)[:60]}' is not a finite number; leave the cell empty or delete the row")
        return np.nan
    if not is_physical(number, column.unit):
        what = f"{number:g} {column.unit.replace('_', ' ')}".rstrip()
        faults.append(f"{place}: {what} is no reading of a model vehicle; {column.meaning}")
        return np.nan
    if column.low < number <= column.high or (number == column.low and not column.above):
        return number
    unit = column.unit.replace("_", " ")
    if number < column.low or (column.above and number == column.low):
        bound = "above" if column.above else "at least"
        faults.append(f"{place}: {number:g} {unit}".rstrip() + f" must be {bound} {column.low:g}; {column.meaning}")
    elif number > column.high:
        faults.append(f"{place}: {number:g} {unit}".rstrip() + f" must be at most {column.high:g}; {column.meaning}")
    return number


def _number_hint(cell: str, column: Column) -> str:
    if re.fullmatch(r"[+-]?[\d.,]+\s*[A-Za-z°%]+", cell):
        return "write the number alone, the unit belongs in the column name"
    if re.fullmatch(r"[+-]?\d+,\d+", cell):
        return "write decimals with a point"
    return f"expected {column.meaning}"


def _check_identity(source: _Source, layout: Layout, columns: Mapping, faults: list[str]) -> None:
    if not layout.identity:
        return
    seen: dict[tuple, tuple[int, tuple]] = {}
    has_repeat = "repeat" in layout.identity
    for place, (row, _) in enumerate(source.rows):
        key = tuple(_comparable(columns[name][0][place]) for name in layout.identity)
        rest = tuple(_comparable(cells[place]) for name, (cells, _) in columns.items() if name not in layout.identity)
        if key not in seen:
            seen[key] = (row, rest)
            continue
        first, first_rest = seen[key]
        remedy = "delete one" + (", or number them in the column repeat if both were taken" if has_repeat else "")
        word = source.row_word
        if rest == first_rest:
            faults.append(f"{word} {row} is a duplicate of {word} {first}; {remedy}")
        else:
            differs = [
                name
                for name, (cells, _) in columns.items()
                if name not in layout.identity
                and _comparable(cells[place]) != _comparable(_cell(columns, name, source, first))
            ]
            faults.append(
                f"{word} {row} contradicts {word} {first}: the same "
                f"{', '.join(n for n in layout.identity if n != 'repeat')} "
                f"but another {', '.join(differs)}; {remedy}"
            )


def _cell(columns: Mapping, name: str, source: _Source, row: int) -> float:
    return columns[name][0][[number for number, _ in source.rows].index(row)]


def _comparable(cell: float | str) -> float | str | None:
    return None if isinstance(cell, float) and np.isnan(cell) else cell
