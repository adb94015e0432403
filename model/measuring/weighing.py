"""Weighing: where the centre of gravity is, from scale readings and from a tip test.

    front lifted by beta, suspension blocked, wheels of the lifted end free to roll

                    . O front, loaded radius r_f          b  rear wheel centre to centre of gravity,
           [G]  .     =  block under the tyres               along the level vehicle
          .  ' beta                                       h  its height above the floor, vehicle level
      O ---------------                                   phi  front share of the weight
      = scale                                             L  wheelbase

All lengths in m, angles in rad, loads in N unless said otherwise; arguments may be arrays.
"""

import numpy as np

from noseload.model.units import STANDARD_GRAVITY


def front_share_lifted(
    angle: np.ndarray, position: float, height: float, wheelbase: float, rear_radius: float, front_radius: float
) -> np.ndarray:
    """Front share of the weight, vehicle turned nose up by `angle` from level (negative: rear lifted).

    Parameters
    ----------
    angle : float or ndarray
    position, height : float
        b and h of the level vehicle.
    wheelbase, rear_radius, front_radius : float
        Radii are loaded radii as the vehicle stands level; they may differ.

    Notes
    -----
    Exact for a rigid (blocked) vehicle: contacts lie straight below the wheel centres, so tyre sag during the
    lift does not enter once the angle is known.
    """
    span = wheelbase * np.cos(angle) - (front_radius - rear_radius) * np.sin(angle)
    return (position * np.cos(angle) - (height - rear_radius) * np.sin(angle)) / span


def height_error_from_scale(
    angle: float | np.ndarray, wheelbase: float, weight: float, scale_error: float
) -> float | np.ndarray:
    """Standard error of h from errors `scale_error` of two readings (same unit as `weight`)."""
    return np.sqrt(2.0) * wheelbase * scale_error / (weight * np.abs(np.tan(angle)))


def lift_angle(
    lift: np.ndarray,
    wheelbase: float,
    rear_radius: float,
    front_radius: float,
    rear_sag: float = 0.0,
    front_sag: float = 0.0,
) -> np.ndarray:
    """Angle beta by which blocks of height `lift` under the front tyres turn the vehicle nose up.

    Parameters
    ----------
    lift : float or ndarray
        Negative for blocks under the rear tyres.
    rear_radius, front_radius : float
        Loaded radii, vehicle level.
    rear_sag, front_sag : float or ndarray
        By how much each loaded radius is smaller than when level, load change over tyre rate.

    Returns
    -------
    float or ndarray
        nan where blocks are higher than the wheelbase.
    """
    step = front_radius - rear_radius
    rise = lift + step + rear_sag - front_sag
    with np.errstate(invalid="ignore"):
        return np.arcsin(rise / np.hypot(wheelbase, step)) - np.arctan2(step, wheelbase)


def free_suspension_height_error(
    angle: float | np.ndarray,
    *,
    sprung_mass: float,
    total_mass: float,
    sprung_position: float,
    sprung_height: float,
    wheelbase: float,
    wheel_centre_height: float,
    rear_wheel_rate: float,
    front_wheel_rate: float,
) -> float | np.ndarray:
    """By how much h reads high when the suspension is left free; level links, first order.

    Parameters
    ----------
    angle : float or ndarray
        Lift of the front, rad.
    sprung_mass, total_mass : float
        kg.
    sprung_position, sprung_height : float
        Centre of gravity of the sprung part from the rear wheel centre and above the floor, m.
    rear_wheel_rate, front_wheel_rate : float
        N/m per axle, at the wheels.

    Notes
    -----
    The springs feel the weight across the vehicle, W cos(beta), so the body rises, and the load shifted to
    the lower axle, so it pitches; both carry the centre of gravity with them.
    """
    weight = sprung_mass * STANDARD_GRAVITY
    front = weight * sprung_position / wheelbase
    shift = weight * (sprung_height - wheel_centre_height) * np.sin(angle) / wheelbase
    front_rise = ((1.0 - np.cos(angle)) * front + shift) / front_wheel_rate
    rear_rise = ((1.0 - np.cos(angle)) * (weight - front) - shift) / rear_wheel_rate
    pitch = (front_rise - rear_rise) / wheelbase
    part = sprung_mass / total_mass
    rise = part * (rear_rise + (front_rise - rear_rise) * sprung_position / wheelbase)
    back = part * pitch * (sprung_height - wheel_centre_height)
    return rise + back / np.tan(angle)


def tip_height(grade: float, contact_distance: float) -> float:
    """Height of the centre of gravity in the pose in which the vehicle tips.

    Parameters
    ----------
    grade : float or ndarray
        Grade at which the uphill tyres come free, rad.
    contact_distance : float
        From the downhill wheel centre to the centre of gravity, along the board: b with the front uphill,
        L - b with the rear uphill.

    References
    ----------
    tan(grade) = b / h: the weight points through the downhill contact. R. N. Jazar, Vehicle Dynamics: Theory
    and Application, 2008, exercise 46.
    """
    return contact_distance / np.tan(grade)


def tray_correction(
    reading: np.ndarray, tray: float, grade: float | np.ndarray, zeroed_at_each_grade: bool
) -> np.ndarray:
    """Scale reading on a slope freed from the tray, which weighs only tray cos(grade) along the scale."""
    return reading if zeroed_at_each_grade else reading + tray * (1.0 - np.cos(grade))
