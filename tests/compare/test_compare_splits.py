"""What setups change in a punch under every plausible division of the pull: against single punches of files that hold the law."""

import json

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.file.reader import change_vehicle, load_vehicle
from noseload.studies.compare import punch as study
from noseload.studies.compare.punch import compare_punch
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import COMPARED, difference_ranges, mismatches_in_motion
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle

SETUP = "raised_rear_upper_mount"
ASKED = {"grade_deg": 30.0, "throttle": 1.0, "rise_s": 0.05}


def summary_of(car):
    return punch(car, **ASKED, outcome=False, sample_s=0.01).summary


def summaries(car):
    """Under its own law, and of files that start on this grade as each law divides their crawl."""
    percents = mismatches_in_motion(car, plausible_laws(car), ASKED["grade_deg"])
    laws = [change_vehicle(car, {"drive.front_overdrive": 1.0 + 0.01 * percent}) for percent in percents]
    return [summary_of(each) for each in (car, *laws)]


@pytest.mark.slow
def test_ends_of_differences_take_each_law_for_both():
    cars = reference_vehicle(), reference_vehicle(setup=SETUP)
    first, other = (summaries(car) for car in cars)
    (found,) = difference_ranges(cars, ASKED, [first[0], other[0]])
    for name in COMPARED:
        changes = [b[name] - a[name] for a, b in zip(first, other, strict=True)]
        assert found[name] == pytest.approx((min(changes), max(changes)), abs=1e-12), name
    assert np.ptp(found["front_first_hop_s"]) > 1e-3


def test_one_driven_axle_is_the_same_under_all_laws():
    """Both so driven know none; one held against geared axles is held against every law; without a start there is no range."""
    both, rear = reference_vehicle(), load_vehicle(REFERENCE, drive="rear")
    own = summary_of(rear)
    assert difference_ranges([rear, rear], ASKED, [own, own]) == [{}]
    under = summaries(both)
    (found,) = difference_ranges([both, rear], ASKED, [under[0], own])
    changes = [own["front_airborne_s"] - each["front_airborne_s"] for each in under]
    assert found["front_airborne_s"] == pytest.approx((min(changes), max(changes)), abs=1e-12)
    assert difference_ranges([both, rear], ASKED, [under[0], {}]) == [{}]


@pytest.mark.slow
def test_text_and_document(capsys, monkeypatch):
    """Of one comparison: what is told in words is what the document has."""
    known = {}

    def compared_once(comparison, *, grade_deg):
        if grade_deg not in known:
            known[grade_deg] = compare_punch(comparison, grade_deg=grade_deg)
        return known[grade_deg]

    monkeypatch.setattr(study, "compare_punch", compared_once)
    asked = ["compare", str(REFERENCE), "--setups", f"base,{SETUP}", "--punch", "30"]
    assert main([*asked, "--json"]) == 0
    (ends,) = json.loads(capsys.readouterr().out)["punch"]["difference_ranges_over_splits"]
    assert ends["setup"] == SETUP and set(ends) == {"setup", *COMPARED}
    assert main(asked) == 0
    low, high = (1e3 * end for end in ends["front_first_hop_s"])
    assert (
        f"{SETUP} changes the first hop by {low:+.0f} to {high:+.0f} ms and the minimum load by"
        in capsys.readouterr().out
    )
    assert main([*asked[:-1], "15", "--drive", "rear"]) == 0
    assert "divide the pull" not in capsys.readouterr().out and len(known) == 2
