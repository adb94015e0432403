"""Order of the numbers in space. Written by `python -m noseload.model.symbols.derive`; do not edit."""

CHASSIS = (
    "chassis_z", "chassis_pitch", "chassis_roll",
)
AXLE = (
    "axle_x", "axle_y", "axle_z", "axle_heading", "axle_roll", "axle_pitch",
)
TENSIONS = (
    "tension_rod_1", "tension_rod_2", "tension_rod_3", "tension_rod_4",
)
USES = (
    "grip_used", "side_used", "held_torque",
)
AXLE_NUMBERS = (
    "rod_1_chassis_x", "rod_1_chassis_y", "rod_1_chassis_z", "rod_1_axle_x", "rod_1_axle_y", "rod_1_axle_z",
    "rod_2_chassis_x", "rod_2_chassis_y", "rod_2_chassis_z", "rod_2_axle_x", "rod_2_axle_y", "rod_2_axle_z",
    "rod_3_chassis_x", "rod_3_chassis_y", "rod_3_chassis_z", "rod_3_axle_x", "rod_3_axle_y", "rod_3_axle_z",
    "rod_4_chassis_x", "rod_4_chassis_y", "rod_4_chassis_z", "rod_4_axle_x", "rod_4_axle_y", "rod_4_axle_z",
    "rod_1_length", "rod_2_length", "rod_3_length", "rod_4_length", "shock_chassis_x", "shock_chassis_y",
    "shock_chassis_z", "shock_axle_x", "shock_axle_y", "shock_axle_z", "shock_chassis_shift",
    "shock_axle_shift", "spring_rate", "free_length", "spring_held", "longest", "shortest",
    "stop_stiffness", "wheel_x", "wheel_y", "wheel_z", "half_track", "tyre_radius", "tyre_stiffness",
    "grip", "shaft_share", "rolling_resistance", "free_rolling", "contact_give",
)
AXLE_SEEN = (
    "left_load", "right_load", "left_depth", "right_depth", "left_radius", "right_radius", "left_contact_x",
    "right_contact_x", "left_contact_y", "right_contact_y", "left_contact_z", "right_contact_z",
    "left_shock_length", "right_shock_length", "left_shock_push", "right_shock_push", "left_traction",
    "right_traction", "wheel_torque", "contact_couple",
)
ENTRY_ROWS = (
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2, 2,
    2, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 5, 5, 5,
    5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 7, 7, 7, 7, 7, 7, 7, 7,
    7, 7, 7, 7, 7, 7, 7, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9,
    9, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 11, 11, 11, 11, 11, 11, 11, 11, 11,
    11, 11, 11, 11, 11, 11, 11, 12, 12, 12, 12, 12, 12, 12, 12, 12, 13, 13, 13, 13, 13, 13, 13, 13, 13, 14,
    14, 14, 14, 14, 14, 14, 14, 14, 15, 15, 15, 15, 15, 15, 15, 15, 15,
)
ENTRY_COLUMNS = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6,
    7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10,
    11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13,
    14, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2,
    3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 0, 1,
    2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8, 0,
    1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8,
)
VEHICLE_ENTRY_ROWS = (
    0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3, 3, 3, 4, 4, 4, 4, 4, 4, 4, 4, 4, 5, 5,
    5, 5, 5, 5, 5, 5, 5, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7,
    7, 7, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 10, 10, 10,
    10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11,
    11, 11, 11, 12, 12, 12, 12, 12, 12, 12, 12, 12, 13, 13, 13, 13, 13, 13, 13, 13, 13, 14, 14, 14, 14, 14,
    14, 14, 14, 14, 15, 15, 15, 15, 15, 15, 15, 15, 15,
)
VEHICLE_ENTRY_COLUMNS = (
    5, 6, 7, 8, 13, 14, 5, 6, 7, 8, 13, 14, 5, 7, 8, 0, 4, 5, 6, 7, 8, 13, 14, 15, 0, 3, 5, 6, 7, 8, 13, 14,
    15, 3, 4, 5, 6, 7, 8, 13, 14, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 0, 1, 2, 3, 4, 5, 6,
    7, 8, 9, 10, 11, 12, 13, 14, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10,
    11, 12, 13, 14, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9,
    10, 11, 12, 13, 14, 15, 0, 1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8,
    0, 1, 2, 3, 4, 5, 6, 7, 8,
)
UNKNOWN_ROWS = {
    "chassis": slice(0, 3),
    "rear": slice(3, 9),
    "front": slice(9, 15),
    "rear_tensions": slice(15, 19),
    "front_tensions": slice(19, 23),
    "slip": slice(23, 24),
    "rear_side": slice(24, 25),
    "front_side": slice(25, 26),
}
EQUATION_ROWS = {
    "chassis": slice(0, 6),
    "rear": slice(6, 12),
    "front": slice(12, 18),
    "rear_rods": slice(18, 22),
    "front_rods": slice(22, 26),
}
ROWS = {
    "axle": {
        "balances": slice(0, 16),
        "jacobian": slice(16, 225),
    },
    "axle_in_vehicle": {
        "balances": slice(0, 16),
        "jacobian": slice(16, 185),
    },
    "axle_in_vehicle_residual": {
        "balances": slice(0, 16),
    },
}
"""Rows of the parts that a kernel's outputs fall into, by kernel and part."""
