"""Finds room for words inside a picture: beside their curve, or inside or next to the area they name.

Places depend on the size of the axes, which is known only when a figure is drawn: `LabelPlacer` moves its words then.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.lines import Line2D

from .style import INK, PAPER

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.backend_bases import RendererBase
    from matplotlib.text import Annotation, Text


CELL_POINTS = 2.5
"""Side of a cell in which a picture is taken to be empty or not."""
PAD_POINTS = 2.5
"""Between words and what they name, and around words."""
TOUCH, STRANGER, CROSSING = 200.0, 6.0, 400.0
"""Weights, in points of distance: words on something, words nearer to another curve than their own, a leader through words."""
WORDS_SIZE = 8.5
MOST_PUSHES, APART_POINTS = 16, 1.0
"""Rounds of pushing words apart, and the room kept around each."""
FEW = 400
"""Best places for which the leader line is looked at too."""


class Room:
    """Which cells of a rectangle hold something, and how much a box laid on it would cover.

    Parameters
    ----------
    corners : (x0, y0, x1, y1)
        Pixels.
    cell : float
        Side of a cell, pixels.
    """

    def __init__(self, corners: tuple[float, float, float, float], cell: float) -> None:
        self.x0, self.y0, self.x1, self.y1 = corners
        self.cell = cell
        self.columns = max(int((self.x1 - self.x0) / cell), 1)
        self.rows = max(int((self.y1 - self.y0) / cell), 1)
        self.taken = np.zeros((self.rows, self.columns), dtype=bool)

    def copy(self) -> Room:
        """The same room, to be filled further."""
        other = Room((self.x0, self.y0, self.x1, self.y1), self.cell)
        other.taken = self.taken.copy()
        return other

    def column_values(self, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Least and largest y (pixels) of a curve in every column; not-a-number where it is not."""
        x, y = _dense(x, y, self.cell)
        column = np.floor((x - self.x0) / self.cell)
        inside = np.isfinite(y) & (column >= 0) & (column < self.columns)
        low, high = np.full(self.columns, np.inf), np.full(self.columns, -np.inf)
        np.minimum.at(low, column[inside].astype(int), y[inside])
        np.maximum.at(high, column[inside].astype(int), y[inside])
        return np.where(np.isfinite(low), low, np.nan), np.where(np.isfinite(high), high, np.nan)

    def add_between(self, low: np.ndarray, high: np.ndarray) -> None:
        """Fill every column from `low` to `high` (pixels, one a column; not-a-number: nothing)."""
        level = self.y0 + self.cell * (np.arange(self.rows)[:, None] + 0.5)
        with np.errstate(invalid="ignore"):
            self.taken |= (level >= low - 0.5 * self.cell) & (level <= high + 0.5 * self.cell)

    def add_curve(self, x: np.ndarray, y: np.ndarray) -> None:
        """Fill the cells a curve runs through."""
        self.add_between(*self.column_values(x, y))

    def add_box(self, x: float, y: float, width: float, height: float) -> None:
        """Fill the cells of a box given by its lower left corner."""
        i, j = int((y - self.y0) / self.cell), int((x - self.x0) / self.cell)
        above, right = int((y + height - self.y0) / self.cell) + 1, int((x + width - self.x0) / self.cell) + 1
        self.taken[max(i, 0) : max(above, 0), max(j, 0) : max(right, 0)] = True

    def covered(self, x: np.ndarray, y: np.ndarray, width: float, height: float) -> np.ndarray:
        """Share of each box (lower left corners, arrays) that is taken, or outside: outside counts as 2."""
        total = np.zeros((self.rows + 1, self.columns + 1))
        total[1:, 1:] = self.taken.cumsum(axis=0).cumsum(axis=1)
        x, y = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(y, dtype=float))
        j = np.floor((x - self.x0) / self.cell).clip(0, self.columns).astype(int)
        i = np.floor((y - self.y0) / self.cell).clip(0, self.rows).astype(int)
        right = np.ceil((x + width - self.x0) / self.cell).clip(0, self.columns).astype(int)
        above = np.ceil((y + height - self.y0) / self.cell).clip(0, self.rows).astype(int)
        count = total[above, right] - total[i, right] - total[above, j] + total[i, j]
        share = count / np.maximum((above - i) * (right - j), 1)
        outside = (x < self.x0) | (y < self.y0) | (x + width > self.x1) | (y + height > self.y1)
        return np.where(outside, 2.0, share)


def _dense(x: np.ndarray, y: np.ndarray, step: float) -> tuple[np.ndarray, np.ndarray]:
    """A curve with points no further apart than a step."""
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if x.size < 2:
        return x, y
    away = np.maximum(np.abs(np.diff(x)), np.minimum(np.abs(np.diff(y)), 1e4))
    count = np.maximum(np.ceil(np.where(np.isfinite(away), away, 0.0) / step), 1).astype(int)
    at = np.repeat(np.arange(count.size), count)
    share = (np.arange(at.size) - np.repeat(np.cumsum(count) - count, count)) / count[at]
    return (
        np.append(x[at] + share * (x[at + 1] - x[at]), x[-1]),
        np.append(y[at] + share * (y[at + 1] - y[at]), y[-1]),
    )


@dataclass(frozen=True)
class Named:
    """What gets a name: a curve (`high` None), or the area between two curves, in data coordinates of its axes."""

    ax: Any
    x: np.ndarray
    low: np.ndarray
    high: np.ndarray | None
    text: Any
    leader: Any = None

    def pixels(self, which: str) -> np.ndarray:
        """The curve, or one edge of the area, in pixels."""
        return self.ax.transData.transform(np.column_stack([self.x, getattr(self, which)])).T


class LabelPlacer(Artist):
    """Moves words to where there is room each time the picture is drawn.

    Parameters
    ----------
    axes : list of Axes
        One, or one and its twins; the first is where the words stand.
    """

    def __init__(self, *axes: Axes) -> None:
        super().__init__()
        self.set_zorder(-1e3)
        self.set_in_layout(False)
        self._panels = axes
        self._named: list[Named] = []
        self._curves: list[tuple[Axes, np.ndarray]] = []
        axes[0].add_artist(self)

    def name_curve(self, ax: Axes, x: np.ndarray, y: np.ndarray, words: str, colour: str) -> None:
        """Words beside a curve, in its colour."""
        self._named.append(Named(ax, np.asarray(x), np.asarray(y), None, self._text(words, colour)))

    def name_area(self, x: np.ndarray, low: np.ndarray, high: np.ndarray, words: str) -> None:
        """Words inside an area, or near it with a thin line to it."""
        leader = Line2D([], [], color=INK, lw=0.7, marker="o", ms=2.6, markevery=[0], zorder=5.5, clip_on=False)
        leader.set_in_layout(False)
        self._panels[0].add_artist(leader)
        leader.set_transform(None)
        text = self._text(words, INK)
        text.set_bbox({"boxstyle": "square,pad=0.12", "fc": PAPER, "ec": "none", "alpha": 0.85})
        self._named.append(Named(self._panels[0], np.asarray(x), np.asarray(low), np.asarray(high), text, leader))

    def avoid_curve(
        self, ax: Axes, x: np.ndarray | list[float] | tuple[float, float], y: np.ndarray | tuple[float, float]
    ) -> None:
        """Words keep off this curve."""
        self._curves.append((ax, np.column_stack([x, y])))

    def _text(self, words: str, colour: str) -> Text:
        text = self._panels[0].text(
            0.5,
            0.5,
            words,
            transform=self._panels[0].transAxes,
            color=colour,
            fontsize=WORDS_SIZE,
            ha="left",
            va="bottom",
            zorder=6,
        )
        text.set_in_layout(False)
        return text

    def draw(self, renderer: RendererBase) -> None:
        """Place every name: areas with room inside first, then curves in the order given."""
        box = self._panels[0].get_window_extent(renderer)
        point = self._panels[0].figure.dpi / 72.0
        room = Room((box.x0, box.y0, box.x1, box.y1), CELL_POINTS * point)
        for ax, points in self._curves:
            room.add_curve(*ax.transData.transform(points).T)
        curves = [named for named in self._named if named.high is None]
        areas = [named for named in self._named if named.high is not None]
        _place_areas(room, areas, renderer, point)
        _place_curves(room, curves, renderer, point)
        self.stale = False


class KeepApart(Artist):
    """Moves words that would lie on each other up and down until they do not, each time the picture is drawn.

    Parameters
    ----------
    ax : Axes
    words : list of Annotation
        Placed by offsets in points.
    """

    def __init__(self, ax: Axes, words: list[Annotation]) -> None:
        super().__init__()
        self.set_zorder(-1e3)
        self.set_in_layout(False)
        self._words = words
        ax.add_artist(self)

    def draw(self, renderer: RendererBase) -> None:
        """Push the lower of two down and the upper one up, half of what is missing each."""
        point = float(np.asarray(renderer.points_to_pixels(1.0)))
        for _ in range(MOST_PUSHES):
            boxes = [text.get_window_extent(renderer).padded(APART_POINTS * point) for text in self._words]
            pairs = [(i, j) for i, j in combinations(range(len(boxes)), 2) if boxes[i].overlaps(boxes[j])]
            if not pairs:
                return
            for i, j in pairs:
                upper, lower = (i, j) if boxes[i].y0 + boxes[i].y1 >= boxes[j].y0 + boxes[j].y1 else (j, i)
                missing = 0.5 * (boxes[lower].y1 - boxes[upper].y0) / point + 0.1
                for k, shift in ((upper, missing), (lower, -missing)):
                    x, y = self._words[k].xyann
                    self._words[k].xyann = (x, y + shift)


def _touching(covered: np.ndarray) -> np.ndarray:
    """Cost of covering something: much for anything at all, more the more of it."""
    return TOUCH * ((covered > 0.0) + 10.0 * covered)


def _size(text: Text, renderer: RendererBase) -> tuple[float, float]:
    box = text.get_window_extent(renderer)
    return box.width, box.height


def _put(text: Any, x: float, y: float) -> None:
    text.set_position(text.axes.transAxes.inverted().transform((x, y)))


def _place_curves(room: Room, curves: list[Named], renderer: RendererBase, point: float) -> None:
    """Beside each curve, as near to its right end as there is room, and nearer to it than to any other."""
    pad, reach = PAD_POINTS * point, 9.0 * point
    own = [room.column_values(*named.pixels("low")) for named in curves]
    for low, high in own:
        room.add_between(low, high)
    for k, named in enumerate(curves):
        width, height = _size(named.text, renderer)
        others = Room((room.x0, room.y0, room.x1, room.y1), room.cell)
        for j, (low, high) in enumerate(own):
            if j != k:
                others.add_between(low, high)
        span = int(np.ceil(width / room.cell))
        if span >= room.columns or not np.isfinite(own[k][0]).any():
            named.text.set_visible(False)
            continue
        starts = np.arange(0, room.columns - span)
        windows = starts[:, None] + np.arange(span + 1)
        low = np.nanmin(np.where(np.isfinite(own[k][0]), own[k][0], np.inf)[windows], axis=1)
        high = np.nanmax(np.where(np.isfinite(own[k][1]), own[k][1], -np.inf)[windows], axis=1)
        x = np.tile(room.x0 + room.cell * starts, 2)
        y = np.concatenate([high + pad, low - pad - height])
        good = np.isfinite(y)
        y = np.where(good, y, room.y0 - 1e3)
        # A name along a steep stretch hangs far from most of its curve.
        steep = np.tile((high - low) / point, 2)
        cost = (
            _touching(room.covered(x - pad, y, width + 2 * pad, height))
            + 0.15 * (room.x1 - x - width) / point
            + STRANGER * 10.0 * others.covered(x, y - reach, width, height + 2 * reach)
            + 2.0 * np.where(np.isfinite(steep), steep, 1e3)
        )
        best = int(np.argmin(cost))
        _put(named.text, x[best], y[best])
        room.add_box(x[best] - pad, y[best], width + 2 * pad, height)


def _place_areas(room: Room, areas: list[Named], renderer: RendererBase, point: float) -> None:
    """Inside where the words fit, else near by with a leader line; the areas themselves are not written on by others."""
    pad = 1.5 * PAD_POINTS * point
    edges = [
        (room.column_values(*named.pixels("low"))[0], room.column_values(*named.pixels("high"))[1]) for named in areas
    ]
    words = room.copy()
    outside = []
    for named, (low, high) in zip(areas, edges, strict=True):
        width, height = _size(named.text, renderer)
        inner = words.copy()
        filled = Room((room.x0, room.y0, room.x1, room.y1), room.cell)
        filled.add_between(low + room.cell, high - room.cell)
        inner.taken |= ~filled.taken
        x, y = _grid(inner, width + 2 * pad, height + 2 * pad)
        fits = np.flatnonzero(inner.covered(x, y, width + 2 * pad, height + 2 * pad) == 0.0)
        if not fits.size:
            outside.append((named, low, high, width, height))
            continue
        # Where the area is thickest, and early rather than late.
        middle = 0.5 * (low + high)
        column = ((x[fits] + 0.5 * width + pad - room.x0) / room.cell).astype(int).clip(0, room.columns - 1)
        off = np.abs(y[fits] + 0.5 * height + pad - middle[column]) / point
        best = fits[int(np.argmin(off + 0.12 * (x[fits] - room.x0) / point))]
        _put(named.text, x[best] + pad, y[best] + pad)
        named.leader.set_data([], [])
        words.add_box(x[best], y[best], width + 2 * pad, height + 2 * pad)
    for low, high in edges:
        room.add_between(low, high)
    room.taken |= words.taken
    names = Room((room.x0, room.y0, room.x1, room.y1), room.cell)
    for item in sorted(outside, key=lambda item: _target(room, item[1], item[2])[0]):
        _place_outside(room, names, item, pad, point)


def _grid(room: Room, width: float, height: float) -> tuple[np.ndarray, np.ndarray]:
    """Lower left corners all over a room, two cells apart."""
    x = np.arange(room.x0, room.x1 - width, 2 * room.cell)
    y = np.arange(room.y0, room.y1 - height, 2 * room.cell)
    grid = np.meshgrid(x, y)
    return grid[0].ravel(), grid[1].ravel()


def _target(room: Room, low: np.ndarray, high: np.ndarray) -> tuple[float, float]:
    """Middle of an area where it is thickest, pixels."""
    thick = np.where(np.isfinite(high - low), np.minimum(high, room.y1) - np.maximum(low, room.y0), -1.0)
    # Broad places before needles: the mean over some columns.
    broad = np.convolve(np.maximum(thick, 0.0), np.ones(5) / 5.0, mode="same")
    k = int(np.argmax(broad))
    return (room.x0 + room.cell * (k + 0.5), 0.5 * (min(high[k], room.y1) + max(low[k], room.y0)))


def _place_outside(room: Room, names: Room, item: tuple, pad: float, point: float) -> None:
    """The nearest free place from which a line to the area crosses no other name."""
    named, low, high, width, height = item
    at = np.array(_target(room, low, high))
    x, y = _grid(room, width + 2 * pad, height + 2 * pad)
    near_x = np.clip(at[0], x + pad, x + pad + width)
    near_y = np.clip(at[1], y + pad, y + pad + height)
    cost = np.hypot(near_x - at[0], near_y - at[1]) / point + _touching(
        room.covered(x, y, width + 2 * pad, height + 2 * pad)
    )
    few = np.argsort(cost)[:FEW]
    ends = np.column_stack([near_x[few], near_y[few]])
    along = at + np.linspace(0.0, 1.0, 60)[:, None, None] * (ends - at)
    crossed, over = (
        filled.covered(along[..., 0], along[..., 1], room.cell, room.cell) > 0.0 for filled in (names, room)
    )
    # A line that runs over what is drawn counts twice as long: names stay on the side of what they name.
    best = few[int(np.argmin(cost[few] * (1.0 + over.mean(axis=0)) + CROSSING * crossed.mean(axis=0)))]
    _put(named.text, x[best] + pad, y[best] + pad)
    named.leader.set_data([at[0], near_x[best]], [at[1], near_y[best]])
    for filled in (room, names):
        filled.add_box(x[best], y[best], width + 2 * pad, height + 2 * pad)
    for step in np.linspace(0.0, 1.0, 80):
        spot = at + step * (np.array([near_x[best], near_y[best]]) - at)
        for filled in (room, names):
            filled.add_box(spot[0], spot[1], 0.0, 0.0)
