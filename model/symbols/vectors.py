"""Vectors of three expressions on a tape: what moving bodies in space are written with."""

from __future__ import annotations

from collections.abc import Sequence
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
