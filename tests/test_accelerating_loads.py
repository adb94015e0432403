"""Axle loads of the moving vehicle while it accelerates evenly: textbook load transfer of a rigid block.

Torque does not fall with speed here, so the motion settles to one acceleration. Calculated at three stiffnesses; what
is left of the suspension falls as 1/k, so the order is asserted and the value extrapolated to k without bound.
"""

from dataclasses import replace
from math import radians, sin

import numpy as np
import pytest
from test_rigid_limit import MASS, RADIUS, WHEELBASE, block

from model.mobility import add_inertia
from model.motion import VehicleMotion
from model.programs import Program
from model.units import STANDARD_GRAVITY
from scenarios.studies.standing import stand
from solvers.transient import TransientOptions, integrate

STIFFNESSES = (1.6e5, 3.2e5, 6.4e5)
"""N/m, springs and tyres; the vehicle sinks 0.1 to 0.02 mm on each."""
WHEELS = 0.8e-3
"""kg m2 of each pair; all four wheels 1.6e-3."""
ACCELERATION = 2.0
DURATION_S, MEASURED_S = 0.3, 0.02
ORDER = 0.15
"""The order seen from k to 4 k may differ from 1 by the next term of the expansion."""
RELATIVE = 1e-6
"""As the sources' numbers are given."""
TOLERANCE = 1e-8
"""Of the runs: 3e-9 m per step, times 6e5 N/m."""


def runner(stiffness, driven_axles, grade):
    """The rigid limit's vehicle with dampers that end its ringing in some milliseconds, and the torque for 2 m/s2."""
    torque = MASS * (STANDARD_GRAVITY * sin(grade) + ACCELERATION) * RADIUS + 2.0 * WHEELS * ACCELERATION / RADIUS
    plain = block(stiffness, driven_axles=driven_axles, grip=20.0, stall_torque=torque)
    damping = 1.2 * stiffness**0.5
    # A tyre's damping sets in over the first millimetre, of which standing takes little: more, the less it sinks.
    standing = MASS * STANDARD_GRAVITY / 2.0 / stiffness

    def axle(part):
        tyre = replace(part.tyre, vertical_damping=0.6 * damping * 1e-3 / standing, slip_speed=160.0 / stiffness,
                       slip_ratio_scale=0.0)
        return replace(part, tyre=tyre, shock=replace(part.shock, damping=damping), wheel_pair_inertia=WHEELS)

    return replace(plain, rear=axle(plain.rear), front=axle(plain.front),
                   drive=replace(plain.drive, no_load_speed=1e9, rotor_inertia=0.0))


def settled(stiffness, driven_axles, grade):
    """Acceleration, rear and front load once the torque, put on within 0.1 s, has been constant for 0.2 s."""
    vehicle = runner(stiffness, driven_axles, grade)
    standing = stand(vehicle)
    motion = VehicleMotion(add_inertia(standing.equilibrium.values, vehicle), standing.weight, WHEELBASE, grade,
                           throttle=Program((0.02, 0.12), (0.0, 1.0)))
    state = np.zeros(27)
    state[1:9] = standing.state[:8]
    run = integrate(motion, state, 0.0, DURATION_S, options=TransientOptions(tolerance=TOLERANCE)).raise_for_status()
    loads = motion.observe(run.states[-1:].T, np.array([[1.0], [1.0], [0.0]]))["load"][:, 0]
    speeds = run.at([DURATION_S - MEASURED_S, DURATION_S])[9]
    return (speeds[1] - speeds[0]) / MEASURED_S, *loads


@pytest.mark.slow
@pytest.mark.parametrize("driven_axles", ["both", "rear", "front"])
@pytest.mark.parametrize(("grade_deg", "front", "rear"), [(0.0, 13.941848, 15.478102), (30.0, 7.710732, 17.767692)])
def test_loads_while_accelerating(driven_axles, grade_deg, front, rear):
    """N_f = W (c cos - h (sin + a/g))/L at 2 m/s2 (Gillespie ch. 1, memory; Barton and Fieldhouse 2018, 1.5), and the
    spinning wheels' part sum I a/(r L) = 0.166667 N more on the rear (derived), whichever axle drives."""
    wheels = 2.0 * WHEELS * ACCELERATION / RADIUS / WHEELBASE
    assert wheels == pytest.approx(0.166667, abs=1e-6)
    first, second, third = (np.array(settled(k, driven_axles, radians(grade_deg))) for k in STIFFNESSES)
    assert np.log2((second - first)[0] / (third - second)[0]) == pytest.approx(1.0, abs=ORDER), "as the scale itself"
    limit = (8.0 * third - 6.0 * second + first) / 3.0
    assert limit == pytest.approx([ACCELERATION, rear + wheels, front - wheels], rel=RELATIVE)
