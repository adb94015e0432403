"""What ready-made changes, setups and numbers buy, as bars: tip-over on the left, front load on the right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.names import shown_name
from noseload.pictures.style import INK, PAPER, as_grams, figure_for, house_look, measurable_band, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.levers.results import Rank


GAIN, LOSS = "#2f8f83", "#b5452c"
PANELS = (
    ("tip_over_grade_deg", "tip-over grade, deg", lambda value: value, ".2f"),
    ("front_load_n", "front axle load at {grade:g} deg, g", as_grams, ".1f"),
)


@house_look
def plot_levers(result: Rank, name: str = "tip_over_grade_deg", ax: Axes | None = None, *, top: int = 14) -> Axes:
    """Bars of the first levers, each in the direction that raises the outcome, with the advice in words.

    Parameters
    ----------
    result : Rank
    name : str
        Outcome.
    ax : Axes, optional
    top : int

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 5.0)
    convert, form = next((c, f) for key, _, c, f in PANELS if key == name)
    shown = result.levers[:top][::-1]
    sizes = [abs(convert(item.effects[name] or 0.0)) for item in shown]
    ax.barh(range(len(shown)), sizes, color="#5d7486", height=0.62)
    for k, (item, size) in enumerate(zip(shown, sizes, strict=True)):
        words = f"{item.advice[name]} +{size:{form}}" if item.advice[name] else "no effect"
        ax.annotate(words, (size, k), xytext=(4, 0), textcoords="offset points", va="center", fontsize=8)
    ax.set_yticks(range(len(shown)), [f"{item.label}  {item.step}" for item in shown])
    ax.set_xlim(0.0, 1.45 * max([*sizes, 1e-12]))
    measurable_band(ax, 0.0, _measurable(result, name), vertical=False, both=False)
    _clean(ax)
    return ax


@house_look
def plot_changes(result: Rank, name: str = "tip_over_grade_deg", ax: Axes | None = None) -> Axes:
    """Bars of setups and whole changes, gains to the right, losses hatched to the left.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 4.0)
    convert, form = next((c, f) for key, _, c, f in PANELS if key == name)
    shown = result.changes[::-1]
    values = [None if item.effects[name] is None else convert(item.effects[name]) for item in shown]
    reach = max([abs(v) for v in values if v is not None] + [1e-12])
    for k, value in enumerate(values):
        if value is None:
            ax.annotate("no solution", (0.0, k), xytext=(4, 0), textcoords="offset points", va="center", fontsize=8)
            continue
        ax.barh(
            k,
            value,
            height=0.62,
            color=GAIN if value > 0 else LOSS,
            hatch="" if value > 0 else "///",
            edgecolor="white",
            lw=0.0,
        )
        ax.annotate(
            f"{value:+{form}}",
            (value, k),
            xytext=(4 if value > 0 else -4, 0),
            textcoords="offset points",
            va="center",
            ha="left" if value > 0 else "right",
            fontsize=8,
        )
    ax.axvline(0.0, color=INK, lw=0.9)
    ax.set_yticks(range(len(shown)), [_short(shown_name(item.label)) for item in shown])
    ax.set_xlim(-1.3 * reach if min([v for v in values if v is not None] + [0.0]) < 0 else 0.0, 1.3 * reach)
    measurable_band(ax, 0.0, _measurable(result, name), vertical=False)
    ax.set_ylim(-0.6, len(shown) - 0.4)
    _clean(ax)
    return ax


@house_look
def plot_ready_made(result: Rank, name: str = "tip_over_grade_deg", ax: Axes | None = None, *, top: int = 10) -> Axes:
    """Bars of the best ready-made changes with 95 % intervals; dotted line: measurable, dashed: noticed.

    Parameters
    ----------
    result : Rank
    name : str
        Outcome.
    ax : Axes, optional
    top : int

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 4.4)
    convert, form = next((c, f) for key, _, c, f in PANELS if key == name)
    shown = [item for item in result.ready_made if item.effects[name] is not None][:top][::-1]
    reach = 1e-12
    for k, item in enumerate(shown):
        value = convert(item.effects[name])
        low, high = item.intervals.get(name, (None, None))
        ends = [value] if low is None or high is None else [convert(low), convert(high)]
        reach = max(reach, *map(abs, ends), abs(value))
        ax.barh(
            k,
            value,
            height=0.62,
            color=GAIN if value > 0 else LOSS,
            hatch="" if value > 0 else "///",
            edgecolor="white",
            lw=0.0,
        )
        if len(ends) == 2:
            ax.plot(ends, [k, k], color=INK, lw=1.4, marker="|", ms=6)
        place = max(0.0, value, *ends)
        words = ax.annotate(f"{value:+{form}}", (place, k), xytext=(5, 0), textcoords="offset points", va="center")
        words.set(fontsize=8, bbox={"fc": PAPER, "ec": "none", "pad": 0.6}, zorder=5)
    load = name == "front_load_n"
    lines = result.thresholds
    sizes = (
        (convert(lines.measurable_load_n), convert(lines.noticed_load_n(result.standing_front_n or 0.0)))
        if load
        else (lines.measurable_deg, lines.noticed_deg)
    )
    for size, style in zip(sizes, (":", "--"), strict=True):
        ax.axvline(size, color=INK, lw=0.9, ls=style)
    ax.axvline(0.0, color=INK, lw=0.9)
    low = min([0.0, *(convert(item.effects[name]) for item in shown)])
    ax.set_xlim(1.15 * low, 1.3 * max(reach, sizes[1]))
    measurable_band(ax, 0.0, sizes[0], vertical=False)
    ax.set_ylim(-0.6, len(shown) - 0.4)
    ax.set_yticks(range(len(shown)), [_short(item.label) for item in shown])
    _clean(ax)
    return ax


def _measurable(result: Rank, name: str) -> float:
    """Smallest difference of an outcome that can be measured, in the unit of its axis."""
    sizes = result.thresholds
    return sizes.measurable_deg if name == "tip_over_grade_deg" else as_grams(sizes.measurable_load_n)


def _short(label: str, width: int = 44) -> str:
    import textwrap

    return "\n".join(textwrap.wrap(label, width))


def _clean(ax: Axes) -> None:
    ax.grid(axis="y", visible=False)
    ax.tick_params(axis="y", length=0, labelsize=8.5)


@house_look
def draw_rank(result: Rank, *, top: int = 10) -> NotebookFigure:
    """Figure: ready-made changes above, setups and whole changes of the file below; tip-over left, front load right."""
    rows = 2 if result.changes else 1
    count = max(1, min(top, len(result.ready_made)))
    heights = [count, 0.9 * len(result.changes) + 0.5][:rows]
    figure, axes = new_figure(14.0, 1.6 + 0.34 * sum(heights), rows, 2, heights=heights)
    for column, (name, words, _, _) in enumerate(PANELS):
        ax = plot_ready_made(result, name, axes[column], top=top)
        ax.set_xlabel(f"gain of the {words.format(grade=result.grade_deg)} (dotted: measurable, dashed: noticed)")
        if rows == 2:
            below = plot_changes(result, name, axes[2 + column])
            below.set_xlabel("change of the " + words.format(grade=result.grade_deg))
            if column:
                below.set_yticklabels([])
        if column:
            ax.set_yticklabels([])
    axes[0].set_title(f"{shown_name(result.setup)}: changes of the trade, the best first (band: cannot be measured)")
    if rows == 2:
        axes[2].set_title("setups and whole changes")
    return figure


@house_look
def plot_tip_over_levers(result: Rank, ax: Axes | None = None) -> Axes:
    """`plot_levers` for the tip-over grade; returns the axes."""
    ax = plot_levers(result, "tip_over_grade_deg", ax)
    ax.set_xlabel("later tip-over by one step, deg")
    ax.set_title(f"{shown_name(result.setup)}: what moves the tip-over grade")
    return ax
