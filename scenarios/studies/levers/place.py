"""Where one's own vehicle stands among the random ones of a survey."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.names import shown_name
from noseload.model.units import grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.split import difference_range
from noseload.studies.climb.sweep import climb_of
from noseload.studies.verdict.intervals import from_to

from .survey import Survey, raise_mount


@dataclass(frozen=True)
class Place:
    """A vehicle among those of a survey; numbers are None where there is none.

    Attributes
    ----------
    name : str
    tip_over_grade_deg, front_load_n : float or None
        As it is, the load at the survey's grade.
    tip_over_change_deg, front_load_change_n : float or None
        With the same end raised as far; None without links.
    shares : dict
        By the same names: share of the random vehicles whose number is lower.
    left_out : str
        Why the change is missing; '' where it is there.
    front_load_change_range_n : tuple of float or None
        Ends of the change of the load over plausible divisions of the pull between geared axles.
    """

    name: str
    tip_over_grade_deg: float | None
    front_load_n: float | None
    tip_over_change_deg: float | None
    front_load_change_n: float | None
    shares: dict[str, float | None]
    left_out: str = ""
    front_load_change_range_n: tuple[float, float] | None = None

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)

    def sentences(self, grade_deg: float, raise_mm: float) -> list[str]:
        """For people."""
        lines = []
        if self.tip_over_grade_deg is not None:
            lines.append(
                f"{shown_name(self.name)} tips over at {self.tip_over_grade_deg:.1f} deg, later than {self._hundred('tip_over_grade_deg')}"
            )
        if self.front_load_n is not None:
            lines.append(
                f"its front axle carries {grams_of_force(self.front_load_n):.0f} g at {grade_deg:g} deg, "
                f"more than {self._hundred('front_load_n')}"
            )
        if self.tip_over_change_deg is not None:
            lines.append(
                f"the same end {raise_mm:+g} mm changes its tip-over by {self.tip_over_change_deg:+z.2f} deg, "
                f"a higher number than that of {self._hundred('tip_over_change_deg')}"
            )
        if self.front_load_change_n is not None and self.front_load_change_range_n is not None:
            low, high = (grams_of_force(end) for end in self.front_load_change_range_n)
            lines.append(
                f"its front axle load changes by {grams_of_force(self.front_load_change_n):+z.1f} g, "
                f"{from_to(low, high, 1, sign=True)} g over divisions of the pull between its axles"
            )
        return [*lines, *([self.left_out] if self.left_out else [])] or [
            f"{shown_name(self.name)}: nothing could be solved"
        ]

    def _hundred(self, name: str) -> str:
        share = self.shares[name]
        return "an unknown part of them" if share is None else f"{100 * share:.0f} of 100 of them"


def place_among(result: Survey, vehicle: Vehicle) -> Place:
    """Place a vehicle.

    Parameters
    ----------
    result : Survey
    vehicle : Vehicle
        Of any level; without links only what a rigid vehicle tells.
    """
    tip, load, here = _numbers(vehicle, result.grade_deg)
    raised, left_out, ends = (None, None, None), "", None
    if vehicle.level == "A":
        left_out = "it has no links (level A): taken as rigid it does not squat, which the random ones do, and there is no mount to raise"
    else:
        raised = _numbers(raise_mount(vehicle, result.raise_mm), result.grade_deg)
        there = raised[2]
        ends = None if here is None or there is None else difference_range(here, there, result.grade_deg)
    own = {
        "tip_over_grade_deg": tip,
        "front_load_n": load,
        "tip_over_change_deg": None if None in (tip, raised[0]) else raised[0] - tip,
        "front_load_change_n": None if None in (load, raised[1]) else raised[1] - load,
    }
    others = {
        "tip_over_grade_deg": result.tip_over_grade_deg[0],
        "front_load_n": result.front_load_n[0],
        "tip_over_change_deg": result.tip_over_change_deg,
        "front_load_change_n": result.front_load_change_n,
    }
    shares = {name: _share_below(others[name], value) for name, value in own.items()}
    return Place(vehicle.name, **own, shares=shares, left_out=left_out, front_load_change_range_n=ends)


def _numbers(vehicle: Vehicle, grade_deg: float) -> Any:
    """Tip-over, deg, front load, N, and the climb they are read off."""
    try:
        climb = climb_of(vehicle)
        return climb.limits.tip_over_grade_deg, climb.row(grade_deg).front_load_n, climb
    except (SolverError, ModelError):
        return None, None, None


def _share_below(values: np.ndarray, own: float | None) -> Any:
    values = values[np.isfinite(values)]
    return None if own is None or not values.size else float(np.mean(values < own))
