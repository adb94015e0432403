"""One axle followed from its bump stop to its droop stop, the chassis held in its attitude.

The ground stays below the wheel: where the wheel rises against the chassis by d, the chassis has sunk by d at
that end and, as if both ends moved alike, the whole centre of gravity by its sprung share of d.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, degrees, sin
from typing import TYPE_CHECKING

from noseload.model.links.axle_travel import AxlePlace
from noseload.model.links.link_geometry import TOWARD, SideView, anti_as_driven, anti_textbook
from noseload.model.parameters import ENDS
from noseload.solvers.roots import bracketed_root

if TYPE_CHECKING:
    from noseload.model.crawl.geometry import Pose
    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.model.links.axle_travel import AxleLinkage
    from noseload.studies.climb.standing import Standing


SCAN_STEP = 0.01
"""Step of the lower link's angle while looking for the stops, rad."""
LONGEST_SCAN = 1.5
"""Largest turn of the lower link that is looked at from the pose, rad."""


@dataclass(frozen=True)
class TravelRow:
    """One position of an axle; SI. Distances and turn count from the pose of the study.

    Attributes
    ----------
    shock_travel : float
        From the measured length, extension positive, m.
    wheel_rise, wheel_outward : float
        Of the wheel centre against the chassis, up and away from the other axle, m.
    turn : float
        theta of the housing against the chassis, rad.
    view : SideView
    textbook, as_driven : float or None
    """

    shock_travel: float
    wheel_rise: float
    wheel_outward: float
    turn: float
    view: SideView
    textbook: float | None
    as_driven: float | None


@dataclass(frozen=True)
class AxleTravel:
    """Rows from the bump stop to the droop stop, or as far as the links let the axle go.

    Attributes
    ----------
    end : str
    rows : tuple of TravelRow
    messages : tuple of str
        A sentence for each stop that the links keep the axle from reaching.
    """

    end: str
    rows: tuple
    messages: tuple

    def to_dict(self, name: str) -> dict:
        """Rows with unit-named keys, and messages."""
        return {"rows": [_row_dict(row, name) for row in self.rows], "messages": list(self.messages)}


def _row_dict(row: TravelRow, name: str) -> dict[str, float | None]:
    view = row.view
    return {
        "shock_travel_mm": 1e3 * row.shock_travel,
        "wheel_rise_mm": 1e3 * row.wheel_rise,
        "wheel_outward_mm": 1e3 * row.wheel_outward,
        "housing_nose_up_deg": -degrees(row.turn),
        "wheel_path_outward_deg": None if view.arm_angle is None else degrees(view.arm_angle),
        "swing_arm_length_mm": None if view.arm_length is None else 1e3 * view.arm_length,
        "contact_line_angle_deg": None if view.contact_angle is None else degrees(view.contact_angle),
        f"{name}_textbook_percent": None if row.textbook is None else 100.0 * row.textbook,
        f"{name}_as_driven_percent": None if row.as_driven is None else 100.0 * row.as_driven,
    }


def follow_travel(
    standing: Standing, linkage: AxleLinkage, pose: Pose, *, height: float, share: float, rows: int
) -> AxleTravel:
    """Geometry of one axle over its whole travel.

    Parameters
    ----------
    standing : Standing
    linkage : AxleLinkage
        At the pose.
    pose : Pose
    height : float
        Of the whole centre of gravity above the ground in the pose, m.
    share : float
        Part of the traction on this axle.
    rows : int
        Positions from bump to droop, the pose itself in the middle.

    Returns
    -------
    AxleTravel
    """
    values, end = standing.values, linkage.end
    limits = [values.axle(end).shortest, values.axle(end).longest]
    scan, messages = _scan(linkage, limits)
    low = max(limits[0], scan[0][1])
    high = min(limits[1], scan[-1][1])
    origin = linkage.place(linkage.angle)
    lengths = _spread(low, origin.shock_length, high, rows)
    measured = standing.measured_lengths[ENDS.index(end)]
    found = []
    for length in lengths:
        place = linkage.place(_angle_at(linkage, scan, length))
        found.append(_row(values, linkage, pose, place, origin, measured, height, share))
    return AxleTravel(end, tuple(found), messages)


def _spread(low: float, here: float, high: float, rows: int) -> list[float]:
    """Lengths from low to high, half of the rows on each side of `here` where that lies between them."""
    ends = [low, high] if not low < here < high else [low, here, high]
    half = max(1, (rows - 1) // (len(ends) - 1))
    spread = [a + (b - a) * k / half for a, b in pairwise(ends) for k in range(half)]
    return [*spread, high]


def _scan(linkage: AxleLinkage, limits: list[float]) -> tuple[list[tuple[float, float]], tuple[str, ...]]:
    """(angle, shock length) in order of length, reaching both stops where the links allow it."""
    start = linkage.place(linkage.angle).shock_length
    step = SCAN_STEP
    ahead = linkage.place(linkage.angle + 1e-5)
    longer = 1.0 if ahead is not None and ahead.shock_length > start else -1.0
    middle = (linkage.angle, start)
    up, stuck_up = _walk(linkage, middle, longer * step, limits[1], 1.0)
    down, stuck_down = _walk(linkage, middle, -longer * step, limits[0], -1.0)
    words = []
    for stuck, stop in ((stuck_down, "bump"), (stuck_up, "droop")):
        if stuck:
            words.append(f"the {linkage.end} axle does not reach its {stop} stop: {stuck}")
    return [*reversed(down), middle, *up], tuple(words)


def _walk(
    linkage: AxleLinkage, middle: tuple[float, float], step: float, limit: float, direction: float
) -> tuple[list[tuple[float, float]], str]:
    """Positions from the middle until the shock passes `limit`, and why it never does (or '')."""
    found: list = []
    angle, length = middle[0], middle[1]
    count = int(LONGEST_SCAN / abs(step))
    for _ in range(count):
        if (length - limit) * direction >= 0.0:
            return found, ""
        place = linkage.place(angle + step)
        if place is None:
            if abs(step) > 1e-7:
                step *= 0.25
                continue
            return found, f"its links lock at {1e3 * (length - middle[1]):+.1f} mm of shock travel from here"
        if (place.shock_length - length) * direction <= 0.0:
            if abs(step) > 1e-7:
                step *= 0.25
                continue
            return found, f"its shock turns back at {1e3 * (length - middle[1]):+.1f} mm of travel from here"
        angle, length = angle + step, place.shock_length
        found.append((angle, length))
    return (
        found,
        f"its shock has moved only {1e3 * (length - middle[1]):+.1f} mm after {LONGEST_SCAN:g} rad of the lower link",
    )


def _angle_at(linkage: AxleLinkage, scan: list[tuple[float, float]], length: float) -> float:
    """Angle of the lower link at a shock length inside the scan."""
    for (a, la), (b, lb) in pairwise(scan):
        if la <= length <= lb:
            if lb == la:
                return a
            return bracketed_root(
                lambda angle: linkage.place(angle).shock_length - length, a, b, la - length, lb - length
            )
    return scan[0][0] if length < scan[0][1] else scan[-1][0]


def _row(
    values: VehicleNumbers,
    linkage: AxleLinkage,
    pose: Pose,
    place: AxlePlace,
    origin: AxlePlace,
    measured: float,
    height: float,
    share: float,
) -> TravelRow:
    end, attitude = linkage.end, pose.angles["chassis"]
    from_here = _turned_difference(place.wheel, origin.wheel, attitude)
    rise, outward = from_here[1], -TOWARD[end] * from_here[0]
    wheel_height = pose.points[f"{end}_wheel_centre"][1]
    view = linkage.view(place, attitude, wheel_height)
    mass = sum(values.mass_of(body) for body in ("chassis", *ENDS))
    lowered = height - rise * values.chassis_mass / mass
    wheelbase = pose.points["front_wheel_centre"][0] - pose.points["rear_wheel_centre"][0] + outward
    return TravelRow(
        place.shock_length - measured,
        rise,
        outward,
        place.turn - origin.turn,
        view,
        anti_textbook(view, lowered, wheelbase),
        anti_as_driven(
            view, height=lowered, wheelbase=wheelbase, mass=mass, axle_mass=values.axle(end).mass, share=share
        ),
    )


def _turned_difference(a: tuple[float, float], b: tuple[float, float], theta: float) -> tuple[float, float]:
    x, z = a[0] - b[0], a[1] - b[1]
    return x * cos(theta) + z * sin(theta), -x * sin(theta) + z * cos(theta)
