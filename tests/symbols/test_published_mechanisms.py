"""The builder against published mechanisms: four-bars, Andrews, car axis, N-four-bar, pendulum.

Sources stand at each check; "derived" values were obtained from the published data by an
independent program (closed forms, quadrature, extended precision).
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.special import ellipk

from compiled import Closure, MechanismMotion, Switch
from noseload.solvers.errors import Status
from noseload.solvers.motion.transient import TransientOptions, integrate
from noseload.solvers.newton import solve
from published_mechanisms import (
    ANDREWS_FREE_LENGTH,
    ANDREWS_MOMENT,
    ANDREWS_STIFFNESS,
    FOUR_BAR,
    andrews,
    andrews_relative_angles,
    andrews_start,
    car_axis,
    four_bar,
    four_bar_start,
    n_four_bar,
    n_four_bar_energy,
    n_four_bar_state,
    pendulum,
)

ANGLE_DEG = 1e-6
"""Half a unit of the last digit to which the derived angles are given."""
CLOSED = 1e-12
"""Relative; the solved positions are at rounding level."""


def run_of(motion, start, end, tolerance, *, first_step=1e-4):
    """Run by the project's own solver, without a stiff part: explicit, of order 4, projected at each step."""
    options = TransientOptions(tolerance=tolerance, first_step=first_step)
    return integrate(motion, start, 0.0, end, options=options).raise_for_status()


def other_end(motion, start, end):
    """End state by another integrator: SciPy's DOP853 without projection."""
    run = solve_ivp(motion.rates, (0.0, end), start, method="DOP853", rtol=1e-12, atol=1e-13)
    assert run.status == 0, run.message
    return run.y[:, -1]


# four-bar linkages -----------------------------------------------------------------------------


def solve_four_bar(lengths, crank_deg, coupler_deg, rocker_deg):
    """Position at a crank angle from a rough start that says which branch is meant."""
    closure = Closure(four_bar(**lengths), length=lengths["ground"])
    start = four_bar_start(lengths, *np.radians([crank_deg, coupler_deg, rocker_deg]))
    solution = solve(closure, start, np.radians(crank_deg), tolerance=1e-14).raise_for_status()
    return closure.mechanism, solution.state


def speeds_of(mechanism, state, time):
    """Speeds per unit crank speed: G u = -r_t."""
    return np.linalg.solve(mechanism.jacobian(state, time), -mechanism.residual_rate(state, time))


@pytest.mark.parametrize(
    ("branch", "rough", "coupler_deg", "rocker_deg"),
    [("open", (15, 70), 20.297883, 57.324880), ("crossed", (-50, -85), -60.977967, -98.004964)],
)
def test_four_bar_positions_on_both_branches(branch, rough, coupler_deg, rocker_deg):
    """Norton, Design of Machinery, ch. 4 position example (memory): printed 57.33, 20.30, -98.01, -60.98 deg."""
    _, state = solve_four_bar(FOUR_BAR, 40.0, *rough)
    np.testing.assert_allclose(-np.degrees(state[[5, 8]]), [coupler_deg, rocker_deg], atol=ANGLE_DEG)
    printed = {"open": (20.30, 57.33), "crossed": (-60.98, -98.01)}[branch]
    np.testing.assert_allclose(-np.degrees(state[[5, 8]]), printed, atol=0.01)


def freudenstein_rocker(lengths, crank, sign):
    """Rocker angle by Freudenstein's equation (1955; Norton ch. 4, memory), rad."""
    a, b, c, d = (lengths[name] for name in ("crank", "coupler", "rocker", "ground"))
    k1, k2, k3 = d / a, d / c, (a * a - b * b + c * c + d * d) / (2 * a * c)
    first = np.cos(crank) - k1 - k2 * np.cos(crank) + k3
    second, third = -2 * np.sin(crank), k1 - (k2 + 1) * np.cos(crank) + k3
    return 2 * np.arctan2(-second + sign * np.sqrt(second**2 - 4 * first * third), 2 * first)


def test_four_bar_around_the_whole_turn():
    """A crank-rocker followed through a turn stays on its branch: Freudenstein's closed form (memory)."""
    mechanism, state = solve_four_bar(FOUR_BAR, 40.0, 15, 70)
    closure = Closure(mechanism, length=100.0)
    for crank_deg in range(40, 401, 5):
        solution = solve(closure, state, np.radians(crank_deg)).raise_for_status()
        state = solution.state
        expected = freudenstein_rocker(FOUR_BAR, np.radians(crank_deg), -1)
        assert np.cos(-state[8] - expected) == pytest.approx(1.0, abs=1e-14)
        assert np.sin(-state[8] - expected) == pytest.approx(0.0, abs=1e-10)
        assert solution.nfev <= 12


def test_four_bar_joints():
    """Open branch, mm: A (30.641778, 25.711504), B (143.189988, 67.339624) (derived)."""
    _, state = solve_four_bar(FOUR_BAR, 40.0, 15, 70)
    half = 60.0 * np.array([np.cos(-state[5]), np.sin(-state[5])])
    np.testing.assert_allclose(state[3:5] - half, [30.641778, 25.711504], atol=1e-6)
    np.testing.assert_allclose(state[3:5] + half, [143.189988, 67.339624], atol=1e-6)


def test_four_bar_velocity_ratios():
    """Norton ch. 6 formulas (memory): coupler -0.1648366, rocker +0.2799194 of the crank speed."""
    mechanism, state = solve_four_bar(FOUR_BAR, 40.0, 15, 70)
    turning = -speeds_of(mechanism, state, np.radians(40.0))[2::3]
    np.testing.assert_allclose(turning, [1.0, -0.1648366, 0.2799194], atol=1e-7)


def test_instant_centres_lie_where_kennedy_puts_them():
    """Kennedy's theorem, three centres on one line (any mechanisms text): (216.533637, 181.693295), x = -38.873345."""
    mechanism, state = solve_four_bar(FOUR_BAR, 40.0, 15, 70)
    speeds = speeds_of(mechanism, state, np.radians(40.0))
    # The point of the coupler at rest: speed (u, w) of the centre, theta' about +y.
    u, w, turning = speeds[3:6]
    coupler_ground = state[3:5] + np.array([w, -u]) / turning
    np.testing.assert_allclose(coupler_ground, [216.533637, 181.693295], atol=2e-6)
    # Crank and rocker have one speed in their common centre on the ground line: x w2 = (x - d) w4.
    crank, rocker = speeds[2], speeds[8]
    assert 100.0 * rocker / (rocker - crank) == pytest.approx(-38.873345, abs=1e-5)


SECOND = {"ground": 0.15, "crank": 0.05, "coupler": 0.11, "rocker": 0.08}
"""A four-bar in round numbers, answers derived by loop closure and recomputed with `joints` of the link tests, m."""


def test_second_four_bar_speeds_and_torque():
    """Crank at 60 deg, 120 rev/min clockwise, 10 N m in: rocker 104.776311 deg, 23.888516 N m out (virtual work)."""
    mechanism, state = solve_four_bar(SECOND, 60.0, 20, 105)
    np.testing.assert_allclose(-np.degrees(state[[5, 8]]), [18.033507, 104.776311], atol=ANGLE_DEG)
    turning = speeds_of(mechanism, state, np.radians(60.0))[2::3] * (4 * np.pi)
    np.testing.assert_allclose(turning[[1, 2]], [4.029695, -5.260423], atol=1e-6)
    centre = 100.0 * 0.15 * turning[2] / (turning[2] - turning[0])
    assert centre == pytest.approx(-10.800290, abs=1e-6)
    # Clockwise is positive about +y. The rocker is held; what holds it is the torque given out.
    held = four_bar(**SECOND, hold="rocker", crank_moment=10.0)
    balance = np.linalg.solve(held.jacobian(state, -state[8]).T, -held.forces(state, [0.0] * 9))
    torque = dict(zip(held.constraint_names, balance, strict=True))["drive"]
    assert torque == pytest.approx(-23.888516, abs=1e-6)
    assert torque * turning[2] == pytest.approx(-10.0 * turning[0], rel=CLOSED)


# Andrews' squeezing mechanism --------------------------------------------------------------------

ANDREWS_END_ANGLES = (
    15.8107711951537,
    -15.7563710584118,
    0.0408222401196,
    -0.5347301163421,
    0.5244099658800,
    0.5347301163421,
    1.0480807410419,
)
"""Derived (three integrations in double and extended precision); the printed ones are good to 1.2e-9 rad."""
ANDREWS_PRINTED_ANGLES = (
    15.81077119629904,
    -15.75637105984298,
    0.04082224013073101,
    -0.5347301163226948,
    0.5244099658805304,
    0.5347301163226948,
    1.048080741042263,
)
ANDREWS_PRINTED_SPEEDS = (
    1139.920302151208,
    -1424.379294994111,
    11.03291221937134,
    19.29337464421385,
    0.5735699284790808,
    -19.29337464421385,
    0.3231791658026955,
)
ANDREWS_PRINTED_MULTIPLIERS = (
    199.1753333731910,
    -29.75531228015052,
    23.06654119098399,
    31.45271365475927,
    22.64249232082739,
    11.61740700019673,
)


@pytest.fixture(scope="module")
def andrews_motion():
    # 10 mm and 10 m/s beside 1 rad and 1000 rad/s: the accuracy that the published digits have.
    return MechanismMotion(andrews(), length=1e-2, duration=1e-3)


def at_start(motion):
    return motion.state(andrews_start(), np.zeros(21))


def andrews_energy(motion, state):
    """Kinetic plus spring energy less the work of the moment, J."""
    length = motion.mechanism.outputs(*motion.split(state), state[-1])["spring_length"]
    spring = 0.5 * ANDREWS_STIFFNESS * (length - ANDREWS_FREE_LENGTH) ** 2
    return motion.kinetic_energy(state) + spring - ANDREWS_MOMENT * -state[2]


def relative_motion(motion, state):
    """Published angles and their speeds."""
    return [andrews_relative_angles(-part[2::3]) for part in motion.split(state)]


def loop_forces(motion, multipliers):
    """Multipliers of the published constraints: the loop-closing pins in E, of the other sign."""
    by_name = dict(zip(motion.mechanism.constraint_names, multipliers, strict=True))
    return [-by_name[f"e{k}_{axis}"] for k in (3, 4, 6) for axis in "xz"]


def test_andrews_start(andrews_motion):
    """Hairer and Wanner, Solving Ordinary Differential Equations II, VII.7: beta'', Theta'', lambda at rest."""
    state = at_start(andrews_motion)
    assert andrews_motion.drift(state)[0] < 1e-16
    rates, multipliers = andrews_motion.solve(state)
    relative = andrews_relative_angles(-rates[2::3])
    np.testing.assert_allclose(relative[:2], [14222.4439199541, -10666.8329399656], rtol=CLOSED)
    np.testing.assert_allclose(relative[2:], 0.0, atol=1e-9)
    forces = loop_forces(andrews_motion, multipliers)
    np.testing.assert_allclose(forces[:2], [98.5668703962411, -6.12268834425566], rtol=CLOSED)
    np.testing.assert_allclose(forces[2:], 0.0, atol=1e-12)
    energy = andrews_energy(andrews_motion, state)
    assert energy == pytest.approx(1.43783295753, rel=1e-11)
    assert energy + ANDREWS_MOMENT * -state[2] == pytest.approx(1.43579639916, rel=1e-11)


def check_andrews_end(motion, end, *, angle, speed, energy):
    """State at 0.03 s: Test Set for IVP Solvers (printed), and derived digits beyond the printed ones' accuracy."""
    places, speeds = relative_motion(motion, end)
    np.testing.assert_allclose(places, ANDREWS_PRINTED_ANGLES, atol=1e-8)
    np.testing.assert_allclose(places, ANDREWS_END_ANGLES, atol=angle)
    np.testing.assert_allclose(speeds, ANDREWS_PRINTED_SPEEDS, rtol=1e-6)
    np.testing.assert_allclose(speeds[[0, 1, 3]], [1139.9203022591, -1424.3792951775, 19.2933741050], rtol=speed)
    np.testing.assert_allclose(loop_forces(motion, motion.solve(end)[1]), ANDREWS_PRINTED_MULTIPLIERS, rtol=1e-5)
    assert andrews_energy(motion, end) == pytest.approx(1.43783295753, rel=energy)
    assert motion.kinetic_energy(end) == pytest.approx(1.50894973390, rel=1e-8)


@pytest.mark.slow
def test_andrews_end_by_another_integrator(andrews_motion):
    """The equations, apart from our solver."""
    end = other_end(andrews_motion, at_start(andrews_motion), 0.03)
    check_andrews_end(andrews_motion, end, angle=1e-10, speed=1e-10, energy=1e-11)
    assert max(andrews_motion.drift(end)) < 1e-9


@pytest.mark.slow
def test_andrews_order(andrews_motion):
    """The error falls with the tolerance, as the order of the method says (tolerance^1, the error per step)."""
    errors = []
    for tolerance in (1e-6, 1e-8):
        run = run_of(andrews_motion, at_start(andrews_motion), 0.03, tolerance, first_step=1e-5)
        errors.append(np.max(np.abs(relative_motion(andrews_motion, run.states[-1])[0] - ANDREWS_END_ANGLES)))
        assert run.position_drift < 1e-7
    assert errors[1] < 3e-6
    assert 0.7 < np.log10(errors[0] / errors[1]) / 2.0 < 1.3


@pytest.mark.slow
def test_andrews_end(andrews_motion):
    """To the digits of the published end, by the project's own solver."""
    run = run_of(andrews_motion, at_start(andrews_motion), 0.03, 1e-11, first_step=1e-5)
    check_andrews_end(andrews_motion, run.states[-1], angle=3e-9, speed=1e-7, energy=1e-9)
    assert run.position_drift < 1e-13
    assert run.speed_drift < 1e-10
    assert run.effort.nfev < 17_000


# car axis ----------------------------------------------------------------------------------------

CAR_AXIS_START = ([0, 0.5, 1, 0.5], [-0.5, 0, -0.5, 0])
CAR_AXIS_PLACES = [0.04934557842755629, 0.4969894602303324, 1.041742524885400, 0.3739110272652214]
CAR_AXIS_SPEEDS = [-0.07705836840321485, 0.007446866596327776, 0.01755681574942899, 0.7703410437794031]
"""State at t = 3: Test Set for IVP Solvers, problem caraxis (all printed digits confirmed, derived)."""


def test_car_axis_start():
    """At the start both springs are unloaded and the speeds follow the guide: free fall (Newton, g = 1)."""
    motion = MechanismMotion(car_axis())
    start = motion.state(*CAR_AXIS_START)
    assert max(motion.drift(start)) < 1e-16
    rates, multipliers = motion.solve(start)
    np.testing.assert_allclose(rates, [0, -1, 0, -1], atol=1e-12)
    np.testing.assert_allclose(multipliers, 0.0, atol=1e-12)


def check_car_axis_end(motion, end):
    places, speeds = motion.split(end)
    np.testing.assert_allclose(places, CAR_AXIS_PLACES, atol=1e-9)
    np.testing.assert_allclose(speeds, CAR_AXIS_SPEEDS, atol=1e-8)
    guide, tension = motion.solve(end)[1]
    # The published constraint of the rod is d.d - l^2: its multiplier is -tension/(2 l).
    np.testing.assert_allclose([guide, -tension / 2], [-0.004736886750784630, -0.001104680411345730], atol=1e-9)


@pytest.mark.slow
def test_car_axis_end_by_another_integrator():
    motion = MechanismMotion(car_axis())
    end = other_end(motion, motion.state(*CAR_AXIS_START), 3.0)
    check_car_axis_end(motion, end)
    assert max(motion.drift(end)) < 1e-9


def test_car_axis_near_its_end():
    """The moving support stays on its constraints; at a loose tolerance the places are good to 1e-4."""
    motion = MechanismMotion(car_axis())
    run = run_of(motion, motion.state(*CAR_AXIS_START), 3.0, 1e-5)
    np.testing.assert_allclose(motion.split(run.states[-1])[0], CAR_AXIS_PLACES, atol=1e-4)
    assert run.position_drift < 1e-7
    np.testing.assert_allclose(run.states[:, -1], run.times, atol=1e-12)


@pytest.mark.slow
def test_car_axis_end():
    """To the published digits, by the project's own solver."""
    motion = MechanismMotion(car_axis())
    run = run_of(motion, motion.state(*CAR_AXIS_START), 3.0, 3e-11)
    check_car_axis_end(motion, run.states[-1])
    assert run.position_drift < 1e-12
    assert run.speed_drift < 1e-10


# N-four-bar and pendulum -------------------------------------------------------------------------


def n_four_bar_constants(windows):
    """Inertia and potential of the one-degree-of-freedom motion (derived): 1/2 I w^2 + P cos(theta)."""
    return windows + (windows + 1) / 3, (windows + (windows + 1) / 2) * 9.81


@pytest.mark.slow
@pytest.mark.parametrize(("windows", "energy"), [(1, 20.4533333333333333), (2, 35.835)])
def test_n_four_bar_from_the_published_start(windows, energy):
    """IFToMM benchmark library A02: upright, upper joint at 1 m/s; energy derived; until short of level."""
    motion = MechanismMotion(n_four_bar(windows))
    start = n_four_bar_state(motion, 0.0, 1.0)
    assert n_four_bar_energy(motion, start) == pytest.approx(energy, rel=CLOSED)
    end = run_of(motion, start, 0.7, 1e-9).states[-1]
    assert n_four_bar_energy(motion, end) == pytest.approx(energy, abs=1e-7)
    # The crank's speed in this position by the closed form.
    inertia, potential = n_four_bar_constants(windows)
    speed = np.sqrt((2 * energy - 2 * potential * np.cos(end[2])) / inertia)
    assert motion.split(end)[1][2] == pytest.approx(speed, rel=1e-8)


@pytest.mark.parametrize("windows", [1, 2])
def test_n_four_bar_stops_by_name_where_it_is_singular(windows):
    """Level, all links in line: the parallelogram may turn into a crossed one, so the run ends there."""
    motion = MechanismMotion(n_four_bar(windows))
    run = run_of(motion, n_four_bar_state(motion, 0.0, 1.0), 2.0, 1e-8)
    assert run.status is Status.CONVERGED
    assert run.ended_by == "singular position"
    assert np.degrees(run.states[-1][2]) == pytest.approx(90.0, abs=1.0)
    level = n_four_bar_state(motion, np.radians(90.0), 3.0)
    assert motion.independence(level) < 1e-15
    names = motion.mechanism.dependent_constraints(motion.split(level)[0])
    assert len(names) == windows, "one per window"
    upright = n_four_bar_state(motion, 0.0, 1.0)
    assert motion.independence(upright) > 0.05
    assert motion.mechanism.dependent_constraints(motion.split(upright)[0]) == ()
    refused = integrate(motion, level, 0.0, 1.0)
    assert not refused.success


@pytest.mark.parametrize(
    ("windows", "period"), [(1, 1.9652966976), pytest.param(2, 1.9931746389, marks=pytest.mark.slow)]
)
def test_n_four_bar_period(windows, period):
    """Released at rest 60 deg from hanging: T = 4 K(sin^2 30 deg) sqrt(I/P), derived, g = 9.81."""
    inertia, potential = n_four_bar_constants(windows)
    closed_form = 4 * ellipk(np.sin(np.radians(30)) ** 2) * np.sqrt(inertia / potential)
    assert closed_form == pytest.approx(period, abs=1e-10)
    mechanism = n_four_bar(windows)
    at_rest = Switch(lambda state: state[len(mechanism.coordinate_names) + 2], "at rest")
    motion = MechanismMotion(mechanism, switches=(at_rest,))
    run = run_of(motion, n_four_bar_state(motion, np.radians(120.0), 0.0), 1.02 * period, 1e-9)
    assert [event.name for event in run.events] == ["at rest"]
    assert run.events[0].time == pytest.approx(period, abs=1e-8)
    energy = [n_four_bar_energy(motion, state) for state in (run.states[0], run.states[-1])]
    assert energy[1] == pytest.approx(energy[0], abs=1e-7)


@pytest.mark.parametrize(
    ("gravity", "period"), [(9.81, 2.3678419476), pytest.param(9.80665, 2.3682463463, marks=pytest.mark.slow)]
)
def test_pendulum_released_level(gravity, period):
    """IFToMM benchmark library A01: period 4 K(1/2) sqrt(l/g), K(1/2) = 1.8540746773 (derived)."""
    assert 4 * ellipk(0.5) / np.sqrt(gravity) == pytest.approx(period, abs=5e-10)
    # Speed along the circle: it rises through 0 at the end of the swing back.
    at_rest = Switch(lambda state: state[1] * state[2] - state[0] * state[3], "at rest")
    motion = MechanismMotion(pendulum(gravity=gravity), switches=(at_rest,))
    run = run_of(motion, motion.state([1.0, 0.0], [0.0, 0.0]), 1.02 * period, 4e-11)
    assert run.events[-1].time == pytest.approx(period, abs=1e-9)
    end = run.states[-1]
    assert motion.kinetic_energy(end) + gravity * end[1] == pytest.approx(0.0, abs=1e-8)
    assert run.position_drift < 1e-12
