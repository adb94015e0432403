"""Wheels of an axle in steady motion in space: slip by the law of motion, speeds of the whole vehicle as unknowns.

The vehicle moves as one, `travel` along the chassis' x axis and `side_speed` to the left at its centre of gravity, and
turns by `yaw_rate` about the upright through it; the wheels of the axle turn with `spin`. What bends its path, yaw
rate times speed, is left out: at a crawl it is a thousandth of a newton.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import sympy as sp

from .assembly import load_factor, magnitude, parameter, positive_part, tanh
from .space_assembly import SIDES, symbols
from .space_mechanism import ONE
from .space_moving import STILL

if TYPE_CHECKING:
    from sympy import Expr

    from noseload.model.symbols.space_mechanism import Body, SpaceMechanism


STEADY_UNKNOWNS = ("spin", "side_speed", "yaw_rate", "travel")


def add_steady_wheels(
    mechanism: SpaceMechanism, axle: Body, height: Expr, heading: Expr, lean: Expr, seen: dict[str, Expr]
) -> Expr:
    """Both wheels of an axle on the plane, slipping steadily; the torque at the wheels, N m."""
    tape = mechanism.tape
    wx, wy, wz = symbols(f"wheel_{axis}" for axis in "xyz")
    spin, side_speed, yaw_rate, travel = symbols(STEADY_UNKNOWNS)
    x, y, _ = axle.origin
    cos_h, sin_h = tape.assign(sp.cos(heading)), tape.assign(sp.sin(heading))
    upright, tangent = tape.assign(sp.cos(lean)), tape.assign(sp.sin(lean) / sp.cos(lean))
    grip = tape.assign(parameter("grip") * parameter("grip_factor"))
    centres: list = []
    torques: list = []
    couples: list = []
    forces: list[list] = [[], [], []]
    moments: list[list] = [[], [], []]
    for side, sign in zip(SIDES, (ONE, -ONE), strict=True):
        centre = mechanism.point(axle, wx, wy + sign * parameter("half_track"), wz)
        above = tape.assign(height + centre.arm[2] - parameter(f"{side}_block"))
        radius = tape.assign(above / upright)
        load = tape.assign(parameter("tyre_stiffness") * positive_part(parameter("tyre_radius") - radius) / upright)
        aside = tape.assign(above * tangent)
        contact = (
            tape.assign(centre.arm[0] - aside * sin_h),
            tape.assign(centre.arm[1] + aside * cos_h),
            tape.assign(centre.arm[2] - above),
        )
        ahead = tape.assign(travel - yaw_rate * (y + centre.arm[1]))
        left = tape.assign(side_speed + yaw_rate * (x + centre.arm[0]))
        forward = tape.assign(ahead * cos_h + left * sin_h)
        arm = tape.assign(radius + parameter("contact_give") * load)
        slip, drift = tape.assign(spin * arm - forward), tape.assign(ahead * sin_h - left * cos_h)
        own = parameter("slip_speed") + parameter("slip_ratio_scale") * magnitude(forward)
        scale = tape.assign(own * load_factor(load, parameter("slip_load"), parameter("slip_softness")))
        amount = tape.assign(sp.sqrt(slip**2 + drift**2 + STILL**2))
        over = tape.assign(grip * load * tanh(amount / scale) / amount)
        pull, push = tape.assign(over * slip), tape.assign(over * drift)
        force = (tape.assign(pull * cos_h - push * sin_h), tape.assign(pull * sin_h + push * cos_h), load)
        for terms, component in zip(forces, force, strict=True):
            terms.append(component)
        for i, (p, q) in enumerate(((1, 2), (2, 0), (0, 1))):
            moments[i].append(contact[p] * force[q] - contact[q] * force[p])
        sense = tanh(spin * radius / parameter("slip_speed"))
        resistance = parameter("rolling_resistance") * radius * sense
        couples.append(tape.assign(load * (resistance + parameter("contact_give") * pull)))
        torques.append(pull * radius)
        centres.append(centre)
        seen |= {f"{side}_load": load, f"{side}_traction": pull, f"{side}_side_force": push}
    couple = tape.assign(sp.Add(*couples))
    for terms, row in zip(moments, axle.rotation, strict=True):
        terms.append(-couple * row[1])
    wrench = [tape.assign(sp.Add(*terms)) for terms in (*forces, *moments)]
    mechanism.wrench(axle, wrench, seeds=centres)
    (torque,), (seen["torque_slopes"],) = mechanism.slopes([sp.Add(*torques, couple)], centres)
    return torque
