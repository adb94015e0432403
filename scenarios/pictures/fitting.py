"""Titles and labels of axes broken into lines before a picture is written, so that none leaves the canvas or its neighbour's room."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib.text import Text

from noseload.plain import lines_of, typeset

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure


MARGIN = 4.0
"""Pixels kept free at the edge of the canvas and before a neighbour."""
LEAST_LETTERS = 8
ROUNDS = 2
"""Lines that are added make axes smaller: the labels of the smaller axes are looked at once more."""


def fit_words(figure: Any) -> None:
    """Break every title and label that is longer than its room; the words stay the same, their signs become those of print."""
    for text in figure.findobj(Text):
        if text.get_text() != typeset(text.get_text()):
            text.set_text(typeset(text.get_text()))
    whole: dict[Text, str] = {}
    for _ in range(ROUNDS):
        _lay_out(figure)
        renderer = figure.canvas.get_renderer()
        broken = False
        for ax in figure.axes:
            edge = _right_edge(figure, ax)
            for title in _titles(ax):
                seen = title.get_window_extent(renderer)
                centred = title.get_horizontalalignment() == "center"
                room = 2.0 * (edge - 0.5 * (seen.x0 + seen.x1)) if centred else edge - seen.x0
                broken |= _break(title, seen.width, room, whole)
            label = ax.yaxis.label
            seen = label.get_window_extent(renderer)
            broken |= _break(label, seen.height, ax.get_window_extent(renderer).height, whole)
        for text in figure.texts:
            if text.get_text() == figure.get_suptitle():
                seen = text.get_window_extent(renderer)
                broken |= _break(text, seen.width, figure.bbox.width - MARGIN - max(seen.x0, 0.0), whole)
        if not broken:
            return


def _lay_out(figure: NotebookFigure) -> None:
    """Give axes their places, as drawing would: nothing is drawn for it."""
    engine = figure.get_layout_engine()
    if engine is not None:
        engine.execute(figure)


def _titles(ax: Axes) -> list[Text]:
    words = {ax.get_title(loc) for loc in ("left", "center", "right")} - {""}
    return [child for child in ax.get_children() if isinstance(child, Text) and child.get_text() in words]


def _right_edge(figure: NotebookFigure, ax: Axes) -> float:
    """Where the room of a title ends: at the canvas, or at the next axes on the same height."""
    own = ax.get_position()
    beside = [
        other.get_position().x0
        for other in figure.axes
        if other.get_position().x0 > own.x0 + 0.5 * own.width
        and other.get_position().y0 < own.y1
        and other.get_position().y1 > own.y0
    ]
    return figure.bbox.width * min([1.0, *beside]) - MARGIN


def _break(text: Text, length: float, room: float, whole: dict[Text, str]) -> bool:
    """Break words longer than their room (pixels), from what they were before any break; returns whether they were."""
    if length <= room or room <= 0.0 or not text.get_text():
        return False
    longest = max(map(len, text.get_text().split("\n")))
    letters = max(int(longest * room / length), LEAST_LETTERS)
    words = whole.setdefault(text, text.get_text())
    lines = [piece for line in words.split("\n") for piece in (lines_of(line, letters) or [""])]
    text.set_text("\n".join(lines))
    return True
