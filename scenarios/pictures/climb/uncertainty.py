"""The 95 % band of a front load about its curve, and which measurement to improve first."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.names import shown_name
from noseload.pictures.style import as_grams, figure_for, house_look, look
from noseload.studies.wheels.words import wheel_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.studies.errors.uncertainty import Interval, Uncertainty
    from noseload.studies.errors.uncertainty_punch import PunchUncertainty
    from noseload.studies.errors.uncertainty_wheels import WheelsUncertainty


BAR = "#5d7486"


@house_look
def plot_band(grades_deg: list[float], limits_n: np.ndarray, ax: Axes | None = None, *, setup: int = 0) -> Axes:
    """A band behind the front load over grade.

    Parameters
    ----------
    grades_deg : array_like, shape (n,)
    limits_n : ndarray, shape (2, n)
        Of `studies.uncertainty.front_load_bands`; not-a-number where there is none.
    ax : Axes, optional
    setup : int
        Place in the order of setups.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    colour, _ = look(setup)
    low, high = as_grams(np.asarray(limits_n))
    ax.fill_between(grades_deg, low, high, color=colour, alpha=0.16, lw=0, zorder=0.5)
    return ax


@house_look
def plot_contributions(interval: Interval, ax: Axes | None = None, *, title: str = "what makes it unsure") -> Axes:
    """Shares of the doubt by what would settle them, largest first.

    Parameters
    ----------
    interval : Interval
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 3.0)
    shown = interval.improve[::-1]
    ax.barh(range(len(shown)), [100 * item.share for item in shown], color=BAR, height=0.62)
    for k, item in enumerate(shown):
        ax.annotate(
            f"{100 * item.share:.0f} %  ({item.limit})",
            (100 * item.share, k),
            xytext=(4, 0),
            textcoords="offset points",
            va="center",
            fontsize=8,
        )
    ax.set_yticks(range(len(shown)), [item.source for item in shown])
    ax.set_xlim(0.0, 1.7 * max([100 * item.share for item in shown] + [1.0]))
    ax.set_xlabel("share of the doubt, % of the mean square")
    ax.grid(axis="y", visible=False)
    ax.set_title(title)
    return ax


@house_look
def plot_tip_over_contributions(result: Uncertainty, ax: Axes | None = None) -> Axes:
    """`plot_contributions` of the tip-over grade of the first setup; returns the axes."""
    first = result.setups[0]
    return plot_contributions(
        first.tip_over_grade_deg, ax, title=f"{shown_name(first.setup)}: what makes the tip-over grade unsure"
    )


@house_look
def plot_punch_contributions(result: PunchUncertainty, ax: Axes | None = None) -> Axes:
    """`plot_contributions` of the smallest front load in the punch of the first setup; returns the axes."""
    first = result.setups[0]
    return plot_contributions(
        first.front_load_min_n, ax, title=f"{shown_name(first.setup)}: what makes the minimum front axle load unsure"
    )


@house_look
def plot_wheels_contributions(result: WheelsUncertainty, ax: Axes | None = None) -> Axes:
    """`plot_contributions` of the first wheel's time in the air in the first setup's punch in space; returns the axes."""
    first = result.setups[0]
    words = f"how long {wheel_words(first.first_wheel)} is in the air"
    return plot_contributions(
        first.intervals[f"{first.first_wheel}_airborne_s"],
        ax,
        title=f"{shown_name(first.setup)}: what makes unsure {words}",
    )
