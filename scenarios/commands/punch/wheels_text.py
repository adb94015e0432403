"""What `punch --wheels` prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.commands.common import heading
from noseload.documents import grade, grams, load, number, table, wheels_outcome_words
from noseload.model.crawl import budget_parts
from noseload.model.space.motion_budget import MOTION_TWIST_KEYS
from noseload.model.space.parameters import WHEELS
from noseload.model.vehicle import ENDS
from noseload.studies.punch.options import kept_or_not
from noseload.studies.punch.splits_range import WheelsRange
from noseload.studies.punch.wheels_words import air_words, wheels_sentence
from noseload.studies.wheels.words import MOTION_TWIST_WORDS, WHEEL_WORDS, side_word

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.punch.wheels import WheelsPunch


def wheels_text(vehicle: Vehicle, result: WheelsPunch, spread: WheelsRange | None = None) -> str:
    """Text of a punch in space; its first line after the heading says which wheel is up how long."""
    asked = result.options
    where = f"punch at {grade(asked.grade_deg)}"
    if result.heading_deg:
        where += f", heading {result.heading_deg:g} deg"
    lines = [
        heading(
            vehicle,
            f"{where}, {result.drive} driven, throttle {number(result.throttle_start, '.3f')} to {asked.throttle:g} "
            f"({asked.program}), four wheels",
        )
    ]
    if not result.success:
        lines.append(f"status: {result.status} - {result.message}")
    if not result.time_s.size:
        return "\n".join(lines)
    lines[0:0] = [wheels_sentence(result), *([] if spread is None else [spread.sentence()]), ""]
    lines += [_loads(result), "", *_figures(result), "", _twist(result), "", _axle(result)]
    if result.events:
        lines += ["", "events:"] + [f"  {e.time_s:7.4f} s  {e.name.replace('_', ' ')}" for e in result.events]
    stats = result.stats
    lines += [
        "",
        "The rotor's own spin about its lengthwise axis is left out; at a ratio of 30 it would change air times by up to a "
        "tenth.",
        f"energy balance closed to {stats['energy_residual']:.1e}, links held to {1e3 * stats['position_drift_m']:.1e} mm; "
        f"{stats['steps']} steps",
        *kept_or_not(stats, asked.tolerance),
    ]
    return "\n".join(lines)


def _loads(result: WheelsPunch) -> str:
    summary, start = result.summary, result.start
    rows = []
    for wheel in WHEELS:
        rows.append(
            (
                WHEEL_WORDS[wheel],
                grams(start[f"{wheel}_load_n"]),
                grams(summary[f"{wheel}_load_min_n"]),
                air_words(summary, wheel),
            )
        )
    for end in ENDS:
        rows.append(
            (
                f"{end} axle",
                grams(start[f"{end}_load_n"]),
                grams(summary[f"{end}_axle_load_min_n"]),
                air_words(summary, f"{end}_axle"),
            )
        )
    return table(("load", "at the start", "least", "in the air"), rows)


def _figures(result: WheelsPunch) -> list[str]:
    summary, start = result.summary, result.start
    outcome = summary["outcome"]
    rows = [
        (
            "chassis leans at most",
            f"{side_word(summary['peak_chassis_roll_deg'])} ({side_word(start['chassis_roll_deg'])} at the start)",
        ),
        (
            "largest nose-up pitch",
            f"{summary['peak_nose_up_pitch_deg']:.2f} deg on the slope ({start['nose_up_pitch_deg']:.2f} deg at the start)",
        ),
        (
            "heading and line",
            f"turned {_aside(summary['heading_change_deg'], 'deg')}, {_aside(summary['off_line_mm'], 'mm')} off the line "
            f"after {result.time_s[-1]:g} s",
        ),
        ("how it ends", f"{wheels_outcome_words(outcome)} ({outcome})"),
    ]
    width = max(len(name) for name, _ in rows)
    lines = [f"  {name:<{width}}  {value}" for name, value in rows]
    if start["snap_grade_deg"] is not None:
        lines.append(
            f"On the way to this grade the steady motion snaps at {start['snap_grade_deg']:.2f} deg into the pose it starts from."
        )
    return lines


def _aside(value: float, unit: str) -> str:
    form = ".1f" if unit == "deg" else ".0f"
    return f"{abs(value):{form}} {unit} to the {'left' if value > 0.0 else 'right'}"


def _when(result: WheelsPunch) -> str:
    low, first = result.lowest, result.summary["first_wheel"]
    words = "when a wheel load is smallest" if first is None else f"as the {WHEEL_WORDS[first]} wheel lifts"
    return f"{words}, {low['time_s']:.3f} s"


def _twist(result: WheelsPunch) -> str:
    """Parts of half the difference of the front wheels at the start and as the first wheel lifts."""
    low, rows = result.lowest, []
    for key in MOTION_TWIST_KEYS:
        first, later = result.twist_budget[key][0], low["twist_budget"][key]
        if key == "held_n" or max(abs(first), abs(later)) < 5e-4:
            continue
        rows.append((MOTION_TWIST_WORDS[key], grams(first), grams(later)))
    traces = result.traces
    first = 0.5 * float(traces["front_left_load_n"][0] - traces["front_right_load_n"][0])
    rows.append(("half of left less right", grams(first), grams(low["twist_n"])))
    return table(("why the front wheels differ", "at the start", _when(result)), rows)


def _axle(result: WheelsPunch) -> str:
    low, rows = result.lowest, []
    for part in budget_parts.told(result.budget):
        rows.append((part.words, grams(result.budget[part.key][0]), grams(low["budget"][part.key])))
    rows.append(("front axle load", load(float(result.front_load_n[0])), load(low["front_load_n"])))
    return table(("where the front axle load comes from", "at the start", _when(result)), rows)
