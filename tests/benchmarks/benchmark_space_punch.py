"""Speed of punches in space beside the side view's, with the accuracy that goes with it.

    python tests/benchmarks/benchmark_space_punch.py

Processor time, so that a busy machine disturbs little; ratios in one run are what counts. Accuracy: against the results
of an independent program for two vehicles, of the largest wheel load.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / folder) for folder in ("", "witnesses")]

from noseload import demo_vehicle, punch, punch_wheels, punch_wheels_many
from noseload.model.space.constraints import project_states
from noseload.solvers.motion.transient import integrate
from noseload.studies.climb.standing import stand
from noseload.studies.punch.options import TOLERANCES
from noseload.studies.space.climb import stand_in_space
from space_punch_samples import controls_of, motion_of, punch_of, state_of_punch

ROUNDS, CASES = 5, 2000


def best(function):
    """Least processor time of some rounds, s."""
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        function()
        times.append(time.process_time() - start)
    return min(times)


def error_of(name, tolerance):
    """Largest error of a wheel load over the largest load."""
    given, motion = punch_of(name), motion_of(name)
    start = state_of_punch(given["start_state"])
    run = integrate(motion, start, 0.0, 1.0, options=TOLERANCES[tolerance]).raise_for_status()
    times = np.array(given["time_s"])
    states, *_ = project_states(motion.numbers, run.at(times))
    loads = np.array(given["load_n"]).T
    return np.abs(motion.observe(states, controls_of(motion, times))["load"] - loads).max() / loads.max()


def main():
    """Print the lines."""
    car = demo_vehicle()
    flat, wide = stand(car), stand_in_space(car)
    plane = best(lambda: punch(car, grade_deg=35.0, standing=flat, outcome=False))
    space = best(lambda: punch_wheels(car, grade_deg=35.0, standing=wide, outcome=False))
    print(f"one punch of 1 s: side view {1e3 * plane:.0f} ms, space {1e3 * space:.0f} ms, ratio {space / plane:.1f}")
    for tolerance in TOLERANCES:
        worst = max(error_of(name, tolerance) for name in ("leaning", "single_upper"))
        print(f"  error at {tolerance} tolerance, of the largest wheel load: {worst:.1e}")
    grades = np.linspace(0.0, 45.0, CASES)
    start = time.process_time()
    many = punch_wheels_many(car, grade_deg=grades)
    spent = time.process_time() - start
    few = range(0, CASES, CASES // 8)
    ones = [punch_wheels(car, grade_deg=grades[k], outcome=False).summary for k in few]
    air = [
        abs(one["first_wheel_airborne_s"] - many.first_wheel_airborne_s[k]) for one, k in zip(ones, few, strict=True)
    ]
    print(
        f"{CASES} punches of 1 s in a batch: {CASES / spent:.0f} a second and core, {many.steps.mean():.0f} steps; the first "
        f"wheel's time in the air within {1e3 * max(air):.1f} ms of single runs"
    )


if __name__ == "__main__":
    main()
