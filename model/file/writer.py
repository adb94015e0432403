"""Writes vehicle files: whole ones from values, or single values into a text that keeps its comments."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle

from .keys import KEYS, TABLES

_ESCAPES = {"\\": "\\\\", '"': '\\"', "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}
_ORDER = {name: place for place, name in enumerate(dict.fromkeys([*KEYS, *sorted(TABLES)]))}


class _Statement(NamedTuple):
    """One header or `key = value` of a TOML text."""

    path: tuple[str, ...]
    header: tuple[str, ...]
    """Header above it; for a header its own path."""
    start: int
    value_start: int
    """-1 for a header."""
    end: int


def write_vehicle(vehicle: Vehicle | Mapping) -> str:
    """TOML text of a vehicle file that is read again identically.

    Parameters
    ----------
    vehicle : Vehicle or mapping
        A vehicle that was read (a setup gives the whole file it stands in), or the values of a file.

    Returns
    -------
    str
        Keys in the order of the key table; comments of the file it came from are not kept (`update_keys`
        keeps them). A `drive` given at reading is not written.

    Raises
    ------
    ModelError
        If the vehicle was not read from a document.
    """
    document: Mapping
    if not isinstance(vehicle, Vehicle):
        document = vehicle
    else:
        document = vehicle.document if vehicle.base is None else vehicle.base.document
        if not document:
            raise ModelError(f"vehicle {vehicle.name} was not read from a file; write its document")
    blocks: list[str] = []
    _write_table(document, (), blocks)
    return "\n".join(blocks)


def _write_table(table: Mapping, path: tuple[str, ...], blocks: list[str]) -> None:
    prefix = "".join(f"{part}." for part in path)
    names = sorted(table, key=lambda name: _ORDER.get(prefix + name, len(_ORDER)))
    lines = [
        f"{format_key((name,))} = {format_value(table[name])}\n"
        for name in names
        if not isinstance(table[name], Mapping)
    ]
    inner = [name for name in names if isinstance(table[name], Mapping)]
    if path and (lines or not inner):
        lines.insert(0, f"[{format_key(path)}]\n")
    if lines:
        blocks.append("".join(lines))
    for name in inner:
        _write_table(table[name], (*path, name), blocks)


def format_key(path: tuple[str, ...]) -> str:
    """Dotted TOML key, parts in quotes where they need them."""
    return ".".join(part if re.fullmatch(r"[A-Za-z0-9_-]+", part) else _quoted(part) for part in path)


def _escaped(text: str) -> str:
    return "".join(_ESCAPES.get(c) or (c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}") for c in text)


def _quoted(text: str) -> str:
    return f'"{_escaped(text)}"'


def format_value(value: object) -> str:
    """TOML text of a plain value."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        if "\n" in value:
            return '"""\n' + "\n".join(_escaped(line) for line in value.split("\n")) + '"""'
        return _quoted(value)
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, Mapping):
        inner = ", ".join(f"{format_key((name,))} = {_inline(item)}" for name, item in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_inline(item) for item in value) + "]"
    if hasattr(value, "isoformat"):
        return value.isoformat()
    raise ModelError(f"a vehicle file cannot hold {value!r}; use text, numbers, lists or tables")


def _inline(value: object) -> str:
    return _quoted(value) if isinstance(value, str) else format_value(value)


def update_keys(text: str, changes: Mapping[str, object]) -> str:
    """Set values in the text of a vehicle file, its comments and layout kept.

    Parameters
    ----------
    text : str
        A valid TOML text.
    changes : mapping of str to value
        Dotted key -> new value in file units, None to take the key out. Parts that hold dots stand in
        quotes: `'setups.raised."rear.upper_link.axle_end_mm"'`. Keys and tables not there are added.

    Returns
    -------
    str
        The new text; read again it differs in these keys alone.

    Raises
    ------
    ModelError
        If the text is no TOML, or a change cannot be made in it.
    """
    try:
        expected = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ModelError(f"the text to change is not TOML: {error}; mend it first") from None
    newline = "\r\n" if "\r\n" in text else "\n"
    for dotted, value in changes.items():
        path = _parse_key(dotted)
        _set_value(expected, path, value)
        text = _update_one(text, path, value, newline)
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        found = None
    if found is None or _normal_document(found) != _normal_document(expected):
        names = ", ".join(changes)
        raise ModelError(f"cannot change {names} in this layout; write plain `key = value` lines")
    return text


def _parse_key(dotted: str) -> tuple[str, ...]:
    try:
        table = tomllib.loads(f"{dotted} = 0")
    except tomllib.TOMLDecodeError:
        raise ModelError(f"{dotted!r} is no dotted key; write table.key, parts with dots in quotes") from None
    return _normal(_only_path(table))


def _only_path(table: dict) -> tuple[str, ...]:
    path = []
    while isinstance(table, dict) and table:
        name, table = next(iter(table.items()))
        path.append(name)
        table = table[0] if isinstance(table, list) and table else table
    return tuple(path)


def _normal(path: tuple[str, ...]) -> tuple[str, ...]:
    """Path with the dotted key of a setup line as one part, in quotes or not."""
    if len(path) > 3 and path[0] == "setups":
        return (*path[:2], ".".join(path[2:]))
    return path


def _leaves(table: Mapping, path: tuple[str, ...] = ()):
    for name, value in table.items():
        if isinstance(value, Mapping) and value:
            yield from _leaves(value, (*path, name))
        else:
            yield _normal((*path, name)), value


def _normal_document(document: Mapping) -> dict:
    """Leaves by path, empty tables left out: what must agree after an edit."""
    return {path: repr(value) for path, value in _leaves(document) if value != {}}


def _set_value(document: dict, path: tuple[str, ...], value: object) -> None:
    if path[0] == "setups" and len(path) == 3:
        setup = document.get("setups", {}).get(path[1], {})
        _drop_nested(setup, path[2])
    table = document
    for part in path[:-1]:
        if not isinstance(table.setdefault(part, {}), dict):
            raise ModelError(f"cannot change {format_key(path)}: {part} is no table in this file")
        table = table[part]
    if value is None:
        table.pop(path[-1], None)
    else:
        table[path[-1]] = list(value) if isinstance(value, tuple) else value


def _drop_nested(table: dict, dotted: str) -> None:
    """Take a setup line out that was written without quotes."""
    *path, name = dotted.split(".")
    for part in path:
        inner = table.get(part)
        if not isinstance(inner, dict):
            return
        table = inner
    table.pop(name, None)


def _update_one(text: str, path: tuple[str, ...], value: object, newline: str) -> str:
    statements = _scan(text)
    keys = [statement for statement in statements if statement.value_start >= 0]
    for statement in keys:
        if statement.path == path:
            if value is None:
                start, end = _line_span(text, statement)
                return text[:start] + text[end:]
            return text[: statement.value_start] + format_value(value) + text[statement.end :]
        if path[: len(statement.path)] == statement.path:
            inner = tomllib.loads("v = " + text[statement.value_start : statement.end])["v"]
            _set_value(inner, path[len(statement.path) :], value)
            return text[: statement.value_start] + format_value(inner) + text[statement.end :]
    if value is None:
        return text
    return _insert(text, statements, path, value, newline)


def _line_span(text: str, statement: _Statement) -> tuple[int, int]:
    start = text.rfind("\n", 0, statement.start) + 1
    end = text.find("\n", statement.end)
    return start, len(text) if end < 0 else end + 1


def _insert(text: str, statements: list[_Statement], path, value, newline: str) -> str:
    """Text with a new key, after the last key of its table or in a new table at the end."""
    table = path[:-1]
    below = [item for item in statements if item.header == table]
    if not below and table:
        # A table made of dotted keys may not get a header as well: continue in the dotted form.
        below = [item for item in statements if item.value_start >= 0 and item.path[: len(table)] == table]
        below = [item for item in below if item.header != item.path[:-1]]
    if below:
        last = below[-1]
        line = f"{format_key(path[len(last.header) :])} = {format_value(value)}{newline}"
        _, place = _line_span(text, last)
        before = text[:place]
        if not before.endswith("\n"):
            before += newline
        return before + line + text[place:]
    line = f"{format_key(path[-1:])} = {format_value(value)}{newline}"
    if not table:
        place = _after_first_comments(text)
        return text[:place] + line + text[place:]
    gap = "" if not text else (newline if text.endswith("\n") else newline * 2)
    return f"{text}{gap}[{format_key(table)}]{newline}{line}"


def _after_first_comments(text: str) -> int:
    """Start of the first line that is not a comment."""
    place = 0
    while text.startswith("#", place):
        end = text.find("\n", place)
        if end < 0:
            return 0
        place = end + 1
    return place


def find_lines(text: str, keys: Iterable[str]) -> list[int | None]:
    """Line number of each dotted key or table in a TOML text (from 1), or None where it is not written."""
    try:
        statements = _scan(text)
    except tomllib.TOMLDecodeError:
        statements = []
    places: dict[tuple[str, ...], int] = {}
    for item in statements:
        places.setdefault(item.path, item.start)
    found: list[int | None] = []
    for dotted in keys:
        try:
            place = places.get(_parse_key(dotted.partition(" ")[0].rstrip(":")))
        except ModelError:
            place = None
        found.append(None if place is None else text.count("\n", 0, place) + 1)
    return found


def _scan(text: str) -> list[_Statement]:
    """Headers and keys of a valid TOML text with their places."""
    statements = []
    header: tuple[str, ...] = ()
    place = 0
    while place < len(text):
        if text[place] in " \t\r\n":
            place += 1
        elif text[place] == "#":
            place = _end_of_line(text, place)
        elif text[place] == "[":
            end = _skip_value(text, place)
            header = _only_path(tomllib.loads(text[place:end]))
            statements.append(_Statement(_normal(header), header, place, -1, end))
            place = end
        else:
            equals = _find_equals(text, place)
            path = header + _only_path(tomllib.loads(text[place:equals] + "= 0"))
            value_start = equals + 1
            while text[value_start] in " \t":
                value_start += 1
            end = _skip_value(text, value_start)
            statements.append(_Statement(_normal(path), header, place, value_start, end))
            place = end
    return statements


def _end_of_line(text: str, place: int) -> int:
    end = text.find("\n", place)
    return len(text) if end < 0 else end


def _find_equals(text: str, place: int) -> int:
    while text[place] != "=":
        place = _skip_string(text, place) if text[place] in "\"'" else place + 1
    return place


def _skip_string(text: str, place: int) -> int:
    """Place after the string that starts here."""
    quote = text[place]
    triple = quote * 3
    if text.startswith(triple, place):
        end = place + 3
        while not text.startswith(triple, end):
            end += 2 if quote == '"' and text[end] == "\\" else 1
        end += 3
        # Up to two more quotes may belong to the string's own text.
        while text.startswith(quote, end):
            end += 1
        return end
    end = place + 1
    while text[end] != quote:
        end += 2 if quote == '"' and text[end] == "\\" else 1
    return end + 1


def _skip_value(text: str, place: int) -> int:
    """Place after the value that starts here: end of line or comment outside all brackets."""
    depth = 0
    last = place
    while place < len(text):
        character = text[place]
        if character in "\"'":
            place = last = _skip_string(text, place)
            continue
        if character == "#":
            if depth == 0:
                break
            place = _end_of_line(text, place)
            continue
        if character == "\n" and depth == 0:
            break
        depth += (character in "[{") - (character in "]}")
        place += 1
        if character not in " \t\r\n":
            last = place
    return last
