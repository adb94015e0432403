"""Invented readings of an invented vehicle, for round trips and for the demo files.

Every function takes a seeded generator and returns the text of a file of readings. What a person would
measure with an error (scale, ruler, stopwatch, and lengths written as settings) is drawn from that error.
Run as a script it writes the demo files: `python tests/simulated_readings.py`.
"""

from pathlib import Path

import numpy as np

DEGREE = np.pi / 180
G = 9.80665
REMARK = "invented readings of the demo vehicle"

# the demo vehicle, written out: masses in g, lengths in mm; `radius` under half the weight
TRUTH = {
    "mass": 2750.0,
    "position": 481320 / 2750,
    "height": 202368 / 2750,
    "wheelbase": 318.0,
    "rear_radius": 58.4,
    "front_radius": 57.6,
    "radius": 58.0,
    "rear_spring": 0.40,
    "front_spring": 0.46,
    "tyre": 3.4,
    "rear_damping": 11.0,
    "friction": 0.06,
    "stall": 7400.0,
    "no_load": 31.0,
    "rotor": 6200.0,
    "wheels": 940.0,
    "drag": 120.0,
    "grip": 2.4,
    "sliding": 2.1,
    "body_inertia": 15200.0,
    "body_mass": 1650.0,
}

BOUNCE = {"mass": 0.72, "rate": 0.36e3, "damping": 9.0, "motion_ratio": 0.90}
"""One axle's sprung part: kg, N/m and N s/m, the damping along the shock."""

ROTOR = f"""# {REMARK}: a 540-size can
# can_diameter_mm = 35.8
# can_length_mm = 50
motor_turns, wheel_turns, repeat
117, 3, 1
195, 5, 2
"""


def _text(settings, header, rows, remark=REMARK):
    lines = [f"# {remark}"]
    for name, value in settings.items():
        lines.append(f'# {name} = "{value}"' if isinstance(value, str) else f"# {name} = {value:.7g}")
    lines.append(", ".join(header))
    lines += [", ".join(cell if isinstance(cell, str) else f"{cell:.8g}" for cell in row) for row in rows]
    return "\n".join(lines) + "\n"


def _shown(digits):
    """Rounding to what a scale or ruler shows; none for round trips."""
    return (lambda value: value) if digits is None else (lambda value: round(float(value), digits))


def front_share(angle):
    """Front share of the weight, nose up by `angle`: plain moment balance, wheels over their contacts."""
    b, h, length = TRUTH["position"], TRUTH["height"], TRUTH["wheelbase"]
    rear, front = TRUTH["rear_radius"], TRUTH["front_radius"]
    return (b - (h - rear) * np.tan(angle)) / (length - (front - rear) * np.tan(angle))


def weighing(rng, *, digits=None, tips=5, by_height=False, tip_grade=None, lifts=(20, 30, 40)):
    """Level, front and rear lifted up and down, tip test."""
    shown, scale = _shown(digits), 1.0
    share = front_share(0.0)
    rows = [
        [
            "level",
            "",
            "",
            shown(TRUTH["mass"] * share + rng.normal(0, scale)),
            shown(TRUTH["mass"] * (1 - share) + rng.normal(0, scale)),
            "",
            repeat,
        ]
        for repeat in (1, 2, 3)
    ]
    for kind, side in (("front_lifted", 1), ("rear_lifted", -1)):
        for direction, angles in (("up", lifts), ("down", lifts[::-1])):
            rows += [_lifted_row(rng, kind, side, direction, nominal, shown, by_height) for nominal in angles]
    if tip_grade is None:
        tip_grade = np.arctan2(TRUTH["position"], TRUTH["height"]) / DEGREE
    rows += [["tip_front_up", shown(tip_grade + rng.normal(0, 0.3)), "", "", "", "", n] for n in range(1, tips + 1)]
    settings = {
        "wheelbase_mm": shown(TRUTH["wheelbase"] + rng.normal(0, 0.5)),
        "wheelbase_error_mm": 0.5,
        "rear_radius_mm": shown(TRUTH["rear_radius"] + rng.normal(0, 0.3)),
        "front_radius_mm": shown(TRUTH["front_radius"] + rng.normal(0, 0.3)),
        "radius_error_mm": 0.3,
        "scale_error_g": scale,
        "angle_error_deg": 0.2,
        "suspension": "blocked",
    }
    if by_height:
        settings["lift_error_mm"] = 0.5
    return _text(settings, ("kind", "angle_deg", "lift_mm", "front_g", "rear_g", "direction", "repeat"), rows)


def _lifted_row(rng, kind, side, direction, nominal, shown, by_height):
    if by_height:
        # blocks cut to a nominal height, in truth off by the error of a ruler; the line of the hubs falls by `fall` level
        lift = TRUTH["wheelbase"] * np.sin(nominal * DEGREE)
        between, fall = TRUTH["wheelbase"], TRUTH["rear_radius"] - TRUTH["front_radius"]
        risen = (side * (lift + rng.normal(0, 0.5)) - fall) / np.hypot(between, fall)
        angle = np.arcsin(risen) + np.arctan2(fall, between)
        where = ["", shown(lift)]
    else:
        angle = (side * nominal + rng.normal(0, 0.2)) * DEGREE
        where = [nominal, ""]
    share = front_share(angle)
    front, rear = TRUTH["mass"] * share, TRUTH["mass"] * (1 - share)
    loads = ["", shown(rear + rng.normal(0, 1.0))] if side > 0 else [shown(front + rng.normal(0, 1.0)), ""]
    return [kind, *where, *loads, direction, 1]


def spring(rng, *, axle="rear", digits=None):
    """Scale readings at ruler steps, pressing together and letting go; 4 g of scale, 0.3 mm of ruler."""
    shown, rate = _shown(digits), 0.5 * TRUTH[f"{axle}_spring"]
    rows = []
    for direction, side, steps in (("loading", 1, range(0, 21, 4)), ("unloading", -1, range(18, -1, -4))):
        for step in steps:
            force = 0.8 + rate * (step + rng.normal(0, 0.3)) + side * TRUTH["friction"]
            rows.append([step, shown(force / (G * 1e-3) + rng.normal(0, 4.0)), direction])
    return _text({"axle": axle, "number_of_shocks": 2}, ("compression_mm", "scale_g", "direction"), rows)


def tyre(rng, *, digits=None):
    """Hub height under added weight, 0.15 mm of noise."""
    shown, rows = _shown(digits), []
    for repeat in (1, 2):
        for added in (0, 500, 1000, 1500, 2000):
            height = TRUTH["radius"] - added * 1e-3 * G / TRUTH["tyre"]
            rows.append([added, shown(height + rng.normal(0, 0.15)), repeat])
    settings = {"axle": "both", "standing_load_g": 1375.0}
    if digits is None:
        settings["hub_height_error_mm"] = 0.15
    return _text(settings, ("added_g", "hub_height_mm", "repeat"), rows)


def falling_weight(rng, *, digits=None, one_way=1.0):
    """Times of fall, 2 ms of noise."""
    shown, rows = _shown(digits), []
    for direction, factor in (("compression", 1.0), ("extension", one_way)):
        for weight in (100, 150, 250):
            time = fall_time(0.022, weight * 1e-3, 0.5 * TRUTH["rear_damping"] * factor, TRUTH["friction"])
            rows += [[direction, weight, 22, shown(time + rng.normal(0, 0.002)), n] for n in (1, 2, 3)]
    header = ("direction", "weight_g", "distance_mm", "time_s", "repeat")
    return _text({"axle": "rear", "number_of_shocks": 2}, header, rows)


def fall_time(distance, mass, damping, friction):
    """Time of fall by bisection on the travel law."""
    speed, settling = (mass * G - friction) / damping, mass / damping
    low, high = 0.0, distance / speed + 10 * settling
    for _ in range(60):
        middle = 0.5 * (low + high)
        travel = speed * (middle - settling * (1 - np.exp(-middle / settling)))
        low, high = (middle, high) if travel < distance else (low, middle)
    return 0.5 * (low + high)


def bounce(rng, *, digits=None, repeats=2):
    """Turning points of a released bounce, 0.25 mm and 2 ms of noise."""
    shown, mass, rows = _shown(digits), BOUNCE["mass"], []
    decay = BOUNCE["damping"] * BOUNCE["motion_ratio"] ** 2 / (2 * mass)
    beat = np.sqrt(BOUNCE["rate"] / mass - decay**2)
    for repeat in range(1, repeats + 1):
        for half in range(5):
            time = half * np.pi / beat
            peak = 20 * np.exp(-decay * time) + rng.normal(0, 0.25)
            rows.append([half, shown(0.4 + time + rng.normal(0, 0.002)), shown(peak), repeat])
    # What the evening's scale reads over what is there: nothing in the demo file.
    gain = 1.0 if digits is not None else 1.0 + rng.normal(0, 0.005)
    settings = {
        "axle": "rear",
        "sprung_mass_g": shown(gain * mass * 1e3 + rng.normal(0, 10)),
        "sprung_mass_error_g": 10,
        "motion_ratio": shown(BOUNCE["motion_ratio"] + rng.normal(0, 0.01)),
        "motion_ratio_error": 0.01,
        "dynamic_index": 1,
    }
    return _text(settings, ("half_swing", "time_s", "peak_mm", "repeat"), rows)


def motor(rng, *, digits=None, throttles=(1.0, 0.5), acts_as=0.5, frames=40, noise=4.0, films=2):
    """Run-ups in the air and on the ground, `films` of each, noise in degrees of wheel angle."""
    shown = _shown(digits)
    stall, no_load, drag = TRUTH["stall"] * 1e-3, TRUTH["no_load"], TRUTH["drag"] * 1e-3
    turning = (TRUTH["rotor"] + TRUTH["wheels"]) * 1e-6
    rolling = TRUTH["mass"] * 1e-3 * (TRUTH["radius"] * 1e-3) ** 2
    rows, run = [], 0
    for throttle in throttles:
        share = throttle if throttle == max(throttles) else acts_as
        for surface, inertia, resistance in (("air", turning, 0.0), ("ground", turning + rolling, drag)):
            for _ in range(films):
                run += 1
                time = np.round(np.arange(frames) / 60.0, 4)
                constant, speed = inertia * no_load / stall, no_load * (share - resistance / stall)
                after = np.maximum(time - rng.uniform(0.02, 0.06), 0.0)
                angle = speed * (after - constant * (1 - np.exp(-after / constant))) / DEGREE
                angle += rng.normal(0, noise, frames)
                rows += [[run, surface, throttle, t, shown(a)] for t, a in zip(time, angle, strict=True)]
    settings = {
        "mass_g": TRUTH["mass"] + rng.normal(0, 2.0),
        "mass_error_g": 2.0,
        "rolling_radius_mm": TRUTH["radius"] + rng.normal(0, 0.3),
        "rolling_radius_error_mm": 0.3,
        "driven_wheels_inertia_kg_mm2": TRUTH["wheels"] + rng.normal(0, 15.0),
        "driven_wheels_inertia_error_kg_mm2": 15.0,
        "grip_coefficient": 2.4,
    }
    if digits is None:  # the demo file leaves out what its reader need not know
        settings |= {"slip_speed_mm_per_s": 0.0, "slip_ratio_scale": 0.0}
    settings = {name: value if digits is None else round(value, 1) for name, value in settings.items()}
    return _text(settings, ("run", "surface", "throttle", "time_s", "wheel_angle_deg"), rows)


def grip(rng, *, digits=None):
    """Eight pulls, 3 % of noise."""
    shown, mass = _shown(digits), TRUTH["mass"]
    rows = [
        [n, *(shown(mass * TRUTH[name] * (1 + rng.normal(0, 0.03))) for name in ("grip", "sliding"))]
        for n in range(1, 9)
    ]
    settings = {"load_g": shown(mass + rng.normal(0, 2.0)), "load_error_g": 2.0}
    return _text(settings, ("repeat", "peak_pull_g", "sliding_pull_g"), rows)


CONTACT = {
    "rolling": 0.028,
    "kx": 5.0,
    "share": 0.7,
    "chi": 0.6,
    "slip": 14.0,
    "slip_exponent": 0.8,
    "kz": 3.4,
    "height": 74.0,
    "base": 318.0,
}
"""Rolling resistance, rates (N/mm), shares, slip stiffness and how it goes with load, height of the centre of gravity and wheelbase (mm): invented."""


def rolling(rng, *, digits=None):
    """Five pulls there and back over a floor that falls by 0.3 %."""
    shown, mass = _shown(digits), TRUTH["mass"]
    rows = [
        [n, *(shown(mass * (CONTACT["rolling"] + fall) + rng.normal(0, 1.5)) for fall in (0.003, -0.003))]
        for n in range(1, 6)
    ]
    return _text({"load_g": shown(mass), "load_error_g": 2.0}, ("repeat", "pull_there_g", "pull_back_g"), rows)


def give(rng, *, digits=None):
    """Moments about the rear contact of a vehicle tied by its wheels, on tyres that give u = P / (2 kx) each."""
    shown, mass, c = _shown(digits), TRUTH["mass"], CONTACT
    weight, rows = mass * 9.80665e-3, []
    for pull in (0, 500, 1000, 1500) * 2:
        p = pull * 9.80665e-3
        u = p / (2 * c["kx"])
        # W b with b shortened by the tipping of the body: solved for the front load.
        drop = (p * 10.0 + c["share"] * u * weight) / (c["base"] - 2 * weight * c["height"] / (c["kz"] * c["base"]))
        front = 0.55 * mass - drop / 9.80665e-3
        repeat = 1 + len(rows) // 4
        rows.append([pull, shown(front + rng.normal(0, 1.0)), shown(u + rng.normal(0, 0.03)), repeat])
    settings = {
        "load_g": shown(mass),
        "wheelbase_mm": c["base"],
        "string_height_mm": 10,
        "tyre_stiffness_n_per_mm": c["kz"],
        "centre_of_gravity_height_mm": c["height"],
    }
    return _text(settings, ("pull_g", "front_scale_g", "hub_shift_mm", "repeat"), rows)


def rolled(rng, *, digits=None):
    """Ten turns under half, all and twice of the standing load."""
    shown, c, rows = _shown(digits), CONTACT, []
    for load in (650, 1300, 2600) * 3:
        radius = 62.0 - c["chi"] * load * 9.80665e-3 / c["kz"]
        rows.append([load, shown(20 * np.pi * radius + rng.normal(0, 3.0)), 1 + len(rows) // 3])
    return _text({"turns": 10, "tyre_stiffness_n_per_mm": c["kz"]}, ("axle_load_g", "way_mm", "repeat"), rows)


def slipping(rng, *, digits=None):
    """Ten turns of crawl against pulls, as it is and with 1.5 kg on top: the way is short by the slip that holds the pull at a grip of 2.2."""
    shown, mass, c, rows = _shown(digits), TRUTH["mass"], CONTACT, []
    for added, pulls, radius in ((0, (0, 500, 1000), 59.0), (1500, (0, 750, 1500), 57.7)):
        load = mass + added
        stiffness = c["slip"] * (load / mass) ** (c["slip_exponent"] - 1.0)
        for repeat in (1, 2, 3):
            for pull in pulls:
                lost = 2.2 * np.arctanh(pull / load / 2.2) / stiffness
                rows.append([added, pull, shown(20 * np.pi * radius * (1 - lost) + rng.normal(0, 3.0)), repeat])
    return _text({"load_g": shown(mass), "turns": 10}, ("added_g", "pull_g", "way_mm", "repeat"), rows)


def _swings(rng, period, noise, digits, names=()):
    shown = _shown(digits)
    # timed at 2 deg: longer than small swings by A^2 / 16, for threads and pins alike
    period *= 1.0 + (2 * DEGREE) ** 2 / 16
    return [[*names, 20, shown(20 * period + rng.normal(0, noise)), 2, n] for n in range(1, 6)]


def bifilar(rng, *, digits=None):
    """Twenty swings of the chassis on two threads, timed to 0.15 s."""
    mass, spacing, length = TRUTH["body_mass"] * 1e-3, 0.200, 1.200
    period = np.sqrt(16 * np.pi**2 * length * TRUTH["body_inertia"] * 1e-6 / (mass * G * spacing**2))
    settings = {
        "mass_g": TRUTH["body_mass"] + rng.normal(0, 1),
        "mass_error_g": 1,
        "thread_spacing_mm": 1e3 * spacing + rng.normal(0, 0.3),
        "thread_spacing_error_mm": 0.3,
        "thread_length_mm": 1e3 * length + rng.normal(0, 1),
        "thread_length_error_mm": 1,
    }
    return _pendulum_text(settings, _swings(rng, period, 0.15, digits), digits)


def pivot(rng, *, digits=None):
    """The chassis about one pin, 120 mm from its centre of gravity."""
    mass, distance = TRUTH["body_mass"] * 1e-3, 0.120
    settings = {
        "mass_g": TRUTH["body_mass"] + rng.normal(0, 1),
        "mass_error_g": 1,
        "pivot_distance_mm": 1e3 * distance + rng.normal(0, 0.5),
        "pivot_distance_error_mm": 0.5,
    }
    return _pendulum_text(settings, _swings(rng, _pin_period(mass, distance), 0.1, digits), digits)


def two_pivots(rng, *, digits=None):
    """The chassis about two pins on opposite sides of its centre of gravity."""
    mass, near, separation = TRUTH["body_mass"] * 1e-3, 0.030, 0.200
    rows = _swings(rng, _pin_period(mass, near), 0.1, digits, ["near"])
    rows += _swings(rng, _pin_period(mass, separation - near), 0.1, digits, ["far"])
    settings = {
        "mass_g": TRUTH["body_mass"] + rng.normal(0, 1),
        "mass_error_g": 1,
        "pivot_separation_mm": 1e3 * separation + rng.normal(0, 0.3),
        "pivot_separation_error_mm": 0.3,
        "pivots": "opposite_sides",
    }
    return _pendulum_text(settings, rows, digits, ["pivot"])


def _pin_period(mass, distance):
    about = TRUTH["body_inertia"] * 1e-6 + mass * distance**2
    return 2 * np.pi * np.sqrt(about / (mass * G * distance))


def _pendulum_text(settings, rows, digits, extra=()):
    if digits is not None:
        settings = {name: v if isinstance(v, str) else round(v, 1) for name, v in settings.items()}
    return _text({"part": "chassis", **settings}, (*extra, "swings", "time_s", "amplitude_deg", "repeat"), rows)


def board(rng, predict, grades, *, digits=None, error=3.0, tip_grade=None):
    """Scale readings under the front axle on the board, alternately up and down; `predict` gives N."""
    shown, rows = _shown(digits), []
    for direction, order in (("up", grades), ("down", grades[::-1])):
        for grade in order:
            reading = predict(grade) / (G * 1e-3) + rng.normal(0, error)
            rows.append(["front_load", grade, shown(reading), direction, 1])
    if tip_grade is not None:
        rows += [["tip_over", round(tip_grade + rng.normal(0, 0.3), 1), "", "", n] for n in (1, 2, 3)]
    settings = {
        "scale_error_g": error, "grade_error_deg": 0.1, "tip_error_deg": 0.3, "held_wheels": "rear",
        "zeroed_at_each_grade": "yes",
    }  # fmt: skip
    return _text(settings, ("kind", "grade_deg", "scale_g", "direction", "repeat"), rows)


def punch_log(rng, time, pitch, *, digits=None, offset=3.2, zero=1.5, error=0.4):
    """A phone's log of pitch over a punch at 50 readings a second, from its own zeros of time and pitch."""
    shown = _shown(digits)
    own = np.arange(-0.3, time[-1] - 0.05, 0.02)
    values = np.interp(own, time, pitch) + zero + rng.normal(0, error, len(own))
    settings = {"grade_deg": 35, "throttle": 1, "rise_s": 0.05, "pitch_error_deg": error}
    rows = [[round(t + offset, 3), shown(value)] for t, value in zip(own, values, strict=True)]
    return _text(settings, ("time_s", "nose_up_pitch_deg"), rows)


def demo_files(tip_grade, predict, run):
    """All demo files by name, from the demo vehicle's tip-over grade, front load over grade, and a punch."""
    rng = np.random.default_rng(20240)
    whole = weighing(rng, digits=1, tip_grade=tip_grade)
    return {
        "weighing.csv": whole,
        "weighing-by-tipping.csv": "".join(line for line in whole.splitlines(True) if "lifted" not in line),
        "spring-rear.csv": spring(rng, digits=0),
        "spring-front.csv": spring(rng, axle="front", digits=0),
        "tyre.csv": tyre(rng, digits=1),
        "damping-rear.csv": falling_weight(rng, digits=3),
        "damping-bounce.csv": bounce(rng, digits=3),
        "motor.csv": motor(rng, digits=0, throttles=(0.7, 0.35), acts_as=0.29, frames=60, noise=2.0),
        "grip.csv": grip(rng, digits=0),
        "contact-rolling.csv": rolling(np.random.default_rng(1), digits=0),
        "contact-give.csv": give(np.random.default_rng(2), digits=2),
        "contact-radius.csv": rolled(np.random.default_rng(3), digits=0),
        "contact-slip.csv": slipping(np.random.default_rng(4), digits=0),
        "inertia-bifilar.csv": bifilar(rng, digits=2),
        "inertia-pivot.csv": pivot(rng, digits=2),
        "rotor.csv": ROTOR,
        "board.csv": board(rng, predict, list(range(0, 56, 5)), digits=0, tip_grade=tip_grade),
        "punch-log.csv": punch_log(rng, run.time_s, run.traces["nose_up_pitch_deg"], digits=2),
    }


def write_demo_files():
    """Write scenarios/demo/readings from the demo vehicle's own predictions."""
    from noseload.model.file.reader import load_vehicle
    from noseload.studies.bench.board import BoardClimb
    from noseload.studies.climb.sweep import climb_of
    from noseload.studies.punch.punch import punch

    root = Path(__file__).parent.parent
    vehicle = load_vehicle(root / "scenarios" / "demo" / "demo.toml")
    climb, run = BoardClimb(climb_of, vehicle, "rear"), punch(vehicle, grade_deg=35.0)
    tip = climb.limits.tip_over_grade_deg
    folder = root / "scenarios" / "demo" / "readings"
    folder.mkdir(exist_ok=True)
    for name, text in demo_files(tip, lambda grade: climb.row(grade).front_load_n, run).items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    import sys

    sys.path.insert(0, str(Path(__file__).parent.parent))
    write_demo_files()
