"""Vehicle files written out: whole ones are read again identically, edited ones keep all the rest."""

import random
import string
import tomllib
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest

from noseload.model import load_vehicle, parse_vehicle, update_keys, write_vehicle
from noseload.model.errors import ModelError
from noseload.model.file.keys import AXLES, KEYS
from noseload.model.file.template import vehicle_template
from noseload.model.vehicle import Vehicle

DATA = Path(__file__).parents[1] / "data"
CHECK = (DATA / "check.toml").read_text()
SEED = 20611
ODD_TEXT = string.printable + "\x00\x07\x7f\x85\u2028äß漢字🙂'\"\\#[]={}"


def random_text(rng):
    return "".join(rng.choice(ODD_TEXT) for _ in range(rng.randrange(40)))


def random_number(rng, middle):
    """A number near the middle one, sometimes an integer, with all its digits."""
    value = middle * rng.uniform(0.8, 1.2)
    return round(value) if value > 10 and rng.random() < 0.4 else value


def random_document(rng):
    """Values of a plausible vehicle file of a random level, with setups, notes and tables for later work."""
    document = tomllib.loads(CHECK)
    for table in (document["body"], document["tyre"], document["drive"], *(document[axle] for axle in AXLES)):
        for name, value in list(table.items()):
            if isinstance(value, int | float):
                table[name] = random_number(rng, value)
    level = rng.choice("ABC")
    for axle in AXLES:
        parts = [name for name, value in document[axle].items() if isinstance(value, dict)]
        for part in parts:
            if level == "A":
                del document[axle][part]
            else:
                randomise_part(rng, document[axle][part])
        if rng.random() < 0.3:
            document[axle]["tyre"] = {"grip_coefficient": random_number(rng, 2.0)}
    if rng.random() < 0.3:
        del document["drive"]
    if rng.random() < 0.5:
        document["tyre"]["loaded_radius_mm"] = document["tyre"].pop("radius_mm")
    document["notes"] = random_text(rng)
    document["name"] = random_text(rng) or "x"
    if level != "A":
        document["setups"] = {name: random_setup(rng) for name in ("one", "two words", "drei-ß", 'quo"te')}
    document["uncertainty"] = {"rear.axle_mass_g": 2.5, "front": {"axle_mass_g": 3}}
    document["changes"] = {
        "lead": {"add_g": 30, "at": "front_wheels"},
        "two words": {"move_g": 9.5, "from": "body", "from_mm": [150, 0, 90], "to": "rear_wheels"},
    }
    return document


def randomise_part(rng, part):
    for name, value in part.items():
        if isinstance(value, list):
            point = [number + rng.uniform(-2, 2) for number in value]
            part[name] = point if rng.random() < 0.5 else [point[0], rng.uniform(10, 60), point[1]]
        elif isinstance(value, bool):
            part[name] = rng.random() < 0.5
        else:
            part[name] = random_number(rng, value)


def random_setup(rng):
    axle = rng.choice(AXLES)
    x = 6.0 if axle == "rear" else 294.0
    setup = {f"{axle}.upper_link.axle_end_mm": [x, rng.uniform(80, 95)], "notes": random_text(rng)}
    if rng.random() < 0.5:
        setup |= {"link_lengths": rng.choice(["kept", "fitted"]), "ride_height": "reset"}
    if rng.random() < 0.3:
        setup["rear"] = {"shock": {"spring_rate_n_per_mm": 0.5}}
    return setup


@pytest.mark.slow
def test_random_vehicles_are_read_again_identically():
    rng = random.Random(SEED)
    for _ in range(80):
        document = random_document(rng)
        vehicle = parse_vehicle(document)
        text = write_vehicle(vehicle)
        again = load_vehicle("again.toml", text=text)
        assert again.document == document == vehicle.document
        assert again == vehicle
        assert write_vehicle(again) == text == write_vehicle(document)
        for name in vehicle.setups:
            setup = parse_vehicle(document, setup=name)
            assert load_vehicle("again.toml", text=write_vehicle(setup), setup=name) == setup


def test_values_no_vehicle_file_has_are_written_too():
    odd = {
        "uncertainty": {"links": {"when": date(2024, 2, 29), "ok": True}},
        "changes": {"empty": {}, "lead": {"where": ["on", "axle\n"], "deep": [{"a": 1}, {}]}},
    }
    assert tomllib.loads(write_vehicle(odd)) == odd


def test_written_file_follows_the_key_table():
    text = write_vehicle(load_vehicle(DATA / "check-raised.toml"))
    assert text.startswith('name = "check-raised"\nwheelbase_mm = 300\n\n[body]\nmass_g = 1600\n')
    assert "[rear.lower_link]\nchassis_end_mm = [108, 47]\naxle_end_mm = [12, 46]\n" in text
    assert "[rear]\naxle_mass_g = 520\n" in text


def test_what_cannot_be_written():
    vehicle = load_vehicle(DATA / "check.toml")
    bare = Vehicle("bare", "A", 0.3, vehicle.body, vehicle.rear, vehicle.front, vehicle.drive)
    with pytest.raises(ModelError, match="vehicle bare was not read from a file"):
        write_vehicle(bare)
    with pytest.raises(ModelError, match="a vehicle file cannot hold"):
        write_vehicle({"name": object()})


# Editing

LAID_OUT = """\
# my crawler, measured in May
name = "crawler # one"   # a name
wheelbase_mm=300 # by ruler

tyre = { radius_mm = 55, grip_coefficient = 2 } # inline

  [rear]   # the heavy end
  axle_mass_g   =  520   # with servo
  "upper_link".chassis_end_mm = [
    100, # forward
    80,  # up
  ]
  upper_link.axle_end_mm = [6, 84]
notes = '''it's # not
[rear] a header'''

# setups follow
[setups.raised]
rear.upper_link.axle_end_mm = [6, 100] # bare
"body.mass_g" = 1700
"""


def edited(changes, text=LAID_OUT):
    return update_keys(text, changes)


def test_values_change_in_place_and_nothing_else():
    new = edited({"rear.axle_mass_g": 533.5, "wheelbase_mm": 301, "name": 'a "b"'})
    expected = LAID_OUT.replace("=  520 ", "=  533.5 ").replace("mm=300", "mm=301")
    assert new == expected.replace('"crawler # one"', r'"a \"b\""')


def test_value_over_several_lines():
    new = edited({"rear.upper_link.chassis_end_mm": (101, 20, 81)})
    assert '  "upper_link".chassis_end_mm = [101, 20, 81]\n' in new
    assert new.count("\n") == LAID_OUT.count("\n") - 3


def test_inline_tables_are_edited():
    new = edited({"tyre.grip_coefficient": 1.9, "tyre.slip_ratio_scale": 0.1})
    assert "tyre = { radius_mm = 55, grip_coefficient = 1.9, slip_ratio_scale = 0.1 } # inline\n" in new


def test_new_keys_join_their_table():
    new = edited({"track_width_mm": 190, "rear.wheel_pair_inertia_kg_mm2": 400, "front.axle_mass_g": 560})
    assert "# inline\ntrack_width_mm = 190\n" in new
    assert "[rear] a header'''\n  wheel_pair_inertia_kg_mm2 = 400\n\n# setups follow" in new
    assert new.endswith("\n\n[front]\naxle_mass_g = 560\n")


def test_new_key_of_a_table_of_dotted_keys_stays_dotted():
    new = edited({"rear.upper_link.spare_mm": 5})
    assert '  ]\n"upper_link".spare_mm = 5\n' in new


def test_setup_lines_quoted_or_not():
    line = 'setups.raised."rear.upper_link.axle_end_mm"'
    assert "rear.upper_link.axle_end_mm = [6, 97] # bare\n" in edited({line: [6, 97]})
    assert '"body.mass_g" = 1650\n' in edited({"setups.raised.body.mass_g": 1650})
    new = edited({'setups.low."body.mass_g"': 1500})
    assert new.endswith('\n\n[setups.low]\n"body.mass_g" = 1500\n')


def test_keys_are_taken_out():
    new = edited({"rear.axle_mass_g": None, "wheelbase_mm": None, "not_there": None})
    assert "axle_mass_g" not in new and "wheelbase_mm" not in new
    new = edited({'setups.raised."rear.upper_link.axle_end_mm"': None})
    assert "# bare" not in new


def test_windows_line_ends_and_missing_last_line_end():
    text = "a = 1\r\n[b]\r\nc = 2"
    assert update_keys(text, {"b.d": 3}) == "a = 1\r\n[b]\r\nc = 2\r\nd = 3\r\n"
    assert update_keys(text, {"e.f": 3}) == "a = 1\r\n[b]\r\nc = 2\r\n\r\n[e]\r\nf = 3\r\n"
    assert update_keys("", {"a": 1}) == "a = 1\n"
    assert update_keys("# head\n\n[b]\nc = 2\n", {"a": 1}) == "# head\na = 1\n\n[b]\nc = 2\n"
    assert update_keys("# head", {"a": 1}) == "# head\na = 1\n"


def test_what_cannot_be_edited():
    with pytest.raises(ModelError, match="the text to change is not TOML"):
        update_keys("a = ", {"a": 1})
    with pytest.raises(ModelError, match="'a b' is no dotted key"):
        update_keys("a = 1", {"a b": 1})
    with pytest.raises(ModelError, match=r"cannot change a\.b: a is no table in this file"):
        update_keys("a = 1", {"a.b": 1})


def test_an_edit_that_went_wrong_is_never_handed_out(monkeypatch):
    for wrong in ("a = 1", "a ="):
        went_wrong = SimpleNamespace(as_string=lambda wrong=wrong: wrong)
        monkeypatch.setattr("noseload.model.file.writer._update_one", lambda *arguments, it=went_wrong: it)
        with pytest.raises(ModelError, match="cannot change a in this layout"):
            update_keys("a = 1", {"a": 2})


@pytest.mark.slow
def test_random_edits_change_their_keys_alone():
    rng = random.Random(SEED + 1)
    template = vehicle_template("C")
    numbers = [key.dotted for key in KEYS.values() if key.kind == "number" and "free" not in key.dotted]
    for _ in range(60):
        changes = {dotted: rng.uniform(1, 99) for dotted in rng.sample(numbers, 6)}
        new = update_keys(template, changes)
        expected = tomllib.loads(template)
        for dotted, value in changes.items():
            *path, name = dotted.split(".")
            table = expected
            for part in path:
                table = table.setdefault(part, {})
            table[name] = value
        assert tomllib.loads(new) == expected
        comments = [line for line in template.splitlines() if line.startswith("#")]
        assert [line for line in new.splitlines() if line.startswith("#")] == comments
