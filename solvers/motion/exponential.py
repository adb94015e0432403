"""One step of a fourth-order exponential Runge-Kutta method whose linear part has low rank.

``y' = L y + N(t, y)`` with ``L = -pulls^T diag(slopes) rows``, the stiff part of the Jacobian at the start of
the step. Its modes are found from an r x r symmetric matrix, so the functions phi_k(hL) cost a few
products with r rows, and nothing is factorised.

S. Krogstad, *J. Comput. Phys.* 203 (2005) 72 (ETDRK4-B); M. Hochbruck and A. Ostermann, *Acta Numerica* 19
(2010) 209. The error estimate h/6 phi_2(hL)(N_4 - N_new) is of third order: N_new is the first stage of the next step.
It is blind to forcing by time alone, so inputs must be linear between the corners of a motion.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import atan2, cos, exp, hypot, sin, sqrt
from typing import Any

import numpy as np

ORDER = 4
_SERIES_BELOW = 0.5
_TERMS = 14
_FAST_SHARE = 0.01
"""Modes slower than this share of the fastest are no stiffer than what is integrated as it is."""


def phi_functions(z: float) -> tuple:
    """phi_1 to phi_4 at real z <= 0: phi_1 = (e^z - 1)/z, phi_(k+1) = (phi_k - 1/k!)/z.

    Returns
    -------
    tuple of 4 float
        To rounding for any z <= 0; a series below |z| = 0.5, where the formula cancels.
    """
    if z > -_SERIES_BELOW:
        term = total = 1.0 / 24.0
        for j in range(1, _TERMS):
            term *= z / (4 + j)
            total += term
        third = z * total + 1.0 / 6.0
        second = z * third + 0.5
        return z * second + 1.0, second, third, total
    first = (exp(z) - 1.0) / z
    second = (first - 1.0) / z
    third = (second - 0.5) / z
    return first, second, third, (third - 1.0 / 6.0) / z


@dataclass(frozen=True)
class StiffModes:
    """Modes of ``L = -left^T right``: ``right left^T = diag(decay)``, decay (r,) in 1/s, rows (r, n)."""

    decay: tuple
    left: np.ndarray
    right: np.ndarray

    @classmethod
    def of(cls, slopes: np.ndarray, rows: np.ndarray, pulls: np.ndarray) -> "StiffModes":
        """Modes of ``-pulls^T diag(slopes) rows``; ``rows pulls^T`` is taken as symmetric."""
        # A saturated force's slope is the difference of two numbers nearly alike, and may come out a hair below zero.
        slopes = np.maximum(slopes, 0.0)
        inner = rows @ pulls.T
        if len(slopes) == 2:
            decay, turned = _two_modes(slopes.tolist(), inner.tolist())
        else:
            root = np.sqrt(slopes)
            decay, vectors = np.linalg.eigh(root[:, None] * (0.5 * (inner + inner.T)) * root)
            fast = int(np.searchsorted(decay, _FAST_SHARE * decay[-1])) if len(decay) else 0
            turned = vectors.T[fast:] * root
            decay = decay[fast:].tolist()
        return cls(tuple(max(x, 0.0) for x in decay), turned @ pulls, turned @ rows)

    def phi(self, step: float) -> Any:
        """Rows phi_1 .. phi_4 at -step * decay, shape (4, r)."""
        return np.array([phi_functions(-step * x) for x in self.decay]).reshape(-1, 4).T

    def change(self, difference: float) -> np.ndarray:
        """-L times a difference of states."""
        return (self.right @ difference) @ self.left


def _two_modes(slopes: np.ndarray, inner: np.ndarray) -> tuple:
    """Eigenvalues of the symmetric 2 x 2 case in closed form, and its scaled vectors: far cheaper than a call."""
    first, second = sqrt(slopes[0]), sqrt(slopes[1])
    a, c = slopes[0] * inner[0][0], slopes[1] * inner[1][1]
    b = 0.5 * first * second * (inner[0][1] + inner[1][0])
    mean, half = 0.5 * (a + c), 0.5 * (a - c)
    radius, turn = hypot(half, b), 0.5 * atan2(b, half)
    cosine, sine = cos(turn), sin(turn)
    turned = np.array(((cosine * first, sine * second), (-sine * first, cosine * second)))
    return (mean + radius, mean - radius), turned


@dataclass(frozen=True)
class Attempt:
    """A step tried: the new state, and what the error estimate needs of the last stage."""

    state: np.ndarray
    last_stage: np.ndarray
    last_rates: np.ndarray
    phi: np.ndarray


def attempt_step(
    rates: Callable[[float, np.ndarray], np.ndarray],
    time: float,
    state: np.ndarray,
    step: float,
    first_rates: np.ndarray,
    modes: "StiffModes",
) -> "Attempt":
    """Try one step.

    Parameters
    ----------
    rates : callable
        ``rates(t, y)``; called three times.
    time, step : float
    state, first_rates : ndarray, shape (n,)
        y and f(t, y).
    modes : StiffModes

    Returns
    -------
    Attempt
    """
    half = 0.5 * step
    left, right = modes.left, modes.right
    halves, phi = modes.phi(half), modes.phi(step)
    along = right @ first_rates
    second = state + half * first_rates - (half * half * halves[1] * along) @ left
    slope = rates(time + half, second) - first_rates + (right @ (second - state)) @ left
    third = second + step * (0.5 * slope - (half * halves[2] * (right @ slope)) @ left)
    slope_2 = slope
    slope_3 = rates(time + half, third) - first_rates + (right @ (third - state)) @ left
    base = state + step * first_rates - (step * step * phi[1] * along) @ left
    fourth = base + step * (slope_3 - (2.0 * step * phi[2] * (right @ slope_3)) @ left)
    last_rates = rates(time + step, fourth)
    slope_4 = last_rates - first_rates + (right @ (fourth - state)) @ left
    middle = slope_2 + slope_3
    linear, curved = 2.0 * middle - slope_4, 4.0 * (slope_4 - middle)
    stiff = step * (phi[2] * (right @ linear) + phi[3] * (right @ curved))
    new = base + step * (0.5 * linear + curved / 6.0 - stiff @ left)
    return Attempt(new, fourth, last_rates, phi)


def estimate_error(
    attempt: "Attempt", new_state: np.ndarray, new_rates: np.ndarray, step: float, modes: "StiffModes"
) -> float:
    """Estimated error of a step, shape (n,)."""
    defect = attempt.last_rates - new_rates + modes.change(attempt.last_stage - new_state)
    return (step / 6.0) * (defect - (2.0 * step * attempt.phi[2] * (modes.right @ defect)) @ modes.left)
