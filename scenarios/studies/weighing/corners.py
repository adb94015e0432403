"""Which side is heavier: the centre of gravity's side offset from the readings of all four wheels.

Moments about the middle line of a vehicle that stands level::

    y = sum over the axles of (track / 2) (left - right) / total

It holds however the load is shared between the two diagonals: blocks of unequal height move load from one
diagonal to the other, which leaves both sums over a side, and so y, as they are.
"""

import numpy as np

from noseload.csv_input import Readings
from noseload.model.vehicle import ENDS, SIDES
from noseload.studies.measuring.common_errors import gain
from noseload.studies.measuring.measurement import Estimate

AXLES = ENDS
CORNERS = tuple(f"{axle}_{side}_g" for axle in AXLES for side in SIDES)
NORMAL_95 = 1.959964
"""Half width of a 95 % interval of a normal error, in standard errors."""


def axle_readings(readings: Readings, axle: str) -> np.ndarray:
    """Reading of an axle in every row, g: its own column, else its two wheels together; nan where neither is there."""
    own = readings[f"{axle}_g"]
    return np.where(np.isfinite(own), own, readings[f"{axle}_left_g"] + readings[f"{axle}_right_g"])


def readings_in_one(readings: Readings, axle: str) -> np.ndarray:
    """How many readings of the scale each of `axle_readings` is made of: 1 or 2."""
    return np.where(np.isfinite(readings[f"{axle}_g"]), 1.0, 2.0)


def corner_faults(readings: Readings) -> list[str]:
    """Rows with some of the four wheels, wheels weighed lifted, wheels without a track width."""
    faults, any_there = [], False
    for place, row in enumerate(readings.rows):
        there = [name for name in CORNERS if np.isfinite(readings[name][place])]
        any_there = any_there or bool(there)
        word = f"{readings.row_word} {row}"
        if there and readings["kind"][place] != "level":
            faults.append(f"{word}, column {there[0]}: single wheels are weighed level; give front_g or rear_g instead")
        elif there and len(there) < len(CORNERS):
            lacking = ", ".join(name for name in CORNERS if name not in there)
            faults.append(f"{word}: {lacking} empty; give all four wheels or none")
    if any_there and readings.settings["track_width_mm"] is None:
        faults.append("setting track_width_mm: missing; the readings of four wheels need it (mm between tyre treads)")
    return faults


def side_estimates(readings: Readings) -> list[Estimate]:
    """The side offset and the share of load on one diagonal, both with their errors; empty without such readings.

    Repeats are averaged; their own scatter widens the error where it is larger than what the scale states.
    """
    rows = np.isfinite(readings["rear_left_g"])
    if not np.any(rows):
        return []
    settings = readings.settings
    wheels = np.array([readings[name][rows] for name in CORNERS])
    count = wheels.shape[1]
    totals = wheels.sum(axis=0)
    tracks = np.array([settings["track_width_mm"], settings["front_track_width_mm"] or settings["track_width_mm"]])
    arms = 0.5 * np.array([tracks[0], -tracks[0], tracks[1], -tracks[1]])
    offsets = arms @ wheels / totals
    offset, total = float(offsets.mean()), float(totals.mean())
    # Each reading errs by itself: y moves by (arm - y) / total for each gram.
    own = settings["scale_error_g"] * float(np.sqrt(np.sum((arms - offset) ** 2))) / total / np.sqrt(count)
    scatter = float(offsets.std(ddof=1)) / np.sqrt(count) if count > 2 else 0.0
    by_track = abs(offset) * settings["track_error_mm"] / float(tracks.mean())
    error = float(np.hypot(max(own, scatter), by_track))
    crossed = float((wheels[0] + wheels[3] - wheels[1] - wheels[2]).mean())
    by_gain = gain(settings) * abs(crossed)
    crossed_error = np.hypot(2.0 * settings["scale_error_g"] / np.sqrt(count), by_gain)
    return [
        _estimate("centre_of_gravity_left_mm", "centre of gravity left of the middle (right negative)", offset, error),
        _estimate(
            "diagonal_difference_g",
            "rear left and front right less the other diagonal, level",
            crossed,
            float(crossed_error),
            origin="measured",
        ),
    ]


def _estimate(key: str, meaning: str, value: float, error: float, origin: str = "calculated") -> Estimate:
    return Estimate(key, meaning, value, error, value - NORMAL_95 * error, value + NORMAL_95 * error, origin)


def corner_lines(readings: Readings, axle_g: dict[str, float]) -> dict[str, float]:
    """Lines of a vehicle file for the four wheels: they add up to the readings of the axles as fitted."""
    rows = np.isfinite(readings["rear_left_g"])
    lines: dict[str, float] = {}
    if not np.any(rows):
        return lines
    for axle in AXLES:
        left, right = (float(readings[f"{axle}_{side}_g"][rows].mean()) for side in SIDES)
        share = left / (left + right)
        lines[f"weighed.{axle}_left_g"] = round(axle_g[axle] * share, 1)
        lines[f"weighed.{axle}_right_g"] = round(axle_g[axle] * (1.0 - share), 1)
    lines["track_width_mm"] = readings.settings["track_width_mm"]
    front = readings.settings["front_track_width_mm"]
    return lines if front is None else {**lines, "front.track_width_mm": front}


def corner_notes(readings: Readings) -> list[str]:
    """What the readings of four wheels say about how they were taken."""
    rows = np.isfinite(readings["rear_left_g"])
    if not np.any(rows):
        return []
    estimates = {estimate.key: estimate for estimate in side_estimates(readings)}
    crossed = estimates["diagonal_difference_g"]
    notes = []
    if abs(crossed.value) > 4.0 * (crossed.standard_error or 0.0):
        notes.append(
            f"one diagonal carries {abs(crossed.value):.0f} g more than the other: blocks of unequal height, a twisted frame "
            "or springs that differ; the side offset does not feel it"
        )
    return notes
