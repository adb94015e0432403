"""A film of a punch in space: which sample every frame shows."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.studies.punch.splits_range import WheelsRange, wheels_range
from noseload.studies.punch.wheels import WheelsPunch, punch_wheels
from noseload.studies.punch.wheels_words import wheels_sentence

HOLD_S = 1.0
"""How long the last frame is held."""
SAMPLE_S = 0.001


@dataclass(frozen=True)
class WheelsFilm:
    """Frames of one punch in space.

    Attributes
    ----------
    name : str
        Of the vehicle.
    punch : WheelsPunch
    places : ndarray
        Times of the frames, s.
    slow, frames_per_second : float
    """

    name: str
    punch: WheelsPunch = field(repr=False)
    places: np.ndarray
    slow: float
    frames_per_second: float
    spread: WheelsRange | None = None
    """The first wheel to lift under every plausible division of the pull; None where one axle alone is driven."""

    @property
    def hold_frames(self) -> int:
        """Frames for which the last one is held."""
        return round(HOLD_S * self.frames_per_second)

    @property
    def duration_s(self) -> float:
        """Length of the film, the hold at its end included, s."""
        return (len(self.places) + self.hold_frames) / self.frames_per_second

    def sample(self, frame: int) -> int:
        """Sample of the punch that a frame shows."""
        return int(min(round(self.places[frame] / SAMPLE_S), len(self.punch.time_s) - 1))

    def to_dict(self) -> dict[str, Any]:
        """What the command tells of it."""
        return {
            "kind": "punch in space",
            "setup": self.punch.setup,
            "frames": len(self.places),
            "slow": self.slow,
            "frames_per_second": self.frames_per_second,
            "duration_s": self.duration_s,
            "sentence": wheels_sentence(self.punch),
            "range_over_splits": None if self.spread is None else self.spread.to_dict(),
            "status": "ok",
        }


def wheels_film(
    vehicle: Vehicle,
    *,
    grade_deg: float,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    duration_s: float = 1.0,
    slow: float = 5.0,
    frames_per_second: float = 20.0,
) -> WheelsFilm:
    """A film of a punch in space, slowed down.

    Raises
    ------
    ModelError
        The crawl before it cannot be held, or as `punch_wheels`.
    """
    asked: dict[str, Any] = {"grade_deg": grade_deg, "throttle": throttle, "rise_s": rise_s, "duration_s": duration_s}
    result = punch_wheels(vehicle, **asked, sample_s=SAMPLE_S, outcome=False)
    if not result.time_s.size:
        raise ModelError(f"animate: {vehicle.setup} cannot hold the crawl before the punch: {result.message}")
    step = 1.0 / (slow * frames_per_second)
    count = int(np.floor(result.time_s[-1] / step + 1e-9)) + 1
    places, spread = step * np.arange(count), wheels_range(vehicle, asked)
    return WheelsFilm(vehicle.name, result, places, float(slow), float(frames_per_second), spread)
