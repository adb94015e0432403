"""What a slow climb follows of the curve of equilibria: over the snap of a loose coil it goes on, at any other fold it ends.

Past its free length a coil holds nothing: between there and the droop stop only weight and links hold that end of the
chassis, and where these lift it further the curve folds back, to the stop and up again. The vehicle then snaps onto its
droop stop and climbs on, so such a fold is a kink with a name and no end of the climb.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import degrees
from typing import TYPE_CHECKING, Any

from noseload.model.crawl.kinks import HELD
from noseload.model.parameters import ENDS
from noseload.model.units import grams_of_force
from noseload.solvers.continuation import Curve, CurvePoint

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.solvers.landing import Kinks


SEEN_SNAP_DEG = 0.3
"""Smallest jump of the pitch that texts tell of."""
AT_STOP = 1e-9
"""Length by which a coil at the kink itself counts as loose, m."""


def found_once(known: dict, thing: Any, find: Callable[[Any], Any]) -> Any:
    """`find(thing)` of a curve or a point, which hold arrays and are no keys: found once and kept in `known`."""
    if id(thing) not in known or known[id(thing)][0] is not thing:
        known[id(thing)] = thing, find(thing)
    return known[id(thing)][1]


@dataclass(frozen=True, eq=False)
class Snap:
    """A snap of one end from its free coil onto its droop stop, at one grade: the poses before and after it."""

    end: str
    before: CurvePoint
    after: CurvePoint


@dataclass(frozen=True, eq=False)
class FollowedPath:
    """The stretches of a curve that a slow climb follows.

    Attributes
    ----------
    pieces : tuple of Curve
        In order; from one to the next the vehicle snaps onto a droop stop.
    snaps : tuple of Snap
        Between the pieces.
    fold : float or None
        Parameter of the fold at which the last piece ends, rad.
    """

    pieces: tuple
    snaps: tuple
    fold: float | None

    def piece_at(self, parameter: float) -> Curve:
        """The first piece that reaches a parameter; the last one where none does."""
        for piece in self.pieces:
            if abs(parameter) <= abs(piece.points[-1].parameter):
                return piece
        return self.pieces[-1]

    def find(self, measure: Callable, kink: tuple[Kinks, int] | None = None) -> CurvePoint | None:
        """First place at which `measure(point)` turns positive: on a piece, or at a snap that passes it; else None.

        `kink` as in `Curve.find`.
        """
        for k, piece in enumerate(self.pieces):
            if k and measure(self.snaps[k - 1].before) * measure(piece.points[0]) < 0.0:
                return piece.points[0]
            found = piece.find(measure, kink=kink)
            if found is not None:
                return found
        return None


def loose_coils(values: VehicleNumbers, lengths: np.ndarray) -> list[float]:
    """By how much the coil of each end is loose at its shock's length, m; `HELD` where it is held."""
    axles = [values.axle(end) for end in ENDS]
    return [HELD if a.spring_held else length - a.free_length for a, length in zip(axles, lengths, strict=True)]


def followed_path(
    curve: Curve, loose: Callable, names: tuple[str, ...] = ENDS, corner: Callable | None = None
) -> FollowedPath:
    """Split a curve at the snaps of loose coils and end it at the first other fold.

    Parameters
    ----------
    curve : Curve
    loose : callable
        `loose(point)`: for each shock by how much its coil is loose, m; negative where it pushes or is held.
    names : sequence of str
        Of the shocks: the ends, or in space the wheels.
    corner : callable, optional
        `corner(a, b)`: the place between two points at which something makes the curve turn back, or None; where it is
        known it need not be searched for.

    Returns
    -------
    FollowedPath
    """
    pieces: list = []
    snaps: list = []
    rest = curve
    while rest.folds():
        k = rest.folds()[0]
        known = None if corner is None else corner(rest.points[k], rest.points[k + 1])
        branch = rest.first_branch if known is None else replace(rest, points=(*rest.points[: k + 1], known))
        turn = branch.points[-1]
        pieces.append(branch)
        landing = _landing(rest, k, turn, loose, names)
        if landing is None:
            return FollowedPath(tuple(pieces), tuple(snaps), turn.parameter)
        segment, after, end = landing
        snaps.append(Snap(end, turn, after))
        rest = replace(curve, points=(after, *rest.points[segment + 1 :]))
    return FollowedPath((*pieces, rest), tuple(snaps), None)


def _landing(
    curve: Curve, k: int, turn: CurvePoint, loose: Callable, names: tuple[str, ...]
) -> tuple[int, CurvePoint, str] | None:
    """(segment, point, end) where the curve comes back to the grade of a loose coil's fold, as stable as before; else None."""
    points = curve.points
    ends = [end for end, gap in zip(names, loose(points[k + 1]), strict=True) if gap > -AT_STOP]
    for j, (a, b) in enumerate(pairwise(points)):
        back = j > k and abs(a.parameter) < abs(turn.parameter) <= abs(b.parameter)
        # The curve may turn once more, at the stop, within the very segment.
        if not ends or not back or b.orientation != points[k].orientation:
            continue
        after = curve.point_at(turn.parameter, j)
        if after is None:
            continue
        still = [end for end, gap in zip(names, loose(after), strict=True) if end in ends and gap > -AT_STOP]
        if still:
            return j, after, still[0]
    return None


@dataclass(frozen=True)
class Kink:
    """A place on a climb where a spring or a stop changes the law.

    Attributes
    ----------
    name : str
        'front coil loose', 'rear bump stop'.
    grade_deg : float
    nose_up_deg, front_load_n : tuple of float
        Before and after: equal, but for a snap.
    """

    name: str
    grade_deg: float
    nose_up_deg: tuple
    front_load_n: tuple

    @classmethod
    def of(cls, name: str, pair: tuple[CurvePoint, CurvePoint], front_loads: Sequence[float]) -> Kink:
        """From the points before and after it, and the front loads there, N."""
        pitches = tuple(-degrees(point.state[1]) for point in pair)
        return cls(name, degrees(pair[0].parameter), pitches, tuple(front_loads))

    @property
    def size_deg(self) -> float:
        """By how much the pitch jumps there; 0 where there is no snap."""
        return abs(self.nose_up_deg[1] - self.nose_up_deg[0])

    @property
    def seen(self) -> bool:
        """Whether the vehicle jumps there by what can be seen."""
        return self.size_deg > SEEN_SNAP_DEG

    def sentence(self) -> str:
        """In words: where, and by how much it jumps there, if that can be seen."""
        text = f"{self.name} at {self.grade_deg:.2f} deg"
        if not self.seen:
            return text
        (before, after), (load, left) = self.nose_up_deg, map(grams_of_force, self.front_load_n)
        return (
            f"{text}: the {self.name.split()[0]} end snaps onto its droop stop, nose up {before:.2f} to {after:.2f} deg, "
            f"front {load:.0f} to {left:.0f} g, and climbs on"
        )

    def to_dict(self) -> dict:
        """Plain numbers."""
        return {
            "name": self.name,
            "grade_deg": self.grade_deg,
            "nose_up_pitch_deg": list(self.nose_up_deg),
            "front_load_n": list(self.front_load_n),
        }
