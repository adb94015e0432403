"""How sure a punch is: the same draws as for creep, each run as a punch of its own in one batch.

Friction of the suspension is left out: a punch shakes it loose.
"""

import numpy as np

from model.errors import ModelError

from .punch_many import punch_many
from .survey import one_of
from .uncertainty import PERCENTILES, SEED, ErrorGroup, Interval

PUNCH_DRAWS = 200
NUMBERS = ("front_load_min_n", "front_airborne_s", "peak_nose_up_pitch_deg")


def punch_intervals(vehicles, *, grade_deg, draws=PUNCH_DRAWS, seed=SEED, throttle=1.0):
    """95 % intervals of a punch, and of what set-ups change in it.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Set-ups of one file share the errors of the parts they share; the first is what the others are
        held against.
    grade_deg, throttle : float
    draws, seed : int

    Returns
    -------
    tuple of dict
        One a vehicle: `setup`, an `Interval` by each of `NUMBERS`, and `difference` with the same keys
        (empty for the first).

    Raises
    ------
    ModelError
        Fewer than 10 draws.
    SolverError
        A vehicle, or one of its draws, has no standing pose.
    """
    if draws < 10:
        raise ModelError(f"{draws} draws give no interval; use 10 or more, such as {PUNCH_DRAWS}")
    group = ErrorGroup(vehicles)
    errors = group.draw(draws, seed)
    found = []
    for member in group.members:
        spread = member.shifted(errors)
        run = punch_many([member.vehicle, *(one_of(spread, case) for case in range(draws))], grade_deg=grade_deg,
                         throttle=throttle)
        found.append({name: getattr(run, name) for name in NUMBERS})
    results = []
    for member, samples in zip(group.members, found, strict=True):
        differences = {} if samples is found[0] else {n: _interval(samples[n] - found[0][n]) for n in NUMBERS}
        results.append({"setup": member.vehicle.setup, **{n: _interval(samples[n]) for n in NUMBERS},
                        "difference": differences})
    return tuple(results)


def _interval(values):
    """The vehicle's own number comes first, its draws after it."""
    own, draws = values[0], values[1:]
    good = draws[np.isfinite(draws)]
    failed = int(draws.size - good.size)
    value = float(own) if np.isfinite(own) else None
    if good.size < 10:
        return Interval(value, None, None, None, None, failed)
    low, high = (float(v) for v in np.percentile(good, PERCENTILES))
    return Interval(value, low, high, 0.5 * (high - low), None, failed)
