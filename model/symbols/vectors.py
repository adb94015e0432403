"""Vectors of three expressions on a tape: what moving bodies in space are written with."""

import sympy as sp

ZERO = sp.Integer(0)


class Vectors:
    """Sums and products of vectors (tuples of 3) whose components become intermediates of a tape."""

    def __init__(self, tape):
        self.tape = tape

    def add(self, *vectors):
        """Sum of vectors."""
        return tuple(self.tape.assign(sp.Add(*components)) for components in zip(*vectors, strict=True))

    def less(self, first, second):
        """First less second."""
        return tuple(self.tape.assign(a - b) for a, b in zip(first, second, strict=True))

    def times(self, number, vector):
        """A number times a vector."""
        return tuple(self.tape.assign(number * component) for component in vector)

    def dot(self, first, second):
        """Scalar product."""
        return self.tape.assign(sp.Add(*(a * b for a, b in zip(first, second, strict=True))))

    def cross(self, first, second):
        """Vector product."""
        pairs = ((1, 2), (2, 0), (0, 1))
        return tuple(self.tape.assign(first[i] * second[j] - first[j] * second[i]) for i, j in pairs)

    def mix(self, numbers, vectors):
        """Sum of numbers times vectors."""
        rows = zip(*vectors, strict=True)
        return tuple(
            self.tape.assign(sp.Add(*(number * part for number, part in zip(numbers, row, strict=True))))
            for row in rows
        )
