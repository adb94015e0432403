"""`noseload lean`: the rigid vehicle on a crooked line or side slope, or with its front axle on a step."""

from typing import Any

from noseload.commands.common import DEMO, add_output, add_vehicle, check_output, heading, print_json
from noseload.documents import NO_SOLUTION, finite_option, grade, load, number, table, write_csv
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.studies.climb.lean import NOTE, TORQUE_TWIST, VERTICAL_FACE, front_step, lean

SUMMARY = (
    "Tip angle of the rigid vehicle over heading (crooked line, side slope); or its front wheels on a parallel step."
)
EXAMPLE = "noseload lean my-crawler.toml --step 15; noseload lean my-crawler.toml --front-step 40 --grade 35"
EDGES = {"rear_axle": "the rear axle", "downhill_side": "the downhill wheels"}


def add_arguments(parser):
    """Arguments of this command."""
    add_vehicle(parser)
    parser.add_argument(
        "--step",
        type=finite_option("a step of heading", 0.1, 90.0),
        default=10.0,
        metavar="DEG",
        help="step of heading from 0 (straight up) to 90 (across), deg (10)",
    )
    parser.add_argument(
        "--front-step",
        type=finite_option("a step", -1000.0, 1000.0),
        metavar="MM",
        help="instead: the front axle stands on a step of this height, parallel to the slope",
    )
    parser.add_argument(
        "--grade",
        type=finite_option("a grade", -80.0, 89.0),
        default=0.0,
        metavar="DEG",
        help="grade for the loads with --front-step (0)",
    )
    parser.add_argument("--vertical-face", action="store_true", help="not answered: says why")
    parser.add_argument("--torque-twist", action="store_true", help="not answered: says why")
    add_output(parser)


def run(options):
    """Run the command; returns the exit code."""
    if options.vertical_face:
        raise ModelError(VERTICAL_FACE)
    if options.torque_twist:
        raise ModelError(TORQUE_TWIST)
    check_output(options)
    vehicle = load_vehicle(options.vehicle or DEMO, setup=options.setup, drive=options.drive)
    stepped = options.front_step is not None
    if stepped and options.plot:
        raise ModelError("--plot draws tip angles over heading; with --front-step use --json or --csv")
    result: Any = (
        front_step(vehicle, step_mm=options.front_step, grade_deg=options.grade)
        if stepped
        else lean(vehicle, step_deg=options.step)
    )
    if options.csv:
        write_csv(options.csv, [result.to_dict()] if stepped else [row.to_dict() for row in result.rows])
    if options.plot:
        from noseload.pictures.climb.lean import draw_lean
        from noseload.pictures.style import save_figure

        # The curves need finer headings than the table.
        save_figure(draw_lean(lean(vehicle, step_deg=1.0)), options.plot)
    if options.json:
        print_json("lean", result.to_dict(), options, [vehicle])
    else:
        print(_step_text(vehicle, result) if stepped else _lean_text(vehicle, result))
    return NO_SOLUTION if stepped and result.front_load_n is None else 0


def _lean_text(vehicle, result):
    rows = [
        (
            f"{r.heading_deg:.1f}",
            grade(r.tip_angle_deg),
            EDGES[r.tips_over],
            number(r.rear_axle_angle_deg),
            number(r.downhill_side_angle_deg),
        )
        for r in result.rows
    ]
    return "\n".join(
        [
            heading(vehicle, "grade at which the rigid vehicle tips, over heading (0 straight up, 90 across)"),
            table(("heading deg", "tips at", "over", "rear axle deg", "side deg"), rows),
            "",
            f"From a heading of {result.change_over_deg:.1f} deg on it goes over its downhill wheels first.",
            NOTE + ".",
        ]
    )


def _step_text(vehicle, result):
    rows = [
        ("nose up by the step, relative to the slope", f"{result.nose_up_pitch_deg:.2f} deg"),
        ("tips at", grade(result.tip_over_grade_deg)),
        ("tips without the step at", grade(result.tip_over_without_step_deg)),
        ("front axle load", load(result.front_load_n)),
        ("front axle load without the step", load(result.front_load_without_step_n)),
        ("rear axle load", load(result.rear_load_n)),
        ("grip needed", number(result.grip_needed)),
    ]
    width = max(len(name) for name, _ in rows)
    where = f"front axle on a parallel step of {result.step_mm:g} mm, slope {grade(result.grade_deg)}"
    lines = [heading(vehicle, where)] + ([] if result.status == "ok" else [f"status: {result.status}"])
    return "\n".join([*lines, *(f"  {name:<{width}}  {value}" for name, value in rows), NOTE + "."])
