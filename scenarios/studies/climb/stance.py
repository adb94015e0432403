"""How a vehicle stands on the level, in numbers that a ruler and an angle gauge can check."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING, Any

from noseload.model.crawl.geometry import place, solved_pose
from noseload.model.parameters import axle_of, side_view
from noseload.model.vehicle import ENDS

from .standing import coordinates_of

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.standing import Standing


def standing_measures(climb: Any) -> dict[str, float]:
    """What a tuner can check with a ruler and an angle gauge, standing on the level.

    Returns
    -------
    dict
        `rear_ride_height_mm`, `front_ride_height_mm` (height above the floor of the chassis over the axle, at the point
        that lies as high as the chassis end of the file's lower link: the meaning of `ride_height_by_mm` in changes),
        `wheelbase_mm`, `rear_housing_nose_up_deg`, `front_housing_nose_up_deg`, `nose_up_pitch_deg`,
        `centre_of_gravity_mm` from the rear axle, its `_height_mm`, and travel left before each stop.
    """
    if climb.rigid:
        return {
            "centre_of_gravity_mm": 1e3 * climb.distance,
            "centre_of_gravity_height_mm": 1e3 * climb.height,
            "wheelbase_mm": 1e3 * climb.vehicle.wheelbase,
        }
    return solved_measures(climb.standing)


def solved_measures(standing: Standing) -> dict[str, float]:
    """`standing_measures` of a solved standing pose."""
    values, coordinates = standing.values, coordinates_of(standing.state)
    pose = solved_pose(values, coordinates)
    distance, height, wheelbase = standing.reference
    lengths = standing.equilibrium.outputs(standing.state, 0.0)[0][4:]
    measures: dict[str, float] = {}
    for k, end in enumerate(ENDS):
        measures |= {
            f"{end}_ride_height_mm": 1e3 * place(coordinates, "chassis", *_over_axle(standing.vehicle, end))[1],
            f"{end}_housing_nose_up_deg": -degrees(pose.angles[end]),
            f"{end}_droop_left_mm": 1e3 * float(values.axle(end).longest - lengths[k]),
            f"{end}_bump_left_mm": 1e3 * float(lengths[k] - values.axle(end).shortest),
        }
    return measures | {
        "nose_up_pitch_deg": -degrees(pose.angles["chassis"]),
        "wheelbase_mm": 1e3 * wheelbase,
        "centre_of_gravity_mm": 1e3 * distance,
        "centre_of_gravity_height_mm": 1e3 * height,
    }


def _over_axle(vehicle: Vehicle, end: str) -> tuple[float, float]:
    """The chassis point over an axle, from the chassis' centre of gravity, m; of the file as written, so that setups share it."""
    root = vehicle
    while root.base is not None:
        root = root.base
    height = side_view(axle_of(root, end).lower_link.chassis_end)[1]
    x, z = vehicle.body.centre_of_gravity
    return (0.0 if end == "rear" else root.wheelbase) - x, height - z
