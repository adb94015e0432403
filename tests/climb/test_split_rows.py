"""Every number of a crawl and every limit over plausible divisions of the pull: against files that hold the law."""

import json
import re
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.demo import DEMO, demo_vehicle
from noseload.model.file.reader import change_vehicle, load_vehicle
from noseload.model.units import grams_of_force
from noseload.solvers.errors import SolverError, Status
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import (
    CREEP_NUMBERS,
    PLAUSIBLE_PERCENT,
    Split,
    difference_range,
    kink_ranges,
    limit_ranges,
    plausible_splits,
    row_ranges,
    split_loads,
)
from noseload.studies.climb.sweep import sweep
from noseload.studies.compare.compare import compare
from noseload.studies.levers.survey import draw_vehicles, one_of
from noseload.studies.punch import splits_range
from noseload.studies.punch.splits_range import Moving, mismatches_in_motion
from noseload.studies.verdict.first import limit_sentence
from noseload.studies.verdict.intervals import over_divisions
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle

LAWS = [{"drive.front_overdrive": 1.0 + 0.01 * p, "tyre.rolling_radius_share": chi} for p in PLAUSIBLE_PERCENT for chi in (0.0, 1.0)]  # fmt: skip
WEAK = {"drive.stall_torque_n_mm": 1300.0}


def climbs(**lines):
    """The vehicle as it is, and files that hold each law."""
    car = change_vehicle(reference_vehicle(), lines)
    return Climb(car), [Climb(change_vehicle(car, law)) for law in LAWS]


@pytest.fixture(scope="module")
def weak():
    """Its motor stalls before it tips, and needs full throttle before it stalls."""
    return climbs(**WEAK)


@pytest.mark.parametrize("grade", [-30.0, 20.0, 45.0])
def test_every_number_of_a_crawl(weak, grade):
    own, laws = weak
    rows = [climb.row(grade) for climb in (own, *laws)]
    found = row_ranges(own, grade)
    assert set(found) == set(CREEP_NUMBERS)
    for name, ends in found.items():
        values = [getattr(row, name) for row in rows]
        assert ends == pytest.approx((min(values), max(values)), abs=1e-8), name
    needs = [row.grip_needed for row in rows]
    assert needs == pytest.approx([needs[0]] * 5, rel=1e-9)


def test_limits_of_the_motor_have_ends_and_those_of_geometry_none(weak):
    own, laws = weak
    limits = [climb.limits for climb in (own, *laws)]
    found = limit_ranges(own)
    for key in ("torque_grade_deg", "hold_grade_deg"):
        grades = [getattr(each, key) for each in limits]
        assert found[key] == pytest.approx((min(grades), max(grades)), abs=1e-6) and max(grades) - min(grades) > 2.0
    assert set(found) == {"torque_grade_deg", "hold_grade_deg"}
    for key in ("tip_over_grade_deg", "tip_over_downhill_grade_deg"):
        assert [getattr(each, key) for each in limits] == pytest.approx([getattr(limits[0], key)] * 5, abs=1e-8)


def test_a_limit_that_some_laws_meet_and_others_not():
    """Whether or not the vehicle's own law meets it: no largest grade then; a law that slides before it has no part."""
    plain = Climb(reference_vehicle()).limits

    def standing_for(*grades, slides=()):
        each = [
            SimpleNamespace(
                uphill_limits=replace(plain, torque_grade_deg=grade, first="grip" if k in slides else "torque")
            )
            for k, grade in enumerate(grades)
        ]
        return SimpleNamespace(rigid=False, uphill_limits=each[0].uphill_limits, under_laws=tuple(each[1:]))

    assert limit_ranges(standing_for(55.0, 54.0, None)) == {"torque_grade_deg": (54.0, None)}
    assert limit_ranges(standing_for(None, 54.0, 56.0)) == {"torque_grade_deg": (54.0, None)}
    assert limit_ranges(standing_for(55.0, 54.0, None, slides=[2])) == {"torque_grade_deg": (54.0, 55.0)}
    assert limit_ranges(standing_for(55.0, None, None, slides=[1, 2])) == {}
    assert limit_ranges(standing_for(None, None, None)) == {}


def test_a_law_whose_path_ends_at_its_grip_says_nothing_of_the_motor():
    own, laws = climbs(**{"tyre.grip_coefficient": 0.85})
    assert all(climb.limits.first == "grip" for climb in (own, *laws)) and limit_ranges(own) == {}
    assert row_ranges(own, 35.0) and not row_ranges(own, 75.0)


def test_what_ends_the_climb_is_told_with_both_ends(weak):
    own, _ = weak
    low, high = limit_ranges(own)["torque_grade_deg"]
    said = limit_sentence(own.limits, None, None, limit_ranges(own))
    assert said.startswith(
        f"It stalls first, at {own.limits.torque_grade_deg:.1f} deg ({low:.1f} to {high:.1f} deg over divisions of the pull), before"
    )
    assert "division" not in limit_sentence(own.limits)
    assert (
        over_divisions((54.0, None)) == " (54.0 deg or not at all over divisions of the pull)"
        and over_divisions(None) == ""
    )


def test_coils_and_stops_on_the_way():
    own, laws = climbs()
    kinks = sweep(own.vehicle, climb=own).kinks
    assert {"front coil loose", "front droop stop"} <= {kink.name for kink in kinks}
    for kink, (low, high) in zip(kinks, kink_ranges(own, kinks), strict=True):
        grades = [k.grade_deg for climb in (own, *laws) for k in climb.kinks() if k.name == kink.name]
        assert low == pytest.approx(min(grades), abs=1e-6)
        assert high is None if len(grades) < 5 else high == pytest.approx(max(grades), abs=1e-6)


@pytest.mark.parametrize(
    ("seed", "case", "count"), [(7, 18, 3), (7, 36, 1), (7, 45, 2), (7, 118, 2), (7, 144, 2), (8, 176, 2)]
)
def test_laws_behind_a_snap_are_followed_from_the_level(seed, case, count, monkeypatch):
    """A snap that lies behind the vehicle may yet be to come under a law (45, 118, 144), whose path may end at a fold before it
    (176); from afar the solve may fail (18, 36). Only such laws are followed: what others give is what their paths come to."""
    climb, asked, state_at = Climb(one_of(draw_vehicles(seed, 0), case)), [], Climb.state_at
    with monkeypatch.context() as patch:
        patch.setattr(Climb, "state_at", lambda self, grade_deg: asked.append(self) or state_at(self, grade_deg))
        loads = split_loads(climb, 45.0)[1:]
    assert len(asked) == count
    for split, load in zip(plausible_splits(climb.vehicle), loads, strict=True):
        followed = Climb(climb.vehicle, standing=climb.standing, split=split).row(45.0)
        if followed.front_load_n is None:
            assert case == 176 and followed.status == "beyond_fold" and np.isnan(load)
        else:
            assert load == pytest.approx(followed.front_load_n, abs=1e-8)
    rows = [climb.row(45.0), *(law.row(45.0) for law in climb.under_laws)]
    for name, ends in row_ranges(climb, 45.0).items():
        values = [getattr(row, name) for row in rows if row.state is not None]
        assert ends == pytest.approx((min(values), max(values)), abs=1e-7), name


class BreaksOff:
    """A law of division under which the equations are solved nowhere."""

    def row(self, grade_deg):
        raise SolverError(Status.DIVERGED, "invented")

    kinks = state_at = row

    @property
    def uphill_limits(self):
        return self.row(0.0)


def test_a_law_that_breaks_off_takes_no_answer_from_the_others(monkeypatch):
    """Its end is missing, the vehicle's own answers stand."""
    climb = Climb(one_of(draw_vehicles(7, 0), 45))
    kinks, own = climb.kinks(), climb.row(45.0).front_load_n
    monkeypatch.setattr("noseload.studies.climb.split._comes_the_same_way", lambda *_: False)
    monkeypatch.setattr(Climb, "under_law", lambda self, split: BreaksOff())
    loads = split_loads(climb, 45.0)
    assert loads[0] == own and np.isnan(loads[1:]).all() and len(loads) == 5
    assert row_ranges(climb, 45.0) == {} and limit_ranges(climb) == {}
    assert kink_ranges(climb, kinks) == [(kink.grade_deg, kink.grade_deg) for kink in kinks]
    monkeypatch.setattr(Climb, "row", BreaksOff.row)
    assert mismatches_in_motion(climb.vehicle, plausible_laws(climb.vehicle), 45.0) == (-3.0, 3.5, 10.0)
    monkeypatch.setattr(splits_range, "Climb", BreaksOff().row)
    assert [car.drive.front_overdrive for car in Moving(climb.vehicle).at(45.0)] == pytest.approx([0.97, 1.035, 1.1])


def test_one_driven_axle_knows_no_laws():
    alone = Climb(load_vehicle(REFERENCE, drive="rear"))
    assert alone.under_laws == () and row_ranges(alone, 20.0) == {} and limit_ranges(alone) == {}
    assert kink_ranges(alone, alone.kinks()) == [None] * len(alone.kinks())


@pytest.mark.slow
def test_texts_and_documents(tmp_path, capsys):
    file = str(tmp_path / "weak.toml")
    with open(file, "w") as out, open(REFERENCE) as lines:
        out.write(lines.read().replace("stall_torque_n_mm = 7400", "stall_torque_n_mm = 1300"))
    low, high = limit_ranges(Climb(load_vehicle(file)))["torque_grade_deg"]
    assert main(["creep", file, "--grade", "45"]) == 0
    out = capsys.readouterr().out
    assert "over divisions of the pull" in out and "N and" in out.split("traction, rear and front")[1].splitlines()[0]
    assert main(["creep", file, "--grade", "45", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    ranges = document["ranges_over_splits"]
    assert ranges["front_load_n"] == document["front_load_range_n"]
    assert all(ends[0] <= document[name] <= ends[1] for name, ends in ranges.items())
    for command in (["sweep", file, "--step", "20"], ["describe", file]):
        assert main(command) == 0
        assert f"({low:.1f} to {high:.1f} deg over divisions of the pull)" in capsys.readouterr().out
        assert main([*command, "--json"]) == 0
        document = json.loads(capsys.readouterr().out)
        assert document["limit_ranges"]["torque_grade_deg"] == [low, high]
    assert main(["compare", file, "--setups", "base,raised_rear_upper_mount"]) == 0
    assert f"{low:.1f} to {high:.1f}" in capsys.readouterr().out
    assert main(["creep", file, "--grade", "20", "--drive", "rear"]) == 0
    assert "division" not in capsys.readouterr().out


def test_rows_of_a_sweep_carry_both_ends(capsys):
    assert main(["sweep", str(REFERENCE), "--step", "20", "--json"]) == 0
    document, own = json.loads(capsys.readouterr().out), Climb(reference_vehicle())
    for row in document["rows"]:
        assert row["front_load_range_n"] == pytest.approx(row_ranges(own, row["grade_deg"])["front_load_n"], abs=1e-9)
    assert len(document["kink_ranges_deg"]) == len(document["kinks"])


def test_numbers_told_in_the_guide():
    """Typed by hand in the README and the page about the crawl, for the demo at 45 deg."""
    root, demo = Path(__file__).parents[2], Climb(demo_vehicle())
    pattern = r"carries (\d+) to (\d+) g in front at 45 deg where equal slip says (\d+), and its raised mount costs (\d+) to (\d+) g"
    told = [int(number) for number in re.search(pattern, (root / "README.md").read_text(encoding="utf-8")).groups()]
    change = difference_range(demo, Climb(demo_vehicle(setup="raised_rear_upper_mount")), 45.0)
    found = [*row_ranges(demo, 45.0)["front_load_n"], demo.row(45.0).front_load_n, *(-end for end in change[::-1])]
    assert told == [round(grams_of_force(value)) for value in found]
    page = (root / "notebooks" / "crawl.md").read_text(encoding="utf-8")
    low, high = row_ranges(demo, 45.0)["rear_traction_n"]
    assert f"rear axle pulls {low:.1f} to {high:.1f} N" in page
    rear = Climb(load_vehicle(DEMO, drive="rear")).row(45.0).front_load_n
    # A front that turns four times as fast as the rear pulls with all its grip.
    (gripping,) = split_loads(demo, 45.0, (Split(3.0, (1.0, 1.0)),))[1:]
    assert (
        f"on a plate on dowels: {grams_of_force(rear):.0f} g at 45 deg) to its grip ({grams_of_force(gripping):.0f} g)"
        in page
    )


def test_verdicts_of_differences_carry_both_ends():
    """In `compare --all`, on the page and with the picture to post alike: one sentence, made once."""
    result = compare([reference_vehicle(), reference_vehicle(setup="raised_rear_upper_mount")], grade_deg=45.0)
    (difference,) = result.differences
    assert difference.over_splits_n == difference_range(result.members[0].climb, result.members[1].climb, 45.0)
    low, high = (grams_of_force(end) for end in difference.over_splits_n)
    said = f"Over plausible divisions of the pull between the axles that is {low:+.1f} to {high:+.1f} g."
    assert said in difference.load_verdict and difference.to_dict()["over_splits_n"] == difference.over_splits_n
    alone = compare([load_vehicle(REFERENCE, drive="rear", setup=name) for name in (None, "raised_and_reset")])
    assert alone.differences[0].over_splits_n is None and "divisions" not in alone.differences[0].load_verdict
