"""Loads, pitch and tip-over of many cases with drawn or chosen sizes of what the model leaves out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.neglected.shafts import shafts_of
from noseload.model.neglected.shifts import LeftOut, Neglected
from noseload.model.parameters import ENDS, drive_flags, rigid_centre_of_gravity, wheel_height
from noseload.model.units import STANDARD_GRAVITY
from noseload.studies.climb.neglected import creep_with, tip_over_with
from noseload.studies.climb.split import rolling_shares

from .friction import shaft_friction, shock_friction

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noseload.model.batch.equilibrium import VehicleBatch
    from noseload.model.vehicle import Vehicle


OUTCOMES = ("front_load_n", "tip_over_grade_deg", "nose_up_pitch_deg")
QUICK: dict[str, Any] = {"rounds": 25, "settled": 2e-7}
"""Of draws: what still moves is below 1e-3 N."""
RIGID_ROUNDS = 40


@dataclass(frozen=True)
class Doubted:
    """Chosen sizes by the names of the table's parts; floats or arrays (cases,), SI.

    What is not among them is as the model has it.
    """

    sizes: dict[str, Any]

    def get(self, name: str) -> Any:
        """A size; 0 where it was not chosen."""
        return self.sizes.get(name, 0.0)

    @property
    def contact_give(self) -> float | np.ndarray:
        """Forward move of the load per traction, m/N."""
        share = self.get("contact_share")
        return share / self.sizes["lengthwise_stiffness"] if np.any(share) else 0.0

    def left_out(self, vehicle: Vehicle) -> LeftOut:
        """As `LeftOut` of a vehicle with links."""
        fields: dict[str, Any] = {"contact_give": self.contact_give}
        for name in ("rolling_resistance", "speed_mismatch", "slip_scale", "slip_softness", "link_give", "link_play"):
            fields[name] = self.get(name)
        for end in ENDS:
            fields[f"{end}_spring_progression"] = self.get("spring_progression")
            fields[f"{end}_tyre_progression"] = self.get("tyre_progression")
            fields[f"{end}_shock_friction"] = self.get(f"{end}_shock_state") * shock_friction(vehicle, end)
            most = shaft_friction(vehicle, end)
            # A drawn size stands for what the file does not give.
            if most and "shaft_friction" in self.sizes:
                most = self.sizes["shaft_friction"]
            fields[f"{end}_shaft_friction"] = self.get(f"{end}_shaft_state") * most
        return LeftOut(**fields)

    def tilt(self, vehicle: Vehicle) -> np.ndarray:
        """How much steeper the board is than read, rad: its angle, and a ledge under an axle."""
        return self.get("grade_shift") + self.get("ledge") / vehicle.wheelbase


@dataclass(frozen=True)
class DoubtedCases:
    """Many cases with what is left out of them put in, ready to be solved.

    Attributes
    ----------
    neglected : Neglected
    surge, tilt : ndarray, shape (cases,)
        m/s2 along the slope, and how much steeper the board is than read, rad.
    near, near_tip : ndarray, shape (13, cases) and (14, cases), or None
        States to start from.
    """

    neglected: Neglected
    surge: np.ndarray
    tilt: np.ndarray
    near: np.ndarray | None
    near_tip: np.ndarray | None

    @classmethod
    def of(
        cls,
        vehicle: Vehicle,
        batch: VehicleBatch,
        doubted: Doubted,
        *,
        near: np.ndarray | None = None,
        near_tip: np.ndarray | None = None,
        divided: bool = False,
    ) -> DoubtedCases:
        """From a vehicle; arguments as of `doubted_outcomes`."""
        cases = batch.cases
        rolling = rolling_shares(vehicle) if divided else None
        neglected = Neglected.of(batch, shafts_of(vehicle), doubted.left_out(vehicle), rolling)
        surge, tilt = (np.broadcast_to(x, (cases,)) for x in (doubted.get("surge"), doubted.tilt(vehicle)))
        return cls(neglected, surge, tilt, _columns(near, cases), _columns(near_tip, cases))

    @classmethod
    def joined(cls, parts: tuple) -> DoubtedCases:
        """Several side by side, alike in whether they have states to start from."""
        first = parts[0]
        return cls(
            Neglected.joined([part.neglected for part in parts]),
            np.concatenate([part.surge for part in parts]),
            np.concatenate([part.tilt for part in parts]),
            None if first.near is None else np.hstack([part.near for part in parts]),
            None if first.near_tip is None else np.hstack([part.near_tip for part in parts]),
        )

    @property
    def cases(self) -> int:
        """How many."""
        return self.neglected.batch.cases

    def outcomes(self, grade: float, of: Sequence[str] = OUTCOMES, *, quick: bool = True) -> dict[str, np.ndarray]:
        """See `doubted_outcomes`; only those asked for are solved."""
        effort: dict[str, Any] = QUICK if quick else {}
        found = {}
        if "tip_over_grade_deg" in of:
            apparent = tip_over_with(self.neglected, near=self.near_tip, **effort)
            tips = apparent - np.arcsin(self.surge * np.cos(apparent) / STANDARD_GRAVITY) - self.tilt
            found["tip_over_grade_deg"] = np.degrees(tips)
        if set(of) != set(found):
            loads, states = self.loads(grade, effort)
            pitches = np.where(np.isfinite(loads), -np.degrees(states[1]), np.nan)
            found |= {"front_load_n": loads, "nose_up_pitch_deg": pitches}
        return {name: found[name] for name in of}

    def loads(self, grade: float | np.ndarray, effort: dict) -> tuple[np.ndarray, np.ndarray]:
        """Front load, N, shape (cases,), and states (13, cases)."""
        neglected, steeper = self.neglected, grade + self.tilt
        along, across = STANDARD_GRAVITY * np.sin(steeper) + self.surge, STANDARD_GRAVITY * np.cos(steeper)
        if np.any(self.surge):
            # A steady pull of inertia is a heavier gravity that leans back: the vehicle at rest in it.
            heavier = neglected.batch.with_values({"gravity": (along**2 + across**2) ** 0.5})
            neglected = replace(neglected, batch=heavier)
        loads, _, states = creep_with(neglected, np.arctan2(along, across), near=self.near, **effort)
        return loads, states


def _columns(state: np.ndarray | None, cases: int) -> np.ndarray | None:
    if state is None:
        return None
    return np.broadcast_to(state if state.ndim == 2 else state[:, None], (len(state), cases))


def doubted_outcomes(
    vehicle: Vehicle,
    batch: VehicleBatch,
    grade: float,
    doubted: Doubted,
    *,
    near: np.ndarray | None = None,
    near_tip: np.ndarray | None = None,
    divided: bool = False,
    quick: bool = True,
) -> dict[str, np.ndarray]:
    """Front load, tip-over and pitch of many cases.

    Parameters
    ----------
    vehicle : Vehicle
        With links; its numbers may be arrays.
    batch : VehicleBatch
        Standing, free lengths filled in.
    grade : float
        As read, rad.
    doubted : Doubted
    near, near_tip : ndarray, optional
        States of creep to start from, (13,) and (14,).
    divided : bool
        Whether geared axles share the traction by the vehicle's own law of slip (`Climb.overdriven`).
    quick : bool
        To 1e-3 N, as draws need it.

    Returns
    -------
    dict of str to ndarray, shape (cases,)
        'front_load_n', 'tip_over_grade_deg', 'nose_up_pitch_deg'; not a number where there is none.
    """
    cases = DoubtedCases.of(vehicle, batch, doubted, near=near, near_tip=near_tip, divided=divided)
    return cases.outcomes(grade, quick=quick)


def doubted_loads(
    vehicle: Vehicle,
    batch: VehicleBatch,
    grade: float,
    doubted: Doubted,
    *,
    near: np.ndarray | None = None,
    divided: bool = False,
) -> tuple[np.ndarray, np.ndarray]:
    """Front load of many cases, N, shape (cases,), and their states (13, cases): see `doubted_outcomes`."""
    return DoubtedCases.of(vehicle, batch, doubted, near=near, divided=divided).loads(grade, QUICK)


def doubted_rigid(vehicle: Vehicle, grade: float, doubted: Doubted, cases: int) -> dict[str, np.ndarray]:
    """The same of a rigid vehicle (level A): the load ahead of the wheels, tilt and surge.

    Moments about the rear contact: ``L N_f = W (b cos - h sin) - M h a - e_r N_r - e_f N_f``.
    """
    distance, height = rigid_centre_of_gravity(vehicle)
    weight = vehicle.mass * STANDARD_GRAVITY
    flags, give, rolling = drive_flags(vehicle.drive), doubted.contact_give, doubted.get("rolling_resistance")
    surge, tilt = doubted.get("surge") / STANDARD_GRAVITY, doubted.tilt(vehicle)

    def front(angle: np.ndarray) -> np.ndarray:
        pull, across = np.sin(angle) + surge, np.cos(angle)
        rigid = weight * (distance * across - height * pull) / vehicle.wheelbase
        load = rigid
        for _ in range(RIGID_ROUNDS):
            rear = weight * across - load
            grips = [axle.tyre.grip_coefficient * n for axle, n in ((vehicle.rear, rear), (vehicle.front, load))]
            share = flags["geared"] * grips[1] / (grips[0] + grips[1]) + flags["front_alone"]
            ahead = [
                give * weight * pull * part + rolling * wheel_height(axle)
                for axle, part in ((vehicle.rear, 1.0 - share), (vehicle.front, share))
            ]
            load = rigid - (ahead[0] * rear + ahead[1] * load) / vehicle.wheelbase
        return load

    load = np.broadcast_to(front(grade + tilt), (cases,))
    low, high = np.zeros(cases), np.full(cases, 1.5)
    for _ in range(50):
        middle = 0.5 * (low + high)
        carries = front(middle) > 0.0
        low, high = np.where(carries, middle, low), np.where(carries, high, middle)
    tips = np.degrees(0.5 * (low + high) - tilt)
    return {"front_load_n": load, "tip_over_grade_deg": tips, "nose_up_pitch_deg": np.zeros(cases)}
