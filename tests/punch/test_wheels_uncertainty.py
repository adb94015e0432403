"""How sure a punch in space is: intervals, chances of single wheels, and what the command makes of them."""

import json

import numpy as np
import pytest

from noseload import demo_vehicle, punch_wheels
from noseload.__main__ import main
from noseload.model.space.parameters import WHEELS
from noseload.studies.errors.assumed_punch import assumed_in_wheels_punch
from noseload.studies.errors.uncertainty_wheels import share_first
from result_makers import made

AS_A_BATCH_S, AS_A_BATCH = 1e-3, 1e-3
"""A batch against an accurate run: s in the air, and of the largest load."""


def test_shares_of_the_first_wheel_by_hand():
    """Five draws: front right first in two, rear left in one, none lifts in one; one does not run and does not count."""
    none = np.nan
    lifts = [
        np.array([none, 0.2, none, none, none]),
        np.array([none, none, none, none, none]),
        np.array([0.3, 0.4, none, none, none]),
        np.array([0.1, 0.3, 0.2, none, none]),
    ]
    shares = share_first(lifts, np.array([0.0, 0.0, 0.0, 1.0, none]))
    assert shares == {"rear_left": 0.25, "rear_right": 0.0, "front_left": 0.0, "front_right": 0.5}
    assert share_first(lifts, np.full(5, none)) == dict.fromkeys(WHEELS)


@pytest.mark.slow
def test_the_middle_is_the_punch_and_what_space_alone_sees_is_doubted_too():
    result = made("wheels_uncertainty")
    (setup,), one = result.setups, punch_wheels(demo_vehicle(), grade_deg=35.0, duration_s=0.2, outcome=False)
    assert setup.first_wheel == one.summary["first_wheel"]
    for wheel in WHEELS:
        air, load = (setup.intervals[f"{wheel}_{what}"] for what in ("airborne_s", "load_min_n"))
        assert air.value == pytest.approx(one.summary[f"{wheel}_airborne_s"], abs=AS_A_BATCH_S)
        largest = one.traces[f"{wheel}_load_n"].max()
        assert load.value == pytest.approx(one.summary[f"{wheel}_load_min_n"], abs=AS_A_BATCH * largest)
        band = setup.bands[f"{wheel}_load_n"]
        assert (band[0] <= band[1]).all() and (band[1] > band[0]).any()
    names = [name for name, _ in result.sources]
    assert "rear.shock.chassis_end_mm[y]" in names and "body.roll_inertia_kg_mm2" in names
    lean = setup.intervals["peak_chassis_roll_deg"]
    assert lean.measured.low < lean.value < lean.measured.high
    assert {source.source for source in lean.improve} & {"rear.shock.chassis_end_mm[y]", "body.roll_inertia_kg_mm2"}
    assert sum(setup.share_first.values()) <= 1.0 and setup.share_first["front_right"] > 0.5


@pytest.mark.slow
def test_the_command_tells_chances_and_times(capsys, monkeypatch, tmp_path):
    """Text, document and picture of one study."""
    found = made("wheels_uncertainty")
    monkeypatch.setattr(
        "noseload.studies.errors.uncertainty_wheels.wheels_uncertainty", lambda vehicles, options, **_draws: found
    )
    asked = ["punch", "--wheels", "--grade", "35", "--duration", "0.2", "--mismatch", "0", "--uncertainty"]
    assert main([*asked, "--plot", str(tmp_path / "sure.png")]) == 0
    out = capsys.readouterr().out
    assert "front right in the air within 0.2 s, ms" in out and "the front right wheel lifts first in" in out
    assert "measure again first for the front right in the air within" in out
    assert main([*asked, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)["uncertainty"]["setups"][0]
    assert document["wheels"]["front_right"]["share_first"] == found.setups[0].share_first["front_right"]
    assert len(document["front_right_load_band_n"]["low"]) == len(found.time_s)
    assert document["front_right_airborne_s"]["low"] <= document["front_right_airborne_s"]["high"]


@pytest.mark.slow
def test_assumed_values_that_move_the_first_wheel(tmp_path):
    """The demo without its roll inertia: the stated range of that moves how long the wheel is up."""
    from noseload.demo import DEMO
    from noseload.model import load_vehicle

    with open(DEMO, encoding="utf-8") as file:
        text = file.read().replace("roll_inertia_kg_mm2 = 4500\n", "", 1)
    car = load_vehicle("rolls.toml", text=text)
    found = assumed_in_wheels_punch([car], "front_right", {"grade_deg": 35.0, "duration_s": 0.4})
    assert [effect.key for effect in found] == ["body.roll_inertia_kg_mm2"]
    low, high = (
        punch_wheels(_with(car, value), grade_deg=35.0, duration_s=0.4, outcome=False).summary["front_right_airborne_s"]
        for value in (found[0].low, found[0].high)
    )
    here = punch_wheels(car, grade_deg=35.0, duration_s=0.4, outcome=False).summary["front_right_airborne_s"]
    lines = max(abs(low - here), abs(high - here)) / (2.0 / 240.0)
    assert found[0].moves_by >= lines * (1.0 - 1e-6)


def _with(car, value):
    from noseload.model.file.reader import change_vehicle

    return change_vehicle(car, {"body.roll_inertia_kg_mm2": value})
