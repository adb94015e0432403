"""Inertia of housings, wheel pairs and rotor with their gears, and the energies of the moving vehicle.

The mass matrix is constant. Housings and spins form a block of four; gears take speeds away from it::

    M = | Ihr+Iwr    0       Iwr       0     |   rear housing        P: speeds that remain free
        |    0    Ihf+Iwf     0       Iwf    |   front housing       mobility = P (P^T M P)^-1 P^T
        |   Iwr      0     Iwr+Jr      0     |   rear spin
        |    0      Iwf       0     Iwf+Jf   |   front spin
"""

from math import cos, sin

import numpy as np

from noseload.model.parameters import ENDS, kernel_parameters

SPEEDS = ("rear_theta", "front_theta", "rear_spin", "front_spin")
"""Speeds of the block, in its order."""


def motion_parameters(vehicle, free_lengths):
    """Kernel parameters of a moving vehicle by name, SI.

    Parameters
    ----------
    vehicle : Vehicle
        Level C: with motor, damping and moments of inertia.
    free_lengths : pair of float
        Free shock lengths (rear, front), m.

    Returns
    -------
    dict
        `kernel_parameters`, the mobility block, and the moments of inertia by name.
    """
    return add_inertia(kernel_parameters(vehicle, free_lengths), vehicle)


def add_inertia(values, vehicle):
    """`values` with the moments of inertia (kg m2) and the mobility block added; a new dict."""
    values = dict(values)
    for end, axle in (("rear", vehicle.rear), ("front", vehicle.front)):
        values[f"{end}_housing_inertia"] = axle.housing_pitch_inertia
        values[f"{end}_wheels_inertia"] = axle.wheel_pair_inertia
        values[f"{end}_rotor_inertia"] = vehicle.drive.rotor_inertia * values[f"{end}_motor"]
    values["brake_torque"] = vehicle.drive.drag_brake_torque
    block = mobility(values)
    for i, a in enumerate(SPEEDS):
        for j in range(i, 4):
            values[f"mobility_{a}_{SPEEDS[j]}"] = float(block[i, j])
    return values


def inertia_block(values):
    """Mass matrix of housings and spins without gears, kg m2, shape (4, 4)."""
    block = np.zeros((4, 4))
    for k, end in enumerate(ENDS):
        wheels = values[f"{end}_wheels_inertia"]
        block[k, k] = values[f"{end}_housing_inertia"] + wheels
        block[k, k + 2] = block[k + 2, k] = wheels
        block[k + 2, k + 2] = wheels + values[f"{end}_rotor_inertia"]
    return block


def gear_pattern(values):
    """Columns: how housings and spins move with each free speed, shape (4, 3) geared or (4, 4)."""
    if values["geared"]:
        return np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, values["spin_ratio"]]], dtype=float)
    return np.eye(4)


def mobility(values):
    """Accelerations per unit of generalised force on (housings, spins), gears included, shape (4, 4)."""
    pattern = gear_pattern(values)
    return pattern @ np.linalg.solve(pattern.T @ inertia_block(values) @ pattern, pattern.T)


def kinetic_energy(values, speeds):
    """Kinetic energy with wheels and rotor, J.

    Parameters
    ----------
    values : dict
        `motion_parameters`.
    speeds : ndarray, shape (11, ...)
        m/s and rad/s; the order of `noseload.model.motion.vehicle_motion.SPEEDS`.
    """
    total = 0.5 * values["chassis_inertia"] * speeds[2] ** 2
    for body, k in (("chassis", 0), ("rear", 3), ("front", 6)):
        total = total + 0.5 * values[f"{body}_mass"] * (speeds[k] ** 2 + speeds[k + 1] ** 2)
    for end, k, spin in (("rear", 5, 9), ("front", 8, 10)):
        turning = speeds[k] + speeds[spin]
        total = total + 0.5 * (
            values[f"{end}_housing_inertia"] * speeds[k] ** 2
            + values[f"{end}_wheels_inertia"] * turning**2
            + values[f"{end}_rotor_inertia"] * speeds[spin] ** 2
        )
    return total


def potential_energy(values, coordinates, shock_lengths, tyre_depths, grade):
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
        total = total + values[f"{body}_mass"] * values["gravity"] * rise
    for end, length, depth in zip(ENDS, shock_lengths, tyre_depths, strict=True):
        over = np.maximum(length - values[f"{end}_longest"], 0.0)
        under = np.maximum(values[f"{end}_shortest"] - length, 0.0)
        total = total + 0.5 * (
            values[f"{end}_spring_rate"] * (length - values[f"{end}_free_length"]) ** 2
            + values[f"{end}_stop_stiffness"] * (over**2 + under**2)
            + values[f"{end}_tyre_stiffness"] * np.maximum(depth, 0.0) ** 2
        )
    return total


def mobility_rows(values):
    """Mobility entries by kernel parameter name, for one vehicle or for arrays of them.

    Parameters
    ----------
    values : mapping
        `geared`, `spin_ratio` and the moments of inertia (kg m2) of both ends: numbers or arrays (cases,).

    Returns
    -------
    dict of str to ndarray, shape (cases,)
    """
    names = [f"{end}_{part}_inertia" for end in ENDS for part in ("housing", "wheels", "rotor")]
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(values[n], dtype=float)) for n in (*names, "geared", "spin_ratio"))
    )
    numbers = dict(zip((*names, "geared", "spin_ratio"), arrays, strict=True))
    cases = arrays[0].size
    block, pattern = np.zeros((cases, 4, 4)), np.zeros((cases, 4, 4))
    for k, end in enumerate(ENDS):
        wheels = numbers[f"{end}_wheels_inertia"]
        block[:, k, k] = numbers[f"{end}_housing_inertia"] + wheels
        block[:, k, k + 2] = block[:, k + 2, k] = wheels
        block[:, k + 2, k + 2] = wheels + numbers[f"{end}_rotor_inertia"]
    geared = numbers["geared"] != 0.0
    pattern[:] = np.eye(4)
    pattern[geared, 3, 2], pattern[geared, 3, 3] = numbers["spin_ratio"][geared], 0.0
    across = pattern.swapaxes(1, 2)
    reduced = across @ block @ pattern
    # A geared vehicle has no fourth free speed: keep its empty row solvable.
    reduced[geared, 3, 3] = 1.0
    whole = pattern @ np.linalg.solve(reduced, across)
    return {f"mobility_{a}_{b}": whole[:, i, j] for i, a in enumerate(SPEEDS) for j, b in enumerate(SPEEDS) if j >= i}
