"""Ready-made changes of the trade, in amounts that a person does in one go: what would help, without writing a file.

Amounts are common practice, no source: a battery moves by about 20 mm in its tray, wheels take weights of 50 g each,
holes of link mounts lie about 5 mm apart and those of shock towers 8 mm, springs and foams come in steps of 15 to 20 %.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from noseload.model.parameters import axle_of
from noseload.model.vehicle import Vehicle

from .keys import AXLES

BATTERY_G = 150.0
"""A battery of two or three cells for a small crawler: 100 to 250 g."""
BATTERY_MM = 20.0
WHEELS_G = 100.0
HEIGHT_MM = 5.0
DROOP_MM = 8.0
SPRING_PERCENT = 15.0
FOAM_PERCENT = 20.0
HOLE_MM = 5.0
SHOCK_HOLE_MM = 8.0
WHEELBASE_MM = 10.0

Lines = Mapping[str, Any]


class ReadyMade(NamedTuple):
    """One change of the trade.

    Attributes
    ----------
    name : str
        By which every command knows it.
    label : str
        In words.
    make : callable
        Keys of a `[changes.NAME]` table for a vehicle, None where the vehicle has no such part or no room for it.
    links : bool
        Whether it is to links, springs or tyres, which a level A file does not have.
    """

    name: str
    label: str
    make: Callable[[Vehicle], Lines | None]
    links: bool = False


def _battery(name: str, words: str, forward: float, up: float) -> ReadyMade:
    def make(vehicle: Vehicle) -> dict | None:
        x, z = (1e3 * number for number in vehicle.body.centre_of_gravity)
        place = {"from": "body", "from_mm": [x, z], "to": "body", "to_mm": [x + forward, z + up]}
        return {"move_g": BATTERY_G, **place} if vehicle.body.mass > 2e-3 * BATTERY_G else None

    return ReadyMade(f"battery_{name}", f"battery ({BATTERY_G:g} g) {BATTERY_MM:g} mm {words}", make)


def _always(name: str, label: str, lines: dict, links: bool = True) -> ReadyMade:
    return ReadyMade(name, label, lambda vehicle: lines, links)


def _strap(axle: str) -> ReadyMade:
    def make(vehicle: Vehicle) -> dict[str, float] | None:
        droop = 1e3 * axle_of(vehicle, axle).shock.droop_travel
        return {f"{axle}_strap_mm": droop - DROOP_MM} if droop >= DROOP_MM else None

    return ReadyMade(f"{axle}_strap_{DROOP_MM:g}_mm", f"limit strap: {DROOP_MM:g} mm less {axle} droop", make, True)


def _ready_made() -> Iterator[ReadyMade]:
    yield _battery("20_mm_down", "down", 0.0, -BATTERY_MM)
    yield _battery("20_mm_forward", "forward", BATTERY_MM, 0.0)
    yield _battery("20_mm_back", "back", -BATTERY_MM, 0.0)
    for axle in AXLES[::-1]:
        lines = {"add_g": WHEELS_G, "at": f"{axle}_wheels"}
        yield _always(f"{axle}_wheels_100_g", f"{WHEELS_G:g} g more in the {axle} wheels", lines, False)
    down = -HEIGHT_MM
    yield _always("5_mm_lower", f"ride height {HEIGHT_MM:g} mm lower", {"ride_height_by_mm": down}, False)
    for axle in AXLES:
        lines = {f"{axle}_ride_height_by_mm": down}
        yield _always(f"{axle}_5_mm_lower", f"{axle} ride height {HEIGHT_MM:g} mm lower", lines)
    for axle in AXLES:
        yield _strap(axle)
    for axle in AXLES:
        for word, sign in (("softer", -1.0), ("stiffer", 1.0)):
            lines = {f"{axle}_spring_by_percent": sign * SPRING_PERCENT}
            label = f"{axle} springs {SPRING_PERCENT:g} % {word}, same height"
            yield _always(f"{axle}_springs_{word}", label, lines)
    for axle in AXLES:
        for part in ("upper_link", "lower_link"):
            for side in ("chassis", "axle"):
                for word, sign in (("up", 1.0), ("down", -1.0)):
                    end = f"{axle}.{part}.{side}_end"
                    lines = {"move_ends_by_mm": {end: [0.0, sign * HOLE_MM]}}
                    label = f"{axle} {part.replace('_', ' ')}, {side} end {HOLE_MM:g} mm {word}"
                    yield _always(f"{axle}_{part}_{side}_end_{word}", label, lines)
    for axle in AXLES:
        for word, sign in (("forward", 1.0), ("back", -1.0)):
            lines = {"move_ends_by_mm": {f"{axle}.shock.chassis_end": [sign * SHOCK_HOLE_MM, 0.0]}}
            label = f"{axle} shock, chassis end {SHOCK_HOLE_MM:g} mm {word}"
            yield _always(f"{axle}_shock_chassis_end_{word}", label, lines)
    longer = {"wheelbase_by_mm": WHEELBASE_MM}
    yield _always("wheelbase_10_mm_longer", f"wheelbase {WHEELBASE_MM:g} mm longer, links to fit", longer, False)
    for word, sign in (("softer", -1.0), ("stiffer", 1.0)):
        lines = {"tyres_by_percent": sign * FOAM_PERCENT}
        yield _always(f"tyres_{word}", f"tyres {FOAM_PERCENT:g} % {word} (foam or pressure)", lines)


READY_MADE: dict[str, ReadyMade] = {item.name: item for item in _ready_made()}
"""Name -> ready-made change, practical ones first."""


def lines_of(vehicle: Vehicle, name: str) -> Lines | None:
    """Keys of a ready-made change for a vehicle; None where the vehicle has no such part or no room for it."""
    item = READY_MADE[name]
    return None if item.links and vehicle.level == "A" else item.make(vehicle)
