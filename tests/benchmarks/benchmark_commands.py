"""Processor time of the slow commands on the demo vehicle: ``python tests/benchmarks/benchmark_commands.py``.

Processor time, not time on the clock: what others do on the machine does not count, though a busy core may be half as fast.
"""

import contextlib
import io
import sys
import tempfile
from pathlib import Path
from time import process_time

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from noseload import demo_vehicle
from noseload.__main__ import main as run
from noseload.studies.errors.error_group import ErrorGroup
from noseload.studies.errors.punch_draws import PUNCH_DRAWS, run_drawn

COMMANDS = {
    "limits": ["limits"],
    "rank --punch": ["rank", "--punch"],
    "animate": ["animate", "--grade", "35", "--setups", "base"],
    "punch": ["punch", "--grade", "35"],
    "sweep": ["sweep"],
    "compare": ["compare"],
}
ALLOWED_S = {"limits": 4.0, "rank --punch": 4.0, "animate": 4.0, "punch": 1.0, "sweep": 1.0, "compare": 4.0}
DRAWN_S = 3.0
"""Allowed for the punches of 200 random vehicles, started and run."""


def main():
    """Measure each command once and print; exit code 1 where one takes longer than is allowed."""
    slow = False
    with tempfile.TemporaryDirectory() as folder:
        for name, arguments in COMMANDS.items():
            more = ["--out", str(Path(folder) / "film.gif")] if name == "animate" else []
            begin = process_time()
            with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
                run([*arguments, *more])
            took = process_time() - begin
            slow |= took > ALLOWED_S[name]
            print(f"{name:<14} {took:6.2f} s of the processor   allowed {ALLOWED_S[name]:g}")
    begin = process_time()
    draw_punches()
    took = process_time() - begin
    print(f"{PUNCH_DRAWS} drawn punches {took:4.2f} s of the processor   allowed {DRAWN_S:g}")
    return int(slow or took > DRAWN_S)


def draw_punches():
    """What `compare --punch` draws for each setup."""
    group = ErrorGroup([demo_vehicle()], punch=True)
    errors, sizes = group.draw(PUNCH_DRAWS, 1), group.draw_left_out(PUNCH_DRAWS, 1)
    run_drawn(group.members, errors, sizes, {"grade_deg": 45.0, "sample_s": 0.01})


if __name__ == "__main__":
    sys.exit(main())
