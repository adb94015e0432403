"""Throttle and grip over time: the usual ones by name, and those read from a CSV file."""

from __future__ import annotations

import csv
from itertools import pairwise
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING

from noseload.csv_cells import point_decimals, separator_of
from noseload.model.errors import ModelError
from noseload.model.motion.programs import Program

if TYPE_CHECKING:
    import numpy as np


THROTTLE_PROGRAMS = ("ramp", "step", "blip", "hold", "grab_brake")
LARGEST_THROTTLE = 1.0
LARGEST_GRIP_FACTOR = 100.0
LONGEST_S = 1e4
"""Times of a program, s: from minus to plus that."""


class ProgramFileError(ModelError):
    """A program file cannot be used; lists every fault in it."""

    def __init__(self, file: Path | str, faults: list[str]) -> None:
        self.file, self.faults = str(file), tuple(faults)
        super().__init__(f"{file}: " + "".join(f"\n  {fault}" for fault in faults))


def ramp(throttle_start: float, throttle: float, *, start_s: float, rise_s: float) -> Program:
    """From the holding throttle to `throttle` within `rise_s`; a jump where that is 0."""
    return Program((start_s, start_s + rise_s), (throttle_start, throttle), "throttle program")


def step(throttle_start: float, throttle: float, *, start_s: float) -> Program:
    """A jump to `throttle`."""
    return ramp(throttle_start, throttle, start_s=start_s, rise_s=0.0)


def blip(throttle_start: float, throttle: float, *, start_s: float, rise_s: float, hold_s: float) -> Program:
    """Up to `throttle`, held for `hold_s`, and back within the same rise time."""
    top = start_s + rise_s
    return Program(
        (start_s, top, top + hold_s, top + hold_s + rise_s),
        (throttle_start, throttle, throttle, throttle_start),
        "throttle program",
    )


def hold(throttle_start: float) -> Program:
    """The holding throttle for ever."""
    return Program.constant(throttle_start, "throttle program")


def slip_and_catch(*, start_s: float, lost_s: float, fraction: float) -> Program:
    """Grip that drops to `fraction` at `start_s` and is back `lost_s` later."""
    if not 0.0 <= fraction <= 1.0:
        raise ModelError(f"slip and catch: fraction {fraction:g} must lie between 0 and 1")
    if not lost_s > 0.0:
        raise ModelError(f"slip and catch: {lost_s:g} s without grip; give a time above 0")
    return Program(
        (start_s, start_s, start_s + lost_s, start_s + lost_s), (1.0, fraction, fraction, 1.0), "grip program"
    )


def named_throttle(
    name: str, throttle_start: float, throttle: float, *, start_s: float, rise_s: float, hold_s: float
) -> Program:
    """A throttle program of `THROTTLE_PROGRAMS`, from the throttle that holds the start."""
    if name == "step":
        return step(throttle_start, throttle, start_s=start_s)
    if name == "blip":
        return blip(throttle_start, throttle, start_s=start_s, rise_s=rise_s, hold_s=hold_s)
    if name == "hold":
        return hold(throttle_start)
    return ramp(throttle_start, 0.0 if name == "grab_brake" else throttle, start_s=start_s, rise_s=rise_s)


def first_rise(throttle: Program) -> float | None:
    """When a throttle first rises above what it starts with, s; None where it never does."""
    first = throttle.values[0]
    for (time, value), (later, reached) in pairwise(zip(throttle.times, throttle.values, strict=True)):
        if reached > first:
            dip = max(first - value, 0.0)
            return time + (later - time) * dip / (reached - value)
    return None


def drag_brake(
    name: str,
    throttle: Program,
    brake_start: float,
    brake: float | np.ndarray,
    *,
    start_s: float,
    rise_s: float,
    release_s: float | None = None,
) -> Program:
    """The drag brake (N m) over time.

    Parameters
    ----------
    name : str
        Of the throttle program; 'grab_brake' puts the brake on while the throttle goes to rest.
    throttle : Program
        The throttle of the whole punch: a brake that holds the start lets go as this first rises, and stays on where it
        never does.
    brake_start, brake : float
        Torque that holds the start, and the brake's full one.
    start_s, rise_s : float
        When a grabbed brake begins to bite, and how long it takes to bite or to let go.
    release_s : float, optional
        When a brake that holds the start lets go, whatever the throttle does.
    """
    if name == "grab_brake":
        return Program((start_s, start_s + rise_s), (brake_start, brake), "brake program")
    release = None
    if brake_start:
        release = first_rise(throttle) if release_s is None else release_s
    if release is None:
        return Program.constant(brake_start, "brake program")
    return Program((release, release + rise_s), (brake_start, 0.0), "brake program")


def after_hold(program: Program, throttle_start: float) -> Program:
    """A given throttle program, held at the steady throttle until its first time."""
    if program.times[0] <= 0.0:
        return program
    return Program((program.times[0], *program.times), (throttle_start, *program.values), program.name)


def read_program(file: Path | str, *, quantity: str) -> Program:
    """Read a program from a CSV file with the columns ``time_s`` and `quantity`.

    Parameters
    ----------
    file : str or Path
    quantity : str
        'throttle' (-1..1) or 'grip_factor' (not negative).

    Returns
    -------
    Program

    Raises
    ------
    ProgramFileError
        With every fault: row, column, number and remedy.
    """
    low, high = (-LARGEST_THROTTLE, LARGEST_THROTTLE) if quantity == "throttle" else (0.0, LARGEST_GRIP_FACTOR)
    try:
        with Path(file).open(newline="", encoding="utf-8-sig") as stream:
            lines = [line for line in stream if line.strip() and not line.startswith("#")]
    except OSError as trouble:
        raise ProgramFileError(file, [f"cannot be read: {trouble.strerror}"]) from None
    except UnicodeDecodeError:
        raise ProgramFileError(
            file, ["is not a text file in UTF-8; save it as CSV with a comma between columns"]
        ) from None
    separator = separator_of(lines[0] if lines else "")
    try:
        rows = [[cell.strip() for cell in row] for row in csv.reader(lines, delimiter=separator)]
    except csv.Error as trouble:
        raise ProgramFileError(file, [f"is not CSV ({trouble}); write one time and one value a row"]) from None
    header = rows[0] if rows else []
    if header != ["time_s", quantity]:
        raise ProgramFileError(file, [f"the first row must be 'time_s,{quantity}', it is '{','.join(header)}'"])
    faults: list[str] = []
    point_decimals(list(enumerate(rows))[1:], separator, faults)
    times: list[float] = []
    values: list[float] = []
    for number, row in enumerate(rows[1:], start=2):
        pair = _numbers(row, number, quantity, faults)
        if pair is None:
            continue
        time, value = pair
        if abs(time) > LONGEST_S:
            faults.append(f"row {number}, time_s: {time:g} s; a program lasts seconds, {LONGEST_S:g} s at most")
        if times and time < times[-1]:
            faults.append(f"row {number}, time_s: {time:g} s comes after {times[-1]:g} s; sort the rows by time")
        if len(times) > 1 and time == times[-2]:
            faults.append(f"row {number}, time_s: a third row at {time:g} s; a jump takes two")
        if not low <= value <= high:
            faults.append(f"row {number}, {quantity}: {value:g} must lie between {low:g} and {high:g}")
        times.append(time)
        values.append(value)
    if not times and not faults:
        faults.append("has no rows below its header; give at least one time and value")
    if faults:
        raise ProgramFileError(file, faults)
    return Program(tuple(times), tuple(values), f"{quantity} program {Path(file).name}")


def _numbers(row: list[str], number: int, quantity: str, faults: list[str]) -> tuple | None:
    if len(row) != 2:
        faults.append(f"row {number}: {len(row)} columns instead of 2 (time_s, {quantity})")
        return None
    found = []
    for column, cell in zip(("time_s", quantity), row, strict=True):
        try:
            value = float(cell)
        except ValueError:
            value = float("nan")
        if not isfinite(value):
            faults.append(f"row {number}, {column}: '{cell.strip()}' is not a finite number")
        found.append(value)
    return tuple(found) if all(map(isfinite, found)) else None
