"""`noseload sheet`: the measuring order as a page to print."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from noseload.commands.paths import add_overwrite, writes, writes_into
from noseload.model.errors import ModelError

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser


SUMMARY = """The measuring order as A4 pages to print: drawings with dimensions, a box for every number of the
chosen level, tables for readings, cautions.

Level A: ruler and scale (rigid loads, tip-over); B: links and springs too (attitude, setups);
C: damping, inertia, grip and motor too (punch)."""
EXAMPLE = "noseload sheet --level B --output measuring-sheet.pdf"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    parser.add_argument("--level", choices=("A", "B", "C"), default="B", help="how much is measured (B)")
    parser.add_argument(
        "--output",
        type=writes("--output"),
        metavar="FILE",
        default="measuring-sheet.pdf",
        help=".pdf (all pages), or .svg (one file for each page) (measuring-sheet.pdf)",
    )
    parser.add_argument(
        "--pictures", type=writes_into("--pictures"), metavar="FOLDER", help="also its drawings alone, one PNG each"
    )
    add_overwrite(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    if not options.output.lower().endswith((".pdf", ".svg")):
        raise ModelError(
            f"--output {options.output}: the sheet is written as .pdf or .svg; choose one of these endings"
        )
    from noseload.pictures.measuring.sheet import save_arrangements, save_sheet
    from noseload.studies.measuring.sheet import sheet_pages

    pages = sheet_pages(options.level)
    print(f"measuring sheet, level {options.level}: {', '.join(save_sheet(pages, options.output))}")
    if options.pictures:
        names = save_arrangements(pages, options.pictures)
        print(f"its drawings in {options.pictures}{os.sep}: {', '.join(names)}")
    return 0
