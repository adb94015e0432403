"""What changes and numbers buy under every plausible division of the traction: against files that hold the law, solved anew."""

import json
from dataclasses import replace
from functools import cache
from itertools import islice

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.commands.levers.rank_text import rank_text
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import changes_of
from noseload.model.file.reader import change_vehicle, load_vehicle, parse_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import PLAUSIBLE_PERCENT, difference_range, with_overdrive
from noseload.studies.levers import rank as study
from noseload.studies.levers.rank import UNIT_LEVERS, rank
from noseload.studies.levers.rank_punch import AHEAD, BELOW, PUNCH_OUTCOMES
from noseload.studies.levers.results import Rank, WholeChange
from noseload.studies.punch.limits import punch_limits
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import Moving, mismatches_in_motion
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle

GRADE = 45.0
NAMES = ("front_load_n", "nose_up_pitch_deg")
STEEPER = 0.05
"""Of an effect on the limit, whose slope bends: the searches differ by up to 0.1 deg in the limit below which it is taken."""
PUNCH_N = 0.03
"""Two batched runs at a tolerance of 1e-4, each within 1e-3 of the largest front load of 15 N."""
CHORD = 0.02
"""A practical unit is small: what it buys agrees with its slope to 2 % of the largest end."""
LAWS = [{"drive.front_overdrive": 1.0 + 0.01 * p, "tyre.rolling_radius_share": chi} for p in PLAUSIBLE_PERCENT for chi in (0.0, 1.0)]  # fmt: skip


@pytest.fixture(scope="module", autouse=True)
def few_ready_made():
    """Four of the ready-made changes: each law is solved anew for every one."""
    with pytest.MonkeyPatch.context() as patch:
        all_of_them = study.ready_vehicles
        patch.setattr(study, "ready_vehicles", lambda vehicle: islice(all_of_them(vehicle), 8, 24, 4))
        yield


@pytest.fixture(scope="module")
def ranked():
    return rank(reference_vehicle(), grade_deg=GRADE, nose_down=False)


def outcomes(vehicle):
    climb = Climb(vehicle)
    row = climb.row(GRADE)
    return {name: getattr(row, name) for name in NAMES} | {"tip": climb.tip_over()}


def ends(values):
    return pytest.approx([min(values), max(values)], abs=1e-9)


def test_whole_changes_span_files_that_hold_the_law(ranked):
    """Every law written into the file, for the vehicle as it is and as changed; the tip-over is the same under each."""
    base = [outcomes(change_vehicle(reference_vehicle(), law)) for law in ({}, *LAWS)]
    assert {round(float(found["tip"]), 9) for found in base} == {round(float(base[0]["tip"]), 9)}
    wholes = (*ranked.changes, *ranked.ready_made)
    assert len(wholes) == 7
    for item in wholes:
        under = [outcomes(change_vehicle(load_vehicle(REFERENCE, setup=item.name), law)) for law in ({}, *LAWS)]
        for name in NAMES:
            changes = [b[name] - a[name] for a, b in zip(base, under, strict=True)]
            assert item.ranges_over_splits[name] == ends(changes), (item.name, name)
            assert item.effects[name] == pytest.approx(changes[0], abs=1e-9)


def test_numbers_do_under_each_law_what_they_promise(ranked):
    """One unit more and less, really made, in files that hold the law."""
    for name, key, high, low in (
        ("rear.upper_link.axle_end_mm[z]", "rear.upper_link.axle_end_mm", 1.0, -1.0),
        ("front.axle_mass_g", "front.axle_mass_g", 10.0, -10.0),
        ("tyre.grip_coefficient", "tyre.grip_coefficient", None, None),
    ):
        lever = next(item for item in ranked.levers if item.name == name)
        car, chords = reference_vehicle(), {each: [] for each in NAMES}
        own = car.document
        for part in key.split("."):
            own = own[part]
        if isinstance(own, list):
            values = [[*own[:-1], own[-1] + by] for by in (high, low)]
        else:
            values = [own + by for by in ((high, low) if high else (0.05 * own, -0.05 * own))]
        for law in ({}, *LAWS):
            more, less = (outcomes(change_vehicle(car, law | {key: value})) for value in values)
            for each in NAMES:
                chords[each].append(0.5 * (more[each] - less[each]))
        for each in NAMES:
            size = max(abs(value) for value in chords[each])
            assert lever.ranges_over_splits[each] == pytest.approx(
                [min(chords[each]), max(chords[each])], abs=CHORD * size
            ), (name, each)


def test_grip_is_felt_only_where_the_axles_do_not_roll_alike(ranked):
    """No effect under equal slip, one under a mismatch: it is a lever. One driven axle has nothing to divide, and grip no effect."""
    grip = next(item for item in ranked.levers if item.name == "tyre.grip_coefficient")
    low, high = grip.ranges_over_splits["front_load_n"]
    assert grip.effects["front_load_n"] == 0.0 and low < -1e-3 and high > 1e-3
    alone = rank(load_vehicle(REFERENCE, drive="rear"), nose_down=False)
    assert "tyre.grip_coefficient" in alone.without_effect
    assert not any(item.ranges_over_splits for item in (*alone.levers, *alone.changes, *alone.ready_made))


def test_a_measured_chi_is_kept_by_every_law():
    """Two laws are left, and what a number buys is again that of files that hold them."""
    car = change_vehicle(reference_vehicle(), {"tyre.rolling_radius_share": 0.5, "tyre.slip_stiffness": 12.0})
    lever = next(
        item for item in rank(car, grade_deg=GRADE, nose_down=False).levers if item.name == "front.axle_mass_g"
    )
    chords = []
    for percent in (0.0, *PLAUSIBLE_PERCENT):
        law = {"drive.front_overdrive": 1.0 + 0.01 * percent}
        more, less = (outcomes(change_vehicle(car, law | {"front.axle_mass_g": mass})) for mass in (600.0, 580.0))
        chords.append(0.5 * (more["front_load_n"] - less["front_load_n"]))
    expected = [min(chords), max(chords)]
    assert lever.ranges_over_splits["front_load_n"] == pytest.approx(expected, abs=CHORD * max(chords))


def test_a_setup_that_drives_one_axle_is_held_against_every_law():
    """It has one load, the base one under each law: the difference has both ends all the same."""
    both, rear = Climb(reference_vehicle()), Climb(load_vehicle(REFERENCE, drive="rear"))
    loads = [outcomes(change_vehicle(reference_vehicle(), law))["front_load_n"] for law in ({}, *LAWS)]
    alone = rear.row(GRADE).front_load_n
    assert list(difference_range(both, rear, GRADE)) == ends([alone - load for load in loads])
    assert list(difference_range(rear, both, GRADE)) == ends([load - alone for load in loads])
    chi = Climb(change_vehicle(reference_vehicle(), {"tyre.rolling_radius_share": 0.5}))
    held = [outcomes(change_vehicle(reference_vehicle(), {"drive.front_overdrive": 1.0 + 0.01 * p, "tyre.rolling_radius_share": 0.5}))["front_load_n"] for p in PLAUSIBLE_PERCENT]  # fmt: skip
    pairs = [chi.row(GRADE).front_load_n - loads[0], *(held[k // 2] - load for k, load in enumerate(loads[1:]))]
    assert list(difference_range(both, chi, GRADE)) == ends(pairs)


def test_who_ranks_first_under_some_law():
    """By law, not by ends that overlap: the second leads under one of three, the third under none."""
    items = [
        WholeChange(name, "ready_made", name, {}, {"front_load_n": own}, {}, by_law={"front_load_n": [own, *laws]})
        for name, own, laws in (("a", 3.0, (1.0, 4.0)), ("b", 2.0, (2.0, 3.0)), ("c", 1.5, (1.4, np.nan)))
    ]
    result = Rank("base", 45.0, "fitted", "front_load_n", {}, (), (), (), ready_made=tuple(items))
    assert result.first_over_splits == ["a", "b"]
    assert items[2].ranges_over_splits == {"front_load_n": [1.4, 1.5]}


@pytest.mark.slow
def test_text_and_document_carry_both_ends(capsys):
    assert main(["rank", str(REFERENCE), "--grade", "45", "--all", "--top", "4"]) == 0
    out = capsys.readouterr().out
    assert out.count("by division g") == 4 and "over front wheels -3 to +10 % faster" in out
    (line,) = [line for line in out.splitlines() if line.startswith("setup raised_rear_upper_mount")]
    assert "-9.4 to -4.2" in line
    assert main(["rank", str(REFERENCE), "--grade", "45", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    for kind in ("levers", "changes", "ready_made"):
        assert all(set(item["ranges_over_splits"]) == set(NAMES) for item in document[kind])
        assert all(
            low <= item["effects"][name] <= high
            for item in document[kind]
            for name, (low, high) in item["ranges_over_splits"].items()
        )
    assert document["first_over_splits"] == [document["ready_made"][0]["name"]]
    assert main(["rank", str(REFERENCE), "--drive", "rear", "--grade", "20"]) == 0
    assert "division" not in capsys.readouterr().out


def test_a_rigid_vehicle_has_nothing_open():
    flat = {"wheelbase_mm": 300, "tyre": {"loaded_radius_mm": 55}, "weighed": {"rear_g": 1300, "front_g": 1500, "centre_of_gravity_height_mm": 80}}  # fmt: skip
    result = rank(parse_vehicle(flat))
    assert result.changes == () and not any(item.ranges_over_splits for item in (*result.levers, *result.ready_made))


def with_a_longer_wheelbase():
    """The reference vehicle with one change and no setups."""
    return parse_vehicle(reference_vehicle().document | {"setups": {}, "changes": {"longer": {"wheelbase_by_mm": 10}}})


@cache
def ranked_with_one_driven_axle():
    """That vehicle with its rear axle driven alone, and what ranks for its punch."""
    car = with_a_longer_wheelbase()
    alone = replace(car, drive=replace(car.drive, driven_axles="rear"))
    return alone, rank(alone, punch=True, nose_down=False)


@pytest.mark.slow
def test_a_punch_ranked_under_every_law():
    """Loads as of single punches of files that start as the law divides the crawl; limits as their own search finds them."""
    car = with_a_longer_wheelbase()
    result = rank(car, punch=True, nose_down=False, divided_numbers=False)
    assert not any(set(lever.ranges_over_splits) & set(PUNCH_OUTCOMES) for lever in result.levers)
    (item,) = result.changes
    longer = apply_change(car, changes_of(car)[0])
    near = result.outcomes["punch_limit_grade_deg"]
    cars = []
    for each in (car, longer):
        percents = mismatches_in_motion(each, plausible_laws(each), near)
        cars += [each, *(with_overdrive(each, 1.0 + 0.01 * percent) for percent in percents)]
    runs = [punch(one, grade_deg=result.punch_grade_deg, outcome=False, duration_s=0.6) for one in cars]
    loads = np.reshape([run.summary["front_load_min_n"] for run in runs], (2, -1))
    limits = np.reshape([one.front_down_to_deg for one in punch_limits(cars, from_deg=0.0)], (2, -1))
    changes, later = np.diff(loads, axis=0)[0], np.diff(limits, axis=0)[0]
    ranges = item.ranges_over_splits
    assert ranges["punch_front_load_min_n"] == pytest.approx([changes.min(), changes.max()], abs=PUNCH_N)
    assert ranges["punch_limit_grade_deg"] == pytest.approx([later.min(), later.max()], abs=0.15)
    assert result.punch_ranges["punch_limit_grade_deg"] == pytest.approx([min(limits[0]), max(limits[0])], abs=0.1)
    assert result.to_dict()["punch_ranges"] == result.punch_ranges
    text = rank_text(car, result, 3, everything=False)
    assert "by division deg" in text and "over divisions of the pull); at" in text
    alone, single = ranked_with_one_driven_axle()
    assert single.punch_ranges == {} and "division" not in rank_text(alone, single, 3, everything=False)


@pytest.mark.slow
def test_levers_of_a_punch_under_every_law():
    """Central differences of single punches, near the limit that the law itself has."""
    car = parse_vehicle(reference_vehicle().document | {"setups": {}, "changes": {}})
    result = rank(car, punch=True, nose_down=False)
    name, step = "mass at the front wheels", 10.0
    item = next(lever for lever in result.levers if lever.name == name)
    limit = result.outcomes["punch_limit_grade_deg"]

    def least(one, grade_deg):
        return punch(one, grade_deg=grade_deg, outcome=False, duration_s=0.6).summary["front_load_min_n"]

    pair = [apply_change(car, UNIT_LEVERS[name][0], sign * step) for sign in (1.0, -1.0)]
    fleets = [Moving(one).at(limit) for one in (car, *pair)]
    loads, later = [item.effects["punch_front_load_min_n"]], [item.effects["punch_limit_grade_deg"]]
    limits = punch_limits(fleets[0], from_deg=0.0)
    for own, more, fewer, under in zip(*fleets, limits, strict=True):
        near = under.front_down_to_deg - BELOW
        slope = least(own, near + AHEAD) - least(own, near - AHEAD)
        later.append((least(more, near) - least(fewer, near)) * -AHEAD / slope)
        above, below, middle = (least(one, result.punch_grade_deg) for one in (more, fewer, own))
        loads.append(above - middle if below <= 0.0 < above else 0.5 * (above - below))
    ranges = item.ranges_over_splits
    assert ranges["punch_front_load_min_n"] == pytest.approx([min(loads), max(loads)], abs=PUNCH_N)
    assert ranges["punch_limit_grade_deg"] == pytest.approx([min(later), max(later)], rel=STEEPER)
    assert "their ends over divisions" in rank_text(car, result, 3, everything=True)
    _, bare = ranked_with_one_driven_axle()
    assert bare.levers and not any(set(lever.ranges_over_splits) & set(PUNCH_OUTCOMES) for lever in bare.levers)
