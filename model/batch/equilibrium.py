"""Quasi-static vehicles side by side as equations to be solved; the last axis is the case.

The unknowns and equations are those of `noseload.model.crawl.equilibrium`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from noseload.model.crawl.equilibrium import (
    ANGLE_STEP,
    EQUATIONS,
    FREE_LENGTHS,
    HELD,
    LARGEST_AXLE_TURN,
    LARGEST_GRADE,
    LARGEST_PITCH,
    LENGTH_STEP,
    OUTPUTS,
    POSE_ROWS,
    POSE_SIZE,
    SHOCKS,
    UNKNOWNS,
    N,
)
from noseload.model.errors import MissingDataError
from noseload.model.generated.parameter_order import STATIC_PARAMETERS
from noseload.model.generated.vehicle_numbers import VehicleNumbers
from noseload.model.parameters import AT_REST, ENDS, POSITION

from .kernels import BatchKernel, kernel_rows, parameter_rows, scratch_rows, written_rows

_PLACES = (("rear", 2), ("front", 5))
"""Ends and the row of their wheel centre's x among the unknowns."""


class _AxleRows:
    """One axle of a batch, its rows by the names of `AxleNumbers`."""

    def __init__(self, batch: VehicleBatch, end: str) -> None:
        self._batch, self._end = batch, end

    def __getattr__(self, name: str) -> np.ndarray:
        return self._batch[f"{self._end}_{name}"]


@dataclass(frozen=True)
class VehicleBatch:
    """Numbers of many vehicles.

    Attributes
    ----------
    parameters : ndarray, shape (parameters, cases)
        In kernel order, SI.
    starts : ndarray, shape (13, cases)
        A pose near level standing on the right assembly branch (`noseload.model.crawl.equilibrium.resting_pose`).
    wheelbases : ndarray, shape (cases,)
        m.
    """

    parameters: np.ndarray
    starts: np.ndarray
    wheelbases: np.ndarray

    @classmethod
    def of(
        cls, values: VehicleNumbers | list, starts: np.ndarray, wheelbases: np.ndarray | Sequence[float]
    ) -> VehicleBatch:
        """From `VehicleNumbers` (one a case, or one of arrays), starts and wheelbases."""
        rows = parameter_rows(values)
        starts = np.asarray(starts, dtype=float)
        cases = max(rows.shape[1], starts.shape[1] if starts.ndim == 2 else 1, np.size(wheelbases))
        starts = starts if starts.ndim == 2 else starts[:, None]
        return cls(
            np.broadcast_to(rows, (rows.shape[0], cases)).copy(),
            np.broadcast_to(starts, (N, cases)).copy(),
            np.broadcast_to(np.asarray(wheelbases, dtype=float), (cases,)).copy(),
        )

    @classmethod
    def joined(cls, batches: list[VehicleBatch]) -> VehicleBatch:
        """Vehicles of several batches side by side, in their order."""
        return cls(
            np.hstack([batch.parameters for batch in batches]),
            np.hstack([batch.starts for batch in batches]),
            np.concatenate([batch.wheelbases for batch in batches]),
        )

    @property
    def cases(self) -> int:
        """Number of vehicles."""
        return self.wheelbases.size

    @property
    def weights(self) -> np.ndarray:
        """Weight of each vehicle, N, shape (cases,)."""
        return (self["chassis_mass"] + self["rear_mass"] + self["front_mass"]) * self["gravity"]

    def __getitem__(self, name: str) -> np.ndarray:
        """One kernel parameter of all cases; MissingDataError for one of motion where the vehicles are at rest."""
        return self.parameters[self.row_of(name)]

    def row_of(self, name: str) -> int:
        """Row of a kernel parameter, which there must be."""
        if name not in POSITION:
            raise KeyError(f"no number of a vehicle is called {name}")
        if POSITION[name] >= len(self.parameters):
            raise MissingDataError(f"no number for {name}: these vehicles are at rest; motion_parameters gives it")
        return POSITION[name]

    def axle(self, end: str) -> _AxleRows:
        """Kernel parameters of one axle of all cases, as attributes."""
        return _AxleRows(self, end)

    def numbers_of(self, case: int) -> VehicleNumbers:
        """Numbers of one case at rest, floats."""
        return VehicleNumbers.from_names({name: float(self[name][case]) for name in STATIC_PARAMETERS})

    def with_values(self, changes: dict) -> VehicleBatch:
        """A copy with kernel parameters replaced: scalars or arrays (cases,) by name."""
        rows = self.parameters.copy()
        for name, value in changes.items():
            rows[self.row_of(name)] = value
        return replace(self, parameters=rows)

    def take(self, cases: np.ndarray) -> VehicleBatch:
        """Some of the vehicles, by index array (repeats allowed)."""
        return VehicleBatch(self.parameters[:, cases], self.starts[:, cases], self.wheelbases[cases])


class BatchCreep:
    """Creep of many vehicles, each at its own grade (the parameter, rad).

    Parameters
    ----------
    vehicles : VehicleBatch
    """

    names = UNKNOWNS
    equation_names = EQUATIONS

    def __init__(self, vehicles: VehicleBatch) -> None:
        self.vehicles = vehicles
        cases, weight, wheelbase = vehicles.cases, vehicles.weights, vehicles.wheelbases
        scratch = scratch_rows(("creep", "creep_outputs", "creep_residual", "creep_values"), cases)
        self._creep = BatchKernel("creep", cases, scratch=scratch)
        self._residual = BatchKernel("creep_residual", cases, scratch=scratch)
        self._outputs = BatchKernel("creep_outputs", cases, scratch=scratch)
        self._values = BatchKernel("creep_values", cases, scratch=scratch)
        self._rows = kernel_rows(vehicles.parameters)
        moment = weight * wheelbase
        self.residual_scales = np.stack([weight, weight, moment] * 3 + [wheelbase] * 4)
        reach, turn = LENGTH_STEP * wheelbase / 0.3, np.full(cases, ANGLE_STEP)
        free = np.full(cases, np.inf)
        self.step_limits = np.stack([reach, turn] + [reach, reach, turn] * 2 + [free] * 5)
        self.pattern = _creep_pattern()[:, :N]
        self._branch = coupler_signs(vehicles, vehicles.starts)

    def evaluate(
        self, states: np.ndarray, parameters: np.ndarray, rows: list[np.ndarray] | None = None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Residual (13, cases) and Jacobian (13, 14, cases), the last column by the grade; `rows` of numbers in place of its own."""
        with np.errstate(all="ignore"):
            flat = self._creep(list(states), parameters, rows or self._rows)
        return flat[:N], flat[N:].reshape(N, N + 1, -1)

    def residual(self, states: np.ndarray, parameters: np.ndarray, rows: list[np.ndarray] | None = None) -> np.ndarray:
        """Residual (13, cases) alone, as `evaluate` has it."""
        with np.errstate(all="ignore"):
            return self._residual(list(states), parameters, rows or self._rows)

    def outputs(
        self, states: np.ndarray, parameters: np.ndarray, rows: list[np.ndarray] | None = None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Loads, tractions (N), shock lengths (m) as in OUTPUTS (6, cases), their Jacobian (6, 14, cases); `rows` as there."""
        with np.errstate(all="ignore"):
            flat = self._outputs(list(states), parameters, rows or self._rows)
        count = len(OUTPUTS)
        return flat[:count], flat[count:].reshape(count, N + 1, -1)

    def values(self, states: np.ndarray, parameters: np.ndarray, rows: list[np.ndarray] | None = None) -> np.ndarray:
        """OUTPUTS (6, cases) alone, as `outputs` has them."""
        with np.errstate(all="ignore"):
            return self._values(list(states), parameters, rows or self._rows)

    def accept(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """True (cases,) where pitch, grade and assembly branch are those of a climbing vehicle."""
        good = (np.abs(states[1]) <= LARGEST_PITCH) & (np.abs(parameters) <= LARGEST_GRADE)
        good &= (np.abs(states[[4, 7]]) <= LARGEST_AXLE_TURN).all(axis=0)
        return good & (coupler_signs(self.vehicles, states) * self._branch > 0.0).all(axis=0)

    def take(self, cases: np.ndarray) -> BatchCreep:
        """Creep of some of the vehicles."""
        return BatchCreep(self.vehicles.take(cases))


@cache
def _creep_pattern() -> np.ndarray:
    """Where the creep Jacobian (13, 14) can be other than zero."""
    ones = [np.full(1, 0.3 + 0.01 * k) for k in range(200)]
    written = written_rows("creep", (ones[:N], ones[0], ones[: len(POSITION)]))
    return written[N:].reshape(N, N + 1)


def coupler_signs(vehicles: VehicleBatch, states: np.ndarray) -> np.ndarray:
    """Area of the triangle lower link x axle coupler, m2, shape (2, cases); its sign tells the branch."""
    sine, cosine = np.sin(states[1]), np.cos(states[1])
    signs = []
    for end, k in _PLACES:
        turn_sine, turn_cosine = np.sin(states[k + 2]), np.cos(states[k + 2])

        def chassis_point(part: str, end: str = end) -> tuple[np.ndarray, np.ndarray]:
            x, z = vehicles[f"{end}_{part}_chassis_x"], vehicles[f"{end}_{part}_chassis_z"]
            return x * cosine + z * sine, states[0] - x * sine + z * cosine

        def axle_point(
            part: str,
            end: str = end,
            k: int = k,
            turn_sine: np.ndarray = turn_sine,
            turn_cosine: np.ndarray = turn_cosine,
        ) -> tuple[np.ndarray, np.ndarray]:
            x, z = vehicles[f"{end}_{part}_axle_x"], vehicles[f"{end}_{part}_axle_z"]
            return states[k] + x * turn_cosine + z * turn_sine, states[k + 1] - x * turn_sine + z * turn_cosine

        a, b, c = chassis_point("lower_link"), axle_point("lower_link"), axle_point("upper_link")
        signs.append((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    return np.stack(signs)


class BatchStanding:
    """Level standing of many vehicles with unknown free shock lengths: two more unknowns, two conditions.

    Parameters
    ----------
    creep : BatchCreep
    shock_lengths : ndarray, shape (2, cases)
        m, rear and front; where not a number, `chassis_pose` holds instead.
    chassis_pose : ndarray, shape (2, cases), optional
        z (m) of the chassis centre of gravity and theta (rad), for ride heights that are reset.
    free_lengths : ndarray, shape (2, cases), optional
        m; where a number, that spring's free length is known and replaces its condition.
    """

    names = (*UNKNOWNS, "rear_free_length", "front_free_length")
    equation_names = (*EQUATIONS, "rear standing condition", "front standing condition")

    def __init__(
        self,
        creep: BatchCreep,
        *,
        shock_lengths: np.ndarray,
        chassis_pose: np.ndarray | None = None,
        free_lengths: np.ndarray | None = None,
    ) -> None:
        cases = creep.vehicles.cases
        unset = np.full((2, cases), np.nan)
        self.creep = creep
        self.shock_lengths = np.asarray(shock_lengths, dtype=float)
        self.chassis_pose = unset if chassis_pose is None else np.asarray(chassis_pose, dtype=float)
        self.free_lengths = unset if free_lengths is None else np.asarray(free_lengths, dtype=float)
        self._own_rows = kernel_rows(creep.vehicles.with_values(AT_REST).parameters)
        self.residual_scales = np.concatenate([creep.residual_scales, [creep.vehicles.wheelbases] * 2])
        self.step_limits = np.concatenate([creep.step_limits, np.full((2, cases), np.inf)])
        self.pattern = np.ones((N + 2, N + 2), dtype=bool)
        self.pattern[:N, :N] = creep.pattern
        self.pattern[9:N, N:] = False
        self._whole = np.zeros((N + 2, N + 3, cases))

    def evaluate(self, states: np.ndarray, parameters: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Residual (15, cases) and Jacobian (15, 16, cases)."""
        creep, whole, rows = self.creep, self._whole, self._rows(states)
        level = np.zeros(states.shape[1])
        residual, jacobian = creep.evaluate(states[:N], level, rows)
        outputs, slopes = creep.outputs(states[:N], level, rows)
        whole[:N, :N] = jacobian[:, :N]
        for k, end in enumerate(ENDS):
            # The shock's push is k (l_free - l), along the gradient of its length; chassis x moves all.
            rate, slope = creep.vehicles[f"{end}_spring_rate"], slopes[4 + k]
            whole[POSE_ROWS, N + k] = rate * slope[:POSE_SIZE]
            whole[0, N + k] = -rate * (slope[2] + slope[5])
            posed, known = np.isnan(self.shock_lengths[k]), ~np.isnan(self.free_lengths[k])
            row = whole[N + k]
            row[:N] = np.where(posed | known, 0.0, slope[:N])
            row[k] += posed & ~known
            row[N + k] = known
        return self._with_conditions(residual, outputs, states), whole

    def residual(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """Residual (15, cases) alone."""
        rows, level = self._rows(states), np.zeros(states.shape[1])
        residual, outputs = (f(states[:N], level, rows) for f in (self.creep.residual, self.creep.values))
        return self._with_conditions(residual, outputs, states)

    def _rows(self, states: np.ndarray) -> list[np.ndarray]:
        """Numbers of the vehicles with the free lengths that are solved for."""
        rows = list(self._own_rows)
        for place, lengths in zip(FREE_LENGTHS, states[N:], strict=True):
            rows[place] = lengths
        for place, known in zip(HELD, ~np.isnan(self.free_lengths), strict=True):
            rows[place] = np.where(known, rows[place], 1.0)
        return rows

    def _with_conditions(self, residual: np.ndarray, outputs: np.ndarray, states: np.ndarray) -> np.ndarray:
        """Residual of creep and of both standing conditions, shape (15, cases)."""
        conditions = []
        for k in range(len(ENDS)):
            posed, known = np.isnan(self.shock_lengths[k]), ~np.isnan(self.free_lengths[k])
            condition = np.where(posed, states[k] - self.chassis_pose[k], outputs[4 + k] - self.shock_lengths[k])
            conditions.append(np.where(known, states[N + k] - self.free_lengths[k], condition))
        return np.concatenate([residual, conditions])

    def accept(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """As creep, and the free lengths must be lengths of coils that push."""
        level, vehicles = np.zeros(states.shape[1]), self.creep.vehicles
        lengths = self.creep.outputs(states[:N], level)[0][SHOCKS:]
        held = np.stack([vehicles[f"{end}_spring_held"] for end in ENDS]) > 0.0
        pushing = held | ~np.isnan(self.free_lengths) | (states[N:] >= lengths)
        return self.creep.accept(states[:N], level) & (states[N:] > 0.0).all(axis=0) & pushing.all(axis=0)

    def take(self, cases: np.ndarray) -> BatchStanding:
        """Standing of some of the vehicles."""
        return BatchStanding(
            self.creep.take(cases),
            shock_lengths=self.shock_lengths[:, cases],
            chassis_pose=self.chassis_pose[:, cases],
            free_lengths=self.free_lengths[:, cases],
        )


class BatchGradeOf:
    """Creep with the grade as an unknown and one of its outputs given (the parameter): a load (N) or a shock length (m).

    The unknowns are those of creep and the grade; the load of the axle that lifts goes to zero at tip-over.

    Parameters
    ----------
    creep : BatchCreep
    rows : int or array_like of int, shape (cases,)
        Which of OUTPUTS is given: 1, the front load, where the front axle lifts (uphill), 0 where the rear one does (downhill).
    """

    names = (*UNKNOWNS, "grade")
    equation_names = (*EQUATIONS, "given load or length")

    def __init__(self, creep: BatchCreep, rows: int | np.ndarray | list[int]) -> None:
        self.creep = creep
        cases = creep.vehicles.cases
        self.rows = np.broadcast_to(np.asarray(rows), (cases,))
        scale = np.where(
            self.rows < OUTPUTS.index("rear_shock_length"), creep.vehicles.weights, creep.vehicles.wheelbases
        )
        self.residual_scales = np.concatenate([creep.residual_scales, [scale]])
        self.step_limits = np.concatenate([creep.step_limits, np.full((1, cases), ANGLE_STEP)])
        self.pattern = np.ones((N + 1, N + 1), dtype=bool)
        self.pattern[:N] = _creep_pattern()
        self._whole = np.zeros((N + 1, N + 2, cases))
        self._whole[N, N + 1] = -1.0

    def evaluate(self, states: np.ndarray, parameters: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Residual (14, cases) and Jacobian (14, 15, cases)."""
        residual, jacobian = self.creep.evaluate(states[:N], states[N])
        outputs, slopes = self.creep.outputs(states[:N], states[N])
        cases = np.arange(states.shape[1])
        self._whole[:N, : N + 1] = jacobian
        self._whole[N, : N + 1] = slopes[self.rows, :, cases].T
        return np.concatenate([residual, [outputs[self.rows, cases] - parameters]]), self._whole

    def residual(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """Residual (14, cases) alone."""
        residual, outputs = (f(states[:N], states[N]) for f in (self.creep.residual, self.creep.values))
        return np.concatenate([residual, [outputs[self.rows, np.arange(states.shape[1])] - parameters]])

    def accept(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """As creep at the grade found."""
        return self.creep.accept(states[:N], states[N])

    def take(self, cases: np.ndarray) -> BatchGradeOf:
        """The same of some of the vehicles."""
        return BatchGradeOf(self.creep.take(cases), self.rows[cases])
