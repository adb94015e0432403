"""Climbs of a vehicle on four wheels, and first lifts under every plausible law of traction: a path, and steps from it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from math import degrees, radians
from typing import TYPE_CHECKING, Any

from noseload.model.errors import MissingDataError
from noseload.model.parameters import check_links
from noseload.model.space.parameters import WHEELS
from noseload.model.vehicle import Vehicle

from .nearby import BELOW_DEG, Below, lift_nearby, pose_nearby
from .plausible import plausible_laws

if TYPE_CHECKING:
    from noseload.studies.space.results import WheelLimits, Wheels

    from .plausible import Law


RANGED = tuple(f"{wheel}_load_n" for wheel in WHEELS) + ("twist_n", "chassis_roll_deg", "front_share", "grip_needed")
"""Numbers of a pose that are given with their range."""


class SpringClimb:
    """Poses of a vehicle on its springs over grade at one heading; options as of `SpaceClimb`."""

    def __init__(self, vehicle: Vehicle, **options: Any) -> None:
        check_links(vehicle)
        from noseload.studies.space.climb import SpaceClimb

        self.climb = SpaceClimb(vehicle, **options)
        self.standing = self.climb.standing
        self._options = options

    def under(self, law: Law) -> SpringClimb:
        """The same climb under another law of traction; not followed yet."""
        return SpringClimb(self.climb.vehicle, **{**self._options, **law.options, "standing": self.standing})

    def row(self, grade_deg: float) -> Wheels:
        """Four wheels at one grade."""
        from noseload.studies.space.rows import row_of

        return row_of(self.climb, grade_deg)

    @cached_property
    def limits(self) -> WheelLimits:
        """Grades at which the climb ends."""
        from noseload.studies.space.rows import limits_of

        return limits_of(self.climb)

    @cached_property
    def ends(self) -> WheelLimits:
        """`limits` without grip and torque, which take as long as the rest."""
        from noseload.studies.space.rows import limits_of

        return limits_of(self.climb, needs=False)

    @cached_property
    def first_lift(self) -> tuple[float | None, str | None]:
        """Grade (deg) at which the first wheel lifts, and that wheel; the path is followed no further for it."""
        first = self.climb.first_lift
        return (None, None) if first is None else (degrees(first[0]), first[1])

    @property
    def first_lift_deg(self) -> float | None:
        """Grade at which the first wheel lifts."""
        return self.first_lift[0]

    @cached_property
    def below_lift(self) -> Below:
        """The pose a little below the first lift."""
        found = self.climb.below_lift(radians(BELOW_DEG))
        if found is not None:
            return Below(degrees(found[0]), found[1])
        row = self.row((self.first_lift_deg or 0.0) - BELOW_DEG)
        return Below(row.grade_deg, row.state)

    def lift_of(self, other: SpringClimb) -> float | None:
        """First lift of the same vehicle under another law of traction, deg: by steps from here, else along its path."""
        found = None if self.first_lift_deg is None else lift_nearby(self.climb, other.climb, self.below_lift)
        return other.first_lift_deg if found is None else found

    def values_of(self, other: SpringClimb, row: Wheels) -> Mapping[str, Any]:
        """Numbers of RANGED of the other law at the grade of a row of this one."""
        found = pose_nearby(self.climb, other.climb, row)
        if found is not None:
            return found
        there = other.row(row.grade_deg)
        return {key: getattr(there, key) for key in RANGED}

    def pose(self, row: Wheels) -> Any:
        """Where everything is in a solved pose."""
        from noseload.model.space.places import space_pose

        return space_pose(self.climb.equilibrium.numbers, row.state, self.climb.equilibrium.blocks)


def wheel_climb(
    vehicle: Vehicle,
    *,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    rolling_shares: tuple[float, float] | None = None,
    shafts: bool = True,
    blocks: Mapping[str, float] | None = None,
    standing: Any = None,
) -> Any:
    """The path of a vehicle on four wheels: on springs, or rigid where the file has none; blocks in m.

    Raises
    ------
    MissingDataError
        A y or a track width is missing, or a rigid vehicle is asked about blocks.
    ModelError
        The links do not hold an axle.
    """
    if vehicle.level != "A":
        return SpringClimb(
            vehicle,
            heading_deg=heading_deg,
            mismatch=mismatch,
            rolling_shares=rolling_shares,
            shafts=shafts,
            blocks=blocks,
            standing=standing,
        )
    if blocks:
        raise MissingDataError(
            f"{vehicle.file or vehicle.name}: a rigid vehicle (level A) rocks on a block under one wheel; add links, shocks and "
            "springs (level B) for `--block`"
        )
    from .rigid import RigidClimb4

    return RigidClimb4(vehicle, heading_deg=heading_deg)


def first_lifts(
    vehicle: Vehicle, *, heading_deg: float = 0.0, climb: SpringClimb | None = None
) -> tuple[tuple[float | None, str | None], tuple]:
    """First lift of a climb and its wheel, and first lifts (deg or None) where all wheels slip alike and at every plausible mismatch.

    `climb`: of the vehicle on this heading, all wheels slipping alike, where it is at hand.
    """
    climb = climb or wheel_climb(vehicle, heading_deg=heading_deg)
    others = (climb.lift_of(climb.under(law)) for law in plausible_laws(vehicle))
    return climb.first_lift, (climb.first_lift_deg, *others)
