"""`noseload limits`: on which grades a punch lifts the front, comes back, flips; how much throttle keeps it down."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

from noseload.commands.assumed_lines import assumed_motor_lines
from noseload.commands.climb.split_lines import throttle_span, throttle_words
from noseload.commands.common import (
    add_output,
    add_vehicle,
    add_workers,
    check_output,
    counter,
    load_setups,
    print_json,
    save_partial,
    workers,
)
from noseload.documents import finite_option, grade, grade_option, number, outcome_words, table, write_csv
from noseload.model.names import row_name, shown_name
from noseload.studies.punch.largest_throttle import ThrottleSearch
from noseload.studies.punch.limits import STEEPEST_DOWNHILL_DEG, outcome_searches
from noseload.studies.punch.rounds import Search, run_rounds
from noseload.studies.punch.splits_range import Moving
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.punch_limits import change_documents, limit_answers

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.commands.pool import Pool
    from noseload.model.vehicle import Vehicle
    from noseload.studies.punch.largest_throttle import LargestThrottle
    from noseload.studies.punch.limits import OutcomeChange, PunchLimits


SUMMARY = "On which grades a punch lifts the front axle or flips, and the largest throttle that keeps the front down."
EXAMPLE = "noseload limits my-crawler.toml --setups base,raised --throttle 0.8 --plot limits.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser, setup=False)
    add = parser.add_argument
    add("--setups", metavar="A,B", help="setups of the file (default: the file as written)")
    add(
        "--throttle", type=finite_option("a throttle", -1.0, 1.0), default=1.0, metavar="U", help="throttle reached (1)"
    )
    add("--rise", type=finite_option("a time in seconds", 0.0), default=0.05, metavar="S", help="its rise time (0.05)")
    add(
        "--from",
        dest="from_deg",
        type=grade_option(-80.0, 80.0),
        default=STEEPEST_DOWNHILL_DEG,
        metavar="DEG",
        help=f"where the scan starts ({STEEPEST_DOWNHILL_DEG:g}); it ends at tip-over",
    )
    add(
        "--grades",
        nargs="+",
        type=grade_option(-80.0, 89.0),
        metavar="DEG",
        help="grades of the largest throttle (default: up to 1 deg below where the climb ends)",
    )
    add("--wheels", action="store_true", help="in space: the largest throttle that keeps all four wheels down")
    add_workers(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicles = load_setups(options.vehicle, options.setups or "base", drive=options.drive)
    if options.wheels:
        from .wheels_grid import run_wheels_limits

        return run_wheels_limits(options, vehicles)
    with workers(options.workers) as executor:
        limits, throttles, complete = _study(vehicles, options, executor)
    if not complete:
        body = {"members": [one.to_dict() for one in limits], "status": "partial"}
        return save_partial("limits", body, options, vehicles, name=options.csv or options.plot or "limits")
    return _finish(options, vehicles, limits, throttles)


def _study(
    vehicles: list[Vehicle], options: Namespace, executor: Pool | None
) -> tuple[tuple[PunchLimits, ...], tuple[LargestThrottle, ...], bool]:
    """Limits, largest throttles, and whether both were finished."""
    scans = outcome_searches(vehicles, throttle=options.throttle, rise_s=options.rise, from_deg=options.from_deg)
    most = ThrottleSearch(vehicles, grades_deg=options.grades, rise_s=options.rise)
    moving = [Moving(vehicle) for vehicle in vehicles]
    divided = [scan.under_laws(each) for scan, each in zip(scans, moving, strict=True)]
    throttles = [_throttles_under_laws(each, most.grades, options.rise) for each in moving if each.laws]
    searches: list[Search] = [*scans, most, *(search for part in divided for search in part), *throttles]
    complete = True
    try:
        # Side by side: all of them ask for their punches in the same batches.
        run_rounds(searches, executor=executor, progress=counter(sys.stderr, "punches of this round"))
    except KeyboardInterrupt:
        complete = False
    limits, largest = tuple(scan.result() for scan in scans), most.results()
    if complete:
        limits = tuple(
            replace(own, by_law=tuple(search.result() for search in part))
            for own, part in zip(limits, divided, strict=True)
        )
        under = iter(throttles)
        largest = tuple(
            replace(own, by_law=next(under).results()) if each.laws else own
            for own, each in zip(largest, moving, strict=True)
        )
    return limits, largest, complete


def _throttles_under_laws(moving: Moving, grades_deg: list[float], rise_s: float) -> ThrottleSearch:
    under = [moving.under(law) for law in range(len(moving.laws))]
    return ThrottleSearch([moving.vehicle] * len(under), grades_deg=grades_deg, rise_s=rise_s, under=under)


def _finish(options: Namespace, vehicles: list[Vehicle], limits: tuple, throttles: tuple) -> int:
    members = [
        one.to_dict() | {"largest_throttle": most.to_dict()["rows"]}
        for one, most in zip(limits, throttles, strict=True)
    ]
    if options.csv:
        write_csv(options.csv, [{"setup": one["setup"], **row} for one in members for row in one["rows"]])
    if options.plot:
        from noseload.pictures.punch.limits import draw_limits
        from noseload.pictures.style import save_figure

        save_figure(draw_limits(limits, throttles), options.plot)
    if options.json:
        body = {"members": members, "differences": change_documents(limits), "answers": limit_answers(limits)}
        print_json("limits", body | {"status": "ok"}, options, vehicles)
    else:
        answers = limit_answers(limits)
        texts = [_text(v, one, most) for v, one, most in zip(vehicles, limits, throttles, strict=True)]
        print("\n\n".join(["\n".join([*answers, *assumed_motor_lines(vehicles[0])]), *texts]))
    return 0


def _text(vehicle: Vehicle, limits: PunchLimits, most: LargestThrottle) -> str:
    lines = [
        f"{shown_name(vehicle.name)}, {row_name(limits.setup)}: punch to throttle {limits.throttle:g} within {1e3 * limits.rise_s:.0f} ms, "
        f"{vehicle.drive.driven_axles} driven, scanned from {limits.grades_deg[0]:g} deg to tip-over at "
        f"{limits.tip_over_grade_deg:.2f} deg"
    ]
    if not limits.changes:
        lines.append(f"  none: on every grade, {_words(limits.outcomes[0])}")
    else:
        lines.append(f"  up to {grade(limits.changes[0].grade_deg)}: {_words(limits.outcomes[0])}")
        lines += [
            f"  from {grade(c.grade_deg)} (+-{0.5 * c.within_deg:.3f}{_change_span(limits, c)}): {_words(c.above)}"
            for c in limits.changes
        ]
    lines += ["", "largest throttle that keeps the front axle down", _throttle_table(most)]
    return "\n".join(lines)


def _change_span(limits: PunchLimits, change: OutcomeChange) -> str:
    """What the open division of the pull makes of the grade of a change; '' where it does nothing."""
    ends = limits.ends_of(change)
    if ends is None:
        return "; not under every division of the pull"
    return f"; {from_to(*ends, 1)} over divisions of the pull" if ends[0] < ends[1] else ""


def _throttle_table(most: LargestThrottle) -> str:
    """The largest throttle by grade, and what it is over plausible divisions of the pull."""
    rows = [
        (grade(g), number(h, ".3f"), throttle_words(u), throttle_span(ends))
        for g, h, u, ends in zip(most.grades_deg, most.holding, most.throttles, most.ends("throttles"), strict=True)
    ]
    if not most.by_law:
        return table(("grade", "holds the crawl", "largest"), [row[:3] for row in rows])
    return table(("grade", "holds the crawl", "largest", "over divisions of the pull"), rows)


def _words(outcome: str) -> str:
    """An outcome for people, with its name."""
    return f"{outcome_words(outcome)} ({outcome})"
