"""The answer about single wheels: one pose or all grades, what plausible mismatches make of it, and the shafts' part.

How geared axles share the traction is not settled by statics: all wheels slip alike at the limit of zero speed, but
gears or radii that make the front wheels roll a little faster or slower change it. So every number about single
wheels stands with the range that it has over plausible mismatches.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import floor
from typing import Any

from noseload.model.errors import ModelError
from noseload.model.vehicle import ENDS, Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.result import Result
from noseload.studies.space.results import WheelLimits, Wheels
from noseload.studies.space.wheels import check_options

from .climbs import RANGED, SpringClimb, wheel_climb
from .plausible import percents_of, plausible_laws
from .sentences import sentence
from .words import lift_range

CLOSE_DEG = 1e-3
"""How far from a lift its two rows stand."""


@dataclass(frozen=True)
class WheelsAnswer(Result):
    """One pose on four wheels with its range, and where the first wheel lifts.

    Attributes
    ----------
    row : Wheels
    limits : WheelLimits
    ranges : dict
        Key of `row` -> (low, high) over plausible mismatches; empty where one was asked for or only one axle is driven.
    first_lift_range_deg : pair of float or None
    mismatches_percent : tuple of float
        What the ranges cover beside the zero-speed law.
    without_shafts : WheelLimits or None
        The same climb with the couples of the shafts left out.
    vehicle : Vehicle
    pose : SpacePose or None
        Where everything is, for pictures.
    """

    picture = "wheels.stance.plot_answer"
    vehicle: Vehicle = field(repr=False)
    row: Wheels
    limits: WheelLimits
    ranges: dict
    first_lift_range_deg: tuple
    mismatches_percent: tuple
    without_shafts: WheelLimits | None
    pose: Any = field(default=None, repr=False, compare=False)

    def to_dict(self) -> dict[str, Any]:
        """The document: keys of the pose, `limits`, ranges and the climb without shafts."""
        without = self.without_shafts
        return {
            **self.row.to_dict(),
            "limits": self.limits.to_dict(),
            "ranges": {key: list(pair) for key, pair in self.ranges.items()},
            "first_wheel_lift_range_deg": list(self.first_lift_range_deg),
            "mismatches_percent": list(self.mismatches_percent),
            "without_shafts": None if without is None else without.to_dict(),
            "says": sentence(self),
            "status": self.row.status,
        }

    @property
    def setup(self) -> str:
        """Set-up of the vehicle."""
        return self.row.setup

    @property
    def heading_deg(self) -> float:
        """Of the pose."""
        return self.row.heading_deg

    def nothing_to_draw(self) -> str:
        """Why there is no picture, '' where there is one."""
        if self.row.front_left_load_n is None:
            return self.row.message or self.row.status
        return "" if self.pose is not None else "a rigid vehicle has no pose to draw"

    def __repr__(self) -> str:
        return f"WheelsAnswer({self.row!r}; {sentence(self)})"


@dataclass(frozen=True)
class WheelSweep(Result):
    """Four wheels over grade: rows, limits, the band of plausible mismatches (percent -> rows)."""

    picture = "wheels.grades.plot_four_loads"
    vehicle: Vehicle = field(repr=False)
    rows: tuple
    limits: WheelLimits
    band: dict = field(repr=False)
    first_lift_range_deg: tuple
    mismatches_percent: tuple
    without_shafts: WheelLimits | None
    heading_deg: float = 0.0

    @property
    def setup(self) -> str:
        """Set-up of the vehicle."""
        return self.vehicle.setup

    def to_dict(self) -> dict[str, Any]:
        """The document."""
        without = self.without_shafts
        return {
            "setup": self.setup,
            "heading_deg": self.heading_deg,
            "rows": [row.to_dict() for row in self.rows],
            "limits": self.limits.to_dict(),
            "first_wheel_lift_range_deg": list(self.first_lift_range_deg),
            "mismatches_percent": list(self.mismatches_percent),
            "band": [
                {
                    "mismatch_percent": percent,
                    "rows": [{key: getattr(row, key) for key in ("grade_deg", *RANGED)} for row in rows],
                }
                for percent, rows in self.band.items()
            ],
            "without_shafts": None if without is None else without.to_dict(),
            "says": sentence(self),
            "status": "ok" if self.rows and self.rows[0].front_left_load_n is not None else "no_solution",
        }

    def plot_twist(self, ax: Any = None) -> Any:
        """Draw where the twist of the front axle comes from; returns the axes."""
        from noseload.studies.result import draw

        return draw("wheels.grades.plot_twist", self, ax)

    def __repr__(self) -> str:
        return f"WheelSweep({self.setup}: {len(self.rows)} grades; {sentence(self)})"


@dataclass(frozen=True)
class Headings(Result):
    """First lift, its range over plausible mismatches, and going over, deg, for headings all round; None where a grade is not reached."""

    picture = "wheels.grades.plot_headings_alone"
    setup: str
    headings_deg: tuple
    first_lift_grade_deg: tuple
    first_wheel: tuple
    over_grade_deg: tuple
    first_lift_range_deg: tuple
    mismatches_percent: tuple = ()

    def to_dict(self) -> dict[str, Any]:
        """The document: one row a heading."""
        names = (
            "heading_deg",
            "first_wheel_lift_grade_deg",
            "first_wheel",
            "over_grade_deg",
            "first_wheel_lift_range_deg",
        )
        ranges = map(list, self.first_lift_range_deg)
        columns = (self.headings_deg, self.first_lift_grade_deg, self.first_wheel, self.over_grade_deg, ranges)
        rows = [dict(zip(names, values, strict=True)) for values in zip(*columns, strict=True)]
        return {"setup": self.setup, "rows": rows, "mismatches_percent": list(self.mismatches_percent), "status": "ok"}

    def __repr__(self) -> str:
        lifts = [grade for grade in self.first_lift_grade_deg if grade is not None]
        said = f"first lift {min(lifts):.1f} to {max(lifts):.1f} deg" if lifts else "no wheel lifts"
        return f"Headings({self.setup}: {len(self.headings_deg)} headings, {said})"


def wheels_answer(
    vehicle: Vehicle,
    *,
    grade_deg: float,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    shafts: bool = True,
    blocks: Mapping[str, float] | None = None,
) -> WheelsAnswer:
    """Four wheels at one grade and heading, with ranges and limits.

    Parameters
    ----------
    vehicle : Vehicle
    grade_deg : float
    heading_deg : float
        Nose turned left of the line of steepest ascent.
    mismatch : float, optional
        Percent; None: all driven wheels slip alike, and ranges over plausible mismatches are given.
    shafts : bool
        False leaves the couples of the shafts out.
    blocks : mapping of str to float, optional
        Height of a block under a wheel, mm.

    Raises
    ------
    MissingDataError, ModelError
        What the file lacks, or an option no vehicle has.
    SolverError
        No standing pose.
    """
    climb, others, without = _climbs(vehicle, heading_deg, mismatch, shafts, blocks)
    row = climb.row(grade_deg)
    rows = [climb.values_of(other, row) for other in others.values()]
    return WheelsAnswer(
        vehicle,
        row,
        climb.limits,
        {key: pair for key in RANGED if (pair := _range(key, row, rows)) is not None},
        _lift_range(climb, others),
        tuple(others),
        without,
        None if row.front_left_load_n is None else climb.pose(row),
    )


def sweep_wheels(
    vehicle: Vehicle,
    *,
    from_deg: float = 0.0,
    to_deg: float | None = None,
    step_deg: float = 1.0,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    shafts: bool = True,
    blocks: Mapping[str, float] | None = None,
    lifts: bool = False,
) -> WheelSweep:
    """Four wheels over grade, to where the vehicle goes over by default; parameters as `wheels_answer`.

    With `lifts` there are rows close to both sides of the first lift too, where loads may jump.
    """
    climb, others, without = _climbs(vehicle, heading_deg, mismatch, shafts, blocks)
    limits = climb.limits
    end = _end(limits) if to_deg is None else to_deg
    grades = _grades(from_deg, end, step_deg)
    first = limits.first_wheel_lift_grade_deg
    if lifts and first is not None:
        beside = (first - CLOSE_DEG, first + CLOSE_DEG)
        grades = sorted([*grades, *(grade for grade in beside if grades[0] < grade < end)])
    return WheelSweep(
        vehicle,
        tuple(climb.row(grade) for grade in grades),
        limits,
        {percent: tuple(other.row(grade) for grade in grades) for percent, other in others.items()},
        _lift_range(climb, others),
        tuple(others),
        without,
        float(heading_deg),
    )


def all_headings(
    vehicle: Vehicle, *, step_deg: float = 5.0, mismatch: float | None = None, shafts: bool = True
) -> Headings:
    """Grade of the first lift, its range over plausible mismatches, and of going over for headings all round."""
    if not 1.0 <= step_deg <= 90.0:
        raise ModelError(f"step {step_deg:g} deg: headings all round need a step from 1 to 90 deg, such as 5")
    check_options(vehicle, mismatch, None)
    headings = [k * step_deg for k in range(int(360.0 / step_deg - 1e-9) + 1)]
    standing: Any = None
    laws = plausible_laws(vehicle) if mismatch is None else ()
    found: list[tuple[Any, Any, float | None, tuple]] = []
    for heading in headings:
        climb = wheel_climb(vehicle, heading_deg=heading, mismatch=mismatch, shafts=shafts, standing=standing)
        standing = getattr(climb, "standing", None)
        try:
            limits = climb.ends
            others = (climb.lift_of(climb.under(law)) for law in laws)
            between = lift_range((limits.first_wheel_lift_grade_deg, *others))
        except SolverError:
            found.append((None, None, None, (None, None)))
            continue
        found.append((limits.first_wheel_lift_grade_deg, limits.first_wheel, over_grade(limits), between))
    lifts, wheel, over, ranges = zip(*found, strict=True)
    percents = tuple(percent for percent in percents_of(laws) if percent is not None)
    return Headings(vehicle.setup, tuple(headings), lifts, wheel, over, ranges, percents)


def _climbs(vehicle: Vehicle, heading_deg: float, mismatch: float | None, shafts: bool, blocks: Any) -> tuple:
    """The climb asked for, those of plausible mismatches by percent, and the limits of the one without shafts."""
    check_options(vehicle, mismatch, blocks)
    metres = {wheel: 1e-3 * height for wheel, height in (blocks or {}).items() if height}
    climb = wheel_climb(vehicle, heading_deg=heading_deg, mismatch=mismatch, shafts=shafts, blocks=metres)
    if vehicle.level == "A":
        return climb, {}, None
    others = {law.percent: climb.under(law) for law in (plausible_laws(vehicle) if mismatch is None else ())}
    if not shafts or all(getattr(vehicle, end).axle_ratio is None for end in ENDS):
        return climb, others, None
    return climb, others, _without_shafts(vehicle, climb, heading_deg, mismatch, metres)


def _without_shafts(
    vehicle: Vehicle, climb: SpringClimb, heading_deg: float, mismatch: float | None, metres: dict
) -> WheelLimits:
    """Limits of a climb without the couples of the shafts."""
    flat = climb.standing.side_view
    if not heading_deg and mismatch is None and not metres:
        from noseload.studies.climb.creep import Climb

        from .upright import stays_upright, upright_limits

        if stays_upright(vehicle, flat):
            return upright_limits(Climb(vehicle, standing=flat))
    from noseload.studies.space.climb import stand_in_space

    standing = stand_in_space(vehicle, shafts=False, standing=flat)
    return wheel_climb(
        vehicle, heading_deg=heading_deg, mismatch=mismatch, shafts=False, blocks=metres, standing=standing
    ).limits


def _range(key: str, row: Wheels, others: list) -> tuple[float, float] | None:
    values = [value for value in (getattr(row, key), *(other[key] for other in others)) if value is not None]
    return (min(values), max(values)) if others and values else None


def _lift_range(climb: SpringClimb, others: dict[float, SpringClimb]) -> tuple[float, float]:
    return lift_range((climb.limits.first_wheel_lift_grade_deg, *(climb.lift_of(other) for other in others.values())))


def over_grade(limits: WheelLimits) -> float | None:
    """Grade at which the vehicle goes over, deg: an axle or a side carries nothing, or a snap takes it there."""
    ends = [g for g in (limits.tip_over_grade_deg, limits.over_sideways_grade_deg) if g is not None]
    if not ends:
        return None
    # A curve that folded back meets the end at a lower grade than the snap: the vehicle falls there from the snap.
    return max(min(ends), limits.fold_grade_deg or 0.0)


def _end(limits: WheelLimits) -> float:
    over = over_grade(limits)
    return limits.steepest_deg if over is None else over


def _grades(from_deg: float, end: float, step_deg: float) -> list[float]:
    if not step_deg > 0.0:
        raise ModelError(f"step {step_deg:g} deg: a sweep needs a step above 0 deg, such as 1")
    count = floor((end - from_deg) / step_deg * (1 + 1e-12) + 1e-9)
    if count < 0:
        raise ModelError(f"a sweep from {from_deg:g} to {end:g} deg runs backwards; swap --from and --to")
    if count > 2_000:
        raise ModelError(f"a sweep of {count} rows is too long; use a step of {(end - from_deg) / 500:.2g} deg or more")
    return [from_deg + k * step_deg for k in range(count + 1)]
