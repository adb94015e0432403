"""Where link ends may be built: limits in mm, and whether a linkage keeps them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.parameters import ENDS, LINKS, axle_of, wheel_height

from .candidates import POINTS
from .extremes import BuildingLimits

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


def check_limits(limits: BuildingLimits) -> None:
    """Raise `ModelError` for limits that contradict each other."""
    faults = [
        f"{name} {value:g} mm must be above 0"
        for name, value in (
            ("reach", limits.reach),
            ("shortest link", limits.shortest),
            ("separation", limits.separation),
        )
        if value is not None and not value > 0.0
    ]
    shortest, longest = limits.shortest, limits.longest
    if shortest is not None and longest is not None and longest <= shortest:
        faults.append(f"longest link {longest:g} mm must be above the shortest, {shortest:g} mm")
    if faults:
        raise ModelError("building limits: " + "; ".join(faults))


class LinkRoom:
    """Whether linkages of one vehicle keep building limits; points (16, cases) in mm, order of POINTS."""

    def __init__(self, vehicle: Vehicle, limits: BuildingLimits) -> None:
        self.limits = limits
        self.origins = {
            "chassis": vehicle.body.centre_of_gravity,
            "rear": (0.0, wheel_height(vehicle.rear)),
            "front": (vehicle.wheelbase, wheel_height(vehicle.front)),
        }
        self.radii = {end: 1e3 * wheel_height(axle_of(vehicle, end)) for end in ENDS}

    def allowed(self, points: np.ndarray) -> np.ndarray:
        """True (cases,) inside the building limits."""
        return (self.rooms(points) >= 0.0).all(axis=0) & ~self.crossing(points)

    def rooms(self, points: np.ndarray) -> np.ndarray:
        """How far each limit is from being broken, mm (limits, cases); crossing links are not among them."""
        limits, links, rooms = self.limits, _links(points), []
        for (end, _), (chassis, axle) in links.items():
            length = np.hypot(*(chassis - axle))
            centre = np.array(self.origins[end])[:, None] * 1e3
            rooms += [
                length - limits.shortest,
                limits.longest - length,
                chassis[1] - limits.clearance,
                axle[1] - limits.clearance,
                self.radii[end] - np.hypot(*(axle - centre)),
            ]
        for end in ENDS:
            for side in (0, 1):
                rooms.append(links[end, "upper_link"][side][1] - links[end, "lower_link"][side][1] - limits.separation)
        return np.array(rooms)

    def crossing(self, points: np.ndarray) -> np.ndarray:
        """True (cases,) where a link crosses another in the side view."""
        links = list(_links(points).values())
        crossed = np.zeros(points.shape[1], dtype=bool)
        for i, a in enumerate(links):
            for b in links[i + 1 :]:
                crossed |= _cross(*a, *b)
        return crossed


def _links(points: np.ndarray) -> dict[tuple[str, str], tuple[np.ndarray, np.ndarray]]:
    """Chassis and axle end (2, cases) of every link, by axle and link."""
    p = {key: points[2 * i : 2 * i + 2] for i, key in enumerate(POINTS)}
    return {
        (end, link): (p[f"{end}.{link}.chassis_end_mm"], p[f"{end}.{link}.axle_end_mm"])
        for end in ENDS
        for link in LINKS
    }


def _cross(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> np.ndarray:
    """True (cases,) where the segment from a to b meets the one from c to d."""

    def side(p: np.ndarray, q: np.ndarray, r: np.ndarray) -> np.ndarray:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return (side(a, b, c) * side(a, b, d) < 0.0) & (side(c, d, a) * side(c, d, b) < 0.0)
