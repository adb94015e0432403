"""`noseload aim`: link ends for a target, and the range of front load that link geometry gives at all."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_chosen, print_json
from noseload.documents import (
    finite_option,
    grade,
    grade_option,
    grams,
    load,
    number,
    seed_option,
    table,
    whole_option,
    write_csv,
)
from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force
from noseload.studies.links.aim import aim_along, aim_holes
from noseload.studies.links.aim_targets import KINDS, Target
from noseload.studies.verdict.first import most_load_sentence
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.links.aim import Aim
    from noseload.studies.links.aim_targets import Outcome


SUMMARY = "Where to put a link end for a target; every position tried is shown with all it does."
EXAMPLE = "noseload aim my-crawler.toml --tip-over 62 --holes 108,80 108,92"
DEFAULT_MOVE = "rear.upper_link.chassis_end_mm"
OVER_DIVISIONS = "over divisions of the pull"
LIMITS = ("reach", "shortest", "longest", "clearance", "separation")


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    parser.usage = "noseload aim [VEHICLE.toml] TARGET [options]"
    add_vehicle(parser)
    _add_targets(parser)
    millimetres = finite_option("a coordinate", -2000.0, 2000.0)
    parser.add_argument("--move", action="append", metavar="KEY", help=f"link end ({DEFAULT_MOVE})")
    parser.add_argument(
        "--holes",
        action="append",
        nargs="+",
        type=_point,
        metavar="H",
        help="mounting holes as x,z in mm; one list a --move",
    )
    parser.add_argument("--along", choices=("x", "z"), default="z", help="without holes: coordinate to solve (z)")
    parser.add_argument("--range", nargs=2, type=millimetres, metavar="MM", help="its range, mm (15 to each side)")
    parser.add_argument(
        "--positions",
        type=whole_option("a number of positions", 2, 1000),
        default=21,
        metavar="N",
        help="positions shown over the range (21)",
    )
    parser.add_argument(
        "--grade", type=grade_option(-80.0, 89.0), metavar="DEG", help="of figures (0), punch (30) and loads (45)"
    )
    parser.add_argument(
        "--throttle", type=finite_option("a throttle", 0.0, 1.0), default=1.0, metavar="U", help="of the punch (1)"
    )
    parser.add_argument(
        "--links", metavar="WORD", choices=("kept", "fitted"), help="link lengths: kept (default) or fitted"
    )
    parser.add_argument(
        "--ride-height", metavar="WORD", choices=("springs_decide", "reset"), help="springs_decide (default) or reset"
    )
    _add_search(parser)
    add_output(parser)


def _add_targets(parser: Parser) -> None:
    targets = parser.add_argument_group("TARGET, one of").add_mutually_exclusive_group(required=True)
    percent = finite_option("a figure", -1000.0, 1000.0)
    targets.add_argument("--anti-squat", type=percent, metavar="PERCENT", help="of the rear axle, as driven")
    targets.add_argument("--anti-lift", type=percent, metavar="PERCENT", help="of the front axle, as driven")
    targets.add_argument("--tip-over", type=grade_option(0.0, 89.0), metavar="DEG", help="tip-over grade")
    targets.add_argument(
        "--front-load", type=finite_option("a load", 0.0, 20000.0), metavar="G", help="front axle load at --grade, g"
    )
    targets.add_argument("--least-squat", action="store_true", help="smallest rear squat in a punch at --grade")
    targets.add_argument(
        "--most-front-load", action="store_true", help="search all link ends: maximum and minimum front axle load"
    )
    targets.add_argument(
        "--latest-wheel-lift", action="store_true", help="search ends, shocks, springs, ratios: latest first lift"
    )
    parser.add_argument("--textbook", action="store_true", help="aim at the textbook figure instead")


def _add_search(parser: Parser) -> None:
    """Options of --most-front-load."""
    parser.add_argument(
        "--limits",
        nargs="+",
        type=_limit,
        default=[],
        metavar="L",
        help="NAME=MM: reach shortest longest clearance separation",
    )
    parser.add_argument("--in-punch", action="store_true", help="search for the minimum load in a punch (a minute)")
    parser.add_argument(
        "--generations",
        type=whole_option("a number of generations", 1, 10_000),
        metavar="N",
        help="length of a plain search, not by slopes (in a punch 8)",
    )
    parser.add_argument("--seed", type=seed_option, default=1, metavar="N", help="of the search (1)")


def _limit(text: str) -> Any:
    import argparse

    name, _, number_ = text.partition("=")
    if name not in LIMITS:
        raise argparse.ArgumentTypeError(
            f"{text!r} is no building limit; write NAME=MM with a name of {', '.join(LIMITS)}"
        )
    return name, finite_option(name, 0.0, 1000.0)(number_)


def _point(text: str) -> tuple[float, float]:
    import argparse

    try:
        x, z = (float(part) for part in text.strip("[]").split(","))
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no mounting hole; write x,z in mm, such as 108,86") from None
    return x, z


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    if options.most_front_load:
        return _run_most(options)
    if options.latest_wheel_lift:
        return _run_latest(options)
    vehicle = load_chosen(options)
    result = _aimed(vehicle, options)
    if options.csv:
        write_csv(options.csv, [_flat(row) for row in result.rows])
    if options.plot:
        from noseload.pictures.links.aim import draw_aim
        from noseload.pictures.style import save_figure

        save_figure(draw_aim(result), options.plot)
    if options.json:
        print_json("aim", result.to_dict(), options, [vehicle])
    else:
        print(_text(vehicle, result))
    return 0


def _aimed(vehicle: Vehicle, options: Namespace) -> Aim:
    words = {
        "grade_deg": options.grade,
        "link_lengths": options.links,
        "ride_height": options.ride_height,
        "throttle": options.throttle,
    }
    keys = [key if key.endswith("_mm") else key + "_mm" for key in options.move or [DEFAULT_MOVE]]
    target = _target(options)
    if options.holes:
        if len(options.holes) != len(keys):
            raise ModelError(
                f"{len(keys)} link ends to move and {len(options.holes)} lists of holes; give one --holes for each --move"
            )
        return aim_holes(vehicle, target, dict(zip(keys, options.holes, strict=True)), **words)
    if len(keys) > 1:
        raise ModelError(
            "one coordinate of one link end can be solved; with more than one --move give --holes for each"
        )
    low, high = options.range or (None, None)
    return aim_along(
        vehicle, target, key=keys[0], axis=options.along, low_mm=low, high_mm=high, positions=options.positions, **words
    )


def _target(options: Namespace) -> Target:
    for kind in ("anti_squat", "anti_lift", "tip_over", "front_load"):
        value = getattr(options, kind)
        if value is not None:
            return Target(f"{kind}_textbook" if options.textbook and kind.startswith("anti") else kind, value)
    return Target("least_squat")


def _flat(row: Any) -> Any:
    document = row.to_dict()
    points = document.pop("points_mm")
    return {f"{key}_{axis}": v for key, point in points.items() for axis, v in zip("xz", point, strict=True)} | document


def _text(vehicle: Vehicle, result: Aim) -> str:
    kind = KINDS[result.target.kind]
    goal = kind.words if result.target.value is None else f"{kind.words} {result.target.value:g} {kind.unit}"
    rows = [_cells("as it is", result.present)]
    rows += [_cells(_places(row), row) for row in result.rows]
    rows += [_cells("-> " + _places(row), row) for row in result.solutions if row not in result.rows]
    header: tuple[str, ...] = (
        "x, z mm",
        "anti-squat %",
        "textbook %",
        "anti-lift %",
        "tips deg",
        "front g",
        "nose up deg",
        "squat mm",
        "status",
    )
    if result.target.kind != "least_squat":
        header, rows = (*header[:7], header[8]), [(*cells[:7], cells[8]) for cells in rows]
    moved = ", ".join(result.rows[0].points_mm)
    where = "standing" if result.grade_deg == 0.0 else f"at {grade(result.grade_deg)}"
    return "\n".join(
        [
            heading(vehicle, f"aim at {goal}, figures and loads {where}"),
            *result.sentences,
            "",
            f"moved: {moved}",
            table(header, rows, align="<" + ">" * (len(header) - 2) + "<"),
        ]
    )


def _places(row: Outcome) -> str:
    return "; ".join(f"{x:.1f}, {z:.1f}" for x, z in row.points_mm.values())


def _cells(name: str, row: Outcome) -> tuple[str, ...]:
    return (
        name,
        number(row.anti_squat_as_driven_percent, ".1f"),
        number(row.anti_squat_textbook_percent, ".1f"),
        number(row.anti_lift_as_driven_percent, ".1f"),
        number(row.tip_over_grade_deg),
        number(row.front_load_g, ".0f"),
        number(row.nose_up_pitch_deg),
        number(row.punch_squat_mm),
        row.status,
    )


# the maximum and the minimum front axle load -----------------------------------------------------------------


def _run_most(options: Namespace) -> int:
    from noseload.studies.links.most_load import BuildingLimits, most_front_load

    vehicle = load_chosen(options)
    limits = BuildingLimits(**dict(options.limits))
    result = most_front_load(
        vehicle,
        grade_deg=45.0 if options.grade is None else options.grade,
        limits=limits,
        seed=options.seed,
        generations=options.generations,
        throttle=options.throttle,
        in_punch=options.in_punch,
        polished=not options.in_punch and options.generations is None,
        progress=_progress(),
    )
    if options.csv:
        write_csv(options.csv, [_flat(extreme) for extreme in (result.present, result.most, result.least)])
    if options.plot:
        from noseload.pictures.links.aim import draw_most_load
        from noseload.pictures.style import save_figure

        save_figure(draw_most_load(result), options.plot)
    if options.json:
        print_json("aim", result.to_dict(), options, [vehicle], seed=options.seed)
    else:
        print(_most_text(vehicle, result))
    return 0


def _run_latest(options: Namespace) -> int:
    from noseload.studies.links.extremes import BuildingLimits
    from noseload.studies.links.latest_lift import latest_wheel_lift

    vehicle = load_chosen(options)
    result = latest_wheel_lift(vehicle, limits=BuildingLimits(**dict(options.limits)), progress=_progress())
    if options.csv:
        rows = [{"group": each.group, **change} for each in result.found for change in each.changes]
        write_csv(options.csv, rows)
    if options.plot:
        from noseload.pictures.links.latest_lift import plot_latest_lift
        from noseload.pictures.style import save_figure

        save_figure(plot_latest_lift(result).figure, options.plot)
    if options.json:
        print_json("aim", result.to_dict(), options, [vehicle])
    else:
        print(_latest_text(vehicle, result))
    return 0


def _latest_text(vehicle: Vehicle, result: Any) -> str:
    from noseload.studies.links.latest_lift import GROUP_WORDS, stop_words
    from noseload.studies.wheels.words import range_words

    rows = [
        (
            GROUP_WORDS[each.group],
            f"{each.lift_deg:.2f}",
            f"{each.lift_deg - result.lift_deg:+.2f}",
            range_words(each.range_deg[0], each.range_deg[1], "deg"),
            f"{each.at_limit} of {len(each.changes)}",
            stop_words(each.stops),
        )
        for each in result.found
    ]
    best = next(each for each in result.found if each.group == "all")
    moved = [(change["name"], f"{change['from']:.2f}", f"{change['to']:.2f}") for change in best.changes]
    lines = [
        heading(vehicle, "the latest lift of the first wheel within limits, steady crawl straight up"),
        result.sentence(),
        "",
        f"Limits: {result.limits_words}.",
        table(
            ("moved", "lift, deg", "later by", "over mismatches", "at a limit", "stops it stands on"),
            rows,
            align="<>><><",
        ),
        f"Stops of the vehicle as it is, as its wheel lifts: {stop_words(result.stops)}.",
        "",
        table(("all of these", "now", "found"), moved, align="<>>"),
        f"Best found in {result.evaluations} vehicles tried: another place may be a little later. Ride height is the same throughout.",
        "Each counts as built exactly so: whether something bends, binds or rubs on the way is not looked at.",
    ]
    return "\n".join(lines)


def _progress() -> Any:
    """Share done on standard error, where that is a terminal."""
    if not sys.stderr.isatty():
        return None

    def show(share: float) -> None:
        end = "\n" if share >= 1.0 else ""
        sys.stderr.write(f"\rsearching: {100 * share:3.0f} %{end}")
        sys.stderr.flush()

    return show


def _sure_lines(result: Any) -> list[str]:
    """How sure the extremes are: where climbs from several places came to rest."""
    if not result.ends_n:
        return ["Another search may find a little more."]
    told = [_starts_words(words, result.ends_n[name]) for name, words in (("most", "maximum"), ("least", "minimum"))]
    return [
        f"{'; '.join(told)}. The more starts come to the same, the surer; no number of starts proves that there is no more."
    ]


def _starts_words(name: str, ends: tuple[float, ...]) -> str:
    """'11 of 32 starts came to the maximum, the next best to 667 g'."""
    from noseload.studies.links.summits import SAME_N

    same = [end for end in ends if abs(end - ends[0]) < SAME_N]
    after = "" if len(same) == len(ends) else f", the next best to {grams_of_force(ends[len(same)]):.1f} g"
    return f"{len(same)} of {len(ends)} starts came to the {name} within {grams_of_force(SAME_N):.2g} g{after}"


def _most_text(vehicle: Vehicle, result: Any) -> str:
    vehicles = (result.present, result.least, result.most)
    rows = [
        (
            "front axle load in the crawl",
            *(load(e.front_load_n) if e.front_load_n is not None else "tipped over" for e in vehicles),
        ),
        *_open_row(tuple(_load_span(e) for e in vehicles)),
        ("nose-up pitch, deg", *(number(e.nose_up_pitch_deg) for e in vehicles)),
        ("its climb ends at, deg", *(_end(e) for e in vehicles)),
        ("punch: minimum front axle load", *(grams(e.punch.get("front_load_min_n")) for e in vehicles)),
        ("punch: front airborne, ms", *(number(_thousand(e.punch.get("front_airborne_s")), ".0f") for e in vehicles)),
        *_open_row(tuple(_airborne_span(e) for e in vehicles)),
        ("punch: outcome", *(str(e.punch.get("outcome") or e.punch.get("status") or "-") for e in vehicles)),
    ]
    for key in result.most.points_mm:
        rows.append((key, *(f"{e.points_mm[key][0]:.1f}, {e.points_mm[key][1]:.1f}" for e in vehicles)))
    lines = [
        heading(vehicle, f"the maximum and the minimum front axle load that links give at {grade(result.grade_deg)}"),
        most_load_sentence(result),
        "",
        f"Building limits: {result.limits.words()}.",
        table(("", "as it is", "minimum found", "maximum found"), rows),
        "",
    ]
    if result.searched == "punch":
        lines.append(
            "Searched for the minimum front axle load of the punch; where the front leaves the ground, for the time it is off it."
        )
    elif result.load_range_n is not None:
        ends = result.load_range_ends_n
        span = "" if ends is None else f", {_gram_span(ends)} {OVER_DIVISIONS}"
        lines.append(
            f"Range found: {grams(result.load_range_n)} ({result.load_range_n:.2f} N{span}) of front axle load"
            + (
                "."
                if result.end_range_deg is None
                else f" and {result.end_range_deg:+.1f} deg of climb, all of it through attitude."
            )
        )
    lines.append(
        f"Best found in {result.evaluations} linkages tried ({result.refused} outside the limits or without a stable crawl), "
        f"seed {result.seed}. Ride height and spring rates are the same throughout."
    )
    lines += _sure_lines(result)
    return "\n".join(lines)


def _open_row(spans: tuple[str, ...]) -> list[tuple[str, ...]]:
    """A row of ranges below the one they belong to; none where nothing is open."""
    return [(f"  {OVER_DIVISIONS}", *spans)] if any(spans) else []


def _load_span(extreme: Any) -> str:
    ends = extreme.front_load_range_n
    return "" if ends is None else _gram_span(ends)


def _gram_span(ends: tuple[float, float]) -> str:
    return f"{from_to(grams_of_force(ends[0]), grams_of_force(ends[1]), 0)} g"


def _airborne_span(extreme: Any) -> str:
    if extreme.punch_range is None:
        return ""
    low, high = extreme.punch_range.front_airborne_s
    return from_to(1e3 * low, 1e3 * high, 0)


def _end(extreme: Any) -> str:
    if extreme.climb_ends_by is None:
        return "-"
    return f"{extreme.climb_ends_grade_deg:.2f} ({extreme.climb_ends_by.replace('_', '-')})"


def _thousand(value: float) -> Any:
    return None if value is None else 1e3 * value
