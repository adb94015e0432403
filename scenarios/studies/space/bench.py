"""`bench_wheels`: on the held-wheel bench, the torque at which each front wheel leaves its scale."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.model.parameters import ENDS
from noseload.model.space.held_wheels import HeldWheelsInSpace
from noseload.model.space.parameters import WHEELS
from noseload.model.vehicle import Vehicle
from noseload.solvers.continuation import solve_on, trace
from noseload.solvers.newton import solve
from noseload.studies.result import field_values

from .climb import SpaceStanding, stand_in_space
from .lifts import WheelLifts, first_of
from .rows import pose_angles

LARGEST = 2.0
"""Torque over weight times wheelbase at which the bench is given up."""
ROWS = 21


@dataclass(frozen=True)
class BenchWheels:
    """Four scales on the bench.

    Attributes
    ----------
    setup : str
    first_wheel : str or None
        Front wheel that leaves its scale first; 'front_both' where both leave it at once.
    first_wheel_torque_n_mm, axle_free_torque_n_mm : float or None
        Torque at the wheels at which it does, and at which the last front wheel does along the curve of poses.
    snap_torque_n_mm : float or None
        Torque at which the curve of poses first turns back: from there the vehicle snaps to another pose.
    stall_torque_n_mm : float
        What the motor has.
    rows : tuple of dict
        Torque, four loads, roll and pitch along the curve up to the first snap or lift of the axle.
    status : str
        'ok', or 'no_solution'.
    """

    setup: str
    first_wheel: str | None
    first_wheel_torque_n_mm: float | None
    axle_free_torque_n_mm: float | None
    snap_torque_n_mm: float | None
    stall_torque_n_mm: float
    rows: tuple
    status: str = "ok"
    message: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers under the keys of the JSON document."""
        values = field_values(self, "rows", "message", "status") | {"rows": [dict(row) for row in self.rows]}
        values["status"] = self.status
        return values | ({"message": self.message} if self.message else {})


def bench_wheels(vehicle: Vehicle, *, shafts: bool = True, standing: SpaceStanding | None = None) -> BenchWheels:
    """Follow the bench from no torque to where no front wheel is on its scale.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks, and track widths.
    shafts : bool
        False leaves the couples of the shafts out.
    standing : SpaceStanding, optional
        Of the same vehicle and shafts.

    Returns
    -------
    BenchWheels

    Raises
    ------
    MissingDataError, ModelError, SolverError
        As `noseload.studies.space.climb.stand_in_space`.
    """
    standing = standing or stand_in_space(vehicle, shafts=shafts)
    bench = HeldWheelsInSpace(standing.equilibrium)
    lifts = WheelLifts(bench)
    level = solve(bench, standing.solution.state, 0.0).raise_for_status()
    curve = trace(bench, level, +1.0, lambda p: lifts.is_last(lifts.depths(p)) or abs(p.parameter) > LARGEST)
    events, last = lifts.on(curve), lifts.last(curve)
    first = first_of(events, last)
    unit = 1e3 * bench.torque_unit
    folds = curve.folds()
    snap = curve.first_branch.points[-1].parameter if folds else None
    rows = tuple(_row(bench, curve, torque) for torque in np.linspace(0.0, 0.999 * _end(curve, folds), ROWS))
    return BenchWheels(
        setup=vehicle.setup,
        first_wheel=None if first is None else first[1],
        first_wheel_torque_n_mm=None if first is None else unit * first[0],
        axle_free_torque_n_mm=None if last is None else unit * last[0],
        snap_torque_n_mm=None if snap is None else unit * snap,
        stall_torque_n_mm=1e3 * vehicle.drive.stall_torque,
        rows=tuple(row for row in rows if row is not None),
        status="ok" if last is not None and ENDS[last[1]] == "front" else "no_solution",
        message="" if last is not None else f"the bench could not be followed to a free front axle: {curve.message}",
    )


def _end(curve, folds):
    return curve.points[folds[0]].parameter if folds else curve.points[-1].parameter


def _row(bench, curve, parameter):
    solution = solve_on(curve, float(parameter))
    if solution is None or not solution.success:
        return None
    angles = pose_angles(solution.state)
    return {
        "torque_n_mm": 1e3 * bench.torque_unit * float(parameter),
        **{f"{w}_load_n": n for w, n in zip(WHEELS, bench.loads(solution.state, parameter), strict=True)},
        "chassis_roll_deg": angles["chassis_roll_deg"],
        "nose_up_pitch_deg": angles["nose_up_pitch_deg"],
    }
