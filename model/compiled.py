"""Any `Mechanism` as numeric functions and as a motion a solver can integrate.

For checks against published mechanisms and for experiments; SymPy is imported here, so ordinary
commands use the committed kernels of the vehicle instead.
"""

import math
from dataclasses import dataclass, field

import numpy as np
import sympy as sp

from .codegen import Kernel, Tape, print_scalar
from .errors import ModelError

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
        return self._kernels[name](tuple(coordinates), tuple(speeds), time, self.parameters)

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
            raise ModelError(f"mechanism: no parameter is called {', '.join(unknown)}; "
                             f"known: {', '.join(self.parameter_names)}")
        parameters = tuple(float((merged | dict(values))[name]) for name in self.parameter_names)
        constant = self._kernels["constant"]
        mass, gearing = constant(parameters, len(self.speed_names))
        return CompiledMechanism(self.coordinate_names, self.speed_names, self.constraint_names, self.output_names,
                                 self.parameter_names, parameters, mass, gearing, self._kernels)

    def dependent_constraints(self, coordinates, time=0.0):
        """Names of constraints that say nothing new in this position (rows dependent on earlier rows)."""
        basis, names = [], []
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
    n, m = len(equations.speeds), len(equations.constraint_names)
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
    arguments = (("coordinates", list(equations.coordinates) or None), ("speeds", list(equations.speeds)),
                 (equations.time.name, None), ("parameters", parameters or None))
    if not outputs:
        return lambda *_: ()
    text = print_scalar(Kernel(name, f"{name} of a mechanism.", arguments, outputs, tape))
    space = {key: getattr(math, key) for key in ("sin", "cos", "tanh", "sqrt")}
    exec(compile(text, f"<{name} of a mechanism>", "exec"), space)
    return space[name]


class MechanismMotion:
    """Motion of a compiled mechanism in index-1 form; the state is coordinates, then speeds.

    Accelerations and multipliers solve one linear system in which constraints and gears stand side
    by side (Hairer and Wanner, *Solving Ordinary Differential Equations II*, VII.1).

    Parameters
    ----------
    mechanism : CompiledMechanism
    """

    def __init__(self, mechanism):
        self.mechanism = mechanism
        self.n_coordinates, self.n_speeds = len(mechanism.coordinate_names), len(mechanism.speed_names)
        self.n_constraints, n_gears = len(mechanism.constraint_names), len(mechanism.gearing)
        n, m = self.n_speeds, self.n_constraints
        self._system = np.zeros((n + m + n_gears, n + m + n_gears))
        self._system[:n, :n] = mechanism.mass_matrix
        self._system[n + m :, :n] = mechanism.gearing
        self._system[:n, n + m :] = -mechanism.gearing.T
        self._right = np.zeros(n + m + n_gears)

    def split(self, state):
        """Coordinates and speeds of a state."""
        return state[: self.n_coordinates], state[self.n_coordinates :]

    def solve(self, time, state):
        """Accelerations, shape (n_speeds,), and constraint multipliers, shape (n_constraints,).

        Not finite where constraints depend on each other (a singular position or redundancy):
        `mechanism.dependent_constraints` then names them.
        """
        n, m = self.n_speeds, self.n_constraints
        forces, jacobian, gamma = self.mechanism.dynamics(*map(np.ndarray.tolist, self.split(state)), time)
        self._put(jacobian)
        self._right[:n], self._right[n : n + m] = forces, gamma
        solution = self._solution()
        return solution[:n], solution[n : n + m]

    def _put(self, jacobian):
        n, m = self.n_speeds, self.n_constraints
        self._system[n : n + m, :n] = jacobian
        self._system[:n, n : n + m] = -jacobian.T

    def _solution(self):
        try:
            return np.linalg.solve(self._system, self._right)
        except np.linalg.LinAlgError:
            return np.full(len(self._right), np.nan)

    def rates(self, time, state):
        """Time derivative of the state."""
        return np.concatenate((state[self.n_coordinates : 2 * self.n_coordinates], self.solve(time, state)[0]))

    def drift(self, time, state):
        """Constraint residuals of position and of velocity (gears last), largest absolute values."""
        coordinates, speeds = self.split(state)
        position = self.mechanism.residuals(coordinates, time)
        velocity = self._velocity_error(coordinates, speeds, time)
        return float(np.max(np.abs(position), initial=0.0)), float(np.max(np.abs(velocity), initial=0.0))

    def _velocity_error(self, coordinates, speeds, time):
        mechanism = self.mechanism
        rate = mechanism.jacobian(coordinates, time) @ speeds + mechanism.residual_rate(coordinates, time)
        return np.concatenate((rate, mechanism.gearing @ speeds))

    def project(self, time, state, *, corrections=2):
        """State moved onto the constraints by the smallest shift in the mass metric."""
        n, m, nq = self.n_speeds, self.n_constraints, self.n_coordinates
        state = np.array(state, dtype=float)
        self._right[:] = 0.0
        for _ in range(corrections):
            coordinates, _ = self.split(state)
            self._put(self.mechanism.jacobian(coordinates, time))
            self._right[n : n + m] = -self.mechanism.residuals(coordinates, time)
            state[:nq] += self._solution()[:nq]
        coordinates, speeds = self.split(state)
        self._put(self.mechanism.jacobian(coordinates, time))
        self._right[n:] = -self._velocity_error(coordinates, speeds, time)
        state[nq:] += self._solution()[:n]
        return state

    def kinetic_energy(self, state):
        """Kinetic energy, J."""
        speeds = self.split(state)[1]
        return 0.5 * float(speeds @ self.mechanism.mass_matrix @ speeds)

    def independence(self, time, state):
        """Smallest over largest singular value of G; 0 in a singular position, 1 without constraints."""
        if not self.n_constraints:
            return 1.0
        sizes = np.linalg.svd(self.mechanism.jacobian(self.split(state)[0], time), compute_uv=False)
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
            raise ModelError(f"mechanism: {m} constraints cannot fix {n} coordinates; prescribe one rotation per "
                             "degree of freedom")
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
        return mechanism.residuals(state, parameter), np.column_stack((jacobian, mechanism.residual_rate(state, parameter)))

    def accept(self, state, parameter):
        """Every closed position is accepted; the branch is the caller's choice of start."""
        return None
