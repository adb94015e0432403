"""Things drawn once and then moved: force arrows and budget bars, for films and for the window."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, cast

from matplotlib.patches import FancyArrowPatch, Rectangle
from matplotlib.transforms import Bbox

from noseload.model.crawl import budget_parts
from noseload.model.crawl.free_body import whole_vehicle
from noseload.pictures.side_view import FORCE_INK, NEWTONS_PER_METRE
from noseload.pictures.style import FAINT, INK, as_grams, look
from noseload.plain import typeset

from .readout import Readout

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.pictures.side_view import Slope


LEAST_N = 0.15
"""Forces below this are not drawn."""
LEAST_BAR_G = 0.5
"""Bars below this are not drawn: their number says 0."""
LABEL_BOX = {"fc": "white", "ec": "none", "alpha": 0.75, "pad": 0.8}


class Repainter:
    """Draws what moves over a kept picture of what stands still: a tenth of the work of drawing all.

    Parameters
    ----------
    figure : Figure
        On a canvas that keeps pixels.
    artists : sequence of Artist
        All that moves; each is taken out of the ordinary drawing.
    region : tuple of float, optional
        Left, bottom, right and top of the part of the figure that they move in, as shares; the whole figure by default.
    """

    def __init__(
        self,
        figure: Figure,
        artists: Sequence[Artist],
        region: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0),
    ) -> None:
        self.figure, self.region = figure, region
        self.canvas: Any = figure.canvas
        self.artists = sorted(artists, key=lambda artist: artist.get_zorder())
        for artist in self.artists:
            artist.set_animated(True)
        self.background = None

    def keep(self) -> None:
        """Draw what stands still and keep it: at first, and after every change of size."""
        self.figure.draw(self.canvas.get_renderer())
        self.copy()

    def copy(self) -> None:
        """Keep what stands still, which was drawn just now."""
        self.background = self.canvas.copy_from_bbox(self.box)

    @property
    def box(self) -> Any:
        """The region in whole pixels."""
        width, height = self.figure.bbox.size
        left, bottom, right, top = self.region
        return Bbox.from_extents(round(left * width), round(bottom * height), round(right * width), round(top * height))

    def paint(self) -> None:
        """Draw what moves where it is now."""
        if self.background is None:
            self.keep()
        self.canvas.restore_region(self.background)
        renderer = self.canvas.get_renderer()
        for artist in self.artists:
            if artist.get_visible():
                artist.draw(renderer)


class ForceArrows:
    """Weight, tyre loads and tractions of the whole vehicle as arrows to one scale; axle loads in grams.

    Parameters
    ----------
    ax : Axes
    fontsize : float
    quick : bool
        Numbers put together from kept pixels, for a window; a `Repainter` must have them.
    """

    def __init__(self, ax: Any, *, fontsize: float = 9.0, quick: bool = False) -> None:
        self.arrows, self.labels = {}, {}
        for name in ("weight", "rear_load", "rear_traction", "front_load", "front_traction"):
            arrow = FancyArrowPatch(
                (0.0, 0.0),
                (1.0, 0.0),
                arrowstyle="-|>",
                mutation_scale=12,
                color=FORCE_INK,
                lw=1.6,
                shrinkA=0,
                shrinkB=0,
                zorder=8,
                visible=False,
            )
            self.arrows[name] = ax.add_patch(arrow)
            if name.endswith("_load"):
                self.labels[name] = (
                    Readout(
                        ax.figure,
                        0.0,
                        0.0,
                        transform=ax.transData,
                        fontsize=fontsize,
                        colour=FORCE_INK,
                        ha="center",
                        va="center",
                    )
                    if quick
                    else ax.text(
                        0.0,
                        0.0,
                        "",
                        fontsize=fontsize,
                        color=FORCE_INK,
                        ha="center",
                        va="center",
                        zorder=9,
                        bbox=LABEL_BOX,
                    )
                )
                self.labels[name].set_visible(False)

    @property
    def artists(self) -> list:
        """Everything drawn, for blitting."""
        return [*self.arrows.values(), *self.labels.values()]

    def hide(self) -> None:
        """Show nothing: there is no such pose."""
        for artist in self.artists:
            artist.set_visible(False)

    def move(
        self,
        values: VehicleNumbers,
        coordinates: np.ndarray,
        slope: Slope,
        grade: float,
        loads: tuple[float, float],
        tractions: tuple[float, float],
    ) -> None:
        """Show the forces of another pose.

        Parameters
        ----------
        values : dict
            Kernel parameters by name.
        coordinates : sequence of float, shape (9,)
        slope : Slope
        grade : float
            rad.
        loads, tractions : pair of float
            Rear and front, N.
        """
        for force in whole_vehicle(values, coordinates, grade, loads, tractions):
            size = (force.vector[0] ** 2 + force.vector[1] ** 2) ** 0.5
            arrow, label = self.arrows[force.name], self.labels.get(force.name)
            start = slope.place(force.point)
            dx, dz = (1e3 * v / NEWTONS_PER_METRE for v in slope.turn(force.vector))
            arrow.set_visible(size >= LEAST_N)
            tail, head = (start, (start[0] + dx, start[1] + dz))
            if force.name.endswith("_load"):
                # A load presses from below: its head stands at the contact.
                tail, head = (start[0] - dx, start[1] - dz), start
            arrow.set_positions(tail, head)
            if label is not None:
                down = slope.turn((0.0, -1.0))
                label.set_position((tail[0] + 20.0 * down[0], tail[1] + 20.0 * down[1]))
                label.set_text(f"{as_grams(size):.0f} g")
                label.set_visible(size >= LEAST_N)


class BudgetBars:
    """The front load taken apart, as bars about zero; the first setup filled, others as outlines.

    Parameters
    ----------
    ax : Axes
    keys : sequence of str
        Parts, top first; a last row is their sum, the front load.
    count : int
        Setups.
    reach_g : float
        Largest part, g.
    quick : bool
        Numbers put together from kept pixels, for films; a `Repainter` must have them.
    """

    def __init__(
        self, ax: Axes, keys: Any, count: int, reach_g: Any, *, fontsize: float = 8.5, quick: bool = False
    ) -> None:
        self.keys, self.rows = tuple(keys), (*keys, "sum")
        self.bars: dict[tuple[str, int], Any] = {}
        self.numbers: dict[tuple[str, int], Any] = {}
        ax.set_xlim(-1.08 * reach_g, 1.08 * reach_g)
        ax.set_ylim(-len(self.rows) + 0.4, 0.6)
        ax.axvline(0.0, color=FAINT, lw=1.0)
        ax.set_axis_off()
        height = 0.66 / count
        for row, key in enumerate(self.rows):
            part = None if key == "sum" else budget_parts.part_of(key)
            face, hatch = (INK, "") if part is None else (part.colour, part.hatch)
            words = "front axle load" if part is None else part.short.replace(" ", "\n")
            ax.text(
                -0.02,
                -row,
                words,
                transform=ax.get_yaxis_transform(),
                ha="right",
                va="center",
                fontsize=fontsize,
                fontweight="bold" if key == "sum" else "normal",
                linespacing=0.95,
            )
            for k in range(count):
                colour, dash = look(k)
                y = -row + 0.33 - height * (k + 1)
                filled = (
                    {"fc": face, "hatch": hatch, "ec": "white" if hatch else face, "lw": 0.0}
                    if k == 0
                    else {"fc": "none", "ec": colour, "ls": dash, "lw": 1.6}
                )
                self.bars[key, k] = ax.add_patch(Rectangle((0.0, y + 0.06 * height), 0.0, 0.88 * height, **filled))
                place, across, figure = (1.02, y + 0.5 * height), ax.get_yaxis_transform(), cast("Figure", ax.figure)
                self.numbers[key, k] = (
                    Readout(figure, *place, transform=across, va="center", fontsize=fontsize, colour=colour)
                    if quick
                    else ax.text(*place, "", transform=across, ha="left", va="center", fontsize=fontsize, color=colour)
                )

    @property
    def artists(self) -> Any:
        """Everything that changes, for blitting."""
        return [*self.bars.values(), *self.numbers.values()]

    def show(self, k: Any, budget_n: Any) -> None:
        """Bars of setup `k`; None where there is no such pose.

        Parameters
        ----------
        k : int
        budget_n : dict of str to float, or None
        """
        for key in self.rows:
            value = None
            if budget_n is not None:
                value = as_grams(sum(budget_n[name] for name in self.keys) if key == "sum" else budget_n[key])
            self.bars[key, k].set_visible(value is not None and abs(value) >= LEAST_BAR_G)
            self.bars[key, k].set_width(value or 0.0)
            words = "-" if value is None else (f"{value:.0f} g" if key == "sum" else f"{value:+.0f}")
            self.numbers[key, k].set_text(typeset({"-0 g": "0 g", "-0": "0", "+0": "0"}.get(words, words)))
