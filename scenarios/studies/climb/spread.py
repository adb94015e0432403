"""Many vehicles that differ in numbers alone, held in one `Vehicle` of arrays: standing, creep, tip-over.

A case that fails is marked and holds not-a-number; it never stops the others.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, BatchGradeOf, BatchStanding, VehicleBatch
from noseload.model.batch.steady import BatchSteady
from noseload.model.crawl.equilibrium import N, resting_pose
from noseload.model.parameters import CREEP_SPEED, ENDS, kernel_parameters, measured_shock_length
from noseload.solvers.batch.newton import solve_batch

from .many import creep_many, tip_over_many
from .standing import base_chassis_pose, given_free_lengths

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.split import Split
    from noseload.studies.climb.standing import Standing


QUICK = 40
"""Evaluations a step may use where a few failed cases in a hundred are left as failed."""


@dataclass(frozen=True)
class SpreadStanding:
    """Standing poses of the cases of a vehicle of arrays.

    Attributes
    ----------
    batch : VehicleBatch
        Free lengths filled in, `starts` the standing poses.
    free_lengths : ndarray, shape (2, cases)
        m.
    success : ndarray of bool, shape (cases,)
    base : SpreadStanding or None
    """

    batch: VehicleBatch
    free_lengths: np.ndarray
    success: np.ndarray
    base: SpreadStanding | None = None

    @classmethod
    def joined(cls, parts: tuple[SpreadStanding, ...]) -> SpreadStanding:
        """Cases of several vehicles side by side, without their bases."""
        batch = VehicleBatch.joined([part.batch for part in parts])
        return cls(batch, np.hstack([p.free_lengths for p in parts]), np.concatenate([p.success for p in parts]))

    @property
    def front_load(self) -> np.ndarray:
        """Load of the front axle as it stands, N, shape (cases,)."""
        return BatchCreep(self.batch).outputs(self.batch.starts, np.zeros(self.batch.cases))[0][1].copy()


def stand_spread(
    vehicle: Vehicle, cases: int, *, near: Standing | None = None, base: Any = None, slack: Any = None
) -> SpreadStanding:
    """Solve the standing poses of a vehicle of arrays, by the rules of `stand`.

    Parameters
    ----------
    vehicle : Vehicle
        Numbers are floats or arrays of shape (cases,).
    cases : int
    near : Standing, optional
        Of the vehicle all cases are near to: where the iteration starts.
    base : SpreadStanding, optional
        Of `vehicle.base`, if already solved.
    slack : ndarray, shape (2, cases), optional
        Added to the free lengths after the measured pose has set them, m: where friction holds the springs.

    Returns
    -------
    SpreadStanding
    """
    if vehicle.base is not None and base is None:
        base = stand_spread(vehicle.base, cases, near=None if near is None else near.base)
    given = given_free_lengths(vehicle, None if base is None else base.free_lengths)
    reset = base is not None and vehicle.ride_height == "reset"
    values = kernel_parameters(vehicle, given)
    starts = np.broadcast_to(_column(resting_pose(vehicle, values)), (N, cases))
    batch = VehicleBatch.of(_full(values, cases), starts, np.broadcast_to(vehicle.wheelbase, (cases,)))
    measured = _pair([measured_shock_length(vehicle, end) for end in ENDS], cases)
    free = _pair([np.nan if g is None or reset else g for g in given], cases)
    pose = base_chassis_pose(vehicle, base.batch.starts[:2]) if reset else None
    equilibrium = BatchStanding(
        BatchCreep(batch), shock_lengths=np.where(reset, np.nan, measured), chassis_pose=pose, free_lengths=free
    )
    first = batch.starts if near is None else np.broadcast_to(near.state[:, None], (N, cases))
    lengths = np.where(np.isnan(free), measured if near is None else _pair(near.free_lengths, cases), free)
    solution = solve_batch(equilibrium, np.concatenate([first, lengths]), 0.0)
    success = solution.success if base is None else solution.success & base.success
    free, states = solution.states[N:].copy(), solution.states[:N]
    if slack is not None:
        free += slack
    filled = batch.with_values({f"{end}_free_length": row for end, row in zip(ENDS, free, strict=True)})
    return SpreadStanding(replace(filled, starts=states), free, success, base)


def _column(values: np.ndarray) -> np.ndarray:
    return values if values.ndim == 2 else values[:, None]


def _pair(values: list[float | np.ndarray] | tuple[float, float], cases: int) -> np.ndarray:
    return np.array([np.broadcast_to(value, (cases,)) for value in values], dtype=float)


def _full(values: VehicleNumbers, cases: int) -> VehicleNumbers:
    """Numbers as arrays, so that the batch has all its cases even where nothing differs."""
    return values.with_values({"gravity": np.full(cases, values.gravity)})


def _near(near: np.ndarray | None, left: np.ndarray, size: int, cases: int) -> tuple[np.ndarray, np.ndarray]:
    """Which of the cases left have a state to start near to, and those states."""
    if near is None:
        return left[:0], np.empty((size, 0))
    starts = np.broadcast_to(_column(near), (size, cases))[:, left]
    known = np.isfinite(starts).all(axis=0)
    return left[known], starts[:, known]


def _effort(thorough: bool, name: str, steps: tuple[int, ...]) -> dict[str, Any]:
    """Options of the batch solvers: their own, or one quick try."""
    return {} if thorough else {name: steps, "max_evaluations": QUICK}


def tip_over_spread(standing: SpreadStanding, *, near: np.ndarray | None = None, thorough: bool = True) -> np.ndarray:
    """Tip-over grade of each case, rad, shape (cases,); not a number where there is none.

    Parameters
    ----------
    standing : SpreadStanding
    near : ndarray, shape (14,) or (14, cases), optional
        State and grade of a tip-over that the cases are near to; not a number where there is none.
    thorough : bool
        Try again in finer steps where a case fails.
    """
    batch = standing.batch
    grades = np.full(batch.cases, np.nan)
    left = np.flatnonzero(standing.success)
    tried, starts = _near(near, left, N + 1, batch.cases)
    if tried.size:
        solution = solve_batch(BatchGradeOf(BatchCreep(batch.take(tried)), 1), starts, 0.0)
        grades[tried] = np.where(solution.success, solution.states[N], np.nan)
        left = np.setdiff1d(left, tried[solution.success])
    if left.size:
        grades[left] = tip_over_many(batch.take(left), **_effort(thorough, "steps", (3,))).grades
    return grades


@dataclass(frozen=True)
class SpreadCrawl:
    """Creep of the cases at one grade; not a number where not solved.

    Attributes
    ----------
    front_loads, nose_up_pitches : ndarray, shape (cases,)
        N and rad.
    states : ndarray, shape (13, cases)
    """

    front_loads: np.ndarray
    nose_up_pitches: np.ndarray
    states: np.ndarray


def crawl_spread(
    standing: SpreadStanding, grade: float, *, near: np.ndarray | None = None, thorough: bool = True
) -> SpreadCrawl:
    """Creep of each case at a grade.

    Parameters
    ----------
    standing : SpreadStanding
    grade : float
        rad.
    near : ndarray, shape (13,) or (13, cases), optional
        State at that grade that the cases are near to; not a number where there is none.
    thorough : bool
        Try again in finer steps where a case fails.
    """
    batch = standing.batch
    loads, states = np.full(batch.cases, np.nan), np.full((N, batch.cases), np.nan)
    left = np.flatnonzero(standing.success)
    tried, starts = _near(near, left, N, batch.cases)
    if tried.size:
        creep = BatchCreep(batch.take(tried))
        solution = solve_batch(creep, starts, grade)
        solved = solution.success
        loads[tried[solved]] = creep.outputs(solution.states, solution.parameters)[0][1, solved]
        states[:, tried[solved]] = solution.states[:, solved]
        left = np.setdiff1d(left, tried[solved])
    if left.size:
        rest = creep_many(batch.take(left), grade, **_effort(thorough, "finer", ()))
        solved = rest.solution.success
        loads[left] = rest.front_load
        states[:, left[solved]] = rest.solution.states[:, solved]
    return SpreadCrawl(loads, -states[1], states)


def divided_load_spread(
    standing: SpreadStanding, grade: float, splits: Sequence[Split], crawl: SpreadCrawl
) -> np.ndarray:
    """Front load of each case under several laws of division, N, shape (laws, cases); not a number where not solved.

    Solved from the pose of the crawl under equal slip; behind a snap that is the one nearest to it.

    Parameters
    ----------
    standing : SpreadStanding
    grade : float
        rad.
    splits : sequence of Split
    crawl : SpreadCrawl
        Of these cases at that grade under equal slip.
    """
    loads = np.full((len(splits), standing.batch.cases), np.nan)
    known = np.flatnonzero(np.isfinite(crawl.front_loads))
    states = crawl.states[:, known]
    batch, grades = standing.batch.take(known), np.full(known.size, grade)
    for row, split in zip(loads, splits, strict=True):
        steady = BatchSteady(BatchCreep(batch.with_values(split.numbers)), travel_speed=CREEP_SPEED)
        solution = solve_batch(steady, steady.guess(states, grades)[0], grades)
        found = steady.creep.outputs(solution.states, grades)[0][1]
        row[known] = np.where(solution.success & (found >= 0.0), found, np.nan)
    return loads
