"""Limits of the punch: outcome over grade with every change refined, and the throttle that keeps the front down."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.many import stand_many, tip_over_many
from noseload.studies.result import Result

from .many import punch_many
from .outcome import FLIPS, OUTCOMES

STEEPEST_DOWNHILL_DEG = -45.0
STEP_DEG = 2.0
REFINED_DEG = 0.05
THROTTLE_STEPS = 16
"""Parts into which the throttle between holding and full is scanned."""
REFINED_THROTTLE = 0.002
BELOW_TIP_OVER_DEG = (20.0, 10.0, 5.0, 3.0, 2.0, 1.0)
"""Grades at which the largest throttle is asked for, as distances from tip-over."""
NONE = "none"
TOLERANCE = 5e-5
"""Of the batch integrator: traces within about 1e-3, which moves a change of outcome by less than 0.05 deg."""


@dataclass(frozen=True)
class OutcomeChange:
    """A grade at which the outcome of the punch changes.

    Attributes
    ----------
    grade_deg : float
        Middle of the refined bracket; the change lies within half of `within_deg` of it.
    below, above : str
        Outcomes on the smaller and on the larger grade.
    """

    grade_deg: float
    within_deg: float
    below: str
    above: str

    def to_dict(self) -> dict[str, Any]:
        """Keys of a JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class PunchLimits(Result):
    """Outcome over grade of one setup.

    Attributes
    ----------
    setup : str
    throttle, rise_s : float
    tip_over_grade_deg : float
        Where the scan ended.
    grades_deg, outcomes : tuple
        The scan, refined grades included, in order.
    changes : tuple of OutcomeChange
        Empty where nothing changes: that is a result.
    """

    picture = "climb.summary.plot_outcomes"
    setup: str
    throttle: float
    rise_s: float
    tip_over_grade_deg: float
    grades_deg: tuple
    outcomes: tuple
    changes: tuple
    complete: bool = True
    """False where the scan was interrupted: what was done stands, changes may be coarse or missing."""

    def _steepest(self, bad: Sequence[str]) -> float | None:
        """Grade (deg) up to which none of these outcomes is met, from the level on; None where the level itself has one."""
        rows = [(g, o) for g, o in zip(self.grades_deg, self.outcomes, strict=True) if g >= 0.0]
        if not rows or rows[0][1] in bad:
            return None
        found = next((k for k, (_, o) in enumerate(rows) if o in bad), None)
        return self.tip_over_grade_deg if found is None else 0.5 * (rows[found - 1][0] + rows[found][0])

    @property
    def front_down_to_deg(self) -> float | None:
        """Grade up to which, from the level on, no axle leaves the ground; None where one does on the level."""
        return self._steepest([name for name in OUTCOMES if name != "stays_loaded"])

    @property
    def flips_from_deg(self) -> float | None:
        """Grade from which, going up from the level, a punch flips; None where it never does."""
        found = self._steepest(FLIPS)
        if found is None:
            return 0.0
        return None if found == self.tip_over_grade_deg else found

    def first(self, outcome: str) -> float | None:
        """Smallest grade (deg) at which an outcome sets in going up, or None."""
        return next((c.grade_deg for c in self.changes if c.above == outcome), None)

    def to_dict(self) -> dict[str, Any]:
        """Keys of a JSON document; `changes` is the word 'none' where there is none."""
        return {
            "setup": self.setup,
            "throttle": self.throttle,
            "rise_s": self.rise_s,
            "tip_over_grade_deg": self.tip_over_grade_deg,
            "front_down_to_grade_deg": self.front_down_to_deg,
            "flips_from_grade_deg": self.flips_from_deg,
            "rows": [{"grade_deg": g, "outcome": o} for g, o in zip(self.grades_deg, self.outcomes, strict=True)],
            "changes": [change.to_dict() for change in self.changes] or NONE,
            "status": "ok" if self.complete else "partial",
        }


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


def punch_limits(
    vehicles: Sequence[Vehicle],
    *,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    from_deg: float = STEEPEST_DOWNHILL_DEG,
    step_deg: float = STEP_DEG,
    refined_deg: float = REFINED_DEG,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> tuple[PunchLimits, ...]:
    """Outcome of the punch over grade, every change refined; all setups in one batch.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    throttle, rise_s : float
        Of the punch.
    from_deg : float
        Where the scan starts; it ends at each vehicle's tip-over.
    step_deg, refined_deg : float
        Step of the scan, and the width to which every change is narrowed, deg.
    executor : concurrent.futures.Executor, optional
        Where the punches of a round are run, dealt out in pieces.
    progress : callable, optional
        Called with (cases done, cases) within each round.

    Returns
    -------
    tuple of PunchLimits
        Interrupted from the keyboard, what is done so far with `complete` False.

    Raises
    ------
    ModelError
        Steps that are not above 0, or a start of the scan beyond tip-over.
    """
    if not (step_deg > 0.0 and refined_deg > 0.0):
        raise ModelError(f"punch limits: step {step_deg:g} deg and refined width {refined_deg:g} deg must be above 0")
    tips = np.degrees(tip_over_many(stand_many(vehicles)).grades)
    tips = np.where(np.isfinite(tips), tips, 85.0)
    if from_deg >= tips.min():
        raise ModelError(f"punch limits: a scan from {from_deg:g} deg starts beyond tip-over at {tips.min():.2f} deg")
    seen: list[dict] = [{} for _ in vehicles]
    wanted = [_scan(from_deg, tip, step_deg) for tip in tips]
    widths = [step_deg]
    while widths[-1] > refined_deg * (1.0 + 1e-9):
        widths.append(max(widths[-1] / 8.0, refined_deg))
    complete, how = True, {"executor": executor, "progress": progress}
    try:
        for width in [*widths[1:], None]:
            _run(vehicles, wanted, seen, throttle, rise_s, how)
            if width is not None:
                wanted = [_between_changes(outcomes, width) for outcomes in seen]
    except KeyboardInterrupt:
        complete = False
    return tuple(
        _limits(vehicle, throttle, rise_s, tip, outcomes, complete)
        for vehicle, tip, outcomes in zip(vehicles, tips.tolist(), seen, strict=True)
    )


def _scan(first, tip, step):
    """Grades from the first up to just below tip-over."""
    grades = np.arange(first, tip, step)
    last = tip - 1e-3
    return [float(g) for g in grades if g < last] + [float(last)]


def _between_changes(outcomes, width):
    """Grades that divide every interval across which the outcome changes into parts of a width."""
    grades = sorted(outcomes)
    found = []
    for low, high in pairwise(grades):
        if outcomes[low] != outcomes[high]:
            parts = int(np.ceil((high - low) / width - 1e-9))
            found += [low + (high - low) * k / parts for k in range(1, parts)]
    return found


def _run(vehicles, wanted, seen, throttle, rise_s, how):
    """Add the outcomes at the wanted grades, all vehicles in one batch."""
    cases = [(v, g, known) for v, grades, known in zip(vehicles, wanted, seen, strict=True) for g in grades]
    if not cases:
        return
    result = punch_many(
        [v for v, _, _ in cases],
        grade_deg=[g for _, g, _ in cases],
        throttle=throttle,
        rise_s=rise_s,
        outcome=True,
        tolerance=TOLERANCE,
        **how,
    )
    for (_, grade, known), outcome, status in zip(cases, result.outcome, result.status, strict=True):
        known[grade] = outcome or str(status)


def _limits(vehicle, throttle, rise_s, tip, outcomes, complete):
    grades = sorted(outcomes)
    changes = tuple(
        OutcomeChange(0.5 * (low + high), high - low, outcomes[low], outcomes[high])
        for low, high in pairwise(grades)
        if outcomes[low] != outcomes[high]
    )
    return PunchLimits(
        vehicle.setup,
        float(throttle),
        float(rise_s),
        tip,
        tuple(grades),
        tuple(outcomes[g] for g in grades),
        changes,
        complete,
    )


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
    if not 0.0 < refined < 1.0:
        raise ModelError(f"largest throttle: a width of {refined:g} must lie between 0 and 1")
    if grades_deg is None:
        # Setups are compared at the same grades, so those below the first tip-over serve all.
        tip = float(np.nanmin(np.degrees(tip_over_many(stand_many(vehicles)).grades)))
        grades_deg = [tip - below for below in BELOW_TIP_OVER_DEG]
    lists = [[float(g) for g in grades_deg] for _ in vehicles]
    cases = [(v, g) for v, grades in zip(vehicles, lists, strict=True) for g in grades]
    how = {
        "rise_s": rise_s,
        "duration_s": duration_s,
        "tolerance": TOLERANCE,
        "executor": executor,
        "progress": progress,
    }
    start = punch_many([v for v, _ in cases], grade_deg=[g for _, g in cases], throttle=1.0, **how)
    able = start.success
    low = np.where(able, start.throttle_start, np.nan)
    high = np.where(able & (start.front_airborne_s > 0.0), 1.0, np.nan)
    while True:
        open_cases = np.flatnonzero(np.isfinite(high) & (high - low > refined))
        if not open_cases.size:
            break
        _narrow([cases[k] for k in open_cases], open_cases, low, high, how)
    found = np.where(np.isfinite(high), low, np.where(able, 1.0, np.nan))
    rows = iter(zip(found.tolist(), start.throttle_start.tolist(), able.tolist(), strict=True))
    results = []
    for vehicle, grades in zip(vehicles, lists, strict=True):
        mine = [next(rows) for _ in grades]
        results.append(
            LargestThrottle(
                vehicle.setup,
                tuple(grades),
                tuple(u if ok else None for u, _, ok in mine),
                tuple(h if ok else None for _, h, ok in mine),
            )
        )
    return tuple(results)


def _narrow(cases, places, low, high, how):
    """Scan between the bounds of each open case and keep the interval of the first lift-off."""
    shares = np.arange(1, THROTTLE_STEPS) / THROTTLE_STEPS
    throttles = low[places, None] + (high - low)[places, None] * shares
    listed = [v for v, _ in cases for _ in shares]
    grades = np.repeat([g for _, g in cases], shares.size)
    result = punch_many(listed, grade_deg=grades, throttle=throttles.ravel(), **how)
    lifts = (result.front_airborne_s > 0.0).reshape(throttles.shape)
    for k, row in zip(places, range(len(cases)), strict=True):
        first = int(np.argmax(lifts[row])) if lifts[row].any() else shares.size
        bounds = [low[k], *throttles[row], high[k]]
        low[k], high[k] = bounds[first], bounds[first + 1]
