"""The moving vehicle on a slope: rates, stiff slip terms, exact Jacobian, switches, energies.

State y (28): coordinates (9), speeds (11), running integrals of power (8), J. The object satisfies
the `Motion` protocol of the transient solvers by its shape.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import radians
from typing import TYPE_CHECKING

import numpy as np

from noseload.model.batch.kernels import evaluated_once
from noseload.model.generated import array_motion
from noseload.model.generated.parameter_order import COORDINATES, POWERS, ROWS, SPEEDS
from noseload.model.generated.scalar_motion import closure, observe, project, rates, stiff_rates, switches
from noseload.model.generated.scalar_tangent import tangent
from noseload.model.parameters import BRAKE_SPEED, ENDS

from .mobility import SPEEDS as MOBILE
from .mobility import kinetic_energy, mobility, potential_energy
from .programs import Program, UnderInputs
from .rows import COORDINATE_ROWS, ENERGIES, ENERGY_ROWS, MOVING, PLACES, RATE_ROWS, SIZE, SPEED_ROWS, SPIN_ROWS, TURNS

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


BODIES = ("chassis", *ENDS)
_RATES, _STIFF, _SEEN, _PROJECT = (ROWS[name] for name in ("rates", "stiff_rates", "observe", "project"))
_MOTOR_POWER = _RATES["powers"].start + POWERS.index("motor")
TOUCH_DEPTH = 1e-3
"""Depth over which the damping of a touch sets in, m (see `noseload.model.symbols.assembly`)."""
FLIP_PITCH = radians(80.0)
"""Pitch relative to the slope beyond which the vehicle has flipped, rad."""
SINK_SCALE, TURN_SCALE = 4.0, 4.0
"""Scale of an axle's height in sinkings of its tyres under the weight, and of what spins in turns of the chassis."""
BRAKE_STRIDE = 0.5 * BRAKE_SPEED
"""Largest change of speed of braked wheels within a step near standstill, rad/s: the brake's torque turns over there, which
estimates of a step's error do not see."""
ENERGY_FLOOR = 1e-3
"""Smallest energy scale as a share of weight times wheelbase."""

_CONTACTS = tuple((f"{end}_touchdown", f"{end}_lift_off") for end in ENDS)
_STOPS = tuple((f"{end}_{stop}_stop_reached", f"{end}_{stop}_stop_left") for stop in ("droop", "bump") for end in ENDS)
_COILS = tuple((f"{end}_coil_loose", f"{end}_coil_taut") for end in ENDS)
_FLIPS = (("flips_back", None), ("flips_forward", None))
_KINKS = ((None, None),) * 4


def brake_stride(before: float, after: float) -> float:
    """Change of a braked motor's speed at the wheels (rad/s) within a step over `BRAKE_STRIDE`; 0 away from standstill."""
    near = before * after < 0.0 or min(abs(before), abs(after)) < 3.0 * BRAKE_SPEED
    return abs(after - before) / BRAKE_STRIDE if near else 0.0


class VehicleMotion(UnderInputs):
    """One vehicle moving on one slope under given inputs.

    Parameters
    ----------
    values : dict
        `noseload.model.motion.mobility.motion_parameters` of the vehicle, with solved free lengths.
    weight, wheelbase : float
        N and m; they scale the state.
    grade : float
        rad.
    throttle, grip_factor, brake_torque : Program
        Throttle -1..1, factor on every grip coefficient, drag brake at the wheels (N m).
    """

    size = SIZE
    coordinate_count = PLACES
    state_names = (*COORDINATES, *SPEEDS, *(f"{name}_energy" for name in ENERGIES))
    error_count = MOVING
    telling_slopes: tuple[tuple[int, ...], ...] = ((0, 1), (2,))
    """Slips of the axles, then the drag brake."""
    switch_names = _CONTACTS + _STOPS + _FLIPS + _KINKS + _COILS
    """(name where it rises through zero, name where it falls); None is not reported."""
    terminal = (False,) * 6 + (True, True) + (False,) * 6
    contacts: tuple[str, ...] = ENDS
    """What touches the ground: the first switches."""
    quiet_rows = (2,)
    """Rows of the state that stand still in a settled motion."""

    def __init__(
        self,
        values: VehicleNumbers,
        weight: float,
        wheelbase: float,
        grade: float,
        *,
        throttle: Program,
        grip_factor: Program | None = None,
        brake_torque: Program | None = None,
    ) -> None:
        self.values, self.weight, self.wheelbase, self.grade = values, weight, wheelbase, float(grade)
        self.parameters = tuple(map(float, values.in_motion_order()))
        self.scales = state_scales(weight, wheelbase, values)
        self.error_forms = np.eye(MOVING, SIZE) / self.scales
        self.watched = load_errors(weight, values)
        axles = tuple(values.axle(end) for end in ENDS)
        self._tyres = tuple(axle.tyre_stiffness for axle in axles)
        self._stops = tuple((axle.stop_stiffness, axle.stop_damping) for axle in axles)
        super().__init__(throttle, grip_factor, brake_torque)

    def controls(self, time: float) -> tuple[float, float, float, float]:
        """Throttle, grip factor, brake torque (N m) and grade (rad) within the entered piece."""
        return *self.inputs(time), self.grade

    # what solvers call -------------------------------------------------------------------

    def rates(self, time: float, state: np.ndarray) -> np.ndarray:
        """Time derivative of the state, shape (28,)."""
        y = state.tolist()
        out = _finite(rates, y[COORDINATE_ROWS], y[SPEED_ROWS], *self.controls(time), self.parameters)
        return np.array((*y[RATE_ROWS], *out, abs(out[_MOTOR_POWER])))

    def stiff_rates(self, time: float, state: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Rates, then slopes (3), rows and pulls (3, 28) of slip and drag brake: ``J ~ -pulls^T slopes rows``."""
        y = state.tolist()
        out = _finite(stiff_rates, y[COORDINATE_ROWS], y[SPEED_ROWS], *self.controls(time), self.parameters)
        rate = np.array((*y[RATE_ROWS], *out[: _STIFF["powers"].stop], abs(out[_MOTOR_POWER])))
        slopes = out[_STIFF["slopes"]]
        braked = slopes[2] != 0.0
        count = 3 if braked else 2
        rows, pulls = np.zeros((count, SIZE)), np.zeros((count, SIZE))
        rows[:2, SPEED_ROWS] = np.array(out[_STIFF["slip_rows"]]).reshape(2, TURNS)
        pulls[:, SPEED_ROWS] = np.array(out[_STIFF["pulls"]]).reshape(3, TURNS)[:count]
        if braked:
            rows[2, SPIN_ROWS] = self.values.rear.motor, self.values.front.motor
        return rate, np.array(slopes[:count]), rows, pulls

    def stride(self, time: float, state: np.ndarray, new: np.ndarray) -> float:
        """As `brake_stride` of the motor's speed at the wheels."""
        if self.controls(time)[2] == 0.0:
            return 0.0
        values = self.values
        before, after = (
            float(values.rear.motor * rear + values.front.motor * front)
            for rear, front in (state[SPIN_ROWS], new[SPIN_ROWS])
        )
        return brake_stride(before, after)

    def jacobian(self, time: float, state: np.ndarray) -> np.ndarray:
        """Exact Jacobian of the rates, shape (28, 28); rows of the running integrals are left at zero."""
        y = state.tolist()
        q, u, controls = y[COORDINATE_ROWS], y[SPEED_ROWS], self.controls(time)
        seen = observe(q, u, *controls, self.parameters)
        acceleration, tensions = seen[_SEEN["accelerations"]], seen[_SEEN["tensions"]]
        shape = (TURNS + len(tensions), MOVING)
        parts = np.array(tangent(q, u, tensions, *controls, self.parameters)).reshape(shape)
        # gamma is quadratic in the speeds, so half its slope at u = u' is -d(G u')/dq.
        bend = np.array(tangent(q, acceleration, tensions, *controls, self.parameters)).reshape(shape)[
            TURNS:, RATE_ROWS
        ]
        rods = closure(q, u, self.parameters)[ROWS["closure"]["jacobian"]]
        constraint = np.array(rods).reshape(len(tensions), TURNS)
        right = parts[TURNS:].copy()
        right[:, COORDINATE_ROWS] += 0.5 * bend
        mobile = self._inverse_mass() @ parts[:TURNS]
        pulled = self._inverse_mass() @ constraint.T
        tension_slopes = np.linalg.solve(constraint @ pulled, right - constraint @ mobile)
        whole = np.zeros((SIZE, SIZE))
        whole[COORDINATE_ROWS, RATE_ROWS] = np.eye(PLACES)
        whole[SPEED_ROWS, :MOVING] = mobile + pulled @ tension_slopes
        return whole

    def _inverse_mass(self) -> np.ndarray:
        v, inverse = self.values, np.zeros((TURNS, TURNS))
        for body, k in zip(BODIES, (0, 3, 6), strict=True):
            inverse[k, k] = inverse[k + 1, k + 1] = 1.0 / v.mass_of(body)
        inverse[2, 2] = 1.0 / v.chassis_inertia
        block = [SPEEDS.index(f"{name}_rate") for name in MOBILE]
        inverse[np.ix_(block, block)] = mobility(v, (v.moving.rear, v.moving.front))
        return inverse

    def project(self, time: float, state: np.ndarray) -> tuple[np.ndarray, float, float]:
        """One correction onto the constraints; the drift found before it, m and m/s."""
        y = state.tolist()
        out = _finite(project, y[COORDINATE_ROWS], y[SPEED_ROWS], self.parameters)
        moved = state.copy()
        moved[:MOVING] = out[:MOVING]
        return moved, *(max(map(abs, out[_PROJECT[kind]])) for kind in ("position_drift", "speed_drift"))

    def switches(self, time: float, state: np.ndarray) -> tuple[float, ...]:
        """Contact (2), stops (4), flips (2), silent kinks (4) and loose coils (2) as a tuple of signed numbers."""
        y = state.tolist()
        out = _finite(switches, y[COORDINATE_ROWS], y[SPEED_ROWS], self.parameters)
        pitch = -y[2]
        contact = [contact_switch(out[k], out[k + 2], self._tyres[k]) for k in (0, 1)]
        stops = shock_switches(out[4:6], out[6:8], out[10:12], self._stops)
        kinks = (out[0] - TOUCH_DEPTH, out[1] - TOUCH_DEPTH, *stops[4:])
        return (*contact, *stops[:4], pitch - FLIP_PITCH, -pitch - FLIP_PITCH, *kinks, *out[8:10])

    # reports -----------------------------------------------------------------------------

    def stands(self, switches: tuple[float, ...]) -> bool:
        """Whether both axles carry load."""
        return min(switches[:2]) > 0.0

    @property
    def slip_speed(self) -> float:
        """The larger slip speed of the tyres, m/s."""
        return max(self.values.axle(end).slip_speed for end in ENDS)

    def observe(self, states: np.ndarray, controls: np.ndarray) -> dict[str, np.ndarray]:
        """Accelerations, tensions and everything in the kernel's list, over many states.

        Parameters
        ----------
        states : ndarray, shape (28, n)
        controls : ndarray, shape (3, n)
            Throttle, grip factor, brake torque.

        Returns
        -------
        dict of str to ndarray
            `accelerations` (11, n), `tensions` (4, n), and (2, n) for every name in OBSERVED.
        """
        return observe_states(self.parameters, self.grade, states, controls)

    def stored_energy(self, states: np.ndarray, seen: dict[str, np.ndarray]) -> np.ndarray:
        """Kinetic and potential energy with springs, stops and tyres, J, shape (n,)."""
        return kinetic_energy(self.values, states[SPEED_ROWS]) + potential_energy(
            self.values, states[COORDINATE_ROWS], seen["shock_length"], seen["tyre_depth"], self.grade
        )

    def energy_residual(self, states: np.ndarray, seen: dict[str, np.ndarray]) -> tuple[np.ndarray, float]:
        """Motor work less change of stored energy and losses, J, and the scale it is judged by, J.

        Returns
        -------
        residual : ndarray, shape (n,)
        scale : float
            Integral of |motor power| + losses + largest energy change, at least 1e-3 of weight x wheelbase.
        """
        return book_residual(states[ENERGY_ROWS], self.stored_energy(states, seen), self.weight * self.wheelbase)


def book_residual(integrals: np.ndarray, stored: np.ndarray, least: float) -> tuple[np.ndarray, float]:
    """Residual of an energy book (n,) and the scale it is judged by, J.

    Parameters
    ----------
    integrals : ndarray, shape (energies, n)
        Motor work, losses, and the integral of |motor power|, J.
    stored : ndarray, shape (n,)
        J.
    least : float
        Weight times wheelbase, J.
    """
    change = stored - stored[0]
    done = integrals - integrals[:, :1]
    lost = done[1:-1].sum(axis=0)
    scale = done[-1, -1] + lost[-1] + np.abs(change).max()
    return done[0] - change - lost, max(scale, ENERGY_FLOOR * least)


def _finite(kernel: Callable, *arguments: float | list[float] | tuple[float, ...]) -> tuple[float, ...]:
    """The kernel's numbers; where a state has run off to infinity, an arithmetic error as any overflow gives."""
    try:
        return kernel(*arguments)
    except ValueError as trouble:
        raise FloatingPointError(f"the state is not finite: {trouble}") from None


def contact_switch(depth: float, raw_load: float, stiffness: float) -> float:
    """Positive where a touch carries load: the smaller of its depth and its unclipped force over its stiffness, m."""
    if depth <= 0.0:
        return depth
    damped = raw_load / stiffness - depth
    return depth + min(0.0, damped * min(1.0, depth / TOUCH_DEPTH))


def shock_switches(droops: Sequence, bumps: Sequence, rates: Sequence, stops: Sequence) -> list[float]:
    """Where stops push, and where their damping has set in.

    Parameters
    ----------
    droops, bumps : sequence of float
        How deep the shocks are in each stop, m.
    rates : sequence of float
        How fast they lengthen, m/s.
    stops : sequence of (float, float)
        Stiffness and damping of each, N/m and N s/m.

    Returns
    -------
    list of float
        Droop stops, bump stops, then one number a shock for the depth of the one it is nearer to; m.
    """
    pushes, onsets = [], []
    for droop, bump, rate, (stiffness, damping) in zip(droops, bumps, rates, stops, strict=True):
        push = damping * rate
        pushes.append(droop if droop <= 0.0 else contact_switch(droop, stiffness * droop + push, stiffness))
        onsets.append(max(droop, bump) - TOUCH_DEPTH)
    for bump, rate, (stiffness, damping) in zip(bumps, rates, stops, strict=True):
        pushes.append(bump if bump <= 0.0 else contact_switch(bump, stiffness * bump - damping * rate, stiffness))
    return pushes + onsets


def state_scales(weight: float, wheelbase: float, values: VehicleNumbers) -> np.ndarray:
    """Sizes by which errors of the state are judged: wheelbase, free-fall speed over it, and their like.

    An axle's height by what its tyres sink under the weight and its rate by that swing: stiff tyres turn the same error
    into more load, and in a fast swing small errors add up.
    """
    speed = (values.gravity * wheelbase) ** 0.5
    place, fast = [wheelbase, wheelbase, 1.0] * 3, [speed, speed, speed / wheelbase] * 3
    for k, end in enumerate(ENDS):
        axle = values.axle(end)
        place[4 + 3 * k] = min(wheelbase, SINK_SCALE * weight / axle.tyre_stiffness)
        fast[4 + 3 * k] = min(speed, weight / (axle.tyre_stiffness * axle.mass) ** 0.5)
    return np.array(place + fast + [speed / wheelbase * TURN_SCALE] * 2 + [weight * wheelbase] * len(ENERGIES))


def load_errors(weight: float, values: VehicleNumbers) -> np.ndarray:
    """What an error of an axle's height, and of its rate, does to its load, shares of the weight, (4, size).

    A rate errs as the height that it swings to, axle on tyres.
    """
    forms = np.zeros((4, SIZE))
    for k, end in enumerate(ENDS):
        axle = values.axle(end)
        forms[k, 4 + 3 * k] = axle.tyre_stiffness / weight
        forms[2 + k, PLACES + 4 + 3 * k] = (axle.tyre_stiffness * axle.mass) ** 0.5 / weight
    return forms


def observe_states(
    parameters: tuple[float, ...], grade: float | np.ndarray, states: np.ndarray, controls: np.ndarray
) -> dict[str, np.ndarray]:
    """`VehicleMotion.observe` for given kernel parameters; rows (n) of `parameters` and `grade` may be arrays."""
    states = np.ascontiguousarray(states)
    count = states.shape[1]
    grade = np.broadcast_to(grade, (count,))
    state = states[COORDINATE_ROWS], states[SPEED_ROWS]
    out = evaluated_once(array_motion, "observe", count, *state, *controls, grade, parameters)
    return {name: out[rows] for name, rows in _SEEN.items()}


def project_states(parameters: tuple[float, ...], states: np.ndarray) -> tuple[np.ndarray, float, float]:
    """One correction of many states (28, n) onto the constraints; the largest drift before it, m and m/s."""
    states = np.ascontiguousarray(states)
    state = states[COORDINATE_ROWS], states[SPEED_ROWS]
    out = evaluated_once(array_motion, "project", states.shape[1], *state, parameters)
    moved = np.vstack([out[:MOVING], states[ENERGY_ROWS]])
    position, speed = (float(np.abs(out[_PROJECT[kind]]).max()) for kind in ("position_drift", "speed_drift"))
    return moved, position, speed
