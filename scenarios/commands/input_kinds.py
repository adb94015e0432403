"""Whether a file that is there is one that commands read: a vehicle, readings, a trial."""

import os
import stat
from collections.abc import Iterator

from noseload.studies.trial.names import FILES_READ

LARGEST_LOOKED_AT = 4_000_000
"""Bytes of an existing file up to which it is read to see whether it is an input: pictures may be larger."""


def input_kind(path: str) -> str | None:
    """What an existing file is, if it is one that commands read; None for results, pictures, and no file at all.

    Parameters
    ----------
    path : str

    Returns
    -------
    str or None
        Words for a message.
    """
    try:
        found = os.stat(path)
        if not stat.S_ISREG(found.st_mode) or not found.st_size:
            return None
        if str(path).lower().endswith(".toml"):
            return "a TOML file"
        if _in_trial(os.path.realpath(path)):
            return "a file of a trial"
        if found.st_size > LARGEST_LOOKED_AT:
            return None
        with open(path, "rb") as file:
            text = file.read().decode("utf-8-sig")
    except (OSError, ValueError):
        return None
    return "a vehicle file or readings in TOML" if _is_toml(text) else _readings_kind(text)


def _in_trial(path: str) -> bool:
    names = [os.path.normpath(name) for name in FILES_READ]
    homes = [path.removesuffix(name) for name in names if path.endswith(os.sep + name)]
    return any(os.path.exists(os.path.join(home, names[0])) for home in homes)


def _is_toml(text: str) -> bool:
    import tomllib

    if "[" not in text or "=" not in text:
        return False
    try:
        document = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        return False
    return any(isinstance(value, dict | list) for value in document.values())


def _readings_kind(text: str) -> str | None:
    """A file is taken for readings where a layout needs no column it lacks and knows every one it has."""
    header = next((line for line in text.splitlines() if line.strip() and not line.lstrip(' "').startswith("#")), "")
    names = {cell.strip().strip('"').strip().lower() for cell in header.translate({59: ",", 9: ","}).split(",")} - {""}
    if not names:
        return None
    if {"run", "code"} <= names and names & {"reading_1", "ride_height_mm"}:
        return "a sheet of a trial"
    if names in ({"time_s", "throttle"}, {"time_s", "grip_factor"}, {"installation", "reading"}):
        return "a file of readings"
    for layout in all_layouts():
        needed = {column.name for column in layout.columns if column.required}
        if needed <= names <= {column.name for column in layout.columns}:
            return "a file of readings"
    return None


def all_layouts() -> Iterator:
    """Layouts of weighing, bench measurements, the board, a log of a punch, and the held-wheel bench."""
    from noseload.studies.bench.readings import BY_LEVER, BY_SCALE, BY_TORQUE
    from noseload.studies.measuring.measurements import WHAT, measurement_kind
    from noseload.studies.measuring.readings import READINGS_LAYOUT
    from noseload.studies.measuring.readings_log import LOG_LAYOUT
    from noseload.studies.weighing.layout import WEIGH_LAYOUT

    yield from (WEIGH_LAYOUT, READINGS_LAYOUT, LOG_LAYOUT, BY_SCALE, BY_LEVER, BY_TORQUE)
    for what in WHAT:
        yield from measurement_kind(what).layouts
