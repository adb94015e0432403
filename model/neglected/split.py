"""How geared axles that roll at different speeds divide the traction: a law of slip, not a number.

    F_i = mu_i N_i tanh((s + d_i) / kappa),   F_rear + F_front = F,   d_front - d_rear = mismatch

s is the slip that both have in common and kappa the slip at which grip builds up, both as shares of the travelling
speed. Without mismatch all wheels slip alike: F_i = F mu_i N_i / sum(mu N).
"""

import numpy as np

STEPS = 44
"""Newton steps, halvings where they leave the bracket."""
MOST = 0.999
"""Share of the whole grip at which traction is taken to end: past it no slip holds the load."""


def grip_used(traction: np.ndarray, grips: np.ndarray, mismatch: float | np.ndarray, scale: np.ndarray) -> np.ndarray:
    """Shares of their grips that rear and front axle use, as the slip law divides the traction.

    Parameters
    ----------
    traction : ndarray, shape (cases,)
        Sum of both axles, N.
    grips : ndarray, shape (2, cases)
        mu N of rear and front, N.
    mismatch : float or ndarray
        How much faster the front rolls, a share of the travelling speed.
    scale : float or ndarray
        kappa, above 0.

    Returns
    -------
    ndarray, shape (2, cases)
        tanh of either axle's slip over kappa: the front's more by the mismatch, the rear's less.
    """
    rear, front = np.maximum(grips, 0.0)
    half = 0.5 * np.asarray(mismatch) / scale
    wanted = np.clip(traction, -MOST * (rear + front), MOST * (rear + front))
    slip = np.arctanh(np.clip(wanted / np.maximum(rear + front, 1e-12), -MOST, MOST))
    # Half of the mismatch to either side both axles slip at least, or at most, as if there were none.
    low, high = slip - np.abs(half), slip + np.abs(half)
    for _ in range(STEPS):
        back, ahead = np.tanh(slip - half), np.tanh(slip + half)
        excess = rear * back + front * ahead - wanted
        low, high = np.where(excess < 0.0, slip, low), np.where(excess < 0.0, high, slip)
        slope = rear * (1.0 - back**2) + front * (1.0 - ahead**2)
        with np.errstate(all="ignore"):
            step = slip - excess / slope
        slip = np.where((step > low) & (step < high), step, 0.5 * (low + high))
    return np.array([np.tanh(slip - half), np.tanh(slip + half)])
