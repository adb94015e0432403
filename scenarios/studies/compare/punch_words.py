"""The sentence about what a setup changes in a punch: from random vehicles, hop by hop, no verdict where hops differ in number."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.crawl import budget_parts
from noseload.model.names import row_name
from noseload.model.units import grams_of_force
from noseload.studies.punch.outcome import FLIPS

if TYPE_CHECKING:
    from noseload.studies.compare.compare import Comparison
    from noseload.studies.compare.punch import PunchMember
    from noseload.studies.errors.punch_draws import PunchOdds
    from noseload.studies.thresholds import Thresholds


TOLD_PARTS = 3
"""Largest parts that a verdict names."""
LEAST_TOLD_G = 0.5


def punch_verdict(
    comparison: Comparison,
    first: PunchMember,
    other: Any,
    load: float,
    budget: dict[str, float],
    airborne: float,
    throttle: float,
    rise_s: float,
    odds: PunchOdds | None,
) -> str:
    """One sentence: how it ends, what happens to the smallest front load or to the time in the air, against which thresholds."""
    vehicle = other.punch.standing.vehicle
    measured = "as measured" if vehicle.level == "C" else "with assumed motor or damping"
    begin = (
        f"Calculated for this vehicle {measured}, plane slope, throttle {first.punch.throttle_start:.2f} to {throttle:g} "
        f"within {1e3 * rise_s:.0f} ms at {other.creep.grade_deg:g} deg: {row_name(other.name)}"
    )
    ends = [m.punch.summary["outcome"] for m in (first, other)]
    ending = f"; it ends otherwise: {ends[1]} instead of {ends[0]}" if ends[0] != ends[1] else ""
    flipping = [m for m in (first, other) if m.punch.summary["outcome"] in FLIPS]
    if len(flipping) == 2:
        return f"{begin} changes nothing that counts: both flip over, and times in the air of flips are not compared."
    if flipping:
        stays = other if flipping[0] is first else first
        return f"{begin} changes how it ends: {row_name(flipping[0].name)} flips over, {row_name(stays.name)} does not{ending}."
    lifted = [bool(m.airborne_s) for m in (first, other)]
    if all(lifted):
        return f"{begin} {flight_words(comparison.thresholds, first, other, airborne, odds)}{ending}."
    heavy = _load_words(comparison.thresholds, first, other, load, odds)
    if lifted == [False, False]:
        return f"{begin} {heavy}{ending}{_through(budget)}."
    flyer = other if lifted[1] else first
    return (
        f"{begin} {heavy}; with {row_name(flyer.name)} the front axle is in the air for {_time(flyer)}, with the other never"
        f"{ending}{_through(budget)}."
    )


def _load_words(lines: Thresholds, first: Any, other: PunchMember, load: float, odds: PunchOdds | None) -> str:
    """What the smallest front load does, with its interval and the chance of its sign."""
    ends = (None, None) if odds is None or odds.front_load_min_n is None else odds.front_load_min_n
    standing = first.creep.budget["standing_n"] or first.punch.lowest["budget"]["standing_n"]
    weight = lines.load(load, standing, *ends)
    span = "" if ends[0] is None else f" (95 % {' to '.join(f'{grams_of_force(end):+.0f}' for end in ends)} g)"
    return (
        f"changes the minimum front axle load by {grams_of_force(load):+.1f} g{span} ({_low(first)}; {_low(other)}), "
        f"{weight.size_words()} (thresholds at {grams_of_force(lines.measurable_load_n):.0f} and "
        f"{grams_of_force(weight.threshold.noticed):.0f} g){_chance(odds, 'higher_load', load, ('higher', 'lower'))}"
    )


def flight_words(
    lines: Thresholds, first: PunchMember, other: PunchMember, airborne: float, odds: PunchOdds | None
) -> str:
    """What happens to the front axle's time in the air: a verdict on its first hop; none where the hops differ in number.

    Parameters
    ----------
    lines : Thresholds
    first, other : PunchMember
    airborne : float
        Change of all time in the air, s.
    odds : PunchOdds or None
    """
    hops = [m.punch.summary["front_hops"] for m in (first, other)]
    hop = other.punch.summary["front_first_hop_s"] - first.punch.summary["front_first_hop_s"]
    times = [f"{row_name(m.name)} {1e3 * m.punch.summary['front_first_hop_s']:.0f} ms" for m in (first, other)]
    ends = None if odds is None else odds.first_hop_s
    span = "" if ends is None else f" (95 % {' to '.join(f'{1e3 * end:+.0f}' for end in ends)} ms)"
    chance = _chance(odds, "longer_first_hop", hop, ("longer", "shorter"))
    said = f"the first hop of the front axle changes by {1e3 * hop:+.0f} ms{span} ({'; '.join(times)}){chance}"
    if hops[0] != hops[1]:
        return (
            f"changes the number of hops of the front axle from {hops[0]} to {hops[1]}, so that all time in the air "
            f"({_time(first)} and {_time(other)}) allows no verdict; {said}"
        )
    judged = lines.airborne(hop, *(ends or (None, None)))
    if judged.direction is None and ends is not None:
        size = "no verdict: its sign is open"
    else:
        size = judged.size_words()
    later = airborne - hop
    rest = f"; later hops change by {1e3 * later:+.0f} ms" if hops[0] > 1 else ""
    alike = (
        ""
        if odds is None or odds.same_hops in (None, 1.0)
        else f"; {100 * odds.same_hops:.0f} % of the draws hop as often"
    )
    return (
        f"leaves the number of hops at {hops[0]}: {said}, {size} (thresholds at {1e3 * lines.measurable_airborne_s:.1f} and "
        f"{1e3 * lines.noticed_airborne_s:.0f} ms){rest}{alike}; the minimum front axle load is 0 with both"
    )


def _chance(odds: Any, name: str, change: float, words: tuple[str, str]) -> str:
    """'; higher in 73 % of 200 draws', by the sign calculated."""
    share = None if odds is None else getattr(odds, name)
    if share is None:
        return ""
    up = change >= 0.0
    return f", {words[0] if up else words[1]} in {100 * (share if up else 1.0 - share):.0f} % of {odds.draws} draws"


def _time(member: Any) -> str:
    return f"{1e3 * member.airborne_s:.0f} ms{' and on' if member.ends_airborne else ''}"


def _low(member: PunchMember) -> str:
    low = member.punch.lowest
    return f"{row_name(member.name)} {grams_of_force(low['front_load_n']):.0f} g at {low['time_s']:.3f} s"


def _through(budget: dict[str, float]) -> str:
    """The largest parts of a difference in words."""
    named = sorted(
        ((key, grams_of_force(part)) for key, part in budget.items() if abs(grams_of_force(part)) >= LEAST_TOLD_G),
        key=lambda item: -abs(item[1]),
    )
    if not named:
        return ""
    words = [f"{budget_parts.part_of(key).cause} {part:+.1f} g" for key, part in named[:TOLD_PARTS]]
    # What is told adds up to the whole: all that is not named is in the last number.
    rest = sum(map(grams_of_force, budget.values())) - sum(part for _, part in named[:TOLD_PARTS])
    if abs(rest) >= LEAST_TOLD_G:
        words.append(f"all else {rest:+.1f} g")
    return f"; through {', '.join(words)}"
