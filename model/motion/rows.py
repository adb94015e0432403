"""Rows of the state of a moving vehicle in the side view: coordinates, then their rates and the spins."""

from noseload.model.generated.parameter_order import COORDINATES, POWERS, SPEEDS
from noseload.model.parameters import ENDS

PLACES, TURNS = len(COORDINATES), len(SPEEDS)
MOVING = PLACES + TURNS
"""Rows of the state that move; running integrals follow."""
ENERGIES = (*POWERS, "motor_turnover")
"""Running integrals: motor work, losses, and the integral of |motor power|."""
SIZE = MOVING + len(ENERGIES)
COORDINATE_ROWS, SPEED_ROWS, ENERGY_ROWS = slice(0, PLACES), slice(PLACES, MOVING), slice(MOVING, SIZE)
RATE_ROWS = slice(PLACES, 2 * PLACES)
"""Speeds that are the rates of the coordinates; the spins' places do not matter."""
SPIN_ROWS = slice(2 * PLACES, MOVING)
AXLE_ROWS = slice(COORDINATES.index("rear_x"), PLACES)
"""Coordinates of both axles."""
ALONG = [COORDINATES.index(f"{body}_x") for body in ("chassis", *ENDS)]
ALONG_SPEEDS = [PLACES + place for place in ALONG]
"""Places along the slope, and their rates."""
