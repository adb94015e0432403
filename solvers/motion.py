"""What a transient solver sees of a moving mechanism, and nothing else."""

from typing import Protocol

import numpy as np


class Motion(Protocol):
    """First-order motion ``y' = f(t, y)`` on a manifold, with stiff terms of low rank.

    A state y of `size` numbers holds coordinates, speeds and running integrals (energies).

    Attributes
    ----------
    size : int
    scales : ndarray, shape (size,)
        What counts as large for each component; errors are measured in these.
    switch_names : tuple of str
        One per switch function.
    switch_directions : tuple of int
        +1 reports rising zeros, -1 falling ones, 0 both.
    silent : tuple of bool
        Kinks of the force laws that a step must not straddle but nobody needs to hear about.
    """

    size: int
    scales: np.ndarray
    switch_names: tuple
    switch_directions: tuple
    silent: tuple

    def rates(self, time, state):
        """f(t, y), shape (size,)."""

    def stiff_rates(self, time, state):
        """f and the stiff part of its Jacobian ``-pulls^T diag(slopes) rows``.

        Returns (f, slopes (r,), rows (r, size), pulls (r, size)), with slopes >= 0 and
        ``rows pulls^T`` symmetric, at least in the limit; r may be 0.
        """

    def jacobian(self, time, state):
        """df/dy, shape (size, size)."""

    def project(self, state):
        """State moved onto the manifold, and the largest drift found in position and in speed."""

    def switches(self, time, state):
        """Switch functions; contact and stops change where one passes zero, shape (m,)."""

    def corners(self):
        """Times at which a prescribed input has a corner or a jump, in order."""

    def finished(self, time, state):
        """None, or the name of the reason why the motion ends here."""
