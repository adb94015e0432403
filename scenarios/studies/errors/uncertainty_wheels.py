"""How sure a punch in space is: draws of what was measured and of what the model leaves out, each a punch of its own in one batch."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.space.parameters import WHEELS
from noseload.studies.punch.wheels_many import punch_wheels_many

from .punch_draws import PUNCH_DRAWS, run_drawn
from .uncertainty import SEED, Interval
from .uncertainty_punch import PunchUncertainty, drawn_punches, low_and_high

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.errors.error_group import ErrorGroup
    from noseload.studies.errors.punch_blocks import PunchBlocks


WATCHED = (*WHEELS, "front_axle")
NUMBERS = (
    *(f"{name}_{what}" for name in WATCHED for what in ("airborne_s", "load_min_n")),
    "peak_chassis_roll_deg",
    "peak_nose_up_pitch_deg",
)
BANDS = (*(f"{wheel}_load_n" for wheel in WHEELS), "chassis_roll_deg", "nose_up_pitch_deg")
LIFTS = tuple(f"{wheel}_lift_s" for wheel in WHEELS)


@dataclass(frozen=True)
class WheelsSetupUncertainty:
    """Intervals of the punch in space of one setup, and of what it changes against the first.

    Attributes
    ----------
    first_wheel : str
        The wheel that lifts first as calculated; where none does, the one that does so in most draws, else the one with
        the least load.
    intervals : dict of str to Interval
        `front_right_airborne_s`, `front_right_load_min_n`, ... of wheels and of the front axle; largest roll and pitch.
    share_first, share_lifting : dict of str to float or None
        By wheel: share of the draws in which it lifts before all others, and at all.
    lifting_airborne_s : dict of str to (pair of float or None)
        By wheel: 95 % limits of its time in the air among the draws that lift it.
    draws_without_start : int
        Draws that stand in no pose or whose crawl cannot be held; left out.
    bands : dict of str to ndarray, shape (2, samples)
        95 % limits over `WheelsUncertainty.time_s`: `front_right_load_n`, ..., `chassis_roll_deg`.
    difference : dict of str to Interval
        This setup less the first; empty for the first.
    """

    setup: str
    first_wheel: str
    intervals: dict
    share_first: dict
    share_lifting: dict
    lifting_airborne_s: dict
    draws_without_start: int
    bands: dict = field(repr=False)
    difference: dict = field(default_factory=dict)

    def interval(self, name: str) -> Interval:
        """A number's interval by its name."""
        return self.intervals[name]

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        wheels = {
            wheel: {
                "share_lifting": self.share_lifting[wheel],
                "share_first": self.share_first[wheel],
                "lifting_airborne_s": low_and_high(self.lifting_airborne_s[wheel]),
            }
            for wheel in WHEELS
        }
        document: dict[str, Any] = {"setup": self.setup, "first_wheel": self.first_wheel, "wheels": wheels}
        document["draws_without_start"] = self.draws_without_start
        for name, band in self.bands.items():
            stem, _, unit = name.rpartition("_")
            document[f"{stem}_band_{unit}"] = low_and_high(band.tolist())
        document |= {name: interval.to_dict() for name, interval in self.intervals.items()}
        changes = {name: interval.to_dict() for name, interval in self.difference.items()}
        return document | ({"difference": changes} if changes else {})


@dataclass(frozen=True)
class WheelsUncertainty(PunchUncertainty):
    """Result of `wheels_uncertainty`; its setups are `WheelsSetupUncertainty`, the first is what the others are compared with."""

    picture = "climb.uncertainty.plot_wheels_contributions"


def wheels_uncertainty(
    vehicles: list[Vehicle], options: dict[str, Any], *, draws: int = PUNCH_DRAWS, seed: int = SEED
) -> WheelsUncertainty:
    """95 % intervals of a punch in space, and of what setups change in it.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Setups of one file share the errors of the parts they share; the first is what the others are held against.
    options : dict
        Of `punch_wheels_many`; a `mismatch` is taken as known: how the axles share the pull is then not drawn.
    draws, seed : int

    Returns
    -------
    WheelsUncertainty

    Raises
    ------
    ModelError, MissingDataError
        Fewer than 10 draws, options that make no sense, or a file that lacks a y or a track.
    SolverError
        A vehicle itself has no standing pose; draws without one are counted instead.
    """
    run = partial(run_drawn, many=punch_wheels_many, names=(*NUMBERS, *LIFTS))
    return WheelsUncertainty(*drawn_punches(vehicles, options, draws, seed, run, _setup, space=True))


def _setup(group: ErrorGroup, blocks: PunchBlocks, first: PunchBlocks) -> WheelsSetupUncertainty:
    lifting = {wheel: blocks.lifting(f"{wheel}_airborne_s") for wheel in WHEELS}
    shares = share_first([blocks.numbers[name][1] for name in LIFTS], blocks.numbers["front_axle_load_min_n"][1])
    return WheelsSetupUncertainty(
        blocks.member.vehicle.setup,
        _wheel_told(blocks, shares),
        blocks.intervals(group, NUMBERS),
        shares,
        {wheel: share for wheel, (share, _) in lifting.items()},
        {wheel: aloft for wheel, (_, aloft) in lifting.items()},
        blocks.lost,
        {name: blocks.band(name) for name in BANDS},
        {} if blocks is first else blocks.changes(group, NUMBERS, first),
    )


def share_first(lifts: list[np.ndarray], runs: np.ndarray) -> dict[str, float | None]:
    """Share of the draws in which each wheel lifts before all others, by wheel.

    Parameters
    ----------
    lifts : list of ndarray, shape (draws,)
        When each wheel first lifts, s; not a number where it does not.
    runs : ndarray, shape (draws,)
        Not a number where a draw does not run.
    """
    ran = np.isfinite(runs)
    if not ran.any():
        return dict.fromkeys(WHEELS)
    times = np.where(np.isfinite(lifts), lifts, np.inf)[:, ran]
    first = np.where(np.isfinite(times).any(axis=0), times.argmin(axis=0), -1)
    return {wheel: float((first == k).mean()) for k, wheel in enumerate(WHEELS)}


def _wheel_told(blocks: PunchBlocks, shares: dict[str, float | None]) -> str:
    own = np.array([blocks.numbers[name][0][0] for name in LIFTS])
    if np.isfinite(own).any():
        return WHEELS[int(np.nanargmin(own))]
    most = max(WHEELS, key=lambda wheel: shares[wheel] or 0.0)
    if shares[most]:
        return most
    loads = [blocks.numbers[f"{wheel}_load_min_n"][0][0] for wheel in WHEELS]
    return WHEELS[int(np.argmin(np.nan_to_num(loads, nan=np.inf)))]
