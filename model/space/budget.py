"""Where the loads of single wheels come from: balances of moments, exact.

Twist of the front axle, ``(N_left - N_right) / 2``: roll moments on the axle assembly about its centre of gravity.
With y_left and y_right the contacts seen from there, their distance t and their middle m::

    N_left y_left + N_right y_right = t (N_left - N_right) / 2 + m (N_left + N_right)

and the sum of all other roll moments is its opposite. Front axle load: moments of the whole vehicle about the rear
contacts, as in the side view.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.crawl import budget_parts
from noseload.model.crawl.load_budget import budget_of_moments
from noseload.model.parameters import ENDS
from noseload.model.units import STANDARD_GRAVITY

from .equilibrium import arm, rotation_of, shock_ends
from .parameters import SIDES
from .rows import AXLE_POSES, AXLE_TENSIONS, SIDE

if TYPE_CHECKING:
    from noseload.model.space.equilibrium import SpaceEquilibrium


TWIST_PARTS = ("own_shaft", "shocks", "links", "side_forces", "contact_shift", "held")
"""Couple of the axle's own shaft; what the shocks pass on of the chassis' roll (the other shaft's couple with it);
links; side forces at their height; contacts that are not level with the middle (ahead of steered wheels too); torque held at the wheels."""
TWIST_KEYS = tuple(f"{part}_n" for part in TWIST_PARTS)


def axle_frame(state: np.ndarray, k: int) -> tuple[np.ndarray, np.ndarray]:
    """Place (3) and rotation (3, 3) of an axle."""
    x, y, z, heading, roll, pitch = (float(value) for value in state[AXLE_POSES[k]])
    return np.array([x, y, z]), rotation_of(("z", heading), ("x", roll), ("y", pitch))


def chassis_frame(state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Place (3) and rotation (3, 3) of the chassis."""
    return np.array([0.0, 0.0, float(state[0])]), rotation_of(("y", float(state[1])), ("x", float(state[2])))


def twist_budget(equilibrium: SpaceEquilibrium, state: np.ndarray, k: int = 1) -> dict[str, float]:
    """Half the left-right difference of an axle's loads taken apart; the parts add up to it.

    Parameters
    ----------
    equilibrium : SpaceEquilibrium
    state : ndarray, shape (26,)
        Solved.
    k : int
        0 rear, 1 front.

    Returns
    -------
    dict
        N by TWIST_KEYS.
    """
    values, seen = equilibrium.numbers.axles[k], equilibrium.seen(state, k)
    (origin, turn), (base, chassis) = axle_frame(state, k), chassis_frame(state)
    couple = values["shaft_share"] * seen["wheel_torque"] * chassis[0, 0]
    links = 0.0
    for i, tension in enumerate(state[AXLE_TENSIONS[k]].tolist()):
        start = base + chassis @ arm(values, f"rod_{i + 1}", "chassis")
        lever = turn @ arm(values, f"rod_{i + 1}", "axle")
        pull = -tension / values[f"rod_{i + 1}_length"] * (origin + lever - start)
        links += lever[1] * pull[2] - lever[2] * pull[1]
    shocks = 0.0
    for j, side in enumerate(SIDES):
        first, last = shock_ends(values, j)
        lever = turn @ last
        push = (origin + lever - base - chassis @ first) * seen[f"{side}_shock_push"] / seen[f"{side}_shock_length"]
        shocks += lever[1] * push[2] - lever[2] * push[1]
    use = equilibrium.arguments([float(v) for v in state], k)[3]
    heading = float(state[AXLE_POSES[k]][3])
    loads = [seen[f"{side}_load"] for side in SIDES]
    sideways = 0.0
    apart = seen["left_contact_y"] - seen["right_contact_y"]
    for load, side in zip(loads, SIDES, strict=True):
        aside = seen[f"{side}_traction"] * np.sin(heading) + load * use[1] * np.cos(heading)
        sideways -= aside * seen[f"{side}_contact_z"]
    # A load ahead of a steered wheel is beside it too.
    middle = -seen["contact_couple"] * turn[0, 1] + 0.5 * (seen["left_contact_y"] + seen["right_contact_y"]) * sum(
        loads
    )
    held = -equilibrium.held[k] * turn[0, 1]
    parts = (-couple, -shocks, -links, -sideways, -middle, -held)
    return {key: float(part / apart) for key, part in zip(TWIST_KEYS, parts, strict=True)}


def centre_in_space(equilibrium: SpaceEquilibrium, state: np.ndarray) -> tuple[float, ...]:
    """Centre of gravity and contacts of the whole vehicle.

    Returns
    -------
    distance, height, wheelbase : float
        From the rear contacts (their middle by load) forward, above the plane, between rear and front contacts, m.
    lifted : float
        Sum of traction times the height of what its wheel stands on, N m.
    ahead : float
        Moment of all loads about the lowest points of their wheels, across the vehicle, N m: rolling resistance, and what
        traction shifts.
    """
    mass = sum(equilibrium.numbers.masses)
    places = [chassis_frame(state)[0], *(axle_frame(state, k)[0] for k in range(len(ENDS)))]
    x, _, z = sum(m * place for m, place in zip(equilibrium.numbers.masses, places, strict=True)) / mass
    contacts, lifted, ahead = [], 0.0, 0.0
    for k in range(len(ENDS)):
        seen, origin = equilibrium.seen(state, k), places[1 + k]
        side_used, heading = float(state[SIDE[k]]), float(state[AXLE_POSES[k]][3])
        loads, pulls, along = (
            np.array([seen[f"{side}_{name}"] for side in SIDES]) for name in ("load", "traction", "contact_x")
        )
        along, total = origin[0] + along, loads.sum()
        contacts.append(float(loads @ along / total) if total > 0.0 else float(along.mean()))
        forward = pulls * np.cos(heading) - loads * side_used * np.sin(heading)
        lifted += float(forward @ np.array(equilibrium.blocks[2 * k : 2 * k + 2]))
        ahead += seen["contact_couple"] * float(axle_frame(state, k)[1][1, 1])
    return float(x) - contacts[0], float(z), contacts[1] - contacts[0], lifted, ahead


def front_load_budget(
    equilibrium: SpaceEquilibrium, state: np.ndarray, grade: float, standing: tuple[float, float, float]
) -> dict[str, float]:
    """Parts of the front axle load, N, by key of `noseload.model.crawl.budget_parts`, those of a steady crawl; they add up to it.

    Parameters
    ----------
    standing : triple of float
        (distance, height, wheelbase) of the solved standing pose, m: see `centre_in_space`.
    """
    pull = equilibrium.gravity(grade)[0]
    weight = sum(equilibrium.numbers.masses) * STANDARD_GRAVITY
    distance, height, length, lifted, ahead = centre_in_space(equilibrium, state)
    normal, along = -weight * pull[2], -weight * pull[0]
    of_weight = normal * distance - along * height + lifted
    moments = {"contact_offset_n": -ahead}
    parts = budget_of_moments(weight, standing, normal, along, length, of_weight, moments)
    return {key: parts[key] for key in budget_parts.steady_keys()}
