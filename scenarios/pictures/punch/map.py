"""The map of two setups over grade and rise time: smallest front load and time in the air."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.colors import ListedColormap
from matplotlib.ticker import FuncFormatter, LogLocator, NullFormatter

from noseload.model.names import shown_name
from noseload.pictures.style import FAINT, INK, PAPER, as_grams, figure_for, head_figure, house_look, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.punch.map import PunchMap


MOST_SIGNS = 16
"""Rows and columns of plus and minus signs at most."""
SIGN_FROM, DARK_FROM = 0.15, 0.6
"""Changes that get a sign, and those on whose colour it must be white, as shares of the largest shown."""
FEW_CELLS = 4
FLIP_LOOKS = (
    ("first", "#2b4a8b", "only {first} flips"),
    ("second", "#8b1a2b", "only {second} flips"),
    ("both", "#8a8f94", "both flip"),
)
"""Who flips, its colour (blue and red as in the map: in favour of the second, or of the first), and the words."""


@house_look
def draw_punch_map(result: PunchMap) -> NotebookFigure:
    """Both panels of a map.

    Parameters
    ----------
    result : PunchMap

    Returns
    -------
    Figure
    """
    figure, (left, right) = new_figure(12.0, 5.2, 1, 2)
    plot_load_map(result, left)
    plot_airborne_map(result, right)
    first, second = map(shown_name, result.setups)
    head_figure(
        figure, f"{second} against {first}: throttle to {result.throttle:g} (+ more, - less){_few_flips(result)}", 11
    )
    return figure


@house_look
def plot_load_map(result: PunchMap, ax: Axes | None = None) -> Axes:
    """Change of the smallest front load, g, with the contours of what would be noticed.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    change = as_grams(result.load_difference_n)
    line = as_grams(result.noticed_load_n)
    _panel(ax, result, change, "g", f"change of the minimum front axle load\n{_outline(ax, result, change, line, 'g')}")
    _say_lifted(ax, result, (result.front_load_min_n <= 0.0).all(axis=0))
    return ax


@house_look
def plot_airborne_map(result: PunchMap, ax: Axes | None = None) -> Axes:
    """Change of the time the front axle is in the air, ms; none is shown where one flips.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    change, line = 1e3 * result.airborne_difference_s, 1e3 * result.thresholds.noticed_airborne_s
    _panel(
        ax,
        result,
        change,
        "ms",
        f"change of the front axle's time in the air\n{_outline(ax, result, change, line, 'ms')}",
    )
    return ax


def _panel(ax: Axes, result: PunchMap, values: np.ndarray, unit: str, title: str) -> None:
    """One map: red for less, blue for more, light for none; cells without a number hatched."""
    shown = np.ma.masked_invalid(values)
    largest = float(np.nanpercentile(np.abs(values), 98)) if shown.count() else 1.0
    largest = largest or 1.0
    times, grades = cell_edges(1e3 * result.rise_s, log=True), cell_edges(result.grade_deg)
    mesh = ax.pcolormesh(times, grades, shown, cmap="RdBu", vmin=-largest, vmax=largest, rasterized=True)
    bar = ax.figure.colorbar(mesh, ax=ax, pad=0.02, extend="both")
    bar.set_label(unit, rotation=0)
    bar.outline.set_visible(False)
    _signs(ax, result, values, largest)
    _flips(ax, result, times, grades)
    bad = result.status != "ok"
    if bad.any():
        ax.pcolor(
            times,
            grades,
            np.ma.masked_where(~bad, np.zeros(bad.shape)),
            hatch="xxx",
            facecolor="none",
            edgecolor=FAINT,
            cmap="Greys",
            vmin=0.0,
            vmax=1.0,
            lw=0.0,
        )
        words = "cannot start" if (result.status[bad] == "start_not_held").all() else "no result"
        _write(ax, result, bad, words)
    ax.set_xscale("log")
    ax.xaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda ms, _: f"{ms:g}"))
    ax.xaxis.set_minor_formatter(NullFormatter())
    ax.set_xlabel("rise time of the throttle, ms")
    ax.set_ylabel("grade, deg")
    ax.grid(False)
    ax.set_title(title)


def _flips(ax: Axes, result: PunchMap, times: np.ndarray, grades: np.ndarray) -> None:
    """A flip is an outcome of its own: solid colour with bars, over whatever number the cell has."""
    names = dict(zip(("first", "second"), map(shown_name, result.setups), strict=True))
    for who, colour, words in FLIP_LOOKS:
        cells = result.flip_words == who
        if not cells.any():
            continue
        ax.pcolor(
            times,
            grades,
            np.ma.masked_where(~cells, np.zeros(cells.shape)),
            facecolor=colour,
            edgecolor=PAPER,
            hatch="||",
            cmap=ListedColormap([colour]),
            lw=0.0,
            zorder=4.5,
        )
        if cells.sum() >= FEW_CELLS:
            _write(ax, result, cells, words.format(**names))


def _few_flips(result: PunchMap) -> str:
    """Words for flips in too few cells to be written on them."""
    found = []
    for who, shade in (("first", "blue"), ("second", "red")):
        if 0 < (result.flip_words == who).sum() < FEW_CELLS:
            name = shown_name(result.setups[who == "second"])
            found.append(f"\n{shade} bars: only {name} flips")
    return "".join(found)


def _signs(ax: Axes, result: PunchMap, values: np.ndarray, largest: float | np.ndarray) -> None:
    """Plus and minus in cells well off zero, every so many where cells are fine: colours alone are alike in grey."""
    rows, columns = (np.arange(size) % max(1, -(-size // MOST_SIGNS)) == 0 for size in values.shape)
    x, y = np.meshgrid(1e3 * result.rise_s, result.grade_deg)
    for sign, marker in ((1.0, "+"), (-1.0, "_")):
        with np.errstate(invalid="ignore"):
            shown = rows[:, None] & columns & (sign * values > SIGN_FROM * largest)
            dark = np.abs(values[shown]) > DARK_FROM * largest
        ax.scatter(x[shown], y[shown], s=22, marker=marker, c=np.where(dark, PAPER, INK), linewidths=0.9, zorder=4)


def _outline(ax: Axes, result: PunchMap, change: np.ndarray, line: float, unit: str) -> str:
    """Encloses the cells whose change would be noticed: solid a gain, dashed a loss; returns the words for it."""
    if line <= 0.0 or not np.isfinite(change).any():
        return ""
    times, grades = cell_edges(1e3 * result.rise_s, log=True), cell_edges(result.grade_deg)
    found = False
    for sign, dash in ((1.0, "-"), (-1.0, (0, (2.5, 1.5)))):
        with np.errstate(invalid="ignore"):
            inside = sign * change >= line
        found |= bool(inside.any())
        upright = [
            ((times[j + 1], grades[i]), (times[j + 1], grades[i + 1]))
            for i, j in np.argwhere(inside[:, 1:] != inside[:, :-1])
        ]
        level = [
            ((times[j], grades[i + 1]), (times[j + 1], grades[i + 1]))
            for i, j in np.argwhere(inside[1:] != inside[:-1])
        ]
        ax.add_collection(
            LineCollection(upright + level, colors=INK, linewidths=1.5, linestyles=[dash], zorder=3, capstyle="butt"),
            autolim=False,
        )
    return (
        f"outlined: {line:.0f} {unit} or more would be noticed"
        if found
        else f"nowhere the {line:.0f} {unit} that would be noticed"
    )


def _say_lifted(ax: Axes, result: PunchMap, lifted: Any) -> None:
    """Both setups lift the front axle there: a difference of smallest loads says nothing."""
    if lifted.sum() >= FEW_CELLS:
        _write(ax, result, lifted, "both lift the front")


def _write(ax: Axes, result: PunchMap, cells: np.ndarray, words: str) -> None:
    """Words over the middle of some cells, on the cell of them that is nearest to it."""
    places = np.argwhere(cells)
    i, j = places[np.argmin(((places - places.mean(axis=0)) ** 2).sum(axis=1))]
    right = j > 0.8 * cells.shape[1]
    ax.annotate(
        words,
        (1e3 * max(result.rise_s[j], 1e-6), result.grade_deg[i]),
        ha="right" if right else "center",
        va="center",
        fontsize=8,
        color=INK,
        zorder=5,
        bbox={"fc": PAPER, "ec": "none", "alpha": 0.85, "pad": 1.0},
    )


def cell_edges(centres: np.ndarray, *, log: bool = False) -> np.ndarray:
    """Edges of the cells around given centres."""
    places = np.log(np.maximum(centres, 1e-3)) if log else np.asarray(centres, dtype=float)
    if places.size == 1:
        half = np.array([0.2])
        edges = np.array([places[0] - half[0], places[0] + half[0]])
    else:
        middle = 0.5 * (places[1:] + places[:-1])
        edges = np.concatenate([[2 * places[0] - middle[0]], middle, [2 * places[-1] - middle[-1]]])
    return np.exp(edges) if log else edges
