"""The rigid vehicle: loads and limits that need no links (a level A file).

The weight acts at the measured centre of gravity; squat and pitch are left out. Formulas: R. N. Jazar,
*Vehicle Dynamics: Theory and Application*, Springer 2008, eq. 2.44-2.45 (axle loads on a grade).
"""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, cos, degrees, inf, radians, sin
from typing import TYPE_CHECKING

from noseload.model.crawl.load_budget import budget_of_moments
from noseload.model.crawl.rolling import contact_offset, free_drag
from noseload.model.parameters import ENDS, axle_of, drive_flags, rigid_centre_of_gravity, wheel_height
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.roots import bracketed_root

from .results import Creep, Limits

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


_ROUNDS = 100
NOTE = "rigid loads: this file has no links (level A), so squat and pitch are left out"


class RigidClimb:
    """Same questions as `Climb`, answered for a block on two wheel pairs."""

    rigid = True

    def __init__(self, vehicle: Vehicle) -> None:
        self.vehicle = vehicle
        self.weight = vehicle.mass * STANDARD_GRAVITY
        self.distance, self.height = rigid_centre_of_gravity(vehicle)
        self.flags = drive_flags(vehicle.drive)
        axles = [axle_of(vehicle, end) for end in ENDS]
        self.tyres, self.radii = [axle.tyre for axle in axles], [wheel_height(axle) for axle in axles]

    def _contact(self, grade: float) -> tuple[tuple[float, float], list[float], list[float]]:
        """Loads, tractions (N) and moments of the loads about the points below the wheels (N m), rear and front each.

        ``N_front L = W (b cos g - h sin g) - e_r N_r - e_f N_f`` with e of `noseload.model.crawl.rolling`: e follows from
        the loads by the traction, so that both are found in turn.
        """
        plain = self.weight * (self.distance * cos(grade) - self.height * sin(grade))
        front, couples = plain / self.vehicle.wheelbase, [0.0, 0.0]
        for _ in range(_ROUNDS):
            loads = (self.weight * cos(grade) - front, front)
            tractions = self._tractions(grade, loads)
            couples = [
                load * contact_offset(tyre, pull, height)
                for load, tyre, pull, height in zip(loads, self.tyres, tractions, self.radii, strict=True)
            ]
            last, front = front, (plain - sum(couples)) / self.vehicle.wheelbase
            if abs(front - last) <= 1e-15 * self.weight:
                break
        return loads, tractions, couples

    def loads(self, grade: float) -> tuple:
        """Tyre loads (rear, front), N."""
        return self._contact(grade)[0]

    def _grip_use(self, grade: float) -> float:
        loads, tractions, _ = self._contact(grade)
        held = pull = 0.0
        for end, tyre, load, traction in zip(ENDS, self.tyres, loads, tractions, strict=True):
            held += self.flags[f"{end}_driven"] * tyre.grip_coefficient * load
            pull += self.flags[f"{end}_driven"] * traction
        return abs(pull) / held if held > 0.0 else (inf if pull else 0.0)

    def _tractions(self, grade: float, loads: tuple[float, float]) -> list[float]:
        """Rear and front, N: free wheels are dragged, the driven ones share the rest by grip."""
        drags, shares = [0.0, 0.0], [0.0, 0.0]
        for k, (end, tyre, load, radius) in enumerate(zip(ENDS, self.tyres, loads, self.radii, strict=True)):
            if self.flags[f"{end}_driven"]:
                shares[k] = tyre.grip_coefficient * load if self.flags["geared"] else 1.0
            else:
                drags[k] = free_drag(tyre, load, radius)
        pull = self.weight * sin(grade) - sum(drags)
        return [pull * share / sum(shares) + drag for share, drag in zip(shares, drags, strict=True)]

    def _torque(self, grade: float) -> float:
        _, tractions, couples = self._contact(grade)
        rear, front = (
            self.flags[f"{end}_driven"] * (pull * radius + couple)
            for end, pull, radius, couple in zip(ENDS, tractions, self.radii, couples, strict=True)
        )
        return rear + (self.flags["spin_ratio"] if self.flags["geared"] else 1.0) * front

    def _tip(self, end: str) -> float:
        """Grade at which an axle carries nothing, rad; downhill for the rear one.

        The other axle, k, carries ``W cos g`` an offset e_k ahead of its wheels, so that ``h tan g = b - e_rear`` uphill
        and ``b - L - e_front`` downhill.
        """
        k = 1 - ENDS.index(end)
        tyre, radius, grade, offset = self.tyres[k], self.radii[k], 0.0, 0.0
        for _ in range(_ROUNDS):
            last, grade = grade, atan2(abs(self.distance - k * self.vehicle.wheelbase - offset), self.height)
            grade = grade if k == 0 else -grade
            pull, load = self.weight * sin(grade), self.weight * cos(grade)
            driven = self.flags[f"{ENDS[k]}_driven"]
            offset = contact_offset(tyre, pull if driven else free_drag(tyre, load, radius), radius)
            if abs(grade - last) <= 1e-15:
                break
        return grade

    @property
    def limits(self) -> Limits:
        """All limits that a rigid vehicle has."""
        tip, down = self._tip("front"), self._tip("rear")
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

    def _reached(self, excess: Callable, tip: float) -> float | None:
        end = tip * (1.0 - 1e-12)
        return bracketed_root(excess, 0.0, end, excess(0.0), excess(end)) if excess(end) > 0.0 else None

    def kinks(self, end: str = "front") -> list:
        """None: a rigid vehicle has neither springs nor stops."""
        return []

    def end_message(self, end: str = "front") -> str:
        """Nothing: a rigid vehicle always has a limit."""
        return ""

    def row(self, grade_deg: float) -> Creep:
        """Rigid loads at one grade, as a `Creep` without attitude and links."""
        grade = radians(grade_deg)
        (rear, front), tractions, couples = self._contact(grade)
        if min(rear, front) < -1e-9 * self.weight:
            return Creep(self.vehicle.setup, float(grade_deg), "beyond_tip_over", NOTE)
        use, torque = self._grip_use(grade), self._torque(grade)
        status = "beyond_grip" if use > 1.0 else "ok"
        if status == "ok" and abs(torque) > self.vehicle.drive.stall_torque:
            status = "beyond_torque"
        driven = [self.flags[f"{end}_driven"] for end in ENDS]
        held = sum(on * load for on, load in zip(driven, (rear, front), strict=True))
        pull = sum(on * traction for on, traction in zip(driven, tractions, strict=True))
        standing = self.distance, self.height, self.vehicle.wheelbase
        normal, along = self.weight * cos(grade), self.weight * sin(grade)
        of_weight = normal * self.distance - along * self.height
        moments = {"contact_offset_n": -sum(couples)}
        budget = budget_of_moments(self.weight, standing, normal, along, self.vehicle.wheelbase, of_weight, moments)
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
            grip_needed=abs(pull) / held if held > 0.0 else None,
            wheel_torque_n_mm=1e3 * torque,
            budget=budget,
        )
