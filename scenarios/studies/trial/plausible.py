"""Whether readings can be what was read: judged over all runs alike, blind to what was fitted."""

from __future__ import annotations

import math

import numpy as np

from .document import TrialPlan
from .errors import ReadingsError
from .readings import Readings

FAR_SHARE = 0.25
"""A reading that is off the middle of all by less than this share of it is never refused."""
FAR_SPREADS = 8.0
"""Nor one that is off by less than so many spreads, of the readings (by their median deviation) and of the plan."""
MEDIAN_DEVIATION = 1.4826
"""Standard deviation of a normal distribution over its median absolute deviation."""


def check_plausible(table: Readings, plan: TrialPlan, where: str) -> None:
    """Refuse readings that a slip of the pen explains better than the vehicle.

    Parameters
    ----------
    table : Readings
        Key closed.
    plan : TrialPlan
        Sealed scatter and effects: what may be that far apart.
    where : str
        File name for messages.

    Raises
    ------
    ReadingsError
        Naming run and column of each.
    """
    if plan.outcome == "pass_fail":
        return
    kept = np.array([not reason for reason in table.struck_out])
    values = np.where(kept[:, None], table.values, np.nan)
    known = values[np.isfinite(values)]
    if not known.size:
        return
    middle = float(np.median(known))
    spread = MEDIAN_DEVIATION * float(np.median(np.abs(known - middle)))
    effects = abs(plan.difference) + abs(plan.control_effect or 0.0)
    planned = FAR_SPREADS * math.hypot(plan.scatter.installation_sd, plan.scatter.reading_sd) + effects
    far = max(FAR_SHARE * abs(middle), FAR_SPREADS * spread, planned)
    faults = [
        f"run {run + 1}, reading_{repeat + 1}: {_fault(values[run, repeat], middle, far, plan)}"
        for run, repeat in np.argwhere(np.isfinite(values))
        if _fault(values[run, repeat], middle, far, plan)
    ]
    if faults:
        raise ReadingsError(where, faults)


def _fault(value: float, middle: float, far: float, plan: TrialPlan) -> str:
    kind = plan.kind
    hint = _slip(value, middle, far)
    if not kind.least <= value <= kind.most:
        return f"{value:g} {kind.unit} cannot be: {kind.words} lies between {kind.least:g} and {kind.most:g} {kind.unit}{hint}"
    if abs(value - middle) > far:
        return (
            f"{value:g} {kind.unit} is {abs(value - middle):.3g} {kind.unit} off the middle of all readings, {middle:.4g} "
            f"{kind.unit}{hint}; correct it, or give the reason in struck_out"
        )
    return ""


def _slip(value: float, middle: float, far: float) -> str:
    """Question about the slip of the pen that would explain a reading, or ''."""
    for meant in (10.0 * value, 0.1 * value, -value, 100.0 * value, 0.01 * value):
        if abs(meant - middle) <= min(far, 0.2 * abs(middle)):
            return f"; was {meant:.6g} meant?"
    return ""
