"""Punches in space: one run at default tolerances against a general-purpose physics engine with the tyres in Python.

Run ``python tests/benchmarks/benchmark_space_engine.py``; prints the error of each against our tight run, of the largest
wheel load, and the time that the engine takes at our error: between its own steps, as its error falls. Processor time of one
core, the least of some runs; ratios in one run are what counts. The engine (MuJoCo) is a test extra.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / folder) for folder in ("", "witnesses")]

from noseload import punch_wheels
from noseload.model.space.parameters import WHEELS
from space_engine_cases import CASES, engine_of, put

STEPS_S, SAMPLE_S, DURATION_S, ROUNDS = (2e-3, 1e-3, 5e-4, 2.5e-4), 4e-3, 1.0, 5


def timed(function, rounds):
    """Least processor time, s, and the last result."""
    times = []
    for _ in range(rounds):
        begin = time.process_time()
        result = function()
        times.append(time.process_time() - begin)
    return min(times), result


def loads_of(result):
    """Loads of the wheels, N, shape (4, n)."""
    return np.array([result.traces[f"{wheel}_load_n"] for wheel in WHEELS])


def engine_runs(result, exact):
    """Seconds and errors of the engine, one each step."""
    seconds, errors = [], []
    for step in STEPS_S:
        engine = engine_of(result, step=step)

        def run(engine=engine):
            put(engine, result.states[:, 0])
            return engine.run(DURATION_S, SAMPLE_S)

        spent, loads = timed(run, 1)
        seconds.append(spent)
        errors.append(float(np.nan_to_num(np.abs(loads - exact).max() / exact.max(), nan=np.inf)))
    return seconds, errors


def main():
    """Print a few lines for every case."""
    for name, (car, options) in CASES.items():
        asked = {**options, "duration_s": DURATION_S, "sample_s": SAMPLE_S, "outcome": False}
        tight = punch_wheels(car, tolerance="tight", **asked)
        exact = loads_of(tight)
        own, rough = timed(
            lambda car=car, asked=asked, tight=tight: punch_wheels(car, standing=tight.standing, **asked), ROUNDS
        )
        error = float(np.abs(loads_of(rough) - exact).max() / exact.max())
        print(f"{name}: ours {1e3 * own:.0f} ms, error {error:.1e}")
        seconds, errors = engine_runs(tight, exact)
        for step, spent, off in zip(STEPS_S, seconds, errors, strict=True):
            print(f"  engine, steps of {1e3 * step:g} ms: {1e3 * spent:.0f} ms, error {off:.1e}")
        good = [k for k, off in enumerate(errors) if off < 0.1]
        # Errors fall and times rise with smaller steps, both as powers; beyond the finest step along the last of them.
        slope, place = np.polyfit(np.log(np.array(errors)[good]), np.log(np.array(seconds)[good]), 1)
        same = float(np.exp(place + slope * np.log(error)))
        print(f"  engine at our error: {1e3 * same:.0f} ms, {same / own:.1f} times ours")


if __name__ == "__main__":
    main()
