"""Largest throttle of a punch that keeps the front axle down, over grade."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import ceil, isfinite, nan
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.result import Result

from .many import holding_throttles
from .rounds import Answer, Asked, run_rounds

REFINED_THROTTLE = 0.002
MOST_PARTS = 32
"""Into which a range of throttles is cut at most in a round."""
BELOW_END_DEG = (20.0, 10.0, 5.0, 3.0, 2.0, 1.0)
"""Grades at which the largest throttle is asked for, as distances from where the climb ends: it tips, slides, stalls or snaps."""

STEEPEST_DEG = 85.0
"""Taken where no climb ends."""


@dataclass(frozen=True)
class LargestThrottle(Result):
    """Largest throttle that keeps the front axle down, over grade.

    Attributes
    ----------
    setup : str
    grades_deg : tuple of float
    throttles : tuple of float or None
        None where the start cannot be held; 1 where full throttle keeps it down.
    holding : tuple of float or None
        Throttle that holds the crawl.
    by_law : tuple of LargestThrottle
        The same under each plausible division of the pull between geared axles, where that was asked for.
    """

    picture = "climb.summary.plot_largest_throttle"
    setup: str
    grades_deg: tuple
    throttles: tuple
    holding: tuple
    by_law: "tuple[LargestThrottle, ...]" = field(default=(), repr=False)

    def ends(self, name: str) -> list[list[float] | None]:
        """Least and largest of 'holding' or 'throttles' over the laws, a pair a grade; None without laws or where none holds a start."""
        columns = zip(*(getattr(each, name) for each in (self, *self.by_law)), strict=True)
        known = [[value for value in column if value is not None] for column in columns]
        return [[min(values), max(values)] if self.by_law and values else None for values in known]

    def to_dict(self) -> dict[str, Any]:
        """Keys of a JSON document."""
        names = ("grade_deg", "throttle_start", "largest_throttle", "throttle_start_range", "largest_throttle_range")
        columns = (self.grades_deg, self.holding, self.throttles, self.ends("holding"), self.ends("throttles"))
        return {
            "setup": self.setup,
            "rows": [dict(zip(names, cells, strict=True)) for cells in zip(*columns, strict=True)],
        }


def largest_throttle(
    vehicles: Sequence[Vehicle],
    *,
    grades_deg: Sequence[float] | np.ndarray | None = None,
    rise_s: float = 0.05,
    duration_s: float = 1.0,
    refined: float = REFINED_THROTTLE,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> tuple[LargestThrottle, ...]:
    """Largest throttle of a punch that never lifts the front axle, at given grades; all cases in one batch.

    The throttle is scanned upward from the one that holds the crawl, and the first lift-off is narrowed down: a
    larger throttle that would keep the front down again does not count.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    grades_deg : sequence of float, optional
        Default: up to 1 deg below where the first climb ends, the same for every setup.
    rise_s, duration_s : float
    refined : float
        Width to which the throttle is narrowed.
    executor : concurrent.futures.Executor, optional
    progress : callable, optional
        As for `punch_limits`.

    Returns
    -------
    tuple of LargestThrottle
    """
    search = ThrottleSearch(vehicles, grades_deg=grades_deg, rise_s=rise_s, duration_s=duration_s, refined=refined)
    run_rounds([search], executor=executor, progress=progress)
    return search.results()


class ThrottleSearch:
    """Search for `rounds.run_rounds`; options and errors as of `largest_throttle`.

    `under`, one a vehicle: the vehicle by the grade (deg), under a law of division that goes with it (`splits_range.Moving`).
    """

    def __init__(
        self,
        vehicles: Sequence[Vehicle],
        *,
        grades_deg: Sequence[float] | np.ndarray | None = None,
        rise_s: float = 0.05,
        duration_s: float = 1.0,
        refined: float = REFINED_THROTTLE,
        under: Sequence[Callable[[float], Vehicle]] | None = None,
    ) -> None:
        if not 0.0 < refined < 1.0:
            raise ModelError(f"largest throttle: a width of {refined:g} must lie between 0 and 1")
        if grades_deg is None:
            # Setups are compared at the same grades, so those below the first end of a climb serve all.
            ends = [Climb(vehicle).limits.first_grade_deg for vehicle in vehicles]
            first = min((end for end in ends if end is not None), default=STEEPEST_DEG)
            grades_deg = [first - below for below in BELOW_END_DEG]
        self.grades = [float(g) for g in grades_deg]
        self.vehicles, self.rise_s, self.duration_s, self.refined = list(vehicles), rise_s, duration_s, refined
        if under is None:
            self.cases = [(v, g) for v in self.vehicles for g in self.grades]
        else:
            self.cases = [(vehicle_at(g), g) for vehicle_at in under for g in self.grades]
        self.holding = holding_throttles([v for v, _ in self.cases], grade_deg=[g for _, g in self.cases]).tolist()
        self.low, self.high = list(self.holding), [1.0 if isfinite(h) else nan for h in self.holding]
        self.rough = True
        self.known: list[dict[float, bool]] = [{hold: False} for hold in self.holding]
        """Whether the front lifts at a throttle, not by the rough scan; what holds the crawl does not lift it."""
        self.asking = [self._scan(k) for k in range(len(self.cases))]
        self.step = [points[0] - hold if points else nan for points, hold in zip(self.asking, self.low, strict=True)]

    def _parts(self, k: int, most: float) -> int:
        """Into how many a range is cut: few enough that two rounds will do, where that is possible."""
        needed = max(1, ceil((self.high[k] - self.low[k]) / self.refined - 1e-9))
        return needed if needed <= most else min(MOST_PARTS, ceil(needed**0.5 - 1e-9))

    def _cut(self, k: int, parts: int) -> list[float]:
        """The range of a case cut into parts, with its ends."""
        low, high = self.low[k], self.high[k]
        return [low, *(low + (high - low) * j / parts for j in range(1, parts)), high]

    def _scan(self, k: int) -> list[float]:
        return self._cut(k, self._parts(k, 0))[1:] if isfinite(self.high[k]) else []

    def asked(self) -> list[Asked]:
        """The punches of the next round."""
        return [
            Asked(vehicle, grade, throttle, self.rise_s, self.duration_s, rough=self.rough)
            for (vehicle, grade), throttles in zip(self.cases, self.asking, strict=True)
            for throttle in throttles
        ]

    def take(self, answers: Sequence[Answer]) -> None:
        """Keep the part of every range in which the front lifts first."""
        rows = iter(answers)
        for k, throttles in enumerate(self.asking):
            found = {throttle: next(rows).lifts for throttle in throttles}
            if not found:
                continue
            if not self.rough:
                self.known[k] |= found
            self._narrow(k, found if self.rough else self.known[k])
            ends, wide = {self.low[k], self.high[k]}, self.high[k] - self.low[k] > self.refined
            points = self._cut(k, self._parts(k, MOST_PARTS)) if wide or not ends <= set(self.known[k]) else []
            self.asking[k] = [throttle for throttle in points if throttle not in self.known[k]]
        self.rough = False

    def _narrow(self, k: int, lifts: dict[float, bool]) -> None:
        """Next range of a case; the one beside it where the rough scan took the wrong one."""
        low, high = self.low[k], self.high[k]
        points = sorted({low, high} | {u for u in lifts if low < u < high})
        first = next((j for j, u in enumerate(points) if lifts.get(u, False)), None)
        if first == 0:
            self.low[k], self.high[k] = max(self.holding[k], low - self.step[k]), low
        elif first is not None:
            self.low[k], self.high[k] = points[first - 1], points[first]
        elif self.rough:
            self.low[k] = points[-2]
        elif high == 1.0:
            self.low[k] = 1.0
        else:
            self.low[k], self.high[k] = high, min(high + self.step[k], 1.0)

    def results(self) -> tuple[LargestThrottle, ...]:
        """One a vehicle; None where no crawl can be held."""
        rows = [
            (hold, low) if isfinite(hold) else (None, None) for hold, low in zip(self.holding, self.low, strict=True)
        ]
        count, found = len(self.grades), []
        for k, vehicle in enumerate(self.vehicles):
            mine = rows[k * count : (k + 1) * count]
            found.append(
                LargestThrottle(
                    vehicle.setup, tuple(self.grades), tuple(low for _, low in mine), tuple(hold for hold, _ in mine)
                )
            )
        return tuple(found)
