"""The front load of a linkage in pieces: each shock on its bump stop, on its spring, loose, or on its droop stop.

Within a piece the load is smooth in the link ends. The pieces meet where a stop is touched or a coil goes loose, and there
the largest loads are found: a search by slopes must know on which side it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, BatchGradeOf
from noseload.model.crawl.equilibrium import OUTPUTS, N
from noseload.model.parameters import ENDS
from noseload.solvers.batch.newton import solve_batch
from noseload.solvers.batch.polish import Evaluated

from .linkages import QUICK

if TYPE_CHECKING:
    from noseload.model.batch.equilibrium import VehicleBatch

    from .linkages import Linkages


NEAR: dict[str, Any] = QUICK | {"max_evaluations": 9}
"""Solver options from a state nearby, which takes two to five."""
BUMP, SPRING, LOOSE, DROOP, LOOSE_DROOP = range(5)
"""What holds a shock: stop and spring, spring, nothing, stop and spring, stop alone."""
TOUCHED = 5e-5
"""A shock so near to the end of its piece is in both, m."""
NO_LAW = 1e-9
"""Rate of a loose coil: a shock must have one to be solved, N/m."""
FAR = 10.0
"""Where a stop is never met, m."""
LEAST_STIFFNESS = 0.05
"""A linkage that is to climb on keeps this share of what holds it standing (determinant of its equations) until it is on its
stops: at none it would snap, and a tenth of a millimetre would decide what its front axle carries."""
ROOM_OF_STIFFNESS = 100.0
"""Units of stiffness left that count as a millimetre of room."""
ON_THE_WAY = (0.5, 0.75, 1.0)
"""Where on its way from standing a shock must still be held, as shares of that way."""
SMALL_WAY = 3e-3
"""A shock that goes less far has no snap behind it, m."""
NO_BOUND = 1.0
PLENTY_LEFT = 0.35
"""Share of the standing stiffness from which on the way is not looked at around a point: a step that meets less is refused."""


class ShockPieces:
    """Front loads of linkages, N, in the pieces of their shocks; rooms in mm.

    Parameters
    ----------
    linkages : Linkages
    """

    def __init__(self, linkages: Linkages) -> None:
        self.linkages = linkages
        self.held = [bool(linkages.one[f"{end}_spring_held"][0] > 0.0) for end in ENDS]

    def near(self, points: np.ndarray, states: np.ndarray) -> list[list]:
        """Pieces of both shocks that each linkage is in or touches."""
        batch = self.linkages.vehicles(points)
        free = self.linkages.standing(batch).states[N:]
        lengths = self._lengths(BatchCreep(batch), states)
        found = []
        for k in range(points.shape[1]):
            of_ends = [
                sorted({self._piece(batch, e, k, lengths[e, k] + way, free[e, k]) for way in (-TOUCHED, 0.0, TOUCHED)})
                for e in range(2)
            ]
            found.append([(rear, front) for rear in of_ends[0] for front in of_ends[1]])
        return found

    def _piece(self, batch: VehicleBatch, e: int, k: int, length: float, free: float) -> int:
        loose = length > free and not self.held[e]
        if length < batch[f"{ENDS[e]}_shortest"][k]:
            return BUMP
        if length > batch[f"{ENDS[e]}_longest"][k]:
            return LOOSE_DROOP if loose else DROOP
        return LOOSE if loose else SPRING

    def evaluate(self, points: np.ndarray, states: np.ndarray, pieces: list, *, around: int = 1) -> Evaluated:
        """Front loads with the law of each piece carried on beyond it, its rooms, and the states of creep."""
        kind, batch = np.array(pieces).T, self.linkages.vehicles(points)
        standing = self.linkages.standing(batch)
        free = standing.states[N:]
        creep = BatchCreep(self._with_laws(batch, free, kind, np.ones_like(kind, dtype=bool)))
        grades = np.full(batch.cases, self.linkages.grade)
        found = solve_batch(creep, states, grades, **QUICK)
        outputs = creep.outputs(found.states, grades)[0]
        rooms = [
            self.linkages.room.rooms(points),
            self._within(batch, outputs[4:6], free, kind),
            self._stiffness(creep, batch, standing.states, found.states, outputs[4:6], kind, around),
        ]
        good = standing.success & found.success
        return Evaluated(np.where(good, outputs[1], np.nan), np.concatenate(rooms), found.states)

    def allowed(self, points: np.ndarray) -> np.ndarray:
        """True (cases,) where no link crosses another."""
        return ~self.linkages.room.crossing(points)

    def _lengths(self, creep: BatchCreep, states: np.ndarray) -> np.ndarray:
        return creep.outputs(states, np.full(states.shape[1], self.linkages.grade))[0][4:6]

    def _with_laws(self, batch: VehicleBatch, free: np.ndarray, kind: np.ndarray, where: np.ndarray) -> VehicleBatch:
        """Shocks with the straight law of their piece and without stops `where` (2, cases) says so, the others as they are."""
        changes: dict = {}
        for e, end in enumerate(ENDS):
            spring = np.where(np.isin(kind[e], (LOOSE, LOOSE_DROOP)), 0.0, batch[f"{end}_spring_rate"])
            stop = np.where(np.isin(kind[e], (SPRING, LOOSE)), 0.0, batch[f"{end}_stop_stiffness"])
            at = np.where(kind[e] == BUMP, batch[f"{end}_shortest"], batch[f"{end}_longest"])
            rate = np.maximum(spring + stop, NO_LAW)
            changes[f"{end}_free_length"] = np.where(where[e], (spring * free[e] + stop * at) / rate, free[e])
            straight = {"spring_rate": rate, "spring_held": 1.0, "longest": FAR, "shortest": -FAR}
            for name, value in straight.items():
                changes[f"{end}_{name}"] = np.where(where[e], value, batch[f"{end}_{name}"])
        return batch.with_values(changes)

    def _within(self, batch: VehicleBatch, lengths: np.ndarray, free: np.ndarray, kind: np.ndarray) -> np.ndarray:
        """How far each shock is from the ends of its piece, mm (6, cases)."""
        rooms = []
        for e, end in enumerate(ENDS):
            shortest, longest, length = batch[f"{end}_shortest"], batch[f"{end}_longest"], lengths[e]
            on_droop, loose = np.isin(kind[e], (DROOP, LOOSE_DROOP)), np.isin(kind[e], (LOOSE, LOOSE_DROOP))
            coil = np.where(loose, length - free[e], free[e] - length)
            rooms += [
                np.where((kind[e] == BUMP) | self.held[e], NO_BOUND, coil),
                np.where(kind[e] == BUMP, shortest - length, np.where(on_droop, length - longest, longest - length)),
                np.where(kind[e] == BUMP, NO_BOUND, length - shortest),
            ]
        return 1e3 * np.array(rooms)

    def _stiffness(
        self,
        creep: BatchCreep,
        batch: VehicleBatch,
        standing: np.ndarray,
        states: np.ndarray,
        lengths: np.ndarray,
        kind: np.ndarray,
        around: int,
    ) -> np.ndarray:
        """What is left above `LEAST_STIFFNESS` there, and on each shock's way there or to its stop (7, cases).

        A vehicle whose springs hold no more on the way snaps to another attitude: its slow climb ends there. A coil that
        goes loose does so too, but climbs on from its droop stop. What is left on the way of the first of every `around`
        points stands for those around it, where it is plenty.
        """
        free, grades = standing[N:], np.full(batch.cases, self.linkages.grade)
        as_it_stands = self._with_laws(batch, free, np.full_like(kind, SPRING), np.ones_like(kind, dtype=bool))
        whole = _determinant(BatchCreep(as_it_stands), standing[:N], 0.0 * grades)
        shortest, longest = (np.array([batch[f"{end}_{name}"] for end in ENDS]) for name in ("shortest", "longest"))
        gone = np.clip(lengths, shortest, longest) - self.linkages.shock_lengths
        far = np.isin(kind, (BUMP, SPRING, DROOP)) & (np.abs(gone) > SMALL_WAY)
        there = _determinant(creep, states, grades) / whole
        on_the_way = self._left_on(_Way(batch, standing, gone, whole), states, far, around)
        return ROOM_OF_STIFFNESS * (np.concatenate([[there], *on_the_way]) - LEAST_STIFFNESS)

    def _left_on(self, way: _Way, states: np.ndarray, far: np.ndarray, around: int) -> np.ndarray:
        """Stiffness left at the shares of each shock's way (2, shares, cases): around a first point only where little of it is left."""
        shape = (len(ENDS), len(ON_THE_WAY), way.batch.cases)
        shares, stood = np.broadcast_to(np.array(ON_THE_WAY)[:, None], shape), way.standing[:N, None, None]
        near = np.concatenate([stood + shares * (states[:, None, None] - stood), self.linkages.grade * shares[None]])
        left, far = np.full(shape, NO_BOUND), np.broadcast_to(far[:, None], shape)
        first = np.arange(way.batch.cases) % around == 0
        end, row, case = np.nonzero(far & first)
        left[end, row, case], near[:, end, row, case] = self._solved_on(
            way, shares[end, row, case], near[:, end, row, case], end, case
        )
        if around > 1:
            left, near = np.repeat(left[..., first], around, axis=-1), np.repeat(near[..., first], around, axis=-1)
            end, row, case = np.nonzero(far & ~first & (left < PLENTY_LEFT))
            left[end, row, case], _ = self._solved_on(way, shares[end, row, case], near[:, end, row, case], end, case)
        return left

    def _solved_on(
        self, way: _Way, shares: np.ndarray, near: np.ndarray, ends: np.ndarray, cases: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Stiffness left at shares of the way of some shocks, by end and case, and their states and grades (14, some).

        States are as given where none is found.
        """
        if not cases.size:
            return np.zeros(0), near
        own = np.arange(len(ENDS))[:, None] == ends
        springs = np.full(own.shape, SPRING)
        creep = BatchCreep(self._with_laws(way.batch.take(cases), way.standing[N:, cases], springs, own))
        at = self.linkages.shock_lengths[ends, 0] + shares * way.gone[ends, cases]
        rows = np.array([OUTPUTS.index(f"{end}_shock_length") for end in ENDS])
        found = solve_batch(BatchGradeOf(creep, rows[ends]), near, at, **NEAR)
        left = _determinant(creep, found.states[:N], found.states[N]) / way.whole[cases]
        # A place on the way that is not found bounds nothing: the climb of its own judges at the end.
        unfound = np.where(shares < 1.0, NO_BOUND, np.nan)
        return np.where(found.success, left, unfound), np.where(found.success, found.states, near)


@dataclass(frozen=True)
class _Way:
    """The ways of both shocks from standing to where they are, or to their stops.

    Attributes
    ----------
    batch : VehicleBatch
    standing : ndarray, shape (15, cases)
    gone : ndarray, shape (2, cases)
        How far each goes, m.
    whole : ndarray, shape (cases,)
        The standing stiffness.
    """

    batch: VehicleBatch
    standing: np.ndarray
    gone: np.ndarray
    whole: np.ndarray


def _determinant(creep: BatchCreep, states: np.ndarray, grades: np.ndarray) -> np.ndarray:
    """Determinant of the scaled equations; zero where the vehicle would snap to another attitude."""
    jacobian = creep.evaluate(states, grades)[1][:, :N] / creep.residual_scales[:, None]
    return np.linalg.det(np.moveaxis(jacobian, -1, 0))
