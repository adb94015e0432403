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

from noseload.__main__ import main as run

COMMANDS = {
    "limits": ["limits"],
    "rank --punch": ["rank", "--punch"],
    "animate": ["animate", "--grade", "35", "--setups", "base"],
    "punch": ["punch", "--grade", "35"],
    "sweep": ["sweep"],
}
ALLOWED_S = {"limits": 4.0, "rank --punch": 4.0, "animate": 4.0, "punch": 1.0, "sweep": 1.0}


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
    return int(slow)


if __name__ == "__main__":
    sys.exit(main())
