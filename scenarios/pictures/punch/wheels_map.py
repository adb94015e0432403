"""Pictures of punches in space over grade and suddenness, and of the largest throttle that keeps four wheels down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.ticker import FuncFormatter, LogLocator, NullFormatter

from noseload.model.names import shown_name
from noseload.pictures.names import key_below
from noseload.pictures.style import INK, PAPER, figure_for, grade_axis, house_look, look, new_figure
from noseload.studies.wheels.words import WHEEL_WORDS

from .map import cell_edges

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.punch.wheels_map import WheelsMap


MOST_NUMBERS = 80
"""Cells up to which each has its number."""


@house_look
def plot_map(result: WheelsMap, ax: Axes | None = None, *, setup: int = 0, axle: bool = False) -> Axes:
    """Time in the air of the first wheel over rise time and grade, of one setup; dots where no punch can start.

    Parameters
    ----------
    result : WheelsMap
    ax : Axes, optional
    setup : int
        Which of its setups.
    axle : bool
        Of both front wheels at once in place of the first wheel.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    times_s = result.front_axle_airborne_s if axle else result.first_wheel_airborne_s
    most = float(np.nanmax(1e3 * times_s, initial=1.0))
    cells = 1e3 * times_s[setup]
    times, grades = cell_edges(1e3 * result.rise_s, log=True), cell_edges(result.grade_deg)
    mesh = ax.pcolormesh(times, grades, cells, cmap="cividis", vmin=0.0, vmax=most)
    empty = np.argwhere(~np.isfinite(cells))
    ax.plot(1e3 * result.rise_s[empty[:, 1]], result.grade_deg[empty[:, 0]], ".", color=INK, ms=2)
    ax.set_xscale("log")
    ax.xaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda ms, _: f"{ms:g}"))
    ax.xaxis.set_minor_formatter(NullFormatter())
    if cells.size <= MOST_NUMBERS:
        for (i, j), value in np.ndenumerate(cells):
            dark = not value > 0.6 * most
            x, y = 1e3 * float(result.rise_s[j]), float(result.grade_deg[i])
            words = f"{value:.0f}" if np.isfinite(value) else ""
            ax.text(x, y, words, color=PAPER if dark else INK, ha="center", va="center", fontsize=8)
    ax.grid(False)
    ax.set_xlabel("rise of the throttle, ms")
    ax.set_ylabel("grade, deg")
    what = "both front wheels" if axle else "first wheel"
    ax.set_title(f"{shown_name(result.setups[setup])}: {what} in the air, ms")
    ax.figure.colorbar(mesh, ax=ax)
    return ax


@house_look
def draw_map(result: WheelsMap) -> NotebookFigure:
    """Figure of one column a setup: the first wheel, and both front wheels where they are up anywhere, each to one scale.

    Returns
    -------
    Figure
    """
    count = len(result.setups)
    rows = 2 if np.nanmax(result.front_axle_airborne_s, initial=0.0) > 0.0 else 1
    figure, axes = new_figure(5.4 * count + 0.6, 4.6 * rows, rows, count)
    for k, ax in enumerate(axes):
        plot_map(result, ax, setup=k % count, axle=k >= count)
    return figure


@house_look
def plot_largest_throttle(results: Any, ax: Axes | None = None) -> Axes:
    """Largest throttle that keeps all four wheels down over grade, and what holds the crawl.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    results = list(results) if isinstance(results, (list, tuple)) else [results]
    for k, result in enumerate(results):
        colour, dash = look(k)
        ax.plot(result.grades_deg, result.throttles, color=colour, ls=dash, marker="o", ms=4)
        for grade, throttle, wheel in zip(result.grades_deg, result.throttles, result.first_wheel, strict=True):
            if wheel and k == 0:
                ax.annotate(
                    WHEEL_WORDS[wheel], (grade, throttle), xytext=(3, 6), textcoords="offset points", fontsize=8
                )
    ax.plot(results[0].grades_deg, results[0].holding, color=INK, lw=0.8, ls=(0, (2, 2)))
    ax.set_ylim(0.0, 1.05)
    ax.margins(x=0.12)
    ax.set_ylabel("throttle")
    ax.set_title(
        "largest throttle that keeps all four wheels down (named: the wheel that lifts beyond it; thin: holds the crawl)"
    )
    key_below(ax, [(k, result.setup) for k, result in enumerate(results)])
    grade_axis(ax)
    return ax
