"""The rigid vehicle off the straight line: tip angle over heading, and the front axle standing on a step.

Four contact points at the corners of wheelbase and track, no springs, weight at the measured centre of gravity::

        up the slope                 heading 0: straight up, 90: across (side slope)
            ^     / heading          tips over the rear axle:     tan = b / (h cos heading)
            |   /                    tips over the downhill side: tan = (t / 2) / (h sin heading)
            | /

The vehicle tips about the edge of the contact rectangle that the weight's line meets first (R. N. Jazar, *Vehicle
Dynamics: Theory and Application*, Springer 2008, example 46, for heading 0; t / (2 h) for heading 90 is the static
stability factor of 49 CFR Part 575).
"""

from dataclasses import dataclass
from math import asin, atan, atan2, cos, degrees, hypot, pi, radians, sin
from typing import Any

from noseload.model.errors import ModelError
from noseload.model.file.needs import check_provides
from noseload.model.parameters import ENDS, axle_of, drive_flags, rigid_centre_of_gravity, wheel_height
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.studies.result import Result

NOTE = (
    "rigid vehicle as measured, its four tyres on a plane: squat, pitch, roll and axle twist are left out; "
    "on its springs a vehicle tips earlier across the slope"
)
VERTICAL_FACE = (
    "a vertical face is outside the planar model: there the front tyres touch the wall as well as the ground, and no single "
    "contact point below the wheel centre carries them. `lean --front-step MM` answers for the front axle already standing on "
    "a step parallel to the slope."
)
TORQUE_TWIST = (
    "torque twist is outside the planar model: the drive shaft's couple rolls the body about its length and shifts load from "
    "one side to the other, and the side view counts left and right wheels as one. The sum of both front wheels, which is what "
    "noseload gives, does not change by it on a plane slope."
)


@dataclass(frozen=True)
class Heading:
    """Tip angle on one heading: deg, and the edge it tips over ('rear_axle' or 'downhill_side')."""

    heading_deg: float
    tip_angle_deg: float
    tips_over: str
    rear_axle_angle_deg: float | None
    downhill_side_angle_deg: float | None

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Lean(Result):
    """Tip angles over heading.

    Attributes
    ----------
    setup : str
    rows : tuple of Heading
    change_over_deg : float
        Heading from which the vehicle tips sideways first.
    distance, height, wheelbase, track : float
        Centre of gravity from the rear axle and above the ground, wheelbase, track width, m.
    """

    picture = "climb.lean.plot_lean"
    setup: str
    rows: tuple
    change_over_deg: float
    distance: float
    height: float
    wheelbase: float
    track: float

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "setup": self.setup,
            "rows": [row.to_dict() for row in self.rows],
            "change_over_heading_deg": self.change_over_deg,
            "centre_of_gravity_mm": 1e3 * self.distance,
            "centre_of_gravity_height_mm": 1e3 * self.height,
            "wheelbase_mm": 1e3 * self.wheelbase,
            "track_width_mm": 1e3 * self.track,
            "model": NOTE,
            "status": "ok",
        }


def lean(vehicle: Vehicle, *, step_deg: float = 10.0) -> Lean:
    """Tip angle of the rigid vehicle over heading, 0 (straight up) to 90 deg (across the slope).

    Parameters
    ----------
    vehicle : Vehicle
        With a track width; links are not used.
    step_deg : float
        Step of heading, deg.

    Returns
    -------
    Lean

    Raises
    ------
    MissingDataError
        The file has no `track_width_mm`.
    ModelError
        A step that is not above 0, or finer than 0.1 deg.
    """
    check_provides(vehicle, ["track_width"], command="lean")
    if not 0.1 <= step_deg <= 90.0:
        raise ModelError(f"step {step_deg:g} deg: headings need a step from 0.1 to 90 deg, such as 10")
    distance, height = rigid_centre_of_gravity(vehicle)
    track = float(vehicle.track_width or 0.0)
    half = 0.5 * track
    count = int(90.0 / step_deg + 1e-9)
    headings = [k * step_deg for k in range(count + 1)]
    headings += [90.0] if headings[-1] < 90.0 - 1e-9 else []
    rows = tuple(_heading(angle, distance, height, half) for angle in headings)
    return Lean(vehicle.setup, rows, degrees(atan2(half, distance)), distance, height, vehicle.wheelbase, track)


def _heading(heading_deg, distance, height, half):
    psi = radians(heading_deg)
    # cos 90 deg is not exactly 0; on the exact ends only one edge is in play.
    back = None if heading_deg == 90.0 else degrees(atan(distance / (height * cos(psi))))
    side = None if heading_deg == 0.0 else degrees(atan(half / (height * sin(psi))))
    over = "downhill_side" if back is None or (side is not None and side < back) else "rear_axle"
    tips = min(angle for angle in (back, side) if angle is not None)
    return Heading(float(heading_deg), tips, over, back, side)


@dataclass(frozen=True)
class FrontStep:
    """The rigid vehicle with its front axle on a step parallel to the slope; loads in N, None past tip-over.

    Attributes
    ----------
    setup : str
    step_mm, grade_deg : float
    nose_up_pitch_deg : float
        By the step alone, relative to the slope.
    tip_over_grade_deg, tip_over_without_step_deg : float
    rear_load_n, front_load_n, front_load_without_step_n : float or None
    grip_needed : float or None
    status : str
    """

    setup: str
    step_mm: float
    grade_deg: float
    nose_up_pitch_deg: float
    tip_over_grade_deg: float
    tip_over_without_step_deg: float
    rear_load_n: float | None
    front_load_n: float | None
    front_load_without_step_n: float | None
    grip_needed: float | None
    status: str

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {**self.__dict__, "model": NOTE}


def front_step(vehicle: Vehicle, *, step_mm: float, grade_deg: float = 0.0) -> FrontStep:
    """Loads and tip-over of the rigid vehicle whose front wheels stand on a step parallel to the slope.

    Parameters
    ----------
    vehicle : Vehicle
        Level A is enough.
    step_mm : float
        Height of the step normal to the slope; negative: the front wheels stand lower.
    grade_deg : float

    Returns
    -------
    FrontStep

    Raises
    ------
    ModelError
        The step is too high for the wheelbase, or turns the vehicle beyond 60 deg.
    """
    step = 1e-3 * step_mm
    flat, stepped = _stance(vehicle, 0.0), _stance(vehicle, step)
    grade = radians(grade_deg)
    loads = _loads(vehicle, stepped, step, grade)
    before = _loads(vehicle, flat, 0.0, grade)
    held = (
        None
        if loads is None
        else sum(drive_flags(vehicle.drive)[f"{end}_driven"] * n for end, n in zip(ENDS, loads, strict=True))
    )
    pull = abs(vehicle.mass * STANDARD_GRAVITY * sin(grade))
    return FrontStep(
        vehicle.setup,
        float(step_mm),
        float(grade_deg),
        degrees(stepped[3]),
        degrees(atan2(stepped[0], stepped[1])),
        degrees(atan2(flat[0], flat[1])),
        None if loads is None else loads[0],
        None if loads is None else loads[1],
        None if before is None else before[1],
        pull / held if held else None,
        "ok" if loads is not None else "beyond_tip_over",
    )


def _stance(vehicle, step):
    """Centre of gravity (x, z) from the rear contact, distance of the contacts, nose-up turn by the step."""
    rear, front = wheel_height(vehicle.rear), wheel_height(vehicle.front)
    span = hypot(vehicle.wheelbase, front - rear)
    rise = (front + step - rear) / span
    if abs(rise) >= sin(radians(60.0)):
        raise ModelError(
            f"front step {1e3 * step:g} mm: with a wheelbase of {1e3 * vehicle.wheelbase:g} mm the vehicle would lean "
            "more than 60 deg; a step of half the wheelbase is the most that makes sense"
        )
    turn = asin(rise) - atan2(front - rear, vehicle.wheelbase)
    x, z = rigid_centre_of_gravity(vehicle)
    z -= rear
    return x * cos(turn) - z * sin(turn), rear + x * sin(turn) + z * cos(turn), span * cos(asin(rise)), turn


def _loads(vehicle, stance, step, grade):
    """Tyre loads (rear, front), N, or None past tip-over; traction at the front acts at the height of the step."""
    x, z, span, _ = stance
    weight, flags = vehicle.mass * STANDARD_GRAVITY, drive_flags(vehicle.drive)
    moment = weight * (x * cos(grade) - z * sin(grade))
    if not abs(grade) < 0.5 * pi or moment < 0.0:
        return None
    normal, pull = weight * cos(grade), weight * sin(grade)
    if flags["front_alone"]:
        front = (moment + pull * step) / span
    elif flags["geared"]:
        front = _front_of_both(vehicle, moment, normal, pull * step, span)
    else:
        front = moment / span
    return None if front > normal or front < 0.0 else (normal - front, front)


def _front_of_both(vehicle, moment, normal, lever, span):
    """Front load where traction is shared so that both axles slip alike: F_f = F mu_f N_f / sum(mu N).

    Equal grip makes it linear, ``N_f (L - tan(g) step) = moment``; else it is a quadratic in N_f.
    """
    mu_r, mu_f = (axle_of(vehicle, end).tyre.grip_coefficient for end in ENDS)
    # span N (mu_r (W - N) + mu_f N) = moment (...) + lever mu_f N
    a = span * (mu_f - mu_r)
    b = span * mu_r * normal - moment * (mu_f - mu_r) - lever * mu_f
    c = -moment * mu_r * normal
    if abs(a) < 1e-12 * span * mu_r:
        return -c / b
    return -2.0 * c / (b + (b * b - 4.0 * a * c) ** 0.5)
