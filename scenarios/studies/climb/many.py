"""Standing, creep and tip-over of many vehicles at once: one batched solve instead of one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from noseload.model.batch.equilibrium import BatchCreep, BatchGradeOf, BatchStanding, VehicleBatch
from noseload.model.crawl.equilibrium import OUTPUTS, TENSIONS, N, resting_pose
from noseload.model.parameters import ENDS, check_links, kernel_parameters, measured_shock_length
from noseload.model.vehicle import Vehicle
from noseload.solvers.batch.newton import BatchSolution, solve_batch
from noseload.solvers.errors import SolverError

from .standing import base_chassis_pose, given_free_lengths, stand

GRADE_STEP = 0.35
"""Largest step in grade that is solved at once, rad."""
FINER = (4, 24)
"""How much finer the steps are for the cases that fail, in turn."""
ON_STOPS = (("front",), ("rear",), ENDS)
"""Ends that a case may have snapped onto the droop stop with, in the order tried."""
FAR = 10.0
"""A length that no shock reaches, m."""
ROUGH = 1e-4
"""Tolerance of a waypoint on the way from level: near enough for the next step."""
MOST_ON_THE_WAY = 16
"""Evaluations of a waypoint: one that takes more fails, and goes on from its best iterate."""
TIP_STEPS = (3, 12, 48)
"""Steps of the front load from standing to zero; the finer ones for the cases that fail."""


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
        m and N, in the order of `noseload.model.crawl.equilibrium`.
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
    def statuses(self) -> np.ndarray:
        """`noseload.solvers.errors.Status` of each case."""
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
    def statuses(self) -> np.ndarray:
        """`noseload.solvers.errors.Status` of each case."""
        return self.solution.statuses


def batch_of(vehicles: Sequence[Vehicle], free_lengths: np.ndarray | None = None) -> VehicleBatch:
    """Numbers of vehicles, with free shock lengths (m, shape (2, cases)) if already known."""
    lengths = [(None, None)] * len(vehicles) if free_lengths is None else np.asarray(free_lengths).T.tolist()
    values = [kernel_parameters(v, pair) for v, pair in zip(vehicles, lengths, strict=True)]
    starts = np.stack([resting_pose(v, numbers) for v, numbers in zip(vehicles, values, strict=True)], axis=1)
    return VehicleBatch.of(values, starts, [v.wheelbase for v in vehicles])


def stand_many(vehicles: Sequence[Vehicle]) -> VehicleBatch:
    """Free shock lengths and level standing pose of vehicles and setups, by the rules of `stand`.

    Parameters
    ----------
    vehicles : sequence of Vehicle

    Returns
    -------
    VehicleBatch
        With free lengths filled in and `starts` the standing poses.

    Raises
    ------
    MissingDataError
        A vehicle without links (level A).
    SolverError
        A vehicle does not stand.
    """
    for vehicle in vehicles:
        check_links(vehicle)
    batch, stands = stand_those_that_do(vehicles)
    failed = np.flatnonzero(~stands)
    if failed.size:
        stand(vehicles[int(failed[0])])
    return batch


def stand_those_that_do(vehicles: Sequence[Vehicle]) -> tuple[VehicleBatch, np.ndarray]:
    """As `stand_many`, and which vehicles stand, shape (cases,); the others are left in their measured pose."""
    states, stands = _standing_states(list(vehicles))
    return replace(batch_of(vehicles, states[N:]), starts=states[:N]), stands


def _standing_states(vehicles: list[Vehicle]) -> tuple[np.ndarray, np.ndarray]:
    """Standing unknowns (15, cases), the bases first, as deep as they go; and which cases were solved."""
    bases = list({id(v.base): v.base for v in vehicles if v.base is not None}.values())
    of_base, base_stands = _standing_states(bases) if bases else (None, np.ones(0, dtype=bool))
    place = {id(base): k for k, base in enumerate(bases)}
    given, poses = [], []
    for v in vehicles:
        base = None if v.base is None or of_base is None else of_base[:, place[id(v.base)]]
        given.append(given_free_lengths(v, None if base is None else base[N:]))
        poses.append(base_chassis_pose(v, base[:2]) if base is not None and v.ride_height == "reset" else None)
    states, stands = _stand(vehicles, given, poses)
    for k in np.flatnonzero(~stands).tolist():
        # One at a time the search is more patient.
        try:
            found = stand(vehicles[k])
        except SolverError:
            continue
        states[:, k] = np.append(found.state, found.free_lengths)
        stands[k] = True
    for k, v in enumerate(vehicles):
        stands[k] &= v.base is None or base_stands[place[id(v.base)]]
    return states, stands


def _stand(vehicles: list[Vehicle], given: list, poses: list[np.ndarray | None]) -> tuple:
    """Standing unknowns (15, cases), and which are solved: each spring held by its given free length, by its shock's
    length or by a pose. What is not solved keeps the start."""
    batch = batch_of(vehicles)
    nothing = (None, None)
    reset = [pose is not None for pose in poses]
    free = np.array([nothing if r else g for g, r in zip(given, reset, strict=True)], dtype=float).T
    pose = np.array([nothing if p is None else p for p in poses], dtype=float).T
    measured = np.array([[measured_shock_length(v, end) for v in vehicles] for end in ENDS])
    equilibrium = BatchStanding(
        BatchCreep(batch), shock_lengths=np.where(reset, np.nan, measured), chassis_pose=pose, free_lengths=free
    )
    starts = np.concatenate([batch.starts, np.where(np.isnan(free), measured, free)])
    solution = solve_batch(equilibrium, starts, 0.0)
    return np.where(solution.success, solution.states, starts), solution.success.copy()


def _as_batch(vehicles: VehicleBatch | Sequence[Vehicle]) -> VehicleBatch:
    return vehicles if isinstance(vehicles, VehicleBatch) else stand_many(vehicles)


def creep_many(
    vehicles: VehicleBatch | Sequence[Vehicle],
    grades: ArrayLike,
    *,
    tolerance: float = 1e-11,
    finer: Sequence[int] = FINER,
    max_evaluations: int = 60,
) -> CreepMany:
    """Creep of many vehicles, each on its own grade, in one batched solve.

    Parameters
    ----------
    vehicles : VehicleBatch or sequence of Vehicle
        A batch must hold free shock lengths (see `stand_many`).
    grades : array_like, shape (cases,) or scalar
        rad.
    tolerance : float
        Largest scaled residual of a solved case.
    finer : sequence of int
        How much finer the steps are for the cases that fail, in turn; empty: failed cases are left.
    max_evaluations : int
        Of each step.

    Returns
    -------
    CreepMany
        Cases that a direct solve does not reach are continued from level in small steps.
    """
    batch = _as_batch(vehicles)
    grades = np.broadcast_to(np.asarray(grades, dtype=float), (batch.cases,)).copy()
    equilibrium = BatchCreep(batch)
    steps = max(1, int(np.ceil(np.abs(grades).max(initial=0.0) / GRADE_STEP)))
    solution = _continued(equilibrium, batch.starts, 0.0 * grades, grades, steps, tolerance, max_evaluations)
    for ends in ON_STOPS:
        failed = np.flatnonzero(~solution.success & _may_snap(batch, ends))
        if failed.size:
            retry = _on_the_stop(batch.take(failed), ends, grades[failed], steps, tolerance, max_evaluations)
            solution = solution.patched(failed, retry)
    for finer_by in finer:
        failed = np.flatnonzero(~solution.success)
        if failed.size:
            retry = _continued(
                equilibrium.take(failed),
                batch.starts[:, failed],
                0.0 * grades[failed],
                grades[failed],
                finer_by * steps,
                tolerance,
                max_evaluations,
            )
            solution = solution.patched(failed, retry)
    return _creep_result(equilibrium, solution)


def _slack(batch: VehicleBatch, end: str) -> np.ndarray:
    """Travel of a loose coil up to the droop stop, m, shape (cases,)."""
    room = np.maximum(batch[f"{end}_longest"] - batch[f"{end}_free_length"], 0.0)
    return np.where(batch[f"{end}_spring_held"] > 0.0, 0.0, room)


def _on_the_stop(
    batch: VehicleBatch, ends: tuple[str, ...], grades: np.ndarray, steps: int, tolerance: float, max_evaluations: int
) -> BatchSolution:
    """Solve cases that snapped onto droop stops where coils went loose, which no step in the grade can follow.

    With its coil loose, a shock on its stop is a stiff spring about the stop's place: held at both ends, it is solved without
    a snap, and then is the solution of the law itself.
    """
    tied = BatchCreep(_tied(batch, ends))
    start = _continued(tied, batch.starts, 0.0 * grades, grades, steps, ROUGH, max_evaluations)
    return _continued(BatchCreep(batch), start.states, grades, grades, 1, tolerance, max_evaluations)


def _tied(batch: VehicleBatch, ends: tuple[str, ...]) -> VehicleBatch:
    """The vehicles with the shocks of these ends held to their droop stops by the stops' own stiffness."""
    stiff: dict[str, Any] = {}
    for end in ends:
        stiff[f"{end}_spring_rate"], stiff[f"{end}_spring_held"] = batch[f"{end}_stop_stiffness"], 1.0
        stiff[f"{end}_free_length"], stiff[f"{end}_longest"] = batch[f"{end}_longest"], FAR
    return batch.with_values(stiff)


def _may_snap(batch: VehicleBatch, ends: tuple[str, ...]) -> np.ndarray:
    """True (cases,) where the coils of all these ends go loose before their droop stops."""
    return np.all([_slack(batch, end) > 0.0 for end in ends], axis=0)


def _continued(
    equilibrium: BatchCreep | BatchGradeOf,
    states: np.ndarray,
    first: Any,
    last: Any,
    steps: int,
    tolerance: float,
    max_evaluations: int,
) -> BatchSolution:
    """Solve from parameter `first` to `last` in equal steps, each started from the one before."""
    nfev = np.zeros(states.shape[1], dtype=int)
    for k in range(1, steps + 1):
        parameters = first + (k / steps) * (last - first)
        options: dict[str, Any] = {"tolerance": tolerance} if k == steps else {"tolerance": ROUGH, "polish": False}
        most = max_evaluations if k == steps else min(max_evaluations, MOST_ON_THE_WAY)
        solution = solve_batch(equilibrium, states, parameters, max_evaluations=most, **options)
        nfev = nfev + solution.nfev
        # A case that failed on the way starts on from its best iterate and is judged at the end.
        states = np.where(np.isfinite(solution.states), solution.states, states)
    return replace(solution, nfev=nfev)


def _creep_result(equilibrium: BatchCreep, solution: BatchSolution) -> CreepMany:
    values = equilibrium.outputs(solution.states, solution.parameters)[0].copy()
    states = solution.states.copy()
    values[:, ~solution.success] = states[:, ~solution.success] = np.nan
    named = dict(zip(OUTPUTS, values, strict=True))
    return CreepMany(
        grades=solution.parameters,
        solution=solution,
        front_load=named["front_load"],
        rear_load=named["rear_load"],
        front_traction=named["front_traction"],
        rear_traction=named["rear_traction"],
        nose_up_pitch=-states[1],
        shock_lengths=values[4:],
        tensions=states[N - 1 - len(TENSIONS) : N - 1],
    )


def tip_over_many(
    vehicles: VehicleBatch | Sequence[Vehicle],
    *,
    downhill: bool = False,
    tolerance: float = 1e-11,
    steps: Sequence[int] = TIP_STEPS,
    max_evaluations: int = 60,
) -> TipOverMany:
    """Grade at which the uphill axle's load reaches zero, for many vehicles at once.

    The load is taken from its level value to zero in a few steps with the grade as an unknown, so that
    stops engaging cannot hide the tip behind a fold.

    Parameters
    ----------
    vehicles : VehicleBatch or sequence of Vehicle
    downhill : bool
        Nose down the slope, where the rear axle lifts.
    tolerance : float
    steps : sequence of int
        Steps of the load from standing to zero, in turn for the cases that fail.
    max_evaluations : int
        Of each step.

    Returns
    -------
    TipOverMany
    """
    batch = _as_batch(vehicles)
    creep = BatchCreep(batch)
    level = solve_batch(creep, batch.starts, 0.0, tolerance=tolerance)
    loads = creep.outputs(level.states, level.parameters)[0][0 if downhill else 1].copy()
    starts = np.concatenate([level.states, np.zeros((1, batch.cases))])
    equilibrium = BatchGradeOf(creep, 0 if downhill else 1)
    solution = _continued(equilibrium, starts, loads, 0.0 * loads, steps[0], tolerance, max_evaluations)
    for ends in ON_STOPS:
        cases = np.flatnonzero(~solution.success & _may_snap(batch, ends))
        if cases.size:
            some, none = batch.take(cases), 0.0 * loads[cases]
            tied = BatchGradeOf(BatchCreep(_tied(some, ends)), equilibrium.rows[cases])
            # Tied from level on, a shock is pulled to its stop at once: that takes the finer steps.
            start = _continued(tied, starts[:, cases], loads[cases], none, steps[:2][-1], ROUGH, max_evaluations)
            near = equilibrium.take(cases)
            solution = solution.patched(
                cases, _continued(near, start.states, none, none, 1, tolerance, max_evaluations)
            )
    for count in steps[1:]:
        cases = np.flatnonzero(~solution.success)
        if cases.size:
            part = _continued(
                equilibrium.take(cases),
                starts[:, cases],
                loads[cases],
                0.0 * loads[cases],
                count,
                tolerance,
                max_evaluations,
            )
            solution = solution.patched(cases, part)
    grades = np.where(solution.success, solution.states[N], np.nan)
    return TipOverMany(grades, solution)
