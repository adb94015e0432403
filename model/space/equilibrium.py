"""The vehicle in space at rest as equations to be solved: crawling on a slope, standing, on the bench.

Frame: x forward, y left, z normal to the plane. Slope S, heading beta: the nose turned left of the line of steepest
ascent is positive; gravity ``-G (sin S cos beta, -sin S sin beta, cos S)``.

Unknowns, in order: chassis z, pitch (nose down positive) and roll (left side up positive); x, y, z, heading, roll,
pitch of the rear and of the front axle; eight rod tensions; slip; side force over load of rear and front. The
chassis' centre of gravity is at x = y = 0 and its x axis has no part along y. Traction of a wheel is
``Fx = driven mu N g(slip)``, its side force ``Fy = side_used N``: wheels of an axle slip alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, sin, tanh

import numpy as np

from noseload.model.crawl.rolling import LEAST_LOAD, load_factor
from noseload.model.generated.scalar_space import axle, axle_seen
from noseload.model.generated.space_order import (
    AXLE,
    AXLE_SEEN,
    CHASSIS,
    ENTRY_COLUMNS,
    ENTRY_ROWS,
    ROWS,
    TENSIONS,
    USES,
)
from noseload.model.packed import packed
from noseload.model.parameters import ENDS
from noseload.model.units import STANDARD_GRAVITY

from .parameters import SIDES, SpaceNumbers
from .rows import (
    AXLE_BALANCES,
    AXLE_POSES,
    AXLE_TENSIONS,
    BALANCE_ROWS,
    CHASSIS_BALANCES,
    CHASSIS_POSE,
    FORCE_BALANCES,
    POSE_PITCH,
    POSE_ROLLS,
    POSE_ROWS,
    ROD_LENGTHS,
    SIDE,
    SLIP,
    TENSION_ROWS,
)

POSE = (*CHASSIS, *(f"{end}_{name.removeprefix('axle_')}" for end in ENDS for name in AXLE))
RODS = TENSION_ROWS.stop - TENSION_ROWS.start
UNKNOWNS = (*POSE, *(f"{end}_tension_{k}" for end in ENDS for k in range(1, 5)), "slip", "rear_side", "front_side")
EQUATIONS = (
    *(
        f"{body} {balance}"
        for body in ("chassis", "rear axle", "front axle")
        for balance in (
            "forward force balance",
            "sideways force balance",
            "force balance across the plane",
            "roll moment balance",
            "pitch moment balance",
            "heading moment balance",
        )
    ),
    *(f"{end} rod {k} length" for end in ENDS for k in range(1, 5)),
)
N = len(UNKNOWNS)
BODIES = 3
ANGLE_STEP, LENGTH_STEP, USE_STEP = 0.15, 0.015, 0.5
LARGEST_PITCH, LARGEST_ROLL, LARGEST_GRADE = 1.2, 1.3, 1.56
"""Pose and grade beyond which nothing is taken for a climb, rad; the equations end at 90 deg of roll."""
KERNEL_BALANCES, KERNEL_JACOBIAN = ROWS["axle"]["balances"], ROWS["axle"]["jacobian"]
"""Rows of the axle kernel: balances and rods, entries of its Jacobian."""
_SOLVED = (*CHASSIS, *AXLE, *TENSIONS, *USES[:2])
"""Columns of the axle kernel's Jacobian that are unknowns, by name; the held torque follows."""
_HEIGHT, _ROLL, _PITCH = (AXLE.index(f"axle_{name}") for name in ("z", "roll", "pitch"))


def kernel_places(rows_of_entries: tuple[int, ...], columns_of_entries: tuple[int, ...]) -> tuple:
    """Rows of an axle kernel, flat places of its Jacobian entries, those that follow the slip, and held torque."""
    entry_rows, entry_columns = np.array(rows_of_entries), np.array(columns_of_entries)
    found = []
    for k in range(len(ENDS)):
        rows = np.r_[CHASSIS_BALANCES, AXLE_BALANCES[k], ROD_LENGTHS[k]]
        columns = np.r_[CHASSIS_POSE, AXLE_POSES[k], AXLE_TENSIONS[k], SLIP, SIDE[k]]
        solved = entry_columns < len(columns)
        flat = rows[entry_rows[solved]] * (N + 1) + columns[entry_columns[solved]]
        follows = np.flatnonzero(entry_columns == _SOLVED.index("grip_used"))
        held = np.flatnonzero(entry_columns == len(_SOLVED))
        found.append(
            (rows, np.flatnonzero(solved), flat, follows, rows[entry_rows[follows]], held, rows[entry_rows[held]])
        )
    return tuple(found)


PLACES = kernel_places(ENTRY_ROWS, ENTRY_COLUMNS)
_WEIGHT_ROWS = np.r_[FORCE_BALANCES]
_WEIGHT_PLACES = _WEIGHT_ROWS * (N + 1) + N
"""Balances of forces of the three bodies, and flat places of their slopes by the grade."""


class ZeroSpeed:
    """All driven wheels slip alike: traction as grip times load. The unknown slip is the grip used."""

    is_limit = True
    follows_the_pose = False

    def uses(self, slip: float, pressed: tuple[float, float]) -> tuple:
        """Share of their grip that rear and front wheels use.

        Parameters
        ----------
        slip : float
        pressed : pair of float
            How deep the tyres of rear and front are pressed in, the mean of both sides, m.

        Returns
        -------
        uses, by_slip : pair of float
        by_pressed : pair of float
            Slopes of the front's use by `pressed`.
        """
        return (slip, slip), (1.0, 1.0), (0.0, 0.0)


class Mismatch:
    """Geared axles whose wheels roll at different speeds: ``tanh(slip / width)`` of the grip.

    Wheels roll on ``r0 - chi (r0 - R)``, R the mean loaded radius of an axle; one and the slip of the front is one and that of
    the rear times the ratio of their speeds at the ground, as in steady motion of the side view. See `noseload.studies.climb.split`.

    Parameters
    ----------
    width : pair of float
        Slip ratio over which traction sets in, rear and front: v0 / v + kappa of the law in motion at the speed v.
    mismatch : float
        How much faster the front wheels turn than the rear ones, as a share.
    radii : pair of float
        Free radii r0, m.
    rolling_shares : pair of float
        chi, rear and front.
    rates : pair of float
        Of an axle's tyres, over the load at which `width` holds, 1/m.
    softness : pair of float
        1 - n of a slip stiffness that goes as the load to the power n: the width grows as the load to that power.
    """

    is_limit = False

    def __init__(
        self,
        width: tuple[float, float],
        mismatch: float,
        radii: tuple[float, float] = (1.0, 1.0),
        rolling_shares: tuple[float, float] = (0.0, 0.0),
        rates: tuple[float, float] = (1.0, 1.0),
        softness: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        self.width, self.mismatch, self.radii, self.rolling_shares = width, mismatch, radii, rolling_shares
        self.rates, self.softness = rates, softness

    @property
    def follows_the_pose(self) -> bool:
        """Whether it matters how deep the tyres are pressed in."""
        return any(self.rolling_shares) or any(self.softness)

    def _width(self, k: int, pressed: float) -> tuple[float, float]:
        """Width of an axle pressed in so deep, and its slope by that."""
        share, softness = self.rates[k] * pressed, self.softness[k]
        width = self.width[k] * load_factor(share, 1.0, softness)
        return width, width * softness * share * self.rates[k] / (share**2 + LEAST_LOAD**2)

    def uses(self, slip: float, pressed: Sequence[float]) -> tuple:
        """As `ZeroSpeed.uses`; the unknown slip is that of the rear wheels over the rear width."""
        rear, front = (r - chi * d for r, chi, d in zip(self.radii, self.rolling_shares, pressed, strict=True))
        (behind, behind_slope), (ahead, ahead_slope) = (self._width(k, d) for k, d in enumerate(pressed))
        ratio, speed = (1.0 + self.mismatch) / rear, 1.0 + slip * behind
        first, second = tanh(slip), tanh((speed * ratio * front - 1.0) / ahead)
        steep = (1.0 - second**2) / ahead
        by_pressed = (
            steep * ratio * front * (speed * self.rolling_shares[0] / rear + slip * behind_slope),
            -steep * (speed * ratio * self.rolling_shares[1] + (speed * ratio * front - 1.0) * ahead_slope / ahead),
        )
        return (first, second), (1.0 - first**2, steep * ratio * front * behind), by_pressed


class SpaceEquilibrium:
    """Steady crawl of one vehicle over grade (the parameter, rad) at one heading.

    Parameters
    ----------
    numbers : SpaceNumbers
    heading : float
        rad.
    law : ZeroSpeed or Mismatch
        How geared axles share the traction.
    blocks : tuple of float
        Height of a block under each wheel, m: rear left, rear right, front left, front right.
    held : pair of float
        Torque at wheels that something holds, N m, rear and front (the bench).
    """

    names = UNKNOWNS
    equation_names = EQUATIONS

    def __init__(
        self,
        numbers: SpaceNumbers,
        *,
        heading: float = 0.0,
        law: Mismatch | ZeroSpeed | None = None,
        blocks: tuple[float, ...] = (0.0,) * 4,
        held: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        self.numbers, self.heading, self.law = numbers, heading, law or ZeroSpeed()
        self.blocks, self.held = tuple(float(b) for b in blocks), held
        self.weight, self.wheelbase = numbers.weight, numbers.wheelbase
        self._ordered = numbers.ordered()
        length, moment = 0.1 * self.wheelbase, self.weight * self.wheelbase
        self.scales = np.array([length, 0.3, 0.3] + ([length] * 3 + [0.3] * 3) * 2 + [self.weight] * RODS + [1.0] * 3)
        self.residual_scales = np.array(([self.weight] * 3 + [moment] * 3) * BODIES + [self.wheelbase] * RODS)
        reach = LENGTH_STEP * self.wheelbase / 0.3
        limits = [reach] + [ANGLE_STEP] * 2 + ([reach] * 3 + [ANGLE_STEP] * 3) * 2
        self.step_limits = np.array(limits + [np.inf] * RODS + [USE_STEP] * 3)
        self._weights = np.repeat([mass * STANDARD_GRAVITY for mass in numbers.masses], 3)
        self._branch: list | None = None
        self._couplers: list | None = None

    def with_(
        self,
        *,
        heading: float | None = None,
        law: ZeroSpeed | Mismatch | None = None,
        blocks: tuple | None = None,
        held: tuple | None = None,
    ) -> SpaceEquilibrium:
        """The same vehicle elsewhere: what is not given stays."""
        again = SpaceEquilibrium(
            self.numbers,
            heading=self.heading if heading is None else heading,
            law=law or self.law,
            blocks=self.blocks if blocks is None else blocks,
            held=self.held if held is None else held,
        )
        again._branch, again._couplers = self._branch, self._couplers
        return again

    def plain(self, state: np.ndarray) -> np.ndarray:
        """Unknowns of this class: itself. Others of this vehicle have unknowns of their own."""
        return state

    own = whole = slopes = plain

    def gravity(self, grade: float) -> tuple:
        """Direction of gravity (3) and its slope by the grade."""
        s, c, sb, cb = sin(grade), cos(grade), sin(self.heading), cos(self.heading)
        return (-s * cb, s * sb, -c), (-c * cb, c * sb, s)

    def uses(self, state: np.ndarray | list[float]) -> tuple:
        """Share of their grip that rear and front wheels use, and its slopes by the slip."""
        return self._uses(state)[:2]

    def _uses(self, state: np.ndarray | list[float]) -> tuple:
        """As `uses`, and slopes of the front's use by the pose, None where there are none."""
        pressed, slopes = self._pressed(state)
        uses, by_slip, by_pressed = self.law.uses(float(state[SLIP]), pressed)
        return uses, by_slip, None if slopes is None else by_pressed[0] * slopes[0] + by_pressed[1] * slopes[1]

    def _pressed(self, state: np.ndarray | list) -> tuple:
        """How deep the tyres of each axle are pressed in, m, and its slope by the unknowns; nothing where it is of no account."""
        if not self.law.follows_the_pose:
            return (0.0, 0.0), None
        depths, slopes = [0.0, 0.0], [np.zeros(N), np.zeros(N)]
        for wheel in range(2 * len(ENDS)):
            depth, by_state = self.wheel_depth(state, wheel)
            if depth > 0.0:
                depths[wheel // 2] += 0.5 * depth
                slopes[wheel // 2] += 0.5 * by_state
        return depths, slopes

    def arguments(self, state: list[float], k: int, uses: tuple[float, float] | None = None) -> tuple:
        """Arguments of the axle kernels of axle k for a state (list); `uses` where they are known."""
        uses = self.uses(state)[0] if uses is None else uses
        use = self.numbers.driven[k] * uses[k]
        return (
            state[CHASSIS_POSE],
            state[AXLE_POSES[k]],
            state[AXLE_TENSIONS[k]],
            (use, state[SIDE[k]], self.held[k]),
            self.blocks[2 * k : 2 * k + 2],
            self._ordered[k],
        )

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (26) and Jacobian (26, 27), the last column by the grade."""
        return self._evaluated(state, parameter, None)

    def evaluate_held(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """As `evaluate`, and the slopes of the residual by the held torques (26, 2)."""
        by_held = np.zeros((N, 2))
        return *self._evaluated(state, parameter, by_held), by_held

    def _evaluated(
        self, state: np.ndarray, parameter: float, by_held: np.ndarray | None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Residual and Jacobian; slopes by the held torques go into `by_held` where it is given."""
        numbers = state.tolist()
        residual, jacobian = np.zeros(N), np.zeros((N, N + 1))
        flat = jacobian.reshape(-1)
        uses, slopes, by_state = self._uses(numbers)
        for k, (rows, solved, places, follows, follow_rows, held, held_rows) in enumerate(PLACES):
            try:
                out = packed(axle(*self.arguments(numbers, k, uses)))
            except (ZeroDivisionError, OverflowError, ValueError):
                return np.full(N, np.nan), np.full((N, N + 1), np.nan)
            residual[rows] += out[KERNEL_BALANCES]
            entries = out[KERNEL_JACOBIAN]
            if by_held is not None:
                by_held[held_rows, k] = entries[held]
            if k and by_state is not None:
                column = np.zeros(N)
                np.add.at(column, follow_rows, self.numbers.driven[k] * entries[follows])
                jacobian[:, :N] += np.outer(column, by_state)
            factor = self.numbers.driven[k] * slopes[k]
            if factor != 1.0:
                entries[follows] *= factor
            flat[places] += entries[solved]
        pull, slope = self.gravity(parameter)
        residual[_WEIGHT_ROWS] += self._weights * (pull * BODIES)
        flat[_WEIGHT_PLACES] = self._weights * (slope * BODIES)
        return residual, jacobian

    def seen(self, state: np.ndarray, k: int) -> dict:
        """What the wheels and shocks of axle k show: numbers by the names of AXLE_SEEN."""
        numbers = np.asarray(state, dtype=float).tolist()
        return dict(zip(AXLE_SEEN, axle_seen(*self.arguments(numbers, k)), strict=True))

    def depths(self, state: np.ndarray) -> list[float]:
        """Depth of the four tyres, m; negative is clearance."""
        return [depth_of(self.numbers.axles[k], state, k, side, self.blocks[2 * k + side])[0] for k, side in _FOUR]

    def wheel_depth(self, state: np.ndarray | list, wheel: int) -> tuple[float, np.ndarray]:
        """Depth of one tyre (0 to 3), m, and its slope by the unknowns (26)."""
        k, side = divmod(wheel, 2)
        depth, (by_z, by_roll, by_pitch) = depth_of(self.numbers.axles[k], state, k, side, self.blocks[wheel])
        slope = np.zeros(N)
        place = AXLE_POSES[k].start
        slope[place + _HEIGHT], slope[place + _ROLL], slope[place + _PITCH] = by_z, by_roll, by_pitch
        return depth, slope

    def reduced_stiffness(self, state: np.ndarray, jacobian: np.ndarray) -> np.ndarray:
        """Stiffness of the motions that the rods leave free, shape (7, 7), at a standing pose on the level.

        There nothing but springs, tyres and weight acts, so the matrix is symmetric and its eigenvalues tell whether
        the vehicle stands by itself, in roll too.
        """
        links = jacobian[BALANCE_ROWS.stop :, POSE_ROWS]
        free = np.linalg.svd(links)[2][len(links) :]
        work = np.zeros((BALANCE_ROWS.stop, POSE_ROWS.stop))
        work[2, 0], work[4, 1] = 1.0, 1.0
        work[3:6, 2] = rotation_of(("y", state[1]))[:, 0]
        for k in range(len(ENDS)):
            place, row = AXLE_POSES[k].start, AXLE_BALANCES[k].start
            heading, roll = ("z", state[place + 3]), ("x", state[place + 4])
            work[row : row + 3, place : place + 3] = np.eye(3)
            work[row + 5, place + 3] = 1.0
            work[row + 3 : row + 6, place + 4] = rotation_of(heading)[:, 0]
            work[row + 3 : row + 6, place + 5] = rotation_of(heading, roll)[:, 1]
        return -free @ work.T @ jacobian[BALANCE_ROWS, POSE_ROWS] @ free.T

    # the assembly branch -------------------------------------------------------------------

    def coupler(self, k: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Chassis and axle end of the lower links and axle end of the upper ones, each in its body, m.

        Middles of left and right: single rods of a pair pass each other in the side view of a body that has rolled far.
        """
        values, names = self.numbers.axles[k], self.numbers.rods[k]

        def middle(link: str, end: str) -> np.ndarray:
            return np.mean([arm(values, f"rod_{i + 1}", end) for i, name in enumerate(names) if link in name], axis=0)

        return middle("lower", "chassis"), middle("lower", "axle"), middle("upper", "axle")

    @property
    def coupler_ends(self) -> list[list[list[float]]]:
        """`coupler` of both axles as plain numbers, found once for all equilibria of a vehicle."""
        if self._couplers is None:
            self._couplers = [[end.tolist() for end in self.coupler(k)] for k in range(len(ENDS))]
        return self._couplers

    @property
    def branch(self) -> list[float]:
        """Coupler signs of the assembly branch that is remembered; not a number where none is."""
        return [float("nan")] * len(ENDS) if self._branch is None else self._branch

    def coupler_signs(self, state: np.ndarray) -> list:
        """Side-view area of lower link x axle coupler at each end, in the chassis: it tells the assembly branch."""
        numbers = state.tolist() if isinstance(state, np.ndarray) else [float(value) for value in state]
        height, pitch, roll = numbers[CHASSIS_POSE]
        sp, cp, sr, cr = sin(pitch), cos(pitch), sin(roll), cos(roll)
        # The chassis' x and z axes in the frame: its side view.
        ahead, up = (cp, 0.0, -sp), (sp * cr, -sr, cp * cr)
        signs = []
        for k, (a, *ends) in enumerate(self.coupler_ends):
            x, y, z, heading, tilt, turned = numbers[AXLE_POSES[k]]
            sh, ch, sl, cl, st, ct = sin(heading), cos(heading), sin(tilt), cos(tilt), sin(turned), cos(turned)
            seen = []
            for ex, ey, ez in ends:
                place = (
                    x + (ch * ct - sh * sl * st) * ex - sh * cl * ey + (ch * st + sh * sl * ct) * ez,
                    y + (sh * ct + ch * sl * st) * ex + ch * cl * ey + (sh * st - ch * sl * ct) * ez,
                    z - height - cl * st * ex + sl * ey + cl * ct * ez,
                )
                seen.append([sum(i * j for i, j in zip(axis, place, strict=True)) for axis in (ahead, up)])
            (bx, bz), (cx, cz) = seen
            signs.append((bx - a[0]) * (cz - a[2]) - (bz - a[2]) * (cx - a[0]))
        return signs

    def use_branch_of(self, state: np.ndarray) -> SpaceEquilibrium:
        """Remember the assembly branch of a known good pose."""
        self._branch = self.coupler_signs(state)
        return self

    def take_branch_of(self, other: SpaceEquilibrium) -> SpaceEquilibrium:
        """Take over the branch that another equilibrium of the same vehicle remembers."""
        self._branch = other._branch
        return self

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """None, or why this pose is not the vehicle's."""
        rolls = zip(POSE_ROLLS, ("roll", "rear axle's roll", "front axle's roll"), strict=True)
        for angle, name, most in (
            (state[POSE_PITCH], "pitch", LARGEST_PITCH),
            *((state[row], name, LARGEST_ROLL) for row, name in rolls),
        ):
            if abs(angle) > most:
                return f"{name} of {np.degrees(angle):.1f} deg is outside +-{np.degrees(most):.0f} deg"
        if abs(parameter) > LARGEST_GRADE:
            return f"grade {np.degrees(parameter):.1f} deg is outside +-{np.degrees(LARGEST_GRADE):.0f} deg"
        if self._branch is not None:
            for end, now, was in zip(ENDS, self.coupler_signs(state), self._branch, strict=True):
                if now * was <= 0.0:
                    return f"the {end} links and axle are assembled on the other branch (the axle has turned over)"
        return None


_FOUR = tuple((k, side) for k in range(len(ENDS)) for side in range(len(SIDES)))


def arm(values: dict[str, float], part: str, end: str) -> np.ndarray:
    """Place of a rod's end in its body, m."""
    return np.array([values[f"{part}_{end}_{axis}"] for axis in "xyz"])


def shock_ends(values: dict[str, float], side: int) -> list[np.ndarray]:
    """Chassis and axle end of one shock (side 0 left, 1 right) in their bodies, m."""
    ends = []
    for end in ("chassis", "axle"):
        x, y, z = arm(values, "shock", end)
        ends.append(np.array([x, (1.0 - 2.0 * side) * y + values[f"shock_{end}_shift"], z]))
    return ends


def rotation_of(*turns: tuple[str, float]) -> np.ndarray:
    """Rotation matrix of turns about 'x', 'y', 'z' (letter, rad), first to last."""
    whole = np.eye(3)
    for letter, angle in turns:
        one, two = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[letter]
        step = np.eye(3)
        c, s = cos(angle), sin(angle)
        step[one, one] = step[two, two] = c
        step[one, two], step[two, one] = -s, s
        whole = whole @ step
    return whole


def depth_of(
    values: dict[str, float], state: np.ndarray | list[float], k: int, side: int, block: float
) -> tuple[float, tuple[float, float, float]]:
    """Depth of a tyre, m, and its slope by the axle's height, roll and pitch."""
    place = AXLE_POSES[k].start
    height, roll, pitch = float(state[place + _HEIGHT]), float(state[place + _ROLL]), float(state[place + _PITCH])
    across = values["wheel_y"] + (1.0 - 2.0 * side) * values["half_track"]
    up = values["wheel_z"] * cos(pitch) - values["wheel_x"] * sin(pitch)
    turned = -values["wheel_z"] * sin(pitch) - values["wheel_x"] * cos(pitch)
    above = height + across * sin(roll) + up * cos(roll) - block
    by_roll = across * cos(roll) - up * sin(roll)
    upright = cos(roll)
    return values["tyre_radius"] - above / upright, (
        -1.0 / upright,
        -(by_roll + above * sin(roll) / upright) / upright,
        -turned,
    )
