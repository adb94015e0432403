"""The held-wheel bench in space: level floor, rear wheels clamped, motor torque raised, front wheels free.

The clamp holds the rear pair: the torque T at its wheels turns the housing by ``-T`` about their axis and goes on
through the rear shaft, whose couple rolls the chassis. No wheel pulls.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from noseload.model.vehicle import SIDES

from .equilibrium import N, SpaceEquilibrium
from .forces import ForceUnknowns

if TYPE_CHECKING:
    import numpy as np


LEVEL = 0.0


class HeldWheelsInSpace(ForceUnknowns):
    """Quasi-static vehicle on the bench; the parameter is the torque at the rear wheels over weight times wheelbase.

    A free axle that carries next to nothing may still need a side force: side forces are unknowns themselves.

    Parameters
    ----------
    standing : SpaceEquilibrium
        Of the standing vehicle.
    """

    def __init__(self, standing: SpaceEquilibrium) -> None:
        free = replace(standing.numbers.at_rest(), driven=(1.0, 0.0))
        super().__init__(SpaceEquilibrium(free, blocks=standing.blocks).take_branch_of(standing))
        self.torque_unit = self.weight * self.wheelbase

    def at(self, parameter: float) -> SpaceEquilibrium:
        """The equilibrium with the torque of a parameter."""
        self.inner.held = (float(parameter) * self.torque_unit, 0.0)
        return self.inner

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (26) and Jacobian (26, 27), the last column by the parameter."""
        pressures = self.pressures(state)
        plain = self.divided(state, pressures)
        residual, jacobian, by_held = self.at(parameter).evaluate_held(plain, LEVEL)
        jacobian[:, N] = by_held[:, 0] * self.torque_unit
        return residual, self.change(plain, jacobian, pressures)

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """As creep."""
        return self.inner.accept(state, LEVEL)

    def loads(self, state: np.ndarray, parameter: float) -> list[float]:
        """Loads of the four wheels, N."""
        there, state = self.at(parameter), self.plain(state)
        return [there.seen(state, k)[f"{side}_load"] for k in range(2) for side in SIDES]
