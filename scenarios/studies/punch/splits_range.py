"""What plausible divisions of the pull between geared axles make of a punch in the side view."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from noseload.documents import plain
from noseload.model.vehicle import Vehicle
from noseload.studies.wheels.plausible import plausible_laws

from .punch import punch
from .wheels_range import mismatches_in_motion

SAMPLE_S = 0.01
"""Nothing is read off the traces of these punches."""


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
    laws = plausible_laws(vehicle)
    percents = [percent for percent in mismatches_in_motion(vehicle, laws, asked["grade_deg"]) if percent is not None]
    runs = []
    for percent in percents:
        divided = replace(vehicle, drive=replace(vehicle.drive, front_overdrive=1.0 + 0.01 * percent))
        runs.append(punch(divided, **asked, outcome=False, sample_s=SAMPLE_S))
    held = [run.summary for run in runs if run.success]
    if not held:
        return None
    ends = {}
    for name in ("front_load_min_n", "front_airborne_s", "peak_nose_up_pitch_deg"):
        numbers = [float(summary[name]) for summary in (own, *held)]
        ends[name] = (min(numbers), max(numbers))
    return PunchRange(**ends, not_held=len(runs) - len(held))
