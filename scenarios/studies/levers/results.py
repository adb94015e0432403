"""Results of a ranking: levers by the unit, whole changes and ready-made ones."""

from dataclasses import dataclass, field
from typing import Any

from noseload.studies.result import Result, field_values
from noseload.studies.thresholds import Thresholds

PARTS = ("fitted", "kept")
LEAST = dict.fromkeys(
    ("tip_over_grade_deg", "tip_over_downhill_grade_deg", "front_load_n", "nose_up_pitch_deg", "grip_needed"), 1e-9
)
"""Effects up to this size are rounding (Newton's tolerance is 1e-11 of the weight): they count as none."""
GAIN = {
    "tip_over_downhill_grade_deg": -1.0,
    "nose_up_pitch_deg": -1.0,
    "grip_needed": -1.0,
    "punch_front_airborne_s": -1.0,
}
"""Which way an outcome gets better: more of it (1, where nothing stands here) or less."""


@dataclass(frozen=True)
class Lever:
    """What one number buys per practical unit.

    Attributes
    ----------
    name, label : str
        File key with its coordinate, and words for people.
    step : str
        Practical unit in words.
    effects : dict
        Change of each outcome for one practical unit more (forward, up, heavier); None where there is none.
    advice : dict
        Which way the outcome rises: 'raise', 'lower', 'move forward', ...; '' where it does not move.
    equal_front_axle_g : dict
        Mass at the front wheels that would buy the same, g (negative: taken off).
    assumed : bool
        The file does not give this number.
    """

    name: str
    label: str
    step: str
    effects: dict
    advice: dict
    equal_front_axle_g: dict
    assumed: bool = False

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class WholeChange:
    """A setup or a `[changes.NAME]`, solved.

    Attributes
    ----------
    kind : str
        'setup', 'change' or 'ready_made'.
    outcomes, effects, equal_front_axle_g : dict
        What it has, what that is less the vehicle's own, and the mass at the front wheels that would buy it, g.
    status, message : str
        'ok' or 'no_solution'.
    intervals : dict
        Ends of the 95 % intervals of the effects, by outcome, where they were asked for.
    """

    name: str
    kind: str
    label: str
    outcomes: dict
    effects: dict
    equal_front_axle_g: dict
    status: str = "ok"
    message: str = ""
    intervals: dict = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Rank(Result):
    """Ready-made changes by what they gain, levers and whole changes by the size of their effect on `by`."""

    picture = "levers.rank.plot_tip_over_levers"
    setup: str
    grade_deg: float
    parts: str
    by: str
    outcomes: dict
    levers: tuple
    changes: tuple
    without_effect: tuple
    status: str = "ok"
    message: str = ""
    standing_front_n: float | None = field(default=None, repr=False)
    punch_grade_deg: float | None = None
    complete: bool = True
    """False where the punches were interrupted; their outcomes are then missing."""
    ready_made: tuple = ()
    """Ready-made changes of the trade, the one that gains most first."""
    thresholds: Thresholds = field(default_factory=Thresholds)
    limits: Any = field(default=None, repr=False)
    """`Limits` of the climb: what ends it first."""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = field_values(
            self, "levers", "changes", "message", "standing_front_n", "complete", "ready_made", "limits"
        )
        values["status"] = self.status if self.complete else "partial"
        values["levers"] = [lever.to_dict() for lever in self.levers]
        values["changes"] = [change.to_dict() for change in self.changes]
        values["ready_made"] = [change.to_dict() for change in self.ready_made]
        values["first"] = None if self.limits is None else self.limits.first
        values["first_grade_deg"] = None if self.limits is None else self.limits.first_grade_deg
        values["thresholds"] = self.thresholds.to_dict()
        values["without_effect"] = list(self.without_effect)
        return values | ({"message": self.message} if self.message else {})

    def __repr__(self) -> str:
        best = self.ready_made[0] if self.ready_made else None
        tail = "" if best is None else f"; first {best.label}"
        return f"Rank({self.setup} at {self.grade_deg:g} deg: {len(self.levers)} levers, {len(self.changes)} changes{tail})"
