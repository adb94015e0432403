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
    for (const link of ["lower_link", "upper_link"]) lines.push(`[${end}.${link}]`, `chassis_end_mm = ${point("chassis", `${end}_${link}_chassis`)}`, `axle_end_mm = ${point(end, `${end}_${link}_axle`)}`);
    lines.push(`[${end}.shock]`, `chassis_end_mm = ${point("chassis", `${end}_shock_chassis`, 0.04 + values[`${end}_shock_across`])}`, `axle_end_mm = ${point(end, `${end}_shock_axle`, 0.04)}`);
    number("spring_rate_n_per_mm", "spring_rate", 1e-3);
    number("stop_stiffness_n_per_mm", "stop_stiffness", 1e-3);
    lines.push(`droop_travel_mm = ${mm(values[`${end}_longest`] - vehicle.measured[k])}`, `bump_travel_mm = ${mm(vehicle.measured[k] - values[`${end}_shortest`])}`);
  });
  const driven = values.geared ? "both" : values.rear_driven ? "rear" : "front";
  return ["", "[drive]", `driven_axles = "${driven}"`, ...lines, ""].join("\n");
}

/** A vehicle file of four numbers, and of links where there are some, as the command line reads it. */
function ownFile(wheelbase, rear, front, height, vehicle = null) {
  if (vehicle) return `name = "my crawler"\nwheelbase_mm = ${wheelbase}\n\n[weighed]\nrear_g = ${rear}\nfront_g = ${front}\ncentre_of_gravity_height_mm = ${height}\n${linkLines(vehicle)}`;
  return `name = "my crawler"\nwheelbase_mm = ${wheelbase}\n\n[weighed]\nrear_g = ${rear}\nfront_g = ${front}\ncentre_of_gravity_height_mm = ${height}\n\n[tyre]\nloaded_radius_mm = 55\n`;
}
