"""Text lines on what the division of the pull between geared axles makes of an answer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.documents import number
from noseload.model.names import row_name
from noseload.model.units import grams_of_force
from noseload.studies.climb.split import PLAUSIBLE_PERCENT, difference_range, plausible_splits
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from noseload.model.vehicle import Vehicle

FIGURE_WORDS = {
    "rear_share_of_traction": "of the pull the rear axle has",
    "anti_squat_as_driven": "anti-squat as driven is",
    "anti_lift_as_driven": "anti-lift as driven is",
}


def load_range_lines(climb: Any, loads: tuple[float, float] | None, *, where: str = "") -> list[str]:
    """The range of the front load, N, in one line; none where there is none."""
    if loads is None:
        return []
    low, high = (grams_of_force(load) for load in loads)
    return [
        f"Statics leaves open how geared axles divide the pull: front axle load from {low:.0f} to {high:.0f} g{where} over {over_words(climb.vehicle)}."
    ]


def figure_lines(vehicle: Vehicle, ranges: Mapping[str, tuple[float, float]]) -> list[str]:
    """What the division of the pull makes of the figures of links, in one line; none where there is none."""
    if not ranges:
        return []
    told = [f"{FIGURE_WORDS[name]} {100 * low:.0f} to {100 * high:.0f} %" for name, (low, high) in ranges.items()]
    return [f"Statics leaves open how geared axles divide the pull: {', '.join(told)} over {over_words(vehicle)}."]


def difference_lines(members: Any, grade_deg: float) -> list[str]:
    """The range of every difference to the first of several members with a `climb` and a `name`, in one line; none where nothing is open."""
    first, told = members[0], []
    for member in members[1:]:
        found = difference_range(first.climb, member.climb, grade_deg)
        if found is not None:
            low, high = (grams_of_force(change) for change in found)
            told.append(f"{row_name(member.name)} from {low:+z.1f} to {high:+z.1f} g")
    if not told:
        return []
    return [
        f"How geared axles divide the pull is open; over {PLAUSIBLE_PERCENT[0]:+g} to {PLAUSIBLE_PERCENT[1]:+g} % faster front wheels: {', '.join(told)}."
    ]


def difference_document(members: Any, grade_deg: float) -> list[dict[str, Any]]:
    """The same for a JSON document, N; null where there is no range."""
    first = members[0]
    ranges = [(m.name, difference_range(first.climb, m.climb, grade_deg)) for m in members[1:]]
    return [{"setup": name, "range_n": None if found is None else list(found)} for name, found in ranges]


def range_document(climb: Any, loads: tuple[float, float] | None) -> dict[str, Any]:
    """Keys of a JSON document."""
    splits = plausible_splits(climb.vehicle) if loads is not None else ()
    return {
        "front_load_range_n": None if loads is None else list(loads),
        "drive_splits": [
            {"mismatch_percent": 100.0 * s.mismatch, "rolling_radius_share": list(s.rolling_shares)} for s in splits
        ],
    }


def over_words(vehicle: Vehicle) -> str:
    """'front wheels -3 to +10 % faster, rolling on their free or loaded radius'."""
    low, high = PLAUSIBLE_PERCENT
    free = len({split.rolling_shares for split in plausible_splits(vehicle)}) > 1
    return f"front wheels {low:+g} to {high:+g} % faster" + (", rolling on their free or loaded radius" if free else "")


def throttle_words(value: float | None) -> str:
    """'0.612', 'full'."""
    return "full" if value == 1.0 else number(value, ".3f")


def throttle_span(ends: Sequence[float] | None) -> str:
    """Least and largest throttle over divisions of the pull."""
    if ends is None:
        return "-"
    low, high = ends
    return f"{low:.3f} to full" if low < high == 1.0 else throttle_words(low) if low == high else from_to(low, high, 3)
