"""`noseload doubts`: what each thing that the model leaves out is worth for one's own vehicle."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from noseload.commands.common import add_output, add_vehicle, check_output, load_setups, print_json
from noseload.commands.how_sure import DRAWS, SEED
from noseload.demo import DEMO
from noseload.documents import finite_option, seed_option, table
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.studies.errors.doubts import doubts
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from argparse import Namespace

    import numpy as np

    from noseload.commands.parser import Parser
    from noseload.studies.errors.doubts import Doubts


SUMMARY = (
    "What the model leaves out and what nobody measured: worth in grams, degrees and in what a setup changes, ranked."
)
EXAMPLE = "noseload doubts my-crawler.toml --grade 45 --setup raised --plot doubts.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser)
    parser.add_argument(
        "--grade",
        type=finite_option("a grade", 0.0, 89.0),
        metavar="DEG",
        help="grade of the front axle load (default: a few degrees below where the first climb ends)",
    )
    parser.add_argument(
        "--draws",
        type=finite_option("draws", 10, 1e6),
        default=DRAWS,
        metavar="N",
        help=f"draws of the intervals below the table ({DRAWS})",
    )
    parser.add_argument("--seed", type=seed_option, default=SEED, help=f"seed of the draws ({SEED})")
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicles = _vehicles(options)
    result = doubts(vehicles, grade_deg=options.grade, draws=int(options.draws), seed=options.seed)
    if options.csv:
        from noseload.documents import write_csv

        write_csv(options.csv, [row.to_dict() for row in result.rows])
    if options.plot:
        from noseload.pictures.climb.doubts import draw_doubts
        from noseload.pictures.style import save_figure

        save_figure(draw_doubts(result), options.plot)
    if options.json:
        print_json("doubts", result.to_dict(), options, vehicles, seed=options.seed)
    else:
        print(doubts_text(result))
    return 0


def _vehicles(options: Namespace) -> Any:
    """The file as written and the setup asked for; without one the first of the file."""
    file = options.vehicle or DEMO
    base = load_setups(file, "base", drive=options.drive)[0]
    name = options.setup or (base.setups[0] if base.setups else None)
    if name is None or name == "base":
        return [base]
    return [base, *load_setups(file, name, drive=options.drive)]


def doubts_text(result: Doubts) -> str:
    """Lines for people: the table, both parts of the interval, and what to settle first."""
    first, other = result.sure.setups[0], result.sure.setups[1] if len(result.setups) == 2 else None
    carries, tips = _grams(first.front_load_n.value), _degrees(first.tip_over_grade_deg.value)
    plain = f"front axle load {_with(carries, 'g')}, tip-over {_with(tips, 'deg')}"
    lines = [
        f"{shown_name(result.name)}: what the model leaves out, steady crawl at {result.grade_deg:g} deg",
        f"  calculated: {plain}",
    ]
    if other is not None:
        change = other.difference
        lines.append(
            f"  {row_name(other.setup)} less {row_name(first.setup)}: {_with(_grams(change['front_load_n'].value, '+'), 'g')}, "
            f"{_with(_degrees(change['tip_over_grade_deg'].value, '+'), 'deg')}"
        )
    lines += [f"  {why}" for why in result.unsaid]
    lines += ["", "by how much each alone may move these numbers, largest first", _table(result), *_lost(result), ""]
    lines += [*_together(result), ""]
    if result.answered:
        lines += [f"settled by the file, so not among them: {'; '.join(result.answered)}.", ""]
    lines.append("how far each may go, and what would settle it")
    lines += [f"  {k}. {row.words}: {row.range_words}. {_sentence(row.recipe)}" for k, row in enumerate(result.rows, 1)]
    return "\n".join([*lines, *([result.sure.note] if result.sure.note else [])])


def _sentence(words: str) -> str:
    """With a capital and one full stop."""
    return f"{words[:1].upper()}{words[1:].rstrip('.')}."


def _table(result: Doubts) -> Any:
    two = len(result.setups) == 2
    header = ["what", "load, g", "tip-over, deg"]
    header += ["change, g", "change, deg", "own state, g"] if two else []
    rows = []
    for row in result.rows:
        cells = [row.words, _span(row.front_load_n, grams_of_force, 0)]
        cells.append(_span(row.tip_over_grade_deg, float, 2))
        if two:
            cells.append(_span(row.difference.get("front_load_n"), grams_of_force, 1))
            cells.append(_span(row.difference.get("tip_over_grade_deg"), float, 2))
            cells.append(_span(row.own.get("front_load_n"), grams_of_force, 0) if row.own else "")
        rows.append(cells)
    return table(header, rows, align="<" + ">" * (len(header) - 1))


def _lost(result: Doubts) -> list[str]:
    """Why a row has no answer."""
    return [f"  no answer: {row.words}, in part of its range: {row.lost}" for row in result.rows if row.lost]


def _span(worth: Any, convert: Callable, decimals: int) -> str:
    if worth is None or worth.low is None or worth.high is None:
        return "no answer"
    return from_to(convert(worth.low), convert(worth.high), decimals, sign=True)


def _together(result: Doubts) -> Any:
    """Both parts of the interval of load, tip-over and change."""
    first, rows = result.sure.setups[0], []
    items: list[tuple[str, Any, Callable[..., str]]] = [
        ("front axle load, g", first.front_load_n, _grams),
        ("tip-over, deg", first.tip_over_grade_deg, _degrees),
    ]
    if len(result.setups) == 2:
        other = result.sure.setups[1]
        if other.alike:
            items.append(("change, driven up alike, g", other.alike["front_load_n"], _signed_grams))
        items.append(("change, as each stands, g", other.difference["front_load_n"], _signed_grams))
    for words, item, show in items:
        rows.append(
            [words, show(item.value), *(_ends(ends, show, item.value) for ends in (item.measured, item.left_out, item))]
        )
    header = ("95 % intervals", "calculated", "measured", "left out", "together")
    return [table(header, rows, align="<>>>>")]


def _ends(ends: Any, show: Callable[..., str], value: float | None) -> str:
    """An interval, or that it has none because the number itself or an end has no answer."""
    return "none" if None in (value, ends.low, ends.high) else f"{show(ends.low)} to {show(ends.high)}"


def _grams(value: float, sign: str = "") -> str:
    return "none" if value is None else f"{grams_of_force(value):{sign}.0f}"


def _with(number: str, unit: str) -> str:
    return number if number == "none" else f"{number} {unit}"


def _signed_grams(value: float) -> str:
    return "none" if value is None else f"{grams_of_force(value):+z.1f}"


def _degrees(value: float | np.ndarray, sign: str = "") -> Any:
    return "none" if value is None else f"{value:{sign}.2f}"
