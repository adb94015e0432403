"""Standing, creep and tip-over of many vehicles at once: one batched solve instead of one by one."""

from dataclasses import dataclass

import numpy as np

from model.batch_equilibrium import BatchCreep, BatchStanding, BatchTipOver, VehicleBatch
from model.equilibrium import N, OUTPUTS, TENSIONS, resting_pose
from model.parameters import axle_of, kernel_parameters, measured_shock_length
from solvers.batch_newton import BatchSolution, solve_batch

CONTINUATION_STEPS = (8, 48)
"""Steps from level used, in turn, for the cases that a direct solve does not reach."""
TIP_STEPS = (4, 16, 64)
"""Steps of the front load from standing to zero; the finer ones for the cases that fail."""
ENDS = ("rear", "front")


@dataclass(frozen=True)
class CreepMany:
    """Creep of many cases; the last axis is the case. Failed cases hold not-a-number.

    Attributes
    ----------
    grades : ndarray, shape (cases,)
        rad.
    solution : BatchSolution
    front_load, rear_load, front_traction, rear_traction : ndarray, shape (cases,)
        N.
    nose_up_pitch : ndarray, shape (cases,)
        Relative to the slope, rad.
    shock_lengths, tensions : ndarray, shape (2, cases) and (4, cases)
        m and N, in the order of `model.equilibrium`.
    """

    grades: np.ndarray
    solution: BatchSolution
    front_load: np.ndarray
    rear_load: np.ndarray
    front_traction: np.ndarray
    rear_traction: np.ndarray
    nose_up_pitch: np.ndarray
    shock_lengths: np.ndarray
    tensions: np.ndarray

    @property
    def statuses(self):
        """`solvers.errors.Status` of each case."""
        return self.solution.statuses


@dataclass(frozen=True)
class TipOverMany:
    """Tip-over of many vehicles.

    Attributes
    ----------
    grades : ndarray, shape (cases,)
        rad, negative where the rear axle lifts nose down; not a number where none was found.
    solution : BatchSolution
        Unknowns of creep and the grade.
    """

    grades: np.ndarray
    solution: BatchSolution

    @property
    def statuses(self):
        """`solvers.errors.Status` of each case."""
        return self.solution.statuses


def batch_of(vehicles, free_lengths=None):
    """Numbers of vehicles, with free shock lengths (m, shape (2, cases)) if already known."""
    lengths = [(None, None)] * len(vehicles) if free_lengths is None else np.asarray(free_lengths).T.tolist()
    values = [kernel_parameters(v, pair) for v, pair in zip(vehicles, lengths, strict=True)]
    starts = np.stack([resting_pose(v, numbers) for v, numbers in zip(vehicles, values, strict=True)], axis=1)
    return VehicleBatch.of(values, starts, [v.wheelbase for v in vehicles])


def stand_many(vehicles):
    """Free shock lengths and level standing pose of vehicles and set-ups.

    A base stands with its shocks at their measured length (or on the free length its file gives); a set-up
    takes the springs of its base, or has them reset to the ride height of its base.

    Parameters
    ----------
    vehicles : sequence of Vehicle

    Returns
    -------
    VehicleBatch
        With free lengths filled in and `starts` the standing poses.

    Raises
    ------
    SolverError
        A vehicle does not stand.
    """
    owners = [v.base if v.base is not None else v for v in vehicles]
    bases = list({id(owner): owner for owner in owners}.values())
    place = {id(owner): k for k, owner in enumerate(bases)}
    measured = np.array([[measured_shock_length(v, end) for v in bases] for end in ENDS])
    standing = _stand(bases, measured, np.full_like(measured, np.nan), _given_lengths(bases))
    picks = [place[id(owner)] for owner in owners]
    states = standing.states[:, picks]
    reset = [v.base is not None and v.ride_height == "reset" for v in vehicles]
    if any(reset):
        chosen = np.flatnonzero(reset)
        some = [vehicles[k] for k in chosen]
        pose = np.stack([_pose_of_base(vehicles[k], states[:2, k]) for k in chosen], axis=1)
        states[:, chosen] = _stand(some, np.full_like(pose, np.nan), pose, np.full_like(pose, np.nan)).states
    batch = batch_of(vehicles, states[N:])
    level = solve_batch(BatchCreep(batch), batch.starts, 0.0).raise_for_status()
    return VehicleBatch(batch.parameters, level.states, batch.wheelbases)


def _given_lengths(vehicles):
    """Free lengths that files give, m, shape (2, cases); not a number where they do not."""
    lengths = [[axle_of(v, end).shock.free_length for v in vehicles] for end in ENDS]
    return np.array(lengths, dtype=float)


def _pose_of_base(vehicle, pose):
    """Height and pitch of a set-up's chassis when its chassis stands where that of its base does."""
    (x0, z0), (x1, z1) = vehicle.base.body.centre_of_gravity, vehicle.body.centre_of_gravity
    return pose[0] - np.sin(pose[1]) * (x1 - x0) + np.cos(pose[1]) * (z1 - z0), pose[1]


def _stand(vehicles, shock_lengths, chassis_pose, free_lengths):
    batch = batch_of(vehicles)
    equilibrium = BatchStanding(
        BatchCreep(batch), shock_lengths=shock_lengths, chassis_pose=chassis_pose, free_lengths=free_lengths
    )
    measured = np.array([[measured_shock_length(v, end) for v in vehicles] for end in ENDS])
    known = np.where(np.isnan(free_lengths), measured, free_lengths)
    return solve_batch(equilibrium, np.concatenate([batch.starts, known]), 0.0).raise_for_status()


def _as_batch(vehicles):
    return vehicles if isinstance(vehicles, VehicleBatch) else stand_many(vehicles)


def creep_many(vehicles, grades, *, tolerance=1e-11):
    """Creep of many vehicles, each on its own grade, in one batched solve.

    Parameters
    ----------
    vehicles : VehicleBatch or sequence of Vehicle
        A batch must hold free shock lengths (see `stand_many`).
    grades : array_like, shape (cases,) or scalar
        rad.
    tolerance : float
        Largest scaled residual of a solved case.

    Returns
    -------
    CreepMany
        Cases that a direct solve does not reach are continued from level in small steps.
    """
    batch = _as_batch(vehicles)
    grades = np.broadcast_to(np.asarray(grades, dtype=float), (batch.cases,)).copy()
    equilibrium = BatchCreep(batch)
    solution = solve_batch(equilibrium, batch.starts, grades, tolerance=tolerance)
    for steps in CONTINUATION_STEPS:
        failed = np.flatnonzero(~solution.success)
        if failed.size:
            retry = _continued(equilibrium.take(failed), batch.starts[:, failed], 0.0 * grades[failed], grades[failed],
                               steps, tolerance)
            solution = solution.patched(failed, retry)
    return _creep_result(equilibrium, solution)


def _continued(equilibrium, states, first, last, steps, tolerance):
    """Solve from parameter `first` to `last` in equal steps, each started from the one before."""
    for share in np.linspace(0.0, 1.0, steps + 1):
        solution = solve_batch(equilibrium, states, first + share * (last - first), tolerance=tolerance)
        # A case that failed on the way starts on from its best iterate and is judged at the end.
        states = np.where(np.isfinite(solution.states), solution.states, states)
    return solution


def _creep_result(equilibrium, solution):
    values = equilibrium.outputs(solution.states, solution.parameters)[0].copy()
    states = solution.states.copy()
    values[:, ~solution.success] = states[:, ~solution.success] = np.nan
    named = dict(zip(OUTPUTS, values, strict=True))
    return CreepMany(
        grades=solution.parameters, solution=solution, front_load=named["front_load"], rear_load=named["rear_load"],
        front_traction=named["front_traction"], rear_traction=named["rear_traction"], nose_up_pitch=-states[1],
        shock_lengths=values[4:], tensions=states[N - 1 - len(TENSIONS) : N - 1],
    )


def tip_over_many(vehicles, *, downhill=False, tolerance=1e-11):
    """Grade at which the uphill axle's load reaches zero, for many vehicles at once.

    The load is taken from its level value to zero in a few steps with the grade as an unknown, so that
    stops engaging cannot hide the tip behind a fold.

    Parameters
    ----------
    vehicles : VehicleBatch or sequence of Vehicle
    downhill : bool
        Nose down the slope, where the rear axle lifts.
    tolerance : float

    Returns
    -------
    TipOverMany
    """
    batch = _as_batch(vehicles)
    creep = BatchCreep(batch)
    level = solve_batch(creep, batch.starts, 0.0, tolerance=tolerance)
    loads = creep.outputs(level.states, level.parameters)[0][0 if downhill else 1].copy()
    starts = np.concatenate([level.states, np.zeros((1, batch.cases))])
    equilibrium = BatchTipOver(creep, 0 if downhill else 1)
    solution = None
    for steps in TIP_STEPS:
        cases = np.arange(batch.cases) if solution is None else np.flatnonzero(~solution.success)
        if cases.size:
            part = _continued(equilibrium.take(cases), starts[:, cases], loads[cases], 0.0 * loads[cases], steps, tolerance)
            solution = part if solution is None else solution.patched(cases, part)
    grades = np.where(solution.success, solution.states[N], np.nan)
    return TipOverMany(grades, solution)
