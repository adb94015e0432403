"""An axle moved through its travel on a chassis held still: its links are a four-bar, solved in closed form.

Chassis frame: x forward, z up, origin at the chassis' centre of gravity; angles theta as everywhere
(positive = nose down). The angle of the lower link is the free coordinate.

Position of a closed four-bar as the meeting of two circles: R. L. Norton, *Design of Machinery*, ch. 4.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Any

from .link_geometry import SideView, side_view_of

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.generated.vehicle_numbers import VehicleNumbers


def close_dyad(
    p: tuple[float, float], q: tuple[float, float], to_p: float, to_q: float, side: float
) -> tuple[float, float] | None:
    """The point at distance `to_p` from p and `to_q` from q, on one side of the line from p to q.

    Parameters
    ----------
    p, q : (x, z)
    to_p, to_q : float
        Distances, m.
    side : float
        Positive: to the left of the way from p to q (z up, x to the right).

    Returns
    -------
    (x, z) or None
        None where the circles do not meet: the loop cannot close.
    """
    dx, dz = q[0] - p[0], q[1] - p[1]
    span = hypot(dx, dz)
    if span == 0.0:
        return None
    along = (to_p**2 - to_q**2 + span**2) / (2.0 * span)
    square = to_p**2 - along**2
    if square < 0.0:
        return None
    across = sqrt(square) if side > 0.0 else -sqrt(square)
    ux, uz = dx / span, dz / span
    return p[0] + along * ux - across * uz, p[1] + along * uz + across * ux


@dataclass(frozen=True)
class AxlePlace:
    """Place of an axle against the chassis; m and rad in the chassis frame.

    Attributes
    ----------
    turn : float
        theta of the housing less that of the chassis, positive = nose down.
    lower, upper, wheel, shock : (x, z)
        Axle ends of the links and the shock, and the wheel centre.
    shock_length : float
    """

    turn: float
    lower: tuple
    upper: tuple
    wheel: tuple
    shock: tuple
    shock_length: float


class AxleLinkage:
    """One axle's links, shock and wheel, as a mechanism on a chassis held still.

    Parameters
    ----------
    values : dict
        Kernel parameters by name.
    end : {'rear', 'front'}
    coordinates : sequence of float, length 9
        A solved pose: it gives the branch and the angle of the lower link there (`angle`).
    """

    def __init__(self, values: VehicleNumbers, end: str, coordinates: np.ndarray) -> None:
        self._numbers = values.axle(end)
        self.end = end
        self.lower_pivot, self.upper_pivot, self.shock_pivot = (
            self._local(part, "chassis") for part in ("lower_link", "upper_link", "shock")
        )
        self.lower_length, self.upper_length = self._numbers.lower_link_length, self._numbers.upper_link_length
        self._lower_end, self._upper_end = self._local("lower_link", "axle"), self._local("upper_link", "axle")
        self.coupler = _distance(self._lower_end, self._upper_end)
        k = 3 if end == "rear" else 6
        turn = float(coordinates[k + 2] - coordinates[2])
        hub = _turned(
            -float(coordinates[2]), (float(coordinates[k] - coordinates[0]), float(coordinates[k + 1] - coordinates[1]))
        )
        lower, upper = (_plus(hub, _turned(turn, p)) for p in (self._lower_end, self._upper_end))
        self._side = _left_of(lower, self.upper_pivot, upper)
        self.angle = atan2(lower[1] - self.lower_pivot[1], lower[0] - self.lower_pivot[0])

    def _local(self, part: str, side: str) -> tuple[float, float]:
        return self._numbers.point(f"{part}_{side}")

    def place(self, angle: float) -> Any:
        """Place of the axle at an angle of the lower link (rad above x), or None where the loop cannot close.

        Returns
        -------
        AxlePlace or None
        """
        px, pz = self.lower_pivot
        lower = px + self.lower_length * cos(angle), pz + self.lower_length * sin(angle)
        upper = close_dyad(lower, self.upper_pivot, self.coupler, self.upper_length, self._side)
        if upper is None:
            return None
        was = (self._upper_end[0] - self._lower_end[0], self._upper_end[1] - self._lower_end[1])
        turn = _wrapped(atan2(was[1], was[0]) - atan2(upper[1] - lower[1], upper[0] - lower[0]))

        def point(name: str, side: str = "") -> tuple[float, float]:
            local = self._numbers.point(f"{name}{side}")
            return _plus(lower, _turned(turn, (local[0] - self._lower_end[0], local[1] - self._lower_end[1])))

        shock = point("shock", "_axle")
        length = hypot(_distance(shock, self.shock_pivot), self._numbers.shock_across)
        return AxlePlace(turn, lower, upper, point("wheel_centre"), shock, length)

    def view(self, place: AxlePlace, attitude: float, contact_below: float) -> SideView:
        """Link geometry with the chassis at an attitude and the ground below this wheel.

        Parameters
        ----------
        place : AxlePlace
        attitude : float
            theta of the chassis against the ground, rad.
        contact_below : float
            Height of the wheel centre above the ground, m.

        Returns
        -------
        SideView
            With the chassis' centre of gravity as origin of x and z, axes along and normal to the ground.
        """
        links = [_turned(attitude, p) for p in (place.lower, self.lower_pivot, place.upper, self.upper_pivot)]
        wheel = _turned(attitude, place.wheel)
        centre = self._numbers.wheel_centre_x, self._numbers.wheel_centre_z
        mass_height = contact_below - _turned(attitude + place.turn, centre)[1]
        contact = (wheel[0], wheel[1] - contact_below)
        return side_view_of(self.end, links, contact, contact_below, mass_height)

    def motion_ratio(self, place: AxlePlace, view: SideView, attitude: float) -> float | None:
        """Shock shortening for each unit of wheel rise against the chassis, or None if the centre is above the wheel.

        Virtual work about the instant centre; the wheel rate is the spring rate times its square (less what the
        changing geometry adds).
        """
        inverse_arm, wheel_slope = view.inverse_arm, view.wheel_slope
        if inverse_arm is None or wheel_slope is None:
            return None
        shock, pivot, wheel = (_turned(attitude, p) for p in (place.shock, self.shock_pivot, place.wheel))
        ux, uz = (pivot[0] - shock[0]) / place.shock_length, (pivot[1] - shock[1]) / place.shock_length
        # For unit rise the axle's points move by (outward slope, 1) plus the housing's turn about the wheel.
        toward = 1.0 if self.end == "rear" else -1.0
        rate = toward * inverse_arm
        dx, dz = shock[0] - wheel[0], shock[1] - wheel[1]
        move_x = -toward * wheel_slope + rate * dz
        move_z = 1.0 - rate * dx
        return move_x * ux + move_z * uz


def _wrapped(angle: float) -> float:
    return (angle + pi) % (2.0 * pi) - pi


def _turned(theta: float, p: tuple[float, float]) -> tuple[float, float]:
    return p[0] * cos(theta) + p[1] * sin(theta), -p[0] * sin(theta) + p[1] * cos(theta)


def _plus(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    return a[0] + b[0], a[1] + b[1]


def _distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


def _left_of(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
    """Positive where r lies to the left of the way from p to q."""
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
