"""Every study imported, so that tests can ask for all subclasses of a result."""

import importlib
import pkgutil

from noseload import studies

FEWEST = 80
"""Modules of `noseload.studies` at the least: a walk that finds fewer would check nothing."""


def import_all_studies():
    """Import every module of every room of `noseload.studies`; returns their names."""
    names = [module.name for module in pkgutil.walk_packages(studies.__path__, "noseload.studies.")]
    for name in names:
        importlib.import_module(name)
    if len(names) < FEWEST:
        raise AssertionError(f"only {len(names)} modules of studies were found")
    return names
