"""From a `Vehicle` to the numbers that the axle kernels in space take, in the order they take them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from noseload.model.file.space import check_in_space, rods_of
from noseload.model.generated.space_order import AXLE_NUMBERS
from noseload.model.parameters import ENDS, axle_centre, axle_of, law_numbers, source_of_length, true_length_of
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import SIDES

if TYPE_CHECKING:
    from noseload.model.vehicle import Rod, Shock, Vehicle


WHEELS = tuple(f"{end}_{side}" for end in ENDS for side in SIDES)
"""Rear left, rear right, front left, front right."""
_AXES = "xyz"
_ROLLING = ("rolling_resistance", "free_rolling")


@dataclass(frozen=True, eq=False)
class SpaceNumbers:
    """Numbers of one vehicle in space, SI.

    Attributes
    ----------
    axles : tuple of dict
        Axle numbers by kernel name, rear and front.
    rods : tuple of tuple of str
        Names of the four rods of each axle, in kernel order.
    masses : tuple of float
        Chassis, rear, front axle assembly, kg.
    driven : tuple of float
        1.0 where an axle is driven.
    wheelbase : float
    """

    axles: tuple
    rods: tuple
    masses: tuple
    driven: tuple
    wheelbase: float

    @property
    def weight(self) -> float:
        """N."""
        return sum(self.masses) * STANDARD_GRAVITY

    def at_rest(self) -> SpaceNumbers:
        """Those of the vehicle whose wheels do not roll."""
        return replace(self, axles=tuple(axle | dict.fromkeys(_ROLLING, 0.0) for axle in self.axles))

    def ordered(self) -> tuple:
        """Axle numbers in kernel order, rear and front."""
        return tuple(tuple(axle[name] for name in AXLE_NUMBERS) for axle in self.axles)


def _axle_numbers(vehicle: Vehicle, end: str, free_length: float | None, shafts: bool) -> tuple:
    driven = vehicle.drive.driven_axles in ("both", end)
    axle = axle_of(vehicle, end)
    x, z = vehicle.body.centre_of_gravity
    chassis, (cx, cz) = (x, vehicle.body.side_offset, z), axle_centre(vehicle, end)
    centre, (dx, dz) = (cx, axle.side_offset, cz), axle.centre_of_gravity_offset
    values, names = {}, []

    def place(part: str, ends: Rod | Shock) -> None:
        for name, point, origin in (("chassis", ends.chassis_end, chassis), ("axle", ends.axle_end, centre)):
            for axis, coordinate, shift in zip(_AXES, point, origin, strict=True):
                values[f"{part}_{name}_{axis}"] = coordinate - shift

    for k, (name, rod) in enumerate(rods_of(axle)):
        place(f"rod_{k + 1}", rod)
        link = "lateral_link" if name == "lateral" else name.removesuffix("_left").removesuffix("_right")
        values[f"rod_{k + 1}_length"] = true_length_of(source_of_length(vehicle, end, link))
        names.append(f"{end}_{name}")
    place("shock", axle.shock)
    # Left and right mirror each other about the middle of the vehicle, wherever the centres of gravity are.
    values |= law_numbers(vehicle, end, free_length, share=0.5)
    values |= {
        "shock_chassis_shift": -chassis[1],
        "shock_axle_shift": -centre[1],
        "wheel_x": -dx,
        "wheel_y": -axle.side_offset,
        "wheel_z": -dz,
        "half_track": 0.5 * axle.track_width,
        # Of wheels that nothing turns: traction is what keeps them rolling.
        "free_rolling": 0.0 if driven else axle.tyre.rolling_resistance,
        "shaft_share": axle.shaft_direction / axle.axle_ratio if shafts and axle.axle_ratio is not None else 0.0,
    }
    for name, point in (("chassis", axle.shock.chassis_end), ("axle", axle.shock.axle_end)):
        values[f"shock_{name}_y"] = point[1]
    return values, tuple(names)


def space_numbers(vehicle: Vehicle, free_lengths: tuple[float, float], *, shafts: bool = True) -> SpaceNumbers:
    """Numbers of a vehicle in space.

    Parameters
    ----------
    vehicle : Vehicle
        With y of every link and shock end.
    free_lengths : pair of float
        Free shock lengths (rear, front), m, as the side view's standing pose sets them.
    shafts : bool
        False leaves the couples of the lengthwise shafts out.

    Returns
    -------
    SpaceNumbers

    Raises
    ------
    MissingDataError, ModelError
        As `noseload.model.file.space.check_in_space`.
    """
    check_in_space(vehicle)
    found = [_axle_numbers(vehicle, end, free, shafts) for end, free in zip(ENDS, free_lengths, strict=True)]
    driven = vehicle.drive.driven_axles
    return SpaceNumbers(
        axles=tuple(values for values, _ in found),
        rods=tuple(names for _, names in found),
        masses=(vehicle.body.mass, vehicle.rear.mass, vehicle.front.mass),
        driven=tuple(float(driven in ("both", end)) for end in ENDS),
        wheelbase=vehicle.wheelbase,
    )
