"""Vehicles that differ from a given one in a few file values: as setups of it, or as if built and measured so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.errors import MissingDataError
from noseload.model.file.reader import change_vehicle, parse_vehicle
from noseload.model.vehicle import ENDS

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


CANDIDATE = "candidate"


def with_lines(
    vehicle: Vehicle,
    lines: dict,
    *,
    link_lengths: str | None = None,
    ride_height: str | None = None,
    name: str = CANDIDATE,
) -> Vehicle:
    """The vehicle with some lines changed, as a setup of its file.

    Parameters
    ----------
    vehicle : Vehicle
        A base or one of its setups, whose own lines stay below the new ones.
    lines : dict
        Dotted key -> value in file units.
    link_lengths : {'kept', 'fitted'}, optional
    ride_height : {'springs_decide', 'reset'}, optional
        Default: those of the setup, or the first of each.
    name : str

    Returns
    -------
    Vehicle

    Raises
    ------
    VehicleFileError
        The lines describe an impossible vehicle.
    """
    base = vehicle.base or vehicle
    own = dict(base.document.get("setups", {}).get(vehicle.setup, {})) if vehicle.base is not None else {}
    words = {
        "link_lengths": link_lengths or own.get("link_lengths", "kept"),
        "ride_height": ride_height or own.get("ride_height", "springs_decide"),
    }
    document = {k: v for k, v in base.document.items() if k not in ("setups", "changes")}
    document["setups"] = {name: own | words | lines}
    return parse_vehicle(
        document,
        file=vehicle.file,
        sha256=vehicle.sha256,
        setup=name,
        drive=vehicle.drive.driven_axles,
        inherited={a.key: a for a in base.assumed},
    )


def as_built(vehicle: Vehicle, changes: dict[str, float | list[float]] | None = None) -> Vehicle:
    """The vehicle as if built and measured with these file values: links fit, springs hold it as measured.

    Parameters
    ----------
    vehicle : Vehicle
    changes : dict, optional
        Dotted key -> value in file units.

    Returns
    -------
    Vehicle
        A base, never a setup.
    """
    if vehicle.base is not None:
        vehicle = parse_vehicle(
            vehicle.document,
            file=vehicle.file,
            sha256=vehicle.sha256,
            drive=vehicle.drive.driven_axles,
            inherited={a.key: a for a in vehicle.base.assumed},
        )
    return change_vehicle(vehicle, changes) if changes else vehicle


def point_of(vehicle: Vehicle, key: str) -> tuple[float, float]:
    """A link end of the vehicle by dotted key, (x, z) in mm; MissingDataError where the file has no links."""
    end, part, name = key.split(".")
    rod = getattr(getattr(vehicle, end), part)
    if rod is None:
        raise MissingDataError(
            f"{vehicle.name}: this file has no links (level A), so there is no link end to move; add the links "
            "and shocks of both axles (level B)"
        )
    point = getattr(rod, name.removesuffix("_mm"))
    return 1e3 * point[0], 1e3 * point[-1]


POINTS = tuple(
    f"{end}.{part}.{side}_end_mm"
    for end in ENDS
    for part in ("lower_link", "upper_link")
    for side in ("chassis", "axle")
)
"""Keys of all link ends."""
