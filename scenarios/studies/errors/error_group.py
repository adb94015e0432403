"""All errors of vehicles that are looked at together: what was measured, and what the model leaves out.

Every error is drawn once, however many setups share it: the interval of a difference is that of the difference.
"""

from dataclasses import dataclass, replace
from math import radians
from typing import Any

import numpy as np

from noseload.model.crawl.equilibrium import N
from noseload.model.file.keys import KEYS
from noseload.model.uncertainty import limits_of, source_of
from noseload.model.variation import COMPLEX_STEP, own_value, quantities_of, shift_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.rigid_slopes import rigid_outcomes, rigid_slopes
from noseload.studies.climb.slopes import CreepSlopes, chained, standing_slopes
from noseload.studies.climb.spread import SpreadStanding, front_load_spread, stand_spread, tip_over_spread

from .left_out import PLAIN, Entry, Part, open_entries
from .left_out_numbers import Doubted, DoubtedCases, doubted_outcomes, doubted_rigid

OUTCOMES = ("front_load_n", "tip_over_grade_deg", "nose_up_pitch_deg")
LEFT_OUT_KEYS = frozenset(key for entry in PLAIN for key in entry.answered_by)
"""Keys that the table of what is left out speaks for where the file does not give them."""
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
        """How to settle it."""
        return self.entry.recipe


def recipe_of(source):
    """How to make an error smaller."""
    return source.recipe if isinstance(source, LeftOutSource) else KEYS[source.quantity.key].recipe


class Member:
    """One vehicle with its place in the list of errors."""

    def __init__(self, vehicle, group, *, punch=False, climb=None):
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
        for quantity in quantities_of(root):
            group.add(self.shared, (file, quantity.id), _measured(quantity, limits, root))
        overriding = next((v for v in chain if v.base is not None and v.document is not v.base.document), None)
        if overriding is not None:
            for quantity in quantities_of(overriding):
                if own_value(overriding, quantity):
                    source = _measured(quantity, limits, overriding, setup=overriding.setup)
                    group.add(self.own, (file, overriding.setup, quantity.id), source, known=quantity.id)
        label = vehicle.setup if vehicle.base is not None else ""
        for entry in open_entries(vehicle, punch=punch):
            for part in entry.parts:
                setup = label if part.own else ""
                place = (part.name, len(group.members)) if part.own else part.name
                self.left_out[part.name] = group.leave_out(place, LeftOutSource(entry, part, setup))

    def shifted(self, errors):
        """The vehicle with errors (measured sources, cases) put in, down to its base."""
        shared = {key[1]: errors[k] for key, k in self.shared.items() if k is not None}
        own = {key: None if k is None else errors[k] for key, k in self.own.items()}

        def shift(vehicle):
            if vehicle.base is None:
                return shift_vehicle(vehicle, shared)
            mine = {key: own.get(key, error) for key, error in shared.items()} | own
            mine = {key: error for key, error in mine.items() if error is not None}
            return replace(shift_vehicle(vehicle, mine), base=shift(vehicle.base))

        return shift(self.vehicle)

    def doubted(self, sizes):
        """What is left out at chosen sizes (left-out sources, cases)."""
        return Doubted({name: sizes[k] for name, k in self.left_out.items()})

    def with_states_of(self, other, sizes):
        """Sizes with friction standing as another member has it: both were driven up the same way."""
        sizes = sizes.copy()
        for name, k in self.left_out.items():
            if name in other.left_out:
                sizes[k] = sizes[other.left_out[name]]
        return sizes

    @property
    def has_own_state(self):
        """Whether friction of its own makes it stand otherwise than others."""
        return any(name.endswith("_state") for name in self.left_out)


def _measured(quantity, limits, vehicle, *, setup=""):
    """The error of a quantity; None where it is exact or where the table of what is left out speaks for it."""
    if quantity.assumed is not None and quantity.key.removeprefix("rear.").removeprefix("front.") in LEFT_OUT_KEYS:
        return None
    return source_of(quantity, limits, vehicle, setup=setup)


class ErrorGroup:
    """All errors of the vehicles that are looked at together; with `punch` what a punch can carry is left out, not a crawl.

    `climbs` are those of the vehicles, where they are at hand.
    """

    def __init__(self, vehicles, *, punch=False, climbs=None):
        self.sources, self.places, self.members = [], {}, []
        self.left_out, self._left_places = [], {}
        for vehicle, climb in zip(vehicles, climbs or [None] * len(vehicles), strict=True):
            self.members.append(Member(vehicle, self, punch=punch, climb=climb))

    @property
    def all_sources(self):
        """Measured ones, then those left out of the model."""
        return [*self.sources, *self.left_out]

    def add(self, register, place, source, *, known=None):
        """Note an error once, however many setups share it."""
        name = place if known is None else known
        if source is None:
            register[name] = None
            return
        if place not in self.places:
            self.places[place] = len(self.sources)
            self.sources.append(source)
        register[name] = self.places[place]

    def leave_out(self, place, source):
        """Note once what is left out; returns its row."""
        if place not in self._left_places:
            self._left_places[place] = len(self.left_out)
            self.left_out.append(source)
        return self._left_places[place]

    def draw(self, draws, seed):
        """Errors of measurement, SI, shape (sources, draws)."""
        generator = np.random.default_rng(seed)
        rows = []
        for source in self.sources:
            if source.normal:
                rows.append(source.deviation * generator.standard_normal(draws))
            else:
                rows.append(generator.uniform(source.low, source.high, draws))
        return np.array(rows).reshape(len(self.sources), draws)

    def draw_left_out(self, draws, seed):
        """Sizes of what is left out, SI, shape (left-out sources, draws): every range in equal slices, each drawn once
        (M. D. McKay et al., *Technometrics* 21, 1979)."""
        generator = np.random.default_rng([seed, OTHER_STREAM])
        rows = []
        for source in self.left_out:
            shares = (generator.permutation(draws) + generator.uniform(size=draws)) / draws
            rows.append(source.part.at(shares))
        return np.array(rows).reshape(len(self.left_out), draws)

    def slopes(self, member, grade_deg):
        """Derivatives of the member's outcomes by every measured error, and the nominal outcomes."""
        count = len(self.sources)
        varied = member.shifted(1j * COMPLEX_STEP * np.eye(count))
        parameters = standing_slopes(member.climb.standing, varied, count).parameters
        creep = CreepSlopes(member.climb, grade_deg)
        return creep, chained(creep.by_parameter(), parameters)

    def rigid(self, member, grade_deg, errors):
        """The same of a rigid vehicle (level A): nominal outcomes, derivatives, and outcomes of all draws."""
        count = len(self.sources)
        found = rigid_outcomes(member.vehicle, grade_deg)
        varied = member.shifted(1j * COMPLEX_STEP * np.eye(count))
        drawn = rigid_outcomes(member.shifted(errors), grade_deg)
        draws = (errors.shape[1],)
        samples = {name: np.broadcast_to(getattr(drawn, name), draws) for name in OUTCOMES}
        return found, rigid_slopes(varied, count, grade_deg), samples

    def sample(self, asked, grade_deg):
        """Outcomes of draws of measured errors alone, of members with links, all in one batch.

        Parameters
        ----------
        asked : sequence of (Member, CreepSlopes, ndarray)
            Errors (sources, draws) of each.
        grade_deg : float

        Returns
        -------
        list of dict of str to ndarray, shape (draws,)
        """
        standings = [
            stand_spread(member.shifted(errors), errors.shape[1], near=member.climb.standing)
            for member, _, errors in asked
        ]
        rows, near_tips = _starts([(member, creep, errors.shape[1]) for member, creep, errors in asked])
        standing = SpreadStanding.joined(standings)
        tips = np.degrees(tip_over_spread(standing, near=near_tips))
        loads, pitches = front_load_spread(standing, radians(grade_deg), near=rows)
        whole = {"front_load_n": loads, "tip_over_grade_deg": tips, "nose_up_pitch_deg": np.degrees(pitches)}
        return _apart(whole, [errors.shape[1] for _, _, errors in asked])

    def sample_whole(self, asked, grade_deg):
        """Outcomes of draws of errors and of what is left out, of all members, those with links in one batch.

        Parameters
        ----------
        asked : sequence of (Member, CreepSlopes or None, ndarray, Doubted)
            Errors (sources, draws), zeros for what is left out alone; None for a rigid member.
        grade_deg : float

        Returns
        -------
        list of dict of str to ndarray, shape (draws,)
        """
        grade, found, together = radians(grade_deg), [], []
        for member, creep, errors, doubted in asked:
            draws, varied = errors.shape[1], member.shifted(errors)
            if member.rigid:
                found.append(doubted_rigid(varied, grade, doubted, draws))
                continue
            found.append({})
            standing = stand_spread(varied, draws, near=member.climb.standing)
            drawn = DoubtedCases.of(varied, standing.batch, doubted)
            together.append((len(found) - 1, standing.success, drawn, (member, creep, draws)))
        if together:
            places, stands, drawn, starts = zip(*together, strict=True)
            rows, near_tips = _starts(starts)
            whole = doubted_outcomes(DoubtedCases.joined(drawn), grade, near=rows, near_tip=near_tips)
            parts = _apart(whole, [draws for _, _, draws in starts])
            for place, stood, part in zip(places, stands, parts, strict=True):
                found[place] = {name: np.where(stood, values, np.nan) for name, values in part.items()}
        return found


def _starts(members):
    """States (13, cases) and tip-over points (14, cases) that draws are near to, of (member, creep, draws) each.

    None are known for overdriven axles, whose crawl has other unknowns: they are drawn in the zero-speed limit, and only
    the spread about their own number is used.
    """
    rows, tips = [], []
    for member, creep, draws in members:
        row, tip = np.full(N, np.nan), np.full(N + 1, np.nan)
        if not member.climb.overdriven:
            point = creep.tips["front"]
            row = row if creep.row.state is None else creep.row.state
            tip = tip if point is None else np.append(point.state, point.parameter)
        rows.append(np.repeat(row[:, None], draws, axis=1))
        tips.append(np.repeat(tip[:, None], draws, axis=1))
    return np.hstack(rows), np.hstack(tips)


def _apart(whole, counts):
    """Arrays by name of all cases, as one dict for each count."""
    ends = np.cumsum(counts)[:-1]
    split = {name: np.split(values, ends) for name, values in whole.items()}
    return [{name: parts[k] for name, parts in split.items()} for k in range(len(counts))]
