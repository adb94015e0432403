"""The measuring sheet on A4 pages: steps, cautions, boxes and tables to fill in."""

from __future__ import annotations

import io
import os
from typing import TYPE_CHECKING, Any

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle, FancyBboxPatch, Polygon, Rectangle

from noseload.model.errors import ModelError
from noseload.output import write_whole
from noseload.pictures.style import FAINT, INK, figure_bytes, house_look, look, save_figure

from .sheet_drawings import DRAWINGS, FINE

if TYPE_CHECKING:
    from matplotlib.axes import Axes


PAGE_MM = (210.0, 297.0)
INCH_MM = 25.4
EDGE = 14.0
ACCENT = look(1)[0]
GRID_ROW = 7.2
ARRANGEMENT_DPI = 120


@house_look
def draw_sheet_page(page: Any, number: int, count: int) -> Figure:
    """One A4 page.

    Parameters
    ----------
    page : noseload.studies.measuring.sheet.Page
    number, count : int
        This page and how many there are.

    Returns
    -------
    Figure
    """
    figure = Figure(figsize=(PAGE_MM[0] / INCH_MM, PAGE_MM[1] / INCH_MM))
    FigureCanvasAgg(figure)
    ax = figure.add_axes((0, 0, 1, 1))
    ax.set_xlim(0, PAGE_MM[0])
    ax.set_ylim(0, PAGE_MM[1])
    ax.set_aspect("equal")
    ax.set_axis_off()
    _header(ax, page, number, count)
    y = _steps(ax, page.steps, 262.0)
    y = _cautions(ax, page.cautions, y - 2.0)
    if page.drawing:
        height = DRAWINGS[page.drawing](ax, y - 3.0)
        y -= height + 3.0
    y = _boxes(ax, page.boxes, y - 5.0)
    _notes(ax, _grids(ax, page.grids, y - 3.0))
    ax.text(
        PAGE_MM[0] / 2,
        7.5,
        "For small model vehicles. Local rules and the makers' instructions come first. "
        "Never a basis for driving a manned vehicle on a "
        "slope.",
        fontsize=6.5,
        color=FAINT,
        ha="center",
    )
    return figure


def save_sheet(pages: Any, path: str) -> Any:
    """Write the sheet: one PDF of all pages, or one SVG for each page (NAME-1.svg, NAME-2.svg, ...).

    Returns
    -------
    list of str
        Files written, each complete or not at all.

    Raises
    ------
    ModelError
        Another suffix.
    """
    name = str(path)
    suffix = name.lower()[-4:]
    if suffix not in (".pdf", ".svg"):
        raise ModelError(f"{name}: the sheet is written as .pdf or .svg; choose one of these endings")
    if suffix == ".pdf":
        write_whole(name, sheet_pdf(pages))
        return [name]
    names = [name] if len(pages) == 1 else [f"{name[:-4]}-{number}.svg" for number in range(1, len(pages) + 1)]
    data = [figure_bytes(figure, "svg", metadata={"Date": None}, dpi="figure") for figure in _figures(pages)]
    for target, content in zip(names, data, strict=True):
        write_whole(target, content)
    return names


@house_look
def draw_arrangement(name: str) -> Figure:
    """One drawing of the sheet alone, as wide as a page.

    Parameters
    ----------
    name : str
        A key of `sheet_drawings.DRAWINGS`.

    Returns
    -------
    Figure
    """
    margin = 4.0
    figure = Figure()
    FigureCanvasAgg(figure)
    ax = figure.add_axes((0, 0, 1, 1))
    height = DRAWINGS[name](ax, 0.0) + 2 * margin
    ax.set_xlim(0, PAGE_MM[0])
    ax.set_ylim(margin - height, margin)
    ax.set_axis_off()
    figure.set_size_inches(PAGE_MM[0] / INCH_MM, height / INCH_MM)
    return figure


def save_arrangements(pages: Any, folder: Any) -> Any:
    """Draw the arrangements of these pages into a folder, one PNG each, named by what they show.

    Returns
    -------
    list of str
        Names of the files in it.
    """
    os.makedirs(folder, exist_ok=True)
    names = [f"{page.drawing}.png" for page in pages if page.drawing]
    for name in names:
        save_figure(draw_arrangement(name[:-4]), os.path.join(folder, name), dpi=ARRANGEMENT_DPI)
    return names


def _figures(pages: Any) -> Any:
    return [draw_sheet_page(page, number, len(pages)) for number, page in enumerate(pages, start=1)]


@house_look
def sheet_pdf(pages: Any) -> Any:
    """All pages as the bytes of one PDF."""
    from matplotlib.backends.backend_pdf import PdfPages

    buffer = io.BytesIO()
    with PdfPages(buffer, metadata={"CreationDate": None, "Title": "Measuring sheet"}) as book:
        for figure in _figures(pages):
            book.savefig(figure)
    return buffer.getvalue()


def _header(ax: Axes, page: Any, number: int, count: int) -> None:
    ax.text(EDGE, 283.0, f"Measuring sheet, level {page.level}", fontsize=8.5, color=ACCENT, weight="bold", va="center")
    ax.text(EDGE, 276.5, page.title, fontsize=14, weight="bold", va="center")
    ax.text(EDGE, 270.5, page.minutes, fontsize=8, color=FAINT, va="center")
    right = PAGE_MM[0] - EDGE
    ax.text(right, 290.5, f"page {number} of {count}", fontsize=7, color=FAINT, ha="right", va="center")
    for line, words in enumerate(("vehicle", "date, by")):
        y = 283.5 - 8.0 * line
        ax.text(right - 52.0, y, words, fontsize=FINE, ha="right", va="center")
        ax.plot([right - 50.0, right], [y - 2.0, y - 2.0], color=INK, lw=0.6)
    ax.plot([EDGE, right], [266.5, 266.5], color=INK, lw=0.8)


def _steps(ax: Axes, steps: Any, y: float) -> Any:
    for number, step in enumerate(steps, start=1):
        ax.add_patch(Circle((EDGE + 2.0, y), 2.0, fc=INK, ec="none"))
        ax.text(EDGE + 2.0, y - 0.1, str(number), color="white", fontsize=7, ha="center", va="center", weight="bold")
        ax.text(EDGE + 6.5, y, step, fontsize=7.6, va="center")
        y -= 5.4
    return y + 1.0


def _cautions(ax: Axes, cautions: Any, y: float) -> Any:
    height = 5.0 * len(cautions) + 2.4
    width = PAGE_MM[0] - 2 * EDGE
    ax.add_patch(
        FancyBboxPatch(
            (EDGE, y - height), width, height, boxstyle="round,pad=0,rounding_size=1.2", fc="#fdf3e7", ec=ACCENT, lw=0.9
        )
    )
    middle = y - height / 2
    ax.add_patch(
        Polygon(
            [(EDGE + 3, middle - 2.3), (EDGE + 8.4, middle - 2.3), (EDGE + 5.7, middle + 2.5)],
            closed=True,
            fc="white",
            ec=ACCENT,
            lw=1.1,
        )
    )
    ax.text(EDGE + 5.7, middle - 0.5, "!", fontsize=8, color=ACCENT, weight="bold", ha="center", va="center")
    for line, caution in enumerate(cautions):
        ax.text(EDGE + 12.0, y - 3.6 - 5.0 * line, caution, fontsize=7.6, va="center", color=INK)
    return y - height


def _boxes(ax: Axes, groups: Any, y: float) -> Any:
    """Groups in two or three columns, each number with a box to write in."""
    many = sum(len(boxes) for _, boxes in groups) > 20
    if many:
        return _point_boxes(ax, groups, y)
    width = (PAGE_MM[0] - 2 * EDGE - 8.0) / 2
    lowest = y
    for column, (title, boxes) in enumerate(groups):
        x = EDGE + column * (width + 8.0)
        ax.text(x, y, title, fontsize=8.5, weight="bold", va="center")
        below = y - 6.0
        for box in boxes:
            ax.text(x, below, box.words, fontsize=7.8, va="center")
            _field(ax, x + width - 36.0, below, 25.0)
            ax.text(x + width - 9.8, below, box.unit, fontsize=7.4, va="center")
            below -= 7.0
        lowest = min(lowest, below)
    return lowest + 1.0


def _point_boxes(ax: Axes, groups: Any, y: float) -> Any:
    """Points as rows with three fields each: x, y, z; rear to the left, front to the right."""
    width = (PAGE_MM[0] - 2 * EDGE - 10.0) / 2
    half = len(groups) // 2
    for place, (title, boxes) in enumerate(groups):
        x = EDGE + (place // half) * (width + 10.0)
        top = y - (place % half) * 29.0
        ax.text(x, top, title, fontsize=8.5, weight="bold", va="center")
        for k, name in enumerate(("x, mm", "y, mm", "z, mm")):
            ax.text(x + 27.0 + 20.0 * k + 9.5, top, name, fontsize=6.8, color=FAINT, ha="center", va="center")
        for line, end in enumerate(("chassis end", "axle end")):
            ax.text(x, top - 7.0 - 8.0 * line, end, fontsize=7.8, va="center")
            for k in range(3):
                _field(ax, x + 27.0 + 20.0 * k, top - 7.0 - 8.0 * line, 18.5)
        ax.text(x, top - 21.5, boxes[0].key.rsplit(".", 1)[0], fontsize=6.3, color=FAINT, va="center")
    return y - half * 29.0


def _field(ax: Axes, x: float, y: float, width: float) -> None:
    ax.add_patch(Rectangle((x, y - 2.6), width, 5.2, fc="white", ec=INK, lw=0.7))


def _grids(ax: Axes, grids: Any, y: float) -> Any:
    """Tables two by two."""
    if not grids:
        return y
    gap = 8.0
    width = (PAGE_MM[0] - 2 * EDGE - gap) / 2
    for first in range(0, len(grids), 2):
        pair = grids[first : first + 2]
        tallest = max(len(grid.rows) for grid in pair)
        for column, grid in enumerate(pair):
            _grid(ax, grid, EDGE + column * (width + gap), y, width)
        y -= 11.0 + GRID_ROW * tallest + 5.0
    return y


def _notes(ax: Axes, y: float) -> None:
    """Ruled lines for remarks where the page has room left."""
    if y < 32.0:
        return
    ax.text(EDGE, y, "Notes", fontsize=8.5, weight="bold", va="center")
    line = y - 8.0
    while line > 14.0:
        ax.plot([EDGE, PAGE_MM[0] - EDGE], [line, line], color=FAINT, lw=0.5)
        line -= 8.0


def _grid(ax: Axes, grid: Any, x: float, y: float, width: float) -> None:
    ax.text(x, y, grid.title, fontsize=8.5, weight="bold", va="center")
    command = f"noseload {grid.command}" if grid.command else ""
    ax.text(x + width, y, command, fontsize=6.5, color=FAINT, ha="right", va="center")
    top, cell = y - 3.5, width / len(grid.columns)
    height = 5.5 + GRID_ROW * len(grid.rows)
    ax.add_patch(Rectangle((x, top - 5.5), width, 5.5, fc="#eef1f3", ec="none"))
    ax.add_patch(Rectangle((x, top - height), width, height, fc="none", ec=INK, lw=0.8))
    for k, name in enumerate(grid.columns):
        ax.text(x + (k + 0.5) * cell, top - 2.8, name, fontsize=6.9, ha="center", va="center")
        if k:
            ax.plot([x + k * cell] * 2, [top, top - height], color=FAINT, lw=0.6)
    for line, cell_text in enumerate(grid.rows):
        row_top = top - 5.5 - GRID_ROW * line
        ax.plot([x, x + width], [row_top, row_top], color=FAINT, lw=0.6)
        ax.text(x + 0.5 * cell, row_top - GRID_ROW / 2, cell_text, fontsize=7.0, ha="center", va="center", color=FAINT)
