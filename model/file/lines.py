"""Lines of a TOML text on which keys and tables stand, for messages."""

import re
import tomllib
from bisect import bisect_left
from collections.abc import Iterable, Mapping


def find_lines(text: str, keys: Iterable[str]) -> list[int | None]:
    """Line number of each dotted key or table in a TOML text (from 1), or None where it is not written.

    The first line that names it and with which it appears in what can be read of the text so far.

    Parameters
    ----------
    text : str
    keys : iterable of str
        Dotted; what follows a space or a colon is no part of them. Parts that hold dots may stand in quotes.
    """
    reader = _Reader(text)
    return [reader.line_of(key.partition(" ")[0].rstrip(":")) for key in keys]


class _Reader:
    """What each number of lines of a text says, read once."""

    def __init__(self, text: str) -> None:
        self.lines = text.splitlines(keepends=True)
        self.read: dict[int, Mapping | None] = {}

    def document(self, count: int) -> Mapping | None:
        """Of the first `count` lines, or None where they end within a value."""
        if count not in self.read:
            try:
                self.read[count] = tomllib.loads("".join(self.lines[:count]).replace("\r\n", "\n"))
            except tomllib.TOMLDecodeError:
                self.read[count] = None
        return self.read[count]

    def written_by(self, count: int, path: tuple[str, ...]) -> bool:
        """Whether a key is there once the value on line `count` has ended."""
        while (document := self.document(count)) is None:
            count += 1
        return _holds(document, path)

    def line_of(self, dotted: str) -> int | None:
        """Line number of one key."""
        try:
            path = only_path(tomllib.loads(f"{dotted} = 0"))
        except tomllib.TOMLDecodeError:
            return None
        if self.document(len(self.lines)) is None:
            return None
        name = path[-1].rpartition(".")[2]
        whole = re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])", re.ASCII)
        naming = [n for n, line in enumerate(self.lines, start=1) if name in line and whole.search(line)]
        place = bisect_left(naming, True, key=lambda number: self.written_by(number, path))
        return naming[place] if place < len(naming) else None


def only_path(table: object) -> tuple[str, ...]:
    """Path of the one value or table that a document of one line holds."""
    path: tuple[str, ...] = ()
    while isinstance(table, Mapping) and table:
        name, table = next(iter(table.items()))
        path = (*path, name)
    return path


def _holds(table: object, path: tuple[str, ...]) -> bool:
    """Whether a key is written; the key of a setup line may be one quoted part, or dotted."""
    if not path:
        return True
    if not isinstance(table, Mapping):
        return False
    return any(
        _holds(table[name], path[n:]) for n in range(1, len(path) + 1) if (name := ".".join(path[:n])) in table
    ) or (len(path) == 1 and "." in path[0] and _holds(table, tuple(path[0].split("."))))
