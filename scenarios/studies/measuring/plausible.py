"""Readings and results that no such vehicle has: what was probably read instead (cm for mm, kg for g, turns for degrees)."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from noseload.csv_input import Readings, ReadingsFileError, unit_of
from noseload.model.file.key import unit_hint, with_unit
from noseload.model.file.keys import KEYS

from .vehicle_bounds import Bounds

USUAL = {
    "compression_mm": (3.0, 80.0),
    "hub_height_mm": (25.0, 120.0),
    "scale_g": (20.0, 8000.0),
    "standing_load_g": (150.0, 4000.0),
    "added_g": (100.0, 6000.0),
    "weight_g": (10.0, 3000.0),
    "distance_mm": (3.0, 80.0),
    "peak_mm": (1.0, 60.0),
    "sprung_mass_g": (150.0, 3000.0),
    "mass_g": (60.0, 6000.0),
    "rolling_radius_mm": (25.0, 120.0),
    "thread_spacing_mm": (30.0, 600.0),
    "thread_length_mm": (200.0, 4000.0),
    "pivot_distance_mm": (5.0, 400.0),
    "pivot_separation_mm": (10.0, 600.0),
    "load_g": (300.0, 6000.0),
    "peak_pull_g": (100.0, 12000.0),
    "sliding_pull_g": (100.0, 12000.0),
    "slide_grade_deg": (10.0, 80.0),
    "can_diameter_mm": (15.0, 60.0),
    "can_length_mm": (15.0, 90.0),
    "armature_mass_g": (15.0, 250.0),
    "armature_diameter_mm": (8.0, 45.0),
    "pull_there_g": (3.0, 1500.0),
    "pull_back_g": (3.0, 1500.0),
    "pull_g": (100.0, 6000.0),
    "front_scale_g": (100.0, 5000.0),
    "axle_load_g": (200.0, 10000.0),
    "way_mm": (300.0, 30000.0),
    "string_height_mm": (2.0, 100.0),
    "hub_shift_mm": (0.1, 30.0),
    "front_g": (100.0, 8000.0),
    "rear_g": (100.0, 8000.0),
    "level_front_g": (100.0, 5000.0),
    "lever_g": (20.0, 20000.0),
    "lever_arm_mm": (40.0, 800.0),
    "torque_n_mm": (100.0, 30000.0),
    "angle_deg": (2.0, 90.0),
    "lift_mm": (8.0, 450.0),
    "tray_g": (3.0, 3000.0),
    "front_track_width_mm": (100.0, 400.0),
    "wheelbase_mm": KEYS["wheelbase_mm"].usual,
    "track_width_mm": KEYS["track_width_mm"].usual,
    "rear_radius_mm": KEYS["rear.tyre.loaded_radius_mm"].usual,
    "front_radius_mm": KEYS["front.tyre.loaded_radius_mm"].usual,
    "centre_of_gravity_height_mm": KEYS["weighed.centre_of_gravity_height_mm"].usual,
    "tyre_stiffness_n_per_mm": KEYS["tyre.vertical_stiffness_n_per_mm"].usual,
    "creep_speed_mm_per_s": (5.0, 2000.0),
    "rise_s": (0.001, 1.5),
}
"""Largest reading of a column, or a setting, on vehicles of scale 1:10 or so: common practice, no source."""
SLIPS = {
    "mm": (("cm", 10.0), ("m", 1000.0), ("inches", 25.4)),
    "g": (("kg", 1000.0), ("ounces", 28.35)),
    "deg": (("rad", 57.296), ("turns", 360.0)),
    "s": (("ms", 1e-3),),
    "n_mm": (("N m", 1000.0), ("N cm", 10.0), ("kg cm", 98.07)),
    "n_per_mm": (("N/m", 1e-3), ("kg/mm", 9.807), ("N/cm", 0.1)),
    "mm_per_s": (("m/s", 1000.0), ("cm/s", 10.0)),
}
"""Readings mistaken for others, by unit: what was read, and its worth."""
SWING_S = (0.25, 6.0)
"""Period of anything that hangs in a workshop."""
RUN_UP_S = (0.02, 20.0)
LARGEST_RAD = 1.571
"""A right angle."""
LONGEST_LOG_S = 60.0
LEAST_TURNS_DEG = 180.0
"""Wheel angle that a film of a run-up reaches at least."""


def implausible(readings: Readings, lines: Mapping[str, Any], bounds: Bounds | None = None) -> list[str]:
    """What is far from any such vehicle, a sentence each with the right reading where one is likely.

    Parameters
    ----------
    readings : Readings
    lines : mapping
        Dotted keys of the vehicle file and the values found.
    bounds : mapping, optional
        Closer bounds, of the vehicle whose file is given: `vehicle_bounds`.
    """
    found, bounds = [], bounds or {}
    for name, usual in USUAL.items():
        column = name in readings.columns
        low, high = bounds.get(name, usual)
        value = np.nanmax(readings[name]) if column and _has_numbers(readings[name]) else readings.settings.get(name)
        if value is not None and not isinstance(value, str) and value != 0.0 and not low <= value <= high:
            whose = "this vehicle's file" if name in bounds else "such a vehicle"
            found.append(_sentence(("column " if column else "") + name, float(value), low, high, unit_of(name), whose))
    found += _times(readings) + _grades(readings)
    for key, value in lines.items():
        if isinstance(value, list):
            continue
        low, high = KEYS[key].usual
        least, most = bounds.get(key, (low, high))
        if not least <= value <= most and key in bounds:
            before = with_unit(float(f"{np.sqrt(least * most):.4g}"), KEYS[key].unit)
            shown = with_unit(float(value), KEYS[key].unit)
            found.append(
                f"{key} comes out as {shown}, this vehicle's file has {before}: check the units of what was read"
            )
        elif low < high and not low <= value <= high:
            hint = unit_hint(KEYS[key], float(value))
            shown = with_unit(float(value), KEYS[key].unit)
            found.append(
                f"{key} comes out as {shown}, usual are {low:g} to {high:g}: check the units of what was read"
                + (f"; {hint}" if hint else "")
            )
    return found


def _has_numbers(values: np.ndarray) -> bool:
    return values.dtype.kind == "f" and bool(np.isfinite(values).any())


def _sentence(name: str, value: float, low: float, high: float, unit: str, whose: str) -> str:
    likely = [(word, worth) for word, worth in SLIPS.get(unit, ()) if low <= value * worth <= high]
    shown = unit.replace("_per_", "/").replace("_", " ")
    text = f"{name}: {value:g} {shown} is far from {whose} ({low:.3g} to {high:.3g} {shown})"
    if not likely:
        return text + ": check the number and its unit"
    word, worth = likely[0]
    return f"{text}: was it read in {word}? {value:g} {word} are {value * worth:g} {shown}"


def told_with_slips(readings: Readings, refused: Exception, bounds: Bounds | None = None) -> Exception:
    """The refusal itself, or, where units are likely mixed up, one that says so first."""
    slips = implausible(readings, {}, bounds)
    if not slips:
        return refused
    faults = refused.faults if isinstance(refused, ReadingsFileError) else [str(refused).splitlines()[-1].strip()]
    return readings.fault("; ".join([*slips, *faults]))


def _grades(readings: Readings) -> list[str]:
    """Board angles or pitches that are all below a right angle in radians, while more than one was set."""
    found = []
    for name in ("grade_deg", "nose_up_pitch_deg"):
        if name not in readings.columns or not _has_numbers(readings[name]):
            continue
        values = readings[name][np.isfinite(readings[name])]
        largest = float(np.max(np.abs(values)))
        if len(np.unique(values)) >= 3 and 0.3 < largest <= LARGEST_RAD and "time_s" not in readings.columns:
            found.append(
                f"column {name}: no angle above {largest:g} deg: was it read in rad? {largest:g} rad are "
                f"{largest * 57.296:.1f} deg"
            )
    return found


def off_predicted(name: str, unit: str, observed: np.ndarray, predicted: np.ndarray) -> list[str]:
    """Readings that a mixed-up unit brings to what is calculated: one sentence, or none.

    Parameters
    ----------
    observed, predicted : ndarray, shape (n,)
        In one unit, `unit`; pairs near zero say nothing.
    """
    told = (
        np.isfinite(observed)
        & (np.abs(predicted) > 0.1 * np.nanmax(np.abs(predicted), initial=0.0))
        & (observed != 0.0)
    )
    if not np.any(told):
        return []
    ratio = float(np.median(np.abs(predicted[told] / observed[told])))
    likely = [(word, worth) for word, worth in SLIPS.get(unit, ()) if abs(np.log(ratio / worth)) < np.log(1.6)]
    if not likely or (ratio < 3.0 and ratio > 1.0 / 3.0):
        return []
    word, worth = min(likely, key=lambda one: abs(np.log(ratio / one[1])))
    first = float(observed[told][0])
    return [
        f"column {name}: {ratio:.3g} times as much is calculated for this vehicle: was it read in {word}? {first:g} {word} are "
        f"{first * worth:g} {unit}"
    ]


NEAR_CALCULATED = 1.15
"""A single reading in another unit is told where it comes this close to what is calculated, as a factor."""


def rows_off_predicted(
    word: str, rows: Sequence[int], unit: str, observed: np.ndarray, predicted: np.ndarray
) -> list[str]:
    """Single readings that a mixed-up unit brings to what is calculated, a sentence each.

    Parameters
    ----------
    word : str
        What a row is called.
    rows : sequence of int, length n
    unit : str
    observed, predicted : ndarray, shape (n,)
        In that unit.
    """
    told = []
    for row, read, calculated in zip(rows, observed, predicted, strict=True):
        if not (np.isfinite(read) and np.isfinite(calculated)) or read <= 0.0 or calculated <= 0.0:
            continue
        for name, worth in SLIPS.get(unit, ()):
            near = abs(np.log(calculated / (read * worth))) < np.log(NEAR_CALCULATED)
            if near and not 1.0 / 3.0 < worth < 3.0:
                told.append(
                    f"{word} {row}: {calculated:.0f} {unit} are calculated there: was {read:g} read in {name}? {read:g} "
                    f"{name} are {read * worth:g} {unit}"
                )
    return told


def _times(readings: Readings) -> list:
    """Periods and films: one period for twenty, milliseconds for seconds, turns for degrees."""
    found = []
    if "swings" in readings.columns:
        time, swings = readings["time_s"], readings["swings"]
        period = float(np.median(time / swings))
        if not SWING_S[0] <= period <= SWING_S[1]:
            once, many = float(np.median(time)), float(np.median(swings))
            why = ": check time and count"
            if SWING_S[0] <= once <= SWING_S[1]:
                why = f": is time_s = {once:g} s that of one swing? Write swings = 1, or the time of all {many:g}"
            elif SWING_S[0] <= 1e-3 * period <= SWING_S[1]:
                why = f": was it read in ms? {once:g} ms are {1e-3 * once:g} s"
            found.append(
                f"columns time_s and swings: one swing of {period:.3g} s is far from anything that hangs here{why}"
            )
    if "wheel_angle_deg" in readings.columns:
        span, turned = float(np.ptp(readings["time_s"])), float(np.nanmax(np.abs(readings["wheel_angle_deg"])))
        if turned < LEAST_TURNS_DEG:
            found.append(
                f"column wheel_angle_deg: {turned:g} deg in a whole run-up is next to nothing: was it read in turns? {turned:g} "
                f"turns are {360 * turned:g} deg"
            )
        if span > RUN_UP_S[1]:
            found.append(f"column time_s: a run-up of {span:g} s: was it read in ms? {span:g} ms are {1e-3 * span:g} s")
    for column, word, most in (("distance_mm", "a fall", RUN_UP_S[1]), ("half_swing", "a bounce", RUN_UP_S[1]),
                               ("nose_up_pitch_deg", "a log", LONGEST_LOG_S)):  # fmt: skip
        if column in readings.columns and "time_s" in readings.columns:
            # Falls are times of their own; the others run from any zero.
            times = readings["time_s"]
            longest = float(np.max(times) if column == "distance_mm" else np.ptp(times))
            if longest > most:
                found.append(
                    f"column time_s: {word} of {longest:g} s: was it read in ms? {longest:g} ms are {1e-3 * longest:g} s"
                )
    if "motor_turns" in readings.columns and np.median(readings["motor_turns"] / readings["wheel_turns"]) < 1.0:
        found.append(
            "columns motor_turns and wheel_turns: the motor turns less than the wheels: were the two mixed up?"
        )
    return found
