"""Array kernels with their output and scratch rows kept, so that a batch evaluates into the same memory."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.generated import scalar_creep, scalar_steady
from noseload.model.generated.vehicle_numbers import VehicleNumbers

if TYPE_CHECKING:
    from types import ModuleType


_MODULES = {
    "creep": "creep",
    "creep_outputs": "creep",
    "creep_sensitivity": "sensitivity",
    "steady_sensitivity": "sensitivity",
    "creep_residual": "residual",
    "creep_values": "residual",
    "steady": "steady",
    "steady_residual": "residual",
    "tangent": "tangent",
    "first_rates": "batch",
    "second_rates": "batch",
}
"""Generated module of each kernel; the others are in `array_motion`."""
_SCALAR: dict[str, tuple[Callable, int]] = {
    "creep": (scalar_creep.creep, 12),
    "creep_residual": (scalar_creep.creep, 4),
    "creep_outputs": (scalar_creep.creep_outputs, 8),
    "creep_values": (scalar_creep.creep_outputs, 4),
    "steady": (scalar_steady.steady, 9),
}
"""Scalar kernel whose first values are those of an array kernel, and the cases up to which it is quicker, one by one: it takes
a twentieth of what the array kernel takes at least."""
FEWEST = 2
"""Cases that a kernel is evaluated with at least: arrays of one entry take more than twice as long as those of two."""


class BatchKernel:
    """One array kernel for a fixed number of cases.

    Parameters
    ----------
    name : str
        Kernel name as in the generated modules, without ``_batch``.
    cases : int
    scratch : list of ndarray, optional
        Scratch rows to share with another kernel of as many cases.
    """

    def __init__(self, name: str, cases: int, *, scratch: list[np.ndarray] | None = None) -> None:
        module = _module(name)
        self.function = getattr(module, f"{name}_batch")
        self.alone = cases == 1
        scalar = _SCALAR.get(name)
        self.scalar = scalar[0] if scalar is not None and cases <= scalar[1] else None
        self._rows: list[np.ndarray] = []
        self._numbers: list[list[float]] = []
        whole = np.zeros((module.OUTPUT_ROWS[name], max(cases, FEWEST)))
        self.out = whole[:, :cases]
        # Lists of rows: indexing a list costs a tenth of indexing an array.
        self.out_rows = list(whole)
        self.scratch = scratch if scratch is not None else scratch_rows((name,), cases)

    def __call__(self, *arguments: np.ndarray | list[np.ndarray]) -> np.ndarray:
        """Evaluate; returns `out` (rows, cases), overwritten by the next call."""
        if self.scalar is not None:
            try:
                return self._one_by_one(self.scalar, *arguments)
            except (ArithmeticError, ValueError):
                # What is no number is one to the array kernels.
                pass
        return self.side_by_side(*arguments)

    def side_by_side(self, *arguments: np.ndarray | list[np.ndarray]) -> np.ndarray:
        """Evaluate by the array kernel, however few the cases are; rows that are always zero are left as they are."""
        given = map(_twice, arguments) if self.alone else arguments
        self.function(*given, self.out_rows, self.scratch)
        return self.out

    def _one_by_one(self, scalar: Callable, unknowns: Any, *others: Any) -> np.ndarray:
        """Evaluate by the scalar kernel, case by case."""
        *inputs, rows = others
        size, cases = self.out.shape
        if rows is not self._rows:
            columns = [row.tolist() for row in rows]
            self._numbers = [
                [column[k] if isinstance(column, list) else column for column in columns] for k in range(cases)
            ]
            self._rows = rows
        states = np.array(unknowns).T.tolist()
        given = zip(states, *(np.broadcast_to(row, (cases,)).tolist() for row in inputs), self._numbers, strict=True)
        for k, case in enumerate(given):
            self.out[:, k] = scalar(*case)[:size]
        return self.out


def evaluated_once(module: ModuleType, name: str, cases: int, *arguments: Any) -> np.ndarray:
    """Outputs (rows, cases) of an array kernel of a generated module whose memory is not kept.

    `arguments` : rows (rows, cases), one row or number, or sequences of them.
    """
    out = np.zeros((module.OUTPUT_ROWS[name], cases))
    scratch = list(np.empty((module.SCRATCH_ROWS[name], cases)))
    getattr(module, f"{name}_batch")(*map(_as_rows, arguments), list(out), scratch)
    return out


def _as_rows(given: Any) -> Any:
    """A list of rows, each an array: to index an array, or to take a number, costs more than what is done with it."""
    if isinstance(given, np.ndarray):
        return list(given) if given.ndim > 1 else given
    return [np.asarray(row) for row in given] if isinstance(given, (tuple, list)) else given


class PairedRows:
    """Rows of numbers, alone and each beside what the other axle has in its place.

    Parameters
    ----------
    family : str
        Generated array module.
    name : str
        Which numbers, as the module calls them.
    cases : int
    """

    def __init__(self, family: str, name: str, cases: int) -> None:
        self._mirrored = np.array(import_module(f"noseload.model.generated.array_{family}").MIRRORED_ROWS[name])
        width = max(cases, FEWEST)
        whole = np.empty((self._mirrored.size, 2 * width))
        self._first, self._second = whole[:, :width], whole[:, width:]
        self.whole, self.alone, self.both = whole, list(self._first), list(whole)

    def fill(self, rows: np.ndarray) -> PairedRows:
        """Take the numbers of all cases, shape (numbers, cases)."""
        self._first[...] = rows
        self._second[...] = rows.take(self._mirrored, 0)
        return self


class PairedKernel:
    """One array kernel that takes what both axles have alike side by side, for a fixed number of cases.

    Parameters
    ----------
    name : str
    cases : int
    rooms : tuple, optional
        As `paired_rooms`, to share with another kernel of as many cases.
    """

    def __init__(self, name: str, cases: int, *, rooms: tuple | None = None) -> None:
        module = _module(name)
        self.function = getattr(module, f"{name}_batch")
        whole = np.zeros((module.OUTPUT_ROWS[name], max(cases, FEWEST)))
        self.out, self.alone = whole[:, :cases], cases == 1
        neighbours = [whole[row : row + 2].reshape(-1) for row in range(len(whole) - 1)]
        self._rooms = (list(whole), neighbours, *(rooms or paired_rooms((name,), cases)))

    def __call__(
        self, state: tuple[PairedRows, ...], inputs: list[np.ndarray], numbers: tuple[list, list]
    ) -> np.ndarray:
        """Evaluate; returns `out` (rows, cases), overwritten by the next call.

        `state` : rows of the kernel's first arguments; `numbers` : as `paired_numbers` gives them.
        """
        given = map(_twice, inputs) if self.alone else inputs
        alone, both = numbers
        self.function(*(each.alone for each in state), *given, alone, *(each.both for each in state), both, self._rooms)
        return self.out


def paired_rooms(names: tuple[str, ...], cases: int) -> tuple[list, list, list, list]:
    """Rows to work in, enough for each of several paired kernels: scratch rows, wide rows, and the wide ones' halves, one by one and by two."""
    width = max(cases, FEWEST)
    scratch, wide = (
        max(getattr(_module(name), rows)[name] for name in names) for rows in ("SCRATCH_ROWS", "WIDE_ROWS")
    )
    room = np.empty((wide, 2 * width))
    return (
        list(np.empty((scratch, width))),
        list(room),
        list(room.reshape(2 * wide, width)),
        list(room.reshape(wide, 2, width)),
    )


def paired_numbers(family: str, parameters: np.ndarray) -> tuple[list[np.ndarray], list[np.ndarray]]:
    """Rows of parameters (parameters, cases) for paired kernels, as `kernel_rows`: alone, and beside those of the other axle."""
    both = PairedRows(family, "parameters", parameters.shape[1]).fill(parameters)
    return kernel_rows(parameters), kernel_rows(both.whole)


def _twice(rows: Any) -> Any:
    """Rows of one case with the case beside itself; what has no axis holds for both."""
    if isinstance(rows, list):
        return [_twice(row) for row in rows]
    return np.concatenate((rows, rows)) if isinstance(rows, np.ndarray) and rows.ndim else rows


def _module(name: str) -> ModuleType:
    return import_module(f"noseload.model.generated.array_{_MODULES.get(name, 'motion')}")


def scratch_rows(names: tuple[str, ...], cases: int) -> list[np.ndarray]:
    """Scratch rows enough for each of several kernels."""
    return list(np.empty((max(_module(name).SCRATCH_ROWS[name] for name in names), max(cases, FEWEST))))


def kernel_rows(parameters: np.ndarray) -> list[np.ndarray]:
    """Rows of parameters (parameters, cases) for kernels; a row of equal numbers is handed over as one number.

    Batches that share a vehicle read far less memory that way. An array of no axis: one of one entry takes twice as long.
    """
    equal = (parameters == parameters[:, :1]).all(axis=1)
    return [np.array(row[0]) if same else row for row, same in zip(parameters, equal, strict=True)]


def written_rows(name: str, arguments: tuple) -> np.ndarray:
    """Which output rows a kernel writes at all (the others are always zero), shape (rows,).

    `arguments` : arrays of one case each, lists of rows of shape (1,).
    """
    kernel = BatchKernel(name, 1)
    kernel.out.fill(np.nan)
    with np.errstate(all="ignore"):
        return ~np.isnan(kernel.side_by_side(*arguments)[:, 0])


def parameter_rows(values: VehicleNumbers | list[VehicleNumbers]) -> np.ndarray:
    """Numbers of many vehicles in kernel order.

    Parameters
    ----------
    values : sequence of VehicleNumbers, or one VehicleNumbers of scalars and arrays of equal length
        With inertia or without: the mobility rows are then left out.

    Returns
    -------
    ndarray, shape (parameters, cases)
    """
    if isinstance(values, VehicleNumbers):
        numbers = _whole_order(values)
        rows = np.empty((len(numbers), max(np.size(value) for value in numbers)))
        for row, value in zip(rows, numbers, strict=True):
            row[:] = value
        return rows
    return np.array([_whole_order(case) for case in values]).T.copy()


def _whole_order(values: VehicleNumbers) -> tuple[float | np.ndarray, ...]:
    return values.in_order() if values.inertia is None else values.in_motion_order()
