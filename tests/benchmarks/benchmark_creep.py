"""Creep: a whole command against bare imports, a sweep against a general root finder, a batch against one by one.

Run ``python tests/benchmarks/benchmark_creep.py``; prints ratios measured in this one run.
"""

import resource
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
from scipy.optimize import root

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from noseload.model import load_vehicle
from noseload.model.crawl.equilibrium import CreepEquilibrium
from noseload.solvers.newton import solve
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.many import GRADE_STEP, ROUGH, creep_many, stand_many
from noseload.studies.climb.sweep import sweep

GRADE = np.radians(35.0)
VEHICLES = 1000
REPEATS = 5


def varied_vehicles(count, seed=1):
    """Standing vehicles with springs, dampers and masses spread by a few per cent."""
    batch = stand_many([load_vehicle(ROOT / "tests" / "data" / "check.toml")]).take(np.zeros(count, dtype=int))
    random = np.random.default_rng(seed)
    names = ("chassis_mass", "rear_spring_rate", "front_spring_rate", "rear_upper_link_axle_z", "front_tyre_stiffness")
    return batch.with_values({name: batch[name] * (1.0 + 0.05 * random.standard_normal(count)) for name in names})


def one_by_one(batch, count):
    """Front loads from the scalar solver, by the same path as the batch, and the seconds taken by the solves."""
    steps = int(np.ceil(GRADE / GRADE_STEP))
    cases = []
    for k in range(count):
        equilibrium = CreepEquilibrium(batch.numbers_of(k), float(batch.weights[k]), float(batch.wheelbases[k]))
        cases.append((equilibrium.use_branch_of(batch.starts[:, k]), batch.starts[:, k]))
    loads = np.empty(count)
    begin = time.process_time()
    for k, (equilibrium, state) in enumerate(cases):
        for step in range(1, steps + 1):
            tolerance = 1e-11 if step == steps else ROUGH
            state = solve(equilibrium, state, GRADE * step / steps, tolerance=tolerance).state
        loads[k] = equilibrium.outputs(state, GRADE)[0][1]
    return loads, time.process_time() - begin


def processor_seconds(command, repeats=7):
    """Least processor time of a command, children included, s: less noisy than the clock on a shared machine."""
    best = float("inf")
    for _ in range(repeats):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, stdout=subprocess.DEVNULL, cwd=ROOT, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        best = min(best, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return best


def print_processes():
    """The whole command `creep --grade 35 --json` against `import numpy` and `import numpy, scipy.optimize`."""
    creep = processor_seconds([sys.executable, "-m", "noseload", "creep", "--grade", "35", "--json"])
    numpy_alone = processor_seconds([sys.executable, "-c", "import numpy"])
    both = processor_seconds([sys.executable, "-c", "import numpy, scipy.optimize"])
    print(
        f"creep process {1e3 * creep:.0f} ms: {creep / numpy_alone:.2f} x import numpy (at most 2), "
        f"{creep / both:.2f} x import numpy, scipy.optimize"
    )


def general_sweep(climb, grades):
    """Front loads by `scipy.optimize.root` (hybr, no Jacobian) on the same residual, from level up; and the tip-over."""
    equilibrium, state = climb.equilibrium, climb.standing.state
    scales = equilibrium.scales

    def residual(y, grade):
        return equilibrium.evaluate(y * scales, grade)[0] / equilibrium.residual_scales

    loads = []
    for grade in grades:
        state = root(residual, state / scales, args=(grade,), method="hybr", tol=1e-12).x * scales
        loads.append(equilibrium.outputs(state, grade)[0][1])

    def with_grade(z):
        return np.append(
            residual(z[:-1], z[-1]), equilibrium.outputs(z[:-1] * scales, z[-1])[0][1] / climb.standing.weight
        )

    tip = root(with_grade, np.append(state / scales, grades[-1]), method="hybr", tol=1e-12).x[-1]
    return np.array(loads), np.degrees(tip)


def print_sweep():
    """A 58-point sweep with tip-over, rows with budget and stability, against the general root finder."""
    vehicle = load_vehicle(ROOT / "tests" / "data" / "check.toml")
    sweep(vehicle)
    whole, ours, general = [], [], []
    for _ in range(REPEATS):
        begin = time.process_time()
        result = sweep(vehicle)
        whole.append(time.process_time() - begin)
        climb = Climb(vehicle)
        begin = time.process_time()
        climb.tip_over()
        for grade in range(58):
            climb.row(grade)
        ours.append(time.process_time() - begin)
        begin = time.process_time()
        loads, tip = general_sweep(climb, np.radians(np.arange(58.0)))
        general.append(time.process_time() - begin)
    apart = np.abs(loads - result["front_load_n"][:58]).max()
    print(
        f"58 grades with tip-over {1e3 * min(ours):.0f} ms (standing pose and all other limits too: "
        f"{1e3 * min(whole):.0f} ms); scipy.optimize.root (hybr) {1e3 * min(general):.0f} ms: "
        f"ratio {min(general) / min(ours):.1f} (at least 2); loads {apart:.1e} N, "
        f"tip-over {abs(tip - result.limits.tip_over_grade_deg):.1e} deg apart"
    )


def print_batch():
    """Print the ratio and how far both answers are apart."""
    batch = varied_vehicles(VEHICLES)
    together, apart = [], []
    for _ in range(REPEATS):
        begin = time.process_time()
        result = creep_many(batch, GRADE)
        together.append(time.process_time() - begin)
        loads, seconds = one_by_one(batch, VEHICLES // 10)
        apart.append(seconds * 10)
    worst = np.abs(result.front_load[: loads.size] - loads).max()
    ratios = np.array(apart) / np.array(together)
    print(
        f"{VEHICLES} vehicles at 35 deg: one by one {min(apart) * 1e3:.0f} ms (from {loads.size} of them), "
        f"in one batch {min(together) * 1e3:.1f} ms, ratio {np.median(ratios):.1f} (median of {REPEATS}), "
        f"{int((~result.solution.success).sum())} failed, largest difference {worst:.1e} N, "
        f"{result.solution.nfev.mean():.1f} evaluations a vehicle"
    )


def main():
    """Print all three."""
    print_processes()
    print_sweep()
    print_batch()


if __name__ == "__main__":
    main()
