"""Odd surroundings: other encodings, closed streams, windows that are not installed, Ctrl-C, letters without a font."""

import io
import json
import os
import signal
import subprocess
import sys
import textwrap
import warnings
from xml.etree import ElementTree

import pytest

from noseload.__main__ import main
from noseload.commands.terminal import PlainStream, plain_text
from noseload.demo import DEMO
from noseload.documents import MissingLettersWarning, csv_text
from noseload.model import load_vehicle
from noseload.pages.html import text as html_text
from noseload.pictures.style import house_style, new_figure, save_figure

BAD_INPUT, INTERRUPTED = 2, 130
COMMAND = [sys.executable, "-m", "noseload"]


def named_car(folder, name):
    """The demo vehicle under another name, TOML escapes as they are."""
    file = folder / "car.toml"
    with open(DEMO, encoding="utf-8") as demo:
        text = demo.read()
    assert text.count('name = "demo"') == 1
    file.write_text(text.replace('name = "demo"', f'name = "{name}"'), encoding="utf-8")
    return file


def run(*arguments, **environment):
    return subprocess.run(
        [*COMMAND, *map(str, arguments)], capture_output=True, env=os.environ | environment, check=False
    )


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_any_encoding_takes_every_line(encoding):
    """A plus-minus sign once ended in a traceback ('ascii' codec can't encode character); texts now keep to what all have."""
    found = run("weigh", PYTHONIOENCODING=encoding)
    assert (found.returncode, found.stderr) == (0, b"")
    assert "value +- standard error" in found.stdout.decode(encoding) and found.stdout.isascii()


def test_documents_stay_documents_in_any_encoding(tmp_path):
    file = named_car(tmp_path, "K\u00e4fer \u2013 \U0001f600")
    name = load_vehicle(file).name
    found = run("describe", file, "--json", PYTHONIOENCODING="ascii")
    assert found.returncode == 0
    assert name in json.dumps(json.loads(found.stdout.decode("ascii")), ensure_ascii=False)


def test_control_characters_are_written_out_and_line_ends_stay():
    assert plain_text("a\x1b[31mb\x9b\u202ec\r\n\td") == "a\\u001b[31mb\\u009b\\u202ec\\u000d\n\td"
    assert plain_text("\u00b1 \u00b0 \u65e5 \U0001f600", "ascii") == "+-  deg \\u65e5 \\ud83d\\ude00"
    assert plain_text("\u00b1", "ascii", spell=False) == "\\u00b1"
    kept = io.StringIO()
    PlainStream(kept, progress=True).write("\r\033[Kpage \x1b[2J")
    assert kept.getvalue() == "\r\033[Kpage \\u001b[2J"


def test_a_closed_standard_output_is_told():
    found = subprocess.run(
        ["sh", "-c", f"{sys.executable} -m noseload creep --grade 20 >&-"], capture_output=True, check=False
    )
    assert found.returncode == BAD_INPUT
    assert found.stderr == b"noseload: standard output is closed; nothing could be printed\n"


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full here")
def test_a_full_disk_is_told_in_one_line():
    with open("/dev/full", "wb") as full:
        found = subprocess.run([*COMMAND, "creep", "--grade", "20"], stdout=full, stderr=subprocess.PIPE, check=False)
    assert (found.returncode, found.stderr) == (BAD_INPUT, b"noseload: standard output: No space left on device\n")


@pytest.mark.slow
def test_pictures_are_drawn_whatever_windows_the_environment_names(tmp_path):
    found = run("creep", "--grade", 20, "--plot", tmp_path / "a.png", MPLBACKEND="no_such_windows")
    assert (found.returncode, found.stderr) == (0, b"")
    assert (tmp_path / "a.png").stat().st_size > 1000
    found = run("explore", MPLBACKEND="no_such_windows")
    assert found.returncode == BAD_INPUT and found.stderr.count(b"\n") == 1 and b"unset MPLBACKEND" in found.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("sweep", "--seed", "-1"), ("survey", "--seed", "-1"), ("report", "--seed", "-1"), ("aim", "--seed", "-1"),
        ("trial", "rehearse", "--seed", "-1"), ("survey", "--seed", "1.5"), ("survey", "--vehicles", "0"),
        ("survey", "--vehicles", "9" * 5000), ("map", "--grade-count", "-3"), ("rank", "--top", "0"),
    ],
)  # fmt: skip
def test_whole_numbers_have_bounds(capsys, arguments):
    """`survey --seed -1` ended in NumPy's traceback."""
    assert main(list(arguments)) == BAD_INPUT
    out, err = capsys.readouterr()
    assert out == "" and ("is outside what" in err or "is not a whole number" in err)


@pytest.mark.parametrize("module", ["noseload.commands.climb.sweep", "numpy", "argparse", "noseload.commands.paths"])
def test_ctrl_c_while_modules_load_is_one_line(module):
    """Sent when the first of a command's modules is asked for, long before the command runs."""
    code = textwrap.dedent(f"""
        import os, signal, sys
        class Finder:
            def find_spec(self, name, path=None, target=None):
                if name == {module!r}:
                    os.kill(os.getpid(), signal.SIGINT)
        sys.meta_path.insert(0, Finder())
        signal.signal(signal.SIGINT, signal.default_int_handler)  # a suite run in the background ignores it
        from noseload.__main__ import main
        sys.exit(main())
    """)
    found = subprocess.run([sys.executable, "-c", code, "sweep"], capture_output=True, check=False)
    assert (found.returncode, found.stdout, found.stderr) == (INTERRUPTED, b"", b"noseload: interrupted\n")


@pytest.fixture
def heeded_ctrl_c():
    """Ctrl+C that interrupts, also where the suite runs in the background, which ignores it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("heeded_ctrl_c")
def test_ctrl_c_that_an_import_turns_into_another_error_is_ctrl_c_all_the_same(capsys, monkeypatch):
    import importlib

    def load(name):
        try:
            signal.raise_signal(signal.SIGINT)
        except KeyboardInterrupt:
            raise ImportError("a library's own words") from None

    monkeypatch.setattr(importlib, "import_module", load)
    assert main(["sweep"]) == INTERRUPTED
    assert capsys.readouterr().err == "noseload: interrupted\n"
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_letters_that_the_font_lacks_are_told_once(tmp_path):
    figure, (ax,) = new_figure()
    with house_style():
        ax.text(0.0, 0.5, "\u7532\u866b $x_1$ <b>")
    with pytest.warns(MissingLettersWarning, match="no letters \u7532\u866b; in the picture boxes stand there") as told:
        save_figure(figure, tmp_path / "a.png")
    assert len(told) == 1
    with pytest.warns(MissingLettersWarning):
        save_figure(figure, tmp_path / "a.svg")
    assert "\u7532\u866b $x_1$ &lt;b&gt;" in (tmp_path / "a.svg").read_text(encoding="utf-8")


@pytest.mark.slow
def test_letters_that_the_font_lacks_are_one_line_of_a_command(tmp_path):
    file = named_car(tmp_path, "\u7532\u866b $x_1$ <b>")
    found = run("post", file, "--out", tmp_path / "a.png", PYTHONIOENCODING="utf-8")
    line = "noseload: the pictures' font has no letters \u7532\u866b; in the picture boxes stand there\n"
    assert (found.returncode, found.stderr.decode()) == (0, line)


def test_names_with_control_characters_reach_nothing_raw(capsys, tmp_path):
    file = named_car(tmp_path, "a\\u001b[31m\\u009b")
    assert "\x1b" in load_vehicle(file).name
    picture = tmp_path / "a.svg"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", MissingLettersWarning)
        assert main(["describe", str(file), "--plot", str(picture)]) == 0
    out, err = capsys.readouterr()
    drawn = picture.read_text(encoding="utf-8")
    assert not set("\x1b\x9b") & set(out + err + drawn)
    assert "a\\u001b[31m\\u009b" in out and "a\\u001b[31m" in drawn
    ElementTree.fromstring(drawn)


def test_keys_and_cells_reach_no_terminal_raw(capsys, tmp_path):
    file = tmp_path / "car.toml"
    file.write_text('"\\u001b[2J" = 1\n')
    assert main(["describe", str(file)]) == BAD_INPUT
    rows = tmp_path / "rows.csv"
    rows.write_text("angle_deg, \x1b]0;title\x07\n1, \x1b[31m\n")
    assert main(["weigh", str(rows)]) == BAD_INPUT
    assert main(["creep", "--\x1b[31m"]) == BAD_INPUT
    assert main(["\x1b[31m"]) == BAD_INPUT
    out, err = capsys.readouterr()
    assert "\x1b" not in out + err and "\x07" not in out + err and "\\u001b[2J" in err


def test_cells_that_count_as_formulas_are_quoted():
    text = csv_text([{"name": "=1+1", "load": -1.5, "told": "-1.5", "why": "@now", "what": "+x", "who": "a=b"}])
    assert text == "name,load,told,why,what,who\n'=1+1,-1.5,-1.5,'@now,'+x,a=b\n"


def test_text_on_a_page_has_no_control_characters():
    assert html_text("<b>\x1b[31m&") == "&lt;b&gt;\\u001b[31m&amp;"
