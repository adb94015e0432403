"""Readings and results that no such vehicle has: what was probably read instead (cm for mm, kg for g, turns for degrees)."""

import numpy as np

from noseload.csv_input import Readings, unit_of
from noseload.model.file.key import unit_hint, with_unit
from noseload.model.file.keys import KEYS

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
}
"""Largest reading of a column, or a setting, on vehicles of scale 1:10 or so: common practice, no source."""
SLIPS = {
    "mm": (("cm", 10.0), ("m", 1000.0), ("inches", 25.4)),
    "g": (("kg", 1000.0), ("ounces", 28.35)),
    "deg": (("rad", 57.296), ("turns", 360.0)),
    "s": (("ms", 1e-3),),
}
"""Readings mistaken for others, by unit: what was read, and its worth."""
SWING_S = (0.25, 6.0)
"""Period of anything that hangs in a workshop."""
RUN_UP_S = (0.02, 20.0)
LEAST_TURNS_DEG = 180.0
"""Wheel angle that a film of a run-up reaches at least."""


def implausible(readings: Readings, lines) -> list[str]:
    """What is far from any such vehicle, a sentence each with the right reading where one is likely.

    Parameters
    ----------
    readings : Readings
    lines : mapping
        Dotted keys of the vehicle file and the values found.
    """
    found = []
    for name, (low, high) in USUAL.items():
        column = name in readings.columns
        value = np.nanmax(readings[name]) if column and _has_numbers(readings[name]) else readings.settings.get(name)
        if value is not None and not isinstance(value, str) and value != 0.0 and not low <= value <= high:
            found.append(_sentence(("column " if column else "") + name, float(value), low, high, unit_of(name)))
    found += _times(readings)
    for key, value in lines.items():
        low, high = KEYS[key].usual
        if low < high and not low <= value <= high:
            hint = unit_hint(KEYS[key], float(value))
            shown = with_unit(float(value), KEYS[key].unit)
            found.append(
                f"{key} comes out as {shown}, usual are {low:g} to {high:g}: check the units of what was read"
                + (f"; {hint}" if hint else "")
            )
    return found


def _has_numbers(values: np.ndarray) -> bool:
    return values.dtype.kind == "f" and bool(np.isfinite(values).any())


def _sentence(name: str, value: float, low: float, high: float, unit: str) -> str:
    likely = [(word, worth) for word, worth in SLIPS.get(unit, ()) if low <= value * worth <= high]
    text = f"{name}: {value:g} {unit} is far from such a vehicle ({low:g} to {high:g} {unit})"
    if not likely:
        return text + ": check the number and its unit"
    word, worth = likely[0]
    return f"{text}: was it read in {word}? {value:g} {word} are {value * worth:g} {unit}"


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
    if "distance_mm" in readings.columns and np.max(readings["time_s"]) > RUN_UP_S[1]:
        longest = float(np.max(readings["time_s"]))
        found.append(
            f"column time_s: a fall of {longest:g} s: was it read in ms? {longest:g} ms are {1e-3 * longest:g} s"
        )
    return found
