"""'That is just one vehicle': what a raised mount changes in a thousand others, drawn from stated ranges.

Each vehicle is drawn with its own wheelbase, masses, links, shocks and tyres; then the axle end of its
rear upper link is raised, links and springs kept, and both are solved in one batch.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.documents import plain
from noseload.model.errors import ModelError
from noseload.model.file.apply_changes import move_end
from noseload.model.sensitivity import as_setup
from noseload.model.vehicle import Axle, Body, Drive, Rod, Shock, Tyre, Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import plausible_splits
from noseload.studies.climb.spread import crawl_spread, divided_load_spread, stand_spread, tip_over_spread
from noseload.studies.pieces import finished
from noseload.studies.result import Result
from noseload.studies.thresholds import Thresholds

from .cases import first_of, one_of, ones_of
from .survey_splits import over_splits, punch_document, under_laws

if TYPE_CHECKING:
    from concurrent.futures import Executor


VEHICLES, SEED, GRADE_DEG, RAISE_MM = 1000, 1, 45.0, 10.0
FEWEST = 20
CHUNK, PUNCHED = 1000, 500
"""Vehicles of one draw and of one piece of its punches (two each)."""
MOST_CHECKED = 40
"""Largest changes that are followed one by one, to be sure of the worst."""
RAISED_END = "rear.upper_link.axle_end"
RANGES = {
    "wheelbase_mm": (270.0, 330.0),
    "wheel_centre_height_mm": (48.0, 62.0),
    "body_mass_g": (1100.0, 2300.0),
    "body_centre_of_gravity_share": (0.45, 0.62),
    "body_centre_of_gravity_height_mm": (75.0, 130.0),
    "axle_mass_g": (380.0, 720.0),
    "tyre_stiffness_n_per_mm": (2.0, 6.0),
    "spring_rate_n_per_mm": (0.25, 0.65),
    "droop_travel_mm": (10.0, 30.0),
    "bump_travel_mm": (15.0, 35.0),
    "lower_chassis_from_axle_mm": (85.0, 130.0),
    "lower_chassis_above_centre_mm": (-12.0, 14.0),
    "lower_axle_from_axle_mm": (4.0, 22.0),
    "lower_axle_below_centre_mm": (2.0, 14.0),
    "upper_chassis_behind_lower_mm": (-4.0, 26.0),
    "upper_chassis_above_lower_mm": (18.0, 42.0),
    "upper_axle_from_axle_mm": (-6.0, 14.0),
    "upper_axle_above_centre_mm": (14.0, 36.0),
    "shock_chassis_from_axle_mm": (36.0, 84.0),
    "shock_chassis_above_centre_mm": (74.0, 106.0),
    "shock_axle_from_axle_mm": (8.0, 30.0),
    "shock_axle_above_centre_mm": (-8.0, 12.0),
}
"""Ranges of 1:10 crawlers, all places alike (common practice, no source). Distances count from the wheel
centre toward the middle of the vehicle; both ends draw their own."""


@dataclass(frozen=True)
class Survey(Result):
    """What a raised mount changes in many vehicles; the last axis is the vehicle.

    Attributes
    ----------
    tip_over_grade_deg, front_load_n : ndarray, shape (2, vehicles)
        As drawn, and raised; not a number where there is none.
    statuses : tuple of str
        'ok', or by vehicle what hides a number: 'does_not_stand'; 'snaps_over' (its climb folds back and never
        comes to a tip-over as far as it can be followed); 'snaps_before_grade' (its climb ends in a fold before the grade
        of the front load); 'tips_before_grade'; 'unsolved' (the equations were not solved).
    worst : int or None
        Vehicle whose tip-over changes most among those that climb there without a snap (a fold).
    punch_front_load_min_n, punch_front_airborne_s : ndarray, shape (2, vehicles), or None
        Of a full-throttle punch at `punch_grade_deg`, where asked for; the motor is the same for all.
    snapping : int
        Vehicles with a larger change that would snap to another attitude on the way.
    front_load_by_law_n : ndarray, shape (laws, 2, vehicles)
        As `front_load_n` under each plausible division of the pull between geared axles; no laws where one axle is driven.

    punches_by_law : ndarray, shape (laws, 2, 2, vehicles)
        Least front load (N) and airborne time (s) of the punch as drawn and raised under each of them; no laws without a punch.

    Notes
    -----
    Tip-over is where the front load is zero, also where a slow climb would snap over before; a few in a
    hundred do.
    """

    picture = "levers.survey.plot_tip_over_changes"
    count: int
    seed: int
    grade_deg: float
    raise_mm: float
    drive: str
    thresholds: Thresholds
    tip_over_grade_deg: np.ndarray
    front_load_n: np.ndarray
    standing_front_n: np.ndarray
    statuses: tuple
    worst: int | None = None
    snapping: int = 0
    punch_grade_deg: float | None = None
    punch_front_load_min_n: np.ndarray | None = None
    punch_front_airborne_s: np.ndarray | None = None
    punches_by_law: np.ndarray = field(default_factory=lambda: np.empty((0, 2, 2, 0)), repr=False)
    front_load_by_law_n: np.ndarray = field(default_factory=lambda: np.empty((0, 2, 0)), repr=False)
    complete: bool = True
    """False where the work was interrupted: `count` vehicles were done, and their punches are missing."""

    @property
    def tip_over_change_deg(self) -> np.ndarray:
        """Raised less drawn, deg."""
        return self.tip_over_grade_deg[1] - self.tip_over_grade_deg[0]

    @property
    def front_load_change_n(self) -> np.ndarray:
        """Raised less drawn, N."""
        return self.front_load_n[1] - self.front_load_n[0]

    @property
    def front_load_changes_n(self) -> np.ndarray:
        """Raised less drawn under equal slip and under each law, N, shape (1 + laws, vehicles)."""
        laws = self.front_load_by_law_n
        return (
            np.vstack([self.front_load_change_n[None], laws[:, 1] - laws[:, 0]])
            if len(laws)
            else self.front_load_change_n[None]
        )

    def vehicle(self, case: int, *, raised: bool = False) -> Vehicle:
        """One of the vehicles, as a `Vehicle` of its own."""
        drawn = one_of(draw_vehicles(self.seed, case // CHUNK, self.drive), case % CHUNK)
        return raise_mount(drawn, self.raise_mm) if raised else drawn

    def distribution(self, changes: np.ndarray, measurable: Any, noticed: Any) -> dict[str, Any]:
        """Percentiles and shares beyond each line."""
        good = np.isfinite(changes)
        values, lines = changes[good], [np.broadcast_to(line, changes.shape)[good] for line in (measurable, noticed)]
        if not values.size:
            return {"vehicles": 0}
        low, quarter, middle, three, high = (float(v) for v in np.percentile(values, (5, 25, 50, 75, 95)))
        return {
            "vehicles": int(values.size),
            "percentile_5": low,
            "percentile_25": quarter,
            "median": middle,
            "percentile_75": three,
            "percentile_95": high,
            "least": float(values.min()),
            "most": float(values.max()),
            "share_lower": float(np.mean(values < 0.0)),
            "share_measurable": float(np.mean(np.abs(values) >= lines[0])),
            "share_noticed": float(np.mean(np.abs(values) >= lines[1])),
            "share_noticed_lower": float(np.mean(values <= -lines[1])),
            "share_noticed_higher": float(np.mean(values >= lines[1])),
        }

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        lines, worst = self.thresholds, self.worst
        noticed = lines.noticed_load_n(self.standing_front_n)
        return plain(
            punch_document(self)
            | {
                "vehicles": self.count,
                "grade_deg": self.grade_deg,
                "raise_mm": self.raise_mm,
                "raised_end": RAISED_END,
                "drive": self.drive,
                "ranges": {k: list(v) for k, v in RANGES.items()},
                "thresholds": lines.to_dict(),
                "tip_over_change_deg": self.distribution(
                    self.tip_over_change_deg, lines.measurable_deg, lines.noticed_deg
                ),
                "front_load_change_n": self.distribution(self.front_load_change_n, lines.measurable_load_n, noticed),
                "front_load_change_over_splits_n": over_splits(self),
                "statuses": {name: self.statuses.count(name) for name in sorted(set(self.statuses))},
                "worst": None
                if worst is None
                else {
                    "vehicle": worst,
                    "tip_over_change_deg": self.tip_over_change_deg[worst],
                    "front_load_change_n": self.front_load_change_n[worst],
                    "larger_but_snapping": self.snapping,
                },
                "status": "partial" if not self.complete else "ok" if "ok" in self.statuses else "no_solution",
            }
        )

    def rows(self) -> Iterator[dict[str, Any]]:
        """One dict a vehicle, for CSV."""
        changes = self.front_load_changes_n
        low, high = np.fmin.reduce(changes), np.fmax.reduce(changes)
        for k, status in enumerate(self.statuses):
            yield {
                "vehicle": k,
                "status": status,
                "tip_over_grade_deg": self.tip_over_grade_deg[0, k],
                "tip_over_change_deg": self.tip_over_change_deg[k],
                "front_load_n": self.front_load_n[0, k],
                "front_load_change_n": self.front_load_change_n[k],
                "front_load_change_low_n": low[k],
                "front_load_change_high_n": high[k],
            }

    def __repr__(self) -> str:
        middle = self.distribution(self.tip_over_change_deg, 0.0, 0.0).get("median")
        said = "none solved" if middle is None else f"median tip-over change {middle:+.2f} deg"
        return f"Survey({self.count} vehicles, mount {self.raise_mm:+g} mm: {said})"


def draw_vehicles(seed: int, chunk: int, drive: str = "both") -> Vehicle:
    """A `Vehicle` of arrays of `CHUNK` cases; each chunk has its own stream, so results know no executor."""
    generator = np.random.default_rng([seed, chunk])
    wheelbase = _draw(generator, "wheelbase_mm")
    share, height = (
        _draw(generator, "body_centre_of_gravity_share", 1.0),
        _draw(generator, "body_centre_of_gravity_height_mm"),
    )
    mass = _draw(generator, "body_mass_g")
    radius, stiffness = _draw(generator, "wheel_centre_height_mm"), _draw(generator, "tyre_stiffness_n_per_mm", 1e3)
    tyre = Tyre(None, radius, stiffness, 7.0, 2.2, 0.02, 0.1)
    axles = [_draw_axle(generator, tyre, start, inward) for start, inward in ((0.0, 1.0), (wheelbase, -1.0))]
    body = Body(mass, (share * wheelbase, height), mass * wheelbase**2 / 11.0)
    rear, front = axles
    return Vehicle("survey", "B", wheelbase, body, rear, front, Drive(drive, 5.5, 35.0, 6.4e-3, 1.0, 0.0))


def _draw(generator: np.random.Generator, name: str, factor: float = 1e-3) -> Any:
    low, high = RANGES[name]
    return factor * generator.uniform(low, high, CHUNK)


def _draw_axle(generator: np.random.Generator, tyre: Tyre, start: float | np.ndarray, inward: float) -> Axle:
    centre = tyre.loaded_radius
    draw = {name: _draw(generator, name) for name in RANGES if "_chassis_" in name or "_axle_" in name}
    low = draw["lower_chassis_from_axle_mm"], centre + draw["lower_chassis_above_centre_mm"]
    high = low[0] - draw["upper_chassis_behind_lower_mm"], low[1] + draw["upper_chassis_above_lower_mm"]

    def point(x: Any, z: Any) -> tuple:
        return start + inward * x, None, z

    lower = Rod(point(*low), point(draw["lower_axle_from_axle_mm"], centre - draw["lower_axle_below_centre_mm"]))
    upper = Rod(point(*high), point(draw["upper_axle_from_axle_mm"], centre + draw["upper_axle_above_centre_mm"]))
    ends = (
        point(draw["shock_chassis_from_axle_mm"], centre + draw["shock_chassis_above_centre_mm"]),
        point(draw["shock_axle_from_axle_mm"], centre + draw["shock_axle_above_centre_mm"]),
    )
    shock = Shock(
        *ends,
        _draw(generator, "spring_rate_n_per_mm", 1e3),
        10.0,
        _draw(generator, "droop_travel_mm"),
        _draw(generator, "bump_travel_mm"),
        2e4,
        20.0,
        None,
    )
    return Axle(_draw(generator, "axle_mass_g"), 1e-4, 4e-4, tyre, lower, upper, shock)


def raise_mount(vehicle: Vehicle, raise_mm: float) -> Vehicle:
    """The setup with the axle end of the rear upper link raised; links and springs kept."""
    return as_setup(vehicle, move_end(vehicle, RAISED_END, 0.0, 1e-3 * raise_mm), setup="raised")


def survey_chunk(
    seed: int, chunk: int, grade_deg: float, raise_mm: float, drive: str, count: int | None = None
) -> np.ndarray:
    """Tip-over (deg), front load and standing front load (N), whether the climb was seen to fold, and front loads by law.

    Of the first `count` vehicles of the chunk, or of all, shape (2, 4 + laws, count). What the batch leaves unsolved is followed
    one by one from level.
    """
    count = CHUNK if count is None else count
    drawn = first_of(draw_vehicles(seed, chunk, drive), count)
    first = stand_spread(drawn, count)
    second = stand_spread(raise_mount(drawn, raise_mm), count, base=first)
    found = []
    for standing in (first, second):
        tips = np.degrees(tip_over_spread(standing, thorough=False))
        crawl = crawl_spread(standing, np.radians(grade_deg), thorough=False)
        level = np.where(standing.success, standing.front_load, np.nan)
        divided = divided_load_spread(standing, np.radians(grade_deg), plausible_splits(drawn), crawl)
        found.append([tips, crawl.front_loads, level, np.zeros(count), *divided])
    results = np.array(found)
    # Past tip-over the tyre would pull; there is no such load.
    results[:, 1] = np.where(results[:, 1] >= 0.0, results[:, 1], np.nan)
    tips, loads, level = results[:, 0], results[:, 1], results[:, 2]
    hidden = np.isfinite(level) & (np.isnan(tips) | np.isnan(loads) & (tips > grade_deg))
    for raised, case in np.argwhere(hidden):
        one = one_of(drawn, int(case))
        tip, load, _, folded = follow(raise_mount(one, raise_mm) if raised else one, grade_deg)
        # A tip-over beyond a fold is kept, as the batch keeps it.
        results[raised, [0, 3], case] = tip, folded
        if np.isnan(results[raised, 1, case]):
            results[raised, 1, case] = load
    return results


def follow(vehicle: Vehicle, grade_deg: float) -> tuple:
    """Tip-over (deg), front load and standing front load (N) of one vehicle, followed from level; and its fold."""
    try:
        climb = Climb(vehicle)
        tip, load = climb.tip_over(), climb.row(grade_deg).front_load_n
        level = climb.load(climb.standing.solution, "front")
    except SolverError:
        # A vehicle that cannot be solved is a row of its own status, never the end of all others.
        return np.nan, np.nan, np.nan, False
    return np.nan if tip is None else np.degrees(tip), np.nan if load is None else load, level, climb.fold is not None


def punch_piece(seed: int, chunk: Any, cases: Any, raise_mm: float, drive: str, grade_deg: float) -> Any:
    """Least front load (N) and airborne time (s) of a full punch, drawn and raised, under the vehicles' own and each plausible law, shape (1 + laws, 2, 2, cases)."""
    drawn = draw_vehicles(seed, chunk, drive)
    ones = ones_of(drawn, cases)
    return under_laws([*ones, *(raise_mount(vehicle, raise_mm) for vehicle in ones)], grade_deg)


def survey(
    *,
    vehicles: int = VEHICLES,
    seed: int = SEED,
    grade_deg: float = GRADE_DEG,
    raise_mm: float = RAISE_MM,
    drive: str = "both",
    thresholds: Thresholds | None = None,
    punch_grade_deg: float | None = None,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> Survey:
    """Raise the rear upper mount of many vehicles.

    Parameters
    ----------
    vehicles : int
    seed : int
    grade_deg : float
        Grade of the front load.
    raise_mm : float
        How far the axle end of the rear upper link goes up.
    drive : {'both', 'rear', 'front'}
    thresholds : Thresholds, optional
    punch_grade_deg : float, optional
        Also a full-throttle punch at this grade.
    executor : concurrent.futures.Executor, optional
        Such as a process pool; the numbers do not depend on it.
    progress : callable, optional
        Called with (vehicles done, vehicles), once more from the start for the punches.

    Returns
    -------
    Survey
        Interrupted from the keyboard, that of the vehicles that were done, with `complete` False.

    Raises
    ------
    ModelError
        Fewer than 20 or more than 100,000 vehicles, or a raise outside 0 to 25 mm either way.
    """
    if not FEWEST <= vehicles <= 100_000:
        raise ModelError(f"{vehicles} vehicles: a survey takes {FEWEST} to 100,000, such as {VEHICLES}")
    if not 0.0 < abs(raise_mm) <= 25.0:
        raise ModelError(f"raise {raise_mm:g} mm: a mount goes up or down by up to 25 mm, and not by 0 mm")
    spans = [(first, min(first + CHUNK, vehicles)) for first in range(0, vehicles, CHUNK)]
    pieces = [(seed, k, grade_deg, raise_mm, drive, last - first) for k, (first, last) in enumerate(spans)]
    parts, complete = _gather(survey_chunk, pieces, [last for _, last in spans], executor, progress)
    if not parts:
        raise KeyboardInterrupt
    count = vehicles if complete else len(parts) * CHUNK
    whole = np.concatenate(parts, axis=2)[:, :, :count]
    tips, loads, level, divided = whole[:, 0], whole[:, 1], whole[0, 2], whole[:, 4:].swapaxes(0, 1)
    result = Survey(
        count,
        seed,
        float(grade_deg),
        float(raise_mm),
        drive,
        thresholds or Thresholds(),
        tips,
        loads,
        level,
        tuple(_status(whole[:, :, k], grade_deg) for k in range(count)),
        front_load_by_law_n=divided,
        complete=complete,
    )
    result = _with_checked_worst(result)
    if punch_grade_deg is None or not complete:
        return result
    return _with_punches(result, float(punch_grade_deg), executor, progress)


def _with_punches(result: Any, grade_deg: float, executor: Executor | None, progress: Callable | None) -> Any:
    """The survey with a punch of every vehicle that stands."""
    standing = np.array([k for k, status in enumerate(result.statuses) if status != "does_not_stand"])
    chunks = [standing[standing // CHUNK == k] for k in range(-(-result.count // CHUNK))]
    groups = [cases[first : first + PUNCHED] for cases in chunks for first in range(0, cases.size, PUNCHED)]
    pieces = [
        (result.seed, int(cases[0]) // CHUNK, cases % CHUNK, result.raise_mm, result.drive, grade_deg)
        for cases in groups
    ]
    parts, complete = _gather(punch_piece, pieces, [int(cases[-1]) + 1 for cases in groups], executor, progress)
    if not complete:
        return replace(result, complete=False)
    punched = np.full((len(parts[0]) if parts else 1, 2, 2, result.count), np.nan)
    for cases, part in zip(groups, parts, strict=True):
        punched[..., cases] = part
    least, aloft = punched[0].swapaxes(0, 1)
    return replace(
        result,
        punch_grade_deg=grade_deg,
        punch_front_load_min_n=least,
        punch_front_airborne_s=aloft,
        punches_by_law=punched[1:],
    )


def _gather(
    function: Callable, pieces: list, ends: list[int], executor: Executor | None, progress: Callable | None
) -> tuple[list[np.ndarray], bool]:
    """Results of the pieces, and whether all were done before an interruption."""
    parts: list[np.ndarray] = []
    try:
        for part in finished(function, pieces, executor):
            parts.append(part)
            if progress is not None:
                progress(ends[len(parts) - 1], ends[-1])
    except KeyboardInterrupt:
        return parts, False
    return parts, True


def _with_checked_worst(result: Survey) -> Survey:
    """The survey with its largest changes followed one by one from level, until one climbs without a snap."""
    size = np.nan_to_num(np.abs(result.tip_over_change_deg))
    for checked, case in enumerate(np.argsort(-size)[:MOST_CHECKED]):
        followed = [follow(result.vehicle(int(case), raised=raised), result.grade_deg) for raised in (False, True)]
        if size[case] > 0.0 and not any(folded or np.isnan(tip) for tip, _, _, folded in followed):
            return replace(result, worst=int(case), snapping=checked)
    return result


def _status(numbers: np.ndarray, grade_deg: float) -> str:
    """What hides a number of a vehicle; `numbers` (2, 4) as `survey_chunk` gives them."""
    tips, loads, level, folds = numbers.T[:4]
    if not np.isfinite(level).all():
        return "does_not_stand"
    no_tip, no_load = np.isnan(tips), np.isnan(loads)
    if no_tip.any():
        return "snaps_over" if (folds[no_tip] > 0.0).all() else "unsolved"
    if not no_load.any():
        return "ok"
    if (tips[no_load] <= grade_deg).all():
        return "tips_before_grade"
    return "snaps_before_grade" if (folds[no_load & (tips > grade_deg)] > 0.0).all() else "unsolved"
