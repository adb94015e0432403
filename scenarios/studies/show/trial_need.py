"""What a blinded trial would need, as the report tells it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noseload.studies.trial.sizing import Sizing


@dataclass(frozen=True)
class TrialNeed:
    """What a blinded trial of the setup with the largest predicted difference would need.

    Attributes
    ----------
    change, reference : str
    predicted_deg : float
        Difference of tip-over grades, calculated.
    wanted_deg : float
        Difference the trial is sized for.
    scatter_deg : float
        Assumed scatter from one fitting to the next.
    repeats : int
    sizing : studies.trial_sizing.Sizing
    """

    change: str
    reference: str
    predicted_deg: float
    wanted_deg: float
    scatter_deg: float
    repeats: int
    sizing: Sizing

    def to_dict(self) -> dict:
        """Keys of the JSON document."""
        values = {k: v for k, v in self.__dict__.items() if k != "sizing"}
        size = self.sizing
        return values | {
            "installations": size.design.installations,
            "minutes": size.minutes,
            "power": size.power,
            "smallest_difference_deg": size.smallest_difference,
            "curve": [dict(point.__dict__) for point in size.curve],
        }
