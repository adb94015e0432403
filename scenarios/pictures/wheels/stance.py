"""The solved pose from behind and from above, to scale: wheels as they stand, loads as arrows and grams, roll and steer."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.patches import FancyArrowPatch, Polygon

from noseload.model.names import shown_name
from noseload.model.vehicle import ENDS, SIDES
from noseload.pictures.names import lettered, wrapped
from noseload.pictures.style import FAINT, GROUND, INK, PAPER, as_grams, figure_for, house_look, new_figure
from noseload.studies.wheels.words import side_word, wheel_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes

    from noseload.model.space.places import SpacePose
    from noseload.pictures.style import NotebookFigure
    from noseload.studies.wheels.answer import WheelsAnswer


LIFTED = "#b5452c"
LOADED = "#2f8f83"
TREAD = 0.55
"""Drawn width of a tyre over its radius: no file says it."""
ARROW_MM = 70.0
"""Length of the arrow of the largest load, mm on the vehicle."""
MM = 1e3
WORDS_SIZE = 9.5
"""Points of the words of a view that has room."""
IN_ROWS = 2
"""Poses that have a row each; of more, front axle and view from above stand in cells beside each other."""
CELL_INCHES, HEAD_INCHES, VIEW_INCHES, CELL_SIZE = (4.8, 3.5), 0.45, 2.65, 8.5
"""A cell's width and height, the head above all, the height of views, and the points of words."""
VIEWS = ((0.3, 1.75), (2.4, 2.0))
"""From behind and from above: inches from the left of the cell, and their width."""


def wheel_outline(pose: SpacePose, wheel: int, axes: tuple[int, int]) -> np.ndarray:
    """Corners of a wheel's silhouette, seen along one axis: a box as wide as its tread and as long as its diameter, mm.

    Parameters
    ----------
    pose : SpacePose
    wheel : int
    axes : pair of int
        Which of x, y, z are drawn.
    """
    axis = pose.wheel_axes[wheel // 2]
    radius = pose.radii[wheel]
    across = axis * 0.5 * TREAD * radius
    if 2 in axes:
        other = np.cross(np.array([1.0, 0.0, 0.0]), axis)
        other /= np.linalg.norm(other)
        tall = other * radius
        # The loaded tyre is flat below.
        foot = pose.contacts[wheel] - pose.wheels[wheel]
        low = other * (foot @ other)
        corners = [tall - across, tall + across, low + across, low - across]
    else:
        ahead = np.cross(axis, np.array([0.0, 0.0, 1.0]))
        ahead *= radius / np.linalg.norm(ahead)
        corners = [ahead - across, ahead + across, -ahead + across, -ahead - across]
    return MM * np.array([(pose.wheels[wheel] + corner)[list(axes)] for corner in corners])


def _flip(points: np.ndarray) -> np.ndarray:
    """Seen from behind the left stands left: y counts to the left of the paper."""
    points = np.array(points, dtype=float)
    points[..., 0] *= -1.0
    return points


@house_look
def plot_from_behind(
    pose: SpacePose,
    loads: Sequence[float],
    end: str,
    ax: Any = None,
    *,
    most_n: float | None = None,
    size: float = WORDS_SIZE,
) -> Axes:
    """One axle and the chassis from behind.

    Parameters
    ----------
    pose : SpacePose
    loads : sequence of float
        Rear left, rear right, front left, front right, N.
    end : {'rear', 'front'}
    ax : Axes
    most_n : float, optional
        Load of the longest arrow, N; the largest of these unless several poses are compared.
    size : float
        Of the words, points.

    Returns
    -------
    Axes
    """
    k = 0 if end == "rear" else 1
    _ground(ax, pose, k)
    _chassis_from_behind(ax, pose, k)
    for side in range(2):
        wheel = 2 * k + side
        up = loads[wheel] <= 0.0
        outline = _flip(wheel_outline(pose, wheel, (1, 2)))
        ax.add_patch(Polygon(outline, closed=True, fc=PAPER, ec=LIFTED if up else INK, lw=1.8, zorder=4, hatch="...."))
    axle = _flip(MM * pose.wheels[2 * k : 2 * k + 2][:, 1:])
    ax.plot(*axle.T, color=INK, lw=3.2, solid_capstyle="round", zorder=5)
    for hand in SIDES:
        shock = _flip(MM * pose.shocks[f"{end}_{hand}"][:, 1:])
        ax.plot(*shock.T, color=FAINT, lw=3.0, ls=(0, (1, 0.7)), zorder=3)
        for name, ends in pose.rods.items():
            if name.startswith(end) and name.endswith(f"_{hand}"):
                ax.plot(*_flip(MM * ends[:, 1:]).T, color=FAINT, lw=1.6, zorder=2)
    for name, ends in pose.rods.items():
        if name.startswith(end) and not name.endswith(("_left", "_right")):
            ax.plot(*_flip(MM * ends[:, 1:]).T, color=FAINT, lw=1.6, zorder=2)
    most = most_n or max(max(loads), 1e-9)
    for side in range(2):
        _load_arrow(ax, pose, loads, 2 * k + side, most, size)
    ax.set_title(f"{end} axle, seen from behind")
    _to_scale(ax)
    return ax


def _ground(ax: Axes, pose: SpacePose, k: int) -> None:
    width = 0.5 * float(np.ptp(pose.wheels[:, 1])) * MM + 75.0
    ax.plot([-width, width], [0.0, 0.0], color=GROUND, lw=5, zorder=1, solid_capstyle="butt")
    for side in range(2):
        block = MM * pose.blocks[2 * k + side]
        if block:
            y = -MM * pose.wheels[2 * k + side][1]
            ax.add_patch(Polygon([(y - 25, 0), (y + 25, 0), (y + 25, block), (y - 25, block)], fc=GROUND, ec=FAINT))


def _chassis_from_behind(ax: Axes, pose: SpacePose, k: int) -> None:
    """Frame between the shock towers and the link ends of this axle."""
    end = ENDS[k]
    tops = [pose.shocks[f"{end}_{side}"][0] for side in SIDES]
    lows = [ends[0] for name, ends in pose.rods.items() if name.startswith(f"{end}_lower")]
    corners = [tops[0], tops[1], *reversed(lows)]
    if len(corners) < 3:
        return
    outline = _flip(MM * np.array(corners)[:, 1:])
    ax.add_patch(Polygon(outline, closed=True, fc="#e8edf0", ec=FAINT, lw=1.2, zorder=1))
    centre = _flip(MM * pose.centre_of_gravity[1:])
    ax.plot(*centre, marker="o", ms=7, mfc=PAPER, mec=INK, mew=1.4, zorder=6)


def _load_arrow(ax: Axes, pose: SpacePose, loads: Sequence[float], wheel: int, most: float, size: float) -> None:
    place = _flip(MM * pose.contacts[wheel][1:])
    ground = MM * pose.blocks[wheel]
    if loads[wheel] > 0.0:
        length = ARROW_MM * loads[wheel] / most
        ax.add_patch(
            FancyArrowPatch(
                (place[0], ground - length),
                (place[0], ground),
                arrowstyle="-|>",
                mutation_scale=11,
                color=LOADED,
                lw=2.2,
            )
        )
        text, colour = f"{as_grams(loads[wheel]):.0f} g", LOADED
    else:
        clear = MM * float(pose.contacts[wheel][2]) - ground
        text, colour = f"in the air,\n{clear:.0f} mm", LIFTED
    away = -1.0 if place[0] < 0.0 else 1.0
    ax.annotate(
        text, (place[0], ground), xytext=(7 * away, -7), textcoords="offset points", color=colour, fontsize=size,
        ha="right" if away < 0.0 else "left", va="top", fontweight="bold",
    )  # fmt: skip


@house_look
def plot_from_above(
    pose: SpacePose,
    loads: tuple[float, float, float, float],
    heading_deg: float = 0.0,
    ax: Any = None,
    *,
    size: float = WORDS_SIZE,
) -> Axes:
    """Wheels, chassis and centre of gravity from above, forward up; areas of the discs go as the loads.

    Parameters
    ----------
    pose : SpacePose
    loads : sequence of float
        N.
    heading_deg : float
        The nose turned left of the line of steepest ascent.
    ax : Axes
    size : float
        Of the words, points.

    Returns
    -------
    Axes
    """

    def seen(points: np.ndarray | list) -> np.ndarray:
        points = MM * np.asarray(points, dtype=float)
        return np.stack([-points[..., 1], points[..., 0]], axis=-1)

    towers = [pose.shocks[name][0] for name in ("rear_left", "rear_right", "front_right", "front_left")]
    ax.add_patch(Polygon(seen(towers), closed=True, fc="#e8edf0", ec=FAINT, lw=1.2, zorder=1))
    for ends in pose.rods.values():
        ax.plot(*seen(ends).T, color=FAINT, lw=1.4, zorder=2)
    most = max(max(loads), 1e-9)
    for wheel, load in enumerate(loads):
        outline = wheel_outline(pose, wheel, (1, 0))
        outline[:, 0] *= -1.0
        up = load <= 0.0
        ax.add_patch(Polygon(outline, closed=True, fc=PAPER, ec=LIFTED if up else INK, lw=1.8, zorder=4))
        x, y = seen((pose.wheels if up else pose.contacts)[wheel])
        if not up:
            ax.plot([x], [y], marker="o", ms=4.0 + 20.0 * np.sqrt(load / most), color=LOADED, alpha=0.35, zorder=5)
        outside = -1.0 if wheel % 2 == 0 else 1.0
        ax.annotate(
            "in the air" if up else f"{as_grams(load):.0f} g", (x, y), xytext=(2.5 * size * outside, 0),
            textcoords="offset points", color=LIFTED if up else LOADED, fontsize=size, fontweight="bold", va="center",
            ha="right" if outside < 0.0 else "left", zorder=6,
        )  # fmt: skip
    for k in range(2):
        ax.plot(*seen(pose.wheels[2 * k : 2 * k + 2]).T, color=INK, lw=3.0, zorder=3)
    ax.plot(*seen(pose.centre_of_gravity), marker="o", ms=7, mfc=PAPER, mec=INK, mew=1.4, zorder=6)
    _up_the_slope(ax, heading_deg)
    ax.set_title("from above, nose up on the paper")
    _to_scale(ax)
    low, high = ax.get_xlim()
    ax.set_xlim(low - 0.35 * (high - low), high + 0.35 * (high - low))
    return ax


def _up_the_slope(ax: Axes, heading_deg: float) -> None:
    """An arrow up the line of steepest ascent, in a corner."""
    beta = np.radians(heading_deg)
    low, high = ax.get_ylim()
    middle, foot, length = float(np.mean(ax.get_xlim())), high + 30.0, 45.0
    # The nose turned left: uphill lies to the right of it.
    tip = (middle + length * np.sin(beta), foot + length * np.cos(beta))
    ax.annotate("", xy=tip, xytext=(middle, foot), arrowprops={"arrowstyle": "-|>", "color": INK, "lw": 1.4})
    # On the side that the arrow leans away from.
    side = -1.0 if np.sin(beta) > 0.0 else 1.0
    align = "right" if side < 0.0 else "left"
    ax.annotate("uphill", (middle + 12.0 * side, foot + 0.5 * length), fontsize=8, va="center", ha=align)
    ax.set_ylim(low, foot + length + 10.0)


def _to_scale(ax: Axes) -> None:
    ax.set_aspect("equal", adjustable="box")
    ax.grid(False)
    ax.set_axis_off()


@house_look
def plot_answer(answer: WheelsAnswer, ax: Any = None) -> Axes:
    """The vehicle of an answer from above; `draw_stances` draws it from behind too.

    Parameters
    ----------
    answer : WheelsAnswer
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 4.6, 5.4)
    return plot_from_above(answer.pose, answer.row.loads_n, answer.row.heading_deg, ax)


@house_look
def draw_stances(answers: list) -> NotebookFigure:
    """Figure of solved poses: both axles from behind and the vehicle from above, or of more than two poses a cell each.

    Parameters
    ----------
    answers : sequence of WheelsAnswer
    """
    if len(answers) > IN_ROWS:
        return _cells(answers)
    figure, _ = new_figure(10.5, 4.4 * len(answers))
    figure.clear()
    parts = figure.subfigures(len(answers), 1, squeeze=False)[:, 0]
    for answer, part in zip(answers, parts, strict=True):
        row, here = answer.row, part.subplots(1, 3)
        for end, ax in zip(ENDS, here[:2], strict=True):
            plot_from_behind(answer.pose, row.loads_n, end, ax)
            ax.set_ylim(bottom=-1.25 * ARROW_MM)
        plot_from_above(answer.pose, row.loads_n, row.heading_deg, here[2])
        heading = "" if not row.heading_deg else f", heading {row.heading_deg:g} deg"
        lean = row.chassis_roll_deg
        part.suptitle(
            f"{shown_name(row.setup)}, {row.grade_deg:g} deg{heading} (to scale but for the width of the tyres)\nchassis leans {side_word(lean)}; axles lean: rear "
            f"{side_word(lean + row.rear_axle_roll_deg)}, front {side_word(lean + row.front_axle_roll_deg)}; steer: rear "
            f"{row.rear_steer_deg:+z.1f}, front {row.front_steer_deg:+z.1f} deg (left +)",
            fontsize=9.0,
            x=0.01,
            ha="left",
        )
    return figure


def _cells(answers: list) -> NotebookFigure:
    """Several poses, side by side: the front axle from behind, the vehicle from above, which wheel lifts first."""
    columns = 2 if len(answers) == 4 else 3
    rows = ceil(len(answers) / columns)
    wide, tall = CELL_INCHES
    figure, _ = new_figure(wide * columns, tall * rows + HEAD_INCHES)
    figure.clear()
    figure.set_layout_engine("none")
    width, height = figure.get_size_inches()
    row = answers[0].row
    heading = f", heading {row.heading_deg:g} deg" if row.heading_deg else ""
    head = f"{row.grade_deg:g} deg{heading}; to scale but for the width of the tyres"
    figure.text(0.1 / width, 1.0 - 0.08 / height, head, va="top", fontsize=10.5)
    most = max(max(answer.row.loads_n) for answer in answers)
    for k, answer in enumerate(answers):
        left, top = wide * (k % columns), height - HEAD_INCHES - tall * (k // columns)
        name = wrapped(lettered(k, answer.setup), 72.0 * wide, CELL_SIZE)
        words = f"{name}\n{_first_lift(answer)}"
        figure.text((left + 0.1) / width, top / height, words, va="top", fontsize=CELL_SIZE, fontweight="bold")
        views = [
            figure.add_axes(((left + start) / width, (top - tall + 0.1) / height, length / width, VIEW_INCHES / height))
            for start, length in VIEWS
        ]
        plot_from_behind(answer.pose, answer.row.loads_n, "front", views[0], most_n=most, size=CELL_SIZE)
        views[0].set_ylim(bottom=-1.25 * ARROW_MM)
        plot_from_above(answer.pose, answer.row.loads_n, answer.row.heading_deg, views[1], size=CELL_SIZE)
        lean = side_word(answer.row.chassis_roll_deg)
        titles = (f"front axle, from behind\nchassis leans {lean}", "from above, nose up\n")
        for view, title in zip(views, titles, strict=True):
            view.set_title("", loc="left")
            view.set_title(title, fontsize=CELL_SIZE, fontweight="normal", loc="center")
            view.set_anchor("N")
    return figure


def _first_lift(answer: WheelsAnswer) -> str:
    """Which wheel lifts first, and where, for the words of a cell."""
    limits = answer.limits
    if limits.first_wheel_lift_grade_deg is None:
        return "no wheel lifts before the climb ends"
    who = wheel_words(limits.first_wheel).removeprefix("the ")
    verb = "lift" if limits.first_wheel and limits.first_wheel.endswith("_both") else "lifts"
    return f"{who} {verb} first, at {limits.first_wheel_lift_grade_deg:.1f} deg"
