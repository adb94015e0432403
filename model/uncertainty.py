"""How well each number of a vehicle file is known: the `[uncertainty]` table and its stated defaults.

A value is a limit, "plus or minus", taken as the 95 % limit of a normal error (two standard
deviations). An assumed value may lie anywhere in its stated range, all places alike. (JCGM 100:2008,
*Guide to the expression of uncertainty in measurement*, 4.3 and 6.2.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi, sqrt

from noseload.model.file.checks import Finding, nearest
from noseload.model.file.key import dotted_values
from noseload.model.file.keys import AXLES, KEYS
from noseload.model.file.space import axle_reading_g

from .variation import Quantity, document_of
from .vehicle import Vehicle

DEFAULTS = {
    "length_mm": (1.0, "a ruler at a bolt"),
    "mass_g": (2.0, "a kitchen scale"),
    "angle_deg": (0.5, "a phone's angle on a board"),
    "spring_rate_percent": (10.0, "a spring pressed on a scale, ruler beside it"),
    "inertia_percent": (30.0, "an estimate from size and mass"),
    "tyre_stiffness_percent": (20.0, "weights on an axle, ruler beside it"),
    "other_percent": (10.0, "motor, damping and grip, from films and pulls"),
    "rear_ride_height_gap_mm": (2.0, "between pushed down and lifted up, let go each time"),
    "front_ride_height_gap_mm": (2.0, "between pushed down and lifted up, let go each time"),
}
"""Key of `[uncertainty]` -> limit unless given, and how such a value is come by (common practice, no source)."""
LIMIT_IN_DEVIATIONS = 2.0
EXACT = ("drive.front_overdrive", "rear.axle_ratio", "front.axle_ratio")
"""Counted, not measured."""


@dataclass(frozen=True)
class ErrorSource:
    """One independent error.

    Attributes
    ----------
    quantity : Quantity
    low, high : float
        Where the error lies, SI: for a normal error the limits (two deviations), else the whole range.
    normal : bool
    setup : str
        The one setup that the error belongs to; '' where all setups of the file share it.
    """

    quantity: Quantity
    low: float
    high: float
    normal: bool
    setup: str = ""

    @property
    def name(self) -> str:
        """File key with its coordinate."""
        return f"{self.quantity.name} of {self.setup}" if self.setup else self.quantity.name

    @property
    def mean(self) -> float:
        """SI."""
        return 0.5 * (self.low + self.high)

    @property
    def deviation(self) -> float:
        """Standard deviation, SI: of a range its width over the root of twelve."""
        width = self.high - self.low
        return 0.5 * width / LIMIT_IN_DEVIATIONS if self.normal else width / sqrt(12.0)

    @property
    def limit_words(self) -> str:
        """The limit in file units."""
        factor, unit = self.quantity.factor, self.quantity.unit
        if self.normal:
            return f"+-{_plain(self.high / factor, 3)} {unit}".rstrip()
        value = self.quantity.value
        return f"assumed, {_plain(value + self.low / factor)} to {_plain(value + self.high / factor)} {unit}".rstrip()


def _plain(number: float, digits: int = 4) -> str:
    """Four digits or as many as asked for, large numbers whole."""
    return f"{number:.0f}" if abs(number) >= 1e3 else f"{number:.{digits}g}"


def read_uncertainty(table: object, faults: list[Finding]) -> dict[str, float]:
    """Limits by key, given ones over the defaults; dotted file keys are in their own unit.

    Faults are added to the list, each with its key.
    """
    limits = {key: limit for key, (limit, _) in DEFAULTS.items()}
    if not isinstance(table, Mapping):
        faults.append(Finding("uncertainty", "must be a table: a line [uncertainty] and its keys below it"))
        return limits
    for key, value in dotted_values(table).items():
        full = f"uncertainty.{key}"
        if key not in DEFAULTS and (key not in KEYS or KEYS[key].kind not in ("number", "point")):
            guess = nearest(key, (*DEFAULTS, *KEYS))
            faults.append(Finding(full, f"unknown key; the nearest known is {guess or 'length_mm'}"))
        elif not isinstance(value, int | float) or isinstance(value, bool) or not 0.0 <= value < 1e9:
            faults.append(Finding(full, "must be a number, 0 or more: how far off the value may be, plus or minus"))
        else:
            limits[key] = float(value)
    return limits


def limits_of(vehicle: Vehicle) -> dict[str, float]:
    """Limits of the file a vehicle was read from (they were checked at reading)."""
    return read_uncertainty(document_of(vehicle).get("uncertainty", {}), [])


def source_of(
    quantity: Quantity, limits: Mapping[str, float], vehicle: Vehicle, *, setup: str = ""
) -> ErrorSource | None:
    """The error of one quantity, or None where it is exact."""
    if quantity.key in EXACT and quantity.assumed is None:
        return None
    factor = quantity.factor
    if quantity.key in limits:
        limit = limits[quantity.key] * factor
    elif quantity.assumed is not None:
        item = quantity.assumed
        return ErrorSource(quantity, (item.low - item.value) * factor, (item.high - item.value) * factor, False, setup)
    else:
        limit = _limit(quantity, limits, vehicle) * factor
    return ErrorSource(quantity, -limit, limit, True, setup) if limit > 0.0 else None


def _limit(quantity: Quantity, limits: Mapping[str, float], vehicle: Vehicle) -> float:
    """Limit in file units, by the kind of measurement."""
    key, share = quantity.key, abs(quantity.value) / 100.0
    if key == "weighed.centre_of_gravity_height_mm":
        return _height_limit(quantity.value, limits, vehicle)
    if quantity.unit == "mm":
        return limits["length_mm"]
    if quantity.unit == "g":
        return limits["mass_g"]
    if quantity.unit == "kg mm2":
        return share * limits["inertia_percent"]
    if key.endswith("spring_rate_n_per_mm"):
        return share * limits["spring_rate_percent"]
    if key.endswith("vertical_stiffness_n_per_mm"):
        return share * limits["tyre_stiffness_percent"]
    return share * limits["other_percent"]


def _height_limit(height: float, limits: Mapping[str, float], vehicle: Vehicle) -> float:
    """A height found by tipping: h = b / tan(angle), so dh = (b2 + h2) / b per radian."""
    given = vehicle.document["weighed"]
    rear, front = (axle_reading_g(given, axle) for axle in AXLES)
    distance = 1e3 * vehicle.wheelbase * front / (rear + front)
    return (distance**2 + height**2) / distance * limits["angle_deg"] * pi / 180.0
