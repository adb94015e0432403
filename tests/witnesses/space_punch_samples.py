"""Punches of an independent program in space, and the states of its vehicles as this one writes them."""

import json
from functools import cache
from math import radians
from pathlib import Path

import numpy as np

from noseload.model.motion.programs import Program
from noseload.model.space.frames import axle_axes, chassis_axes
from noseload.model.space.motion_parameters import motion_numbers
from noseload.model.space.vehicle_motion import SIZE, SpaceMotion
from noseload.studies.climb.standing import stand
from space_samples import vehicle

DATA = Path(__file__).parents[1] / "data"


def angles_of_chassis(rotation):
    """Heading, pitch (nose down positive) and roll of a rotation, rad."""
    return np.array(
        [
            np.arctan2(rotation[1, 0], rotation[0, 0]),
            -np.arcsin(rotation[2, 0]),
            np.arctan2(rotation[2, 1], rotation[2, 2]),
        ]
    )


def angles_of_axle(rotation):
    """Heading, roll and pitch of a rotation, rad."""
    return np.array(
        [
            np.arctan2(-rotation[0, 1], rotation[1, 1]),
            np.arcsin(rotation[2, 1]),
            np.arctan2(-rotation[2, 0], rotation[2, 2]),
        ]
    )


@cache
def punch_of(name):
    """The one punch of a vehicle."""
    return json.loads((DATA / f"space-{name}.punch.json").read_text())["punches"][0]


@cache
def motion_of(name):
    """The motion of that punch."""
    given, car = punch_of(name), vehicle(name)
    numbers = motion_numbers(car, stand(car).free_lengths, shafts=given["couples"])
    throttle = Program((0.1, 0.15), (given["throttle_start"], 1.0), "throttle program")
    return SpaceMotion(numbers, radians(given["slope_deg"]), throttle=throttle)


def rotation(quaternion):
    """Rotation matrix of a quaternion, scalar first."""
    w, x, y, z = quaternion
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
        ]
    )


def state_of_punch(numbers):
    """State of `noseload.model.space.vehicle_motion` from that program's: places, quaternions, speeds, spins, motor."""
    numbers, state = np.array(numbers), np.zeros(SIZE)
    places, turns = numbers[:9].reshape(3, 3), numbers[9:21].reshape(3, 4)
    speeds, turning = numbers[21:30].reshape(3, 3), numbers[30:39].reshape(3, 3)
    for k in range(3):
        read, axes = (angles_of_chassis, chassis_axes) if k == 0 else (angles_of_axle, axle_axes)
        angles = read(rotation(turns[k]))
        state[6 * k : 6 * k + 6] = *places[k], *angles
        state[18 + 6 * k : 24 + 6 * k] = *speeds[k], *np.linalg.solve(axes(angles), turning[k])
    state[36:39] = numbers[39:42]
    return state


def controls_of(motion, times):
    """Throttle, grip factor and brake torque of a motion at times, (3, n)."""
    programs = (motion.throttle, motion.grip_factor, motion.brake_torque)
    return np.array([program.at(times) for program in programs])
