"""A raised mount on random vehicles under every plausible division of the pull: against climbs followed one by one."""

import json

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.demo import DEMO, demo_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import difference_range, plausible_splits
from noseload.studies.levers.place import place_among
from noseload.studies.levers.survey import raise_mount, survey
from noseload.studies.levers.survey_splits import over_splits
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import Moving

FOLLOWED = 12
"""Vehicles that are followed one by one under each law."""


@pytest.fixture(scope="module")
def drawn():
    return survey(vehicles=40)


@pytest.mark.slow
def test_loads_of_every_law_are_those_of_the_law_s_own_climb(drawn):
    """From the pose under equal slip or from the level: the same, but behind a snap, where the nearest pose is taken."""
    laws = plausible_splits(drawn.vehicle(0))
    assert drawn.front_load_by_law_n.shape == (len(laws), 2, 40) and len(laws) == 4
    checked = 0
    for case in range(FOLLOWED):
        for raised in (False, True):
            climb = Climb(drawn.vehicle(case, raised=raised))
            if any(snap.before.parameter <= np.radians(45.0) for snap in climb.followed().snaps):
                continue
            for split, loads in zip(laws, drawn.front_load_by_law_n, strict=True):
                law = climb.under_law(split)
                load = None if law is None else law.row(45.0).front_load_n
                if load is not None and np.isfinite(loads[int(raised), case]):
                    assert loads[int(raised), case] == pytest.approx(load, abs=1e-6), (case, raised, split)
                    checked += 1
    assert checked > 60


def test_ends_of_what_is_told(drawn):
    found, changes = over_splits(drawn), drawn.front_load_changes_n
    medians = [np.nanmedian(row) for row in changes]
    assert found["median"] == pytest.approx([min(medians), max(medians)], abs=1e-12)
    lower = [np.mean(row[np.isfinite(row)] < 0.0) for row in changes]
    assert found["share_lower"] == pytest.approx([min(lower), max(lower)], abs=1e-12)
    whole = changes[:, np.isfinite(changes).all(axis=0)]
    signs = np.mean([(row < 0.0).any() and (row > 0.0).any() for row in whole.T])
    assert found["share_of_open_sign"] == pytest.approx(signs, abs=1e-12)
    rows = list(drawn.rows())
    assert all(row["front_load_change_low_n"] <= row["front_load_change_n"] for row in rows if row["status"] == "ok")
    json.dumps(drawn.to_dict(), allow_nan=False)


def test_one_s_own_vehicle_carries_both_ends(drawn):
    car = demo_vehicle()
    place = place_among(drawn, car)
    assert place.front_load_change_range_n == difference_range(Climb(car), Climb(raise_mount(car, 10.0)), 45.0)
    assert "over divisions of the pull between its axles" in " ".join(place.sentences(45.0, 10.0))


@pytest.mark.slow
def test_text_and_document(capsys):
    assert main(["survey", DEMO, "--vehicles", "20"]) == 0
    out = capsys.readouterr().out
    assert out.count("over divisions of the pull") == 1 and "the sign depends on it for" in out
    assert main(["survey", DEMO, "--vehicles", "20", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert set(document["front_load_change_over_splits_n"]) >= {"median", "share_noticed", "share_of_open_sign"}
    assert len(document["own"]["front_load_change_range_n"]) == 2
    assert main(["survey", DEMO, "--vehicles", "20", "--drive", "rear"]) == 0
    assert "divi" not in capsys.readouterr().out


PUNCHED = 20
BATCH = 1e-3
"""Of the error that the batch's steps leave against punches one by one, N and s."""


@pytest.mark.slow
def test_punches_of_every_law(capsys):
    """Against punches one by one under each law, and the medians of the changes under each."""
    found = survey(vehicles=PUNCHED, punch_grade_deg=20.0)
    laws = found.punches_by_law
    assert laws.shape == (3, 2, 2, PUNCHED)
    for case, raised in ((0, False), (0, True), (3, True)):
        cars = Moving(found.vehicle(case, raised=raised)).at(20.0)
        for law, car in zip(laws, cars, strict=True):
            one = punch(car, grade_deg=20.0, outcome=False)
            told = [one.summary["front_load_min_n"], one.summary["front_airborne_s"]] if one.success else [np.nan] * 2
            assert law[int(raised), :, case] == pytest.approx(told, abs=BATCH, nan_ok=True)
    document = found.to_dict()["punch"]["over_splits"]
    own = np.stack([found.punch_front_load_min_n, found.punch_front_airborne_s], axis=1)
    for k, key in enumerate(("front_load_min_change_n", "front_airborne_change_s")):
        medians = [np.nanmedian(law[1, k] - law[0, k]) for law in (own, *laws)]
        assert document[key]["median"] == pytest.approx([min(medians), max(medians)], abs=1e-12)
    lifting = [np.mean(law[0, 1][np.isfinite(law[:, 1]).all(axis=0)] > 0.0) for law in (own, *laws)]
    assert document["share_lifting_as_drawn"] == pytest.approx([min(lifting), max(lifting)], abs=1e-12)
    assert main(["survey", "--vehicles", str(PUNCHED), "--punch", "20"]) == 0
    assert capsys.readouterr().out.count("half of the minimum loads change beyond") == 1
    alone = survey(vehicles=PUNCHED, punch_grade_deg=20.0, drive="rear")
    assert alone.to_dict()["punch"]["over_splits"] is None and len(alone.punches_by_law) == 0
