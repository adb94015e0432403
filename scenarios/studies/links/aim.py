"""Where to put a link end for a target: solved along one coordinate, or every mounting hole tried.

Every position is calculated as a setup of the vehicle and all its outcomes are shown, so that what the target costs
elsewhere is seen; a target that cannot be met is said so, with the nearest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise, product
from math import degrees, isfinite
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.solvers.roots import bracketed_root
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import difference_range
from noseload.studies.punch.many import BATCH_FROM, punch_many
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import Moving
from noseload.studies.result import Result
from noseload.studies.verdict.intervals import from_to

from .aim_targets import KINDS, Outcome, Target, offset
from .candidates import CANDIDATE, POINTS, point_of, with_lines
from .links import links

if TYPE_CHECKING:
    from noseload.studies.climb.standing import Standing

MOST_POSITIONS = 2000
"""Combinations of mounting holes that are tried at most."""
ROOT = 1e-6
"""Width of the last bracket of a solved coordinate relative to the scan's step."""
MOST_KEPT = 200
"""Places whose crawls are kept: a solution, its neighbours and the present one are asked for again."""
SAME = 1e-6
"""Ends of a range, in the unit of a target, that lie nearer to each other are rounding."""


@dataclass(frozen=True)
class Aim(Result):
    """Positions tried for a target.

    Attributes
    ----------
    setup : str
    target : Target
    grade_deg : float
    present : Outcome
        The vehicle as it is.
    rows : tuple of Outcome
        Every position tried, in order.
    solutions : tuple of Outcome
        Positions that meet the target; empty where none does.
    nearest : Outcome or None
        Position that comes nearest.
    front_load_change_range_n : tuple of float or None
        Ends of what the nearest position changes over plausible divisions of the pull between geared axles, each taken for
        both; None where nothing is open.
    target_range : tuple of float or None
        Ends, in its unit, of what the nearest position gives of the target over those divisions; None where they leave it alone.
    sentences : tuple of str
    """

    picture = "links.aim.plot_target"
    setup: str
    target: Target
    grade_deg: float
    present: Outcome
    rows: tuple
    solutions: tuple
    nearest: Outcome | None
    front_load_change_range_n: tuple[float, float] | None = None
    target_range: tuple[float, float] | None = None
    sentences: tuple = field(default=())

    @property
    def met(self) -> bool:
        """True where a position meets the target."""
        return bool(self.solutions)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "setup": self.setup,
            "target": self.target.kind,
            "target_value": self.target.value,
            "target_unit": KINDS[self.target.kind].unit,
            "grade_deg": self.grade_deg,
            "met": self.met,
            "present": self.present.to_dict(),
            "rows": [row.to_dict() for row in self.rows],
            "solutions": [row.to_dict() for row in self.solutions],
            "nearest": None if self.nearest is None else self.nearest.to_dict(),
            "front_load_change_range_n": self.front_load_change_range_n and list(self.front_load_change_range_n),
            "target_range": self.target_range and list(self.target_range),
            "sentences": list(self.sentences),
            "status": "ok",
        }


class _Trial:
    """Calculates outcomes of one vehicle with link ends moved."""

    def __init__(
        self,
        vehicle: Vehicle,
        kind: str,
        grade_deg: float,
        link_lengths: str | None,
        ride_height: str | None,
        throttle: float,
    ) -> None:
        self.vehicle, self.kind, self.grade_deg = vehicle, kind, grade_deg
        self.words: dict[str, Any] = {"link_lengths": link_lengths, "ride_height": ride_height}
        self.throttle = throttle
        self._known: dict[tuple, tuple[Outcome, Any]] = {}

    def at(self, points: dict[str, tuple[float, float]]) -> Outcome:
        """Outcome with link ends at `points` (file key -> (x, z) in mm)."""
        outcome, climb = self._creep(points)
        if climb is None or self.kind != "least_squat":
            return outcome
        return replace(outcome, punch_squat_mm=self._squat(climb.vehicle, climb.standing))

    def _squat(self, vehicle: Vehicle, standing: Standing | None = None) -> float | None:
        """Largest shortening of the rear shock in a punch, mm; None where it cannot start."""
        run = punch(vehicle, grade_deg=self.grade_deg, throttle=self.throttle, standing=standing, outcome=False)
        if not run.success:
            return None
        travel = run.traces["rear_shock_travel_mm"]
        return float(travel[0] - travel.min())

    def ranges(self, nearest: Outcome | None) -> tuple[tuple[float, float] | None, tuple[float, float] | None]:
        """Over plausible divisions of the pull: ends of what a position changes in front load, N, and of the target there, in its unit."""
        if nearest is None or self.grade_deg == 0.0:
            return None, None
        here, there = (self._creep(points)[1] for points in ({}, nearest.points_mm))
        change = None if here is None or there is None else difference_range(here, there, self.grade_deg)
        return change, None if there is None else self._target_range(nearest, there)

    def _target_range(self, nearest: Outcome, climb: Climb) -> tuple[float, float] | None:
        name = KINDS[self.kind].outcome
        if self.kind == "least_squat":
            values = [self._squat(vehicle) for vehicle in Moving(climb.vehicle).at(self.grade_deg)]
        else:
            tips = name == "tip_over_grade_deg"
            laws = [self._outcome(law, climb.vehicle, nearest.points_mm, tips=tips) for law in climb.under_laws]
            values = [getattr(outcome, name) for outcome in laws]
        known = [value for value in (getattr(nearest, name), *values) if value is not None]
        ends = min(known, default=0.0), max(known, default=0.0)
        return ends if ends[1] - ends[0] > SAME else None

    def all_at(self, places: list[dict[str, tuple[float, float]]]) -> list[Outcome]:
        """Outcomes of many places; their punches in one batch where that is faster."""
        if self.kind != "least_squat" or len(places) < BATCH_FROM:
            return [self.at(points) for points in places]
        found = [self._creep(points) for points in places]
        able = [k for k, (_, climb) in enumerate(found) if climb is not None]
        rows = [outcome for outcome, _ in found]
        if able:
            run = punch_many([found[k][1].vehicle for k in able], grade_deg=self.grade_deg, throttle=self.throttle)
            for k, squat in zip(able, run.rear_shock_shortening_mm.tolist(), strict=True):
                if isfinite(squat):
                    rows[k] = replace(rows[k], punch_squat_mm=squat)
        return rows

    def _creep(self, points: dict) -> tuple[Outcome, Any]:
        """Outcome in a crawl, and the climb it was read off, None where there is none; the last places are kept."""
        lines = {key: [float(v) for v in point] for key, point in points.items()}
        place = tuple((key, *point) for key, point in sorted(lines.items()))
        if place not in self._known:
            if len(self._known) == MOST_KEPT:
                del self._known[next(iter(self._known))]
            self._known[place] = self._made(lines)
        return self._known[place]

    def _made(self, lines: dict[str, list[float]]) -> tuple[Outcome, Any]:
        try:
            vehicle = with_lines(self.vehicle, lines, **self.words) if lines else self.vehicle
        except ModelError as error:
            return Outcome(lines, "impossible", _short(error)), None
        try:
            climb = Climb(vehicle)
            return self._outcome(climb, vehicle, lines), climb
        except SolverError as error:
            return Outcome(lines, "no_standing_pose", str(error)), None

    def _outcome(self, climb: Climb, vehicle: Vehicle, lines: dict[str, list[float]], *, tips: bool = True) -> Outcome:
        study = links(vehicle, grade_deg=self.grade_deg, travel_rows=0, climb=climb)
        tip = climb.tip_over() if tips else None
        numbers = {"tip_over_grade_deg": None if tip is None else degrees(tip)}
        load = study.row.front_load_n
        if study.axles and load is not None:
            for end, name in (("rear", "anti_squat"), ("front", "anti_lift")):
                for rule in ("textbook", "as_driven"):
                    share = getattr(study.axles[end], rule)
                    numbers[f"{name}_{rule}_percent"] = None if share is None else 100.0 * share
            numbers |= {"front_load_n": load, "nose_up_pitch_deg": study.row.nose_up_pitch_deg}
        return Outcome(lines, study.status, study.message, **numbers)


def _short(error: Exception) -> str:
    """The faults of a vehicle file error, or the error, as one line."""
    faults = getattr(error, "faults", None) or [str(error)]
    return "; ".join(fault.removeprefix(f"setups.{CANDIDATE}: ") for fault in faults)


def _check(vehicle: Vehicle, target: Target, keys: list[str]) -> None:
    faults = []
    if target.kind not in KINDS:
        faults.append(f"target {target.kind!r} is none of {', '.join(KINDS)}")
    elif target.kind != "least_squat" and (target.value is None or not isfinite(target.value)):
        faults.append(f"target {target.kind} needs a finite number")
    faults += [f"{key!r} is no link end; choose from {', '.join(POINTS)}" for key in keys if key not in POINTS]
    if len(set(keys)) < len(keys):
        faults.append("a link end is moved twice")
    if faults:
        raise ModelError("aim: " + "; ".join(faults))
    if vehicle.level == "A":
        raise ModelError(f"{vehicle.name}: this file has no links (level A), so there is no link end to move")


def aim_along(
    vehicle: Vehicle,
    target: Target,
    *,
    key: str = "rear.upper_link.chassis_end_mm",
    axis: str = "z",
    low_mm: float | None = None,
    high_mm: float | None = None,
    positions: int = 21,
    grade_deg: float | None = None,
    link_lengths: str | None = None,
    ride_height: str | None = None,
    throttle: float = 1.0,
) -> Aim:
    """Solve one coordinate of one link end for a target.

    Parameters
    ----------
    vehicle : Vehicle
        A base or a setup, with links.
    target : Target
    key : str
        Link end, dotted file key.
    axis : {'x', 'z'}
    low_mm, high_mm : float, optional
        Range of the coordinate; default 15 mm to each side of where it is.
    positions : int
        Positions calculated over the range before solving, at least 3.
    grade_deg : float, optional
        Grade of the figures, front load and punch; default by the kind of target.
    link_lengths : {'kept', 'fitted'}, optional
    ride_height : {'springs_decide', 'reset'}, optional
        As in a setup.
    throttle : float
        Of the punch.

    Returns
    -------
    Aim
    """
    _check(vehicle, target, [key])
    if axis not in ("x", "z"):
        raise ModelError(f"aim: axis {axis!r} is neither x nor z")
    present = point_of(vehicle, key)
    k = 0 if axis == "x" else 1
    low = present[k] - 15.0 if low_mm is None else low_mm
    high = present[k] + 15.0 if high_mm is None else high_mm
    if not low < high or positions < 3:
        raise ModelError(
            f"aim: from {low:g} to {high:g} mm in {positions} positions is no range; the first number must be "
            "below the second, and 3 positions or more"
        )
    grade = KINDS[target.kind].grade_deg if grade_deg is None else grade_deg
    trial = _Trial(vehicle, target.kind, grade, link_lengths, ride_height, throttle)

    def place(value: float | np.ndarray) -> dict:
        return {key: (value, present[1]) if axis == "x" else (present[0], value)}

    def at(value: float) -> Outcome:
        return trial.at(place(value))

    values = np.linspace(low, high, positions).tolist()
    rows = trial.all_at([place(value) for value in values])
    solutions, nearest = _solved(rows, values, at, target)
    result = Aim(
        vehicle.setup,
        target,
        float(grade),
        trial.at({}),
        tuple(rows),
        tuple(solutions),
        nearest,
        *trial.ranges(nearest),
    )
    where = f"{axis} = {low:.1f} to {high:.1f} mm of {key.removesuffix('_mm')}"
    built = [at(round(row.points_mm[key][k], 1)) for row in solutions]
    return replace(result, sentences=tuple(_sentences(result, where, solved=True, built=built)))


def _solved(
    rows: list[Outcome], values: list[float], at: Callable, target: Target
) -> tuple[list[Outcome], Outcome | None]:
    offs = [offset(row, target) for row in rows]
    good = [k for k, off in enumerate(offs) if isfinite(off)]
    if not good:
        return [], None
    if target.kind == "least_squat":
        return _least(rows, values, at, offs, good)
    solutions = []
    for a, b in pairwise(range(len(rows))):
        if offs[a] == 0.0:
            solutions.append(rows[a])
        elif offs[a] * offs[b] < 0.0:
            found = _root(at, target, values[a], values[b], offs[a], offs[b])
            solutions += [] if found is None else [found]
    if offs[-1] == 0.0:
        solutions.append(rows[-1])
    nearest = rows[min(good, key=lambda k: abs(offs[k]))]
    return solutions, solutions[0] if solutions else nearest


def _root(at: Callable, target: Target, a: float, b: float, fa: float, fb: float) -> Outcome | None:
    """Outcome at the root, or None where the outcome jumps across the target instead of passing it."""
    try:
        found = at(bracketed_root(lambda value: offset(at(value), target), a, b, fa, fb, tolerance=ROOT))
    except SolverError:
        return None
    # Anti-squat jumps from + to - infinity where the instant centre passes over the contact point.
    return found if abs(offset(found, target)) < 1e-3 * max(1.0, abs(fa - fb)) else None


def _least(rows: list[Outcome], values: list[float], at: Callable, offs: list[float], good: list[int]) -> Any:
    """Smallest squat of the scan, then of a finer one around it."""
    best = min(good, key=lambda k: offs[k])
    low, high = values[max(0, best - 1)], values[min(len(values) - 1, best + 1)]
    finer = [at(value) for value in np.linspace(low, high, 9).tolist()]
    found = min(
        [rows[best], *(row for row in finer if row.punch_squat_mm is not None)], key=lambda row: row.punch_squat_mm
    )
    return [found], found


def aim_holes(
    vehicle: Vehicle,
    target: Target,
    holes: Any,
    *,
    grade_deg: float | None = None,
    link_lengths: str | None = None,
    ride_height: str | None = None,
    throttle: float = 1.0,
) -> Aim:
    """Try every mounting hole, or every combination of holes, for a target.

    Parameters
    ----------
    vehicle : Vehicle
    target : Target
    holes : dict
        Link end (dotted file key) -> sequence of (x, z) in mm.
    grade_deg, link_lengths, ride_height, throttle
        As in `aim_along`.

    Returns
    -------
    Aim
        Holes never meet a number exactly: `solutions` holds those nearest on each side of the target, if the target lies
        between two holes, and the best one for `least_squat`; `nearest` is the nearest.
    """
    _check(vehicle, target, list(holes))
    count = int(np.prod([len(points) for points in holes.values()])) if holes else 0
    if not count or count > MOST_POSITIONS:
        raise ModelError(
            f"aim: {count} combinations of mounting holes; give at least one hole for each link end moved and at most "
            f"{MOST_POSITIONS} combinations"
        )
    grade = KINDS[target.kind].grade_deg if grade_deg is None else grade_deg
    trial = _Trial(vehicle, target.kind, grade, link_lengths, ride_height, throttle)
    rows = trial.all_at([dict(zip(holes, points, strict=True)) for points in product(*holes.values())])
    offs = [offset(row, target) for row in rows]
    good = [k for k, off in enumerate(offs) if isfinite(off)]
    nearest = rows[min(good, key=lambda k: abs(offs[k]))] if good else None
    if nearest is not None and target.kind == "least_squat":
        nearest = trial.at(nearest.points_mm)
    sides = [[k for k in good if sign * offs[k] >= 0.0] for sign in (1.0, -1.0)]
    if target.kind == "least_squat":
        solutions = [nearest] if nearest is not None else []
    else:
        best = [min(side, key=lambda k: abs(offs[k])) for side in sides if side] if all(sides) else []
        solutions = [rows[k] for k in dict.fromkeys(best)]
    result = Aim(
        vehicle.setup,
        target,
        float(grade),
        trial.at({}),
        tuple(rows),
        tuple(solutions),
        nearest,
        *trial.ranges(nearest),
    )
    words = f"the {len(rows)} positions"
    return replace(result, sentences=tuple(_sentences(result, words, solved=False)))


def words_of(points: dict[str, list[float]]) -> str:
    """Link ends as text: 'rear.upper_link.chassis_end at [100.0, 86.2]'."""
    return ", ".join(f"{key.removesuffix('_mm')} at [{x:.1f}, {z:.1f}]" for key, (x, z) in points.items())


def _value(outcome: Outcome, target: Target) -> str:
    kind = KINDS[target.kind]
    value = getattr(outcome, kind.outcome)
    return "no number" if value is None else f"{value:.2f} {kind.unit}"


def _met_words(row: Outcome, built: Outcome, target: Target) -> str:
    """What a solved position gives where it is built to a tenth of a millimetre, and where the target is met exactly."""
    words, exactly = (
        f"{words_of(built.points_mm)} gives {KINDS[target.kind].words} {_value(built, target)}",
        _value(row, target),
    )
    if _value(built, target) == exactly:
        return f"{words}."
    places = [
        f"{axis} = {there:.3f} mm"
        for key, point in row.points_mm.items()
        for axis, there, near in zip("xz", point, built.points_mm[key], strict=True)
        if there != near
    ]
    return f"{words}, built to a tenth of a mm; {exactly} at {' and '.join(places)}."


def _sentences(result: Aim, where: str, *, solved: bool, built: list[Outcome] | tuple = ()) -> Iterator:
    target, kind = result.target, KINDS[result.target.kind]
    failed = [row for row in result.rows if not isfinite(offset(row, target))]
    if result.nearest is None:
        yield f"None of {where if not solved else 'the positions in ' + where} gives a {kind.words}: {failed[0].message or failed[0].status}."
        return
    if target.kind == "least_squat":
        yield (
            f"The smallest squat, {_value(result.nearest, target)} of rear shock shortening in a punch at {result.grade_deg:g} deg, comes "
            f"with {words_of(result.nearest.points_mm)}; as it is now: {_value(result.present, target)}."
        )
    elif solved and result.met:
        for row, near in zip(result.solutions, built, strict=True):
            yield _met_words(row, near, target)
    elif result.met:
        sides = " and ".join(f"{words_of(row.points_mm)} gives {_value(row, target)}" for row in result.solutions)
        yield f"{kind.words.capitalize()} {target.value:g} {kind.unit} lies between positions: {sides}."
    else:
        yield (
            f"{kind.words.capitalize()} {target.value:g} {kind.unit} cannot be met with {where}: the nearest is "
            f"{words_of(result.nearest.points_mm)} with {_value(result.nearest, target)}; as it is now: {_value(result.present, target)}."
        )
    yield from _side_effects(result, failed)


def _side_effects(result: Aim, failed: list[Outcome]) -> Iterator[str]:
    now, then = result.present, result.nearest
    if result.target_range is not None:
        kind, (least, most) = KINDS[result.target.kind], result.target_range
        yield (
            f"Over plausible divisions of the pull between the axles that position has {kind.words} {from_to(least, most, 1)} {kind.unit}."
        )
    changes = []
    for name, words, unit, digits in (
        ("front_load_g", f"front axle load at {result.grade_deg:g} deg", "g", 0),
        ("tip_over_grade_deg", "tip-over", "deg", 2),
        ("nose_up_pitch_deg", "nose-up pitch", "deg", 2),
    ):
        a, b = getattr(now, name), getattr(then, name)
        if None not in (a, b) and not (name == "front_load_g" and result.grade_deg == 0.0):
            changes.append(f"{words} {b - a:+.{digits}f} {unit}")
            if name == "front_load_g" and result.front_load_change_range_n is not None:
                low, high = (grams_of_force(change) for change in result.front_load_change_range_n)
                changes[-1] += f" ({low:+.0f} to {high:+.0f} g over plausible divisions of the pull between the axles)"
    if changes:
        yield "Against the vehicle as it is, that position changes: " + ", ".join(changes) + "."
    if failed:
        yield (
            f"{len(failed)} of {len(result.rows)} positions give no number, the first at {words_of(failed[0].points_mm)}: "
            f"{failed[0].message or failed[0].status}."
        )
