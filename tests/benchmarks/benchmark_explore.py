"""The window with sliders: milliseconds an update, solving and painting, on a canvas without a screen.

Run ``python tests/benchmarks/benchmark_explore.py``; also printed: multiples of one full-figure drawing in this run.
"""

import sys
import time
from pathlib import Path

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from noseload.demo import demo_vehicle
from noseload.pictures.show.explore import SIZE, ExploreWindow
from noseload.studies.show.explore import Explorer

SWEEPS = {
    "grade": np.arange(10.0, 55.0, 0.5),
    "up": np.arange(-10.0, 12.0, 0.5),
    "centre_up": np.arange(-10.0, 12.0, 0.5),
}
WORDS = {"grade": "grade", "up": "link end (stand, path and limits anew)", "centre_up": "centre of gravity (likewise)"}


def milliseconds(work, count):
    """Processor time of one of `count` pieces of work."""
    begin = time.process_time()
    work()
    return 1e3 * (time.process_time() - begin) / count


def main():
    """Print the table."""
    figure = Figure(figsize=SIZE, dpi=100)
    FigureCanvasAgg(figure)
    window = ExploreWindow(Explorer(demo_vehicle()), figure, grade_deg=45.0)
    figure.canvas.draw()
    whole = milliseconds(lambda: [figure.canvas.draw() for _ in range(5)], 5)
    print(f"whole figure drawn anew     {whole:6.1f} ms")
    for name, values in SWEEPS.items():
        window.reset()
        taken = milliseconds(
            lambda name=name, values=values: [window.sliders[name].set_val(v) for v in values], len(values)
        )
        paint = milliseconds(lambda: [window._paint() for _ in range(20)], 20)
        print(
            f"{WORDS[name]:<40} {taken:6.1f} ms an update = {1e3 / taken:4.0f} a second; {taken / whole:.2f} of a whole "
            f"drawing; painting alone {paint:.1f} ms"
        )


if __name__ == "__main__":
    main()
