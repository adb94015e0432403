"""Whole changes solved one by one: setups, `[changes.NAME]` and the ready-made ones of the trade, with intervals for the best."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from noseload.model.errors import ModelError
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import changes_of, ready_made_changes
from noseload.model.file.reader import parse_vehicle
from noseload.model.names import row_name
from noseload.solvers.errors import SolverError
from noseload.studies.climb.rigid import RigidClimb
from noseload.studies.climb.rigid_slopes import rigid_outcomes
from noseload.studies.climb.slopes import OUTCOMES, CreepSlopes
from noseload.studies.climb.sweep import climb_of

from .results import GAIN, LEAST, WholeChange

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.slopes import Outcomes

    from .over_splits import OpenDivision


DRAWS = 200
"""Of the intervals of the best ready-made changes."""


def as_outcomes(found: Outcomes) -> dict:
    """Outcomes by name, as plain numbers."""
    values = {name: getattr(found, name) for name in OUTCOMES}
    return {name: None if value is None else float(value) for name, value in values.items()}


def whole_vehicles(vehicle: Vehicle) -> Iterator:
    """(name, kind, label, vehicle or error) of every other setup and every change of the file."""
    root = vehicle
    while root.base is not None:
        root = root.base
    drive = vehicle.drive.driven_axles
    for name in ("base", *root.setups):
        if name != vehicle.setup:
            other = other_setup(root, name, drive)
            yield name, "setup", f"setup {row_name(other.setup)}", other
    for change in changes_of(vehicle):
        try:
            yield change.name, "change", change.describe(), apply_change(vehicle, change)
        except ModelError as error:
            yield change.name, "change", change.describe(), error


def other_setup(root: Vehicle, name: str, drive: str) -> Vehicle:
    """A setup of the same file, driven the same way."""
    return (
        root
        if name == "base"
        else parse_vehicle(
            root.document,
            file=root.file,
            sha256=root.sha256,
            setup=name,
            drive=drive,
            inherited={item.key: item for item in root.assumed},
        )
    )


def solve_whole(
    item: tuple, own: dict, grade: float, division: OpenDivision | None = None, *, nose_down: bool = True
) -> tuple:
    """The whole change with its creep outcomes, and its vehicle (None where it cannot be solved).

    `nose_down` : whether the tip-over nose down is among them. `division` : of the vehicle that is changed.
    """
    name, kind, label, vehicle = item
    nothing = dict.fromkeys(OUTCOMES)
    if isinstance(vehicle, Exception):
        return WholeChange(name, kind, label, nothing, nothing, {}, "no_solution", str(vehicle)), None
    try:
        climb, by_law = climb_of(vehicle), {}
        if isinstance(climb, RigidClimb):
            found, row = as_outcomes(rigid_outcomes(vehicle, grade)), climb.row(grade)
        else:
            creep = CreepSlopes(climb, grade)
            found, row = as_outcomes(creep.values(nose_down=nose_down)), creep.row
            by_law = {} if division is None else division.of_change(climb)
    except SolverError as error:
        return WholeChange(name, kind, label, nothing, nothing, {}, "no_solution", str(error)), None
    message = "" if row.status == "ok" else row.message
    change = WholeChange(name, kind, label, found, less(found, own), {}, "ok", message, by_law=by_law)
    return change, vehicle


def less(found: dict, own: dict) -> dict:
    """Outcomes less the vehicle's own; what is rounding is none."""
    return {n: None if None in (value, own[n]) else _not_rounding(n, value - own[n]) for n, value in found.items()}


def _not_rounding(name: str, difference: float) -> float | np.ndarray:
    return difference if abs(difference) > LEAST.get(name, 0.0) else 0.0


def grams_at_the_wheels(effects: dict[str, float], per_gram: dict) -> dict:
    """The mass at the front wheels that would buy the same, g; None where a gram there buys nothing.

    Parameters
    ----------
    effects : dict of str to float or None
    per_gram : dict of str to float or None
        What one gram at the front wheels does.
    """
    return {
        name: None
        if None in (effect, per_gram[name]) or abs(per_gram[name]) <= LEAST.get(name, 0.0)
        else effect / per_gram[name]
        for name, effect in effects.items()
    }


def ready_vehicles(vehicle: Vehicle) -> Iterator:
    """(name, kind, label, vehicle or error) of every ready-made change that a vehicle allows."""
    for change in ready_made_changes(vehicle):
        try:
            yield change.name, "ready_made", change.describe(), apply_change(vehicle, change)
        except ModelError as error:
            yield change.name, "ready_made", change.describe(), error


def best_first(items: list[WholeChange], by: str) -> list:
    """Solved changes by what they gain, most first; those without a number last."""
    return sorted(items, key=lambda item: (item.effects[by] is None, -GAIN.get(by, 1.0) * (item.effects[by] or 0.0)))


def with_intervals(
    vehicle: Vehicle, items: list[WholeChange], made: dict[str, Vehicle], grade_deg: float, count: int
) -> list:
    """The first `count` changes with 95 % intervals of what they change.

    Parameters
    ----------
    vehicle : Vehicle
    items : sequence of WholeChange
    made : dict of str to Vehicle
        The changed vehicles by name.
    grade_deg : float
    count : int
    """
    from noseload.studies.errors.uncertainty import difference_ends

    first = [item for item in items if item.name in made][:count]
    if not first:
        return list(items)
    changed = [vehicle, *(made[item.name] for item in first)]
    ends = difference_ends(changed, grade_deg=grade_deg, draws=DRAWS)
    spans = {
        item.name: {name: [low, high] for name, (low, _, high) in found.items()}
        for item, found in zip(first, ends, strict=True)
    }
    return [replace(item, intervals=spans.get(item.name, {})) for item in items]
