"""`noseload creep`: one grade, crawling steadily."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING, Any

from noseload.commands.assumed_lines import assumed_lines
from noseload.commands.climb.split_lines import load_range_lines, range_document
from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_chosen, print_json
from noseload.commands.how_sure import add_uncertainty, ask, interval_text
from noseload.documents import NO_SOLUTION, grade, grams, load, number, table, write_csv
from noseload.model.crawl import budget_parts
from noseload.model.file.space import has_space
from noseload.model.units import grams_of_force
from noseload.model.vehicle import ENDS
from noseload.studies.climb.any_climb import climb_of
from noseload.studies.climb.creep import creep
from noseload.studies.climb.split import row_ranges
from noseload.studies.verdict.first import creep_sentence
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle


SUMMARY = "Loads, attitude and link forces at one grade, crawling so slowly that nothing accelerates."
EXAMPLE = "noseload creep my-crawler.toml --grade 45 --setup raised --plot creep.png"

ATTITUDE_NOTE = (
    "Attitude is where links act in a steady crawl, and nowhere else once the standing pose is taken as given; "
    "springs, stops and tyres are in it too."
)


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    from noseload.documents import grade_option

    add_vehicle(parser)
    parser.add_argument(
        "--grade",
        type=grade_option(-89.0, 89.0),
        required=True,
        metavar="DEG",
        help="grade in degrees; positive: nose up the slope",
    )
    add_uncertainty(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicle = load_chosen(options)
    climb = climb_of(vehicle)
    row = climb.row(options.grade)
    sure = ask(options, [vehicle], options.grade)
    solved = row.front_load_n is not None
    assumed = _assumed(vehicle, options.grade) if solved and vehicle.assumed else ()
    ranges = row_ranges(climb, options.grade)
    loads = ranges.get("front_load_n")
    if options.csv:
        write_csv(options.csv, [row.to_dict()])
    if options.plot and solved:
        _draw(options.plot, climb, row, sure)
    if options.json:
        extra: dict[str, Any] = {} if sure is None else {"uncertainty": sure.to_dict()}
        extra["assumed_that_matter"] = [e.to_dict("n") for e in assumed]
        extra |= range_document(climb, loads) | {"ranges_over_splits": ranges}
        print_json("creep", row.to_dict() | extra, options, [vehicle], seed=None if sure is None else sure.seed)
    else:
        print(
            "\n".join(
                [
                    _text(vehicle, row, ranges),
                    *load_range_lines(climb, loads),
                    *_wheel_lines(vehicle, climb, row),
                    *assumed_lines(assumed, "g", grams_of_force(1.0)),
                ]
            )
            + interval_text(sure)
        )
    return 0 if solved else NO_SOLUTION


def _assumed(vehicle: Vehicle, grade_deg: float) -> tuple:
    """Assumed values that move the answer."""
    from noseload.studies.errors.assumed import assumed_that_matter
    from noseload.studies.thresholds import Thresholds

    return assumed_that_matter(
        [vehicle], lambda v: (creep(v[0], grade_deg=grade_deg).front_load_n,), Thresholds().measurable_load_n
    )


def _wheel_lines(vehicle: Vehicle, climb: Any, row: Any) -> list[str]:
    """The wheel that lifts before the side view tips over, where the nose points up."""
    if row.grade_deg < 0.0 or not has_space(vehicle):
        return []
    from noseload.studies.wheels.remark import remark_on

    # Of all limits the tip-over alone: the others take as long again.
    tip = climb.tip_over()
    said = remark_on(vehicle).sentence(None if tip is None else degrees(tip))
    return [said] if said else []


def _draw(path: str, climb: Any, row: Any, sure: Any) -> None:
    from noseload.pictures.climb.creep import draw_creep
    from noseload.pictures.style import save_figure

    interval = None if sure is None else sure.setups[0].front_load_n
    save_figure(draw_creep([(climb, row)], interval), path)


def _number_lines(row: Any, ranges: dict) -> list[str]:
    """Numbers of the crawl, and where geared axles may divide the pull otherwise each with its least and largest."""

    def span(unit: str, decimals: int, *names: str, sign: bool = False, factor: float = 1.0) -> str:
        if not ranges:
            return ""
        ends = [[factor * end for end in ranges[name]] for name in names]
        return " and ".join(f"{from_to(low, high, decimals, sign=sign)} {unit}" for low, high in ends)

    gram = grams_of_force(1.0)
    rows = [
        ("front axle load", load(row.front_load_n), span("g", 0, "front_load_n", factor=gram)),
        ("rear axle load", load(row.rear_load_n), span("g", 0, "rear_load_n", factor=gram)),
        ("nose-up pitch on the slope", f"{row.nose_up_pitch_deg:z.2f} deg", span("deg", 2, "nose_up_pitch_deg")),
        (
            "traction, rear and front",
            f"{row.rear_traction_n:z.2f} N and {row.front_traction_n:z.2f} N",
            span("N", 1, "rear_traction_n", "front_traction_n"),
        ),
        ("grip needed", number(row.grip_needed), ""),
        ("torque at the wheels", f"{row.wheel_torque_n_mm:z.0f} N mm", span("N mm", 0, "wheel_torque_n_mm")),
    ]
    if row.rear_upper_link_n is not None:
        rows += [
            (
                f"{end} links, upper and lower (tension +)",
                f"{getattr(row, f'{end}_upper_link_n'):+z.2f} N and {getattr(row, f'{end}_lower_link_n'):+z.2f} N",
                span("N", 1, f"{end}_upper_link_n", f"{end}_lower_link_n", sign=True),
            )
            for end in ENDS
        ]
        rows.append(
            (
                "shock travel, rear and front (longer +)",
                f"{row.rear_shock_travel_mm:+z.1f} mm and {row.front_shock_travel_mm:+z.1f} mm",
                span("mm", 1, "rear_shock_travel_mm", "front_shock_travel_mm", sign=True),
            )
        )
        rows.append(("stable", "yes" if row.stable else "NO: a small push makes it leave this attitude", ""))
    if ranges:
        rows.insert(0, ("", "", "over divisions of the pull"))
    width, middle = (max(len(cells[k]) for cells in rows) for k in (0, 1))
    return [f"  {name:<{width}}  {value:<{middle}}  {ends}".rstrip() for name, value, ends in rows]


def _text(vehicle: Vehicle, row: Any, ranges: dict) -> str:
    lines = [
        heading(vehicle, f"steady crawl at {grade(row.grade_deg)}, {vehicle.drive.driven_axles} driven"),
        creep_sentence(row),
        "",
    ]
    if row.status != "ok":
        lines.append(f"status: {row.status}" + (f" - {row.message}" if row.message else ""))
    elif row.message:
        lines.append(f"{row.message[0].upper()}{row.message[1:]}.")
    if row.front_load_n is None:
        return "\n".join(lines)
    lines += _number_lines(row, ranges)
    parts = [
        (part.words, grams(row.budget[part.key]), f"{row.budget[part.key]:+z.3f} N")
        for part in budget_parts.told(row.budget, steady=True)
    ]
    parts.append(("front axle load", grams(row.front_load_n), f"{row.front_load_n:+z.3f} N"))
    lines += ["", table(("where the front axle load comes from", "as a scale reads", ""), parts)]
    if row.rear_upper_link_n is not None:
        lines.append(ATTITUDE_NOTE)
    return "\n".join(lines)
