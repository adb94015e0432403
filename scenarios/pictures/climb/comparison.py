"""Pictures of a comparison: loads over grade with the difference strip, poses laid over each other, budgets."""

import os

from noseload.pictures.side_view import draw_creep
from noseload.pictures.style import house_look, new_figure, save_figure

from .loads import plot_budget, plot_difference, plot_front_load


@house_look
def draw_loads(comparison):
    """Front load over grade of every setup, and below it what each changes.

    Returns
    -------
    Figure
    """
    figure, (top, bottom) = new_figure(8.5, 7.5, 2, 1, heights=(2.2, 1.0))
    sweeps = [m.sweep for m in comparison.members]
    plot_front_load(sweeps, top).set_title("front axle load over grade, steady crawl")
    plot_difference(sweeps, comparison.thresholds, bottom)
    bottom.set_xlim(top.get_xlim())
    return figure


@house_look
def plot_comparison(comparison, ax=None):
    """Front load over grade of every setup; returns the axes."""
    return plot_front_load([m.sweep for m in comparison.members], ax)


@house_look
def plot_post(post, ax=None):
    """The curves of the picture to post, alone; returns the axes."""
    return plot_comparison(post.comparison, ax)


@house_look
def plot_comparison_difference(comparison, ax=None):
    """What each setup changes over grade, with both lines; returns the axes."""
    return plot_difference([m.sweep for m in comparison.members], comparison.thresholds, ax)


def draw_poses(comparison):
    """Setups laid over each other at the verdict's grade, with the forces of the first."""
    return draw_creep([(m.climb, m.at_grade) for m in comparison.members if m.at_grade.front_load_n is not None])


@house_look
def draw_budgets(comparison):
    """The budget over grade, one panel a setup."""
    members = comparison.members
    columns = min(3, len(members))
    rows = -(-len(members) // columns)
    figure, axes = new_figure(5.2 * columns, 4.4 * rows, rows, columns)
    for member, ax in zip(members, axes, strict=False):
        plot_budget(member.sweep, ax).set_title(member.name)
    for ax in axes[len(members) :]:
        ax.set_axis_off()
    return figure


def save_comparison(comparison, folder):
    """Draw all pictures of a comparison into a folder, made if need be; returns their names."""
    os.makedirs(folder, exist_ok=True)
    figures = {"front-load.png": draw_loads(comparison)}
    if any(m.at_grade.front_load_n is not None for m in comparison.members):
        figures["poses.png"] = draw_poses(comparison)
    if not comparison.members[0].climb.rigid:
        figures["budget.png"] = draw_budgets(comparison)
    for name, figure in figures.items():
        save_figure(figure, os.path.join(folder, name))
    return list(figures)
