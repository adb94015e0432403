"""Limits of the punch: outcome over grade as one strip a setup, and below it the throttle that keeps the front down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.names import shown_name
from noseload.pictures.climb.summary import plot_outcomes
from noseload.pictures.names import key_below
from noseload.pictures.style import house_look, look, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.punch.largest_throttle import LargestThrottle


@house_look
def draw_limits(limits: list | tuple, throttles: Any) -> NotebookFigure:
    """Strips of outcomes over one axis of grade, and the largest throttles.

    Parameters
    ----------
    limits : sequence of PunchLimits
    throttles : sequence of LargestThrottle
        Of the same setups.

    Returns
    -------
    Figure
    """
    count = len(limits)
    figure, axes = new_figure(9.0, 1.9 * count + 4.0, count + 1, 1, heights=(*[1.0] * count, 2.0))
    low, high = min(one.grades_deg[0] for one in limits), max(one.tip_over_grade_deg for one in limits)
    for one, ax in zip(limits, axes, strict=False):
        plot_outcomes(one, ax)
        ax.set_xlim(low, high)
    for ax in axes[: count - 1]:
        ax.set_xlabel("")
        ax.tick_params(labelbottom=False)
    _plot_throttles(throttles, axes[-1])
    return figure


def _plot_throttles(throttles: list[LargestThrottle], ax: Axes) -> Axes:
    names = []
    for k, one in enumerate(throttles):
        colour, dash = look(k)
        held = np.array([np.nan if u is None else u for u in one.holding])
        most = np.array([np.nan if u is None else u for u in one.throttles])
        ax.plot(one.grades_deg, most, color=colour, ls=dash, marker="o", ms=4, mfc="white")
        ax.plot(one.grades_deg, held, color=colour, ls=dash, lw=0.9)
        names.append((k, shown_name(one.setup)))
    ax.set_ylim(0.0, 1.08)
    key_below(ax, names)
    ax.set_xlabel("grade, deg")
    ax.set_ylabel("throttle")
    ax.set_title("thick: largest throttle that keeps the front down; thin: the one that holds the crawl")
    return ax
