"""Where an axle's load acts ahead of its wheels, and what that does to torque, arm and free wheels; floats or arrays.

::

        v        e = sense f R + give Fx         f     rolling resistance, share of the load (ISO 28580)
       (O)       moment about O: -Fx R - e N     give  a / kx: how far traction moves the load's resultant
     ---^-^--->  a wheel rolls on R + give N     R     height of the wheel centre
        Fx N
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.parameters import ENDS

from .geometry import wheel_heights

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import AxleNumbers, VehicleNumbers
    from noseload.model.vehicle import Tyre


_ROUNDS = 5
LEAST_LOAD = 1e-3
"""Share of the reference load at which the slip scale stops following the load; as in the kernels."""


def contact_offset(axle: AxleNumbers | Tyre, traction: float, height: float, sense: float = 1.0) -> float:
    """How far ahead of the wheel centre an axle's load acts, m.

    Parameters
    ----------
    axle : AxleNumbers
    traction : float or ndarray
        N.
    height : float or ndarray
        Of the wheel centre, m.
    sense : float or ndarray
        Sense of rolling, -1 to 1: 0 for wheels that stand.
    """
    return sense * axle.rolling_resistance * height + axle.contact_give * traction


def wheel_moment(axle: AxleNumbers, load: float, traction: float, height: float, sense: float = 1.0) -> float:
    """Torque at a pair of wheels that holds its traction and rolls it under its load (N), N m; else as `contact_offset`."""
    return traction * height + contact_offset(axle, traction, height, sense) * load


def lever_of(axle: Any, load: float | np.ndarray, height: float | np.ndarray) -> Any:
    """Arm of the traction about the wheel's axis, on which the wheel rolls too, m."""
    return height + axle.contact_give * load


def rolling_radius(axle: AxleNumbers, height: float) -> float:
    """Radius on which driven wheels roll in a crawl at a height of their centre, m: free radius less chi times the rest."""
    return axle.tyre_radius - axle.rolling_share * (axle.tyre_radius - height)


def slip_scale(axle: Any, load: float | np.ndarray, travel: float | np.ndarray) -> Any:
    """Slip speed over which an axle's grip builds up under its load (N) at a travel speed (m/s), m/s: the law of the kernels."""
    own = axle.slip_speed + axle.slip_ratio_scale * abs(travel)
    return own * load_factor(load, axle.slip_load, axle.slip_softness)


def load_factor(load: Any, reference: Any, softness: Any) -> Any:
    """``(N / N0)^(1 - n)``, by what the slip scale grows with the load; down to a thousandth of the reference load."""
    return ((load / reference) ** 2 + LEAST_LOAD**2) ** (0.5 * softness)


def free_drag(axle: Any, load: float, height: float, sense: float | np.ndarray = 1.0) -> Any:
    """Traction of wheels that nothing turns, N: just what keeps them rolling against their own resistance."""
    return -sense * axle.rolling_resistance * height * load / lever_of(axle, load, height)


def free_spin(
    axle: Any,
    load: float | np.ndarray,
    height: float | np.ndarray,
    travel: float | np.ndarray,
    grip_factor: float | np.ndarray = 1.0,
) -> tuple[float | np.ndarray, float | np.ndarray]:
    """Spin of wheels that nothing turns at a travel speed (m/s), and their sense of rolling; rad/s.

    Their slip is what the drag needs under the law of motion; the sense is smooth over the slip speed.
    """
    lever, scale = lever_of(axle, load, height), slip_scale(axle, load, travel)
    spin = travel / lever
    share = axle.rolling_resistance / (axle.grip * grip_factor) * height / lever
    for _ in range(_ROUNDS):
        sense = np.tanh(spin * height / axle.slip_speed)
        spin = (travel - scale * np.arctanh(np.clip(share * sense, -1.0 + 1e-9, 1.0 - 1e-9))) / lever
    return spin, sense


def contact_couples(
    values: VehicleNumbers, coordinates: list[float], loads: np.ndarray, tractions: np.ndarray
) -> list[float]:
    """Moment of each axle's load about the point below its wheel centre in a crawl, N m, rear and front.

    Parameters
    ----------
    values : VehicleNumbers
    coordinates : array_like, shape (9, ...)
    loads, tractions : pair of float or array_like
        N.
    """
    heights = wheel_heights(values, coordinates[3:9])
    return [contact_offset(values.axle(end), tractions[k], heights[k]) * loads[k] for k, end in enumerate(ENDS)]
