"""Limits of a punch under every plausible division of the pull between geared axles: against single punches on both sides of each."""

import json
from dataclasses import replace

import pytest

from noseload.__main__ import main
from noseload.commands.punch import limits as command
from noseload.model.file.reader import change_vehicle, load_vehicle
from noseload.studies.punch.largest_throttle import LargestThrottle, ThrottleSearch
from noseload.studies.punch.limits import OutcomeChange, PunchLimits, outcome_searches
from noseload.studies.punch.punch import punch
from noseload.studies.punch.rounds import run_rounds
from noseload.studies.punch.splits_range import Moving, mismatches_in_motion
from noseload.studies.verdict.punch_limits import change_documents, change_ends, limit_answers
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle

BESIDE_DEG = 0.15
"""A change is narrowed to 0.05 deg by a batch that moves it by less than 0.05 deg."""
BESIDE = 0.01
"""A throttle is narrowed to 0.002 by a batch that moves the least load by a thousandth of the largest."""


def under_law(grade, law):
    """The vehicle as a file would have it that starts on this grade as the law divides its crawl."""
    car = reference_vehicle()
    percent = mismatches_in_motion(car, plausible_laws(car), grade)[law]
    return change_vehicle(car, {"drive.front_overdrive": 1.0 + 0.01 * percent})


def lifts(grade, law, throttle=1.0):
    return (
        punch(under_law(grade, law), grade_deg=grade, throttle=throttle, duration_s=0.6).summary["front_airborne_s"]
        > 0.0
    )


@pytest.mark.slow
def test_each_law_has_its_own_limit():
    """Below it a single punch of a file with the law keeps the front down, above it not; and the laws differ by degrees."""
    (own,) = outcome_searches([reference_vehicle()], from_deg=10.0)
    divided = own.under_laws(Moving(reference_vehicle()))
    run_rounds([own, *divided])
    found = replace(own.result(), by_law=tuple(search.result() for search in divided))
    for law, each in enumerate(found.by_law):
        limit = each.front_down_to_deg
        assert not lifts(limit - BESIDE_DEG, law) and lifts(limit + BESIDE_DEG, law)
    limits = [each.front_down_to_deg for each in (found, *found.by_law)]
    assert found.front_down_to_ends_deg == [min(limits), max(limits)] and max(limits) - min(limits) > 3.0
    first = next(change for change in found.changes if change.below == "stays_loaded")
    assert found.ends_of(first) == (min(limits), max(limits))
    assert found.to_dict()["range_over_splits"]["front_down_to_grade_deg"] == [min(limits), max(limits)]


@pytest.mark.slow
def test_each_law_has_its_own_largest_throttle():
    car = reference_vehicle()
    moving, grades = Moving(car), [35.0, 50.0]
    search = ThrottleSearch([car] * 3, grades_deg=grades, under=[moving.under(law) for law in range(3)])
    run_rounds([search])
    for law, each in enumerate(search.results()):
        for grade, throttle in zip(grades, each.throttles, strict=True):
            assert not lifts(grade, law, throttle - BESIDE) and lifts(grade, law, throttle + BESIDE)


def test_one_driven_axle_knows_no_laws():
    alone = load_vehicle(REFERENCE, drive="rear")
    assert Moving(alone).laws == () and Moving(alone).at(20.0) == ()
    (search,) = outcome_searches([alone])
    assert search.under_laws(Moving(alone)) == ()


def test_a_vehicle_on_a_grade_is_prepared_once():
    """Batches know vehicles by their identity; on a steeper grade the rear is pressed in deeper, which a free radius undoes."""
    moving = Moving(reference_vehicle())
    assert moving.at(20.0)[0] is moving.under(0)(20.0)
    assert moving.at(40.0)[0].drive.front_overdrive < moving.at(0.0)[0].drive.front_overdrive - 0.01


def scanned(name, down, flips, tip=60.0, **more):
    """Limits with these two grades; None: lifts on the level, never flips."""
    rows = [(0.0, "stays_loaded" if down else "lifts_and_returns")]
    rows += [(down - 1.0, "stays_loaded"), (down + 1.0, "lifts_and_returns")] if down else []
    rows += [(flips - 1.0, "lifts_and_returns"), (flips + 1.0, "flips_back")] if flips else [(tip, "lifts_and_returns")]
    changes = (OutcomeChange(down, 2.0, "stays_loaded", "lifts_and_returns"),) if down else ()
    return PunchLimits(name, 1.0, 0.05, tip, tuple(g for g, _ in rows), tuple(o for _, o in rows), changes, **more)


def test_limits_that_some_laws_have_and_others_not():
    """A limit that is not met under some law is no number; both ends say so."""
    own = scanned("base", 20.0, 50.0, by_law=(scanned("base", None, 49.0), scanned("base", 25.0, None)))
    assert own.front_down_to_ends_deg == [None, 25.0] and own.flips_from_ends_deg == [49.0, None]
    assert own.ends_of(own.changes[0]) is None
    other = scanned("up", 21.0, 48.0, by_law=(scanned("up", 15.0, 49.5), scanned("up", 24.0, None)))
    assert change_ends(own, other, "front_down_to_deg") == (-1.0, 1.0)
    assert change_ends(own, other, "flips_from_deg") == (-2.0, 0.5)
    assert [line for line in limit_answers((own, other)) if line.startswith("How geared")] == [
        "How geared axles divide the pull is open; over -3 to +10 % faster front wheels a punch lifts an axle even on the level, or none up to "
        "25.0 deg; it flips from 49.0 deg on, or never.",
        "How geared axles divide the pull is open; over -3 to +10 % faster front wheels it changes the steepest grade without a lift by -1.0 to "
        "+1.0 deg and that of the first flip by -2.0 to +0.5 deg.",
    ]
    # 2 deg earlier under equal slip, half a degree later under a law: the word waits for both ends.
    assert "2.0 deg earlier: undecided whether measurable." in limit_answers((own, other))[2]
    assert change_documents((own, other))[0]["flips_from_change_range_deg"] == (-2.0, 0.5)


def test_a_setup_that_drives_one_axle_is_held_against_every_law():
    own = scanned("base", 20.0, 50.0, by_law=(scanned("base", 18.0, 50.0),))
    assert change_ends(own, scanned("rear", 10.0, 50.0), "front_down_to_deg") == (-10.0, -8.0)
    assert change_ends(scanned("rear", 10.0, None), scanned("rear", 11.0, None), "front_down_to_deg") is None


@pytest.fixture
def known(monkeypatch):
    """The command on invented limits: what is said of them, not how they are found."""

    def tell(limits, throttles):
        monkeypatch.setattr(command, "_study", lambda *_: (limits, throttles, True))

    return tell


def test_text_and_document_carry_both_ends(known, capsys):
    limits = scanned("base", 20.0, 50.0, by_law=(scanned("base", 18.0, 50.0), scanned("base", 22.0, 51.0)))
    grades = (30.0, 40.0)
    laws = tuple(LargestThrottle("base", grades, most, (0.2, None)) for most in ((0.5, None), (1.0, None)))
    throttles = LargestThrottle("base", grades, (0.6, None), (0.2, None), by_law=laws)
    known((limits,), (throttles,))
    assert main(["limits", str(REFERENCE)]) == 0
    out = capsys.readouterr().out
    assert "no axle up to 18.0 to 22.0 deg; it flips from 50.0 to 51.0 deg on." in out
    assert "(+-1.000; 18.0 to 22.0 over divisions of the pull)" in out
    assert "0.500 to full" in out
    assert main(["limits", str(REFERENCE), "--json"]) == 0
    (member,) = json.loads(capsys.readouterr().out)["members"]
    assert member["range_over_splits"]["flips_from_grade_deg"] == [50.0, 51.0]
    assert [row["largest_throttle_range"] for row in member["largest_throttle"]] == [[0.5, 1.0], None]
    known((replace(limits, by_law=()),), (replace(throttles, by_law=()),))
    assert main(["limits", str(REFERENCE), "--drive", "rear"]) == 0
    assert "division" not in capsys.readouterr().out
