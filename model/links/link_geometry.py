"""Side-view geometry of an axle's two links in any pose: instant centre, swing arm, anti-squat, anti-lift.

Signs, the same picture at both ends, seen from the axle toward the middle of the vehicle::

    rear axle                                             front axle (mirrored)

        chassis  o------ upper link                  d  distance of the instant centre from the contact
                        \\                               point, positive toward the other axle
      wheel O            * instant centre            e  its height above the ground
            |         . /                            r  height of the wheel centre
            |     .    e                             slope of the contact line = e / d
      ------+----d-----+----> toward the other axle

Anti-squat (rear) and anti-lift (front) are positive where the links resist what the drive does:
the rear sinking, the front rising. Everything is kept as slopes and 1 / d, which stay finite for
parallel links (instant centre at infinity); a figure is None only where the centre stands above the contact.

T. D. Gillespie, *Fundamentals of Vehicle Dynamics*, SAE 1992, ch. 7; D. Barton and J. Fieldhouse,
*Automotive Chassis Engineering*, Springer 2018, sections 3.11-3.12.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, hypot, sin
from typing import Any

from noseload.model.crawl.geometry import Pose
from noseload.model.parameters import ENDS

PARALLEL = 1e-9
"""Sine of the angle between two links below which they are taken as parallel."""
TOWARD = {"rear": 1.0, "front": -1.0}
"""Direction along the slope from each axle toward the other."""


def line_crossing(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> tuple[float, float, float]:
    """Where the line through a and b meets the line through c and d, in homogeneous form.

    Parameters
    ----------
    a, b, c, d : (x, z)
        Points, m; a differs from b and c from d.

    Returns
    -------
    x, z, w : float
        The point is (x / w, z / w); w is the sine of the angle between the lines and exactly 0 for parallel
        ones, where (x, z) is along them. All three are 0 for one and the same line.
    """
    (ux, uz), (vx, vz) = _direction(a, b), _direction(c, d)
    sine = ux * vz - uz * vx
    if abs(sine) < PARALLEL:
        gap = (c[0] - a[0]) * uz - (c[1] - a[1]) * ux
        return (0.0, 0.0, 0.0) if abs(gap) < PARALLEL * hypot(c[0] - a[0], c[1] - a[1]) else (ux, uz, 0.0)
    along = (c[0] - a[0]) * vz - (c[1] - a[1]) * vx
    return a[0] * sine + along * ux, a[1] * sine + along * uz, sine


def _direction(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


@dataclass(frozen=True)
class SideView:
    """Geometry of one axle's links in one pose; SI, signs as in the drawing of this module.

    Attributes
    ----------
    end : str
        'rear' or 'front'.
    instant_centre : (x, z) or None
        Incline frame, m; None at infinity (parallel links) or where both links lie in one line.
    contact_slope : float or None
        e / d, slope of the line from the contact point to the instant centre.
    wheel_slope : float or None
        (e - r) / d, slope of the swing arm from the wheel centre; the wheel moves outward, away from the
        other axle, by this much for each unit it rises against the chassis.
    inverse_arm : float or None
        1 / d, 1/m: angle by which the housing turns for each unit of wheel rise, its inner side down.
    contact_x, wheel_height, mass_height : float
        Of the contact point, the wheel centre and the axle's centre of gravity, m.
    """

    end: str
    instant_centre: tuple | None
    contact_slope: float | None
    wheel_slope: float | None
    inverse_arm: float | None
    contact_x: float
    wheel_height: float
    mass_height: float

    @property
    def arm_length(self) -> float | None:
        """Side-view swing arm d along the ground, m; negative on the outer side, None at infinity."""
        if self.instant_centre is None:
            return None
        return 1.0 / self.inverse_arm if self.inverse_arm else 0.0

    @property
    def arm_angle(self) -> float | None:
        """Angle of the swing arm at the wheel centre against the ground, rad."""
        return None if self.wheel_slope is None else atan(self.wheel_slope)

    @property
    def contact_angle(self) -> float | None:
        """Angle of the line from the contact point against the ground, rad."""
        return None if self.contact_slope is None else atan(self.contact_slope)


def side_view(pose: Pose, end: str) -> SideView:
    """Link geometry of one axle.

    Parameters
    ----------
    pose : Pose
    end : {'rear', 'front'}

    Returns
    -------
    SideView
    """
    points = pose.points
    links = [points[f"{end}_{link}_{side}"] for link in ("lower_link", "upper_link") for side in ("axle", "chassis")]
    contact, wheel = points[f"{end}_contact"], points[f"{end}_wheel_centre"]
    return side_view_of(end, links, contact, wheel[1] - contact[1], points[f"{end}_centre"][1] - contact[1])


def side_view_of(
    end: str,
    links: list[tuple[float, float]]
    | tuple[tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]],
    contact: tuple[float, float],
    wheel_height: float,
    mass_height: float | None = None,
) -> SideView:
    """Link geometry from bare points.

    Parameters
    ----------
    end : {'rear', 'front'}
    links : four (x, z)
        Lower link (two ends), upper link (two ends), m.
    contact : (x, z)
        Contact point, m; heights count from it.
    wheel_height, mass_height : float
        Of the wheel centre and of the axle's centre of gravity (default: the same) above the contact, m.

    Returns
    -------
    SideView
    """
    local = [(p[0] - contact[0], p[1] - contact[1]) for p in links]
    x, z, w = line_crossing(*local)
    distance = TOWARD[end] * x
    centre = (contact[0] + x / w, contact[1] + z / w) if w else None
    # A centre straight above the contact has no finite slope; so has a linkage in one line.
    upright = abs(distance) <= 1e-9 * hypot(distance, z) or x == z == 0.0
    slope, arm_slope, inverse = (
        (None,) * 3 if upright else (z / distance, (z - wheel_height * w) / distance, w / distance)
    )
    return SideView(
        end,
        centre,
        slope,
        arm_slope,
        inverse,
        contact[0],
        wheel_height,
        wheel_height if mass_height is None else mass_height,
    )


# anti-squat and anti-lift --------------------------------------------------------------------------


def anti_textbook(view: Any, height: float, wheelbase: float) -> float | None:
    """The textbook figure: all traction on this one axle, axle without mass, solid axle.

    ``(e / d) (L / h)``, 1 = 100 %: Gillespie 1992, ch. 7; Barton and Fieldhouse 2018, eq. 3.63.

    Parameters
    ----------
    view : SideView
    height, wheelbase : float
        Of the whole vehicle's centre of gravity above the ground, m, and between the contact points, m.

    Returns
    -------
    float or None
    """
    return None if view.contact_slope is None else view.contact_slope * wheelbase / height


def anti_as_driven(
    view: Any,
    *,
    height: float,
    wheelbase: float,
    mass: float,
    axle_mass: float,
    share: float,
    chassis_reaction: float = 0.0,
    wheel_inertia: float = 0.0,
    total_wheel_inertia: float = 0.0,
    lengthwise: Any = None,
    acceleration: float = 0.0,
) -> float | None:
    """Share of the load transfer that the links carry past the springs, as this vehicle is driven.

    From the moments of the axle assembly about its own instant centre, with the axle's own mass::

        A = [ k (e - kappa r) / d  -  (m_a / m) (e - z_a) / d ] L / h           (no wheel inertia)

    1 (100 %): the springs carry what they carry without drive. Derived from Newton's and Euler's laws; with
    m_a = 0 it is Gillespie 1992, ch. 7, for a split of traction.

    Parameters
    ----------
    view : SideView
    height, wheelbase : float
        As for `anti_textbook`, m.
    mass, axle_mass : float
        Whole vehicle and this axle assembly, kg.
    share : float
        Part of the total traction on this axle, 0..1.
    chassis_reaction : float
        kappa: part of the drive torque that the chassis reacts in side view; 0 solid axle, 1 a final drive
        fixed to the chassis.
    wheel_inertia, total_wheel_inertia : float
        Of this axle's wheels and of all wheels, kg m2; they count only with an acceleration.
    lengthwise, acceleration : float
        G sin g + x'' and x'' alone, m/s2; without them the steady climb.

    Returns
    -------
    float or None
        None where the instant centre stands above the contact point.
    """
    if view.contact_slope is None:
        return None
    kappa, r = chassis_reaction, view.wheel_height
    pull = share * mass * (view.contact_slope - kappa * r * view.inverse_arm)
    own = axle_mass * (view.contact_slope - view.mass_height * view.inverse_arm)
    if not acceleration:
        return (pull - own) * wheelbase / (mass * height)
    spin = acceleration / r
    held = (pull - own) * lengthwise + (1.0 - kappa) * wheel_inertia * spin * view.inverse_arm
    return held * wheelbase / (mass * height * lengthwise + total_wheel_inertia * spin)


def full_anti_line(
    view: Any, *, height: float, wheelbase: float, mass: float, axle_mass: float, share: float
) -> tuple[float, float] | None:
    """Line of all instant centres that give 100 % as driven: (height at d = 0, slope), or None if upright.

    R: ``e (k m - m_a) = d m h / L - m_a z_a``. With massless axles and all traction here it runs from the
    contact point through the height of the centre of gravity above the other axle.
    """
    net = share * mass - axle_mass
    if abs(net) < 1e-9 * mass:
        return None
    return -axle_mass * view.mass_height / net, mass * height / (wheelbase * net)


def spring_load(
    view: Any, *, load: float, traction: float, axle_mass: float, gravity: float, grade: float
) -> float | None:
    """Vertical force that the springs carry at the wheel, exact in this pose (solid axle, nothing accelerates), N.

    Moments of the axle assembly about its own instant centre: tyre load, traction and weight against the shock.

    Parameters
    ----------
    view : SideView
    load, traction : float
        Tyre load and traction at the contact point, N.
    axle_mass, gravity, grade : float
        kg, m/s2, rad.
    """
    if view.contact_slope is None:
        return None
    weight = axle_mass * gravity
    lengthwise = traction * view.contact_slope - weight * sin(grade) * (
        view.contact_slope - view.mass_height * view.inverse_arm
    )
    return load - weight * cos(grade) - TOWARD[view.end] * lengthwise


def small_pitch(
    *, transfer: float, anti_squat: float, anti_lift: float, rear_rate: float, front_rate: float, wheelbase: float
) -> float:
    """Nose-up pitch on the slope from load transfer alone, small motion, rad.

    ``dN [(1 - A_r) / K_r + (1 - A_f) / K_f] / L``: Gillespie 1992, ch. 7; zero in rear drive at
    ``A_r = 1 + K_r / K_f``, Barton and Fieldhouse 2018, eq. 3.69.

    Parameters
    ----------
    transfer : float
        Load moved from the front to the rear axle, N.
    anti_squat, anti_lift : float
        As driven.
    rear_rate, front_rate : float
        Wheel rates (axle totals), N/m.
    wheelbase : float
        m.
    """
    return transfer * ((1.0 - anti_squat) / rear_rate + (1.0 - anti_lift) / front_rate) / wheelbase


__all__ = [
    "ENDS",
    "SideView",
    "anti_as_driven",
    "anti_textbook",
    "full_anti_line",
    "line_crossing",
    "side_view",
    "side_view_of",
    "small_pitch",
    "spring_load",
]
