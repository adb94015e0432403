"""Vehicles whose numbers are arrays, an entry a case: some cases as vehicles of their own, or the first ones alone."""

from dataclasses import replace
from typing import Any

import numpy as np

from noseload.model.vehicle import Vehicle


def one_of(vehicle: Vehicle, case: int) -> Vehicle:
    """The vehicle of one case of a vehicle of arrays."""
    return ones_of(vehicle, np.array([case]))[0]


def ones_of(vehicle: Vehicle, cases: Any) -> list[Vehicle]:
    """The vehicles of some cases of a vehicle of arrays; they share what has no arrays."""
    found = _picked(vehicle, np.asarray(cases, dtype=int))
    return [vehicle] * len(cases) if found is None else found


def first_of(value: Any, count: int) -> Any:
    """A vehicle of arrays, or a part of one, with its first cases alone."""
    if isinstance(value, np.ndarray):
        return value[:count]
    if isinstance(value, tuple):
        return tuple(first_of(item, count) for item in value)
    fields = getattr(value, "__dataclass_fields__", ())
    return replace(value, **{name: first_of(getattr(value, name), count) for name in fields}) if fields else value


def _picked(value: Any, cases: np.ndarray) -> list | None:
    """A value's part of each case, or None where it is the same for all."""
    if isinstance(value, np.ndarray):
        return value[cases].astype(float).tolist()
    if isinstance(value, tuple):
        parts = [_picked(item, cases) for item in value]
        if all(part is None for part in parts):
            return None
        wide = [[item] * cases.size if part is None else part for item, part in zip(value, parts, strict=True)]
        return list(zip(*wide, strict=True))
    fields = getattr(value, "__dataclass_fields__", ())
    varied = {name: part for name in fields if (part := _picked(getattr(value, name), cases)) is not None}
    if not varied:
        return None
    return [replace(value, **dict(zip(varied, parts, strict=True))) for parts in zip(*varied.values(), strict=True)]
