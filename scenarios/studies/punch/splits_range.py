"""What plausible laws of division between geared axles make of a punch, in the side view and in space."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import numpy as np

from noseload.documents import plain
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import with_overdrive
from noseload.studies.wheels.plausible import Law, percents_of, plausible_laws
from noseload.studies.wheels.words import WHEEL_WORDS

from .punch import punch
from .wheels import punch_wheels
from .wheels_words import for_ms

SAMPLE_S = 0.01
"""Nothing is read off the traces of these punches."""
Car = Vehicle | Sequence[Vehicle]
"""A vehicle, or one by the grade."""


@dataclass(frozen=True)
class WheelsRange:
    """The first wheel to lift and its time in the air under each law; None where a punch cannot start.

    Attributes
    ----------
    mismatches_percent : tuple of float
        How much faster the front wheels turn.
    first_wheels : tuple of (str or None)
    airborne_s : tuple of (float or None)
    ends_airborne : tuple of (bool or None)
        Whether it is in the air yet as the traces end.
    """

    mismatches_percent: tuple[float | None, ...]
    first_wheels: tuple[str | None, ...]
    airborne_s: tuple[float | None, ...]
    ends_airborne: tuple[bool | None, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return plain(
            {
                "mismatches_percent": self.mismatches_percent,
                "first_wheel": self.first_wheels,
                "first_wheel_airborne_s": self.airborne_s,
                "first_wheel_ends_airborne": self.ends_airborne,
            }
        )

    def sentence(self) -> str:
        """What the range makes of the answer, in one sentence."""
        known = [
            (wheel, time) for wheel, time in zip(self.first_wheels, self.airborne_s, strict=True) if time is not None
        ]
        low, high = (f"{end(m for m in self.mismatches_percent if m is not None):+g}" for end in (min, max))
        text = f"How geared axles divide the pull is open; over {low} to {high} % faster front wheels "
        if not known:
            return text + "no punch can start."
        times, wheels = [time for _, time in known], {wheel for wheel, _ in known}
        if wheels == {None}:
            return text + "no wheel lifts."
        names = sorted("none" if wheel is None else f"the {WHEEL_WORDS[wheel]} wheel" for wheel in wheels)
        least, most = for_ms(min(times)), for_ms(max(times))
        span = f"for {least}" if least == most else f"for {least.removesuffix(' ms')} to {most}"
        on = " (still in the air as the traces end)" if any(self.ends_airborne) else ""
        return f"{text}{' or '.join(names)} lifts first, {span}{on}."


def mismatches_in_motion(
    vehicle: Vehicle, laws: Sequence[Law], grade_deg: float, climb: Climb | None = None
) -> tuple[float | None, ...]:
    """Mismatches with which a punch starts as plausible laws divide its crawl, percent; the laws' own where there is no crawl."""
    if not laws:
        return ()
    try:
        row = (climb or Climb(vehicle)).row(grade_deg)
    except SolverError:
        return percents_of(laws)
    if row.front_load_n is None:
        return percents_of(laws)
    loads: Any = row.rear_load_n, row.front_load_n
    return tuple(law.percent_in_motion(vehicle, loads) for law in laws)


class Moving:
    """A vehicle as it moves under each plausible law: how much faster its front turns goes with the grade, as its loads do.

    Attributes
    ----------
    laws : tuple of Law
        None where one axle alone is driven.
    """

    def __init__(self, vehicle: Vehicle) -> None:
        self.vehicle, self.laws = vehicle, plausible_laws(vehicle)
        self._climb: Climb | None = None
        with suppress(SolverError):
            self._climb = Climb(vehicle) if self.laws else None
        self._seen: dict[float, tuple[Vehicle, ...]] = {}

    def at(self, grade_deg: float) -> tuple[Vehicle, ...]:
        """The vehicle on a grade (deg) under each law, the same objects whenever asked."""
        grade = float(grade_deg)
        if grade not in self._seen:
            percents = mismatches_in_motion(self.vehicle, self.laws, grade, self._climb)
            self._seen[grade] = tuple(with_overdrive(self.vehicle, 1.0 + 0.01 * p) for p in percents if p is not None)
        return self._seen[grade]

    def under(self, law: int) -> Callable[[float], Vehicle]:
        """The vehicle by the grade (deg) under one law."""
        return lambda grade_deg: self.at(grade_deg)[law]


def divided(vehicles: Sequence[Vehicle], grades_deg: np.ndarray) -> list[Car]:
    """Vehicles by the grade under each law in turn, all under the first, then all under the next.

    One with a single driven axle knows no law and is the same under all.
    """
    moving = [Moving(vehicle) for vehicle in vehicles]
    laws = max((len(each.laws) for each in moving), default=0)
    return [
        [each.at(grade)[law] for grade in grades_deg] if each.laws else each.vehicle
        for law in range(laws)
        for each in moving
    ]


def on_grades(cars: Sequence[Car], which: np.ndarray, rows: np.ndarray) -> list[Vehicle]:
    """The vehicle of each case: `which` of the cars on which of the grades."""
    return [car if isinstance(car := cars[k], Vehicle) else car[i] for k, i in zip(which, rows, strict=True)]


def ends_of(values: Sequence[np.ndarray | float]) -> np.ndarray:
    """Least and largest of arrays, shape (2, ...); not-a-number where all are."""
    known = np.array(values, dtype=float)
    return np.stack([np.fmin.reduce(known), np.fmax.reduce(known)])


def wheels_range(vehicle: Vehicle, asked: dict[str, Any]) -> WheelsRange | None:
    """Punch once under each plausible law; None where there is but one.

    Parameters
    ----------
    vehicle : Vehicle
    asked : dict
        Options of `punch_wheels` without `mismatch`.
    """
    laws = plausible_laws(vehicle)
    if not laws:
        return None
    mismatches = mismatches_in_motion(vehicle, laws, asked["grade_deg"])
    more = {"outcome": False, "sample_s": SAMPLE_S}
    runs = [punch_wheels(vehicle, **(asked | more | {"mismatch": mismatch})) for mismatch in mismatches]
    return WheelsRange(
        percents_of(laws),
        tuple(run.summary.get("first_wheel") for run in runs),
        tuple(run.summary.get("first_wheel_airborne_s") for run in runs),
        tuple(run.summary.get(f"{run.summary.get('first_wheel')}_ends_airborne") for run in runs),
    )


@dataclass(frozen=True)
class PunchRange:
    """Least and largest of each number over the laws, the answer's own among them.

    Attributes
    ----------
    front_load_min_n, front_airborne_s, peak_nose_up_pitch_deg : tuple of float
    not_held : int
        Laws under which no start can be held; they have no part in the ends.
    """

    front_load_min_n: tuple[float, float]
    front_airborne_s: tuple[float, float]
    peak_nose_up_pitch_deg: tuple[float, float]
    not_held: int = 0

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return plain(dict(self.__dict__))


def punch_range(vehicle: Vehicle, asked: Mapping[str, Any], own: Mapping[str, Any]) -> PunchRange | None:
    """Punch once under each plausible law, its rolling radii told as a mismatch; None where there is but one, or none can start.

    Parameters
    ----------
    vehicle : Vehicle
    asked : mapping
        Options of `punch`.
    own : mapping
        Summary of the punch under the vehicle's own law.
    """
    return range_of(summaries_by_law(vehicle, asked, own))


def range_of(summaries: Sequence[Mapping[str, Any]]) -> PunchRange | None:
    """The same of punches that were run already, as `summaries_by_law` gives them."""
    held = [summary for summary in summaries[1:] if summary]
    if not held:
        return None
    ends = {}
    for name in ("front_load_min_n", "front_airborne_s", "peak_nose_up_pitch_deg"):
        numbers = [float(summary[name]) for summary in (summaries[0], *held)]
        ends[name] = (min(numbers), max(numbers))
    return PunchRange(**ends, not_held=len(summaries) - 1 - len(held))


COMPARED = ("front_load_min_n", "front_airborne_s", "front_first_hop_s", "peak_nose_up_pitch_deg", "front_hops")
"""Numbers of a punch whose differences between setups have their ends told."""


def difference_ranges(
    vehicles: Sequence[Vehicle], asked: Mapping[str, Any], own: Sequence[Mapping[str, Any]]
) -> list[dict[str, tuple[float, float]]]:
    """Ends of what each vehicle's punch has more than the first one's, each law taken for both; empty where nothing is open.

    Parameters
    ----------
    vehicles : sequence of Vehicle
    asked : mapping
        Options of `punch`.
    own : sequence of mapping
        Summaries under the vehicles' own laws; empty where a punch did not start.
    """
    return differences_of([summaries_by_law(v, asked, summary) for v, summary in zip(vehicles, own, strict=True)])


def differences_of(summaries: Sequence[Sequence[Mapping[str, Any]]]) -> list[dict[str, tuple[float, float]]]:
    """The same of punches that were run already, by vehicle as `summaries_by_law` gives them."""
    first, *others = summaries
    found = []
    for other in others:
        count = max(len(first), len(other))
        # One driven axle knows no law and is the same under all.
        pairs = zip(
            [*first] * (count if len(first) == 1 else 1), [*other] * (count if len(other) == 1 else 1), strict=True
        )
        known = [(a, b) for a, b in pairs if a and b]
        changes = {name: [float(b[name] - a[name]) for a, b in known] for name in COMPARED}
        found.append({name: (min(v), max(v)) for name, v in changes.items()} if len(known) > 1 else {})
    return found


def summaries_by_law(vehicle: Vehicle, asked: Mapping[str, Any], own: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Summaries under the vehicle's own law and each plausible one; empty ones where a punch does not start."""
    found = [own]
    for divided in Moving(vehicle).at(asked["grade_deg"]) if own else ():
        run = punch(divided, **asked, outcome=False, sample_s=SAMPLE_S)
        found.append(run.summary if run.success else {})
    return found
