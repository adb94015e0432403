"""Runs a notebook's cells as plain Python and keeps what they show, without a notebook program.

``python tests/notebook_runner.py`` executes all of `notebooks/` from clean and writes the outputs into them.
"""

import ast
import base64
import contextlib
import io
import json
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))


def read_notebook(path):
    """The notebook as its JSON document."""
    return json.loads(path.read_text(encoding="utf-8"))


def run_cells(notebook, name):
    """Outputs of every code cell, run in one fresh namespace (no magics, no shell lines).

    Returns
    -------
    list of list of dict
        As in the notebook format: printed text, then what the last expression shows.
    """
    namespace = {}
    code = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
    return [
        _run_cell("".join(cell["source"]), f"{name}, cell {k + 1}", namespace, k + 1) for k, cell in enumerate(code)
    ]


def _run_cell(source, name, namespace, count):
    tree = ast.parse(source, name)
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(tree, name, "exec"), namespace)
        value = None if last is None else eval(compile(ast.Expression(last.value), name, "eval"), namespace)
    outputs = []
    if printed.getvalue():
        outputs.append(
            {"output_type": "stream", "name": "stdout", "text": printed.getvalue().splitlines(keepends=True)}
        )
    if value is not None:
        outputs.append(
            {"output_type": "execute_result", "execution_count": count, "metadata": {}, "data": shown_data(value)}
        )
    return outputs


def shown_data(value):
    """What a notebook shows of a value: picture, formula or table, and text for all else."""
    data = {}
    picture = getattr(value, "_repr_png_", lambda: None)()
    formula = getattr(value, "_repr_latex_", lambda: None)()
    table = getattr(value, "_repr_html_", lambda: None)()
    if picture is not None:
        data["image/png"] = base64.b64encode(picture).decode("ascii")
    if formula is not None:
        data["text/latex"] = [formula]
    if table is not None:
        data["text/html"] = [table]
    plain = "picture" if picture is not None else "formula" if formula is not None else repr(value)
    return data | {"text/plain": [plain]}


def write_outputs(path):
    """Execute one notebook and write its outputs into it."""
    notebook = read_notebook(path)
    outputs = iter(run_cells(notebook, path.name))
    count = 0
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            count += 1
            cell["outputs"], cell["execution_count"] = next(outputs), count
    path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    for one in NOTEBOOKS:
        write_outputs(one)
        print(f"{one.relative_to(ROOT)}: {one.stat().st_size / 1024:.0f} kB")
