"""Transient solvers: closed forms, observed order, published mechanisms, and every way to fail."""

from math import exp, factorial, pi, sqrt

import numpy as np
import pytest
import sympy as sp
from scipy.integrate import quad
from scipy.special import ellipk

from compiled import MechanismMotion, Switch, compile_mechanism
from noseload.model.errors import ModelError
from noseload.model.symbols.mechanism import Mechanism
from noseload.solvers.errors import SolverError, Status
from noseload.solvers.motion.exponential import ORDER, StiffModes, attempt_step, phi_functions
from noseload.solvers.motion.trajectory import hermite
from noseload.solvers.motion.transient import TransientOptions, integrate
from published_mechanisms import andrews, andrews_relative_angles, andrews_start, car_axis, pendulum
from second_route import integrate_otherwise
from toy_motion import GRAVITY, Toy, falling

ORDER_MARGIN = 0.3
"""An observed slope may miss the order by so much (usual bound of convergence studies)."""


def fixed_steps(step):
    """Options that force one step size."""
    return TransientOptions(tolerance=1e9, first_step=step, largest_step=step)


def observed_order(motion, start, end, exact, steps):
    errors = [
        np.abs(integrate(motion, start, 0.0, end, options=fixed_steps(h)).states[-1] - exact).max() for h in steps
    ]
    return np.polyfit(np.log(steps), np.log(errors), 1)[0]


# the method --------------------------------------------------------------------------------------


@pytest.mark.parametrize("z", [0.0, -1e-9, -1e-3, -0.499, -0.501, -3.0, -40.0, -900.0])
def test_phi_functions_are_their_integrals(z):
    """phi_k(z) = int_0^1 e^((1-s)z) s^(k-1)/(k-1)! ds: Hochbruck and Ostermann, Acta Numerica 2010, eq. 2.10
    (equation number from memory)."""
    for k, value in enumerate(phi_functions(z), start=1):
        # The integrand is a boundary layer at s = 1 for large -z: give the quadrature its place.
        layer = [max(0.0, 1.0 + 30.0 / z)] if z < -30.0 else None
        exact = quad(
            lambda s, k=k: exp((1.0 - s) * z) * s ** (k - 1) / factorial(k - 1),
            0.0,
            1.0,
            points=layer,
            epsabs=1e-14,
            epsrel=1e-13,
        )[0]
        assert value == pytest.approx(exact, rel=2e-11)


def test_order_on_a_smooth_motion():
    """y'' = -y with cos(t): the method is classical Runge-Kutta of order 4 where nothing is stiff."""
    motion = Toy(lambda t, y, _: (y[1], -y[0]), 2)
    slope = observed_order(motion, [1.0, 0.0], 2.0, np.array([np.cos(2.0), -np.sin(2.0)]), [0.1, 0.05, 0.025])
    assert slope == pytest.approx(ORDER, abs=ORDER_MARGIN)


def stiff_toy(decay):
    """Prothero and Robinson's equation, Math. Comp. 28 (1974) 145: y' = -decay (y - sin t) + cos t."""
    unit = np.array([[1.0]])
    return Toy(lambda t, y, _: -decay * (y - np.sin(t)) + np.cos(t), 1, stiff=(np.array([decay]), unit, unit))


def test_stiff_motion_needs_no_small_steps():
    """Steps of 0.05 s at a decay of 1e4 1/s: far beyond what an explicit method survives (500 times)."""
    run = integrate(stiff_toy(1e4), [0.0], 0.0, 2.0, options=fixed_steps(0.05))
    assert abs(run.states[-1, 0] - np.sin(2.0)) < 0.05**ORDER / 24, "less than one Taylor term of a step"


@pytest.mark.parametrize("count", [1, 2, 3])
def test_stiff_modes_rebuild_the_stiff_part(count):
    rng = np.random.default_rng(4)
    inverse_mass = rng.normal(size=(5, 5))
    inverse_mass = inverse_mass @ inverse_mass.T
    rows, slopes = rng.normal(size=(count, 5)), rng.uniform(1.0, 9.0, count)
    modes = StiffModes.of(slopes, rows, rows @ inverse_mass)
    stiff = -(rows @ inverse_mass).T @ np.diag(slopes) @ rows
    np.testing.assert_allclose(-modes.left.T @ modes.right, stiff, rtol=1e-11, atol=1e-11)
    np.testing.assert_allclose(modes.right @ modes.left.T, np.diag(modes.decay), atol=1e-9)


def test_hermite_is_exact_for_its_degree():
    """Quintic for coordinates (their accelerations are known), cubic for the rest."""
    place, power = (
        np.polynomial.Polynomial([1.0, -2.0, 0.5, 3.0, -1.0, 0.7]),
        np.polynomial.Polynomial([2.0, 1.0, -4.0, 0.3]),
    )
    speed, bend = place.deriv(), place.deriv(2)

    def state(t):
        return np.array([place(t), speed(t), power(t)])

    def rates(t):
        return np.array([speed(t), bend(t), power.deriv()(t)])

    for share in (0.0, 0.3, 0.7, 1.0):
        between = hermite(share, 0.4, state(1.0), state(1.4), rates(1.0), rates(1.4), 1)
        assert between[[0, 2]] == pytest.approx([place(1.0 + 0.4 * share), power(1.0 + 0.4 * share)], rel=1e-13)


@pytest.mark.parametrize("tolerance", [1e-4, 1e-6, 1e-8])
def test_scaled_error_stays_near_the_tolerance(tolerance):
    """Van der Pol, mu = 1: error of the end state in tolerances, against DOP853 at 1e-12; bound 5 per step size
    of the order of the motion's own time."""
    motion = Toy(lambda t, y, _: (y[1], (1.0 - y[0] ** 2) * y[1] - y[0]), 2)
    exact = integrate_otherwise(motion, [2.0, 0.0], 0.0, 2.0, tolerance=1e-12).states[-1]
    options = TransientOptions(tolerance=tolerance, largest_step=1.0)
    run = integrate(motion, [2.0, 0.0], 0.0, 2.0, options=options)
    assert np.abs(run.states[-1] - exact).max() < 5.0 * tolerance
    assert run.effort.nfev < 40 * tolerance**-0.25, "effort grows as tolerance^(-1/4)"


def test_a_swing_goes_from_place_to_place_with_order_four():
    """Places that follow speeds by the mean of two stages: y'' = -y - y y', twice as many steps err a sixteenth."""
    motion = Toy(lambda t, y, _: (y[1], -y[0] - y[0] * y[1]), 2, coordinate_count=1)
    none = StiffModes((), np.zeros((0, 2)), np.zeros((0, 2)))
    ends = []
    for count in (20, 40, 80, 640):
        state = np.array([1.0, 0.5])
        for k in range(count):
            step = 2.0 / count
            state = attempt_step(motion, k * step, state, step, motion.rates(0.0, state), none).state
        ends.append(state)
    errors = [np.abs(end - ends[-1]).max() for end in ends[:-1]]
    orders = np.log2(np.divide(errors[:-1], errors[1:]))
    assert np.all(np.abs(orders - 4.0) < 0.2), orders


# closed forms ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("damping", "overshoot", "decrement"),
    [(0.1, 0.729248, 0.631484), (0.2, 0.526621, 1.282550), (0.5, 0.163034, 3.627599), (0.7, 0.045988, 6.158753)],
)
def test_step_response(damping, overshoot, decrement):
    """Overshoot exp(-pi z/sqrt(1-z^2)) and logarithmic decrement of a suddenly loaded spring: Thomson, Theory of
    Vibration, or Ogata, Modern Control Engineering (sources from memory, numbers recomputed)."""
    switch = ((lambda t, y: y[1], ("up", "peak"), False),)
    motion = Toy(lambda t, y, _: (y[1], 1.0 - y[0] - 2.0 * damping * y[1]), 2, switches=switch, coordinate_count=1)
    run = integrate(motion, [0.0, 0.0], 0.0, 20.0, options=TransientOptions(tolerance=1e-9))
    peaks = [event.state[0] for event in run.events if event.name == "peak"]
    assert peaks[0] - 1.0 == pytest.approx(overshoot, abs=1e-6)
    assert np.log((peaks[0] - 1.0) / (peaks[1] - 1.0)) == pytest.approx(decrement, abs=1e-5)
    if damping == 0.1:
        assert next(e.time for e in run.events if e.name == "peak") == pytest.approx(pi / sqrt(1 - 0.01), abs=1e-7)


def test_motor_run_up():
    """First-order run from standstill, v = v_end (1 - e^(-t/T)), m 3 kg, inertia 2.8e-3 kg m2, r 0.06 m, stall force
    30 N less 0.02 W drag: first-order response, any control text (numbers recomputed)."""
    mass, drag = 3.0 + 2.8e-3 / 0.06**2, 0.02 * 3.0 * 9.80665
    motion = Toy(lambda t, y, _: (y[1], (30.0 * (1.0 - y[1] / 1.8) - drag) / mass), 2, coordinate_count=1)
    run = integrate(motion, [0.0, 0.0], 0.0, 1.0, options=TransientOptions(tolerance=1e-9))
    places, speeds = run.at([0.1, 0.5, 1.0])
    np.testing.assert_allclose(speeds, [0.6295038, 1.5703090, 1.7432837], rtol=1e-6)
    np.testing.assert_allclose(places, [0.0337821, 0.5264113, 1.3695518], rtol=2e-6)


# published mechanisms by the project's own solvers -----------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize(("route", "bound"), [("own", 1e-6), ("DOP853", 1e-9)])
def test_pendulum_period(route, bound):
    """Point mass released level: period 4 K(1/2)/sqrt(g), IFToMM benchmark library A01 (restated; derived)."""
    turned = Switch(lambda y: y[1] * y[2] - y[0] * y[3], "turned")
    motion = MechanismMotion(pendulum(gravity=GRAVITY), switches=(turned,))
    start, period = motion.state([1.0, 0.0], [0.0, 0.0]), 4 * ellipk(0.5) / sqrt(GRAVITY)
    if route == "own":
        run = integrate(motion, start, 0.0, 1.02 * period, options=TransientOptions(tolerance=1e-9))
    else:
        run = integrate_otherwise(motion, start, 0.0, 1.02 * period, method=route, tolerance=1e-12)
    assert [e.time for e in run.events if e.name == "turned"][-1] == pytest.approx(period, abs=bound)
    assert run.position_drift < 1e-7


@pytest.mark.slow
def test_car_axis_end():
    """State at t = 3: Test Set for IVP Solvers, problem caraxis (all printed digits confirmed)."""
    start = np.array([0, 0.5, 1, 0.5, -0.5, 0, -0.5, 0, 0.0])
    printed = [0.04934557842755629, 0.4969894602303324, 1.041742524885400, 0.3739110272652214]
    motion = MechanismMotion(car_axis())
    end = integrate_otherwise(motion, start, 0.0, 3.0, tolerance=1e-12).raise_for_status().states[-1]
    np.testing.assert_allclose(end[:4], printed, atol=1e-9)
    own = integrate(motion, start, 0.0, 3.0, options=TransientOptions(tolerance=1e-7)).raise_for_status().states[-1]
    np.testing.assert_allclose(own[:4], printed, atol=1e-5)


@pytest.mark.slow
def test_squeezing_mechanism_end():
    """Seven bodies, angles at t = 0.03: Hairer and Wanner, Solving ODEs II, VII.7, and the Test Set for IVP Solvers,
    problem andrews; own converged digits, which the printed ones meet to 1.2e-9."""
    converged = [
        15.8107711951537,
        -15.7563710584118,
        0.0408222401196,
        -0.5347301163421,
        0.5244099658800,
        0.5347301163421,
        1.0480807410419,
    ]
    motion = MechanismMotion(andrews(), length=0.05, duration=0.003)
    start = motion.state(andrews_start(), np.zeros(21))
    far = integrate_otherwise(motion, start, 0.0, 0.03, tolerance=1e-12).raise_for_status()
    np.testing.assert_allclose(andrews_relative_angles(-far.states[-1, 2:21:3]), converged, atol=1e-8)
    own = integrate(
        motion, start, 0.0, 0.03, options=TransientOptions(tolerance=1e-8, first_step=1e-5)
    ).raise_for_status()
    np.testing.assert_allclose(andrews_relative_angles(-own.states[-1, 2:21:3]), converged, atol=1e-5)
    assert own.position_drift < 1e-7


# failures ----------------------------------------------------------------------------------------


def test_start_that_is_not_finite():
    motion, _ = falling(())
    run = integrate(motion, [np.nan, 0.0], 0.0, 1.0)
    assert run.status is Status.NOT_FINITE
    with pytest.raises(SolverError, match="'component 0' is not a finite number at the start"):
        run.raise_for_status()


def test_rates_that_are_not_finite_at_the_start():
    run = integrate(Toy(lambda t, y, _: [np.inf], 1), [0.0], 0.0, 1.0)
    with pytest.raises(SolverError, match=r"stopped at 0 s: .*rates of the motion are not finite"):
        run.raise_for_status()


@pytest.mark.slow
def test_motion_that_runs_away():
    """y' = y^2 from 1 has no solution past t = 1."""
    run = integrate(Toy(lambda t, y, _: y * y, 1), [1.0], 0.0, 2.0)
    assert run.status is Status.STEP_TOO_SMALL and run.times[-1] == pytest.approx(1.0, abs=1e-3)
    with pytest.raises(SolverError, match=r"Integration stopped at .* would have to be as short as"):
        run.raise_for_status()


def test_motion_that_leaves_its_domain():
    """sqrt of a falling number: the rates raise, and the run says where."""

    def function(t, y, _):
        if y[0] < 0.5:
            raise FloatingPointError("outside its domain")
        return [-1.0]

    run = integrate(Toy(function, 1), [1.0], 0.0, 1.0)
    assert run.times[-1] == pytest.approx(0.5, abs=1e-6)
    with pytest.raises(SolverError, match=r"Even a step of .* leads where the rates are not finite"):
        run.raise_for_status()


def test_step_too_small():
    """Dry friction that sticks, with nobody announcing it: the sign flips within every step."""
    motion = Toy(lambda t, y, _: [-np.sign(y[0] - 0.5)], 1)
    run = integrate(motion, [1.0], 0.0, 1.0, options=TransientOptions(tolerance=1e-9, smallest_step=1e-6))
    assert run.status is Status.STEP_TOO_SMALL
    with pytest.raises(SolverError, match=r"stopped at 0\.\d* s: .*still errs"):
        run.raise_for_status()


def test_inconsistent_start():
    motion = MechanismMotion(pendulum(gravity=GRAVITY))
    run = integrate(motion, motion.state([1.1, 0.0], [0.0, 0.0]), 0.0, 1.0)
    assert run.status is Status.INCONSISTENT_START
    with pytest.raises(SolverError, match=r"violated by .* in position"):
        run.raise_for_status()
    run = integrate(motion, motion.state([1.0, 0.0], [1.0, 0.0]), 0.0, 1.0)
    with pytest.raises(SolverError, match=r"violated by .* in speed"):
        run.raise_for_status()


def test_past_the_end_at_the_start():
    motion, _ = falling([(lambda t, y: -y[0], ("down", None), True)])
    with pytest.raises(SolverError, match="End condition: 'down'"):
        integrate(motion, [-1.0, 0.0], 0.0, 1.0).raise_for_status()


def test_out_of_steps():
    motion, start = falling(())
    with pytest.raises(SolverError, match="3 steps were taken"):
        integrate(motion, start, 0.0, 1.0, options=TransientOptions(most_steps=3)).raise_for_status()


def test_other_integrator_fails_by_name():
    run = integrate_otherwise(Toy(lambda t, y, _: y * y, 1), [1.0], 0.0, 2.0, tolerance=1e-8)
    assert run.status in (Status.STEP_TOO_SMALL, Status.NOT_FINITE)
    with pytest.raises(SolverError, match="Integration stopped at"):
        run.raise_for_status()


# one wheel: the tyre law against closed forms ----------------------------------------------------


class Wheel(Toy):
    """A rolling and slipping wheel on an incline: x, x', omega; slip law with the scale v0."""

    def __init__(self, *, inertia_share, grade=0.0, grip=2.0, scale=0.01, radius=0.06, mass=3.0):
        self.inertia, self.radius, self.mass = inertia_share * mass * radius**2, radius, mass
        self.grade, self.limit, self.scale = grade, grip * mass * 9.80665 * np.cos(grade), scale
        super().__init__(self._function, 3, coordinate_count=1)

    def _traction(self, y):
        return self.limit * np.tanh((y[2] * self.radius - y[1]) / self.scale)

    def _function(self, time, y, _):
        force = self._traction(y)
        return [y[1], force / self.mass - 9.80665 * np.sin(self.grade), -force * self.radius / self.inertia]

    def stiff_rates(self, time, state):
        slope = self.limit / self.scale * (1.0 - np.tanh((state[2] * self.radius - state[1]) / self.scale) ** 2)
        row = np.array([[0.0, -1.0, self.radius]])
        return self.rates(time, state), np.array([slope]), row, row / [1.0, self.mass, self.inertia]


SHARES = {"hoop": 1.0, "disc": 0.5, "sphere": 0.4}


def extrapolated(measure, scales=(0.02, 0.01, 0.005)):
    """Limit of vanishing slip speed from three scales (the law converges as its scale), and the observed order."""
    a, b, c = (measure(scale) for scale in scales)
    return c + (c - b), np.log2(abs((a - b) / (b - c)))


@pytest.mark.parametrize(("shape", "acceleration"), [("hoop", 2.451662), ("disc", 3.268883), ("sphere", 3.502375)])
def test_free_rolling(shape, acceleration):
    """Rolling down 30 deg: g sin/(1 + I/(m r^2)), physics texts; the slip needed is constant, so exact at any scale."""
    wheel = Wheel(inertia_share=SHARES[shape], grade=np.radians(30.0))
    run = integrate(wheel, np.zeros(3), 0.0, 0.5, options=TransientOptions(tolerance=1e-9))
    early, late = run.at([0.3, 0.5])[1]
    assert (early - late) / 0.2 == pytest.approx(acceleration, rel=1e-6)


@pytest.mark.parametrize(
    ("shape", "final", "time", "lost"), [("disc", 1.333333, 0.135962, 1 / 3), ("sphere", 1.428571, 0.116539, 2 / 7)]
)
def test_launched_sliding(shape, final, time, lost):
    """Launched at 2 m/s without spin, mu 0.5: final speed, sliding time, energy lost; physics texts (5/7 rule)."""
    wheel = Wheel(inertia_share=SHARES[shape], grip=0.5)

    def end(scale):
        wheel.scale = scale
        return integrate(wheel, [0.0, 2.0, 0.0], 0.0, 0.6, options=TransientOptions(tolerance=1e-9))

    speed = end(0.01).states[-1, 1]
    assert speed == pytest.approx(final, abs=2e-6)
    energy = 0.5 * 3.0 * speed**2 * (1.0 + SHARES[shape])
    assert 1.0 - energy / (0.5 * 3.0 * 4.0) == pytest.approx(lost, abs=2e-6)

    def half_way(scale):
        run = end(scale)
        fine = np.linspace(0.0, 0.6, 60001)
        return np.trapezoid((run.at(fine)[1] - final) * 2.0 / (2.0 - final), fine)

    sliding, _ = extrapolated(half_way)
    # The speed falls in a straight line, so twice the area over its height is the sliding time.
    assert sliding == pytest.approx(time, rel=3e-3)


@pytest.mark.parametrize("shape", ["hoop", "disc", "sphere"])
def test_spun_up_and_dropped(shape):
    """Spun up to omega and set down: v = omega r b/(1 + b), derived."""
    share = SHARES[shape]
    wheel = Wheel(inertia_share=share, grip=0.5)
    run = integrate(wheel, [0.0, 0.0, 30.0], 0.0, 1.0, options=TransientOptions(tolerance=1e-9))
    assert run.states[-1, 1] == pytest.approx(30.0 * 0.06 * share / (1.0 + share), rel=1e-6)


def test_least_friction_for_rolling():
    """Rolling at 30 deg uses mu = tan/(1 + 1/b) of grip: physics texts (from memory)."""
    for shape, least in (("hoop", 0.288675), ("disc", 0.192450), ("sphere", 0.164957)):
        wheel = Wheel(inertia_share=SHARES[shape], grade=np.radians(30.0), grip=1.0)
        run = integrate(wheel, np.zeros(3), 0.0, 0.3, options=TransientOptions(tolerance=1e-9))
        used = wheel._traction(run.states[-1]) / (3.0 * 9.80665 * np.cos(np.radians(30.0)))
        assert used == pytest.approx(least, abs=1e-6)


def test_builder_and_solver_on_a_falling_body():
    """The smallest mechanism there is: a free particle, through the builder and both routes."""
    mechanism = Mechanism(gravity=(0, -sp.Float(GRAVITY)))
    mechanism.particle("stone", 1)
    motion = MechanismMotion(compile_mechanism(mechanism))
    start = motion.state([0.0, 0.0], [1.0, 0.0])
    for run in (integrate(motion, start, 0.0, 1.0), integrate_otherwise(motion, start, 0.0, 1.0, method="Radau")):
        assert run.states[-1] == pytest.approx([1.0, -GRAVITY / 2, 1.0, -GRAVITY, 1.0], abs=1e-9)


def test_switches_of_a_mechanism_are_named_and_may_end_it():
    """A stone thrown up at v: highest at v/g, back at 2 v/g (free fall, any physics text)."""
    mechanism = Mechanism(gravity=(0, -sp.Float(GRAVITY)))
    mechanism.particle("stone", 1)
    switches = (
        Switch(lambda state: state[3], falling="highest"),
        Switch(lambda state: -1.0 - state[1], "landed", terminal=True),
    )
    motion = MechanismMotion(compile_mechanism(mechanism), switches=switches)
    run = integrate(motion, motion.state([0.0, -1.0 + 1e-9], [0.0, 2.0]), 0.0, 1.0).raise_for_status()
    assert [event.name for event in run.events] == ["highest", "landed"]
    assert run.ended_by == "landed"
    np.testing.assert_allclose([event.time for event in run.events], [2.0 / GRAVITY, 4.0 / GRAVITY], atol=1e-8)


def test_sizes_of_a_mechanism():
    """Places by length, angles by 1 rad, speeds by those over duration, the clock by 1 s."""
    mechanism = Mechanism()
    mechanism.body("bar", 1, 1)
    compiled = compile_mechanism(mechanism)
    motion = MechanismMotion(compiled, length=0.1, duration=0.01)
    np.testing.assert_allclose(motion.scales, [0.1, 0.1, 1.0, 10.0, 10.0, 100.0, 1.0], rtol=1e-15)
    with pytest.raises(ModelError, match="length = 0 m and duration = nan s; give positive sizes"):
        MechanismMotion(compiled, length=0, duration=float("nan"))


def test_a_state_of_wrong_length_is_told_so():
    """It was once 'not a finite number; check the inputs'."""
    motion = Toy(lambda t, y, piece: -y, 2)
    run = integrate(motion, np.ones(3), 0.0, 1.0)
    assert run.status is Status.WRONG_SIZE
    assert "The start has 3 numbers; this motion has 2" in run.message


def test_only_arithmetic_faults_count_as_not_finite():
    """A mistake of ours is not hidden behind a status."""

    def faulty(time, state, piece):
        raise ValueError("a mistake")

    with pytest.raises(ValueError, match="a mistake"):
        integrate(Toy(faulty, 2), np.ones(2), 0.0, 1.0)
