"""Every notebook executes from clean, and shows what its committed outputs show."""

import base64
import struct
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))
from notebook_runner import NOTEBOOKS, read_notebook, run_cells, shown_data

LARGEST_FILE = 600_000
"""Bytes, pictures included: it must open on a telephone."""
SIZE_TOLERANCE = 0.1
"""Share by which a picture's size may differ: fonts and layout change with the plotting library's release."""


def picture_size(data):
    """Width and height of a PNG, from its header."""
    head = base64.b64decode(data)[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    return struct.unpack(">II", head[16:24])


def assert_alike(stored, made, place):
    """Printed text, formulas and tables to the letter; a picture by its size."""
    assert [o["output_type"] for o in stored] == [o["output_type"] for o in made], place
    for old, new in zip(stored, made, strict=True):
        if old["output_type"] == "stream":
            assert "".join(old["text"]) == "".join(new["text"]), place
            continue
        assert old["data"].keys() == new["data"].keys(), place
        for kind, value in old["data"].items():
            if kind == "image/png":
                assert picture_size(new["data"][kind]) == pytest.approx(picture_size(value), rel=SIZE_TOLERANCE), place
            else:
                assert "".join(value) == "".join(new["data"][kind]), place


@pytest.mark.slow
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook_runs_and_shows_its_outputs(path):
    """Cells are plain Python without magics, so they run in one fresh namespace."""
    notebook = read_notebook(path)
    stored = [cell["outputs"] for cell in notebook["cells"] if cell["cell_type"] == "code"]
    made = run_cells(notebook, path.name)
    assert stored
    for k, (old, new) in enumerate(zip(stored, made, strict=True)):
        assert_alike(old, new, f"{path.name}, code cell {k + 1}")


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook_tells_a_story_with_pictures(path):
    """Words before every cell of code, or two of them, at least three pictures, a modest file, no trace of one machine."""
    cells = read_notebook(path)["cells"]
    assert cells[0]["cell_type"] == "markdown" and "".join(cells[0]["source"]).startswith("# ")
    kinds = "".join("m" if cell["cell_type"] == "markdown" else "c" for cell in cells)
    assert ("cccc" not in kinds and kinds.endswith("m")) or path.stem == "the-equations"
    shown = [output["data"] for cell in cells for output in cell.get("outputs", []) if "data" in output]
    assert sum("image/png" in data for data in shown) >= 3
    assert path.stat().st_size < LARGEST_FILE


def test_there_are_the_three_stories():
    assert {path.stem for path in NOTEBOOKS} == {"the-equations", "creep-against-punch", "from-scale-to-trial"}


def test_an_output_that_changed_is_seen():
    """The comparison above can fail: another number, another picture, a missing table."""
    text = [{"output_type": "stream", "name": "stdout", "text": ["1.0\n"]}]
    with pytest.raises(AssertionError, match="here"):
        assert_alike(text, [{"output_type": "stream", "name": "stdout", "text": ["1.1\n"]}], "here")
    with pytest.raises(AssertionError, match="here"):
        assert_alike(text, [], "here")

    def picture(width):
        head = b"\x89PNG\r\n\x1a\n" + bytes(8) + struct.pack(">II", width, 100)
        return [{"output_type": "execute_result", "data": {"image/png": base64.b64encode(head).decode()}}]

    assert_alike(picture(100), picture(105), "here")
    with pytest.raises(AssertionError, match="here"):
        assert_alike(picture(100), picture(200), "here")


def test_a_value_is_shown_as_a_notebook_shows_it():
    class Table:
        def _repr_html_(self):
            return "<table></table>"

        def __repr__(self):
            return "Table()"

    assert shown_data(Table()) == {"text/html": ["<table></table>"], "text/plain": ["Table()"]}
    assert shown_data(3) == {"text/plain": ["3"]}
