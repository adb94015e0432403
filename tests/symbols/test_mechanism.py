"""The builder and its compiled form against small cases derived by hand from Newton and Euler."""

import numpy as np
import pytest
import sympy as sp

from compiled import Closure, MechanismMotion, compile_mechanism
from noseload.model.errors import ModelError
from noseload.model.symbols.mechanism import Mechanism

EXACT = 1e-12
"""Relative; a handful of floating-point operations apart from the closed form."""
GRAVITY = 9.81


def solved(mechanism, coordinates, speeds, time=0.0, values=None):
    """Accelerations and multipliers by name."""
    compiled = compile_mechanism(mechanism, values)
    motion = MechanismMotion(compiled)
    rates, multipliers = motion.solve(motion.state(coordinates, speeds, time))
    names = [name.removesuffix("_rate") for name in compiled.speed_names]
    return dict(zip(names, rates, strict=True)), dict(zip(compiled.constraint_names, multipliers, strict=True))


# frame and sign -------------------------------------------------------------------------------


def test_a_positive_rotation_turns_the_nose_down():
    """Right-hand rule about +y with z up (ISO 8855 axes): x turned by 0.1 rad drops by sin 0.1 = 0.0998334."""
    mechanism = Mechanism()
    body = mechanism.body("a", 1, 1)
    nose = mechanism.point(body, 1, 0)
    at = {body.coordinates[0]: 0, body.coordinates[1]: 0, body.coordinates[2]: 0.1}
    assert float(nose.z.subs(at)) == pytest.approx(-0.0998334, abs=5e-8)
    assert float(nose.x.subs(at)) == pytest.approx(np.cos(0.1), rel=EXACT)


def test_rate_follows_coordinates_and_time():
    mechanism = Mechanism()
    body = mechanism.body("a", 1, 1)
    x, _, theta = body.coordinates
    expected = body.speeds[0] * sp.sin(theta) + x * sp.cos(theta) * body.speeds[2] + 2 * mechanism.time
    assert sp.simplify(mechanism.rate(x * sp.sin(theta) + mechanism.time**2) - expected) == 0


# hand-derived dynamics ------------------------------------------------------------------------


@pytest.mark.parametrize("angle", [0.0, 0.4, 2.5, -1.2])
@pytest.mark.parametrize("rate", [0.0, 1.7])
def test_pendulum_on_a_rod(angle, rate):
    """Point mass, angle from hanging: l a = -g sin(angle), T = m (g cos(angle) + l w^2) (Newton)."""
    length, mass = 0.7, 1.3
    mechanism = Mechanism(gravity=(0, -GRAVITY))
    bob = mechanism.point(mechanism.particle("bob", mass))
    mechanism.rod("bar", mechanism.point(mechanism.ground), bob, length)
    sine, cosine = np.sin(angle), np.cos(angle)
    rates, tension = solved(
        mechanism, [length * sine, -length * cosine], [length * rate * cosine, length * rate * sine]
    )
    turning = -GRAVITY * sine / length
    np.testing.assert_allclose(
        [rates["bob_x"], rates["bob_z"]],
        [length * (turning * cosine - rate**2 * sine), length * (turning * sine + rate**2 * cosine)],
        rtol=EXACT,
        atol=1e-13,
    )
    assert tension["bar"] == pytest.approx(mass * (GRAVITY * cosine + length * rate**2), rel=EXACT, abs=1e-13)


def test_physical_pendulum_on_a_pin():
    """Uniform bar about its end, released level: turning 3 g/(2 l), pin carries m g/4 (Euler, Newton)."""
    length, mass = 0.8, 2.0
    mechanism = Mechanism(gravity=(0, -GRAVITY))
    bar = mechanism.body("bar", mass, mass * length**2 / 12)
    mechanism.pin("hinge", mechanism.point(mechanism.ground), mechanism.point(bar, -length / 2))
    rates, force = solved(mechanism, [length / 2, 0, 0], [0, 0, 0])
    assert rates["bar_theta"] == pytest.approx(1.5 * GRAVITY / length, rel=EXACT)
    assert rates["bar_z"] == pytest.approx(-0.75 * GRAVITY, rel=EXACT)
    assert force["hinge_z"] == pytest.approx(0.25 * mass * GRAVITY, rel=EXACT)
    assert force["hinge_x"] == pytest.approx(0.0, abs=1e-13)


def test_two_masses_pulled_along_a_rod_share_the_force():
    """Pull P on the first of two masses in line: tension P m2/(m1 + m2) (Newton)."""
    mechanism = Mechanism()
    first, second = (mechanism.point(mechanism.particle(name, mass)) for name, mass in (("a", 3.0), ("b", 5.0)))
    mechanism.rod("tie", second, first, 2.0)
    mechanism.force(first, 16.0, 0)
    rates, tension = solved(mechanism, [2, 0, 0, 0], [0, 0, 0, 0])
    assert tension["tie"] == pytest.approx(10.0, rel=EXACT)
    assert rates["a_x"] == pytest.approx(2.0, rel=EXACT)
    assert rates["b_x"] == pytest.approx(2.0, rel=EXACT)


def test_two_masses_whirling_about_each_other():
    """Equal masses on a rod turning freely at w: tension m w^2 l/2 (Newton)."""
    mechanism = Mechanism()
    first, second = (mechanism.point(mechanism.particle(name, 1.5)) for name in "ab")
    mechanism.rod("tie", first, second, 1.2)
    _, tension = solved(mechanism, [-0.6, 0, 0.6, 0], [0, 0.6 * 3, 0, -0.6 * 3])
    assert tension["tie"] == pytest.approx(1.5 * 9 * 0.6, rel=EXACT)


def test_wheel_with_rotor_on_a_turning_carrier():
    """Torque T on a wheel J with rotor R on a free body I: body and wheel in space get -T and +T (Euler).

    Unknowns a (body), s (relative): (I + J) a + J s = 0 and J a + (J + R) s = T.
    """
    body_inertia, wheel, rotor, torque = 0.02, 0.003, 0.004, 0.5
    mechanism = Mechanism()
    body = mechanism.body("a", 1, body_inertia)
    spin = mechanism.spin("spin", body, wheel, rotor)
    mechanism.torque(spin, torque)
    rates, _ = solved(mechanism, [0, 0, 0.3], [0, 0, 1.0, 5.0])
    relative = torque / (rotor + wheel * body_inertia / (body_inertia + wheel))
    assert rates["spin"] == pytest.approx(relative, rel=EXACT)
    assert rates["a_theta"] == pytest.approx(-wheel * relative / (body_inertia + wheel), rel=EXACT)
    assert spin.absolute_speed == body.speeds[2] + spin.speed


def test_contact_moment_turns_the_wheel_in_space_and_not_its_carrier():
    """A moment on the wheel alone leaves a free carrier at rest: a = 0, s = M/J (Euler)."""
    mechanism = Mechanism()
    spin = mechanism.spin("spin", mechanism.body("a", 1, 0.02), 0.003)
    mechanism.contact_moment(spin, 0.6)
    rates, _ = solved(mechanism, [0, 0, 0], [0, 0, 0, 0])
    assert rates["spin"] == pytest.approx(200.0, rel=EXACT)
    assert rates["a_theta"] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("ratio", [1.0, -0.5, 3.0])
def test_gear_pair_on_the_ground(ratio):
    """Driver J1 with torque T, driven J2 at `ratio`: acceleration T/(J1 + ratio^2 J2) (any gear text)."""
    mechanism = Mechanism()
    driver = mechanism.spin("driver", mechanism.ground, 0.002)
    driven = mechanism.spin("driven", mechanism.ground, 0.005)
    mechanism.gear(driven, driver, ratio)
    mechanism.torque(driver, 0.4)
    rates, _ = solved(mechanism, [], [2.0, 2.0 * ratio])
    assert rates["driver"] == pytest.approx(0.4 / (0.002 + ratio**2 * 0.005), rel=EXACT)
    assert rates["driven"] == pytest.approx(ratio * rates["driver"], rel=EXACT)


def test_two_weights_over_a_pulley():
    """Atwood's machine with a heavy pulley: a = (m1 - m2) g/(m1 + m2 + I/r^2), T_i = m_i (g -+ a) (any text)."""
    first, second, inertia, radius = 0.7, 0.4, 2e-3, 0.05
    mechanism = Mechanism(gravity=(0, -GRAVITY))
    pulley = mechanism.body("pulley", 0.3, inertia)
    mechanism.pin("axle", mechanism.point(mechanism.ground), mechanism.point(pulley))
    for name, mass, side in (("a", first, 1), ("b", second, -1)):
        weight = mechanism.particle(name, mass)
        mechanism.slider(
            f"{name}_guide", mechanism.point(mechanism.ground, side * radius), mechanism.point(weight), (1, 0)
        )
        mechanism.prescribe_rotation(f"{name}_cord", pulley, -side * weight.coordinates[1] / radius)
    rates, moment = solved(mechanism, [0, 0, 0, radius, -1, -radius, -1], [0] * 7)
    falling = (first - second) * GRAVITY / (first + second + inertia / radius**2)
    assert rates["a_z"] == pytest.approx(-falling, rel=EXACT)
    assert rates["pulley_theta"] == pytest.approx(falling / radius, rel=EXACT)
    assert moment["a_cord"] / radius == pytest.approx(first * (GRAVITY - falling), rel=EXACT)
    assert -moment["b_cord"] / radius == pytest.approx(second * (GRAVITY + falling), rel=EXACT)


def test_couple_between_bodies_is_equal_and_opposite():
    """A torsion spring between two free discs: I1 a1 = -I2 a2 = k (angle difference) (Euler)."""
    stiffness = 4.0
    mechanism = Mechanism()
    first, second = mechanism.body("a", 1, 0.2), mechanism.body("b", 1, 0.5)
    twist = second.coordinates[2] - first.coordinates[2]
    mechanism.couple(first, stiffness * twist, reaction=second)
    rates, _ = solved(mechanism, [0, 0, 0.1, 0, 0, 0.4], [0] * 6)
    assert rates["a_theta"] == pytest.approx(4.0 * 0.3 / 0.2, rel=EXACT)
    assert rates["b_theta"] == pytest.approx(-4.0 * 0.3 / 0.5, rel=EXACT)


def test_spring_damper_pushes_both_ends_with_its_law():
    """Cubic law along the line of the ends: force on the end = law(l, l') along the line (Newton)."""
    mechanism = Mechanism()
    end = mechanism.point(mechanism.particle("a", 2.0))
    mechanism.spring_damper(
        "strut", mechanism.point(mechanism.ground), end, lambda length, rate: 7 * (3 - length) ** 3 - 2 * rate
    )
    compiled = compile_mechanism(mechanism)
    x, z, vx, vz = 1.2, 0.9, 0.3, -0.7
    length, rate = 1.5, (1.2 * 0.3 - 0.9 * 0.7) / 1.5
    push = 7 * (3 - length) ** 3 - 2 * rate
    np.testing.assert_allclose(compiled.forces([x, z], [vx, vz]), [push * 0.8, push * 0.6], rtol=EXACT)
    outputs = compiled.outputs([x, z], [vx, vz])
    np.testing.assert_allclose(
        [outputs["strut_length"], outputs["strut_rate"], outputs["strut_force"]], [length, rate, push], rtol=EXACT
    )


# prescribed points and rotations ---------------------------------------------------------------


def test_rod_to_a_prescribed_point_has_its_rate_terms():
    """Mass towed in line by a point at x = t^2/2 + l: it follows with a = 1, tension m (Newton)."""
    mechanism = Mechanism()
    towed = mechanism.point(mechanism.particle("a", 2.5))
    mechanism.rod("tow", towed, mechanism.point(mechanism.ground, mechanism.time**2 / 2 + 3, 0), 3)
    time = 0.8
    rates, tension = solved(mechanism, [time**2 / 2, 0], [time, 0], time)
    assert rates["a_x"] == pytest.approx(1.0, rel=EXACT)
    assert tension["tow"] == pytest.approx(2.5, rel=EXACT)
    compiled = compile_mechanism(mechanism)
    # Residual (l^2 - d.d)/(2 l) with d = 3: its explicit time derivative is -d/l times the point's speed.
    assert compiled.residual_rate([time**2 / 2, 0], time)[0] == pytest.approx(-time, rel=EXACT)


def test_prescribed_rotation_takes_the_moment_of_inertia():
    """A bar turned as sin(3 t) about its centre needs I theta'' = -9 I sin(3 t) (Euler)."""
    mechanism = Mechanism()
    bar = mechanism.body("bar", 1, 0.2)
    mechanism.prescribe_rotation("motor", bar, sp.sin(3 * mechanism.time))
    time = 0.25
    rates, moment = solved(mechanism, [0, 0, np.sin(0.75)], [0, 0, 3 * np.cos(0.75)], time)
    assert rates["bar_theta"] == pytest.approx(-9 * np.sin(0.75), rel=EXACT)
    assert moment["motor"] == pytest.approx(-1.8 * np.sin(0.75), rel=EXACT)


def test_residual_rates_match_differences():
    """G u + r_t and gamma against central differences along a motion through the same state."""
    mechanism = Mechanism(gravity=(0, -GRAVITY))
    body = mechanism.body("a", 1, 0.1)
    swing = mechanism.point(mechanism.ground, sp.cos(2 * mechanism.time), sp.sin(mechanism.time))
    mechanism.rod("rod", swing, mechanism.point(body, 0.3, 0.1), 0.9)
    mechanism.slider(
        "slot",
        mechanism.point(mechanism.ground, 0.1),
        mechanism.point(body, -0.2),
        (sp.cos(mechanism.time), sp.sin(mechanism.time)),
    )
    compiled = compile_mechanism(mechanism)
    q, u, a, time, h = np.array([0.4, 0.7, 0.2]), np.array([0.5, -0.3, 1.1]), np.array([0.2, 0.9, -0.4]), 0.6, 1e-4

    def along(step):
        return compiled.residuals(q + step * u + 0.5 * step**2 * a, time + step)

    first = compiled.jacobian(q, time) @ u + compiled.residual_rate(q, time)
    second = compiled.jacobian(q, time) @ a - compiled.gamma(q, u, time)
    np.testing.assert_allclose((along(h) - along(-h)) / (2 * h), first, rtol=1e-7)
    np.testing.assert_allclose((along(h) - 2 * along(0.0) + along(-h)) / h**2, second, rtol=1e-6)


# compiled form ---------------------------------------------------------------------------------


def _double_pendulum():
    mechanism = Mechanism(gravity=(0, -sp.Symbol("gravity", real=True)))
    mass = sp.Symbol("bar_mass", real=True)
    upper, lower = (mechanism.body(name, mass, 0.01) for name in ("upper", "lower"))
    mechanism.pin("top", mechanism.point(mechanism.ground), mechanism.point(upper, 0, 0.25))
    mechanism.pin("knee", mechanism.point(upper, 0, -0.25), mechanism.point(lower, 0, 0.25))
    return mechanism


DOUBLE = {"gravity": GRAVITY, "bar_mass": 0.6}


def settled(motion, state):
    """Projected until it stays."""
    for _ in range(6):
        state, _, _ = motion.project(0.0, state)
    return state


def test_projection_closes_joints_and_speeds():
    motion = MechanismMotion(compile_mechanism(_double_pendulum(), DOUBLE))
    rng = np.random.default_rng(5)
    open_state = motion.state(
        np.array([0, -0.25, 0, 0, -0.75, 0]) + 0.003 * rng.standard_normal(6),
        np.array([0, 0, 1, 0.5, 0, 1.0]) + 0.003 * rng.standard_normal(6),
    )
    assert max(motion.drift(open_state)) > 1e-4
    closed = settled(motion, open_state)
    position, velocity = motion.drift(closed)
    assert position < 1e-14
    assert velocity < 1e-13


def test_power_balance():
    """d(kinetic)/dt = power of gravity: joints do no work (principle of virtual work)."""
    compiled = compile_mechanism(_double_pendulum(), DOUBLE)
    motion = MechanismMotion(compiled)
    state = settled(motion, motion.state([0.1, -0.2, -0.4, 0.25, -0.6, 0.3], [0.2, 0.1, 1.5, 0.4, 0.2, -2.0]))
    rates, _ = motion.solve(state)
    speeds = motion.split(state)[1]
    power = -0.6 * GRAVITY * (speeds[1] + speeds[4])
    assert speeds @ compiled.mass_matrix @ rates == pytest.approx(power, rel=1e-11)


def test_other_parameters_use_the_same_equations():
    light = compile_mechanism(_double_pendulum(), DOUBLE)
    heavy = light.with_parameters({"bar_mass": 1.2})
    np.testing.assert_allclose(np.diag(heavy.mass_matrix)[[0, 1]], [1.2, 1.2], rtol=0)
    assert heavy.forces([0] * 6, [0] * 6)[1] == pytest.approx(2 * light.forces([0] * 6, [0] * 6)[1], rel=EXACT)
    with pytest.raises(ModelError, match="no parameter is called mass_of_bar; known: bar_mass, gravity"):
        light.with_parameters({"mass_of_bar": 1.0})


def test_dependent_constraints_are_named():
    """A third parallel rod of a parallelogram says nothing new."""
    mechanism = Mechanism()
    plate = mechanism.body("plate", 1, 1)
    for k, x in enumerate((-0.5, 0.0, 0.5)):
        mechanism.rod(f"rod{k}", mechanism.point(mechanism.ground, x), mechanism.point(plate, x), 1.0)
    compiled = compile_mechanism(mechanism)
    assert compiled.dependent_constraints([0, 1, 0]) == ("rod2",)
    motion = MechanismMotion(compiled)
    state = motion.state([0, 1, 0], [0, 0, 0])
    assert motion.independence(state) < 1e-15
    free = Mechanism()
    free.particle("a", 1)
    assert MechanismMotion(compile_mechanism(free)).independence(np.zeros(5)) == 1.0


def test_singular_position_gives_no_number():
    """Two identical rods: the multipliers are undetermined and the solution is not finite."""
    mechanism = Mechanism(gravity=(0, -GRAVITY))
    bob = mechanism.point(mechanism.particle("bob", 1))
    for name in ("one", "two"):
        mechanism.rod(name, mechanism.point(mechanism.ground), bob, 1)
    motion = MechanismMotion(compile_mechanism(mechanism))
    rates, _ = motion.solve(motion.state([0.0, -1.0], [0.0, 0.0]))
    assert not np.isfinite(rates).any()


# failures --------------------------------------------------------------------------------------


def _empty(mechanism):
    mechanism.equations()


def _twins(mechanism):
    mechanism.body("a", 1, 1)
    mechanism.particle("a", 1)


def _twin_spins(mechanism):
    body = mechanism.body("a", 1, 1)
    mechanism.spin("s", body, 1)
    mechanism.spin("s", body, 1)


def _negative(mechanism):
    mechanism.body("a", -1, 1)


def _negative_inertia(mechanism):
    mechanism.body("a", 1, -0.5)


def _away(mechanism):
    mechanism.point(mechanism.particle("a", 1), 0.1, 0)


def _zero_rod(mechanism):
    mechanism.rod("tie", mechanism.point(mechanism.ground), mechanism.point(mechanism.particle("a", 1)), 0)


def _to_itself(mechanism):
    body = mechanism.body("a", 1, 1)
    mechanism.pin("hinge", mechanism.point(body), mechanism.point(body, 1))


def _to_ground(mechanism):
    mechanism.rod("tie", mechanism.point(mechanism.ground), mechanism.point(mechanism.ground, 1), 1)


def _twin_rods(mechanism):
    bob = mechanism.point(mechanism.particle("a", 1))
    for _ in range(2):
        mechanism.rod("tie", mechanism.point(mechanism.ground), bob, 1)


def _couple_on_particle(mechanism):
    mechanism.couple(mechanism.particle("a", 1), 1)


def _spin_on_particle(mechanism):
    mechanism.spin("s", mechanism.particle("a", 1), 1)


def _gear_to_itself(mechanism):
    spin = mechanism.spin("s", mechanism.body("a", 1, 1), 1)
    mechanism.gear(spin, spin, 1)


def _no_number(mechanism):
    mechanism.particle("a", sp.Symbol("mass", real=True))
    compile_mechanism(mechanism)


def _not_fixed(mechanism):
    mechanism.particle("a", 1)
    Closure(compile_mechanism(mechanism))


@pytest.mark.parametrize(
    ("mistake", "message"),
    [
        (_empty, "nothing can move; add a body"),
        (_twins, "two bodies are called 'a'"),
        (_twin_spins, "two spins are called 's'"),
        (_negative, "mass of 'a' is -1 kg; it must not be negative"),
        (_negative_inertia, "inertia of 'a' is -0.5 kg m2"),
        (_away, "particle 'a' has no point away from itself"),
        (_zero_rod, "rod 'tie' has length 0 m; give a length above 0"),
        (_to_itself, "pin 'hinge_x' joins body 'a' to itself"),
        (_to_ground, "rod 'tie' joins the ground to itself"),
        (_twin_rods, "two constraints are called 'tie'"),
        (_couple_on_particle, "'a' cannot turn; a moment or rotation needs a rigid body"),
        (_spin_on_particle, "'a' cannot turn"),
        (_gear_to_itself, "spin 's' is geared to itself"),
        (_no_number, "no number for mass; give each in `values`"),
        (_not_fixed, "0 constraints cannot fix 2 coordinates"),
    ],
)
def test_mistakes_are_named(mistake, message):
    with pytest.raises(ModelError, match=message):
        mistake(Mechanism())
