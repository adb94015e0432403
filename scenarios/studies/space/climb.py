"""The path of a vehicle in space over grade at one heading, followed once: poses, lifts, folds, limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, partial
from math import radians, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.kinks import HELD
from noseload.model.parameters import CREEP_SPEED, ENDS, LINKS, axle_of, slip_law, slip_load
from noseload.model.space.budget import centre_in_space
from noseload.model.space.equilibrium import Mismatch, SpaceEquilibrium, ZeroSpeed
from noseload.model.space.forces import ForceUnknowns
from noseload.model.space.mirrored import Mirrored, is_mirrored
from noseload.model.space.parameters import SIDES, WHEELS, space_numbers
from noseload.model.space.rows import SIDE
from noseload.model.vehicle import Vehicle
from noseload.solvers.continuation import Tracing, solve_on, trace
from noseload.solvers.newton import Solution, solve
from noseload.studies.climb.followed import AT_STOP, followed_path, found_once
from noseload.studies.climb.split import is_geared, own_split, rolling_shares
from noseload.studies.climb.standing import Standing, stand

from .lifts import TOUCH, WheelLifts, first_of

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.model.space.parameters import SpaceNumbers
    from noseload.solvers.continuation import Curve, CurvePoint
    from noseload.studies.climb.followed import FollowedPath


STEEPEST = radians(89.0)
GRIP_REACHED = 0.999
"""Share of all grip at which axles that turn at different speeds count as sliding."""
BLOCK_STEPS = 4
"""Parts in which blocks are raised under the wheels."""


@dataclass(frozen=True, eq=False)
class SpaceStanding:
    """A vehicle standing level on four wheels.

    Attributes
    ----------
    vehicle : Vehicle
    side_view : Standing
        It sets the free lengths and radii.
    equilibrium : SpaceEquilibrium
    solution : Solution
        At rest at grade 0: no wheel rolls.
    reference : triple of float
        (distance, height, wheelbase) of the centre of gravity, m.
    stable_sign : float
        Sign of the determinant of stable poses.
    stiffnesses : ndarray
        Eigenvalues of the reduced stiffness: all positive where it stands by itself.
    """

    vehicle: Vehicle
    side_view: Standing
    equilibrium: SpaceEquilibrium
    solution: Solution
    reference: tuple
    stable_sign: float
    stiffnesses: np.ndarray


def symmetric_state(numbers: SpaceNumbers, values: VehicleNumbers, state: np.ndarray) -> np.ndarray:
    """Unknowns in space of a side-view state (13,): left and right alike."""
    z, pitch = state[:2]
    found, tensions = [z, pitch, 0.0], []
    for k, (end, axle) in enumerate(zip(ENDS, numbers.axles, strict=True)):
        x, height, turn = state[2 + 3 * k : 5 + 3 * k]
        found += [x, -axle["wheel_y"] - _offset(numbers), height, 0.0, 0.0, turn]
        for i, rod in enumerate(numbers.rods[k]):
            link = next((j for j, part in enumerate(("lower", "upper")) if part in rod), None)
            if link is None:
                tensions.append(0.0)
                continue
            pair = 0.5 if rod.endswith(SIDES) else 1.0
            shorter = values.axle(end).link_length(LINKS[link])
            tensions.append(state[8 + 2 * k + link] * pair * axle[f"rod_{i + 1}_length"] / shorter)
    return np.array([*found, *tensions, 0.0, 0.0, 0.0])


def _offset(numbers: SpaceNumbers) -> float:
    """y of the chassis' centre of gravity in the vehicle, m."""
    return -numbers.axles[0]["shock_chassis_shift"]


def stand_in_space(vehicle: Vehicle, *, shafts: bool = True, standing: Standing | None = None) -> SpaceStanding:
    """Solve the standing pose on four wheels.

    Raises
    ------
    MissingDataError, ModelError
        The file lacks a y or a track, or its links do not hold an axle in space.
    SolverError
        No standing pose.
    """
    flat = standing or stand(vehicle)
    numbers = space_numbers(vehicle, flat.free_lengths, shafts=shafts)
    start = symmetric_state(numbers, flat.values, flat.state)
    equilibrium = SpaceEquilibrium(numbers).use_branch_of(start)
    resting = SpaceEquilibrium(numbers.at_rest()).take_branch_of(equilibrium)
    solution = solve(resting, start, 0.0).raise_for_status()
    stiffness = equilibrium.reduced_stiffness(solution.state, solution.jacobian)
    stiffnesses = np.linalg.eigvalsh(0.5 * (stiffness + stiffness.T))
    sign = np.linalg.slogdet(_scaled(equilibrium, solution.jacobian))[0] * (-1.0) ** int((stiffnesses <= 0.0).sum())
    reference = centre_in_space(equilibrium, solution.state)[:3]
    return SpaceStanding(vehicle, flat, equilibrium, solution, reference, float(sign), stiffnesses)


def on_blocks(plain: SpaceEquilibrium, heights: tuple[float, ...], state: np.ndarray) -> Solution:
    """The level pose on blocks of some height (m, by wheel), raised step by step from one without.

    Raises
    ------
    SolverError
        It does not stand on them.
    """
    for share in np.linspace(0.0, 1.0, BLOCK_STEPS + 1)[1:] if any(heights) else (1.0,):
        there = plain.with_(blocks=tuple(share * height for height in heights))
        solution = solve(there, state, 0.0).raise_for_status()
        state = solution.state
    return solution


def _scaled(equilibrium: SpaceEquilibrium, jacobian: np.ndarray) -> np.ndarray:
    return jacobian[:, :-1] * equilibrium.scales / equilibrium.residual_scales[:, None]


def law_of(
    standing: SpaceStanding, mismatch: float | None = None, shares: tuple[float, float] | None = None
) -> Mismatch | ZeroSpeed:
    """How a vehicle's driven wheels divide the traction; parameters as `mismatch` and `rolling_shares` of `SpaceClimb`."""
    vehicle, own = standing.vehicle, own_split(standing.vehicle)
    if not is_geared(vehicle) or (mismatch is None and own is None):
        return ZeroSpeed()
    behind, ahead = (axle_of(vehicle, end).tyre for end in ENDS)
    laws = slip_law(behind), slip_law(ahead)
    rear, front = (speed / CREEP_SPEED + ratio for speed, ratio in laws)
    radii = tuple(axle["tyre_radius"] for axle in standing.equilibrium.numbers.axles)
    turned = vehicle.drive.front_overdrive - 1.0 if mismatch is None else mismatch / 100.0
    chi, load = rolling_shares(vehicle) if shares is None else shares, slip_load(vehicle)
    rates = behind.vertical_stiffness / load, ahead.vertical_stiffness / load
    return Mismatch((rear, front), turned, radii, chi, rates, (behind.slip_softness, ahead.slip_softness))


class SpaceClimb:
    """Poses of one vehicle over grade at one heading.

    Parameters
    ----------
    vehicle : Vehicle
    heading_deg : float
        Nose turned left of the line of steepest ascent.
    mismatch : float, optional
        How much faster the front wheels turn than the rear ones, percent. None: all driven wheels slip alike, unless
        the drive has a `front_overdrive` or a slip stiffness was measured.
    rolling_shares : pair of float, optional
        chi of rear and front under such a law (`noseload.studies.climb.split`) in place of the vehicle's own.
    shafts : bool
        False leaves the couples of the shafts out.
    blocks : mapping of str to float, optional
        Height of a block under a wheel, m, by its name in `WHEELS`.
    standing : SpaceStanding, optional
        Of the same vehicle and shafts.
    """

    def __init__(
        self,
        vehicle: Vehicle,
        *,
        heading_deg: float = 0.0,
        mismatch: float | None = None,
        rolling_shares: tuple[float, float] | None = None,
        shafts: bool = True,
        blocks: Mapping[str, float] | None = None,
        standing: SpaceStanding | None = None,
    ) -> None:
        self.vehicle, self.heading_deg, self.mismatch, self.shafts = vehicle, float(heading_deg), mismatch, shafts
        self.rolling_shares = rolling_shares
        self.standing = standing or stand_in_space(vehicle, shafts=shafts)
        heights = tuple(float((blocks or {}).get(wheel, 0.0)) for wheel in WHEELS)
        plain = self.standing.equilibrium.with_(
            heading=radians(heading_deg), law=law_of(self.standing, mismatch, rolling_shares)
        )
        self._plain, self._heights = plain, heights
        self.equilibrium = plain.with_(blocks=heights)
        if any(heights):
            # A vehicle that does not stand on its blocks is to be told of at once.
            _ = self.level
        single = self.equilibrium.law.is_limit and sum(self.equilibrium.numbers.driven) == 1.0
        self.whole: Any = ForceUnknowns(self.equilibrium) if single else self.equilibrium
        self.solved: Any = Mirrored(self.whole) if is_mirrored(self.equilibrium) else self.whole
        self._lifts = WheelLifts(self.solved)
        self._kinks = self._lifts.kinks
        self._paths: dict = {}
        self._coils: dict = {}

    @cached_property
    def level(self) -> Solution:
        """The pose on the level under this law, blocks raised."""
        return on_blocks(self._plain, self._heights, self.standing.solution.state)

    # the path ------------------------------------------------------------------------------

    @cached_property
    def uphill(self) -> Curve:
        """Curve from the level up, to where an axle or a side carries next to nothing."""
        return self._up.until(self._ends)

    @cached_property
    def _up(self) -> Tracing:
        """What follows the curve uphill: on from the first lift where the way there is known."""
        return Tracing(self.solved, self._start, +1.0, kinks=self._kinks)

    @cached_property
    def to_lift(self) -> Curve:
        """`uphill` where that is known, else its part up to the first lift: the same points."""
        if "uphill" in self.__dict__:
            return self.uphill
        down = [wheel for wheel, depth in enumerate(self.solved.depths(self._start.state)) if depth > TOUCH]

        def lifts(point: CurvePoint) -> bool:
            depths = self.depths(point)
            return any(depths[wheel] <= TOUCH for wheel in down) or self._ends(point)

        return self._up.until(lifts)

    @cached_property
    def downhill(self) -> Curve:
        """Curve from the level, nose down."""
        return trace(self.solved, self._start, -1.0, self._ends, kinks=self._kinks)

    @cached_property
    def _start(self) -> Solution:
        if self.solved is self.equilibrium:
            return self.level
        return solve(self.solved, self.solved.own(self.level.state), 0.0).raise_for_status()

    def plain(self, state: np.ndarray) -> np.ndarray:
        """Unknowns of `SpaceEquilibrium` of a state of the path: an axle's pull may be one of the path's own."""
        return self.solved.plain(state)

    def path(self, grade: float) -> Curve:
        """The curve on which a grade (rad) lies; where the way to the first lift is known and enough, that."""
        if grade < 0.0:
            return self.downhill
        return self.to_lift if "to_lift" in self.__dict__ and self._is_below_lift(grade) else self.uphill

    def _is_below_lift(self, grade: float) -> bool:
        """Whether a grade uphill lies below the first lift, on a path that does not turn back before it."""
        lifts = self.lifts_on(self.to_lift)
        return bool(lifts) and grade < lifts[0][1] and not any(k <= lifts[0][0] for k in self.to_lift.folds())

    def _ends(self, point: CurvePoint) -> bool:
        depths = self.depths(point)
        over = max(depths[0], depths[2]) < 0.0 or max(depths[1], depths[3]) < 0.0
        slid = not self.equilibrium.law.is_limit and self.grip_use(self.plain(point.state)) > GRIP_REACHED
        return self._lifts.is_last(depths) or over or slid or abs(point.parameter) > STEEPEST

    def depths(self, point: CurvePoint) -> list[float]:
        """Depths of the four tyres at a point of a path, m."""
        return self._lifts.depths(point)

    def grip_use(self, state: np.ndarray) -> float:
        """Share of its grip that a wheel uses, those of one axle alike: the largest, under a law of slip the least.

        There an axle that rolls faster may have spent its grip on a level floor; only with that of both gone it slides.
        """
        numbers = self.equilibrium.numbers
        shares = [need / axle["grip"] for need, axle in zip(self.needs(state), numbers.axles, strict=True)]
        return max(shares) if self.equilibrium.law.is_limit else min(shares)

    def needs(self, state: np.ndarray) -> list[float]:
        """Horizontal force over load of the wheels, rear and front."""
        uses, _ = self.equilibrium.uses(state)
        numbers = self.equilibrium.numbers
        return [
            sqrt((axle["grip"] * driven * use) ** 2 + float(state[side]) ** 2)
            for axle, driven, use, side in zip(numbers.axles, numbers.driven, uses, SIDE, strict=True)
        ]

    def wheel_torque(self, state: np.ndarray) -> float:
        """Torque that the motor needs at the rear wheels' speed, N m."""
        torques = [self.equilibrium.seen(state, k)["wheel_torque"] for k in range(len(ENDS))]
        drive = self.vehicle.drive
        return torques[0] + (drive.front_overdrive if drive.driven_axles == "both" else 1.0) * torques[1]

    def followed(self, curve: Curve) -> FollowedPath:
        """What a slow climb follows of one of the curves: `noseload.studies.climb.followed.FollowedPath`."""
        return found_once(
            self._paths, curve, lambda c: followed_path(c, self._loose, WHEELS, partial(self._lifts.turn, c))
        )

    def _loose(self, point: CurvePoint) -> list[float]:
        """By how much the coil at each wheel is loose, m; `HELD` where it is held, or where a wheel has left: that is a snap of its own."""
        if min(self.depths(point)) <= AT_STOP:
            return [HELD] * len(WHEELS)
        return found_once(self._coils, point, lambda p: [coil for coil, *_ in self._kinks.gaps(p.state)])

    # lifts ---------------------------------------------------------------------------------

    def lifts_on(self, curve: Curve) -> list[tuple[int, float, int]]:
        """Lifts of single wheels along a curve, see `WheelLifts.on`."""
        return self._lifts.on(curve)

    @cached_property
    def lift_events(self) -> tuple:
        """All lifts uphill in order along the curve, and how it ends (see `last_lift`)."""
        return self.lifts_on(self.uphill), self.last_lift(self.uphill)

    def last_lift(self, curve: Curve) -> tuple[float, int, int | None, float | None] | None:
        """How a curve ends at an axle, see `WheelLifts.last`."""
        return self._lifts.last(curve)

    @property
    def first_lift(self) -> tuple[float, str] | None:
        """(grade in rad, wheel's name) of the first lift uphill, or None."""
        lifts = self.lifts_on(self.to_lift)
        return first_of(lifts, None if lifts else self.last_lift(self.to_lift))

    def below_lift(self, below: float) -> tuple[float, np.ndarray] | None:
        """(grade, unknowns of `SpaceEquilibrium`) of the pose `below` (rad) the first lift; None where the path there is not plain.

        Plain is a path that never turns back before the lift.
        """
        lifts = self.lifts_on(self.to_lift)
        if not lifts or not self._is_below_lift(grade := lifts[0][1] - below):
            return None
        found = solve_on(replace(self.to_lift, points=self.to_lift.points[: lifts[0][0] + 2]), grade)
        return (grade, self.plain(found.state)) if found is not None and found.success else None

    def is_stable(self, pose: Solution) -> bool:
        """Whether a small push is undone at a solved pose (`Solution`): the sign of the whole determinant is that of stable ones."""
        if isinstance(self.solved, Mirrored):
            jacobian = self.whole.evaluate(self.solved.whole(pose.state), pose.parameter)[1]
        else:
            jacobian = pose.jacobian
        return bool(np.linalg.slogdet(_scaled(self.equilibrium, jacobian))[0] == self.standing.stable_sign)
