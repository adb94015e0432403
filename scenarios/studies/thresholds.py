"""The two lines a difference is held against: what can be measured here, and what would be noticed."""

from dataclasses import dataclass

from model.units import GRAM, STANDARD_GRAVITY


@dataclass(frozen=True)
class Thresholds:
    """Adjustable lines; both are stated with every verdict.

    Attributes
    ----------
    repeatability_g, repeatability_deg : float
        How far the same reading comes back when repeated. A difference can be measured when it
        is more than twice that.
    noticed_share : float
        Share of the standing front load that would be noticed.
    noticed_deg : float
        Difference of tip-over grade that would be noticed.
    """

    repeatability_g: float = 5.0
    repeatability_deg: float = 0.3
    noticed_share: float = 0.02
    noticed_deg: float = 1.0

    @property
    def measurable_load_n(self):
        """Smallest load difference that can be measured here, N."""
        return 2.0 * self.repeatability_g * GRAM * STANDARD_GRAVITY

    @property
    def measurable_deg(self):
        """Smallest grade difference that can be measured here, deg."""
        return 2.0 * self.repeatability_deg

    def noticed_load_n(self, standing_front_n):
        """Smallest load difference that would be noticed, N."""
        return self.noticed_share * standing_front_n

    def to_dict(self):
        """Keys of the JSON document."""
        return {"repeatability_g": self.repeatability_g, "repeatability_deg": self.repeatability_deg,
                "measurable_load_n": self.measurable_load_n, "measurable_deg": self.measurable_deg,
                "noticed_share": self.noticed_share, "noticed_deg": self.noticed_deg}


def size_words(difference, measurable, noticed):
    """How a difference stands against both lines, in the words of every verdict."""
    size = abs(difference)
    if size < measurable:
        return "too small to be measured here" + ("" if size < noticed else ", though above what you set as noticeable")
    return "measurable, " + ("above" if size >= noticed else "below") + " what you set as noticeable"
