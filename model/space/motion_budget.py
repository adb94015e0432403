"""Where the loads of single wheels come from in motion: balances of moments over time, exact, airborne included.

Directions: f along the chassis' heading, l to its left, n across the plane. Front axle load, about the rear contacts
(their middle by load), with L to those of the front::

    N_front L = sum m (z g_f - (x - x_r) g_n) + lifted - sum e N a . l - sum m (z a_f - (x - x_r) a_n) - sum dH/dt . l

`lifted` is the traction on blocks, e how far ahead of its wheel (axis a) a load acts. Twist of the front axle, ``(N_left - N_right) / 2``: roll moments on its assembly
about its centre of gravity as in `noseload.model.space.budget`, and what turns it, ``dH/dt . f``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.load_budget import budget_of_moments
from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import ENDS

from .budget import TWIST_PARTS
from .equilibrium import arm, shock_ends
from .frames import axle_axes, axle_rotation, chassis_axes, chassis_rotation, cross, turning_rate
from .parameters import SIDES
from .rows import BODY_ANGLE_RATES, BODY_ANGLES, BODY_PLACES, HEADING, SPEED_SPINS, SPINS

if TYPE_CHECKING:
    from noseload.model.space.vehicle_motion import SpaceMotion


MOTION_TWIST_PARTS = (*TWIST_PARTS, "axle_rotation", "wheel_rotation")
"""Those of a crawl, what turns the axle assembly, and what turns the axis of its spinning wheels."""
MOTION_TWIST_KEYS = tuple(f"{part}_n" for part in MOTION_TWIST_PARTS)


class Moments:
    """Places, accelerations and rates of angular momentum of the three bodies over states.

    Parameters
    ----------
    motion : SpaceMotion
    states : ndarray, shape (47, n)
    seen : dict
        `motion.observe` of them.
    """

    def __init__(self, motion: SpaceMotion, states: np.ndarray, seen: dict[str, np.ndarray]) -> None:
        self.motion, self.numbers, self.seen = motion, motion.numbers, seen
        y, acceleration = states.T, seen["accelerations"].T
        heading = y[:, HEADING]
        zero = np.zeros_like(heading)
        self.forward = np.stack([np.cos(heading), np.sin(heading), zero], axis=1)
        self.left = np.stack([-np.sin(heading), np.cos(heading), zero], axis=1)
        self.places = [y[:, rows] for rows in BODY_PLACES]
        self.accelerations = [acceleration[:, rows] for rows in BODY_PLACES]
        angles = [y[:, rows] for rows in BODY_ANGLES]
        self.turns = [chassis_rotation(angles[0]), *map(axle_rotation, angles[1:])]
        self.momentum = []
        for k, rows in enumerate(BODY_ANGLES):
            axes = (chassis_axes if k == 0 else axle_axes)(angles[k])
            turning, turned = turning_rate(axes, y[:, BODY_ANGLE_RATES[k]], acceleration[:, rows])
            self.momentum.append(self._momentum_rate(k, turning, turned))
            if k:
                axis, values = axes[:, :, 2], self.numbers.axles[k - 1]
                spin, faster = y[:, SPINS[k - 1], None], acceleration[:, SPEED_SPINS[k - 1], None]
                grows = values["wheels_inertia"] * (faster * axis + spin * cross(turning, axis))
                self.momentum.append(grows)
        # Chassis, rear axle, rear wheels, front axle, front wheels.
        self.momentum_names = ("chassis", "rear", "rear_wheels", "front", "front_wheels")

    def _momentum_rate(self, k: int, turning: np.ndarray, turned: np.ndarray) -> np.ndarray:
        """Rate of the angular momentum of a body without the spin of its wheels."""
        if k == 0:
            inertias = [self.numbers.chassis[f"{name}_inertia"] for name in ("roll", "pitch", "yaw")]
        else:
            values = self.numbers.axles[k - 1]
            inertias = [values["roll_inertia"], values["pitch_inertia"], values["roll_inertia"]]
        inertia = (self.turns[k] * np.array(inertias)) @ self.turns[k].transpose(0, 2, 1)
        momentum = np.einsum("nij,nj->ni", inertia, turning)
        return np.einsum("nij,nj->ni", inertia, turned) + cross(turning, momentum)

    def momentum_of(self, name: str) -> np.ndarray:
        """Rate of an angular momentum by its name, (n, 3), N m."""
        return self.momentum[self.momentum_names.index(name)]


def _along(vectors: np.ndarray, direction: np.ndarray) -> np.ndarray:
    return (vectors * direction).sum(axis=1)


def _contacts(moments: Moments, k: int) -> tuple[np.ndarray, np.ndarray, float]:
    """Loads (2, n), contacts forward along the chassis (2, n), and traction times block height."""
    seen, blocks = moments.seen, moments.motion.blocks
    wheels, loads = slice(2 * k, 2 * k + 2), seen["load"][2 * k : 2 * k + 2]
    place = moments.places[1 + k]
    along = []
    lifted: Any = 0.0
    for wheel in range(wheels.start, wheels.stop):
        arms = np.stack([seen[f"contact_{axis}"][wheel] for axis in "xyz"], axis=1)
        along.append(_along(place + arms, moments.forward))
        if blocks[wheel]:
            # Traction and side force lie along the axle's own heading.
            axle = moments.turns[1 + k][:, :, 1]
            level = np.stack([axle[:, 1], -axle[:, 0], np.zeros(len(axle))], axis=1)
            level /= np.linalg.norm(level, axis=1, keepdims=True)
            aside = np.stack([-level[:, 1], level[:, 0], level[:, 2]], axis=1)
            force = seen["traction"][wheel][:, None] * level + seen["side_force"][wheel][:, None] * aside
            lifted = lifted + blocks[wheel] * _along(force, moments.forward)
    return loads, np.array(along), lifted


def _middle(loads: np.ndarray, along: np.ndarray) -> np.ndarray:
    """Middle of the contacts by load; where nothing carries, the plain one."""
    total = loads.sum(axis=0)
    mean = along.mean(axis=0)
    return np.where(total > 0.0, (loads * along).sum(axis=0) / np.where(total > 0.0, total, 1.0), mean)


def _couple(moments: Moments, k: int, direction: np.ndarray) -> np.ndarray:
    """Couples of an axle's loads that act ahead of their wheels, about a direction, N m."""
    couple = moments.seen["contact_couple"][2 * k : 2 * k + 2].sum(axis=0)
    return couple * _along(moments.turns[1 + k][:, :, 1], direction)


def motion_load_budget(moments: Moments, standing: tuple[float, float, float]) -> dict[str, np.ndarray]:
    """Parts of the front axle load over time, N; they add up to it.

    Parameters
    ----------
    moments : Moments
    standing : triple of float
        (distance, height, wheelbase) of the solved standing pose, m.

    Returns
    -------
    dict of str to ndarray
        Keys of `noseload.model.crawl.budget_parts`.
    """
    motion = moments.motion
    (rear_load, rear, low), (front_load, front, high) = (_contacts(moments, k) for k in (0, 1))
    origin = _middle(rear_load, rear)
    length = _middle(front_load, front) - origin
    masses, gravity = motion.numbers.masses, np.array(motion.gravity)
    ahead = [_along(place, moments.forward) - origin for place in moments.places]
    height = [place[:, 2] for place in moments.places]
    down = moments.forward @ gravity
    whole = lengthwise = normal = 0.0
    for mass, x, z, acceleration in zip(masses, ahead, height, moments.accelerations, strict=True):
        whole = whole + mass * (z * down - x * gravity[2])
        lengthwise = lengthwise - mass * z * _along(acceleration, moments.forward)
        normal = normal + mass * x * acceleration[:, 2]
    turned = {name: -_along(moments.momentum_of(name), moments.left) for name in moments.momentum_names}
    by_part = {
        "contact_offset_n": -sum(_couple(moments, k, moments.left) for k in (0, 1)),
        "lengthwise_acceleration_n": lengthwise,
        "normal_acceleration_n": normal,
        "rotation_chassis_n": turned["chassis"],
        "rotation_housings_n": turned["rear"] + turned["front"],
        "rotation_wheels_n": turned["rear_wheels"] + turned["front_wheels"],
    }
    mass = sum(masses)
    across, along = -mass * gravity[2], -mass * gravity[0]
    return budget_of_moments(mass * STANDARD_GRAVITY, standing, across, along, length, whole + low + high, by_part)


def motion_twist_budget(moments: Moments, k: int = 1) -> dict[str, np.ndarray]:
    """Half the left-right difference of an axle's loads over time taken apart, N by MOTION_TWIST_KEYS.

    Parameters
    ----------
    moments : Moments
    k : int
        0 rear, 1 front.
    """
    values, seen, forward, left = moments.numbers.axles[k], moments.seen, moments.forward, moments.left
    place, turn = moments.places[1 + k], moments.turns[1 + k]
    base, chassis = moments.places[0], moments.turns[0]
    couple = values["shaft_share"] * seen["wheel_torque"][k] * _along(chassis[:, :, 0], forward)
    links: Any = 0.0
    shocks: Any = 0.0
    sideways: Any = 0.0
    for i in range(4):
        start = base + chassis @ arm(values, f"rod_{i + 1}", "chassis")
        lever = turn @ arm(values, f"rod_{i + 1}", "axle")
        pull = -(seen["tensions"][4 * k + i] / values[f"rod_{i + 1}_length"])[:, None] * (place + lever - start)
        links = links + _along(cross(lever, pull), forward)
    across = []
    level = np.stack([turn[:, 1, 1], -turn[:, 0, 1], np.zeros(len(turn))], axis=1)
    level /= np.linalg.norm(level, axis=1, keepdims=True)
    aside = np.stack([-level[:, 1], level[:, 0], level[:, 2]], axis=1)
    for side in range(len(SIDES)):
        wheel = 2 * k + side
        first, last = shock_ends(values, side)
        lever = turn @ last
        push = (seen["shock_push"][wheel] / seen["shock_length"][wheel])[:, None]
        shocks = shocks + _along(cross(lever, (place + lever - base - chassis @ first) * push), forward)
        force = seen["traction"][wheel][:, None] * level + seen["side_force"][wheel][:, None] * aside
        arms = np.stack([seen[f"contact_{axis}"][wheel] for axis in "xyz"], axis=1)
        sideways = sideways + _along(cross(arms, force), forward)
        across.append(_along(arms, left))
    apart, middle = across[0] - across[1], 0.5 * (across[0] + across[1])
    total = seen["load"][2 * k : 2 * k + 2].sum(axis=0)
    end = ENDS[k]
    parts = (
        -couple,
        -shocks,
        -links,
        -sideways,
        -middle * total + _couple(moments, k, forward),
        np.zeros_like(total),
        _along(moments.momentum_of(end), forward),
        _along(moments.momentum_of(f"{end}_wheels"), forward),
    )
    return {key: part / apart for key, part in zip(MOTION_TWIST_KEYS, parts, strict=True)}
