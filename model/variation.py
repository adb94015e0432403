"""Quantities of a vehicle file one by one, and vehicles whose numbers are shifted, many at once.

A shift may be a float, a complex number or an array: the vehicle then holds arrays, and so do its
kernel parameters. With complex shifts the chain from file to kernel is differentiated exactly
(W. Squire, G. Trapp, SIAM Review 40, 1998): no difference is taken, so nothing cancels.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from noseload.model.file.examples import as_assumed, untouched_keys
from noseload.model.file.key import value_at
from noseload.model.file.keys import AXLES, CORNERS, KEYS, LATERAL, SIDES, numbers_in

from .parameters import wheel_height
from .vehicle import Assumption, Axle, Rod, Vehicle

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.vehicle import Body, Tyre


COMPLEX_STEP = 1e-30
"""Far below the rounding of any number here, so that squares of it vanish."""
PRACTICAL_STEPS = {"mm": 1.0, "g": 10.0}
"""What a tuner would change, in file units; anything else by `PRACTICAL_SHARE`."""
PRACTICAL_SHARE = 0.05


@dataclass(frozen=True)
class Quantity:
    """One number of a vehicle file: a key, or one coordinate of a point.

    Attributes
    ----------
    key : str
        Dotted key of the file.
    axis : str
        'x' or 'z' of a point, '' for a number.
    value : float
        In file units.
    assumed : Assumption or None
        Where the file does not give it, or still gives the starter file's example.
    """

    key: str
    axis: str
    value: float
    assumed: Assumption | None = None

    @property
    def unit(self) -> str:
        """Unit of the file."""
        return KEYS[self.key].unit

    @property
    def factor(self) -> float:
        """What one file unit is in SI."""
        return KEYS[self.key].factor

    @property
    def name(self) -> str:
        """Key, with the coordinate in brackets: 'rear.upper_link.axle_end_mm[z]'."""
        return f"{self.key}[{self.axis}]" if self.axis else self.key

    @property
    def step(self) -> float:
        """Practical unit: 1 mm, 10 g, or 5 % of the value; file units."""
        return PRACTICAL_STEPS.get(self.unit, PRACTICAL_SHARE * abs(self.value))

    @property
    def step_words(self) -> str:
        """The practical unit in words."""
        return f"{self.step:g} {self.unit}" if self.unit in PRACTICAL_STEPS else f"{100 * PRACTICAL_SHARE:g} %"

    @property
    def id(self) -> tuple[str, str]:
        """Key and axis, as shifts are named."""
        return self.key, self.axis


def document_of(vehicle: Vehicle) -> dict:
    """The file as its base is written (a setup's own document has its lines applied)."""
    return vehicle.document if vehicle.base is None else document_of(vehicle.base)


def quantities_of(vehicle: Vehicle, *, space: bool = False) -> list[Quantity]:
    """Every number that the file gives or that was assumed for it, in the order of the key table.

    Those of a setup are of its own document: the base's with the setup's lines applied. What the side view does not
    see (y of points, shaft ratios, track widths) is among them with `space`.
    """
    assumed = {item.key: item for item in vehicle.assumed}
    untouched = set(untouched_keys(vehicle.document))

    def doubted(dotted: str, number: float) -> Assumption | None:
        return as_assumed(dotted, number) if dotted in untouched else None

    found = []
    for dotted, key in KEYS.items():
        value = value_at(vehicle.document, dotted)
        if key.space and not space:
            continue
        if key.kind == "number" and (value is not None or dotted in assumed):
            item = assumed[dotted] if value is None else doubted(dotted, float(value))
            found.append(Quantity(dotted, "", float(value if item is None else item.value), item))
        elif key.kind == "point" and value is not None:
            axes = [("x", value[0]), *([("y", value[1])] if space and len(value) == 3 else []), ("z", value[-1])]
            found += [Quantity(dotted, axis, float(number), doubted(dotted, float(number))) for axis, number in axes]
    return found


def shift_vehicle(vehicle: Vehicle, shifts: Mapping[tuple[str, str], object]) -> Vehicle:
    """The vehicle with numbers of its file shifted; its base, if any, is left as it is.

    Parameters
    ----------
    vehicle : Vehicle
    shifts : mapping of (key, axis) to float, complex or ndarray
        Added to the file's value, SI; arrays of one shape.

    Returns
    -------
    Vehicle
        What a file with the shifted numbers would give, assumed values kept as they are.
    """

    def get(key: str, axis: str = "") -> Any:
        return shifts.get((key, axis), 0.0)

    axles = {axle: _shift_axle(getattr(vehicle, axle), axle, vehicle.document, get) for axle in AXLES}
    wheelbase = vehicle.wheelbase + get("wheelbase_mm")
    return replace(
        vehicle,
        wheelbase=wheelbase,
        body=_shift_body(vehicle, axles, wheelbase, get),
        rear=axles["rear"],
        front=axles["front"],
        drive=replace(vehicle.drive, **_shifted(vehicle.drive, "drive", _NUMBERS["drive"], get)),
    )


def shift_file(vehicle: Vehicle, shifts: Mapping[tuple[str, str], object]) -> Vehicle:
    """As `shift_vehicle`, made to the file: a setup's own lines stay, all else moves with its base."""
    if vehicle.base is None:
        return shift_vehicle(vehicle, shifts)
    own = {(key, axis): shift for (key, axis), shift in shifts.items() if not is_overridden(vehicle, key)}
    return replace(shift_vehicle(vehicle, own), base=shift_file(vehicle.base, shifts))


def own_value(vehicle: Vehicle, quantity: Quantity) -> bool:
    """Whether a setup gives its own value of just this number: parts it leaves alone are shared."""
    if vehicle.base is None:
        return False
    mine, other = (value_at(v.document, quantity.key) for v in (vehicle, vehicle.base))
    if quantity.axis and None not in (mine, other):
        if quantity.axis == "y":
            return len(mine) != len(other) or mine[1] != other[1]
        place = 0 if quantity.axis == "x" else -1
        return mine[place] != other[place]
    return mine != other


def is_overridden(vehicle: Vehicle, key: str) -> bool:
    """Whether a setup gives its own value of a key."""
    return vehicle.base is not None and value_at(vehicle.document, key) != value_at(vehicle.base.document, key)


def _shift_body(vehicle: Vehicle, axles: dict[str, Axle], wheelbase: float | np.ndarray, get: Callable) -> Body:
    body = vehicle.body
    body = replace(body, **_shifted(body, "body", _NUMBERS["body"], get))
    if "weighed" not in vehicle.document:
        x, z = body.centre_of_gravity
        centre = x + get("body.centre_of_gravity_mm", "x"), z + get("body.centre_of_gravity_mm", "z")
        left = body.side_offset + get("body.centre_of_gravity_mm", "y")
        return replace(body, centre_of_gravity=centre, side_offset=left)
    before = _weighed_body(vehicle, {end: getattr(vehicle, end) for end in AXLES}, vehicle.wheelbase, _nothing)
    after = _weighed_body(vehicle, axles, wheelbase, get)
    # What was put on the weighed vehicle later (a change) stays on it.
    was = (body.mass, *body.centre_of_gravity, body.side_offset)
    mass, x, z, y = (own + (new - old) for own, new, old in zip(was, after, before, strict=True))
    return replace(body, mass=mass, centre_of_gravity=(x, z), side_offset=y)


def _plus(value: float | None, shift: float) -> float | None:
    return None if value is None else value + shift


def _nothing(_key: str) -> float:
    return 0.0


def _weighed_body(vehicle: Vehicle, axles: dict, wheelbase: float | np.ndarray, get: Callable) -> tuple:
    """Mass and centre (x, z, y) of the body of a weighed vehicle: see `noseload.model.file.build`."""
    given = vehicle.document["weighed"]
    corners = {key: 1e-3 * given[name] + get(key) for key in CORNERS if (name := key.partition(".")[2]) in given}
    rear, front = (
        1e-3 * given[f"{end}_g"] + get(f"weighed.{end}_g")
        if f"{end}_g" in given
        else sum(corners[f"weighed.{end}_{side}_g"] for side in SIDES)
        for end in AXLES
    )
    height = 1e-3 * given["centre_of_gravity_height_mm"] + get("weighed.centre_of_gravity_height_mm")
    mass = rear + front - axles["rear"].mass - axles["front"].mass
    raised = (rear + front) * height - sum(axles[end].mass * wheel_height(axles[end]) for end in AXLES)
    left = 0.0
    if corners:
        across = (corners[f"weighed.{end}_left_g"] - corners[f"weighed.{end}_right_g"] for end in AXLES)
        left = sum(0.5 * axles[end].track_width * more for end, more in zip(AXLES, across, strict=True)) / mass
    return mass, wheelbase * (front - axles["front"].mass) / mass, raised / mass, left


def _shift_axle(axle: Axle, end: str, document: dict, get: Callable) -> Axle:
    shock = axle.shock
    if shock is not None:
        ends = _shift_rod(shock, f"{end}.shock", get)
        numbers = _shifted(shock, f"{end}.shock", _NUMBERS["shock"], get)
        shock = replace(shock, chassis_end=ends.chassis_end, axle_end=ends.axle_end, **numbers)
    return replace(
        axle,
        mass=axle.mass + get(f"{end}.axle_mass_g"),
        housing_pitch_inertia=axle.housing_pitch_inertia + get(f"{end}.housing_pitch_inertia_kg_mm2"),
        wheel_pair_inertia=axle.wheel_pair_inertia + get(f"{end}.wheel_pair_inertia_kg_mm2"),
        roll_inertia=_plus(axle.roll_inertia, get(f"{end}.axle_roll_inertia_kg_mm2")),
        track_width=_plus(axle.track_width, get(_track_key(document, end))),
        axle_ratio=_plus(axle.axle_ratio, get(f"{end}.axle_ratio")),
        drive_shaft=_shift_rod(axle.drive_shaft, f"{end}.drive_shaft", get),
        shaft_friction=_plus(axle.shaft_friction, get(f"{end}.drive_shaft.friction_per_mm")),
        lateral_link=_shift_rod(axle.lateral_link, f"{end}.{LATERAL}", get),
        tyre=_shift_tyre(axle.tyre, end, document, get),
        shock=shock,
        **{link: _shift_rod(getattr(axle, link), f"{end}.{link}", get) for link in ("lower_link", "upper_link")},
    )


_NUMBERS = {
    part: {name: key.name for name, key in numbers_in(table).items()}
    for part, table in (("body", "body"), ("tyre", "tyre"), ("shock", f"{AXLES[0]}.shock"), ("drive", "drive"))
}
"""Keys by field of the parts of a vehicle whose numbers are shifted one like the other."""
_RADII = ("radius_mm", "loaded_radius_mm")


def _shifted(part: Any, table: str, names: Mapping[str, str], get: Callable) -> dict[str, Any]:
    """Numbers of a part by field, shifted; what the file does not say stays unsaid."""
    return {name: _plus(getattr(part, name), get(f"{table}.{key}")) for name, key in names.items()}


def _shift_tyre(tyre: Tyre, end: str, document: dict[str, Any], get: Callable) -> Tyre:
    own = value_at(document, f"{end}.tyre") or {}
    has_radius = any(key in own for key in _RADII)
    numbers = {}
    for name, key in _NUMBERS["tyre"].items():
        value = getattr(tyre, name)
        if value is None:
            continue
        # The shared table speaks for this axle unless the axle has the key itself.
        alone = has_radius if key in _RADII else key in own
        numbers[name] = value + get(f"{end}.tyre.{key}") + (0.0 if alone else get(f"tyre.{key}"))
    return replace(tyre, **numbers)


def _shift_rod(rod: Any, path: str, get: Callable) -> Any:
    if rod is None:
        return None
    inner, outer = (
        shift_point(getattr(rod, side), *(get(f"{path}.{side}_mm", axis) for axis in "xzy"))
        for side in ("chassis_end", "axle_end")
    )
    return Rod(inner, outer, getattr(rod, "single", False))


def _track_key(document: dict[str, Any], end: str) -> str:
    """Where the file gives the track width of an axle: its own table or the top."""
    own = f"{end}.track_width_mm"
    return own if value_at(document, own) is not None else "track_width_mm"


def shift_point(point: tuple, dx: float | np.ndarray | complex, dz: float | np.ndarray, dy: float = 0.0) -> tuple:
    """A point (x, y, z) moved, m; one whose y is not known moves in the side view alone."""
    return point[0] + dx, _plus(point[1], dy), point[-1] + dz
