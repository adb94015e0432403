"""The starter file, the command that writes it, and the demo vehicle."""

import re
import tomllib
from math import atan2, degrees
from pathlib import Path

import pytest

from noseload.__main__ import main
from noseload.commands.common import DEMO
from noseload.model import load_vehicle
from noseload.model.errors import ModelError
from noseload.model.file.examples import untouched_keys
from noseload.model.file.keys import KEYS
from noseload.model.file.template import vehicle_template
from noseload.model.variation import quantities_of

DATA = Path(__file__).parents[1] / "data"
LONGEST_LINE = 110
WIDEST_HELP, TALLEST_HELP = 100, 24
"""One screen."""


def rigid_tip_over_deg(vehicle):
    """atan(b / h), the grade at which a rigid vehicle unloads its front axle (moment about the rear contact)."""
    parts = [
        (vehicle.body.mass, *vehicle.body.centre_of_gravity),
        (vehicle.rear.mass, 0.0, vehicle.rear.tyre.wheel_centre_height),
        (vehicle.front.mass, vehicle.wheelbase, vehicle.front.tyre.wheel_centre_height),
    ]
    return degrees(atan2(sum(m * x for m, x, _ in parts), sum(m * z for m, _, z in parts)))


@pytest.mark.parametrize("level", ["A", "B", "C"])
def test_starter_file_is_a_valid_plausible_vehicle(level):
    vehicle = load_vehicle("new.toml", text=vehicle_template(level))
    assert vehicle.level == level
    (doubt,) = vehicle.warnings
    assert "more values are still the starter file's" in doubt
    # Common practice, no source: a middle-of-the-road 1:10 crawler tips between 60 and 68 degrees.
    assert 60.0 < rigid_tip_over_deg(vehicle) < 68.0


@pytest.mark.parametrize("level", ["A", "B", "C"])
def test_every_key_has_its_recipe_above(level):
    lines = vehicle_template(level).splitlines()
    assert max(map(len, lines)) <= LONGEST_LINE
    body = lines[: next((n for n, line in enumerate(lines) if "Setups change keys" in line), len(lines))]
    shown = [n for n, line in enumerate(body) if re.match(r"(# )?[a-z_0-9]+ = ", line)]
    recipes = {key.recipe for key in KEYS.values()}
    for n in shown:
        assert body[n - 1].removeprefix("# ") in recipes, body[n]
    assert "Caution" in lines[10 if level else 0] or any("Cautions." in line for line in lines)


def test_recipes_are_one_line_each():
    for key in KEYS.values():
        assert key.recipe.endswith((".", ".")) and "\n" not in key.recipe
        assert len(key.recipe) <= LONGEST_LINE - 2, key.dotted


def test_left_out_keys_show_the_value_they_have():
    """Taking away the # of every left-out key changes no number of the vehicle."""
    text = vehicle_template("B")
    full = re.sub(r"^# (\w+ = \S+)    # left out.*$", r"\1", text, flags=re.M)
    vehicle, written_out = load_vehicle("a.toml", text=text), load_vehicle("a.toml", text=full)
    assert vehicle.assumed and not written_out.assumed
    for name in ("body", "rear", "front", "drive"):
        assert getattr(vehicle, name) == getattr(written_out, name)


def test_level_c_names_every_key_but_the_alternatives():
    text = vehicle_template("C")
    lines = {line.removeprefix("# ").partition(" = ")[0] for line in text.splitlines() if " = " in line}
    alternatives = {"mass_g", "centre_of_gravity_mm", "radius_mm"}
    assert {key.name for key in KEYS.values()} - lines <= alternatives


def test_commented_setup_can_be_switched_on():
    text = vehicle_template("C")
    head, _, setup = text.partition("# [setups.")
    vehicle = load_vehicle("a.toml", text=head + "[setups." + setup.replace("# ", ""), setup="raised_rear_upper_mount")
    assert vehicle.rear.upper_link.axle_end != vehicle.base.rear.upper_link.axle_end


def test_example_numbers_are_our_own():
    check = tomllib.loads((DATA / "check.toml").read_text())
    for text in (vehicle_template("C"), Path(DEMO).read_text()):
        other = tomllib.loads(text)
        assert other["wheelbase_mm"] != check["wheelbase_mm"]
        for axle in ("rear", "front"):
            for part in ("lower_link", "upper_link", "shock"):
                assert other[axle][part]["chassis_end_mm"] != check[axle][part]["chassis_end_mm"]


def test_no_such_level():
    with pytest.raises(ModelError, match="there is no level 'D' of vehicle file; use one of A, B, C"):
        vehicle_template("D")


# The command


def test_new_writes_a_file_and_never_over_one(tmp_path, capsys):
    file = tmp_path / "crawler.toml"
    assert main(["new", "--level", "b", str(file)]) == 0
    assert "noseload describe" in capsys.readouterr().out
    assert file.read_text() == vehicle_template("B")
    assert main(["new", str(file)]) == 2
    printed = capsys.readouterr()
    assert printed.out == "" and "is there already and stays as it is" in printed.err
    assert file.read_text() == vehicle_template("B")
    assert main(["new", str(file), "--force"]) == 0
    assert file.read_text() == vehicle_template("A")
    assert [path.name for path in tmp_path.iterdir()] == ["crawler.toml"]


def test_new_into_a_folder_that_is_not_there(tmp_path, capsys):
    assert main(["new", str(tmp_path / "none" / "a.toml")]) == 2
    printed = capsys.readouterr()
    assert printed.out == "" and "a.toml" in printed.err


def test_help_of_new_fits_one_screen(capsys):
    assert main(["new", "--help"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) <= TALLEST_HELP and max(map(len, lines)) <= WIDEST_HELP
    assert any("example: noseload new" in line for line in lines)


# The demo vehicle


def test_demo_is_complete_and_plausible():
    vehicle = load_vehicle(DEMO)
    assert (vehicle.level, vehicle.assumed, vehicle.warnings) == ("C", (), ())
    assert 2.5 <= vehicle.mass <= 3.0
    front = vehicle.body.mass * vehicle.body.centre_of_gravity[0] + vehicle.front.mass * vehicle.wheelbase
    assert 0.52 <= front / vehicle.mass / vehicle.wheelbase <= 0.58
    # Common practice, no source: a middle-of-the-road 1:10 crawler tips between 60 and 68 degrees.
    assert 60.0 < rigid_tip_over_deg(vehicle) < 68.0
    # The held-wheel bench lifts the front at T = W b (moment about the rear contact): the motor must reach it.
    assert vehicle.drive.stall_torque > 1.2 * 9.80665 * front
    for axle in (vehicle.rear, vehicle.front):
        for rod in (axle.lower_link, axle.upper_link, axle.shock):
            assert None not in rod.chassis_end + rod.axle_end
    assert len(vehicle.setups) == 3
    for name in vehicle.setups:
        setup = load_vehicle(DEMO, setup=name)
        assert setup.warnings == ()
        assert setup != vehicle


def test_numbers_nobody_replaced_count_as_assumed():
    """A file whose wheelbase is 285 keeps link ends of another vehicle at 303: it says so, and nobody is sure of them."""
    own = {
        "wheelbase_mm = 312": "wheelbase_mm = 285",
        "rear_g = 1170": "rear_g = 1205",
        "front_g = 1410": "front_g = 1333",
    }
    text = vehicle_template("B")
    for old, new in own.items():
        text = text.replace(old, new, 1)
    vehicle = load_vehicle("own.toml", text=text)
    doubt = next(warning for warning in vehicle.warnings if "starter file's" in warning)
    keys = untouched_keys(vehicle.document)
    assert f"and {len(keys) - 1} more values" in doubt and "wheelbase_mm" not in keys
    assert "front.upper_link.axle_end_mm" in keys and "tyre.grip_coefficient" not in keys
    quantities = {quantity.name: quantity for quantity in quantities_of(vehicle)}
    end = quantities["front.upper_link.axle_end_mm[x]"]
    assert (end.value, end.assumed.low, end.assumed.high) == (303.0, 293.0, 313.0)
    assert quantities["wheelbase_mm"].assumed is None
    assert quantities["rear.axle_mass_g"].assumed.low == pytest.approx(0.8 * 490)


def test_a_reading_or_two_may_be_those_of_the_example():
    """Two link rates alike by chance are no template: three are told."""
    document = dict(load_vehicle("x.toml", text=Path(DEMO).read_text()).document)
    assert untouched_keys(document) == ()
    document |= {"wheelbase_mm": 312, "track_width_mm": 190}
    assert untouched_keys(document) == ()
    document["rear"] = document["rear"] | {"axle_mass_g": 490}
    assert untouched_keys(document) == ("wheelbase_mm", "track_width_mm", "rear.axle_mass_g")
