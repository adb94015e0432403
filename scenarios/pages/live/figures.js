// Small figures beside the equations: anti-squat as driven, the rigid vehicle, an exact interval, a vehicle file.

/** Share of the load transfer that the rear links carry past the springs, tractions and axle mass as here; null upright. */
function antiSquat(standing, row) {
  const values = standing.values, state = row.state, [, height, wheelbase] = centreOfGravity(values, state);
  const point = (link, side) => {
    const k = side === "axle" ? 2 : -1, theta = state[k === 2 ? 4 : 1], [x, z] = turnedPoint(theta, values[`rear_${link}_${side}_x`], values[`rear_${link}_${side}_z`]);
    return [x + (k === 2 ? state[2] : 0), z + (k === 2 ? state[3] : state[0])];
  };
  const contact = wheelX(values, "rear", state[2], state[4]), local = (p) => [p[0] - contact, p[1]];
  const [a, b, c, d] = [["lower_link", "axle"], ["lower_link", "chassis"], ["upper_link", "axle"], ["upper_link", "chassis"]].map(([l, s]) => local(point(l, s)));
  const along = (p, q) => { const size = Math.hypot(q[0] - p[0], q[1] - p[1]); return [(q[0] - p[0]) / size, (q[1] - p[1]) / size]; };
  const [ux, uz] = along(a, b), [vx, vz] = along(c, d), sine = ux * vz - uz * vx;
  let x = ux, z = uz, w = 0;
  if (Math.abs(sine) >= 1e-9) { const t = (c[0] - a[0]) * vz - (c[1] - a[1]) * vx; x = a[0] * sine + t * ux; z = a[1] * sine + t * uz; w = sine; }
  if (Math.abs(x) <= 1e-9 * Math.hypot(x, z)) return null;
  const pull = row.traction_n[0] + row.traction_n[1], front = values.front_mass, mass = values.chassis_mass + values.rear_mass + front;
  const held = values.geared ? values.rear_grip * row.rear_load_n + values.front_grip * row.front_load_n : 1;
  const share = Math.abs(pull) > 1e-9 * standing.weight ? row.traction_n[0] / pull : values.geared ? (values.rear_grip * row.rear_load_n) / held : values.rear_driven;
  const net = share * mass * (z / x) - values.rear_mass * (z / x - (state[3] * w) / x);
  return (net * wheelbase) / (mass * height);
}

/** Rigid tip-over (deg), its 95 % error from 1 mm of wheelbase, 3 mm of height and 5 g of scale, and the distance b (mm). */
function rigidTip(wheelbase, rear, front, height) {
  const angle = (l, r, f, h) => Math.atan2((l * f) / (r + f), h) / RADIANS, tip = angle(wheelbase, rear, front, height);
  const parts = [angle(wheelbase + 1, rear, front, height), angle(wheelbase, rear + 5, front, height), angle(wheelbase, rear, front + 5, height), angle(wheelbase, rear, front, height + 3)];
  return { tip, distance: (wheelbase * front) / (rear + front), error: Math.hypot(...parts.map((part) => part - tip)) };
}

/** Exact 95 % interval of a share (C. J. Clopper, E. S. Pearson, Biometrika 26, 1934), by bisection of binomial sums. */
function exactInterval(right, done) {
  const tail = (p, from, to) => { let sum = 0, term = (1 - p) ** done; for (let k = 0; k <= to; k++) { if (k >= from) sum += term; term *= ((done - k) / (k + 1)) * (p / (1 - p)); } return sum; };
  const edge = (f) => { let low = 0, high = 1; for (let k = 0; k < 60; k++) { const mid = 0.5 * (low + high); if (f(mid) > 0.025) high = mid; else low = mid; } return 0.5 * (low + high); };
  return [right === 0 ? 0 : edge((p) => tail(p, right, done)), right === done ? 1 : 1 - edge((p) => tail(1 - p, 0, right))];
}

/** A vehicle with the links, springs, tyres and axle masses of another, on its own wheelbase, weighed as given (mm, g); it stands as measured. */
function ownVehicle(vehicle, wheelbase, rear, front, height) {
  const values = { ...vehicle.values }, { places } = vehicle, length = 1e-3 * wheelbase, mass = 1e-3 * (rear + front), wider = length - vehicle.wheelbase;
  const axles = { rear: places.rear, front: [places.front[0] + wider, places.front[1]] }, body = mass - values.rear_mass - values.front_mass;
  if (!(body > 0.1 * mass)) return null;
  const b = places.rear[0] + (length * front) / (rear + front), h = 1e-3 * height;
  const centre = [b, h].map((whole, k) => (mass * whole - values.rear_mass * axles.rear[k] - values.front_mass * axles.front[k]) / body);
  for (const end of ENDS) {
    for (const part of ["lower_link", "upper_link", "shock"]) {
      values[`${end}_${part}_chassis_x`] += places.chassis[0] - centre[0] + (end === "front" ? wider : 0);
      values[`${end}_${part}_chassis_z`] += places.chassis[1] - centre[1];
    }
    // Link ends are measured as they stand: that is how long the links are.
    for (const link of ["lower_link", "upper_link"]) {
      const [x, z] = [0, 1].map((k) => centre[k] + values[`${end}_${link}_chassis_${"xz"[k]}`] - axles[end][k] - values[`${end}_${link}_axle_${"xz"[k]}`]);
      values[`${end}_${link}_length`] = Math.hypot(x, z);
    }
    // The loaded radius is the one measured: under another load the free one is another.
    const before = vehicle.start[end === "rear" ? 3 : 6], load = (1e-3 * values.gravity) * (end === "rear" ? rear : front);
    values[`${end}_tyre_radius`] = before + load / values[`${end}_tyre_stiffness`];
  }
  values.chassis_mass = body;
  const start = [centre[1], 0, axles.rear[0] - centre[0], axles.rear[1], 0, axles.front[0] - centre[0], axles.front[1], 0, ...vehicle.start.slice(8)];
  return { ...vehicle, values, weight: mass * values.gravity, wheelbase: length, start, pose: [centre[1], 0], places: { chassis: centre, rear: axles.rear, front: axles.front } };
}
