"""Pictures of a punch in space over time: four loads, roll and pitch, what makes the front wheels differ."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.names import shown_name
from noseload.pictures.label_places import LabelPlacer
from noseload.pictures.style import FAINT, INK, as_grams, figure_for, house_look, load_axis, look, new_figure
from noseload.pictures.wheels.grades import PART_LOOKS, WHEEL_LOOKS
from noseload.studies.punch.wheels_words import wheels_sentence
from noseload.studies.wheels.words import MOTION_TWIST_WORDS, WHEEL_WORDS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.compare.wheels_punch import WheelsComparison
    from noseload.studies.errors.uncertainty_wheels import WheelsUncertainty
    from noseload.studies.punch.wheels import WheelsPunch
    from noseload.studies.punch.wheels_many import WheelsMany


SHOWN_FROM = 0.03
"""Parts smaller than this share of the largest are not drawn."""
ROOM_ABOVE = 1.12
PITCH_INK = "#2f8f83"
BAR_SHARE = 0.02
"""Height of a bar that marks a wheel in the air, as a share of the axes."""


def _time_axis(ax: Axes, result: WheelsPunch) -> None:
    ax.set_xlabel("time, s")
    ax.set_xlim(0.0, float(result.time_s[-1]))


def wheel_spells(result: WheelsPunch, wheel: str) -> list[tuple[float, float]]:
    """(start, end) of every spell in the air of a wheel, s, read off its events."""
    found, since = [], 0.0 if result.traces[f"{wheel}_load_n"][0] <= 0.0 else None
    for event in result.events:
        if event.name == f"{wheel}_lift_off":
            since = event.time_s
        elif event.name == f"{wheel}_touchdown" and since is not None:
            found.append((since, event.time_s))
            since = None
    return found if since is None else [*found, (since, float(result.time_s[-1]))]


@house_look
def plot_wheel_loads(results: Any, ax: Axes | None = None) -> Axes:
    """Loads of the four wheels over time, with bars where one is in the air; of several punches the front wheels.

    Parameters
    ----------
    results : WheelsPunch or sequence of WheelsPunch
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    results = list(results) if isinstance(results, (list, tuple)) else [results]
    single, placer = len(results) == 1, LabelPlacer(ax)
    for k, result in enumerate(results):
        for wheel, words in WHEEL_WORDS.items():
            if not single and wheel.startswith("rear"):
                continue
            colour, dash = WHEEL_LOOKS[wheel]
            loads = as_grams(result.traces[f"{wheel}_load_n"])
            shape = dash if single else ("-", (0, (5, 2)), (0, (1, 1)))[k % 3]
            width = 2.0 if wheel.startswith("front") else 1.3
            label = words if single else f"{words}, {shown_name(result.setup)}"
            ax.plot(result.time_s, loads, color=colour, ls=shape, lw=width, label=label)
            if single:
                placer.name_curve(ax, result.time_s, loads, words, colour)
    top = ax.get_ylim()[1] * ROOM_ABOVE
    ax.set_ylim(0.0, top)
    if single:
        _mark_spells(ax, results[0], top, placer)
    _time_axis(ax, results[0])
    if not single:
        ax.legend(loc="upper right", frameon=False, fontsize=8.5, ncols=2)
    load_axis(ax, "load of one wheel")
    return ax


def _mark_spells(ax: Axes, result: WheelsPunch, top: float, placer: LabelPlacer) -> None:
    """A bar at the bottom, in a wheel's colour, while it is in the air."""
    flown = [(wheel, spells) for wheel in WHEEL_WORDS if (spells := wheel_spells(result, wheel))]
    for k, (wheel, spells) in enumerate(flown):
        bars = [(start, end - start) for start, end in spells]
        low = BAR_SHARE * top * (1.2 * k + 0.3)
        ax.broken_barh(bars, (low, BAR_SHARE * top), color=WHEEL_LOOKS[wheel][0], zorder=3)
        for start, end in spells:
            for edge in (low, low + BAR_SHARE * top):
                placer.avoid_curve(ax, (start, end), (edge, edge))


@house_look
def plot_attitude(result: WheelsPunch, ax: Axes | None = None) -> Axes:
    """Roll and nose-up pitch of the chassis over time.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    placer = LabelPlacer(ax)
    roll, pitch = result.traces["chassis_roll_deg"], result.traces["nose_up_pitch_deg"]
    heading = result.traces["heading_deg"] - result.traces["heading_deg"][0]
    for trace, words, colour, dash in (
        (roll, "roll (left side up +)", INK, "-"),
        (pitch, "nose-up pitch", PITCH_INK, "-"),
        (heading, "heading (turned left +)", FAINT, (0, (4, 2))),
    ):
        ax.plot(result.time_s, trace, color=colour, ls=dash, lw=1.6)
        placer.name_curve(ax, result.time_s, trace, words, colour)
    ax.axhline(0.0, color=FAINT, lw=0.8)
    ax.margins(y=0.12)
    _time_axis(ax, result)
    placer.avoid_curve(ax, ax.get_xlim(), (0.0, 0.0))
    ax.set_ylabel("chassis on the slope, deg")
    return ax


@house_look
def plot_twist_over_time(result: WheelsPunch, ax: Axes | None = None) -> Axes:
    """Half of front left less front right over time, and the parts that add up to it.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    parts = {key: as_grams(part) for key, part in result.twist_budget.items()}
    most = max(float(np.abs(part).max()) for part in parts.values())
    traces = result.traces
    twist = as_grams(0.5 * (traces["front_left_load_n"] - traces["front_right_load_n"]))
    ax.plot(result.time_s, twist, color=INK, lw=2.4, label="half of left less right")
    dashes = ("-", (0, (5, 2)), (0, (1, 1)), (0, (5, 1, 1, 1)), (0, (3, 3)), (0, (8, 2)), "-")
    for k, (key, part) in enumerate(parts.items()):
        if np.abs(part).max() > SHOWN_FROM * most:
            colour, _ = PART_LOOKS[k % len(PART_LOOKS)]
            ax.plot(
                result.time_s, part, color=colour, ls=dashes[k % len(dashes)], lw=1.4, label=MOTION_TWIST_WORDS[key]
            )
    ax.axhline(0.0, color=FAINT, lw=0.8)
    ax.legend(loc="upper right", frameon=False, fontsize=8.0, ncols=2)
    _time_axis(ax, result)
    ax.set_ylabel("front left less right, half, and its parts, g")
    ax.set_ylim(top=ax.get_ylim()[1] * 1.35)
    return ax


def _shade(loads: Axes, attitude: Axes, setup: str, sure: WheelsUncertainty) -> None:
    """95 % limits of the setup behind its curves."""
    bands = next(found for found in sure.setups if found.setup == setup).bands
    for wheel in ("front_left", "front_right"):
        low, high = as_grams(bands[f"{wheel}_load_n"])
        loads.fill_between(sure.time_s, low, high, color=WHEEL_LOOKS[wheel][0], alpha=0.16, lw=0, zorder=0.5)
    for name, colour in (("chassis_roll_deg", INK), ("nose_up_pitch_deg", PITCH_INK)):
        attitude.fill_between(sure.time_s, *bands[name], color=colour, alpha=0.16, lw=0, zorder=0.5)
    words = "shaded: 95 % of random vehicles, both parts"
    if not np.isfinite(bands["chassis_roll_deg"]).all():
        words += ", until one flips or rolls over"
    for ax, text in ((loads, f"{words}; front wheels"), (attitude, words)):
        ax.annotate(
            text, (0.99, 0.02), xycoords="axes fraction", ha="right", va="bottom", fontsize=8, color=INK, zorder=4
        )


@house_look
def draw_wheels_punch(result: WheelsPunch, sure: WheelsUncertainty | None = None) -> NotebookFigure:
    """Figure of one punch in space: four loads, roll and pitch, the twist of the front axle.

    Parameters
    ----------
    result : WheelsPunch
    sure : WheelsUncertainty, optional
        Shaded behind the loads of the front wheels, roll and pitch.

    Returns
    -------
    Figure
    """
    figure, axes = new_figure(8.5, 9.5, rows=3, heights=(3.4, 2.6, 3.2))
    asked = result.options
    axes[0].set_title(
        f"{shown_name(result.setup)}: throttle {result.throttle_start:.2f} to {asked.throttle:g} at {asked.grade_deg:g} deg, "
        f"{result.drive} driven\n{wheels_sentence(result)}"
    )
    plot_wheel_loads(result, axes[0])
    plot_attitude(result, axes[1])
    if sure is not None:
        _shade(axes[0], axes[1], result.setup, sure)
    plot_twist_over_time(result, axes[2])
    for ax in axes[:-1]:
        ax.set_xlabel("")
        ax.tick_params(labelbottom=False)
    return figure


@house_look
def plot_many(result: WheelsMany, ax: Axes | None = None) -> Axes:
    """Time in the air of the first wheel and of the front axle over the grade, for many punches.

    Parameters
    ----------
    result : WheelsMany
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    grades = result.options.grade_deg
    order = np.argsort(grades, kind="stable")
    for values, words, colour, shape in (
        (result.first_wheel_airborne_s, "first wheel", WHEEL_LOOKS["front_right"][0], "o"),
        (result.numbers["front_axle_airborne_s"], "both front wheels at once", INK, "x"),
    ):
        ax.plot(grades[order], 1e3 * values[order], ls="", marker=shape, ms=4, color=colour, label=words)
    ax.set_ylabel("in the air, ms")
    ax.set_xlabel("grade, deg")
    ax.legend(loc="upper left", frameon=False, fontsize=8.5)
    return ax


@house_look
def plot_compared(result: WheelsComparison, ax: Axes | None = None) -> Axes:
    """Load of the wheel that is compared, over time, setup by setup.

    Parameters
    ----------
    result : WheelsComparison
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    wheel = result.wheel or "front_right"
    for k, member in enumerate(result.members):
        if member.punch.time_s.size:
            colour, dash = look(k)
            loads = as_grams(member.punch.traces[f"{wheel}_load_n"])
            ax.plot(member.punch.time_s, loads, color=colour, ls=dash, label=shown_name(member.setup))
    ax.set_xlabel("time, s")
    ax.set_ylim(bottom=0.0)
    ax.legend(loc="upper right", frameon=False, fontsize=8.5)
    load_axis(ax, f"load of the {WHEEL_WORDS[wheel]} wheel")
    return ax


@house_look
def draw_compared(result: WheelsComparison) -> NotebookFigure:
    """Figure of one punch of every setup in space: the wheel that is compared, and how the chassis rolls.

    Parameters
    ----------
    result : WheelsComparison

    Returns
    -------
    Figure
    """
    figure, (loads, rolls) = new_figure(8.5, 6.5, rows=2, heights=(3.4, 2.6))
    plot_compared(result, loads)
    wheel = WHEEL_WORDS[result.wheel or "front_right"]
    loads.set_title(
        f"A punch on {result.grade_deg:g} deg, setup by setup: the {wheel} wheel, and how the chassis rolls"
    )
    for k, member in enumerate(result.members):
        if member.punch.time_s.size:
            colour, dash = look(k)
            rolls.plot(member.punch.time_s, member.punch.traces["chassis_roll_deg"], color=colour, ls=dash)
            _time_axis(loads, member.punch)
            _time_axis(rolls, member.punch)
    loads.set_xlabel("")
    loads.tick_params(labelbottom=False)
    rolls.set_ylabel("roll, deg (left side up +)")
    return figure
