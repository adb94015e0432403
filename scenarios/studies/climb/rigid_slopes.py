"""Outcomes of the rigid vehicle (level A) in plain arithmetic: they hold for arrays of cases and for complex steps alike."""

import numpy as np

from noseload.model.parameters import rigid_centre_of_gravity
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.variation import COMPLEX_STEP
from noseload.model.vehicle import Vehicle

from .slopes import OUTCOMES, Outcomes


def rigid_outcomes(vehicle: Vehicle, grade_deg: float) -> Outcomes:
    """Outcomes of a vehicle whose numbers may be arrays or complex; squat and pitch are left out.

    Parameters
    ----------
    vehicle : Vehicle
    grade_deg : float

    Returns
    -------
    Outcomes
        `grip_needed` is None: it is tan(grade) or needs the driven axles, neither of which a lever changes here.
    """
    distance, height = rigid_centre_of_gravity(vehicle)
    grade, wheelbase = np.radians(grade_deg), vehicle.wheelbase
    weight = vehicle.mass * STANDARD_GRAVITY
    front = weight * (distance * np.cos(grade) - height * np.sin(grade)) / wheelbase
    tip = np.arctan(distance / height) * (180.0 / np.pi)
    down = -np.arctan((wheelbase - distance) / height) * (180.0 / np.pi)
    return Outcomes(tip, down, front, 0.0 * front, None)


def rigid_slopes(varied: Vehicle, count: int, grade_deg: float) -> Outcomes:
    """Derivatives, shape (count,) each, of a vehicle varied by complex steps along its last axis."""
    found = rigid_outcomes(varied, grade_deg)
    slopes = {}
    for name in OUTCOMES:
        value = getattr(found, name)
        slopes[name] = None if value is None else np.broadcast_to(np.imag(value), (count,)) / COMPLEX_STEP
    return Outcomes(**slopes)
