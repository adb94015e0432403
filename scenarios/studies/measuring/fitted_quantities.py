"""Quantities of a vehicle that readings on the board may fit: how each is read, changed and written."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches

from noseload.model.errors import ModelError
from noseload.model.file.space import axle_reading_g
from noseload.model.units import MILLIMETRE, NEWTON_PER_MILLIMETRE
from noseload.model.vehicle import ENDS, Axle, Vehicle


@dataclass(frozen=True)
class Quantity:
    """One fitted quantity, in the unit its key ends with (factors have none).

    `scale` is a change that matters; `largest_error` the standard error beyond which the readings are said
    not to determine it.
    """

    name: str
    key: str
    meaning: str
    scale: float
    largest_error: float
    bounds: tuple[float, float]
    read: Callable[[Vehicle], float]
    change: Callable[[Vehicle, float], Vehicle]


def centre_of_gravity(vehicle: Vehicle) -> tuple[float, float]:
    """Centre of gravity of the whole vehicle as measured: from the rear wheel centre, above the floor; m."""
    heights = [_wheel_centre_height(axle) for axle in (vehicle.rear, vehicle.front)]
    x, z = vehicle.body.centre_of_gravity
    along = vehicle.body.mass * x + vehicle.front.mass * vehicle.wheelbase
    up = vehicle.body.mass * z + vehicle.rear.mass * heights[0] + vehicle.front.mass * heights[1]
    return along / vehicle.mass, up / vehicle.mass


def changed(vehicle: Vehicle, values: Mapping[str, float]) -> Vehicle:
    """The vehicle with quantities, by name, set to values; a setup's base changes with it."""
    for name, value in values.items():
        vehicle = quantity(name).change(vehicle, value)
    return vehicle


def quantity(name: str) -> Quantity:
    """The quantity called `name`.

    Raises
    ------
    ModelError
        If there is none of that name.
    """
    if name not in QUANTITIES:
        near = get_close_matches(name, QUANTITIES, n=1)
        hint = f"did you mean {near[0]}?" if near else "choose from " + ", ".join(QUANTITIES)
        raise ModelError(f"'{name}' is not a quantity that readings can fit; {hint}")
    return QUANTITIES[name]


def lines_for(vehicle: Vehicle, values: Mapping[str, float]) -> dict[str, object]:
    """Lines of the vehicle file that carry fitted values, in the form the file already uses."""
    lines: dict[str, object] = {}
    after = changed(vehicle, values)
    x, z = centre_of_gravity(after)
    weighed = "weighed" in vehicle.document
    if weighed and "cg_height" in values:
        lines["weighed.centre_of_gravity_height_mm"] = round(float(z) / MILLIMETRE, 1)
    if weighed and "cg_fore_aft" in values:
        front = float(x / after.wheelbase)
        for end, share in (("rear", 1.0 - front), ("front", front)):
            given, reading = vehicle.document["weighed"], share * 1e3 * float(after.mass)
            names = [name for name in (f"{end}_g", f"{end}_left_g", f"{end}_right_g") if name in given]
            whole = axle_reading_g(given, end)
            lines |= {f"weighed.{name}": round(given[name] * reading / whole) for name in names}
    if not weighed and values.keys() & {"cg_height", "cg_fore_aft"}:
        along, up = (round(float(part) / MILLIMETRE, 1) for part in after.body.centre_of_gravity)
        given = vehicle.document["body"]["centre_of_gravity_mm"]
        lines["body.centre_of_gravity_mm"] = [along, *given[1:-1], up]
    for end in ENDS:
        axle: Axle = getattr(after, end)
        if "spring_rate" in values and axle.shock is not None:
            lines[f"{end}.shock.spring_rate_n_per_mm"] = round(float(axle.shock.spring_rate) / NEWTON_PER_MILLIMETRE, 4)
        if "tyre_rate" in values:
            own = "tyre" in vehicle.document.get(end, {})
            key = f"{end}.tyre.vertical_stiffness_n_per_mm" if own else "tyre.vertical_stiffness_n_per_mm"
            lines[key] = round(float(axle.tyre.vertical_stiffness) / NEWTON_PER_MILLIMETRE, 3)
    return lines


def _wheel_centre_height(axle: Axle) -> float:
    return axle.tyre.wheel_centre_height


def _with_base(change: Callable) -> Callable:
    """Apply a change to the vehicle and to the base its setup refers to."""

    def both(vehicle: Vehicle, value: float) -> Vehicle:
        after = change(vehicle, value)
        return after if after.base is None else replace(after, base=change(after.base, value))

    return both


def _set_centre(vehicle: Vehicle, part: int, value: float) -> Vehicle:
    now = centre_of_gravity(vehicle)[part]
    x, z = vehicle.body.centre_of_gravity
    shift = (value * MILLIMETRE - now) * vehicle.mass / vehicle.body.mass
    centre = (x + shift, z) if part == 0 else (x, z + shift)
    return replace(vehicle, body=replace(vehicle.body, centre_of_gravity=centre))


def _scale_springs(vehicle: Vehicle, factor: float) -> Vehicle:
    def scaled(axle: Axle) -> Axle:
        if axle.shock is None:
            raise ModelError("the vehicle file has no shocks: spring_rate cannot be fitted; add them or leave it out")
        return replace(axle, shock=replace(axle.shock, spring_rate=axle.shock.spring_rate * factor))

    return replace(vehicle, rear=scaled(vehicle.rear), front=scaled(vehicle.front))


def _scale_tyres(vehicle: Vehicle, factor: float) -> Vehicle:
    def scaled(axle: Axle) -> Axle:
        # with a free radius in the file the heights refer to it: it stays
        tyre = replace(axle.tyre, vertical_stiffness=axle.tyre.vertical_stiffness * factor)
        return replace(axle, tyre=tyre)

    return replace(vehicle, rear=scaled(vehicle.rear), front=scaled(vehicle.front))


QUANTITIES = {
    entry.name: entry
    for entry in (
        Quantity("cg_height", "centre_of_gravity_height_mm", "centre of gravity of the whole vehicle above the floor",
                 5.0, 10.0, (1.0, 400.0), lambda v: centre_of_gravity(v)[1] / MILLIMETRE,
                 _with_base(lambda v, value: _set_centre(v, 1, value))),
        Quantity("cg_fore_aft", "centre_of_gravity_mm", "its distance from the rear wheel centre", 5.0, 10.0, (1.0, 2000.0),
                 lambda v: centre_of_gravity(v)[0] / MILLIMETRE, _with_base(lambda v, value: _set_centre(v, 0, value))),
        Quantity("spring_rate", "spring_rate_factor", "all spring rates, times those of the file", 0.1, 0.4, (0.05, 20.0),
                 lambda v: 1.0, _with_base(_scale_springs)),
        Quantity("tyre_rate", "tyre_rate_factor", "all tyre rates, times those of the file", 0.1, 0.4, (0.05, 20.0),
                 lambda v: 1.0, _with_base(_scale_tyres)),
    )
}  # fmt: skip
"""Quantities by the names used on the command line."""
