"""Many punches: how many a second and core, how far from accurate single runs, and how they compare with an engine.

Run ``python tests/benchmarks/benchmark_punches.py``. In one run: 2,000 punches of 1 s over grade, throttle and setup, steady
starts included; 60 of them held against `punch`, trace by trace; the same vehicle in a general-purpose physics engine (a
test extra) with its tyres in Python; maps of 1,000 and 4,000 cells (two punches each) with their pictures, on one core and on two.
Rates count the processor time of one core; the load of the machine is printed, for a busy sibling core can halve them.
"""

import os
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "witnesses")]

from noseload.model import load_vehicle
from noseload.pictures.punch.map import draw_punch_map
from noseload.pictures.style import save_figure
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.map import punch_map
from noseload.studies.punch.punch import punch

COMPARED = 60
SAMPLE_S = 0.005
ENGINE_STEP_S, ENGINE_CASES = 1e-4, ((0.0, 1.0), (20.0, 0.7), (35.0, 1.0))
"""Step at which the engine's error is of the class of our tight runs; grades (deg) and throttles to time it on."""
BATCH_REPEATS, FEW = 2, 20


def setups():
    """Two setups of one vehicle."""
    return [load_vehicle(ROOT / "tests" / "data" / f"{name}.toml") for name in ("check", "check-raised")]


def cases():
    """Vehicles, grades (deg) and throttles of 2,000 punches."""
    two = setups()
    grades, throttles = np.linspace(-20.0, 50.0, 25), np.linspace(0.45, 1.0, 40)
    which, grade, throttle = (a.ravel() for a in np.meshgrid(np.arange(2), grades, throttles, indexing="ij"))
    return [two[k] for k in which], grade, throttle


def clock(function):
    """Wall time and processor time, s, and the result."""
    begin, working = time.perf_counter(), time.process_time()
    result = function()
    return time.perf_counter() - begin, time.process_time() - working, result


def batch(vehicles, grades, throttles):
    """Time the batch; returns seconds of one core a punch and which cases ran."""
    runs = [clock(lambda: punch_many(vehicles, grade_deg=grades, throttle=throttles)) for _ in range(BATCH_REPEATS)]
    wall, busy = (min(run[k] for run in runs) for k in (0, 1))
    result = runs[-1][2]
    run = int(result.success.sum())
    print(
        f"{grades.size} punches of 1 s ({run} run, the others cannot hold their start): {wall:.2f} s "
        f"({busy:.2f} s of one core), {run / busy:.0f} a second and core, {result.steps[result.success].mean():.0f} steps a punch"
    )
    return busy / run, np.flatnonzero(result.success)


def accuracy(vehicles, grades, throttles, able):
    """Hold a sample against accurate runs, trace by trace."""
    picked = np.random.default_rng(1).choice(able, COMPARED, replace=False)
    some = punch_many(
        [vehicles[k] for k in picked], grade_deg=grades[picked], throttle=throttles[picked], sample_s=SAMPLE_S
    )
    errors, airborne, begin = [], [], time.process_time()
    for j, k in enumerate(picked):
        one = punch(
            vehicles[k], grade_deg=grades[k], throttle=throttles[k], sample_s=SAMPLE_S, outcome=False, tolerance="tight"
        )
        front = one.front_load_n
        errors.append(np.abs(some.traces["front_load_n"][: front.size, j] - front).max() / front.max())
        airborne.append(abs(some.front_airborne_s[j] - one.summary["front_airborne_s"]))
    seconds = time.process_time() - begin
    print(
        f"{COMPARED} of them against accurate runs ({seconds / COMPARED * 1e3:.0f} ms each): error of the front axle load as a "
        f"share of its largest: median {np.median(errors):.1e}, worst {np.max(errors):.1e}; airborne time: worst "
        f"{1e3 * np.max(airborne):.2f} ms"
    )


def engine(batch_seconds):
    """The engine's punch beside one of the batch; both against the tight run."""
    try:
        from mujoco_vehicle import ENDS, EngineVehicle
    except ImportError:
        print("engine not installed: `pip install .[engine]` adds it")
        return
    vehicle = setups()[0]
    seconds, gaps = [], []
    for grade_deg, throttle in ENGINE_CASES:
        tight = punch(vehicle, grade_deg=grade_deg, throttle=throttle, outcome=False, tolerance="tight")
        held = tight.throttle_start
        build = EngineVehicle(
            vehicle,
            dict(zip(ENDS, tight.standing.free_lengths, strict=True)),
            np.radians(grade_deg),
            lambda t, u=throttle, h=held: h + (u - h) * min(1.0, max(0.0, (t - 0.1) / 0.05)),
            ENGINE_STEP_S,
        )
        _, busy, loads = clock(lambda b=build, r=tight: b.run(r.states[:9, 0], r.states[9:20, 0], r.time_s[-1], 1e-3))
        seconds.append(busy)
        gaps.append(np.abs(loads[1] - tight.front_load_n).max() / tight.front_load_n.max())
    print(
        f"physics engine, tyres in Python, steps of {1e3 * ENGINE_STEP_S:g} ms: {np.mean(seconds):.2f} s of one core a punch "
        f"(worst error {max(gaps):.1e}): {np.mean(seconds) / batch_seconds:.0f} times one of the batch"
    )


def draw_map(rises, executor=None):
    """A map of 25 grades and so many rises, both its pictures written."""
    found = punch_map(
        setups(), grades_deg=np.linspace(0.0, 50.0, 25), rises_s=np.geomspace(0.01, 0.4, rises), executor=executor
    )
    with tempfile.TemporaryDirectory() as folder:
        save_figure(draw_punch_map(found), Path(folder) / "map.png")
    return found


def maps(rises):
    """Time a map on one core and on two; the longest path counts processor time, which a busy machine changes less."""
    wall, busy, found = clock(lambda: draw_map(rises))
    print(f"map of {found.status.size} cells with its pictures: {wall:.1f} s ({busy:.1f} s of one core)")
    with ProcessPoolExecutor(2) as executor:
        # Workers that have imported what they need; a command pays about a second for it.
        before = worker_times(executor)
        both, own, again = clock(lambda: draw_map(rises, executor))
        after = worker_times(executor)
    longest = own + max(after[worker] - before[worker] for worker in after)
    same = np.nanmax(np.abs(again.load_difference_n - found.load_difference_n))
    print(
        f"the same with two workers: {both:.1f} s; longest path {longest:.1f} s of one core, {longest / busy:.2f} of the map on "
        f"one (largest difference {same:.0e} N)"
    )


def floor():
    """What a step costs however few the cases: the share of a map that a second core cannot take over."""
    vehicles, grades, throttles = cases()
    picked = np.linspace(0, grades.size - 1, FEW).astype(int)
    _, many, all_of_them = clock(lambda: punch_many(vehicles, grade_deg=grades, throttle=throttles))
    _, few, some = clock(
        lambda: punch_many([vehicles[k] for k in picked], grade_deg=grades[picked], throttle=throttles[picked])
    )
    a, b = few / some.steps.max(), many / all_of_them.steps.max()
    print(
        f"a round of steps: {1e3 * a:.1f} ms for {FEW} punches, {1e3 * b:.1f} ms for {grades.size}: two workers with half of "
        f"{grades.size} each need at least {0.5 * (1.0 + a / b):.2f} of the time of one"
    )


def worker_times(executor):
    """Processor time of each worker so far, s, by process id."""
    return dict(executor.map(worker_time, range(16)))


def worker_time(_):
    """Process id and processor time of a worker; it waits a moment, so that each of them gets its turn."""
    time.sleep(0.05)
    return os.getpid(), time.process_time()


def main():
    """Print the rate, the errors and the ratios."""
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    vehicles, grades, throttles = cases()
    seconds, able = batch(vehicles, grades, throttles)
    accuracy(vehicles, grades, throttles, able)
    engine(seconds)
    floor()
    for rises in (40, 160):
        maps(rises)
    print(f"load of the machine: {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
