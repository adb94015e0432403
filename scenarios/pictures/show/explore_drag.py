"""A link end taken with the mouse on the drawing: which one is meant, and how far the hand has moved it in the file's terms."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, sin
from typing import TYPE_CHECKING

from noseload.studies.links.candidates import POINTS

if TYPE_CHECKING:
    from noseload.model.crawl.geometry import Pose
    from noseload.pictures.side_view import Slope

REACH_PIXELS = 14.0
"""A hand this near to an end means it: half of what a finger covers."""
STEP_MM = 0.5
"""Ends are moved in the steps of their sliders."""


def point_name(key: str) -> str:
    """Name of a link end among the points of a pose: 'rear.upper_link.axle_end_mm' is 'rear_upper_link_axle'."""
    return key.removesuffix("_end_mm").replace(".", "_")


def ends_on_paper(pose: Pose, slope: Slope) -> dict[str, tuple[float, float]]:
    """Where every link end is drawn, mm, by its key in the file."""
    return {key: slope.place(pose.points[point_name(key)]) for key in POINTS}


def nearest_end(pixels: dict[str, tuple[float, float]], x: float, y: float, chosen: str) -> str | None:
    """Key of the link end that a hand at (x, y) means; of two on one spot the one chosen before; None for none.

    Parameters
    ----------
    pixels : dict of str to (float, float)
        Where the ends are.
    x, y : float
    chosen : str
    """
    away = {key: hypot(px - x, py - y) - (1.0 if key == chosen else 0.0) for key, (px, py) in pixels.items()}
    best = min(away, key=lambda key: away[key])
    return best if away[best] <= REACH_PIXELS else None


@dataclass(frozen=True)
class Drag:
    """A link end in the hand.

    Attributes
    ----------
    key : str
    start : (float, float)
        Of the hand, mm on paper.
    offset : (float, float)
        How far the end was moved before, mm forward and up.
    turned : float
        Angle of the body that the end is fixed to against the file's axes, on paper, counter-clockwise, rad.
    """

    key: str
    start: tuple[float, float]
    offset: tuple[float, float]
    turned: float

    def at(self, x: float, y: float, most: float) -> tuple[float, float]:
        """Forward and up, mm, with the hand at (x, y) on paper; in steps, and no further than `most` either way."""
        dx, dy = x - self.start[0], y - self.start[1]
        along, across = cos(self.turned), sin(self.turned)
        moved = (self.offset[0] + dx * along + dy * across, self.offset[1] - dx * across + dy * along)
        forward, up = (min(max(STEP_MM * round(value / STEP_MM), -most), most) for value in moved)
        return forward, up


def body_of(key: str) -> str:
    """The body that a link end is fixed to: 'chassis', 'rear' or 'front'."""
    end, _, side = key.split(".")
    return "chassis" if side.startswith("chassis") else end
