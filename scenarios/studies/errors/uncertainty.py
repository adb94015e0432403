"""How sure the numbers are: errors of ruler, scale and estimate carried to tip-over, loads and differences.

Every error is drawn from a seeded generator; all setups of a file see the same draws for what they
share, so that the interval of a difference is that of the difference. Linear propagation with the exact
derivatives stands beside it as a check, and says which measurement to improve first.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import radians, sqrt
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.file.keys import KEYS
from noseload.model.parameters import ENDS, axle_of, side_view, true_length_of
from noseload.model.uncertainty import friction_source, limits_of, source_of
from noseload.model.variation import COMPLEX_STEP, own_value, quantities_of, shift_vehicle
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.rigid_slopes import rigid_outcomes, rigid_slopes
from noseload.studies.climb.slopes import FREE_LENGTHS, CreepSlopes, chained, standing_slopes
from noseload.studies.climb.spread import front_load_spread, stand_spread, tip_over_spread
from noseload.studies.result import Result

DRAWS, SEED = 2000, 1
PERCENTILES = (2.5, 97.5)
NORMAL_95 = 1.96
"""Two-sided 95 % point of the normal distribution, in deviations."""
RIGID_NOTE = "rigid vehicle (level A): errors of the readings alone; squat and pitch, which the file cannot give, are not in them"
OUTCOMES = ("front_load_n", "tip_over_grade_deg", "nose_up_pitch_deg")


@dataclass(frozen=True)
class Improvement:
    """What one measurement contributes, and what halving its error would do."""

    source: str
    limit: str
    share: float
    """Of the variance, linear propagation."""
    half_width_if_halved: float
    recipe: str


@dataclass(frozen=True)
class Interval:
    """A calculated number with its 95 % interval.

    Attributes
    ----------
    value : float
        As calculated from the file.
    low, high : float or None
        2.5 and 97.5 percentiles of the draws.
    half_width : float or None
        Half of high - low.
    linear_half_width : float or None
        By linear propagation: a check.
    failed_draws : int
        Draws without such a number; they are left out of the percentiles.
    improve : tuple of Improvement
        Largest contributions first.
    """

    value: float | None
    low: float | None
    high: float | None
    half_width: float | None
    linear_half_width: float | None
    failed_draws: int
    improve: tuple = ()

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers; the unit is that of the key it stands under."""
        values = {k: v for k, v in self.__dict__.items() if k != "improve"}
        return values | {"improve_first": [dict(item.__dict__) for item in self.improve]}


@dataclass(frozen=True)
class SetupUncertainty:
    """Intervals of one setup, and of what it changes against the first."""

    setup: str
    grade_deg: float
    front_load_n: Interval
    tip_over_grade_deg: Interval
    nose_up_pitch_deg: Interval
    difference: dict = field(default_factory=dict)
    """The same keys: this setup less the first; empty for the first."""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {"setup": self.setup, "grade_deg": self.grade_deg, **intervals_document(self, OUTCOMES)}


def intervals_document(item: Any, names: Sequence[str]) -> dict[str, Any]:
    """Intervals of a setup by name, and those of its differences where it has any."""
    values = {name: getattr(item, name).to_dict() for name in names}
    differences = {name: interval.to_dict() for name, interval in item.difference.items()}
    return values | ({"difference": differences} if differences else {})


@dataclass(frozen=True)
class Uncertainty(Result):
    """Result of `uncertainty`; the first setup is what the others are compared with."""

    picture = "climb.uncertainty.plot_tip_over_contributions"
    setups: tuple
    draws: int
    seed: int
    sources: tuple
    """Every error: name and limit in words."""
    note: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = {
            "draws": self.draws,
            "seed": self.seed,
            "interval": "95 %",
            "setups": [s.to_dict() for s in self.setups],
            "errors": [{"name": name, "limit": limit} for name, limit in self.sources],
        }
        return values | ({"note": self.note} if self.note else {})


class _Member:
    """One vehicle with its place in the list of errors."""

    def __init__(self, vehicle, group):
        self.vehicle = vehicle
        self.rigid = vehicle.level == "A"
        self.own: dict = {}
        self.shared: dict = {}
        self.friction: dict = {}
        self.climb: Any = None if self.rigid else Climb(vehicle)
        chain = [vehicle]
        while chain[-1].base is not None:
            chain.append(chain[-1].base)
        root = chain[-1]
        limits = limits_of(vehicle)
        file = (root.file, root.sha256)
        for quantity in quantities_of(root):
            group.add(self.shared, (file, quantity.id), source_of(quantity, limits, root))
        label = vehicle.setup if vehicle.base is not None else ""
        overriding = next((v for v in chain if v.base is not None and v.document is not v.base.document), None)
        if overriding is not None:
            for quantity in quantities_of(overriding):
                if own_value(overriding, quantity):
                    source = source_of(quantity, limits, overriding, setup=overriding.setup)
                    group.add(self.own, (file, overriding.setup, quantity.id), source, known=quantity.id)
        for end in () if self.rigid else ENDS:
            group.add(self.friction, (len(group.members), end), friction_source(end, limits, setup=label), known=end)

    def shifted(self, errors):
        """The vehicle with errors (sources, cases) put in, down to its base."""
        shared = {key[1]: errors[k] for key, k in self.shared.items() if k is not None}
        own = {key: None if k is None else errors[k] for key, k in self.own.items()}

        def shift(vehicle):
            if vehicle.base is None:
                return shift_vehicle(vehicle, shared)
            mine = {key: own.get(key, error) for key, error in shared.items()} | own
            mine = {key: error for key, error in mine.items() if error is not None}
            return replace(shift_vehicle(vehicle, mine), base=shift(vehicle.base))

        return shift(self.vehicle)

    def slack(self, errors):
        """What friction adds to the free lengths, shape (2, cases): the gap along the shock."""
        rows = []
        for end in ENDS:
            shock = axle_of(self.vehicle, end).shock
            (_, low), (_, high) = side_view(shock.axle_end), side_view(shock.chassis_end)
            lean = (high - low) / true_length_of(shock)
            k = self.friction.get(end)
            rows.append(lean * errors[k] if k is not None else np.zeros(errors.shape[1]))
        return np.array(rows)


class ErrorGroup:
    """All errors of the vehicles that are looked at together."""

    def __init__(self, vehicles):
        self.sources, self.places, self.members = [], {}, []
        for vehicle in vehicles:
            self.members.append(_Member(vehicle, self))

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

    def draw(self, draws, seed):
        """Errors, SI, shape (sources, draws)."""
        generator = np.random.default_rng(seed)
        rows = []
        for source in self.sources:
            if source.normal:
                rows.append(source.deviation * generator.standard_normal(draws))
            else:
                rows.append(generator.uniform(source.low, source.high, draws))
        return np.array(rows).reshape(len(self.sources), draws)

    def slopes(self, member, grade_deg):
        """Derivatives of the member's outcomes by every error, and the nominal outcomes."""
        count = len(self.sources)
        unit = np.eye(count)
        varied = member.shifted(1j * COMPLEX_STEP * unit)
        parameters = standing_slopes(member.climb.standing, varied, count).parameters.copy()
        parameters[list(FREE_LENGTHS)] += member.slack(unit)
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

    def sample(self, member, creep, errors):
        """Outcomes of all draws: dict of arrays (draws,)."""
        draws = errors.shape[1]
        standing = stand_spread(member.shifted(errors), draws, near=member.climb.standing, slack=member.slack(errors))
        # Overdriven axles are drawn in the zero-speed limit; only the spread about their own number is used.
        exact = not member.climb.overdriven
        tip, row = creep.tips["front"] if exact else None, creep.row.state if exact else None
        tips = np.degrees(tip_over_spread(standing, near=tip))
        loads, pitches = front_load_spread(standing, radians(creep.row.grade_deg), near=row)
        return {"front_load_n": loads, "tip_over_grade_deg": tips, "nose_up_pitch_deg": np.degrees(pitches)}


def uncertainty(vehicles: Sequence[Vehicle], *, grade_deg: float, draws: int = DRAWS, seed: int = SEED) -> Uncertainty:
    """95 % intervals of tip-over, front load and pitch, and of what setups change.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Setups of one file share the errors of the parts they share; the first is what the others are
        held against.
    grade_deg : float
        Grade of front load and pitch.
    draws, seed : int

    Returns
    -------
    Uncertainty

    Raises
    ------
    ModelError
        Fewer than 10 draws.
    SolverError
        A vehicle has no standing pose.
    """
    if draws < 10:
        raise ModelError(f"{draws} draws give no interval; use 10 or more, such as {DRAWS}")
    group = ErrorGroup(vehicles)
    errors = group.draw(draws, seed)
    found, note = [], ""
    for member in group.members:
        if member.rigid:
            found.append((member, *group.rigid(member, grade_deg, errors)))
            note = RIGID_NOTE
            continue
        creep, slopes = group.slopes(member, grade_deg)
        samples = group.sample(member, creep, errors)
        if member.climb.overdriven:
            note = "overdriven axles: the spread is that of the zero-speed limit, about the number calculated"
            nominal = group.sample(member, creep, np.zeros((len(group.sources), 1)))
            samples = {k: v - nominal[k][0] + (getattr(creep.values(), k) or 0.0) for k, v in samples.items()}
        found.append((member, creep.values(), slopes, samples))
    results = tuple(_result(group, found[0], item, grade_deg) for item in found)
    sources = tuple((source.name, source.limit_words) for source in group.sources)
    return Uncertainty(results, draws, seed, sources, note)


def _result(group, first, item, grade_deg):
    member, values, slopes, samples = item
    intervals = {n: _interval(group, getattr(values, n), getattr(slopes, n), samples[n]) for n in OUTCOMES}
    difference = {}
    if item is not first:
        _, base_values, base_slopes, base_samples = first
        for name in OUTCOMES:
            pair = getattr(values, name), getattr(base_values, name)
            both = getattr(slopes, name), getattr(base_slopes, name)
            difference[name] = _interval(
                group,
                None if None in pair else pair[0] - pair[1],
                None if any(s is None for s in both) else both[0] - both[1],
                samples[name] - base_samples[name],
            )
    return SetupUncertainty(member.vehicle.setup, float(grade_deg), **intervals, difference=difference)


def _interval(group, value, slopes, samples):
    good = samples[np.isfinite(samples)]
    failed = int(samples.size - good.size)
    if value is None or slopes is None or good.size < 10:
        return Interval(value, None, None, None, None, failed)
    low, high = (float(v) for v in np.percentile(good, PERCENTILES))
    parts = (slopes * np.array([s.deviation for s in group.sources])) ** 2
    half, total = 0.5 * (high - low), float(parts.sum())
    return Interval(
        float(value), low, high, half, NORMAL_95 * sqrt(total), failed, improvements(group, parts, total, half)
    )


def improvements(group, parts, total, half, count=5):
    """The largest contributions to a variance `total` of `parts` (sources,), for an interval of half-width `half`."""
    if total <= 0.0:
        return ()
    found = []
    for k in np.argsort(-parts)[:count]:
        share, source = float(parts[k] / total), group.sources[k]
        if share < 0.005:
            break
        recipe = (
            "free the shocks and links until pushed down and lifted up it stands alike; give ride_height_gap_mm"
            if source.quantity is None
            else KEYS[source.quantity.key].recipe
        )
        found.append(Improvement(source.name, source.limit_words, share, half * sqrt(1.0 - 0.75 * share), recipe))
    return tuple(found)


def difference_interval(vehicles, grade_deg, draws=DRAWS, seed=SEED):
    """What setups change, with intervals: same draws for all, errors shared where parts are shared.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        At least two; the first is what the others are compared with.
    grade_deg : float
    draws, seed : int

    Returns
    -------
    tuple of SetupUncertainty
        One for each vehicle after the first; look at its `difference`.
    """
    return uncertainty(vehicles, grade_deg=grade_deg, draws=draws, seed=seed).setups[1:]


def outcome_intervals(vehicle, grade_deg, draws=DRAWS, seed=SEED):
    """Intervals of one vehicle: a `SetupUncertainty` with front load, tip-over and pitch."""
    return uncertainty([vehicle], grade_deg=grade_deg, draws=draws, seed=seed).setups[0]


def front_load_bands(vehicle, grades_deg, draws=500, seed=SEED):
    """95 % limits of the front load over grades, N, shape (2, grades): for a band about a sweep.

    Grades past tip-over, and those where fewer than ten draws carry a load, hold not-a-number.
    """
    group = ErrorGroup([vehicle])
    member, errors = group.members[0], group.draw(draws, seed)
    standing = stand_spread(member.shifted(errors), draws, near=member.climb.standing, slack=member.slack(errors))
    bands = np.full((2, len(grades_deg)), np.nan)
    for k, grade_deg in enumerate(grades_deg):
        state = None if member.climb.overdriven else member.climb.row(grade_deg).state
        loads, _ = front_load_spread(standing, radians(grade_deg), near=state)
        good = loads[np.isfinite(loads)]
        if good.size >= 10:
            bands[:, k] = np.maximum(np.percentile(good, PERCENTILES), 0.0)
    return bands
