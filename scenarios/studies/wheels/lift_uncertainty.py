"""How sure the first lift of a wheel is: errors of ruler and scale, and how geared axles share the pull.

Draws of both, seeded: every measured number with its error as `[uncertainty]` states it, the mismatch anywhere in its
plausible range. Each draw's lift is found by steps from the known one, or along its own path where these fail.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.file.keys import KEYS
from noseload.model.space.equilibrium import SLIP, N
from noseload.model.space.events import WheelLift
from noseload.model.space.parameters import WHEELS
from noseload.model.uncertainty import limits_of, source_of
from noseload.model.variation import quantities_of, shift_file
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.solvers.newton import solve
from noseload.studies.result import Result

from .answer import wheel_climb
from .nearby import BELOW_DEG, FARTHEST_DEG, slip_of
from .plausible import ALIKE, law_at, percents_of, plausible_laws
from .words import range_words, wheel_words

if TYPE_CHECKING:
    from noseload.model.uncertainty import ErrorSource
    from noseload.studies.space.climb import SpaceStanding
    from noseload.studies.wheels.answer import SpringClimb


DRAWS, SEED, LEAST_DRAWS = 200, 1, 20
ENDS = (2.5, 97.5)
FIRST = 5
"""Measurements that are named."""


@dataclass(frozen=True)
class LiftUncertainty(Result):
    """First lift with 95 % intervals, deg; None where fewer than twenty draws have one.

    Attributes
    ----------
    measured_deg, mismatch_deg, together_deg : pair of float or None
        Of errors of measurement with all wheels slipping alike; over plausible mismatches of the vehicle as its file
        says; of draws of both.
    improve_first : tuple of dict
        `source`, `limit`, `share` of the variance of what was measured (linear), `recipe`.
    draws, failed_draws, seed : int
    """

    picture = "wheels.levers.plot_lift_errors"
    setup: str
    first_wheel: str
    first_wheel_lift_grade_deg: float
    measured_deg: tuple
    mismatch_deg: tuple
    together_deg: tuple
    improve_first: tuple
    draws: int
    failed_draws: int
    seed: int

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        pairs = ("measured_deg", "mismatch_deg", "together_deg")
        values = {key: value for key, value in self.__dict__.items() if not key.startswith("_")}
        values |= {key: list(values[key]) for key in pairs}
        return values | {"improve_first": [dict(item) for item in self.improve_first], "status": "ok"}

    def sentence(self) -> str:
        """For people."""
        who = wheel_words(self.first_wheel)
        said = f"{who[0].upper()}{who[1:]} lifts at {self.first_wheel_lift_grade_deg:.1f} deg"
        measured, mismatch = (range_words(pair[0], pair[1], "deg") for pair in (self.measured_deg, self.mismatch_deg))
        together = range_words(self.together_deg[0], self.together_deg[1], "deg")
        said += (
            f": 95 % from {measured} by what was measured"
            if measured
            else ": too few draws lift to say how sure that is"
        )
        if mismatch:
            said += f", {mismatch} by how the axles share the pull, {together} by both"
        return f"{said}."

    def __repr__(self) -> str:
        return f"LiftUncertainty({self.setup}: {self.sentence()})"


def lift_uncertainty(
    vehicle: Vehicle, *, heading_deg: float = 0.0, draws: int = DRAWS, seed: int = SEED
) -> LiftUncertainty:
    """95 % intervals of the first lift.

    Parameters
    ----------
    vehicle : Vehicle
    heading_deg : float
    draws, seed : int

    Raises
    ------
    MissingDataError, ModelError
        The file does not answer about single wheels, no single wheel lifts first, or fewer than 20 draws.
    SolverError
        No standing pose.
    """
    if draws < LEAST_DRAWS:
        raise ModelError(f"{draws} draws give no interval; use {LEAST_DRAWS} or more, such as {DRAWS}")
    if vehicle.level == "A":
        raise ModelError(
            f"{vehicle.name}: a rigid vehicle (level A) says how sure it is by `noseload creep --uncertainty`"
        )
    known = wheel_climb(vehicle, heading_deg=heading_deg)
    lift, wheel = known.ends.first_wheel_lift_grade_deg, known.ends.first_wheel
    if lift is None or wheel not in WHEELS:
        raise ModelError(f"{vehicle.name}: no single wheel lifts before its axle does, so its lift has no interval")
    search = Search(vehicle, known, lift, WHEELS.index(wheel), heading_deg)
    generator, sources = np.random.default_rng(seed), search.sources
    laws = plausible_laws(vehicle)
    mismatches = tuple(percent for percent in percents_of(laws) if percent is not None)
    errors = np.array([_draw(generator, source, draws) for source in sources])
    shares = generator.uniform(min(mismatches), max(mismatches), draws) if mismatches else None
    found = np.array([search.both(errors[:, k], None if shares is None else shares[k]) for k in range(draws)])
    alone = [lift, *(known.lift_of(search.climb(vehicle, law)) for law in laws)]
    spread = [value for value in alone if value is not None]
    return LiftUncertainty(
        vehicle.setup,
        wheel,
        lift,
        _ends(found[:, 0]),
        (min(spread), max(spread)) if mismatches else (None, None),
        _ends(found[:, 1]),
        search.improve(lift),
        draws,
        int(np.isnan(found).any(axis=1).sum()),
        seed,
    )


def _draw(generator: np.random.Generator, source: ErrorSource, draws: int) -> np.ndarray:
    if source.normal:
        return generator.normal(0.0, source.deviation, draws)
    return generator.uniform(source.low, source.high, draws)


def _ends(values: np.ndarray):
    good = values[np.isfinite(values)]
    if good.size < LEAST_DRAWS:
        return None, None
    low, high = np.percentile(good, ENDS)
    return float(low), float(high)


class Search:
    """First lifts of a vehicle with errors put in, by steps from the known one."""

    def __init__(self, vehicle, known, lift, wheel, heading_deg) -> None:
        self.vehicle, self.known, self.lift, self.wheel, self.heading_deg = vehicle, known, lift, wheel, heading_deg
        row = known.row(lift - BELOW_DEG)
        self.start = np.append(row.state, radians(row.grade_deg))
        limits = limits_of(vehicle)
        found = (source_of(quantity, limits, vehicle) for quantity in quantities_of(vehicle, space=True))
        self.sources = [source for source in found if source is not None]

    def climb(self, vehicle: Vehicle, law=ALIKE, standing: SpaceStanding | None = None):
        """The path of a vehicle on this heading; not followed yet."""
        return wheel_climb(vehicle, heading_deg=self.heading_deg, **law.options, standing=standing)

    def both(self, errors: np.ndarray, mismatch: float | None) -> tuple[float, float]:
        """First lift of a draw, all wheels slipping alike and at its mismatch, deg; not a number where there is none."""
        shifts = {source.quantity.id: error for source, error in zip(self.sources, errors, strict=True)}
        try:
            climb = self.climb(shift_file(self.vehicle, shifts))
            alike = self.of(climb)
            drawn = climb.climb.vehicle
            other = alike if mismatch is None else self.of(self.climb(drawn, law_at(drawn, mismatch), climb.standing))
        except (SolverError, ModelError):
            # A draw that cannot be solved is counted and left out, never the end of all others.
            return np.nan, np.nan
        return alike, other

    def of(self, climb: SpringClimb):
        """First lift of a climb, deg."""
        start, law = self.start.copy(), climb.climb.equilibrium
        start[SLIP] = slip_of(self.known.climb, climb.climb, start)
        solution = solve(WheelLift(law, self.wheel), start, 0.0)
        if solution.success:
            depths = law.depths(solution.state[:N])
            found = degrees(float(solution.state[N]))
            others = min(depth for k, depth in enumerate(depths) if k != self.wheel)
            if others > 0.0 and abs(found - self.lift) <= FARTHEST_DEG:
                return found
        return np.nan if climb.first_lift_deg is None else climb.first_lift_deg

    def improve(self, lift: float) -> tuple[dict[str, float | str], ...]:
        """What to measure again first: shares of the variance of the lift, by one deviation of each error."""
        moved = []
        for k, source in enumerate(self.sources):
            errors = np.zeros(len(self.sources))
            errors[k] = source.deviation
            change = self.both(errors, None)[0] - lift
            moved.append(0.0 if np.isnan(change) else change**2)
        total = sum(moved)
        order = np.argsort(-np.array(moved))[:FIRST].tolist() if total > 0.0 else []
        return tuple(
            {
                "source": self.sources[k].name,
                "limit": self.sources[k].limit_words,
                "share": float(moved[k] / total),
                "recipe": KEYS[self.sources[k].quantity.key].recipe,
            }
            for k in order
        )
