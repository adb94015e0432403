"""The punch in space of setups side by side: what each changes of the first wheel's time in the air, and how sure that is.

How the pull divides between geared axles moves the answer, so every setup is punched under each plausible law of it; and
vehicles with errors drawn, alike in what setups share, give each change its 95 % interval.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.documents import plain
from noseload.model.errors import ModelError
from noseload.model.names import row_name
from noseload.studies.errors.assumed_punch import assumed_in_wheels_punch
from noseload.studies.errors.error_group import ErrorGroup
from noseload.studies.errors.punch_draws import run_drawn
from noseload.studies.errors.uncertainty import SEED, Ends
from noseload.studies.errors.uncertainty_wheels import LIFTS
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import mismatches_in_motion
from noseload.studies.punch.wheels import WheelsPunch, punch_wheels
from noseload.studies.punch.wheels_many import punch_wheels_many
from noseload.studies.punch.wheels_summary import wheel_told
from noseload.studies.punch.wheels_words import air_words
from noseload.studies.result import Result
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.intervals import from_to
from noseload.studies.wheels.plausible import percents_of, plausible_laws
from noseload.studies.wheels.words import wheel_words

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.verdict.judgement import Judgement


WHEEL_DRAWS = 100
"""Drawn vehicles of each change."""


@dataclass(frozen=True)
class WheelsMember:
    """One setup: its punch in space, that of its side view (s in the air of the front axle), and what mismatches make of it.

    Attributes
    ----------
    runs : tuple of WheelsPunch
        Under the laws of division of the comparison; those that cannot start have no traces.
    drawn_change_s : (float, float) or None
        95 % ends of what it changes over random vehicles, s; None of the first setup, or where too few draws run.
    share_lifting : float or None
        Share of the random vehicles in which any wheel lifts.
    """

    setup: str
    punch: WheelsPunch
    side_view_airborne_s: float | None
    runs: tuple = field(repr=False)
    drawn_change_s: tuple | None = None
    share_lifting: float | None = None

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
    draws, seed : int
    assumed : tuple of AssumedEffect
        Assumed values that move what the setups change.
    """

    picture = "punch.wheels.plot_compared"
    grade_deg: float
    mismatches_percent: tuple
    members: tuple
    wheel: str | None
    thresholds: Thresholds = field(repr=False)
    draws: int = 0
    seed: int = SEED
    assumed: tuple = field(default=(), repr=False)

    def change_s(self, member: WheelsMember) -> tuple[float, float, float]:
        """Change of the wheel's time in the air against the reference: as given, and its range over mismatches, s."""
        base = self.members[0]
        pairs = [(base.punch, member.punch), *zip(base.runs, member.runs, strict=True)]
        found = [member.airborne_s(b, self.wheel) - base.airborne_s(a, self.wheel) for a, b in pairs]
        good = [value for value in found if np.isfinite(value)]
        return found[0], min(good, default=float("nan")), max(good, default=float("nan"))

    def judged(self, member: WheelsMember) -> Judgement:
        """The change against what a film shows, with all that it may be: over mismatches and over random vehicles."""
        change, low, high = self.change_s(member)
        drawn = member.drawn_change_s or (low, high)
        return self.thresholds.airborne(change, min(low, drawn[0]), max(high, drawn[1]))

    @property
    def verdict(self) -> str:
        """What each setup changes of the first wheel's time in the air, against what a film shows."""
        return verdict_of(self)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        rows = []
        for member in self.members:
            summary = member.punch.summary
            change, low, high = self.change_s(member)
            drawn = member.drawn_change_s or (None, None)
            other = member is not self.members[0] and np.isfinite(change) and self.wheel is not None
            rows.append(
                {
                    "setup": member.setup,
                    "status": member.punch.status,
                    "first_wheel": summary.get("first_wheel"),
                    "first_wheel_airborne_s": summary.get("first_wheel_airborne_s"),
                    "wheel_load_start_n": member.punch.start.get(f"{self.wheel}_load_n"),
                    "wheel_airborne_s": member.airborne_s(member.punch, self.wheel),
                    "wheel_ends_airborne": summary.get(f"{self.wheel}_ends_airborne"),
                    "front_axle_airborne_s": summary.get("front_axle_airborne_s"),
                    "side_view_front_airborne_s": member.side_view_airborne_s,
                    "front_axle_load_min_n": summary.get("front_axle_load_min_n"),
                    "peak_chassis_roll_deg": summary.get("peak_chassis_roll_deg"),
                    "outcome": summary.get("outcome"),
                    "share_lifting": member.share_lifting,
                    "change_s": change,
                    "change_low_s": low,
                    "change_high_s": high,
                    "change_drawn_low_s": drawn[0],
                    "change_drawn_high_s": drawn[1],
                    "film": film_words(self.judged(member)) if other else None,
                }
            )
        document = {
            "grade_deg": self.grade_deg,
            "mismatches_percent": list(self.mismatches_percent),
            "draws": self.draws,
            "seed": self.seed,
            "film_frames_per_s": self.thresholds.film_frames_per_s,
            "wheel": self.wheel,
            "assumed_that_matter": [effect.to_dict("lines") for effect in self.assumed],
        }
        status = "ok" if self.members[0].punch.success else self.members[0].punch.status
        return plain(document | {"rows": rows, "verdict": self.verdict, "status": status})


def compare_wheels_punch(
    vehicles: Sequence[Vehicle],
    *,
    grade_deg: float,
    names: Sequence[str] | None = None,
    thresholds: Thresholds | None = None,
    throttle: float = 1.0,
    draws: int = WHEEL_DRAWS,
    seed: int = SEED,
) -> WheelsComparison:
    """Punch setups in space and hold their first wheel's time in the air against the first setup's.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        Two or more, with y of links and shocks: setups, changes, or vehicles of several files.
    grade_deg : float
    names : sequence of str, optional
        What they are called, in place of their setups' names.
    thresholds : Thresholds, optional
        What a film shows, and what would be noticed.
    throttle : float
    draws, seed : int
        Drawn vehicles of each change (0: none); setups share what they share.

    Raises
    ------
    ModelError, MissingDataError
        Fewer than two setups, or a file that lacks a y or a track.
    """
    if len(vehicles) < 2:
        raise ModelError("a comparison of punches in space needs two setups; name them with --setups A,B")
    asked: dict[str, Any] = {"grade_deg": grade_deg, "throttle": throttle}
    laws, members = plausible_laws(vehicles[0]), []
    for k, vehicle in enumerate(vehicles):
        own = laws if vehicle is vehicles[0] else plausible_laws(vehicle)
        given = punch_wheels(vehicle, **asked)
        others = [
            punch_wheels(vehicle, mismatch=m, outcome=False, sample_s=0.01, standing=given.standing, **asked)
            for m in mismatches_in_motion(vehicle, own, grade_deg)
        ]
        flat = punch(vehicle, outcome=False, sample_s=0.01, **asked)
        side = flat.summary["front_airborne_s"] if flat.time_s.size else None
        members.append(WheelsMember(names[k] if names else vehicle.setup, given, side, tuple(others)))
    ran = [member for member in members if member.punch.time_s.size]
    wheel = next((first for member in ran if (first := member.punch.summary["first_wheel"]) is not None), None)
    assumed: tuple = ()
    if ran == members:
        told = wheel or wheel_told(members[0].punch.summary)
        members = _drawn(vehicles, members, told, asked, draws, seed) if draws else members
        assumed = assumed_in_wheels_punch(vehicles, told, asked, thresholds=thresholds)
    return WheelsComparison(
        float(grade_deg), percents_of(laws), tuple(members), wheel, thresholds or Thresholds(), draws, seed, assumed
    )


def _drawn(
    vehicles: Sequence[Vehicle], members: list[WheelsMember], wheel: str, asked: dict[str, Any], draws: int, seed: int
) -> list[WheelsMember]:
    """The members with what random vehicles make of their changes; all in one batch."""
    group, name = ErrorGroup(vehicles, punch=True, space=True), f"{wheel}_airborne_s"
    errors, sizes = group.draw(draws, seed), group.draw_left_out(draws, seed)
    found = run_drawn(group.members, errors, sizes, asked, many=punch_wheels_many, names=(name, *LIFTS))
    first, told = found[0].numbers[name], []
    for member, one in zip(members, found, strict=True):
        ran = np.isfinite(one.numbers[name])
        lifts = np.isfinite([one.numbers[lift][ran] for lift in LIFTS]).any(axis=0)
        share = float(lifts.mean()) if ran.any() else None
        change = None if member is members[0] else Ends.of(one.numbers[name] - first).pair
        told.append(replace(member, drawn_change_s=change, share_lifting=share))
    return told


FILM_WORDS = ("the film shows it", "the film may show it", "which way is open", "too little for the film")
"""What a film makes of a change, the surest first."""
SEEN, MAY_BE, OPEN, TOO_LITTLE = FILM_WORDS


def film_words(change: Judgement) -> str:
    """What a film makes of a change of time in the air."""
    if change.measured is None:
        return OPEN if change.direction is None else MAY_BE
    return SEEN if change.measured else TOO_LITTLE


def verdict_of(result: WheelsComparison) -> str:
    """The verdict in a few sentences: the wheel, what each setup changes, what a film shows of that."""
    base = result.members[0]
    where = f"at {result.grade_deg:g} deg, full throttle within 50 ms"
    if not base.punch.time_s.size:
        return f"Calculated: {where}: {row_name(base.setup)} cannot start ({base.punch.message})."
    if result.wheel is None:
        shares = [member.share_lifting for member in result.members if member.share_lifting]
        some = (
            f", though one does in up to {100 * max(shares):.3g} % of {result.draws} random vehicles" if shares else ""
        )
        return f"Calculated: {where}, no wheel of any setup leaves the ground{some}."
    told = [member for member in result.members[1:] if member.punch.time_s.size]
    if not told:
        return f"Calculated: {where}, none of the other setups can start."
    frames, film = result.thresholds.film_frames_per_s, 1e3 * result.thresholds.measurable_airborne_s
    stands = air_words(base.punch.summary, result.wheel)
    stands = stands if stands == "never" else f"for {stands}"
    said = f"Calculated: {where}, {wheel_words(result.wheel)} is in the air {stands} with {row_name(base.setup)}. "
    said += f"What changes that, against a film of {frames:g} frames a second, which resolves {film:.0f} ms apart: "
    judged = [(member.setup, result.judged(member)) for member in told]
    judged.sort(key=lambda pair: (FILM_WORDS.index(film_words(pair[1])), -abs(pair[1].value)))
    return said + "; ".join(_change_words(name, change) for name, change in judged) + "." + _range_words(result)


def _change_words(name: str, change: Judgement) -> str:
    low, high = (1e3 * end for end in change.span)
    return f"{row_name(name)} by {1e3 * change.value:+z.0f} ms ({from_to(low, high, 0, sign=True)} ms), {film_words(change)}"


def _range_words(result: WheelsComparison) -> str:
    """Over what the ranges are."""
    over = [f"{result.draws} random vehicles (95 %)"] if any(m.drawn_change_s for m in result.members) else []
    if result.mismatches_percent:
        first, last = min(result.mismatches_percent), max(result.mismatches_percent)
        over.append(f"front wheels {first:+g} to {last:+g} % faster, on free or loaded radii")
    said = f" Ranges are over {' and '.join(over)}." if over else ""
    if any(member.punch.summary.get(f"{result.wheel}_ends_airborne") for member in result.members):
        ends = max(float(member.punch.time_s[-1]) for member in result.members if member.punch.time_s.size)
        said += f" Times are those within {ends:g} s: a wheel still in the air then counts up to there, so changes read too small."
    return said
