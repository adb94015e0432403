"""How far default tolerances are from tight ones, over random and extreme vehicles; run as a script for many.

    python tests/punch_accuracy.py --count 300 --seed 1 [--plane]

Prints every punch that is further off than allowed, and whether its result says so.
"""

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from noseload import punch, punch_wheels
from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from random_vehicles import random_vehicle_in_space

ALLOWED = 1e-3
"""Of the largest load, as the guide promises at default tolerance."""
STIFF_TYRES, SLIP_SPEEDS = (18e3, 25e3), (0.005, 0.02)
"""N/m an axle, and m/s: harder and sharper than any tyre on sale, common practice, no source."""


def extreme_vehicle(seed: int) -> Vehicle:
    """A random vehicle; of three, one as it is, one with stiff tyres and stops, one with sharp tyres and little damping."""
    random = np.random.default_rng(90_000 + seed)
    car = random_vehicle_in_space(seed)
    axles = {}
    for end in ("rear", "front"):
        axle = getattr(car, end)
        tyre, shock = axle.tyre, axle.shock
        if seed % 3 == 1:
            tyre = replace(tyre, vertical_stiffness=random.uniform(*STIFF_TYRES))
            shock = replace(shock, stop_stiffness=random.uniform(4e4, 8e4))
        elif seed % 3 == 2:
            tyre = replace(tyre, slip_speed=random.uniform(*SLIP_SPEEDS), vertical_damping=random.uniform(0.5, 12.0))
            shock = replace(shock, damping=random.uniform(1.0, 30.0), stop_damping=random.uniform(0.0, 60.0))
        axles[end] = replace(axle, tyre=tyre, shock=shock)
    return replace(car, **axles)


def asked(seed: int) -> dict:
    """How that vehicle is punched: grade from gentle to one at which it tumbles, any program, creep or brake."""
    random = np.random.default_rng(91_000 + seed)
    options = {
        "grade_deg": float(random.uniform(-20.0, 55.0)),
        "throttle": float(random.uniform(0.5, 1.0)),
        "rise_s": float(random.choice([0.0, 0.02, 0.05, 0.1])),
        "program": str(random.choice(["ramp", "step", "blip", "grab_brake"])),
    }
    return options


def error_of(seed: int, *, plane: bool = False) -> tuple[float, object] | None:
    """Largest error of a load over the largest load, and the result at default tolerance; None where it does not start."""
    car, options = extreme_vehicle(seed), asked(seed)
    run = punch if plane else punch_wheels
    heading = (
        {} if plane else {"heading_deg": float(np.random.default_rng(92_000 + seed).choice([0.0, 0.0, 20.0, -70.0]))}
    )
    try:
        rough = run(car, outcome=False, **options, **heading)
        if not rough.success:
            return None
        fine = run(car, outcome=False, tolerance="tight", **options, **heading)
    except (ModelError, SolverError) as trouble:
        print(f"  seed {seed}: {trouble}")
        return None
    keys = [key for key in fine.traces if key.endswith("_load_n") and (plane or key.count("_") == 3)]
    count = min(rough.time_s.size, fine.time_s.size)
    loads = np.array([fine.traces[key][:count] for key in keys])
    wrong = np.abs(np.array([rough.traces[key][:count] for key in keys]) - loads)
    return float(wrong.max() / loads.max()), rough, float(rough.time_s[int(wrong.max(axis=0).argmax())]), fine


def main() -> None:
    """Print the offenders and the spread."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=0, help="of the first vehicle")
    parser.add_argument("--plane", action="store_true", help="the side view in place of the punch in space")
    given = parser.parse_args()
    errors, seed, begin = [], given.seed, time.process_time()
    while len(errors) < given.count:
        found = error_of(seed, plane=given.plane)
        if found is not None:
            errors.append(found[0])
            if found[0] > ALLOWED / 2:
                s = found[1].summary
                print(
                    f"seed {seed} kind {seed % 3}: {found[0]:.2e} at {found[2]:.3f} s, peak pitch {s['peak_nose_up_pitch_deg']:.0f}, roll {s.get('peak_chassis_roll_deg', 0):.0f}, steps {found[1].stats['steps']} / {found[3].stats['steps']}",
                    flush=True,
                )
        seed += 1
    errors = np.array(errors)
    print(
        f"{errors.size} punches: {(errors > ALLOWED).sum()} beyond {ALLOWED:g}; median {np.median(errors):.1e}, worst {errors.max():.1e}; "
        f"{time.process_time() - begin:.0f} s"
    )


if __name__ == "__main__":
    main()
