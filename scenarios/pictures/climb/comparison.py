"""Pictures of a comparison: loads over grade with the difference strip, poses laid over each other, budgets."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.pictures.climb.creep import draw_creep
from noseload.pictures.style import as_grams, house_look, look, new_figure, save_figure

from .loads import plot_difference, plot_front_load
from .parts import draw_difference_parts

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.compare.compare import Comparison
    from noseload.studies.compare.punch import PunchComparison


BESIDE_DEG = 0.45
"""Between upright bars of several setups at one grade."""


@house_look
def draw_loads(comparison: Comparison) -> NotebookFigure:
    """Front load over grade of every setup, and below it what each changes.

    Returns
    -------
    Figure
    """
    figure, (top, bottom) = new_figure(8.5, 7.0 + 0.22 * len(comparison.members), 2, 1, heights=(2.2, 1.0))
    sweeps = [m.sweep for m in comparison.members]
    plot_front_load(sweeps, top).set_title("front axle load over grade, steady crawl")
    plot_difference(sweeps, comparison.thresholds, bottom)
    bottom.set_xlim(top.get_xlim())
    _intervals(bottom, comparison)
    return figure


def _intervals(ax: Axes, comparison: Comparison) -> None:
    """95 % intervals of the differences where errors were asked for, at the verdict's grade, side by side."""
    asked = [
        (k, as_grams(np.array(d.interval_n)))
        for k, d in enumerate(comparison.differences, start=1)
        if d.interval_n is not None
    ]
    for place, (k, ends) in enumerate(asked):
        grade = comparison.grade_deg + BESIDE_DEG * (place - 0.5 * (len(asked) - 1))
        ax.plot([grade, grade], ends, color=look(k)[0], lw=1.4, marker="_", ms=6, zorder=4)
    if asked:
        low, high = ax.get_ylim()
        reach = max(abs(low), abs(high), *(1.05 * abs(end) for _, ends in asked for end in ends))
        ax.set_ylim(-reach, reach)
        ax.set_xlabel(f"grade, deg; upright bars at {comparison.grade_deg:g} deg: 95 % intervals")


@house_look
def plot_comparison(comparison: Comparison, ax: Axes | None = None) -> Axes:
    """Front load over grade of every setup; returns the axes."""
    return plot_front_load([m.sweep for m in comparison.members], ax)


@house_look
def plot_post(post: Any, ax: Axes | None = None) -> Axes:
    """The curves of the picture to post, alone; returns the axes."""
    return plot_comparison(post.comparison, ax)


@house_look
def plot_comparison_difference(comparison: Comparison, ax: Axes | None = None) -> Axes:
    """What each setup changes over grade, with both lines; returns the axes."""
    return plot_difference([m.sweep for m in comparison.members], comparison.thresholds, ax)


def draw_poses(comparison: Comparison) -> NotebookFigure:
    """Setups laid over each other at the verdict's grade, with the forces of the first."""
    return draw_creep([(m.climb, m.at_grade) for m in comparison.members if m.at_grade.front_load_n is not None])


def draw_differences(comparison: Comparison, punched: PunchComparison | None = None) -> NotebookFigure | None:
    """What each setup changes by part, one row a setup; the punch beside the crawl where there is one.

    Parameters
    ----------
    comparison : Comparison
    punched : PunchComparison, optional

    Returns
    -------
    Figure or None
        None where no crawl was solved or there are no links.
    """
    lines, first = comparison.thresholds, comparison.members[0]
    crawl = [(k, d.setup, [d.budget]) for k, d in enumerate(comparison.differences, start=1)]
    titles = [f"steady crawl at {comparison.grade_deg:g} deg"]
    if punched is not None and any(d.budget for d in punched.differences):
        crawl = [(k, d.setup, [d.creep_budget, d.budget]) for k, d in enumerate(punched.differences, start=1)]
        titles = [f"steady crawl at {punched.grade_deg:g} deg", "punch, each at its minimum front axle load"]
    if first.climb.rigid or not any(budget for _, _, budgets in crawl for budget in budgets):
        return None
    noticed_n = lines.noticed_load_n(first.sweep.rows[0].budget["standing_n"])
    return draw_difference_parts(crawl, lines.measurable_load_n, noticed_n, titles=titles)


def save_comparison(comparison: Comparison, folder: str, punched: PunchComparison | None = None) -> list[str]:
    """Draw all pictures of a comparison into a folder, made if need be; returns their names."""
    os.makedirs(folder, exist_ok=True)
    figures = {"front-load.png": draw_loads(comparison)}
    if any(m.at_grade.front_load_n is not None for m in comparison.members):
        figures["poses.png"] = draw_poses(comparison)
    differences = draw_differences(comparison, punched)
    if differences is not None:
        figures["differences.png"] = differences
    for name, figure in figures.items():
        save_figure(figure, os.path.join(folder, name))
    return list(figures)
