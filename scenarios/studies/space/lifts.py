"""Where single wheels leave the ground along a curve of poses in space: over grade, or over torque on the bench."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, log, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.kinks import A_SHOCK
from noseload.model.parameters import ENDS
from noseload.model.space.equilibrium import N
from noseload.model.space.events import WheelLift
from noseload.model.space.forces import ForceUnknowns
from noseload.model.space.kinks import SpaceKinks
from noseload.model.space.mirrored import Mirrored
from noseload.model.space.parameters import WHEELS
from noseload.solvers.newton import solve
from noseload.studies.climb.followed import found_once

if TYPE_CHECKING:
    from noseload.model.space.equilibrium import SpaceEquilibrium
    from noseload.solvers.continuation import Curve, CurvePoint


LAST_LOAD = 0.001
"""Axle load at which a path hands over to `WheelLifts.last`, as a share of the weight: any small one finds the same."""
LAST_DEPTHS = (2e-5, 1e-5, 5e-6)
"""Depths of the last tyre, as shares of its radius, from which its lift at depth 0 is extrapolated: nearer to it, rounding
of the depth moves finite forces over the load of the axle by more than equations are solved to."""
END_WEIGHTS = (1.0 / 3.0, -2.0, 8.0 / 3.0)
"""Of these depths, each half of the one before: the parabola through them at 0."""
DEPTH_RATIO = 8.0
"""Ratio of the depths on the way there."""
SPLITS = 6
"""How many of these steps may be halved."""
TOUCH = 1e-11
"""Depth of a tyre that just touches, m: what rounding leaves where a path was landed on a lift."""
HANDED_OVER = 0.9
"""Share of `LAST_LOAD` that a path goes for, so that it has surely handed over there."""


class WheelLifts:
    """Lifts along curves of one equilibrium in space.

    Parameters
    ----------
    equilibrium : SpaceEquilibrium, ForceUnknowns or Mirrored
        Of the curves.
    """

    def __init__(self, equilibrium: Any) -> None:
        self.equilibrium = equilibrium
        self._mirrored = isinstance(equilibrium, Mirrored)
        whole = equilibrium.inner if self._mirrored else equilibrium
        self._converts = not isinstance(whole, ForceUnknowns)
        self._forces = ForceUnknowns(whole) if self._converts else whole
        self._depths: dict = {}
        self._known: dict = {}
        self._ends: dict = {}
        self._states: dict = {}

    @property
    def kinks(self) -> PathKinks:
        """What a trace of these curves lands on."""
        return PathKinks(self.equilibrium)

    def depths(self, point: CurvePoint) -> list[float]:
        """Depths of the four tyres at a point of a curve, m."""
        return found_once(self._depths, point, lambda p: self.equilibrium.depths(p.state))

    def _axle_loads(self, depths: list[float]) -> list[float]:
        rates = [axle["tyre_stiffness"] for axle in self.equilibrium.numbers.axles]
        return [rate * (max(0.0, depths[2 * k]) + max(0.0, depths[2 * k + 1])) for k, rate in enumerate(rates)]

    def is_last(self, depths: list[float]) -> bool:
        """Whether an axle carries so little that its last wheel's lift is to be solved for."""
        return min(self._axle_loads(depths)) <= LAST_LOAD * self.equilibrium.weight

    def on(self, curve: Curve) -> list[tuple[int, float, int]]:
        """Lifts along a curve in order: (segment, parameter, wheel)."""
        return found_once(self._known, curve, self._lifts)

    def _lifts(self, curve: Curve) -> list:
        """Lifts of single wheels along a curve, in order; none where left and right are alike."""
        found: list = []
        if self._mirrored:
            return found
        points = curve.points
        for k in range(len(points) - 1):
            before, after = self.depths(points[k]), self.depths(points[k + 1])
            here = []
            for wheel in range(4):
                if before[wheel] > TOUCH >= after[wheel]:
                    share = min(1.0, before[wheel] / (before[wheel] - after[wheel]))
                    place = self._lift(curve, k, share, wheel)
                    if place is not None:
                        here.append((share, k, place, wheel))
            found += [(k, place, wheel) for _, k, place, wheel in sorted(here)]
        return found

    def _lift(self, curve: Curve, k: int, share: float, wheel: int) -> float | np.ndarray | None:
        """Parameter at which a wheel lifts on segment k."""
        a, b = curve.points[k], curve.points[k + 1]
        start = np.append(a.state + share * (b.state - a.state), a.parameter + share * (b.parameter - a.parameter))
        solution = solve(WheelLift(self.equilibrium, wheel), start, 0.0)
        if solution.success:
            self._states[id(a), wheel] = solution.state[:-1]
            return float(solution.state[-1])
        point = curve.find(lambda p: self.depths(p)[wheel], first=k, last=k + 1)
        return None if point is None else point.parameter

    def turn(self, curve: Curve, a: CurvePoint, b: CurvePoint) -> CurvePoint | None:
        """The lift between two neighbouring points of a curve at which it turns back, as its point; None where none does."""
        for k, place, wheel in self.on(curve):
            state = self._states.get((id(a), wheel))
            if curve.points[k] is not a or state is None or abs(place) < max(abs(a.parameter), abs(b.parameter)):
                continue
            ahead = np.append((state - a.state) / self.equilibrium.scales, place - a.parameter)
            length = min(float(np.sqrt(ahead @ ahead)), b.arclength - a.arclength)
            return replace(a, state=state, parameter=place, arclength=a.arclength + length)
        return None

    def last(self, curve: Curve) -> tuple[float, int, int | None, float | None] | None:
        """How a curve ends at an axle: (parameter, axle, wheel that lifts just before or None, its parameter), or None.

        From the handover the axle's deeper tyre is let up to nothing. That this depth never turns back on the way, nor
        the other wheel's lift passes unseen, is checked at every step: where the handover is does not matter then.
        """
        return found_once(self._ends, curve, self._last)

    def _last(self, curve: Curve) -> tuple | None:
        point = curve.points[-1]
        depths = self.depths(point)
        loads = self._axle_loads(depths)
        k = int(np.argmin(loads))
        if loads[k] > LAST_LOAD * self.equilibrium.weight:
            return None
        state = self.equilibrium.whole(point.state)
        start = np.append(self._forces.own(state) if self._converts else state, point.parameter)
        wheel = max((2 * k, 2 * k + 1), key=lambda j: depths[j])
        small = LAST_DEPTHS[-1] * self.equilibrium.numbers.axles[k]["tyre_radius"]
        found = self._at_no_depth(start, wheel, depths[wheel], k)
        if found is None:
            return None
        end, other_depth, crossing = found
        if other_depth > 2.0 * small:
            # The other one is the last: this one lifts first.
            lift = solve(WheelLift(self._forces, wheel), end, 0.0)
            found = self._at_no_depth(lift.state, wheel ^ 1, other_depth, k) if lift.success else None
            return None if found is None else (float(found[0][N]), k, wheel, float(lift.state[N]))
        if crossing is None or other_depth > -small:
            return float(end[N]), k, None, None
        lift = solve(WheelLift(self._forces, wheel ^ 1), crossing, 0.0)
        return (float(end[N]), k, wheel ^ 1, float(lift.state[N])) if lift.success else None

    def _at_no_depth(self, start: np.ndarray, wheel: int, depth: float, k: int) -> tuple | None:
        """Where a tyre of an axle is no longer pressed, from a pose near there.

        The equations are singular at a depth of 0 where it is the axle's last: depths go down step by step to three
        small ones, and from these to 0.

        Returns
        -------
        tuple or None
            Unknowns and parameter there (27), depth of the other tyre there, m, and the place after which that one
            lifted on the way (27), None where it did not. None where the depth turns back before.
        """
        radius = self.equilibrium.numbers.axles[k]["tyre_radius"]
        far, *near = (share * radius for share in LAST_DEPTHS)
        steps = max(1, ceil(log(max(depth / far, 1.0), DEPTH_RATIO)))
        wanted = [*(depth * (far / depth) ** ((i + 1) / steps) for i in range(steps)), *near]
        law = WheelLift(self._forces, wheel)
        jacobian, crossing = law.evaluate(start, depth)[1], None
        known, sense = [(depth, start)], _sense(law, jacobian)
        splits = SPLITS
        while wanted:
            target = wanted.pop(0)
            by_depth = np.linalg.solve(jacobian[:, :-1], -jacobian[:, -1])
            solution = solve(law, known[-1][1] + by_depth * (target - known[-1][0]), target)
            if not solution.success and splits:
                # Straight ahead the tyre may be off the ground, where the axle has no load: half as far, as a ratio.
                splits -= 1
                wanted[:0] = [sqrt(known[-1][0] * target), target]
                continue
            jacobian = solution.jacobian
            if not solution.success or _sense(law, jacobian) != sense:
                return None
            before, after = (self._forces.wheel_depth(s[:N], wheel ^ 1)[0] for s in (known[-1][1], solution.state))
            if before > 0.0 >= after:
                crossing = known[-1][1]
            known.append((target, solution.state))
        end: Any = sum(weight * state for weight, (_, state) in zip(END_WEIGHTS, known[-3:], strict=True))
        last = known[-1][1]
        other = self._forces.wheel_depth(end[:N], wheel ^ 1)[0]
        if crossing is None and other <= 0.0 < self._forces.wheel_depth(last[:N], wheel ^ 1)[0]:
            crossing = last
        return end, other, crossing


class PathKinks(SpaceKinks):
    """The kinks of the laws, and after them the place at which each axle hands over to `WheelLifts.last`."""

    def __init__(self, equilibrium: SpaceEquilibrium | ForceUnknowns | Mirrored) -> None:
        super().__init__(equilibrium)
        load = HANDED_OVER * LAST_LOAD * equilibrium.weight
        self._least = [load / axle["tyre_stiffness"] for axle in equilibrium.numbers.axles]

    def values(self, state: np.ndarray) -> list[float]:
        """All measures, m."""
        found = super().values(state)
        pressed = [max(0.0, depth) for depth in found[-len(WHEELS) :]]
        return [*found, *(pressed[2 * k] + pressed[2 * k + 1] - least for k, least in enumerate(self._least))]

    def measure(self, state: np.ndarray, kink: int) -> tuple[float, np.ndarray]:
        """One measure, m, and its slope by the unknowns."""
        k = kink - (A_SHOCK + 1) * len(WHEELS)
        if k < 0:
            return super().measure(state, kink)
        tyres = [self.equilibrium.wheel_depth(state, wheel) for wheel in (2 * k, 2 * k + 1)]
        pressed = [(depth, slope) for depth, slope in tyres if depth > 0.0]
        slope = sum((slope for _, slope in pressed), np.zeros(len(state)))
        return sum(depth for depth, _ in pressed) - self._least[k], slope


def _sense(law: WheelLift, jacobian: np.ndarray) -> float | np.ndarray:
    """Sign of the determinant of a solved pose: it turns where the depth turns back along the curve."""
    scaled = jacobian[:, :-1] * law.scales / law.residual_scales[:, None]
    return float(np.linalg.slogdet(scaled)[0]) if np.isfinite(scaled).all() else 0.0


def first_of(
    events: list[tuple[int, float, int]], last: tuple[float, int, int | None, float | None] | None
) -> tuple[float, str] | None:
    """(parameter, wheel's name) of the first lift of a curve, given its lifts and its end, or None."""
    if events:
        return events[0][1], WHEELS[events[0][2]]
    if last is None:
        return None
    parameter, k, wheel, before = last
    if wheel is not None and before is not None:
        return before, WHEELS[wheel]
    return parameter, f"{ENDS[k]}_both"
