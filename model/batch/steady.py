"""Steady motion of many vehicles under the traction law: the starts of a batch of punches.

Unknowns are those of creep with the spin of the driven wheels in place of the total traction, or with the travel speed
where the wheels are held. See `noseload.model.crawl.steady`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.crawl.equilibrium import EQUATIONS, POSE_SIZE, UNKNOWNS, N
from noseload.model.crawl.rolling import free_spin, lever_of, slip_scale
from noseload.model.motion.rows import ALONG_SPEEDS, MOVING, SPIN_ROWS
from noseload.model.parameters import ENDS, POSITION

from .kernels import BatchKernel, kernel_rows, written_rows

if TYPE_CHECKING:
    from noseload.model.batch.equilibrium import BatchCreep


LARGEST_SATURATION = 0.999999
"""Share of the grip that a starting guess may use."""
SPIN_STEP = 1.0
"""Largest Newton step in spin, rad/s."""
TRAVEL_STEP = 0.1
"""Largest Newton step in travel speed, m/s."""
_ROWS = {"rear": 3, "front": 6}
"""Row of a wheel centre's z among the unknowns."""


class BatchSteady:
    """Equations of steady motion of many vehicles, each on its own grade (the parameter, rad).

    Parameters
    ----------
    creep : BatchCreep
    travel_speed, spin_speed : float or ndarray, shape (cases,)
        m/s along the slope and rad/s; the one that is unknown is not used.
    grip_factor : float or ndarray, shape (cases,)
    free_travel : bool
        The travel speed is unknown and the spin is given: wheels held by a brake.
    """

    equation_names = EQUATIONS

    def __init__(
        self,
        creep: BatchCreep,
        *,
        travel_speed: float | np.ndarray = 0.0,
        spin_speed: float | np.ndarray = 0.0,
        grip_factor: float | np.ndarray = 1.0,
        free_travel: bool = False,
    ) -> None:
        self.creep, self.free_travel = creep, free_travel
        cases = creep.vehicles.cases
        self.travel_speed, self.spin_speed, self.grip_factor = (
            np.broadcast_to(np.asarray(x, dtype=float), (cases,)) for x in (travel_speed, spin_speed, grip_factor)
        )
        self._kernel = BatchKernel("steady", cases)
        self._residual = BatchKernel("steady_residual", cases, scratch=self._kernel.scratch)
        self._rows = kernel_rows(creep.vehicles.parameters)
        self.residual_scales = creep.residual_scales
        self.step_limits = creep.step_limits.copy()
        self.step_limits[N - 1] = TRAVEL_STEP if free_travel else SPIN_STEP
        self.names = (*UNKNOWNS[:-1], "travel speed" if free_travel else "spin speed")
        self.pattern = _steady_pattern()[:, self._columns()]

    def _columns(self) -> list[int]:
        """Columns of the kernel's Jacobian (spin speed second to last, travel speed last) that are solved for."""
        return [*range(N - 1), N if self.free_travel else N - 1]

    def speeds(self, states: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Spin of the driven wheels (rad/s) and travel speed (m/s) of states, (cases,) each."""
        return (self.spin_speed, states[N - 1]) if self.free_travel else (states[N - 1], self.travel_speed)

    def evaluate(self, states: np.ndarray, parameters: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Residual (13, cases) and Jacobian (13, 14, cases); the last column is by the speed that is given."""
        with np.errstate(all="ignore"):
            flat = self._kernel(*self._arguments(states, parameters))
        jacobian = flat[N:].reshape(N, N + 1, -1)
        return flat[:N], jacobian[:, [*range(N - 1), N, N - 1]] if self.free_travel else jacobian

    def residual(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """Residual (13, cases) alone."""
        with np.errstate(all="ignore"):
            return self._residual(*self._arguments(states, parameters))

    def _arguments(self, states: np.ndarray, parameters: np.ndarray) -> tuple:
        """Arguments of the kernels."""
        return [*states[: N - 1], *self.speeds(states)], self.grip_factor, parameters, self._rows

    def accept(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """As creep: pose within bounds and on its branch."""
        return self.creep.accept(states, parameters)

    def take(self, cases: np.ndarray) -> BatchSteady:
        """Steady motion of some of the vehicles."""
        return BatchSteady(
            self.creep.take(cases),
            travel_speed=self.travel_speed[cases],
            spin_speed=self.spin_speed[cases],
            grip_factor=self.grip_factor[cases],
            free_travel=self.free_travel,
        )

    def guess(self, creep_states: np.ndarray, grades: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Start from creep: the slip that gives its traction at its loads, (13, cases), and the grip it needs as a share."""
        v, travel = self.creep.vehicles, np.zeros(1) if self.free_travel else self.travel_speed
        outputs, _ = self.creep.outputs(creep_states, grades)
        available = sum(
            v[f"{end}_driven"] * v[f"{end}_grip"] * self.grip_factor * outputs[k] for k, end in enumerate(ENDS)
        )
        needed = np.divide(creep_states[N - 1], available, out=np.full(available.shape, np.inf), where=available > 0.0)
        heights = self.wheel_heights(creep_states)
        rear = v["rear_driven"] != 0.0
        levers = [lever_of(v.axle(end), outputs[k], heights[k]) for k, end in enumerate(ENDS)]
        arm = np.where(rear, levers[0], levers[1])
        scales = [slip_scale(v.axle(end), outputs[k], travel) for k, end in enumerate(ENDS)]
        bounded = np.clip(needed, -LARGEST_SATURATION, LARGEST_SATURATION)
        slip = np.arctanh(bounded) * np.where(rear, *scales)
        last = self.spin_speed * arm - slip if self.free_travel else (travel + slip) / arm
        return np.concatenate([creep_states[: N - 1], [last]]), needed

    def wheel_heights(self, states: np.ndarray) -> list[np.ndarray]:
        """Heights of the wheel centres above the slope, m, rear and front."""
        v = self.creep.vehicles
        return [
            states[row]
            - v[f"{end}_wheel_centre_x"] * np.sin(states[row + 1])
            + v[f"{end}_wheel_centre_z"] * np.cos(states[row + 1])
            for end, row in _ROWS.items()
        ]

    def motion_states(self, states: np.ndarray) -> np.ndarray:
        """States of `noseload.model.batch.motion` (20, cases); the chassis centre of gravity starts at x = 0."""
        v, heights = self.creep.vehicles, self.wheel_heights(states)
        whole = np.zeros((MOVING, states.shape[1]))
        whole[1 : 1 + POSE_SIZE] = states[:POSE_SIZE]
        spin, travel = self.speeds(states)
        whole[ALONG_SPEEDS] = travel
        loads = self.creep.outputs(
            np.concatenate([states[: N - 1], np.zeros((1, states.shape[1]))]), np.zeros(states.shape[1])
        )[0]
        for k, (end, ratio) in enumerate((("rear", 1.0), ("front", v["spin_ratio"]))):
            driven = v[f"{end}_driven"] != 0.0
            free = free_spin(v.axle(end), loads[k], heights[k], travel, self.grip_factor)[0]
            whole[SPIN_ROWS.start + k] = np.where(driven, ratio * spin, free)
        return whole

    def torque(self, states: np.ndarray, tractions: np.ndarray, couples: np.ndarray) -> np.ndarray:
        """Torque (cases,) at the motor's spin that keeps states steady under their tractions (N) and couples of loads (N m)."""
        v, heights = self.creep.vehicles, self.wheel_heights(states)
        rear, front = (t * z + c for t, z, c in zip(tractions, heights, couples, strict=True))
        geared = v["geared"] != 0.0
        return np.where(geared, rear + v["spin_ratio"] * front, v["rear_motor"] * rear + v["front_motor"] * front)

    def throttle(self, states: np.ndarray, tractions: np.ndarray, couples: np.ndarray) -> np.ndarray:
        """Throttle (cases,) that holds steady states; arguments as `torque`."""
        v = self.creep.vehicles
        return self.torque(states, tractions, couples) / v["stall_torque"] + self.speeds(states)[0] / v["no_load_speed"]


def _steady_pattern() -> np.ndarray:
    """Where the Jacobian (13, 14) can be other than zero."""
    ones = [np.full(1, 0.3 + 0.01 * k) for k in range(200)]
    written = written_rows("steady", (ones[: N + 1], ones[0], ones[0], ones[: len(POSITION)]))
    return written[N:].reshape(N, N + 1)
