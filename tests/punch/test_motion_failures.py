"""Ways in which the motion of a whole vehicle can fail or end at once, by name; error against tolerance, drive by drive."""

from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest

from noseload.model.file.reader import load_vehicle
from noseload.model.motion.mobility import add_inertia
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import SIZE
from noseload.model.motion.vehicle_motion import VehicleMotion
from noseload.solvers.errors import SolverError, Status
from noseload.solvers.motion.transient import TransientOptions, integrate
from noseload.studies.climb.standing import stand
from noseload.studies.climb.steady_start import steady_start
from toy_motion import Toy

CHECK = Path(__file__).parents[1] / "data" / "check.toml"
SCALED_ERROR = 5.0
"""Error of the end state in tolerances (usual bound of such checks); 4.7 at most was seen."""
ORDER_MARGIN = 0.3
"""An observed slope may miss the order by so much (usual bound of convergence studies)."""


@pytest.fixture(scope="module")
def standing():
    return stand(load_vehicle(CHECK))


def motion_of(standing, throttle=0.0, **changes):
    values = add_inertia(standing.equilibrium.values.with_values(changes), standing.vehicle)
    return VehicleMotion(values, standing.weight, standing.vehicle.wheelbase, 0.0, throttle=Program.constant(throttle))


def at_rest(standing):
    state = np.zeros(SIZE)
    state[1:9] = standing.state[:8]
    return state


def turned(standing, pitch_deg, rate):
    """The standing vehicle turned nose up about the origin and lifted clear of the ground, turning at `rate` rad/s."""
    state = at_rest(standing)
    angle = radians(pitch_deg) + state[2]
    for k in (0, 3, 6):
        x, z = state[k : k + 2]
        state[k : k + 2] = x * cos(angle) - z * sin(angle), x * sin(angle) + z * cos(angle)
        state[9 + k : 12 + k] = -rate * state[k + 1], rate * state[k], -rate
        state[k + 2] -= angle
    state[[1, 4, 7]] += 1.0
    return state


def test_flip_in_the_first_step(standing):
    """A hundredth of a degree short of 80 deg at 5 rad/s: 35 microseconds of flight without torque."""
    run = integrate(motion_of(standing), turned(standing, 79.99, 5.0), 0.0, 0.5)
    assert run.success and run.ended_by == "flips_back" and len(run.times) == 2
    assert run.times[-1] == pytest.approx(radians(0.01) / 5.0, rel=1e-3)
    assert [event.name for event in run.events] == ["flips_back"]


@pytest.mark.parametrize(("pitch_deg", "name"), [(80.5, "flips_back"), (-80.5, "flips_forward")])
def test_flipped_at_the_start(standing, pitch_deg, name):
    run = integrate(motion_of(standing), turned(standing, pitch_deg, 0.0), 0.0, 0.5)
    assert run.status is Status.ENDED_AT_START
    with pytest.raises(SolverError, match=f"stopped at 0 s: .*End condition: '{name}'"):
        run.raise_for_status()


@pytest.mark.parametrize(("rate", "names"), [(-0.1, []), (0.1, ["front_touchdown"])])
def test_contact_at_the_start(standing, rate, names):
    """Front tyres exactly at the ground at t = 0: the side they move to is where they are, and no event."""
    state = at_rest(standing)
    radius = motion_of(standing).values.front.tyre_radius
    state[[1, 4, 7]] += radius - state[7]
    state[[10, 13, 16]] = rate
    run = integrate(motion_of(standing), state, 0.0, 0.03).raise_for_status()
    assert [event.name for event in run.events if event.name.startswith("front_t")] == names
    if names:
        # Thrown up: back on the ground only once the front axle comes down again.
        touch = next(event for event in run.events if event.name == "front_touchdown")
        assert touch.state[7] == pytest.approx(radius, abs=1e-8) and touch.state[16] < 0.0 < touch.time


def test_start_that_is_not_finite(standing):
    state = at_rest(standing)
    state[17] = np.inf
    run = integrate(motion_of(standing), state, 0.0, 0.1)
    assert run.status is Status.NOT_FINITE
    with pytest.raises(SolverError, match="'front_theta_rate' is not a finite number at the start"):
        run.raise_for_status()


def test_rates_that_are_not_finite(standing):
    run = integrate(motion_of(standing, stall_torque=float("nan")), at_rest(standing), 0.0, 0.1)
    assert run.status is Status.NOT_FINITE
    with pytest.raises(SolverError, match=r"stopped at 0 s: .*rates of the motion are not finite"):
        run.raise_for_status()


@pytest.mark.parametrize(
    ("row", "off", "message"),
    [
        (7, 1e-3, r"violated by 4\.86e-05 in position; 1e-06 is allowed"),
        (16, 0.1, r"violated by 0\.\d+ in speed; 0.0001"),
    ],
)
def test_inconsistent_start(standing, row, off, message):
    """Front axle 1 mm out of its links, or leaving them at 0.1 m/s."""
    state = at_rest(standing)
    state[row] += off
    run = integrate(motion_of(standing), state, 0.0, 0.1)
    assert run.status is Status.INCONSISTENT_START
    with pytest.raises(SolverError, match=message):
        run.raise_for_status()


def test_steps_too_small(standing):
    """A tolerance below rounding: no step is good enough, and the run says where and by how much it failed."""
    options = TransientOptions(tolerance=1e-18, smallest_step=1e-6)
    run = integrate(motion_of(standing, throttle=1.0), at_rest(standing), 0.0, 0.1, options=options)
    assert run.status is Status.STEP_TOO_SMALL
    with pytest.raises(SolverError, match=r"A step of \S+ s still errs \S+ times what is allowed"):
        run.raise_for_status()


def test_jump_that_relaxes_faster_than_the_smallest_step():
    """An input jumps where the stiff part decays at 1e13 1/s (wheels without inertia): the step after the jump was cut
    to 1/decay, below the smallest step, and a run that needed no small steps stopped there."""
    unit = np.array([[1.0]])
    motion = Toy(
        lambda t, y, piece: [-1e13 * (y[0] - float(piece[0] >= 0.5))],
        1,
        corners=(0.5,),
        stiff=(np.array([1e13]), unit, unit),
    )
    run = integrate(motion, [0.0], 0.0, 1.0).raise_for_status()
    assert run.states[-1, 0] == pytest.approx(1.0, abs=1e-9) and run.effort.steps < 200


@pytest.mark.slow
@pytest.mark.parametrize(("drive", "grade_deg"), [("both", 20.0), ("rear", 20.0), ("front", 10.0)])
def test_error_follows_the_tolerance(drive, grade_deg):
    """End of half a second of punch, against 1e-10: within five tolerances at each, falling as the tolerance does;
    the effort grows as tolerance^(-1/4). One stiff mode in the first drive, two in the others."""
    standing = stand(load_vehicle(CHECK, drive=drive))
    begin = steady_start(standing, grade=radians(grade_deg), creep_speed=0.1)

    def run(tolerance):
        motion = VehicleMotion(
            begin.values, standing.weight, 0.3, begin.grade, throttle=Program((0.1, 0.15), (begin.throttle, 1.0))
        )
        first = 0.02 * (tolerance / 1e-5) ** 0.25
        done = integrate(
            motion, begin.state, 0.0, 0.5, options=TransientOptions(tolerance=tolerance, first_step=min(1e-3, first))
        ).raise_for_status()
        return done.states[-1, :20] / motion.scales[:20], done.effort.nfev

    exact, _ = run(1e-10)
    tolerances = np.array([1e-5, 1e-6, 1e-7, 1e-8])
    # In the norm that steers the steps, as in space; an axle's scale is what its tyres' swing does to the load.
    errors, efforts = zip(
        *((float(np.mean((end - exact) ** 2)) ** 0.5, nfev) for end, nfev in map(run, tolerances)), strict=True
    )
    assert (np.array(errors) < SCALED_ERROR * tolerances).all()
    assert np.polyfit(np.log(tolerances), np.log(errors), 1)[0] == pytest.approx(1.0, abs=ORDER_MARGIN)
    assert efforts[-1] / efforts[0] < 1.5 * 1000.0**0.25, "with half as much again of room"
