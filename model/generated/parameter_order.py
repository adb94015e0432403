"""Order of the kernels' numbers. Written by `python -m noseload.model.symbols.derive`; do not edit."""

STATIC_PARAMETERS = (
    "brake_speed", "chassis_inertia", "chassis_mass", "front_alone", "geared", "gravity", "held_couple",
    "no_load_speed", "spin_ratio", "stall_torque", "rear_contact_give", "rear_damping", "rear_driven",
    "rear_free_length", "rear_grip", "rear_longest", "rear_lower_link_axle_x", "rear_lower_link_axle_z",
    "rear_lower_link_chassis_x", "rear_lower_link_chassis_z", "rear_lower_link_length", "rear_mass",
    "rear_motor", "rear_rolling_resistance", "rear_shock_across", "rear_shock_axle_x", "rear_shock_axle_z",
    "rear_shock_chassis_x", "rear_shock_chassis_z", "rear_shortest", "rear_slip_ratio_scale",
    "rear_slip_speed", "rear_spring_rate", "rear_stop_damping", "rear_stop_stiffness", "rear_tyre_damping",
    "rear_tyre_radius", "rear_tyre_stiffness", "rear_upper_link_axle_x", "rear_upper_link_axle_z",
    "rear_upper_link_chassis_x", "rear_upper_link_chassis_z", "rear_upper_link_length",
    "rear_wheel_centre_x", "rear_wheel_centre_z", "front_contact_give", "front_damping", "front_driven",
    "front_free_length", "front_grip", "front_longest", "front_lower_link_axle_x",
    "front_lower_link_axle_z", "front_lower_link_chassis_x", "front_lower_link_chassis_z",
    "front_lower_link_length", "front_mass", "front_motor", "front_rolling_resistance",
    "front_shock_across", "front_shock_axle_x", "front_shock_axle_z", "front_shock_chassis_x",
    "front_shock_chassis_z", "front_shortest", "front_slip_ratio_scale", "front_slip_speed",
    "front_spring_rate", "front_stop_damping", "front_stop_stiffness", "front_tyre_damping",
    "front_tyre_radius", "front_tyre_stiffness", "front_upper_link_axle_x", "front_upper_link_axle_z",
    "front_upper_link_chassis_x", "front_upper_link_chassis_z", "front_upper_link_length",
    "front_wheel_centre_x", "front_wheel_centre_z",
)
MOBILITY = (
    "mobility_rear_theta_rear_theta", "mobility_rear_theta_front_theta", "mobility_rear_theta_rear_spin",
    "mobility_rear_theta_front_spin", "mobility_front_theta_front_theta", "mobility_front_theta_rear_spin",
    "mobility_front_theta_front_spin", "mobility_rear_spin_rear_spin", "mobility_rear_spin_front_spin",
    "mobility_front_spin_front_spin",
)
PARAMETERS = STATIC_PARAMETERS + MOBILITY
CREEP_OUTPUTS = ('rear_load', 'front_load', 'rear_traction', 'front_traction', 'rear_shock_length', 'front_shock_length')
OBSERVED = ('load', 'traction', 'slip', 'shock_length', 'shock_rate', 'shock_force', 'tyre_depth', 'raw_load', 'droop_depth', 'bump_depth', 'contact_couple')
POWERS = ('motor', 'brake', 'damper', 'stop', 'tyre', 'slip', 'rolling')
