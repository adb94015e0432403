"""Creep: the vehicle climbing so slowly that nothing accelerates, over grade, with its limits."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from functools import cached_property, partial
from math import degrees, inf, radians, tanh
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import AXLE_POSES, DRIVE, POSE, SHOCKS, TENSIONS
from noseload.model.crawl.geometry import wheel_heights
from noseload.model.crawl.kinks import A_SHOCK, ShockKinks
from noseload.model.crawl.load_budget import load_budget
from noseload.model.crawl.rolling import contact_couples, lever_of, slip_scale
from noseload.model.parameters import CREEP_SPEED, ENDS
from noseload.model.vehicle import Vehicle
from noseload.solvers.continuation import Tracing, solve_on
from noseload.solvers.errors import SolverError, Status
from noseload.solvers.newton import solve

from .followed import Kink, followed_path, found_once, loose_coils
from .results import Creep, Limits
from .split import overdriven_level, own_split, plausible_splits, split_equilibrium, wheel_torque
from .standing import Standing, stand

if TYPE_CHECKING:
    from collections.abc import Callable

    from noseload.solvers.continuation import Curve, CurvePoint
    from noseload.solvers.newton import Solution
    from noseload.studies.climb.followed import FollowedPath
    from noseload.studies.climb.split import Split


WHOLE = {"front": "uphill", "rear": "downhill"}
"""Path toward the unloading of each axle."""
STEEPEST = radians(89.0)
"""Grades beyond this are not followed."""
GRIP_REACHED = 0.999
"""Share of all grip at which overdriven axles, which only approach it, count as sliding."""
AT_FOLD = 1e-9
"""Grade within which a row is that of the fold itself, rad: there the sign of the determinant is rounding."""
SAME_GRADE = 1e-14
"""Difference of grades that comes of degrees and back, rad."""
PAST_END = 0.02
"""How far past an unloaded axle the path is followed, as a share of the weight."""
PAST_LANDING = 1.01
"""Share of that load for which a path makes at its end, so that it is surely past it."""


class Climb:
    """The path of creep equilibria of one vehicle, followed once from level in each direction.

    Everything about creep is read off this path: rows, limits, folds. `downhill` is followed only
    when asked for. `split` is the law by which geared axles divide the traction, in place of the file's own.
    """

    rigid = False

    def __init__(self, vehicle: Vehicle, *, standing: Standing | None = None, split: Split | None = None) -> None:
        self.standing: Standing = standing or stand(vehicle)
        self._seen: dict = {}
        self.vehicle = vehicle
        self._tips: dict = {}
        self._laws: dict[Split, Climb | None] = {}
        self._unloadings: dict[str, CurvePoint | None] = {}
        self._parts: dict[tuple[str, int], FollowedPath] = {}
        self.equilibrium: Any = self.standing.equilibrium
        self.level = self.standing.level
        law = own_split(vehicle) if split is None else split
        self.overdriven = law is not None
        if law is not None:
            # Geared axles that turn at different speeds cannot slip alike: creep is steady motion instead.
            self.equilibrium = split_equilibrium(self.standing, law)
            self.level = overdriven_level(self.standing, self.equilibrium)

    def under_law(self, split: Split) -> Climb | None:
        """The same vehicle under another law of division; None where it has no level crawl under that."""
        if split not in self._laws:
            self._laws[split] = None
            with suppress(SolverError):
                self._laws[split] = Climb(self.vehicle, standing=self.standing, split=split)
        return self._laws[split]

    @property
    def under_laws(self) -> tuple[Climb, ...]:
        """The same vehicle under each plausible law of division that has a level crawl; none where one axle alone is driven."""
        found = (self.under_law(split) for split in plausible_splits(self.vehicle))
        return tuple(law for law in found if law is not None)

    @cached_property
    def uphill(self) -> Curve:
        """Curve from level to where the front axle unloads."""
        return self._ways["front"].until(partial(self._ends, "front"))

    @cached_property
    def downhill(self) -> Curve:
        """Curve from level, nose down, to where the rear axle unloads."""
        return self._ways["rear"].until(partial(self._ends, "rear"))

    @cached_property
    def _ways(self) -> dict[str, Tracing]:
        """What follows the path toward the unloading of each axle, as far as it is asked for."""
        last = -PAST_LANDING * PAST_END * self.standing.weight
        return {
            end: Tracing(
                self.equilibrium, self.level, direction, kinks=ShockKinks(self.standing.equilibrium, (end, last))
            )
            for end, direction in (("front", +1.0), ("rear", -1.0))
        }

    def _ends(self, end: str, point: CurvePoint) -> bool:
        """Whether the path toward the unloading of an axle ends at a point."""
        if self.overdriven and self.grip_use(self._outputs(point)) > GRIP_REACHED + 1e-4:
            return True
        return self.load(point, end) <= -PAST_END * self.standing.weight or abs(point.parameter) > STEEPEST

    def _way_to(self, grade: float) -> FollowedPath:
        """What a slow climb follows to a grade (rad): no more of the path than gets there, where that tells; else all of it."""
        end = "rear" if grade < 0.0 else "front"
        if WHOLE[end] not in self.__dict__:
            part = self._ways[end].until(lambda p: self._ends(end, p) or abs(p.parameter) > abs(grade))
            if abs(part.points[-1].parameter) > abs(grade):
                key = end, len(part.points)
                if key not in self._parts:
                    self._parts[key] = followed_path(part, self._loose)
                if self._parts[key].fold is None:
                    return self._parts[key]
        return self.followed(end)

    def _whole(self, end: str) -> Curve:
        return getattr(self, WHOLE[end])

    # measures along the path -------------------------------------------------------------

    def load(self, point: CurvePoint | Solution, end: str) -> float:
        """Tyre load of one axle, N."""
        return self._outputs(point)[ENDS.index(end)]

    def _outputs(self, point: CurvePoint | Solution) -> np.ndarray:
        """Outputs at a point of a path; several measures ask for the same points."""
        return found_once(self._seen, point, lambda p: self.equilibrium.outputs(p.state, p.parameter)[0])

    def grip_use(self, outputs: np.ndarray) -> float:
        """Traction needed as a share of the grip of the driven axles; infinite where they carry nothing."""
        values = self.standing.values
        held = sum(values.axle(e).driven * values.axle(e).grip * outputs[k] for k, e in enumerate(ENDS))
        pull = abs(self._driven_traction(outputs))
        return pull / held if held > 0.0 else (inf if pull > 0.0 else 0.0)

    def _driven_traction(self, outputs: np.ndarray) -> float:
        """What the driven axles pull, N: free wheels hold back by their rolling resistance."""
        return sum(self.standing.values.axle(end).driven * outputs[2 + k] for k, end in enumerate(ENDS))

    def wheel_torque(self, point: CurvePoint | Solution, outputs: np.ndarray) -> float:
        """Torque at the driven spin, N m: ``T = T_rear + front_overdrive T_front``."""
        values = self.equilibrium.creep.values if self.overdriven else self.standing.values
        return wheel_torque(values, point.state, outputs)

    def creep_state_of(self, state: np.ndarray, grade: float) -> np.ndarray:
        """Unknowns of creep (13) of a state of the path: where axles are divided by slip, its traction for their spin."""
        if not self.overdriven:
            return state
        return np.append(state[:-1], self.equilibrium.outputs(state, grade)[0][2:4].sum())

    def _hold_excess(self, point: CurvePoint, outputs: np.ndarray) -> float:
        """Grip in use less what full throttle gives at the creep speed, slip included: positive where that speed is not held.

        The throttle itself goes beyond all bounds as the grip ends, and a place just before that is found by halving alone.
        """
        values, use = self.standing.values, self.grip_use(outputs)
        left = 1.0 - self.wheel_torque(point, outputs) / values.stall_torque
        if self.overdriven:
            return inf if use >= 1.0 else point.state[DRIVE] / values.no_load_speed - left
        end = "front" if values.front_alone else "rear"
        k = ENDS.index(end)
        scale = slip_scale(values.axle(end), outputs[k], CREEP_SPEED)
        arm = lever_of(values.axle(end), outputs[k], wheel_heights(values, point.state[AXLE_POSES])[k])
        return use - tanh((left * values.no_load_speed * arm - CREEP_SPEED) / scale)

    # places on the path ------------------------------------------------------------------

    @cached_property
    def _followed(self) -> dict:
        return {}

    def followed(self, end: str = "front") -> FollowedPath:
        """What a slow climb follows toward the unloading of an axle: `FollowedPath`."""
        if end not in self._followed:
            curve = self._whole(end)
            self._followed[end] = followed_path(curve, self._loose)
        return self._followed[end]

    def _loose(self, point: CurvePoint) -> list[float]:
        return loose_coils(self.standing.values, self._outputs(point)[SHOCKS:])

    def kinks(self, end: str = "front") -> list[Kink]:
        """Where a coil goes loose or a stop is reached on the way to the unloading of an axle, in the order of grades.

        Returns
        -------
        list of Kink
        """
        path, found = self.followed(end), []
        jumps = {(snap.end, "coil"): snap for snap in path.snaps}
        for k, axle in enumerate(ENDS):
            values = self.standing.values.axle(axle)
            for part, word, measure in (
                ("coil", "loose", lambda p, k=k: self._loose(p)[k]),
                ("droop", "stop", lambda p, k=k, v=values: self._outputs(p)[4 + k] - v.longest),
                ("bump", "stop", lambda p, k=k, v=values: v.shortest - self._outputs(p)[4 + k]),
            ):
                snap = jumps.get((axle, part))
                point = snap.before if snap else path.find(measure)
                if point is not None and min(self._outputs(point)[:2]) >= 0.0:
                    pair = point, snap.after if snap else point
                    found.append(Kink.of(f"{axle} {part} {word}", pair, [float(self.load(p, "front")) for p in pair]))
        # A snap ends on the stop at the same grade: the coil is named before the stop.
        return sorted(found, key=lambda kink: round(abs(kink.grade_deg), 6))

    @property
    def fold(self) -> Any:
        """Grade of the fold at which the climb ends, rad, or None."""
        return self.fold_of("front")

    def fold_of(self, end: str) -> float | None:
        """Grade of the fold at which the way to the unloading of an axle ends, rad, or None; one past that unloading ends nothing."""
        path = self.followed(end)
        return None if path.fold is None or self._unloading(end) is not None else path.fold

    def end_message(self, end: str = "front") -> str:
        """Where and why the path toward the unloading of an axle ends without any limit, as a sentence; '' where it has one."""
        curve = self._whole(end)
        if self.tip_over(end) is not None or self.fold_of(end) is not None:
            return ""
        last = degrees(curve.points[-1].parameter)
        if self.overdriven and curve.status is Status.CONVERGED and abs(last) < degrees(STEEPEST):
            return "" if end == "front" else f"nose down the path ends at {last:.2f} deg, where both axles slide"
        if curve.status is Status.CONVERGED:
            return f"the {end} axle still carries at {last:.0f} deg; steeper is not followed"
        where = "the climb" if end == "front" else "nose down the path"
        return f"{where} could not be followed past {last:.2f} deg: {curve.message}"

    def tip_point(self, end: str = "front") -> Any:
        """The point of the path at which an axle unloads, or None where the path ends before."""
        if end not in self._tips:
            curve = self._whole(end)
            measure, kink = self._nothing_left(end)
            self._tips[end] = self._unloading(end) or curve.find(measure, kink=kink)
        return self._tips[end]

    def _unloading(self, end: str) -> CurvePoint | None:
        """Where an axle unloads on what a slow climb follows, or None."""
        if end not in self._unloadings:
            self._unloadings[end] = self.followed(end).find(*self._nothing_left(end))
        return self._unloadings[end]

    def _nothing_left(self, end: str) -> tuple[Callable[[CurvePoint], float], tuple[ShockKinks, int]]:
        """The load of an axle, and the same as a measure with slopes."""
        return lambda p: self.load(p, end), (ShockKinks(self.standing.equilibrium, (end, 0.0)), A_SHOCK * len(ENDS))

    def tip_over(self, end: str = "front") -> float | None:
        """Grade at which an axle unloads, rad, or None where the path ends before."""
        point = self.tip_point(end)
        return None if point is None else point.parameter

    @cached_property
    def limits(self) -> Limits:
        """All limits of the climb."""
        return replace(
            self.uphill_limits,
            tip_over_downhill_grade_deg=_degrees(self.tip_over("rear")),
            fold_downhill_grade_deg=_degrees(self.fold_of("rear")),
        )

    @cached_property
    def uphill_limits(self) -> Limits:
        """All limits but that of going down, whose path need not be followed for them."""
        tip, fold = self.tip_over(), self.fold
        end = tip if fold is None else fold
        grades = {need: self._reached(need) for need in ("grip", "torque", "hold")}
        if self.standing.values.geared and not self.overdriven and (grades["hold"] is not None or fold is None):
            grades["hold"] = self._steady_hold(grades["hold"], end)
        reached = [p.parameter for p in self.uphill.points if self.load(p, "front") >= 0.0]
        if fold is not None:
            reached.append(fold)
        if tip is not None:
            reached.append(tip)
        candidates = {"tip_over": tip, "fold": fold, "grip": grades["grip"], "torque": grades["torque"]}
        met = {k: g for k, g in candidates.items() if g is not None}
        return Limits(
            tip_over_grade_deg=_degrees(tip),
            grip_grade_deg=_degrees(grades["grip"]),
            torque_grade_deg=_degrees(grades["torque"]),
            hold_grade_deg=_degrees(grades["hold"]),
            fold_grade_deg=_degrees(candidates["fold"]),
            folds=self._folds_before(self._unloading("front")),
            steepest_equilibrium_deg=_degrees(max(reached)),
            tip_over_downhill_grade_deg=None,
            fold_downhill_grade_deg=None,
            first=min(met, key=lambda name: met[name]) if met else None,
        )

    def _folds_before(self, unloading: CurvePoint | None) -> int:
        """Folds of the path uphill up to a point of it, without those of snaps of loose coils."""
        points, end = self.uphill.points, inf if unloading is None else unloading.arclength
        folds = sum(bool(points[k].arclength < end) for k in self.uphill.folds())
        return folds - 2 * sum(bool(snap.before.arclength < end) for snap in self.followed().snaps)

    def _reached(self, need: str) -> float | np.ndarray | None:
        """Grade at which a need reaches what there is, rad, or None: 'grip', 'torque' or 'hold' (full throttle)."""
        stall, full = self.standing.values.stall_torque, GRIP_REACHED if self.overdriven else 1.0
        measures = {
            "grip": lambda p: min(self.grip_use(self._outputs(p)), 1e6) - full,
            "torque": lambda p: self.wheel_torque(p, self._outputs(p)) - stall,
            "hold": lambda p: min(self._hold_excess(p, self._outputs(p)), 1e6),
        }
        point, end = self.followed().find(measures[need]), self.tip_over() if self.fold is None else self.fold
        return point.parameter if point and (end is None or point.parameter <= end) else None

    def _steady_hold(self, estimate: Any, end: float | None) -> float | None:
        """The grade of a hold by the steady motion; its module comes with equations that other creeps do not need."""
        from .hold import steady_hold

        return steady_hold(self, estimate, end, CREEP_SPEED)

    # rows --------------------------------------------------------------------------------

    def row(self, grade_deg: float) -> Creep:
        """Creep at one grade.

        Returns
        -------
        Creep
            With nulls and a status past tip-over, past a fold, or where there is no solution.
        """
        found = self._solved(grade_deg)
        return found if isinstance(found, Creep) else self._filled(grade_deg, found)

    def state_at(self, grade_deg: float) -> np.ndarray | None:
        """Unknowns (13,) of the row at a grade; None where that is empty."""
        found = self._solved(grade_deg)
        if isinstance(found, Creep) or self._has_lifted(self._outputs(found)):
            return None
        return found.state

    def _has_lifted(self, outputs: np.ndarray) -> bool:
        return bool(min(outputs[:2]) < -1e-9 * self.standing.weight)

    def _solved(self, grade_deg: float) -> Solution | Creep:
        """The crawl at a grade on what a slow climb follows, or the empty row that says why there is none."""
        grade, end = radians(grade_deg), "front" if grade_deg >= 0.0 else "rear"
        way = self._way_to(grade)
        fold = None if way.fold is None else self.fold_of(end)
        if fold is not None and abs(grade - fold) <= SAME_GRADE:
            grade = fold
        if fold is not None and abs(grade) > abs(fold):
            words = f"steeper than the fold at {degrees(fold):.2f} deg, where the vehicle would snap over"
            return self._empty(grade_deg, "beyond_fold", words)
        solution = solve_on(way.piece_at(grade), grade)
        if solution is None:
            return self._past_the_end(self._whole(end), grade_deg)
        return solution if solution.success else self._empty(grade_deg, "no_solution", solution.message)

    def _empty(self, grade_deg: float, status: str, message: str) -> Creep:
        return Creep(self.vehicle.setup, float(grade_deg), status, message)

    def _past_the_end(self, curve: Curve, grade_deg: float) -> Creep:
        end = "front" if grade_deg >= 0.0 else "rear"
        if curve.status is Status.CONVERGED:
            tipped = self.tip_over(end)
            tip = degrees(STEEPEST if tipped is None else tipped)
            return self._empty(
                grade_deg, "beyond_tip_over", f"steeper than {tip:.2f} deg, where the {end} axle carries nothing"
            )
        last = curve.points[-1]
        attempt = solve(self.equilibrium, last.state, radians(grade_deg))
        why = curve.message if attempt.success else attempt.message
        return self._empty(
            grade_deg, "no_solution", f"the climb could not be followed past {degrees(last.parameter):.2f} deg. {why}"
        )

    def _filled(self, grade_deg: float, solution: Solution) -> Creep:
        outputs, _ = self.equilibrium.outputs(solution.state, solution.parameter)
        rear, front = outputs[0], outputs[1]
        end = "front" if grade_deg >= 0.0 else "rear"
        if self._has_lifted(outputs):
            return self._past_the_end(self._whole(end), grade_deg)
        state, standing = solution.state, self.standing
        use, torque = self.grip_use(outputs), self.wheel_torque(solution, outputs)
        stable = self._is_stable(solution)
        status, message = "ok", self._against_each_other(outputs) or self._after_snap(solution.parameter, end)
        if use > 1.0:
            status, message = (
                "beyond_grip",
                f"needs {use:.2f} times the grip of the driven axles; the {end} still carries",
            )
        elif abs(torque) > standing.values.stall_torque:
            status = "beyond_torque"
            message = f"needs {1e3 * torque:.0f} N mm, more than the stall torque"
        elif not stable:
            status, message = "unstable", "stays in this attitude only until the slightest push"
        held = sum(standing.values.axle(e).driven * outputs[k] for k, e in enumerate(ENDS))
        # Plain floats: a budget of one pose costs a quarter of what small arrays would.
        place = [0.0, *state[: len(POSE)].tolist()]
        contact = contact_couples(standing.values, place, outputs[:2], outputs[2:4])
        budget = load_budget(
            standing.values, standing.weight, place, solution.parameter, standing.reference, {"contact_couple": contact}
        )
        travel = [1e3 * (outputs[4 + k] - standing.measured_lengths[k]) for k in range(2)]
        return Creep(
            self.vehicle.setup,
            float(grade_deg),
            status,
            message,
            "steady_at_creep_speed" if self.overdriven else "zero_speed_limit",
            rear_load_n=float(rear),
            front_load_n=float(front),
            rear_traction_n=float(outputs[2]),
            front_traction_n=float(outputs[3]),
            nose_up_pitch_deg=-degrees(state[1]),
            **{f"{name}_n": float(state[8 + k]) for k, name in enumerate(TENSIONS)},
            rear_shock_travel_mm=float(travel[0]),
            front_shock_travel_mm=float(travel[1]),
            grip_needed=float(abs(self._driven_traction(outputs)) / held) if held > 0.0 else None,
            wheel_torque_n_mm=float(1e3 * torque),
            stable=stable,
            budget={k: float(v) for k, v in budget.items()},
            state=state,
        )

    def _against_each_other(self, outputs: np.ndarray) -> str:
        """What overdriven axles do to each other, in words; '' where both pull the same way."""
        rear, front = (float(outputs[k]) for k in (2, 3))
        if not self.overdriven or rear * front >= 0.0:
            return ""
        pulls, holds = ("front", "rear") if front > 0.0 else ENDS
        return (
            f"the axles work against each other by {min(abs(rear), abs(front)):.2f} N: the {pulls} one pulls forward, the "
            f"{holds} one holds back (front_overdrive {self.standing.values.spin_ratio:g}); the grip needed counts what is "
            "left over"
        )

    def _after_snap(self, grade: float, end: str) -> str:
        """The snap of a loose coil that a row lies behind, in words, if it can be seen; else ''."""
        kinks = self.kinks(end) if self._way_to(grade).snaps else []
        seen = [kink for kink in kinks if kink.seen and abs(radians(kink.grade_deg)) < abs(grade)]
        return seen[-1].sentence() if seen else ""

    def _is_stable(self, solution: Solution) -> bool:
        """A real mode turns unstable exactly where the determinant changes sign."""
        path = self._way_to(solution.parameter)
        if path.fold is None and not path.snaps:
            return bool(path.pieces[0].points[0].orientation == self._stable_sign)
        if path.fold is not None and abs(solution.parameter - path.fold) < AT_FOLD:
            return False
        scaled = solution.jacobian[:, :-1] * self.equilibrium.scales / self.equilibrium.residual_scales[:, None]
        return bool(np.linalg.slogdet(scaled)[0] == self._stable_sign)

    @cached_property
    def _stable_sign(self) -> float:
        """Sign of the determinant that belongs to stable equilibria, from the standing stiffness."""
        sign = np.linalg.slogdet(self.level.jacobian[:, :-1])[0]
        stiffness = self.standing.equilibrium.reduced_stiffness(self.standing.solution.jacobian)
        negative = int(np.sum(np.linalg.eigvalsh(0.5 * (stiffness + stiffness.T)) <= 0.0))
        return sign * (-1.0) ** negative


def _degrees(angle: Any) -> float | None:
    return None if angle is None else degrees(angle)


def creep(vehicle: Vehicle, *, grade_deg: float) -> Creep:
    """Loads, attitude and link forces in a steady crawl on a grade.

    Parameters
    ----------
    vehicle : Vehicle
        Without links (level A) the loads are those of a rigid vehicle, and `message` says so.
    grade_deg : float
        Positive: nose up the slope.

    Returns
    -------
    Creep

    Raises
    ------
    SolverError
        The vehicle has no standing pose.
    """
    if vehicle.level == "A":
        from .rigid import RigidClimb

        return RigidClimb(vehicle).row(grade_deg)
    return Climb(vehicle).row(grade_deg)
