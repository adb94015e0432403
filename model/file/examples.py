"""Example numbers of the starter file, of our own, and which of them still stand in a vehicle file.

They show the shape of a reading and describe no vehicle at hand: where nobody has replaced them they count as assumed.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from noseload.model.vehicle import Assumption

from .key import value_at
from .keys import KEYS

EXAMPLES: dict[str, object] = {
    "name": "my crawler",
    "label": "crawler",
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
    "tyre.rolling_resistance": 0,
    "tyre.lengthwise_stiffness_n_per_mm": 5,
    "tyre.contact_offset_share": 0,
    "tyre.rolling_radius_share": 0.6,
    "tyre.slip_stiffness": 14,
    "tyre.slip_stiffness_exponent": 1,
    "drive.driven_axles": "both",
    "drive.front_overdrive": 1,
    "drive.stall_torque_n_mm": 6100,
    "drive.no_load_speed_rad_per_s": 33,
    "drive.rotor_inertia_kg_mm2": 6400,
    "drive.drag_brake_torque_n_mm": 0,
    "drive.shaft_turns": "clockwise",
}

AXLE_EXAMPLES: dict[str, dict[str, object]] = {
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
        "shock.spring_held": True,
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
        "shock.spring_held": True,
        "shock.friction_n": 0.4,
        "drive_shaft.chassis_end_mm": [220, 0, 70],
        "drive_shaft.axle_end_mm": [282, 0, 56],
        "drive_shaft.friction_per_mm": 0.04,
        "lateral_link.chassis_end_mm": [326, 54, 72],
        "lateral_link.axle_end_mm": [326, -54, 68],
    },
}

GIVEN_FROM = {
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


def all_examples() -> dict[str, object]:
    """Example by dotted key, in the order of the starter file."""
    return EXAMPLES | {
        f"{axle}.{name}": value for axle, lines in AXLE_EXAMPLES.items() for name, value in lines.items()
    }


FEWEST = 3
"""So many examples in one file are no chance: one or two of one's own readings may well be those of the example."""
POINT_MM, SHARE = 10.0, 0.2
"""How far off an example may be for another vehicle of the size: our choice."""
REASON = "still the starter file's example: not measured on this vehicle"


@cache
def _asked() -> dict[str, object]:
    """Examples of measured numbers that the starter file gives, by dotted key."""
    return {
        dotted: example
        for dotted, example in all_examples().items()
        if KEYS[dotted].kind in ("number", "point")
        and (KEYS[dotted].level or dotted in GIVEN_FROM)
        and dotted != "tyre.grip_coefficient"
    }


def untouched_keys(document: Mapping[str, Any]) -> tuple[str, ...]:
    """Keys of a file whose values are all still those of the starter file; none where they are few.

    Parameters
    ----------
    document : mapping
        The file as read.
    """
    found = tuple(dotted for dotted, example in _asked().items() if value_at(document, dotted) == example)
    return found if len(found) >= FEWEST else ()


def as_assumed(dotted: str, value: float) -> Assumption:
    """An untouched number, or one coordinate of an untouched point, as an assumption with its range; file units."""
    key = KEYS[dotted]
    half = POINT_MM if key.kind == "point" else SHARE * abs(value)
    return Assumption(dotted, value, value - half, value + half, key.unit, REASON)


def untouched_doubt(document: Mapping[str, Any]) -> tuple[str, str] | None:
    """Key and sentence of the doubt about untouched numbers; None where there are none."""
    keys = untouched_keys(document)
    if not keys:
        return None
    shown = ", ".join(keys[1:4])
    more = f" and {len(keys) - 4} more" if len(keys) > 4 else ""
    return keys[0], (
        f"and {len(keys) - 1} more values are still the starter file's ({shown}{more}): they count as assumed; "
        "put your own readings in"
    )
