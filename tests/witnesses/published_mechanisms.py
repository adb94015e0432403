"""Published mechanisms, assembled with the project's own builder; numbers and sources as cited.

The builder turns positive about +y, from z toward x; published figures turn the other way in their
x-y plane. Bodies are laid with published y as z, so a published angle is minus `theta`.
"""

from functools import cache

import numpy as np
import sympy as sp

from compiled import compile_mechanism
from noseload.model.symbols.mechanism import Mechanism

FOUR_BAR = {"ground": 100.0, "crank": 40.0, "coupler": 120.0, "rocker": 80.0}
"""R. L. Norton, Design of Machinery, ch. 4 position example (chapter from memory), mm."""


@cache
def four_bar(ground, crank, coupler, rocker, *, hold="crank", crank_moment=0):
    """Compiled four-bar with one link turned by the angle `t` (published sense), a moment on the crank.

    The origin of each link is at its middle.
    """
    mechanism = Mechanism()
    lengths = {"crank": crank, "coupler": coupler, "rocker": rocker}
    bodies = {name: mechanism.body(name, 1, 1) for name in lengths}

    def end(name, side):
        return mechanism.point(bodies[name], side * lengths[name] / 2)

    mechanism.pin("crank_pivot", mechanism.point(mechanism.ground), end("crank", -1))
    mechanism.pin("crank_coupler", end("crank", 1), end("coupler", -1))
    mechanism.pin("coupler_rocker", end("coupler", 1), end("rocker", 1))
    mechanism.pin("rocker_pivot", mechanism.point(mechanism.ground, ground), end("rocker", -1))
    mechanism.prescribe_rotation("drive", bodies[hold], -mechanism.time)
    mechanism.couple(bodies["crank"], crank_moment)
    return compile_mechanism(mechanism)


def four_bar_start(lengths, crank_angle, coupler_angle, rocker_angle):
    """Rough coordinates of the compiled four-bar from angles in the published sense, rad."""
    tip = (lengths["crank"] * np.cos(crank_angle), lengths["crank"] * np.sin(crank_angle))
    links = (
        ("crank", crank_angle, (0.0, 0.0)),
        ("coupler", coupler_angle, tip),
        ("rocker", rocker_angle, (lengths["ground"], 0.0)),
    )
    state = []
    for name, angle, (x, z) in links:
        half = 0.5 * lengths[name]
        state += [x + half * np.cos(angle), z + half * np.sin(angle), -angle]
    return np.array(state)


# Andrews' squeezing mechanism: E. Hairer and G. Wanner, Solving Ordinary Differential Equations II,
# VII.7, and the Test Set for IVP Solvers (Bari), problem "andrews", whose Fortran source was read.
ANDREWS_MASSES = (0.04325, 0.00365, 0.02373, 0.00706, 0.07050, 0.00706, 0.05498)
ANDREWS_INERTIAS = (2.194e-6, 4.410e-7, 5.255e-6, 5.667e-7, 1.169e-5, 5.667e-7, 1.912e-5)
ANDREWS_MOMENT = 0.033
ANDREWS_STIFFNESS, ANDREWS_FREE_LENGTH = 4530.0, 0.07785
ANDREWS_START = (
    -0.0617138900142764496,
    0.0,
    0.455279819163070380,
    0.222668390165885885,
    0.487364979543842550,
    -0.222668390165885885,
    1.23054744454982119,
)
_A, _B, _C = (-0.06934, -0.00227), (-0.03635, 0.03273), (0.014, 0.072)
_D, _DA, _E, _EA, _RR, _RA, _SS = 0.028, 0.0115, 0.02, 0.01421, 0.007, 0.00092, 0.035
_SA, _SB, _SC, _SD, _TA, _TB, _U = 0.01874, 0.01043, 0.018, 0.02, 0.02308, 0.00916, 0.04
_UA, _UB, _ZF, _ZT, _FA = 0.01228, 0.00449, 0.02, 0.04, 0.01421
_ANDREWS_CENTRES = ((_RA, 0.0), (-_DA, 0.0), (_SB, -_SA), (0.0, -(_E - _EA)), (_TA, _TB), (_ZF - _FA, 0.0), (_UB, -_UA))
"""Centre of gravity of each body from the joint it hangs on, in its own frame."""


def andrews_absolute_angles(relative):
    """Angles of the seven bodies in space from the published (beta, Theta, gamma, phi, delta, omega, epsilon)."""
    beta, theta, gamma, phi, delta, omega, epsilon = relative
    return np.array([beta, beta + theta, gamma, phi + delta, delta, omega + epsilon, epsilon])


def andrews_relative_angles(absolute):
    """Inverse of `andrews_absolute_angles`."""
    one, two, three, four, five, six, seven = absolute
    return np.array([one, two - one, three, four - five, five, six - seven, seven])


@cache
def andrews():
    """Compiled mechanism; bodies 3, 4 and 6 are pinned to body 2 in the point E."""
    mechanism = Mechanism()
    bodies = [
        mechanism.body(f"k{i + 1}", mass, inertia)
        for i, (mass, inertia) in enumerate(zip(ANDREWS_MASSES, ANDREWS_INERTIAS, strict=True))
    ]

    def at(number, x, z):
        centre_x, centre_z = _ANDREWS_CENTRES[number - 1]
        return mechanism.point(bodies[number - 1], x - centre_x, z - centre_z)

    def ground(point):
        return mechanism.point(mechanism.ground, *point)

    mechanism.pin("o", ground((0, 0)), at(1, 0, 0))
    mechanism.pin("f", at(1, _RR, 0), at(2, 0, 0))
    mechanism.pin("b", ground(_B), at(3, 0, 0))
    mechanism.pin("a_lower", ground(_A), at(5, 0, 0))
    mechanism.pin("a_upper", ground(_A), at(7, 0, 0))
    mechanism.pin("g", at(5, _ZT, 0), at(4, 0, 0))
    mechanism.pin("h", at(7, 0, -_U), at(6, 0, 0))
    # The published constraints 1-2, 3-4 and 5-6: point E of body 2 less that of bodies 3, 4 and 6.
    mechanism.pin("e3", at(3, 0, -_SS), at(2, -_D, 0))
    mechanism.pin("e4", at(4, 0, -_E), at(2, -_D, 0))
    mechanism.pin("e6", at(6, _ZF, 0), at(2, -_D, 0))
    mechanism.spring_damper(
        "spring", ground(_C), at(3, _SD, -_SC), lambda length, rate: ANDREWS_STIFFNESS * (ANDREWS_FREE_LENGTH - length)
    )
    mechanism.couple(bodies[0], -ANDREWS_MOMENT)
    return compile_mechanism(mechanism)


def andrews_start():
    """Coordinates of the published start, placed body by body."""
    angles = andrews_absolute_angles(ANDREWS_START)

    def turned(number, x, z):
        a = angles[number - 1]
        return np.array([x * np.cos(a) - z * np.sin(a), x * np.sin(a) + z * np.cos(a)])

    origins = {1: np.zeros(2), 2: turned(1, _RR, 0), 3: np.array(_B), 5: np.array(_A), 7: np.array(_A)}
    origins[4] = origins[5] + turned(5, _ZT, 0)
    origins[6] = origins[7] + turned(7, 0, -_U)
    state = []
    for number in range(1, 8):
        centre = origins[number] + turned(number, *_ANDREWS_CENTRES[number - 1])
        state += [*centre, -angles[number - 1]]
    return np.array(state)


# Car axis: Test Set for IVP Solvers (Bari), problem "caraxis", Fortran source, revision 2006.
CAR_AXIS_EPSILON, CAR_AXIS_MASS, CAR_AXIS_LENGTH, CAR_AXIS_FREE = 1e-2, 10.0, 1.0, 0.5
CAR_AXIS_ROAD, CAR_AXIS_FREQUENCY = 0.1, 10.0


@cache
def car_axis():
    """Compiled car axis: two particles on springs, a rod between them, one wheel on a bumpy road."""
    mass = CAR_AXIS_EPSILON**2 * CAR_AXIS_MASS / 2
    mechanism = Mechanism(gravity=(0, -1))
    left, right = (mechanism.point(mechanism.particle(side, mass)) for side in ("left", "right"))
    bump = CAR_AXIS_ROAD * sp.sin(CAR_AXIS_FREQUENCY * mechanism.time)
    reach = sp.sqrt(CAR_AXIS_LENGTH**2 - bump**2)
    origin = mechanism.point(mechanism.ground)
    wheel = mechanism.point(mechanism.ground, reach, bump)
    mechanism.slider("left_guide", origin, left, (reach, bump))
    mechanism.rod("axis", left, right, CAR_AXIS_LENGTH)
    for name, foot, top in (("left", origin, left), ("right", wheel, right)):
        mechanism.spring_damper(f"{name}_spring", foot, top, lambda length, rate: CAR_AXIS_FREE - length)
    return compile_mechanism(mechanism)


@cache
def n_four_bar(windows, *, gravity=9.81):
    """Compiled N-four-bar mechanism: 2 N + 1 uniform links of 1 m and 1 kg, pinned.

    IFToMM library of computational benchmark problems, A02; M. Gonzalez, D. Dopico, U. Lugris and
    J. Cuadrado, Multibody System Dynamics 16, 2006; after E. Bayo and A. Avello, 1994.
    """
    mechanism = Mechanism(gravity=(0, -gravity))
    half, inertia = sp.Rational(1, 2), sp.Rational(1, 12)
    cranks = [mechanism.body(f"crank{i}", 1, inertia) for i in range(windows + 1)]
    couplers = [mechanism.body(f"coupler{i}", 1, inertia) for i in range(windows)]
    for i, crank in enumerate(cranks):
        mechanism.pin(f"pivot{i}", mechanism.point(mechanism.ground, i), mechanism.point(crank, 0, -half))
    for i, coupler in enumerate(couplers):
        mechanism.pin(f"left{i}", mechanism.point(cranks[i], 0, half), mechanism.point(coupler, -half))
        mechanism.pin(f"right{i}", mechanism.point(cranks[i + 1], 0, half), mechanism.point(coupler, half))
    return compile_mechanism(mechanism)


def n_four_bar_state(motion, theta, rate):
    """State with all cranks turned by `theta` from upright (toward +x), turning at `rate`."""
    windows = motion.n_coordinates // 6
    sine, cosine = np.sin(theta), np.cos(theta)
    places, speeds = [], []
    for i in range(windows + 1):
        places += [i + 0.5 * sine, 0.5 * cosine, theta]
        speeds += [0.5 * cosine * rate, -0.5 * sine * rate, rate]
    for i in range(windows):
        places += [i + 0.5 + sine, cosine, 0.0]
        speeds += [cosine * rate, -sine * rate, 0.0]
    return motion.state(places, speeds)


def n_four_bar_energy(motion, state, *, gravity=9.81):
    """Kinetic plus potential energy above the pivots, J."""
    return motion.kinetic_energy(state) + gravity * float(np.sum(state[1 : motion.n_coordinates : 3]))


@cache
def pendulum(*, gravity=9.81, length=1.0):
    """Compiled point mass on a massless rod (IFToMM library of computational benchmark problems, A01)."""
    mechanism = Mechanism(gravity=(0, -gravity))
    bob = mechanism.point(mechanism.particle("bob", 1))
    mechanism.rod("bar", mechanism.point(mechanism.ground), bob, length)
    return compile_mechanism(mechanism)
