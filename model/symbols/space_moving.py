"""The moving vehicle in space: one axle on its chassis, with speeds; forces, constraint rows, losses.

Called for the rear and for the front as `noseload.model.symbols.space_assembly`, whose bodies, turns, contacts and
symbols it shares; the chassis has a heading too and turns Rz Ry Rx. Speeds are velocities of the centres of gravity
and angular velocities in the frame, the absolute spin of the wheels about their axis ``a``, and the motor's speed at
the wheels. Mass matrix of an axle: ``m``, ``I_roll (1 - a a^T) + I_pitch a a^T`` for housing and wheels but for the
wheels' own spin, ``I_wheels``; momentum of the spin turns with the axle.

Rows of constraints, ``G u' = gamma``: rods ``(l^2 - d.d)/(2 l)``, whose multipliers are tensions, and where the axle is
driven the gear ``spin - omega_axle.a + k (omega_axle - omega_chassis).e = ratio motor`` with ``e`` the chassis' x axis
and k the shaft's turns over its ratio: its multiplier is the wheel torque, the shaft's couple with it.

Slip of a wheel at its contact P, H above it: ``sx = spin (R + give N) - v.t``, ``sy = -(v.l + H W.t)`` with the velocity v of the
wheel's centre and W of the axle; ``F = mu N tanh(|s| / (v0 + kappa |v.t|))`` along it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import sympy as sp

from .assembly import (
    FRICTION_SPEED,
    LOSSES,
    coil,
    coil_gap,
    load_factor,
    magnitude,
    parameter,
    positive_part,
    tanh,
    tanh_slope,
    touch,
)
from .space_assembly import AXLE, CHASSIS, RODS, SIDES, symbols
from .space_mechanism import ONE, ZERO, SpaceMechanism
from .vectors import Vectors

if TYPE_CHECKING:
    from sympy import Expr

    from noseload.model.symbols.space_mechanism import Body


CHASSIS_PLACE = ("chassis_x", "chassis_y", CHASSIS[0], "chassis_heading", *CHASSIS[1:])
CHASSIS_SPEEDS = tuple(f"{name}_rate" for name in CHASSIS_PLACE)
AXLE_SPEEDS = tuple(f"{name}_rate" for name in AXLE)
WHEELS = ("spin", "grip_factor")
"""Absolute spin of the wheels of the axle, rad/s, and a factor on their grip."""
GRAVITY = ("gravity_x", "gravity_y", "gravity_z")
STILL = sp.Float(1e-9)
"""Slip below which its direction is of no account, m/s: keeps the law smooth at rest."""
NOWHERE = sp.Float(1e-15)
"""m/s: no slip at all points ahead, and one of a rounding error has a direction of length 1 too."""


@dataclass
class Moving:
    """A body with its motion: velocity and angular velocity in the frame, and what acts on it about its origin."""

    body: Body
    velocity: tuple
    turning: tuple
    forces: list = field(default_factory=list)
    moments: list = field(default_factory=list)


@dataclass(frozen=True)
class MovingPoint:
    """A point fixed in a moving body: its arm, velocity, and the part of its acceleration that speeds alone make."""

    owner: Moving
    arm: tuple
    velocity: tuple
    bend: tuple


@dataclass(frozen=True)
class Row:
    """One constraint: parts along the axle's velocity, its turning and spin, and the chassis' velocity, turning and motor."""

    along: tuple
    axle_turn: tuple
    spin: sp.Expr
    chassis_turn: tuple
    motor: sp.Expr
    gamma: sp.Expr
    residual: sp.Expr | None


@dataclass(frozen=True)
class Slip:
    """One wheel's slip in its principal directions: slopes of the force (2), and their rows on the axle's speeds (2 x 6 + spin)."""

    slopes: tuple
    rows: tuple
    in_wheel: tuple
    """Direction (along, across) of the first of them, and the rows of the slips along and across the wheel."""


class MovingAxle:
    """Assembles one axle and what it does to the chassis, on one tape."""

    def __init__(self) -> None:
        self.mechanism = SpaceMechanism()
        self.tape = self.mechanism.tape
        self.vectors = Vectors(self.tape)
        chassis_place = symbols(CHASSIS_PLACE)
        x, y, z, heading, pitch, roll = chassis_place
        body = self.mechanism.body("chassis", (x, y, z), (("z", heading), ("y", pitch), ("x", roll)))
        self.chassis = self._moving(body, symbols(CHASSIS_SPEEDS))
        x, y, z, heading, roll, pitch = symbols(AXLE)
        body = self.mechanism.body("axle", (x, y, z), (("z", heading), ("x", roll), ("y", pitch)))
        self.axle = self._moving(body, symbols(AXLE_SPEEDS))
        self.wheel_axis = tuple(row[1] for row in body.rotation)
        self.along = tuple(row[0] for row in self.chassis.body.rotation)
        self.rows: list[Row] = []
        self.slips: list[Slip] = []
        self.seen: dict = {}
        self.spin_forces: list = []
        self.losses: dict = {name: [] for name in LOSSES}
        self._add_rods()
        self._add_gear()
        self._add_shocks()
        add_moving_wheels(self)
        self._add_inertia()

    def _moving(self, body: Body, rates: list[Expr]) -> Moving:
        turning = self.vectors.mix(rates[3:], [axis for _, (_, axis) in body.moves[3:]])
        return Moving(body, tuple(rates[:3]), turning)

    def point(self, owner: Moving, x: Expr, y: Expr, z: Expr, *, bends: bool = False) -> MovingPoint:
        """A point of a body by its place in it, m."""
        arm = self.mechanism.point(owner.body, x, y, z).arm
        swing = self.vectors.cross(owner.turning, arm)
        bend = self.vectors.cross(owner.turning, swing) if bends else (ZERO,) * 3
        return MovingPoint(owner, arm, self.vectors.add(owner.velocity, swing), bend)

    def line(self, start: MovingPoint, end: MovingPoint) -> tuple[tuple[Expr, Expr, Expr], tuple[Expr, Expr, Expr]]:
        """Distance vector between two points and its rate."""
        places = zip(end.owner.body.origin, end.arm, start.owner.body.origin, start.arm, strict=True)
        gap = tuple(self.tape.assign(b + d - a - c) for b, d, a, c in places)
        return gap, self.vectors.less(end.velocity, start.velocity)

    def act(self, point: MovingPoint, force: tuple[Expr, Expr, Expr]) -> None:
        """Let a force act at a point."""
        point.owner.forces.append(force)
        point.owner.moments.append(self.vectors.cross(point.arm, force))

    def _add_rods(self) -> None:
        vectors = self.vectors
        for rod in RODS:
            start = self.point(self.chassis, *symbols(f"{rod}_chassis_{axis}" for axis in "xyz"), bends=True)
            end = self.point(self.axle, *symbols(f"{rod}_axle_{axis}" for axis in "xyz"), bends=True)
            gap, rate = self.line(start, end)
            length = parameter(f"{rod}_length")
            inverse = self.tape.assign(1 / length)
            along = vectors.times(-inverse, gap)
            bend = self.tape.assign(vectors.dot(gap, vectors.less(end.bend, start.bend)) + vectors.dot(rate, rate))
            self.rows.append(
                Row(
                    along,
                    vectors.cross(end.arm, along),
                    ZERO,
                    vectors.times(-ONE, vectors.cross(start.arm, along)),
                    ZERO,
                    self.tape.assign(bend * inverse),
                    self.tape.assign((length - vectors.dot(gap, gap) * inverse) / 2),
                )
            )

    def _add_gear(self) -> None:
        """The row of the gear; all zero on an axle that is not driven."""
        vectors, driven, shaft = self.vectors, parameter("driven"), parameter("driven_shaft")
        turned = vectors.cross(self.chassis.turning, self.along)
        self.rows.append(
            Row(
                (ZERO,) * 3,
                vectors.mix((-driven, shaft), (self.wheel_axis, self.along)),
                driven,
                vectors.times(-shaft, self.along),
                -parameter("motor_ratio"),
                self.tape.assign(-shaft * vectors.dot(self.axle.turning, turned)),
                None,
            )
        )

    def _add_shocks(self) -> None:
        for side, sign in zip(SIDES, (ONE, -ONE), strict=True):
            (a, b, c), (d, e, f) = (symbols(f"shock_{end}_{axis}" for axis in "xyz") for end in ("chassis", "axle"))
            start = self.point(self.chassis, a, sign * b + parameter("shock_chassis_shift"), c)
            end = self.point(self.axle, d, sign * e + parameter("shock_axle_shift"), f)
            gap, velocity = self.line(start, end)
            length = self.tape.assign(sp.sqrt(self.vectors.dot(gap, gap)))
            rate = self.tape.assign(self.vectors.dot(gap, velocity) / length)
            push = self.tape.assign(moving_shock_push(self, side, length, rate))
            force = self.vectors.times(self.tape.assign(push / length), gap)
            self.act(end, force)
            self.act(start, self.vectors.times(-ONE, force))
            self.seen |= {f"{side}_shock_length": length, f"{side}_shock_rate": rate, f"{side}_shock_push": push}

    def _add_inertia(self) -> None:
        """Weight, and what of the momentum turns with the axle."""
        mass, turning = parameter("mass"), self.axle.turning
        own = (parameter("pitch_inertia") - parameter("roll_inertia")) * self.vectors.dot(turning, self.wheel_axis)
        momentum = self.tape.assign(own + parameter("wheels_inertia") * parameter("spin"))
        self.axle.forces.append(self.vectors.times(mass, symbols(GRAVITY)))
        turned = self.vectors.cross(turning, self.wheel_axis)
        self.axle.moments.append(self.vectors.times(-momentum, turned))

    def wrench(self, moving: Moving) -> tuple[Expr, ...]:
        """Force (3) and moment (3) on a body, summed."""
        return (*self.vectors.add(*moving.forces), *self.vectors.add(*moving.moments))

    def lost(self) -> list[Expr]:
        """Losses (W), those of LOSSES."""
        return [self.tape.assign(sp.Add(*terms)) for terms in self.losses.values()]


def moving_shock_push(assembly: MovingAxle, side: str, length: Expr, rate: Expr) -> Expr:
    """Push of one moving shock: spring, damper, dry friction, stops that damp as they touch."""
    free, held = parameter("free_length"), parameter("spring_held")
    spring = coil(parameter("spring_rate"), free, length, held)
    over, under = length - parameter("longest"), parameter("shortest") - length
    stiffness, damping = parameter("stop_stiffness"), parameter("stop_damping")
    droop, bump = touch(stiffness, damping, over, rate), touch(stiffness, damping, under, -rate)
    rubbing = assembly.tape.assign(parameter("shock_friction") * tanh(rate / FRICTION_SPEED))
    assembly.losses["damper"].append(parameter("damping") * rate**2 + rubbing * rate)
    lost = (droop - stiffness * positive_part(over)) * rate - (bump - stiffness * positive_part(under)) * rate
    assembly.losses["stop"].append(lost)
    assembly.seen |= {f"{side}_droop_depth": over, f"{side}_bump_depth": under}
    assembly.seen[f"{side}_coil_gap"] = coil_gap(free, length, held)
    return spring - parameter("damping") * rate - rubbing - droop + bump


def add_moving_wheels(assembly: MovingAxle) -> None:
    """Both wheels of a moving axle on the plane: touch, slip, and what they do to axle and spin."""
    tape, vectors, axle = assembly.tape, assembly.vectors, assembly.axle
    _, _, height, heading, lean, _ = symbols(AXLE)
    spin, grip_factor = symbols(WHEELS)
    cos_h, sin_h = tape.assign(sp.cos(heading)), tape.assign(sp.sin(heading))
    upright, tangent = tape.assign(sp.cos(lean)), tape.assign(sp.sin(lean) / sp.cos(lean))
    grip = tape.assign(parameter("grip") * grip_factor)
    torques: list = []
    couples: list = []
    for side, sign in zip(SIDES, (ONE, -ONE), strict=True):
        wx, wy, wz = symbols(f"wheel_{axis}" for axis in "xyz")
        centre = assembly.point(axle, wx, wy + sign * parameter("half_track"), wz)
        above = tape.assign(height + centre.arm[2] - parameter(f"{side}_block"))
        radius = tape.assign(above / upright)
        depth = tape.assign(parameter("tyre_radius") - radius)
        grows = tape.assign((centre.velocity[2] + radius * sp.sin(lean) * parameter("axle_roll_rate")) / upright)
        stiffness, damping = parameter("tyre_stiffness"), parameter("tyre_damping")
        pressed = tape.assign(touch(stiffness, damping, depth, -grows))
        load = tape.assign(pressed / upright)
        aside = tape.assign(above * tangent)
        contact = vectors.add(centre.arm, (-aside * sin_h, aside * cos_h, -above))
        forward = tape.assign(centre.velocity[0] * cos_h + centre.velocity[1] * sin_h)
        sideways = tape.assign(centre.velocity[1] * cos_h - centre.velocity[0] * sin_h)
        turn = tape.assign(axle.turning[0] * cos_h + axle.turning[1] * sin_h)
        arm = tape.assign(radius + parameter("contact_give") * load)
        slip, drift = tape.assign(spin * arm - forward), tape.assign(-(sideways + above * turn))
        along, across = _slip_forces(assembly, load, slip, drift, forward, grip, contact, radius, arm, cos_h, sin_h)
        pull, push = tape.assign(along), tape.assign(across)
        force = (tape.assign(pull * cos_h - push * sin_h), tape.assign(pull * sin_h + push * cos_h), load)
        assembly.act(MovingPoint(axle, contact, (), ()), force)
        resistance = tape.assign(
            parameter("rolling_resistance") * radius * load * tanh(spin * radius / parameter("slip_speed"))
        )
        couple = tape.assign(resistance + parameter("contact_give") * pull * load)
        torques.append(tape.assign(pull * radius))
        couples.append(couple)
        assembly.losses["rolling"].append(resistance * spin)
        assembly.losses["tyre"].append((stiffness * positive_part(depth) - pressed) * grows)
        assembly.losses["slip"].append(pull * slip + push * drift)
        raw = stiffness * depth - damping * grows
        names = {"load": load, "depth": depth, "raw_load": raw, "radius": radius, "traction": pull, "side_force": push}
        names |= {"slip": slip, "drift": drift, "forward": forward, "contact_couple": couple}
        names |= {f"contact_{axis}": place for axis, place in zip("xyz", contact, strict=True)}
        assembly.seen |= {f"{side}_{name}": value for name, value in names.items()}
    # The wheels' own share of the moment about their axis turns them, not the housing.
    torque = tape.assign(sp.Add(*torques))
    axle.moments.append(vectors.times(torque, assembly.wheel_axis))
    # So does the couple of loads that act ahead of their wheels: it never reaches the housing but by the gear.
    assembly.spin_forces.append(-tape.assign(torque + sp.Add(*couples)))


def _slip_forces(
    assembly: MovingAxle,
    load: Expr,
    slip: Expr,
    drift: Expr,
    forward: Expr,
    grip: Expr,
    contact: tuple[Expr, Expr, Expr],
    radius: Expr,
    arm: Expr,
    cos_h: Expr,
    sin_h: Expr,
) -> tuple[Expr, Expr]:
    """Forces along and across a wheel, N; its principal slopes and their rows are noted."""
    tape = assembly.tape
    own = parameter("slip_speed") + parameter("slip_ratio_scale") * magnitude(forward)
    scale = tape.assign(own * load_factor(load, parameter("slip_load"), parameter("slip_softness")))
    amount = tape.assign(sp.sqrt(slip**2 + drift**2 + STILL**2))
    used, limit = tape.assign(tanh(amount / scale)), tape.assign(grip * load)
    over = tape.assign(limit * used / amount)
    # Stiff part: steep along the slip, as force over slip across it.
    ahead = slip + STILL
    turned = tape.assign(sp.sqrt(ahead**2 + drift**2 + NOWHERE**2))
    first, second = tape.assign(ahead / turned), tape.assign(drift / turned)
    steep = tape.assign(limit * tanh_slope(amount / scale) / scale)
    rows = []
    for p, q in ((first, second), (-second, first), (sp.Integer(1), ZERO), (ZERO, sp.Integer(1))):
        direction = (tape.assign(q * sin_h - p * cos_h), tape.assign(-p * sin_h - q * cos_h), ZERO)
        moment = assembly.vectors.cross(contact, direction)
        # A wheel's part of the moment about its axis belongs to its spin.
        own = assembly.vectors.mix((ONE, -p * radius), (moment, assembly.wheel_axis))
        rows.append((direction[0], direction[1], *own, tape.assign(p * arm)))
    assembly.slips.append(Slip((steep, over), tuple(rows[:2]), ((first, second), *rows[2:])))
    return over * slip, over * drift
