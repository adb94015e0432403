"""Setups side by side: the same creep on each, what differs, through what, and a verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl import budget_parts
from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.errors import ModelError
from noseload.model.names import Named, row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.results import Creep
from noseload.studies.climb.split import difference_range
from noseload.studies.climb.stance import standing_measures
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.climb.sweep import Sweep, climb_of, grade_below, sweep
from noseload.studies.result import Result, draw
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.sentence import Answer, Facts, answered, own_state_words

if TYPE_CHECKING:
    from noseload.studies.errors.uncertainty import Interval, SetupUncertainty, Uncertainty
    from noseload.studies.verdict.judgement import Judgement


LEAST_TOLD_G = 0.05
"""Parts of a difference below this are not named by a verdict, g."""


@dataclass(frozen=True)
class Member:
    """One setup of a comparison: its path, its rows, its creep at the verdict's grade."""

    name: str
    climb: Any
    sweep: Sweep
    at_grade: Creep
    stance: dict
    """Standing measures by unit-named key: see `standing_measures`."""


@dataclass(frozen=True)
class Difference:
    """What a setup changes against the first; every number is that of the setup less that of the first.

    Attributes
    ----------
    setup : str
    grade_deg : float
    front_load_n : float or None
    budget : dict
    tip_over_grade_deg : float or None
    changed : dict
        Differences of `standing_measures`, standing on the level.
    moved : dict
        On the grade: centre of gravity (`distance_mm`, `height_mm`) and `wheelbase_mm`.
    load_verdict, tip_over_verdict : str
    answer : Answer
        Yes, no or undecided, in one plain sentence.
    interval_n, interval_deg : (float, float) or None
        Ends of the 95 % intervals where the uncertainty was asked for: both driven up the same way.
    own_state_n : (float, float) or None
        The same of the load where friction holds each setup in a state of its own.
    over_splits_n : (float, float) or None
        Ends of the difference of loads over plausible divisions of the pull between geared axles.
    """

    setup: str
    grade_deg: float
    front_load_n: float | None
    budget: dict
    tip_over_grade_deg: float | None
    changed: dict
    moved: dict
    load_verdict: str
    tip_over_verdict: str
    answer: Answer
    interval_n: tuple[float, float] | None = None
    interval_deg: tuple[float, float] | None = None
    own_state_n: tuple[float, float] | None = None
    over_splits_n: tuple[float, float] | None = None

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return self.__dict__ | {"answer": self.answer.to_dict()}


@dataclass(frozen=True)
class Comparison(Result):
    """Setups compared at a creep; the first is what the others are compared with."""

    picture = "climb.comparison.plot_comparison"
    members: tuple
    differences: tuple
    grade_deg: float
    thresholds: Thresholds
    uncertainty: Any = None
    """`studies.uncertainty.Uncertainty` where draws were asked for."""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        sure = {} if self.uncertainty is None else {"uncertainty": self.uncertainty.to_dict()}
        return sure | {
            "grade_deg": self.grade_deg,
            "thresholds": self.thresholds.to_dict(),
            "setups": [
                {**m.sweep.to_dict(), "setup": m.name, "at_grade": m.at_grade.to_dict(), "standing": m.stance}
                for m in self.members
            ],
            "differences": [d.to_dict() for d in self.differences],
            "status": next((m.sweep.status for m in self.members if m.sweep.status != "ok"), "ok"),
        }

    def plot_difference(self, ax: Any = None) -> Any:
        """Draw what each setup changes over grade, with both lines; returns the axes."""
        return draw("climb.comparison.plot_comparison_difference", self, ax)

    def __repr__(self) -> str:
        parts = [f"{d.setup}: {d.load_verdict}" for d in self.differences]
        return f"Comparison({len(self.members)} setups at {self.grade_deg:g} deg; {' '.join(parts)})"


def compare(
    vehicles: Sequence[Vehicle],
    *,
    grade_deg: float | None = None,
    step_deg: float = 1.0,
    thresholds: Thresholds | None = None,
    draws: int = 0,
    seed: int = 1,
    apart: bool = True,
    climbs: Sequence[Any] | None = None,
) -> Comparison:
    """Compare setups, or vehicles, at a creep.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        The first is what the others are compared with.
    grade_deg : float, optional
        Grade of the verdict; by default the steepest multiple of 5 deg that lies 3 deg below the first limit of every
        setup, grip and torque included.
    step_deg : float
        Step of the sweeps.
    thresholds : Thresholds, optional
    draws, seed : int
        Draws of the 95 % intervals (0: none); setups share the errors of the parts they share.
    apart : bool
        Whether the intervals are told for either part alone too: no verdict needs that.
    climbs : sequence, optional
        Of the vehicles (`noseload.studies.climb.sweep.climb_of`), where they are at hand.

    Returns
    -------
    Comparison

    Raises
    ------
    ModelError
        Fewer than two vehicles.
    SolverError
        A vehicle has no standing pose.
    """
    if len(vehicles) < 2:
        raise ModelError(
            "compare: nothing to compare; name a ready-made change, such as --setups 5_mm_lower (`noseload rank` lists them), "
            "add a [setups.NAME] table to the vehicle file, or give a second file"
        )
    thresholds = thresholds or Thresholds()
    climbs = [climb_of(v) for v in vehicles] if climbs is None else list(climbs)
    names = _names(vehicles)
    grade = grade_deg if grade_deg is not None else grade_below(min(c.limits.first_grade_deg for c in climbs))
    members = tuple(
        Member(
            name,
            climb,
            sweep(vehicle, to_deg=None, step_deg=step_deg, climb=climb),
            climb.row(grade),
            standing_measures(climb),
        )
        for name, vehicle, climb in zip(names, vehicles, climbs, strict=True)
    )
    sure = _uncertainty(vehicles, grade, draws, seed, climbs, apart) if draws else None
    found = [None] * (len(members) - 1) if sure is None else list(sure.setups[1:])
    differences = tuple(
        _difference(members[0], other, grade, thresholds, setup)
        for other, setup in zip(members[1:], found, strict=True)
    )
    return Comparison(members, differences, grade, thresholds, sure)


def _uncertainty(
    vehicles: Sequence[Vehicle], grade: float, draws: int, seed: int, climbs: list, apart: bool
) -> Uncertainty:
    from noseload.studies.errors.uncertainty import uncertainty

    return uncertainty(vehicles, grade_deg=grade, draws=draws, seed=seed, climbs=climbs, apart=apart)


def _names(vehicles: Sequence[Vehicle]) -> list[str]:
    """Setup names; the vehicle's name where several files are compared."""
    if len({v.file for v in vehicles}) == 1:
        return [v.setup for v in vehicles]
    return [
        v.name if v.setup == "base" else Named(f"{v.name} {v.setup}", f"{shown_name(v.name)} {shown_name(v.setup)}")
        for v in vehicles
    ]


def _difference(
    first: Any, other: Any, grade: float, thresholds: Thresholds, sure: SetupUncertainty | None = None
) -> Difference:
    a, b = first.at_grade, other.at_grade
    solved = None not in (a.front_load_n, b.front_load_n)
    load: Any = b.front_load_n - a.front_load_n if solved else None
    budget = {k: b.budget[k] - a.budget[k] for k in a.budget} if solved else {}
    tips = [m.sweep.limits.tip_over_grade_deg for m in (first, other)]
    tip = tips[1] - tips[0] if None not in tips else None
    changed = {k: other.stance[k] - first.stance[k] for k in first.stance}
    intervals = None if sure is None else sure.alike or sure.difference
    spans = {name: _span(intervals, name) for name in JUDGED}
    own = _own_state(sure)
    divided = division_ends(first, other)
    moved = moved_on_grade(first, other) if solved and not first.climb.rigid else {}
    judged = None
    if solved:
        judged = thresholds.load(load, a.budget["standing_n"], *spans["front_load_n"])
    tip_judged = None if tip is None else thresholds.angle(tip, *spans["tip_over_grade_deg"])
    return Difference(
        other.name,
        grade,
        load,
        budget,
        tip,
        changed,
        moved,
        say_load(first, other, judged, budget, moved, own_state_n=own, over_splits_n=divided),
        _tip_verdict(first, other, tips, tip_judged),
        _answer(first, other, judged, tip_judged, thresholds, spans["nose_up_pitch_deg"], own),
        None if None in spans["front_load_n"] else spans["front_load_n"],
        None if None in spans["tip_over_grade_deg"] else spans["tip_over_grade_deg"],
        own,
        divided,
    )


def _own_state(sure: SetupUncertainty | None) -> tuple[float, float] | None:
    """Ends of the load's difference, N, where friction holds each setup in a state of its own; None where nothing rubs."""
    if sure is None or not sure.alike:
        return None
    ends = _span(sure.difference, "front_load_n")
    return None if None in ends else ends


JUDGED = ("front_load_n", "tip_over_grade_deg", "nose_up_pitch_deg")


def _span(intervals: dict[str, Interval] | None, name: str) -> tuple:
    """Ends of one interval; None, None where it is not known."""
    return (None, None) if intervals is None else (intervals[name].low, intervals[name].high)


def refusal(member: Member) -> str:
    """Why a member allows no verdict at its grade: 'base slides from 40.4 deg on'; '' where it does."""
    row, limits = member.at_grade, member.sweep.limits
    if row.status == "ok":
        return ""
    end = limits.first_grade_deg
    if row.grade_deg >= 0.0 and limits.first and end is not None and end <= row.grade_deg:
        return f"{shown_name(member.name)} {limits.first_does} from {end:.1f} deg on"
    return f"{shown_name(member.name)}: {row.message or row.status.replace('_', ' ')}"


def _answer(
    first: Member,
    other: Member,
    load: Judgement | None,
    tip: Judgement | None,
    thresholds: Thresholds,
    pitch_span: tuple,
    own_state_n: tuple[float, float] | None,
) -> Answer:
    """The plain sentence about one setup."""
    rows = [m.at_grade for m in (first, other)]
    pitches: list[Any] = [row.nose_up_pitch_deg for row in rows]
    rigid = first.climb.rigid
    pitch = None if rigid or None in pitches else thresholds.angle(pitches[1] - pitches[0], *pitch_span)
    ends = _stopped_before(first, other)
    return answered(
        Facts(
            shown_name(other.name),
            shown_name(first.name),
            rows[1].grade_deg,
            rows[0].front_load_n,
            load,
            None if ends else tip,
            pitch,
            ends,
            "; ".join(filter(None, map(refusal, (first, other)))),
            own_state_n,
        )
    )


def moved_on_grade(first: Member, other: Member) -> dict:
    """How the centre of gravity and the wheelbase differ on the grade, mm."""
    places = [
        np.array(centre_of_gravity(m.climb.standing.values, coordinates_of(m.at_grade.state))) for m in (first, other)
    ]
    distance, height, wheelbase = (1e3 * (places[1] - places[0])).tolist()
    return {"distance_mm": distance, "height_mm": height, "wheelbase_mm": wheelbase}


def say_load(
    first: Member,
    other: Member,
    judged: Judgement | None,
    budget: dict[str, float],
    moved: dict[str, float] | None,
    *,
    limits: bool = False,
    own_state_n: tuple[float, float] | None = None,
    over_splits_n: tuple[float, float] | None = None,
) -> str:
    """Size, direction and cause of a judged difference of loads; with `limits` also both thresholds in grams.

    `own_state_n`: its interval where friction holds each setup in a state of its own. `over_splits_n`: `division_ends`.
    """
    if judged is None:
        failed = next(m for m in (first, other) if m.at_grade.front_load_n is None)
        return f"No steady crawl at {failed.at_grade.grade_deg:g} deg for {row_name(failed.name)}: {failed.at_grade.message}."
    refused = next((m for m in (first, other) if m.at_grade.status != "ok"), None)
    if refused is not None:
        row = refused.at_grade
        return f"No verdict at {row.grade_deg:g} deg, which is beyond a limit of {row_name(refused.name)}: it {row.message}."
    grams = judged.in_unit(grams_of_force(1.0))
    size = judged.size_words()
    if limits:
        size += f" (thresholds at {grams.threshold.measurable:.0f} and {grams.threshold.noticed:.0f} g)"
    return (
        f"Calculated for this vehicle as measured, plane slope, steady crawl at {other.at_grade.grade_deg:g} deg: "
        f"{row_name(other.name)} changes the front axle load by {grams.value:+.1f}{grams.interval_words('.1f', 'g')}; {size}{cause_words(budget, moved)}."
        f"{_division_words(over_splits_n)}{own_state_words(own_state_n)}"
    )


def division_ends(first: Member, other: Member) -> tuple[float, float] | None:
    """Ends of the difference of loads over plausible divisions of the pull between geared axles, N; None where nothing is open."""
    if first.climb.rigid or other.climb.rigid:
        return None
    return difference_range(first.climb, other.climb, other.at_grade.grade_deg)


def _division_words(over_splits_n: tuple[float, float] | None) -> str:
    if over_splits_n is None or not any(over_splits_n):
        return ""
    low, high = map(grams_of_force, over_splits_n)
    return f" Over plausible divisions of the pull between the axles that is {from_to(low, high, 1, sign=True)} g."


def cause_words(budget: dict[str, float], moved: dict[str, float] | None) -> str:
    """'; through attitude -22.0 g and the grade +2.1 g (...)': parts of the budget by size, and how the centre of gravity moved."""
    named = [
        (part.cause, budget[part.key])
        for part in budget_parts.told(budget)
        if abs(grams_of_force(budget[part.key])) >= LEAST_TOLD_G
    ]
    if not named:
        return ""
    named.sort(key=lambda item: -abs(item[1]))
    through = " and ".join(f"{words} {grams_of_force(part):+.1f} g" for words, part in named)
    where = ""
    if moved:
        words = []
        for value, plus, minus in (
            (moved["distance_mm"], "further forward", "further back"),
            (moved["height_mm"], "higher", "lower"),
        ):
            if abs(value) >= 0.05:
                words.append(f"{abs(value):.1f} mm {plus if value > 0 else minus}")
        where = f" (on the grade its centre of gravity lies {' and '.join(words)})" if words else ""
    return f"; through {through}{where}"


def _stopped_before(first: Member, other: Member) -> str:
    """Who is stopped before it tips, by what and where; '' where both tip first."""
    early = [m for m in (first, other) if m.sweep.limits.first not in (None, "tip_over")]
    return " and ".join(
        f"{shown_name(m.name)} {m.sweep.limits.first_does} at {m.sweep.limits.first_grade_deg:.1f} deg" for m in early
    )


def _tip_verdict(first: Member, other: Member, tips: list, judged: Judgement | None) -> str:
    if judged is None:
        return f"No tip-over found for {row_name((first if tips[0] is None else other).name)}."
    low, high = judged.span
    if max(abs(low), abs(high)) < 0.005:
        return f"{row_name(other.name)} tips at the same grade within 0.01 deg ({tips[1]:.2f} deg)."
    difference = judged.value
    when = "later" if difference > 0 else "earlier"
    size = judged.in_unit(1.0 if difference > 0.0 else -1.0)
    before = _stopped_before(first, other)
    return (
        f"{row_name(other.name)} {f'would tip (but {before})' if before else 'tips'} {size.value:.2f}{size.interval_words('.2f', 'deg')} {when} "
        f"({tips[1]:.2f} against {tips[0]:.2f} deg); {judged.size_words()}."
    )
