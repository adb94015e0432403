"""Show me a linkage that presses the front down: all link ends searched for the maximum and the minimum front axle load.

Every candidate is the same vehicle built with other link ends: links made to fit, springs holding it at the measured
ride height, within stated building limits. What differs at a grade is attitude alone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import radians
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.solvers.batch.search import search
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import split_range
from noseload.studies.punch.many import BATCH_FROM, punch_many
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import punch_range

from .building_limits import check_limits
from .candidates import POINTS, as_built, point_of
from .extremes import BuildingLimits, Extreme, MostLoad
from .linkages import Linkages
from .summits import most_and_least

CREEP_SEARCH, PUNCH_SEARCH = (160, 30), (32, 8)
"""Population and generations by default."""
SIGNS = {"most": 1.0, "least": -1.0}
"""What is searched for, and the sign of the front load that is then largest."""


def most_front_load(
    vehicle: Vehicle,
    *,
    grade_deg: float = 45.0,
    limits: BuildingLimits | None = None,
    seed: int = 1,
    population: int | None = None,
    generations: int | None = None,
    throttle: float | None = 1.0,
    in_punch: bool = False,
    polished: bool = False,
    progress: Callable[..., Any] | None = None,
) -> MostLoad:
    """Search all link ends for the maximum and the minimum front axle load in a steady crawl, or in a punch.

    Parameters
    ----------
    vehicle : Vehicle
        With links and shocks.
    grade_deg : float
    limits : BuildingLimits, optional
    seed : int
    population, generations : int, optional
        Of the differential evolution, once for the most and once for the least; default 160 and 30, in a punch 32 and 8.
    throttle : float or None
        The found vehicles are also punched to this throttle; None: not.
    in_punch : bool
        Search for the smallest front load during the punch instead; where the front leaves the ground, for the time it is off it.
    polished : bool
        Climb by slopes instead, from random linkages until several come to the same top (in a crawl; see `most_and_least`).
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
    polished = polished and not in_punch
    if generations is None:
        generations = (PUNCH_SEARCH if in_punch else CREEP_SEARCH)[1]
    if in_punch and throttle is None:
        raise ModelError("a search in a punch needs a throttle, such as 1")
    # The setups of the file are of other linkages: one that cannot be built refuses no candidate.
    present = as_built(vehicle)
    present = replace(present, document={k: v for k, v in present.document.items() if k not in ("setups", "changes")})
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
    linkages = Linkages(present, limits, radians(grade_deg))
    start = np.array([c for key in POINTS for c in point_of(present, key)])
    best: dict[str, np.ndarray] = {}
    ends: dict[str, tuple[float, ...]] = {}
    total, refused = 0, 0

    def confirm(point: np.ndarray) -> bool:
        return _climbs(present, point, grade_deg)

    if polished:
        tops = most_and_least(linkages, start, limits.reach, seed=seed, confirm=confirm, progress=progress)
        best, ends = ({name: getattr(getattr(tops, name), what) for name in SIGNS} for what in ("point", "values"))
        total, refused = tops.evaluations, tops.refused
    for part, (name, sign) in enumerate(() if polished else SIGNS.items()):

        def report(generation: int, part: int = part) -> None:
            if progress is not None:
                progress((part + generation / generations) / len(SIGNS))

        def value(points: np.ndarray, sign: float = sign) -> np.ndarray:
            loads = linkages.front_loads(points)
            if in_punch and throttle is not None:
                loads = _punched(present, points, loads, grade_deg, throttle)
            return sign * loads

        result = search(
            value,
            start - limits.reach,
            start + limits.reach,
            seed=seed,
            population=population,
            generations=generations,
            start=start,
            confirm=confirm,
            progress=report,
        )
        best[name] = result.points[:, 0]
        total, refused = total + result.evaluations, refused + result.refused
    found = {}
    for name, numbers in best.items():
        points = _points(numbers)
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


def _extreme(
    name: str, vehicle: Vehicle, points: dict[str, list[float]], grade_deg: float, throttle: float | None
) -> Extreme:
    climb = Climb(vehicle)
    row = climb.row(grade_deg)
    limits = climb.limits
    ends = {name: getattr(limits, f"{name}_grade_deg") for name in ("tip_over", "fold")}
    met = {name: end for name, end in ends.items() if end is not None}
    by = min(met, key=lambda name: met[name]) if met else None
    summary: dict = {}
    divided = None
    if throttle is not None and row.front_load_n is not None:
        run = punch(vehicle, grade_deg=grade_deg, throttle=throttle, standing=climb.standing)
        summary = dict(run.summary) if run.success else {"status": run.status, "message": run.message}
        if run.success:
            divided = punch_range(vehicle, {"grade_deg": grade_deg, "throttle": throttle}, summary)
    return Extreme(
        name,
        points,
        row.status,
        row.front_load_n,
        row.nose_up_pitch_deg,
        None if by is None else met[by],
        by,
        summary,
        split_range(climb, grade_deg),
        divided,
        climb,
        row,
    )
