"""Plain sentences about the limits of a punch: how steep it may be with each setup, and what that is worth."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.names import shown_name
from noseload.studies.thresholds import Thresholds

if TYPE_CHECKING:
    from noseload.studies.punch.limits import PunchLimits


CLOSE_DEG = 0.05
"""To which every change of outcome is narrowed; smaller differences are none."""


def limit_answers(limits: tuple[PunchLimits, PunchLimits], thresholds: Any = None) -> list[str]:
    """One sentence a setup: the first for itself, the others against it.

    Parameters
    ----------
    limits : sequence of PunchLimits
        Scanned with the same throttle.
    thresholds : Thresholds, optional
    """
    if not limits:
        return []
    thresholds, first = thresholds or Thresholds(), limits[0]
    lines = [f"{shown_name(first.setup)}: {_down_words(first)}; {_flip_words(first)}."]
    for other in limits[1:]:
        parts = [
            _against(
                "keeps both axles down", first.front_down_to_deg, other.front_down_to_deg, thresholds, _flattest(other)
            ),
            _against("flips from", first.flips_from_deg, other.flips_from_deg, thresholds, _flattest(other)),
        ]
        lines.append(f"{shown_name(other.setup)}: " + " ".join(parts))
    return lines


def _down_words(one: PunchLimits) -> str:
    grade = one.front_down_to_deg
    if grade is None:
        return f"a punch lifts an axle {_flattest(one)}"
    if grade == one.tip_over_grade_deg:
        return "a punch lifts no axle on any grade up to tip-over"
    return f"from the level on, a punch lifts no axle up to {grade:.1f} deg"


def _flattest(one: PunchLimits) -> str:
    """Where the scan begins, as words."""
    return (
        "even on the level" if one.flattest_deg == 0.0 else f"already at {one.flattest_deg:g} deg, the flattest tried"
    )


def _flip_words(one: PunchLimits) -> str:
    grade = one.flips_from_deg
    return "it never flips" if grade is None else f"it flips from {grade:.1f} deg on"


def _against(what: str, first: float | None, other: float | None, thresholds: Thresholds, flattest: str) -> str:
    """One limit against that of the first setup."""
    flips = what == "flips from"
    if first is None and other is None:
        return "Neither flips." if flips else f"Both lift an axle {flattest}."
    if first is None or other is None:
        if flips:
            return "It never flips." if other is None else f"It flips from {other:.1f} deg on; the first never does."
        return f"It lifts no axle up to {other:.1f} deg." if first is None else f"It lifts an axle {flattest}."
    judged = thresholds.angle(other - first)
    size = abs(judged.value)
    begin = f"It flips from {other:.1f} deg on" if flips else f"It lifts no axle up to {other:.1f} deg"
    if size <= CLOSE_DEG:
        return f"{begin}, the same within {CLOSE_DEG:g} deg."
    way = "later" if judged.value > 0.0 else "earlier"
    return f"{begin}, {size:.1f} deg {way}: {judged.short_words()}."
