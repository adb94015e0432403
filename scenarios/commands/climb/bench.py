"""`noseload bench`: rear wheels held on the level, motor torque raised until the front axle is free."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from noseload.commands.assumed_lines import assumed_lines
from noseload.commands.common import add_output, add_vehicle, check_output, load_setups, print_json
from noseload.commands.paths import reads
from noseload.documents import NO_SOLUTION, finite_option, grams, number, table, write_csv
from noseload.model.crawl.budget_parts import BENCH_PARTS
from noseload.model.errors import ModelError
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.model.vehicle import ENDS
from noseload.studies.bench.bench import bench_path, compare_bench, with_gears_open
from noseload.studies.climb.split import PLAUSIBLE_PERCENT
from noseload.studies.errors.assumed import assumed_that_matter
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.first import assumed_stall, bench_sentence
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.bench.bench import Bench, BenchComparison
    from noseload.studies.bench.path import BenchRow


SUMMARY = """Held-wheel bench: level floor, rear wheels clamped so that they cannot turn, front axle on a scale,
motor torque raised slowly until the front is free. Needs no torque sensor: the scale tells it.

CAUTION: stall a second at most, then let the motor cool (burns, fire); the vehicle jumps when the
clamp slips: strap as a slack catch over it, eye protection, fingers out of links, gears and wheels."""
EXAMPLE = "noseload bench my-crawler.toml --front free --setups base,raised --plot bench.png"
LEAST_PULL_N = 0.05
"""A smaller drag rounds to none."""
WHEELS = {"free": "front wheels free (shaft out, or on rollers)", "geared": "front wheels on the floor, geared in"}


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser, setup=False)
    parser.add_argument(
        "--front",
        choices=("free", "geared"),
        help="front wheels: shaft out or on rollers; or on the floor, geared to the motor",
    )
    parser.add_argument(
        "--wheels",
        action="store_true",
        help="four scales too: which front wheel is free first, and the snap (front wheels free)",
    )
    parser.add_argument(
        "--shafts", choices=("on", "off"), default="on", help="--wheels: off leaves the shafts' torque out"
    )
    parser.add_argument(
        "--setups", metavar="A,B", help="setups, the first as reference; 'all' (default: the file as written)"
    )
    parser.add_argument(
        "--play",
        type=finite_option("a play", 0.0),
        default=0.0,
        metavar="MM",
        help="geared: way of a front tread by hand, rear wheels held (0)",
    )
    parser.add_argument(
        "--step",
        type=finite_option("a step", 1.0),
        default=500.0,
        metavar="N_MM",
        help="step of the torque, N mm (500)",
    )
    parser.add_argument(
        "--torque",
        type=finite_option("a torque", 0.0),
        metavar="N_MM",
        help="torque of the free bodies drawn (default: half of that at lift)",
    )
    parser.add_argument(
        "--readings",
        type=reads("--readings"),
        metavar="FILE",
        help="CSV or TOML of readings on such a bench to hold against it",
    )
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicles = load_setups(options.vehicle, options.setups or "base", drive=options.drive)
    front = _front(options, vehicles[0])
    result = compare_bench(vehicles, front=front, play_mm=options.play, step_n_mm=options.step)
    members = zip(result.members, vehicles, strict=True)
    result = replace(result, members=tuple(with_gears_open(m, v, play_mm=options.play) for m, v in members))
    single = _single_wheels(options, vehicles)
    first = result.members[0]
    readings = None
    if options.readings:
        from noseload.studies.bench.readings import compare_bench_readings

        readings = compare_bench_readings(options.readings, first)
    assumed = _assumed(vehicles[0], front, options.play, first)
    body = result.to_dict() | {
        "front": front,
        "play_mm": options.play,
        "assumed_that_matter": [e.to_dict("n_mm") for e in assumed],
    }
    body |= {} if readings is None else {"readings": readings.to_dict()}
    body |= _single_keys(single)
    drawn = _drawn_row(options, first) if options.plot else None
    if options.csv:
        write_csv(options.csv, [row for m in result.members for row in m.row_documents()])
    if options.plot:
        from noseload.pictures.climb.bench import draw_bench
        from noseload.pictures.style import save_figure

        # Drawn finer than printed: stops make corners.
        top = max(row.torque_n_mm for row in first.rows)
        fine = compare_bench(
            vehicles, front=front, play_mm=options.play, step_n_mm=min(options.step, max(1.0, top / 80))
        )
        save_figure(
            draw_bench(fine, drawn, readings) if not single else _single_figure(options, vehicles), options.plot
        )
    if options.json:
        print_json("bench", body, options, vehicles)
    else:
        lines = [
            _text(vehicles[0], result, front, options.play),
            *assumed_lines(assumed, "N mm at lift"),
            *_readings_text(readings),
            *_single_text(single),
        ]
        print("\n".join(lines))
    return 0 if body["status"] == "ok" else NO_SOLUTION


def _single_wheels(options: Namespace, vehicles: list[Vehicle]) -> tuple:
    """The same bench on four scales, one a setup; none unless asked for."""
    if not options.wheels:
        return ()
    from noseload.studies.space.bench import bench_wheels

    return tuple(bench_wheels(v, shafts=options.shafts == "on", step_n_mm=options.step) for v in vehicles)


def _single_keys(single: tuple) -> dict:
    if not single:
        return {}
    first = single[0].to_dict()
    keys = ("first_wheel", "first_wheel_torque_n_mm", "axle_free_torque_n_mm")
    failed = {} if all(each.status == "ok" for each in single) else {"status": "no_solution"}
    return {key: first[key] for key in keys} | {"wheels": [each.to_dict() for each in single]} | failed


def _single_figure(options: Namespace, vehicles: Sequence[Vehicle]) -> Any:
    from noseload.pictures.wheels.bench import draw_bench_wheels
    from noseload.studies.space.bench import bench_wheels

    fine = [bench_wheels(v, shafts=options.shafts == "on", step_n_mm=min(options.step, 50.0)) for v in vehicles]
    return draw_bench_wheels(fine)


def _single_text(single: tuple) -> list[str]:
    if not single:
        return []
    from .bench_wheels_text import bench_wheels_text

    return ["", bench_wheels_text(single)]


def _front(options: Namespace, vehicle: Vehicle) -> str:
    """Where both axles are driven it has to be said how the front wheels stand."""
    if options.wheels and options.front == "geared":
        raise ModelError("--wheels reads four scales with the front wheels free to roll; leave --front geared out")
    if options.wheels:
        return "free"
    if options.front is None and vehicle.drive.driven_axles == "both":
        raise ModelError(
            f"{vehicle.name}: both axles are driven; say how the front wheels stand:\n  --front free    front shaft out, or front wheels "
            "on rollers: nothing pulls them\n  --front geared  on the floor and geared to the same motor: they drag on the floor, forward or back"
        )
    return options.front or "free"


def _assumed(vehicle: Vehicle, front: str, play: float, first: Bench) -> tuple:
    if first.lift is None:
        return ()

    def answer(vehicles: Sequence[Vehicle]) -> Any:
        lift = bench_path(vehicles[0], front=front, play_mm=play).lift
        return (None if lift is None else lift.torque_n_mm,)

    return assumed_that_matter([vehicle], answer, Thresholds().measurable_load_n * first.rows[0].wheelbase_mm)


def _drawn_row(options: Namespace, first: Bench) -> BenchRow:
    top = first.lift.torque_n_mm if first.lift is not None else first.rows[-1].torque_n_mm
    row = first.path.row(0.5 * top if options.torque is None else options.torque)
    if row.front_load_n is None:
        raise ModelError(f"--torque {row.torque_n_mm:.0f} N mm: nothing to draw there: {row.message}")
    return row


def _text(vehicle: Vehicle, result: BenchComparison, front: str, play: float) -> str:
    first = result.members[0]
    extra = f", play {play:g} mm at the tread" if play else ""
    lines = [f"{shown_name(vehicle.name)}: held-wheel bench, level floor, rear wheels clamped, {WHEELS[front]}{extra}"]
    lines += [f"  {bench_sentence(member, assumed_stall(vehicle))}" for member in result.members]
    if first.rows[0].message:
        lines.append(first.rows[0].message)
    lines += ["", f"{row_name(first.setup)}: until the front is free", _row_table(first)]
    if front == "geared":
        lines += ["", *_geared_lines(first)]
    lines += ["", _lift_table(result), ""]
    lines += [_motor_line(first, vehicle), *_scale_lines(first), *_turn_lines(first)]
    lines += [f"{row_name(m.setup)}: {m.message}" for m in result.members if m.message]
    for member in result.members:
        if member.fold_torque_n_mm is not None:
            lines.append(
                f"{row_name(member.setup)}: at {member.fold_torque_n_mm:.0f} N mm it would snap to another attitude (fold)."
            )
    for difference in result.differences:
        lines += ["", difference.verdict]
    lines += ["", _budget_table(first)]
    return "\n".join(lines)


def _row_table(bench: Bench) -> str:
    rows = []
    for row in bench.rows:
        links = [number(getattr(row, f"{end}_{link}_link_n"), "+.1f") for end in ENDS for link in ("upper", "lower")]
        rows.append(
            (
                f"{row.torque_n_mm:.0f}",
                grams(row.front_load_n),
                number(row.torque_from_scale_n_mm, ".0f"),
                number(row.nose_up_pitch_deg),
                number(row.rear_shock_travel_mm, "+.1f"),
                number(row.front_shock_travel_mm, "+.1f"),
                *links,
                row.status if row.status != "ok" else {"free": "", None: ""}.get(row.front_wheels, row.front_wheels),
            )
        )
    head = (
        "torque",
        "front",
        "by scale",
        "nose up",
        "rear",
        "front",
        "rear upper",
        "lower",
        "front upper",
        "lower",
        "",
    )
    units = ("N mm", "scale", "N mm", "deg", "mm", "mm", "N", "N", "N", "N", "")
    return table(head, [units, *rows], align=">>>>>>>>>><") + "\n(travel: longer +; links: tension +, compression -)"


def _lift_table(result: BenchComparison) -> str:
    rows = []
    for m in result.members:
        at = m.lift
        if at is None:
            rows.append((row_name(m.setup), "not found", "", "", "", ""))
            continue
        rows.append(
            (
                row_name(m.setup),
                f"{at.torque_n_mm:.1f}",
                f"{m.weight_times_distance_n_mm:.1f}",
                number(at.centre_of_gravity_mm, ".1f"),
                number(at.nose_up_pitch_deg),
                f"{100 * m.throttle_at_lift:.0f} %",
            )
        )
    return table(("front free at", "torque, N mm", "W b there, N mm", "b, mm", "nose up, deg", "of stall"), rows)


def _motor_line(bench: Any, vehicle: Vehicle) -> str:
    stall = f"{bench.stall_torque_n_mm:.0f} N mm"
    guess = assumed_stall(vehicle)
    known = "" if guess is None else f" (assumed, {guess.low:g} to {guess.high:g}: measure it before you count on this)"
    if bench.reached is None:
        return f"motor: stall torque {stall}{known}; no torque at lift to hold it against."
    if bench.reached:
        return (
            f"motor: stall torque {stall}{known}, enough: the front is free at {100 * bench.throttle_at_lift:.0f} % of it "
            "(about that throttle). Stalls of a second at most."
        )
    return (
        f"motor: stall torque {stall}{known}, NOT enough to free the front: it stalls first, with "
        f"{grams(bench.path.row(bench.stall_torque_n_mm).front_load_n)} left on the front. Do not hold it there."
    )


def _scale_lines(bench: Bench) -> list[str]:
    share = 100 * bench.scale_error_n_mm / max(bench.scale_error_at_n_mm, 1e-9)
    if abs(bench.scale_error_n_mm) < 0.5:
        return [
            "torque read off the front scale, (level reading - reading now) x wheelbase: exact for a rigid vehicle."
        ]
    return [
        f"torque read off the front scale, (level reading - reading now) x {bench.rows[0].wheelbase_mm:.1f} mm: off by up to "
        f"{bench.scale_error_n_mm:+.0f} N mm ({share:+.1f} %, at {bench.scale_error_at_n_mm:.0f} N mm), since b and the wheelbase change.",
        "At lift the scale tells level reading x wheelbase whatever the setup: what links change there needs a torque of its own.",
    ]


def _turn_lines(bench: Bench) -> list[str]:
    words = {
        "nose_up_pitch_deg": ("the nose", "deg"),
        "rear_shock_travel_mm": ("the rear shock", "mm"),
        "front_shock_travel_mm": ("the front shock", "mm"),
    }
    return [
        f"{words[key][0]} turns back, and where was not found."
        if torque is None
        else f"{words[key][0]} turns back at {torque:.0f} N mm ({value:+.1f} {words[key][1]}): a stop is met or the front unwinds."
        for key, torque, value in bench.turns
    ]


def _geared_lines(bench: Any) -> list[str]:
    last = bench.rows[-1]
    lines = [
        "geared in, the front pull is not settled by statics: it depends on play, grip and give of tyres and shafts. This is the case of",
        "the stated play and no give: the tyres hold, then slide. --front free is the other bound (nothing pulls).",
        "At lift both are one: a tyre that carries nothing cannot pull, so the torque at lift is the same.",
        *_open_lines(bench),
    ]
    most = max(
        (r for r in bench.rows if r.front_traction_n is not None), key=lambda r: abs(r.front_traction_n), default=None
    )
    if most is not None:
        lines.append(
            f"{_pull_words(most)}; at lift the treads would have given way by {number(last.front_slide_mm, '.1f')} mm."
        )
    return lines


def _open_lines(bench: Bench) -> list[str]:
    """What a front that turns slower or faster than its gears say makes of the rows, where it does most; none where nothing is open."""
    if bench.over_gears is None:
        return []
    spans = [
        (row, ends) for row, ends in zip(bench.rows, bench.over_gears.front_load_n, strict=True) if ends is not None
    ]
    row, (low, high) = max(spans, key=lambda item: item[1][1] - item[1][0])
    first, last = PLAUSIBLE_PERCENT
    errors = from_to(*bench.over_gears.scale_error_n_mm, 0, sign=True)
    return [
        f"How much faster the front turns is open as well: over {first:+g} to {last:+g} % it carries {grams_of_force(low):.0f} to "
        f"{grams_of_force(high):.0f} g at {row.torque_n_mm:.0f} N mm, and the torque read off the front scale is off by {errors} N mm at worst."
    ]


def _pull_words(row: Any) -> str:
    """Which way the front tyres drag the vehicle where they do it hardest; the clamp takes the same the other way."""
    pull, at = row.front_traction_n, f"at {row.torque_n_mm:.0f} N mm"
    if abs(pull) < LEAST_PULL_N:
        return f"The front tyres drag less than {LEAST_PULL_N:g} N either way"
    if pull > 0.0:
        return f"The floor drives the front tyres forward, by {pull:.1f} N at most ({at}): the clamp holds the vehicle back"
    return f"The floor drags the front tyres back, by {-pull:.1f} N at most ({at}): the clamp holds the vehicle forward"


def _budget_table(bench: Bench) -> str:
    row = bench.rows[len(bench.rows) // 2]
    parts = [
        (part.words, grams(row.budget[part.key]), f"{row.budget[part.key]:+.3f} N")
        for part in BENCH_PARTS
        if row.budget[part.key] is not None and (part.always or bench.front == "geared")
    ]
    parts.append(
        (
            "front axle load",
            grams(row.front_load_n),
            f"{row.front_load_n:+.3f} N" if row.front_load_n is not None else "-",
        )
    )
    return table((f"front axle load at {row.torque_n_mm:.0f} N mm", "as a scale reads", ""), parts)


def _readings_text(readings: Any) -> list[str]:
    if readings is None:
        return []
    rows = []
    for kind, row, torque, seen, told, error in zip(
        readings.kinds,
        readings.rows,
        readings.torque_n_mm,
        readings.observed,
        readings.predicted,
        readings.errors,
        strict=True,
    ):
        size, unit, form = (1.0, "deg", ".2f") if kind == "pitch" else (grams_of_force(1.0), "g", ".0f")
        rows.append(
            (
                kind.replace("_", " "),
                str(int(row)) if row else "",
                f"{torque:.0f}",
                f"{size * seen:{form}} {unit}",
                f"{size * told:{form}} {unit}",
                f"{size * error:.2g} {unit}",
                f"{(seen - told) / error:+.1f}",
            )
        )
    return [
        "",
        f"{readings.file}, torque from {readings.torque_from}",
        table(("reading", "row", "torque, N mm", "read", "calculated", "error", "off by"), rows),
        "",
        *readings.verdict,
        *(f"warning: {warning}" for warning in readings.warnings),
    ]
