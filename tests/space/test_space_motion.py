"""Motion in space against an independent program (its own formulation and integrator, held against a physics engine)."""

from dataclasses import replace
from functools import cache
from math import radians

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.model.errors import MissingDataError
from noseload.model.file.reader import change_vehicle
from noseload.model.generated import array_space_motion, scalar_space_motion, space_motion_order
from noseload.model.motion.programs import Program
from noseload.model.motion.vehicle_motion import VehicleMotion
from noseload.model.space.constraints import project_states
from noseload.model.space.motion_parameters import motion_numbers
from noseload.model.space.steady import SpaceSteady
from noseload.model.space.vehicle_motion import ENERGY_ROWS, SIZE, SPEED_ROWS, SpaceMotion
from noseload.model.symbols.derive_space_motion import derive_space_motion
from noseload.model.symbols.derive_space_slopes import derive_space_steady
from noseload.model.symbols.modules import scalar_module
from noseload.solvers.motion.transient import integrate
from noseload.studies.climb.standing import stand
from noseload.studies.climb.steady_start import steady_start
from noseload.studies.punch.options import TOLERANCES
from noseload.studies.space.climb import SpaceClimb
from noseload.studies.space.start import crawl_state, space_start
from second_route import integrate_otherwise
from space_punch_samples import controls_of, motion_of, punch_of, state_of_punch
from space_samples import NAMES, vehicle

ALLOWED = {"default": 1e-3, "tight": 1e-5}
"""Of the largest wheel load, as the side view's traces."""
SYMMETRIC = {"default": 1e-4, "tight": 1e-6}
"""Of the largest front load: two methods of one order on one motion."""
POSITION, SPEED, ENERGY = 1e-7, 1e-5, 1e-4
"""Drift in m and m/s, and energy residual; a hundredth at tight tolerances."""
BEND = 1e-3
"""m/s2: speed times yaw rate of a steady crawl, which both programs leave out."""


@cache
def run_of(name, tolerance):
    motion = motion_of(name)
    return motion, integrate(
        motion, state_of_punch(punch_of(name)["start_state"]), 0.0, 1.0, options=TOLERANCES[tolerance]
    )


def traces_of(motion, run, times):
    states = run.at(times)
    for _ in range(2):
        states, _, _ = project_states(motion.numbers, states)
    return states, motion.observe(states, controls_of(motion, times))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("tolerance", ["default", pytest.param("tight", marks=pytest.mark.slow)])
def test_traces_agree(name, tolerance):
    given = punch_of(name)
    motion, run = run_of(name, tolerance)
    times = np.array(given["time_s"])
    states, seen = traces_of(motion, run.raise_for_status(), times)
    loads = np.array(given["load_n"]).T
    allowed = ALLOWED[tolerance] * loads.max()
    assert np.abs(seen["load"] - loads).max() < allowed
    # In the thin air of a link the same error weighs as much as on a wheel; torques have the arm of a wheel.
    assert np.abs(seen["tensions"] - np.array(given["tension_n"]).T).max() < 5.0 * allowed
    torque = np.array(given["wheel_torque_n_m"]).T
    assert np.abs(seen["wheel_torque"] - torque).max() < ALLOWED[tolerance] * torque.max()
    for row, key, sign in ((5, "roll_deg", 1.0), (4, "nose_up_pitch_deg", -1.0), (3, "heading_deg", 1.0)):
        assert np.abs(sign * np.degrees(states[row]) - given[key]).max() < 60.0 * ALLOWED[tolerance]


@pytest.mark.parametrize("name", NAMES)
def test_a_run_keeps_rods_gears_and_energy(name):
    motion, run = run_of(name, "default")
    assert run.position_drift < POSITION and run.speed_drift < SPEED
    nodes = run.states.T
    residual, scale = motion.energy_residual(nodes, motion.observe(nodes, controls_of(motion, run.times)))
    assert np.abs(residual).max() < ENERGY * scale
    assert np.abs(np.diff(nodes[ENERGY_ROWS][0])).max() > 0.0


@pytest.mark.parametrize("name", NAMES)
def test_the_start_is_found(name):
    """The steady crawl of that program at 0.1 m/s: its state, its throttle, its accelerations."""
    given = punch_of(name)
    begin = space_start(SpaceClimb(vehicle(name)), grade=radians(given["slope_deg"]), creep_speed=0.1)
    assert begin.success
    assert begin.throttle == pytest.approx(given["throttle_start"], abs=1e-7)
    assert begin.state == pytest.approx(state_of_punch(given["start_state"]), abs=2e-6)
    assert begin.residual < BEND


@pytest.mark.parametrize(("exponent", "tolerances"), [(1.0, ("default", "tight")), (0.7, ("tight",))])
def test_left_and_right_alike_it_is_the_side_view(exponent, tolerances):
    """Without shaft couples the demo moves as its side view: loads at tight tolerance and at the default one.

    So it does where slip stiffness grows less than the load, for one wheel as for the pair.
    """
    keys = {f"{end}.tyre.slip_stiffness_exponent": exponent for end in ("rear", "front")}
    car = change_vehicle(demo_vehicle(), keys)
    flat, climb = stand(car), SpaceClimb(car, shafts=False)
    begin = steady_start(flat, grade=radians(35.0), creep_speed=0.1)
    wide = space_start(climb, grade=radians(35.0), creep_speed=0.1)
    assert wide.throttle == pytest.approx(begin.throttle, abs=1e-9)
    throttle = Program((0.1, 0.15), (begin.throttle, 1.0), "throttle program")
    times = np.arange(0.0, 0.5, 0.002)
    motion = VehicleMotion(begin.values, flat.weight, car.wheelbase, begin.grade, throttle=throttle)
    moving = SpaceMotion(wide.numbers, wide.grade, throttle=throttle)
    for tolerance in tolerances:
        plane = integrate(motion, begin.state, 0.0, 0.5, options=TOLERANCES[tolerance]).raise_for_status()
        space = integrate(moving, wide.state, 0.0, 0.5, options=TOLERANCES[tolerance]).raise_for_status()
        side = motion.observe(plane.at(times), controls_of(motion, times))["load"]
        _, seen = traces_of(moving, space, times)
        both = seen["load"].reshape(2, 2, -1)
        assert np.abs(both[:, 0] - both[:, 1]).max() < 1e-9 * flat.weight
        assert np.abs(both.sum(axis=1) - side).max() < SYMMETRIC[tolerance] * side[1].max()


def random_state(motion, seed):
    """Somewhere near a punch, off the constraints by nothing but rounding."""
    rng = np.random.default_rng(seed)
    state = state_of_punch(punch_of("leaning")["start_state"])
    state[:18] += 2e-3 * rng.standard_normal(18)
    state[SPEED_ROWS] += 0.3 * rng.standard_normal(21)
    for _ in range(6):
        state, *_ = motion.project(0.0, state)
    return state


def test_rates_hold_their_constraints_and_the_power_book_closes():
    """At states off any path: rods and gears keep their rates, and work, losses and stored energy balance."""
    motion = motion_of("leaning")
    for seed in range(4):
        state = random_state(motion, seed)
        rates = motion.rates(0.0, state)
        step = 1e-5
        ahead, behind = state + step * rates, state - step * rates
        drifts = [motion.project(0.0, there)[2] for there in (ahead, behind)]
        assert max(drifts) < 1e-6
        pair = np.stack([behind, ahead], axis=1)
        residual, _ = motion.energy_residual(pair, motion.observe(pair, controls_of(motion, np.zeros(2))))
        power = np.abs(rates[ENERGY_ROWS]).max()
        assert abs(residual[-1] - residual[0]) / (2.0 * step) < 1e-5 * power


def test_the_stiff_part_is_the_jacobian_along_the_slips():
    """``-pulls^T slopes rows`` takes the fast part out of the Jacobian; rows pulls^T is symmetric."""
    motion = motion_of("leaning")
    state = state_of_punch(punch_of("leaning")["start_state"])
    _, slopes, rows, pulls = motion.stiff_rates(0.0, state)
    inner = rows @ pulls.T
    assert np.abs(inner - inner.T).max() < 1e-9 * np.abs(inner).max()
    whole = np.zeros((21, 21))
    for k in range(21):
        step = np.zeros(SIZE)
        step[18 + k] = 1e-7
        whole[:, k] = (motion.rates(0.0, state + step) - motion.rates(0.0, state - step))[SPEED_ROWS] / 2e-7
    stiff = -(pulls.T * slopes) @ rows
    left = whole - stiff[SPEED_ROWS, SPEED_ROWS]
    fast = np.abs(np.linalg.eigvals(whole)).max()
    assert fast > 1500.0
    assert np.abs(np.linalg.eigvals(left)).max() < 0.2 * fast


@pytest.mark.parametrize("drive", ["both", "front"])
def test_the_jacobian_is_exact(drive):
    """Against central differences at a state off any path, brake on."""
    car = vehicle("single_upper")
    car = replace(car, drive=replace(car.drive, driven_axles=drive))
    brake = Program.constant(0.4, "brake program")
    numbers = motion_numbers(car, stand(car).free_lengths)
    motion = SpaceMotion(numbers, 0.3, throttle=Program.constant(0.2), brake_torque=brake, heading=0.2)
    state = state_of_punch(punch_of("single_upper")["start_state"])
    rng = np.random.default_rng(2)
    state[:18] += 1e-3 * rng.standard_normal(18)
    state[SPEED_ROWS] += 0.2 * rng.standard_normal(21)
    for _ in range(5):
        state, *_ = motion.project(0.0, state)
    exact = motion.jacobian(0.0, state)
    for k in range(ENERGY_ROWS.start):
        step = np.zeros(SIZE)
        step[k] = 1e-6
        slope = (motion.rates(0.0, state + step) - motion.rates(0.0, state - step)) / 2e-6
        wrong = np.abs(slope - exact[:, k])[: ENERGY_ROWS.start]
        assert (wrong < 3e-6 * (1.0 + np.abs(slope[: ENERGY_ROWS.start]) + np.abs(exact).max(axis=1)[:39])).all()


@pytest.mark.slow
@pytest.mark.parametrize("method", ["DOP853", "Radau"])
def test_two_routes_agree(method):
    """General-purpose integrators over a throttle step that lifts a wheel: the same path, and events at the same times."""
    motion, _ = run_of("leaning", "default")
    start = state_of_punch(punch_of("leaning")["start_state"])
    own = integrate(motion, start, 0.0, 0.35, options=TOLERANCES["tight"]).raise_for_status()
    other = integrate_otherwise(motion, start, 0.0, 0.35, method=method, tolerance=1e-9)
    other.raise_for_status()
    assert (own.states[-1] - other.states[-1])[:39] / motion.scales[:39] == pytest.approx(0.0, abs=5e-6)
    assert [event.name for event in own.events] == [event.name for event in other.events]
    times = [[event.time for event in run.events] for run in (own, other)]
    assert times[0] == pytest.approx(times[1], abs=2e-5)


@pytest.mark.slow
def test_the_order_of_the_method_shows():
    """The error in the middle of the punch, no stop or contact yet, falls at least as the tolerance does."""
    motion, _ = run_of("leaning", "default")
    start = state_of_punch(punch_of("leaning")["start_state"])

    def ends(tolerance):
        options = replace(TOLERANCES["tight"], tolerance=tolerance)
        return integrate(motion, start, 0.0, 0.18, options=options).raise_for_status().states[-1][:39]

    reference = ends(1e-10)
    # In the norm that steers the steps.
    errors = [float(np.mean(((ends(10.0**-k) - reference) / motion.scales[:39]) ** 2)) ** 0.5 for k in (5, 6, 7, 8)]
    assert all(error < 5.0 * 10.0**-k for error, k in zip(errors, (5, 6, 7, 8), strict=True))
    assert np.polyfit([5, 6, 7, 8], np.log10(errors), 1)[0] < -0.7


@pytest.mark.parametrize("kernel", ["axle_moves", "axle_drifts"])
def test_scalar_and_array_kernels_agree(kernel):
    motion = motion_of("leaning")
    states = np.stack([random_state(motion, seed) for seed in range(3)], axis=1)
    axle = motion.numbers.ordered_axles()[1]

    def arguments(y):
        groups = (y[0:6], y[18:24], y[12:18], y[30:36])
        if kernel == "axle_drifts":
            return (*groups, (y[37], y[38]), axle)
        return (*groups, (y[37], 1.0), (0.0, 0.0), motion.gravity, axle)

    out = np.zeros((array_space_motion.OUTPUT_ROWS[kernel], 3))
    scratch = np.empty((array_space_motion.SCRATCH_ROWS[kernel], 3))
    getattr(array_space_motion, f"{kernel}_batch")(*arguments(states), out, scratch)
    for k in range(3):
        one = getattr(scalar_space_motion, kernel)(*arguments(states[:, k].tolist()))
        assert out[:, k] == pytest.approx(one, rel=1e-10, abs=1e-10)


def test_a_fresh_derivation_gives_the_committed_kernels():
    motion, names = motion_of("leaning"), {}
    kernels, (steady, entries) = derive_space_motion(), derive_space_steady()
    exec(scalar_module("space_motion", [*kernels, steady]), names)
    assert tuple(i for i, _ in entries) == space_motion_order.STEADY_ROWS
    fresh = {k.name: {part: slice(*ends) for part, ends in k.rows().items()} for k in (steady, *kernels) if k.groups}
    assert fresh == {name: space_motion_order.ROWS[name] for name in fresh}
    assert len(motion.state_names) == motion.size == space_motion_order.STATE_ROWS["energies"].stop
    y = random_state(motion, 5).tolist()
    groups = (y[0:6], y[18:24], y[12:18], y[30:36])
    axle = motion.numbers.ordered_axles()[1]
    moving = (*groups, (y[37], 1.0), (0.0, 0.0), motion.gravity, axle)
    for name in ("axle_moves", "axle_moves_stiffly", "axle_switches", "axle_moving_seen"):
        assert names[name](*moving) == getattr(scalar_space_motion, name)(*moving)
    drifting = (*groups, (y[37], y[38]), axle)
    assert names["axle_drifts"](*drifting) == scalar_space_motion.axle_drifts(*drifting)


@pytest.mark.parametrize("options", [{"travel": 0.1}, {"motor_speed": 0.02}])
def test_slopes_of_steady_motion(options):
    """Against central differences, rear drive with free front wheels."""
    car = vehicle("leaning")
    car = replace(car, drive=replace(car.drive, driven_axles="rear"))
    climb = SpaceClimb(car, heading_deg=10.0)
    numbers = motion_numbers(car, climb.standing.side_view.free_lengths)
    steady = SpaceSteady(numbers, climb.equilibrium, **options)
    state, _ = steady.guess(crawl_state(climb, radians(15.0)))
    state += 1e-3 * np.random.default_rng(1).standard_normal(state.size) * steady.scales
    _, jacobian = steady.evaluate(state, 0.25)
    for k, scale in enumerate(steady.scales):
        step = np.zeros(state.size)
        step[k] = 1e-6 * scale
        slope = (steady.evaluate(state + step, 0.25)[0] - steady.evaluate(state - step, 0.25)[0]) / (2.0 * step[k])
        assert np.abs((slope - jacobian[:, k]) * scale / steady.residual_scales).max() < 1e-7


def test_a_vehicle_without_its_inertias_is_told_which():
    car = demo_vehicle()
    bare = replace(car, body=replace(car.body, yaw_inertia=None))
    with pytest.raises(MissingDataError, match=r"motion in space needs body\.yaw_inertia_kg_mm2"):
        motion_numbers(bare, stand(car).free_lengths)
