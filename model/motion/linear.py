"""The vehicle linearised about a steady state: small motions that the links allow, and their modes.

About a steady state the constraints allow ``dq = Z a`` and ``du = (Z a', spins)``, so that::

    Zm^T M Zm [a''; s'] = Zm^T (K Z a + C Zm [a'; s])

K and C are the derivatives of ``f + G^T lambda``; M is constant. L. Meirovitch, *Fundamentals of
Vibrations*, McGraw-Hill 2001, ch. 7 (general damped systems in state form).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.generated.parameter_order import ROWS
from noseload.model.generated.parameter_order import SPEEDS as RATES
from noseload.model.generated.scalar_motion import closure
from noseload.model.generated.scalar_tangent import tangent
from noseload.model.packed import packed

from .mobility import SPEEDS as BLOCK
from .mobility import gear_pattern, inertia_block

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


SPEEDS = tuple(name.removesuffix("_rate") for name in RATES)


@dataclass(frozen=True)
class Linear:
    """Linearised vehicle.

    Attributes
    ----------
    matrix : ndarray, shape (n, n)
        Of ``d/dt [a; a'; s] = matrix [a; a'; s]``; 1/s.
    shapes : ndarray, shape (9, 5)
        Coordinates moved by each of the five amplitudes a.
    """

    matrix: np.ndarray
    shapes: np.ndarray


def mass_matrix(values: VehicleNumbers) -> np.ndarray:
    """Mass matrix of all speeds without gears, shape (11, 11); kg and kg m2."""
    mass = np.diag(
        [values.chassis_mass] * 2
        + [values.chassis_inertia]
        + [values.rear.mass] * 2
        + [0.0]
        + [values.front.mass] * 2
        + [0.0] * 3
    )
    rows = [SPEEDS.index(name) for name in BLOCK]
    mass[np.ix_(rows, rows)] += inertia_block((values.moving.rear, values.moving.front))
    return mass


def linearise(
    values: VehicleNumbers,
    coordinates: np.ndarray,
    speeds: list[float],
    tensions: np.ndarray,
    *,
    grade: float,
    throttle: float = 0.0,
    grip_factor: float = 1.0,
    brake_torque: float = 0.0,
) -> Linear:
    """Linearise about a steady state.

    Parameters
    ----------
    values : dict
        `noseload.model.motion.mobility.motion_parameters`.
    coordinates, speeds, tensions : sequence of float
        Nine coordinates, eleven speeds (housings and spins included), four link tensions; SI.
    grade, throttle, grip_factor, brake_torque : float

    Returns
    -------
    Linear
    """
    parameters = values.in_motion_order()
    q, u, tension = (tuple(float(v) for v in part) for part in (coordinates, speeds, tensions))
    flat = packed(tangent(q, u, tension, throttle, grip_factor, brake_torque, grade, parameters))
    slopes = flat[: 11 * 20].reshape(11, 20)
    jacobian = packed(closure(q, u, parameters)[ROWS["closure"]["jacobian"]]).reshape(len(tension), len(SPEEDS))
    shapes = np.linalg.svd(jacobian[:, :9])[2][4:].T
    free_spins = gear_pattern(values)[2:, 2:]
    moves = np.zeros((11, 5 + free_spins.shape[1]))
    moves[:9, :5], moves[9:, 5:] = shapes, free_spins
    mass = moves.T @ mass_matrix(values) @ moves
    stiffness = np.linalg.solve(mass, moves.T @ slopes[:, :9] @ shapes)
    damping = np.linalg.solve(mass, moves.T @ slopes[:, 9:] @ moves)
    n = moves.shape[1]
    matrix = np.zeros((5 + n, 5 + n))
    matrix[:5, 5:10] = np.eye(5)
    matrix[5:, :5], matrix[5:, 5:] = stiffness, damping
    return Linear(matrix, shapes)
