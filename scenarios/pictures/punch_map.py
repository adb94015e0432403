"""The map of two set-ups over grade and rise time: smallest front load and time in the air."""

import numpy as np

from .style import FAINT, INK, as_grams, figure_for, house_look, new_figure


@house_look
def draw_punch_map(result):
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
    figure.suptitle(f"{result.setups[1]} against {result.setups[0]}: throttle to {result.throttle:g}", x=0.01, ha="left")
    return figure


@house_look
def plot_load_map(result, ax=None):
    """Change of the smallest front load, g, with the contours of what would be noticed.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    change = as_grams(result.load_difference_n)
    _panel(ax, result, change, "g", "change of the smallest front load")
    line = as_grams(result.noticed_load_n)
    lifted = (result.front_load_min_n <= 0.0).all(axis=0)
    _contour(ax, result, np.where(lifted, np.nan, change), line, f"{line:.0f} g: noticed")
    _say_lifted(ax, result, lifted)
    return ax


@house_look
def plot_airborne_map(result, ax=None):
    """Change of the time the front axle is in the air, ms.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    _panel(ax, result, 1e3 * result.airborne_difference_s, "ms", "change of the front axle's time in the air")
    return ax


def _panel(ax, result, values, unit, title):
    """One map: red for less, blue for more, light for none; cells without a number hatched."""
    shown = np.ma.masked_invalid(values)
    largest = float(np.nanpercentile(np.abs(values), 98)) if shown.count() else 1.0
    largest = largest or 1.0
    times, grades = _edges(1e3 * result.rise_s, log=True), _edges(result.grade_deg)
    mesh = ax.pcolormesh(times, grades, shown, cmap="RdBu", vmin=-largest, vmax=largest, rasterized=True)
    bar = ax.figure.colorbar(mesh, ax=ax, pad=0.02, extend="both")
    bar.set_label(unit, rotation=0)
    bar.outline.set_visible(False)
    bad = result.status != "ok"
    if bad.any():
        ax.pcolor(times, grades, np.ma.masked_where(~bad, np.zeros(bad.shape)), hatch="xxx", alpha=0.0)
        i, j = np.argwhere(bad)[len(np.argwhere(bad)) // 2]
        ax.annotate("cannot start" if (result.status[bad] == "start_not_held").all() else "no result",
                    (1e3 * result.rise_s[j], result.grade_deg[i]), ha="center", fontsize=8, color=INK)
    ax.set_xscale("log")
    ax.set_xlabel("rise time of the throttle, ms")
    ax.set_ylabel("grade, deg")
    ax.grid(False)
    ax.set_title(title)


def _contour(ax, result, change, line, words):
    """Where the change is as large as what would be noticed, dashed where it is a loss."""
    if min(change.shape) < 2 or line <= 0.0 or not np.isfinite(change).any():
        return
    with np.errstate(invalid="ignore"):
        crossed = np.nanmin(change) < -line or np.nanmax(change) > line
    if not crossed:
        ax.annotate(f"nowhere as much as {words}", (0.02, 0.02), xycoords="axes fraction", fontsize=8, color=INK)
        return
    drawn = ax.contour(1e3 * result.rise_s, result.grade_deg, np.ma.masked_invalid(change), levels=[-line, line], colors=INK,
                       linewidths=1.2, linestyles=["dashed", "solid"])
    ax.clabel(drawn, fmt={-line: f"-{words}", line: f"+{words}"}, fontsize=7.5)


def _say_lifted(ax, result, lifted):
    """Both set-ups lift the front axle there: a difference of smallest loads says nothing."""
    places = np.argwhere(lifted)
    if len(places) < 4:
        return
    i, j = places.mean(axis=0)
    time = np.exp(np.interp(j, np.arange(result.rise_s.size), np.log(1e3 * np.maximum(result.rise_s, 1e-4))))
    grade = np.interp(i, np.arange(result.grade_deg.size), result.grade_deg)
    ax.annotate("both lift the front", (time, grade), ha="center", va="center", fontsize=8, color=FAINT)


def _edges(centres, *, log=False):
    """Edges of the cells around given centres."""
    places = np.log(np.maximum(centres, 1e-3)) if log else np.asarray(centres, dtype=float)
    if places.size == 1:
        half = np.array([0.2])
        edges = np.array([places[0] - half[0], places[0] + half[0]])
    else:
        middle = 0.5 * (places[1:] + places[:-1])
        edges = np.concatenate([[2 * places[0] - middle[0]], middle, [2 * places[-1] - middle[-1]]])
    return np.exp(edges) if log else edges
