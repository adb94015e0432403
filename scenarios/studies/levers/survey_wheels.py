"""Does a raised mount help the wheel that lifts first? The survey's vehicles on four wheels, each with sides of its own.

The vehicles are those of `survey`; places to the side, tracks and axle ratios are drawn beside them. How geared axles
share the traction is not settled by statics, so every change stands with its range over plausible mismatches.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from noseload.documents import plain
from noseload.model.errors import ModelError
from noseload.model.vehicle import ENDS, Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.pieces import finished
from noseload.studies.result import Result
from noseload.studies.wheels.climbs import SpringClimb, wheel_climb
from noseload.studies.wheels.nearby import lift_nearby
from noseload.studies.wheels.plausible import ALIKE, law_at, percents_of, plausible_laws

from .survey import CHUNK, RAISE_MM, SEED, VEHICLES, draw_vehicles, one_of, raise_mount
from .survey_splits import percentiles

PIECE = 50
SIDES_STREAM = 1
SIDE_RANGES = {
    "track_width_mm": (165.0, 215.0),
    "lower_chassis_y_mm": (18.0, 40.0),
    "lower_axle_y_mm": (50.0, 72.0),
    "upper_chassis_y_mm": (30.0, 55.0),
    "upper_axle_y_mm": (6.0, 24.0),
    "shock_chassis_y_mm": (34.0, 50.0),
    "shock_axle_y_mm": (42.0, 68.0),
    "axle_ratio": (2.5, 4.5),
}
"""Ranges of 1:10 crawlers, all values alike (common practice, no source); links, shocks and ratio at both ends by themselves."""
_POINTS = {"lower_link": "lower", "upper_link": "upper", "shock": "shock"}
OUTCOMES = ("helps", "hurts", "depends_on_mismatch", "unsolved")
LEAST_DEG = 1e-3
"""Change below which a lift has not moved."""


@dataclass(frozen=True)
class WheelSurvey(Result):
    """First wheel lift of many vehicles as drawn and with a raised mount; the last axis is the vehicle.

    Attributes
    ----------
    mismatches_percent : tuple of float or None
        Laws of traction: None, all driven wheels slip alike; else how much faster the front wheels roll.
    lift_deg : ndarray, shape (laws, 2, vehicles)
        As drawn, and raised; not a number where no single wheel lifts first or a path was not solved.
    """

    picture = "levers.survey_wheels.plot_wheel_changes"
    count: int
    seed: int
    raise_mm: float
    drive: str
    mismatches_percent: tuple
    lift_deg: np.ndarray = field(repr=False)
    complete: bool = True

    @property
    def change_deg(self) -> np.ndarray:
        """Raised less drawn by law, deg, shape (laws, vehicles)."""
        return self.lift_deg[:, 1] - self.lift_deg[:, 0]

    @property
    def outcomes(self) -> tuple:
        """What raising does to the first wheel of each vehicle, of `OUTCOMES`."""
        change = self.change_deg
        solved = np.isfinite(change).all(axis=0)
        with np.errstate(invalid="ignore"):
            helps, hurts = (change > LEAST_DEG).all(axis=0), (change < -LEAST_DEG).all(axis=0)
        found = np.where(helps, 0, np.where(hurts, 1, 2))
        return tuple(OUTCOMES[k] for k in np.where(solved, found, 3))

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        change, outcomes = self.change_deg, self.outcomes
        solved = np.array([name != "unsolved" for name in outcomes])
        middle = change[0, solved]
        spread = change[:, solved].max(axis=0) - change[:, solved].min(axis=0) if solved.any() else np.zeros(0)
        return plain(
            {
                "vehicles": self.count,
                "seed": self.seed,
                "raise_mm": self.raise_mm,
                "drive": self.drive,
                "mismatches_percent": list(self.mismatches_percent),
                "side_ranges": {k: list(v) for k, v in SIDE_RANGES.items()},
                "outcomes": {name: outcomes.count(name) for name in OUTCOMES},
                "first_lift_change_deg": percentiles(middle),
                "median_spread_over_mismatches_deg": float(np.median(spread)) if spread.size else None,
                "says": wheel_survey_sentence(self),
                "status": "partial" if not self.complete else "ok" if solved.any() else "no_solution",
            }
        )

    def rows(self) -> Iterator[dict[str, Any]]:
        """One dict a vehicle, for CSV."""
        change = self.change_deg
        for k, outcome in enumerate(self.outcomes):
            yield {
                "vehicle": k,
                "raised_mount": outcome,
                "first_wheel_lift_grade_deg": self.lift_deg[0, 0, k],
                "first_lift_change_deg": change[0, k],
                "least_change_deg": change[:, k].min(),
                "largest_change_deg": change[:, k].max(),
            }

    def vehicle(self, case: int, *, raised: bool = False) -> Vehicle:
        """One of the vehicles, as a `Vehicle` of its own."""
        drawn = with_sides(self.seed, case, self.drive)
        return raise_mount(drawn, self.raise_mm) if raised else drawn

    def __repr__(self) -> str:
        return f"WheelSurvey({self.count} vehicles: {wheel_survey_sentence(self)})"


def wheel_survey_sentence(found: WheelSurvey) -> str:
    """Whether raising the mount helps the first wheel, in one sentence."""
    outcomes = found.outcomes
    solved = [name for name in outcomes if name != "unsolved"]
    if not solved:
        return "No vehicle was solved to the lift of a single wheel."
    share = {name: 100.0 * solved.count(name) / len(solved) for name in OUTCOMES}
    middle = float(np.nanmedian(found.change_deg[0]))
    laws = "whichever way geared axles share the pull" if len(found.mismatches_percent) > 1 else "with one driven axle"
    said = (
        f"A raised mount lets the first wheel lift later for {share['helps']:.0f} % of the vehicles and earlier for "
        f"{share['hurts']:.0f} %, {laws}"
    )
    if len(found.mismatches_percent) > 1:
        said += f"; for {share['depends_on_mismatch']:.0f} % the sign depends on that"
    return f"{said} (half of them beyond {middle:+.2f} deg)."


def with_sides(seed: int, case: int, drive: str) -> Vehicle:
    """A vehicle of the survey with places to the side, tracks and axle ratios."""
    vehicle = one_of(draw_vehicles(seed, case // CHUNK, drive), case % CHUNK)
    return _add_sides(vehicle, seed, case)


def _add_sides(vehicle: Vehicle, seed: int, case: int) -> Vehicle:
    generator = np.random.default_rng([seed, case, SIDES_STREAM])
    track = 1e-3 * generator.uniform(*SIDE_RANGES["track_width_mm"])
    axles = {}
    for end in ENDS:
        axle = getattr(vehicle, end)
        parts = {}
        for name, short in _POINTS.items():
            part, places = getattr(axle, name), {}
            for place in ("chassis", "axle"):
                x, _, z = getattr(part, f"{place}_end")
                places[f"{place}_end"] = (x, 1e-3 * generator.uniform(*SIDE_RANGES[f"{short}_{place}_y_mm"]), z)
            parts[name] = replace(part, **places)
        ratio = generator.uniform(*SIDE_RANGES["axle_ratio"])
        axles[end] = replace(axle, track_width=track, axle_ratio=ratio, shaft_direction=1.0, **parts)
    return replace(vehicle, track_width=track, **axles)


def lifts_of_both(drawn: Vehicle, raised: Vehicle) -> np.ndarray:
    """First lifts (deg) of a vehicle and of its raised setup under every law, shape (laws, 2); not a number: none.

    One path is followed; the other lifts are found by steps from its own, or along their own paths where steps fail.
    """
    percents = percents_of((ALIKE, *plausible_laws(drawn)))
    found = np.full((len(percents), 2), np.nan)
    try:
        known: SpringClimb = wheel_climb(drawn)
        lift, wheel = known.first_lift
        if lift is None or str(wheel).endswith("_both"):
            return found
        below = known.below_lift
        for place, vehicle in enumerate((drawn, raised)):
            standing = known.standing if place == 0 else None
            for law, percent in enumerate(percents):
                if place == 0 and percent is None:
                    found[0, 0] = lift
                    continue
                other = wheel_climb(vehicle, **law_at(vehicle, percent).options, standing=standing)
                standing = other.standing
                near = lift_nearby(known.climb, other.climb, below)
                value = other.first_lift_deg if near is None else near
                found[law, place] = np.nan if value is None else value
    except (SolverError, ModelError):
        # A vehicle that cannot be solved is a row of its own outcome, never the end of all others.
        return np.full_like(found, np.nan)
    return found


def wheels_piece(seed: int, first: int, last: int, raise_mm: float, drive: str) -> np.ndarray:
    """First lifts of some vehicles, shape (laws, 2, vehicles)."""
    chunks: dict[int, Vehicle] = {}
    rows = []
    for case in range(first, last):
        chunk = case // CHUNK
        if chunk not in chunks:
            chunks[chunk] = draw_vehicles(seed, chunk, drive)
        drawn = _add_sides(one_of(chunks[chunk], case % CHUNK), seed, case)
        rows.append(lifts_of_both(drawn, raise_mount(drawn, raise_mm)))
    return np.stack(rows, axis=-1)


def survey_wheels(
    *,
    vehicles: int = VEHICLES,
    seed: int = SEED,
    raise_mm: float = RAISE_MM,
    drive: str = "both",
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> WheelSurvey:
    """First wheel lift of many vehicles, as drawn and with the rear upper mount raised; parameters as of `survey`.

    Returns
    -------
    WheelSurvey
        Interrupted from the keyboard, that of the vehicles that were done, with `complete` False.

    Raises
    ------
    ModelError
        Not 1 to 100,000 vehicles, or a raise outside 0 to 25 mm either way.
    """
    if not 1 <= vehicles <= 100_000:
        raise ModelError(f"{vehicles} vehicles: a survey of single wheels takes 1 to 100,000, such as {VEHICLES}")
    if not 0.0 < abs(raise_mm) <= 25.0:
        raise ModelError(f"raise {raise_mm:g} mm: a mount goes up or down by up to 25 mm, and not by 0 mm")
    spans = [(first, min(first + PIECE, vehicles)) for first in range(0, vehicles, PIECE)]
    parts: list[np.ndarray] = []
    complete = True
    try:
        for part in finished(wheels_piece, [(seed, *span, raise_mm, drive) for span in spans], executor):
            parts.append(part)
            if progress is not None:
                progress(spans[len(parts) - 1][1], vehicles)
    except KeyboardInterrupt:
        if not parts:
            raise
        complete = False
    lifts = np.concatenate(parts, axis=-1)
    laws = percents_of((ALIKE, *plausible_laws(with_sides(seed, 0, drive))))
    return WheelSurvey(lifts.shape[-1], seed, float(raise_mm), drive, laws, lifts, complete)
