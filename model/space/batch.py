"""Many vehicles in space at once as equations to be solved; the last axis is the case.

Unknowns and equations are those of `noseload.model.space.equilibrium`, all driven wheels slipping alike; only that the
balances of the chassis are replaced by those of the whole vehicle, moments about the chassis' centre of gravity. The forces
of rods, shocks and shaft drop out of them, so that kernel and elimination are shorter.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.batch.kernels import kernel_rows
from noseload.model.generated.array_space import (
    OUTPUT_ROWS,
    SCRATCH_ROWS,
    axle_in_vehicle_batch,
    axle_in_vehicle_residual_batch,
)
from noseload.model.generated.space_order import ROWS, VEHICLE_ENTRY_COLUMNS, VEHICLE_ENTRY_ROWS
from noseload.model.parameters import ENDS
from noseload.model.units import STANDARD_GRAVITY

from .equilibrium import (
    EQUATIONS,
    LARGEST_GRADE,
    LARGEST_PITCH,
    LARGEST_ROLL,
    UNKNOWNS,
    N,
    SpaceEquilibrium,
    ZeroSpeed,
    kernel_places,
)
from .rows import (
    AXLE_POSES,
    AXLE_TENSIONS,
    CHASSIS_BALANCES,
    CHASSIS_POSE,
    FORCE_BALANCES,
    POSE_PITCH,
    POSE_ROLLS,
    SIDE,
    SLIP,
)

if TYPE_CHECKING:
    from collections.abc import Callable

_BY_CASE = (
    "residual_scales",
    "step_limits",
    "_blocks",
    "_held",
    "_driven",
    "_masses",
    "_carried",
    "_branch",
    "_cos",
    "_sin",
)
"""Arrays whose last axis is the case."""
_BALANCES, _JACOBIAN = ROWS["axle_in_vehicle"]["balances"], ROWS["axle_in_vehicle"]["jacobian"]
_PLACES = kernel_places(VEHICLE_ENTRY_ROWS, VEHICLE_ENTRY_COLUMNS)
_MOMENTS = slice(CHASSIS_BALANCES.start + 3, CHASSIS_BALANCES.stop)
_SHARED = frozenset(_PLACES[0][2].tolist()) & frozenset(_PLACES[1][2].tolist())
"""Entries of the Jacobian that both axles add to; all others are one axle's own, so nothing has to be cleared."""
_ADDED = [
    (place, row) for place, row in zip(_PLACES[1][2].tolist(), _PLACES[1][1].tolist(), strict=True) if place in _SHARED
]
"""Flat places of these in the Jacobian, and the front axle's rows of the kernel for them."""


class BatchSpace:
    """Steady crawl of many vehicles, each at its own heading and grade (the parameter, rad).

    Parameters
    ----------
    equilibria : sequence of SpaceEquilibrium
        One a case, with the zero-speed law.

    Raises
    ------
    ValueError
        One of them has another law.
    """

    names = UNKNOWNS
    equation_names = tuple(name.replace("chassis", "vehicle") for name in EQUATIONS)

    def __init__(self, equilibria: list[SpaceEquilibrium]) -> None:
        if not all(isinstance(each.law, ZeroSpeed) for each in equilibria):
            raise ValueError("many vehicles in space at once are solved with all wheels slipping alike")
        self.equilibria = list(equilibria)
        self.residual_scales = np.stack([each.residual_scales for each in self.equilibria], axis=1)
        self.step_limits = np.stack([each.step_limits for each in self.equilibria], axis=1)
        self.pattern = _pattern()
        self._numbers = []
        for k in range(len(ENDS)):
            table = np.array([each.arguments([0.0] * N, k)[5] for each in self.equilibria]).T
            self._numbers.append(kernel_rows(table))
        self._blocks = np.array([each.blocks for each in self.equilibria]).T.copy()
        self._held = np.array([each.held for each in self.equilibria]).T.copy()
        self._driven = np.array([each.numbers.driven for each in self.equilibria]).T.copy()
        self._masses = np.array([each.numbers.masses for each in self.equilibria]).T * STANDARD_GRAVITY
        # The balances of the whole vehicle carry all weights, those of an axle its own.
        self._carried = np.stack([self._masses.sum(axis=0), *self._masses[1:]])
        self._couplers = [
            np.array([each.coupler_ends[k] for each in self.equilibria]).transpose(1, 2, 0) for k in (0, 1)
        ]
        self._branch = np.array([each.branch for each in self.equilibria]).T
        heading = np.array([each.heading for each in self.equilibria])
        self._cos, self._sin = np.cos(heading), np.sin(heading)
        self._make_room()

    def _make_room(self) -> None:
        cases = len(self.equilibria)
        self._out = np.zeros((OUTPUT_ROWS["axle_in_vehicle"], cases))
        self._alike = [bool((driven == 1.0).all()) for driven in self._driven]
        self._scratch = list(np.empty((SCRATCH_ROWS["axle_in_vehicle"], cases)))
        self._jacobian = np.zeros((N, N + 1, cases))
        flat, self._rows = self._jacobian.reshape(N * (N + 1), cases), []
        for k, (_, solved, places, *_) in enumerate(_PLACES):
            # The kernel writes into the Jacobian itself where no other axle has written before.
            rows = list(self._out)
            for place, row in zip(places.tolist(), solved.tolist(), strict=True):
                if not (k and place in _SHARED):
                    rows[_JACOBIAN.start + row] = flat[place]
            self._rows.append(rows)

    def evaluate(self, states: np.ndarray, parameters: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Residual (26, cases) and Jacobian (26, 27, cases), which the next call overwrites."""
        jacobian, (pull, slope) = self._jacobian, self._gravity(parameters)
        residual = self._balances(axle_in_vehicle_batch, states, pull)
        flat = jacobian.reshape(N * (N + 1), len(self.equilibria))
        for k, (_, _, _, follows, *_) in enumerate(_PLACES):
            entries = self._rows[k][_JACOBIAN]
            if not self._alike[k]:
                for row in follows.tolist():
                    entries[row] *= self._driven[k]
            if k:
                for place, row in _ADDED:
                    flat[place] += entries[row]
        for balances, weight in zip(FORCE_BALANCES, self._carried, strict=True):
            jacobian[balances, N] = weight * slope
        turned = np.zeros_like(slope)
        for rows, weight in zip(AXLE_POSES, self._masses[1:], strict=True):
            x, y, z = states[rows.start], states[rows.start + 1], states[rows.start + 2] - states[0]
            turned += weight * np.stack(
                [y * slope[2] - z * slope[1], z * slope[0] - x * slope[2], x * slope[1] - y * slope[0]]
            )
        jacobian[_MOMENTS, N] = turned
        return residual, jacobian

    def residual(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """Residual (26, cases) alone, to the last digit that of `evaluate`."""
        return self._balances(axle_in_vehicle_residual_batch, states, self._gravity(parameters)[0])

    def _balances(self, kernel: Callable, states: np.ndarray, pull: np.ndarray) -> np.ndarray:
        """Residual (26, cases) by a kernel that leaves it in the first rows of its output."""
        residual, rows = np.zeros((N, len(self.equilibria))), list(states)
        for k, (balances, *_) in enumerate(_PLACES):
            arguments = (
                rows[CHASSIS_POSE],
                rows[AXLE_POSES[k]],
                rows[AXLE_TENSIONS[k]],
                [self._driven[k] * rows[SLIP], rows[SIDE[k]], self._held[k]],
                list(self._blocks[2 * k : 2 * k + 2]),
                self._numbers[k],
                list(self._masses[1 + k] * pull),
            )
            with np.errstate(all="ignore"):
                kernel(*arguments, self._rows[k], self._scratch)
            for balance, row in zip(balances, self._out[_BALANCES], strict=True):
                residual[balance] += row
        for balances, weight in zip(FORCE_BALANCES, self._carried, strict=True):
            residual[balances] += weight * pull
        return residual

    def _gravity(self, grades: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Direction of gravity (3, cases) and its slope by the grade."""
        grades = np.broadcast_to(np.asarray(grades, dtype=float), self._cos.shape)
        s, c = np.sin(grades), np.cos(grades)
        pull = np.stack([-s * self._cos, s * self._sin, -c])
        return pull, np.stack([-c * self._cos, c * self._sin, s])

    def accept(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """True (cases,) where pitch, rolls, grade and assembly branch are those of a climbing vehicle."""
        good = (np.abs(states[POSE_PITCH]) <= LARGEST_PITCH) & (np.abs(states[[*POSE_ROLLS]]) <= LARGEST_ROLL).all(
            axis=0
        )
        good &= np.abs(parameters) <= LARGEST_GRADE
        same = self._coupler_signs(states) * self._branch > 0.0
        return good & (same | np.isnan(self._branch)).all(axis=0)

    def _coupler_signs(self, states: np.ndarray) -> np.ndarray:
        """As `SpaceEquilibrium.coupler_signs`, shape (2, cases)."""
        (sp, sr), (cp, cr) = np.sin(states[1:3]), np.cos(states[1:3])
        # Rows of the chassis' x and z axes in the frame: the side view of the chassis.
        ahead, up = (cp, np.zeros_like(cp), -sp), (sp * cr, -sr, cp * cr)
        signs = []
        for k, ends in enumerate(self._couplers):
            x, y, z, *angles = states[AXLE_POSES[k]]
            (sh, sl, st), (ch, cl, ct) = np.sin(angles), np.cos(angles)
            turn = (
                (ch * ct - sh * sl * st, -sh * cl, ch * st + sh * sl * ct),
                (sh * ct + ch * sl * st, ch * cl, sh * st - ch * sl * ct),
                (-cl * st, sl, cl * ct),
            )
            seen = []
            for point in ends[1:]:
                arms = [sum(a * b for a, b in zip(row, point, strict=True)) for row in turn]
                places = [x + arms[0], y + arms[1], z + arms[2] - states[0]]
                seen.append([sum(a * b for a, b in zip(axis, places, strict=True)) for axis in (ahead, up)])
            (bx, bz), (cx, cz) = seen
            ax, _, az = ends[0]
            signs.append((bx - ax) * (cz - az) - (bz - az) * (cx - ax))
        return np.stack(signs)

    def take(self, cases: list[int]) -> BatchSpace:
        """Creep of some of the vehicles."""
        some = object.__new__(BatchSpace)
        some.equilibria, some.pattern = [self.equilibria[case] for case in cases], self.pattern
        for name in _BY_CASE:
            setattr(some, name, getattr(self, name)[..., cases])
        some._couplers = [ends[..., cases] for ends in self._couplers]
        some._numbers = [[row if row.size == 1 else row[cases] for row in rows] for rows in self._numbers]
        some._make_room()
        return some


def _pattern() -> np.ndarray:
    """Where the Jacobian (26, 26) can be other than zero."""
    found = np.zeros(N * (N + 1), dtype=bool)
    for _, _, places, *_ in _PLACES:
        found[places] = True
    return found.reshape(N, N + 1)[:, :N]
