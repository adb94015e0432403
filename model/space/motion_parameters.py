"""From a `Vehicle` to the numbers of its motion in space, in the order the kernels take them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from noseload.model.errors import MissingDataError
from noseload.model.generated.space_motion_order import CHASSIS_NUMBERS, MOVING_NUMBERS
from noseload.model.parameters import BRAKE_SPEED, ENDS, axle_of
from noseload.model.units import STANDARD_GRAVITY

from .parameters import SpaceNumbers, space_numbers

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


@dataclass(frozen=True)
class MotionNumbers:
    """Numbers of one moving vehicle in space, SI.

    Attributes
    ----------
    space : SpaceNumbers
        Of the same vehicle at rest.
    axles : tuple of dict
        Axle numbers by kernel name, rear and front.
    chassis : dict
        Chassis and motor numbers by kernel name.
    drag_brake : float
        Full torque of the drag brake at the wheels, N m.
    """

    space: SpaceNumbers
    axles: tuple
    chassis: dict
    drag_brake: float

    @property
    def weight(self) -> float:
        """N."""
        return self.space.weight

    @property
    def wheelbase(self) -> float:
        """m."""
        return self.space.wheelbase

    @property
    def masses(self) -> tuple:
        """Chassis, rear and front axle assembly, kg."""
        return self.space.masses

    def ordered_axles(self) -> tuple:
        """Axle numbers in kernel order, rear and front."""
        return tuple(tuple(float(axle[name]) for name in MOVING_NUMBERS) for axle in self.axles)

    def ordered_chassis(self) -> tuple:
        """Chassis numbers in kernel order."""
        return tuple(float(self.chassis[name]) for name in CHASSIS_NUMBERS)


def missing_for_motion(vehicle: Vehicle) -> list[str]:
    """File keys that motion in space lacks: moments of inertia about lengthwise and upright axes."""
    wanted = {
        "body.roll_inertia_kg_mm2": vehicle.body.roll_inertia,
        "body.yaw_inertia_kg_mm2": vehicle.body.yaw_inertia,
        "rear.axle_roll_inertia_kg_mm2": vehicle.rear.roll_inertia,
        "front.axle_roll_inertia_kg_mm2": vehicle.front.roll_inertia,
    }
    return [key for key, value in wanted.items() if value is None]


def motion_numbers(
    vehicle: Vehicle, free_lengths: tuple[float, float], *, shafts: bool = True, mismatch: float | None = None
) -> MotionNumbers:
    """Numbers of a vehicle moving in space.

    Parameters
    ----------
    vehicle : Vehicle
        With y of every link and shock end, and the moments of inertia in roll and yaw.
    free_lengths : pair of float
        Free shock lengths (rear, front), m, as the side view's standing pose sets them.
    shafts : bool
        False leaves the couples of the lengthwise shafts out.
    mismatch : float, optional
        How much faster the front wheels turn than the rear ones, as a share, in place of the drive's `front_overdrive`.

    Raises
    ------
    MissingDataError
        What is not in the file, by key.
    """
    space = space_numbers(vehicle, free_lengths, shafts=shafts)
    missing = missing_for_motion(vehicle)
    if missing:
        raise MissingDataError(
            "motion in space needs "
            + ", ".join(missing)
            + "; add them, or give the y of links and shocks and the track width so that defaults can stand in"
        )
    drive, axles = vehicle.drive, []
    overdrive = drive.front_overdrive if mismatch is None else 1.0 + mismatch
    for k, end in enumerate(ENDS):
        axle, values = axle_of(vehicle, end), dict(space.axles[k])
        driven = space.driven[k]
        ratio = overdrive if end == "front" and drive.driven_axles == "both" else 1.0
        values |= {
            "driven": driven,
            "driven_shaft": driven * values["shaft_share"],
            "motor_ratio": driven * ratio,
            "mass": axle.mass,
            "roll_inertia": axle.roll_inertia,
            "pitch_inertia": axle.housing_pitch_inertia,
            "wheels_inertia": axle.wheel_pair_inertia,
        }
        axles.append(values)
    chassis = {
        "mass": vehicle.body.mass,
        "roll_inertia": vehicle.body.roll_inertia,
        "pitch_inertia": vehicle.body.pitch_inertia,
        "yaw_inertia": vehicle.body.yaw_inertia,
        "rotor_inertia": drive.rotor_inertia,
        "stall_torque": drive.stall_torque,
        "no_load_speed": drive.no_load_speed,
        "brake_speed": BRAKE_SPEED,
        "gravity": STANDARD_GRAVITY,
    }
    return MotionNumbers(space, tuple(axles), chassis, drive.drag_brake_torque)
