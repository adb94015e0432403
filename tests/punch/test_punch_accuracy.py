"""Default tolerance keeps what is promised, or the result says that it did not; `tests/punch_accuracy.py` runs many."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from noseload import demo_vehicle, punch, punch_wheels
from noseload.model.motion.programs import Program
from noseload.model.motion.vehicle_motion import TOUCH_DEPTH, shock_switches
from noseload.model.space.parameters import WHEELS
from noseload.studies.punch.options import KEPT_OF_SUM, PROMISED, expected_load_error, kept_or_not
from punch_accuracy import error_of

STOP = (2e4, 40.0)
"""N/m and N s/m: between 0 and 1 mm it lets go where it opens faster than k d1/c = 0.5 m/s."""


@pytest.mark.parametrize(("seed", "plane"), [(25, True), (5, False)])
def test_loads_are_as_good_as_promised(seed, plane):
    """The first swings hardly damped on tyres of 20 N/mm: at one fixed tolerance its loads were once off by 5e-3."""
    error, result = error_of(seed, plane=plane)
    assert error < PROMISED["default"] and result.stats["load_error"] <= PROMISED["default"]
    assert kept_or_not(result.stats, "default") == []


def test_a_start_on_the_drag_brake_is_as_good():
    """Braked wheels pass their standstill within a step or two: once nobody saw that, and loads were off by up to 2e-2."""
    asked = {"grade_deg": 35.0, "start": "brake", "rise_s": 0.05, "duration_s": 0.6, "outcome": False}
    rough, fine = (punch(demo_vehicle(), tolerance=tolerance, **asked) for tolerance in ("default", "tight"))
    gaps = [np.abs(rough.traces[name] - fine.traces[name]).max() for name in ("front_load_n", "rear_load_n")]
    assert max(gaps) < PROMISED["default"] * fine.front_load_n.max()


def test_what_is_not_kept_is_told():
    (line,) = kept_or_not({"load_error": 0.004}, "default")
    assert line.startswith("accuracy not kept: loads may be off by 0.4 % of the weight, where 0.1 % is promised")
    assert line.endswith("ask for --tight") and "ask" not in kept_or_not({"load_error": 1e-4}, "tight")[0]


def test_a_vehicle_that_hops_on_and_on_is_doubted():
    """One of 300 vehicles landed 46 times in a second: off by 6e-3 where its steps let expect 2e-4, and nobody was told."""
    motion = SimpleNamespace(brake_torque=Program.constant(0.0), contacts=WHEELS)

    def doubt(landings):
        events = tuple(SimpleNamespace(name="front_left_touchdown") for _ in range(landings))
        return expected_load_error(motion, SimpleNamespace(error_sum=1e-3, ended_by=None, events=events))

    assert doubt(6) == doubt(0) == pytest.approx(KEPT_OF_SUM * 1e-3)
    assert doubt(46) > 20.0 * doubt(0)


def test_stops_are_located_by_their_force_and_its_onset():
    """A stop pushes where its clipped force does; one number a shock tells where its damping has set in."""
    half = 0.5 * TOUCH_DEPTH
    droop, bump, onset = shock_switches([half], [-1.0], [-0.4], [STOP])
    assert droop > 0.0 > bump and onset == pytest.approx(-half)
    droop, _, _ = shock_switches([half], [-1.0], [-0.6], [STOP])
    assert droop < 0.0
    _, bump, onset = shock_switches([-1.0], [3.0 * half], [0.6], [STOP])
    assert bump > 0.0 and onset == pytest.approx(half)


def test_dry_friction_of_shocks_acts_in_space_as_in_the_side_view():
    """The key `friction_n` was once left out of the punch in space, which then was another vehicle's."""
    car = demo_vehicle()
    rubbing = {
        end: replace(getattr(car, end), shock=replace(getattr(car, end).shock, friction=2.0))
        for end in ("rear", "front")
    }
    rough = replace(car, **rubbing)
    options = {"grade_deg": 35.0, "duration_s": 0.25, "outcome": False}
    flat, space = punch(rough, **options), punch_wheels(rough, shafts=False, **options)
    smooth = punch_wheels(car, shafts=False, **options)
    largest = flat.front_load_n.max()
    assert np.abs(space.front_load_n - flat.front_load_n).max() < 1e-3 * largest
    assert np.abs(space.front_load_n - smooth.front_load_n).max() > 0.02 * largest
    assert space.stats["energy_residual"] < 1e-4
