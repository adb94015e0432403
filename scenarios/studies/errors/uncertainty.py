"""How sure the numbers are, in two parts: errors of ruler, scale and estimate, and what the model leaves out.

Every error is drawn from a seeded generator; all setups of a file see the same draws for what they
share, so that the interval of a difference is that of the difference. Linear propagation stands beside it as a
check, and says which measurement to improve first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import degrees, radians, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.neglected import creep_near
from noseload.studies.climb.rigid_slopes import rigid_outcomes
from noseload.studies.climb.slopes import CreepSlopes
from noseload.studies.climb.spread import stand_spread
from noseload.studies.result import Result

from .error_group import OUTCOMES, ErrorGroup, Member
from .improvements import improvements
from .left_out_numbers import doubted_loads

if TYPE_CHECKING:
    from noseload.studies.errors.left_out_numbers import Doubted


DRAWS, SEED = 2000, 1
LEFT_OUT_DRAWS = 500
"""Draws of what the model leaves out, alone and together with the errors of measurement: every range in equal slices."""
PERCENTILES = (2.5, 50.0, 97.5)
NORMAL_95 = 1.96
"""Two-sided 95 % point of the normal distribution, in deviations."""
RIGID_NOTE = "rigid vehicle (level A): squat and pitch, which the file cannot give, are not in them"


@dataclass(frozen=True)
class Ends:
    """Middle and 95 % ends of draws; None where fewer than ten have such a number."""

    low: float | None = None
    middle: float | None = None
    high: float | None = None

    @classmethod
    def of(cls, samples: np.ndarray) -> Ends:
        """From draws; those without a number are left out."""
        good = samples[np.isfinite(samples)]
        return cls() if good.size < LEAST_DRAWS else cls(*(float(v) for v in np.percentile(good, PERCENTILES)))

    @property
    def pair(self) -> tuple[float, float] | None:
        """Both ends; None where there are none."""
        return None if self.low is None or self.high is None else (self.low, self.high)

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers."""
        return dict(self.__dict__)


LEAST_DRAWS = 10
"""Draws below which there are no ends."""


@dataclass(frozen=True)
class Interval:
    """A calculated number with its 95 % interval: what was measured and what the model leaves out, apart and together.

    Attributes
    ----------
    value : float
        As calculated from the file.
    low, high : float or None
        2.5 and 97.5 percentiles of all draws: the whole.
    half_width : float or None
        Half of high - low.
    linear_half_width : float or None
        Of the whole, by linear propagation: a check.
    failed_draws : int
        Draws without such a number; they are left out of the percentiles.
    improve : tuple of Improvement
        Largest contributions first.
    measured, left_out : Ends
        Of either part alone. The middle of what is left out less the value is the model's bias.
    """

    value: float | None
    low: float | None
    high: float | None
    half_width: float | None
    linear_half_width: float | None
    failed_draws: int
    improve: tuple = ()
    measured: Ends = Ends()
    left_out: Ends = Ends()

    @property
    def bias(self) -> float | None:
        """How far what is left out moves the number, in the middle of its draws."""
        middle = self.left_out.middle
        return None if middle is None or self.value is None else middle - self.value

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers; the unit is that of the key it stands under."""
        apart = ("improve", "measured", "left_out")
        values = {k: v for k, v in self.__dict__.items() if k not in apart}
        return values | {
            "measured": self.measured.to_dict(),
            "left_out": self.left_out.to_dict() | {"bias": self.bias},
            "improve_first": [dict(item.__dict__) for item in self.improve],
        }


@dataclass(frozen=True)
class SetupUncertainty:
    """Intervals of one setup, and of what it changes against the first."""

    setup: str
    grade_deg: float
    front_load_n: Interval
    tip_over_grade_deg: Interval
    nose_up_pitch_deg: Interval
    difference: dict = field(default_factory=dict)
    """The same keys: this setup less the first, each as it happens to stand; empty for the first."""
    alike: dict = field(default_factory=dict)
    """The same, both driven up the same way: friction stands alike. Empty where nothing rubs."""

    def interval(self, name: str) -> Interval:
        """A number's interval by its name."""
        return getattr(self, name)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        alike = {name: interval.to_dict() for name, interval in self.alike.items()}
        document = {"setup": self.setup, "grade_deg": self.grade_deg, **intervals_document(self, OUTCOMES)}
        return document | ({"difference_driven_up_alike": alike} if alike else {})


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
    left_out_draws: int = 0

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = {
            "draws": self.draws,
            "left_out_draws": self.left_out_draws,
            "seed": self.seed,
            "interval": "95 %",
            "setups": [s.to_dict() for s in self.setups],
            "errors": [{"name": name, "limit": limit} for name, limit in self.sources],
        }
        return values | ({"note": self.note} if self.note else {})


def uncertainty(
    vehicles: Sequence[Vehicle],
    *,
    grade_deg: float,
    draws: int = DRAWS,
    seed: int = SEED,
    left_out_draws: int = LEFT_OUT_DRAWS,
    climbs: Sequence[Any] | None = None,
    apart: bool = True,
) -> Uncertainty:
    """95 % intervals of tip-over, front load and pitch, and of what setups change.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Setups of one file share the errors of the parts they share; the first is what the others are
        held against.
    grade_deg : float
        Grade of front load and pitch.
    draws, seed : int
    left_out_draws : int
        Of what the model leaves out, at most `draws`.
    climbs : sequence, optional
        Of the vehicles (`noseload.studies.climb.sweep.climb_of`), where they are at hand.
    apart : bool
        Whether either part alone is told too; without, the whole takes half of the time.

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
    if draws < LEAST_DRAWS:
        raise ModelError(f"{draws} draws give no interval; use {LEAST_DRAWS} or more, such as {DRAWS}")
    group = ErrorGroup(vehicles, climbs=climbs)
    count = min(draws, max(left_out_draws, LEAST_DRAWS))
    errors, sizes = group.draw(draws, seed), group.draw_left_out(count, seed)
    found = sample_members(group, grade_deg, errors, sizes, apart=apart)
    note = next((one.note for one in found if one.note), "")
    results = tuple(_result(group, found[0], one, grade_deg) for one in found)
    sources = tuple((source.name, source.limit_words) for source in group.all_sources)
    return Uncertainty(results, draws, seed, sources, note, count)


def sample_members(
    group: ErrorGroup, grade_deg: float, errors: np.ndarray, sizes: np.ndarray, *, apart: bool = True
) -> list[Sampled]:
    """`Sampled` of every member of a group; the draws of all are solved side by side, of either part alone only `apart`."""
    found = [Sampled(group, member, grade_deg, errors) for member in group.members]
    linked = [one for one in found if one.creep is not None]
    members, creeps = [one.member for one in linked], [one.creep for one in linked]
    for one, measured in zip(linked, group.sample(members, creeps, grade_deg, errors) if apart else (), strict=apart):
        one.measured = measured
    some = errors[:, : sizes.shape[1]]
    drawn, doubted = zip(*(one.cases(group, some, sizes, apart=apart) for one in found), strict=True)
    creeps = [one.creep for one in found]
    for one, whole in zip(found, group.sample_whole(group.members, creeps, grade_deg, drawn, doubted), strict=True):
        one.take(whole)
    return found


class Sampled:
    """One member's outcomes: its own, their slopes, and draws of either part alone, of both, and of both driven up alike."""

    def __init__(self, group: ErrorGroup, member: Member, grade_deg: float, errors: np.ndarray) -> None:
        self.member, self.note = member, ""
        self.creep: Any = None
        self.steps: dict = {}
        self.biases: dict = {}
        self.blocks: dict = {}
        self.measured, self.left_out, self.whole, self.alike_left_out, self.alike = (
            dict.fromkeys(OUTCOMES, np.zeros(0)) for _ in range(5)
        )
        self.stands_apart = member is not group.members[0] and member.has_own_state
        if member.rigid:
            self.values, self.slopes, self.measured = group.rigid(member, grade_deg, errors)
            self.note = RIGID_NOTE
        else:
            self.creep, self.slopes = group.slopes(member, grade_deg)
            self.values = self.creep.values()

    def cases(
        self, group: ErrorGroup, errors: np.ndarray, sizes: np.ndarray, *, apart: bool
    ) -> tuple[np.ndarray, Doubted]:
        """Errors and sizes of all draws: left out alone, both, both with friction as the first has it, steps of what is
        left out."""
        member, left = self.member, len(group.left_out)
        nothing, alike = np.zeros_like(errors), member.with_states_of(group.members[0], sizes)
        middles = np.array([source.part.mean for source in group.left_out])[:, None]
        steps = np.diag([source.deviation for source in group.left_out]).reshape(left, left)
        alone = group.entries_alone()
        still = np.zeros((len(errors), max(left, alone.shape[1])))
        blocks = {
            "left_out": (nothing, sizes) if apart else None,
            "whole": (errors, sizes),
            "alike_left_out": (nothing, alike) if self.stands_apart and apart else None,
            "alike": (errors, alike) if self.stands_apart else None,
            "up": (still[:, :left], middles + steps),
            "down": (still[:, :left], middles - steps),
            "alone": (still[:, : alone.shape[1]], alone),
        }
        self.blocks = {name: pair for name, pair in blocks.items() if pair is not None}
        drawn, sized = (np.hstack(list(part)) for part in zip(*self.blocks.values(), strict=True))
        return drawn, member.doubted(sized)

    def take(self, whole: dict[str, np.ndarray]) -> None:
        """Keep the outcomes of the cases asked for, by name."""
        ends = np.cumsum([errors.shape[1] for errors, _ in self.blocks.values()])[:-1]
        for name, values in whole.items():
            parts = dict(zip(self.blocks, np.split(values, ends), strict=True))
            self.steps[name] = 0.5 * (parts.pop("up") - parts.pop("down"))
            alone = parts.pop("alone")
            self.biases[name] = np.nan_to_num(alone[1:] - alone[0])
            for block, samples in parts.items():
                getattr(self, block)[name] = samples


def _result(group: ErrorGroup, first: Sampled, one: Sampled, grade_deg: float) -> SetupUncertainty:
    intervals = {
        name: _interval(
            group,
            getattr(one.values, name),
            getattr(one.slopes, name),
            one.steps[name],
            one.biases[name],
            (one.measured[name], one.left_out[name], one.whole[name]),
        )
        for name in OUTCOMES
    }
    difference = {} if one is first else {name: _difference(group, first, one, name) for name in OUTCOMES}
    alike = {}
    if one is not first and one.stands_apart:
        alike = {name: _difference(group, first, one, name, alike=True) for name in OUTCOMES}
    setup = one.member.vehicle.setup
    return SetupUncertainty(setup, float(grade_deg), **intervals, difference=difference, alike=alike)


def _difference(group: ErrorGroup, first: Sampled, one: Sampled, name: str, *, alike: bool = False) -> Interval:
    """Interval of one setup less the first; with draws driven up alike the steps of friction are those of one state."""
    pair = getattr(one.values, name), getattr(first.values, name)
    slopes = getattr(one.slopes, name), getattr(first.slopes, name)
    samples = (
        one.measured[name] - first.measured[name],
        (one.alike_left_out if alike else one.left_out)[name] - first.left_out[name],
        (one.alike if alike else one.whole)[name] - first.whole[name],
    )
    steps = one.steps[name] - first.steps[name]
    if alike:
        steps = _of_one_state(one, first, steps)
    return _interval(
        group,
        None if None in pair else pair[0] - pair[1],
        None if any(s is None for s in slopes) else slopes[0] - slopes[1],
        steps,
        one.biases[name] - first.biases[name],
        samples,
    )


def _of_one_state(one: Sampled, first: Sampled, steps: np.ndarray) -> np.ndarray:
    """Steps of a difference where both have the first's friction: what each does by its own state is added up."""
    steps = steps.copy()
    for name, k in one.member.left_out.items():
        base = first.member.left_out.get(name, k)
        if base != k:
            steps[base] += steps[k]
            steps[k] = 0.0
    return steps


def _interval(
    group: ErrorGroup,
    value: Any,
    slopes: Any,
    steps: np.ndarray,
    biases: np.ndarray,
    samples: tuple[np.ndarray, np.ndarray, np.ndarray],
) -> Interval:
    measured = None if slopes is None else slopes * np.array([source.deviation for source in group.sources])
    moved = None if measured is None else np.concatenate([measured, steps])
    return interval_of(group, None if value is None else float(value), samples, moved, biases)


def interval_of(
    group: ErrorGroup,
    value: float | None,
    samples: tuple[np.ndarray, np.ndarray, np.ndarray],
    steps: np.ndarray | None,
    biases: np.ndarray,
) -> Interval:
    """Interval of a number.

    Parameters
    ----------
    group : ErrorGroup
    value : float or None
        As calculated.
    samples : tuple of ndarray
        Drawn errors of measurement alone, what is left out alone, both.
    steps : ndarray, shape (sources,), or None
        What a deviation of each moves the number by; None where that is not known.
    biases : ndarray, shape (left-out entries,)
        What each entry alone moves it by.
    """
    measured, left_out, whole = samples
    failed, ends = int(whole.size - np.isfinite(whole).sum()), Ends.of(whole)
    apart: dict[str, Any] = {"measured": Ends.of(measured), "left_out": Ends.of(left_out)}
    if value is None or ends.low is None or ends.high is None:
        return Interval(value, None, None, None, None, failed, **apart)
    half = 0.5 * (ends.high - ends.low)
    if steps is None or not np.isfinite(steps).all():
        return Interval(value, ends.low, ends.high, half, None, failed, **apart)
    parts = steps**2
    better = improvements(group, parts, biases, half)
    return Interval(value, ends.low, ends.high, half, NORMAL_95 * sqrt(float(parts.sum())), failed, better, **apart)


def difference_ends(
    vehicles: Sequence[Vehicle], *, grade_deg: float, draws: int, seed: int = SEED, of: Sequence[str] = OUTCOMES
) -> list:
    """95 % ends of what setups change, driven up alike where friction holds: those of `uncertainty` without its parts.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        At least two; the first is what the others are held against.
    grade_deg : float
    draws, seed : int
    of : sequence of str
        Outcomes that are asked for.

    Returns
    -------
    list of dict of str to (low, value, high)
        One for each vehicle after the first, by outcomes; None thrice where there is no such number.
    """
    group = ErrorGroup(vehicles)
    count = min(draws, max(LEFT_OUT_DRAWS, LEAST_DRAWS))
    errors, sizes = group.draw(draws, seed)[:, :count], group.draw_left_out(count, seed)
    members, first = group.members, group.members[0]
    creeps = [None if member.rigid else CreepSlopes(member.climb, grade_deg) for member in members]
    alike = [member.with_states_of(first, sizes) if member.has_own_state else sizes for member in members[1:]]
    doubted = [member.doubted(some) for member, some in zip(members, (sizes, *alike), strict=True)]
    whole = group.sample_whole(members, creeps, grade_deg, [errors] * len(members), doubted, of)
    own = [_own_outcomes(member, creep, grade_deg) for member, creep in zip(members, creeps, strict=True)]
    found = []
    for drawn, values in zip(whole[1:], own[1:], strict=True):
        spans = {}
        for name in of:
            ends = Ends.of(drawn[name] - whole[0][name])
            unknown = None in (values[name], own[0][name], ends.low)
            spans[name] = (None,) * 3 if unknown else (ends.low, float(values[name] - own[0][name]), ends.high)
        found.append(spans)
    return found


def _own_outcomes(member: Member, creep: Any, grade_deg: float) -> dict:
    """A member's outcomes as calculated, None where there is no such number."""
    if creep is None:
        found = rigid_outcomes(member.vehicle, grade_deg)
        return {name: getattr(found, name) for name in OUTCOMES}
    tip = creep.climb.tip_over()
    values = (creep.row.front_load_n, None if tip is None else degrees(tip), creep.row.nose_up_pitch_deg)
    return dict(zip(OUTCOMES, values, strict=True))


KNOTS = 14
"""Grades at which a band is drawn; its distance from the load calculated is laid straight between them."""


def front_load_bands(vehicle: Vehicle, grades_deg: list[float], draws: int = 200, seed: int = SEED) -> np.ndarray:
    """95 % limits of the front load over grades, N, shape (2, grades): for a band about a sweep, both parts together.

    Grades past tip-over, and those where fewer than ten draws carry a load, hold not-a-number.
    """
    group = ErrorGroup([vehicle])
    member, grades = group.members[0], np.asarray(grades_deg, dtype=float)
    errors, doubted = group.draw(draws, seed), member.doubted(group.draw_left_out(draws, seed))
    varied = member.shifted(errors)
    standing = stand_spread(varied, draws, near=member.climb.standing)
    rows = [member.climb.row(grade) for grade in grades]
    loads = np.array([np.nan if row.front_load_n is None else row.front_load_n for row in rows])
    carried = np.flatnonzero(np.isfinite(loads))
    knots = set(carried[np.linspace(0, carried.size - 1, min(KNOTS, carried.size)).round().astype(int)].tolist())
    bands, near = np.full((2, grades.size), np.nan), None
    for k in sorted(knots | set(np.flatnonzero(np.isnan(loads)).tolist())):
        grade, divided = radians(grades[k]), member.climb.overdriven
        near = creep_near(member.climb, rows[k]) if near is None else near
        found, near = doubted_loads(varied, standing.batch, grade, doubted, near=near, divided=divided)
        good = found[np.isfinite(found)]
        if good.size >= LEAST_DRAWS:
            bands[:, k] = np.percentile(good, (PERCENTILES[0], PERCENTILES[2]))
    for limits in bands:
        known = np.array([k for k in sorted(knots) if np.isfinite(limits[k])], dtype=int)
        between = np.setdiff1d(carried, known)
        if known.size:
            distance = np.interp(grades[between], grades[known], (limits - loads)[known])
            limits[between] = loads[between] + distance
    return np.maximum(bands, 0.0)
