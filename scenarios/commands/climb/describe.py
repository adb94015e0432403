"""`noseload describe`: what was read, and what to check before you trust the results."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.commands.common import add_output, add_vehicle, check_output, heading, load_chosen, print_json
from noseload.documents import NO_SOLUTION, grams, load, table
from noseload.model.file.examples import untouched_keys
from noseload.model.vehicle import ENDS
from noseload.studies.climb.describe import describe
from noseload.studies.climb.split import hidden_overdrive, is_geared, limit_ranges
from noseload.studies.verdict.first import SEEN_SWING, standing_sentence
from noseload.studies.wheels.stance import BLOCK_MM, BLOCKED, SIDE_LOAD_KG, FourWheels
from noseload.studies.wheels.words import WHEEL_WORDS

from .sweep import limit_lines

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.describe import Description


SUMMARY = "What a vehicle file says: masses, loads, pose, links, frequencies, and checks with a ruler and a phone."
EXAMPLE = "noseload describe my-crawler.toml --plot my-crawler.png"
SEEN_DIAGONAL_N = 0.1
"""Twist of four scales that is told: about 10 g, what two readings of a kitchen scale differ by."""
WORTH_TELLING = 5e-3
"""Difference of free radii that is told, as a share."""
STANCE_WORDS = (
    ("wheelbase_mm", "wheelbase", "mm"),
    ("centre_of_gravity_mm", "centre of gravity ahead of the rear axle", "mm"),
    ("centre_of_gravity_height_mm", "height of the centre of gravity", "mm"),
    ("nose_up_pitch_deg", "chassis nose up", "deg"),
    ("rear_ride_height_mm", "rear ride height (chassis over the axle)", "mm"),
    ("front_ride_height_mm", "front ride height (chassis over the axle)", "mm"),
    ("rear_housing_nose_up_deg", "rear housing nose up", "deg"),
    ("front_housing_nose_up_deg", "front housing nose up", "deg"),
    ("rear_droop_left_mm", "rear shock: droop left", "mm"),
    ("rear_bump_left_mm", "rear shock: bump left", "mm"),
    ("front_droop_left_mm", "front shock: droop left", "mm"),
    ("front_bump_left_mm", "front shock: bump left", "mm"),
)


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add_vehicle(parser)
    add_output(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_output(options)
    vehicle = load_chosen(options)
    result = describe(vehicle)
    if options.csv:
        from noseload.documents import write_csv

        write_csv(options.csv, [{"key": k, "value": v} for k, v in _flat(result).items()])
    if options.plot:
        from noseload.pictures.show.portrait import draw_portrait
        from noseload.pictures.style import save_figure

        save_figure(draw_portrait(result), options.plot)
    if options.json:
        print_json("describe", result.to_dict() | {"limit_ranges": limit_ranges(result.climb)}, options, [vehicle])
    else:
        print(_text(result))
        if not vehicle.setups and vehicle.base is None:
            options.next_step = "noseload rank {file}    (what would help; its names serve compare)"
    return NO_SOLUTION if "standing" in result.unsaid else 0


def _flat(result: Description) -> Any:
    from noseload.documents import flatten

    return {k: v for k, v in flatten(result.to_dict()).items() if not isinstance(v, list)}


def _text(result: Any) -> str:
    vehicle = result.vehicle
    lines = [
        heading(
            vehicle, f"level {vehicle.level} file, {1e3 * vehicle.mass:.0f} g, {vehicle.drive.driven_axles} driven"
        ),
        *(f"doubt: {doubt}" for doubt in vehicle.warnings),
        standing_sentence(vehicle, result.loads_n, result.climb),
        "",
    ]
    rows = [
        ("body", f"{1e3 * vehicle.body.mass:.0f} g"),
        ("rear axle with wheels", f"{1e3 * vehicle.rear.mass:.0f} g"),
        ("front axle with wheels", f"{1e3 * vehicle.front.mass:.0f} g"),
        ("rear axle load, level", load(result.loads_n["rear"])),
        ("front axle load, level", load(result.loads_n["front"])),
    ]
    rows += [(words, f"{result.stance[key]:z.1f} {unit}") for key, words, unit in STANCE_WORDS if key in result.stance]
    rows += [
        (f"{end} coil goes loose after", f"{after:z.1f} mm, before the droop stop")
        for end, after in result.loose_mm.items()
        if after < result.stance[f"{end}_droop_left_mm"]
    ]
    hidden = hidden_overdrive(vehicle)
    if vehicle.level != "A" and is_geared(vehicle) and abs(hidden) > WORTH_TELLING:
        rows.append(
            (
                "front tyres, unpressed",
                f"{100 * hidden:+.1f} % in radius against the rear: an overdrive that the gear ratios do not show",
            )
        )
    width = max(len(name) for name, _ in rows)
    lines += [f"  {name:<{width}}  {value}" for name, value in rows]
    if "standing" in result.unsaid:
        lines += ["", result.unsaid["standing"], "Loads and limits below are those of the rigid vehicle."]
    elif result.links:
        lines += [
            "",
            table(
                ("links as it stands", "length mm", "rising forward deg"),
                [
                    (name.replace("_", " "), f"{v['length_mm']:z.1f}", f"{v['rising_forward_deg']:+z.1f}")
                    for name, v in result.links.items()
                ],
            ),
        ]
        lines += ["", *_checks(result)]
    else:
        lines += [
            "",
            "This file has no links (level A): rigid loads and the rigid tip-over are all that can be calculated.",
        ]
    if "climb" in result.unsaid:
        lines += ["", result.unsaid["climb"], "The limits below are those of the rigid vehicle."]
    ends = [result.climb.end_message(end) for end in ("front", "rear")]
    lines += [
        "",
        "limits of a steady climb",
        *limit_lines(result.limits, limit_ranges(result.climb)),
        *(f"  {end}" for end in ends if end),
    ]
    lines += _assumed(vehicle)
    untouched = untouched_keys(vehicle.document)
    if untouched:
        lines += ["", f"still the starter file's, counted as assumed: {', '.join(untouched)}"]
    return "\n".join(lines)


def _checks(result: Description) -> list[str]:
    lines = ["check these before you trust the results:"]
    for end in ENDS:
        sinks = result.sinks_mm.get(end)
        if sinks is None:
            lines.append(
                f"  no check with a weight above the {end} axle: with it the vehicle {result.unsaid[f'{end}_sink']}"
            )
            continue
        lines.append(
            f"  {1e3 * result.test_weight:.0f} g laid on the body above the {end} axle: "
            f"it sinks {sinks['rear']:z.1f} mm there at the rear, {sinks['front']:z.1f} mm at the front (ruler)"
        )
    lines += _wheel_checks(result)
    if result.modes is None:
        return [*lines, f"  no check of how it swings: {result.unsaid['modes']}"]
    unseen = []
    for name in ("bounce", "pitch"):
        mode = result.modes.named(name)
        if mode is None:
            continue
        if mode.swings_back < SEEN_SWING:
            unseen.append(f"{name} (damping ratio {mode.damping_ratio:.2f})")
            continue
        lines.append(
            f"  pushed down and let go, {name}: swings {mode.frequency_hz:.2f} times a second, damping ratio "
            f"{mode.damping_ratio:.2f} (phone film, motor connected, throttle closed)"
        )
    if unseen:
        lines.append(
            f"  nothing to film of its {' and '.join(unseen)}: pushed down and let go it comes back without swinging to be seen; "
            "check the springs with the weight above, and the damping on a shock alone: `noseload measure damping --recipe`"
        )
    return lines


def _wheel_checks(result: Description) -> list[str]:
    """Two checks on four wheels: scales with one wheel on a block, and how far a load at the side leans the body."""
    seen = result.wheels
    if seen is None:
        return [f"  no check on four wheels: {result.unsaid['four_wheels']}"]
    others = ", ".join(
        f"{WHEEL_WORDS[wheel]} {grams(seen.block_loads_n[wheel])} (level {grams(seen.loads_n[wheel])})"
        for wheel in WHEEL_WORDS
    )
    return [
        f"  {BLOCK_MM:g} mm block under the {WHEEL_WORDS[BLOCKED]} wheel: the scales read {others}",
        f"  {1e3 * SIDE_LOAD_KG:.0f} g on the body {seen.side_load_at_mm:.0f} mm left of the middle, beside its centre of gravity: "
        f"it leans {abs(seen.side_load_roll_deg):.1f} deg more to that side (phone across the body)",
        *_diagonal_line(seen),
    ]


def _diagonal_line(seen: FourWheels) -> list[str]:
    """That the scales of the file read a twist which its springs, alike left and right, do not have."""
    twist = seen.diagonal_n
    if twist is None or abs(twist) < SEEN_DIAGONAL_N:
        return []
    more = "more" if twist > 0.0 else "less"
    return [
        f"  your four scales: front left and rear right carry {grams(abs(twist))} {more} than the other two against these springs, "
        "which are alike left and right: unequal preloads, a twisted frame or blocks of unequal height; "
        f"each wheel is {grams(abs(twist) / 4)} off for it here"
    ]


def _assumed(vehicle: Vehicle) -> list[str]:
    if not vehicle.assumed:
        return ["", "Nothing was left out: every number is from the file."]
    rows = [(a.key, f"{a.value:g}", f"{a.low:g} .. {a.high:g}", a.unit, a.reason) for a in vehicle.assumed]
    return ["", "assumed (the file does not say)", table(("key", "value", "range", "unit", "why"), rows, align="<>><<")]
