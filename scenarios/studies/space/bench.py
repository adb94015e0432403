"""`bench_wheels`: on the held-wheel bench, four scales, and the torque at which each front wheel leaves its own."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import floor
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.names import row_name
from noseload.model.parameters import ENDS, check_links
from noseload.model.space.held_wheels import HeldWheelsInSpace
from noseload.model.space.mirrored import Mirrored, is_mirrored
from noseload.model.space.parameters import WHEELS
from noseload.model.vehicle import Vehicle
from noseload.solvers.continuation import solve_on, trace
from noseload.solvers.newton import solve
from noseload.studies.climb.followed import SEEN_SNAP_DEG
from noseload.studies.result import Result, field_values

from .climb import SpaceStanding, stand_in_space
from .lifts import WheelLifts, first_of
from .rows import pose_angles

if TYPE_CHECKING:
    import numpy as np

    from noseload.solvers.continuation import Curve, CurvePoint


LARGEST = 2.0
"""Torque over weight times wheelbase at which the bench is given up."""
MOST_ROWS = 10_000
CARRIES = 1e-9
"""Share of the weight below which a wheel counts as lifted."""
_SHORT = 1e-6
"""Share of the torque of a snap or of the axle's lift by which their rows stay below it."""


@dataclass(frozen=True)
class BenchWheels(Result):
    """Four scales on the bench.

    Attributes
    ----------
    setup : str
    first_wheel : str or None
        Front wheel that leaves its scale first; 'front_both' where both leave it at once.
    first_wheel_torque_n_mm, axle_free_torque_n_mm : float or None
        Torque at the wheels at which it does, and at which the last front wheel does along the curve of poses.
    snaps : tuple of dict
        Where the curve of poses turns back as the torque rises: `torque_n_mm`, and roll and pitch before and after it.
    stall_torque_n_mm : float
        What the motor has.
    rows : tuple of dict
        Torque, four loads, roll, pitch and status as the torque rises: 'ok', 'wheel_up', or 'after_snap'.
    status : str
        'ok', or 'no_solution'.
    """

    picture = "wheels.bench.plot_bench_wheels"
    setup: str
    first_wheel: str | None
    first_wheel_torque_n_mm: float | None
    axle_free_torque_n_mm: float | None
    snaps: tuple
    stall_torque_n_mm: float
    rows: tuple = field(repr=False)
    status: str = "ok"
    message: str = ""

    @property
    def snap_torque_n_mm(self) -> float | None:
        """Torque at which it first snaps to another pose."""
        return self.snaps[0]["torque_n_mm"] if self.snaps else None

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers under the keys of the JSON document."""
        values = field_values(self, "rows", "snaps", "message", "status")
        values |= {"snaps": [dict(snap) for snap in self.snaps], "rows": [dict(row) for row in self.rows]}
        values["status"] = self.status
        return values | ({"message": self.message} if self.message else {})

    def __repr__(self) -> str:
        free = self.axle_free_torque_n_mm
        words = "none found" if free is None else f"{free:.0f} N mm"
        first = (
            ""
            if self.first_wheel_torque_n_mm is None
            else f"{self.first_wheel} at {self.first_wheel_torque_n_mm:.0f}, "
        )
        return f"BenchWheels({self.setup}: {len(self.rows)} rows, {first}front axle free at {words})"


def bench_wheels(
    vehicle: Vehicle, *, shafts: bool = True, step_n_mm: float = 500.0, standing: SpaceStanding | None = None
) -> BenchWheels:
    """Follow the bench from no torque to where no front wheel is on its scale; front wheels free to roll.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks, and track widths.
    shafts : bool
        False leaves the couples of the shafts out.
    step_n_mm : float
        Step of the rows.
    standing : SpaceStanding, optional
        Of the same vehicle and shafts.

    Returns
    -------
    BenchWheels

    Raises
    ------
    MissingDataError, ModelError, SolverError
        As `noseload.studies.space.climb.stand_in_space`; or a step that is not positive or gives more than 10,000 rows.
    """
    if not step_n_mm > 0.0:
        raise ModelError(f"step {step_n_mm:g} N mm: the torque needs a step above 0 N mm, such as 500")
    check_links(vehicle)
    standing = standing or stand_in_space(vehicle, shafts=shafts)
    bench = HeldWheelsInSpace(standing.equilibrium)
    solved = Mirrored(bench) if is_mirrored(bench.inner) else bench
    lifts = WheelLifts(solved)
    level = solve(solved, solved.own(standing.solution.state), 0.0).raise_for_status()

    def is_over(point: CurvePoint) -> Any:
        return lifts.is_last(lifts.depths(point)) or abs(point.parameter) > LARGEST

    curve = trace(solved, level, +1.0, is_over, kinks=lifts.kinks)
    events, last = lifts.on(curve), lifts.last(curve)
    first = first_of(events, last)
    unit = 1e3 * bench.torque_unit
    parts = _rising(curve, lifts, curve.points[-1].parameter if last is None else last[0])
    free = last is not None and ENDS[last[1]] == "front"
    return BenchWheels(
        setup=vehicle.setup,
        first_wheel=None if first is None else first[1],
        first_wheel_torque_n_mm=None if first is None else unit * first[0],
        axle_free_torque_n_mm=unit * last[0] if last is not None and free else None,
        snaps=tuple(_snap(bench, before, after) for before, after in pairwise(parts)),
        stall_torque_n_mm=1e3 * vehicle.drive.stall_torque,
        rows=_rows(bench, parts, step_n_mm / unit),
        status="ok" if free else "no_solution",
        message="" if free else f"the bench could not be followed to a free front axle: {curve.message}",
    )


@dataclass(frozen=True)
class _Part:
    """A part of the curve on which the torque rises, up to `end` (parameter)."""

    curve: Any
    end: float

    def pose(self, parameter: float) -> np.ndarray | None:
        """Unknowns of `HeldWheelsInSpace` at a parameter of this part, or None."""
        found, solved = solve_on(self.curve, float(parameter)), self.curve.equilibrium
        if found is None:
            # Between the last point and the end.
            found = solve(solved, self.curve.points[-1].state, float(parameter))
        return solved.whole(found.state) if found.success else None


def _rising(curve: Curve, lifts: WheelLifts, end: float) -> list[_Part]:
    """Parts of the curve that a torque which only rises goes through: after a fold, the next stable pose at its torque."""
    parts, stable, start, points = [], curve.points[0].orientation, 0, curve.points
    for k in curve.folds():
        if k < start or points[k].tangent[-1] < 0.0:
            continue
        turn = _turn(curve, lifts, k)
        parts.append(_Part(replace(curve, points=points[start : k + 1]), turn))
        after = (
            j
            for j in range(k + 1, len(points) - 1)
            if points[j].parameter <= turn <= points[j + 1].parameter
            and points[j].orientation == points[j + 1].orientation == stable
        )
        start = next(after, len(points))
        if start == len(points):
            return parts
    return [*parts, _Part(replace(curve, points=points[start:]), end)]


def _turn(curve: Curve, lifts: WheelLifts, k: int) -> float:
    """Largest parameter of a fold: that of the lift which makes it, where one does."""
    ends = [point.parameter for point in curve.points[k : k + 2]]
    made = [parameter for j, parameter, _ in lifts.on(curve) if j == k and parameter >= max(ends)]
    if made:
        return made[0]
    point = curve.find(lambda p: p.tangent[-1], first=k, last=k + 1)
    return max(*ends, ends[0] if point is None else point.parameter)


def _snap(bench: HeldWheelsInSpace, before: _Part, after: _Part) -> dict[str, float | None]:
    """The pose before a snap and the one after it."""
    found: dict[str, float | None] = {"torque_n_mm": 1e3 * bench.torque_unit * before.end}
    short = before.end * (1.0 - _SHORT)
    for when, landed in (("before", before.pose(short)), ("after", after.pose(before.end))):
        angles = {} if landed is None else pose_angles(landed)
        for key in ("chassis_roll", "nose_up_pitch"):
            found[f"{key}_{when}_deg"] = angles.get(f"{key}_deg")
    return found


def _rows(bench: HeldWheelsInSpace, parts: list[_Part], step: float) -> tuple[dict[str, float | str], ...]:
    end = parts[-1].end
    count = floor(end / step * (1.0 - _SHORT))
    if count > MOST_ROWS:
        unit = 1e3 * bench.torque_unit
        raise ModelError(f"a bench of {count} rows is too long; use a step of {unit * end / 500:.0f} N mm or more")
    rows = []
    for torque in [*(k * step for k in range(count + 1)), end * (1.0 - _SHORT)]:
        k = next((k for k, part in enumerate(parts) if torque <= part.end), len(parts) - 1)
        pose = parts[k].pose(torque)
        if pose is not None:
            rows.append(_row(bench, pose, torque, k))
    return tuple(rows)


def _row(bench: HeldWheelsInSpace, state: np.ndarray, parameter: float, snaps: int) -> dict:
    loads = bench.loads(state, parameter)
    angles = pose_angles(state)
    raised = min(loads) <= CARRIES * bench.weight
    return {
        "torque_n_mm": 1e3 * bench.torque_unit * float(parameter),
        **{f"{wheel}_load_n": float(load) for wheel, load in zip(WHEELS, loads, strict=True)},
        **{key: angles[key] for key in ("chassis_roll_deg", "nose_up_pitch_deg", "front_axle_roll_deg")},
        "status": "after_snap" if snaps else "wheel_up" if raised else "ok",
    }


def bench_sentence(found: BenchWheels) -> str:
    """Which front wheel leaves its scale first, at which torque, and when the other one does."""
    from noseload.studies.wheels.words import side_word, wheel_words

    if found.axle_free_torque_n_mm is None:
        return f"{row_name(found.setup)}: {found.message}."
    first, free = found.first_wheel_torque_n_mm, found.axle_free_torque_n_mm
    if found.first_wheel is None or found.first_wheel.endswith("_both"):
        return f"Both front wheels leave their scales at {free:.0f} N mm."
    who = wheel_words(found.first_wheel)
    said = f"{who[0].upper()}{who[1:]} leaves its scale at {first:.0f} N mm, the other one at {free:.0f} N mm"
    for snap in found.snaps:
        before, after = snap["chassis_roll_before_deg"], snap["chassis_roll_after_deg"]
        if after is not None and abs(after - before) < SEEN_SNAP_DEG:
            # A coil that goes loose a hair before its droop stop.
            continue
        where = "" if after is None else f" from {side_word(before)} to {side_word(after)}"
        said += f"; at {snap['torque_n_mm']:.0f} N mm it snaps{where}"
    return f"{said}."
