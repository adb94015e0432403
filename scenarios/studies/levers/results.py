"""Results of a ranking: levers by the unit, whole changes and ready-made ones."""

from collections.abc import Sequence
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


def ends_of(name: str, values: Sequence[float]) -> tuple[float, float]:
    """Least and largest of several effects on an outcome; rounding counts as none."""
    low, high = (0.0 if abs(end) <= LEAST.get(name, 0.0) else end for end in (min(values), max(values)))
    return low, high


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
    ranges_over_splits : dict
        Least and largest effect over plausible divisions of the traction between geared axles, by the outcomes that feel them.
    """

    name: str
    label: str
    step: str
    effects: dict
    advice: dict
    equal_front_axle_g: dict
    assumed: bool = False
    ranges_over_splits: dict = field(default_factory=dict)

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
    by_law : dict
        Effects under each law of division of the traction, by the outcomes that feel it; the law is the same for both vehicles.
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
    by_law: dict = field(default_factory=dict, repr=False)

    @property
    def ranges_over_splits(self) -> dict[str, list[float]]:
        """Least and largest effect over the laws, by outcome; without outcomes that have one number or none."""
        known = {name: [value for value in values if value == value] for name, values in self.by_law.items()}
        return {name: list(ends_of(name, values)) for name, values in known.items() if len(values) > 1}

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = {name: value for name, value in self.__dict__.items() if name != "by_law"}
        return values | {"ranges_over_splits": self.ranges_over_splits}


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
    punch_ranges: dict[str, list[float]] | None = None
    """Least and largest outcome of the vehicle's own punch over plausible divisions of the pull between geared axles."""
    complete: bool = True
    """False where the punches were interrupted; their outcomes are then missing."""
    ready_made: tuple = ()
    """Ready-made changes of the trade, the one that gains most first."""
    thresholds: Thresholds = field(default_factory=Thresholds)
    limits: Any = field(default=None, repr=False)
    """`Limits` of the climb: what ends it first."""

    @property
    def first_over_splits(self) -> list[str]:
        """Ready-made changes that gain most under the vehicle's own law or another plausible one; the own law's first."""
        known = [item for item in self.ready_made if item.effects[self.by] is not None]
        laws = range(max((len(item.by_law.get(self.by, ())) for item in known), default=0))
        gain = GAIN.get(self.by, 1.0)
        found = [
            max(rows, key=lambda row: row[0])[1]
            for law in laws
            if (rows := [(gain * v, item.name) for item in known for v in [item.by_law[self.by][law]] if v == v])
        ]
        return list(dict.fromkeys([*(item.name for item in known[:1]), *found]))

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
        values["first_over_splits"] = self.first_over_splits
        values["thresholds"] = self.thresholds.to_dict()
        values["without_effect"] = list(self.without_effect)
        return values | ({"message": self.message} if self.message else {})

    def __repr__(self) -> str:
        best = self.ready_made[0] if self.ready_made else None
        tail = "" if best is None else f"; first {best.label}"
        return f"Rank({self.setup} at {self.grade_deg:g} deg: {len(self.levers)} levers, {len(self.changes)} changes{tail})"
