"""Plain sentences about the limits of a punch: how steep it may be with each setup, and what that is worth."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.names import shown_name
from noseload.studies.climb.split import PLAUSIBLE_PERCENT
from noseload.studies.thresholds import Thresholds

from .intervals import from_to

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noseload.studies.punch.limits import PunchLimits


CLOSE_DEG = 0.05
"""To which every change of outcome is narrowed; smaller differences are none."""

OPEN = f"How geared axles divide the pull is open; over {PLAUSIBLE_PERCENT[0]:+g} to {PLAUSIBLE_PERCENT[1]:+g} % faster front wheels"


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
    lines = [f"{shown_name(first.setup)}: {_down_words(first)}; {_flip_words(first)}.", *_over_splits(first)]
    for other in limits[1:]:
        parts = [
            _against(first, other, "front_down_to_deg", thresholds),
            _against(first, other, "flips_from_deg", thresholds),
        ]
        # A file's own errors are not in it: `compare --punch --uncertainty` weighs them.
        lines += [f"{shown_name(other.setup)}, calculated: " + " ".join(parts), *_changes_over_splits(first, other)]
    return lines


def change_ends(first: PunchLimits, other: PunchLimits, name: str) -> tuple[float, float] | None:
    """Least and largest difference of 'front_down_to_deg' or 'flips_from_deg', deg, each law of division taken for both.

    None without laws, and where no law gives both a number.
    """
    count = max(len(first.by_law), len(other.by_law))
    laws = zip((first, *(first.by_law or [first] * count)), (other, *(other.by_law or [other] * count)), strict=True)
    pairs = [(getattr(one, name), getattr(two, name)) for one, two in laws]
    changes = [b - a for a, b in pairs if a is not None and b is not None]
    return (min(changes), max(changes)) if len(pairs) > 1 and changes else None


def change_documents(limits: Sequence[PunchLimits]) -> list[dict[str, Any]]:
    """`change_ends` of every setup against the first, for a JSON document."""
    names = {"front_down_to_change_range_deg": "front_down_to_deg", "flips_from_change_range_deg": "flips_from_deg"}
    return [
        {"setup": other.setup} | {key: change_ends(limits[0], other, name) for key, name in names.items()}
        for other in limits[1:]
    ]


def _over_splits(one: PunchLimits) -> list[str]:
    """What the open division of the pull makes of the limits, in one sentence; none where it moves nothing."""
    down, flips = one.front_down_to_ends_deg, one.flips_from_ends_deg
    parts = []
    if down[1] is not None and down[0] != down[1]:
        steepest = f"{down[1]:.1f} deg"
        parts.append(
            f"a punch lifts an axle {_flattest(one)}, or none up to {steepest}"
            if down[0] is None
            else f"a punch lifts no axle up to {from_to(down[0], down[1], 1)} deg"
        )
    if flips[0] is not None and flips[0] != flips[1]:
        parts.append(
            f"it flips from {flips[0]:.1f} deg on, or never"
            if flips[1] is None
            else f"it flips from {from_to(flips[0], flips[1], 1)} deg on"
        )
    return [f"{OPEN} {'; '.join(parts)}."] if parts else []


def _changes_over_splits(first: PunchLimits, other: PunchLimits) -> list[str]:
    """Both ends of what a setup changes, in one sentence."""
    found = {
        "the steepest grade without a lift": change_ends(first, other, "front_down_to_deg"),
        "that of the first flip": change_ends(first, other, "flips_from_deg"),
    }
    parts = [f"{what} by {from_to(*ends, 1, sign=True)} deg" for what, ends in found.items() if ends is not None]
    return [f"{OPEN} it changes {' and '.join(parts)}."] if parts else []


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


def _against(one: PunchLimits, another: PunchLimits, name: str, thresholds: Thresholds) -> str:
    """One limit against that of the first setup; where the pull may divide otherwise, its ends speak before the word."""
    first, other, flattest = getattr(one, name), getattr(another, name), _flattest(another)
    flips = name == "flips_from_deg"
    if first is None and other is None:
        return "Neither flips." if flips else f"Both lift an axle {flattest}."
    if first is None or other is None:
        if flips:
            return "It never flips." if other is None else f"It flips from {other:.1f} deg on; the first never does."
        return f"It lifts no axle up to {other:.1f} deg." if first is None else f"It lifts an axle {flattest}."
    low, high = change_ends(one, another, name) or (None, None)
    judged = thresholds.angle(other - first, low, high)
    size = abs(judged.value)
    begin = f"It flips from {other:.1f} deg on" if flips else f"It lifts no axle up to {other:.1f} deg"
    if size <= CLOSE_DEG:
        return f"{begin}, the same within {CLOSE_DEG:g} deg."
    way = "later" if judged.value > 0.0 else "earlier"
    return f"{begin}, {size:.1f} deg {way}: {judged.short_words()}."
