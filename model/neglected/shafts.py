"""Where the drive shafts run, and what a force along one is worth as a force of the shock.

A spline under torque T_s resists sliding by up to mu_s T_s / r_s along the shaft; T_s = T / rho, with T the wheel
torque of the axle and rho the turns of its shaft for one turn of both wheels.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.file.defaults import AXLE_RATIO
from noseload.model.parameters import ENDS, LINKS, axle_centre, axle_of, side_view, wheel_height

if TYPE_CHECKING:
    from noseload.model.batch.equilibrium import VehicleBatch
    from noseload.model.vehicle import Vehicle


PINION_SHARE = 0.1
"""Where the axle end of a shaft lies unless the file says: this share of the wheelbase inward of the axle (estimate)."""


@dataclass(frozen=True)
class Shaft:
    """The line of one lengthwise shaft in its bodies, m from their centres of gravity; floats or arrays.

    Attributes
    ----------
    chassis, axle : (x, z)
    ratio : float or ndarray or None
        Shaft turns for one turn of both wheels; None without such a shaft, infinite (no torque) for single cases without.
    """

    chassis: tuple
    axle: tuple
    ratio: float | np.ndarray | None

    @classmethod
    def joined(cls, parts: tuple[Shaft, ...], counts: list[int]) -> Shaft:
        """Shafts of several batches of so many cases side by side."""
        ratios = [part.ratio for part in parts]
        chassis, axle = (
            tuple(wide(values, counts) for values in zip(*points, strict=True))
            for points in ([part.chassis for part in parts], [part.axle for part in parts])
        )
        none = all(ratio is None for ratio in ratios)
        return cls(chassis, axle, None if none else wide([np.inf if r is None else r for r in ratios], counts))

    def take(self, cases: np.ndarray) -> Shaft:
        """Those of some of the cases, by index array."""
        chassis, axle = (tuple(taken(v, cases) for v in point) for point in (self.chassis, self.axle))
        return Shaft(chassis, axle, None if self.ratio is None else taken(self.ratio, cases))


def wide(values: list[float | np.ndarray] | tuple[np.ndarray, ...], counts: list[int]) -> float | np.ndarray:
    """Numbers of several batches, floats or arrays, as one array of all their cases; a float that all share stays one."""
    if all(np.ndim(v) == 0 and v == values[0] for v in values):
        return values[0]
    return np.concatenate([np.broadcast_to(v, (count,)) for v, count in zip(values, counts, strict=True)])


def taken(value: Any, cases: np.ndarray) -> float | np.ndarray:
    """Numbers of some of the cases; a float that all share stays one."""
    return value[cases] if np.ndim(value) else value


def shaft_of(vehicle: Vehicle, end: str) -> Shaft:
    """The shaft to one axle of a vehicle with links.

    Unless the file gives its ends it runs from the middle of the links' chassis ends to a point at the height of
    the wheel centre, a tenth of the wheelbase inward (estimate, no source).
    """
    part, centre, body = axle_of(vehicle, end), axle_centre(vehicle, end), vehicle.body.centre_of_gravity
    if part.drive_shaft is not None:
        inner, outer = side_view(part.drive_shaft.chassis_end), side_view(part.drive_shaft.axle_end)
    else:
        ends = [side_view(getattr(part, link).chassis_end) for link in LINKS]
        inner = tuple(0.5 * (a + b) for a, b in zip(*ends, strict=True))
        along = PINION_SHARE if end == "rear" else 1.0 - PINION_SHARE
        outer = (along * vehicle.wheelbase, wheel_height(part))
    ratio = part.axle_ratio
    if ratio is None and vehicle.document.get(end, {}).get("shaft") != "none":
        ratio = AXLE_RATIO.value
    chassis = tuple(p - c for p, c in zip(inner, body, strict=True))
    return Shaft(chassis, tuple(p - c for p, c in zip(outer, centre, strict=True)), ratio)


def shafts_of(vehicle: Vehicle) -> tuple:
    """Both shafts, rear and front."""
    return tuple(shaft_of(vehicle, end) for end in ENDS)


def turned(theta: np.ndarray, x: float | np.ndarray, z: float | np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """A vector turned by theta about +y."""
    return x * np.cos(theta) + z * np.sin(theta), -x * np.sin(theta) + z * np.cos(theta)


def sliding_share(values: VehicleBatch, shaft: Shaft, end: str, states: np.ndarray) -> np.ndarray:
    """How much longer the line of a shaft gets for a longer shock, dimensionless, as the links let the axle move.

    Parameters
    ----------
    values : mapping of str to float or ndarray
        Kernel parameters by name.
    shaft : Shaft
    end : str
    states : ndarray, shape (13, ...)
        Unknowns of creep.

    Returns
    -------
    ndarray
        Virtual work: a force Q along the shaft is a force Q times this along the shock. Not finite where the axle's one
        motion leaves the shock as long as it is.
    """
    k = 2 if end == "rear" else 5

    def row(
        inner: list[np.ndarray] | tuple[float | np.ndarray, float | np.ndarray],
        outer: list[np.ndarray] | tuple[float | np.ndarray, float | np.ndarray],
        across: float | np.ndarray = 0.0,
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        start, stop = turned(states[1], *inner), turned(states[k + 2], *outer)
        dx, dz = states[k] + stop[0] - start[0], states[k + 1] + stop[1] - states[0] - start[1]
        length = np.sqrt(dx**2 + dz**2 + across**2)
        # Rate of the length by x, z and theta of the axle, the chassis held.
        return dx / length, dz / length, (dx * stop[1] - dz * stop[0]) / length

    def of_part(part: str, across: float | np.ndarray = 0.0) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        inner, outer = ([values[f"{end}_{part}_{side}_{axis}"] for axis in ("x", "z")] for side in ("chassis", "axle"))
        return row(inner, outer, across)

    (a, b, c), (d, e, f) = (of_part(link) for link in LINKS)
    motion = b * f - c * e, c * d - a * f, a * e - b * d
    shock = of_part("shock", values[f"{end}_shock_across"])
    along = row(shaft.chassis, shaft.axle)
    with np.errstate(all="ignore"):
        return _dot(along, motion) / _dot(shock, motion)


def _dot(
    first: tuple[np.ndarray, np.ndarray, np.ndarray], second: tuple[np.ndarray, np.ndarray, np.ndarray]
) -> np.ndarray:
    return sum(a * b for a, b in zip(first, second, strict=True))
