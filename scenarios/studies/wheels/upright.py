"""Limits of a climb on which left and right stay alike: its side view's, in which both wheels of an axle lift at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.space.equilibrium import SpaceEquilibrium
from noseload.model.space.mirrored import is_mirrored
from noseload.model.space.parameters import space_numbers
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.split import own_split
from noseload.studies.climb.standing import Standing
from noseload.studies.space.results import WheelLimits

if TYPE_CHECKING:
    from noseload.studies.climb.creep import Climb


def stays_upright(vehicle: Vehicle, standing: Standing) -> bool:
    """Whether straight up the slope and without couples of shafts left and right of a vehicle are alike and slip alike."""
    return own_split(vehicle) is None and is_mirrored(
        SpaceEquilibrium(space_numbers(vehicle, standing.free_lengths, shafts=False))
    )


def upright_limits(climb: Climb) -> WheelLimits:
    """Limits straight up the slope without couples of shafts of a vehicle that `stays_upright`, read off its climb in the plane."""
    limits: Any = climb.uphill_limits
    tip = limits.tip_over_grade_deg
    return WheelLimits(
        first_wheel_lift_grade_deg=tip,
        tip_over_grade_deg=tip,
        over_sideways_grade_deg=None,
        grip_grade_deg=limits.grip_grade_deg,
        torque_grade_deg=limits.torque_grade_deg,
        fold_grade_deg=limits.fold_grade_deg,
        first_wheel=None if tip is None else "front_both",
        folds=limits.folds,
        steepest_deg=limits.steepest_equilibrium_deg,
        first="first_wheel_lift" if limits.first == "tip_over" else limits.first,
    )
