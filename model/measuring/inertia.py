"""Moments of inertia from swings: bifilar and compound pendulum, and a rotor from its size.

SI units and radians throughout.
"""

from collections.abc import Sequence

import numpy as np

from noseload.model.units import STANDARD_GRAVITY

QUADRATURE_POINTS = 64
"""Midpoint rule in the swing's phase; converges geometrically, far below timing errors."""


def bifilar_inertia(mass: float, spacing: float, length: float, period: float, offset: float = 0.0) -> float:
    """Inertia of what hangs on two parallel threads about its own centre of gravity, small swings.

    It turns about that centre wherever it lies between the threads: each carries the share of the other's distance, so
    their sideways pulls cancel.

    Parameters
    ----------
    mass : float
        All that hangs, kg.
    spacing, length : float
        Distance between the threads (equal above and below) and their length, m.
    period : float
        Of small swings, s.
    offset : float
        Of the centre of gravity from the middle between the threads, m.

    References
    ----------
    I = m g a b T^2 / (4 pi^2 H), a and b the distances of the threads from the centre of gravity, any vibration text;
    T. R. Kane, G. H. Tseng, 'Dynamics of the bifilar pendulum', Int. J. Mech. Sci. 9 (1967) 83 (memory).
    """
    lever = 0.25 * spacing**2 - offset**2
    return mass * STANDARD_GRAVITY * lever * period**2 / (4.0 * np.pi**2 * length)


def bifilar_period_factor(
    amplitude: np.ndarray, mass: float, spacing: float, length: float, inertia: float
) -> np.ndarray:
    """Period at finite `amplitude` over that of small swings, vertical motion included.

    Notes
    -----
    Energy: 1/2 (I + m z'(theta)^2) theta'^2 + m g z(theta), where a thread end that moves sideways by
    D sin(theta / 2) lifts the mass by z = H - sqrt(H^2 - D^2 sin^2(theta / 2)). With theta = A sin(s) the
    integrand is smooth and periodic in s.
    """
    phase = (np.arange(QUADRATURE_POINTS) + 0.5) * (np.pi / QUADRATURE_POINTS) - 0.5 * np.pi
    amplitude = np.maximum(np.asarray(amplitude, dtype=float), 1e-6)[..., None]
    angle = amplitude * np.sin(phase)
    chord, top_chord = spacing * np.sin(0.5 * angle), spacing * np.sin(0.5 * amplitude)
    drop, top_drop = np.sqrt(length**2 - chord**2), np.sqrt(length**2 - top_chord**2)
    slope = 0.25 * spacing**2 * np.sin(angle) / drop
    # z(A) - z(theta) as a difference of squares: no cancellation at small swings
    fall = spacing**2 * np.sin(0.5 * (amplitude + angle)) * np.sin(0.5 * (amplitude - angle)) / (drop + top_drop)
    speed_squared = 2.0 * mass * STANDARD_GRAVITY * fall / (inertia + mass * slope**2)
    period = 2.0 * np.sum(amplitude * np.cos(phase) / np.sqrt(speed_squared), axis=-1) * (np.pi / QUADRATURE_POINTS)
    small = 2.0 * np.pi * np.sqrt(4.0 * inertia * length / (mass * STANDARD_GRAVITY * spacing**2))
    return period / small


def pendulum_period_factor(amplitude: np.ndarray) -> np.ndarray:
    """Period of a plain or compound pendulum at `amplitude` over that of small swings: 2 K(sin^2(A/2)) / pi.

    Notes
    -----
    The complete elliptic integral is written as an arithmetic-geometric mean; five steps exhaust double
    precision up to 170 deg.
    """
    upper, lower = np.ones_like(np.asarray(amplitude, dtype=float)), np.cos(0.5 * np.asarray(amplitude))
    for _ in range(6):
        upper, lower = 0.5 * (upper + lower), np.sqrt(upper * lower)
    return 1.0 / upper


def double_suspension(
    mass: float, separation: float, near_period: float, far_period: float, same_side: bool = True
) -> tuple[float, float]:
    """Distance to the centre of gravity and inertia about it, from two pivots in line with it.

    Parameters
    ----------
    separation : float
        Between the pivots, m.
    near_period, far_period : float
        Periods about the nearer pivot and about the other, s.
    same_side : bool
        Whether both pivots lie on one side of the centre of gravity.

    Returns
    -------
    distance, inertia : float
        From the nearer pivot; about the centre of gravity.

    References
    ----------
    F. W. Lanchester, Aerodonetics, 1908, appendix VI (method of double suspension): k^2 = q l - l^2 holds at
    both pivots, q = g T^2 / (4 pi^2).
    """
    near = STANDARD_GRAVITY * near_period**2 / (4.0 * np.pi**2)
    far = STANDARD_GRAVITY * far_period**2 / (4.0 * np.pi**2)
    sign = 1.0 if same_side else -1.0
    distance = separation * (far - separation) / (near - sign * far + 2.0 * sign * separation)
    return distance, mass * (near * distance - distance**2)


def without_fixture(
    hung_inertia: float,
    part_mass: float,
    part_offset: float,
    fixture_mass: float,
    fixture_inertia: float,
    fixture_offset: float,
) -> float:
    """Inertia of the part about its own centre of gravity.

    Parameters
    ----------
    hung_inertia : float
        About the swinging axis, everything that hangs, kg m2.
    part_offset, fixture_offset : float
        Of the two centres of gravity from that axis, m.
    fixture_inertia : float
        Of the fixture about its own centre of gravity, kg m2.
    """
    return hung_inertia - part_mass * part_offset**2 - fixture_inertia - fixture_mass * fixture_offset**2


def compound_pivot_inertia(moment: float, period: float) -> float:
    """Inertia about the pivot from the weight's moment arm, `moment` = sum of mass times distance (kg m)."""
    return moment * STANDARD_GRAVITY * period**2 / (4.0 * np.pi**2)


def sprung_pitch_inertia(
    whole_inertia: float,
    total_mass: float,
    centre: Sequence[float],
    axle_masses: Sequence[float],
    axle_centres: list[tuple[float, float]] | tuple[tuple[float, float], tuple[float, float]],
    axle_inertias: Sequence[float],
) -> tuple:
    """Pitch inertia of the sprung body about its own centre of gravity.

    Parameters
    ----------
    whole_inertia, total_mass : float
        Of the whole vehicle about its centre of gravity, wheels locked.
    centre : (x, z)
        Centre of gravity of the whole vehicle, m.
    axle_masses, axle_inertias : sequences of float
        kg; kg m2 about their own centres (housing and wheels).
    axle_centres : sequence of (x, z)

    Returns
    -------
    inertia : float
    body_centre : (x, z)
    """
    body_mass = total_mass - sum(axle_masses)
    body = [
        (total_mass * centre[k] - sum(m * c[k] for m, c in zip(axle_masses, axle_centres, strict=True))) / body_mass
        for k in (0, 1)
    ]
    inertia = whole_inertia - body_mass * ((body[0] - centre[0]) ** 2 + (body[1] - centre[1]) ** 2)
    for mass, place, own in zip(axle_masses, axle_centres, axle_inertias, strict=True):
        inertia -= own + mass * ((place[0] - centre[0]) ** 2 + (place[1] - centre[1]) ** 2)
    return inertia, tuple(body)


ARMATURE_RADIUS_PER_CAN_DIAMETER = 11.0 / 35.8
"""Armature radius over can diameter of a closed-can brushed motor: common practice, no source."""

ARMATURE_MASS_DENSITY = 0.080 / (0.0358**2 * 0.050)
"""Armature mass over can diameter squared times can length, kg/m3: 80 g in a 540-size can."""

SOLID_SHARE_LOW, SOLID_SHARE_HIGH = 0.65, 1.03
"""Range of armature inertia over that of a solid cylinder: slots and shaft lower it."""

SOLID_SHARE = 0.5 * (SOLID_SHARE_LOW + SOLID_SHARE_HIGH)


def armature_from_can(can_diameter: float, can_length: float) -> tuple[float, float]:
    """Likely mass and radius of the armature inside a can: common practice, no source."""
    return (ARMATURE_MASS_DENSITY * can_diameter**2 * can_length, ARMATURE_RADIUS_PER_CAN_DIAMETER * can_diameter)


def rotor_inertia_at_wheels(
    armature_mass: float, armature_radius: float, total_ratio: float, solid_share: float = SOLID_SHARE
) -> float:
    """Rotor inertia referred to the wheels: share x 1/2 m r^2 x ratio^2."""
    return solid_share * 0.5 * armature_mass * armature_radius**2 * total_ratio**2
