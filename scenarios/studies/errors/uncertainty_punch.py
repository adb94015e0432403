"""How sure a punch is: the same draws as for creep, each run as a punch of its own in one batch.

Friction of the suspension is left out: a punch shakes it loose.
"""

from dataclasses import dataclass, field
from math import sqrt
from typing import Any

import numpy as np

from noseload.model.errors import MissingDataError, ModelError
from noseload.studies.climb.spread import stand_spread
from noseload.studies.levers.survey import one_of
from noseload.studies.punch.many import punch_many
from noseload.studies.result import Result

from .error_group import ErrorGroup
from .uncertainty import NORMAL_95, SEED, Interval, improvements, intervals_document

PUNCH_DRAWS = 200
PERCENTILES = (2.5, 97.5)
NUMBERS = ("front_load_min_n", "front_airborne_s", "peak_nose_up_pitch_deg")
BAND_STEP_S = 0.005
"""Time between samples of the bands, where the trace is not shorter than 100 of them."""


@dataclass(frozen=True)
class PunchSetupUncertainty:
    """Intervals of the punch of one setup, and of what it changes against the first.

    Attributes
    ----------
    front_load_min_n, front_airborne_s, peak_nose_up_pitch_deg : Interval
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
    note: str = (
        "friction of the suspension is left out: a punch shakes it loose; linear +- counts each error alone, "
        "one deviation to each side"
    )

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
            "note": self.note,
        }


def punch_uncertainty(
    vehicles,
    *,
    grade_deg,
    draws=PUNCH_DRAWS,
    seed=SEED,
    throttle=1.0,
    rise_s=0.05,
    start_s=0.1,
    duration_s=1.0,
    creep_speed_mm_per_s=100.0,
    program=None,
    hold_s=0.1,
    grip_program=None,
    start="creep",
):
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
    group = ErrorGroup(vehicles)
    errors = group.draw(draws, seed)
    deviations = np.diag([source.deviation for source in group.sources])
    # One batch: the vehicle itself, its draws, and each error alone to both sides.
    columns = np.concatenate([np.zeros((len(errors), 1)), errors, deviations, -deviations], axis=1)
    found = [_Runs(member, columns, draws, options) for member in group.members]
    results = tuple(_setup(group, runs, found[0]) for runs in found)
    sources = tuple((source.name, source.limit_words) for source in group.sources)
    return PunchUncertainty(float(grade_deg), results, draws, seed, sources, np.asarray(found[0].times))


class _Runs:
    """Numbers of one member's punches: its own, its draws, and each error alone; not a number where it does not run."""

    def __init__(self, member, columns, draws, options):
        cases = columns.shape[1]
        varied = member.shifted(columns)
        stands = stand_spread(varied, cases, near=member.climb.standing).success
        stands[0] = True
        standing = np.flatnonzero(stands)
        run = punch_many([member.vehicle if case == 0 else one_of(varied, case) for case in standing], **options)
        self.member, self.times = member, np.asarray(run.time_s)
        self.numbers = {}
        for name in NUMBERS:
            self.numbers[name] = np.full(cases, np.nan)
            self.numbers[name][standing] = getattr(run, name)
        self.draws = slice(1, 1 + draws)
        good = np.isfinite(self.numbers["front_load_min_n"][self.draws])
        airborne = self.numbers["front_airborne_s"][self.draws][good]
        lifted = airborne[airborne > 0.0]
        self.lifting = lifted.size / airborne.size if good.any() else None
        self.aloft = tuple(np.percentile(lifted, PERCENTILES).tolist()) if lifted.size else None
        self.lost = int(draws - good.sum())
        drawn = np.flatnonzero((standing > 0) & (standing <= draws) & run.success)
        self.bands = [_limits(run.traces[name][:, drawn]) for name in ("front_load_n", "nose_up_pitch_deg")]


def _limits(traces):
    """95 % limits over time, shape (2, samples); not a number past the first flip, or with fewer than ten draws."""
    if traces.shape[1] < 10:
        return np.full((2, traces.shape[0]), np.nan)
    return np.percentile(traces, PERCENTILES, axis=1)


def _setup(group, runs, first):
    intervals = {name: _interval(group, runs.numbers[name], runs.draws) for name in NUMBERS}
    difference = (
        {}
        if runs is first
        else {name: _interval(group, runs.numbers[name] - first.numbers[name], runs.draws) for name in NUMBERS}
    )
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


def _interval(group, values, drawn):
    """Interval of numbers ordered as the batch: own, draws, each error one deviation up, then down."""
    draws = values[drawn]
    good = draws[np.isfinite(draws)]
    failed, value = int(draws.size - good.size), float(values[0]) if np.isfinite(values[0]) else None
    if value is None or good.size < 10:
        return Interval(value, None, None, None, None, failed)
    low, high = (float(v) for v in np.percentile(good, PERCENTILES))
    half = 0.5 * (high - low)
    up, down = values[drawn.stop :].reshape(2, len(group.sources))
    parts = np.concatenate([(0.5 * (up - down)) ** 2, np.zeros(len(group.left_out))])
    if not np.isfinite(parts).all():
        return Interval(value, low, high, half, None, failed)
    total = float(parts.sum())
    return Interval(value, low, high, half, NORMAL_95 * sqrt(total), failed, improvements(group, parts, total, half))
