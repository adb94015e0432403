"""Limits of the punch: outcome over grade, every change refined."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import inf, isfinite
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.many import stand_many, tip_over_many
from noseload.studies.result import Result

from .outcome import FLIPS, OUTCOMES
from .rounds import Answer, Asked, run_rounds
from .splits_range import Moving

STEEPEST_DOWNHILL_DEG = -45.0
STEP_DEG = 2.0
REFINED_DEG = 0.05
NONE = "none"
PARTS = 40
"""Into which a step of the scan is cut at most where the outcome changes across it: more cases cost hardly more time."""
DOUBT = 1.5
"""Refined widths around a rough outcome found wrong in which others are not believed; doubled each time."""
DURATION_S = 1.0


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
    by_law: "tuple[PunchLimits, ...]" = field(default=(), repr=False)
    """The same under each plausible division of the pull between geared axles, where that was asked for."""

    @property
    def flattest_deg(self) -> float:
        """The first grade tried from the level on, deg."""
        return next((g for g in self.grades_deg if g >= 0.0), 0.0)

    def _steepest(self, bad: Sequence[str]) -> float | None:
        """Grade (deg) up to which none of these outcomes is met, from the flattest tried; None where that one has it."""
        rows = [(g, o) for g, o in zip(self.grades_deg, self.outcomes, strict=True) if g >= 0.0]
        if not rows or rows[0][1] in bad:
            return None
        found = next((k for k, (_, o) in enumerate(rows) if o in bad), None)
        return self.tip_over_grade_deg if found is None else 0.5 * (rows[found - 1][0] + rows[found][0])

    @property
    def front_down_to_deg(self) -> float | None:
        """Grade up to which, from the flattest tried, no axle leaves the ground; None where one does there."""
        return self._steepest([name for name in OUTCOMES if name != "stays_loaded"])

    @property
    def flips_from_deg(self) -> float | None:
        """Grade from which, going up from the level, a punch flips; None where it never does."""
        found = self._steepest(FLIPS)
        if found is None:
            return self.flattest_deg
        return None if found == self.tip_over_grade_deg else found

    @property
    def front_down_to_ends_deg(self) -> list[float | None]:
        """Least and largest `front_down_to_deg` over the laws; None where an axle lifts on the flattest grade tried."""
        return _ends([each.front_down_to_deg for each in (self, *self.by_law)], -inf)

    @property
    def flips_from_ends_deg(self) -> list[float | None]:
        """Least and largest `flips_from_deg` over the laws; None where it never flips."""
        return _ends([each.flips_from_deg for each in (self, *self.by_law)], inf)

    def ends_of(self, change: OutcomeChange) -> tuple[float, float] | None:
        """Least and largest grade (deg) of one of the changes over the laws; None where it is not met under every one."""
        grades = [change.grade_deg]
        for each in self.by_law:
            alike = [c.grade_deg for c in each.changes if (c.below, c.above) == (change.below, change.above)]
            if not alike:
                return None
            grades.append(min(alike, key=lambda grade: abs(grade - change.grade_deg)))
        return min(grades), max(grades)

    def _over_splits(self) -> dict[str, Any] | None:
        if not self.by_law:
            return None
        return {
            "front_down_to_grade_deg": self.front_down_to_ends_deg,
            "flips_from_grade_deg": self.flips_from_ends_deg,
            "changes": [[change.to_dict() for change in each.changes] or NONE for each in self.by_law],
        }

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
            "range_over_splits": self._over_splits(),
            "status": "ok" if self.complete else "partial",
        }


def _ends(values: Sequence[float | None], missing: float) -> list[float | None]:
    """Least and largest of several, where a missing one lies beyond all numbers."""
    known = [missing if value is None else value for value in values]
    return [end if isfinite(end) else None for end in (min(known), max(known))]


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
    searches = outcome_searches(
        vehicles, throttle=throttle, rise_s=rise_s, from_deg=from_deg, step_deg=step_deg, refined_deg=refined_deg
    )
    try:
        run_rounds(searches, executor=executor, progress=progress)
    except KeyboardInterrupt:
        pass
    return tuple(search.result() for search in searches)


def outcome_searches(
    vehicles: Sequence[Vehicle],
    *,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    from_deg: float = STEEPEST_DOWNHILL_DEG,
    step_deg: float = STEP_DEG,
    refined_deg: float = REFINED_DEG,
) -> "tuple[OutcomeSearch, ...]":
    """Searches for `rounds.run_rounds`, one a vehicle; options and errors as of `punch_limits`."""
    if not (step_deg > 0.0 and refined_deg > 0.0):
        raise ModelError(f"punch limits: step {step_deg:g} deg and refined width {refined_deg:g} deg must be above 0")
    tips = np.degrees(tip_over_many(stand_many(vehicles)).grades)
    tips = np.where(np.isfinite(tips), tips, 85.0)
    if from_deg >= tips.min():
        raise ModelError(f"punch limits: a scan from {from_deg:g} deg starts beyond tip-over at {tips.min():.2f} deg")
    return tuple(
        OutcomeSearch(vehicle, float(throttle), float(rise_s), tip, _scan(from_deg, tip, step_deg), refined_deg)
        for vehicle, tip in zip(vehicles, tips.tolist(), strict=True)
    )


def _scan(first: float, tip: float, step: float) -> list[float]:
    """Grades from the first up to just below tip-over."""
    last = tip - 1e-3
    return [float(g) for g in np.arange(first, tip, step) if g < last] + [float(last)]


class OutcomeSearch:
    """Outcomes over grade of one vehicle: a rough scan, every changed step cut into parts, both sides of a change accurate.

    Parameters
    ----------
    vehicle : Vehicle
    throttle, rise_s : float
    tip_deg : float
        Tip-over, deg.
    scan : list of float
        Grades, deg.
    refined_deg : float
    under : callable, optional
        The vehicle by the grade (deg), under a law of division that goes with it (`splits_range.Moving`).
    """

    def __init__(
        self,
        vehicle: Vehicle,
        throttle: float,
        rise_s: float,
        tip_deg: float,
        scan: list[float],
        refined_deg: float,
        under: Callable[[float], Vehicle] | None = None,
    ) -> None:
        self.vehicle, self.throttle, self.rise_s, self.tip_deg = vehicle, throttle, rise_s, tip_deg
        self.under = under or (lambda grade_deg: vehicle)
        self.refined, self.doubt = refined_deg, DOUBT * refined_deg
        self.seen: dict[float, str] = {}
        self.sure: set[float] = set()
        """Grades whose outcome is not only a rough one."""
        self.next, self.rough, self.cut, self.done = scan, True, False, False

    def under_laws(self, moving: Moving) -> "tuple[OutcomeSearch, ...]":
        """The same search, not begun, under each plausible law of division."""
        return tuple(
            OutcomeSearch(
                self.vehicle, self.throttle, self.rise_s, self.tip_deg, self.next, self.refined, moving.under(law)
            )
            for law in range(len(moving.laws))
        )

    def asked(self) -> list[Asked]:
        """The punches at the grades of the next round."""
        self.done = not self.next
        return [
            Asked(self.under(g), g, self.throttle, self.rise_s, DURATION_S, outcome=True, rough=self.rough)
            for g in self.next
        ]

    def take(self, answers: Sequence[Answer]) -> None:
        """Keep the outcomes and choose the grades of the next round."""
        found = dict(zip(self.next, (answer.outcome for answer in answers), strict=True))
        if not self.rough:
            self.sure.update(found)
            for wrong in [g for g, outcome in found.items() if self.seen.get(g, outcome) != outcome]:
                kept = self.sure | {min(self.seen), max(self.seen)}
                self.seen = {g: o for g, o in self.seen.items() if g in kept or abs(g - wrong) >= self.doubt}
                self.doubt *= 2.0
        self.seen.update(found)
        self.next = []
        for low, high in pairwise(sorted(self.seen)):
            parts = int(np.ceil((high - low) / self.refined - 1e-9))
            if self.seen[low] == self.seen[high]:
                continue
            if parts < 2:
                self.next += [g for g in (low, high) if g not in self.sure and g not in self.next]
                continue
            # At first all over the step, for a change may hide others; then halfway, on the grid of the refined width.
            parts, inner = (parts, [parts // 2]) if self.cut else (min(parts, PARTS), range(1, min(parts, PARTS)))
            self.next += [low + (high - low) * k / parts for k in inner]
        self.rough, self.cut = not self.cut and not set(self.next) <= set(self.seen), True

    def result(self) -> PunchLimits:
        """What is known so far."""
        grades = sorted(self.seen)
        changes = tuple(
            OutcomeChange(0.5 * (low + high), high - low, self.seen[low], self.seen[high])
            for low, high in pairwise(grades)
            if self.seen[low] != self.seen[high]
        )
        return PunchLimits(
            self.vehicle.setup,
            self.throttle,
            self.rise_s,
            self.tip_deg,
            tuple(grades),
            tuple(self.seen[g] for g in grades),
            changes,
            self.done,
        )
