"""Dry friction as a set: every attitude that shocks and splines can hold, told for two ways to stand.

Within its limit friction takes any value, so a grade has not one equilibrium but a set. Its ends lie at corners, where
every rubbing place is at its limit; told twice: setups driven up the same way share their corner, setups that stand
as they happen to have each its own.
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import AXLE_POSES
from noseload.model.crawl.geometry import wheel_heights
from noseload.model.crawl.rolling import wheel_moment
from noseload.model.neglected.shafts import shaft_of, sliding_share
from noseload.model.parameters import ENDS, axle_of, side_view, true_length_of, wheel_height
from noseload.model.uncertainty import limits_of
from noseload.studies.climb.creep import Climb

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


SPLINES = (0.022, 0.013, 0.038)
"""mu_s / r_s of greased splines in 1/mm and its range: friction 0.08 to 0.15 at a radius of 4 to 6 mm (memory, no source)."""
SHARES = np.array(list(product((-1.0, -0.5, 0.0, 0.5, 1.0), repeat=2)))
"""Friction of rear and front axle as shares of what they can hold, shape (25, 2): the four corners are where loads and
tip-over end; what two setups in one state differ by may be largest between them."""


def shock_friction(vehicle: Vehicle, end: str) -> Any:
    """Dry friction of both shocks of an axle, N: given, or what holds half of the gap of ride heights."""
    shock = axle_of(vehicle, end).shock
    if shock.friction is not None:
        return shock.friction
    half = 0.5e-3 * limits_of(vehicle)[f"{end}_ride_height_gap_mm"]
    return shock.spring_rate * abs(motion_ratio_of(vehicle, end)) * half


def motion_ratio_of(vehicle: Vehicle, end: str) -> float | np.ndarray:
    """How much shorter a shock gets for a body that sinks by one over its axle, as its links guide it.

    The wheel centre goes up by one, forward by v and turns by w (nose down): no link changes its length,
    ``d . (v + w r_z, 1 - w r_x) = 0`` for both, r from the wheel centre to the axle end.
    """
    axle = axle_of(vehicle, end)
    centre = (0.0 if end == "rear" else vehicle.wheelbase, wheel_height(axle))
    rows = []
    for link in (axle.lower_link, axle.upper_link):
        (x0, z0), (x1, z1) = side_view(link.chassis_end), side_view(link.axle_end)
        dx, dz = x1 - x0, z1 - z0
        rows.append((dx, dx * (z1 - centre[1]) - dz * (x1 - centre[0]), -dz))
    (a, b, p), (c, d, q) = rows
    along, turn = (p * d - b * q) / (a * d - b * c), (a * q - p * c) / (a * d - b * c)
    (x0, z0), (x1, z1) = side_view(axle.shock.chassis_end), side_view(axle.shock.axle_end)
    moved = (along + turn * (z1 - centre[1]), 1.0 - turn * (x1 - centre[0]))
    return -((x1 - x0) * moved[0] + (z1 - z0) * moved[1]) / true_length_of(axle.shock)


def shaft_friction(vehicle: Vehicle, end: str) -> float:
    """mu_s / r_s of an axle's shaft, 1/m; 0 without a shaft along the vehicle."""
    given = axle_of(vehicle, end).shaft_friction
    if shaft_of(vehicle, end).ratio is None:
        return 0.0
    return 1e3 * SPLINES[0] if given is None else given


def spline_levers(climb: Climb, grade_deg: float) -> tuple[float, float]:
    """What friction over radius of each shaft's splines is worth as a force of the shock in a crawl, rear and front, N m.

    Zero without a shaft along the vehicle, and without a crawl at that grade.
    """
    row, values, levers = climb.row(grade_deg), climb.standing.values, [0.0, 0.0]
    if row.state is None or row.front_load_n is None:
        return 0.0, 0.0
    heights = wheel_heights(values, row.state[AXLE_POSES])
    for k, end in enumerate(ENDS):
        shaft = shaft_of(climb.vehicle, end)
        if shaft.ratio is not None:
            load, traction = getattr(row, f"{end}_load_n"), getattr(row, f"{end}_traction_n")
            torque = wheel_moment(values.axle(end), load, traction, heights[k])
            levers[k] = float(torque / shaft.ratio * sliding_share(values.by_name(), shaft, end, row.state))
    return levers[0], levers[1]
