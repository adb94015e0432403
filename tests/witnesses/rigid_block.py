"""A vehicle whose springs and tyres can be made as stiff as one likes: it must become the textbook block."""

from noseload.model.units import STANDARD_GRAVITY
from noseload.model.vehicle import Axle, Body, Drive, Rod, Shock, Tyre, Vehicle

MASS, WHEELBASE, HEIGHT, REAR_DISTANCE, RADIUS = 3.0, 0.320, 0.090, 0.170, 0.060
"""kg and m: b = 0.150 from the front axle to the centre of gravity, c = 0.170 to the rear axle."""
WEIGHT = MASS * STANDARD_GRAVITY


def block(stiffness, *, driven_axles="both", grip=2.2, stall_torque=100.0):
    """The vehicle with level links, standing as measured, of the given spring and tyre stiffness."""
    axle_mass = 0.4
    body_mass = MASS - 2 * axle_mass
    body_x = (MASS * REAR_DISTANCE - axle_mass * WHEELBASE) / body_mass
    body_z = (MASS * HEIGHT - 2 * axle_mass * RADIUS) / body_mass
    tyre = Tyre(None, RADIUS, stiffness, 5.0, grip, 0.02, 0.1)

    def axle(centre, inward):
        links = [Rod((centre + inward * 0.12, None, z), (centre, None, z)) for z in (0.045, 0.085)]
        # Held coils: as stiff ones unload, loose ones would let the ends go.
        ends = (centre, None, 0.150), (centre, None, 0.070)
        shock = Shock(*ends, stiffness, 10.0, 0.03, 0.03, 5e4, 10.0, None, spring_held=True)
        return Axle(axle_mass, 1e-4, 8e-4, tyre, *links, shock)

    return Vehicle(
        "block",
        "C",
        WHEELBASE,
        Body(body_mass, (body_x, body_z), 0.012),
        axle(0.0, 1),
        axle(WHEELBASE, -1),
        Drive(driven_axles, stall_torque, 30.0, 2e-4, 1.0, 0.0),
    )
