"""The path of creep equilibria of any vehicle, on springs or rigid; neither loads what only the other needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle

    from .creep import Climb
    from .rigid import RigidClimb


def climb_of(vehicle: Vehicle) -> Climb | RigidClimb:
    """The path of creep equilibria of a vehicle; rigid where the file has no links."""
    if vehicle.level == "A":
        from .rigid import RigidClimb

        return RigidClimb(vehicle)
    from .creep import Climb

    return Climb(vehicle)
