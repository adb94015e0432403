"""What moves the first lift of a wheel, as bars."""

from noseload.pictures.style import INK, figure_for, house_look
from noseload.studies.verdict.sentence import shown_name

MOST = 16
LATER, EARLIER = "#2f8f83", "#b5452c"


@house_look
def plot_levers(result, ax=None):
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
