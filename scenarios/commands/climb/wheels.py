"""`noseload wheels`: single wheels on any heading: which one lifts first, and what the shafts' torque has to do with it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_setups, print_json
from noseload.commands.how_sure import add_uncertainty
from noseload.documents import (
    NO_SOLUTION,
    finite_option,
    grade,
    grade_option,
    grams,
    number,
    signed_load,
    table,
    write_csv,
)
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.names import row_name, shown_name
from noseload.model.vehicle import ENDS
from noseload.studies.wheels.answer import all_headings, sweep_wheels, wheels_answer
from noseload.studies.wheels.sentences import sentence
from noseload.studies.wheels.together import together
from noseload.studies.wheels.words import TWIST_WORDS, WHEEL_WORDS, range_words, side_word, wheel_words

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.space.results import Wheels
    from noseload.studies.wheels.answer import WheelsAnswer


SUMMARY = "Single wheels in a steady crawl: four loads, roll and steer, which wheel lifts first and why."
EXAMPLE = (
    "noseload wheels my-crawler.toml --grade 45; noseload wheels my-crawler.toml --sweep --plot wheels.png; "
    "noseload wheels my-crawler.toml --headings 10"
)
SHOWN_N = 1e-4
"""Parts of the twist smaller than this are not printed."""
SHARED_NOTE = (
    "How geared axles share the pull is not settled by statics; given is what holds where all wheels slip alike, and in "
    "brackets the range over front wheels that roll {first:+g} to {last:+g} % faster than rear ones, on their free or loaded radii."
)
TURNS_NOTE = "drive.shaft_turns is not in the file: clockwise is taken. If your other front wheel lifts first, it is counterclockwise."


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser, several=True, setup=False)
    parser.add_argument(
        "--setups", metavar="A,B", help="these setups of the file side by side ('all'; default: as written)"
    )
    angle = grade_option(-89.0, 89.0)
    parser.add_argument("--grade", type=angle, metavar="DEG", help="one grade, deg (45 unless --sweep or --headings)")
    parser.add_argument(
        "--heading",
        type=finite_option("a heading", -360.0, 360.0),
        default=0.0,
        metavar="DEG",
        help="nose turned left of straight up, deg (0); 90: across, the right side uphill",
    )
    parser.add_argument("--sweep", action="store_true", help="over grade instead, with every limit")
    parser.add_argument(
        "--from", dest="from_deg", type=angle, default=0.0, metavar="A", help="first grade of --sweep (0)"
    )
    parser.add_argument(
        "--to", dest="to_deg", type=angle, metavar="B", help="last grade of --sweep (where it goes over)"
    )
    parser.add_argument(
        "--step",
        dest="step_deg",
        type=finite_option("a step", 1e-3, 90.0),
        default=5.0,
        metavar="S",
        help="its step (5)",
    )
    parser.add_argument(
        "--headings",
        type=finite_option("a step of heading", 1.0, 90.0),
        metavar="DEG",
        help="the first lift all round instead, in steps of this heading",
    )
    parser.add_argument(
        "--mismatch",
        type=finite_option("a mismatch"),
        metavar="PERCENT",
        help="how much faster the front wheels roll than the rear ones (default: all slip alike)",
    )
    parser.add_argument("--shafts", choices=("on", "off"), default="on", help="off: leave the torque of the shafts out")
    parser.add_argument(
        "--block",
        nargs="+",
        action="extend",
        default=[],
        metavar="WHEEL=MM",
        help="a wheel on a block: front_left=20; several may follow",
    )
    add_uncertainty(parser, draws=200)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    if options.sweep and options.headings is not None:
        raise ModelError("--sweep goes over grade, --headings all round; give one of them")
    if options.uncertainty and (options.headings is not None or options.block or options.shafts == "off"):
        raise ModelError(
            "--uncertainty is of the first lift on the plain slope; leave --headings, --block and --shafts off out"
        )
    vehicles = _vehicles(options)
    shared = {"mismatch": options.mismatch, "shafts": options.shafts == "on"}
    if options.headings is not None:
        answers: list[Any] = [all_headings(v, step_deg=options.headings, **shared) for v in vehicles]
    else:
        shared |= {"heading_deg": options.heading, "blocks": _blocks(options.block)}
        if options.sweep:
            path = {"from_deg": options.from_deg, "to_deg": options.to_deg, "step_deg": options.step_deg}
            answers = [sweep_wheels(v, **path, **shared) for v in vehicles]
        else:
            grade_deg = 45.0 if options.grade is None else options.grade
            answers = [wheels_answer(v, grade_deg=grade_deg, **shared) for v in vehicles]
    sure = _how_sure(options, vehicles)
    if options.csv:
        write_csv(options.csv, [{"setup": a.setup, **row} for a in answers for row in _rows(a)])
    if options.plot:
        _draw(options, vehicles, answers)
    if options.json:
        body = answers[0].to_dict()
        if len(answers) > 1:
            body = {"setups": [a.to_dict() for a in answers], "status": body["status"]}
            if options.headings is None and not options.sweep:
                body["together"] = together(answers)
        if sure:
            body["uncertainty"] = [each.to_dict() for each in sure]
        print_json("wheels", body, options, vehicles, seed=options.seed if sure else None)
    else:
        print(_text(options, vehicles, answers) + _sure_text(sure))
    missing = options.headings is None and not options.sweep and any(a.row.front_left_load_n is None for a in answers)
    return NO_SOLUTION if missing else 0


def _how_sure(options: Namespace, vehicles: list[Vehicle]) -> list:
    """Intervals of the first lift, one a vehicle; none unless asked for."""
    if not options.uncertainty:
        return []
    from noseload.studies.wheels.lift_uncertainty import lift_uncertainty

    words = {"heading_deg": options.heading, "draws": int(options.draws), "seed": options.seed}
    return [lift_uncertainty(vehicle, **words) for vehicle in vehicles]


def _sure_text(sure: list) -> str:
    if not sure:
        return ""
    lines = ["", "", f"how sure: 95 % intervals of {sure[0].draws} draws, seed {sure[0].seed}"]
    lines += [f"{row_name(each.setup)}: {each.sentence()}" for each in sure]
    rows = [
        (item["source"], item["limit"], f"{100 * item['share']:.0f} %", item["recipe"])
        for item in sure[0].improve_first
    ]
    if rows:
        lines += ["", table(("measure again first", "known to", "share", "how"), rows, align="<<><")]
    return "\n".join(lines)


def _vehicles(options: Namespace) -> list[Vehicle]:
    if len(options.vehicles) > 1:
        if options.setups:
            raise ModelError("--setups names setups of one file; give one file, or leave --setups out")
        return [load_vehicle(file, drive=options.drive) for file in options.vehicles]
    file = options.vehicles[0] if options.vehicles else None
    return load_setups(file, options.setups or "base", drive=options.drive)


def _blocks(words: list[str]) -> dict[str, float]:
    found = {}
    for word in words:
        name, equals, height = word.partition("=")
        try:
            found[name] = float(height)
        except ValueError:
            equals = ""
        if not equals:
            raise ModelError(
                f"--block {word}: write WHEEL=MM, such as front_left=20; wheels are {', '.join(WHEEL_WORDS)}"
            )
    return found


def _rows(answer: Any) -> Any:
    if hasattr(answer, "row"):
        return [answer.row.to_dict()]
    rows = answer.to_dict()["rows"]
    for row in rows:
        if "first_wheel_lift_range_deg" in row:
            row["first_wheel_lift_low_deg"], row["first_wheel_lift_high_deg"] = row.pop("first_wheel_lift_range_deg")
    return rows


def _draw(options: Namespace, vehicles: list, answers: list) -> None:
    from noseload.pictures.style import save_figure

    if options.headings is not None:
        from noseload.pictures.wheels.grades import draw_headings

        # The curve needs finer headings than the table.
        step, same = min(options.headings, 5.0), {"mismatch": options.mismatch, "shafts": options.shafts == "on"}
        fine = answers if step == options.headings else [all_headings(v, step_deg=step, **same) for v in vehicles]
        save_figure(draw_headings(fine), options.plot)
    elif options.sweep:
        from noseload.pictures.wheels.grades import draw_wheel_sweeps

        path = {"from_deg": options.from_deg, "to_deg": options.to_deg, "step_deg": min(options.step_deg, 1.0)}
        rest: dict[str, Any] = {
            "mismatch": options.mismatch,
            "shafts": options.shafts == "on",
            "heading_deg": options.heading,
        }
        rest["blocks"] = _blocks(options.block)
        fine = [sweep_wheels(v, **path, **rest, lifts=True) for v in vehicles]
        save_figure(draw_wheel_sweeps(fine), options.plot)
    else:
        from noseload.pictures.wheels.stance import draw_stances

        drawn = [a for a in answers if not a.nothing_to_draw()]
        if not drawn:
            raise ModelError(f"--plot: {answers[0].nothing_to_draw()}")
        save_figure(draw_stances(drawn), options.plot)


# --- text


def _text(options: Namespace, vehicles: list[Vehicle], answers: list[WheelsAnswer]) -> str:
    if options.headings is not None:
        return "\n\n".join(_headings_text(v, a) for v, a in zip(vehicles, answers, strict=True))
    if options.sweep:
        return "\n\n".join(_sweep_text(v, a) for v, a in zip(vehicles, answers, strict=True))
    parts = [_answer_text(v, a) for v, a in zip(vehicles, answers, strict=True)] if len(answers) == 1 else []
    if len(answers) > 1:
        parts.append(_beside(vehicles, answers))
    notes = _notes(vehicles[0], answers[0])
    return "\n".join([*parts, *([""] if notes else []), *notes])


def _where(row: Wheels) -> str:
    turned = "" if not row.heading_deg else f", heading {row.heading_deg:g} deg"
    return f"{grade(row.grade_deg)}{turned}"


def _answer_text(vehicle: Vehicle, answer: Any) -> str:
    row = answer.row
    lines = [heading(vehicle, f"four wheels at {_where(row)}, {vehicle.drive.driven_axles} driven"), sentence(answer)]
    if row.status != "ok":
        lines.append(f"status: {row.status}" + (f" - {row.message}" if row.message else ""))
    if row.front_left_load_n is None:
        return "\n".join(lines)
    lines += ["", _wheel_table(answer), "", *_pose_lines(answer)]
    if any(abs(value or 0.0) > SHOWN_N for value in row.twist_budget.values()):
        lines += ["", _twist_table(row)]
    return "\n".join(lines)


def _ranged(answer: Any, key: str, scale: Any = grams) -> str:
    value = scale(getattr(answer.row, key))
    if key not in answer.ranges:
        return value
    low, high = (scale(edge).removesuffix(" g") for edge in answer.ranges[key])
    return f"{value} ({low} to {high})"


def _wheel_table(answer: Any) -> Any:
    row = answer.row
    rows = []
    for end in ("front", "rear"):
        left, right = getattr(row, f"{end}_left_load_n"), getattr(row, f"{end}_right_load_n")
        rows.append(
            (
                end,
                _ranged(answer, f"{end}_left_load_n"),
                _ranged(answer, f"{end}_right_load_n"),
                grams(left + right),
                signed_load(left - right),
            )
        )
    return table(("wheels", "left", "right", "both", "left less right"), rows)


def _pose_lines(answer: Any) -> list[str]:
    row = answer.row
    rows = [("chassis leans", side_word(row.chassis_roll_deg)), ("nose-up pitch", f"{row.nose_up_pitch_deg:z.2f} deg")]
    if row.front_axle_roll_deg is not None:
        ends = [(row.chassis_roll_deg + getattr(row, f"{end}_axle_roll_deg")) for end in ENDS]
        rows += [
            ("axles lean, rear and front", " and ".join(side_word(angle) for angle in ends)),
            ("axles steer, rear and front", f"{row.rear_steer_deg:+z.2f} and {row.front_steer_deg:+z.2f} deg (left +)"),
            (
                "torque of the shafts, rear and front",
                f"{row.rear_shaft_torque_n_mm or 0.0:z.0f} and {row.front_shaft_torque_n_mm or 0.0:z.0f} N mm",
            ),
            ("stable", "yes" if row.stable else "NO: a small push makes it leave this attitude"),
        ]
    rows.append(("grip needed by one wheel", number(row.grip_needed)))
    if row.front_share is not None and answer.vehicle.drive.driven_axles == "both":
        spread = answer.ranges.get("front_share")
        # Without a pull to share the shares of axles that work against each other mean nothing.
        said = spread is not None and -1.0 <= spread[0] and spread[1] <= 2.0
        between = "" if not said else f" ({100 * spread[0]:.0f} to {100 * spread[1]:.0f} %)"
        rows.append(("front wheels pull", f"{100 * row.front_share:.0f} %{between} of it all"))
    width = max(len(name) for name, _ in rows)
    return [f"  {name:<{width}}  {value}" for name, value in rows]


def _twist_table(row: Any) -> Any:
    parts = [
        (TWIST_WORDS[key], f"{grams(value)}", f"{value:+z.3f} N")
        for key, value in row.twist_budget.items()
        if value is not None and abs(value) > SHOWN_N
    ]
    parts.append(("half of front left less front right", grams(row.twist_n), f"{row.twist_n:+z.3f} N"))
    return table(("where the twist of the front axle comes from", "as a scale reads", ""), parts)


def _beside(vehicles: list[Vehicle], answers: list[WheelsAnswer]) -> str:
    rows = []
    for vehicle, row, answer in zip(vehicles, together(answers), answers, strict=True):
        low, high = row["first_wheel_lift_range_deg"]
        lift, change = row["first_wheel_lift_grade_deg"], row["first_wheel_lift_change_deg"]
        rows.append(
            (
                shown_name(vehicle.name) if len({v.name for v in vehicles}) > 1 else row_name(vehicle.setup),
                grams(answer.row.front_left_load_n),
                grams(answer.row.front_right_load_n),
                "-" if row["twist_n"] is None else f"{row['twist_n'] * 101.9716:+z.0f} g",
                "-" if row["chassis_roll_deg"] is None else f"{row['chassis_roll_deg']:+z.1f}",
                "-" if lift is None else f"{lift:.1f}",
                range_words(low, high, "").strip() or "-",
                "-" if change is None else f"{change:+z.1f}",
                wheel_words(row["first_wheel"]).removeprefix("the "),
            )
        )
    names = ("", "front left", "front right", "twist", "roll deg", "lifts deg", "from to", "change", "which")
    first = answers[0].row
    lines = [heading(vehicles[0], f"four wheels at {_where(first)}, side by side"), table(names, rows)]
    lines += ["", *(f"{row_name(v.setup)}: {sentence(a)}" for v, a in zip(vehicles, answers, strict=True))]
    return "\n".join(lines)


def _sweep_text(vehicle: Vehicle, answer: Any) -> str:
    rows = [
        (
            f"{r.grade_deg:.2f}",
            grams(r.front_left_load_n),
            grams(r.front_right_load_n),
            grams(r.rear_left_load_n),
            grams(r.rear_right_load_n),
            "-" if r.chassis_roll_deg is None else f"{r.chassis_roll_deg:+z.1f}",
            number(r.grip_needed),
            r.status,
        )
        for r in answer.rows
    ]
    course = "" if not answer.heading_deg else f", heading {answer.heading_deg:g} deg"
    names = ("grade deg", "front left", "right", "rear left", "right", "roll deg", "grip needed", "status")
    return "\n".join(
        [
            heading(vehicle, f"four wheels over grade{course}, {vehicle.drive.driven_axles} driven"),
            sentence(answer),
            "",
            table(names, rows),
            "",
            *limit_lines(answer.limits),
            *_notes(vehicle, answer),
        ]
    )


def limit_lines(limits: Any) -> Any:
    """Text lines of the limits in space, the first one marked."""
    from noseload.studies.wheels.words import LIMIT_WORDS

    lines = ["limits"]
    for name, words in LIMIT_WORDS.items():
        angle = getattr(limits, f"{name}_grade_deg")
        said = f"{wheel_words(limits.first_wheel).removeprefix('the ')} lifts" if name == "first_wheel_lift" else words
        mark = "  <- first" if name == limits.first else ""
        snap = limits.fold_grade_deg
        if angle is not None and snap is not None and angle < snap - 1e-9 and name in ("tip_over", "over_sideways"):
            lines.append(f"  {said:<34} falls there from the snap")
            continue
        lines.append(f"  {said:<34} {'not reached' if angle is None else grade(angle)}{mark}")
    return lines


def _headings_text(vehicle: Vehicle, answer: Any) -> str:
    rows = [
        (
            f"{row['heading_deg']:.0f}",
            "-" if row["first_wheel_lift_grade_deg"] is None else f"{row['first_wheel_lift_grade_deg']:.1f}",
            "-"
            if row["first_wheel_lift_range_deg"][0] is None
            else "{:.1f} to {:.1f}".format(*row["first_wheel_lift_range_deg"]),
            wheel_words(row["first_wheel"]).removeprefix("the "),
            "-" if row["over_grade_deg"] is None else f"{row['over_grade_deg']:.1f}",
        )
        for row in answer.to_dict()["rows"]
    ]
    return "\n".join(
        [
            heading(
                vehicle,
                "the first wheel to lift, by heading (0 straight up, 90 the nose turned left: the right side uphill)",
            ),
            table(("heading deg", "lifts deg", "from to", "which", "goes over deg"), rows),
            *_range_note(answer.mismatches_percent),
        ]
    )


def _range_note(percents: tuple) -> list[str]:
    """What the ranges are over, where there are any."""
    return [SHARED_NOTE.format(first=min(percents), last=max(percents))] if percents else []


def _notes(vehicle: Vehicle, answer: WheelsAnswer) -> list[str]:
    notes = _range_note(answer.mismatches_percent)
    if vehicle.level == "A":
        from noseload.studies.wheels.rigid import RIGID_NOTE

        notes.append(RIGID_NOTE[0].upper() + RIGID_NOTE[1:] + ".")
    elif answer.without_shafts is not None and not _shaft_turns_given(vehicle):
        notes.append(TURNS_NOTE)
    return notes


def _shaft_turns_given(vehicle: Vehicle) -> bool:
    document = vehicle.document
    return any("shaft_turns" in document.get(table, {}) for table in ("drive", "rear", "front"))
