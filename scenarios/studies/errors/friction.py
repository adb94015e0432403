"""Dry friction as a set: every attitude that shocks and splines can hold, told for two ways to stand.

Within its limit friction takes any value, so a grade has not one equilibrium but a set. Its ends lie at corners, where
every rubbing place is at its limit; told twice: setups driven up the same way share their corner, setups that stand
as they happen to have each its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import AXLE_POSES
from noseload.model.crawl.geometry import wheel_heights
from noseload.model.crawl.rolling import wheel_moment
from noseload.model.neglected.shafts import shaft_of, shafts_of, sliding_share
from noseload.model.neglected.shifts import LeftOut, Neglected
from noseload.model.parameters import ENDS, axle_of, side_view, true_length_of, wheel_height
from noseload.model.uncertainty import limits_of
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.neglected import creep_near, creep_with, tip_near, tip_over_with
from noseload.studies.climb.split import rolling_shares
from noseload.studies.climb.spread import stand_spread

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


SPLINES = (0.022, 0.013, 0.038)
"""mu_s / r_s of greased splines in 1/mm and its range: friction 0.08 to 0.15 at a radius of 4 to 6 mm (memory, no source)."""
SHARES = np.array(list(product((-1.0, -0.5, 0.0, 0.5, 1.0), repeat=2)))
"""Friction of rear and front axle as shares of what they can hold, shape (25, 2): the four corners are where loads and
tip-over end; what two setups in one state differ by may be largest between them."""
NOTHING = len(SHARES) // 2
NUMBERS = ("front_load_n", "tip_over_grade_deg")
PLACES = ("rear_shock_friction", "front_shock_friction", "rear_shaft_friction", "front_shaft_friction")


@dataclass(frozen=True)
class FrictionLimits:
    """How much each rubbing place can hold, SI: shocks in N along the shock, shafts in mu_s / r_s, 1/m."""

    shocks: tuple[float, float]
    shafts: tuple[float, float]

    @property
    def sizes(self) -> Any:
        """In the order of PLACES."""
        return np.array([*self.shocks, *self.shafts])


def friction_limits(vehicle: Vehicle, *, shocks: bool = True, shafts: bool = True) -> Any:
    """Limits of a vehicle: what its file says, else the gap of ride heights and the stated splines.

    Parameters
    ----------
    vehicle : Vehicle
    shocks, shafts : bool
        Whether they rub at all.
    """
    rubbing = [shock_friction(vehicle, end) if shocks else 0.0 for end in ENDS]
    sliding = [shaft_friction(vehicle, end) if shafts else 0.0 for end in ENDS]
    return FrictionLimits((rubbing[0], rubbing[1]), (sliding[0], sliding[1]))


def shock_friction(vehicle: Vehicle, end: str) -> Any:
    """Dry friction of both shocks of an axle, N: given, or what holds half of the gap of ride heights."""
    shock = axle_of(vehicle, end).shock
    if shock.friction is not None:
        return shock.friction
    half = 0.5e-3 * limits_of(vehicle)[f"{end}_ride_height_gap_mm"]
    return shock.spring_rate * abs(motion_ratio_of(vehicle, end)) * half


def motion_ratio_of(vehicle: Vehicle, end: str) -> float | np.ndarray:
    """How much shorter a shock gets for a body that sinks by one over its axle, as its links guide it.

    The wheel centre goes up by one, forward by v and turns by w (nose down): no link changes its length,
    ``d . (v + w r_z, 1 - w r_x) = 0`` for both, r from the wheel centre to the axle end.
    """
    axle = axle_of(vehicle, end)
    centre = (0.0 if end == "rear" else vehicle.wheelbase, wheel_height(axle))
    rows = []
    for link in (axle.lower_link, axle.upper_link):
        (x0, z0), (x1, z1) = side_view(link.chassis_end), side_view(link.axle_end)
        dx, dz = x1 - x0, z1 - z0
        rows.append((dx, dx * (z1 - centre[1]) - dz * (x1 - centre[0]), -dz))
    (a, b, p), (c, d, q) = rows
    along, turn = (p * d - b * q) / (a * d - b * c), (a * q - p * c) / (a * d - b * c)
    (x0, z0), (x1, z1) = side_view(axle.shock.chassis_end), side_view(axle.shock.axle_end)
    moved = (along + turn * (z1 - centre[1]), 1.0 - turn * (x1 - centre[0]))
    return -((x1 - x0) * moved[0] + (z1 - z0) * moved[1]) / true_length_of(axle.shock)


def shaft_friction(vehicle: Vehicle, end: str) -> float:
    """mu_s / r_s of an axle's shaft, 1/m; 0 without a shaft along the vehicle."""
    given = axle_of(vehicle, end).shaft_friction
    if shaft_of(vehicle, end).ratio is None:
        return 0.0
    return 1e3 * SPLINES[0] if given is None else given


def spline_levers(climb: Climb, grade_deg: float) -> tuple[float, float]:
    """What friction over radius of each shaft's splines is worth as a force of the shock in a crawl, rear and front, N m.

    Zero without a shaft along the vehicle, and without a crawl at that grade.
    """
    row, values, levers = climb.row(grade_deg), climb.standing.values, [0.0, 0.0]
    if row.state is None or row.front_load_n is None:
        return 0.0, 0.0
    heights = wheel_heights(values, row.state[AXLE_POSES])
    for k, end in enumerate(ENDS):
        shaft = shaft_of(climb.vehicle, end)
        if shaft.ratio is not None:
            load, traction = getattr(row, f"{end}_load_n"), getattr(row, f"{end}_traction_n")
            torque = wheel_moment(values.axle(end), load, traction, heights[k])
            levers[k] = float(torque / shaft.ratio * sliding_share(values.by_name(), shaft, end, row.state))
    return levers[0], levers[1]


@dataclass(frozen=True)
class Span:
    """A number without friction and the ends of its set; None where it is not reached or a corner has none."""

    value: float | None
    low: float | None
    high: float | None

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class FrictionSet:
    """What friction leaves open for one setup, and in what it changes against the first.

    Attributes
    ----------
    setup : str
    front_load_n, tip_over_grade_deg : Span
        Over all states that friction can hold.
    driven_up_n, driven_up_deg : float or None
        Where it ends when driven up from the level without a stop: every rubbing place slides until it arrives.
    alike, own : dict of str to Span
        Difference to the first: both in the same state, whichever; each in any state of its own. Empty for the first.
    """

    setup: str
    front_load_n: Span
    tip_over_grade_deg: Span
    driven_up_n: float | None
    driven_up_deg: float | None
    alike: dict = field(default_factory=dict)
    own: dict = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        document: dict[str, Any] = {
            "setup": self.setup,
            "front_load_n": self.front_load_n.to_dict(),
            "tip_over_grade_deg": self.tip_over_grade_deg.to_dict(),
            "driven_up_n": self.driven_up_n,
            "driven_up_deg": self.driven_up_deg,
        }
        for name in ("alike", "own"):
            if getattr(self, name):
                document[name] = {key: span.to_dict() for key, span in getattr(self, name).items()}
        return document


def friction_loads(climb: Any, grade_deg: float, limits: Any, signs: Any) -> Any:
    """Front load on a grade with friction at given shares of its limits.

    Parameters
    ----------
    climb : Climb
    grade_deg : float
    limits : FrictionLimits
    signs : ndarray, shape (cases, 4)
        Shares of the limits in the order of PLACES, -1 to 1; positive pushes the ends apart.

    Returns
    -------
    ndarray, shape (cases,)
        N; not a number where there is no such equilibrium.
    """
    row = climb.row(grade_deg)
    if row.state is None:
        return np.full(len(signs), np.nan)
    return creep_with(_neglected(climb, limits, signs), np.radians(grade_deg), near=creep_near(climb, row))[0]


def friction_tips(climb: Any, limits: Any, signs: Any) -> Any:
    """Tip-over grade in deg, shape (cases,), with friction at given shares of its limits, as `friction_loads`."""
    return np.degrees(tip_over_with(_neglected(climb, limits, signs), near=tip_near(climb)))


def _neglected(climb: Any, limits: Any, signs: Any) -> Any:
    standing = stand_spread(climb.vehicle, len(signs), near=climb.standing)
    left = LeftOut(**dict(zip(PLACES, (signs * limits.sizes).T, strict=True)))
    rolling = rolling_shares(climb.vehicle) if climb.overdriven else None
    return Neglected.of(standing.batch, shafts_of(climb.vehicle), left, rolling)


def aligned_signs(climb: Any, state: Any, shares: Any = SHARES) -> Any:
    """Signs of all rubbing places where shock and shaft of an axle hold the same way, shape (cases, 4).

    An axle has one motion against the chassis: its places never add up to more than when they hold the same way.

    Parameters
    ----------
    climb : Climb
    state : ndarray, shape (13,), or None
        Where the ways are told.
    shares : ndarray, shape (cases, 2)
        Of rear and front axle; positive: away from the ground.
    """
    values, ways = climb.standing.values.by_name(), np.ones(2)
    for k, end in enumerate(ENDS if state is not None else ()):
        ways[k] = np.sign(sliding_share(values, shaft_of(climb.vehicle, end), end, state))
    return np.concatenate([shares, shares * ways], axis=1)


def driven_up_shares(climb: Any, state: Any) -> Any:
    """The corner that a climb from the level ends in, shape (1, 2): friction holds back what the climb has moved.

    Parameters
    ----------
    climb : Climb
    state : ndarray, shape (13,), or None
        On the grade, without friction.
    """
    if state is None:
        return np.ones((1, 2))
    here = climb.standing.equilibrium.outputs(state, 0.0)[0]
    longer = here[4:6] - np.array(climb.standing.measured_lengths)
    return np.where(longer > 0.0, -1.0, 1.0)[None]


def friction_sets(
    vehicles: Sequence[Vehicle], *, grade_deg: float, shocks: bool = True, shafts: bool = True, climbs: Any = None
) -> Any:
    """What friction leaves open for setups at a grade.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        With links; the first is what the others are held against.
    grade_deg : float
    shocks, shafts : bool
        Whether they rub.
    climbs : sequence of Climb, optional
        Of the same vehicles, where they are at hand.

    Returns
    -------
    tuple of FrictionSet

    Raises
    ------
    SolverError
        A vehicle has no standing pose.
    """
    climbs = climbs or [Climb(v) for v in vehicles]
    found = []
    for climb in climbs:
        limits = friction_limits(climb.vehicle, shocks=shocks, shafts=shafts)
        tip = climb.tip_point()
        states = climb.row(grade_deg).state, None if tip is None else tip.state
        signs = [
            aligned_signs(climb, state, np.concatenate([SHARES, driven_up_shares(climb, state)])) for state in states
        ]
        numbers = friction_loads(climb, grade_deg, limits, signs[0]), friction_tips(climb, limits, signs[1])
        found.append((climb.vehicle.setup, dict(zip(NUMBERS, numbers, strict=True))))
    return tuple(_told(found[0], one) for one in found)


def _told(first: Any, one: Any) -> Any:
    """The set of one setup: numbers are of SHARES, then driven up."""
    alike, own = {}, {}
    if one is not first:
        for name, values in one[1].items():
            base = first[1][name]
            plain = values[NOTHING] - base[NOTHING]
            alike[name] = _span(plain, values[:-1] - base[:-1])
            own[name] = _span(plain, (values[:-1, None] - base[None, :-1]).ravel())
    loads, tips = (one[1][name] for name in NUMBERS)
    spans = {name: _span(values[NOTHING], values[:-1]) for name, values in one[1].items()}
    return FrictionSet(
        one[0], **spans, driven_up_n=_number(loads[-1]), driven_up_deg=_number(tips[-1]), alike=alike, own=own
    )


def _span(value: float, numbers: Any) -> Any:
    if not np.isfinite(numbers).all():
        return Span(_number(value), None, None)
    return Span(_number(value), float(numbers.min()), float(numbers.max()))


def _number(value: float) -> Any:
    return float(value) if np.isfinite(value) else None
