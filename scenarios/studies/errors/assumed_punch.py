"""Which of the assumed values move a punch: kept apart, since a crawl shall not load the motion of many."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.file.keys import KEYS
from noseload.model.file.reader import change_vehicle
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.wheels_many import punch_wheels_many
from noseload.studies.thresholds import Thresholds

from .assumed import large_effects

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.vehicle import Assumption, Vehicle

    from .assumed import AssumedEffect


LINE_WORDS = "times what can be measured"
"""Unit of `AssumedEffect.moves_by` in a punch: of front load, or of time in the air, whichever moves more."""

SINGLY_BELOW = 12
"""Fewer punches in space than this are run one by one."""


def assumed_in_punch(
    vehicles: Sequence[Vehicle], options: dict[str, Any], *, thresholds: Thresholds | None = None
) -> tuple[AssumedEffect, ...]:
    """Assumed values whose range moves a punch by more than a tenth of what can be measured.

    All in one batch. The answer is the smallest front load and the time in the air of the only vehicle, or what
    the others change in them against the first, each as a multiple of its line of measurement.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        The value is varied in all of them at once; the first says what is assumed.
    options : dict
        Of `punch_many`.
    thresholds : Thresholds, optional

    Returns
    -------
    tuple of AssumedEffect
        `moves_by` counts lines of measurement.
    """

    def answers(varied: list[Vehicle]) -> Any:
        run = punch_many(varied, **options)
        return run.front_load_min_n, run.front_airborne_s, run.success

    asked = [assumption for assumption in vehicles[0].assumed if not KEYS[assumption.key].space]
    return _that_matter(vehicles, asked, thresholds or Thresholds(), answers)


def assumed_in_wheels_punch(
    vehicles: Sequence[Vehicle], wheel: str, options: dict[str, Any], *, thresholds: Thresholds | None = None
) -> tuple[AssumedEffect, ...]:
    """The same for a punch in space: least load and time in the air of one wheel, what the side view does not see among it.

    Parameters
    ----------
    vehicles, thresholds
        As of `assumed_in_punch`.
    wheel : str
        'front_right', ...
    options : dict
        Of `punch_wheels_many`.
    """

    def answers(varied: list[Vehicle]) -> Any:
        run = punch_wheels_many(varied, singly_below=SINGLY_BELOW, **options)
        return run.array(f"{wheel}_load_min_n"), run.array(f"{wheel}_airborne_s"), run.success

    return _that_matter(vehicles, list(vehicles[0].assumed), thresholds or Thresholds(), answers)


def _that_matter(
    vehicles: Sequence[Vehicle], asked: list[Assumption], lines: Thresholds, answers: Callable
) -> tuple[AssumedEffect, ...]:
    """Those whose range moves the answers by enough; `answers` gives loads, times and successes of vehicles."""
    if not asked:
        return ()
    variants: list = [list(vehicles)]
    for item in asked:
        for value in (item.low, item.high):
            variants.append(_changed(vehicles, {item.key: value}))
    loads, times, success = answers([v for variant in variants for v in variant or ()])
    loads, times = loads / lines.measurable_load_n, times / lines.measurable_airborne_s
    found, place = [], 0
    for variant in variants:
        count = len(variant or ())
        cases = slice(place, place + count)
        place += count
        found.append(_in_lines(loads[cases], times[cases]) if count and success[cases].all() else None)
    here, rest = found[0], found[1:]
    if here is None:
        return ()
    sizes = [None if there is None else max(abs(t - h) for t, h in zip(there, here, strict=True)) for there in rest]
    return large_effects(asked, {item.key: sizes[2 * k : 2 * k + 2] for k, item in enumerate(asked)}, 1.0)


def _changed(vehicles: Sequence[Vehicle], values: dict[str, float]) -> list | None:
    try:
        return [change_vehicle(vehicle, values) for vehicle in vehicles]
    except ModelError:
        return None


def _in_lines(loads: np.ndarray, times: np.ndarray) -> tuple:
    """The two answers of one vehicle, or the differences of the others to the first."""
    if len(loads) == 1:
        return float(loads[0]), float(times[0])
    return tuple(float(v) for values in (loads, times) for v in values[1:] - values[0])
