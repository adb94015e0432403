"""Four loads, twist and first lifts: over the grade and over the heading."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.names import shown_name
from noseload.model.units import grams_of_force
from noseload.pictures.style import (
    FAINT,
    INK,
    as_grams,
    figure_for,
    grade_axis,
    house_look,
    load_axis,
    look,
    mark_grade,
    new_figure,
)
from noseload.studies.wheels.words import TWIST_WORDS, WHEEL_WORDS, wheel_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.wheels.answer import Headings, WheelSweep


WHEEL_LOOKS = {
    "rear_left": ("#7d8a94", "-"),
    "rear_right": ("#7d8a94", (0, (6, 2))),
    "front_left": ("#2f8f83", "-"),
    "front_right": ("#b5452c", "-"),
}
"""Colour and dash of each wheel."""
PART_LOOKS = (
    ("#b5452c", ""),
    ("#5d7486", ""),
    ("#c99a2e", "///"),
    ("#6d5aa8", "\\\\\\"),
    ("#93c1b9", "..."),
    ("#3b2f2f", "xx"),
    ("#c9d2d9", ""),
)
"""Colour and hatch of the parts of the twist."""
COURSES = (
    "nose uphill",
    "45 left",
    "uphill to\nthe right",
    "135 left",
    "nose downhill",
    "135 right",
    "uphill to\nthe left",
    "45 right",
)
"""Headings of a polar picture, from the top to the left."""


def _column(rows: Sequence, key: str) -> np.ndarray:
    return np.array([np.nan if getattr(row, key) is None else getattr(row, key) for row in rows], dtype=float)


@house_look
def plot_four_loads(answer: WheelSweep, ax: Axes | None = None) -> Axes:
    """Loads of the four wheels over grade, what plausible mismatches make of the front ones, and the lifts.

    Parameters
    ----------
    answer : WheelSweep
        With `rows`, `limits` (documents) and `band` (mismatch in percent -> rows).
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.2, 5.0)
    rows = answer.rows
    grades = _column(rows, "grade_deg")
    for wheel, words in WHEEL_WORDS.items():
        colour, dash = WHEEL_LOOKS[wheel]
        loads = as_grams(_column(rows, f"{wheel}_load_n"))
        _band(ax, answer, wheel, colour)
        ax.plot(grades, loads, color=colour, ls=dash, lw=2.0, label=words)
    ax.set_ylim(bottom=0.0)
    _mark_lifts(ax, answer)
    ax.margins(x=0.02)
    ax.legend(loc="lower left", frameon=False, fontsize=8.5)
    load_axis(ax, "load of one wheel")
    grade_axis(ax)
    ax.set_title(f"{shown_name(answer.setup)}: four wheels over grade{_course(answer)}{_shade_words(answer.band)}")
    return ax


def _course(answer: WheelSweep) -> str:
    return "" if not answer.heading_deg else f", heading {answer.heading_deg:g} deg"


def _shade_words(percents: Collection[float]) -> str:
    if not percents:
        return ""
    low, high = min(percents), max(percents)
    return f"\nshaded: front wheels {low:+g} to {high:+g} % faster than rear ones, on free or loaded radii"


def _band(ax: Axes, answer: WheelSweep, wheel: str, colour: str) -> None:
    if not answer.band:
        return
    grades = _column(answer.rows, "grade_deg")
    lanes = [as_grams(_column(answer.rows, f"{wheel}_load_n"))]
    for rows in answer.band.values():
        at, loads = _column(rows, "grade_deg"), as_grams(_column(rows, f"{wheel}_load_n"))
        good = np.isfinite(loads)
        if good.sum() > 1:
            lanes.append(np.interp(grades, at[good], loads[good], left=np.nan, right=np.nan))
    with np.errstate(all="ignore"):
        low, high = np.fmin.reduce(lanes), np.fmax.reduce(lanes)
    ax.fill_between(grades, low, high, color=colour, alpha=0.16, lw=0)


def _mark_lifts(ax: Axes, answer: WheelSweep) -> None:
    limits: Any = answer.limits
    first, tip = limits.first_wheel_lift_grade_deg, limits.tip_over_grade_deg
    if first is not None:
        name = wheel_words(limits.first_wheel).removeprefix("the ")
        mark_grade(ax, first, f"{name} lifts, {first:.1f} deg", colour=WHEEL_LOOKS.get(limits.first_wheel, (INK,))[0])
    if tip is not None and (first is None or tip - first > 0.3):
        mark_grade(ax, tip, f"front axle carries nothing, {tip:.1f} deg")
    low, high = answer.first_lift_range_deg
    if first is not None and low is not None and high - low > 0.05:
        ax.axvspan(low, high, color=FAINT, alpha=0.12, lw=0)


@house_look
def plot_twist(answer: Any, ax: Axes | None = None) -> Axes:
    """Left-right difference of the front wheels over grade, split by where it comes from.

    Parameters
    ----------
    answer : WheelSweep
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.2, 5.0)
    rows = [row for row in answer.rows if row.twist_n is not None]
    grades = _column(rows, "grade_deg")
    keys = [key for key in (rows[0].twist_budget if rows else {}) if _matters(rows, key)]
    # Parts of one sign lie on each other; above and below the line they are stacked apart.
    above, below = np.zeros(len(rows)), np.zeros(len(rows))
    for k, key in enumerate(keys):
        part = as_grams(np.array([row.twist_budget[key] or 0.0 for row in rows]))
        up, down = np.maximum(part, 0.0), np.minimum(part, 0.0)
        colour, hatch = PART_LOOKS[k % len(PART_LOOKS)]
        words = TWIST_WORDS[key]
        for base, piece in ((above, up), (below, down)):
            if np.any(piece):
                ax.fill_between(
                    grades, base, base + piece, fc=colour, hatch=hatch, ec="white", alpha=0.75, lw=0, label=words
                )
                words = "_" + words
        above, below = above + up, below + down
    ax.plot(grades, as_grams(_column(rows, "twist_n")), color=INK, lw=2.2, label="in all")
    ax.axhline(0.0, color=INK, lw=0.8)
    ax.margins(x=0.02)
    ax.legend(loc="upper left", frameon=False, fontsize=8.5)
    load_axis(ax, "half of front left less front right")
    grade_axis(ax)
    ax.set_title(f"{shown_name(answer.setup)}: where the twist of the front axle comes from{_course(answer)}")
    return ax


def _matters(rows: Any, key: str) -> Any:
    return max(grams_of_force(abs(row.twist_budget[key] or 0.0)) for row in rows) > 1e-3


@house_look
def plot_headings(answers: list[Headings], ax: Any = None) -> Axes:
    """Grade at which the first wheel lifts over the heading, as a polar picture: nose uphill above.

    Parameters
    ----------
    answers : sequence of Headings
    ax : Axes
        Polar ones, or plain ones with the heading along x.

    Returns
    -------
    Axes
    """
    polar = hasattr(ax, "set_theta_zero_location")
    for k, answer in enumerate(answers):
        colour, dash = look(k)
        turn = np.array([*answer.headings_deg, answer.headings_deg[0] + 360.0])
        turn = np.radians(turn) if polar else turn
        lift = [np.nan if g is None else g for g in answer.first_lift_grade_deg]
        if answer.mismatches_percent:
            low, high = (
                [np.nan if pair[side] is None else pair[side] for pair in answer.first_lift_range_deg]
                for side in (0, 1)
            )
            ax.fill_between(turn, [*low, low[0]], [*high, high[0]], color=colour, alpha=0.18, lw=0.0)
        tips = [np.nan if g is None else g for g in answer.over_grade_deg]
        ax.plot(
            turn,
            [*lift, lift[0]],
            color=colour,
            ls=dash,
            lw=2.0,
            label=f"{shown_name(answer.setup)}: first wheel lifts",
        )
        if k == 0 and np.isfinite(tips).any():
            ax.plot(turn, [*tips, tips[0]], color=FAINT, lw=1.2, label=f"{shown_name(answer.setup)}: goes over")
    ax.set_ylim(bottom=0.0)
    if not polar:
        ax.set_xlabel("heading, deg: 0 straight up, 90 the right side uphill")
        ax.set_ylabel("grade, deg")
        return ax
    ax.set_theta_zero_location("N")
    ax.set_theta_direction(1)
    ax.set_xticks(np.radians(np.arange(0, 360, 45)))
    # Names stand outside the circle at its sides too.
    ax.set_xticklabels(COURSES, fontsize=8)
    ax.tick_params(axis="x", pad=16)
    ax.tick_params(axis="y", labelsize=8, labelcolor=FAINT)
    return ax


@house_look
def plot_headings_alone(answer: Headings, ax: Axes | None = None) -> Axes:
    """The polar picture of one setup on axes of its own.

    Parameters
    ----------
    answer : Headings
    ax : polar Axes, optional

    Returns
    -------
    Axes
    """
    if ax is None:
        figure = figure_for(None, 5.6, 5.6).figure
        figure.clear()
        ax = figure.add_subplot(1, 1, 1, projection="polar")
    return plot_headings([answer], ax)


@house_look
def draw_headings(answers: Any) -> NotebookFigure:
    """Figure of the polar picture, with names below it."""
    figure, axes = new_figure(6.6, 6.4 + 0.22 * len(answers))
    figure.delaxes(axes[0])
    ax = figure.add_subplot(1, 1, 1, projection="polar")
    plot_headings(answers, ax)
    gaps = any(None in answer.first_lift_grade_deg for answer in answers)
    words = "grade at which the first wheel lifts, deg, over the heading"
    words += _shade_words(answers[0].mismatches_percent)
    ax.set_title(words + ("\n(a gap: no lift was found there)" if gaps else ""), pad=24)
    figure.legend(loc="outside lower left", fontsize=8.5, frameon=False)
    return figure


@house_look
def draw_wheel_sweeps(answers: Any) -> NotebookFigure:
    """Figure of one sweep: four loads and twist; of several: four loads of each, one below the other."""
    if len(answers) == 1:
        figure, (above, below) = new_figure(8.6, 8.6, 2, 1)
        plot_four_loads(answers[0], above)
        plot_twist(answers[0], below)
        return figure
    figure, axes = new_figure(8.6, 3.9 * len(answers), len(answers), 1)
    for answer, ax in zip(answers, axes, strict=True):
        plot_four_loads(answer, ax)
    return figure
