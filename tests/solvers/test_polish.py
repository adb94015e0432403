"""Climbing on from several points: corners of bounds, walls that are not allowed, and a judgement that refuses."""

import numpy as np
import pytest

from noseload.solvers.batch.polish import apart, polish

LOW, HIGH = [-4.0, -4.0], [4.0, 4.0]
AT_REST = 0.03
"""On a ridge 40 times as steep across as along, no step of 1e-3 along an axis gains within 40 / 2 of such steps."""
STEPS = {"step": 1.0, "smallest": 1e-3, "gain": 1e-9}


def hill(points):
    """Largest at (1, -2), with a narrow ridge along the diagonal."""
    x, z = points - np.array([[1.0], [-2.0]])
    return -((x + z) ** 2) - 40.0 * (x - z) ** 2


def test_every_start_reaches_the_top_of_a_ridge():
    starts = np.array([[-3.0, 3.0, 0.0], [3.0, 3.0, 0.0]])
    found = polish(hill, starts, hill(starts), LOW, HIGH, **STEPS, most_rounds=200)
    assert found.settled and np.allclose(found.points, [[1.0], [-2.0]], atol=AT_REST)
    assert found.values == pytest.approx(0.0, abs=4.0 * AT_REST**2)
    assert list(found.values) == sorted(found.values, reverse=True)


def test_bounds_and_forbidden_ground_are_kept():
    """Uphill to the right is forbidden beyond x = 0.5: it comes to rest at that wall, never past it."""

    def walled(points):
        return np.where(points[0] <= 0.5, points[0] + points[1], np.nan)

    start = np.array([[-1.0], [0.0]])
    found = polish(walled, start, walled(start), LOW, HIGH, **STEPS)
    assert found.points[1, 0] == 4.0 and 0.5 - 2e-3 <= found.points[0, 0] <= 0.5


def test_refused_points_are_not_taken():
    start = np.array([[-3.0], [3.0]])
    found = polish(hill, start, hill(start), LOW, HIGH, **STEPS, confirm=lambda point: point[0] < 0.0)
    assert found.points[0, 0] < 0.0 and found.values[0] > hill(start)[0]
    still = polish(hill, start, hill(start), LOW, HIGH, **STEPS, confirm=lambda point: False)
    assert (still.points == start).all() and still.settled


def test_rounds_that_run_out_are_said():
    start = np.array([[-3.0], [3.0]])
    assert not polish(hill, start, hill(start), LOW, HIGH, **STEPS, most_rounds=2).settled


def test_places_apart():
    points = np.array([[0.0, 0.5, 3.0, 3.1], [0.0, 0.5, 0.0, 9.0]])
    assert apart(points, 3, 1.0) == [0, 2, 3] and apart(points, 2, 1.0) == [0, 2]
