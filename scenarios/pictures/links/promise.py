"""Rear shock travel and pitch against anti-squat, for a row of upper-link positions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.names import shown_name
from noseload.pictures.style import INK, figure_for, head_figure, house_look, look, measurable_band, new_figure
from noseload.studies.thresholds import Thresholds

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.links.promise import Promise


SERIES = {
    "grade": (
        "rear_travel_by_drive_mm",
        "pitch_by_drive_deg",
        "anti_squat_as_driven_percent",
        "anti_squat_textbook_percent",
    ),
    "level": ("level_rear_travel_mm", "level_pitch_deg", "level_as_driven_percent", None),
}


@house_look
def plot_travel_against_figure(result: Promise, case: str = "grade", ax: Axes | None = None) -> Axes:
    """Rear shock travel by drive over the as-driven figure (strong) and over the textbook's (thin).

    Parameters
    ----------
    result : Promise
    case : {'grade', 'level'}
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.5, 4.2)
    travel, _, driven, textbook = SERIES[case]
    for k, (name, word) in enumerate(((driven, "as driven"), (textbook, "textbook"))):
        if name is None:
            continue
        x, y = result.column(name), result.column(travel)
        colour, dash = look(k)
        ax.plot(x, y, color=colour, ls=dash, lw=2.0 if k == 0 else 1.2, marker="o", ms=3.5, mfc="white")
        far = int(np.nanargmax(x))
        # The as-driven curve lies to the left: its words stand on that side.
        side = -1 if k == 0 else 1
        ax.annotate(
            word,
            (x[far], y[far]),
            xytext=(8 * side, 3),
            textcoords="offset points",
            color=colour,
            fontsize=8.5,
            ha="right" if k == 0 else "left",
            annotation_clip=False,
        )
        _mark_zero(ax, x, y, colour, side)
    _cross_lines(ax)
    ax.margins(x=0.16, y=0.12)
    ax.set_xlabel("anti-squat of the position, %")
    ax.set_ylabel("rear shock travel by the drive, mm (longer +)")
    ax.set_title(_where(result, case))
    return ax


@house_look
def plot_pitch_against_figure(result: Promise, case: str = "grade", ax: Axes | None = None) -> Axes:
    """Nose-up pitch by drive over the as-driven figure.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.5, 4.2)
    _, pitch, driven, _ = SERIES[case]
    x, y = result.column(driven), result.column(pitch)
    colour, dash = look(0)
    ax.plot(x, y, color=colour, ls=dash, lw=2.0, marker="o", ms=3.5, mfc="white")
    order = np.argsort(x)
    good = order[np.isfinite(x[order]) & np.isfinite(y[order])]
    if good.size and x[good[0]] <= 100.0 <= x[good[-1]]:
        there = float(np.interp(100.0, x[good], y[good]))
        ax.plot([100.0], [there], marker="o", ms=7, color=colour, zorder=5)
        ax.annotate(
            f"at 100 %: {there:+.2f} deg",
            (100.0, there),
            xytext=(-8, -13),
            textcoords="offset points",
            fontsize=8.5,
            ha="right",
        )
    _cross_lines(ax)
    ax.set_ylim(
        min(0.0, float(np.nanmin(y))) - 0.06 * np.nanmax(np.abs(y)), max(0.0, float(np.nanmax(y))) * 1.12 + 1e-3
    )
    measurable_band(ax, 0.0, Thresholds().measurable_deg)
    ax.set_xlabel("anti-squat of the position as driven, %")
    ax.set_ylabel("nose-up pitch by the drive, deg")
    ax.set_title(_where(result, case))
    return ax


def _where(result: Promise, case: str) -> str:
    if case == "grade":
        return f"crawling at {result.grade_deg:g} deg, {result.driven_axles} driven"
    return f"gentle push of the throttle on the level, {result.driven_axles} driven"


def _cross_lines(ax: Axes) -> None:
    ax.axhline(0.0, color=INK, lw=0.9, ls=(0, (1, 2)))
    ax.axvline(100.0, color=INK, lw=0.9, ls=(0, (1, 2)))


def _mark_zero(ax: Axes, x: np.ndarray, y: np.ndarray, colour: str, side: float | np.ndarray) -> None:
    """A ring where travel passes zero, with the figure there."""
    for a, b, c, d in zip(x, x[1:], y, y[1:], strict=False):
        if np.isfinite([a, b, c, d]).all() and c * d <= 0.0 and c != d:
            at = a + c / (c - d) * (b - a)
            ax.plot([at], [0.0], marker="o", ms=8, mfc="white", mec=colour, mew=1.8, zorder=5)
            ax.annotate(
                f"zero at {at:.0f} %",
                (at, 0.0),
                xytext=(7 * side, 8 if side < 0 else -14),
                textcoords="offset points",
                fontsize=8.5,
                color=colour,
                ha="right" if side < 0 else "left",
            )
            return


@house_look
def draw_promise(result: Promise) -> NotebookFigure:
    """Figure: travel and pitch on the grade, and on the level where it was driven there.

    Parameters
    ----------
    result : Promise

    Returns
    -------
    Figure
    """
    level = bool(np.isfinite(result.column("level_rear_travel_mm")).any())
    figure, axes = new_figure(12.0, 8.0 if level else 4.4, 2 if level else 1, 2)
    plot_travel_against_figure(result, "grade", axes[0])
    plot_pitch_against_figure(result, "grade", axes[1])
    if level:
        plot_travel_against_figure(result, "level", axes[2])
        plot_pitch_against_figure(result, "level", axes[3])
    words = f"{shown_name(result.setup)}: rear upper link moved (grey band: pitch that cannot be measured)"
    head_figure(figure, words)
    return figure


@house_look
def plot_travel(result: Promise, ax: Axes | None = None) -> Axes:
    """`plot_travel_against_figure` on the grade; returns the axes."""
    return plot_travel_against_figure(result, "grade", ax)
