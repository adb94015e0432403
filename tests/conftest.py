"""How the suite is run: on all cores where pytest-xdist is there, alone where a single file is asked for."""

import importlib.util
import os
from functools import cache

import pytest

# One thread a worker: two workers with two threads each get into each other's way. Read as NumPy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def pytest_addoption(parser):
    """The suite's own default asks for workers; without pytest-xdist the words are taken and nothing comes of them."""
    if importlib.util.find_spec("xdist") is None:
        parser.addoption("--numprocesses", default="auto", help="no effect: pytest-xdist is not installed")
        parser.addoption("--dist", default="no", help="no effect: pytest-xdist is not installed")


def pytest_configure(config):
    """The mark of tests that share a worker is known without pytest-xdist as well."""
    config.addinivalue_line("markers", "xdist_group(name): run on the same worker as others of that name")


def pytest_xdist_auto_num_workers(config):
    """Both cores for the whole suite or a room of it; a few files are quicker without workers to start."""
    asked = [str(argument).split("::")[0] for argument in config.args]
    return 0 if all(name.endswith(".py") for name in asked) else os.cpu_count()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    """Files that make something once stay on one worker; slow tests come first, so that no worker waits for one at the end."""
    if not hasattr(config, "workerinput"):
        return
    for item in items:
        if _makes_once(item.path):
            item.add_marker(pytest.mark.xdist_group(item.path.name))
    items.sort(key=lambda item: item.get_closest_marker("slow") is None)


@cache
def _makes_once(path):
    """Whether a file of tests has a fixture of the whole module or a cached function."""
    text = path.read_text(encoding="utf-8")
    return 'scope="module"' in text or "\n@cache\n" in text
