"""A vehicle at rest on level ground on four wheels, as scales under them read it: no wheel rolls and no axle pulls."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noseload.model.parameters import ENDS
from noseload.model.space.equilibrium import SpaceEquilibrium
from noseload.model.space.parameters import SIDES, WHEELS

from .climb import on_blocks, stand_in_space
from .rows import pose_angles

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


@dataclass(frozen=True)
class Resting:
    """Wheel loads by name, N, and roll of the chassis, deg, left side up positive."""

    loads_n: dict[str, float]
    chassis_roll_deg: float


def rest_on_wheels(vehicle: Vehicle, *, blocks: Mapping[str, float] | None = None) -> Resting:
    """Solve the pose at rest on level ground.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks, and track widths.
    blocks : mapping, optional
        Height of a block under a wheel by name ('front_left'), mm.

    Returns
    -------
    Resting

    Raises
    ------
    MissingDataError, ModelError
        The file lacks a y or a track, or its links do not hold an axle in space.
    SolverError
        It does not stand, or not on these blocks.
    """
    standing = stand_in_space(vehicle)
    rest = SpaceEquilibrium(standing.equilibrium.numbers.at_rest()).take_branch_of(standing.equilibrium)
    heights = tuple(1e-3 * (blocks or {}).get(wheel, 0.0) for wheel in WHEELS)
    state = on_blocks(rest, heights, standing.solution.state).state
    seen = [rest.with_(blocks=heights).seen(state, k) for k in range(len(ENDS))]
    loads = [float(seen[k][f"{side}_load"]) for k in range(len(ENDS)) for side in SIDES]
    return Resting(dict(zip(WHEELS, loads, strict=True)), float(pose_angles(state)["chassis_roll_deg"]))
