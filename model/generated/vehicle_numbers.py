"""Numbers of a vehicle, SI. Written by `python -m noseload.model.symbols.derive`; do not edit."""

from dataclasses import dataclass, replace
from typing import Any

from noseload.model.errors import MissingDataError

from .parameter_order import PARAMETERS, STATIC_PARAMETERS


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class AxleNumbers:
    """What the kernels take of one axle; floats, complex numbers or arrays."""

    contact_give: Any
    damping: Any
    driven: Any
    free_length: Any
    grip: Any
    longest: Any
    lower_link_axle_x: Any
    lower_link_axle_z: Any
    lower_link_chassis_x: Any
    lower_link_chassis_z: Any
    lower_link_length: Any
    mass: Any
    motor: Any
    rolling_resistance: Any
    rolling_share: Any
    shock_across: Any
    shock_axle_x: Any
    shock_axle_z: Any
    shock_chassis_x: Any
    shock_chassis_z: Any
    shock_friction: Any
    shortest: Any
    slip_load: Any
    slip_ratio_scale: Any
    slip_softness: Any
    slip_speed: Any
    spring_held: Any
    spring_rate: Any
    stop_damping: Any
    stop_stiffness: Any
    tyre_damping: Any
    tyre_radius: Any
    tyre_stiffness: Any
    upper_link_axle_x: Any
    upper_link_axle_z: Any
    upper_link_chassis_x: Any
    upper_link_chassis_z: Any
    upper_link_length: Any
    wheel_centre_x: Any
    wheel_centre_z: Any

    def point(self, name):
        """Place (x, z) of a point on its body, m: 'wheel_centre', 'shock_axle', 'lower_link_chassis', ..."""
        return getattr(self, f"{name}_x"), getattr(self, f"{name}_z")

    def link_length(self, link):
        """Length of 'lower_link' or 'upper_link', m."""
        return self.lower_link_length if link == "lower_link" else self.upper_link_length


@dataclass(frozen=True, eq=False, repr=False, kw_only=True)
class VehicleNumbers:
    """What the kernels take of a vehicle at rest; floats, complex numbers or arrays."""

    brake_speed: Any
    chassis_inertia: Any
    chassis_mass: Any
    front_alone: Any
    geared: Any
    gravity: Any
    held_couple: Any
    no_load_speed: Any
    spin_ratio: Any
    stall_torque: Any
    rear: AxleNumbers
    front: AxleNumbers
    inertia: Any = None
    """`noseload.model.motion.mobility.Inertia` of a vehicle that moves."""

    def in_order(self) -> tuple:
        """The numbers in kernel order."""
        return (
            self.brake_speed, self.chassis_inertia, self.chassis_mass, self.front_alone, self.geared,
            self.gravity, self.held_couple, self.no_load_speed, self.spin_ratio, self.stall_torque,
            self.rear.contact_give, self.rear.damping, self.rear.driven, self.rear.free_length,
            self.rear.grip, self.rear.longest, self.rear.lower_link_axle_x, self.rear.lower_link_axle_z,
            self.rear.lower_link_chassis_x, self.rear.lower_link_chassis_z, self.rear.lower_link_length,
            self.rear.mass, self.rear.motor, self.rear.rolling_resistance, self.rear.rolling_share,
            self.rear.shock_across, self.rear.shock_axle_x, self.rear.shock_axle_z,
            self.rear.shock_chassis_x, self.rear.shock_chassis_z, self.rear.shock_friction,
            self.rear.shortest, self.rear.slip_load, self.rear.slip_ratio_scale, self.rear.slip_softness,
            self.rear.slip_speed, self.rear.spring_held, self.rear.spring_rate, self.rear.stop_damping,
            self.rear.stop_stiffness, self.rear.tyre_damping, self.rear.tyre_radius,
            self.rear.tyre_stiffness, self.rear.upper_link_axle_x, self.rear.upper_link_axle_z,
            self.rear.upper_link_chassis_x, self.rear.upper_link_chassis_z, self.rear.upper_link_length,
            self.rear.wheel_centre_x, self.rear.wheel_centre_z, self.front.contact_give, self.front.damping,
            self.front.driven, self.front.free_length, self.front.grip, self.front.longest,
            self.front.lower_link_axle_x, self.front.lower_link_axle_z, self.front.lower_link_chassis_x,
            self.front.lower_link_chassis_z, self.front.lower_link_length, self.front.mass,
            self.front.motor, self.front.rolling_resistance, self.front.rolling_share,
            self.front.shock_across, self.front.shock_axle_x, self.front.shock_axle_z,
            self.front.shock_chassis_x, self.front.shock_chassis_z, self.front.shock_friction,
            self.front.shortest, self.front.slip_load, self.front.slip_ratio_scale,
            self.front.slip_softness, self.front.slip_speed, self.front.spring_held, self.front.spring_rate,
            self.front.stop_damping, self.front.stop_stiffness, self.front.tyre_damping,
            self.front.tyre_radius, self.front.tyre_stiffness, self.front.upper_link_axle_x,
            self.front.upper_link_axle_z, self.front.upper_link_chassis_x, self.front.upper_link_chassis_z,
            self.front.upper_link_length, self.front.wheel_centre_x, self.front.wheel_centre_z,
        )

    @classmethod
    def from_names(cls, numbers) -> "VehicleNumbers":
        """From numbers by kernel parameter name; MissingDataError names every absent one."""
        absent = [name for name in STATIC_PARAMETERS if name not in numbers]
        if absent:
            raise MissingDataError(f"no number for {', '.join(absent)}")
        own = _by_place({name: numbers[name] for name in STATIC_PARAMETERS})
        return cls(rear=AxleNumbers(**own["rear"]), front=AxleNumbers(**own["front"]), **own[""])

    def axle(self, end) -> AxleNumbers:
        """Those of one axle, 'rear' or 'front'."""
        return self.rear if end == "rear" else self.front

    def mass_of(self, body):
        """Mass of 'chassis', 'rear' or 'front', kg."""
        return self.chassis_mass if body == "chassis" else self.axle(body).mass

    @property
    def moving(self):
        """The moments of inertia; MissingDataError where the numbers are those of a vehicle at rest."""
        if self.inertia is None:
            raise MissingDataError("no moments of inertia: these numbers are of a vehicle at rest; add_inertia gives them")
        return self.inertia

    def in_motion_order(self) -> tuple:
        """The numbers in kernel order, then the mobility block."""
        return self.in_order() + self.moving.mobility

    def by_name(self) -> dict:
        """The numbers by kernel parameter name, the mobility block too where there is one."""
        numbers = self.in_order() if self.inertia is None else self.in_motion_order()
        return dict(zip(PARAMETERS, numbers, strict=False))

    def with_values(self, changes) -> "VehicleNumbers":
        """A copy with numbers replaced, by kernel parameter name; KeyError for a name that the kernels do not know."""
        unknown = [name for name in changes if name not in STATIC_PARAMETERS]
        if unknown:
            raise KeyError(f"no number of a vehicle at rest is called {', '.join(unknown)}")
        own = _by_place(changes)
        return replace(self, rear=replace(self.rear, **own["rear"]), front=replace(self.front, **own["front"]), **own[""])


def _by_place(numbers):
    own: dict = {"rear": {}, "front": {}, "": {}}
    for name, value in numbers.items():
        end, _, rest = name.partition("_")
        end, rest = (end, rest) if end in own and rest != "alone" else ("", name)
        own[end][rest] = value
    return own
