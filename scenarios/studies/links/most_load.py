"""Show me a linkage that presses the front down: all link ends searched for the most and the least front load.

Every candidate is the same vehicle built with other link ends: links made to fit, springs holding it at the measured
ride height, within stated building limits. What differs at a grade is attitude alone.
"""

from __future__ import annotations

from collections.abc import Callable
from math import radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, BatchStanding
from noseload.model.crawl.equilibrium import N
from noseload.model.errors import ModelError
from noseload.model.parameters import ENDS, LINKS, axle_of, true_length_of
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.solvers.batch.newton import solve_batch
from noseload.solvers.batch.polish import apart, polish
from noseload.solvers.batch.search import search
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.many import stand_many
from noseload.studies.punch.many import BATCH_FROM, punch_many
from noseload.studies.punch.punch import punch

from .building_limits import LinkRoom, check_limits
from .candidates import POINTS, as_built, point_of
from .extremes import BuildingLimits, Extreme, MostLoad

if TYPE_CHECKING:
    from noseload.model.batch.equilibrium import VehicleBatch
    from noseload.solvers.batch.polish import Polished
    from noseload.solvers.batch.search import SearchResult


GRADE_STEP = 0.3
"""Largest step in grade on the way from level, rad."""
STARTS, APART_MM = 3, 2.0
"""Places that the last climb starts from, and how far apart they are in some coordinate."""
SMALLEST_MM, GAIN_N = 0.1, 2e-3
"""Nobody places a bolt better; a round that gains less than 0.2 g halves the step."""
CREEP_SEARCH, PUNCH_SEARCH = (160, 30), (32, 8)
"""Population and generations by default."""
LONGEST, SETTLED = 400, (40, 3e-3)
"""Generations of a search that is polished, and when it ends before: forty of them together gain less than 0.3 g."""
QUICK: dict[str, Any] = {"tolerance": 1e-8, "polish": False, "max_evaluations": 16}
"""Solver options for a candidate; the found vehicles are solved again by the path of their own climb."""


def most_front_load(
    vehicle: Vehicle,
    *,
    grade_deg: float = 45.0,
    limits: BuildingLimits | None = None,
    seed: int = 1,
    population: int | None = None,
    generations: int | None = None,
    throttle: float = 1.0,
    in_punch: bool = False,
    polished: bool = False,
    progress: Callable[..., Any] | None = None,
) -> MostLoad:
    """Search all link ends for the most and the least front load in a steady crawl, or in a punch.

    Parameters
    ----------
    vehicle : Vehicle
        With links and shocks.
    grade_deg : float
    limits : BuildingLimits, optional
    seed : int
    population, generations : int, optional
        Of the differential evolution, once for the most and once for the least; default 160 and 30, in a punch 32 and 8;
        polished and without a number of generations: until forty of them gain less than 0.3 g, 400 at most.
    throttle : float or None
        The found vehicles are also punched to this throttle; None: not.
    in_punch : bool
        Search for the smallest front load during the punch instead; where the front leaves the ground, for the time it is off it.
    polished : bool
        Search until it settles, and climb on from the best places found until no step gains (in a crawl).
    progress : callable, optional
        Called with the share done, 0..1.

    Returns
    -------
    MostLoad

    Raises
    ------
    ModelError
        The vehicle itself tips over before the grade, or the limits contradict each other.
    SolverError
        No candidate at all is allowed.
    """
    population = population or (PUNCH_SEARCH if in_punch else CREEP_SEARCH)[0]
    to_the_end = polished and not in_punch and generations is None
    if generations is None:
        generations = LONGEST if to_the_end else (PUNCH_SEARCH if in_punch else CREEP_SEARCH)[1]
    if in_punch and throttle is None:
        raise ModelError("a search in a punch needs a throttle, such as 1")
    present = as_built(vehicle)
    limits = (limits or BuildingLimits()).filled(present)
    check_limits(limits)
    if generations < 1:
        raise ModelError(f"{generations} generations: a search needs 1 or more, such as 30")
    here = _extreme("present", present, {key: list(point_of(present, key)) for key in POINTS}, grade_deg, throttle)
    if here.front_load_n is None:
        raise ModelError(
            f"grade {grade_deg:g} deg: the vehicle itself has no steady crawl there ({here.status}); choose a grade "
            "below its tip-over"
        )
    candidates = _Candidates(present, limits, radians(grade_deg))
    start = np.array([c for key in POINTS for c in point_of(present, key)])
    found, ends, total, refused = {}, {}, 0, 0
    for part, (name, sign) in enumerate((("most", 1.0), ("least", -1.0))):

        def report(generation: int, part: int = part) -> None:
            if progress is not None:
                progress((part + generation / generations) / 2.0)

        def value(points: np.ndarray, sign: float = sign) -> np.ndarray:
            loads = candidates.front_loads(points)
            return sign * (_punched(present, points, loads, grade_deg, throttle) if in_punch else loads)

        result = search(
            value,
            start - limits.reach,
            start + limits.reach,
            seed=seed,
            population=population,
            generations=generations,
            start=start,
            confirm=lambda point: _climbs(present, point, grade_deg),
            progress=report,
            settled=SETTLED if to_the_end else None,
        )
        total, refused = total + result.evaluations, refused + result.refused
        best = result.points[:, 0]
        if polished and not in_punch:
            last = _polished(value, result, start, limits.reach, lambda point: _climbs(present, point, grade_deg))
            total += last.evaluations
            ends[name], best = tuple((sign * last.values).tolist()), last.points[:, 0]
        points = _points(best)
        found[name] = _extreme(name, as_built(present, points), points, grade_deg, throttle)
    return MostLoad(
        float(grade_deg),
        limits,
        here,
        found["most"],
        found["least"],
        total,
        refused,
        seed,
        ends,
        "punch" if in_punch else "creep",
    )


def _polished(value: Callable, result: SearchResult, start: np.ndarray, reach: float, confirm: Callable) -> Polished:
    """The best places of a search, far enough from each other, climbed on from."""
    kept = [0, *(k for k in apart(result.points, 3 * STARTS, APART_MM)[1:] if confirm(result.points[:, k]))][:STARTS]
    return polish(
        value,
        result.points[:, kept],
        result.values[kept],
        start - reach,
        start + reach,
        step=0.1 * reach,
        smallest=SMALLEST_MM,
        gain=GAIN_N,
        confirm=confirm,
    )


def _points(numbers: np.ndarray) -> dict:
    """Link ends by file key from the 16 numbers of the search, mm."""
    return {key: [float(numbers[2 * i]), float(numbers[2 * i + 1])] for i, key in enumerate(POINTS)}


def _punched(present: Any, points: Any, loads: Any, grade_deg: float, throttle: float) -> Any:
    """Smallest front load of a punch of each candidate with a crawl, N; less than 0 by weight times airborne seconds.

    Many run in one batch, few one by one; a start that cannot be held has no number.
    """
    values = np.full(loads.size, np.nan)
    fleet = {}
    for k in np.flatnonzero(loads > 0.0):
        try:
            fleet[int(k)] = as_built(present, _points(points[:, k]))
        except ModelError:
            continue
    if len(fleet) >= BATCH_FROM:
        run = punch_many(list(fleet.values()), grade_deg=grade_deg, throttle=throttle)
        lowest, airborne = run.front_load_min_n, run.front_airborne_s
    else:
        found = [_punched_alone(vehicle, grade_deg, throttle) for vehicle in fleet.values()]
        lowest, airborne = np.array(found).reshape(len(fleet), 2).T
    values[list(fleet)] = lowest - present.mass * STANDARD_GRAVITY * airborne
    return values


def _punched_alone(vehicle: Vehicle, grade_deg: float, throttle: float) -> Any:
    """Smallest front load (N) and airborne time (s) of one accurate punch; not a number where it does not run."""
    try:
        run = punch(vehicle, grade_deg=grade_deg, throttle=throttle, sample_s=0.01, outcome=False)
    except (ModelError, SolverError):
        return np.nan, np.nan
    return (run.summary["front_load_min_n"], run.summary["front_airborne_s"]) if run.success else (np.nan, np.nan)


def _climbs(present: Vehicle, numbers: np.ndarray, grade_deg: float) -> bool:
    """Whether the candidate's own climb from level gets there stably, or tips over on the way."""
    try:
        row = Climb(as_built(present, _points(numbers))).row(grade_deg)
    except (ModelError, SolverError):
        return False
    return bool(row.stable) or row.status == "beyond_tip_over"


def _extreme(name: str, vehicle: Vehicle, points: dict[str, list[float]], grade_deg: float, throttle: float) -> Extreme:
    climb = Climb(vehicle)
    row = climb.row(grade_deg)
    limits = climb.limits
    ends = {name: getattr(limits, f"{name}_grade_deg") for name in ("tip_over", "fold")}
    met = {name: end for name, end in ends.items() if end is not None}
    by = min(met, key=lambda name: met[name]) if met else None
    summary: dict = {}
    if throttle is not None and row.front_load_n is not None:
        run = punch(vehicle, grade_deg=grade_deg, throttle=throttle, standing=climb.standing)
        summary = dict(run.summary) if run.success else {"status": run.status, "message": run.message}
    return Extreme(
        name,
        points,
        row.status,
        row.front_load_n,
        row.nose_up_pitch_deg,
        None if by is None else met[by],
        by,
        summary,
        climb,
        row,
    )


class _Candidates:
    """Front loads of many linkages of one vehicle at one grade; points (16, cases) in mm, order of POINTS."""

    def __init__(self, vehicle: Vehicle, limits: BuildingLimits, grade: float) -> None:
        self.room, self.grade = LinkRoom(vehicle, limits), grade
        self.one = stand_many([vehicle])
        shock = [axle_of(vehicle, end).shock for end in ENDS]
        self.shock_lengths = np.array([[true_length_of(s)] for s in shock])
        self.given = np.array([[np.nan if s.free_length is None else s.free_length] for s in shock])
        self.origins = self.room.origins
        self.orientation = None
        self._creep(self.one, 1)

    def front_loads(self, points: np.ndarray) -> np.ndarray:
        """Front load, N; NaN outside the building limits or where there is no such crawl."""
        loads = np.full(points.shape[1], np.nan)
        good = np.flatnonzero(self.room.allowed(points))
        if good.size:
            loads[good] = self._solve(points[:, good])
        return loads

    def _solve(self, points: np.ndarray) -> np.ndarray:
        cases = points.shape[1]
        batch = self.one.take(np.zeros(cases, dtype=int))
        changes = {}
        for i, key in enumerate(POINTS):
            end, link, side = key.split(".")
            body = "chassis" if side.startswith("chassis") else end
            for axis, row in (("x", 0), ("z", 1)):
                changes[f"{end}_{link}_{body if body == 'chassis' else 'axle'}_{axis}"] = (
                    1e-3 * points[2 * i + row] - self.origins[body][row]
                )
        for end in ENDS:
            for link in LINKS:
                a, b = (POINTS.index(f"{end}.{link}.{side}_end_mm") for side in ("chassis", "axle"))
                changes[f"{end}_{link}_length"] = 1e-3 * np.hypot(
                    points[2 * a] - points[2 * b], points[2 * a + 1] - points[2 * b + 1]
                )
        batch = batch.with_values(changes)
        return self._creep(batch, cases)

    def _creep(self, batch: VehicleBatch, cases: int) -> np.ndarray:
        """Standing solved for the free lengths, then the grade in a few steps; what needs many tries is left out."""
        lengths, given = (np.repeat(a, cases, axis=1) for a in (self.shock_lengths, self.given))
        first = np.array([batch["rear_free_length"], batch["front_free_length"]])
        standing = solve_batch(
            BatchStanding(BatchCreep(batch), shock_lengths=lengths, free_lengths=given),
            np.concatenate([batch.starts, first]),
            0.0,
            **QUICK,
        )
        loads = np.full(cases, np.nan)
        kept = np.flatnonzero(standing.success)
        batch = batch.with_values({"rear_free_length": standing.states[N], "front_free_length": standing.states[N + 1]})
        creep, states = BatchCreep(batch.take(kept)), standing.states[:N, kept]
        kept, creep, states = self._stable(creep, states, 0.0, kept)
        steps = max(1, int(np.ceil(abs(self.grade) / GRADE_STEP)))
        for k in range(1, steps + 1):
            grade = k / steps * self.grade
            solution = solve_batch(creep, states, np.full(kept.size, grade), **QUICK)
            good = np.flatnonzero(solution.success)
            kept, creep, states = self._stable(creep.take(good), solution.states[:, good], grade, kept[good])
        if kept.size:
            loads[kept] = creep.outputs(states, np.full(kept.size, self.grade))[0][1]
        return loads

    def _stable(
        self, creep: BatchCreep, states: np.ndarray, grade: float, kept: np.ndarray
    ) -> tuple[np.ndarray, BatchCreep, np.ndarray]:
        """Those cases whose tangent has the orientation of the present vehicle standing: past a fold it turns."""
        if not kept.size:
            return kept, creep, states
        jacobian = creep.evaluate(states, np.full(kept.size, grade))[1][:, :N]
        sign = np.linalg.slogdet(np.moveaxis(jacobian, -1, 0))[0]
        if self.orientation is None:
            self.orientation = sign[0]
        good = np.flatnonzero(sign == self.orientation)
        return kept[good], creep.take(good), states[:, good]
