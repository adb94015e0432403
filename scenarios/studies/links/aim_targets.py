"""What `aim` can be asked for, and what it reads off a position that was tried."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan
from typing import Any

from noseload.model.units import grams_of_force

GRAMS = grams_of_force(1.0)


@dataclass(frozen=True)
class Target:
    """What is aimed at: `kind` of KINDS and a value in its unit (None for least_squat)."""

    kind: str
    value: float | None = None


@dataclass(frozen=True)
class Kind:
    """A kind of target: outcome it reads, words and unit, grade used where none is given."""

    outcome: str
    words: str
    unit: str
    grade_deg: float


KINDS = {
    "anti_squat": Kind("anti_squat_as_driven_percent", "anti-squat as driven", "%", 0.0),
    "anti_squat_textbook": Kind("anti_squat_textbook_percent", "anti-squat by the textbook", "%", 0.0),
    "anti_lift": Kind("anti_lift_as_driven_percent", "anti-lift as driven", "%", 0.0),
    "anti_lift_textbook": Kind("anti_lift_textbook_percent", "anti-lift by the textbook", "%", 0.0),
    "tip_over": Kind("tip_over_grade_deg", "tip-over grade", "deg", 45.0),
    "front_load": Kind("front_load_g", "front axle load", "g", 45.0),
    "least_squat": Kind("punch_squat_mm", "squat in a punch", "mm", 30.0),
}


@dataclass(frozen=True)
class Outcome:
    """One position with everything it does; None where there is no such number.

    Attributes
    ----------
    points_mm : dict
        Moved link ends by file key, [x, z].
    status : str
        'ok', the status of the crawl, 'impossible' (with `message`) or 'no_standing_pose'.
    punch_squat_mm : float or None
        Largest shortening of the rear shock from the start of a full-throttle punch at the grade.
    """

    points_mm: dict
    status: str
    message: str = ""
    anti_squat_textbook_percent: float | None = None
    anti_squat_as_driven_percent: float | None = None
    anti_lift_textbook_percent: float | None = None
    anti_lift_as_driven_percent: float | None = None
    tip_over_grade_deg: float | None = None
    front_load_n: float | None = None
    nose_up_pitch_deg: float | None = None
    punch_squat_mm: float | None = None

    @property
    def front_load_g(self) -> float | None:
        """The front axle load as a scale reads."""
        return None if self.front_load_n is None else GRAMS * self.front_load_n

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {**self.__dict__, "points_mm": {k: list(v) for k, v in self.points_mm.items()}}


def offset(outcome: Outcome, target: Target) -> float:
    """How far an outcome lies above the target, in its unit; nan where it has no such number."""
    value = getattr(outcome, KINDS[target.kind].outcome)
    return nan if value is None else value - (target.value or 0.0)
