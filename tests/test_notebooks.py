"""Every notebook executes from clean, and prints what its committed outputs show."""

import contextlib
import io
import json
from pathlib import Path

import pytest

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_notebook_runs_and_prints_its_outputs(path):
    """Cells are plain Python without magics, so they run in one fresh namespace."""
    namespace = {}
    code = [cell for cell in json.loads(path.read_text(encoding="utf-8"))["cells"] if cell["cell_type"] == "code"]
    assert code
    for cell in code:
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed):
            exec(compile("".join(cell["source"]), path.name, "exec"), namespace)
        shown = "".join("".join(o["text"]) for o in cell["outputs"] if o.get("name") == "stdout")
        assert printed.getvalue() == shown
