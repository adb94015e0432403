"""`noseload links`: instant centres, swing arms, anti-squat and anti-lift, in a pose and over travel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from noseload.commands.climb.split_lines import figure_lines
from noseload.commands.common import DEMO, add_output, add_vehicle, check_output, heading, load_setups, print_json
from noseload.documents import NO_SOLUTION, flatten, grade, grade_option, grams, number, table, whole_option, write_csv
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.file.space import has_space
from noseload.model.names import row_name
from noseload.model.vehicle import ENDS
from noseload.studies.links.links import NAMES, figures_over_splits, links
from noseload.studies.verdict.first import links_sentence
from noseload.studies.wheels.remark import remark_on

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.links.links import LinkStudy
    from noseload.studies.links.promise import Promise


SUMMARY = "Instant centres, swing arms, anti-squat and anti-lift: two figures side by side, standing or on a grade, and over travel."
EXAMPLE = "noseload links my-crawler.toml --setups all --grade 45 --plot links.png"
KEY = """textbook: all traction on that axle alone, axles without mass, line from the contact point (solid axle).
as driven: this drive's tractions in this pose and the axles' own mass, solid axle. This is the one the springs feel.
Signs: swing arm + toward the other axle, - to the outer side; angles + rising toward the other axle; anti-squat + holds
the rear up, anti-lift + holds the front down, while it drives up or forward; wheel path + outward as the wheel rises;
housing + nose up against the chassis, from the standing pose (the rear pinion rises with it, the front pinion falls)."""
ROWS = (
    ("instant_centre", "instant centre lies"),
    ("instant_centre_mm", "  x from rear contact, height, mm"),
    ("swing_arm_length_mm", "side-view swing arm, mm"),
    ("swing_arm_angle_deg", "  its angle at the wheel centre, deg"),
    ("contact_line_angle_deg", "line from the contact point, deg"),
    ("textbook_percent", "anti-squat | anti-lift, textbook, %"),
    ("as_driven_percent", "anti-squat | anti-lift, as driven, %"),
    ("traction_share", "share of the traction"),
    ("housing_nose_up_deg", "housing nose up since standing, deg"),
    ("wheel_path_outward_deg", "wheel path, outward as it rises, deg"),
    ("motion_ratio", "shock travel per wheel travel"),
    ("wheel_rate_n_per_mm", "spring rate at the wheels, N/mm"),
    ("spring_load_n", "load on the springs at the wheels"),
)
WORDS = {
    "inward": "toward the other axle",
    "outward": "on the outer side",
    "at_infinity": "at infinity (parallel links)",
    "above_contact": "right above the contact",
    "undefined": "nowhere: links in one line",
}


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser, several=True)
    parser.add_argument("--setups", metavar="A,B", help="several setups of one file on one page, or 'all'")
    parser.add_argument(
        "--grade",
        type=grade_option(-80.0, 89.0),
        metavar="DEG",
        help="pose and tractions of a steady crawl at this grade (0: standing; 30 with --promise)",
    )
    parser.add_argument(
        "--promise",
        action="store_true",
        help="instead: does anti-squat keep its promise? Steady crawl for a row of upper-link positions, and a small "
        "throttle step on the level where the file has a motor",
    )
    parser.add_argument(
        "--positions",
        type=whole_option("a number of positions", 2, 1000),
        default=13,
        metavar="N",
        help="with --promise: positions in the row (13)",
    )
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicles = chosen_vehicles(options)
    if options.promise:
        return _run_promise(options, vehicles)
    studies = [links(vehicle, grade_deg=options.grade or 0.0) for vehicle in vehicles]
    solved = [study for study in studies if study.axles]
    if options.csv:
        write_csv(options.csv, list(_csv_rows(studies, vehicles)))
    if options.plot and solved:
        from noseload.pictures.links.links import draw_links
        from noseload.pictures.style import save_figure

        save_figure(draw_links(solved), options.plot)
    ranges = [figures_over_splits(vehicle, study) for vehicle, study in zip(vehicles, studies, strict=True)]
    remarks = [remark_on(vehicle) if has_space(vehicle) else None for vehicle in vehicles]
    if options.json:
        documents = [
            study.to_dict()
            | {"ranges_over_splits": {name: list(ends) for name, ends in found.items()}}
            | {"single_wheels": None if remark is None else remark.to_dict()}
            for study, found, remark in zip(studies, ranges, remarks, strict=True)
        ]
        body = documents[0] if len(documents) == 1 else {"setups": documents, "status": _status(studies)}
        print_json("links", body, options, vehicles)
    else:
        texts = [
            "\n".join([_text(vehicle, study), *figure_lines(vehicle, found)])
            for vehicle, study, found in zip(vehicles, studies, ranges, strict=True)
        ]
        print("\n\n".join([*texts, KEY]))
        for vehicle, remark in zip(vehicles, remarks, strict=True):
            said = "" if remark is None else remark.sentence(None)
            if said:
                print(said if len(vehicles) == 1 else f"{row_name(vehicle.setup)}: {said}")
    return 0 if len(solved) == len(studies) else NO_SOLUTION


def _run_promise(options: Namespace, vehicles: list[Vehicle]) -> int:
    from noseload.studies.links.promise import promise

    if len(vehicles) > 1:
        raise ModelError("--promise follows one vehicle; name one file and at most one --setup")
    result = promise(
        vehicles[0], grade_deg=30.0 if options.grade is None else options.grade, positions=options.positions
    )
    if options.csv:
        write_csv(options.csv, [row.to_dict() for row in result.rows])
    if options.plot:
        from noseload.pictures.links.promise import draw_promise
        from noseload.pictures.style import save_figure

        save_figure(draw_promise(result), options.plot)
    if options.json:
        print_json("links", result.to_dict(), options, vehicles)
    else:
        print(_promise_text(vehicles[0], result))
    return 0


def _promise_text(vehicle: Vehicle, result: Promise) -> str:
    columns = (
        ("height_mm", ".1f"),
        ("anti_squat_textbook_percent", ".0f"),
        ("anti_squat_as_driven_percent", ".0f"),
        ("rear_travel_by_drive_mm", "+.2f"),
        ("pitch_by_drive_deg", "+.2f"),
        ("level_as_driven_percent", ".0f"),
        ("level_rear_travel_mm", "+.2f"),
        ("level_pitch_deg", "+.2f"),
    )
    rows = [[number(getattr(row, name), form) for name, form in columns] for row in result.rows]
    header = (
        "chassis end mm",
        "textbook %",
        "as driven %",
        "rear travel mm",
        "nose up deg",
        "level: as driven %",
        "rear travel mm",
        "nose up deg",
    )
    what = f"does anti-squat keep its promise? Rear upper link moved, crawl at {grade(result.grade_deg)}"
    return "\n".join(
        [
            heading(vehicle, what),
            *result.sentences,
            "",
            f"present height of the chassis end {result.present_height_mm:.1f} mm; each position as if built "
            "so: links fit, springs hold it as measured",
            table(header, rows, align=">" * len(header)),
            "Travel (longer +) and pitch are those the drive adds; level: throttle pushed on gently.",
        ]
    )


def chosen_vehicles(options: Namespace) -> list[Vehicle]:
    """The vehicles of `VEHICLE ... --setup NAME` or `--setups A,B`."""
    files = options.vehicles or [DEMO]
    if not options.setups:
        return [load_vehicle(file, setup=options.setup, drive=options.drive) for file in files]
    if options.setup or len(files) > 1:
        raise ModelError("--setups shows several setups of one file; leave out --setup and further files")
    return load_setups(files[0], options.setups, drive=options.drive)


def _status(studies: Any) -> Any:
    return next((study.status for study in studies if study.status != "ok"), "ok")


def _csv_rows(studies: list[LinkStudy], vehicles: list[Vehicle]) -> Iterator[dict[str, float | str]]:
    for vehicle, study in zip(vehicles, studies, strict=True):
        for end, travel in study.travel.items():
            for row in travel.to_dict("anti")["rows"]:
                yield flatten(
                    {"vehicle": vehicle.name, "setup": study.setup, "grade_deg": study.grade_deg, "axle": end, **row}
                )


def _text(vehicle: Vehicle, study: Any) -> str:
    where = "standing" if study.grade_deg == 0.0 else f"steady crawl at {grade(study.grade_deg)}"
    lines = [heading(vehicle, f"links, {where}, {vehicle.drive.driven_axles} driven"), links_sentence(study), ""]
    if study.status != "ok":
        lines.append(f"status: {study.status} - {study.message}")
    if not study.axles:
        return "\n".join(lines)
    documents = study.to_dict()
    rear, front = ({k.removeprefix(f"{NAMES[end]}_"): v for k, v in documents[end].items()} for end in ENDS)
    rows = [(words, _cell(key, rear[key]), _cell(key, front[key])) for key, words in ROWS]
    lines.append(
        f"centre of gravity {1e3 * study.distance:.1f} mm ahead of the rear contact, {1e3 * study.height:.1f} mm high; "
        f"wheelbase {1e3 * study.wheelbase:.1f} mm; nose up {study.row.nose_up_pitch_deg:.2f} deg on the slope"
    )
    lines += [
        table(("", "rear", "front"), rows),
        "",
        "over the travel, chassis held (from bump to droop; 0 = this pose)",
    ]
    lines.append(_travel_table(study))
    for travel in study.travel.values():
        lines += list(travel.messages)
    return "\n".join(lines)


def _cell(key: str, value: Any) -> str:
    if key == "instant_centre":
        return WORDS[value]
    if key == "instant_centre_mm":
        return "-" if value is None else f"{value[0]:.0f}, {value[1]:.0f}"
    if key == "spring_load_n":
        return "-" if value is None else f"{grams(value)} ({value:.2f} N)"
    if value is None:
        return "infinite" if key == "swing_arm_length_mm" else "-"
    digits = {"motion_ratio": 3, "traction_share": 3, "wheel_rate_n_per_mm": 3, "swing_arm_length_mm": 0}.get(key, 1)
    return f"{value:.{digits}f}"


def _travel_table(study: Any) -> str:
    rows = []
    for end, travel in study.travel.items():
        for d in travel.to_dict("anti")["rows"][:: max(1, (len(travel.rows) - 1) // 4)]:
            percent = [number(d[f"anti_{rule}_percent"], ".0f") for rule in ("textbook", "as_driven")]
            rows.append(
                (
                    end,
                    f"{d['shock_travel_mm']:+.1f}",
                    f"{d['wheel_rise_mm']:+.1f}",
                    f"{d['housing_nose_up_deg']:+.2f}",
                    number(d["wheel_path_outward_deg"], "+.1f"),
                    number(d["swing_arm_length_mm"], ".0f"),
                    *percent,
                )
            )
    return table(
        ("axle", "shock mm", "wheel rise mm", "housing deg", "path deg", "arm mm", "textbook %", "as driven %"), rows
    )
