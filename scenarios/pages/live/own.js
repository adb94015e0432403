// The reader's own vehicle as a file for the command line.

/** The lines of a file that say where links and shocks are, as measured. */
function linkLines(vehicle) {
  const { values, places } = vehicle, mm = (metres) => Number((1e3 * metres).toFixed(9)), lines = [];
  const point = (body, name, y) => { const [x, z] = [0, 1].map((k) => mm(places[body][k] + values[`${name}_${"xz"[k]}`])); return `[${x}, ${y === undefined ? "" : `${mm(y)}, `}${z}]`; };
  ENDS.forEach((end, k) => {
    const number = (key, name, scale) => lines.push(`${key} = ${Number((values[`${end}_${name}`] * scale).toFixed(9))}`);
    lines.push("", `[${end}]`);
    number("axle_mass_g", "mass", 1e3);
    lines.push(`[${end}.tyre]`, `loaded_radius_mm = ${mm(places[end][1])}`);
    number("vertical_stiffness_n_per_mm", "tyre_stiffness", 1e-3);
    number("grip_coefficient", "grip", 1);
    if (values[`${end}_rolling_resistance`]) number("rolling_resistance", "rolling_resistance", 1);
    if (values[`${end}_contact_give`]) lines.push(`lengthwise_stiffness_n_per_mm = ${Number((1e-3 / values[`${end}_contact_give`]).toFixed(9))}`, "contact_offset_share = 1");
    if (vehicle.split) lines.push(...slipLines(values, vehicle.split, end));
    for (const link of ["lower_link", "upper_link"]) lines.push(`[${end}.${link}]`, `chassis_end_mm = ${point("chassis", `${end}_${link}_chassis`)}`, `axle_end_mm = ${point(end, `${end}_${link}_axle`)}`);
    lines.push(`[${end}.shock]`, `chassis_end_mm = ${point("chassis", `${end}_shock_chassis`, 0.04 + values[`${end}_shock_across`])}`, `axle_end_mm = ${point(end, `${end}_shock_axle`, 0.04)}`);
    number("spring_rate_n_per_mm", "spring_rate", 1e-3);
    number("stop_stiffness_n_per_mm", "stop_stiffness", 1e-3);
    if (values[`${end}_spring_held`]) lines.push("spring_held = true");
    lines.push(`droop_travel_mm = ${mm(values[`${end}_longest`] - vehicle.measured[k])}`, `bump_travel_mm = ${mm(vehicle.measured[k] - values[`${end}_shortest`])}`);
  });
  const driven = values.geared ? "both" : values.rear_driven ? "rear" : "front";
  return ["", "[drive]", `driven_axles = "${driven}"`, `front_overdrive = ${values.spin_ratio}`, ...lines, ""].join("\n");
}

/** Lines of a tyre on an axle that divides the traction by slip: its stiffness where that was measured, else the law's own numbers. */
function slipLines(values, split, end) {
  const own = (name) => values[`${end}_${name}`], scale = own("slip_speed") / (0.1 * CREEP_SPEED), measured = Math.abs(own("slip_ratio_scale") - 0.9 * scale) < 1e-9;
  const law = measured ? [`slip_stiffness = ${own("grip") / scale}`] : [`slip_speed_mm_per_s = ${1e3 * own("slip_speed")}`, `slip_ratio_scale = ${own("slip_ratio_scale")}`];
  if (own("slip_softness")) law.push(`slip_stiffness_exponent = ${Number((1 - own("slip_softness")).toFixed(9))}`);
  return [`rolling_radius_share = ${split[`${end}_rolling_share`]}`, ...law];
}

/** A vehicle file of four numbers, and of links where there are some, as the command line reads it. */
function ownFile(wheelbase, rear, front, height, vehicle = null) {
  const rest = vehicle ? linkLines(vehicle) : "\n[tyre]\nloaded_radius_mm = 55\n";
  return `name = "my crawler"\nwheelbase_mm = ${wheelbase}\n\n[weighed]\nrear_g = ${rear}\nfront_g = ${front}\ncentre_of_gravity_height_mm = ${height}\n${rest}`;
}
