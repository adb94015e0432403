"""How many installations a trial needs, what an afternoon holds, and what is lost if it holds fewer."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from noseload.solvers.statistics.distributions import sd_upper_limit
from noseload.solvers.statistics.orders import Design

from .errors import TrialPlanError
from .outcomes import Outcome
from .power import Scatter, find_reach, power_of_shares, textbook_pairs

if TYPE_CHECKING:
    from noseload.studies.trial.power import Reach


SMALLEST_PAIRS, LARGEST_PAIRS = 4, 40
"""With 3 + 3 installations no p-value below 10 % exists; 80 installations are more than a long day."""


@dataclass(frozen=True)
class Question:
    """What a trial should find, in numbers of the outcome.

    Attributes
    ----------
    outcome : Outcome
    difference : float
        Difference worth finding, change less reference.
    noticeable : float
        Threshold of what would be noticed.
    scatter : Scatter
    repeats : int
        Readings of one installation; they are averaged and never counted as n.
    alpha, power : float
        Error rate and wanted power.
    drift : float
        Straight drift from one installation to the next.
    pass_share : float
        Share of passes with the reference (pass or fail only).
    order_kind : str or None
        Kind of order; None: the one that suits the size.
    """

    outcome: Outcome
    difference: float
    noticeable: float
    scatter: Scatter
    repeats: int = 3
    alpha: float = 0.05
    power: float = 0.8
    drift: float = 0.0
    pass_share: float = 0.5
    order_kind: str | None = None

    @property
    def scatter_sd(self) -> float:
        """Standard deviation of the mean reading of one installation."""
        if self.outcome.key == "pass_fail":
            share = self.pass_share + self.difference / 2.0
            return math.sqrt(self.scatter.installation_sd**2 + share * (1.0 - share) / self.repeats)
        return self.scatter.of_mean(self.repeats, step=self.outcome.step)


@dataclass(frozen=True)
class Afternoon:
    """Minutes at hand and what an installation costs; `minutes` None: as long as it takes."""

    minutes: float | None = None
    swap_minutes: float = 6.0
    run_minutes: float = 2.0
    other_installations: int = 0
    """Installations of the control and of A against A, done in the same time."""

    def minutes_for(self, pairs: int, repeats: int) -> float:
        """Time for a trial of so many pairs."""
        return (2 * pairs + self.other_installations) * (self.swap_minutes + repeats * self.run_minutes)

    def pairs_held(self, repeats: int) -> int:
        """Pairs that fit; a large number where the time is open."""
        if self.minutes is None:
            return LARGEST_PAIRS
        held = math.floor(self.minutes / (self.swap_minutes + repeats * self.run_minutes) + 1e-9)
        return max(0, held - self.other_installations) // 2


@dataclass(frozen=True)
class SizePoint:
    """One size on the power curve."""

    installations: int
    power: float
    smallest_p: float
    minutes: float


@dataclass(frozen=True)
class Sizing:
    """The size of a trial and what it can tell."""

    design: Design
    power: float
    power_smaller: float
    """Chance to show that the difference is below what would be noticed, if there is none."""
    smallest_difference: float | None
    """Smallest difference found with the wanted power; None where none is (or for pass or fail)."""
    smallest_p: float
    minutes: float
    wanted_pairs: int | None
    """Pairs that reach the wanted power; None beyond `LARGEST_PAIRS`."""
    handbook_pairs: int | None
    """Pairs by the noncentral t of a paired t test, for comparison."""
    scatter_sd: float
    scatter_sd_high: float | None
    """Upper 80 % limit of the scatter where it was found from few installations."""
    wanted_pairs_high: int | None
    curve: tuple[SizePoint, ...]
    lost: tuple[str, ...]
    """What fitting the trial into the afternoon costs, in sentences."""


def suitable_design(pairs: int, kind: str | None = None) -> Design:
    """The design for a number of pairs.

    Few installations need every order there is to reach a small p, with a straight drift fitted; seven or
    eight pairs are drawn one by one; from nine on, balanced pairs cancel a straight drift at hardly any cost.
    """
    if kind is None:
        kind = "free" if pairs <= 6 else "pairs" if pairs <= 8 else "balanced_pairs"
    return Design(kind, pairs)


def find_size(question: Question, afternoon: Afternoon, *, pairs: int | None = None, seed: int = 1) -> Sizing:
    """Choose the number of installations.

    Parameters
    ----------
    question : Question
    afternoon : Afternoon
    pairs : int, optional
        Take this size, whatever its power.
    seed : int
        Seed of the simulated trials behind the powers.

    Returns
    -------
    Sizing

    Raises
    ------
    TrialPlanError
        The afternoon is too short for any design whose smallest p reaches the error rate.
    """
    wanted = _wanted_pairs(question, seed)
    held = afternoon.pairs_held(question.repeats)
    if pairs is not None:
        chosen = pairs
    else:
        chosen = min(held, LARGEST_PAIRS if wanted is None else wanted)
        if question.order_kind == "mirrored":
            chosen -= chosen % 2
    _check_reachable(question, afternoon, chosen, held)
    design = suitable_design(chosen, question.order_kind)
    power, smaller = _power(question, design, seed), _power_smaller(question, design, seed)
    high = high_pairs = None
    if question.scatter.installations is not None and question.outcome.key != "pass_fail":
        high = sd_upper_limit(question.scatter_sd, question.scatter.installations - 1)
        factor = high / question.scatter_sd
        more = replace(
            question.scatter,
            installation_sd=question.scatter.installation_sd * factor,
            reading_sd=question.scatter.reading_sd * factor,
        )
        high_pairs = _wanted_pairs(replace(question, scatter=more), seed)
    smallest = None
    if question.outcome.key != "pass_fail":
        found = _reach(question, design, seed).smallest_difference(question.power)
        smallest = found if math.isfinite(found) else None
    return Sizing(
        design=design,
        power=power,
        power_smaller=smaller,
        smallest_difference=smallest,
        smallest_p=design.smallest_p(),
        minutes=afternoon.minutes_for(chosen, question.repeats),
        wanted_pairs=wanted,
        handbook_pairs=textbook_pairs(
            question.difference, question.scatter_sd, alpha=question.alpha, power=question.power
        ),
        scatter_sd=question.scatter_sd,
        scatter_sd_high=high,
        wanted_pairs_high=high_pairs,
        curve=_curve(question, afternoon, chosen, wanted, seed),
        lost=_lost(question, afternoon, chosen, wanted, power, smallest),
    )


def _reach(question: Question, design: Design, seed: int) -> Reach:
    return find_reach(design, question.scatter_sd, alpha=question.alpha, drift=question.drift, seed=seed)


def _power(question: Question, design: Design, seed: int) -> float:
    if question.outcome.key == "pass_fail":
        shares = (question.pass_share, question.pass_share + question.difference)
        return power_of_shares(design, shares, question.repeats, alpha=question.alpha, seed=seed)[0]
    return _reach(question, design, seed).power(question.difference)


def _power_smaller(question: Question, design: Design, seed: int) -> float:
    if question.outcome.key == "pass_fail":
        same, bound = (question.pass_share, question.pass_share), question.noticeable
        return power_of_shares(design, same, question.repeats, alpha=question.alpha, bound=bound, seed=seed)[1]
    return _reach(question, design, seed).power_smaller(question.noticeable)


def _design_or_none(question: Question, pairs: int) -> Design | None:
    if question.order_kind == "mirrored" and pairs % 2:
        return None
    design = suitable_design(pairs, question.order_kind)
    return design if design.smallest_p() <= question.alpha else None


def _wanted_pairs(question: Question, seed: int) -> int | None:
    """Smallest size with the wanted power, searched from below the handbook's size upwards."""
    start = textbook_pairs(question.difference, question.scatter_sd, alpha=question.alpha, power=question.power)
    if start is None or start > LARGEST_PAIRS + 5:
        return None
    for pairs in range(max(SMALLEST_PAIRS, start - 4), LARGEST_PAIRS + 1):
        design = _design_or_none(question, pairs)
        if design is not None and _power(question, design, seed) >= question.power:
            return pairs
    return None


def _check_reachable(question: Question, afternoon: Afternoon, pairs: int, held: int) -> None:
    if pairs >= 1 and _design_or_none(question, pairs) is not None:
        return
    least = next((p for p in range(SMALLEST_PAIRS, LARGEST_PAIRS + 1) if _design_or_none(question, p)), None)
    if least is None:
        fault = (
            f"no design of up to {2 * LARGEST_PAIRS} installations can reach p = {question.alpha:g}; "
            f"allow a larger --alpha"
        )
    elif pairs < held and pairs >= 1:
        smallest = suitable_design(pairs, question.order_kind).smallest_p() if pairs else 1.0
        fault = (
            f"{2 * pairs} installations can reach p = {smallest:.3g} at best, above the {question.alpha:g} asked for; "
            f"take at least {2 * least}"
        )
    else:
        fault = (
            f"{afternoon.minutes:g} minutes hold {2 * pairs} installations of the trial proper; the smallest "
            f"trial that can reach p = {question.alpha:g} has {2 * least} and takes "
            f"{afternoon.minutes_for(least, question.repeats):.0f} minutes: give more --minutes, fewer --repeats, "
            f"or leave out the control"
        )
    raise TrialPlanError("the size of the trial", [fault])


def _curve(
    question: Question, afternoon: Afternoon, chosen: int, wanted: int | None, seed: int
) -> tuple[SizePoint, ...]:
    top = min(LARGEST_PAIRS, max(chosen, wanted or chosen) + 4)
    sizes = sorted({*range(SMALLEST_PAIRS, top + 1, max(1, (top - SMALLEST_PAIRS) // 7)), chosen})
    points = []
    for pairs in sizes:
        design = _design_or_none(question, pairs)
        if design is None:
            continue
        power = _power(question, design, seed)
        points.append(SizePoint(2 * pairs, power, design.smallest_p(), afternoon.minutes_for(pairs, question.repeats)))
    return tuple(points)


def _lost(
    question: Question, afternoon: Afternoon, chosen: int, wanted: int | None, power: float, smallest: float | None
) -> tuple[str, ...]:
    if wanted is not None and chosen >= wanted:
        return ()
    show = question.outcome.show
    size = f"more than {2 * LARGEST_PAIRS}" if wanted is None else f"{2 * wanted}"
    time = "" if wanted is None else f" ({afternoon.minutes_for(wanted, question.repeats):.0f} minutes)"
    lines = [
        f"A power of {question.power:.0%} for {show(question.difference, sign=True)} takes {size} installations{time}; "
        f"{2 * chosen} find it with a chance of {power:.0%}."
    ]
    if smallest is not None:
        lines.append(
            f"With {question.power:.0%} this trial finds differences from {show(smallest)} up; "
            f"smaller ones will mostly end as undecided."
        )
    return tuple(lines)
