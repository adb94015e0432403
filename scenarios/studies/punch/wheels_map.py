"""Punches in space over grade and suddenness, and the largest throttle that keeps all four wheels down."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from noseload.documents import plain
from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.result import Result

from .splits_range import Car, divided, ends_of, on_grades
from .wheels_many import punch_wheels_many

AFTER_S = 0.5
"""Shortest run after the end of the rise, s."""
THROTTLES, ROUNDS = 9, 3
"""Throttles tried at once between one that keeps the wheels down and one that does not, and how often."""
SINGLY_BELOW = 8
"""Here fewer punches are run one by one: nine that end at their first lift cost a fifth more so than in one batch."""
GRADES_DEG = (0.0, 10.0, 20.0, 30.0, 40.0)


@dataclass(frozen=True)
class WheelsMap(Result):
    """Times in the air over grade and rise time, for one setup or more.

    Attributes
    ----------
    setups : tuple of str
    grade_deg, rise_s : ndarray
    first_wheel_airborne_s, front_axle_airborne_s, wheel_load_min_n : ndarray, shape (setups, grades, rises)
        Time in the air of the first wheel to lift (0 where none does) and of both front wheels at once, s, and the least
        load of any wheel, N; not a number where a punch cannot start.
    first_wheel : ndarray of str, shape (setups, grades, rises)
        '' where no wheel lifts.
    status : ndarray of str, shape (setups, grades, rises)
    """

    picture = "punch.wheels_map.plot_map"
    setups: tuple
    throttle: float
    grade_deg: np.ndarray
    rise_s: np.ndarray
    first_wheel_airborne_s: np.ndarray
    front_axle_airborne_s: np.ndarray
    wheel_load_min_n: np.ndarray
    first_wheel: np.ndarray = field(repr=False)
    status: np.ndarray = field(repr=False)
    by_law: "tuple[WheelsMap, ...]" = field(default=(), repr=False)
    """The same map under each plausible division of the pull between geared axles, where that was asked for."""

    def ends(self, name: str) -> np.ndarray:
        """Least and largest of one of the arrays of numbers over the laws, along a first axis; laws under which nothing starts have no part."""
        return ends_of([getattr(each, name) for each in (self, *self.by_law)])

    @property
    def lifted_share(self) -> np.ndarray:
        """Share of the cells in which a wheel lifts, by setup, of those in which every setup starts; shape (setups,)."""
        good = (self.status == "ok").all(axis=0)
        return (self.first_wheel != "")[:, good].mean(axis=1) if good.any() else np.full(len(self.setups), np.nan)

    @property
    def changes_s(self) -> np.ndarray:
        """What the second setup changes of the first wheel's time in the air, s, in the cells in which both start."""
        good = (self.status == "ok").all(axis=0)
        return (self.first_wheel_airborne_s[1] - self.first_wheel_airborne_s[0])[good]

    def rows(self) -> list[dict[str, Any]]:
        """One dict per cell, for a CSV file."""
        low, high = self.ends("first_wheel_airborne_s")
        return [
            {
                "setup": setup,
                "grade_deg": float(grade),
                "rise_s": float(rise),
                "first_wheel": str(self.first_wheel[k, i, j]),
                "first_wheel_airborne_s": float(self.first_wheel_airborne_s[k, i, j]),
                "front_axle_airborne_s": float(self.front_axle_airborne_s[k, i, j]),
                "wheel_load_min_n": float(self.wheel_load_min_n[k, i, j]),
                "status": str(self.status[k, i, j]),
                "first_wheel_airborne_low_s": float(low[k, i, j]) if self.by_law else np.nan,
                "first_wheel_airborne_high_s": float(high[k, i, j]) if self.by_law else np.nan,
                "first_wheels_over_splits": self._first_wheels(k, i, j),
            }
            for k, setup in enumerate(self.setups)
            for i, grade in enumerate(self.grade_deg)
            for j, rise in enumerate(self.rise_s)
        ]

    def _first_wheels(self, k: int, i: int, j: int) -> str | None:
        """The wheels that lift first under some law, joined by 'or'; 'none' where no wheel lifts. None without laws."""
        if not self.by_law:
            return None
        names = [
            str(each.first_wheel[k, i, j]) or "none" for each in (self, *self.by_law) if each.status[k, i, j] == "ok"
        ]
        return " or ".join(dict.fromkeys(names))

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        status = "ok" if (self.status == "ok").any() else "no_solution"
        return plain({"setups": list(self.setups), "throttle": self.throttle, "rows": self.rows(), "status": status})


def wheels_map(
    vehicles: Sequence[Vehicle],
    *,
    grades_deg: Sequence[float] | np.ndarray,
    rises_s: Sequence[float] | np.ndarray,
    throttle: float = 1.0,
    start_s: float = 0.1,
    duration_s: float = 1.0,
    heading_deg: float = 0.0,
    over_splits: bool = False,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> WheelsMap:
    """Run punches in space over grade and rise time.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Setups, with y of links and shocks.
    grades_deg, rises_s : array_like
    throttle, start_s, duration_s, heading_deg
        As in `punch_wheels`; a run lasts at least half a second after the rise.
    over_splits : bool
        Also the same map under each plausible division of the pull between geared axles, in the same batches.
    executor, progress
        As in `punch_many`.

    Raises
    ------
    MissingDataError, ModelError
        A vehicle lacks a y or a track, or an option makes no sense.
    """
    grades, rises = np.asarray(grades_deg, dtype=float), np.asarray(rises_s, dtype=float)
    if not grades.size or not rises.size:
        raise ModelError("map of wheels: give at least one grade and one rise time")
    cars: list[Car] = [*vehicles, *(divided(vehicles, grades) if over_splits else ())]
    shape = (len(cars), grades.size, rises.size)
    which, rows, columns = (index.ravel() for index in np.indices(shape))
    each_rise = rises[columns]
    found = punch_wheels_many(
        on_grades(cars, which, rows),
        grade_deg=grades[rows],
        rise_s=each_rise,
        throttle=throttle,
        start_s=start_s,
        duration_s=np.maximum(duration_s, start_s + each_rise + AFTER_S),
        heading_deg=heading_deg,
        executor=executor,
        progress=progress,
    )
    count, setups = len(vehicles), tuple(vehicle.setup for vehicle in vehicles)

    def of(array: np.ndarray, first: int) -> np.ndarray:
        return array.reshape(shape)[first : first + count]

    maps = [
        WheelsMap(
            setups,
            float(throttle),
            grades,
            rises,
            of(found.first_wheel_airborne_s, first),
            of(found.numbers["front_axle_airborne_s"], first),
            of(found.wheel_load_min_n, first),
            of(found.first_wheel, first),
            of(found.status, first),
        )
        for first in range(0, len(cars), count)
    ]
    return replace(maps[0], by_law=tuple(maps[1:]))


@dataclass(frozen=True)
class LargestWheelThrottle(Result):
    """Largest throttle that keeps all four wheels on the ground, over grade.

    Attributes
    ----------
    grades_deg, holding, throttles : ndarray
        Throttle that holds the crawl, and the largest that lifts no wheel (1: full throttle lifts none); not a number where
        nothing holds the start.
    first_wheel : ndarray of str
        The wheel that lifts just above it, '' at full throttle.
    within : float
        The first throttle that lifts a wheel is at most so much larger.
    """

    picture = "punch.wheels_map.plot_largest_throttle"
    setup: str
    rise_s: float
    grades_deg: np.ndarray
    holding: np.ndarray
    throttles: np.ndarray
    first_wheel: np.ndarray
    within: float
    by_law: "tuple[LargestWheelThrottle, ...]" = field(default=(), repr=False)
    """The same under each plausible division of the pull between geared axles, where that was asked for."""

    def ends(self) -> list[list[float] | None]:
        """Least and largest throttle over the laws, a pair a grade; None without laws or where none holds a start."""
        pairs = ends_of([each.throttles for each in (self, *self.by_law)]).T
        return [pair.tolist() if self.by_law and np.isfinite(pair).all() else None for pair in pairs]

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        names = ("grade_deg", "throttle_start", "largest_throttle", "first_wheel", "largest_throttle_range")
        columns = (self.grades_deg, self.holding, self.throttles, self.first_wheel, self.ends())
        rows = [dict(zip(names, cells, strict=True)) for cells in zip(*columns, strict=True)]
        return plain({"setup": self.setup, "rise_s": self.rise_s, "within": self.within, "rows": rows, "status": "ok"})


def largest_wheel_throttle(
    vehicle: Vehicle,
    *,
    grades_deg: Sequence[float] = GRADES_DEG,
    rise_s: float = 0.05,
    heading_deg: float = 0.0,
    over_splits: bool = False,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> LargestWheelThrottle:
    """The largest throttle below the first that lifts a wheel, on each grade.

    Throttles between holding and full are tried at once and the gap below the first that lifts a wheel again, three times:
    a lift between two that keep all wheels down would be missed. `over_splits`: also under each plausible division of the pull
    between geared axles, in the same batches.
    """
    grades = np.asarray(grades_deg, dtype=float)
    cars: list[Car] = [vehicle, *(divided([vehicle], grades) if over_splits else ())]
    which, rows = (index.ravel() for index in np.indices((len(cars), grades.size)))
    fleet, lanes = on_grades(cars, which, rows), grades[rows]
    held = punch_wheels_many(
        fleet, grade_deg=lanes, throttle=0.0, program="hold", duration_s=0.05, heading_deg=heading_deg
    )
    holding = held.numbers["throttle_start"]
    good = np.isfinite(holding)
    low, high = np.where(good, holding, np.nan), np.where(good, 1.0, np.nan)
    wheel = np.full(lanes.size, "", dtype=object)
    lifted = np.zeros(lanes.size, dtype=bool)
    for _ in range(ROUNDS):
        open_lanes = np.flatnonzero(good & (lifted | (high == 1.0)) & (high > low))
        if not open_lanes.size:
            break
        tried = low[open_lanes, None] + (high - low)[open_lanes, None] * np.linspace(0.0, 1.0, THROTTLES + 1)[1:]
        found = punch_wheels_many(
            [fleet[lane] for lane in open_lanes for _ in range(THROTTLES)],
            grade_deg=np.repeat(lanes[open_lanes], THROTTLES),
            throttle=tried.ravel(),
            rise_s=rise_s,
            stop_at_lift=True,
            singly_below=SINGLY_BELOW,
            heading_deg=heading_deg,
            executor=executor,
            progress=progress,
        )
        up = (found.first_wheel != "").reshape(tried.shape)
        names = found.first_wheel.reshape(tried.shape)
        for lane, throttles, lifts, who in zip(open_lanes, tried, up, names, strict=True):
            if not lifts.any():
                low[lane] = throttles[-1] if not lifted[lane] else low[lane]
                continue
            k = int(lifts.argmax())
            lifted[lane], wheel[lane] = True, who[k]
            low[lane], high[lane] = (throttles[k - 1] if k else low[lane]), throttles[k]
    within = float(np.nanmax(np.where(lifted, high - low, 0.0))) if good.any() else 0.0
    shape = (len(cars), grades.size)
    columns = zip(holding.reshape(shape), low.reshape(shape), wheel.reshape(shape), strict=True)
    results = [LargestWheelThrottle(vehicle.setup, float(rise_s), grades, *column, within) for column in columns]
    return replace(results[0], by_law=tuple(results[1:]))
