"""Pictures of a punch over time: loads, the front load taken apart, pitch, travel, link forces, slip, events."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl import budget_parts
from noseload.model.names import shown_name
from noseload.model.parameters import ENDS, LINKS
from noseload.pictures.label_places import LabelPlacer
from noseload.pictures.style import (
    AXLE_INKS,
    FAINT,
    INK,
    LINK_DASHES,
    as_grams,
    direct_labels,
    figure_for,
    house_look,
    load_axis,
    look,
    new_figure,
)
from noseload.studies.punch.outcome import FLIPS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.punch.punch import PunchResult


EVENT_WORDS = {
    "front_lift_off": "front lifts",
    "front_touchdown": "front lands",
    "rear_lift_off": "rear lifts",
    "rear_touchdown": "rear lands",
    "flips_back": "flips back",
    "flips_forward": "flips forward",
}
SHOWN_FROM = 0.03
"""Parts smaller than this share of the standing load are not named."""
CUT_AT = 2.5
"""Parts are shown up to this multiple of the standing load: in a flip the distance between the axles along the slope goes to zero."""
NAME_SHARE = 0.07
"""Height of the name of a setup, as a share of the axes."""
LETTER_INCHES, MOST_ROWS = 0.075, 4
"""Room of one letter of the words of events, and rows of them."""


def _mark_events(ax: Any, result: PunchResult, *, words: bool = True) -> None:
    """Thin lines where an axle leaves or meets the ground, their words above the axes, in rows where they would touch."""
    shown = [event for event in result.events if event.name in EVENT_WORDS]
    for event in shown:
        ax.axvline(event.time_s, color=FAINT, lw=0.8, ls=(0, (2, 2)), zorder=0)
    if not words:
        return
    share = LETTER_INCHES / ax.figure.get_size_inches()[0]
    ends = [-1.0] * MOST_ROWS
    for event in shown:
        place = event.time_s / float(result.time_s[-1])
        width = share * len(EVENT_WORDS[event.name])
        place = min(place, 1.0 - width)
        row = next((k for k, end in enumerate(ends) if end < place), None)
        if row is not None:
            ends[row] = place + width
            ax.annotate(
                EVENT_WORDS[event.name],
                (place, 1.0),
                xycoords="axes fraction",
                xytext=(0, 3 + 10 * row),
                textcoords="offset points",
                va="bottom",
                fontsize=8,
                color=INK,
            )
    rows = sum(end >= 0.0 for end in ends)
    if rows:
        ax.set_title(ax.get_title(loc="left"), pad=8 + 10 * rows)


def _event_lines(placer: LabelPlacer, ax: Axes, result: PunchResult) -> None:
    """Keeps names off the lines of events."""
    for event in result.events:
        if event.name in EVENT_WORDS:
            placer.avoid_curve(ax, [event.time_s] * 2, ax.get_ylim())


def _time_axis(ax: Axes, result: PunchResult) -> None:
    ax.set_xlabel("time, s")
    ax.set_xlim(0.0, float(result.time_s[-1]))


@house_look
def plot_loads(results: PunchResult | list[PunchResult], ax: Axes | None = None, *, names: bool = True) -> Axes:
    """Front load over time of one or more punches, and the rear load of a single one.

    Parameters
    ----------
    results : PunchResult or sequence of PunchResult
    ax : Axes, optional
    names : bool
        Whether several are named in the picture; without, they are told apart by the looks of setups.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    results = list(results) if isinstance(results, (list, tuple)) else [results]
    for k, result in enumerate(results):
        colour, dash = look(k)
        ax.plot(result.time_s, as_grams(result.front_load_n), color=colour, ls=dash)
    if len(results) == 1:
        rear = as_grams(results[0].traces["rear_load_n"])
        ax.plot(results[0].time_s, rear, color=FAINT, lw=1.3)
    ax.set_ylim(bottom=0.0)
    _time_axis(ax, results[0])
    _mark_events(ax, results[0], words=len(results) == 1)
    if len(results) == 1:
        placer = LabelPlacer(ax)
        _event_lines(placer, ax, results[0])
        placer.name_curve(ax, results[0].time_s, as_grams(results[0].front_load_n), "front axle", INK)
        placer.name_curve(ax, results[0].time_s, rear, "rear axle", FAINT)
    elif names:
        _name_setups(ax, results)
    load_axis(ax, "axle load")
    return ax


def _name_setups(ax: Axes, results: list[PunchResult]) -> None:
    """Names above the curves, which end on each other, joined to them by colour and dash."""
    ax.set_ylim(0.0, ax.get_ylim()[1] * (1.03 + NAME_SHARE * len(results)))
    for k, result in enumerate(results):
        colour, dash = look(k)
        height = 1.0 - NAME_SHARE * (k + 0.5)
        ax.plot([0.02, 0.09], [height] * 2, transform=ax.transAxes, color=colour, ls=dash, lw=1.8)
        ax.text(
            0.10,
            height,
            f"front axle, {shown_name(result.setup)}",
            transform=ax.transAxes,
            color=colour,
            va="center",
            fontsize=8.5,
            bbox={"fc": "white", "ec": "none", "pad": 0.8},
        )


@house_look
def plot_budget_over_time(result: PunchResult, ax: Axes | None = None) -> Axes:
    """The front load of one punch taken apart over time: what gives load above zero, what takes it below.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    parts = {key: as_grams(part) for key, part in result.budget.items()}
    up, down = np.zeros(len(result.time_s)), np.zeros(len(result.time_s))
    placer = LabelPlacer(ax)
    areas = []
    for key, part in parts.items():
        look_of = budget_parts.part_of(key)
        colour, hatch, words = look_of.colour, look_of.hatch, look_of.short
        given, taken = np.maximum(part, 0.0), np.minimum(part, 0.0)
        for base, piece in ((up, given), (down, taken)):
            ax.fill_between(result.time_s, base, base + piece, facecolor=colour, hatch=hatch, edgecolor="white", lw=0.3)
        if np.abs(part).max() > SHOWN_FROM * parts["standing_n"][0]:
            # Named on the side where it has more to say.
            base, piece = (up, given) if given.max() > -taken.min() else (down, taken)
            areas.append((np.minimum(base, base + piece), np.maximum(base, base + piece), words))
        up, down = up + given, down + taken
    front = as_grams(result.front_load_n)
    ax.plot(result.time_s, front, color="white", lw=4.0)
    ax.plot(result.time_s, front, color=INK, lw=2.2)
    ax.axhline(0.0, color=INK, lw=0.8)
    _time_axis(ax, result)
    _cut(ax, CUT_AT * parts["standing_n"][0], up.max(), down.min(), result.summary["outcome"])
    _mark_events(ax, result, words=False)
    _event_lines(placer, ax, result)
    for shift in (-0.012, 0.0, 0.012):
        placer.avoid_curve(ax, result.time_s, front + shift * np.ptp(ax.get_ylim()))
    placer.avoid_curve(ax, ax.get_xlim(), (0.0, 0.0))
    for low, high, words in areas:
        placer.name_area(result.time_s, low, high, words)
    load_axis(ax, "front axle load (line) and its parts")
    return ax


def _cut(ax: Axes, most: float, highest: float, lowest: float, outcome: str) -> None:
    """Room for words above and below; what is too high for the axis is cut off, and that is said."""
    ax.set_ylim(max(1.25 * lowest, -most) if lowest < -0.1 * most else -0.15 * most, min(1.2 * highest, most))
    if highest > most or lowest < -most:
        why = (
            "the parts grow without bound as the front axle comes above the rear one"
            if outcome in FLIPS
            else f"peaks go on to {highest:+.0f} and {lowest:+.0f} g, against each other"
        )
        ax.set_title(f"cut off: {why}", fontsize=8.5, fontweight="normal")


@house_look
def plot_pitch_and_travel(result: PunchResult, ax: Axes | None = None) -> Axes:
    """Nose-up pitch, and shock travel of both axles, over time.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    pitch = result.traces["nose_up_pitch_deg"]
    ax.plot(result.time_s, pitch, color=INK)
    travel = ax.twinx()
    travel.grid(False)
    _time_axis(ax, result)
    placer = LabelPlacer(ax)
    placer.name_curve(ax, result.time_s, pitch, "pitch", INK)
    for end, dash in (("rear", (0, (6, 2))), ("front", (0, (2, 1.5)))):
        trace = result.traces[f"{end}_shock_travel_mm"]
        colour = AXLE_INKS[end]
        travel.plot(result.time_s, trace, color=colour, ls=dash, lw=1.2)
        placer.name_curve(travel, result.time_s, trace, f"{end} shock", colour)
    for each in (ax, travel):
        each.margins(y=0.14)
    ax.set_ylabel("nose-up pitch on the slope, deg")
    travel.set_ylabel("shock travel, mm (longer +)")
    _mark_events(ax, result, words=False)
    _event_lines(placer, ax, result)
    return ax


@house_look
def plot_link_forces(result: PunchResult, ax: Axes | None = None) -> Axes:
    """Forces in the links of both axles over time, left and right together; a pull is positive.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    kinds = [(end, link, link.split("_")[0]) for end in ENDS for link in LINKS]
    named = [(f"{end}_{link}_n", f"{end} {word}", AXLE_INKS[end], LINK_DASHES[word]) for end, link, word in kinds]
    _curves(ax, result, named)
    ax.set_ylabel("force of a pair of links, N (tension +)")
    return ax


@house_look
def plot_slip_and_speed(result: PunchResult, ax: Axes | None = None) -> Axes:
    """Slip speed of both wheel pairs, and the travel speed of the chassis, over time.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    slips = [(f"{end}_slip_mm_per_s", f"{end} slip", AXLE_INKS[end], (0, (2, 1.5))) for end in ENDS]
    _curves(ax, result, [("speed_mm_per_s", "travel speed", INK, "-"), *slips])
    ax.set_ylabel("speed, mm/s (slip: spinning +)")
    return ax


def _curves(
    ax: Axes, result: PunchResult, named: list[tuple[str, str, str, str | tuple[int, tuple[int, float]]]]
) -> None:
    """Traces by key, each with its words behind its end, in a colour and dash of its own."""
    labels = []
    ax.axhline(0.0, color=FAINT, lw=0.8, zorder=1)
    for key, words, colour, dash in named:
        trace = result.traces[key]
        ax.plot(result.time_s, trace, color=colour, ls=dash, lw=1.5)
        labels.append((result.time_s[-1], trace[-1], words, colour))
    _mark_events(ax, result, words=False)
    _time_axis(ax, result)
    direct_labels(ax, labels, gap=0.09)


def event_spells(result: PunchResult) -> dict[str, list[tuple[float, float]]]:
    """When axles were in the air and stops engaged, by words, as (from, until) in s.

    Returns
    -------
    dict of str to list of (float, float)
        Only what happened.
    """
    spells: dict[str, list] = {}
    since = {stop.replace("_", " "): 0.0 for stop in result.start["stops_engaged"]}
    for event in result.events:
        for begins, ends, words in (("_lift_off", "_touchdown", " in the air"), ("_reached", "_left", "")):
            if event.name.endswith(begins):
                since[event.name.removesuffix(begins).replace("_", " ") + words] = event.time_s
            elif event.name.endswith(ends):
                name = event.name.removesuffix(ends).replace("_", " ") + words
                spells.setdefault(name, []).append((since.pop(name, 0.0), event.time_s))
    for name, begin in since.items():
        spells.setdefault(name, []).append((begin, float(result.time_s[-1])))
    return dict(sorted(spells.items(), key=lambda item: item[1][0]))


@house_look
def plot_events(result: PunchResult, ax: Axes | None = None) -> Axes:
    """Bars over time: which axle is in the air, which stop is engaged.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    spells = event_spells(result)
    for k, (name, bars) in enumerate(spells.items()):
        ax.broken_barh(
            [(begin, end - begin) for begin, end in bars],
            (k - 0.3, 0.6),
            zorder=2,
            color=INK if name.endswith("air") else FAINT,
        )
    ax.set_yticks(range(len(spells)), list(spells))
    ax.set_ylim(max(len(spells), 1) - 0.5, -0.5)
    if not spells:
        ax.text(
            0.5, 0.5, "no axle leaves the ground, no stop is reached", transform=ax.transAxes, ha="center", va="center"
        )
    _time_axis(ax, result)
    return ax


def _one_time_axis(axes: list[Axes]) -> None:
    """Panels above each other share the time axis of the lowest."""
    for ax in axes[:-1]:
        ax.set_xlabel("")
        ax.tick_params(labelbottom=False)


def _title(result: PunchResult) -> str:
    asked = result.options
    return (
        f"{shown_name(result.setup)}: throttle {result.throttle_start:.2f} to {asked.throttle:g} at {asked.grade_deg:g} deg, "
        f"{result.drive} driven - {result.summary['outcome'].replace('_', ' ')}"
    )


@house_look
def draw_punch_forces(result: PunchResult) -> NotebookFigure:
    """Figure of one punch: link forces, slip and travel speed, events, one above the other.

    Returns
    -------
    Figure
    """
    figure, axes = new_figure(8.5, 8.0, rows=3, heights=(3, 3, 1))
    plot_link_forces(result, axes[0]).set_title(_title(result))
    plot_slip_and_speed(result, axes[1])
    plot_events(result, axes[2])
    _one_time_axis(axes)
    return figure


def _shade(ax: Axes, sure: Any, setup: str, band: str, convert: Callable) -> None:
    """95 % limits of the setup behind its curve, where they were asked for."""
    found = next((s for s in sure.setups if s.setup == setup), None) if sure is not None else None
    if found is None or not np.isfinite(getattr(found, band)).any():
        return
    low, high = convert(getattr(found, band))
    ax.fill_between(
        sure.time_s, low, high, color=look(0)[0] if band == "front_load_band_n" else INK, alpha=0.16, lw=0, zorder=0.5
    )
    ax.annotate(
        "shaded: 95 % of random vehicles (errors, and what is left out)",
        (0.99, 0.02),
        xycoords="axes fraction",
        ha="right",
        va="bottom",
        fontsize=8,
        color=INK,
    )


@house_look
def draw_punch(result: PunchResult, sure: Any = None) -> NotebookFigure:
    """Figure of one punch: loads, budget, pitch and travel, one above the other.

    Parameters
    ----------
    result : PunchResult
    sure : PunchUncertainty, optional
        Shaded behind front load and pitch.

    Returns
    -------
    Figure
    """
    figure, axes = new_figure(8.5, 9.5, rows=3, heights=(3, 4, 2.4))
    axes[0].set_title(_title(result))
    plot_loads(result, axes[0])
    _shade(axes[0], sure, result.setup, "front_load_band_n", as_grams)
    plot_budget_over_time(result, axes[1])
    plot_pitch_and_travel(result, axes[2])
    _shade(axes[2], sure, result.setup, "nose_up_pitch_band_deg", np.asarray)
    _one_time_axis(axes)
    return figure
