"""All errors of vehicles that are looked at together: what was measured, and what the model leaves out.

Every error is drawn once, however many setups share it: the interval of a difference is that of the difference.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import N
from noseload.model.file.keys import KEYS
from noseload.model.uncertainty import limits_of, source_of
from noseload.model.variation import COMPLEX_STEP, own_value, quantities_of, shift_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.neglected import creep_near, tip_near
from noseload.studies.climb.rigid_slopes import rigid_outcomes, rigid_slopes
from noseload.studies.climb.slopes import CreepSlopes, chained, standing_slopes
from noseload.studies.climb.spread import SpreadStanding, crawl_spread, stand_spread, tip_over_spread

from .left_out import PLAIN, Entry, Part, open_entries
from .left_out_numbers import OUTCOMES, Doubted, DoubtedCases, doubted_rigid

if TYPE_CHECKING:
    from noseload.model.uncertainty import ErrorSource
    from noseload.model.variation import Quantity
    from noseload.model.vehicle import Vehicle


LEFT_OUT_KEYS = frozenset(key for entry in PLAIN for key in entry.answered_by)
"""Keys that the table of what is left out speaks for where the file does not give them."""
SIDE_BY_SIDE = 8000
"""Cases of several members that are solved in one batch; more no longer fit near the processor."""
NEUTRAL = {"lengthwise_stiffness": 5000.0, "damping_factor": 1.0, "spring_factor": 1.0, "tyre_factor": 1.0}
"""Sizes at which nothing is left out, where that is not 0."""
OTHER_STREAM = 7919
"""Put beside the seed, so that what is left out does not follow the errors of measurement."""


@dataclass(frozen=True)
class LeftOutSource:
    """One number of what the model leaves out, as a source of error beside the measured ones.

    Attributes
    ----------
    entry : Entry
    part : Part
    setup : str
        The one setup that it belongs to; '' where all share it.
    """

    entry: Entry
    part: Part
    setup: str = ""

    @property
    def name(self) -> str:
        """What it is, in words."""
        return f"{self.entry.words} ({self.setup})" if self.setup else self.entry.words

    @property
    def limit_words(self) -> str:
        """Its range in words."""
        return f"left out: {self.entry.range_words}"

    @property
    def deviation(self) -> float:
        """SI."""
        return self.part.deviation

    @property
    def recipe(self) -> str:
        """How to settle it, a sentence."""
        return self.entry.recipe_sentence


def recipe_of(source: ErrorSource | LeftOutSource) -> str:
    """How to make an error smaller."""
    return source.recipe if isinstance(source, LeftOutSource) else KEYS[source.quantity.key].recipe


class Member:
    """One vehicle with its place in the list of errors."""

    def __init__(
        self,
        vehicle: Vehicle,
        group: ErrorGroup,
        *,
        punch: bool = False,
        space: bool = False,
        climb: Climb | None = None,
    ) -> None:
        self.vehicle = vehicle
        self.rigid = vehicle.level == "A"
        self.own: dict = {}
        self.shared: dict = {}
        self.left_out: dict = {}
        """Part of the table -> its row among what is left out."""
        self.climb: Any = None if self.rigid else climb or Climb(vehicle)
        chain = [vehicle]
        while chain[-1].base is not None:
            chain.append(chain[-1].base)
        root = chain[-1]
        limits = limits_of(vehicle)
        file = (root.file, root.sha256)
        for quantity in quantities_of(root, space=space):
            group.add(self.shared, (file, quantity.id), _measured(quantity, limits, root))
        overriding = next((v for v in chain if v.base is not None and v.document is not v.base.document), None)
        if overriding is not None:
            for quantity in quantities_of(overriding, space=space):
                if own_value(overriding, quantity):
                    source = _measured(quantity, limits, overriding, setup=overriding.setup)
                    group.add(self.own, (file, overriding.setup, quantity.id), source, known=quantity.id)
        label = vehicle.setup if vehicle.base is not None else ""
        for entry in open_entries(vehicle, punch=punch):
            for part in entry.parts:
                setup = label if part.own else ""
                place = (part.name, len(group.members)) if part.own else part.name
                self.left_out[part.name] = group.leave_out(place, LeftOutSource(entry, part, setup))

    def shifted(self, errors: np.ndarray) -> Vehicle:
        """The vehicle with errors (measured sources, cases) put in, down to its base."""
        shared = {key[1]: errors[k] for key, k in self.shared.items() if k is not None}
        own = {key: None if k is None else errors[k] for key, k in self.own.items()}

        def shift(vehicle: Vehicle) -> Vehicle:
            if vehicle.base is None:
                return shift_vehicle(vehicle, shared)
            mine = {key: own.get(key, error) for key, error in shared.items()} | own
            mine = {key: error for key, error in mine.items() if error is not None}
            return replace(shift_vehicle(vehicle, mine), base=shift(vehicle.base))

        return shift(self.vehicle)

    def doubted(self, sizes: np.ndarray) -> Doubted:
        """What is left out at chosen sizes (left-out sources, cases)."""
        return Doubted({name: sizes[k] for name, k in self.left_out.items()})

    def with_states_of(self, other: Member, sizes: np.ndarray) -> np.ndarray:
        """Sizes with friction standing as another member has it: both were driven up the same way."""
        sizes = sizes.copy()
        for name, k in self.left_out.items():
            if name in other.left_out:
                sizes[k] = sizes[other.left_out[name]]
        return sizes

    @property
    def has_own_state(self) -> bool:
        """Whether friction of its own makes it stand otherwise than others."""
        return any(name.endswith("_state") for name in self.left_out)


def _measured(quantity: Quantity, limits: dict[str, float], vehicle: Vehicle, *, setup: str = "") -> ErrorSource | None:
    """The error of a quantity; None where it is exact or where the table of what is left out speaks for it."""
    if quantity.assumed is not None and quantity.key.removeprefix("rear.").removeprefix("front.") in LEFT_OUT_KEYS:
        return None
    return source_of(quantity, limits, vehicle, setup=setup)


def draw_parts(parts: Sequence[Part], draws: int, seed: int) -> np.ndarray:
    """Sizes of what is left out, SI, shape (parts, draws): every range in equal slices, each drawn once
    (M. D. McKay et al., *Technometrics* 21, 1979)."""
    generator = np.random.default_rng([seed, OTHER_STREAM])
    rows = [part.at((generator.permutation(draws) + generator.uniform(size=draws)) / draws) for part in parts]
    return np.array(rows).reshape(len(parts), draws)


class ErrorGroup:
    """All errors of the vehicles that are looked at together; with `punch` what a punch can carry is left out, not a crawl.

    With `space` the numbers that the side view does not see have their errors too. `climbs` are those of the vehicles,
    where they are at hand.
    """

    def __init__(
        self, vehicles: Sequence[Vehicle], *, punch: bool = False, space: bool = False, climbs: Sequence | None = None
    ) -> None:
        self.sources: list = []
        self.places: dict = {}
        self.members: list = []
        self.left_out: list = []
        self._left_places: dict = {}
        for vehicle, climb in zip(vehicles, climbs or [None] * len(vehicles), strict=True):
            self.members.append(Member(vehicle, self, punch=punch, space=space, climb=climb))

    @property
    def all_sources(self) -> list:
        """Measured ones, then those left out of the model."""
        return [*self.sources, *self.left_out]

    def add(
        self,
        register: dict[tuple[tuple[str, str], tuple[str, str]], int | None],
        place: tuple,
        source: ErrorSource | None,
        *,
        known: Any = None,
    ) -> None:
        """Note an error once, however many setups share it."""
        name = place if known is None else known
        if source is None:
            register[name] = None
            return
        if place not in self.places:
            self.places[place] = len(self.sources)
            self.sources.append(source)
        register[name] = self.places[place]

    def leave_out(self, place: str | tuple[str, int], source: LeftOutSource) -> int:
        """Note once what is left out; returns its row."""
        if place not in self._left_places:
            self._left_places[place] = len(self.left_out)
            self.left_out.append(source)
        return self._left_places[place]

    def draw(self, draws: int, seed: int) -> np.ndarray:
        """Errors of measurement, SI, shape (sources, draws)."""
        generator = np.random.default_rng(seed)
        rows = []
        for source in self.sources:
            if source.normal:
                rows.append(source.deviation * generator.standard_normal(draws))
            else:
                rows.append(generator.uniform(source.low, source.high, draws))
        return np.array(rows).reshape(len(self.sources), draws)

    def draw_left_out(self, draws: int, seed: int) -> np.ndarray:
        """Sizes of what is left out, SI, shape (left-out sources, draws), as `draw_parts`."""
        return draw_parts([source.part for source in self.left_out], draws, seed)

    @property
    def entry_keys(self) -> tuple[str, ...]:
        """Keys of the entries left out, each once, in order."""
        return tuple(dict.fromkeys(source.entry.key for source in self.left_out))

    def entries_alone(self) -> np.ndarray:
        """Sizes with nothing left out, then with each entry alone at its mean, shape (left-out sources, 1 + entries)."""
        neutral = [NEUTRAL.get(source.part.name, 0.0) for source in self.left_out]
        rows = [
            [nothing, *(source.part.mean if source.entry.key == key else nothing for key in self.entry_keys)]
            for source, nothing in zip(self.left_out, neutral, strict=True)
        ]
        return np.array(rows).reshape(len(self.left_out), 1 + len(self.entry_keys))

    def slopes(self, member: Member, grade_deg: float) -> tuple:
        """Derivatives of the member's outcomes by every measured error, and the nominal outcomes."""
        count = len(self.sources)
        varied = member.shifted(1j * COMPLEX_STEP * np.eye(count))
        parameters = standing_slopes(member.climb.standing, varied, count).parameters
        creep = CreepSlopes(member.climb, grade_deg)
        return creep, chained(creep.by_parameter(), parameters)

    def rigid(self, member: Member, grade_deg: float, errors: np.ndarray) -> tuple:
        """The same of a rigid vehicle (level A): nominal outcomes, derivatives, and outcomes of all draws."""
        count = len(self.sources)
        found = rigid_outcomes(member.vehicle, grade_deg)
        varied = member.shifted(1j * COMPLEX_STEP * np.eye(count))
        drawn = rigid_outcomes(member.shifted(errors), grade_deg)
        draws = (errors.shape[1],)
        samples = {name: np.broadcast_to(getattr(drawn, name), draws) for name in OUTCOMES}
        return found, rigid_slopes(varied, count, grade_deg), samples

    def sample(self, members: list[Member], creeps: list[Any], grade_deg: float, errors: np.ndarray) -> dict | list:
        """Outcomes of all draws of measured errors alone.

        Parameters
        ----------
        members : sequence of Member
            With links.
        creeps : sequence of CreepSlopes
            Of the members.
        grade_deg : float
        errors : ndarray, shape (sources, draws)

        Returns
        -------
        list of dict of str to ndarray, shape (draws,)
            One a member; they are solved side by side.
        """
        found: dict[int, dict[str, np.ndarray]] = {}
        parts: dict[int, tuple] = {}
        for k, (member, creep) in enumerate(zip(members, creeps, strict=True)):
            if member.climb.overdriven:
                # By their own law of slip, which is put in as what is left out is.
                (found[k],) = self.sample_whole([member], [creep], grade_deg, [errors], [Doubted({})])
                continue
            standing = stand_spread(member.shifted(errors), errors.shape[1], near=member.climb.standing)
            starts = (creep_near(member.climb, creep.row), N), (tip_near(member.climb), N + 1)
            filled = [np.full(size, np.nan) if start is None else start for start, size in starts]
            parts[k] = (standing, *(np.repeat(start[:, None], errors.shape[1], axis=1) for start in filled))

        def solve(some: list) -> dict[str, np.ndarray]:
            standing, rows, tips = zip(*some, strict=True)
            joined = SpreadStanding.joined(standing)
            grades = np.degrees(tip_over_spread(joined, near=np.hstack(tips)))
            crawl = crawl_spread(joined, radians(grade_deg), near=np.hstack(rows))
            pitches = np.degrees(crawl.nose_up_pitches)
            return {"front_load_n": crawl.front_loads, "tip_over_grade_deg": grades, "nose_up_pitch_deg": pitches}

        sizes = [part[0].batch.cases for part in parts.values()]
        found |= dict(zip(parts, _side_by_side(list(parts.values()), sizes, solve), strict=True))
        return [found[k] for k in range(len(members))]

    def sample_whole(
        self,
        members: list[Member],
        creeps: list,
        grade_deg: float,
        errors: Any,
        doubted: Any,
        of: Sequence[str] = OUTCOMES,
    ) -> list | dict:
        """Outcomes of all draws of errors and of what is left out, likewise.

        Parameters
        ----------
        members : sequence of Member
        creeps : sequence of CreepSlopes or None
            Of the members; None for a rigid one.
        grade_deg : float
        errors : sequence of ndarray, shape (sources, draws)
            Zeros for what is left out alone.
        doubted : sequence of Doubted
        of : sequence of str
            Outcomes that are asked for.
        """
        found: dict[int, dict] = {}
        parts: dict[tuple, dict] = {}
        for k, (member, creep, some, sizes) in enumerate(zip(members, creeps, errors, doubted, strict=True)):
            varied, draws = member.shifted(some), some.shape[1]
            if member.rigid:
                found[k] = doubted_rigid(varied, radians(grade_deg), sizes, draws)
                continue
            standing = stand_spread(varied, draws, near=member.climb.standing)
            row, tip, divided = creep_near(member.climb, creep.row), tip_near(member.climb), member.climb.overdriven
            cases = DoubtedCases.of(varied, standing.batch, sizes, near=row, near_tip=tip, divided=divided)
            parts.setdefault((row is None, tip is None), {})[k] = cases, standing.success

        def solve(some: list[tuple[DoubtedCases, np.ndarray]]) -> dict[str, np.ndarray]:
            cases, stand = zip(*some, strict=True)
            values = DoubtedCases.joined(cases).outcomes(radians(grade_deg), of)
            return {name: np.where(np.concatenate(stand), row, np.nan) for name, row in values.items()}

        for alike in parts.values():
            sizes = [cases.cases for cases, _ in alike.values()]
            found |= dict(zip(alike, _side_by_side(list(alike.values()), sizes, solve), strict=True))
        return [found[k] for k in range(len(members))]


def _side_by_side(parts: list[tuple], counts: list[int], solve: Callable) -> list[dict[str, np.ndarray]]:
    """What `solve` finds for parts of so many cases, a dict of arrays each: several at once as long as they are few."""
    found, first = [], 0
    while first < len(parts):
        last = first + 1
        while last < len(parts) and sum(counts[first : last + 1]) <= SIDE_BY_SIDE:
            last += 1
        ends = np.cumsum(counts[first:last])[:-1]
        split = {name: np.split(values, ends) for name, values in solve(parts[first:last]).items()}
        found += [{name: values[k] for name, values in split.items()} for k in range(last - first)]
        first = last
    return found
