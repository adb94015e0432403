"""Where the parts of a solved vehicle lie in the incline frame, for drawings and link geometry."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.parameters import ENDS, LINKS

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


BODY_ROWS = {"chassis": 0, "rear": 3, "front": 6}
"""First of the three coordinates (x, z, theta) of each body."""


@dataclass(frozen=True, eq=False)
class Pose:
    """Places of one solved pose, (x, z) in m along and above the slope; origin below the chassis' centre.

    Attributes
    ----------
    points : dict
        'rear_lower_link_chassis', 'rear_lower_link_axle', ..., 'front_shock_axle', 'rear_wheel_centre',
        'chassis_centre', 'centre_of_gravity' and the contact points 'rear_contact', 'front_contact'.
    angles : dict
        theta of 'chassis', 'rear' and 'front', rad.
    radii : dict
        Free tyre radius by end, m.
    """

    points: dict
    angles: dict
    radii: dict


def place(coordinates: np.ndarray, body: str, x: float, z: float) -> tuple:
    """Incline coordinates of a point fixed in a body at local (x, z), m."""
    k = BODY_ROWS[body]
    bx, bz, theta = (float(v) for v in coordinates[k : k + 3])
    return bx + x * cos(theta) + z * sin(theta), bz - x * sin(theta) + z * cos(theta)


def wheel_centre(axle: Any, x: float | np.ndarray, z: float | np.ndarray, theta: float | np.ndarray) -> tuple:
    """Incline coordinates (x, z) of a wheel centre, m, any shape: it is a point of the axle body at (x, z, theta)."""
    sine, cosine = np.sin(theta), np.cos(theta)
    across, up = axle.wheel_centre_x, axle.wheel_centre_z
    return x + across * cosine + up * sine, z - across * sine + up * cosine


def wheel_heights(values: VehicleNumbers, axles: np.ndarray | list[float]) -> tuple:
    """Heights of the wheel centres (rear, front) above the slope, m, from x, z, theta of rear and front axle (6, ...)."""
    return tuple(wheel_centre(values.axle(end), *axles[k : k + 3])[1] for end, k in zip(ENDS, (0, 3), strict=True))


def solved_pose(values: VehicleNumbers, coordinates: np.ndarray) -> Pose:
    """Places of all parts.

    Parameters
    ----------
    values : dict
        Kernel parameters by name.
    coordinates : sequence of float
        x, z (m) and theta (rad) of chassis, rear and front axle.

    Returns
    -------
    Pose
    """
    points = {}
    for end in ENDS:
        for part in (*LINKS, "shock"):
            for side, body in (("chassis", "chassis"), ("axle", end)):
                name = f"{end}_{part}_{side}"
                points[name] = place(coordinates, body, *values.axle(end).point(f"{part}_{side}"))
        wheel = place(coordinates, end, values.axle(end).wheel_centre_x, values.axle(end).wheel_centre_z)
        points[f"{end}_wheel_centre"] = wheel
        points[f"{end}_contact"] = (wheel[0], 0.0)
        points[f"{end}_centre"] = tuple(float(v) for v in coordinates[BODY_ROWS[end] : BODY_ROWS[end] + 2])
    points["chassis_centre"] = (float(coordinates[0]), float(coordinates[1]))
    masses = {body: values.mass_of(body) for body in BODY_ROWS}
    total = sum(masses.values())
    points["centre_of_gravity"] = tuple(
        sum(masses[b] * points[f"{b}_centre"][axis] for b in masses) / total for axis in (0, 1)
    )
    return Pose(
        points,
        {b: float(coordinates[k + 2]) for b, k in BODY_ROWS.items()},
        {end: values.axle(end).tyre_radius for end in ENDS},
    )
