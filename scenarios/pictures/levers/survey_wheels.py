"""What a raised mount does to the first wheel of many vehicles: one bar a vehicle, over plausible mismatches."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.pictures.style import INK, figure_for, house_look, measurable_band
from noseload.studies.thresholds import Thresholds

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.studies.levers.survey_wheels import WheelSurvey


BAR_LOOKS = {"helps": "#2f8f83", "hurts": "#b5452c", "depends_on_mismatch": "#c99a2e"}
BAR_WORDS = {"helps": "lifts later", "hurts": "lifts earlier", "depends_on_mismatch": "depends on the mismatch"}


@house_look
def plot_wheel_changes(found: WheelSurvey, ax: Axes | None = None) -> Axes:
    """Change of the first lift by vehicle, from the least to the largest over mismatches, in order.

    Parameters
    ----------
    found : WheelSurvey
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.2, 5.0)
    outcomes, change = np.array(found.outcomes), found.change_deg
    order = np.argsort(np.where(outcomes == "unsolved", np.inf, np.nan_to_num(change[0])))
    order = order[: int((outcomes != "unsolved").sum())]
    places = 100.0 * (np.arange(order.size) + 0.5) / max(order.size, 1)
    low, high = change[:, order].min(axis=0), change[:, order].max(axis=0)
    for name, colour in BAR_LOOKS.items():
        mine = outcomes[order] == name
        if mine.any():
            ax.vlines(places[mine], low[mine], high[mine], color=colour, lw=1.4)
            ax.plot(places[mine], change[0, order][mine], ls="", marker=".", ms=3, color=colour)
    ax.axhline(0.0, color=INK, lw=0.8)
    measurable_band(ax, 0.0, Thresholds().measurable_deg)
    for row, (name, words) in enumerate(BAR_WORDS.items()):
        share = 100.0 * float(np.mean(outcomes[order] == name)) if order.size else 0.0
        ax.annotate(
            f"{words}: {share:.0f} %",
            (0.03, 0.96 - 0.065 * row),
            xycoords="axes fraction",
            va="top",
            color=BAR_LOOKS[name],
            fontweight="bold",
        )
    ax.set_xlabel("vehicles in order, %")
    ax.set_ylabel("change of the first wheel's lift, deg")
    ax.set_xlim(0.0, 100.0)
    ax.set_title(
        f"Mount {found.raise_mm:+g} mm on {order.size} vehicles: dot all wheels slip alike, bar the range over mismatches (band: cannot be measured)"
    )
    return ax
