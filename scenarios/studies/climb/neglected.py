"""Creep and tip-over of vehicles with what the equations leave out put in: solved, put in again, until nothing moves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, BatchGradeOf
from noseload.model.crawl.equilibrium import N
from noseload.model.parameters import ENDS, POSITION
from noseload.solvers.batch.newton import solve_batch

from .many import creep_many, tip_over_many

if TYPE_CHECKING:
    from noseload.model.batch.equilibrium import VehicleBatch
    from noseload.model.neglected.shifts import Neglected
    from noseload.solvers.batch.newton import BatchSolution
    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.results import Creep


SHARES = (0.2, 0.4, 0.6, 0.8, 1.0)
"""Steps in which failed cases are tried again."""
ROUNDS = 40
SETTLED = 1e-10
"""Largest change of a number between two rounds, m, at which nothing moves any more."""
ROUGHLY = 1e-9
"""Largest scaled residual of a round: what is put in still moves by more."""
WALKED = 1e-7
"""Change of a tip-over grade between two walks at which it has settled, rad."""
FOLLOWED = 1e-7
"""Change of a front load between two such walks at which it has settled, N."""
BOLD = 1.0
"""Largest share by which a round is extrapolated."""
OF_A_GRIP = 1e-3
"""What a change of a grip coefficient counts as, m: lengths and grips stand side by side."""
PATIENT = 10
"""Rounds after which half of what is asked for is put in: what swings to and fro comes to rest."""
NEAR_EVALUATIONS = 16
"""Of one round, twice what a start so near needs; a case that takes more is put in share by share."""
FAR = 1.0
"""Change by which a case has run away: it stays unsolved."""


def creep_near(climb: Climb, row: Creep) -> np.ndarray | None:
    """State of creep (13,) of a row of a climb, to start from; None where the row has no pose."""
    return None if row.state is None else climb.creep_state_of(row.state, radians(row.grade_deg))


def tip_near(climb: Climb) -> np.ndarray | None:
    """State of creep and grade (14,) at which a climb unloads its front axle, to start from; None where its path ends before."""
    tip = climb.tip_point()
    return None if tip is None else np.append(climb.creep_state_of(tip.state, tip.parameter), tip.parameter)


def creep_with(
    neglected: Neglected,
    grades: np.ndarray,
    *,
    near: np.ndarray | None = None,
    rounds: int = ROUNDS,
    settled: float = SETTLED,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
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

    def solve(
        numbers: VehicleBatch, states: np.ndarray, grades: np.ndarray, tolerance: float
    ) -> tuple[BatchSolution, np.ndarray]:
        creep = BatchCreep(numbers)
        found = solve_batch(creep, states, grades, tolerance=tolerance, max_evaluations=NEAR_EVALUATIONS, polish=False)
        return found, creep.outputs(found.states, grades)[0][1].copy()

    start = states.copy()
    loads, states = _settle_patiently(neglected, states, grades, solve, rounds, settled)
    failed = np.flatnonzero(np.isnan(loads))
    if failed.size and settled <= SETTLED:
        some = neglected.take(failed)
        loads[failed], states[:, failed] = _followed_up(some, start[:, failed], grades[failed], rounds)
    return loads, np.where(np.isfinite(loads), -states[1], np.nan), states


def _followed_up(
    neglected: Neglected, states: np.ndarray, grades: np.ndarray, rounds: int
) -> tuple[np.ndarray, np.ndarray]:
    """Loads and states of cases that no near start reaches (a stop is met on the way): followed from level, round by round."""

    def follow(numbers: VehicleBatch, starts: np.ndarray, some: np.ndarray) -> tuple[BatchSolution, np.ndarray]:
        creeps = creep_many(numbers, some)
        return creeps.solution, creeps.front_load

    return _put_in_again(neglected, states, grades, (follow, _creep_from), rounds, FOLLOWED)


def _creep_from(numbers: VehicleBatch, starts: np.ndarray, grades: np.ndarray) -> tuple[BatchSolution, np.ndarray]:
    creep = BatchCreep(numbers)
    found = solve_batch(creep, starts, grades, max_evaluations=NEAR_EVALUATIONS)
    return found, creep.outputs(found.states, grades)[0][1].copy()


def _put_in_again(
    neglected: Neglected, states: np.ndarray, grades: np.ndarray | None, solvers: tuple, rounds: int, settled: float
) -> tuple[np.ndarray, np.ndarray]:
    """Answers and states of cases solved again and again, each round with what their last poses put in.

    The first of the solvers follows a case from afar; the second starts from the pose before, once there is one. A case
    that has settled or is lost needs no further round.
    """
    afar, near = solvers
    before, found, left = np.full(states.shape[1], np.inf), np.full(states.shape[1], np.nan), np.arange(states.shape[1])
    states = states.copy()
    for turn in range(rounds):
        starts, some = states[:, left], None if grades is None else grades[left]
        numbers = neglected.take(left).numbers(starts[:N], starts[N] if some is None else some)
        solution, answers = (near if turn else afar)(numbers, starts, some)
        again = np.flatnonzero(~solution.success) if turn else left[:0]
        if again.size:
            part, answers[again] = afar(numbers.take(again), starts[:, again], None if some is None else some[again])
            solution = solution.patched(again, part)
        solved = solution.success
        states[:, left[solved]] = solution.states[:, solved]
        still = solved & (np.abs(answers - before[left]) < settled)
        found[left[still]] = answers[still]
        before[left] = answers
        left = left[solved & ~still]
        if left.size == 0:
            break
    return found, states


def tip_over_with(
    neglected: Neglected, *, near: np.ndarray | None = None, rounds: int = ROUNDS, settled: float = SETTLED
) -> np.ndarray:
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

    def solve(numbers: VehicleBatch, states: np.ndarray, _: Any, tolerance: float) -> tuple[BatchSolution, np.ndarray]:
        tip = BatchGradeOf(BatchCreep(numbers), 1)
        found = solve_batch(tip, states, 0.0, tolerance=tolerance, max_evaluations=NEAR_EVALUATIONS, polish=False)
        return found, found.states[N].copy()

    answers, _ = _settle_patiently(neglected, near, None, solve, rounds, settled)
    failed = np.flatnonzero(np.isnan(answers))
    if failed.size and settled <= SETTLED:
        answers[failed] = _walked_up(neglected.take(failed), near[:, failed], rounds)
    return answers


def _walked_up(neglected: Neglected, states: np.ndarray, rounds: int) -> np.ndarray:
    """Tip-over of cases that no near start reaches (a coil comes loose on the way): from standing, round by round."""

    def walk(numbers: VehicleBatch, starts: np.ndarray, _: Any) -> tuple[BatchSolution, np.ndarray]:
        tips = tip_over_many(numbers)
        return tips.solution, tips.grades

    return _put_in_again(neglected, states, None, (walk, _tip_from), rounds, WALKED)[0]


def _tip_from(numbers: VehicleBatch, starts: np.ndarray, _: Any) -> tuple[BatchSolution, np.ndarray]:
    tip = BatchGradeOf(BatchCreep(numbers), 1)
    found = solve_batch(tip, starts, 0.0, max_evaluations=NEAR_EVALUATIONS)
    return found, found.states[N].copy()


def _settle_patiently(
    neglected: Neglected, states: np.ndarray, grades: np.ndarray | None, solve: Callable, rounds: int, settled: float
) -> tuple[np.ndarray, np.ndarray]:
    """As `_settle`; what is left out of the cases that fail is put in share by share."""
    start = states.copy()
    answers, states = _settle(neglected, states, grades, solve, rounds, settled)
    failed = np.flatnonzero(np.isnan(answers))
    if failed.size == 0 or neglected.left.nothing:
        return answers, states
    slowly = neglected.take(failed)
    some, near = None if grades is None else grades[failed], start[:, failed]
    for share in SHARES:
        part = replace(slowly, left=slowly.left.scaled(share))
        found, near = _settle(part, near, some, solve, rounds, settled)
    answers[failed], states[:, failed] = found, near
    return answers, states


def _settle(
    neglected: Neglected, states: np.ndarray, grades: np.ndarray | None, solve: Callable, rounds: int, settled: float
) -> tuple[np.ndarray, np.ndarray]:
    """Rounds of solving and putting in; the answers and states of the cases that settle.

    What is put in is extrapolated from the last two rounds (D. G. Anderson, *J. ACM* 12, 1965, of depth one).
    """
    cases = neglected.batch.cases
    answers, left = np.full(cases, np.nan), np.arange(cases)
    # Numbers that only motion uses are not known here.
    used = np.flatnonzero(np.isfinite(neglected.batch.parameters).all(axis=1))
    weights = np.where(np.isin(used, [POSITION[f"{end}_grip"] for end in ENDS]), OF_A_GRIP, 1.0)[:, None]
    put_in = asked = had = None
    tolerance = min(ROUGHLY, settled)
    for turn in range(rounds + 1):
        some = neglected if left.size == cases else neglected.take(left)
        with np.errstate(all="ignore"):
            wanted = some.numbers(states[:N, left], states[N, left] if grades is None else grades[left])
            new = wanted.parameters[used]
            excess: Any = None if put_in is None else weights * (new - put_in)
            lost = ~np.isfinite(new).all(axis=0)
        quiet = np.zeros(left.size, dtype=bool)
        if excess is not None:
            moved = np.abs(excess).max(axis=0)
            quiet, lost = moved < settled, lost | (moved > FAR)
        answers[left[lost]] = np.nan
        go_on = np.flatnonzero(~quiet & ~lost)
        left = left[go_on]
        if left.size == 0:
            return answers, states
        new, excess = new[:, go_on], None if excess is None else excess[:, go_on]
        next_in = new
        if put_in is not None and turn >= PATIENT:
            next_in = 0.5 * (new + put_in[:, go_on])
        elif had is not None and asked is not None:
            next_in = _extrapolated(new, excess, had[:, go_on], asked[:, go_on])
        had, asked = excess, new
        numbers = wanted.take(go_on)
        numbers.parameters[used] = put_in = next_in
        found, values = solve(numbers, states[:, left], None if grades is None else grades[left], tolerance)
        states[:, left] = np.where(found.success, found.states, states[:, left])
        answers[left] = np.where(found.success, values, np.nan)
        alive = np.flatnonzero(found.success)
        left, put_in, asked = left[alive], put_in[:, alive], asked[:, alive]
        had = None if had is None else had[:, alive]
        if left.size == 0:
            return answers, states
    # Left without having settled: no answer rather than a rough one.
    answers[left] = np.nan
    return answers, states


def _extrapolated(wanted: np.ndarray, excess: np.ndarray, excess_before: Any, wanted_before: Any) -> np.ndarray:
    """What to put in next: the last two rounds mixed so that the excess is smallest."""
    change = excess - excess_before
    size = (change**2).sum(axis=0)
    share = np.where(size > 0.0, (excess * change).sum(axis=0) / np.where(size > 0.0, size, 1.0), 0.0)
    share = np.clip(share, -BOLD, BOLD)
    return wanted - share * (wanted - wanted_before)
