"""How geared axles that roll at different speeds divide the traction: a law of slip, not a number.

    F_i = mu_i N_i tanh(s_i / w_i),   F_rear + F_front = F,   1 + s_front = ratio (1 + s_rear)

s_i is the slip of an axle and w_i the slip at which its grip builds up, both as shares of the travelling speed; the ratio
is that of the speeds at which front and rear roll. It is the steady motion of `noseload.studies.climb.split`. Where both
roll alike and have one w, all wheels slip alike: F_i = F mu_i N_i / sum(mu N).
"""

import numpy as np

STEPS = 20
"""Newton steps, halvings where they leave the bracket."""
CLOSE = 1e-9
"""How far past its bracket a step may go without being halved: at the root rounding takes it there."""
MOST = 0.999
"""Share of the whole grip at which traction is taken to end: past it no slip holds the load."""


def grip_used(
    traction: np.ndarray, grips: np.ndarray, mismatch: float | np.ndarray, widths: float | np.ndarray
) -> np.ndarray:
    """Shares of their grips that rear and front axle use, as the slip law divides the traction.

    Parameters
    ----------
    traction : ndarray, shape (cases,)
        Sum of both axles, N.
    grips : ndarray, shape (2, cases)
        mu N of rear and front, N.
    mismatch : float or ndarray
        How much faster the front rolls, a share of the travelling speed: the ratio less 1.
    widths : float or ndarray, shape (2, cases)
        w of rear and front, above 0.

    Returns
    -------
    ndarray, shape (2, cases)
        tanh of either axle's slip over its width.
    """
    rear, front = np.maximum(grips, 0.0)
    behind, ahead = np.broadcast_to(widths, np.shape(grips))
    ratio = 1.0 + np.asarray(mismatch)
    whole = np.maximum(rear + front, 1e-12)
    share = np.clip(traction / whole, -MOST, MOST)
    even = np.arctanh(share)
    # Slips of the rear at which it, or the front, uses as much of its grip as both would without a mismatch.
    ends = behind * even, (1.0 + ahead * even) / ratio - 1.0
    low, high = np.minimum(*ends), np.maximum(*ends)
    stiff = rear / behind + 1e-12, front * ratio / ahead
    slip = (stiff[0] * ends[0] + stiff[1] * ends[1]) / (stiff[0] + stiff[1])
    for _ in range(STEPS):
        first, second = np.tanh(slip / behind), np.tanh((ratio * (1.0 + slip) - 1.0) / ahead)
        found = (rear * first + front * second) / whole
        low, high = np.where(found < share, slip, low), np.where(found < share, high, slip)
        slope = (rear * (1.0 - first**2) / behind + front * (1.0 - second**2) * ratio / ahead) / whole
        with np.errstate(all="ignore"):
            # As of one axle that pulls for both: the arc of that tanh is nearly straight.
            step = slip - (np.arctanh(found) - even) * (1.0 - found**2) / slope
        inside = np.clip(step, low, high)
        slip = np.where(np.abs(step - inside) < CLOSE, inside, 0.5 * (low + high))
    return np.array([np.tanh(slip / behind), np.tanh((ratio * (1.0 + slip) - 1.0) / ahead)])
