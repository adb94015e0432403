"""Results of the search for the maximum and the minimum front axle load, and the limits within which it builds."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.parameters import ENDS, LINKS
from noseload.studies.climb.split import difference_range
from noseload.studies.result import Result

from .candidates import POINTS, point_of

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.punch.splits_range import PunchRange


@dataclass(frozen=True)
class BuildingLimits:
    """Where link ends may be, mm.

    Attributes
    ----------
    reach : float
        How far each end may move from where it is, along x and along z.
    shortest, longest : float or None
        Length of a link; None: 0.6 and 1.5 times the shortest and longest link of the vehicle.
    clearance : float or None
        Least height of every link above the floor, standing; None: 5 mm below the lowest link end of the vehicle.
    separation : float
        Least distance between upper and lower link at the chassis and at the axle.
    """

    reach: float = 20.0
    shortest: float | None = None
    longest: float | None = None
    clearance: float | None = None
    separation: float = 14.0

    def filled(self, vehicle: Vehicle) -> BuildingLimits:
        """The limits with numbers in place of None, from the vehicle as it is."""
        points = {key: point_of(vehicle, key) for key in POINTS}
        lengths = [
            float(np.hypot(*np.subtract(points[f"{end}.{link}.chassis_end_mm"], points[f"{end}.{link}.axle_end_mm"])))
            for end in ENDS
            for link in LINKS
        ]
        lowest = min(z for _, z in points.values())
        return BuildingLimits(
            self.reach,
            0.6 * min(lengths) if self.shortest is None else self.shortest,
            1.5 * max(lengths) if self.longest is None else self.longest,
            max(0.0, lowest - 5.0) if self.clearance is None else self.clearance,
            self.separation,
        )

    def words(self) -> str:
        """The limits in one sentence."""
        return (
            f"each link end within {self.reach:g} mm of where it is along x and z and inside the tyre's outline at the axle; "
            f"links {self.shortest:.0f} to {self.longest:.0f} mm long and at least {self.clearance:.0f} mm above the floor; "
            f"upper above lower by {self.separation:g} mm or more at both ends; no link crosses another in the side view"
        )

    def to_dict(self) -> dict[str, Any]:
        """Keys with units."""
        return {f"{name}_mm": value for name, value in self.__dict__.items()}


@dataclass(frozen=True)
class Extreme:
    """One vehicle of the search, solved by its own climb and punched.

    Attributes
    ----------
    name : str
        'present', 'most' or 'least'.
    points_mm : dict
        Link ends by file key.
    front_load_n, nose_up_pitch_deg : float or None
        Creep at the grade; None past its tip-over.
    climb_ends_grade_deg : float or None
        Tip-over, or the fold where a slow climb snaps to another attitude.
    climb_ends_by : str or None
        'tip_over' or 'fold'.
    punch : dict
        Summary of a full-throttle punch at the grade; empty where it was not asked for or the start is not held.
    front_load_range_n : tuple of float or None
        Ends of its front load over plausible divisions of the pull between geared axles.
    punch_range : PunchRange or None
        The same of the punch.
    climb, row : Climb, Creep
    """

    name: str
    points_mm: dict
    status: str
    front_load_n: float | None
    nose_up_pitch_deg: float | None
    climb_ends_grade_deg: float | None
    climb_ends_by: str | None
    punch: dict = field(default_factory=dict)
    front_load_range_n: tuple[float, float] | None = None
    punch_range: PunchRange | None = None
    climb: Any = field(default=None, repr=False, compare=False)
    row: object = field(default=None, repr=False, compare=False)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = {k: v for k, v in self.__dict__.items() if k not in ("climb", "row")}
        return values | {"punch_range": None if self.punch_range is None else self.punch_range.to_dict()}


@dataclass(frozen=True)
class MostLoad(Result):
    """The range of front load that link geometry gives a vehicle at one grade.

    Attributes
    ----------
    grade_deg : float
    limits : BuildingLimits
    present, most, least : Extreme
    evaluations, refused : int
        Candidates tried, and those outside the limits or without a stable way up.
    seed : int
    """

    picture = "links.aim.plot_most"
    grade_deg: float
    limits: BuildingLimits
    present: Extreme
    most: Extreme
    least: Extreme
    evaluations: int
    refused: int
    seed: int
    ends_n: dict = field(default_factory=dict)
    """By 'most' and 'least': where every start of the last climb came to rest, N; empty where it was not asked for."""
    searched: str = "creep"
    """What was searched: the front load of the 'creep', or of the 'punch' (its smallest; below zero come the airborne times)."""

    @property
    def load_range_n(self) -> float | None:
        """Most less least front load, N; None where one of them has tipped over."""
        most, least = self.most.front_load_n, self.least.front_load_n
        return None if most is None or least is None else most - least

    @property
    def load_range_ends_n(self) -> tuple[float, float] | None:
        """Ends of `load_range_n` over plausible divisions of the pull between geared axles, each taken for both, N."""
        if self.load_range_n is None or self.most.climb is None:
            return None
        return difference_range(self.least.climb, self.most.climb, self.grade_deg)

    @property
    def end_range_deg(self) -> float | None:
        """Grade at which the climb of the most ends less that of the least, deg, or None."""
        most, least = self.most.climb_ends_grade_deg, self.least.climb_ends_grade_deg
        return None if most is None or least is None else most - least

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "grade_deg": self.grade_deg,
            "limits": self.limits.to_dict(),
            "present": self.present.to_dict(),
            "most": self.most.to_dict(),
            "least": self.least.to_dict(),
            "load_range_n": self.load_range_n,
            "load_range_ends_n": self.load_range_ends_n,
            "climb_ends_range_deg": self.end_range_deg,
            "evaluations": self.evaluations,
            "refused": self.refused,
            "seed": self.seed,
            "ends_n": {name: list(ends) for name, ends in self.ends_n.items()},
            "searched": self.searched,
            "status": "ok",
        }
