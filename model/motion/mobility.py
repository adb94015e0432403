"""Inertia of housings, wheel pairs and rotor with their gears, and the energies of the moving vehicle.

The mass matrix is constant. Housings and spins form a block of four; gears take speeds away from it::

    M = | Ihr+Iwr    0       Iwr       0     |   rear housing        P: speeds that remain free
        |    0    Ihf+Iwf     0       Iwf    |   front housing       mobility = P (P^T M P)^-1 P^T
        |   Iwr      0     Iwr+Jr      0     |   rear spin
        |    0      Iwf       0     Iwf+Jf   |   front spin
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, sin
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.parameters import ENDS, kernel_parameters

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.model.vehicle import Vehicle


SPEEDS = ("rear_theta", "front_theta", "rear_spin", "front_spin")
"""Speeds of the block, in its order."""


@dataclass(frozen=True, eq=False)
class AxleInertia:
    """Moments of inertia of one axle, kg m2: housing, wheel pair, and the rotor referred to its spin."""

    housing: float
    wheels: float
    rotor: float


@dataclass(frozen=True, eq=False)
class Inertia:
    """What a moving vehicle has beside the numbers of one at rest.

    Attributes
    ----------
    rear, front : AxleInertia
    mobility : tuple of float
        Upper triangle of the mobility block, in kernel order.
    drag_brake : float
        Torque at the wheels, N m.
    """

    rear: AxleInertia
    front: AxleInertia
    mobility: tuple
    drag_brake: float

    def axle(self, end: str) -> AxleInertia:
        """Those of one axle, 'rear' or 'front'."""
        return self.rear if end == "rear" else self.front


def motion_parameters(vehicle: Vehicle, free_lengths: tuple) -> VehicleNumbers:
    """Numbers of a moving vehicle, SI.

    Parameters
    ----------
    vehicle : Vehicle
        Level C: with motor, damping and moments of inertia.
    free_lengths : pair of float
        Free shock lengths (rear, front), m.

    Returns
    -------
    VehicleNumbers
        `kernel_parameters` with the moments of inertia and the mobility block.
    """
    return add_inertia(kernel_parameters(vehicle, free_lengths), vehicle)


def add_inertia(values: VehicleNumbers, vehicle: Vehicle) -> VehicleNumbers:
    """`values` with the moments of inertia (kg m2) and the mobility block added."""
    rear, front = (
        AxleInertia(
            axle.housing_pitch_inertia, axle.wheel_pair_inertia, vehicle.drive.rotor_inertia * values.axle(end).motor
        )
        for end, axle in (("rear", vehicle.rear), ("front", vehicle.front))
    )
    block = mobility(values, [rear, front])
    upper = tuple(float(block[i, j]) for i in range(len(SPEEDS)) for j in range(i, len(SPEEDS)))
    return replace(values, inertia=Inertia(rear, front, upper, vehicle.drive.drag_brake_torque))


def inertia_block(axles: list | tuple) -> np.ndarray:
    """Mass matrix of housings and spins without gears, kg m2, shape (4, 4); `axles` rear and front."""
    block = np.zeros((4, 4))
    for k, axle in enumerate(axles):
        block[k, k] = axle.housing + axle.wheels
        block[k, k + 2] = block[k + 2, k] = axle.wheels
        block[k + 2, k + 2] = axle.wheels + axle.rotor
    return block


def gear_pattern(values: VehicleNumbers) -> np.ndarray:
    """Columns: how housings and spins move with each free speed, shape (4, 3) geared or (4, 4)."""
    if values.geared:
        return np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, values.spin_ratio]], dtype=float)
    return np.eye(4)


def mobility(values: VehicleNumbers, axles: list | tuple) -> np.ndarray:
    """Accelerations per unit of generalised force on (housings, spins), gears included, shape (4, 4)."""
    pattern = gear_pattern(values)
    return pattern @ np.linalg.solve(pattern.T @ inertia_block(axles) @ pattern, pattern.T)


def kinetic_energy(values: VehicleNumbers, speeds: np.ndarray) -> np.ndarray:
    """Kinetic energy with wheels and rotor, J.

    Parameters
    ----------
    values : dict
        `motion_parameters`.
    speeds : ndarray, shape (11, ...)
        m/s and rad/s; the order of `noseload.model.motion.vehicle_motion.SPEEDS`.
    """
    total = 0.5 * values.chassis_inertia * speeds[2] ** 2
    for body, k in (("chassis", 0), ("rear", 3), ("front", 6)):
        total = total + 0.5 * values.mass_of(body) * (speeds[k] ** 2 + speeds[k + 1] ** 2)
    for end, k, spin in (("rear", 5, 9), ("front", 8, 10)):
        turning = speeds[k] + speeds[spin]
        total = total + 0.5 * (
            values.moving.axle(end).housing * speeds[k] ** 2
            + values.moving.axle(end).wheels * turning**2
            + values.moving.axle(end).rotor * speeds[spin] ** 2
        )
    return total


def potential_energy(
    values: VehicleNumbers, coordinates: np.ndarray, shock_lengths: np.ndarray, tyre_depths: np.ndarray, grade: float
) -> float | np.ndarray:
    """Energy of position, shock springs, stops and tyres, J.

    Parameters
    ----------
    values : dict
        `kernel_parameters`.
    coordinates : ndarray, shape (9, ...)
    shock_lengths, tyre_depths : ndarray, shape (2, ...)
        m; rear, front.
    grade : float
        rad.
    """
    total = 0.0
    for body, k in (("chassis", 0), ("rear", 3), ("front", 6)):
        rise = coordinates[k] * sin(grade) + coordinates[k + 1] * cos(grade)
        total = total + values.mass_of(body) * values.gravity * rise
    for end, length, depth in zip(ENDS, shock_lengths, tyre_depths, strict=True):
        axle = values.axle(end)
        over, under = np.maximum(length - axle.longest, 0.0), np.maximum(axle.shortest - length, 0.0)
        short = axle.free_length - length
        short = short + (1.0 - axle.spring_held) * np.maximum(-short, 0.0)
        total = total + 0.5 * (
            axle.spring_rate * short**2
            + axle.stop_stiffness * (over**2 + under**2)
            + axle.tyre_stiffness * np.maximum(depth, 0.0) ** 2
        )
    return total
