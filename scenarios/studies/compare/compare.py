"""Set-ups side by side: the same creep on each, what differs, through what, and a verdict."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.results import Creep
from noseload.studies.climb.stance import standing_measures
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.climb.sweep import Sweep, climb_of, grade_below, sweep
from noseload.studies.result import Result, draw
from noseload.studies.thresholds import Thresholds, size_words


@dataclass(frozen=True)
class Member:
    """One set-up of a comparison: its path, its rows, its creep at the verdict's grade."""

    name: str
    climb: object
    sweep: Sweep
    at_grade: Creep
    stance: dict
    """Standing measures by unit-named key: see `standing_measures`."""


@dataclass(frozen=True)
class Difference:
    """What a set-up changes against the first; every number is that of the set-up less that of the first.

    Attributes
    ----------
    setup : str
    grade_deg : float
    front_load_n : float or None
    budget : dict
    tip_over_grade_deg : float or None
    changed : dict
        Differences of `standing_measures`, standing on the level.
    moved : dict
        On the grade: centre of gravity (`distance_mm`, `height_mm`) and `wheelbase_mm`.
    load_verdict, tip_over_verdict : str
    interval_g, interval_deg : float or None
        Half-widths of the 95 % intervals where the uncertainty was asked for.
    """

    setup: str
    grade_deg: float
    front_load_n: float | None
    budget: dict
    tip_over_grade_deg: float | None
    changed: dict
    moved: dict
    load_verdict: str
    tip_over_verdict: str
    interval_g: float | None = None
    interval_deg: float | None = None

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Comparison(Result):
    """Set-ups compared at a creep; the first is what the others are held against."""

    picture = "climb.comparison.plot_comparison"
    members: tuple
    differences: tuple
    grade_deg: float
    thresholds: Thresholds
    uncertainty: Any = None
    """`studies.uncertainty.Uncertainty` where draws were asked for."""

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        sure = {} if self.uncertainty is None else {"uncertainty": self.uncertainty.to_dict()}
        return sure | {
            "grade_deg": self.grade_deg,
            "thresholds": self.thresholds.to_dict(),
            "setups": [
                {**m.sweep.to_dict(), "setup": m.name, "at_grade": m.at_grade.to_dict(), "standing": m.stance}
                for m in self.members
            ],
            "differences": [d.to_dict() for d in self.differences],
            "status": next((m.sweep.status for m in self.members if m.sweep.status != "ok"), "ok"),
        }

    def plot_difference(self, ax: Any = None) -> Any:
        """Draw what each set-up changes over grade, with both lines; returns the axes."""
        return draw("climb.comparison.plot_comparison_difference", self, ax)

    def __repr__(self):
        parts = [f"{d.setup}: {d.load_verdict}" for d in self.differences]
        return f"Comparison({len(self.members)} set-ups at {self.grade_deg:g} deg; {' '.join(parts)})"


def compare(
    vehicles: Sequence[Vehicle],
    *,
    grade_deg: float | None = None,
    step_deg: float = 1.0,
    thresholds: Thresholds | None = None,
    draws: int = 0,
    seed: int = 1,
) -> Comparison:
    """Compare set-ups, or vehicles, at a creep.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        The first is what the others are held against.
    grade_deg : float, optional
        Grade of the verdict; by default the steepest multiple of 5 deg that lies 3 deg below every
        tip-over.
    step_deg : float
        Step of the sweeps.
    thresholds : Thresholds, optional
    draws, seed : int
        Draws of the 95 % intervals (0: none); set-ups share the errors of the parts they share.

    Returns
    -------
    Comparison

    Raises
    ------
    ModelError
        Fewer than two vehicles.
    SolverError
        A vehicle has no standing pose.
    """
    if len(vehicles) < 2:
        raise ModelError(
            "compare: nothing to compare; add a [setups.NAME] table to the vehicle file, or give a second file"
        )
    thresholds = thresholds or Thresholds()
    climbs = [climb_of(v) for v in vehicles]
    names = _names(vehicles)
    tips = [c.limits.steepest_equilibrium_deg for c in climbs]
    grade = grade_deg if grade_deg is not None else grade_below(min(tips))
    members = tuple(
        Member(
            name,
            climb,
            sweep(vehicle, to_deg=None, step_deg=step_deg, climb=climb),
            climb.row(grade),
            standing_measures(climb),
        )
        for name, vehicle, climb in zip(names, vehicles, climbs, strict=True)
    )
    sure = _uncertainty(vehicles, grade, draws, seed) if draws else None
    found = [None] * (len(members) - 1) if sure is None else [setup.difference for setup in sure.setups[1:]]
    differences = tuple(
        _difference(members[0], other, grade, thresholds, interval)
        for other, interval in zip(members[1:], found, strict=True)
    )
    return Comparison(members, differences, grade, thresholds, sure)


def _uncertainty(vehicles, grade, draws, seed):
    from noseload.studies.errors.uncertainty import uncertainty

    return uncertainty(vehicles, grade_deg=grade, draws=draws, seed=seed)


def _names(vehicles):
    """Set-up names; the vehicle's name where several files are compared."""
    if len({v.file for v in vehicles}) == 1:
        return [v.setup for v in vehicles]
    return [v.name if v.setup == "base" else f"{v.name} {v.setup}" for v in vehicles]


def _difference(first, other, grade, thresholds, intervals=None):
    a, b = first.at_grade, other.at_grade
    solved = None not in (a.front_load_n, b.front_load_n)
    load = b.front_load_n - a.front_load_n if solved else None
    budget = {k: b.budget[k] - a.budget[k] for k in a.budget} if solved else {}
    tips = [m.sweep.limits.tip_over_grade_deg for m in (first, other)]
    tip = tips[1] - tips[0] if None not in tips else None
    changed = {k: other.stance[k] - first.stance[k] for k in first.stance}
    halves = [None, None]
    if intervals is not None:
        load_half, halves[1] = (intervals[name].half_width for name in ("front_load_n", "tip_over_grade_deg"))
        halves[0] = None if load_half is None else grams_of_force(load_half)
    moved = moved_on_grade(first, other) if solved and hasattr(first.climb, "standing") else {}
    return Difference(
        other.name,
        grade,
        load,
        budget,
        tip,
        changed,
        moved,
        say_load(first, other, load, budget, moved, thresholds, *halves[:1]),
        _tip_verdict(first, other, tips, thresholds, *halves[1:]),
        *halves,
    )


def moved_on_grade(first, other):
    """How the centre of gravity and the wheelbase differ on the grade, mm."""
    places = [
        np.array(centre_of_gravity(m.climb.standing.values, coordinates_of(m.at_grade.state))) for m in (first, other)
    ]
    distance, height, wheelbase = (1e3 * (places[1] - places[0])).tolist()
    return {"distance_mm": distance, "height_mm": height, "wheelbase_mm": wheelbase}


def say_load(first, other, load, budget, moved, thresholds, half=None, *, limits=False):
    """Size, direction and cause; with `limits` also the two lines in grams."""
    if load is None:
        failed = next(m for m in (first, other) if m.at_grade.front_load_n is None)
        return f"No creep at {failed.at_grade.grade_deg:g} deg for {failed.name}: {failed.at_grade.message}."
    noticed = thresholds.noticed_load_n(first.at_grade.budget["standing_n"])
    size = size_words(load, thresholds.measurable_load_n, noticed)
    if limits:
        size += f" (lines at {grams_of_force(thresholds.measurable_load_n):.0f} and {grams_of_force(noticed):.0f} g)"
    return (
        f"Calculated for this vehicle as measured, plane slope, steady crawl at {other.at_grade.grade_deg:g} deg: "
        f"{other.name} changes the front load by {grams_of_force(load):+.1f}{_plus_minus(half, '.1f')} g; {size}{_cause(budget, moved)}."
    )


def _cause(budget, moved):
    """Through what: the largest part of the budget, and how the centre of gravity moved."""
    parts = {
        "standing_n": "the standing load",
        "grade_n": "the rigid vehicle on the grade",
        "attitude_n": "attitude (squat and pitch)",
    }
    named = [(words, budget[key]) for key, words in parts.items() if abs(grams_of_force(budget[key])) >= 0.05]
    if not named:
        return ""
    named.sort(key=lambda item: -abs(item[1]))
    through = " and ".join(f"{words} {grams_of_force(part):+.1f} g" for words, part in named)
    where = ""
    if moved:
        words = []
        for value, plus, minus in (
            (moved["distance_mm"], "further forward", "further back"),
            (moved["height_mm"], "higher", "lower"),
        ):
            if abs(value) >= 0.05:
                words.append(f"{abs(value):.1f} mm {plus if value > 0 else minus}")
        where = f" (on the grade its centre of gravity lies {' and '.join(words)})" if words else ""
    return f"; through {through}{where}"


def _plus_minus(half, form):
    return "" if half is None else f" +- {half:{form}}"


def _tip_verdict(first, other, tips, thresholds, half=None):
    if None in tips:
        return f"No tip-over found for {(first if tips[0] is None else other).name}."
    difference = tips[1] - tips[0]
    if abs(difference) < 0.005:
        return f"{other.name} tips at the same grade within 0.01 deg ({tips[1]:.2f} deg)."
    size = size_words(difference, thresholds.measurable_deg, thresholds.noticed_deg)
    return (
        f"{other.name} tips {abs(difference):.2f}{_plus_minus(half, '.2f')} deg {'later' if difference > 0 else 'earlier'} "
        f"({tips[1]:.2f} against {tips[0]:.2f} deg); {size}."
    )
