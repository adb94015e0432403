"""What moves the first lift of a wheel, as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.names import shown_name
from noseload.pictures.style import INK, figure_for, house_look
from noseload.studies.wheels.words import wheel_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.studies.wheels.levers import WheelLevers
    from noseload.studies.wheels.lift_uncertainty import LiftUncertainty


MOST = 16
LATER, EARLIER = "#2f8f83", "#b5452c"


@house_look
def plot_levers(result: WheelLevers, ax: Axes | None = None) -> Axes:
    """The largest changes of the first lift by one practical unit more of a number, or by a setup.

    Parameters
    ----------
    result : WheelLevers
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    rows = result.rows[:MOST][::-1]
    ax = figure_for(ax, 8.4, 1.4 + 0.3 * len(rows))
    changes = [row["change_deg"] for row in rows]
    ax.barh(range(len(rows)), changes, color=[LATER if c > 0 else EARLIER for c in changes], height=0.62)
    ax.set_yticks(range(len(rows)), [f"{row['name']}, {row['step']}" for row in rows], fontsize=8)
    ax.axvline(0.0, color=INK, lw=0.8)
    ax.set_xlabel("first lift of a wheel comes later (earlier) by, deg")
    ax.set_title(
        f"{shown_name(result.setup)}: what moves the first lift, {result.first_wheel_lift_grade_deg:.1f} deg as it is"
    )
    return ax


@house_look
def plot_lift_errors(result: LiftUncertainty, ax: Axes | None = None) -> Axes:
    """Intervals of the first lift: of what was measured, over mismatches, of all that is left out, of both; and what to measure again first.

    Parameters
    ----------
    result : LiftUncertainty
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.2, 3.4)
    lift = result.first_wheel_lift_grade_deg
    rows = (
        ("both", result.together_deg),
        ("what the model leaves out", result.left_out_deg),
        ("of it how the axles share the pull", result.mismatch_deg),
        ("what was measured", result.measured_deg),
    )
    for place, (_, (low, high)) in enumerate(rows):
        if low is not None:
            ax.plot([low, high], [place, place], color=LATER, lw=6.0, solid_capstyle="butt")
            for edge, align, shift in ((low, "right", -5), (high, "left", 5)):
                ax.annotate(
                    f"{edge:.1f}", (edge, place), xytext=(shift, 0), textcoords="offset points", ha=align, va="center"
                )
    ax.axvline(lift, color=INK, lw=1.0)
    ax.set_yticks(range(len(rows)), [name for name, _ in rows])
    ax.set_ylim(-0.6, len(rows) - 0.4)
    ax.margins(x=0.15)
    ax.set_xlabel("grade at which the first wheel lifts, deg (95 %)")
    first = f"; measure {result.improve_first[0]['source']} again first" if result.improve_first else ""
    ax.set_title(f"{shown_name(result.setup)}: {wheel_words(result.first_wheel)} lifts at {lift:.1f} deg{first}")
    return ax
