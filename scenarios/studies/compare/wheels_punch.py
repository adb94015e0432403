"""The punch in space of setups side by side: what each changes of the first wheel's time in the air, and how sure that is.

How the pull divides between geared axles moves the answer, so every setup is punched at several speeds of the front
wheels too; a change is told with the range over them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from noseload.documents import plain
from noseload.model.errors import ModelError
from noseload.model.names import row_name
from noseload.model.vehicle import Vehicle
from noseload.studies.punch.punch import punch
from noseload.studies.punch.wheels import WheelsPunch, punch_wheels
from noseload.studies.punch.wheels_range import mismatches_in_motion
from noseload.studies.result import Result
from noseload.studies.thresholds import Thresholds
from noseload.studies.wheels.plausible import percents_of, plausible_laws
from noseload.studies.wheels.words import wheel_words

LEVEL_CHANGE_S = 5e-4
"""Changes below half a millisecond are told as none."""


@dataclass(frozen=True)
class WheelsMember:
    """One setup: its punch in space, that of its side view (s in the air of the front axle), and what mismatches make of it.

    Attributes
    ----------
    runs : tuple of WheelsPunch
        Under the laws of division of the comparison; those that cannot start have no traces.
    """

    setup: str
    punch: WheelsPunch
    side_view_airborne_s: float | None
    runs: tuple = field(repr=False)

    def airborne_s(self, run: WheelsPunch, wheel: str | None) -> float:
        """Time in the air of a wheel in one of its punches, s; not a number where it cannot start."""
        if not run.time_s.size:
            return float("nan")
        return 0.0 if wheel is None else float(run.summary[f"{wheel}_airborne_s"])


@dataclass(frozen=True)
class WheelsComparison(Result):
    """Punches in space of several setups, the first as reference.

    Attributes
    ----------
    mismatches_percent : tuple of float
        Of those laws; each goes with a radius on which the tyres roll (`noseload.studies.wheels.plausible`).
    wheel : str or None
        The wheel compared: the first to lift in the reference, or in the first setup in which one does.
    """

    picture = "punch.wheels.plot_compared"
    grade_deg: float
    mismatches_percent: tuple
    members: tuple
    wheel: str | None
    thresholds: Thresholds = field(repr=False)

    def change_s(self, member: WheelsMember) -> tuple[float, float, float]:
        """Change of the wheel's time in the air against the reference: as given, and its range over mismatches, s."""
        base = self.members[0]
        pairs = [(base.punch, member.punch), *zip(base.runs, member.runs, strict=True)]
        found = [member.airborne_s(b, self.wheel) - base.airborne_s(a, self.wheel) for a, b in pairs]
        good = [value for value in found if np.isfinite(value)]
        return found[0], min(good, default=float("nan")), max(good, default=float("nan"))

    @property
    def verdict(self) -> str:
        """Which setup changes the first wheel's time in the air most, by how much, against what a film shows."""
        return verdict_of(self)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        rows = []
        for member in self.members:
            summary = member.punch.summary
            change, low, high = self.change_s(member)
            rows.append(
                {
                    "setup": member.setup,
                    "status": member.punch.status,
                    "first_wheel": summary.get("first_wheel"),
                    "first_wheel_airborne_s": summary.get("first_wheel_airborne_s"),
                    "front_axle_airborne_s": summary.get("front_axle_airborne_s"),
                    "side_view_front_airborne_s": member.side_view_airborne_s,
                    "front_axle_load_min_n": summary.get("front_axle_load_min_n"),
                    "peak_chassis_roll_deg": summary.get("peak_chassis_roll_deg"),
                    "outcome": summary.get("outcome"),
                    "change_s": change,
                    "change_low_s": low,
                    "change_high_s": high,
                }
            )
        document = {"grade_deg": self.grade_deg, "mismatches_percent": list(self.mismatches_percent)}
        status = "ok" if self.members[0].punch.success else self.members[0].punch.status
        return plain(document | {"wheel": self.wheel, "rows": rows, "verdict": self.verdict, "status": status})


def compare_wheels_punch(
    vehicles: Sequence[Vehicle], *, grade_deg: float, thresholds: Thresholds | None = None, throttle: float = 1.0
) -> WheelsComparison:
    """Punch setups in space and hold their first wheel's time in the air against the first setup's.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Two or more, with y of links and shocks.
    grade_deg : float
    thresholds : Thresholds, optional
        What a film shows, and what would be noticed.
    throttle : float

    Raises
    ------
    ModelError, MissingDataError
        Fewer than two setups, or a file that lacks a y or a track.
    """
    if len(vehicles) < 2:
        raise ModelError("a comparison of punches in space needs two setups; name them with --setups A,B")
    mismatches = percents_of(plausible_laws(vehicles[0]))
    members = []
    for vehicle in vehicles:
        asked: dict[str, Any] = {"grade_deg": grade_deg, "throttle": throttle}
        given = punch_wheels(vehicle, **asked)
        others = [
            punch_wheels(vehicle, mismatch=m, outcome=False, sample_s=0.01, **asked)
            for m in mismatches_in_motion(vehicle, grade_deg)
        ]
        flat = punch(vehicle, outcome=False, sample_s=0.01, **asked)
        side = flat.summary["front_airborne_s"] if flat.time_s.size else None
        members.append(WheelsMember(vehicle.setup, given, side, tuple(others)))
    firsts = [member.punch.summary.get("first_wheel") for member in members]
    wheel = next((first for first in firsts if first is not None), None)
    return WheelsComparison(float(grade_deg), mismatches, tuple(members), wheel, thresholds or Thresholds())


def verdict_of(result: WheelsComparison) -> str:
    """The verdict in one or two sentences."""
    base = result.members[0]
    where = f"at {result.grade_deg:g} deg, full throttle within 50 ms"
    if not base.punch.time_s.size:
        return f"Calculated: {where}: {row_name(base.setup)} cannot start ({base.punch.message})."
    if result.wheel is None:
        return f"Calculated: {where}, no wheel of any setup leaves the ground."
    told = [member for member in result.members[1:] if member.punch.time_s.size]
    if not told:
        return f"Calculated: {where}, none of the other setups can start."
    most = max(told, key=lambda member: abs(result.change_s(member)[0]))
    change, low, high = result.change_s(most)
    who, film = wheel_words(result.wheel), 1e3 * result.thresholds.measurable_airborne_s
    stands = 1e3 * base.airborne_s(base.punch, result.wheel)
    said = f"Calculated: {where}, {who} is in the air for {stands:.0f} ms with {row_name(base.setup)}; "
    if abs(change) < LEVEL_CHANGE_S:
        return said + "no other setup changes that."
    said += f"{row_name(most.setup)} changes that most, by {1e3 * change:+.0f} ms"
    if result.mismatches_percent:
        first, last = min(result.mismatches_percent), max(result.mismatches_percent)
        said += f" ({1e3 * low:+.0f} to {1e3 * high:+.0f} ms with front wheels {first:+g} to {last:+g} % faster, on free or loaded radii)"
    if low < 0.0 < high:
        return said + "; which way depends on how the axles share the pull."
    seen = 1e3 * min(abs(low), abs(high))
    frames = result.thresholds.film_frames_per_s
    verb = "shows" if seen >= film else "may not show"
    return said + f"; a film of {frames:g} frames a second, which tells {film:.0f} ms apart, {verb} it."
