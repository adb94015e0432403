"""Creep: how much faster many vehicles are solved in one batch than one by one.

Run ``python tests/benchmarks/benchmark_creep.py``; prints ratios measured in this one run.
"""

import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from model import load_vehicle
from model.equilibrium import CreepEquilibrium
from model.parameters import POSITION
from scenarios.studies.many import GRADE_STEP, ROUGH, creep_many, stand_many
from solvers.newton import solve

GRADE = np.radians(35.0)
VEHICLES = 1000
REPEATS = 5


def varied_vehicles(count, seed=1):
    """Standing vehicles with springs, dampers and masses spread by a few per cent."""
    batch = stand_many([load_vehicle(ROOT / "tests" / "data" / "check.toml")]).take(np.zeros(count, dtype=int))
    random = np.random.default_rng(seed)
    names = ("chassis_mass", "rear_spring_rate", "front_spring_rate", "rear_upper_link_axle_z", "front_tyre_stiffness")
    return batch.with_values(**{name: batch[name] * (1.0 + 0.05 * random.standard_normal(count)) for name in names})


def one_by_one(batch, count):
    """Front loads from the scalar solver, by the same path as the batch, and the seconds taken by the solves."""
    steps = int(np.ceil(GRADE / GRADE_STEP))
    cases = []
    for k in range(count):
        values = {name: float(batch.parameters[place, k]) for name, place in POSITION.items()}
        equilibrium = CreepEquilibrium(values, float(batch.weights[k]), float(batch.wheelbases[k]))
        cases.append((equilibrium.use_branch_of(batch.starts[:, k]), batch.starts[:, k]))
    loads = np.empty(count)
    begin = time.perf_counter()
    for k, (equilibrium, state) in enumerate(cases):
        for step in range(1, steps + 1):
            tolerance = 1e-11 if step == steps else ROUGH
            state = solve(equilibrium, state, GRADE * step / steps, tolerance=tolerance).state
        loads[k] = equilibrium.outputs(state, GRADE)[0][1]
    return loads, time.perf_counter() - begin


def main():
    """Print the ratio and how far both answers are apart."""
    batch = varied_vehicles(VEHICLES)
    together, apart = [], []
    for _ in range(REPEATS):
        begin = time.perf_counter()
        result = creep_many(batch, GRADE)
        together.append(time.perf_counter() - begin)
        loads, seconds = one_by_one(batch, VEHICLES // 10)
        apart.append(seconds * 10)
    worst = np.abs(result.front_load[: loads.size] - loads).max()
    ratios = np.array(apart) / np.array(together)
    print(f"{VEHICLES} vehicles at 35 deg: one by one {min(apart) * 1e3:.0f} ms (from {loads.size} of them), "
          f"in one batch {min(together) * 1e3:.1f} ms, ratio {np.median(ratios):.1f} (median of {REPEATS}), "
          f"{int((~result.solution.success).sum())} failed, largest difference {worst:.1e} N, "
          f"{result.solution.nfev.mean():.1f} evaluations a vehicle")


if __name__ == "__main__":
    main()
