"""The vehicle in space: one axle on its chassis, four rods, two shocks, two wheels on the plane, one shaft.

Called for the rear and for the front, this is all that the equations know of the vehicle at rest but gravity, which
is a constant force on each centre of gravity. Symbols are the axle numbers of `noseload.model.space.parameters`;
frame in `noseload.model.symbols.space_mechanism`.

Turns: chassis Ry(pitch) Rx(roll), its x axis without a part along y (the gauge); axle Rz(heading) Rx(roll) Ry(pitch),
so that the wheels' axis knows no pitch. With t = (cos h, sin h, 0) and l = (-sin h, cos h, 0) of the heading h, and
the roll r: wheels' axis ``a = l cos r + n sin r``, contact ``P = C + H (l tan r - n)``, H the height of the wheel's
centre above what it stands on, radius ``R = H / cos r``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import sympy as sp

from noseload.model.vehicle import SIDES

from .assembly import coil, parameter, positive_part
from .space_mechanism import ONE, ZERO, SpaceMechanism

if TYPE_CHECKING:
    from sympy import Expr, Symbol

    from noseload.model.symbols.space_mechanism import Balance, Body


RODS = ("rod_1", "rod_2", "rod_3", "rod_4")
CHASSIS = ("chassis_z", "chassis_pitch", "chassis_roll")
AXLE = ("axle_x", "axle_y", "axle_z", "axle_heading", "axle_roll", "axle_pitch")
"""Coordinates; the chassis' centre of gravity is at x = y = 0."""
TENSIONS = tuple(f"tension_{rod}" for rod in RODS)
USES = ("grip_used", "side_used", "held_torque")
"""Traction over grip of the wheels (Fx = grip_used mu N), side force over load (Fy = side_used N), and the torque at
wheels that something holds, N m: `held_torque` turns the housing as traction would."""


def symbols(names: Iterator | tuple[str, ...]) -> list[Symbol]:
    """Symbols of several names."""
    return [parameter(name) for name in names]


def _place(part: str, end: str) -> list[Expr]:
    return symbols(f"{part}_{end}_{axis}" for axis in "xyz")


def assemble_axle(
    wheels: Callable | None = None, unknowns: tuple[str, ...] = USES
) -> tuple[SpaceMechanism, Balance, dict[str, Expr | list[Expr]]]:
    """One axle and what it does to the chassis; (mechanism, balance, {name: expression}).

    `wheels(mechanism, axle, height, heading, lean, seen)` puts the wheels on the plane and returns their torque: those
    of a crawl (`add_wheels`) unless given, with its `unknowns`.
    """
    mechanism, seen = SpaceMechanism(), {}
    z, pitch, roll = symbols(CHASSIS)
    chassis = mechanism.body("chassis", (ZERO, ZERO, z), (("y", pitch), ("x", roll)))
    x, y, height, heading, lean, turn = symbols(AXLE)
    axle = mechanism.body("axle", (x, y, height), (("z", heading), ("x", lean), ("y", turn)))
    for use in symbols(unknowns):
        mechanism.unknown(use)

    for rod, tension in zip(RODS, symbols(TENSIONS), strict=True):
        start, end = mechanism.point(chassis, *_place(rod, "chassis")), mechanism.point(axle, *_place(rod, "axle"))
        mechanism.rod(rod, start, end, parameter(f"{rod}_length"), tension)

    for side, sign in zip(SIDES, (ONE, -ONE), strict=True):
        (a, b, c), (d, e, f) = _place("shock", "chassis"), _place("shock", "axle")
        # The pair mirrors in the middle of the vehicle, the arms start at centres of gravity that may lie off it.
        start = mechanism.point(chassis, a, sign * b + parameter("shock_chassis_shift"), c)
        end = mechanism.point(axle, d, sign * e + parameter("shock_axle_shift"), f)
        seen[f"{side}_shock_length"], seen[f"{side}_shock_push"] = mechanism.spring(side, start, end, shock_push)

    torque = (wheels or add_wheels)(mechanism, axle, height, heading, lean, seen)
    # The shaft brings the wheels' torque from the chassis, slower or faster by its ratio, about the chassis' x axis.
    along = tuple(row[0] for row in chassis.rotation)
    mechanism.couple(axle, along, parameter("shaft_share") * torque, reaction=chassis)
    seen["wheel_torque"] = torque
    return mechanism, mechanism.balance(), seen


def shock_push(length: Expr) -> Expr:
    """Push of one shock: its spring and its stops."""
    spring = coil(parameter("spring_rate"), parameter("free_length"), length, parameter("spring_held"))
    over, under = length - parameter("longest"), parameter("shortest") - length
    return spring + parameter("stop_stiffness") * (positive_part(under) - positive_part(over))


def add_wheels(
    mechanism: SpaceMechanism, axle: Body, height: Expr, heading: Expr, lean: Expr, seen: dict[str, Expr]
) -> Expr:
    """Both wheels of an axle on the plane, and what holds them; the torque at the wheels, N m."""
    tape = mechanism.tape
    (wx, wy, wz), (pull, push, held) = symbols(f"wheel_{axis}" for axis in "xyz"), symbols(USES)
    cos_h, sin_h = tape.assign(sp.cos(heading)), tape.assign(sp.sin(heading))
    upright, tangent = tape.assign(sp.cos(lean)), tape.assign(sp.sin(lean) / sp.cos(lean))
    along = tape.assign(parameter("grip") * pull)
    torque, couples, centres = [], [], []
    wrench: list[list] = [[] for _ in range(6)]
    for side, sign in zip(SIDES, (ONE, -ONE), strict=True):
        centre = mechanism.point(axle, wx, wy + sign * parameter("half_track"), wz)
        above = tape.assign(height + centre.arm[2] - parameter(f"{side}_block"))
        radius = tape.assign(above / upright)
        depth = tape.assign(parameter("tyre_radius") - radius)
        load = tape.assign(parameter("tyre_stiffness") * positive_part(depth) / upright)
        aside = tape.assign(above * tangent)
        contact = [
            tape.assign(centre.arm[0] - aside * sin_h),
            tape.assign(centre.arm[1] + aside * cos_h),
            tape.assign(centre.arm[2] - above),
        ]
        # Wheels that nothing turns are dragged against their rolling resistance.
        arm = tape.assign(radius + parameter("contact_give") * load)
        traction = tape.assign(load * (along - parameter("free_rolling") * radius / arm))
        couples.append(load * (parameter("rolling_resistance") * radius + parameter("contact_give") * traction))
        torque.append(traction * radius)
        aside_force = tape.assign(push * load)
        force = (
            tape.assign(traction * cos_h - aside_force * sin_h),
            tape.assign(traction * sin_h + aside_force * cos_h),
            load,
        )
        for terms, component in zip(wrench, (*force, *mechanism.cross(contact, force)), strict=True):
            terms.append(component)
        centres.append(centre)
        seen |= {f"{side}_load": load, f"{side}_depth": depth, f"{side}_radius": radius}
        seen |= {f"{side}_contact_{axis}": place for axis, place in zip("xyz", contact, strict=True)}
        seen[f"{side}_traction"] = traction
    wheel_axis = tuple(row[1] for row in axle.rotation)
    # The load acts e = f R + give Fx ahead of its wheel: a couple -e N about the wheels' axis.
    couple = seen["contact_couple"] = tape.assign(sp.Add(*couples))
    for terms, part in zip(wrench[3:], wheel_axis, strict=True):
        terms.append(-couple * part)
    mechanism.wrench(axle, [sp.Add(*terms) for terms in wrench], seeds=centres)
    torque = tape.assign(sp.Add(*torque) + couple + held)
    mechanism.couple(axle, wheel_axis, -held)
    return torque
