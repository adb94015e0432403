"""Single wheels: one creep, a sweep and a batch in space against the side view's.

Run ``python tests/benchmarks/benchmark_space.py``; prints ratios measured in this one run.
"""

import os
import resource
import subprocess
import sys
import time

import numpy as np

from noseload import all_headings, demo_vehicle, sweep
from noseload.model.batch.equilibrium import BatchCreep, VehicleBatch
from noseload.model.space.batch import BatchSpace
from noseload.solvers.batch.newton import solve_batch
from noseload.solvers.newton import solve
from noseload.studies.climb.standing import stand
from noseload.studies.space.climb import SpaceClimb, stand_in_space
from noseload.studies.space.wheels import wheels_sweep

CASES, REPEATS, TURNS = 1000, 5, 15
GRADE = np.radians(15.0)


def best(action, repeats=REPEATS):
    """Least processor time of several runs, s: others may be at work beside it."""
    times = []
    for _ in range(repeats):
        begin = time.process_time()
        action()
        times.append(time.process_time() - begin)
    return min(times)


def in_turns(flat, space, repeats=REPEATS):
    """Text of the time in space and its ratio to the side view's, run in turns: such ratios hold on a busy machine too."""
    times = np.array([[best(action, 1) for action in (flat, space)] for _ in range(repeats)])
    ratios = times[:, 1] / times[:, 0]
    low, middle, high = np.quantile(ratios, [0.1, 0.5, 0.9])
    return (
        f"{1e3 * np.median(times[:, 1]):.3g} ms, {middle:.2f} x the side view "
        f"(median of {repeats} turns, eight in ten {low:.2f} to {high:.2f})"
    )


def processes(*commands):
    """Least processor time of fresh interpreters, s, their byte code kept as a user's is; in turns, as a busy machine wants."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    # A pool of threads for arrays that small would be counted, and is not waited for.
    kept["OPENBLAS_NUM_THREADS"] = "1"
    times = [[] for _ in commands]
    for _ in range(TURNS):
        for command, found in zip(commands, times, strict=True):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run([sys.executable, *command], check=True, capture_output=True, env=kept)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            found.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return [min(found) for found in times]


def main():
    """Print every ratio."""
    demo = demo_vehicle()
    flat, space = stand(demo), stand_in_space(demo)
    text = in_turns(
        lambda: solve(flat.equilibrium, flat.state, GRADE),
        lambda: solve(space.equilibrium, space.solution.state, GRADE),
        repeats=50,
    )
    print(f"one creep: {text}")
    print(f"sweep to the end with all lifts: {in_turns(lambda: sweep(demo), lambda: wheels_sweep(demo))}")
    lift = best(lambda: SpaceClimb(demo, standing=space).first_lift)
    print(f"way to the first lift of one heading: {1e3 * lift:.0f} ms")
    polar = best(lambda: all_headings(demo, step_deg=5.0), 1)
    print(f"72 headings, first lift with its range and going over: {polar:.1f} s")
    grades = np.radians(np.random.default_rng(1).uniform(0.0, 20.0, CASES))
    many = BatchSpace([space.equilibrium] * CASES)
    starts = np.repeat(space.solution.state[:, None], CASES, axis=1)
    side = VehicleBatch.of(
        [flat.values] * CASES, np.repeat(flat.state[:, None], CASES, axis=1), [demo.wheelbase] * CASES
    )
    text = in_turns(
        lambda: solve_batch(BatchCreep(side), side.starts, grades),
        lambda: solve_batch(many, starts, grades),
        repeats=40,
    )
    print(f"{CASES} creeps at once: {text}")
    commands = [["-m", "noseload", name, "--grade", "45"] for name in ("wheels", "creep")]
    bare, four, one = processes(["-c", "import numpy"], *commands)
    print(f"wheels --grade 45 as a process: {four / bare:.2f} x import numpy")
    print(f"creep --grade 45 as a process: {one / bare:.2f} x import numpy")


if __name__ == "__main__":
    main()
