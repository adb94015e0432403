"""Picture of a comparison at both: front load over grade at a creep, and over time in a punch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.names import shown_name
from noseload.pictures.climb.loads import plot_front_load
from noseload.pictures.names import key_below
from noseload.pictures.style import FAINT, as_grams, figure_for, house_look, load_axis, look, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.compare.punch import PunchComparison


TITLE_PAD = 26.0


@house_look
def draw_punch_comparison(comparison: PunchComparison) -> NotebookFigure:
    """Two panels with one scale of load: creep over grade, punch over time.

    Parameters
    ----------
    comparison : PunchComparison

    Returns
    -------
    Figure
    """
    figure, (left, right) = new_figure(12.0, 4.9 + 0.3 * len(comparison.members), 1, 2)
    plot_front_load([m.sweep for m in comparison.comparison.members], left)
    left.set_title(f"steady crawl: front axle load over grade (dotted: punched at {comparison.grade_deg:g} deg)")
    left.axvline(comparison.grade_deg, color=FAINT, lw=1.2, ls=":", zorder=0)
    plot_punch_comparison(comparison, right)
    for ax in (left, right):
        # The percent scale of the left panel pushes its title up: both titles stand on one line.
        ax.set_title(ax.get_title(loc="left"), y=1.0, pad=TITLE_PAD)
    return figure


@house_look
def plot_punch_comparison(comparison: PunchComparison, ax: Axes | None = None) -> Axes:
    """Front load over time of every setup, each one's crawl at its left edge, smallest loads marked.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    run = [(k, member) for k, member in enumerate(comparison.members) if member.punch.success]
    for k, member in run:
        colour, dash = look(k)
        ax.plot(member.punch.time_s, as_grams(member.punch.front_load_n), color=colour, ls=dash)
        low = member.punch.lowest
        ax.plot(
            [low["time_s"]],
            [as_grams(low["front_load_n"])],
            "o",
            ms=5,
            mfc="white",
            mec=colour,
            mew=1.5,
            clip_on=False,
            zorder=5,
        )
    ax.set_ylim(bottom=0.0, top=1.05 * ax.get_ylim()[1])
    told = []
    for k, member in run:
        flown = f"{1e3 * member.airborne_s:.0f} ms in the air" if member.airborne_s else "never in the air"
        told.append((k, f"{shown_name(member.name)}: {flown}"))
    key_below(ax, told)
    if run:
        ax.set_xlim(0.0, max(float(member.punch.time_s[-1]) for _, member in run))
        ax.set_title(f"punch at {comparison.grade_deg:g} deg: front axle load over time")
    else:
        ax.set_title(f"no setup holds the crawl at {comparison.grade_deg:g} deg")
    ax.set_xlabel("time, s (circles: minimum load)")
    load_axis(ax)
    return ax
