"""A vehicle in fifteen lines: doubts, where its climb ends, each setup in a sentence, what would help, what to measure next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.split import limit_ranges
from noseload.studies.climb.sweep import climb_of, grade_below
from noseload.studies.compare.compare import compare
from noseload.studies.errors.uncertainty import uncertainty
from noseload.studies.levers.answer import best_changes, gain_words
from noseload.studies.levers.rank import rank
from noseload.studies.verdict.first import assumed_end_sentence, limit_sentence
from noseload.studies.wheels.remark import remark_on

if TYPE_CHECKING:
    from noseload.studies.errors.uncertainty import Uncertainty


BEST = 3
"""Ready-made changes that are told."""
MOST_SETUPS = 6
"""Setups told one by one; more would not fit."""
DRAWS = 400


@dataclass(frozen=True)
class Overview:
    """What is told about a vehicle, sentence by sentence.

    Attributes
    ----------
    vehicle : Vehicle
    limit : str
        Where a steady climb ends and what ends it.
    wheel : str
        The first wheel that lifts, or why single wheels are left out.
    setups : tuple of (str, str)
        Name as shown, and its answer; one with an empty name says what is left out.
    helps : tuple of (str, str, str)
        Name, label and gain of the best ready-made changes.
    measure : str
        What to measure next.
    failed : str
        Why nothing can be calculated; '' where it can.
    """

    vehicle: Vehicle
    limit: str = ""
    wheel: str = ""
    setups: tuple[tuple[str, str], ...] = ()
    helps: tuple[tuple[str, str, str], ...] = ()
    measure: str = ""
    failed: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        vehicle = self.vehicle
        return {
            "name": vehicle.name,
            "level": vehicle.level,
            "mass_g": 1e3 * vehicle.mass,
            "assumed": len(vehicle.assumed),
            "warnings": list(vehicle.warnings),
            "limit": self.limit,
            "first_wheel": self.wheel,
            "setups": [{"setup": name, "sentence": sentence} for name, sentence in self.setups],
            "helps": [{"name": name, "label": label, "gain": gain} for name, label, gain in self.helps],
            "measure_next": self.measure,
            "status": "no_solution" if self.failed else "ok",
            **({"message": self.failed} if self.failed else {}),
        }


def overview(vehicle: Vehicle, setups: tuple[Vehicle, ...] = ()) -> Overview:
    """Look at a vehicle and its setups.

    Parameters
    ----------
    vehicle : Vehicle
        As written.
    setups : sequence of Vehicle
        Setups of its file.

    Returns
    -------
    Overview
        Where the vehicle does not stand: with the reason in `failed`.
    """
    try:
        climb = climb_of(vehicle)
        limits, sure, answers = climb.limits, None, []
        if setups:
            try:
                comparison = compare([vehicle, *setups[:MOST_SETUPS]], draws=DRAWS, apart=False)
                sure = comparison.uncertainty
                answers = [(d.answer.setup, d.answer.short) for d in comparison.differences]
            except SolverError as error:
                answers = [("", f"setups not compared: {_first_line(error)}")]
        if sure is None:
            grade = grade_below(limits.first_grade_deg or 0.0)
            sure = uncertainty([vehicle], grade_deg=grade, draws=DRAWS, apart=False)
        ranked = rank(vehicle, intervals=BEST, nose_down=False)
    except (SolverError, ModelError) as error:
        return Overview(vehicle, failed=_first_line(error))
    left = len(setups) - MOST_SETUPS
    if left > 0:
        answers.append(("", f"and {left} more: noseload compare"))
    remark = remark_on(vehicle)
    wheel = remark.sentence(limits.tip_over_grade_deg) or "No wheel lifts before the axle does."
    tip = sure.setups[0].tip_over_grade_deg
    ends = (limit_sentence(limits, tip.low, tip.high, limit_ranges(climb)), assumed_end_sentence(vehicle, climb))
    return Overview(
        vehicle,
        " ".join(said for said in ends if said),
        wheel,
        tuple(answers),
        tuple((item.name, item.label, gain_words(ranked, item)) for item in best_changes(ranked, BEST)),
        _measure_words(vehicle, sure),
    )


def _first_line(error: Exception) -> str:
    return str(error).splitlines()[0]


def _measure_words(vehicle: Vehicle, sure: Uncertainty) -> str:
    """The one measurement that the largest share of the doubt about the tip-over hangs on."""
    improve = sure.setups[0].tip_over_grade_deg.improve
    if not improve:
        return "nothing stands out; a blinded trial says more than another reading"
    first = improve[0]
    rise = " Then links and springs (level B): they make attitude and setups." if vehicle.level == "A" else ""
    return (
        f"{first.source} ({first.limit}), {100 * first.share:.0f} % of the doubt about its tip-over: "
        f"{first.recipe}{rise}"
    )
