"""`noseload sweep`: creep over grade and the grades at which the climb ends."""

from ..documents import NO_SOLUTION, finite_option, grade, grams, number, table, write_csv
from ..studies.sweep import climb_of, sweep
from .common import add_output, add_vehicle, check_output, heading, load_chosen, print_json

SUMMARY = "Creep over grade, up to the first limit by default, and the grade of every limit."
EXAMPLE = "noseload sweep my-crawler.toml --to 50 --step 5 --csv rows.csv --plot sweep.png"
LIMIT_WORDS = (
    ("tip_over_grade_deg", "tip-over (the front axle carries nothing)"),
    ("grip_grade_deg", "grip (the driven axles slide)"),
    ("torque_grade_deg", "torque (the motor stalls)"),
    ("hold_grade_deg", "full throttle needed to keep crawling"),
    ("fold_grade_deg", "fold (it snaps to another attitude)"),
    ("tip_over_downhill_grade_deg", "nose down: the rear axle carries nothing"),
)


def add_arguments(parser):
    """Arguments of this command."""
    add_vehicle(parser)
    angle = finite_option("a grade", -89.0, 89.0)
    parser.add_argument("--from", dest="from_deg", type=angle, default=0.0, metavar="A", help="first grade, deg (0)")
    parser.add_argument("--to", dest="to_deg", type=angle, metavar="B", help="last grade, deg (the first limit)")
    parser.add_argument("--step", dest="step_deg", type=finite_option("a step", 1e-3, 90.0), default=1.0, metavar="S",
                        help="step, deg (1)")
    add_output(parser)


def run(options):
    """Run the command; returns the exit code."""
    check_output(options)
    vehicle = load_chosen(options)
    climb = climb_of(vehicle)
    result = sweep(vehicle, from_deg=options.from_deg, to_deg=options.to_deg, step_deg=options.step_deg, climb=climb)
    if options.csv:
        write_csv(options.csv, [row.to_dict() for row in result.rows])
    if options.plot:
        from ..pictures.loads import draw_sweeps
        from ..pictures.style import save_figure

        save_figure(draw_sweeps([result]), options.plot)
    if options.json:
        print_json("sweep", result.to_dict(), options, [vehicle])
    else:
        print(_text(vehicle, result))
    return NO_SOLUTION if result.status == "no_solution" else 0


def limit_lines(limits):
    """Text lines of the limits, the first one marked."""
    lines = []
    for key, words in LIMIT_WORDS:
        angle = getattr(limits, key)
        mark = "  <- first" if limits.first and key == f"{limits.first}_grade_deg" else ""
        lines.append(f"  {words:<44} {'not before tip-over' if angle is None else grade(angle)}{mark}")
    return lines


def _text(vehicle, result):
    lines = [heading(vehicle, f"steady crawl over grade, {vehicle.drive.driven_axles} driven")]
    rows = [(f"{r.grade_deg:.2f}", grams(r.front_load_n), number(r.front_load_n), grams(r.rear_load_n),
             number(r.rear_load_n), number(r.nose_up_pitch_deg), number(r.grip_needed), r.status) for r in result.rows]
    lines.append(table(("grade deg", "front", "N", "rear", "N", "nose up deg", "grip needed", "status"), rows))
    if result.message:
        lines.append(result.message)
    note = next((row.message for row in result.rows if row.message.startswith("rigid")), "")
    lines += ["", "limits", *limit_lines(result.limits), *([note] if note else [])]
    return "\n".join(lines)
