"""The map of two setups under every plausible division of the pull: cells as single punches of files that hold the law."""

import json
from dataclasses import replace

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.file.reader import change_vehicle, load_vehicle
from noseload.model.units import GRAM, STANDARD_GRAVITY
from noseload.studies.punch import map as study
from noseload.studies.punch.map import punch_map
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import mismatches_in_motion
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle

GRADES, RISES = (10.0, 20.0), (0.05, 0.2)
SHORT = {"duration_s": 0.4, "start_s": 0.02}
BATCH_N = 0.015
"""Two batched runs, each within a thousandth of the largest front load of 15 N at worst."""
SETUP = "raised_rear_upper_mount"


@pytest.fixture(scope="module")
def divided():
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(study, "SETTLE_S", 0.15)
        pair = reference_vehicle(), reference_vehicle(setup=SETUP)
        return punch_map(pair, grades_deg=GRADES, rises_s=RISES, over_splits=True, **SHORT)


@pytest.mark.slow
def test_every_cell_has_both_ends(divided):
    """Each law for both setups, as a file would have it that starts on this grade as the law divides its crawl."""
    for i, grade in enumerate(GRADES):
        for j, rise in enumerate(RISES):
            loads = []
            for setup in (None, SETUP):
                car = load_vehicle(REFERENCE, setup=setup)
                percents = mismatches_in_motion(car, plausible_laws(car), grade)
                cars = [car, *(change_vehicle(car, {"drive.front_overdrive": 1.0 + 0.01 * p}) for p in percents)]
                runs = [punch(each, grade_deg=grade, rise_s=rise, duration_s=0.4, start_s=0.02) for each in cars]
                loads.append([run.summary["front_load_min_n"] for run in runs])
            changes = np.diff(loads, axis=0)[0]
            for each, change in zip((divided, *divided.by_law), changes, strict=True):
                assert each.load_difference_n[i, j] == pytest.approx(change, abs=BATCH_N)
            low, high = divided.ends("load_difference_n")[:, i, j]
            assert (low, high) == pytest.approx((changes.min(), changes.max()), abs=BATCH_N)


@pytest.mark.slow
def test_the_map_itself_is_the_same_with_and_without_laws(divided, monkeypatch):
    monkeypatch.setattr(study, "SETTLE_S", 0.15)
    pair = reference_vehicle(), reference_vehicle(setup=SETUP)
    alone = punch_map(pair, grades_deg=GRADES, rises_s=RISES, **SHORT)
    assert alone.by_law == () and alone.to_dict()["range_over_splits"] is None
    assert alone.load_difference_n == pytest.approx(divided.load_difference_n, abs=1e-9)
    assert (alone.ends("load_difference_n") == alone.load_difference_n).all() and not alone.sign_open.any()


def test_one_driven_axle_knows_no_laws(monkeypatch):
    """No batch is asked for more than the two setups, unless one of them is geared: the other is then the same under each law."""
    seen = []

    def piece(cars, grades, rises, shared):
        seen.append(cars)
        shape = (len(cars), len(grades), len(rises))
        return np.full(shape, "ok", object), np.full(shape, "stays_loaded", object), *(np.ones(shape) for _ in range(3))

    monkeypatch.setattr(study, "run_piece", piece)
    rear, both = load_vehicle(REFERENCE, drive="rear"), reference_vehicle()
    assert punch_map((rear, rear), grades_deg=[10.0], rises_s=[0.1], over_splits=True).by_law == ()
    assert len(punch_map((both, rear), grades_deg=[10.0], rises_s=[0.1], over_splits=True).by_law) == 3
    assert len(seen[0]) == 2 and len(seen[1]) == 8 and [car is rear for car in seen[1]] == [False, True] * 4


def test_signs_and_shares_over_laws(divided):
    """Of invented laws: a gram either way opens the sign, a third of one does not; a law under which nothing starts has no part."""
    gram = GRAM * STANDARD_GRAVITY
    base = replace(divided, by_law=())

    def with_changes(*grams):
        loads = np.zeros((2, 2, 2))
        loads[1] = gram * np.reshape(grams, (2, 2))
        return replace(base, front_load_min_n=loads)

    own = with_changes(50.0, 1.0, 0.3, np.nan)
    laws = with_changes(20.0, -1.0, -0.3, 1.0), with_changes(np.nan, 2.0, 0.2, -1.0)
    told = replace(own, by_law=laws)
    assert told.sign_open.tolist() == [[False, True], [False, False]]
    assert told.ends("load_difference_n")[:, 0, 0] == pytest.approx([20.0 * gram, 50.0 * gram])
    assert own.noticed_share == pytest.approx(1.0 / 3.0) and told.ends("noticed_share").tolist() == [0.0, 1.0 / 3.0]


@pytest.mark.slow
def test_text_and_document_carry_both_ends(divided, monkeypatch, capsys):
    monkeypatch.setattr("noseload.commands.punch.map.punch_map", lambda *_, over_splits, **__: replace(divided, by_law=divided.by_law * over_splits))  # fmt: skip
    assert main(["map", str(REFERENCE)]) == 0
    out = capsys.readouterr().out
    assert "over -3 to +10 % faster front wheels the change is noticed in" in out
    assert out.count("?") == int(divided.sign_open.sum()) + bool(divided.sign_open.any())
    assert main(["map", str(REFERENCE), "--json"]) == 0
    body = json.loads(capsys.readouterr().out)["range_over_splits"]
    low, high = np.array(body["front_load_min_difference_n"])
    assert (low <= divided.load_difference_n).all() and (divided.load_difference_n <= high).all() and (low < high).any()
    assert np.shape(body["steady_load_n"]) == (2, 2, 2) and len(body["flips"]) == 3
    row = divided.rows()[1]
    assert (row["front_load_min_difference_low_n"], row["front_load_min_difference_high_n"]) == (low[0, 1], high[0, 1])
