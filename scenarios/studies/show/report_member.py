"""One setup of the report: its studies, and what plausible divisions of the pull make of their numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from noseload.documents import plain
from noseload.studies.climb.split import limit_ranges, row_ranges
from noseload.studies.punch.splits_range import PunchRange, differences_of, range_of, summaries_by_law

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.results import Creep
    from noseload.studies.climb.sweep import Sweep
    from noseload.studies.links.links import LinkStudy
    from noseload.studies.punch.punch import PunchResult
    from noseload.studies.space.climb import SpaceStanding


@dataclass(frozen=True)
class MemberRanges:
    """Ends over the plausible divisions of the pull between geared axles; empty where one axle alone is driven.

    Attributes
    ----------
    crawl : dict
        Of the steady crawl at the verdict's grade, as `row_ranges` gives them.
    limits : dict
        Of the grades that the motor sets, deg; no largest where a law does not meet one.
    figures : dict
        Of the figures of links as driven, as `figures_over_splits` gives them.
    punch : PunchRange or None
    punch_changes : dict
        Of what the setup's punch has more than that of the first one.
    """

    crawl: dict[str, tuple[float, float]] = field(default_factory=dict)
    limits: dict[str, tuple[float, float | None]] = field(default_factory=dict)
    figures: dict[str, tuple[float, float]] = field(default_factory=dict)
    punch: PunchRange | None = None
    punch_changes: dict[str, tuple[float, float]] = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return plain(self.__dict__ | {"punch": None if self.punch is None else self.punch.to_dict()})


@dataclass(frozen=True)
class ReportMember:
    """One setup: its vehicle, path, rows, creep at the verdict's grade, links and punch (None: missing)."""

    name: str
    vehicle: Vehicle
    climb: Any
    sweep: Sweep
    at_grade: Creep
    links: LinkStudy | None = None
    punch: PunchResult | None = None
    on_wheels: SpaceStanding | None = None
    """Standing on four wheels; None where the file does not say enough of its y."""

    ranges: MemberRanges = field(default_factory=MemberRanges)

    @property
    def rigid(self) -> bool:
        """True for a vehicle without links."""
        return self.climb.rigid

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        values = {"setup": self.name, "limits": self.sweep.limits.to_dict(), "at_grade": self.at_grade.to_dict()}
        values["ranges_over_splits"] = self.ranges.to_dict()
        if self.punch is not None:
            done = self.punch
            values["punch"] = {
                "grade_deg": done.options.grade_deg,
                "status": done.status,
                "start": dict(done.start),
                "summary": dict(done.summary),
                "events": [event.to_dict() for event in done.events],
            }
        return values


def with_ranges(members: Sequence[ReportMember], grade_deg: float) -> list[ReportMember]:
    """The members with what plausible divisions of the pull make of their numbers at the verdict's grade (deg) and in their punches."""
    from noseload.studies.links.links import figures_over_splits

    punches = [_punches(member) for member in members]
    changes = [{}, *differences_of(punches)]
    found = []
    for member, runs, change in zip(members, punches, changes, strict=True):
        ranges = MemberRanges(
            row_ranges(member.climb, grade_deg),
            limit_ranges(member.climb),
            {} if member.links is None else figures_over_splits(member.vehicle, member.links),
            range_of(runs),
            change,
        )
        found.append(replace(member, ranges=ranges))
    return found


def _punches(member: ReportMember) -> list[Any]:
    """Summaries of the member's punch under its own law and each plausible one; an empty one where there is none."""
    done = member.punch
    if done is None or not done.success:
        return [{}]
    asked = done.options
    options = {"grade_deg": asked.grade_deg, "throttle": asked.throttle, "rise_s": asked.rise_s}
    return summaries_by_law(member.vehicle, options, done.summary)
