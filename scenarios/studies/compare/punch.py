"""Setups side by side at a creep and at a punch: what each changes, through what, and a verdict for either."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from noseload.model.crawl import budget_parts
from noseload.model.errors import ModelError
from noseload.model.names import row_name
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.results import Creep
from noseload.studies.climb.sweep import GRADE_STEP_DEG
from noseload.studies.errors.assumed_punch import assumed_in_punch
from noseload.studies.errors.error_group import ErrorGroup
from noseload.studies.errors.punch_draws import PUNCH_DRAWS, PunchOdds, odds_of, run_drawn
from noseload.studies.errors.uncertainty import difference_ends
from noseload.studies.punch.outcome import FLIPS
from noseload.studies.punch.punch import PunchResult, punch
from noseload.studies.result import Result

from .compare import Comparison, division_ends, moved_on_grade, say_load
from .punch_words import punch_verdict

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


SEARCHED = f"the steepest in steps of {GRADE_STEP_DEG:g} deg at which every setup holds the crawl"


CREEP_DRAWS = 400
"""Draws of the interval of a creep beside a punch."""


@dataclass(frozen=True)
class PunchMember:
    """One setup at the grade: its creep and its punch.

    Attributes
    ----------
    name : str
    creep : Creep
        At a crawl without end of slowness; `punch.start` is the crawl at the creep speed.
    punch : PunchResult
    """

    name: str
    creep: Creep
    punch: PunchResult

    @property
    def airborne_s(self) -> float | None:
        """Time the front axle is in the air within the traces, s; None where there was no punch."""
        return self.punch.summary["front_airborne_s"] if self.punch.success else None

    @property
    def ends_airborne(self) -> bool:
        """True where the traces end with the front axle in the air."""
        if not self.punch.success:
            return False
        last = [e.name for e in self.punch.events if e.name in ("front_lift_off", "front_touchdown")]
        return last[-1:] == ["front_lift_off"]

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        run = self.punch
        document = {
            "setup": self.name,
            "creep": self.creep.to_dict(),
            "status": run.status,
            "throttle_start": run.throttle_start,
            "start": dict(run.start),
        }
        if not run.success:
            return document | {"message": run.message}
        return document | {
            "summary": dict(run.summary),
            "at_smallest_front_load": dict(run.lowest),
            "ends_airborne": self.ends_airborne,
            "events": [event.to_dict() for event in run.events],
            "time_s": run.time_s.tolist(),
            "front_load_n": run.front_load_n.tolist(),
            "rear_load_n": run.traces["rear_load_n"].tolist(),
            "nose_up_pitch_deg": run.traces["nose_up_pitch_deg"].tolist(),
        }


@dataclass(frozen=True)
class PunchDifference:
    """What a setup changes against the first at one grade; numbers are the setup's less the first's.

    Attributes
    ----------
    setup : str
    creep_load_n : float or None
        Front load of the steady crawl.
    creep_budget : dict
    front_load_min_n : float or None
        Smallest front load of the punch.
    front_load_min_time_s : float or None
    budget : dict
        Parts of it, each setup's read at its own moment of smallest front load; they add up to `front_load_min_n`.
    front_airborne_s : float or None
    outcomes : tuple of str
        Of the first and of this setup.
    creep_verdict, punch_verdict : str
    first_hop_s : float or None
        Of the front axle's first hop; later hops are the rest of `front_airborne_s`.
    hops : tuple of int
        Hops of the first and of this setup.
    odds : PunchOdds or None
        Over random vehicles: both parts of the error together.
    """

    setup: str
    creep_load_n: float | None
    creep_budget: dict
    front_load_min_n: float | None
    front_load_min_time_s: float | None
    budget: dict
    front_airborne_s: float | None
    outcomes: tuple
    creep_verdict: str
    punch_verdict: str
    first_hop_s: float | None = None
    hops: tuple = ()
    odds: PunchOdds | None = None

    @property
    def outcome_changes(self) -> bool:
        """True where the punch ends otherwise than with the first setup."""
        return self.outcomes[0] != self.outcomes[1]

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = {"outcomes": list(self.outcomes), "hops": list(self.hops), "outcome_changes": self.outcome_changes}
        return {**self.__dict__, **values, "odds": None if self.odds is None else self.odds.to_dict()}


@dataclass(frozen=True)
class PunchComparison(Result):
    """Setups compared at a creep and at a punch on one grade.

    Attributes
    ----------
    grade_deg, throttle, rise_s : float
    members : tuple of PunchMember
        The first is what the others are compared with.
    differences : tuple of PunchDifference
    comparison : Comparison
        The creep over all grades.
    grade_words : str
        How the grade was chosen; empty where it was given.
    assumed : tuple
        Assumed values that move what a setup changes in the punch: see `assumed_in_punch`.
    """

    picture = "punch.comparison.plot_punch_comparison"

    grade_deg: float
    throttle: float
    rise_s: float
    members: tuple
    differences: tuple
    comparison: Comparison = field(repr=False)
    grade_words: str = ""
    assumed: tuple = ()

    @property
    def status(self) -> str:
        """'ok' where at least one setup could be held against the first."""
        return "ok" if any(d.front_load_min_n is not None for d in self.differences) else "start_not_held"

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "grade_deg": self.grade_deg,
            "throttle": self.throttle,
            "rise_s": self.rise_s,
            "grade_chosen": self.grade_words,
            "setups": [member.to_dict() for member in self.members],
            "differences": [difference.to_dict() for difference in self.differences],
            "assumed_that_matter": [effect.to_dict("lines") for effect in self.assumed],
            "status": self.status,
        }

    def rows(self) -> list[dict[str, Any]]:
        """One dict a setup and sample, for a CSV file."""
        return [
            {"setup": member.name, **row}
            for member in self.members
            if member.punch.success
            for row in member.punch.rows()
        ]

    def __repr__(self) -> str:
        parts = " ".join(f"{d.setup}: {d.punch_verdict}" for d in self.differences)
        return f"PunchComparison({len(self.members)} setups at {self.grade_deg:g} deg; {parts})"


def compare_punch(
    comparison: Comparison,
    *,
    grade_deg: float | None = None,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    start_s: float = 0.1,
    duration_s: float = 1.0,
    creep_speed_mm_per_s: float = 100.0,
    sample_s: float = 0.001,
    runs: Sequence[PunchResult] | None = None,
    draws: int = PUNCH_DRAWS,
    seed: int = 1,
) -> PunchComparison:
    """Hold the setups of a comparison against each other at a creep and at a punch on one grade.

    Parameters
    ----------
    comparison : Comparison
        Of `compare`; the first setup is what the others are compared with.
    grade_deg : float, optional
        By default the grade of the verdict on the steady crawl, or the first one below it in steps of 5 deg at which every setup
        can hold the crawl and none flips over.
    throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s, sample_s : float
        Of every punch.
    runs : sequence of PunchResult, optional
        Punches that were run already, of every setup, with these options.
    draws, seed : int
        Drawn vehicles of each verdict (0: none, and no chances are told); setups share what they share.

    Returns
    -------
    PunchComparison

    Raises
    ------
    ModelError
        A setup without links, or options that make no sense.
    SolverError
        A setup has no standing pose, or an integration failed.
    """
    for member in comparison.members:
        if member.climb.rigid:
            raise ModelError(
                f"compare at a punch: {member.name} has no links (a level A file); "
                "`noseload new --level B FILE` writes a file that has them"
            )
    grade, found, words = (
        (float(grade_deg or 0.0), list(runs), "")
        if runs is not None
        else punch_each(
            [m.climb for m in comparison.members],
            comparison.grade_deg if grade_deg is None else grade_deg,
            search=grade_deg is None,
            throttle=throttle,
            rise_s=rise_s,
            start_s=start_s,
            duration_s=duration_s,
            sample_s=sample_s,
            creep_speed_mm_per_s=creep_speed_mm_per_s,
        )
    )
    members = tuple(
        PunchMember(m.name, m.climb.row(grade), run) for m, run in zip(comparison.members, found, strict=True)
    )
    options = {"throttle": throttle, "rise_s": rise_s, "start_s": start_s, "duration_s": duration_s}
    options |= {"grade_deg": grade, "creep_speed_mm_per_s": creep_speed_mm_per_s}
    vehicles = [m.climb.vehicle for m in comparison.members]
    odds = _odds(vehicles, options, draws if _all_run(members) else 0, seed)
    spans = _creep_spans(comparison, grade)
    differences = tuple(
        _difference(comparison, k, members, float(throttle), float(rise_s), odds[k - 1], spans[k - 1])
        for k in range(1, len(members))
    )
    assumed = assumed_in_punch(vehicles, options, thresholds=comparison.thresholds)
    return PunchComparison(grade, float(throttle), float(rise_s), members, differences, comparison, words, assumed)


def punch_each(
    climbs: Sequence[Climb],
    grade_deg: float,
    *,
    search: bool = True,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    start_s: float = 0.1,
    duration_s: float = 1.0,
    creep_speed_mm_per_s: float = 100.0,
    sample_s: float = 0.001,
) -> tuple[float, list[PunchResult], str]:
    """Punch every setup on one grade.

    Parameters
    ----------
    climbs : sequence of Climb
    grade_deg : float
    search : bool
        Go down from it, in steps of 5 deg, to where every setup holds the crawl and none flips over; where some flip on
        all grades, to where every one holds it.
    throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s, sample_s : float
        Of every punch.

    Returns
    -------
    grade_deg : float
    punches : list of PunchResult
    words : str
        How the grade was found; empty where it was not searched for.
    """

    def run(climb: Climb, grade: float) -> PunchResult:
        return punch(
            climb.vehicle,
            grade_deg=grade,
            standing=climb.standing,
            throttle=throttle,
            rise_s=rise_s,
            start_s=start_s,
            duration_s=duration_s,
            creep_speed_mm_per_s=creep_speed_mm_per_s,
            sample_s=sample_s,
        )

    first = grade = float(grade_deg)
    held = None
    while search:
        runs, flips = [], False
        for climb in climbs:
            runs.append(run(climb, grade))
            flips = flips or (runs[-1].success and runs[-1].summary["outcome"] in FLIPS)
            # Where a grade that only holds is known already, one that flips is of no use.
            if not runs[-1].success or (flips and held is not None):
                break
        whole = len(runs) == len(climbs) and runs[-1].success
        if whole and not flips:
            return (
                grade,
                runs,
                "the grade of the verdict on the steady crawl" if grade == first else SEARCHED + " and none flips over",
            )
        if whole and held is None:
            held = grade, runs, SEARCHED
        if grade <= 0.0:
            break
        grade = max(0.0, grade - GRADE_STEP_DEG)
    words = "no setup holds a crawl to punch from" if search else ""
    return held or (first, [run(climb, first) for climb in climbs], words)


def _all_run(members: tuple) -> bool:
    return all(m.punch.success for m in members)


def _odds(
    vehicles: list[Vehicle], options: dict[str, float], draws: int, seed: int
) -> list[None] | tuple[PunchOdds, ...]:
    """Chances of every difference over random vehicles; None each without draws."""
    if not draws:
        return [None] * (len(vehicles) - 1)
    group = ErrorGroup(vehicles, punch=True)
    errors, sizes = group.draw(draws, seed), group.draw_left_out(draws, seed)
    return odds_of(run_drawn(group.members, errors, sizes, options), draws, seed)


def _creep_spans(comparison: Comparison, grade_deg: float) -> list[tuple[float | None, float | None]]:
    """95 % ends of the creep's differences at the grade of the punch, N, where the comparison has intervals; None, None else."""
    sure = comparison.uncertainty
    if sure is None:
        return [(None, None)] * (len(comparison.members) - 1)
    vehicles = [member.climb.vehicle for member in comparison.members]
    draws = min(sure.draws, CREEP_DRAWS)
    found = difference_ends(vehicles, grade_deg=grade_deg, draws=draws, seed=sure.seed, of=("front_load_n",))
    return [(ends["front_load_n"][0], ends["front_load_n"][2]) for ends in found]


def _difference(
    comparison: Comparison, k: int, members: tuple, throttle: float, rise_s: float, odds: PunchOdds | None, span: Any
) -> PunchDifference:
    first, other = members[0], members[k]
    creep_load, creep_budget, creep_words = _creep_difference(comparison, k, first, other, span)
    runs = first.punch, other.punch
    outcomes = tuple(run.summary["outcome"] if run.success else run.status for run in runs)
    if not all(run.success for run in runs):
        failed = first if not first.punch.success else other
        words = f"No punch at {other.creep.grade_deg:g} deg for {row_name(failed.name)}: {failed.punch.message}."
        return PunchDifference(other.name, creep_load, creep_budget, None, None, {}, None, outcomes, creep_words, words)
    lows = [run.lowest for run in runs]
    load = lows[1]["front_load_n"] - lows[0]["front_load_n"]
    budget = {key: lows[1]["budget"][key] - lows[0]["budget"][key] for key in budget_parts.keys()}
    airborne = other.airborne_s - first.airborne_s
    hops = tuple(member.punch.summary["front_hops"] for member in (first, other))
    first_hop = other.punch.summary["front_first_hop_s"] - first.punch.summary["front_first_hop_s"]
    words = punch_verdict(comparison, first, other, load, budget, airborne, throttle, rise_s, odds)
    return PunchDifference(
        other.name,
        creep_load,
        creep_budget,
        load,
        lows[1]["time_s"] - lows[0]["time_s"],
        budget,
        airborne,
        outcomes,
        creep_words,
        words,
        first_hop,
        hops,
        odds,
    )


def _creep_difference(comparison: Comparison, k: int, first: Any, other: Any, span: Any) -> tuple:
    """Front load of creep, its budget, and the verdict at the grade of the punch."""
    a, b = first.creep, other.creep
    solved = None not in (a.front_load_n, b.front_load_n)
    load: Any = b.front_load_n - a.front_load_n if solved else None
    budget = {key: b.budget[key] - a.budget[key] for key in budget_parts.keys()} if solved else {}
    old, new = (replace(comparison.members[place], at_grade=creep) for place, creep in ((0, a), (k, b)))
    moved = moved_on_grade(old, new) if solved else {}
    judged = comparison.thresholds.load(load, a.budget["standing_n"], *span) if solved else None
    words = say_load(old, new, judged, budget, moved, limits=True, over_splits_n=division_ends(old, new))
    return load, budget, words
