"""Positions tried for a target, and the vehicles with the maximum and the minimum front axle load, to scale."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.geometry import solved_pose
from noseload.model.names import shown_name
from noseload.pictures.side_view import draw_ground, plot_vehicle
from noseload.pictures.style import (
    FAINT,
    INK,
    as_grams,
    figure_for,
    head_figure,
    house_look,
    look,
    measurable_band,
    new_figure,
)
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.links.aim_targets import KINDS
from noseload.studies.thresholds import Thresholds

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.links.aim import Aim
    from noseload.studies.links.aim_targets import Outcome
    from noseload.studies.links.extremes import MostLoad


PANELS = (("tip_over_grade_deg", "tip-over, deg"), ("front_load_g", "front axle load, g"))


@house_look
def plot_positions(result: Aim, outcome: str, words: str, ax: Axes | None = None) -> Axes:
    """One outcome over the positions tried, the present vehicle and the solutions marked.

    Parameters
    ----------
    result : Aim
    outcome : str
        Name of a number of `Outcome`.
    words : str
        Its name and unit on the axis.
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.0, 4.0)
    place, names = _places(result)
    values = np.array([np.nan if getattr(row, outcome) is None else getattr(row, outcome) for row in result.rows])
    colour, dash = look(0)
    ax.plot(place, values, color=colour, ls="none" if names else dash, marker="o", ms=6 if names else 3, mfc="white")
    now = getattr(result.present, outcome)
    if now is not None:
        ax.axhline(now, color=FAINT, lw=0.9, ls=(0, (3, 2)))
        ax.annotate(
            f"as it is: {now:.1f}",
            (0.99, now),
            xycoords=("axes fraction", "data"),
            xytext=(0, 3),
            textcoords="offset points",
            ha="right",
            fontsize=8,
            color=FAINT,
        )
    kind = KINDS[result.target.kind]
    if outcome == kind.outcome and result.target.value is not None:
        ax.axhline(result.target.value, color=look(1)[0], lw=1.2, ls=look(1)[1])
        ax.annotate(
            f"target {result.target.value:g} {kind.unit}",
            (0.01, result.target.value),
            xycoords=("axes fraction", "data"),
            xytext=(0, 3),
            textcoords="offset points",
            fontsize=8,
            color=look(1)[0],
        )
    if not names:
        for row in result.solutions:
            x, y = _coordinate(result, row), getattr(row, outcome)
            if y is not None:
                ax.plot([x], [y], marker="o", ms=9, mfc="none", mec=look(1)[0], mew=1.8, zorder=5)
    if names:
        ax.set_xticks(place, names, rotation=30, ha="right", fontsize=7.5)
        ax.margins(x=0.08)
    ax.margins(y=0.15)
    half = _measurable(outcome)
    if now is not None and half is not None:
        measurable_band(ax, now, half)
        ax.text(0.01, 0.02, f"band: cannot be measured (within {half:.2g})", transform=ax.transAxes, fontsize=8)
    ax.set_ylabel(words)
    ax.set_xlabel("positions, x, z mm" if names else _axis_words(result))
    return ax


def _measurable(outcome: str) -> float | None:
    """Smallest difference of an outcome that can be measured, in its unit on the axis; None where nobody has said."""
    sizes = Thresholds()
    return {"tip_over_grade_deg": sizes.measurable_deg, "front_load_g": as_grams(sizes.measurable_load_n)}.get(outcome)


def _moved(result: Aim) -> tuple[str, int] | None:
    """(key, axis number) of the one coordinate that changes along the rows, or None for holes."""
    keys = list(result.rows[0].points_mm)
    if len(keys) > 1 or len(result.rows) < 3:
        return None
    points = np.array([row.points_mm[keys[0]] for row in result.rows])
    moving = [k for k in (0, 1) if np.ptp(points[:, k]) > 0.0]
    steps = np.diff(points[:, moving[0]]) if len(moving) == 1 else np.array([])
    return (keys[0], moving[0]) if steps.size and np.allclose(steps, steps[0]) and steps[0] > 0.0 else None


def _places(result: Aim) -> tuple[np.ndarray, list[str] | None]:
    moved = _moved(result)
    if moved is None:
        names = ["; ".join(f"{x:.0f}, {z:.0f}" for x, z in row.points_mm.values()) for row in result.rows]
        return np.arange(len(names)), names
    return np.array([row.points_mm[moved[0]][moved[1]] for row in result.rows]), None


def _coordinate(result: Aim, row: Outcome) -> Any:
    moved: Any = _moved(result)
    key, axis = moved
    return row.points_mm[key][axis]


def _axis_words(result: Aim) -> str:
    moved: Any = _moved(result)
    key, axis = moved
    return f"{'xz'[axis]} of {key.removesuffix('_mm')}, mm"


@house_look
def draw_aim(result: Aim) -> NotebookFigure:
    """Figure: the outcome aimed at, and what else the positions change.

    Parameters
    ----------
    result : Aim

    Returns
    -------
    Figure
    """
    kind = KINDS[result.target.kind]
    # Standing, the front load says nothing about links.
    others = [
        (name, words) for name, words in PANELS if name != kind.outcome and (name != "front_load_g" or result.grade_deg)
    ]
    figure, axes = new_figure(4.4 * (1 + len(others)), 4.2, 1, 1 + len(others))
    unit = kind.unit
    plot_positions(result, kind.outcome, f"{kind.words}, {unit}", axes[0])
    for ax, (name, words) in zip(axes[1:], others, strict=True):
        if name == "front_load_g":
            words = f"front axle load at {result.grade_deg:g} deg, g"
        plot_positions(result, name, words, ax)
    head_figure(
        figure,
        f"{shown_name(result.setup)}: link end aimed at {kind.words}"
        + ("" if result.target.value is None else f" {result.target.value:g} {unit}"),
    )
    return figure


@house_look
def plot_extreme(extreme: Any, present: Any, grade_deg: float, ax: Axes | None = None, *, title: str = "") -> Axes:
    """One found vehicle in its pose on the slope, the present one as an outline behind it.

    Parameters
    ----------
    extreme, present : Extreme
    grade_deg : float
    ax : Axes, optional
    title : str

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.0, 5.5)
    angle = grade_deg
    if extreme.row.state is None:
        state, angle = extreme.climb.standing.state, 0.0
    else:
        state = extreme.row.state
    pose = solved_pose(extreme.climb.standing.values, coordinates_of(state))
    span = pose.points["front_contact"][0] - pose.points["rear_contact"][0]
    draw_ground(ax, angle, -0.35 * span, 1.4 * span)
    plot_vehicle(pose, angle, ax)
    if angle == grade_deg and extreme.name != "present":
        before = solved_pose(present.climb.standing.values, coordinates_of(present.row.state))
        plot_vehicle(before, angle, ax, setup=5, filled=False)
    force = (
        "tipped over before this grade (drawn standing)"
        if extreme.front_load_n is None
        else (
            f"front axle load {as_grams(extreme.front_load_n):.0f} g, nose up {extreme.nose_up_pitch_deg:.1f} deg on the slope"
        )
    )
    verb = {"tip_over": "tips", "fold": "snaps to another attitude"}.get(extreme.climb_ends_by)
    tip = "" if verb is None else f"\n{verb} at {extreme.climb_ends_grade_deg:.1f} deg"
    outcome = extreme.punch.get("outcome")
    punched = "" if outcome is None else f"\npunch: {outcome.replace('_', ' ')}"
    ax.text(0.02, 0.98, force + tip + punched, transform=ax.transAxes, va="top", fontsize=8.5, color=INK)
    ax.margins(0.04)
    ax.autoscale_view()
    ax.set_axis_off()
    ax.set_title(title)
    return ax


@house_look
def draw_most_load(result: MostLoad) -> NotebookFigure:
    """Figure: least and most front load found, both vehicles to one scale, with the range.

    Parameters
    ----------
    result : MostLoad

    Returns
    -------
    Figure
    """
    figure, axes = new_figure(13.0, 6.2, 1, 2)
    for ax, extreme, title in zip(
        axes,
        (result.least, result.most),
        ("minimum front axle load found", "maximum front axle load found"),
        strict=True,
    ):
        plot_extreme(extreme, result.present, result.grade_deg, ax, title=title)
    limits = [(ax.get_xlim(), ax.get_ylim()) for ax in axes]
    for ax in axes:
        ax.set_xlim(min(x[0] for x, _ in limits), max(x[1] for x, _ in limits))
        ax.set_ylim(min(y[0] for _, y in limits), max(y[1] for _, y in limits))
    head_figure(figure, _range_words(result) + " (grey dots: as it is)", 11)
    return figure


def _range_words(result: MostLoad) -> str:
    if result.searched == "punch":
        loads = [as_grams(e.punch["front_load_min_n"]) for e in (result.least, result.most)]
        return (
            f"what link geometry does in a punch at {result.grade_deg:g} deg: minimum front axle load {loads[0]:.0f} g "
            f"against {loads[1]:.0f} g"
        )
    span = "" if result.load_range_n is None else f": {as_grams(result.load_range_n):.0f} g"
    ends = "" if result.end_range_deg is None else f", {result.end_range_deg:+.1f} deg of climb"
    return f"what link geometry does to the front axle load at {result.grade_deg:g} deg{span}{ends}"


@house_look
def plot_target(result: Aim, ax: Axes | None = None) -> Axes:
    """The outcome aimed at over the positions tried; returns the axes."""
    kind = KINDS[result.target.kind]
    ax = plot_positions(result, kind.outcome, f"{kind.words}, {kind.unit}", ax)
    ax.set_title(f"{shown_name(result.setup)}: aimed at {kind.words}")
    return ax


@house_look
def plot_most(result: MostLoad, ax: Axes | None = None) -> Axes:
    """The vehicle with most front load in its pose, the present one behind it; returns the axes."""
    return plot_extreme(
        result.most,
        result.present,
        result.grade_deg,
        ax,
        title=f"maximum front axle load in the {result.searched} at {result.grade_deg:g} deg",
    )
