"""Printable sheets of a trial: driver, scorer and installer, A4, PDF or SVG.

The sheets of driver and scorer are drawn from `SheetFacts` alone, which holds nothing that depends on the
order, and carry no date: they are the same byte for byte whatever was drawn.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure

from noseload.model.errors import ModelError
from noseload.pictures.style import FAINT, INK, figure_bytes, house_look
from noseload.studies.trial.document import TrialPlan
from noseload.studies.trial.names import SEALED_FOLDER
from noseload.studies.trial.plan import SealedTrial
from noseload.studies.trial.schedule import TrialKey

if TYPE_CHECKING:
    from matplotlib.axes import Axes


PORTRAIT, LANDSCAPE = (210.0, 297.0), (297.0, 210.0)
"""A4, mm (ISO 216)."""
MARGIN, ROW, SMALL, LINE = 14.0, 8.6, 7.6, 3.9
MILLIMETRES_PER_INCH = 25.4

CAUTIONS = (
    "Fingers, hair and sleeves stay out of wheels, gears and links while the battery is connected; disconnect it before "
    "touching the part.",
    "Motor, speed controller and brakes get hot. Batteries: use, charge and store them as their maker says; stop with a "
    "swollen or warm one.",
    "Catch line on and nobody below the board: the vehicle can slide, roll or fall off. Clamp the board at its angle.",
    "For small model vehicles only, never a basis for driving a manned vehicle on a slope. Local rules and the "
    "makers' instructions come first.",
)


SETTLE = (
    "Settle it the same way before every reading: on the level push it down once, let go, then drive up, or raise the board, in "
    "one go and never back. Dry friction of shocks and splines then holds every setup in the same state."
)
"""Without it friction alone may differ by more than the setups do."""


@dataclass(frozen=True)
class SheetFacts:
    """All that driver and scorer may know: nothing here depends on the order or names a setup."""

    outcome: str
    how: str
    unit: str
    surface: str
    grade: str
    repeats: int
    codes: tuple[str, ...]

    @classmethod
    def of(cls, plan: TrialPlan) -> SheetFacts:
        """The facts of a plan."""
        kind = plan.kind
        grade = "" if plan.grade_deg is None else f"board at {plan.grade_deg:g} deg"
        return cls(kind.words, kind.how, kind.unit, plan.surface, grade, plan.repeats, plan.codes)


@dataclass(frozen=True)
class _Sheet:
    """One sheet: title, paragraphs, and a table of column titles, widths (mm) and rows of cells."""

    title: str
    subtitle: str
    paragraphs: tuple[str, ...]
    columns: tuple[tuple[str, float], ...]
    rows: tuple[tuple[str, ...], ...]
    size: tuple[float, float]
    first_lines: tuple[str, ...] = ()


def render_sheets(trial: SealedTrial, form: str = "pdf") -> dict[str, bytes]:
    """The three sheets as files.

    Parameters
    ----------
    trial : SealedTrial
    form : {'pdf', 'svg'}
        A PDF holds all pages of a sheet; SVG makes a file for each page.

    Returns
    -------
    dict of str to bytes
        File name within the trial's folder and content; the installer's sheet lies beside the key.

    Raises
    ------
    ModelError
        Another form.
    """
    if form not in ("pdf", "svg"):
        raise ModelError(f"sheets can be made as pdf or svg, not '{form}'")
    facts = SheetFacts.of(trial.plan)
    sheets = {
        "driver": driver_sheet(facts),
        "scorer": scorer_sheet(facts),
        f"{SEALED_FOLDER}/installer": installer_sheet(trial.plan, trial.key),
    }
    files: dict[str, bytes] = {}
    for name, sheet in sheets.items():
        files.update(_render(name, draw_sheet(sheet), form))
    return files


def driver_sheet(facts: SheetFacts) -> _Sheet:
    """Sheet of whoever drives, or moves the board: guesses before and after, and room for remarks."""
    boxes = "[  ] yes   [  ] no   [  ] no guess"
    rows = tuple((str(i + 1), code, boxes, boxes, "") for i, code in enumerate(facts.codes))
    return _Sheet(
        "Driver's sheet (or whoever moves the board)",
        _subtitle(facts),
        (
            "Leave the room while the installer works. Do not look under the skirt, do not touch the mount, do not "
            "speak of what you feel before the last run.",
            SETTLE,
            "The guess is: is the change on trial fitted? Tick the first guess before anything moves, the second "
            "after the readings of that run. No guess is a fair answer.",
            *CAUTIONS,
        ),
        (("run", 10.0), ("code", 13.0), ("guess before moving", 52.0), ("guess after", 52.0), ("remarks", 55.0)),
        rows,
        PORTRAIT,
    )


def scorer_sheet(facts: SheetFacts) -> _Sheet:
    """Sheet of the scorer: readings by run number, and the state of pack, board and tape."""
    width = min(23.0, 105.0 / facts.repeats)
    unit = {"share": "1 / 0"}.get(facts.unit, facts.unit)
    many = facts.repeats > 5
    readings = [(f"{i + 1}" if many else f"reading {i + 1}\n{unit}", width) for i in range(facts.repeats)]
    rest = LANDSCAPE[0] - 2 * MARGIN - 27.0 - width * facts.repeats - 72.0
    columns = (
        ("run", 12.0),
        ("code", 15.0),
        *readings,
        ("battery voltage\nV", 24.0),
        ("board angle\ndeg", 24.0),
        ("tape brushed\nyes / no", 24.0),
        ("struck out: reason, key closed", rest),
    )
    rows = tuple((str(i + 1), code, *[""] * (facts.repeats + 4)) for i, code in enumerate(facts.codes))
    note = f" The narrow columns are readings 1 to {facts.repeats}, {unit}." if many else ""
    return _Sheet(
        "Scorer's sheet",
        _subtitle(facts),
        (
            f"{facts.how}{note}",
            "Check that the code on this sheet is the one the installer calls for the run. Read and write before "
            "anybody speaks. Brush the tape and check the board angle before every run. Strike out a run only for "
            "something seen, never for its number.",
            *CAUTIONS,
        ),
        columns,
        rows,
        LANDSCAPE,
    )


def installer_sheet(plan: TrialPlan, key: TrialKey) -> _Sheet:
    """The installer's sheet: which holes for which run, without a word of what they mean."""
    rows = []
    for i, (code, part, arm) in enumerate(zip(plan.codes, key.parts, key.arms, strict=True)):
        holes = key.holes[1 if part == "main" and arm == 1 else 0]
        packet = "in" if part == "control" and arm == 1 else "empty"
        extra = (packet,) if plan.control_pairs else ()
        rows.append((str(i + 1), code, holes, *extra, "[  ] left  [  ] right", *[""] * 5))
    packet_column = (("pouch", 15.0),) if plan.control_pairs else ()
    paragraphs = [
        f"Driver and scorer leave the room first. Every time, also when the holes stay the same: loosen BOTH sides "
        f"fully, fit, tighten BOTH sides alike. Take {plan.swap_minutes:g} minutes each time; wait if you are early.",
        "Put the skirt over the mount before anybody comes back: the same skirt, the same weight, every run. Call "
        "the run by its number and code, nothing else. Wrong holes? Tell the scorer only to strike out that run.",
        "Measure ride height and pinion angle yourself, before the skirt goes on; this sheet stays with you until "
        "the last reading is entered.",
    ]
    if plan.control_pairs:
        paragraphs.append(
            "The pouch is on the vehicle in every run, closed, out of sight. 'in': put the packet into it"
            + (f" ({plan.control_words})." if plan.control_words else ".")
        )
    first: tuple[str, ...] = ()
    if key.holes[0].startswith("set "):
        first = (
            "Before the day, whoever built the part looks up 'holes' in key.json and fills in:   "
            "set 1 = holes ________________     set 2 = holes ________________",
        )
    return _Sheet(
        "Installer's sheet: keep it from driver and scorer",
        f"{plan.installations} installations",
        (*paragraphs, *CAUTIONS),
        (
            ("run", 12.0),
            ("code", 15.0),
            ("holes", 48.0),
            *packet_column,
            ("loosened and tightened", 40.0),
            ("ride height\nmm", 28.0),
            ("pinion angle\ndeg", 28.0),
            ("begin", 20.0),
            ("end", 20.0),
            ("remarks", 58.0 - (15.0 if plan.control_pairs else 0.0)),
        ),
        tuple(rows),
        LANDSCAPE,
        first,
    )


def _subtitle(facts: SheetFacts) -> str:
    parts = [facts.outcome, facts.surface, facts.grade, f"{len(facts.codes)} installations"]
    return ", ".join(part for part in parts if part)


@house_look
def draw_sheet(sheet: _Sheet) -> list[Figure]:
    """Pages of a sheet."""
    head = _head_height(sheet)
    room_first = int((sheet.size[1] - head - 2 * MARGIN - ROW - 4) // ROW)
    room_next = int((sheet.size[1] - 2 * MARGIN - 10 - ROW - 4) // ROW)
    pages, left = [sheet.rows[:room_first]], sheet.rows[room_first:]
    while left:
        pages.append(left[:room_next])
        left = left[room_next:]
    return [_page(sheet, rows, i, len(pages)) for i, rows in enumerate(pages)]


def _wrapped(sheet: _Sheet) -> list[list[str]]:
    width = int((sheet.size[0] - 2 * MARGIN) / 1.52)
    return [textwrap.wrap(text, width, subsequent_indent="   ") for text in sheet.paragraphs]


def _head_height(sheet: _Sheet) -> float:
    lines = sum(len(lines) for lines in _wrapped(sheet))
    return 15.0 + lines * LINE + len(sheet.paragraphs) * 0.8 + 7.0 * len(sheet.first_lines)


def _page(sheet: _Sheet, rows: Sequence[Sequence[str]], number: int, count: int) -> Figure:
    width, height = sheet.size
    figure = Figure(figsize=(width / MILLIMETRES_PER_INCH, height / MILLIMETRES_PER_INCH))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, width)
    axes.set_ylim(height, 0.0)
    axes.set_axis_off()
    y = MARGIN + 3.0
    title = sheet.title if number == 0 else f"{sheet.title} (continued)"
    axes.text(MARGIN, y, title, fontsize=13, weight="bold", va="center", parse_math=False)
    axes.text(
        width - MARGIN,
        y,
        f"page {number + 1} of {count}",
        fontsize=8,
        color=FAINT,
        ha="right",
        va="center",
        parse_math=False,
    )
    y += 7.0
    if number == 0:
        axes.text(MARGIN, y, sheet.subtitle, fontsize=9, va="center", parse_math=False)
        y = _paragraphs(axes, sheet, y + 5.5)
    _table(axes, sheet.columns, rows, y + 1.0)
    return figure


def _paragraphs(axes: Axes, sheet: _Sheet, y: float) -> float:
    cautions = len(sheet.paragraphs) - len(CAUTIONS)
    for k, lines in enumerate(_wrapped(sheet)):
        for j, line in enumerate(lines):
            mark = ("!  " if k >= cautions else "-  ") if j == 0 else ""
            axes.text(MARGIN, y, mark + line, fontsize=SMALL, va="center", color=INK, parse_math=False)
            y += LINE
        y += 0.8
    for line in sheet.first_lines:
        axes.text(MARGIN, y + 2.5, line, fontsize=9, va="center", weight="bold", parse_math=False)
        y += 7.0
    return y


def _table(axes: Axes, columns: Sequence[tuple[str, float]], rows: Sequence[Sequence[str]], top: float) -> None:
    edges = [MARGIN]
    for _, width in columns:
        edges.append(edges[-1] + width)
    bottom = top + ROW * (len(rows) + 1)
    for k, (title, _) in enumerate(columns):
        axes.text(
            edges[k] + 1.2,
            top + ROW / 2,
            title,
            fontsize=7.2,
            weight="bold",
            va="center",
            linespacing=1.05,
            parse_math=False,
        )
    for i, row in enumerate(rows):
        y = top + ROW * (i + 1)
        for k, cell in enumerate(row):
            bold = "bold" if k < 2 else "normal"
            axes.text(edges[k] + 1.2, y + ROW / 2, cell, fontsize=8.5, va="center", weight=bold, parse_math=False)
    for i in range(len(rows) + 2):
        y = top + ROW * i
        axes.plot((edges[0], edges[-1]), (y, y), color=INK if i in (0, 1) else FAINT, linewidth=0.9 if i < 2 else 0.5)
    for edge in edges:
        axes.plot((edge, edge), (top, bottom), color=FAINT, linewidth=0.5)


@house_look
def _render(name: str, figures: Sequence[Figure], form: str) -> dict[str, bytes]:
    if form == "pdf":
        buffer = io.BytesIO()
        # No date, no producer: the file says nothing but what is printed.
        with PdfPages(buffer, metadata={"CreationDate": None, "Producer": None, "Creator": None}) as pages:
            for figure in figures:
                pages.savefig(figure)
        return {f"{name}.pdf": buffer.getvalue()}
    files = {}
    for i, figure in enumerate(figures):
        data = figure_bytes(figure, "svg", metadata={"Date": None, "Creator": None}, dpi="figure")
        files[f"{name}.svg" if len(figures) == 1 else f"{name}-{i + 1}.svg"] = data
    return files
