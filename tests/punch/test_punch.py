"""The punch against independent traces, closed forms, other integrators and itself."""

import json
import re
from dataclasses import replace
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest

from noseload.model.crawl.load_budget import load_budget
from noseload.model.crawl.steady import SteadyMotion
from noseload.model.file.reader import load_vehicle
from noseload.model.motion.mobility import add_inertia, inertia_block, mobility
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import COORDINATE_ROWS, ENERGY_ROWS, SIZE, SPEED_ROWS
from noseload.model.motion.vehicle_motion import VehicleMotion, contact_switch, project_states
from noseload.solvers.motion.transient import TransientOptions, integrate
from noseload.solvers.newton import solve
from noseload.studies.climb.creep import creep
from noseload.studies.climb.standing import stand
from noseload.studies.climb.steady_start import steady_start
from noseload.studies.punch.options import TOLERANCES
from noseload.studies.punch.punch import punch
from second_route import integrate_otherwise

DATA = Path(__file__).parents[1] / "data"
CASES = [
    (name, drive, grade) for name in ("check", "check-raised") for drive in ("both", "rear") for grade in (0, 20, 35)
]
QUICK = [("check", "both", 20), ("check-raised", "rear", 35)]
TRACE_TOLERANCE = {"default": 1e-3, "tight": 1e-5}
"""Of the largest front load: what each tolerance promises."""
DRIFT = {"default": (1e-7, 1e-5), "tight": (1e-9, 1e-7)}
"""m and m/s, promised likewise."""
ENERGY = {"default": 1e-4, "tight": 1e-7}
"""Of the energy scale, promised likewise."""
TIME_TOLERANCE = 1.001e-3
"""s: the independent summary counts samples of 1 ms."""
SUM_TOLERANCE = 1e-9
"""Of the weight: the budget is an identity."""
LOAD_TOLERANCE = 1e-6
"""N: two routes to one steady state."""


def vehicle(name="check", drive="both", **changes):
    base = load_vehicle(DATA / f"{name}.toml", drive=drive)
    return replace(base, drive=replace(base.drive, **changes))


def reference(name, drive, grade):
    """Source: independent minimal-coordinate program, two integrators within 1e-6 N of each other."""
    cases = json.loads((DATA / f"{name}.json").read_text())["punch"]
    return next(c for c in cases if c["drive"] == drive and c["grade_deg"] == grade)


def check_against_reference(name, drive, grade, tolerance):
    expected = reference(name, drive, grade)
    result = punch(vehicle(name, drive), grade_deg=grade, tolerance=tolerance)
    assert result.throttle_start == pytest.approx(expected["throttle_start"], abs=1e-12)
    assert result.time_s[::5] == pytest.approx(expected["time_s"], abs=1e-12)
    largest = max(expected["front_load_n"])
    for key in ("front_load_n", "rear_load_n", "nose_up_pitch_deg", "rear_upper_link_n"):
        worst = np.abs(result.traces[key][::5] - np.array(expected[key])).max()
        assert worst < TRACE_TOLERANCE[tolerance] * largest, key
    summary = result.summary
    assert summary["front_load_min_n"] == pytest.approx(expected["front_load_min_n"], abs=1e-3)
    assert summary["front_load_min_time_s"] == pytest.approx(expected["front_load_min_time_s"], abs=TIME_TOLERANCE)
    assert summary["front_airborne_s"] == pytest.approx(expected["front_airborne_s"], abs=TIME_TOLERANCE)
    assert summary["peak_nose_up_pitch_deg"] == pytest.approx(expected["peak_nose_up_pitch_deg"], abs=1e-3)
    position, speed = DRIFT[tolerance]
    assert result.stats["position_drift_m"] < position and result.stats["speed_drift_m_per_s"] < speed
    assert result.stats["energy_residual"] < ENERGY[tolerance]
    total = sum(result.budget.values())
    assert np.abs(total - result.front_load_n).max() < SUM_TOLERANCE * result.standing.weight
    assert result.stats["nfev"] < (1800 if tolerance == "default" else 9000), "50 % above what was measured"


@pytest.mark.parametrize(("name", "drive", "grade"), QUICK)
def test_traces_agree_with_independent_program(name, drive, grade):
    check_against_reference(name, drive, grade, "default")


@pytest.mark.slow
@pytest.mark.parametrize("tolerance", list(TOLERANCES))
@pytest.mark.parametrize(("name", "drive", "grade"), CASES)
def test_all_traces_agree_with_independent_program(name, drive, grade, tolerance):
    check_against_reference(name, drive, grade, tolerance)


# the equations of motion -------------------------------------------------------------------------


def moving(drive="both", grade=0.3, *, throttle=0.4, brake=0.0, name="check", seed=7):
    """A motion with an arbitrary state on its constraints: stops, slip and tyres all at work."""
    standing = stand(vehicle(name, drive))
    values = add_inertia(standing.equilibrium.values, standing.vehicle)
    motion = VehicleMotion(
        values,
        standing.weight,
        standing.vehicle.wheelbase,
        grade,
        throttle=Program.constant(throttle),
        brake_torque=Program.constant(brake),
    )
    rng = np.random.default_rng(seed)
    state = np.zeros(SIZE)
    state[1:9] = standing.state[:8]
    state[:9] += 2e-3 * rng.normal(size=9)
    state[9:18] = 0.2 * rng.normal(size=9)
    state[[9, 12, 15]] += 0.4
    state[18:20] = 7.0 + 0.3 * rng.normal(size=2)
    if drive == "both":
        state[19] = state[18]
    for _ in range(4):
        state = motion.project(0.0, state)[0]
    return motion, state


@pytest.mark.parametrize("drive", ["both", "rear", "front"])
def test_jacobian_is_the_slope_of_the_rates(drive):
    motion, state = moving(drive, brake=0.2)
    jacobian = motion.jacobian(0.0, state)
    for k in range(20):
        shift = np.zeros(SIZE)
        shift[k] = 1e-6
        slope = (motion.rates(0.0, state + shift) - motion.rates(0.0, state - shift)) / 2e-6
        assert jacobian[:20, k] == pytest.approx(slope[:20], abs=1e-6 * np.abs(jacobian).max()), k


@pytest.mark.parametrize(("drive", "count"), [("both", 1), ("rear", 2), ("front", 2)])
def test_stiff_terms_hold_the_stiff_eigenvalues(drive, count):
    """What the low-rank part leaves over is slow: one stiff mode with both axles geared, else two."""
    standing = stand(vehicle(drive=drive))
    begin = steady_start(standing, grade=radians(10.0), creep_speed=0.1)
    motion = VehicleMotion(begin.values, standing.weight, 0.3, begin.grade, throttle=Program.constant(begin.throttle))
    state = begin.state
    rates, slopes, rows, pulls = motion.stiff_rates(0.0, state)
    np.testing.assert_allclose(rates, motion.rates(0.0, state), rtol=1e-12)
    np.testing.assert_allclose(rows @ pulls.T, (rows @ pulls.T).T, rtol=1e-9)
    jacobian = motion.jacobian(0.0, state)[:20, :20]
    stiff = -(pulls.T * slopes @ rows)[:20, :20]
    fast = np.abs(np.linalg.eigvals(jacobian))
    assert np.sum(fast > 1000.0) == count
    assert np.abs(np.linalg.eigvals(jacobian - stiff)).max() < 0.2 * fast.max()


@pytest.mark.parametrize("drive", ["both", "rear"])
def test_mobility_is_the_inverse_of_what_gears_leave(drive):
    values = add_inertia(stand(vehicle(drive=drive, front_overdrive=1.1)).values, vehicle(drive=drive))
    axles = (values.moving.rear, values.moving.front)
    block, inverse = inertia_block(axles), mobility(values, axles)
    np.testing.assert_allclose(inverse @ block @ inverse, inverse, atol=1e-9 * np.abs(inverse).max())
    if drive == "both":
        np.testing.assert_allclose(inverse[3], 1.1 * inverse[2], rtol=1e-12)
    else:
        np.testing.assert_allclose(inverse @ block, np.eye(4), atol=1e-12)


def test_contact_switch_follows_the_touch_force():
    """Force k d + c d' min(1, d/d1): within the first millimetre damping cannot lift a tyre by itself."""
    stiffness, damping = 3600.0, 7.0
    raw = lambda depth, rate: stiffness * depth + damping * rate  # noqa: E731 one formula, used thrice
    assert contact_switch(-1e-4, 5.0, stiffness) == -1e-4
    assert contact_switch(5e-4, raw(5e-4, -0.4), stiffness) > 0.0
    assert contact_switch(5e-4, raw(5e-4, -0.6), stiffness) < 0.0
    assert contact_switch(2e-3, raw(2e-3, -2.0), stiffness) < 0.0


def test_motor_curve():
    """Power is greatest at half the no-load speed, T_s w_0/4: derived from the straight line (0.325 N m, 600 rev/min: 5.10509 W)."""
    motion, state = moving("rear")
    values = motion.values.with_values({"stall_torque": 0.325, "no_load_speed": 600 * 2 * np.pi / 60})
    powers = []
    for spin in np.linspace(0.0, values.no_load_speed, 601):
        state[18] = spin
        full = VehicleMotion(values, 1.0, 1.0, 0.0, throttle=Program.constant(1.0))
        powers.append(full.rates(0.0, state)[ENERGY_ROWS][0])
    assert np.argmax(powers) == 300 and max(powers) == pytest.approx(5.10509, rel=1e-6)


# starts ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("drive", ["both", "rear", "front"])
@pytest.mark.parametrize("overdrive", [1.0, 1.08])
@pytest.mark.parametrize("grade", [0.0, 15.0, -20.0])
def test_start_is_steady(drive, overdrive, grade):
    standing = stand(vehicle(drive=drive, front_overdrive=overdrive))
    begin = steady_start(standing, grade=radians(grade), creep_speed=0.1)
    assert begin.success and begin.residual < 1e-9, "m/s2 and rad/s2: nothing accelerates"
    motion = VehicleMotion(begin.values, standing.weight, 0.3, begin.grade, throttle=Program.constant(begin.throttle))
    run = integrate(motion, begin.state, 0.0, 0.3)
    still = run.states[-1] - run.states[0]
    assert np.abs(np.delete(still[:20], [0, 3, 6])).max() < 1e-9, "and it stays as it is"
    assert still[0] == pytest.approx(0.03, abs=1e-9)


def test_start_on_the_brake_creeps_by_slip():
    """A smoothed friction law cannot hold still: v = v0 artanh(tan/mu), derived; mu 1 and 30 deg: 0.658479 v0."""
    base = vehicle(drag_brake_torque=3.0)
    tyre = replace(base.rear.tyre, grip_coefficient=1.0, slip_ratio_scale=0.0)
    held = replace(base, rear=replace(base.rear, tyre=tyre), front=replace(base.front, tyre=tyre))
    begin = steady_start(stand(held), grade=radians(30.0), creep_speed=0.1, start="brake")
    motion = VehicleMotion(begin.values, 1.0, 0.3, begin.grade, throttle=Program.constant(0.0))
    seen = motion.observe(begin.state[:, None], np.array([[0.0], [1.0], [3.0]]))
    assert seen["slip"][:, 0] / tyre.slip_speed == pytest.approx(0.658479, abs=5e-3), (
        "the brake lets the wheels turn a hair"
    )
    used = seen["traction"].sum() / seen["load"].sum()
    assert np.arctanh(used) == pytest.approx(0.658479, abs=1e-6)
    assert begin.residual < 1e-9 and begin.state[9] < 0.0 and begin.throttle == 0.0


@pytest.mark.parametrize(
    ("drive", "grade", "reason"),
    [("front", 50.0, "times the grip"), ("both", 75.0, "tips over"), ("rear", -60.0, "the grip|tips over")],
)
def test_start_that_cannot_be_held_is_an_outcome(drive, grade, reason):
    result = punch(vehicle(drive=drive), grade_deg=grade)
    assert result.status == "start_not_held" and not result.success
    document = result.to_dict()
    assert document["status"] == "start_not_held" and "time_s" not in document
    assert re.search(reason, document["message"])
    assert "start_not_held" in repr(result)


def test_start_needs_more_motor_or_brake_than_there_is():
    weak = punch(vehicle(stall_torque=0.5), grade_deg=35.0)
    assert weak.status == "start_not_held" and weak.throttle_start > 1.0 and "more than the motor has" in weak.message
    loose = punch(vehicle(drag_brake_torque=0.1), grade_deg=35.0, start="brake")
    assert loose.status == "start_not_held" and "drag brake has 100 N mm" in loose.message


# steady states and symmetry ----------------------------------------------------------------------


@pytest.mark.parametrize(("drive", "grade"), [("both", 10.0), ("rear", 10.0), ("front", 5.0)])
def test_settled_transient_is_its_own_steady_state(drive, grade):
    """Constant throttle for 4 s (30 time constants): the state is the steady motion at the speed reached."""
    standing = stand(vehicle(drive=drive))
    result = punch(standing.vehicle, grade_deg=grade, throttle=0.4, duration_s=4.0, sample_s=0.01, tolerance="tight")
    reached = float(result.traces["speed_mm_per_s"][-1]) * 1e-3
    again = steady_start(standing, grade=radians(grade), creep_speed=reached)
    assert again.throttle == pytest.approx(0.4, abs=1e-6)
    final = result.states[:20, -1].copy()
    final[[0, 3, 6]] -= final[3] - again.state[3]
    assert final == pytest.approx(again.state[:20], abs=1e-6)
    if drive != "both":
        slow = creep(standing.vehicle, grade_deg=grade)
        assert result.front_load_n[-1] == pytest.approx(slow.front_load_n, abs=LOAD_TOLERANCE)


def mirrored(v):
    """The vehicle turned end for end: front and rear swapped, x counted from the other wheel."""

    def turned(point):
        return (v.wheelbase - point[0], *point[1:])

    def axle(part):
        ends = {
            name: replace(
                getattr(part, name),
                chassis_end=turned(getattr(part, name).chassis_end),
                axle_end=turned(getattr(part, name).axle_end),
            )
            for name in ("lower_link", "upper_link", "shock")
        }
        return replace(part, **ends)

    x, z = v.body.centre_of_gravity
    drive = {"both": "both", "rear": "front", "front": "rear"}[v.drive.driven_axles]
    return replace(
        v,
        rear=axle(v.front),
        front=axle(v.rear),
        document={},
        body=replace(v.body, centre_of_gravity=(v.wheelbase - x, z)),
        drive=replace(v.drive, driven_axles=drive),
    )


@pytest.mark.parametrize("drive", ["both", "rear"])
def test_mirrored_vehicle_driving_backwards_mirrors_the_loads(drive):
    plain = vehicle(drive=drive)
    ahead = punch(plain, grade_deg=20.0, duration_s=0.5, outcome=False)
    back = punch(
        mirrored(plain), grade_deg=-20.0, throttle=-1.0, creep_speed_mm_per_s=-100.0, duration_s=0.5, outcome=False
    )
    # Rounding differs, so steps may too: what the default tolerance leaves is a thousandth of the bound on traces.
    assert back.traces["rear_load_n"] == pytest.approx(ahead.front_load_n, abs=1e-5)
    assert back.traces["nose_up_pitch_deg"] == pytest.approx(-ahead.traces["nose_up_pitch_deg"], abs=1e-5)
    assert back.traces["front_upper_link_n"] == pytest.approx(ahead.traces["rear_upper_link_n"], abs=1e-4)


@pytest.mark.slow
@pytest.mark.parametrize("method", ["LSODA", "DOP853"])
def test_other_integrators_give_the_same_punch(method):
    standing = stand(vehicle(drive="rear"))
    begin = steady_start(standing, grade=radians(35.0), creep_speed=0.1)
    motion = VehicleMotion(
        begin.values, standing.weight, 0.3, begin.grade, throttle=Program((0.1, 0.15), (begin.throttle, 1.0))
    )
    runs = (
        integrate(motion, begin.state, 0.0, 0.5, options=TransientOptions(tolerance=1e-9)),
        # Between nodes DOP853's polynomials are of lower order than its steps: compared where they are short.
        integrate_otherwise(motion, begin.state, 0.0, 0.5, method=method, tolerance=1e-10, largest_step=5e-4),
    )
    times = np.linspace(0.0, 0.5, 101)
    one, other = (run.raise_for_status().at(times)[:20] / motion.scales[:20, None] for run in runs)
    assert np.abs(one - other).max() < 1e-6
    assert [e.name for e in runs[0].events] == [e.name for e in runs[1].events]
    assert [e.time for e in runs[0].events] == pytest.approx([e.time for e in runs[1].events], abs=1e-5)


# closed forms ------------------------------------------------------------------------------------


def settled_slide(grade_deg, *, grip=None, brake=0.0, wheels=None):
    """Motion after 6 s on a slope with a dead motor: free wheels, or held by the brake; the acceleration over 1 s."""
    base = vehicle(
        stall_torque=1e-12, drag_brake_torque=brake, rotor_inertia=0.0, driven_axles="both" if brake else "rear"
    )
    tyre = replace(base.rear.tyre, grip_coefficient=grip or 2.0, slip_ratio_scale=0.0)
    parts = {
        end: replace(getattr(base, end), tyre=tyre, wheel_pair_inertia=wheels or 360e-6) for end in ("rear", "front")
    }
    standing = stand(replace(base, **parts))
    values = add_inertia(standing.equilibrium.values, standing.vehicle)
    motion = VehicleMotion(
        values,
        standing.weight,
        0.3,
        radians(grade_deg),
        throttle=Program.constant(0.0),
        brake_torque=Program.constant(brake),
    )
    state = np.zeros(SIZE)
    state[1:9] = standing.state[:8]
    run = integrate(motion, state, 0.0, 6.0, options=TOLERANCES["tight"]).raise_for_status()
    end = run.states[-1]
    seen = motion.observe(end[:, None], np.array([[0.0], [1.0], [brake]]))
    return motion, standing, end, seen, end[9] - run.at([5.0])[9, 0]


@pytest.mark.slow
@pytest.mark.parametrize("wheels", [360e-6, 2e-3])
def test_free_rolling_vehicle(wheels):
    """g sin/(1 + sum I/(m r^2)) with each wheel's own rolling radius (physics texts), and the load transfer of
    acceleration and wheels, m h (g sin + a) + sum I a/r (Gillespie ch. 1 from memory; wheel term derived)."""
    motion, standing, end, seen, acceleration = settled_slide(30.0, wheels=wheels)
    mass, gravity = standing.weight / 9.80665, 9.80665
    heights = [
        motion.values.axle(name).tyre_radius - seen["tyre_depth"][k, 0] for k, name in enumerate(("rear", "front"))
    ]
    expected = -gravity * sin(radians(30.0)) / (1.0 + sum(wheels / (mass * r * r) for r in heights))
    assert acceleration == pytest.approx(expected, rel=1e-6)
    x, z = end[[0, 3, 6]], end[[1, 4, 7]]
    masses = np.array([motion.values.mass_of(body) for body in ("chassis", "rear", "front")])
    rear_to_centre, height = masses @ (x - x[1]) / mass, masses @ z / mass
    load = (
        standing.weight * cos(radians(30.0)) * rear_to_centre
        - mass * height * (gravity * sin(radians(30.0)) + acceleration)
        - sum(wheels * acceleration / r for r in heights)
    ) / (x[2] - x[1])
    assert seen["load"][1, 0] == pytest.approx(load, abs=1e-6)


@pytest.mark.slow
def test_locked_wheels_slide():
    """All wheels locked, mu 0.5 at 30 deg: a = g (sin - mu cos) = 0.656921 m/s2 downhill (derived)."""
    acceleration = settled_slide(30.0, grip=0.5, brake=20.0)[-1]
    assert -acceleration == pytest.approx(0.656921, abs=1e-6)


def rigid_runner(stiffening):
    """3 kg, wheels and rotor 2.8e-3 kg m2, r 60 mm, 1.8 N m, 30 rad/s; everything elastic `stiffening` times as stiff."""
    base = load_vehicle(DATA / "check.toml")
    root = stiffening**0.5

    def axle(part):
        tyre = replace(
            part.tyre,
            radius=None,
            loaded_radius=0.06,
            vertical_stiffness=part.tyre.vertical_stiffness * stiffening,
            vertical_damping=3.0 * part.tyre.vertical_damping * root,
            slip_speed=part.tyre.slip_speed / stiffening,
            slip_ratio_scale=0.0,
        )
        shock = replace(
            part.shock,
            spring_rate=8.0 * part.shock.spring_rate * stiffening,
            damping=2.0 * part.shock.damping * root,
            droop_travel=0.1,
            bump_travel=0.07,
        )
        return replace(part, tyre=tyre, shock=shock, wheel_pair_inertia=0.9e-3, housing_pitch_inertia=1e-4)

    return replace(
        base,
        rear=axle(base.rear),
        front=axle(base.front),
        document={},
        body=replace(base.body, mass=3.0 - base.rear.mass - base.front.mass),
        drive=replace(base.drive, stall_torque=1.8, no_load_speed=30.0, rotor_inertia=1.0e-3),
    )


@pytest.mark.slow
def test_run_from_standstill():
    """v = v_end (1 - e^(-t/T)), T = (m + sum I/r^2) v_end/F_stall: first-order response, any control text. Level, no
    drag; slip and springs fade with their scale, so three scales are extrapolated."""
    # The first pitching has died down by then; before, the springs still ring.
    times = np.array([0.5, 1.0])
    constant = (3.0 + 2.8e-3 / 0.06**2) * 1.8 / 30.0
    exact = 1.8 * (1.0 - np.exp(-times / constant))

    def speeds(stiffening):
        standing = stand(rigid_runner(stiffening))
        values = add_inertia(standing.equilibrium.values, standing.vehicle)
        motion = VehicleMotion(values, standing.weight, 0.3, 0.0, throttle=Program.constant(1.0))
        state = np.zeros(SIZE)
        state[1:9] = standing.state[:8]
        run = integrate(motion, state, 0.0, 1.0, options=TOLERANCES["default"]).raise_for_status()
        return run.at(times)[9]

    coarse, middle, fine = (speeds(s) for s in (4.0, 8.0, 16.0))
    errors = [np.abs(v - exact).max() for v in (coarse, middle, fine)]
    assert errors[0] > errors[1] > errors[2]
    assert np.log2(errors[1] / errors[2]) == pytest.approx(1.0, abs=0.1), "as the scale itself"
    assert (8.0 * fine - 6.0 * middle + coarse) / 3.0 == pytest.approx(exact, rel=1e-5)


def test_batch_projection_is_the_scalar_one():
    motion, state = moving("rear")
    off = state + 1e-4
    many, position, speed = project_states(motion.values.in_motion_order(), np.stack([off, state], axis=1))
    one, *drift = motion.project(0.0, off)
    assert many[:, 0] == pytest.approx(one, rel=1e-12) and (position, speed) == pytest.approx(tuple(drift), rel=1e-9)


def test_budget_needs_no_steady_motion():
    """The identity holds for any state, on or off a steady motion: angular momentum about the rear contact."""
    for drive in ("both", "front"):
        motion, state = moving(drive, throttle=0.9)
        seen = motion.observe(state[:, None], np.array([[0.9], [1.0], [0.0]]))
        parts = load_budget(
            motion.values, motion.weight, state[COORDINATE_ROWS, None], motion.grade, (0.15, 0.09, 0.3), seen
        )
        assert sum(parts.values())[0] == pytest.approx(seen["load"][1, 0], abs=SUM_TOLERANCE * motion.weight)
    assert state[SPEED_ROWS].shape == (11,)


def test_steady_motion_rejects_nothing_it_should_keep():
    """A second Newton solve from its own solution stops at once."""
    standing = stand(vehicle())
    equilibrium = SteadyMotion(standing.equilibrium, travel_speed=0.1)
    guess, share = equilibrium.guess(standing.state, 0.0)
    first = solve(equilibrium, guess, 0.0)
    assert first.success and abs(share) < 1e-12
    assert solve(equilibrium, first.state, 0.0).nfev <= 3
