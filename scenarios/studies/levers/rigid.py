"""Ranking of a vehicle without links (level A) by the rigid model: squat and pitch are left out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import Change
from noseload.model.sensitivity import vary_file
from noseload.model.units import GRAM
from noseload.model.variation import COMPLEX_STEP, quantities_of
from noseload.studies.climb.rigid import NOTE, RigidClimb
from noseload.studies.climb.rigid_slopes import rigid_outcomes, rigid_slopes
from noseload.studies.climb.slopes import OUTCOMES
from noseload.studies.climb.sweep import grade_below

from .candidates import Candidate, effects_of, ordered, sort_out
from .results import Rank
from .whole import (
    as_outcomes,
    best_first,
    grams_at_the_wheels,
    ready_vehicles,
    solve_whole,
    whole_vehicles,
    with_intervals,
)
from .words import is_reading, label_of

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.results import Limits
    from noseload.studies.thresholds import Thresholds


USUAL_GRADE = 45.0
UNITS = {
    "mass at the front wheels": (Change("front gram", {"add_g": GRAM}, {}, {"at": "front_wheels"}), 10.0, "g"),
    "mass at the rear wheels": (Change("rear gram", {"add_g": GRAM}, {}, {"at": "rear_wheels"}), 10.0, "g"),
    "wheelbase, front axle moved": (Change("wheelbase", {"wheelbase_by_mm": 1e-3}), 1.0, "mm"),
    "ride height, both ends": (Change("height", {"ride_height_by_mm": 1e-3}), 1.0, "mm"),
}
"""Levers that no single key holds: (change by one unit, practical units, unit)."""
FRONT_GRAM = next(iter(UNITS))


def usual_grade(end_deg: float | None) -> float:
    """45 deg, or the steepest multiple of 5 deg that lies 3 deg below the end of the climb, grip and torque included."""
    return USUAL_GRADE if end_deg is None else min(USUAL_GRADE, grade_below(end_deg))


def usual_outcome(limits: Limits) -> str:
    """What ranks unless asked otherwise: a later tip-over is no help to a vehicle that slides or stalls before it."""
    return "front_load_n" if limits.first in ("grip", "torque") else "tip_over_grade_deg"


def rank_rigid(
    vehicle: Vehicle, grade_deg: float | None, by: str | None, *, punch: bool, thresholds: Thresholds, intervals: int
) -> Rank:
    """As `rank` for a vehicle of level A.

    Raises
    ------
    MissingDataError
        A punch was asked for.
    ModelError
        Unknown `by`.
    """
    if punch:
        raise MissingDataError(
            f"{vehicle.name}: a punch needs links and springs, and this file has none (level A); leave --punch out"
        )
    climb = RigidClimb(vehicle)
    by = by or usual_outcome(climb.limits)
    if by not in OUTCOMES:
        raise ModelError(f"by = {by!r} is none of {', '.join(OUTCOMES)}; use one of them")
    grade = usual_grade(climb.limits.first_grade_deg) if grade_deg is None else float(grade_deg)
    own = as_outcomes(rigid_outcomes(vehicle, grade))
    candidates = _candidates(vehicle, grade)
    levers, idle = sort_out(candidates, OUTCOMES)
    gram = next(item for item in candidates if item.name == FRONT_GRAM)
    per_gram = {name: None if effect is None else effect / 10.0 for name, effect in gram.effects.items()}
    wholes, made = (
        [solve_whole(item, own, grade) for item in make(vehicle)] for make in (whole_vehicles, ready_vehicles)
    )
    changes, ready = (
        [replace(item, equal_front_axle_g=grams_at_the_wheels(item.effects, per_gram)) for item, _ in found]
        for found in (wholes, made)
    )
    ready = best_first(ready, by)
    if intervals:
        ready = with_intervals(vehicle, ready, {c.name: v for c, v in made if v is not None}, grade, intervals)
    row = climb.row(grade)
    return Rank(
        vehicle.setup,
        grade,
        "fitted",
        by,
        own,
        tuple(ordered([replace(x, equal_front_axle_g=grams_at_the_wheels(x.effects, per_gram)) for x in levers], by)),
        tuple(ordered(changes, by)),
        tuple(idle),
        row.status if row.front_load_n is None else "ok",
        NOTE,
        standing_front_n=climb.loads(0.0)[1],
        ready_made=tuple(ready),
        thresholds=thresholds,
        limits=climb.limits,
    )


def _candidates(vehicle: Vehicle, grade: float) -> list:
    """Every number and unit lever with its exact effects."""
    quantities = [q for q in quantities_of(vehicle) if q.step > 0.0 and not is_reading(q.key)]
    slopes = rigid_slopes(vary_file(vehicle, quantities), len(quantities), grade)
    found = [
        Candidate(
            q.name, label_of(q), q.step_words, q.assumed is not None, effects_of(slopes, k, q.step * q.factor), None
        )
        for k, q in enumerate(quantities)
    ]
    for name, (change, units, unit) in UNITS.items():
        slopes = rigid_slopes(apply_change(vehicle, change, 1j * COMPLEX_STEP), 1, grade)
        found.append(Candidate(name, name, f"{units:g} {unit}", False, effects_of(slopes, 0, units)))
    return found
