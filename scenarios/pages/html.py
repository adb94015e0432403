"""Small pieces of HTML: text is escaped, markup is marked as such, so that a name from a file can do no harm."""

import json
import re
from html import escape, unescape
from typing import Any

from noseload.plain import shown, typeset

PROSE = 70
"""Letters from which on a cell is prose: on a card it stands below its column's name, not squeezed beside it."""


class Markup(str):
    """Text that is markup already."""

    __slots__ = ()


def text(value: Any) -> Markup:
    """Escaped text without control characters, in markup and in attributes alike; markup stays as it is."""
    return value if isinstance(value, Markup) else Markup(escape(shown(str(value)), quote=True))


def join(parts: Any, between: str = "") -> Markup:
    """Parts one after the other; None is left out."""
    words = (part if isinstance(part, Markup) else typeset(str(part)) for part in parts if part is not None)
    return Markup(between.join(text(part) for part in words))


def element(tag: str, *parts: Any, attributes: dict | None = None) -> Markup:
    """An element with its parts; attributes that are None or False are left out, True has no value.

    Parameters
    ----------
    tag : str
    parts : str or Markup or None
    attributes : dict, optional
    """
    shown = "".join(
        f" {name}" if value is True else f' {name}="{text(value)}"'
        for name, value in (attributes or {}).items()
        if value is not None and value is not False
    )
    inner = join(parts)
    if tag in ("meta", "link", "input", "br", "col", "hr"):
        return Markup(f"<{tag}{shown}>")
    return Markup(f"<{tag}{shown}>{inner}</{tag}>")


def of_class(tag: str, name: str, *parts: Any) -> Markup:
    """An element of a class."""
    return element(tag, *parts, attributes={"class": name})


def paragraph(*parts: str) -> Markup:
    """A paragraph."""
    return element("p", *parts)


def bullets(items: Any) -> Markup:
    """A list of points; nothing where there are none."""
    points = [element("li", item) for item in items]
    return element("ul", *points) if points else Markup("")


def table(header: Any, rows: Any, *, caption: Any, first_is_name: bool = True) -> Markup:
    """A table that copies as text; where the screen is narrow each row is a card and each cell says its column's name.

    Parameters
    ----------
    header : sequence
    rows : sequence of sequences
    caption : str
    first_is_name : bool
        The first cell names its row.
    """
    head = element("tr", *(element("th", cell, attributes={"scope": "col"}) for cell in header))
    lines = []
    for row in rows:
        cells = [element("th", row[0], attributes={"scope": "row"}) if first_is_name else element("td", row[0])]
        named = zip(header[1:], row[1:], strict=False)
        cells += [
            element(
                "td",
                cell,
                attributes={
                    "data-label": (plain(name) or None) if len(header) > 2 else None,
                    "class": "prose" if len(header) > 2 and len(plain(cell)) > PROSE else None,
                },
            )
            for name, cell in named
        ]
        lines.append(element("tr", *cells))
    inner = element(
        "table", element("caption", element("span", caption)), element("thead", head), element("tbody", *lines)
    )
    # Two columns fit on any screen as they are.
    return of_class("div", "wide cards" if len(header) > 2 else "wide", inner)


def plain(words: str) -> str:
    """The text of markup without its elements."""
    return unescape(re.sub(r"<[^>]*>", "", words)) if isinstance(words, Markup) else str(words)


def folded(summary: str, *parts: str) -> Markup:
    """What stands behind a line that opens it; printed open."""
    return element("details", element("summary", summary), *parts)


def section(name: str, title: str, *parts: Any) -> Markup:
    """A section with its heading and anchor."""
    return element(
        "section",
        element("h2", title, attributes={"id": f"{name}-title"}),
        *parts,
        attributes={"id": name, "aria-labelledby": f"{name}-title"},
    )


def figure(drawing: Markup, caption: Any) -> Markup:
    """A drawing with its caption."""
    return element("figure", of_class("div", "wide drawing", drawing), element("figcaption", caption))


def embedded_json(value: Any, name: str) -> Markup:
    """Data for a script: strict JSON in which nothing can end the element or start a comment."""
    raw = json.dumps(value, allow_nan=False, ensure_ascii=True, separators=(",", ":"))
    safe = raw.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    return Markup(f'<script type="application/json" id="{text(name)}">{safe}</script>')
