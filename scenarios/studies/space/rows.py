"""Rows and limits read off the path of a `SpaceClimb`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import asin, atan2, degrees, nan, radians
from typing import TYPE_CHECKING, Any

from noseload.model.parameters import ENDS
from noseload.model.space.budget import axle_frame, chassis_frame, front_load_budget, twist_budget
from noseload.model.space.parameters import SIDES, WHEELS
from noseload.model.space.rows import SIDE, TENSION_ROWS
from noseload.solvers.continuation import solve_on
from noseload.solvers.errors import Status
from noseload.solvers.newton import solve
from noseload.solvers.roots import bracketed_root

from .climb import GRIP_REACHED, SpaceClimb
from .results import WheelLimits, Wheels

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.space.equilibrium import SpaceEquilibrium
    from noseload.model.space.parameters import SpaceNumbers
    from noseload.solvers.continuation import Curve
    from noseload.solvers.newton import Solution
    from noseload.studies.climb.followed import FollowedPath


ONE_GRADE = 1e-10
"""Difference between the grade of a fold and of the lift that makes it, both solved for, rad."""
CARRIES = 1e-9
"""Share of the weight below which a wheel counts as lifted."""
_FAR = 1e6
NEARLY = 0.99
"""Share of the way from the handover to an axle's last lift that is solved for; what is left is straight."""


def limits_of(climb: SpaceClimb, *, needs: bool = True) -> WheelLimits:
    """Limits of the climb uphill; without `needs` grip and torque are not looked for."""
    curve = climb.uphill
    first, (events, last) = climb.first_lift, climb.lift_events
    path, fold = climb.followed(curve), fold_grade(climb, curve)
    full = 1.0 if climb.equilibrium.law.is_limit else GRIP_REACHED
    stall = climb.vehicle.drive.stall_torque
    tip = None if last is None else last[0]
    grades = {
        "first_wheel_lift": None if first is None else first[0],
        "tip_over": tip,
        "over_sideways": _sideways(events),
        "grip": None,
        "torque": None,
        "fold": fold,
    }
    if needs:
        grades["grip"] = _where(climb, path, lambda state: min(climb.grip_use(state), _FAR) - full)
        grades["torque"] = _where(climb, path, lambda state: climb.wheel_torque(state) - stall)
    for name in ("grip", "torque"):
        most = fold if fold is not None else tip
        if grades[name] is not None and most is not None and grades[name] > most:
            grades[name] = None
    met = {name: grade for name, grade in grades.items() if grade is not None}
    steepest = max([point.parameter for point in curve.points] + list(met.values()))
    return WheelLimits(
        **{f"{name}_grade_deg": None if grade is None else degrees(grade) for name, grade in grades.items()},
        first_wheel=None if first is None else first[1],
        folds=len(curve.folds()) - 2 * len(path.snaps),
        steepest_deg=degrees(steepest),
        first=min(met, key=lambda name: met[name]) if met else None,
    )


def _where(climb: SpaceClimb, path: FollowedPath, measure: Callable) -> float | None:
    """Grade, rad, at which a measure of the unknowns turns positive on the way up, the last of an axle's load included."""
    point = path.find(lambda p: measure(climb.plain(p.state)))
    if point is not None or path.fold is not None:
        return None if point is None else point.parameter
    return _past_handover(climb, measure)


def _past_handover(climb: SpaceClimb, measure: Callable) -> float | None:
    """The same between the last point of the curve uphill and the lift of an axle's last wheel."""
    curve, last = climb.uphill, climb.last_lift(climb.uphill)
    end = curve.points[-1]
    if last is None or not last[0] > end.parameter:
        return None

    def at(grade: float) -> float:
        pose = beyond_handover(climb, curve, grade)
        return nan if pose is None else measure(climb.plain(pose.state))

    near = end.parameter + NEARLY * (last[0] - end.parameter)
    low, high = measure(climb.plain(end.state)), at(near)
    if low < 0.0 < high:
        return bracketed_root(at, end.parameter, near, low, high, tolerance=ONE_GRADE)
    reached = near - high * (near - end.parameter) / (high - low) if high > low else nan
    return reached if near <= reached <= last[0] else None


def _sideways(events: list[tuple[int, float, int]]) -> Any:
    """Grade at which the second wheel of one side lifts, rad, or None."""
    for side in range(len(SIDES)):
        mine = [grade for _, grade, wheel in events if wheel % 2 == side]
        if len({wheel for _, _, wheel in events if wheel % 2 == side}) == 2:
            return mine[-1]
    return None


def fold_grade(climb: SpaceClimb, curve: Curve) -> Any:
    """Grade of the first fold of a curve, rad; at a wheel's lift that turns the curve back, that lift's own."""
    fold = climb.followed(curve).fold
    if fold is None:
        return None
    at_lift = [grade for _, grade, _ in climb.lifts_on(curve) if abs(grade - fold) <= ONE_GRADE]
    return at_lift[0] if at_lift else fold


def _fold_segment(climb: SpaceClimb, curve: Curve) -> Any:
    """The segment of a curve with its first fold that is no snap of a loose coil, or None."""
    path = climb.followed(curve)
    if path.fold is None:
        return None
    turn = path.pieces[-1].points[-1].arclength
    return next(k for k in curve.folds() if curve.points[k + 1].arclength >= turn)


def row_of(climb: SpaceClimb, grade_deg: float) -> Wheels:
    """Four wheels at one grade; with nulls and a status where there is no such pose."""
    grade = radians(grade_deg)
    curve = climb.path(grade)
    fold = fold_grade(climb, curve)
    if fold is not None and abs(grade) > abs(fold):
        found = _after_snap(climb, curve, grade)
        if found is not None:
            return _filled(climb, grade_deg, found, snapped=True)
        words = f"steeper than {degrees(fold):.2f} deg, where the vehicle snaps over"
        return _empty(climb, grade_deg, "beyond_fold", words)
    solution = _beside_fold(climb, curve, grade) if fold is not None else None
    if solution is None:
        solution = solve_on(curve, grade)
    if solution is None:
        solution = beyond_handover(climb, curve, grade)
    if solution is None:
        return _past_the_end(climb, curve, grade_deg)
    if not solution.success:
        return _empty(climb, grade_deg, "no_solution", solution.message)
    return _filled(climb, grade_deg, solution, snapped=False)


def _beside_fold(climb: SpaceClimb, curve: Curve, grade: float) -> Solution | None:
    """The pose between the last point before a fold and the fold itself, where no two points of the curve enclose it."""
    last = max(curve.points[: _fold_segment(climb, curve) + 1], key=lambda point: abs(point.parameter))
    if abs(grade) <= abs(last.parameter):
        return None
    solution = solve(climb.solved, last.state, grade)
    return solution if solution.success else None


def beyond_handover(climb: SpaceClimb, curve: Curve, grade: float) -> Any:
    """The pose between the last point of a curve and the lift of an axle's last wheel, or None."""
    end, last = curve.points[-1], climb.last_lift(curve)
    if last is None or not abs(end.parameter) < abs(grade) < abs(last[0]):
        return None
    ahead = (grade - end.parameter) / end.tangent[-1] if abs(end.tangent[-1]) > 0.0 else 0.0
    start = end.state + ahead * end.tangent[:-1] * climb.solved.scales
    solution = solve(climb.solved, start, grade)
    return solution if solution.success else None


def _after_snap(climb: SpaceClimb, curve: Curve, grade: float) -> Solution | None:
    """The stable pose that the curve has at a grade past its first fold, or None."""
    points = curve.points
    for k in range(_fold_segment(climb, curve) + 1, len(points) - 1):
        low, high = sorted(point.parameter for point in points[k : k + 2])
        if low <= grade <= high and points[k].orientation == points[k + 1].orientation:
            solution = solve_on(replace(curve, points=points[k : k + 2]), grade)
            if solution is not None and solution.success and climb.is_stable(solution):
                return solution
    return None


def _empty(climb: SpaceClimb, grade_deg: float, status: str, message: str) -> Wheels:
    return Wheels(
        climb.vehicle.setup,
        float(grade_deg),
        climb.heading_deg,
        status,
        message,
        mismatch_percent=climb.mismatch,
        shafts=climb.shafts,
    )


def _past_the_end(climb: SpaceClimb, curve: Curve, grade_deg: float) -> Wheels:
    last = degrees(curve.points[-1].parameter)
    if curve.status is Status.CONVERGED:
        if climb.grip_use(climb.plain(curve.points[-1].state)) > GRIP_REACHED:
            words = f"steeper than {last:.2f} deg, where a wheel would need far more grip than it has"
            return _empty(climb, grade_deg, "beyond_grip", words)
        depths = climb.depths(curve.points[-1])
        if max(depths[0], depths[2]) < 0.0 or max(depths[1], depths[3]) < 0.0:
            words = f"steeper than {last:.2f} deg, where no wheel of one side carries"
            return _empty(climb, grade_deg, "over_sideways", words)
        return _empty(
            climb, grade_deg, "beyond_tip_over", f"steeper than about {last:.2f} deg, where an axle carries nothing"
        )
    attempt = solve(climb.solved, curve.points[-1].state, radians(grade_deg))
    why = curve.message if attempt.success else attempt.message
    return _empty(climb, grade_deg, "no_solution", f"the climb could not be followed past {last:.2f} deg. {why}")


def _filled(climb: SpaceClimb, grade_deg: float, solution: Solution, *, snapped: bool) -> Wheels:
    equilibrium, state = climb.equilibrium, climb.plain(solution.state)
    seen = [equilibrium.seen(state, k) for k in range(len(ENDS))]
    loads = [seen[k][f"{side}_load"] for k in range(len(ENDS)) for side in SIDES]
    status, message = _status(climb, state, loads, snapped)
    axles, numbers = equilibrium.numbers.axles, equilibrium.numbers
    held = [axles[k]["grip"] * numbers.driven[k] * sum(loads[2 * k : 2 * k + 2]) for k in range(2)]
    pull = [sum(seen[k][f"{side}_traction"] for side in SIDES) for k in range(2)]
    torques = [seen[k]["wheel_torque"] for k in range(2)]
    return Wheels(
        climb.vehicle.setup,
        float(grade_deg),
        climb.heading_deg,
        status,
        message,
        mismatch_percent=climb.mismatch,
        shafts=climb.shafts,
        front_share=_front_share(equilibrium, held, pull),
        **{f"{wheel}_load_n": float(load) for wheel, load in zip(WHEELS, loads, strict=True)},
        **pose_angles(state),
        **{f"{end}_wheel_torque_n_mm": 1e3 * torque for end, torque in zip(ENDS, torques, strict=True)},
        **{
            f"{end}_shaft_torque_n_mm": 1e3 * axle["shaft_share"] * torque
            for end, axle, torque in zip(ENDS, axles, torques, strict=True)
        },
        traction_n=float(sum(pull)),
        **{
            f"{end}_side_force_n": float(state[side]) * sum(loads[2 * k : 2 * k + 2])
            for k, (end, side) in enumerate(zip(ENDS, SIDE, strict=True))
        },
        grip_needed=float(max(climb.needs(state))),
        link_force_n=link_forces(numbers, state),
        shock_travel_mm={
            f"{end}_{side}": 1e3 * (seen[k][f"{side}_shock_length"] - climb.standing.side_view.measured_lengths[k])
            for k, end in enumerate(ENDS)
            for side in SIDES
        },
        twist_n=0.5 * (loads[2] - loads[3]),
        twist_budget=twist_budget(equilibrium, state),
        budget=front_load_budget(equilibrium, state, solution.parameter, climb.standing.reference),
        stable=climb.is_stable(solution),
        state=state,
    )


def _status(climb: SpaceClimb, state: np.ndarray, loads: list[float], snapped: bool) -> tuple[str, str]:
    """Status and sentence of a solved pose."""
    up = [w.replace("_", " ") for w, n in zip(WHEELS, loads, strict=True) if n <= CARRIES * climb.equilibrium.weight]
    raised = f"off the ground: {', '.join(up)}" if up else ""
    use, torque = climb.grip_use(state), climb.wheel_torque(state)
    if use > 1.0:
        return "beyond_grip", f"needs {use:.2f} times the grip of a wheel"
    if abs(torque) > climb.vehicle.drive.stall_torque:
        return "beyond_torque", f"needs {1e3 * torque:.0f} N mm, more than the stall torque"
    if snapped:
        return "after_snap", f"past the first snap; {raised}" if raised else "past the first snap, on four wheels"
    return ("wheel_up", raised) if up else ("ok", "")


def _front_share(equilibrium: SpaceEquilibrium, held: list[float], pull: list[float]) -> Any:
    """Front axle's share of the traction; where there is none, the share that the next bit of it would have."""
    if equilibrium.law.is_limit:
        return float(held[1] / sum(held))
    total = sum(pull)
    return float(pull[1] / total) if abs(total) > 1e-6 * equilibrium.weight else None


def pose_angles(state: np.ndarray) -> dict[str, float]:
    """Roll and pitch of the chassis, roll and steer of the axles against it, deg, under the keys of the document."""
    chassis = chassis_frame(state)[1]
    found = {
        "chassis_roll_deg": degrees(atan2(chassis[2, 1], chassis[2, 2])),
        "nose_up_pitch_deg": degrees(asin(chassis[2, 0])),
    }
    for k, end in enumerate(ENDS):
        turn = chassis.T @ axle_frame(state, k)[1]
        found[f"{end}_axle_roll_deg"] = degrees(atan2(turn[2, 1], turn[2, 2]))
        found[f"{end}_steer_deg"] = degrees(atan2(turn[1, 0], turn[0, 0]))
    return found


def link_forces(numbers: SpaceNumbers, state: np.ndarray) -> dict[str, float]:
    """Forces of all links, N, tension positive, by name: 'rear_lower_left', 'rear_upper', 'rear_lateral'."""
    names = [name.replace("_link", "") for rods in numbers.rods for name in rods]
    return {name: float(force) for name, force in zip(names, state[TENSION_ROWS], strict=True)}
