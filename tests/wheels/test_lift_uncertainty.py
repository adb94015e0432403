"""How sure the first lift is: linear propagation beside the draws, whole paths beside the steps, and what it says."""

import json
from dataclasses import replace

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.model.file.reader import change_vehicle
from noseload.model.variation import shift_file
from noseload.studies.climb.standing import stand
from noseload.studies.errors.friction import shock_friction
from noseload.studies.wheels import lift_uncertainty as room
from noseload.studies.wheels.climbs import first_lifts, wheel_climb
from noseload.studies.wheels.lift_uncertainty import lift_uncertainty
from noseload.studies.wheels.plausible import law_at
from reference_vehicle import reference_vehicle

pytestmark = pytest.mark.slow
NEARBY_DEG = 1e-6


@pytest.fixture(scope="module")
def found():
    return lift_uncertainty(reference_vehicle(), draws=150, seed=2)


@pytest.fixture(scope="module")
def search():
    vehicle = reference_vehicle()
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
    lifts = first_lifts(reference_vehicle())[1]
    assert found.mismatch_deg == pytest.approx((min(lifts), max(lifts)), abs=NEARBY_DEG)
    assert found.together_deg[0] < found.first_wheel_lift_grade_deg and found.together_deg[1] > found.measured_deg[1]


def test_a_draw_is_the_lift_of_that_vehicle(search):
    errors = np.array([0.7 * source.deviation * (-1) ** k for k, source in enumerate(search.sources)])
    shifts = {source.quantity.id: error for source, error in zip(search.sources, errors, strict=True)}
    changed = shift_file(reference_vehicle(), shifts)
    own = [wheel_climb(changed, **law_at(changed, percent).options).first_lift_deg for percent in (None, 4.0)]
    assert search.both(errors, 4.0) == pytest.approx(own, abs=NEARBY_DEG)


def test_shares_are_those_of_a_whole_and_the_split_comes_first(found):
    shares = [item["share"] for item in found.improve_first]
    assert shares == sorted(shares, reverse=True) and 0.5 < sum(shares) <= 1.0
    names = [item["source"] for item in found.improve_first]
    assert names[0] == "how geared axles share the traction" and "rear.shock.spring_rate_n_per_mm" in names
    assert (
        lift_uncertainty(reference_vehicle(), draws=20, seed=5).to_dict()
        == lift_uncertainty(reference_vehicle(), draws=20, seed=5).to_dict()
    )


def test_what_is_left_out_is_put_into_the_vehicle_and_read_off_the_board(search):
    """Contact and rolling as the file's own keys say them; friction as a longer coil; a steeper board reads less."""
    vehicle, left = reference_vehicle(), search.left
    row = {part.name: k for k, (_, part) in enumerate(left.parts)}

    def lift(**sizes):
        column = left.nothing
        for name, size in sizes.items():
            column[row[name]] = size
        return search.left_out(None, column)

    plain = search.lift
    assert lift() == pytest.approx(plain, abs=NEARBY_DEG)
    keys = {"tyre.rolling_resistance": 0.05, "tyre.lengthwise_stiffness_n_per_mm": 4, "tyre.contact_offset_share": 0.7}
    own = wheel_climb(change_vehicle(vehicle, keys)).first_lift_deg
    assert lift(rolling_resistance=0.05, contact_share=0.7, lengthwise_stiffness=4000.0) == pytest.approx(own, abs=1e-5)
    assert lift(grade_shift=np.radians(0.2)) == pytest.approx(plain - 0.2, abs=1e-6)
    assert lift(ledge=1e-3) == pytest.approx(plain - np.degrees(1.0 / 318.0), abs=1e-6)
    surge = np.degrees(np.arcsin(0.1 * np.cos(np.radians(plain)) / 9.80665))
    assert lift(surge=0.1) == pytest.approx(plain - surge, abs=1e-6)
    flat = stand(vehicle).free_lengths
    longer = flat[0] + shock_friction(vehicle, "rear") / vehicle.rear.shock.spring_rate
    shock = replace(vehicle.rear.shock, free_length=longer)
    front = replace(vehicle.front, shock=replace(vehicle.front.shock, free_length=flat[1]))
    held = wheel_climb(replace(vehicle, rear=replace(vehicle.rear, shock=shock), front=front)).first_lift_deg
    assert lift(rear_shock_state=1.0) == pytest.approx(held, abs=1e-5) and abs(held - plain) > 0.05


def test_draws_that_cannot_be_solved_are_counted(monkeypatch):
    shift, calls = room.shift_file, []

    def sometimes(vehicle, shifts):
        calls.append(shifts)
        if len(calls) <= 7:
            raise ModelError("this draw has no links that hold an axle")
        return shift(vehicle, shifts)

    monkeypatch.setattr(room, "shift_file", sometimes)
    found = lift_uncertainty(reference_vehicle(), draws=20, seed=1)
    assert found.failed_draws == 7 and found.measured_deg == (None, None)
    assert "too few draws lift to say how sure that is" in found.sentence()


def test_bad_input(capsys):
    with pytest.raises(ModelError, match="5 draws give no interval; use 20 or more"):
        lift_uncertainty(reference_vehicle(), draws=5)
    assert main(["wheels", "--headings", "90", "--uncertainty"]) == 2
    assert "leave --headings, --block and --shafts off out" in capsys.readouterr().err


def test_command(capsys):
    arguments = ["wheels", "--uncertainty", "--draws", "40", "--seed", "3"]
    assert main(arguments) == 0
    out = capsys.readouterr().out
    assert "base: The front right wheel lifts at 51.2 deg: 95 % from 50." in out and "measure again first" in out
    assert main([*arguments, "--json"]) == 0
    (document,) = json.loads(capsys.readouterr().out)["uncertainty"]
    assert document["draws"] == 40 and document["first_wheel"] == "front_right"
