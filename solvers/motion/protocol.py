"""What a transient solver sees of a moving mechanism, and nothing else."""

from typing import Protocol

import numpy as np


class Motion(Protocol):
    """First-order motion ``y' = f(t, y)`` on a manifold, with stiff terms of low rank.

    A state y of `size` numbers holds coordinates, speeds and running integrals (energies).

    Attributes
    ----------
    size : int
    coordinate_count : int
        The first n numbers of a state are coordinates; the next n are their rates.
    state_names : tuple of str
    scales : ndarray, shape (size,)
        What counts as large for each component.
    error_forms : ndarray, shape (m, size)
        Linear forms of an error of the state, each over what counts as large: their mean square steers the step.
    error_count : int
        How many of them that mean is over: those that do not stay zero where a symmetry of the motion holds, so that it
        takes the steps of a motion that has nothing but these.
    telling_slopes : tuple of tuple of int
        Places of the stiff terms that tell by their slopes whether the stiff part changes, those of one kind together;
        places that `stiff_rates` does not fill are left out.
    watched : ndarray, shape (m, size)
        Linear forms of an error of the state, m >= 0: the largest of them at each step is summed over a run.
    switch_names : tuple of (str or None, str or None)
        Per switch function: what its rising and its falling zero is called; None is located all the same
        (a kink of a force law) but nobody hears of it.
    terminal : tuple of bool
        Per switch function: the motion ends where it is positive.
    """

    size: int
    coordinate_count: int
    state_names: tuple
    scales: np.ndarray
    error_forms: np.ndarray
    error_count: int
    telling_slopes: tuple[tuple[int, ...], ...]
    watched: np.ndarray
    switch_names: tuple
    terminal: tuple

    def rates(self, time: float, state: np.ndarray) -> np.ndarray:
        """f(t, y), shape (size,); an `ArithmeticError` where the motion has none (outside its domain, overflow)."""

    def stiff_rates(self, time: float, state: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """f and the stiff part of its Jacobian, ``-pulls^T diag(slopes) rows``.

        Returns (f, slopes (r,), rows (r, size), pulls (r, size)), slopes >= 0, ``rows pulls^T``
        symmetric; r may be 0.
        """

    def stride(self, time: float, state: np.ndarray, new: np.ndarray) -> float:
        """How far a step from `state` to `new` goes over what its linear part can follow: at most 1 is taken, 0 where any may be."""

    def jacobian(self, time: float, state: np.ndarray) -> np.ndarray:
        """df/dy, shape (size, size); may leave out rows of running integrals."""

    def project(self, time: float, state: np.ndarray) -> tuple[np.ndarray, float, float]:
        """State moved once toward the manifold, and the largest drift before that in position and in speed."""

    def switches(self, time: float, state: np.ndarray) -> tuple[float, ...]:
        """Switch functions, a sequence of m numbers."""

    def corners(self) -> tuple[float, ...]:
        """Times at which a prescribed input has a corner or a jump, in order; in between inputs are linear."""

    def enter(self, start: float, end: float) -> None:
        """Called before integrating between two neighbouring corners: take inputs from inside that piece."""
