"""The equations in space with forces as unknowns where those of `equilibrium` are forces over a load.

A force over a load grows without bound as the load goes, a force does not: on a climb whose only driven axle unloads the
pull stays, and an axle that carries next to nothing may still need a side force. With these unknowns such a pose is an
ordinary one down to the smallest load.
"""

import numpy as np

from noseload.model.parameters import ENDS

from .equilibrium import EQUATIONS, UNKNOWNS, N, SpaceEquilibrium
from .rows import SIDE, SLIP

Pressure = tuple[float, np.ndarray]
"""Tyre stiffness times depth of an axle over the weight, and its slope by the unknowns (26)."""


class ForceUnknowns:
    """An equilibrium in space whose side forces, and the pull of a single driven axle, are unknowns over the weight.

    The force of a tyre is taken as stiffness times depth here: it only scales an unknown, at any load.

    Parameters
    ----------
    inner : SpaceEquilibrium
        What is solved; its parameter is this one's.
    """

    names = (
        *UNKNOWNS[:SLIP],
        "slip or pull over weight",
        "rear side force over weight",
        "front side force over weight",
    )
    equation_names = EQUATIONS

    def __init__(self, inner: SpaceEquilibrium) -> None:
        self.inner, self.numbers, self.heading, self.law = inner, inner.numbers, inner.heading, inner.law
        self.weight, self.wheelbase, self.blocks = inner.weight, inner.wheelbase, inner.blocks
        self.scales, self.residual_scales, self.step_limits = inner.scales, inner.residual_scales, inner.step_limits
        driven = [k for k in range(len(ENDS)) if inner.numbers.driven[k]]
        single = [(SLIP, driven[0])] if len(driven) == 1 and inner.law.is_limit else []
        self._places = [*single, *((place, k) for k, place in enumerate(SIDE))]

    def pressures(self, state: np.ndarray) -> list[Pressure]:
        """Tyre stiffness times depth of each axle over the weight, and its slope by the unknowns."""
        found = []
        for k in range(len(ENDS)):
            pressure, slope = 0.0, np.zeros(N)
            for wheel in (2 * k, 2 * k + 1):
                depth, by_state = self.inner.wheel_depth(state, wheel)
                if depth > 0.0:
                    pressure, slope = pressure + depth, slope + by_state
            scale = self.numbers.axles[k]["tyre_stiffness"] / self.weight
            found.append((scale * pressure, scale * slope))
        return found

    def plain(self, state: np.ndarray) -> np.ndarray:
        """The unknowns of the inner equilibrium; not a number where an axle without load has a force."""
        return self.divided(state, self.pressures(state))

    def divided(self, state: np.ndarray, pressures: list[Pressure]) -> np.ndarray:
        """As `plain`, by known `pressures` of that state."""
        plain = np.array(state, dtype=float)
        for place, k in self._places:
            plain[place] = state[place] / pressures[k][0] if pressures[k][0] > 0.0 else np.nan
        return plain

    def whole(self, state: np.ndarray) -> np.ndarray:
        """These unknowns, of both sides: itself."""
        return state

    slopes = whole

    def own(self, plain: np.ndarray) -> np.ndarray:
        """These unknowns of a state of the inner equilibrium."""
        state, pressures = np.array(plain, dtype=float), self.pressures(plain)
        for place, k in self._places:
            state[place] = plain[place] * pressures[k][0]
        return state

    def change(self, plain: np.ndarray, jacobian: np.ndarray, pressures: list[Pressure]) -> np.ndarray:
        """The Jacobian (26, 27) of the inner equilibrium at `plain`, changed in place to these unknowns."""
        for place, k in self._places:
            pressure, slope = pressures[k]
            if pressure > 0.0:
                column = jacobian[:, place] / pressure
                jacobian[:, :N] -= np.outer(column * plain[place], slope)
                jacobian[:, place] = column
        return jacobian

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (26) and Jacobian (26, 27), the last column by the parameter."""
        pressures = self.pressures(state)
        plain = self.divided(state, pressures)
        residual, jacobian = self.inner.evaluate(plain, parameter)
        return residual, self.change(plain, jacobian, pressures)

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """As the inner equilibrium."""
        return self.inner.accept(state, parameter)

    def depths(self, state: np.ndarray) -> list[float]:
        """Depth of the four tyres, m."""
        return self.inner.depths(state)

    def wheel_depth(self, state: np.ndarray, wheel: int) -> tuple[float, np.ndarray]:
        """Depth of one tyre, m, and its slope by the unknowns (26)."""
        return self.inner.wheel_depth(state, wheel)
