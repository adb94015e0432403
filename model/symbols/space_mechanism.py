"""A small builder of mechanisms in space at rest: bodies, points, rods, springs along lines, couples, wheels on a plane.

Frame (ISO 8855): x forward, y left, z normal to the plane; rotations follow the right hand. `balance()` gives the
force and moment (about the body's origin) on every body, the residuals of the rods, and the slopes of all of them.

What keeps the equations short: the arms of points are intermediates whose slope by a rotation is axis x arm, and per
pair of bodies only ``sum k``, ``sum k r_e``, ``sum k r_s`` and ``sum k r_e r_s^T`` are formed, k the force of a line
element over its length, r_s and r_e the arms of its ends. With D from origin to origin they hold the wrench of the
pair, ``F = D sum k + sum k r_e - sum k r_s``, and its slopes but for one dyad a spring.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import sympy as sp

from noseload.model.errors import ModelError

from .codegen import Tape

if TYPE_CHECKING:
    from sympy import Expr


AXES = "xyz"
ZERO, ONE = sp.Integer(0), sp.Integer(1)


@dataclass(frozen=True, eq=False)
class Body:
    """A rigid body: origin at its centre of gravity, rotation from body to frame, and how coordinates move it.

    `moves` holds a pair (coordinate, (translation, rotation)) each: unit twists of the body.
    """

    name: str
    origin: tuple
    rotation: tuple
    moves: tuple


@dataclass(frozen=True)
class Point:
    """A point fixed in a body: its arm from the body's origin, in the frame."""

    body: Body
    arm: tuple


@dataclass(frozen=True)
class Balance:
    """What holds at rest.

    Attributes
    ----------
    rows : tuple of expressions
        Forces (3) and moments (3) on each body in order, then residuals of the rods, m.
    slopes : tuple of tuples
        Derivatives of the rows by `columns`.
    columns : tuple of Symbol
    """

    rows: tuple
    slopes: tuple
    columns: tuple


class _Pair:
    """Sums over the line elements between two bodies."""

    def __init__(self) -> None:
        self.force: list = []
        self.start: list = [[], [], []]
        self.end: list = [[], [], []]
        self.dyad: list = [[[] for _ in AXES] for _ in AXES]


class SpaceMechanism:
    """Collects parts; `balance()` gives what holds at rest.

    Parameters
    ----------
    tape : Tape, optional
        On which the intermediates are written.
    """

    def __init__(self, tape: Tape | None = None) -> None:
        self.tape = tape or Tape()
        self.ground = Body("ground", (ZERO,) * 3, ((ONE, ZERO, ZERO), (ZERO, ONE, ZERO), (ZERO, ZERO, ONE)), ())
        self._bodies: list = []
        self._pairs: dict = {}
        self._springs: list = []
        self._rods: list = []
        self._wrenches: dict = {}
        self._slopes: dict = {}
        self._unknowns: list = []

    # bodies and points ---------------------------------------------------------------------

    def body(
        self, name: str, origin: list[Expr] | tuple[Expr, Expr, Expr], turns: tuple[tuple[str, Expr], ...]
    ) -> Body:
        """Add a body.

        Parameters
        ----------
        origin : triple of expressions
            Coordinates are those that are symbols.
        turns : sequence of (axis, Symbol)
            Rotations about 'x', 'y', 'z' of the axes turned so far, first to last.

        Raises
        ------
        ModelError
            The name is taken.
        """
        if any(other.name == name for other in self._bodies):
            raise ModelError(f"mechanism: two bodies are called {name!r}; give each its own name")
        rotation, moves = self.ground.rotation, []
        for k, place in enumerate(origin):
            if isinstance(place, sp.Symbol):
                moves.append((place, (_unit(k), (ZERO,) * 3)))
        for letter, angle in turns:
            axis = AXES.index(letter)
            moves.append((angle, ((ZERO,) * 3, tuple(row[axis] for row in rotation))))
            rotation = self._turned(rotation, axis, angle)
        body = Body(name, tuple(sp.sympify(c) for c in origin), rotation, tuple(moves))
        self._bodies.append(body)
        return body

    def _turned(
        self,
        rotation: tuple[tuple[Expr, Expr, Expr], tuple[Expr, Expr, Expr], tuple[Expr, Expr, Expr]],
        axis: int,
        angle: Expr,
    ) -> tuple:
        """Rotation with one more turn behind it: the column of the axis stays."""
        one, two = (axis + 1) % 3, (axis + 2) % 3
        cosine, sine = self.tape.assign(sp.cos(angle)), self.tape.assign(sp.sin(angle))
        rows = []
        for row in rotation:
            turned = [ZERO] * 3
            turned[axis] = row[axis]
            turned[one] = self.tape.assign(row[one] * cosine + row[two] * sine)
            turned[two] = self.tape.assign(row[two] * cosine - row[one] * sine)
            rows.append(tuple(turned))
        return tuple(rows)

    def point(self, body: Body, x: Expr, y: Expr, z: Expr) -> Point:
        """Point at (x, y, z) in the body, m."""
        place = [sp.sympify(value) for value in (x, y, z)]
        arm = (self.tape.assign(sp.Add(*(a * b for a, b in zip(row, place, strict=True)))) for row in body.rotation)
        return Point(body, tuple(arm))

    # line elements -------------------------------------------------------------------------

    def _line(self, start: Point, end: Point) -> tuple[Expr, Expr, Expr]:
        """Distance vector from start to end."""
        places = zip(end.body.origin, end.arm, start.body.origin, start.arm, strict=True)
        return tuple(self.tape.assign(b + d - a - c) for b, d, a, c in places)

    def _add_line(self, start: Point, end: Point, pull: Expr) -> None:
        """A force ``pull`` times distance on `end`, its opposite on `start`."""
        pair = self._pairs.setdefault((start.body, end.body), _Pair())
        pair.force.append(pull)
        for i in range(3):
            weighted = self.tape.assign(pull * end.arm[i])
            pair.end[i].append(weighted)
            pair.start[i].append(self.tape.assign(pull * start.arm[i]))
            for j in range(3):
                pair.dyad[i][j].append(weighted * start.arm[j])

    def _direction(self, start: Point, end: Point, line: tuple[Expr, Expr, Expr]) -> dict[Body, tuple[Expr, ...]]:
        """How the half square of the distance follows the twists of both bodies: {body: (6)}."""
        found = {}
        for point, sign in ((start, -1), (end, 1)):
            arm = self.cross(point.arm, line)
            found[point.body] = tuple(sign * c for c in (*line, *arm))
        return found

    def rod(self, name: str, start: Point, end: Point, length: Expr, tension: Expr) -> None:
        """Massless rod; residual ``(l^2 - d.d)/(2 l)``, so `tension` (an unknown) is its tension.

        Raises
        ------
        ModelError
            Both ends are on one body.
        """
        self._check_ends("rod", name, start, end)
        line = self._line(start, end)
        inverse = self.tape.assign(1 / length)
        residual = self.tape.assign((length - self._dot(line, line) * inverse) / 2)
        self._add_line(start, end, self.tape.assign(-tension * inverse))
        self._rods.append((residual, inverse, self._direction(start, end, line), tension))
        self.unknown(tension)

    def spring(self, name: str, start: Point, end: Point, law: Callable) -> tuple[Expr, Expr]:
        """Push along the line between two points, ``law(length)`` in N, compression positive; (length, push).

        Raises
        ------
        ModelError
            Both ends are on one body.
        """
        self._check_ends("spring", name, start, end)
        line = self._line(start, end)
        square = self._dot(line, line)
        length = self.tape.assign(sp.sqrt(square))
        push = law(length)
        slope = self.tape.assign(sp.diff(push, length))
        push = self.tape.assign(push)
        pull = self.tape.assign(push / length)
        self._add_line(start, end, pull)
        self._springs.append((self.tape.assign((slope - pull) / square), self._direction(start, end, line)))
        return length, push

    def _check_ends(self, kind: str, name: str, start: Point, end: Point) -> None:
        if start.body is end.body:
            raise ModelError(f"mechanism: {kind} {name!r} joins body {start.body.name!r} to itself; join two bodies")

    # wrenches by formula -------------------------------------------------------------------

    def unknown(self, symbol: Expr) -> None:
        """A symbol that is solved for beside the coordinates: rods' tensions, grip used."""
        if symbol not in self._unknowns:
            self._unknowns.append(symbol)

    def wrench(self, body: Body, components: list[Expr], *, seeds: list[Point] | tuple = ()) -> None:
        """Force and moment about the origin on a body, by formula; slopes are taken along the tape.

        Parameters
        ----------
        components : sequence of 6 expressions
        seeds : sequence of Point
            Their arms turn with their bodies, whatever they were computed from.
        """
        variables = self.variables()
        outputs, slopes = self.slopes(components, seeds)
        own = self._wrenches.setdefault(body, [[] for _ in range(6)])
        for k, (output, row) in enumerate(zip(outputs, slopes, strict=True)):
            own[k].append(output)
            for variable, slope in zip(variables, row, strict=True):
                self._add(body, k, variable, slope)

    def variables(self) -> list[Expr]:
        """Coordinates and unknowns so far."""
        return [coordinate for each in self._bodies for coordinate, _ in each.moves] + self._unknowns

    def slopes(self, expressions: list[Expr], seeds: list[Point] | tuple = ()) -> tuple[list[Expr], list[list[Expr]]]:
        """Expressions as intermediates, and their derivatives by `variables`; `seeds` are points that turn with bodies."""
        known: dict = {}
        for point in seeds:
            for coordinate, (_, axis) in point.body.moves:
                for component, slope in zip(point.arm, self.cross(axis, point.arm), strict=True):
                    known.setdefault(component, {})[coordinate] = slope
        outputs = [self.tape.assign(expression) for expression in expressions]
        return outputs, self.tape.derivatives(outputs, self.variables(), seeds=known)

    def applied(self, body: Body) -> tuple[list[Expr], dict[tuple[int, Expr], Expr]]:
        """Wrench (6) that formulas have put on a body so far, and its slopes by row and variable."""
        rows = [self.tape.assign(sp.Add(*terms)) for terms in self._wrenches[body]]
        found = {
            (row, variable): self.tape.assign(sp.Add(*slopes))
            for (other, row, variable), slopes in self._slopes.items()
            if other is body
        }
        return rows, found

    def couple(self, body: Body, axis: tuple[Expr, Expr, Expr], moment: Expr, reaction: Body | None = None) -> None:
        """Moment on a body about an axis of the frame; reacted by the body `reaction` where one is given."""
        components = [ZERO] * 3 + [moment * c for c in axis]
        self.wrench(body, components)
        if reaction is not None:
            self.wrench(reaction, [-c for c in components])

    def _add(self, body: Body, row: int, variable: Expr, slope: Expr) -> None:
        if slope != 0:
            self._slopes.setdefault((body, row, variable), []).append(slope)

    # the whole -----------------------------------------------------------------------------

    def balance(self, further: tuple = ()) -> Balance:
        """All rows and their slopes by the coordinates, the unknowns and `further` symbols."""
        for (start, end), pair in self._pairs.items():
            self._add_pair(start, end, pair)
        for dyad, direction in self._springs:
            self._add_dyad(dyad, direction)
        coordinates = [coordinate for body in self._bodies for coordinate, _ in body.moves]
        columns = (*coordinates, *self._unknowns, *further)
        residuals = []
        for residual, inverse, direction, tension in self._rods:
            self._add_rod(residual, inverse, direction, tension)
            residuals.append(residual)
        places = [(body, k) for body in self._bodies for k in range(6)] + [(residual, 0) for residual in residuals]
        rows = [self.tape.assign(sp.Add(*self._wrenches[body][k])) for body in self._bodies for k in range(6)]
        slopes = [
            tuple(self.tape.assign(sp.Add(*self._slopes.get((*place, column), ()))) for column in columns)
            for place in places
        ]
        return Balance((*rows, *residuals), tuple(slopes), columns)

    def _add_pair(self, start: Body, end: Body, pair: _Pair) -> None:
        force = self.tape.assign(sp.Add(*pair.force))
        at_start, at_end = ([self.tape.assign(sp.Add(*terms)) for terms in side] for side in (pair.start, pair.end))
        dyad = [[self.tape.assign(sp.Add(*terms)) for terms in row] for row in pair.dyad]
        gap = [self.tape.assign(b - a) for a, b in zip(start.origin, end.origin, strict=True)]
        pull = [self.tape.assign(force * gap[i] + at_end[i] - at_start[i]) for i in range(3)]
        across = [dyad[1][2] - dyad[2][1], dyad[2][0] - dyad[0][2], dyad[0][1] - dyad[1][0]]
        blocks = {
            (start, "translation"): _scaled(force, -1),
            (end, "translation"): _scaled(force, 1),
            (start, "rotation"): _skew(at_start),
            (end, "rotation"): [[-c for c in row] for row in _skew(at_end)],
        }
        for body, sign, arms, own in ((end, 1, at_end, 1), (start, -1, at_start, -1)):
            if body is self.ground:
                continue
            moment = self.cross(arms, gap)
            wrench = self._wrenches.setdefault(body, [[] for _ in range(6)])
            for i in range(3):
                wrench[i].append(sign * pull[i])
                wrench[3 + i].append(sign * (moment[i] - across[i]))
            turning = self._turning(arms, gap, dyad, own)
            for other in (start, end):
                self._multiply(body, 0, sign, blocks[other, "translation"], blocks[other, "rotation"], other)
                lever = _skew(arms) if other is end else [[-c for c in row] for row in _skew(arms)]
                self._multiply(body, 3, sign, lever, turning[other is body], other)

    def _turning(
        self, arms: list[Expr], gap: list[Expr], dyad: list[list[Expr]], own: int
    ) -> tuple[list[list[Expr]], list[list[Expr]]]:
        """Slopes of the moment ``sum r x k d`` by the rotation of the other body, and of its own; see the module.

        For the end, ``by own = S D^T - T - (S.D - tr T) I`` and ``by other = T^T - tr T I`` with S = sum k r_e,
        T = sum k r_e r_s^T; for the start the same with the parts exchanged and signs as they fall.
        """
        trace = self.tape.assign(dyad[0][0] + dyad[1][1] + dyad[2][2])
        product = self._dot(arms, gap)
        by_own: list = []
        by_other: list = []
        for i in range(3):
            by_own.append([])
            by_other.append([])
            for j in range(3):
                straight, crossed = (dyad[i][j], dyad[j][i]) if own > 0 else (dyad[j][i], dyad[i][j])
                diagonal = ONE if i == j else ZERO
                by_own[i].append(
                    self.tape.assign(arms[i] * gap[j] - own * straight - diagonal * (product - own * trace))
                )
                by_other[i].append(self.tape.assign(own * (crossed - diagonal * trace)))
        return by_other, by_own

    def _multiply(
        self, body: Body, first: int, sign: int, translation: list[list[Expr]], rotation: list[list[Expr]], moved: Body
    ) -> None:
        """Add the slopes of three rows of a body by the coordinates of another one."""
        for coordinate, (shift, axis) in moved.moves:
            for i in range(3):
                terms = [translation[i][j] * shift[j] + rotation[i][j] * axis[j] for j in range(3)]
                self._add(body, first + i, coordinate, self.tape.assign(sign * sp.Add(*terms)))

    def _along(self, direction: dict[Body, tuple[Expr, ...]]) -> list[Expr]:
        """Slope of the half square of a distance by every coordinate."""
        found = []
        for body, components in direction.items():
            for coordinate, (shift, axis) in body.moves:
                terms = [c * s for c, s in zip(components, (*shift, *axis), strict=True)]
                found.append((coordinate, self.tape.assign(sp.Add(*terms))))
        return found

    def _add_dyad(self, dyad: Expr, direction: dict[Body, tuple[Expr, ...]]) -> None:
        slopes = [(coordinate, self.tape.assign(dyad * slope)) for coordinate, slope in self._along(direction)]
        for body, components in direction.items():
            for k, component in enumerate(components if body is not self.ground else ()):
                for coordinate, slope in slopes:
                    self._add(body, k, coordinate, slope * component)

    def _add_rod(self, residual: Expr, inverse: Expr, direction: dict[Body, tuple[Expr, ...]], tension: Expr) -> None:
        for coordinate, slope in self._along(direction):
            self._add(residual, 0, coordinate, -slope * inverse)
        for body, components in direction.items():
            for k, component in enumerate(components if body is not self.ground else ()):
                self._add(body, k, tension, -component * inverse)

    def cross(
        self, a: list[Expr] | tuple[Expr, Expr, Expr], b: list[Expr] | tuple[Expr, Expr, Expr]
    ) -> tuple[Expr, Expr, Expr]:
        """Vector product of two triples."""
        pairs = ((1, 2), (2, 0), (0, 1))
        return tuple(self.tape.assign(a[i] * b[j] - a[j] * b[i]) for i, j in pairs)

    def _dot(self, a: list[Expr] | tuple[Expr, Expr, Expr], b: list[Expr] | tuple[Expr, Expr, Expr]) -> Expr:
        return self.tape.assign(sp.Add(*(x * y for x, y in zip(a, b, strict=True))))


def _unit(k: int) -> tuple[Expr, Expr, Expr]:
    return tuple(ONE if i == k else ZERO for i in range(3))


def _scaled(value: Expr, sign: int) -> list[list[Expr]]:
    return [[sign * value if i == j else ZERO for j in range(3)] for i in range(3)]


def _skew(v: list[Expr]) -> list[list[Expr]]:
    """Matrix of ``v x``."""
    return [[ZERO, -v[2], v[1]], [v[2], ZERO, -v[0]], [-v[1], v[0], ZERO]]
