"""What each thing that the model leaves out, or that nobody measured, is worth for one vehicle: grams, degrees, a setup."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from math import degrees, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.file.key import with_unit
from noseload.model.file.keys import KEYS
from noseload.model.file.reader import change_vehicle
from noseload.model.names import row_name
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.neglected import creep_near, tip_near
from noseload.studies.climb.spread import stand_spread
from noseload.studies.climb.sweep import climb_of, grade_below
from noseload.studies.result import Result

from .assumed import MOTION_ALONE
from .error_group import LEFT_OUT_KEYS
from .friction import SHARES
from .left_out import ENDS_OF_RANGE, ENVELOPE, PLAIN, Entry, is_answered, open_entries
from .left_out_numbers import Doubted, doubted_outcomes, doubted_rigid
from .lost_ends import lost_pose, no_crawl
from .uncertainty import DRAWS, LEFT_OUT_DRAWS, SEED, Uncertainty, uncertainty

if TYPE_CHECKING:
    from noseload.studies.climb.creep import Climb


NUMBERS = ("front_load_n", "tip_over_grade_deg")
LEAST_SHARE = 0.02
"""An assumed value that moves the load by less than this share of the largest row is left out of the table."""


@dataclass(frozen=True)
class Worth:
    """Ends of what a doubt can make of a number, less the number calculated; None where an end has none."""

    low: float | None
    high: float | None

    @classmethod
    def of(cls, changes: np.ndarray) -> Worth:
        """Of changes at the ends of a range; nothing is among them."""
        if changes.size == 0 or not np.isfinite(changes).all():
            return cls(None, None)
        return cls(float(min(changes.min(), changes.max())), float(changes.max()))

    @property
    def size(self) -> float:
        """Furthest from nothing; without end where that is not known."""
        return float("inf") if self.low is None or self.high is None else max(abs(self.low), abs(self.high))

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Doubt:
    """One row.

    Attributes
    ----------
    key : str
        Of the table, or of the file where a value is assumed.
    words, range_words, how, recipe : str
    front_load_n, tip_over_grade_deg : Worth
        Of the first setup.
    difference : dict of str to Worth
        Of what the second setup changes, both in the same state; empty without a second one.
    own : dict of str to Worth
        The same where friction holds each setup in a state of its own; only for friction.
    """

    key: str
    words: str
    range_words: str
    how: str
    recipe: str
    front_load_n: Worth
    tip_over_grade_deg: Worth
    difference: dict = field(default_factory=dict)
    own: dict = field(default_factory=dict)
    lost: str = ""
    """Why a number has no answer somewhere in the range; '' where all have."""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        document: dict[str, Any] = {
            "key": self.key,
            "words": self.words,
            "range": self.range_words,
            "how": self.how,
            "recipe": self.recipe,
            "front_load_n": self.front_load_n.to_dict(),
            "tip_over_grade_deg": self.tip_over_grade_deg.to_dict(),
        }
        for name in ("difference", "own"):
            if getattr(self, name):
                document[name] = {key: worth.to_dict() for key, worth in getattr(self, name).items()}
        if self.lost:
            document["no_answer"] = self.lost
        return document


@dataclass(frozen=True)
class Doubts(Result):
    """Result of `doubts`: rows by what they are worth in front load, largest first.

    Attributes
    ----------
    name : str
    setups : tuple of str
        The first, and the one whose change is asked for where there is one.
    grade_deg : float
    rows : tuple of Doubt
    answered : tuple of str
        What the file settles, in words.
    sure : Uncertainty
        Both parts apart and together.
    unsaid : tuple of str
        Why a setup itself has no load at the grade, or no tip-over: a sentence each.
    """

    picture = "climb.doubts.plot_doubts"
    name: str
    setups: tuple
    grade_deg: float
    rows: tuple
    answered: tuple
    sure: Uncertainty
    unsaid: tuple = ()

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "name": self.name,
            "setups": list(self.setups),
            "grade_deg": self.grade_deg,
            "doubts": [row.to_dict() for row in self.rows],
            "answered": list(self.answered),
            "unsaid": list(self.unsaid),
            "uncertainty": self.sure.to_dict(),
        }


def doubts(
    vehicles: Sequence[Vehicle],
    *,
    grade_deg: float | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
    left_out_draws: int = LEFT_OUT_DRAWS,
) -> Doubts:
    """What each doubt is worth for a vehicle, and for what a setup changes.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        One, or the reference and the setup whose change is asked for.
    grade_deg : float, optional
        By default the steepest multiple of 5 deg that lies 3 deg below the first limit of both.
    draws, seed, left_out_draws : int
        Of the intervals below the table.

    Returns
    -------
    Doubts

    Raises
    ------
    ModelError
        No vehicle, or more than two.
    SolverError
        A vehicle has no standing pose.
    """
    if not 1 <= len(vehicles) <= 2:
        raise ModelError(f"doubts: {len(vehicles)} setups; give one, or a reference and one setup")
    climbs: list[Any] = [climb_of(v) for v in vehicles]
    grade = grade_below(min(c.limits.first_grade_deg for c in climbs)) if grade_deg is None else float(grade_deg)
    rows = doubt_rows(vehicles, climbs, grade)
    answered = tuple(entry.words for entry in PLAIN if entry.crawl and is_answered(vehicles[0], entry))
    sure = uncertainty(vehicles, grade_deg=grade, draws=draws, seed=seed, left_out_draws=left_out_draws, climbs=climbs)
    unsaid = tuple(why for v, climb in zip(vehicles, climbs, strict=True) for why in _unsaid(v, climb, grade))
    return Doubts(vehicles[0].name, tuple(v.setup for v in vehicles), grade, rows, answered, sure, unsaid)


def _unsaid(vehicle: Vehicle, climb: Any, grade_deg: float) -> list[str]:
    """Why a vehicle as calculated has no load, or no tip-over."""
    limits, found = climb.limits, [no_crawl(vehicle, climb.row(grade_deg))]
    if limits.tip_over_grade_deg is None:
        why = climb.end_message("front") or f"it {limits.first_does} at {limits.first_grade_deg:.2f} deg"
        found.append(f"{row_name(vehicle.setup)} has no tip-over: {why}")
    return [why for why in found if why]


def doubt_rows(vehicles: Sequence[Vehicle], climbs: list, grade_deg: float) -> tuple[Doubt, ...]:
    """The rows alone, largest first: tuple of Doubt.

    Parameters
    ----------
    vehicles, climbs : sequence of Vehicle and of their climbs
        One, or a reference and one setup.
    grade_deg : float
    """
    cases = _Cases(vehicles[0])
    found = [cases.changes(v, climb, grade_deg) for v, climb in zip(vehicles, climbs, strict=True)]
    rows = []
    for entry, place in cases.places:
        row = _row(entry, place, found)
        rows.append(replace(row, lost=cases.lost(vehicles, climbs, place, found, grade_deg)))
    rows += _assumed_rows(vehicles, climbs, grade_deg, rows)
    return tuple(sorted(rows, key=lambda row: (-row.front_load_n.size, -row.tip_over_grade_deg.size)))


class _Cases:
    """One column of sizes for every end of every entry's range."""

    def __init__(self, vehicle: Vehicle) -> None:
        self.places: list[tuple[Entry, slice]] = []
        columns: list[dict[str, float]] = []
        for entry in open_entries(vehicle):
            ends = _ends(entry)
            self.places.append((entry, slice(len(columns), len(columns) + len(ends))))
            columns += ends
        self.count, self.columns = len(columns), columns
        names = sorted({name for column in columns for name in column})
        self.sizes = {name: np.array([column.get(name, 0.0) for column in columns]) for name in names}
        if "lengthwise_stiffness" in self.sizes:
            # Divides where nothing is moved as well.
            self.sizes["lengthwise_stiffness"][self.sizes["lengthwise_stiffness"] == 0.0] = 1.0

    def changes(self, vehicle: Vehicle, climb: Climb, grade_deg: float) -> dict[str, np.ndarray]:
        """Of each number, less the number calculated, shape (cases,)."""
        doubted, row = Doubted(self.sizes), climb.row(grade_deg)
        tip = climb.limits.tip_over_grade_deg
        if self.count == 0:
            return {name: np.zeros(0) for name in NUMBERS}
        if vehicle.level == "A":
            found = doubted_rigid(vehicle, radians(grade_deg), doubted, self.count)
        else:
            found = doubted_outcomes(
                vehicle,
                stand_spread(vehicle, self.count, near=climb.standing).batch,
                radians(grade_deg),
                doubted,
                near=creep_near(climb, row),
                near_tip=tip_near(climb),
                divided=climb.overdriven,
                quick=False,
            )
        plain = dict(zip(NUMBERS, (row.front_load_n, tip), strict=True))
        return {name: found[name] - (np.nan if plain[name] is None else plain[name]) for name in NUMBERS}

    def lost(self, vehicles: Sequence[Vehicle], climbs: list, place: slice, found: list, grade_deg: float) -> str:
        """Why an entry has no answer in part of its range, of the first setup that a pose is lost of; '' where all are there."""
        for vehicle, climb, changes in zip(vehicles, climbs, found, strict=True):
            if vehicle.level == "A" or climb.row(grade_deg).front_load_n is None:
                continue
            gone = np.flatnonzero(np.isnan(changes["front_load_n"][place]))
            if gone.size:
                return lost_pose(vehicle, climb, self.columns[place][gone[0]], grade_deg)
            tips = np.isnan(changes["tip_over_grade_deg"][place])
            if tips.any() and climb.limits.tip_over_grade_deg is not None:
                column = self.columns[place][np.flatnonzero(tips)[0]]
                return lost_pose(vehicle, climb, column, climb.limits.tip_over_grade_deg)
        return ""


def _ends(entry: Entry) -> list:
    """Sizes at the ends of an entry's range; of friction over a grid of states."""
    if entry.how == ENVELOPE:
        states = [part.name for part in entry.parts if part.own]
        most = {part.name: part.high for part in entry.parts if not part.own}
        return [dict(zip(states, shares, strict=True)) | most for shares in SHARES.tolist()]
    names = [part.name for part in entry.parts]
    return [dict(zip(names, ends, strict=True)) for ends in product(*((p.low, p.high) for p in entry.parts))]


def _row(entry: Entry, place: slice, found: list[dict[str, np.ndarray]]) -> Doubt:
    values = [{name: changes[name][place] for name in NUMBERS} for changes in found]
    difference, own = {}, {}
    if len(found) == 2:
        first, other = values
        difference = {name: Worth.of(other[name] - first[name]) for name in NUMBERS}
        if entry.how == ENVELOPE:
            own = {name: Worth.of((other[name][:, None] - first[name]).ravel()) for name in NUMBERS}
    worth: dict[str, Any] = {name: Worth.of(values[0][name]) for name in NUMBERS}
    texts = entry.key, entry.words, entry.range_words, entry.how, entry.recipe
    return Doubt(*texts, **worth, difference=difference, own=own)


def _assumed_rows(vehicles: Sequence[Vehicle], climbs: list[Climb], grade_deg: float, rows: list[Doubt]) -> list:
    """Values that the file does not give, at the ends of their ranges, where they move the load enough to be told."""
    vehicle, found = vehicles[0], []
    least = LEAST_SHARE * max([row.front_load_n.size for row in rows if np.isfinite(row.front_load_n.size)] + [0.0])
    here = [_outcomes(climb, grade_deg) for climb in climbs]
    for item in vehicle.assumed:
        plain = item.key.removeprefix("rear.").removeprefix("front.")
        if plain in LEFT_OUT_KEYS or item.key.endswith(MOTION_ALONE) or KEYS[item.key].space:
            continue
        ends = [_at(vehicles, item.key, value, grade_deg) for value in (item.low, item.high)]
        changes = np.array([end for end, _ in ends]) - here
        worth = [Worth.of(changes[:, 0, k]) for k in range(2)]
        if worth[0].size < least:
            continue
        difference = {}
        if len(vehicles) == 2:
            difference = {name: Worth.of(changes[:, 1, k] - changes[:, 0, k]) for k, name in enumerate(NUMBERS)}
        words = f"{item.value:g} {item.unit}".rstrip()
        texts = f"{item.key} = {words}, assumed", f"{item.low:g} to {item.high:g} {item.unit}".rstrip()
        load, tip = worth
        lost = next((why for _, why in ends if why and np.isfinite(here).all()), "")
        found.append(Doubt(item.key, *texts, ENDS_OF_RANGE, KEYS[item.key].recipe, load, tip, difference, lost=lost))
    return found


def _at(vehicles: Sequence[Vehicle], key: str, value: float, grade_deg: float) -> tuple[list[tuple], str]:
    """Outcomes with a value of a key in place of the assumed one, and why one of them is missing."""
    found, why = [], ""
    for vehicle in vehicles:
        try:
            climb = climb_of(change_vehicle(vehicle, {key: value}))
            found.append(_outcomes(climb, grade_deg))
            why = why or no_crawl(vehicle, climb.row(grade_deg))
        except (ModelError, SolverError) as error:
            found.append((np.nan, np.nan))
            why = why or str(error)
    return found, f"with {with_unit(value, KEYS[key].unit)} {why}" if why else ""


def _outcomes(climb: Any, grade_deg: float) -> tuple:
    load = climb.row(grade_deg).front_load_n
    tip = climb.limits.tip_over_grade_deg if climb.rigid else climb.tip_over()
    tip = tip if climb.rigid or tip is None else degrees(tip)
    return tuple(np.nan if value is None else float(value) for value in (load, tip))
