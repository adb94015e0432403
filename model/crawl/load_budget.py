"""The front axle load taken apart, exactly: moment balance of the whole vehicle about the rear contact.

Angular momentum of all bodies about the point of the slope below the rear wheel centre::

    N_front L = sum m (x - x_r)(G cos g + z'') - sum m z (G sin g + x'') - sum I theta'' - e_r N_r - e_f N_f

e is how far ahead of its wheel centre an axle's load acts (rolling resistance, lengthwise give of the tyres).
Links, shocks and traction do not appear: inside forces cancel, traction has no arm. The rotor's axis
lies lengthwise in the vehicle, so its spin has no part in this balance.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.parameters import ENDS

from . import budget_parts
from .geometry import wheel_centre

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


BODIES = ("chassis", *ENDS)


def _rows(body: str) -> slice:
    k = 3 * BODIES.index(body)
    return slice(k, k + 3)


def _arms(
    values: VehicleNumbers, coordinates: np.ndarray | list[float]
) -> tuple[float | np.ndarray, list[tuple[float, float | np.ndarray, float | np.ndarray]]]:
    """Wheelbase, and per body (mass, x from the rear contact, height), m."""
    rear, front = (wheel_centre(values.axle(end), *coordinates[_rows(end)])[0] for end in ENDS)
    wheelbase = front - rear
    bodies = []
    for body in BODIES:
        x, z, _ = coordinates[_rows(body)]
        bodies.append((values.mass_of(body), x - rear, z))
    return wheelbase, bodies


def centre_of_gravity(values: VehicleNumbers, coordinates: np.ndarray | list[float]) -> tuple:
    """Centre of gravity of the whole vehicle as it stands on the slope.

    Parameters
    ----------
    values : dict
        Kernel parameters by name.
    coordinates : array_like, shape (9, ...)
        x, z (m) and theta (rad) of chassis, rear and front axle in the incline frame.

    Returns
    -------
    distance, height, wheelbase : m
        From the rear contact along the slope, above the slope, and between the wheel centres.
    """
    wheelbase, bodies = _arms(values, coordinates)
    mass = sum(m for m, _, _ in bodies)
    return sum(m * x for m, x, _ in bodies) / mass, sum(m * z for m, _, z in bodies) / mass, wheelbase


def load_budget(
    values: VehicleNumbers,
    weight: float,
    coordinates: np.ndarray | list[float],
    grade: float,
    standing: tuple[float, float, float],
    seen: Mapping[str, Any],
) -> dict[str, float | np.ndarray]:
    """Parts of the front axle load; they add up to the front tyre force, airborne included.

    Parameters
    ----------
    values : VehicleNumbers
        With accelerations also the moments of inertia
        (`noseload.model.motion.mobility.motion_parameters`).
    weight : float
        N.
    coordinates : array_like, shape (9, ...)
        x, z (m) and theta (rad) of chassis, rear and front axle in the incline frame.
    grade : float or array_like
        rad.
    standing : tuple of float
        (distance, height, wheelbase) of `centre_of_gravity` in the solved standing pose, m.
    seen : mapping of str to array_like
        By the names that `observe` of motion has: `contact_couple` (2, ...), the moment of rear and front load about the
        points below their wheel centres, N m (`noseload.model.crawl.rolling`); `accelerations` (11, ...) of the coordinates,
        then of both wheel pairs' spins relative to their housings, not there in steady motion.

    Returns
    -------
    dict of str to ndarray
        Keys of `noseload.model.crawl.budget_parts`, N, each of the trailing shape of `coordinates`.
    """
    distance, height, wheelbase = centre_of_gravity(values, coordinates)
    normal, along = weight * np.cos(grade), weight * np.sin(grade)
    moments = {"contact_offset_n": -sum(seen["contact_couple"])}
    if "accelerations" in seen:
        moments |= _moments_of_motion(values, coordinates, np.asarray(seen["accelerations"], dtype=float))
    return budget_of_moments(weight, standing, normal, along, wheelbase, normal * distance - along * height, moments)


def budget_of_moments(
    weight: float,
    standing: tuple[float, float, float],
    normal: Any,
    along: Any,
    wheelbase: Any,
    of_weight: Any,
    moments: Mapping[str, Any],
) -> dict[str, Any]:
    """Parts of the front axle load from moments about the rear contact: the same formulas at rest, in motion and in space.

    Parameters
    ----------
    weight : float
        N.
    standing : triple of float
        (distance, height, wheelbase) in the solved standing pose, m.
    normal, along : float or ndarray
        Weight across the slope and down along it, N: a rigid vehicle's.
    wheelbase : float or ndarray
        In the pose, m.
    of_weight : float or ndarray
        Moment of the weight in the pose, N m; positive loads the front.
    moments : mapping of str to (float or ndarray)
        The same of every further part by its key in `noseload.model.crawl.budget_parts`; nothing of one that is not there.

    Returns
    -------
    dict of str to (float or ndarray)
        N, by key in the order of the table; they add up.
    """
    distance, height, length = standing
    flat = weight * distance / length + 0.0 * wheelbase
    rigid = (normal * distance - along * height) / length
    parts = {"standing_n": flat, "grade_n": rigid - flat, "attitude_n": of_weight / wheelbase - rigid}
    return {
        key: parts[key] if key in parts else moments.get(key, 0.0 * wheelbase) / wheelbase
        for key in budget_parts.keys()
    }


def _moments_of_motion(
    values: VehicleNumbers, coordinates: np.ndarray | list[float], accelerations: np.ndarray
) -> dict[str, np.ndarray]:
    """Moments that a steady climb does not have, by part, N m."""
    _, bodies = _arms(values, coordinates)
    lengthwise = normal = 0.0
    for (mass, x, z), body in zip(bodies, BODIES, strict=True):
        x_rate, z_rate, _ = accelerations[_rows(body)]
        lengthwise = lengthwise - mass * z * x_rate
        normal = normal + mass * x * z_rate
    chassis = -values.chassis_inertia * accelerations[2]
    housings = wheels = 0.0
    for end, angle, spin in zip(ENDS, (5, 8), (9, 10), strict=True):
        housings = housings - values.moving.axle(end).housing * accelerations[angle]
        wheels = wheels - values.moving.axle(end).wheels * (accelerations[angle] + accelerations[spin])
    return {
        "lengthwise_acceleration_n": lengthwise,
        "normal_acceleration_n": normal,
        "rotation_chassis_n": chassis,
        "rotation_housings_n": housings,
        "rotation_wheels_n": wheels,
    }
