"""Largest throttle of a punch that keeps the front axle down, over grade."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, isfinite, nan
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.many import stand_many, tip_over_many
from noseload.studies.result import Result

from .many import holding_throttles
from .rounds import Answer, Asked, run_rounds

REFINED_THROTTLE = 0.002
MOST_PARTS = 32
"""Into which a range of throttles is scanned at most in a round."""
BELOW_TIP_OVER_DEG = (20.0, 10.0, 5.0, 3.0, 2.0, 1.0)
"""Grades at which the largest throttle is asked for, as distances from tip-over."""


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
    """

    picture = "climb.summary.plot_largest_throttle"
    setup: str
    grades_deg: tuple
    throttles: tuple
    holding: tuple

    def to_dict(self) -> dict[str, Any]:
        """Keys of a JSON document."""
        rows = zip(self.grades_deg, self.holding, self.throttles, strict=True)
        return {
            "setup": self.setup,
            "rows": [{"grade_deg": g, "throttle_start": h, "largest_throttle": u} for g, h, u in rows],
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
        Default: up to 1 deg below the first tip-over, the same for every setup.
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
    """Search for `rounds.run_rounds`; options and errors as of `largest_throttle`."""

    def __init__(
        self,
        vehicles: Sequence[Vehicle],
        *,
        grades_deg: Sequence[float] | np.ndarray | None = None,
        rise_s: float = 0.05,
        duration_s: float = 1.0,
        refined: float = REFINED_THROTTLE,
    ) -> None:
        if not 0.0 < refined < 1.0:
            raise ModelError(f"largest throttle: a width of {refined:g} must lie between 0 and 1")
        if grades_deg is None:
            # Setups are compared at the same grades, so those below the first tip-over serve all.
            tip = float(np.nanmin(np.degrees(tip_over_many(stand_many(vehicles)).grades)))
            grades_deg = [tip - below for below in BELOW_TIP_OVER_DEG]
        self.grades = [float(g) for g in grades_deg]
        self.vehicles, self.rise_s, self.duration_s, self.refined = list(vehicles), rise_s, duration_s, refined
        self.cases = [(v, g) for v in self.vehicles for g in self.grades]
        self.holding = holding_throttles([v for v, _ in self.cases], grade_deg=[g for _, g in self.cases]).tolist()
        self.low, self.high = list(self.holding), [1.0 if isfinite(h) else nan for h in self.holding]
        self.inner = [self._between(k, last=True) for k in range(len(self.cases))]

    def _between(self, k: int, *, last: bool = False) -> list[float]:
        """Throttles that cut a range into parts; few enough that two rounds will do, where that is possible."""
        low, high = self.low[k], self.high[k]
        if not isfinite(high) or (high - low <= self.refined and not last):
            return []
        needed = max(1, ceil((high - low) / self.refined - 1e-9))
        parts = needed if needed <= MOST_PARTS and not last else min(MOST_PARTS, ceil(needed**0.5 - 1e-9))
        # Rounding must not carry the last one past full throttle.
        return [min(low + (high - low) * j / parts, high) for j in range(1, parts + last)]

    def asked(self) -> list[Asked]:
        """The punches of the next round."""
        return [
            Asked(vehicle, grade, throttle, self.rise_s, self.duration_s)
            for (vehicle, grade), throttles in zip(self.cases, self.inner, strict=True)
            for throttle in throttles
        ]

    def take(self, answers: Sequence[Answer]) -> None:
        """Keep the part of every range in which the front lifts first."""
        rows = iter(answers)
        for k, throttles in enumerate(self.inner):
            lifts = [next(rows).lifts for _ in throttles]
            if not throttles:
                continue
            whole = throttles[-1] == self.high[k]
            first = lifts.index(True) if True in lifts else None if whole else len(lifts)
            bounds = [self.low[k], *throttles, self.high[k]]
            self.low[k], self.high[k] = (1.0, 1.0) if first is None else (bounds[first], bounds[first + 1])
            self.inner[k] = self._between(k)

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
