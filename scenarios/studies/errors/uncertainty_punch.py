"""How sure a punch is: draws of what was measured and of what the model leaves out, each run as a punch of its own in one batch."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.names import row_name
from noseload.model.units import grams_of_force
from noseload.studies.climb.slopes import CreepSlopes
from noseload.studies.result import Result

from .error_group import ErrorGroup
from .improvements import improvements
from .left_out import open_entries
from .punch_draws import NUMBERS, PUNCH_DRAWS, nothing_left_out, run_drawn
from .uncertainty import NORMAL_95, SEED, Ends, Interval, intervals_document

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.errors.error_group import Member
    from noseload.studies.errors.punch_draws import DrawnPunches


PERCENTILES = (2.5, 97.5)
STATED_DRAWS = 200
"""Draws of what a punch cannot carry, in a crawl."""
APART = 2
"""Either part alone is told from every second draw."""
BAND_STEP_S = 0.005
"""Time between samples of the bands, where the trace is not shorter than 100 of them."""


@dataclass(frozen=True)
class PunchSetupUncertainty:
    """Intervals of the punch of one setup, and of what it changes against the first.

    Attributes
    ----------
    front_load_min_n, front_airborne_s, front_first_hop_s, peak_nose_up_pitch_deg : Interval
        `value` is that of the batch: within a thousandth of the largest load of an accurate single run.
    share_lifting : float or None
        Share of the draws in which the front leaves the ground.
    lifting_airborne_s : tuple of float or None
        95 % limits of the time in the air among those draws; None where there are none.
    draws_without_start : int
        Draws that stand in no pose or whose crawl cannot be held; left out.
    front_load_band_n, nose_up_pitch_band_deg : ndarray, shape (2, samples)
        95 % limits over `PunchUncertainty.time_s`.
    difference : dict of str to Interval
        This setup less the first; empty for the first.
    """

    setup: str
    front_load_min_n: Interval
    front_airborne_s: Interval
    front_first_hop_s: Interval
    peak_nose_up_pitch_deg: Interval
    share_lifting: float | None
    lifting_airborne_s: tuple | None
    draws_without_start: int
    front_load_band_n: np.ndarray = field(repr=False)
    nose_up_pitch_band_deg: np.ndarray = field(repr=False)
    difference: dict = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        limits = (
            None
            if self.lifting_airborne_s is None
            else dict(zip(("low", "high"), self.lifting_airborne_s, strict=True))
        )
        values: dict[str, Any] = {
            "setup": self.setup,
            "share_lifting": self.share_lifting,
            "lifting_airborne_s": limits,
            "draws_without_start": self.draws_without_start,
        }
        for name in ("front_load_band_n", "nose_up_pitch_band_deg"):
            low, high = getattr(self, name).tolist()
            values[name] = {"low": low, "high": high}
        return values | intervals_document(self, NUMBERS)


@dataclass(frozen=True)
class PunchUncertainty(Result):
    """Result of `punch_uncertainty`; the first setup is what the others are compared with."""

    picture = "climb.uncertainty.plot_punch_contributions"

    grade_deg: float
    setups: tuple
    draws: int
    seed: int
    sources: tuple
    """Every error: name and limit in words."""
    time_s: np.ndarray = field(repr=False)
    stated: tuple = ()
    """What a punch has no numbers for, in words."""
    stated_n: tuple | None = None
    """95 % ends of what that moves the front load by in a steady crawl at the grade, N; None where there is none."""

    @property
    def note(self) -> str:
        """What is not drawn, and what it is worth in a crawl."""
        if not self.stated:
            return ""
        worth = ""
        if self.stated_n is not None:
            low, high = (grams_of_force(end) for end in self.stated_n)
            worth = f"; in a steady crawl at {self.grade_deg:g} deg that moves {row_name(self.setups[0].setup)} by {low:+.0f} to {high:+.0f} g (95 %)"
        return f"not drawn for a punch, whose equations have no number for it: {'; '.join(self.stated)}{worth}"

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "grade_deg": self.grade_deg,
            "draws": self.draws,
            "seed": self.seed,
            "interval": "95 %",
            "setups": [s.to_dict() for s in self.setups],
            "band_time_s": self.time_s.tolist(),
            "errors": [{"name": name, "limit": limit} for name, limit in self.sources],
            "not_drawn": list(self.stated),
            "not_drawn_crawl_n": None if self.stated_n is None else list(self.stated_n),
            "note": self.note,
        }


def punch_uncertainty(
    vehicles: list[Vehicle],
    *,
    grade_deg: float,
    draws: int = PUNCH_DRAWS,
    seed: int = SEED,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    start_s: float = 0.1,
    duration_s: float = 1.0,
    creep_speed_mm_per_s: float = 100.0,
    program: str | None = None,
    hold_s: float = 0.1,
    grip_program=None,
    start: str = "creep",
) -> PunchUncertainty:
    """95 % intervals of a punch, and of what setups change in it.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Setups of one file share the errors of the parts they share; the first is what the others are
        held against.
    grade_deg, throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s, program, hold_s, grip_program, start
        As for `punch`.
    draws, seed : int

    Returns
    -------
    PunchUncertainty

    Raises
    ------
    ModelError
        Fewer than 10 draws, or a program that makes no sense.
    MissingDataError
        A file has no links (level A).
    SolverError
        A vehicle itself has no standing pose; draws without one are counted instead.
    """
    if draws < 10:
        raise ModelError(f"{draws} draws give no interval; use 10 or more, such as {PUNCH_DRAWS}")
    flat = next((v for v in vehicles if v.level == "A"), None)
    if flat is not None:
        raise MissingDataError(f"{flat.name}: uncertainty needs links and springs, and this file has none (level A)")
    options = {
        "grade_deg": grade_deg,
        "throttle": throttle,
        "rise_s": rise_s,
        "start_s": start_s,
        "duration_s": duration_s,
        "creep_speed_mm_per_s": creep_speed_mm_per_s,
        "sample_s": min(BAND_STEP_S, 0.01 * duration_s),
        "program": program,
        "hold_s": hold_s,
        "grip_program": grip_program,
        "start": start,
    }
    group = ErrorGroup(vehicles, punch=True)
    errors, sizes = group.draw(draws, seed), group.draw_left_out(draws, seed)
    found = _runs(group, errors, sizes, options)
    results = tuple(_setup(group, runs, found[0]) for runs in found)
    sources = tuple((source.name, source.limit_words) for source in group.all_sources)
    stated, worth = stated_in_crawl(vehicles[0], grade_deg, seed)
    return PunchUncertainty(float(grade_deg), results, draws, seed, sources, np.asarray(found[0].times), stated, worth)


def stated_in_crawl(vehicle, grade_deg, seed=SEED, draws=STATED_DRAWS):
    """What a punch cannot carry: its words, and 95 % ends of what it moves the front load by in a steady crawl, N.

    Returns
    -------
    stated : tuple of str
    ends : (float, float) or None
        None where nothing is left, or where there is no crawl at that grade.
    """
    stated = tuple(entry.words for entry in open_entries(vehicle) if not entry.punch)
    if not stated:
        return stated, None
    group = ErrorGroup([vehicle])
    member = group.members[0]
    row = member.climb.row(grade_deg)
    if row.front_load_n is None:
        return stated, None
    sizes = group.draw_left_out(draws, seed)
    drawn = np.array([source.entry.punch for source in group.left_out], dtype=bool)
    sizes[drawn] = nothing_left_out(group, draws)[drawn]
    errors, creep = np.zeros((len(group.sources), draws)), CreepSlopes(member.climb, grade_deg)
    loads = group.sample_whole([member], [creep], grade_deg, [errors], [member.doubted(sizes)])[0]["front_load_n"]
    ends = Ends.of(loads - row.front_load_n)
    return stated, None if ends.low is None else (ends.low, ends.high)


def _runs(group: ErrorGroup, errors: np.ndarray, sizes: np.ndarray, options: dict[str, Any]) -> list[_Runs]:
    """`_Runs` of every member, all run side by side: its own, either part alone, both, and each error alone to both sides."""
    draws, sources, left = errors.shape[1], len(group.sources), len(group.left_out)
    plain = nothing_left_out(group, 1)
    none, nothing = np.zeros((sources, 1)), np.zeros((sources, draws))
    deviations = np.diag([source.deviation for source in group.sources])
    middles = np.array([source.part.mean for source in group.left_out]).reshape(left, 1)
    steps = np.diag([source.deviation for source in group.left_out]).reshape(left, left)
    measured = np.repeat(plain, draws, axis=1), np.repeat(plain, sources, axis=1)
    some = slice(None, None, APART)
    columns = [
        (none, plain),
        (errors, sizes),
        (errors[:, some], measured[0][:, some]),
        (nothing[:, some], sizes[:, some]),
        (deviations, measured[1]),
        (-deviations, measured[1]),
        (np.zeros((sources, left)), middles + steps),
        (np.zeros((sources, left)), middles - steps),
        (np.zeros((sources, len(group.entry_keys))), group.entries_alone()[:, 1:]),
    ]
    all_errors, all_sizes = (np.hstack(list(part)) for part in zip(*columns, strict=True))
    ends = np.cumsum([part.shape[1] for part, _ in columns])[:-1]
    found = run_drawn(group.members, all_errors, all_sizes, options)
    return [_Runs(member, one, ends, draws) for member, one in zip(group.members, found, strict=True)]


class _Runs:
    """Numbers of one member's punches in the blocks of `_runs`, which end at `ends`."""

    def __init__(self, member: Member, found: DrawnPunches, ends: np.ndarray, draws: int) -> None:
        self.member, self.times = member, np.asarray(found.time_s)
        self.numbers = {name: np.split(values, ends) for name, values in found.numbers.items()}
        whole = self.numbers["front_load_min_n"][1]
        good = np.isfinite(whole)
        airborne = self.numbers["front_airborne_s"][1][good]
        lifted = airborne[airborne > 0.0]
        self.lifting = lifted.size / airborne.size if good.any() else None
        self.aloft = tuple(np.percentile(lifted, PERCENTILES).tolist()) if lifted.size else None
        self.lost = int(draws - good.sum())
        drawn = np.flatnonzero((found.ran > 0) & (found.ran <= draws))
        self.bands = [_limits(found.traces[name][:, drawn]) for name in ("front_load_n", "nose_up_pitch_deg")]


def _limits(traces: np.ndarray) -> np.ndarray:
    """95 % limits over time, shape (2, samples); not a number past the first flip, or with fewer than ten draws."""
    if traces.shape[1] < 10:
        return np.full((2, traces.shape[0]), np.nan)
    return np.percentile(traces, PERCENTILES, axis=1)


def _setup(group: ErrorGroup, runs: _Runs, first: _Runs) -> PunchSetupUncertainty:
    intervals = {name: _interval(group, runs.numbers[name]) for name in NUMBERS}
    difference = {}
    if runs is not first:
        for name in NUMBERS:
            pairs = zip(runs.numbers[name], first.numbers[name], strict=True)
            difference[name] = _interval(group, [a - b for a, b in pairs])
    return PunchSetupUncertainty(
        runs.member.vehicle.setup,
        **intervals,
        share_lifting=runs.lifting,
        lifting_airborne_s=runs.aloft,
        draws_without_start=runs.lost,
        front_load_band_n=runs.bands[0],
        nose_up_pitch_band_deg=runs.bands[1],
        difference=difference,
    )


def _interval(group: ErrorGroup, parts: list) -> Interval:
    """Interval of numbers in the blocks of `_Runs`."""
    own, whole, measured, left_out, up, down, left_up, left_down, alone = parts
    good = whole[np.isfinite(whole)]
    failed, value = int(whole.size - good.size), float(own[0]) if np.isfinite(own[0]) else None
    apart = {"measured": Ends.of(measured), "left_out": Ends.of(left_out)}
    ends = Ends.of(whole)
    if value is None or ends.low is None or ends.high is None:
        return Interval(value, None, None, None, None, failed, **apart)
    half = 0.5 * (ends.high - ends.low)
    steps = (0.5 * np.concatenate([up - down, left_up - left_down])) ** 2
    if not np.isfinite(steps).all():
        return Interval(value, ends.low, ends.high, half, None, failed, **apart)
    total = float(steps.sum())
    better = improvements(group, steps, np.nan_to_num(alone - own[0]), half)
    return Interval(value, ends.low, ends.high, half, NORMAL_95 * sqrt(total), failed, better, **apart)
