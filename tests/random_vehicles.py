"""Seeded random plausible 1:10 crawlers (ranges: common practice, no source), and what can be done to all alike."""

from dataclasses import replace

import numpy as np

from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Axle, Body, Drive, Rod, Shock, Tyre, Vehicle

COUNT = 200
FEW = 50
"""The first of them, in the fast suite."""
DRIVES = ("both", "rear", "front")


def random_axle(random, centre, inward, radius, load_mass, held):
    """An axle at `centre` whose links and shock point inward (+1: toward larger x)."""
    length = random.uniform(0.09, 0.15)
    low, high = radius + random.uniform(-0.02, 0.0), radius + random.uniform(0.025, 0.045)
    lift = random.uniform(-0.01, 0.04)
    lower = Rod(
        (centre + inward * length, None, low + lift), (centre + inward * random.uniform(-0.005, 0.01), None, low)
    )
    upper = Rod(
        (centre + inward * length * random.uniform(0.6, 1.0), None, high + lift * random.uniform(0.0, 1.2)),
        (centre + inward * random.uniform(-0.01, 0.01), None, high),
    )
    sink = random.uniform(0.012, 0.03)
    shock = Shock(
        (centre + inward * random.uniform(0.02, 0.05), None, radius + random.uniform(0.09, 0.12)),
        (centre + inward * random.uniform(0.0, 0.015), None, radius + random.uniform(0.0, 0.015)),
        load_mass * STANDARD_GRAVITY / sink,
        10.0,
        random.uniform(0.01, 0.03),
        random.uniform(0.01, 0.03),
        random.uniform(1e4, 4e4),
        20.0,
        None,
        spring_held=held,
    )
    tyre = Tyre(None, radius, random.uniform(1500, 6000), 6.0, random.uniform(1.2, 2.5), 0.02, 0.1)
    return Axle(random.uniform(0.3, 0.6), 3e-4, 8e-4, tyre, lower, upper, shock)


def random_vehicle(seed):
    """A plausible 1:10 crawler (ranges: common practice, no source); every fourth has coils held at both ends."""
    random = np.random.default_rng(40_000 + seed)
    wheelbase, radius = random.uniform(0.29, 0.34), random.uniform(0.05, 0.065)
    mass = random.uniform(1.2, 2.2)
    share = random.uniform(0.4, 0.6)
    rear = random_axle(random, 0.0, 1.0, radius, mass * (1 - share), seed % 4 == 3)
    front = random_axle(random, wheelbase, -1.0, radius, mass * share, seed % 4 == 3)
    body = Body(mass, (wheelbase * share, random.uniform(0.09, 0.15)), 0.012)
    drive = Drive(DRIVES[seed % 3], random.uniform(1.5, 3.5), 28.0, 2.4e-4, 1.0, 0.0)
    return Vehicle(f"random {seed}", "C", wheelbase, body, rear, front, drive)


def random_vehicle_in_space(seed):
    """The same vehicle with links splayed, shocks leaning, tracks and shafts; in every fifth the rear upper link is single.

    What lies in the side view is as in `random_vehicle`; the shocks' stops and springs count from their true lengths.
    """
    random = np.random.default_rng(60_000 + seed)
    vehicle = random_vehicle(seed)
    track = random.uniform(0.16, 0.22)
    axles = {}
    for end in ("rear", "front"):
        axle = getattr(vehicle, end)
        sides = {
            "lower_link": (random.uniform(0.018, 0.04), random.uniform(0.05, 0.072)),
            "upper_link": (random.uniform(0.03, 0.055), random.uniform(0.006, 0.024)),
            "shock": (random.uniform(0.034, 0.05), random.uniform(0.042, 0.068)),
        }
        parts = {name: _to_the_left(getattr(axle, name), *sides[name]) for name in sides}
        axles[end] = replace(
            axle,
            roll_inertia=0.45 * axle.mass * (0.5 * track) ** 2,
            track_width=track * random.uniform(0.97, 1.03),
            axle_ratio=random.uniform(2.5, 4.5),
            shaft_direction=1.0 if random.random() < 0.5 else -1.0,
            **parts,
        )
    if seed % 5 == 0:
        axles["rear"] = _with_single_upper_link(axles["rear"], random)
    body = replace(vehicle.body, side_offset=random.uniform(-0.004, 0.004), roll_inertia=0.004, yaw_inertia=0.014)
    return replace(vehicle, body=body, track_width=track, **axles)


def _to_the_left(part, chassis_left, axle_left):
    (x0, _, z0), (x1, _, z1) = part.chassis_end, part.axle_end
    return replace(part, chassis_end=(x0, chassis_left, z0), axle_end=(x1, axle_left, z1))


def _with_single_upper_link(axle, random):
    left = random.uniform(-0.02, 0.02)
    upper = replace(_to_the_left(axle.upper_link, left, left), single=True)
    height = axle.tyre.loaded_radius + random.uniform(0.005, 0.02)
    across = Rod((-0.012, 0.055, height + 0.004), (-0.012, -0.055, height), True)
    return replace(axle, upper_link=upper, lateral_link=across)


def with_held_coils(vehicle, held=True):
    """The vehicle with the coils of both axles held at both ends, or not."""
    axles = {end: getattr(vehicle, end) for end in ("rear", "front")}
    return replace(
        vehicle, **{end: replace(axle, shock=replace(axle.shock, spring_held=held)) for end, axle in axles.items()}
    )


def symmetric_vehicle(seed, *, held=True):
    """A random vehicle with nothing off the middle: its links in pairs, its centre of gravity between them."""
    seed += seed // 4 + 1
    car = random_vehicle_in_space(seed)
    assert not car.rear.upper_link.single
    axles = {
        end: replace(getattr(car, end), shock=replace(getattr(car, end).shock, spring_held=held))
        for end in ("rear", "front")
    }
    return replace(car, body=replace(car.body, side_offset=0.0), **axles)


def random_grade_deg(seed):
    return float(np.random.default_rng(50_000 + seed).uniform(-40.0, 58.0))


def move(vehicle, change):
    """The vehicle with `change(x, z)` done to every point; rods and shocks keep their ends in order."""

    def moved(part):
        return replace(
            part,
            **{end: (*change(getattr(part, end)[0], getattr(part, end)[-1]),) for end in ("chassis_end", "axle_end")},
        )

    def three(part):
        part = moved(part)
        return replace(
            part, **{end: (getattr(part, end)[0], None, getattr(part, end)[1]) for end in ("chassis_end", "axle_end")}
        )

    axles = {
        end: replace(
            getattr(vehicle, end),
            **{name: three(getattr(getattr(vehicle, end), name)) for name in ("lower_link", "upper_link", "shock")},
        )
        for end in ("rear", "front")
    }
    body = replace(vehicle.body, centre_of_gravity=change(*vehicle.body.centre_of_gravity))
    return replace(vehicle, body=body, **axles)


def mirrored(vehicle):
    """Front and rear swapped: what was the nose is the tail."""
    turned = move(vehicle, lambda x, z: (vehicle.wheelbase - x, z))
    drive = replace(
        vehicle.drive, driven_axles={"both": "both", "rear": "front", "front": "rear"}[vehicle.drive.driven_axles]
    )
    return replace(turned, rear=turned.front, front=turned.rear, drive=drive)


def heavier(vehicle, factor):
    """All masses and all rates times a factor."""

    def axle(part):
        shock = replace(
            part.shock, spring_rate=factor * part.shock.spring_rate, stop_stiffness=factor * part.shock.stop_stiffness
        )
        tyre = replace(part.tyre, vertical_stiffness=factor * part.tyre.vertical_stiffness)
        return replace(part, mass=factor * part.mass, shock=shock, tyre=tyre)

    return replace(
        vehicle,
        body=replace(vehicle.body, mass=factor * vehicle.body.mass),
        rear=axle(vehicle.rear),
        front=axle(vehicle.front),
        drive=replace(vehicle.drive, stall_torque=factor * vehicle.drive.stall_torque),
    )


def larger(vehicle, factor):
    """All lengths times a factor, all rates divided by it: the same angles under the same weight."""

    def axle(part):
        shock = replace(
            part.shock,
            **{
                name: getattr(part.shock, name) * scale
                for name, scale in (
                    ("spring_rate", 1 / factor),
                    ("stop_stiffness", 1 / factor),
                    ("droop_travel", factor),
                    ("bump_travel", factor),
                )
            },
        )
        tyre = replace(
            part.tyre,
            loaded_radius=factor * part.tyre.loaded_radius,
            vertical_stiffness=part.tyre.vertical_stiffness / factor,
        )
        return replace(part, shock=shock, tyre=tyre)

    grown = move(vehicle, lambda x, z: (factor * x, factor * z))
    return replace(
        grown,
        wheelbase=factor * vehicle.wheelbase,
        rear=axle(grown.rear),
        front=axle(grown.front),
        drive=replace(vehicle.drive, stall_torque=factor * vehicle.drive.stall_torque),
    )
