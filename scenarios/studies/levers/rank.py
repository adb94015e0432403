"""What each number of the vehicle buys, and each whole change: tip-over, front load, attitude, ranked.

Numbers by exact derivatives (`slopes`), whole changes and setups by solving the changed vehicle.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import Change, changes_of
from noseload.model.file.reader import parse_vehicle
from noseload.model.sensitivity import as_setup, vary_file, vary_parts
from noseload.model.units import GRAM
from noseload.model.variation import COMPLEX_STEP, quantities_of, shift_file, shift_vehicle
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.slopes import OUTCOMES, CreepSlopes, Outcomes, chained, standing_slopes
from noseload.studies.climb.sweep import grade_below
from noseload.studies.punch.many import punch_many
from noseload.studies.result import Result, field_values

from .rank_punch import PUNCH_OUTCOMES, lever_effects, punch_base, whole_outcomes

PARTS = ("fitted", "kept")
USUAL_GRADE = 45.0
FEW = 1e-9
"""Effects below this share of the largest count as none: rounding."""
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
ADVICE = (
    ("ride height", ("raise", "lower")),
    ("mass at", ("add", "take off")),
    ("wheelbase", ("longer", "shorter")),
    ("mass_g", ("more", "less")),
    ("weighed.", ("more", "less")),
    ("spring_rate", ("stiffer", "softer")),
    ("stiffness", ("stiffer", "softer")),
    ("radius", ("larger", "smaller")),
    ("travel", ("more", "less")),
    ("length", ("longer", "shorter")),
    ("grip", ("more", "less")),
)
"""Words for more and less of a quantity, by what its name holds."""


@dataclass(frozen=True)
class Lever:
    """What one number buys per practical unit.

    Attributes
    ----------
    name, label : str
        File key with its coordinate, and words for people.
    step : str
        Practical unit in words.
    effects : dict
        Change of each outcome for one practical unit more (forward, up, heavier); None where there is none.
    advice : dict
        Which way the outcome rises: 'raise', 'lower', 'move forward', ...; '' where it does not move.
    equal_front_axle_g : dict
        Mass at the front wheels that would buy the same, g (negative: taken off).
    assumed : bool
        The file does not give this number.
    """

    name: str
    label: str
    step: str
    effects: dict
    advice: dict
    equal_front_axle_g: dict
    assumed: bool = False

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class WholeChange:
    """A setup or a `[changes.NAME]`, solved.

    Attributes
    ----------
    kind : str
        'setup' or 'change'.
    outcomes, effects, equal_front_axle_g : dict
        What it has, what that is less the vehicle's own, and the mass at the front wheels that would buy it, g.
    status, message : str
        'ok' or 'no_solution'.
    """

    name: str
    kind: str
    label: str
    outcomes: dict
    effects: dict
    equal_front_axle_g: dict
    status: str = "ok"
    message: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Rank(Result):
    """Levers and whole changes of one vehicle, each list by size of its effect on `by`."""

    picture = "levers.rank.plot_tip_over_levers"
    setup: str
    grade_deg: float
    parts: str
    by: str
    outcomes: dict
    levers: tuple
    changes: tuple
    without_effect: tuple
    status: str = "ok"
    message: str = ""
    standing_front_n: float | None = field(default=None, repr=False)
    punch_grade_deg: float | None = None
    complete: bool = True
    """False where the punches were interrupted; their outcomes are then missing."""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = field_values(self, "levers", "changes", "message", "standing_front_n", "complete")
        values["status"] = self.status if self.complete else "partial"
        values["levers"] = [lever.to_dict() for lever in self.levers]
        values["changes"] = [change.to_dict() for change in self.changes]
        values["without_effect"] = list(self.without_effect)
        return values | ({"message": self.message} if self.message else {})

    def __repr__(self):
        best = self.levers[0] if self.levers else None
        tail = "" if best is None else f"; first {best.label}: {best.advice[self.by]}"
        return f"Rank({self.setup} at {self.grade_deg:g} deg: {len(self.levers)} levers, {len(self.changes)} changes{tail})"


def usual_grade(end_deg):
    """45 deg, or the steepest multiple of 5 deg that lies 3 deg below the end of the climb, grip and torque included."""
    if end_deg is None:
        return USUAL_GRADE
    return min(USUAL_GRADE, grade_below(end_deg))


def rank(
    vehicle: Vehicle,
    *,
    grade_deg: float | None = None,
    parts: str = "fitted",
    by: str = "tip_over_grade_deg",
    punch: bool = False,
    punch_grade_deg: float | None = None,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> Rank:
    """Rank every number of a vehicle, its setups and its changes.

    Parameters
    ----------
    vehicle : Vehicle
        With links; changes and setups of its file are ranked with it.
    grade_deg : float, optional
        Grade of load, attitude and grip: 45 deg, or less where the climb ends before.
    parts : {'fitted', 'kept'}
        'fitted': each number as if the file said so: links made to fit, springs set to the measured stand.
        'kept': the parts stay, so a moved link end turns the housing and a stiffer spring lifts the body.
    by : str
        Outcome that ranks.
    punch : bool
        Also the outcomes of a full-throttle punch (`rank_punch.PUNCH_OUTCOMES`), by differences in batches.
    punch_grade_deg : float, optional
        Of its least front load and airborne time: a degree and a half below the punch limit unless given.
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
        The file has no links (level A).
    ModelError
        Unknown `parts` or `by`.
    SolverError
        The vehicle has no standing pose.
    """
    names = (*OUTCOMES, *(PUNCH_OUTCOMES if punch else ()))
    _check(vehicle, parts, by, names)
    climb = Climb(vehicle)
    grade = usual_grade(climb.uphill_limits.first_grade_deg) if grade_deg is None else float(grade_deg)
    creep = CreepSlopes(climb, grade)
    values, by_parameter = creep.values(), creep.by_parameter()
    own = _as_dict(values)
    candidates = _candidates(vehicle, climb, by_parameter, parts)
    wholes = [_solve_whole(item, own, grade) for item in _whole_vehicles(vehicle)]
    base, complete = None, True
    if punch:
        try:
            base, own, candidates, wholes = _with_punch(
                vehicle,
                own,
                candidates,
                wholes,
                punch_grade_deg,
                partial(punch_many, executor=executor, progress=progress),
            )
        except KeyboardInterrupt:
            complete, names, by = False, OUTCOMES, by if by in OUTCOMES else OUTCOMES[0]
    levers, idle = _sort_out(candidates, names)
    gram = next(item for item in candidates if item.name == FRONT_GRAM)
    per_gram = {name: None if effect is None else effect / 10.0 for name, effect in gram.effects.items()}
    levers = [replace(lever, equal_front_axle_g=_grams(lever.effects, per_gram)) for lever in levers]
    wholes = [replace(item, equal_front_axle_g=_grams(item.effects, per_gram)) for item, _ in wholes]
    row = creep.row
    return Rank(
        vehicle.setup,
        grade,
        parts,
        by,
        own,
        tuple(_ordered(levers, by)),
        tuple(_ordered(wholes, by)),
        tuple(idle),
        "ok" if row.state is not None else row.status,
        row.message,
        standing_front_n=climb.row(0.0).front_load_n,
        punch_grade_deg=None if base is None else base.grade_deg,
        complete=complete,
    )


def _check(vehicle, parts, by, names):
    if parts not in PARTS:
        raise ModelError(f"parts = {parts!r} is none of {', '.join(PARTS)}; use one of them")
    if by not in names:
        raise ModelError(f"by = {by!r} is none of {', '.join(names)}; use one of them")
    if vehicle.level == "A":
        raise MissingDataError(f"{vehicle.name}: rank needs links and springs, and this file has none (level A)")


def _as_dict(outcomes: Outcomes):
    return {name: getattr(outcomes, name) for name in OUTCOMES}


def _ordered(items, by):
    return sorted(items, key=lambda item: -abs(item.effects[by] or 0.0))


@dataclass(frozen=True)
class _Candidate:
    """A lever before it is known whether it moves anything; `make(sign)` is the vehicle one unit more or less."""

    name: str
    label: str
    step: str
    assumed: bool
    effects: dict
    make: Callable

    def pair(self):
        """One practical unit more and one less."""
        return self.make(1.0), self.make(-1.0)


def _candidates(vehicle, climb, by_parameter, parts):
    """Every lever with its exact creep effects."""
    fitted = parts == "fitted"
    quantities = [q for q in quantities_of(vehicle) if q.step > 0.0 and not _is_jump(q, climb)]
    varied = (vary_file if fitted else vary_parts)(vehicle, quantities)
    slopes = _chain(climb, varied, len(quantities), by_parameter, nested=not fitted)

    def maker(quantity):
        def make(sign):
            shift = {quantity.id: sign * quantity.step * quantity.factor}
            return shift_file(vehicle, shift) if fitted else as_setup(vehicle, shift_vehicle(vehicle, shift))

        return make

    found = [
        _Candidate(
            q.name, label_of(q), q.step_words, q.assumed is not None, _effects(slopes, k, q.step * q.factor), maker(q)
        )
        for k, q in enumerate(quantities)
    ]
    for name, (change, units, unit) in UNIT_LEVERS.items():
        slopes = _chain(climb, apply_change(vehicle, change, 1j * COMPLEX_STEP), 1, by_parameter, nested=True)

        def make(sign, change=change, units=units):
            return apply_change(vehicle, change, sign * units)

        found.append(_Candidate(name, name, f"{units:g} {unit}", False, _effects(slopes, 0, units), make))
    return found


def _effects(slopes, k, amount):
    """Effects of one practical unit from slopes by SI unit."""
    found = {name: getattr(slopes, name) for name in OUTCOMES}
    return {name: None if slope is None else float(slope[k] * amount) for name, slope in found.items()}


def _sort_out(candidates, names):
    """Levers with advice, and the names of those that move nothing."""
    largest = {name: max((abs(item.effects[name] or 0.0) for item in candidates), default=0.0) for name in names}
    levers, idle = [], []
    for item in candidates:
        if all(abs(item.effects[name] or 0.0) <= FEW * largest[name] for name in names):
            idle.append(item.name)
            continue
        advice = {
            n: advice_for(item.name, e) if e and abs(e) > FEW * largest[n] else "" for n, e in item.effects.items()
        }
        levers.append(Lever(item.name, item.label, item.step, item.effects, advice, {}, item.assumed))
    return levers, idle


def _is_jump(quantity, climb):
    """Gears at exactly one speed are another law of traction: there is no slope there."""
    return quantity.key == "drive.front_overdrive" and not climb.overdriven


def _chain(climb, varied, count, by_parameter, *, nested):
    standing = climb.standing
    if nested:
        # The varied vehicle is a setup of this one, standing where this one stands.
        standing = replace(standing, base=standing)
    return chained(by_parameter, standing_slopes(standing, varied, count).parameters)


def advice_for(name, effect):
    """Which way to turn a lever so that the outcome rises, given the effect of more of it."""
    if name.endswith("[z]"):
        words = ("raise", "lower")
    elif name.endswith("[x]"):
        words = ("move forward", "move back")
    else:
        words = next((pair for part, pair in ADVICE if part in name), ("more", "less"))
    return words[0] if effect > 0.0 else words[1]


def label_of(quantity):
    """Words for a quantity: 'rear upper link, axle end, height'."""
    table, _, key = quantity.key.rpartition(".")
    for unit in ("_n_per_mm", "_n_s_per_m", "_kg_mm2", "_rad_per_s", "_mm_per_s", "_n_mm", "_mm", "_g"):
        key = key.removesuffix(unit)
    place = {"x": "position", "z": "height"}.get(quantity.axis, "")
    if table in ("rear", "front"):
        table, key = f"{table} {key}", ""
    parts = [table.replace(".", " "), key, place]
    return ", ".join(part for part in parts if part).replace("_", " ")


def _grams(effects, per_gram):
    return {
        name: None if None in (effect, per_gram[name]) or not per_gram[name] else effect / per_gram[name]
        for name, effect in effects.items()
    }


def _whole_vehicles(vehicle):
    """(name, kind, label, vehicle or error) of every other setup and every change of the file."""
    root = vehicle
    while root.base is not None:
        root = root.base
    drive = vehicle.drive.driven_axles
    for name in ("base", *root.setups):
        if name != vehicle.setup:
            yield name, "setup", f"setup {name}", other_setup(root, name, drive)
    for change in changes_of(vehicle):
        try:
            yield change.name, "change", change.describe(), apply_change(vehicle, change)
        except ModelError as error:
            yield change.name, "change", change.describe(), error


def other_setup(root, name, drive):
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


def _solve_whole(item, own, grade):
    """The whole change with its creep outcomes, and its vehicle (None where it cannot be solved)."""
    name, kind, label, vehicle = item
    nothing = dict.fromkeys(OUTCOMES)
    if isinstance(vehicle, Exception):
        return WholeChange(name, kind, label, nothing, nothing, {}, "no_solution", str(vehicle)), None
    try:
        climb = Climb(vehicle)
        found = _as_dict(CreepSlopes(climb, grade).values())
    except SolverError as error:
        return WholeChange(name, kind, label, nothing, nothing, {}, "no_solution", str(error)), None
    return WholeChange(name, kind, label, found, _less(found, own), {}, "ok", climb.row(grade).message), vehicle


def _less(found, own):
    return {n: None if None in (value, own[n]) else value - own[n] for n, value in found.items()}


def _with_punch(vehicle, own, candidates, wholes, grade_deg, many):
    """Base of the punch; outcomes, levers and whole changes with those of the punch, limits of the changes searched anew."""
    base = punch_base(vehicle, own["tip_over_grade_deg"], grade_deg, many)
    own = own | base.outcomes
    found = lever_effects([item.pair() for item in candidates], base, many)
    candidates = [replace(item, effects=item.effects | more) for item, more in zip(candidates, found, strict=True)]
    solved = [changed for _, changed in wholes if changed is not None]
    punched = iter(whole_outcomes(solved, base, own["tip_over_grade_deg"], many))
    result = []
    for item, changed in wholes:
        more = dict.fromkeys(PUNCH_OUTCOMES) if changed is None else next(punched)
        result.append((replace(item, outcomes=item.outcomes | more, effects=item.effects | _less(more, own)), changed))
    return base, own, candidates, result
