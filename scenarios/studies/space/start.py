"""Where a punch in space starts: steady motion at the creep speed, or standing on the drag brake."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import degrees, radians

import numpy as np

from noseload.model.motion.programs import Program
from noseload.model.space.motion_parameters import MotionNumbers, motion_numbers
from noseload.model.space.rows import MOTOR, SPEED_ROWS
from noseload.model.space.steady import SpaceSteady
from noseload.model.space.vehicle_motion import SpaceMotion
from noseload.solvers.continuation import solve_on
from noseload.solvers.newton import Solution, solve
from noseload.studies.climb.steady_start import FULL_THROTTLE, STRIDE, held_spin

from .climb import SpaceClimb
from .lifts import TOUCH
from .steady_path import FollowedSteady, follow_steady

_BRAKE_ITERATIONS = 60


@dataclass(frozen=True)
class SpaceStart:
    """A steady motion in space with the throttle that holds it, or why there is none.

    Attributes
    ----------
    status : str
        'ok' or 'start_not_held'.
    message : str
        What was missing.
    grade : float
        rad.
    state : ndarray, shape (47,), or None
        State of `noseload.model.space.vehicle_motion`.
    throttle : float or None
        Throttle that holds it; above 1 where the motor is too weak.
    brake_torque : float
        Drag brake at the wheels, N m.
    grip_needed : float or None
        Largest horizontal force over load of the wheels in a crawl there.
    numbers : MotionNumbers, or None for a vehicle that does not stand
    held : tuple or None
        Heading (rad), blocks (m) and factor on the grip that it was solved for.
    snap : float or None
        Grade, rad, at which the steady motion snaps into another pose on its way here; None where it does not.
    """

    status: str
    message: str
    grade: float
    state: np.ndarray | None
    throttle: float | None
    brake_torque: float
    grip_needed: float | None
    numbers: MotionNumbers | None = field(repr=False)
    held: tuple[float, tuple, float] | None = field(default=None, repr=False)
    snap: float | None = None

    @property
    def success(self) -> bool:
        """True where the start can be held."""
        return self.status == "ok"

    @property
    def residual(self) -> float:
        """Largest acceleration left, m/s2 or rad/s2: the bend of the path that the steady motion leaves out; 0 without a start."""
        if self.state is None or self.numbers is None or self.held is None or self.throttle is None:
            return 0.0
        heading, blocks, grip_factor = self.held
        motion = SpaceMotion(
            self.numbers,
            self.grade,
            heading=heading,
            throttle=Program.constant(self.throttle),
            grip_factor=Program.constant(grip_factor),
            brake_torque=Program.constant(self.brake_torque),
            blocks=blocks,
        )
        return float(np.abs(motion.rates(0.0, self.state)[SPEED_ROWS]).max())


class _Followed:
    """States found one after the other; the next is guessed on the line through the last two where they lie close."""

    def __init__(self, first: tuple[float, np.ndarray]) -> None:
        self.last, self._slope = first, np.zeros_like(first[1])

    def add(self, grade: float, state: np.ndarray) -> None:
        """Note one more."""
        before, known = self.last
        close = 0.0 < abs(grade - before) <= STRIDE
        self._slope = (state - known) / (grade - before) if close else np.zeros_like(state)
        self.last = grade, state

    def at(self, grade: float) -> np.ndarray:
        """Guess for a grade (rad)."""
        before, known = self.last
        return known + (grade - before) * self._slope if abs(grade - before) <= STRIDE else known


class StartsOfClimb:
    """What starts on one climb have in common: each is followed from the nearest before it.

    Parameters
    ----------
    climb : SpaceClimb
    """

    def __init__(self, climb: SpaceClimb) -> None:
        self.climb = climb
        self._numbers: MotionNumbers | None = None
        self._crawls = {side: _Followed((0.0, climb.level.state)) for side in (False, True)}
        self._gaps: dict[float, _Followed] = {}

    @property
    def numbers(self) -> MotionNumbers:
        """Of the vehicle in motion."""
        if self._numbers is None:
            climb = self.climb
            mismatch = None if climb.mismatch is None else climb.mismatch / 100.0
            lengths = climb.standing.side_view.free_lengths
            self._numbers = motion_numbers(climb.vehicle, lengths, shafts=climb.shafts, mismatch=mismatch)
        return self._numbers

    def crawl(self, grade: float) -> np.ndarray | None:
        """As `crawl_state`."""
        crawls = self._crawls[grade < 0.0]
        begin, state = crawls.last
        if abs(begin) > abs(grade):
            # Only from a less steep one: behind a fold there is no way.
            return crawl_state(self.climb, grade)
        solution = solve(self.climb.equilibrium, crawls.at(grade), grade) if abs(grade - begin) <= STRIDE else None
        if solution is not None and solution.success:
            found: np.ndarray | None = solution.state
        else:
            found = crawl_state(self.climb, grade, (begin, state))
        if found is not None and abs(grade) > abs(begin):
            crawls.add(grade, found)
        return found

    def nearer(self, grip_factor: float, grade: float, guess: np.ndarray) -> np.ndarray:
        """A guess of steady motion, put right by what those before with this factor on the grip were off."""
        gaps = self._gaps.get(grip_factor)
        return guess if gaps is None else guess + gaps.at(grade)

    def was_off(self, grip_factor: float, grade: float, gap: np.ndarray) -> None:
        """Note how far a solution lay from its guess."""
        gaps = self._gaps.get(grip_factor)
        if gaps is None:
            self._gaps[grip_factor] = _Followed((grade, gap))
        else:
            gaps.add(grade, gap)


def crawl_state(climb: SpaceClimb, grade: float, known: tuple[float, np.ndarray] | None = None) -> np.ndarray | None:
    """Unknowns of a crawl in space (26) at a grade (rad), None where there is no such climb.

    Followed from the level, or from a `known` grade (rad) and its state.
    """
    begin, state = (0.0, climb.level.state) if known is None else known
    for step in np.linspace(begin, grade, max(2, 1 + int(np.ceil(abs(grade - begin) / STRIDE))))[1:]:
        solution = solve(climb.equilibrium, state, float(step))
        if not solution.success:
            found = solve_on(climb.path(grade), grade)
            return climb.plain(found.state) if isinstance(found, Solution) and found.success else None
        state = solution.state
    return state


def space_start(
    climb: SpaceClimb,
    *,
    grade: float,
    creep_speed: float,
    grip_factor: float = 1.0,
    start: str = "creep",
    shared: StartsOfClimb | None = None,
) -> SpaceStart:
    """Solve the steady motion that a punch in space starts from.

    Parameters
    ----------
    climb : SpaceClimb
        Its heading, blocks and shafts are those of the punch.
    grade : float
        rad.
    creep_speed : float
        m/s, along the chassis; not used on the brake.
    grip_factor : float
    start : str
        'creep', or 'brake': wheels on the drag brake, throttle 0.
    shared : StartsOfClimb, optional
        Of this climb, for many starts at the same creep speed.
    """
    shared = StartsOfClimb(climb) if shared is None else shared
    numbers = shared.numbers

    def not_held(
        message: str, throttle: float | None = None, brake: float = 0.0, needed: float | None = None
    ) -> SpaceStart:
        return SpaceStart("start_not_held", message, grade, None, throttle, brake, needed, numbers)

    crawl = shared.crawl(grade)
    if crawl is None:
        return not_held(_without_crawl(climb, grade))
    needed = _grip_needed(climb, crawl)
    if start == "brake":
        return _on_the_brake(climb, numbers, crawl, grade, grip_factor, needed, not_held)
    steady = SpaceSteady(numbers, climb.equilibrium, travel=creep_speed, grip_factor=grip_factor)
    guess, share = steady.guess(crawl)
    if share >= 1.0:
        return not_held(_too_slippery(grade, share, needed), needed=needed)
    nearer = shared.nearer(grip_factor, grade, guess)
    followed = _solved_or_followed(steady, climb, (guess,) if nearer is guess else (nearer, guess), grade)
    solution = followed.solution
    if solution is None:
        return replace(not_held(followed.why_not(grade), needed=needed), snap=followed.snap)
    if followed.snap is None:
        shared.was_off(grip_factor, grade, solution.state - guess)
    state, chassis = steady.motion_state(solution.state), numbers.chassis
    torque = steady.motor_torque(solution.state)
    throttle = float(torque / chassis["stall_torque"] + state[MOTOR] / chassis["no_load_speed"])
    if abs(throttle) > FULL_THROTTLE:
        why = f"holding {degrees(grade):.2f} deg takes throttle {throttle:.3f}, more than the motor has"
        return not_held(why, throttle, needed=needed)
    begin = _finished(climb, numbers, state, grade, throttle, 0.0, grip_factor, needed)
    return replace(begin, snap=followed.snap)


def _solved_or_followed(
    steady: SpaceSteady, climb: SpaceClimb, guesses: Sequence[np.ndarray], grade: float
) -> FollowedSteady:
    """Steady motion from one of some guesses; where a coil or a snap keeps it from that, followed from flatter grades."""
    for guess in guesses:
        solution = solve(steady, guess, grade)
        if solution.success:
            return FollowedSteady(solution)
    return follow_steady(steady, lambda at: crawl_state(climb, at), grade)


def _without_crawl(climb: SpaceClimb, grade: float) -> str:
    """Why there is no crawl at a grade (rad): how the path that should reach it ends, and how steep it goes."""
    curve = climb.path(grade)
    rear_left, rear_right, front_left, front_right = (depth > TOUCH for depth in climb.depths(curve.points[-1]))
    if not ((rear_left or front_left) and (rear_right or front_right)):
        ends = "rolls over sideways"
    elif climb.equilibrium.law.is_limit or not (rear_left and rear_right and front_left and front_right):
        ends = "tips over"
    else:
        ends = "slides"
    steepest = max((point.parameter for point in curve.points), key=abs)
    return f"at {degrees(grade):.2f} deg the vehicle {ends} before it can start; its crawl goes up to {degrees(steepest):.2f} deg"


def _too_slippery(grade: float, share: float, needed: float | None) -> str:
    return f"holding {degrees(grade):.2f} deg takes {share:.3f} times the grip of a wheel (grip {needed:.3f} needed)"


def _grip_needed(climb: SpaceClimb, crawl: np.ndarray) -> float:
    seen = [climb.equilibrium.seen(crawl, k) for k in (0, 1)]
    carry = [part["left_load"] + part["right_load"] > 0.0 for part in seen]
    needs = [need for need, carries in zip(climb.needs(crawl), carry, strict=True) if carries]
    return float(max(needs, default=0.0))


def _finished(
    climb: SpaceClimb,
    numbers: MotionNumbers,
    state: np.ndarray,
    grade: float,
    throttle: float,
    brake: float,
    grip_factor: float,
    needed: float | None,
) -> SpaceStart:
    held = radians(climb.heading_deg), climb.equilibrium.blocks, grip_factor
    return SpaceStart("ok", "", grade, state, throttle, brake, needed, numbers, held)


def _on_the_brake(
    climb: SpaceClimb,
    numbers: MotionNumbers,
    crawl: np.ndarray,
    grade: float,
    grip_factor: float,
    needed: float | None,
    not_held: Callable,
) -> SpaceStart:
    """Wheels held by brake and shorted motor turn a hair, and the tyres creep: both are solved for."""
    brake, chassis, spin, guess, snap = numbers.drag_brake, numbers.chassis, 0.0, None, None
    for _ in range(_BRAKE_ITERATIONS):
        steady = SpaceSteady(numbers, climb.equilibrium, motor_speed=spin, grip_factor=grip_factor)
        if guess is None:
            guess, share = steady.guess(crawl)
            if share >= 1.0:
                return not_held(_too_slippery(grade, share, needed), 0.0, brake, needed)
        followed = _solved_or_followed(steady, climb, (guess,), grade)
        solution = followed.solution
        if solution is None:
            return replace(not_held(followed.why_not(grade), 0.0, brake, needed), snap=followed.snap)
        snap = followed.snap or snap
        guess, torque = solution.state, steady.motor_torque(solution.state)
        if abs(torque) >= brake:
            why = (
                f"standing at {degrees(grade):.2f} deg takes {1e3 * abs(torque):.0f} N mm at the wheels, the drag brake "
                f"has {1e3 * brake:.0f} N mm"
            )
            return not_held(why, 0.0, brake, needed)
        last, spin = spin, held_spin(chassis["stall_torque"], chassis["no_load_speed"], torque, brake)
        if abs(spin - last) < 1e-15:
            break
    state = steady.motion_state(guess)
    return replace(_finished(climb, numbers, state, grade, 0.0, brake, grip_factor, needed), snap=snap)
