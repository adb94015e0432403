"""The one plain sentence with which an answer begins: what a vehicle does, in whole grams and tenths of degrees.

Every number is one of the result, every word follows from its sign, so that tests can hold them against it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.documents import outcome_words
from noseload.model.names import shown_name
from noseload.model.units import grams_of_force

from .intervals import over_divisions, with_interval

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noseload.model.vehicle import Assumption, Vehicle
    from noseload.studies.bench.bench import Bench
    from noseload.studies.climb.modes import Modes
    from noseload.studies.climb.results import Creep, Limits
    from noseload.studies.links.links import LinkStudy
    from noseload.studies.punch.punch import PunchResult


LEAST_TOLD_G = 0.5
"""A part of a load that is smaller would round to zero."""
MOTOR_LIMITS = {
    "torque": ("drive.stall_torque_n_mm",),
    "hold": ("drive.stall_torque_n_mm", "drive.no_load_speed_rad_per_s"),
}
"""Limits of the motor, and the keys that they hang on."""
SEEN_SWING = 0.05
"""Share of a push by which it must swing back to be seen on a film: a millimetre of 20."""
ALREADY = {
    "beyond_grip": " But at this grade it slides already.",
    "beyond_torque": " But at this grade the motor stalls already.",
    "unstable": " But it does not stay so: a small push makes it leave this attitude.",
}
"""What a row is no longer, though it has numbers."""


def limit_sentence(
    limits: Limits,
    low: float | None = None,
    high: float | None = None,
    ranges: Mapping[str, tuple[float, float | None]] | None = None,
) -> str:
    """'It slides first, at 58.0 deg, before it would tip over at 58.9 deg.'

    Parameters
    ----------
    limits : Limits
    low, high : float, optional
        Ends of the 95 % interval of the tip-over grade, deg.
    ranges : mapping, optional
        Ends of limits over plausible divisions of the pull (`limit_ranges`), deg.
    """
    tip = limits.tip_over_grade_deg
    where = "" if tip is None else with_interval(tip, low, high, 1, "deg")
    if limits.first in (None, "tip_over"):
        return "No tip-over was found." if tip is None else f"It tips over first, at {where}."
    before = "" if tip is None else f", before it would tip over at {where}"
    ends = (ranges or {}).get(f"{limits.first}_grade_deg")
    return f"It {limits.first_does} first, at {limits.first_grade_deg:.1f} deg{over_divisions(ends)}{before}."


def assumed_end_sentence(vehicle: Vehicle, climb: Any) -> str:
    """What the first limit owes to values that nobody measured: 'The grip of 2.2 is assumed (1.2 to 2.6): below 2.10 it slides first.'

    '' where the file gives them, or where no value of their range would make another limit the first.

    Parameters
    ----------
    vehicle : Vehicle
    climb : Climb or RigidClimb
    """
    limits = climb.limits
    if limits.first in MOTOR_LIMITS:
        motor = [item for item in vehicle.assumed if item.key in MOTOR_LIMITS[limits.first]]
        return "The motor is assumed, not measured." if motor else ""
    grips = [item for item in vehicle.assumed if item.key.endswith("tyre.grip_coefficient")]
    if not grips or limits.first not in ("tip_over", "grip"):
        return ""
    said = f"The grip of {grips[0].value:g} is assumed ({grips[0].low:g} to {grips[0].high:g})"
    if limits.first == "grip":
        return f"{said}."
    needed = climb.row(limits.tip_over_grade_deg).grip_needed
    return f"{said}: below {needed:.2f} it slides first." if needed is not None and needed > grips[0].low else ""


def creep_sentence(row: Creep) -> str:
    """'The front axle carries 571 g of 1860 g standing: the grade takes 1240 g, attitude takes 49 g.'"""
    if row.front_load_n is None:
        return f"No steady crawl at {row.grade_deg:g} deg: {row.message or row.status.replace('_', ' ')}."
    words = f"The front axle carries {grams_of_force(row.front_load_n):.0f} g"
    if row.budget["standing_n"] is None:
        return f"{words}."
    parts = [
        _share(name, row.budget[key])
        for name, key in (("the grade", "grade_n"), ("attitude (squat, pitch)", "attitude_n"))
    ]
    told = ", ".join(part for part in parts if part)
    standing = f"{words} of {grams_of_force(row.budget['standing_n']):.0f} g standing"
    return (f"{standing}: {told}." if told else f"{standing}.") + ALREADY.get(row.status, "")


def _share(name: str, part_n: float) -> str:
    grams = grams_of_force(part_n or 0.0)
    if abs(grams) < LEAST_TOLD_G:
        return ""
    return f"{name} {'adds' if grams > 0.0 else 'takes'} {abs(grams):.0f} g"


def standing_sentence(vehicle: Vehicle, loads_n: dict[str, float], climb: Any) -> str:
    """'Level, 1860 g stand on the front axle and 1540 g on the rear one. It slides first, at ...'"""
    front, rear = (grams_of_force(loads_n[end]) for end in ("front", "rear"))
    ends = " ".join(said for said in (limit_sentence(climb.limits), assumed_end_sentence(vehicle, climb)) if said)
    return f"Level, {front:.0f} g stand on the front axle and {rear:.0f} g on the rear one. {ends}"


def modes_sentence(modes: Modes) -> str:
    """'Pushed and let go, it bounces 7.7 times a second and pitches 3.7 times; every motion dies away.'"""
    swings = []
    for name, verb in (("bounce", "bounces"), ("pitch", "pitches")):
        mode = modes.named(name)
        if mode is None:
            continue
        seen = mode.swings_back >= SEEN_SWING
        swings.append(
            f"{verb} {mode.frequency_hz:.1f} times a second" if seen else f"{verb} without a swing to be seen"
        )
    end = "every motion dies away" if modes.stable else "NOT stable: a motion grows by itself"
    return f"Pushed and let go, it {' and '.join(swings)}; {end}." if swings else f"{end[0].upper()}{end[1:]}."


def punch_sentence(result: PunchResult) -> str:
    """'The front axle is in the air for 50 ms; the front lifts and comes back down; the nose rises by 6.5 deg to 8.8 deg.'"""
    summary = result.summary
    outcome = summary.get("outcome")
    if not result.success or outcome is None:
        return f"No punch: {result.message or 'it did not start'}."
    words = outcome_words(outcome, summary)
    words = words if " " in words and words.split()[0] in ("the", "an", "no", "both") else f"it {words}"
    aloft = summary["front_airborne_s"]
    if aloft:
        first = f"The front axle is in the air for {1e3 * aloft:.0f} ms; {words}"
    else:
        first = f"The front axle keeps at least {grams_of_force(summary['front_load_min_n']):.0f} g; {words}"
    return f"{first}; the nose reaches {summary['peak_nose_up_pitch_deg']:.1f} deg up on the slope."


def assumed_stall(vehicle: Vehicle) -> Assumption | None:
    """The stall torque as it is assumed, N mm; None where the file gives it."""
    return next((item for item in vehicle.assumed if item.key == "drive.stall_torque_n_mm"), None)


def bench_sentence(bench: Bench, stall: Assumption | None = None) -> str:
    """'base: the front axle is free at 5773 N mm, 105 % of the stall torque: more than the motor has.'

    Parameters
    ----------
    bench : Bench
    stall : Assumption, optional
        The stall torque where it is assumed: no verdict where its range leaves that open.
    """
    if bench.lift is None:
        return f"{shown_name(bench.setup)}: no torque was found that frees the front axle."
    enough = "enough" if bench.reached else "more than the motor has"
    if stall is not None and stall.low < bench.lift.torque_n_mm <= stall.high:
        enough = f"open, since the motor is assumed ({stall.low:g} to {stall.high:g} N mm at stall)"
    share = (
        ""
        if bench.throttle_at_lift is None
        else f", {100 * bench.throttle_at_lift:.0f} % of the stall torque: {enough}"
    )
    return f"{shown_name(bench.setup)}: the front axle is free at {bench.lift.torque_n_mm:.0f} N mm{share}."


def links_sentence(study: LinkStudy) -> str:
    """'As driven, anti-squat is 37 % and anti-lift 49 %: ...'"""
    if not study.axles:
        return f"No such pose: {study.message or study.status.replace('_', ' ')}."
    told = [
        _figure(study.axles["rear"].as_driven, "rear links", "hold the rear up by", "push the rear down by", "squat"),
        _figure(
            study.axles["front"].as_driven, "front links", "hold the front down by", "push the front up by", "lift"
        ),
    ]
    return (
        f"As driven, {', '.join(part for part in told if part)}; a steady crawl feels that through attitude alone."
        if any(told)
        else "As driven, no figure: nothing drives, or the links have no instant centre."
    )


def _figure(share: float, which: str, plus: str, minus: str, what: str) -> str:
    if share is None:
        return ""
    return (
        f"the {which} {plus if share >= 0.0 else minus} {100 * abs(share):.0f} % of the load that would make it {what}"
    )


def survey_sentence(document: dict) -> str:
    """'Half of 1000 random vehicles tip over by 0.49 deg earlier or more; one that gains would be noticed in 0.0 %.'"""
    found = document["tip_over_change_deg"]
    if not found["vehicles"]:
        return "No vehicle could be solved."
    middle = found["median"]
    way = "earlier" if middle < 0.0 else "later"
    return (
        f"Half of {found['vehicles']} random vehicles tip over {abs(middle):.2f} deg {way} or more; "
        f"{100 * found['share_noticed_lower']:.1f} % so much earlier that it would be noticed, "
        f"{100 * found['share_noticed_higher']:.1f} % so much later."
    )


def most_load_sentence(result: Any) -> str:
    """'Links can give the front axle 257 to 393 g at 45 deg; it has 300 g.'"""
    ends = [
        None if end.front_load_n is None else grams_of_force(end.front_load_n) for end in (result.least, result.most)
    ]
    now = result.present.front_load_n
    has = "it tips over before" if now is None else f"it has {grams_of_force(now):.0f} g"
    if None in ends:
        return f"No range of the front axle load was found at {result.grade_deg:g} deg; {has}."
    return f"Links alone can give the front axle {ends[0]:.0f} to {ends[1]:.0f} g at {result.grade_deg:g} deg; {has}."
