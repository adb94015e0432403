"""Tape of the moving vehicle in the side view: its equations with the axles' inertia eliminated, up to accelerations."""

from __future__ import annotations

from collections.abc import Sequence

import sympy as sp
from sympy import Expr, Symbol

from .assembly import assemble, lever_of, parameter, slipping_traction
from .codegen import Tape
from .vectors import backward, cholesky, forward

SPINS = ("rear_theta", "front_theta", "rear_spin", "front_spin")
"""Speeds that wheels and gears couple, in the order of the mobility block."""


def mobility_symbol(a: str, b: str) -> Symbol:
    """Entry of the inverse inertia of housings and spins, gears included."""
    first, second = sorted((SPINS.index(a), SPINS.index(b)))
    return parameter(f"mobility_{SPINS[first]}_{SPINS[second]}")


class MotionTape:
    """Tape of the moving vehicle up to its accelerations; kernels take what they report from it."""

    def __init__(self) -> None:
        self.assembly = assemble(traction=slipping_traction, moving=True)
        self.equations = eq = self.assembly.mechanism.equations()
        self.tape = Tape()
        names = list(eq.outputs)
        shape = eq.constraint_jacobian.shape
        flat = self.tape.assign_all(
            [*eq.forces, *eq.gamma, *eq.constraint_jacobian, *eq.residuals, *eq.outputs.values()]
        )
        n, m = len(eq.speeds), shape[0]
        self.forces, flat = flat[:n], flat[n:]
        self.gamma, flat = flat[:m], flat[m:]
        self.jacobian, flat = sp.Matrix(m, n, flat[: m * n]), flat[m * n :]
        self.residuals, flat = flat[:m], flat[m:]
        self.outputs = dict(zip(names, flat, strict=True))
        self.speeds = [str(s).removesuffix("_rate") for s in eq.speeds]
        self.mobile_rows = [self._apply_mobility(list(self.jacobian[i, :])) for i in range(m)]
        self._factor = cholesky(self.tape, self._entry, m)

    def _apply_mobility(self, vector: Sequence[Expr]) -> list[Expr]:
        """Inverse mass matrix times a vector (gears included)."""
        result = []
        for k, name in enumerate(self.speeds):
            if name in SPINS:
                terms = [mobility_symbol(name, other) * vector[self.speeds.index(other)] for other in SPINS]
                result.append(self.tape.assign(sp.Add(*terms)))
            else:
                body = name.split("_")[0]
                inertia = "chassis_inertia" if name == "chassis_theta" else f"{body}_mass"
                result.append(self.tape.assign(vector[k] / parameter(inertia)))
        return result

    def _entry(self, i: int, j: int) -> Expr:
        """Entry of G M^-1 G^T."""
        return sum(a * b for a, b in zip(self.mobile_rows[i], self.jacobian[j, :], strict=True))

    def multipliers(self, right_side: list[Expr]) -> list[Expr]:
        """Solve (G M^-1 G^T) x = right_side (J. H. Wilkinson, 1968; any text)."""
        return backward(self.tape, self._factor, forward(self.tape, self._factor, right_side))

    def dot(self, row: Sequence[Expr], vector: Sequence[Expr]) -> Expr:
        return self.tape.assign(sum(a * b for a, b in zip(row, vector, strict=True)))

    def constrained(self, vector: Sequence[Expr], target: Sequence[Expr]) -> tuple[list[Expr], list[Expr]]:
        """Acceleration M^-1 (vector + G^T lambda) with G u' = target; returns (u', lambda)."""
        free = self._apply_mobility(vector)
        rows = [list(self.jacobian[i, :]) for i in range(len(target))]
        lam = self.multipliers([t - self.dot(row, free) for t, row in zip(target, rows, strict=True)])
        result = []
        for k in range(len(free)):
            result.append(self.tape.assign(free[k] + sum(lam[i] * self.mobile_rows[i][k] for i in range(len(lam)))))
        return result, lam

    def slip_rows(self) -> list[list[Expr]]:
        """Rows d(slip)/d(speeds) at fixed contact scale and arm, rear then front."""
        rows = []
        for axle in self.assembly.axles:
            arm, travel = lever_of(axle), self.assembly.mechanism.rate(axle.wheel_centre.x)
            spin = axle.wheels.absolute_speed
            rows.append([self.tape.assign(sp.diff(spin, s) * arm - sp.diff(travel, s)) for s in self.equations.speeds])
        return rows
