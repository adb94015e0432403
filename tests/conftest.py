"""How the suite is run: on all cores where pytest-xdist is there, alone where a single file is asked for."""

import importlib.util
import os


def pytest_addoption(parser):
    """The suite's own default asks for workers; without pytest-xdist the words are taken and nothing comes of them."""
    if importlib.util.find_spec("xdist") is None:
        parser.addoption("--numprocesses", default="auto", help="no effect: pytest-xdist is not installed")
        parser.addoption("--dist", default="no", help="no effect: pytest-xdist is not installed")


def pytest_xdist_auto_num_workers(config):
    """Both cores for the whole suite or a room of it; a few files are quicker without workers to start."""
    asked = [str(argument).split("::")[0] for argument in config.args]
    return 0 if all(name.endswith(".py") for name in asked) else os.cpu_count()
