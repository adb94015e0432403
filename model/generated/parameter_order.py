"""Order of the kernels' numbers. Written by `python -m noseload.model.symbols.derive`; do not edit."""

STATIC_PARAMETERS = (
    "brake_speed", "chassis_inertia", "chassis_mass", "front_alone", "geared", "gravity", "held_couple",
    "no_load_speed", "spin_ratio", "stall_torque", "rear_contact_give", "rear_damping", "rear_driven",
    "rear_free_length", "rear_grip", "rear_longest", "rear_lower_link_axle_x", "rear_lower_link_axle_z",
    "rear_lower_link_chassis_x", "rear_lower_link_chassis_z", "rear_lower_link_length", "rear_mass",
    "rear_motor", "rear_rolling_resistance", "rear_rolling_share", "rear_shock_across", "rear_shock_axle_x",
    "rear_shock_axle_z", "rear_shock_chassis_x", "rear_shock_chassis_z", "rear_shock_friction",
    "rear_shortest", "rear_slip_load", "rear_slip_ratio_scale", "rear_slip_softness", "rear_slip_speed",
    "rear_spring_held", "rear_spring_rate", "rear_stop_damping", "rear_stop_stiffness", "rear_tyre_damping",
    "rear_tyre_radius", "rear_tyre_stiffness", "rear_upper_link_axle_x", "rear_upper_link_axle_z",
    "rear_upper_link_chassis_x", "rear_upper_link_chassis_z", "rear_upper_link_length",
    "rear_wheel_centre_x", "rear_wheel_centre_z", "front_contact_give", "front_damping", "front_driven",
    "front_free_length", "front_grip", "front_longest", "front_lower_link_axle_x",
    "front_lower_link_axle_z", "front_lower_link_chassis_x", "front_lower_link_chassis_z",
    "front_lower_link_length", "front_mass", "front_motor", "front_rolling_resistance",
    "front_rolling_share", "front_shock_across", "front_shock_axle_x", "front_shock_axle_z",
    "front_shock_chassis_x", "front_shock_chassis_z", "front_shock_friction", "front_shortest",
    "front_slip_load", "front_slip_ratio_scale", "front_slip_softness", "front_slip_speed",
    "front_spring_held", "front_spring_rate", "front_stop_damping", "front_stop_stiffness",
    "front_tyre_damping", "front_tyre_radius", "front_tyre_stiffness", "front_upper_link_axle_x",
    "front_upper_link_axle_z", "front_upper_link_chassis_x", "front_upper_link_chassis_z",
    "front_upper_link_length", "front_wheel_centre_x", "front_wheel_centre_z",
)
MOBILITY = (
    "mobility_rear_theta_rear_theta", "mobility_rear_theta_front_theta", "mobility_rear_theta_rear_spin",
    "mobility_rear_theta_front_spin", "mobility_front_theta_front_theta", "mobility_front_theta_rear_spin",
    "mobility_front_theta_front_spin", "mobility_rear_spin_rear_spin", "mobility_rear_spin_front_spin",
    "mobility_front_spin_front_spin",
)
CREEP_OUTPUTS = (
    "rear_load", "front_load", "rear_traction", "front_traction", "rear_shock_length", "front_shock_length",
)
OBSERVED = (
    "load", "traction", "slip", "shock_length", "shock_rate", "shock_force", "tyre_depth", "raw_load",
    "droop_depth", "bump_depth", "coil_gap", "contact_couple",
)
POWERS = (
    "motor", "brake", "damper", "stop", "tyre", "slip", "rolling",
)
COORDINATES = (
    "chassis_x", "chassis_z", "chassis_theta", "rear_x", "rear_z", "rear_theta", "front_x", "front_z",
    "front_theta",
)
SPEEDS = (
    "chassis_x_rate", "chassis_z_rate", "chassis_theta_rate", "rear_x_rate", "rear_z_rate",
    "rear_theta_rate", "front_x_rate", "front_z_rate", "front_theta_rate", "rear_spin_rate",
    "front_spin_rate",
)
PARAMETERS = STATIC_PARAMETERS + MOBILITY
ROWS = {
    "creep": {
        "residual": slice(0, 13),
        "jacobian": slice(13, 195),
    },
    "creep_outputs": {
        "outputs": slice(0, 6),
        "jacobian": slice(6, 90),
    },
    "creep_residual": {
        "residual": slice(0, 13),
    },
    "creep_values": {
        "outputs": slice(0, 6),
    },
    "steady": {
        "residual": slice(0, 13),
        "jacobian": slice(13, 195),
    },
    "steady_residual": {
        "residual": slice(0, 13),
    },
    "rates": {
        "speed_rates": slice(0, 11),
        "powers": slice(11, 18),
    },
    "stiff_rates": {
        "speed_rates": slice(0, 11),
        "powers": slice(11, 18),
        "slopes": slice(18, 21),
        "slip_rows": slice(21, 43),
        "pulls": slice(43, 76),
    },
    "observe": {
        "accelerations": slice(0, 11),
        "tensions": slice(11, 15),
        "load": slice(15, 17),
        "traction": slice(17, 19),
        "slip": slice(19, 21),
        "shock_length": slice(21, 23),
        "shock_rate": slice(23, 25),
        "shock_force": slice(25, 27),
        "tyre_depth": slice(27, 29),
        "raw_load": slice(29, 31),
        "droop_depth": slice(31, 33),
        "bump_depth": slice(33, 35),
        "coil_gap": slice(35, 37),
        "contact_couple": slice(37, 39),
    },
    "switches": {
        "tyre_depth": slice(0, 2),
        "raw_load": slice(2, 4),
        "droop_depth": slice(4, 6),
        "bump_depth": slice(6, 8),
        "coil_gap": slice(8, 10),
        "shock_rate": slice(10, 12),
    },
    "first_rates": {
        "speed_rates": slice(0, 11),
        "load": slice(11, 13),
        "tyre_depth": slice(13, 15),
        "raw_load": slice(15, 17),
        "droop_depth": slice(17, 19),
        "bump_depth": slice(19, 21),
        "coil_gap": slice(21, 23),
        "slopes": slice(23, 26),
        "slip_arms": slice(26, 30),
        "mutual": slice(30, 36),
        "pulls": slice(36, 69),
    },
    "second_rates": {
        "speed_rates": slice(0, 11),
    },
    "project": {
        "coordinates": slice(0, 9),
        "speeds": slice(9, 20),
        "position_drift": slice(20, 24),
        "speed_drift": slice(24, 28),
    },
    "closure": {
        "residual": slice(0, 4),
        "jacobian": slice(4, 48),
        "gamma": slice(48, 52),
    },
}
"""Rows of the parts that a kernel's outputs fall into, by kernel and part."""
