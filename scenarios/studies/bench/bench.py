"""The held-wheel bench: rear wheels held on the level, motor torque raised until the front axle is free."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from math import floor
from typing import Any

from noseload.model.errors import ModelError
from noseload.model.names import row_name
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.split import plausible_splits, with_overdrive
from noseload.studies.result import Result
from noseload.studies.thresholds import Thresholds

from .path import BenchRow, bench_path


@dataclass(frozen=True)
class OverGears:
    """What a front that turns plausibly slower or faster than its gears say makes of a bench; the torque at lift it leaves alone.

    Attributes
    ----------
    front_load_n : tuple of (pair of float or None)
        Least and largest front load of each row, N; None where a row has none.
    scale_error_n_mm : pair of float
        Least and largest of the largest error of the torque read off the front scale.
    """

    front_load_n: tuple[tuple[float, float] | None, ...]
    scale_error_n_mm: tuple[float, float]


@dataclass(frozen=True)
class Bench(Result):
    """One setup on the bench.

    Attributes
    ----------
    rows : tuple of BenchRow
        From no torque to lift, which is the last row.
    lift : BenchRow or None
    weight_times_distance_n_mm : float or None
        W b in the pose at lift: what the torque there must be.
    reached : bool or None
        Whether the motor's stall torque is enough; `throttle_at_lift` is the share of it.
    scale_error_n_mm, scale_error_at_n_mm : float
        Largest error of the torque read off the front scale (`torque_from_scale_n_mm`), and the torque it occurs at.
    over_gears : OverGears or None
        What is open where the front is geared in (`with_gears_open`).
    """

    picture = "climb.bench.plot_bench"

    setup: str
    front: str
    rows: tuple
    lift: BenchRow | None
    weight_times_distance_n_mm: float | None
    fold_torque_n_mm: float | None
    stall_torque_n_mm: float
    reached: bool | None
    throttle_at_lift: float | None
    scale_error_n_mm: float
    scale_error_at_n_mm: float
    turns: tuple
    path: Any = field(repr=False, compare=False)
    status: str = "ok"
    message: str = ""
    over_gears: OverGears | None = None

    def row_documents(self) -> list[dict[str, Any]]:
        """Its rows for documents and tables."""
        open_loads = (None,) * len(self.rows) if self.over_gears is None else self.over_gears.front_load_n
        return [
            row.to_dict() | {"front_load_range_n": None if ends is None else list(ends)}
            for row, ends in zip(self.rows, open_loads, strict=True)
        ]

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "setup": self.setup,
            "front": self.front,
            "rows": self.row_documents(),
            "torque_at_lift_n_mm": None if self.lift is None else self.lift.torque_n_mm,
            "weight_times_distance_n_mm": self.weight_times_distance_n_mm,
            "fold_torque_n_mm": self.fold_torque_n_mm,
            "stall_torque_n_mm": self.stall_torque_n_mm,
            "motor_reaches_lift": self.reached,
            "throttle_at_lift": self.throttle_at_lift,
            "scale_error_n_mm": self.scale_error_n_mm,
            "scale_error_at_n_mm": self.scale_error_at_n_mm,
            "scale_error_range_n_mm": None if self.over_gears is None else list(self.over_gears.scale_error_n_mm),
            "turns": [dict(zip(("key", "torque_n_mm", "value"), turn, strict=True)) for turn in self.turns],
            "status": self.status,
            **({"message": self.message} if self.message else {}),
        }

    def __repr__(self) -> str:
        lift = "none found" if self.lift is None else f"{self.lift.torque_n_mm:.0f} N mm"
        return f"Bench({self.setup}, front {self.front}: {len(self.rows)} rows, front free at {lift})"


@dataclass(frozen=True)
class BenchDifference:
    """What a setup changes on the bench against the first: its number less that of the first."""

    setup: str
    torque_at_lift_n_mm: float | None
    rise_at_lift_deg: float | None
    """Of the nose, from standing to lift."""
    verdict: str

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class BenchComparison(Result):
    """Setups on the bench; the first is what the others are compared with."""

    picture = "climb.bench.plot_bench_comparison"

    members: tuple
    differences: tuple
    thresholds: Thresholds

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "setups": [m.to_dict() for m in self.members],
            "differences": [d.to_dict() for d in self.differences],
            "thresholds": self.thresholds.to_dict(),
            "status": next((m.status for m in self.members if m.status != "ok"), "ok"),
        }


def bench(vehicle: Vehicle, *, front: str = "free", play_mm: float = 0.0, step_n_mm: float = 500.0) -> Bench:
    """One vehicle on the held-wheel bench, torque raised until the front axle is free.

    Parameters
    ----------
    vehicle : Vehicle
    front : str
        'free': shaft out or wheels on rollers; 'geared': on the floor, geared to the same motor.
    play_mm : float
        With 'geared': way of a front tread, rear wheels held, before the gears take hold.
    step_n_mm : float
        Step of the rows.

    Returns
    -------
    Bench

    Raises
    ------
    ModelError
        The drive does not suit, or a step that is not positive or gives more than 10,000 rows.
    SolverError
        The vehicle has no standing pose.
    """
    path: Any = bench_path(vehicle, front=front, play_mm=play_mm)
    lift, stall = path.lift, 1e3 * vehicle.drive.stall_torque
    fold = None if path.fold is None else 1e3 * path.unit * path.fold[1]
    end = lift.torque_n_mm if lift is not None and fold is None else 1e3 * path.unit * path.furthest
    rows = [path.row(torque) for torque in _torques(end, step_n_mm)]
    if lift is not None and fold is None:
        rows.append(lift)
    worst = _worst_by_scale(rows)
    status, message = ("ok", "") if lift is not None else ("no_solution", path.message)
    failed = next((row for row in rows if row.status == "no_solution"), None)
    if failed is not None:
        status, message = "no_solution", f"stopped at {failed.torque_n_mm:.0f} N mm: {failed.message}"
    return Bench(
        vehicle.setup,
        front,
        tuple(rows),
        lift,
        None if lift is None else vehicle.mass * STANDARD_GRAVITY * lift.centre_of_gravity_mm,
        fold,
        stall,
        None if lift is None else bool(stall >= lift.torque_n_mm),
        None if lift is None else lift.torque_n_mm / stall,
        worst.torque_from_scale_n_mm - worst.torque_n_mm,
        worst.torque_n_mm,
        path.turns,
        path,
        status,
        message,
    )


def _worst_by_scale(rows: Sequence[BenchRow]) -> Any:
    """The row whose torque the front scale tells worst."""
    good: list[Any] = [row for row in rows if row.front_load_n is not None]
    return max(good, key=lambda row: abs(row.torque_from_scale_n_mm - row.torque_n_mm))


def with_gears_open(found: Bench, vehicle: Vehicle, *, play_mm: float = 0.0) -> Bench:
    """A bench with the range of its rows over plausible mismatches of the axles' speeds; itself where the front is not geared in.

    No wheel rolls there, so that a tyre's rolling radius has no part; a front that turns more or less under the same housing does.

    Parameters
    ----------
    found : Bench
    vehicle : Vehicle
        That it is of.
    play_mm : float
        As it was given.
    """
    if found.front != "geared" or not plausible_splits(vehicle):
        return found
    torques, benches = [row.torque_n_mm for row in found.rows], [list(found.rows)]
    for ratio in sorted({1.0 + split.mismatch for split in plausible_splits(vehicle)}):
        with suppress(SolverError):
            path: Any = bench_path(with_overdrive(vehicle, ratio), front=found.front, play_mm=play_mm)
            # The front lifts at the same torque, but for rounding.
            last = path.lift if found.rows[-1] is found.lift else None
            benches.append([path.row(torque) for torque in torques[:-1]] + [last or path.row(torques[-1])])
    if len(benches) < 2:
        return found
    columns = [
        [row.front_load_n for row in column if row.front_load_n is not None] for column in zip(*benches, strict=True)
    ]
    errors = [worst.torque_from_scale_n_mm - worst.torque_n_mm for worst in map(_worst_by_scale, benches)]
    loads = tuple((min(column), max(column)) if len(column) > 1 else None for column in columns)
    return replace(found, over_gears=OverGears(loads, (min(errors), max(errors))))


def _torques(end: float, step: float) -> list:
    if not step > 0.0:
        raise ModelError(f"step {step:g} N mm: the torque needs a step above 0 N mm, such as 500")
    count = floor(end / step * (1.0 - 1e-9))
    if count > 10_000:
        raise ModelError(f"{count} rows are too many; use a step of {end / 1000:.0f} N mm or more")
    return [k * step for k in range(count + 1)]


def compare_bench(
    vehicles: Sequence[Vehicle],
    *,
    front: str = "free",
    play_mm: float = 0.0,
    step_n_mm: float = 500.0,
    thresholds: Thresholds | None = None,
) -> BenchComparison:
    """Setups on the bench, held against the first.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    front, play_mm, step_n_mm
        As `bench`.
    thresholds : Thresholds, optional

    Returns
    -------
    BenchComparison
    """
    thresholds = thresholds or Thresholds()
    members = tuple(bench(v, front=front, play_mm=play_mm, step_n_mm=step_n_mm) for v in vehicles)
    return BenchComparison(members, tuple(_difference(members[0], m, thresholds) for m in members[1:]), thresholds)


def _difference(first: Any, other: Any, thresholds: Thresholds) -> BenchDifference:
    if None in (first.lift, other.lift):
        failed = first if first.lift is None else other
        return BenchDifference(
            other.setup, None, None, f"No torque at lift for {row_name(failed.setup)}: {failed.message}."
        )
    torque = other.lift.torque_n_mm - first.lift.torque_n_mm
    rises: list[Any] = [_rise(member) for member in (first, other)]
    pitch = None if None in rises else rises[1] - rises[0]
    level = first.rows[0]
    as_load = torque / level.wheelbase_mm
    size = thresholds.load(as_load, level.front_load_n).size_words()
    verdict = (
        f"Calculated for this vehicle as measured, level floor, rear wheels held: {row_name(other.setup)} changes the torque at lift by "
        f"{torque:+.0f} N mm ({100 * torque / first.lift.torque_n_mm:+.1f} %), {1e3 * as_load / STANDARD_GRAVITY:+.1f} g at "
        f"the front scale; {size}."
    )
    if pitch is not None:
        words = thresholds.angle(pitch).size_words()
        verdict += f" The nose rises {rises[1]:.1f} deg until then against {rises[0]:.1f} ({pitch:+.1f} deg); {words}."
    return BenchDifference(other.setup, torque, pitch, verdict)


def _rise(member: Any) -> float | None:
    """How far the nose rises until lift, deg."""
    if member.lift.nose_up_pitch_deg is None:
        return None
    return member.lift.nose_up_pitch_deg - member.rows[0].nose_up_pitch_deg
