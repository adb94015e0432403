"""Creep and tip-over of vehicles with what the equations leave out put in: solved, put in again, until nothing moves."""

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, BatchTipOver
from noseload.model.crawl.equilibrium import N
from noseload.solvers.batch.newton import solve_batch

from .many import creep_many, tip_over_many

ROUNDS = 40
SETTLED = 1e-10
"""Largest change of a number between two rounds, m (grips: as they are), at which nothing moves any more."""
FAR = 1.0
"""Change by which a case has run away: it stays unsolved."""


def creep_with(neglected, grades, *, near=None, rounds=ROUNDS, settled=SETTLED):
    """Front load and pitch on a grade with what is left out.

    Parameters
    ----------
    neglected : Neglected
    grades : ndarray, shape (cases,) or float
        rad.
    near : ndarray, shape (13, cases) or (13,), optional
        States to start from.
    rounds : int
    settled : float

    Returns
    -------
    loads, pitches, states : ndarray, shape (cases,), (cases,) and (13, cases)
        N and rad (nose up); not a number where a case is not solved or does not settle.
    """
    batch, cases = neglected.batch, neglected.batch.cases
    grades = np.broadcast_to(np.asarray(grades, dtype=float), (cases,)).copy()
    if near is None:
        states = creep_many(batch, grades).solution.states.copy()
    else:
        states = np.broadcast_to(near if near.ndim == 2 else near[:, None], (N, cases)).copy()

    def solve(cases_left, numbers, states, grades):
        creep = BatchCreep(numbers)
        found = solve_batch(creep, states, grades)
        return found, creep.outputs(found.states, grades)[0][1].copy()

    loads, states = _settle(neglected, states, grades, solve, rounds, settled)
    return loads, np.where(np.isfinite(loads), -states[1], np.nan), states


def tip_over_with(neglected, *, near=None, rounds=ROUNDS, settled=SETTLED):
    """Grade at which the front axle carries nothing, with what is left out.

    Parameters
    ----------
    neglected : Neglected
    near : ndarray, shape (14, cases) or (14,), optional
        State and grade to start from.
    rounds : int
    settled : float

    Returns
    -------
    ndarray, shape (cases,)
        rad; not a number where a case is not solved or does not settle.
    """
    batch, cases = neglected.batch, neglected.batch.cases
    if near is None:
        near = tip_over_many(batch).solution.states
    near = np.broadcast_to(near if near.ndim == 2 else near[:, None], (N + 1, cases)).copy()

    def solve(cases_left, numbers, states, _):
        found = solve_batch(BatchTipOver(BatchCreep(numbers), 1), states, 0.0)
        return found, found.states[N].copy()

    return _settle(neglected, near, None, solve, rounds, settled)[0]


def _settle(neglected, states, grades, solve, rounds, settled):
    """Rounds of solving and putting in; the answers and states of the cases that settle."""
    cases = neglected.batch.cases
    answers, left = np.full(cases, np.nan), np.arange(cases)
    numbers = None
    # Numbers that only motion uses are not known here.
    used = np.isfinite(neglected.batch.parameters).all(axis=1)
    for _ in range(rounds + 1):
        if left.size == 0:
            break
        some = neglected if left.size == cases else neglected.take(left)
        slopes = states[N, left] if grades is None else grades[left]
        with np.errstate(all="ignore"):
            put_in = some.numbers(states[:N, left], slopes)
            sound = np.isfinite(put_in.parameters[used]).all(axis=0)
            moved = np.full(left.size, np.inf)
            if numbers is not None:
                moved = np.abs(put_in.parameters - numbers)[used].max(axis=0)
        quiet = moved < settled
        sound &= ~(np.isfinite(moved) & (moved > FAR))
        answers[left[~sound]] = np.nan
        go_on = sound & ~quiet
        left = left[go_on]
        if left.size == 0:
            break
        put_in = put_in.take(np.flatnonzero(go_on))
        found, values = solve(left, put_in, states[:, left], None if grades is None else grades[left])
        states[:, left] = np.where(found.success, found.states, states[:, left])
        answers[left] = np.where(found.success, values, np.nan)
        numbers, left = put_in.parameters[:, found.success], left[found.success]
    else:
        # Left without having settled: no answer rather than a rough one.
        answers[left] = np.nan
    return answers, states
