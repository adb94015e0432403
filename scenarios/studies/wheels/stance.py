"""A vehicle at rest on four wheels on level ground: its loads, and two checks with ruler and scale.

A block under one wheel says whether the springs and the tracks are right: what the scales under the others read then. A
load at the side of the body says whether the roll stiffness is: by how much the body leans.
"""

from dataclasses import dataclass
from typing import Any

from noseload.model.file.apply_changes import add_mass
from noseload.model.parameters import axle_of
from noseload.model.units import GRAM, STANDARD_GRAVITY
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.climb.standing import on_the_same_springs

from .remark import what_is_left_out

BLOCK_MM = 20.0
BLOCKED = "front_left"
SIDE_LOAD_KG = 0.1
WHEELS = ("rear_left", "rear_right", "front_left", "front_right")


@dataclass(frozen=True)
class FourWheels:
    """Standing on four wheels, N and deg.

    Attributes
    ----------
    loads_n, block_loads_n : dict
        By wheel: as it stands, and with a block of `BLOCK_MM` under the front left wheel.
    roll_deg, block_roll_deg : float
        Of the chassis, left side up positive.
    side_load_at_mm, side_load_roll_deg : float
        A load of `SIDE_LOAD_KG` on the body so far left of the middle leans it by so much (left side down negative).
    read_n : dict or None
        What four scales read by the file, where it says so.
    """

    loads_n: dict
    roll_deg: float
    block_loads_n: dict
    block_roll_deg: float
    side_load_at_mm: float
    side_load_roll_deg: float
    read_n: dict | None = None

    @property
    def diagonal_n(self) -> float | None:
        """By how much the diagonal of front left and rear right reads heavier than as calculated, N: no spring of this file makes that."""
        if self.read_n is None:
            return None
        return diagonal(self.read_n) - diagonal(self.loads_n)

    def to_dict(self) -> dict[str, Any]:
        """Keys of a document."""
        return {
            "loads_n": dict(self.loads_n),
            "chassis_roll_deg": self.roll_deg,
            "block_mm": BLOCK_MM,
            "block_under": BLOCKED,
            "block_loads_n": dict(self.block_loads_n),
            "block_chassis_roll_deg": self.block_roll_deg,
            "side_load_g": 1e3 * SIDE_LOAD_KG,
            "side_load_at_mm": self.side_load_at_mm,
            "side_load_roll_change_deg": self.side_load_roll_deg,
            "read_n": None if self.read_n is None else dict(self.read_n),
            "diagonal_read_less_calculated_n": self.diagonal_n,
        }


def diagonal(loads: dict) -> float:
    """Front left and rear right less the other two wheels."""
    return loads["front_left"] + loads["rear_right"] - loads["front_right"] - loads["rear_left"]


def _read(vehicle: Vehicle) -> Any:
    """Readings of four scales in the file of a base, N, or None."""
    read = {wheel: vehicle.document.get("weighed", {}).get(f"{wheel}_g") for wheel in WHEELS}
    if vehicle.base is not None or None in read.values():
        return None
    return {wheel: GRAM * grams * STANDARD_GRAVITY for wheel, grams in read.items()}


def four_wheels(vehicle: Vehicle) -> tuple[FourWheels | None, str]:
    """The stance, and '' or why there is none."""
    lacking = what_is_left_out(vehicle)
    if lacking:
        return None, lacking
    from noseload.studies.space.resting import rest_on_wheels

    try:
        level = rest_on_wheels(vehicle)
        blocked = rest_on_wheels(vehicle, blocks={BLOCKED: BLOCK_MM})
        at = 0.25 * float(axle_of(vehicle, "rear").track_width or 0.0)
        leaning = rest_on_wheels(with_side_load(vehicle, at))
    except SolverError as error:
        return None, str(error).splitlines()[0]
    return (
        FourWheels(
            level.loads_n,
            level.chassis_roll_deg,
            blocked.loads_n,
            blocked.chassis_roll_deg,
            1e3 * at,
            leaning.chassis_roll_deg - level.chassis_roll_deg,
            _read(vehicle),
        ),
        "",
    )


def with_side_load(vehicle: Vehicle, left: float) -> Vehicle:
    """The vehicle with the load on its body beside the centre of gravity, m to the left, on the same springs."""
    loaded = add_mass(vehicle, "body", vehicle.body.centre_of_gravity, SIDE_LOAD_KG, left=left)
    return on_the_same_springs(vehicle, loaded.body)
