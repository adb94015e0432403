"""Linkage K1 (mm from the rear contact point): rear lower link axle (0, 45) -> chassis (120, 55), rear upper link
axle (0, 90) -> chassis (100, 80), wheel radius 60, wheelbase 320; the front linkage is its mirror image.
"""

from noseload.model.links.link_geometry import side_view_of
from noseload.model.vehicle import Axle, Body, Drive, Rod, Shock, Tyre, Vehicle

WHEELBASE, RADIUS, HEIGHT, MASS = 0.320, 0.060, 0.090, 3.0
REAR_LINKS = ((0.0, 0.045), (0.120, 0.055), (0.0, 0.090), (0.100, 0.080))
FRONT_LINKS = tuple((WHEELBASE - x, z) for x, z in REAR_LINKS)


def k1(end="rear", links=None):
    """Geometry of one end of linkage K1."""
    contact = (0.0 if end == "rear" else WHEELBASE, 0.0)
    return side_view_of(end, links or (REAR_LINKS if end == "rear" else FRONT_LINKS), contact, RADIUS)


def k1_vehicle(stiffness, *, axle_mass=0.7, driven_axles="rear"):
    """K1 with vertical springs over the wheel centres; the springs and tyres of the given stiffness, N/m."""
    body_mass = MASS - 2 * axle_mass
    body_height = (MASS * HEIGHT - 2 * axle_mass * RADIUS) / body_mass
    tyre = Tyre(None, RADIUS, stiffness, 5.0, 5.0, 0.02, 0.1)

    def axle(rods, centre):
        shock = Shock((centre, None, 0.150), (centre, None, 0.070), stiffness, 10.0, 0.03, 0.03, 5e4, 10.0, None)
        points = [(x, None, z) for x, z in rods]
        return Axle(axle_mass, 1e-4, 8e-4, tyre, Rod(points[1], points[0]), Rod(points[3], points[2]), shock)

    return Vehicle(
        "k1",
        "C",
        WHEELBASE,
        Body(body_mass, (0.160, body_height), 0.012),
        axle(REAR_LINKS, 0.0),
        axle(FRONT_LINKS, WHEELBASE),
        Drive(driven_axles, 100.0, 30.0, 2e-4, 1.0, 0.0),
    )
