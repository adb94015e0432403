"""Everything a sceptic needs to repeat the report on another vehicle, as files of one folder."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from noseload.documents import csv_text, json_text, letter
from noseload.version import VERSION

from .closing import CAUTIONS

if TYPE_CHECKING:
    from noseload.studies.show.report import Report


README = """How to repeat this on another vehicle
=====================================

{name}: made by noseload {version}. Every number here is measured, calculated or assumed.

1. Build the board: board.pdf (to scale, with dimensions).
2. Measure: print measuring-sheet.pdf, follow recipes.txt. Level A takes 15 minutes (ruler, scale), level B two more
   hours (links, springs), level C phone films (motor, damping).
3. Make a vehicle file: noseload new --level {level} my-crawler.toml writes one to fill in; the one used here is
   vehicle.toml. Setups are [setups.NAME] tables in it.
4. Calculate: noseload report my-crawler.toml --out page.html
5. Hold it against the board: noseload readings my-crawler.toml board.csv
6. Blind it before you believe it: trial-plan.txt says how many fittings it takes.

To get the very numbers of this folder again:

    {command}

Files
-----
{files}

Cautions
--------
{cautions}
"""
WHAT = {
    "page.html": "the page; opens in any browser, fetches nothing",
    "vehicle.toml": "the vehicle file as used",
    "measuring-sheet.pdf": "blank sheets to print and fill in",
    "recipes.txt": "how every number is measured, with cautions",
    "board.pdf": "the board to scale with dimensions",
    "trial-plan.txt": "size and rules of a fair trial; it holds no key",
    "summary.json": "limits, budgets, differences and errors in one document",
}


def replication_files(report: Report, page: str) -> dict:
    """Files of the folder by name.

    Parameters
    ----------
    report : studies.report.Report
    page : str
        The page as HTML.

    Returns
    -------
    dict of str to str or bytes
    """
    files = {
        "page.html": page,
        "vehicle.toml": _vehicle_file(report),
        "measuring-sheet.pdf": _sheets(),
        "recipes.txt": recipes_text(),
        "board.pdf": _board(report),
        "trial-plan.txt": trial_text(report),
        "summary.json": json_text(report.to_dict()),
    }
    files |= _results(report)
    files["README.txt"] = _readme(report, files)
    return files


def _vehicle_file(report: Report) -> bytes:
    return Path(report.vehicle.file).read_bytes()


def plain_name(k: int, name: str) -> str:
    """Name of a setup as part of a file name: its letter, and what of its name any system can hold."""
    words = re.sub(r"[^A-Za-z0-9_-]+", "-", name).strip("-")[:40]
    return f"{letter(k)}-{words}" if words else letter(k)


def _results(report: Report) -> dict:
    """Raw results as CSV: limits, crawl and punch of every setup, levers."""
    files = {"limits.csv": csv_text([{"setup": m.name, **m.sweep.limits.to_dict()} for m in report.members])}
    for k, member in enumerate(report.members):
        name = plain_name(k, member.name)
        files[f"crawl-{name}.csv"] = csv_text([row.to_dict() for row in member.sweep.rows])
        if member.punch is not None and member.punch.success:
            files[f"punch-{name}.csv"] = csv_text(member.punch.rows())
    if report.bench is not None:
        files["bench.csv"] = csv_text(
            [{"setup": m.setup, **row.to_dict()} for m in report.bench.members for row in m.rows]
        )
    if report.rank is not None:
        files["levers.csv"] = csv_text([lever.to_dict() for lever in report.rank.levers])
        files["ready-made.csv"] = csv_text([change.to_dict() for change in report.rank.ready_made])
    return files


def _sheets() -> bytes:
    from noseload.pictures.measuring.sheet import sheet_pdf
    from noseload.studies.measuring.sheet import sheet_pages

    return sheet_pdf(sheet_pages("C"))


def _board(report: Report) -> bytes:
    from noseload.pictures.measuring.board import draw_board
    from noseload.pictures.style import figure_bytes

    member = report.members[0]
    figure = draw_board(member.vehicle, member.climb, member.at_grade, width=8.3, height=8.3)
    return figure_bytes(figure, "pdf", metadata={"CreationDate": None})


def recipes_text() -> str:
    """How to weigh and every bench measurement, with cautions, as text."""
    from noseload.studies.measuring.measurements import WHAT as KINDS
    from noseload.studies.measuring.measurements import measurement_kind
    from noseload.studies.weighing.layout import CAUTIONS as WEIGH_CAUTIONS
    from noseload.studies.weighing.layout import RECIPE

    blocks: list[tuple] = [
        ("noseload weigh", "mass, fore-aft place and height of the centre of gravity", RECIPE, WEIGH_CAUTIONS)
    ]
    for what in KINDS:
        kind = measurement_kind(what)
        blocks.append((f"noseload measure {what}", kind.title, kind.recipe, kind.cautions))
    lines = ["Recipes: how every number is measured with household tools", ""]
    for command, title, recipe, cautions in blocks:
        lines += [
            f"{title} ({command})",
            *(f"  - {step}" for step in recipe),
            *(f"  ! {caution}" for caution in cautions),
            "",
        ]
    return "\n".join(lines)


def trial_text(report: Report) -> str:
    """The plan of a fair trial: question, size, rules. The order and its key are drawn only when it is sealed."""
    need = report.trial
    if need is None:
        why = next(
            (item.why for item in report.missing if item.part == "what a trial would need"), "it could not be sized"
        )
        return f"No trial was sized: {why}.\nnoseload trial plan --help tells what a plan needs.\n"
    from noseload.studies.trial.plan import EXCLUSION_RULE, MISSING_RULES, STOP_RULE, least_readings

    size = need.sizing
    count = size.design.installations
    lines = [
        f"Trial: does {need.change} tip at another grade than {need.reference}?",
        "",
        f"Calculated difference        {need.predicted_deg:+.2f} deg",
        f"Sized for                    {need.wanted_deg:+.2f} deg",
        f"Scatter, fitting to fitting  {need.scatter_deg:g} deg (assumed; measure yours with three fittings or more)",
        f"Fittings                     {count}, half of each setup, order drawn by lot ({size.design.kind.replace('_', ' ')})",
        f"Readings of each             {need.repeats}, averaged, never counted as more",
        f"Time                         {size.minutes:.0f} minutes",
        f"Chance to find it            {100 * size.power:.0f} %",
        *size.lost,
        "",
        "Stop rule: " + STOP_RULE.format(installations=count),
        "Exclusion rule: "
        + EXCLUSION_RULE.format(
            least=least_readings(need.repeats), repeats=need.repeats, missing=MISSING_RULES[size.design.kind]
        ),
        "",
        "This is a plan, not a sealed trial: no order has been drawn and there is no key. To draw, seal and print it:",
        "",
        f"    noseload trial plan vehicle.toml --change '{need.change}' --installation-sd {need.scatter_deg:g} --out my-trial",
        "",
    ]
    return "\n".join(lines)


def _readme(report: Report, files: Any) -> str:
    options = report.options
    command = f"noseload report vehicle.toml --grade {report.grade_deg:g}"
    if report.punch_grade_deg is not None:
        command += (
            f" --punch-grade {report.punch_grade_deg:g} --throttle {options.throttle:g} --rise {options.rise_s:g}"
        )
    command += f" --draws {options.draws} --seed {options.seed} --folder again"
    words = []
    for name in sorted(files):
        what = WHAT.get(name) or (
            "raw results: the steady crawl over grade"
            if name.startswith("crawl-")
            else "raw results: the punch, every millisecond"
            if name.startswith("punch-")
            else "raw results"
        )
        words.append(f"{name}: {what}")
    words += [f"{letter(k)} is the setup {m.name}" for k, m in enumerate(report.members)]
    return README.format(
        name=report.vehicle.name,
        version=VERSION,
        level=report.vehicle.level,
        command=command,
        files="\n".join(words),
        cautions="\n".join(CAUTIONS),
    )
