"""What is doubtful about a vehicle file, one short line each: shown above the output of every command."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.vehicle import Vehicle

if TYPE_CHECKING:
    from argparse import Namespace


OWN_WORDS = ("describe", "overview", "new")
"""Commands that tell doubts themselves, or know no vehicle yet."""
WIDTH = 150
"""Characters of a line that is shortened."""
MOST = 3
"""Lines above the output of a command."""


def doubt_lines(vehicle: Vehicle, most: int = MOST) -> list[str]:
    """So many doubts, each shortened; the last line counts the others."""
    doubts = vehicle.warnings
    lines = [shortened(doubt) for doubt in doubts[:most]]
    if len(doubts) > most:
        lines.append(f"and {len(doubts) - most} more")
    return lines


def shortened(text: str, width: int = WIDTH) -> str:
    """Text cut at a word, so that it fits; the remedy after a semicolon goes first."""
    if len(text) <= width:
        return text
    head = text.partition("; ")[0]
    if len(head) <= width:
        return head
    return head[: width - 4].rsplit(" ", 1)[0] + " ..."


def preface(command: str, options: argparse.Namespace, files: Sequence[str]) -> str:
    """Lines above the output of a command: what is doubtful about the files it was given; '' where nothing is.

    Parameters
    ----------
    command : str
    options : argparse.Namespace
        As parsed: `setup` and `setups` say which vehicles of a file are looked at.
    files : sequence of str
        Vehicle files given.
    """
    if command in OWN_WORDS:
        return ""
    lines = []
    for file in files:
        found = _doubts_of(file, options)
        name = f"{file}: " if len(files) > 1 else ""
        lines += [f"doubt: {name}{shortened(doubt)}" for doubt in found[:MOST]]
        if len(found) > MOST:
            lines.append(f"doubt: {name}and {len(found) - MOST} more: noseload describe {file}")
    return "\n".join(lines) + ("\n" if lines else "")


def _doubts_of(file: str, options: Namespace) -> list[str]:
    """Doubts of the vehicles of a file that a command looks at, each once."""
    wanted, several = getattr(options, "setup", None), getattr(options, "setups", "")
    try:
        base = load_vehicle(file)
        names = base.setups if several in (None, "all") else [name.strip() for name in (several or "").split(",")]
        names = [wanted] if wanted else names
        vehicles = [base, *(load_vehicle(file, setup=name) for name in names if name and name != "base")]
    except (ModelError, OSError):
        # The command says what is wrong with the file.
        return []
    return list(dict.fromkeys(doubt for vehicle in vehicles for doubt in vehicle.warnings))
