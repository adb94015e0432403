"""The rigid vehicle: loads and limits that need no links (a level A file).

The weight acts at the measured centre of gravity; squat and pitch are left out. Formulas: R. N. Jazar,
*Vehicle Dynamics: Theory and Application*, Springer 2008, eq. 2.44-2.45 (axle loads on a grade).
"""

from math import atan2, cos, degrees, inf, radians, sin

from noseload.model.parameters import ENDS, axle_of, drive_flags, rigid_centre_of_gravity, wheel_height
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.roots import bracketed_root

from .results import Creep, Limits

NOTE = "rigid loads: this file has no links (level A), so squat and pitch are left out"


class RigidClimb:
    """Same questions as `Climb`, answered for a block on two wheel pairs."""

    rigid = True

    def __init__(self, vehicle):
        self.vehicle = vehicle
        self.weight = vehicle.mass * STANDARD_GRAVITY
        self.distance, self.height = rigid_centre_of_gravity(vehicle)
        self.flags = drive_flags(vehicle.drive)

    def loads(self, grade):
        """Tyre loads (rear, front), N."""
        front = self.weight * (self.distance * cos(grade) - self.height * sin(grade)) / self.vehicle.wheelbase
        return self.weight * cos(grade) - front, front

    def _grip_use(self, grade):
        held = sum(
            self.flags[f"{end}_driven"] * axle_of(self.vehicle, end).tyre.grip_coefficient * load
            for end, load in zip(ENDS, self.loads(grade), strict=True)
        )
        pull = abs(self.weight * sin(grade))
        return pull / held if held > 0.0 else (inf if pull > 0.0 else 0.0)

    def _tractions(self, grade):
        pull, flags = self.weight * sin(grade), self.flags
        weights = [
            axle_of(self.vehicle, end).tyre.grip_coefficient * load
            for end, load in zip(ENDS, self.loads(grade), strict=True)
        ]
        front_share = flags["geared"] * weights[1] / sum(weights) + flags["front_alone"]
        return pull * (1.0 - front_share), pull * front_share

    def _torque(self, grade):
        ratio = self.flags["spin_ratio"] if self.flags["geared"] else 1.0
        rear, front = self._tractions(grade)
        return rear * wheel_height(self.vehicle.rear) + ratio * front * wheel_height(self.vehicle.front)

    @property
    def limits(self):
        """All limits that a rigid vehicle has."""
        tip = atan2(self.distance, self.height)
        down = -atan2(self.vehicle.wheelbase - self.distance, self.height)
        stall = self.vehicle.drive.stall_torque
        grip = self._reached(lambda g: min(self._grip_use(g), 1e6) - 1.0, tip)
        torque = self._reached(lambda g: self._torque(g) - stall, tip)
        met = {name: g for name, g in (("tip_over", tip), ("grip", grip), ("torque", torque)) if g is not None}
        return Limits(
            degrees(tip),
            grip and degrees(grip),
            torque and degrees(torque),
            None,
            None,
            0,
            degrees(tip),
            degrees(down),
            None,
            min(met, key=lambda name: met[name]),
        )

    def _reached(self, excess, tip):
        end = tip * (1.0 - 1e-12)
        return bracketed_root(excess, 0.0, end, excess(0.0), excess(end)) if excess(end) > 0.0 else None

    def end_message(self, end="front"):
        """Nothing: a rigid vehicle always has a limit."""
        return ""

    def row(self, grade_deg):
        """Rigid loads at one grade, as a `Creep` without attitude and links."""
        grade = radians(grade_deg)
        rear, front = self.loads(grade)
        if min(rear, front) < -1e-9 * self.weight:
            return Creep(self.vehicle.setup, float(grade_deg), "beyond_tip_over", NOTE)
        use, torque = self._grip_use(grade), self._torque(grade)
        status = "beyond_grip" if use > 1.0 else "ok"
        if status == "ok" and abs(torque) > self.vehicle.drive.stall_torque:
            status = "beyond_torque"
        held = sum(self.flags[f"{end}_driven"] * load for end, load in zip(ENDS, (rear, front), strict=True))
        tractions = self._tractions(grade)
        standing = self.loads(0.0)[1]
        budget = dict.fromkeys(Creep("", 0.0, "").budget, 0.0) | {"standing_n": standing, "grade_n": front - standing}
        return Creep(
            self.vehicle.setup,
            float(grade_deg),
            status,
            NOTE,
            rear_load_n=rear,
            front_load_n=front,
            rear_traction_n=tractions[0],
            front_traction_n=tractions[1],
            nose_up_pitch_deg=0.0,
            grip_needed=abs(self.weight * sin(grade)) / held if held > 0.0 else None,
            wheel_torque_n_mm=1e3 * torque,
            budget=budget,
        )
