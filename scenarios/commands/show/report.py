"""`noseload report`: one page that opens anywhere, and a folder to repeat it all."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Any

from noseload.commands.answers import answer_lines
from noseload.commands.common import add_vehicle, load_setups, print_json
from noseload.commands.paths import add_overwrite, reads, writes, writes_into
from noseload.documents import NO_SOLUTION, finite_option, grade_option, seed_option, whole_option
from noseload.model.errors import ModelError
from noseload.model.names import shown_name
from noseload.output import write_whole
from noseload.studies.verdict.sentence import own_sentence

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser


SUMMARY = """One self-contained page of a vehicle and its setups: verdict, a part to play with, limits, crawl, punch,
links, what would help, bench and trial. It opens on a phone and fetches nothing."""
EXAMPLE = "noseload report my-crawler.toml --out page.html --folder my-crawler-to-repeat"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser, setup=False)
    add = parser.add_argument
    add(
        "--out",
        type=writes("--out"),
        metavar="FILE.html",
        help="page to write (noseload-report.html, or none with --folder alone)",
    )
    add(
        "--folder",
        type=writes_into("--folder"),
        metavar="DIR",
        help="also a new folder to repeat it: file, sheets, recipes, board, plan, raw results",
    )
    add("--setups", metavar="A,B", help="only these setups of the file, the first as reference")
    add(
        "--grade",
        type=grade_option(0.0, 89.0),
        metavar="DEG",
        help="grade of the crawl (default: some degrees below tip-over)",
    )
    add(
        "--punch-grade",
        type=grade_option(-60.0, 80.0),
        metavar="DEG",
        help="grade of the punch (default: steepest held with no flip, in steps of 5)",
    )
    add(
        "--throttle",
        type=finite_option("a throttle", -1.0, 1.0),
        default=1.0,
        metavar="U",
        help="throttle of the punch (1)",
    )
    add(
        "--rise",
        type=finite_option("a time in seconds", 0.0),
        default=0.05,
        metavar="S",
        help="time in which it rises (0.05)",
    )
    add(
        "--draws",
        type=whole_option("a number of draws", 0, 1_000_000),
        default=400,
        metavar="N",
        help="draws of the 95 %% intervals; 0 for none (400)",
    )
    add(
        "--readings",
        type=reads("--readings"),
        metavar="FILE.csv",
        help="readings of the first setup on the board: points over the curve in 'Why believe this'",
    )
    add("--seed", type=seed_option, default=1, metavar="N", help="seed of the draws (1)")
    add("--static", action="store_true", help="without the part to play with: no script on the page")
    add("--sections", metavar="A,B", help="only these parts of the page (verdict, live, vehicle, limits, ...)")
    add("--json", action="store_true", help="print one JSON document and nothing else")
    add_overwrite(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    page = options.out or (None if options.folder or options.json else "noseload-report.html")
    if page and not page.lower().endswith((".html", ".htm")):
        raise ModelError(f"--out {page}: the page is written as .html; choose such a name")
    if options.folder and os.path.lexists(options.folder):
        raise ModelError(f"--folder {options.folder}: is there already and stays as it is; name a new folder")
    if options.draws < 0 or 0 < options.draws < 10:
        raise ModelError(f"--draws {options.draws}: give 10 or more, or 0 for no intervals")
    if options.sections is not None:
        from noseload.pages.page import chosen_sections

        chosen_sections(_sections(options))
    from noseload.studies.show.report import ReportOptions, collect

    asked = ReportOptions(
        options.grade, options.punch_grade, options.throttle, options.rise, options.draws, options.seed
    )
    vehicles = load_setups(options.vehicle, options.setups, drive=options.drive, compared=True)
    result = collect(vehicles, asked, readings=options.readings, progress=_progress)
    written = _write(result, page, options) if page or options.folder else []
    _progress("")
    if options.json:
        print_json("report", result.to_dict(), options, vehicles, seed=options.seed)
    else:
        print("\n".join([*_text(result), *(f"written: {name}" for name in written)]))
    return 0 if result.status == "ok" else NO_SOLUTION


def _sections(options: Namespace) -> Any:
    """Names asked for, or None for all."""
    return None if options.sections is None else [name.strip() for name in options.sections.split(",")]


def _write(result: Any, page: Any, options: Namespace) -> Any:
    from noseload.pages.page import report_page

    _progress("page")
    html = report_page(result, live=not options.static, sections=_sections(options))
    folder = options.folder
    written = []
    if folder:
        from noseload.output import write_folder
        from noseload.pages.replication import replication_files

        _progress("folder")
        write_folder(folder, replication_files(result, html))
        written.append(folder + os.sep)
    if page:
        write_whole(page, html)
        written.insert(0, f"{page} ({len(html.encode()) / 1e6:.1f} MB, opens anywhere, fetches nothing)")
    return written


def _text(result: Any) -> list[str]:
    first = result.members[0]
    lines = [
        f"{shown_name(first.vehicle.name)}: {len(result.members)} setups, crawl at {result.grade_deg:g} deg, "
        + (f"punch at {result.punch_grade_deg:g} deg" if result.punch_grade_deg is not None else "no punch")
    ]
    if result.comparison is None:
        lines.append(f"  {shown_name(first.name)}: {own_sentence(first.at_grade, first.sweep.limits)}")
    else:
        lines += answer_lines(result.comparison)
    return lines + [f"missing: {item.part}: {item.why}" for item in result.missing]


def _progress(words: str) -> None:
    """One line on a terminal, written over; nothing where errors go to a file."""
    if sys.stderr.isatty():
        print(f"\r\033[K{words + ' ...' if words else ''}", end="", file=sys.stderr, flush=True)
