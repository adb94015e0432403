"""Front load over grade, the budget over grade, and the difference strip between setups."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.documents import letter
from noseload.model.crawl import budget_parts
from noseload.model.names import shown_name
from noseload.pictures.label_places import LabelPlacer
from noseload.pictures.names import key_below
from noseload.pictures.style import (
    INK,
    as_grams,
    direct_labels,
    figure_for,
    grade_axis,
    house_look,
    load_axis,
    look,
    new_figure,
)
from noseload.studies.verdict.intervals import with_interval

from .uncertainty import plot_band, plot_contributions

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.model.crawl.budget_parts import Part
    from noseload.pictures.style import NotebookFigure
    from noseload.studies.climb.sweep import Sweep
    from noseload.studies.thresholds import Thresholds


SIDE_DEG = 1e-6
"""Beside a kink, to take the load before a jump and after it."""
LIMIT_MARKS = (("grip_grade_deg", "grip", "v"), ("torque_grade_deg", "torque", "s"), ("fold_grade_deg", "fold", "D"))


@house_look
def plot_front_load(
    sweeps: Sweep | list[Sweep], ax: Axes | None = None, *, names: bool = True, kinks: bool = True
) -> Axes:
    """Front load over grade for one or several sweeps, limits marked.

    Parameters
    ----------
    sweeps : Sweep or sequence of Sweep
    ax : Axes, optional
    names : bool
        Name the curves; without it they are named elsewhere.
    kinks : bool
        Mark the kinks of every curve and name them in the key.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    sweeps = list(sweeps) if isinstance(sweeps, (list, tuple)) else [sweeps]
    labels = []
    for k, sweep in enumerate(sweeps):
        colour, dash = look(k)
        grade, load = _with_kinks(sweep)
        ax.plot(grade, load, color=colour, ls=dash)
        if np.isfinite(load).any():
            tip = sweep.limits.tip_over_grade_deg
            words = shown_name(sweep.setup) if tip is None else f"{shown_name(sweep.setup)}: tips at {tip:.2f} deg"
            labels.append((k, words + (_mark_kinks(ax, sweep, colour) if names and kinks else "")))
        _mark_limits(ax, sweep, k, grade, load)
    ax.set_ylim(bottom=0.0)
    ax.margins(x=0.03)
    if names:
        key_below(ax, labels)
    load_axis(ax)
    grade_axis(ax)
    return ax


def _with_kinks(sweep: Sweep) -> tuple[np.ndarray, np.ndarray]:
    """Grades (deg) and front loads (g) of a sweep with both sides of every kink among them: a bend or a jump stays sharp."""
    grade, load = sweep["grade_deg"], as_grams(sweep["front_load_n"])
    for kink in sweep.kinks:
        place = int(np.searchsorted(grade, kink.grade_deg))
        # Along the climb a kink is crossed toward the steeper grade: nose down the other way round.
        both = kink.front_load_n if kink.grade_deg >= 0.0 else kink.front_load_n[::-1]
        grade = np.insert(grade, [place, place], kink.grade_deg)
        load = np.insert(load, [place, place], as_grams(np.array(both)))
    return grade, load


def _mark_kinks(ax: Axes, sweep: Sweep, colour: str) -> str:
    """A cross at every kink of a curve; returns their names for its key: '; x rear droop stop at 52.3 deg'."""
    for kink in sweep.kinks:
        ax.plot([kink.grade_deg], [as_grams(kink.front_load_n[0])], marker="x", ms=6, color=colour, zorder=5)
    return "".join(f"; x {kink.name} at {kink.grade_deg:.1f} deg" for kink in sweep.kinks)


def _mark_limits(ax: Axes, sweep: Sweep, k: int, grade: np.ndarray, load: np.ndarray) -> None:
    limits, colour = sweep.limits, look(k)[0]
    tip = limits.tip_over_grade_deg
    if tip is not None and grade[0] <= tip:
        ax.plot([tip], [0.0], marker="o", ms=6, mfc="white", mec=colour, mew=1.6, clip_on=False, zorder=5)
    for key, word, marker in LIMIT_MARKS:
        angle = getattr(limits, key)
        if angle is not None and grade[0] <= angle <= grade[-1]:
            height = float(np.interp(angle, grade, load))
            ax.plot([angle], [height], marker=marker, ms=6, color=colour, zorder=5)
            ax.annotate(word, (angle, height), xytext=(5, 5), textcoords="offset points", fontsize=8, color=colour)


@house_look
def plot_budget(sweep: Sweep, ax: Axes | None = None) -> Axes:
    """The front load of one sweep taken apart: standing, grade, attitude.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    grade = sweep["grade_deg"]
    parts = {key: as_grams(sweep[key]) for key in budget_parts.steady_keys()}
    rigid = parts["standing_n"] + parts["grade_n"]
    looks = {part.key: part for part in budget_parts.told(*(row.budget for row in sweep.rows), steady=True)}
    ax.fill_between(grade, rigid, parts["standing_n"], color=looks["grade_n"].colour, alpha=0.55, lw=0)
    total = rigid
    further = [part for key, part in looks.items() if key not in ("standing_n", "grade_n")]
    for part in further:
        below, total = total, total + parts[part.key]
        ax.fill_between(grade, total, below, facecolor="none", edgecolor=part.colour, hatch=part.hatch + "/", lw=0.6)
    ax.plot(grade, parts["standing_n"], color=INK, lw=1.0)
    ax.plot(grade, rigid, color=looks["grade_n"].colour, lw=1.2)
    ax.plot(grade, total, color=INK, lw=2.0)
    ax.set_ylim(bottom=min(0.0, float(np.nanmin(total))), top=1.12 * float(np.nanmax(parts["standing_n"])))
    ax.margins(x=0.03)
    _name_budget(ax, sweep, parts, rigid, further)
    load_axis(ax)
    grade_axis(ax)
    return ax


def _name_budget(ax: Axes, sweep: Sweep, parts: dict[str, np.ndarray], rigid: np.ndarray, further: list[Part]) -> None:
    """Words where there is room: beside the curves, in the areas or with a line to them."""
    grade = sweep["grade_deg"]
    placer = LabelPlacer(ax)
    at = int(0.8 * (len(grade) - 1))
    level = rigid
    for part in further:
        value = parts[part.key][at]
        word = "taken" if value < 0 else "given"
        below, level = level, level + parts[part.key]
        words = f"{word} by {part.cause}:\n{abs(value):.0f} g at {grade[at]:.0f} deg"
        placer.name_area(grade, np.minimum(below, level), np.maximum(below, level), words)
    placer.name_area(grade, rigid, parts["standing_n"], "taken by the grade,\nrigid vehicle")
    placer.name_curve(ax, grade, level, "front axle load", INK)
    placer.name_curve(ax, grade, parts["standing_n"], "standing on the level", INK)


@house_look
def plot_difference(sweeps: list[Sweep], thresholds: Thresholds, ax: Axes | None = None, *, names: bool = True) -> Axes:
    """Front load of each sweep less that of the first, with what can be measured and noticed.

    Parameters
    ----------
    sweeps : sequence of Sweep
        On the same grades as far as they go.
    thresholds : Thresholds
    ax : Axes, optional
    names : bool
        Say in words what the bands are; without it that stands elsewhere.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.0, 3.0)
    base = sweeps[0]
    noticed = as_grams(thresholds.noticed_load_n(base.rows[0].budget["standing_n"]))
    measured = as_grams(thresholds.measurable_load_n)
    ax.axhspan(-noticed, noticed, color="#eef1f3", lw=0)
    ax.axhspan(-measured, measured, color="#dfe4e8", lw=0)
    ax.axhline(0.0, color=INK, lw=1.0)
    labels = []
    for k, other in enumerate(sweeps[1:], start=1):
        colour, dash = look(k)
        grade, difference = _difference(base, other)
        ax.plot(grade, difference, color=colour, ls=dash)
        labels.append((grade[-1], difference[-1], letter(k), colour))
    low, high = ax.get_ylim()
    reach = max(abs(low), abs(high), 1.35 * noticed)
    ax.set_ylim(-reach, reach)
    if names:
        words = f"bands: can be measured beyond {measured:.0f} g, would be noticed beyond {noticed:.0f} g"
        ax.set_title(words, fontsize=8.5, fontweight="normal")
    direct_labels(ax, labels, gap=0.09)
    ax.margins(x=0.03)
    ax.set_ylabel(f"less {shown_name(base.setup)}, g")
    ax.set_xlabel("grade, deg")
    return ax


def _difference(base: Sweep, other: Sweep) -> tuple[np.ndarray, np.ndarray]:
    """Grades (deg) that both reach and the front load of one less the other's (g), both sides of every kink of either."""
    curves = [_with_kinks(base), _with_kinks(other)]
    curves = [(grade[np.isfinite(load)], load[np.isfinite(load)]) for grade, load in curves]
    low, high = max(grade[0] for grade, _ in curves), min(grade[-1] for grade, _ in curves)
    kinks = np.array([kink.grade_deg for sweep in (base, other) for kink in sweep.kinks])
    grades = np.concatenate([*(grade for grade, _ in curves), kinks - SIDE_DEG, kinks + SIDE_DEG])
    grades = np.unique(grades[(grades >= low) & (grades <= high)])
    first, second = (np.interp(grades, grade, load) for grade, load in curves)
    return grades, second - first


@house_look
def draw_sweeps(sweeps: list[Sweep], band: tuple | None = None) -> NotebookFigure:
    """Figure of one sweep (loads and budget) or of several (loads alone).

    `band`: grades and 95 % limits of the front load of the first, to shade behind its curve, and the
    `Interval` of its tip-over, whose causes get a panel.
    """
    if len(sweeps) == 1 and sweeps[0].rows[0].rear_upper_link_n is not None:
        columns = 2 if band is None else 3
        figure, (left, right, *rest) = new_figure(6.0 * columns, 4.8, 1, columns)
        words = "front axle load over grade"
        if band is not None:
            grades, limits, interval = band
            plot_band(grades, limits, left)
            title = (
                f"tip-over at {with_interval(interval.value, interval.low, interval.high, 2, 'deg')}"
                if interval.improve
                else ""
            )
            plot_contributions(interval, rest[0], title=title)
            words += ", 95 % band: errors of what was measured, and what is left out"
        plot_front_load(sweeps, left).set_title(words)
        plot_budget(sweeps[0], right).set_title("where it goes")
        return figure
    figure, (ax,) = new_figure(8.0, 5.0)
    plot_front_load(sweeps, ax).set_title("front axle load over grade, steady crawl")
    return figure
