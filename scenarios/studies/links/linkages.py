"""Many linkages of one vehicle at one grade: what their front axle carries, found on the way up from level."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, BatchStanding
from noseload.model.crawl.equilibrium import N
from noseload.model.parameters import ENDS, LINKS, axle_of, true_length_of
from noseload.solvers.batch.newton import BatchSolution, solve_batch
from noseload.studies.climb.many import stand_many

from .building_limits import LinkRoom
from .candidates import POINTS

if TYPE_CHECKING:
    from noseload.model.batch.equilibrium import VehicleBatch
    from noseload.model.vehicle import Vehicle

    from .extremes import BuildingLimits


GRADE_STEP = 0.3
"""Largest step in grade on the way from level, rad."""
QUICK: dict[str, Any] = {"tolerance": 1e-8, "polish": False, "max_evaluations": 16}
"""Solver options for a candidate; the found vehicles are solved again by the path of their own climb."""


class Linkages:
    """Linkages of one vehicle at one grade; points (16, cases) in mm, order of POINTS."""

    def __init__(self, vehicle: Vehicle, limits: BuildingLimits, grade: float) -> None:
        self.room, self.grade = LinkRoom(vehicle, limits), grade
        self.one = stand_many([vehicle])
        shock = [axle_of(vehicle, end).shock for end in ENDS]
        self.shock_lengths = np.array([[true_length_of(s)] for s in shock])
        self.given = np.array([[np.nan if s.free_length is None else s.free_length] for s in shock])
        self.orientation = None
        self._climb(self.one, 1)

    def front_loads(self, points: np.ndarray) -> np.ndarray:
        """Front load, N; NaN outside the building limits or where there is no such crawl."""
        return self.crawls(points)[0]

    def crawls(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Front load (N) and state (13, cases) of creep; NaN as there."""
        loads, states = np.full(points.shape[1], np.nan), np.full((N, points.shape[1]), np.nan)
        good = np.flatnonzero(self.room.allowed(points))
        if good.size:
            loads[good], states[:, good] = self._climb(self.vehicles(points[:, good]), good.size)
        return loads, states

    def vehicles(self, points: np.ndarray) -> VehicleBatch:
        """The vehicles with these link ends, links made to fit; their free shock lengths are not theirs yet."""
        changes = {}
        for i, key in enumerate(POINTS):
            end, link, side = key.split(".")
            body, part = ("chassis", "chassis") if side.startswith("chassis") else (end, "axle")
            for axis, row in (("x", 0), ("z", 1)):
                changes[f"{end}_{link}_{part}_{axis}"] = 1e-3 * points[2 * i + row] - self.room.origins[body][row]
        for end in ENDS:
            for link in LINKS:
                a, b = (POINTS.index(f"{end}.{link}.{side}_end_mm") for side in ("chassis", "axle"))
                changes[f"{end}_{link}_length"] = 1e-3 * np.hypot(
                    points[2 * a] - points[2 * b], points[2 * a + 1] - points[2 * b + 1]
                )
        return self.one.take(np.zeros(points.shape[1], dtype=int)).with_values(changes)

    def standing(self, batch: VehicleBatch) -> BatchSolution:
        """Standing on the level with the shocks as long as measured: states of creep and the two free lengths."""
        lengths, given = (np.repeat(a, batch.cases, axis=1) for a in (self.shock_lengths, self.given))
        first = np.array([batch["rear_free_length"], batch["front_free_length"]])
        return solve_batch(
            BatchStanding(BatchCreep(batch), shock_lengths=lengths, free_lengths=given),
            np.concatenate([batch.starts, first]),
            0.0,
            **QUICK,
        )

    def _climb(self, batch: VehicleBatch, cases: int) -> tuple[np.ndarray, np.ndarray]:
        """Standing, then the grade in a few steps; what needs many tries is left out."""
        standing = self.standing(batch)
        loads, found = np.full(cases, np.nan), np.full((N, cases), np.nan)
        kept = np.flatnonzero(standing.success)
        if not kept.size:
            return loads, found
        batch = batch.with_values({"rear_free_length": standing.states[N], "front_free_length": standing.states[N + 1]})
        creep, states = BatchCreep(batch.take(kept)), standing.states[:N, kept]
        kept, creep, states = self._stable(creep, states, 0.0, kept)
        if not kept.size:
            return loads, found
        steps = max(1, int(np.ceil(abs(self.grade) / GRADE_STEP)))
        for k in range(1, steps + 1):
            grade = k / steps * self.grade
            solution = solve_batch(creep, states, np.full(kept.size, grade), **QUICK)
            good = np.flatnonzero(solution.success)
            if not good.size:
                return loads, found
            kept, creep, states = self._stable(creep.take(good), solution.states[:, good], grade, kept[good])
            if not kept.size:
                return loads, found
        loads[kept] = creep.outputs(states, np.full(kept.size, self.grade))[0][1]
        found[:, kept] = states
        return loads, found

    def _stable(
        self, creep: BatchCreep, states: np.ndarray, grade: float, kept: np.ndarray
    ) -> tuple[np.ndarray, BatchCreep, np.ndarray]:
        """Those cases whose tangent has the orientation of the present vehicle standing: past a fold it turns."""
        jacobian = creep.evaluate(states, np.full(kept.size, grade))[1][:, :N]
        sign = np.linalg.slogdet(np.moveaxis(jacobian, -1, 0))[0]
        if self.orientation is None:
            self.orientation = sign[0]
        good = np.flatnonzero(sign == self.orientation)
        return kept[good], creep.take(good) if good.size else creep, states[:, good]
