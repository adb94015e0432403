"""Four wheels of a rigid vehicle on a plane slope, any heading: what a file without links and springs can say.

Weight W at (b, y, h) from the middle of the rear contacts, slope S, nose turned left of the line of steepest ascent
by the heading beta. Moments about the rear contacts and about the middle line::

    N_front L = W (b cos S - h sin S cos beta)
    sum N_j y_j = W (y cos S + h sin S sin beta)

Four loads have one equation less than unknowns. Here both axles take their part of the second moment by roll
stiffness alike tyres on a stiff frame: left less right of an axle goes as its track, until one of its wheels is off;
the other axle then takes the rest. (R. N. Jazar, *Vehicle Dynamics: Theory and Application*, Springer 2008, example 46, for
heading 0; t / (2 h) across the slope is the static stability factor of 49 CFR Part 575.) Shafts turn nothing here: their
couples are inside forces of one rigid body.
"""

from dataclasses import dataclass
from math import atan2, cos, degrees, pi, radians, sin
from typing import Any

from noseload.model.errors import MissingDataError
from noseload.model.parameters import ENDS, axle_of, drive_flags, rigid_centre_of_gravity
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.studies.space.results import WheelLimits, Wheels

RIGID_NOTE = (
    "rigid vehicle (no links and springs in this file): roll, squat and the torque of the shafts are left out; on its springs "
    "a vehicle lifts its first wheel earlier"
)


@dataclass(frozen=True)
class RigidWheels:
    """Loads and limits of a rigid vehicle on four wheels.

    Attributes
    ----------
    wheelbase, distance, left, height : float
        Wheelbase; centre of gravity ahead of the rear contacts, left of the middle, above the ground; m.
    weight : float
        N.
    tracks : (float, float)
        Rear and front, m.
    grips, driven : (float, float)
        Grip and whether driven (0 or 1), rear and front.
    """

    wheelbase: float
    distance: float
    left: float
    height: float
    weight: float
    tracks: tuple[float, float]
    grips: tuple[float, float]
    driven: tuple[float, float]

    def moments(self, slope: float, heading: float) -> tuple[float, float, float]:
        """Rear and front axle load (N), and the moment that left less right of both axles makes (N m); rad."""
        normal, pull = self.weight * cos(slope), self.weight * sin(slope)
        front = (self.distance * normal - self.height * pull * cos(heading)) / self.wheelbase
        return normal - front, front, self.left * normal + self.height * pull * sin(heading)

    def loads(self, slope: float, heading: float) -> tuple[float, float, float, float] | None:
        """Rear left, rear right, front left, front right, N; None where the vehicle tips. rad."""
        rear, front, moment = self.moments(slope, heading)
        if not abs(slope) < 0.5 * pi or min(rear, front) < 0.0:
            return None
        most = 0.5 * (rear * self.tracks[0] + front * self.tracks[1])
        if abs(moment) > most:
            return None
        squares = sum(track**2 for track in self.tracks)
        more = [2.0 * moment * track / squares for track in self.tracks]
        axles = (rear, front)
        for k in range(2):
            if abs(more[k]) > axles[k]:
                more[k] = axles[k] if moment > 0.0 else -axles[k]
                more[1 - k] = (moment - 0.5 * more[k] * self.tracks[k]) * 2.0 / self.tracks[1 - k]
        (rl, rr), (fl, fr) = ((0.5 * (n + d), 0.5 * (n - d)) for n, d in zip(axles, more, strict=True))
        return rl, rr, fl, fr

    def grip_needed(self, slope: float, loads: tuple[float, ...]) -> float | None:
        """Pull along the slope over what the driven wheels carry, each axle's grip as it is; None without a load."""
        held = sum(d * (loads[2 * k] + loads[2 * k + 1]) for k, d in enumerate(self.driven))
        return self.weight * abs(sin(slope)) / held if held > 0.0 else None

    def tip_over(self, heading: float) -> float | None:
        """Slope at which the uphill axle carries nothing, rad; None where neither axle ever does."""
        along = cos(heading)
        if abs(along) < 1e-12:
            return None
        arm = self.distance if along > 0.0 else self.wheelbase - self.distance
        return atan2(arm, self.height * abs(along))

    def over_sideways(self, heading: float) -> float | None:
        """Slope at which both wheels of the uphill side carry nothing, rad."""
        return self._first_root(self._sideways(heading))

    def first_lift(self, heading: float) -> tuple[float | None, str | None]:
        """Slope at which the first wheel carries nothing, rad, and its name ('front_right')."""
        found: list[tuple[float, str]] = []
        squares = sum(track**2 for track in self.tracks)
        for k, end in enumerate(ENDS):
            share, slope_part = self._axle_terms(k, heading)
            for side, sign in (("left", -1.0), ("right", 1.0)):
                turn = 2.0 * sign * self.tracks[k] / squares
                # N_wheel / W = (A cos S + B sin S) / 2, linear in tan S.
                level = share - turn * self.left
                rate = slope_part - turn * self.height * sin(heading)
                root = self._first_root([(level, rate)])
                if root is not None:
                    found.append((root, f"{end}_{side}"))
        if not found:
            return None, None
        earliest = min(root for root, _ in found)
        together = [name for root, name in found if abs(root - earliest) < 1e-12]
        return earliest, together[0] if len(together) == 1 else together[0].split("_")[0] + "_both"

    def _axle_terms(self, k: int, heading: float) -> Any:
        """Load of an axle over the weight as ``level cos S + rate sin S``."""
        level, rate = self.distance / self.wheelbase, -self.height * cos(heading) / self.wheelbase
        return (level, rate) if k == 1 else (1.0 - level, -rate)

    def _sideways(self, heading: float) -> Any:
        arms = [0.0, 0.0]
        for k in range(2):
            level, rate = self._axle_terms(k, heading)
            arms[0] += 0.5 * self.tracks[k] * level
            arms[1] += 0.5 * self.tracks[k] * rate
        across = self.height * sin(heading)
        return [(arms[0] - sign * self.left, arms[1] - sign * across) for sign in (1.0, -1.0)]

    @staticmethod
    def _first_root(lines: Any) -> Any:
        """Smallest slope above 0 at which one of ``level cos S + rate sin S`` reaches 0, rad."""
        roots = [atan2(level, -rate) for level, rate in lines if rate < 0.0 and level >= 0.0]
        return min(roots) if roots else None


def rigid_wheels(vehicle: Vehicle) -> RigidWheels:
    """The rigid vehicle of a file of any level.

    Raises
    ------
    MissingDataError
        No track width is given.
    """
    tracks = [axle_of(vehicle, end).track_width for end in ENDS]
    if any(track is None for track in tracks):
        raise MissingDataError(
            f"{vehicle.file or vehicle.name}: single wheels need track_width_mm (mm): ruler between the middles of the two tyre "
            "treads of an axle"
        )
    distance, height = rigid_centre_of_gravity(vehicle)
    moment = vehicle.body.mass * vehicle.body.side_offset
    moment += sum(axle_of(vehicle, end).mass * axle_of(vehicle, end).side_offset for end in ENDS)
    flags = drive_flags(vehicle.drive)
    return RigidWheels(
        vehicle.wheelbase,
        distance,
        moment / vehicle.mass,
        height,
        vehicle.mass * STANDARD_GRAVITY,
        (float(tracks[0] or 0.0), float(tracks[1] or 0.0)),
        (vehicle.rear.tyre.grip_coefficient, vehicle.front.tyre.grip_coefficient),
        (flags["rear_driven"], flags["front_driven"]),
    )


class RigidClimb4:
    """Poses of the rigid vehicle over grade at one heading: what `noseload.studies.space` gives of a vehicle on springs."""

    def __init__(self, vehicle: Vehicle, *, heading_deg: float = 0.0) -> None:
        self.vehicle, self.heading_deg = vehicle, float(heading_deg)
        self.wheels = rigid_wheels(vehicle)

    def row(self, grade_deg: float) -> Wheels:
        """Four loads at one grade; those of one axle share its traction by load."""
        slope, heading = radians(grade_deg), radians(self.heading_deg)
        loads = self.wheels.loads(slope, heading)
        head: dict[str, Any] = {
            "setup": self.vehicle.setup,
            "grade_deg": float(grade_deg),
            "heading_deg": self.heading_deg,
        }
        if loads is None:
            return Wheels(**head, status="beyond_tip_over", message=RIGID_NOTE)
        pull = self.wheels.weight * sin(slope)
        held = [
            mu * on * (loads[2 * k] + loads[2 * k + 1])
            for k, (mu, on) in enumerate(zip(self.wheels.grips, self.wheels.driven, strict=True))
        ]
        return Wheels(
            **head,
            status="ok" if min(loads) > 0.0 else "wheel_up",
            message=RIGID_NOTE,
            front_share=held[1] / sum(held) if sum(held) else None,
            rear_left_load_n=loads[0],
            rear_right_load_n=loads[1],
            front_left_load_n=loads[2],
            front_right_load_n=loads[3],
            chassis_roll_deg=0.0,
            nose_up_pitch_deg=0.0,
            traction_n=pull * cos(heading),
            grip_needed=self.wheels.grip_needed(slope, loads),
            twist_n=0.5 * (loads[2] - loads[3]),
        )

    def pose(self, row: Wheels) -> None:
        """Nothing: the file has no places of links and shocks."""

    @property
    def ends(self) -> WheelLimits:
        """As of a vehicle on springs."""
        return self.limits

    @property
    def first_lift(self) -> tuple[float | None, str | None]:
        """As of a vehicle on springs."""
        return self.limits.first_wheel_lift_grade_deg, self.limits.first_wheel

    @property
    def first_lift_deg(self) -> float | None:
        """As of a vehicle on springs."""
        return self.first_lift[0]

    @property
    def limits(self) -> WheelLimits:
        """First lift, tip-over and tip sideways; what comes after the vehicle went over is left out."""
        heading = radians(self.heading_deg)
        lift, wheel = self.wheels.first_lift(heading)
        ends = {
            name: degrees(angle)
            for name, angle in (
                ("tip_over", self.wheels.tip_over(heading)),
                ("over_sideways", self.wheels.over_sideways(heading)),
            )
            if angle is not None
        }
        over = min(ends, key=lambda name: ends[name], default=None)
        return WheelLimits(
            first_wheel_lift_grade_deg=None if lift is None else degrees(lift),
            first_wheel=wheel,
            tip_over_grade_deg=ends.get("tip_over") if over == "tip_over" else None,
            over_sideways_grade_deg=ends.get("over_sideways") if over == "over_sideways" else None,
            grip_grade_deg=None,
            torque_grade_deg=None,
            fold_grade_deg=None,
            folds=0,
            steepest_deg=89.0 if over is None else ends[over],
            first=over if lift is None else "first_wheel_lift",
        )
