"""How sure a punch is: draws of what was measured and of what the model leaves out, each run as a punch of its own in one batch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.names import row_name
from noseload.model.units import grams_of_force
from noseload.studies.climb.slopes import CreepSlopes
from noseload.studies.punch.options import PunchOptions
from noseload.studies.result import Result

from .error_group import ErrorGroup
from .left_out import open_entries
from .punch_blocks import PunchBlocks, punch_blocks
from .punch_draws import NUMBERS, PUNCH_DRAWS, nothing_left_out, run_drawn
from .uncertainty import LEAST_DRAWS, SEED, Ends, Interval, intervals_document

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


STATED_DRAWS = 200
"""Draws of what a punch cannot carry, in a crawl."""
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

    def interval(self, name: str) -> Interval:
        """A number's interval by its name."""
        return getattr(self, name)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values: dict[str, Any] = {
            "setup": self.setup,
            "share_lifting": self.share_lifting,
            "lifting_airborne_s": low_and_high(self.lifting_airborne_s),
            "draws_without_start": self.draws_without_start,
        }
        for name in ("front_load_band_n", "nose_up_pitch_band_deg"):
            values[name] = low_and_high(getattr(self, name).tolist())
        return values | intervals_document(self, NUMBERS)


def low_and_high(pair: Any) -> dict[str, Any] | None:
    """Both ends by name, as documents have them; None where there are none."""
    return None if pair is None else dict(zip(("low", "high"), pair, strict=True))


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
        return stated_words(self.stated, self.stated_n, self.grade_deg, row_name(self.setups[0].setup))

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
    vehicles: list[Vehicle], options: dict[str, Any], *, draws: int = PUNCH_DRAWS, seed: int = SEED
) -> PunchUncertainty:
    """95 % intervals of a punch, and of what setups change in it.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Setups of one file share the errors of the parts they share; the first is what the others are
        held against.
    options : dict
        Of `punch_many`.
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
    return PunchUncertainty(*drawn_punches(vehicles, options, draws, seed, run_drawn, _setup))


def drawn_punches(
    vehicles: list[Vehicle],
    options: dict[str, Any],
    draws: int,
    seed: int,
    run: Callable[..., Any],
    setup_of: Callable[[ErrorGroup, PunchBlocks, PunchBlocks], Any],
    *,
    space: bool = False,
) -> tuple:
    """The fields of a `PunchUncertainty`: punches of random vehicles, side by side, and what they tell of each setup.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    options : dict
        Of the punches.
    draws, seed : int
    run : callable
        `run_drawn`, or with other punches.
    setup_of : callable
        `setup_of(group, blocks, blocks of the first)` to the result of one setup.
    space : bool
        Whether the numbers that the side view does not see have errors too.
    """
    check_drawn(vehicles, draws)
    grade_deg, duration_s = options["grade_deg"], options.get("duration_s", PunchOptions.duration_s)
    asked = options | {"sample_s": min(BAND_STEP_S, 0.01 * duration_s)}
    group = ErrorGroup(vehicles, punch=True, space=space)
    errors, sizes = group.draw(draws, seed), group.draw_left_out(draws, seed)
    found = punch_blocks(group, errors, sizes, partial(run, options=asked))
    setups = tuple(setup_of(group, blocks, found[0]) for blocks in found)
    sources = tuple((source.name, source.limit_words) for source in group.all_sources)
    stated, worth = stated_in_crawl(vehicles[0], grade_deg, seed)
    return float(grade_deg), setups, draws, seed, sources, found[0].times, stated, worth


def check_drawn(vehicles: list[Vehicle], draws: int) -> None:
    """Raise where there can be no intervals: too few draws, or a file without links."""
    if draws < LEAST_DRAWS:
        raise ModelError(f"{draws} draws give no interval; use {LEAST_DRAWS} or more, such as {PUNCH_DRAWS}")
    flat = next((v for v in vehicles if v.level == "A"), None)
    if flat is not None:
        raise MissingDataError(f"{flat.name}: uncertainty needs links and springs, and this file has none (level A)")


def stated_words(stated: tuple, ends: tuple | None, grade_deg: float, setup: str) -> str:
    """What is not drawn, and what it is worth in a crawl: the two of `stated_in_crawl` in words."""
    if not stated:
        return ""
    worth = ""
    if ends is not None:
        low, high = (grams_of_force(end) for end in ends)
        worth = f"; in a steady crawl at {grade_deg:g} deg that moves {setup} by {low:+.0f} to {high:+.0f} g (95 %)"
    return f"not drawn for a punch, whose equations have no number for it: {'; '.join(stated)}{worth}"


def stated_in_crawl(vehicle: Vehicle, grade_deg: float, seed: Any = SEED, draws: Any = STATED_DRAWS) -> Any:
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
    doubted = [member.doubted(sizes)]
    (drawn,) = group.sample_whole([member], [creep], grade_deg, [errors], doubted, of=("front_load_n",))
    ends = Ends.of(drawn["front_load_n"] - row.front_load_n)
    return stated, ends.pair


def _setup(group: ErrorGroup, runs: PunchBlocks, first: PunchBlocks) -> PunchSetupUncertainty:
    share, aloft = runs.lifting("front_airborne_s")
    return PunchSetupUncertainty(
        runs.member.vehicle.setup,
        **runs.intervals(group, NUMBERS),
        share_lifting=share,
        lifting_airborne_s=aloft,
        draws_without_start=runs.lost,
        front_load_band_n=runs.band("front_load_n"),
        nose_up_pitch_band_deg=runs.band("nose_up_pitch_deg"),
        difference={} if runs is first else runs.changes(group, NUMBERS, first),
    )
