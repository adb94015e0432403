"""Kinks of the laws of the side view: a coil that goes loose, a shock at one of its stops."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.parameters import ENDS

from .equilibrium import POSE_SIZE, SHOCKS, N

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .equilibrium import CreepEquilibrium


A_SHOCK = 3
"""Kinks of one shock: its coil loose, its droop stop, its bump stop."""
HELD = -1.0
"""Measure of a coil that is held and never goes loose."""


def shock_gaps(
    length: float, held: float, free_length: float, longest: float, shortest: float
) -> tuple[float, float, float]:
    """By how much a shock is longer than its free coil (`HELD` where that is held) and its droop stop, shorter than its bump stop, m."""
    return HELD if held else length - free_length, length - longest, shortest - length


class ShockKinks:
    """For each shock, rear and front: its coil loose, its droop stop, its bump stop; measures in m that are 0 there.

    Parameters
    ----------
    creep : CreepEquilibrium
        Of the vehicle; unknowns may be those of other laws too that begin with the pose.
    least : pair of str and float, optional
        End, and the load (N) of that axle at which a trace is to have a point too: its last.
    """

    def __init__(self, creep: CreepEquilibrium, least: tuple[str, float] | None = None) -> None:
        self.creep, self._ends = creep, [] if least is None else [least]

    def values(self, state: np.ndarray) -> list[float]:
        """All measures, m."""
        outputs = self.creep.outputs(state[:N], 0.0)[0].tolist()
        gaps = [gap for k, end in enumerate(ENDS) for gap in self._gaps(end, outputs[SHOCKS + k])]
        return gaps + [self._left(end, load, outputs) for end, load in self._ends]

    def measure(self, state: np.ndarray, kink: int) -> tuple[float, np.ndarray]:
        """One measure, m, and its slope by the unknowns."""
        k, which = divmod(kink, A_SHOCK)
        outputs, slopes = self.creep.outputs(state[:N], 0.0)
        slope = np.zeros(len(state))
        if k == len(ENDS):
            end, load = self._ends[which]
            slope[:POSE_SIZE] = slopes[ENDS.index(end), :POSE_SIZE] / self.creep.values.axle(end).tyre_stiffness
            return self._left(end, load, outputs.tolist()), slope
        slope[:POSE_SIZE] = slopes[SHOCKS + k, :POSE_SIZE]
        return self._gaps(ENDS[k], float(outputs[SHOCKS + k]))[which], -slope if which == A_SHOCK - 1 else slope

    def _left(self, end: str, load: float, outputs: Sequence[float]) -> float:
        """By how much more than at a load a tyre is pressed in, m."""
        return float(outputs[ENDS.index(end)] - load) / self.creep.values.axle(end).tyre_stiffness

    def _gaps(self, end: str, length: float) -> tuple[float, float, float]:
        axle = self.creep.values.axle(end)
        return shock_gaps(length, axle.spring_held, axle.free_length, axle.longest, axle.shortest)
