"""Prints the record of a vehicle's numbers: typed fields by axle in place of a dictionary of strings."""

from collections.abc import Callable

from .modules import fill

_AXLE_METHODS = '''
    def point(self, name):
        """Place (x, z) of a point on its body, m: 'wheel_centre', 'shock_axle', 'lower_link_chassis', ..."""
        return getattr(self, f"{name}_x"), getattr(self, f"{name}_z")

    def link_length(self, link):
        """Length of 'lower_link' or 'upper_link', m."""
        return self.lower_link_length if link == "lower_link" else self.upper_link_length'''
_RECORD_METHODS = '''
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
    return own'''


def records_module(names: list[str], ends: tuple[str, str], place_of: Callable) -> str:
    """Text of frozen records of a vehicle's numbers: one of an axle, one of the whole vehicle that holds two of them.

    Parameters
    ----------
    names : sequence of str
        Kernel parameters of a vehicle at rest, in kernel order.
    ends : sequence of str
        Names of the axles, the first words of their parameters.
    place_of : callable
        0 for a parameter of the whole vehicle, 1 and 2 for those of the axles.
    """
    whole = [name for name in names if place_of(name) == 0]
    axle = [name.removeprefix("rear_") for name in names if place_of(name) == 1]
    if axle != [name.removeprefix("front_") for name in names if place_of(name) == 2]:
        raise ValueError("the axles do not have the same parameters")
    order = [f"self.{name}" for name in whole] + [f"self.{end}.{name}" for end in ends for name in axle]
    lines = [
        '"""Numbers of a vehicle, SI. Written by `python -m noseload.model.symbols.derive`; do not edit."""',
        "",
        "from dataclasses import dataclass, replace",
        "from typing import Any",
        "",
        "from noseload.model.errors import MissingDataError",
        "",
        "from .parameter_order import PARAMETERS, STATIC_PARAMETERS",
        "",
        "",
        "@dataclass(frozen=True, eq=False, repr=False, kw_only=True)",
        "class AxleNumbers:",
        '    """What the kernels take of one axle; floats, complex numbers or arrays."""',
        "",
        *(f"    {name}: Any" for name in axle),
        _AXLE_METHODS,
        "",
        "",
        "@dataclass(frozen=True, eq=False, repr=False, kw_only=True)",
        "class VehicleNumbers:",
        '    """What the kernels take of a vehicle at rest; floats, complex numbers or arrays."""',
        "",
        *(f"    {name}: Any" for name in whole),
        "    rear: AxleNumbers",
        "    front: AxleNumbers",
        "    inertia: Any = None",
        '    """`noseload.model.motion.mobility.Inertia` of a vehicle that moves."""',
        "",
        "    def in_order(self) -> tuple:",
        '        """The numbers in kernel order."""',
        "        return (",
        *fill(", ".join(order) + ",", indent="            "),
        "        )",
        _RECORD_METHODS,
    ]
    return "\n".join(lines) + "\n"
