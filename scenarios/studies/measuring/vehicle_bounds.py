"""What readings of one vehicle can be, from its file: closer bounds than those of all such vehicles."""

from collections.abc import Iterator, Mapping
from typing import Any

from noseload.model.units import GRAM, MILLIMETRE
from noseload.model.vehicle import Vehicle

from .fitted_quantities import centre_of_gravity

LINE_FACTOR = 5.0
"""A result that is so many times the file's number, or its share, was read in another unit rather than found."""

Bounds = Mapping[str, tuple[float, float]]


def vehicle_bounds(vehicle: Vehicle) -> dict[str, tuple[float, float]]:
    """Bounds by the names of columns and settings (their largest reading), and by the file's own dotted keys.

    They leave room for another setup and for weights put on: a mixed-up unit is off by ten times or more, a diameter by two.
    """
    along, up = centre_of_gravity(vehicle)
    whole, share = float(vehicle.mass) / GRAM, float(along / vehicle.wheelbase)
    loads = {"rear": whole * (1.0 - share), "front": whole * share}
    radii = [float(axle.tyre.wheel_centre_height) / MILLIMETRE for axle in (vehicle.rear, vehicle.front)]
    base, height = float(vehicle.wheelbase) / MILLIMETRE, float(up) / MILLIMETRE
    bounds = {
        "mass_g": (0.02 * whole, 1.4 * whole),
        "load_g": (0.7 * whole, 1.4 * whole),
        "standing_load_g": (0.5 * min(loads.values()), 1.5 * max(loads.values())),
        "axle_load_g": (0.4 * min(loads.values()), 5.0 * max(loads.values())),
        "sprung_mass_g": (0.2 * min(loads.values()), 1.3 * max(loads.values())),
        "level_front_g": (0.6 * loads["front"], 1.4 * loads["front"]),
        "front_scale_g": (0.6 * loads["front"], 1.4 * loads["front"]),
        "front_g": (0.2 * loads["front"], 1.4 * whole),
        "rear_g": (0.2 * loads["rear"], 1.4 * whole),
        "wheelbase_mm": (0.8 * base, 1.25 * base),
        "centre_of_gravity_height_mm": (0.5 * height, 2.0 * height),
    }
    for name in ("rear_radius_mm", "front_radius_mm", "rolling_radius_mm", "hub_height_mm"):
        bounds[name] = (0.75 * min(radii), 1.3 * max(radii))
    travels = [
        float(axle.shock.droop_travel + axle.shock.bump_travel) / MILLIMETRE
        for axle in (vehicle.rear, vehicle.front)
        if axle.shock is not None
    ]
    if travels and min(travels) > 0.0:
        bounds["compression_mm"] = (0.2 * min(travels), 2.5 * max(travels))
        bounds["distance_mm"] = (0.1 * min(travels), 1.5 * max(travels))
    for dotted, value in _numbers(vehicle.document):
        # A setting of the same name has its own, closer.
        bounds.setdefault(dotted, (value / LINE_FACTOR, value * LINE_FACTOR))
    return bounds


def _numbers(table: Mapping[str, Any], head: str = "") -> Iterator[tuple[str, float]]:
    """Positive numbers of a document with their dotted keys."""
    for name, value in table.items():
        if isinstance(value, Mapping):
            yield from _numbers(value, f"{head}{name}.")
        elif isinstance(value, int | float) and not isinstance(value, bool) and value > 0.0:
            yield f"{head}{name}", float(value)
