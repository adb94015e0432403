// The vehicle in space at rest: four wheel loads, which wheel lifts first. A vehicle is
//   {axles: two arrays of numbers in the kernel's order, masses, driven, weight, wheelbase, state: standing pose (26),
//    law: null where all driven wheels slip alike, else {width, mismatch, radii, shares, rates, softness} of geared axles that do not}.
const GRAVITY = 9.80665, USE_STEP = 0.5, LARGEST_ROLL = 1.3;
const WHEELS = ["rear_left", "rear_right", "front_left", "front_right"], LIFT_STEP = 3 * RADIANS, STEEPEST_LIFT = 80 * RADIANS, FEW_STEPS = 12, MANY_STEPS = 40, PAST_SNAP = 1e-3;

/** Of each axle: rows of its balances, Jacobian entries and those that follow the slip, where its coordinates, tensions and side force are. */
const SPACE_PLACES = typeof SPACE === "undefined" ? [] : ENDS.map((end) => {
  const { UNKNOWN_ROWS: unknowns, EQUATION_ROWS: equations } = SPACE, count = ([first, stop]) => Array.from({ length: stop - first }, (_, i) => first + i);
  const pose = unknowns[end], tensions = unknowns[`${end}_tensions`], side = unknowns[`${end}_side`];
  const rows = [equations.chassis, equations[end], equations[`${end}_rods`]].flatMap(count);
  const columns = [unknowns.chassis, pose, tensions, unknowns.slip, side].flatMap(count);
  const slips = columns.indexOf(unknowns.slip[0]), entries = [];
  SPACE.ENTRY_COLUMNS.forEach((column, e) => { if (column < columns.length) entries.push([e, rows[SPACE.ENTRY_ROWS[e]], columns[column], column === slips]); });
  return { rows, entries, pose, tensions, side: side[0] };
});
const [AXLE_Z, AXLE_ROLL, AXLE_PITCH] = typeof SPACE === "undefined" ? [] : ["z", "roll", "pitch"].map((name) => SPACE.AXLE.indexOf(`axle_${name}`));

/** Share of its grip that each axle uses, slopes by the slip, and those of the front by how deep the tyres are pressed in. */
function gripUses(law, slip, pressed) {
  if (!law) return { uses: [slip, slip], bySlip: [1, 1], byPressed: [0, 0] };
  const { shares } = law, [rear, front] = [0, 1].map((k) => law.radii[k] - shares[k] * pressed[k]);
  const loaded = [0, 1].map((k) => law.rates[k] * pressed[k]), widths = loaded.map((share, k) => law.width[k] * loadFactor(share, law.softness[k]));
  const [wider, wide] = loaded.map((share, k) => (widths[k] * law.softness[k] * share * law.rates[k]) / (share ** 2 + LEAST_LOAD ** 2));
  const ratio = (1 + law.mismatch) / rear, speed = 1 + slip * widths[0], excess = speed * ratio * front - 1;
  const first = Math.tanh(slip), second = Math.tanh(excess / widths[1]), steep = (1 - second ** 2) / widths[1];
  return { uses: [first, second], bySlip: [1 - first ** 2, steep * ratio * front * widths[0]],
    byPressed: [steep * ratio * front * ((speed * shares[0]) / rear + slip * wider), -steep * (speed * ratio * shares[1] + (excess * wide) / widths[1])] };
}

/** Place of one of an axle's numbers by its name. */
function axleNumber(name) {
  const k = SPACE.AXLE_NUMBERS.indexOf(name);
  if (k < 0) throw new Error(`no number of an axle is called ${name}`);
  return k;
}

const axleRolls = (state) => SPACE_PLACES.map(({ pose }) => state[pose[0] + AXLE_ROLL]);

/** How deep the tyres of an axle are pressed in, the mean of both sides, m, and its slopes by height, roll and pitch of the axle. */
function pressedIn(numbers, state, k) {
  const [tyre, across0, half, wx, wz] = ["tyre_radius", "wheel_y", "half_track", "wheel_x", "wheel_z"].map((name) => numbers[axleNumber(name)]);
  const pose = state.slice(...SPACE_PLACES[k].pose), roll = pose[AXLE_ROLL], pitch = pose[AXLE_PITCH], upright = Math.cos(roll), sine = Math.sin(roll), found = [0, 0, 0, 0];
  const up = wz * Math.cos(pitch) - wx * Math.sin(pitch), turned = -wz * Math.sin(pitch) - wx * Math.cos(pitch);
  for (const side of [1, -1]) {
    const across = across0 + side * half, above = pose[AXLE_Z] + across * sine + up * upright, depth = tyre - above / upright;
    if (!(depth > 0)) continue;
    const slopes = [depth, -1 / upright, -(across * upright - up * sine + (above * sine) / upright) / upright, -turned];
    slopes.forEach((slope, i) => { found[i] += 0.5 * slope; });
  }
  return found;
}

function spaceEquilibrium(vehicle) {
  const { weight, wheelbase, axles, driven, masses, law } = vehicle, length = 0.1 * wheelbase, moment = weight * wheelbase, reach = (LENGTH_STEP * wheelbase) / 0.3;
  const body = [length, length, length, 0.3, 0.3, 0.3], force = [weight, weight, weight, moment, moment, moment], caps = [reach, reach, reach, ANGLE_STEP, ANGLE_STEP, ANGLE_STEP];
  const many = (n, v) => new Array(n).fill(v), sizes = [...force, ...force, ...force, ...many(8, wheelbase)];
  const { chassis, slip: [slip] } = SPACE.UNKNOWN_ROWS, [entriesFrom] = SPACE.ROWS.axle.jacobian;
  const parts = (state, k, uses) => {
    const { pose, tensions, side } = SPACE_PLACES[k];
    return [state.slice(...chassis), state.slice(...pose), state.slice(...tensions), [driven[k] * uses[k], state[side], 0], [0, 0], axles[k]];
  };
  const pressed = (state) => (law ? [0, 1].map((k) => pressedIn(axles[k], state, k)) : [[0], [0]]);
  const used = (state, slopes = pressed(state)) => gripUses(law, state[slip], slopes.map((one) => one[0]));
  return {
    scales: [length, 0.3, 0.3, ...body, ...body, ...many(8, weight), 1, 1, 1], rows: sizes.map((s) => 1 / s),
    caps: [reach, ANGLE_STEP, ANGLE_STEP, ...caps, ...caps].map((s) => 1 / s).concat(many(8, 0), many(3, 1 / USE_STEP)),
    evaluate(state, grade) {
      const residual = many(sizes.length, 0), jacobian = residual.map(() => many(sizes.length, 0)), byParameter = many(sizes.length, 0);
      const slopes = pressed(state), { uses, bySlip, byPressed } = used(state, slopes);
      for (let k = 0; k < 2; k++) {
        const out = SPACE.axle(...parts(state, k, uses)), { rows, entries } = SPACE_PLACES[k];
        for (let i = 0; i < rows.length; i++) residual[rows[i]] += out[i];
        for (const [e, row, column, slips] of entries) {
          const value = slips ? driven[k] * out[entriesFrom + e] : out[entriesFrom + e];
          jacobian[row][column] += slips ? bySlip[k] * value : value;
          // The front's use follows the pose too: height, roll and pitch of both axles.
          if (slips && k && law) [0, 1].forEach((i) => [AXLE_Z, AXLE_ROLL, AXLE_PITCH].forEach((at, j) => { jacobian[row][SPACE_PLACES[i].pose[0] + at] += value * byPressed[i] * slopes[i][1 + j]; }));
        }
      }
      for (let b = 0; b < 3; b++) {
        const pull = masses[b] * GRAVITY;
        residual[6 * b] -= pull * Math.sin(grade);
        residual[6 * b + 2] -= pull * Math.cos(grade);
        byParameter[6 * b] = -pull * Math.cos(grade);
        byParameter[6 * b + 2] = pull * Math.sin(grade);
      }
      return { residual, jacobian, byParameter };
    },
    /** Under a law of slip one axle may have spent its grip: it slides where both have. */
    used(state) {
      const shares = used(state).uses.map((use, k) => driven[k] * Math.abs(use));
      return law ? Math.min(...shares) : Math.max(...shares);
    },
    seen(state, k) { return SPACE.axle_seen(...parts(state, k, used(state).uses)); },
    accept(state, grade) {
      if (Math.abs(state[1]) > LARGEST_PITCH || [state[2], ...axleRolls(state)].some((roll) => Math.abs(roll) > LARGEST_ROLL)) return "on_its_side";
      return Math.abs(grade) > LARGEST_GRADE ? "upright" : null;
    },
  };
}

/** Loads of the four wheels, N, and depths of their tyres, m. */
function fourWheels(equilibrium, state) {
  const seen = [0, 1].map((k) => equilibrium.seen(state, k));
  return { loads: [seen[0][0], seen[0][1], seen[1][0], seen[1][1]], depths: [seen[0][2], seen[0][3], seen[1][2], seen[1][3]] };
}

/** The same vehicle with its springs built stiffer (as measured it stands alike), another ratio, or without its shafts. */
function withSpace(vehicle, { rearSprings = 1, frontSprings = 1, ratio = null, shafts = true }) {
  const [spring, free, shaft] = ["spring_rate", "free_length", "shaft_share"].map(axleNumber);
  const axles = vehicle.axles.map((numbers, k) => {
    const own = numbers.slice(), factor = k ? frontSprings : rearSprings, measured = vehicle.measured[k];
    own[spring] *= factor;
    own[free] = measured + (own[free] - measured) / factor;
    if (!shafts) own[shaft] = 0;
    else if (ratio !== null && own[shaft] !== 0) own[shaft] = Math.sign(own[shaft]) / ratio;
    return own;
  });
  return { ...vehicle, axles };
}

/** Up the slope to where the first wheel lifts: rows by grade, {lift, wheel} or null, and the key of the words where it ends otherwise. */
function firstLift(vehicle, until = STEEPEST_LIFT) {
  const found = walkToLift(vehicle, until);
  return { ...found, vehicle };
}

/** A row at a grade, from a row before it, or null. */
function wheelsAt(vehicle, before, grade, most = FEW_STEPS) {
  const equilibrium = spaceEquilibrium(vehicle), solution = newton(equilibrium, before.state, grade, 1e-11, most);
  if (solution.status !== "converged") return null;
  const state = solution.state;
  return { grade, state, ...fourWheels(equilibrium, state), used: equilibrium.used(state), roll: state[2], axleRoll: axleRolls(state) };
}

/** Past a fold on four wheels, as where a coil goes loose and its shock snaps onto the droop stop: the row there, or null. */
function overSnap(vehicle, last) {
  const equilibrium = spaceEquilibrium(vehicle), down = (p) => Math.min(...fourWheels(equilibrium, p.state).depths) > 0;
  const curve = trace(equilibrium, { state: last.state, parameter: last.grade }, 1, (p) => p.parameter > last.grade + PAST_SNAP || !down(p));
  const end = curve.points[curve.points.length - 1], steady = end.orientation === curve.points[0].orientation;
  return curve.ended && steady && down(end) && end.parameter > last.grade ? wheelsAt(vehicle, { state: end.state }, end.parameter) : null;
}

function walkToLift(vehicle, until) {
  const rows = [];
  let last = wheelsAt(vehicle, vehicle, 0, MANY_STEPS), before = null;
  if (!last) return { rows, lift: null, ended: "not_on_four" };
  rows.push(last);
  if (Math.min(...last.depths) <= 0) return { rows, lift: 0, wheel: WHEELS[last.depths.indexOf(Math.min(...last.depths))] };
  let step = LIFT_STEP;
  // Steps are halved where no pose is found or a wheel has left, down to the very place; a fold that leads no further ends the walk.
  // Each starts on the line through the last two poses: where both wheels of an axle lift, Newton reaches no further than a hair.
  while (last.grade < until && step > 1e-9) {
    const share = before ? step / (last.grade - before.grade) : 0;
    const state = before ? last.state.map((value, i) => value + share * (value - before.state[i])) : last.state;
    const next = wheelsAt(vehicle, { state }, last.grade + step);
    if (next && vehicle.law && next.used > GRIP_REACHED) return { rows, lift: null, ended: "wheels_slide", at: next.grade };
    if (next && Math.min(...next.depths) > 0) { rows.push(next); before = last; last = next; step = Math.min(LIFT_STEP, 2 * step); } else step *= 0.5;
    if (step > 1e-9 || Math.min(...last.depths) <= 1e-6) continue;
    const landed = overSnap(vehicle, last);
    if (landed) { rows.push(landed); before = null; last = landed; step = LIFT_STEP; }
  }
  const least = Math.min(...last.depths);
  if (last.grade >= until) return { rows, lift: null, ended: "none_lifts", at: until };
  if (least > 1e-6) return { rows, lift: null, ended: "lost_after", at: last.grade };
  const first = last.depths.indexOf(least), together = last.depths[first ^ 1] < 1e-6;
  return { rows, lift: together ? lastOfAxle(rows, first) : last.grade, wheel: WHEELS[first], both: together ? ENDS[first >> 1] : null };
}

/** Where an axle's last load is gone: the equations are singular there, so the grade is continued over the depth of a tyre down to nothing. */
function lastOfAxle(rows, wheel) {
  const chosen = [rows[rows.length - 1]];
  for (let k = rows.length - 2; k >= 0 && chosen.length < 3; k--) if (rows[k].depths[wheel] >= 4 * chosen[chosen.length - 1].depths[wheel]) chosen.push(rows[k]);
  return chosen.reduce((sum, row) => sum + row.grade * chosen.reduce((share, other) => (other === row ? share : (share * other.depths[wheel]) / (other.depths[wheel] - row.depths[wheel])), 1), 0);
}
