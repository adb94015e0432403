"""Where everything is in a solved pose in space: wheels, contacts, ends of rods and shocks, for drawing and for reading."""

from dataclasses import dataclass
from math import cos, sin
from typing import Any

import numpy as np

from noseload.model.parameters import ENDS

from .equilibrium import arm, rotation_of, shock_ends
from .parameters import SIDES, SpaceNumbers
from .rows import AXLE_POSES, AXLE_ROWS, CHASSIS_POSE, CHASSIS_ROWS, UNKNOWN_COUNT


@dataclass(frozen=True)
class SpacePose:
    """Points in m, x forward, y left, z normal to the plane; the chassis' centre of gravity at x = y = 0.

    Attributes
    ----------
    chassis_centre : ndarray, shape (3,)
    centre_of_gravity : ndarray, shape (3,)
        Of the whole vehicle.
    wheels, contacts : ndarray, shape (4, 3)
        Wheel centres and their lowest points: rear left, rear right, front left, front right.
    wheel_axes : ndarray, shape (2, 3)
        Unit vector to the left along each wheel axis, rear and front.
    radii : ndarray, shape (4,)
        Free radii.
    blocks : tuple of float
        Height of what each wheel stands on.
    rods, shocks : dict of str to ndarray, shape (2, 3)
        Chassis end and axle end by name: 'rear_lower_link_left', 'front_right' (shocks).
    """

    chassis_centre: np.ndarray
    centre_of_gravity: np.ndarray
    wheels: np.ndarray
    contacts: np.ndarray
    wheel_axes: np.ndarray
    radii: np.ndarray
    blocks: tuple
    rods: dict
    shocks: dict


def space_pose(numbers: SpaceNumbers, state: Any, blocks: tuple = (0.0,) * 4) -> SpacePose:
    """Places of a solved state (see `noseload.model.space.equilibrium`)."""
    state = np.asarray(state, dtype=float)
    chassis, chassis_turn = np.array([0.0, 0.0, state[0]]), rotation_of(("y", state[1]), ("x", state[2]))
    wheels, contacts, axes, radii = [], [], [], []
    rods: dict = {}
    shocks: dict = {}
    centres = [chassis]
    for k, end in enumerate(ENDS):
        values, place = numbers.axles[k], state[AXLE_POSES[k]]
        centre, turn = place[:3], rotation_of(("z", place[3]), ("x", place[4]), ("y", place[5]))
        centres.append(centre)
        axes.append(turn[:, 1])
        for side, sign in enumerate((1.0, -1.0)):
            local = [values["wheel_x"], values["wheel_y"] + sign * values["half_track"], values["wheel_z"]]
            wheel = centre + turn @ np.array(local)
            reach = (wheel[2] - blocks[2 * k + side]) / cos(place[4])
            # Straight down within the wheel's plane.
            left = np.array([-sin(place[3]), cos(place[3]), 0.0])
            down = left * sin(place[4]) - np.array([0.0, 0.0, cos(place[4])])
            wheels.append(wheel)
            contacts.append(wheel + min(reach, values["tyre_radius"]) * down)
            radii.append(values["tyre_radius"])
            inner, outer = shock_ends(values, side)
            shocks[f"{end}_{SIDES[side]}"] = np.array([chassis + chassis_turn @ inner, centre + turn @ outer])
        for j, rod in enumerate(numbers.rods[k]):
            inner, outer = (arm(values, f"rod_{j + 1}", name) for name in ("chassis", "axle"))
            rods[rod] = np.array([chassis + chassis_turn @ inner, centre + turn @ outer])
    masses = np.array(numbers.masses)
    return SpacePose(
        chassis,
        masses @ np.array(centres) / masses.sum(),
        np.array(wheels),
        np.array(contacts),
        np.array(axes),
        np.array(radii),
        tuple(blocks),
        rods,
        shocks,
    )


def pose_in_motion(numbers: SpaceNumbers, state: Any, blocks: tuple[float, ...] = (0.0,) * 4) -> SpacePose:
    """Places of a moving vehicle, seen along its own heading, the chassis' centre of gravity at x = y = 0.

    Parameters
    ----------
    state : ndarray, shape (47,)
        Of `noseload.model.space.vehicle_motion`.
    """
    y = np.asarray(state, dtype=float)
    x0, y0, z0, heading, pitch, roll = y[CHASSIS_ROWS]
    turn = rotation_of(("z", -heading))
    still = np.zeros(UNKNOWN_COUNT)
    still[CHASSIS_POSE] = z0, pitch, roll
    for rows, pose in zip(AXLE_ROWS, AXLE_POSES, strict=True):
        ahead, aside, height, turned, *leaning = y[rows]
        away = turn @ np.array([ahead - x0, aside - y0, 0.0])
        still[pose] = away[0], away[1], height, turned - heading, *leaning
    return space_pose(numbers, still, blocks)
