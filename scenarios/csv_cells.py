"""Cells of a CSV however a spreadsheet wrote it: comma, semicolon or tab between them, decimal point or comma."""

import re
from collections.abc import Sequence

_COMMA = re.compile(r"[+-]?\d+,\d+(?:[eE][+-]?\d+)?")
_POINT = re.compile(r"[+-]?\d+\.\d+(?:[eE][+-]?\d+)?")

LARGEST = {
    "g": 2e5, "kg": 200.0, "oz": 1e4, "lb": 500.0, "mm": 1e4, "cm": 1e3, "m": 10.0, "in": 400.0, "n": 2e3, "n_m": 1e3,
    "n_mm": 1e6, "n_per_mm": 1e5, "n_s_per_m": 1e5, "deg": 1e5, "rad": 2e3, "rev": 1e6, "rpm": 3e5, "s": 1e5, "ms": 1e8,
    "min": 1e4, "kg_mm2": 1e8, "g_mm2": 1e11, "kg_m2": 100.0, "rad_per_s": 1e5, "deg_per_s": 1e7, "rev_per_s": 1e4,
    "percent": 1e4, "px": 1e6, "frames": 1e8,
}  # fmt: skip
"""Unit -> largest size of any reading of a model vehicle."""
LARGEST_PLAIN = 1e6
"""The same of a number without a unit."""
SMALLEST = 1e-30
"""Size below which a number other than zero is no reading, nor what rounding leaves of one."""


def is_physical(number: float, unit: str) -> bool:
    """Whether a number can be a reading of a model vehicle at all."""
    size = abs(number)
    return size == 0.0 or SMALLEST <= size <= LARGEST.get(unit, LARGEST_PLAIN)


def separator_of(header: str) -> str:
    """What parts the cells of a file, from its header line."""
    return max(";\t,", key=header.count)


def point_decimals(rows: Sequence[tuple[int, list[str]]], separator: str, faults: list[str]) -> None:
    """Write the numbers of rows with a decimal point, in place.

    Parameters
    ----------
    rows : sequence of (int, list of str)
        Line number and cells.
    separator : str
        Between cells; with a comma there, a decimal comma cannot be told.
    faults : list of str
        Gets one sentence for each number with a point in a file of decimal commas: 1.513 may be meant as 1513.
    """
    if separator == ",":
        return
    if any(_COMMA.fullmatch(cell) for _, cells in rows for cell in cells):
        faults += [
            f"row {number}: {cell} has a point where other numbers of this file have a decimal comma; is it "
            f"{cell.replace('.', ',')} or {cell.replace('.', '')}? Write that"
            for number, cells in rows
            for cell in cells
            if _POINT.fullmatch(cell)
        ]
    for _, cells in rows:
        cells[:] = [cell.replace(",", ".") if _COMMA.fullmatch(cell) else cell for cell in cells]
