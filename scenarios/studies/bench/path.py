"""The path of a vehicle on the held-wheel bench: every equilibrium from no torque to a free front axle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from math import degrees
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import POSE_SIZE, SHOCKS, TENSIONS, N
from noseload.model.crawl.held_wheels import BUDGET_KEYS, FRONT_TRACTION, HeldWheels, bench_budget
from noseload.model.crawl.kinks import ShockKinks
from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.errors import ModelError
from noseload.model.parameters import rigid_centre_of_gravity
from noseload.model.units import STANDARD_GRAVITY
from noseload.solvers.continuation import solve_on, trace
from noseload.solvers.errors import SolverError, Status
from noseload.solvers.newton import solve
from noseload.studies.climb.creep import PAST_END
from noseload.studies.climb.followed import followed_path, loose_coils
from noseload.studies.climb.standing import stand
from noseload.studies.result import row_document

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.solvers.continuation import CurvePoint
    from noseload.solvers.newton import Solution


FRONTS = ("free", "geared")
MOST_TORQUE = 4.0
"""Torque beyond which a bench is not followed, in units of weight times wheelbase."""
LEAST_TORQUE = -0.2
"""Likewise: a path that has folded back to there is not followed on."""
MOST_PHASES = 12
"""Changes between play, sticking and sliding after which a bench is given up."""
RIGID_NOTE = "rigid: this file has no links (level A), so pitch, travel and link forces are left out"
TURNING = ("nose_up_pitch_deg", "rear_shock_travel_mm", "front_shock_travel_mm")
"""Measures that may turn back before the front is free."""


@dataclass(frozen=True)
class BenchRow:
    """The vehicle on the bench at one motor torque; numbers are None where there is no such equilibrium.

    Attributes
    ----------
    setup : str
    torque_n_mm : float
        Of the motor, at the wheels.
    status : str
        'ok', 'beyond_lift', 'beyond_fold' or 'no_solution'.
    front_wheels : str
        'free' (nothing pulls them), 'stuck' (geared, holding on the floor) or 'sliding' (geared, at their grip).
    front_traction_n : float
        Floor on the front tyres, forward positive; the clamp holds the rear axle against it.
    clamp_couple_n_mm : float
        Of the clamp on the rear wheels, negative: against rolling forward.
    front_slide_mm : float
        Way that front treads geared to the rear would have to give way on the floor, forward drive positive.
    torque_from_scale_n_mm : float
        (level reading - reading now) x standing wheelbase: the torque without a torque sensor.
    budget : dict
        Parts of the front load, N; they add up to it.
    """

    setup: str
    torque_n_mm: float
    status: str
    message: str = ""
    front_wheels: str | None = None
    front_load_n: float | None = None
    rear_load_n: float | None = None
    nose_up_pitch_deg: float | None = None
    rear_housing_nose_up_deg: float | None = None
    rear_lower_link_n: float | None = None
    rear_upper_link_n: float | None = None
    front_lower_link_n: float | None = None
    front_upper_link_n: float | None = None
    rear_shock_travel_mm: float | None = None
    front_shock_travel_mm: float | None = None
    wheelbase_mm: float | None = None
    centre_of_gravity_mm: float | None = None
    front_traction_n: float | None = None
    clamp_couple_n_mm: float | None = None
    front_slide_mm: float | None = None
    torque_from_scale_n_mm: float | None = None
    budget: dict = field(default_factory=lambda: dict.fromkeys(BUDGET_KEYS))
    state: np.ndarray | None = field(default=None, repr=False, compare=False)
    """Unknowns of `noseload.model.crawl.held_wheels`, SI."""

    def to_dict(self) -> dict:
        """Plain numbers under the keys of the JSON document."""
        return row_document(self)


EVENT_WORDS = {
    "lift": "the front axle comes free",
    "taken_up": "the gears take hold",
    "slips": "the front wheels begin to slip",
    "sticks": "the front wheels stick again",
    "unloads": "the gears let go",
}


@dataclass(frozen=True)
class Phase:
    """A stretch of the bench under one law of the front wheels, from `start` to `end` (parameters)."""

    equilibrium: HeldWheels
    curve: Any
    end: Any
    why: str
    """'lift', 'taken_up', 'slips', 'sticks', 'unloads' or 'lost'."""
    message: str = ""
    """Why it was lost, where the curve itself does not say it."""


class HeldWheelPath:
    """All equilibria of one vehicle on the bench, from no torque to a free front axle.

    Parameters
    ----------
    vehicle : Vehicle
        With links; its rear axle driven.
    front : str
        'free' (shaft out, or on rollers) or 'geared' (on the floor, geared to the same motor).
    play_mm : float
        Way a front tread can be turned by hand while the rear wheels are held, before the gears take hold.
    """

    def __init__(self, vehicle: Vehicle, *, front: str = "free", play_mm: float = 0.0) -> None:
        check_bench(vehicle, front, play_mm)
        self.vehicle, self.front, self.play = vehicle, front, 1e-3 * play_mm
        self.standing = stand(vehicle)
        self.bench = HeldWheels(self.standing.equilibrium, self.standing.state)

    @property
    def unit(self) -> float:
        """Torque of parameter 1, N m."""
        return self.bench.torque_unit

    @cached_property
    def phases(self) -> tuple:
        """Stretches in their order; the last ends at lift or where the path was lost."""
        geared = self.front == "geared"
        law = self.bench if not geared or self.play > 0.0 else self.bench.with_law("stuck")
        here = solve(law, np.append(self.standing.state, 0.0), 0.0).raise_for_status()
        found: list[Phase] = []
        while len(found) < MOST_PHASES:
            phase = self._phase(law, here, geared)
            found.append(phase)
            if phase.why in ("lift", "lost"):
                break
            law = self._next_law(phase)
            here = solve(law, phase.end.state, phase.end.parameter)
            if not here.success:
                found.append(Phase(law, phase.curve, phase.end, "lost"))
                break
        return tuple(found)

    def _events(self, law: HeldWheels, geared: bool) -> list[tuple[str, Callable]]:
        """(what, measure) pairs; a measure turns from positive to negative where the stretch ends."""
        events = [("lift", lambda p: self.front_load(law, p))]
        if law.law == "free" and geared:
            events.append(("taken_up", lambda p: self.play - law.slide(p.state)))
        elif law.law == "stuck":
            # Each sense for itself: wheels that have just stuck are at the limit of one, and may slip the other way soon.
            events.append(("slips", lambda p: law.grip_left(p.state, 1.0)))
            events.append(("slips", lambda p: law.grip_left(p.state, -1.0)))
            if self.play > 0.0:
                events.append(("unloads", lambda p: p.state[FRONT_TRACTION]))
        elif law.law == "sliding":
            events.append(("sticks", lambda p: law.sense * law.slide_rate(p.state, p.tangent)))
        return events

    def _phase(self, law: HeldWheels, here: Solution, geared: bool) -> Phase:
        events = self._events(law, geared)
        past = {"lift": PAST_END * self.standing.weight, "slips": PAST_END * self.standing.weight, "sticks": 0.0}

        def stop(point: CurvePoint) -> bool:
            return not LEAST_TORQUE < point.parameter < MOST_TORQUE or any(
                measure(point) < -past.get(name, 0.0) for name, measure in events
            )

        curve = trace(law, here, +1.0, stop, kinks=ShockKinks(law.creep))
        ends = []
        for name, measure in events:
            # The measure that ended the stretch before is zero at this one's first point.
            first = 1 if abs(measure(curve.points[0])) < 1e-9 and len(curve.points) > 1 else 0
            try:
                point = curve.find(measure, first=first)
            except SolverError as error:
                return Phase(
                    law, curve, curve.points[0], "lost", f"{EVENT_WORDS[name]}, and where was not found ({error})"
                )
            if point is not None:
                ends.append((point.arclength, name, point))
        if not ends:
            return Phase(law, curve, curve.points[-1], "lost")
        _, name, point = min(ends, key=lambda item: item[0])
        return Phase(law, curve, point, name)

    def _next_law(self, phase: Any) -> Any:
        law, state = phase.equilibrium, phase.end.state
        if phase.why == "taken_up":
            return law.with_law("stuck", taken_up=self.play)
        if phase.why == "slips":
            return law.with_law("sliding", sense=float(np.sign(state[FRONT_TRACTION])) or 1.0)
        if phase.why == "sticks":
            return law.with_law("stuck", taken_up=law.slide(state))
        return law.with_law("free")

    def front_load(self, law: HeldWheels, point: CurvePoint) -> float:
        """Front tyre load at a point of the path, N."""
        return law.outputs(point.state, point.parameter)[0][1]

    @cached_property
    def fold(self) -> Any:
        """(phase, parameter) of the first fold, where the vehicle would snap to another attitude, or None."""
        for k, (phase, path) in enumerate(zip(self.phases, self._followed, strict=True)):
            turns = [snap.before for snap in path.snaps if snap.after.arclength > phase.end.arclength]
            turns += [path.pieces[-1].points[-1]] if path.fold is not None else []
            for turn in turns:
                if turn.arclength <= phase.end.arclength:
                    return k, turn.parameter
        return None

    @cached_property
    def _followed(self) -> list:
        """What is followed of each phase: a coil that goes loose lets an end snap onto its droop stop, and it goes on."""
        values = self.standing.values

        def loose(law: HeldWheels) -> Callable:
            def gaps(point: CurvePoint) -> list[float]:
                lengths = law.outputs(point.state, point.parameter)[0][SHOCKS:]
                return loose_coils(values, lengths)

            return gaps

        return [followed_path(phase.curve, loose(phase.equilibrium)) for phase in self.phases]

    @cached_property
    def lift(self) -> BenchRow | None:
        """Row at which the front load is zero, or None where the path ends before."""
        last = self.phases[-1]
        return self._filled(last.equilibrium, last.end) if last.why == "lift" else None

    def row(self, torque_n_mm: float) -> BenchRow:
        """The vehicle at one motor torque, N mm at the wheels.

        Returns
        -------
        BenchRow
            With nulls and a status past lift, past a fold, or where there is no solution.
        """
        parameter = 1e-3 * torque_n_mm / self.unit
        if self.fold is not None and parameter > self.fold[1]:
            return self._empty(
                torque_n_mm,
                "beyond_fold",
                f"more than the {1e3 * self.unit * self.fold[1]:.0f} N mm of the "
                "fold, where the vehicle would snap to another attitude",
            )
        for k, phase in enumerate(self.phases):
            start, end = phase.curve.points[0].parameter, phase.end.parameter
            if self.fold is not None and k == self.fold[0]:
                end = self.fold[1]
            if start - 1e-12 <= parameter <= end:
                solution = solve_on(self._followed[k].piece_at(parameter), max(parameter, start))
                if solution is not None and solution.success:
                    return self._filled(phase.equilibrium, solution, float(torque_n_mm))
                message = "no equilibrium found" if solution is None else solution.message
                return self._empty(torque_n_mm, "no_solution", message)
        if self.lift is not None:
            return self._empty(
                torque_n_mm, "beyond_lift", f"more than {self.lift.torque_n_mm:.0f} N mm, where the front is free"
            )
        return self._empty(torque_n_mm, "no_solution", self.message)

    @property
    def message(self) -> Any:
        """Why the path ends before lift; '' where it does not."""
        last = self.phases[-1]
        if last.why == "lift":
            return ""
        why = last.message or (
            last.curve.message
            if last.curve.status is not Status.CONVERGED
            else ("the curve turned back, or the front wheels went on changing between grip and play")
        )
        return f"the bench could not be followed past {1e3 * self.unit * self.furthest:.0f} N mm: {why}"

    @property
    def furthest(self) -> Any:
        """Largest parameter of the path before its first fold."""
        if self.fold is not None:
            return self.fold[1]
        return max(phase.end.parameter for phase in self.phases)

    def _empty(self, torque_n_mm: float, status: str, message: str) -> Any:
        return BenchRow(self.vehicle.setup, float(torque_n_mm), status, message)

    def _filled(self, law: HeldWheels, point: CurvePoint | Solution, torque_n_mm: float | None = None) -> BenchRow:
        state, parameter, standing = point.state, point.parameter, self.standing
        outputs = law.outputs(state, parameter)[0]
        distance, _, wheelbase = centre_of_gravity(law.values, [0.0, *state[:POSE_SIZE]])
        level = standing.weight * standing.reference[0] / standing.reference[2]
        travel = [1e3 * float(outputs[4 + k] - standing.measured_lengths[k]) for k in range(2)]
        torque = float(1e3 * self.unit * parameter) if torque_n_mm is None else torque_n_mm
        return BenchRow(
            self.vehicle.setup,
            torque,
            "ok",
            "",
            law.law,
            front_load_n=float(outputs[1]),
            rear_load_n=float(outputs[0]),
            nose_up_pitch_deg=-degrees(state[1]),
            rear_housing_nose_up_deg=-degrees(state[4]),
            **{f"{name}_n": float(state[8 + k]) for k, name in enumerate(TENSIONS)},
            rear_shock_travel_mm=travel[0],
            front_shock_travel_mm=travel[1],
            wheelbase_mm=1e3 * float(wheelbase),
            centre_of_gravity_mm=1e3 * float(distance),
            front_traction_n=float(state[FRONT_TRACTION]),
            clamp_couple_n_mm=float(1e3 * law.clamp_couple(state, parameter)),
            front_slide_mm=1e3 * law.slide(state),
            torque_from_scale_n_mm=float(1e3 * (level - outputs[1]) * standing.reference[2]) if parameter else 0.0,
            budget=bench_budget(law, state, parameter, standing.reference),
            state=np.asarray(state)[:N],
        )

    @cached_property
    def turns(self) -> tuple:
        """Places where pitch or a travel turns back: (key, torque in N mm, value there); no numbers where one was not found."""
        found: list[tuple[str, float | None, float | None]] = []
        for phase, piece in (
            (p, piece) for p, path in zip(self.phases, self._followed, strict=True) for piece in path.pieces
        ):
            # Behind the end of its phase nothing is told of a piece, nor looked for.
            last = next((k for k, p in enumerate(piece.points) if p.arclength >= phase.end.arclength), None)
            for name in TURNING:
                try:
                    point = piece.find(lambda p, name=name, law=phase.equilibrium: self._slope(law, p, name), last=last)
                except SolverError:
                    # It is known to turn, since only a change of sign is searched; rows and lift do not need the place.
                    found.append((name, None, None))
                    continue
                if point is not None and 0.0 < point.arclength < phase.end.arclength:
                    row = self._filled(phase.equilibrium, point)
                    found.append((name, row.torque_n_mm, getattr(row, name)))
        return tuple(found)

    def _slope(self, law: HeldWheels, point: CurvePoint, name: str) -> float:
        along = point.tangent[:N] * law.scales[:N]
        if name == "nose_up_pitch_deg":
            return -along[1]
        return law.outputs(point.state, point.parameter)[1][4 + (name == "front_shock_travel_mm"), :N] @ along


class RigidBench:
    """The same questions for a vehicle without links (level A): N_f L = W b - T."""

    fold, turns, message = None, (), ""

    def __init__(self, vehicle: Vehicle, *, front: str = "free", play_mm: float = 0.0) -> None:
        check_bench(vehicle, front, play_mm)
        self.vehicle, self.front = vehicle, front
        self.weight = vehicle.mass * STANDARD_GRAVITY
        self.distance = rigid_centre_of_gravity(vehicle)[0]

    @property
    def lift(self) -> Any:
        """Row at which the front load is zero."""
        return self.row(1e3 * self.weight * self.distance)

    def row(self, torque_n_mm: float) -> Any:
        """The rigid vehicle at one motor torque."""
        wheelbase = self.vehicle.wheelbase
        standing = self.weight * self.distance / wheelbase
        front = standing - 1e-3 * torque_n_mm / wheelbase
        if front < -1e-12 * self.weight:
            return BenchRow(
                self.vehicle.setup,
                float(torque_n_mm),
                "beyond_lift",
                f"more than {1e3 * self.weight * self.distance:.0f} N mm, where the front is free",
            )
        budget = dict.fromkeys(BUDGET_KEYS, 0.0) | {"standing_n": standing, "motor_torque_n": front - standing}
        return BenchRow(
            self.vehicle.setup,
            float(torque_n_mm),
            "ok",
            RIGID_NOTE,
            "free",
            front_load_n=front,
            rear_load_n=self.weight - front,
            wheelbase_mm=1e3 * wheelbase,
            centre_of_gravity_mm=1e3 * self.distance,
            clamp_couple_n_mm=-float(torque_n_mm),
            torque_from_scale_n_mm=1e3 * (standing - front) * wheelbase,
            budget=budget,
        )


def check_bench(vehicle: Vehicle, front: str, play_mm: float) -> None:
    """Raise unless the bench can be set up with this drive."""
    if front not in FRONTS:
        raise ModelError(f"front {front!r}: the front wheels are one of {', '.join(FRONTS)}")
    driven = vehicle.drive.driven_axles
    if driven == "front":
        raise ModelError(
            f"{vehicle.name}: only the front axle is driven, so held rear wheels feel no torque; give --drive "
            "both or rear, or turn the vehicle round"
        )
    if front == "geared" and driven != "both":
        raise ModelError(
            f"{vehicle.name}: front geared in needs both axles driven, and this one drives the {driven} alone; "
            "give --drive both or --front free"
        )
    if not play_mm >= 0.0:
        raise ModelError(f"play {play_mm:g} mm: a way of 0 mm or more, read at the front tread")
    if play_mm and front == "free":
        raise ModelError("play counts where the front is geared in; leave it out or give --front geared")


def bench_path(vehicle: Vehicle, *, front: str = "free", play_mm: float = 0.0) -> HeldWheelPath | RigidBench:
    """The bench of a vehicle; rigid where the file has no links."""
    return (RigidBench if vehicle.level == "A" else HeldWheelPath)(vehicle, front=front, play_mm=play_mm)
