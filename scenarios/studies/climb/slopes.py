"""How creep answers to the numbers a vehicle is made of: exact derivatives, through the standing pose too.

Every number shapes creep twice: by itself, and by the free shock lengths that the standing pose sets.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import DRIVE, FREE_LENGTHS, N
from noseload.model.crawl.steady import SteadyMotion
from noseload.model.parameters import AT_REST, ENDS, POSITION, measured_shock_length
from noseload.model.sensitivity import creep_slopes, kernel_slopes, slope_of, steady_slopes
from noseload.model.variation import COMPLEX_STEP
from noseload.solvers.implicit import outcome_slopes, state_slopes

from .standing import base_chassis_pose, given_free_lengths

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle
    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.split import Divided


_ROLLING = [POSITION[name] for name in AT_REST]
"""Rows of what a vehicle at rest does not feel."""


@dataclass(frozen=True)
class StandingSlopes:
    """Derivatives of a standing pose by the variations of a varied vehicle.

    Attributes
    ----------
    parameters : ndarray, shape (P, count)
        Of all kernel parameters, solved free lengths included.
    states : ndarray, shape (13, count)
    free_lengths : tuple of ndarray, each of shape (count,)
        Value with its derivative as a complex step, as the varied vehicle holds its numbers.
    pose : ndarray, shape (2, count)
        Chassis z and theta, likewise complex.
    """

    parameters: np.ndarray
    states: np.ndarray
    free_lengths: tuple
    pose: np.ndarray


def standing_slopes(standing: Any, varied: Vehicle, count: int) -> StandingSlopes:
    """Differentiate a standing pose.

    Parameters
    ----------
    standing : Standing
        Of the vehicle at its nominal numbers.
    varied : Vehicle
        The same vehicle with complex variations (`noseload.model.sensitivity.vary_file` and others).
    count : int
        Number of variations.

    Returns
    -------
    StandingSlopes
    """
    base = None
    if varied.base is not None:
        base = standing_slopes(standing.base, varied.base, count)
    given = given_free_lengths(varied, None if base is None else base.free_lengths)
    slopes = kernel_slopes(varied, count)
    rolling = [slopes[place].copy() for place in _ROLLING]
    slopes[_ROLLING] = 0.0
    equilibrium, state = standing.resting, standing.state
    by_parameter, outputs_by_parameter = creep_slopes(equilibrium, state, 0.0)
    _, jacobian = equilibrium.evaluate(state, 0.0)
    _, outputs = equilibrium.outputs(state, 0.0)
    whole, right = np.zeros((N + 2, N + 2)), np.zeros((N + 2, count))
    whole[:N, :N], right[:N] = jacobian[:, :N], by_parameter @ slopes
    pose = None
    if base is not None and varied.ride_height == "reset":
        pose = base_chassis_pose(varied, base.pose)
    for k, end in enumerate(ENDS):
        whole[:N, N + k] = by_parameter[:, FREE_LENGTHS[k]]
        if pose is not None:
            whole[N + k, k], right[N + k] = 1.0, -slope_of(pose[k], count)
        elif given[k] is not None:
            whole[N + k, N + k], right[N + k] = 1.0, -slope_of(given[k], count)
        else:
            whole[N + k, :N] = outputs[4 + k, :N]
            right[N + k] = outputs_by_parameter[4 + k] @ slopes - slope_of(measured_shock_length(varied, end), count)
    moved = state_slopes(whole, right)
    slopes[_ROLLING] = rolling
    slopes[list(FREE_LENGTHS)] = moved[N:]
    step = 1j * COMPLEX_STEP
    free = tuple(length + step * row for length, row in zip(standing.free_lengths, moved[N:], strict=True))
    return StandingSlopes(slopes, moved[:N], free, state[:2, None] + step * moved[:2])


@dataclass(frozen=True)
class Outcomes:
    """Outcomes of creep, or their derivatives: shape (count,) each; None where there is no such number."""

    tip_over_grade_deg: object
    tip_over_downhill_grade_deg: object
    front_load_n: object
    nose_up_pitch_deg: object
    grip_needed: object


OUTCOMES = tuple(Outcomes.__dataclass_fields__)


class CreepSlopes:
    """Derivatives of the creep of one climb by kernel parameters; chain them with `StandingSlopes.parameters`.

    Parameters
    ----------
    climb : Climb
    grade_deg : float
        Grade of the load, the attitude and the grip.
    """

    def __init__(self, climb: Climb, grade_deg: float) -> None:
        self.climb = climb
        self.row: Any = climb.row(grade_deg)
        self.grade = np.radians(grade_deg)

    @cached_property
    def tips(self) -> dict[str, Any]:
        """The points of the path at which either axle unloads, by end; None where the path ends before."""
        return {end: self.climb.tip_point(end) for end in ("front", "rear")}

    def _bordered(self, end: str) -> tuple[np.ndarray, np.ndarray]:
        point = self.tips[end]
        jacobian, residual, (_, observed), outputs = _slopes_at(self.climb.equilibrium, point.state, point.parameter)
        k = ENDS.index(end)
        return np.vstack([jacobian, observed[k]]), np.vstack([residual, outputs[k]])

    def values(self, *, nose_down: bool = True) -> Outcomes:
        """The outcomes themselves; the path nose down need not be followed where its tip-over is not wanted."""
        points = self.tips if nose_down else {"front": self.climb.tip_point("front"), "rear": None}
        tips = {end: None if p is None else float(np.degrees(p.parameter)) for end, p in points.items()}
        row = self.row
        grip = None if self.climb.overdriven else row.grip_needed
        return Outcomes(tips["front"], tips["rear"], row.front_load_n, row.nose_up_pitch_deg, grip)

    def by_parameter(self) -> Outcomes:
        """Derivative of each outcome by every kernel parameter, shape (P,): one linear solve each."""
        tips = {end: None if point is None else self._tip_slopes(end) for end, point in self.tips.items()}
        if self.row.state is None:
            return Outcomes(tips["front"], tips["rear"], None, None, None)
        jacobian, residual, (observed, by_state), by_parameter = _slopes_at(
            self.climb.equilibrium, self.row.state, self.grade
        )
        square = jacobian[:, :N]
        load, pitch = _load_and_pitch(square, residual, by_state, by_parameter)
        grip = None if self.climb.overdriven else self._grip_slopes(square, residual, observed, by_state, by_parameter)
        return Outcomes(tips["front"], tips["rear"], load, pitch, grip)

    def _tip_slopes(self, end: str) -> np.ndarray:
        whole, by_parameter = self._bordered(end)
        grade = np.zeros(N + 1)
        grade[N] = np.degrees(1.0)
        return outcome_slopes(whole, by_parameter, grade)

    def _grip_slopes(
        self,
        square: np.ndarray,
        residual: np.ndarray,
        observed: np.ndarray,
        by_state: np.ndarray,
        by_parameter: np.ndarray,
    ) -> np.ndarray | None:
        """Of |F| / (load of the driven axles); F is the last unknown."""
        pull, values = self.row.state[N - 1], self.climb.standing.values
        driven = np.array([values.axle(end).driven for end in ENDS])
        held = driven @ observed[:2]
        if self.row.grip_needed is None:
            return None
        row = -abs(pull) / held**2 * (driven @ by_state[:2, :N])
        row[N - 1] += np.sign(pull) / held
        return outcome_slopes(square, residual, row, -abs(pull) / held**2 * (driven @ by_parameter[:2]))


def _slopes_at(equilibrium: Any, state: np.ndarray, grade: float) -> tuple:
    """Jacobian by unknowns and grade (13, 14), by parameters, and the same of the outputs."""
    if isinstance(equilibrium, SteadyMotion):
        residual, outputs = steady_slopes(equilibrium, state, grade)
        observed = equilibrium.creep.outputs(np.append(state[:DRIVE], 0.0), grade)
    else:
        residual, outputs = creep_slopes(equilibrium, state, grade)
        observed = equilibrium.outputs(state, grade)
    return equilibrium.evaluate(state, grade)[1], residual, observed, outputs


def _load_and_pitch(
    square: np.ndarray, residual: np.ndarray, by_state: np.ndarray, by_parameter: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    nose_up = np.zeros(N)
    nose_up[1] = -np.degrees(1.0)
    load = outcome_slopes(square, residual, by_state[1, :N], by_parameter[1])
    return load, outcome_slopes(square, residual, nose_up)


def divided_slopes(crawl: Divided, grade_deg: float) -> Outcomes:
    """Derivatives of load and attitude under one law of division by every kernel parameter, shape (P,); the others None."""
    if crawl.state is None:
        return Outcomes(None, None, None, None, None)
    jacobian, residual, (_, by_state), by_parameter = _slopes_at(
        crawl.equilibrium, crawl.state, float(np.radians(grade_deg))
    )
    load, pitch = _load_and_pitch(jacobian[:, :N], residual, by_state, by_parameter)
    return Outcomes(None, None, load, pitch, None)


def chained(slopes: Outcomes, parameters: np.ndarray) -> Outcomes:
    """Derivatives by the variations: each outcome's slopes by kernel parameters times (P, count)."""
    return Outcomes(
        *(None if s is None else _without_nan(s) @ parameters for s in (getattr(slopes, name) for name in OUTCOMES))
    )


def _without_nan(slopes: np.ndarray) -> np.ndarray:
    return np.where(np.isnan(slopes), 0.0, slopes)
