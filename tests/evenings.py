"""Simulated evenings of vehicles that know more than the fit: own physics, a gauge and scales that err alike all evening.

Every maker takes a seeded generator and gives readings and the truth by key. Trajectories are worked out once; an evening
draws starts, zeros, gains and noise, so that two hundred cost seconds.
"""

from functools import cache

import numpy as np
from scipy.integrate import solve_ivp
from scipy.special import ellipk

from noseload.csv_input import Readings
from noseload.studies.measuring import contact, damping, grip, inertia, motor, springs
from noseload.studies.weighing.layout import WEIGH_LAYOUT

G = 9.80665
GRAM_N = 1e-3 * G


def readings(layout, settings, **columns):
    """A sound file of readings, as the reader would give it."""
    count = len(next(iter(columns.values())))
    known = {entry.name: settings.pop(entry.name, entry.default) for entry in layout.settings}
    assert not settings, settings
    cells = {}
    for column in layout.columns:
        empty = column.default if column.default is not None else (np.nan if column.kind == "number" else "")
        kind = float if column.kind == "number" else object
        cells[column.name] = np.array(columns.pop(column.name, [empty] * count), dtype=kind)
    assert not columns, columns
    return Readings("evening", layout.title, known, cells, np.arange(1, count + 1))


def gain(rng):
    """What a scale reads over what is there."""
    return 1.0 + rng.normal(0.0, 0.005)


def zero(rng):
    """What the angle gauge reads too much, deg."""
    return rng.normal(0.0, 0.2)


# swings ------------------------------------------------------------------------------------


def swings(rng, period, noise=0.12, count=5):
    """Twenty swings that fade from 11 deg to 6: each lasts as long as a pendulum of its size (complete elliptic integral)."""
    sizes = np.radians(11.0 * (6.0 / 11.0) ** (np.arange(20) / 19.0))
    whole = period * float(np.sum(2.0 * ellipk(np.sin(sizes / 2.0) ** 2) / np.pi))
    return {
        "swings": [20.0] * count,
        "time_s": whole + rng.normal(0.0, noise, count),
        "amplitude_deg": [8.3] * count,
        "repeat": np.arange(1.0, count + 1),
    }


CHASSIS = {"mass": 1.65, "inertia": 0.0152}


def threads(rng, tray):
    """A chassis 15 mm off the middle of two threads, on a tray or bare: each thread has its statical share of the weight."""
    mass, own, offset, spacing, length = CHASSIS["mass"], CHASSIS["inertia"], 0.015, 0.1, 1.2
    tray_mass, tray_inertia = (0.2, 0.0009) if tray else (0.0, 0.0)
    centre = mass * offset / (mass + tray_mass)
    whole = own + mass * (offset - centre) ** 2 + tray_inertia + tray_mass * centre**2
    places = np.array([-0.5 * spacing - centre, 0.5 * spacing - centre])
    shares = np.array([places[1], -places[0]]) / spacing
    period = 2.0 * np.pi / np.sqrt((mass + tray_mass) * G / length * float(shares @ places**2) / whole)
    scale = gain(rng)
    settings = {
        "part": "chassis",
        "mass_g": 1e3 * mass * scale + rng.normal(0.0, 1.0),
        "thread_spacing_mm": 1e3 * spacing + rng.normal(0.0, 0.3),
        "thread_length_mm": 1e3 * length + rng.normal(0.0, 1.0),
        "part_offset_mm": 1e3 * offset + rng.normal(0.0, 1.0),
        "fixture_mass_g": 1e3 * tray_mass * scale,
        "fixture_inertia_kg_mm2": 1e6 * tray_inertia * scale,
    }
    cells = swings(rng, period) | {"amplitude_deg": [0.0] * 5}
    # Small swings: the finite ones of two threads lift the mass as well.
    cells["time_s"] = 20 * period + rng.normal(0.0, 0.12, 5)
    return readings(inertia.BIFILAR_LAYOUT, settings, **cells), {"pitch_inertia_kg_mm2": 1e6 * own}


def pin_period(distance):
    """Of small swings of the chassis about a pin."""
    about = CHASSIS["inertia"] + CHASSIS["mass"] * distance**2
    return 2.0 * np.pi * np.sqrt(about / (CHASSIS["mass"] * G * distance))


def one_pin(rng):
    """The chassis about one pin 120 mm away."""
    settings = {
        "part": "chassis",
        "mass_g": 1e3 * CHASSIS["mass"] * gain(rng) + rng.normal(0.0, 1.0),
        "pivot_distance_mm": 120.0 + rng.normal(0.0, 0.5),
    }
    truth = {"pitch_inertia_kg_mm2": 1e6 * CHASSIS["inertia"]}
    return readings(inertia.COMPOUND_LAYOUT, settings, **swings(rng, pin_period(0.12))), truth


def two_pins(rng):
    """About two pins on both sides, 30 and 170 mm away."""
    near, far = swings(rng, pin_period(0.03)), swings(rng, pin_period(0.17))
    cells = {name: np.concatenate([near[name], far[name]]) for name in near}
    settings = {
        "part": "chassis",
        "mass_g": 1e3 * CHASSIS["mass"] * gain(rng) + rng.normal(0.0, 1.0),
        "pivot_separation_mm": 200.0 + rng.normal(0.0, 0.3),
        "pivots": "opposite_sides",
    }
    truth = {"pitch_inertia_kg_mm2": 1e6 * CHASSIS["inertia"], "near_pivot_distance_mm": 30.0}
    return readings(inertia.DOUBLE_LAYOUT, settings, pivot=["near"] * 5 + ["far"] * 5, **cells), truth


# springs, tyres, shocks --------------------------------------------------------------------


def spring(rng):
    """A coil that rubs by 0.06 N, pressed in and let go beside a ruler; the scale a little off."""
    steps = np.concatenate([np.arange(0.0, 21.0, 4.0), np.arange(18.0, -1.0, -4.0)])
    side = np.array([1.0] * 6 + [-1.0] * 5)
    force = 0.8 + 0.2 * (steps + rng.normal(0.0, 0.3, 11)) + 0.06 * side
    scale_g = gain(rng) * force / GRAM_N + rng.normal(0.0, 4.0, 11)
    words = np.where(side > 0, "loading", "unloading")
    cells = {"compression_mm": steps, "scale_g": scale_g, "direction": words}
    return readings(springs.SPRING_LAYOUT, {"axle": "rear"}, **cells), {
        "spring_rate_n_per_mm": 0.4,
        "dry_friction_n": 0.06,
    }


def tyre(rng, exponent):
    """Hub heights under five loads of a tyre whose force grows as a power of its depth."""
    free, standing, scale = 58.0, 700.0, gain(rng)
    loads = np.array([0.0, 300.0, 600.0, 900.0, 1400.0])
    heights = free - 4.0 * ((standing + loads) / standing) ** (1.0 / exponent) + rng.normal(0.0, 0.15, 5)
    settings = {"axle": "both", "standing_load_g": standing * scale, "hub_height_error_mm": 0.15}
    truth = {"radius_mm": free}
    if exponent == 1.0:
        truth["vertical_stiffness_n_per_mm"] = standing * GRAM_N / 4.0
    return readings(springs.TYRE_LAYOUT, settings, added_g=loads * scale, hub_height_mm=heights), truth


@cache
def fall_times():
    """Times in which weights of 100, 150 and 250 g drive a damper of 5.5 N s/m with 0.06 N of rubbing through 22 mm."""
    found = []
    for mass in (0.1, 0.15, 0.25):
        law = lambda t, y, m=mass: [y[1], G - (0.06 * np.tanh(y[1] / 1e-4) + 5.5 * y[1]) / m]  # noqa: E731
        mark = lambda t, y: y[0] - 0.022  # noqa: E731
        mark.terminal = True
        found.append(float(solve_ivp(law, (0.0, 2.0), [0.0, 0.0], events=mark, rtol=1e-9, atol=1e-12).t_events[0][0]))
    return np.array(found)


def falling_weight(rng):
    """Three weights, both directions, three repeats, 2 ms of film."""
    times = np.tile(np.repeat(fall_times(), 3), 2)
    cells = {
        "direction": ["compression"] * 9 + ["extension"] * 9,
        "weight_g": np.tile(np.repeat([100.0, 150.0, 250.0], 3), 2) * gain(rng),
        "distance_mm": [22.0] * 18,
        "time_s": times + rng.normal(0.0, 0.002, 18),
        "repeat": np.tile([1.0, 2.0, 3.0], 6),
    }
    return readings(damping.FALL_LAYOUT, {"axle": "rear"}, **cells), {"damping_n_s_per_m": 11.0}


@cache
def tail_turns(friction):
    """Turning points (s, mm) of the tail of a vehicle that heaves and pitches, dynamic index 0.35; dry friction of each end, N."""
    mass, index, arm, rate, damp = 1.5, 0.35, 0.16, 360.0, 4.0
    turning, sides = index * mass * arm**2, np.array([1.0, -1.0])

    def law(t, y):
        ends, speeds = y[0] + sides * arm * y[1], y[2] + sides * arm * y[3]
        push = -rate * ends - damp * speeds - friction * np.tanh(speeds / 1e-3)
        return [y[2], y[3], push.sum() / mass, (sides * arm * push).sum() / turning]

    times = np.arange(0.0, 1.2, 2e-4)
    state = solve_ivp(
        law, (0.0, 1.2), [0.01, 0.01 / arm, 0.0, 0.0], t_eval=times, rtol=1e-7, atol=1e-9, max_step=2e-3
    ).y
    tail = state[0] + arm * state[1]
    turns = np.flatnonzero(np.diff(np.sign(np.diff(tail)))) + 1
    return np.append(0.0, times[turns[:6]]), np.append(20.0, np.abs(1e3 * tail[turns[:6]]))


def two_ended_bounce(rng, friction):
    """What a film of the tail shows of it."""
    times, peaks = tail_turns(friction)
    peaks = np.abs(peaks + rng.normal(0.0, 0.1, len(peaks)))
    keep = peaks > 0.2
    cells = {"half_swing": np.arange(len(times))[keep], "time_s": (times + rng.normal(0, 0.002, len(times)))[keep]}
    settings = {"axle": "rear", "sprung_mass_g": 750.0, "motion_ratio": 1.0}
    return readings(damping.BOUNCE_LAYOUT, settings, peak_mm=peaks[keep], **cells), {"damping_n_s_per_m": 4.0}


# motor -------------------------------------------------------------------------------------

MOTOR = {"stall": 7.4, "no_load": 31.0, "rotor": 6.2e-3, "wheels": 0.94e-3, "mass": 2.75, "radius": 0.058, "drag": 0.12}
THROTTLE, GRIP, SLIP_SPEED, SLIP_RATIO = 0.7, 2.2, 0.02, 0.1


@cache
def run_up(surface, rise):
    """Wheel angle over time of a run-up whose throttle a speed controller lets rise evenly; tyres that slip on the ground."""
    m, turning = MOTOR, MOTOR["rotor"] + MOTOR["wheels"]
    load = GRIP * m["mass"] * G

    def law(t, y):
        throttle = THROTTLE * min(1.0, t / rise if rise > 0.0 else 1.0)
        torque = m["stall"] * (throttle - y[0] / m["no_load"])
        if surface == "air":
            return [torque / turning, 0.0, y[0]]
        force = load * np.tanh((y[0] * m["radius"] - y[1]) / (SLIP_SPEED + SLIP_RATIO * abs(y[1])))
        drag = m["drag"] * np.tanh(y[0] / 0.05)
        return [(torque - drag - force * m["radius"]) / turning, force / m["mass"], y[0]]

    times = np.arange(0.0, 1.2, 1e-3)
    solved = solve_ivp(
        law, (0.0, 1.2), [0.0, 0.0, 0.0], method="LSODA", t_eval=times, rtol=1e-8, atol=1e-10, max_step=5e-3
    )
    return times, solved.y[2]


def films(rng, rise, frames=50):
    """Two films in the air, two on the ground, 2 deg of reading."""
    seen = np.arange(frames) / 50.0
    cells = {"run": [], "surface": [], "time_s": [], "wheel_angle_deg": []}
    for run, surface in enumerate(("air", "ground", "air", "ground"), start=1):
        times, angle = run_up(surface, rise)
        turned = np.degrees(np.interp(seen - rng.uniform(0.02, 0.06), times, angle, left=0.0))
        cells["run"] += [float(run)] * frames
        cells["surface"] += [surface] * frames
        cells["time_s"] += list(seen)
        cells["wheel_angle_deg"] += list(turned + rng.normal(0.0, 2.0, frames))
    m, scale = MOTOR, gain(rng)
    settings = {
        "mass_g": 1e3 * m["mass"] * scale + rng.normal(0.0, 2.0),
        "rolling_radius_mm": 1e3 * m["radius"] + rng.normal(0.0, 0.3),
        "driven_wheels_inertia_kg_mm2": 1e6 * m["wheels"],
        "grip_coefficient": GRIP,
    }
    truth = {
        "stall_torque_n_mm": 1e3 * m["stall"],
        "no_load_speed_rad_per_s": m["no_load"],
        "rotor_inertia_kg_mm2": 1e6 * m["rotor"],
    }
    return readings(motor.MOTOR_LAYOUT, settings, throttle=[THROTTLE] * len(cells["run"]), **cells), truth


# grip and contact --------------------------------------------------------------------------

MASS = 2750.0


def pulls(rng):
    """Eight pulls by a luggage scale; the vehicle on another."""
    peak = gain(rng) * MASS * 2.4 * (1.0 + rng.normal(0.0, 0.03, 8))
    settings = {"load_g": MASS * gain(rng) + rng.normal(0.0, 2.0)}
    cells = {"repeat": np.arange(1.0, 9.0), "peak_pull_g": peak, "sliding_pull_g": peak * 2.1 / 2.4}
    return readings(grip.PULL_LAYOUT, settings, **cells), {"grip_coefficient": 2.4, "sliding_grip_coefficient": 2.1}


def slides(rng):
    """Eight angles at which it slides, read off one gauge."""
    angle = np.degrees(np.arctan(1.6)) + zero(rng) + rng.normal(0.0, 0.5, 8)
    return readings(grip.SLIDE_LAYOUT, {}, repeat=np.arange(1.0, 9.0), slide_grade_deg=angle), {"grip_coefficient": 1.6}


def rolled_free(rng):
    """Pulled there and back over a floor that falls by 0.3 %."""
    pulled = gain(rng)
    there, back = (pulled * MASS * (0.028 + fall) + rng.normal(0.0, 1.5, 6) for fall in (0.003, -0.003))
    settings = {"load_g": MASS * gain(rng) + rng.normal(0.0, 2.0)}
    cells = {"repeat": np.arange(1.0, 7.0), "pull_there_g": there, "pull_back_g": back}
    return readings(contact.ROLLING_LAYOUT, settings, **cells), {"rolling_resistance": 0.028}


def pulled_back(rng):
    """A string pulls the body back: both axles' tyres give, the body tips on them, the load's resultant follows the give."""
    pull = np.tile([0.0, 500.0, 1000.0, 1500.0], 2)
    rate, share, upright, height, base, weight = 5.0, 0.7, 3.4, 74.0, 318.0, MASS * GRAM_N
    force = pull * GRAM_N
    give = force / (2.0 * rate)
    front = 0.55 * weight
    for _ in range(60):
        # Nose up by the difference of what both axles' tyres are pressed in: the centre of gravity moves back by it.
        tipped = 2.0 * (0.55 * weight - front) / (upright * base)
        front = 0.55 * weight - (force * 10.0 + share * give * weight + weight * height * tipped) / base
    settings = {
        "load_g": MASS * (scale := gain(rng)) + rng.normal(0.0, 2.0),
        "wheelbase_mm": base,
        "tyre_stiffness_n_per_mm": upright,
        "centre_of_gravity_height_mm": height,
    }
    cells = {
        "pull_g": pull * gain(rng),
        "front_scale_g": scale * front / GRAM_N + rng.normal(0.0, 1.0, 8),
        "hub_shift_mm": give + rng.normal(0.0, 0.03, 8),
        "repeat": np.repeat([1.0, 2.0], 4),
    }
    return readings(contact.GIVE_LAYOUT, settings, **cells), {
        "lengthwise_stiffness_n_per_mm": rate,
        "contact_offset_share": share,
    }


def rolled_under_loads(rng):
    """One axle rolled ten turns under half, all and twice of its load."""
    load = np.repeat([650.0, 1300.0, 2600.0], 3)
    way = 20.0 * np.pi * (62.0 - 0.6 * load * GRAM_N / 3.4) + rng.normal(0.0, 3.0, 9)
    settings = {"axle": "both", "tyre_stiffness_n_per_mm": 3.4 + rng.normal(0.0, 0.1)}
    cells = {"axle_load_g": load * gain(rng), "way_mm": way, "repeat": np.tile([1.0, 2.0, 3.0], 3)}
    return readings(contact.RADIUS_LAYOUT, settings, **cells), {"rolling_radius_share": 0.6}


def against_a_pull(rng):
    """Ten turns of crawl; slip is where the file's own law puts the traction: mu tanh(slip / scale), not its straight line."""
    pull, most, stiffness = np.repeat([0.0, 500.0, 1000.0], 3), 2.2, 14.0
    slip = most / stiffness * np.arctanh(pull / MASS / most)
    way = 20.0 * np.pi * 59.0 * (1.0 - slip) + rng.normal(0.0, 3.0, 9)
    settings = {"load_g": MASS * gain(rng) + rng.normal(0.0, 2.0)}
    cells = {"pull_g": pull * gain(rng), "way_mm": way, "repeat": np.tile([1.0, 2.0, 3.0], 3)}
    return readings(contact.SLIP_LAYOUT, settings, **cells), {"slip_stiffness": stiffness}


@cache
def slip_of_two_axles(pull, added, exponent):
    """Slip at which both axles together pull that much (g), the nose 55 % of the weight and lightened by the string."""
    most, stiffness, half, base, height = 2.2, 14.0, 0.5 * MASS, 318.0, 59.0
    moved = pull * height / base
    loads = np.array([0.45 * MASS + 0.5 * added + moved, 0.55 * MASS + 0.5 * added - moved])
    begins = stiffness * half * (loads / half) ** exponent
    low, high = 0.0, 1.0
    for _ in range(60):
        slip = 0.5 * (low + high)
        low, high = (
            (slip, high) if np.sum(most * loads * np.tanh(begins * slip / (most * loads))) < pull else (low, slip)
        )
    return slip


def against_a_pull_with_mass_on_top(rng, exponent=0.75):
    """The same of a vehicle with two axles of unlike load, as it is and with 1.5 kg on top, on which it rolls on less radius."""
    added, pull = (column.ravel() for column in np.meshgrid([0.0, 1500.0], np.repeat([0.0, 450.0, 900.0, 1300.0], 4)))
    radius = 62.0 - 0.6 * 0.5 * (MASS + added) * GRAM_N / 3.4
    slip = np.array([slip_of_two_axles(p, m, exponent) for p, m in zip(pull, added, strict=True)])
    way = 20.0 * np.pi * radius * (1.0 - slip) + rng.normal(0.0, 3.0, len(pull))
    scale = gain(rng)
    cells = {
        "added_g": added * scale,
        "pull_g": pull * gain(rng),
        "way_mm": way,
        "repeat": np.tile(np.repeat([1, 2, 3, 4], 2), 4),
    }
    return readings(contact.SLIP_LAYOUT, {"load_g": MASS * scale + rng.normal(0.0, 2.0)}, **cells), {
        "slip_stiffness": 14.0,
        "slip_stiffness_exponent": exponent,
    }


# weighing ----------------------------------------------------------------------------------


def axle_loads(nose_up, rise=None):
    """Loads (g) of a blocked vehicle on round tyres that give 3.4 N/mm, turned nose up (rad) or by blocks (m), by moments.

    Returns the angle too. Points in its own frame, mm: centre of gravity (175, 73.6), wheel centres (0, 58) and (318, 58).
    """
    front, angle = MASS * 175.0 / 318.0, nose_up
    for _ in range(40):
        if rise is not None:
            # The line of the wheel centres climbs by the blocks and by what the tyres are pressed in less and more.
            shift = 2.0 * (MASS * 175.0 / 318.0 - front) * GRAM_N / 3.4
            angle = np.arcsin((rise + shift) / 318.0)
        centre = 175.0 * np.cos(angle) - (73.6 - 58.0) * np.sin(angle)
        front = MASS * centre / (318.0 * np.cos(angle))
    return front, MASS - front, angle


def weighing(rng, by_height):
    """Level, lifted at both ends up and down, tipped: one gauge and one scale all evening."""
    tilt, scale, rows = np.radians(zero(rng)), gain(rng), []

    def read(load):
        return scale * load + rng.normal(0.0, 1.0)

    front, rear, _ = axle_loads(0.0)
    rows += [("level", np.nan, np.nan, read(front), read(rear), "", k) for k in (1, 2, 3)]
    for kind, side in (("front_lifted", 1.0), ("rear_lifted", -1.0)):
        for way in ("up", "down"):
            for nominal in (20.0, 30.0, 40.0):
                if by_height:
                    lift = 318.0 * np.sin(np.radians(nominal))
                    front, rear, _ = axle_loads(0.0, side * (lift + rng.normal(0.0, 0.5)))
                    where = (np.nan, lift)
                else:
                    front, rear, _ = axle_loads(side * np.radians(nominal))
                    where = (nominal + side * np.degrees(tilt) + rng.normal(0.0, 0.2), np.nan)
                loads = (np.nan, read(rear)) if side > 0 else (read(front), np.nan)
                rows.append((kind, *where, *loads, way, 1))
    tip = np.degrees(np.arctan2(175.0, 73.6) + tilt)
    rows += [("tip_front_up", tip + rng.normal(0.0, 0.3), np.nan, np.nan, np.nan, "", k) for k in range(1, 7)]
    names = ("kind", "angle_deg", "lift_mm", "front_g", "rear_g", "direction", "repeat")
    settings = {
        "wheelbase_mm": 318.0 + rng.normal(0.0, 0.5),
        "rear_radius_mm": 58.0 + rng.normal(0.0, 0.3),
        "front_radius_mm": 58.0 + rng.normal(0.0, 0.3),
    }
    if by_height:
        settings["tyre_stiffness_n_per_mm"] = 3.4
    truth = {
        "total_mass_g": MASS,
        "front_g": MASS * 175.0 / 318.0,
        "centre_of_gravity_from_rear_mm": 175.0,
        "centre_of_gravity_height_mm": 73.6,
        "level_distance_over_tan_mm": 73.6,
    }
    return readings(WEIGH_LAYOUT, settings, **dict(zip(names, zip(*rows, strict=True), strict=True))), truth
