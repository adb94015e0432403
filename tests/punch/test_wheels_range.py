"""A punch in space carries its range over plausible laws of division."""

import json
from dataclasses import replace

import pytest

from noseload import punch_wheels
from noseload.__main__ import main
from noseload.studies.punch.splits_range import WheelsRange, mismatches_in_motion, wheels_range
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle


@pytest.mark.slow
def test_a_punch_in_space_tells_its_range(capsys):
    """The same punches run one by one; with a mismatch given there is none."""
    asked = ["punch", str(REFERENCE), "--wheels", "--grade", "35", "--duration", "0.4", "--json"]
    assert main(asked) == 0
    found = json.loads(capsys.readouterr().out)["mismatch_range"]
    assert found["mismatches_percent"] == [-3.0, 3.5, 10.0] and set(found["first_wheel"]) == {"front_right"}
    car = reference_vehicle()
    mismatch = mismatches_in_motion(car, plausible_laws(car), 35.0)[0]
    one = punch_wheels(car, grade_deg=35.0, duration_s=0.4, mismatch=mismatch, outcome=False)
    assert found["first_wheel_airborne_s"][0] == pytest.approx(one.summary["first_wheel_airborne_s"], abs=1e-6)
    assert main([*asked, "--mismatch", "3"]) == 0
    assert "mismatch_range" not in json.loads(capsys.readouterr().out)


def test_one_driven_axle_has_no_range():
    car = reference_vehicle()
    assert wheels_range(replace(car, drive=replace(car.drive, driven_axles="rear")), {"grade_deg": 10.0}) is None


@pytest.mark.parametrize(
    ("wheels", "times", "said"),
    [
        (("front_right",) * 3, (0.42, 0.5, 0.85), "the front right wheel lifts first, for 420 to 850 ms."),
        ((None, None, None), (0.0, 0.0, 0.0), "no wheel lifts."),
        ((None, "front_left", None), (0.0, 0.1, None), "none or the front left wheel lifts first, for 0 to 100 ms."),
        ((None,) * 3, (None,) * 3, "no punch can start."),
    ],
)
def test_the_range_in_words(wheels, times, said):
    assert (
        WheelsRange((-3.0, 3.5, 10.0), wheels, times)
        .sentence()
        .endswith(f"over -3 to +10 % faster front wheels {said}")
    )
