"""Warnings about values that a real vehicle could have but seldom does."""

from math import hypot
from typing import Any

from noseload.model.units import STANDARD_GRAVITY

from .checks import Finding
from .geometry import COINCIDENT_LINKS_M, link_separation, shock_length, wheel_centre_height
from .key import unit_hint, with_unit
from .keys import AXLES, KEYS, PARTS

CLOSE_LINKS_M = 6e-3
"""Links nearer than this along their whole length leave the housing angle nearly free."""
FAR_POINT_RADII = 2.5
"""An axle end farther from its wheel centre than this many tyre radii was read from another datum."""

STIFF_M = 2.5e-3
"""Springs of crawlers give 10 to 40 mm under what rests on them, the stiffest a quarter of that; a tenth is a slip."""
CHASSIS_HEIGHTS = {"lower_link": (0.25, 4.0), "upper_link": (0.25, 4.0), "shock": (0.6, 6.0)}
"""Heights between which chassis ends lie, in tyre radii."""
CHASSIS_BEYOND = 0.3
"""How far beyond an axle a chassis end may lie, as a share of the wheelbase."""


def usual_fault(dotted: str, number: object) -> str:
    """What is unusual about a number in the file's unit, with the unit it may have been read in; '' where nothing is.

    Parameters
    ----------
    dotted : str
        Key of the file.
    number : float or object
        Points and words are never doubted here.
    """
    key = KEYS[dotted]
    if key.kind != "number" or not isinstance(number, int | float):
        return ""
    low, high = key.usual
    if low * (1.0 - 1e-9) <= number <= high * (1.0 + 1e-9):
        return ""
    usual = f"{low:g} to {with_unit(high, key.unit)}"
    return f"= {with_unit(number, key.unit)} is unusual ({usual}); {unit_hint(key, number) or 'check number and unit'}"


def check_doubtful(values: dict) -> list[Finding]:
    """Warnings: values a real vehicle could have but seldom does."""
    doubts = []
    for dotted, value in values.items():
        fault = usual_fault(dotted, value / KEYS[dotted].factor) if KEYS[dotted].kind == "number" else ""
        if fault:
            doubts.append(Finding(dotted, fault))
    doubts += _doubtful_points(values)
    doubts += _doubtful_chassis_ends(values)
    doubts += _doubtful_proportions(values)
    doubts += _doubtful_springs(values)
    return doubts


def _doubtful_points(values: dict[str, Any]) -> list:
    doubts = []
    wheelbase = values.get("wheelbase_mm")
    for axle in AXLES:
        radius = wheel_centre_height(values, axle)
        if wheelbase is None or radius is None:
            continue
        centre_x = 0.0 if axle == "rear" else wheelbase
        for part in PARTS:
            end = values.get(f"{axle}.{part}.axle_end_mm")
            if end is None:
                continue
            distance = hypot(end[0] - centre_x, end[2] - radius)
            if distance > FAR_POINT_RADII * radius:
                why = (
                    f"is {distance * 1e3:.4g} mm from the {axle} wheel centre at [{centre_x * 1e3:.4g}, "
                    f"{radius * 1e3:.4g}] mm; x counts from the rear wheel centre and z from the floor"
                )
                doubts.append(Finding(f"{axle}.{part}.axle_end_mm", why))
        separation = link_separation(values, axle)
        if COINCIDENT_LINKS_M <= separation < CLOSE_LINKS_M:
            why = (
                f"stays within {separation * 1e3:.3g} mm of the line of the lower link: link forces "
                "become large "
                "and depend on every tenth of a millimetre; read the ends again"
            )
            doubts.append(Finding(f"{axle}.upper_link", why))
        free, length = values.get(f"{axle}.shock.free_length_mm"), shock_length(values, f"{axle}.shock")
        if free is not None and length is not None and free < length:
            why = (
                f"= {free * 1e3:.4g} mm is shorter than the shock as measured, {length * 1e3:.4g} mm: "
                "the spring would pull"
            )
            doubts.append(Finding(f"{axle}.shock.free_length_mm", why))
    return doubts


def _doubtful_chassis_ends(values: dict) -> list[Finding]:
    """Chassis ends below the axle's underside, high above it or beyond the vehicle: read from another datum, or in another unit."""
    doubts: list[Finding] = []
    wheelbase = values.get("wheelbase_mm")
    for axle in AXLES:
        radius = wheel_centre_height(values, axle)
        if wheelbase is None or radius is None:
            continue
        for part in PARTS:
            end = values.get(f"{axle}.{part}.chassis_end_mm")
            if end is None or _is_chassis_place(part, end[0], end[2], wheelbase, radius):
                continue
            why = f"= [{end[0] * 1e3:.4g}, {end[2] * 1e3:.4g}] mm (x, z) is no place of a chassis on wheels of {radius * 1e3:.4g} mm"
            if _is_chassis_place(part, 10.0 * end[0], 10.0 * end[2], wheelbase, radius):
                why += "; was it read in centimetres?"
            else:
                why += "; x counts forward from the rear wheel centre and z from the floor"
            doubts.append(Finding(f"{axle}.{part}.chassis_end_mm", why))
    return doubts


def _is_chassis_place(part: str, x: float, z: float, wheelbase: float, radius: float) -> bool:
    low, high = CHASSIS_HEIGHTS[part]
    return low * radius <= z <= high * radius and -CHASSIS_BEYOND * wheelbase <= x <= (1.0 + CHASSIS_BEYOND) * wheelbase


def _doubtful_springs(values: dict[str, Any]) -> list[Finding]:
    """A rate that is usual for some vehicle but hardly gives under what rests on it here: a decimal point that slipped."""
    doubts: list[Finding] = []
    for axle in AXLES:
        dotted, load = f"{axle}.shock.spring_rate_n_per_mm", _sprung_load(values, axle)
        rate = values.get(dotted)
        if rate is None or load is None or load <= 0.0 or load / rate >= STIFF_M or usual_fault(dotted, 1e-3 * rate):
            continue
        why = (
            f"= {1e-3 * rate:.3g} N/mm gives only {1e3 * load / rate:.2g} mm under the {1e3 * load / STANDARD_GRAVITY:.0f} g that rest on it; "
            f"did a decimal point slip? {1e-4 * rate:.3g} N/mm would be usual"
        )
        doubts.append(Finding(dotted, why))
    return doubts


def _sprung_load(values: dict[str, Any], axle: str) -> float | None:
    """What rests on the springs of an axle on the level, N; an axle that is not weighed counts as two fifths of its load."""
    weighed, own = values.get(f"weighed.{axle}_g"), values.get(f"{axle}.axle_mass_g")
    if weighed is not None:
        return STANDARD_GRAVITY * (weighed - (0.4 * weighed if own is None else own))
    body, centre, wheelbase = (values.get(key) for key in ("body.mass_g", "body.centre_of_gravity_mm", "wheelbase_mm"))
    if body is None or centre is None or wheelbase is None:
        return None
    share = centre[0] / wheelbase
    return STANDARD_GRAVITY * body * (share if axle == "front" else 1.0 - share)


def _doubtful_proportions(values: dict) -> list[Finding]:
    doubts: list[Finding] = []
    wheelbase = values.get("wheelbase_mm")
    if wheelbase is None:
        return doubts
    centre = values.get("body.centre_of_gravity_mm")
    if centre is not None and not 0.0 < centre[0] < wheelbase:
        why = (
            f"is {centre[0] * 1e3:.4g} mm ahead of the rear wheel centre, outside the axles (wheelbase "
            f"{wheelbase * 1e3:.4g} mm); x counts forward from the rear wheel centre"
        )
        doubts.append(Finding("body.centre_of_gravity_mm", why))
    radii = [r for r in (wheel_centre_height(values, axle) for axle in AXLES) if r is not None]
    if len(radii) < len(AXLES):
        return doubts
    share = sum(radii) / wheelbase
    if not 0.2 <= share <= 0.9:
        what = "nearly touch" if share > 0.9 else "are tiny"
        why = (
            f"= {wheelbase * 1e3:.4g} mm with tyres of {radii[0] * 1e3:.4g} and {radii[1] * 1e3:.4g} "
            "mm radius: "
            f"the wheels {what}; radius, not diameter?"
        )
        doubts.append(Finding("wheelbase_mm", why))
    return doubts
