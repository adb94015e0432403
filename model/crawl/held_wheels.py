"""The held-wheel bench as equations: level floor, rear wheels held, motor torque raised slowly.

::

                  -T  on the housing          T      motor torque at the wheels
        [ housing turns nose up ]             X      front traction (0 where the front is free)
          (O) held            (o) front       C      couple of the clamp on the rear wheels
        ---^------------------^------> x      N_f L = W b - T + X (ratio z_f - z_r)
      C, -X, N_r            X, N_f

The clamp holds the rear wheels against turning and rolling and carries no load. Sums over the whole vehicle
leave no horizontal force but X at the front and -X at the clamp. No wheel rolls, so that there is no rolling
resistance; X moves the front load ahead by its give, e = give X, so that z_f above is r = z_f + give N_f but for
the budget's own part -e N_f / L. Front wheels free to roll: X = 0. Geared to the same motor they take ``T_f = X r`` of it, ``T = T_r + ratio T_f``, and X is not a matter of statics: it
depends on play and grip. Three laws, one at a time: free (play not yet taken up), stuck, sliding at the grip.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from noseload.model.parameters import AT_REST, ENDS, POSITION

from .budget_parts import BENCH_PARTS
from .equilibrium import EQUATIONS, POSE_SIZE, UNKNOWNS, CreepEquilibrium, N
from .load_budget import centre_of_gravity

LAWS = ("free", "stuck", "sliding")
BUDGET_KEYS = tuple(part.key for part in BENCH_PARTS)
"""Parts of the front load on the bench; in this order they are told."""
FRONT_TRACTION = N
"""Index of the front traction among the unknowns."""
_AXLE = {"rear": 2, "front": 5}
_COUPLE = POSITION["held_couple"]


class HeldWheels:
    """Quasi-static vehicle on the bench; the parameter is the motor torque in units of weight times wheelbase.

    Parameters
    ----------
    creep : CreepEquilibrium
        With the solved free lengths of the standing vehicle.
    standing : ndarray, shape (13,)
        Its state: the front wheels' rolling is counted from there.
    law : str
        Of `LAWS`: how the front traction comes about.
    taken_up : float
        Slide of the front tread at which it is stuck, m.
    sense : float
        +1 where the sliding tread drives the vehicle forward, -1 backward.
    """

    names = (*UNKNOWNS, "front_traction")
    equation_names = (*EQUATIONS, "front wheels")

    def __init__(
        self,
        creep: CreepEquilibrium,
        standing: np.ndarray,
        *,
        law: str = "free",
        taken_up: float = 0.0,
        sense: float = 1.0,
    ) -> None:
        self.standing, self.law = np.asarray(standing, dtype=float)[:N], law
        self.taken_up, self.sense = taken_up, sense
        # Nothing pulls the whole vehicle: the creep traction stays zero, whichever axle it is put on.
        self.values = creep.values.with_values(AT_REST | {"rear_contact_give": 0.0, "geared": 0.0, "front_alone": 0.0})
        self.creep = CreepEquilibrium(self.values, creep.weight, creep.wheelbase).take_branch_of(creep)
        self.ratio = creep.values.spin_ratio
        self.torque_unit = creep.weight * creep.wheelbase
        self.scales = np.append(creep.scales, creep.weight)
        self.residual_scales = np.append(creep.residual_scales, creep.weight if law != "stuck" else creep.wheelbase)
        self.step_limits = np.append(creep.step_limits, np.inf)
        self._numbers = self.creep.parameters

    def with_law(self, law: Any, *, taken_up: float = 0.0, sense: float = 1.0) -> HeldWheels:
        """The same bench under another law of the front wheels."""
        again = HeldWheels(self.creep, self.standing, law=law, taken_up=taken_up, sense=sense)
        again.ratio = self.ratio
        return again

    def _at(self, parameter: float) -> tuple[float, ...]:
        couple = -float(parameter) * self.torque_unit
        return (*self._numbers[:_COUPLE], couple, *self._numbers[_COUPLE + 1 :])

    def evaluate(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Residual (14) and Jacobian (14, 15), the last column by the parameter."""
        residual, jacobian = np.empty(N + 1), np.zeros((N + 1, N + 2))
        inner, slopes = self.creep.evaluate(state[:N], 0.0, self._at(parameter))
        residual[:N], jacobian[:N, :N] = inner, slopes[:, :N]
        jacobian[5, N + 1] = -self.torque_unit
        if self.law != "free":
            self._add_traction(state, residual, jacobian)
        residual[N], jacobian[N, : N + 1] = self._front_law(state)
        return residual, jacobian

    def _add_traction(self, state: np.ndarray, residual: np.ndarray, jacobian: np.ndarray) -> None:
        """X on the front contact, -X at the rear wheel centre, and what X takes off the rear couple."""
        pull = state[FRONT_TRACTION]
        (rear, rear_slope), (front, front_slope) = (self._centre_height(state, end) for end in ENDS)
        residual[3] -= pull
        residual[6] += pull
        (own, by_height), rise = self._front_arm(front), front - state[6]
        arm = self.ratio * own + state[3] - rear
        residual[5] += pull * arm
        residual[8] -= pull * (own - rise)
        jacobian[3, FRONT_TRACTION] -= 1.0
        jacobian[6, FRONT_TRACTION] += 1.0
        jacobian[5, FRONT_TRACTION] += arm
        jacobian[8, FRONT_TRACTION] -= own - rise
        jacobian[5, 7] += pull * self.ratio * by_height * front_slope
        jacobian[5, 6] += pull * self.ratio * by_height
        jacobian[5, 4] -= pull * rear_slope
        jacobian[8, 6] -= pull * by_height
        jacobian[8, 7] -= pull * (by_height - 1.0) * front_slope

    def _front_arm(self, height: float) -> tuple[float, float]:
        """Arm of the front traction about its wheels' axis, m: the height, and what traction shifts the load; slope by the height."""
        axle = self.values.front
        stiffness = axle.contact_give * axle.tyre_stiffness
        return height + stiffness * (axle.tyre_radius - height), 1.0 - stiffness

    def _centre_height(self, state: np.ndarray, end: str) -> tuple[float, float]:
        """Height of a wheel centre, m, and its slope by the housing's angle (that by the height is 1)."""
        k = _AXLE[end]
        x, z = self.values.axle(end).wheel_centre_x, self.values.axle(end).wheel_centre_z
        sine, cosine = np.sin(state[k + 2]), np.cos(state[k + 2])
        return state[k + 1] - x * sine + z * cosine, -x * cosine - z * sine

    def centre_heights(self, state: np.ndarray) -> tuple:
        """Heights of both wheel centres (rear, front), m."""
        return tuple(float(self._centre_height(state, end)[0]) for end in ENDS)

    def _centre_x(self, state: np.ndarray, end: str) -> tuple[float, float]:
        k = _AXLE[end]
        x, z = self.values.axle(end).wheel_centre_x, self.values.axle(end).wheel_centre_z
        sine, cosine = np.sin(state[k + 2]), np.cos(state[k + 2])
        return state[k] + x * cosine + z * sine, -x * sine + z * cosine

    def _front_law(self, state: np.ndarray) -> tuple[float, np.ndarray]:
        """Equation of the front wheels and its slopes (14)."""
        slopes = np.zeros(N + 1)
        if self.law == "stuck":
            return self.slide(state) - self.taken_up, self._slide_slopes(state)
        slopes[FRONT_TRACTION] = 1.0
        if self.law == "free":
            return state[FRONT_TRACTION], slopes
        grip = self.sense * self.values.front.grip
        load, by_state = self._front_load(state)
        slopes[:N] = -grip * by_state
        return state[FRONT_TRACTION] - grip * load, slopes

    def _front_load(self, state: np.ndarray) -> tuple[float, np.ndarray]:
        height, slope = self._centre_height(state, "front")
        stiffness = self.values.front.tyre_stiffness
        by_state = np.zeros(N)
        by_state[6], by_state[7] = -stiffness, -stiffness * slope
        return stiffness * (self.values.front.tyre_radius - height), by_state

    def slide(self, state: np.ndarray) -> float:
        """How far the front treads, geared to the held rear wheels, have moved back along the floor, m.

        The housings' turns reach the front wheels through the gears; the rolling radius is that of standing.
        """
        turn = (state[7] - self.standing[7]) - self.ratio * (state[4] - self.standing[4])
        grown = self._wheelbase(state) - self._wheelbase(self.standing)
        return float(self._rolling_radius() * turn - grown)

    def _rolling_radius(self) -> float:
        return self._centre_height(self.standing, "front")[0]

    def _wheelbase(self, state: np.ndarray) -> float:
        return self._centre_x(state, "front")[0] - self._centre_x(state, "rear")[0]

    def _slide_slopes(self, state: np.ndarray) -> np.ndarray:
        slopes = np.zeros(N + 1)
        radius = self._rolling_radius()
        slopes[7] = radius - self._centre_x(state, "front")[1]
        slopes[4] = -radius * self.ratio + self._centre_x(state, "rear")[1]
        slopes[5], slopes[2] = -1.0, 1.0
        return slopes

    def slide_rate(self, state: np.ndarray, tangent: np.ndarray) -> float:
        """Slide per unit of arclength at a state along a scaled tangent, m."""
        return float(self._slide_slopes(state) @ (tangent[: N + 1] * self.scales))

    def grip_left(self, state: np.ndarray, sense: float) -> float:
        """Grip of the front tyres less what they carry, N, in one sense (+1 forward, -1 back)."""
        return float(self.values.front.grip * self._front_load(state)[0] - sense * state[FRONT_TRACTION])

    def outputs(self, state: np.ndarray, parameter: float) -> tuple[np.ndarray, np.ndarray]:
        """Loads, tractions of the creep law (zero) in N and shock lengths in m (6), and their Jacobian (6, 14)."""
        return self.creep.outputs(state[:N], 0.0, self._at(parameter))

    def accept(self, state: np.ndarray, parameter: float) -> str | None:
        """None, or why this pose is not the vehicle's."""
        return self.creep.accept(state[:N], 0.0)

    def clamp_couple(self, state: np.ndarray, parameter: float) -> float:
        """Couple of the clamp on the rear wheels, its horizontal force taken at the floor, N m (+y)."""
        rear, front = self.centre_heights(state)
        pull = float(state[FRONT_TRACTION])
        return -parameter * self.torque_unit + pull * (self.ratio * self._front_arm(front)[0] - rear)

    def front_couple(self, state: np.ndarray) -> float:
        """Moment of the front load about the point below its wheel centre, N m."""
        front = self.centre_heights(state)[1]
        return float(state[FRONT_TRACTION]) * (self._front_arm(front)[0] - front)


def bench_budget(
    bench: HeldWheels, state: np.ndarray, parameter: float, reference: tuple[float, float, float]
) -> dict[str, float]:
    """Parts of the front load on the bench: they add up to it.

    Parameters
    ----------
    bench : HeldWheels
    state : ndarray, shape (14,)
    parameter : float
        Motor torque in units of the bench.
    reference : tuple of float
        (distance, height, wheelbase) of the centre of gravity, standing, m.

    Returns
    -------
    dict of str to float
        Keys `BUDGET_KEYS`, N.
    """
    weight = bench.creep.weight
    distance, _, wheelbase = centre_of_gravity(bench.values, [0.0, *state[:POSE_SIZE]])
    standing = weight * reference[0] / reference[2]
    parts = (
        standing,
        -parameter * bench.torque_unit / wheelbase,
        weight * distance / wheelbase - standing,
        (bench.clamp_couple(state, parameter) + parameter * bench.torque_unit) / wheelbase,
        -bench.front_couple(state) / wheelbase,
    )
    return {key: float(part) for key, part in zip(BUDGET_KEYS, parts, strict=True)}
