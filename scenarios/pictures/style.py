"""The look of every picture, made once: paper, ink, setup colours, axes in trade units, direct labels."""

from __future__ import annotations

import contextlib
import io
import re
import warnings
from collections.abc import Iterator, Sequence
from math import atan, degrees
from typing import TYPE_CHECKING, Any

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine

from noseload.documents import MissingLettersWarning
from noseload.model.errors import ModelError
from noseload.model.units import force_of_grams
from noseload.model.units import grams_of_force as as_grams
from noseload.output import write_whole
from noseload.plain import shown

from .fitting import fit_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.backend_bases import RendererBase


INK = "#22303c"
FAINT = "#6b7884"
PAPER = "#ffffff"
GROUND = "#d9d2c5"
SETUP_LOOKS = (
    ("#22303c", "-"),
    ("#b5452c", (0, (6, 2))),
    ("#659c90", (0, (2, 1.5))),
    ("#ce8500", (0, (7, 2, 1.5, 2))),
    ("#7f8cf2", (0, (4, 1.5, 1, 1.5, 1, 1.5))),
    ("#2b6991", (0, (1, 1.2))),
    ("#0f3087", (0, (10, 2, 4, 2))),
)
"""Colour and dash of each setup: no two colours alike, seen with or without red and green; dashes tell them apart in grey."""
AXLE_INKS = {"rear": "#8e2f6b", "front": "#4f7d2a"}
"""What belongs to an axle (its links, shocks and slip) where it stands beside no setup: the colour of none of them."""
LINK_DASHES: dict[str, Any] = {"lower": "-", "upper": (0, (6, 2))}
RC: dict[Any, Any] = {
    "font.family": "DejaVu Sans",
    "font.size": 9.0,
    "axes.titlesize": 10.5,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "axes.linewidth": 0.8,
    "axes.grid": True,
    "grid.color": "#e6e9ec",
    "grid.linewidth": 0.7,
    "axes.axisbelow": True,
    "lines.linewidth": 1.8,
    "figure.facecolor": PAPER,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "hatch.linewidth": 0.6,
    "svg.fonttype": "none",
    "svg.hashsalt": "noseload",
    "pdf.fonttype": 42,
    "path.simplify": True,
    "text.parse_math": False,
}


@contextlib.contextmanager
def house_style() -> Iterator[None]:
    """The house look while the context lasts; letters that its font lacks are told in one warning of ours."""
    with warnings.catch_warnings(record=True) as caught, rc_context(RC):
        warnings.filterwarnings("always", message=MISSING_GLYPH)
        yield
    missing: dict[str, None] = {}
    for warning in caught:
        found = re.match(MISSING_GLYPH, str(warning.message))
        if found:
            missing[chr(int(found[1]))] = None
        else:
            warnings.warn_explicit(warning.message, warning.category, warning.filename, warning.lineno)
    if missing:
        letters = "".join(missing)
        warnings.warn(
            f"the pictures' font has no {'letter' if len(missing) == 1 else 'letters'} {letters}; in the picture boxes stand there",
            MissingLettersWarning,
            stacklevel=3,
        )


house_look = house_style()
"""Decorator for every function that draws: text made inside it has the house look."""
MISSING_GLYPH = r"Glyph (\d+) .*missing from"
"""How Matplotlib warns of a letter that its font lacks."""
NOTEBOOK_DPI = 80
"""Sharp enough on a page, small enough to be kept in a file."""
SUFFIXES = (".png", ".svg", ".pdf")
MOVED_POINTS, LEADER_POINTS, LINE_POINTS = 4.0, 12.0, 11.0
"""Labels moved further than this get a line to their point, and room for it; least distance of their lines."""


class NotebookFigure(Figure):
    """A figure that shows itself where it is the last line of a notebook's cell."""

    def draw(self, renderer: RendererBase) -> None:
        """Draw it; where it is saved the first time for its axes' places alone.

        The library draws a figure with a layout twice as it saves it, and takes the layout off for the second time.
        """
        engine = self.get_layout_engine()
        if isinstance(engine, ConstrainedLayoutEngine) and self.canvas.is_saving():
            engine.execute(self)
        else:
            super().draw(renderer)

    def _repr_png_(self) -> Any:
        buffer = io.BytesIO()
        with house_style():
            fit_words(self)
            self.savefig(buffer, format="png", dpi=NOTEBOOK_DPI, metadata={"Software": None})
        return buffer.getvalue()


@house_look
def new_figure(
    width: float = 8.0,
    height: float = 5.0,
    rows: int = 1,
    columns: int = 1,
    *,
    widths: tuple | None = None,
    heights: Sequence[float] | None = None,
) -> tuple[NotebookFigure, list[Axes]]:
    """A figure (inches) with its axes as a list, in the house look.

    Returns
    -------
    figure, list of Axes
    """
    figure = NotebookFigure(figsize=(width, height), layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.subplots(rows, columns, squeeze=False, gridspec_kw={"width_ratios": widths, "height_ratios": heights})
    return figure, list(axes.flat)


def figure_for(ax: Axes | None, width: float = 8.0, height: float = 5.0) -> Axes:
    """The given axes, or those of a new figure: `(result, ax=None)` functions begin with this."""
    return ax if ax is not None else new_figure(width, height)[1][0]


def look(k: int) -> tuple:
    """Colour and dash of the k-th setup; each further round of colours takes the dashes one place on."""
    turn, place = divmod(k, len(SETUP_LOOKS))
    return SETUP_LOOKS[place][0], SETUP_LOOKS[(place + turn) % len(SETUP_LOOKS)][1]


MEASURABLE_BAND = "#dfe4e8"
LEAST_BANDS = 1.2
"""Half-widths of the band of what cannot be measured that an axis shows at least, on both sides."""


def measurable_band(ax: Axes, centre: float, half: float, *, vertical: bool = True, both: bool = True) -> None:
    """What cannot be measured, as a band behind an axis about a value; the axis is made no narrower than the band.

    Parameters
    ----------
    centre, half : float
        In the unit of the axis.
    vertical : bool
        The values run upwards; else to the right.
    both : bool
        On both sides of the value; else only above it.
    """
    low = centre - half if both else centre
    (ax.axhspan if vertical else ax.axvspan)(low, centre + half, color=MEASURABLE_BAND, lw=0, zorder=0)
    get, put = (ax.get_ylim, ax.set_ylim) if vertical else (ax.get_xlim, ax.set_xlim)
    ends = get()
    least = centre - LEAST_BANDS * half if both else ends[0]
    put(min(ends[0], least), max(ends[1], centre + LEAST_BANDS * half))


def load_axis(ax: Any, what: str = "front axle load") -> None:
    """Left axis in grams as a scale reads, right axis in newtons."""
    ax.set_ylabel(f"{what}, g as a scale reads")
    newtons = ax.secondary_yaxis("right", functions=(force_of_grams, as_grams))
    newtons.set_ylabel("N", rotation=0, labelpad=8)
    newtons.tick_params(labelsize=8, colors=FAINT)
    newtons.spines["right"].set_visible(False)


def grade_axis(ax: Axes) -> None:
    """Lower axis in degrees, upper one in percent."""
    ax.set_xlabel("grade, deg")
    low, high = ax.get_xlim()
    percent = ax.secondary_xaxis("top")
    wanted = [
        p for p in (-150, -100, -50, -25, 0, 25, 50, 75, 100, 150, 200, 300) if low <= degrees(atan(p / 100)) <= high
    ]
    percent.set_xticks([degrees(atan(p / 100)) for p in wanted], [f"{p} %" for p in wanted])
    percent.tick_params(labelsize=8, colors=FAINT)
    percent.spines["top"].set_visible(False)


def direct_labels(ax: Axes, labels: list[tuple[float, float, str, str]], *, gap: float = 0.055, dx: float = 6) -> None:
    """Write labels beside points, pushed apart vertically where they would touch; thin lines lead to those moved far.

    Parameters
    ----------
    labels : sequence of (x, y, text, colour)
        Data coordinates.
    gap : float
        Least distance, as a share of the height of the axes; never less than a line of words.
    dx : float
        Distance to the right, points.
    """
    low, high = ax.get_ylim()
    ordered = sorted(labels, key=lambda item: item[1])
    wanted = [(item[1] - low) / (high - low) for item in ordered]
    gap = max(gap, LINE_POINTS / _axes_height_points(ax))
    moved = [
        (place - height) * _axes_height_points(ax) for place, height in zip(spread(wanted, gap), wanted, strict=True)
    ]
    led = max(map(abs, moved), default=0.0) > MOVED_POINTS
    for (x, y, text, colour), dy in zip(ordered, moved, strict=True):
        ax.annotate(
            text,
            (x, y),
            xytext=(dx + LEADER_POINTS if led else dx, dy),
            textcoords="offset points",
            color=colour,
            va="center",
            fontsize=8.5,
            annotation_clip=False,
            arrowprops={
                "arrowstyle": "-",
                "color": colour,
                "lw": 0.6,
                "shrinkA": 1.0,
                "shrinkB": 0.0,
                "relpos": (0.0, 0.5),
            }
            if led
            else None,
        )


def spread(wanted: list[float], gap: float, *, low: float = 0.0, high: float = 1.0) -> list[float]:
    """Places at least `gap` apart, each group of crowded ones about the middle of what it names.

    Parameters
    ----------
    wanted : sequence of float
        Ascending.
    gap, low, high : float
        Least distance, and the range to keep to as far as it has room.

    Returns
    -------
    list of float
        Ascending.
    """
    groups: list[list[float]] = []
    for place in wanted:
        groups.append([place])
        while len(groups) > 1 and _first(groups[-1], gap, low, high) < _first(groups[-2], gap, low, high) + gap * len(
            groups[-2]
        ):
            last = groups.pop()
            groups[-1] += last
    return [_first(group, gap, low, high) + gap * k for group in groups for k in range(len(group))]


def _first(group: list[float], gap: float, low: float, high: float) -> float:
    """Place of the lowest of a group, the group centred on the mean of what it names."""
    length = gap * (len(group) - 1)
    return max(min(sum(group) / len(group) - 0.5 * length, high - length), low)


def _axes_height_points(ax: Any) -> float:
    box = ax.get_position()
    return box.height * ax.figure.get_size_inches()[1] * 72.0


def mark_grade(ax: Axes, angle_deg: float, text: str, *, colour: str = INK, height: float = 0.97) -> None:
    """A thin vertical line with a word beside it."""
    ax.axvline(angle_deg, color=colour, lw=0.9, ls=(0, (3, 2)))
    ax.annotate(
        text,
        (angle_deg, height),
        xycoords=("data", "axes fraction"),
        xytext=(-3, 0),
        textcoords="offset points",
        rotation=90,
        ha="right",
        va="top",
        fontsize=8,
        color=colour,
        bbox={"fc": PAPER, "ec": "none", "alpha": 0.75, "pad": 0.6},
    )


def head_figure(figure: Figure, words: str, size: float = 10.5) -> None:
    """One line over a whole figure, from its left edge."""
    figure.suptitle(words, x=0.01, ha="left", fontsize=size, fontweight="bold", color=INK)


def save_figure(figure: Any, path: str, *, description: str | None = None, dpi: int = 160) -> None:
    """Write a figure as PNG, SVG or PDF by its suffix, complete or not at all; no dates inside.

    `description` is kept inside the file, for those who cannot see the picture.

    Raises
    ------
    ModelError
        Another suffix.
    """
    name = str(path).lower()
    suffix = next((s for s in SUFFIXES if name.endswith(s)), None)
    if suffix is None:
        raise ModelError(f"{path}: a picture's name must end in {', '.join(SUFFIXES)}")
    kinds: dict[str, dict[str, str | None]] = {
        ".svg": {"Date": None},
        ".pdf": {"CreationDate": None},
        ".png": {"Software": None},
    }
    metadata = kinds[suffix]
    if description is not None:
        metadata["Subject" if suffix == ".pdf" else "Description"] = description
    write_whole(path, figure_bytes(figure, suffix[1:], metadata=metadata, dpi=dpi))


def figure_bytes(figure: Figure, form: str, *, metadata: dict, dpi: Any = 160) -> bytes:
    """A figure as 'png', 'svg' or 'pdf', text kept as text."""
    buffer = io.BytesIO()
    with house_style():
        fit_words(figure)
        figure.savefig(buffer, format=form, dpi=dpi, metadata=metadata)
    if form == "svg":
        # A control character in a name would make it no XML.
        return shown(buffer.getvalue().decode("utf-8")).encode()
    return buffer.getvalue()
