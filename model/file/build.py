"""From checked file values in SI to the frozen vehicle, with stated defaults for what is not given.

Weighed vehicles
----------------
`[weighed]` gives the whole vehicle standing level: axle readings `rear_g` and `front_g`, and the height
of its centre of gravity in the datum of all heights (from the floor with `loaded_radius_mm`; with
`radius_mm` the height above the wheel centre plus the free radius). Its body is what is left after the
axle masses, each at its wheel centre, are subtracted::

    M = rear + front,  b = L front / M
    m_body = M - m_rear - m_front
    x_body = (M b - m_front L) / m_body
    z_body = (M h - m_rear z_rear - m_front z_front) / m_body

so the total and its centre are as weighed whatever the axle masses are. Where they are not given, each
takes a fifth of the total, marked assumed: rigid loads (level A) do not depend on it.

The readings of the four wheels, where they are given, put the centre of gravity off the middle::

    y = sum over the axles of (track / 2) (left - right) / M,    y_body = M y / m_body
"""

from math import nan
from typing import Any, NamedTuple

from noseload.model.errors import ModelError
from noseload.model.vehicle import Assumption, Axle, Body, Drive, Rod, Shock, Tyre, Vehicle

from .checks import Finding
from .defaults import Sizes
from .geometry import known_wheel_centre_height, shock_length, tyre_value, wheel_centre_height
from .key import with_unit
from .keys import AXLES, CORNERS, KEYS, LATERAL, PARTS, SIDES, numbers_in

LEVEL_C_KEYS = (
    "drive.stall_torque_n_mm",
    "drive.no_load_speed_rad_per_s",
    "rear.shock.damping_n_s_per_m",
    "front.shock.damping_n_s_per_m",
)
"""A vehicle with links is of level C where the file gives all of these."""


ENDS = ("chassis", "axle")


class Provenance(NamedTuple):
    """Where a vehicle comes from: name, file and setup, for the fields that say so."""

    name: str
    file: str = ""
    sha256: str = ""
    setup: str = "base"
    link_lengths: str = "kept"
    ride_height: str = "springs_decide"


class _Filler:
    """Hands out SI values, given or assumed, and keeps the list of what was assumed."""

    def __init__(self, values: dict, inherited: dict[str, Assumption]) -> None:
        self.values = values
        self.inherited = inherited
        self.assumed: list[Assumption] = []
        ends = [values.get(f"{axle}.{part}.{end}_end_mm") for axle in AXLES for part in PARTS for end in ENDS]
        self.spatial = all(point is not None and point[1] is not None for point in ends)

    def take(self, dotted: str, sizes: Sizes) -> float:
        """The value of a key in SI; an assumed one is that of the base vehicle if there is one."""
        value = self.values.get(dotted)
        if value is not None:
            return value
        key = KEYS[dotted]
        known = self.inherited.get(dotted)
        if known is None:
            default = key.default(sizes) if callable(key.default) else key.default
            if default is None:
                raise ModelError(f"{dotted} has no default; give it in the file: {key.recipe}")
            if default.left_out:
                return default.value * key.factor
            known = Assumption(dotted, default.value, default.low, default.high, key.unit, default.reason)
        if known not in self.assumed:
            self.assumed.append(known)
        return known.value * key.factor

    def take_in_space(self, dotted: str, sizes: Sizes) -> float | None:
        """A value that only answers about single wheels take; None unless it is given or the file gives every y."""
        return self.take(dotted, sizes) if self.spatial else self.values.get(dotted)

    def take_tyre(self, axle: str, name: str, sizes: Sizes, own: bool = False) -> float:
        """A tyre value of one axle; assumed for both at once unless the file gives one of them or the axle has its `own`."""
        value = tyre_value(self.values, axle, name)
        if value is not None:
            return value
        alone = own or any(f"{other}.tyre.{name}" in self.values for other in AXLES)
        return self.take(f"{axle}.tyre.{name}" if alone else f"tyre.{name}", sizes)

    def numbers(self, table: str, sizes: Sizes) -> dict[str, Any]:
        """Numbers of a table by field: given, else assumed; a key with neither is left to the field's own default."""
        found = {}
        for field, key in numbers_in(table).items():
            if key.dotted in self.values or key.default is not None:
                found[field] = self.take_in_space(key.dotted, sizes) if key.space else self.take(key.dotted, sizes)
        return found


def total_mass(values: dict) -> float:
    """Mass of the whole vehicle, kg, from [weighed] or from [body] and the axles."""
    if "weighed.rear_g" in values:
        return values["weighed.rear_g"] + values["weighed.front_g"]
    return values["body.mass_g"] + values["rear.axle_mass_g"] + values["front.axle_mass_g"]


def subtract_axles(values: dict, axle_masses: dict[str, float]) -> tuple[float, tuple[float, float]]:
    """Mass, kg, and centre of gravity (x, z), m, of the body of a weighed vehicle (see the module's top).

    The centre is (0, 0) where nothing is left for the body.
    """
    wheelbase, front = values["wheelbase_mm"], values["weighed.front_g"]
    total = total_mass(values)
    mass = total - axle_masses["rear"] - axle_masses["front"]
    if mass <= 0.0:
        return mass, (0.0, 0.0)
    height = total * values["weighed.centre_of_gravity_height_mm"]
    height -= sum(axle_masses[axle] * known_wheel_centre_height(values, axle) for axle in AXLES)
    return mass, (wheelbase * (front - axle_masses["front"]) / mass, height / mass)


def check_weighed(values: dict) -> tuple[list[Finding], list[Finding]]:
    """Faults and warnings of a weighed vehicle whose axle masses or height do not fit its readings."""
    faults: list[Finding] = []
    doubts: list[Finding] = []
    needed = ("wheelbase_mm", "weighed.rear_g", "weighed.front_g", "weighed.centre_of_gravity_height_mm")
    radii = [r for r in (wheel_centre_height(values, axle) for axle in AXLES) if r is not None]
    if len(radii) < len(AXLES) or any(values.get(key) is None for key in needed):
        return faults, doubts
    total = total_mass(values)
    masses = _axle_masses(_Filler(values, {}), total, min(radii))
    mass, (_, height) = subtract_axles(values, masses)
    if mass <= 0.0:
        both = " and ".join(f"{axle}.axle_mass_g = {masses[axle] * 1e3:.6g} g" for axle in AXLES)
        why = f"= {total * 1e3:.6g} g with {both} leaves {mass * 1e3:.6g} g for the body; weigh again"
        faults.append(Finding("weighed.rear_g + weighed.front_g", why))
    elif height <= 0.0:
        given = with_unit(values["weighed.centre_of_gravity_height_mm"] * 1e3, "mm")
        why = f"= {given} puts the body's own centre below the floor; all heights count from one floor"
        faults.append(Finding("weighed.centre_of_gravity_height_mm", why))
    else:
        for axle in AXLES:
            reading = values[f"weighed.{axle}_g"]
            if masses[axle] > reading:
                why = (
                    f"= {masses[axle] * 1e3:.6g} g is more than weighed.{axle}_g = {reading * 1e3:.6g} g: "
                    "the body's centre of gravity would lie outside the axles"
                )
                doubts.append(Finding(f"{axle}.axle_mass_g", why))
    return faults, doubts


def _axle_masses(filler: _Filler, total: float, radius: float) -> dict[str, float]:
    sizes = Sizes(total * 1e3, filler.values["wheelbase_mm"] * 1e3, radius * 1e3)
    return {axle: filler.take(f"{axle}.axle_mass_g", sizes) for axle in AXLES}


def build_vehicle(
    values: dict,
    origin: Provenance,
    document: dict,
    *,
    base: Vehicle | None = None,
    inherited: dict[str, Assumption] | None = None,
    warnings: tuple[str, ...] = (),
) -> Vehicle:
    """The frozen vehicle from values that passed every check.

    Parameters
    ----------
    values : dict
        Dotted key -> SI value (numbers; points as (x, y or None, z)).
    origin : Provenance
        Names to carry.
    document : dict
        Plain TOML values, setup lines applied.
    base : Vehicle, optional
        Vehicle that this setup changes; its assumed values are taken over, so that only the setup differs.
    inherited : dict, optional
        Assumptions to take over by key, instead of the base's.
    warnings : tuple of str
        Doubts to carry.
    """
    if inherited is None:
        inherited = {item.key: item for item in base.assumed} if base is not None else {}
    filler = _Filler(values, inherited)
    total, wheelbase = total_mass(values), values["wheelbase_mm"]
    radius = sum(known_wheel_centre_height(values, axle) for axle in AXLES) / 2.0
    masses = _axle_masses(filler, total, radius)
    if "weighed.rear_g" in values:
        mass, centre = subtract_axles(values, masses)
    else:
        mass, point = values["body.mass_g"], values["body.centre_of_gravity_mm"]
        centre = (point[0], point[2])
    sizes = Sizes(total * 1e3, wheelbase * 1e3, radius * 1e3, mass * 1e3)
    numbers = filler.numbers("body", sizes) | {"mass": mass}
    body = Body(centre_of_gravity=centre, side_offset=_side_offset(values, mass), **numbers)
    axles = {axle: _build_axle(filler, axle, masses, sizes) for axle in AXLES}
    return Vehicle(
        name=origin.name,
        level=_level(values),
        wheelbase=wheelbase,
        body=body,
        rear=axles["rear"],
        front=axles["front"],
        drive=_build_drive(filler, sizes),
        track_width=values.get("track_width_mm"),
        setup=origin.setup,
        notes=values.get("notes", ""),
        assumed=tuple(filler.assumed),
        warnings=warnings,
        ride_height=origin.ride_height,
        link_lengths=origin.link_lengths,
        base=base,
        document=document,
        file=origin.file,
        sha256=origin.sha256,
    )


def track_width(values: dict, axle: str) -> float | None:
    """Track width of an axle, m: its own, else the vehicle's, else None."""
    return values.get(f"{axle}.track_width_mm", values.get("track_width_mm"))


def _side_offset(values: dict, body_mass: float) -> float:
    """y of the body's centre of gravity, m: from the readings of four wheels or from three numbers; else 0."""
    if all(key in values for key in CORNERS):
        moment = 0.0
        for axle in AXLES:
            left, right = (values[f"weighed.{axle}_{side}_g"] for side in SIDES)
            moment += 0.5 * (track_width(values, axle) or 0.0) * (left - right)
        return moment / body_mass
    point = values.get("body.centre_of_gravity_mm")
    return 0.0 if point is None or point[1] is None else point[1]


def _level(values: dict) -> str:
    if "rear.lower_link.chassis_end_mm" not in values:
        return "A"
    return "C" if all(values.get(key) is not None for key in LEVEL_C_KEYS) else "B"


def _build_axle(filler: _Filler, axle: str, masses: dict[str, float], sizes: Sizes) -> Axle:
    values = filler.values
    mean_mass = 500.0 * (masses["rear"] + masses["front"])
    own = sizes._replace(
        axle_mass_g=masses[axle] * 1e3,
        tyre_radius_mm=known_wheel_centre_height(values, axle) * 1e3,
        spring_rate_n_per_mm=values.get(f"{axle}.shock.spring_rate_n_per_mm", 0.0) * 1e-3,
        shock_length_mm=(shock_length(values, f"{axle}.shock") or 0.0) * 1e3,
    )
    linked = _level(values) != "A"
    track = track_width(values, axle)
    with_track = own._replace(track_width_mm=nan if track is None else track * 1e3)
    shafted = values.get(f"{axle}.shaft", "lengthwise") == "lengthwise"
    turns = values.get(f"{axle}.shaft_turns", values.get("drive.shaft_turns", "clockwise"))
    return Axle(
        mass=masses[axle],
        housing_pitch_inertia=filler.take(f"{axle}.housing_pitch_inertia_kg_mm2", own),
        wheel_pair_inertia=filler.take(f"{axle}.wheel_pair_inertia_kg_mm2", own),
        tyre=_build_tyre(filler, axle, sizes._replace(axle_mass_g=mean_mass)),
        lower_link=_build_rod(values, f"{axle}.lower_link") if linked else None,
        upper_link=_build_rod(values, f"{axle}.upper_link") if linked else None,
        shock=_build_shock(filler, axle, own) if linked else None,
        roll_inertia=filler.take_in_space(f"{axle}.axle_roll_inertia_kg_mm2", with_track),
        track_width=track,
        lateral_link=_build_lateral(values, axle),
        axle_ratio=filler.take_in_space(f"{axle}.axle_ratio", own) if shafted else None,
        shaft_direction=1.0 if turns == "clockwise" else -1.0,
        drive_shaft=_build_shaft(values, axle),
        shaft_friction=values.get(f"{axle}.drive_shaft.friction_per_mm"),
    )


def _build_rod(values: dict, path: str) -> Rod:
    single = values.get(f"{path}.single", False)
    return Rod(values[f"{path}.chassis_end_mm"], values[f"{path}.axle_end_mm"], single)


def _build_lateral(values: dict, axle: str) -> Rod | None:
    path = f"{axle}.{LATERAL}"
    if f"{path}.chassis_end_mm" not in values:
        return None
    return Rod(values[f"{path}.chassis_end_mm"], values[f"{path}.axle_end_mm"], True)


def _build_shaft(values: dict, axle: str) -> Rod | None:
    path = f"{axle}.drive_shaft"
    if f"{path}.axle_end_mm" not in values:
        return None
    return Rod(values[f"{path}.chassis_end_mm"], values[f"{path}.axle_end_mm"], True)


def _build_tyre(filler: _Filler, axle: str, sizes: Sizes) -> Tyre:
    values = filler.values
    tables = [axle + ".tyre", "tyre"]
    table = next(t for t in tables if f"{t}.radius_mm" in values or f"{t}.loaded_radius_mm" in values)
    stiffness = filler.take_tyre(axle, "vertical_stiffness_n_per_mm", sizes)
    give = ("lengthwise_stiffness_n_per_mm", "contact_offset_share")
    own = any(f"{axle}.tyre.{name}" in values for name in give)
    gives = any(tyre_value(values, axle, name) is not None for name in give)
    sizes = sizes._replace(tyre_stiffness_n_per_mm=stiffness * 1e-3, gives=gives)
    numbers = {
        field: tyre_value(values, axle, key.name)
        if key.default is None
        else filler.take_tyre(axle, key.name, sizes, own and key.name in give)
        for field, key in numbers_in("tyre").items()
    }
    # The two radii stand in one table.
    return Tyre(**numbers | {field: values.get(f"{table}.{field}_mm") for field in ("radius", "loaded_radius")})


def _build_shock(filler: _Filler, axle: str, sizes: Sizes) -> Shock:
    path = f"{axle}.shock"
    rod = _build_rod(filler.values, path)
    return Shock(
        chassis_end=rod.chassis_end,
        axle_end=rod.axle_end,
        spring_held=filler.values.get(f"{path}.spring_held", False),
        **filler.numbers(path, sizes),
    )


def _build_drive(filler: _Filler, sizes: Sizes) -> Drive:
    """The drive; without the keys both axles are driven at one speed, which is the ordinary gear train."""
    stall = filler.take("drive.stall_torque_n_mm", sizes)
    numbers = filler.numbers("drive", sizes._replace(stall_torque_n_mm=stall * 1e3))
    return Drive(driven_axles=filler.values.get("drive.driven_axles", "both"), **numbers)
