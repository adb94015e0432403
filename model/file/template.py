"""The commented starter file: every key with a measuring recipe and an example number of our own."""

from collections.abc import Iterator

from noseload.model.errors import ModelError
from noseload.model.vehicle import Assumption, Vehicle

from .examples import GIVEN_FROM, all_examples
from .key import Key
from .keys import KEYS, LATERAL
from .reader import parse_vehicle
from .setups import apply_lines
from .writer import format_value

LEVELS = ("A", "B", "C")

_HEAD = """\
# Vehicle file of noseload, level {level}:
# {what}.
# Put your own readings in place of the example numbers. A line that starts with # is not read;
# a key written so has the value it shows, and noseload marks it as assumed.
#
# Datum: the floor point below the rear wheel centre, vehicle standing level on all four wheels,
# battery in, radio off. x counts forward, y to the left, z up; points are [x, y, z] or [x, z] in mm.
# A pair of left and right links or shocks counts once: rates and damping are sums of both.
#
# Cautions. Take the battery out before you reach into links, shocks or gears: they pinch, and a motor may
# start. Wheels that spin off the floor throw dirt: eye protection, hair and sleeves away. Motors run hot,
# batteries too; charge and store them as their maker and the local codes say. On a tilt board hold the
# vehicle by a slack line and let nobody stand below it. For models alone: nothing here is a basis for
# driving a manned vehicle on a slope; ask licensed practice for that.
"""

_WHAT = {
    "A": "ruler, kitchen scale and one tip angle; gives rigid loads and the tip-over grade",
    "B": "links, shocks and springs too; gives attitude, link forces and setups compared",
    "C": "motor and damping too; gives the throttle punch",
}

_TABLE_NOTES = {
    "weighed": "The whole vehicle on a kitchen scale; the four wheels one by one, which side is heavier.\n# In its place the body and the axles may be weighed\n"
    "# apart: [body] mass_g and centre_of_gravity_mm, and axle_mass_g of both axles.",
    "tyre": "Both axles alike; [rear.tyre] and [front.tyre] take the same keys where they differ.\n"
    "# loaded_radius_mm: heights are read from the floor as the vehicle stands. In its place radius_mm, the\n"
    "# free radius, may stand; then heights count as if the tyres were not pressed in.",
    "drive": "Torque, speed and inertia as felt at the wheels, both axles together.",
    "rear.lower_link": "Ends as the vehicle stands, to the middle of the bolt or ball; y of the left one.",
    "rear.shock": "Both shocks together, as the vehicle stands.",
    "rear.lateral_link": "Only where a link across holds the axle; an axle has four rods in all.",
}

_SETUPS = """\

# Setups change keys of this file; take the # away and compare with `noseload compare`.
# link_lengths: "kept" (same links) or "fitted" (links made to fit); ride_height: "springs_decide" or "reset".
# [setups.raised_rear_upper_mount]
# link_lengths = "kept"
# ride_height = "springs_decide"
# "rear.upper_link.axle_end_mm" = { up = 10 }
"""


def vehicle_template(level: str) -> str:
    """TOML text of a commented vehicle file that is valid as it stands.

    Parameters
    ----------
    level : {'A', 'B', 'C'}
        What it asks for: weights and a tip angle; links and springs too; motor and damping too.

    Raises
    ------
    ModelError
        If there is no such level.
    """
    if level not in LEVELS:
        raise ModelError(f"there is no level {level!r} of vehicle file; use one of {', '.join(LEVELS)}")
    asked = list(_asked_keys(level))
    assumed = {item.key: item for item in _example_vehicle(asked, level).assumed}
    lines = [_HEAD.format(level=level, what=_WHAT[level])]
    table = ""
    for key, example in asked:
        if key.table != table:
            table = key.table
            note = _TABLE_NOTES.get(table)
            header = f"# [{table}]" if table.endswith(LATERAL) else f"[{table}]"
            lines += ["", *([f"# {note}"] if note else []), header]
        lines += [f"# {key.recipe}", _key_line(key, example, level, assumed.get(key.dotted))]
    text = "\n".join(lines) + "\n"
    return text if level == "A" else text + _SETUPS


def _asked_keys(level: str) -> Iterator[tuple[Key, object]]:
    """Keys that the starter file of a level shows, with an example each."""
    for dotted, example in all_examples().items():
        key = KEYS[dotted]
        beyond_a = key.table.count(".") or key.table == "drive"
        if level != "A" or dotted == "drive.driven_axles" or not (beyond_a or _only_springs_use(key)):
            yield key, example


def _only_springs_use(key: Key) -> bool:
    """Whether a vehicle without links and springs (level A) has no use for the key."""
    return key.space and key.name != "track_width_mm" and key.table != "weighed"


def _is_given(key: Key, level: str) -> bool:
    """Whether the starter file gives the key, or shows it as a comment."""
    from_level = GIVEN_FROM.get(key.dotted, key.level)
    return bool(from_level) and from_level <= level


def _example_vehicle(asked: list[tuple[Key, object]], level: str) -> Vehicle:
    """The vehicle that the starter file describes: its assumed values are shown in the file."""
    lines = {key.dotted: example for key, example in asked if _is_given(key, level)}
    return parse_vehicle(apply_lines({}, lines), file="starter file")


def _key_line(key: Key, example: object, level: str, assumed: Assumption | None) -> str:
    """The line of a key; one that is left out stands behind a # with the default it then has."""
    if _is_given(key, level):
        return f"{key.name} = {format_value(example)}"
    if assumed is None:
        return f"# {key.name} = {format_value(example)}"
    believed = f"{assumed.low:g} to {assumed.high:g}"
    return f"# {key.name} = {assumed.value:g}    # left out: this, believed {believed}"
