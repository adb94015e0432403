"""Where single wheels leave the ground along a curve of poses in space: over grade, or over torque on the bench."""

from math import ceil, log

import numpy as np

from noseload.model.parameters import ENDS
from noseload.model.space.equilibrium import N
from noseload.model.space.events import WheelLift
from noseload.model.space.parameters import WHEELS
from noseload.solvers.newton import solve

LAST_LOAD = 0.001
"""Axle load at which the path ends and its last wheel's lift is solved for, as a share of the weight."""
LAST_DEPTHS = (2e-6, 1e-6)
"""Depths of the last tyre, as shares of its radius, from which its lift at depth 0 is extrapolated."""
DEPTH_RATIO = 8.0
"""Ratio of the depths on the way there."""


class WheelLifts:
    """Lifts along curves of one equilibrium in space.

    Parameters
    ----------
    equilibrium : object
        With `depths`, `wheel_depth`, `numbers` and what a solver needs.
    """

    def __init__(self, equilibrium):
        self.equilibrium = equilibrium
        self._depths, self._known = {}, {}

    def depths(self, point):
        """Depths of the four tyres at a point of a curve, m."""
        known = self._depths.get(id(point))
        if known is None or known[0] is not point:
            known = self._depths[id(point)] = (point, self.equilibrium.depths(point.state))
        return known[1]

    def _axle_loads(self, depths):
        rates = [axle["tyre_stiffness"] for axle in self.equilibrium.numbers.axles]
        return [rate * (max(0.0, depths[2 * k]) + max(0.0, depths[2 * k + 1])) for k, rate in enumerate(rates)]

    def is_last(self, depths):
        """Whether an axle carries so little that its last wheel's lift is to be solved for."""
        return min(self._axle_loads(depths)) <= LAST_LOAD * self.equilibrium.weight

    def on(self, curve):
        """Lifts along a curve in order: (segment, parameter, wheel)."""
        known = self._known.get(id(curve))
        if known is None or known[0] is not curve:
            known = self._known[id(curve)] = (curve, self._lifts(curve))
        return known[1]

    def _lifts(self, curve):
        """Lifts of single wheels along a curve, in order."""
        found = []
        points = curve.points
        for k in range(len(points) - 1):
            before, after = self.depths(points[k]), self.depths(points[k + 1])
            here = []
            for wheel in range(4):
                if before[wheel] > 0.0 >= after[wheel]:
                    share = before[wheel] / (before[wheel] - after[wheel])
                    place = self._lift(curve, k, share, wheel)
                    if place is not None:
                        here.append((share, k, place, wheel))
            found += [(k, place, wheel) for _, k, place, wheel in sorted(here)]
        return found

    def _lift(self, curve, k, share, wheel):
        """Parameter at which a wheel lifts on segment k."""
        a, b = curve.points[k], curve.points[k + 1]
        start = np.append(a.state + share * (b.state - a.state), a.parameter + share * (b.parameter - a.parameter))
        solution = solve(WheelLift(self.equilibrium, wheel), start, 0.0)
        if solution.success:
            return float(solution.state[N])
        point = curve.find(lambda p: self.depths(p)[wheel], first=k, last=k + 1)
        return None if point is None else point.parameter

    def last(self, curve):
        """How a curve ends at an axle: (parameter, axle, wheel that lifts just before or None, its parameter), or None."""
        point = curve.points[-1]
        depths = self.depths(point)
        loads = self._axle_loads(depths)
        k = int(np.argmin(loads))
        if loads[k] > LAST_LOAD * self.equilibrium.weight:
            return None
        start = np.append(point.state, point.parameter)
        small = LAST_DEPTHS[0] * self.equilibrium.numbers.axles[k]["tyre_radius"]
        for wheel in sorted((2 * k, 2 * k + 1), key=lambda j: -depths[j]):
            found = self._at_no_depth(start, wheel, depths[wheel], k) if depths[wheel] > 0.0 else None
            if found is None or found[1] > 2.0 * small:
                continue
            grade, other_depth, other = found[0], found[1], wheel ^ 1
            if depths[other] <= 0.0 or other_depth > -small:
                return grade, k, None, None
            lift = solve(WheelLift(self.equilibrium, other), start, 0.0)
            return (grade, k, other, float(lift.state[N])) if lift.success else (grade, k, None, None)
        return None

    def _at_no_depth(self, start, wheel, depth, k):
        """Parameter at which the last wheel of an axle carries nothing, and the depth of the other one there, or None.

        The equations are singular there: depths go down step by step to two small ones, and from these to 0.
        """
        radius = self.equilibrium.numbers.axles[k]["tyre_radius"]
        far, near = (share * radius for share in LAST_DEPTHS)
        steps = max(1, ceil(log(depth / far, DEPTH_RATIO)))
        wanted = [*(depth * (far / depth) ** ((i + 1) / steps) for i in range(steps)), near]
        known = [(depth, start)]
        for target in wanted:
            guess = known[-1][1]
            if len(known) > 1:
                (a, first), (b, last) = known[-2:]
                guess = last + (last - first) * ((target - b) / (b - a))
            solution = solve(WheelLift(self.equilibrium, wheel), guess, target)
            if not solution.success:
                return None
            known.append((target, solution.state))
        (a, first), (b, last) = known[-2:]
        end = last - (last - first) * (b / (b - a))
        return float(end[N]), self.equilibrium.wheel_depth(end[:N], wheel ^ 1)[0]


def first_of(events, last):
    """(parameter, wheel's name) of the first lift of a curve, given its lifts and its end, or None."""
    if events:
        return events[0][1], WHEELS[events[0][2]]
    if last is None:
        return None
    parameter, k, wheel, before = last
    if wheel is not None and before is not None:
        return before, WHEELS[wheel]
    return parameter, f"{ENDS[k]}_both"
