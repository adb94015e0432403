"""Time of one accurate punch, its accuracy beside it, and the second route on the same motions.

Run ``python tests/benchmarks/benchmark_punch.py`` with one thread. Times are also given as multiples of one call of
the rates kernel in the same run, which another machine or a busy one changes less.
"""

import json
import sys
import time
from math import radians
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "witnesses")]

from noseload.model.file.reader import load_vehicle
from noseload.model.generated.scalar_motion import rates
from noseload.model.motion.programs import Program
from noseload.model.motion.vehicle_motion import VehicleMotion
from noseload.studies.climb.standing import stand
from noseload.studies.climb.steady_start import steady_start
from noseload.studies.punch.punch import punch
from second_route import integrate_otherwise

DATA = ROOT / "tests" / "data"


def fastest(function, repeats):
    """Shortest of several wall times, s, and the last result."""
    best, result = float("inf"), None
    for _ in range(repeats):
        begin = time.perf_counter()
        result = function()
        best = min(best, time.perf_counter() - begin)
    return best, result


def kernel_time(begin, motion):
    """One call of the rates kernel, s."""
    y, calls = begin.state.tolist(), 2000
    q, u = y[:9], y[9:20]
    return fastest(lambda: [rates(q, u, 0.5, 1.0, 0.0, 0.1, motion.parameters) for _ in range(calls)], 3)[0] / calls


def main():
    """Print the table."""
    print(f"{'case':24} {'tolerance':9} {'ms':>6} {'kernels':>8} {'trace':>8} {'energy':>8} {'drift m':>8} {'nfev':>5}")
    for name in ("check", "check-raised"):
        for case in json.loads((DATA / f"{name}.json").read_text())["punch"]:
            vehicle = load_vehicle(DATA / f"{name}.toml", drive=case["drive"])
            standing = stand(vehicle)
            begin = steady_start(standing, grade=radians(case["grade_deg"]), creep_speed=0.1)
            motion = VehicleMotion(
                begin.values, standing.weight, 0.3, begin.grade, throttle=Program((0.1, 0.15), (begin.throttle, 1.0))
            )
            unit = kernel_time(begin, motion)
            front = np.array(case["front_load_n"])
            label = f"{name} {case['drive']} {case['grade_deg']:g}"
            for tolerance in ("default", "tight"):
                seconds, result = fastest(
                    lambda t=tolerance, v=vehicle, g=case["grade_deg"]: punch(
                        v, grade_deg=g, tolerance=t, outcome=False
                    ),
                    3 if tolerance == "default" else 1,
                )
                error = np.abs(result.front_load_n[::5] - front).max() / front.max()
                stats = result.stats
                print(
                    f"{label:24} {tolerance:9} {1e3 * seconds:6.0f} {seconds / unit:8.0f} {error:8.1e} "
                    f"{stats['energy_residual']:8.1e} {stats['position_drift_m']:8.1e} {stats['nfev']:5d}"
                )
            for method, tolerance in (("LSODA", 1e-6), ("Radau", 1e-5), ("DOP853", 1e-5)):
                seconds, run = fastest(
                    lambda m=motion, b=begin, how=method, t=tolerance: integrate_otherwise(
                        m, b.state, 0.0, 1.0, method=how, tolerance=t
                    ),
                    1,
                )
                times = np.array(case["time_s"])
                seen = motion.observe(run.at(times), np.array([motion.throttle.at(times), np.ones(201), np.zeros(201)]))
                error = np.abs(seen["load"][1] - front).max() / front.max()
                print(
                    f"{'':24} {method:9} {1e3 * seconds:6.0f} {seconds / unit:8.0f} {error:8.1e} {'':8} "
                    f"{run.position_drift:8.1e} {run.effort.nfev:5d}"
                )


if __name__ == "__main__":
    main()
