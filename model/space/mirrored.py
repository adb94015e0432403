"""A vehicle whose left is its right, straight up or down a slope and without couples of shafts: left and right alike.

Where both coils of an axle come loose at once, bounce and roll lose their springs in the same place. Two signs of the
whole determinant change there, so it no longer tells whether the curve turns back; that of the poses alike left and
right does. Whether such a pose also stays upright is asked of the whole equations.
"""

from math import sin

import numpy as np

from noseload.model.parameters import ENDS

from .equilibrium import EQUATIONS, POSE, UNKNOWNS, N, SpaceEquilibrium, arm
from .forces import ForceUnknowns
from .parameters import SIDES

ALIKE = 1e-12
"""Length, m, or sine of a heading: what rounding leaves."""
PAIRED = (1, 3)
"""Rods with a twin: the next one is the same rod on the other side."""


def _kept() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Unknowns of left and right alike and their twins (itself where it has none), and the equations that stay."""
    turned = ("roll", "_y", "heading", "side")
    rods = tuple(f"tension_{k + 1}" for k in PAIRED)
    unknowns = [k for k, name in enumerate(UNKNOWNS) if not name.endswith((*turned, *rods))]
    twins = [k + 1 if k >= len(POSE) and "tension" in UNKNOWNS[k] else k for k in unknowns]
    balances = ("sideways", "roll moment", "heading moment", *(f"rod {k + 1} length" for k in PAIRED))
    equations = [k for k, name in enumerate(EQUATIONS) if not any(word in name for word in balances)]
    return np.array(unknowns), np.array(twins), np.array(equations)


KEPT, TWINS, ROWS = _kept()
_HAS_TWIN = np.flatnonzero(KEPT != TWINS)


def is_mirrored(equilibrium: SpaceEquilibrium) -> bool:
    """Whether left and right are alike in a climb: vehicle, shafts, blocks and heading."""
    if abs(sin(equilibrium.heading)) > ALIKE:
        return False
    for k in range(len(ENDS)):
        values, blocks = equilibrium.numbers.axles[k], equilibrium.blocks[2 * k : 2 * k + 2]
        off = [values[name] for name in ("wheel_y", "shock_chassis_shift", "shock_axle_shift")]
        if values["shaft_share"] != 0.0 or blocks[0] != blocks[1] or max(map(abs, off)) > ALIKE:
            return False
        if not all(name.endswith(SIDES) for name in equilibrium.numbers.rods[k]):
            return False
        for rod in PAIRED:
            if abs(values[f"rod_{rod}_length"] - values[f"rod_{rod + 1}_length"]) > ALIKE:
                return False
            for end in ("chassis", "axle"):
                one, two = (arm(values, f"rod_{j}", end) for j in (rod, rod + 1))
                if np.abs(one - two * (1.0, -1.0, 1.0)).max() > ALIKE:
                    return False
    return True


class Mirrored:
    """An equilibrium in space in its poses alike left and right.

    Unknowns are those of the inner one without roll, headings, places and forces to the side, and one tension for each
    pair of rods; equations are those of them in the vehicle's middle plane.

    Parameters
    ----------
    inner : SpaceEquilibrium or ForceUnknowns
        With `is_mirrored`.
    """

    names = tuple(UNKNOWNS[k] for k in KEPT)
    equation_names = tuple(EQUATIONS[k] for k in ROWS)

    def __init__(self, inner: SpaceEquilibrium | ForceUnknowns) -> None:
        self.inner, self.numbers = inner, inner.numbers
        self.weight, self.wheelbase = inner.weight, inner.wheelbase
        self.scales, self.step_limits = inner.scales[KEPT], inner.step_limits[KEPT]
        self.residual_scales = inner.residual_scales[ROWS]

    def whole(self, state: np.ndarray) -> np.ndarray:
        """Unknowns of the inner equilibrium."""
        whole = np.zeros(N)
        whole[KEPT] = whole[TWINS] = state
        return whole

    def plain(self, state: np.ndarray) -> np.ndarray:
        """Unknowns of `SpaceEquilibrium`."""
        return self.inner.plain(self.whole(state))

    def own(self, plain: np.ndarray) -> np.ndarray:
        """These unknowns of a state of `SpaceEquilibrium`."""
        return self.inner.own(plain)[KEPT]

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (13) and Jacobian (13, 14), the last column by the grade."""
        residual, jacobian = self.inner.evaluate(self.whole(state), parameter)
        return residual[ROWS], np.column_stack([self.slopes(jacobian[ROWS]), jacobian[ROWS, N]])

    def slopes(self, by_whole: np.ndarray) -> np.ndarray:
        """Slopes by these unknowns of slopes by those of the inner equilibrium (..., 26)."""
        own = by_whole[..., KEPT]
        own[..., _HAS_TWIN] += by_whole[..., TWINS[_HAS_TWIN]]
        return own

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """As the inner equilibrium."""
        return self.inner.accept(self.whole(state), parameter)

    def depths(self, state: np.ndarray) -> list[float]:
        """Depth of the four tyres, m."""
        return self.inner.depths(self.whole(state))

    def wheel_depth(self, state: np.ndarray, wheel: int) -> tuple[float, np.ndarray]:
        """Depth of one tyre, m, and its slope by the unknowns."""
        depth, slope = self.inner.wheel_depth(self.whole(state), wheel)
        return depth, self.slopes(slope)
