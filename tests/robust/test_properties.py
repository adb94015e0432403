"""What holds for any text at all, tried by Hypothesis (extra `test`)."""

import contextlib
import json
import tempfile

import pytest

hypothesis = pytest.importorskip("hypothesis", reason="hypothesis (extra `test`) is not installed")

from hypothesis import given, settings  # noqa: E402
from hypothesis import strategies as st  # noqa: E402
from hypothesis.configuration import set_hypothesis_home_dir  # noqa: E402

from noseload.commands.terminal import plain_text  # noqa: E402
from noseload.csv_input import ReadingsFileError, parse_readings  # noqa: E402
from noseload.documents import csv_text  # noqa: E402
from noseload.model import load_vehicle  # noqa: E402
from noseload.model.errors import VehicleFileError  # noqa: E402
from noseload.pages.html import text as html_text  # noqa: E402
from noseload.plain import FORMULA, UNSAFE  # noqa: E402
from noseload.studies.weighing.layout import WEIGH_LAYOUT  # noqa: E402

set_hypothesis_home_dir(tempfile.mkdtemp(prefix="hypothesis-"))
"""What it notes down stays out of the project's folder."""
ANY_TEXT = st.text(st.characters(), max_size=60)
LINES = st.lists(
    st.sampled_from(["name", "wheelbase_mm", "[rear]", "=", "318", '"x"', "[", "]", "\n", ".", "#", "\\", "nan"])
)
FEW = settings(max_examples=60, deadline=None, derandomize=True, database=None)
READS = "hypothesis.internal.conjecture.providers.is_local_module_file"
"""Says which modules are read for constants; a name of its own, which other versions need not have."""
TRIED = tuple(f"/{name}.py" for name in ("terminal", "csv_input", "documents", "html", "plain", "reader", "layout"))


def for_any(*strategies):
    """A test that what is decorated holds for any drawn values.

    Hypothesis is met as the test runs: told at collection, every worker would read the whole package for its constants, 4 s
    of processor. Those of the modules tried here are enough.
    """

    def made(holds):
        def test(monkeypatch):
            with contextlib.suppress(ImportError):
                monkeypatch.setattr(READS, lambda path: path.endswith(TRIED), raising=False)
            FEW(given(*strategies)(holds))()

        test.__doc__ = holds.__doc__
        return test

    return made


@for_any(ANY_TEXT, st.sampled_from(["ascii", "latin-1", "cp437", "utf-8"]))
def test_any_text_can_be_shown_anywhere(text, encoding):
    shown = plain_text(text, encoding)
    shown.encode(encoding)
    assert not UNSAFE.search(shown)
    assert plain_text(shown, encoding) == shown


@for_any(ANY_TEXT)
def test_a_document_survives_what_a_terminal_needs(text):
    document = json.dumps({"name": text.replace("\ud800", "")}, ensure_ascii=False)
    assert json.loads(plain_text(document, "ascii", spell=False)) == json.loads(document)


@for_any(ANY_TEXT)
def test_no_cell_is_a_formula_and_no_markup_is_made(text):
    import csv
    import io

    cell = list(csv.reader(io.StringIO(csv_text([{"a": text, "b": 1}]))))[1][0]
    assert not cell.startswith(FORMULA) or _is_number(cell)
    assert "<" not in html_text(text) and not UNSAFE.search(html_text(text))


def _is_number(cell):
    try:
        float(cell)
    except ValueError:
        return False
    return True


@for_any(st.one_of(ANY_TEXT, LINES.map(" ".join)))
def test_any_text_is_a_vehicle_or_a_named_fault(text):
    try:
        load_vehicle("any.toml", text=text.encode("utf-8", "replace").decode("utf-8"))
    except VehicleFileError as error:
        assert error.faults and all(error.faults)


@for_any(ANY_TEXT, st.booleans())
def test_any_text_is_readings_or_a_named_fault(text, toml):
    try:
        parse_readings(f"kind;angle_deg\n{text}", WEIGH_LAYOUT, toml=toml)
    except ReadingsFileError as error:
        assert error.faults and all(error.faults)
