"""Residual pictures of measurements, and readings on the board over the prediction."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.pictures.style import FAINT, INK, as_grams, grade_axis, house_look, look, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.measuring.measurement import Measurement, Trace
    from noseload.studies.measuring.readings import ReadingsResult
    from noseload.studies.measuring.readings_log import Channel, LogResult
    from noseload.studies.weighing.weigh import Weighing


MARKERS = ("o", "s", "^", "v", "D")
ACCENT = look(1)[0]
MANY = 60
"""Beyond so many points the fitted line is drawn over them, not under."""


@house_look
def draw_measurement(result: Measurement | Weighing) -> NotebookFigure:
    """Figure of a finished measurement or weighing: for each trace the fit above, what is left below.

    Parameters
    ----------
    result : Measurement or Weighing
        Must have at least one trace.

    Returns
    -------
    Figure
    """
    count = max(len(result.traces), 1)
    columns = min(count, 2)
    blocks = -(-count // columns)
    figure, axes = new_figure(
        5.2 * columns + 0.6, 4.6 * blocks + 0.7, rows=2 * blocks, columns=columns, heights=[2.4, 1.0] * blocks
    )
    for place in range(blocks * columns):
        block, column = divmod(place, columns)
        upper = axes[2 * block * columns + column]
        lower = axes[(2 * block + 1) * columns + column]
        if place < len(result.traces):
            plot_trace(result.traces[place], upper)
            plot_residuals(result.traces[place], lower)
            lower.sharex(upper)
            upper.tick_params(labelbottom=False)
        else:
            upper.set_axis_off()
            lower.set_axis_off()
    figure.suptitle(_headline(result), x=0.01, ha="left", fontsize=10.5, color=INK)
    return figure


def _headline(result: Measurement | Weighing) -> str:
    wanted = list(result.lines)
    shown = [e for e in result.estimates if any(key.endswith(e.key) for key in wanted)] or list(result.estimates[:2])
    words = ",   ".join(f"{e.meaning}: {e}" for e in shown[-2:])
    return f"{result.title}\n{words}"


@house_look
def plot_trace(trace: Trace, ax: Any = None) -> Axes:
    """Readings and their fit.

    Returns
    -------
    Axes
    """
    ax = _axes(ax)
    few = len(trace.x) <= MANY
    if trace.curve_x is not None:
        ax.plot(trace.curve_x, trace.curve_y, color=INK, lw=1.4, zorder=2 if few else 4)
    for marker, name, chosen in _groups(trace):
        ax.errorbar(
            trace.x[chosen],
            trace.observed[chosen],
            yerr=2 * trace.errors[chosen],
            fmt=marker,
            ms=4.5 if few else 2.5,
            mfc="white",
            mec=ACCENT,
            ecolor=ACCENT,
            elinewidth=0.9,
            capsize=0,
            zorder=3,
            label=name or None,
        )
    if trace.x_label in ("repeat", "half swing"):
        ax.xaxis.get_major_locator().set_params(integer=True)
    ax.set_title(trace.title)
    ax.set_ylabel(trace.y_label)
    ax.margins(x=0.05, y=0.12)
    if trace.groups and len(set(trace.groups)) > 1:
        ax.legend(frameon=False, fontsize=8, handletextpad=0.3)
    return ax


@house_look
def plot_residuals(trace: Trace, ax: Axes | None = None) -> Axes:
    """Readings less fit, over a band of two standard errors; readings outside carry their row.

    Returns
    -------
    Axes
    """
    ax = _axes(ax)
    order = np.argsort(trace.x, kind="stable")
    ax.fill_between(
        trace.x[order], -2 * trace.errors[order], 2 * trace.errors[order], color=FAINT, alpha=0.22, lw=0, zorder=1
    )
    ax.axhline(0.0, color=INK, lw=0.9, zorder=2)
    for marker, _, chosen in _groups(trace):
        ax.plot(trace.x[chosen], trace.residuals[chosen], marker, ms=4, mfc="white", mec=ACCENT, zorder=3)
    for x, left, error, row in zip(trace.x, trace.residuals, trace.errors, trace.rows, strict=True):
        if abs(left) > 3.0 * error:
            ax.annotate(f"row {row}", (x, left), xytext=(5, 0), textcoords="offset points", fontsize=7.5, va="center")
    unit = trace.y_label.rsplit(",", 1)[-1].strip() if "," in trace.y_label else ""
    ax.set_ylabel("reading - fit" + (f",\n{unit}" if unit else ""))
    ax.set_xlabel(trace.x_label)
    largest = max(float(np.max(np.abs(trace.residuals))), 2.2 * float(np.max(trace.errors)), 1e-12)
    ax.set_ylim(-1.25 * largest, 1.25 * largest)
    return ax


@house_look
def draw_readings(result: ReadingsResult) -> NotebookFigure:
    """Figure: readings on the board over the prediction, and what is left.

    Parameters
    ----------
    result : ReadingsResult

    Returns
    -------
    Figure
    """
    figure, axes = new_figure(8.4, 6.4, rows=2, heights=[2.6, 1.0])
    plot_readings(result, axes[0])
    plot_readings_left(result, axes[1])
    axes[1].sharex(axes[0])
    grade_axis(axes[0])
    axes[0].set_xlabel("")
    axes[1].set_xlabel("grade, deg")
    figure.suptitle("\n".join(_wrapped(result.verdict[0], 108)), x=0.01, ha="left", fontsize=10)
    return figure


@house_look
def plot_readings(result: ReadingsResult, ax: Axes | None = None) -> Axes:
    """Loads in grams over grade with error bars, tip-over grades on the axis, prediction as lines.

    Returns
    -------
    Axes
    """
    ax = _axes(ax)
    changed = bool(result.estimates)
    for kind, (grade, before, after) in result.curves.items():
        word = kind.split("_")[0]
        ax.plot(grade, as_grams(before), color=INK, lw=1.5)
        _name(
            ax, grade, as_grams(before), f"{word} axle, as in the file" if changed else f"{word} axle, calculated", INK
        )
        if changed:
            colour, dash = look(2)
            ax.plot(grade, as_grams(after), color=colour, ls=dash, lw=1.8)
            _name(ax, grade, as_grams(after), f"{word} axle, fitted", colour, share=0.75)
        _mark_kinks(ax, result, grade, as_grams(after if changed else before), kind == "front_load")
    kinds = np.array(result.kinds)
    for marker, direction in (("^", "up"), ("v", "down"), ("o", "")):
        here = np.char.endswith(kinds.astype(str), "load") & (np.array(result.directions) == direction)
        if np.any(here):
            ax.errorbar(
                result.grade_deg[here],
                as_grams(result.observed[here]),
                yerr=2 * as_grams(result.errors[here]),
                fmt=marker,
                ms=5,
                mfc="white",
                mec=ACCENT,
                ecolor=ACCENT,
                elinewidth=0.9,
                zorder=4,
                label={"up": "board going up", "down": "board coming down", "": "reading"}[direction],
            )
    tips = np.char.startswith(kinds.astype(str), "tip")
    if np.any(tips):
        ax.errorbar(
            result.observed[tips],
            np.zeros(int(np.sum(tips))),
            xerr=2 * result.errors[tips],
            fmt="D",
            ms=5,
            mfc="white",
            mec=ACCENT,
            ecolor=ACCENT,
            elinewidth=0.9,
            zorder=4,
            clip_on=False,
            label="tip-over measured",
        )
        tip = result.predicted[tips][0]
        ax.axvline(tip, color=INK, lw=0.9, ls=(0, (3, 2)))
        ax.annotate(
            f"tips at {tip:.2f} deg, calculated",
            (tip, 0.97),
            xycoords=("data", "axes fraction"),
            xytext=(-4, 0),
            textcoords="offset points",
            rotation=90,
            ha="right",
            va="top",
            fontsize=8,
        )
    ax.set_ylabel("axle load, g as a scale reads")
    ax.set_ylim(bottom=0.0)
    ax.legend(frameon=False, fontsize=8, loc="lower left", title="bars: two standard errors", title_fontsize=7.5)
    return ax


@house_look
def plot_readings_left(result: ReadingsResult, ax: Axes | None = None) -> Axes:
    """Readings less (fitted) prediction in standard errors.

    Returns
    -------
    Axes
    """
    ax = _axes(ax)
    off = (result.observed - result.fitted) / result.errors
    ax.axhspan(-2, 2, color=FAINT, alpha=0.22, lw=0)
    ax.axhline(0.0, color=INK, lw=0.9)
    x = np.where([kind.startswith("tip") for kind in result.kinds], result.fitted, result.grade_deg)
    ax.plot(x, off, "o", ms=4, mfc="white", mec=ACCENT)
    far = np.flatnonzero(np.abs(off) > 3.0)
    for grade in np.unique(np.round(x[far], 1)):
        # Going up and coming down are read at one grade: their rows share one place.
        here = far[np.round(x[far], 1) == grade]
        ax.annotate(
            ", ".join(str(result.rows[place]) for place in here),
            (float(x[here].mean()), float(off[here].max())),
            xytext=(0, 4),
            textcoords="offset points",
            fontsize=7.5,
            ha="center",
            va="bottom",
        )
    if far.size:
        words = "numbers: rows beyond three standard errors of their own; what is alike in all rows comes on top"
        ax.set_title(words, fontsize=8.5, fontweight="normal")
    largest = max(3.0, float(np.max(np.abs(off))))
    ax.set_ylim(-1.15 * largest, (1.5 if far.size else 1.15) * largest)
    ax.set_ylabel("reading - calculated,\nits own standard errors")
    return ax


@house_look
def draw_log(result: LogResult) -> NotebookFigure:
    """Figure of a time log over a punch: one panel for each channel, the model shifted onto the log.

    Parameters
    ----------
    result : LogResult

    Returns
    -------
    Figure
    """
    figure, axes = new_figure(8.4, 3.1 * len(result.channels) + 0.6, rows=len(result.channels))
    for ax, channel in zip(axes, result.channels, strict=True):
        plot_channel(channel, ax)
    axes[-1].set_xlabel("time of the calculated punch, s")
    return figure


@house_look
def plot_channel(channel: Channel, ax: Axes | None = None) -> Axes:
    """One channel of a log, the model shifted onto it; returns the axes."""
    ax = _axes(ax)
    grams = channel.unit == "n"
    convert = as_grams if grams else (lambda value: value)
    ax.plot(channel.model_time_s, convert(channel.model), color=INK, lw=1.5)
    ax.plot(channel.time_s, convert(channel.observed), "o", ms=3, mfc="white", mec=ACCENT)
    _name(ax, channel.model_time_s, convert(channel.model), "calculated", INK, share=0.85)
    ax.set_title(channel.title)
    ax.set_ylabel("g as a scale reads" if grams else "deg")
    return ax


@house_look
def plot_first_channel(result: LogResult, ax: Axes | None = None) -> Axes:
    """The first channel of a log over a punch; returns the axes."""
    ax = plot_channel(result.channels[0], ax)
    ax.set_xlabel("time of the calculated punch, s")
    return ax


@house_look
def plot_first_trace(result: Measurement | Weighing, ax: Axes | None = None) -> Axes:
    """The first group of readings of a measurement and its fit; returns the axes."""
    trace = result.traces[0]
    ax = plot_trace(trace, ax)
    ax.set_xlabel(trace.x_label)
    return ax


@house_look
def plot_board(result: ReadingsResult, ax: Axes | None = None) -> Axes:
    """Readings on the board over the prediction, alone on its paper; returns the axes."""
    ax = plot_readings(result, ax)
    ax.set_xlabel("grade, deg")
    ax.set_title("readings on the board, and what was calculated")
    return ax


def _axes(ax: Axes | None) -> Axes:
    return ax if ax is not None else new_figure(6.0, 4.0)[1][0]


def _groups(trace: Trace) -> Iterator[tuple[str, str, np.ndarray]]:
    if not trace.groups:
        yield MARKERS[0], "", np.ones(len(trace.x), dtype=bool)
        return
    names = list(dict.fromkeys(trace.groups))
    for marker, name in zip(MARKERS, names, strict=False):
        yield marker, name, np.array([group == name for group in trace.groups])


def _name(ax: Axes, x: np.ndarray, y: np.ndarray, text: str, colour: str, share: float = 0.3) -> None:
    """Words below a falling curve, where no reading near it stands."""
    at = int(share * (len(x) - 1))
    if np.isfinite(y[at]):
        told = ax.annotate(
            text, (x[at], y[at]), xytext=(-5, -7), textcoords="offset points", color=colour, fontsize=8.5
        )
        told.set(ha="right", va="top", zorder=6)


LOW_SHARE, ASIDE_DEG = 0.2, 3.0
"""Share of the largest load below which words have no room under the curve, and how far aside they stand then."""
LEADER: dict[str, Any] = {"arrowstyle": "-", "color": INK, "lw": 0.6, "shrinkA": 1.0, "shrinkB": 3.0}


def _mark_kinks(ax: Axes, result: ReadingsResult, grade: np.ndarray, load: np.ndarray, named: bool) -> None:
    """A cross where the curve bends; beside a falling one what happens there, on the side that is free."""
    for at, name in result.kinks:
        height = float(np.interp(at, grade, load))
        if not np.isfinite(height):
            continue
        ax.plot([at], [height], marker="x", ms=6, color=INK, zorder=5)
        if named:
            early = at < np.mean(grade[[0, -1]])
            words = f"{name}\nat {at:.1f} deg".replace(", ", "\n")
            told = ax.annotate(words, (at, height), xytext=(9, 4) if early else (-9, -4), textcoords="offset points")
            if not early and height < LOW_SHARE * np.nanmax(load):
                # No room for them below: they stand on the axis, further from the curve.
                told.remove()
                told = ax.annotate(
                    words, (at, height), xytext=(at - ASIDE_DEG, 0.0), textcoords="data", arrowprops=LEADER
                )
                told.set(ha="right", va="bottom", fontsize=8, color=INK, zorder=6)
                continue
            told.set(ha="left" if early else "right", va="bottom" if early else "top", fontsize=8, color=INK, zorder=6)


def _wrapped(text: str, width: int) -> list[str]:
    import textwrap

    return textwrap.wrap(text, width)
