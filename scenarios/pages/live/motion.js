// The punch: exponential Runge-Kutta steps of order 4 (S. Krogstad, 2005) with the slip as their stiff part, located switches,
// projections onto the constraints. State (28): coordinates, speeds, running integrals.
const { speed_rates: [, SPEEDS], powers: [, POWERED] } = KERNELS.ROWS.rates, [PLACES, STEERED] = KERNELS.ROWS.project.speeds, SIZE = STEERED + KERNELS.POWERS + 1;
const speedsOf = (y) => y.slice(PLACES, STEERED);
const { slopes: [SLOPES], slip_rows: [SLIPS], pulls: [PULLS] } = KERNELS.ROWS.stiff_rates;
const { load: [LOAD], traction: [TRACTION], contact_couple: [COUPLE] } = KERNELS.ROWS.observe;
const TOUCH_DEPTH = 1e-3, FLIP_PITCH = 80 * RADIANS, ORDER = 4, SAFETY = 0.9;
const LARGEST_GROWTH = 2.5, LARGEST_CUT = 0.2, SMALLEST_ERROR = 1e-4, FIRST_STEP = 1e-3, LARGEST_STEP = 0.02, SMALLEST_STEP = 1e-10;
const MOST_STEPS = 20000, FULL_THROTTLE = 1, SINK_SCALE = 4, TURN_SCALE = 4, MODES_LAST = 2, ALIKE = 0.03, MOVED = 1e-3, NOISE = 1e-6, QUIET = 1e-2, BLOWN_UP = 10, SAME_STEP = 1.01, PROJECT_EVERY = 4, SILENT_MOVE = 3.5e-4;
// Drift (m, m/s) that is little: only every fourth step is put back onto the constraints then.
const LITTLE_DRIFT = [1e-8, 1e-6], { position_drift: DRIFTED, speed_drift: DRIFTING } = KERNELS.ROWS.project;
// Run again, finer, where the steps let expect more error than is promised.
const KEPT_OF_SUM = 0.2, TUMBLING = 3, MANY_LANDINGS = 5, FINER = 0.1, FINEST = 0.02, promised = (tolerance) => (tolerance < 1e-6 ? 1e-5 : 1e-3);
const ofEnds = (one, other) => ENDS.map((end) => [`${end}_${one}`, `${end}_${other}`]);
const SWITCHES = [...ofEnds("touchdown", "lift_off"), ...ofEnds("droop_stop_reached", "droop_stop_left"), ...ofEnds("bump_stop_reached", "bump_stop_left"),
  ["flips_back", null], ["flips_forward", null], ...Array(4).fill([null, null]), ...ofEnds("coil_loose", "coil_taut")];

/** Spin of wheels that nothing turns: their slip is what their rolling resistance needs. */
function freeSpin(values, state, k, load, travel) {
  const own = (name) => values[`${ENDS[k]}_${name}`], height = poseWheelHeight(values, state, k), lever = leverOf(values, state, k, load);
  const scale = slipScale(values, ENDS[k], travel, load), share = ((own("rolling_resistance") / own("grip")) * height) / lever;
  let spin = travel / lever;
  for (let n = 0; n < 5; n++) spin = (travel - scale * Math.atanh(share * Math.tanh((spin * height) / own("slip_speed")))) / lever;
  return spin;
}

/** The steady motion a punch starts from: {state, throttle}, or {failed: key of the words why}. */
function steadyStart(standing, grade, speed) {
  // Axles that turn at different speeds start from the attitude of equal ones.
  const even = standing.even || standing, state = followed(even, grade), { values } = standing;
  if (state === null) return { failed: "no_start" };
  const o = even.equilibrium.outputs(state, grade);
  if (Math.min(o[0], o[1]) <= 0) return { failed: "tips_first" };
  const motion = steadyEquilibrium(even.equilibrium, speed), { start, share } = motion.guess(state, grade);
  if (Math.abs(share) >= 1) return { failed: "slides_first" };
  const solved = newton(motion, start, grade);
  if (solved.status !== "converged") return { failed: "no_start" };
  const whole = new Array(SIZE).fill(0), s = solved.state, spin = s[12];
  for (let k = 0; k < 8; k++) whole[k + 1] = s[k];
  const back0 = wheelX(values, "rear", s[2], s[4]);
  for (const k of [0, 3, 6]) whole[k] -= back0;
  for (const k of [9, 12, 15]) whole[k] = speed;
  const loads = even.equilibrium.outputs(withLast(s, 0), grade);
  ENDS.forEach((end, k) => {
    const ratio = k ? values.spin_ratio : 1;
    whole[18 + k] = values[`${end}_driven`] ? ratio * spin : freeSpin(values, s, k, loads[k], speed);
  });
  const seen = KERNELS.observe(whole.slice(0, PLACES), speedsOf(whole), 0, 1, 0, grade, inOrder(values));
  const moments = ENDS.map((end, k) => seen[TRACTION + k] * poseWheelHeight(values, s, k) + seen[COUPLE + k]);
  const torque = values.geared ? moments[0] + values.spin_ratio * moments[1] : moments[0] * values.rear_motor + moments[1] * values.front_motor;
  const driven = values.rear_motor * whole[18] + values.front_motor * whole[19];
  const throttle = torque / values.stall_torque + driven / values.no_load_speed;
  if (Math.abs(throttle) > FULL_THROTTLE) return { failed: "too_weak" };
  return { state: whole, throttle };
}

/** The vehicle moving under a throttle that is linear between points [[time, value], ...]. */
function vehicleMotion(values, weight, wheelbase, grade, points) {
  const parameters = inOrder(values), speed = Math.sqrt(values.gravity * wheelbase), scales = [];
  for (let b = 0; b < 3; b++) scales.push(wheelbase, wheelbase, 1);
  for (let b = 0; b < 3; b++) scales.push(speed, speed, speed / wheelbase);
  scales.push((TURN_SCALE * speed) / wheelbase, (TURN_SCALE * speed) / wheelbase);
  let piece = [0, points[0][1], 0];
  const throttleAt = (t) => piece[1] + piece[2] * (t - piece[0]);
  const of = (name) => ENDS.map((end) => values[`${end}_${name}`]), tyres = of("tyre_stiffness"), stops = of("stop_stiffness"), damping = of("stop_damping");
  // What errors of an axle's height and of its rate do to its load, as shares of the weight.
  const forms = of("mass").flatMap((mass, k) => {
    const swing = Math.sqrt(tyres[k] * mass), row = 4 + 3 * k;
    scales[row] = Math.min(wheelbase, (SINK_SCALE * weight) / tyres[k]);
    scales[row + PLACES] = Math.min(speed, weight / swing);
    return [[row, tyres[k] / weight], [row + PLACES, swing / weight]];
  });
  const contact = (depth, raw, k) => depth <= 0 ? depth : depth + Math.min(0, (raw / k - depth) * Math.min(1, depth / TOUCH_DEPTH));
  const whole = (y, out) => { const r = y.slice(PLACES, 2 * PLACES); for (let k = 0; k < POWERED; k++) r.push(out[k]); r.push(Math.abs(out[SPEEDS])); return r; };
  return {
    values, parameters, weight, wheelbase, grade, weights: scales.map((s) => 1 / s),
    watched: (error) => Math.max(...forms.map(([row, worth]) => Math.abs(worth * error[row]))),
    corners() { return points.length < 2 ? [] : [...new Set(points.map((p) => p[0]))]; },
    enter(start, end) {
      const middle = 0.5 * (start + end);
      let k = 0;
      while (k < points.length && points[k][0] <= middle) k++;
      if (k === 0) piece = [start, points[0][1], 0];
      else if (k === points.length) piece = [start, points[k - 1][1], 0];
      else {
        const [t0, v0] = points[k - 1], [t1, v1] = points[k], slope = (v1 - v0) / (t1 - t0);
        piece = [start, v0 + slope * (start - t0), slope];
      }
    },
    throttleAt,
    rates(t, y) { return whole(y, KERNELS.rates(y, speedsOf(y), throttleAt(t), 1, 0, grade, parameters)); },
    stiffRates(t, y) {
      const out = KERNELS.stiff_rates(y, speedsOf(y), throttleAt(t), 1, 0, grade, parameters);
      return { rates: whole(y, out), slopes: [out[SLOPES], out[SLOPES + 1]], modes: stiffModes(out[SLOPES], out[SLOPES + 1], ...[SLIPS, SLIPS + SPEEDS, PULLS, PULLS + SPEEDS].map((k) => out.slice(k, k + SPEEDS))) };
    },
    observe(t, y, throttle) { return KERNELS.observe(y, speedsOf(y), throttle, 1, 0, grade, parameters); },
    /** One correction onto the constraints, and the drift found before it. */
    corrected(y) {
      const out = KERNELS.project(y, speedsOf(y), parameters), state = y.slice(), worst = ([from, to]) => Math.max(...out.slice(from, to).map(Math.abs));
      for (let k = 0; k < STEERED; k++) state[k] = out[k];
      return { state, drift: [worst(DRIFTED), worst(DRIFTING)] };
    },
    project(y) { return this.corrected(y).state; },
    switches(y) {
      const o = KERNELS.switches(y, speedsOf(y), parameters), pitch = -y[2];
      const stop = (depth, sense, k) => contact(depth, stops[k] * depth + sense * damping[k] * o[10 + k], stops[k]);
      return [contact(o[0], o[2], tyres[0]), contact(o[1], o[3], tyres[1]), stop(o[4], 1, 0), stop(o[5], 1, 1), stop(o[6], -1, 0), stop(o[7], -1, 1),
        pitch - FLIP_PITCH, -pitch - FLIP_PITCH, o[0] - TOUCH_DEPTH, o[1] - TOUCH_DEPTH, Math.max(o[4], o[6]) - TOUCH_DEPTH, Math.max(o[5], o[7]) - TOUCH_DEPTH, o[8], o[9]];
    },
  };
}

/** Modes of the slip (rank 2): decays, and rows left and right over the eleven speeds. */
function stiffModes(s0, s1, row0, row1, pull0, pull1) {
  const first = Math.sqrt(Math.max(s0, 0)), second = Math.sqrt(Math.max(s1, 0));
  const a = s0 * dot(row0, pull0), c = s1 * dot(row1, pull1), b = 0.5 * first * second * (dot(row0, pull1) + dot(row1, pull0));
  const mean = 0.5 * (a + c), half = 0.5 * (a - c), radius = Math.hypot(half, b), turn = 0.5 * Math.atan2(b, half);
  const cosine = Math.cos(turn), sine = Math.sin(turn), t = [[cosine * first, sine * second], [-sine * first, cosine * second]];
  const mix = (u, v) => t.map(([p, q]) => u.map((x, k) => p * x + q * v[k]));
  // A mode that outlasts the longest step is no stiffer than what is integrated as it is.
  const decay = [mean + radius, mean - radius].map((d) => d * LARGEST_STEP < 1 ? 0 : d), right = mix(row0, row1);
  return { decay, left: mix(pull0, pull1), right: right.map((row, i) => decay[i] ? row : row.map(() => 0)) };
}

/** phi_1 to phi_4 at z <= 0. */
function phi(z) {
  if (z > -0.5) {
    let term = 1 / 24, total = term;
    for (let j = 1; j < 14; j++) { term *= z / (4 + j); total += term; }
    const third = z * total + 1 / 6, second = z * third + 0.5;
    return [z * second + 1, second, third, total];
  }
  const first = (Math.exp(z) - 1) / z, second = (first - 1) / z, third = (second - 0.5) / z;
  return [first, second, third, (third - 1 / 6) / z];
}

const rightOf = (m, v) => [0, 1].map((i) => { const r = m.right[i]; let s = 0; for (let k = 0; k < SPEEDS; k++) s += r[k] * v[PLACES + k]; return s; });
function addLeft(m, target, c0, c1) { const [p, q] = m.left; for (let k = 0; k < SPEEDS; k++) target[PLACES + k] += c0 * p[k] + c1 * q[k]; }

/** One step tried: new state, last stage and its rates, phi. */
function attemptStep(motion, time, y, h, f, m) {
  const n = SIZE, half = 0.5 * h, halves = m.decay.map((d) => phi(-half * d)), whole = m.decay.map((d) => phi(-h * d)), along = rightOf(m, f);
  const second = new Array(n), third = new Array(n), base = new Array(n), fourth = new Array(n), fresh = new Array(n);
  for (let k = 0; k < n; k++) second[k] = y[k] + half * f[k];
  addLeft(m, second, -half * half * halves[0][1] * along[0], -half * half * halves[1][1] * along[1]);
  for (let k = 0; k < PLACES; k++) second[k] += 0.5 * half * (second[k + PLACES] - y[k + PLACES]);
  const slopeAt = (rates, place) => {
    const s = new Array(n), away = new Array(n);
    for (let k = 0; k < n; k++) { s[k] = rates[k] - f[k]; away[k] = place[k] - y[k]; }
    const r = rightOf(m, away);
    addLeft(m, s, r[0], r[1]);
    return s;
  };
  const s2 = slopeAt(motion.rates(time + half, second), second), r2 = rightOf(m, s2);
  for (let k = 0; k < n; k++) third[k] = second[k] + (k < PLACES ? 0 : half * s2[k]);
  addLeft(m, third, -h * half * halves[0][2] * r2[0], -h * half * halves[1][2] * r2[1]);
  const s3 = slopeAt(motion.rates(time + half, third), third), r3 = rightOf(m, s3);
  for (let k = 0; k < n; k++) base[k] = y[k] + h * f[k];
  addLeft(m, base, -h * h * whole[0][1] * along[0], -h * h * whole[1][1] * along[1]);
  for (let k = 0; k < n; k++) fourth[k] = base[k] + h * s3[k];
  addLeft(m, fourth, -2 * h * h * whole[0][2] * r3[0], -2 * h * h * whole[1][2] * r3[1]);
  const lastRates = motion.rates(time + h, fourth), s4 = slopeAt(lastRates, fourth), linearPart = new Array(n), curved = new Array(n);
  for (let k = 0; k < n; k++) {
    const middle = s2[k] + s3[k];
    linearPart[k] = 2 * middle - s4[k];
    curved[k] = 4 * (s4[k] - middle);
    fresh[k] = base[k] + h * (0.5 * linearPart[k] + curved[k] / 6);
  }
  const rl = rightOf(m, linearPart), rc = rightOf(m, curved);
  addLeft(m, fresh, ...[0, 1].map((i) => -h * h * (whole[i][2] * rl[i] + whole[i][3] * rc[i])));
  return { state: fresh, lastStage: fourth, lastRates, phi: whole };
}

/** State at a share (0..1) of a step: quintic for coordinates, cubic for the rest. */
function between(share, h, a, b, fa, fb) {
  const s = share, r = 1 - s, out = new Array(SIZE);
  for (let k = 0; k < SIZE; k++) {
    const change = b[k] - a[k];
    out[k] = a[k] + s * s * (3 - 2 * s) * change + h * s * r * (r * fa[k] - s * fb[k]);
    if (k < PLACES) {
      const startMissing = h * h * fa[k + PLACES] - (6 * change - h * (4 * fa[k] + 2 * fb[k]));
      const endMissing = h * h * fb[k + PLACES] - (-6 * change + h * (2 * fa[k] + 4 * fb[k]));
      out[k] += 0.5 * s * s * r * r * (r * startMissing + s * endMissing);
    }
  }
  return out;
}

/** Share of a step at which switch k leaves its side (Illinois method). */
function switchRoot(at, k, high, value) {
  let low = 0, lowValue = at(0)[k], side = 0;
  if ((lowValue > 0) === (value > 0)) return 0;
  for (let i = 0; i < 60 && high - low >= 1e-9; i++) {
    let share = high - (value * (high - low)) / (value - lowValue);
    if (!(low < share && share < high)) share = 0.5 * (low + high);
    const now = at(share)[k];
    if (now === 0) return share;
    if ((now > 0) === (value > 0)) { high = share; value = now; if (side > 0) lowValue *= 0.5; side = 1; }
    else { low = share; lowValue = now; if (side < 0) value *= 0.5; side = -1; }
  }
  return high;
}

/** Integrate a motion; {times, states, left, right, events, endedBy, failed}. */
function integrate(motion, start, startTime, endTime, tolerance) {
  const weights = motion.weights.map((w) => w / (tolerance * Math.sqrt(STEERED)));
  const run = { times: [startTime], states: [start], left: [], right: [], events: [], endedBy: null, failed: null, steps: 0, errorSum: 0 };
  let step = FIRST_STEP, lastError = 1, time = startTime, y = motion.project(start), age = 0, modesLast = 1, slopes = [], uncorrected = 0, driftsLittle = false, rawError = 1, lastStep = 0, stableStep;
  run.states[0] = y;
  const corners = [...motion.corners().filter((c) => c > startTime && c < endTime), endTime];
  motion.enter(startTime, corners[0]);
  // Two steps share their modes where the slopes of the slips hardly changed.
  const renewed = (t, state) => {
    const next = motion.stiffRates(t, state);
    if (!next.rates.every(Number.isFinite)) return next;
    const now = next.slopes, alike = slopes.length === now.length && now.every((s, k) => Math.abs(s - slopes[k]) <= ALIKE * Math.max(...now));
    age = 0;
    modesLast = alike ? MODES_LAST : 1;
    slopes = now;
    return next;
  };
  let at = renewed(time, y), nodes = [null, motion.switches(y)];
  const now = nodes[1], ahead = now.includes(0) ? motion.switches(y.map((v, k) => v + 1e-7 * at.rates[k])) : now;
  const positive = now.map((v, k) => (v === 0 ? ahead[k] : v) > 0);
  const size = (error) => Math.hypot(...weights.map((w, k) => w * error[k]));
  const nextOf = (t, state, fresh) => (!fresh && age < modesLast ? { rates: motion.rates(t, state), modes: at.modes } : renewed(t, state));
  const attempt = (h, fresh = false) => {
    const tried = attemptStep(motion, time, y, h, at.rates, at.modes), left = driftsLittle && uncorrected < PROJECT_EVERY - 1 && !fresh;
    const { state, drift } = left ? { state: tried.state, drift: null } : motion.corrected(tried.state), next = nextOf(time + h, state, fresh);
    const m = at.modes, defect = new Array(SIZE), away = new Array(SIZE);
    for (let k = 0; k < SIZE; k++) { defect[k] = tried.lastRates[k] - next.rates[k]; away[k] = tried.lastStage[k] - state[k]; }
    const turned2 = rightOf(m, away);
    addLeft(m, defect, turned2[0], turned2[1]);
    const r = rightOf(m, defect);
    addLeft(m, defect, -2 * h * tried.phi[0][2] * r[0], -2 * h * tried.phi[1][2] * r[1]);
    const erred = defect.map((v) => (h / 6) * v), error = size(erred);
    return { error: Number.isFinite(error) && next.rates.every(Number.isFinite) ? error : Infinity, state, next, drift, watched: motion.watched(erred) };
  };
  const note = (passed, when, state) => {
    let told = false;
    for (const k of passed.switches) {
      positive[k] = !positive[k];
      const name = SWITCHES[k][positive[k] ? 0 : 1];
      if (name) { run.events.push({ time: when, name, state }); told = true; }
      if ((k === 6 || k === 7) && positive[k]) run.endedBy = SWITCHES[k][0];
    }
    return told;
  };
  // Halfway is looked at where a switch may have passed and returned.
  const mayDip = (a, b, c) => a.some((v, k) => 4 * Math.min(Math.abs(b[k]), Math.abs(c[k])) < Math.max(Math.abs(c[k] - b[k]), Math.abs(b[k] - v)));
  // Kinks without a name count where a step goes over them by more than SILENT_MOVE.
  const most = tolerance > 1e-6 ? SILENT_MOVE : 0, changedIn = (found) => [...found.keys()].filter((k) => found[k] > 0 !== positive[k]);
  const counting = (from, found) => changedIn(found).filter((k) => SWITCHES[k][0] || Math.abs(found[k] - from[k]) > most);
  const firstPassed = (h, tried) => {
    const stateAt = (share) => share === 1 ? tried.state : between(share, h, y, tried.state, at.rates, tried.next.rates);
    const values = (share) => motion.switches(stateAt(share));
    const middle = () => motion.switches(y.map((v, k) => 0.5 * (v + tried.state[k]) + 0.125 * h * (at.rates[k] - tried.next.rates[k])));
    const earliest = (changed, share, exact) => {
      const roots = changed.map((k) => switchRoot(values, k, share, exact[k])), first = Math.min(...roots);
      return { share: first, switches: changed.filter((k, i) => roots[i] <= first + 1e-7) };
    };
    const [before, here] = nodes, last = values(1), from = here || values(0), all = changedIn(last), changed = counting(from, last);
    nodes = [here, last];
    const early = all.length || !before || !here || mayDip(before, here, last) ? counting(from, middle()) : [];
    if (!early.length && !changed.length) {
      for (const k of all) positive[k] = !positive[k];
      return null;
    }
    nodes = [null, null];
    return early.length ? earliest(early, 0.5, values(0.5)) : earliest(changed, 1, last);
  };
  for (const corner of corners) {
    if (run.endedBy) break;
    motion.enter(time, corner);
    at = renewed(time, y);
    step = Math.min(step, FIRST_STEP);
    lastError = 1;
    stableStep = LARGEST_STEP;
    if (run.right.length) {
      const before = run.right[run.right.length - 1], jump = at.rates.map((v, k) => v - before[k]);
      if (size(jump) > 1) {
        // What the jump moves now relaxes, and nodes must resolve that.
        const moved = rightOf(at.modes, jump).map(Math.abs), fastest = Math.max(...at.modes.decay.filter((d, i) => moved[i] >= MOVED * Math.max(...moved)));
        step = Math.min(step, Math.max(1 / (fastest + 1 / step), SMALLEST_STEP));
      }
    }
    while (time < corner && !run.endedBy) {
      if (++run.steps > MOST_STEPS || step < SMALLEST_STEP) { run.failed = "not_followed"; return run; }
      const remaining = corner - time;
      let h = step, goal = null;
      if (step >= remaining * (1 - 1e-12)) { h = remaining; goal = corner; } else if (2 * step > remaining) h = 0.5 * remaining;
      let firstTry = true, tried = attempt(h);
      while (tried.error > 1) {
        firstTry = false;
        const factor = tried.error < Infinity ? SAFETY * tried.error ** (-1 / ORDER) : 0;
        h *= Math.max(LARGEST_CUT, factor);
        goal = null;
        if (h < SMALLEST_STEP) { run.failed = "not_followed"; return run; }
        tried = attempt(h);
      }
      // A small error that grows tenfold is rounding, blown up by steps beyond what is stable.
      if (NOISE < tried.error && tried.error < QUIET && tried.error > BLOWN_UP * rawError && h <= SAME_STEP * lastStep) stableStep = Math.max(0.5 * h, 0.25 * LARGEST_STEP);
      rawError = tried.error, lastStep = h;
      const error = Math.max(tried.error, SMALLEST_ERROR);
      let proposal = h * Math.min(firstTry ? LARGEST_GROWTH : 1, SAFETY * error ** (-0.7 / ORDER) * lastError ** (0.3 / ORDER));
      if (goal !== null) proposal = Math.max(proposal, step);
      lastError = error;
      age++;
      let passed = firstPassed(h, tried);
      if (passed && passed.share * h > SMALLEST_STEP) {
        if (passed.share < 1) {
          h *= passed.share;
          goal = null;
          tried = attempt(h, true);
          if (!(tried.error < Infinity)) { run.failed = "not_followed"; return run; }
        }
      } else if (passed) { note(passed, time, y); if (run.endedBy) break; passed = null; }
      run.left.push(at.rates);
      run.right.push(tried.next.rates);
      run.errorSum += tried.watched;
      uncorrected++;
      if (tried.drift) { uncorrected = 0; driftsLittle = tried.drift.every((found, k) => found <= LITTLE_DRIFT[k]); }
      time = goal === null ? time + h : goal;
      y = tried.state;
      at = tried.next;
      run.times.push(time);
      run.states.push(y);
      step = Math.min(proposal, stableStep);
      if (passed && note(passed, time, y)) {
        step = Math.min(step, FIRST_STEP);
        stableStep = LARGEST_STEP;
      }
    }
  }
  return run;
}

/** State of a run at a time, moved onto the constraints. */
function stateAt(motion, run, time) {
  if (run.times.length < 2) return run.states[0];
  let y = betweenNodes(run, time);
  for (let k = 0; k < 3; k++) y = motion.project(y);
  return y;
}

/** Spells (start, end) in which an axle carries nothing. */
function airborneSpells(motion, run, end, until) {
  const k = ENDS.indexOf(end), spells = [];
  let since = motion.switches(run.states[0])[k] <= 0 ? run.times[0] : null;
  for (const event of run.events) {
    if (event.name === `${end}_lift_off` && event.time <= until) since = event.time;
    else if (event.name === `${end}_touchdown` && since !== null) { spells.push([since, Math.min(event.time, until)]); since = null; }
  }
  if (since !== null && since <= until) spells.push([since, until]);
  return spells;
}

const GAP_S = 2e-3, SETTLED_S = 0.3, LONGEST_S = 5, QUIET_LOAD = 0.03, QUIET_PITCH = RADIANS, QUIET_ACCELERATION = 1, SLIDING = 3;

function settled(motion, run) {
  const end = run.times[run.times.length - 1], corners = motion.corners();
  if (end < SETTLED_S || (corners.length && end - Math.max(...corners) < SETTLED_S)) return false;
  if (run.events.some((e) => e.time > end - SETTLED_S && /(lift_off|touchdown)$/.test(e.name))) return false;
  const last = run.states[run.states.length - 1], s = motion.switches(last);
  if (Math.min(s[0], s[1]) <= 0) return false;
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity], throttle = motion.throttleAt(end);
  let seen = null, y = null;
  const from = Math.max(run.times[0], end - SETTLED_S), count = Math.ceil((end - from) / 0.005 - 1e-9);
  for (let k = 0; k < count; k++) {
    y = betweenNodes(run, from + 0.005 * k);
    seen = motion.observe(0, y, throttle);
    [seen[LOAD], seen[LOAD + 1], y[2]].forEach((v, i) => { low[i] = Math.min(low[i], v); high[i] = Math.max(high[i], v); });
  }
  const turning = y[9] > 0 && seen[0] <= -QUIET_ACCELERATION && y[9] + seen[0] * LONGEST_S <= 0;
  return Math.max(high[0] - low[0], high[1] - low[1]) / motion.weight <= QUIET_LOAD && high[2] - low[2] <= QUIET_PITCH && !turning;
}

function betweenNodes(run, time) {
  let low = 0, high = run.times.length - 1;
  while (high - low > 1) { const mid = (low + high) >> 1; if (run.times[mid] <= time) low = mid; else high = mid; }
  const h = run.times[low + 1] - run.times[low];
  return between((time - run.times[low]) / h, h, run.states[low], run.states[low + 1], run.left[low], run.right[low]);
}

/** A punch from a steady crawl: {run, motion, throttle, outcome, airborne: [rear, front] s, gap: of the front wheels, m}, or {failed: key of the words why}. */
function punch(standing, { grade, throttle = 1, rise = 0.05, start = 0.1, duration = 1, speed = CREEP_SPEED, tolerance = 1.5e-5 }) {
  const begin = steadyStart(standing, grade, speed);
  if (begin.failed) return begin;
  const points = [[start, begin.throttle], [start + rise, throttle]];
  const motion = vehicleMotion(standing.values, standing.weight, standing.wheelbase, grade, points);
  let run = integrate(motion, begin.state, 0, duration, tolerance);
  if (run.failed) return run;
  const landings = run.events.filter((e) => /down$/.test(e.name)).length, hopping = Math.max(1, (landings / MANY_LANDINGS) ** 2);
  const expected = KEPT_OF_SUM * run.errorSum * hopping * (run.endedBy ? TUMBLING : 1), allowed = promised(tolerance);
  if (expected > allowed) {
    const finer = tolerance * Math.max(FINEST, (FINER * allowed) / expected), again = integrate(motion, begin.state, 0, duration, finer);
    if (!again.failed) { run = again; tolerance = finer; }
  }
  let whole = run;
  while (!whole.endedBy && whole.times[whole.times.length - 1] < LONGEST_S && !settled(motion, whole)) {
    const from = whole.times[whole.times.length - 1];
    const later = integrate(motion, whole.states[whole.states.length - 1], from, Math.min(LONGEST_S, from + SETTLED_S), tolerance);
    if (later.failed) return later;
    whole = { ...later, times: [...whole.times, ...later.times.slice(1)], states: [...whole.states, ...later.states.slice(1)],
      left: [...whole.left, ...later.left], right: [...whole.right, ...later.right], events: [...whole.events, ...later.events], steps: whole.steps + later.steps };
  }
  const end = whole.times[whole.times.length - 1], last = whole.states[whole.states.length - 1], s = motion.switches(last);
  const slip = Math.max(...ENDS.map((e) => standing.values[`${e}_slip_speed`]));
  const lifted = ENDS.some((e) => airborneSpells(motion, whole, e, end).length);
  const outcome = whole.endedBy ? whole.endedBy : Math.min(s[0], s[1]) <= 0 ? "airborne_at_end" : last[9] < -SLIDING * slip ? "slides_back"
    : lifted ? "lifts_and_returns" : "stays_loaded";
  const until = run.times[run.times.length - 1];
  const airborne = ENDS.map((e) => airborneSpells(motion, run, e, until).reduce((t, [a, b]) => t + b - a, 0));
  return { run, motion, throttle: begin.throttle, outcome, airborne, gap: airGap(motion, run), points };
}

/** Most air under the front wheels, m; 0 where they stay down. */
function airGap(motion, run) {
  const { values } = motion, until = run.times[run.times.length - 1];
  let most = 0;
  for (const [from, to] of airborneSpells(motion, run, "front", until)) {
    for (let k = 0, n = Math.max(1, Math.ceil((to - from) / GAP_S)); k <= n; k++) {
      const y = betweenNodes(run, from + ((to - from) * k) / n);
      most = Math.max(most, wheelHeight(values, "front", y[7], y[8]) - values.front_tyre_radius);
    }
  }
  return most;
}

/** What a picture of one moment needs: time, state, loads (rear, front), pitch. */
function moment(result, time) {
  const y = stateAt(result.motion, result.run, time), [[t0, v0], [t1, v1]] = result.points;
  const throttle = time < t0 ? v0 : time >= t1 ? v1 : v0 + ((v1 - v0) * (time - t0)) / (t1 - t0);
  const seen = result.motion.observe(time, y, throttle);
  return { time, state: y, rear_load_n: seen[LOAD], front_load_n: seen[LOAD + 1], nose_up_pitch: -y[2] };
}
