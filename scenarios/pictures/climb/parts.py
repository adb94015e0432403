"""The difference of every setup taken apart: crawl beside punch, one row a setup."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING

from matplotlib.patches import Patch

from noseload.documents import letter
from noseload.model.crawl import budget_parts
from noseload.model.names import shown_name
from noseload.pictures.style import INK, as_grams, house_look, look, new_figure

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes

    from noseload.model.crawl.budget_parts import Part
    from noseload.pictures.style import NotebookFigure


ROW_INCHES, HEAD_INCHES, KEY_INCHES = 0.42, 0.95, 0.16
LEAST_DRAWN_G = 0.3
"""A part smaller than this is thinner than a line; the sum holds it all the same."""
BANDS = ("#eef1f3", "#dfe4e8")
"""Of what would not be noticed, and of what cannot be measured."""
LEAST_SHARE = 1.2
"""Times what would be noticed: no axis is narrower."""


@house_look
def draw_difference_parts(
    rows: list,
    measured_n: float | np.ndarray,
    noticed_n: float | np.ndarray,
    *,
    titles: Sequence[str],
    width: float = 9.0,
    names: bool = True,
) -> NotebookFigure:
    """Stacked bars of the difference of front load by part, with its sum, above the bands of both thresholds.

    Parameters
    ----------
    rows : sequence of (int, str, sequence of (dict or None))
        Place of the setup in the order of setups, its name, and one budget a panel: setup less the first, N by part.
    measured_n, noticed_n : float
        Smallest differences that can be measured, and that would be noticed.
    titles : sequence of str
        One a panel.
    width : float
        Inches.
    names : bool
        Names beside the letters; without them letters alone.

    Returns
    -------
    Figure
    """
    parts = budget_parts.told(*(budget for _, _, budgets in rows for budget in budgets if budget))
    shown = [part for part in parts if any(_seen(budget, part) for _, _, budgets in rows for budget in budgets)]
    columns = max(int(width / 1.55), 1)
    height = HEAD_INCHES + ROW_INCHES * len(rows) + KEY_INCHES * -(-len(shown) // columns)
    figure, axes = new_figure(width, height, 1, len(titles))
    for panel, (ax, title) in enumerate(zip(axes, titles, strict=True)):
        budgets = [budgets[panel] for _, _, budgets in rows]
        _panel(ax, [k for k, _, _ in rows], budgets, shown, (as_grams(measured_n), as_grams(noticed_n)))
        ax.set_title(title, fontsize=8.5 if names else 8.0, fontweight="bold" if names else "normal")
        ax.set_xlabel("change of the front axle load, g" if names else "g", fontsize=8)
        ax.set_yticks(range(len(rows)), [_label(k, name, names) for k, name, _ in rows] if panel == 0 else [])
    patches = [Patch(fc=part.colour, ec="white", hatch=part.hatch, label=part.short) for part in shown]
    sum_mark = axes[0].plot([], [], color=INK, marker="D", ms=5, mfc="white", ls="", label="sum")
    figure.legend(
        handles=[*patches, *sum_mark],
        loc="outside lower left",
        ncols=columns,
        frameon=False,
        fontsize=8,
        columnspacing=1.0,
    )
    return figure


def _label(k: int, name: str, names: bool) -> str:
    return f"{letter(k)}: {fill(shown_name(name), 26)}" if names else letter(k)


def _seen(budget: dict, part: Part) -> bool:
    return bool(budget) and abs(as_grams(budget[part.key])) >= 0.05


def _panel(ax: Axes, order: list[int], budgets: list, shown: list, sizes: tuple) -> None:
    measured, noticed = sizes
    for half, colour in zip((noticed, measured), BANDS, strict=True):
        ax.axvspan(-half, half, color=colour, lw=0, zorder=0)
    ax.axvline(0.0, color=INK, lw=1.0, zorder=2)
    reach = LEAST_SHARE * noticed
    for place, (k, budget) in enumerate(zip(order, budgets, strict=True)):
        if not budget:
            ax.text(0.0, place, " no answer here", va="center", fontsize=8)
            continue
        ends = {True: 0.0, False: 0.0}
        for part in shown:
            grams = as_grams(budget[part.key])
            if abs(grams) < LEAST_DRAWN_G:
                ends[grams > 0.0] += grams
                continue
            up = grams > 0.0
            ax.barh(
                place,
                grams,
                left=ends[up],
                height=0.55,
                color=part.colour,
                hatch=part.hatch,
                ec="white",
                lw=0.4,
                zorder=3,
            )
            ends[up] += grams
        ax.plot([sum(ends.values())], [place], marker="D", ms=5, mfc="white", mec=look(k)[0], zorder=5)
        reach = max(reach, 1.08 * ends[True], -1.08 * ends[False])
    ax.set_xlim(-reach, reach)
    ax.set_ylim(len(order) - 0.5, -0.5)
    ax.grid(axis="y", visible=False)
    ax.locator_params(axis="x", nbins=4)
    ax.tick_params(labelsize=8)
