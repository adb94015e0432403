"""The batch integrator on problems with closed forms: order, stiffness, kinks, failures."""

import numpy as np
import pytest

from noseload.solvers.batch.transient import integrate_batch
from noseload.solvers.errors import Status

ORDER_SLACK = 0.35
"""Observed orders of a steered method scatter about the true one."""
STIFF_ERROR = 2e-3
"""The speeds are up to 0.6; second order with 2 ms at 60 rad/s."""
KINK_ERROR = 1e-3
"""Second order with steps of about a twentieth of the contact."""


class ToyStage:
    """Rates and stiff part of `Toy`."""

    def __init__(self, toy, times, state):
        self.toy = toy
        self.out = np.zeros((3, state.shape[1]))
        self.out[:2], self.out[2] = toy.rates(times, state), state[0]
        self.rates = self.out[:2]
        zero, one = np.zeros(state.shape[1]), np.ones(state.shape[1])
        self.slopes = np.stack([toy.decay * one, zero, zero])
        self.pulls = np.stack([np.stack([zero, one]), np.stack([zero, zero]), np.stack([zero, zero])])

    def cross(self):
        zero, one = np.zeros(self.out.shape[1]), np.ones(self.out.shape[1])
        return one, zero, zero, zero, zero, zero

    def along(self, speeds):
        zero = np.zeros(speeds.shape[1])
        return speeds[1] - speeds[0], zero, zero

    def switches(self, out):
        out[0] = -self.out[2] if self.toy.gravity is not None else 1.0
        return out


class Toy:
    """A mass on a spring or falling on a one-sided one, and a stiff speed that follows its own.

    q'' = -w^2 q (or -g + w^2 max(0, -q)); v' = -decay (v - q').
    """

    size, coordinates, switch_names = 3, 1, ("contact",)
    speed_weights = np.array([[1.0], [0.0]])

    def __init__(self, frequency, decay, gravity=None):
        self.frequency, self.decay, self.gravity = np.asarray(frequency, dtype=float), decay, gravity
        self.cases = self.frequency.size

    def rates(self, times, state):
        q, speed, v = state
        pull = -(self.frequency**2) * q
        if self.gravity is not None:
            pull = np.maximum(pull, 0.0) - self.gravity
        return np.stack([pull, -self.decay * (v - speed)])

    def enter(self, times):
        return np.full(times.size, np.inf)

    def first(self, times, state):
        return ToyStage(self, times, state)

    def second(self, times, state):
        return self.rates(times, state)

    def project(self, state):
        return np.zeros(state.shape[1]), np.zeros(state.shape[1])

    def longest_step(self, stage):
        return None

    def take(self, cases):
        return Toy(self.frequency[cases], self.decay, self.gravity)


class Watch:
    """A recorder that keeps nothing and stops nothing."""

    def record(self, active, times, steps, stage, switches, state, accepted):
        pass

    def stopped(self):
        return None


def swing(step, tolerance, decay=0.0):
    """Errors of position at 0.5 s, as shares of the amplitude, and the run."""
    toy = Toy([10.0, 25.0, 60.0], decay)
    start = np.array([[0.01] * 3, [0.0] * 3, [0.0] * 3])
    run = integrate_batch(toy, start, 0.5, Watch(), tolerance=tolerance, step=step)
    return np.abs(run.states[0] - 0.01 * np.cos(0.5 * toy.frequency)) / 0.01, run


def test_order_of_convergence():
    """With a tolerance that never binds, steps are as given: the error falls with the square of the step at least."""
    coarse, first = swing(2e-3, 1e3)
    fine, second = swing(1e-3, 1e3)
    assert first.steps.max() <= 254 and second.steps.max() <= 508
    assert np.log2(coarse.max() / fine.max()) > 2.0 - ORDER_SLACK


def test_tolerance_steers_the_steps():
    """The bend of a step grows as its square: a hundredth of the tolerance takes about ten times the steps."""
    coarse, first = swing(0.01, 1e-2)
    fine, second = swing(0.01, 1e-4)
    assert fine.max() < 0.1 * coarse.max()
    assert 3 * first.steps[2] < second.steps[2] < 12 * first.steps[2]
    assert second.steps[2] > second.steps[0]


def test_stiff_speed_follows_a_slow_one():
    """v' = -c (v - q') lags behind q' by q''/c but for terms of 1/c^2 (quasi-steady solution, any text)."""
    decay = 9000.0
    _, run = swing(2e-3, 1e3, decay)
    w = np.array([10.0, 25.0, 60.0])
    assert run.states[2] == pytest.approx(run.states[1] + w**2 * run.states[0] / decay, abs=STIFF_ERROR)
    assert run.steps.max() <= 254


def test_a_kink_ends_a_step():
    """A mass falls on a spring and is thrown up again: flight 2 v / g, contact by the half-sine about its sag."""
    frequency, gravity = np.array([150.0, 300.0]), 9.80665
    start = np.array([[0.02, 0.05], [0.0, 0.0], [0.0, 0.0]])
    fall = np.sqrt(2.0 * start[0] / gravity)
    half = np.pi + 2.0 * np.arctan(gravity / (frequency * gravity * fall))
    back_at_top = 2.0 * fall + half / frequency
    run = integrate_batch(Toy(frequency, 0.0, gravity), start, back_at_top, Watch(), tolerance=1e-5)
    assert run.states[0] == pytest.approx(start[0], rel=KINK_ERROR)
    assert run.states[1] == pytest.approx([0.0, 0.0], abs=50 * KINK_ERROR * start[0].max())
    assert (run.taken_back >= 1).all() and (run.taken_back <= 8).all()


def test_steps_end_at_samples():
    class Sampler(Watch):
        seen = 0

        def record(self, active, times, steps, stage, switches, state, accepted):
            place = np.round(times / 0.05)
            self.seen += int((accepted & (np.abs(times - 0.05 * place) < 1e-12)).sum())

    sampler = Sampler()
    integrate_batch(
        Toy([10.0, 20.0], 0.0), np.array([[0.01] * 2, [0.0] * 2, [0.0] * 2]), 0.5, sampler, step=0.02, sample=0.05
    )
    assert sampler.seen >= 2 * 11


def test_a_case_that_breaks_leaves_the_others_alone():
    start = np.array([[0.01, np.nan, 0.01], [0.0] * 3, [0.0] * 3])
    run = integrate_batch(Toy([10.0, 10.0, 20.0], 0.0), start, 0.2, Watch())
    assert list(run.statuses) == [Status.CONVERGED, Status.NOT_FINITE, Status.CONVERGED]
    assert run.times[[0, 2]] == pytest.approx([0.2, 0.2])


def test_cases_that_end_change_nothing_for_the_others():
    """Once a step over a kink was not taken back when ended cases were dropped just then."""
    drops = np.linspace(0.01, 0.05, 40)
    start = np.stack([drops, 0.0 * drops, 0.0 * drops])
    frequency, ends = np.linspace(150.0, 300.0, 40), np.linspace(0.02, 0.6, 40)
    together = integrate_batch(Toy(frequency, 0.0, 9.80665), start, ends, Watch(), tolerance=1e-4)
    for k in (20, 32, 38, 39):
        alone = integrate_batch(Toy(frequency[[k]], 0.0, 9.80665), start[:, [k]], ends[k], Watch(), tolerance=1e-4)
        assert (together.steps[k], together.taken_back[k]) == (alone.steps[0], alone.taken_back[0])
        assert together.states[:, k].tolist() == alone.states[:, 0].tolist()


def test_stiff_terms_of_any_number_relax_alike():
    """Three by cofactors and five by sweeps, against a dense inverse."""
    from noseload.solvers.batch import transient

    rng = np.random.default_rng(3)

    class Stage:
        def __init__(self, count):
            self.rows = rng.standard_normal((count, 6))
            light = rng.standard_normal((6, 6))
            self.light = light @ light.T
            self.slopes = rng.uniform(0.5, 50.0, (count, 1))
            self.pulls = (self.rows @ self.light)[:, :, None]

        def cross(self):
            inner = self.rows @ self.pulls[:, :, 0].T
            # The side view's order is 00, 01, 11, 02, 12, 22; that of any number row by row.
            order = ((0, 0), (0, 1), (1, 1), (0, 2), (1, 2), (2, 2))
            pairs = order if len(inner) == 3 else zip(*np.triu_indices(len(inner)), strict=True)
            return np.array([[inner[i, j]] for i, j in pairs])

        def along(self, speeds):
            return list(self.rows @ speeds)

    for count in (3, 5):
        stage, step = Stage(count), np.array([0.01])
        whole = np.eye(6) + step * (stage.pulls[:, :, 0].T * stage.slopes[:, 0]) @ stage.rows
        speeds = rng.standard_normal((6, 1))
        wanted = np.linalg.solve(whole, speeds)
        transient._relaxation(stage, step)(speeds)
        assert speeds == pytest.approx(wanted, abs=1e-10)
