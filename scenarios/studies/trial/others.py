"""What the other outcomes would find with a trial of the same size: the chance of each beside that of the chosen one."""

from __future__ import annotations

from dataclasses import dataclass

from noseload.model.errors import ModelError
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.orders import Design

from .outcomes import OUTCOMES, Outcome
from .power import Scatter, find_reach
from .prediction import predict_difference


@dataclass(frozen=True)
class OtherChance:
    """One outcome that was not chosen.

    Attributes
    ----------
    outcome : Outcome
    difference : float or None
        Predicted, change less reference.
    power : float or None
        Chance to find it with the typical scatter.
    why : str
        Why there is no number; '' where there is one.
    """

    outcome: Outcome
    difference: float | None = None
    power: float | None = None
    why: str = ""


def other_chances(
    vehicle_file: str,
    *,
    reference: str,
    change: str,
    chosen: str,
    grade_deg: float | None,
    design: Design,
    repeats: int,
    alpha: float,
    seed: int = 1,
) -> tuple[OtherChance, ...]:
    """Chances of the outcomes that were not chosen, at the same size and with the scatter that is typical of each.

    Parameters
    ----------
    vehicle_file : str
    reference, change : str
        Setups.
    chosen : str
        Key of the outcome of the plan.
    grade_deg : float or None
        Of the board, for those that need one.
    design : Design
        Of the plan.
    repeats : int
    alpha : float
    seed : int
    """
    found = []
    for outcome in OUTCOMES.values():
        if outcome.key == chosen:
            continue
        if outcome.typical_scatter is None:
            found.append(OtherChance(outcome, why="not calculated from a vehicle"))
            continue
        if outcome.needs_grade and grade_deg is None:
            found.append(OtherChance(outcome, why="needs the grade of the board (--grade)"))
            continue
        try:
            difference = predict_difference(
                vehicle_file,
                reference=reference,
                change=change,
                outcome=outcome.key,
                grade_deg=grade_deg,
                with_margin=False,
            ).difference
        except (ModelError, SolverError) as error:
            found.append(OtherChance(outcome, why=str(error).splitlines()[0]))
            continue
        scatter = Scatter(outcome.typical_scatter).of_mean(repeats, step=outcome.step)
        power = find_reach(design, scatter, alpha=alpha, seed=seed).power(difference)
        found.append(OtherChance(outcome, difference, power))
    return tuple(found)
