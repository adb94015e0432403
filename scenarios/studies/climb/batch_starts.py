"""Where many punches start: steady crawls, or standing on the drag brake, every different one solved once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, VehicleBatch
from noseload.model.batch.kernels import BatchKernel, parameter_rows
from noseload.model.batch.steady import BatchSteady
from noseload.model.crawl.equilibrium import SHOCKS, N
from noseload.model.generated.parameter_order import ROWS
from noseload.model.motion.mobility import motion_parameters
from noseload.model.motion.rows import ALONG, COORDINATE_ROWS, MOVING, SPEED_ROWS, SPIN_ROWS
from noseload.model.parameters import BRAKE_SPEED, ENDS
from noseload.solvers.batch.newton import BatchSolution, solve_batch
from noseload.solvers.errors import SolverError, Status

from .many import creep_many, stand_those_that_do

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle

    from .steady_start import SteadyStart


FULL_THROTTLE = 1.0
SAME_SPIN = 1e-14
"""Spin of braked wheels is solved to this, rad/s."""
_ROUNDS, _NEWTON_STEPS = 60, 50
_CONTACT = ("load", "traction", "contact_couple")


@dataclass(frozen=True)
class BatchStarts:
    """Prepared vehicles and their starts, one column for each different one.

    Attributes
    ----------
    vehicles : VehicleBatch
    grades : ndarray
        rad.
    states : ndarray, shape (20, columns)
        Of `noseload.model.batch.motion`.
    throttles, brakes : ndarray
        Throttle and drag brake (N m) that hold the start.
    brakes_full : ndarray
        Drag brake where it is on, N m.
    loads : ndarray, shape (2, columns)
        Tyre loads, N, rear and front.
    solved, held : ndarray of bool
        Whether there is such a steady state, and whether motor, grip or brake can hold it.
    lost : ndarray of bool
        Crawls with the grip for it whose search failed, one by one too.
    pick : ndarray of int, shape (cases,)
        Column of each case.
    """

    vehicles: VehicleBatch
    grades: np.ndarray
    states: np.ndarray
    throttles: np.ndarray
    brakes: np.ndarray
    brakes_full: np.ndarray
    loads: np.ndarray
    solved: np.ndarray
    held: np.ndarray
    lost: np.ndarray
    pick: np.ndarray


def prepare_those_that_stand(vehicles: list[Vehicle]) -> tuple[VehicleBatch, np.ndarray]:
    """Numbers of moving vehicles (standing poses, free lengths, mobility), and which vehicles stand."""
    standing, stands = stand_those_that_do(vehicles)
    lengths = zip(standing["rear_free_length"], standing["front_free_length"], strict=True)
    values = [
        motion_parameters(v, (float(rear), float(front))) for v, (rear, front) in zip(vehicles, lengths, strict=True)
    ]
    return VehicleBatch(parameter_rows(values), standing.starts, standing.wheelbases), stands


def batch_starts(
    fleet: VehicleBatch,
    which: np.ndarray,
    brake_torques: np.ndarray,
    *,
    grade_deg: np.ndarray,
    grip_factor: np.ndarray,
    braked: np.ndarray,
    creep_speed: float,
    alone: Callable[[int, float, float], SteadyStart],
) -> BatchStarts:
    """Solve every different start of many punches once.

    Parameters
    ----------
    fleet : VehicleBatch
    which : ndarray of int, shape (cases,)
        Vehicle of each case.
    brake_torques : ndarray, shape (vehicles,)
        Drag brake of each vehicle at the wheels, N m.
    grade_deg, grip_factor : ndarray, shape (cases,)
    braked : ndarray of bool, shape (cases,)
        Standing on the drag brake instead of crawling.
    creep_speed : float
        m/s.
    alone : callable
        `alone(vehicle, grade, grip_factor)`: the crawl of one vehicle of the fleet (grade in rad) by the patient search, for
        crawls with the grip for it that the batch does not find.

    Returns
    -------
    BatchStarts
    """
    different, pick = np.unique(np.stack([which, grade_deg, grip_factor, braked]), axis=1, return_inverse=True)
    vehicle_of, grades, grip = different[0].astype(int), np.radians(different[1]), different[2]
    vehicles = fleet.take(vehicle_of)
    standing = different[3] > 0.0
    creep = creep_many(vehicles, grades)
    climbs = creep.solution.success & (creep.front_load > 0.0) & (creep.rear_load > 0.0)
    safe = np.where(creep.solution.success, creep.solution.states, vehicles.starts)
    states, loads = np.zeros((MOVING, grades.size)), np.zeros((2, grades.size))
    full, throttles = brake_torques[vehicle_of], np.zeros(grades.size)
    solved, held, gripping = np.zeros((3, grades.size), dtype=bool)
    for place, solve, given in (
        (np.flatnonzero(~standing), _crawls, np.full(grades.size, creep_speed)),
        (np.flatnonzero(standing), _stands, full),
    ):
        if place.size:
            found = solve(vehicles.take(place), grades[place], grip[place], safe[:, place], given[place])
            states[:, place], loads[:, place], throttles[place], solved[place], held[place], gripping[place] = found
    starts = BatchStarts(
        vehicles,
        grades,
        states,
        throttles,
        np.where(standing, full, 0.0),
        full,
        loads,
        solved,
        held & climbs,
        np.zeros(grades.size, dtype=bool),
        pick.reshape(-1),
    )
    _search_alone(starts, gripping & ~solved & climbs & ~standing, vehicle_of, grip, creep_speed, alone)
    return starts


def _search_alone(
    starts: BatchStarts,
    missed: np.ndarray,
    vehicle_of: np.ndarray,
    grip: np.ndarray,
    creep_speed: float,
    alone: Callable[[int, float, float], SteadyStart],
) -> None:
    """Put in crawls that the batch missed: one by one from the flattest, steeper ones of its kind (vehicle, grip) from it."""
    vehicles, grades = starts.vehicles, starts.grades
    order = np.flatnonzero(missed)[np.argsort(np.abs(grades[missed]))]
    while order.size:
        k, order = order[0], order[1:]
        try:
            one = alone(int(vehicle_of[k]), float(grades[k]), float(grip[k]))
        except SolverError:
            starts.lost[k] = True
            continue
        if not one.success:
            continue
        this = np.array([k])
        starts.states[:, k], starts.throttles[k] = one.state[: len(starts.states)], one.throttle
        starts.solved[k] = starts.held[k] = True
        starts.loads[:, this] = _observed(vehicles.take(this), grades[this], grip[this], starts.states[:, this])[0]
        alike = (vehicle_of[order] == vehicle_of[k]) & (grip[order] == grip[k]) & (grades[order] * grades[k] > 0.0)
        beyond = order[alike]
        if not beyond.size:
            continue
        given = np.full(beyond.size, creep_speed)
        states, loads, throttles, solved, held = _crawls_beyond(
            vehicles.take(beyond), grades[beyond], grip[beyond], given, starts.states[:, k], grades[k]
        )
        near = beyond[solved]
        starts.states[:, near], starts.loads[:, near] = states[:, solved], loads[:, solved]
        starts.throttles[near], starts.solved[near], starts.held[near] = throttles[solved], True, held[solved]
        order = order[~np.isin(order, near)]


def _observed(vehicles: VehicleBatch, grades: np.ndarray, grip: np.ndarray, states: np.ndarray) -> tuple:
    """Loads and tractions (N) and couples of the loads (N m), (2, cases) each, of steady states; the motor is of no matter."""
    nothing = np.zeros(grades.size)
    seen = BatchKernel("observe", grades.size)(
        list(states[COORDINATE_ROWS]),
        list(states[SPEED_ROWS]),
        nothing,
        grip,
        nothing,
        grades,
        list(vehicles.parameters),
    )
    return tuple(seen[ROWS["observe"][name]].copy() for name in _CONTACT)


def _crawls(
    vehicles: VehicleBatch, grades: np.ndarray, grip: np.ndarray, creep_states: np.ndarray, creep_speed: np.ndarray
) -> tuple[np.ndarray, ...]:
    """Steady motion at the creep speed with the throttle that holds it."""
    steady = BatchSteady(BatchCreep(vehicles), travel_speed=creep_speed, grip_factor=grip)
    guess, needed = steady.guess(creep_states, grades)
    solution = solve_batch(steady, guess, grades)
    with np.errstate(invalid="ignore"):
        gripping = np.abs(needed) < 1.0
    return *_held(steady, solution, gripping), gripping


def _held(steady: BatchSteady, solution: BatchSolution, gripping: np.ndarray) -> tuple[np.ndarray, ...]:
    """States, loads, throttles, which are solved and which are held."""
    states = steady.motion_states(solution.states)
    loads, *contact = _observed(steady.creep.vehicles, solution.parameters, steady.grip_factor, states)
    throttles = steady.throttle(solution.states, *contact)
    with np.errstate(invalid="ignore"):
        held = gripping & solution.success & (np.abs(throttles) <= FULL_THROTTLE)
    return states, loads, throttles, solution.success, held


def _crawls_beyond(
    vehicles: VehicleBatch,
    grades: np.ndarray,
    grip: np.ndarray,
    creep_speed: np.ndarray,
    flatter: np.ndarray,
    flatter_grade: float,
) -> tuple[np.ndarray, ...]:
    """Steady motions of a vehicle on steeper grades than one of its that is known; solved are those on the same side of
    each coil's and each droop stop's edge: then the motion has not snapped in between.

    `flatter` : that motion's state (20,), `flatter_grade` : its grade, rad.
    """
    v, steady = vehicles, BatchSteady(BatchCreep(vehicles), travel_speed=creep_speed, grip_factor=grip)
    rear, front = flatter[SPIN_ROWS]
    spin = np.where(v["rear_driven"] != 0.0, rear, front / v["spin_ratio"])
    pose = flatter[COORDINATE_ROWS].copy()
    # The unknowns of steady motion count places along the slope from the chassis; tensions are found by the first step.
    pose[ALONG] -= pose[ALONG[0]]
    tensions = np.zeros((N - pose.size, grades.size))
    guess = np.concatenate([np.outer(pose[1:], np.ones(grades.size)), tensions, [spin]])
    solution = solve_batch(steady, guess, grades)

    def sides(states: np.ndarray, at: np.ndarray) -> np.ndarray:
        lengths = steady.creep.outputs(states, at)[0][SHOCKS:]
        loose = [np.where(v[f"{end}_spring_held"] != 0.0, np.inf, v[f"{end}_free_length"]) for end in ENDS]
        return np.concatenate([lengths, lengths]) > np.stack([*loose, *(v[f"{end}_longest"] for end in ENDS)])

    same = (sides(solution.states, grades) == sides(guess, np.full(grades.size, flatter_grade))).all(axis=0)
    solution.statuses[solution.success & ~same] = Status.REJECTED
    return _held(steady, solution, np.ones(grades.size, dtype=bool))


def _stands(
    vehicles: VehicleBatch, grades: np.ndarray, grip: np.ndarray, creep_states: np.ndarray, brakes: np.ndarray
) -> tuple[np.ndarray, ...]:
    """Standing on brake and shorted motor: the wheels turn a hair and the tyres creep; spin and torque agree in the end."""
    creep, spin, guess = BatchCreep(vehicles), np.zeros(grades.size), None
    for _ in range(_ROUNDS):
        steady = BatchSteady(creep, spin_speed=spin, grip_factor=grip, free_travel=True)
        if guess is None:
            guess, needed = steady.guess(creep_states, grades)
        solution = solve_batch(steady, guess, grades)
        guess = np.where(solution.success, solution.states, guess)
        states = steady.motion_states(guess)
        loads, *contact = _observed(vehicles, grades, grip, states)
        torque = steady.torque(guess, *contact)
        with np.errstate(invalid="ignore"):
            gripping = np.abs(needed) < 1.0
            held = gripping & solution.success & (np.abs(torque) < brakes)
        last, spin = (
            spin,
            np.where(held, _held_spin(vehicles, np.where(held, torque, 0.0), np.where(held, brakes, 1.0)), 0.0),
        )
        if (np.abs(spin - last) < SAME_SPIN).all():
            break
    return states, loads, np.zeros(grades.size), solution.success, held, gripping


def _held_spin(vehicles: VehicleBatch, torque: np.ndarray, brake: np.ndarray) -> np.ndarray:
    """Spin at which brake and shorted motor together give -torque (Newton; rad/s)."""
    slope = vehicles["stall_torque"] / vehicles["no_load_speed"]
    spin = -BRAKE_SPEED * np.arctanh(torque / brake)
    for _ in range(_NEWTON_STEPS):
        saturation = np.tanh(spin / BRAKE_SPEED)
        excess = torque + slope * spin + brake * saturation
        spin = spin - excess / (slope + brake / BRAKE_SPEED * (1.0 - saturation**2))
        if (np.abs(excess) < 1e-15 * brake).all():
            break
    return spin
