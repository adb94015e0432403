"""What would help, in plain sentences: the gain of a ready-made change with its interval, held against both sizes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.units import grams_of_force
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.judgement import Judgement

from .results import GAIN

if TYPE_CHECKING:
    from noseload.studies.levers.results import Rank, WholeChange


LOADS = ("front_load_n", "punch_front_load_min_n")
QUESTION = "Would any one change that can be made in an evening be noticed?"
LEAST_TOLD = {"g": 0.5, "deg": 0.05, "ms": 0.5}
"""Smaller gains would round to none."""
GAIN_WORDS = {
    "tip_over_grade_deg": "it tips {size} later",
    "tip_over_downhill_grade_deg": "nose down it tips {size} later",
    "front_load_n": "{size} more on the front axle at {grade:g} deg",
    "nose_up_pitch_deg": "its nose rises {size} less at {grade:g} deg",
    "punch_limit_grade_deg": "a full punch lifts its front {size} later",
    "punch_front_load_min_n": "{size} more on the front axle at the worst moment of a punch at {punch:.1f} deg",
    "punch_front_airborne_s": "{size} less in the air after a punch at {punch:.1f} deg",
}


def judged_gain(result: Rank, item: WholeChange, by: str | None = None) -> Judgement | None:
    """The gain of a whole change, in grams, degrees or milliseconds; None without a number.

    Parameters
    ----------
    result : Rank
    item : WholeChange
    by : str, optional
        Outcome; default the one that ranks.
    """
    by = by or result.by
    effect = item.effects.get(by)
    if effect is None or by not in GAIN_WORDS:
        return None
    # Where there is no interval, the ends over divisions of the pull speak in its place.
    sizes, span = result.thresholds, item.intervals.get(by) or item.ranges_over_splits.get(by) or (None, None)
    if by in LOADS:
        judged, unit = sizes.load(effect, result.standing_front_n or 0.0, *span), grams_of_force(1.0)
    elif by.endswith("_s"):
        judged, unit = sizes.airborne(effect, *span), 1e3
    else:
        judged, unit = sizes.angle(effect, *span), 1.0
    return judged.in_unit(unit * GAIN.get(by, 1.0))


def unit_of(by: str) -> str:
    """Unit in which a gain is told."""
    return "g" if by in LOADS else "ms" if by.endswith("_s") else "deg"


def size_of(value: float, unit: str) -> str:
    """'1.2 deg', '35 g'."""
    return f"{value:.1f} {unit}" if unit == "deg" else f"{value:.0f} {unit}"


def gain_words(result: Rank, item: WholeChange, by: str | None = None) -> str:
    """'it tips 1.2 deg later, 1.0 to 1.3 deg: noticeable'; '' without a number."""
    by = by or result.by
    judged = judged_gain(result, item, by)
    if judged is None:
        return ""
    unit = unit_of(by)
    low, high = judged.span
    if max(abs(low), abs(high)) < LEAST_TOLD[unit]:
        return "no change worth telling"
    punch = 0.0 if result.punch_grade_deg is None else result.punch_grade_deg
    words = GAIN_WORDS[by].format(size=size_of(judged.value, unit), grade=result.grade_deg, punch=punch)
    between = "" if judged.low is None else f", {from_to(low, high, 1 if unit == 'deg' else 0)} {unit}"
    return f"{words}{between}: {judged.short_words()}"


def best_changes(result: Rank, count: int) -> list[WholeChange]:
    """So many ready-made changes that gain something, the best first."""
    found = []
    for item in result.ready_made:
        judged = judged_gain(result, item)
        if judged is not None and judged.value >= LEAST_TOLD[unit_of(result.by)]:
            found.append(item)
    return found[:count]


def rank_sentence(result: Rank) -> str:
    """Yes, no or undecided: whether the best ready-made change would be noticed, by what ranks or else by load."""
    if result.by not in GAIN_WORDS:
        return "No verdict: there is no size of this outcome that would be noticed."
    if not result.ready_made or all(item.effects[result.by] is None for item in result.ready_made):
        return f"No answer: {result.message or 'no change could be solved'}."
    best = best_changes(result, 1)
    judged = judged_gain(result, best[0]) if best else None
    if judged is None:
        return f"No: none of {len(result.ready_made)} ready-made changes gains anything."
    best_of = f"est of {len(result.ready_made)}: {best[0].label}; {gain_words(result, best[0])}."
    more = _by_load(result, judged.answer)
    if more is None:
        return f"{judged.answer.capitalize()}. B{best_of}"
    item, load = more
    words = f"{item.label}; {gain_words(result, item, 'front_load_n')}"
    return f"{load.answer.capitalize()}, by front axle load: {words}. By tip-over {judged.answer}, b{best_of}"


def _by_load(result: Rank, answer: str) -> tuple[WholeChange, Judgement] | None:
    """The change that gains most front axle load, where tip-over ranks and load answers surer of being noticed; else None."""
    surer = {"no": ("yes", "undecided"), "undecided": ("yes",)}.get(answer, ())
    if result.by != "tip_over_grade_deg" or not surer:
        return None
    judged = [(item, judged_gain(result, item, "front_load_n")) for item in result.ready_made]
    found = [(item, load) for item, load in judged if load is not None and load.answer in surer]
    return max(found, key=lambda pair: pair[1].value, default=None)


def stopped_sentence(result: Rank) -> str:
    """What ends the climb before the tip-over that is ranked; '' where that comes first."""
    limits = result.limits
    if result.by not in ("tip_over_grade_deg", "front_load_n") or limits is None or limits.first in (None, "tip_over"):
        return ""
    said = f"It {limits.first_does} at {limits.first_grade_deg:.1f} deg, before it tips"
    if result.by == "tip_over_grade_deg":
        return f"{said}: a later tip-over alone does not let it climb steeper."
    more = f": only more {limits.first} lets it climb steeper" if limits.first in ("grip", "torque") else ""
    return f"{said}{more}."
