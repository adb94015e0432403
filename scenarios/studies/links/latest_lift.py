"""How late can the first wheel lift? Links, shock places, springs and axle ratios searched within stated limits.

Every candidate is the same vehicle built with other numbers: links made to fit, springs holding it at the measured ride
height. The search climbs the slope of the lift within a box (a step is taken only where the lift comes later), for each
group of numbers by itself and for all together: so it also says what links alone can do beside springs or gears.

A chassis that its links push down onto the bump stops cannot roll, so the torque of the shafts no longer lifts a wheel:
the latest lifts of all stand there, with no travel left. So a vehicle must lift its wheel clear of bump stops that it
does not stand on now, and what link ends do without that condition is told beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.parameters import ENDS, axle_of
from noseload.model.space.parameters import SIDES, WHEELS
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.result import Result
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.wheels.climbs import first_lifts, wheel_climb
from noseload.studies.wheels.nearby import lift_pose_nearby
from noseload.studies.wheels.words import lift_range, range_words, wheel_words

from .building_limits import LinkRoom, check_limits
from .candidates import POINTS, as_built
from .extremes import BuildingLimits

SHOCK_REACH_MM = 10.0
SPRING_SHARES = (0.7, 1.5)
RATIOS = (2.5, 4.5)
"""Limits beside those of the link ends: each shock end sideways, spring rates as shares of the present ones, shaft turns for
one of the wheels (common practice, no source)."""
LEAST_Y_MM = 5.0
ONTO_STOPS = "links_onto_bump_stops"
GROUPS = ("links", "shocks", "springs", "ratios", "all", ONTO_STOPS)
GROUP_WORDS = {
    "links": "link ends",
    "shocks": "shock ends, sideways",
    "springs": "spring rates",
    "ratios": "axle ratios",
    "all": "all of these",
    ONTO_STOPS: "link ends, bump stops or not",
}
DIFFERENCE, FIRST_TRUST, LEAST_TRUST, ITERATIONS = 0.04, 0.5, 0.04, 14
"""Of the half width of the box: difference for slopes, first and smallest step; and steps at most."""
TOLD = 0.02
"""Share of the half width of its box by which a number has to move to be told."""


@dataclass(frozen=True)
class Lever:
    """One number of the search: a file key (and coordinate), its group, present value and limits in file units."""

    key: str
    axis: int | None
    group: str
    value: float
    low: float
    high: float

    @property
    def name(self) -> str:
        """Key with its coordinate."""
        return self.key if self.axis is None else f"{self.key}[{'xyz'[self.axis]}]"


@dataclass(frozen=True)
class Found:
    """The latest lift of one group of numbers.

    Attributes
    ----------
    lift_deg : float
        All wheels slipping alike, along the path of the vehicle found.
    range_deg : pair of float or None
        Over plausible mismatches.
    changes : tuple of dict
        `name`, `from`, `to` of the numbers that moved, the largest share of their limits first.
    at_limit : int
        How many of them stand at a limit.
    stops : tuple of str
        Stops that shocks stand on as the wheel lifts: 'rear left bump'.
    """

    group: str
    first_wheel: str | None
    lift_deg: float
    range_deg: tuple
    changes: tuple
    at_limit: int
    stops: tuple
    vehicle: Vehicle = field(repr=False, compare=False)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = {key: value for key, value in self.__dict__.items() if key != "vehicle"}
        return values | {
            "range_deg": list(self.range_deg),
            "changes": [dict(change) for change in self.changes],
            "stops": list(self.stops),
        }


@dataclass(frozen=True)
class LatestLift(Result):
    """The latest first lift within limits, by group of numbers."""

    picture = "links.latest_lift.plot_latest_lift"
    setup: str
    first_wheel: str
    lift_deg: float
    range_deg: tuple
    stops: tuple
    found: tuple
    limits_words: str
    evaluations: int

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "setup": self.setup,
            "first_wheel": self.first_wheel,
            "first_wheel_lift_grade_deg": self.lift_deg,
            "first_wheel_lift_range_deg": list(self.range_deg),
            "stops": list(self.stops),
            "groups": [each.to_dict() for each in self.found],
            "limits": self.limits_words,
            "evaluations": self.evaluations,
            "says": self.sentence(),
            "status": "ok",
        }

    def sentence(self) -> str:
        """For people."""
        gains = {each.group: each.lift_deg - self.lift_deg for each in self.found}
        between = range_words(self.range_deg[0], self.range_deg[1], "deg")
        return (
            f"{wheel_words(self.first_wheel).capitalize()} lifts at {self.lift_deg:.1f} deg{f' ({between})' if between else ''}; within the "
            f"limits link ends alone make that {gains['links']:.1f} deg later, springs {gains['springs']:.1f}, shock places "
            f"{gains['shocks']:.1f}, axle ratios {gains['ratios']:.1f}, all together {gains['all']:.1f}.{self._onto_stops(gains)}"
        )

    def _onto_stops(self, gains: dict[str, float]) -> str:
        """What link ends do by taking the vehicle onto its bump stops, as a sentence; '' where they do not."""
        free = next((each for each in self.found if each.group == ONTO_STOPS), None)
        more = [] if free is None else more_bumps(free.stops, self.stops)
        if not more:
            return ""
        return (
            f" Link ends that let it down onto its bump stops ({stop_words(more)}) make it {gains[ONTO_STOPS]:.1f} deg: the chassis "
            "cannot roll there, and has no travel left."
        )

    def __repr__(self) -> str:
        return f"LatestLift({self.setup}: {self.sentence()})"


def latest_wheel_lift(
    vehicle: Vehicle, *, limits: BuildingLimits | None = None, progress: Callable[..., Any] | None = None
) -> LatestLift:
    """Search for the latest first lift, straight up the slope, all driven wheels slipping alike.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks, and track widths.
    limits : BuildingLimits, optional
        Of the link ends.
    progress : callable, optional
        Called with the share done, 0..1.

    Raises
    ------
    MissingDataError, ModelError
        The file does not answer about single wheels, no single wheel lifts first, or the limits contradict each other.
    """
    present = as_built(vehicle)
    limits = (limits or BuildingLimits()).filled(present)
    check_limits(limits)
    search = _Search(present, limits)
    ranges = first_lifts(present, climb=search.known)[1]
    found: list = []
    for place, group in enumerate(GROUPS):
        found.append(search.best(group, found))
        if progress is not None:
            progress((place + 1) / len(GROUPS))
    words = (
        f"{limits.words()}; no shock on a bump stop as the wheel lifts, but where one is now; shock ends within {SHOCK_REACH_MM:g} mm sideways; spring rates {SPRING_SHARES[0]:g} to "
        f"{SPRING_SHARES[1]:g} times the present ones; axle ratios {RATIOS[0]:g} to {RATIOS[1]:g}"
    )
    return LatestLift(
        vehicle.setup,
        search.wheel,
        search.lift,
        lift_range(ranges),
        search.stops,
        tuple(found),
        words,
        search.evaluations,
    )


def levers_of(vehicle: Vehicle, limits: BuildingLimits) -> list[Lever]:
    """Every number of the search with its limits."""
    found = []
    for key in POINTS:
        point = point_mm(vehicle, key)
        found += [
            Lever(key, axis, "links", point[axis], point[axis] - limits.reach, point[axis] + limits.reach)
            for axis in (0, 2)
        ]
    for end in ENDS:
        axle = axle_of(vehicle, end)
        for name in ("chassis", "axle"):
            key = f"{end}.shock.{name}_end_mm"
            y = point_mm(vehicle, key)[1]
            inner, outer = max(LEAST_Y_MM, y - SHOCK_REACH_MM), min(y + SHOCK_REACH_MM, 500.0 * axle.track_width)
            found.append(Lever(key, 1, "shocks", y, min(inner, y), max(outer, y)))
        rate = 1e-3 * axle.shock.spring_rate
        low, high = (share * rate for share in SPRING_SHARES)
        found.append(Lever(f"{end}.shock.spring_rate_n_per_mm", None, "springs", rate, low, high))
        if axle.axle_ratio is not None:
            ratio = axle.axle_ratio
            found.append(
                Lever(f"{end}.axle_ratio", None, "ratios", ratio, min(RATIOS[0], ratio), max(RATIOS[1], ratio))
            )
    return found


def point_mm(vehicle: Vehicle, key: str) -> list[float]:
    """Three numbers of a link's or shock's end by its file key, mm."""
    end, part, name = key.split(".")
    return [1e3 * value for value in getattr(getattr(getattr(vehicle, end), part), name.removesuffix("_mm"))]


def stops_of(climb: SpaceClimb, state: np.ndarray | None) -> tuple[str, ...]:
    """Stops that shocks stand on in a pose (unknowns of `SpaceEquilibrium`): 'rear left bump'."""
    found: list[str] = []
    for k, (end, axle) in enumerate(zip(ENDS, climb.equilibrium.numbers.axles, strict=True)):
        seen = {} if state is None else climb.equilibrium.seen(state, k)
        for side in SIDES:
            length = seen.get(f"{side}_shock_length")
            if length is not None and length < axle["shortest"]:
                found.append(f"{end} {side} bump")
            elif length is not None and length > axle["longest"]:
                found.append(f"{end} {side} droop")
    return tuple(found)


def more_bumps(stops: Sequence[str], now: Sequence[str]) -> list[str]:
    """The bump stops among `stops` on which no shock stands now."""
    return [stop for stop in stops if "bump" in stop and stop not in now]


def stop_words(stops: Sequence[str]) -> str:
    """'both rear bump, front right droop'; 'none'."""
    said: list[str] = []
    for stop in stops:
        end, side, kind = stop.split()
        both = all(f"{end} {each} {kind}" in stops for each in SIDES)
        if not both or side == SIDES[0]:
            said.append(f"both {end} {kind}" if both else stop)
    return ", ".join(said) or "none"


class _Search:
    """First lifts of candidates, by steps from the present one."""

    def __init__(self, vehicle: Vehicle, limits: BuildingLimits) -> None:
        self.vehicle, self.levers, self.room = vehicle, levers_of(vehicle, limits), LinkRoom(vehicle, limits)
        self.known = wheel_climb(vehicle)
        lift, wheel = self.known.first_lift
        if lift is None or wheel not in WHEELS:
            raise ModelError(f"{vehicle.name}: no single wheel lifts before its axle does; aim at --tip-over instead")
        self.lift, self.wheel, self.evaluations = lift, wheel, 0
        self.stops, self.onto_stops = stops_of(self.known.climb, self.known.below_lift.state), False
        self.middle = np.array([lever.value for lever in self.levers])

    def built(self, values: np.ndarray) -> Vehicle:
        """The vehicle with values of all levers."""
        changes: dict = {}
        for lever, value in zip(self.levers, values, strict=True):
            if lever.axis is None:
                changes[lever.key] = float(value)
            else:
                changes.setdefault(lever.key, point_mm(self.vehicle, lever.key))[lever.axis] = float(value)
        return as_built(self.vehicle, changes)

    def value(self, values: np.ndarray) -> float:
        """First lift, deg; less than any where it breaks a limit, stands on more bump stops, or was not solved."""
        self.evaluations += 1
        ends = {lever.name: value for lever, value in zip(self.levers, values, strict=True) if lever.group == "links"}
        points = np.array([[ends[f"{key}[{axis}]"]] for key in POINTS for axis in "xz"])
        if not self.room.allowed(points)[0]:
            return -np.inf
        try:
            other = wheel_climb(self.built(values))
            found = lift_pose_nearby(self.known.climb, other.climb, self.known.below_lift)
            if found is None and other.first_lift_deg is not None:
                found = other.first_lift_deg, other.below_lift.state
        except (SolverError, ModelError):
            return -np.inf
        if found is None or found[1] is None:
            return -np.inf
        if not self.onto_stops and more_bumps(stops_of(other.climb, found[1]), self.stops):
            return -np.inf
        return found[0]

    def best(self, group: str, before: list) -> Found:
        """The latest lift found by moving one group, all of them from the best of the others."""
        self.onto_stops = group == ONTO_STOPS
        moved_group = "links" if self.onto_stops else group
        free = np.array([moved_group in ("all", lever.group) for lever in self.levers])
        low, high = (np.array([getattr(lever, name) for lever in self.levers]) for name in ("low", "high"))
        half = 0.5 * (high - low)
        start = self.middle.copy()
        if group == "all":
            # What the groups found by themselves, together.
            joined = start + sum(self._values(each) - start for each in before)
            start = joined if self.value(joined) > self.lift else start
        values, lift = self._climb(start, free, low, high, half)
        vehicle = self.built(values)
        there = wheel_climb(vehicle)
        (first, wheel), lifts = first_lifts(vehicle, climb=there)
        moved = np.abs(values - self.middle) / half
        order = [k for k in np.argsort(-moved) if moved[k] > TOLD]
        return Found(
            group,
            wheel,
            float(lift if first is None else first),
            lift_range(lifts),
            tuple({"name": self.levers[k].name, "from": float(self.middle[k]), "to": float(values[k])} for k in order),
            int(sum(min(values[k] - low[k], high[k] - values[k]) < 1e-9 * half[k] for k in order)),
            stops_of(there.climb, there.below_lift.state),
            vehicle,
        )

    def _values(self, found: Found) -> np.ndarray:
        by = {change["name"]: change["to"] for change in found.changes}
        return np.array([by.get(lever.name, lever.value) for lever in self.levers])

    def _climb(
        self, values: np.ndarray, free: np.ndarray, low: np.ndarray, high: np.ndarray, half: np.ndarray
    ) -> tuple[np.ndarray, float]:
        """Steps up the slope of the lift in a box that shrinks where a step fails."""
        lift, trust = self.value(values), FIRST_TRUST
        for _ in range(ITERATIONS):
            slopes = self._slopes(values, lift, free, high, half)
            largest = np.abs(slopes).max()
            if not largest > 0.0:
                break
            while trust >= LEAST_TRUST:
                steps = (np.sign(slopes), slopes / largest)
                tried = [np.clip(values + trust * half * step, low, high) for step in steps]
                lifts = [self.value(each) for each in tried]
                k = int(np.argmax(lifts))
                if lifts[k] > lift + 1e-6:
                    values, lift = tried[k], lifts[k]
                    break
                trust *= 0.5
            else:
                break
        return values, lift

    def _slopes(
        self, values: np.ndarray, lift: float, free: np.ndarray, high: np.ndarray, half: np.ndarray
    ) -> np.ndarray:
        """Change of the lift by a half width of each free number; 0 where it cannot move or is not solved."""
        slopes = np.zeros(len(values))
        for k in np.flatnonzero(free & (half > 0.0)):
            sign = 1.0 if values[k] + DIFFERENCE * half[k] <= high[k] else -1.0
            moved = values.copy()
            moved[k] += sign * DIFFERENCE * half[k]
            found = self.value(moved)
            slopes[k] = sign * (found - lift) / DIFFERENCE if np.isfinite(found) else 0.0
        return slopes
