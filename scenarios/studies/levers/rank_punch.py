"""What levers and whole changes buy in a throttle punch, by differences in one batch of runs."""

from dataclasses import dataclass

import numpy as np

from noseload.studies.punch.many import punch_many

PUNCH_OUTCOMES = ("punch_front_load_min_n", "punch_front_airborne_s", "punch_limit_grade_deg")
"""Least front load and airborne time at the punch's grade; steepest grade up to which the front stays down."""
SCAN = 6.0
SHALLOWEST = -20.0
CUTS, CUTS_OF_MANY = (60,), (10, 6)
"""Parts into which the bracket of a limit is cut, round by round: 6 deg to 0.1 deg."""
MANY = 10
"""Vehicles from which a second round costs less than so many punches at once."""
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


def _least_loads(vehicles, grades, many, **options):
    """Least front load (N; 0 where not held) and airborne time (s; not a number where not held)."""
    run = many(list(vehicles), grade_deg=np.asarray(grades, dtype=float), **options)
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
    lifted = _lifts([v for v in vehicles for _ in grid], np.tile(grid, count), many).reshape(count, -1)
    first = np.where(lifted.any(axis=1), lifted.argmax(axis=1), grid.size)
    low = np.where(first > 0, grid[np.maximum(first - 1, 0)], np.nan)
    which = np.flatnonzero((first > 0) & (first < grid.size))
    width = SCAN
    for parts in CUTS if which.size < MANY else CUTS_OF_MANY:
        inner = np.arange(1, parts) * width / parts
        grades = low[which, None] + inner
        lifted = _lifts([vehicles[k] for k in which for _ in inner], grades.ravel(), many).reshape(grades.shape)
        lifted = np.concatenate([lifted, np.ones((which.size, 1), dtype=bool)], axis=1)
        width /= parts
        low[which] += lifted.argmax(axis=1) * width
    found = np.minimum(low, steepest_deg)
    found[which] = low[which] + 0.5 * width
    return found


def _lifts(vehicles, grades, many):
    """Where the front axle lifts, or the start cannot be held."""
    if not len(vehicles):
        return np.zeros(0, dtype=bool)
    return _least_loads(vehicles, grades, many, stop_at_lift=True)[0] <= 0.0


def punch_outcomes(vehicle, pairs, wholes, tip_over_deg, grade_deg=None, many=punch_many):
    """The vehicle's own punch, the effects of its levers and the outcomes of changed vehicles, in three batches.

    Parameters
    ----------
    vehicle : Vehicle
    pairs : sequence of (Vehicle, Vehicle)
        One unit more and one unit less of every lever.
    wholes : sequence of Vehicle
        Whole changes; their limits are searched too.
    tip_over_deg : float or None
    grade_deg : float, optional
        Default: a degree and a half below the punch limit.
    many : callable

    Returns
    -------
    base : PunchBase
    effects : list of dict
        By `PUNCH_OUTCOMES`, by central differences; the limit by the least load's slope over grade, None where there
        is no limit.
    outcomes : list of dict
        Of the changed vehicles.
    """
    limit, *limits = punch_limits([vehicle, *wholes], 60.0 if tip_over_deg is None else tip_over_deg, many).tolist()
    known = bool(np.isfinite(limit))
    near = limit - BELOW if known else 0.0
    grade = near if grade_deg is None else float(grade_deg)
    flat = [one for pair in pairs for one in pair]
    # What the levers do to the limit is seen near it, what they do to the load at the punch's grade.
    grades = [grade] if near == grade or not known else [grade, near]
    own = [grade, near - AHEAD, near + AHEAD, near]
    loads, airborne = _least_loads(
        [vehicle] * 4 + flat * len(grades) + list(wholes),
        [*own, *np.repeat(grades, len(flat)), *[grade] * len(wholes)],
        many,
    )
    base = _base(grade, limit if known else None, loads[:4], airborne[:4])
    moved, changed = slice(4, 4 + len(flat) * len(grades)), slice(4 + len(flat) * len(grades), None)
    shape = (len(grades), -1, 2)
    effects = _lever_effects(loads[moved].reshape(shape), airborne[moved].reshape(shape), base)
    outcomes = [
        dict(zip(PUNCH_OUTCOMES, (float(load), _number(up), _number(steepest)), strict=True))
        for load, up, steepest in zip(loads[changed], airborne[changed], limits, strict=True)
    ]
    return base, effects, outcomes


def _base(grade, limit, loads, airborne):
    slope = (loads[2] - loads[1]) / (2.0 * AHEAD)
    outcomes = (float(loads[0]), _number(airborne[0]), limit)
    return PunchBase(grade, limit, float(slope), float(loads[3]), dict(zip(PUNCH_OUTCOMES, outcomes, strict=True)))


def _number(value):
    return float(value) if np.isfinite(value) else None


def _lever_effects(loads, airborne, base):
    """Effects of one unit from arrays (grades, levers, 2)."""
    own = np.array([base.outcomes["punch_front_load_min_n"], base.near_load])[: len(loads)]
    change, lifted = _differences(loads, own), 0.5 * (airborne[0, :, 0] - airborne[0, :, 1])
    found = []
    for k in range(loads.shape[1]):
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
