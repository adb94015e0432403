"""Limits of a climb on which left and right stay alike: its side view's, in which both wheels of an axle lift at once."""

from math import degrees

from noseload.model.space.equilibrium import SpaceEquilibrium
from noseload.model.space.mirrored import is_mirrored
from noseload.model.space.parameters import space_numbers
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import own_split
from noseload.studies.climb.standing import Standing
from noseload.studies.space.results import WheelLimits


def stays_upright(vehicle: Vehicle, standing: Standing) -> bool:
    """Whether straight up the slope and without couples of shafts left and right of a vehicle are alike and slip alike."""
    return own_split(vehicle) is None and is_mirrored(
        SpaceEquilibrium(space_numbers(vehicle, standing.free_lengths, shafts=False))
    )


def upright_limits(vehicle: Vehicle, standing: Standing) -> WheelLimits:
    """Limits straight up the slope without couples of shafts of a vehicle that `stays_upright`."""
    climb = Climb(vehicle, standing=standing)
    grades = {
        "first_wheel_lift": climb.tip_over(),
        "tip_over": climb.tip_over(),
        "grip": climb.reached("grip"),
        "torque": climb.reached("torque"),
        "fold": climb.fold,
    }
    met = {name: grade for name, grade in grades.items() if grade is not None}
    steepest = [p.parameter for p in climb.uphill.points if climb.load(p, "front") >= 0.0]
    return WheelLimits(
        **{f"{name}_grade_deg": None if grade is None else degrees(grade) for name, grade in grades.items()},
        over_sideways_grade_deg=None,
        first_wheel=None if grades["tip_over"] is None else "front_both",
        folds=len(climb.uphill.folds()) - 2 * len(climb.followed().snaps),
        steepest_deg=degrees(max([*steepest, *met.values()])),
        first=min(met, key=lambda name: met[name]) if met else None,
    )
