"""Punches in space over grade and suddenness, and the largest throttle that keeps all four wheels down."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from noseload.documents import plain
from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.result import Result

from .wheels_many import punch_wheels_many

AFTER_S = 0.5
"""Shortest run after the end of the rise, s."""
THROTTLES, ROUNDS = 9, 3
"""Throttles tried at once between one that keeps the wheels down and one that does not, and how often."""
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

    def rows(self) -> list[dict[str, Any]]:
        """One dict per cell, for a CSV file."""
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
            }
            for k, setup in enumerate(self.setups)
            for i, grade in enumerate(self.grade_deg)
            for j, rise in enumerate(self.rise_s)
        ]

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
    shape = (len(vehicles), grades.size, rises.size)
    which, rows, columns = np.indices(shape)
    each_rise = rises[columns.ravel()]
    found = punch_wheels_many(
        [vehicles[k] for k in which.ravel()],
        grade_deg=grades[rows.ravel()],
        rise_s=each_rise,
        throttle=throttle,
        start_s=start_s,
        duration_s=np.maximum(duration_s, start_s + each_rise + AFTER_S),
        heading_deg=heading_deg,
        executor=executor,
        progress=progress,
    )
    return WheelsMap(
        tuple(vehicle.setup for vehicle in vehicles),
        float(throttle),
        grades,
        rises,
        found.first_wheel_airborne_s.reshape(shape),
        found.numbers["front_axle_airborne_s"].reshape(shape),
        found.wheel_load_min_n.reshape(shape),
        found.first_wheel.reshape(shape),
        found.status.reshape(shape),
    )


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

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        names = ("grade_deg", "throttle_start", "largest_throttle", "first_wheel")
        columns = (self.grades_deg, self.holding, self.throttles, self.first_wheel)
        rows = [dict(zip(names, cells, strict=True)) for cells in zip(*columns, strict=True)]
        return plain({"setup": self.setup, "rise_s": self.rise_s, "within": self.within, "rows": rows, "status": "ok"})


def largest_wheel_throttle(
    vehicle: Vehicle,
    *,
    grades_deg: Sequence[float] = GRADES_DEG,
    rise_s: float = 0.05,
    heading_deg: float = 0.0,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> LargestWheelThrottle:
    """The largest throttle below the first that lifts a wheel, on each grade.

    Throttles between holding and full are tried at once and the gap below the first that lifts a wheel again, three times:
    a lift between two that keep all wheels down would be missed.
    """
    grades = np.asarray(grades_deg, dtype=float)
    held = punch_wheels_many(
        vehicle, grade_deg=grades, throttle=0.0, program="hold", duration_s=0.05, heading_deg=heading_deg
    )
    holding = held.numbers["throttle_start"]
    good = np.isfinite(holding)
    low, high = np.where(good, holding, np.nan), np.where(good, 1.0, np.nan)
    wheel = np.full(grades.size, "", dtype=object)
    lifted = np.zeros(grades.size, dtype=bool)
    for _ in range(ROUNDS):
        rows = np.flatnonzero(good & (lifted | (high == 1.0)) & (high > low))
        if not rows.size:
            break
        tried = low[rows, None] + (high - low)[rows, None] * np.linspace(0.0, 1.0, THROTTLES + 1)[1:]
        found = punch_wheels_many(
            vehicle,
            grade_deg=np.repeat(grades[rows], THROTTLES),
            throttle=tried.ravel(),
            rise_s=rise_s,
            stop_at_lift=True,
            heading_deg=heading_deg,
            executor=executor,
            progress=progress,
        )
        up = (found.first_wheel != "").reshape(tried.shape)
        names = found.first_wheel.reshape(tried.shape)
        for row, throttles, lifts, who in zip(rows, tried, up, names, strict=True):
            if not lifts.any():
                low[row] = throttles[-1] if not lifted[row] else low[row]
                continue
            k = int(lifts.argmax())
            lifted[row], wheel[row] = True, who[k]
            low[row], high[row] = (throttles[k - 1] if k else low[row]), throttles[k]
    within = float(np.nanmax(np.where(lifted, high - low, 0.0))) if good.any() else 0.0
    return LargestWheelThrottle(vehicle.setup, float(rise_s), grades, holding, low, wheel, within)
