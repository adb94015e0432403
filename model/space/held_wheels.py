"""The held-wheel bench in space: level floor, rear wheels clamped, motor torque raised, front wheels free.

The clamp holds the rear pair: the torque T at its wheels turns the housing by ``-T`` about their axis and goes on
through the rear shaft, whose couple rolls the chassis. No wheel pulls.
"""

from dataclasses import replace

import numpy as np

from noseload.model.parameters import ENDS

from .equilibrium import EQUATIONS, SIDE, UNKNOWNS, N, SpaceEquilibrium

LEVEL = 0.0


class HeldWheelsInSpace:
    """Quasi-static vehicle on the bench; the parameter is the torque at the rear wheels over weight times wheelbase.

    Parameters
    ----------
    standing : SpaceEquilibrium
        Of the standing vehicle.
    """

    names = (*UNKNOWNS[:-2], "rear side force over weight", "front side force over weight")
    equation_names = EQUATIONS

    def __init__(self, standing: SpaceEquilibrium):
        free = replace(standing.numbers, driven=(1.0, 0.0))
        self.inner = SpaceEquilibrium(free, blocks=standing.blocks).take_branch_of(standing)
        self.numbers, self.weight, self.wheelbase = free, standing.weight, standing.wheelbase
        self.torque_unit = self.weight * self.wheelbase
        self.scales, self.residual_scales = self.inner.scales, self.inner.residual_scales
        self.step_limits = self.inner.step_limits

    def at(self, parameter: float) -> SpaceEquilibrium:
        """The equilibrium with the torque of a parameter."""
        self.inner.held = (float(parameter) * self.torque_unit, 0.0)
        return self.inner

    def _with_sides(self, state):
        """The state with side force over load where this bench has side force over weight; pressures and their slopes."""
        inner, pressures, slopes = np.array(state, dtype=float), [], []
        for k in range(len(ENDS)):
            pressure, slope = 0.0, np.zeros(N)
            for wheel in (2 * k, 2 * k + 1):
                depth, by_state = self.inner.wheel_depth(state, wheel)
                if depth > 0.0:
                    pressure, slope = pressure + depth, slope + by_state
            scale = self.numbers.axles[k]["tyre_stiffness"] / self.weight
            pressures.append(scale * pressure)
            slopes.append(scale * slope)
            inner[SIDE[k]] = state[SIDE[k]] / pressures[k] if pressures[k] > 0.0 else np.nan
        return inner, pressures, slopes

    def evaluate(self, state, parameter):
        """Residual (26) and Jacobian (26, 27), the last column by the parameter.

        A free axle that carries next to nothing may still need a side force: side forces are unknowns here themselves,
        as shares of the weight, and not over the load of their wheels.
        """
        inner, pressures, slopes = self._with_sides(state)
        residual, jacobian, by_held = self.at(parameter).evaluate_held(inner, LEVEL)
        jacobian[:, N] = by_held[:, 0] * self.torque_unit
        for place, pressure, slope in zip(SIDE, pressures, slopes, strict=True):
            if pressure > 0.0:
                column = jacobian[:, place] / pressure
                jacobian[:, :N] -= np.outer(column * inner[place], slope)
                jacobian[:, place] = column
        return residual, jacobian

    def accept(self, state, parameter):
        """As creep."""
        return self.inner.accept(state, LEVEL)

    def depths(self, state):
        """Depth of the four tyres, m."""
        return self.inner.depths(state)

    def wheel_depth(self, state, wheel):
        """Depth of one tyre, m, and its slope by the unknowns (26)."""
        return self.inner.wheel_depth(state, wheel)

    def loads(self, state, parameter):
        """Loads of the four wheels, N."""
        there, state = self.at(parameter), self._with_sides(state)[0]
        return [there.seen(state, k)[f"{side}_load"] for k in range(2) for side in ("left", "right")]
