"""Which of the assumed values moved an answer enough to be worth measuring."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.file.keys import KEYS
from noseload.model.file.reader import change_vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.split import own_split

if TYPE_CHECKING:
    from noseload.model.vehicle import Assumption, Vehicle


SHARE_OF_THRESHOLD = 0.1
"""An assumed value is told when its range moves the answer by more than this share of the threshold."""
MOTION_ALONE = (
    "inertia_kg_mm2",
    "damping_n_s_per_m",
    "drag_brake_torque_n_mm",
    "no_load_speed_rad_per_s",
    "slip_speed_mm_per_s",
    "slip_ratio_scale",
)
"""Endings of keys that a steady climb of evenly geared axles does not use."""


@dataclass(frozen=True)
class AssumedEffect:
    """An assumed value with what its range does to the answer (in the answer's unit)."""

    key: str
    value: float
    low: float
    high: float
    unit: str
    moves_by: float | None
    """Largest change of the answer within the range; None where an end of the range has no answer."""

    def to_dict(self, answer_unit: Any) -> Any:
        """Keys of the JSON document; the effect's key ends with the unit of the answer."""
        values = dict(self.__dict__)
        values[f"moves_by_{answer_unit}"] = values.pop("moves_by")
        return values


def assumed_that_matter(vehicles: list[Vehicle], answer: Callable, threshold: float, *, space: bool = False) -> tuple:
    """Assumed values whose range moves an answer by more than a tenth of a threshold.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        The value is varied in all of them at once; the first says what is assumed.
    answer : callable
        Function of such a sequence: a tuple of numbers, None for one that has no answer.
    threshold : float
        In the unit of the answer.
    space : bool
        Whether the answer is about single wheels: only those depend on shafts, track and y.

    Returns
    -------
    tuple of AssumedEffect
        Largest effect first; those that leave no answer before all others.
    """
    vehicle = vehicles[0]
    overdriven = own_split(vehicle) is not None
    asked = [
        a
        for a in vehicle.assumed
        if (overdriven or not a.key.endswith(MOTION_ALONE)) and (space or not KEYS[a.key].space)
    ]
    if not asked:
        return ()
    here = answer(vehicles)
    if None in here:
        return ()
    moved = {
        item.key: [_moved(vehicles, item.key, value, answer, here) for value in (item.low, item.high)] for item in asked
    }
    return large_effects(asked, moved, threshold)


def large_effects(asked: list[Assumption], moved: dict[str, list], threshold: float) -> tuple:
    """Those of the asked values whose range matters, largest first.

    Parameters
    ----------
    asked : sequence of assumed values
    moved : dict of str to pair of float or None
        How far either end of a value's range moves the answer, by key.
    threshold : float

    Returns
    -------
    tuple of AssumedEffect
    """
    found = []
    for item in asked:
        size = None if None in moved[item.key] else max(moved[item.key])
        if size is None or size > SHARE_OF_THRESHOLD * threshold:
            found.append(AssumedEffect(item.key, item.value, item.low, item.high, item.unit, size))
    return tuple(sorted(found, key=lambda e: float("-inf") if e.moves_by is None else -e.moves_by))


def _moved(vehicles: Sequence[Vehicle], key: str, value: float, answer: Any, here: Any) -> Any:
    try:
        there = answer([change_vehicle(v, {key: value}) for v in vehicles])
    except (ModelError, SolverError):
        return None
    return None if None in there else max(abs(t - h) for t, h in zip(there, here, strict=True))
