"""Small free motions about a steady state: frequencies, damping and shapes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import exp, log, pi, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import DRIVE, POSE_SIZE
from noseload.model.motion.linear import linearise
from noseload.model.motion.mobility import add_inertia
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import COORDINATE_ROWS, SPEED_ROWS, TURNS
from noseload.model.motion.vehicle_motion import VehicleMotion
from noseload.model.vehicle import Vehicle
from noseload.studies.result import Result

from .standing import Standing, coordinates_of, stand
from .steady_start import steady_start

if TYPE_CHECKING:
    from noseload.model.motion.linear import Linear


SMALL = 1e-3
"""Rates below this (1/s) belong to rolling along the slope, which nothing restores."""


@dataclass(frozen=True)
class Mode:
    """One free motion.

    Attributes
    ----------
    name : str
        'bounce', 'pitch', or 'other' where the axles or wheels move most.
    frequency_hz : float
        Damped frequency; 0 for a motion that does not swing.
    damping_ratio : float
        1 for a motion that does not swing.
    rate_per_s : float
        Real part of the eigenvalue; positive grows.
    shape : ndarray of complex, shape (9,)
        Coordinates (x, z in m, theta in rad), largest chassis movement 1.
    """

    name: str
    frequency_hz: float
    damping_ratio: float
    rate_per_s: float
    shape: np.ndarray

    @property
    def swings_back(self) -> float:
        """How far it swings to the other side after a push, as a share of the push: ``exp(-pi d / sqrt(1 - d^2))``; 0 where it does not."""
        left = 1.0 - self.damping_ratio**2
        return 0.0 if left <= 0.0 or self.frequency_hz <= 0.0 else exp(-pi * self.damping_ratio / left**0.5)

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers; the shape as parts of the chassis and wheel movement."""
        names = [f"{body}_{axis}" for body in ("chassis", "rear", "front") for axis in ("x", "z", "theta")]
        return {
            "name": self.name,
            "frequency_hz": self.frequency_hz,
            "damping_ratio": self.damping_ratio,
            "rate_per_s": self.rate_per_s,
            "shape_real": dict(zip(names, self.shape.real.tolist(), strict=True)),
            "shape_imaginary": dict(zip(names, self.shape.imag.tolist(), strict=True)),
        }


@dataclass(frozen=True)
class Modes(Result):
    """All modes about one steady state, slowest first.

    Attributes
    ----------
    setup, state : str
        'standing' or 'creep'.
    grade_deg : float
    modes : tuple of Mode
    stable : bool
        No motion grows.
    coordinates : ndarray, shape (9,)
        Of the steady state (x, z in m, theta in rad), which the shapes are about.
    values : Mapping
        Kernel parameters, for drawing the vehicle there.
    """

    picture = "climb.summary.plot_frequencies"
    setup: str
    state: str
    grade_deg: float
    modes: tuple
    stable: bool
    coordinates: np.ndarray = field(repr=False)
    values: Mapping = field(repr=False)

    def named(self, name: str) -> Mode | None:
        """The mode of that name, or None."""
        return next((m for m in self.modes if m.name == name), None)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return {
            "setup": self.setup,
            "state": self.state,
            "grade_deg": self.grade_deg,
            "modes": [m.to_dict() for m in self.modes],
            "stable": self.stable,
            "status": "ok",
        }

    def __repr__(self) -> str:
        parts = [
            f"{m.name} {m.frequency_hz:.2f} Hz (damping {m.damping_ratio:.2f})" for m in self.modes if m.name != "other"
        ]
        return f"Modes({self.setup}, {self.state} at {self.grade_deg:g} deg: {', '.join(parts)}, stable={self.stable})"


def standing_modes(vehicle: Vehicle, *, standing: Standing | None = None) -> Modes:
    """Modes about standing on level ground, motor connected, throttle closed.

    Parameters
    ----------
    vehicle : Vehicle
    standing : Standing, optional
        Already solved.

    Returns
    -------
    Modes
    """
    standing = standing or stand(vehicle)
    values = add_inertia(standing.values, vehicle)
    linear = linearise(
        values, coordinates_of(standing.state), [0.0] * TURNS, standing.state[POSE_SIZE:DRIVE], grade=0.0
    )
    modes, stable = find_modes(linear, vehicle.wheelbase)
    return Modes(vehicle.setup, "standing", 0.0, modes, stable, coordinates_of(standing.state), values)


def creep_modes(
    vehicle: Vehicle, *, grade_deg: float, creep_speed_mm_per_s: float = 100.0, standing: Any = None
) -> tuple:
    """Modes about a steady crawl, its throttle held.

    Parameters
    ----------
    vehicle : Vehicle
    grade_deg, creep_speed_mm_per_s : float
    standing : Standing, optional
        Already solved.

    Returns
    -------
    modes : Modes or None
        None where the crawl cannot be held.
    message : str
        Why not; empty otherwise.
    """
    standing = standing or stand(vehicle)
    grade = radians(grade_deg)
    start = steady_start(standing, grade=grade, creep_speed=1e-3 * creep_speed_mm_per_s)
    if not start.success:
        return None, start.message
    state = start.state
    controls = np.array([[start.throttle], [1.0], [0.0]])
    motion = VehicleMotion(
        start.values, standing.weight, vehicle.wheelbase, grade, throttle=Program.constant(start.throttle)
    )
    tensions = motion.observe(state[:, None], controls)["tensions"][:, 0]
    linear = linearise(
        start.values, state[COORDINATE_ROWS], state[SPEED_ROWS], tensions, grade=grade, throttle=start.throttle
    )
    modes, stable = find_modes(linear, vehicle.wheelbase)
    return Modes(vehicle.setup, "creep", float(grade_deg), modes, stable, state[COORDINATE_ROWS], start.values), ""


def find_modes(linear: Linear, wheelbase: float) -> tuple:
    """Modes of a linearised vehicle, slowest first; and whether none grows."""
    rates, vectors = np.linalg.eig(linear.matrix)
    chosen = [k for k, rate in enumerate(rates) if rate.imag >= 0.0 and abs(rate) > SMALL]
    chosen.sort(key=lambda k: abs(rates[k]))
    found = [(rates[k], _shape(linear.shapes @ vectors[:5, k], wheelbase)) for k in chosen]
    names = _names(found, wheelbase)
    modes = tuple(
        Mode(name, abs(rate.imag) / (2 * pi), min(1.0, float(-rate.real / abs(rate))), float(rate.real), shape)
        for name, (rate, shape) in zip(names, found, strict=True)
    )
    return modes, bool(max(rate.real for rate in rates) < SMALL)


def _shape(moved: np.ndarray, wheelbase: float) -> np.ndarray:
    """Scale so that the chassis moves by 1 at most (heave, or pitch times half the wheelbase)."""
    size = max(abs(moved[1]), abs(moved[2]) * wheelbase / 2, 1e-9 * np.max(np.abs(moved)))
    lead = moved[1] if abs(moved[1]) >= abs(moved[2]) * wheelbase / 2 else moved[2]
    return moved / size * (abs(lead) / lead if lead else 1.0)


def _names(found: list, wheelbase: float) -> list[str]:
    """Bounce and pitch are the two slowest swinging motions of the chassis on its springs."""
    names = ["other"] * len(found)
    chassis = [
        k
        for k, (_, s) in enumerate(found)
        if max(abs(s[1]), abs(s[2]) * wheelbase / 2) > 0.7 * max(abs(s[4]), abs(s[7]))
    ]
    swinging = [k for k in chassis if found[k][0].imag > 0.0] or chassis
    pair = swinging[:2]
    if pair:
        heave = [abs(found[k][1][1]) / (abs(found[k][1][2]) * wheelbase / 2 + 1e-12) for k in pair]
        bounce = int(np.argmax(heave))
        names[pair[bounce]] = "bounce"
        if len(pair) > 1:
            names[pair[1 - bounce]] = "pitch"
    return names


def mode_ranges(found: Modes, others: Sequence[Modes]) -> dict[str, dict[str, list[float]]]:
    """Least and largest frequency and damping ratio of bounce and pitch over several states; empty where there is but one.

    Of each other state the swing of the nearest frequency is taken: names go by shape, which the slip of other tyres may take over.

    Parameters
    ----------
    found : Modes
    others : sequence of Modes
        Of the same vehicle under other laws of division.
    """
    ranges: dict[str, dict[str, list[float]]] = {}
    for name in ("bounce", "pitch"):
        own = found.named(name)
        if own is None or own.frequency_hz <= 0.0 or not others:
            continue
        swings = [[mode for mode in each.modes if mode.frequency_hz > 0.0] for each in others]
        same = [
            own,
            *(min(each, key=lambda mode: abs(log(mode.frequency_hz / own.frequency_hz))) for each in swings if each),
        ]
        ranges[name] = {
            key: [min(getattr(m, key) for m in same), max(getattr(m, key) for m in same)]
            for key in ("frequency_hz", "damping_ratio")
        }
    return ranges
