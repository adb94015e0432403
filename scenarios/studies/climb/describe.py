"""What a vehicle file says, and what to check with a ruler and a phone before you trust the results."""

from dataclasses import dataclass, replace
from math import atan2, degrees, sin
from typing import Any

from noseload.model.crawl.geometry import solved_pose
from noseload.model.parameters import ENDS, LINKS, rigid_centre_of_gravity
from noseload.model.vehicle import Vehicle
from noseload.studies.result import Result

from .modes import Modes, standing_modes
from .results import Limits
from .rigid import RigidClimb
from .stance import standing_measures
from .standing import coordinates_of, stand
from .sweep import climb_of

TEST_WEIGHT = 0.2
"""Weight put above an axle for the check with a ruler, kg."""


@dataclass(frozen=True)
class Description(Result):
    """A vehicle as read and as solved, standing on level ground.

    Attributes
    ----------
    vehicle : Vehicle
    climb : Climb or RigidClimb
    loads_n : dict
        Level axle loads by end.
    stance : dict
        `noseload.studies.climb.stance.standing_measures`.
    links : dict
        By 'rear_lower_link' ...: `length_mm` and `rising_forward_deg` as it stands.
    sinks_mm : dict
        By end under the weight: how far the body above each axle goes down, mm.
    modes : Modes or None
    limits : Limits
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
            "links": self.links,
            "test_weight_g": 1e3 * TEST_WEIGHT,
            "sinks_mm": self.sinks_mm,
            "modes": None if self.modes is None else self.modes.to_dict(),
            "limits": self.limits.to_dict(),
            "assumed": [
                {"key": a.key, "value": a.value, "low": a.low, "high": a.high, "unit": a.unit, "reason": a.reason}
                for a in vehicle.assumed
            ],
            "warnings": list(vehicle.warnings),
            "status": "ok",
        }

    def __repr__(self):
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

    Raises
    ------
    SolverError
        The vehicle has no standing pose.
    """
    climb = climb_of(vehicle)
    if isinstance(climb, RigidClimb):
        loads = dict(zip(ENDS, climb.loads(0.0), strict=True))
        return Description(vehicle, climb, loads, standing_measures(climb), {}, {}, None, climb.limits)
    standing = climb.standing
    outputs, _ = climb.equilibrium.outputs(standing.state, 0.0)
    loads = {"rear": float(outputs[0]), "front": float(outputs[1])}
    sinks = {end: _sink(vehicle, standing, end) for end in ENDS}
    return Description(
        vehicle,
        climb,
        loads,
        standing_measures(climb),
        _links(standing),
        sinks,
        standing_modes(vehicle, standing=standing),
        climb.limits,
    )


def _links(standing):
    pose = solved_pose(standing.values, coordinates_of(standing.state))
    found = {}
    for end in ENDS:
        for link in LINKS:
            a, b = pose.points[f"{end}_{link}_axle"], pose.points[f"{end}_{link}_chassis"]
            (x0, z0), (x1, z1) = (a, b) if a[0] <= b[0] else (b, a)
            found[f"{end}_{link}"] = {
                "length_mm": 1e3 * standing.values[f"{end}_{link}_length"],
                "rising_forward_deg": degrees(atan2(z1 - z0, x1 - x0)),
            }
    return found


def with_weight(vehicle, mass, x):
    """The vehicle with a mass (kg) on its body at x (m from the rear axle), standing on the same springs."""
    body = vehicle.body
    total = body.mass + mass
    cx, cz = body.centre_of_gravity
    moved = ((body.mass * cx + mass * x) / total, cz)
    inertia = body.pitch_inertia + body.mass * mass / total * (x - cx) ** 2
    return replace(
        vehicle,
        body=replace(body, mass=total, centre_of_gravity=moved, pitch_inertia=inertia),
        base=vehicle.base or vehicle,
        ride_height="springs_decide",
    )


def _sink(vehicle, standing, end):
    """How far the body above each axle goes down when the weight is put above one."""
    at = 0.0 if end == "rear" else vehicle.wheelbase
    loaded = stand(with_weight(vehicle, TEST_WEIGHT, at))
    sinks = {}
    for other, x in zip(ENDS, (0.0, vehicle.wheelbase), strict=True):
        before = _height_at(vehicle, standing.state, x)
        sinks[other] = 1e3 * (before - _height_at(loaded.vehicle, loaded.state, x))
    return sinks


def _height_at(vehicle, state, x):
    """Height of the chassis point that lies at (x, centre of gravity) in the measured pose, m."""
    dx = x - vehicle.body.centre_of_gravity[0]
    return float(state[0] - dx * sin(state[1]))
