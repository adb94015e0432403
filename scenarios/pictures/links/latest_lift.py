"""How late the first wheel can lift: one bar a group of numbers, from the vehicle as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.names import shown_name
from noseload.pictures.style import FAINT, INK, figure_for, house_look
from noseload.studies.links.latest_lift import GROUP_WORDS
from noseload.studies.wheels.words import wheel_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.studies.links.latest_lift import LatestLift


BAR = "#2f8f83"


@house_look
def plot_latest_lift(result: LatestLift, ax: Axes | None = None) -> Axes:
    """First lift as it is, and the latest found by each group of numbers, with its range over mismatches.

    Parameters
    ----------
    result : LatestLift
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.4, 3.8)
    rows = result.found[::-1]
    for place, each in enumerate(rows):
        ax.barh(place, each.lift_deg - result.lift_deg, left=result.lift_deg, color=BAR, height=0.56)
        low, high = each.range_deg
        if low is not None:
            ax.plot([low, high], [place, place], color=INK, lw=1.6)
        end = max(each.lift_deg, high or each.lift_deg)
        ax.annotate(f"{each.lift_deg:.1f} deg", (end, place), xytext=(6, 0), textcoords="offset points", va="center")
    ax.axvline(result.lift_deg, color=FAINT, lw=1.2)
    ax.set_yticks(range(len(rows)), [GROUP_WORDS[each.group] for each in rows])
    ax.margins(x=0.14)
    ax.set_xlabel("grade at which the first wheel lifts, deg (thin: over plausible mismatches)")
    ax.set_title(
        f"{shown_name(result.setup)}: {wheel_words(result.first_wheel)} lifts at {result.lift_deg:.1f} deg; the latest within limits"
    )
    return ax
