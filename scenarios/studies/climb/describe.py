"""What a vehicle file says, and what to check with a ruler and a phone before you trust the results."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import atan2, degrees, sin
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.geometry import solved_pose
from noseload.model.file.examples import untouched_keys
from noseload.model.parameters import ENDS, LINKS, rigid_centre_of_gravity
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.result import Result
from noseload.studies.wheels.stance import four_wheels

from .creep import Climb
from .modes import Modes, standing_modes
from .results import Limits
from .rigid import RigidClimb
from .stance import solved_measures, standing_measures
from .standing import coordinates_of, on_the_same_springs, stand

if TYPE_CHECKING:
    from noseload.studies.climb.standing import Standing


TEST_WEIGHTS = tuple(1e-3 * digit * 10.0**power for power in range(4) for digit in (1, 2, 5))
"""Weights that a kitchen has, kg, of which one is put above an axle for the check with a ruler."""
TEST_SHARE = 0.075
"""Largest share of the vehicle's mass that the weight may be: springs of light vehicles carry no more."""


@dataclass(frozen=True)
class Description(Result):
    """A vehicle as read and as solved, standing on level ground.

    Attributes
    ----------
    vehicle : Vehicle
    climb : Climb or RigidClimb
    loads_n : dict
        Level axle loads by end.
    loose_mm : dict
        By end: how much longer than standing the shocks are where their coil goes loose, mm; held coils are missing.
    stance : dict
        `noseload.studies.climb.stance.standing_measures`.
    links : dict
        By 'rear_lower_link' ...: `length_mm` and `rising_forward_deg` as it stands.
    sinks_mm : dict
        By end under the weight: how far the body above each axle goes down, mm; ends that cannot bear it are missing.
    modes : Modes or None
    limits : Limits
    unsaid : dict
        Why a part is missing, by 'standing', 'climb', 'modes', 'rear_sink', 'front_sink'.
    """

    picture = "show.portrait.plot_portrait"
    vehicle: Vehicle
    climb: object
    loads_n: dict
    stance: dict
    links: dict
    sinks_mm: dict
    modes: Modes | None
    limits: Limits
    unsaid: dict = field(default_factory=dict)
    loose_mm: dict = field(default_factory=dict)
    wheels: Any = None
    """`noseload.studies.wheels.stance.FourWheels`, or None with its reason in `unsaid`."""

    @property
    def test_weight(self) -> float:
        """The weight of the check with a ruler, kg."""
        return weight_to_try(self.vehicle)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        vehicle = self.vehicle
        x, z = rigid_centre_of_gravity(vehicle)
        return {
            "name": vehicle.name,
            "setup": vehicle.setup,
            "level": vehicle.level,
            "mass_g": 1e3 * vehicle.mass,
            "body_mass_g": 1e3 * vehicle.body.mass,
            "rear_axle_mass_g": 1e3 * vehicle.rear.mass,
            "front_axle_mass_g": 1e3 * vehicle.front.mass,
            "centre_of_gravity_mm": [1e3 * x, 1e3 * z],
            "rear_load_n": self.loads_n["rear"],
            "front_load_n": self.loads_n["front"],
            "standing": self.stance,
            "coil_loose_after_mm": self.loose_mm,
            "links": self.links,
            "four_wheels": None if self.wheels is None else self.wheels.to_dict(),
            "test_weight_g": 1e3 * self.test_weight,
            "sinks_mm": self.sinks_mm,
            "modes": None if self.modes is None else self.modes.to_dict(),
            "limits": self.limits.to_dict(),
            "assumed": [
                {"key": a.key, "value": a.value, "low": a.low, "high": a.high, "unit": a.unit, "reason": a.reason}
                for a in vehicle.assumed
            ],
            "untouched": list(untouched_keys(vehicle.document)),
            "warnings": list(vehicle.warnings),
            "unsaid": self.unsaid,
            "status": "does_not_stand" if "standing" in self.unsaid else "ok",
        }

    def __repr__(self) -> str:
        return (
            f"Description({self.vehicle.name}: level {self.vehicle.level}, {1e3 * self.vehicle.mass:.0f} g, "
            f"{len(self.vehicle.assumed)} assumed, {len(self.vehicle.warnings)} warnings)"
        )


def describe(vehicle: Vehicle) -> Description:
    """Describe a vehicle.

    Parameters
    ----------
    vehicle : Vehicle
        Any level; without links only what a rigid vehicle tells.

    Returns
    -------
    Description

    Notes
    -----
    What cannot be solved is left out, with its reason in `unsaid`; where the vehicle does not stand, loads and limits are
    those of the rigid vehicle.
    """
    unsaid: dict[str, str] = {}
    try:
        standing = None if vehicle.level == "A" else stand(vehicle)
    except SolverError as error:
        standing, unsaid["standing"] = None, str(error)
    if standing is None:
        rigid = RigidClimb(vehicle)
        loads = dict(zip(ENDS, rigid.loads(0.0), strict=True))
        return Description(vehicle, rigid, loads, standing_measures(rigid), {}, {}, None, rigid.limits, unsaid)
    outputs, _ = standing.equilibrium.outputs(standing.state, 0.0)
    loads = {"rear": float(outputs[0]), "front": float(outputs[1])}
    climb: Climb | RigidClimb = RigidClimb(vehicle)
    limits, sinks, modes = climb.limits, {}, None
    try:
        climb = Climb(vehicle, standing=standing)
        limits = climb.limits
    except SolverError as error:
        unsaid["climb"] = str(error)
    for end in ENDS:
        try:
            sinks[end] = _sink(vehicle, standing, end)
        except SolverError as error:
            unsaid[f"{end}_sink"] = str(error).removeprefix(f"{vehicle.name} ")
    try:
        modes = standing_modes(vehicle, standing=standing)
    except (SolverError, np.linalg.LinAlgError) as error:
        unsaid["modes"] = str(error)
    seen = solved_measures(standing)
    wheels, why = four_wheels(vehicle)
    if why:
        unsaid["four_wheels"] = why
    loose = {
        end: 1e3 * float(standing.free_lengths[k] - outputs[4 + k])
        for k, end in enumerate(ENDS)
        if not standing.values.axle(end).spring_held
    }
    return Description(vehicle, climb, loads, seen, _links(standing), sinks, modes, limits, unsaid, loose, wheels)


def weight_to_try(vehicle: Vehicle) -> float:
    """The largest weight, kg, of a kitchen's that a vehicle bears without sinking far."""
    return max([mass for mass in TEST_WEIGHTS if mass <= TEST_SHARE * vehicle.mass], default=TEST_WEIGHTS[0])


def _links(standing: Standing) -> dict[str, Any]:
    pose = solved_pose(standing.values, coordinates_of(standing.state))
    found = {}
    for end in ENDS:
        for link in LINKS:
            a, b = pose.points[f"{end}_{link}_axle"], pose.points[f"{end}_{link}_chassis"]
            (x0, z0), (x1, z1) = (a, b) if a[0] <= b[0] else (b, a)
            found[f"{end}_{link}"] = {
                "length_mm": 1e3 * standing.values.axle(end).link_length(link),
                "rising_forward_deg": degrees(atan2(z1 - z0, x1 - x0)),
            }
    return found


def with_weight(vehicle: Vehicle, mass: float, x: float) -> Vehicle:
    """The vehicle with a mass (kg) on its body at x (m from the rear axle), standing on the same springs."""
    body = vehicle.body
    total = body.mass + mass
    cx, cz = body.centre_of_gravity
    moved = ((body.mass * cx + mass * x) / total, cz)
    inertia = body.pitch_inertia + body.mass * mass / total * (x - cx) ** 2
    return on_the_same_springs(vehicle, replace(body, mass=total, centre_of_gravity=moved, pitch_inertia=inertia))


def _sink(vehicle: Vehicle, standing: Standing, end: str) -> dict[str, float]:
    """How far the body above each axle goes down when the weight is put above one."""
    at = 0.0 if end == "rear" else vehicle.wheelbase
    loaded = stand(with_weight(vehicle, weight_to_try(vehicle), at))
    sinks = {}
    for other, x in zip(ENDS, (0.0, vehicle.wheelbase), strict=True):
        before = _height_at(vehicle, standing.state, x)
        sinks[other] = 1e3 * (before - _height_at(loaded.vehicle, loaded.state, x))
    return sinks


def _height_at(vehicle: Vehicle, state: np.ndarray, x: float) -> float:
    """Height of the chassis point that lies at (x, centre of gravity) in the measured pose, m."""
    dx = x - vehicle.body.centre_of_gravity[0]
    return float(state[0] - dx * sin(state[1]))
