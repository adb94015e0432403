"""Derivatives of solved equations without solving them again.

With F(y, p) = 0 held, ``dy/dp = -F_y^-1 F_p``; of one outcome phi(y, p) the adjoint needs one solve for
all p at once: ``F_y^T a = phi_y``, ``dphi/dp = phi_p - a F_p``. M. B. Giles, N. A. Pierce, *Flow,
Turbulence and Combustion* 65, 2000.
"""

from typing import Any

import numpy as np


def state_slopes(jacobian: np.ndarray, by_parameter: np.ndarray) -> Any:
    """How the solved state moves, shape (n, m).

    Parameters
    ----------
    jacobian : ndarray, shape (n, n)
        F_y at the solution.
    by_parameter : ndarray, shape (n, m)
        F_p.

    Raises
    ------
    numpy.linalg.LinAlgError
        The Jacobian is singular: the solution is a fold.
    """
    return -np.linalg.solve(jacobian, by_parameter)


def outcome_slopes(
    jacobian: np.ndarray, by_parameter: np.ndarray, outcome_by_state: np.ndarray, outcome_by_parameter: float = 0.0
) -> Any:
    """How one outcome moves with every parameter, shape (m,): one linear solve.

    Parameters
    ----------
    jacobian, by_parameter : ndarray, shapes (n, n) and (n, m)
    outcome_by_state : ndarray, shape (n,)
    outcome_by_parameter : ndarray, shape (m,), or 0
        At fixed state.
    """
    adjoint = np.linalg.solve(jacobian.T, outcome_by_state)
    return outcome_by_parameter - adjoint @ by_parameter
