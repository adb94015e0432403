"""Cells of a CSV however a spreadsheet wrote it: comma, semicolon or tab between them, decimal point or comma."""

import re
from collections.abc import Sequence

_COMMA = re.compile(r"[+-]?\d+,\d+(?:[eE][+-]?\d+)?")
_POINT = re.compile(r"[+-]?\d+\.\d+(?:[eE][+-]?\d+)?")


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
