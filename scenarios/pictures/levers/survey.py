"""How much a raised mount changes in many vehicles: two distributions, and the worst case to scale."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.geometry import solved_pose
from noseload.pictures.side_view import draw_ground, plot_vehicle
from noseload.pictures.style import INK, PAPER, as_grams, figure_for, house_look, look, new_figure
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.standing import coordinates_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.levers.place import Place
    from noseload.studies.levers.survey import Survey


BAR, OWN = "#5d7486", "#8e2f6b"
OWN_HEIGHT = 1.28
"""Where the words about one's own vehicle stand, over the tallest bar and all other words."""


@house_look
def plot_distribution(
    values: np.ndarray, ax: Axes | None = None, *, measured: float, noticed: float, unit: str, own: float | None = None
) -> Axes:
    """Histogram of changes with the lines of what can be measured and what would be noticed.

    Parameters
    ----------
    values : ndarray
        Changes; not-a-number is left out.
    ax : Axes, optional
    measured, noticed : float
        Lines, in the unit of the values.
    unit : str
    own : float, optional
        Change of one's own vehicle, to be found among the others.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.0, 4.0)
    good = values[np.isfinite(values)]
    low, high = np.percentile(good, (0.5, 99.5)) if good.size else (-1.0, 1.0)
    reach = 1.08 * max(abs(low), abs(high), 1.2 * noticed, abs(own or 0.0), 1e-9)
    ax.axvspan(-noticed, noticed, color="#eef1f3", lw=0)
    ax.axvspan(-measured, measured, color="#dfe4e8", lw=0)
    ax.hist(
        np.clip(good, -reach, reach), bins=np.linspace(-reach, reach, 49).tolist(), color=BAR, edgecolor="white", lw=0.4
    )
    ax.axvline(0.0, color=INK, lw=1.0)
    middle = float(np.median(good)) if good.size else 0.0
    top = ax.get_ylim()[1]
    ax.set_ylim(0.0, 1.25 * top)
    side = -1 if middle < 0 else 1
    ax.plot([middle, middle], [0.0, 1.06 * top], color="#b5452c", lw=1.2, ls=(0, (3, 2)))
    ax.annotate(
        f"median {middle:+.2f} {unit}",
        (middle, 1.06 * top),
        xytext=(4 * side, 0),
        textcoords="offset points",
        ha="right" if side < 0 else "left",
        va="top",
        fontsize=8.5,
        color="#b5452c",
    )
    for line, words, height in ((measured, "measured", 1.20), (noticed, "noticed", 1.13)):
        ax.annotate(
            f"{words} beyond {line:.2g} {unit}",
            (line, height * top),
            xytext=(4, 0),
            textcoords="offset points",
            fontsize=7.5,
            va="center",
        )
    for sign, edge, aligned in ((-1.0, 0.005, "left"), (1.0, 0.995, "right")):
        beyond = int((sign * good > reach).sum())
        if beyond:
            words = f"{beyond} further out, to {sign * (sign * good).max():+.3g} {unit}"
            ax.text(edge, 0.5, words, transform=ax.transAxes, ha=aligned, fontsize=7.5, rotation=90, va="center")
    ax.set_xlim(-reach, reach)
    if own is not None:
        ax.set_ylim(0.0, 1.34 * top)
        _mark_own(ax, own, unit, top)
    ax.set_ylabel("vehicles")
    return ax


def _mark_own(ax: Axes, change: float, unit: str, top: float) -> None:
    """One vehicle of one's own among the random ones, its words above all others."""
    ax.plot([change], [0.0], marker="^", ms=11, color=OWN, mec=PAPER, clip_on=False, zorder=6)
    ax.plot([change, change], [0.0, OWN_HEIGHT * top], color=OWN, lw=1.6)
    side = -1 if change > 0.3 * ax.get_xlim()[1] else 1
    ax.annotate(
        f"yours {change:+z.2f} {unit}",
        (change, OWN_HEIGHT * top),
        xytext=(5 * side, 0),
        textcoords="offset points",
        ha="left" if side > 0 else "right",
        va="center",
        fontsize=8.5,
        color=OWN,
        fontweight="bold",
    )


@house_look
def plot_worst(result: Any, ax: Axes | None = None) -> Axes:
    """The vehicle whose tip-over changes most, as drawn and raised, in their poses at the survey's grade.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 6.0)
    reach = []
    for k in range(2):
        vehicle = result.vehicle(result.worst, raised=bool(k))
        climb = Climb(vehicle)
        row = climb.row(result.grade_deg)
        state, grade = (row.state, result.grade_deg) if row.state is not None else (climb.standing.state, 0.0)
        pose = solved_pose(climb.standing.values, coordinates_of(state))
        rear = pose.points["rear_contact"][0]
        plot_vehicle(pose, grade, ax, setup=k, filled=k == 0, origin=rear)
        reach.append((pose.points["front_contact"][0] - rear, grade))
    draw_ground(ax, reach[0][1], -0.1, reach[0][0] + 0.1)
    tips = result.tip_over_grade_deg[:, result.worst]
    for k, (name, tip) in enumerate(zip(("random vehicle", "raised"), tips, strict=True)):
        colour, _ = look(k)
        # Below the slope, where nothing is drawn.
        words = f"{name}: tips at {tip:.2f} deg"
        ax.text(0.98, 0.10 - 0.06 * k, words, transform=ax.transAxes, color=colour, va="top", ha="right")
    ax.axis("off")
    return ax


@house_look
def draw_survey(result: Survey, own: Place | None = None) -> NotebookFigure:
    """Figure: change of tip-over, change of front load, and the worst case to scale; a vehicle of one's own among them."""
    turned = None if own is None else own.tip_over_change_deg
    loaded = None if own is None or own.front_load_change_n is None else as_grams(own.front_load_change_n)
    lines = result.thresholds
    figure, axes = new_figure(15.0, 4.8, 1, 3, widths=(1, 1, 1.1))
    plot_distribution(
        result.tip_over_change_deg,
        axes[0],
        measured=lines.measurable_deg,
        noticed=lines.noticed_deg,
        unit="deg",
        own=turned,
    )
    axes[0].set_xlabel("change of the tip-over grade, deg")
    axes[0].set_title(f"rear upper mount {result.raise_mm:+g} mm, {result.count} random vehicles")
    noticed = float(np.nanmedian(lines.noticed_load_n(result.standing_front_n)))
    plot_distribution(
        as_grams(result.front_load_change_n),
        axes[1],
        measured=as_grams(lines.measurable_load_n),
        noticed=as_grams(noticed),
        unit="g",
        own=loaded,
    )
    axes[1].set_xlabel(f"change of the front axle load at {result.grade_deg:g} deg, g")
    if result.worst is None:
        axes[2].axis("off")
    else:
        plot_worst(result, axes[2]).set_title(f"largest change: vehicle {result.worst}, at {result.grade_deg:g} deg")
    return figure


@house_look
def plot_tip_over_changes(result: Survey, ax: Axes | None = None) -> Axes:
    """How the change of the tip-over grade is spread over the random vehicles; returns the axes."""
    lines = result.thresholds
    ax = plot_distribution(
        result.tip_over_change_deg, ax, measured=lines.measurable_deg, noticed=lines.noticed_deg, unit="deg"
    )
    ax.set_xlabel("change of the tip-over grade, deg")
    ax.set_title(f"rear upper mount {result.raise_mm:+g} mm, {result.count} random vehicles")
    return ax
