"""Where a wheel leaves the ground, as equations: the curve's parameter is an unknown, the depth of one tyre is given."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

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

    def __init__(self, equilibrium: SpaceEquilibrium | ForceUnknowns, wheel: int) -> None:
        self.equilibrium, self.wheel = equilibrium, wheel
        self.names = (*equilibrium.names, "curve parameter")
        self.equation_names = (*equilibrium.equation_names, "depth of the tyre")
        self.scales = np.append(equilibrium.scales, 1.0)
        self.residual_scales = np.append(equilibrium.residual_scales, equilibrium.wheelbase)
        self.step_limits = np.append(equilibrium.step_limits, 0.15)

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (n + 1) and Jacobian (n + 1, n + 2) of an equilibrium of n unknowns."""
        n = len(state) - 1
        whole = np.zeros((n + 1, n + 2))
        residual, whole[:n, : n + 1] = self.equilibrium.evaluate(state[:n], float(state[n]))
        depth, slope = self.equilibrium.wheel_depth(state[:n], self.wheel)
        whole[n, :n], whole[n, n + 1] = slope, -1.0
        return np.append(residual, depth - parameter), whole

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """As the equilibrium at the parameter found."""
        return self.equilibrium.accept(state[:-1], float(state[-1]))
