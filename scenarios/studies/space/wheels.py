"""`wheels` and `wheels_sweep`: what each wheel carries on a slope, and which one lifts first.

::

    row = wheels(vehicle, grade_deg=45.0, heading_deg=0.0, mismatch=None, shafts=True, blocks=None)
    row.front_right_load_n, row.twist_n, row.twist_budget, row.to_dict()
    climb = wheels_sweep(vehicle, from_deg=0.0, to_deg=None, step_deg=1.0)
    climb.limits.first_wheel, climb.limits.first_wheel_lift_grade_deg

How the torque divides between geared axles is not a matter of statics: by default all driven wheels slip alike (the
limit of zero speed); `mismatch` gives the front wheels another speed, in percent.
"""

from collections.abc import Mapping
from math import floor

from noseload.model.errors import ModelError
from noseload.model.parameters import free_radius
from noseload.model.space.parameters import WHEELS
from noseload.model.vehicle import Vehicle

from .climb import SpaceClimb
from .results import Wheels, WheelsSweep
from .rows import limits_of, row_of

LARGEST_MISMATCH = 50.0
"""Percent."""
MOST_ROWS = 10_000


def check_options(vehicle: Vehicle, mismatch: float | None, blocks: Mapping[str, float] | None) -> None:
    """Raise `ModelError` for a mismatch or blocks that make no sense, every fault at once."""
    faults = []
    if mismatch is not None and not abs(mismatch) <= LARGEST_MISMATCH:
        faults.append(
            f"mismatch of {mismatch:g} % is outside +-{LARGEST_MISMATCH:g} %; give the share by which the "
            "front wheels roll faster, such as 3"
        )
    for wheel, height in (blocks or {}).items():
        if wheel not in WHEELS:
            faults.append(f"there is no wheel {wheel!r} to put a block under; use {', '.join(WHEELS)}")
            continue
        most = 1e3 * free_radius(vehicle, wheel.partition("_")[0])
        if not 0.0 <= height <= most:
            faults.append(
                f"a block of {height:g} mm under the {wheel.replace('_', ' ')} wheel is outside 0 to {most:.0f} mm, "
                "the tyre's radius; give its height in mm"
            )
    if faults:
        raise ModelError("; ".join(faults))


def space_climb(
    vehicle: Vehicle,
    *,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    shafts: bool = True,
    blocks: Mapping[str, float] | None = None,
) -> SpaceClimb:
    """The path of a vehicle over grade at one heading, from options in the units of the command line."""
    check_options(vehicle, mismatch, blocks)
    heights = {wheel: 1e-3 * height for wheel, height in (blocks or {}).items()}
    return SpaceClimb(vehicle, heading_deg=heading_deg, mismatch=mismatch, shafts=shafts, blocks=heights)


def wheels(
    vehicle: Vehicle,
    *,
    grade_deg: float,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    shafts: bool = True,
    blocks: Mapping[str, float] | None = None,
) -> Wheels:
    """Four wheel loads, attitude and link forces in a steady crawl.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks, and track widths.
    grade_deg : float
        Of the slope, positive; with `heading_deg` 0 the nose points up it.
    heading_deg : float
        Nose turned left of the line of steepest ascent: 90 crosses the slope with the right side uphill, 180 points down.
    mismatch : float, optional
        How much faster the front wheels roll than the rear ones, percent. None: all driven wheels slip alike.
    shafts : bool
        False leaves the couples of the lengthwise shafts out.
    blocks : mapping, optional
        Height of a block under a wheel by name ('front_left'), mm.

    Returns
    -------
    Wheels

    Raises
    ------
    MissingDataError, ModelError
        The file lacks a y or a track, its links do not hold an axle in space, or an option makes no sense.
    SolverError
        The vehicle has no standing pose.
    """
    climb = space_climb(vehicle, heading_deg=heading_deg, mismatch=mismatch, shafts=shafts, blocks=blocks)
    return row_of(climb, grade_deg)


def wheels_sweep(
    vehicle: Vehicle,
    *,
    from_deg: float = 0.0,
    to_deg: float | None = None,
    step_deg: float = 1.0,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    shafts: bool = True,
    blocks: Mapping[str, float] | None = None,
    climb: SpaceClimb | None = None,
) -> WheelsSweep:
    """Four wheels over grade, by default up to where the climb ends (no wheel of an axle or of a side carries).

    Parameters
    ----------
    vehicle, heading_deg, mismatch, shafts, blocks
        As in `wheels`.
    from_deg, to_deg, step_deg : float
        Grades of the rows.
    climb : SpaceClimb, optional
        A path already followed with these options.

    Returns
    -------
    WheelsSweep
    """
    if climb is None:
        climb = space_climb(vehicle, heading_deg=heading_deg, mismatch=mismatch, shafts=shafts, blocks=blocks)
    if not step_deg > 0.0:
        raise ModelError(f"step {step_deg:g} deg: a sweep needs a step above 0 deg, such as 1")
    limits = limits_of(climb)
    end = to_deg if to_deg is not None else max(limits.steepest_deg, from_deg)
    count = floor((end - from_deg) / step_deg * (1 + 1e-12) + 1e-9)
    if count < 0:
        raise ModelError(f"a sweep from {from_deg:g} to {end:g} deg runs backwards; swap --from and --to")
    if count > MOST_ROWS:
        raise ModelError(f"a sweep of {count} rows is too long; use a step of {(end - from_deg) / 1000:g} deg or more")
    rows = tuple(row_of(climb, from_deg + k * step_deg) for k in range(count + 1))
    failed = next((row for row in rows if row.status == "no_solution"), None)
    status, message = (
        ("ok", "") if failed is None else ("no_solution", f"stopped at {failed.grade_deg:g} deg: {failed.message}")
    )
    return WheelsSweep(vehicle.setup, climb.heading_deg, rows, limits, status, message)
