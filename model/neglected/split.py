"""How geared axles that roll at different speeds divide the traction: a law of slip, not a number.

    F_i = mu_i N_i tanh((s + d_i) / kappa),   F_rear + F_front = F,   d_front - d_rear = mismatch

s is the slip that both have in common and kappa the slip at which grip builds up, both as shares of the travelling
speed. Without mismatch all wheels slip alike: F_i = F mu_i N_i / sum(mu N).
"""

import numpy as np

STEPS = 12
"""Halvings and Newton steps are mixed; from the middle twelve give all digits."""
LEAST = 1e-9
"""Smallest share of its grip that the rear axle is taken to use where the ratio divides by it."""
MOST = 0.999
"""Share of the whole grip at which traction is taken to end: past it no slip holds the load."""


def grip_ratio(traction, grips, mismatch, scale):
    """By what the ratio of grips in the zero-speed law is to be multiplied, so that it divides as the slip law does.

    Parameters
    ----------
    traction : ndarray, shape (cases,)
        Sum of both axles, N.
    grips : ndarray, shape (2, cases)
        mu N of rear and front, N.
    mismatch : float or ndarray
        How much faster the front rolls, a share of the travelling speed.
    scale : float or ndarray
        kappa.

    Returns
    -------
    ndarray
        tanh of the front's slip over tanh of the rear's.

    Notes
    -----
    Both axles slip by half of the mismatch to either side of a common slip s, found by bisection and Newton steps.
    """
    rear, front = np.maximum(grips, 0.0)
    half = 0.5 * np.asarray(mismatch) / np.where(np.asarray(scale) > 0.0, scale, 1.0)
    wanted = np.clip(traction, -MOST * (rear + front), MOST * (rear + front))
    low = np.full(np.shape(wanted), -20.0) - np.abs(half)
    high = -low
    slip = np.arctanh(np.clip(wanted / np.maximum(rear + front, 1e-12), -MOST, MOST))
    for _ in range(STEPS):
        back, ahead = np.tanh(slip - half), np.tanh(slip + half)
        excess = rear * back + front * ahead - wanted
        low, high = np.where(excess < 0.0, slip, low), np.where(excess < 0.0, high, slip)
        slope = rear * (1.0 - back**2) + front * (1.0 - ahead**2)
        with np.errstate(all="ignore"):
            step = slip - excess / slope
        slip = np.where((step > low) & (step < high), step, 0.5 * (low + high))
    back = np.tanh(slip - half)
    ratio = np.tanh(slip + half) / np.where(np.abs(back) < LEAST, np.copysign(LEAST, back), back)
    return np.where(half == 0.0, 1.0, ratio)
