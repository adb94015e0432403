"""`map --wheels` and `limits --wheels`: times in the air of single wheels, and the throttle that keeps four down."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.commands.climb.split_lines import throttle_span, throttle_words
from noseload.commands.common import counter, print_json, workers
from noseload.documents import NO_SOLUTION, grade, number, table, write_csv
from noseload.model.errors import ModelError
from noseload.model.names import row_name, shown_name
from noseload.studies.punch.splits_range import ends_of
from noseload.studies.punch.wheels_map import GRADES_DEG, largest_wheel_throttle, wheels_map
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.punch_limits import OPEN
from noseload.studies.wheels.words import WHEEL_WORDS

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.model.vehicle import Vehicle
    from noseload.studies.punch.wheels_map import WheelsMap


MAP_GRADES = (0.0, 45.0)
MOST_COLUMNS = 6


def run_wheels_map(options: Namespace, vehicles: list[Vehicle]) -> int:
    """Run `map --wheels`; returns the exit code."""
    if options.slow_edge:
        raise ModelError("map: --slow-edge checks the side view; leave it or --wheels out")
    low, high = options.grades or MAP_GRADES
    quickest, slowest = options.rises
    with workers(options.workers) as executor:
        result = wheels_map(
            vehicles,
            grades_deg=np.linspace(low, high, options.grade_count),
            rises_s=np.geomspace(quickest, slowest, options.rise_count),
            throttle=options.throttle,
            start_s=options.start,
            duration_s=options.duration,
            over_splits=True,
            executor=executor,
            progress=counter(sys.stderr, "punches"),
        )
    if options.csv:
        write_csv(options.csv, result.rows())
    if options.plot:
        from noseload.pictures.punch.wheels_map import draw_map
        from noseload.pictures.style import save_figure

        save_figure(draw_map(result), options.plot)
    if options.json:
        print_json("map", result.to_dict(), options, vehicles)
    else:
        print(_map_text(vehicles[0], result))
    return 0 if (result.status == "ok").any() else NO_SOLUTION


def _map_text(vehicle: Vehicle, result: Any) -> str:
    lines = [map_sentence(result), *_over_splits(result)]
    columns = np.unique(np.linspace(0, result.rise_s.size - 1, min(MOST_COLUMNS, result.rise_s.size)).astype(int))
    head = ("grade", *(f"{1e3 * result.rise_s[j]:.0f} ms" for j in columns))
    for words, times_s, (low, high) in (
        ("first wheel", result.first_wheel_airborne_s, result.ends("first_wheel_airborne_s")),
        ("both front wheels", result.front_axle_airborne_s, result.ends("front_axle_airborne_s")),
    ):
        lines += ["", f"{shown_name(vehicle.name)}: throttle to {result.throttle:g}, {words} in the air, ms"]
        if not np.nanmax(high, initial=0.0) > 0.0:
            lines += ["never"]
            continue
        for k, setup in enumerate(result.setups):
            cells = [
                [_cell(*(t[k, i, j] for t in (times_s, low, high))) for j in columns] for i in range(len(times_s[k]))
            ]
            rows = [(f"{g:.1f}", *row) for g, row in zip(result.grade_deg, cells, strict=True)]
            lines += ["", f"{setup} (- where a punch cannot start)", table(head, rows)]
    return "\n".join(lines)


def _cell(time_s: float, low_s: float, high_s: float) -> str:
    """'510 (433-850)': a time in ms, and its ends over divisions of the pull where they differ."""
    own, low, high = _ms(time_s), _ms(low_s), _ms(high_s)
    return own if low == high else f"{own} ({low}-{high})"


def _over_splits(result: Any) -> list[str]:
    """What the open division of the pull makes of the map, in one sentence; none where nothing is open."""
    if not result.by_law or not np.isfinite(result.lifted_share).all():
        return []
    least, most = 100.0 * ends_of([each.lifted_share[0] for each in (result, *result.by_law)])
    text = f"{OPEN} a wheel lifts in {from_to(least, most, 0)} % of it (in brackets below: what becomes of each time)"
    if len(result.setups) > 1:
        medians = [1e3 * float(np.median(each.changes_s)) for each in (result, *result.by_law) if each.changes_s.size]
        text += f", and the median of what {row_name(result.setups[1])} changes is {from_to(min(medians), max(medians), 0, sign=True)} ms"
    return [f"{text}."]


def _ms(seconds: float) -> str:
    return "-" if not np.isfinite(seconds) else f"{1e3 * seconds:.0f}"


def map_sentence(result: WheelsMap) -> str:
    """Where a wheel lifts at all, and what the setups change of it, in one sentence."""
    good = (result.status == "ok").all(axis=0)
    if not good.any():
        return "No punch of this map can start."
    lifts = 100.0 * result.lifted_share
    first = f"A wheel lifts in {lifts[0]:.0f} % of this map ({row_name(result.setups[0])})"
    if len(result.setups) < 2:
        return first + "."
    change = 1e3 * result.changes_s
    return (
        f"{first}, in {lifts[1]:.0f} % with {row_name(result.setups[1])}, which changes the first wheel's time in the "
        f"air by {change.min():+z.0f} to {change.max():+z.0f} ms (median {np.median(change):+z.0f} ms)."
    )


def run_wheels_limits(options: Namespace, vehicles: Any) -> int:
    """Run `limits --wheels`; returns the exit code."""
    with workers(options.workers) as executor:
        found = [
            largest_wheel_throttle(
                vehicle,
                grades_deg=options.grades or GRADES_DEG,
                rise_s=options.rise,
                over_splits=True,
                executor=executor,
                progress=counter(sys.stderr, "punches of this round"),
            )
            for vehicle in vehicles
        ]
    if options.csv:
        write_csv(options.csv, [{"setup": one.setup, **row} for one in found for row in one.to_dict()["rows"]])
    if options.plot:
        from noseload.pictures.punch.wheels_map import plot_largest_throttle
        from noseload.pictures.style import save_figure

        save_figure(plot_largest_throttle(found).figure, options.plot)
    if options.json:
        print_json("limits", {"members": [one.to_dict() for one in found], "status": "ok"}, options, vehicles)
    else:
        print("\n\n".join(_limits_text(vehicle, one) for vehicle, one in zip(vehicles, found, strict=True)))
    return 0 if any(np.isfinite(one.throttles).any() for one in found) else NO_SOLUTION


def _limits_text(vehicle: Vehicle, found: Any) -> str:
    rows, spans = [], found.ends()
    for g, held, most, wheel, ends in zip(
        found.grades_deg, found.holding, found.throttles, found.first_wheel, spans, strict=True
    ):
        words = WHEEL_WORDS[wheel] if wheel else "none"
        largest = throttle_words(most)
        lifts = words if np.isfinite(most) else "-"
        rows.append((grade(float(g)), number(held, ".3f"), largest, lifts, throttle_span(ends)))
    count = 5 if found.by_law else 4
    header = ("grade", "holds the crawl", "largest", "lifts above it", "over divisions of the pull")
    return "\n".join(
        [
            f"{shown_name(vehicle.name)}, {row_name(found.setup)}: largest throttle that keeps all four wheels down, rise "
            f"{1e3 * found.rise_s:.0f} ms, within {found.within:.3f}",
            table(header[:count], [row[:count] for row in rows]),
        ]
    )
