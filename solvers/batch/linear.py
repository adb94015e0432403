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
    """Solves ``A x = b`` for many cases; keeps the pivot order and work space between calls.

    Parameters
    ----------
    pattern : array_like of bool, shape (n, n)
        True where an entry of A can be other than zero.
    """

    def __init__(self, pattern: ArrayLike) -> None:
        self.pattern = np.array(pattern, dtype=bool)
        self.size = len(self.pattern)
        self._steps: list[tuple] | None = None
        self._work = np.empty((self.size, self.size + 1, 0))
        self._product, self._multipliers = np.empty(0), np.empty((0, 0))

    def solve(self, matrix: np.ndarray, right_side: np.ndarray, row_scales: np.ndarray | None = None) -> np.ndarray:
        """Solve all cases.

        Parameters
        ----------
        matrix : ndarray, shape (n, n, cases)
        right_side : ndarray, shape (n, cases)
        row_scales : ndarray, shape (n, cases), optional
            Size of each equation; makes rows comparable when pivots are chosen.

        Returns
        -------
        x : ndarray, shape (n, cases)
            Not a number where a matrix is singular or not finite.
        """
        if right_side.shape[1] <= FEW:
            return _solve_few(matrix, right_side, row_scales)
        self._fill(matrix, right_side, row_scales)
        steps = self._steps
        if steps is None:
            steps = self._steps = _choose_steps(_sample(self._work[:, : self.size]), self.pattern)
            count = sum(len(rows) for _, _, rows, _ in steps)
            if len(self._multipliers) != count:
                self._multipliers = np.empty((count, self._work.shape[2]))
        with np.errstate(all="ignore"):
            x = self._run(steps)
            growth = np.abs(self._multipliers, out=self._multipliers).max(axis=0, initial=0.0)
            # An entry that is infinite can leave every unknown finite.
            sound = np.isfinite(matrix.sum(axis=(0, 1)))
        poor = np.flatnonzero(~((growth <= LARGEST_MULTIPLIER) & np.isfinite(x).all(axis=0) & sound))
        for case in poor:
            x[:, case] = _solve_one(matrix[:, :, case], right_side[:, case])
        if poor.size > RELEARN_SHARE * x.shape[1]:
            self._steps = None
        return x

    def _fill(self, matrix: np.ndarray, right_side: np.ndarray, row_scales: np.ndarray | None) -> None:
        """Copy the scaled system into the work space."""
        n, cases = right_side.shape
        if self._work.shape[2] != cases:
            count = 0 if self._steps is None else sum(len(rows) for _, _, rows, _ in self._steps)
            self._work = np.empty((n, n + 1, cases))
            self._product, self._multipliers = np.empty(cases), np.empty((count, cases))
        if row_scales is None:
            self._work[:, :n], self._work[:, n] = matrix, right_side
        else:
            np.divide(matrix, row_scales[:, None], out=self._work[:, :n])
            np.divide(right_side, row_scales, out=self._work[:, n])

    def _run(self, steps: list[tuple]) -> np.ndarray:
        """Eliminate in the planned order and substitute back."""
        size, product = self.size, self._product
        cells = [list(row) for row in self._work]
        multiply, subtract, divide = np.multiply, np.subtract, np.divide
        factors = iter(self._multipliers)
        for i, j, rows, columns in steps:
            pivot_row = cells[i]
            for r in rows:
                row, factor = cells[r], next(factors)
                divide(row[j], pivot_row[j], factor)
                for c in columns:
                    multiply(factor, pivot_row[c], product)
                    subtract(row[c], product, row[c])
        x = np.empty((size, product.size))
        values = list(x)
        for i, j, _, columns in reversed(steps):
            row = cells[i]
            total = row[size]
            for c in columns[:-1]:
                multiply(row[c], values[c], product)
                subtract(total, product, total)
            divide(total, row[j], values[j])
        return x


def _sample(matrix: np.ndarray) -> np.ndarray:
    """Some of the finite cases, to choose pivots by."""
    usable = np.flatnonzero(np.isfinite(matrix).all(axis=(0, 1)))
    if not usable.size:
        return np.eye(len(matrix))[:, :, None]
    return matrix[:, :, usable[np.linspace(0, usable.size - 1, min(SAMPLE, usable.size)).astype(int)]]


def _choose_steps(sample: np.ndarray, pattern: np.ndarray) -> list[tuple]:
    """Pivot order for a sample (n, n, s): tuples (row, column, rows below, columns changed)."""
    values, filled = sample.copy(), pattern.copy()
    size = len(values)
    rows, columns = list(range(size)), list(range(size))
    steps = []
    with np.errstate(all="ignore"):
        for _ in range(size):
            i, j = _best_pivot(values[np.ix_(rows, columns)], filled[np.ix_(rows, columns)])
            i, j = rows[i], columns[j]
            rows.remove(i)
            columns.remove(j)
            below = [r for r in rows if filled[r, j]]
            right = [c for c in columns if filled[i, c]]
            block = np.ix_(below, right)
            values[block] -= (values[below, j] / values[i, j])[:, None] * values[i, right]
            filled[block] = True
            # The right-hand side is one more column, after the matrix.
            steps.append((i, j, below, [*right, size]))
    return steps


def _best_pivot(values: np.ndarray, filled: np.ndarray) -> tuple:
    """Position of the entry that fills in least among those large enough in all sampled cases."""
    sizes = np.abs(values)
    share = np.nan_to_num(sizes / sizes.max(axis=0), nan=0.0).min(axis=2) * filled
    cost = np.outer(filled.sum(axis=1) - 1, filled.sum(axis=0) - 1).astype(float)
    good = share >= min(PIVOT_SHARE, share.max())
    cost[~good] = np.inf
    # Among equal costs the larger pivot.
    return np.unravel_index(np.argmin(cost - 1e-3 * share), cost.shape)


def _solve_few(matrix: np.ndarray, right_side: np.ndarray, row_scales: np.ndarray | None) -> np.ndarray:
    """Cases by LAPACK; not a number where one is singular or not finite."""
    if row_scales is not None:
        matrix, right_side = matrix / row_scales[:, None], right_side / row_scales
    bad = ~(np.isfinite(matrix).all(axis=(0, 1)) & np.isfinite(right_side).all(axis=0))
    stacked, right = matrix.transpose(2, 0, 1).copy(), right_side.T[:, :, None].copy()
    stacked[bad], right[bad] = np.eye(len(matrix)), np.nan
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
