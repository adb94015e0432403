"""Curves of equilibria past folds and kinks: invented curves whose places are known, and rows next to the folds of vehicles."""

import pickle

import numpy as np
import pytest

from noseload.model.errors import MissingDataError, VehicleFileError
from noseload.solvers.continuation import solve_on, trace
from noseload.solvers.errors import SolverError, Status
from noseload.solvers.newton import solve
from noseload.solvers.statistics.least_squares import UndeterminedError
from noseload.studies.climb.creep import Climb
from noseload.studies.levers.survey import draw_vehicles, one_of, raise_mount
from random_vehicles import with_held_coils

FOLDING = ((135, 0), (262, 1), (160, 1), (247, 0), (307, 0))
"""Drawn vehicles whose climb folds, as drawn (0) or raised (1)."""
JUMPED = 197


class Heights:
    """One unknown x: the parameter is a height over x, given by slopes between corners, with a slight bend."""

    names, equation_names = ("x",), ("height",)
    scales = residual_scales = np.ones(1)
    step_limits = np.full(1, np.inf)
    bend = 0.01

    def __init__(self, corners, slopes):
        self.corners, self.slopes = np.array(corners), np.array(slopes)
        self.heights = np.concatenate([[0.0], np.cumsum(self.slopes[:-1] * np.diff(self.corners))])

    def height(self, x):
        """Height and slope at x."""
        k = max(0, int(np.searchsorted(self.corners, x, side="right")) - 1)
        return (
            self.heights[k] + self.slopes[k] * (x - self.corners[k]) + self.bend * np.sin(x),
            self.slopes[k] + self.bend * np.cos(x),
        )

    def evaluate(self, state, parameter):
        height, slope = self.height(float(state[0]))
        return np.array([height - parameter]), np.array([[slope, -1.0]])

    def accept(self, state, parameter):
        return None


@pytest.mark.parametrize("slope", [0.3, 1.0, 10.0, 50.0])
def test_a_curve_that_turns_back_at_a_kink_is_followed(slope):
    """From 45 deg on the turn is sharper than a right angle: a corrector straight ahead finds nothing there."""
    curve = Heights([0.0, 1.0, 2.5], [slope, -slope, slope])
    start = solve(curve, np.array([0.1]), curve.height(0.1)[0])
    traced = trace(curve, start, 1.0, lambda p: p.state[0] > 3.0)
    assert traced.status is Status.CONVERGED
    xs = [p.state[0] for p in traced.points]
    assert np.all(np.diff(xs) > 0.0), "every part once, in order"
    assert len(traced.folds()) == 2 and {p.sense for p in traced.points} == {traced.points[0].sense}
    branch = traced.first_branch
    assert branch.points[-1].state[0] == pytest.approx(1.0, abs=2e-4)
    assert branch.points[-1].parameter == pytest.approx(curve.height(1.0)[0], abs=2e-4 * slope)
    height = curve.height(0.98)[0]
    assert solve_on(branch, height).state[0] == pytest.approx(0.98, abs=1e-9), "not the place beyond the fold"


class Corners:
    """What a trace is told of the corners of `Heights`."""

    def __init__(self, curve):
        self.curve = curve

    def values(self, state):
        return [corner - state[0] for corner in self.curve.corners[1:]]

    def measure(self, state, kink):
        return self.values(state)[kink], np.array([-1.0])


@pytest.mark.parametrize("slope", [0.3, 1.0, 10.0, 50.0])
def test_kinks_whose_measures_are_known_are_met_exactly(slope):
    """Each corner is two points at one place, with the slopes of either side, and costs few evaluations."""
    curve = Heights([0.0, 1.0, 1.0 + 1e-4, 2.5], [slope, -slope, -2.0 * slope, slope])
    start = solve(curve, np.array([0.1]), curve.height(0.1)[0])
    traced = trace(curve, start, 1.0, lambda p: p.state[0] > 3.0, kinks=Corners(curve))
    assert traced.status is Status.CONVERGED and len(traced.folds()) == 2
    xs = [p.state[0] for p in traced.points]
    for corner in curve.corners[1:]:
        k, again = (j for j, x in enumerate(xs) if abs(x - corner) < 1e-12)
        met, left = traced.points[k], traced.points[again]
        assert again == k + 1 and met.arclength == left.arclength
        for point, side in ((met, -1e-9), (left, 1e-9)):
            assert point.tangent[1] / point.tangent[0] == pytest.approx(curve.height(corner + side)[1], rel=1e-6)
    branch = traced.first_branch
    assert branch.points[-1].parameter == pytest.approx(curve.height(1.0)[0], rel=1e-11)
    plain = trace(curve, start, 1.0, lambda p: p.state[0] > 3.0)
    assert traced.nfev < 0.8 * plain.nfev


def test_a_curve_that_only_bends_has_no_fold():
    curve = Heights([0.0, 1.0, 1.5], [0.2, 5.0, 1.0])
    traced = trace(curve, solve(curve, np.array([0.1]), curve.height(0.1)[0]), 1.0, lambda p: p.state[0] > 2.0)
    assert traced.status is Status.CONVERGED and not traced.folds()
    assert traced.first_branch is traced and solve_on(traced, 99.0) is None


def climb_of(case, raised):
    """Climb of a drawn vehicle, its coils held: the folds of its links, without those of loose coils."""
    vehicle = with_held_coils(one_of(draw_vehicles(1, 0), case))
    return Climb(raise_mount(vehicle, 10.0) if raised else vehicle)


@pytest.mark.parametrize(("case", "raised"), FOLDING)
def test_rows_next_to_a_fold_are_solved_and_stable(case, raised):
    climb = climb_of(case, raised)
    fold = np.degrees(climb.fold)
    turn = climb.load(climb.uphill.first_branch.points[-1], "front")
    away = []
    for below in (1e-4, 1e-2, 0.1):
        row = climb.row(fold - below)
        assert row.status in ("ok", "beyond_grip", "beyond_torque") and row.stable, (below, row.message)
        away.append(abs(row.front_load_n - turn))
    # At a fold the state goes as the root of the distance: tenfold for a hundred times as far, or more where it bends on.
    assert away[1] > 9.0 * away[0] and away[2] > 2.5 * away[1]
    assert climb.row(fold + 1e-3).status == "beyond_fold"


def test_no_fold_is_jumped_over():
    """A drawn vehicle whose two folds lie within one long step of the curve: both ends of the step look alike."""
    climb = Climb(with_held_coils(one_of(draw_vehicles(1, 2), JUMPED)))
    assert len(climb.uphill.folds()) == 2
    assert {p.sense for p in climb.uphill.points} == {1.0}
    fold, tip = np.degrees(climb.fold), np.degrees(climb.tip_over())
    assert fold == pytest.approx(58.46, abs=0.01) and tip == pytest.approx(60.61, abs=0.01)
    assert climb.limits.first == "fold"


@pytest.mark.parametrize(
    "error",
    [
        SolverError(Status.SINGULAR, "words", {"state": 1}),
        UndeterminedError(["rate"], "words"),
        VehicleFileError("a.toml", ["first", "second"]),
        MissingDataError("words"),
    ],
)
def test_errors_survive_the_way_from_another_process(error):
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error) and str(again) == str(error) and again.__dict__ == error.__dict__
