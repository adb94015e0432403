"""Which options of a command name files, and whether it reads or writes them; outputs never destroy inputs.

Each such argument is declared with the type `reads`, `writes`, `writes_into` or `changes`, so that the parsed options
know what every path is for; `check_paths` looks at all of them together before anything runs.
"""

from __future__ import annotations

import argparse
import os
import stat
from collections.abc import Callable, Iterable, Iterator

from noseload.model.errors import ModelError
from noseload.studies.trial.names import FILES_READ

from .input_kinds import input_kind

MOST_ENTRIES = 2000
"""Entries of a folder that are compared with the inputs."""


class NamedPath(str):
    """A path as the user gave it; `role` is what the command does with it, `option` how the user names it."""

    role = ""
    option = ""

    def __new__(cls, text: str, option: str = "") -> NamedPath:
        path = super().__new__(cls, text)
        path.option = option
        return path

    def candidates(self) -> tuple[str, ...]:
        """Paths it may mean: as given, and what follows a name with an equals sign."""
        return (str(self), *(part for part in [self.partition("=")[2]] if part))


class ReadPath(NamedPath):
    """A file or folder that is read."""

    role = "reads"


class WritePath(NamedPath):
    """A file that is written."""

    role = "writes"


class NewPath(NamedPath):
    """A file that is written where none is yet, by a command that sees to that itself."""

    role = "creates"


class WriteFolder(NamedPath):
    """A folder into which files are written."""

    role = "writes_into"


class ChangePath(NamedPath):
    """A file whose lines are changed, the rest kept; only if it then still is what it was."""

    role = "changes"


def _converter(kind: type[NamedPath], option: str) -> Callable:
    def convert(text: str) -> NamedPath:
        if not text.strip():
            raise argparse.ArgumentTypeError("the file name is empty; name a file, or leave it out")
        if "\0" in text:
            raise argparse.ArgumentTypeError("a file name cannot hold a zero byte")
        return kind(text, option)

    return convert


def reads(option: str = "") -> Callable:
    """Argument type: a file or folder that the command reads."""
    return _converter(ReadPath, option)


def writes(option: str) -> Callable:
    """Argument type: a file that the command writes."""
    return _converter(WritePath, option)


def creates(option: str) -> Callable:
    """Argument type: a new file."""
    return _converter(NewPath, option)


def writes_into(option: str) -> Callable:
    """Argument type: a folder into which the command writes."""
    return _converter(WriteFolder, option)


def changes(option: str) -> Callable:
    """Argument type: a file in which the command changes lines."""
    return _converter(ChangePath, option)


def add_overwrite(parser: argparse.ArgumentParser) -> None:
    """The option without which no file of one's own is written over."""
    parser.add_argument(
        "--overwrite", action="store_true", help="let results take the place of a file that could be an input"
    )


def check_paths(options: argparse.Namespace) -> None:
    """Refuse outputs that are inputs, and outputs that would take the place of a file of the user's own.

    Raises
    ------
    ModelError
        With every fault, before anything was run or written.
    """
    named = list(_paths(vars(options).values()))
    read = {identity for path in named if path.role == "reads" for identity in _identities_read(path)}
    changed = {identity for path in named if path.role == "changes" for identity in [_identity(path)] if identity}
    faults, written = [], set()
    for path in named:
        if path.role == "writes_into":
            faults += _faults_of_folder(path, read | changed)
        if path.role != "writes":
            continue
        identity = _identity(path)
        if identity in read:
            faults.append(f"{path.option} {path}: this command reads that file; name another for the result")
        elif identity in changed:
            faults.append(f"{path.option} {path}: this command changes that file; name another for the result")
        elif identity in written:
            faults.append(f"{path.option} {path}: another result goes there already; name another file")
        elif not getattr(options, "overwrite", False) and (kind := input_kind(path)) is not None:
            faults.append(
                f"{path.option} {path}: {kind} is there already and stays as it is; name another file, or add --overwrite"
            )
        written |= {identity} if identity else set()
    if faults:
        raise ModelError("\n  ".join(faults) if len(faults) == 1 else "\n  " + "\n  ".join(faults))


def _paths(values: Iterable) -> Iterator[NamedPath]:
    for value in values:
        if isinstance(value, NamedPath):
            yield value
        elif isinstance(value, list | tuple):
            yield from _paths(value)


def _identity(path: str) -> object:
    """The same for every name of one file; None for pipes, devices and folders."""
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return os.path.realpath(path)
    return (found.st_dev, found.st_ino) if stat.S_ISREG(found.st_mode) else None


def _identities_read(path: NamedPath) -> Iterator[object]:
    for candidate in path.candidates():
        if os.path.isdir(candidate):
            yield from (_identity(os.path.join(candidate, name)) for name in FILES_READ)
        elif identity := _identity(candidate):
            yield identity


def _faults_of_folder(path: NamedPath, inputs: set) -> list[str]:
    """Faults of a folder of which an entry is an input by another name."""
    try:
        with os.scandir(path) as entries:
            found = [entry.path for _, entry in zip(range(MOST_ENTRIES), entries, strict=False)]
    except OSError:
        return []
    pictures = [name for name in found if not name.lower().endswith((".toml", ".csv", ".json", ".txt"))]
    return [
        f"{path.option} {path}: {os.path.basename(name)} in it is a file that this command reads; name another folder"
        for name in pictures
        if _identity(name) in inputs
    ]
