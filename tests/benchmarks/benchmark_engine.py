"""Punch: one run at default tolerances against a general-purpose physics engine with the tyres in Python.

Run ``python tests/benchmarks/benchmark_engine.py``; prints times, their ratio, and the accuracy of each
against our tight run, all measured in this one run. The engine (MuJoCo) is a test extra. Times are processor time of one
core; a busy sibling core can double them, so the load of the machine is printed and ratios count.
"""

import os
import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "witnesses")]

from noseload.model import load_vehicle
from noseload.studies.climb.standing import stand
from noseload.studies.punch.punch import punch

CASES = (("both", 0.0), ("both", 20.0), ("both", 35.0), ("rear", 20.0), ("rear", 35.0), ("front", 20.0))
REPEATS = 5
ENGINE_STEP_S = 1e-4


def best(function, repeats):
    """Shortest time of several runs, s, and the last result."""
    times = []
    for _ in range(repeats):
        begin = time.process_time()
        result = function()
        times.append(time.process_time() - begin)
    return min(times), result


def engine_run(vehicle, standing, tight):
    """Seconds and front load of the engine, or None where it is not installed."""
    try:
        from mujoco_vehicle import ENDS, EngineVehicle
    except ImportError:
        return None
    held = tight.throttle_start
    grade = np.radians(tight.options.grade_deg)
    engine = EngineVehicle(
        vehicle,
        dict(zip(ENDS, standing.free_lengths, strict=True)),
        grade,
        lambda t: held + (1.0 - held) * min(1.0, max(0.0, (t - 0.1) / 0.05)),
        ENGINE_STEP_S,
    )
    start = tight.states[:9, 0], tight.states[9:20, 0]
    seconds, loads = best(lambda: engine.run(*start, tight.time_s[-1], 1e-3), 1)
    return seconds, loads[1]


def main():
    """Print one line per case."""
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    print(
        f"{'drive':6} {'grade':>5}  {'ours ms':>8} {'error':>8} {'drift m':>8} {'energy':>8}  {'engine ms':>9} {'error':>8} {'ratio':>6}"
    )
    for drive, grade_deg in CASES:
        vehicle = load_vehicle(ROOT / "tests" / "data" / "check.toml", drive=drive)
        standing = stand(vehicle)
        seconds, run = best(lambda v=vehicle, g=grade_deg: punch(v, grade_deg=g), REPEATS)
        tight = punch(vehicle, grade_deg=grade_deg, tolerance="tight", outcome=False, standing=standing)
        if not (run.success and tight.success):
            print(f"{drive:6} {grade_deg:5.0f}  {run.status}")
            continue
        largest = np.max(tight.front_load_n)
        error = np.max(np.abs(run.front_load_n - tight.front_load_n)) / largest
        line = (
            f"{drive:6} {grade_deg:5.0f}  {1e3 * seconds:8.0f} {error:8.1e} {run.stats['position_drift_m']:8.1e} "
            f"{run.stats['energy_residual']:8.1e}"
        )
        engine = engine_run(vehicle, standing, tight)
        if engine is None:
            print(line + "  (engine not installed)")
            continue
        gap = np.max(np.abs(engine[1] - tight.front_load_n)) / largest
        print(f"{line}  {1e3 * engine[0]:9.0f} {gap:8.1e} {engine[0] / seconds:6.1f}")


if __name__ == "__main__":
    main()
