"""Where a wheel leaves the ground, as equations: the curve's parameter is an unknown, the depth of one tyre is given."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from .equilibrium import EQUATIONS, UNKNOWNS, N

if TYPE_CHECKING:
    from noseload.model.space.equilibrium import SpaceEquilibrium
    from noseload.model.space.forces import ForceUnknowns


class WheelLift:
    """An equilibrium in space with its parameter as an unknown and the depth of one tyre as the parameter, m.

    At depth 0 the wheel carries nothing. Where it is the last of its axle the equations are singular at 0 itself,
    because no load is left that could hold the axle sideways: ask for small depths and extrapolate.

    Parameters
    ----------
    equilibrium : object
        With `evaluate`, `accept` and `wheel_depth(state, wheel)`.
    wheel : int
        0 to 3: rear left, rear right, front left, front right.
    """

    names = (*UNKNOWNS, "curve parameter")
    equation_names = (*EQUATIONS, "depth of the tyre")

    def __init__(self, equilibrium: SpaceEquilibrium | ForceUnknowns, wheel: int):
        self.equilibrium, self.wheel = equilibrium, wheel
        self.scales = np.append(equilibrium.scales, 1.0)
        self.residual_scales = np.append(equilibrium.residual_scales, equilibrium.wheelbase)
        self.step_limits = np.append(equilibrium.step_limits, 0.15)

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (27) and Jacobian (27, 28)."""
        whole = np.zeros((N + 1, N + 2))
        residual, whole[:N, : N + 1] = self.equilibrium.evaluate(state[:N], float(state[N]))
        depth, slope = self.equilibrium.wheel_depth(state[:N], self.wheel)
        whole[N, :N], whole[N, N + 1] = slope, -1.0
        return np.append(residual, depth - parameter), whole

    def accept(self, state: np.ndarray, parameter: float):
        """As the equilibrium at the parameter found."""
        return self.equilibrium.accept(state[:N], float(state[N]))
