"""The page's script, shortened as a page carries it, run outside a page: one process of a script engine, fed with JSON."""

import json
import shutil
import subprocess
import tempfile
from functools import cache
from pathlib import Path

import pytest

from noseload.pages.live.numbers import short_script, solver_script

ENGINE = shutil.which("node") or shutil.which("nodejs")
PATIENCE_S = 300


@cache
def shortened_solvers():
    """Kernels and solvers as a page carries them."""
    return short_script(solver_script())


def run_script(body, given):
    """Value of `body`, the body of a function of `given`, after kernels and solvers are defined; skips without an engine."""
    if ENGINE is None:
        pytest.skip("no script engine on this machine (node)")
    program = (
        f"{shortened_solvers()}\nconst run=(given)=>{{{body}}};"
        "console.log(JSON.stringify(run(JSON.parse(require('fs').readFileSync(0,'utf8')))));"
    )
    # From a file: a system allows one argument only so many bytes.
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "program.cjs")
        file.write_text(program, encoding="utf-8")
        done = subprocess.run(
            [ENGINE, str(file)],
            input=json.dumps(given),
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=False,
        )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)
