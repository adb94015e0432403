"""Climbing on from several points over a surface in pieces: ridges, curved walls, a judgement that refuses."""

import numpy as np
import pytest

from noseload.solvers.batch.polish import MARGIN, Evaluated, apart, polish

LOW, HIGH = [-4.0, -4.0], [4.0, 4.0]
STEPS = {"radius": 1.0, "smallest": 1e-4, "gain": 1e-3}


class Roof:
    """Two slopes that meet along the curved ridge z = x2 / 4, rising along it toward x = 1.

    The ridge is met from either side at 3 per unit; of the pieces the left one is above the ridge.
    """

    wall = 100.0

    def near(self, points, states):
        return [[piece for piece in (1.0, -1.0) if piece * (z - 0.25 * x**2) >= -0.05] for x, z in points.T]

    def evaluate(self, points, states, pieces, *, around=1):
        x, z = points
        side, above = np.array(pieces), z - 0.25 * x**2
        values = -3.0 * side * above - 0.1 * (x - 1.0) ** 2
        return Evaluated(values, np.array([side * above, self.wall - x]), states)

    def allowed(self, points):
        return np.ones(points.shape[1], dtype=bool)


def climbed(roof, starts, **options):
    x, z = starts
    values = -3.0 * np.abs(z - 0.25 * x**2) - 0.1 * (x - 1.0) ** 2
    return polish(roof, starts, values, np.zeros((1, x.size)), LOW, HIGH, **(STEPS | options))


def test_every_start_reaches_the_top_of_a_curved_ridge():
    """Along the ridge of two slopes no step along an axis gains; the top is met to the margin kept from the ridge."""
    found = climbed(Roof(), np.array([[-3.0, 3.5, 0.0], [3.0, -3.0, 0.2]]))
    assert found.settled and np.allclose(found.points[0], 1.0, atol=0.1)
    assert found.values == pytest.approx(0.0, abs=6.0 * MARGIN)
    assert list(found.values) == sorted(found.values, reverse=True)


def test_walls_and_bounds_are_kept():
    """A wall before the top is come to and never passed."""
    roof = Roof()
    roof.wall = 0.5
    found = climbed(roof, np.array([[-3.0], [3.0]]))
    assert 0.5 - 10.0 * MARGIN <= found.points[0, 0] <= 0.5
    assert (found.points >= np.array(LOW)[:, None]).all() and (found.points <= np.array(HIGH)[:, None]).all()


def test_room_that_is_short_is_made_good_beside_starts_that_have_room():
    """From behind the wall, where it would be higher, the way leads before it; the start beside it goes as it goes alone."""
    roof = Roof()
    roof.wall = 0.5
    starts = np.array([[0.9, -3.0], [1.2, 3.0]])
    found, alone = climbed(roof, starts), climbed(roof, starts[:, 1:])
    assert (found.points[0] <= 0.5).all() and found.points[0] == pytest.approx(0.5, abs=10.0 * MARGIN)
    assert np.isclose(found.points, alone.points, rtol=0.0, atol=1e-6).all(axis=0).any()


def test_refused_ends_go_back_on_their_way():
    """The end must stand the surer judgement: the last place that does is given, or the start."""
    start = np.array([[-3.0], [3.0]])
    found = climbed(Roof(), start, confirm=lambda point: point[0] < 0.0)
    assert -3.0 <= found.points[0, 0] < 0.0
    still = climbed(Roof(), start, confirm=lambda point: False)
    assert (still.points == start).all()


def test_rounds_that_run_out_are_said():
    assert not climbed(Roof(), np.array([[-3.0], [3.0]]), most_rounds=2).settled


def test_places_apart():
    points = np.array([[0.0, 0.5, 3.0, 3.1], [0.0, 0.5, 0.0, 9.0]])
    assert apart(points, 3, 1.0) == [0, 2, 3] and apart(points, 2, 1.0) == [0, 2]


class Counted(Roof):
    """The roof, which counts its points."""

    def __init__(self):
        self.points = 0

    def evaluate(self, points, states, pieces, *, around=1):
        self.points += points.shape[1]
        return super().evaluate(points, states, pieces, around=around)


STARTS = np.array([[-3.0, 3.5, 0.0, -2.5], [3.0, -3.0, 0.2, 1.0]])


def test_starts_that_have_come_to_the_best_top_are_left_there():
    """The best goes on until it rests; the others stop within `same` of it, with the same top for fewer points."""
    plain, short = Counted(), Counted()
    every, some = climbed(plain, STARTS), climbed(short, STARTS, same=0.02)
    assert some.values[0] == pytest.approx(every.values[0], abs=STEPS["gain"])
    assert (some.values[0] - some.values < 0.02 + STEPS["gain"]).all()
    assert short.points < plain.points


def test_starts_that_fell_behind_for_good_are_left():
    """With a top of 100 known no pace of this roof catches up; each keeps the best place it came to."""
    plain, short = Counted(), Counted()
    every, some = climbed(plain, STARTS, gain=1e-6), climbed(short, STARTS, gain=1e-6, known=100.0)
    assert short.points < plain.points and (some.values <= every.values[0] + 1e-9).all()
    assert (some.values >= climbed(Roof(), STARTS, most_rounds=8).values[-1]).all()


def test_most_and_least_are_climbed_for_side_by_side():
    """Starts of either sign come to where they come to alone, and know nothing of the others' top."""

    class Hills:
        """A product of two sines: tops of 1 and hollows of -1, two of each."""

        def near(self, points, states):
            return [["here"]] * points.shape[1]

        def evaluate(self, points, states, pieces, *, around=1):
            return Evaluated(np.sin(points[0]) * np.sin(points[1]), np.ones((1, points.shape[1])), states)

        def allowed(self, points):
            return np.ones(points.shape[1], dtype=bool)

    starts = np.array([[0.5, -1.0, 2.4, -0.6], [0.9, -2.0, -0.7, 1.2]])
    signs = np.array([1.0, 1.0, -1.0, -1.0])

    def run(some, **options):
        points = starts[:, some]
        heights = signs[some] * np.sin(points[0]) * np.sin(points[1])
        return polish(
            Hills(), points, heights, np.zeros((1, len(some))), LOW, HIGH, signs=signs[some], **STEPS, **options
        )

    both = run([0, 1, 2, 3], known=np.array([-np.inf, -np.inf, -np.inf, -np.inf]))
    for sign, some in ((1.0, [0, 1]), (-1.0, [2, 3])):
        alone, own = run(some), both.signs == sign
        assert own.sum() == 2 and both.values[own] == pytest.approx(1.0, abs=1e-3)
        assert np.allclose(both.points[:, own], alone.points, atol=1e-9)
        assert (np.sign(both.points[0] * both.points[1])[own] == sign).all()


def test_groups_of_points_are_said():
    """The first of every three points of a slope in the plane, so that what is costly is looked at once."""
    seen = []

    class Watched(Roof):
        def evaluate(self, points, states, pieces, *, around=1):
            seen.append((points.shape[1], around))
            if around > 1:
                first = points[:, ::around]
                assert np.allclose(
                    points.reshape(2, -1, around)[:, :, 1:], first[:, :, None] + 1e-3 * np.eye(2)[:, None]
                )
            return super().evaluate(points, states, pieces, around=around)

    climbed(Watched(), STARTS, most_rounds=3)
    assert {around for _, around in seen} == {1, 3} and all(count % around == 0 for count, around in seen)
