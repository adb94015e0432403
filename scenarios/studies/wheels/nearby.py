"""Poses and first lifts of a vehicle under another law of traction, from those already known: a few Newton steps each.

A whole path costs fifty times as much. Where the steps fail, or another wheel is off there, the path is followed after all.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.parameters import ENDS
from noseload.model.space.equilibrium import N
from noseload.model.space.events import WheelLift
from noseload.model.space.parameters import SIDES, WHEELS
from noseload.model.space.rows import SLIP
from noseload.solvers.newton import solve

if TYPE_CHECKING:
    from noseload.studies.space.climb import SpaceClimb
    from noseload.studies.space.results import Wheels

FARTHEST_DEG = 8.0
"""A first lift that is this far from the known one is looked for along its own path."""
BELOW_DEG = 0.05
"""How far below the known lift the steps to the other one start: a smooth place on the same pose."""


@dataclass(frozen=True, eq=False)
class Below:
    """A pose a little below a first lift: grade, deg, and unknowns of `SpaceEquilibrium`, None where there is none."""

    grade_deg: float
    state: np.ndarray | None


def lift_nearby(known: SpaceClimb, other: SpaceClimb, below: Below) -> float | None:
    """First lift of the other climb, deg, where the wheel that lifts first in the known one does; None: not found so.

    Parameters
    ----------
    known, other : SpaceClimb
        Of one vehicle; laws of traction differ.
    below : Below
        Of the known climb, a little below its first lift.
    """
    found = lift_pose_nearby(known, other, below)
    return None if found is None else found[0]


def lift_pose_nearby(known: SpaceClimb, other: SpaceClimb, below: Below) -> tuple[float, np.ndarray] | None:
    """As `lift_nearby`: the first lift, deg, and the pose there (unknowns of `SpaceEquilibrium`)."""
    first = known.first_lift
    if first is None or first[1] not in WHEELS or below.state is None:
        return None
    wheel = WHEELS.index(first[1])
    start = np.append(below.state, radians(below.grade_deg))
    start[SLIP] = slip_of(known, other, below.state)
    solution = solve(WheelLift(other.equilibrium, wheel), start, 0.0)
    if not solution.success:
        return None
    depths = other.equilibrium.depths(solution.state[:N])
    found = degrees(float(solution.state[N]))
    if min(d for k, d in enumerate(depths) if k != wheel) <= 0.0 or abs(found - degrees(first[0])) > FARTHEST_DEG:
        return None
    return found, solution.state[:N]


def slip_of(known: SpaceClimb, other: SpaceClimb, state: np.ndarray) -> float:
    """A slip of the other law whose traction is about that of the state."""
    if known.equilibrium.law.is_limit and not other.equilibrium.law.is_limit:
        return float(np.arctanh(min(max(float(state[SLIP]), -0.9), 0.9)))
    return float(state[SLIP])


def pose_nearby(known: SpaceClimb, other: SpaceClimb, row: Wheels) -> dict[str, Any] | None:
    """Loads, twist, roll, share of the traction and grip of the other climb at the grade of a row on four wheels.

    Returns
    -------
    dict or None
        By the keys of `Wheels`; None where the steps fail or a wheel is off.
    """
    from noseload.studies.space.rows import pose_angles

    if row.state is None or row.status != "ok":
        return None
    start = np.array(row.state)
    start[SLIP] = slip_of(known, other, start)
    solution = solve(other.equilibrium, start, radians(row.grade_deg))
    if not solution.success or min(other.equilibrium.depths(solution.state)) <= 0.0:
        return None
    equilibrium, state = other.equilibrium, solution.state
    seen = [equilibrium.seen(state, k) for k in range(len(ENDS))]
    loads = [seen[k][f"{side}_load"] for k in range(len(ENDS)) for side in SIDES]
    uses, _ = equilibrium.uses(state)
    numbers = equilibrium.numbers
    pull = [
        uses[k] * numbers.driven[k] * numbers.axles[k]["grip"] * (loads[2 * k] + loads[2 * k + 1])
        for k in range(len(ENDS))
    ]
    total = sum(pull)
    return {
        **{f"{wheel}_load_n": float(load) for wheel, load in zip(WHEELS, loads, strict=True)},
        "twist_n": 0.5 * float(loads[2] - loads[3]),
        "chassis_roll_deg": pose_angles(state)["chassis_roll_deg"],
        "front_share": float(pull[1] / total) if abs(total) > 1e-6 * equilibrium.weight else None,
        "grip_needed": float(max(other.needs(state))),
    }
