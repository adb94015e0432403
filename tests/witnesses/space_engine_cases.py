"""Punches in space that a physics engine can run, and states of ours put into it."""

from dataclasses import replace

import numpy as np

from mujoco_space_motion import ENDS, MovingEngine
from noseload import demo_vehicle
from noseload.model.motion.programs import Program
from noseload.model.space.frames import axle_axes, axle_rotation, chassis_axes, chassis_rotation, turning_rate
from noseload.studies.punch.wheels import motion_of
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.start import space_start

NO_ROTOR = 1e-10
"""kg m2: shafts that turn with a rotor's inertia are no joint of the engine."""


def _rear_driven(car):
    return replace(car, drive=replace(car.drive, driven_axles="rear", rotor_inertia=NO_ROTOR))


CASES = {
    "both": (demo_vehicle(), {"grade_deg": 38.0, "heading_deg": 25.0, "shafts": False, "start_s": 0.0}),
    "shafts": (_rear_driven(demo_vehicle()), {"grade_deg": 25.0, "throttle": 0.6, "start_s": 0.0}),
}
"""Both axles geared together without shafts, across the slope; rear drive with its shaft."""


def start_of(result):
    """The motion of a punch in space."""
    options = result.options
    climb = SpaceClimb(
        result.standing.vehicle, heading_deg=result.heading_deg, shafts=result.shafts, standing=result.standing
    )
    speed = 1e-3 * options.creep_speed_mm_per_s
    begin = space_start(climb, grade=np.radians(options.grade_deg), creep_speed=speed)
    return motion_of(climb, begin, options, None, Program.constant(1.0))


def engine_of(result, **more):
    """The same vehicle on the same slope in the engine."""
    motion = start_of(result)
    return MovingEngine(
        result.standing.vehicle,
        [axle["tyre_radius"] for axle in motion.numbers.axles],
        [axle["free_length"] for axle in motion.numbers.axles],
        motion.grade,
        motion.heading,
        lambda time: float(motion.throttle.at(time)),
        shafts=result.shafts,
        **more,
    )


def _frames(state):
    """Axes of the angles' rates, rotations and rates of the three bodies."""
    for k in range(3):
        axes, rotation = (chassis_axes, chassis_rotation) if k == 0 else (axle_axes, axle_rotation)
        angles = state[6 * k + 3 : 6 * k + 6]
        yield k, axes(angles), rotation(angles), state[21 + 6 * k : 24 + 6 * k]


def put(engine, state):
    """Put a state of ours into the engine."""
    places, velocities = (state[s : s + 18].reshape(3, 6)[:, :3] for s in (0, 18))
    turns, turnings = [], []
    for _, axes, rotation, rates in _frames(state):
        turns.append(rotation)
        turnings.append(axes @ rates)
    spins = [state[36 + k] - turnings[k + 1] @ turns[k + 1][:, 1] for k in range(len(ENDS))]
    engine.put(places, turns, velocities, turnings, spins)


def accelerations_of(engine, state, own):
    """Our accelerations (21) as the engine's (20)."""
    found = np.zeros(engine.model.nv)
    for k, axes, rotation, rates in _frames(state):
        speed = engine.speeds[("chassis", *ENDS)[k]]
        _, turning = turning_rate(axes, rates, own[6 * k + 3 : 6 * k + 6])
        found[speed : speed + 3], found[speed + 3 : speed + 6] = own[6 * k : 6 * k + 3], rotation.T @ turning
        if k:
            found[engine.spins[k - 1]] = own[17 + k] - turning @ rotation[:, 1]
    return found
