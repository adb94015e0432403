"""Ready-made changes and relative setups: what they make of a vehicle, by hand, and how their faults are told."""

import re

import pytest

from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.errors import ModelError, VehicleFileError
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import changes_of, ready_made_changes
from noseload.model.file.reader import change_vehicle, parse_vehicle
from noseload.model.file.ready_made import READY_MADE
from noseload.model.file.template import vehicle_template
from noseload.model.names import shown_name
from noseload.model.parameters import rigid_centre_of_gravity
from noseload.studies.climb.rigid import RigidClimb

EXACT = 1e-12


@pytest.fixture(scope="module")
def demo():
    return load_vehicle(DEMO)


def level_a():
    return load_vehicle("a.toml", text=vehicle_template("A"))


def test_a_battery_moved_down_lowers_the_whole_by_its_share_of_the_mass(demo):
    """150 g of 2,750 g by 20 mm: 1.0909 mm, by the lever rule."""
    changed = load_vehicle(DEMO, setup="battery_20_mm_down")
    moved = rigid_centre_of_gravity(demo)[1] - rigid_centre_of_gravity(changed)[1]
    assert moved == pytest.approx(0.02 * 150 / 2750, rel=1e-9)
    assert changed.mass == pytest.approx(demo.mass, rel=EXACT) and changed.setup == "battery_20_mm_down"


def test_springs_and_tyres_change_by_their_share(demo):
    softer, tyres = (load_vehicle(DEMO, setup=name) for name in ("rear_springs_softer", "tyres_stiffer"))
    assert softer.rear.shock.spring_rate == pytest.approx(0.85 * demo.rear.shock.spring_rate, rel=EXACT)
    assert softer.front == demo.front and softer.ride_height == "reset"
    for end in ("rear", "front"):
        stiff, was = (getattr(v, end).tyre.vertical_stiffness for v in (tyres, demo))
        assert stiff == pytest.approx(1.2 * was, rel=EXACT)


def test_a_hole_up_is_a_setup_with_that_line(demo):
    made = load_vehicle(DEMO, setup="rear_upper_link_axle_end_up")
    x, y, z = demo.document["rear"]["upper_link"]["axle_end_mm"]
    written = change_vehicle(demo, {"rear.upper_link.axle_end_mm": [x, y, z + 5]})
    assert made.rear.upper_link.axle_end == pytest.approx(written.rear.upper_link.axle_end, rel=EXACT)


def test_only_what_the_vehicle_allows_is_offered(demo):
    """Eight millimetres of droop are taken where there are eight, and a level A file changes masses and sizes alone."""
    assert {change.name for change in ready_made_changes(demo)} == set(READY_MADE)
    short = change_vehicle(demo, {"front.shock.droop_travel_mm": 6})
    assert set(READY_MADE) - {change.name for change in ready_made_changes(short)} == {"front_strap_8_mm"}
    with pytest.raises(ModelError, match="front_strap_8_mm cannot be made: there is no such part, or no room"):
        parse_vehicle(short.document, setup="front_strap_8_mm")
    rigid = {change.name for change in ready_made_changes(level_a())}
    assert rigid == {name for name, item in READY_MADE.items() if not item.links} and len(rigid) == 7
    with pytest.raises(ModelError, match=r"tyres_softer cannot be made: .*level A"):
        parse_vehicle(level_a().document, setup="tyres_softer")


def test_a_rigid_vehicle_lowered_tips_by_the_closed_form():
    """Body of 1,640 g in 2,580 g lower by 5 mm; tip-over = atan(b / h)."""
    vehicle = level_a()
    lower = load_vehicle("a.toml", text=vehicle_template("A"), setup="5_mm_lower")
    b, h = rigid_centre_of_gravity(vehicle)
    expected = h - 0.005 * vehicle.body.mass / vehicle.mass
    assert rigid_centre_of_gravity(lower) == pytest.approx((b, expected), rel=EXACT)
    assert RigidClimb(lower).limits.tip_over_grade_deg > RigidClimb(vehicle).limits.tip_over_grade_deg


def test_changes_of_the_file_are_known_by_name_too(demo):
    """A [changes] table may name ready-made ones, several together, and every command takes it as a setup."""
    changes = {
        "both": {"ready_made": ["battery_20_mm_down", "5_mm_lower"]},
        "lead": {"add_g": 60, "at": "front_wheels"},
    }
    vehicle = parse_vehicle(demo.document | {"changes": changes}, setup="both")
    assert vehicle.ride_height_shift == pytest.approx((-0.005, -0.005)) and vehicle.setup == "both"
    assert vehicle.body == load_vehicle(DEMO, setup="battery_20_mm_down").body
    lead = parse_vehicle(demo.document | {"changes": changes}, setup="lead")
    assert lead.mass - demo.mass == pytest.approx(0.06)
    assert "battery (150 g) 20 mm down" in changes_of(vehicle)[0].describe()


def test_a_collar_of_the_setup_stays_under_ready_made_changes(demo):
    changes = {"turn": {"rear_collar_by_mm": 2}, "two": {"ready_made": ["battery_20_mm_down", "tyres_softer"]}}
    base = parse_vehicle(demo.document | {"changes": changes})
    turn, two = changes_of(base)
    assert apply_change(base, turn).rear.shock.collar_shift == pytest.approx(0.002)
    assert apply_change(base, two).rear.tyre.vertical_stiffness < base.rear.tyre.vertical_stiffness


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (
            {"ready_made": "battery_20_mm_dwn"},
            "no ready-made change 'battery_20_mm_dwn'; the nearest is battery_20_mm_down",
        ),
        ({"ready_made": 3}, "must be a name such as"),
        ({"ready_made": "5_mm_lower", "add_g": 3}, "add_g does not go with ready_made"),
        ({"rear_spring_by_percent": -95}, "= -95 must be -90 or more"),
    ],
)
def test_faults_of_ready_made_changes(demo, content, told):
    with pytest.raises(VehicleFileError, match=told):
        parse_vehicle(demo.document | {"changes": {"a": content}})


def test_an_unknown_setup_is_answered_with_the_nearest_ready_made_one():
    with pytest.raises(ModelError, match='did you mean "battery_20_mm_down"'):
        load_vehicle(DEMO, setup="battery_down_20_mm")


def test_relative_lines_start_from_the_file(demo):
    """Up by 12 on [8, 19, 87] is [8, 19, 99]; ten per cent off 0.4 N/mm is 0.36."""
    lines = {
        "rear.upper_link.axle_end_mm": {"up": 12, "back": 1},
        "rear.shock.spring_rate_n_per_mm": {"percent": -10},
        "front.axle_mass_g": {"more": 20},
    }
    vehicle = parse_vehicle(demo.document | {"setups": {"higher": lines}}, setup="higher")
    x, y, z = demo.document["rear"]["upper_link"]["axle_end_mm"]
    assert vehicle.document["rear"]["upper_link"]["axle_end_mm"] == [x - 1, y, z + 12]
    rate, was = (v.document["rear"]["shock"]["spring_rate_n_per_mm"] for v in (vehicle, demo))
    assert rate == pytest.approx(0.9 * was, rel=EXACT)
    assert vehicle.front.mass - demo.front.mass == pytest.approx(0.02)


@pytest.mark.parametrize(
    ("key", "line", "told"),
    [
        ("rear.upper_link.axle_end_mm", {"upp": 3}, r'axle_end_mm".upp is no way to change it; did you mean up'),
        ("rear.upper_link.axle_end_mm", {}, "says nothing; give a value, or a change such as"),
        ("rear.upper_link.axle_end_mm", {"up": "3"}, r"axle_end_mm\".up must be a number"),
        ("rear.shock.free_length_mm", {"more": 3}, "which does not give it"),
        ("drive.driven_axles", {"more": 3}, "knows no more and less"),
    ],
)
def test_faults_of_relative_lines(demo, key, line, told):
    with pytest.raises(VehicleFileError, match=told):
        parse_vehicle(demo.document | {"setups": {"a": {key: line}}})


def test_a_setup_that_is_not_there_names_the_ready_made_ones_and_how_to_list_them():
    for name in ("batery_20mm_down", "Battery (150 g) 20 mm down"):
        with pytest.raises(ModelError, match=f'there is no setup "{re.escape(name)}"') as error:
            load_vehicle(DEMO, setup=name)
        assert 'did you mean "battery_20_mm_down"?' in str(error.value)
    for load in (
        lambda: load_vehicle(DEMO, setup="qqq"),
        lambda: load_vehicle("a.toml", text=vehicle_template("A"), setup="qqq"),
    ):
        with pytest.raises(
            ModelError, match=r"ready-made changes go by name .*battery_20_mm_down.*`noseload rank --all`"
        ):
            load()


def test_people_read_a_ready_made_change_in_words(demo, capsys):
    """Its key stays what commands take; tables, sentences and pictures show what is done."""
    changed = load_vehicle(DEMO, setup="5_mm_lower")
    assert changed.setup == "5_mm_lower" and shown_name(changed.setup) == "ride height 5 mm lower"
    assert main(["compare", "--setups", "5_mm_lower"]) == 0
    text = capsys.readouterr().out
    assert (
        "ride height 5 mm lower" in text
        and "5_mm_lower" not in text
        and "5 mm lower:" not in text.replace("ride height 5 mm lower:", "")
    )
