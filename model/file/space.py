"""What a vehicle file must say for answers about single wheels: faults at reading, and what such an answer asks for.

Four rods hold an axle so that it can move up and down and roll: two pairs, or a pair, a single link and a link
across. A fifth rod would hold its roll too; pairs that lie parallel in plan view leave it free sideways.
"""

from collections.abc import Mapping
from typing import Any

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.vehicle import Axle, Rod, Vehicle

from .checks import Finding
from .key import with_unit
from .keys import AXLES, CORNERS, KEYS, LATERAL, PARTS, SIDES

LINKS = PARTS[:2]
RODS = 4
"""Rods of an axle that can move up and down and roll."""
WEAK_HOLD = 0.02
"""Smallest singular value of the unit rods' hold on an axle (see `hold_of_axle`) that still counts as holding:
links splayed by about two degrees."""
DISAGREEMENT = 0.02
"""Share by which the readings of an axle and of its two wheels may differ before the reader asks."""
CLOSE_ENDS_M = 1e-6


def check_rods(values: dict) -> list[Finding]:
    """Faults of an axle held by more rods than it can have, and of links across without three numbers."""
    faults: list[Finding] = []
    for axle in AXLES:
        path = f"{axle}.{LATERAL}"
        ends = {end: values.get(f"{path}.{end}_end_mm") for end in ("chassis", "axle")}
        if all(point is None for point in ends.values()):
            continue
        for end, point in ends.items():
            key = f"{path}.{end}_end_mm"
            if point is None:
                faults.append(Finding(key, f"is missing (mm): a link across has two ends; {KEYS[key].recipe}"))
            elif point[1] is None:
                faults.append(Finding(key, "has two numbers; a link across needs three: [forward, left, up] in mm"))
        if any(f"{axle}.{link}.chassis_end_mm" not in values for link in LINKS):
            faults.append(Finding(path, "stands without the other links of that axle; add them or leave it out"))
            continue
        faults += _too_many(values, axle)
        if all(point is not None and point[1] is not None for point in ends.values()) and _is_short(ends):
            faults.append(
                Finding(f"{path}.axle_end_mm", "is the chassis end as well: a length of 0 mm; read both again")
            )
    return faults


def check_shafts(values: dict) -> list[Finding]:
    """Faults of a drive shaft that has one end or no length."""
    faults: list[Finding] = []
    for axle in AXLES:
        path = f"{axle}.drive_shaft"
        ends = {end: values.get(f"{path}.{end}_end_mm") for end in ("chassis", "axle")}
        given = [point for point in ends.values() if point is not None]
        if len(given) == 1:
            key = next(f"{path}.{end}_end_mm" for end, point in ends.items() if point is None)
            faults.append(Finding(key, f"is missing (mm): a shaft has two ends; {KEYS[key].recipe}"))
        elif given and _is_short({end: (p[0], 0.0, p[2]) for end, p in ends.items() if p is not None}):
            faults.append(
                Finding(f"{path}.axle_end_mm", "is the chassis end as well: a length of 0 mm; read both again")
            )
    return faults


def _is_short(ends: dict) -> bool:
    return sum((a - b) ** 2 for a, b in zip(ends["chassis"], ends["axle"], strict=True)) ** 0.5 < CLOSE_ENDS_M


def _too_many(values: dict[str, Any], axle: str) -> list[Finding]:
    rods = 1 + sum(1 if values.get(f"{axle}.{link}.single") else 2 for link in LINKS)
    if rods <= RODS:
        return []
    why = (
        f"is the fifth rod of the {axle} axle: two pairs of links leave it free to move up and down and to roll, a fifth "
        f"rod would lock its roll; take [{axle}.{LATERAL}] away, or write single = true where one link stands in "
        "place of a pair"
    )
    return [Finding(f"{axle}.{LATERAL}", why)]


def check_corners(values: dict) -> tuple[list[Finding], list[Finding]]:
    """Faults and doubts of the readings of four wheels."""
    if any(key not in values for key in CORNERS):
        return [], []
    faults, doubts = [], []
    for axle in AXLES:
        both = sum(values[f"weighed.{axle}_{side}_g"] for side in SIDES)
        whole = values.get(f"weighed.{axle}_g", both)
        if abs(both - whole) > DISAGREEMENT * whole:
            why = (
                f"= {with_unit(whole * 1e3, 'g')} but its wheels read {both * 1e3:.6g} g together; weigh again, every "
                "wheel at one height"
            )
            doubts.append(Finding(f"weighed.{axle}_g", why))
        if values.get(f"{axle}.track_width_mm", values.get("track_width_mm")) is None:
            why = f"is missing (mm): the readings of four wheels need it; {KEYS['track_width_mm'].recipe}"
            faults.append(Finding("track_width_mm", why))
            break
    return faults, doubts


def add_axle_readings(values: dict) -> None:
    """Fill in the readings of the axles where the file gives those of all four wheels alone."""
    if all(key in values for key in CORNERS):
        for axle in AXLES:
            both = sum(values[f"weighed.{axle}_{side}_g"] for side in SIDES)
            values.setdefault(f"weighed.{axle}_g", both)


def axle_reading_g(weighed: Mapping, axle: str) -> float:
    """Reading of an axle, g, of the plain table `[weighed]`: its own, else the sum of its two wheels."""
    given = weighed.get(f"{axle}_g")
    return sum(weighed[f"{axle}_{side}_g"] for side in SIDES) if given is None else given


def missing_in_space(vehicle: Vehicle) -> list[str]:
    """File keys that answers about single wheels lack: y of link and shock ends, track widths."""
    missing = []
    for end in AXLES:
        axle: Axle = getattr(vehicle, end)
        for name in PARTS:
            part = getattr(axle, name)
            if part is None:
                missing += [f"{end}.{name}.{side}_mm" for side in ("chassis_end", "axle_end")]
                continue
            missing += [
                f"{end}.{name}.{side}_mm" for side in ("chassis_end", "axle_end") if getattr(part, side)[1] is None
            ]
    tracks = [end for end in AXLES if getattr(vehicle, end).track_width is None]
    if len(tracks) == len(AXLES):
        missing.append("track_width_mm")
    else:
        missing += [f"{end}.track_width_mm" for end in tracks]
    return missing


def has_space(vehicle: Vehicle) -> bool:
    """Whether the vehicle can answer about single wheels: it gives every y, and its links hold both axles."""
    if missing_in_space(vehicle):
        return False
    return all(_loose_axle(vehicle, end) is None for end in AXLES)


def check_in_space(vehicle: Vehicle) -> None:
    """Raise unless the vehicle can answer about single wheels.

    Raises
    ------
    MissingDataError
        Naming every y and track width that is missing at once.
    ModelError
        The links leave an axle free to move otherwise than up and down and in roll.
    """
    missing = missing_in_space(vehicle)
    where = vehicle.file or vehicle.name
    if missing == ["track_width_mm"]:
        raise MissingDataError(f"{where}: single wheels need track_width_mm (mm): {KEYS['track_width_mm'].recipe}")
    if missing:
        listed = "\n".join(f"  {key}" for key in missing)
        raise MissingDataError(
            f"{where}: single wheels need three numbers [forward, left, up] at every link and shock end, mm, y of the left "
            f"one, and the track width; this file lacks them in\n{listed}\n"
            "Add them with a ruler from the middle of the vehicle; the side view goes on without."
        )
    loose = [reason for end in AXLES if (reason := _loose_axle(vehicle, end)) is not None]
    if loose:
        raise ModelError(f"{where}: " + "; ".join(loose))


def rods_of(axle: Axle) -> list[tuple[str, Rod]]:
    """Single rods of an axle in space by name: mirrored pairs as two ('lower_link_left', ...)."""
    found: list[tuple[str, Rod]] = []
    for name in LINKS:
        rod = getattr(axle, name)
        if rod.single:
            found.append((name, rod))
        else:
            found += [(f"{name}_left", rod), (f"{name}_right", mirrored(rod))]
    if axle.lateral_link is not None:
        found.append((LATERAL.removesuffix("_link"), axle.lateral_link))
    return found


def mirrored(rod: Rod) -> Rod:
    """The rod on the other side of the middle."""
    (x0, y0, z0), (x1, y1, z1) = rod.chassis_end, rod.axle_end
    return Rod((x0, None if y0 is None else -y0, z0), (x1, None if y1 is None else -y1, z1), rod.single)


def _loose_axle(vehicle: Vehicle, end: str) -> str | None:
    """Why the links do not hold an axle in space, or None."""
    axle = getattr(vehicle, end)
    rods = rods_of(axle)
    if len(rods) < RODS:
        return (
            f"{end}: {len(rods)} rods leave the axle free to move sideways or to turn; add [{end}.{LATERAL}], a link across, "
            "or take single = true away where there are two links"
        )
    if len(rods) > RODS:
        return f"{end}: {len(rods)} rods hold the axle, one more than it can bear; take [{end}.{LATERAL}] away"
    smallest, motion = hold_of_axle(vehicle, end)
    if smallest >= WEAK_HOLD:
        return None
    if motion == "sideways":
        return (
            f"{end}: its links lie parallel in plan view, so nothing holds the axle sideways; add [{end}.{LATERAL}], a link "
            "across, or give the y of the link ends as they are"
        )
    return f"{end}: its links leave the axle free in {motion}; read the link ends again"


def hold_of_axle(vehicle: Vehicle, end: str) -> tuple[float, str]:
    """How well the four rods hold an axle lengthwise, sideways, in pitch and in heading in the measured pose.

    Returns
    -------
    smallest : float
        Smallest singular value of the 4 x 4 matrix of unit rods against unit motions (turns by a tyre radius).
    motion : str
        The motion that it belongs to: 'lengthwise', 'sideways', 'pitch' or 'heading'.
    """
    import numpy as np

    axle = getattr(vehicle, end)
    radius = axle.tyre.wheel_centre_height
    centre = np.array([0.0 if end == "rear" else vehicle.wheelbase, 0.0, radius])
    rows = []
    for _, rod in rods_of(axle):
        inner, outer = np.array(rod.chassis_end, dtype=float), np.array(rod.axle_end, dtype=float)
        along = (outer - inner) / np.linalg.norm(outer - inner)
        turn = np.cross(outer - centre, along) / radius
        rows.append([along[0], along[1], turn[1], turn[2]])
    _, values, motions = np.linalg.svd(np.array(rows))
    names = ("lengthwise", "sideways", "pitch", "heading")
    return float(values[-1]), names[int(np.argmax(np.abs(motions[-1])))]
