"""Rows of the unknowns of a vehicle at rest in space and of the state of a moving one, from what the derivation prints.

At rest the vehicle is seen from its chassis, which has three coordinates there and six in motion.
"""

from itertools import accumulate, pairwise

from noseload.model.generated.space_motion_order import AXLE_PLACE, CHASSIS_PLACE, STATE_ROWS
from noseload.model.generated.space_order import AXLE, CHASSIS, EQUATION_ROWS, UNKNOWN_ROWS
from noseload.model.parameters import ENDS

BODIES = ("chassis", *ENDS)

# At rest: unknowns and equations.
CHASSIS_POSE, AXLE_POSES = UNKNOWN_ROWS["chassis"], tuple(UNKNOWN_ROWS[end] for end in ENDS)
POSE_ROWS = slice(CHASSIS_POSE.start, AXLE_POSES[-1].stop)
AXLE_TENSIONS = tuple(UNKNOWN_ROWS[f"{end}_tensions"] for end in ENDS)
TENSION_ROWS = slice(AXLE_TENSIONS[0].start, AXLE_TENSIONS[-1].stop)
SLIP, SIDE = UNKNOWN_ROWS["slip"].start, tuple(UNKNOWN_ROWS[f"{end}_side"].start for end in ENDS)
"""Slip; side force over load, rear and front."""
UNKNOWN_COUNT = SIDE[-1] + 1
POSE_PITCH = CHASSIS.index("chassis_pitch")
POSE_ROLLS = (CHASSIS.index("chassis_roll"), *(rows.start + AXLE.index("axle_roll") for rows in AXLE_POSES))
"""Rolls of chassis, rear and front axle among the unknowns."""
CHASSIS_BALANCES, AXLE_BALANCES = EQUATION_ROWS["chassis"], tuple(EQUATION_ROWS[end] for end in ENDS)
BALANCE_ROWS = slice(CHASSIS_BALANCES.start, AXLE_BALANCES[-1].stop)
ROD_LENGTHS = tuple(EQUATION_ROWS[f"{end}_rods"] for end in ENDS)
"""Equations of the rods' lengths."""

# In motion: the state.
BODY_ROWS = CHASSIS_ROWS, *AXLE_ROWS = tuple(STATE_ROWS[body] for body in BODIES)
BODY_RATES = CHASSIS_RATES, *AXLE_RATES = tuple(STATE_ROWS[f"{body}_rates"] for body in BODIES)
SPINS = tuple(STATE_ROWS[f"{end}_spin"].start for end in ENDS)
MOTOR = STATE_ROWS["motor_speed"].start
"""The motor's speed at the wheels."""
COORDINATE_ROWS = slice(0, CHASSIS_RATES.start)
RATE_ROWS = slice(CHASSIS_RATES.start, SPINS[0])
SPEED_ROWS = slice(CHASSIS_RATES.start, MOTOR + 1)
ENERGY_ROWS = STATE_ROWS["energies"]
COORDINATE_COUNT, SPEED_COUNT = COORDINATE_ROWS.stop, SPEED_ROWS.stop - SPEED_ROWS.start
MOVING, SIZE = SPEED_ROWS.stop, ENERGY_ROWS.stop
"""Rows of the state without and with the running integrals."""
HEADING, PITCH, ROLL = (CHASSIS_PLACE.index(f"chassis_{name}") for name in ("heading", "pitch", "roll"))
AXLE_HEIGHTS, AXLE_ROLLS = (
    tuple(rows.start + AXLE_PLACE.index(f"axle_{name}") for rows in AXLE_ROWS) for name in ("z", "roll")
)


def _thirds(rows: tuple[slice, ...], first: int) -> tuple[slice, ...]:
    """Three of the six rows of each body."""
    return tuple(slice(body.start + first, body.start + first + 3) for body in rows)


FORCE_BALANCES = _thirds((CHASSIS_BALANCES, *AXLE_BALANCES), 0)
BODY_PLACES, BODY_ANGLES = _thirds(BODY_ROWS, 0), _thirds(BODY_ROWS, 3)
BODY_VELOCITIES, BODY_ANGLE_RATES = _thirds(BODY_RATES, 0), _thirds(BODY_RATES, 3)
"""Of chassis, rear and front: x, y, z and the three angles, and their rates.

Among the 21 speeds and accelerations the bodies have the rows that they have among the coordinates.
"""
SPEED_SPINS, SPEED_MOTOR = tuple(row - COORDINATE_COUNT for row in SPINS), MOTOR - COORDINATE_COUNT
"""Spins and motor among the 21 speeds."""


def one_after_another(*sizes: int) -> tuple[slice, ...]:
    """Rows of parts of these sizes that follow one another."""
    return tuple(slice(*bounds) for bounds in pairwise(accumulate(sizes, initial=0)))
