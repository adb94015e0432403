"""A finished result as a small HTML table, for notebooks: everything escaped, nothing fetched."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from math import isfinite
from typing import Any

from .documents import flatten, is_table

MOST_KEYS = 30
"""Single values shown; the rest is counted."""
MOST_COLUMNS, MOST_ROWS = 8, 10
LONGEST_TEXT = 200
ROUNDING = 1e-12
"""What is left of a number that is zero but for rounding."""
LEFT_OUT = ("schema", "command", "made_by", "recipe")
"""Keys about the document, not about the vehicle."""


def result_html(document: Mapping[str, Any], said: str, kind: str) -> str:
    """The result's sentence, its single values, its first table of rows and its sentences.

    Parameters
    ----------
    document : mapping
        What `to_dict` of the result says.
    said, kind : str
        The result in one sentence, and the name of its kind where that is too long.

    Returns
    -------
    str
    """
    document = {key: value for key, value in document.items() if key not in LEFT_OUT}
    title = said if len(said) <= LONGEST_TEXT else " ".join([kind, str(document.get("setup", ""))])
    parts = [f"<p><b>{escape(title.strip())}</b></p>", _values_html(document)]
    tables = [(key, value) for key, value in document.items() if is_table(value)]
    parts += [_rows_html(key, rows) for key, rows in tables[:2]]
    for key, value in document.items():
        if _is_words(value):
            parts.append(
                f"<p>{escape(key)}</p><ul>" + "".join(f"<li>{escape(_short(line))}</li>" for line in value) + "</ul>"
            )
    return '<div class="noseload">' + "".join(parts) + "</div>"


def shown(value: Any) -> str:
    """A value as a reader wants it: four digits, a dash for none."""
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return "-" if not isfinite(value) else "0" if abs(value) < ROUNDING else f"{value:.4g}"
    return _short(value)


def _values_html(document: Mapping[str, Any]) -> str:
    """Single values, and the size and range of each array."""
    lines = []
    for key, value in flatten(document).items():
        if hasattr(value, "tolist"):
            value = value.tolist()
        if is_table(value) or _is_words(value):
            continue
        lines.append((key, _range_words(value) if isinstance(value, list | tuple) else shown(value)))
    rest = len(lines) - MOST_KEYS
    cells = "".join(f"<tr><th>{escape(key)}</th><td>{escape(text)}</td></tr>" for key, text in lines[:MOST_KEYS])
    more = f"<tr><th>...</th><td>{rest} more</td></tr>" if rest > 0 else ""
    return f"<table><tbody>{cells}{more}</tbody></table>"


def _range_words(values: Sequence[Any]) -> str:
    numbers = [v for v in values if isinstance(v, int | float) and not isinstance(v, bool) and isfinite(v)]
    if not values or len(numbers) < len([v for v in values if v is not None]):
        return f"{len(values)} entries"
    if len(values) <= 4:
        return ", ".join(shown(v) for v in values)
    return (
        f"{len(values)} numbers, {shown(min(numbers))} to {shown(max(numbers))}" if numbers else f"{len(values)} empty"
    )


def _rows_html(name: str, rows: Sequence[Mapping[str, Any]]) -> str:
    flat = [{k: v for k, v in flatten(dict(row)).items() if not isinstance(v, list | tuple)} for row in rows]
    # A word that is the same in every row (the setup) stands in the title already.
    columns = [
        key
        for key in flat[0]
        if any(row.get(key) is not None for row in flat)
        and not (len(flat) > 1 and isinstance(flat[0][key], str) and all(row.get(key) == flat[0][key] for row in flat))
    ][:MOST_COLUMNS]
    head = "".join(f"<th>{escape(key)}</th>" for key in columns)
    lines = ["".join(f"<td>{escape(shown(row.get(key)))}</td>" for key in columns) for row in flat]
    if len(lines) > MOST_ROWS:
        half = MOST_ROWS // 2
        gap = f'<td colspan="{len(columns)}">... {len(lines) - MOST_ROWS} more ...</td>'
        lines = [*lines[:half], gap, *lines[-half:]]
    body = "".join(f"<tr>{line}</tr>" for line in lines)
    return f"<table><caption>{escape(name)}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _is_words(value: Any) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(item, str) for item in value)


def _short(text: Any) -> str:
    words = str(text)
    return words if len(words) <= LONGEST_TEXT else words[: LONGEST_TEXT - 3] + "..."
