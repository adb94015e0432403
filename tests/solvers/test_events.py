"""Switches located within steps, corners of inputs, runs that join: what a run notes on its way."""

from math import sqrt

import numpy as np
import pytest

from noseload.solvers.motion.transient import TransientOptions, integrate
from second_route import integrate_otherwise
from toy_motion import GRAVITY, Toy, falling


def test_event_is_located():
    """Free fall from 1 m: sqrt(2 h/g)."""
    motion, start = falling([(lambda t, y: y[0], ("rises", "lands"), False)])
    run = integrate(motion, start, 0.0, 0.6)
    (event,) = run.events
    assert event.name == "lands" and event.time == pytest.approx(sqrt(2.0 / GRAVITY), abs=1e-8)
    assert abs(event.state[0]) < 1e-8 and run.ended_by is None and run.times[-1] == 0.6


def test_switch_that_passes_and_returns_within_one_step():
    """A throw that just tops a line: up and down again inside a single long step."""
    motion, _ = falling([(lambda t, y: y[0] - 0.99, ("over", "under"), False)])
    speed = sqrt(2.0 * GRAVITY)
    options = TransientOptions(tolerance=1e9, first_step=0.3, largest_step=0.3)
    run = integrate(motion, [0.0, speed], 0.0, 0.6, options=options)
    top, half = speed / GRAVITY, sqrt(2.0 * 0.01 / GRAVITY)
    assert [e.name for e in run.events] == ["over", "under"]
    assert [e.time for e in run.events] == pytest.approx([top - half, top + half], abs=1e-7)


@pytest.mark.parametrize(("move", "found"), [(0.0, True), (0.01, True), (1.0, False)])
def test_kinks_without_a_name_end_steps_that_go_far_over_them(move, found):
    """A fall through a place where nothing happens: a node there or none, no event, the same end."""
    motion, start = falling(
        [(lambda t, y: y[0] - 0.5, (None, None), False), (lambda t, y: y[0] - 0.2, (None, "low"), False)]
    )
    run = integrate(motion, start, 0.0, 0.44, options=TransientOptions(silent_move=move))
    assert bool(np.abs(run.states[:, 0] - 0.5).min() < 1e-8) is found
    assert [event.name for event in run.events] == ["low"] and np.abs(run.states[:, 0] - 0.2).min() < 1e-8
    assert run.states[-1, 0] == pytest.approx(1.0 - 0.5 * GRAVITY * 0.44**2, abs=1e-9)


@pytest.mark.parametrize(("speed", "names"), [(1.0, ["lands"]), (-1.0, [])])
def test_event_at_the_start(speed, names):
    """Exactly on the ground at t = 0: the side it is moving to is where it is; leaving is no event."""
    motion, _ = falling([(lambda t, y: y[0], ("rises", "lands"), False)])
    run = integrate(motion, [0.0, speed], 0.0, 0.5)
    assert [e.name for e in run.events] == names


def test_terminal_event_in_the_first_step():
    motion, _ = falling([(lambda t, y: -y[0], ("down", None), True)])
    run = integrate(motion, [1e-6, -1.0], 0.0, 0.5)
    assert run.success and run.ended_by == "down" and len(run.times) == 2
    assert run.times[-1] == pytest.approx(1e-6, rel=1e-3)


def test_jumps_of_an_input_are_one_sided():
    """y' = 1, then 3 after a jump at 0.5: exact in both pieces, node on the jump."""
    motion = Toy(lambda t, y, piece: [3.0 if piece[0] >= 0.5 else 1.0], 1, corners=(0.5,))
    for run in (integrate(motion, [0.0], 0.0, 1.0), integrate_otherwise(motion, [0.0], 0.0, 1.0)):
        assert 0.5 in run.times and run.states[-1, 0] == pytest.approx(2.0, abs=1e-12)
        assert run.at([0.25, 0.75])[0] == pytest.approx([0.25, 1.25], abs=1e-12)


def test_runs_join_as_one():
    motion, start = falling([(lambda t, y: y[0] - 0.5, (None, "half way"), False)])
    first = integrate(motion, start, 0.0, 0.2)
    whole = first.join(integrate(motion, first.states[-1], 0.2, 0.4))
    assert whole.at([0.4])[0, 0] == pytest.approx(1.0 - 0.5 * GRAVITY * 0.16, abs=1e-12)
    assert len(whole.events) == 1 and whole.effort.steps == len(whole.times) - 1
    nothing = integrate(motion, start, 0.0, 0.0)
    assert nothing.at([0.0, 0.1]).shape == (2, 2)


@pytest.mark.parametrize("method", ["DOP853", "Radau", "LSODA"])
def test_other_integrators_agree(method):
    motion, start = falling([(lambda t, y: y[0] - 0.5, (None, "half way"), False)])
    run = integrate_otherwise(motion, start, 0.0, 0.4, method=method, tolerance=1e-9)
    assert run.events[0].time == pytest.approx(1.0 / sqrt(GRAVITY), abs=1e-6)
    assert run.states[-1, 0] == pytest.approx(1.0 - 0.5 * GRAVITY * 0.16, abs=1e-6)
    with pytest.raises(KeyError, match="Euler"):
        integrate_otherwise(motion, start, 0.0, 0.4, method="Euler")
