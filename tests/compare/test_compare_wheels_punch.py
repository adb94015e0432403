"""Setups compared by their punches in space: the verdict's numbers and words."""

import json
from dataclasses import replace
from functools import cache, partial
from pathlib import Path

import pytest

from noseload import demo_vehicle
from noseload.__main__ import main
from noseload.commands.common import load_setups
from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.model.parameters import free_radius
from noseload.studies.climb.creep import Climb
from noseload.studies.compare.punch import compare_punch
from noseload.studies.compare.wheels_punch import compare_wheels_punch, film_words
from noseload.studies.punch.wheels import punch_wheels
from noseload.studies.thresholds import Thresholds
from noseload.studies.wheels.plausible import plausible_laws

RAISED, DRAWS = "raised_rear_upper_mount", 12


@cache
def compared():
    return compare_wheels_punch([demo_vehicle(), demo_vehicle(setup=RAISED)], grade_deg=35.0, draws=DRAWS)


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
    drawn = result.members[1].drawn_change_s
    least, most = min(low, drawn[0]), max(high, drawn[1])
    assert f"{RAISED} by {1e3 * change:+.0f} ms ({1e3 * least:+.0f} to {1e3 * most:+.0f} ms), " in verdict
    assert "Ranges are over 12 random vehicles (95 %) and front wheels -3 to +10 % faster" in verdict
    same = replace(result, members=(result.members[0], result.members[0]))
    assert "base by +0 ms (+0 ms), too little for the film." in same.verdict
    turned = replace(result, members=result.members[::-1])
    assert turned.change_s(turned.members[1])[0] == pytest.approx(-change)
    row = result.to_dict()["rows"][0]
    assert row["side_view_front_airborne_s"] == pytest.approx(0.110, abs=0.01) and row["change_s"] == 0.0


@pytest.mark.slow
def test_the_picture_and_the_words_are_those_of_wheels():
    """No axle leaves the ground in these punches: the table once said that one had lifted and come back down."""
    from noseload.commands.climb.compare_wheels_text import wheels_punch_text
    from noseload.pictures.punch.wheels import draw_compared

    loads, rolls, *_ = draw_compared(compared()).axes
    assert "the front right wheel" in loads.get_title(loc="left")
    assert [len(ax.get_lines()) for ax in (loads, rolls)] == [2, 2]
    text = wheels_punch_text(compared())
    assert "all four wheels are down again" in text and "an axle lifts" not in text


@pytest.mark.parametrize(
    ("change", "low", "high", "said"),
    [
        (-0.3, -0.4, -0.2, "the film shows it"),
        (0.3, 0.004, 0.5, "the film may show it"),
        (0.3, -0.004, 0.5, "which way is open"),
        (0.001, -0.002, 0.003, "too little for the film"),
    ],
)
def test_what_a_film_makes_of_a_change(change, low, high, said):
    """Two frames of 240 a second are 8.3 ms."""
    assert film_words(Thresholds().airborne(change, low, high)) == said


def test_changes_stand_among_the_setups(tmp_path):
    """The file's own changes are compared without being named, ready-made ones by name."""
    file = tmp_path / "changed.toml"
    file.write_text(Path(DEMO).read_text(encoding="utf-8") + '\n[changes.lead]\nadd_g = 80\nat = "front_wheels"\n')
    names = [vehicle.setup for vehicle in load_setups(str(file), None, changes=True)]
    assert names[0] == "base" and names[-1] == "lead" and "raised_and_reset" in names
    assert [v.setup for v in load_setups(str(file), "base,lead,5_mm_lower")] == ["base", "lead", "5_mm_lower"]


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
        study.append(study[0] if study else compare_wheels_punch(*arguments, **options, draws=0))
        return study[-1]

    monkeypatch.setattr("noseload.studies.compare.wheels_punch.compare_wheels_punch", run_once)
    # Intervals of crawl and side view are not what is looked at here.
    monkeypatch.setattr("noseload.studies.compare.punch.compare_punch", partial(compare_punch, draws=0))
    monkeypatch.setattr("noseload.commands.climb.compare.QUICK_DRAWS", 20)
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
