"""Free-body diagrams in numbers: every force on the whole vehicle and on one axle, in a steady climb."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, sin
from typing import TYPE_CHECKING

from noseload.model.parameters import LINKS
from noseload.model.vehicle import ENDS

from .geometry import solved_pose
from .rolling import contact_offset

if TYPE_CHECKING:
    import numpy as np

    from noseload.model.crawl.geometry import Pose
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


@dataclass(frozen=True)
class Force:
    """One force: name, point of action (m) and components (N) in the incline frame."""

    name: str
    point: tuple
    vector: tuple


def shock_push(values: VehicleNumbers, end: str, length: float) -> float:
    """Push of both shocks of an axle at rest, N: spring, less the droop stop, plus the bump stop."""
    axle = values.axle(end)
    over, under = max(0.0, length - axle.longest), max(0.0, axle.shortest - length)
    short = axle.free_length - length
    return axle.spring_rate * (short if axle.spring_held else max(0.0, short)) + axle.stop_stiffness * (under - over)


def _toward(start: tuple, end: tuple, size: float) -> tuple[float, float]:
    """Force of a given size at `start`, pointing to `end`."""
    dx, dz = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dz)
    return size * dx / length, size * dz / length


def _load(name: str, values: VehicleNumbers, pose: Pose, end: str, load: float, traction: float, sense: float) -> Force:
    """Tyre load where it acts: ahead of the wheel by rolling resistance and by what traction shifts."""
    x, z = pose.points[f"{end}_contact"]
    ahead = contact_offset(values.axle(end), traction, pose.points[f"{end}_wheel_centre"][1], sense)
    return Force(name, (x + float(ahead), z), (0.0, load))


def whole_vehicle(
    values: VehicleNumbers,
    coordinates: np.ndarray,
    grade: float,
    loads: tuple[float, float],
    tractions: tuple[float, float],
    *,
    senses: tuple[float, float] = (1.0, 1.0),
) -> list[Force]:
    """Forces on the whole vehicle.

    Parameters
    ----------
    values : dict
        Kernel parameters by name.
    coordinates : sequence of float, shape (9,)
    grade : float
        rad.
    loads, tractions : pair of float
        Tyre forces (rear, front), N.
    senses : pair of float
        Sense of rolling: 0 for wheels that stand.

    Returns
    -------
    list of Force
        In balance for a steady climb.
    """
    pose = solved_pose(values, coordinates)
    mass = sum(values.mass_of(body) for body in ("chassis", "rear", "front"))
    forces = [_weight("weight", pose.points["centre_of_gravity"], mass, values, grade)]
    for end, load, traction, sense in zip(ENDS, loads, tractions, senses, strict=True):
        forces.append(_load(f"{end}_load", values, pose, end, load, traction, sense))
        forces.append(Force(f"{end}_traction", pose.points[f"{end}_contact"], (traction, 0.0)))
    return forces


def axle_alone(
    values: VehicleNumbers,
    coordinates: np.ndarray,
    end: str,
    grade: float,
    load: float,
    traction: float,
    tensions: dict[str, float],
    *,
    sense: float = 1.0,
) -> list[Force]:
    """Forces on one axle assembly (housing and wheels) cut free; its drive couple lies lengthwise.

    Parameters
    ----------
    end : str
    load, traction : float
        Tyre forces of this axle, N.
    tensions : dict
        Axial force by 'lower_link' and 'upper_link', N, tension positive.
    sense : float
        Sense of rolling: 0 for wheels that stand.

    Returns
    -------
    list of Force
        In balance for a steady climb.
    """
    pose = solved_pose(values, coordinates)
    points = pose.points
    forces = [
        _weight("weight", points[f"{end}_centre"], values.axle(end).mass, values, grade),
        _load("load", values, pose, end, load, traction, sense),
        Force("traction", points[f"{end}_contact"], (traction, 0.0)),
    ]
    for link in LINKS:
        start, stop = points[f"{end}_{link}_axle"], points[f"{end}_{link}_chassis"]
        forces.append(Force(link, start, _toward(start, stop, tensions[link])))
    start, stop = points[f"{end}_shock_axle"], points[f"{end}_shock_chassis"]
    flat = hypot(stop[0] - start[0], stop[1] - start[1])
    length = hypot(flat, values.axle(end).shock_across)
    # The parts of both shocks' pushes across the vehicle are equal and opposite.
    push = shock_push(values, end, length) * flat / length
    forces.append(Force("shock", start, _toward(start, stop, -push)))
    return forces


def _weight(name: str, point: tuple[float, float], mass: float, values: VehicleNumbers, grade: float) -> Force:
    size = mass * values.gravity
    return Force(name, point, (-size * sin(grade), -size * cos(grade)))


def unbalance(forces: list[Force], about: tuple[float, float] = (0.0, 0.0)) -> tuple[float, float, float]:
    """Sum of forces (x, z; N) and of moments about a point (+y, N m): zero in a steady climb."""
    fx = sum(f.vector[0] for f in forces)
    fz = sum(f.vector[1] for f in forces)
    moment = sum((f.point[1] - about[1]) * f.vector[0] - (f.point[0] - about[0]) * f.vector[1] for f in forces)
    return fx, fz, moment
