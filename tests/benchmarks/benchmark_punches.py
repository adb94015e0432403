"""Many punches: how many a second and core, and how far they are from accurate single runs.

Run ``python tests/benchmarks/benchmark_punches.py``. The first part times 2,000 punches of 1 s over grade, throttle and
set-up, steady starts included; the second compares 60 of them with `punch`, trace by trace; the third times a map of 1,000
cells (2,000 punches) with its picture.
"""

import os
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from model import load_vehicle  # noqa: E402 the path comes first
from scenarios.pictures.punch_map import draw_punch_map  # noqa: E402
from scenarios.pictures.style import save_figure  # noqa: E402
from scenarios.studies.punch import punch  # noqa: E402
from scenarios.studies.punch_many import punch_many  # noqa: E402
from scenarios.studies.punch_map import punch_map  # noqa: E402

COMPARED = 60
SAMPLE_S = 0.005


def cases():
    """Vehicles, grades (deg) and throttles of 2,000 punches."""
    setups = [load_vehicle(ROOT / "tests" / "data" / f"{name}.toml") for name in ("check", "check-raised")]
    grades, throttles = np.linspace(-20.0, 50.0, 25), np.linspace(0.45, 1.0, 40)
    which, grade, throttle = (a.ravel() for a in np.meshgrid(np.arange(2), grades, throttles, indexing="ij"))
    return [setups[k] for k in which], grade, throttle


def main():
    """Print the rate and the errors."""
    vehicles, grades, throttles = cases()
    best = busy = np.inf
    for _ in range(2):
        begin, working = time.perf_counter(), time.process_time()
        result = punch_many(vehicles, grade_deg=grades, throttle=throttles)
        best, busy = min(best, time.perf_counter() - begin), min(busy, time.process_time() - working)
    run = int(result.success.sum())
    print(f"{grades.size} punches of 1 s ({run} run, the others cannot hold their start): {best:.2f} s "
          f"({busy:.2f} s of one core), {run / busy:.0f} a second and core, {result.steps[result.success].mean():.0f} steps a punch")
    picked = np.random.default_rng(1).choice(np.flatnonzero(result.success), COMPARED, replace=False)
    some = punch_many([vehicles[k] for k in picked], grade_deg=grades[picked], throttle=throttles[picked],
                      sample_s=SAMPLE_S)
    errors, airborne, begin = [], [], time.perf_counter()
    for j, k in enumerate(picked):
        one = punch(vehicles[k], grade_deg=grades[k], throttle=throttles[k], sample_s=SAMPLE_S, outcome=False,
                    tolerance="tight")
        front = one.front_load_n
        errors.append(np.abs(some.traces["front_load_n"][: front.size, j] - front).max() / front.max())
        airborne.append(abs(some.front_airborne_s[j] - one.summary["front_airborne_s"]))
    seconds = time.perf_counter() - begin
    print(f"{COMPARED} of them against accurate runs ({seconds / COMPARED * 1e3:.0f} ms each): error of the front load as a "
          f"share of its largest: median {np.median(errors):.1e}, worst {np.max(errors):.1e}; airborne time: worst "
          f"{1e3 * np.max(airborne):.2f} ms")
    begin, working = time.perf_counter(), time.process_time()
    setups = [load_vehicle(ROOT / "tests" / "data" / f"{name}.toml") for name in ("check", "check-raised")]
    found = punch_map(setups, grades_deg=np.linspace(0.0, 50.0, 25), rises_s=np.geomspace(0.01, 0.4, 40))
    with tempfile.TemporaryDirectory() as folder:
        save_figure(draw_punch_map(found), Path(folder) / "map.png")
    print(f"map of {found.status.size} cells with its picture: {time.perf_counter() - begin:.1f} s "
          f"({time.process_time() - working:.1f} s of one core)")


if __name__ == "__main__":
    main()
