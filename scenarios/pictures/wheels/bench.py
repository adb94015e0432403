"""Four scales of the held-wheel bench over the torque, and the lean of the chassis on the way."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.names import shown_name
from noseload.pictures.label_places import LabelPlacer
from noseload.pictures.style import FAINT, INK, PAPER, as_grams, figure_for, house_look, load_axis, new_figure
from noseload.studies.wheels.words import WHEEL_WORDS, wheel_words

from .grades import WHEEL_LOOKS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.space.bench import BenchWheels


BEFORE_LIFT = 0.7
"""Share of the torque of the first lift up to which lines are named: words about the lift stand beyond it."""

SNAP_WORDS, WORDS_SHARE = (0.72, 0.69, 0.66, 0.63), 0.2
"""Where the two lines of words about a snap stand, from top to bottom, and how much of the width they take."""


@house_look
def draw_bench_wheels(found: Any) -> NotebookFigure:
    """One picture a setup, two or three beside each other, so that many fit a screen.

    Parameters
    ----------
    found : sequence of BenchWheels

    Returns
    -------
    Figure
    """
    columns = min(len(found), 2 if len(found) <= 4 else 3)
    rows = ceil(len(found) / columns)
    figure, axes = new_figure(7.2 * columns, 5.0 * rows, rows, columns)
    for ax, each in zip(axes, found, strict=False):
        plot_bench_wheels(each, ax)
    for ax in axes[len(found) :]:
        ax.set_axis_off()
    return figure


@house_look
def plot_bench_wheels(found: BenchWheels, ax: Axes | None = None) -> Axes:
    """Loads of the four wheels over the torque at the held rear wheels, with the lifts and the snap.

    Parameters
    ----------
    found : BenchWheels
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.2, 5.0)
    torque = [row["torque_n_mm"] for row in found.rows]
    for wheel in WHEEL_WORDS:
        colour, dash = WHEEL_LOOKS[wheel]
        loads = [as_grams(row[f"{wheel}_load_n"]) for row in found.rows]
        ax.plot(torque, loads, color=colour, ls=dash, lw=2.0)
    ax.set_ylim(bottom=0.0)
    for snap in found.snaps:
        ax.axvline(snap["torque_n_mm"], color=FAINT, lw=1.0, ls=(0, (2, 2)))
        if snap["chassis_roll_after_deg"] is not None:
            turned = abs(snap["chassis_roll_after_deg"] - snap["chassis_roll_before_deg"])
            more = f"snap: leans\n{turned:.1f} deg more" if turned >= 0.05 else "snap"
            _beside(ax, snap["torque_n_mm"], SNAP_WORDS[0], more)
    first, free = found.first_wheel_torque_n_mm, found.axle_free_torque_n_mm
    if first is not None:
        _beside(ax, first, 0.94, f"{wheel_words(found.first_wheel).removeprefix('the ')} free\nat {first:.0f} N mm")
    if free is not None and free != first:
        _beside(ax, free, 0.2, f"front axle free\nat {free:.0f} N mm", align="right")
    ax.margins(x=0.02)
    _name_lines(ax, found)
    load_axis(ax, "scale under one wheel")
    ax.set_xlabel("torque at the held rear wheels, N mm")
    ax.set_title(f"{shown_name(found.setup)}: four scales on the held-wheel bench")
    return ax


def _name_lines(ax: Axes, found: BenchWheels) -> None:
    """Each line by its wheel, where the four are apart: before the first lift."""
    rows = [row for row in found.rows if row["status"] == "ok"]
    last = found.first_wheel_torque_n_mm
    before = [row for row in rows if last is None or row["torque_n_mm"] <= BEFORE_LIFT * last] or rows
    torque = np.array([row["torque_n_mm"] for row in before])
    placer = LabelPlacer(ax)
    wide, top = WORDS_SHARE * (ax.get_xlim()[1] - ax.get_xlim()[0]), ax.get_ylim()[1]
    for snap in found.snaps:
        for height in SNAP_WORDS:
            across = (snap["torque_n_mm"], snap["torque_n_mm"] + wide)
            placer.avoid_curve(ax, across, (height * top, height * top))
    for wheel, words in WHEEL_WORDS.items():
        loads = np.array([as_grams(row[f"{wheel}_load_n"]) for row in before])
        placer.name_curve(ax, torque, loads, words, WHEEL_LOOKS[wheel][0])
        placer.avoid_curve(
            ax,
            np.array([row["torque_n_mm"] for row in rows]),
            np.array([as_grams(row[f"{wheel}_load_n"]) for row in rows]),
        )


def _beside(ax: Axes, torque: float, height: float, words: str, align: str = "left") -> None:
    shift = 4 if align == "left" else -4
    ax.annotate(
        words,
        (torque, height),
        xycoords=("data", "axes fraction"),
        xytext=(shift, 0),
        textcoords="offset points",
        ha=align,
        va="top",
        fontsize=8.5,
        color=INK,
        bbox={"fc": PAPER, "ec": "none", "alpha": 0.8, "pad": 0.8},
        zorder=5,
    )
