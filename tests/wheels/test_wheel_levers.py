"""`rank --by first-lift`: practical units by steps from the known lift, against whole paths."""

import pytest

from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.model.file.reader import change_vehicle, parse_vehicle
from noseload.studies.wheels.climbs import wheel_climb
from noseload.studies.wheels.levers import rank_wheels
from noseload.studies.wheels.plausible import ALIKE, plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle

NEARBY_DEG = 1e-6
"""Steps from a known lift end where the path of the changed vehicle lifts."""


@pytest.fixture(scope="module")
def ranked():
    return rank_wheels(reference_vehicle())


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("rear.axle_ratio", {"rear.axle_ratio": 2.9 * 1.05}),
        ("rear.shock.spring_rate_n_per_mm", {"rear.shock.spring_rate_n_per_mm": 0.4 * 1.05}),
        ("body.centre_of_gravity_mm[y]", {"body.centre_of_gravity_mm": [178, 1, 84]}),
        ("track_width_mm", {"track_width_mm": 197}),
        ("rear.shock.axle_end_mm[y]", {"rear.shock.axle_end_mm": [22, 53, 64]}),
    ],
)
def test_a_unit_more_is_the_vehicle_with_that_number(ranked, name, changes):
    changed = wheel_climb(change_vehicle(reference_vehicle(), changes)).limits.first_wheel_lift_grade_deg
    row = next((row for row in ranked.rows if row["name"] == name), None)
    expected = changed - ranked.first_wheel_lift_grade_deg
    under = [expected]
    for law in plausible_laws(reference_vehicle()):
        pair = (wheel_climb(change_vehicle(reference_vehicle(), lines), **law.options) for lines in ({}, changes))
        before, after = (climb.limits.first_wheel_lift_grade_deg for climb in pair)
        under.append(after - before)
    if row is None:
        assert name in ranked.idle and max(map(abs, under)) < 0.005
    else:
        assert row["change_deg"] == pytest.approx(expected, abs=NEARBY_DEG)
        assert row["change_range_deg"] == pytest.approx([min(under), max(under)], abs=NEARBY_DEG)


def test_springs_ratio_and_weight_to_one_side_move_it_as_the_independent_program_says(ranked):
    """Stiffer rear springs, shocks further out and more shaft turns lift later; weight to the left lifts the right earlier."""
    by = {row["name"]: row["change_deg"] for row in ranked.rows}
    assert by["rear.shock.spring_rate_n_per_mm"] > 0.0 and by["rear.axle_ratio"] > 0.0
    assert by["rear.shock.axle_end_mm[y]"] > 0.0 and by["rear.shock.chassis_end_mm[y]"] > 0.0
    assert by["body.centre_of_gravity_mm[y]"] < 0.0
    assert {"raised_rear_upper_mount", "lowered_chassis_mount"} <= set(by)


def test_what_cannot_be_ranked_says_why(capsys):
    with pytest.raises(ModelError, match="no single wheel lifts before its axle does"):
        document = dict(reference_vehicle().document)
        document = {name: value for name, value in document.items() if name != "setups"}
        for axle in ("rear", "front"):
            document[axle] = {k: v for k, v in document[axle].items() if k != "axle_ratio"} | {"shaft": "none"}
        rank_wheels(parse_vehicle(document))
    assert main(["rank", "--by", "first-lift", "--punch"]) == 2
    assert "leave --punch and --parts out" in capsys.readouterr().err


def test_setups_carry_both_ends_and_one_driven_axle_none(ranked, capsys):
    """Each law for the vehicle with and without; a raised mount has no robust sign."""
    row = next(row for row in ranked.rows if row["name"] == "raised_rear_upper_mount")
    changes = []
    for law in (ALIKE, *plausible_laws(reference_vehicle())):
        cars = reference_vehicle(), reference_vehicle(setup="raised_rear_upper_mount")
        before, after = (wheel_climb(car, **law.options).limits.first_wheel_lift_grade_deg for car in cars)
        changes.append(after - before)
    assert row["change_range_deg"] == pytest.approx([min(changes), max(changes)], abs=NEARBY_DEG)
    assert min(changes) < -0.05 and max(changes) > 0.05
    assert main(["rank", str(REFERENCE), "--by", "first-lift", "--drive", "rear", "--top", "3"]) == 0
    assert "division" not in capsys.readouterr().out


def test_text(capsys):
    assert main(["rank", str(REFERENCE), "--by", "first-lift", "--top", "3"]) == 0
    out = capsys.readouterr().out
    assert "the front right wheel lifts at 51.26 deg" in out and "rear.lower_link.chassis_end_mm[z]" in out
    assert "over divisions of the pull" in out
