"""The commented starter file: every key with a measuring recipe and an example number of our own."""

from collections.abc import Iterator

from noseload.model.errors import ModelError
from noseload.model.vehicle import Assumption, Vehicle

from .key import Key
from .keys import AXLES, KEYS, LATERAL
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

_EXAMPLES = {
    "name": "my crawler",
    "notes": "",
    "wheelbase_mm": 312,
    "track_width_mm": 190,
    "weighed.rear_g": 1170,
    "weighed.front_g": 1410,
    "weighed.rear_left_g": 585,
    "weighed.rear_right_g": 585,
    "weighed.front_left_g": 705,
    "weighed.front_right_g": 705,
    "weighed.centre_of_gravity_height_mm": 75,
    "body.pitch_inertia_kg_mm2": 14000,
    "body.roll_inertia_kg_mm2": 4600,
    "body.yaw_inertia_kg_mm2": 15500,
    "tyre.loaded_radius_mm": 56,
    "tyre.vertical_stiffness_n_per_mm": 3.2,
    "tyre.vertical_damping_n_s_per_m": 6,
    "tyre.grip_coefficient": 2.2,
    "tyre.slip_speed_mm_per_s": 20,
    "tyre.slip_ratio_scale": 0.1,
    "drive.driven_axles": "both",
    "drive.front_overdrive": 1,
    "drive.stall_torque_n_mm": 6100,
    "drive.no_load_speed_rad_per_s": 33,
    "drive.rotor_inertia_kg_mm2": 6400,
    "drive.drag_brake_torque_n_mm": 0,
    "drive.shaft_turns": "clockwise",
}

_AXLE_EXAMPLES = {
    "rear": {
        "axle_mass_g": 490,
        "housing_pitch_inertia_kg_mm2": 100,
        "wheel_pair_inertia_kg_mm2": 430,
        "axle_roll_inertia_kg_mm2": 2100,
        "axle_ratio": 3.1,
        "shaft": "lengthwise",
        "shaft_turns": "clockwise",
        "track_width_mm": 190,
        "lower_link.chassis_end_mm": [116, 36, 59],
        "lower_link.axle_end_mm": [12, 58, 49],
        "lower_link.single": True,
        "upper_link.chassis_end_mm": [103, 45, 83],
        "upper_link.axle_end_mm": [7, 18, 84],
        "upper_link.single": True,
        "shock.chassis_end_mm": [60, 42, 142],
        "shock.axle_end_mm": [20, 50, 61],
        "shock.spring_rate_n_per_mm": 0.32,
        "shock.damping_n_s_per_m": 10,
        "shock.droop_travel_mm": 17,
        "shock.bump_travel_mm": 24,
        "shock.stop_stiffness_n_per_mm": 20,
        "shock.stop_damping_n_s_per_m": 20,
        "shock.free_length_mm": 112,
        "shock.friction_n": 0.4,
        "drive_shaft.chassis_end_mm": [96, 0, 70],
        "drive_shaft.axle_end_mm": [30, 0, 56],
        "drive_shaft.friction_per_mm": 0.04,
        "lateral_link.chassis_end_mm": [-14, 54, 72],
        "lateral_link.axle_end_mm": [-14, -54, 68],
    },
    "front": {
        "axle_mass_g": 565,
        "housing_pitch_inertia_kg_mm2": 120,
        "wheel_pair_inertia_kg_mm2": 430,
        "axle_roll_inertia_kg_mm2": 2100,
        "axle_ratio": 3.1,
        "shaft": "lengthwise",
        "shaft_turns": "clockwise",
        "track_width_mm": 190,
        "lower_link.chassis_end_mm": [202, 36, 59],
        "lower_link.axle_end_mm": [299, 58, 49],
        "lower_link.single": True,
        "upper_link.chassis_end_mm": [214, 45, 83],
        "upper_link.axle_end_mm": [303, 18, 84],
        "upper_link.single": True,
        "shock.chassis_end_mm": [254, 42, 142],
        "shock.axle_end_mm": [292, 50, 61],
        "shock.spring_rate_n_per_mm": 0.38,
        "shock.damping_n_s_per_m": 11,
        "shock.droop_travel_mm": 17,
        "shock.bump_travel_mm": 24,
        "shock.stop_stiffness_n_per_mm": 20,
        "shock.stop_damping_n_s_per_m": 20,
        "shock.free_length_mm": 110,
        "shock.friction_n": 0.4,
        "drive_shaft.chassis_end_mm": [220, 0, 70],
        "drive_shaft.axle_end_mm": [282, 0, 56],
        "drive_shaft.friction_per_mm": 0.04,
        "lateral_link.chassis_end_mm": [326, 54, 72],
        "lateral_link.axle_end_mm": [326, -54, 68],
    },
}

_GIVEN_FROM = {
    "name": "A",
    "notes": "A",
    "tyre.grip_coefficient": "A",
    "drive.driven_axles": "A",
    "rear.axle_mass_g": "B",
    "front.axle_mass_g": "B",
    "rear.shock.droop_travel_mm": "B",
    "rear.shock.bump_travel_mm": "B",
    "front.shock.droop_travel_mm": "B",
    "front.shock.bump_travel_mm": "B",
    "tyre.vertical_stiffness_n_per_mm": "B",
    "track_width_mm": "B",
    "rear.axle_ratio": "B",
    "front.axle_ratio": "B",
    "drive.shaft_turns": "B",
}
"""Keys with a default that the starter file of this level asks for all the same: easily measured."""

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
    examples = dict(_EXAMPLES)
    for axle in AXLES:
        examples |= {f"{axle}.{name}": value for name, value in _AXLE_EXAMPLES[axle].items()}
    for dotted, example in examples.items():
        key = KEYS[dotted]
        beyond_a = key.table.count(".") or key.table == "drive"
        if level != "A" or dotted == "drive.driven_axles" or not (beyond_a or _only_springs_use(key)):
            yield key, example


def _only_springs_use(key: Key) -> bool:
    """Whether a vehicle without links and springs (level A) has no use for the key."""
    return key.space and key.name != "track_width_mm" and key.table != "weighed"


def _is_given(key: Key, level: str) -> bool:
    """Whether the starter file gives the key, or shows it as a comment."""
    from_level = _GIVEN_FROM.get(key.dotted, key.level)
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
