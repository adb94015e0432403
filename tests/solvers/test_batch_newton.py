"""Batched linear and Newton solvers: every case as good as solved alone, every failure by name."""

import numpy as np
import pytest

from noseload.solvers.batch.linear import FEW, BatchLinearSolver
from noseload.solvers.batch.newton import solve_batch
from noseload.solvers.errors import SolverError, Status

SOLVE_TOLERANCE = 1e-8
"""Relative; random matrices of this size have condition numbers up to about 1e5."""
ROOT_TOLERANCE = 1e-9
"""Tolerance of the residual and condition of these two equations."""


def random_systems(count, size=13, seed=3):
    random = np.random.default_rng(seed)
    pattern = (random.random((size, size)) < 0.35) | np.eye(size, dtype=bool)
    matrix = random.standard_normal((size, size, count)) * pattern[:, :, None]
    return pattern, matrix, random.standard_normal((size, count))


def reference(matrix, right_side):
    """LAPACK with partial pivoting, by NumPy."""
    return np.linalg.solve(np.moveaxis(matrix, 2, 0), right_side.T[:, :, None])[:, :, 0].T


BOTH = pytest.mark.parametrize("count", [50, 2 * FEW])
"""Few cases go to LAPACK, many to the elimination along all of them."""


@BOTH
def test_linear_solver_agrees_with_lapack(count):
    pattern, matrix, right_side = random_systems(count)
    expected = reference(matrix, right_side)
    x = BatchLinearSolver(pattern).solve(matrix, right_side)
    assert np.abs(x - expected).max(axis=0) == pytest.approx(0.0, abs=SOLVE_TOLERANCE * np.abs(expected).max())


@BOTH
def test_linear_solver_indefinite_with_zero_diagonal(count):
    """A saddle-point matrix [K G^T; G 0] has no pivots on its lower diagonal."""
    random = np.random.default_rng(5)
    constraint = random.standard_normal((4, 9, count))
    matrix = np.zeros((13, 13, count))
    matrix[:9, :9] = np.eye(9)[:, :, None] * random.uniform(-1.0, 1.0, (9, 1, count))
    matrix[9:, :9], matrix[:9, 9:] = constraint, constraint.swapaxes(0, 1)
    right_side = random.standard_normal((13, count))
    x = BatchLinearSolver((matrix != 0).any(axis=2)).solve(matrix, right_side)
    assert np.einsum("ijb,jb->ib", matrix, x) == pytest.approx(right_side, abs=1e-7)


@BOTH
def test_linear_solver_cases_that_need_another_pivot(count):
    """The order learned on most cases is useless for some: those are solved on their own."""
    matrix = np.tile(np.array([[1.0, 2.0], [3.0, 4.0]])[:, :, None], (1, 1, count))
    matrix[:, :, 7] = [[0.0, 1.0], [1.0, 0.0]]
    matrix[:, :, 9] = [[1.0, 0.0], [0.0, 1e-9]]
    right_side = np.ones((2, count))
    solver = BatchLinearSolver(np.ones((2, 2), dtype=bool))
    for _ in range(2):
        assert solver.solve(matrix, right_side) == pytest.approx(reference(matrix, right_side), rel=1e-12)


@BOTH
def test_linear_solver_marks_singular_and_not_finite_cases(count):
    pattern, matrix, right_side = random_systems(count)
    matrix[:, :, 4] = 0.0
    matrix[2, 2, 6] = np.inf
    x = BatchLinearSolver(pattern).solve(matrix, right_side)
    assert np.isnan(x[:, [4, 6]]).all()
    assert np.isfinite(np.delete(x, [4, 6], axis=1)).all()


@BOTH
def test_factors_serve_again_for_other_right_sides(count):
    pattern, matrix, right_side = random_systems(count)
    matrix[:, :, 3] = np.random.default_rng(4).standard_normal(pattern.shape)
    matrix[0, :, 3] = 0.0
    scales = np.random.default_rng(6).uniform(0.1, 10.0, right_side.shape)
    solver, order = BatchLinearSolver(pattern), np.delete(np.arange(count), 3)
    solver.solve(matrix, right_side, scales)
    for other in (right_side, right_side[::-1] + 1.0):
        again = solver.solve_again(other)
        assert np.isnan(again[:, 3]).all()
        expected = reference(matrix[:, :, order], other[:, order])
        assert np.abs(again[:, order] - expected).max() <= SOLVE_TOLERANCE * np.abs(expected).max()


class Circles:
    """x^2 + y^2 = p and x = a y: a test problem with known roots, sqrt(p / (1 + a^2)) (a, 1)."""

    names = ("x", "y")
    equation_names = ("circle", "line")
    pattern = np.ones((2, 2), dtype=bool)

    def __init__(self, slopes, limit=np.inf, reject_below=-np.inf):
        self.slopes, self.limit, self.reject_below = np.asarray(slopes, dtype=float), limit, reject_below
        self.residual_scales = np.ones((2, self.slopes.size))
        self.step_limits = np.full((2, self.slopes.size), limit)

    def evaluate(self, states, parameters):
        x, y = states
        residual = np.stack([x**2 + y**2 - parameters, x - self.slopes * y])
        zero, one = np.zeros_like(x), np.ones_like(x)
        return residual, np.stack([np.stack([2 * x, 2 * y, -one]), np.stack([one, -self.slopes, zero])])

    def residual(self, states, parameters):
        return self.evaluate(states, parameters)[0]

    def accept(self, states, parameters):
        return states[1] > self.reject_below

    def take(self, cases):
        return Circles(self.slopes[cases], self.limit, self.reject_below)


class Counted(Circles):
    """The same, but the first equation 50 steeper where x is below `kink`; remembers what it is asked."""

    def __init__(self, slopes, kink, calls):
        super().__init__(slopes)
        self.kink, self.calls = kink, calls

    def evaluate(self, states, parameters):
        self.calls.append("both")
        return self._both(states, parameters)

    def residual(self, states, parameters):
        self.calls.append("residual")
        return self._both(states, parameters)[0]

    def _both(self, states, parameters):
        residual, jacobian = super().evaluate(states, parameters)
        below = np.minimum(states[0] - self.kink, 0.0)
        residual[0] += 50.0 * below
        jacobian[0, 0] += 50.0 * (below < 0.0)
        return residual, jacobian

    def take(self, cases):
        return Counted(self.slopes[cases], self.kink, self.calls)


@pytest.mark.parametrize("beyond", [-np.inf, 1e-6])
def test_factors_are_kept_near_the_solution_and_given_up_past_a_kink(beyond):
    """Newton comes from above; with the kink just above the root its last step falls short: slopes are made anew."""
    smooth, slopes, starts = np.sqrt(0.2), np.full(300, 0.5), np.tile([[0.6], [1.2]], (1, 300))
    there = Counted(slopes, smooth + beyond, [])
    solution = solve_batch(there, starts, 1.0).raise_for_status()
    called = " ".join(there.calls)
    assert called.startswith("both both both residual") and there.calls[-1] == "residual"
    assert ("residual both" in called) == np.isfinite(beyond)
    assert solution.nfev.max() == there.calls.count("both")
    x = solution.states[0]
    assert solution.states[1] == pytest.approx(2.0 * x, abs=ROOT_TOLERANCE)
    assert 5.0 * x**2 + 50.0 * np.minimum(x - smooth - beyond, 0.0) == pytest.approx(1.0, abs=ROOT_TOLERANCE)


@pytest.mark.parametrize("limit", [np.inf, 0.2])
def test_roots_of_every_case(limit):
    random = np.random.default_rng(1)
    slopes, squares = random.uniform(-2.0, 2.0, 300), random.uniform(0.5, 4.0, 300)
    solution = solve_batch(Circles(slopes, limit), np.tile([[0.3], [2.0]], (1, 300)), squares).raise_for_status()
    y = np.sqrt(squares / (1.0 + slopes**2))
    assert solution.states == pytest.approx(np.stack([slopes * y, y]), abs=ROOT_TOLERANCE)
    assert solution.success.all() and solution.residual_norms.max() <= 1e-11
    assert solution.nfev.max() <= (12 if limit == np.inf else 30)
    assert solution.message(0) == "converged"


def test_failures_are_marked_and_leave_the_others_alone():
    start = np.array([[0.3, 0.3, 0.0, 0.3, np.nan], [2.0, 2.0, 0.0, -2.0, 2.0]])
    solution = solve_batch(Circles(np.full(5, 0.5), reject_below=0.0), start, [1.0, -1.0, 1.0, 1.0, 1.0])
    names = [status.name for status in solution.statuses]
    assert names[0] == "CONVERGED"
    assert names[1] in ("DIVERGED", "OUT_OF_ITERATIONS")
    assert names[2:] == ["SINGULAR", "REJECTED", "NOT_FINITE"]
    assert "equation 'circle'" in solution.message(1) and "start nearer" in solution.message(1)
    with pytest.raises(SolverError, match="4 of 5 cases failed; case 1 at parameter -1 stopped after"):
        solution.raise_for_status()


def test_iteration_limit():
    solution = solve_batch(Circles([0.5], limit=0.01), [[0.3], [5.0]], 1.0, max_evaluations=5)
    assert solution.statuses[0] is Status.OUT_OF_ITERATIONS and solution.nfev[0] == 5


def test_patched_results_replace_only_their_cases():
    first = solve_batch(Circles([0.5, 0.5]), [[0.3, 0.0], [2.0, 0.0]], 1.0)
    again = solve_batch(Circles([0.5]), [[0.3], [2.0]], 1.0)
    both = first.patched(np.array([1]), again)
    assert both.success.all() and not first.success.all()
    assert both.nfev[1] == first.nfev[1] + again.nfev[0] and both.nfev[0] == first.nfev[0]
