"""Setups compared by their punches in space: the verdict's numbers and words."""

import json
from dataclasses import replace
from functools import cache

import pytest

from noseload import demo_vehicle
from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.model.parameters import free_radius
from noseload.studies.climb.creep import Climb
from noseload.studies.compare.wheels_punch import compare_wheels_punch
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.wheels.plausible import plausible_laws

RAISED = "raised_rear_upper_mount"


@cache
def compared():
    return compare_wheels_punch([demo_vehicle(), demo_vehicle(setup=RAISED)], grade_deg=35.0)


@pytest.mark.slow
def test_the_verdict_tells_the_first_wheel_the_change_and_its_range():
    result = compared()
    base, raised = (punch_wheels(demo_vehicle(setup=s), grade_deg=35.0, outcome=False) for s in (None, RAISED))
    change, low, high = result.change_s(result.members[1])
    assert result.wheel == "front_right"
    assert change == pytest.approx(
        raised.summary["front_right_airborne_s"] - base.summary["front_right_airborne_s"], abs=1e-9
    )
    assert low <= change <= high
    verdict = result.verdict
    assert verdict.startswith(
        "Calculated: at 35 deg, full throttle within 50 ms, the front right wheel is in the air for"
    )
    assert f"{RAISED} changes that most, by {1e3 * change:+.0f} ms ({1e3 * low:+.0f} to {1e3 * high:+.0f} ms" in verdict
    assert ("which way depends" in verdict) == (low < 0.0 < high)
    same = replace(result, members=(result.members[0], result.members[0]))
    assert same.verdict.endswith("no other setup changes that.")
    turned = replace(result, members=result.members[::-1])
    assert turned.change_s(turned.members[1])[0] == pytest.approx(-change)
    row = result.to_dict()["rows"][0]
    assert row["side_view_front_airborne_s"] == pytest.approx(0.110, abs=0.01) and row["change_s"] == 0.0


def test_what_it_needs(capsys):
    with pytest.raises(ModelError, match="needs two setups"):
        compare_wheels_punch([demo_vehicle()], grade_deg=20.0)
    assert main(["compare", "--wheels", "--step", "10"]) == 2
    assert "give --punch [DEG] too" in capsys.readouterr().err


@pytest.mark.slow
def test_the_command_ends_with_the_verdict(capsys, monkeypatch):
    """Both ways of telling read one study, which is run once."""
    asked, study = ["compare", "--setups", f"base,{RAISED}", "--step", "10", "--punch", "30", "--wheels"], []

    def run_once(*arguments, **options):
        study.append(study[0] if study else compare_wheels_punch(*arguments, **options))
        return study[-1]

    monkeypatch.setattr("noseload.studies.compare.wheels_punch.compare_wheels_punch", run_once)
    assert main(asked) == 0
    out = capsys.readouterr().out
    last = next(line for line in reversed(out.splitlines()) if line and not line.startswith("next:"))
    assert last.startswith("Calculated: at 30 deg, full throttle within 50 ms, the front right wheel")
    assert main([*asked, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["punch_wheels"]["rows"]
    assert [row["setup"] for row in rows] == ["base", RAISED] and len(study) == 2


def test_a_punch_starts_as_the_law_of_the_crawl_divides_it():
    """Slips of front and rear that a law's chi and mismatch leave in a crawl, by hand, are those of the motion's arm and its
    own mismatch: a law on free radii turns the front by what the rear is pressed in deeper less."""
    vehicle = demo_vehicle()
    row = Climb(vehicle).row(35.0)
    loads = (row.rear_load_n, row.front_load_n)
    for law in plausible_laws(vehicle):
        radii = []
        for end, chi, load in zip(("rear", "front"), law.rolling_shares, loads, strict=True):
            depth = load / getattr(vehicle, end).tyre.vertical_stiffness
            radii.append((free_radius(vehicle, end) - chi * depth, free_radius(vehicle, end) - depth))
        wanted = (1.0 + 0.01 * law.percent) * radii[1][0] / radii[0][0]
        own = 1.0 + 0.01 * law.percent_in_motion(vehicle, loads)
        assert own * radii[1][1] / radii[0][1] == pytest.approx(wanted, rel=1e-12)
    low, high = plausible_laws(vehicle)[0], plausible_laws(vehicle)[-1]
    assert high.percent_in_motion(vehicle, loads) == pytest.approx(10.0)
    assert low.percent_in_motion(vehicle, loads) < -4.0
