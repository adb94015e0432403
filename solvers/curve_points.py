"""Points of a curve of equilibria, and the corrector that finds one at a distance from another."""

from dataclasses import dataclass
from math import isfinite, sqrt
from typing import Any

import numpy as np

from .newton import Equilibrium, Solution

CORRECTIONS, PATIENT_CORRECTIONS = 8, 60
SMALLEST_DAMPING = 2.0**-10
TIGHT, LOOSE = 1e-11, 1e-7
"""Scaled residual of a place that is reported, and of a point that only shows the way."""
ROUNDING = 1e-9
"""Scaled residual below which a corrector that no longer gains has met rounding (very stiff vehicles)."""
SURELY, UNSEEN_FROM = 1e-2, 0.02
"""Share of the loose residual that the next step must promise to leave if it is to end the iteration unseen, and the scaled
distance of points from which on that is done: shorter steps are taken beside kinks, which keep no promise."""


@dataclass(frozen=True, eq=False)
class CurvePoint:
    """A point of a curve: state (n,), parameter, unit tangent in scaled space (n + 1,), arclength."""

    state: np.ndarray
    parameter: float
    tangent: np.ndarray
    arclength: float
    orientation: float
    """Sign of det(Jacobian by the state): it turns at every fold."""

    @property
    def sense(self) -> float:
        """Sign of det(Jacobian by state and parameter, tangent): one along a whole curve, kinks and folds included."""
        along = float(self.orientation * self.tangent[-1])
        return float((along > 0.0) - (along < 0.0))


def joined(state: np.ndarray, parameter: float) -> np.ndarray:
    """A state and its parameter in one array (n + 1), at a third of what `numpy.append` takes."""
    whole = np.empty(len(state) + 1)
    whole[:-1], whole[-1] = state, parameter
    return whole


def factored(equilibrium: Equilibrium, state: np.ndarray, parameter: float, direction: np.ndarray) -> tuple:
    """Residual, Jacobian, and the unit tangent (scaled) that goes along `direction`."""
    residual, jacobian = equilibrium.evaluate(state, parameter)
    scales = np.append(equilibrium.scales, 1.0)
    scaled = jacobian * scales / equilibrium.residual_scales[:, None]
    bordered = np.vstack([scaled, direction])
    right = np.zeros(len(bordered))
    right[-1] = 1.0
    tangent = np.linalg.solve(bordered, right)
    return residual, scaled, tangent / np.linalg.norm(tangent)


def start_curve(equilibrium: Equilibrium, solution: Solution, direction: float) -> CurvePoint:
    """First point of a curve, its tangent pointing to larger (+1) or smaller (-1) parameters."""
    axis = np.zeros(len(solution.state) + 1)
    axis[-1] = direction
    _, scaled, tangent = factored(equilibrium, solution.state, solution.parameter, axis)
    return CurvePoint(solution.state, solution.parameter, tangent, 0.0, orientation_of(scaled))


def orientation_of(scaled: np.ndarray) -> float:
    """Sign of the determinant by the state of a scaled Jacobian (n, n + 1)."""
    return float(np.linalg.slogdet(scaled[:, :-1])[0])


def corrected(
    equilibrium: Equilibrium,
    origin: CurvePoint,
    length: float,
    *,
    hint: Any = None,
    guess: np.ndarray | None = None,
    tolerance: float = TIGHT,
    patient: bool = False,
) -> tuple:
    """Corrector on a hyperplane at a distance from `origin`; (point or None, nfev).

    The hyperplane is normal to the origin's tangent, or to the chord to `hint`, at the share of the
    chord that `length` is of the arclength between them. `guess` starts the iteration nearer.
    A `patient` one shortens steps that do not gain: near a kink, full steps can go to and fro across it.
    """
    n = len(origin.state)
    scales, start = joined(equilibrium.scales, 1.0), joined(origin.state, origin.parameter)
    normal, distance = origin.tangent, length
    if hint is not None and hint.arclength > origin.arclength:
        chord = (joined(hint.state, hint.parameter) - start) / scales
        reach = sqrt(chord @ chord)
        normal = chord / reach
        distance = length / (hint.arclength - origin.arclength) * reach
    place = start + distance * normal * scales if guess is None else guess
    rows = 1.0 / equilibrium.residual_scales
    weights = rows[:, None] * scales
    bordered, right = np.empty((n + 1, n + 1)), np.zeros((n + 1, 2))
    bordered[n], right[n, 1] = normal, 1.0
    base, step = place, np.zeros(n + 1)
    may_trust = tolerance > TIGHT and length >= UNSEEN_FROM and not patient
    previous, damping, most = np.inf, 1.0, PATIENT_CORRECTIONS if patient else CORRECTIONS
    for nfev in range(1, most + 1):
        residual, jacobian = equilibrium.evaluate(place[:n], float(place[n]))
        right[:n, 0] = residual * rows
        right[n, 0] = normal @ ((place - start) / scales) - distance
        norm = float(abs(right[:, 0]).max())
        if patient and not norm < previous and previous > ROUNDING and damping > SMALLEST_DAMPING:
            damping *= 0.5
            place = base - damping * step
            continue
        if not isfinite(norm) or norm > 4.0 * previous + 1e-9:
            return None, nfev
        np.multiply(jacobian, weights, out=bordered[:n])
        try:
            solved = np.linalg.solve(bordered, right)
        except np.linalg.LinAlgError:
            return None, nfev
        # Newton's contraction squares: of a point that only shows the way the last step need not be looked at.
        last = nfev > 1 and may_trust and norm * (norm / previous) ** 2 <= SURELY * tolerance
        if norm <= tolerance or last or (max(norm, previous) <= ROUNDING and norm > 0.25 * previous):
            if last and norm > tolerance:
                place = place - solved[:, 0] * scales
            tangent = solved[:, 1] / sqrt(solved[:, 1] @ solved[:, 1])
            return CurvePoint(
                place[:n], float(place[n]), tangent, origin.arclength + length, orientation_of(bordered[:n])
            ), nfev
        previous, damping, base, step = norm, 1.0, place, solved[:, 0] * scales
        place = base - step
    return None, most
