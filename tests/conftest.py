"""How the suite is run: on all cores where pytest-xdist is there, alone where a single file is asked for."""

import gc
import importlib.util
import os
import sys
from functools import cache

import pytest

# One thread a worker: two workers with two threads each get into each other's way. Read as NumPy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# What was compiled is kept also where the surroundings ask not to: 8 s of processor a worker, a second each command that is run.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
# Of other packages' plugins for hypothesis, which nothing here uses, one is a second in the loading.
os.environ.setdefault("HYPOTHESIS_NO_PLUGINS", "1")
sys.dont_write_bytecode = False

TOGETHER = {
    "results": (
        "tests/links/test_latest_lift.py",
        "tests/wheels/test_wheel_sentences.py::test_report_and_post_say_it",
        "tests/house/test_results.py",
        "tests/show/test_live_page",
        "tests/show/test_report",
    ),
    "script": ("tests/show/test_page_script.py::test_crawl_and_punch_of_random_vehicles",),
}
"""Tests of several files that look at something long in the making, by the beginnings of their names."""


@pytest.fixture
def drawn_letters(monkeypatch):
    """Letters of PDFs as drawings: to take the ones in use out of a font costs a third of a second a file."""
    from noseload.pictures.style import RC

    monkeypatch.setitem(RC, "pdf.fonttype", 3)


def pytest_addoption(parser):
    """The suite's own default asks for workers; without pytest-xdist the words are taken and nothing comes of them."""
    if importlib.util.find_spec("xdist") is None:
        parser.addoption("--numprocesses", default="auto", help="no effect: pytest-xdist is not installed")
        parser.addoption("--dist", default="no", help="no effect: pytest-xdist is not installed")


def pytest_xdist_auto_num_workers(config):
    """All cores for the whole suite or a room of it; a few files are quicker without workers to start.

    One worker more than cores: that of the page waits for its browser half of the time (295 s on two cores, not 322).
    """
    asked = [str(argument).split("::")[0] for argument in config.args]
    return 0 if all(name.endswith(".py") for name in asked) else (os.cpu_count() or 1) + 1


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Files that make something once stay on one worker, and so do tests of several files that look at the same result.

    By names of tests: the marks of groups are not told to the scheduler by every version of pytest.
    """
    if config.getvalue("dist") != "loadgroup":
        return None
    from xdist.scheduler import LoadScopeScheduling

    class BesideWhatIsShared(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            for name, beginnings in TOGETHER.items():
                if nodeid.startswith(beginnings):
                    return name
            file = nodeid.split("::")[0]
            return file if _makes_once(config.rootpath / file) else nodeid

    return BesideWhatIsShared(config, log)


@pytest.hookimpl(hookwrapper=True)
def pytest_make_collect_report(collector):
    """Every other worker reads the folders from their ends: it meets tests that are compiled, and compiles the others for them."""
    outcome = yield
    if isinstance(collector, pytest.Dir) and _worker_number(collector.config) % 2:
        outcome.get_result().result.reverse()


def pytest_collection_modifyitems(config, items):
    """With workers slow tests come first, so that none waits for one at the end; all have the same order."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: (item.get_closest_marker("slow") is None, item.path))


def pytest_collection_finish(session):
    """What is loaded by now stays: walking over it again and again for garbage took a twentieth of the processor time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


def _worker_number(config):
    """0, 1, ... of a worker; 0 where there are none."""
    return int(getattr(config, "workerinput", {"workerid": "gw0"})["workerid"].removeprefix("gw"))


@cache
def _makes_once(path):
    """Whether a file of tests has a fixture of the whole module or a cached function."""
    text = path.read_text(encoding="utf-8")
    return 'scope="module"' in text or "\n@cache\n" in text
