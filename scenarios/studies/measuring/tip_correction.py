"""From the angle at which a vehicle tips, through its squat, to the height of its standing centre of gravity."""

from math import degrees

from noseload.model.errors import ModelError
from noseload.model.units import DEGREE, MILLIMETRE

from .fitted_quantities import centre_of_gravity, changed

TOLERANCE = 1e-9
"""Agreement of calculated and measured tip angle, rad: far below any reading."""

STEPS = 30


def standing_height(vehicle, tip_angle):
    """Height of the whole vehicle's centre of gravity, standing level, for which it tips at `tip_angle`.

    Parameters
    ----------
    vehicle : noseload.model.vehicle.Vehicle
        Everything but that height is taken from it.
    tip_angle : float
        Measured grade at tip-over, rad; negative with the rear uphill.

    Returns
    -------
    float
        m above the floor.

    Raises
    ------
    ModelError
        If no plausible height lets this vehicle tip there.

    Notes
    -----
    Secant steps on the height; the start is the rigid height b / tan(angle).
    """
    from noseload.studies.climb.sweep import climb_of

    name = "tip_over_grade_deg" if tip_angle > 0.0 else "tip_over_downhill_grade_deg"

    def excess(height):
        grade = getattr(climb_of(changed(vehicle, {"cg_height": height / MILLIMETRE})).limits, name)
        if grade is None:
            raise ModelError(
                f"with its centre of gravity {height / MILLIMETRE:.1f} mm high this vehicle reaches no tip-over; check "
                "springs, stops and the measured tip angle"
            )
        return grade * DEGREE - tip_angle

    lower = centre_of_gravity(vehicle)[1]
    low_excess = excess(lower)
    height = lower * 1.02
    for _ in range(STEPS):
        high_excess = excess(height)
        if abs(high_excess) < TOLERANCE:
            return height
        if high_excess == low_excess:
            break
        step = -high_excess * (height - lower) / (high_excess - low_excess)
        step = min(max(step, -0.3 * height), 0.3 * height)
        lower, low_excess, height = height, high_excess, height + step
    raise ModelError(
        f"no height of the centre of gravity lets this vehicle tip at {degrees(tip_angle):.2f} deg; check the tip "
        "angle, "
        "the axle readings and the springs in the vehicle file"
    )
