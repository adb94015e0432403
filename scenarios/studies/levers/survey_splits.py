"""What the open division of the pull between geared axles makes of a survey's changes of the front load."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from .survey import Survey

TOLD = ("percentile_5", "median", "percentile_95", "share_lower", "share_measurable", "share_noticed")
"""Of `Survey.distribution`."""


def over_splits(result: Survey) -> dict[str, Any] | None:
    """Ends over the laws of what is told of the changes, and the share of vehicles whose sign depends on the law; None without laws."""
    changes, lines = result.front_load_changes_n, result.thresholds
    if len(changes) < 2:
        return None
    noticed = lines.noticed_load_n(result.standing_front_n)
    found = [result.distribution(row, lines.measurable_load_n, noticed) for row in changes]
    told = [each for each in found if each["vehicles"]]
    if not told:
        return None
    whole = changes[:, np.isfinite(changes).all(axis=0)]
    signs = (whole < 0.0).any(axis=0) & (whole > 0.0).any(axis=0)
    ends: dict[str, Any] = {key: [min(e[key] for e in told), max(e[key] for e in told)] for key in TOLD}
    return ends | {"share_of_open_sign": float(signs.mean()) if signs.size else None}
