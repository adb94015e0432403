// The steady crawl: standing pose, one grade, the whole climb with its limits. A vehicle is
//   {values: numbers by kernel name (SI), weight, wheelbase, start: a pose to begin with (13), measured: shock lengths,
//    free: free lengths, pose: null or the chassis pose to be held (ride height reset), places: body origins as measured,
//    split: null, or numbers of the law by which geared axles that turn at different speeds divide the traction}.
const ENDS = ["rear", "front"], RADIANS = Math.PI / 180, STEEPEST = 89 * RADIANS, PAST_END = 0.02, CREEP_SPEED = 0.1;
const GRIP_REACHED = 0.999, LEAST_LOAD = 1e-3, LARGEST_SATURATION = 0.999999, SMALLEST_OVERDRIVE_STEP = 1e-4;
const AT_REST = { rear_rolling_resistance: 0, front_rolling_resistance: 0 };
const ANGLE_STEP = 0.15, LENGTH_STEP = 0.015, LARGEST_PITCH = 1.2, LARGEST_GRADE = 1.56;

const AT_REST_NAMES = KERNELS.PARAMETERS.filter((name) => !name.startsWith("mobility_"));

/** Numbers in kernel order; one that is not there is an error that names it. */
function inOrder(values, names = KERNELS.PARAMETERS) {
  const missing = names.filter((name) => !(name in values));
  if (missing.length) throw new Error(`no number for ${missing.join(", ")}`);
  return names.map((name) => values[name]);
}

function turnedPoint(theta, x, z) { return [x * Math.cos(theta) + z * Math.sin(theta), -x * Math.sin(theta) + z * Math.cos(theta)]; }

/** Sign of lower link x coupler at each end: it tells the assembly branch. */
function couplerSigns(values, state) {
  return ENDS.map((end, i) => {
    const k = 2 + 3 * i, ends = ["lower_link", "upper_link"].map((link) => {
      const a = turnedPoint(state[1], values[`${end}_${link}_chassis_x`], values[`${end}_${link}_chassis_z`]);
      const b = turnedPoint(state[k + 2], values[`${end}_${link}_axle_x`], values[`${end}_${link}_axle_z`]);
      return [[a[0], a[1] + state[0]], [b[0] + state[k], b[1] + state[k + 1]]];
    });
    const [a, b] = ends[0], c = ends[1][1];
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
  });
}

function wheelHeight(values, end, z, theta) {
  return z - values[`${end}_wheel_centre_x`] * Math.sin(theta) + values[`${end}_wheel_centre_z`] * Math.cos(theta);
}
function wheelX(values, end, x, theta) {
  return x + values[`${end}_wheel_centre_x`] * Math.cos(theta) + values[`${end}_wheel_centre_z`] * Math.sin(theta);
}
/** Height of a wheel centre in a pose of the crawl. */
function poseWheelHeight(values, state, i) { const k = 2 + 3 * i; return wheelHeight(values, ENDS[i], state[k + 1], state[k + 2]); }

/** Residual and Jacobian by the unknowns of a kernel, and what stands in the column behind them. */
function unpacked(flat) {
  const [, n] = KERNELS.ROWS.creep.residual, jacobian = [], byParameter = [];
  for (let i = 0; i < n; i++) { const at = n + (n + 1) * i; jacobian.push(flat.slice(at, at + n)); byParameter.push(flat[at + n]); }
  return { residual: flat.slice(0, n), jacobian, byParameter };
}
/** The same with another last number: spin in place of traction. */
const withLast = (list, last) => [...list.slice(0, -1), last];

function crawlEquilibrium(values, weight, wheelbase, branch) {
  const parameters = inOrder(values, AT_REST_NAMES), length = 0.1 * wheelbase, angle = 0.3, reach = (LENGTH_STEP * wheelbase) / 0.3, moment = weight * wheelbase;
  const axle = [length, length, angle], limits = [reach, ANGLE_STEP, reach, reach, ANGLE_STEP, reach, reach, ANGLE_STEP];
  const scales = [length, angle, ...axle, ...axle, weight, weight, weight, weight, weight];
  const sizes = [weight, weight, moment, weight, weight, moment, weight, weight, moment, wheelbase, wheelbase, wheelbase, wheelbase];
  return {
    values, parameters, weight, wheelbase, scales, branch, rows: sizes.map((s) => 1 / s), caps: [...limits.map((s) => 1 / s), 0, 0, 0, 0, 0],
    evaluate(state, grade) {
      return unpacked(KERNELS.creep(state, grade, parameters));
    },
    outputs(state, grade) { return KERNELS.creep_outputs(state, grade, parameters); },
    accept(state, grade) {
      if (Math.abs(state[1]) > LARGEST_PITCH) return "stands_on_end";
      if (Math.abs(grade) > LARGEST_GRADE) return "upright";
      const signs = couplerSigns(values, state);
      for (let i = 0; i < 2; i++) if (!(signs[i] * this.branch[i] > 0)) return ["rear_turns_over", "front_turns_over"][i];
      return null;
    },
  };
}

/** Steady motion at a speed: the spin of the driven wheels in place of the traction; `grip` is a factor. */
function steadyEquilibrium(creep, speed, grip = 1) {
  const { values } = creep, pull = (end) => values[`${end}_mass`] * values.gravity, masses = ["chassis", ...ENDS].map(pull);
  return {
    ...creep, creep, scales: withLast(creep.scales, 1), caps: withLast(creep.caps, 1),
    evaluate(state, grade) {
      const { residual, jacobian } = unpacked(KERNELS.steady([...state, speed], grip, grade, creep.parameters)), byParameter = residual.map(() => 0);
      masses.forEach((weight, b) => { byParameter[3 * b] = -weight * Math.cos(grade); byParameter[3 * b + 1] = weight * Math.sin(grade); });
      return { residual, jacobian, byParameter };
    },
    /** As those of the crawl; for axles that are both driven. */
    outputs(state, grade) {
      const o = creep.outputs(withLast(state, 0), grade).slice();
      ENDS.forEach((end, k) => {
        const slip = (k ? values.spin_ratio : 1) * state[12] * rollingRadius(values, state, k) - speed;
        o[2 + k] = values[`${end}_grip`] * grip * o[k] * Math.tanh(slip / slipScale(values, end, speed, o[k]));
      });
      return o;
    },
    guess(state, grade) {
      const o = creep.outputs(state, grade);
      let available = 0;
      ENDS.forEach((end, k) => { available += values[`${end}_driven`] * values[`${end}_grip`] * grip * o[k]; });
      const share = available > 0 ? state[12] / available : Infinity;
      const bounded = Number.isFinite(share) ? Math.min(Math.max(share, -LARGEST_SATURATION), LARGEST_SATURATION) : LARGEST_SATURATION;
      const i = values.rear_driven ? 0 : 1;
      return { share, start: withLast(state, (speed + Math.atanh(bounded) * slipScale(values, ENDS[i], speed, o[i])) / rollingRadius(values, state, i)) };
    },
  };
}
/** Slip speed over which an axle's grip builds up under its load; a slip stiffness that grows less than the load makes it wider. */
function slipScale(values, end, speed, load) {
  const own = (name) => values[`${end}_${name}`];
  return (own("slip_speed") + own("slip_ratio_scale") * Math.abs(speed)) * loadFactor(load / own("slip_load"), own("slip_softness"));
}
function loadFactor(share, softness) { return (share ** 2 + LEAST_LOAD ** 2) ** (0.5 * softness); }
/** Radius on which driven wheels roll, m. */
function rollingRadius(values, state, k) {
  const free = values[`${ENDS[k]}_tyre_radius`];
  return free - values[`${ENDS[k]}_rolling_share`] * (free - poseWheelHeight(values, state, k));
}
/** Arm of an axle's traction about its wheels' axis, m. */
function leverOf(values, state, k, load) { return poseWheelHeight(values, state, k) + values[`${ENDS[k]}_contact_give`] * load; }

/** The crawl of geared axles that turn at different speeds, and its solution on the level: continued from equal speeds. */
function dividedCrawl(creep, split, state) {
  const at = (ratio) => steadyEquilibrium(crawlEquilibrium({ ...creep.values, ...split, spin_ratio: ratio }, creep.weight, creep.wheelbase, creep.branch), CREEP_SPEED);
  const target = creep.values.spin_ratio, equilibrium = at(target), { start } = equilibrium.guess(state, 0);
  let level = newton(equilibrium, start, 0), reached = 1, step = target - 1;
  if (level.status === "converged") return { equilibrium, level };
  level = newton(at(1), start, 0);
  while (level.status === "converged" && reached !== target) {
    const ratio = Math.abs(target - reached) <= Math.abs(step) ? target : reached + step, next = newton(at(ratio), level.state, 0);
    if (next.status === "converged") { level = next; reached = ratio; } else if (Math.abs(step) > SMALLEST_OVERDRIVE_STEP) step *= 0.5; else return null;
  }
  return level.status === "converged" ? { equilibrium, level } : null;
}

/** Standing with the free shock lengths as two more unknowns, where the chassis is held where it stood before. */
function resetEquilibrium(creep, pose) {
  const length = 0.1 * creep.wheelbase;
  return {
    scales: [...creep.scales, length, length], rows: [...creep.rows, 1 / creep.wheelbase, 1 / creep.wheelbase], caps: [...creep.caps, 0, 0],
    evaluate(state) {
      const values = { ...creep.values, ...AT_REST, rear_free_length: state[13], front_free_length: state[14], rear_spring_held: 1, front_spring_held: 1 };
      const at = crawlEquilibrium(values, creep.weight, creep.wheelbase, creep.branch), pose13 = state.slice(0, 13);
      const { residual, jacobian } = at.evaluate(pose13, 0), flat = at.outputs(pose13, 0);
      const rows = jacobian.map((row) => [...row, 0, 0]);
      ENDS.forEach((end, k) => {
        const slopes = flat.slice(6 + 14 * (4 + k), 6 + 14 * (4 + k) + 13), rate = values[`${end}_spring_rate`];
        for (let i = 0; i < 8; i++) rows[1 + i][13 + k] = rate * slopes[i];
        rows[0][13 + k] = -rate * (slopes[2] + slopes[5]);
        const condition = new Array(15).fill(0);
        condition[k] = 1;
        rows.push(condition);
        residual.push(state[k] - pose[k]);
      });
      return { residual, jacobian: rows, byParameter: new Array(15).fill(0) };
    },
    accept(state) {
      const lengths = creep.outputs(state.slice(0, 13), 0).slice(4, 6);
      for (let k = 0; k < 2; k++) {
        const pulls = state[13 + k] < lengths[k] && !creep.values[`${ENDS[k]}_spring_held`];
        if (pulls || !(state[13 + k] > 0)) return ["rear_not_held", "front_not_held"][k];
      }
      return creep.accept(state.slice(0, 13), 0);
    },
  };
}

/** Centre of gravity of the whole vehicle in a pose: distance from the rear contact, height, wheelbase. */
function centreOfGravity(values, state) {
  const x = [0, state[2], state[5]], z = [state[0], state[3], state[6]], rear = wheelX(values, "rear", state[2], state[4]);
  const masses = [values.chassis_mass, values.rear_mass, values.front_mass], mass = masses[0] + masses[1] + masses[2];
  let along = 0, up = 0;
  masses.forEach((m, k) => { along += m * (x[k] - rear); up += m * z[k]; });
  return [along / mass, up / mass, wheelX(values, "front", state[5], state[7]) - rear];
}

/** The standing vehicle, or {failed: key of the words why}. */
function stand(vehicle) {
  const { weight, wheelbase } = vehicle, values = { ...vehicle.values };
  let start = vehicle.start, free = vehicle.free;
  const branch = couplerSigns(values, start);
  [values.rear_free_length, values.front_free_length] = free;
  if (vehicle.pose) {
    const held = resetEquilibrium(crawlEquilibrium(values, weight, wheelbase, branch), vehicle.pose);
    const solved = newton(held, [...start, ...free], 0);
    if (solved.status !== "converged") return { failed: objectionTo(solved) };
    start = solved.state.slice(0, 13);
    free = solved.state.slice(13);
    [values.rear_free_length, values.front_free_length] = free;
  }
  const equilibrium = crawlEquilibrium(values, weight, wheelbase, branch);
  const solution = newton(crawlEquilibrium({ ...values, ...AT_REST }, weight, wheelbase, branch), start, 0);
  if (solution.status !== "converged") return { failed: objectionTo(solution) };
  const level = values.rear_rolling_resistance || values.front_rolling_resistance ? newton(equilibrium, solution.state, 0) : solution;
  const found = { vehicle, values, weight, wheelbase, equilibrium, solution, level, free, reference: centreOfGravity(values, solution.state) };
  if (!vehicle.split) return found;
  const divided = dividedCrawl(equilibrium, vehicle.split, solution.state);
  return divided ? { ...found, ...divided, even: found } : { failed: "axles_fight" };
}
function objectionTo(solution) { return solution.objection || "not_closed"; }

/** Moments of the loads about the points below the wheel centres in a crawl, N m: rolling resistance, and what traction shifts. */
function contactCouples(values, state, o) {
  return ENDS.map((end, k) => o[k] * (values[`${end}_rolling_resistance`] * poseWheelHeight(values, state, k) + values[`${end}_contact_give`] * o[2 + k]));
}

/** Parts of the front axle load in a steady crawl, N. */
function steadyBudget(standing, state, grade, o) {
  const [b0, h0, l0] = standing.reference, [b, h, l] = centreOfGravity(standing.values, state);
  const normal = standing.weight * Math.cos(grade), along = standing.weight * Math.sin(grade), flat = (standing.weight * b0) / l0;
  const rigid = (normal * b0 - along * h0) / l0, couples = contactCouples(standing.values, state, o);
  return { standing_n: flat, grade_n: rigid - flat, attitude_n: (normal * b - along * h) / l - rigid, contact_offset_n: -(couples[0] + couples[1]) / l };
}

/** Traction needed as a share of the grip of the driven axles, and the torque at the driven spin. */
function gripUse(values, o) {
  let held = 0;
  ENDS.forEach((end, k) => { held += values[`${end}_driven`] * values[`${end}_grip`] * o[k]; });
  const pull = Math.abs(values.rear_driven * o[2] + values.front_driven * o[3]);
  return held > 0 ? pull / held : pull > 0 ? Infinity : 0;
}
function driveTorque(values, state, o) {
  const couples = contactCouples(values, state, o);
  const [rear, front] = ENDS.map((end, k) => values[`${end}_driven`] * (o[2 + k] * poseWheelHeight(values, state, k) + couples[k]));
  return rear + (values.geared ? values.spin_ratio : 1) * front;
}

/** A row of the crawl from a solved pose. */
function rowOf(standing, state, grade, o = standing.equilibrium.outputs(state, grade)) {
  const { values } = standing;
  if (Math.min(o[0], o[1]) < -1e-9 * standing.weight) return { status: "beyond_tip_over", grade };
  const use = gripUse(values, o), moment = driveTorque(values, state, o);
  const status = use > 1 ? "beyond_grip" : Math.abs(moment) > values.stall_torque ? "beyond_torque" : "ok";
  return { status, grade, state, rear_load_n: o[0], front_load_n: o[1], traction_n: [o[2], o[3]], shock_length: [o[4], o[5]],
    nose_up_pitch: -state[1], grip_use: use, wheel_torque: moment, budget: steadyBudget(standing, state, grade, o) };
}

/** Pose of the crawl followed from level in strides of 12 deg, or null: quick, and blind to folds; `climb` is not. */
function followed(standing, grade) {
  const direct = strides(standing.equilibrium, standing.level.state, 0, grade);
  return direct || ontoTheStop(standing, grade);
}
function strides(equilibrium, start, first, last) {
  let state = start;
  const steps = Math.max(2, 1 + Math.ceil(Math.abs(last - first) / (12 * RADIANS)));
  for (let k = 1; k < steps; k++) {
    const solution = newton(equilibrium, state, first + ((last - first) * k) / (steps - 1));
    if (solution.status !== "converged") return null;
    state = solution.state;
  }
  return state;
}
/** Past the snap of a loose coil, where a shock on its droop stop is a stiff spring about the stop's place. */
function ontoTheStop(standing, grade) {
  const { values, weight, wheelbase, equilibrium } = standing;
  const slack = ENDS.map((end) => !values[`${end}_spring_held`] && values[`${end}_longest`] > values[`${end}_free_length`]);
  for (const ends of [["front"], ["rear"], ENDS]) {
    if (!ends.every((end) => slack[ENDS.indexOf(end)])) continue;
    const tied = { ...values };
    for (const end of ends) {
      tied[`${end}_spring_rate`] = values[`${end}_stop_stiffness`];
      tied[`${end}_free_length`] = values[`${end}_longest`];
      tied[`${end}_spring_held`] = 1;
      tied[`${end}_longest`] = 10;
    }
    const bound = crawlEquilibrium({ ...tied, ...standing.vehicle.split }, weight, wheelbase, equilibrium.branch);
    const start = strides(standing.even ? steadyEquilibrium(bound, CREEP_SPEED) : bound, standing.level.state, 0, grade);
    const state = start && strides(equilibrium, start, grade, grade);
    if (state) return state;
  }
  return null;
}

/** By how much the coil of each end is loose, m; -1 where it is held. */
function looseCoils(values, o) {
  return ENDS.map((end, k) => (values[`${end}_spring_held`] ? -1 : o[4 + k] - values[`${end}_free_length`]));
}

/** For each end whether its coil is loose, and loose on the droop stop: between them a curve may fold. */
function coilRegion(values, o) {
  return looseCoils(values, o).map((gap, k) => (gap <= 0 ? 0 : o[4 + k] > values[`${ENDS[k]}_longest`] ? 2 : 1)).join();
}

/** What a slow climb follows of a curve: over the snap of a loose coil onto its droop stop it goes on; {pieces, snaps, fold}. */
function followedPath(curve, loose) {
  const pieces = [], snaps = [];
  for (let rest = curve; ; ) {
    const k = firstFold(rest), branch = firstBranch(rest), points = rest.points;
    pieces.push(branch);
    if (k < 0) return { pieces, snaps, fold: null };
    const turn = branch.points[branch.points.length - 1], found = landing(rest, k, turn, loose);
    if (!found) return { pieces, snaps, fold: turn.parameter };
    snaps.push({ before: turn, after: found.after });
    rest = { ...curve, points: [found.after, ...points.slice(found.segment + 1)] };
  }
}
function landing(curve, k, turn, loose) {
  const points = curve.points, isLoose = (p, e) => loose(p)[e] > -1e-9, ends = [0, 1].filter((e) => isLoose(points[k + 1], e)), size = Math.abs(turn.parameter);
  if (!ends.length) return null;
  for (let j = k + 1; j + 1 < points.length; j++) {
    const a = points[j], b = points[j + 1], back = Math.abs(a.parameter) < size && size <= Math.abs(b.parameter);
    if (!back || b.orientation !== points[k].orientation) continue;
    const after = findOn(curve, (p) => p.parameter - turn.parameter, j, j + 1);
    if (after && ends.some((e) => isLoose(b, e))) return { segment: j, after };
  }
  return null;
}
/** First place of a followed path at which a measure changes sign, on a piece or at a snap that passes it, or null. */
function findFollowed(path, measure) {
  for (let k = 0; k < path.pieces.length; k++) {
    if (k && measure(path.snaps[k - 1].before) * measure(path.pieces[k].points[0]) < 0) return path.pieces[k].points[0];
    const found = findOn(path.pieces[k], measure);
    if (found) return found;
  }
  return null;
}

/** The climb from level to where the front axle unloads: curve, limits, and rows by grade. */
function climb(standing) {
  const { equilibrium, values, weight } = standing, seen = new Map();
  const outputs = (p) => { let o = seen.get(p); if (!o) { o = equilibrium.outputs(p.state, p.parameter); seen.set(p, o); } return o; };
  const used = (p) => gripUse(values, outputs(p)), full = standing.even ? GRIP_REACHED : 1;
  const curve = trace(equilibrium, standing.level, 1,
    (p) => (standing.even && used(p) > GRIP_REACHED + 1e-4) || outputs(p)[1] <= -PAST_END * weight || Math.abs(p.parameter) > STEEPEST,
    (p) => coilRegion(values, outputs(p)));
  const path = followedPath(curve, (p) => looseCoils(values, outputs(p))), front = (p) => outputs(p)[1], tips = findFollowed(path, front), tip = tips || findOn(curve, front);
  // A fold past tip-over ends nothing.
  const fold = tips ? null : path.fold, end = fold === null ? tip && tip.parameter : fold;
  const within = (p) => (p === null || (end !== null && p.parameter > end) ? null : p.parameter);
  const limits = {
    tip_over: tip && tip.parameter, fold,
    grip: within(findFollowed(path, (p) => Math.min(used(p), 1e6) - full)),
    torque: within(findFollowed(path, (p) => driveTorque(values, p.state, outputs(p)) - values.stall_torque)),
  };
  let first = null;
  for (const name of Object.keys(limits)) if (limits[name] !== null && (first === null || limits[name] < limits[first])) first = name;
  return {
    standing, curve, limits, first,
    row(grade) {
      if (fold !== null && grade > fold) return { status: "beyond_fold", grade };
      const piece = path.pieces.find((one) => grade <= one.points[one.points.length - 1].parameter) || path.pieces[path.pieces.length - 1];
      const solution = solveOn(piece, grade);
      if (solution === null || solution.status !== "converged") return { status: !curve.ended ? "no_solution" : tip ? "beyond_tip_over" : limits.grip === null ? "no_solution" : "beyond_grip", grade };
      return rowOf(standing, solution.state, grade, outputs(solution));
    },
  };
}

/** A vehicle with one link end moved by (dx, dz), m; `fitted` makes the link to measure, otherwise it keeps its length. */
function withLinkEnd(vehicle, end, link, side, dx, dz, { fitted = false, pose = null } = {}) {
  const values = { ...vehicle.values }, at = `${end}_${link}_${side}`;
  values[`${at}_x`] += dx;
  values[`${at}_z`] += dz;
  if (fitted) {
    const [cx, cz] = vehicle.places.chassis, [ax, az] = vehicle.places[end];
    const x = cx + values[`${end}_${link}_chassis_x`] - ax - values[`${end}_${link}_axle_x`];
    const z = cz + values[`${end}_${link}_chassis_z`] - az - values[`${end}_${link}_axle_z`];
    values[`${end}_${link}_length`] = Math.sqrt(x * x + z * z);
  }
  return { ...vehicle, values, pose };
}
