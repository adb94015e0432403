"""How sure the first lift is: linear propagation beside the draws, whole paths beside the steps, and what it says."""

import json

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.model.variation import shift_file
from noseload.studies.wheels import lift_uncertainty as room
from noseload.studies.wheels.answer import first_lifts, wheel_climb
from noseload.studies.wheels.lift_uncertainty import lift_uncertainty
from noseload.studies.wheels.plausible import law_at

NEARBY_DEG = 1e-6


@pytest.fixture(scope="module")
def found():
    return lift_uncertainty(demo_vehicle(), draws=150, seed=2)


@pytest.fixture(scope="module")
def search():
    vehicle = demo_vehicle()
    known = wheel_climb(vehicle)
    return room.Search(vehicle, known, known.first_lift_deg, 3, 0.0)


def test_draws_have_the_width_of_linear_propagation(found, search):
    """Small errors: 1.96 deviations of the sum of squares of one-deviation changes (JCGM 100:2008, 5.1.2)."""
    changes = []
    for k, source in enumerate(search.sources):
        errors = np.zeros(len(search.sources))
        errors[k] = source.deviation
        changes.append(search.both(errors, None)[0] - search.lift)
    half = 1.96 * float(np.sqrt(np.sum(np.square(changes))))
    low, high = found.measured_deg
    assert 0.5 * (high - low) == pytest.approx(half, rel=0.25)
    assert low < found.first_wheel_lift_grade_deg < high


def test_the_range_over_mismatches_is_that_of_the_wheel_answer(found):
    lifts = first_lifts(demo_vehicle())[1]
    assert found.mismatch_deg == pytest.approx((min(lifts), max(lifts)), abs=NEARBY_DEG)
    assert found.together_deg[0] < found.first_wheel_lift_grade_deg and found.together_deg[1] > found.measured_deg[1]


def test_a_draw_is_the_lift_of_that_vehicle(search):
    errors = np.array([0.7 * source.deviation * (-1) ** k for k, source in enumerate(search.sources)])
    shifts = {source.quantity.id: error for source, error in zip(search.sources, errors, strict=True)}
    changed = shift_file(demo_vehicle(), shifts)
    own = [wheel_climb(changed, **law_at(changed, percent).options).first_lift_deg for percent in (None, 4.0)]
    assert search.both(errors, 4.0) == pytest.approx(own, abs=NEARBY_DEG)


def test_shares_are_those_of_a_whole_and_the_springs_come_first(found):
    shares = [item["share"] for item in found.improve_first]
    assert shares == sorted(shares, reverse=True) and 0.5 < sum(shares) <= 1.0
    assert found.improve_first[0]["source"] == "rear.shock.spring_rate_n_per_mm"
    assert (
        lift_uncertainty(demo_vehicle(), draws=20, seed=5).to_dict()
        == lift_uncertainty(demo_vehicle(), draws=20, seed=5).to_dict()
    )


def test_draws_that_cannot_be_solved_are_counted(monkeypatch):
    shift, calls = room.shift_file, []

    def sometimes(vehicle, shifts):
        calls.append(shifts)
        if len(calls) <= 7:
            raise ModelError("this draw has no links that hold an axle")
        return shift(vehicle, shifts)

    monkeypatch.setattr(room, "shift_file", sometimes)
    found = lift_uncertainty(demo_vehicle(), draws=20, seed=1)
    assert found.failed_draws == 7 and found.measured_deg == (None, None)
    assert "too few draws lift to say how sure that is" in found.sentence()


def test_bad_input(capsys):
    with pytest.raises(ModelError, match="5 draws give no interval; use 20 or more"):
        lift_uncertainty(demo_vehicle(), draws=5)
    assert main(["wheels", "--headings", "90", "--uncertainty"]) == 2
    assert "leave --headings, --block and --shafts off out" in capsys.readouterr().err


def test_command(capsys):
    arguments = ["wheels", "--uncertainty", "--draws", "40", "--seed", "3"]
    assert main(arguments) == 0
    out = capsys.readouterr().out
    assert "base: The front right wheel lifts at 51.3 deg: 95 % from 50." in out and "measure again first" in out
    assert main([*arguments, "--json"]) == 0
    (document,) = json.loads(capsys.readouterr().out)["uncertainty"]
    assert document["draws"] == 40 and document["first_wheel"] == "front_right"
