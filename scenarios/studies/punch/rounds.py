"""Searches among punches that run side by side: what all of them ask next is one batch."""

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, Protocol

import numpy as np

from noseload.model.vehicle import Vehicle

from .many import LARGEST_STEP_S, punch_many
from .outcome import LONGEST_S

TOLERANCE = 5e-5
"""Of the batch integrator: traces within about 1e-3, which moves a change of outcome by less than 0.05 deg."""
ROUGH, ROUGH_STEP_S = 1.6e-3, 0.008
"""Tolerance and largest step where a search only looks around: half the steps; most changes of outcome move by less than 0.1 deg."""
ROUGH_PATIENCE_S = 1.6
"""A rough look at a vehicle that stands does not wait longer for it to settle: rough steps keep it trembling."""
SINGLY_BELOW = 16
"""Punches asked at once that accurate single runs answer faster than a batch."""


class Asked(NamedTuple):
    """A punch that a search wants to know about, roughly or not; units as of `punch`."""

    vehicle: Vehicle
    grade_deg: float
    throttle: float
    rise_s: float
    duration_s: float
    outcome: bool = False
    """False: only whether the front axle lifts is asked; the run ends as it does."""
    rough: bool = False


class Answer(NamedTuple):
    """What a punch did: its outcome (or the status of one that did not run), and whether its front axle lifted."""

    outcome: str
    lifts: bool


class Search(Protocol):
    """Asks for punches until it knows enough."""

    def asked(self) -> list[Asked]:
        """The punches of the next round; none: it is done."""

    def take(self, answers: Sequence[Answer]) -> None:
        """The answers, in the order asked."""


def run_rounds(searches: Sequence[Search], *, executor: Any = None, progress: Callable[..., Any] | None = None) -> None:
    """Run searches to their ends; a step of a batch costs nearly the same for ten punches and for two hundred."""
    while True:
        parts = [search.asked() for search in searches]
        cases = [case for part in parts for case in part]
        if not cases:
            return
        rough = [case.rough for case in cases]
        result = punch_many(
            [case.vehicle for case in cases],
            grade_deg=[case.grade_deg for case in cases],
            throttle=[case.throttle for case in cases],
            rise_s=[case.rise_s for case in cases],
            duration_s=[case.duration_s for case in cases],
            outcome=[case.outcome for case in cases],
            stop_at_lift=[not case.outcome for case in cases],
            singly_below=SINGLY_BELOW,
            tolerance=np.where(rough, ROUGH, TOLERANCE),
            largest_step_s=np.where(rough, ROUGH_STEP_S, LARGEST_STEP_S),
            patience_s=np.where(rough, ROUGH_PATIENCE_S, LONGEST_S),
            executor=executor,
            progress=progress,
        )
        rows = zip(result.outcome, result.status, result.front_airborne_s, strict=True)
        answers = iter([Answer(outcome or str(status), bool(up > 0.0)) for outcome, status, up in rows])
        for search, part in zip(searches, parts, strict=True):
            if part:
                search.take([next(answers) for _ in part])
