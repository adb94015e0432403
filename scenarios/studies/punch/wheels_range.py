"""What plausible laws of division between geared axles make of a punch in space."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noseload.documents import plain
from noseload.studies.climb.creep import Climb
from noseload.studies.wheels.plausible import Law, percents_of, plausible_laws
from noseload.studies.wheels.words import WHEEL_WORDS

from .wheels import punch_wheels
from .wheels_words import for_ms

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle

SAMPLE_S = 0.01
"""Nothing is read off the traces of these punches."""


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


def mismatches_in_motion(vehicle: Vehicle, laws: Sequence[Law], grade_deg: float) -> tuple[float | None, ...]:
    """Mismatches with which a punch starts as plausible laws divide its crawl, percent; the laws' own where there is no crawl."""
    row = Climb(vehicle).row(grade_deg) if laws else None
    if row is None or row.front_load_n is None:
        return percents_of(laws)
    loads: Any = row.rear_load_n, row.front_load_n
    return tuple(law.percent_in_motion(vehicle, loads) for law in laws)


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
