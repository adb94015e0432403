"""A small general builder of planar mechanisms: say what is joined to what, get the equations.

Frame (seen from the vehicle's right side, x to the right)::

        z ^
          |   ) theta > 0 turns z toward x: nose DOWN, a wheel rolling forward
          +------> x

A point fixed in a body at local (a, c) lies at
``x = X + a cos(theta) + c sin(theta)``, ``z = Z - a sin(theta) + c cos(theta)``.

Bodies carry absolute coordinates (x, z, theta) at their centre of gravity, particles (x, z); a spin
is a speed relative to the body (or the ground) that carries the wheel. Rods, pins, sliders and
prescribed rotations are holonomic constraints; a rod's multiplier is its axial force, tension
positive. Points on the ground may move as functions of `time`. Equations of motion::

    M u' = f + G^T lambda,    G u' = gamma,    q' = u (spins have no coordinate)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import sympy as sp

from noseload.model.errors import ModelError

if TYPE_CHECKING:
    from sympy import Expr, Matrix


@dataclass(frozen=True)
class Body:
    """A rigid body, a particle (`theta` is None) or the ground (no coordinates)."""

    name: str
    mass: sp.Expr
    inertia: sp.Expr
    coordinates: tuple
    speeds: tuple


@dataclass(frozen=True)
class Point:
    """A point with its position as expressions of the coordinates and, if prescribed, of time."""

    body: Body | None
    x: sp.Expr
    z: sp.Expr


@dataclass(frozen=True)
class Spin:
    """Speed of a wheel (pair) relative to the body that carries it, rad/s."""

    name: str
    body: Body
    inertia: sp.Expr
    rotor_inertia: sp.Expr
    speed: sp.Symbol

    @property
    def absolute_speed(self) -> Expr:
        """Spin of the wheel in space, rad/s."""
        return sum(self.body.speeds[2:], self.speed)


_DISTANCE = (sp.Symbol("distance_x", real=True), sp.Symbol("distance_z", real=True))


@dataclass(frozen=True)
class _Composed:
    """A residual as a function of distances, so that derivatives follow the chain rule and stay small."""

    outer: sp.Expr
    distances: tuple

    @cached_property
    def _inside(self) -> list[Expr]:
        return [s for s in _DISTANCE if self.outer.has(s)]

    def _put(self, expression: Expr) -> Expr:
        return expression.xreplace(dict(zip(self._inside, self.distances, strict=True)))

    def value(self) -> Expr:
        return self._put(self.outer)

    def slope(self, variable: Expr) -> Expr:
        """Derivative by one coordinate or by time."""
        return sum(
            self._put(sp.diff(self.outer, s)) * sp.diff(d, variable)
            for s, d in zip(self._inside, self.distances, strict=True)
        )

    def second_rate(self, rate: Callable) -> Expr:
        """Second time derivative without the accelerations."""
        total = sp.Integer(0)
        rates = [rate(d) for d in self.distances]
        for a, first in zip(self._inside, rates, strict=True):
            total += self._put(sp.diff(self.outer, a)) * rate(first)
            for b, second in zip(self._inside, rates, strict=True):
                total += self._put(sp.diff(self.outer, a, b)) * first * second
        return total


@dataclass(frozen=True)
class Equations:
    """What a mechanism yields; every matrix in the order of `coordinates` and `speeds`.

    Attributes
    ----------
    mass_matrix : Matrix, shape (n_speeds, n_speeds)
        Constant.
    forces : Matrix, shape (n_speeds, 1)
    residuals : Matrix, shape (n_constraints, 1)
        Constraint residuals, m; zero when the mechanism is closed.
    constraint_jacobian : Matrix, shape (n_constraints, n_speeds)
    residual_rate : Matrix, shape (n_constraints, 1)
        Explicit time derivative of the residuals (prescribed points), m/s.
    gamma : Matrix, shape (n_constraints, 1)
        Right-hand side of ``G u' = gamma``.
    gearing : Matrix, shape (n_gears, n_speeds)
        Constant rows C with ``C u = 0``.
    """

    coordinates: tuple
    speeds: tuple
    constraint_names: tuple
    time: sp.Symbol
    mass_matrix: sp.Matrix
    forces: sp.Matrix
    residuals: sp.Matrix
    constraint_jacobian: sp.Matrix
    residual_rate: sp.Matrix
    gamma: sp.Matrix
    gearing: sp.Matrix
    outputs: dict = field(default_factory=dict)


class Mechanism:
    """Collects parts; `equations()` turns them into `Equations`.

    Parameters
    ----------
    gravity : pair of expressions
        Components (x, z) of the acceleration of gravity, m/s2.
    """

    def __init__(self, gravity: tuple = (0, 0)) -> None:
        self.time = sp.Symbol("t", real=True)
        self.ground = Body("ground", sp.oo, sp.oo, (), ())
        self._gravity = gravity
        self._bodies: list = []
        self._spins: list = []
        self._constraints: list = []
        self._gears: list = []
        self._works: list = []
        self._outputs: dict = {}

    # parts -------------------------------------------------------------------------------

    def body(self, name: str, mass: Expr | float, inertia: Expr | float) -> Body:
        """Add a rigid body; its coordinates are at its centre of gravity. kg, kg m2; 0 is massless.

        Raises
        ------
        ModelError
            The name is taken, or mass or inertia is negative.
        """
        return self._add_body(name, mass, inertia, ("x", "z", "theta"))

    def particle(self, name: str, mass: Expr | float) -> Body:
        """Add a point mass."""
        return self._add_body(name, mass, sp.Integer(0), ("x", "z"))

    def _add_body(self, name: str, mass: Expr | float, inertia: Expr | float, axes: tuple[str, ...]) -> Body:
        if any(other.name == name for other in self._bodies):
            raise ModelError(f"mechanism: two bodies are called {name!r}; give each its own name")
        for quantity, value, unit in (("mass", mass, "kg"), ("inertia", inertia, "kg m2")):
            if sp.sympify(value).is_negative:
                raise ModelError(f"mechanism: {quantity} of {name!r} is {value} {unit}; it must not be negative")
        coordinates = tuple(sp.Symbol(f"{name}_{axis}", real=True) for axis in axes)
        speeds = tuple(sp.Symbol(f"{name}_{axis}_rate", real=True) for axis in axes)
        body = Body(name, sp.sympify(mass), sp.sympify(inertia), coordinates, speeds)
        self._bodies.append(body)
        return body

    def point(self, body: Body, x: Expr | float = 0, z: Expr | float = 0) -> Point:
        """Point fixed in `body` at local (x, z), m; on the ground x and z may depend on `time`.

        Raises
        ------
        ModelError
            A particle is asked for a point away from itself.
        """
        if body is self.ground:
            return Point(None, sp.sympify(x), sp.sympify(z))
        if len(body.coordinates) == 2:
            if x != 0 or z != 0:
                raise ModelError(f"mechanism: particle {body.name!r} has no point away from itself")
            return Point(body, *body.coordinates)
        bx, bz, theta = body.coordinates
        return Point(body, bx + sp.cos(theta) * x + sp.sin(theta) * z, bz - sp.sin(theta) * x + sp.cos(theta) * z)

    def rod(self, name: str, start: Point, end: Point, length: float) -> None:
        """Massless rod; residual ``(l^2 - d.d)/(2 l)``, so its multiplier is the tension.

        Raises
        ------
        ModelError
            The length is not positive, or both ends are on one body or on the ground.
        """
        if sp.sympify(length).is_nonpositive:
            raise ModelError(f"mechanism: rod {name!r} has length {length} m; give a length above 0, or use a pin")
        dx, dz = _DISTANCE
        residual = (length**2 - dx**2 - dz**2) / (2 * length)
        self._constrain("rod", name, start, end, _Composed(residual, (end.x - start.x, end.z - start.z)))

    def pin(self, name: str, start: Point, end: Point) -> None:
        """Hold two points together; the multipliers are the force on `end`, (x, z).

        Raises
        ------
        ModelError
            Both points are on one body or on the ground.
        """
        for axis, symbol, distance in zip("xz", _DISTANCE, (end.x - start.x, end.z - start.z), strict=True):
            self._constrain("pin", f"{name}_{axis}", start, end, _Composed(symbol, (distance,)))

    def slider(self, name: str, start: Point, end: Point, normal: tuple[Expr | int, Expr | int]) -> None:
        """Keep `end` on the line through `start` across `normal`; the force on `end` is multiplier * normal.

        Parameters
        ----------
        normal : pair of expressions
            (x, z), of any length but 0; may depend on `time`.

        Raises
        ------
        ModelError
            Both points are on one body or on the ground.
        """
        across = normal[0] * (end.x - start.x) + normal[1] * (end.z - start.z)
        self._constrain("slider", name, start, end, _Composed(_DISTANCE[0], (across,)))

    def prescribe_rotation(self, name: str, body: Body, angle: Expr) -> None:
        """Turn a body by `angle`, rad, a function of `time` or of coordinates (a cord on a drum, rolling).

        The multiplier is the moment on the body.

        Raises
        ------
        ModelError
            The body is a particle or the ground.
        """
        ahead = self._turn(body) - angle
        self._constrain("rotation", name, Point(None, 0, 0), Point(body, 0, 0), _Composed(_DISTANCE[0], (ahead,)))

    def _constrain(self, kind: str, name: str, start: Point, end: Point, residual: _Composed) -> None:
        if start.body is end.body:
            where = "the ground" if start.body is None else f"body {start.body.name!r}"
            raise ModelError(f"mechanism: {kind} {name!r} joins {where} to itself; join two different bodies")
        if any(other == name for other, _ in self._constraints):
            raise ModelError(f"mechanism: two constraints are called {name!r}; give each its own name")
        self._constraints.append((name, residual))

    def _turn(self, body: Body) -> Expr:
        """Rotation of a body, or a complaint where there is none."""
        if len(body.coordinates) != 3:
            raise ModelError(f"mechanism: {body.name!r} cannot turn; a moment or rotation needs a rigid body")
        return body.coordinates[2]

    def spring_damper(self, name: str, start: Point, end: Point, law: Callable, *, across: Expr | float = 0) -> None:
        """Element between two points; `law(length, rate)` gives its push, compression positive.

        `across` is a constant distance of the two points normal to the plane: it counts in the length, and a
        mirrored pair of such elements pushes in the plane alone. Without it the two points must not meet: the
        direction of the push is undefined at length 0.
        """
        dx, dz = end.x - start.x, end.z - start.z
        length = sp.sqrt(dx**2 + dz**2 + sp.sympify(across) ** 2)
        rate = (dx * self.rate(dx) + dz * self.rate(dz)) / length
        push = law(length, rate)
        self._works.append((push * dx / length, dx))
        self._works.append((push * dz / length, dz))
        self._outputs[f"{name}_length"] = length
        self._outputs[f"{name}_rate"] = rate
        self._outputs[f"{name}_force"] = push

    def force(self, point: Point, fx: Expr | float, fz: Expr | float) -> None:
        """External force on a point."""
        self._works.append((fx, point.x))
        self._works.append((fz, point.z))

    def couple(self, body: Body, moment: Expr | float, reaction: Body | None = None) -> None:
        """Moment on a body about +y, N m; external, or reacted by the body `reaction`."""
        self._works.append((moment, self._turn(body)))
        if reaction is not None:
            self._works.append((-moment, self._turn(reaction)))

    def spin(self, name: str, body: Body, inertia: float, rotor_inertia: float = 0) -> Spin:
        """Add a wheel (pair) on `body`: `inertia` turns in space, `rotor_inertia` with the spin alone.

        Raises
        ------
        ModelError
            The name is taken, or `body` is a particle.
        """
        if any(other.name == name for other in self._spins):
            raise ModelError(f"mechanism: two spins are called {name!r}; give each its own name")
        if body is not self.ground:
            self._turn(body)
        speed = sp.Symbol(f"{name}_rate", real=True)
        spin = Spin(name, body, sp.sympify(inertia), sp.sympify(rotor_inertia), speed)
        self._spins.append(spin)
        return spin

    def torque(self, spin: Spin, moment: float) -> None:
        """Torque between the wheel and the body that carries it, positive driving forward."""
        self._works.append((moment, spin))

    def contact_moment(self, spin: Spin, moment: float) -> None:
        """External moment on the wheel, about +y: it works on the spin in space."""
        self._works.extend((moment, turn) for turn in spin.body.coordinates[2:])
        self._works.append((moment, spin))

    def gear(self, driven: Spin, driver: Spin, ratio: float) -> None:
        """Tie two spins: ``driven = ratio * driver``.

        Raises
        ------
        ModelError
            A spin is geared to itself.
        """
        if driven is driver:
            raise ModelError(f"mechanism: spin {driven.name!r} is geared to itself")
        self._gears.append((driven, driver, ratio))

    def output(self, name: str, expression: Expr) -> None:
        """Remember an expression under a name, for kernels that report it."""
        self._outputs[name] = sp.sympify(expression)

    # expressions -------------------------------------------------------------------------

    @property
    def coordinates(self) -> tuple[Expr, ...]:
        """All coordinates, body by body."""
        return tuple(c for body in self._bodies for c in body.coordinates)

    @property
    def speeds(self) -> tuple[Expr, ...]:
        """All speeds: those of the coordinates, then the spins."""
        return tuple(s for body in self._bodies for s in body.speeds) + tuple(s.speed for s in self._spins)

    def rate(self, expression: Expr) -> Expr:
        """Time derivative of an expression of coordinates and time."""
        rate = sp.diff(expression, self.time)
        for coordinate, speed in self._moving_pairs():
            if expression.has(coordinate):
                rate += sp.diff(expression, coordinate) * speed
        return rate

    def equations(self) -> Equations:
        """Derive the equations of motion.

        Returns
        -------
        Equations

        Raises
        ------
        ModelError
            Nothing can move.
        """
        speeds = self.speeds
        if not speeds:
            raise ModelError("mechanism: nothing can move; add a body, a particle or a spin")
        index = {speed: k for k, speed in enumerate(speeds)}
        n = len(self._constraints)
        jacobian = sp.zeros(n, len(speeds))
        for i, (_, constraint) in enumerate(self._constraints):
            for coordinate, speed in self._moving_pairs():
                jacobian[i, index[speed]] = constraint.slope(coordinate)
        constraints = [constraint for _, constraint in self._constraints]
        residuals = sp.Matrix([c.value() for c in constraints])
        residual_rate = sp.Matrix([c.slope(self.time) for c in constraints])
        gamma = sp.Matrix([-c.second_rate(self.rate) for c in constraints])
        return Equations(
            coordinates=self.coordinates,
            speeds=speeds,
            constraint_names=tuple(name for name, _ in self._constraints),
            time=self.time,
            mass_matrix=self._mass_matrix(index),
            forces=self._forces(index),
            residuals=residuals,
            constraint_jacobian=jacobian,
            residual_rate=residual_rate,
            gamma=gamma,
            gearing=self._gear_rows(index),
            outputs=dict(self._outputs),
        )

    def _moving_pairs(self) -> list[tuple[Expr, Expr]]:
        return [pair for body in self._bodies for pair in zip(body.coordinates, body.speeds, strict=True)]

    def _mass_matrix(self, index: dict[Expr, int]) -> Matrix:
        mass = sp.zeros(len(index))
        for body in self._bodies:
            values = (body.mass, body.mass, body.inertia)
            for speed, value in zip(body.speeds, values, strict=False):
                mass[index[speed], index[speed]] += value
        for spin in self._spins:
            # The wheel turns in space with its carrier and on it; on the ground there is no carrier.
            turning = [index[speed] for speed in (*spin.body.speeds[2:], spin.speed)]
            for i in turning:
                for j in turning:
                    mass[i, j] += spin.inertia
            mass[turning[-1], turning[-1]] += spin.rotor_inertia
        return mass

    def _forces(self, index: dict[Expr, int]) -> Matrix:
        forces = sp.zeros(len(index), 1)
        for body in self._bodies:
            for speed, gravity in zip(body.speeds[:2], self._gravity, strict=True):
                forces[index[speed]] += body.mass * gravity
        for force, along in self._works:
            if isinstance(along, Spin):
                forces[index[along.speed]] += force
                continue
            for coordinate, speed in self._moving_pairs():
                if along.has(coordinate):
                    forces[index[speed]] += force * sp.diff(along, coordinate)
        return forces

    def _gear_rows(self, index: dict[Expr, int]) -> Matrix:
        rows = sp.zeros(len(self._gears), len(index))
        for i, (driven, driver, ratio) in enumerate(self._gears):
            rows[i, index[driven.speed]] = 1
            rows[i, index[driver.speed]] = -ratio
        return rows
