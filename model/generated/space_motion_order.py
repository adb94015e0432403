"""Order of the numbers of motion in space. Written by `python -m noseload.model.symbols.derive`; do not edit."""

STEADY_NUMBERS = (
    "rod_1_chassis_x", "rod_1_chassis_y", "rod_1_chassis_z", "rod_1_axle_x", "rod_1_axle_y", "rod_1_axle_z",
    "rod_2_chassis_x", "rod_2_chassis_y", "rod_2_chassis_z", "rod_2_axle_x", "rod_2_axle_y", "rod_2_axle_z",
    "rod_3_chassis_x", "rod_3_chassis_y", "rod_3_chassis_z", "rod_3_axle_x", "rod_3_axle_y", "rod_3_axle_z",
    "rod_4_chassis_x", "rod_4_chassis_y", "rod_4_chassis_z", "rod_4_axle_x", "rod_4_axle_y", "rod_4_axle_z",
    "rod_1_length", "rod_2_length", "rod_3_length", "rod_4_length", "shock_chassis_x", "shock_chassis_y",
    "shock_chassis_z", "shock_axle_x", "shock_axle_y", "shock_axle_z", "shock_chassis_shift",
    "shock_axle_shift", "spring_rate", "free_length", "spring_held", "longest", "shortest",
    "stop_stiffness", "wheel_x", "wheel_y", "wheel_z", "half_track", "tyre_radius", "tyre_stiffness",
    "grip", "shaft_share", "rolling_resistance", "free_rolling", "contact_give", "slip_speed",
    "slip_ratio_scale", "slip_load", "slip_softness",
)
STEADY_ROWS = (
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2, 2,
    2, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 5,
    5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 7, 7,
    7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 7, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 9, 9, 9, 9, 9, 9, 9,
    9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 11,
    11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11, 12, 12, 12, 12, 12, 12, 12, 12, 12, 13,
    13, 13, 13, 13, 13, 13, 13, 13, 14, 14, 14, 14, 14, 14, 14, 14, 14, 15, 15, 15, 15, 15, 15, 15, 15, 15,
    16, 16, 16, 16, 16, 16, 16, 16, 16, 16,
)
STEADY_ENTRY_COLUMNS = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6,
    7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 0, 1, 2, 3, 4, 5, 6, 7,
    8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 0, 1, 2, 3, 4, 5, 6, 7, 8,
    9, 10, 11, 12, 13, 14, 15, 16, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 0, 1, 2, 3, 4,
    5, 6, 7, 8, 9, 10, 11, 12, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 0, 1, 2, 3, 4, 5,
    6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 0, 1,
    2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8, 3,
    4, 5, 6, 7, 8, 13, 14, 15, 16,
)
CHASSIS_PLACE = (
    "chassis_x", "chassis_y", "chassis_z", "chassis_heading", "chassis_pitch", "chassis_roll",
)
AXLE_PLACE = (
    "axle_x", "axle_y", "axle_z", "axle_heading", "axle_roll", "axle_pitch",
)
MOVING_NUMBERS = (
    "rod_1_chassis_x", "rod_1_chassis_y", "rod_1_chassis_z", "rod_1_axle_x", "rod_1_axle_y", "rod_1_axle_z",
    "rod_2_chassis_x", "rod_2_chassis_y", "rod_2_chassis_z", "rod_2_axle_x", "rod_2_axle_y", "rod_2_axle_z",
    "rod_3_chassis_x", "rod_3_chassis_y", "rod_3_chassis_z", "rod_3_axle_x", "rod_3_axle_y", "rod_3_axle_z",
    "rod_4_chassis_x", "rod_4_chassis_y", "rod_4_chassis_z", "rod_4_axle_x", "rod_4_axle_y", "rod_4_axle_z",
    "rod_1_length", "rod_2_length", "rod_3_length", "rod_4_length", "shock_chassis_x", "shock_chassis_y",
    "shock_chassis_z", "shock_axle_x", "shock_axle_y", "shock_axle_z", "shock_chassis_shift",
    "shock_axle_shift", "spring_rate", "damping", "shock_friction", "free_length", "spring_held", "longest",
    "shortest", "stop_stiffness", "stop_damping", "wheel_x", "wheel_y", "wheel_z", "half_track",
    "tyre_radius", "tyre_stiffness", "tyre_damping", "grip", "slip_speed", "slip_ratio_scale", "slip_load",
    "slip_softness", "rolling_resistance", "contact_give", "driven", "driven_shaft", "motor_ratio", "mass",
    "roll_inertia", "pitch_inertia", "wheels_inertia",
)
CHASSIS_NUMBERS = (
    "mass", "roll_inertia", "pitch_inertia", "yaw_inertia", "rotor_inertia", "stall_torque",
    "no_load_speed", "brake_speed",
)
SEEN_IN_MOTION = (
    "left_load", "right_load", "left_depth", "right_depth", "left_raw_load", "right_raw_load",
    "left_radius", "right_radius", "left_traction", "right_traction", "left_side_force", "right_side_force",
    "left_slip", "right_slip", "left_drift", "right_drift", "left_forward", "right_forward",
    "left_contact_couple", "right_contact_couple", "left_contact_x", "right_contact_x", "left_contact_y",
    "right_contact_y", "left_contact_z", "right_contact_z", "left_shock_length", "right_shock_length",
    "left_shock_rate", "right_shock_rate", "left_shock_push", "right_shock_push", "left_droop_depth",
    "right_droop_depth", "left_bump_depth", "right_bump_depth", "left_coil_gap", "right_coil_gap",
)
SWITCHED = (
    "depth", "raw_load", "droop_depth", "bump_depth", "coil_gap",
)
LOSSES = (
    "damper", "stop", "tyre", "slip", "rolling",
)
CARRIED = (
    "factor_0_0", "factor_1_0", "factor_1_1", "factor_2_0", "factor_2_1", "factor_2_2", "factor_3_0",
    "factor_3_1", "factor_3_2", "factor_3_3", "factor_4_0", "factor_4_1", "factor_4_2", "factor_4_3",
    "factor_4_4", "led_0_0", "led_0_1", "led_0_2", "led_0_3", "led_0_4", "led_0_5", "led_1_0", "led_1_1",
    "led_1_2", "led_1_3", "led_1_4", "led_1_5", "led_2_0", "led_2_1", "led_2_2", "led_2_3", "led_2_4",
    "led_2_5", "led_3_0", "led_3_1", "led_3_2", "led_3_3", "led_3_4", "led_3_5", "led_4_0", "led_4_1",
    "led_4_2", "led_4_3", "led_4_4", "led_4_5", "led_4_6", "along_1_x", "along_1_y", "along_1_z",
    "along_2_x", "along_2_y", "along_2_z", "along_3_x", "along_3_y", "along_3_z", "along_4_x", "along_4_y",
    "along_4_z", "turn_1_x", "turn_1_y", "turn_1_z", "turn_2_x", "turn_2_y", "turn_2_z", "turn_3_x",
    "turn_3_y", "turn_3_z", "turn_4_x", "turn_4_y", "turn_4_z", "turn_5_x", "turn_5_y", "turn_5_z",
    "wheel_axis_x", "wheel_axis_y", "wheel_axis_z", "free_0", "free_1", "free_2", "free_3", "free_4",
    "force_0", "force_1", "force_2", "force_3", "force_4", "force_5", "force_6",
)
PROJECTED = (
    "factor_0_0", "factor_1_0", "factor_1_1", "factor_2_0", "factor_2_1", "factor_2_2", "factor_3_0",
    "factor_3_1", "factor_3_2", "factor_3_3", "factor_4_0", "factor_4_1", "factor_4_2", "factor_4_3",
    "factor_4_4", "led_0_0", "led_0_1", "led_0_2", "led_0_3", "led_0_4", "led_0_5", "led_1_0", "led_1_1",
    "led_1_2", "led_1_3", "led_1_4", "led_1_5", "led_2_0", "led_2_1", "led_2_2", "led_2_3", "led_2_4",
    "led_2_5", "led_3_0", "led_3_1", "led_3_2", "led_3_3", "led_3_4", "led_3_5", "led_4_0", "led_4_1",
    "led_4_2", "led_4_3", "led_4_4", "led_4_5", "led_4_6", "along_1_x", "along_1_y", "along_1_z",
    "along_2_x", "along_2_y", "along_2_z", "along_3_x", "along_3_y", "along_3_z", "along_4_x", "along_4_y",
    "along_4_z", "turn_1_x", "turn_1_y", "turn_1_z", "turn_2_x", "turn_2_y", "turn_2_z", "turn_3_x",
    "turn_3_y", "turn_3_z", "turn_4_x", "turn_4_y", "turn_4_z", "turn_5_x", "turn_5_y", "turn_5_z",
    "wheel_axis_x", "wheel_axis_y", "wheel_axis_z", "shift_0", "shift_1", "shift_2", "shift_3", "shift_4",
    "kick_0", "kick_1", "kick_2", "kick_3", "kick_4",
)
SLIP_ROWS = (
    "slip_0_x", "slip_0_y", "slip_0_turn_x", "slip_0_turn_y", "slip_0_turn_z", "slip_0_spin", "slip_1_x",
    "slip_1_y", "slip_1_turn_x", "slip_1_turn_y", "slip_1_turn_z", "slip_1_spin",
)
SLIP_FREE = (
    "slip_free_0_0", "slip_free_0_1", "slip_free_0_2", "slip_free_0_3", "slip_free_0_4", "slip_free_1_0",
    "slip_free_1_1", "slip_free_1_2", "slip_free_1_3", "slip_free_1_4",
)
STATE_ROWS = {
    "chassis": slice(0, 6),
    "rear": slice(6, 12),
    "front": slice(12, 18),
    "chassis_rates": slice(18, 24),
    "rear_rates": slice(24, 30),
    "front_rates": slice(30, 36),
    "rear_spin": slice(36, 37),
    "front_spin": slice(37, 38),
    "motor_speed": slice(38, 39),
    "energies": slice(39, 47),
}
ROWS = {
    "axle_steady": {
        "balances": slice(0, 16),
        "wheel_torque": slice(16, 17),
        "jacobian": slice(17, 247),
        "loads": slice(247, 249),
    },
    "axle_moves": {
        "joined": slice(0, 28),
        "pushed": slice(28, 35),
        "lost": slice(35, 40),
        "carried": slice(40, 128),
        "located": slice(128, 140),
    },
    "axle_moves_stiffly": {
        "joined": slice(0, 28),
        "pushed": slice(28, 35),
        "lost": slice(35, 40),
        "carried": slice(40, 128),
        "located": slice(128, 140),
        "slip_slopes": slice(140, 144),
        "slip_rows": slice(144, 168),
        "chassis_turns": slice(168, 183),
    },
    "axle_switches": {
        "depth": slice(0, 2),
        "raw_load": slice(2, 4),
        "droop_depth": slice(4, 6),
        "bump_depth": slice(6, 8),
        "coil_gap": slice(8, 10),
        "shock_rate": slice(10, 12),
    },
    "chassis_moves": {
        "accelerations": slice(0, 7),
        "angles": slice(7, 10),
        "powers": slice(10, 12),
        "brake_slope": slice(12, 13),
    },
    "axle_follows": {
        "coordinates": slice(0, 6),
        "spin": slice(6, 7),
        "tensions": slice(7, 11),
        "wheel_torque": slice(11, 12),
    },
    "axle_drifts": {
        "joined": slice(0, 28),
        "shoved": slice(28, 35),
        "kicked": slice(35, 42),
        "projected": slice(42, 128),
        "residuals": slice(128, 132),
        "drifts": slice(132, 137),
    },
    "chassis_returns": {
        "moves": slice(0, 14),
        "coordinates": slice(14, 20),
        "rates": slice(20, 26),
        "motor_speed": slice(26, 27),
    },
    "axle_returns": {
        "coordinates": slice(0, 6),
        "rates": slice(6, 12),
        "spin": slice(12, 13),
    },
    "axle_first": {
        "joined": slice(0, 28),
        "pushed": slice(28, 35),
        "carried": slice(35, 123),
        "loads": slice(123, 125),
        "switched": slice(125, 135),
        "slip_pushed": slice(135, 149),
        "slips": slice(149, 171),
        "slip_turns": slice(171, 183),
    },
    "axle_second": {
        "joined": slice(0, 28),
        "pushed": slice(28, 35),
        "carried": slice(35, 123),
    },
}
"""Rows of the parts that a kernel's outputs fall into, by kernel and part."""
