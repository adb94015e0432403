"""From which suddenness of throttle, and on which grade, a setup starts to matter: a map over grade and rise time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.documents import plain
from noseload.model.errors import ModelError
from noseload.model.units import GRAM, STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.many import stand_many, tip_over_many
from noseload.studies.pieces import finished, shares
from noseload.studies.result import Result, draw
from noseload.studies.thresholds import Thresholds

from .many import punch_many
from .outcome import FLIPS
from .splits_range import Car, divided, ends_of, on_grades

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from noseload.model.batch.equilibrium import VehicleBatch


CHUNK = 2000
"""Punches of one piece of work here: an interrupted map keeps the pieces that are done."""
TOLERANCE = 5e-5
"""Of the batch integrator: smallest loads within a few thousandths of a newton, airborne times within 2 ms."""
SETTLE_S = 0.5
"""Time kept after the throttle has risen, s."""
BELOW_TIP_OVER_DEG = 2.0
SLOW_RISE_S = 48.0
"""So long that the motion stays next to steady: what is left of the difference halves as the rise doubles (demo: 0.05 %)."""
SLOW_STEP_S = 0.008
SLOW_EDGE_SHARE = 0.001
"""Largest gap at the slow edge, as a share of the standing front load."""
DEFAULT_GRADES, DEFAULT_RISES = 16, 16
FASTEST_S, SLOWEST_S = 0.01, 1.0
NOT_RUN = "not_run"
HALF_A_GRAM_N = 0.5 * GRAM * STANDARD_GRAVITY
"""Smaller changes are printed as none."""


@dataclass(frozen=True)
class SlowEdge:
    """Check of the slow edge: minimum of a slow punch against the steady states, per grade.

    Attributes
    ----------
    rise_s : float
        Of the slow punches.
    minimum_difference_n, steady_difference_n : ndarray, shape (grades,)
        Second setup less the first, N: of the smallest load, and of the load of the steady states.
    largest_share : float or None
        Largest gap between the two as a share of the standing front load; None where nothing could be run.
    """

    rise_s: float
    minimum_difference_n: np.ndarray
    steady_difference_n: np.ndarray
    largest_share: float | None

    @property
    def joins(self) -> Any:
        """True where the map joins the steady states as it must."""
        return self.largest_share is not None and self.largest_share <= SLOW_EDGE_SHARE

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "rise_s": self.rise_s,
            "minimum_difference_n": self.minimum_difference_n,
            "steady_difference_n": self.steady_difference_n,
            "largest_share": self.largest_share,
            "joins_steady_states": self.joins,
        }


@dataclass(frozen=True)
class PunchMap(Result):
    """Two setups over grade (first axis) and rise time (second axis); arrays of two setups have them first.

    Attributes
    ----------
    setups : tuple of str
        The first is the reference; differences are the second less the first.
    grade_deg : ndarray, shape (grades,)
    rise_s : ndarray, shape (rises,)
    throttle : float
    status : ndarray of str, shape (grades, rises)
        'ok', 'start_not_held', 'failed' or 'not_run'; other than 'ok' the numbers are not-a-number.
    outcomes : ndarray of str, shape (2, grades, rises)
        How each punch ends, run on until that is decided; '' where it was not run.
    front_load_min_n, front_airborne_s : ndarray, shape (2, grades, rises)
    steady_load_n : ndarray, shape (2, grades)
        Front load of the steady crawl before the punch.
    standing_front_load_n : float
        Of the reference on level ground.
    thresholds : Thresholds
    complete : bool
        False where the work was interrupted.
    slow_edge : SlowEdge or None
    """

    picture = "punch.map.plot_load_map"
    setups: tuple
    grade_deg: np.ndarray
    rise_s: np.ndarray
    throttle: float
    status: np.ndarray
    outcomes: np.ndarray
    front_load_min_n: np.ndarray
    front_airborne_s: np.ndarray
    steady_load_n: np.ndarray
    standing_front_load_n: float
    thresholds: Thresholds
    complete: bool = True
    slow_edge: SlowEdge | None = field(default=None, repr=False)
    by_law: tuple[PunchMap, ...] = field(default=(), repr=False)
    """The same map under each plausible division of the pull between geared axles, where that was asked for."""

    def ends(self, name: str) -> np.ndarray:
        """Least and largest of a property (array) over the laws, along a first axis; laws under which nothing starts have no part."""
        return ends_of([getattr(each, name) for each in (self, *self.by_law)])

    @property
    def sign_open(self) -> np.ndarray:
        """Where the change of the least load is a gram's half or more either way, by the law; shape (grades, rises)."""
        low, high = self.ends("load_difference_n")
        with np.errstate(invalid="ignore"):
            return (low <= -HALF_A_GRAM_N) & (high >= HALF_A_GRAM_N) & np.isfinite(self.load_difference_n)

    @property
    def noticed_share(self) -> float:
        """Share of the cells with a number in which the change would be noticed; not-a-number without any."""
        difference = np.abs(self.load_difference_n)
        good = np.isfinite(difference)
        return float((difference[good] >= self.noticed_load_n).mean()) if good.any() else np.nan

    @property
    def load_difference_n(self) -> np.ndarray:
        """Difference of the smallest front load, N, shape (grades, rises)."""
        return self.front_load_min_n[1] - self.front_load_min_n[0]

    @property
    def flips(self) -> np.ndarray:
        """Whether each punch ends in a flip, shape (2, grades, rises)."""
        return np.isin(self.outcomes, FLIPS)

    @property
    def flip_words(self) -> np.ndarray:
        """Who flips, shape (grades, rises): 'neither', 'first' (in favour of the second), 'second' or 'both'."""
        first, second = self.flips
        return np.select([first & second, first, second], ["both", "first", "second"], "neither")

    @property
    def airborne_difference_s(self) -> np.ndarray:
        """Difference of the time the front axle is in the air, s, shape (grades, rises).

        Not-a-number where one of them flips: the sooner it lies on its roof, the shorter it was in the air.
        """
        difference = self.front_airborne_s[1] - self.front_airborne_s[0]
        return np.where(self.flips.any(axis=0), np.nan, difference)

    @property
    def noticed_load_n(self) -> float:
        """Difference that would be noticed, N."""
        return self.thresholds.noticed_load_n(self.standing_front_load_n)

    def noticed_from(self) -> np.ndarray:
        """Per grade the slowest rise (s) at which the difference would be noticed, one alone flips included; not-a-number where none."""
        with np.errstate(invalid="ignore"):
            noticed = np.abs(self.load_difference_n) >= self.noticed_load_n
        noticed |= np.isin(self.flip_words, ("first", "second"))
        slowest = np.where(noticed, self.rise_s, -np.inf).max(axis=1)
        return np.where(np.isfinite(slowest), slowest, np.nan)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document; matrices have one row a grade."""
        return plain(
            {
                "setups": list(self.setups),
                "throttle": self.throttle,
                "grade_deg": self.grade_deg,
                "rise_s": self.rise_s,
                "front_load_min_n": dict(zip(("first", "second"), self.front_load_min_n, strict=True)),
                "front_load_min_difference_n": self.load_difference_n,
                "front_airborne_s": dict(zip(("first", "second"), self.front_airborne_s, strict=True)),
                "front_airborne_difference_s": self.airborne_difference_s,
                "steady_load_n": dict(zip(("first", "second"), self.steady_load_n, strict=True)),
                "noticed_up_to_rise_s": self.noticed_from(),
                "standing_front_load_n": self.standing_front_load_n,
                "noticed_load_n": self.noticed_load_n,
                "thresholds": self.thresholds.to_dict(),
                "cell_status": self.status,
                "outcome": dict(zip(("first", "second"), self.outcomes, strict=True)),
                "flips": self.flip_words,
                "slow_edge": None if self.slow_edge is None else self.slow_edge.to_dict(),
                "range_over_splits": self._over_splits(),
                "status": "ok" if self.complete else "partial",
            }
        )

    def _over_splits(self) -> dict[str, Any] | None:
        if not self.by_law:
            return None
        keys = {
            "front_load_min_difference_n": "load_difference_n",
            "front_airborne_difference_s": "airborne_difference_s",
            "steady_load_n": "steady_load_n",
            "noticed_share": "noticed_share",
        }
        found: dict[str, Any] = {key: self.ends(name) for key, name in keys.items()}
        found["noticed_up_to_rise_s"] = ends_of([each.noticed_from() for each in (self, *self.by_law)])
        return found | {"flips": [each.flip_words for each in self.by_law]}

    def plot_airborne(self, ax: Any = None) -> Any:
        """Draw the change of the time in the air; returns the axes."""
        return draw("punch.map.plot_airborne_map", self, ax)

    def rows(self) -> list[dict[str, Any]]:
        """One dict a cell, for a CSV file."""
        flips = self.flip_words
        low, high = self.ends("load_difference_n")
        return [
            {
                "grade_deg": float(grade),
                "rise_s": float(rise),
                "status": str(self.status[i, j]),
                "first_outcome": str(self.outcomes[0, i, j]),
                "second_outcome": str(self.outcomes[1, i, j]),
                "flips": str(flips[i, j]),
                "first_front_load_min_n": self.front_load_min_n[0, i, j],
                "second_front_load_min_n": self.front_load_min_n[1, i, j],
                "front_load_min_difference_n": self.load_difference_n[i, j],
                "first_front_airborne_s": self.front_airborne_s[0, i, j],
                "second_front_airborne_s": self.front_airborne_s[1, i, j],
                "front_airborne_difference_s": self.airborne_difference_s[i, j],
                "front_load_min_difference_low_n": low[i, j] if self.by_law else np.nan,
                "front_load_min_difference_high_n": high[i, j] if self.by_law else np.nan,
            }
            for i, grade in enumerate(self.grade_deg)
            for j, rise in enumerate(self.rise_s)
        ]

    def __repr__(self) -> str:
        done = int((self.status == "ok").sum())
        return f"PunchMap({self.setups[1]} against {self.setups[0]}, {done} of {self.status.size} cells)"


def punch_map(
    vehicles: Sequence[Vehicle],
    *,
    grades_deg: Sequence[float] | np.ndarray | None = None,
    rises_s: Sequence[float] | np.ndarray | None = None,
    throttle: float = 1.0,
    start_s: float = 0.1,
    duration_s: float = 1.0,
    creep_speed_mm_per_s: float = 100.0,
    thresholds: Thresholds | None = None,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
    slow_edge: bool = False,
    over_splits: bool = False,
    tolerance: float = TOLERANCE,
) -> PunchMap:
    """Map the difference between two setups over grade and rise time of the throttle.

    Parameters
    ----------
    vehicles : pair of Vehicle
        The reference, and the setup held against it.
    grades_deg, rises_s : sequence of float, optional
        Default: from level to 2 deg below the first tip-over, and from 0.01 to 1 s.
    throttle, start_s, creep_speed_mm_per_s : float
        Of every punch.
    duration_s : float
        At least; every punch lasts at least start + rise + 0.5 s.
    thresholds : Thresholds, optional
        What would be noticed.
    executor : concurrent.futures.Executor, optional
        Where the pieces of work are run; any executor will do, also that of a distributed engine.
    progress : callable, optional
        Called with (punches done, punches).
    slow_edge : bool
        Also check that slow punches join the steady states.
    over_splits : bool
        Also the same map under each plausible division of the pull between geared axles, in the same batches.
    tolerance : float
        Of the batch integrator.

    Returns
    -------
    PunchMap
        Interrupted from the keyboard, what is done so far with `complete` False.

    Raises
    ------
    ModelError
        Options that make no sense.
    SolverError
        A vehicle has no standing pose.
    """
    vehicles = tuple(vehicles)
    if len(vehicles) != 2:
        raise ModelError(f"map: {len(vehicles)} setups given; a map holds one setup against another, so give two")
    standing = stand_many(vehicles)
    grades = _grades(grades_deg, standing)
    rises = (
        np.geomspace(FASTEST_S, SLOWEST_S, DEFAULT_RISES) if rises_s is None else np.array(sorted(rises_s), dtype=float)
    )
    if not rises.size or not np.isfinite(rises).all() or (rises < 0.0).any():
        raise ModelError("map: rise times must be numbers of 0 s or more")
    result = _empty(vehicles, standing, grades, rises, throttle, thresholds or Thresholds())
    shared = {
        "throttle": throttle,
        "start_s": start_s,
        "duration_s": duration_s,
        "tolerance": tolerance,
        "creep_speed_mm_per_s": creep_speed_mm_per_s,
        "outcome": True,
    }
    cars: list[Car] = [*vehicles, *(divided(vehicles, grades) if over_splits else ())]
    results = [result, *(_empty(vehicles, standing, grades, rises, throttle, result.thresholds) for _ in cars[2::2])]
    runs = len(cars) * grades.size
    work = _pieces(runs, rises) if executor is None else _shared_pieces(runs, rises)
    try:
        _run_all(cars, work, shared, results, executor, progress)
        edge = _slow_edge(vehicles, grades, shared, result) if slow_edge else None
    except KeyboardInterrupt:
        return replace(result, complete=False)
    return replace(result, slow_edge=edge, by_law=tuple(results[1:]))


def _grades(grades_deg: Any, standing: VehicleBatch) -> np.ndarray:
    if grades_deg is None:
        tip = float(np.nanmin(np.degrees(tip_over_many(standing).grades)))
        return np.linspace(0.0, tip - BELOW_TIP_OVER_DEG, DEFAULT_GRADES)
    grades = np.array(sorted(grades_deg), dtype=float)
    if not grades.size or not (np.abs(grades) < 90.0).all():
        raise ModelError("map: grades must be numbers between -90 and 90 deg")
    return grades


def _empty(
    vehicles: tuple[Vehicle, Vehicle],
    standing: VehicleBatch,
    grades: np.ndarray,
    rises: np.ndarray,
    throttle: float,
    thresholds: Thresholds,
) -> PunchMap:
    shape = (grades.size, rises.size)
    tyre = standing["front_tyre_radius"] - standing.starts[6]
    load = float(standing["front_tyre_stiffness"][0] * tyre[0])
    names = tuple(v.setup for v in vehicles)
    if names[0] == names[1]:
        names = tuple(v.name for v in vehicles)
    return PunchMap(
        names,
        grades,
        rises,
        float(throttle),
        np.full(shape, NOT_RUN, dtype=object),
        np.full((2, *shape), "", dtype=object),
        np.full((2, *shape), np.nan),
        np.full((2, *shape), np.nan),
        np.full((2, grades.size), np.nan),
        load,
        thresholds,
    )


def _pieces(runs: int, rises: np.ndarray) -> list[np.ndarray]:
    """Groups of neighbouring rise times, whose runs (so many each) last alike, of about `CHUNK` punches each."""
    columns = max(1, round(CHUNK / runs))
    return [np.arange(first, min(first + columns, rises.size)) for first in range(0, rises.size, columns)]


def _shared_pieces(runs: int, rises: np.ndarray) -> list[np.ndarray]:
    """Groups for an executor, rise times dealt out in turn: sudden ones take twice the steps of slow ones."""
    count = min(rises.size, shares(runs * rises.size))
    return [np.arange(first, rises.size, count) for first in range(count)]


def run_piece(
    cars: Sequence[Car], grades: np.ndarray, rises: np.ndarray, shared: dict[str, Any]
) -> tuple[np.ndarray, ...]:
    """Vehicles over all grades and some rise times: (status, outcome, smallest load, airborne time, steady load).

    Each of the `cars` is one vehicle, or one by the grade. Arrays (cars, grades, rises); a plain function of picklable
    arguments, so that any executor can run it.
    """
    shape = (len(cars), len(grades), len(rises))
    which, row, column = (index.ravel() for index in np.indices(shape))
    rise = np.asarray(rises, dtype=float)[column]
    lasting = np.maximum(shared["duration_s"], shared["start_s"] + rise + SETTLE_S)
    vehicles = on_grades(cars, which, row)
    options = shared | {"duration_s": lasting}
    found = punch_many(vehicles, grade_deg=np.asarray(grades, dtype=float)[row], rise_s=rise, **options)
    parts = (found.status, found.outcome, found.front_load_min_n, found.front_airborne_s, found.front_load_start_n)
    return tuple(part.reshape(shape) for part in parts)


def _run_all(
    cars: Sequence[Car],
    work: list[np.ndarray],
    shared: dict[str, Any],
    results: Sequence[PunchMap],
    executor: Executor | None,
    progress: Callable | None,
) -> None:
    """Run every piece, here or on an executor, and put it in its place: two cars a map."""
    grades, rises = results[0].grade_deg, results[0].rise_s
    done, total = 0, len(cars) * grades.size * rises.size
    pieces = [(cars, grades, rises[columns], shared) for columns in work]
    for columns, found in zip(work, finished(run_piece, pieces, executor), strict=True):
        for k, result in enumerate(results):
            _put(result, columns, *(part[2 * k : 2 * k + 2] for part in found))
        done += found[0].size
        if progress is not None:
            progress(done, total)


def _put(
    result: PunchMap,
    columns: np.ndarray,
    status: np.ndarray,
    outcome: np.ndarray,
    load: np.ndarray,
    airborne: np.ndarray,
    steady: np.ndarray,
) -> None:
    """Keep what was found in some columns of a map."""
    bad = np.where(status[0] == "ok", status[1], status[0])
    good = bad == "ok"
    result.status[:, columns] = bad
    result.outcomes[:, :, columns] = outcome
    result.front_load_min_n[:, :, columns] = np.where(good, load, np.nan)
    result.front_airborne_s[:, :, columns] = np.where(good, airborne, np.nan)
    result.steady_load_n[:] = steady[:, :, 0]


def _slow_edge(vehicles: Any, grades: Any, shared: Any, result: Any) -> Any:
    """Slow punches on every grade, held against the steady states they start from."""
    status, _, load, _, steady = run_piece(
        vehicles, grades, np.array([SLOW_RISE_S]), shared | {"largest_step_s": SLOW_STEP_S, "outcome": False}
    )
    good = (status == "ok").all(axis=(0, 2))
    minimum, level = (np.where(good, pair[1, :, 0] - pair[0, :, 0], np.nan) for pair in (load, steady))
    gap = np.abs(minimum - level)[good] / result.standing_front_load_n
    return SlowEdge(SLOW_RISE_S, minimum, level, float(gap.max()) if gap.size else None)
