"""A compiled mechanism as a motion for the transient solvers: no stiff terms, no inputs, switches if wanted."""

import numpy as np

from .compiled import MechanismMotion


class FreeMotion:
    """Motion of a compiled mechanism; satisfies the `Motion` protocol by its shape.

    Parameters
    ----------
    mechanism : CompiledMechanism
        Every speed but those of spins belongs to a coordinate.
    length, duration : float
        Sizes (m, s) by which errors are judged; angles by 1 rad.
    switches : sequence of (callable, (str or None, str or None), bool), optional
        ``function(time, state)``, names of its rising and falling zero, and whether it ends the motion.
    """

    def __init__(self, mechanism, *, length=1.0, duration=1.0, switches=()):
        self.equations = MechanismMotion(mechanism)
        self.coordinate_count = self.equations.n_coordinates
        self.size = self.coordinate_count + self.equations.n_speeds
        self.state_names = (*mechanism.coordinate_names, *mechanism.speed_names)
        place = np.array([1.0 if name.endswith("theta") else length for name in mechanism.coordinate_names])
        extra = np.ones(self.equations.n_speeds - self.coordinate_count)
        self.scales = np.concatenate((place, place / duration, extra / duration))
        self.error_weights = np.ones(self.size)
        self._functions = tuple(function for function, _, _ in switches)
        self.switch_names = tuple(names for _, names, _ in switches)
        self.terminal = tuple(ends for _, _, ends in switches)
        self._none = np.zeros((0, self.size))

    def rates(self, time, state):
        """Time derivative of the state."""
        return self.equations.rates(time, state)

    def stiff_rates(self, time, state):
        """Rates, and no stiff terms."""
        return self.rates(time, state), np.zeros(0), self._none, self._none

    def jacobian(self, time, state):
        """Jacobian by central differences, good to about 1e-9 of the scales."""
        columns = []
        for k, scale in enumerate(self.scales):
            shift = np.zeros(self.size)
            shift[k] = 1e-6 * scale
            columns.append((self.rates(time, state + shift) - self.rates(time, state - shift)) / (2e-6 * scale))
        return np.array(columns).T

    def project(self, time, state):
        """State on the constraints, and the drift found before."""
        return (self.equations.project(time, state), *self.equations.drift(time, state))

    def switches(self, time, state):
        """Values of the switch functions."""
        return [float(function(time, state)) for function in self._functions]

    def corners(self):
        """No inputs, no corners."""
        return ()

    def enter(self, start, end):
        """Nothing changes between corners."""
