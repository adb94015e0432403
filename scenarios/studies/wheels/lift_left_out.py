"""What the model leaves out of a first wheel lift: sizes of it, and the vehicle and the board that carry them.

Contact ahead of the wheels and rolling resistance are numbers of the tyres; friction of shocks and splines is a longer free
length of the shocks at the pose of the lift; a board read wrong, a ledge and a surge are another grade.
"""

from dataclasses import replace
from math import asin, cos, degrees, radians
from typing import Any

import numpy as np

from noseload.model.parameters import ENDS, axle_of
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.errors.error_group import NEUTRAL, draw_parts
from noseload.studies.errors.friction import spline_levers
from noseload.studies.errors.left_out import Entry, Part, open_entries
from noseload.studies.errors.left_out_numbers import Doubted
from noseload.studies.errors.punch_draws import with_left_out

CARRIED = ("contact", "rolling", "shocks", "splines", "board", "ledges", "surge")
"""Entries of the table that a lift can carry; how the axles share the pull has a range of its own."""


class LeftOutOfLift:
    """Entries that a vehicle's file leaves open, for its first lift.

    Parameters
    ----------
    vehicle : Vehicle
        With links.
    lift_deg : float
        As calculated.
    """

    def __init__(self, vehicle: Vehicle, lift_deg: float) -> None:
        self.entries: list[Entry] = [entry for entry in open_entries(vehicle) if entry.key in CARRIED]
        self.parts: list[tuple[Entry, Part]] = [(entry, part) for entry in self.entries for part in entry.parts]
        self._levers = spline_levers(Climb(vehicle), lift_deg)

    def draw(self, draws: int, seed: int) -> np.ndarray:
        """Sizes, SI, shape (parts, draws), as `draw_parts`."""
        return draw_parts([part for _, part in self.parts], draws, seed)

    @property
    def nothing(self) -> np.ndarray:
        """Sizes at which nothing is left out, shape (parts,)."""
        return np.array([NEUTRAL.get(part.name, 0.0) for _, part in self.parts])

    @property
    def means(self) -> np.ndarray:
        """Means of the ranges, shape (parts,)."""
        return np.array([part.mean for _, part in self.parts])

    def alone(self, key: str) -> np.ndarray:
        """One entry at its mean, shape (parts,)."""
        own = np.array([entry.key == key for entry, _ in self.parts], dtype=bool)
        return np.where(own, self.means, self.nothing)

    def doubted(self, sizes: np.ndarray) -> Doubted:
        """Sizes by the names of the table."""
        return Doubted({part.name: float(size) for (_, part), size in zip(self.parts, sizes, strict=True)})

    def changed(self, vehicle: Vehicle, free_lengths: Any, sizes: np.ndarray) -> Vehicle:
        """The vehicle that carries these sizes; `free_lengths` of its shocks as it stands (rear, front), m."""
        doubted = self.doubted(sizes)
        carried, axles = with_left_out(vehicle, doubted), {}
        limits = doubted.left_out(vehicle)
        for end, length, lever in zip(ENDS, free_lengths, self._levers, strict=True):
            axle = axle_of(carried, end)
            push = getattr(limits, f"{end}_shock_friction") + lever * getattr(limits, f"{end}_shaft_friction")
            collar = axle.shock.collar_shift if vehicle.base is not None else 0.0
            longer = float(length) + float(push) / axle.shock.spring_rate - collar
            axles[end] = replace(axle, shock=replace(axle.shock, free_length=longer))
        return replace(carried, ride_height="springs_decide", **axles)

    def read(self, lift_deg: float, vehicle: Vehicle, sizes: np.ndarray) -> float:
        """What a phone on the board reads at a lift, deg: of a board read wrong, over a ledge, in a surge."""
        doubted = self.doubted(sizes)
        surge = asin(float(doubted.get("surge")) * cos(radians(lift_deg)) / STANDARD_GRAVITY)
        return lift_deg - degrees(surge + float(doubted.tilt(vehicle)))
