"""300 damaged vehicle files: each is answered with exit code 2 and the key at fault, never with a traceback."""

import random
import tomllib
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from noseload.__main__ import main
from noseload.model import load_vehicle, write_vehicle
from noseload.model.errors import VehicleFileError
from noseload.model.file.keys import KEYS

DATA = Path(__file__).parents[1] / "data"
SOURCES = [
    (DATA / "check.toml").read_text(),
    (DATA / "check-raised.toml").read_text(),
    (Path(__file__).parents[2] / "scenarios" / "demo" / "demo.toml").read_text(),
]
SEED = 4471
COUNT = 300
BAD_INPUT = 2


class Damage(NamedTuple):
    """A damaged file, what the message must name, and the exit code."""

    kind: str
    data: bytes
    names: str
    exit_code: int = BAD_INPUT


def find(document, dotted):
    *path, name = dotted.split(".")
    for part in path:
        document = document[part]
    return document, name


def leaves(document, prefix=""):
    for name, value in document.items():
        if isinstance(value, dict):
            if name != "setups":
                yield from leaves(value, f"{prefix}{name}.")
        else:
            yield prefix + name


def pick(rng, document, kind=None, needed=False):
    keys = [key for key in leaves(document) if kind in (None, KEYS[key].kind)]
    if needed:
        keys = [key for key in keys if KEYS[key].level in ("A", "B") and "radius" not in key]
    return rng.choice(keys)


def with_value(document, dotted, value):
    table, name = find(document, dotted)
    table[name] = value
    return write_vehicle(document).encode()


def negative_number(rng, document):
    key = pick(rng, document, "number")
    return with_value(document, key, rng.choice([-1, -0.001, -1e9, float("-inf")])), key


def wrong_type(rng, document):
    key = pick(rng, document)
    values = [True, {}, {"a": 1}, [], [[1, 2]], 5]
    if KEYS[key].kind in ("number", "point"):
        values = ["5", "", True, {}, [], [None] * 0, ["a", "b"], [[1, 2]]]
    return with_value(document, key, rng.choice(values)), key


def not_finite(rng, document):
    key = pick(rng, document, rng.choice(["number", "point"]))
    bad = rng.choice([float("nan"), float("inf"), 10**400])
    return with_value(document, key, [1, bad] if KEYS[key].kind == "point" else bad), key


def misspelt(rng, document):
    key = pick(rng, document)
    table, name = find(document, key)
    place = rng.randrange(len(name))
    worse = rng.choice([name[:place] + name[place + 1 :], name[:place] + "x" + name[place:], name.upper()])
    if worse in table or not worse:
        worse = name + "s"
    table[worse] = table.pop(name)
    return write_vehicle(document).encode(), key


def missing(rng, document):
    key = pick(rng, document, needed=True)
    table, name = find(document, key)
    del table[name]
    return write_vehicle(document).encode(), key


def take_radii(document):
    for tyre in (document["tyre"], *(document[axle].get("tyre", {}) for axle in ("rear", "front"))):
        tyre.pop("radius_mm", None)
        tyre.pop("loaded_radius_mm", None)


def no_radius(rng, document):
    take_radii(document)
    return write_vehicle(document).encode(), "tyre.loaded_radius_mm"


def two_radii(rng, document):
    document["tyre"] |= {"radius_mm": 55, "loaded_radius_mm": 52}
    return write_vehicle(document).encode(), "tyre.radius_mm"


def half_a_vehicle(rng, document):
    axle, part = rng.choice(["rear", "front"]), rng.choice(["lower_link", "upper_link", "shock"])
    del document[axle][part]
    return write_vehicle(document).encode(), f"{axle}.{part}"


def table_is_a_value(rng, document):
    path = rng.choice(["rear", "tyre", "drive", "front.shock", "rear.lower_link"])
    return with_value(document, path, rng.choice([5, "x", [1, 2], True])), path


def unknown_table(rng, document):
    document[rng.choice(["motor", "chassis", "links", "axle"])] = {"mass_g": 5}
    return write_vehicle(document).encode(), "is no known key"


def point_of_wrong_length(rng, document):
    key = pick(rng, document, "point")
    return with_value(document, key, [1.0] * rng.choice([0, 1, 4, 7])), key


def zero_length(rng, document):
    path = f"{rng.choice(['rear', 'front'])}.{rng.choice(['lower_link', 'upper_link', 'shock'])}"
    table, name = find(document, path)
    table[name]["axle_end_mm"] = list(table[name]["chassis_end_mm"])
    return write_vehicle(document).encode(), f"{path}.axle_end_mm"


def links_in_line(rng, document):
    axle = document[rng.choice(["rear", "front"])]
    axle["upper_link"] = {name: list(point) for name, point in axle["lower_link"].items()}
    return write_vehicle(document).encode(), "upper_link"


def wrong_unit(rng, document):
    key, value = rng.choice([("wheelbase_mm", 0.312), ("wheelbase_mm", 12), ("tyre.radius_mm", 0.055)])
    take_radii(document)
    document["tyre"]["radius_mm"] = 55
    return with_value(document, key, value), key


def impossible_weights(rng, document):
    total = document["body"].pop("mass_g")
    del document["body"]["centre_of_gravity_mm"]
    document["weighed"] = {"rear_g": 0.2 * total, "front_g": 0.3 * total, "centre_of_gravity_height_mm": 80}
    return write_vehicle(document).encode(), "weighed.rear_g"


def bad_setup(rng, document):
    content, names = rng.choice(
        [
            ({"base": {}}, "setups.base"),
            ({"x": {"rear.uper_link.axle_end_mm": [6, 90]}}, "rear.upper_link.axle_end_mm"),
            ({"x": {"body.mass_g": -3}}, 'setups.x."body.mass_g"'),
            ({"x": {"body.mass_g": "3"}}, 'setups.x."body.mass_g"'),
            ({"x": {"link_lengths": 3}}, "setups.x.link_lengths"),
            ({"x": {"ride_height": "high"}}, "setups.x.ride_height"),
            ({"x": 5}, "setups.x"),
            (5, "setups"),
            ({"x": {"rear.upper_link.axle_end_mm": [-400, 84]}}, "rear.upper_link"),
            ({"x": {"front.shock.chassis_end_mm": "up"}}, 'setups.x."front.shock.chassis_end_mm"'),
            ({"x": {"tyre.radius_mm": 50, "tyre.loaded_radius_mm": 50}}, "tyre.radius_mm"),
        ]
    )
    document["setups"] = content
    return write_vehicle(document).encode(), names


def bad_later_table(rng, document):
    name, value = rng.choice([("uncertainty", 5), ("changes", "x"), ("changes", {"lead": 5})])
    document[name] = value
    return write_vehicle(document).encode(), name


def syntax(rng, document):
    text = write_vehicle(document)
    lines = text.splitlines()
    number = rng.choice([n for n, line in enumerate(lines) if " = " in line and "[" not in line and '"' not in line])
    key, _, value = lines[number].partition(" = ")
    worse, named = rng.choice(
        [
            (f"{key} = {value} mm", f"line {number + 1}: `{key}"),
            (f"{key} = {value},5", "decimals take a point"),
            (f"{key}: {value}", f"line {number + 1}: `{key}"),
            (f"{key} = ", f"line {number + 1}: `{key}"),
            (f"{key} = {value}\n{key} = 1", f"line {number + 2}: `{key}"),
            (f"{key} {value}", f"line {number + 1}: `{key}"),
            (f"{key} = [{value}", "is not closed"),
            (f'{key} = "{value}', f"line {number + 1}: `{key}"),
            (f"{key} = {value}.{value}.1", f"line {number + 1}: `{key}"),
            (f"[{key}", f"line {number + 1}: `[{key}"),
        ]
    )
    lines[number] = worse
    return "\n".join(lines).encode(), named


def not_text(rng, document):
    text = write_vehicle(document)
    place = text.index("wheelbase_mm")
    bad = rng.choice([b"\xff\xfe", b"\x80", b"\xdf\x20", b"\xed\xa0\x80"])
    return text[:place].encode() + b"# " + bad + b"\n" + text[place:].encode(), "UTF-8"


def cut_short(rng, document):
    """The end of the file is lost in the middle of a point."""
    data = write_vehicle(document).encode()
    places = [n for n, byte in enumerate(data) if byte == ord(",")]
    place = rng.choice(places)
    return data[: place + 1], "line"


def other_encoding(rng, document):
    return write_vehicle(document).encode("utf-16"), "UTF-8"


KINDS = [
    negative_number,
    wrong_type,
    not_finite,
    misspelt,
    missing,
    no_radius,
    two_radii,
    half_a_vehicle,
    table_is_a_value,
    unknown_table,
    point_of_wrong_length,
    zero_length,
    links_in_line,
    wrong_unit,
    impossible_weights,
    bad_setup,
    bad_later_table,
    syntax,
    not_text,
    cut_short,
    other_encoding,
]
OFTEN = [negative_number, wrong_type, misspelt, missing, syntax, bad_setup]


EACH = [(KINDS + 3 * OFTEN)[number % (len(KINDS) + 3 * len(OFTEN))] for number in range(COUNT)]


@cache
def damaged_files():
    rng = random.Random(SEED)
    cases = []
    for kind in EACH:
        document = tomllib.loads(rng.choice(SOURCES))
        data, names = kind(rng, document)
        cases.append(Damage(kind.__name__, data, names))
    return cases


@pytest.mark.parametrize("number", range(COUNT), ids=[f"{n}-{kind.__name__}" for n, kind in enumerate(EACH)])
def test_damaged_file_names_its_fault(number, tmp_path, capsys):
    case = damaged_files()[number]
    file = tmp_path / "damaged.toml"
    file.write_bytes(case.data)
    with pytest.raises(VehicleFileError, match=r"damaged\.toml: \d+ faults?") as caught:
        load_vehicle(file)
    assert case.names in str(caught.value)
    assert main(["creep", str(file), "--grade", "20", "--json"]) == case.exit_code
    printed = capsys.readouterr()
    assert printed.out == ""
    assert case.names in printed.err and "Traceback" not in printed.err


def test_there_are_300_of_many_kinds():
    cases = damaged_files()
    assert len(cases) == COUNT
    assert len({case.kind for case in cases}) == len(KINDS)
    assert len({case.data for case in cases}) > 0.75 * COUNT
