"""Vectors of three expressions on a tape, and small symmetric systems: what moving bodies are written with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import sympy as sp

if TYPE_CHECKING:
    from sympy import Expr

    from noseload.model.symbols.codegen import Tape


ZERO = sp.Integer(0)


class Vectors:
    """Sums and products of vectors (tuples of 3) whose components become intermediates of a tape."""

    def __init__(self, tape: Tape) -> None:
        self.tape = tape

    def add(self, *vectors: tuple[Expr, Expr, Expr]) -> tuple[Expr, Expr, Expr]:
        """Sum of vectors."""
        return tuple(self.tape.assign(sp.Add(*components)) for components in zip(*vectors, strict=True))

    def less(
        self, first: list[Expr] | tuple[Expr, Expr, Expr], second: tuple[Expr, Expr, Expr]
    ) -> tuple[Expr, Expr, Expr]:
        """First less second."""
        return tuple(self.tape.assign(a - b) for a, b in zip(first, second, strict=True))

    def times(self, number: Expr, vector: list[Expr] | tuple[Expr, Expr, Expr]) -> tuple[Expr, Expr, Expr]:
        """A number times a vector."""
        return tuple(self.tape.assign(number * component) for component in vector)

    def dot(self, first: Sequence[Expr], second: tuple[Expr, Expr, Expr]) -> Expr:
        """Scalar product."""
        return self.tape.assign(sp.Add(*(a * b for a, b in zip(first, second, strict=True))))

    def cross(self, first: tuple[Expr, Expr, Expr], second: tuple[Expr, Expr, Expr]) -> tuple[Expr, Expr, Expr]:
        """Vector product."""
        pairs = ((1, 2), (2, 0), (0, 1))
        return tuple(self.tape.assign(first[i] * second[j] - first[j] * second[i]) for i, j in pairs)

    def mix(
        self,
        numbers: Sequence[Expr],
        vectors: list[tuple[Expr, Expr, Expr]] | tuple[tuple[Expr, Expr, Expr], tuple[Expr, Expr, Expr]],
    ) -> tuple[Expr, Expr, Expr]:
        """Sum of numbers times vectors."""
        rows = zip(*vectors, strict=True)
        return tuple(
            self.tape.assign(sp.Add(*(number * part for number, part in zip(numbers, row, strict=True))))
            for row in rows
        )


def cholesky(tape: Tape, entry: Callable, size: int) -> list[list[Expr]]:
    """Unrolled Cholesky factor, rows of the lower triangle; the diagonal is kept as its reciprocal."""
    factor: list[list] = []
    for i in range(size):
        row: list = []
        for j in range(i + 1):
            above = factor[j] if j < i else row
            inner = tape.assign(entry(i, j) - sp.Add(*(row[k] * above[k] for k in range(j))))
            row.append(tape.assign(1 / sp.sqrt(inner)) if i == j else tape.assign(inner * factor[j][j]))
        factor.append(row)
    return factor


def forward(tape: Tape, factor: list[list[Expr]], right: list[Expr]) -> list[Expr]:
    """Solve ``L x = right``."""
    x: list = []
    for i, value in enumerate(right):
        rest = sp.Add(*(factor[i][k] * x[k] for k in range(i) if x[k] != 0))
        x.append(tape.assign((value - rest) * factor[i][i]))
    return x


def backward(tape: Tape, factor: list[list[Expr]], right: list[Expr]) -> list[Expr]:
    """Solve ``L^T x = right``."""
    x = [ZERO] * len(right)
    for i in reversed(range(len(right))):
        rest = sp.Add(*(factor[k][i] * x[k] for k in range(i + 1, len(right))))
        x[i] = tape.assign((right[i] - rest) * factor[i][i])
    return x
