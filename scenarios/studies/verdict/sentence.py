"""The one plain sentence about a setup: yes, no or undecided, in whole grams and tenths of degrees.

Text, page and picture take it from here. Every word follows from a judged number, so tests can hold it against them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noseload.model.units import grams_of_force

from .intervals import between_words, from_to
from .judgement import Judgement

if TYPE_CHECKING:
    from noseload.studies.climb.results import Creep, Limits


NO_ANSWER = "none"
LEAST_TOLD_G = 0.5
LEAST_TOLD_DEG = 0.1
"""Differences that stay below are told as none: they would round to zero, or to the last digit told."""


def question(reference: str) -> str:
    """What every setup is asked."""
    return f"Does a setup keep more load on the front axle than {reference}, enough to be noticed?"


@dataclass(frozen=True)
class Facts:
    """What the sentence about one setup is made of.

    Attributes
    ----------
    name, reference : str
        As shown to people.
    grade_deg : float
    front_load_n : float or None
        Of the reference at that grade.
    load, tip : Judgement or None
        Difference of front load (N) and of the tip-over grade (deg).
    pitch : Judgement or None
        How much further the nose rises on the grade, deg.
    stopped : str
        Who is stopped before it tips, by what and where; '' where both tip first.
    refused : str
        Why there is no answer at that grade; '' where there is one.
    own_state_n : (float, float) or None
        Interval of the difference of load where friction holds each setup in a state of its own; the judgements are of both
        driven up the same way.
    """

    name: str
    reference: str
    grade_deg: float
    front_load_n: float | None
    load: Judgement | None
    tip: Judgement | None
    pitch: Judgement | None = None
    stopped: str = ""
    refused: str = ""
    own_state_n: tuple[float, float] | None = None


@dataclass(frozen=True)
class Answer:
    """One setup answered.

    Attributes
    ----------
    setup : str
        As shown to people.
    answer : str
        'yes', 'no', 'undecided', or 'none' where the grade allows no verdict.
    sentence : str
    """

    setup: str
    answer: str
    sentence: str
    short: str = ""
    """The answer and what it does to the load alone."""

    def to_dict(self) -> dict[str, str]:
        """Keys of the JSON document."""
        return {"setup": self.setup, "answer": self.answer, "sentence": self.sentence}


def own_sentence(row: Creep, limits: Limits) -> str:
    """What the reference itself does: its front load at the grade, and where its climb ends.

    Parameters
    ----------
    row : Creep
    limits : Limits
    """
    load, standing = row.front_load_n, row.budget["standing_n"]
    words = []
    if load is not None and standing:
        words.append(
            f"at {row.grade_deg:g} deg its front axle carries {grams_of_force(load):.0f} g of {grams_of_force(standing):.0f} g standing"
        )
    end, tip = limits.first_grade_deg, limits.tip_over_grade_deg
    if limits.first in (None, "tip_over"):
        words.append(f"it {limits.first_does} at {end:.1f} deg" if limits.first else "no tip-over was found")
    else:
        words.append(
            f"it {limits.first_does} at {end:.1f} deg"
            + ("" if tip is None else f", before it would tip at {tip:.1f} deg")
        )
    return "; ".join(words) + "."


def answered(facts: Facts) -> Answer:
    """The answer and its sentence."""
    if facts.refused or facts.load is None or not facts.front_load_n:
        why = f"No answer at {facts.grade_deg:g} deg: {facts.refused or 'no such crawl'}."
        return Answer(facts.name, NO_ANSWER, why, why)
    word = facts.load.answer
    words = [f"{word.capitalize()}.", _load_words(facts)]
    short = " ".join(words)
    if facts.tip is not None:
        words.append(_tip_words(facts))
    if facts.stopped:
        words.append(f"Before they could tip, {facts.stopped}.")
    if facts.pitch is not None and facts.pitch.noticed and facts.pitch.direction:
        rises = "more" if facts.pitch.direction > 0 else "less"
        words.append(f"The nose rises {abs(facts.pitch.value):.1f} deg {rises}, which is what one sees.")
    return Answer(facts.name, word, " ".join(words) + own_state_words(facts.own_state_n), short)


def own_state_words(own_state_n: tuple[float, float] | None) -> str:
    """What friction makes of a difference where the two were not driven up the same way; '' where nothing rubs."""
    if own_state_n is None:
        return ""
    low, high = map(grams_of_force, own_state_n)
    return f" Not driven up the same way, friction makes that {from_to(low, high, 0, sign=True)} g."


def _load_words(facts: Any) -> str:
    load, at = facts.load, f"At {facts.grade_deg:g} deg it"
    grams, share = grams_of_force(load.value), 100.0 * abs(load.value) / facts.front_load_n
    low, high = (grams_of_force(end) for end in load.span)
    of = f"{share:.1g}" if share < 9.5 else f"{share:.0f}"
    of = f" ({of} % of {grams_of_force(facts.front_load_n):.0f} g)"
    if abs(grams) < LEAST_TOLD_G and high - low < 1.0:
        return f"{at} leaves the front axle load as it is within 1 g."
    if load.direction is None:
        return f"{at} changes the front axle load by {from_to(low, high, 0, sign=True)} g: {load.short_words()}."
    takes = f"adds {grams:.0f} g to" if grams > 0.0 else f"takes {-grams:.0f} g off"
    between = "" if load.low is None else between_words(low, high, 0, "g")
    return f"{at} {takes} the front axle{of}{between}: {load.short_words()}."


def _tip_words(facts: Any) -> str:
    tip = facts.tip
    low, high = tip.span
    if max(abs(low), abs(high)) < LEAST_TOLD_DEG:
        return "It tips over at the same grade within 0.1 deg."
    if tip.direction is None:
        ends = f"{abs(low):.1f} deg earlier to {abs(high):.1f} deg later"
        return f"It tips over {ends}: {tip.short_words()}."
    when = "later" if tip.value > 0.0 else "earlier"
    between = "" if tip.low is None else between_words(low, high, 1, "deg")
    return f"It tips over {abs(tip.value):.1f} deg {when}{between}: {tip.short_words()}."
