"""One picture each for results whose commands print only: budget bars, outcomes, throttle, many punches, modes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.crawl import budget_parts
from noseload.model.names import shown_name
from noseload.pictures.style import FAINT, INK, as_grams, figure_for, grade_axis, house_look, load_axis, look, spread
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.studies.climb.modes import Modes
    from noseload.studies.climb.results import Creep
    from noseload.studies.punch.largest_throttle import LargestThrottle
    from noseload.studies.punch.limits import PunchLimits
    from noseload.studies.punch.many import PunchMany


SMALLEST_PART_N = 1e-9
"""Parts of the budget below this are none (those of motion, in a steady crawl)."""
OUTCOME_LOOKS = {
    "stays_loaded": ("#2f8f83", "stays loaded"),
    "lifts_and_returns": ("#e3b04b", "lifts and returns"),
    "airborne_at_end": ("#c99a2e", "in the air at the end"),
    "flips_back": ("#7a2415", "flips back"),
    "flips_forward": ("#6d5aa8", "flips forward"),
    "slides_back": ("#5d7486", "slides back"),
}
"""Colour, dark where it ends badly, and words of each outcome."""


@house_look
def plot_creep_budget(row: Creep, ax: Axes | None = None) -> Axes:
    """From the standing load to the load on the grade, one step a part.

    Parameters
    ----------
    row : Creep
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.5, 4.0)
    parts = [(key, value) for key, value in row.budget.items() if abs(value) > SMALLEST_PART_N]
    level, names = 0.0, []
    for k, (key, value) in enumerate(parts):
        part = budget_parts.part_of(key)
        colour, hatch, words = part.colour, part.hatch, part.short
        grams = as_grams(value)
        ax.bar(k, grams, bottom=level, color=colour, hatch=hatch, edgecolor="white", width=0.62)
        ax.plot([k - 0.31, k + 1.31], [level + grams] * 2, color=FAINT, lw=0.8)
        ax.annotate(
            f"{grams:+.0f} g" if k else f"{grams:.0f} g",
            (k, level + max(grams, 0.0)),
            xytext=(0, 4),
            textcoords="offset points",
            ha="center",
            fontsize=8.5,
        )
        level += grams
        names.append(words)
    ax.bar(len(parts), level, color=INK, width=0.62)
    ax.annotate(
        f"{level:.0f} g", (len(parts), level), xytext=(0, 4), textcoords="offset points", ha="center", fontsize=8.5
    )
    ax.set_xticks(range(len(parts) + 1), [*names, "front axle load"])
    ax.grid(axis="x", visible=False)
    ax.set_ylim(0.0, 1.1 * as_grams(max(value for _, value in parts)))
    load_axis(ax)
    ax.set_title(f"{shown_name(row.setup)}: steady crawl at {row.grade_deg:g} deg")
    return ax


WORDS_SHARE, LEADER_HEIGHT = 0.17, 0.16
"""Room of the name of an outcome, as a share of the width of the axes, and between names and bar for lines to names moved aside."""


@house_look
def plot_outcomes(result: PunchLimits, ax: Axes | None = None) -> Axes:
    """Outcome of the punch over grade: one bar for each stretch, its name beside it.

    Parameters
    ----------
    result : PunchLimits
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.0, 2.6)
    edges = [result.grades_deg[0], *(change.grade_deg for change in result.changes), result.tip_over_grade_deg]
    outcomes = [result.outcomes[0], *(change.above for change in result.changes)]
    span = edges[-1] - edges[0]
    above: list[tuple] = []
    below: list[tuple] = []
    for k, (outcome, low, high) in enumerate(zip(outcomes, edges, edges[1:], strict=False)):
        colour, words = OUTCOME_LOOKS.get(outcome, (FAINT, outcome.replace("_", " ")))
        ax.barh(0, high - low, left=low, height=0.5, color=colour, edgecolor="white")
        (above if k % 2 == 0 else below).append(
            ((0.5 * (low + high) - edges[0]) / span, f"{words}\n{from_to(low, high, 1)} deg")
        )
    for side, named in ((1, above), (-1, below)):
        middles = [middle for middle, _ in named]
        half = 0.5 * WORDS_SHARE
        for middle, place, (_, words) in zip(
            middles, spread(middles, WORDS_SHARE, low=half, high=1.0 - half), named, strict=True
        ):
            moved = abs(place - middle) > 0.25 * WORDS_SHARE
            ax.annotate(
                words,
                (edges[0] + middle * span, 0.25 * side),
                xytext=(edges[0] + place * span, side * (0.25 + LEADER_HEIGHT)),
                ha="center",
                va="bottom" if side > 0 else "top",
                fontsize=8.5,
                color=INK,
                arrowprops={
                    "arrowstyle": "-",
                    "color": INK,
                    "lw": 0.6,
                    "shrinkA": 0.0,
                    "shrinkB": 0.0,
                    "relpos": (0.5, 0.5 - 0.5 * side),
                }
                if moved
                else None,
            )
    ax.set_ylim(-1.0, 1.0)
    ax.set_yticks([])
    ax.grid(axis="y", visible=False)
    ax.set_xlabel("grade, deg, to tip-over")
    ax.set_title(
        f"{shown_name(result.setup)}: punch to throttle {result.throttle:g} within {1e3 * result.rise_s:.0f} ms"
    )
    return ax


@house_look
def plot_largest_throttle(result: LargestThrottle, ax: Axes | None = None) -> Axes:
    """Largest throttle that keeps the front axle down, above the one that holds the crawl.

    Parameters
    ----------
    result : LargestThrottle
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 4.2)
    series = ((result.throttles, "keeps the front down", 0), (result.holding, "holds the crawl", 1))
    for values, words, k in series:
        numbers = np.array([np.nan if v is None else v for v in values])
        colour, dash = look(k)
        ax.plot(result.grades_deg, numbers, color=colour, ls=dash, marker="o", ms=3.5, mfc="white")
        good = np.flatnonzero(np.isfinite(numbers))
        if good.size:
            ax.annotate(
                words,
                (result.grades_deg[good[0]], numbers[good[0]]),
                xytext=(8, 7),
                textcoords="offset points",
                color=colour,
                fontsize=8.5,
            )
    ax.set_ylim(0.0, 1.15)
    ax.set_ylabel("throttle, 1 is full")
    grade_axis(ax)
    ax.set_title(f"{shown_name(result.setup)}: throttle over grade")
    return ax


@house_look
def plot_many(result: PunchMany, ax: Axes | None = None) -> Axes:
    """Smallest front load of every punch that was run, over its grade.

    Parameters
    ----------
    result : PunchMany
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 4.2)
    ax.plot(
        result.options.grade_deg,
        as_grams(result.front_load_min_n),
        "o",
        ms=5,
        mfc="white",
        mec=INK,
        clip_on=False,
        zorder=5,
    )
    ax.set_ylim(bottom=0.0)
    ax.margins(x=0.06)
    load_axis(ax, "minimum front axle load")
    grade_axis(ax)
    ax.set_title(f"{result.status.size} punches, {int(result.success.sum())} run")
    return ax


@house_look
def plot_frequencies(result: Modes, ax: Axes | None = None) -> Axes:
    """Frequency of each swinging motion, with its damping in words.

    Parameters
    ----------
    result : Modes
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.5, 3.2)
    swings = [mode for mode in result.modes if mode.frequency_hz > 0.0][::-1]
    ax.barh(range(len(swings)), [mode.frequency_hz for mode in swings], color="#5d7486", height=0.6)
    for k, mode in enumerate(swings):
        ax.annotate(
            f"{mode.frequency_hz:.2f} Hz, damping {mode.damping_ratio:.2f}",
            (mode.frequency_hz, k),
            xytext=(5, 0),
            textcoords="offset points",
            va="center",
            fontsize=8.5,
        )
    ax.set_yticks(range(len(swings)), [mode.name for mode in swings])
    ax.set_xlim(0.0, 1.45 * max([mode.frequency_hz for mode in swings] + [1.0]))
    ax.grid(axis="y", visible=False)
    ax.set_xlabel("frequency, Hz")
    place = "standing" if result.state == "standing" else f"crawl at {result.grade_deg:g} deg"
    ax.set_title(f"{shown_name(result.setup)}: swinging motions, {place}")
    return ax
