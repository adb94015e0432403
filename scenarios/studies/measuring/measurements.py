"""The kinds of bench measurement by name; each is imported when it is asked for."""

from __future__ import annotations

import os
from dataclasses import replace
from difflib import get_close_matches
from importlib import import_module
from typing import TYPE_CHECKING

import numpy as np

from noseload.csv_input import read_readings
from noseload.model.errors import ModelError
from noseload.solvers.errors import SolverError

from .measurement import Kind, Measurement, doubted_rows
from .plausible import implausible

if TYPE_CHECKING:
    from noseload.csv_input import Readings


_PLACES = {
    "spring": ("springs", "SPRING"),
    "tyre": ("springs", "TYRE"),
    "damping": ("damping", "DAMPING"),
    "motor": ("motor", "MOTOR"),
    "rotor": ("rotor", "ROTOR"),
    "grip": ("contact", "GRIP"),
    "contact": ("contact", "CONTACT"),
    "inertia": ("inertia", "INERTIA"),
}

WHAT = tuple(_PLACES)
"""Names of the measurements, in the order an evening takes them."""


def measurement_kind(what: str) -> Kind:
    """Recipe, layouts and fit of the measurement called `what`.

    Raises
    ------
    ModelError
        If there is none of that name.
    """
    if what not in _PLACES:
        near = get_close_matches(what, WHAT, n=1)
        hint = f"did you mean {near[0]}?" if near else "choose one of " + ", ".join(WHAT)
        raise ModelError(f"there is no measurement called '{what}'; {hint}")
    module, name = _PLACES[what]
    return getattr(import_module(f"noseload.studies.measuring.{module}"), name)


def measure(what: str, path: str | os.PathLike) -> Measurement:
    """Read a file of readings and fit it.

    Parameters
    ----------
    what : str
        One of `WHAT`.
    path : str or Path
        CSV or TOML file, see `noseload.csv_input`.

    Returns
    -------
    Measurement

    Raises
    ------
    ModelError, SolverError
        For a file that cannot be used, or readings that do not determine the quantity.
    """
    kind = measurement_kind(what)
    readings = read_readings(path, kind.layouts)
    try:
        found = kind.fit(readings)
    except (ModelError, SolverError) as refused:
        slips = implausible(readings, {})
        if not slips:
            raise
        raise readings.fault("; ".join([*slips, str(refused).splitlines()[-1].strip()])) from refused
    told = (*implausible(readings, found.lines), *found.warnings, *_without_doubted(kind, readings, found))
    return replace(found, warnings=told)


def _without_doubted(kind: Kind, readings: Readings, found: Measurement):
    """The answer without the rows that the fit named, and what only then shows: friction, curvature."""
    rows = doubted_rows(found.warnings, readings)
    if not rows:
        return
    keep = ~np.isin(readings.rows, rows)
    columns = {name: values[keep] for name, values in readings.columns.items()}
    rest = replace(readings, columns=columns, rows=readings.rows[keep])
    named = f"without {readings.row_word} {', '.join(str(row) for row in rows)}"
    try:
        again = kind.fit(rest)
    except (ModelError, SolverError) as trouble:
        yield f"{named} nothing can be fitted: {str(trouble).splitlines()[-1].strip()}"
        return
    main = again.estimates[0]
    yield f"{named}: {main.key} is {main}, with it {found.estimates[0]}; the file gets the value with it"
    for warning in again.warnings:
        if warning not in found.warnings:
            yield f"{named}: {warning}"
