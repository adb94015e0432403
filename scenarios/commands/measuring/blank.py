"""Empty files of readings to fill in: settings on top with their meaning, one header line, nothing invented."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from noseload.commands.paths import creates
from noseload.csv_input import Column, Layout
from noseload.model.errors import ModelError
from noseload.output import write_whole

if TYPE_CHECKING:
    from noseload.commands.parser import Parser


def add_blank(parser: Parser) -> None:
    """Option that writes an empty file of readings."""
    parser.add_argument(
        "--blank", type=creates("--blank"), metavar="FILE.csv", help="write an empty file of readings to fill in"
    )


def blank_text(layout: Layout) -> str:
    """CSV text without a reading: a setting that is needed waits for its number, one that is not stands as a remark."""
    lines = [f"# {layout.title}: fill in what ends with =, then one reading a line below the last line"]
    for setting in layout.settings:
        if setting.required:
            lines.append(f"# {setting.name} =")
            lines.append(f"#   ({_meaning(setting)})")
        else:
            default = "" if setting.default is None else f", otherwise {_shown(setting.default)}"
            lines.append(f"#   may be given as # {setting.name} = ...: {_meaning(setting)}{default}")
    lines += [
        f"#   column {column.name}: {_meaning(column)}{'' if column.required else ' (may stay empty)'}"
        for column in layout.columns
    ]
    lines.append(", ".join(column.name for column in layout.columns))
    return "\n".join(lines) + "\n"


def _meaning(entry: Column) -> str:
    words = [choice for choice in entry.choices if choice]
    return entry.meaning + (f": {', '.join(words)}" if words else "")


def _shown(value: float | str) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def write_blank(file: str, layouts: tuple[Layout, ...]) -> str:
    """Write one empty file a layout; returns what to say of them.

    Parameters
    ----------
    file : str
        Name of the first; others get -2, -3 before the suffix.
    layouts : sequence of Layout

    Raises
    ------
    ModelError
        A file is there already: nothing is written then.
    """
    stem, suffix = os.path.splitext(file)
    names = [file if k == 0 else f"{stem}-{k + 1}{suffix}" for k in range(len(layouts))]
    there = [name for name in names if os.path.exists(name)]
    if there:
        raise ModelError(f"{', '.join(there)}: is there already and stays as it is; name another file")
    for name, layout in zip(names, layouts, strict=True):
        write_whole(name, blank_text(layout))
    said = [f"{name}: {layout.title}" for name, layout in zip(names, layouts, strict=True)]
    return "\n".join([*said, "Empty, to be filled in; --recipe tells how."])
