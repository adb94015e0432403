"""Errors alike in every reading of an evening: the zero of the angle gauge, the gain of a scale.

No scatter shows them and no repeat takes them out, so they are stated, and every result takes its share once.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import hypot
from typing import Any

from noseload.csv_input import Column
from noseload.solvers.statistics.least_squares import coverage_factor

from .measurement import Estimate

GAUGE_ZERO = Column(
    "gauge_zero_error_deg",
    "standard error of the angle gauge's zero, alike in every row",
    low=0,
    default=0.2,
    required=False,
)
SCALE_GAIN = Column(
    "scale_gain_error_percent",
    "standard error of the scale's gain, alike in every row",
    low=0,
    default=0.5,
    required=False,
)
PULL_GAIN = Column(
    "pull_gain_error_percent",
    "the same of the scale that is pulled (0, and the other too, where one scale read both)",
    low=0,
    default=0.5,
    required=False,
)
LOAD_ERROR = Column("load_error_g", "standard error of the load", low=0, default=2.0, required=False)

KNOWN_MASS = (
    "Weigh a known mass (a calibration weight, counted new coins) near the loads you read: correct the readings by it and state "
    "how well it agrees as scale_gain_error_percent; 0.5 is taken otherwise."
)
END_FOR_END = (
    "Turn the angle gauge end for end on the board: half the difference of the two readings is its zero error. Take it off every "
    "angle and state what is left as gauge_zero_error_deg; 0.2 is taken otherwise."
)


def gain(settings: Mapping[str, Any], column: Column = SCALE_GAIN) -> float:
    """Standard error of a scale's gain as a share of what it reads."""
    return 0.01 * float(settings[column.name])


def gains(settings: Mapping[str, Any]) -> tuple[float, float]:
    """Of the scale that weighed and of the scale that was pulled: a pull over a load feels both."""
    return gain(settings), gain(settings, PULL_GAIN)


def with_common(estimate: Estimate, *spreads: float) -> Estimate:
    """An estimate with what common errors do to it, one standard error each in its unit.

    Both ends of the interval move out by the root of the sum of squares; what is not known stays unknown.
    """
    spread = hypot(*spreads)
    if spread == 0.0 or estimate.standard_error is None:
        return estimate
    half = float(coverage_factor(float("inf"))) * spread
    low = None if estimate.low is None else estimate.value - hypot(estimate.value - estimate.low, half)
    high = None if estimate.high is None else estimate.value + hypot(estimate.high - estimate.value, half)
    return replace(estimate, standard_error=hypot(estimate.standard_error, spread), low=low, high=high)


def in_proportion(estimate: Estimate, *shares: float) -> Estimate:
    """An estimate that goes in proportion (or inversely) with readings whose gains err by `shares`."""
    return with_common(estimate, *(share * abs(estimate.value) for share in shares))
