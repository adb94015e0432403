"""What every finished study offers alike: numbers by unit-named key, a table for notebooks, a picture.

All of it is made from `to_dict()`, so that keys, JSON document and table cannot tell different stories.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import fields
from functools import cached_property
from importlib import import_module
from typing import Any, ClassVar

import numpy as np

from noseload.documents import is_table
from noseload.model.errors import ModelError

ROWS = "rows"
"""The list of a document whose columns are offered as arrays of their own."""


class Result:
    """Base of all results that a user meets; subclasses are frozen dataclasses with a `to_dict`.

    `picture` names the function of `noseload.pictures` that draws the result: 'room.module.function', called
    with the result and the axes.
    """

    picture: ClassVar[str] = ""

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers under the keys of the JSON document."""
        raise NotImplementedError(f"{type(self).__name__} says nothing about its document")

    def keys(self) -> tuple[str, ...]:
        """Every key that `result[key]` knows: those of the document, of what lies inside, of its rows."""
        return tuple(self._named)

    @cached_property
    def _named(self) -> dict[str, Any]:
        """Made once: results do not change, and a punch has thousands of numbers."""
        return self._values()

    def _values(self) -> dict[str, Any]:
        return named_values(self.to_dict())

    def __getitem__(self, key: str) -> Any:
        """A number, word or table by its unit-named key; a column is an array, not-a-number where it is empty.

        Raises
        ------
        KeyError
            There is none of that name; the nearest ones are named.
        """
        return deepcopy(look_up(self._named, key, type(self).__name__))

    def __iter__(self) -> Iterator[str]:
        return iter(self.keys())

    def __contains__(self, key: object) -> bool:
        return key in self._named

    def _ipython_key_completions_(self) -> list[str]:
        return list(self.keys())

    def _repr_html_(self) -> str:
        from noseload.result_html import result_html

        return result_html(self.to_dict(), repr(self), type(self).__name__)

    def plot(self, ax: Any = None) -> Any:
        """Draw the result.

        Parameters
        ----------
        ax : Axes, optional
            By default those of a new figure.

        Returns
        -------
        Axes

        Raises
        ------
        ModelError
            There is nothing to draw, because there is no such pose or motion.
        """
        missing = self.nothing_to_draw()
        if missing:
            raise ModelError(f"{type(self).__name__} has nothing to draw: {missing}")
        return draw(self.picture, self, ax)

    def nothing_to_draw(self) -> str:
        """Why there is no picture, '' where there is one."""
        return ""


def field_values(result: Any, *left_out: str) -> dict[str, Any]:
    """Fields of a dataclass by name, but for some."""
    return {field.name: getattr(result, field.name) for field in fields(result) if field.name not in left_out}


def row_document(row: Any) -> dict[str, Any]:
    """A solved row under the keys of its document: the state stays out, status and message come last."""
    values = field_values(row, "state", "message", "status") | {"budget": dict(row.budget), "status": row.status}
    return values | ({"message": row.message} if row.message else {})


def draw(picture: str, *arguments: Any) -> Any:
    """Call a function of `noseload.pictures`, which imports Matplotlib only then."""
    module, _, function = picture.rpartition(".")
    return getattr(import_module(f"noseload.pictures.{module}"), function)(*arguments)


def look_up(known: Mapping[str, Any], key: str, what: str) -> Any:
    """The value of a key, or a `KeyError` that names the nearest ones."""
    if key in known:
        return known[key]
    from difflib import get_close_matches

    near = get_close_matches(str(key), known, 3, 0.6) or [name for name in known if str(key) and str(key) in name][:3]
    hint = f"nearest: {', '.join(near)}" if near else f"it has {', '.join(known)}"
    raise KeyError(f"{what} has no {key!r}; {hint}")


def named_values(document: Mapping[str, Any]) -> dict[str, Any]:
    """Everything a document holds under a name of its own.

    Tables inside (`budget`) are had whole, by joined keys (`budget_grade_n`) and, where no other has the
    name, by their own keys (`grade_n`); likewise the columns of `rows`.

    Returns
    -------
    dict
        Lists of numbers as arrays.
    """
    found = {key: _as_array(value) for key, value in document.items()}
    inner: list[tuple[str, Any]] = []
    for key, value in document.items():
        if isinstance(value, Mapping):
            inner += [(f"{key}_{name}", item) for name, item in _flat(value)] + list(_flat(value))
        elif key == ROWS and is_table(value):
            inner += _columns(value)
    times = Counter(name for name, _ in inner)
    return found | {name: _as_array(value) for name, value in inner if times[name] == 1 and name not in found}


def _flat(table: Mapping[str, Any], prefix: str = "") -> Iterator[tuple[str, Any]]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{prefix}{key}_")
        else:
            yield f"{prefix}{key}", value


def _columns(rows: list[Mapping[str, Any]]) -> list[tuple[str, Any]]:
    """Columns of rows by flat key, and those of tables inside a row by their own keys too."""
    names = dict.fromkeys(name for row in rows for name, _ in _flat(row))
    flat = [dict(_flat(row)) for row in rows]
    found = [(name, [row.get(name) for row in flat]) for name in names]
    for key, value in rows[0].items():
        if isinstance(value, Mapping):
            found += [(name, [(row.get(key) or {}).get(name) for row in rows]) for name in value]
    return found


def _as_array(value: Any) -> Any:
    """An array of a list of numbers (nested alike), None as not-a-number; tables likewise, anything else as it is."""
    if isinstance(value, Mapping):
        return {key: _as_array(item) for key, item in value.items()}
    if not isinstance(value, list | tuple) or not value or not _holds_numbers(value):
        return value
    try:
        return np.array(value, dtype=bool if _all_bool(value) else float)
    except ValueError:
        return value


def _holds_numbers(value: Any) -> bool:
    if isinstance(value, list | tuple):
        return all(_holds_numbers(item) for item in value)
    return value is None or isinstance(value, int | float)


def _all_bool(value: Any) -> bool:
    return all(_all_bool(item) if isinstance(item, list | tuple) else isinstance(item, bool) for item in value)
