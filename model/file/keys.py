"""The one table of everything a vehicle file may say: keys, units, bounds, defaults and measuring recipes.

Reader, template, writer, suggestions for unknown keys and marks of assumed values are all driven by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from math import inf
from types import MappingProxyType

from noseload.model.vehicle import ENDS, SIDES

from . import defaults
from .key import Key, in_space, not_negative, positive

AXLES = ENDS
PARTS = ("lower_link", "upper_link", "shock")
LATERAL = "lateral_link"
"""The one link across that an axle may have; only answers about single wheels see it."""
CORNERS = tuple(f"weighed.{axle}_{side}_g" for axle in AXLES for side in SIDES)
"""Readings of the four wheels."""
SETUP_OPTIONS = {"link_lengths": ("kept", "fitted"), "ride_height": ("springs_decide", "reset")}
"""Words a setup may hold beside its lines; the first of each is the default."""
RESERVED_SETUP = "base"


def _vehicle_keys() -> Iterator[Key]:
    yield Key("name", "text", "", "", "What you call this vehicle.")
    yield Key(
        "label", "text", "", "", "Short name for pictures and pages, where the name is long; a setup may have one too."
    )
    yield Key("notes", "text", "", "", "Anything worth remembering: tyres, foams, who measured and when.")
    yield positive(
        "wheelbase_mm",
        "mm",
        "A",
        "Ruler along the floor between the wheel centres of one side; mean of left and right.",
        (180.0, 500.0),
    )._replace(least=20.0, above=False)
    yield in_space(
        "track_width_mm", "mm", "Ruler between the middles of the two tyre treads of an axle.", (100.0, 400.0)
    )
    yield positive(
        "weighed.rear_g",
        "g",
        "A",
        "Rear wheels on the kitchen scale, front wheels on blocks of the scale's height, vehicle level.",
        (300.0, 5000.0),
    )
    yield positive(
        "weighed.front_g",
        "g",
        "A",
        "Front wheels on the kitchen scale, rear wheels on blocks of the scale's height, vehicle level.",
        (300.0, 5000.0),
    )
    yield positive(
        "weighed.centre_of_gravity_height_mm",
        "mm",
        "A",
        "Suspension blocked, wheels tied to axles, front just lifts: wheelbase x front_g / total_g / tan(angle).",
        (50.0, 250.0),
    )
    for axle in AXLES:
        for side in SIDES:
            yield in_space(
                f"weighed.{axle}_{side}_g",
                "g",
                f"{axle.capitalize()} {side} wheel on the scale, the others on blocks of its height, vehicle level.",
                (100.0, 3000.0),
            )
    yield positive("body.mass_g", "g", "A", "Kitchen scale: the vehicle less both axle assemblies.", (400.0, 8000.0))
    yield Key(
        "body.centre_of_gravity_mm",
        "point",
        "mm",
        "A",
        "Hang the body by a thread from two places in turn, photograph its side: the threads cross there.",
    )
    yield positive(
        "body.pitch_inertia_kg_mm2",
        "kg mm2",
        "",
        "Body on its side, two threads l mm long, d mm apart, twist: kg x 9810 x d2 x s2 / (158 x l).",
        (500.0, 200000.0),
        defaults.body_inertia,
    )
    yield in_space(
        "body.roll_inertia_kg_mm2",
        "kg mm2",
        "As the pitch inertia, the body hanging nose up so that it twists about its length; not for a steady crawl.",
        (100.0, 60000.0),
        defaults.body_roll_inertia,
    )
    yield in_space(
        "body.yaw_inertia_kg_mm2",
        "kg mm2",
        "As the pitch inertia, the body hanging as it stands; not for a steady crawl.",
        (500.0, 200000.0),
        defaults.body_yaw_inertia,
    )


def _tyre_keys(table: str) -> Iterator[Key]:
    yield Key(
        f"{table}.radius_mm",
        "number",
        "mm",
        "A",
        "Free radius: a tyre off the floor, half of its outer diameter between two books.",
        2.0,
        False,
        inf,
        (30.0, 110.0),
    )
    yield Key(
        f"{table}.loaded_radius_mm",
        "number",
        "mm",
        "A",
        "Ruler from the floor to the wheel centre, vehicle standing level on all four wheels.",
        2.0,
        False,
        inf,
        (30.0, 110.0),
    )
    yield positive(
        f"{table}.vertical_stiffness_n_per_mm",
        "N/mm",
        "",
        "Both tyres of an axle: put 1 kg above the axle, suspension blocked; 9.8 / (mm it sinks).",
        (0.5, 60.0),
        defaults.tyre_stiffness,
    )
    yield not_negative(
        f"{table}.vertical_damping_n_s_per_m",
        "N s/m",
        "",
        "Film a drop of the bare axle from 50 mm: seldom worth it, the default serves.",
        (0.0, 200.0),
        defaults.tyre_damping,
    )
    yield positive(
        f"{table}.grip_coefficient",
        "",
        "",
        "Wheels tied, pull it along the level board by a thread low down: grams of pull / grams of weight.",
        (0.3, 4.0),
        defaults.GRIP,
    )
    yield positive(
        f"{table}.slip_speed_mm_per_s",
        "mm/s",
        "",
        "Not measured: speed of slip over which grip builds up near standstill.",
        (0.1, 500.0),
        defaults.SLIP_SPEED,
    )
    yield not_negative(
        f"{table}.slip_ratio_scale",
        "",
        "",
        "Not measured: share of the travelling speed over which grip builds up.",
        (0.0, 1.0),
        defaults.SLIP_RATIO_SCALE,
    )
    yield not_negative(
        f"{table}.rolling_resistance",
        "",
        "",
        "Pinion out, pull it over a level floor by a thread at hub height: grams of pull / grams of weight.",
        (0.0, 0.2),
        defaults.ROLLING_RESISTANCE,
    )
    yield positive(
        f"{table}.lengthwise_stiffness_n_per_mm",
        "N/mm",
        "",
        "Both tyres of an axle: wheels tied, pull the hub forward by 10 N; 10 / (mm it moves along the floor).",
        (0.2, 100.0),
        defaults.lengthwise_stiffness,
    )
    yield not_negative(
        f"{table}.contact_offset_share",
        "",
        "",
        "Wheels tied, pull the body back by a thread: share of the tyre's give by which its load moves forward.",
        (0.0, 1.5),
        defaults.contact_offset_share,
    )
    yield not_negative(
        f"{table}.rolling_radius_share",
        "",
        "",
        "One axle rolled ten turns under two loads: part of what the load presses in that the way lacks (0 to 1).",
        (0.0, 1.0),
    )
    yield positive(
        f"{table}.slip_stiffness",
        "",
        "",
        "Crawl ten turns on the level, then pulled back by 10 N: (pull / weight) / (share of the way that is lost).",
        (2.0, 100.0),
    )
    yield positive(
        f"{table}.slip_stiffness_exponent",
        "",
        "",
        "As slip_stiffness, with and without 1.5 kg on top: it grows as the load to this power.",
        (0.3, 1.2),
        defaults.SLIP_STIFFNESS_EXPONENT,
    )._replace(most=2.0)


def _drive_keys() -> Iterator[Key]:
    yield Key(
        "drive.driven_axles",
        "choice",
        "",
        "",
        "Which axles the motor turns: both (geared together), rear or front.",
        choices=("both", "rear", "front"),
    )
    yield Key(
        "drive.front_overdrive",
        "number",
        "",
        "",
        "Turn the motor by hand: turns of a front wheel for one turn of a rear wheel; 1 without overdrive gears.",
        0.2,
        False,
        5.0,
        (0.8, 1.5),
    )
    yield positive(
        "drive.stall_torque_n_mm",
        "N mm",
        "C",
        "Front free, lever of r mm from the rear wheels to the scale, throttle for a blink: 0.00981 x g x r.",
        (300.0, 30000.0),
        defaults.STALL_TORQUE,
    )
    yield positive(
        "drive.no_load_speed_rad_per_s",
        "rad/s",
        "C",
        "Wheels off the floor, full throttle, film a mark on a tyre: turns per second x 6.283.",
        (5.0, 300.0),
        defaults.NO_LOAD_SPEED,
    )
    yield not_negative(
        "drive.rotor_inertia_kg_mm2",
        "kg mm2",
        "",
        "Rotor of m kg and r mm radius: m r2 / 2 x (motor turns for one wheel turn)2.",
        (0.0, 60000.0),
        defaults.ROTOR_INERTIA,
    )
    yield not_negative(
        "drive.drag_brake_torque_n_mm",
        "N mm",
        "",
        "Front free, throttle at rest, thread round a rear tyre, pull till it turns: 0.00981 x g x radius.",
        (0.0, 30000.0),
        defaults.drag_brake_torque,
    )
    yield _shaft_turns("drive", "the shafts to the axles")


def _shaft_turns(table: str, what: str) -> Key:
    return Key(
        f"{table}.shaft_turns",
        "choice",
        "",
        "",
        f"Look from behind, drive forward: which way {what} turn.",
        choices=("clockwise", "counterclockwise"),
        space=True,
    )


def _axle_keys(axle: str) -> Iterator[Key]:
    yield positive(
        f"{axle}.axle_mass_g",
        "g",
        "A",
        f"Take the {axle} axle off and weigh it with its wheels, servo and half of the links.",
        (100.0, 2500.0),
        defaults.axle_mass,
    )
    yield positive(
        f"{axle}.housing_pitch_inertia_kg_mm2",
        "kg mm2",
        "",
        "Housing without wheels twisted on two threads, as for the body; the default serves for a steady crawl.",
        (5.0, 5000.0),
        defaults.housing_inertia,
    )
    yield positive(
        f"{axle}.wheel_pair_inertia_kg_mm2",
        "kg mm2",
        "",
        "Two wheels of m kg together, most of it at r mm from the centre: m r2.",
        (20.0, 20000.0),
        defaults.wheel_pair_inertia,
    )
    yield in_space(
        f"{axle}.track_width_mm",
        "mm",
        f"Only where the {axle} axle has another: ruler between the middles of its tyre treads.",
        (100.0, 400.0),
    )
    yield in_space(
        f"{axle}.axle_roll_inertia_kg_mm2",
        "kg mm2",
        f"The {axle} axle with its wheels on two threads, twisted about an upright line; not for a steady crawl.",
        (100.0, 20000.0),
        defaults.axle_roll_inertia,
    )
    yield in_space(
        f"{axle}.axle_ratio",
        "",
        "Turn both wheels of the axle once by hand and count the turns of its lengthwise shaft.",
        (1.5, 8.0),
        defaults.AXLE_RATIO,
    )
    yield Key(
        f"{axle}.shaft",
        "choice",
        "",
        "",
        "lengthwise where a shaft along the vehicle drives the axle, none where a motor sits on it.",
        choices=("lengthwise", "none"),
        space=True,
    )
    yield _shaft_turns(axle, f"shafts to the {axle} axle, where they differ,")
    for part, where in (("lower_link", "lower link"), ("upper_link", "upper link"), ("shock", "shock")):
        for end in ("chassis", "axle"):
            yield Key(
                f"{axle}.{part}.{end}_end_mm",
                "point",
                "mm",
                "B",
                f"Ruler to the bolt at the {end} end of the {where}: forward, left, up from the datum.",
            )
        if part == "shock":
            yield from _shock_keys(f"{axle}.shock", axle)
        else:
            yield Key(
                f"{axle}.{part}.single",
                "switch",
                "",
                "",
                f"true where the axle has one {where} in place of a left and a right one.",
                space=True,
            )
    yield from _shaft_keys(f"{axle}.drive_shaft", axle)
    for end in ("chassis", "axle"):
        yield Key(
            f"{axle}.{LATERAL}.{end}_end_mm",
            "point",
            "mm",
            "",
            f"Where a link across holds the axle: ruler to its bolt at the {end} end: forward, left, up.",
            space=True,
        )


def _shock_keys(table: str, axle: str) -> Iterator[Key]:
    yield positive(
        f"{table}.spring_rate_n_per_mm",
        "N/mm",
        "B",
        "Press one spring on the kitchen scale: 0.00981 x (g more) / (mm shorter), times 2 for both sides.",
        (0.02, 10.0),
    )
    yield not_negative(
        f"{table}.damping_n_s_per_m",
        "N s/m",
        "C",
        f"Hang m kg on one shock without spring and film it: 9.81 x m / (metres per second), x 2; {axle} pair.",
        (0.0, 500.0),
        defaults.shock_damping,
    )
    yield not_negative(
        f"{table}.droop_travel_mm",
        "mm",
        "",
        "Lift the body until the wheels hang: how much longer the shock gets than standing.",
        (0.0, 80.0),
        defaults.droop_travel,
    )
    yield not_negative(
        f"{table}.bump_travel_mm",
        "mm",
        "",
        "Press the body down to the stop: how much shorter the shock gets than standing.",
        (0.0, 80.0),
        defaults.bump_travel,
    )
    yield positive(
        f"{table}.stop_stiffness_n_per_mm",
        "N/mm",
        "",
        "Shock at its stop, press on the scale: 0.00981 x (g more) / (mm more), x 2; the default serves.",
        (1.0, 500.0),
        defaults.STOP_STIFFNESS,
    )
    yield not_negative(
        f"{table}.stop_damping_n_s_per_m",
        "N s/m",
        "",
        "Not measured: what keeps the stop from ringing; the default serves.",
        (0.0, 500.0),
        defaults.STOP_DAMPING,
    )
    yield positive(
        f"{table}.free_length_mm",
        "mm",
        "",
        "Bolt to bolt with the spring just loose; leave out, and it is set so that the vehicle stands as measured.",
        (20.0, 300.0),
    )
    yield Key(
        f"{table}.spring_held",
        "switch",
        "",
        "",
        "true where the coil is fixed at both ends, so that it also pulls; false: it goes loose past its free length.",
    )
    yield not_negative(
        f"{table}.friction_n",
        "N",
        "",
        f"Push the {axle} down, then lift it, let go each time: spring rate x half of the mm between the stands.",
        (0.0, 4.0),
    )


def _shaft_keys(table: str, axle: str) -> Iterator[Key]:
    for end, place in (("chassis", "joint at the gearbox"), ("axle", "joint at the axle")):
        yield Key(
            f"{table}.{end}_end_mm",
            "point",
            "mm",
            "",
            f"Ruler to the {axle} shaft's {place}: forward, left, up from the datum.",
        )
    yield not_negative(
        f"{table}.friction_per_mm",
        "1/mm",
        "",
        "Friction over radius of the splines: half gap x N/mm under a held torque, less that without, x ratio / N mm.",
        (0.0, 0.15),
    )


def _all_keys() -> Iterator[Key]:
    yield from _vehicle_keys()
    yield from _tyre_keys("tyre")
    yield from _drive_keys()
    for axle in AXLES:
        yield from _axle_keys(axle)
        yield from _tyre_keys(f"{axle}.tyre")


KEYS: dict[str, Key] = {key.dotted: key for key in _all_keys()}
"""Dotted key -> what is known about it, in the order of a written file."""


@cache
def numbers_in(table: str) -> Mapping[str, Key]:
    """Keys of a table's numbers by the vehicle's field that each fills."""
    return MappingProxyType({key.field: key for key in KEYS.values() if key.table == table and key.kind == "number"})


@cache
def needed_in(table: str) -> tuple[str, ...]:
    """Dotted keys that a part with links or a shock cannot do without."""
    return tuple(key.dotted for key in KEYS.values() if key.table == table and key.level == "B")


TABLES: frozenset[str] = frozenset(
    name for key in KEYS.values() if key.table for name in (key.table, key.table.partition(".")[0])
)
"""Dotted names of the tables that hold keys."""

OPEN_TABLES = ("setups", "uncertainty", "changes")
"""Tables whose keys the user names."""
