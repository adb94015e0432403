"""Differential evolution against functions whose largest value is known."""

import numpy as np
import pytest

from noseload.solvers.batch.search import search
from noseload.solvers.errors import SolverError

NEAR = 1e-4
"""Distance to the known best point after the generations given; the search is stochastic but seeded."""


def test_finds_the_top_of_a_rosenbrock_valley():
    """H. H. Rosenbrock, Computer Journal 3 (1960) 175: least value 0 at (1, 1); here its negative is searched."""
    result = search(
        lambda p: -(100 * (p[1] - p[0] ** 2) ** 2 + (1 - p[0]) ** 2),
        [-2, -2],
        [2, 2],
        seed=3,
        population=40,
        generations=120,
    )
    assert result.points[:, 0] == pytest.approx([1.0, 1.0], abs=NEAR)
    assert list(result.history) == sorted(result.history)
    assert result.evaluations == 40 * 121 and result.refused == 0


def test_finds_a_corner_under_a_constraint():
    """Largest x + y in a box, cut off by x + y <= 1.5: a linear programme solved by inspection, 1.5."""
    result = search(
        lambda p: np.where(p.sum(axis=0) <= 1.5, p.sum(axis=0), np.nan),
        [0, 0],
        [1, 1],
        seed=1,
        population=30,
        generations=60,
        start=[0.1, 0.1],
    )
    assert result.values[0] == pytest.approx(1.5, abs=1e-3)
    assert result.refused > 0
    assert (result.points >= 0.0).all() and (result.points <= 1.0).all()


def test_same_seed_same_search():
    """A seed is recorded so that a result can be repeated."""
    runs = [
        search(lambda p: -(p**2).sum(axis=0), [-1] * 3, [1] * 3, seed=7, population=20, generations=5) for _ in range(2)
    ]
    assert runs[0].history == runs[1].history
    assert np.array_equal(runs[0].points, runs[1].points)


def test_an_unconfirmed_best_is_given_up():
    """A surer judgement may refuse what the fast one likes best; the search then ends at the next best."""
    seen = []

    def confirm(point):
        seen.append(point)
        return point[0] <= 0.5

    result = search(
        lambda p: p[0],
        [0.0],
        [1.0],
        seed=2,
        population=20,
        generations=40,
        start=[0.1],
        confirm=confirm,
        progress=lambda generation: None,
    )
    assert result.points[0, 0] == pytest.approx(0.5, abs=5e-3)
    assert result.points[0, 0] <= 0.5 < max(p[0] for p in seen)


def test_nothing_allowed_is_an_error():
    """No point with a value at all."""
    with pytest.raises(SolverError, match="widen the limits"):
        search(lambda p: np.full(p.shape[1], np.nan), [0.0], [1.0], seed=0, population=5, generations=2)
