"""What the world hands a program: vehicles of all sizes, damaged files, damaged readings, odd surroundings.

Everything is drawn from a seed. `python tests/wild.py --what vehicles --count 10000 --seed 1` tries that many and prints
what was neither a result nor a named failure; the suite runs a few of each (tests/robust/test_wild.py).
"""

import argparse
import contextlib
import io
import os
import random
import sys
import tempfile
import time
import tomllib
import traceback
from pathlib import Path

from noseload.model import parse_vehicle, write_vehicle

DEMO = Path(__file__).parents[1] / "scenarios" / "demo"
SETUPS = {"raised": {"rear.upper_link.axle_end_mm": 0.04}, "wide": {"front.upper_link.chassis_end_mm": -0.03}}
"""Setups: how much higher the end lies, of the wheelbase."""
G = 9.80665
EXIT_CODES = (0, 2, 3)
LONGEST_S = 30.0
"""A command on one file that takes longer is a fault."""


def wild_document(seed):
    """Document of a random crawler from 1:24 to 1:5, 0.3 to 15 kg (ranges: common practice, no source).

    Parameters
    ----------
    seed : int

    Returns
    -------
    dict
        As a TOML reader returns it.
    """
    rng = random.Random(f"vehicle {seed}")
    u = rng.uniform
    size = 10.0 / 24.0 * (24.0 / 5.0) ** rng.random()
    wheelbase = 300.0 * size * u(0.9, 1.1)
    mass = min(15000.0, max(300.0, 2600.0 * size**3 * 2.0 ** u(-1.0, 1.0)))
    axle_share = u(0.12, 0.26)
    share = u(0.38, 0.66)
    radius = wheelbase * u(0.15, 0.21)
    body = mass * (1.0 - 2.0 * axle_share)
    axles = {end: mass * axle_share * u(0.9, 1.1) for end in ("rear", "front")}
    document = {
        "name": f"wild {seed}",
        "wheelbase_mm": _shown(wheelbase),
        "body": {"mass_g": _shown(body), "centre_of_gravity_mm": [_shown(share * wheelbase), _shown(u(0.24, 0.46) * wheelbase)]},
        "tyre": {
            "loaded_radius_mm": _shown(radius),
            "vertical_stiffness_n_per_mm": _shown(mass * 1e-3 * G / (4.0 * radius * u(0.03, 0.15))),
            "grip_coefficient": _shown(u(0.6, 3.0)),
        },
        "drive": {"driven_axles": rng.choice(["both", "both", "rear", "front"])},
    }  # fmt: skip
    if document["drive"]["driven_axles"] == "both" and rng.random() < 0.25:
        document["drive"]["front_overdrive"] = _shown(u(0.7, 1.35))
    if rng.random() < 0.4:
        document["drive"] |= {
            "stall_torque_n_mm": _shown(mass * 1e-3 * G * radius * u(0.5, 4.0)),
            "no_load_speed_rad_per_s": _shown(u(10.0, 80.0)),
            "drag_brake_torque_n_mm": _shown(mass * 1e-3 * G * radius * u(0.0, 1.5)),
        }
    for end, start, inward in (("rear", 0.0, 1.0), ("front", wheelbase, -1.0)):
        load = body * (1.0 - share if end == "rear" else share) * 1e-3 * G
        document[end] = _wild_axle(rng, start, inward, wheelbase, radius, load) | {"axle_mass_g": _shown(axles[end])}
    height = document["rear"]["upper_link"]["axle_end_mm"]
    document["setups"] = {
        "raised": {"rear.upper_link.axle_end_mm": [height[0], _shown(height[1] + 0.04 * wheelbase)]},
        "reset": {"ride_height": "reset", "body.centre_of_gravity_mm": [
            document["body"]["centre_of_gravity_mm"][0], _shown(u(0.2, 0.5) * wheelbase)]},
    }  # fmt: skip
    return document


def _shown(value):
    return float(f"{value:.4g}")


def _wild_axle(rng, start, inward, wheelbase, radius, load_n):
    u = rng.uniform

    def point(x, z):
        return [_shown(start + inward * x * wheelbase), _shown(z)]

    length, sag = u(0.25, 0.46), wheelbase * u(0.02, 0.12)
    low, high = radius - wheelbase * u(0.0, 0.05), radius + wheelbase * u(0.05, 0.13)
    lower_chassis, gap = radius + wheelbase * u(-0.05, 0.06), wheelbase * u(0.05, 0.15)
    axle = {
        "lower_link": {"chassis_end_mm": point(length, lower_chassis), "axle_end_mm": point(u(-0.01, 0.07), low)},
        "upper_link": {
            "chassis_end_mm": point(length * u(0.7, 1.05), lower_chassis + gap),
            "axle_end_mm": point(u(-0.03, 0.05), high),
        },
        "shock": {
            "chassis_end_mm": point(u(0.08, 0.28), radius + wheelbase * u(0.2, 0.36)),
            "axle_end_mm": point(u(0.0, 0.1), radius + wheelbase * u(-0.02, 0.05)),
            "spring_rate_n_per_mm": _shown(load_n / sag),
        },
    }
    if rng.random() < 0.7:
        axle["shock"] |= {
            "droop_travel_mm": _shown(wheelbase * u(0.02, 0.1)),
            "bump_travel_mm": _shown(wheelbase * u(0.03, 0.12)),
        }
    if rng.random() < 0.5:
        axle["shock"]["damping_n_s_per_m"] = _shown(load_n * u(0.5, 4.0))
    return axle


def wild_vehicle(seed):
    """The vehicle of `wild_document`, through the reader of files."""
    return parse_vehicle(tomllib.loads(write_vehicle(wild_document(seed))), file=f"wild-{seed}.toml")


def damaged_text(seed):
    """Bytes of a vehicle file to which something happened: values, keys, lines, characters, bytes, nesting."""
    rng = random.Random(f"damage {seed}")
    text = rng.choice([(DEMO / "demo.toml").read_text(encoding="utf-8"), write_vehicle(wild_document(seed))])
    for _ in range(rng.choice([1, 1, 1, 2, 5])):
        text = rng.choice(DAMAGES)(rng, text)
    data = text.encode("utf-8", "surrogatepass")
    if rng.random() < 0.15 and data:
        place = rng.randrange(len(data))
        data = rng.choice(
            [data[:place], data[:place] + bytes([rng.randrange(256)]) + data[place + 1 :], data + data[:place]]
        )
    return data


ODD_VALUES = (
    "0", "-1", "1e300", "5e-324", "-0.0", "nan", "inf", "true", '""', '"5"', "[]", "{}", "[1]", "[1,2,3,4]", "1e9", "1e-9",
    "2024-01-01", "0x7fffffffffffffff", "9" * 400, "[nan, 1]", "[[1,2],[3,4]]", '"\\u001b[31m"', "'''\n'''", "1_0", "1,5", "",
)  # fmt: skip


def _other_value(rng, text):
    lines = text.splitlines()
    places = [n for n, line in enumerate(lines) if " = " in line]
    if places:
        place = rng.choice(places)
        name, _, value = lines[place].partition(" = ")
        number = rng.choice(["{}e3", "{}e-3", "{}0", "-{}", "{}e5", "0.1{}", "{}.5"]).format(value)
        lines[place] = f"{name} = {rng.choice([number, rng.choice(ODD_VALUES)])}"
    return "\n".join(lines)


def _lost_line(rng, text):
    lines = text.splitlines()
    if lines:
        del lines[rng.randrange(len(lines))]
    return "\n".join(lines)


def _moved_line(rng, text):
    lines = text.splitlines()
    if lines:
        lines.insert(rng.randrange(len(lines)), lines[rng.randrange(len(lines))])
    return "\n".join(lines)


def _other_letter(rng, text):
    place = rng.randrange(len(text) + 1)
    letter = rng.choice("=[]{}\"'#.,\n\r\t\x00\x1b\u202e\u00e9\u65e5\ud800 0123456789eE+-_")
    return text[:place] + letter + text[place + rng.choice([0, 1]) :]


def _lost_letters(rng, text):
    place = rng.randrange(len(text) + 1)
    return text[:place] + text[place + rng.randrange(1, 30) :]


def _nested(rng, text):
    depth = rng.choice([10, 200, 3000])
    return text + rng.choice(
        [
            f"\nx = {'[' * depth}{']' * depth}\n",
            "\n" + ".".join("a" * depth) + " = 1\n",
            f"\nx = {'{a=' * depth}1{'}' * depth}\n",
        ]
    )


DAMAGES = (_other_value, _other_value, _other_value, _lost_line, _moved_line, _other_letter, _lost_letters, _nested)


def damaged_readings(seed):
    """(arguments before the file, name, bytes) of a file of readings to which something happened."""
    rng = random.Random(f"readings {seed}")
    kinds = {
        "weighing.csv": ["weigh"], "board.csv": ["readings"], "punch-log.csv": ["readings", "--log"],
        "spring.csv": ["measure", "spring"], "motor.csv": ["measure", "motor"], "rotor.csv": ["measure", "rotor"],
    }  # fmt: skip
    names = sorted(name for name in kinds if (DEMO / "readings" / name).exists())
    name = rng.choice(names)
    text = (DEMO / "readings" / name).read_text(encoding="utf-8")
    for _ in range(rng.choice([1, 1, 2, 4])):
        text = rng.choice(
            [_other_cell, _other_cell, _lost_line, _moved_line, _other_letter, _lost_letters, _separators]
        )(rng, text)
    return kinds[name], name, text.encode("utf-8", "surrogatepass")


def _other_cell(rng, text):
    lines = text.splitlines()
    places = [n for n, line in enumerate(lines) if "," in line and not line.startswith("#")]
    if places:
        place = rng.choice(places)
        cells = lines[place].split(",")
        cells[rng.randrange(len(cells))] = rng.choice(
            ["", "1e300", "-5", "0", "x", "=1+1", "1.513", "1e-300", "nan", "90", "610", '"', "\x1b[2J"]
        )
        lines[place] = ",".join(cells)
    return "\n".join(lines)


def _separators(rng, text):
    return text.replace(",", rng.choice([";", "\t", ";;", " "]))


def wild_environment(seed):
    """Environment variables that a program may meet."""
    rng = random.Random(f"environment {seed}")
    choices = {
        "PYTHONIOENCODING": ["ascii", "latin-1", "cp437", "utf-16", "utf-8:strict", "koi8-r"],
        "LC_ALL": ["C", "POSIX", "en_US.UTF-8", "xx_YY"], "MPLBACKEND": ["", "agg", "nothing", "tkagg"],
        "HOME": ["/nonexistent", "/"], "COLUMNS": ["1", "20", "100000", "x"], "NO_COLOR": ["1"], "PYTHONUTF8": ["0", "1"],
        "TMPDIR": ["/nonexistent"], "PYTHONHASHSEED": ["0", "7"], "TERM": ["dumb", ""], "LANG": ["C", "de_DE"],
        "PYTHONWARNINGS": ["ignore", "default"],
    }  # fmt: skip
    return {name: rng.choice(choices[name]) for name in rng.sample(sorted(choices), rng.randrange(1, 5))}


# what is done with each ---------------------------------------------------------------------


def call(arguments):
    """Exit code, standard output and error of a command run here; a traceback is an `AssertionError` of the caller's."""
    from noseload.__main__ import main

    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(list(arguments))
    return code, out.getvalue(), err.getvalue()


def try_vehicle(seed):
    """Fault of what the program says of a wild vehicle, or '': it describes and sweeps it, or names why not."""
    from noseload import describe, sweep
    from noseload.solvers.errors import SolverError

    vehicle = wild_vehicle(seed)
    try:
        found = describe(vehicle)
        if {"standing", "climb"} & found.unsaid.keys():
            return "" if all(map(str.isascii, found.unsaid.values())) else "a reason that is no plain text"
        result = sweep(vehicle, step_deg=5.0, climb=found.climb)
    except SolverError as error:
        return "" if "cannot carry" in str(error) or "does not stand" in str(error) else f"SolverError: {error}"
    weight = vehicle.mass * G
    for row in result.rows:
        if row.status == "ok" and not row.stable:
            return f"{row.grade_deg:g} deg: ok and not stable"
        if row.front_load_n is not None and abs(sum(row.budget.values()) - row.front_load_n) > 1e-9 * weight:
            return f"{row.grade_deg:g} deg: the budget does not add up"
    return "" if result.status == "ok" or result.message else "a sweep without an end and without a reason"


def try_damage(seed, folder):
    """Fault of what the program says of a damaged file, or ''."""
    file = Path(folder) / "damaged.toml"
    file.write_bytes(damaged_text(seed))
    command = random.Random(seed).choice(
        [["describe"], ["creep", "--grade", "20"], ["sweep", "--step", "10"], ["creep", "--grade", "20", "--json"]]
    )
    return _judged([command[0], str(file), *command[1:]])


def try_readings(seed, folder):
    """Fault of what the program says of damaged readings, or ''."""
    command, name, data = damaged_readings(seed)
    file = Path(folder) / name
    file.write_bytes(data)
    return _judged([*command, str(file)])


def try_environment(seed, folder):
    """Fault of a command in odd surroundings, or ''."""
    import subprocess

    rng = random.Random(seed)
    arguments = rng.choice([["creep", "--grade", "30"], ["weigh"], ["describe"], ["--help"], ["creep", "--grade", "30", "--json"],
                            ["creep", "--grade", "30", "--plot", str(Path(folder) / "a.png")], ["x\u00e9\x1b"]])  # fmt: skip
    environment = os.environ | wild_environment(seed)
    found = subprocess.run(
        [sys.executable, "-m", "noseload", *arguments], capture_output=True, env=environment, check=False
    )
    if found.returncode not in EXIT_CODES or b"Traceback" in found.stderr or b"Warning" in found.stderr:
        return f"{arguments} in {wild_environment(seed)}: {found.returncode} {found.stderr.decode('utf-8', 'replace')[-300:]}"
    return ""


def _judged(arguments):
    start = time.process_time()
    code, out, err = call(arguments)
    if code not in EXIT_CODES:
        return f"{arguments}: exit code {code}"
    if any(letter < " " and letter not in "\n\t" for letter in out + err):
        return f"{arguments}: control characters reach the terminal"
    if code == 2 and (out or not err.startswith(("noseload: ", "usage: "))):
        return f"{arguments}: a bad input prints results"
    if "nan" in out.split() or "inf" in out.split():
        return f"{arguments}: prints nan or inf"
    took = time.process_time() - start
    return f"{arguments}: took {took:.0f} s" if took > LONGEST_S else ""


TRIES = {
    "vehicles": lambda seed, _: try_vehicle(seed),
    "damage": try_damage,
    "readings": try_readings,
    "environments": try_environment,
}


def faults(what, seeds, folder):
    """(seed, fault) of each that is one; a traceback is one too."""
    for seed in seeds:
        try:
            fault = TRIES[what](seed, folder)
        except Exception as error:
            fault = f"{type(error).__name__}: {error}\n{''.join(traceback.format_tb(error.__traceback__)[-3:])}"
        if fault:
            yield seed, fault


def main():
    """Try many and print what went wrong."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--what", choices=TRIES, action="append", help="vehicles, damage, readings, environments (all)")
    parser.add_argument("--count", type=int, default=10_000, help="a hundredth of it, at least one, of environments")
    parser.add_argument("--seed", type=int, default=1, help="first seed")
    options = parser.parse_args()
    found = 0
    with tempfile.TemporaryDirectory() as folder:
        for what in options.what or TRIES:
            count = max(1, options.count // 100) if what == "environments" else options.count
            for seed, fault in faults(what, range(options.seed, options.seed + count), folder):
                found += 1
                print(f"{what} {seed}: {fault}", flush=True)
            print(f"{what}: {count} tried, {found} faults so far", flush=True)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
