"""Damped Newton iteration for one equilibrium, with capped steps and a branch check.

C. T. Kelley, *Iterative Methods for Linear and Nonlinear Equations*, SIAM 1995, ch. 8 (line search).
"""

from dataclasses import dataclass
from math import isfinite
from typing import Protocol

import numpy as np

from .errors import SolverError, Status

SMALLEST_DAMPING = 2.0**-12
JUMPS = 4
"""Full steps taken past a kink (a stop engaging) where shortened ones do not gain: the watchdog of
R. M. Chamberlain et al., *Mathematical Programming Study* 16, 1982."""
JUMP_BELOW = 2.0**-5
"""Damping at which that is tried."""
NEAR = 0.5
"""Share of the step limits within which a step is short enough to be taken on trust."""


class Equilibrium(Protocol):
    """What a solver sees: n equations in n unknowns and one further parameter.

    `scales` (n) and `residual_scales` (n) make unknowns and equations comparable; `step_limits` (n)
    cap one Newton step (infinite where free).
    """

    names: tuple
    equation_names: tuple
    scales: np.ndarray
    residual_scales: np.ndarray
    step_limits: np.ndarray

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (n) and Jacobian (n, n + 1); the last column belongs to the parameter."""

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """None where the state is meaningful, else a sentence why not."""


@dataclass(frozen=True, eq=False)
class Solution:
    """One solved (or failed) equilibrium.

    Attributes
    ----------
    status : Status
    message : str
    state : ndarray, shape (n,)
    parameter : float
    residual_norm : float
        Largest scaled residual, evaluated again at `state`.
    jacobian : ndarray, shape (n, n + 1)
        At `state`.
    nfev : int
        Evaluations of residual and Jacobian together.
    history : tuple of float
        Largest scaled residual before each step.
    """

    status: Status
    message: str
    state: np.ndarray
    parameter: float
    residual_norm: float
    jacobian: np.ndarray
    nfev: int
    history: tuple

    @property
    def success(self) -> bool:
        """True for a converged solve."""
        return self.status is Status.CONVERGED

    def raise_for_status(self) -> "Solution":
        """Return self, or raise `SolverError` with this failed result."""
        if not self.success:
            raise SolverError(self.status, self.message, self)
        return self


def _worst(equilibrium: Equilibrium, residual: np.ndarray) -> tuple[int, float]:
    scaled = np.abs(residual) / equilibrium.residual_scales
    k = int(np.argmax(np.where(np.isfinite(scaled), scaled, np.inf)))
    return k, float(scaled[k])


def _explain(equilibrium: Equilibrium, status: Status, residual: np.ndarray, iterations: int, parameter: float) -> str:
    k, size = _worst(equilibrium, residual)
    return (
        f"Newton iteration stopped after {iterations} steps at parameter {parameter:.6g}: {status.value}. "
        f"Largest residual in equation '{equilibrium.equation_names[k]}': {size:.3g} of its scale."
    )


def solve(
    equilibrium: Equilibrium, start: np.ndarray, parameter: float, *, tolerance: float = 1e-11, max_iterations: int = 40
) -> "Solution":
    """Solve an equilibrium at a fixed parameter.

    Parameters
    ----------
    equilibrium : Equilibrium
    start : array_like, shape (n,)
    parameter : float
    tolerance : float
        Largest scaled residual of a solution.
    max_iterations : int

    Returns
    -------
    Solution
        Converged or not: look at `status`. A converged one was accepted by `equilibrium.accept`.
    """
    state = np.array(start, dtype=float)
    rows, caps = 1.0 / equilibrium.residual_scales, 1.0 / equilibrium.step_limits
    residual, jacobian = equilibrium.evaluate(state, parameter)
    nfev, history = 1, []
    norm = float(abs(residual * rows).max())
    status, jumps = Status.OUT_OF_ITERATIONS, JUMPS
    for _ in range(max_iterations):
        history.append(norm)
        if not isfinite(norm):
            status = Status.NOT_FINITE
            break
        if norm <= tolerance:
            status = Status.CONVERGED
            break
        try:
            step = np.linalg.solve(jacobian[:, :-1], residual)
        except np.linalg.LinAlgError:
            status = Status.SINGULAR
            break
        excess = float(abs(step * caps).max())
        if not isfinite(excess):
            status = Status.NOT_FINITE
            break
        damping, full = 1.0 if excess <= 1.0 else 1.0 / excess, None
        while damping >= SMALLEST_DAMPING:
            trial = state - damping * step
            new_residual, new_jacobian = equilibrium.evaluate(trial, parameter)
            nfev += 1
            new_norm = float(abs(new_residual * rows).max())
            found = trial, new_residual, new_jacobian, new_norm
            full = full or found
            # A capped step may pass a ridge.
            if new_norm < norm or new_norm <= tolerance or (excess > 1.0 and new_norm < 2.0 * norm):
                break
            damping *= 0.5
            if damping < JUMP_BELOW and jumps > 0 and excess < NEAR and isfinite(full[-1]):
                found, jumps = full, jumps - 1
                break
        if damping < SMALLEST_DAMPING:
            status = Status.DIVERGED
            break
        state, residual, jacobian, norm = found
    message = "converged"
    if status is Status.CONVERGED:
        objection = equilibrium.accept(state, parameter)
        if objection is not None:
            status, message = Status.REJECTED, objection
    else:
        message = _explain(equilibrium, status, residual, len(history), parameter)
    return Solution(status, message, state, float(parameter), norm, jacobian, nfev, tuple(history))
