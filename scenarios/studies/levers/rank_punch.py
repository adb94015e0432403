"""What levers and whole changes buy in a throttle punch, by differences in one batch of runs."""

from dataclasses import dataclass

import numpy as np

from noseload.model.vehicle import Vehicle
from noseload.studies.punch.many import punch_many

PUNCH_OUTCOMES = ("punch_front_load_min_n", "punch_front_airborne_s", "punch_limit_grade_deg")
"""Least front load and airborne time at the punch's grade; steepest grade up to which the front stays down."""
SCAN = 6.0
SHALLOWEST = -20.0
ROUNDS, PARTS = 3, 4
"""Rounds that cut the bracket of a limit into parts: 6 deg to 0.1 deg."""
BELOW = 1.5
"""Levers are looked at this far below the limit, deg: there a unit of most still leaves load on the front."""
AHEAD = 0.25


@dataclass(frozen=True)
class PunchBase:
    """The vehicle's own punch, from which levers are measured.

    Attributes
    ----------
    grade_deg : float
        Of the least load and the airborne time.
    limit_deg : float or None
        None where the front lifts, or the start is not held, at every grade looked at.
    slope : float
        Least front load by grade just below the limit, N/deg.
    near_load : float
        Least front load there, N.
    outcomes : dict
    """

    grade_deg: float
    limit_deg: float | None
    slope: float
    near_load: float
    outcomes: dict


def _least_loads(vehicles, grades, many):
    """Least front load (N; 0 where not held) and airborne time (s; not a number where not held)."""
    run = many(list(vehicles), grade_deg=np.asarray(grades, dtype=float))
    good = run.status == "ok"
    return np.where(good, run.front_load_min_n, 0.0), np.where(good, run.front_airborne_s, np.nan)


def punch_limits(vehicles, steepest_deg, many=punch_many):
    """Steepest grade up to which a full punch never lifts the front axle, deg, shape (vehicles,).

    Parameters
    ----------
    vehicles : sequence of Vehicle
    steepest_deg : float
        Where the scan ends.
    many : callable
        `punch_many`, here and below, or the same with an executor or progress put in.

    Returns
    -------
    ndarray
        Not a number where the front lifts at every grade, `steepest_deg` where it never does.
    """
    count, grid = len(vehicles), np.arange(SHALLOWEST, steepest_deg + SCAN, SCAN)
    loads = _least_loads([v for v in vehicles for _ in grid], np.tile(grid, count), many)[0].reshape(count, -1)
    lifted = loads <= 0.0
    first = np.where(lifted.any(axis=1), lifted.argmax(axis=1), grid.size)
    low = np.where(first > 0, grid[np.maximum(first - 1, 0)], np.nan)
    open_ = (first > 0) & (first < grid.size)
    width = SCAN
    for _ in range(ROUNDS if open_.any() else 0):
        which = np.flatnonzero(open_)
        inner = np.arange(1, PARTS) * width / PARTS
        grades = low[which, None] + inner
        loads = _least_loads([vehicles[k] for k in which for _ in inner], grades.ravel(), many)[0].reshape(grades.shape)
        lifted = np.concatenate([loads <= 0.0, np.ones((which.size, 1), dtype=bool)], axis=1)
        width /= PARTS
        low[which] += lifted.argmax(axis=1) * width
    return np.where(open_, low + 0.5 * width, np.minimum(low, steepest_deg))


def punch_base(vehicle: Vehicle, tip_over_deg, grade_deg=None, many=punch_many):
    """The vehicle's own punch.

    Parameters
    ----------
    vehicle : Vehicle
    tip_over_deg : float or None
    grade_deg : float, optional
        Default: a degree and a half below the punch limit.

    Returns
    -------
    PunchBase
    """
    steepest = 60.0 if tip_over_deg is None else tip_over_deg
    limit = float(punch_limits([vehicle], steepest, many)[0])
    known = np.isfinite(limit)
    near = limit - BELOW if known else 0.0
    grade = near if grade_deg is None else float(grade_deg)
    loads, airborne = _least_loads([vehicle] * 4, [grade, near - AHEAD, near + AHEAD, near], many)
    slope = (loads[2] - loads[1]) / (2.0 * AHEAD)
    outcomes = (float(loads[0]), _number(airborne[0]), limit if known else None)
    return PunchBase(
        grade, limit if known else None, float(slope), float(loads[3]), dict(zip(PUNCH_OUTCOMES, outcomes, strict=True))
    )


def _number(value):
    return float(value) if np.isfinite(value) else None


def lever_effects(pairs, base: PunchBase, many=punch_many):
    """Effects of one practical unit, by central differences.

    Parameters
    ----------
    pairs : sequence of (Vehicle, Vehicle)
        One unit more and one unit less.
    base : PunchBase

    Returns
    -------
    list of dict
        By `PUNCH_OUTCOMES`; the limit by the least load's slope over grade, None where there is no limit.
    """
    flat = [vehicle for pair in pairs for vehicle in pair]
    near = base.grade_deg if base.limit_deg is None else base.limit_deg - BELOW
    grades = [base.grade_deg] if near == base.grade_deg else [base.grade_deg, near]
    loads, airborne = _least_loads(flat * len(grades), np.repeat(grades, len(flat)), many)
    loads, airborne = (values.reshape(len(grades), -1, 2) for values in (loads, airborne))
    own = np.array([base.outcomes["punch_front_load_min_n"], base.near_load])[: len(grades)]
    change, lifted = _differences(loads, own), 0.5 * (airborne[0, :, 0] - airborne[0, :, 1])
    found = []
    for k in range(len(pairs)):
        moved = -change[-1, k] / base.slope if base.limit_deg is not None and base.slope < 0.0 else np.nan
        values = (change[0, k], lifted[k], moved)
        found.append(dict(zip(PUNCH_OUTCOMES, map(_number, values), strict=True)))
    return found


def _differences(loads, own):
    """Central differences of least loads (grades, levers, 2); one-sided where one side has lifted off."""
    more, less = loads[..., 0], loads[..., 1]
    central = 0.5 * (more - less)
    central = np.where((more <= 0.0) & (less > 0.0), own[:, None] - less, central)
    return np.where((less <= 0.0) & (more > 0.0), more - own[:, None], central)


def whole_outcomes(vehicles, base: PunchBase, tip_over_deg, many=punch_many):
    """Punch outcomes of changed vehicles, their limits searched anew: list of dict by `PUNCH_OUTCOMES`."""
    if not vehicles:
        return []
    loads, airborne = _least_loads(vehicles, [base.grade_deg] * len(vehicles), many)
    limits = punch_limits(vehicles, 60.0 if tip_over_deg is None else tip_over_deg, many)
    return [
        dict(zip(PUNCH_OUTCOMES, (float(load), _number(up), _number(limit)), strict=True))
        for load, up, limit in zip(loads, airborne, limits, strict=True)
    ]
