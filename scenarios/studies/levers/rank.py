"""What each number of the vehicle buys, and each whole change: tip-over, front load, attitude, ranked.

Numbers by exact derivatives (`slopes`), whole changes and setups by solving the changed vehicle.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from math import nan
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import Change
from noseload.model.sensitivity import as_setup, vary_file, vary_parts
from noseload.model.units import GRAM
from noseload.model.variation import COMPLEX_STEP, quantities_of, shift_file, shift_vehicle
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.slopes import OUTCOMES, CreepSlopes, chained, standing_slopes
from noseload.studies.punch.many import punch_many
from noseload.studies.thresholds import Thresholds

from .candidates import Candidate, effects_of, ordered, sort_out
from .over_splits import OpenDivision, effect_ends
from .rank_punch import PUNCH_OUTCOMES, levers_by_law, punch_outcomes, punches_by_law
from .results import PARTS, Rank, ends_of
from .rigid import rank_rigid, usual_grade, usual_outcome
from .whole import (
    as_outcomes,
    best_first,
    grams_at_the_wheels,
    less,
    ready_vehicles,
    solve_whole,
    whole_vehicles,
    with_intervals,
)
from .words import is_reading, label_of

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.variation import Quantity
    from noseload.studies.climb.slopes import Outcomes
    from noseload.studies.levers.results import WholeChange


UNIT_LEVERS = {
    "mass at the front wheels": (Change("front gram", {"add_g": GRAM}, {}, {"at": "front_wheels"}), 10.0, "g"),
    "mass at the rear wheels": (Change("rear gram", {"add_g": GRAM}, {}, {"at": "rear_wheels"}), 10.0, "g"),
    "wheelbase, links made longer": (Change("wheelbase", {"wheelbase_by_mm": 1e-3}), 1.0, "mm"),
    "ride height, both ends": (Change("height", {"ride_height_by_mm": 1e-3}), 1.0, "mm"),
    "ride height, rear": (Change("rear height", {"rear_ride_height_by_mm": 1e-3}), 1.0, "mm"),
    "ride height, front": (Change("front height", {"front_ride_height_by_mm": 1e-3}), 1.0, "mm"),
}
"""Levers that no single key holds: (change by one unit, practical units, unit)."""
FRONT_GRAM = "mass at the front wheels"


def rank(
    vehicle: Vehicle,
    *,
    grade_deg: float | None = None,
    parts: str = "fitted",
    by: str | None = None,
    punch: bool = False,
    punch_grade_deg: float | None = None,
    thresholds: Thresholds | None = None,
    intervals: int = 0,
    nose_down: bool = True,
    divided_numbers: bool = True,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> Rank:
    """Rank the ready-made changes of the trade, a vehicle's setups and changes, and every number of it.

    Parameters
    ----------
    vehicle : Vehicle
        Changes and setups of its file are ranked with it; without links (level A) as a rigid vehicle.
    grade_deg : float, optional
        Grade of load, attitude and grip: 45 deg, or less where the climb ends before.
    parts : {'fitted', 'kept'}
        'fitted': each number as if the file said so: links made to fit, springs set to the measured stand.
        'kept': the parts stay, so a moved link end turns the housing and a stiffer spring lifts the body.
    by : str, optional
        Outcome that ranks: the tip-over, or the front load where the vehicle slides or stalls before it tips.
    punch : bool
        Also the outcomes of a full-throttle punch (`rank_punch.PUNCH_OUTCOMES`), by differences in batches.
    punch_grade_deg : float, optional
        Of its least front load and airborne time: a degree and a half below the punch limit unless given.
    thresholds : Thresholds, optional
        What a gain is held against.
    intervals : int
        So many of the best ready-made changes are given 95 % intervals.
    nose_down : bool
        Also what setups and whole changes do to the tip-over nose down, which takes a path of its own each.
    divided_numbers : bool
        Also what every number does to the punch over plausible divisions of the pull: a quarter of its punches.
    executor : concurrent.futures.Executor, optional
        Where the punches are run.
    progress : callable, optional
        Called with (punches done, punches) of each round.

    Returns
    -------
    Rank
        Interrupted from the keyboard while punches run: without them, with `complete` False.

    Raises
    ------
    MissingDataError
        A punch of a file without links (level A).
    ModelError
        Unknown `parts` or `by`.
    SolverError
        The vehicle has no standing pose.
    """
    thresholds = thresholds or Thresholds()
    if vehicle.level == "A":
        return rank_rigid(vehicle, grade_deg, by, punch=punch, thresholds=thresholds, intervals=intervals)
    names = (*OUTCOMES, *(PUNCH_OUTCOMES if punch else ()))
    climb = Climb(vehicle)
    by = by or usual_outcome(climb.uphill_limits)
    _check(parts, by, names)
    grade = usual_grade(climb.uphill_limits.first_grade_deg) if grade_deg is None else float(grade_deg)
    creep = CreepSlopes(climb, grade)
    values, by_parameter = creep.values(), creep.by_parameter()
    own = as_outcomes(values)
    division = OpenDivision(climb, grade)
    candidates = _candidates(vehicle, climb, by_parameter, parts, division)
    nose_down |= by == "tip_over_downhill_grade_deg"
    wholes = [solve_whole(item, own, grade, division, nose_down=nose_down) for item in whole_vehicles(vehicle)]
    made = [solve_whole(item, own, grade, division, nose_down=nose_down) for item in ready_vehicles(vehicle)]
    if intervals and by in OUTCOMES:
        # Only the best are punched: a limit searched anew costs a second.
        best = {item.name for item in best_first([item for item, _ in made], by)[:intervals]}
        made, rest = (
            [pair for pair in made if pair[0].name in best],
            [pair for pair in made if pair[0].name not in best],
        )
    else:
        rest = []
    base, complete = None, True
    if punch:
        try:
            base, own, candidates, wholes, made = _with_punch(
                vehicle,
                own,
                candidates,
                wholes,
                made,
                punch_grade_deg,
                divided_numbers,
                partial(punch_many, executor=executor, progress=progress),
            )
        except KeyboardInterrupt:
            complete, names, by = False, OUTCOMES, by if by in OUTCOMES else OUTCOMES[0]
    levers, idle = sort_out(candidates, names)
    gram = next(item for item in candidates if item.name == FRONT_GRAM)
    per_gram = {name: None if effect is None else effect / 10.0 for name, effect in gram.effects.items()}
    levers = [replace(lever, equal_front_axle_g=grams_at_the_wheels(lever.effects, per_gram)) for lever in levers]
    wholes, ready = (
        [replace(item, equal_front_axle_g=grams_at_the_wheels(item.effects, per_gram)) for item, _ in found]
        for found in (wholes, made + [(_unpunched(item, names), changed) for item, changed in rest])
    )
    ready = best_first(ready, by)
    if intervals:
        ready = with_intervals(vehicle, ready, {c.name: v for c, v in made if v is not None}, grade, intervals)
    row = creep.row
    return Rank(
        vehicle.setup,
        grade,
        parts,
        by,
        own,
        tuple(ordered(levers, by)),
        tuple(ordered(wholes, by)),
        tuple(idle),
        "ok" if row.state is not None else row.status,
        row.message,
        standing_front_n=climb.row(0.0).front_load_n,
        punch_grade_deg=None if base is None else base.grade_deg,
        punch_ranges=None if base is None else base.ranges,
        complete=complete,
        ready_made=tuple(ready),
        thresholds=thresholds,
        limits=climb.uphill_limits,
    )


def _check(parts: str, by: str, names: tuple[str, ...]) -> None:
    if parts not in PARTS:
        raise ModelError(f"parts = {parts!r} is none of {', '.join(PARTS)}; use one of them")
    if by not in names:
        raise ModelError(f"by = {by!r} is none of {', '.join(names)}; use one of them")


def _candidates(
    vehicle: Vehicle, climb: Climb, by_parameter: Outcomes, parts: str, division: OpenDivision
) -> list[Candidate]:
    """Every lever with its exact creep effects."""
    fitted = parts == "fitted"
    quantities = [
        q for q in quantities_of(vehicle) if q.step > 0.0 and not _is_jump(q, climb) and not is_reading(q.key)
    ]
    varied = (vary_file if fitted else vary_parts)(vehicle, quantities)
    parameters = _parameters(climb, varied, len(quantities), nested=not fitted)
    slopes = chained(by_parameter, parameters)
    ranges = division.of_numbers(varied, parameters, slopes)

    def maker(quantity: Quantity) -> Callable:
        def make(sign: Any) -> Any:
            shift = {quantity.id: sign * quantity.step * quantity.factor}
            return shift_file(vehicle, shift) if fitted else as_setup(vehicle, shift_vehicle(vehicle, shift))

        return make

    found = [
        Candidate(
            q.name,
            label_of(q),
            q.step_words,
            q.assumed is not None,
            effects_of(slopes, k, q.step * q.factor),
            maker(q),
            effect_ends(ranges, k, q.step * q.factor),
        )
        for k, q in enumerate(quantities)
    ]
    for name, (change, units, unit) in UNIT_LEVERS.items():
        varied = apply_change(vehicle, change, 1j * COMPLEX_STEP)
        parameters = _parameters(climb, varied, 1, nested=True)
        slopes = chained(by_parameter, parameters)
        ends = effect_ends(division.of_numbers(varied, parameters, slopes), 0, units)

        def make(sign: float, change: Any = change, units: Any = units) -> Any:
            return apply_change(vehicle, change, sign * units)

        found.append(Candidate(name, name, f"{units:g} {unit}", False, effects_of(slopes, 0, units), make, ends))
    return found


def _is_jump(quantity: Quantity, climb: Climb) -> bool:
    """Gears at exactly one speed are another law of traction: there is no slope there."""
    return quantity.key == "drive.front_overdrive" and not climb.overdriven


def _parameters(climb: Climb, varied: Vehicle, count: int, *, nested: bool) -> np.ndarray:
    """Slopes of all kernel parameters by the variations, shape (P, count), through the standing pose."""
    standing = climb.standing
    if nested:
        # The varied vehicle is a setup of this one, standing where this one stands.
        standing = replace(standing, base=standing)
    return standing_slopes(standing, varied, count).parameters


def _with_punch(
    vehicle: Vehicle,
    own: Any,
    candidates: Any,
    wholes: Any,
    made: Any,
    grade_deg: float | None,
    divided_numbers: bool,
    many: Any,
) -> Any:
    """Base of the punch; outcomes, levers and whole changes with those of the punch, limits of the changes searched anew."""
    solved = [changed for _, changed in (*wholes, *made) if changed is not None]
    pairs = [item.pair() for item in candidates]
    base, found, outcomes = punch_outcomes(vehicle, pairs, solved, own["tip_over_grade_deg"], grade_deg, many)
    laws, divided = punches_by_law(vehicle, solved, base, own["tip_over_grade_deg"], many)
    own, punched = own | base.outcomes, iter(zip(outcomes, divided, strict=True))
    base = replace(base, by_law=tuple(laws))
    under = levers_by_law(vehicle, pairs, base, many) if divided_numbers else [[] for _ in pairs]
    candidates = [
        replace(item, effects=item.effects | more, ranges=item.ranges | _punch_ends(more, laws))
        for item, more, laws in zip(candidates, found, under, strict=True)
    ]
    return base, own, candidates, *(_punched(items, own, punched) for items in (wholes, made))


def _punch_ends(own: dict[str, float | None], laws: list[dict[str, float | None]]) -> dict[str, list[float]]:
    """Least and largest effect of a lever on the punch over the laws; without outcomes that have one number or none."""
    known = {name: [e for e in (own[name], *(law[name] for law in laws)) if e is not None] for name in PUNCH_OUTCOMES}
    return {name: list(ends_of(name, effects)) for name, effects in known.items() if len(effects) > 1}


def _unpunched(item: WholeChange, names: tuple[str, ...]) -> WholeChange:
    """A whole change whose punches were not run."""
    nothing = dict.fromkeys(names)
    return replace(item, outcomes=nothing | item.outcomes, effects=nothing | item.effects)


def _punched(items: Any, own: dict, punched: Any) -> Any:
    """Whole changes with the outcomes of their punches, and what these become under each law of division."""
    result = []
    for item, changed in items:
        more, divided = (dict.fromkeys(PUNCH_OUTCOMES), {}) if changed is None else next(punched)
        effects = less(more, own)
        by_law = {
            name: [nan if effect is None else effect for effect in (effects[name], *changes)]
            for name, changes in divided.items()
        }
        item = replace(item, outcomes=item.outcomes | more, effects=item.effects | effects)
        result.append((replace(item, by_law=item.by_law | by_law), changed))
    return result
