"""A motion given by a function, for tests of the transient solvers."""

import numpy as np

GRAVITY = 9.81
"""m/s2."""


class Toy:
    """A motion given by a function, for tests: no constraints unless told."""

    def __init__(self, function, size, *, switches=(), corners=(), stiff=None, coordinate_count=0, drift=(0.0, 0.0)):
        self.function, self.size, self.coordinate_count = function, size, coordinate_count
        self.state_names = tuple(f"component {k}" for k in range(size))
        self.scales, self.error_forms, self.error_count = np.ones(size), np.eye(size), size
        self.telling_slopes = (tuple(range(size)),)
        self.watched = np.zeros((0, size))
        self._switches, self._corners, self._stiff, self._drift = switches, corners, stiff, drift
        self.switch_names = tuple(names for _, names, _ in switches)
        self.terminal = tuple(ends for _, _, ends in switches)
        self.piece = (0.0, 0.0)

    def rates(self, time, state):
        return np.asarray(self.function(time, state, self.piece), dtype=float)

    def stiff_rates(self, time, state):
        empty = np.zeros((0, self.size))
        return (self.rates(time, state), *(self._stiff or (np.zeros(0), empty, empty)))

    def stride(self, time, state, new):
        return 0.0

    def jacobian(self, time, state):
        shift = 1e-6 * np.eye(self.size)
        return np.array([(self.rates(time, state + e) - self.rates(time, state - e)) / 2e-6 for e in shift]).T

    def project(self, time, state):
        return (state.copy(), *self._drift)

    def switches(self, time, state):
        return [function(time, state) for function, _, _ in self._switches]

    def corners(self):
        return self._corners

    def enter(self, start, end):
        self.piece = (start, end)


def falling(switches, height=1.0):
    """A body that falls freely from a height, m, and its start."""
    return Toy(lambda t, y, _: (y[1], -GRAVITY), 2, switches=switches, coordinate_count=1), [height, 0.0]
