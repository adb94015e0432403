"""Speed of rank, uncertainty and survey as ratios within one run: ``python tests/benchmarks/benchmark_levers.py``."""

import sys
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.sweep import sweep
from noseload.studies.errors.uncertainty import uncertainty
from noseload.studies.levers.rank import rank
from noseload.studies.levers.survey import survey

REPEATS = 5
ALLOWED = {
    "rank in creep sweeps": 3.0,
    "2,000 draws of two setups in single tip-over solves": 100.0,
    "1,000-vehicle survey, s": 5.0,
}


def best_time(function, repeats=REPEATS):
    """Shortest of several runs, s."""
    times = []
    for _ in range(repeats):
        begin = perf_counter()
        function()
        times.append(perf_counter() - begin)
    return min(times)


def main():
    """Measure and print; exit code 1 where a ratio is above what is allowed."""
    check = load_vehicle(ROOT / "tests" / "data" / "check.toml")
    base, raised = load_vehicle(DEMO), load_vehicle(DEMO, setup="raised_rear_upper_mount")
    one_sweep = best_time(lambda: sweep(check))
    one_tip = best_time(lambda: Climb(base).tip_over())
    measured = {
        "rank in creep sweeps": best_time(lambda: rank(check)) / one_sweep,
        "2,000 draws of two setups in single tip-over solves": best_time(
            lambda: uncertainty([base, raised], grade_deg=45.0, draws=2000), 3
        )
        / one_tip,
        "1,000-vehicle survey, s": best_time(lambda: survey(vehicles=1000), 2),
    }
    print(f"one creep sweep {1e3 * one_sweep:.1f} ms, one tip-over {1e3 * one_tip:.1f} ms")
    for name, value in measured.items():
        print(f"{name:<55} {value:8.2f}   allowed {ALLOWED[name]:g}")
    return int(any(value > ALLOWED[name] for name, value in measured.items()))


if __name__ == "__main__":
    sys.exit(main())
