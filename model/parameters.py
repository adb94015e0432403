"""From a `Vehicle` to the numbers the kernels take, in the order they take them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.generated.parameter_order import PARAMETERS
from noseload.model.generated.vehicle_numbers import AxleNumbers, VehicleNumbers

from .errors import MissingDataError
from .units import STANDARD_GRAVITY
from .vehicle import ENDS

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.vehicle import Axle, Drive, Rod, Shock, Tyre, Vehicle


LINKS = ("lower_link", "upper_link")
BRAKE_SPEED = 0.05
"""Spin over which the drag brake's torque sets in, rad/s: smooth, far below any creep speed."""


AT_REST = {f"{end}_rolling_resistance": 0.0 for end in ENDS}
"""Kernel parameters of a vehicle whose wheels do not roll."""


CREEP_SPEED = 0.1
"""Speed of a crawl where one is needed, m/s."""
SLIP_SPEED_SHARE = 0.1
"""Part of a measured slip scale at the creep speed that stays as slip speed: enough to keep the law smooth at rest."""


def slip_law(tyre: Tyre) -> tuple[float, float]:
    """Slip speed v0 (m/s) and slip ratio scale kappa of the law ``mu N tanh(s / (v0 + kappa |x'|))``.

    With a measured slip stiffness c (traction per load per slip) the scale is mu / c of the creep speed there.
    """
    if tyre.slip_stiffness is None:
        return tyre.slip_speed, tyre.slip_ratio_scale
    return scaled_slip_law(tyre.grip_coefficient / tyre.slip_stiffness)


def scaled_slip_law(scale: Any) -> tuple[Any, Any]:
    """Slip speed (m/s) and slip ratio scale with which grip builds up over this slip at the creep speed."""
    return SLIP_SPEED_SHARE * scale * CREEP_SPEED, (1.0 - SLIP_SPEED_SHARE) * scale


def slip_load(vehicle: Vehicle) -> Any:
    """Load of an axle at which its slip stiffness is that of the file, N: half of the vehicle's weight, setups as their base."""
    while vehicle.base is not None:
        vehicle = vehicle.base
    return 0.5 * vehicle.mass * STANDARD_GRAVITY


def side_view(point: tuple) -> tuple:
    """(x, z) of a point that may carry a y."""
    return point[0], point[-1]


def length_of(part: Rod | Shock) -> float | np.ndarray:
    """Distance between the two ends of a rod or shock in the side view, m.

    As all of this module it takes complex numbers and arrays too, which `noseload.model.variation` puts in.
    """
    (x0, z0), (x1, z1) = side_view(part.chassis_end), side_view(part.axle_end)
    return ((x1 - x0) ** 2 + (z1 - z0) ** 2) ** 0.5


def side_gap(part: Rod | Shock) -> float:
    """How much further left the axle end of a rod or shock is than its chassis end, m; 0 where y is not known."""
    left, right = part.chassis_end[1], part.axle_end[1]
    return 0.0 if left is None or right is None else right - left


def true_length_of(part: Rod | Shock) -> float | np.ndarray:
    """Distance between the two ends of a rod or shock in space, m: in the side view where y is not known."""
    (x0, z0), (x1, z1) = side_view(part.chassis_end), side_view(part.axle_end)
    return ((x1 - x0) ** 2 + (z1 - z0) ** 2 + side_gap(part) ** 2) ** 0.5


def is_same(first: Any, second: Any) -> bool:
    """Whether two numbers, or arrays of them, are equal throughout."""
    equal = first == second
    return equal if isinstance(equal, bool) else bool(equal.all())


def axle_of(vehicle: Vehicle, end: str) -> Any:
    """The axle at one end, 'rear' or 'front'."""
    return vehicle.rear if end == "rear" else vehicle.front


def rigid_centre_of_gravity(vehicle: Vehicle) -> tuple:
    """Centre of gravity of the whole vehicle in the measured pose.

    Returns
    -------
    (x, z) : m from the datum.
    """
    moments = [(vehicle.body.mass, *vehicle.body.centre_of_gravity)]
    moments += [(axle_of(vehicle, end).mass, *axle_centre(vehicle, end)) for end in ENDS]
    mass = sum(m for m, _, _ in moments)
    return sum(m * x for m, x, _ in moments) / mass, sum(m * z for m, _, z in moments) / mass


def axle_centre(vehicle: Vehicle, end: str) -> tuple[float, float]:
    """Centre of gravity (x, z) of an axle assembly in the measured pose, m from the datum."""
    axle = axle_of(vehicle, end)
    dx, dz = axle.centre_of_gravity_offset
    return (0.0 if end == "rear" else vehicle.wheelbase) + dx, wheel_height(axle) + dz


def wheel_height(axle: Axle) -> Any:
    """Height of the wheel centre in the measured pose, m."""
    return axle.tyre.radius if axle.tyre.radius is not None else axle.tyre.loaded_radius


def free_radius(vehicle: Vehicle, end: str) -> float:
    """Free tyre radius, m: given, or the loaded radius plus the standing deflection of that axle."""
    axle = axle_of(vehicle, end)
    if axle.tyre.radius is not None:
        return axle.tyre.radius
    base = vehicle.base
    if base is not None and is_same(axle_of(base, end).tyre.loaded_radius, axle.tyre.loaded_radius):
        # A setup that leaves the tyre's datum alone stands on the tyres of its base.
        return free_radius(base, end)
    front_share = rigid_centre_of_gravity(vehicle)[0] / vehicle.wheelbase
    share = front_share if end == "front" else 1.0 - front_share
    return axle.tyre.loaded_radius + share * vehicle.mass * STANDARD_GRAVITY / axle.tyre.vertical_stiffness


def measured_shock_length(vehicle: Vehicle, end: str) -> Any:
    """Length of the shock in the measured pose of the base, m: its stops are part of the shock."""
    while vehicle.base is not None:
        vehicle = vehicle.base
    return true_length_of(axle_of(vehicle, end).shock)


def link_length(vehicle: Vehicle, end: str, link: str) -> float | np.ndarray:
    """Length of a link in the side view, m; a setup with kept lengths, or with these ends where they were, has that
    of its base.

    What is kept is the true length: where a setup moves an end to the side, less of it is left for the side view.
    """
    part = getattr(axle_of(vehicle, end), link)
    source = source_of_length(vehicle, end, link)
    gap, kept = side_gap(part), side_gap(source)
    if is_same(gap, kept):
        return length_of(source)
    return (length_of(source) ** 2 + kept**2 - gap**2) ** 0.5


def source_of_length(vehicle: Vehicle, end: str, link: str) -> Rod:
    """The link of this vehicle, or of the base whose length it has; `link` may be 'lateral_link' too."""
    own = getattr(axle_of(vehicle, end), link)
    while vehicle.base is not None:
        inherited = getattr(axle_of(vehicle.base, end), link)
        if inherited is None or (vehicle.link_lengths == "fitted" and not _same_ends(own, inherited)):
            break
        vehicle, own = vehicle.base, inherited
    return own


def _same_ends(first: Rod, second: Rod) -> bool:
    pairs = zip((*first.chassis_end, *first.axle_end), (*second.chassis_end, *second.axle_end), strict=True)
    return all(a is b if a is None or b is None else is_same(a, b) for a, b in pairs)


def drive_flags(drive: Drive) -> dict:
    """Which axles the drive turns, as the numbers the kernels use."""
    both, rear, front = (drive.driven_axles == name for name in ("both", "rear", "front"))
    return {
        "geared": float(both),
        "front_alone": float(front),
        "rear_driven": float(both or rear),
        "front_driven": float(both or front),
        "rear_motor": float(both or rear),
        "front_motor": float(front),
        "spin_ratio": drive.front_overdrive if both else 1.0,
        "stall_torque": drive.stall_torque,
        "no_load_speed": drive.no_load_speed,
    }


def _axle_numbers(vehicle: Vehicle, end: str, free_length: float | np.ndarray | None, drive: dict) -> AxleNumbers:
    axle, chassis = axle_of(vehicle, end), vehicle.body.centre_of_gravity
    centre, (dx, dz) = axle_centre(vehicle, end), axle.centre_of_gravity_offset
    places = {"wheel_centre_x": -dx, "wheel_centre_z": -dz}
    for part in (*LINKS, "shock"):
        ends = getattr(axle, part)
        for name, point, origin in (("chassis", ends.chassis_end, chassis), ("axle", ends.axle_end, centre)):
            x, z = side_view(point)
            places[f"{part}_{name}_x"], places[f"{part}_{name}_z"] = x - origin[0], z - origin[1]
    for link in LINKS:
        places[f"{link}_length"] = link_length(vehicle, end, link)
    tyre = axle.tyre
    return AxleNumbers(
        mass=axle.mass,
        driven=drive[f"{end}_driven"],
        motor=drive[f"{end}_motor"],
        shock_across=side_gap(axle.shock),
        # The radius on which the couple of the give neither feeds nor takes energy: z + give N.
        rolling_share=1.0 - tyre.contact_give * tyre.vertical_stiffness,
        **places,
        **law_numbers(vehicle, end, free_length),
    )


def law_numbers(vehicle: Vehicle, end: str, free_length: Any, share: float = 1.0) -> dict[str, Any]:
    """Numbers of the laws of an axle's shocks and tyres by kernel name, SI: the same in the side view and in space.

    Parameters
    ----------
    vehicle : Vehicle
    end : str
    free_length : float or None
        Of the shocks, m; None takes the measured length.
    share : float
        1 for both shocks and tyres of the axle taken as one, 0.5 for one of two.
    """
    axle, measured = axle_of(vehicle, end), measured_shock_length(vehicle, end)
    shock, tyre = axle.shock, axle.tyre
    slip_speed, slip_ratio_scale = slip_law(tyre)
    return {
        "spring_rate": share * shock.spring_rate,
        "damping": share * shock.damping,
        "shock_friction": 0.0 if shock.friction is None else share * shock.friction,
        "free_length": measured if free_length is None else free_length,
        "spring_held": float(shock.spring_held),
        "longest": measured + shock.droop_travel,
        "shortest": measured - shock.bump_travel,
        "stop_stiffness": share * shock.stop_stiffness,
        "stop_damping": share * shock.stop_damping,
        "tyre_radius": free_radius(vehicle, end),
        "tyre_stiffness": share * tyre.vertical_stiffness,
        "tyre_damping": share * tyre.vertical_damping,
        "grip": tyre.grip_coefficient,
        "slip_speed": slip_speed,
        "slip_ratio_scale": slip_ratio_scale,
        "slip_load": share * slip_load(vehicle),
        "slip_softness": tyre.slip_softness,
        "rolling_resistance": tyre.rolling_resistance,
        "contact_give": tyre.contact_give / share,
    }


def check_links(vehicle: Vehicle) -> None:
    """Raise MissingDataError for a vehicle without links (level A)."""
    if vehicle.rear.lower_link is None or vehicle.front.lower_link is None:
        raise MissingDataError(
            f"{vehicle.name}: this file has no links (level A), so only rigid loads and the rigid tip-over can "
            "be calculated; add [rear.lower_link] and the other links and shocks (level B) for attitude"
        )


def kernel_parameters(
    vehicle: Vehicle, free_lengths: list[float] | tuple[float | None, float | None] = (None, None)
) -> VehicleNumbers:
    """Numbers of a vehicle that the kernels take, SI.

    Parameters
    ----------
    vehicle : Vehicle
        With links and shocks.
    free_lengths : pair of float or None
        Free shock lengths (rear, front), m; None takes the measured length (no spring force there).

    Returns
    -------
    VehicleNumbers
        Without inertia, which only motion needs: see `noseload.model.motion.mobility`.

    Raises
    ------
    MissingDataError
        The vehicle has no links (level A).
    """
    check_links(vehicle)
    drive = drive_flags(vehicle.drive)
    rear, front = (
        _axle_numbers(vehicle, end, free_length, drive) for end, free_length in zip(ENDS, free_lengths, strict=True)
    )
    return VehicleNumbers(
        chassis_mass=vehicle.body.mass,
        chassis_inertia=vehicle.body.pitch_inertia,
        gravity=STANDARD_GRAVITY,
        held_couple=0.0,
        geared=drive["geared"],
        front_alone=drive["front_alone"],
        spin_ratio=drive["spin_ratio"],
        stall_torque=drive["stall_torque"],
        no_load_speed=drive["no_load_speed"],
        brake_speed=BRAKE_SPEED,
        rear=rear,
        front=front,
    )


POSITION = {name: k for k, name in enumerate(PARAMETERS)}
"""Index of a parameter in kernel order."""
