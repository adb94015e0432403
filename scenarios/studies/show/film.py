"""A punch over time, or a crawl over grade, taken apart into the frames of a film; the drawing is in `pictures.film`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil, floor
from typing import Any

import numpy as np

from noseload.model.crawl import budget_parts
from noseload.model.errors import ModelError
from noseload.model.motion.rows import COORDINATE_ROWS
from noseload.model.vehicle import ENDS, Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import plausible_splits
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import PunchRange, punch_range
from noseload.studies.result import Result

FINEST_S = 0.002
"""Curves are sampled at least this finely, however few frames there are."""
MOST_FRAMES = 600
HOLD_S = 1.0
"""How long the last frame stays before the film begins again."""


@dataclass(frozen=True)
class Track:
    """What one setup does in a film; arrays over the samples, NaN where there is no such pose.

    Attributes
    ----------
    setup : str
    values : dict
        Kernel parameters by name.
    places : ndarray, shape (n,)
        Times in s or grades in deg; a punch ended by a flip has fewer.
    grade_deg : ndarray, shape (n,)
    coordinates : ndarray, shape (9, n)
    loads_n, tractions_n : ndarray, shape (2, n)
        Rear and front tyre forces.
    nose_up_pitch_deg : ndarray, shape (n,)
    travel_mm : ndarray, shape (n,)
        Of the chassis along the slope.
    budget : dict of str to ndarray
    words : tuple of str, length n
        What is out of the ordinary, '' where nothing is.
    """

    setup: str
    values: dict = field(repr=False)
    places: np.ndarray = field(repr=False)
    grade_deg: np.ndarray = field(repr=False)
    coordinates: np.ndarray = field(repr=False)
    loads_n: np.ndarray = field(repr=False)
    tractions_n: np.ndarray = field(repr=False)
    nose_up_pitch_deg: np.ndarray = field(repr=False)
    travel_mm: np.ndarray = field(repr=False)
    budget: dict = field(repr=False)
    words: tuple = field(repr=False)

    def solved(self, k: int) -> bool:
        """Whether there is a pose at a sample."""
        return bool(np.isfinite(self.coordinates[:, k]).all())


@dataclass(frozen=True)
class Film(Result):
    """Frames of one or more setups.

    Attributes
    ----------
    kind : str
        'punch' (over time) or 'creep' (over grade).
    name, title : str
    tracks : tuple of Track
    places : ndarray, shape (frames,)
        Time (s) or grade (deg) of every frame.
    stride : int
        Samples of a track from one frame to the next.
    frames_per_second : float
    slow : float or None
        How many times slower than real time a punch is shown; a crawl over grade has no time of its own.
    """

    picture = "show.film.plot_film"

    kind: str
    name: str
    title: str
    tracks: tuple[Track, ...]
    places: np.ndarray = field(repr=False)
    stride: int
    frames_per_second: float
    slow: float | None = None
    ranges: tuple[PunchRange | None, ...] = ()
    """Of the punches, by track: ends over plausible divisions of the pull; None where one axle alone is driven."""
    geared: bool = False
    """Whether the pull may divide otherwise than it does in the film."""

    @property
    def hold_frames(self) -> int:
        """How often the last frame is repeated."""
        return round(HOLD_S * self.frames_per_second)

    @property
    def duration_s(self) -> float:
        """Length of the film, the hold at its end included, s."""
        return (len(self.places) + self.hold_frames) / self.frames_per_second

    def sample(self, track: Track, frame: int) -> int:
        """Sample of a track that a frame shows; its last where it ended before."""
        return min(frame * self.stride, len(track.places) - 1)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        unit = "time_s" if self.kind == "punch" else "grade_deg"
        rows = [
            {
                "setup": track.setup,
                **{
                    f"{what}_load_n": [
                        _number(track.loads_n[row, self.sample(track, k)]) for k in range(len(self.places))
                    ]
                    for row, what in enumerate(ENDS)
                },
            }
            for track in self.tracks
        ]
        return {
            "kind": self.kind,
            unit: self.places.tolist(),
            "frames": len(self.places),
            "hold_frames": self.hold_frames,
            "frames_per_second": self.frames_per_second,
            "slow": self.slow,
            "duration_s": self.duration_s,
            "setups": rows,
            "ranges_over_splits": [None if each is None else each.to_dict() for each in self.ranges],
            "status": "ok",
        }


def _number(value: float) -> float | None:
    """A plain number, None where there is none."""
    return float(value) if np.isfinite(value) else None


def punch_film(
    vehicles: Sequence[Vehicle],
    *,
    grade_deg: float,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    start_s: float = 0.1,
    duration_s: float = 1.0,
    slow: float = 5.0,
    frames_per_second: float = 20.0,
) -> Film:
    """A film of a punch, slowed down.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    grade_deg, throttle, rise_s, start_s, duration_s : float
        As of `punch`.
    slow : float
        1 s of the punch takes this many seconds of film.
    frames_per_second : float

    Returns
    -------
    Film
        From time 0 to the end; of setups that flip, until the last has.

    Raises
    ------
    ModelError
        The film would be too long or too short.
    SolverError
        A setup cannot hold the crawl before the punch, or as `punch`.
    """
    step = 1.0 / (slow * frames_per_second)
    _check_frames(duration_s / step, "--duration, --slow or --frames-per-second")
    stride = ceil(step / FINEST_S - 1e-9)
    tracks, ranges = [], []
    asked: dict[str, Any] = {"grade_deg": grade_deg, "throttle": throttle, "rise_s": rise_s}
    asked |= {"start_s": start_s, "duration_s": duration_s}
    for vehicle in vehicles:
        result = punch(vehicle, **asked, sample_s=step / stride, outcome=False)
        if not result.success:
            raise SolverError(
                None, f"animate: {vehicle.setup} cannot hold the crawl before the punch: {result.message}", result
            )
        tracks.append(_punch_track(result))
        ranges.append(punch_range(vehicle, asked, result.summary))
    longest = max(len(track.places) for track in tracks)
    frames = (longest - 1) // stride + 1
    title = f"throttle to {throttle:g} in {rise_s:g} s at {grade_deg:g} deg, {vehicles[0].drive.driven_axles} driven"
    return Film(
        "punch",
        vehicles[0].name,
        title,
        tuple(tracks),
        step * np.arange(frames),
        stride,
        float(frames_per_second),
        float(slow),
        tuple(ranges),
        any(plausible_splits(vehicle) for vehicle in vehicles),
    )


def _check_frames(count: float, remedy: str) -> None:
    if count > MOST_FRAMES:
        raise ModelError(
            f"animate: {count:.0f} frames are more than the {MOST_FRAMES} that a film may have; make {remedy} smaller"
        )
    if count < 1.0:
        raise ModelError(f"animate: this gives less than one frame; make {remedy} larger")


def _punch_track(result: Any) -> Track:
    traces = result.traces
    n = len(result.time_s)
    loads = np.array([traces["rear_load_n"], traces["front_load_n"]])
    words = []
    for k in range(n):
        up = [end for row, end in enumerate(ENDS) if loads[row, k] <= 0.0]
        words.append(" and ".join(up) + " in the air" if up else "")
    if (
        result.events
        and result.events[-1].name.startswith("flips")
        and result.time_s[-1] < result.options.duration_s - 1e-9
    ):
        words[-1] = result.events[-1].name.replace("_", " ") + " over"
    return Track(
        result.setup,
        result.standing.values,
        result.time_s,
        np.full(n, result.options.grade_deg),
        result.states[COORDINATE_ROWS],
        loads,
        np.array([traces["rear_traction_n"], traces["front_traction_n"]]),
        traces["nose_up_pitch_deg"],
        traces["travel_mm"],
        dict(result.budget),
        tuple(words),
    )


def creep_film(
    vehicles: Sequence[Vehicle],
    *,
    from_deg: float = 0.0,
    to_deg: float | None = None,
    degrees_per_second: float = 10.0,
    frames_per_second: float = 20.0,
) -> Film:
    """A film of a steady crawl while the slope grows steeper; every frame is an equilibrium.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    from_deg, to_deg : float
        By default from the level to the last tip-over.
    degrees_per_second : float
        How fast the slope turns on the screen.
    frames_per_second : float

    Returns
    -------
    Film

    Raises
    ------
    ModelError
        The film would be too long, too short, or run backwards.
    SolverError
        A vehicle has no standing pose.
    """
    climbs: list[Any] = [Climb(vehicle) for vehicle in vehicles]
    step = degrees_per_second / frames_per_second
    end = max(c.limits.steepest_equilibrium_deg for c in climbs) + step if to_deg is None else to_deg
    if end <= from_deg:
        raise ModelError(
            f"animate: from {from_deg:g} to {end:g} deg the slope does not grow steeper; swap or change --from and --to"
        )
    _check_frames((end - from_deg) / step, "--degrees-per-second, --frames-per-second or the range of grades")
    grades = from_deg + step * np.arange(floor((end - from_deg) / step + 1e-9) + 1)
    tracks = tuple(_creep_track(climb, grades) for climb in climbs)
    title = f"steady crawl, {vehicles[0].drive.driven_axles} driven: every frame an equilibrium"
    geared = any(plausible_splits(vehicle) for vehicle in vehicles)
    return Film("creep", vehicles[0].name, title, tracks, grades, 1, float(frames_per_second), geared=geared)


def _creep_track(climb: Climb, grades: np.ndarray) -> Track:
    rows = [climb.row(float(grade)) for grade in grades]

    def column(name: str) -> np.ndarray:
        return np.array([np.nan if getattr(row, name) is None else getattr(row, name) for row in rows])

    missing = np.full(9, np.nan)
    coordinates = np.array([missing if row.state is None else coordinates_of(row.state) for row in rows]).T
    budget = {
        key: np.array([np.nan if row.budget[key] is None else row.budget[key] for row in rows])
        for key in budget_parts.steady_keys()
    }
    words = tuple(
        "" if row.status == "ok" else row.status.replace("_", " ").replace("tip over", "tip-over") for row in rows
    )
    return Track(
        climb.vehicle.setup,
        climb.standing.values,
        grades,
        grades,
        coordinates,
        np.array([column("rear_load_n"), column("front_load_n")]),
        np.array([column("rear_traction_n"), column("front_traction_n")]),
        column("nose_up_pitch_deg"),
        np.zeros(len(rows)),
        budget,
        words,
    )
