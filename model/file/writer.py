"""Writes vehicle files: whole ones from values, or single values into a text that keeps its comments and layout."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import ConvertError
from tomlkit.items import AbstractTable, InlineTable, Item, Key, SingleKey

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle

from .keys import KEYS, TABLES
from .lines import only_path

_ORDER = {name: place for place, name in enumerate(dict.fromkeys([*KEYS, *sorted(TABLES)]))}


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
    return ".".join(SingleKey(part).as_string() for part in path)


def format_value(value: object, *, within: bool = False) -> str:
    """TOML text of a plain value; of lists and tables part by part, a tenth of the time that their items take."""
    if isinstance(value, Mapping):
        lines = (f"{format_key((name,))} = {format_value(part, within=True)}" for name, part in value.items())
        return f"{{{', '.join(lines)}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(format_value(part, within=True) for part in value)}]"
    return _item(value, within=within).as_string()


def _item(value: object, *, within: bool = False) -> Item:
    """Item of the writing library; text over several lines stands so, but not within a list or table."""
    if isinstance(value, str):
        # A carriage return within several lines would be read as part of a line's end.
        return tomlkit.string(value, multiline="\n" in value and "\r" not in value and not within)
    if isinstance(value, Mapping):
        inner = tomlkit.inline_table()
        for name, part in value.items():
            inner.append(name, _item(part, within=True))
        return inner
    if isinstance(value, list | tuple):
        items = tomlkit.array()
        items.extend(_item(part, within=True) for part in value)
        return items
    try:
        return tomlkit.item(value)
    except ConvertError:
        raise ModelError(f"a vehicle file cannot hold {value!r}; use text, numbers, lists or tables") from None


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
    layout = tomlkit.parse(text if not text or text.endswith("\n") else text + "\n")
    for dotted, value in changes.items():
        path = _parse_key(dotted)
        _set_value(expected, path, value)
        layout = _update_one(layout, path, value)
    text = layout.as_string()
    text = text.replace("\r\n", "\n").replace("\n", newline)
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
    return _normal(only_path(table))


def _normal(path: tuple[str, ...]) -> tuple[str, ...]:
    """Path with the dotted key of a setup line as one part, in quotes or not."""
    if len(path) > 3 and path[0] == "setups":
        return (*path[:2], ".".join(path[2:]))
    return path


def _leaves(table: Mapping, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], object]]:
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


def _update_one(layout: tomlkit.TOMLDocument, path: tuple[str, ...], value: object) -> tomlkit.TOMLDocument:
    """The document with one key set, added or taken out."""
    table, rest = _innermost(layout, path)
    if value is None:
        if len(rest) == 1 and rest[0] in table:
            del table[rest[0]]
        return layout
    if len(rest) > 1 and not isinstance(table, InlineTable):
        # A table that is not there yet stands at the end.
        text = layout.as_string()
        gap = "" if not text else "\n"
        return tomlkit.parse(f"{text}{gap}[{format_key(path[:-1])}]\n{format_key(path[-1:])} = {format_value(value)}\n")
    for part in reversed(rest[1:]):
        value = {part: value}
    if rest[0] in table:
        table[rest[0]] = _item(value)
    else:
        _add(table, rest[0], _item(value))
    return layout


def _innermost(document: Any, path: tuple[str, ...]) -> tuple[Any, tuple[str, ...]]:
    """The innermost table on a way that is there, and the rest of the way; a setup's line may be dotted or one quoted part."""
    table = document
    while len(path) > 1 and isinstance(table.get(path[0]), Mapping):
        table, path = table[path[0]], path[1:]
    if len(path) == 1 and path[0] not in table and "." in path[0]:
        parts = tuple(path[0].split("."))
        inner, rest = _innermost(table, parts)
        if len(rest) == 1 and rest[0] in inner:
            return inner, rest
    return table, path


def _add(table: Any, name: str, value: Item) -> None:
    """A new key after the last one of a table: before the comments that lead over to what follows."""
    key: Key = SingleKey(name)
    body = table.value.body if isinstance(table, AbstractTable) else getattr(table, "body", None)
    if body is None or not any(known for known, _ in body):
        table[key] = value
        return
    trailing = []
    while body[-1][0] is None:
        trailing.append(body.pop())
    table.append(key, value)
    body.extend(reversed(trailing))
