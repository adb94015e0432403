"""Everything that the page for everyone shows, collected once: each study, or a sentence why it is missing."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.names import shown_name
from noseload.solvers.errors import SolverError, Status
from noseload.studies.climb.describe import Description, describe
from noseload.studies.climb.sweep import climb_of, grade_below, sweep
from noseload.studies.compare.compare import Comparison, compare
from noseload.studies.compare.punch import PunchComparison, compare_punch, punch_each
from noseload.studies.errors.punch_draws import PUNCH_DRAWS
from noseload.studies.punch.punch import PunchResult
from noseload.studies.result import Result
from noseload.studies.thresholds import Thresholds

from .report_member import ReportMember, with_ranges
from .trial_need import TrialNeed

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.bench.bench import BenchComparison
    from noseload.studies.errors.uncertainty import Uncertainty
    from noseload.studies.levers.rank import Rank
    from noseload.studies.links.links import LinkStudy
    from noseload.studies.links.most_load import MostLoad
    from noseload.studies.measuring.readings import ReadingsResult
    from noseload.studies.space.climb import SpaceStanding
    from noseload.studies.wheels.remark import Remark

READY_MADE = 8
"""Ready-made changes that get an interval."""
GENERATIONS = 12
"""Length of the search for the range of front load by links: a page wants the size, `aim` the last gram."""
INSTALLATION_SCATTER = 1.0
"""Scatter of a tip angle from one fitting to the next, as a share of the repeatability that the user sets."""


@dataclass(frozen=True)
class ReportOptions:
    """What was asked for; None: chosen from the vehicle.

    Attributes
    ----------
    grade_deg, punch_grade_deg : float or None
        Grade of the steady crawl that the verdict speaks of, and of the punch.
    throttle, rise_s : float
        Of the punch.
    draws, seed : int
        Draws of the 95 % intervals (0: none).
    thresholds : Thresholds
    """

    grade_deg: float | None = None
    punch_grade_deg: float | None = None
    throttle: float = 1.0
    rise_s: float = 0.05
    draws: int = 400
    seed: int = 1
    thresholds: Thresholds = field(default_factory=Thresholds)


@dataclass(frozen=True)
class Missing:
    """A part of the report that this vehicle has not: which, why, and what would bring it."""

    part: str
    why: str

    def to_dict(self) -> dict:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Report(Result):
    """The whole report; frozen, in the order of the page."""

    options: ReportOptions
    grade_deg: float
    punch_grade_deg: float | None
    punch_grade_words: str
    description: Description
    members: tuple
    comparison: Comparison | None
    punched: PunchComparison | None
    uncertainty: Uncertainty | None
    rank: Rank | None
    bench: BenchComparison | None
    trial: TrialNeed | None
    assumed: tuple
    missing: tuple
    lift_range_deg: tuple[float, float] | None = None
    """Grades of the first wheel lift of the first setup over plausible speeds of geared axles."""
    most: MostLoad | None = None
    """The range of front load that links alone give at the verdict's grade."""
    single_wheels: str = ""
    """The wheel of the first setup that lifts before the side view tips over, '' where none does."""
    measured: ReadingsResult | None = None
    """Readings of the first setup on the board beside their prediction."""
    doubts: tuple = ()
    """What the model leaves out, row by row, for the first setup and what the second one changes."""

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle as its file is written."""
        return self.members[0].vehicle

    @property
    def status(self) -> str:
        """'ok', or 'no_solution' where even the climb of the first setup failed."""
        return self.members[0].sweep.status

    def to_dict(self) -> dict:
        """Keys of the JSON document; the long rows and traces are left to the replication folder."""
        return {
            "name": self.vehicle.name,
            "level": self.vehicle.level,
            "grade_deg": self.grade_deg,
            "punch_grade_deg": self.punch_grade_deg,
            "description": self.description.to_dict(),
            "setups": [member.to_dict() for member in self.members],
            "differences": [] if self.comparison is None else [d.to_dict() for d in self.comparison.differences],
            "single_wheels": self.single_wheels or None,
            "punch_grade_chosen": self.punch_grade_words,
            "punch_differences": [] if self.punched is None else [d.to_dict() for d in self.punched.differences],
            "uncertainty": None if self.uncertainty is None else self.uncertainty.to_dict(),
            "rank": None if self.rank is None else self.rank.to_dict(),
            "bench": None if self.bench is None else self.bench.to_dict(),
            "trial": None if self.trial is None else self.trial.to_dict(),
            "doubts": [row.to_dict() for row in self.doubts],
            "readings": None if self.measured is None else self.measured.to_dict(),
            "assumed_that_matter": [item.to_dict("n") for item in self.assumed],
            "missing": [item.to_dict() for item in self.missing],
            "status": self.status,
        }

    def plot(self, ax: Any = None) -> Any:
        """Draw the comparison, or the only crawl; the page holds every other drawing."""
        return (self.comparison or self.members[0].sweep).plot(ax)

    def __repr__(self) -> str:
        return (
            f"Report({self.vehicle.name}: {len(self.members)} setups, steady crawl at {self.grade_deg:g} deg, "
            f"{len(self.missing)} parts missing)"
        )


class _Collector:
    """Runs studies, keeps a sentence for each that this vehicle does not allow, and tells how far it is."""

    def __init__(self, progress: Callable[[str], None] | None) -> None:
        self.missing: list[Missing] = []
        self.progress = progress or (lambda words: None)

    def ask(self, part: str, study: Callable, *arguments: Any) -> Any:
        """The study's result, or None with its reason kept."""
        self.progress(part)
        try:
            return study(*arguments)
        except (ModelError, SolverError) as error:
            self.note(part, str(error))
            return None

    def note(self, part: str, why: str) -> None:
        """Name a part that is missing."""
        self.missing.append(Missing(part, why))


def collect(
    vehicles: Sequence,
    options: ReportOptions | None = None,
    *,
    readings: str | os.PathLike | None = None,
    progress: Callable[[str], None] | None = None,
) -> Report:
    """Run every study of the report.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        The first is what the others are compared with.
    options : ReportOptions, optional
    readings : path, optional
        Readings on the board of the first setup.
    progress : callable, optional
        Called with the name of each part before it is worked on.

    Returns
    -------
    Report

    Raises
    ------
    SolverError
        The first vehicle has no standing pose.
    ReadingsFileError, ModelError
        The readings are no good.
    """
    options = options or ReportOptions()
    measured = None if readings is None else _measured(readings, vehicles[0])
    run = _Collector(progress)
    run.progress("standing pose")
    description = describe(vehicles[0])
    unsolved = description.unsaid.get("standing") or description.unsaid.get("climb")
    if unsolved:
        raise SolverError(Status.DIVERGED, unsolved)
    climbs = [description.climb, *(run.ask(f"setup {shown_name(v.setup)}", climb_of, v) for v in vehicles[1:])]
    pairs = [(v, c) for v, c in zip(vehicles, climbs, strict=True) if c is not None]
    vehicles = [vehicle for vehicle, _ in pairs]
    ends = [climb.limits.first_grade_deg for _, climb in pairs]
    grade = options.grade_deg if options.grade_deg is not None else grade_below(min(ends))
    comparison, sure = _compared(run, pairs, grade, options)
    run.progress("steady crawl")
    rows = (
        [(sweep(vehicle, climb=climb), climb.row(grade)) for vehicle, climb in pairs]
        if comparison is None
        else [(member.sweep, member.at_grade) for member in comparison.members]
    )
    members = [
        ReportMember(vehicle.setup, vehicle, climb, *known) for (vehicle, climb), known in zip(pairs, rows, strict=True)
    ]
    punch_grade, words, punches = _punches(run, members, grade, options)
    punched = _punched(run, comparison, punch_grade, punches, options)
    members = [
        replace(member, punch=done, links=_links(run, member, grade), on_wheels=_on_wheels(run, member))
        for member, done in zip(members, punches, strict=True)
    ]
    members = run.ask("divisions of the pull", with_ranges, members, grade) or members
    ranked = run.ask("what would help", _rank, vehicles[0], grade, READY_MADE if options.draws else 0)
    benches = run.ask("held-wheel bench", _bench, vehicles, options)
    trial = _trial(run, comparison, members, options)
    most = _most(run, members[0], grade)
    lift_range, single_wheels = _single_wheels(run, members[0])
    return Report(
        options,
        grade,
        punch_grade,
        words,
        description,
        tuple(members),
        comparison,
        punched,
        sure,
        ranked,
        benches,
        trial,
        _assumed(run, vehicles, grade, options),
        tuple(run.missing),
        lift_range,
        most,
        single_wheels,
        measured,
        _doubts(run, members, grade) if options.draws else (),
    )


def _doubts(run: _Collector, members: Any, grade: float) -> Any:
    """Rows of what the model leaves out; () where they cannot be worked out."""
    from noseload.studies.errors.doubts import doubt_rows

    few = members[:2]
    rows = run.ask(
        "what the model leaves out", lambda: doubt_rows([m.vehicle for m in few], [m.climb for m in few], grade)
    )
    return rows or ()


def _measured(path: str | os.PathLike, vehicle: Vehicle) -> ReadingsResult:
    """Readings beside their prediction; a file of bad ones is refused before any work."""
    from noseload.studies.measuring.readings import compare_readings

    return compare_readings(path, vehicle)


def _compared(run: _Collector, pairs: list, grade: float, options: ReportOptions) -> tuple:
    """Comparison (None for a single setup) and uncertainty (None where no draws were asked for) of vehicles and their climbs."""
    draws, vehicles, climbs = options.draws, [vehicle for vehicle, _ in pairs], [climb for _, climb in pairs]
    run.progress("errors of the numbers")
    if len(vehicles) > 1:
        result = compare(
            vehicles, grade_deg=grade, thresholds=options.thresholds, draws=draws, seed=options.seed, climbs=climbs
        )
        return result, result.uncertainty
    run.note(
        "setups side by side", "the file has no other setup: add a [setups.NAME] table and it is compared with this one"
    )
    if not draws:
        return None, None
    from noseload.studies.errors.uncertainty import uncertainty

    return None, run.ask(
        "errors of the numbers",
        lambda: uncertainty(vehicles, grade_deg=grade, draws=draws, seed=options.seed, climbs=climbs),
    )


def _punches(run: _Collector, members: list[ReportMember], grade: float, options: ReportOptions) -> tuple:
    """Grade of the punch, how it was found, and a punch of each setup at it (None where there is none)."""
    nothing = None, "", [None] * len(members)
    if members[0].rigid:
        run.note(
            "throttle punch",
            "the file has no links (level A): a punch needs links, shocks, motor and damping (levels B and C)",
        )
        return nothing
    if members[0].vehicle.level == "B":
        run.note(
            "motor and damping as measured",
            "the file has neither (level B): the punch uses stated defaults, so its size is assumed, not measured; level C measures them",
        )
    asked = options.punch_grade_deg
    found = run.ask(
        "throttle punch",
        lambda: punch_each(
            [member.climb for member in members],
            grade if asked is None else asked,
            search=asked is None,
            throttle=options.throttle,
            rise_s=options.rise_s,
        ),
    )
    if found is None:
        return nothing
    for member, done in zip(members, found[1], strict=True):
        if not done.success:
            run.note(
                f"throttle punch, {shown_name(member.name)}",
                f"the crawl at {found[0]:g} deg cannot be held: {done.message}",
            )
    return found[0], found[2], found[1]


def _punched(
    run: _Collector, comparison: Comparison, grade: float, punches: list[PunchResult], options: ReportOptions
) -> PunchComparison | None:
    """What setups change in the punch; None for a single one, or without punches."""
    if comparison is None or grade is None:
        return None
    return run.ask(
        "what setups change in a punch",
        lambda: compare_punch(
            comparison,
            grade_deg=grade,
            throttle=options.throttle,
            rise_s=options.rise_s,
            runs=punches,
            draws=min(options.draws, PUNCH_DRAWS),
            seed=options.seed,
        ),
    )


def _links(run: _Collector, member: ReportMember, grade: float) -> LinkStudy | None:
    if member.rigid:
        if not any(item.part == "links" for item in run.missing):
            run.note("links", "the file has none (level A): give link ends and shocks (level B)")
        return None
    from noseload.studies.links.links import links

    found = run.ask("links", lambda: links(member.vehicle, grade_deg=grade, climb=member.climb))
    if found is not None and not found.axles:
        run.note(f"links, {shown_name(member.name)}", found.message)
        return None
    return found


def _on_wheels(run: _Collector, member: ReportMember) -> SpaceStanding | None:
    """The member standing on four wheels; what its file lacks for that is noted once, with the first."""
    if member.rigid or any(item.part == "single wheels" for item in run.missing):
        return None
    from noseload.studies.space.climb import stand_in_space
    from noseload.studies.wheels.remark import what_is_left_out

    if lacking := what_is_left_out(member.vehicle):
        run.note("single wheels", lacking)
        return None
    return run.ask("single wheels", lambda: stand_in_space(member.vehicle, standing=member.climb.standing))


def _single_wheels(run: _Collector, member: ReportMember) -> tuple[tuple[float, float] | None, str]:
    """Grades (deg) of the first wheel lift over plausible speeds of geared axles, and the sentence about that lift."""
    if member.on_wheels is None:
        return None, ""
    from noseload.studies.wheels.climbs import wheel_climb
    from noseload.studies.wheels.remark import remark_on

    def first_lift() -> Remark:
        return remark_on(member.vehicle, climb=wheel_climb(member.vehicle, standing=member.on_wheels))

    remark = run.ask("first wheel lift", first_lift)
    if remark is None:
        return None, ""
    if remark.left_out:
        run.note("first wheel lift", remark.left_out)
    low, high = remark.range_deg
    return (None if low is None else (low, high)), remark.sentence(member.sweep.limits.tip_over_grade_deg)


def _rank(vehicle: Vehicle, grade: float, intervals: int) -> Rank:
    from noseload.studies.levers.rank import rank

    return rank(vehicle, grade_deg=grade, intervals=intervals)


def _most(run: _Collector, member: ReportMember, grade: float) -> MostLoad | None:
    """The most and the minimum of front load by links alone, at the verdict's grade."""
    if member.rigid or member.at_grade.front_load_n is None:
        return None
    from noseload.studies.links.most_load import most_front_load

    return run.ask(
        "range of front axle load by links",
        lambda: most_front_load(member.vehicle, grade_deg=grade, generations=GENERATIONS, throttle=None),
    )


def _bench(vehicles: list[Vehicle], options: ReportOptions) -> BenchComparison:
    """Rear wheels held, front wheels free, torque raised: every setup."""
    from noseload.studies.bench.bench import compare_bench

    return compare_bench(vehicles, thresholds=options.thresholds)


def _assumed(run: _Collector, vehicles: list, grade: float, options: ReportOptions) -> tuple:
    """Assumed values that matter to the front load of the first vehicle at the verdict's grade."""
    from noseload.studies.climb.creep import creep
    from noseload.studies.errors.assumed import assumed_that_matter

    found = run.ask(
        "assumed values",
        lambda: assumed_that_matter(
            vehicles[:1], lambda v: (creep(v[0], grade_deg=grade).front_load_n,), options.thresholds.measurable_load_n
        ),
    )
    return found or ()


def _trial(
    run: _Collector, comparison: Comparison, members: list[ReportMember], options: ReportOptions
) -> TrialNeed | None:
    """Size of a locked-wheel tip trial of the setup whose tip-over differs most."""
    part = "what a trial would need"
    known = [] if comparison is None else [d for d in comparison.differences if d.tip_over_grade_deg]
    if not known:
        run.note(part, "a trial compares two setups that tip at different grades; this file has no such pair")
        return None
    most = max(known, key=lambda d: abs(d.tip_over_grade_deg))
    from noseload.studies.trial.outcomes import OUTCOMES
    from noseload.studies.trial.power import Scatter
    from noseload.studies.trial.sizing import Afternoon, Question, find_size

    lines = options.thresholds
    scatter = INSTALLATION_SCATTER * lines.repeatability_deg or Thresholds().repeatability_deg
    size = abs(most.tip_over_grade_deg)
    # Nobody needs a trial for less than what can be measured at all: it is sized for that at least.
    wanted = max(size, lines.measurable_deg) * (1.0 if most.tip_over_grade_deg > 0.0 else -1.0)
    question = Question(OUTCOMES["tip_angle"], wanted, lines.noticed_deg, Scatter(scatter, words="assumed"))
    found = run.ask(part, find_size, question, Afternoon())
    if found is None:
        return None
    return TrialNeed(most.setup, members[0].name, most.tip_over_grade_deg, wanted, scatter, question.repeats, found)
