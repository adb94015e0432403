"""What levers and whole changes buy in a throttle punch, by differences in one batch of runs."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.model.vehicle import Vehicle
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.rounds import ROUGH, ROUGH_STEP_S, SINGLY_BELOW
from noseload.studies.punch.splits_range import Moving

PUNCH_OUTCOMES = ("punch_front_load_min_n", "punch_front_airborne_s", "punch_limit_grade_deg")
"""Least front load and airborne time at the punch's grade; steepest grade up to which the front stays down."""
SCAN = 6.0
SHALLOWEST = -20.0
CUT = 0.5
"""Grades between those of the scan, where the limit must lie, and two below them, deg."""
STEPS, OWN_STEPS = range(-2, round(SCAN / CUT)), range(-2, 4)
"""Of the second look, from the last grade of the scan without a lift on."""
OFF = 0.05
"""A limit by the least load's way to zero that falls so far out of its bracket, deg, is searched by halves."""
FINE = 0.1
BELOW = 1.5
"""Levers are looked at this far below the limit, deg: there a unit of most still leaves load on the front."""
AHEAD = 0.25
TOLERANCE = 1e-4
"""Of the batch: both sides of a lever err alike, so that effects are within 0.1 g and a half percent."""


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
    by_law : tuple of dict
        Outcomes under each plausible division of the pull between geared axles.
    """

    grade_deg: float
    limit_deg: float | None
    slope: float
    near_load: float
    outcomes: dict
    by_law: tuple[dict[str, float | None], ...] = ()

    @property
    def divided_at_deg(self) -> float:
        """Grade at which the pull is divided: the limit, or where there is none that of the punch."""
        return self.grade_deg if self.limit_deg is None else self.limit_deg

    @property
    def ranges(self) -> dict[str, list[float]]:
        """Least and largest of each outcome over the laws; without those that have one number or none."""
        columns = {name: [each[name] for each in (self.outcomes, *self.by_law)] for name in self.outcomes}
        known = {name: [value for value in column if value is not None] for name, column in columns.items()}
        return {name: [min(values), max(values)] for name, values in known.items() if len(values) > 1}


def _least_loads(
    vehicles: Sequence[Vehicle], grades: Sequence[float] | np.ndarray, many: Callable, **options: Any
) -> tuple[np.ndarray, np.ndarray]:
    """Least front load (N; 0 where not held) and airborne time (s; not a number where not held)."""
    run = many(list(vehicles), grade_deg=np.asarray(grades, dtype=float), **options)
    good = run.status == "ok"
    return np.where(good, run.front_load_min_n, 0.0), np.where(good, run.front_airborne_s, np.nan)


class LimitSearch:
    """Steepest grades up to which a full punch never lifts the front axle.

    A rough scan in steps of 6 deg; then grades half a degree apart around the first lift, where the least load's way to
    zero is followed by a parabola. What does not end that way (a start that nothing holds) is narrowed down by halves.
    The first vehicle, for which the others wait, is scanned in whole degrees at once, so that few accurate runs are left.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    steepest_deg : float
        Where the scan ends.
    """

    def __init__(self, vehicles: Sequence[Vehicle], steepest_deg: float) -> None:
        self.vehicles, self.steepest = list(vehicles), steepest_deg
        self.scan = np.arange(SHALLOWEST, steepest_deg + SCAN, SCAN)
        self.finer = np.arange(SHALLOWEST, self.scan[-1] + CUT, 2.0 * CUT)
        self.limits = np.full(len(self.vehicles), np.nan)
        """Not a number where the front lifts at every grade, `steepest_deg` where it never does."""

    def first_cases(self) -> tuple:
        """Vehicles and grades of the scan."""
        vehicles = [v for v in self.vehicles for _ in self.scan] + [self.vehicles[0]] * self.finer.size
        return vehicles, np.concatenate([np.tile(self.scan, len(self.vehicles)), self.finer])

    def bracket(self, loads: np.ndarray) -> None:
        """Take the least loads of the scan (N; 0 where lifted)."""
        loads, own = np.split(loads, [-self.finer.size])
        lifted = loads.reshape(len(self.vehicles), -1) <= 0.0
        first = np.where(lifted.any(axis=1), lifted.argmax(axis=1), self.scan.size)
        self.limits[first == self.scan.size] = self.steepest
        self.which = np.flatnonzero((first > 0) & (first < self.scan.size))
        self.low = self.scan[first[self.which] - 1]
        if 0 in self.which:
            within = (self.finer > self.low[0] - OFF) & (self.finer < self.low[0] + SCAN + OFF)
            self.low[0] = self.finer[within][np.argmax(own[within] <= 0.0) - 1]

    def grades_of(self, some: np.ndarray) -> np.ndarray:
        """Grades (places, steps) around the brackets of the first vehicle, or of some of the others with one."""
        steps = OWN_STEPS if self.which[some[0]] == 0 else STEPS
        return self.low[some, None] + CUT * np.array(steps)

    def cases(self, some: np.ndarray) -> tuple:
        """Vehicles and grades of the second look at some of those with a bracket."""
        if not len(some):
            return [], np.empty(0)
        grades = self.grades_of(some)
        return [self.vehicles[k] for k in self.which[some] for _ in range(grades.shape[1])], grades.ravel()

    def settle(self, some: Any, loads: np.ndarray, many: Callable) -> None:
        """Take the least loads of the second look; the limits are known then."""
        grades = self.grades_of(some) if len(some) else np.empty((0, 0))
        for place, row, load in zip(some, grades, loads.reshape(grades.shape), strict=True):
            # Loads below the bracket are above zero by the scan.
            first = next((j for j in range(2, row.size) if load[j] <= 0.0), row.size)
            low, high = row[first - 1], row[first - 1] + CUT
            if first > 2:
                found = _root(row[first - 3 : first], load[first - 3 : first])
            else:
                found = np.nan
            if not low - OFF <= found <= high + OFF:
                found = _halved(self.vehicles[self.which[place]], low, high, many)
            self.limits[self.which[place]] = min(max(found, low), high, self.steepest)


def _root(grades: np.ndarray, loads: np.ndarray) -> float:
    """Where the parabola through three falling loads reaches zero, deg; not a number where it does not."""
    (a, b, c), step = loads, grades[1] - grades[0]
    bend, slope = 0.5 * (a - 2.0 * b + c), 0.5 * (3.0 * c - 4.0 * b + a)
    inside = slope**2 - 4.0 * bend * c
    if slope >= 0.0 or inside < 0.0:
        return np.nan
    return grades[2] + step * 2.0 * c / (-slope + np.sqrt(inside))


def _halved(vehicle: Vehicle, low: float, high: float, many: Callable) -> float:
    """The limit between two grades, by halves."""
    while high - low > FINE:
        middle = 0.5 * (low + high)
        if _least_loads([vehicle], [middle], many, stop_at_lift=True, singly_below=2)[0][0] > 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def punch_outcomes(
    vehicle: Vehicle, pairs: Any, wholes: Any, tip_over_deg: Any, grade_deg: float | None = None, many: Any = punch_many
) -> Any:
    """The vehicle's own punch, the effects of its levers and the outcomes of changed vehicles, in two batches.

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
    search = LimitSearch([vehicle, *wholes], 60.0 if tip_over_deg is None else tip_over_deg)
    vehicles, grades = search.first_cases()
    rough = {"tolerance": ROUGH, "largest_step_s": ROUGH_STEP_S}
    search.bracket(_least_loads(vehicles, grades, many, stop_at_lift=True, **rough)[0])
    others = np.flatnonzero(search.which > 0)
    if search.which.size > others.size:
        # The vehicle's own limit comes first: it says where levers are looked at.
        vehicles, grades = search.cases(np.array([0]))
        loads, _ = _least_loads(vehicles, grades, many, stop_at_lift=True, singly_below=SINGLY_BELOW)
        search.settle([0], loads, many)
    limit = float(search.limits[0])
    known = bool(np.isfinite(limit))
    near = limit - BELOW if known else 0.0
    grade = near if grade_deg is None else float(grade_deg)
    flat = [one for pair in pairs for one in pair]
    # What the levers do to the limit is seen near it, what they do to the load at the punch's grade.
    grades = [grade] if near == grade or not known else [grade, near]
    own = [grade, near - AHEAD, near + AHEAD, near]
    parts = [
        ([vehicle] * 4, own),
        (flat * len(grades), np.repeat(grades, len(flat))),
        (list(wholes), [grade] * len(wholes)),
        search.cases(others),
    ]
    looks = np.repeat([False, False, False, True], [len(vehicles) for vehicles, _ in parts])
    loads, airborne = _least_loads(
        [one for vehicles, _ in parts for one in vehicles],
        np.concatenate([at for _, at in parts]),
        many,
        stop_at_lift=looks,
        tolerance=TOLERANCE,
    )
    ends = np.cumsum([len(vehicles) for vehicles, _ in parts])[:-1]
    (loads, moved, changed, looked), (airborne, flown, up, _) = np.split(loads, ends), np.split(airborne, ends)
    search.settle(others, looked, many)
    base = _base(grade, limit if known else None, loads, airborne)
    shape = (len(grades), -1, 2)
    effects = _lever_effects(moved.reshape(shape), flown.reshape(shape), base)
    outcomes = [
        dict(zip(PUNCH_OUTCOMES, (float(load), _number(air), _number(steepest)), strict=True))
        for load, air, steepest in zip(changed, up, search.limits[1:], strict=True)
    ]
    return base, effects, outcomes


def _base(grade: float, limit: Any, loads: Any, airborne: Any) -> Any:
    slope = (loads[2] - loads[1]) / (2.0 * AHEAD)
    outcomes = (float(loads[0]), _number(airborne[0]), limit)
    return PunchBase(grade, limit, float(slope), float(loads[3]), dict(zip(PUNCH_OUTCOMES, outcomes, strict=True)))


def _number(value: float) -> Any:
    return float(value) if np.isfinite(value) else None


def _lever_effects(loads: Any, airborne: Any, base: Any) -> Any:
    """Effects of one unit from arrays (grades, levers, 2)."""
    own = np.array([base.outcomes["punch_front_load_min_n"], base.near_load])[: len(loads)]
    change, lifted = _differences(loads, own), 0.5 * (airborne[0, :, 0] - airborne[0, :, 1])
    found = []
    for k in range(loads.shape[1]):
        moved = -change[-1, k] / base.slope if base.limit_deg is not None and base.slope < 0.0 else np.nan
        values = (change[0, k], lifted[k], moved)
        found.append(dict(zip(PUNCH_OUTCOMES, map(_number, values), strict=True)))
    return found


def _differences(loads: Any, own: Any) -> Any:
    """Central differences of least loads (grades, levers, 2); one-sided where one side has lifted off."""
    more, less = loads[..., 0], loads[..., 1]
    central = 0.5 * (more - less)
    central = np.where((more <= 0.0) & (less > 0.0), own[:, None] - less, central)
    return np.where((less <= 0.0) & (more > 0.0), more - own[:, None], central)


def punches_by_law(
    vehicle: Vehicle,
    wholes: Sequence[Vehicle],
    base: PunchBase,
    tip_over_deg: float | None,
    many: Callable = punch_many,
) -> tuple[list[dict[str, float | None]], list[dict[str, list[float | None]]]]:
    """The vehicle's punch under each plausible division of the pull, and what whole changes do to it, each law taken for both.

    A tyre that rolls on another radius is told as gears, by the loads of the crawl at the vehicle's own punch limit: over the
    degrees between one limit and another that share hardly changes.

    Returns
    -------
    own : list of dict
        By law, the outcomes of the vehicle itself; empty where one axle alone is driven.
    changes : list of dict
        By `PUNCH_OUTCOMES`, the change under each law, None where one of both has no such number.
    """
    cars = [vehicle, *wholes]
    fleets = [Moving(car).at(base.divided_at_deg) for car in cars]
    if not fleets[0]:
        return [], [{} for _ in wholes]
    laws = range(len(fleets[0]))
    flat = [fleet[law] if fleet else car for law in laws for car, fleet in zip(cars, fleets, strict=True)]
    found = _searched(flat, base.grade_deg, tip_over_deg, many)
    by_law = [found[law * len(cars) : (law + 1) * len(cars)] for law in laws]
    changes = [
        {name: [_change(group[0][name], group[k][name]) for group in by_law] for name in PUNCH_OUTCOMES}
        for k in range(1, len(cars))
    ]
    return [group[0] for group in by_law], changes


def levers_by_law(
    vehicle: Vehicle, pairs: Sequence[tuple[Vehicle, Vehicle]], base: PunchBase, many: Callable = punch_many
) -> list[list[dict[str, float | None]]]:
    """Effects of levers on the punch under each plausible division of the pull, each taken near the limit of that law, in one batch.

    Returns
    -------
    list of list of dict
        By lever and law, by `PUNCH_OUTCOMES`; no laws where one axle alone is driven.
    """
    flat, at = [one for pair in pairs for one in pair], base.divided_at_deg
    if not base.by_law or not flat:
        return [[] for _ in pairs]
    own, fleets = Moving(vehicle).at(at), [Moving(car).at(at) for car in flat]
    cars, grades = [], []
    for law, outcomes in enumerate(base.by_law):
        limit = outcomes["punch_limit_grade_deg"]
        near = base.grade_deg if limit is None else limit - BELOW
        moved = [fleet[law] if fleet else car for car, fleet in zip(flat, fleets, strict=True)]
        cars += [*[own[law]] * 3, *moved, *moved]
        grades += [near - AHEAD, near + AHEAD, near, *[base.grade_deg] * len(flat), *[near] * len(flat)]
    loads, airborne = _least_loads(cars, grades, many, tolerance=TOLERANCE)
    count = len(base.by_law)
    loads, airborne = loads.reshape(count, -1), airborne.reshape(count, -1)
    found = []
    for law, outcomes in enumerate(base.by_law):
        low, high, near_load = loads[law, :3]
        slope = float(high - low) / (2.0 * AHEAD)
        limit = outcomes["punch_limit_grade_deg"]
        under = PunchBase(base.grade_deg, limit, slope, float(near_load), dict(outcomes))
        sides, flown = (values[law, 3:].reshape(2, -1, 2) for values in (loads, airborne))
        found.append(_lever_effects(sides, flown, under))
    return [list(laws) for laws in zip(*found, strict=True)]


def _change(before: float | None, after: float | None) -> float | None:
    return None if before is None or after is None else after - before


def _searched(
    vehicles: Sequence[Vehicle], grade_deg: float, tip_over_deg: float | None, many: Callable
) -> list[dict[str, float | None]]:
    """Outcomes of vehicles, their limits searched, in two batches."""
    search = LimitSearch(vehicles, 60.0 if tip_over_deg is None else tip_over_deg)
    scanned, grades = search.first_cases()
    rough = {"tolerance": ROUGH, "largest_step_s": ROUGH_STEP_S}
    search.bracket(_least_loads(scanned, grades, many, stop_at_lift=True, **rough)[0])
    places = np.arange(search.which.size)
    first = places[search.which[places] == 0] if places.size else places
    others = places[search.which[places] > 0] if places.size else places
    looked, at = [], []
    for some in (first, others):
        cases, cuts = search.cases(some)
        looked += cases
        at.append(cuts)
    looks = np.repeat([False, True], [len(vehicles), len(looked)])
    loads, airborne = _least_loads(
        [*vehicles, *looked],
        np.concatenate([np.full(len(vehicles), grade_deg), *at]),
        many,
        stop_at_lift=looks,
        tolerance=TOLERANCE,
    )
    seen = np.split(loads[len(vehicles) :], [at[0].size])
    for some, part in zip((first, others), seen, strict=True):
        search.settle(some, part, many)
    return [
        dict(zip(PUNCH_OUTCOMES, (float(load), _number(air), _number(limit)), strict=True))
        for load, air, limit in zip(loads, airborne, search.limits, strict=False)
    ]
