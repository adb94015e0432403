"""What a change does to a vehicle: masses with their centre of gravity and inertia, points, springs, straps.

A mass m joins a body of mass M, centre c and inertia I at the point p as (parallel axes, Steiner)::

    M' = M + m      c' = (M c + m p) / M'      I' = I + (M m / M') |p - c|^2

A mass off the middle at y moves the body's y alike; roll and yaw inertia take the squares of their own distances.
A mass in the wheels adds ``m r^2`` to the wheel pair and acts on the housing at the wheel centre. The
changed vehicle is a setup of the one it changes: it stands on the same springs and links.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.parameters import axle_centre, axle_of, wheel_height
from noseload.model.variation import shift_point
from noseload.model.vehicle import Vehicle

from .changes import Change, ready_made_change
from .keys import AXLES

if TYPE_CHECKING:
    from noseload.model.vehicle import Axle


RIGID = ("radius_mm", "wheelbase_by_mm", "ride_height_by_mm")
"""What a level A file can change beside masses."""
RIM = 0.75
"""Where a mass in the wheels sits unless said, as a share of the tyre radius."""


def apply_change(vehicle: Vehicle, change: Change, amount: Any = 1.0) -> Vehicle:
    """The vehicle with a change made to it.

    Parameters
    ----------
    vehicle : Vehicle
        A base or a setup; it becomes the base of the result.
    change : Change
    amount : float or complex
        Share of the change; everything but straps, droop travels and free lengths scales with it.

    Returns
    -------
    Vehicle

    Raises
    ------
    MissingDataError
        The change is to links or springs, which the file does not have (level A).
    ModelError
        It would take away more mass or inertia than is there.
    """
    parts = [change]
    if change.ready_made:
        parts = [_known(vehicle, change, name) for name in change.ready_made]
    changed, fitted, heights = vehicle, "kept", None
    for part in parts:
        changed, word, height = _apply_part(changed, part, amount, fresh=part is parts[0])
        fitted = "fitted" if "fitted" in (fitted, word) else "kept"
        if height is not None:
            heights = height if heights is None else tuple(a + b for a, b in zip(heights, height, strict=True))
    return replace(
        changed,
        base=vehicle,
        setup=change.name,
        link_lengths=fitted,
        ride_height="springs_decide" if heights is None else "reset",
        ride_height_shift=(0.0, 0.0) if heights is None else heights,
    )


def _known(vehicle: Vehicle, change: Change, name: str) -> Change:
    found = ready_made_change(vehicle, name)
    if found is None:
        raise MissingDataError(f"change {change.name}: this vehicle has no part, or no room, for {name}")
    return found


def _apply_part(vehicle: Vehicle, change: Change, amount: float, *, fresh: bool) -> tuple:
    """The vehicle with one change made, how its links are then, and the ride heights it asks for (None: none)."""
    numbers, changed = change.numbers, vehicle
    rigid = vehicle.level == "A"
    if rigid and (change.ends or any(not key.endswith("_g") and key not in RIGID for key in numbers)):
        raise MissingDataError(
            f"change {change.name}: this file has no links and springs (level A), only masses, wheelbase and "
            "ride height can change"
        )
    radius = numbers.get("radius_mm")
    if "add_g" in numbers:
        changed = _add(changed, change, "at", "place_mm", amount * numbers["add_g"], radius)
    if "move_g" in numbers:
        changed = _add(changed, change, "from", "from_mm", -amount * numbers["move_g"], radius)
        changed = _add(changed, change, "to", "to_mm", amount * numbers["move_g"], radius)
    for end, (dx, dz) in change.ends.items():
        changed = move_end(changed, end, amount * dx, amount * dz, amount * change.lefts.get(end, 0.0))
    fitted = change.words.get("link_lengths", "kept")
    if "wheelbase_by_mm" in numbers:
        changed, fitted = _lengthen(changed, amount * numbers["wheelbase_by_mm"]), "fitted"
    both = numbers.get("ride_height_by_mm", 0.0)
    if rigid:
        return _raise_body(changed, amount * both), "kept", None
    changed = _set_springs(changed, numbers, amount, fresh=fresh)
    changed = _stiffen(changed, numbers, amount)
    if not any("ride_height" in key or key.endswith("_spring_by_percent") for key in numbers):
        return changed, fitted, None
    return changed, fitted, tuple(amount * numbers.get(f"{axle}_ride_height_by_mm", both) for axle in AXLES)


def _raise_body(vehicle: Vehicle, by: float) -> Vehicle:
    """A rigid vehicle's body so much higher over its axles."""
    x, z = vehicle.body.centre_of_gravity
    return replace(vehicle, body=replace(vehicle.body, centre_of_gravity=(x, z + by)))


def _stiffen(vehicle: Vehicle, numbers: dict[str, float], amount: Any) -> Vehicle:
    """Springs and tyres stiffer or softer by a share."""
    for end in AXLES:
        axle = axle_of(vehicle, end)
        if share := numbers.get(f"{end}_spring_by_percent"):
            rate = axle.shock.spring_rate * (1.0 + amount * share)
            axle = replace(axle, shock=replace(axle.shock, spring_rate=rate))
        if share := numbers.get("tyres_by_percent"):
            stiffness = axle.tyre.vertical_stiffness * (1.0 + amount * share)
            axle = replace(axle, tyre=replace(axle.tyre, vertical_stiffness=stiffness))
        vehicle = replace(vehicle, **{end: axle})
    return vehicle


def _add(vehicle: Vehicle, change: Change, place: str, point: str, mass: float, radius: Any) -> Vehicle:
    try:
        left = change.lefts.get(point, 0.0)
        return add_mass(vehicle, change.words[place], change.points.get(point), mass, radius=radius, left=left)
    except ModelError as error:
        raise ModelError(f"change {change.name}: {error}") from None


def join(mass: float, centre: tuple[float, float], inertia: float, added: float, place: Any) -> tuple:
    """Mass, centre of gravity and inertia of a body with a point mass at `place` joined to it."""
    total = mass + added
    x, z = ((mass * c + added * p) / total for c, p in zip(centre, place, strict=True))
    square = sum((p - c) ** 2 for c, p in zip(centre, place, strict=True))
    return total, (x, z), inertia + mass * added / total * square


def _join_in_space(
    mass: float, centre: tuple[float, float], side_offset: float, inertias: tuple, added: float, place: Any, left: float
) -> tuple:
    """y of the centre of gravity, roll and yaw inertia of a body with a point mass joined; None stays None."""
    total = mass + added
    x, z = (p - c for c, p in zip(centre, place, strict=True))
    y, reduced = left - side_offset, mass * added / total
    roll, yaw = (
        None if inertia is None else inertia + reduced * (y**2 + far**2)
        for inertia, far in zip(inertias, (z, x), strict=True)
    )
    return (mass * side_offset + added * left) / total, roll, yaw


def add_mass(
    vehicle: Vehicle, place: str, point: Any, mass: Any, *, radius: float | None = None, left: Any = 0.0
) -> Vehicle:
    """The vehicle with a point mass, kg, joined to one of its bodies (negative: taken away).

    Parameters
    ----------
    vehicle : Vehicle
    place : {'body', 'rear_axle', 'front_axle', 'rear_wheels', 'front_wheels'}
    point : (x, z) or None
        m from the datum in the measured pose; None for wheels.
    mass : float
    radius : float, optional
        Distance from the wheel axis of a mass in the wheels, m.
    left : float
        y of the point, m; a mass in the wheels is shared by both sides.

    Raises
    ------
    ModelError
        Nothing would be left of that body's mass or inertia.
    """
    if place == "body":
        body = vehicle.body
        total, centre, inertia = join(body.mass, body.centre_of_gravity, body.pitch_inertia, mass, point)
        _check_left(place, total, inertia)
        offset, roll, yaw = _join_in_space(
            body.mass,
            body.centre_of_gravity,
            body.side_offset,
            (body.roll_inertia, body.yaw_inertia),
            mass,
            point,
            left,
        )
        body = replace(
            body,
            mass=total,
            centre_of_gravity=centre,
            pitch_inertia=inertia,
            side_offset=offset,
            roll_inertia=roll,
            yaw_inertia=yaw,
        )
        return replace(vehicle, body=body)
    end, _, part = place.partition("_")
    axle, wheels = axle_of(vehicle, end), 0.0
    hub = (0.0 if end == "rear" else vehicle.wheelbase, wheel_height(axle))
    if part == "wheels":
        point = hub
        wheels = mass * (RIM * hub[1] if radius is None else radius) ** 2
    total, centre, inertia = join(axle.mass, axle_centre(vehicle, end), axle.housing_pitch_inertia, mass, point)
    _check_left(place, total, min(inertia, axle.wheel_pair_inertia + wheels, key=_real))
    offset = centre[0] - hub[0], centre[1] - hub[1]
    side, roll = _off_the_middle(axle, axle_centre(vehicle, end), part, mass, point, left)
    axle = replace(
        axle,
        mass=total,
        housing_pitch_inertia=inertia,
        centre_of_gravity_offset=offset,
        side_offset=side,
        roll_inertia=roll,
        wheel_pair_inertia=axle.wheel_pair_inertia + wheels,
    )
    return replace(vehicle, **{end: axle})


def _off_the_middle(axle: Axle, centre: tuple[float, float], part: str, mass: float, point: Any, left: float) -> tuple:
    """y of an axle's centre of gravity and its roll inertia with a mass joined, in the wheels half on each side."""
    if part == "wheels":
        half = 0.5 * (axle.track_width or 0.0)
        roll = None if axle.roll_inertia is None else axle.roll_inertia + mass * half**2
        return axle.side_offset * axle.mass / (axle.mass + mass), roll
    side, roll, _ = _join_in_space(axle.mass, centre, axle.side_offset, (axle.roll_inertia, None), mass, point, left)
    return side, roll


def _real(value: float) -> float:
    return complex(value).real


def _check_left(place: str, mass: float, inertia: float) -> None:
    if _real(mass) <= 0.0 or _real(inertia) <= 0.0:
        raise ModelError(
            f"the {place.replace('_', ' ')} would be left with {1e3 * _real(mass):.4g} g and a moment of inertia of "
            f"{1e6 * _real(inertia):.4g} kg mm2; take away less, or from nearer to its centre of gravity"
        )


def move_end(vehicle: Vehicle, end: str, dx: float, dz: float, dy: float = 0.0) -> Vehicle:
    """The vehicle with one end of a link or shock ('rear.upper_link.axle_end') moved, m; dy moves the left one to the
    left and the right one to the right."""
    axle_name, part_name, side = end.split(".")
    axle = axle_of(vehicle, axle_name)
    part = getattr(axle, part_name)
    moved = replace(part, **{side: shift_point(getattr(part, side), dx, dz, dy)})
    return replace(vehicle, **{axle_name: replace(axle, **{part_name: moved})})


def _lengthen(vehicle: Vehicle, by: float) -> Vehicle:
    """The front axle further forward with every end that is bolted to it."""
    front = vehicle.front
    rods = {
        link: replace(rod, axle_end=shift_point(rod.axle_end, by, 0.0))
        for link in ("lower_link", "upper_link", "lateral_link")
        if (rod := getattr(front, link)) is not None
    }
    if front.shock is not None:
        rods["shock"] = replace(front.shock, axle_end=shift_point(front.shock.axle_end, by, 0.0))
    return replace(vehicle, wheelbase=vehicle.wheelbase + by, front=replace(front, **rods))


def _set_springs(vehicle: Vehicle, numbers: dict[str, float], amount: float, *, fresh: bool) -> Vehicle:
    for end in AXLES:
        axle = axle_of(vehicle, end)
        fields = {}
        if f"{end}_collar_by_mm" in numbers:
            fields["collar_shift"] = amount * numbers[f"{end}_collar_by_mm"]
        elif axle.shock is not None and fresh:
            fields["collar_shift"] = 0.0
        if f"{end}_free_length_mm" in numbers:
            fields["free_length"] = numbers[f"{end}_free_length_mm"]
        droop = numbers.get(f"{end}_droop_travel_mm")
        strap = numbers.get(f"{end}_strap_mm")
        if droop is not None or strap is not None:
            reach = axle.shock.droop_travel if droop is None else droop
            fields["droop_travel"] = reach if strap is None else min(reach, strap)
        if fields:
            vehicle = replace(vehicle, **{end: replace(axle, shock=replace(axle.shock, **fields))})
    return vehicle
