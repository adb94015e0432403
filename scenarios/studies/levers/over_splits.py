"""What changes and numbers buy under every plausible way in which geared axles may divide the traction."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.parameters import ENDS, POSITION
from noseload.model.sensitivity import slope_of
from noseload.studies.climb.slopes import chained, divided_slopes
from noseload.studies.climb.split import DIVIDED_OUTCOMES, changes_by_law, divided_crawls, plausible_splits

from .results import ends_of

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.slopes import Outcomes

ROWS = [POSITION["spin_ratio"], *(POSITION[f"{end}_rolling_share"] for end in ENDS)]
"""Kernel parameters that a law of division sets: how much faster the front turns, and chi of both axles."""


class OpenDivision:
    """The crawl of a vehicle under its own and every plausible law, from which effects are taken.

    Parameters
    ----------
    climb : Climb
    grade_deg : float
    """

    def __init__(self, climb: Climb, grade_deg: float) -> None:
        self.grade_deg = grade_deg
        self.crawls = divided_crawls(climb, grade_deg)
        laws = [crawl for crawl in self.crawls[1:] if crawl.state is not None]
        self._slopes = [divided_slopes(crawl, grade_deg) for crawl in self.crawls] if laws else []

    def of_change(self, changed: Climb) -> dict[str, list[float]]:
        """Effect of a whole change under each law taken for both vehicles, by outcome; empty where nothing is open."""
        others = divided_crawls(changed, self.grade_deg)
        found = {name: changes_by_law(self.crawls, others, name) for name in DIVIDED_OUTCOMES}
        return {name: changes for name, changes in found.items() if len(changes) > 1}

    def of_numbers(self, varied: Vehicle, parameters: np.ndarray, own: Outcomes) -> dict[str, np.ndarray]:
        """Least and largest slope by variations, by outcome, shape (2, count); empty where nothing is open.

        Parameters
        ----------
        varied : Vehicle
            With complex variations.
        parameters : ndarray, shape (P, count)
            Slopes of all kernel parameters by the variations.
        own : Outcomes
            Slopes under the vehicle's own law.
        """
        if not self._slopes:
            return {}
        count = parameters.shape[1]
        under = [own]
        for split, slopes in zip(plausible_splits(varied), self._slopes[1:], strict=True):
            rows = parameters.copy()
            rows[ROWS] = [slope_of(value, count) for value in (split.mismatch, *split.rolling_shares)]
            under.append(chained(slopes, rows))
        found = {name: [getattr(slopes, name) for slopes in under] for name in DIVIDED_OUTCOMES}
        known = {name: np.array([row for row in rows if row is not None]) for name, rows in found.items()}
        return {name: np.array([rows.min(axis=0), rows.max(axis=0)]) for name, rows in known.items()}


def effect_ends(ranges: dict[str, np.ndarray], k: int, amount: float) -> dict[str, list[float]]:
    """Least and largest effect of one practical unit from slopes by SI unit."""
    return {name: list(ends_of(name, [float(end) * amount for end in ends[:, k]])) for name, ends in ranges.items()}
