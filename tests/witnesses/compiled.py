"""Any `Mechanism` as numeric functions and as a motion a solver can integrate.

For checks against published mechanisms and for experiments; SymPy is imported here, so ordinary
commands use the committed kernels of the vehicle instead.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import sympy as sp

from noseload.model.errors import ModelError
from noseload.model.symbols.codegen import Kernel, Tape, print_scalar

SINGULAR = 1e-10
"""Share of the largest singular value below which constraints count as dependent."""


@dataclass(frozen=True)
class CompiledMechanism:
    """Numeric equations of a mechanism: ``M u' = f + G^T lambda``, ``G u' = gamma``, ``C u = 0``.

    Attributes
    ----------
    coordinate_names, speed_names, constraint_names, output_names : tuple of str
        The first speeds belong to the coordinates, in the same order; spins follow.
    parameter_names : tuple of str
        Order of `parameters`.
    parameters : tuple of float
    mass_matrix : ndarray, shape (n_speeds, n_speeds)
    gearing : ndarray, shape (n_gears, n_speeds)
    """

    coordinate_names: tuple
    speed_names: tuple
    constraint_names: tuple
    output_names: tuple
    parameter_names: tuple
    parameters: tuple
    mass_matrix: np.ndarray
    gearing: np.ndarray
    _kernels: dict = field(repr=False)

    def _call(self, name, coordinates, speeds, time):
        return self._kernels[name](
            tuple(map(float, coordinates)), tuple(map(float, speeds)), float(time), self.parameters
        )

    def _rest(self):
        return (0.0,) * len(self.speed_names)

    def forces(self, coordinates, speeds, time=0.0):
        """Generalised forces f, shape (n_speeds,); N and N m."""
        return np.array(self._call("forces", coordinates, speeds, time))

    def residuals(self, coordinates, time=0.0):
        """Constraint residuals, shape (n_constraints,); m and rad."""
        return np.array(self._call("residuals", coordinates, self._rest(), time))

    def jacobian(self, coordinates, time=0.0):
        """Constraint Jacobian G, shape (n_constraints, n_speeds)."""
        flat = np.array(self._call("jacobian", coordinates, self._rest(), time))
        return flat.reshape(len(self.constraint_names), len(self.speed_names))

    def residual_rate(self, coordinates, time=0.0):
        """Explicit time derivative of the residuals (prescribed points), shape (n_constraints,)."""
        return np.array(self._call("residual_rate", coordinates, self._rest(), time))

    def gamma(self, coordinates, speeds, time=0.0):
        """Right-hand side of ``G u' = gamma``, shape (n_constraints,)."""
        return np.array(self._call("gamma", coordinates, speeds, time))

    def dynamics(self, coordinates, speeds, time=0.0):
        """Forces, Jacobian and gamma of one state in one call."""
        flat = np.array(self._call("dynamics", coordinates, speeds, time))
        n, m = len(self.speed_names), len(self.constraint_names)
        return flat[:n], flat[n : n + m * n].reshape(m, n), flat[n + m * n :]

    def closure(self, coordinates, time=0.0):
        """Residuals, Jacobian and residual rate of one position in one call."""
        flat = np.array(self._call("closure", coordinates, self._rest(), time))
        n, m = len(self.speed_names), len(self.constraint_names)
        return flat[:m], flat[m : m + m * n].reshape(m, n), flat[m + m * n :]

    def outputs(self, coordinates, speeds, time=0.0):
        """Named outputs of the mechanism (spring lengths, forces and what was asked for), a dict."""
        return dict(zip(self.output_names, self._call("outputs", coordinates, speeds, time), strict=True))

    def with_parameters(self, values):
        """The same equations with other numbers; keys are parameter names.

        Raises
        ------
        ModelError
            A key is no parameter of this mechanism, or a constant part (mass, gear) would change.
        """
        merged = dict(zip(self.parameter_names, self.parameters, strict=True))
        unknown = sorted(set(values) - set(merged))
        if unknown:
            raise ModelError(
                f"mechanism: no parameter is called {', '.join(unknown)}; known: {', '.join(self.parameter_names)}"
            )
        parameters = tuple(float((merged | dict(values))[name]) for name in self.parameter_names)
        constant = self._kernels["constant"]
        mass, gearing = constant(parameters, len(self.speed_names))
        return CompiledMechanism(
            self.coordinate_names,
            self.speed_names,
            self.constraint_names,
            self.output_names,
            self.parameter_names,
            parameters,
            mass,
            gearing,
            self._kernels,
        )

    def dependent_constraints(self, coordinates, time=0.0):
        """Names of constraints that say nothing new in this position (rows dependent on earlier rows)."""
        basis: list[np.ndarray] = []
        names = []
        for name, row in zip(self.constraint_names, self.jacobian(coordinates, time), strict=True):
            left = row.copy()
            for _ in range(2):  # twice is enough for orthogonality (Kahan, Parlett)
                for direction in basis:
                    left -= (left @ direction) * direction
            size = float(np.linalg.norm(left))
            if size <= SINGULAR * max(float(np.linalg.norm(row)), 1e-300):
                names.append(name)
            else:
                basis.append(left / size)
        return tuple(names)


def compile_mechanism(mechanism, values=None):
    """Turn a mechanism into numeric functions.

    Parameters
    ----------
    mechanism : Mechanism
    values : dict, optional
        Number of every symbol that is neither coordinate, speed nor time; keys are symbols or names.

    Returns
    -------
    CompiledMechanism

    Raises
    ------
    ModelError
        A symbol has no number.
    """
    equations = mechanism.equations()
    numbers = {str(name): float(value) for name, value in (values or {}).items()}
    n = len(equations.speeds)
    groups = {
        "forces": list(equations.forces),
        "jacobian": list(equations.constraint_jacobian),
        "gamma": list(equations.gamma),
        "residuals": list(equations.residuals),
        "residual_rate": list(equations.residual_rate),
        "outputs": list(equations.outputs.values()),
        "constant": [*equations.mass_matrix, *equations.gearing],
    }
    groups["dynamics"] = groups["forces"] + groups["jacobian"] + groups["gamma"]
    groups["closure"] = groups["residuals"] + groups["jacobian"] + groups["residual_rate"]
    own = {*equations.coordinates, *equations.speeds, equations.time}
    used = set().union(*(sp.sympify(e).free_symbols for group in groups.values() for e in group)) - own
    parameters = sorted(used, key=str)
    missing = [s.name for s in parameters if s.name not in numbers]
    if missing:
        raise ModelError(f"mechanism: no number for {', '.join(missing)}; give each in `values`")
    kernels = {name: _kernel(name, group, equations, parameters) for name, group in groups.items()}
    constant_parts = kernels["constant"]

    def constant(parameter_values, count):
        zero = (0.0,) * len(equations.coordinates), (0.0,) * count
        flat = np.array(constant_parts(*zero, 0.0, parameter_values))
        return flat[: n * n].reshape(n, n), flat[n * n :].reshape(-1, n)

    kernels["constant"] = constant
    own_numbers = tuple(numbers[s.name] for s in parameters)
    mass, gearing = constant(own_numbers, n)
    return CompiledMechanism(
        coordinate_names=tuple(s.name for s in equations.coordinates),
        speed_names=tuple(s.name for s in equations.speeds),
        constraint_names=equations.constraint_names,
        output_names=tuple(equations.outputs),
        parameter_names=tuple(s.name for s in parameters),
        parameters=own_numbers,
        mass_matrix=mass,
        gearing=gearing,
        _kernels=kernels,
    )


def _kernel(name, expressions, equations, parameters):
    """Print one kernel as text and execute it."""
    tape = Tape()
    outputs = tuple(tape.assign_all(expressions)) if expressions else ()
    arguments = (
        ("coordinates", list(equations.coordinates) or None),
        ("speeds", list(equations.speeds)),
        (equations.time.name, None),
        ("parameters", parameters or None),
    )
    if not outputs:
        return lambda *_: ()
    text = print_scalar(Kernel(name, f"{name} of a mechanism.", arguments, outputs, tape))
    space = {key: getattr(math, key) for key in ("sin", "cos", "tanh", "exp", "log", "sqrt")}
    exec(compile(text, f"<{name} of a mechanism>", "exec"), space)
    return space[name]


@dataclass(frozen=True)
class Switch:
    """A function of the state whose zeros are located, and may end the motion.

    Attributes
    ----------
    function : callable
        ``function(state)``, a number; the clock is the last of the state.
    rising, falling : str or None
        Names under which zeros are reported; None reports nothing.
    terminal : bool
        The motion ends where the function is positive.
    """

    function: Callable[[np.ndarray], float]
    rising: str | None = None
    falling: str | None = None
    terminal: bool = False


class MechanismMotion:
    """Motion of a compiled mechanism in index-1 form, of the shape transient solvers take.

    The state is coordinates, speeds, and a clock, so that prescribed points are known from the state
    alone. Accelerations and multipliers solve one linear system in which constraints and gears stand
    side by side (Hairer and Wanner, *Solving Ordinary Differential Equations II*, VII.1). The motion
    ends in a singular position, where constraints become dependent and branches meet.

    Parameters
    ----------
    mechanism : CompiledMechanism
    length, duration : float
        Sizes by which errors are judged, m and s; angles are judged by 1 rad.
    singular_below : float
        Ratio of singular values of G below which a position counts as singular.
    switches : sequence of Switch, optional
        Further zeros to locate, after that of the singular position.

    Raises
    ------
    ModelError
        A length or duration that is not positive and finite.
    """

    def __init__(self, mechanism, *, length=1.0, duration=1.0, singular_below=1e-3, switches=()):
        faults = [
            f"{name} = {size} {unit}"
            for name, size, unit in (("length", length, "m"), ("duration", duration, "s"))
            if not 0.0 < size < math.inf
        ]
        if faults:
            raise ModelError(f"mechanism: {' and '.join(faults)}; give positive sizes, which errors are judged by")
        self.mechanism, self.singular_below = mechanism, singular_below
        self._switches = tuple(switches)
        self.switch_names = (("singular position", None), *((s.rising, s.falling) for s in self._switches))
        self.terminal = (True, *(s.terminal for s in self._switches))
        self.n_coordinates, self.n_speeds = len(mechanism.coordinate_names), len(mechanism.speed_names)
        self.n_constraints, n_gears = len(mechanism.constraint_names), len(mechanism.gearing)
        n, m = self.n_speeds, self.n_constraints
        self.state_names = (*mechanism.coordinate_names, *mechanism.speed_names, "clock")
        self.size, self.coordinate_count = len(self.state_names), self.n_coordinates
        place = np.array([1.0 if name.endswith("_theta") else length for name in mechanism.coordinate_names])
        spins = np.ones(n - self.n_coordinates)
        self.scales = np.concatenate((place, place / duration, spins / duration, [1.0]))
        self.error_forms, self.error_count = np.diag(1.0 / self.scales)[:-1], self.size - 1
        self.telling_slopes = ()
        self.watched = np.zeros((0, self.size))
        self._system = np.zeros((n + m + n_gears, n + m + n_gears))
        self._system[:n, :n] = mechanism.mass_matrix
        self._system[n + m :, :n] = mechanism.gearing
        self._system[:n, n + m :] = -mechanism.gearing.T
        self._right = np.zeros(n + m + n_gears)

    def state(self, coordinates, speeds, time=0.0):
        """State from its parts."""
        return np.concatenate((coordinates, speeds, [time]))

    def split(self, state):
        """Coordinates and speeds of a state."""
        return state[: self.n_coordinates], state[self.n_coordinates : -1]

    def solve(self, state):
        """Accelerations, shape (n_speeds,), and constraint multipliers, shape (n_constraints,).

        Not finite where constraints depend on each other (a singular position or redundancy):
        `mechanism.dependent_constraints` then names them.
        """
        n, m = self.n_speeds, self.n_constraints
        coordinates, speeds = self.split(state)
        forces, jacobian, gamma = self.mechanism.dynamics(coordinates, speeds, state[-1])
        self._put(jacobian)
        self._right[:n], self._right[n : n + m] = forces, gamma
        solution = self._solution(self._right)
        return solution[:n], solution[n : n + m]

    def _put(self, jacobian):
        n, m = self.n_speeds, self.n_constraints
        self._system[n : n + m, :n] = jacobian
        self._system[:n, n : n + m] = -jacobian.T

    def _solution(self, right):
        try:
            return np.linalg.solve(self._system, right)
        except np.linalg.LinAlgError:
            return np.full(right.shape, np.nan)

    def rates(self, time, state):
        """Time derivative of the state."""
        moving = state[self.n_coordinates : 2 * self.n_coordinates]
        return np.concatenate((moving, self.solve(state)[0], [1.0]))

    def stiff_rates(self, time, state):
        """The rates, and no stiff part: for explicit integration."""
        none = np.zeros((0, self.size))
        return self.rates(time, state), np.zeros(0), none, none

    def stride(self, time, state, new):
        return 0.0

    def jacobian(self, time, state):
        """Derivative of the rates by the state, by central differences."""
        columns = []
        for k, scale in enumerate(self.scales):
            shift = np.zeros(self.size)
            shift[k] = 1e-6 * scale
            columns.append((self.rates(time, state + shift) - self.rates(time, state - shift)) / (2.0 * shift[k]))
        return np.array(columns).T

    def _closure(self, state):
        """Residuals of position and of speed (gears last), and G."""
        coordinates, speeds = self.split(state)
        residuals, jacobian, rate = self.mechanism.closure(coordinates, state[-1])
        return residuals, np.concatenate((jacobian @ speeds + rate, self.mechanism.gearing @ speeds)), jacobian

    def drift(self, state):
        """Largest constraint residual of position and of speed (gears included)."""
        position, speed, _ = self._closure(state)
        return float(np.max(np.abs(position), initial=0.0)), float(np.max(np.abs(speed), initial=0.0))

    def project(self, time, state):
        """State moved once toward the constraints in the mass metric; drift of position and speed before."""
        n, m, nq = self.n_speeds, self.n_constraints, self.n_coordinates
        state = np.array(state, dtype=float)
        position, speed, jacobian = self._closure(state)
        self._put(jacobian)
        right = np.zeros((len(self._right), 2))
        right[n : n + m, 0], right[n:, 1] = -position, -speed
        moves = self._solution(right)
        state[:nq] += moves[:nq, 0]
        state[nq:-1] += moves[:n, 1]
        return state, float(np.max(np.abs(position), initial=0.0)), float(np.max(np.abs(speed), initial=0.0))

    def switches(self, time, state):
        """Positive in a singular position; then the given switches."""
        return (self.singular_below - self.independence(state), *(float(s.function(state)) for s in self._switches))

    def corners(self):
        """No input jumps."""
        return ()

    def enter(self, start, end):
        """Nothing is switched between corners."""

    def kinetic_energy(self, state):
        """Kinetic energy, J."""
        speeds = self.split(state)[1]
        return 0.5 * float(speeds @ self.mechanism.mass_matrix @ speeds)

    def independence(self, state):
        """Smallest over largest singular value of G; 0 in a singular position, 1 without constraints."""
        if not self.n_constraints:
            return 1.0
        jacobian = self.mechanism.jacobian(self.split(state)[0], state[-1])
        sizes = np.linalg.svd(jacobian, compute_uv=False)
        return float(sizes[-1] / sizes[0])


class Closure:
    """Positions of a mechanism whose constraints fix all coordinates at a time: equations for Newton.

    The parameter is the time (for a crank turned by `prescribe_rotation`, what the angle depends on).

    Parameters
    ----------
    mechanism : CompiledMechanism
        With as many constraints as coordinates.
    length : float
        A typical length, m; scales residuals and caps steps.

    Raises
    ------
    ModelError
        The constraints do not count as many as the coordinates.
    """

    def __init__(self, mechanism, *, length=1.0):
        n, m = len(mechanism.coordinate_names), len(mechanism.constraint_names)
        if n != m:
            raise ModelError(
                f"mechanism: {m} constraints cannot fix {n} coordinates; prescribe one rotation per degree of freedom"
            )
        self.mechanism = mechanism
        self.names, self.equation_names = mechanism.coordinate_names, mechanism.constraint_names
        angles = np.array([name.endswith("_theta") for name in self.names])
        self.scales = np.where(angles, 1.0, length)
        self.residual_scales = np.full(n, float(length))
        self.step_limits = np.where(angles, 0.3, 0.3 * length)

    def evaluate(self, state, parameter):
        """Residuals (n) and their Jacobian (n, n + 1), the last column by time."""
        mechanism, n = self.mechanism, len(self.names)
        jacobian = mechanism.jacobian(state, parameter)[:, :n]
        return mechanism.residuals(state, parameter), np.column_stack(
            (jacobian, mechanism.residual_rate(state, parameter))
        )

    def accept(self, state, parameter):
        """Every closed position is accepted; the branch is the caller's choice of start."""
        return None
