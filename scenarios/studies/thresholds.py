"""The two thresholds a difference is held against: what can be measured here, and what would be noticed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noseload.model.units import force_of_grams
from noseload.studies.verdict.judgement import Judgement, Threshold

if TYPE_CHECKING:
    import numpy as np


@dataclass(frozen=True)
class Thresholds:
    """Adjustable thresholds; both are stated with every verdict.

    Attributes
    ----------
    repeatability_g, repeatability_deg : float
        How far the same reading comes back when repeated. A difference can be measured when it
        is more than twice that.
    noticed_share : float
        Share of the standing front load that would be noticed.
    noticed_deg : float
        Difference of tip-over grade that would be noticed.
    film_frames_per_s : float
        Of the phone film by which time in the air is read; either end of it is known to one frame.
    noticed_airborne_s : float
        Difference of the front axle's time in the air that would be noticed without a film: our choice.
    """

    repeatability_g: float = 5.0
    repeatability_deg: float = 0.3
    noticed_share: float = 0.02
    noticed_deg: float = 1.0
    film_frames_per_s: float = 240.0
    noticed_airborne_s: float = 0.1

    @property
    def measurable_load_n(self) -> float:
        """Smallest load difference that can be measured here, N."""
        return force_of_grams(2.0 * self.repeatability_g)

    @property
    def measurable_deg(self) -> float:
        """Smallest grade difference that can be measured here, deg."""
        return 2.0 * self.repeatability_deg

    @property
    def measurable_airborne_s(self) -> float:
        """Smallest difference of time in the air that a film shows, s: two frames."""
        return 2.0 / self.film_frames_per_s

    def noticed_load_n(self, standing_front_n: float | np.ndarray) -> Any:
        """Smallest load difference that would be noticed, N."""
        return self.noticed_share * standing_front_n

    def given(self, name: str) -> bool:
        """Whether a value is not the default one."""
        return getattr(self, name) != type(self).__dataclass_fields__[name].default

    def load(
        self, difference_n: float, standing_front_n: float, low_n: float | None = None, high_n: float | None = None
    ) -> Judgement:
        """A difference of loads (N) judged, with the ends of its 95 % interval where they are known."""
        sizes = Threshold(self.measurable_load_n, self.noticed_load_n(standing_front_n), self.given("noticed_share"))
        return Judgement(difference_n, sizes, low_n, high_n)

    def angle(self, difference_deg: float, low_deg: float | None = None, high_deg: float | None = None) -> Judgement:
        """A difference of grades or angles (deg) judged."""
        sizes = Threshold(self.measurable_deg, self.noticed_deg, self.given("noticed_deg"))
        return Judgement(difference_deg, sizes, low_deg, high_deg)

    def airborne(self, difference_s: float, low_s: float | None = None, high_s: float | None = None) -> Judgement:
        """A difference of times in the air (s) judged."""
        sizes = Threshold(self.measurable_airborne_s, self.noticed_airborne_s, self.given("noticed_airborne_s"))
        return Judgement(difference_s, sizes, low_s, high_s)

    def to_dict(self) -> dict:
        """Keys of the JSON document."""
        return {
            "repeatability_g": self.repeatability_g,
            "repeatability_deg": self.repeatability_deg,
            "measurable_load_n": self.measurable_load_n,
            "measurable_deg": self.measurable_deg,
            "noticed_share": self.noticed_share,
            "noticed_deg": self.noticed_deg,
            "film_frames_per_s": self.film_frames_per_s,
            "measurable_airborne_s": self.measurable_airborne_s,
            "noticed_airborne_s": self.noticed_airborne_s,
        }
