"""`noseload rank`: what each number of the vehicle and each whole change buys."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from noseload.commands.common import (
    add_output,
    add_vehicle,
    add_workers,
    check_output,
    counter,
    heading,
    load_chosen,
    print_json,
    save_partial,
    workers,
)
from noseload.documents import NO_SOLUTION, grade, grade_option, table, whole_option, write_csv
from noseload.model.errors import ModelError
from noseload.studies.levers.answer import best_changes
from noseload.studies.levers.rank import PARTS, rank
from noseload.studies.verdict.intervals import from_to

from .rank_text import SHOWN, rank_text

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle


SUMMARY = (
    "What would help: changes of the trade, your setups and [changes.NAME], and every number, ranked by what they buy."
)
EXAMPLE = "noseload rank my-crawler.toml --grade 50 --by front-load --plot rank.png"
BY = {
    "tip-over": "tip_over_grade_deg",
    "front-load": "front_load_n",
    "first-lift": "first_wheel_lift_grade_deg",
    "tip-over-downhill": "tip_over_downhill_grade_deg",
    "pitch": "nose_up_pitch_deg",
    "punch-limit": "punch_limit_grade_deg",
    "punch-front-load": "punch_front_load_min_n",
    "airborne": "punch_front_airborne_s",
}
PUNCH_WORDS = ("punch-limit", "punch-front-load", "airborne")


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser)
    parser.add_argument(
        "--grade",
        type=grade_option(-89.0, 89.0),
        metavar="DEG",
        help="grade of the front axle load (default: 45, or less where the climb ends before)",
    )
    parser.add_argument(
        "--by",
        choices=tuple(BY),
        help="outcome that ranks (tip-over; front-load where it slides or stalls before it tips)",
    )
    parser.add_argument(
        "--parts",
        choices=PARTS,
        default="fitted",
        help="fitted: each number as if measured so; kept: the same links and springs (fitted)",
    )
    parser.add_argument(
        "--punch", action="store_true", help="also a full-throttle punch: minimum front axle load, airborne time, limit"
    )
    parser.add_argument(
        "--punch-grade",
        type=grade_option(-60.0, 80.0),
        metavar="DEG",
        help="grade of the punch (default: a degree and a half below its limit)",
    )
    parser.add_argument("--all", action="store_true", help="also every number, by steps of 1 mm, 10 g or 5 %%")
    parser.add_argument(
        "--top",
        type=whole_option("a number of changes", 1, 10_000),
        metavar="N",
        help=f"changes, and with --all numbers, to print ({SHOWN})",
    )
    add_workers(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicle = load_chosen(options)
    wanted = options.punch or options.punch_grade is not None or options.by in PUNCH_WORDS
    if options.by == "first-lift":
        return _rank_wheels(options, vehicle)
    with workers(options.workers) as executor:
        result = rank(
            vehicle,
            grade_deg=options.grade,
            parts=options.parts,
            by=BY[options.by] if options.by else None,
            punch=wanted,
            punch_grade_deg=options.punch_grade,
            intervals=options.top or SHOWN,
            nose_down=bool(options.json or options.csv),
            divided_numbers=bool(options.all or options.json or options.csv),
            executor=executor,
            progress=counter(sys.stderr, "punches of this round"),
        )
    if not result.complete:
        return save_partial("rank", result.to_dict(), options, [vehicle], name=options.csv or options.plot or "rank")
    if options.csv:
        write_csv(options.csv, [item.to_dict() for item in (*result.ready_made, *result.changes, *result.levers)])
    if options.plot:
        from noseload.pictures.levers.rank import draw_rank
        from noseload.pictures.style import save_figure

        save_figure(draw_rank(result), options.plot)
    if options.json:
        print_json("rank", result.to_dict(), options, [vehicle])
    else:
        print(rank_text(vehicle, result, options.top or SHOWN, everything=options.all))
        best = best_changes(result, 1)
        if best:
            options.next_step = (
                f"noseload compare {{file}} --setups {vehicle.setup},{best[0].name}    (the best one, in full)"
            )
    return 0 if result.outcomes["tip_over_grade_deg"] is not None or result.status == "ok" else NO_SOLUTION


def _rank_wheels(options: Namespace, vehicle: Vehicle) -> int:
    """The ranking by the first lift of a single wheel: a study of its own, in space."""
    from noseload.studies.wheels.levers import rank_wheels

    if options.punch or options.parts != PARTS[0]:
        raise ModelError("--by first-lift ranks a steady crawl with links made to fit; leave --punch and --parts out")
    result = rank_wheels(vehicle)
    if options.csv:
        write_csv(options.csv, result.rows)
    if options.plot:
        from noseload.pictures.style import save_figure
        from noseload.pictures.wheels.levers import plot_levers

        save_figure(plot_levers(result).figure, options.plot)
    if options.json:
        print_json("rank", result.to_dict(), options, [vehicle])
    else:
        print(_wheel_text(vehicle, result, options.top or SHOWN))
    return 0


def _wheel_text(vehicle: Vehicle, result: Any, top: float) -> str:
    from noseload.studies.wheels.words import wheel_words

    divided = any(row["change_range_deg"] for row in result.rows)
    rows = [
        (
            row["name"] + ("*" if row["assumed"] else ""),
            row["step"],
            f"{row['change_deg']:+.2f}",
            *([_degrees_span(row["change_range_deg"])] if divided else []),
        )
        for row in result.rows[:top]
    ]
    columns = ("one unit more of", "unit", "lifts later by deg", *(["over divisions of the pull"] if divided else []))
    lines = [
        heading(vehicle, "what moves the first lift of a wheel, straight up, all wheels slipping alike"),
        f"As it is, {wheel_words(result.first_wheel)} lifts at {grade(result.first_wheel_lift_grade_deg)}.",
        "",
        table(columns, rows),
        f"{len(result.rows)} numbers and setups move it, {len(result.idle)} do not.",
    ]
    if result.unsolved:
        lines.append(f"Not solved: {', '.join(result.unsolved)}.")
    if any(row["assumed"] for row in result.rows[:top]):
        lines.append("* assumed, not in the file")
    return "\n".join(lines)


def _degrees_span(ends: list[float] | None) -> str:
    return "" if ends is None else from_to(ends[0], ends[1], 2, sign=True)
