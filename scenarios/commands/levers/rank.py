"""`noseload rank`: what each number of the vehicle and each whole change buys."""

import sys

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
from noseload.documents import NO_SOLUTION, finite_option, grade, number, table, whole_option, write_csv
from noseload.model.units import grams_of_force
from noseload.studies.levers.rank import PARTS, rank

SUMMARY = "Every number of the vehicle, its setups and its [changes.NAME], ranked by what they buy."
EXAMPLE = "noseload rank my-crawler.toml --grade 50 --by front-load --plot rank.png"
BY = {
    "tip-over": "tip_over_grade_deg",
    "front-load": "front_load_n",
    "tip-over-downhill": "tip_over_downhill_grade_deg",
    "pitch": "nose_up_pitch_deg",
    "punch-limit": "punch_limit_grade_deg",
    "punch-front-load": "punch_front_load_min_n",
    "airborne": "punch_front_airborne_s",
}
PUNCH_WORDS = ("punch-limit", "punch-front-load", "airborne")
STAND_WORDS = {
    "fitted": "links made to fit, springs set to the measured stand",
    "kept": "links and springs kept: the vehicle finds its own stand",
}


def add_arguments(parser):
    """Arguments of this command."""
    add_vehicle(parser)
    parser.add_argument(
        "--grade",
        type=finite_option("a grade", -89.0, 89.0),
        metavar="DEG",
        help="grade of the front axle load (default: 45, or less where the climb ends before)",
    )
    parser.add_argument("--by", choices=tuple(BY), default="tip-over", help="outcome that ranks (tip-over)")
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
        type=finite_option("a grade", -60.0, 80.0),
        metavar="DEG",
        help="grade of the punch (default: a degree and a half below its limit)",
    )
    parser.add_argument(
        "--top",
        type=whole_option("a number of levers", 1, 10_000),
        default=15,
        metavar="N",
        help="levers to print (15)",
    )
    add_workers(parser)
    add_output(parser)


def run(options):
    """Run the command; returns the exit code."""
    check_output(options)
    vehicle = load_chosen(options)
    wanted = options.punch or options.punch_grade is not None or options.by in PUNCH_WORDS
    with workers(options.workers) as executor:
        result = rank(
            vehicle,
            grade_deg=options.grade,
            parts=options.parts,
            by=BY[options.by],
            punch=wanted,
            punch_grade_deg=options.punch_grade,
            executor=executor,
            progress=counter(sys.stderr, "punches of this round"),
        )
    if not result.complete:
        return save_partial("rank", result.to_dict(), options, [vehicle], name=options.csv or options.plot or "rank")
    if options.csv:
        write_csv(options.csv, [item.to_dict() for item in (*result.levers, *result.changes)])
    if options.plot:
        from noseload.pictures.levers.rank import draw_rank
        from noseload.pictures.style import save_figure

        save_figure(draw_rank(result), options.plot)
    if options.json:
        print_json("rank", result.to_dict(), options, [vehicle])
    else:
        print(_text(vehicle, result, options.top))
    return 0 if result.outcomes["tip_over_grade_deg"] is not None or result.status == "ok" else NO_SOLUTION


def _text(vehicle, result, top):
    own = result.outcomes
    lines = [
        heading(vehicle, f"what each change buys, {vehicle.drive.driven_axles} driven"),
        f"now: tips at {grade(own['tip_over_grade_deg'])}, front axle load at {result.grade_deg:g} deg "
        f"{_load(own['front_load_n'])}",
    ]
    if result.message:
        lines.append(result.message)
    lines += ["", f"levers per practical unit ({STAND_WORDS[result.parts]}); * = assumed, not measured"]
    lines.append(
        table(
            ("lever", "unit", "tips later", "by deg", "front axle load up", "by g", "= g at the front wheels"),
            [
                (
                    item.label + ("*" if item.assumed else ""),
                    item.step,
                    *_pair(item, "tip_over_grade_deg", "{:.3f}"),
                    *_pair(item, "front_load_n", "{:.2f}", grams_of_force),
                    _grams(item, result.by, advised=True),
                )
                for item in result.levers[:top]
            ],
            align="<<<><>>",
        )
    )
    if len(result.levers) > top:
        lines.append(f"... and {len(result.levers) - top} more with less effect (--top)")
    if result.changes:
        lines += ["", "setups and whole changes (links and springs kept unless the change says otherwise)"]
        lines.append(
            table(
                ("change", "tip-over deg", "front axle load g", "= g at the front wheels", ""),
                [
                    (
                        item.label,
                        number(item.effects["tip_over_grade_deg"], "+.2f"),
                        _signed_grams(item.effects["front_load_n"]),
                        _grams(item, result.by),
                        item.message if item.status != "ok" or item.effects["front_load_n"] is None else "",
                    )
                    for item in result.changes
                ],
                align="<>>><",
            )
        )
    if result.punch_grade_deg is not None:
        lines += ["", *_punch_lines(result, top)]
    if result.without_effect:
        where = "on a steady crawl" if result.punch_grade_deg is None else "on a crawl and a punch"
        shown = ", ".join(result.without_effect[:3])
        lines += ["", f"without effect {where}: {len(result.without_effect)} numbers ({shown}, ...)"]
    return "\n".join(lines)


def _punch_lines(result, top):
    """The punch: where it ends, and what levers and changes do to it."""
    own, limit = result.outcomes, "punch_limit_grade_deg"
    up = own["punch_front_airborne_s"]
    lines = [
        f"full-throttle punch: the front stays down up to {grade(own[limit])}; at {result.punch_grade_deg:.2f} deg minimum front axle "
        f"load {_load(own['punch_front_load_min_n'])}, airborne {number(up, '.3f')} s"
    ]
    levers = sorted(
        result.levers, key=lambda item: -abs(item.effects[limit] or item.effects["punch_front_load_min_n"] or 0.0)
    )
    rows = [
        (
            item.label + ("*" if item.assumed else ""),
            item.step,
            *_pair(item, limit, "{:.3f}"),
            _signed_grams(item.effects["punch_front_load_min_n"]),
            number(item.effects["punch_front_airborne_s"], "+.4f"),
            _grams(item, limit, advised=True),
        )
        for item in levers[:top]
    ]
    rows += [
        (
            item.label,
            "",
            "",
            number(item.effects[limit], "+.2f"),
            _signed_grams(item.effects["punch_front_load_min_n"]),
            number(item.effects["punch_front_airborne_s"], "+.4f"),
            _grams(item, limit),
        )
        for item in result.changes
    ]
    return [
        *lines,
        table(
            (
                "lever or change",
                "unit",
                "limit later",
                "by deg",
                "minimum load g",
                "airborne s",
                "= g at the front wheels",
            ),
            rows,
            align="<<<>>>>",
        ),
    ]


def _pair(item, name, form, convert=float):
    effect = item.effects[name]
    if not effect:
        return ("-", "-")
    return item.advice[name], form.format(abs(convert(effect)))


def _load(force_n):
    return "-" if force_n is None else f"{grams_of_force(force_n):.0f} g ({force_n:.2f} N)"


def _signed_grams(force_n):
    return "-" if force_n is None else f"{grams_of_force(force_n):+.1f}"


def _grams(item, by, *, advised=False):
    mass = item.equal_front_axle_g[by]
    return "-" if mass is None else f"{abs(mass) if advised else mass:{'.1f' if advised else '+.1f'}}"
