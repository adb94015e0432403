"""The picture to post: what goes on it, gathered and checked; the drawing is in `pictures.post`."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.documents import outcome_words
from noseload.model.errors import ModelError
from noseload.model.file.space import has_space
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.plain import typeset
from noseload.solvers.errors import SolverError
from noseload.studies.climb.sweep import climb_of
from noseload.studies.compare.compare import Comparison, compare
from noseload.studies.measuring.readings import compare_readings
from noseload.studies.punch.punch import PunchResult, punch
from noseload.studies.result import Result
from noseload.studies.thresholds import Thresholds
from noseload.studies.trial.files import read_plan
from noseload.studies.trial.read import read_trial
from noseload.studies.verdict.intervals import from_to
from noseload.studies.wheels.climbs import wheel_climb
from noseload.studies.wheels.four_loads import FourLoads, four_loads
from noseload.studies.wheels.remark import Remark, remark_on

if TYPE_CHECKING:
    from os import PathLike

    from noseload.studies.trial.document import TrialPlan


MOST_SETUPS = 3
"""More setups laid over each other cannot be told apart on a phone."""


@dataclass(frozen=True)
class Measured:
    """Front loads read on the board for one setup: arrays of shape (n,)."""

    setup: str
    file: str
    grade_deg: np.ndarray
    front_load_n: np.ndarray
    standard_error_n: np.ndarray


@dataclass(frozen=True)
class Seal:
    """A trial's commitment, posted before its first run."""

    commitment: str
    words: str
    """What was predicted, in one line."""
    measured: str = ""
    """The measured difference with its 95 % interval, in a few words; '' before the trial was read."""
    verdict: str = ""
    """The verdict of the trial; '' before it was read."""

    @property
    def short(self) -> str:
        """First and last figures, to be compared by eye."""
        return f"{self.commitment[:12]}...{self.commitment[-8:]}"


@dataclass(frozen=True)
class Post(Result):
    """Everything on the picture.

    Attributes
    ----------
    name : str
        Of the vehicle.
    comparison : Comparison
    punch : PunchResult or None
        Of the first setup at the comparison's grade; None where the file cannot give one.
    no_punch : str
        Why there is none, else ''.
    measured : tuple of Measured
    seal : Seal or None
    single_wheels : str
        The wheel of the first setup that lifts before the side view tips over, '' where none does.
    four : FourLoads or None
        Its four wheels at the comparison's grade, or below its first lift.
    """

    picture = "show.post.plot_post"

    name: str
    comparison: Comparison
    punch: PunchResult | None
    no_punch: str = ""
    measured: tuple[Measured, ...] = ()
    seal: Seal | None = None
    single_wheels: str = ""
    four: FourLoads | None = None

    def headline(self) -> str:
        """The difference in grams at the front axle beside what the first setup carries there."""
        grams = [grams_of_force(d.front_load_n) for d in self.comparison.differences]
        loads = [f"{g:+.0f} g" if abs(g) >= 1.0 else f"{round(g, 1) + 0.0:+.1f} g" for g in grams]
        whole = grams_of_force(self.comparison.members[0].at_grade.front_load_n)
        return f"{' and '.join(loads)} of {whole:.0f} g at the front axle".replace("-", "\u2212")

    def size(self) -> str:
        """How the difference of the first setup stands against both thresholds, in a few words."""
        first, difference = self.comparison.members[0], self.comparison.differences[0]
        ends = difference.interval_n or (None, None)
        standing = first.at_grade.budget["standing_n"]
        return self.comparison.thresholds.load(difference.front_load_n, standing, *ends).short_words()

    def interval(self, k: int) -> str:
        """'−37 to −14 g', the 95 % interval of the k-th difference; '' without draws."""
        span = self.comparison.differences[k].interval_n
        if span is None:
            return ""
        low, high = map(grams_of_force, span)
        return typeset(f"{from_to(low, high, 0, sign=True)} g")

    def text(self) -> str:
        """What the picture says, for those who cannot see it."""
        lines = [
            f"{shown_name(self.name)}, steady crawl at {self.comparison.grade_deg:g} deg, calculated: {self.headline()}."
        ]
        lines += [f"{d.answer.setup}: {d.answer.sentence}" for d in self.comparison.differences]
        lines += [
            f"{shown_name(m.name)}: front axle {grams_of_force(m.at_grade.front_load_n):.0f} g ({m.at_grade.front_load_n:.2f} N)."
            for m in self.comparison.members
        ]
        lines += [d.load_verdict.replace(row_name(d.setup), shown_name(d.setup)) for d in self.comparison.differences]
        lines += [self.single_wheels] if self.single_wheels else []
        lines += [self.four.sentence()] if self.four is not None else []
        if self.punch is None:
            lines.append(f"No punch beside it: {self.no_punch}")
        else:
            lines.append(
                f"Punch of {shown_name(self.punch.setup)}, throttle to {self.punch.options.throttle:g} in "
                f"{self.punch.options.rise_s:g} s: minimum front axle load {grams_of_force(self.punch.front_load_n.min()):.0f} g "
                f"at {self.punch.time_s[self.punch.least_sample]:.3f} s; {outcome_words(self.punch.summary['outcome'], self.punch.summary)}."
            )
        lines += [
            f"Measured: {len(m.grade_deg)} readings of {shown_name(m.setup)} ({Path(m.file).name})."
            for m in self.measured
        ]
        if self.seal is not None:
            lines.append(f"Predicted before the trial: {self.seal.words}; SHA-256 {self.seal.commitment}")
            lines += [f"Measured in the blinded trial: {self.seal.verdict}"] if self.seal.verdict else []
        return "\n".join(lines)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        punched: dict[str, Any] | None = None
        if self.punch is not None:
            k = self.punch.least_sample
            punched = {
                "setup": self.punch.setup,
                "time_s": float(self.punch.time_s[k]),
                "front_load_min_n": float(self.punch.front_load_n[k]),
                "budget": {key: float(part[k]) for key, part in self.punch.budget.items()},
            }
        return {
            "comparison": self.comparison.to_dict(),
            "punch": punched,
            "no_punch": self.no_punch or None,
            "measured": [
                {
                    "setup": m.setup,
                    "file": m.file,
                    "grade_deg": m.grade_deg.tolist(),
                    "front_load_n": m.front_load_n.tolist(),
                    "standard_error_n": m.standard_error_n.tolist(),
                }
                for m in self.measured
            ],
            "single_wheels": self.single_wheels or None,
            "four_wheels": None if self.four is None else self.four.to_dict(),
            "commitment": None if self.seal is None else self.seal.commitment,
            "trial": None
            if self.seal is None
            else {
                "predicted": self.seal.words,
                "measured": self.seal.measured or None,
                "verdict": self.seal.verdict or None,
            },
            "text": self.text(),
            "status": self.comparison.to_dict()["status"],
        }


def gather_post(
    vehicles: Sequence[Vehicle],
    *,
    grade_deg: float | None = None,
    thresholds: Thresholds | None = None,
    readings: Mapping[str, str | os.PathLike] | None = None,
    trial: str | os.PathLike | None = None,
    throttle: float = 1.0,
    draws: int = 400,
    seed: int = 1,
    apart: bool = True,
) -> Post:
    """Solve and read what belongs on the picture.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Two or three setups of one file; the first is what the others are compared with.
    grade_deg : float, optional
        By default as `compare` chooses it.
    thresholds : Thresholds, optional
    readings : dict of str to path, optional
        Files of readings on the board by the name of their setup.
    trial : path, optional
        Folder of a sealed trial of two of these setups.
    throttle : float
        Of the punch beside the crawl.
    draws, seed : int
        Of the intervals, those of `compare`; 0 draws: none, the numbers stand for themselves.
    apart : bool
        As of `compare`: the picture tells of no part of the error alone, the document does.

    Returns
    -------
    Post

    Raises
    ------
    ModelError
        Too many setups, a setup without front load at the grade, readings or a trial of something else.
    SolverError
        A vehicle has no standing pose.
    """
    names = [v.setup for v in vehicles]
    faults = []
    if len({v.file for v in vehicles}) > 1:
        faults.append("the setups come from several files; put them into one file as [setups.NAME] tables")
    if len(vehicles) > MOST_SETUPS:
        faults.append(f"{len(vehicles)} setups cannot be told apart on a phone; name two or three with --setups")
    strangers = [name for name in readings or {} if name not in names]
    faults += [f"readings of {name!r}, which is not on the picture; it shows {', '.join(names)}" for name in strangers]
    if faults:
        raise ModelError("post: " + "; ".join(faults))
    seal = None if trial is None else read_seal(trial, vehicles)
    measured = tuple(_measured(path, vehicles[names.index(name)]) for name, path in (readings or {}).items())
    comparison = compare(vehicles, grade_deg=grade_deg, thresholds=thresholds, draws=draws, seed=seed, apart=apart)
    for member in comparison.members:
        if member.at_grade.front_load_n is None:
            raise ModelError(
                f"post: {member.name} has no front axle load at {comparison.grade_deg:g} deg ({member.at_grade.message}); "
                "choose a smaller --grade"
            )
    found, why = _punch(vehicles[0], comparison.members[0].climb, comparison.grade_deg, throttle)
    tip = comparison.members[0].sweep.limits.tip_over_grade_deg
    remark, four = _single_wheels(vehicles[0], comparison.grade_deg)
    said = "" if remark is None else remark.sentence(tip)
    return Post(vehicles[0].name, comparison, found, why, measured, seal, said, four)


def _punch(vehicle: Vehicle, climb: Any, grade_deg: float, throttle: float) -> tuple[PunchResult | None, str]:
    """A punch of the first setup, or why there is none."""
    if climb.rigid:
        return None, "this file has no links and shocks (level A)"
    result = punch(vehicle, grade_deg=grade_deg, throttle=throttle, standing=climb.standing, outcome=False)
    return (result, "") if result.success else (None, result.message)


def _single_wheels(vehicle: Vehicle, grade_deg: float) -> tuple[Remark | None, FourLoads | None]:
    """What is told of single wheels and their loads, off one path."""
    if not has_space(vehicle):
        return None, None
    try:
        climb = wheel_climb(vehicle)
    except (SolverError, ModelError):
        # The remark says why.
        climb = None
    remark = remark_on(vehicle, climb=climb)
    return remark, four_loads(vehicle, grade_deg, remark.range_deg, climb=climb)


def _measured(path: str | PathLike, vehicle: Vehicle) -> Measured:
    """Front loads of a file of readings, as a crawl has them: less what the wheels that held the vehicle on the board make of it."""
    result = compare_readings(path, vehicle, climb=climb_of)
    loads = np.array([kind == "front_load" for kind in result.kinds])
    if not loads.any():
        raise ModelError(f"{path}: holds no front_load readings, so there is nothing to put on the picture")
    grades, crawl = result.grade_deg[loads], climb_of(vehicle)
    crawling = np.array([crawl.row(float(grade)).front_load_n for grade in grades], dtype=float)
    as_crawling = result.observed[loads] - result.predicted[loads] + crawling
    return Measured(vehicle.setup, str(result.file), grades, as_crawling, result.errors[loads])


def read_seal(folder: str | os.PathLike, vehicles: Sequence[Vehicle]) -> Seal:
    """The commitment of a sealed trial of these setups, and what it measured once it has been run.

    Raises
    ------
    TrialFileError
        No plan in the folder.
    ModelError
        The plan is not sealed, or belongs to another vehicle file or other setups.
    """
    plan = read_plan(folder)
    names = [v.setup for v in vehicles]
    faults = []
    if not plan.commitment:
        faults.append("its plan is not sealed; `noseload trial plan` seals it")
    if plan.vehicle_sha256 is not None and plan.vehicle_sha256 != vehicles[0].sha256:
        faults.append(
            f"its prediction is of another vehicle file (SHA-256 {plan.vehicle_sha256[:12]}..., this one "
            f"{(vehicles[0].sha256 or 'none')[:12]}...); draw it from the vehicle.toml in that folder"
        )
    faults += [
        f"it is about the setup {name}, which is not on the picture; name it with --setups"
        for name in (plan.reference, plan.change)
        if name not in names
    ]
    if faults:
        raise ModelError(f"{folder}: " + "; ".join(faults))
    prediction = plan.prediction
    words = "no prediction"
    if prediction is not None:
        words = f"{shown_name(plan.change)} less {shown_name(plan.reference)}, {plan.kind.words} {plan.kind.show(prediction.difference, sign=True)}"
    return Seal(plan.commitment, words, *_measured_in(folder, plan))


def _measured_in(folder: str | PathLike, plan: TrialPlan) -> tuple[str, str]:
    """The measured difference and the verdict of a trial that has been run; empty before that."""
    try:
        result = read_trial(folder)
    except ModelError:
        # Readings are missing or the key lies elsewhere: the picture shows the prediction alone.
        return "", ""
    found, show = result.analysis.main, plan.kind.show
    low, high = (show(end, sign=True) for end in found.interval)
    blind = ", control not seen" if result.control_seen is False else ""
    what = plan.kind.key.replace("_", " ")
    span = f"{low.removesuffix(plan.kind.unit).strip()} to {high}"
    return f"{what} {show(found.difference, sign=True)} ({span}){blind}", result.headline
