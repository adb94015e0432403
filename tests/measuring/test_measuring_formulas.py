"""Measuring formulas against published forms, handbook values and independent integrations."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from noseload.model.measuring import inertia as measuring_inertia
from noseload.model.measuring import motion as measuring_motion
from noseload.model.measuring import weighing as measuring
from noseload.model.units import STANDARD_GRAVITY

DEGREE = np.pi / 180
G = 9.80665
C1 = {"wheelbase": 0.320, "position": 0.170, "height": 0.090, "radius": 0.060}
"""Vehicle C1: 3 kg; b here is from the rear wheel centre."""


def test_lift_equal_radii():
    """ISO 10392:2011, 6.5 (from memory); Jazar 2008, eq. 2.32; lift 160 mm is 30 deg."""
    angle = measuring.lift_angle(0.160, 0.320, 0.060, 0.060)
    assert angle / DEGREE == pytest.approx(30.0, abs=1e-9)
    share = measuring.front_share_lifted(angle, 0.170, 0.090, 0.320, 0.060, 0.060)
    assert 3.0 * (1 - share) == pytest.approx(1.568630, abs=5e-7)
    published = 0.060 + 0.320 / (3.0 * np.tan(angle)) * (3.0 * (1 - share) - 1.406250)
    assert published == pytest.approx(0.090, abs=1e-9)


def test_lift_unequal_radii():
    """Derived by the moment balance: phi 0.4775288; the usual interpolated radius is 0.54 mm out."""
    share = measuring.front_share_lifted(30 * DEGREE, 0.170, 0.090, 0.320, 0.065, 0.055)
    assert share == pytest.approx(0.4775288, abs=5e-8)
    interpolated = 0.065 + (0.055 - 0.065) * 0.170 / 0.320
    usual = interpolated + 0.320 / np.tan(30 * DEGREE) * ((1 - share) - 0.150 / 0.320)
    assert usual == pytest.approx(0.0894628, abs=1e-7)


def test_lift_angle_exact_with_sag():
    """Blocks under deflecting tyres of unequal radii: hub heights worked out from the angle give the lift back."""
    rear, front, length, beta = 0.065, 0.055, 0.320, 24 * DEGREE
    rear_sag, front_sag = 0.0009, -0.0007
    hub_rise = length * np.sin(beta) + (front - rear) * np.cos(beta)
    lift = hub_rise + (rear - rear_sag) - (front - front_sag)
    assert measuring.lift_angle(lift, length, rear, front, rear_sag, front_sag) == pytest.approx(beta, abs=1e-12)
    assert np.isnan(measuring.lift_angle(0.5, length, rear, front))


def test_height_errors():
    """Derived: what 2 g cost, and how large the signal is."""
    angles = np.array([5, 10, 20, 30, 45]) * DEGREE
    scale = 1e3 * measuring.height_error_from_scale(angles, 0.320, 3000.0, 2.0)
    assert scale == pytest.approx([3.448, 1.711, 0.829, 0.523, 0.302], abs=1e-3)
    shift = 3000 * (measuring.front_share_lifted(0.0, 0.170, 0.090, 0.320, 0.060, 0.060)
                    - measuring.front_share_lifted(angles, 0.170, 0.090, 0.320, 0.060, 0.060))  # fmt: skip
    assert shift == pytest.approx([24.6, 49.6, 102.4, 162.4, 281.3], abs=0.1)


@pytest.mark.parametrize(("rate", "expected"), [(300.0, [1.910, 3.361, 5.304]), (600.0, [0.955, 1.681, 2.652])])
def test_free_suspension(rate, expected):
    """Derived, first order: the height reads high when the suspension is left free."""
    error = measuring.free_suspension_height_error(
        np.array([10, 30, 45]) * DEGREE, sprung_mass=1.6, total_mass=3.0, sprung_position=0.160, sprung_height=0.11625,
        wheelbase=0.320, wheel_centre_height=0.060, rear_wheel_rate=rate, front_wheel_rate=rate,
    )  # fmt: skip
    assert 1e3 * error == pytest.approx(expected, abs=0.02)


def test_tip():
    """Jazar 2008, example 46: C1 tips at 62.102729 deg."""
    assert measuring.tip_height(62.102729 * DEGREE, 0.170) == pytest.approx(0.090, abs=1e-8)


def test_tray():
    """A 200 g tray zeroed on the level hides 200 (1 - cos 60) = 100 g at 60 deg."""
    assert measuring.tray_correction(500.0, 200.0, 60 * DEGREE, False) == pytest.approx(600.0)
    assert measuring.tray_correction(500.0, 200.0, 60 * DEGREE, True) == 500.0


def test_bifilar():
    """Class notes 'The bifilar pendulum' (2005); a uniform rod hung by its ends, 1.158401 s."""
    assert measuring_inertia.bifilar_inertia(3.0, 0.300, 1.200, 1.700) == pytest.approx(0.0403814, rel=2e-6)
    assert measuring_inertia.bifilar_inertia(1.0, 0.8, 1.0, 1.158401) == pytest.approx(0.8**2 / 12, rel=2e-6)


def test_bifilar_amplitude():
    """Exact quadrature: 1.700 s at small swings becomes 1.70014, 1.70343, 1.71376 s at 2, 10, 20 deg."""
    amplitude = np.array([2, 10, 20]) * DEGREE
    inertia = measuring_inertia.bifilar_inertia(3.0, 0.300, 1.200, 1.700)
    period = 1.7 * measuring_inertia.bifilar_period_factor(amplitude, 3.0, 0.300, 1.200, inertia)
    assert period == pytest.approx([1.70014, 1.70343, 1.71376], abs=1e-5)
    assert measuring_inertia.bifilar_period_factor(0.0, 3.0, 0.3, 1.2, inertia) == pytest.approx(1.0, abs=1e-9)


def test_pendulum_amplitude():
    """Handbook value of 2 K / pi: 1.0019072 at 10 deg, 1.0076690 at 20 deg; large swings by quadrature."""
    factor = measuring_inertia.pendulum_period_factor(np.array([10, 20, 120]) * DEGREE)
    assert factor[:2] == pytest.approx([1.0019072, 1.0076690], abs=1e-7)
    k = np.sin(60 * DEGREE) ** 2
    exact = quad(lambda u: 1 / np.sqrt(1 - k * np.sin(u) ** 2), 0, np.pi / 2)[0] * 2 / np.pi
    assert factor[2] == pytest.approx(exact, rel=1e-10)


@pytest.mark.parametrize("same_side", [True, False])
def test_double_suspension(same_side):
    """Lanchester 1908, App. VI: k^2 from two periods; the periods are those of the rod above."""
    mass, inertia, near, apart = 3.0, 0.0414, 0.05, 0.2
    far = near + apart if same_side else apart - near
    periods = [2 * np.pi * np.sqrt((inertia + mass * d**2) / (mass * G * d)) for d in (near, far)]
    distance, found = measuring_inertia.double_suspension(mass, apart, *periods, same_side)
    assert distance == pytest.approx(near, rel=1e-9)
    assert found == pytest.approx(inertia, rel=1e-9)


def test_axles_and_fixture_subtracted():
    """Three point-like parts assembled by Steiner's rule come apart again."""
    masses, places, own = [1.6, 0.5, 0.6], [(0.16, 0.12), (0.0, 0.06), (0.32, 0.06)], [0.0150, 0.0006, 0.0007]
    total = sum(masses)
    centre = [sum(m * p[k] for m, p in zip(masses, places, strict=True)) / total for k in (0, 1)]
    whole = sum(
        i + m * ((p[0] - centre[0]) ** 2 + (p[1] - centre[1]) ** 2) for i, m, p in zip(own, masses, places, strict=True)
    )
    body, where = measuring_inertia.sprung_pitch_inertia(whole, total, centre, masses[1:], places[1:], own[1:])
    assert body == pytest.approx(0.0150, rel=1e-12)
    assert where == pytest.approx(places[0], rel=1e-12)
    hung = 0.0150 + 1.6 * 0.01**2 + 0.0004 + 0.2 * 0.02**2
    assert measuring_inertia.without_fixture(hung, 1.6, 0.01, 0.2, 0.0004, 0.02) == pytest.approx(0.0150, rel=1e-12)


def test_rotor():
    """A solid cylinder of 80 g and 11 mm through 40:1 is 7744 kg mm2; the range is 5,000-8,000 (common practice)."""
    assert measuring_inertia.rotor_inertia_at_wheels(0.080, 0.011, 40.0, 1.0) == pytest.approx(7744e-6, rel=1e-12)
    mass, radius = measuring_inertia.armature_from_can(0.0358, 0.050)
    assert (mass, radius) == (pytest.approx(0.080), pytest.approx(0.011))
    ends = [measuring_inertia.rotor_inertia_at_wheels(mass, radius, 40.0, share) for share in (0.65, 1.03)]
    assert 1e6 * np.array(ends) == pytest.approx([5000, 8000], rel=0.01)


def test_falling_weight_against_integration():
    """Time of fall against an ODE solver of m x'' = m g - friction - c x'."""

    def rates(time, state, mass, damping, friction):
        return [state[1], G - (friction + damping * state[1]) / mass]

    def hit(time, state, *_):
        return state[0] - 0.022

    hit.terminal = True
    for mass, damping, friction in ((0.1, 5.0, 0.05), (0.25, 8.0, 0.3), (0.05, 2.0, 0.0)):
        law = (mass, damping, friction)
        run = solve_ivp(rates, (0, 5), [0, 0], events=hit, args=law, rtol=1e-11, atol=1e-13)
        expected = run.t_events[0][0]
        assert measuring_motion.falling_weight_time(0.022, mass, damping, friction) == pytest.approx(expected, rel=1e-9)
    assert np.isnan(measuring_motion.falling_weight_time(0.022, 0.01, 5.0, 1.0))


@pytest.mark.parametrize(
    ("zeta", "overshoot", "decrement"),
    [(0.1, 0.729248, 0.631484), (0.2, 0.526621, 1.282550), (0.5, 0.163034, 3.627599), (0.7, 0.045988, 6.158753)],
)
def test_bounce(zeta, overshoot, decrement):
    """Thomson / Ogata (from memory): overshoot is the ratio of half swings; decrement and ratio turn over."""
    assert measuring_motion.logarithmic_decrement(overshoot) == pytest.approx(decrement, rel=5e-5)
    assert measuring_motion.damping_ratio(decrement) == pytest.approx(zeta, rel=1e-6)
    mass, rate = 0.7, 360.0
    damping = 2 * zeta * np.sqrt(mass * rate)
    period = 2 * np.pi / np.sqrt(rate / mass - (damping / 2 / mass) ** 2)
    assert measuring_motion.wheel_damping_from_bounce(mass, decrement, period) == pytest.approx(damping, rel=1e-6)
    assert measuring_motion.wheel_rate_from_bounce(mass, decrement, period) == pytest.approx(rate, rel=1e-6)


def run_up_speed(times, final, constant):
    """Slope of the travel, by a central difference."""
    step = 1e-5 * constant
    later, earlier = (measuring_motion.run_up_travel(times + sign * step, final, constant) for sign in (1, -1))
    return (later - earlier) / (2 * step)


@pytest.mark.parametrize(
    ("stall", "rev_per_min", "power"), [(0.325, 600, 5.10509), (0.0722, 3750, 7.08822), (1.6, 92, 3.85369)]
)
def test_motor_line(stall, rev_per_min, power):
    """MIT course 2.007 motor notes: half torque at half speed, power there; read off the run-up law.

    During a run-up without load resistance the power J w w' is greatest at half speed.
    """
    no_load = rev_per_min * np.pi / 30
    inertia = 1e-3
    constant = inertia * no_load / stall
    half = constant * np.log(2)
    assert run_up_speed(half, no_load, constant) == pytest.approx(no_load / 2, rel=1e-7)
    torque = inertia * no_load / constant * np.exp(-half / constant)
    assert torque * no_load / 2 == pytest.approx(power, rel=1e-5)


def test_run_up():
    """First-order response: m 3, inertia 2.8e-3, r 0.06, T 1.8, w0 30, F_r 0.02 W. Grip 0.8139."""
    equivalent = 3 + 2.8e-3 / 0.06**2
    constant = equivalent * 1.8 / 30.0
    final = 1.8 * (1 - 0.02 * 3 * G / 30.0)
    assert (final, constant) == (pytest.approx(1.764696, rel=1e-6), pytest.approx(0.226667, rel=2e-6))
    times = np.array([0.1, 0.5, 1.0])
    speed = run_up_speed(times, final, constant)
    travel = measuring_motion.run_up_travel(times, final, constant)
    assert speed == pytest.approx([0.6295038, 1.5703090, 1.7432837], rel=1e-6)
    assert travel == pytest.approx([0.0337821, 0.5264113, 1.3695518], rel=1e-6)
    assert measuring_motion.run_up_travel(-1.0, final, constant) == 0.0
    resistance = 0.02 * 3 * G * 0.06
    grip = measuring_motion.grip_needed_at_start(1.8, resistance, 2.8e-3, 3.0, 0.06)
    assert grip == pytest.approx(0.8139, abs=1e-4)


@pytest.mark.parametrize("rise", [0.0, 0.08, 0.4])
def test_slopes_of_a_ramped_run_up(rise):
    """Against differences: central ones, and one-sided ones of the rise where it is nothing; before the start all are 0."""
    times, numbers, step = np.linspace(-0.1, 1.0, 30), (31.0, 0.12, rise), 1e-5
    found = measuring_motion.ramped_run_up_slopes(times, *numbers)
    for row, shift in zip(found, np.eye(4) * step, strict=True):
        one_sided = rise == 0.0 and shift[3] > 0.0
        ahead = measuring_motion.ramped_run_up_travel(times + shift[0], *(numbers + shift[1:]))
        behind = measuring_motion.ramped_run_up_travel(
            times - shift[0], *(numbers - (0.0 if one_sided else 1.0) * shift[1:])
        )
        difference = (ahead - behind) / (step if one_sided else 2.0 * step)
        assert row == pytest.approx(difference, abs=1e-3 if one_sided else 1e-6)
    assert not found[:, times < 0.0].any()


def test_drive_from_run_up_round_trip():
    """Time constants and final speeds worked out from a first-order response give torque, inertia and resistance back."""
    stall, no_load, turning, mass, radius, drag = 7.4, 31.0, 7.1e-3, 2.75, 0.058, 0.12
    air, ground = turning * no_load / stall, (turning + mass * radius**2) * no_load / stall
    found = measuring_motion.drive_from_run_up(no_load, air, ground, mass, radius)
    assert found == pytest.approx((stall, turning), rel=1e-12)
    speed = no_load * (1 - drag / stall)
    assert measuring_motion.rolling_resistance_torque(stall, no_load, speed) == pytest.approx(drag, rel=1e-9)


@pytest.mark.parametrize("offset", [0.0, 0.012, -0.03])
def test_bifilar_off_its_middle_turns_about_its_own_centre(offset):
    """Modes of a body on two threads, each with the share of the weight that statics gives it: one is a pure turn."""
    mass, inertia, spacing, length = 1.65, 0.0152, 0.1, 1.2
    places = (-0.5 * spacing - offset, 0.5 * spacing - offset)
    shares = (places[1] / spacing, -places[0] / spacing)
    stiffness = np.zeros((2, 2))
    for place, share in zip(places, shares, strict=True):
        # Sideways move of the thread's end by a move of the centre and by a turn about it.
        row = np.array([1.0, place])
        stiffness += share * mass * STANDARD_GRAVITY / length * np.outer(row, row)
    squares, shapes = np.linalg.eig(np.linalg.solve(np.diag([mass, inertia]), stiffness))
    turn = int(np.argmax(np.abs(shapes[1])))
    assert abs(shapes[0, turn]) < 1e-9, "no sideways motion with it"
    period = 2.0 * np.pi / np.sqrt(squares[turn])
    assert measuring_inertia.bifilar_inertia(mass, spacing, length, period, offset) == pytest.approx(inertia, rel=1e-9)
