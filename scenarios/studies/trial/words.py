"""The words of a verdict: what may be said, and what may never be."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from .document import TrialPlan

if TYPE_CHECKING:
    from noseload.solvers.statistics.randomisation import RandomisationResult


FORBIDDEN = ("proves", "debunks", "wins", "no difference", "safe", "works on rock")
"""Words that no verdict or report may hold."""


def holds_forbidden(text: str) -> list[str]:
    """Forbidden words in a text."""
    return [word for word in FORBIDDEN if re.search(rf"\b{word}\b", text, re.IGNORECASE)]


def verdict_kind(plan: TrialPlan, result: RandomisationResult, *, control_seen: bool | None) -> str:
    """``difference``, ``smaller``, ``both`` or ``undecided``.

    A trial whose positive control was not seen cannot say that a difference is small, nor that it is one of the change.
    """
    found = result.status == "done" and result.p_two_sided <= plan.alpha + 1e-12 and control_seen is not False
    low, high = result.one_sided
    small = result.status == "done" and -plan.noticeable < low and high < plan.noticeable and control_seen is not False
    return {(True, True): "both", (True, False): "difference", (False, True): "smaller"}.get(
        (found, small), "undecided"
    )


def verdict_words(plan: TrialPlan, result: RandomisationResult, kind: str, *, control_seen: bool | None) -> str:
    """The verdict as a sentence, with vehicle, surface and grade."""
    show, confidence = plan.kind.show, f"{100 * (1 - plan.alpha):g} %"
    low, high = result.interval
    measured = (
        f"a difference of {show(result.difference, sign=True)} ({show(low, sign=True)} to {show(high, sign=True)}, "
        f"{confidence}) was measured here"
    )
    smaller = f"any difference here is smaller than {show(plan.noticeable)} ({confidence})"
    words = {"difference": measured, "smaller": smaller, "both": f"{measured}; {smaller}", "undecided": "undecided"}[
        kind
    ]
    if control_seen is False:
        words += ", for the positive control was not seen"
    if kind == "undecided" and math.isfinite(result.difference):
        words += f": the readings allow {show(low, sign=True)} to {show(high, sign=True)} ({confidence})"
    return f"{plan.context}, {plan.change} less {plan.reference}: {words}."


def prediction_words(
    plan: TrialPlan, result: RandomisationResult, *, control_seen: bool | None
) -> tuple[bool | None, str]:
    """Whether the trial agrees with the prediction (None: none was sealed, or nothing could be measured), in words."""
    if plan.prediction is None or result.status != "done":
        return None, ""
    if control_seen is False:
        return None, "The prediction was not tested: the positive control was not seen."
    show, (low, high) = plan.kind.show, result.interval
    predicted, margin = plan.prediction.difference, plan.prediction.margin
    agrees = predicted - margin <= high and predicted + margin >= low
    within = f" +- {show(margin)}" if margin else ""
    allowed = f"{show(low, sign=True)} to {show(high, sign=True)}"
    said = f"predicted {show(predicted, sign=True)}{within}, the readings allow {allowed}"
    if agrees:
        return True, f"The prediction lies within what was measured: {said}."
    return False, f"Prediction and trial disagree: {said}."
