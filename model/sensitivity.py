"""Exact derivatives of kernel parameters by the numbers of a vehicle, and of the equations by kernel parameters.

Complex numbers carry the first (see `noseload.model.variation`), the generated kernels give the second.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.crawl.equilibrium import DRIVE, OUTPUTS, N
from noseload.model.generated.scalar_sensitivity import creep_sensitivity, steady_sensitivity

from .crawl.equilibrium import FREE_LENGTHS
from .packed import packed
from .parameters import kernel_parameters
from .variation import COMPLEX_STEP, shift_file, shift_vehicle

if TYPE_CHECKING:
    from noseload.model.crawl.equilibrium import CreepEquilibrium
    from noseload.model.crawl.steady import SteadyMotion
    from noseload.model.variation import Quantity
    from noseload.model.vehicle import Vehicle


def vary_file(vehicle: Vehicle, quantities: list[Quantity]) -> Vehicle:
    """The vehicle with every quantity of its file varied at once, one case each, for derivatives.

    Parameters
    ----------
    vehicle : Vehicle
    quantities : sequence of Quantity

    Returns
    -------
    Vehicle
        Of complex arrays: the file says so, measured anew, in the base too.
    """
    return shift_file(vehicle, _unit_shifts(quantities))


def vary_parts(vehicle: Vehicle, quantities: list[Quantity]) -> Vehicle:
    """As `vary_file`, but as a setup of this vehicle: its rods and springs are kept and decide."""
    return as_setup(vehicle, shift_vehicle(vehicle, _unit_shifts(quantities)))


def as_setup(vehicle: Vehicle, changed: Vehicle, *, setup: str | None = None) -> Vehicle:
    """`changed` as a setup of `vehicle`, on its links and springs; called `setup` if given."""
    return replace(
        changed,
        base=vehicle,
        setup=changed.setup if setup is None else setup,
        ride_height="springs_decide",
        link_lengths="kept",
        ride_height_shift=(0.0, 0.0),
    )


def _unit_shifts(quantities: list[Quantity]) -> dict[tuple[str, str], np.ndarray]:
    steps = 1j * COMPLEX_STEP * np.eye(len(quantities))
    return {q.id: step for q, step in zip(quantities, steps, strict=True)}


def slope_of(value: float | np.ndarray, count: int) -> np.ndarray:
    """Derivatives held by a number of a varied vehicle, shape (count,); zero where it is plain."""
    return np.broadcast_to(np.imag(value) / COMPLEX_STEP, (count,))


def kernel_slopes(vehicle: Vehicle, count: int) -> np.ndarray:
    """Derivatives of every kernel parameter by the variations of a varied vehicle, shape (P, count).

    Free shock lengths that the standing pose decides are not among them: their rows are zero.
    """
    numbers = kernel_parameters(vehicle).in_order()
    slopes = np.zeros((len(numbers), count))
    for row, value in enumerate(numbers):
        if not isinstance(value, float):
            slopes[row] = slope_of(value, count)
    slopes[list(FREE_LENGTHS)] = 0.0
    return slopes


def creep_slopes(equilibrium: CreepEquilibrium, state: np.ndarray, grade: float) -> tuple[np.ndarray, np.ndarray]:
    """Derivatives by kernel parameters at fixed unknowns: residual (13, P) and creep's outputs (6, P)."""
    flat = packed(creep_sensitivity(state.tolist(), grade, equilibrium.parameters)).reshape(N + len(OUTPUTS), -1)
    return flat[:N], flat[N:]


def steady_slopes(equilibrium: SteadyMotion, state: np.ndarray, grade: float) -> tuple[np.ndarray, np.ndarray]:
    """As `creep_slopes` for `noseload.model.crawl.steady.SteadyMotion`; its tractions (rows 2 and 3) are not given."""
    unknowns = (*state.tolist(), equilibrium.travel_speed)
    flat = packed(steady_sensitivity(unknowns, equilibrium.grip_factor, grade, equilibrium.parameters))
    outputs = creep_slopes(equilibrium.creep, np.append(state[:DRIVE], 0.0), grade)[1].copy()
    outputs[2:4] = np.nan
    return flat.reshape(N, -1), outputs
