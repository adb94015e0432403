"""The kinds of bench measurement by name; each is imported when it is asked for."""

import os
from dataclasses import replace
from difflib import get_close_matches
from importlib import import_module

from noseload.csv_input import Readings, read_readings
from noseload.model.errors import ModelError
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError

from .measurement import FILE_GETS, Kind, Measurement, answer_without, both_values
from .plausible import implausible, told_with_slips
from .vehicle_bounds import vehicle_bounds

_PLACES = {
    "spring": ("springs", "SPRING"),
    "tyre": ("springs", "TYRE"),
    "damping": ("damping", "DAMPING"),
    "motor": ("motor", "MOTOR"),
    "rotor": ("rotor", "ROTOR"),
    "grip": ("grip", "GRIP"),
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


def measure(what: str, path: str | os.PathLike, *, vehicle: Vehicle | None = None) -> Measurement:
    """Read a file of readings and fit it.

    Parameters
    ----------
    what : str
        One of `WHAT`.
    path : str or Path
        CSV or TOML file, see `noseload.csv_input`.
    vehicle : Vehicle, optional
        Whose readings they are: its file bounds what they may be.

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
    bounds = {} if vehicle is None else vehicle_bounds(vehicle)
    try:
        found = kind.fit(readings)
    except (ModelError, SolverError) as refused:
        raise told_with_slips(readings, refused, bounds) from refused

    def again(rest: Readings) -> tuple[str, tuple[str, ...]]:
        other = kind.fit(rest)
        return both_values(other.estimates[:1], found.estimates[:1]) + FILE_GETS, other.warnings

    slips = implausible(readings, found.lines, bounds)
    return replace(found, warnings=(*slips, *found.warnings, *answer_without(found.warnings, readings, again)))
