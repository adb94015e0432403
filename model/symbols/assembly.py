"""The vehicle as one mechanism: chassis, two axles on two rods each, two shocks, four tyres as two.

Everything the equations know of the vehicle is on this page. Symbols are the kernel parameters of
`noseload.model.parameters`; see the frame in `noseload.model.symbols.mechanism`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import sympy as sp

from noseload.model.vehicle import ENDS

from .mechanism import Body, Mechanism, Point, Spin

if TYPE_CHECKING:
    from sympy import Expr, Symbol


TOUCH_DEPTH = sp.Rational(1, 1000)
"""Depth over which the damping of a touch sets in, m: continuous at first touch."""

HELD_GAP = 1
"""Distance from being loose that a held coil keeps, m."""

FRICTION_SPEED = sp.Rational(10, 1000)
"""Speed of a shock at which three quarters of its dry friction stand against it, m/s; at rest there is none, so that a
steady start is that of the springs alone."""

LEAST_LOAD = sp.Rational(1, 1000)
"""Share of its reference load at which a tyre's slip scale stops following the load: smooth where the tyre leaves the ground."""

LOSSES = ("damper", "stop", "tyre", "slip", "rolling")
POWERS = ("motor", "brake", *LOSSES)
"""What the kernels of motion give beside the speed rates, W: work of motor and drag brake, losses."""


class positive_part(sp.Function):
    """max(0, x); kept opaque so that kinks need no Piecewise."""

    def fdiff(self, argindex: int = 1) -> step:
        return step(self.args[0])


class step(sp.Function):
    """1 where x > 0, else 0: the derivative of `positive_part`."""

    def fdiff(self, argindex: int = 1) -> Expr:
        return sp.Integer(0)


class tanh(sp.Function):
    """Hyperbolic tangent; kept opaque, as SymPy's own takes for ever to find out whether nested ones are real."""

    is_real = True

    def fdiff(self, argindex: int = 1) -> tanh_slope:
        return tanh_slope(self.args[0])


class tanh_slope(sp.Function):
    """Slope of `tanh`, 1 - tanh(x)^2, printed without that difference: a saturated tyre keeps all its digits."""

    is_real = True

    def fdiff(self, argindex: int = 1) -> Expr:
        return -2 * tanh(self.args[0]) * tanh_slope(self.args[0])


class magnitude(sp.Function):
    """|x|, with derivative `direction`."""

    def fdiff(self, argindex: int = 1) -> direction:
        return direction(self.args[0])


class direction(sp.Function):
    """Sign of x; 0 at 0."""

    def fdiff(self, argindex: int = 1) -> Expr:
        return sp.Integer(0)


class exponential(sp.Function):
    """exp(x); kept opaque, as SymPy's own melts with the logarithm in it into a power."""

    is_real = True

    def fdiff(self, argindex: int = 1) -> exponential:
        return exponential(self.args[0])


class logarithm(sp.Function):
    """Natural logarithm of a positive number."""

    is_real = True

    def fdiff(self, argindex: int = 1) -> Expr:
        return 1 / self.args[0]


def parameter(name: str) -> Symbol:
    """Symbol of a kernel parameter."""
    return sp.Symbol(name, real=True)


def touch(stiffness: Expr, damping: Expr, depth: Expr, rate: Expr) -> positive_part:
    """One-sided contact: continuous at first touch, never pulls (force laws of the guide)."""
    inside = positive_part(depth)
    onset = 1 - positive_part(1 - inside / TOUCH_DEPTH)
    return positive_part(stiffness * inside + damping * rate * onset)


def coil(rate: Expr, free_length: Expr, length: Expr, held: Expr) -> Expr:
    """Push of a coil spring, N: one that is not held at both ends never pulls (`held` 1: it does)."""
    short = free_length - length
    return rate * (short + (1 - held) * positive_part(-short))


def coil_gap(free_length: Expr, length: Expr, held: Expr) -> Expr:
    """By how much a coil is loose, m; a held one is never, so its gap is a constant that no event crosses."""
    return (1 - held) * (length - free_length + HELD_GAP) - HELD_GAP


@dataclass(frozen=True)
class AxleParts:
    """What the rest of the assembly needs of one axle."""

    end: str
    housing: Body
    wheel_centre: Point
    wheels: Spin
    load: sp.Expr


@dataclass(frozen=True)
class Assembly:
    """The assembled vehicle: mechanism, parts and the traction symbols used, (rear, front)."""

    mechanism: Mechanism
    chassis: Body
    axles: tuple
    traction: tuple


def add_axle(mechanism: Mechanism, chassis: Body, end: str, *, moving: bool) -> AxleParts:
    """Hang one axle on the chassis: two rods, a shock with its stops, a tyre pair, a wheel pair."""

    def at(body: Body, part: str) -> Point:
        return mechanism.point(body, parameter(f"{end}_{part}_x"), parameter(f"{end}_{part}_z"))

    def value(name: str) -> Symbol:
        return parameter(f"{end}_{name}")

    housing = mechanism.body(end, value("mass"), value("housing_inertia"))
    wheels = mechanism.spin(f"{end}_spin", housing, value("wheels_inertia"), value("rotor_inertia"))
    for link in ("lower_link", "upper_link"):
        start, stop = at(chassis, f"{link}_chassis"), at(housing, f"{link}_axle")
        mechanism.rod(f"{end}_{link}", start, stop, value(f"{link}_length"))

    def shock_law(length: float, rate: Expr) -> Expr:
        spring = coil(value("spring_rate"), value("free_length"), length, value("spring_held"))
        over, under = length - value("longest"), value("shortest") - length
        stiffness, damping = value("stop_stiffness"), value("stop_damping") if moving else 0
        droop, bump = touch(stiffness, damping, over, rate), touch(stiffness, damping, under, -rate)
        mechanism.output(f"{end}_droop_depth", over)
        mechanism.output(f"{end}_bump_depth", under)
        mechanism.output(f"{end}_coil_gap", coil_gap(value("free_length"), length, value("spring_held")))
        if not moving:
            return spring - droop + bump
        lost = (droop - stiffness * positive_part(over)) * rate - (bump - stiffness * positive_part(under)) * rate
        mechanism.output(f"{end}_stop_loss", lost)
        mechanism.output(f"{end}_shock_rate", rate)
        # Dry friction needs a little speed to stand against it: smooth, so that a step need not end at every turn.
        rubbing = value("shock_friction") * sp.tanh(rate / FRICTION_SPEED)
        mechanism.output(f"{end}_damper_loss", value("damping") * rate**2 + rubbing * rate)
        return spring - value("damping") * rate - rubbing - droop + bump

    ends = at(chassis, "shock_chassis"), at(housing, "shock_axle")
    mechanism.spring_damper(f"{end}_shock", *ends, shock_law, across=value("shock_across"))
    wheel_centre = at(housing, "wheel_centre")
    depth = value("tyre_radius") - wheel_centre.z
    mechanism.output(f"{end}_tyre_depth", depth)
    if moving:
        rise = mechanism.rate(wheel_centre.z)
        load = touch(value("tyre_stiffness"), value("tyre_damping"), depth, -rise)
        lost = (value("tyre_stiffness") * positive_part(depth) - load) * rise
        mechanism.output(f"{end}_tyre_loss", lost)
        mechanism.output(f"{end}_raw_load", value("tyre_stiffness") * depth - value("tyre_damping") * rise)
    else:
        load = value("tyre_stiffness") * depth
    return AxleParts(end, housing, wheel_centre, wheels, load)


def rolling_sense(end: str, speed: float) -> Expr:
    """Sense of rolling at a rolling speed (m/s): the sign of it, smooth over the slip speed."""
    return tanh(speed / parameter(f"{end}_slip_speed"))


def lever_of(axle: AxleParts) -> Expr:
    """Arm of the traction about the wheel's axis, m: the centre's height, and what the contact moves forward per traction.

    The load then acts ``give Fx`` ahead of the wheel centre, ``give = a / kx``. Slip takes the same arm: the wheel rolls
    on it, and the couple neither feeds nor takes energy beside the slip.
    """
    return axle.wheel_centre.z + parameter(f"{axle.end}_contact_give") * axle.load


def rolling_moment(axle: AxleParts) -> Expr:
    """Moment ``f R N`` against the rolling of an axle's wheels, N m (rolling resistance as ISO 28580: a share of the load)."""
    return parameter(f"{axle.end}_rolling_resistance") * axle.wheel_centre.z * axle.load


def dragged(axle: AxleParts, sense: Expr) -> Expr:
    """Traction of wheels that nothing turns: just what keeps them rolling against their own resistance."""
    return -sense * rolling_moment(axle) / lever_of(axle)


def assemble(*, traction: Callable, moving: bool) -> Assembly:
    """Assemble the vehicle.

    Parameters
    ----------
    traction : callable
        `traction(rear, front, mechanism)` returns both traction forces, N, and both senses of rolling (1 forward,
        0 standing), as expressions of the two `AxleParts`.
    moving : bool
        With damping, one-sided tyres and motor torque; without, the quasi-static vehicle.
    """
    grade = parameter("grade")
    gravity = parameter("gravity")
    mechanism = Mechanism(gravity=(-gravity * sp.sin(grade), -gravity * sp.cos(grade)))
    chassis = mechanism.body("chassis", parameter("chassis_mass"), parameter("chassis_inertia"))
    axles = tuple(add_axle(mechanism, chassis, end, moving=moving) for end in ENDS)
    forces, senses = traction(*axles, mechanism)
    for axle, force, sense in zip(axles, forces, senses, strict=True):
        mechanism.force(axle.wheel_centre, force, axle.load)
        couple = force * parameter(f"{axle.end}_contact_give") * axle.load + sense * rolling_moment(axle)
        mechanism.contact_moment(axle.wheels, -force * axle.wheel_centre.z - couple)
        mechanism.output(f"{axle.end}_contact_couple", couple)
        mechanism.output(f"{axle.end}_load", axle.load)
        mechanism.output(f"{axle.end}_traction", force)
        mechanism.output(f"{axle.end}_rolling_loss", sense * rolling_moment(axle) * axle.wheels.absolute_speed)
    mechanism.couple(axles[0].housing, parameter("held_couple"))
    if moving:
        add_motor(mechanism, axles)
    return Assembly(mechanism, chassis, axles, forces)


def add_motor(mechanism: Mechanism, axles: tuple[AxleParts, ...]) -> None:
    """Motor and drag brake on the driven spin; its casing's reaction lies along the vehicle."""
    shares = [parameter(f"{axle.end}_motor") for axle in axles]
    speed = sum(share * axle.wheels.speed for share, axle in zip(shares, axles, strict=True))
    motor = parameter("stall_torque") * (parameter("throttle") - speed / parameter("no_load_speed"))
    brake = parameter("brake_torque") * tanh(speed / parameter("brake_speed"))
    for share, axle in zip(shares, axles, strict=True):
        mechanism.torque(axle.wheels, share * (motor - brake))
    mechanism.output("motor_power", motor * speed)
    mechanism.output("brake_loss", brake * speed)
    mechanism.output(
        "brake_slope",
        parameter("brake_torque") / parameter("brake_speed") * tanh_slope(speed / parameter("brake_speed")),
    )


def quasi_static_traction(rear: AxleParts, front: AxleParts, mechanism: Mechanism) -> tuple[tuple, tuple]:
    """Total traction F shared so that all driven axles slip alike: F_i = F mu_i N_i / sum(mu N)."""
    total = parameter("traction")
    both = parameter("geared")
    weight_rear = parameter("rear_grip") * rear.load
    weight_front = parameter("front_grip") * front.load
    share = weight_front / (weight_rear + weight_front)
    front_share = both * share + parameter("front_alone")
    free = [(1 - parameter(f"{axle.end}_driven")) * dragged(axle, 1) for axle in (rear, front)]
    forward = (sp.Integer(1), sp.Integer(1))
    return (total * (1 - front_share) + free[0], total * front_share + free[1]), forward


def load_factor(load: Expr, reference: Expr, softness: Expr) -> Expr:
    """``(N / N0)^(1 - n)``: by what the slip scale grows with the load where slip stiffness goes as load to the power n.

    ``C = c N0 (N / N0)^n`` is ``mu N / scale`` with the scale ``mu / c`` times this; `softness` is 1 - n, 0 by default.
    """
    return exponential(softness / 2 * logarithm((load / reference) ** 2 + LEAST_LOAD**2))


def _slip_scale(axle: AxleParts, travel: float) -> Expr:
    own = parameter(f"{axle.end}_slip_speed") + parameter(f"{axle.end}_slip_ratio_scale") * magnitude(travel)
    return own * load_factor(axle.load, parameter(f"{axle.end}_slip_load"), parameter(f"{axle.end}_slip_softness"))


def _slip_force(axle: AxleParts, grip: Expr, slip: float, travel: float) -> tuple[Expr, Expr]:
    """Traction law ``mu N tanh(s / (v0 + kappa |x'|))`` and its slope with respect to the slip."""
    scale = _slip_scale(axle, travel)
    limit = grip * axle.load
    return limit * tanh(slip / scale), limit * tanh_slope(slip / scale) / scale


def steady_traction(rear: AxleParts, front: AxleParts, mechanism: Mechanism) -> tuple[tuple, tuple]:
    """Traction at the steady speed `travel_speed` with the driven spin `spin_speed`; free wheels roll.

    Driven wheels roll on ``r0 - chi (r0 - R)``, chi `rolling_share`: 1 on their loaded radius, 0 on their free one.
    """
    travel, spin = parameter("travel_speed"), parameter("spin_speed")
    forces, senses = [], []
    for axle, ratio in ((rear, 1), (front, parameter("spin_ratio"))):
        pressed_in = parameter(f"{axle.end}_tyre_radius") - axle.wheel_centre.z
        radius = parameter(f"{axle.end}_tyre_radius") - parameter(f"{axle.end}_rolling_share") * pressed_in
        slip = ratio * spin * radius - travel
        driven = parameter(f"{axle.end}_driven")
        grip = parameter(f"{axle.end}_grip") * parameter("grip_factor")
        pull = _slip_force(axle, grip, slip, travel)[0]
        turned, free = rolling_sense(axle.end, ratio * spin * axle.wheel_centre.z), _free_sense(axle, travel)
        forces.append(driven * pull + (1 - driven) * dragged(axle, free))
        senses.append(driven * turned + (1 - driven) * free)
    return tuple(forces), tuple(senses)


def _free_sense(axle: AxleParts, travel: float) -> Expr:
    """Sense of rolling of a free wheel at a travel speed: its own slip, small beside it, counts from the drag at first guess."""
    scale = _slip_scale(axle, travel)
    grip = parameter(f"{axle.end}_grip") * parameter("grip_factor")
    share = parameter(f"{axle.end}_rolling_resistance") / grip
    height, lever = axle.wheel_centre.z, lever_of(axle)
    sense = rolling_sense(axle.end, travel * height / lever)
    for _ in range(2):
        spin = (travel - scale * share * sense * height / lever) / lever
        sense = rolling_sense(axle.end, spin * height)
    return sense


def slipping_traction(rear: AxleParts, front: AxleParts, mechanism: Mechanism) -> tuple[tuple, tuple]:
    """Traction in motion, with slip speed ``s = omega r - x'`` of each wheel pair, r of `lever_of`."""
    forces, senses = [], []
    for axle in (rear, front):
        travel = mechanism.rate(axle.wheel_centre.x)
        slip = axle.wheels.absolute_speed * lever_of(axle) - travel
        grip = parameter(f"{axle.end}_grip") * parameter("grip_factor")
        force, slope = _slip_force(axle, grip, slip, travel)
        forces.append(force)
        mechanism.output(f"{axle.end}_slip", slip)
        mechanism.output(f"{axle.end}_slip_slope", slope)
        mechanism.output(f"{axle.end}_slip_loss", force * slip)
        senses.append(rolling_sense(axle.end, axle.wheels.absolute_speed * axle.wheel_centre.z))
    return tuple(forces), tuple(senses)
