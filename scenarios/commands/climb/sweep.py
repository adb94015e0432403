"""`noseload sweep`: creep over grade and the grades at which the climb ends."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.commands.assumed_lines import assumed_lines
from noseload.commands.climb.split_lines import load_range_lines, range_document
from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_chosen, print_json
from noseload.commands.how_sure import add_uncertainty, ask, interval_text
from noseload.documents import NO_SOLUTION, finite_option, grade, grade_option, grams, number, table, write_csv
from noseload.model.units import grams_of_force
from noseload.studies.climb.results import LIMIT_TABLE
from noseload.studies.climb.split import kink_ranges, limit_ranges, row_ranges
from noseload.studies.climb.sweep import climb_of, sweep
from noseload.studies.errors.assumed import assumed_that_matter
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.first import assumed_end_sentence, limit_sentence
from noseload.studies.verdict.intervals import from_to, over_divisions
from noseload.studies.wheels.remark import remark_on

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

    import numpy as np

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.results import Creep, Limits
    from noseload.studies.climb.sweep import Sweep


SUMMARY = "Steady crawl over grade, up to the first limit by default, and the grade of every limit."
EXAMPLE = "noseload sweep my-crawler.toml --to 50 --step 5 --csv rows.csv --plot sweep.png"

STEP_DEG, SHOWN_DEG = 1.0, 5.0
"""Step of the rows unless given, and of those that are then printed."""


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser)
    angle = grade_option(-89.0, 89.0)
    parser.add_argument("--from", dest="from_deg", type=angle, default=0.0, metavar="A", help="first grade, deg (0)")
    parser.add_argument("--to", dest="to_deg", type=angle, metavar="B", help="last grade, deg (the first limit)")
    parser.add_argument(
        "--step",
        dest="step_deg",
        type=finite_option("a step", 1e-3, 90.0),
        metavar="S",
        help=f"step, deg ({STEP_DEG:g}; every {SHOWN_DEG:g} deg is printed)",
    )
    parser.add_argument("--all", action="store_true", help="print every row of the table")
    add_uncertainty(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicle = load_chosen(options)
    climb = climb_of(vehicle)
    result = sweep(
        vehicle, from_deg=options.from_deg, to_deg=options.to_deg, step_deg=options.step_deg or STEP_DEG, climb=climb
    )
    middle = next((row.grade_deg for row in result.rows[::-1] if row.front_load_n and row.grade_deg <= 45.0), 0.0)
    sure = ask(options, [vehicle], middle)
    band = () if sure is None else _band(vehicle, result, options)
    assumed = assumed_that_matter(
        [vehicle], lambda v: (climb_of(v[0]).limits.tip_over_grade_deg,), Thresholds().measurable_deg
    )
    remark = remark_on(vehicle)
    spans = [row_ranges(climb, row.grade_deg).get("front_load_n") for row in result.rows]
    loads = row_ranges(climb, middle).get("front_load_n")
    rows = [row.to_dict() | {"front_load_range_n": span} for row, span in zip(result.rows, spans, strict=True)]
    if options.csv:
        write_csv(options.csv, rows)
    if options.plot:
        from noseload.pictures.climb.loads import draw_sweeps
        from noseload.pictures.style import save_figure

        shade = None if sure is None else (*band, sure.setups[0].tip_over_grade_deg)
        save_figure(draw_sweeps([result], band=shade), options.plot)
    if options.json:
        extra: dict[str, Any] = (
            {} if sure is None else {"uncertainty": sure.to_dict() | {"front_load_band": _band_document(*band)}}
        )
        extra["assumed_that_matter"] = [e.to_dict("deg") for e in assumed]
        extra["single_wheels"] = remark.to_dict()
        extra |= {"front_load_range_grade_deg": middle} | range_document(climb, loads)
        extra |= {
            "rows": rows,
            "limit_ranges": limit_ranges(climb),
            "kink_ranges_deg": kink_ranges(climb, result.kinks),
        }
        print_json("sweep", result.to_dict() | extra, options, [vehicle], seed=None if sure is None else sure.seed)
    else:
        said = remark.sentence(result.limits.tip_over_grade_deg)
        print(
            "\n".join(
                [
                    _text(vehicle, result, climb, spans, everything=options.all or options.step_deg is not None),
                    *load_range_lines(climb, loads, where=f" at {middle:.0f} deg"),
                    *([said] if said else []),
                    *assumed_lines(assumed, "deg of tip-over"),
                ]
            )
            + interval_text(sure)
        )
    return NO_SOLUTION if result.status == "no_solution" else 0


def _band(vehicle: Vehicle, result: Sweep, options: Namespace) -> tuple[list[float], np.ndarray]:
    """Grades of the rows and the 95 % limits of the front load there, N."""
    from noseload.studies.errors.uncertainty import front_load_bands

    grades = [row.grade_deg for row in result.rows]
    return grades, front_load_bands(vehicle, grades, draws=min(int(options.draws), 500), seed=options.seed)


def _band_document(grades: Any, limits: Any) -> Any:
    return {"grade_deg": grades, "low_n": limits[0], "high_n": limits[1]}


def limit_lines(limits: Limits, ranges: Mapping[str, tuple[float, float | None]] | None = None) -> list[str]:
    """Text lines of the limits, the first one marked; `ranges` by key: what the open division of the pull makes of them."""
    lines = []
    for limit in LIMIT_TABLE:
        angle = getattr(limits, limit.key)
        if limit.seldom and angle is None:
            continue
        mark = "  <- first" if limit.name == limits.first else ""
        alone = limits.tip_over_grade_deg is None or limit.name.startswith("tip_over")
        missing = "not reached" if alone else "not before tip-over"
        lines.append(
            f"  {limit.long:<44} {missing if angle is None else grade(angle)}{mark}{over_divisions((ranges or {}).get(limit.key))}"
        )
    return lines


def unstable_lines(rows: tuple[Creep, ...]) -> list[str]:
    """A sentence about rows in which the vehicle is in balance and does not stay there."""
    grades = [row.grade_deg for row in rows if row.status == "unstable"]
    if not grades:
        return []
    span = f"{grades[0]:.2f} deg" if len(grades) == 1 else f"{min(grades):.2f} to {max(grades):.2f} deg"
    return [
        f"unstable at {span}: it stays in this attitude only until the slightest push; `noseload modes` tells how fast"
    ]


def _thinned(rows: tuple[Creep, ...]) -> list[int]:
    """Places of rows at whole multiples of the printed step, of those that are not well, and of the last one."""
    last = len(rows) - 1
    return [k for k, row in enumerate(rows) if k == last or row.grade_deg % SHOWN_DEG == 0.0 or row.status != "ok"]


def _kink_lines(climb: Any, result: Sweep) -> list[str]:
    """Where coils go loose and stops are met on the way, each with its least and largest grade over divisions of the pull."""
    if not result.kinks:
        return []
    spans = kink_ranges(climb, result.kinks)
    return [
        "",
        "on the way",
        *(f"  {k.sentence()}{over_divisions(span)}" for k, span in zip(result.kinks, spans, strict=True)),
    ]


def _text(vehicle: Vehicle, result: Sweep, climb: Any, spans: list, *, everything: bool) -> str:
    lines = [
        heading(vehicle, f"steady crawl over grade, {vehicle.drive.driven_axles} driven"),
        " ".join(said for said in (limit_sentence(result.limits), assumed_end_sentence(vehicle, climb)) if said),
        "",
    ]
    shown = range(len(result.rows)) if everything else _thinned(result.rows)
    rows = [
        (
            f"{r.grade_deg:.2f}",
            grams(r.front_load_n),
            number(r.front_load_n),
            grams(r.rear_load_n),
            number(r.rear_load_n),
            number(r.nose_up_pitch_deg),
            number(r.grip_needed),
            r.status,
            "" if span is None else from_to(grams_of_force(span[0]), grams_of_force(span[1]), 0),
        )
        for r, span in ((result.rows[k], spans[k]) for k in shown)
    ]
    header = ("grade deg", "front", "N", "rear", "N", "nose up deg", "grip needed", "status", "front by division")
    count = len(header) if any(spans) else len(header) - 1
    lines.append(table(header[:count], [row[:count] for row in rows]))
    if len(shown) < len(result.rows):
        lines.append(f"--all prints every one of {len(result.rows)} rows.")
    if result.message:
        lines.append(result.message)
    note = next((row.message for row in result.rows if row.message.startswith("rigid")), "")
    lines += unstable_lines(result.rows)
    lines += [
        "",
        "limits",
        *limit_lines(result.limits, limit_ranges(climb)),
        *(f"  {end}" for end in result.ends),
        *_kink_lines(climb, result),
        *([note] if note else []),
    ]
    return "\n".join(lines)
