"""Numbers of geared axles on the page carry both ends over plausible divisions of the pull: against punches and climbs run for it."""

from dataclasses import replace

import pytest

from noseload.pages.html import plain
from noseload.pages.loads import creep_and_punch
from noseload.pages.words import spread, spread_g
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import split_range
from noseload.studies.links.links import figures_over_splits
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import SAMPLE_S, Moving, punch_range
from noseload.studies.show.report_member import MemberRanges, with_ranges

SAME = 1e-9
"""The same solves: rounding alone."""


@pytest.mark.slow
def test_ranges_are_those_of_direct_solves(report):
    first, other = report.members[:2]
    grade_deg = report.punch_grade_deg
    for member in (first, other):
        own = member.punch.summary
        assert member.ranges.punch == punch_range(member.vehicle, {"grade_deg": grade_deg}, own)
        assert member.ranges.crawl["front_load_n"] == pytest.approx(
            split_range(member.climb, report.grade_deg), abs=SAME
        )
        assert member.ranges.figures == figures_over_splits(member.vehicle, member.links)
    pairs = zip(Moving(first.vehicle).at(grade_deg), Moving(other.vehicle).at(grade_deg), strict=True)
    changes = [other.punch.summary["front_load_min_n"] - first.punch.summary["front_load_min_n"]]
    for a, b in pairs:
        least = [
            punch(car, grade_deg=grade_deg, outcome=False, sample_s=SAMPLE_S).summary["front_load_min_n"]
            for car in (a, b)
        ]
        changes.append(least[1] - least[0])
    found = other.ranges.punch_changes["front_load_min_n"]
    assert found == pytest.approx((min(changes), max(changes)), abs=SAME)
    assert first.ranges.punch_changes == {}


def test_the_page_and_the_document_tell_them(report):
    first, other = report.members[:2]
    words = plain(creep_and_punch(report, [])).replace("\N{MINUS SIGN}", "-")
    for ends in (first.ranges.crawl["front_load_n"], first.ranges.punch.front_load_min_n):
        assert spread_g(ends).strip() in words
    low, high = (1e3 * end for end in other.ranges.punch_changes["front_first_hop_s"])
    assert low < high and f"the first hop by {low:+.0f} to {high:+.0f} ms" in words
    assert "these are the ends" in words
    told = report.to_dict()["setups"][1]["ranges_over_splits"]
    assert told["punch"] == other.ranges.punch.to_dict()
    assert told["punch_changes"]["front_load_min_n"] == list(other.ranges.punch_changes["front_load_min_n"])


def test_one_driven_axle_has_none(report):
    member = report.members[0]
    car = replace(member.vehicle, drive=replace(member.vehicle.drive, driven_axles="rear"))
    alone = replace(member, vehicle=car, climb=Climb(car), punch=punch(car, grade_deg=20.0))
    assert [one.ranges for one in with_ranges([alone, alone], 30.0)] == [MemberRanges(), MemberRanges()]


def test_nothing_between_the_ends_is_nothing_said():
    assert spread(None) == spread((0.0, 0.0)) == "" and spread((1.0, 2.0)) == " (1 to 2)"
