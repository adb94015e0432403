"""How sure the first lift of a wheel is: errors of ruler and scale, how geared axles share the pull, what else is left out.

Draws of all, seeded: every measured number with its error as `[uncertainty]` states it, the mismatch anywhere in its
plausible range, and what a lift can carry of the table of what the model leaves out. Each draw's lift is found by steps from the known one, or along its own path where these fail.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.file.keys import KEYS
from noseload.model.space.equilibrium import N
from noseload.model.space.events import WheelLift
from noseload.model.space.parameters import WHEELS
from noseload.model.space.rows import SLIP
from noseload.model.uncertainty import limits_of, source_of
from noseload.model.variation import quantities_of, shift_file
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.solvers.newton import solve
from noseload.studies.errors.left_out import SPLIT
from noseload.studies.result import Result

from .climbs import first_lifts, wheel_climb
from .lift_left_out import LeftOutOfLift
from .nearby import BELOW_DEG, FARTHEST_DEG, slip_of
from .plausible import ALIKE, law_at, percents_of, plausible_laws
from .words import lift_range, range_words, wheel_words

if TYPE_CHECKING:
    from noseload.model.uncertainty import ErrorSource
    from noseload.studies.space.climb import SpaceStanding
    from noseload.studies.wheels.climbs import SpringClimb
    from noseload.studies.wheels.plausible import Law


DRAWS, SEED, LEAST_DRAWS = 200, 1, 20
ENDS = (2.5, 97.5)
FIRST = 5
"""Doubts that are named."""
APART = 2
"""What is left out alone is told from every second draw."""


@dataclass(frozen=True)
class LiftUncertainty(Result):
    """First lift with 95 % intervals, deg; None where fewer than twenty draws have one.

    Attributes
    ----------
    measured_deg, mismatch_deg, left_out_deg, together_deg : pair of float or None
        Of errors of measurement with all wheels slipping alike; over plausible mismatches of the vehicle as its file
        says; of draws of all that the model leaves out, mismatches among it; of draws of everything.
    improve_first : tuple of dict
        `source`, `limit`, `share` of the sum of mean squares by which each doubt alone moves and spreads the lift, `recipe`.
    draws, failed_draws, seed : int
    """

    picture = "wheels.levers.plot_lift_errors"
    setup: str
    first_wheel: str
    first_wheel_lift_grade_deg: float
    measured_deg: tuple
    mismatch_deg: tuple
    left_out_deg: tuple
    together_deg: tuple
    improve_first: tuple
    draws: int
    failed_draws: int
    seed: int

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        pairs = ("measured_deg", "mismatch_deg", "left_out_deg", "together_deg")
        values = {key: value for key, value in self.__dict__.items() if not key.startswith("_")}
        values |= {key: list(values[key]) for key in pairs}
        return values | {"improve_first": [dict(item) for item in self.improve_first], "status": "ok"}

    def sentence(self) -> str:
        """For people."""
        who = wheel_words(self.first_wheel)
        said = f"{who[0].upper()}{who[1:]} lifts at {self.first_wheel_lift_grade_deg:.1f} deg"
        measured, mismatch = (range_words(pair[0], pair[1], "deg") for pair in (self.measured_deg, self.mismatch_deg))
        left_out, together = (range_words(pair[0], pair[1], "deg") for pair in (self.left_out_deg, self.together_deg))
        said += (
            f": 95 % from {measured} by what was measured"
            if measured
            else ": too few draws lift to say how sure that is"
        )
        if left_out and together:
            said += f", {left_out} by what the model leaves out, {together} by both"
        if mismatch:
            said += f"; how the axles share the pull alone makes it {mismatch}"
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
    lift, wheel = known.first_lift
    if lift is None or wheel not in WHEELS:
        raise ModelError(f"{vehicle.name}: no single wheel lifts before its axle does, so its lift has no interval")
    search = Search(vehicle, known, lift, WHEELS.index(wheel), heading_deg)
    generator, sources = np.random.default_rng(seed), search.sources
    laws = plausible_laws(vehicle)
    mismatches = tuple(percent for percent in percents_of(laws) if percent is not None)
    errors = np.array([_draw(generator, source, draws) for source in sources])
    shares = generator.uniform(min(mismatches), max(mismatches), draws) if mismatches else None
    percents = [None if shares is None else shares[k] for k in range(draws)]
    sizes = search.left.draw(draws, seed)
    found = np.array([search.both(errors[:, k], percents[k], sizes[:, k]) for k in range(draws)])
    left_out = np.array([search.left_out(percents[k], sizes[:, k]) for k in range(0, draws, APART)])
    alone = first_lifts(vehicle, heading_deg=heading_deg, climb=known)[1]
    spread = [value for value in alone if value is not None]
    return LiftUncertainty(
        vehicle.setup,
        wheel,
        lift,
        _ends(found[:, 0]),
        lift_range(alone),
        _ends(left_out),
        _ends(found[:, 1]),
        search.improve(lift, spread if mismatches else []),
        draws,
        int(np.isnan(found).any(axis=1).sum()),
        seed,
    )


def _draw(generator: np.random.Generator, source: ErrorSource, draws: int) -> np.ndarray:
    if source.normal:
        return generator.normal(0.0, source.deviation, draws)
    return generator.uniform(source.low, source.high, draws)


def _ends(values: np.ndarray) -> tuple:
    good = values[np.isfinite(values)]
    if good.size < LEAST_DRAWS:
        return None, None
    low, high = np.percentile(good, ENDS)
    return float(low), float(high)


class Search:
    """First lifts of a vehicle with errors put in, by steps from the known one."""

    def __init__(self, vehicle: Vehicle, known: SpringClimb, lift: float, wheel: int, heading_deg: float) -> None:
        self.vehicle, self.known, self.lift, self.wheel, self.heading_deg = vehicle, known, lift, wheel, heading_deg
        row: Any = known.row(lift - BELOW_DEG)
        self.start = np.append(row.state, radians(row.grade_deg))
        limits = limits_of(vehicle)
        found = (source_of(quantity, limits, vehicle) for quantity in quantities_of(vehicle, space=True))
        self.sources = [source for source in found if source is not None]
        self.left = LeftOutOfLift(vehicle, lift)

    def climb(self, vehicle: Vehicle, law: Law = ALIKE, standing: SpaceStanding | None = None) -> SpringClimb:
        """The path of a vehicle on this heading; not followed yet."""
        return wheel_climb(vehicle, heading_deg=self.heading_deg, **law.options, standing=standing)

    def both(self, errors: np.ndarray, mismatch: float | None, sizes: Any = None) -> tuple[float, float]:
        """First lift of a draw, all wheels slipping alike and at its mismatch with what is left out of the model, deg.

        Not a number where there is none; without sizes nothing is left out.
        """
        shifts = {source.quantity.id: error for source, error in zip(self.sources, errors, strict=True)}
        try:
            climb = self.climb(shift_file(self.vehicle, shifts))
            alike, drawn = self.of(climb), climb.climb.vehicle
            if sizes is not None:
                return alike, self._with_left_out(drawn, climb.standing, mismatch, sizes)
            other = alike if mismatch is None else self.of(self.climb(drawn, law_at(drawn, mismatch), climb.standing))
        except (SolverError, ModelError):
            # A draw that cannot be solved is counted and left out, never the end of all others.
            return np.nan, np.nan
        return alike, other

    def left_out(self, mismatch: Any, sizes: Any) -> float:
        """First lift of the vehicle as its file says with what is left out of the model, deg; not a number: none."""
        try:
            return self._with_left_out(self.vehicle, self.known.standing, mismatch, sizes)
        except (SolverError, ModelError):
            return np.nan

    def _with_left_out(self, vehicle: Vehicle, standing: Any, mismatch: Any, sizes: Any) -> Any:
        carried = self.left.changed(vehicle, standing.side_view.free_lengths, sizes)
        return self.left.read(self.of(self.climb(carried, law_at(vehicle, mismatch))), vehicle, sizes)

    def of(self, climb: SpringClimb) -> float:
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

    def improve(self, lift: float, laws: list[float]) -> tuple[dict, ...]:
        """What to settle first: by how far each doubt alone moves and spreads the lift, mean square.

        Parameters
        ----------
        lift : float
            As calculated, deg.
        laws : list of float
            Lifts under the laws of division, deg; empty where one axle alone is driven.
        """
        doubts = [
            (*self._measured(k, lift), source.name, source.limit_words, KEYS[source.quantity.key].recipe)
            for k, source in enumerate(self.sources)
        ]
        doubts += [
            (*self._entry(entry, lift), entry.words, f"left out: {entry.range_words}", entry.recipe_sentence)
            for entry in self.left.entries
        ]
        if laws:
            middle, width = 0.5 * (min(laws) + max(laws)), max(laws) - min(laws)
            words = SPLIT.words, f"left out: {SPLIT.range_words}", SPLIT.recipe_sentence
            doubts.append((width**2 / 12.0, middle - lift, *words))
        whole = sum(part + b**2 for part, b, *_ in doubts)
        if not whole > 0.0:
            return ()
        gains = [((part + b**2) / whole, *words) for part, b, *words in doubts]
        gains.sort(key=lambda gain: -gain[0])
        return tuple(
            {"source": name, "limit": limit, "share": float(share), "recipe": recipe}
            for share, name, limit, recipe in gains[:FIRST]
        )

    def _measured(self, k: Any, lift: Any) -> Any:
        """Variance and bias of one error of measurement, by one deviation of it."""
        errors = np.zeros(len(self.sources))
        errors[k] = self.sources[k].deviation
        change = self.both(errors, None)[0] - lift
        return (0.0 if np.isnan(change) else change**2), 0.0

    def _entry(self, entry: Any, lift: Any) -> Any:
        """Variance and bias of one entry of what is left out, by one deviation of its numbers about their means."""
        variance, mean = 0.0, self.left.alone(entry.key)
        for k, (of, part) in enumerate(self.left.parts):
            if of is entry:
                step = np.zeros(len(mean))
                step[k] = part.deviation
                ends = [self.left_out(None, mean + sign * step) for sign in (1.0, -1.0)]
                variance += float(np.nan_to_num(0.5 * (ends[0] - ends[1]))) ** 2
        return variance, float(np.nan_to_num(self.left_out(None, mean) - lift))
