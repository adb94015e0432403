"""Sets of orders in which two treatments can follow one another, and fair draws from them.

An order is a row of 0 and 1 (first and second treatment) in time; a test is exact only over the set
its order was drawn from, so set and draw live side by side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product
from typing import Protocol

import numpy as np

KINDS = ("balanced_pairs", "pairs", "mirrored", "free")
"""Kinds of order, see `Design`."""

LARGEST_LISTED_SET = 200_000
"""Sets up to this size are listed whole (40 installations in balanced pairs); beyond, they are sampled."""


class Source(Protocol):
    """Source of random choices: `random.SystemRandom` for a real draw, `random.Random` in tests."""

    def randrange(self, stop: int, /) -> int: ...

    def sample(self, population: range, k: int) -> list[int]: ...


@dataclass(frozen=True)
class Design:
    """A set of equally likely orders of 2 n installations, n of each treatment.

    Parameters
    ----------
    kind : str
        ``pairs``: every two neighbours hold both treatments, 2**n orders.
        ``balanced_pairs``: pairs, and as many start with the one as with the other (one apart for odd
        n): C(n, n/2) orders; a straight drift cancels whole, in the estimate and in the test.
        ``mirrored``: blocks of four, ABBA or BAAB, 2**(n/2) orders, n even.
        ``free``: any order with n of each, C(2 n, n); a straight drift is fitted beside the difference.
    pairs : int
        n, at least 1.

    Raises
    ------
    ValueError
        Unknown kind, n below 1, or an odd n with ``mirrored``.
    """

    kind: str
    pairs: int

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"order kind '{self.kind}' is unknown; choose one of {', '.join(KINDS)}")
        if self.pairs < 1:
            raise ValueError(f"a design needs at least 1 pair of installations, not {self.pairs}")
        if self.kind == "mirrored" and self.pairs % 2:
            raise ValueError(f"mirrored blocks hold 4 installations: {self.pairs} pairs is not even")

    @property
    def installations(self) -> int:
        """Number of installations, 2 n."""
        return 2 * self.pairs

    @property
    def fits_drift(self) -> bool:
        """True where a straight drift is fitted because the set of orders does not cancel it."""
        return self.kind == "free"

    @property
    def blocks(self) -> np.ndarray:
        """Block of each installation, shape (2 n,), integers from 0."""
        size = {"pairs": 2, "balanced_pairs": 2, "mirrored": 4, "free": self.installations}[self.kind]
        return np.arange(self.installations) // size

    def count(self) -> int:
        """Number of equally likely orders."""
        n = self.pairs
        if self.kind == "pairs":
            return 2**n
        if self.kind == "mirrored":
            return 2 ** (n // 2)
        if self.kind == "free":
            return math.comb(2 * n, n)
        return math.comb(n, n // 2) * (1 + n % 2)

    def smallest_p(self) -> float:
        """Smallest two-sided p-value that the design can reach: an order and its mirror image."""
        return min(1.0, 2.0 / self.count())

    def orders(self) -> np.ndarray:
        """All orders, shape (count, 2 n), int8 of 0 and 1.

        Raises
        ------
        ValueError
            The set is larger than `LARGEST_LISTED_SET`; sample it instead.
        """
        if self.count() > LARGEST_LISTED_SET:
            raise ValueError(f"{self.count()} orders are too many to list (at most {LARGEST_LISTED_SET})")
        return np.array(list(self._list()), dtype=np.int8)

    def _list(self) -> Iterator[tuple[int, ...]]:
        n = self.pairs
        if self.kind == "free":
            for ones in combinations(range(2 * n), n):
                yield tuple(int(i in ones) for i in range(2 * n))
            return
        if self.kind == "balanced_pairs":
            sizes = sorted({n // 2, n - n // 2})
            chosen = (set(ones) for size in sizes for ones in combinations(range(n), size))
            firsts: Iterator[tuple[int, ...]] = (tuple(int(i in ones) for i in range(n)) for ones in chosen)
        else:
            firsts = product((0, 1), repeat=n if self.kind == "pairs" else n // 2)
        for first in firsts:
            yield self._spell(first)

    def _spell(self, first: tuple[int, ...]) -> tuple[int, ...]:
        """Order from the treatment each block starts with."""
        if self.kind == "mirrored":
            return tuple(value for f in first for value in (f, 1 - f, 1 - f, f))
        return tuple(value for f in first for value in (f, 1 - f))

    def draw(self, source: Source) -> tuple[int, ...]:
        """One order, each of the set equally likely.

        Parameters
        ----------
        source : Source
            `random.SystemRandom()` for a trial that counts.

        Returns
        -------
        tuple of int, length 2 n
        """
        n = self.pairs
        if self.kind == "free":
            ones = set(source.sample(range(2 * n), n))
            return tuple(int(i in ones) for i in range(2 * n))
        if self.kind == "balanced_pairs":
            size = n // 2 + (source.randrange(2) if n % 2 else 0)
            ones = set(source.sample(range(n), size))
            return self._spell(tuple(int(i in ones) for i in range(n)))
        return self._spell(tuple(source.randrange(2) for _ in range(n if self.kind == "pairs" else n // 2)))

    def reference_is_whole(self) -> bool:
        """True where `reference` gives every order of the set."""
        return self.count() <= LARGEST_LISTED_SET

    def holds(self, order: tuple[int, ...]) -> bool:
        """True where `order` could have been drawn."""
        n = self.pairs
        if len(order) != 2 * n or sum(order) != n or not set(order) <= {0, 1}:
            return False
        if self.kind == "free":
            return True
        size = 4 if self.kind == "mirrored" else 2
        first = order[::size]
        if self._spell(first) != tuple(order):
            return False
        return self.kind != "balanced_pairs" or sum(first) in (n // 2, n - n // 2)

    def sample(self, size: int, rng: np.random.Generator) -> np.ndarray:
        """`size` orders drawn with replacement for numerical work, shape (size, 2 n), int8."""
        n = self.pairs
        if self.kind == "free":
            base = np.arange(2 * n) % 2
            return rng.permuted(np.tile(base, (size, 1)), axis=1).astype(np.int8)
        if self.kind == "balanced_pairs":
            base = np.tile(np.arange(n) % 2, (size, 1))
            if n % 2:
                base = base ^ rng.integers(0, 2, (size, 1))
            first = rng.permuted(base, axis=1)
        else:
            first = rng.integers(0, 2, (size, n if self.kind == "pairs" else n // 2))
        columns = (first, 1 - first, 1 - first, first) if self.kind == "mirrored" else (first, 1 - first)
        return np.stack(columns, axis=2).reshape(size, 2 * n).astype(np.int8)

    def reference(
        self,
        order: tuple[int, ...],
        rng: np.random.Generator,
        *,
        largest: int = LARGEST_LISTED_SET,
        sampled: int = 19_999,
    ) -> np.ndarray:
        """Orders to test `order` against: the whole set, or a sample of it that holds `order`.

        A test over a random sample that includes the order used is still exact.

        Parameters
        ----------
        order : tuple of int
            The order used.
        rng : numpy.random.Generator
            Used only for a sample.
        largest : int
            Largest set that is taken whole.
        sampled : int
            Number of orders sampled beside `order`.

        Returns
        -------
        ndarray of int8, shape (number, 2 n)
        """
        if self.count() <= largest:
            return self.orders()
        return np.vstack([np.array([order], dtype=np.int8), self.sample(sampled, rng)])
