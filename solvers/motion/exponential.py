"""One step of a fourth-order exponential Runge-Kutta method whose linear part has low rank.

``y' = L y + N(t, y)`` with ``L = -pulls^T diag(slopes) rows``, the stiff part of the Jacobian at the start of
the step. Its modes are found from an r x r symmetric matrix, so the functions phi_k(hL) cost a few
products with r rows, and nothing is factorised.

S. Krogstad, *J. Comput. Phys.* 203 (2005) 72 (ETDRK4-B); M. Hochbruck and A. Ostermann, *Acta Numerica* 19
(2010) 209. Coordinates, whose rates are speeds of the state, stand alike in both middle stages: E. Hairer, S. P. Noersett,
G. Wanner, *Solving Ordinary Differential Equations I*, Springer 1993, II.14 (Nystroem). Loads of random and extreme vehicles err
half as much as where each stage follows the speeds of the one before.

The error estimate h/6 phi_2(hL)(N_4 - N_new) is of third order: N_new is the first stage of the next step.
It is blind to forcing by time alone, so inputs must be linear between the corners of a motion.
"""

from dataclasses import dataclass
from math import atan2, cos, exp, factorial, hypot, sin, sqrt

import numpy as np

from .protocol import Motion

ORDER = 4
_SERIES_BELOW = 0.5
_SERIES = tuple(1.0 / factorial(4 + j) for j in reversed(range(14)))
"""Of phi_4, the highest power first."""


def phi_functions(z: float) -> tuple:
    """phi_1 to phi_4 at real z <= 0: phi_1 = (e^z - 1)/z, phi_(k+1) = (phi_k - 1/k!)/z.

    Returns
    -------
    tuple of 4 float
        To rounding for any z <= 0; a series below |z| = 0.5, where the formula cancels.
    """
    if z > -_SERIES_BELOW:
        total = 0.0
        for coefficient in _SERIES:
            total = total * z + coefficient
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
    def of(cls, slopes: np.ndarray, rows: np.ndarray, pulls: np.ndarray, slow: float = 0.0) -> "StiffModes":
        """Modes of ``-pulls^T diag(slopes) rows`` that decay faster than `slow` (1/s); ``rows pulls^T`` is taken as symmetric."""
        # A saturated force's slope is the difference of two numbers nearly alike, and may come out a hair below zero.
        slopes = np.maximum(slopes, 0.0)
        inner = rows @ pulls.T
        if len(slopes) == 2:
            decay, turned = _two_modes(slopes.tolist(), inner.tolist())
            fast = sum(x >= slow for x in decay)
            decay, turned = decay[:fast], turned[:fast]
        else:
            root = np.sqrt(slopes)
            decay, vectors = np.linalg.eigh(root[:, None] * (0.5 * (inner + inner.T)) * root)
            fast = int(np.searchsorted(decay, slow))
            turned = vectors.T[fast:] * root
            decay = decay[fast:].tolist()
        return cls(tuple(max(x, 0.0) for x in decay), turned @ pulls, turned @ rows)


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
    turned: np.ndarray


def attempt_step(
    motion: Motion, time: float, state: np.ndarray, step: float, first_rates: np.ndarray, modes: "StiffModes"
) -> "Attempt":
    """Try one step.

    Parameters
    ----------
    motion : Motion
        Its rates are asked for three times.
    time, step : float
    state, first_rates : ndarray, shape (n,)
        y and f(t, y).
    modes : StiffModes

    Returns
    -------
    Attempt
    """
    half, third = 0.5 * step, step / 3.0
    left, right, decays = modes.left, modes.right, modes.decay
    # Along the modes the stiff part is a diagonal: a_k are the modes' shares of the rates, b what a stage takes back.
    a_1 = right.dot(first_rates).tolist()
    halves = [phi_functions(-half * decay) for decay in decays]
    phi = [phi_functions(-step * decay) for decay in decays]
    bend = [-half * half * p[1] * a for p, a in zip(halves, a_1, strict=True)]
    middle = state + half * first_rates + np.array(bend).dot(left)
    coordinates = motion.coordinate_count
    speeds = slice(coordinates, 2 * coordinates)
    # Both middle stages stand where the mean of the first speeds and the second's leads: order 4 all the same (Nystroem).
    place = middle[:coordinates]
    place += 0.25 * step * (middle[speeds] - state[speeds])
    second_rates = motion.rates(time + half, middle)
    kept, back = [], []
    a_2 = right.dot(second_rates).tolist()
    for decay, p, first, second, b in zip(decays, halves, a_1, a_2, bend, strict=True):
        x_2 = half * p[0] * first
        s_2 = second - first + decay * x_2
        kept.append((x_2, s_2))
        back.append(b + step * (0.5 * x_2 - half * p[2] * s_2))
    later = state + half * second_rates + np.array(back).dot(left)
    later[:coordinates] = place
    third_rates = motion.rates(time + half, later)
    stages, back = [], []
    a_3 = right.dot(third_rates).tolist()
    for decay, p, q, first, slope, (x_2, s_2) in zip(decays, halves, phi, a_1, a_3, kept, strict=True):
        x_3 = x_2 + step * (0.5 - half * decay * p[2]) * s_2
        s_3 = slope - first + decay * x_3
        turned = 2.0 * step * q[2] * s_3
        x_4 = step * (q[0] * first + s_3 - decay * turned)
        bent = -step * step * q[1] * first
        stages.append((x_2 + x_3, x_4, s_2 + s_3, bent))
        back.append(bent + step * (x_3 - turned))
    fourth = state + step * third_rates + np.array(back).dot(left)
    last_rates = motion.rates(time + step, fourth)
    back = []
    a_4 = right.dot(last_rates).tolist()
    for decay, q, first, last, (x_23, x_4, s_23, bent) in zip(decays, phi, a_1, a_4, stages, strict=True):
        s_4 = last - first + decay * x_4
        stiff = step * (q[2] * (2.0 * s_23 - s_4) + 4.0 * q[3] * (s_4 - s_23))
        back.append(bent + step * (x_23 / 3.0 + x_4 / 6.0 - stiff))
    new = state + third * (0.5 * (first_rates + last_rates) + second_rates + third_rates) + np.array(back).dot(left)
    return Attempt(new, fourth, last_rates, np.array([2.0 * step * q[2] for q in phi]))


def estimate_error(
    attempt: "Attempt", new_state: np.ndarray, new_rates: np.ndarray, step: float, modes: "StiffModes"
) -> float:
    """Estimated error of a step, shape (n,)."""
    gap = attempt.last_rates - new_rates
    moved = modes.right.dot(attempt.last_stage - new_state)
    along = modes.right.dot(gap) + modes.decay * moved
    return (step / 6.0) * (gap + (moved - attempt.turned * along).dot(modes.left))
