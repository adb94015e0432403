"""The answer about single wheels in one sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .words import range_words, wheel_words

if TYPE_CHECKING:
    from noseload.studies.space.results import WheelLimits


WORTH_DEG = 0.05
"""Change of a lift by the shafts that is worth a sentence."""


def sentence(answer: Any) -> str:
    """Which wheel lifts first, where, and what part of that is the torque of the shafts.

    Parameters
    ----------
    answer : WheelsAnswer or WheelSweep
    """
    limits, without = answer.limits, answer.without_shafts
    lift = limits.first_wheel_lift_grade_deg
    if lift is None:
        return "No wheel lifts before the climb ends."
    who = wheel_words(limits.first_wheel)
    verb = "lift" if limits.first_wheel and limits.first_wheel.endswith("_both") else "lifts"
    said = f"{who[0].upper()}{who[1:]} {verb} first, at {lift:.1f} deg"
    low, high = answer.first_lift_range_deg
    if low is not None:
        first, last = min(answer.mismatches_percent), max(answer.mismatches_percent)
        said += f" ({range_words(low, high, 'deg')} over plausible mismatches, front wheels {first:+g} to {last:+g} % faster, on free or loaded radii)"
    return f"{said}{_shaft_part(lift, without)}."


def _shaft_part(lift: float, without: WheelLimits) -> str:
    if without is None:
        return ""
    plain = without.first_wheel_lift_grade_deg
    if plain is None:
        return "; without the torque of the shafts no wheel would"
    change = plain - lift
    if abs(change) < WORTH_DEG:
        return "; the torque of the shafts does not change that"
    who = wheel_words(without.first_wheel)
    verb = "lift" if without.first_wheel and without.first_wheel.endswith("_both") else "lifts"
    words = "takes" if change > 0.0 else "adds"
    return f"; without the torque of the shafts {who} {verb} at {plain:.1f} deg, so that torque {words} {abs(change):.1f} deg"
