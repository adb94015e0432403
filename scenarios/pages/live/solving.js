// Small solvers with the rules, caps and tolerances of those of the command line, against which tests hold every function.
const SMALLEST_DAMPING = 2 ** -12, JUMPS = 4, JUMP_BELOW = 2 ** -5, NEAR = 0.5;
const LARGEST_TURN = 0.35, KINK_STEP = 5e-3, TURN_STEP = 1e-4, STRAY = 10, REGION_STEP = 2e-3, CORRECTIONS = 8, PATIENT_CORRECTIONS = 60;
const SMALLEST_CURVE_DAMPING = 2 ** -10, TIGHT = 1e-11, LOOSE = 1e-7, ROUNDING = 1e-9;

/** Factor a square matrix in place (rows of arrays, partial pivoting); its determinant's sign, 0 where singular. */
function factor(rows) {
  const n = rows.length, order = [];
  let sign = 1;
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(rows[i][k]) > Math.abs(rows[best][k])) best = i;
    if (!(Math.abs(rows[best][k]) > 0)) return { order, sign: 0 };
    if (best !== k) { [rows[k], rows[best]] = [rows[best], rows[k]]; sign = -sign; }
    order.push(best);
    const pivot = rows[k], value = pivot[k];
    if (value < 0) sign = -sign;
    for (let i = k + 1; i < n; i++) {
      const row = rows[i];
      if (row[k] === 0) continue;
      const share = row[k] /= value;
      for (let j = k + 1; j < n; j++) row[j] -= share * pivot[j];
    }
  }
  return { order, sign };
}

/** Solution for one right side; `rows` and `order` from `factor`. */
function back(rows, order, right) {
  const x = right.slice(), n = rows.length;
  for (let k = 0; k < n; k++) {
    const b = order[k];
    if (b !== k) { const t = x[k]; x[k] = x[b]; x[b] = t; }
  }
  for (let i = 1; i < n; i++) { let s = x[i]; const row = rows[i]; for (let j = 0; j < i; j++) s -= row[j] * x[j]; x[i] = s; }
  for (let i = n - 1; i >= 0; i--) { let s = x[i]; const row = rows[i]; for (let j = i + 1; j < n; j++) s -= row[j] * x[j]; x[i] = s / row[i]; }
  return x;
}

/** x of A x = b, or null where A is singular; A is left as it is. */
function linear(matrix, right) {
  const rows = matrix.map((row) => row.slice()), { order, sign } = factor(rows);
  return sign === 0 ? null : back(rows, order, right);
}

function determinantSign(matrix) { return factor(matrix.map((row) => row.slice())).sign; }

/** Root by inverse quadratic interpolation kept inside a shrinking bracket (T. R. Chandrupatla, 1997), or null. */
function bracketedRoot(f, a, b, fa, fb, tolerance = 1e-13) {
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(fa * fb < 0)) return null;
  const width = tolerance * Math.abs(b - a);
  let t = 0.5, c, fc;
  for (let k = 0; k < 100; k++) {
    const x = a + t * (b - a), fx = f(x);
    if (!Number.isFinite(fx)) return null;
    if ((fx > 0) === (fa > 0)) { c = a; fc = fa; } else { c = b; b = a; fc = fb; fb = fa; }
    a = x; fa = fx;
    if (fa === 0 || Math.abs(b - a) <= 2 * width) return Math.abs(fa) < Math.abs(fb) ? a : b;
    const xi = (a - b) / (c - b), phi = (fa - fb) / (fc - fb);
    t = phi * phi < xi && (1 - phi) ** 2 < 1 - xi
      ? (fa / (fb - fa)) * (fc / (fb - fc)) + ((c - a) / (b - a)) * (fa / (fc - fa)) * (fb / (fc - fb)) : 0.5;
    const edge = width / Math.abs(b - a);
    t = Math.min(1 - edge, Math.max(edge, t));
  }
  return null;
}

function worst(values, weights) {
  let most = 0;
  for (let k = 0; k < values.length; k++) { const v = Math.abs(values[k] * weights[k]); if (!(v <= most)) most = v; }
  return most;
}

/** Damped Newton with capped steps; `equilibrium` has evaluate, accept, rows (1/scale), caps (1/step limit). */
function newton(equilibrium, start, parameter, tolerance = 1e-11, most = 40) {
  let state = start.slice(), found = equilibrium.evaluate(state, parameter), jumps = JUMPS, count = 1;
  let norm = worst(found.residual, equilibrium.rows), status = "out_of_iterations";
  for (let k = 0; k < most; k++) {
    if (!Number.isFinite(norm)) { status = "not_finite"; break; }
    if (norm <= tolerance) { status = "converged"; break; }
    const step = linear(found.jacobian, found.residual);
    if (step === null) { status = "singular"; break; }
    const excess = worst(step, equilibrium.caps);
    if (!Number.isFinite(excess)) { status = "not_finite"; break; }
    let damping = excess <= 1 ? 1 : 1 / excess, full = null, taken = null;
    while (damping >= SMALLEST_DAMPING) {
      const trial = state.map((v, i) => v - damping * step[i]), next = equilibrium.evaluate(trial, parameter);
      count++;
      const size = worst(next.residual, equilibrium.rows), tried = { state: trial, found: next, norm: size };
      full = full || tried;
      taken = tried;
      if (size < norm || size <= tolerance || (excess > 1 && size < 2 * norm)) break;
      damping *= 0.5;
      if (damping < JUMP_BELOW && jumps > 0 && excess < NEAR && Number.isFinite(full.norm)) { taken = full; jumps--; break; }
    }
    if (damping < SMALLEST_DAMPING) { status = "diverged"; break; }
    ({ state, found, norm } = taken);
  }
  let objection = null;
  if (status === "converged") { objection = equilibrium.accept(state, parameter); if (objection) status = "rejected"; }
  return { status, objection, state, parameter, norm, jacobian: found.jacobian, byParameter: found.byParameter, count };
}

// The curve of equilibria by pseudo-arclength (H. B. Keller, 1977): points carry state, parameter, unit tangent in scaled
// space, arclength, and the sign of the determinant of the Jacobian by the state.
function scaledRows(equilibrium, found) {
  return found.jacobian.map((row, i) => {
    const scaled = row.map((v, j) => v * equilibrium.scales[j] * equilibrium.rows[i]);
    scaled.push(found.byParameter[i] * equilibrium.rows[i]);
    return scaled;
  });
}
const withoutLast = (rows) => rows.map((row) => row.slice(0, -1));
const dot = (a, b) => { let s = 0; for (let k = 0; k < a.length; k++) s += a[k] * b[k]; return s; };
const unit = (v) => { const size = Math.sqrt(dot(v, v)); return v.map((x) => x / size); };
const sense = (point) => Math.sign(point.orientation * point.tangent[point.tangent.length - 1]);

function tangentAt(equilibrium, state, parameter, along) {
  const scaled = scaledRows(equilibrium, equilibrium.evaluate(state, parameter));
  const right = new Array(state.length + 1).fill(0);
  right[state.length] = 1;
  const tangent = linear([...scaled, along], right);
  return { scaled, tangent: tangent && unit(tangent) };
}

function startCurve(equilibrium, solution, direction) {
  const along = new Array(solution.state.length + 1).fill(0);
  along[solution.state.length] = direction;
  const { scaled, tangent } = tangentAt(equilibrium, solution.state, solution.parameter, along);
  return { state: solution.state, parameter: solution.parameter, tangent, arclength: 0, orientation: determinantSign(withoutLast(scaled)) };
}

/** Corrector on a hyperplane at a distance from `origin`, or null. */
function correct(equilibrium, origin, length, { hint = null, guess = null, tolerance = TIGHT, patient = false } = {}) {
  const n = origin.state.length, scales = [...equilibrium.scales, 1], start = [...origin.state, origin.parameter];
  let normal = origin.tangent, distance = length;
  if (hint && hint.arclength > origin.arclength) {
    const chord = [...hint.state, hint.parameter].map((v, k) => (v - start[k]) / scales[k]), reach = Math.sqrt(dot(chord, chord));
    normal = chord.map((v) => v / reach);
    distance = (length / (hint.arclength - origin.arclength)) * reach;
  }
  let place = guess || start.map((v, k) => v + distance * normal[k] * scales[k]);
  let base = place, step = new Array(n + 1).fill(0), previous = Infinity, damping = 1;
  const most = patient ? PATIENT_CORRECTIONS : CORRECTIONS;
  for (let k = 0; k < most; k++) {
    const found = equilibrium.evaluate(place.slice(0, n), place[n]);
    const right = found.residual.map((v, i) => v * equilibrium.rows[i]);
    let along = -distance;
    for (let i = 0; i <= n; i++) along += (normal[i] * (place[i] - start[i])) / scales[i];
    right.push(along);
    let norm = 0;
    for (const v of right) if (!(Math.abs(v) <= norm)) norm = Math.abs(v);
    if (patient && !(norm < previous) && previous > ROUNDING && damping > SMALLEST_CURVE_DAMPING) {
      damping *= 0.5;
      place = base.map((v, i) => v - damping * step[i]);
      continue;
    }
    if (!Number.isFinite(norm) || norm > 4 * previous + 1e-9) return null;
    const scaled = scaledRows(equilibrium, found), rows = [...scaled.map((r) => r.slice()), normal.slice()], { order, sign } = factor(rows);
    if (sign === 0) return null;
    if (norm <= tolerance || (Math.max(norm, previous) <= ROUNDING && norm > 0.25 * previous)) {
      const end = new Array(n + 1).fill(0);
      end[n] = 1;
      return { state: place.slice(0, n), parameter: place[n], tangent: unit(back(rows, order, end)), arclength: origin.arclength + length,
        orientation: determinantSign(withoutLast(scaled)) };
    }
    previous = norm; damping = 1; base = place;
    step = back(rows, order, right).map((v, i) => v * scales[i]);
    place = base.map((v, i) => v - step[i]);
  }
  return null;
}

/** Point past a kink at which the curve turns back, or null. */
function turned(equilibrium, point, step) {
  const n = point.state.length, scales = [...equilibrium.scales, 1];
  const ahead = [...point.state, point.parameter].map((v, k) => v + step * point.tangent[k] * scales[k]);
  let { scaled, tangent } = tangentAt(equilibrium, ahead.slice(0, n), ahead[n], point.tangent);
  if (!tangent || !tangent.every(Number.isFinite)) return null;
  if (determinantSign(withoutLast(scaled)) * tangent[n] * sense(point) < 0) tangent = tangent.map((v) => -v);
  if (dot(tangent, point.tangent) > Math.cos(LARGEST_TURN)) return null;
  const candidate = correct(equilibrium, { ...point, tangent }, step, { tolerance: LOOSE, patient: true });
  return candidate && sense(candidate) === sense(point) ? candidate : null;
}

/** Chord between two points in scaled space. */
function distance(equilibrium, first, second) {
  let square = (second.parameter - first.parameter) ** 2;
  first.state.forEach((v, k) => { square += ((second.state[k] - v) / equilibrium.scales[k]) ** 2; });
  return Math.sqrt(square);
}

/** Trace the curve through a solution until `stop(point)`; {points, ended} with ended true where `stop` said so. */
function trace(equilibrium, solution, direction, stop, region = null) {
  let point = startCurve(equilibrium, solution, direction), step = 0.2, objection = null;
  const points = [point];
  while (points.length < 400) {
    if (stop(point)) return { equilibrium, points, ended: true, objection: null };
    const candidate = correct(equilibrium, point, step, { tolerance: LOOSE });
    if (candidate) {
      objection = equilibrium.accept(candidate.state, candidate.parameter);
      const turn = dot(candidate.tangent, point.tangent);
      const stray = distance(equilibrium, point, candidate) > STRAY * step;
      const leaps = region !== null && step > REGION_STEP && region(candidate) !== region(point);
      if (!objection && !stray && !leaps && sense(candidate) === sense(point) && (turn > Math.cos(LARGEST_TURN) || step < KINK_STEP)) {
        points.push(candidate);
        point = candidate;
        step = Math.min(0.6, turn > Math.cos(0.4 * LARGEST_TURN) ? 2 * step : step);
        continue;
      }
    }
    step *= 0.5;
    if (step < 1e-7) {
      const past = objection ? null : turned(equilibrium, point, TURN_STEP);
      if (past && !equilibrium.accept(past.state, past.parameter)) { points.push(past); point = past; step = TURN_STEP; continue; }
      break;
    }
  }
  return { equilibrium, points, ended: false, objection };
}

function pointBetween(curve, k, fraction, near) {
  const a = curve.points[k], b = curve.points[k + 1], length = fraction * (b.arclength - a.arclength), scales = [...curve.equilibrium.scales, 1];
  let guess = null;
  if (near) {
    const ahead = a.arclength + length - near.arclength;
    guess = [...near.state, near.parameter].map((v, i) => v + ahead * near.tangent[i] * scales[i]);
  }
  return correct(curve.equilibrium, a, length, { hint: b, guess }) || correct(curve.equilibrium, a, length, { hint: b })
    || correct(curve.equilibrium, a, length, { hint: b, patient: true });
}

/** First place where `measure(point)` changes sign on segments first..last, or null. */
function findOn(curve, measure, first = 0, last = curve.points.length - 1) {
  const values = curve.points.map(measure);
  for (let k = first; k < last; k++) {
    if (values[k] === 0) return curve.points[k];
    if (values[k] * values[k + 1] <= 0) {
      let near = null;
      const at = bracketedRoot((f) => { const p = pointBetween(curve, k, f, near); if (!p) return NaN; near = p; return measure(p); }, 0, 1, values[k], values[k + 1]);
      return at === null ? null : pointBetween(curve, k, at, near);
    }
  }
  return null;
}

/** Index of the first segment in which the parameter turns back, or -1. */
function firstFold(curve) {
  const turn = (p) => p.tangent[p.tangent.length - 1];
  for (let k = 0; k + 1 < curve.points.length; k++) if (turn(curve.points[k]) * turn(curve.points[k + 1]) < 0) return k;
  return -1;
}

/** The curve up to its first fold, which is then its last point. */
function firstBranch(curve) {
  const k = firstFold(curve);
  if (k < 0) return curve;
  const turn = findOn(curve, (p) => p.tangent[p.tangent.length - 1], k, k + 1);
  return { ...curve, points: [...curve.points.slice(0, k + 1), turn || curve.points[k]] };
}

/** Solution at a parameter on the first segment that spans it, or null. */
function solveOn(curve, parameter) {
  for (let k = 0; k + 1 < curve.points.length; k++) {
    const a = curve.points[k], b = curve.points[k + 1];
    if (Math.min(a.parameter, b.parameter) > parameter || parameter > Math.max(a.parameter, b.parameter)) continue;
    const span = b.parameter - a.parameter, f = span ? (parameter - a.parameter) / span : 0, g = 1 - f;
    const slope = (p) => Math.abs(p.tangent[p.tangent.length - 1]) < 1e-3 ? p.state.map(() => 0) : p.tangent.slice(0, -1).map((v, i) => (v * curve.equilibrium.scales[i] * span) / p.tangent[p.tangent.length - 1]);
    const sa = slope(a), sb = slope(b);
    const start = a.state.map((v, i) => v * g * g * (1 + 2 * f) + b.state[i] * f * f * (1 + 2 * g) + g * f * (g * sa[i] - f * sb[i]));
    const solution = newton(curve.equilibrium, start, parameter);
    if (solution.status === "converged" && determinantSign(withoutLast(scaledRows(curve.equilibrium, solution))) === a.orientation) return solution;
    const place = findOn(curve, (p) => p.parameter - parameter, k, k + 1);
    return place ? newton(curve.equilibrium, place.state, parameter) : solution;
  }
  return null;
}
