"""What each doubt may do to the front load and to what a setup changes, as bars from ... to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.names import shown_name
from noseload.pictures.style import INK, as_grams, figure_for, house_look, new_figure
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.errors.doubts import Doubts


ALONE, OWN, OPEN = "#5d7486", "#c9d3da", "no answer"


@house_look
def plot_doubts(result: Doubts, ax: Axes | None = None, *, change: bool = False) -> Axes:
    """Bars of the front load over each doubt's range, largest on top; with `change` of what the setup changes.

    Parameters
    ----------
    result : Doubts
    ax : Axes, optional
    change : bool
        Of the second setup less the first; the pale bar is friction that holds each in a state of its own.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.0, 4.5)
    shown, reach = result.rows[::-1], 1e-9
    for k, row in enumerate(shown):
        worth = row.difference.get("front_load_n") if change else row.front_load_n
        own = row.own.get("front_load_n") if change and row.own else None
        if worth is None or worth.low is None or worth.high is None:
            ax.annotate(OPEN, (0.0, k), xytext=(4, 0), textcoords="offset points", va="center", fontsize=8)
            continue
        for span, colour, height in ((own, OWN, 0.72), (worth, ALONE, 0.5)):
            if span is None or span.low is None:
                continue
            low, high = as_grams(span.low), as_grams(span.high)
            ax.barh(k, high - low, left=low, height=height, color=colour, edgecolor=colour, lw=1.0)
            reach = max(reach, -low, high)
        told = worth if own is None or own.low is None else own
        words = f"{from_to(as_grams(told.low), as_grams(told.high), 1, sign=True)} g"
        edge = max(as_grams(told.high), 0.0)
        ax.annotate(words, (edge, k), xytext=(4, 0), textcoords="offset points", va="center", fontsize=8)
    ax.axvline(0.0, color=INK, lw=0.9)
    ax.set_yticks(range(len(shown)), [_short(row.words) for row in shown])
    ax.set_xlim(-1.2 * reach, 1.9 * reach)
    ax.set_ylim(-0.6, len(shown) - 0.4)
    ax.grid(axis="y", visible=False)
    ax.tick_params(axis="y", length=0, labelsize=8.5)
    pale = "; pale: friction holds each in a state of its own"
    ax.set_xlabel(
        f"change of the difference, g{pale}"
        if change
        else f"change of the front axle load at {result.grade_deg:g} deg, g"
    )
    return ax


def _short(label: str, width: int = 40) -> str:
    import textwrap

    return "\n".join(textwrap.wrap(label, width))


@house_look
def draw_doubts(result: Doubts) -> NotebookFigure:
    """Figure: front load, and beside it what the setup changes where one was asked for."""
    two = len(result.setups) == 2
    figure, axes = new_figure(14.0 if two else 8.5, 1.6 + 0.42 * len(result.rows), 1, 2 if two else 1)
    left = plot_doubts(result, axes[0])
    left.set_title(f"{shown_name(result.name)}: what the model leaves out")
    if two:
        right = plot_doubts(result, axes[1], change=True)
        right.set_yticklabels([])
        right.set_title(f"{shown_name(result.setups[1])} less {shown_name(result.setups[0])}")
    return figure
