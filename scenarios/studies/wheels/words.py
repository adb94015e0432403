"""Words for single wheels, once for texts, tables and pictures."""

from noseload.studies.verdict.intervals import from_to

WHEEL_WORDS = {
    "rear_left": "rear left",
    "rear_right": "rear right",
    "front_left": "front left",
    "front_right": "front right",
}
"""Names of documents -> words, in their order."""
BOTH_WORDS = {"front_both": "both front wheels", "rear_both": "both rear wheels"}
TWIST_WORDS = {
    "own_shaft_n": "the front axle's own shaft",
    "shocks_n": "shocks, which pass on the chassis' roll",
    "links_n": "links",
    "side_forces_n": "side forces",
    "contact_shift_n": "contacts off the middle",
    "held_n": "torque held at the wheels",
}
"""Parts of the twist of the front axle; the rear shaft's couple comes with the chassis' roll through the shocks."""
MOTION_TWIST_WORDS = TWIST_WORDS | {
    "axle_rotation_n": "what rolls the axle faster or slower",
    "wheel_rotation_n": "spinning wheels that are turned",
}
"""Parts of the twist in motion."""
LIMIT_WORDS = {
    "first_wheel_lift": "first wheel lifts",
    "tip_over": "no wheel of the axle carries",
    "over_sideways": "no wheel of one side carries",
    "grip": "grip (a wheel slides)",
    "torque": "torque (the motor stalls)",
    "fold": "snap to another pose",
}
"""Limits by the name in `WheelLimits.first`."""


def lift_range(lifts_deg: tuple) -> tuple:
    """Least and largest known first lift, deg; (None, None) where there is one law of traction, or none lifts."""
    known = [lift for lift in lifts_deg if lift is not None]
    return (min(known), max(known)) if len(lifts_deg) > 1 and known else (None, None)


def wheel_words(name: str | None) -> str:
    """'the front right wheel', 'both front wheels'."""
    if name in BOTH_WORDS:
        return BOTH_WORDS[name]
    return "no wheel" if name is None else f"the {WHEEL_WORDS[name]} wheel"


def side_word(roll_deg: float) -> str:
    """'13.2 deg to the right': left side up is positive, so it leans to the right then."""
    if abs(roll_deg) < 0.05:
        return "0.0 deg"
    return f"{abs(roll_deg):.1f} deg to the {'right' if roll_deg > 0.0 else 'left'}"


def range_words(low: float | None, high: float | None, unit: str, form: str = ".1f") -> str:
    """'50.4 to 54.8 deg'; '' without a range."""
    if low is None or high is None:
        return ""
    return f"{from_to(low, high, int(form.strip('+z.f')), sign=form.startswith('+'))} {unit}"
