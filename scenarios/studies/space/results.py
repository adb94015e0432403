"""What a climb in space comes to: one pose of it, and the grades at which it ends."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from noseload.model.crawl import budget_parts
from noseload.model.space.budget import TWIST_KEYS
from noseload.model.space.parameters import WHEELS
from noseload.model.units import grams_of_force
from noseload.studies.result import field_values

LIMITS = ("first_wheel_lift", "tip_over", "over_sideways", "grip", "torque", "fold")
"""Ways in which a climb in space ends."""
STATUS_WORDS = {
    "ok": "four wheels carry",
    "wheel_up": "a wheel is off the ground",
    "after_snap": "past a snap: the vehicle has fallen over onto another pose",
    "beyond_grip": "more grip is needed than a wheel has",
    "beyond_torque": "more torque is needed than the motor has",
    "beyond_tip_over": "no wheel of an axle carries",
    "over_sideways": "no wheel of one side carries",
    "beyond_fold": "there is no pose at this grade: the vehicle snaps over",
    "no_solution": "the equations could not be solved",
}


@dataclass(frozen=True)
class WheelLimits:
    """Grades (deg) at which a climb in space ends, None where not reached.

    Attributes
    ----------
    first_wheel : str or None
        The wheel that lifts first: of `WHEELS`; 'front_both' where both of an axle lift at once.
    tip_over_grade_deg : float or None
        No wheel of the front axle carries (downhill: of the rear one).
    over_sideways_grade_deg : float or None
        No wheel of one side carries.
    fold_grade_deg : float or None
        First snap: the curve of poses turns back here.
    folds : int
    steepest_deg : float
        Steepest grade of the curve that was followed.
    first : str or None
        Of `LIMITS`.
    """

    first_wheel_lift_grade_deg: float | None
    first_wheel: str | None
    tip_over_grade_deg: float | None
    over_sideways_grade_deg: float | None
    grip_grade_deg: float | None
    torque_grade_deg: float | None
    fold_grade_deg: float | None
    folds: int
    steepest_deg: float
    first: str | None

    def to_dict(self) -> dict[str, Any]:
        """Keys as in the JSON document."""
        return field_values(self)


@dataclass(frozen=True)
class Wheels:
    """Four wheels in a steady crawl at one grade and heading; numbers are None where there is no such pose.

    Attributes
    ----------
    mismatch_percent : float or None
        Speed of the front wheels over that of the rear ones that was asked for; None: all driven wheels slip alike.
    front_share : float or None
        Front axle's share of the traction: a result.
    rear_steer_deg, front_steer_deg : float or None
        Heading of an axle against the chassis, nose left positive.
    rear_axle_roll_deg, front_axle_roll_deg : float or None
        Roll of an axle against the chassis, left side up positive.
    grip_needed : float or None
        Largest horizontal force over load of the wheels.
    twist_n : float or None
        (front left - front right) / 2; `twist_budget` takes it apart, and `budget` the front axle load.
    stable : bool or None
        Whether a small push is undone.
    status : str
        Of `STATUS_WORDS`.
    """

    setup: str
    grade_deg: float
    heading_deg: float
    status: str
    message: str = ""
    mismatch_percent: float | None = None
    shafts: bool = True
    front_share: float | None = None
    rear_left_load_n: float | None = None
    rear_right_load_n: float | None = None
    front_left_load_n: float | None = None
    front_right_load_n: float | None = None
    chassis_roll_deg: float | None = None
    nose_up_pitch_deg: float | None = None
    rear_axle_roll_deg: float | None = None
    front_axle_roll_deg: float | None = None
    rear_steer_deg: float | None = None
    front_steer_deg: float | None = None
    rear_wheel_torque_n_mm: float | None = None
    front_wheel_torque_n_mm: float | None = None
    rear_shaft_torque_n_mm: float | None = None
    front_shaft_torque_n_mm: float | None = None
    traction_n: float | None = None
    rear_side_force_n: float | None = None
    front_side_force_n: float | None = None
    grip_needed: float | None = None
    link_force_n: dict = field(default_factory=dict)
    shock_travel_mm: dict = field(default_factory=dict)
    twist_n: float | None = None
    twist_budget: dict = field(default_factory=lambda: dict.fromkeys(TWIST_KEYS))
    budget: dict = field(default_factory=lambda: dict.fromkeys(budget_parts.steady_keys()))
    stable: bool | None = None
    state: np.ndarray | None = field(default=None, repr=False, compare=False)
    """Unknowns of `noseload.model.space.equilibrium`, SI."""

    @property
    def loads_n(self) -> tuple:
        """Loads of the four wheels, N, in the order of `WHEELS`."""
        return tuple(getattr(self, f"{wheel}_load_n") for wheel in WHEELS)

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers under the keys of the JSON document."""
        values = field_values(self, "state", "message", "status") | {"status": self.status}
        return values | ({"message": self.message} if self.message else {})

    def __repr__(self) -> str:
        if self.front_left_load_n is None:
            return f"Wheels({self.setup}, {self.grade_deg:g} deg: {self.status})"
        grams = ", ".join(
            f"{w.replace('_', ' ')} {grams_of_force(n):.0f}" for w, n in zip(WHEELS, self.loads_n, strict=True)
        )
        return f"Wheels({self.setup}, {self.grade_deg:g} deg: {grams} g, roll {self.chassis_roll_deg:.2f} deg, {self.status})"


@dataclass(frozen=True)
class WheelsSweep:
    """Four wheels over grade, with the grades at which the climb ends."""

    setup: str
    heading_deg: float
    rows: tuple
    limits: WheelLimits
    status: str = "ok"
    message: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers under the keys of the JSON document."""
        values = {
            "setup": self.setup,
            "heading_deg": self.heading_deg,
            "rows": [row.to_dict() for row in self.rows],
            "limits": self.limits.to_dict(),
            "status": self.status,
        }
        return values | ({"message": self.message} if self.message else {})

    def __repr__(self) -> str:
        limits = self.limits
        lift = limits.first_wheel_lift_grade_deg
        words = "no wheel lifts" if lift is None else f"{limits.first_wheel} lifts at {lift:.2f} deg"
        return f"WheelsSweep({self.setup}: {len(self.rows)} grades, {words}, first limit {limits.first})"
