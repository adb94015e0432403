"""Many small sparse systems of linear equations of one pattern, solved together along the last axis.

The order of pivots is chosen once, from a sample of the cases: among entries that are large enough in
every sampled case, the one that fills in least (H. M. Markowitz, *Management Science* 3, 1957; threshold
as in I. S. Duff, A. M. Erisman and J. K. Reid, *Direct Methods for Sparse Matrices*, ch. 5). Cases that
this order does not suit are solved one by one with partial pivoting, so it is safe for indefinite ones.
"""

import numpy as np
from numpy.typing import ArrayLike

SAMPLE = 32
PIVOT_SHARE = 0.1
"""Smallest pivot in the sample as a share of the largest entry in its column."""
LARGEST_MULTIPLIER = 1e3
"""A case with a larger multiplier has a pivot too small for it and is solved on its own."""
RELEARN_SHARE = 0.05
FEW = 200
"""Cases up to which LAPACK, one after the other, is faster than elimination along all of them: 100 times for one case."""


class BatchLinearSolver:
    """Solves ``A x = b`` for many cases; keeps the pivot order, the factors and work space between calls.

    Parameters
    ----------
    pattern : array_like of bool, shape (n, n)
        True where an entry of A can be other than zero.
    """

    def __init__(self, pattern: ArrayLike) -> None:
        self.pattern = np.array(pattern, dtype=bool)
        self.size = len(self.pattern)
        self._steps: list[tuple] | None = None
        self._taken: list[tuple] = []
        self._changed: list[tuple[int, int]] = []
        self._read: list[list[bool]] = []
        self._multipliers, self._limits = np.empty((0, 0)), np.empty((0, 1))
        self._product = np.empty(0)
        self._right = np.empty((self.size, 0))
        self._cells: list[list[np.ndarray | None]] = []
        self._own: dict[tuple[int, int], np.ndarray] = {}
        self._scales: np.ndarray | None = None
        self._few: np.ndarray | None = None
        self._alone: dict[int, np.ndarray] = {}

    def solve(self, matrix: np.ndarray, right_side: np.ndarray, row_scales: np.ndarray | None = None) -> np.ndarray:
        """Solve all cases.

        Parameters
        ----------
        matrix : ndarray, shape (n, n, cases)
            Must stay as it is while `solve_again` is used.
        right_side : ndarray, shape (n, cases)
        row_scales : ndarray, shape (n, cases), optional
            Size of each equation; makes rows comparable when pivots are chosen.

        Returns
        -------
        x : ndarray, shape (n, cases)
            Not a number where a matrix is singular or not finite.
        """
        self._scales, self._few = row_scales, None
        if right_side.shape[1] <= FEW:
            self._few = _stacked(matrix, row_scales)
            return _solve_few(self._few, right_side, row_scales)
        if self._steps is None:
            self._steps = _choose_steps(_sample(matrix, row_scales), self.pattern)
            self._take(self._steps, row_scales)
        if self._product.size != right_side.shape[1]:
            self._make_room(right_side.shape[1])
        with np.errstate(all="ignore"):
            self._right[:] = right_side
            pivots = self._eliminate(matrix)
            x = self._substitute()
            # An infinite entry is a multiplier, a pivot or makes an unknown infinite.
            sound = np.isfinite(pivots) & np.isfinite(x).all(axis=0)
            sound &= (self._multipliers <= self._limits).all(axis=0) & (self._multipliers >= -self._limits).all(axis=0)
        poor = np.flatnonzero(~sound)
        self._alone = {case: matrix[:, :, case].copy() for case in poor.tolist()}
        self._solve_alone(right_side, x)
        if poor.size > RELEARN_SHARE * x.shape[1]:
            self._steps = None
        return x

    def solve_again(self, right_side: np.ndarray) -> np.ndarray:
        """As the last `solve`, with its matrices and factors, for other right sides (n, cases)."""
        if self._few is not None:
            return _solve_few(self._few, right_side, self._scales)
        self._right[:] = right_side
        rows, product, factors = list(self._right), self._product, iter(self._multipliers)
        with np.errstate(all="ignore"):
            for i, _, below, _ in self._taken:
                for r in below:
                    np.multiply(next(factors), rows[i], product)
                    np.subtract(rows[r], product, rows[r])
            x = self._substitute()
        self._solve_alone(right_side, x)
        return x

    def _solve_alone(self, right_side: np.ndarray, x: np.ndarray) -> None:
        """Put in the cases that the order of pivots does not suit."""
        for case, matrix in self._alone.items():
            x[:, case] = _solve_one(matrix, right_side[:, case])

    def _take(self, steps: list[tuple], row_scales: np.ndarray | None) -> None:
        """Take over an order of pivots: the entries that it changes, and the largest multipliers in the unscaled rows."""
        self._taken = steps
        self._changed = sorted({(r, c) for _, _, below, right in steps for r in below for c in right})
        read = self.pattern.copy()
        read[[i for i, *_ in steps], [j for _, j, *_ in steps]] = True
        self._read = read.tolist()
        sizes = np.ones(self.size) if row_scales is None else row_scales.mean(axis=1)
        limits = [LARGEST_MULTIPLIER * sizes[r] / sizes[i] for i, _, below, _ in steps for r in below]
        self._limits = np.array(limits)[:, None]
        self._product = np.empty(0)

    def _make_room(self, cases: int) -> None:
        """Work space for so many cases."""
        counts = (len(self._changed), len(self._limits), self.size, 1)
        # In one piece: what is asked for and given back piece by piece costs more than the elimination in page faults.
        changed, self._multipliers, self._right, (self._product,) = np.split(
            np.empty((sum(counts), cases)), np.cumsum(counts[:-1])
        )
        self._own = dict(zip(self._changed, changed, strict=True))

    def _eliminate(self, matrix: np.ndarray) -> np.ndarray:
        """Eliminate in the planned order, matrix and right side; the multipliers are kept. Returns the sum of the pivots.

        An entry is read where the matrix has it until it is changed: most are never copied.
        """
        product, own = self._product, self._own
        cells: list[list] = [
            [row[c] if there else None for c, there in enumerate(known)]
            for row, known in zip(matrix, self._read, strict=True)
        ]
        right, factors, pivots = list(self._right), iter(self._multipliers), np.zeros(product.size)
        multiply, subtract, divide, negative = np.multiply, np.subtract, np.divide, np.negative
        for i, j, below, columns in self._taken:
            pivot_row, pivot, pushed = cells[i], cells[i][j], right[i]
            np.add(pivots, pivot, pivots)
            for r in below:
                row, factor = cells[r], next(factors)
                divide(row[j], pivot, factor)
                for c in columns:
                    multiply(factor, pivot_row[c], product)
                    there, into = row[c], own[r, c]
                    if there is None:
                        negative(product, into)
                    else:
                        subtract(there, product, into)
                    row[c] = into
                multiply(factor, pushed, product)
                subtract(right[r], product, right[r])
        self._cells = cells
        return pivots

    def _substitute(self) -> np.ndarray:
        """Unknowns from the eliminated system, last pivot first."""
        product, x = self._product, np.empty_like(self._right)
        values, right = list(x), list(self._right)
        for i, j, _, columns in reversed(self._taken):
            row, total = self._cells[i], right[i]
            for c in columns:
                np.multiply(row[c], values[c], product)
                np.subtract(total, product, total)
            np.divide(total, row[j], values[j])
        return x


def _sample(matrix: np.ndarray, row_scales: np.ndarray | None) -> np.ndarray:
    """Some of the finite cases with their rows scaled, shape (sample, n, n), to choose pivots by."""
    count = matrix.shape[2]
    spread = np.linspace(0, count - 1, min(SAMPLE, count)).astype(int)
    for cases in (spread, np.arange(count)):
        chosen = matrix[:, :, cases]
        usable = np.flatnonzero(np.isfinite(chosen).all(axis=(0, 1)))[:SAMPLE]
        if usable.size:
            scaled = chosen[:, :, usable]
            if row_scales is not None:
                scaled = scaled / row_scales[:, None, cases[usable]]
            return scaled.transpose(2, 0, 1).copy()
    return np.eye(len(matrix))[None]


def _choose_steps(sample: np.ndarray, pattern: np.ndarray) -> list[tuple]:
    """Pivot order for a sample (s, n, n): tuples (row, column, rows below, columns changed)."""
    values, filled, size = sample.copy(), pattern.copy(), len(pattern)
    # Smallest share, over the sample, of an entry in the largest of its column; no entry that is left has less than none.
    shares = np.full((size, size), -1.0)
    rows, columns = list(range(size)), list(range(size))
    changed = columns.copy()
    steps = []
    with np.errstate(all="ignore"):
        for _ in range(size):
            there = np.array(rows)[:, None], np.array(changed, dtype=int)
            sizes = np.abs(values[:, *there])
            share = (sizes / sizes.max(axis=1, keepdims=True)).min(axis=0)
            share[np.isnan(share)] = 0.0
            shares[there] = share * filled[there]
            i, j = _best_pivot(shares, filled)
            rows.remove(i)
            columns.remove(j)
            below = [r for r in rows if filled[r, j]]
            changed = [c for c in columns if filled[i, c]]
            block = np.array(below, dtype=int)[:, None], np.array(changed, dtype=int)
            multipliers = values[:, below, j] / values[:, i, j, None]
            values[:, *block] -= multipliers[:, :, None] * values[:, i, changed][:, None]
            filled[block] = True
            filled[i], filled[:, j] = False, False
            shares[i], shares[:, j] = -1.0, -1.0
            steps.append((i, j, below, changed))
    return steps


def _best_pivot(shares: np.ndarray, filled: np.ndarray) -> tuple[int, int]:
    """Place of the entry that fills in least among those large enough in all sampled cases."""
    cost = np.multiply.outer(filled.sum(axis=1) - 1, filled.sum(axis=0) - 1).astype(float)
    # Among equal costs the larger pivot.
    cost -= 1e-3 * shares
    cost[shares < min(PIVOT_SHARE, shares.max())] = np.inf
    return divmod(int(cost.argmin()), len(filled))


def _stacked(matrix: np.ndarray, row_scales: np.ndarray | None) -> np.ndarray:
    """Scaled matrices one after the other, shape (cases, n, n)."""
    scaled = matrix if row_scales is None else matrix / row_scales[:, None]
    return scaled.transpose(2, 0, 1).copy()


def _solve_few(stacked: np.ndarray, right_side: np.ndarray, row_scales: np.ndarray | None) -> np.ndarray:
    """Cases by LAPACK; not a number where one is singular or not finite."""
    right = (right_side if row_scales is None else right_side / row_scales).T[:, :, None].copy()
    bad = ~(np.isfinite(stacked).all(axis=(1, 2)) & np.isfinite(right).all(axis=(1, 2)))
    if bad.any():
        stacked = stacked.copy()
        stacked[bad], right[bad] = np.eye(stacked.shape[1]), np.nan
    try:
        return np.linalg.solve(stacked, right)[:, :, 0].T.copy()
    except np.linalg.LinAlgError:
        return np.stack([_solve_one(a, b[:, 0]) for a, b in zip(stacked, right, strict=True)], axis=1)


def _solve_one(matrix: np.ndarray, right_side: np.ndarray) -> np.ndarray:
    """One system with partial pivoting; not a number where it cannot be solved."""
    if not (np.isfinite(matrix).all() and np.isfinite(right_side).all()):
        return np.full(right_side.shape, np.nan)
    try:
        return np.linalg.solve(matrix, right_side)
    except np.linalg.LinAlgError:
        return np.full(right_side.shape, np.nan)
