"""Kinks of the laws of a vehicle in space: a wheel that touches, a coil that goes loose, a shock at one of its stops.

For each a measure in m that is 0 there, and its slope by the unknowns: a trace can then solve for the place itself.
"""

from __future__ import annotations

from math import cos, sin, sqrt
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.crawl.kinks import A_SHOCK, shock_gaps
from noseload.model.parameters import ENDS

from .equilibrium import shock_ends
from .parameters import SIDES, WHEELS
from .rows import AXLE_POSES, CHASSIS_POSE, POSE_ROWS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .equilibrium import SpaceEquilibrium
    from .forces import ForceUnknowns
    from .mirrored import Mirrored
    from .steady import SpaceSteady

    Vector = tuple[float, float, float]


class SpaceKinks:
    """All kinks of one equilibrium: three of each shock in the order of the wheels, then the depths of the four tyres.

    Parameters
    ----------
    equilibrium : SpaceEquilibrium, ForceUnknowns, Mirrored or SpaceSteady
        Whose unknowns are given; they all begin with the pose.
    """

    def __init__(self, equilibrium: SpaceEquilibrium | ForceUnknowns | Mirrored | SpaceSteady) -> None:
        self.equilibrium = equilibrium
        self._ends = [[_ends(values, side) for side in range(len(SIDES))] for values in equilibrium.numbers.axles]

    def lengths(self, state: np.ndarray) -> list[float]:
        """Lengths of the four shocks, m."""
        pose = self.equilibrium.whole(state)[POSE_ROWS].tolist()
        chassis, found = _chassis_axes(pose), []
        for k in range(len(ENDS)):
            axle = _axle_axes(pose, k)
            found += [sqrt(sum(d * d for d in _along(pose, k, chassis, axle, ends)[0])) for ends in self._ends[k]]
        return found

    def gaps(self, state: np.ndarray) -> list[tuple[float, float, float]]:
        """Of each shock, as `shock_gaps`, m."""
        axles = [axle for axle in self.equilibrium.numbers.axles for _ in SIDES]
        return [_gaps(axle, length) for axle, length in zip(axles, self.lengths(state), strict=True)]

    def values(self, state: np.ndarray) -> Sequence[float]:
        """All measures, m."""
        return [*(gap for shock in self.gaps(state) for gap in shock), *self.equilibrium.depths(state)]

    def measure(self, state: np.ndarray, kink: int) -> tuple[float, np.ndarray]:
        """One measure, m, and its slope by the unknowns."""
        if kink >= A_SHOCK * len(WHEELS):
            return self.equilibrium.wheel_depth(state, kink - A_SHOCK * len(WHEELS))
        wheel, which = divmod(kink, A_SHOCK)
        length, slope = self._length(state, wheel)
        gap = _gaps(self.equilibrium.numbers.axles[wheel // len(SIDES)], length)[which]
        return gap, -slope if which == A_SHOCK - 1 else slope

    def _length(self, state: np.ndarray, wheel: int) -> tuple[float, np.ndarray]:
        """Length of one shock, m, and its slope by the unknowns."""
        k, side = divmod(wheel, len(SIDES))
        whole = self.equilibrium.whole(state)
        pose, rows = whole[POSE_ROWS].tolist(), AXLE_POSES[k]
        turned = pose[rows][3]
        chassis, axle = _chassis_axes(pose), _axle_axes(pose, k)
        way, first, second = _along(pose, k, chassis, axle, self._ends[k][side])
        length = sqrt(sum(d * d for d in way))
        ahead, aside, up = unit = way[0] / length, way[1] / length, way[2] / length
        heading = (cos(turned), sin(turned), 0.0)
        slope = np.zeros(len(whole))
        slope[CHASSIS_POSE] = -up, -_turning(unit, (0.0, 1.0, 0.0), first), -_turning(unit, chassis[0], first)
        slope[rows] = (
            ahead,
            aside,
            up,
            *(_turning(unit, axis, second) for axis in ((0.0, 0.0, 1.0), heading, axle[1])),
        )
        return length, self.equilibrium.slopes(slope)


def _gaps(axle: dict[str, float], length: float) -> tuple[float, float, float]:
    return shock_gaps(length, *(axle[name] for name in ("spring_held", "free_length", "longest", "shortest")))


def _turning(unit: Vector, axis: Vector, arm: Vector) -> float:
    """How fast a point moves along `unit` where its arm turns about an axis."""
    (a, b, c), (d, e, f), (g, h, i) = unit, axis, arm
    return a * (e * i - f * h) + b * (f * g - d * i) + c * (d * h - e * g)


def _ends(values: dict[str, float], side: int) -> tuple[Vector, Vector]:
    """Arms of a shock from the centres of gravity of chassis and axle, m, as plain numbers."""
    inner, outer = (tuple(end.tolist()) for end in shock_ends(values, side))
    return inner, outer


def _chassis_axes(pose: list[float]) -> tuple[Vector, Vector, Vector]:
    sp, cp, sr, cr = sin(pose[1]), cos(pose[1]), sin(pose[2]), cos(pose[2])
    return (cp, 0.0, -sp), (sp * sr, cr, cp * sr), (sp * cr, -sr, cp * cr)


def _axle_axes(pose: list[float], k: int) -> tuple[Vector, Vector, Vector]:
    heading, roll, pitch = pose[AXLE_POSES[k]][3:]
    sh, ch, sl, cl, st, ct = sin(heading), cos(heading), sin(roll), cos(roll), sin(pitch), cos(pitch)
    return (
        (ch * ct - sh * sl * st, sh * ct + ch * sl * st, -cl * st),
        (-sh * cl, ch * cl, sl),
        (ch * st + sh * sl * ct, sh * st - ch * sl * ct, cl * ct),
    )


def _along(
    pose: list[float], k: int, chassis: Sequence[Vector], axle: Sequence[Vector], ends: tuple[Vector, Vector]
) -> tuple[Vector, Vector, Vector]:
    """From a shock's end on the chassis to that on the axle, and the arms of both in the frame, m."""
    first, second = (_turned(axes, arm) for axes, arm in zip((chassis, axle), ends, strict=True))
    x, y, z = pose[AXLE_POSES[k]][:3]
    return ((x + second[0] - first[0], y + second[1] - first[1], z - pose[0] + second[2] - first[2]), first, second)


def _turned(axes: Sequence[Vector], arm: Vector) -> Vector:
    (a, b, c), (d, e, f), (g, h, i) = axes
    x, y, z = arm
    return a * x + d * y + g * z, b * x + e * y + h * z, c * x + f * y + i * z
