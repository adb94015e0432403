"""From a `Vehicle` to the numbers the kernels take, in the order they take them."""

from math import hypot

from .errors import MissingDataError
from .generated.parameter_order import PARAMETERS
from .units import STANDARD_GRAVITY

ENDS = ("rear", "front")
LINKS = ("lower_link", "upper_link")
BRAKE_SPEED = 0.05
"""Spin over which the drag brake's torque sets in, rad/s: smooth, far below any creep speed."""


def side_view(point):
    """(x, z) of a point that may carry a y."""
    return point[0], point[-1]


def length_of(part):
    """Distance between the two ends of a rod or shock in the side view, m."""
    (x0, z0), (x1, z1) = side_view(part.chassis_end), side_view(part.axle_end)
    return hypot(x1 - x0, z1 - z0)


def axle_of(vehicle, end):
    """The axle at one end, 'rear' or 'front'."""
    return vehicle.rear if end == "rear" else vehicle.front


def rigid_centre_of_gravity(vehicle):
    """Centre of gravity of the whole vehicle in the measured pose.

    Returns
    -------
    (x, z) : m from the datum.
    """
    moments = [(vehicle.body.mass, *vehicle.body.centre_of_gravity)]
    moments.append((vehicle.rear.mass, 0.0, wheel_height(vehicle.rear)))
    moments.append((vehicle.front.mass, vehicle.wheelbase, wheel_height(vehicle.front)))
    mass = sum(m for m, _, _ in moments)
    return sum(m * x for m, x, _ in moments) / mass, sum(m * z for m, _, z in moments) / mass


def wheel_height(axle):
    """Height of the wheel centre in the measured pose, m."""
    return axle.tyre.radius if axle.tyre.radius is not None else axle.tyre.loaded_radius


def free_radius(vehicle, end):
    """Free tyre radius, m: given, or the loaded radius plus the standing deflection of that axle."""
    axle = axle_of(vehicle, end)
    base = vehicle.base
    if base is not None and axle_of(base, end).tyre.loaded_radius == axle.tyre.loaded_radius:
        # A set-up that leaves the tyre's datum alone stands on the tyres of its base.
        vehicle, axle = base, axle_of(base, end)
    if axle.tyre.radius is not None:
        return axle_of(vehicle, end).tyre.radius
    front_share = rigid_centre_of_gravity(vehicle)[0] / vehicle.wheelbase
    share = front_share if end == "front" else 1.0 - front_share
    return axle.tyre.loaded_radius + share * vehicle.mass * STANDARD_GRAVITY / axle.tyre.vertical_stiffness


def measured_shock_length(vehicle, end):
    """Length of the shock in the measured pose of the base, m: its stops are part of the shock."""
    return length_of(axle_of(vehicle.base or vehicle, end).shock)


def link_length(vehicle, end, link):
    """Length of a link, m; a set-up with kept lengths has those of its base."""
    owner = vehicle.base if vehicle.base is not None and vehicle.link_lengths == "kept" else vehicle
    return length_of(getattr(axle_of(owner, end), link))


def drive_flags(drive):
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
        "brake_speed": BRAKE_SPEED,
    }


def _axle_parameters(vehicle, end, chassis, free_length):
    axle = axle_of(vehicle, end)
    centre = (0.0 if end == "rear" else vehicle.wheelbase, wheel_height(axle))
    values = {"mass": axle.mass, "wheel_centre_x": 0.0, "wheel_centre_z": 0.0}
    for part in (*LINKS, "shock"):
        ends = getattr(axle, part)
        for name, point, origin in (("chassis", ends.chassis_end, chassis), ("axle", ends.axle_end, centre)):
            x, z = side_view(point)
            values[f"{part}_{name}_x"], values[f"{part}_{name}_z"] = x - origin[0], z - origin[1]
    for link in LINKS:
        values[f"{link}_length"] = link_length(vehicle, end, link)
    shock, tyre = axle.shock, axle.tyre
    measured = measured_shock_length(vehicle, end)
    values |= {
        "spring_rate": shock.spring_rate,
        "damping": shock.damping,
        "free_length": measured if free_length is None else free_length,
        "longest": measured + shock.droop_travel,
        "shortest": measured - shock.bump_travel,
        "stop_stiffness": shock.stop_stiffness,
        "stop_damping": shock.stop_damping,
        "tyre_radius": free_radius(vehicle, end),
        "tyre_stiffness": tyre.vertical_stiffness,
        "tyre_damping": tyre.vertical_damping,
        "grip": tyre.grip_coefficient,
        "slip_speed": tyre.slip_speed,
        "slip_ratio_scale": tyre.slip_ratio_scale,
    }
    return {f"{end}_{name}": value for name, value in values.items()}


def kernel_parameters(vehicle, free_lengths=(None, None)):
    """Numbers of a vehicle by kernel parameter name, SI.

    Parameters
    ----------
    vehicle : Vehicle
        With links and shocks.
    free_lengths : pair of float or None
        Free shock lengths (rear, front), m; None takes the measured length (no spring force there).

    Returns
    -------
    dict
        Without the mobility entries, which only motion needs: see `model.mobility`.

    Raises
    ------
    MissingDataError
        The vehicle has no links (level A).
    """
    if vehicle.rear.lower_link is None or vehicle.front.lower_link is None:
        raise MissingDataError(
            f"{vehicle.name}: this file has no links (level A), so only rigid loads and the rigid tip-over can "
            "be calculated; add [rear.lower_link] and the other links and shocks (level B) for attitude"
        )
    chassis = vehicle.body.centre_of_gravity
    values = {"chassis_mass": vehicle.body.mass, "chassis_inertia": vehicle.body.pitch_inertia,
              "gravity": STANDARD_GRAVITY, "rear_housing_couple": 0.0, **drive_flags(vehicle.drive)}
    for end, free_length in zip(ENDS, free_lengths, strict=True):
        values |= _axle_parameters(vehicle, end, chassis, free_length)
    return values


def in_order(values):
    """Tuple of the numbers in kernel order; what was not given is not a number, so that it shows."""
    missing = float("nan")
    return tuple(values.get(name, missing) for name in PARAMETERS)


POSITION = {name: k for k, name in enumerate(PARAMETERS)}
"""Index of a parameter in kernel order."""
