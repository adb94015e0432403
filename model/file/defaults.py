"""Stated defaults of keys that a vehicle file may leave out, each with a range and its origin.

All in the units of the file. A default made from the vehicle's size is a one-line handbook estimate
(box, ring, share of critical damping); its range says how far real vehicles stray from it.
"""

from math import isnan, nan, sqrt
from typing import NamedTuple

from noseload.model.units import STANDARD_GRAVITY


class Default(NamedTuple):
    """A value in file units, the range it is believed to lie in, and why."""

    value: float
    low: float
    high: float
    reason: str
    left_out: bool = False
    """The value keeps something out of the equations: its range is the model's own error, and it is not told as assumed."""


class Sizes(NamedTuple):
    """What the size-made defaults start from, in file units; not a number where the file holds no such part."""

    total_mass_g: float
    wheelbase_mm: float
    tyre_radius_mm: float
    body_mass_g: float = nan
    axle_mass_g: float = nan
    spring_rate_n_per_mm: float = nan
    shock_length_mm: float = nan
    tyre_stiffness_n_per_mm: float = nan
    stall_torque_n_mm: float = nan
    track_width_mm: float = nan
    gives: bool = False
    """Whether the file says anything of the lengthwise give of a tyre."""


def _rounded(value: float, low: float, high: float, reason: str) -> Default:
    return Default(float(f"{value:.3g}"), float(f"{low:.3g}"), float(f"{high:.3g}"), reason)


def _critical_damping(stiffness_n_per_mm: float, mass_g: float) -> float:
    """2 sqrt(k m) in N s/m from N/mm and g."""
    return 2.0 * sqrt(stiffness_n_per_mm * 1e3 * mass_g * 1e-3)


def axle_mass(sizes: Sizes) -> Default:
    """Mass of one axle with its wheels, g."""
    total = sizes.total_mass_g
    return _rounded(
        0.2 * total,
        0.12 * total,
        0.28 * total,
        "an axle with its wheels is about a fifth of the vehicle (common practice, no source); only "
        "the split "
        "between axle and body is assumed, the weighed total and its centre stay as given",
    )


def body_inertia(sizes: Sizes) -> Default:
    """Pitch inertia of the body, kg mm2."""
    length, height = sizes.wheelbase_mm, sizes.wheelbase_mm / 3.0
    inertia = sizes.body_mass_g * 1e-3 * (length**2 + height**2) / 12.0
    return _rounded(
        inertia,
        0.6 * inertia,
        1.6 * inertia,
        "a box of the body's mass as long as the wheelbase and a third as tall, m (l2 + h2) / 12",
    )


def body_roll_inertia(sizes: Sizes) -> Default:
    """Roll inertia of the body, kg mm2."""
    width, height = sizes.wheelbase_mm / 2.0, sizes.wheelbase_mm / 3.0
    inertia = sizes.body_mass_g * 1e-3 * (width**2 + height**2) / 12.0
    return _rounded(
        inertia,
        0.5 * inertia,
        1.6 * inertia,
        "a box of the body's mass half as wide as the wheelbase and a third as tall, m (w2 + h2) / 12",
    )


def body_yaw_inertia(sizes: Sizes) -> Default:
    """Yaw inertia of the body, kg mm2."""
    length, width = sizes.wheelbase_mm, sizes.wheelbase_mm / 2.0
    inertia = sizes.body_mass_g * 1e-3 * (length**2 + width**2) / 12.0
    return _rounded(
        inertia,
        0.6 * inertia,
        1.6 * inertia,
        "a box of the body's mass as long as the wheelbase and half as wide, m (l2 + w2) / 12",
    )


def axle_roll_inertia(sizes: Sizes) -> Default:
    """Inertia of one axle with its wheels about a lengthwise or an upright axis, kg mm2."""
    track = 0.62 * sizes.wheelbase_mm if isnan(sizes.track_width_mm) else sizes.track_width_mm
    inertia = 0.45 * sizes.axle_mass_g * 1e-3 * (0.5 * track) ** 2
    return _rounded(
        inertia,
        0.6 * inertia,
        1.6 * inertia,
        "half of the axle's mass in wheels at its ends, the other near the middle: 0.45 m (track / 2)2",
    )


AXLE_RATIO = Default(
    3.3,
    2.5,
    4.5,
    "shaft turns for one turn of both wheels (common practice, no source; portal gears count too): easily counted",
)


def housing_inertia(sizes: Sizes) -> Default:
    """Pitch inertia of one axle housing, kg mm2."""
    inertia = 0.5 * sizes.axle_mass_g * 1e-3 * (0.36 * sizes.tyre_radius_mm) ** 2
    return _rounded(
        inertia,
        0.4 * inertia,
        2.5 * inertia,
        "half of the axle's mass at 0.36 of the tyre radius: tube, gears and servo lie close to the wheel axis",
    )


def wheel_pair_inertia(sizes: Sizes) -> Default:
    """Spin inertia of one wheel pair, kg mm2."""
    inertia = 0.5 * sizes.axle_mass_g * 1e-3 * (0.75 * sizes.tyre_radius_mm) ** 2
    return _rounded(
        inertia,
        0.5 * inertia,
        1.7 * inertia,
        "half of the axle's mass in two wheels, as a ring at three quarters of the tyre radius, m r2",
    )


def tyre_stiffness(sizes: Sizes) -> Default:
    """Vertical stiffness of one axle's tyres, N/mm."""
    load_n = sizes.total_mass_g * 1e-3 * STANDARD_GRAVITY / 2.0
    sink = 0.07 * sizes.tyre_radius_mm
    return _rounded(
        load_n / sink,
        load_n / (2.1 * sink),
        load_n / (0.4 * sink),
        "soft tyres on foam sink about 7 % of their radius (3 to 15 %) under half of the vehicle "
        "(common practice, no source)",
    )


def tyre_damping(sizes: Sizes) -> Default:
    """Vertical damping of one axle's tyres, N s/m."""
    critical = _critical_damping(sizes.tyre_stiffness_n_per_mm, sizes.axle_mass_g)
    return _rounded(
        0.08 * critical,
        0.03 * critical,
        0.2 * critical,
        "8 % (3 to 20 %) of critical for the axle on its tyres: rubber on foam (common practice, no source)",
    )


GRIP = Default(
    2.2,
    1.2,
    2.6,
    "rubber on grip tape (common practice, no source: such vehicles climb some 60 to 65 deg, which takes 1.7 to 2.1)",
)
SLIP_SPEED = Default(
    20.0,
    5.0,
    50.0,
    "creep does not use it; a few per cent of the speed of a punch, small enough not to shape the answer",
)
SLIP_RATIO_SCALE = Default(
    0.1, 0.05, 0.2, "rubber tyres reach most of their grip at a slip of 10 to 20 % (common practice, no source)"
)

ROLLING_RESISTANCE = Default(
    0.0,
    0.0,
    0.05,
    "not counted unless measured; soft tyres on foam take a few per cent of their load (estimate, no source)",
    left_out=True,
)


SLIP_STIFFNESS_EXPONENT = Default(
    1.0,
    0.6,
    1.0,
    "traction in proportion to load; a tyre's slip stiffness grows less than its load (common practice, no source)",
    left_out=True,
)


def lengthwise_stiffness(sizes: Sizes) -> Default:
    """Of one axle's tyres, N/mm; of no account unless the file says something of their give."""
    reason = "soft tyres on foam give 1 to 5 mm under a pull of 10 N an axle (estimate, no source)"
    return Default(5.0, 2.0, 10.0, reason, left_out=not sizes.gives)


def contact_offset_share(sizes: Sizes) -> Default:
    """Share of the lengthwise give by which the load moves forward: none unless the file says something of the give."""
    reason = "the load moves by most of what the tread moves (estimate, no source)"
    return Default(0.7 if sizes.gives else 0.0, 0.4, 1.0, reason, left_out=not sizes.gives)


STALL_TORQUE = Default(
    5500.0,
    2000.0,
    10000.0,
    "a 540-size brushed motor of about 0.2 N m at stall through 40:1 with 70 % left after the gears "
    "(common practice, no source); motors, batteries and ratios differ by several times",
)
NO_LOAD_SPEED = Default(
    35.0, 15.0, 70.0, "a crawler motor at about 13,000 rpm on its battery through 40:1 (common practice, no source)"
)
ROTOR_INERTIA = Default(
    6400.0,
    2500.0,
    14000.0,
    "540-size armature of about 80 g and 11 mm radius through 40:1: 5,000 to 8,000 as a body between "
    "loose winding and solid cylinder, m r2 / 2 x ratio2; the range covers ratios of 25:1 to 60:1",
)


def drag_brake_torque(sizes: Sizes) -> Default:
    """Torque of the drag brake at the wheels, N mm."""
    return Default(
        0.0,
        0.0,
        0.5 * sizes.stall_torque_n_mm,
        "no drag brake counted unless measured; a strong one holds up to about half of the stall torque "
        "(common practice, no source)",
    )


def shock_damping(sizes: Sizes) -> Default:
    """Damping of one axle's shocks, N s/m."""
    critical = _critical_damping(sizes.spring_rate_n_per_mm, sizes.body_mass_g / 2.0)
    return _rounded(
        0.3 * critical,
        0.1 * critical,
        0.8 * critical,
        "0.3 of critical (0.1 to 0.8) for half of the body on the springs of one axle (common practice, no source)",
    )


def droop_travel(sizes: Sizes) -> Default:
    """Travel to the droop stop, mm."""
    length = sizes.shock_length_mm
    return _rounded(
        0.2 * length,
        0.08 * length,
        0.35 * length,
        "a fifth of the shock's measured length (common practice, no source); easily measured: pull the shock out",
    )


def bump_travel(sizes: Sizes) -> Default:
    """Travel to the bump stop, mm."""
    length = sizes.shock_length_mm
    return _rounded(
        0.25 * length,
        0.12 * length,
        0.4 * length,
        "a quarter of the shock's measured length (common practice, no source); easily measured: push the shock in",
    )


STOP_STIFFNESS = Default(
    20.0, 5.0, 100.0, "plastic and rubber shock ends give about 1 mm under 20 N (estimate, no source)"
)
STOP_DAMPING = Default(
    20.0, 5.0, 60.0, "a rubber stop that does not ring: about a tenth of critical for the body (estimate, no source)"
)
